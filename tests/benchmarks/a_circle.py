"""How long a circle takes: a thousand packs of 300 events, of one pattern and of a thousand.

Run it: python -m tests.benchmarks.a_circle
Prints seconds by the processor's own clock; exit code 1 where either takes more than 30.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

from tests.knitting.knitter import Knitter
from tracker.circle import read_circle
from tracker.storage.chain import Row, encode
from tracker.storage.files import FileTrouble
from tracker.storage.pack import Pack, write

PACKS, EVENTS, SECONDS = 1_000, 300, 30.0


def knitted(events: int = EVENTS) -> Knitter:
    """A pair of so many events, most of them rounds."""
    knitter = Knitter()
    while len(knitter.events) < events:
        if knitter.sock().finished:
            knitter.do("other")
        elif knitter.place()[:2] in (("leg", 46), ("foot", 44)):
            knitter.do("end")
        else:
            knitter.tick()
    return knitter


def packed(knitter: Knitter, name: str, more: str = "") -> str:
    """The pack of a pair whose knitter is called so; `more` stands at the end of its pattern."""
    rows = tuple(
        Row(*event[:5], encode(dict(event.data)), os.urandom(16), 1) for event in knitter.events
    )
    text = f'knitter = "{name}"\n{knitter.course.pattern.text}{more}'
    return write(Pack(os.urandom(16), "night-ferry", "t", "0" * 64, "rounds", text, rows), {})


def seconds(*, alike: bool) -> float:
    """Seconds for a circle of PACKS, who knit one pattern or each her own."""
    knitter = knitted()
    with TemporaryDirectory() as folder:
        for number in range(PACKS):
            own = "" if alike else f"\n# {number}\n"
            file = Path(folder) / f"{number:04}.pack"
            file.write_text(packed(knitter, f"Knitter {number}", own), encoding="utf-8")
        began = process_time()
        found = list(read_circle([folder], 20_513))
        took = process_time() - began
    assert len(found) == PACKS
    assert not [one for one in found if isinstance(one, FileTrouble)]
    return took


def main() -> int:
    """Print both; 1 where one is too slow."""
    took = {"one pattern": seconds(alike=True), "each her own": seconds(alike=False)}
    for name, each in took.items():
        print(f"{PACKS} packs of {EVENTS} events, {name}: {each:.1f} s")
    return 1 if max(took.values()) > SECONDS else 0


if __name__ == "__main__":
    sys.exit(main())
