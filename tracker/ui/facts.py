"""The facts below the tape: what (bold) and its sense (muted), at most four."""

from __future__ import annotations

from typing import NamedTuple

from tracker.ui.canvas import Canvas, Rows, cells, cut
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint

_WHAT, _SENSE = Paint("text", "page", True), Paint("muted", "page")
_COLUMN = 11
"""Where the sense begins."""

Fact = tuple[str, str]


class FactsSight(NamedTuple):
    """The facts in order of need."""

    facts: tuple[Fact, ...]


class Facts(Painted[FactsSight]):
    """The facts one below the other, or in one line."""

    def paint(self, sight: FactsSight, grid: Grid) -> Rows:
        """Rows of the facts' place in `grid`."""
        box = grid.places["facts"]
        if grid.size == "full":
            return fact_rows(sight.facts, box.width)
        return fact_row(sight.facts, box.width, 3 if grid.size == "medium" else 2)


def fact_rows(facts: tuple[Fact, ...], width: int) -> Rows:
    """Four facts, every second row."""
    canvas = Canvas(width, 7, _SENSE)
    for index, (what, sense) in enumerate(facts[:4]):
        x = canvas.put(0, 2 * index, cut(what, width), _WHAT)
        x = max(x + 1, _COLUMN)
        canvas.put(x, 2 * index, cut(sense, width - x), _SENSE)
    return canvas.rows()


def fact_row(facts: tuple[Fact, ...], width: int, gap: int) -> Rows:
    """As many facts as one line holds: whole if they fit, else only up to their first comma."""
    shown = list(facts)
    if _length(shown, gap) > width:
        shown = [(what, sense.partition(",")[0]) for what, sense in facts]
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
