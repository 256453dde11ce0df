"""A page that is as large as the screen: its margins, how many lines it has room for, and its keys."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.ui.canvas import Canvas, Row, Rows
from tracker.ui.footer import Entry, put_keys
from tracker.ui.palette import Paint
from tracker.ui.scrolled import blank

_MUTED = Paint("muted", "page")
_NARROW, _LOW = 72, 14
"""Cells below which the margins are slim, and rows up to which little is left free."""


def margin_of(width: int) -> int:
    """Cells left free at both sides."""
    return 1 if width < _NARROW else 3


def list_top(height: int, head: int = 2) -> int:
    """The row in which the lines begin; where there is little room, behind so many rows of a `head`."""
    return 3 if height > _LOW else min(head, height - 1)


def list_rows(height: int, head: int = 2) -> int:
    """The lines that are seen at once on a screen of `height`."""
    below = 2 if height > _LOW else 1 if height > 3 else 0
    return max(height - list_top(height, head) - below, 1)


def with_lines(canvas: Canvas, lines: Sequence[Row], keys: Sequence[Entry], head: int = 2) -> Rows:
    """What stands on the canvas, the lines in view between its margins, and the keys below them."""
    rows, margin = list(canvas.rows()), margin_of(canvas.width)
    beside = blank(margin)
    for y, line in enumerate(lines, start=list_top(canvas.height, head)):
        rows[y] = (*beside, *line, *beside)
    if canvas.height > 3:
        rows[-1] = keys_row(keys, canvas.width, margin)
    return tuple(rows)


def keys_row(keys: Sequence[Entry], width: int, margin: int) -> Row:
    """The keys in the last line."""
    canvas = Canvas(width, 1, _MUTED)
    put_keys(canvas, margin, 0, width - margin, keys, 2, _MUTED)
    return canvas.rows()[0]
