"""Where she may be by the stitches she counted, or by what she sees of the fabric, as a sight."""

from __future__ import annotations

from typing import Literal

from tracker.forecast import left
from tracker.forecast.tapes import Tapes
from tracker.glance import (
    CountSight,
    PlaceSight,
)
from tracker.knitting import edges, places
from tracker.knitting.course import Course
from tracker.knitting.repair import MOST_OFF
from tracker.knitting.state import Check, Clue, Number, State
from tracker.pattern.turned_sides import still_double

Counting = Literal["rounds", "needles"]


def counted(
    course: Course, state: State, number: Number, counting: Counting, tapes: Tapes
) -> CountSight | None:
    """The count of the stitches that was the last act on sock `number`; None where another was.

    `course` is that sock's own.
    """
    return _Counted(course, state, number, counting, tapes).sight()


class _Counted:
    def __init__(
        self, course: Course, state: State, number: Number, counting: Counting, tapes: Tapes
    ) -> None:
        self._course, self._state, self._number = course, state, number
        self._counting, self._tapes = counting, tapes
        self._sock = state.sock(number)
        self._section = course.sections[self._sock.section]

    def sight(self) -> CountSight | None:
        """The count that was the last act on this sock; None where another was."""
        check = self._sock.check
        if check is None or self._state.last.number != check.event or self._sock.finished:
            return None
        there = places.expected(self._course, self._state, self._number, check.found)
        here = places.Found(self._sock.section, self._sock.rows)
        tail = check.clue.tail
        if tail is not None and check.clue == Clue(tail=tail) and not check.found:
            return self._by_tail(there, tail, here)
        if check.clue != Clue():
            return self._by_fabric(check, there)
        found: tuple[places.Found, ...] = ()
        told = (self._course, self._state, self._number)
        if check.asked or not check.matches:
            found = places.likely(*told, places.places(*told, check.found, check.plain))
        if check.matches:
            found = self._as_many(found) or self._round_or_not(check)
        near = bool(found) and places.apart(self._course, found[0], here) <= places.NEAR
        but: tuple[places.Found, ...] = ()
        if not (check.matches or near):
            but = places.but_for_one(self._course, self._state, self._number, check.found)
        found, near = but or found, near or bool(but)
        sights = tuple(map(self._place_sight, found))
        after = check.after and (self._course.sections[check.after[0]].called, check.after[1])
        matches = check.matches or places.matches(there, check.found)
        return CountSight(
            there, check.found, matches, sights, near=near, after=after,
            edges=edges.chains(*told, check.found), picked_up=edges.just_picked_up(*told),
            ticked=self._sock.needles, but=self._but(but[0], check.found) if but else None,
            sides=places.by_sides(self._course, self._sock.section, check.found),
            beside=still_double(self._course.sections, self._sock.section, self._sock.rows),
        )  # fmt: skip

    def _but(self, place: places.Found, found: tuple[int, ...]) -> tuple[int, int]:
        """The needle, from 1, on which a stitch is too many (1) or too few (-1) at a place."""
        there = places.holds(self._course, place.section, place.rows)
        over = [counted - held for counted, held in zip(found, there, strict=True)]
        return next((at, by) for at, by in enumerate(over, start=1) if by)

    def _as_many(self, found: tuple[places.Found, ...]) -> tuple[places.Found, ...]:
        """The places of this section that a count leaves which is right where she is; none if only that."""
        here, inside = (self._sock.section, self._sock.rows), (0, self._sock.needles)
        near = [place for place in found if place.section == here[0] and not place.any_row]
        # Plain needles of the next round do not show.
        only = all(place[:2] == here and place.needles in inside for place in near)
        return () if only else tuple(near)

    def _round_or_not(self, check: Check) -> tuple[places.Found, ...]:
        """Where the count never changes, inside a round: that place, and the end of a round."""
        inside = self._sock.needles
        if not (check.asked and inside and places.tail_tells(self._section)):
            return ()
        here = places.Found(self._sock.section, self._sock.rows, inside)
        return here, *places.by_tail(self._course, self._state, self._number, 0)

    def _by_tail(self, there: tuple[int, ...], tail: int, here: places.Found) -> CountSight:
        """Where she may be by where the tail hangs; round by round it says no more than inside, or not."""
        found = places.by_tail(self._course, self._state, self._number, tail)
        agrees = found[0] == here._replace(needles=self._sock.needles)
        if self._counting == "rounds" and not self._sock.inside:
            agrees = True
        sights = tuple(map(self._place_sight, found))
        return CountSight(there, (), agrees, sights, by_fabric=True, tail=tail)

    def _by_fabric(self, check: Check, there: tuple[int, ...]) -> CountSight:
        """Where she may be by all that she sees; where a stitch or two are off, by the fabric alone."""
        sock, tail = self._sock, check.clue.tail
        found = self._along(check, check.found)
        off = abs(sum(check.found) - sum(there)) if check.found else 0
        slipped = not found and 0 < off <= MOST_OFF
        if slipped:
            found = self._along(check, ())
        if tail is not None:
            found = tuple(place._replace(needles=tail) for place in found)
        here = (sock.section, sock.rows, sock.needles)
        agrees = any(
            place[: 2 if tail is None else 3] == here[: 2 if tail is None else 3] for place in found
        )
        return CountSight(
            there, check.found, agrees and not slipped, tuple(map(self._place_sight, found)), True,
            ticked=sock.needles, clue=check.clue, slipped=slipped,
        )  # fmt: skip

    def _along(self, check: Check, counted: tuple[int, ...]) -> tuple[places.Found, ...]:
        """Where she may be by the length, the colour or the pin that she sees, and by the stitches."""
        reach = None
        if check.clue.mm is not None:
            reach = left.rows_at(
                self._course, self._state, self._number, check.clue.mm, self._tapes
            )
            if reach is None:
                return ()
        seen = places.Seen(check.clue, reach, counted, check.plain)
        return places.along(self._course, self._state, self._number, seen)

    def _place_sight(self, place: places.Found) -> PlaceSight:
        section = self._course.sections[place.section]
        row = self._course.row(place.section, place.rows)
        return PlaceSight(
            section.name, section.called, section.worked,
            self._course.number(place.section, place.rows),
            row.needles[row.working(place.needles)].name if place.needles else None,
            place.needles, place.any_row, place.plain, place.section,
            None if place.any_row else places.plain_above(self._course, place),
            None if place.until is None else self._course.number(place.section, place.until),
        )  # fmt: skip
