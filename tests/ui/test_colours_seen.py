"""Whether the colours can be read, and told apart by those who see fewer of them.

Contrast: Web Content Accessibility Guidelines 2.2 (W3C), success criteria 1.4.3 (AA, 4.5 to 1) and 1.4.6
(AAA, 7 to 1), with the guidelines' own definition of relative luminance. Colour vision: the matrices for
full strength of Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
vision deficiency", IEEE TVCG 15 (2009), from memory. Distance: CIE 1976 L*a*b* (CIE 15), white D65.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import numpy.typing as npt
import pytest

from tracker.ui.palette import PALETTES

Colour = npt.NDArray[np.float64]

READ = {
    "stage": ("text", "muted", "quiet", "accent"),
    "page": ("text", "muted", "quiet", "accent", "tape"),
    "accent": ("on-accent",),
    "tape": ("on-tape",),
    "turned": ("on-turned", "muted-on-turned"),
    "alarm": ("on-alarm",),
}
"""Grounds, and the inks that words are written with on them."""

MEANINGS = ("accent", "tape", "alarm", "muted")
"""Colours of which each says something else."""

KINDS = {
    "all three": np.eye(3),
    "protan": np.array([
        [0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998],
    ]),
    "deutan": np.array([
        [0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881],
    ]),
    "tritan": np.array([
        [1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900],
    ]),
}  # fmt: skip
"""How linear red, green and blue are seen."""

_XYZ = np.array([
    [0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041],
])  # fmt: skip
_D65 = np.array([0.95047, 1.0, 1.08883])


def linear(colour: str) -> Colour:
    """Red, green and blue as light (IEC 61966-2-1, as WCAG 2.2 has it)."""
    parts = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def contrast(one: str, another: str) -> float:
    lights = sorted(
        float(np.dot([0.2126, 0.7152, 0.0722], linear(colour))) for colour in (one, another)
    )
    return (lights[1] + 0.05) / (lights[0] + 0.05)


def lab(light: Colour) -> Colour:
    xyz = _XYZ @ np.clip(light, 0, 1) / _D65
    f = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def apart(one: str, another: str, kind: str) -> float:
    """How far two colours are apart for eyes of a kind."""
    seen = [lab(KINDS[kind] @ linear(colour)) for colour in (one, another)]
    return float(np.linalg.norm(seen[0] - seen[1]))


def test_the_measures_themselves() -> None:
    """Black on white is 21 to 1, and #767676 on white the darkest grey that fails AAA and passes AA."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert lab(linear("#FFFFFF")) == pytest.approx([100, 0, 0], abs=0.02)
    assert apart("#000000", "#FFFFFF", "deutan") == pytest.approx(100, abs=0.1)
    # A red and a green of like lightness are one to deutan eyes, and far apart to others.
    assert apart("#B06030", "#708030", "all three") > 45
    assert apart("#B06030", "#708030", "deutan") < 15


@pytest.mark.parametrize("theme", list(PALETTES))
def test_what_is_written_can_be_read(theme: str) -> None:
    least = 7.0 if theme == "instep-high-contrast" else 4.5
    colours = PALETTES[theme]
    for ground, inks in READ.items():
        for ink in inks:
            assert contrast(colours[ink], colours[ground]) >= least, (ink, ground)


@pytest.mark.parametrize("theme", list(PALETTES))
def test_the_end_of_a_round_is_seen_from_the_corner_of_the_eye(theme: str) -> None:
    """The stage turns over: 7 to 1 and more between the two."""
    assert contrast(PALETTES[theme]["turned"], PALETTES[theme]["stage"]) >= 7


@pytest.mark.parametrize("kind", list(KINDS))
@pytest.mark.parametrize("theme", list(PALETTES))
def test_no_two_meanings_become_one(theme: str, kind: str) -> None:
    colours = PALETTES[theme]
    for one, another in [*combinations(MEANINGS, 2), ("alarm", "turned")]:
        assert apart(colours[one], colours[another], kind) > 20, (one, another)
