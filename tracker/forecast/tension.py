"""How a sock's readings compare with what the other sock's taught: whether one is knitted tighter."""

from __future__ import annotations

from math import hypot

from tracker.forecast import length
from tracker.forecast.length import Belief, Reading
from tracker.forecast.tape import Tape
from tracker.forecast.washing import after_washing, before_washing
from tracker.knitting import pair
from tracker.pattern.marks import fabric_of
from tracker.pattern.scores import AT_98
from tracker.records import NamedTuple
from tracker.units import read_length, whole, write_length

DRIFTED = 0.04
"""The share beyond which the same count is no more the same length (common practice, no source)."""
SURE = AT_98
"""Standard deviations beyond which two socks differ: like ones are told apart one time in 25."""


TOLD_AGAIN = 2
"""Rounds before the end of a section at which a drift is told again, while something can be done."""


class Match(NamedTuple):
    """What makes a section as long as it is on the other sock: so many rounds more, and a goal (mm)."""

    rounds: int
    mm: float


class Tension(NamedTuple):
    """A section against the other sock, by its readings: longer by a share (and its sd), the last at `row`.

    `mm` is by how much it is likely longer at its end. `match` is the way to the same length in place of
    the same count, where the other sock has ended it. `event` is when the last reading was taken;
    `settled` is that needles of another size were taken since.
    """

    share: float
    sd: float
    mm: float
    row: int
    event: int
    match: Match | None = None
    settled: bool = False

    @property
    def beyond_error(self) -> bool:
        """Whether it is more than the errors of the readings explain."""
        return abs(self.share) > SURE * self.sd

    @property
    def drifted(self) -> bool:
        """Whether it is more than that, and too much for the same count."""
        return self.beyond_error and abs(self.share) > DRIFTED


def tension_in(tape: Tape, section: int) -> Tension | None:
    """How the readings of a section compare with the other sock, where that was measured first.

    None where it was not, or too little is knitted to tell.
    """
    places = [n for n, one in enumerate(tape.taken) if one.counts and one.section == section]
    fabric = fabric_of(tape.course.sections[section])
    teacher = tape.known.teacher
    if teacher is None or fabric not in tape.known.taught or not places:
        return None
    grown = getattr(tape.readings[places[-1]].counts, fabric)
    if grown < length.FIRST_READING:
        return None
    found = _apart(teacher, [tape.readings[place] for place in places])
    if found is None:
        return None
    last = tape.taken[places[-1]]
    match = _match(tape, teacher) if section == tape.sock.section else None
    mm = _mm_at_end(tape, teacher, section)
    return Tension(*found, mm, last.row, last.event, match, tape.on_other_needles())


def last_tension(tape: Tape) -> Tension | None:
    """That of the section of the last reading that can be compared."""
    sections = dict.fromkeys(one.section for one in reversed(tape.taken))
    found = (tension_in(tape, section) for section in sections)
    return next((tension for tension in found if tension is not None), None)


def compare_at(tape: Tape, rows: int) -> int | None:
    """The row in the middle of the section in hand, of so many, at which one reading tells the socks apart.

    None where the other sock was not measured first in this fabric, where this section was measured, or
    where so late a reading is of no more use.
    """
    here = tape.sock.section
    fabric = fabric_of(tape.course.sections[here])
    sound = [one for one in tape.sock.readings if one.section == here and one.verdict != "void"]
    if fabric not in tape.known.taught or sound:
        return None
    before = getattr(tape.between.counts(tape.mark_of(here), here, 0), fabric)
    row = max(whole(rows / 2), length.FIRST_READING - int(before))
    return row if row <= rows - TOLD_AGAIN else None


def _apart(teacher: Belief, readings: list[Reading]) -> tuple[float, float] | None:
    """By which share the readings are longer than taught, and its sd: least squares through nought.

    What is believed of the sock itself leans on the teacher, and would make light of a drift.
    """
    alike: dict[object, list[Reading]] = {}
    for reading in readings:
        alike.setdefault(reading.counts, []).append(reading)
    weight = longer = 0.0
    for one in map(length.merged, alike.values()):
        expected, _ = length.length(teacher, one.counts)
        weight += expected * expected / one.sigma**2
        longer += expected * (one.mm - expected) / one.sigma**2
    expected, doubt = length.length(teacher, readings[-1].counts)
    if not (weight > 0 and expected > 0):
        return None
    return longer / weight, hypot(weight**-0.5, doubt / expected)


def _mm_at_end(tape: Tape, teacher: Belief, section: int) -> float:
    """By what is believed of both, as the rounds of a match are."""
    ended = tape.sock.ended
    rows = (
        ended[section]
        if section < len(ended)
        else pair.planned(tape.course, tape.state, tape.number).rows
    )
    at_end = tape.between.counts(tape.mark_of(section), section, rows)
    return length.length(tape.belief, at_end)[0] - length.length(teacher, at_end)[0]


def _match(tape: Tape, teacher: Belief) -> Match | None:
    """Nothing where it has a goal of its own, or ends by itself; nor where it is that long already."""
    section = tape.sock.section
    goal, ended = tape.course.sections[section].goal, tape.state.follows(tape.number, section)
    if goal is None or ended is None:
        return None
    there = tape.between.counts(goal.mark, section, ended)
    there = length.together(there, tape.between.included(goal))
    mm, _ = length.length(teacher, there)
    written = write_length(after_washing(mm, tape.grows), tape.course.pattern.unit, with_unit=False)
    mm = read_length(written, tape.course.pattern.unit).mm
    aim = goal._replace(mm=before_washing(mm, tape.grows))
    rows = tape.row_of(tape.reach(aim).likely)
    return Match(rows - ended, mm) if rows != ended and rows >= tape.done else None
