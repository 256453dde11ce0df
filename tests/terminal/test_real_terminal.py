"""The real program in a real terminal: counted, killed, opened again."""

from __future__ import annotations

import signal
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.terminal.driver import Terminal
from tests.ui.driving import Clock
from tests.ui.filling import MINE, class_text
from tracker.session import Session
from tracker.storage.backups import back_up
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file

pytestmark = pytest.mark.terminal

SAMPLES = Path(__file__).parents[2] / "sample_projects"
BY_NEEDLES, BY_ROUNDS = str(SAMPLES / "low-tide.toml"), str(SAMPLES / "night-ferry.toml")


def test_a_killed_program_opens_at_the_same_round_and_needle(tmp_path: Path) -> None:
    """Past an end of round, two needles into the next one, SIGKILL: she is where she was."""
    basket = tmp_path / "basket.db"
    with Terminal(basket, BY_NEEDLES) as terminal:
        terminal.wait_for("Cast on 48")
        terminal.press("space")
        terminal.wait_for("needle 2 of 4")
        terminal.press("space", "space", "space")
        terminal.wait_for("all 4 needles done")
        terminal.press("space", "space")
        terminal.wait_for("needle 3 of 4")
        terminal.kill(signal.SIGKILL)
    with Terminal(basket, BY_NEEDLES) as terminal:
        for seen in ("needle 3 of 4", "cuff, 1 of 16", "round 2", "yarn hangs from N2, go into N3"):
            terminal.wait_for(seen)


@pytest.mark.parametrize(("width", "height"), [(120, 36), (80, 24), (60, 20), (40, 12), (30, 3)])
def test_every_size_shows_done_and_next(tmp_path: Path, width: int, height: int) -> None:
    with Terminal(tmp_path / "b.db", BY_ROUNDS, width=width, height=height) as terminal:
        terminal.wait_for("next 1" if height == 3 else "Cast on 64")
        terminal.press("space", "space")
        terminal.wait(lambda shown: "round 3" in shown or "next 3" in shown, "round 3")
        terminal.wait_for("of 22")  # a screen may be seen half painted


@pytest.mark.parametrize(("width", "height"), [(120, 36), (80, 24), (40, 12)])
def test_the_written_pattern_and_the_plots(tmp_path: Path, width: int, height: int) -> None:
    with Terminal(tmp_path / "b.db", BY_ROUNDS, width=width, height=height) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press(">")
        terminal.wait_for("\u25ba Round 1")
        terminal.press("%")
        terminal.wait_for("Lay the tape")
        terminal.press("space")
        terminal.wait_for("round 2")


def test_number_first_then_the_act(tmp_path: Path) -> None:
    with Terminal(tmp_path / "b.db", BY_ROUNDS) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press("2", "2", "space")
        terminal.wait_for("CUFF DONE: 22 rounds")
        terminal.press("2", "4", "space")
        terminal.wait_for("round 25")
        terminal.press("1", "1", ".", "4", "m")
        terminal.wait_for("11.4 cm at leg round 24")
        terminal.press("backspace")
        terminal.wait_for("Taken back: the 11.4 cm reading")
        terminal.press("m")
        terminal.wait_for("type the length first")
        terminal.press("3", "1", "a")
        terminal.wait_for("Leg round 31 is now the last one done; was 24")
        terminal.press("e")
        terminal.wait_for("LEG DONE: 31 rounds")
        terminal.press("tab")
        terminal.wait_for("sock two, cuff")


def test_words_are_words_while_their_line_is_open_and_a_paste_is_one_line(tmp_path: Path) -> None:
    with Terminal(tmp_path / "b.db", BY_ROUNDS) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press("3", "space")
        terminal.wait_for("round 4")
        terminal.press("t")
        terminal.wait_for("Note on sock one, cuff round 3")
        terminal.press("q", " ", "\x1b[200~3 m\r\nend\x1b[201~")
        terminal.wait_for("q 3 m end")
        terminal.press("enter")
        terminal.wait_for("Noted at cuff round 3: q 3 m end.")
        terminal.press("j")
        terminal.wait_for("the note: q 3 m end")
        terminal.press("space")
        terminal.wait_for("round 5")
        terminal.press("\x1b[200~3 m q\x1b[201~", "space")
        terminal.wait_for("round 6")


def test_leaving_says_where_she_is_and_gives_the_terminal_back(tmp_path: Path) -> None:
    with Terminal(tmp_path / "b.db", BY_ROUNDS) as terminal:
        before = terminal.modes()
        terminal.wait_for("Cast on 64")
        terminal.press("space")
        terminal.wait_for("round 2")
        terminal.press("q")
        assert terminal.wait_end() == 0
        assert "Kept: sock one, cuff round 1 of 22." in terminal.text
        assert terminal.modes() == before


