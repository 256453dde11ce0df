"""The readings of one sock, laid against its pattern: what they taught, and what that says of a section."""

from __future__ import annotations

from functools import cached_property
from math import ceil, floor, hypot

from tracker.forecast import length
from tracker.forecast.between import Between
from tracker.forecast.length import Belief, Counts, Fabric, Learned, Reach, Reading
from tracker.forecast.washing import before_washing
from tracker.forecast.whole import What, ends
from tracker.knitting import pair
from tracker.knitting.course import Course
from tracker.knitting.state import Number, State, TapeReading
from tracker.pattern.marks import fabric_of
from tracker.pattern.model import Goal, Mark
from tracker.pattern.scores import AT_95
from tracker.records import NamedTuple
from tracker.units import whole


class Taken(NamedTuple):
    """A reading of this sock: mm from its mark after a row of its section; whether it counts.

    `at_mm` is where that lies from the mark its section is usually measured from. `rounds_off`
    and `mm_off` say by how much longer than expected one is that does not, `event` when it was taken,
    `answered` whether she has said what is to be done with it. `below` is the place of an earlier reading
    that it is shorter than, though there is more between the marks.
    """

    section: int
    row: int
    mm: float
    at_mm: float
    counts: bool
    rounds_off: int
    event: int
    answered: bool = False
    mm_off: float = 0.0
    below: int | None = None


class Length(NamedTuple):
    """How long the section at hand is (mm, mean and sd, from `mark`), and where it ends.

    `low`, `likely`, `high` are whole rows to go; `ends` the lengths (5 and 95 %) at `likely`.
    `goal_row` is the row at which the goal is likely reached, behind her or ahead, None while no range
    can be said (`likely` neither, where nobody has counted the rows). `due` is the row of the next
    reading, `measure_at` the same or, where that is past, the row in hand. `after_mm` is the length
    that belongs to the goal but follows the section: the toe. `whole` are the rows about the goal at
    which a repeat or a stripe (`whole_what`) is whole, each with the length (mm) there. All are lengths
    on the needles; `grows` is the share by which washing makes them longer.
    """

    mm: float
    sd_mm: float
    mark: Mark
    target_mm: float | None
    low: int | None
    likely: int | None
    high: int | None
    ends: tuple[float, float] | None
    measure_at: int | None
    readings: tuple[Taken, ...]
    goal_row: int | None = None
    due: int | None = None
    after_mm: float = 0.0
    whole_what: What = "repeat"
    whole: tuple[tuple[int, float], ...] = ()
    grows: float = 0.0


class Known(NamedTuple):
    """What is believed before a sock's own readings, and after them, with which of them count.

    `teacher` is what the other sock taught, before it was loosened, in the fabrics `taught`.
    """

    between: Between
    readings: tuple[Reading, ...]
    before: Belief
    learned: Learned
    teacher: Belief | None = None
    taught: frozenset[Fabric] = frozenset()


