"""The yarns as they are shown: colours found by their names, light enough for the page, and told apart.

Sources: contrast as in the Web Content Accessibility Guidelines 2.2 (W3C); two kinds of colour blindness
at full strength by Machado, Oliveira and Fernandes (IEEE TVCG 15, 2009), the matrices from memory;
distance in CIE 1976 L*a*b*. Names that every screen knows are those of CSS Color Module Level 4.
"""

from __future__ import annotations

import colorsys
import re
from collections.abc import Sequence
from functools import lru_cache
from math import dist

from textual.color import Color, ColorParseError

Light = tuple[float, float, float]
"""Red, green and blue, linear, 0 to 1."""

_WOOL = {
    "navy": "#2F4F8F", "denim": "#4A6A96", "petrol": "#1F5A66", "oat": "#D8C08C", "cream": "#EFE3C2",
    "ecru": "#E3D8BE", "natural": "#E8DEC6", "undyed": "#E8DEC6", "rust": "#B4532C", "brick": "#9C4532",
    "charcoal": "#4A4A4E", "slate": "#5F6B78", "moss": "#6B7340", "sage": "#93A285", "forest": "#2F5D3A",
    "mustard": "#C99A2E", "heather": "#9A86A8", "plum": "#6E3A62", "berry": "#8C2F4F", "wine": "#6E2436",
    "rose": "#C9788A", "sky": "#86B4D8", "mint": "#9AC9AE", "sand": "#CDB38B", "stone": "#A59E92",
    "camel": "#B58A57", "ink": "#26324A", "storm": "#6A7684", "fog": "#B9BDBF", "main": "#B9B2A4",
}  # fmt: skip
"""What wool is called that no screen knows, or knows as another colour."""
_UNKNOWN = ("#2F4F8F", "#D8C08C", "#B4532C", "#6B7340", "#6E3A62", "#C99A2E", "#4A6A96")
"""Colours of yarns whose names say nothing, by their order."""

LEAST_CONTRAST = 3.0
"""Of a yarn to the page (WCAG 2.2, 1.4.11: what is needed to understand a picture)."""
LEAST_APART = 15.0
"""Between two yarns, for all three kinds of eyes."""
_STEP = 0.02

_EYES = (
    ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
)  # fmt: skip
"""All three kinds of cones, no long ones, no middle ones."""
_XYZ = (
    (0.4124564, 0.3575761, 0.1804375), (0.2126729, 0.7151522, 0.0721750), (0.0193339, 0.1191920, 0.9503041),
)  # fmt: skip
_WHITE = (0.95047, 1.0, 1.08883)


@lru_cache(maxsize=64)
def yarn_colours(names: tuple[str, ...], page: str) -> tuple[str, ...]:
    """The colours (#RRGGBB) of yarns by their names, in the order of the key, on a page of a colour."""
    found: list[str] = []
    for place, name in enumerate(names):
        colour = _light_enough(_named(name, place), page)
        found.append(_apart(colour, found, page))
    return tuple(found)


def towards(colour: str, page: str, share: float) -> str:
    """A colour moved towards the page, as the furrows of a rib lie in the shade."""
    pairs = zip(_parts(colour), _parts(page), strict=True)
    return _hex(tuple(one + (other - one) * share for one, other in pairs))


def _named(name: str, place: int) -> str:
    """The colour a name says: the whole of it, else its last word that is one."""
    words = re.findall(r"[a-z]+", name.lower())
    for word in ("".join(words), *reversed(words)):
        if word in _WOOL:
            return _WOOL[word]
        try:
            red, green, blue = Color.parse(word).rgb
        except ColorParseError:
            continue
        return f"#{red:02X}{green:02X}{blue:02X}"
    return _UNKNOWN[place % len(_UNKNOWN)]


def _light_enough(colour: str, page: str) -> str:
    """The same hue, lighter or darker until it stands out from the page."""
    by = _STEP if _luminance(page) < 0.2 else -_STEP
    while _contrast(colour, page) < LEAST_CONTRAST:
        moved = _lighter(colour, by)
        if moved == colour:
            break
        colour = moved
    return colour


def _apart(colour: str, others: Sequence[str], page: str) -> str:
    """Moved in lightness, as little as it takes, until it is none of the others for any eyes."""
    for steps in range(int(1 / _STEP)):
        for by in (steps * _STEP, -steps * _STEP):
            moved = _lighter(colour, by)
            if _contrast(moved, page) >= LEAST_CONTRAST and all(
                _distance(moved, other) >= LEAST_APART for other in others
            ):
                return moved
    return colour


def _lighter(colour: str, by: float) -> str:
    hue, light, strength = colorsys.rgb_to_hls(*_parts(colour))
    return _hex(colorsys.hls_to_rgb(hue, min(max(light + by, 0.0), 1.0), strength))


def _parts(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def _hex(parts: Sequence[float]) -> str:
    return "#" + "".join(f"{round(part * 255):02X}" for part in parts)


def _linear(colour: str) -> Light:
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in _parts(colour)
    )
    return red, green, blue


def _luminance(colour: str) -> float:
    return _of(_XYZ[1], _linear(colour))


def _contrast(one: str, other: str) -> float:
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _distance(one: str, other: str) -> float:
    """The least distance that two colours have for any of the eyes."""
    return min(map(dist, _seen(one), _seen(other)))


@lru_cache(maxsize=4096)
def _seen(colour: str) -> tuple[Light, ...]:
    """A colour in L*a*b*, as each of the eyes sees it: it is asked for again and again."""
    light = _linear(colour)
    return tuple(_lab([_of(row, light) for row in eyes]) for eyes in _EYES)


def _lab(light: Sequence[float]) -> Light:
    """L*, a* and b* of a light."""
    seen = [min(max(part, 0.0), 1.0) for part in light]
    x, y, z = (_f(_of(row, seen) / white) for row, white in zip(_XYZ, _WHITE, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _f(part: float) -> float:
    return float(part ** (1 / 3)) if part > (6 / 29) ** 3 else part / (3 * (6 / 29) ** 2) + 4 / 29


def _of(row: Sequence[float], light: Sequence[float]) -> float:
    return sum(weight * part for weight, part in zip(row, light, strict=True))
