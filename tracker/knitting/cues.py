"""Cues: what she should know now or a few rounds ahead, as typed facts in order of need."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from tracker.knitting import pair, stripes
from tracker.knitting.changes import Change
from tracker.knitting.course import Course
from tracker.knitting.pins import PIN_EVERY, pins_stay
from tracker.knitting.state import Number, Sock, State
from tracker.knitting.stripes import Thread, Threads
from tracker.knitting.turns import lacks_needles, level, own_turn, turn
from tracker.knitting.used_up import is_whole
from tracker.pattern.floats import brief, brief_beside, caught_beside, caught_in, foot_beside
from tracker.pattern.model import HEEL_ROUNDS, Row, Section, is_split, left_on_each
from tracker.records import NamedTuple

AHEAD = 3
"""Rounds by which the end of a section is announced."""
CHANGE_AHEAD = 2
"""Rounds by which a change of colour is announced."""
NOTES_TOLD = 3
"""Of several notes at one round so many are told, the last ones."""
STILL_ITS_TURN = "still its turn"
"""What the cue to change socks is about once she has gone on: no other cue waits for it."""
ITS_TURN = "its turn"
"""What the cue is about that only says whose turn it is: this sock's."""
NO_HURRY = frozenset({STILL_ITS_TURN, ITS_TURN})
"""Cues of turns that stand behind all others."""
HELD = 4
"""Ticks in one run that look like a key held down."""


_ENDING = frozenset({"tick", "end", "at"})
"""Acts by which a sock comes to its end."""


class Cue(NamedTuple):
    """One fact for her eyes. `kind` is one of the kinds of `instep left --json`.

    `when` is 0 for now, n for "in n rounds". `about` says which of the kind's facts it is, and
    `data` holds the figures its sentence needs.
    """

    kind: str
    when: int
    data: Mapping[str, Any]
    about: str = ""


def cues(course: Course, state: State, number: Number) -> list[Cue]:
    """The cues that follow from pattern and events alone, in order of need."""
    return list(_Cues(course, state, number).all())


def card(course: Course, state: State, number: Number) -> Cue | None:
    """The card of the section at hand, while nothing of it is worked."""
    sock = state.sock(number)
    if sock.rows or sock.inside or sock.finished:
        return None
    course = course.of(sock)
    section = course.sections[sock.section]
    row = section.rows[0]
    ended = sock.ended[-1] if sock.ended else 0
    before = course.sections[sock.section - 1] if sock.section else None
    threads = stripes.threads(course, state, number)
    return Cue(
        "section",
        0,
        {
            "section": section.kind,
            "starts": section.starts,
            "needles": section.needles,
            "before": before.called if before else None,
            "before_worked": before.worked if before else None,
            "before_rows": ended,
            "held": left_on_each(before) if before else (),
            "lay_on": _lay_on(before) if before else (),
            "waiting": tuple((wait.name, wait.stitches) for wait in section.waiting),
            "work": row.needles[0].work,
            "side": row.side,
            "rows": section.planned,
            "patterned": any(row.word != "PLAIN" for row in section.rows if row.number),
            "set_up": (sum(row.before), row.leaves) if row.number == 0 else None,
            "rib_runs_on": _broken_rib(section),
            "then": _after_set_up(section),
            "chains": _chains(course, sock) if section.kind == "gusset" else None,
            "half": _half_passed(course, sock),
            "edges_told": any(change.kind == "picked-up" for change in sock.changes),
            "doubled": course.find(HEEL_ROUNDS) is not None,
            "heel": course.pattern.numbers.heel_stitches,
            "tail_mm": _closing_tail(course, section),
            "picked_up_in": _picked_up_in(threads, section),
            "yarn": _yarn(threads, sock),
            "ball": _ball(sock, number) if not before else None,
            "ring": course.pattern.in_a_ring,
            "other_way": course.pattern.other_way,
        },
        section.kind if before else "cast-on",
    )


def _lay_on(section: Section) -> tuple[str, ...]:
    """The needles that a section ends on; where the marker lies inside one of them it is moved back."""
    names = tuple(needle.name for needle in section.rows[-1].needles)
    return (*names[1:-1], names[0][:-1].rstrip()) if is_split(names) else names


