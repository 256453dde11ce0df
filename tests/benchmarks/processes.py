"""The quick check and the list of pairs, each a process of its own, against the barest that could answer.

Run it: python -m tests.benchmarks.processes
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.histories import pair_of
from tests.benchmarks.ratio import Ratio, medians, timed
from tracker.storage.basket import Basket, NewPair
from tracker.storage.kept_answers import beside

EVENTS, PAIRS, TRIES = 5_000, 1_000, 15
BARE = "import argparse; argparse.ArgumentParser().parse_args([]); print('leg round 34 of 46 done')"
"""The floor of any command: Python, its reader of arguments, and one line."""


def run(*command: str, basket: Path) -> Callable[[], object]:
    """A process that ends well, its answer thrown away."""
    kept = {**os.environ, "INSTEP_BASKET": str(basket)}
    kept.pop("PYTHONDONTWRITEBYTECODE", None)  # compiled once, as where it is installed
    return partial(subprocess.run, command, check=True, env=kept, stdout=subprocess.DEVNULL)


def instep(*words: str, basket: Path) -> Callable[[], object]:
    """A command of ours on that basket."""
    return run(sys.executable, "-m", "tracker", *words, basket=basket)


def quick_check(basket: Path) -> list[Ratio]:
    """`instep left` on a pair of 5,000 events, asked again and asked for the first time after an act."""
    floor = timed(run(sys.executable, "-c", BARE, basket=basket))
    against = "python, argparse, one print"
    what = f"instep left, {EVENTS:,} events"
    ask = instep("left", basket=basket)

    def anew() -> None:
        Path(beside(str(basket))).unlink(missing_ok=True)
        ask()

    anew()
    known = medians(f"{what}, asked again", against, 2.5, timed(ask), floor, TRIES)
    return [known, medians(f"{what}, full replay", against, None, timed(anew), floor, TRIES)]


def a_list(basket: Path, filled: Path) -> Ratio:
    """The basket of many long pairs listed, against that of one."""
    return medians(
        f"instep basket, {PAIRS:,} pairs of {EVENTS:,} events", "a basket of one such pair", 1.5,
        timed(instep("basket", basket=filled)), timed(instep("basket", basket=basket)), TRIES,
    )  # fmt: skip


def fill(path: Path, pairs: int = PAIRS) -> None:
    """More pairs like the one that is there, each with its whole history."""
    with Basket.open(path) as basket:
        pair = basket.find(None)
        text, rows = basket.pattern_text(pair), basket.rows(pair)
        new = NewPair(pair.short, pair.title, text, pair.source, pair.count, pair.summary)
        for _ in range(1, pairs):
            basket.bring_in(new, os.urandom(16), rows)


def rows() -> list[Ratio]:
    """Both, on the disk that the temporary folder lies on."""
    with TemporaryDirectory() as name:
        basket, filled = Path(name) / "one.db", Path(name) / "many.db"
        pair_of(basket, EVENTS)
        filled.write_bytes(basket.read_bytes())
        fill(filled)
        return [*quick_check(basket), a_list(basket, filled)]


def main() -> int:
    """Print a line each; 1 where one is too slow."""
    found = rows()
    print(*(ratio.line() for ratio in found), sep="\n")
    return 0 if all(ratio.holds for ratio in found) else 1


if __name__ == "__main__":
    sys.exit(main())
