"""A sock drawn in cells: as far as it is knitted, its yarns as textures, the needle where the work hangs.

A column and half a row are the same length. A piece is told from what is yet to come, and one yarn from
another, by its signs; a ground of its own only makes it plainer.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from functools import lru_cache

from tracker.drawing import RIB, Picture, Point, Shape
from tracker.records import NamedTuple
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
    drawn = _drawn(picture, size, ground)
    for row, strip in enumerate(drawn.strips):
        canvas.paste(x + strip.first, y + row, strip.signs, strip.paints)
    if count and drawn.beside is not None:
        column, row = drawn.beside
        canvas.put(x + column, y + row, f"{_AT} {count}"[:_AROUND], Paint("text", ground, True))


class _Strip(NamedTuple):
    """The cells of one row from its `first` column on: a sign and a paint each."""

    first: int
    signs: list[str]
    paints: list[Paint]


class _Drawn(NamedTuple):
    """The rows of a drawing, and the cell from which on the count may stand beside it."""

    strips: tuple[_Strip, ...]
    beside: Cell | None


@lru_cache(maxsize=16)
def _drawn(picture: Picture, size: Size, ground: str) -> _Drawn:
    """A sock that has not grown since is not drawn again, whatever else a key changes."""
    yarns = tuple(shorten(name) for name in picture.key)
    halves = _halves(picture, size)
    looks = _Looks(yarns, ground)
    strips = [
        _strip(upper, lower, looks) for upper, lower in zip(halves[::2], halves[1::2], strict=True)
    ]
    if (hangs := _level(picture, size)) is None:
        return _Drawn(tuple(strips), None)
    first, last, row = hangs
    strips[row] = _with_needle(strips[row], halves[2 * row + 1], first, last, looks)
    free = not any(
        any(half[last + 2 : last + 2 + _AROUND]) for half in halves[2 * row : 2 * row + 2]
    )
    return _Drawn(tuple(strips), (last + 2, row) if free else None)


class _Looks:
    """How the halves of a cell look: each pair of them is asked for once."""

    def __init__(self, yarns: tuple[str, ...], ground: str) -> None:
        self._yarns, self._ground = yarns, ground
        self._known: dict[tuple[_Piece | None, _Piece | None, bool], tuple[str, Paint]] = {}

    def of(self, upper: _Piece | None, lower: _Piece | None, *, furrow: bool) -> tuple[str, Paint]:
        """The sign and the paint of a cell."""
        key = upper, lower, furrow
        if key not in self._known:
            roles = (self.role(upper, furrow=furrow), self.role(lower, furrow=furrow))
            self._known[key] = _cell(_sign(upper, lower, furrow=furrow), roles)
        return self._known[key]

    def role(self, half: _Piece | None, *, furrow: bool) -> str:
        """What half a cell is painted with."""
        return _role(half, self._yarns, self._ground, furrow=furrow)


def _strip(upper: _Half, lower: _Half, looks: _Looks) -> _Strip:
    cells = [
        looks.of(*pair, furrow=column % 2 == 1)
        for column, pair in enumerate(zip(upper, lower, strict=True))
    ]
    return _Strip(0, [sign for sign, _ in cells], [paint for _, paint in cells])


def _with_needle(strip: _Strip, below: _Half, first: int, last: int, looks: _Looks) -> _Strip:
    """The row with the needle across the fabric, one cell longer at both ends than it."""
    ground = Paint("text", looks.role(None, furrow=False))
    left, right = min(0, first - 1), max(len(strip.signs), last + 1)
    signs, paints = [" "] * (right - left), [ground] * (right - left)
    signs[-left : -left + len(strip.signs)] = strip.signs
    paints[-left : -left + len(strip.paints)] = strip.paints
    for column in range(first - 1, last + 1):
        inside = below[column] if 0 <= column < len(below) else None
        signs[column - left] = _HANGS
        paints[column - left] = Paint(half_of("text"), looks.role(inside, furrow=False), True)
    return _Strip(left, signs, paints)


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


class _Piece(NamedTuple):
    """What lies at half a cell: the place of its colour in the key, and whether it is of the cuff."""

    colour: int
    is_cuff: bool


_Half = tuple[_Piece | None, ...]
"""What lies at each column of half a row."""


def _halves(picture: Picture, size: Size) -> list[_Half]:
    """What lies at the middle of every half cell, from the top; of two pieces there the first."""
    middles = [(column + 0.5) * size.mm for column in range(size.columns)]
    pieces = [
        (shape.corners, _Piece(colour, shape.part == "cuff"))
        for shape, colour in _coloured(picture, size)
    ]
    pieces += [(shape.corners, _Piece(_TO_COME, shape.part == "cuff")) for shape in picture.whole]
    pieces.reverse()
    return [_half(pieces, middles, (half + 0.5) * size.mm) for half in range(2 * size.rows)]


def _half(
    pieces: Sequence[tuple[tuple[Point, ...], _Piece]], middles: Sequence[float], y: float
) -> _Half:
    """The pieces along a level line, the last of them uppermost: a line enters each and leaves it again."""
    found: list[_Piece | None] = [None] * len(middles)
    for corners, piece in pieces:
        crossed = sorted(_crossings(corners, y))
        for enters, leaves in zip(crossed[::2], crossed[1::2], strict=True):
            first, end = bisect_left(middles, enters), bisect_left(middles, leaves)
            found[first:end] = [piece] * (end - first)
    return tuple(found)


def _crossings(corners: tuple[Point, ...], y: float) -> Iterator[float]:
    """Where a level line meets the edges of a shape."""
    for at, (x, below) in enumerate(corners):
        before, above = corners[at - 1]
        if (above > y) != (below > y):
            yield before + (y - above) / (below - above) * (x - before)


def _cell(sign: str, roles: tuple[str, ...]) -> tuple[str, Paint]:
    """One cell from the roles of its two halves; the sign is for where there is no colour."""
    upper, lower = roles
    if upper == lower == "quiet":
        return sign, _WOOL
    if upper == lower:
        return sign, Paint("text", lower)
    return sign, Paint(half_of(upper), lower)


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
