"""What is left of the section at hand: length now, rounds to its goal, the next reading, minutes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, floor, hypot
from typing import NamedTuple

from tracker.forecast import length
from tracker.forecast.length import Belief, Counts, Fabric, Reach, Reading
from tracker.forecast.pace import Pace
from tracker.forecast.washing import after_washing, before_washing
from tracker.forecast.whole import What, ends
from tracker.knitting import pair
from tracker.knitting.course import Course
from tracker.knitting.state import Number, State, TapeReading, other
from tracker.pattern.marks import fabric_of
from tracker.pattern.model import Gauge, Goal, Mark, Section
from tracker.units import read_length, whole, write_length

TAPE_FIRST = 10
"""Rounds after which, where no gauge is known, the tape is laid first; and those to the second
reading (common practice, no source)."""
_STARTS_TRIED = 8
"""Readings of which each is tried as the first sound one, where no gauge is known."""


class Taken(NamedTuple):
    """A reading of this sock: mm from its mark after a row of its section; whether it counts.

    `at_mm` is where that lies from the mark its section is usually measured from. `rounds_off`
    and `mm_off` say by how much longer than expected one is that does not, `event` when it was taken,
    `answered` whether she has said what is to be done with it.
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


class Match(NamedTuple):
    """What makes a section as long as it is on the other sock: so many rounds more, and a goal (mm)."""

    rounds: int
    mm: float


class Tension(NamedTuple):
    """A reading at `row` against the other sock: so much longer (a share), likely so much (mm) at its end.

    `match` is the way to the same length in place of the same count, where the other sock has ended it.
    """

    share: float
    mm: float
    row: int
    match: Match | None = None


class Length(NamedTuple):
    """How long the section at hand is (mm, mean and sd, from `mark`), and where it ends.

    `low`, `likely`, `high` are whole rows to go; `ends` the lengths (5 and 95 %) at `likely`.
    `goal_row` is the row at which the goal is likely reached, behind her or ahead. `due` is the
    row of the next reading, `measure_at` the same or, where that is past, the row in hand.
    `after_mm` is the length that belongs to the goal but follows the section: the toe. `tension`
    compares with the other sock. `whole` are the rows about the goal at which a repeat or a stripe
    (`whole_what`) is whole, each with the length (mm) there. All are lengths on the needles;
    `grows` is the share by which washing makes them longer.
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
    tension: Tension | None = None
    whole_what: What = "repeat"
    whole: tuple[tuple[int, float], ...] = ()
    grows: float = 0.0


class Unknown(NamedTuple):
    """A length that only the tape can tell, and has not yet: without a gauge two readings must agree.

    `mm` is the goal from `mark`, None where there is none; `due` the row at which to lay the tape.
    """

    mark: Mark
    target_mm: float | None
    taken: int
    due: int


def length_of(course: Course, state: State, number: Number) -> Length | Unknown | None:
    """The length of the section in hand on a sock; None where none is taken."""
    sock = state.sock(number)
    section = course.of(sock).sections[sock.section]
    if not section.marks or sock.finished:
        return None
    tape = _tape(course, state, number)
    return _unknown(course, state, number, section) if tape is None else tape.length()


def ended_length(course: Course, state: State, number: Number, index: int) -> float | None:
    """How long (mm, from its usual mark) a finished section of a sock is; None where that is unknown."""
    sock = state.sock(number)
    section = course.of(sock).sections[index]
    if not section.marks or index >= len(sock.ended):
        return None
    tape = _tape(course, state, number)
    return None if tape is None else tape.up_to(index, sock.ended[index])


def readings_of(course: Course, state: State, number: Number) -> tuple[Taken, ...]:
    """Every reading of a sock that is kept, and whether it counts; nothing while no two can be compared."""
    tape = _tape(course, state, number)
    return () if tape is None else tape.taken


def tension_of(course: Course, state: State) -> float | None:
    """The share by which sock two is longer than sock one at one count; below 0: it is tighter.

    By the last reading, of the sock measured later, that can be compared; None where none can.
    """
    for number in (1, 2):
        tape = _tape(course, state, number)
        share = None if tape is None else tape.last_share()
        if share is not None:
            return share if number == 2 else 1 / (1 + share) - 1
    return None


def learned_rows(course: Course, state: State, number: Number) -> tuple[float, float] | None:
    """Rounds to 100 mm of leg and foot, as the readings of a sock taught; None where none count."""
    tape = _tape(course, state, number)
    if tape is None or not tape.places:
        return None
    mean = tape.belief.mean
    return 100 / mean.leg, 100 / mean.foot


def goal_of(course: Course, state: State, number: Number, index: int) -> tuple[float, float] | None:
    """The goal (mm) of a section of a sock and, of that, what the gauge gives the toe; None: no goal."""
    goal, gauge = course.sections[index].goal, course.pattern.gauge
    if goal is None:
        return None
    own, toe = state.goal(number, index), course.find("toe")
    rows = course.sections[toe].planned if goal.less_toe and toe is not None else 0
    return goal.mm if own is None else own, rows * 100 / gauge.rows if gauge else 0.0


def rows_to_goal(course: Course, state: State, number: Number, index: int) -> int:
    """Rows of an open section that is not begun: as planned, but to her own goal where she has set one.

    Those are reckoned as they will be once she is there: by what the tape taught on either sock, else by
    the swatch.
    """
    section = course.of(state.sock(number)).sections[index]
    own = state.goal(number, index)
    if section.goal is None or own is None:
        return section.planned
    tape = _tape(course, state, number)
    return section.planned if tape is None else tape.rows_of(index, section.goal._replace(mm=own))


def rows_at(course: Course, state: State, number: Number, mm: float) -> tuple[int, int, int] | None:
    """Rows of the section in hand (least, likely, most, at 90 %) at which it is so long.

    `mm` is read on the needles, from where the section is usually measured; below 0 it lies before it.
    None where no length is taken, or none can be reckoned.
    """
    tape = _tape(course, state, number)
    return None if tape is None else tape.rows_at(mm)


def lengths_after(
    course: Course, state: State, number: Number, section: int
) -> Callable[[int], float] | None:
    """How long (mm, from the mark of its goal) an open section, in hand or to come, is after so many rounds.

    None where no length can be reckoned.
    """
    tape, goal = _tape(course, state, number), course.sections[section].goal
    if tape is None or goal is None:
        return None
    return lambda rounds: tape.after(section, goal.mark, rounds)


def _taught(course: Course, state: State, number: Number, gauge: Gauge) -> Belief | None:
    """What the other sock's readings taught, where that one was measured first: one knitter, one yarn."""
    mine, hers = state.sock(number).readings, state.sock(other(number)).readings
    if not hers or (mine and mine[0].event < hers[0].event):
        return None
    tape = _Tape(course, state, other(number), gauge)
    return tape.belief if tape.places else None


