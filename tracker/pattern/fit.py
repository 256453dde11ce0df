"""How many stitches go round: the foot's circumference, the gauge, the ease and the repeats.

Common practice, no source; every number is fixed here once.
"""

from __future__ import annotations

from math import floor, lcm

from tracker.records import NamedTuple


class Fabric(NamedTuple):
    """What a fabric does, unless the plan says otherwise.

    `ease` is the negative ease as a fraction of the foot, `fits` the band of ease that still fits,
    `stretch` how far the relaxed fabric opens to pass the heel, `row_factor` how many rounds it
    has to those of the swatch over the same length.
    """

    ease: float
    fits: tuple[float, float]
    stretch: float
    row_factor: float


FABRICS = {
    "plain": Fabric(0.10, (0.04, 0.16), 1.55, 1.0),
    "rib": Fabric(0.10, (0.04, 0.25), 1.8, 1.0),
    "lace": Fabric(0.08, (0.02, 0.14), 1.55, 1.0),
    "cable": Fabric(0.05, (-0.01, 0.11), 1.35, 1.0),
    "stranded": Fabric(0.05, (-0.02, 0.08), 1.25, 0.9),
}
"""By leg.fabric; a repeat is lace, cable or plain by its stitches. A ribbed leg and one of cables have 1.00
to 1.05 times the rounds, the least is taken; a stranded one 0.88 to 0.92 of a plain swatch's."""
NO_SPRING_EASE, NO_SPRING_STRETCH, NO_SPRING_FOOT = 0.03, -0.15, 0.99
"""What a yarn that does not spring back adds to ease and stretch, and the foot is made shorter by."""
BABY_FOOT_MM, BABY_EASE, BABY_ROOM_MM = 115.0, 0.05, 7.0
"""Feet shorter than this grow: less ease, and a sock longer than the foot (5 to 10 mm)."""


class Rib(NamedTuple):
    """One repeat of a rib: so many stitches of `knit` ("k", or "k tbl" in a twisted rib), then purls."""

    knits: int
    purls: int
    twisted: bool = False

    @property
    def stitches(self) -> int:
        """Stitches of one repeat: the multiple that a ribbed round needs."""
        return self.knits + self.purls


RIBS = {
    "k1p1": Rib(1, 1),
    "k2p2": Rib(2, 2),
    "k3p1": Rib(3, 1),
    "k2p1": Rib(2, 1),
    "twisted k1p1": Rib(1, 1, twisted=True),
    "twisted k2p2": Rib(2, 2, twisted=True),
}
"""By cuff.rib."""


def springs_back(fibre: str) -> bool:
    """Whether a yarn of such fibres springs back: wool with nylon does, and so does anything elastic."""
    if _names(fibre, _ELASTIC):
        return True
    if never_springs(fibre):
        return False
    return not _names(fibre, _WOOL) or _names(fibre, _NYLON)


def never_springs(fibre: str) -> bool:
    """Whether a yarn is of a fibre that no nylon helps; one with something elastic in it is not."""
    return _names(fibre, _SLACK)


def is_known(fibre: str) -> bool:
    """Whether any fibre is named of which it is known; else it counts as one that springs back."""
    return _names(fibre, (*FIBRES, *_ELASTIC))


def _names(fibre: str, known: tuple[str, ...]) -> bool:
    words = fibre.lower()
    return any(word in words for word in known)


_WOOL = ("wool", "merino", "alpaca", "mohair", "cashmere", "yak")
_NYLON = ("nylon", "polyamide")
_ELASTIC = ("elasta", "elastic")
_SLACK = ("cotton", "bamboo", "linen", "flax", "silk", "hemp", "viscose")
FIBRES = (*_WOOL, *_NYLON, "elastane", *_SLACK)
"""Those of which it is known whether they spring back."""


class Round(NamedTuple):
    """Stitches around: `wanted` by the measure, `multiple` they must divide by, and the number chosen."""

    wanted: float
    multiple: int
    stitches: int


def around(
    measure_mm: float,
    per_100mm: float,
    ease: float,
    rib: int,
    repeat: int = 1,
    *,
    tie_up: bool = False,
) -> Round:
    """Choose the stitches for a circumference in mm at a gauge in stitches per 100 mm.

    Preferred are multiples that share out over four needles and both halves; where these are
    more than 4 % off, the bare multiple of rib and repeat. A tie goes to the smaller number, or to the
    larger where the fabric hardly stretches (`tie_up`).
    """
    wanted = measure_mm * (1 - ease) * per_100mm / 100
    multiple = lcm(2, rib, repeat)
    stitches = nearest(wanted, lcm(multiple, 4), tie_up=tie_up)
    if abs(stitches - wanted) > 0.04 * wanted:
        stitches = nearest(wanted, multiple, tie_up=tie_up)
    return Round(wanted, multiple, stitches)


def nearest(wanted: float, multiple: int, *, tie_up: bool = False) -> int:
    """The multiple nearest to `wanted`; a tie goes down, or up; nothing becomes one multiple."""
    low = multiple * floor(wanted / multiple)
    high = low + multiple
    nearer_high = high - wanted < wanted - low or (tie_up and high - wanted == wanted - low)
    return high if low == 0 or nearer_high else low


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
