"""What happened to the pair, event by event, the newest in view."""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.app import ComposeResult

from tracker.knitting.state import Number
from tracker.ui.aside import ANY_GRID, Aside, Page
from tracker.ui.commands import history_footer
from tracker.ui.history_view import Filter, History, View, page_rows
from tracker.ui.knitting_app import app_of
from tracker.ui.page import list_rows, margin_of


class HistoryScreen(Aside):
    """A pair's history as it was when this opened."""

    opened_by = "history"
    in_settings = "journal"

    def __init__(self, press: Callable[[str, str], None], history: History) -> None:
        super().__init__(press)
        self._history = history
        self._kinds = history.kinds()
        self._view = View(history, Filter(), 80, 20)

    def compose(self) -> ComposeResult:
        """One page."""
        yield Page("history")

    def on_resize(self, event: events.Resize) -> None:
        """Lay it out anew; what was in view stays, at first that is the newest."""
        rows = list_rows(event.size.height)
        at_end = self._at_end()
        self._view = self._view.resized(event.size.width - 2 * margin_of(event.size.width), rows)
        if at_end:
            self._view.newest()
        self._draw()

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

    def _only(self, sock: Number) -> None:
        """That sock alone; asked for once more, both. No figure: those are for the needles."""
        again = self._view.only.sock == sock
        self._choose(self._view.only._replace(sock=None if again else sock))

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
        keys = history_footer(self._history.of_socks, app_of(self).keys)
        rows = page_rows(self._view, keys, self.size.width, self.size.height)
        self.query_one(Page).show(rows, ANY_GRID)
