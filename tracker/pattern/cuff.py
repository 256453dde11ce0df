"""The cuff: its rib written for every needle, and the change to the leg's count.

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern.fit import Rib
from tracker.units import whole


def cuff_stitches(leg: int, rib: Rib) -> int:
    """The multiple of the rib nearest to the leg's stitches, halves up."""
    unit = rib.stitches
    return max(unit, unit * whole(leg / unit))


def rounds(length_mm: float, rows_per_100mm: float, factor: float) -> int:
    """Rounds of a cuff so long, at the row gauge of the swatch; one at least."""
    return max(1, whole(length_mm * rows_per_100mm * factor / 100))


def length_mm(rounds: int, rows_per_100mm: float, factor: float) -> float:
    """How long so many rounds of a cuff are, in mm."""
    return rounds * 100 / rows_per_100mm / factor


def rib_work(rib: Rib, needles: Sequence[int], begins: int = 0) -> list[str]:
    """The rib on needles of so many stitches, going on from needle to needle without a break.

    The first of them begins `begins` stitches into the repeat.
    """
    work = []
    for stitches in needles:
        work.append(rib_needle(rib, begins % rib.stitches, stitches))
        begins += stitches
    return work


def rib_needle(rib: Rib, begins: int, stitches: int) -> str:
    """The rib on one needle that begins `begins` stitches into the repeat."""
    repeat = rib.stitches
    whole_repeat = ", ".join(_part(rib, 0, repeat))
    if begins == 0 and stitches % repeat == 0:
        return f"*{whole_repeat}; rep from * to end"
    lead = min((repeat - begins) % repeat, stitches)
    times, tail = divmod(stitches - lead, repeat)
    parts = _part(rib, begins, lead)
    if times:
        parts.append(f"[{whole_repeat}] {times} times")
    return ", ".join(parts + _part(rib, 0, tail))


def _part(rib: Rib, begins: int, stitches: int) -> list[str]:
    """The stitches of one broken repeat from `begins` on, as items."""
    end = begins + stitches
    knits = max(0, min(end, rib.knits) - begins)
    purls = max(0, min(end, rib.stitches) - max(begins, rib.knits))
    twisted = " tbl" if rib.twisted else ""
    items = [f"k{knits}{twisted}"] if knits else []
    return [*items, f"p{purls}"] if purls else items


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


def changes(before: Sequence[int], after: Sequence[int]) -> list[str]:
    """The work of needles that go from so many stitches to so many, each evenly spread by itself."""
    return [
        "k" if had == has else change_round([had], has)[0][0]
        for had, has in zip(before, after, strict=True)
    ]


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
