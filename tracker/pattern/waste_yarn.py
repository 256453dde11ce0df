"""What the audit asks of a heel knitted afterwards: the stitches that the waste yarn held are those taken up.

Along the waste yarn lie two stretches of loops, one below it and one above, and at its ends two corners.
It shares nothing with what writes such rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from tracker.pattern.loom import Item, Written
from tracker.pattern.short_row_rules import Wrong

PLACE = "heel place"


def held(table: Mapping[str, Any]) -> int | None:
    """The stitches that a section's waste yarn holds, as it says; None where it holds none."""
    told = table.get("waste")
    return told if type(told) is int and told > 0 and table.get("kind") == PLACE else None


def wrong_place(waste: int, needles: Sequence[int]) -> Wrong | None:
    """What is wrong with waste yarn over so many stitches, which lie on the needles where the round begins.

    On three needles or more those are the last and the first, on two the second.
    """
    there = needles[0] + needles[-1] if len(needles) > 2 else needles[-1]
    right = 0 < waste < there if len(needles) == 1 else waste == there
    if right:
        return None
    on = {1: "the needle", 2: "its needle"}.get(len(needles), "the heel's needles")
    problem = f"the waste yarn holds {waste} stitches, and {on} {there}"
    return Wrong(problem, f"write waste = {there if len(needles) > 1 else there // 2}")


def wrong_loops(waste: int | None, row: Written) -> Wrong | None:
    """What is wrong with a row that takes up what the waste yarn held; None of one that takes up nothing."""
    stretches = list(_stretches(row))
    if not stretches:
        return None
    if waste is None:
        return Wrong(
            "no waste yarn was knitted in before it", "write waste in the heel's place, or pick up"
        )
    if len(stretches) != 2:
        many = f"{len(stretches)} stretch{'es' if len(stretches) > 1 else ''}"
        problem = f"its loops lie in {many}, and along waste yarn there are two"
        return Wrong(
            problem, "pick up stitches at the two corners, between the loops below and those above"
        )
    for loops, where in zip(stretches, ("below", "above"), strict=True):
        if loops != waste:
            problem = (
                f"{loops} loops are taken up {where} the waste yarn, and it held {waste} stitches"
            )
            return Wrong(problem, f"take up {waste} {where} it")
    return None


def _stretches(row: Written) -> Iterator[int]:
    """Loops that follow each other, over the ends of needles too; what is picked up parts them."""
    loops = 0
    for name, times in (one for segment in row.segments for one in _each(segment)):
        if name == "take up":
            loops += times
        elif loops:
            yield loops
            loops = 0
    if loops:
        yield loops


def _each(items: Sequence[Item]) -> Iterator[tuple[str, int]]:
    for item in items:
        if item.inside:
            yield from (
                one for _ in range(min(item.times or 1, 1_000)) for one in _each(item.inside)
            )
        else:
            yield item.name, item.times or 0
