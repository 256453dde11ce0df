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
import sqlite3
import struct
import sys
import termios
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, sleep
from types import TracebackType

from tests.benchmarks.histories import pair_of
from tests.benchmarks.ratio import Ratio, slowest
from tracker.ui.needles_screen import DRAWN_AFTER

WIDTH, HEIGHT = 120, 36
EVENTS = 5_000
KEYS = 200
AT_ONCE = 10_000
STARTS = 15
IDLE_SECONDS = 10.0
AT_REST = 0.005
"""The share of a processor that may be taken while nothing is done."""
QUIET = 3 * DRAWN_AFTER
"""Seconds: what is drawn later than the count is no answer to the next key."""
PATIENCE = 300.0
"""Seconds after which what was waited for is not coming."""


class Program:
    """A program in a pseudo-terminal whose output is only timed, not drawn."""

    def __init__(self, *command: str, basket: Path) -> None:
        self.output = bytearray()
        self.began = perf_counter()
        self.pid, self._fd = pty.fork()
        if self.pid == 0:
            kept = {
                name: value
                for name, value in os.environ.items()
                # The program is compiled once, as where it is installed.
                if not name.startswith(("TEXTUAL", "PYTHONDONT"))
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
        """Until it has said nothing for so long that nothing of a key is still to be drawn."""
        while self.read(QUIET):
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


@contextmanager
def instep(basket: Path) -> Iterator[Program]:
    """The pair in a basket at the needles, painted and at rest."""
    with Program(sys.executable, "-m", "tracker", "knit", "night-ferry", basket=basket) as program:
        program.until(b"Night ferry")
        program.settle()
        yield program


@contextmanager
def bare(beside: Path, database: str | None = None) -> Iterator[Program]:
    """The bare counter, which commits into a `database` beside a path where one is named."""
    own = () if database is None else (str(beside.with_name(database)),)
    command = (sys.executable, "-m", "tests.benchmarks.bare_counter", *own)
    with Program(*command, basket=beside) as program:
        program.until(b"0 done")
        program.settle()
        yield program


def key_to_paint(basket: Path, many: int = KEYS) -> list[Ratio]:
    """From a key that is sent to the first byte of the picture that shows it counted, in turn."""
    with instep(basket) as ours, bare(basket, "own.db") as floor, bare(basket) as kept_nowhere:
        programs = (ours, floor, kept_nowhere)
        seconds: tuple[list[float], ...] = ([], [], [])
        for _ in range(many):
            for program, found in zip(programs, seconds, strict=True):
                sent = program.press(b" ")
                program.read(PATIENCE)
                found.append(perf_counter() - sent)
                program.settle()
    mine, committed, uncommitted = seconds
    committing, plain = "a bare counter that commits", "a bare counter without a commit"
    return [
        Ratio("key to paint, median", committing, median(mine), median(committed), 1.3),
        Ratio("key to paint, 99th percentile", committing, slowest(mine), slowest(committed), 1.5),
        Ratio("key to paint, median", plain, median(mine), median(uncommitted), None),
    ]


def first_paint(basket: Path, many: int = STARTS) -> Ratio:
    """From the start of the program to its first picture, a pair of 5,000 events opened on the way."""
    mine, floor = [], []
    for _ in range(many):
        with Program(sys.executable, "-m", "tracker", "knit", "night-ferry", basket=basket) as ours:
            mine.append(ours.until(b"Night ferry") - ours.began)
        with Program(
            sys.executable, "-m", "tests.benchmarks.bare_counter", basket=basket
        ) as bare_one:
            floor.append(bare_one.until(b"0 done") - bare_one.began)
    return Ratio(
        f"first paint, {EVENTS:,} events", "a bare app's", median(mine), median(floor), 1.3
    )


def many_at_once(folder: Path, many: int = AT_ONCE) -> list[Ratio]:
    """So many keys in one write: every one of them counted; then the memory held, and the end."""
    basket = folder / "leg.db"
    pair_of(basket, 1)
    with instep(basket) as ours, bare(basket) as floor:
        recorded = _recorded(basket)
        sent = ours.press(b" " * many)
        while _recorded(basket) < recorded + many:
            if perf_counter() - sent > PATIENCE:
                raise AssertionError(f"{_recorded(basket) - recorded} of {many} keys are counted")
            ours.read(0.02)
        counted = perf_counter() - sent
        sent = floor.press(b" " * many)
        bare_counted = floor.until(f"{many} done".encode()) - sent
        ours.settle()
        floor.settle()
        held = Ratio(
            "memory after 10,000 keys",
            "the bare counter",
            ours.memory() / 1024,
            floor.memory() / 1024,
            1.4,
            "MB",
        )
        leaving = Ratio("quitting", "the bare counter", ours.end(), floor.end(), None)
    return [
        Ratio(
            f"{many:,} keys in one write",
            "a bare counter without a commit",
            counted,
            bare_counted,
            2.0,
        ),
        held,
        leaving,
    ]


def idle(basket: Path) -> float:
    """The share of a processor that the program takes while nothing is done."""
    with instep(basket) as program:
        sleep(1.0)  # nothing is waited for: the rest itself is measured
        before = program.processor()
        began = perf_counter()
        while perf_counter() - began < IDLE_SECONDS:
            program.read(0.5)
        return (program.processor() - before) / (perf_counter() - began)


def _recorded(basket: Path) -> int:
    with closing(sqlite3.connect(f"file:{basket}?mode=ro", uri=True)) as connection:
        return int(connection.execute("SELECT last FROM pair").fetchone()[0])


def rows() -> list[Ratio]:
    """All of them, on the disk that the temporary folder lies on."""
    with TemporaryDirectory() as name:
        basket = Path(name) / "basket.db"
        pair_of(basket, EVENTS)
        opened = shutil.copy(basket, basket.with_name("opened.db"))
        return [*key_to_paint(basket), first_paint(Path(opened)), *many_at_once(Path(name))]


def main() -> int:
    """Print a line each, and what rest costs; 1 where one is too slow."""
    found = rows()
    print(*(ratio.line() for ratio in found), sep="\n")
    with TemporaryDirectory() as name:
        basket = Path(name) / "basket.db"
        pair_of(basket, 1)
        share = idle(basket)
    print(f"at rest: {share:.2%} of a processor (at most {AT_REST:.1%})")
    return 0 if share <= AT_REST and all(ratio.holds for ratio in found) else 1


if __name__ == "__main__":
    sys.exit(main())
