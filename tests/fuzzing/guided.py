"""A fuzzer that follows the coverage: inputs that reach new lines are kept and changed further.

`python -m tests.fuzzing.guided [TARGET] [SECONDS] [SEED]` tries one target, or each in turn, and says how
many inputs it tried, how many lines they reached, and every input that was not refused as it should be
(1 where there is one; it is written into a folder that is named).
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from random import Random
from time import monotonic, process_time
from types import FrameType
from typing import Any

from tests.fuzzing.targets import REFUSALS, TARGETS, Target
from tracker.storage.files import LARGEST_BYTES

SLOWEST = 2.0
"""Seconds of work, untraced, that no input of a few kilobytes may take."""
LONGEST = 20_000
"""Bytes of an input."""
HOSTILE = (
    b"\x1b[2J", b"\xe2\x80\xae", b"\xe2\x80\x8b", b"\x00", b"\xff", b"9" * 5_000, b"-1", b"0", b"1e999",
    b"nan", b"inf", b"1_000", b"10000", b"999999999", b"2000-01-01", b"0x10", b"true", b"[" * 300, b"(" * 50,
    b"*", b"; rep from * to end", b" 10000 times", b"a." * 30, b'"""', b"'''", b"[[section]]\n", b"[foot]\n",
    b"= 64", b"|", b"\r\n", b"\n", b"{}", b"[]", b'""', b'"EU 39"', b'"9999 cm"', b"k2tog", b"w&t", b"turn",
    b"M1", b"C99F", b"to last 3", b"/", b",", b"\\u0000",
)  # fmt: skip
"""What strangers are known to try."""


class Coverage:
    """The lines of the program that were reached."""

    def __init__(self) -> None:
        self.reached: set[tuple[str, int]] = set()
        self._inside = str(Path(sys.modules["tracker.storage.files"].__file__ or "").parents[1])

    def run(self, target: Target, data: bytes) -> int:
        """Run it; how many lines were new. Raises what it raises, but for a refusal in one line."""
        before = len(self.reached)
        sys.settrace(self._call)
        try:
            self.check(target, data)
        finally:
            sys.settrace(None)
        return len(self.reached) - before

    @staticmethod
    def check(target: Target, data: bytes) -> None:
        """Run it, and look at the refusal, if it is one."""
        try:
            target.run(data)
        except REFUSALS as refusal:
            said = str(refusal)
            assert said.isprintable(), f"a sign that is none: {said!r}"
            assert 0 < len(said) <= 2_000, f"{len(said)} letters of a line"

    def _call(self, frame: FrameType, event: str, argument: Any) -> Any:
        return self._line if frame.f_code.co_filename.startswith(self._inside) else None

    def _line(self, frame: FrameType, event: str, argument: Any) -> Any:
        self.reached.add((frame.f_code.co_filename, frame.f_lineno))
        return self._line


def changed(random: Random, corpus: list[bytes], words: list[bytes]) -> bytes:
    """One of the corpus, changed in one to four places."""
    data = bytearray(random.choice(corpus))
    for _ in range(random.randint(1, 4)):
        at = random.randrange(len(data) + 1)
        to = min(len(data), at + random.choice((0, 1, 1, 2, 4, 8, 32, 200)))
        what = random.randrange(6)
        if what == 0:
            data[at:to] = b""
        elif what == 1 and data:
            data[min(at, len(data) - 1)] ^= 1 << random.randrange(8)
        elif what == 2:
            data[at:at] = data[at:to] * random.choice((1, 2, 50))
        elif what == 3:
            data[at:to] = random.choice(words)
        elif what == 4:
            data[at:to] = random.choice(HOSTILE)
        else:
            other = random.choice(corpus)
            begins = random.randrange(len(other) + 1)
            data[at:to] = other[begins : begins + random.choice((4, 40, 400))]
    return bytes(data[:LONGEST])


def fuzz(
    target: Target, seconds: float, seed: int, most: int = 10**9
) -> Iterator[tuple[bytes, str]]:
    """Every input that was not taken or refused as it should be, with what came of it; last what was done."""
    random, coverage, corpus = Random(seed), Coverage(), list(target.seeds())  # noqa: S311
    words = sorted(
        {word for seed in corpus for line in seed.split(b"\n") for word in (line, *line.split())}
    )
    tried, until = 0, monotonic() + seconds
    waiting = list(corpus)
    while tried < most and monotonic() < until:
        data = waiting.pop() if waiting else changed(random, corpus, words)
        tried += 1
        began = process_time()
        try:
            if coverage.run(target, data):
                corpus.append(data)
        except Exception as error:  # whatever it is, it is a find
            yield data, f"{type(error).__name__}: {error}"
        if process_time() - began > SLOWEST and (took := _seconds(target, data)) > SLOWEST:
            yield data, f"{took:.1f} s"
    yield b"", f"{tried} inputs, {len(corpus)} kept, {len(coverage.reached)} lines reached"


def _seconds(target: Target, data: bytes) -> float:
    began = process_time()
    try:
        Coverage.check(target, data)
    except Exception:  # said already
        return 0.0
    return process_time() - began


def main() -> int:
    """Fuzz what the command line asks for."""
    assert LONGEST < LARGEST_BYTES
    names = [name for name in sys.argv[1:2] if name in TARGETS] or list(TARGETS)
    seconds, seed = (*map(int, sys.argv[2:4]), *(60, 1)[len(sys.argv[2:4]) :])
    folder, found = Path(tempfile.mkdtemp()), dict[str, str]()
    for name in names:
        for data, came in fuzz(TARGETS[name], seconds, seed):
            if not data:
                print(f"{name}: {came}")
            elif (kind := f"{name}: {came[:60]}") not in found:
                file = folder / f"{name}-{len(found)}"
                file.write_bytes(data)
                found[kind] = str(file)
                print(f"{name}: {came[:300]} ({file})", flush=True)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