def _half_passed(course: Course, sock: Sock) -> bool:
    """Whether the section that has just ended had the stitch in it with which half of them are made."""
    made = [course.made_before(sock.ended, section) for section in (sock.section - 1, sock.section)]
    return sock.section > 0 and 2 * made[0] < course.stitches <= 2 * made[1]


def _picked_up_in(threads: Threads, section: Section) -> str | None:
    """The colour of the stitches picked up where the instep beside them goes on in a chart: on this sock."""
    picks = section.kind == "gusset" and section.rows[0].word == "PICK"
    return threads.main if picks and threads.of_chart and stripes.is_charted(section) else None


def _yarn(threads: Threads, sock: Sock) -> Mapping[str, Any] | None:
    """The colour of the row in hand, whether it is another than before, and whether to slip first."""
    here = threads.at(sock.section, sock.rows)
    if here is None:
        return None
    before = threads.before(sock.section, sock.rows)
    return {
        "name": here.name, "position": here.position, "of": here.of,
        "changes": before is not None and before.name != here.name,
        "slips": threads.slips(sock.section, sock.rows),
        "was": _left_behind(threads, before, here),
        "striped": before is not None and before.of > 0,
    }  # fmt: skip


def _left_behind(threads: Threads, before: Thread | None, here: Thread) -> str | None:
    """The yarn that is changed from; None where it goes on, alone or as one of a chart's two."""
    if before is None or before.name == here.name or threads.of_chart in (before.name, here.name):
        return None
    return before.name


def _ball(sock: Sock, number: Number) -> Mapping[str, Any] | None:
    """Where the ball stands at the cast-on, as she told it, and on which sock she told it."""
    for change in sock.changes:
        if change.coloured is not None and change.coloured.ball:
            return {"at": change.value, "sock": 3 - number if change.repeats else number}
    return None


def _chains(course: Course, sock: Sock) -> int | None:
    """Chain stitches on each edge of the flap: one for every second row."""
    flap = course.find("flap")
    return None if flap is None or flap >= len(sock.ended) else sock.ended[flap] // 2


def _closing_tail(course: Course, section: Section) -> float | None:
    """The tail to close a toe with, in mm: to graft four times the width of the toe and 20 cm, to draw up the
    last stitches 20 cm (common practice, no source).
    """
    gauge = course.pattern.gauge
    if section.kind == "draw up":
        return 200.0
    if section.kind != "graft" or gauge is None:
        return None
    return 4 * section.starts[0] * 100 / gauge.stitches + 200


def _after_set_up(section: Section) -> str | None:
    """What the first needle does in round 1 of a cuff that a set-up round leads to."""
    if section.kind != "cuff" or section.rows[0].number != 0 or len(section.rows) < 2:
        return None
    return section.rows[1].needles[0].work


def _broken_rib(section: Section) -> bool:
    """A rib that goes on over a needle's border."""
    return section.kind == "cuff" and any(
        "*" not in needle.work for needle in section.rows[0].needles
    )


