"""The stitches of a row by the letters of a chart's colours."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from functools import lru_cache

from tracker.pattern.model import Row
from tracker.pattern.notation import BadRow, colour_of, read_row, runs, stitch_of

_LETTER = re.compile(r"(?<=[\w)\]]) [a-h](?![\w&])", re.ASCII)


def letters_in(row: Row) -> bool:
    """Whether any stitch of a row tells its colour."""
    return any(_LETTER.search(needle.work) for needle in row.needles)


def made_by_letter(row: Row, needles: int | None = None, into: int = 0) -> Counter[str]:
    """Stitches that a row makes, by letter, "" for those that tell none.

    With `needles` only those of the first so many, and of the next one the first `into` stitches.
    """
    passed = len(row.needles) if needles is None else needles
    found: Counter[str] = Counter()
    for place, needle in enumerate(row.needles[: passed + (into > 0)]):
        most = None if place < passed else into
        held = row.before[place] if place < len(row.before) else 0
        found.update(_made(needle.work, held, most) or {"": needle.made if most is None else into})
    return found


@lru_cache(maxsize=512)
def _made(work: str, held: int, most: int | None) -> Counter[str] | None:
    """What a needle makes by letter; None where none is told, or it cannot be told apart."""
    if not _LETTER.search(work):
        return None
    try:
        return Counter(list(_each(work, held))[:most])
    except BadRow:
        return None


def _each(work: str, held: int) -> Iterator[str]:
    for run in runs(read_row(work).segments[0], held)[0]:
        yield from [colour_of(run.stitch)] * (stitch_of(run.stitch).made * run.times)
