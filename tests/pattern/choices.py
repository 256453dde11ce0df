"""What a plan may choose, from its own table: no test keeps a list of heels, toes or needles by hand."""

from __future__ import annotations

from tracker.pattern.plan import FIELDS


def made(place: str) -> tuple[str, ...]:
    """The words of a field that this version computes, in their order: "heel.kind", "needles.set"."""
    table, _, field = place.rpartition(".")
    words = FIELDS[table][field].made
    assert words, place
    return words


HEELS, TOES, SETS = made("heel.kind"), made("toe.kind"), made("needles.set")
SHORT_ROWS = tuple(kind for kind in HEELS if kind not in ("flap", "afterthought"))
"""Heels of short rows: those that neither have a flap nor follow the toe."""
WITHOUT_A_FLAP = tuple(kind for kind in HEELS if kind != "flap")
