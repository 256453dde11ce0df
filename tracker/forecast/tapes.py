"""The tapes of a pair: what the readings of each sock taught, and what one sock taught the other."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.forecast import length
from tracker.forecast.between import Between
from tracker.forecast.length import Belief, Fabric, Reading
from tracker.forecast.tape import Known, Tape
from tracker.forecast.unknown import agreeing, prior
from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Number, State, TapeReading, other
from tracker.pattern.marks import fabric_of
from tracker.pattern.model import Gauge


class Tapes:
    """Both tapes, each made once, when it is first asked for."""

    def __init__(self, course: Course, state: State) -> None:
        self.course, self.state = course, state
        self._made: dict[Number, Tape | None] = {}
        self._between: dict[Number, Between] = {}
        self._read: dict[Number, tuple[Reading, ...]] = {}
        for number in BOTH:
            sock = state.sock(number)
            self._between[number] = between = Between(course.of(sock), sock)
            self._read[number] = tuple(map(between.reading, sock.readings))

    def of(self, number: Number) -> Tape | None:
        """The tape of a sock; None where there is no gauge, and no two of its readings agree on one."""
        if number not in self._made:
            known = self._known(number)
            tape = None if known is None else Tape(self.course, self.state, number, known)
            self._made[number] = tape
        return self._made[number]

    def _known(self, number: Number) -> Known | None:
        gauge = self.course.pattern.gauge
        between, readings = self._between[number], self._read[number]
        if gauge is None:
            found = agreeing(readings, between.heel_rows)
            return None if found is None else Known(between, readings, found.before, found.learned)
        taught = self._fabrics_taught(number)
        teacher = self._taught(number, gauge, taught) if taught else None
        before = prior(gauge, between.heel_rows) if teacher is None else length.loosened(teacher)
        learned = length.fold(before, readings)
        return Known(
            between, readings, before, learned, teacher, taught if teacher else frozenset()
        )

    def _taught(self, number: Number, gauge: Gauge, fabrics: frozenset[Fabric]) -> Belief | None:
        """What the other sock's readings of some fabrics taught; None where none of them counts.

        Those alone, and by themselves: what it was taught by this sock must not come back.
        """
        there = other(number)
        taken = zip(self.state.sock(there).readings, self._read[there], strict=True)
        readings = [reading for one, reading in taken if self._fabric(one) in fabrics]
        learned = length.fold(prior(gauge, self._between[there].heel_rows), readings)
        return learned.belief if any(learned.counted) else None

    def _fabrics_taught(self, number: Number) -> frozenset[Fabric]:
        """The fabrics that the other sock was measured in first: one knitter, one yarn."""
        mine = self._first(self.state.sock(number).readings)
        hers = self._first(self.state.sock(other(number)).readings)
        return frozenset(f for f, event in hers.items() if event < mine.get(f, event + 1))

    def _first(self, readings: Iterable[TapeReading]) -> dict[Fabric, int]:
        """The first reading, by its event, in every fabric."""
        first: dict[Fabric, int] = {}
        for taken in readings:
            if taken.verdict != "void":
                first.setdefault(self._fabric(taken), taken.event)
        return first

    def _fabric(self, taken: TapeReading) -> Fabric:
        """What grew in the section that a reading was taken in: with the heel, that is the foot."""
        return fabric_of(self.course.sections[taken.section])
