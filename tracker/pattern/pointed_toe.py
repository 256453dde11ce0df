"""Star and round toe, row by row: points all round, as many on every needle as it holds quarters of the toe.

Every needle ends with a decrease, so that no repeat lies across two of them. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern.fit import halves
from tracker.pattern.layout import Layout
from tracker.pattern.notation import Run, written
from tracker.pattern.toe import Toe

_MORE = {
    0: (0, 0, 0, 0), 1: (1, 0, 0, 0), 2: (1, 0, 1, 0), 3: (1, 1, 0, 1),
}  # fmt: skip
"""Quarters with one stitch more, by how many: the sole's first, the instep's, the sole's last."""
_MORE_ON_INSTEP = _MORE | {1: (0, 1, 0, 0), 3: (1, 1, 1, 0)}
"""Where the instep is the larger half."""


def begins(layout: Layout, toe: Toe, foot: int, *, instep_larger: bool) -> tuple[int, ...]:
    """The stitches on each needle before the toe, and before its set-up round where `foot` has too many.

    Those that are knitted away lie in all quarters alike; what does not divide lies in the larger half, and
    of two one in each half, opposite one another.
    """
    each, over = divmod(foot - toe.stitches, 4)
    more = (_MORE_ON_INSTEP if instep_larger else _MORE)[over]
    first, *instep, last = (toe.stitches // 4 + each + one for one in more)
    if layout.at_side:
        return sum(instep), last + first
    return (first, *(instep if len(layout.names) == 4 else [sum(instep)]), last)


def set_up(before: Sequence[int], after: Sequence[int]) -> list[str]:
    """The round that knits away what does not divide, spread evenly over each needle."""
    return [_spread(had, had - has) for had, has in zip(before, after, strict=True)]


def _spread(stitches: int, over: int) -> str:
    """A needle with so many k2tog as far apart, the last at its end or a little before it."""
    if not over:
        return "k"
    part, rest = divmod(stitches, over)
    made = [Run("k", part - 2), Run("k2tog", 1)] if part > 2 else [Run("k2tog", 1)]
    return written([*made * over, *([Run("k", rest)] if rest else [])])


def rows(layout: Layout, toe: Toe) -> list[str]:
    """The rounds of the toe, each with what it leaves on every needle."""
    told, stitches = [], toe.stitches
    for number in range(1, toe.rounds + 1):
        on = around(layout, stitches)
        work = ["k"] * len(on)
        if toe.decreases(number):
            work = [_points(held, stitches // toe.pointed) for held in on]
            stitches -= toe.pointed
        told.append(row(work, around(layout, stitches)))
    return told


def after_set_up(layout: Layout, toe: Toe) -> tuple[int, ...]:
    """The stitches on each needle before the first round."""
    return around(layout, toe.stitches)


def draw_up(layout: Layout, toe: Toe) -> tuple[tuple[int, ...], list[str]]:
    """The stitches on each needle after the toe, and the row that draws them up."""
    on = around(layout, toe.end)
    work = [f"draw up {held}" for held in on]
    return on, [row(["RS: " + work[0], *work[1:]], [0] * len(on))]


def around(layout: Layout, stitches: int) -> tuple[int, ...]:
    """So many stitches on the needles, in two equal halves."""
    first, second = halves(stitches)
    return layout.around(first, second)


def _points(held: int, apart: int) -> str:
    """The work of a needle with a decrease at the end of every stretch of `apart` stitches."""
    if held == apart:
        return "k to last 2, k2tog"
    stretch = ", ".join([f"k{apart - 2}"] * (apart > 2) + ["k2tog"])
    return f"*{stretch}; rep from * to end"


def row(work: Sequence[str], counts: Sequence[int]) -> str:
    """A row as it is written, with its claim."""
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"
