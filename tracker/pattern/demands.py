"""What a written row demands by its own numbers, whatever is on the needles: the audit's second guess.

After a row that cannot be worked nobody knows for certain what the needles hold. Two guesses are
left: what they held before it, or, where the row names every stitch, what it says it leaves. A
later row that fits neither is wrong whichever of them holds.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from tracker.pattern.loom import Item, Written, takes_leaves


class Demand(NamedTuple):
    """Of a row: the stitches it takes at the least; those it adds at the most, None where it may be any.

    `leaves` is what it leaves where every stitch is named by number, and None else. `shapes` is true
    where it may leave another number than it found.
    """

    takes: int
    adds: int | None
    leaves: int | None
    shapes: bool


def demand(written: Written) -> Demand:
    """What a row demands."""
    return _sum(_of(item) for items in written.segments for item in items)


def _of(item: Item) -> Demand:
    if item.inside:
        return _times(_sum(map(_of, item.inside)), item.times)
    takes, leaves = takes_leaves(item.name)
    return _times(Demand(takes, max(0, leaves - takes), leaves, takes != leaves), item.times)


def _times(one: Demand, times: int | None) -> Demand:
    """`one` so many times; None: as often as it goes."""
    if times is None:
        return Demand(0, 0 if one.adds == 0 else None, None, one.shapes)
    adds = None if one.adds is None else one.adds * times
    leaves = None if one.leaves is None else one.leaves * times
    return Demand(one.takes * times, adds, leaves, one.shapes)


def _sum(parts: Iterable[Demand]) -> Demand:
    takes, adds, leaves, shapes = 0, 0, 0, False
    unsure = open_ended = False
    for part in parts:
        takes += part.takes
        adds += part.adds or 0
        leaves += part.leaves or 0
        unsure = unsure or part.adds is None
        open_ended = open_ended or part.leaves is None
        shapes = shapes or part.shapes
    return Demand(takes, None if unsure else adds, None if open_ended else leaves, shapes)


class Guess(NamedTuple):
    """Stitches on the needles at the most, as they were before a row that failed, and as that row says.

    None where nothing can be guessed. `held` is exact while no row that may have shaped came between.
    """

    held: int | None = None
    said: int | None = None
    exact: bool = False

    def after(self, row: Demand) -> Guess:
        """The guess once `row` is worked, too."""
        held = None if self.held is None or row.adds is None else self.held + row.adds
        said = row.leaves if self.said == row.takes else None
        return Guess(held, said, self.exact and not row.shapes)

    def cannot_give(self, row: Demand) -> bool:
        """Whether neither guess leaves the stitches that `row` takes."""
        if self.held is None or row.takes <= self.held:
            return False
        return self.said is None or row.takes > self.said


def guess_after(held: int, failed: Written | None) -> Guess:
    """What is to be guessed after a row that failed on `held` stitches; None: it could not be read."""
    if failed is None:
        return Guess()
    row = demand(failed)
    if row.adds is None:
        return Guess()
    return Guess(held + row.adds, row.leaves, not row.shapes)