def _tape(course: Course, state: State, number: Number) -> _Tape | None:
    """The readings of a sock; None where there is no gauge, and no two of them agree on one.

    A first reading that was a slip must not stand against all that follow: the run of readings
    of which most agree is the one believed, and of two such runs the later.
    """
    gauge = course.pattern.gauge
    if gauge is not None:
        return _Tape(course, state, number, gauge, teacher=_taught(course, state, number, gauge))
    taken = state.sock(number).readings
    sound = [place for place, reading in enumerate(taken) if reading.verdict != "void"]
    best: _Tape | None = None
    for start in sound[-_STARTS_TRIED:-1]:
        tape = _Tape(course, state, number, None, start)
        if tape.places >= 2 and (best is None or tape.places >= best.places):
            best = tape
    return best


def _unknown(course: Course, state: State, number: Number, section: Section) -> Unknown:
    sock = state.sock(number)
    goal, own = section.goal, state.goal(number, sock.section)
    mm = own if own is not None and goal is not None else goal.mm if goal else None
    sound = [taken for taken in sock.readings if taken.verdict != "void"]
    last = max((t.row for t in sound if t.section == sock.section), default=0)
    due = max(last + TAPE_FIRST, TAPE_FIRST)
    mark = goal.mark if goal else section.marks[0]
    return Unknown(mark, mm, len(sound), due)


def pace_of(state: State) -> Pace:
    """The pace, from the rounds that were timed."""
    pace = Pace()
    for timed in state.timed:
        pace = pace.add(timed)
    return pace


def rows_left(course: Course, state: State, number: Number) -> int:
    """Rows to the planned end of the section at hand, row 0 left out, never below 0."""
    sock = state.sock(number)
    if sock.finished:
        return 0
    done = course.of(sock).number(sock.section, sock.rows)
    return max(0, pair.planned(course, state, number).rows - done)


