"""The toe for one foot, row by row: sock one's, whose inner edge lies where the instep begins.

Its rounds begin at the side on every set of needles: the borders in the middle of instep and sole can then
lie where the tip will be, and no needle runs out of stitches. On a set of five or four, where rounds began at
the centre back, half of the sole is knitted once more to come there. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from tracker.pattern.fit import halves
from tracker.pattern.layout import Layout, growing, shaping
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
        work = _shaped(layout, toe, number)
        counts = [on - _takes(one) for on, one in zip(counts, work, strict=True)]
        told.append(_row(work, counts))
    return told


def ends(layout: Layout, toe: Sided, odd: int, *, instep_larger: bool) -> tuple[int, ...]:
    """The stitches on each needle at its tip; an `odd` one is that of the larger half."""
    begun = begins(layout, toe, odd, instep_larger=instep_larger)
    every = range(1, toe.wedge.rounds + 1)
    taken = [[_takes(one) for one in _shaped(layout, toe, number)] for number in every]
    return tuple(on - sum(of) for on, of in zip(begun, zip(*taken, strict=True), strict=True))


def growing_rows(layout: Layout, toe: Sided, on: Sequence[int]) -> list[str]:
    """The same rounds from the tip on, from the last to the first, over needles that hold `on`."""
    counts, told = list(on), []
    for number in range(toe.wedge.rounds, 0, -1):
        work = _shaped(layout, toe, number, growing)
        counts = [held + one.count("M1") for held, one in zip(counts, work, strict=True)]
        told.append(_row(work, counts))
    return told


def set_up(before: Sequence[int], after: Sequence[int]) -> str:
    """The round before the first where one half has a stitch too many."""
    work = ["k" if had == has else shaping(0, 1) for had, has in zip(before, after, strict=True)]
    return _row(work, after)


def _shaped(
    layout: Layout, toe: Sided, number: int, how: Callable[[int, int], str] = shaping
) -> list[str]:
    """The work of every needle in a round; `how` a needle is shaped where it begins and where it ends."""
    instep, sole = (len(half) for half in _halves(layout, toe))
    inner, outer = toe.inner(number), toe.outer(number)
    # A round comes by the inner edge first, then along the instep to the outer one, and back.
    return [*_half(inner, outer, instep, how), *_half(outer, inner, sole, how)]


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


def _half(first: bool, last: bool, needles: int, how: Callable[[int, int], str]) -> Iterator[str]:
    """Instep or sole on one or two needles, shaped where it begins, where it ends, or both."""
    if needles == 1:
        yield how(first, last)
    else:
        yield how(first, 0)
        yield how(0, last)


def _takes(work: str) -> int:
    return work.count("k2tog") + work.count("ssk")


def _row(work: Sequence[str], counts: Sequence[Any]) -> str:
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"
