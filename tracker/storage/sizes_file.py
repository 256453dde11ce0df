"""A plan file in several sizes: computed once for each, by its stitches around."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tracker.pattern.stages import parts
from tracker.records import NamedTuple
from tracker.storage.files import Fault, FileTrouble, read_source
from tracker.storage.pattern_file import OF_ONE_SIZE, Opened, computed, read_tables
from tracker.storage.plan_file import LeftOpen

Document = dict[str, Any]


class Sizes(NamedTuple):
    """A plan in several sizes, and the fields of it that are of one size and were left out."""

    opened: tuple[Opened, ...]
    left_out: tuple[str, ...]


def open_sizes(path: str, sizes: Sequence[int], stage: int | None = None) -> Sizes:
    """A plan computed for each size, for a sheet of all of it or of one stage. Raises FileTrouble.

    Stitches stand for the foot's circumference, and a stage without the foot needs no length of it: a plan
    for a class need not say these. What else it leaves open is asked for in one line.
    """
    source = read_source(path)
    document = read_tables(source)
    if "section" in document:
        why = "this is a pattern, which has one size; name the plan that it was computed from"
        raise FileTrouble(source.name, [Fault(None, "", why)])
    any_foot = not _is_open(document) or _has_foot(document, stage)
    asked = document if any_foot else _with(document, "foot", "length", ANY_FOOT)
    try:
        opened = [computed(source, _of_size(asked, size), size) for size in sizes]
    except LeftOpen as left:
        need = f"{left.what}, and a sheet in sizes needs what sizes do not tell; {left.to_write}"
        raise FileTrouble(source.name, [Fault(None, "", need)]) from None
    if not any_foot:
        opened = [one._replace(document=_without_length(one.document)) for one in opened]
    there = (place.split(".") for place in OF_ONE_SIZE)
    left_out = (".".join(place) for place in there if place[1] in document.get(place[0], {}))
    return Sizes(tuple(opened), tuple(left_out))


ANY_FOOT = "30 cm"
"""Stands for the length of a foot where no row that is written depends on it: so long that all else fits."""


def _is_open(document: Document) -> bool:
    """Whether the length of the foot is left open, and neither wrong nor told by a shoe."""
    foot = document.get("foot", {})
    return isinstance(foot, dict) and not {"length", "shoe"} & foot.keys()


def _has_foot(document: Document, number: int | None) -> bool:
    """Whether a stage has rounds of the foot, which its length decides on; if in doubt it has."""
    stages = document.get("stage", ())
    for stage in stages if isinstance(stages, list) else ():
        if isinstance(stage, dict) and stage.get("number") == number:
            names = stage.get("sections")
            if isinstance(names, list) and all(isinstance(name, str) for name in names):
                return "foot" in {part for name in names for part in parts(name)}
    return True


def _of_size(document: Document, size: int) -> Document:
    """A plan's tables with so many stitches around where they say none: no foot need be told then."""
    leg = document.get("leg", {})
    if not isinstance(leg, dict) or "stitches" in leg:
        return document
    return _with(document, "leg", "stitches", size)


def _with(document: Document, table: str, field: str, value: Any) -> Document:
    there: Mapping[str, Any] = document.get(table, {})
    return {**document, table: {**there, field: value}}


def _without_length(document: Document) -> Document:
    foot = {key: value for key, value in document["foot"].items() if key != "length"}
    return {**document, "foot": foot}
