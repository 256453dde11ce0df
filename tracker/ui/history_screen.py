"""What happened to the pair, event by event, the newest in view.

A key that is none of its own closes it, and does what it does at the needles.
"""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from tracker.knitting.state import Number
from tracker.ui.canvas import Rows
from tracker.ui.commands import HISTORY_BY_KEY, history_footer
from tracker.ui.grid import Grid
from tracker.ui.history_view import Filter, History, View, list_rows, margin_of, page_rows
from tracker.ui.painted import Painted

_ANY_GRID = Grid("full", {}, None)
"""The page is as large as the screen; no grid says where it stands."""


class HistoryPage(Painted[Rows]):
    """The rows it is given."""

    def paint(self, sight: Rows, grid: Grid) -> Rows:
        """Those rows."""
        return sight


class HistoryScreen(Screen[None]):
    """A pair's history as it was when this opened. Keys that close it are handed to `press`, in order."""

    def __init__(self, press: Callable[[str, str], None], history: History) -> None:
        super().__init__()
        self._press = press
        self._history = history
        self._kinds = history.kinds()
        self._view = View(history, Filter(), 80, 20)
        self._leaving = False

    def compose(self) -> ComposeResult:
        """One page."""
        yield HistoryPage("history")

    def on_resize(self, event: events.Resize) -> None:
        """Lay it out anew; what was in view stays, at first that is the newest."""
        rows = list_rows(event.size.height)
        at_end = self._at_end()
        self._view = self._view.resized(event.size.width - 2 * margin_of(event.size.width), rows)
        if at_end:
            self._view.newest()
        self._draw()

    def on_key(self, event: events.Key) -> None:
        """Scroll or filter; any other key closes, and is done at the needles."""
        event.stop()
        event.prevent_default()
        key = event.key.lower() if len(event.key) == 1 else event.key
        command = HISTORY_BY_KEY.get(key)
        if command is None or self._leaving:
            self._close(event)
        elif command.name == "back":
            self._leaving = True
            self.app.pop_screen()
        else:
            getattr(self, f"do_{command.name}")()
            self._draw()

    def _close(self, event: events.Key) -> None:
        if not self._leaving:
            # More keys may wait behind this one: the screen is left once, and none of them is lost.
            self._leaving = True
            self.app.pop_screen()
        self._press(event.key, event.character or "")

    def on_mouse_scroll_up(self) -> None:
        """A wheel turns it, too."""
        self._scroll(-3)

    def on_mouse_scroll_down(self) -> None:
        """A wheel turns it, too."""
        self._scroll(3)

    # What the keys do

    def do_up(self) -> None:
        self._view.scroll(-1)

    def do_down(self) -> None:
        self._view.scroll(1)

    def do_page_up(self) -> None:
        self._view.scroll(-self._page)

    def do_page_down(self) -> None:
        self._view.scroll(self._page)

    def do_oldest(self) -> None:
        self._view.oldest()

    def do_newest(self) -> None:
        self._view.newest()

    def do_one(self) -> None:
        self._only(1)

    def do_two(self) -> None:
        self._only(2)

    def do_both(self) -> None:
        self._only(None)

    def do_kind(self) -> None:
        self._choose(self._view.only.step(self._kinds))

    def do_marks(self) -> None:
        only = self._view.only
        self._choose(only._replace(kind=None, marks=not only.marks))
        if self._view.only.marks:
            self._view.oldest()  # they are in the order of the rounds, not of the time

    @property
    def _page(self) -> int:
        """Lines of a page: one stays in view."""
        return max(self._view.height - 1, 1)

    def _only(self, sock: Number | None) -> None:
        self._choose(self._view.only._replace(sock=sock))

    def _choose(self, only: Filter) -> None:
        self._view = View(self._history, only, self._view.width, self._view.height)

    def _scroll(self, lines: int) -> None:
        self._view.scroll(lines)
        self._draw()

    def _at_end(self) -> bool:
        top = self._view.top
        self._view.newest()
        at_end, self._view.top = self._view.top == top, top
        return at_end

    def _draw(self) -> None:
        keys = history_footer(self._history.of_socks)
        rows = page_rows(self._view, keys, self.size.width, self.size.height)
        self.query_one(HistoryPage).show(rows, _ANY_GRID)
