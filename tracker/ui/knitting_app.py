"""The app: its basket, the pair at the needles, its looks, and how it leaves the terminal."""

from __future__ import annotations

import asyncio
import signal
from contextlib import suppress
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType

from tracker.session import Clock, Session
from tracker.storage.basket import Basket
from tracker.ui.palette import DEFAULT, NO_COLOUR, no_colour, themes


class KnittingApp(App[None]):
    """Instep on the screen."""

    CSS_PATH = "looks.tcss"
    TITLE = "Instep"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+c", "quit", show=False, priority=True)]

    def __init__(self, basket: Basket, session: Session | None, clock: Clock) -> None:
        super().__init__(ansi_color=no_colour())
        self.basket, self.session, self.clock = basket, session, clock
        for theme in themes():
            self.register_theme(theme)
        self.theme = NO_COLOUR if no_colour() else DEFAULT

    def on_mount(self) -> None:
        """Go to the needles, or to the basket where no pair is named."""
        self._leave_on_signals()
        if self.session is not None:
            from tracker.ui.needles_screen import NeedlesScreen

            self.push_screen(NeedlesScreen(self.session))
        else:
            from tracker.ui.basket_screen import BasketScreen

            self.push_screen(BasketScreen())

    def _leave_on_signals(self) -> None:
        """A closed terminal or a polite kill leaves the terminal as it was found."""
        loop = asyncio.get_running_loop()
        for name in ("SIGTERM", "SIGHUP"):
            number = getattr(signal, name, None)
            if number is not None:
                with suppress(NotImplementedError, ValueError, RuntimeError):
                    loop.add_signal_handler(number, self.exit)
