"""Where the time goes: of one key at the needles, call by call, and of a start, room by room.

Run it: python -m tests.benchmarks.flame
The key: the real program in a terminal is looked into some thousand times a second while keys come one by
one; what waits is left out. The start: what is imported before the first picture, by the time each takes.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import threading
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from time import sleep
from types import FrameType

from tests.benchmarks.at_terminal import EVENTS, KEYS, Program
from tests.benchmarks.histories import pair_of

EVERY = 0.0002
"""Seconds between two looks."""
LEAST = 0.03
"""A share of the whole below which a call is not told."""
TRUNK = 0.9
"""A share above which it is not told either: all that is done is done in it."""
STARTS = 5
HOUSE = Path(__file__).parents[2] / "tracker"
WAITING = frozenset({"select", "wait", "_worker"})
Stack = tuple[str, ...]


def look_into(seen: Counter[Stack], thread: int) -> None:
    """Look at what a thread does, again and again."""
    sys.setswitchinterval(EVERY / 2)
    while True:
        sleep(EVERY)
        stack = stack_of(sys._current_frames().get(thread))
        if stack:
            seen[stack] += 1


def stack_of(frame: FrameType | None) -> Stack:
    """The calls that lead to where it is, outermost first: ours by name, the others as the framework."""
    if frame is None or frame.f_code.co_name in WAITING:
        return ()
    calls: list[str] = []
    while frame is not None:
        name = _called(frame)
        if not calls or calls[-1] != name:
            calls.append(name)
        frame = frame.f_back
    return tuple(reversed(calls))


def _called(frame: FrameType) -> str:
    path = Path(frame.f_code.co_filename)
    if HOUSE not in path.parents:
        return "the framework and Python"
    return f"{path.relative_to(HOUSE).with_suffix('')}: {frame.f_code.co_qualname}"


def knit(told: Path) -> None:
    """The program itself, looked into from its first key on; what was seen is written down at its end."""
    from tracker.cli import main
    from tracker.ui.needles_screen import NeedlesScreen

    seen: Counter[Stack] = Counter()
    looking = threading.Thread(
        target=look_into, args=(seen, threading.main_thread().ident), daemon=True
    )
    first = NeedlesScreen.on_key

    def on_key(screen: NeedlesScreen, event: object) -> object:
        if not looking.is_alive():
            looking.start()
        return first(screen, event)  # type: ignore[arg-type]

    NeedlesScreen.on_key = on_key  # type: ignore[assignment, method-assign]
    try:
        main(["knit", "night-ferry"])
    finally:
        told.write_text(json.dumps([*seen.items()]), encoding="utf-8")


def of_keys(basket: Path, many: int = KEYS) -> Counter[Stack]:
    """What was seen while so many keys were counted, one after the other."""
    told = basket.with_name("seen.json")
    command = (sys.executable, "-m", "tests.benchmarks.flame", str(told))
    with Program(*command, basket=basket) as program:
        program.until(b"Night ferry")
        program.settle()
        for _ in range(many):
            program.press(b" ")
            program.settle()
        program.end()
    return Counter({tuple(stack): times for stack, times in json.loads(told.read_text())})


def lines(seen: Counter[Stack], least: float = LEAST) -> Iterator[str]:
    """The calls as a tree, each with its share in the whole."""
    yield from _below(seen, seen.total() or 1, least, (), "")


def _below(
    seen: Counter[Stack], whole: int, least: float, above: Stack, indent: str
) -> Iterator[str]:
    found: Counter[str] = Counter()
    for stack, times in seen.items():
        if stack[: len(above)] == above and len(stack) > len(above):
            found[stack[len(above)]] += times
    for name, times in found.most_common():
        share = times / whole
        if share >= least:
            if share < TRUNK:
                yield f"{share:4.0%} {indent}{name}"
            deeper = indent + "  " if share < TRUNK else indent
            yield from _below(seen, whole, least, (*above, name), deeper)


_IMPORT = re.compile(r"import time:\s+(\d+) \|\s+\d+ \| +(\S+)")
_PICTURE = "import tracker.cli, tracker.session, tracker.ui.knitting_app, tracker.ui.needles_screen"


def of_start(tries: int = STARTS) -> dict[str, float]:
    """Milliseconds that each room takes to be imported: the least of some tries of each."""
    kept = {**os.environ}
    kept.pop("PYTHONDONTWRITEBYTECODE", None)
    command = (sys.executable, "-X", "importtime", "-c", _PICTURE)
    least: dict[str, float] = {}
    for _ in range(tries):
        told = subprocess.run(command, check=True, capture_output=True, env=kept, text=True)
        rooms: defaultdict[str, float] = defaultdict(float)
        for micros, module in _IMPORT.findall(told.stderr):
            rooms[_room(module)] += int(micros) / 1000
        least = {room: min(ms, least.get(room, ms)) for room, ms in rooms.items()}
    return least


def _room(module: str) -> str:
    first, *others = module.split(".")
    if first in ("textual", "rich"):
        return "textual and rich"
    if first != "tracker":
        return "Python and others"
    return f"tracker/{others[0]}" if len(others) > 1 else "tracker"


def main(told: Sequence[str]) -> int:
    """Print both; or, named a file, be the program that is looked into."""
    if told:
        knit(Path(told[0]))
        return 0
    with TemporaryDirectory() as folder:
        basket = Path(folder) / "basket.db"
        pair_of(basket, EVENTS)
        print("one key at the needles")
        print(*lines(of_keys(basket)), sep="\n")
    print("\nmilliseconds of imports before the first picture")
    for room, ms in sorted(of_start().items(), key=lambda one: -one[1]):
        print(f"{ms:6.1f} {room}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
