"""A drawing as SVG inside a page. Colours are told by textures and names, never by colour alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape
from itertools import chain

from tracker.drawing import BARE, RIB, Drawing, Label, Point, Shape
from tracker.units import shorten

_LETTERS = 8.0
"""The size of letters, in the drawing's millimetres; one is about half as wide."""
_WIDE = 0.55
_MARGIN = 4.0
_SWATCH = 14.0
_STEP = 12.0

_TILE = 4
_TEXTURES = (
    "",
    '<rect width="4" height="4" opacity=".55"/>',
    '<path d="M-1 1 1 -1M0 4 4 0M3 5 5 3"/>',
    '<circle cx="1" cy="1" r=".8"/><circle cx="3" cy="3" r=".8"/>',
    '<path d="M0 2H4M2 0V4"/>',
    '<path d="M1 0V4M3 0V4" stroke-width="1"/>',
    '<path d="M-1 3 1 5M0 0 4 4M3 -1 5 1"/>',
    '<rect width="2" height="2"/><rect x="2" y="2" width="2" height="2"/>',
)
"""What is drawn on a tile for each colour of the key; after the last they come again, larger."""
_RIB = '<path d="M1 0V4" stroke-width=".5"/>'


def as_svg(drawing: Drawing) -> str:
    """The drawing as one svg element."""
    key = list(_key(drawing))
    left, top, right, bottom = _room(drawing)
    box = " ".join(_number(value) for value in (left, top, right - left, bottom - top))
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img"'
            f' font-size="{_number(_LETTERS)}" fill="currentColor">',
            "<title>The sock, lying on its side</title>",
            "<defs>",
            *_textures(drawing),
            "</defs>",
            *(_shape(band, ' stroke="none"') for band in drawing.bands),
            *(_shape(part, ' stroke="currentColor" stroke-width=".9"') for part in drawing.parts),
            *(line for label in drawing.labels for line in _label(label)),
            *key,
            "</svg>",
        ]
    )


def _textures(drawing: Drawing) -> Iterator[str]:
    for place in range(len(drawing.key)):
        larger = 1 + place // len(_TEXTURES)
        yield _texture(f"t{place}", _TEXTURES[place % len(_TEXTURES)], larger)
    if any(part.colour == RIB for part in drawing.parts):
        yield _texture("rib", _RIB, 1)


def _texture(name: str, tile: str, larger: int) -> str:
    scale = f' patternTransform="scale({larger})"' if larger > 1 else ""
    return (
        f'<pattern id="{name}" width="{_TILE}" height="{_TILE}" patternUnits="userSpaceOnUse"{scale}>'
        f'<g fill="currentColor" stroke="currentColor" stroke-width=".5">{tile}</g></pattern>'
    )


def _shape(shape: Shape, outline: str) -> str:
    corners = " ".join(f"{_number(x)},{_number(y)}" for x, y in shape.corners)
    return (
        f'<polygon class="{shape.part}" points="{corners}" fill="{_fill(shape.colour)}"{outline}/>'
    )


def _fill(colour: int) -> str:
    if colour == BARE:
        return "none"
    return "url(#rib)" if colour == RIB else f"url(#t{colour})"


def _label(label: Label) -> Iterator[str]:
    (x, y), (to_x, to_y) = label.at, label.to
    ends = f'x1="{_number(to_x)}" y1="{_number(to_y)}" x2="{_number(x)}" y2="{_number(y)}"'
    yield f'<line {ends} stroke="currentColor" stroke-width=".4"/>'
    yield _words(label.text, (_beside(x, label.anchor), _base(y, label.anchor)), label.anchor)


def _beside(x: float, anchor: str) -> float:
    return x + {"start": 1.5, "end": -1.5}.get(anchor, 0.0)


def _base(y: float, anchor: str) -> float:
    """Where letters stand: beside a line their middle is at its end, below it their top is."""
    return y + (_LETTERS * 0.9 if anchor == "middle" else _LETTERS * 0.35)


def _words(text: str, at: Point, anchor: str) -> str:
    place = f'x="{_number(at[0])}" y="{_number(at[1])}" text-anchor="{anchor}"'
    return f"<text {place}>{escape(shorten(text))}</text>"


def _key(drawing: Drawing) -> Iterator[str]:
    """The colours with their textures, beside the leg."""
    left, top = _key_at(drawing)
    for place, name in enumerate(drawing.key):
        y = top + place * _STEP
        where = f'x="{_number(left)}" y="{_number(y)}" width="{_number(_SWATCH)}" height="9"'
        yield f'<rect {where} fill="url(#t{place})" stroke="currentColor" stroke-width=".6"/>'
        yield _words(name, (left + _SWATCH + 3, y + 7.2), "start")


def _key_at(drawing: Drawing) -> Point:
    """To the right of all that stands beside the leg; above the foot, or beside it where it is long."""
    beside = [_end(label) for label in drawing.labels if label.anchor == "start"]
    right = max(beside, default=0.0) + 3 * _MARGIN
    long = len(drawing.key) * _STEP > max((y for _, y in _corners(drawing)), default=0.0) / 2
    return (max(right, *(x for x, _ in _corners(drawing))) + _MARGIN if long else right), 0.0


def _end(label: Label) -> float:
    return label.at[0] + _length(label.text)


def _length(text: str) -> float:
    return len(text) * _LETTERS * _WIDE


def _corners(drawing: Drawing) -> list[Point]:
    return list(chain.from_iterable(part.corners for part in drawing.parts))


def _room(drawing: Drawing) -> tuple[float, float, float, float]:
    """The box that holds all of it: left, top, right, bottom."""
    xs: list[float] = [x for x, _ in _corners(drawing)]
    ys: list[float] = [y for _, y in _corners(drawing)]
    for label in drawing.labels:
        xs += _reach(label)
        ys.append(label.at[1] + 1.5 * _LETTERS)
    if drawing.key:
        left, top = _key_at(drawing)
        xs.append(left + _SWATCH + 6 + max(_length(name) for name in drawing.key))
        ys.append(top + len(drawing.key) * _STEP)
    return min(xs) - _MARGIN, min(ys) - _MARGIN, max(xs) + _MARGIN, max(ys) + _MARGIN


def _reach(label: Label) -> Iterable[float]:
    long, x = _length(label.text), label.at[0]
    if label.anchor == "middle":
        return x - long / 2, x + long / 2
    return (x, x + long) if label.anchor == "start" else (x - long, x)


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
