"""Two screens, plain lines and commands on one pair at once: none lost, none double, all at the same place.

`TICKS=10000 .venv/bin/python -m pytest tests/terminal/test_two_at_once.py` counts so many in all.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Thread
from time import monotonic

import pytest

from tests.on_demand import on_demand
from tests.terminal import driver
from tests.terminal.driver import Terminal
from tests.terminal.kept import Kept
from tests.terminal.test_real_terminal import BY_ROUNDS
from tracker.cli import main
from tracker.ui.needles_screen import LOOK_FOR_OTHERS

pytestmark = pytest.mark.terminal

IN_ALL = int(os.environ.get("TICKS", "60"))
PAIRS = 1 + IN_ALL // 4000
"""So many pairs in turn: no section is counted past 5,000 rounds."""
TICKS = IN_ALL // PAIRS
AT_ONCE = 40
"""Keys that a terminal is given before what came of them is looked at."""
COMMANDS = max(1, TICKS // 100)


def instep(basket: Path, *words: str) -> list[str]:
    return [sys.executable, "-m", "tracker", "--basket", str(basket), *words]


def pressed(terminal: Terminal, keys: int, last: str) -> None:
    """Give it so many ticks, and read it until the `last` is seen: one that is not read stands still."""
    while keys > 0:
        terminal.press(" " * min(keys, AT_ONCE))
        keys -= AT_ONCE
        terminal.read_for(0.05)
        assert "not kept" not in terminal.text.lower()
    if not last:
        terminal.press("q")
    terminal.wait_for(last or "Kept: sock one")


def commanded(basket: Path, failed: list[str]) -> None:
    for _ in range(COMMANDS):
        ended = subprocess.run(instep(basket, "tick"), capture_output=True, text=True, check=False)
        failed += filter(None, [ended.stderr])


@pytest.mark.parametrize("pair", range(PAIRS))
def test_many_hands_on_one_pair_count_every_tick_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pair: int
) -> None:
    # Keys wait in the terminal until they are read.
    monkeypatch.setattr(driver, "PATIENCE", driver.PATIENCE + TICKS / 10)
    basket = tmp_path / "basket.db"
    assert main(["--basket", str(basket), "start", BY_ROUNDS]) == 0
    share, failed = (TICKS - COMMANDS) // 3, list[str]()
    by_keys = [share, share, TICKS - COMMANDS - 2 * share]
    with (
        Terminal(basket, BY_ROUNDS, width=40, height=3) as one,
        Terminal(basket, BY_ROUNDS, width=60, height=3) as two,
        Terminal(basket, "knit", "--plain", BY_ROUNDS, width=100, height=30) as lines,
    ):
        hands, done = (one, two, lines), f"{TICKS - 22} done"
        for hand in hands:
            hand.wait(lambda shown: "next 1" in shown or "leaves." in shown, "the cast-on")
        work: list[Callable[[], None]] = [lambda: commanded(basket, failed)]
        work += [
            lambda hand=hand, keys=keys, last=last: pressed(hand, keys, last)  # type: ignore[misc]
            for hand, keys, last in zip(hands, by_keys, (done, done, ""), strict=True)
        ]
        together = [Thread(target=one_of_all) for one_of_all in work]
        for thread in together:
            thread.start()
        for thread in together:
            thread.join()
        assert failed == []
        assert lines.wait_end() == 0
        assert one.text.split()[:8] == two.text.split()[:8]
        for hand in (one, two):
            hand.press("q")
            assert hand.wait_end() == 0
    kept = Kept(basket)
    assert [event.kind for event in kept.events] == ["started", *["tick"] * TICKS]
    assert len({event.uid for event in kept.events}) == TICKS + 1


@on_demand
def test_what_another_wrote_is_seen_within_a_second(tmp_path: Path) -> None:
    basket = tmp_path / "basket.db"
    assert LOOK_FOR_OTHERS < 1
    assert main(["--basket", str(basket), "start", BY_ROUNDS]) == 0
    waited = []
    with Terminal(basket, BY_ROUNDS, width=40, height=3) as screen:
        screen.wait_for("next 1")
        for done in range(1, 6):
            assert main(["--basket", str(basket), "tick"]) == 0
            begun = monotonic()
            screen.wait_for(f"{done} done")
            waited.append(monotonic() - begun)
    # A busy machine may hold one of them up, not most of them.
    assert sorted(waited)[2] < 1, waited
