"""The line below the stage: the cue that comes next, what was just done, or what was not kept."""

from __future__ import annotations

from textwrap import wrap
from typing import NamedTuple

from tracker.ui.canvas import Canvas, Rows, cells, cut
from tracker.ui.grid import Grid
from tracker.ui.lettering import word
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint

_TEXT, _MUTED = Paint("text", "page"), Paint("muted", "page")
_ACCENT, _BADGE = Paint("accent", "page", True), Paint("on-accent", "accent", True)
_ALARM = Paint("on-alarm", "alarm")
_FIGURES = Paint("on-turned", "turned", True)
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
        return alarm_rows(sight.not_kept, grid) if sight.not_kept else cue_rows(sight, grid)


class _Line(NamedTuple):
    """Where the text stands: the bar's column, the text's first and last (exclusive), its row."""

    canvas: Canvas
    bar: int
    x: int
    end: int
    y: int


def alarm_rows(not_kept: str, grid: Grid) -> Rows:
    """The bar over the whole width that says what is not on the disk."""
    box = grid.places["cue"]
    canvas = Canvas(box.width, box.height, _ALARM)
    middle = box.height // 2
    x = canvas.put(grid.bar + 2, middle, "! not kept", _ALARM._replace(bold=True)) + 3
    room = max(box.width - x - 1, 8)
    lines = wrap(not_kept, room, max_lines=box.height, placeholder="...")
    top = middle if len(lines) <= box.height - middle else 0
    for y, line in enumerate(lines, start=top):
        canvas.put(x, y, line, _ALARM)
    return canvas.rows()


def cue_rows(sight: CueSight, grid: Grid) -> Rows:
    """The cue, or what was said, with the typed figures at the right end."""
    box = grid.places["cue"]
    canvas = Canvas(box.width, box.height, _TEXT)
    end = _typed(canvas, sight.typed, grid.end) if sight.typed else grid.end
    small = grid.size == "small"
    line = _Line(canvas, grid.bar, grid.bar + (1 if small else 2), end, box.height // 2)
    if sight.said:
        _said(line, sight.said)
    elif sight.what:
        _cue(line, sight, small)
    return canvas.rows()


def _cue(line: _Line, sight: CueSight, small: bool) -> None:
    canvas, bar, x, end, y = line
    canvas.put(bar, y, _BAR, _ACCENT)
    x = _when(line, sight, small)
    x = canvas.put(x, y, cut(sight.what, end - x), _TEXT._replace(bold=sight.due))
    if sight.afterwards and x + 6 < end:
        canvas.put(x, y, cut(f", {sight.afterwards}", end - x), _MUTED)


def _when(line: _Line, sight: CueSight, small: bool) -> int:
    """When the cue is due, in a badge if that is soon; returns where the text goes on."""
    canvas, _, x, _, y = line
    if not sight.when:
        return x
    if small:
        # "in 3" is read as well as "in 3 rounds", and leaves the room to the words.
        when = sight.when.removesuffix(" rounds").removesuffix(" rows")
        return canvas.put(x, y, when, _BADGE if sight.due else _ACCENT) + 1
    canvas.put(x - 1, y, f" {sight.when} ", _BADGE if sight.due else _ACCENT)
    return x + cells(sight.when) + 3


def _said(line: _Line, said: str) -> None:
    """What was done, in the line and, where there is one, the row below it."""
    canvas, bar, x, end, y = line
    rows = min(canvas.height - y, 2)
    pieces = wrap(said, max(end - x, 8), max_lines=rows, placeholder="...")
    for row, piece in enumerate(pieces, start=y):
        canvas.put(bar, row, _BAR, _TEXT)
        canvas.put(x, row, piece, _TEXT._replace(bold=row == y))


def _typed(canvas: Canvas, typed: str, end: int) -> int:
    """The figures as large as the rows allow; returns the column the rest must end before."""
    large = word(typed, 3)
    if canvas.height < 3 or len(large[0]) > end // 2:
        return canvas.put_right(end, canvas.height // 2, f" {typed} ", _FIGURES) - 1
    start = end - len(large[0])
    canvas.letter(start, 0, large, _TEXT)
    return start - 2
