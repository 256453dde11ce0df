"""Blanks filled in as a person types them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path

from tracker.ui.blanks import Filling, class_file, new_pair

SAMPLE = Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"
FOOT = '[foot]\ncircumference = "23.6 cm"\nlength = "24.5 cm"\n\n'
GAUGE = '[gauge]\nstitches = 30\nrows = 42\nper = "10 cm"\n\n'
MINE = {
    "foot.length": "24.5 cm", "foot.circumference": "23.6 cm", "gauge.stitches": "30",
    "gauge.rows": "42", "gauge.per": "10 cm",
}  # fmt: skip
"""The foot and the gauge of the sample."""


def class_text() -> str:
    """The sample without foot and gauge."""
    text = SAMPLE.read_text(encoding="utf-8")
    assert FOOT in text
    assert GAUGE in text
    return text.replace(FOOT, "").replace(GAUGE, "")


def of_class() -> Filling:
    """Its blanks."""
    text = class_text()
    return class_file(tomllib.loads(text), text, tuple(MINE))


def write(filling: Filling, place: str, text: str) -> Filling:
    """Go to a blank and type."""
    at = filling.at_place(place)
    assert at is not None, place
    filling = filling.to(at)
    for letter in text:
        filling = filling.typed(letter)
    return filling


def fill(filling: Filling, told: Mapping[str, str]) -> Filling:
    """Fill several blanks in."""
    for place, text in told.items():
        filling = write(filling, place, text)
    return filling


def whole_sentence() -> Filling:
    """A new pair like the sample."""
    return fill(new_pair(), {**MINE, "title": "Night ferry"})


def chosen(filling: Filling, place: str, choice: str) -> Filling:
    """With another choice in a blank, to which she went."""
    at = filling.at_place(place)
    assert at is not None
    filling = filling.to(at)
    while filling.texts[at] != choice:
        filling = filling.sideways(1)
    return filling
