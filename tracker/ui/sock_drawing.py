"""A sock drawn in cells: as far as it is knitted, its yarns as textures, the needle where the work hangs.

A column and half a row are the same length. A piece is told from what is yet to come, and one yarn from
another, by its signs; a ground of its own only makes it plainer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tracker.drawing import RIB, Picture, Point, Shape
from tracker.ui.canvas import UPPER, Canvas
from tracker.ui.palette import Paint, half_of, yarn
from tracker.units import shorten, whole

TEXTURES = "\u2593\u2591\u2592+xo*&"
"""Signs of the yarns, in the order in which they come; after the last the first again.

In plain text the first three are signs that none of the others is.
"""

_WOOL = Paint("page", "quiet")
_RIDGE, _HANGS, _AT = "\u2502", "\u2501", "\u25c4"
_TO_COME = -3
"""What is not knitted yet."""
_AROUND = 6
"""Cells beyond the fabric that the needle and its count take."""


Cell = tuple[int, int]
"""A column and a row of the canvas."""


class Size(NamedTuple):
    """Cells of a drawing, and the millimetres of one column."""

    columns: int
    rows: int
    mm: float


def size_of(pictures: Sequence[Picture], columns: int, rows: int) -> Size:
    """The one scale on which all of them have room in so many cells, and what the largest takes."""
    long, high = (max(picture.size[side] for picture in pictures) for side in (0, 1))
    mm = max(long / columns, high / (2 * rows))
    return Size(-int(-long // mm), -int(-high // (2 * mm)), mm)


def draw_sock(
    canvas: Canvas,
    x: int,
    y: int,
    picture: Picture,
    size: Size,
    count: str = "",
    ground: str = "stage",
) -> None:
    """Draw a sock with its corner at `x`, `y` on a `ground`; `count` stands where the needle hangs, on
    cuff and leg: further down there is fabric beside it. The needle is a bar across the fabric, one cell
    longer at both ends.
    """
    yarns = tuple(shorten(name) for name in picture.key)
    pieces = [_Piece(shape, colour) for shape, colour in _coloured(picture, size)]
    pieces += [_Piece(shape, _TO_COME) for shape in picture.whole]
    for row in range(size.rows):
        for column in range(size.columns):
            upper, lower = (
                _piece_at(pieces, (column + 0.5) * size.mm, (2 * row + half + 0.5) * size.mm)
                for half in (0, 1)
            )
            roles = tuple(
                _role(half, yarns, ground, furrow=column % 2 == 1) for half in (upper, lower)
            )
            sign = _sign(upper, lower, furrow=column % 2 == 1)
            _draw(canvas, (x + column, y + row), sign, roles)
    if (hangs := _level(picture, size)) is not None:
        first, last, row = hangs
        for column in range(first - 1, last + 1):
            below = _piece_at(pieces, (column + 0.5) * size.mm, (2 * row + 1.5) * size.mm)
            role = _role(below, yarns, ground, furrow=False)
            canvas.put(x + column, y + row, _HANGS, Paint(half_of("text"), role, True))
        told = f"{_AT} {count}"[:_AROUND]
        beside = [
            _piece_at(pieces, (last + 2 + at + 0.5) * size.mm, (2 * row + half + 0.5) * size.mm)
            for at in range(len(told))
            for half in (0, 1)
        ]
        if count and not any(beside):
            canvas.put(x + last + 2, y + row, told, Paint("text", ground, True))


def put_key(canvas: Canvas, x: int, y: int, names: Sequence[str], paint: Paint) -> int:
    """The yarns of a picture, each with its sign and its name; returns the column after them."""
    shown = tuple(shorten(name) for name in names)
    for place, name in enumerate(shown):
        x = canvas.put(x, y, texture(place) * 2, Paint("text", yarn(place, shown)))
        x = canvas.put(x, y, f" {name}   ", paint)
    return x


def texture(colour: int) -> str:
    """The sign of a yarn by its place in the key."""
    return TEXTURES[colour % len(TEXTURES)]


def _coloured(picture: Picture, size: Size) -> list[tuple[Shape, int]]:
    """The pieces with their colours; where a stripe has no row of cells for itself, all in the widest's.

    So as many stripes are seen as there are, or none.
    """
    stripes = picture.stripes
    too_fine = stripes is not None and stripes.lowest < 2 * size.mm
    return [
        (shape, stripes.widest if too_fine and stripes and shape.part in stripes.parts else shape.colour)
        for shape in picture.knitted
    ]  # fmt: skip


class _Piece:
    """A shape that can be asked whether a point lies in it."""

    def __init__(self, shape: Shape, colour: int) -> None:
        self.colour, self._corners = colour, shape.corners
        self.is_cuff = shape.part == "cuff"
        xs, ys = zip(*shape.corners, strict=True)
        self._box = min(xs), min(ys), max(xs), max(ys)

    def holds(self, x: float, y: float) -> bool:
        left, top, right, bottom = self._box
        if not (left <= x <= right and top <= y <= bottom):
            return False
        corners = self._corners
        crossed = (_crosses(x, y, corners[at - 1], corner) for at, corner in enumerate(corners))
        return sum(crossed) % 2 == 1


def _crosses(x: float, y: float, one: Point, other: Point) -> bool:
    """Whether a line to the right of a point meets this edge."""
    if (one[1] > y) == (other[1] > y):
        return False
    return x < one[0] + (y - one[1]) / (other[1] - one[1]) * (other[0] - one[0])


def _piece_at(pieces: Sequence[_Piece], x: float, y: float) -> _Piece | None:
    return next((piece for piece in pieces if piece.holds(x, y)), None)


def _draw(canvas: Canvas, at: Cell, sign: str, roles: tuple[str, ...]) -> None:
    """One cell from the roles of its two halves; the sign is for where there is no colour."""
    upper, lower = roles
    if upper == lower == "quiet":
        canvas.put(*at, sign, _WOOL)
    elif upper == lower:
        canvas.put(*at, sign, Paint("text", lower))
    else:
        canvas.put(*at, sign, Paint(half_of(upper), lower))


def _role(half: _Piece | None, yarns: tuple[str, ...], ground: str, *, furrow: bool) -> str:
    """What half a cell is painted with: the yarn of a cuff is darker in its furrows."""
    if half is None:
        return ground
    if half.colour == _TO_COME:
        return "todo"
    return yarn(half.colour, yarns, rib=half.is_cuff and furrow) if half.colour >= 0 else "quiet"


def _sign(upper: _Piece | None, lower: _Piece | None, *, furrow: bool) -> str:
    """Without colour a half is only ever drawn of what is knitted."""
    here = lower if upper is None else upper
    if here is None or here.colour == _TO_COME:
        return " "
    if here.colour >= 0:
        return texture(here.colour)
    if upper is None or lower is None:
        return " " if upper is None else UPPER
    return _RIDGE if here.colour == RIB and furrow else " "


def _level(picture: Picture, size: Size) -> tuple[int, int, int] | None:
    """The first and the last column (exclusive) of the fabric and the row in which the work hangs level.

    None where it does not.
    """
    edge = picture.needle or ()
    levels = {round(point[1], 3) for point in edge}
    if len(levels) != 1:
        return None
    first, last = (whole(point[0] / size.mm) for point in (edge[0], edge[-1]))
    return first, last, min(int(levels.pop() / size.mm / 2), size.rows - 1)
