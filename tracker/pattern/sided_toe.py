"""The toe for one foot, row by row: sock one's, whose inner edge lies where the instep begins.

Its rounds begin at the side on every set of needles: the borders in the middle of instep and sole can then
lie where the tip will be, and no needle runs out of stitches. On a set of five or four, where rounds began at
the centre back, half of the sole is knitted once more to come there. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from tracker.pattern.fit import halves
from tracker.pattern.layout import Layout, shaping
from tracker.pattern.toe import Sided


def half_sole(layout: Layout, on: Sequence[int]) -> list[str]:
    """The row that goes on to the side, from the centre of the sole, over needles that hold `on`."""
    rests = [""] * (len(layout.names) - 1)
    return [_row(["RS: k", *rests], on)]


def begins(layout: Layout, toe: Sided, odd: int, *, instep_larger: bool) -> tuple[int, ...]:
    """The stitches on each needle before the toe, the instep first; an `odd` one ends the larger half."""
    instep, sole = _halves(layout, toe)
    larger = instep if instep_larger else sole
    larger[-1] += odd
    return (*instep, *sole)


def rows(layout: Layout, toe: Sided) -> list[str]:
    """The rounds of the toe, each with what it leaves on every needle."""
    instep, sole = _halves(layout, toe)
    counts = [*instep, *sole]
    told = []
    for number in range(1, toe.wedge.rounds + 1):
        inner, outer = toe.inner(number), toe.outer(number)
        # A round comes by the inner edge first, then along the instep to the outer one, and back.
        work = [
            *_half(inner, outer, len(instep)),
            *_half(outer, inner, len(sole)),
        ]
        counts = [on - _takes(one) for on, one in zip(counts, work, strict=True)]
        told.append(_row(work, counts))
    return told


def set_up(before: Sequence[int], after: Sequence[int]) -> str:
    """The round before the first where one half has a stitch too many."""
    work = ["k" if had == has else shaping(0, 1) for had, has in zip(before, after, strict=True)]
    return _row(work, after)


def _halves(layout: Layout, toe: Sided) -> tuple[list[int], list[int]]:
    """The stitches on the needles of the instep, and on those of the sole, the halves alike."""
    inner, outer = _parts(toe)
    many = len(layout.names)
    instep = [inner, outer] if many == 4 else [inner + outer]
    sole = [outer, inner] if many > 2 else [inner + outer]
    return instep, sole


def _parts(toe: Sided) -> tuple[int, int]:
    """The stitches of instep or sole from each edge to the middle of the tip, the inner edge's first."""
    inner, outer = toe.taken
    more, less = halves(toe.wedge.end // 2)
    return inner + less, outer + more


def _half(first: bool, last: bool, needles: int) -> Iterator[str]:
    """Instep or sole on one or two needles, with a decrease where it begins, where it ends, or both."""
    if needles == 1:
        yield shaping(first, last)
    else:
        yield shaping(first, 0)
        yield shaping(0, last)


def _takes(work: str) -> int:
    return work.count("k2tog") + work.count("ssk")


def _row(work: Sequence[str], counts: Sequence[Any]) -> str:
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"