def test_help_never_stands_in_the_way(tmp_path: Path) -> None:
    """The key that closes the help counts."""
    with Terminal(tmp_path / "b.db", BY_ROUNDS) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press("?")
        terminal.wait_for("Any key goes back")
        terminal.press("space")
        terminal.wait_for("round 2")


def test_a_burst_of_keys_over_the_help_is_counted_whole(tmp_path: Path) -> None:
    """All five arrive in one write, the help still open: each counts, none crashes it."""
    with Terminal(tmp_path / "b.db", BY_ROUNDS) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press("?")
        terminal.wait_for("Any key goes back")
        terminal.press("     ")
        terminal.wait_for("round 6")
        # Opened and typed over in one write: wherever a key arrives, it counts.
        terminal.press("?     ")
        terminal.wait_for("Any key goes back")
        terminal.press("escape")
        terminal.wait_for("round 11")


def test_keys_that_wait_behind_a_change_of_screen_do_nothing_to_what_is_left(
    tmp_path: Path,
) -> None:
    with Terminal(tmp_path / "b.db") as terminal:
        terminal.wait_for("empty: try a round")
        terminal.press("\x1b[F", "\x1b[A", "\x1b[A")  # end, up, up: a plan of a sock
        terminal.press("\r\r\r\r")
        terminal.wait_for("sock one")  # at the cast-on, or past it, as many as reached the needles
        terminal.press("o ")
        terminal.wait_for("1 pair")
    with Basket.open(tmp_path / "b.db") as basket:
        (pair,) = basket.pairs()
        ticks = [event for event in basket.events(pair) if event.kind == "tick"]
        assert len(ticks) <= 3, "only enters that reached the needles count"


def test_an_empty_basket_offers_a_round_to_try(tmp_path: Path) -> None:
    """From the first screen to a counted round in three keys; on a basket that stays empty."""
    with Terminal(tmp_path / "b.db") as terminal:
        terminal.wait_for("empty: try a round")
        terminal.press("enter")
        terminal.wait_for("1 of 9: A pair to try")
        terminal.press("space")
        terminal.wait_for("2 of 9")
        terminal.press("escape")
        terminal.wait_for("empty: try a round")
    with Basket.open(tmp_path / "b.db") as basket:
        assert not basket.pairs()


@pytest.mark.parametrize(("width", "height"), [(120, 36), (80, 24), (40, 12)])
def test_a_class_file_is_filled_in_and_knitted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, width: int, height: int
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("class.toml").write_text(class_text(), encoding="utf-8")
    with Terminal(tmp_path / "b.db", "class.toml", width=width, height=height) as terminal:
        terminal.wait_for("heel to longest toe")
        for text in MINE.values():
            terminal.press(*text, "tab")
        terminal.wait_for("night-ferry.toml")
        terminal.press("tab")
        terminal.wait_for("enter keeps the plan in")
        terminal.press("\r")
        terminal.wait_for("Cast on 64")
        terminal.press("space", "q")
        assert terminal.wait_end() == 0
        assert "Kept: sock one, cuff round 1 of 22." in terminal.text
    with Terminal(tmp_path / "b.db", "night-ferry.toml", width=width, height=height) as terminal:
        terminal.wait_for("of 22")
        terminal.press("space")
        terminal.wait_for("round 3")


@pytest.mark.parametrize("words", [(), ("night-ferry",), ("knit", "--plain")], ids=" ".join)
def test_a_damaged_basket_is_said_in_a_line_and_no_screen_is_left(
    tmp_path: Path, words: tuple[str, ...]
) -> None:
    """Then she mends it, and it opens."""
    basket = tmp_path / "basket.db"
    with Basket.open(basket) as opened:
        Session.start(opened, open_file(BY_ROUNDS), Clock()).tick(3)
    back_up(basket, Clock()())
    with closing(sqlite3.connect(basket)) as outside, outside:
        outside.execute("UPDATE pair SET done = 9")
    with Terminal(basket, *words) as terminal:
        assert terminal.wait_end() == 1
        told = terminal.text.replace("\n", "")
        assert (
            "instep: the line of night-ferry in the list is damaged, and nothing was changed"
            in told
        )
        assert f'"instep mend" saves what is sound ({basket})' in told
        assert b"\x1b[?1049h" not in terminal.output
    with Terminal(basket, "mend") as terminal:
        assert terminal.wait_end() == 0
        assert "night-ferry: whole, with 2 events." in terminal.text
    with Terminal(basket, "night-ferry") as terminal:
        terminal.wait_for("round 4")
