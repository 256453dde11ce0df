"""The needles as a picture: a frame seen from above, instep on top, heel below.

It is the sock's anatomy, not its stitch counts, and never changes shape. A right-handed
knitter's work goes clockwise; for a left-handed one the frame is mirrored, its texts are not.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Rows
from tracker.ui.palette import Paint

HEIGHT = 7
_BOTTOM = HEIGHT - 1
_MIDDLE = HEIGHT // 2

Cell = tuple[int, int]
Look = Literal["to come", "at work", "done"]
MarkerInside = Literal["", "first", "last"]
"""Which needle the marker lies inside of, where it lies where no two needles meet."""


class RingNeedle(NamedTuple):
    """One needle: its label ("N1 16", or "N1 23>22" where it differs) and how it stands."""

    label: str
    look: Look
    differs: bool


class RingSight(NamedTuple):
    """What the ring shows.

    By rounds no needle is at work and `arrow` says which way it goes on the first needle that is
    not done. A single needle has `side_markers` at both ends of the instep once the heel is
    turned. `marker_next` makes the marker stand out: the needle in hand ends at it. `marker_inside`
    puts it on a needle, near that end of it which lies where a round usually begins. With `at_side`
    the rounds of three or four needles begin there, with the instep.
    """

    needles: tuple[RingNeedle, ...]
    total: str
    left_handed: bool
    arrow: bool
    closed: bool
    side_markers: bool = False
    marker: bool = True
    marker_next: bool = False
    marker_inside: MarkerInside = ""
    at_side: bool = False


THIN = {
    "level": "\u2500", "upright": "\u2502",
    "top left": "\u256d", "top right": "\u256e", "bottom left": "\u2570", "bottom right": "\u256f",
}  # fmt: skip
_HEAVY = {
    "level": "\u2501", "upright": "\u2503",
    "top left": "\u250f", "top right": "\u2513", "bottom left": "\u2517", "bottom right": "\u251b",
}  # fmt: skip
_MARKER = "\N{BLACK SQUARE}"
_IN = 2
"""Cells from the end of a needle to a marker that lies inside it."""
_MIRROR = {"\u25ba": "\u25c4", "\u25c4": "\u25ba"}

_QUIET, _DONE, _WORK = Paint("quiet"), Paint("text"), Paint("accent", bold=True)


def ring_rows(sight: RingSight, width: int) -> Rows:
    """The ring in seven rows of `width` cells (31, 23 or 21 are its drawn sizes)."""
    canvas = Canvas(width, HEIGHT, Paint())
    if sight.closed:
        _closed(canvas)
    else:
        _open(canvas, sight)
    _labels(canvas, sight)
    total = Paint("text", bold=True) if sight.closed else Paint("muted")
    canvas.put((width - len(sight.total)) // 2, _MIDDLE, sight.total, total)
    return canvas.rows()


def walk(width: int, needles: int, *, at_side: bool = False) -> tuple[list[list[Cell]], Cell]:
    """The cells of each needle in working order (right-handed), and the cell of the marker.

    Sets of double-pointed needles and a short circular begin at centre back, unless they begin
    `at_side`; two circulars and one long one always do. Where two needles meet one cell is empty.
    """
    if at_side and needles in (3, 4):
        (first, *others), _ = walk(width, needles)
        return [*others, first], (0, _MIDDLE)
    right, middle = width - 1, width // 2
    bottom_left = _line((middle - 1, _BOTTOM), (0, _BOTTOM)) + _line((0, 5), (0, _MIDDLE + 1))
    bottom_right = _line((right, _MIDDLE + 1), (right, 5)) + _line(
        (right, _BOTTOM), (middle + 1, _BOTTOM)
    )
    top = _line((0, 2), (0, 0)) + _line((1, 0), (right, 0)) + _line((right, 1), (right, 2))
    back = (middle, _BOTTOM)
    if needles == 2:
        bottom = _line((right, _MIDDLE + 1), (right, _BOTTOM))
        bottom += _line((right - 1, _BOTTOM), (0, _BOTTOM)) + _line((0, 5), (0, _MIDDLE + 1))
        return [top, bottom], (0, _MIDDLE)
    if needles == 3:
        return [bottom_left, top, bottom_right], back
    if needles == 4:
        gap = top.index((middle, 0))
        return [bottom_left, top[:gap], top[gap + 1 :], bottom_right], back
    sides = [(0, _MIDDLE)], [(right, _MIDDLE)]
    return [bottom_left + sides[0] + top + sides[1] + bottom_right], back


def _line(start: Cell, end: Cell) -> list[Cell]:
    """The cells from `start` to `end`, both included, along a row or a column."""
    (x0, y0), (x1, y1) = start, end
    if y0 == y1:
        step = 1 if x1 >= x0 else -1
        return [(x, y0) for x in range(x0, x1 + step, step)]
    step = 1 if y1 >= y0 else -1
    return [(x0, y) for y in range(y0, y1 + step, step)]


def _closed(canvas: Canvas) -> None:
    solid = ["\u2588" + "\u2580" * (canvas.width - 2) + "\u2588"]
    solid += ["\u2588" + " " * (canvas.width - 2) + "\u2588"] * (HEIGHT - 2)
    solid += ["\u2588" + "\u2584" * (canvas.width - 2) + "\u2588"]
    canvas.letter(0, 0, solid, _DONE)


def _open(canvas: Canvas, sight: RingSight) -> None:
    paths, marker = walk(canvas.width, len(sight.needles), at_side=sight.at_side)
    looks = [needle.look for needle in sight.needles]
    if len(paths) != len(looks):  # more needles than the frame has places for: one outline
        looks = ["to come"]
    pen = _Pen(canvas, mirrored=sight.left_handed)
    for path, look in zip(paths, looks, strict=True):
        if look == "at work":
            pen.solid(path)
        else:
            pen.line(
                path, THIN if look == "to come" else _HEAVY, _QUIET if look == "to come" else _DONE
            )
    if sight.arrow:
        first = next((index for index, look in enumerate(looks) if look != "done"), 0)
        pen.arrow(paths[first], 5, _DONE)
    if sight.marker_inside:
        marker = paths[0][_IN] if sight.marker_inside == "first" else paths[-1][-1 - _IN]
    marks = [marker] if sight.marker else []
    if sight.side_markers:
        marks += [(0, _MIDDLE), (canvas.width - 1, _MIDDLE)]
    for cell in marks:
        pen.put(cell, _MARKER, _WORK if sight.marker_next else _DONE)


class _Pen:
    """Draws on the frame's cells, mirrored for the left hand."""

    def __init__(self, canvas: Canvas, mirrored: bool) -> None:
        self._canvas = canvas
        self._mirrored = mirrored

    def put(self, cell: Cell, char: str, paint: Paint) -> None:
        x, y = cell
        if self._mirrored:
            x, char = self._canvas.width - 1 - x, _MIRROR.get(char, char)
        self._canvas.letter(x, y, [char], paint)

    def line(self, path: Iterable[Cell], glyphs: dict[str, str], paint: Paint) -> None:
        for cell in path:
            self.put(cell, glyphs[self._part(cell)], paint)

    def solid(self, path: list[Cell]) -> None:
        """The needle at work: flush with the outside, its last cell an arrow."""
        for x, y in path:
            upright = x in (0, self._canvas.width - 1)
            level = "\u2580" if y == 0 else "\u2584"
            self.put((x, y), "\u2588" if upright else level, _WORK)
        self.arrow(path, len(path) - 1, _WORK)

    def arrow(self, path: list[Cell], index: int, paint: Paint) -> None:
        """An arrow in cell `index` of `path`, the way the path goes there."""
        (x0, y0), (x1, y1) = path[index - 1], path[index]
        char = {(1, 0): "\u25ba", (-1, 0): "\u25c4", (0, 1): "\u25bc", (0, -1): "\u25b2"}
        self._canvas.put(self._column(x1), y1, " ", Paint())
        self.put(path[index], char[x1 - x0, y1 - y0], paint)

    def _column(self, x: int) -> int:
        return self._canvas.width - 1 - x if self._mirrored else x

    def _part(self, cell: Cell) -> str:
        """Which part of the frame a cell is, on the side it will be drawn at."""
        x, y = self._column(cell[0]), cell[1]
        side = {0: "left", self._canvas.width - 1: "right"}.get(x)
        if y not in (0, _BOTTOM):
            return "upright"
        if side is None:
            return "level"
        return f"{'top' if y == 0 else 'bottom'} {side}"


def _labels(canvas: Canvas, sight: RingSight) -> None:
    """Each needle's name and count inside its corner, or in the middle of its half."""
    places = (_PLACES_AT_SIDE if sight.at_side else _PLACES).get(len(sight.needles))
    if places is None:
        return
    inset = 3 if canvas.width >= 31 else 2
    for needle, (side, y) in zip(sight.needles, places, strict=True):
        loud = not sight.closed and (needle.look == "at work" or needle.differs)
        if side == "middle":
            x = (canvas.width - len(needle.label)) // 2
        elif (side == "right") != sight.left_handed:
            x = canvas.width - inset - len(needle.label)
        else:
            x = inset
        canvas.put(x, y, needle.label, _WORK if loud else _DONE)


_PLACES: dict[int, list[tuple[str, int]]] = {
    2: [("middle", 1), ("middle", 5)],
    3: [("left", 5), ("middle", 1), ("right", 5)],
    4: [("left", 5), ("left", 1), ("right", 1), ("right", 5)],
}
_PLACES_AT_SIDE = {
    needles: places if needles == 2 else [*places[1:], places[0]]
    for needles, places in _PLACES.items()
}
