"""The README's first pair, key by key: from its first command to a counted round, and to her own sock."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.terminal.driver import Terminal
from tracker.samples import samples
from tracker.storage.basket import Basket

MINE = ("26 cm", "24 cm", "34", "48", "10 cm")
"""Her foot and the way around it, stitches and rounds of her swatch, and over how much they were counted."""


def test_the_six_steps(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the sample that the first command left in the basket."""
    monkeypatch.chdir(tmp_path)
    sample = next(path for path in samples() if path.suffix == ".pack")
    with Terminal(tmp_path / "b.db", str(sample), width=80, height=24) as terminal:
        terminal.wait_for("Second watch")
        terminal.press("q")
        assert terminal.wait_end() == 0
    with Terminal(tmp_path / "b.db", width=80, height=24) as terminal:
        terminal.wait_for("1 pair")
        terminal.press("t")
        terminal.wait_for("1 of 9: A pair to try")
        terminal.press("space")
        terminal.wait_for("2 of 9: The band turned over")
        terminal.press("escape")
        terminal.wait_for("1 pair")
        terminal.press("n")
        terminal.wait_for("heel to longest toe")
        for text in MINE:
            terminal.press(*text, "tab")
        terminal.wait_for("= 1.4 rounds to a stitch")
        terminal.press(*["\x1b[A"] * 6)
        terminal.wait_for("not yet: still open: the name")
        terminal.press("enter")
        terminal.wait_for("what you call the pair")
        terminal.press(*"Mine", "tab", "tab", "tab")
        terminal.wait_for("enter keeps the plan in mine.toml")
        terminal.press("enter")
        terminal.wait_for("Cast on 72")
        terminal.press("space", "backspace", "space")
        terminal.wait_for("round 2")
        for keys, told in [
            ("24 ", "one, leg"),
            ("20 ", "round 21"),
            ("9.4m", "again"),
            ("e", "heel set-up"),
        ]:
            terminal.press(*keys)
            terminal.wait_for(told)
        terminal.press("tab")
        terminal.wait_for("sock two")
        terminal.wait_for("Cast on 72")
        terminal.press("q")
        assert terminal.wait_end() == 0
    assert (tmp_path / "mine.toml").exists()
    with Basket.open(tmp_path / "b.db") as basket:
        mine, sample_pair = basket.pairs()
        assert (mine.title, sample_pair.title) == ("Mine", "Second watch")
        kinds = [event.kind for event in basket.events(mine)]
        assert [kind for kind in kinds if kind not in ("started", "tick")] == [
            "undo", "measure", "end", "other",
        ]  # fmt: skip
