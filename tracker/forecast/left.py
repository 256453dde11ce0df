"""What is left of the section at hand: length now, rounds to its goal, the next reading, minutes."""

from __future__ import annotations

from typing import NamedTuple

from tracker.forecast import length
from tracker.forecast.length import Belief, Counts, Fabric, Reach, Reading
from tracker.forecast.pace import Pace
from tracker.knitting import pair
from tracker.knitting.course import Course
from tracker.knitting.state import Number, State, TapeReading
from tracker.pattern.model import MARKS, Gauge, Goal, Mark
from tracker.units import whole

_FABRICS: dict[str, Fabric] = {"cuff": "cuff", "leg": "leg", "gusset": "foot", "foot": "foot"}
"""Which fabric grows in a kind of section; gusset and foot are one."""


class Taken(NamedTuple):
    """A reading of this sock: mm from its mark after a row of its section; whether it counts.

    `at_mm` is where that lies from the mark its section is usually measured from. `rounds_off`
    says how many rounds longer than expected one is that does not, `event` when it was taken.
    """

    section: int
    row: int
    mm: float
    at_mm: float
    counts: bool
    rounds_off: int
    event: int


class Length(NamedTuple):
    """How long the section at hand is (mm, mean and sd, from `mark`), and where it ends.

    `low`, `likely`, `high` are whole rows to go; `ends` the lengths (5 and 95 %) at `likely`.
    `goal_row` is the row at which the goal is likely reached, behind her or ahead. `due` is the
    row of the next reading, `measure_at` the same or, where that is past, the row in hand.
    `after_mm` is the length that belongs to the goal but follows the section: the toe.
    """

    mm: float
    sd_mm: float
    mark: Mark
    target_mm: float | None
    low: int | None
    likely: int
    high: int | None
    ends: tuple[float, float] | None
    measure_at: int | None
    readings: tuple[Taken, ...]
    goal_row: int | None = None
    due: int | None = None
    after_mm: float = 0.0


def length_of(course: Course, state: State, number: Number) -> Length | None:
    """The length of the section in hand on a sock; None where none is taken or no gauge is known."""
    sock = state.sock(number)
    kind = course.sections[sock.section].kind
    gauge = course.pattern.gauge
    if gauge is None or kind not in MARKS or sock.finished:
        return None
    return _Tape(course, state, number, gauge).length()


def ended_length(course: Course, state: State, number: Number, index: int) -> float | None:
    """How long (mm, from its usual mark) a finished section of a sock is; None where none is taken."""
    kind, sock = course.sections[index].kind, state.sock(number)
    gauge = course.pattern.gauge
    if gauge is None or kind not in MARKS or index >= len(sock.ended):
        return None
    return _Tape(course, state, number, gauge).up_to(index, sock.ended[index])


def pace_of(state: State) -> float:
    """Stitches a minute, from the rounds that were timed."""
    pace = Pace()
    for timed in state.timed:
        pace = pace.add(timed)
    return pace.per_minute


def rows_left(course: Course, state: State, number: Number) -> int:
    """Rows to the planned end of the section at hand, row 0 left out, never below 0."""
    sock = state.sock(number)
    if sock.finished:
        return 0
    done = course.number(sock.section, sock.rows)
    return max(0, pair.planned(course, state, number).rows - done)


def stitches_left(course: Course, state: State, number: Number, rows: int) -> int:
    """Stitches to make in `rows` more rows of the section at hand, the needles ticked taken off."""
    sock = state.sock(number)
    if sock.finished:
        return 0
    last = course.number(sock.section, sock.rows) + rows + 1 - course.sections[sock.section].first
    begun = course.row(sock.section, sock.rows).needles[: sock.needles] if sock.needles else ()
    here = course.made(sock.section, sock.rows) + sum(needle.made for needle in begun)
    return max(0, course.made(sock.section, last) - here)


