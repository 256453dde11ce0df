"""The app: its basket, the pair at the needles, its looks, and how it leaves the terminal."""

from __future__ import annotations

import gc
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.driver import Driver
from textual.filter import LineFilter
from textual.screen import Screen

from tracker.knitting.worked import day_of
from tracker.session import Clock, Session
from tracker.settings import Settings
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.files import FileTrouble
from tracker.ui.encodings import is_unicode, terminal_encoding
from tracker.ui.glyphs import InPlainText
from tracker.ui.palette import no_colour, theme_of, themes

if TYPE_CHECKING:
    from tracker.storage.plan_file import LeftOpen
    from tracker.ui.basket_cards import Cards
    from tracker.ui.blanks import Filling


GARBAGE_AFTER = 0.5
"""Seconds from the beginning on in which no garbage is looked for."""


class KnittingApp(App[None]):
    """Instep on the screen."""

    CSS_PATH = "looks.tcss"
    TITLE = "Instep"
    ENABLE_COMMAND_PALETTE = False
    _has_begun = False
    """Whether her theme is known."""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+c", "quit", show=False, priority=True),
        Binding("ctrl+z", "suspend_process", show=False, priority=True),
    ]

    def __init__(
        self,
        basket: Basket,
        session: Session | None,
        clock: Clock,
        plan: LeftOpen | None = None,
        settings: Settings = Settings(),  # noqa: B008 - frozen
    ) -> None:
        super().__init__(ansi_color=True if no_colour() else None)
        self.basket, self.session, self.clock = basket, session, clock
        self.settings = settings
        self.keys = settings.keys
        self.not_kept: list[str] = []
        """What is said when she has left: keys that were not kept, of which no screen could tell."""
        self._backed_up = -1
        """The day of the backup that was begun last."""
        self._acts_then = 0
        """What had been recorded by then: a day without an act takes no older backup's place."""
        self._plan = plan
        """A plan whose blanks are to be filled in first."""
        for theme in themes():
            self.register_theme(theme)
        self._plain_text = InPlainText(terminal_encoding())
        self._begin_in(theme_of(settings.look, self.console.color_system))

    def _begin_in(self, theme: str) -> None:
        """Take a theme before anything is styled: set as it is later, all styles would be made twice."""
        self.set_reactive(App.theme, theme)
        dark = self.current_theme.dark
        classes = {f"-theme-{theme}": True, "-dark-mode": dark, "-light-mode": not dark}
        self.update_classes(classes, update=False)
        self._refresh_truecolor_filter(self.ansi_theme)
        self._has_begun = True
        self.stylesheet.set_variables(self.get_css_variables())

    def get_css_variables(self) -> dict[str, str]:
        """What styles may name: nothing before she has a theme, for all of it would be made for another."""
        return super().get_css_variables() if self._has_begun else {}

    @cached_property
    def cards(self) -> Cards:
        """The cards of the basket, made once for as long as nothing new is recorded."""
        from tracker.ui.basket_cards import Cards

        return Cards(self.basket, self.clock)

    @property
    def in_plain_text(self) -> bool:
        """Whether nothing is drawn with blocks and lines here."""
        return self.settings.in_plain_text(draws=is_unicode(self._plain_text.encoding))

    def get_line_filters(self) -> Sequence[LineFilter]:
        """What all that is painted passes on its way out; plain text last."""
        filters = super().get_line_filters()
        return [*filters, self._plain_text] if self.in_plain_text else filters

    def set_to(self, settings: Settings) -> None:
        """Take what she has set from here on. Raises BadKey where her keys do not go together."""
        self.keys = settings.keys
        drawn, self.settings = not self.in_plain_text, settings
        self.theme = theme_of(settings.look, self.console.color_system)
        if drawn == self.in_plain_text:
            self._paint_all_again()

    def _paint_all_again(self) -> None:
        """What is painted already has passed the filters of before."""
        for screen in self.screen_stack:
            for widget in screen.walk_children(with_self=True):
                widget.refresh()

    def keep(self, name: str, value: str) -> str:
        """Set one thing and write it down; why that cannot be, or "". Then it holds until she leaves."""
        from tracker.storage.settings_file import write_setting

        self.set_to(self.settings.with_value(name, value))
        try:
            write_setting(name, value)
        except FileTrouble as trouble:
            return f"for now; {trouble}"
        return ""

    def back_up_if_due(self) -> None:
        """Today's backup after the first act of the day, aside: no key waits for it.

        What hinders it is said on leaving, when it is tried again.
        """
        today = day_of(*self.clock())
        if self.basket.recorded > self._acts_then and today != self._backed_up:
            self._backed_up, self._acts_then = today, self.basket.recorded
            self.run_worker(self._back_up, thread=True, exit_on_error=False)

    def _back_up(self) -> None:
        from tracker.storage import backups

        with suppress(BasketTrouble):
            if backups.is_due(self.basket.path, self.clock()):
                backups.back_up(self.basket.path, self.clock())

    def get_default_screen(self) -> Screen[None]:
        """The needles, where a pair is named: nothing is shown before them."""
        if self._plan is not None or self.session is None:
            return super().get_default_screen()
        from tracker.ui.needles_screen import NeedlesScreen

        screen = NeedlesScreen(self.session)
        # What a pushed screen gets, and the framework takes from the first one, too, where another is shown.
        screen._push_result_callback(screen, None)
        return screen

    def on_mount(self) -> None:
        """Go to a plan's blanks, or to the basket where no pair is named."""
        self.set_timer(GARBAGE_AFTER, _look_for_garbage)
        if self._plan is not None:
            self.fill_in_class_file(self._plan, self.exit)
        elif self.session is None:
            from tracker.ui.basket_screen import BasketScreen

            self.push_screen(BasketScreen())

    def fill_in(self, filling: Filling, left: Callable[[], None], made_from: str = "") -> None:
        """Show a plan's sentence: the pair it becomes goes to the needles; `left` when she goes back."""
        from tracker.ui.plan_screen import PlanScreen

        screen = PlanScreen(filling, self._begin, self._to_needles, left, made_from)
        if type(self.screen) is Screen:  # nothing is shown yet
            self.push_screen(screen)
        else:
            self.switch_screen(screen)

    def fill_in_class_file(self, plan: LeftOpen, left: Callable[[], None]) -> None:
        """Show a teacher's plan, whose blanks are to be filled in."""
        from tracker.ui.blanks import class_file
        from tracker.ui.sample_repeats import sample_repeats

        filling = class_file(
            plan.document, plan.source.text, plan.blanks, plans_here(), sample_repeats()
        )
        self.fill_in(filling, left, plan.source.name)

    def to_basket(self) -> None:
        """Show the basket."""
        from tracker.ui.basket_screen import BasketScreen

        self.switch_screen(BasketScreen())

    def _begin(self, path: str) -> Session:
        """The pair of a plan file. Raises FileTrouble and BasketTrouble."""
        from tracker.storage.pattern_file import open_file

        return Session.begin(self.basket, open_file(path), self.clock)

    def _to_needles(self, session: Session) -> None:
        from tracker.ui.needles_screen import NeedlesScreen

        self.session = session
        self.switch_screen(NeedlesScreen(session))

    def tell_over(self, text: str) -> None:
        """A line over the last one of the screen, at once and from any thread; painting all takes it away."""
        tell = getattr(self._driver, "tell_over", None)
        if tell is not None:
            tell(text, *self.size)

    def get_driver_class(self) -> type[Driver]:
        """Where there are such terminals, the driver that outlives a stop, a signal and a closed one."""
        found = super().get_driver_class()
        if found.__name__ == "WebDriver":
            from tracker.ui.page_driver import PageDriver

            return PageDriver
        if found.__name__ != "LinuxDriver":
            return found
        from tracker.ui.terminal_driver import TerminalDriver

        return TerminalDriver


def _look_for_garbage() -> None:
    """From now on, where nothing was before (`at_needles.knit`); not in all that is there by now.

    Else every now and then a key waits while a whole history is looked over.
    """
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


def app_of(screen: Screen[None]) -> KnittingApp:
    """The app that shows a screen."""
    assert isinstance(screen.app, KnittingApp)  # noqa: S101 - no other app shows them
    return screen.app


def plans_here() -> frozenset[str]:
    """The names in this folder that a plan cannot take without a question."""
    with suppress(OSError):
        return frozenset(file.name for file in Path.cwd().glob("*.toml"))
    return frozenset()
