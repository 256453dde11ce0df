"""A leg that narrows to the ankle: from how many stitches, in which rounds, and how each is worked.

One stitch goes on both sides of the centre back, in rounds that lie as far apart as they can; the last is
well above the heel. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from tracker.pattern import fit
from tracker.pattern.layout import Layout
from tracker.records import NamedTuple
from tracker.units import whole

WIDER = 1.12
"""A leg wider than this many times the foot is shaped."""
STRAIGHT_MM = 50.0
"""No decrease lies nearer to the heel."""
APART = 2
"""Decrease rounds lie so many rounds apart at the least (from memory)."""


class Calf(NamedTuple):
    """A leg of `top` stitches under the cuff, narrowed on both sides of the centre back in `rounds`."""

    top: int
    rounds: tuple[int, ...]


def calf(top: int, ankle: int, leg_rounds: int, row_mm: float) -> Calf | None:
    """The leg from `top` to `ankle` stitches, in rounds of `row_mm` each; None where these are too few."""
    pairs = (top - ankle) // 2
    over = leg_rounds - straight(row_mm)
    if over < APART * pairs:
        return None
    return Calf(top, decrease_rounds(pairs, over))


def straight(row_mm: float) -> int:
    """Rounds above the heel without a decrease."""
    return ceil(STRAIGHT_MM / row_mm - 1e-9)


def least_rounds(top: int, ankle: int, row_mm: float) -> int:
    """The fewest rounds of a leg over which that many stitches can go."""
    return straight(row_mm) + APART * ((top - ankle) // 2)


def decrease_rounds(pairs: int, over: int) -> tuple[int, ...]:
    """The rounds of so many decreases, the last of them at the end of `over` rounds."""
    return tuple(place * over // pairs for place in range(1, pairs + 1))


def upwards(shaped: Calf, leg_rounds: int) -> tuple[int, ...]:
    """The rounds of the increases where such a leg is knitted from below, so many rounds in all."""
    return tuple(leg_rounds + 1 - number for number in shaped.rounds[::-1])


def around(layout: Layout, top: int, heel: int, instep: int, unit: int) -> tuple[int, ...]:
    """Cuff and leg on the needles, such that they hold nearly their halves once the leg is narrowed.

    Where needles begin with a rib of `unit` stitches they begin with the same stitch of it, but for a set
    of four, which has the instep on one needle from the cast-on.
    """
    more = top - heel - instep
    in_halves = layout.around(heel + more, instep)
    if len(layout.names) == 3 or (heel + instep) % unit or top % unit:
        return in_halves
    if layout.at_side:
        on_instep = unit * whole(instep / unit)
        # The centre back has to lie inside the heel's needle to the last decrease.
        return (on_instep, top - on_instep) if on_instep - instep < heel // 2 - 1 else in_halves
    first, *middle, last = fit.share(heel + instep, len(layout.names), unit)
    begins = unit * whole(more / 2 / unit)
    left = first + begins - more // 2, last + more - begins - more // 2
    return (first + begins, *middle, last + more - begins) if min(left) >= 2 else in_halves


def work(
    layout: Layout, on: Sequence[int], heel: int, left: int
) -> tuple[list[str], tuple[int, ...]]:
    """A decrease round on needles that hold `on`, `left` of its kind still to come; and what it leaves."""
    if layout.at_side:
        # The centre back lies inside the heel's needle: half of the heel after it, and what is yet to go.
        after = fit.halves(heel)[0] + left + 1
        told = [*["k"] * (len(on) - 1), f"k to last {after + 3}, ssk, k2, k2tog, k to end"]
        return told, (*on[:-1], on[-1] - 2)
    told = ["k1, k2tog, k to end", *["k"] * (len(on) - 2), "k to last 3, ssk, k1"]
    return told, (on[0] - 1, *on[1:-1], on[-1] - 1)
