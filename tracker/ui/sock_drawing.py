"""A sock drawn in cells: as far as it is knitted, its yarns as textures, the needle where the work hangs.

A column and half a row are the same length. A piece is told from what is yet to come, and one yarn from
another, by its signs; a ground of its own only makes it plainer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tracker.drawing import RIB, Picture, Point, Shape
from tracker.ui.canvas import UPPER, Canvas
from tracker.ui.palette import Paint
from tracker.units import whole

TEXTURES = "\u2593\u2591\u2592%=+:#"
"""Signs of the yarns, in the order in which they come; after the last the first again."""

_TODO = Paint("text", "todo")
_WOOL, _EDGE = Paint("page", "quiet"), Paint("quiet", "stage")
_YARN, _NEEDLE = Paint("text", "stage"), Paint("text", "stage", True)
_RIDGE, _HANGS, _AT = "\u2502", "\u2501", "\u25c4"
_TO_COME = -3
"""What is not knitted yet."""
_AROUND = 6
"""Cells beyond the fabric that the needle and its count take."""


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
    canvas: Canvas, x: int, y: int, picture: Picture, size: Size, count: str = ""
) -> None:
    """Draw a sock with its corner at `x`, `y`; `count` stands where the needle hangs on the leg."""
    pieces = [_Piece(shape, colour) for shape, colour in _coloured(picture, size)]
    pieces += [_Piece(shape, _TO_COME) for shape in picture.whole]
    for row in range(size.rows):
        for column in range(size.columns):
            upper, lower = (
                _colour_at(pieces, (column + 0.5) * size.mm, (2 * row + half + 0.5) * size.mm)
                for half in (0, 1)
            )
            _cell(canvas, (x + column, y + row), upper, lower, ridge=column % 2 == 1)
    if picture.needle is not None:
        _needle(canvas, x, y, picture, size, count)


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


def _colour_at(pieces: Sequence[_Piece], x: float, y: float) -> int | None:
    return next((piece.colour for piece in pieces if piece.holds(x, y)), None)


def _cell(
    canvas: Canvas, at: tuple[int, int], upper: int | None, lower: int | None, *, ridge: bool
) -> None:
    """One cell from its two halves. Without colour a half is only ever drawn of what is knitted."""
    if upper is None and lower is None:
        return
    (x, y), here = at, lower if upper is None else upper
    if here is None or here == _TO_COME:
        if upper == _TO_COME:
            canvas.put(x, y, " ", _TODO)
        return
    if here >= 0:
        canvas.put(x, y, texture(here), _YARN)
    elif upper is None:
        return
    elif lower is None:
        canvas.put(x, y, UPPER, _EDGE)
    else:
        canvas.put(x, y, _RIDGE if here == RIB and ridge else " ", _WOOL)


def _needle(canvas: Canvas, x: int, y: int, picture: Picture, size: Size, count: str) -> None:
    """A bar across the fabric, one cell longer at both ends, where the work hangs level."""
    edge = picture.needle or ()
    levels = {round(point[1], 3) for point in edge}
    if len(levels) != 1:
        return
    (level,) = levels
    first, last = (whole(point[0] / size.mm) for point in (edge[0], edge[-1]))
    row = min(int(level / size.mm / 2), size.rows - 1)
    after = canvas.put(x + first - 1, y + row, _HANGS * (last - first + 2), _NEEDLE)
    if count:
        canvas.put(after + 1, y + row, f"{_AT} {count}"[:_AROUND], _NEEDLE)
