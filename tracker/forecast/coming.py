"""What is made of a pair, and what is still to come: rows of every section, stitches by colour."""

from __future__ import annotations

from collections import Counter

from tracker.forecast.left import Length, Unknown, rows_to_goal
from tracker.forecast.tapes import Tapes
from tracker.knitting import pair, shares
from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Number, Sock, State, other
from tracker.knitting.stripes import Threads

Lengths = tuple[Length | Unknown | None, Length | Unknown | None]
"""How long the sections in hand are, on sock one and on sock two."""


class Coming:
    """A pair as sock `number` is looked at. A colour None stands for all of them together.

    `socks` are what the yarn is for: both socks; of what is no sock what was begun.
    """

    def __init__(
        self,
        course: Course,
        state: State,
        number: Number,
        lengths: Lengths,
        tapes: Tapes | None = None,
        same_row: Coming | None = None,
    ) -> None:
        """`same_row` was made when the same rows were done: what goes by these alone is taken from it."""
        self.course, self.state, self.number = course, state, number
        self._lengths, self.tapes = lengths, tapes or Tapes(course, state)
        socks = course.pattern.of_socks
        self.socks = tuple(n for n in BOTH if socks or n == number or state.sock(n).begun)
        self.unfinished = tuple(n for n in self.socks if not state.sock(n).finished)
        self.leg = course.find("leg")
        """The index of the leg."""
        self._rows: dict[Number, tuple[int, ...]] = {}
        self._courses = {n: course.of(state.sock(n)) for n in BOTH}
        self._all_made = (pair.made(course, state, 1), pair.made(course, state, 2))
        self._made: dict[Number, Counter[str]] = {}
        self._to_come: dict[tuple[Number, int | None], Counter[str]] = {}
        self._wholes: dict[Number, int] = {}
        self._to_leg: dict[tuple[Number, int], Counter[str]] = {}
        self._after_leg: dict[tuple[object, ...], Counter[str]] = {}
        if same_row is not None:
            self._rows, self._wholes = same_row._rows, same_row._wholes
            self._to_leg, self._after_leg = same_row._to_leg, same_row._after_leg

    # Rows

    @property
    def courses(self) -> tuple[Course, Course, Course]:
        """The pattern's course, and those of sock one and sock two."""
        return self.course, self._courses[1], self._courses[2]

    def rows(self, number: Number, leg: int | None = None) -> tuple[int, ...]:
        """Rows (row 0 left out) that every section of a sock had or will have.

        With `leg` its open leg ends at that round.
        """
        if number not in self._rows:
            ended = self.state.sock(number).ended
            following = range(len(ended), len(self.course.sections))
            self._rows[number] = (*ended, *(self._of(index, number) for index in following))
        rows = self._rows[number]
        if leg is None or self.leg is None or not self.leg_is_open(number):
            return rows
        return (*rows[: self.leg], leg, *rows[self.leg + 1 :])

    def rows_of_leg(self, number: Number) -> int:
        """Rounds that the leg of a sock had or will have; 0 where there is no leg."""
        return 0 if self.leg is None else self.rows(number)[self.leg]

    def leg_is_open(self, number: Number) -> bool:
        """Whether a sock has not come to the end of its leg, or not come to it at all."""
        sock = self.state.sock(number)
        return self.leg is not None and not sock.finished and sock.section <= self.leg

    def legs(self) -> tuple[Number, ...]:
        """The socks whose leg is open; none where that of the sock in sight is not."""
        open_legs = tuple(n for n in self.socks if self.leg_is_open(n))
        return open_legs if self.number in open_legs else ()

    def done(self, number: Number, index: int) -> int:
        """Rows done of a section of a sock."""
        sock = self.state.sock(number)
        if sock.section == index and not sock.finished:
            return self._courses[number].number(index, sock.rows)
        return 0 if index >= len(sock.ended) else sock.ended[index]

    def _of(self, index: int, number: Number) -> int:
        return max(self.done(number, index), self._likely(index, number))

    def _likely(self, index: int, number: Number) -> int:
        """As the other sock shows, as the tape says, or as planned.

        Where either has a goal of its own each goes by itself.
        """
        section = self._courses[number].sections[index]
        if section.goal is None:
            return section.planned
        follows = self.state.follows(number, index)
        if follows is not None:
            return follows
        # What was meant for one sock alone leads nobody.
        alone = any((which, index) in self.state.own_goals for which in BOTH)
        for which in (number,) if alone else (number, other(number)):
            sock = self.state.sock(which)
            if sock.section == index and not sock.finished:
                here, done = self._lengths[which - 1], self.done(which, index)
                likely = here.likely if isinstance(here, Length) else None
                return max(done, section.planned) if likely is None else done + likely
        return rows_to_goal(self.course, self.state, number, index, self.tapes)

    # Stitches

    def made(self, number: Number, colour: str | None) -> int:
        """Stitches made on a sock, up to the needle."""
        if colour is None:
            return self._all_made[number - 1]
        if number not in self._made:
            self._made[number] = shares.made_by_colour(self.course, self.state, number)
        return self._made[number][colour]

    def to_come(self, number: Number, colour: str | None, leg: int | None = None) -> int:
        """Stitches still to be made on a sock; with `leg` its open leg ends at that round."""
        if self.state.sock(number).finished:
            return 0
        if colour is None:
            return max(0, self._whole(number, leg) - self._all_made[number - 1])
        leg = leg if self.leg_is_open(number) else None
        if (number, leg) not in self._to_come:
            self._to_come[number, leg] = self._by_colour(number, leg)
        return self._to_come[number, leg][colour]

    def not_begun(self, kinds: tuple[str, ...], number: Number, colour: str | None) -> int:
        """Stitches of some kinds of section on a sock that has come to none of them."""
        at = [n for n, section in enumerate(self.course.sections) if section.kind in kinds]
        sock = self.state.sock(number)
        here = (sock.section, sock.rows + sock.needles)
        if not at or sock.finished or number not in self.socks or here > (at[0], 0):
            return 0
        rows = self.rows(number)
        if colour is None:
            return sum(self._stitches(number, index, rows[index]) for index in at)
        spans = ((index, 0, self._rows_to(index, rows[index])) for index in at)
        course = self._courses[number]
        return shares.in_rows(course, Threads(course, rows), spans)[colour]

    def stripes(self, number: Number, colour: str) -> tuple[int, int]:
        """Stripes of a colour that a sock has not come to, and the stitches in them."""
        sock, rows, course = self.state.sock(number), self.rows(number), self._courses[number]
        told, found, stitches = Threads(course, rows), 0, 0
        if sock.finished:
            return 0, 0
        for index in self._following(number):
            if not told.ticks(index):
                continue
            first = sock.rows if index == sock.section else 0
            for run in told.runs(index, first, self._rows_to(index, rows[index])):
                if run.name == colour:
                    found += run.position == 1
                    made = course.made(index, run.last) - course.made(index, run.first)
                    stitches += made if found else 0
        return found, stitches

    def row_at(self, number: Number, more: int, colour: str | None) -> int | None:
        """The row of the section in hand once `more` stitches are made.

        Of a colour it is one after which that colour is knitted on with. None where it ends before.
        """
        sock, course = self.state.sock(number), self._courses[number]
        index, rows = sock.section, self.rows(number)
        last = self._rows_to(index, rows[index])
        if colour is None:
            around = max(1, course.row(index, max(0, sock.rows - 1)).worked)
            row = course.number(index, sock.rows) - (-more // around)
            return row if row <= rows[index] else None
        told = Threads(course, rows)
        for run in told.runs(index, sock.rows, last):
            for row in range(run.first, run.last) if run.name in (colour, told.of_chart) else ():
                if more <= 0:
                    return course.number(index, row)
                more -= shares.in_rows(course, told, [(index, row, row + 1)])[colour]
        return None

    def up_to(self, number: Number, row: int, colour: str | None) -> int:
        """Stitches from the last row done to `row` of the section in hand; below 0 where that is done."""
        sock, course = self.state.sock(number), self._courses[number]
        here, there = sock.rows, self._rows_to(sock.section, row)
        if colour is None:
            return course.made(sock.section, there) - course.made(sock.section, here)
        told, span = Threads(course, self.rows(number)), (min(here, there), max(here, there))
        stitches = shares.in_rows(course, told, [(sock.section, *span)])[colour]
        return stitches if there > here else -stitches

    def _following(self, number: Number) -> range:
        """The section in hand and those after it."""
        return range(self.state.sock(number).section, len(self.course.sections))

    def _stitches(self, number: Number, index: int, rows: int) -> int:
        return self._courses[number].made(index, self._rows_to(index, rows))

    def _rows_to(self, index: int, rows: int) -> int:
        return self.course.sections[index].rows_to(rows)

    def _whole(self, number: Number, leg: int | None) -> int:
        """Stitches of a whole sock."""
        if number not in self._wholes:
            rows = self.rows(number)
            self._wholes[number] = self._courses[number].made_before(rows, len(rows))
        whole = self._wholes[number]
        if leg is None or self.leg is None or not self.leg_is_open(number):
            return whole
        as_likely = self._stitches(number, self.leg, self.rows(number)[self.leg])
        return whole + self._stitches(number, self.leg, leg) - as_likely

    def _by_colour(self, number: Number, leg: int | None) -> Counter[str]:
        rows, following = self.rows(number, leg), self._following(number)
        told = Threads(self._courses[number], rows)
        if self.leg is None or not self.leg_is_open(number):
            there = self._in(self.state.sock(number), rows, told, following)
        else:
            there = self._up_to_leg(number, rows, told) + self._behind_leg(number, rows, told)
        there.subtract(shares.ticked(self.course, self.state, number))
        return there

    def _up_to_leg(self, number: Number, rows: tuple[int, ...], told: Threads) -> Counter[str]:
        """The leg, and what comes before it: as for a leg a round longer or shorter, but for that round."""
        assert self.leg is not None  # noqa: S101 - asked for only where there is one
        ends, course = rows[self.leg], self._courses[number]
        longer, shorter = (self._to_leg.get((number, ends + more)) for more in (1, -1))
        if longer is not None:
            last = self._rows_to(self.leg, ends), self._rows_to(self.leg, ends + 1)
            there = longer - shares.in_rows(course, told, [(self.leg, *last)])
        elif shorter is not None:
            last = self._rows_to(self.leg, ends - 1), self._rows_to(self.leg, ends)
            there = shorter + shares.in_rows(course, told, [(self.leg, *last)])
        else:
            to_leg = range(self._following(number).start, self.leg + 1)
            there = self._in(self.state.sock(number), rows, told, to_leg)
        self._to_leg[number, ends] = there
        return there

    def _behind_leg(self, number: Number, rows: tuple[int, ...], told: Threads) -> Counter[str]:
        """What follows the leg; of the leg only the place where the clock goes on alters it."""
        assert self.leg is not None  # noqa: S101 - asked for only where there is one
        behind = range(self.leg + 1, len(self.course.sections))
        clock = told.goes_on(behind.start)
        key = self.state.sock(number).changes, rows[behind.start :], clock, rows[self.leg] > 0
        if key not in self._after_leg:
            self._after_leg[key] = self._in(self.state.sock(number), rows, told, behind)
        return self._after_leg[key]

    def _in(
        self, sock: Sock, rows: tuple[int, ...], told: Threads, sections: range
    ) -> Counter[str]:
        """Stitches to come of some sections, by colour."""
        spans = (
            (index, sock.rows if index == sock.section else 0, self._rows_to(index, rows[index]))
            for index in sections
        )
        return shares.in_rows(self.course.of(sock), told, spans)
