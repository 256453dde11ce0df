"""The written pattern of the sock in hand, the next row in view; a term of it is explained on the spot."""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.app import ComposeResult

from tracker.row_by_row import RowByRow
from tracker.ui.aside import ANY_GRID, Aside, Page
from tracker.ui.commands import pattern_footer
from tracker.ui.knitting_app import app_of
from tracker.ui.page import list_rows, margin_of
from tracker.ui.pattern_view import HEAD, PatternView, page_rows


class PatternScreen(Aside):
    """A sock's pattern as it was when this opened."""

    opened_by = "pattern"
    in_settings = "pattern"

    def __init__(self, press: Callable[[str, str], None], pattern: RowByRow) -> None:
        super().__init__(press)
        self._view = PatternView(pattern, 80, 20)

    def compose(self) -> ComposeResult:
        """One page."""
        yield Page("pattern")

    def on_resize(self, event: events.Resize) -> None:
        """Lay it out anew; the next row stays in view."""
        width, height = event.size
        self._view = self._view.resized(width - 2 * margin_of(width), list_rows(height, HEAD))
        self._draw()

    def on_mouse_scroll_up(self) -> None:
        """A wheel turns it, too."""
        self._view.scroll(-3)
        self._draw()

    def on_mouse_scroll_down(self) -> None:
        """A wheel turns it, too."""
        self._view.scroll(3)
        self._draw()

    # What the keys do

    def do_up(self) -> None:
        self._view.scroll(-1)

    def do_down(self) -> None:
        self._view.scroll(1)

    def do_page_up(self) -> None:
        self._view.scroll(-max(self._view.height - 1, 1))

    def do_page_down(self) -> None:
        self._view.scroll(max(self._view.height - 1, 1))

    def do_first(self) -> None:
        self._view.to_beginning()

    def do_last(self) -> None:
        self._view.to_end()

    def do_section_before(self) -> None:
        self._view.to_section(before=True)

    def do_section_after(self) -> None:
        self._view.to_section(before=False)

    def do_term_before(self) -> None:
        self._view.choose(-1)

    def do_term_after(self) -> None:
        self._view.choose(1)

    def _draw(self) -> None:
        rows = page_rows(
            self._view, pattern_footer(app_of(self).keys), self.size.width, self.size.height
        )
        self.query_one(Page).show(rows, ANY_GRID)
