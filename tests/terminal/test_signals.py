"""A closed terminal, a stop, a polite kill: nothing shown is lost, and the terminal is left as found."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

import pytest

from tests.on_demand import ALL, on_demand
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
SIGNALS = [signal.SIGTERM, signal.SIGHUP, signal.SIGINT]


@pytest.mark.parametrize(("way", "given"), WAYS if ALL else WAYS[:1])
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


@on_demand
def test_stopped_from_outside_and_gone_on_the_screen_is_whole_again(tmp_path: Path) -> None:
    """A shell has set the terminal for itself meanwhile, and written into the screen."""
    with Terminal(tmp_path / "basket.db", BY_ROUNDS, width=80, height=24) as terminal:
        before = terminal.modes()
        terminal.wait_for("oosely")
        terminal.press(" ")
        terminal.wait_for("round 2")
        own = terminal.modes()
        os.kill(terminal.pid, signal.SIGSTOP)
        terminal.set_modes(before)
        terminal.write_over("\x1b[?1049l\x1b[?25h\x1b[2J")
        stopped = len(terminal.output)
        os.kill(terminal.pid, signal.SIGCONT)
        taken_again = b"\x1b[?1049h\x1b[?25l"
        terminal.wait(lambda _: taken_again in terminal.output[stopped:], "taken again")
        terminal.wait(lambda shown: "round 2" in shown and "space done" in shown, "all of it")
        assert terminal.modes() == own
        terminal.press("  ")
        terminal.wait_for("round 4")
        terminal.press("q")
        assert terminal.wait_end() == 0
        assert terminal.modes() == before


@pytest.mark.parametrize("number", SIGNALS if ALL else SIGNALS[:1])
def test_asked_to_end_it_says_what_is_kept(tmp_path: Path, number: int) -> None:
    with Terminal(tmp_path / "basket.db", BY_ROUNDS, width=40, height=12) as terminal:
        before = terminal.modes()
        terminal.wait_for("oosely")
        terminal.press("  ")
        terminal.wait_for("round 3")
        os.kill(terminal.pid, number)
        assert terminal.wait_end() == 0
        assert terminal.modes() == before
        assert b"\x1b[?1049l" in terminal.output
        assert "Kept: sock one, cuff round 2" in " ".join(terminal.text.split())


@on_demand
def test_asked_to_end_while_it_starts_it_leaves_the_terminal_as_it_was_found(
    tmp_path: Path,
) -> None:
    with Terminal(tmp_path / "basket.db", BY_ROUNDS, width=40, height=12) as terminal:
        before = terminal.modes()
        terminal.wait_for_output(b"\x1b[?1049h")
        os.kill(terminal.pid, signal.SIGTERM)
        assert terminal.wait_end() == 0
        assert terminal.modes() == before
        assert b"\x1b[?1049l" in terminal.output


def test_under_a_shell_the_screen_stops_and_comes_back(tmp_path: Path) -> None:
    with Terminal(tmp_path / "b.db", program=("sh", "-i"), width=80, height=24) as terminal:
        terminal.press(f"stty -a > {tmp_path}/found; echo re''ady", "\r")
        terminal.wait_for("ready")
        terminal.press(f"clear; {INSTEP} {BY_ROUNDS}", "\r")
        terminal.wait_for("oosely")
        terminal.press(" ")
        terminal.wait_for("round 2")
        for more in ("round 3", "round 4"):
            terminal.press("\x1a")
            terminal.wait_for("topped")
            terminal.press(f"stty -a > {tmp_path}/stopped; clear; echo at the sh''ell", "\r")
            terminal.wait_for("at the shell")
            terminal.press("fg", "\r")
            terminal.wait(lambda shown: "space done" in shown and "sock one" in shown, "all of it")
            terminal.press(" ")
            terminal.wait_for(more)
        terminal.press("q")
        terminal.wait_for("Kept: sock one, cuff round 3 of 22.")
        terminal.press(f"stty -a > {tmp_path}/left; echo back ag''ain", "\r")
        terminal.wait_for("back again")
    found, stopped, left = ((tmp_path / f).read_text() for f in ("found", "stopped", "left"))
    assert found == stopped == left


@on_demand
def test_where_no_shell_watches_it_does_not_stop(tmp_path: Path) -> None:
    """Nobody could say to go on: she would sit before a dead screen."""
    with Terminal(tmp_path / "basket.db", BY_ROUNDS, width=40, height=12) as terminal:
        terminal.wait_for("oosely")
        own = terminal.modes()
        terminal.press(" ")
        terminal.wait_for("round 2")
        terminal.press("\x1a", " ")
        terminal.wait_for("round 3")
        assert terminal.modes() == own
        # A pedal or a terminal of another alphabet sends bytes that are no letters of this one.
        terminal.send(b" \xff\xc3 \xe4 ")
        terminal.wait_for("round 6")


@on_demand
def test_with_nothing_to_read_on_a_terminal_it_says_where_she_is_and_ends(tmp_path: Path) -> None:
    program = ("sh", "-c", f'exec {INSTEP} "$@" < /dev/null', "instep")
    with Terminal(tmp_path / "basket.db", *PLAIN, program=program) as terminal:
        assert terminal.wait_end() == 0
        assert "Cast on 64" in terminal.text
