"""What an act costs without a screen, against the floor of each.

Run it: python -m tests.benchmarks.inside
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

from tests.benchmarks.histories import clock_of, pair_of
from tests.benchmarks.own_file import OwnFile
from tests.benchmarks.ratio import Ratio, medians, timed
from tracker.knitting.course import Course
from tracker.knitting.decide import decide
from tracker.knitting.events import Act, Event
from tracker.knitting.replay import Replay
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.chain import encode
from tracker.storage.pattern_file import open_text

EVENTS = 5_000
REPLAYED = 100_000
SIZES = (1_000, 10_000, 100_000, 1_000_000)
GROWS = 1.2
"""Times that an act may take after the longest history as after the shortest."""
LATER = 2_000_000_000_000
"""A time (ms UTC) after all of them."""


def a_tick(path: Path, many: int = 400) -> Ratio:
    """Decide, commit, replay and glance, against the transaction alone, on the same disk."""
    own, times = OwnFile(path.with_name("own.db")), clock_of(began=LATER)
    with Basket.open(path) as basket:
        session = Session(basket, basket.find(None), lambda: next(times))
        ours = timed(lambda: session.tick(needles=True))
        found = medians(
            "a tick: decide, commit, replay, glance", "one transaction", 1.5,
            ours, timed(own.commit), many,
        )  # fmt: skip
    own.close()
    return found


def history(path: Path, many: int = REPLAYED) -> tuple[Course, list[Event]]:
    """The course of the pair in `path`, and its events again and again until there are so many."""
    with Basket.open(path) as basket:
        pair = basket.find(None)
        course, events = (
            Course(open_text(pair.short, basket.pattern_text(pair))),
            basket.events(pair),
        )
    return course, again(events, many)


def again(events: list[Event], many: int) -> list[Event]:
    """A history made longer: both socks are begun anew, and what followed the beginning is done again."""
    first, *rest = events
    longer = [first]
    while len(longer) < many:
        last = longer[-1].at
        for sock in (1, 2):
            longer.append(Event(len(longer) + 1, last, 60, sock, "restart", {}, first.uid))
        shift = len(longer) - 1
        for event in rest:
            data = event.data
            if event.kind in ("undo", "redo"):
                data = {**data, "of": data["of"] + shift}
            later = event.at - rest[0].at + last
            longer.append(event._replace(number=event.number + shift, data=data, at=later))
    return longer[:many]


def a_replay(path: Path, many: int = REPLAYED, tries: int = 3) -> Ratio:
    """A long history folded, against reading its lines as JSON."""
    course, events = history(path, many)
    lines = [
        encode([*event[:5], dict(event.data), event.uid.hex(), event.version]) for event in events
    ]
    return medians(
        f"replay of {many:,} events", "json.loads of their lines", 3.0,
        timed(lambda: Replay(course, events), process_time),
        timed(lambda: [json.loads(line) for line in lines], process_time), tries,
    )  # fmt: skip


def growth(path: Path, sizes: tuple[int, ...] = SIZES) -> Iterator[tuple[int, float]]:
    """So many events, and the microseconds of an act after them, without the disk: they may not grow."""
    for size in sizes:
        course, events = history(path, size)
        yield size, _microseconds(Replay(course, events))


def _microseconds(replay: Replay, many: int = 400, tries: int = 5) -> float:
    """An act decided and folded in, and the state asked for: the fastest of some tries."""
    best = float("inf")
    for _ in range(tries):
        began = process_time()
        for _ in range(many):
            act = decide(replay, Act("note", 1, {"text": "n"}))
            replay.apply(Event(replay.events + 1, LATER, 0, act.sock, act.kind, act.data, b""))
            assert replay.state
        best = min(best, (process_time() - began) / many * 1e6)
    return best


def rows() -> list[Ratio]:
    """All of them, on the disk that the temporary folder lies on."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "basket.db"
        pair_of(path, EVENTS)
        return [a_tick(path), a_replay(path)]


def main() -> int:
    """Print a line each, and how an act grows with the history; 1 where one is too slow."""
    found = rows()
    print(*(ratio.line() for ratio in found), sep="\n")
    grown = grows()
    return 0 if grown <= GROWS and all(ratio.holds for ratio in found) else 1


def grows() -> float:
    """Print what an act takes after shorter and longer histories; how many times as long in the end."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "basket.db"
        pair_of(path, EVENTS)
        found = []
        for size, microseconds in growth(path):
            print(f"an act after {size:>9,} events: {microseconds:7.1f} microseconds", flush=True)
            found.append(microseconds)
    return found[-1] / found[0]


if __name__ == "__main__":
    sys.exit(main())
