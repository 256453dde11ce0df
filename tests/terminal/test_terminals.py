"""Terminals of every kind: each shows the place, counts, and gets no colour it does not have."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.terminal.driver import Terminal
from tests.terminal.test_real_terminal import BY_ROUNDS
from tracker.storage.basket import Basket

_COLOURS = re.compile(rb"\x1b\[[0-9;]*[34]8;(2|5);")
"""A colour by red, green and blue, or by its number of 256."""

pytestmark = pytest.mark.terminal

KINDS = [
    ("xterm-256color", True), ("screen-256color", True), ("tmux-256color", True),
    ("xterm", False), ("screen", False), ("linux", False), ("vt100", False),
]  # fmt: skip
"""Terminals by the name they give, and whether they have more than sixteen colours."""


@pytest.mark.parametrize("term", ["xterm-256color", "dumb"])
def test_settings_that_are_wrong_are_said_before_anything_is_begun(
    tmp_path: Path, term: str
) -> None:
    (tmp_path / "settings.toml").write_text('look = "drak"')
    with Terminal(tmp_path / "basket.db", BY_ROUNDS, width=80, height=24, term=term) as terminal:
        assert terminal.wait_end() == 1
        assert "line 1: look: " in terminal.text
    with Basket.open(tmp_path / "basket.db") as basket:
        assert basket.pairs() == []


@pytest.mark.parametrize(("term", "many"), KINDS)
def test_each_terminal_shows_the_place_and_counts(tmp_path: Path, term: str, many: bool) -> None:
    with Terminal(tmp_path / "basket.db", BY_ROUNDS, width=80, height=24, term=term) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press("space", "space")
        terminal.wait_for("round 3")
        assert bool(_COLOURS.search(terminal.output)) == many
        terminal.press("q")
        assert terminal.wait_end() == 0
        assert "Kept: sock one, cuff round 2 of 22." in terminal.text


BARE = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
"""A locale that has no letters but those of ASCII."""


@pytest.mark.parametrize("env", [BARE, {"LC_ALL": "POSIX"}, {"INSTEP_GLYPHS": "plain"}])
def test_where_nothing_can_be_drawn_not_a_byte_is_sent_that_is_no_ascii(
    tmp_path: Path, env: dict[str, str]
) -> None:
    with Terminal(tmp_path / "b.db", BY_ROUNDS, width=80, height=24, env=env) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press("space", "space")
        terminal.wait_for("R I B")
        terminal.press("%")
        terminal.wait_for("Lay the tape")
        terminal.press("?")
        terminal.wait_for("At the needles")
        terminal.press("q")
        assert terminal.wait_end() == 0
        assert terminal.output.isascii()


@pytest.mark.parametrize("plain", [(), ("--plain",)])
def test_a_byte_that_is_no_letter_is_no_end(tmp_path: Path, plain: tuple[str, ...]) -> None:
    """As a terminal of another encoding sends it, or what was pasted has it."""
    basket = tmp_path / "b.db"
    with Terminal(basket, "knit", *plain, BY_ROUNDS, width=80, height=24) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press("space", "t")
        terminal.wait_for("enter keep it" if not plain else "Enter keeps it")
        terminal.send(b"Gr\xf6\xdfe \xff 3", b"\r")
        terminal.wait_for("Noted at cuff")
        terminal.press("q")
        assert terminal.wait_end() == 0
        assert "Kept: sock one, cuff round 1 of 22." in terminal.text