class Tape:
    """The readings of one sock, laid against its pattern."""

    def __init__(self, course: Course, state: State, number: Number, known: Known) -> None:
        gauge = course.pattern.gauge
        self.state, self.number, self.known = state, number, known
        self.grows = gauge.grows if gauge else 0.0
        self.sock = state.sock(number)
        self.course = course.of(self.sock)
        self.between, self.readings = known.between, known.readings
        self.belief = known.learned.belief
        here = self.sock.section
        self._section = self.course.sections[here]
        self.done = self.course.number(here, self.sock.rows)
        self._growing: Fabric = fabric_of(self._section)
        self._mark = self.mark_of(here)
        self._before = self._grown(self._mark, here, 0)

    @cached_property
    def taken(self) -> tuple[Taken, ...]:
        """All readings, as they were taken."""
        return tuple(self._taken(place) for place in range(len(self.readings)))

    def mark_of(self, section: int) -> Mark:
        """From where the goal of a section is measured; where it has none, the section."""
        goal = self.course.sections[section].goal
        return goal.mark if goal else self.between.usual(section)

    def _taken(self, place: int) -> Taken:
        taken, reading = self.sock.readings[place], self.readings[place]
        counted = self.known.learned.counted
        counts = counted[place]
        below = None if counts else length.shorter_than(self.readings, counted, place)
        off = 0.0 if counts else reading.mm - length.length(self.belief, reading.counts)[0]
        return Taken(
            taken.section, taken.row, taken.mm, taken.mm + self._offset(taken), counts,
            self._rounds(off), taken.event, bool(taken.verdict), off,
            below,
        )  # fmt: skip

    @cached_property
    def _measured_at(self) -> float:
        """Rounds of the growing fabric at its last reading that counts; 0: none."""
        counting = (one for one in self.taken if one.counts)
        return max((self._grown(self._mark, one.section, one.row) for one in counting), default=0.0)

    @cached_property
    def _drift(self) -> float:
        return length.DRIFT_OTHER_NEEDLES if self.on_other_needles() else length.DRIFT

    def on_other_needles(self) -> bool:
        """Whether needles of another size came after the last reading that counts."""
        last = max(((one.section, one.row) for one in self.taken if one.counts), default=(-1, 0))
        sizes = [change for change in self.sock.changes if change.kind == "needle"]
        here = (self.sock.section, self.done + 1)
        return any(last < (size.section, size.row) <= here for size in sizes)

    def up_to(self, section: int, rows: int) -> float:
        """The length (mm) of a section after `rows` rows, from its usual mark."""
        return length.length(
            self.belief, self.between.counts(self.between.usual(section), section, rows)
        )[0]

    def after(self, section: int, mark: Mark, rows: int) -> float:
        """The length (mm) of a section after `rows` rows, from a mark."""
        return length.length(self.belief, self.between.counts(mark, section, rows))[0]

    def band(self, section: int, rows: int) -> tuple[float, float, float]:
        """The length (mm) of a section after `rows` rows, from the mark of its goal: 5 %, mean and 95 %.

        In the section in hand the rows still to come may drift.
        """
        there = self.between.counts(self.mark_of(section), section, rows)
        mean, sd = length.length(self.belief, there)
        if section == self.sock.section and not self.sock.finished and rows > self.done:
            low, high = length.ending(
                self.belief, there, self._growing, self._measured_at, self._drift
            )
            return low, mean, high
        return mean - AT_95 * sd, mean, mean + AT_95 * sd

    def target_of(self, section: int) -> float | None:
        """The goal of a section (mm on the needles, from its mark, less what follows), if it has one."""
        goal = self.course.sections[section].goal
        if goal is None:
            return None
        own = self.state.goal(self.number, section)
        mm = before_washing(goal.mm if own is None else own, self.grows)
        return mm - self._after(goal)

    def rows_of(self, index: int, goal: Goal) -> int:
        """Rows of a section to come at which a goal (mm, washed) is reached; one at the least.

        Where it may not end at any row, the nearest at which it may.
        """
        growing = fabric_of(self.course.sections[index])
        fixed = self.between.counts(goal.mark, index, 0)
        fixed = length.together(fixed, self.between.included(goal))
        mm = before_washing(goal.mm, self.grows)
        likely = whole(length.rounds_to(self.belief, fixed, growing, mm).likely)
        return self.course.ends_near(index, likely)

    def rows_at(self, mm: float) -> tuple[int, int, int] | None:
        """Rows of the section in hand (least, likely, most) at which it is so long from its usual mark."""
        mark, here = self.between.usual(self.sock.section), self.sock.section
        if not self._section.marks:
            return None
        fixed = self.between.counts(mark, here, 0)
        likely = length.rounds_to(self.belief, fixed, self._growing, mm).likely
        height = getattr(self.belief.mean, self._growing)
        _, sd = length.length(self.belief, self.between.counts(mark, here, max(0, whole(likely))))
        off = AT_95 * hypot(sd, length.reading_sigma(mark)) / height if height > 0 else 0.0
        return ceil(likely - off), whole(likely), floor(likely + off)

    def length(self) -> Length:
        """The length of the section in hand, and where it ends."""
        goal = self._goal()
        planned = pair.planned(self.course, self.state, self.number)
        if goal is None or planned.by != "goal":
            return self._counted(goal, planned.rows)
        reach = self.reach(goal)
        low, likely, high = (self._to_go(rounds) for rounds in reach)
        known = low is not None
        likely = likely if known or self._section.counted else None
        found = self._whole(goal, reach) if known else ("repeat", ())
        return Length(
            *self._now(), goal.mark, self._target(goal), low, likely, high,
            self._ends(likely or 0), self._measure_at(reach), self.taken,
            self._end_near(reach.likely) if known else None, self._due(reach),
            self._after(goal), *found, self.grows,
        )  # fmt: skip

    def _counted(self, goal: Goal | None, end: int) -> Length:
        """Of a section that ends by itself: past the other sock's count the end lies behind her."""
        left = max(0, end - self.done)
        ends = self._ends(end - self.done) if goal else None
        return Length(
            *self._now(), self.between.usual(self.sock.section), self._target(goal), left, left,
            left, ends, None, self.taken, after_mm=self._after(goal), grows=self.grows,
        )  # fmt: skip

    def _now(self) -> tuple[float, float]:
        """The length now, from where the section is usually measured: mean and sd (mm)."""
        here = self.sock.section
        return length.length(
            self.belief, self.between.counts(self.between.usual(here), here, self.done)
        )

    def _whole(self, goal: Goal, reach: Reach) -> tuple[What, tuple[tuple[int, float], ...]]:
        """Where a repeat or a stripe is whole about the goal, and how long the section is there."""
        found = ends(self.course, self.state, self.number, self.row_of(reach.likely))

        def mm(row: int) -> float:
            counts = self.between.counts(goal.mark, self.sock.section, row)
            return length.length(self.belief, counts)[0]

        return found.what, tuple((row, mm(row)) for row in found.rows)

    def _goal(self) -> Goal | None:
        """The goal as the tape meets it: before washing."""
        goal = self._section.goal
        if goal is None:
            return None
        own = self.state.goal(self.number, self.sock.section)
        return goal._replace(mm=before_washing(goal.mm if own is None else own, self.grows))

    def _target(self, goal: Goal | None) -> float | None:
        if goal is None:
            return None
        return goal.mm - self._after(goal)

    def _after(self, goal: Goal | None) -> float:
        """The length of the toe, or of gusset and heel, where the goal includes it."""
        included = self.between.included(goal) if goal else Counts()
        return length.length(self.belief, included)[0]

    def reach(self, goal: Goal) -> Reach:
        """Rounds of the growing fabric in all at which the goal is reached."""
        fixed = self.between.counts(goal.mark, self.sock.section, 0)._replace(**{self._growing: 0})
        fixed = length.together(fixed, self.between.included(goal))
        return length.rounds_to(
            self.belief, fixed, self._growing, goal.mm, self._measured_at, self._drift
        )

    def row_of(self, rounds: float) -> int:
        """The row of this section at which its fabric has so many rounds."""
        return whole(rounds) - int(self._before)

    def _to_go(self, rounds: float | None) -> int | None:
        if rounds is None:
            return None
        row = self.row_of(rounds)
        here = self.sock.section
        if self._section.varies or self.course.shaped_to(here):
            row = self.course.ends_near(here, row, max(self.done, 1))
        return max(0, row - self.done)

    def _end_near(self, rounds: float) -> int:
        """The row nearest to so many rounds of the fabric at which the section may end."""
        row = self.row_of(rounds)
        return self.course.ends_near(self.sock.section, row) if row > 0 else row

    def _due(self, reach: Reach) -> int | None:
        due = length.measure_at(reach, self._measured_at)
        return None if due is None else max(1, due - int(self._before))

    def _measure_at(self, reach: Reach) -> int | None:
        due = self._due(reach)
        return None if due is None else max(self.done, due)

    def _ends(self, rows: int) -> tuple[float, float]:
        there = self.between.counts(self._mark, self.sock.section, self.done + rows)
        return length.ending(self.belief, there, self._growing, self._measured_at, self._drift)

    def _offset(self, taken: TapeReading) -> float:
        """What lies between the usual mark of a reading's section and the mark it was taken from."""
        if taken.mark == self.between.usual(taken.section):
            return 0.0
        from_usual = self.between.counts(
            self.between.usual(taken.section), taken.section, taken.row
        )
        from_its_own = self.between.counts(taken.mark, taken.section, taken.row)
        one, _ = length.length(self.belief, from_usual)
        another, _ = length.length(self.belief, from_its_own)
        return one - another

    def _rounds(self, mm: float) -> int:
        """The nearest number of rounds of the growing fabric in a length."""
        per_round = getattr(self.belief.mean, self._growing)
        return whole(mm / per_round) if per_round > 0 else 0

    def _grown(self, mark: Mark, section: int, rows: int) -> float:
        """Rounds of the growing fabric there, as `mark` has them; 0 where it has no such mark."""
        there = self.course.sections[section]
        if mark not in there.marks or (mark == "section" and section != self.sock.section):
            return 0
        grown: float = getattr(self.between.counts(mark, section, rows), self._growing)
        return grown
