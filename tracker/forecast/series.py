"""What can be drawn of a pair: length against rounds, pace by section and by sitting, the tension of both."""

from __future__ import annotations

from collections.abc import Iterator

from tracker.forecast.length import Fabric
from tracker.forecast.tape import Length, Tape
from tracker.forecast.tapes import Tapes
from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Number, Sock, State
from tracker.pattern.marks import fabric_of
from tracker.pattern.model import CLOSING, HALF_SOLE, Mark, Worked
from tracker.pattern.scores import AT_95
from tracker.records import NamedTuple

MOST_POINTS = 200
"""Rows at which the length of a long section is reckoned."""
HARDLY_ANY = CLOSING | {"heel set-up", HALF_SOLE}
"""Sections with so few rows that a pace says nothing."""


class Point(NamedTuple):
    """A length (mm) after `row` rows: as likely as not, and the 5 and 95 % about it."""

    row: int
    low: float
    mm: float
    high: float


class Laid(NamedTuple):
    """A reading: `mm` from the mark of the section's goal, after `row`; whether it counts."""

    row: int
    mm: float
    counts: bool


class Growth(NamedTuple):
    """The length of a section of a sock against its rows, from `mark`.

    `points` go from row 0 to `end`, the last row it may have; `done` rows are knitted. `goal` (mm) is from
    the same mark, None where there is none. `taught` is true where only the other sock's tape told of it.
    """

    section: str
    worked: Worked
    mark: Mark
    points: tuple[Point, ...]
    readings: tuple[Laid, ...]
    goal: float | None
    done: int
    end: int
    taught: bool

    def at(self, row: float) -> Point:
        """The point nearest to a row."""
        return min(self.points, key=lambda point: abs(point.row - row))


class Pace(NamedTuple):
    """Minutes to a row of a section, on sock one and on sock two; None where they are not known."""

    section: str
    worked: Worked
    minutes: tuple[float | None, float | None]


class Sitting(NamedTuple):
    """A sitting with the pair: the day it began on (since 1970, by her clock), minutes, stitches a minute.

    Stitches, and not rounds, for she knits now a gusset and now a toe.
    """

    day: int
    minutes: float
    per_minute: float


class Tight(NamedTuple):
    """Rounds to 100 mm of a sock's fabric, as its readings taught: likely, and 5 and 95 %.

    `gauge` is what the swatch said of that fabric, None where there was none.
    """

    fabric: Fabric
    sock: Number
    low: float
    rows: float
    high: float
    gauge: float | None


# Length


def growth(
    course: Course, state: State, number: Number, tapes: Tapes | None = None
) -> Growth | None:
    """The section in hand of a sock as it grows, or where that is not measured the one before it that is.

    None where no tape has told of its length, on either sock.
    """
    tape = (tapes or Tapes(course, state)).of(number)
    index = measured(course, state, number)
    if tape is None or index is None:
        return None
    told = any(tape.known.learned.counted)
    if not told and tape.known.teacher is None:
        return None
    there, sock = tape.course.sections[index], state.sock(number)
    done = _done(tape.course, sock, index)
    laid = tuple(_laid(tape, index))
    end = max(1, done, _end(tape, index), *(reading.row for reading in laid))
    step = -(-end // MOST_POINTS)
    rows = [*range(0, end, step), end]
    points = tuple(Point(row, *tape.band(index, row)) for row in rows)
    return Growth(
        there.called, there.worked, tape.mark_of(index), points, laid, tape.target_of(index), done,
        end, not told,
    )  # fmt: skip


def measured(course: Course, state: State, number: Number) -> int | None:
    """The section in hand by its index, or the last before it, that is measured; None where none is."""
    sock = state.sock(number)
    sections = course.of(sock).sections
    here = range(min(sock.section, len(sections) - 1), -1, -1)
    return next((index for index in here if sections[index].marks), None)


def _done(course: Course, sock: Sock, index: int) -> int:
    if index < len(sock.ended):
        return sock.ended[index]
    return course.number(index, sock.rows) if index == sock.section else 0


def _end(tape: Tape, index: int) -> int:
    """The last row a section may have: the one at which it is long enough, 19 times in 20."""
    sock = tape.sock
    if index < len(sock.ended):
        return sock.ended[index]
    found: Length = tape.length()
    ahead = found.high if found.high is not None else found.likely
    return tape.course.sections[index].planned if ahead is None else tape.done + ahead


def _laid(tape: Tape, index: int) -> Iterator[Laid]:
    mark = tape.mark_of(index)
    for taken in tape.taken:
        if taken.section == index:
            usual, own = tape.up_to(index, taken.row), tape.after(index, mark, taken.row)
            yield Laid(taken.row, taken.at_mm - usual + own, taken.counts)


# Pace


def paces(course: Course, state: State) -> tuple[Pace, ...]:
    """The sections of which the time is known on a sock at least, in their order."""
    found = (
        Pace(there.called, there.worked, (_pace(course, state, 1, n), _pace(course, state, 2, n)))
        for n, there in enumerate(course.sections)
        if there.called not in HARDLY_ANY
    )
    return tuple(pace for pace in found if any(pace.minutes))


def _pace(course: Course, state: State, number: Number, index: int) -> float | None:
    """Minutes to a row of a section, that in hand as far as it is done; None where they are not known."""
    sock = state.sock(number)
    there = course.of(sock).sections[index]
    if index < len(sock.minutes_at) and index < len(sock.ended):
        rows, minutes = there.rows_to(sock.ended[index]), sock.minutes_at[index]
    elif index == sock.section and index == len(sock.minutes_at):
        rows, minutes = sock.rows, sock.minutes
    else:
        return None
    begun = sock.minutes_at[index - 1] if index else 0.0
    if minutes is None or begun is None or rows < 1 or minutes <= begun:
        return None
    return (minutes - begun) / rows


def sittings(state: State) -> tuple[Sitting, ...]:
    """The last sittings, oldest first; those of which not a minute is known are left out."""
    return tuple(
        Sitting(sat.day, sat.minutes, sat.stitches / sat.minutes)
        for sat in state.worked.sat
        if sat.minutes >= 1
    )


# Tension


def tensions(course: Course, state: State, tapes: Tapes | None = None) -> tuple[Tight, ...]:
    """Every fabric that a sock was measured in, sock by sock."""
    tapes = tapes or Tapes(course, state)
    fabrics: tuple[Fabric, ...] = ("cuff", "leg", "foot")
    found = (_tight(tapes, number, fabric) for fabric in fabrics for number in BOTH)
    return tuple(one for one in found if one is not None)


def _tight(tapes: Tapes, number: Number, fabric: Fabric) -> Tight | None:
    tape = tapes.of(number)
    if tape is None or not any(
        one.counts and _fabric(tape, one.section) == fabric for one in tape.taken
    ):
        return None
    at = tape.belief.mean._fields.index(fabric)
    mm, sd = tape.belief.mean[at], max(tape.belief.spread[at][at], 0.0) ** 0.5
    if not mm - AT_95 * sd > 0:
        return None
    swatch = 100 / tape.belief.swatch[at] if tapes.course.pattern.gauge else None
    return Tight(fabric, number, 100 / (mm + AT_95 * sd), 100 / mm, 100 / (mm - AT_95 * sd), swatch)


def _fabric(tape: Tape, section: int) -> Fabric:
    return fabric_of(tape.course.sections[section])
