"""Drives the real program in a pseudo-terminal, and reads its screen as a person would."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import TracebackType

import pyte

PATIENCE = 60.0
"""Seconds after which a state that was waited for counts as not coming."""


class Terminal:
    """`instep`, or another `program`, with `arguments` in a terminal of `width` x `height` cells."""

    def __init__(
        self,
        basket: Path,
        *arguments: str,
        width: int = 120,
        height: int = 36,
        term: str = "xterm-256color",
        program: Sequence[str] = (sys.executable, "-m", "tracker"),
        env: Mapping[str, str] | None = None,
    ) -> None:
        self.screen = pyte.Screen(width, height)
        self._stream = pyte.ByteStream(self.screen)
        self.output = b""
        self.pid, self._fd = pty.fork()
        if self.pid == 0:
            environment = {
                name: value
                for name, value in os.environ.items()
                if not name.startswith(
                    ("TEXTUAL", "NO_COLOR", "COLORTERM", "INSTEP", "COVERAGE", "COLUMNS", "LINES")
                )
            }
            environment |= {"TERM": term, "INSTEP_BASKET": str(basket), "LANG": "C.UTF-8"}
            environment["INSTEP_SETTINGS"] = str(basket.with_name("settings.toml"))
            environment |= env or {}
            command = [*program, *arguments]
            os.execvpe(command[0], command, environment)  # noqa: S606
        self._resize(width, height)

    def press(self, *keys: str) -> None:
        """Send keys as the terminal does."""
        self.send(*(_KEYS.get(key, key).encode() for key in keys))

    def send(self, *keys: bytes) -> None:
        """Send bytes, whatever they are."""
        for key in keys:
            os.write(self._fd, key)

    def write_over(self, text: str) -> None:
        """Change what is seen as another program does that writes to the same terminal."""
        self._stream.feed(text.encode())

    def wait_for_output(self, sequence: bytes) -> None:
        """Read until the program has sent `sequence`."""
        self.wait(lambda _: sequence in self.output, repr(sequence))

    def wait(self, holds: Callable[[str], bool], what: str = "") -> str:
        """Read until the screen's text holds; fail with the screen where it never does."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            if holds(self.text):
                return self.text
            self._read(0.05)
        raise AssertionError(f"never seen: {what}\n{self.text}")

    def wait_for(self, text: str) -> str:
        """Read until `text` stands on the screen."""
        return self.wait(lambda shown: text in shown, text)

    @property
    def text(self) -> str:
        """The screen now."""
        return "\n".join(self.screen.display)

    @property
    def inked(self) -> list[str]:
        """The screen line by line, its cells of ink on ink as full blocks: figures and words as drawn."""
        rows = (self.screen.buffer[y] for y in range(self.screen.lines))
        return [
            "".join(
                "█" if row[x].fg == row[x].bg != "default" else row[x].data
                for x in range(self.screen.columns)
            )
            for row in rows
        ]

    @property
    def ground(self) -> str:
        """The colour of the empty screen, as six hexadecimal digits."""
        return str(self.screen.buffer[0][0].bg)

    def kill(self, number: int = signal.SIGKILL) -> None:
        """Send a signal and wait for the end."""
        os.kill(self.pid, number)
        self.wait_end()

    def kill_at_once(self) -> None:
        """Kill it, ended already or not, and read all that it had painted."""
        if self.is_running:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
            self.pid = 0
        while self._read(0):
            pass

    @property
    def is_running(self) -> bool:
        """Whether it has not ended yet."""
        if self.pid and os.waitpid(self.pid, os.WNOHANG)[0]:
            self.pid = 0
        return bool(self.pid)

    def read_for(self, seconds: float) -> None:
        """Take in what it paints until nothing has come for so long."""
        while self._read(seconds):
            pass

    def wait_end(self) -> int:
        """Wait until the program has ended; its exit code, or minus the signal that ended it."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            self._read(0.05)
            ended, status = os.waitpid(self.pid, os.WNOHANG)
            if ended:
                self._read(0.1)
                self.pid = 0
                return os.waitstatus_to_exitcode(status)
        raise AssertionError(f"it does not end\n{self.text}")

    def hang_up(self) -> int:
        """Close the terminal as a window is closed, and wait for the end; the exit code."""
        self._close()
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            ended, status = os.waitpid(self.pid, os.WNOHANG)
            if ended:
                self.pid = 0
                return os.waitstatus_to_exitcode(status)
            time.sleep(0.02)
        raise AssertionError("it lives on without a terminal")

    def modes(self) -> list[int | list[bytes | int]]:
        """The terminal's own settings (termios), to see that they were put back."""
        return termios.tcgetattr(self._fd)

    def set_modes(self, modes: list[int | list[bytes | int]]) -> None:
        """Set them from outside, as a shell does while the program is stopped."""
        termios.tcsetattr(self._fd, termios.TCSANOW, modes)

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self.pid:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
        self._close()

    def _close(self) -> None:
        if self._fd >= 0:
            os.close(self._fd)
            self._fd = -1

    def _read(self, seconds: float) -> bool:
        """Take in what comes within so many seconds; False where nothing does, or nothing more can."""
        ready, _, _ = select.select([self._fd], [], [], seconds)
        if not ready:
            return False
        try:
            data = os.read(self._fd, 65536)
        except OSError:
            return False
        self.output += data
        self._stream.feed(data)
        return bool(data)

    def _resize(self, width: int, height: int) -> None:
        fcntl.ioctl(self._fd, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))


_KEYS = {"space": " ", "enter": "\r", "tab": "\t", "backspace": "\x7f", "escape": "\x1b"}
