"""What is set for every pair: chosen with arrows, kept at once."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult

from tracker.settings import CHOICES
from tracker.storage.files import shown
from tracker.storage.settings_file import settings_path
from tracker.ui.aside import ANY_GRID, Aside, Page
from tracker.ui.commands import SETTINGS_BY_KEY, settings_footer
from tracker.ui.knitting_app import app_of
from tracker.ui.settings_view import settings_rows


class SettingsScreen(Aside):
    """The settings, the one at work with a sign before it."""

    opened_by = "settings"

    def __init__(self, press: Callable[[str, str], None]) -> None:
        super().__init__(press, SETTINGS_BY_KEY)
        self._at = 0
        self._said = ""

    def compose(self) -> ComposeResult:
        """One page."""
        yield Page("settings")

    def on_resize(self) -> None:
        """Lay it out anew."""
        self._draw()

    # What the keys do

    def do_up(self) -> None:
        self._at = max(self._at - 1, 0)

    def do_down(self) -> None:
        self._at = min(self._at + 1, len(CHOICES) - 1)

    def do_before(self) -> None:
        self._step(-1)

    def do_after(self) -> None:
        self._step(1)

    def _step(self, by: int) -> None:
        """The next value, kept at once; where the file cannot be written it holds until she leaves."""
        app, choice = app_of(self), CHOICES[self._at]
        at = choice.values.index(app.settings.value(choice.name))
        self._said = app.keep(choice.name, choice.values[(at + by) % len(choice.values)])

    def _draw(self) -> None:
        file = shown(str(settings_path()))
        size = (self.size.width, self.size.height)
        settings = app_of(self).settings
        rows = settings_rows(settings, self._at, self._said, file, settings_footer(), size)
        self.query_one(Page).show(rows, ANY_GRID)
