"""What is loaded before the first picture, counted in a fresh process: she waits for all of it.

How long that takes is for tests/benchmarks/at_terminal.py.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from textual._compositor import CompositorUpdate
from textual.screen import Screen

from tests.knitting.knitter import SAMPLE
from tests.ui.driving import Clock, begin
from tracker.clock import now
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file
from tracker.ui.knitting_app import KnittingApp

FIRST_PICTURE = """
import sys
from pathlib import Path
import tracker.quick_check, tracker.cli, tracker.commands.at_needles
import asyncio
from tracker.clock import now
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.basket import Basket
from tracker.ui import needles_screen, terminal_driver
from tracker.ui.knitting_app import KnittingApp

needles_screen.DRAWN_AFTER = 3600.0  # what is done a moment after the picture is not before it

async def start():
    with Basket.open(Path(sys.argv[1])) as basket:
        session = Session(basket, basket.find(None), now)
        session.look()
        async with KnittingApp(basket, session, now, settings=Settings()).run_test(size=(120, 36)):
            print(*sys.modules)

asyncio.run(start())
"""
MOST = 133
"""Modules of ours that a first picture may load: each costs a third of a millisecond and more."""
FOR_LATER = {
    f"tracker.{name}"
    for name in (
        "counted", "answers", "place_words", "count_brief", "stage_words", "rest_words", "change_words",
        "ask_words",
        "drawing", "side_by_side", "knitting.decide", "knitting.rule_words", "knitting.past",
        "knitting.hanging", "knitting.asking", "knitting.growing", "knitting.borders", "pattern.joining",
        "pattern.kept", "pattern.feet", "pattern.mirror", "pattern.repeat", "pattern.plan", "pattern.counts",
        "pattern.sections", "storage.pack", "storage.plan_file", "commands.left", "ui.writing", "ui.bell",
        "cards", "toe_up_cards", "forecast.as_far", "forecast.rescues", "knitting.repair",
        "pattern.phase", "ui.three_lines", "ui.large_count", "ui.sock_drawing", "ui.next_key",
        "ui.basket_screen", "ui.help_screen", "ui.find", "plots",
    )
}  # fmt: skip
FOR_A_KEY = {
    f"tracker.{name}"
    for name in (
        "answers", "ask_words", "cards", "change_words", "count_brief", "counted", "rest_words",
        "stage_words", "place_words", "forecast.as_far", "forecast.rescues", "knitting.repair",
        "pattern.phase", "knitting.asking", "knitting.borders", "knitting.decide", "knitting.growing",
        "knitting.hanging", "knitting.past", "pattern.kept", "pattern.ribs", "ui.bell", "ui.large_count",
        "ui.three_lines", "ui.writing",
    )
}  # fmt: skip
"""What acts and their words need: a program replaced while she knits is not read a part at a time."""
NEVER = {
    "secrets",
    "shlex",
    "tomli_w",
    "importlib.metadata",
}


def printed(code: str, *words: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=True
    )
    return set(done.stdout.split())


def test_few_modules_are_loaded_before_the_first_picture(tmp_path: Path) -> None:
    path = tmp_path / "basket.db"
    with Basket.open(path) as basket:
        Session.start(basket, open_file(str(SAMPLE)), now).tick(30)
    loaded = printed(FIRST_PICTURE, str(path))
    ours = {name for name in loaded if name.split(".")[0] == "tracker"}
    assert {"tracker.ui.needles_screen", "tracker.session", "textual.app"} <= loaded
    assert sorted(loaded & (FOR_LATER | NEVER)) == []
    assert len(ours) <= MOST, sorted(ours)


def test_what_a_key_needs_is_loaded_once_the_picture_stands() -> None:
    loaded = printed("import sys, tracker.ui.next_key; print(*sys.modules)")
    assert sorted(FOR_A_KEY - loaded) == []


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12), (30, 3)])
@pytest.mark.parametrize("look", ["dark", "light"])
async def test_the_first_thing_painted_is_the_whole_picture(
    basket: Basket, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int], look: str
) -> None:
    """Never a blank page before it; nor is anything styled twice, but by her theme from the first."""
    session = begin(basket)
    session.tick(30)
    app = KnittingApp(basket, session, Clock(), settings=Settings().with_value("look", look))
    painted, parsed = list[str](), list[None]()

    def painting(self: KnittingApp, screen: Screen[None], picture: object) -> None:
        if isinstance(picture, CompositorUpdate):
            painted.append(picture.render_segments(self.console))

    def parsing(*_: object, **__: object) -> None:
        parsed.append(None)

    monkeypatch.setattr(KnittingApp, "_display", painting)
    monkeypatch.setattr(KnittingApp, "refresh_css", parsing)
    async with app.run_test(size=size) as pilot:
        while not painted:
            await pilot.pause()
        shown = app.theme, set(app.classes), app.current_theme.dark, dict(app.stylesheet._variables)
        assert (app.theme, parsed) == (f"instep-{look}", [])
        assert app.screen.styles.background.hex.lower() == app.theme_variables["page"].lower()
        assert "leg" in painted[0].lower()
        monkeypatch.undo()
        app._watch_theme(app.theme)
        await pilot.pause()
        again = app.theme, set(app.classes), app.current_theme.dark, dict(app.stylesheet._variables)
        assert again == shown
