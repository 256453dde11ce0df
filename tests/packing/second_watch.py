"""How the packed sample was made: a pair half-way through sock two, knitted by the commands alone.

    .venv/bin/python -m tests.packing.second_watch FILE

It is invented: crew socks in two colours, begun in January, sock two at its heel's turn in February. A pack
made anew has the same events; only the random bytes of the pair and its events are others.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from tracker.cli import main

PLAN = """\
# Striped socks for the second watch, by the mate: sock one is done, sock two is on its heel.
title = "Second watch"
knitter = "The mate"

[foot]
circumference = "23 cm"
length = "24 cm"

[gauge]
stitches = 30
rows = 42
per = "10 cm"

[needles]
set = "five"
size = "2.5 mm"

[cuff]
rib = "k2p2"
length = "4 cm"

[leg]
length = "13 cm"

[heel]
kind = "flap"

[toe]
kind = "wedge"

[yarn]
fibre = "wool and nylon"
grams = 100
metres = 420

[colours]
leg = ["ink 8", "chalk 2"]
heel = "ink"
toe = "ink"
"""

FIRST_EVENING = datetime.fromisoformat("2026-01-08T20:00:00+01:00")
A_STITCH = timedelta(seconds=2.4)
A_NIGHT = timedelta(minutes=50)

Command = Callable[..., None]


def make(file: Path) -> None:
    """Knit the pair in a basket of its own, and pack it into a file that is not there yet."""
    with TemporaryDirectory() as folder, _clock() as instep:
        os.environ["INSTEP_BASKET"] = str(Path(folder) / "basket.db")
        plan = Path(folder) / "second-watch.toml"
        plan.write_text(PLAN, encoding="utf-8")
        instep("start", str(plan))
        _sock_one(instep)
        instep("other")
        _half_of_sock_two(instep)
        instep("pack", "second-watch", str(file))


def _sock_one(instep: Command) -> None:
    _rounds(instep, 18 + 20, 64)
    instep("measure", "8.7 cm")
    instep("note", "the needles with the red tips are the 2.5 mm ones")
    _rounds(instep, 17, 64)
    instep("measure", "12.8 cm")
    instep("end")
    instep("weigh", "87")
    _rounds(instep, 1 + 32, 32)
    instep("lifeline")
    _rounds(instep, 14, 22)
    _rounds(instep, 1, 84)
    instep("count", "ok")
    _rounds(instep, 12, 78)
    instep("rip", "--by", "2")
    _rounds(instep, 20, 68)
    instep("measure", "14.5 cm")
    _rounds(instep, 24, 64)
    instep("end")
    _rounds(instep, 20, 36)
    instep("tick")


def _half_of_sock_two(instep: Command) -> None:
    _rounds(instep, 18 + 37, 64)
    _rounds(instep, 1 + 32, 32)
    _rounds(instep, 6, 18)
    instep("rest", "the needles, the tail between 4 and 1")


def _rounds(instep: Command, count: int, stitches: int) -> None:
    """So many rounds or rows of about so many stitches."""
    for _ in range(count):
        instep("tick", stitches=stitches)


@contextmanager
def _clock() -> Iterator[Command]:
    """Commands, each of them as much later than the one before as its stitches take; by night."""
    kept = {name: os.environ.get(name) for name in ("INSTEP_NOW", "INSTEP_BASKET")}
    night = moment = FIRST_EVENING
    done = 0

    def instep(*words: str, stitches: int = 12) -> None:
        nonlocal night, moment, done
        done += 1
        # Rounds are not all alike.
        moment += stitches * A_STITCH + timedelta(seconds=done % 5)
        if moment > night + A_NIGHT:
            night += timedelta(days=2 if done % 2 else 3)
            moment = night
        os.environ["INSTEP_NOW"] = moment.isoformat(timespec="milliseconds")
        code = main(words)
        if code:
            raise SystemExit(f"instep {' '.join(words)}: exit {code}")

    try:
        yield instep
    finally:
        for name, value in kept.items():
            os.environ.pop(name, None)
            if value is not None:
                os.environ[name] = value


if __name__ == "__main__":
    make(Path(sys.argv[1]))
