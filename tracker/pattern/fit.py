"""How many stitches go round: the foot's circumference, the gauge, the ease and the repeats.

Common practice, no source; every number is fixed here once.
"""

from __future__ import annotations

from math import floor, lcm
from typing import NamedTuple

EASE = {"plain": 0.10, "rib": 0.10}
"""Negative ease, as a fraction of the foot, by the leg's fabric."""
EASE_BAND = {"plain": (0.04, 0.16), "rib": (0.04, 0.25)}
"""Effective ease that still fits, by the leg's fabric."""
STRETCH = {"plain": 1.55, "rib": 1.8}
"""How far a relaxed fabric opens to pass the heel."""
RIBS = {"k1p1": (1, 1), "k2p2": (2, 2)}
"""Knit and purl stitches in one repeat of each rib that is computed."""


class Round(NamedTuple):
    """Stitches around: `wanted` by the measure, `multiple` they must divide by, and the number chosen."""

    wanted: float
    multiple: int
    stitches: int


def around(measure_mm: float, per_100mm: float, ease: float, rib: int, repeat: int = 1) -> Round:
    """Choose the stitches for a circumference in mm at a gauge in stitches per 100 mm.

    Preferred are multiples that share out over four needles and both halves; where these are
    more than 4 % off, the bare multiple of rib and repeat. A tie goes to the smaller number.
    """
    wanted = measure_mm * (1 - ease) * per_100mm / 100
    multiple = lcm(2, rib, repeat)
    stitches = nearest(wanted, lcm(multiple, 4))
    if abs(stitches - wanted) > 0.04 * wanted:
        stitches = nearest(wanted, multiple)
    return Round(wanted, multiple, stitches)


def nearest(wanted: float, multiple: int) -> int:
    """The multiple nearest to `wanted`; a tie goes down, nothing becomes one multiple."""
    low = multiple * floor(wanted / multiple)
    high = low + multiple
    return high if low == 0 or high - wanted < wanted - low else low


def effective_ease(stitches: int, measure_mm: float, per_100mm: float) -> float:
    """The ease that `stitches` really give, as a fraction of the measure."""
    return 1 - 100 * stitches / (per_100mm * measure_mm)


def share(stitches: int, needles: int, unit: int) -> tuple[int, ...]:
    """Share stitches out so that every needle begins with the same stitch of a repeat of `unit`.

    60 in units of 4 over four needles: 16, 16, 16, 12. Where there are fewer units than needles,
    or the unit does not divide the stitches, they are shared singly.
    """
    if stitches % unit or stitches // unit < needles:
        unit = 1
    base, extra = divmod(stitches // unit, needles)
    return tuple((base + (place < extra)) * unit for place in range(needles))


def halves(stitches: int) -> tuple[int, int]:
    """Two needles of one half: the first gets the odd stitch."""
    return (stitches + 1) // 2, stitches // 2
