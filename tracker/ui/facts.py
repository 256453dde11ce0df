"""The facts below the tape: what (bold) and its sense (muted), at most four."""

from __future__ import annotations

import re
from textwrap import wrap

from tracker.ui.canvas import Canvas, Rows, cells, cut
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint

_WHAT, _SENSE = Paint("text", "page", True), Paint("muted", "page")
_COLUMN = 11
"""Where the sense begins."""

Fact = tuple[str, str]


class Facts(Painted[tuple[Fact, ...]]):
    """The facts one below the other, or in one line."""

    def paint(self, sight: tuple[Fact, ...], grid: Grid) -> Rows:
        """Rows of the facts' place in `grid`."""
        box = grid.places["facts"]
        if grid.size == "full":
            return fact_rows(sight, box.width, box.height)
        return fact_row(sight, box.width, 3 if grid.size == "medium" else 2)


def fact_rows(facts: tuple[Fact, ...], width: int, height: int) -> Rows:
    """Four facts, every second row; a long sense runs on in the row between."""
    canvas = Canvas(width, height, _SENSE)
    for y, (what, sense) in zip(range(0, 8, 2), facts, strict=False):
        x = max(canvas.put(0, y, cut(what, width), _WHAT) + 1, _COLUMN)
        room = max(width - x, 1)
        last = y + 1 >= height
        lines = [cut(sense, room)] if last else wrap(sense, room, max_lines=2, placeholder="...")
        for row, line in enumerate(lines, start=y):
            canvas.put(x, row, line, _SENSE)
    return canvas.rows()


def fact_row(facts: tuple[Fact, ...], width: int, gap: int) -> Rows:
    """As many facts as one line holds: whole if they fit, else cut at their first comma."""
    shown = list(facts)
    if _length(shown, gap) > width:
        shown = [(what, re.split("[,;]", sense)[0]) for what, sense in facts]
    while len(shown) > 1 and _length(shown, gap) > width:
        shown.pop()
    canvas = Canvas(width, 1, _SENSE)
    x = 0
    for what, sense in shown:
        x = canvas.put(x, 0, what, _WHAT) + 1
        x = canvas.put(x, 0, cut(sense, width - x), _SENSE) + gap
    return canvas.rows()


def _length(facts: list[Fact], gap: int) -> int:
    return sum(cells(what) + 1 + cells(sense) + gap for what, sense in facts) - gap
