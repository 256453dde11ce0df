"""All of it in three lines, for a terminal too small for more."""

from __future__ import annotations

from typing import NamedTuple

from tracker.ui.canvas import Canvas, Rows, cells, cut
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint

_PLAIN = (Paint("text", "page", True), Paint("text", "page"), Paint("muted", "page"))
_TURNED = (
    Paint("on-turned", "turned", True),
    Paint("on-turned", "turned"),
    Paint("on-turned", "turned"),
)
_ALARM = Paint("on-alarm", "alarm", True)


class LinesSight(NamedTuple):
    """Done, next (longest first: the first that fits is shown), and the cue or the length.

    `alarmed` where the third says what was not kept.
    """

    done: str
    next: tuple[str, ...]
    third: str
    turned: bool
    alarmed: bool


class ThreeLines(Painted[LinesSight]):
    """Three lines of text, reversed at the end of a round."""

    def paint(self, sight: LinesSight, grid: Grid) -> Rows:
        """Rows of the lines' place in `grid`."""
        box = grid.places["lines"]
        return line_rows(sight, box.width, box.height)


def line_rows(sight: LinesSight, width: int, height: int) -> Rows:
    """`height` rows (three at most) of `width` cells."""
    paints = list(_TURNED if sight.turned else _PLAIN)
    if sight.alarmed:
        paints[2] = _ALARM
    canvas = Canvas(width, height, paints[0])
    coming = next((text for text in sight.next if cells(text) <= width), sight.next[-1])
    texts = (sight.done, coming, sight.third)
    for y, (text, paint) in enumerate(zip(texts, paints, strict=True)):
        canvas.fill(0, y, width, 1, paint)
        canvas.put(0, y, cut(text, width), paint)
    return canvas.rows()
