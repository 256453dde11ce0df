"""Killed at any moment and opened again: what was shown is kept, and nothing half done is there.

`KILLS=1000 .venv/bin/python -m pytest tests/terminal/test_kills.py` kills it a thousand times in each
of four ways: the screen, the plain lines, commands in a script, and acts as fast as they are kept, with the
index of the log gone afterwards, as after a loss of power. `SEED=7` draws other moments.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from random import Random
from time import monotonic

import pytest

from tests.terminal.driver import Terminal
from tests.terminal.kept import Kept, next_row_shown, next_rows_said
from tests.terminal.test_real_terminal import BY_ROUNDS
from tracker.cli import main
from tracker.storage.basket import Basket

pytestmark = pytest.mark.terminal

KILLS = int(os.environ.get("KILLS", "1"))
SEED = os.environ.get("SEED", "1")
LIVES = 15
"""Kills that one basket outlives before the next one is begun."""
KEYS = (
    [" "] * 30 + ["\x7f"] * 3 + ["b"] * 2
    + ["3 ", "2r", "0r", "11.4m", "4~", "85w", "e", "\t", "tfrogged\r", "c", "l", "z\r", "9a", "2h",
       "20<", "14.5g", "#cream\r", "2.25=", "j ", "> ", "? ", "; ", "% ", "&", "v", "s", "i", "d"]
)  # fmt: skip
"""What is typed, as often as it stands here: rounds for the most part, and every kind of act."""


def moments() -> Iterator[tuple[str, Random]]:
    """For each kill its name, and what draws its moment and its keys."""
    for kill in range(KILLS):
        yield f"seed {SEED}, kill {kill}", Random(f"{SEED} {kill}")  # noqa: S311 - nothing is secret


def stream(draw: Random) -> str:
    return "".join(draw.choice(KEYS) for _ in range(draw.randint(1, 12)))


def fed(terminal: Terminal, draw: Random) -> list[int]:
    """Feed it keys until a moment that is drawn, and kill it then; the next rows it showed, in order."""
    shown: list[int] = []
    how = draw.choice(("starting", "knitting", "knitting", "knitting", "leaving"))
    if how != "starting":
        terminal.wait(lambda shown: bool(shown.strip()), "anything")
    until = monotonic() + draw.uniform(0, {"starting": 0.9, "knitting": 1.5, "leaving": 0.5}[how])
    leaves = how == "leaving"
    while monotonic() < until and terminal.is_running:
        if how == "leaving" and leaves:
            terminal.press(stream(draw), "q")
            leaves = False
        elif how == "knitting":
            terminal.press(stream(draw))
        terminal.read_for(draw.uniform(0, 0.05))
        shown += next_row_shown(terminal.text)
    terminal.kill_at_once()
    return [*shown, *next_row_shown(terminal.text)]


def test_the_screen_killed_at_any_moment(tmp_path: Path) -> None:
    life, before = 0, 0
    for name, draw in moments():
        basket = tmp_path / str(life) / "basket.db"
        basket.parent.mkdir(exist_ok=True)
        width, height = draw.choice([(80, 24), (40, 12), (40, 3), (120, 36)])
        with Terminal(basket, BY_ROUNDS, width=width, height=height) as terminal:
            shown = fed(terminal, draw)
        if not is_begun(basket):
            assert not shown, name
            continue
        kept = Kept(basket)
        try:
            # What it shows first is where the last one was killed.
            kept.holds(shown, before)
        except AssertionError as lost:
            raise AssertionError(f"{name}, {width}x{height}: {lost}") from None
        before = len(kept.events)
        if kept.is_finished or draw.random() < 1 / LIVES:
            life, before = life + 1, 0


def is_begun(basket: Path) -> bool:
    """Whether it was not killed before there was a pair in it."""
    with Basket.open(basket) as opened:
        return bool(opened.pairs())


def test_plain_lines_killed_at_any_moment(tmp_path: Path) -> None:
    life, before = 0, 0
    for name, draw in moments():
        basket = tmp_path / str(life) / "basket.db"
        basket.parent.mkdir(exist_ok=True)
        with Terminal(basket, "knit", "--plain", BY_ROUNDS) as terminal:
            fed(terminal, draw)
            # Lines stand one below the other: all of them are read, not only those still in view.
            lines = terminal.output.decode("utf-8", "replace").rpartition("\n")[0]
        shown = next_rows_said(" ".join(lines.split()))
        if not is_begun(basket):
            assert not shown, name
            continue
        kept = Kept(basket)
        try:
            kept.holds(shown, before)
        except AssertionError as lost:
            raise AssertionError(f"{name}: {lost}") from None
        before = len(kept.events)
        if kept.is_finished or draw.random() < 1 / LIVES:
            life, before = life + 1, 0


WORDS = (
    ["tick"], ["tick"], ["tick"], ["tick", "3"], ["undo"], ["redo"], ["rip", "--by", "2"], ["other"],
    ["measure", "11.4"], ["weigh", "85"], ["note", "frogged"], ["count", "ok"], ["end"], ["lifeline"],
)  # fmt: skip


def test_commands_killed_at_any_moment(tmp_path: Path) -> None:
    basket = tmp_path / "basket.db"
    environment = {**os.environ, "INSTEP_BASKET": str(basket)}
    program = [sys.executable, "-m", "tracker"]
    subprocess.run([*program, "start", BY_ROUNDS], env=environment, check=True, capture_output=True)
    events = 1
    for name, draw in moments():
        with subprocess.Popen(
            [*program, *draw.choice(WORDS), "--json"],
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        ) as running:
            try:
                running.wait(draw.uniform(0, 0.9))
            except subprocess.TimeoutExpired:
                running.send_signal(signal.SIGKILL)
            told, complaint = running.communicate()
        kept = len(Kept(basket).events)
        assert events <= kept <= events + 1, name
        assert b"Traceback" not in complaint, name
        if told.endswith(b"\n"):
            assert json.loads(told).get("events") in (None, kept), name  # a count tells none
        events = kept


KNITS = """
import sys
from pathlib import Path
from tests.ui.driving import Clock
from tracker.session import Session
from tracker.storage.basket import Basket
with Basket.open(Path(sys.argv[1])) as basket:
    session = Session(basket, basket.find(None), Clock())
    print(session.glance.events, flush=True)
    while True:
        for act in (session.tick, session.tick, session.undo, session.undo):
            act()
            print(session.glance.events, flush=True)
