"""All of it in three lines, for a terminal too small for more."""

from __future__ import annotations

import re

from tracker.records import NamedTuple
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
_SENTENCE = re.compile(r".*?[.?!](?= [A-Z0-9])")
"""A sentence that another one follows."""


class LinesSight(NamedTuple):
    """Done, next, and the cue or the length, each longest first: the first that fits is shown.

    `alarmed` where the third says what was not kept.
    """

    done: tuple[str, ...]
    next: tuple[str, ...]
    third: tuple[str, ...]
    turned: bool
    alarmed: bool


class ThreeLines(Painted[LinesSight]):
    """Three lines of text, reversed at the end of a round."""

    counts_a_tap = True

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
    for y, (texts, paint) in enumerate(
        zip((sight.done, sight.next, sight.third), paints, strict=True)
    ):
        canvas.fill(0, y, width, 1, paint)
        canvas.put(0, y, _fitting(texts, width), paint)
    return canvas.rows()


def _fitting(texts: tuple[str, ...], width: int) -> str:
    """The first that fits; else as many whole sentences of one as do; else the last, cut."""
    for text in texts:
        if cells(text) <= width:
            return text
    for text in reversed(texts):
        first = _SENTENCE.match(text)
        if first and cells(first[0]) <= width:
            return first[0]
    return cut(texts[-1], width)
