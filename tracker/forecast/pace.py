"""Pace in stitches a minute, learned from how long rounds took, and what is left at that pace.

In stitches and not in rounds, because a gusset round is longer than a toe round. The rules for
what counts are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from tracker.knitting.fold import CATCHING_UP_SECONDS, GAP_SECONDS, USUAL_PACE
from tracker.knitting.state import Timed
from tracker.units import whole

UNTIMED = USUAL_PACE
"""Stitches a minute, until ENOUGH rounds are timed."""
ENOUGH = 5
UNKNOWN_DOUBT = 0.25
"""How far the usual pace may be off: a beginner's is 20, an old hand's 35."""
RECENT = 20
"""Rounds over which the pace is taken."""
SLOW = 3.0
"""Times the expected time above which something came between."""
GRAFT_MINUTES = 15
"""The graft makes no stitches, and takes about a quarter of an hour."""
ALLOWANCE_PERCENT = 110
"""What is left takes a tenth more than its stitches: turns, needles to rearrange, the graft."""


class Pace(NamedTuple):
    """The samples that count, newest last: never more than RECENT and one in hand."""

    samples: tuple[Timed, ...] = ()
    missed: tuple[Timed, ...] = ()
    """Those left out as too slow, one after the other: enough of them are no pauses, but her pace."""

    @property
    def rounds(self) -> int:
        """Rounds timed among the recent ones."""
        return sum(sample.rounds for sample in self.samples)

    @property
    def per_minute(self) -> float:
        """Stitches a minute, always above 0."""
        if self.rounds < ENOUGH:
            return UNTIMED
        stitches = sum(sample.stitches for sample in self.samples)
        return 60 * stitches / sum(sample.seconds for sample in self.samples)

    @property
    def known(self) -> bool:
        """Whether it is her own, and not yet the usual one."""
        return self.rounds >= ENOUGH

    @property
    def doubt(self) -> float:
        """How far the mean may be off (sd as a share): by how unlike the rounds were."""
        if not self.known:
            return UNKNOWN_DOUBT
        paces = [60 * sample.stitches / sample.seconds for sample in self.samples]
        return unlikeness(paces) / sqrt(len(paces))

    def takes(self, sample: Timed) -> bool:
        """Whether `sample` is knitting at a stretch: no catching up, no gap, no clock put back."""
        if sample.stitches <= 0 or sample.seconds < CATCHING_UP_SECONDS * sample.stitches:
            return False
        expected = 60 * sample.stitches / self.per_minute
        return sample.seconds <= min(SLOW * expected, GAP_SECONDS * max(1, sample.rounds))

    def add(self, sample: Timed) -> Pace:
        """The pace with `sample`, or as it was where that does not count."""
        if self.takes(sample):
            return Pace(_recent(_joined(self.samples, sample)))
        if not self.is_slow(sample):
            return self
        missed = _joined(self.missed, sample)
        again = sum(one.rounds for one in missed) >= ENOUGH
        return Pace(_recent(missed)) if again else self._replace(missed=missed)

    def is_slow(self, sample: Timed) -> bool:
        """Whether `sample` may be knitting, only slower than expected by far; no gap, no catching up."""
        fast = sample.stitches <= 0 or sample.seconds < CATCHING_UP_SECONDS * sample.stitches
        return not fast and sample.seconds <= GAP_SECONDS * max(1, sample.rounds)


def unlikeness(numbers: Sequence[float]) -> float:
    """How unlike some numbers above 0 are: their standard deviation as a share of their mean."""
    mean = sum(numbers) / len(numbers)
    return sqrt(sum((number - mean) ** 2 for number in numbers) / len(numbers)) / mean


def minutes(stitches: int, pace: float) -> int:
    """Minutes of knitting in `stitches` at `pace` (stitches a minute, above 0)."""
    return whole(stitches / pace)


def minutes_to_go(stitches: int, pace: float) -> int:
    """Minutes until `stitches` more are done at `pace`, with a tenth for what is not knitting."""
    return whole(stitches * ALLOWANCE_PERCENT / (100 * pace))


def _joined(samples: tuple[Timed, ...], sample: Timed) -> tuple[Timed, ...]:
    """`samples` and `sample`; needles of one round become one."""
    if not samples or samples[-1].rounds:
        return (*samples, sample)
    begun = samples[-1]
    stitches, seconds = begun.stitches + sample.stitches, begun.seconds + sample.seconds
    return (*samples[:-1], Timed(stitches, seconds, sample.rounds))


def _recent(samples: tuple[Timed, ...]) -> tuple[Timed, ...]:
    """The newest of `samples` that make up RECENT rounds."""
    rounds = 0
    for place in range(len(samples) - 1, -1, -1):
        rounds += samples[place].rounds
        if rounds >= RECENT:
            return samples[place:]
    return samples
