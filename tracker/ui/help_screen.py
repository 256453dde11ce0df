"""What the keys do here, and the row at hand in words.

Any key closes it, and does what it does at the needles.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from textwrap import wrap

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widgets import Static

from tracker import words
from tracker.glance import Glance
from tracker.keys import FEW, OUT_OF_THE_BOX, Keys
from tracker.pattern.glossary import become, terms, work_in_words
from tracker.ui.commands import (
    WRITING_COMMANDS,
    Command,
    commands,
    commands_of,
    spoken,
)
from tracker.ui.page import margin_of
from tracker.units import shorten
from tracker.vocabulary import and_all

_COLUMN = 13
"""Where what a key does begins."""
_SCROLL_BAR = 2
_SCROLLING = frozenset({"up", "down", "pageup", "pagedown", "home", "end"})


class HelpScreen(Screen[None]):
    """The commands, from their one table; below them the row of `glance` for whoever learns.

    Keys that close it are handed to `press`, in order.
    """

    def __init__(
        self, press: Callable[[str, str], None], glance: Glance, keys: Keys = OUT_OF_THE_BOX
    ) -> None:
        super().__init__()
        self._press = press
        self._glance, self._keys = glance, keys
        self._leaving = False

    def compose(self) -> ComposeResult:
        """Keys at the left, what they do at the right."""
        with VerticalScroll():
            yield Static()

    def on_resize(self, event: events.Resize) -> None:
        """Lay it out anew between its margins."""
        margin, told = margin_of(event.size.width), self.query_one(Static)
        told.styles.padding = (0, margin)
        room = event.size.width - 2 * margin - _SCROLL_BAR
        told.update(laid(help_text(self._glance, self._keys), max(room, 1)))

    def on_key(self, event: events.Key) -> None:
        """Close, unless it scrolls."""
        if event.key in _SCROLLING and not self._keys.is_tick(_spoken(event)):
            return
        event.stop()
        event.prevent_default()
        closes = not self._leaving
        if closes:
            # More keys may wait behind this one: the screen is left once, and none of them is lost.
            self._leaving = True
            self.app.pop_screen()
        only_closes = event.key == "escape" or self._keys.act(_spoken(event)) == "help"
        if not (closes and only_closes):
            self._press(event.key, event.character or "")


def _spoken(event: events.Key) -> str:
    return spoken(event.key, event.character or "")


def laid(text: Text, width: int) -> Text:
    """The text in lines of `width` cells: what runs on stands below what it belongs to."""
    lines: list[Text] = []
    for line in text.split("\n", allow_blank=True):
        plain = line.plain
        indent = (
            _COLUMN if line.spans and plain.startswith("  ") else len(plain) - len(plain.lstrip())
        )
        hangs = " " * min(indent, width // 2)
        first, *rest = wrap(plain, width, subsequent_indent=hangs) or [""]
        lines += [line[: len(first)], *map(Text, rest)]
    return Text("\n").join(lines)


def help_text(glance: Glance, keys: Keys = OUT_OF_THE_BOX) -> Text:
    """Keys and what they do, then the row at hand in words."""
    text = Text()
    text.append("At the needles\n\n", "bold")
    text.append("  Any key goes back, and does what it does there. Arrows scroll.\n")
    if glance.next is not None:
        text.append("  The row at hand in words stands last: the end key goes there.\n")
    text.append("\n")
    _add_keys(text, commands(keys))
    if keys.nearly_all:
        few = and_all(keys.shown[act] for act in FEW)
        text.append(f"\n  Nearly every key counts a round now, but for {few}.\n")
    text.append("\n  Figures first, then the key that says what they are. esc clears them.\n")
    text.append("  On a number pad: enter is done, - takes back.\n\n")
    text.append("In the journal\n\n", "bold")
    _add_keys(text, commands_of("journal", keys))
    text.append("\nSide by side\n\n", "bold")
    _add_keys(text, commands_of("side", keys))
    text.append("\nIn the written pattern\n\n", "bold")
    _add_keys(text, commands_of("pattern", keys))
    text.append("\nAt the plots\n\n", "bold")
    _add_keys(text, commands_of("plots", keys))
    text.append("\nWhile a line is open for words\n\n", "bold")
    _add_keys(text, WRITING_COMMANDS)
    text.append("\n")
    text.append(
        "  Rest your hands now and then; stop when it hurts, and ask a clinician if it stays.\n"
    )
    text.append("  Cover the points of your needles before you put them down.\n")
    if glance.next is not None:
        _add_row(text, glance)
    return text


def _add_keys(text: Text, commands: Iterable[Command]) -> None:
    """Keys at the left, what they do at the right."""
    for command in commands:
        text.append(f"  {command.shown:<11}", "bold")
        text.append(f"{command.help}\n")
        if command.number:
            text.append(f"  {'':<11}{command.number}\n")


def _add_row(text: Text, glance: Glance) -> None:
    """What every needle does, in sentences, and each term of the row in words."""
    row = glance.next
    number = f" {row.number}" if row and row.number else ""
    text.append(f"\nNext, in words: {words.unit(glance.place.worked)}{number}\n\n", "bold")
    for names, work in _alike(glance):
        said = work_in_words(work)
        text.append(f"  {names}: {said}\n" if len(glance.needles) > 1 else f"  {said}\n")
    text.append("\n")
    for term in terms(needle.work for needle in glance.needles):
        text.append(f"  {term.name:<11}", "bold")
        counts = become(term.counts) if term.counts else ""
        text.append(f"{term.words}{f' ({counts})' if counts else ''}\n")


def _alike(glance: Glance) -> list[tuple[str, str]]:
    """Needles that do the same, together: ("N1 and N3", "k to last 3, k2tog, k1")."""
    on: dict[str, list[str]] = {}
    for needle in glance.needles:
        on.setdefault(needle.work, []).append(shorten(needle.name))
    return [(and_all(names), work) for work, names in on.items()]
