"""Length, pace and tension of the pair, drawn; one plot chosen after the other."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult

from tracker.plots import NAMES, Plots
from tracker.ui.aside import ANY_GRID, Aside, Page
from tracker.ui.commands import plots_footer
from tracker.ui.knitting_app import app_of
from tracker.ui.plots_view import page_rows


class PlotsScreen(Aside):
    """The plots of a pair as it was when this opened."""

    opened_by = "plots"
    in_settings = "plots"

    def __init__(self, press: Callable[[str, str], None], plots: Plots) -> None:
        super().__init__(press)
        self._plots, self._at = plots, 0

    def compose(self) -> ComposeResult:
        """One page."""
        yield Page("plots")

    def on_resize(self) -> None:
        """Draw it anew."""
        self._draw()

    # What the keys do

    def do_before(self) -> None:
        self._at = (self._at - 1) % len(NAMES)

    def do_after(self) -> None:
        self._at = (self._at + 1) % len(NAMES)

    def _draw(self) -> None:
        rows = page_rows(
            self._plots,
            self._at,
            plots_footer(app_of(self).keys),
            self.size.width,
            self.size.height,
        )
        self.query_one(Page).show(rows, ANY_GRID)
