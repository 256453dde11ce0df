"""The two socks side by side, as they were when this opened."""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.app import ComposeResult

from tracker.side_by_side import SideBySide
from tracker.ui.aside import ANY_GRID, Aside, Page
from tracker.ui.canvas import Row
from tracker.ui.commands import side_footer
from tracker.ui.knitting_app import app_of
from tracker.ui.page import list_rows, margin_of
from tracker.ui.side_by_side_view import lines, page_rows


class SideBySideScreen(Aside):
    """Lines that scroll."""

    opened_by = "side"
    in_settings = "side"

    def __init__(self, press: Callable[[str, str], None], pair: SideBySide) -> None:
        super().__init__(press)
        self._pair = pair
        self._lines: list[Row] = []
        self._top = 0

    def compose(self) -> ComposeResult:
        """One page."""
        yield Page("side-by-side")

    def on_resize(self, event: events.Resize) -> None:
        """Lay it out anew, as far down as it was."""
        width, height = event.size
        far = self._top / max(len(self._lines), 1)
        self._lines = lines(self._pair, max(width - 2 * margin_of(width), 1), list_rows(height))
        self._to(int(far * len(self._lines)))
        self._draw()

    def on_mouse_scroll_up(self) -> None:
        """A wheel turns it, too."""
        self._to(self._top - 3)
        self._draw()

    def on_mouse_scroll_down(self) -> None:
        """A wheel turns it, too."""
        self._to(self._top + 3)
        self._draw()

    # What the keys do

    def do_up(self) -> None:
        self._to(self._top - 1)

    def do_down(self) -> None:
        self._to(self._top + 1)

    def do_page_up(self) -> None:
        self._to(self._top - self._in_view + 1)

    def do_page_down(self) -> None:
        self._to(self._top + self._in_view - 1)

    def do_first(self) -> None:
        self._to(0)

    def do_last(self) -> None:
        self._to(len(self._lines))

    @property
    def _in_view(self) -> int:
        return list_rows(self.size.height)

    def _to(self, top: int) -> None:
        """The line that is first in view, as far as there are any below it."""
        self._top = max(0, min(top, len(self._lines) - self._in_view))

    def _draw(self) -> None:
        keys = side_footer(app_of(self).keys)
        rows = page_rows(self._pair, self._lines, self._top, keys, *self.size)
        self.query_one(Page).show(rows, ANY_GRID)