class _Cues:
    def __init__(self, course: Course, state: State, number: Number) -> None:
        self._state, self._number, self._whole = state, number, course
        self._sock = state.sock(number)
        self._course = course = course.of(self._sock)
        self._section = course.sections[self._sock.section]
        self._done = course.number(self._sock.section, self._sock.rows)
        self._planned = pair.planned(course, state, number)
        self._yarn = (
            None
            if self._sock.finished
            else _yarn(stripes.threads(course, state, number), self._sock)
        )

    def all(self) -> Iterator[Cue]:
        yield from self._held()
        yield from self._finished()
        if self._sock.finished:
            return
        begins = card(self._course, self._state, self._number)
        yield from self._through_the_back()
        yield from self._floats()
        if begins is None:
            yield from self._yarn_now()
        yield from self._past_the_other()
        if begins is not None:
            yield begins
            yield from self._yarn_now()
            yield from self._colour_of_section()
        yield from self._second_set()
        yield from self._turn(passed=False)
        yield from self._told()
        yield from self._needle_in_hand()
        yield from self._repair()
        yield from self._repeats()
        yield from self._borders_back()
        yield from self._otherwise_there()
        yield from self._twisted()
        yield from self._last_needle()
        yield from self._pin()
        yield from self._left_standing()
        yield from self._lifeline()
        yield from self._notes()
        yield from self._section_ahead()
        yield from self._changes_ahead()
        yield from self._turn(passed=True)
        yield from self._own_turn()
        yield from self._end_of_round()

    def _told(self) -> Iterator[Cue]:
        """A change was told just now: does the other sock repeat it?"""
        last = self._state.last
        of = last.data.get("of") if last.kind == "copy" else last.number
        for change in self._sock.changes:
            if last.kind in ("changed", "copy") and change.event == of and not change.repeats:
                their = self._state.sock(3 - self._number)
                repeats = any(theirs.event == of and theirs.repeats for theirs in their.changes)
                lost = change.repeat and not repeats
                data = {
                    "number": of, "repeat": change.repeat, "other": 3 - self._number, "lost": lost,
                    "past": lost and self._course.of(their).is_done(their, change.section, change.row),
                }  # fmt: skip
                yield Cue("copy", 0, data, "asked")

    def _turn(self, *, passed: bool) -> Iterator[Cue]:
        """By the order of work it is the other sock's turn; said last once she has `passed` that."""
        found = turn(self._course, self._state, self._number)
        if found is not None and found.passed == passed:
            lacks = not self._state.sock(found.to).begun and lacks_needles(
                self._course, self._state
            )
            data = {"other": found.to, "second_set": lacks, **found._asdict()}
            yield Cue("other-sock", 0, data, STILL_ITS_TURN if passed else "turn")

    def _own_turn(self) -> Iterator[Cue]:
        """Of so many rounds on each in turn it is this sock's; so whose it is can always be seen."""
        own = own_turn(self._course, self._state, self._number)
        if own is not None:
            data = {"other": 3 - self._number, "rounds": own.rounds, "heel": own.flat}
            yield Cue("other-sock", 0, data, ITS_TURN)

    def _second_set(self) -> Iterator[Cue]:
        """The order of work takes another set of needles: at the start, and where it was told just now."""
        begun = any(sock.begun for sock in self._state.socks)
        if (begun and self._state.last.kind != "order") or not lacks_needles(
            self._course, self._state
        ):
            return
        yield Cue("note", 0, {"order": self._state.order.told}, "second set")

    def _needle_in_hand(self) -> Iterator[Cue]:
        """She stopped inside the needle in hand, or took stitches back into it."""
        if self._sock.into or self._sock.stopped:
            yield Cue("needle", 0, {"into": self._sock.into}, "in hand")

    def _repair(self) -> Iterator[Cue]:
        """What the last count found off, as long as it is: few socks were counted."""
        if self._sock.check is not None:
            yield from self._found_off()
        section, row = self._sock.put_right or (-1, 0)
        if section == self._sock.section and self._done - row <= 1 and not self._sock.inside:
            yield Cue("count", 0, {"round": row}, "put right")

    def _found_off(self) -> Iterator[Cue]:
        from tracker.knitting.repair import no_round, repair, waiting

        found = repair(self._course, self._state, self._number)
        if found is not None:
            yield Cue("count", 0, {"repair": found}, "repair")
        elif (late := no_round(self._course, self._state, self._number)) is not None:
            yield Cue("count", 0, late._asdict(), "no round left")
        elif (still := waiting(self._course, self._state, self._number)) is not None:
            yield Cue("count", 0, {"repair": still}, "repair waits")

    def _repeats(self) -> Iterator[Cue]:
        """What was changed on the other sock, where this one comes to it: a row ahead, and at that row."""
        for change in self._sock.changes:
            if not change.repeats or (change.coloured is not None and change.coloured.ball):
                continue  # where the ball stands the card says
            ahead = self._rows_until(change)
            if ahead in (0, 1):
                data = {"change": change, "other": 3 - self._number, **self._row_in(ahead)}
                yield Cue("copy", ahead, data, "ahead")

    def _row_in(self, ahead: int) -> Mapping[str, Any]:
        """The row that is begun once `ahead` more are done, and its section where that is another."""
        left = self._left()
        if ahead == 0 or left is None or left > ahead:
            row = self._course.number(self._sock.section, self._sock.rows + ahead + 1)
            return {"row": row, "unit": self._section.worked, "section": ""}
        there = self._course.sections[self._sock.section + 1]
        row = self._course.number(self._sock.section + 1, 1)
        return {"row": row, "unit": there.worked, "section": there.called}

    def _rows_until(self, change: Change) -> int:
        """Rows to go until a change comes: 0 at its row, below 0 past it, AHEAD where nobody can say.

        One of a row that its section did not come to, or will not, comes where the next one begins.
        """
        sock, left = self._sock, self._left()
        there = self._course.sections[change.section]
        rows = there.rows_to(change.row) - 1
        if change.section == sock.section:
            ahead = rows - sock.rows
            return ahead if left is None else min(ahead, left)
        if change.section == sock.section + 1:
            return AHEAD if left is None else left + rows
        beyond = change.section + 1 == sock.section and rows >= there.rows_to(sock.ended[-1])
        return -sock.rows if beyond else AHEAD

    def _left(self) -> int | None:
        """Rows of the section in hand that are left; None where only she can say."""
        planned = self._planned
        return None if planned.by == "goal" else planned.rows - self._done

    def _held(self) -> Iterator[Cue]:
        if self._state.run >= HELD:
            yield Cue("held", 0, {"ticks": self._state.run}, "held")

    def _finished(self) -> Iterator[Cue]:
        if not self._sock.finished:
            return
        other = self._state.sock(3 - self._number)
        if not is_whole(self._course.pattern):
            yield Cue("stage", 0, {}, "used up")
            if other.finished:
                return
        about = "pair" if other.finished else "sock" if other.begun else "cast-on"
        stitches = sum(self._course.sections[0].rows[0].before)
        last = self._state.last
        warm = last.kind in _ENDING and last.sock == self._number
        data = {"other": 3 - self._number, "stitches": stitches, "warm": warm}
        yield Cue("other-sock", 0, data, about)

    def _past_the_other(self) -> Iterator[Cue]:
        over = pair.past_the_other(self._course, self._state, self._number)
        if over is not None:
            count = self._done - over
            data = {
                "over": over,
                "count": count,
                "section": self._section.kind,
                "other": 3 - self._number,
            }
            yield Cue("other-sock", 0, data, "count")

    def _yarn_now(self) -> Iterator[Cue]:
        """What is done to the yarn before the first stitch of the row to come."""
        if self._yarn is None or self._sock.inside:
            return
        if self._yarn["changes"]:
            yield self._change(self._yarn["name"], 0)
        if self._yarn["slips"]:
            yield Cue("slip-first", 0, {"colour": self._yarn["name"]})

    def _colour_of_section(self) -> Iterator[Cue]:
        if self._yarn is not None:
            yield Cue("colour", 0, self._yarn)

    def _changes_ahead(self) -> Iterator[Cue]:
        """The change that comes next; behind one that is made now, the one after it."""
        before = None
        for when, coming in enumerate(self._rows_ahead()):
            if before is not None and coming.name != before:
                yield self._change(coming.name, when)
                return
            before = coming.name

    def _change(self, to: str, when: int) -> Cue:
        data = {"to": to, "unit": self._section.worked}
        if when == 1 and next(self._last_needle(), None):
            return Cue("change", when, data, "at the marker")
        return Cue("change", when, data)

    def _rows_ahead(self) -> Iterator[Thread]:
        rows = stripes.ahead(self._course, self._state, self._number, CHANGE_AHEAD)
        return (coming.thread for coming in rows)

    def _through_the_back(self) -> Iterator[Cue]:
        """In the round after the pick-up; what is done to the yarn before it belongs to the same line."""
        picked_up = self._section.rows[0].word == "PICK"
        if self._section.kind == "gusset" and picked_up and self._sock.rows == 1:
            yarn = next(self._yarn_now(), None)
            yield Cue("note", 0, {} if yarn is None else {"before_it": yarn}, "through the back")

    def _floats(self) -> Iterator[Cue]:
        """The yarns that are caught in the round in hand, since they float far behind it."""
        found, width = caught_in(self._section, self._section.first + self._sock.rows)
        yarns = [brief(one, width) for one in found] or self._caught_beside()
        if yarns:
            yield Cue("note", 0, {"yarns": yarns}, "catch")

    def _caught_beside(self) -> list[str]:
        """The same on the instep beside a gusset, where the chart goes on down the foot."""
        pattern = self._course.pattern
        foot = foot_beside(pattern, self._section)
        if foot is None:
            return []
        number = self._section.first + self._sock.rows
        found, width = caught_beside(self._section, foot, number, at_side=pattern.at_side)
        return [brief_beside(one, width) for one in found]

    def _borders_back(self) -> Iterator[Cue]:
        """Moved borders lie as the pattern has them where the next section cannot have them otherwise.

        A round ahead where its end is known; else, and once more, where that section begins.
        """
        sock = self._sock
        if not sock.rows and not sock.inside and sock.section:
            yield from self._moved_up_to(sock.section - 1, sock.ended[-1], 0)
        elif self._left() in (1, 2) and sock.section < self._course.last:
            left = self._left() or 0
            yield from self._moved_up_to(sock.section, self._done + left, left - 1)

    def _moved_up_to(self, index: int, last: int, when: int) -> Iterator[Cue]:
        """Whether borders lie moved in the last row of a section, and not in the one after it."""
        from tracker.knitting import borders

        there, following = self._course.sections[index : index + 2]
        laid = [one.laid for one in self._sock.changes if one.laid is not None]
        lies = borders.how(there.row(max(last, there.first)))
        moved = next((one.moved for one in laid if (one.names, one.needles) == lies), 0)
        if moved and borders.how(following.rows[0]).names != lies.names:
            yield Cue("needle", when, {"moved": moved, "section": following.called}, "borders back")

    def _otherwise_there(self) -> Iterator[Cue]:
        """The round to come is for both socks, and is not the same on the other one."""
        if not level(self._whole, self._state):
            return
        their = self._state.sock(3 - self._number)
        rows = [
            course.row(self._sock.section, self._sock.rows)
            for course in (self._course, self._whole.of(their))
        ]
        works = [[needle.work for needle in row.needles] for row in rows]
        if works[0] != works[1]:
            data = {
                "other": 3 - self._number,
                "needles": [(n.name, n.work) for n in rows[1].needles],
            }
            yield Cue("note", 0, data, "on the other, its round")

    def _twisted(self) -> Iterator[Cue]:
        in_rounds = self._section.worked == "rounds"
        begun = self._sock.section == 0 and self._done in (1, 2) and not self._sock.needles
        if in_rounds and begun and not self._course.pattern.toe_up:
            rib = self._section.rows[0].word == "RIB"
            yield Cue("note", 0, {"rib": rib}, "twisted")

    def _last_needle(self) -> Iterator[Cue]:
        row = self._course.row(self._sock.section, self._sock.rows)
        if self._section.worked == "rounds" and on_last_needle(row, self._sock.needles):
            yield Cue("needle", 0, {"needle": row.needles[row.working(0)].name}, "last")

    def _pin(self) -> Iterator[Cue]:
        rounds = self._section.worked == "rounds"
        if rounds and self._done and self._done % PIN_EVERY == 0 and not self._sock.inside:
            yield Cue("pin", 0, {"round": self._done}, "every tenth")

    def _left_standing(self) -> Iterator[Cue]:
        """Where a section ended from which the tape is laid later: its pin stays."""
        before = self._sock.section - 1
        if before < 0 or self._done or self._sock.needles or not self._course.pattern.of_socks:
            return
        ended = self._course.sections[before]
        if ended.kind in pins_stay(toe_up=self._course.pattern.toe_up):
            data = {"round": self._sock.ended[before], "section": ended.called}
            data |= {"unit": "rows"} if ended.worked == "rows" else {}
            yield Cue("pin", 0, data, "left standing")

    def _both(self) -> tuple[tuple[Sock, bool], tuple[Sock, bool]]:
        """This sock and the other one, and whether it is this."""
        return (self._sock, True), (self._state.sock(3 - self._number), False)

    def _rounds(self) -> Iterator[tuple[int, int]]:
        """The last round done, unless the next is begun, and the one to come; each with when it is."""
        if not self._sock.inside:
            yield self._done, 0
        yield self._done + 1, 1

    def _notes(self) -> Iterator[Cue]:
        """What she wrote at the last round done and at the one to come, on either sock, the last first."""
        if not (self._sock.notes or self._state.sock(3 - self._number).notes):
            return
        both = [
            (mine, [note for note in sock.notes if note.section == self._sock.section])
            for sock, mine in self._both()
        ]
        for row, when in self._rounds():
            for mine, notes in both:
                about = "written" if mine else "on the other"
                here = [note for note in notes if note.row == row]
                for note in reversed(here[-NOTES_TOLD:]):
                    data = {"text": note.text, "other": 3 - self._number}
                    yield Cue("note", when, {**data, "unit": self._section.worked}, about)

    def _lifeline(self) -> Iterator[Cue]:
        """Where a lifeline lies in the last round done or the one to come, on this sock or the other."""
        if not (self._sock.rows or self._sock.section):
            return
        for (section, row), when in self._last_and_next():
            whose = [mine for sock, mine in self._both() if _lies(sock, section, row)]
            if whose:
                there = self._course.sections[section]
                before = "" if section == self._sock.section else there.called
                data = {
                    "round": row, "unit": there.worked, "before": before, "other": 3 - self._number,
                }  # fmt: skip
                yield Cue("lifeline", when, data, "here" if whose[0] else "on the other")

    def _last_and_next(self) -> Iterator[tuple[tuple[int, int], int]]:
        """The last row done, unless the next is begun, and the one to come; each with when it is."""
        if not self._sock.inside:
            yield self._last_row(), 0
        if self._section.first + self._sock.rows:
            yield (self._sock.section, self._done + 1), 1

    def _last_row(self) -> tuple[int, int]:
        """The last row done: its section by index, and its number. At a beginning it lies before it."""
        section = self._sock.section
        if self._sock.rows or not section:
            return section, self._done
        return section - 1, self._sock.ended[section - 1]

    def _section_ahead(self) -> Iterator[Cue]:
        planned = self._planned
        left = planned.rows - self._done
        following = self._sock.section + 1
        if planned.by == "goal" or not 0 < left <= AHEAD or following > self._course.last:
            return
        ahead = self._course.sections[following]
        row = ahead.rows[0]
        data = {
            "section": ahead.called, "unit": self._section.worked, "work": row.needles[0].work,
            "ended": self._section.kind, "colour": self._new_colour(left),
        }  # fmt: skip
        yield Cue("section", left, data, "ahead")

    def _new_colour(self, left: int) -> str | None:
        """The colour the section ahead begins with, where that is another than the one before it."""
        rows = stripes.ahead(self._course, self._state, self._number, AHEAD)
        names = [coming.thread.name for coming in rows][left - 1 : left + 1]
        return names[1] if len(names) == 2 and names[0] != names[1] else None

    def _end_of_round(self) -> Iterator[Cue]:
        if at_marker(self._course, self._state, self._number):
            yield Cue(
                "end-of-round",
                0,
                {"round": self._done, "section": self._section.kind},
                "at the marker",
            )


def _lies(sock: Sock, section: int, row: int) -> bool:
    """Whether a lifeline lies in a row of a sock."""
    return any(line[:2] == (section, row) for line in sock.lifelines)


def on_last_needle(row: Row, needles: int) -> bool:
    """Whether, of several needles that are worked, only the last is left once so many are passed."""
    at = row.working(needles)
    return row.working(0) < at and row.working(at + 1) == len(row.needles)


def at_marker(course: Course, state: State, number: Number) -> bool:
    """The end of a round: it is done, and no needle of the next one is."""
    sock = state.sock(number)
    section = course.sections[sock.section]
    if sock.finished or sock.inside or section.worked != "rounds":
        return False
    return bool(sock.rows) or bool(
        sock.section and course.sections[sock.section - 1].worked == "rounds"
    )