def stitches_left(course: Course, state: State, number: Number, rows: int) -> int:
    """Stitches to make in `rows` more rows of the section at hand, the needles ticked taken off."""
    sock = state.sock(number)
    if sock.finished:
        return 0
    course = course.of(sock)
    last = course.sections[sock.section].rows_to(course.number(sock.section, sock.rows) + rows)
    begun = course.row(sock.section, sock.rows).needles[: sock.needles] if sock.needles else ()
    here = course.made(sock.section, sock.rows) + sum(needle.made for needle in begun)
    if sock.into:
        from tracker.knitting.tinking import made_into

        here += made_into(course.row(sock.section, sock.rows), sock.needles, sock.into)
    return max(0, course.made(sock.section, last) - here)


class _Tape:
    """The readings of one sock, laid against its pattern."""

    def __init__(
        self,
        course: Course,
        state: State,
        number: Number,
        gauge: Gauge | None,
        start: int = 0,
        teacher: Belief | None = None,
    ) -> None:
        self._state, self._number = state, number
        self._grows = gauge.grows if gauge else 0.0
        self._sock = state.sock(number)
        self._course = course = course.of(self._sock)
        self._section = course.sections[self._sock.section]
        self._done = course.number(self._sock.section, self._sock.rows)
        self._growing: Fabric = fabric_of(self._section)
        goal = self._section.goal
        self._mark: Mark = (
            goal.mark if goal else self._section.marks[0] if self._section.marks else "section"
        )
        self._before = self._grown(self._mark, self._sock.section, 0)
        self._usual = tuple(
            there.marks[0] if there.marks else "section" for there in course.sections
        )
        readings = [self._reading(taken) for taken in self._sock.readings]
        self._teacher = teacher
        self._prior = (
            _prior(course, gauge or _gauge_of(readings[start:]))
            if teacher is None
            else length.loosened(teacher)
        )
        learned = length.fold(self._prior, readings[start:])
        self._readings, self.belief = readings, learned.belief
        counted = (False,) * start + learned.counted
        self.places = len({r.counts for r, counts in zip(readings, counted, strict=True) if counts})
        """At how many different counts the readings lie that count."""
        self._taken = tuple(
            Taken(
                taken.section,
                taken.row,
                taken.mm,
                taken.mm + self._offset(taken),
                counts,
                0 if counts else self._rounds(self._mm_off(reading)),
                taken.event,
                bool(taken.verdict),
                0.0 if counts else self._mm_off(reading),
            )
            for taken, reading, counts in zip(self._sock.readings, readings, counted, strict=True)
        )
        self._measured_at = max(
            (
                self._grown(self._mark, taken.section, taken.row)
                for taken in self._taken
                if taken.counts
            ),
            default=0.0,
        )
        self._drift = length.DRIFT_OTHER_NEEDLES if self._on_other_needles() else length.DRIFT

    def _on_other_needles(self) -> bool:
        """Whether needles of another size came after the last reading that counts."""
        last = max(((one.section, one.row) for one in self._taken if one.counts), default=(-1, 0))
        sizes = [change for change in self._sock.changes if change.kind == "needle"]
        here = (self._sock.section, self._done + 1)
        return any(last < (size.section, size.row) <= here for size in sizes)

    def tension(self) -> Tension | None:
        """How the last reading of this section compares with the other sock, where that was measured."""
        if self._teacher is None or not self._taken:
            return None
        taken = self._taken[-1]
        share = self._share(len(self._taken) - 1) if taken.section == self._sock.section else None
        if share is None:
            return None
        planned = pair.planned(self._course, self._state, self._number).rows
        at_end = self._counts(self._mark, self._sock.section, planned)
        # By what is believed of both, as the rounds of a match are: one reading errs by itself.
        mm = length.length(self.belief, at_end)[0] - length.length(self._teacher, at_end)[0]
        return Tension(share, mm, taken.row, self._match(self._teacher))

    def last_share(self) -> float | None:
        """How much longer than on the other sock the last reading is that can be compared, as a share."""
        shares = (self._share(at) for at in reversed(range(len(self._taken))))
        return next((share for share in shares if share is not None), None)

    def _share(self, at: int) -> float | None:
        """The same of one reading; None where it does not count, or too little is knitted to tell."""
        taken, counts = self._taken[at], self._readings[at].counts
        if self._teacher is None or not taken.counts:
            return None
        expected, _ = length.length(self._teacher, counts)
        grown = getattr(counts, fabric_of(self._course.sections[taken.section]))
        enough = grown >= length.FIRST_READING and expected > 0
        return taken.mm / expected - 1 if enough else None

    def _match(self, teacher: Belief) -> Match | None:
        """Nothing where it has a goal of its own, or ends by itself; nor where it is that long already."""
        section, goal = self._sock.section, self._section.goal
        ended = self._state.follows(self._number, section)
        if goal is None or ended is None:
            return None
        there = self._counts(goal.mark, section, ended)
        if goal.less_toe:
            there = there._replace(foot=there.foot + self._toe())
        mm, _ = length.length(teacher, there)
        unit = self._course.pattern.unit
        written = write_length(after_washing(mm, self._grows), unit, with_unit=False)
        mm = read_length(written, unit).mm
        aim = goal._replace(mm=before_washing(mm, self._grows))
        rows = self._row_of(self._reach(aim).likely)
        return Match(rows - ended, mm) if rows != ended and rows >= self._done else None

    @property
    def taken(self) -> tuple[Taken, ...]:
        """All readings, as they were taken."""
        return self._taken

    def up_to(self, section: int, rows: int) -> float:
        """The length (mm) of a section after `rows` rows, from its usual mark."""
        return length.length(self.belief, self._counts(self._usual[section], section, rows))[0]

    def after(self, section: int, mark: Mark, rows: int) -> float:
        """The length (mm) of a section after `rows` rows, from a mark."""
        return length.length(self.belief, self._counts(mark, section, rows))[0]

    def rows_of(self, index: int, goal: Goal) -> int:
        """Rows of a section to come at which a goal (mm, washed) is reached; one at the least."""
        growing = fabric_of(self._course.sections[index])
        fixed = self._counts(goal.mark, index, 0)
        if goal.less_toe:
            fixed = fixed._replace(foot=fixed.foot + self._toe())
        mm = before_washing(goal.mm, self._grows)
        return max(1, whole(length.rounds_to(self.belief, fixed, growing, mm).likely))

    def rows_at(self, mm: float) -> tuple[int, int, int] | None:
        """Rows of the section in hand (least, likely, most) at which it is so long from its usual mark."""
        mark, here = self._usual[self._sock.section], self._sock.section
        if not self._section.marks:
            return None
        fixed = self._counts(mark, here, 0)
        likely = length.rounds_to(self.belief, fixed, self._growing, mm).likely
        height = getattr(self.belief.mean, self._growing)
        _, sd = length.length(self.belief, self._counts(mark, here, max(0, whole(likely))))
        off = length.Z * hypot(sd, length.reading_sigma(mark)) / height if height > 0 else 0.0
        return ceil(likely - off), whole(likely), floor(likely + off)

    def length(self) -> Length:
        mark = self._usual[self._sock.section]
        mm, sd = length.length(self.belief, self._counts(mark, self._sock.section, self._done))
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
                after_mm=self._after(goal), tension=self.tension(), grows=self._grows,
            )  # fmt: skip
        reach = self._reach(goal)
        low, likely, high = (self._to_go(rounds) for rounds in reach)
        return Length(
            mm, sd, goal.mark, self._target(goal), low, likely or 0, high, self._ends(likely or 0),
            self._measure_at(reach), self._taken, self._row_of(reach.likely), self._due(reach),
            self._after(goal), self.tension(), *self._whole(goal, reach), self._grows,
        )  # fmt: skip

    def _whole(self, goal: Goal, reach: Reach) -> tuple[What, tuple[tuple[int, float], ...]]:
        """Where a repeat or a stripe is whole about the goal, and how long the section is there."""
        found = ends(self._course, self._state, self._number, self._row_of(reach.likely))

        def mm(row: int) -> float:
            counts = self._counts(goal.mark, self._sock.section, row)
            return length.length(self.belief, counts)[0]

        return found.what, tuple((row, mm(row)) for row in found.rows)

    def _goal(self) -> Goal | None:
        """The goal as the tape meets it: before washing."""
        goal = self._section.goal
        if goal is None:
            return None
        own = self._state.goal(self._number, self._sock.section)
        return goal._replace(mm=before_washing(goal.mm if own is None else own, self._grows))

    def _target(self, goal: Goal | None) -> float | None:
        if goal is None:
            return None
        return goal.mm - self._after(goal)

    def _after(self, goal: Goal | None) -> float:
        """The toe's length, where the goal includes it."""
        return self._toe() * self.belief.mean.foot if goal and goal.less_toe else 0.0

    def _reach(self, goal: Goal) -> Reach:
        """Rounds of the growing fabric in all at which the goal is reached."""
        fixed = self._counts(goal.mark, self._sock.section, 0)._replace(**{self._growing: 0})
        if goal.less_toe:
            fixed = fixed._replace(foot=self._toe())
        return length.rounds_to(
            self.belief, fixed, self._growing, goal.mm, self._measured_at, self._drift
        )

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
        there = self._counts(self._mark, self._sock.section, self._done + rows)
        return length.ending(self.belief, there, self._growing, self._measured_at, self._drift)

    def _toe(self) -> int:
        index = self._course.find("toe")
        return 0 if index is None else self._course.sections[index].planned

    def _reading(self, taken: TapeReading) -> Reading:
        counts = self._counts(taken.mark, taken.section, taken.row)
        sigma = length.reading_sigma(taken.mark, taken.rough, taken.step_mm)
        said = taken.verdict
        return Reading(taken.mm, counts, sigma, said == "right", said == "void")

    def _offset(self, taken: TapeReading) -> float:
        """What lies between the usual mark of a reading's section and the mark it was taken from."""
        from_usual = self._counts(self._usual[taken.section], taken.section, taken.row)
        from_its_own = self._counts(taken.mark, taken.section, taken.row)
        one, _ = length.length(self.belief, from_usual)
        another, _ = length.length(self.belief, from_its_own)
        return one - another

    def _mm_off(self, reading: Reading) -> float:
        return reading.mm - length.length(self.belief, reading.counts)[0]

    def _rounds(self, mm: float) -> int:
        """The nearest number of rounds of the growing fabric in a length."""
        per_round = getattr(self.belief.mean, self._growing)
        return whole(mm / per_round) if per_round > 0 else 0

    def _counts(self, mark: Mark, section: int, rows: int) -> Counts:
        """What lies between `mark` and the needle after `rows` rows of a section."""
        grown: dict[Fabric, float] = {"cuff": 0, "leg": 0, "foot": 0}
        for index in range(self._first_from(mark, section), section):
            grown[fabric_of(self._course.sections[index])] += self._ended(index)
        grown[fabric_of(self._course.sections[section])] += rows
        return Counts(**grown, heel=1 if mark == "heel" else 0)

    def _grown(self, mark: Mark, section: int, rows: int) -> float:
        """Rounds of the growing fabric there, as `mark` has them; 0 where it has no such mark."""
        there = self._course.sections[section]
        if mark not in there.marks or (mark == "section" and section != self._sock.section):
            return 0
        grown: float = getattr(self._counts(mark, section, rows), self._growing)
        return grown

    def _first_from(self, mark: Mark, section: int) -> int:
        """The first section that lies between a mark and this one."""
        if mark == "section":
            return section
        first = section
        while first and mark in self._course.sections[first - 1].marks:
            first -= 1
        if mark == "cuff":
            return first
        return 0 if mark == "cast-on" else first

    def _ended(self, index: int) -> float:
        """Rows of a section that lies behind her, or as planned."""
        ended = self._sock.ended
        return ended[index] if index < len(ended) else self._course.sections[index].planned


def _gauge_of(readings: Sequence[Reading]) -> Gauge:
    """The one gauge that fits the readings best: least squares through nought, all fabrics alike."""
    readings = [reading for reading in readings if not reading.void]
    rows = [sum(reading.counts[:3]) for reading in readings]
    along = sum(count * reading.mm for count, reading in zip(rows, readings, strict=True))
    height = along / max(sum(count * count for count in rows), 1)
    return Gauge(0.0, 100 / height if height > 0 else 1.0, length.UNKNOWN)


def _prior(course: Course, gauge: Gauge) -> Belief:
    index = course.find("turn")
    turn = 0 if index is None else course.sections[index].planned
    return length.prior(
        gauge.unwashed_rows,
        gauge.source,
        heel_mm=(turn + 1) * 100 / gauge.unwashed_rows,
        cuff_factor=gauge.cuff_factor,
        leg_factor=gauge.leg_factor,
    )
