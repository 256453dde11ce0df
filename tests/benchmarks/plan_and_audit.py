"""How long a plan takes with its audit, against moving as many integers as the sock has stitches.

Run it: python -m tests.benchmarks.plan_and_audit
The bare work of a loom is to pop each stitch from one stack and to push it on another; a plan, the
reading of its pattern and the audit together take at most twenty times that. Both are timed in one
run, in turn, the fastest of several tries each, so that a busy machine slows both; the collector
of garbage rests meanwhile, as it does in timeit.
"""

from __future__ import annotations

import gc
from time import perf_counter
from typing import NamedTuple

from tests.pattern.making import plan_of
from tracker.pattern import loom, notation
from tracker.pattern.audit import audit
from tracker.pattern.cuff_down import compute
from tracker.pattern.reading import read_pattern

SOCKS = (48, 64, 72, 132)
"""Stitches around."""
MOST = 20.0
"""Times the bare work."""
TRIES = 7


class Timed(NamedTuple):
    """Stitches of a whole sock; seconds of the plan with its audit, and of the bare work."""

    stitches: int
    planned: float
    bare: float

    @property
    def ratio(self) -> float:
        """Times the bare work."""
        return self.planned / self.bare


def timed(around: int) -> Timed:
    """The fastest of TRIES, of both."""
    plan = plan_of({"leg.stitches": around, "foot.length": "30 cm"})
    document = compute(plan).document
    stitches = read_pattern(document, "").numbers.stitches_per_sock
    planned, bare = [], []
    for _ in range(TRIES):
        gc.collect()
        # What an earlier try has kept must not help the next.
        notation._segment.cache_clear()
        loom._needle.cache_clear()
        begun = perf_counter()
        document = compute(plan).document
        read_pattern(document, "")
        found = audit(document)
        planned.append(perf_counter() - begun)
        assert found == ()
        bare.append(_moved(stitches))
    return Timed(stitches, min(planned), min(bare))


def _moved(stitches: int) -> float:
    """Seconds to pop so many integers from a stack and push them on another, one by one."""
    ahead, behind = list(range(stitches)), []
    begun = perf_counter()
    while ahead:
        behind.append(ahead.pop())
    return perf_counter() - begun


def main() -> None:
    """A line for each sock; the interpreter is warm before the first."""
    gc.disable()
    timed(SOCKS[0])
    for around in SOCKS:
        found = timed(around)
        print(
            f"{around:>4} around, {found.stitches:>6} stitches: plan and audit"
            f" {found.planned * 1000:6.2f} ms, bare {found.bare * 1000:6.2f} ms,"
            f" {found.ratio:5.1f} times (at most {MOST:g})"
        )


if __name__ == "__main__":
    main()
