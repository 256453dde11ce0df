"""Pace in stitches a minute, learned from how long rounds took, and what is left at that pace.

In stitches and not in rounds, because a gusset round is longer than a toe round. The rules for
what counts are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import sqrt

from tracker.knitting.fold import CATCHING_UP_SECONDS, GAP_SECONDS, USUAL_PACE
from tracker.knitting.state import Timed
from tracker.pattern.model import CLOSING
from tracker.records import NamedTuple
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
"""The graft makes no stitches, and takes about a quarter of an hour; so does an elastic bind-off."""
DRAW_UP_MINUTES = 3
"""Nor does drawing up the last stitches, which is soon done (from memory)."""


def closing_minutes(kind: str) -> int:
    """Minutes that a section takes which ends a sock or closes its toe; 0 of any other."""
    return DRAW_UP_MINUTES if kind == "draw up" else GRAFT_MINUTES if kind in CLOSING else 0


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
        return _sums(self.samples)[2]

    @property
    def per_minute(self) -> float:
        """Stitches a minute, always above 0."""
        stitches, seconds, rounds = _sums(self.samples)
        return UNTIMED if rounds < ENOUGH else 60 * stitches / seconds

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

    def add(self, sample: Timed) -> Pace:
        """The pace with `sample`, or as it was where that does not count."""
        return self.go_on((sample,))

    def go_on(self, timed: Iterable[Timed]) -> Pace:
        """The pace with some samples more, one after the other.

        It is asked for after every key, so it is one loop over plain numbers.
        """
        finished, missed = list(self.samples), self.missed
        in_hand = finished.pop() if finished and not finished[-1].rounds else None
        # The needles of the round in hand: the stitches and seconds of all so far.
        begun, for_so_long = (in_hand.stitches, in_hand.seconds) if in_hand else (0, 0.0)
        stitches, seconds, rounds = _sums(self.samples)
        rounds_missed = sum(sample.rounds for sample in missed)
        for sample in timed:
            made, took, of = sample
            if made <= 0 or took < CATCHING_UP_SECONDS * made:
                continue  # she catches up
            if not took <= (GAP_SECONDS * of if of > 1 else GAP_SECONDS):
                continue
            if rounds < ENOUGH:
                in_time = took * UNTIMED <= SLOW * 60 * made
            else:
                in_time = took * stitches <= SLOW * made * seconds
            if not in_time:
                missed = _joined(missed, sample)
                rounds_missed += of
                if rounds_missed >= ENOUGH:
                    finished, begun, for_so_long = list(_recent(missed)), 0, 0.0
                    stitches, seconds, rounds = _sums(tuple(finished))
                    missed, rounds_missed = (), 0
                continue
            missed, rounds_missed = (), 0
            stitches, seconds = stitches + made, seconds + took
            if not of:
                begun, for_so_long = begun + made, for_so_long + took
                continue
            finished.append(Timed(begun + made, for_so_long + took, of) if begun else sample)
            begun, for_so_long = 0, 0.0
            rounds += of
            while rounds - finished[0].rounds >= RECENT:
                made, took, of = finished.pop(0)
                stitches, seconds, rounds = stitches - made, seconds - took, rounds - of
        if begun:
            finished.append(Timed(begun, for_so_long, 0))
        return Pace(tuple(finished), missed)


@lru_cache(maxsize=16)
def _sums(samples: tuple[Timed, ...]) -> tuple[int, float, int]:
    """Stitches, seconds and rounds of some samples."""
    return (
        sum([sample.stitches for sample in samples]),
        sum([sample.seconds for sample in samples]),
        sum([sample.rounds for sample in samples]),
    )


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
    return (*samples[:-1], _as_one(samples[-1], sample))


def _as_one(begun: Timed, sample: Timed) -> Timed:
    """The needles of a round so far, and one or more of them."""
    stitches, seconds, _ = begun
    more, longer, rounds = sample
    return Timed(stitches + more, seconds + longer, rounds)


def _recent(samples: tuple[Timed, ...]) -> tuple[Timed, ...]:
    """The newest of `samples` that make up RECENT rounds."""
    rounds = 0
    for place in range(len(samples) - 1, -1, -1):
        rounds += samples[place].rounds
        if rounds >= RECENT:
            return samples[place:]
    return samples
