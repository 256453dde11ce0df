"""The plan: what the knitter chooses, with the default of everything she leaves out.

The fields are data: their kinds, limits and defaults stand in one table, from which the
reader of plan files, its messages and the written-out pattern all follow.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tracker.pattern.model import FEET, FORMAT
from tracker.records import NamedTuple
from tracker.units import Length, Unit

Value = Any


class Field(NamedTuple):
    """One field of a plan file.

    `kind` is "text", "length", "count", "number", "texts", "shoe", "per", "colour" or "stripes";
    `choices` the words the trade knows for it, of which `made` are computed by this version. `low`
    and `high` bound counts and numbers (lengths in mm). `default` None means there is none.
    """

    kind: str
    default: Value = None
    needed: bool = False
    choices: tuple[str, ...] = ()
    made: tuple[str, ...] | None = None
    low: float = 0
    high: float = 10_000
    example: str = ""


def _choice(
    default: str | None, *choices: str, made: tuple[str, ...], needed: bool = False
) -> Field:
    return Field("text", default, needed, choices, made)


FIELDS: Mapping[str, Mapping[str, Field]] = {
    "": {
        "format": Field("count", FORMAT, low=1, high=FORMAT, example=f"format = {FORMAT}"),
        "title": Field("text", needed=True, example='title = "Night ferry"'),
        "knitter": Field("text"),
        "count": _choice("rounds", "rounds", "needles", made=("rounds", "needles")),
        "direction": _choice("cuff-down", "cuff-down", "toe-up", made=("cuff-down", "toe-up")),
        "hand": _choice("right", "right", "left", made=("right", "left")),
    },
    "foot": {
        "circumference": Field("length", low=50, high=600, example='circumference = "23.6 cm"'),
        "length": Field("length", low=50, high=600, example='length = "24.5 cm"'),
        "shoe": Field("shoe", example='shoe = "EU 39"'),
        "ankle": Field("length", low=50, high=800, example='ankle = "24 cm"'),
        "heel": Field("length", low=50, high=900, example='heel = "32 cm"'),
        "stitches": Field("count", low=12, high=200),
        "fabric": _choice(
            "plain", "plain", "rib on the instep", "as the leg",
            made=("plain", "rib on the instep", "as the leg"),
        ),
    },
    "gauge": {
        "stitches": Field("number", needed=True, low=0.5, high=400, example="stitches = 30"),
        "rows": Field("number", needed=True, low=0.5, high=600, example="rows = 42"),
        "per": Field("per", needed=True, low=20, high=250, example='per = "10 cm"'),
        "unwashed_rows": Field("number", low=0.5, high=600, example="unwashed_rows = 43"),
        "from": _choice(
            "round swatch", "round swatch", "flat swatch", "ball band",
            made=("round swatch", "flat swatch", "ball band"),
        ),
    },
    "needles": {
        "set": _choice(
            None, "five", "four", "two circulars", "long circular", "short circular",
            made=("five", "four", "two circulars", "long circular", "short circular"), needed=True,
        ),
        "size": Field("length", low=0.5, high=15, example='size = "2.5 mm"'),
        "cuff_size": Field("length", low=0.5, high=15, example='cuff_size = "2.25 mm"'),
        "material": Field("text"),
        "spare_set": Field("text"),
    },
    "cuff": {
        "rib": _choice(
            None, "k1p1", "k2p2", "k3p1", "k2p1", "twisted k1p1", "twisted k2p2",
            made=("k1p1", "k2p2", "k3p1", "k2p1", "twisted k1p1", "twisted k2p2"), needed=True,
        ),
        "row_factor": Field("number", low=0.8, high=1.5, example="row_factor = 1.05"),
        "length": Field("length", low=1, high=500, example='length = "5 cm"'),
        "rounds": Field("count", low=1, high=500, example="rounds = 22"),
    },
    "leg": {
        "length": Field("length", low=1, high=1000, example='length = "16 cm"'),
        "rounds": Field("count", low=0, high=1000, example="rounds = 46"),
        "stitches": Field("count", low=12, high=200, example="stitches = 64"),
        "ease": Field("number", low=-0.1, high=0.4, example="ease = 0.1"),
        "fabric": _choice(
            "plain", "plain", "rib", "repeat", "stranded", made=("plain", "rib", "repeat", "stranded")
        ),
        "repeat": Field("texts"),
        "stretch": Field("number", low=1, high=3, example="stretch = 1.55"),
        "row_factor": Field("number", low=0.5, high=2, example="row_factor = 1.0"),
    },
    "heel": {
        "kind": _choice(
            None, "flap", "wrapped", "double-stitch", "afterthought",
            made=("flap", "wrapped", "double-stitch", "afterthought"), needed=True,
        ),
        "flap": _choice(
            "slipped", "slipped", "plain", "eye of partridge", "garter edge",
            made=("slipped", "plain", "eye of partridge", "garter edge"),
        ),
        "rows": Field("count", low=2, high=200),
        "stitches": Field("count", low=6, high=120),
        "turn": _choice("rounded", "rounded", "square", made=("rounded", "square")),
        "centre": Field("count", low=1, high=60),
        "gap": Field("count", 1, low=0, high=1),
        "gusset": _choice(
            "decrease first", "decrease first", "plain first", made=("decrease first", "plain first")
        ),
        "picked_up": Field("text", example='picked_up = "17/16"'),
    },
    "toe": {
        "kind": _choice(
            None, "wedge", "graduated", "star", "round",
            made=("wedge", "graduated", "star", "round"), needed=True,
        ),
        "feet": _choice("alike", *FEET, made=FEET),
    },
    "yarn": {
        "fibre": Field("text"),
        "lot": Field("text"),
        "grams": Field("number", low=1, high=5000, example="grams = 100"),
        "metres": Field("number", low=1, high=50_000, example="metres = 420"),
    },
    "colours": {
        "cuff": Field("colour"), "leg": Field("stripes"), "heel": Field("colour"),
        "toe": Field("colour"),
    },
    "pair": {
        "order": Field("order", "one, then the other", example='order = "section by section"'),
        "likeness": _choice("alike", "alike", "mirrored", "cousins", made=("alike", "mirrored", "cousins")),
    },
}  # fmt: skip
"""Every field a plan may have, by table ("" is the top of the file)."""

STAGE_FIELDS = ("number", "sections", "opens", "knit_by", "both_socks", "bring")
"""The fields of a [[stage]]."""

OF_A_FLAP = ("flap", "rows", "turn", "centre", "gap", "gusset", "picked_up")
"""Fields of [heel] that only a heel with a flap has; in the plan of another they are None."""

KEPT_FOR_LATER = ("yarn.lot",)
"""Fields that are kept in the pattern but have no effect yet; the knitter is told."""


class Plan(NamedTuple):
    """A plan whose every field was read: tables of values, lengths as Length, None where left out.

    `unit` is the unit she measures in: that of her leg, else of her foot. `stages` are kept as
    they were written.
    """

    tables: Mapping[str, Mapping[str, Value]]
    unit: Unit
    stages: tuple[Mapping[str, Value], ...] = ()

    def of(self, place: str) -> Value:
        """The value of a field by its place, such as "leg.length" or "title"."""
        table, _, field = place.rpartition(".")
        return self.tables[table][field]

    def instead(self, place: str, value: Value) -> Plan:
        """The same plan with another value of one field."""
        table, _, field = place.rpartition(".")
        values = {**self.tables[table], field: value}
        return self._replace(tables={**self.tables, table: values})

    def millimetres(self, place: str) -> float | None:
        """A length field in mm, None where she left it out."""
        length: Length | None = self.of(place)
        return None if length is None else length.mm


class WillNotWork(ValueError):
    """A plan that cannot be knitted: the field at fault, and one line with numbers that work."""

    def __init__(self, field: str, why: str) -> None:
        self.field, self.why = field, why
        super().__init__(why)
