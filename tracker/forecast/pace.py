"""Pace in stitches a minute, learned from how long rounds took, and what is left at that pace.

In stitches and not in rounds, because a gusset round is longer than a toe round. The rules for
what counts are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
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
        return sum(sample.rounds for sample in self.samples)

    @property
    def per_minute(self) -> float:
        """Stitches a minute, always above 0."""
        return _Taken(self.samples).per_minute

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
        """The pace with some samples more, one after the other; it is asked for after every key."""
        taken, missed = _Taken(self.samples), self.missed
        rounds_missed = sum(sample.rounds for sample in missed)
        for sample in timed:
            made, took, of = sample
            if made <= 0 or took < CATCHING_UP_SECONDS * made:
                continue  # she catches up
            if not took <= (GAP_SECONDS * of if of > 1 else GAP_SECONDS):
                continue
            if taken.in_time(made, took):
                taken.take(sample)
                missed, rounds_missed = (), 0
                continue
            missed = _joined(missed, sample)
            rounds_missed += of
            if rounds_missed >= ENOUGH:
                taken, missed, rounds_missed = _Taken(_recent(missed)), (), 0
        return Pace(taken.samples, missed)


class _Taken:
    """Samples that count, with their sums, so that one more costs the same however many there are."""

    __slots__ = ("_begun", "_finished", "_seconds", "rounds", "stitches")

    def __init__(self, samples: Sequence[Timed]) -> None:
        self._finished = list(samples)
        self._seconds = sum(sample.seconds for sample in samples)
        self.stitches = sum(sample.stitches for sample in samples)
        self.rounds = sum(sample.rounds for sample in samples)
        in_hand = bool(samples) and not samples[-1].rounds
        self._begun: Timed | None = self._finished.pop() if in_hand else None
        """The needles of the round in hand."""

    @property
    def samples(self) -> tuple[Timed, ...]:
        return tuple(self._finished) if self._begun is None else (*self._finished, self._begun)

    @property
    def per_minute(self) -> float:
        return UNTIMED if self.rounds < ENOUGH else 60 * self.stitches / self._seconds

    def in_time(self, made: int, took: float) -> bool:
        """Whether `made` stitches took no more than SLOW times the seconds that are expected of them."""
        if self.rounds < ENOUGH:
            return took * UNTIMED <= SLOW * 60 * made
        return took * self.stitches <= SLOW * made * self._seconds

    def take(self, sample: Timed) -> None:
        """One more; of those before it no more than make up RECENT rounds."""
        made, took, of = sample
        self.stitches += made
        self._seconds += took
        if self._begun is not None:
            sample = _as_one(self._begun, sample)
        if not of:
            self._begun = sample
            return
        self._begun, finished = None, self._finished
        finished.append(sample)
        self.rounds += of
        while self.rounds - finished[0].rounds >= RECENT:
            made, took, of = finished.pop(0)
            self.stitches -= made
            self._seconds -= took
            self.rounds -= of


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
