"""What the keys of a screen do, from its table; any other key goes back, and does what it does there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from textwrap import wrap

from textual import events
from textual.app import ComposeResult

from tracker.ui.aside import ANY_GRID, Aside, Page
from tracker.ui.canvas import Canvas, Row
from tracker.ui.commands import SIDE_COMMANDS, Command
from tracker.ui.page import margin_of
from tracker.ui.palette import Paint

_KEY, _TEXT = Paint("text", "page", True), Paint("text", "page")
_SCROLLS = frozenset({"up", "down", "page_up", "page_down", "first", "last"})
_OWN = {key: one for one in SIDE_COMMANDS if one.name in _SCROLLS for key in one.keys}
_BACK = Command("back", ("escape",), "esc", "back", "back")
_KEYS_WIDE = 16


class KeysScreen(Aside):
    """Keys at the left, what they do at the right."""

    def __init__(
        self, press: Callable[[str, str], None], title: str, commands: Sequence[Command]
    ) -> None:
        opened = (key for one in commands if one.name == "help" for key in one.keys)
        super().__init__(press, _OWN | dict.fromkeys((*_BACK.keys, *opened), _BACK))
        self._title, self._commands, self._top = title, commands, 0

    def compose(self) -> ComposeResult:
        """One page."""
        yield Page("keys")

    def on_resize(self, event: events.Resize) -> None:
        """Lay it out anew."""
        self._draw()

    # What the keys do

    def do_up(self) -> None:
        self._top -= 1

    def do_down(self) -> None:
        self._top += 1

    def do_page_up(self) -> None:
        self._top -= self.size.height - 1

    def do_page_down(self) -> None:
        self._top += self.size.height - 1

    def do_first(self) -> None:
        self._top = 0

    def do_last(self) -> None:
        self._top = len(self._commands) * 4

    def _draw(self) -> None:
        width, height = self.size
        rows = keys_rows(self._title, self._commands, width)
        self._top = max(0, min(self._top, len(rows) - height))
        blank = Canvas(width, 1, _TEXT).rows()[0]
        shown = rows[self._top : self._top + height]
        filled = (*shown, *[blank] * (height - len(shown)))
        self.query_one(Page).show(filled, ANY_GRID)


def keys_rows(title: str, commands: Sequence[Command], width: int) -> list[Row]:
    """All of it, in rows of `width` cells."""
    back = "Any other key goes back, and does what it does there. Arrows scroll."
    margin = margin_of(width)
    lines = [
        (title, ""),
        ("", ""),
        *(("", line) for line in wrap(back, max(width - 2 * margin, 1))),
    ]
    found = [_row(head, told, (margin, margin), width) for head, told in [*lines, ("", "")]]
    column = margin + (_KEYS_WIDE if width >= 52 else 14) - 1
    for command in commands:
        keys = ", ".join(_named(command))
        told = wrap(command.help, max(width - column - margin, 1))
        for at, line in enumerate(told):
            found.append(_row("" if at else keys, line, (margin, column), width))
    return found


def _named(command: Command) -> list[str]:
    return [command.shown, *(key for key in command.keys[1:] if len(key) > 1)]


def _row(head: str, told: str, columns: tuple[int, int], width: int) -> Row:
    canvas = Canvas(width, 1, _TEXT)
    canvas.put(columns[0], 0, head, _KEY)
    canvas.put(columns[1], 0, told, _TEXT)
    return canvas.rows()[0]
