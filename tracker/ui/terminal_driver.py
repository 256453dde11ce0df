"""The terminal while the screens hold it: taken, given back on a stop or a signal, missed when it is gone.

The framework counts on a terminal that stays. Here one that was closed ends the program, and signals
are taken up between two acts, never inside of one.
"""

from __future__ import annotations

import os
import signal
import termios
from codecs import getincrementaldecoder
from collections.abc import Callable
from contextlib import suppress
from io import TextIOWrapper
from selectors import EVENT_READ, SelectSelector
from threading import Event
from typing import Any, cast

from textual._parser import ParseError
from textual._xterm_parser import XTermParser
from textual.app import App
from textual.drivers.linux_driver import LinuxDriver

from tracker.ui.encodings import typed_encoding

_LEAVE = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)
_MOST, _MANY = 1024, 64
"""Bytes that are read at once, and from how many on more may wait behind them: a key held takes 2 kB."""
_A_WHILE = 0.1
"""Seconds after which it is looked whether the terminal is given back."""
_TAKE_AGAIN = (
    "\x1b[?1049h\x1b[?25l\x1b[?1004h\x1b[?2004h\x1b[?7l\x1b[?1000h\x1b[?1003h\x1b[?1015h\x1b[?1006h"
)
"""Other screen, no cursor, focus told, pastes marked, no wrapping, the mouse: as the framework asks for."""


class TerminalDriver(LinuxDriver):
    """The framework's driver, for a terminal that may be stopped, taken away or closed."""

    def __init__(
        self,
        app: App[Any],
        *,
        debug: bool = False,
        mouse: bool = True,
        size: tuple[int, int] | None = None,
    ) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self._file = cast(TextIOWrapper, _Heedless(cast(TextIOWrapper, self._file), self._leave))
        self._own: list[Any] | None = None
        """The modes of the terminal while the screens have it."""

    def start_application_mode(self) -> None:
        """Take the terminal. Whoever asks it to leave from here on finds it able to."""
        for number in _LEAVE:
            self._loop.add_signal_handler(number, self._app.exit)
        super().start_application_mode()  # type: ignore[no-untyped-call]  # the framework's
        self._loop.add_signal_handler(signal.SIGTSTP, self._stop)
        self._loop.add_signal_handler(signal.SIGCONT, self._go_on)
        with suppress(termios.error):
            self._own = termios.tcgetattr(self.fileno)

    def _leave(self) -> None:
        """The terminal is gone: there is nobody to show anything to."""
        with suppress(RuntimeError):  # the loop may have ended before
            self._loop.call_soon_threadsafe(self._app.exit)

    def tell_over(self, text: str, width: int, height: int) -> None:
        """Write over the last line of a screen of so many cells, whatever the framework is doing."""
        told = text[: width - 1].ljust(width - 1)
        self.write(f"\x1b[{height};1H\x1b[0;7m{told}\x1b[0m")

    # Stopped, and gone on

    def _stop(self) -> None:
        """The shell gets its terminal back as it was, and this stops until it is told to go on."""
        self.suspend_application_mode()
        self._loop.remove_signal_handler(signal.SIGTSTP)
        # Where no shell watches nothing stops here: nobody could say to go on.
        os.kill(os.getpid(), signal.SIGTSTP)
        self.resume_application_mode()
        self._repaint()

    def _go_on(self) -> None:
        """Back from a stop that nobody was asked about: a shell may have set the terminal for itself."""
        if self._own is not None:
            with suppress(termios.error):
                termios.tcsetattr(self.fileno, termios.TCSADRAIN, self._own)
        self.write(_TAKE_AGAIN)
        self._repaint()

    def _repaint(self) -> None:
        """All of the screen, by the size that it has now."""
        os.kill(os.getpid(), signal.SIGWINCH)
        self._app.refresh(layout=True)

    # Keys

    def run_input_thread(self) -> None:
        """Hand on what the terminal sends until it is given back, or gone."""
        parser = XTermParser(self._debug)
        decode = getincrementaldecoder(typed_encoding())("replace").decode
        with SelectSelector() as selector:
            selector.register(self.fileno, EVENT_READ)
            while not self.exit_event.is_set():
                if selector.select(0.1):
                    data = self._sent()
                    if not data:
                        return self._leave()
                    # Half a letter waits for its other half: nothing at all would be an end.
                    if text := decode(data):
                        self._hand_on(parser.feed(text))
                    if len(data) > _MANY:
                        self._wait_until_taken()
                self._hand_on(parser.tick())
        with suppress(EOFError, ParseError):
            self._hand_on(parser.feed(""))
        return None

    def _wait_until_taken(self) -> None:
        """Where keys come faster than they are done the rest of them waits in the terminal, not here."""
        taken = Event()
        with suppress(RuntimeError):  # the loop may have ended before
            self._loop.call_soon_threadsafe(taken.set)
            while not (taken.wait(_A_WHILE) or self.exit_event.is_set()):
                pass

    def _sent(self) -> bytes:
        """What it sends; nothing once it is gone."""
        with suppress(OSError):
            return os.read(self.fileno, _MOST)
        return b""

    def _hand_on(self, messages: Any) -> None:
        for message in messages:
            self.process_message(message)


class _Heedless:
    """A file that is written to without a word once it takes no more; `gone` is then told, once."""

    def __init__(self, file: TextIOWrapper, gone: Callable[[], None]) -> None:
        self._file, self._gone, self._is_gone = file, gone, False

    def write(self, text: str) -> None:
        self._try(lambda: self._file.write(text))

    def flush(self) -> None:
        self._try(self._file.flush)

    def fileno(self) -> int:
        return self._file.fileno()

    def _try(self, act: Callable[[], object]) -> None:
        if self._is_gone:
            return
        try:
            act()
        except (OSError, ValueError):
            self._is_gone = True
            self._gone()
