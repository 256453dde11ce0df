"""The last line: the keys that matter here."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.ui.canvas import Canvas, Rows, cells
from tracker.ui.entry import Entry as Entry
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint

_KEY, _ACTION = Paint("text", "page", True), Paint("quiet", "page")


class KeyLine(Painted[tuple[Entry, ...]]):
    """Keys and what they do in one line, the last two of them help and leave."""

    def paint(self, sight: tuple[Entry, ...], grid: Grid) -> Rows:
        """Rows of the footer's place in `grid`."""
        return footer_rows(sight, grid.places["footer"].width, _gap(grid))

    def key_at(self, x: int) -> str:
        """The key that stands at column `x` of what is shown, with what it does; "" between them."""
        if self._given is None:
            return ""
        sight, grid = self._given
        at, gap = 0, _gap(grid)
        for key, action in fitting(sight, grid.places["footer"].width, gap):
            end = at + cells(key) + (1 + cells(action) if action else 0)
            if at <= x < end:
                return key
            at = end + gap
        return ""


def _gap(grid: Grid) -> int:
    """Cells between two keys."""
    return 3 if grid.size == "full" else 2


def footer_rows(keys: tuple[Entry, ...], width: int, gap: int) -> Rows:
    """One row of `width` cells."""
    canvas = Canvas(width, 1, _ACTION)
    put_keys(canvas, 0, 0, width, keys, gap)
    return canvas.rows()


def put_keys(
    canvas: Canvas,
    x: int,
    y: int,
    end: int,
    keys: Sequence[Entry],
    gap: int,
    paint: Paint = _ACTION,
) -> None:
    """Keys, and in `paint` what they do, from column `x` of row `y` on, as many as fit before `end`."""
    for key, action in fitting(keys, end - x, gap):
        x = canvas.put(x, y, key, _KEY)
        x = canvas.put(x, y, f" {action}" if action else "", paint) + gap


Told = tuple[str, str]


def fitting(keys: Sequence[Entry], width: int, gap: int) -> list[Told]:
    """What fits: with its action in full, or short, or less and less of it.

    What is not needed goes first, from the right; then help and leave stand without their
    words, and what else is needed goes, too. The keys of help and leave always stay.
    """
    kept = list(keys)
    while True:
        for told in (_in_full(kept), _in_short(kept)):
            if _length(told, gap) <= width:
                return told
        spare = [at for at, entry in enumerate(kept[:-2]) if not entry.needed]
        if not spare:
            break
        del kept[spare[-1]]
    while len(kept) > 2 and _length(_bare(kept), gap) > width:
        del kept[-3]
    return _bare(kept)


def _in_full(kept: Sequence[Entry]) -> list[Told]:
    return [(entry.key, entry.action) for entry in kept]


def _in_short(kept: Sequence[Entry]) -> list[Told]:
    return [(entry.key, entry.short or entry.action) for entry in kept]


def _bare(kept: Sequence[Entry]) -> list[Told]:
    return [*_in_short(kept[:-2]), *((entry.key, "") for entry in kept[-2:])]


def _length(told: Sequence[Told], gap: int) -> int:
    each = (cells(key) + (1 + cells(action) if action else 0) for key, action in told)
    return sum(each) + gap * (len(told) - 1)
