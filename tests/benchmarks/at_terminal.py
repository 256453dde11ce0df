"""What she waits for at the needles, against a bare Textual counter in the same terminal.

Run it: python -m tests.benchmarks.at_terminal
"""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import shutil
import signal
import struct
import sys
import termios
from collections.abc import Sequence
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from types import TracebackType

from tests.benchmarks.histories import pair_of
from tests.benchmarks.ratio import Ratio, slowest

WIDTH, HEIGHT = 120, 36
EVENTS = 5_000
KEYS = 300
WAITED_AT_ONCE = 10_000
PATIENCE = 120.0
"""Seconds after which what was waited for is not coming."""


class Program:
    """A program in a pseudo-terminal whose output is only timed, not drawn."""

    def __init__(self, *command: str, basket: Path) -> None:
        self.output = bytearray()
        self.began = perf_counter()
        self.pid, self._fd = pty.fork()
        if self.pid == 0:
            kept = {
                name: value for name, value in os.environ.items() if not name.startswith("TEXTUAL")
            }
            kept |= {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8"}
            kept |= {
                "INSTEP_BASKET": str(basket),
                "INSTEP_SETTINGS": str(basket.with_name("none.toml")),
            }
            os.execvpe(command[0], command, kept)  # noqa: S606
        size = struct.pack("HHHH", HEIGHT, WIDTH, 0, 0)
        fcntl.ioctl(self._fd, termios.TIOCSWINSZ, size)

    def until(self, seen: bytes | re.Pattern[bytes]) -> float:
        """Read on until it is seen in what came since the last key; the time at which it was."""
        pattern = seen if isinstance(seen, re.Pattern) else re.compile(re.escape(seen))
        limit = perf_counter() + PATIENCE
        while not pattern.search(self.output):
            if perf_counter() > limit:
                raise AssertionError(
                    f"never seen: {pattern.pattern!r} in {bytes(self.output[-3000:])!r}"
                )
            self.read(0.1)
        return perf_counter()

    def press(self, keys: bytes) -> float:
        """Send keys; the time at which they were sent. What came before is forgotten."""
        self.output.clear()
        now = perf_counter()
        view = memoryview(keys)
        while view:
            _, writable, _ = select.select([], [self._fd], [], 0)
            if writable:
                view = view[os.write(self._fd, view[:512]) :]
            else:
                self.read(0.01)
        return now

    def read(self, seconds: float) -> bool:
        """Take what it says, waiting so long; whether it said anything."""
        if not select.select([self._fd], [], [], seconds)[0]:
            return False
        try:
            self.output += os.read(self._fd, 1 << 16)
        except OSError:
            return False
        return True

    def settle(self) -> None:
        """Until it has said nothing for a while."""
        while self.read(0.15):
            pass

    def memory(self) -> int:
        """Kilobytes of memory that it holds."""
        status = Path(f"/proc/{self.pid}/status").read_text(encoding="utf-8")
        found = re.search(r"VmRSS:\s+(\d+)", status)
        return int(found[1]) if found else 0

    def processor(self) -> float:
        """Seconds of the processor that it has used."""
        fields = (
            Path(f"/proc/{self.pid}/stat").read_text(encoding="utf-8").rsplit(") ", 1)[1].split()
        )
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def end(self, key: bytes = b"q") -> float:
        """Press the key that leaves; seconds until it has ended."""
        pressed = self.press(key)
        while not os.waitpid(self.pid, os.WNOHANG)[0]:
            self.read(0.002)
        self.pid = 0
        return perf_counter() - pressed

    def __enter__(self) -> Program:
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
        os.close(self._fd)
