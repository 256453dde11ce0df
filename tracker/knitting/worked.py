"""When she knitted: minutes by day, sittings, and how long she has been at it without a pause.

Ticks that catch up, and those of a clock put back, add no minutes. Days are hers: they begin at her
own midnight.
"""

from __future__ import annotations

from tracker.moment import day_of as day_of
from tracker.records import NamedTuple

DAYS_KEPT = 14
"""How many days with knitting are carried: the last."""
STRETCH_MS = 600_000
"""A longer pause than ten minutes ends a stretch: the hands have rested."""
SITTING_MS = 3_600_000
"""A longer pause than an hour ends a sitting."""
SITTINGS_KEPT = 20
"""How many sittings are carried: the last."""
LONG_PAUSE_MS = 14 * 86_400_000
"""After a longer pause than a fortnight nobody knows how she knits now."""


class WorkedOn(NamedTuple):
    """A day of hers (days since 1970 by her clock) and the minutes knitted on it."""

    day: int
    minutes: float


class Sat(NamedTuple):
    """A sitting by the day it began on, with the minutes of it that are known and the stitches made in them.

    What came before its first tick is not known: nobody saw it begin.
    """

    day: int
    minutes: float = 0.0
    stitches: int = 0


class Worked(NamedTuple):
    """The last days with knitting, oldest first; the stretch in hand from `began` to `last` (ms UTC).

    `sittings` counts those since the last long pause; `sat` are the last of all, oldest first.
    """

    days: tuple[WorkedOn, ...] = ()
    began: int = 0
    last: int = 0
    sittings: int = 0
    sat: tuple[Sat, ...] = ()

    def add(self, at: int, offset: int, seconds: float, stitches: int = 0) -> Worked:
        """After a tick at `at` (ms UTC, `offset` minutes) that took so many seconds of knitting.

        `stitches` are those made in these seconds.
        """
        working = Working(self)
        working.add(at, offset, seconds, stitches)
        return working.freeze()

    @property
    def minutes(self) -> float:
        """Minutes from the first tick of the stretch in hand to the last."""
        return (self.last - self.began) / 60_000


class Working:
    """The same while it is folded: what a tick more alters is altered in place, for a replay is long."""

    __slots__ = (
        "_began", "_day", "_days", "_last", "_minutes", "_sat", "_seat", "_seat_minutes", "_sittings",
        "_stitches",
    )  # fmt: skip

    def __init__(self, worked: Worked = Worked()) -> None:  # noqa: B008 - frozen
        self._began, self._last, self._sittings = worked.began, worked.last, worked.sittings
        self._days, self._sat = worked.days[:-1], worked.sat[:-1]
        self._day: int | None
        self._day, self._minutes = worked.days[-1] if worked.days else (None, 0.0)
        self._seat: int | None
        self._seat, self._seat_minutes, self._stitches = (
            worked.sat[-1] if worked.sat else (None, 0.0, 0)
        )

    def copy(self) -> Working:
        """Another with the same state."""
        return Working(self.freeze())

    def freeze(self) -> Worked:
        """Its state."""
        days, sat = self._days, self._sat
        if self._day is not None:
            days = (*days, WorkedOn(self._day, self._minutes))
        if self._seat is not None:
            sat = (*sat, Sat(self._seat, self._seat_minutes, self._stitches))
        return Worked(days, self._began, self._last, self._sittings, sat)

    def add(self, at: int, offset: int, seconds: float, stitches: int) -> None:
        """A tick more; see Worked.add."""
        apart, minutes, day = at - self._last, seconds / 60, day_of(at, offset)
        if not self._sittings or not 0 <= apart <= STRETCH_MS:
            self._began = at
        # A clock put back tells of no pause.
        if not self._sittings or apart > LONG_PAUSE_MS:
            self._sittings = 1
        elif apart > SITTING_MS:
            self._sittings += 1
        self._last = at
        if minutes > 0:
            self._knitted_on(day, minutes)
        if self._seat is None or apart > SITTING_MS:
            self._sit_down(day, minutes, stitches)
        else:
            self._seat_minutes += minutes
            self._stitches += stitches

    def _knitted_on(self, day: int, minutes: float) -> None:
        if self._day is not None and self._day >= day:
            # A clock put back counts for the last day there is.
            self._minutes += minutes
            return
        if self._day is not None:
            self._days = (*self._days, WorkedOn(self._day, self._minutes))[1 - DAYS_KEPT :]
        self._day, self._minutes = day, minutes

    def _sit_down(self, day: int, minutes: float, stitches: int) -> None:
        if self._seat is not None:
            before = Sat(self._seat, self._seat_minutes, self._stitches)
            self._sat = (*self._sat, before)[1 - SITTINGS_KEPT :]
        self._seat, self._seat_minutes, self._stitches = day, minutes, stitches
