"""A ratio to the floor: two peers timed in turn in one run, and how it is told."""

from __future__ import annotations

import gc
from collections.abc import Callable
from statistics import median, quantiles
from time import perf_counter
from typing import NamedTuple

Peer = Callable[[], float]
"""Does its work once; returns the seconds that it took."""


class Ratio(NamedTuple):
    """How many times as long ours takes as the floor, and at most; None: it is only reported.

    `ours` and `floor` are in the unit named (seconds are told in ms).
    """

    what: str
    against: str
    ours: float
    floor: float
    most: float | None
    unit: str = "s"

    @property
    def times(self) -> float:
        """Times the floor."""
        return self.ours / self.floor

    @property
    def holds(self) -> bool:
        """Whether it stays in its bound."""
        return self.most is None or self.times <= self.most

    def line(self) -> str:
        """The row of the table."""
        most = "reported" if self.most is None else f"at most {self.most:g}"
        verdict = "" if self.holds else "  TOO SLOW"
        return (
            f"{self.what:<52} {self._told(self.ours):>10} {self._told(self.floor):>10}"
            f"  {self.times:5.2f}  {most:<12} against {self.against}{verdict}"
        )

    def _told(self, value: float) -> str:
        return f"{value * 1000:.2f} ms" if self.unit == "s" else f"{value:.1f} {self.unit}"


def timed(work: Callable[[], object], clock: Callable[[], float] = perf_counter) -> Peer:
    """A peer that is timed from its beginning to its end; garbage is not collected meanwhile.

    What waits for nothing is timed by the processor's own `clock`, so that a busy machine does not count.
    """

    def once() -> float:
        gc.collect()
        gc.disable()
        try:
            began = clock()
            work()
            return clock() - began
        finally:
            gc.enable()

    return once


def in_turn(ours: Peer, floor: Peer, many: int) -> tuple[list[float], list[float]]:
    """Seconds of both, so many times each, one after the other."""
    pairs = [(ours(), floor()) for _ in range(many)]
    return [one for one, _ in pairs], [other for _, other in pairs]


def medians(
    what: str, against: str, most: float | None, ours: Peer, floor: Peer, many: int
) -> Ratio:
    """The ratio of the medians of many, timed in turn."""
    one, other = in_turn(ours, floor, many)
    return Ratio(what, against, median(one), median(other), most)


def slowest(seconds: list[float]) -> float:
    """The 99th percentile."""
    return quantiles(seconds, n=100)[98]
