"""The work of a needle told by what changes on it: the decreases first, what merely goes on in a word."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tracker.pattern.notation import MOST_STITCHES, read_row, runs, totals

SHAPING = re.compile(r"tog|ssk|ssp|skp|sk2p|s2kp|M1|fb\b|pick|yo")
"""Of a name of each stitch that takes or makes some, what tells it from the others."""
_STITCHES = r"[kp]\d*(?: tbl)?"
_RIBBED = re.compile(rf"{_STITCHES}|\[{_STITCHES}(?:, {_STITCHES})*\] \d+ times")
_SHORT = 6
"""Cells of a stitch beside a decrease that is told with it: it says how far from the edge that is."""


def shapes(text: str) -> bool:
    """Whether stitches are taken or made in a piece of work."""
    return bool(SHAPING.search(text))


def in_rib(text: str) -> str:
    """Work that is known to be in rib, each stretch of that beside its decreases in two words: "k1, ssk,
    rib 34, k1". The text alone does not show it: moss stitch is written as rib is.
    """
    parts = _parts(text)
    if not shapes(text) or len(parts) < 2:
        return text
    told: list[str] = []
    for same in _stretches(parts):
        told += [_rib(same)] if _is_rib(same) else same
    return ", ".join(told)


def changes_only(text: str) -> str:
    """The decreases, with a stitch that parts them from an edge or from each other: "..k2tog a,k1 b",
    "k1,ssk.."; what else there is goes on as it was, and is two dots. What comes again and again is not torn.
    """
    parts = _parts(text)
    at = [place for place, part in enumerate(parts) if shapes(part)]
    if not at or "*" in text or any("[" in parts[place] for place in at):
        return text
    kept = {
        place for place, part in enumerate(parts) if place in at or _parts_one(parts, at, place)
    }
    told = ""
    for place, part in enumerate(parts):
        if place in kept:
            told += ("," if told and not told.endswith("..") else "") + part
        elif not told.endswith(".."):
            told += ".."
    return told.replace(", ", ",")


def _parts_one(parts: Sequence[str], at: Sequence[int], place: int) -> bool:
    """Whether a part is a stitch or two beside a decrease, at an end or between two of them."""
    if len(parts[place]) > _SHORT or not {place - 1, place + 1} & set(at):
        return False
    return place in (0, len(parts) - 1) or at[0] < place < at[-1]


def _parts(text: str) -> list[str]:
    """What stands between commas, brackets kept whole."""
    return re.split(r", (?![^\[]*\])", text)


def _stretches(parts: Sequence[str]) -> list[list[str]]:
    """The parts in order, a stretch with a bracket in it and no decrease together, but for the stitch at
    either end that lies between it and a decrease.
    """
    found: list[list[str]] = []
    for part in parts:
        plain = not shapes(part)
        if plain and found and not any(map(shapes, found[-1])):
            found[-1].append(part)
        else:
            found.append([part])
    return [piece for same in found for piece in _without_ends(same)]


def _without_ends(same: list[str]) -> list[list[str]]:
    if len(same) > 2 and "[" in "".join(same[1:-1]):
        return [[same[0]], same[1:-1], [same[-1]]]
    return [same]


def _is_rib(same: Sequence[str]) -> bool:
    return "[" in "".join(same) and all(_RIBBED.fullmatch(part) for part in same)


def _rib(same: Sequence[str]) -> str:
    made, _ = runs(read_row(", ".join(same)).segments[0], MOST_STITCHES)
    return f"rib {totals(made).takes}"
