"""The count of rounds as large as the screen has room for, and next in one line below it."""

from __future__ import annotations

from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Rows, fitting
from tracker.ui.grid import Grid
from tracker.ui.lettering import enlarged, numerals
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint
from tracker.ui.stage import turned

_TEXT, _BOLD, _MUTED = Paint("text"), Paint("text", bold=True), Paint("muted")
_ROWS, _BELOW = 7, 2
"""Rows of a figure drawn once, and of what stands below it."""


class LargeSight(NamedTuple):
    """The rounds done, what is done in words, what is next (longest first), and END OF ROUND or not."""

    rounds: int
    done: tuple[str, ...]
    next: tuple[str, ...]
    turned: bool


class LargeCount(Painted[LargeSight]):
    """The stage with the count alone."""

    counts_a_tap = True

    def paint(self, sight: LargeSight, grid: Grid) -> Rows:
        """Rows of its place in `grid`."""
        box = grid.places["large"]
        return large_rows(sight, box.width, box.height, whole=grid.plain)


def large_rows(sight: LargeSight, width: int, height: int, *, whole: bool = False) -> Rows:
    """The whole stage, `width` x `height` cells; figures of `whole` cells have no halves."""

    def dress(paint: Paint) -> Paint:
        return turned(paint) if sight.turned else paint

    canvas = Canvas(width, height, dress(Paint()))
    figures = _figures(sight.rounds, width - 2, height - _BELOW, whole=whole)
    canvas.letter(1, max(0, (height - _BELOW - len(figures)) // 2), figures, dress(_TEXT))
    of = "END OF ROUND" if sight.turned else fitting(sight.done, width - 2)
    canvas.put(1, height - 2, of, dress(_BOLD if sight.turned else _MUTED))
    canvas.put(1, height - 1, fitting(sight.next, width - 2), dress(_BOLD))
    return canvas.rows()


def _figures(number: int, width: int, height: int, *, whole: bool) -> tuple[str, ...]:
    """The largest figures of `number` for which there is room; else the figures as they are typed."""
    most = max(1, height // _ROWS)
    sizes = (enlarged(number, times, whole=whole) for times in range(most, 0, -1))
    for figures in (*sizes, numerals(number, 5, whole=whole)):
        if len(figures[0]) <= width and len(figures) <= height:
            return figures
    return (str(number),)
