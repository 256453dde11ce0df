"""The toes that are no wedge: each is a row of decrease rounds, and the plain rounds after every one of them.

A graduated toe is a wedge whose plain rounds grow fewer; a star has four points, a round toe eight wedges.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from tracker.pattern.toe import Toe, wedge
from tracker.records import NamedTuple
from tracker.units import whole

GRADUATED = (3, 2, 2, 1, 1, 1)
"""Plain rounds after the first decreases of a graduated toe; after the others there are none."""
MOST_PLAIN = 3
"""Plain rounds after a decrease of a round toe: as many as there are stitches between two, but no more."""
STAR, ROUND = 4, 8
"""Points of a star, wedges of a round toe."""
DRAWN_UP = 8
"""Stitches that a star and a round toe end with."""


class Paced(NamedTuple):
    """A toe over `stitches`, by the `plain` rounds after each of its decrease rounds.

    At `pointed` points all round one stitch goes in a decrease round; where it has none, one at each end of
    instep and sole.
    """

    stitches: int
    pointed: int
    plain: tuple[int, ...]

    @property
    def end(self) -> int:
        """Stitches that are left after its last round."""
        return self.stitches - (self.pointed or 4) * len(self.plain)

    @property
    def rounds(self) -> int:
        """All its rounds, the set-up round left out."""
        return len(self.plain) + sum(self.plain)

    def decreases(self, number: int) -> bool:
        """Whether round `number` (from 1) decreases."""
        before = accumulate((after + 1 for after in self.plain[:-1]), initial=1)
        return number in before


def toe_over(kind: str, foot: int) -> Toe:
    """The toe of a kind over a foot of so many stitches; what does not divide goes in its set-up round.

    A star takes twelve stitches at least, a round toe `least_of` it.
    """
    return {"wedge": _wedge, "graduated": graduated, "star": star, "round": round_toe}[kind](foot)


def least_of(kind: str) -> int:
    """The fewest stitches of a foot that can be shaped to a toe of that kind."""
    return 2 * ROUND if kind == "round" else DRAWN_UP + STAR


def _wedge(foot: int) -> Toe:
    return wedge(foot - foot % 2)


def graduated(foot: int) -> Paced:
    """The graduated wedge: to eight stitches, or to ten where four do not divide it."""
    stitches = foot - foot % 2
    decreases = max(0, (stitches - (8 + stitches % 4)) // 4)
    return Paced(stitches, 0, _padded(GRADUATED, decreases))


def star(foot: int) -> Paced:
    """The star: four points, every other round first and then every round."""
    stitches = foot - foot % STAR
    decreases = (stitches - DRAWN_UP) // STAR
    return Paced(stitches, STAR, _padded((1,) * whole(stitches / 8), decreases))


def round_toe(foot: int) -> Paced:
    """The round toe: eight wedges, whose plain rounds follow the stitches between two decreases."""
    stitches = foot - foot % ROUND
    between = range(stitches // ROUND - 2, -1, -1)
    return Paced(stitches, ROUND, tuple(min(knits, MOST_PLAIN) for knits in between))


def _padded(plain: Sequence[int], decreases: int) -> tuple[int, ...]:
    """The plain rounds after so many decrease rounds: none after those of which nothing is said."""
    return (*plain, *(0,) * decreases)[:decreases]
