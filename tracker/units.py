"""Lengths and weights as knitters write them, and the one rounding rule.

Inside the program every length is a float in millimetres, every weight one in grams. This module
is the only edge where a knitter's unit is read or written.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import ceil, floor
from typing import Literal

from tracker.records import NamedTuple

Unit = Literal["mm", "cm", "in"]

MM_PER: dict[str, float] = {"mm": 1.0, "cm": 10.0, "in": 25.4}
"""Millimetres in one of each unit (the inch exactly 25.4 mm, ISO 80000-3)."""

LONGEST_MM = 10_000.0
"""No length at a sock, a hat or a scarf is longer; a typing slip is."""

ROOM = "[ \t\u00a0\u202f]*"
"""What may stand between a number and its unit: spaces, the unbreakable ones too, and tabs."""

_AS_TYPED = re.VERBOSE | re.IGNORECASE | re.ASCII
"""How the expressions below are read. They are compiled, and kept, when one is first asked for."""
_NUMBER = r"\d{1,6}(?:[.,]\d{1,6})?"
_FRACTION = rf"\d{{1,3}}{ROOM}/{ROOM}\d{{1,3}}"
_LENGTH = rf"""{ROOM}(?P<minus>-)?{ROOM}
    (?: (?P<whole>\d{{1,6}}){ROOM}[- \u00a0\u202f]{ROOM}(?P<part>{_FRACTION})
      | (?P<only>{_FRACTION}) | (?P<number>{_NUMBER}) )
    {ROOM}(?P<unit>mm|cm|in|inch|inches|")?{ROOM}"""
_UNITS: dict[str, Unit] = {
    "mm": "mm", "cm": "cm", "in": "in", "inch": "in", "inches": "in", '"': "in",
}  # fmt: skip


class Length(NamedTuple):
    """A length as it was given.

    `mm` is its size, `unit` the unit it was written in, and `step_mm` the grain of the
    reading: 10 or 5 for whole or half centimetres, 6.35 for quarter inches, else 0.
    """

    mm: float
    unit: Unit
    step_mm: float


class BadLength(ValueError):
    """The text is not a length; the message says what to write instead."""


def round_half_up(value: float, digits: int = 0) -> float:
    """`value` rounded to `digits` decimals, halves upwards (2.5 to 3, -2.5 to -2).

    The one rounding rule of the trade's tables: floor(x + 0.5).
    """
    scale = 10.0**digits
    return floor(value * scale + 0.5) / scale


def whole(value: float) -> int:
    """`value` as the nearest integer, halves upwards."""
    return floor(value + 0.5)


def read_length(text: str, unit: Unit | None = None) -> Length:
    """Read "17 cm", "6 3/4 in", "9-1/4 in", "170mm" or "11,4 cm".

    `unit` is taken where the text names none; without it a bare number is refused.
    Raises BadLength, whose message is one line and says what to write.
    """
    found = re.fullmatch(_LENGTH, text, _AS_TYPED)
    if found is None:
        raise BadLength(f'"{shorten(text)}" is not a length; write it like "16 cm" or "6 1/4 in"')
    named = found["unit"]
    if named is None and unit is None:
        number = shorten(text.strip())
        raise BadLength(
            f'"{number}" has no unit; write "{number} mm", "{number} cm" or "{number} in"'
        )
    given = _UNITS[named.lower()] if named else unit
    assert given is not None  # noqa: S101 - one of the two is there, by the check above
    value = _number(found)
    if found["minus"] and value > 0:
        raise BadLength(f'"{shorten(text.strip())}" is below zero; write a length above zero')
    size = value * MM_PER[given]
    if size > LONGEST_MM:
        raise BadLength(f'"{shorten(text.strip())}" is longer than 10 m; write a length of a sock')
    return Length(size, given, _step(found, given, value))


class BadWeight(ValueError):
    """The text is not a weight; the message says what to write instead."""


GRAMS_PER: Mapping[str, float] = {
    "g": 1.0, "gram": 1.0, "grams": 1.0, "kg": 1000.0, "oz": 28.349523125, "ounce": 28.349523125,
    "ounces": 28.349523125,
}  # fmt: skip
"""Grams in one of each unit.

The international avoirdupois ounce is a sixteenth of the pound of 0.45359237 kg (international
yard and pound agreement, 1959).
"""
_WEIGHT = rf"""{ROOM}(?P<minus>-)?{ROOM}
    (?: (?P<whole>\d{{1,6}}){ROOM}[- \u00a0\u202f]{ROOM}(?P<part>{_FRACTION})
      | (?P<only>{_FRACTION}) | (?P<number>{_NUMBER}) )
    {ROOM}(?P<unit>[a-z]{{1,6}})?{ROOM}"""


def read_grams(text: str) -> float:
    """Read "85", "85 g", "85,5g" or "3 oz" as grams; a bare number is grams.

    Raises BadWeight, whose message is one line and says what to write.
    """
    found = re.fullmatch(_WEIGHT, text, _AS_TYPED)
    unit = (found["unit"] or "g").lower() if found else ""
    said = f'"{shorten(text.strip())}"'
    if found is None or unit not in GRAMS_PER:
        raise BadWeight(f"{said} is not a weight; write grams like 85, or ounces like 3 oz")
    try:
        grams = _number(found) * GRAMS_PER[unit]
    except BadLength:
        raise BadWeight(f"{said} divides by zero; write grams like 85") from None
    return -grams if found["minus"] else grams


def write_length(mm: float, unit: Unit, *, with_unit: bool = True) -> str:
    """`mm` the knitter's way: whole mm, tenths of a cm, or eighths of an inch."""
    if unit == "in":
        number = _eighths(mm / MM_PER["in"])
    elif unit == "cm":
        number = f"{round_half_up(mm / 10, 1):.1f}".removesuffix(".0")
    else:
        number = str(whole(mm))
    return f"{number} {unit}" if with_unit else number


def write_exactly(length: Length) -> str:
    """The length in its own unit, exact to a hundredth of a millimetre, as files keep it."""
    number = length.mm / MM_PER[length.unit]
    if length.unit == "in":
        written = write_length(length.mm, "in")
        return written if abs(read_length(written).mm - length.mm) < 1e-4 else f"{number:.4f} in"
    return f"{number:.4f}".rstrip("0").rstrip(".") + f" {length.unit}"


def write_at_least(mm: float, unit: Unit) -> str:
    """The shortest whole mm, tenth of a cm or eighth of an inch that is not below `mm`."""
    grain = {"mm": 1.0, "cm": 1.0, "in": MM_PER["in"] / 8}[unit]
    return write_length(ceil(mm / grain - 1e-9) * grain, unit)


_UNSEEN = frozenset("\u115f\u1160\u2800\u3164\uffa0")
"""Letters that look like nothing: a name made of them could pass for another."""


def shorten(text: str, most: int = 40) -> str:
    """A stranger's text fit for one line of a message: no control characters, cut at `most`."""
    clean = "".join(char if char.isprintable() and char not in _UNSEEN else "?" for char in text)
    return clean if len(clean) <= most else clean[: most - 3] + "..."


def shell_word(text: str) -> str:
    """A stranger's name as one word of a command line, quoted where a shell would part or obey it."""
    from shlex import quote  # only some hints need it

    return quote(shorten(text))


def _number(found: re.Match[str]) -> float:
    if found["number"]:
        return float(found["number"].replace(",", "."))
    top, bottom = (int(part) for part in (found["part"] or found["only"]).split("/"))
    if bottom == 0:
        raise BadLength(
            f'"{shorten(found.group().strip())}" divides by zero; write it like "6 1/4 in"'
        )
    return int(found["whole"] or 0) + top / bottom


def _step(found: re.Match[str], unit: Unit, value: float) -> float:
    if unit == "in":
        return 6.35 if (value * 4).is_integer() else 0.0
    if unit == "cm" and found["number"]:
        _, _, decimals = found["number"].replace(",", ".").partition(".")
        return {"": 10.0, "5": 5.0}.get(decimals, 0.0)
    return 0.0


def _eighths(inches: float) -> str:
    eighths = whole(inches * 8)
    full, rest = divmod(eighths, 8)
    if not rest:
        return str(full)
    bottom = 8
    while rest % 2 == 0:
        rest, bottom = rest // 2, bottom // 2
    return f"{full} {rest}/{bottom}" if full else f"{rest}/{bottom}"
