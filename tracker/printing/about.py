"""What a sheet says before its first row: for whom, by which gauge, on what, with what, and the cautions.

The tables come from a file, which may have been written by hand: what is not of its kind is left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tracker import written
from tracker.pattern.colours import Colours
from tracker.pattern.fit import BABY_FOOT_MM
from tracker.pattern.model import Numbers, Pattern
from tracker.units import BadLength, read_length, shorten

Document = Mapping[str, Any]
Fact = tuple[str, str]


def facts(pattern: Pattern, document: Document) -> tuple[Fact, ...]:
    """What is told of a pattern in its file: each a name and what it is."""
    told = (
        ("Knitter", _word(document, "", "knitter")),
        ("Foot", _foot(document)),
        ("Gauge", _gauge(document)),
        ("Needles", _needles(document)),
        ("Yarn", _yarn(document)),
        ("Colours", _colours(pattern.colours)),
        ("Pair", " ".join(written.likeness(pattern))),
    )
    return tuple((name, fact) for name, fact in told if fact)


def cautions(pattern: Pattern, document: Document) -> str:
    """The usual cautions that apply, in one line."""
    told = [
        "Rest your hands now and then, and stop when it hurts; cover the points of the needles;"
        " keep pins and markers from children."
    ]
    if is_babys(document):
        told.append(
            "For a baby: short floats, trimmed and secured ends, turned inside out before wearing."
        )
    elif pattern.of_socks:
        told.append(
            "Plain soles slip on smooth floors; with numb feet, poor circulation or swelling ask a"
            " clinician about cuffs and seams."
        )
    return " ".join(told)


def is_babys(document: Document) -> bool:
    """Whether the foot it is for is a baby's; false where no foot is told."""
    try:
        return read_length(_word(document, "foot", "length")).mm < BABY_FOOT_MM
    except BadLength:
        return False


def _foot(document: Document) -> str:
    around, length = (_word(document, "foot", field) for field in ("circumference", "length"))
    shoe = _word(document, "foot", "shoe")
    parts = (around and f"{around} around", length and f"{length} long", shoe and f"shoe {shoe}")
    return ", ".join(filter(None, parts))


def _gauge(document: Document) -> str:
    stitches, rows, per, source = (
        _word(document, "gauge", field) for field in ("stitches", "rows", "per", "from")
    )
    if not (stitches and rows and per):
        return ""
    unwashed = _word(document, "gauge", "unwashed_rows")
    before = f", {unwashed} rows before washing" if unwashed else ""
    return f"{stitches} stitches and {rows} rows to {per}{before}{f', {source}' if source else ''}"


def _needles(document: Document) -> str:
    told = [_SETS.get(set_, set_) if (set_ := _word(document, "needles", "set")) else ""]
    told.append(_word(document, "needles", "size"))
    cuff = _word(document, "needles", "cuff_size")
    told += [cuff and f"for the cuff {cuff}", _word(document, "needles", "material")]
    spare = _word(document, "needles", "spare_set")
    return ", ".join(filter(None, [*told, spare and f"spare {spare}"]))


_SETS = {
    "five": "a set of five", "four": "a set of four", "long circular": "one long circular",
    "short circular": "one short circular",
    "by hand": "",
}  # fmt: skip


def _yarn(document: Document) -> str:
    fibre, lot, grams, metres = (
        _word(document, "yarn", field) for field in ("fibre", "lot", "grams", "metres")
    )
    parts = (fibre, lot and f"lot {lot}", grams and f"{grams} g", metres and f"{metres} m")
    return ", ".join(filter(None, parts))


def _colours(colours: Colours) -> str:
    """ "cuff navy; leg and foot navy 9, cream 3, again and again; toe rust"."""
    many = len(colours.stripes) > 1
    named = [
        f"{shorten(stripe.name)} {stripe.rounds}" if many else shorten(stripe.name)
        for stripe in colours.stripes
    ]
    along = f"{', '.join(named)}{', again and again' if many else ''}"
    parts = (
        ("cuff", colours.cuff), ("leg and foot", along), ("heel", colours.heel), ("toe", colours.toe),
    )  # fmt: skip
    return "; ".join(f"{part} {shorten(name)}" for part, name in parts if name)


def counts(pattern: Pattern, made: Numbers | None = None) -> tuple[str, ...]:
    """The numbers of the pattern, and those that were `made` otherwise, and how its stripes count, a sentence
    each.
    """
    return (*written.numbers(pattern, made), *written.stripes(pattern))


def _word(document: Document, table: str, field: str) -> str:
    """A field as a word, "" where there is none, or no text and no number."""
    there = document.get(table, {}) if table else document
    value = there.get(field) if isinstance(there, Mapping) else None
    if isinstance(value, str):
        return value.strip()
    return f"{value:g}" if type(value) in (int, float) else ""
