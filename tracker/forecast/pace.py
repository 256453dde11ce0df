"""Pace in stitches a minute, learned from how long rounds took, and what is left at that pace.

In stitches and not in rounds, because a gusset round is longer than a toe round. The rules for
what counts are common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

from tracker.units import whole

UNTIMED = 25.0
"""Stitches a minute, until ENOUGH rounds are timed."""
ENOUGH = 5
RECENT = 20
"""Rounds over which the pace is taken."""
CATCHING_UP = 0.3
"""Seconds a stitch below which nobody knits: ticks that catch up with work done before."""
GAP = 600.0
"""Seconds a round above which something came between."""
SLOW = 3.0
"""Times the expected time above which something came between."""
ALLOWANCE_PERCENT = 110
"""What is left takes a tenth more than its stitches: turns, needles to rearrange, the graft."""


class Sample(NamedTuple):
    """Work between two ticks: stitches, seconds, and the rounds finished with it.

    By needles, `rounds` is 0 for a needle that does not finish one.
    """

    stitches: int
    seconds: float
    rounds: int = 1


class Pace(NamedTuple):
    """The samples that count, newest last: never more than RECENT and one in hand."""

    samples: tuple[Sample, ...] = ()

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

    def takes(self, sample: Sample) -> bool:
        """Whether `sample` is knitting at a stretch: no catching up, no gap, no clock put back."""
        if sample.stitches <= 0 or sample.seconds < CATCHING_UP * sample.stitches:
            return False
        expected = 60 * sample.stitches / self.per_minute
        return sample.seconds <= min(SLOW * expected, GAP * max(1, sample.rounds))

    def add(self, sample: Sample) -> Pace:
        """The pace with `sample`, or as it was where that does not count."""
        if not self.takes(sample):
            return self
        return Pace(_recent(_joined(self.samples, sample)))


def minutes(stitches: int, pace: float) -> int:
    """Minutes of knitting in `stitches` at `pace` (stitches a minute, above 0)."""
    return whole(stitches / pace)


def minutes_to_go(stitches: int, pace: float) -> int:
    """Minutes until `stitches` more are done at `pace`, with a tenth for what is not knitting."""
    return whole(stitches * ALLOWANCE_PERCENT / (100 * pace))


def _joined(samples: tuple[Sample, ...], sample: Sample) -> tuple[Sample, ...]:
    """`samples` and `sample`; needles of one round become one."""
    if not samples or samples[-1].rounds:
        return (*samples, sample)
    begun = samples[-1]
    stitches, seconds = begun.stitches + sample.stitches, begun.seconds + sample.seconds
    return (*samples[:-1], Sample(stitches, seconds, sample.rounds))


def _recent(samples: tuple[Sample, ...]) -> tuple[Sample, ...]:
    """The newest of `samples` that make up RECENT rounds."""
    rounds = 0
    for place in range(len(samples) - 1, -1, -1):
        rounds += samples[place].rounds
        if rounds >= RECENT:
            return samples[place:]
    return samples