class _Tape:
    """The readings of one sock, laid against its pattern."""

    def __init__(self, course: Course, state: State, number: Number, gauge: Gauge) -> None:
        self._course, self._state, self._number = course, state, number
        self._sock = state.sock(number)
        self._section = course.sections[self._sock.section]
        self._done = course.number(self._sock.section, self._sock.rows)
        self._growing: Fabric = _FABRICS.get(self._section.kind, "foot")
        self._before = self._rounds_before(self._sock.section)
        readings = [self._reading(taken) for taken in self._sock.readings]
        self._prior = _prior(course, gauge)
        learned = length.fold(self._prior, readings)
        self._belief = learned.belief
        self._taken = tuple(
            Taken(
                taken.section,
                taken.row,
                taken.mm,
                taken.mm + self._offset(taken),
                counts,
                0 if counts else self._off(reading),
                taken.event,
            )
            for taken, reading, counts in zip(
                self._sock.readings, readings, learned.counted, strict=True
            )
        )
        self._measured_at = max(
            (
                getattr(reading.counts, self._growing)
                for reading, counts in zip(readings, learned.counted, strict=True)
                if counts and self._growing in ("leg", "foot")
            ),
            default=0.0,
        )

    def up_to(self, section: int, rows: int) -> float:
        """The length (mm) of a section after `rows` rows, from its usual mark."""
        mark = MARKS[self._course.sections[section].kind][0]
        return length.length(self._belief, self._counts(mark, section, rows))[0]

    def length(self) -> Length:
        mark = MARKS[self._section.kind][0]
        mm, sd = length.length(self._belief, self._counts(mark, self._sock.section, self._done))
        left = rows_left(self._course, self._state, self._number)
        by = pair.planned(self._course, self._state, self._number).by
        goal = self._goal()
        if goal is None or by != "goal":
            # Past the other sock's count the end lies behind her.
            end = pair.planned(self._course, self._state, self._number).rows
            ends = self._ends(end - self._done) if goal else None
            target = self._target(goal)
            return Length(
                mm, sd, mark, target, left, left, left, ends, None, self._taken,
                after_mm=self._after(goal),
            )  # fmt: skip
        reach = self._reach(goal)
        low, likely, high = (self._to_go(rounds) for rounds in reach)
        return Length(
            mm, sd, goal.mark, self._target(goal), low, likely or 0, high, self._ends(likely or 0),
            self._measure_at(reach), self._taken, self._row_of(reach.likely), self._due(reach),
            self._after(goal),
        )  # fmt: skip

    def _goal(self) -> Goal | None:
        goal = self._section.goal
        own = self._state.goals.get(self._sock.section)
        return goal._replace(mm=own) if goal and own is not None else goal

    def _target(self, goal: Goal | None) -> float | None:
        if goal is None:
            return None
        return goal.mm - self._after(goal)

    def _after(self, goal: Goal | None) -> float:
        """The toe's length, where the goal includes it."""
        return self._toe() * self._belief.mean.foot if goal and goal.less_toe else 0.0

    def _reach(self, goal: Goal) -> Reach:
        """Rounds of the growing fabric in all at which the goal is reached."""
        fixed = self._counts(goal.mark, self._sock.section, 0)._replace(**{self._growing: 0})
        if goal.less_toe:
            fixed = fixed._replace(foot=self._toe())
        return length.rounds_to(self._belief, fixed, self._growing, goal.mm, self._measured_at)

    def _row_of(self, rounds: float) -> int:
        """The row of this section at which its fabric has so many rounds."""
        return whole(rounds) - int(self._before)

    def _to_go(self, rounds: float | None) -> int | None:
        return None if rounds is None else max(0, self._row_of(rounds) - self._done)

    def _due(self, reach: Reach) -> int | None:
        due = length.measure_at(reach, self._measured_at)
        return None if due is None else max(1, due - int(self._before))

    def _measure_at(self, reach: Reach) -> int | None:
        due = self._due(reach)
        return None if due is None else max(self._done, due)

    def _ends(self, rows: int) -> tuple[float, float]:
        goal = self._section.goal
        mark = goal.mark if goal else "cast-on"
        there = self._counts(mark, self._sock.section, self._done + rows)
        return length.ending(self._belief, there, self._growing, self._measured_at)

    def _toe(self) -> int:
        index = self._course.find("toe")
        return 0 if index is None else self._course.sections[index].planned

    def _reading(self, taken: TapeReading) -> Reading:
        counts = self._counts(taken.mark, taken.section, taken.row)
        return Reading(
            taken.mm, counts, length.reading_sigma(taken.mark, taken.rough, taken.step_mm)
        )

    def _offset(self, taken: TapeReading) -> float:
        """What lies between the usual mark of a reading's section and the mark it was taken from."""
        usual = MARKS[self._course.sections[taken.section].kind][0]
        from_usual = self._counts(usual, taken.section, taken.row)
        from_its_own = self._counts(taken.mark, taken.section, taken.row)
        one, _ = length.length(self._belief, from_usual)
        other, _ = length.length(self._belief, from_its_own)
        return one - other

    def _off(self, reading: Reading) -> int:
        expected, _ = length.length(self._belief, reading.counts)
        per_round = getattr(self._belief.mean, self._growing)
        return whole((reading.mm - expected) / per_round) if per_round > 0 else 0

    def _counts(self, mark: Mark, section: int, rows: int) -> Counts:
        """What lies between `mark` and the needle after `rows` rows of a section."""
        fabric = _FABRICS[self._course.sections[section].kind]
        grown = self._rounds_before(section) + rows
        if mark == "heel":
            return Counts(foot=grown, heel=1)
        if fabric == "cuff":
            return Counts(cuff=grown)
        return Counts(cuff=0 if mark == "cuff" else self._ended("cuff"), leg=grown)

    def _rounds_before(self, section: int) -> float:
        """Rounds of the same fabric in the section before: the gusset is foot already."""
        return self._ended("gusset") if self._course.sections[section].kind == "foot" else 0

    def _ended(self, kind: str) -> float:
        index = self._course.find(kind)
        if index is None:
            return 0
        ended = self._sock.ended
        return ended[index] if index < len(ended) else self._course.sections[index].planned


def _prior(course: Course, gauge: Gauge) -> Belief:
    index = course.find("turn")
    turn = 0 if index is None else course.sections[index].planned
    return length.prior(
        gauge.rows,
        gauge.source,
        heel_mm=(turn + 1) * 100 / gauge.rows,
        cuff_factor=gauge.cuff_factor,
        leg_factor=gauge.leg_factor,
    )
