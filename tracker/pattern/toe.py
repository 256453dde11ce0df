"""What any toe is, and the wedge: how wide it ends, its rounds, and how it is shaped for one foot.

Common practice, no source.
"""

from __future__ import annotations

from typing import Protocol

from tracker.records import NamedTuple
from tracker.units import whole


class Toe(Protocol):
    """A toe over `stitches`, those of its set-up round knitted away, that ends with `end` of them.

    `pointed` toes decrease at so many points all round, and are drawn up; others have their decreases at
    both edges of instep and sole, and are grafted.
    """

    @property
    def stitches(self) -> int:
        """Stitches before its first round."""

    @property
    def end(self) -> int:
        """Stitches that are left after its last."""

    @property
    def pointed(self) -> int:
        """Points all round at which it decreases; 0 of a toe that is narrowed at its edges."""

    @property
    def rounds(self) -> int:
        """All its rounds, the set-up round left out."""

    def decreases(self, number: int) -> bool:
        """Whether round `number` (from 1) decreases."""


class Wedge(NamedTuple):
    """A wedge toe over `stitches`: `alternate` decrease rounds with a plain one after each, then
    `every` decrease rounds without, down to `end` stitches to graft."""

    stitches: int
    end: int
    alternate: int
    every: int

    @property
    def pointed(self) -> int:
        """It has no points: it is narrowed at its edges."""
        return 0

    @property
    def rounds(self) -> int:
        """All its rounds, the set-up round left out."""
        return 2 * self.alternate + self.every

    def decreases(self, number: int) -> bool:
        """Whether round `number` decreases at both edges."""
        return number % 2 == 1 or number > 2 * self.alternate


def wedge(stitches: int) -> Wedge:
    """The wedge toe over an even number of stitches (four decreases a round)."""
    odd_half = 2 if stitches % 4 else 0
    end = max(4 * whole((stitches - odd_half) / 16) + odd_half, 8 + odd_half)
    decreases = max(0, (stitches - end) // 4)
    alternate = min(whole(stitches / 8), decreases)
    return Wedge(stitches, end, alternate, decreases - alternate)


class Sided(NamedTuple):
    """A wedge toe for one foot: as many stitches go in as many rounds, to the same graft.

    The inner edge, that of the big toe, is straight for a while and then goes in as any wedge does. Where
    that one decreases every other round the outer edge has gone over to every round, by half of those
    rounds earlier: so the outer edge takes about twice as many (64 stitches: 16 and 8). Common
    practice, no source.
    """

    wedge: Wedge

    @property
    def later(self) -> int:
        """Decreases that the outer edge makes in place of the inner one."""
        return self.wedge.alternate // 2

    def outer(self, number: int) -> bool:
        """Whether round `number` decreases at the outer edge."""
        return number % 2 == 1 or number > 2 * (self.wedge.alternate - self.later)

    def inner(self, number: int) -> bool:
        """Whether it decreases at the inner edge."""
        return number > 2 * self.later and self.wedge.decreases(number)

    @property
    def taken(self) -> tuple[int, int]:
        """Decreases in all at the inner and at the outer edge, each of them on instep and sole."""
        at_both = self.wedge.alternate + self.wedge.every
        return at_both - self.later, at_both + self.later


LEAST_SIDED = 16
"""Fewer stitches are decreased at each edge once: there is nothing to shape left and right by."""
