"""The round between a heel and a leg above it: over the instep, and on to where the leg's rounds begin.

It is written over the needles as they lie in the leg, which may have other borders than the foot had.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern.notation import Run, read_row, runs, stitch_of, written
from tracker.records import NamedTuple


class Closing(NamedTuple):
    """The work of every needle, and the stitches that each has before it."""

    work: tuple[str, ...]
    begins: tuple[int, ...]


class Across(ValueError):
    """A stitch of the round would lie across two needles."""


def closing(rests: int, worked: Sequence[str], leaves: Sequence[int]) -> Closing:
    """The round in which the first `rests` stitches wait and the others are `worked`, one after the other.

    Every needle holds as many as `leaves` says after it. Raises Across.
    """
    stitches, at = [*["rest"] * rests, *worked], 0
    work, begins = [], []
    for place, many in enumerate(leaves):
        ends, held = at, 0
        last = place == len(leaves) - 1
        while ends < len(stitches) and (last or held < many):
            held += stitch_of(stitches[ends]).leaves
            ends += 1
        if held != many:
            raise Across
        here = stitches[at:ends]
        work.append(_told(here))
        begins.append(sum(stitch_of(stitch).takes for stitch in here))
        at = ends
    return Closing(tuple(work), tuple(begins))


def each(work: Sequence[str], holds: Sequence[int]) -> list[str]:
    """The stitches of needles that hold so many, one by one."""
    found: list[str] = []
    for told, live in zip(work, holds, strict=True):
        for run in runs(read_row(told).segments[0], live)[0]:
            found += [run.stitch] * run.times
    return found


def _told(stitches: Sequence[str]) -> str:
    if set(stitches) == {"k"}:
        return "k"
    joined: list[Run] = []
    for stitch in stitches:
        times = joined.pop().times if joined and joined[-1].stitch == stitch else 0
        joined.append(Run(stitch, times + 1))
    return written(joined)
