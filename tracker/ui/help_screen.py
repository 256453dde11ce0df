"""What the keys do here. Any key closes it, and does what it does at the needles."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widgets import Static

from tracker.ui.commands import COMMANDS

_SCROLLING = frozenset({"up", "down", "pageup", "pagedown", "home", "end"})
_ONLY_CLOSE = frozenset({"question_mark", "escape"})


class HelpScreen(Screen[None]):
    """The commands, from their one table. Keys that close it are handed to `press`, in order."""

    def __init__(self, press: Callable[[str, str], None]) -> None:
        super().__init__()
        self._press = press
        self._leaving = False

    def compose(self) -> ComposeResult:
        """Keys at the left, what they do at the right."""
        with VerticalScroll():
            yield Static(_help())

    def on_key(self, event: events.Key) -> None:
        """Close, unless it scrolls."""
        if event.key in _SCROLLING:
            return
        event.stop()
        event.prevent_default()
        closes = not self._leaving
        if closes:
            # More keys may wait behind this one: the screen is left once, and none of them is lost.
            self._leaving = True
            self.app.pop_screen()
        if not closes or event.key not in _ONLY_CLOSE:
            self._press(event.key, event.character or "")


def _help() -> Text:
    text = Text("At the needles\n\n")
    for command in COMMANDS:
        text.append(f"  {command.shown:<11}", "bold")
        text.append(f"{command.help}\n")
        if command.number:
            text.append(f"  {'':<11}{command.number}\n")
    text.append("\n  Figures first, then the key that says what they are. esc clears them.\n")
    text.append("  On a number pad: enter is done, - takes back.\n\n")
    text.append("  Any key goes back, and does what it does there.\n\n")
    text.append(
        "  Rest your hands now and then; stop when it hurts, and ask a clinician if it stays.\n"
    )
    text.append("  Cover the points of your needles before you put them down.\n")
    return text
