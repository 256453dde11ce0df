"""The last line: the keys that matter here."""

from __future__ import annotations

from tracker.ui.canvas import Canvas, Rows, cells
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint

_KEY, _ACTION = Paint("text", "page", True), Paint("quiet", "page")

Entry = tuple[str, str]


class KeyLine(Painted[tuple[Entry, ...]]):
    """(key, action) pairs in one line, the last two of them help and leave."""

    def paint(self, sight: tuple[Entry, ...], grid: Grid) -> Rows:
        """Rows of the footer's place in `grid`."""
        return footer_rows(sight, grid.places["footer"].width, 3 if grid.size == "full" else 2)


def footer_rows(keys: tuple[Entry, ...], width: int, gap: int) -> Rows:
    """One row of `width` cells."""
    canvas = Canvas(width, 1, _ACTION)
    x = 0
    for key, action in fitting(keys, width, gap):
        x = canvas.put(x, 0, key, _KEY) + 1
        x = canvas.put(x, 0, action, _ACTION) + gap
    return canvas.rows()


def fitting(keys: tuple[Entry, ...], width: int, gap: int) -> tuple[Entry, ...]:
    """The entries that fit: those before the last two go first, from the right; help and leave never."""
    kept = list(keys)
    while len(kept) > 2 and _length(kept, gap) > width:
        del kept[-3]
    return tuple(kept)


def _length(keys: list[Entry], gap: int) -> int:
    return sum(cells(key) + 1 + cells(action) + gap for key, action in keys) - gap
