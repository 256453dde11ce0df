"""The cuff: its rib written for every needle, and the change to the leg's count.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern.fit import RIBS
from tracker.units import whole

ROW_GAUGE_FACTOR = 1.05
"""A rib has this many times the leg's rounds to a length."""


def cuff_stitches(leg: int, rib: str) -> int:
    """The multiple of the rib nearest to the leg's stitches, halves up."""
    unit = sum(RIBS[rib])
    return max(unit, unit * whole(leg / unit))


def rounds(length_mm: float, rows_per_100mm: float) -> int:
    """Rounds of a cuff so long, at the row gauge of the leg; one at least."""
    return max(1, whole(length_mm * rows_per_100mm * ROW_GAUGE_FACTOR / 100))


def length_mm(rounds: int, rows_per_100mm: float) -> float:
    """How long so many rounds of a cuff are, in mm."""
    return rounds * 100 / rows_per_100mm / ROW_GAUGE_FACTOR


def rib_work(rib: str, needles: Sequence[int]) -> list[str]:
    """The rib on needles of so many stitches, going on from needle to needle without a break."""
    knit, purl = RIBS[rib]
    work = []
    begun = 0
    for stitches in needles:
        work.append(_rib_needle(knit, purl, begun % (knit + purl), stitches))
        begun += stitches
    return work


def _rib_needle(knit: int, purl: int, phase: int, stitches: int) -> str:
    repeat = knit + purl
    if phase == 0 and stitches % repeat == 0:
        return f"*k{knit}, p{purl}; rep from * to end"
    lead = min((repeat - phase) % repeat, stitches)
    times, tail = divmod(stitches - lead, repeat)
    parts = _part(knit, repeat, phase, lead)
    if times:
        parts.append(f"[k{knit}, p{purl}] {times} times")
    return ", ".join(parts + _part(knit, repeat, 0, tail))


def _part(knit: int, repeat: int, phase: int, stitches: int) -> list[str]:
    """The stitches of one broken repeat from `phase` on, as items."""
    end = phase + stitches
    knits = max(0, min(end, knit) - phase)
    purls = max(0, min(end, repeat) - max(phase, knit))
    return [f"{name}{count}" for name, count in (("k", knits), ("p", purls)) if count]


def change_round(needles: Sequence[int], leg: int) -> tuple[list[str], list[int]]:
    """The plain round that goes from the cuff's stitches to the leg's, evenly spread.

    Returns the work and the count of every needle. The i-th of d changes sits after stitch
    floor(i*n/d) - floor(n/2d) of the cuff's n; a k2tog never straddles two needles.
    """
    count = sum(needles)
    changes = abs(leg - count)
    after = [i * count // changes - count // (2 * changes) for i in range(1, changes + 1)]
    work, counts, begun = [], [], 0
    for stitches in needles:
        here = [place - begun for place in after if begun < place <= begun + stitches]
        here = _clear_of_border(here, stitches) if leg < count else here
        work.append(_change_needle(here, stitches, decrease=leg < count))
        counts.append(stitches + (len(here) if leg > count else -len(here)))
        begun += stitches
    return work, counts


def _clear_of_border(places: Sequence[int], stitches: int) -> list[int]:
    return [min(place, stitches - 2) for place in places]


def _change_needle(places: Sequence[int], stitches: int, *, decrease: bool) -> str:
    if not places:
        return "k"
    items, begun = [], 0
    for place in places:
        if place > begun:
            items.append(f"k{place - begun}")
        items.append("k2tog" if decrease else "M1")
        begun = place + (2 if decrease else 0)
    if stitches > begun:
        items.append(f"k{stitches - begun}")
    return ", ".join(items)
