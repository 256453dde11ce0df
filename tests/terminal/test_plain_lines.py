"""Plain lines in a real terminal: no key lost, nothing but text sent, the terminal left as it was found."""

from __future__ import annotations

import os
import signal
import sys
import termios
from pathlib import Path

import pytest

from tests.terminal.driver import Terminal
from tests.ui.filling import class_text
from tracker.storage.basket import Basket

pytestmark = pytest.mark.terminal

SAMPLES = Path(__file__).parents[2] / "sample_projects"
BY_ROUNDS, BY_NEEDLES = str(SAMPLES / "night-ferry.toml"), str(SAMPLES / "low-tide.toml")
TERMS = ("linux", "xterm-256color", "screen", "dumb")
MAY_BE_SENT = frozenset(range(32, 127)) | {10, 13}
"""Letters and the ends of lines: nothing that moves a cursor, and no colour."""


def wait_for(terminal: Terminal, text: str) -> None:
    """Wait until it was said, wherever its lines part."""
    terminal.wait(lambda shown: text in " ".join(shown.split()), text)


@pytest.mark.parametrize("term", TERMS)
def test_a_sentence_after_each_key_and_nothing_but_text(tmp_path: Path, term: str) -> None:
    with Terminal(tmp_path / "b.db", "knit", "--plain", BY_ROUNDS, term=term) as terminal:
        before = terminal.modes()
        wait_for(terminal, "Space is done, ? says all keys, q leaves.")
        assert terminal.modes() != before
        terminal.press("space")
        wait_for(terminal, "Round 1 of 22 done. Next: round 2, rib.")
        terminal.press("2", "1", "enter")
        wait_for(terminal, "21 21 rounds, backspace takes them back. CUFF DONE: 22 rounds")
        terminal.press("\x1b[5~")
        wait_for(terminal, "Page up does nothing here")
        terminal.press("4", "escape")
        wait_for(terminal, "No figures.")
        terminal.press("backspace")
        wait_for(terminal, "Taken back: 21 rounds.")
        terminal.press("t", "q", " ", "3", "enter")
        wait_for(terminal, "q 3 Noted at cuff round 1: q 3.")
        terminal.press("q")
        assert terminal.wait_end() == 0
        assert "Kept: sock one, cuff round 1 of 22." in terminal.text
        assert terminal.modes() == before
        assert set(terminal.output) <= MAY_BE_SENT


@pytest.mark.parametrize("words", [(BY_NEEDLES,), ("knit", BY_NEEDLES)])
def test_a_dumb_terminal_gets_plain_lines_by_itself(tmp_path: Path, words: tuple[str, ...]) -> None:
    with Terminal(tmp_path / "b.db", *words, term="dumb") as terminal:
        wait_for(terminal, "q leaves.")
        terminal.press("    ")
        wait_for(terminal, "Needle 3 of 4 done. Next: needle 4 of 4: ")
        wait_for(terminal, "END OF ROUND. Round 1 of 16 done.")
        terminal.press("q")
        assert terminal.wait_end() == 0
        assert set(terminal.output) <= MAY_BE_SENT
    with Terminal(tmp_path / "b.db", term="dumb") as terminal:
        wait_for(terminal, "Low tide.")
        terminal.press("q")
        assert terminal.wait_end() == 0


def test_an_empty_basket_is_said(tmp_path: Path) -> None:
    with Terminal(tmp_path / "b.db", "knit", "--plain") as terminal:
        assert terminal.wait_end() == 0
        assert "The basket is empty." in terminal.text


def ticks(path: Path) -> int:
    """Rounds that were recorded."""
    with Basket.open(path) as basket:
        events = basket.events(basket.find(None))
    return sum(event.data["rounds"] for event in events if event.kind == "tick")


@pytest.mark.parametrize("term", TERMS)
def test_forty_keys_at_once_are_forty_rounds(tmp_path: Path, term: str) -> None:
    with Terminal(tmp_path / "b.db", "knit", "--plain", BY_ROUNDS, term=term) as terminal:
        wait_for(terminal, "q leaves.")
        terminal.press(" " * 40)
        wait_for(terminal, "Round 18 of about 46 done.")
        terminal.press("q")
        assert terminal.wait_end() == 0
    assert ticks(tmp_path / "b.db") == 40


def test_keys_typed_before_it_was_ready_count(tmp_path: Path) -> None:
    with Terminal(tmp_path / "b.db", "knit", "--plain", BY_ROUNDS) as terminal:
        terminal.press(" " * 40, "q")
        assert terminal.wait_end() == 0
        assert "Kept: sock one, leg round 18 of about 46." in terminal.text
    assert ticks(tmp_path / "b.db") == 40


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
@pytest.mark.parametrize("term", ["xterm-256color", "dumb"])
def test_a_signal_leaves_the_terminal_as_it_was_found(
    tmp_path: Path, number: int, term: str
) -> None:
    with Terminal(tmp_path / "b.db", "knit", "--plain", BY_ROUNDS, term=term) as terminal:
        before = terminal.modes()
        wait_for(terminal, "q leaves.")
        terminal.press("space", "space", "4")
        wait_for(terminal, "Round 2 of 22 done.")
        os.kill(terminal.pid, number)
        assert terminal.wait_end() == 0
        assert terminal.modes() == before
        assert "Kept: sock one, cuff round 2 of 22." in terminal.text