"""


def test_killed_at_any_moment_and_the_index_of_its_log_gone(tmp_path: Path) -> None:
    for kill, (name, draw) in enumerate(moments()):
        basket = tmp_path / str(kill // LIVES) / "basket.db"
        if kill % LIVES == 0:
            assert main(["start", BY_ROUNDS, "--basket", str(basket)]) == 0
        with subprocess.Popen(
            [sys.executable, "-c", KNITS, str(basket)], stdout=subprocess.PIPE, text=True
        ) as knits:
            assert knits.stdout is not None
            told = [knits.stdout.readline() for _ in range(draw.randint(1, 60))]
            draw_out = monotonic() + draw.uniform(0, 0.005)
            while monotonic() < draw_out:
                pass
            knits.send_signal(signal.SIGKILL)
            told += knits.stdout.readlines()
        basket.with_name("basket.db-shm").unlink()
        said = int([line for line in told if line.endswith("\n")][-1])
        kept = len(Kept(basket).events)
        assert said <= kept <= said + 1, name


def test_what_was_shown_and_not_kept_is_noticed(tmp_path: Path) -> None:
    """The comparison itself: a row that no kept event led to, or that came in another order."""
    given = ["--basket", str(tmp_path / "basket.db")]
    for words in (["start", BY_ROUNDS], ["tick"], ["tick"], ["undo"], ["tick"], ["tick"]):
        assert main([*words, *given]) == 0
    kept = Kept(tmp_path / "basket.db")
    assert kept.next_rows == [1, 2, 3, 2, 3, 4]
    kept.holds([2, 3, 2, 3, 4])
    kept.holds([2, 4], after=2)
    for lost in ([2, 3, 4, 5], [4, 3], [2, 3, 2, 4, 3]):
        with pytest.raises(AssertionError, match="was shown of"):
            kept.holds(lost)
