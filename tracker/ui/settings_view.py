"""The settings as rows of text: each with its value, what it is about, and the file for the keys."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from tracker.settings import CHOICES, Settings
from tracker.ui.canvas import Canvas, Rows, cells, cut
from tracker.ui.footer import Entry, put_keys
from tracker.ui.page import margin_of
from tracker.ui.palette import Paint

_HEAD, _TEXT, _MUTED = Paint("text", "page", True), Paint("text", "page"), Paint("muted", "page")
_CHOSEN, _KEY = Paint("on-turned", "turned", True), Paint("text", "page", True)
_NAME = 12
"""Cells of the names' column."""
_SIGN = "\N{BLACK RIGHT-POINTING POINTER} "


def settings_rows(
    settings: Settings, at: int, said: str, file: str, keys: Sequence[Entry], size: tuple[int, int]
) -> Rows:
    """A page of `size` (width, height) cells; `at` is the setting at work, `said` what went wrong."""
    width, height = size
    canvas, margin = Canvas(width, height, _TEXT), margin_of(width)
    room = max(width - 2 * margin, 1)
    canvas.put(margin, 0, "Settings", _HEAD)
    step = next((step for step in (3, 2) if height >= step * len(CHOICES) + 6), 1)
    below = step == 3  # what a setting is about
    y = min(step, 2)
    for number, choice in enumerate(CHOICES):
        chosen = number == at
        canvas.put(margin, y, _SIGN if chosen else "  ", _KEY)
        canvas.put(margin + 2, y, choice.name, _KEY if chosen else _TEXT)
        value = f" {settings.value(choice.name)} "
        x = canvas.put(margin + _NAME, y, value, _CHOSEN if chosen else _TEXT)
        if below:
            canvas.put(margin + _NAME + 1, y + 1, cut(choice.about, room - _NAME - 1), _MUTED)
        elif x + 3 + cells(choice.about) <= margin + room:
            canvas.put(x + 2, y, choice.about, _MUTED)
        y += step
    told = said or f"Any key can be another: write them under [keys] in {file}; {_LIST}"
    for line in wrap(told, room)[: max(height - 2 - y, 0)]:
        canvas.put(margin, y, cut(line, room), _HEAD if said else _MUTED)
        y += 1
    put_keys(canvas, margin, height - 1, margin + room, keys, 2, _MUTED)
    return canvas.rows()


_LIST = "instep settings lists all acts with their keys."