@pytest.mark.parametrize("key", ["\x03", "\x04"])
def test_the_keys_that_end_a_program_end_it(tmp_path: Path, key: str) -> None:
    with Terminal(tmp_path / "b.db", "knit", "--plain", BY_ROUNDS) as terminal:
        before = terminal.modes()
        wait_for(terminal, "q leaves.")
        terminal.press("space")
        wait_for(terminal, "Round 1 of 22 done.")
        terminal.press(key)
        assert terminal.wait_end() == 0
        assert terminal.modes() == before


def test_stopped_and_gone_on_it_takes_the_keys_again_and_says_where(tmp_path: Path) -> None:
    with Terminal(tmp_path / "b.db", "knit", "--plain", BY_ROUNDS) as terminal:
        before = terminal.modes()
        wait_for(terminal, "q leaves.")
        terminal.press("space")
        wait_for(terminal, "Round 1 of 22 done.")
        own = terminal.modes()
        os.kill(terminal.pid, signal.SIGSTOP)
        terminal.set_modes(before)
        os.kill(terminal.pid, signal.SIGCONT)
        wait_for(terminal, "Sock one, cuff: round 1 of 22 is done (rib).")
        assert terminal.modes() == own
        # Nobody watches a program that is its own session: it is asked to stop, and cannot.
        os.kill(terminal.pid, signal.SIGTSTP)
        terminal.press("space")
        wait_for(terminal, "Round 2 of 22 done.")
        assert terminal.modes() == own
        terminal.press("q")
        assert terminal.wait_end() == 0
        assert terminal.modes() == before


def test_under_a_shell_it_stops_and_comes_back(tmp_path: Path) -> None:
    shell = ("sh", "-i")
    with Terminal(tmp_path / "b.db", program=shell, term="dumb") as terminal:
        terminal.press(f"stty -a > {tmp_path}/found; echo re''ady", "\r")
        wait_for(terminal, "ready")
        terminal.press(f"{sys.executable} -m tracker knit --plain {BY_ROUNDS}", "\r")
        wait_for(terminal, "q leaves.")
        terminal.press("space")
        wait_for(terminal, "Round 1 of 22 done.")
        terminal.press("\x1a")
        wait_for(terminal, "topped")
        terminal.press(f"stty -a > {tmp_path}/stopped; echo at the sh''ell", "\r")
        wait_for(terminal, "at the shell")
        terminal.press("fg", "\r")
        wait_for(terminal, "Sock one, cuff: round 1 of 22 is done (rib).")
        terminal.press("space")
        wait_for(terminal, "Round 2 of 22 done.")
        terminal.press("q")
        wait_for(terminal, "Kept: sock one, cuff round 2 of 22.")
        terminal.press(f"stty -a > {tmp_path}/left; echo back ag''ain", "\r")
        wait_for(terminal, "back again")
    found, stopped, left = ((tmp_path / f).read_text() for f in ("found", "stopped", "left"))
    assert found == stopped == left


WITHOUT = (
    "import sys, tracker.ui.plain_terminal as t; t.termios = None; from tracker.cli import main"
)


def test_a_terminal_that_can_do_no_single_keys_is_read_by_lines(tmp_path: Path) -> None:
    program = (sys.executable, "-c", f"{WITHOUT}; sys.exit(main(sys.argv[1:]))")
    given = ("knit", "--plain", BY_ROUNDS)
    with Terminal(tmp_path / "b.db", *given, program=program) as terminal:
        before = terminal.modes()
        wait_for(terminal, "q leaves.")
        assert terminal.modes() == before
        terminal.press("enter")
        wait_for(terminal, "Round 1 of 22 done.")
        terminal.press("3", "enter")
        wait_for(terminal, "3 rounds: 2 to 4")
        terminal.press("t", "enter")
        wait_for(terminal, "Note on sock one, cuff round 4.")
        terminal.press("tab 3 q", "enter")
        wait_for(terminal, "Noted at cuff round 4: tab 3 q.")
        terminal.press(*"tab", "enter")
        wait_for(terminal, "Sock two: cast on 64.")
        terminal.press("q", "enter")
        assert terminal.wait_end() == 0
        assert "Kept: sock two, cast on 64." in terminal.text


def test_the_terminal_is_given_back_whatever_goes_wrong(tmp_path: Path) -> None:
    fails = "import tracker.ui.plain_lines as p; p.PlainNeedles.hear = lambda *_: 1 / 0"
    code = f"import sys; {fails}; from tracker.cli import main; sys.exit(main(sys.argv[1:]))"
    given = ("knit", "--plain", BY_ROUNDS)
    with Terminal(tmp_path / "b.db", *given, program=(sys.executable, "-c", code)) as terminal:
        before = terminal.modes()
        wait_for(terminal, "q leaves.")
        local = terminal.modes()[3]
        assert isinstance(local, int)
        assert not local & (termios.ICANON | termios.ECHO)
        terminal.press("space")
        assert terminal.wait_end() == 1
        assert terminal.modes() == before


def test_a_class_file_says_what_is_left_open(tmp_path: Path) -> None:
    """Its blanks are filled in on a screen; here one line says what to write."""
    file = tmp_path / "class.toml"
    file.write_text(class_text(), encoding="utf-8")
    with Terminal(tmp_path / "b.db", str(file), term="dumb") as terminal:
        before = terminal.modes()
        assert terminal.wait_end() == 1
        assert "class.toml" in terminal.text
        assert "[foot]" in terminal.text
        assert terminal.modes() == before
