"""Plans and the socks they make, without a file, for the tests of this room."""

from __future__ import annotations

import tomllib
from typing import Any

from tracker.pattern.cuff_down import Computed, compute
from tracker.pattern.model import Pattern, Row, Section
from tracker.pattern.plan import Plan
from tracker.pattern.reading import read_pattern
from tracker.storage.files import Source
from tracker.storage.plan_file import read_plan

WHOLE_PLAN: dict[str, str] = {
    "title": "Night ferry",
    "foot.circumference": "23.6 cm",
    "foot.length": "24.5 cm",
    "needles.set": "five",
    "cuff.rib": "k2p2",
    "cuff.length": "5 cm",
    "leg.length": "16 cm",
    "heel.kind": "flap",
    "toe.kind": "wedge",
}
GAUGE = {"gauge.stitches": 30, "gauge.rows": 42, "gauge.per": "10 cm"}


def plan_text(given: dict[str, Any] | None = None) -> str:
    """The text of a plan file: the plan of the 64-stitch sock with some fields written otherwise.

    A field given as None is left out.
    """
    fields: dict[str, Any] = {**WHOLE_PLAN, **GAUGE, **(given or {})}
    tables: dict[str, list[str]] = {"": []}
    for place, value in fields.items():
        table, _, field = place.rpartition(".")
        lines = tables.setdefault(table, [])
        if value is not None:
            written = f'"{value}"' if isinstance(value, str) else f"{value}"
            lines.append(f"{field} = {written}")
    top = tables.pop("")
    return "\n".join(
        [*top, *(f"\n[{name}]\n" + "\n".join(lines) for name, lines in tables.items())]
    )


def plan_of(given: dict[str, Any] | None = None) -> Plan:
    """The plan of the 64-stitch sock with some fields written otherwise."""
    text = plan_text(given)
    return read_plan(Source("plan.toml", text.encode(), text), tomllib.loads(text))


def computed(given: dict[str, Any] | None = None) -> Computed:
    """The tables that such a plan computes to, and the notes beside them."""
    return compute(plan_of(given))


def sock(given: dict[str, Any] | None = None) -> Pattern:
    """The pattern that such a plan computes to, read and counted."""
    return read_pattern(computed(given).document, "")


def pattern(*sections: dict[str, Any], **top: Any) -> Pattern:
    """A pattern written by hand: sections of rounds on one needle unless they say otherwise."""
    tables = [
        {"name": f"part {at}", "worked": "rounds", **table} for at, table in enumerate(sections)
    ]
    return read_pattern({"section": tables, **top}, "")


def section(made: Pattern, kind: str) -> Section:
    """The one section of that kind."""
    (found,) = [part for part in made.sections if part.kind == kind]
    return found


def written(row: Row) -> str:
    """A row as a table has it: "WS: sl1, p17, p2tog, p1, turn = 31" or "k | k = 16/16"."""
    side = f"{row.side}: " if row.side else ""
    work = " | ".join(needle.work for needle in row.needles)
    return f"{side}{work} = {on_needles(row)}"


def on_needles(row: Row) -> str:
    """The stitches on every needle after a row: "26/16/16/26"."""
    return "/".join(str(needle.leaves) for needle in row.needles)
