"""A closed terminal, a stop, a polite kill: nothing shown is lost, and the terminal is left as found."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

import pytest

from tests.terminal.driver import Terminal
from tests.terminal.kept import Kept
from tests.terminal.test_real_terminal import BY_ROUNDS

pytestmark = pytest.mark.terminal

PLAIN = ("knit", "--plain", BY_ROUNDS)
THE_SCREEN = (BY_ROUNDS,)
INSTEP = f"{sys.executable} -m tracker"
DEAF = ("sh", "-c", f'trap "" HUP; exec {INSTEP} "$@"', "instep")
"""Started so that nobody tells it of a closed terminal, as by nohup."""
WAYS = [(way, given) for way in ("told", "deaf") for given in (THE_SCREEN, PLAIN)]


@pytest.mark.parametrize(("way", "given"), WAYS)
def test_a_closed_terminal_ends_it_with_nothing_lost(
    tmp_path: Path, way: str, given: tuple[str, ...]
) -> None:
    program = DEAF if way == "deaf" else (sys.executable, "-m", "tracker")
    with Terminal(tmp_path / "basket.db", *given, program=program, width=40, height=12) as terminal:
        terminal.wait_for("oosely")
        terminal.press("  ")
        terminal.wait(lambda shown: "round 3" in shown, "round 3")
        # More than the framework lays by for a terminal that takes nothing.
        terminal.press(" " * 60)
        assert terminal.hang_up() == 0
    assert len(Kept(tmp_path / "basket.db").events) >= 3
