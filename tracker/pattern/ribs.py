"""Whether what is worked on a needle is a rib: every knit stands on a knit, every purl on a purl."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from tracker.pattern.model import Row
from tracker.pattern.notation import BadRow, plain_name, read_row, runs, stitch_of


def knits_on_knits(rows: Sequence[Row], place: int) -> bool:
    """Whether on the needle at `place`, from 0, knits stand on knits and purls on purls in all these rows.

    A decrease, and what it leaves, may stand on either. False where nothing shows it: of a single row, of
    rows worked flat, and where a row cannot be read.
    """
    if len(rows) < 2 or any(row.side or len(row.needles) <= place for row in rows):
        return False
    worked = [row for row in rows if row.needles[place].work]
    try:
        faces = [_faces(row.needles[place].work, row.before[place]) for row in worked]
    except BadRow:
        return False
    return len(faces) > 1 and all(
        _stands_on(above, below) for (_, below), (above, _) in pairwise(faces)
    )


def _stands_on(above: str, below: str) -> bool:
    return len(above) == len(below) and all(
        _EITHER in (upper, lower) or upper == lower
        for upper, lower in zip(above, below, strict=True)
    )


_EITHER = "."


@lru_cache(maxsize=1024)
def _faces(work: str, live: int) -> tuple[str, str]:
    """A needle's stitches as they are taken and as they are left, a letter each: k, p or either."""
    made, left = runs(read_row(work).segments[0], live)
    taken = left_on = ""
    for run in made:
        stitch, name = stitch_of(run.stitch), plain_name(run.stitch)
        face = name if name in ("k", "p") else _EITHER
        taken += face * stitch.takes * run.times
        left_on += face * stitch.leaves * run.times
    return taken + _EITHER * left, left_on + _EITHER * left
