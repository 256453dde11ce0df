"""When she knitted: minutes by day, sittings, and how long she has been at it without a pause.

Ticks that catch up, and those of a clock put back, add no minutes. Days are hers: they begin at her
own midnight.
"""

from __future__ import annotations

from typing import NamedTuple

from tracker.moment import day_of as day_of

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
        apart = at - self.last
        rested = not self.sittings or not 0 <= apart <= STRETCH_MS
        sittings = self.sittings  # a clock put back tells of no pause
        if not self.sittings or apart > LONG_PAUSE_MS:
            sittings = 1
        elif apart > SITTING_MS:
            sittings += 1
        return Worked(
            self._with(day_of(at, offset), seconds / 60),
            at if rested else self.began,
            at,
            sittings,
            self._seated(apart > SITTING_MS, day_of(at, offset), seconds / 60, stitches),
        )

    def _seated(self, anew: bool, day: int, minutes: float, stitches: int) -> tuple[Sat, ...]:
        """The sittings with a tick more, the first of another one, or in the one that goes on."""
        if anew or not self.sat:
            return (*self.sat[1 - SITTINGS_KEPT :], Sat(day, minutes, stitches))
        last = self.sat[-1]
        longer = Sat(last.day, last.minutes + minutes, last.stitches + stitches)
        return (*self.sat[:-1], longer)

    def _with(self, day: int, minutes: float) -> tuple[WorkedOn, ...]:
        if minutes <= 0:
            return self.days
        if self.days and self.days[-1].day >= day:
            # A clock put back counts for the last day there is.
            last = self.days[-1]
            return (*self.days[:-1], WorkedOn(last.day, last.minutes + minutes))
        return (*self.days[1 - DAYS_KEPT :], WorkedOn(day, minutes))

    @property
    def minutes(self) -> float:
        """Minutes from the first tick of the stretch in hand to the last."""
        return (self.last - self.began) / 60_000
