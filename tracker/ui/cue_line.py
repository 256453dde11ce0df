"""The line below the stage: the cue that comes next, what was just done, or what was not kept."""

from __future__ import annotations

from typing import NamedTuple

from tracker.ui.canvas import Canvas, Rows, cells, cut
from tracker.ui.grid import Grid
from tracker.ui.lettering import word
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint

_TEXT, _MUTED = Paint("text", "page"), Paint("muted", "page")
_ACCENT, _BADGE = Paint("accent", "page", True), Paint("on-accent", "accent", True)
_ALARM = Paint("on-alarm", "alarm")
_BAR = "\u258c"


class CueSight(NamedTuple):
    """`when`, `what` and `afterwards` are one cue; `said` speaks over it, `not_kept` over both.

    `due` fills the badge: the cue is for this round or the next. `typed` are the figures that
    wait for the key that says what they are.
    """

    when: str = ""
    what: str = ""
    afterwards: str = ""
    due: bool = False
    said: str = ""
    typed: str = ""
    not_kept: str = ""


class CueLine(Painted[CueSight]):
    """One line of text in the middle of three rows, or alone."""

    def paint(self, sight: CueSight, grid: Grid) -> Rows:
        """Rows of the cue's place in `grid`."""
        box = grid.places["cue"]
        if sight.not_kept:
            return alarm_rows(sight.not_kept, box.width, box.height, grid.bar + 2)
        return cue_rows(sight, box.width, box.height, grid)


def alarm_rows(not_kept: str, width: int, height: int, x: int) -> Rows:
    """The bar over the whole width that says what is not on the disk."""
    canvas = Canvas(width, height, _ALARM)
    middle = height // 2
    x = canvas.put(x, middle, "! not kept", _ALARM._replace(bold=True))
    canvas.put(x + 3, middle, cut(not_kept, width - x - 4), _ALARM)
    return canvas.rows()


def cue_rows(sight: CueSight, width: int, height: int, grid: Grid) -> Rows:
    """The cue, or what was said, with the typed figures at the right end."""
    canvas = Canvas(width, height, _TEXT)
    middle = height // 2
    end = _typed(canvas, sight.typed, grid.end) if sight.typed else grid.end
    small = grid.size == "small"
    x = grid.bar + (1 if small else 2)
    if sight.said:
        canvas.put(grid.bar, middle, _BAR, _TEXT)
        canvas.put(x, middle, cut(sight.said, end - x), _TEXT._replace(bold=True))
    elif sight.what:
        _cue(canvas, x, middle, end, sight, gap=1 if small else 3, bar=grid.bar)
    return canvas.rows()


def _cue(canvas: Canvas, x: int, y: int, end: int, sight: CueSight, gap: int, bar: int) -> None:
    canvas.put(bar, y, _BAR, _ACCENT)
    if sight.when:
        if sight.due and gap > 1:
            canvas.put(x - 1, y, f" {sight.when} ", _BADGE)
        else:
            canvas.put(x, y, sight.when, _BADGE if sight.due else _ACCENT)
        x += cells(sight.when) + gap
    x = canvas.put(x, y, cut(sight.what, end - x), _TEXT._replace(bold=sight.due))
    if sight.afterwards and x + 6 < end:
        canvas.put(x, y, cut(f", {sight.afterwards}", end - x), _MUTED)


def _typed(canvas: Canvas, typed: str, end: int) -> int:
    """The figures as large as the rows allow; returns the column they begin at."""
    large = word(typed, 3)
    if canvas.height < 3 or len(large[0]) > end // 2:
        return canvas.put_right(end, canvas.height // 2, f" {typed} ", _LARGE)
    start = end - len(large[0])
    canvas.letter(start, 0, large, _TEXT)
    return start - 2


_LARGE = Paint("on-turned", "turned", True)
