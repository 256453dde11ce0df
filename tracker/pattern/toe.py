"""The wedge toe: how wide it ends and how many rounds it takes.

Common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

from tracker.units import whole


class Wedge(NamedTuple):
    """A wedge toe over `stitches`: `alternate` decrease rounds with a plain one after each, then
    `every` decrease rounds without, down to `end` stitches to graft."""

    stitches: int
    end: int
    alternate: int
    every: int

    @property
    def rounds(self) -> int:
        """All its rounds, the set-up round left out."""
        return 2 * self.alternate + self.every


def wedge(stitches: int) -> Wedge:
    """The wedge toe over an even number of stitches (four decreases a round)."""
    odd_half = 2 if stitches % 4 else 0
    end = max(4 * whole((stitches - odd_half) / 16) + odd_half, 8 + odd_half)
    decreases = max(0, (stitches - end) // 4)
    alternate = min(whole(stitches / 8), decreases)
    return Wedge(stitches, end, alternate, decreases - alternate)
