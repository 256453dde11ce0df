"""A terminal read key by key, or by whole lines where it can no more; it is left as it was found."""

from __future__ import annotations

import os
import select
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial
from textwrap import wrap
from types import FrameType, TracebackType
from typing import Any

from tracker.letters import READABLE, teach_readable
from tracker.ui.encodings import typed_encoding
from tracker.ui.plain_keys import Decoder, Key, line_keys
from tracker.ui.plain_lines import BELL, Heard, PlainNeedles
from tracker.ui.slow import WAITS, told_if_slow
from tracker.units import shorten

try:
    import termios
except ImportError:  # where there are no such terminals
    termios = None  # type: ignore[assignment]

_ESCAPE = 0.05
"""Seconds after which an escape with nothing behind it is the escape key."""
_LEAVE = ("SIGTERM", "SIGHUP", "SIGINT")
_IS_POLLED = termios is not None
"""Whether it can be waited for by select; elsewhere a read waits for a whole line, as Python's own do."""
_LFLAG, _CONTROL = 3, 6
"""Where the local modes and the control characters stand in what termios tells."""


class PlainTerminal:
    """Stdin and stdout, both a terminal, while they are held; `resumed` says where she is after a stop."""

    def __init__(self, resumed: Callable[[], list[str]]) -> None:
        self._in, self._out = sys.stdin.fileno(), sys.stdout.fileno()
        self._encoding = sys.stdout.encoding or "utf-8"
        self._found: list[Any] | None = None
        self._resumed = resumed
        self._handlers: dict[int, Any] = {}
        self._ended = self._in_line = self._stopped = False
        self._wakes, self._wake = os.pipe()
        if _IS_POLLED:
            for end in (self._wakes, self._wake):
                os.set_blocking(end, False)
        self._woken = -1

    @property
    def single_keys(self) -> bool:
        """Whether it sends each key by itself."""
        return self._found is not None

    def __enter__(self) -> PlainTerminal:
        if _IS_POLLED:
            self._woken = signal.set_wakeup_fd(self._wake, warn_on_full_buffer=False)
        for name in _LEAVE:
            self._handle(name, self._leave)
        if termios is not None:
            with suppress(termios.error):
                self._found = termios.tcgetattr(self._in)
            self._handle("SIGTSTP", self._stop)
            self._handle("SIGCONT", self._go_on)
        self._take_keys()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._give_back()
        for number, before in self._handlers.items():
            signal.signal(number, before)
        if _IS_POLLED:
            signal.set_wakeup_fd(self._woken)
        os.close(self._wakes)
        os.close(self._wake)

    # Its modes

    def _take_keys(self) -> None:
        """Each key as it comes, not shown by the terminal itself; where it cannot, whole lines."""
        if termios is None or self._found is None:
            return
        modes = [*self._found[:_CONTROL], [*self._found[_CONTROL]]]
        modes[_LFLAG] &= ~(termios.ICANON | termios.ECHO)
        modes[_CONTROL][termios.VMIN], modes[_CONTROL][termios.VTIME] = 1, 0
        with suppress(termios.error):
            termios.tcsetattr(self._in, termios.TCSADRAIN, modes)
            if termios.tcgetattr(self._in)[_LFLAG] & termios.ICANON:
                self._give_back()
                self._found = None

    def _give_back(self) -> None:
        """The terminal as it was found."""
        if termios is not None and self._found is not None:
            with suppress(termios.error):
                termios.tcsetattr(self._in, termios.TCSADRAIN, self._found)

    # Signals

    def _handle(self, name: str, handler: Callable[[int, FrameType | None], None]) -> None:
        number = getattr(signal, name, None)
        if number is not None:
            self._handlers[number] = signal.signal(number, handler)

    def _leave(self, number: int, frame: FrameType | None) -> None:
        """Leave once what is being recorded is: the read that waits is woken."""
        self._ended = True

    def _stop(self, number: int, frame: FrameType | None) -> None:
        """ctrl+z: the shell gets its terminal back as it was, and this stops."""
        self._give_back()
        signal.signal(number, signal.SIG_DFL)
        os.kill(os.getpid(), number)
        signal.signal(number, self._stop)
        # Where no shell watches, nothing has stopped, and nobody says to go on.
        self._go_on(number, frame)

    def _go_on(self, number: int, frame: FrameType | None) -> None:
        """Back from a stop: the shell has set the terminal for itself meanwhile."""
        self._take_keys()
        self._stopped = True

    # Reading and saying

    def read(self, words: Callable[[], bool]) -> Iterator[Key]:
        """The keys until the end of input or a signal; `words` says whether a line is open for them."""
        typed = typed_encoding()
        decoder, line = Decoder(typed), b""
        while not self._ended:
            self._say_where()
            if not self._is_ready(_ESCAPE if decoder.waits else None):
                yield from decoder.rest() if decoder.waits and not self._ended else ()
                continue
            try:
                data = self._sent(typed)
            except OSError:
                return
            if not data:
                return
            if self.single_keys:
                yield from decoder.keys(data)
                continue
            *whole, line = (line + data).split(b"\n")
            for one in whole:
                yield from line_keys(one.decode(typed, "replace"), words=words())

    def _sent(self, typed: str) -> bytes:
        """What was typed since, as the terminal writes it. Raises OSError."""
        return (
            os.read(self._in, 4096) if _IS_POLLED else sys.stdin.readline().encode(typed, "replace")
        )

    def _say_where(self) -> None:
        """Where she is, once she is back from a stop: whatever was being recorded then is done."""
        if self._stopped:
            self._stopped = False
            for line in self._resumed():
                self.say(line)

    def _is_ready(self, seconds: float | None) -> bool:
        """Wait for something to read, for a signal, or for so many seconds."""
        if not _IS_POLLED:
            return not self._ended
        ready, _, _ = select.select([self._in, self._wakes], [], [], seconds)
        if self._wakes in ready:
            with suppress(OSError):
                os.read(self._wakes, 4096)
        return self._in in ready and not self._ended

    def say(self, line: str) -> None:
        """A line of its own; what was echoed before it ends there."""
        if line == BELL:
            self._write(line)
            return
        begin, self._in_line = "\n" if self._in_line else "", False
        clean = line if line.isprintable() else shorten(line, len(line))
        told = wrap(clean, self._columns(), break_on_hyphens=False) or [""]
        self._write(begin + "".join(f"{part}\n" for part in told))

    def _columns(self) -> int:
        """Cells of a line; where that is not known, as many as hardly any line has."""
        try:
            columns = os.get_terminal_size(self._out).columns
            return columns - 1 if columns > 1 else 1000
        except OSError:
            return 1000

    def echo(self, text: str) -> None:
        """Signs that go on in the line. A terminal that sends whole lines has shown them itself."""
        if self.single_keys:
            self._in_line = True
            self._write(text)

    def _write(self, text: str) -> None:
        data = text.encode(self._encoding, READABLE)
        try:
            if not _IS_POLLED:  # there the console takes letters, not bytes
                sys.stdout.write(data.decode(self._encoding))
                sys.stdout.flush()
                return
            while data:
                data = data[os.write(self._out, data) :]
        except OSError:
            self._ended = True  # nobody listens any more


def run_plain(needles: PlainNeedles) -> int:
    """Knit in plain lines until she leaves; the exit code."""
    teach_readable()
    with PlainTerminal(needles.resumed) as terminal:
        waits = f"{WAITS[0].upper()}{WAITS[1:]}."
        needles.told_if_slow = partial(told_if_slow, partial(terminal.say, waits), _nothing)
        for line in needles.opening():
            terminal.say(line)
        for key in terminal.read(lambda: needles.takes_words):
            if key.name == "ctrl+d":
                break
            _tell(terminal, needles.hear(key))
            if needles.left:
                break
        terminal.say(needles.kept())
    return 0


def _nothing() -> None:
    """A line that was said is not taken away."""


def _tell(terminal: PlainTerminal, heard: Heard) -> None:
    for line in heard.lines:
        terminal.say(line)
    if heard.echo:
        terminal.echo(heard.echo)
