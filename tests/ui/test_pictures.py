"""Every screen as a picture, one a screen and size: looked at once, kept, and compared for ever after.

They stand in README, too. After a change that is meant: `PICTURES=anew pytest tests/ui/test_pictures.py`,
then look at each picture that changed.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from textual.pilot import Pilot

from tests.ui.driving import Clock, begin, knit, shown, until
from tracker.packing import unpack
from tracker.samples import samples
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.basket import Basket
from tracker.ui.basket_screen import BasketScreen
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import NeedlesScreen

PICTURES = Path(__file__).parent / "pictures"
ANEW = os.environ.get("PICTURES") == "anew"


def drawn(app: KnittingApp, title: str) -> str:
    """The screen as a picture that is the same every time, and takes no font from elsewhere."""
    svg = app.export_screenshot(title=title)
    svg = re.sub(r"@font-face \{.*?\}", "", svg, flags=re.DOTALL)
    return re.sub(r"\bterminal-\d+-", "terminal-", svg).replace("\r\n", "\n")


class Seen(NamedTuple):
    """A screen: how far the pair is, which keys lead to it, and what stands there when it is drawn."""

    name: str
    size: tuple[int, int]
    pair: Callable[[Basket, Clock], Session]
    keys: tuple[str, ...]
    shows: str
    settings: Settings = Settings()


def leg(basket: Basket, clock: Clock) -> Session:
    """In the leg of a striped pair, counted needle by needle, with a reading."""
    session = begin(basket, "low-tide", clock)
    session.tick(16)
    session.tick(12)
    session.measure("7.1")
    session.tick(5)
    return session


def heel(basket: Basket, clock: Clock) -> Session:
    session = begin(basket, "night-ferry", clock)
    knit(session, lambda place: place.kind == "turn")
    session.tick(4)
    return session


def gusset(basket: Basket, clock: Clock) -> Session:
    session = begin(basket, "night-ferry", clock)
    knit(session, lambda place: place.kind == "gusset")
    session.tick(9)
    return session


def packed(basket: Basket, clock: Clock) -> Session:
    """The sample that is half-way through sock two."""
    (pack,) = (path for path in samples() if path.suffix == ".pack")
    return unpack(basket, str(pack), clock).session


def finished(basket: Basket, clock: Clock) -> Session:
    session = begin(basket, "night-ferry", clock)
    knit(session, lambda place: place.finished)
    session.other()
    knit(session, lambda place: place.finished)
    return session


LIGHT, CONTRAST = Settings(look="light"), Settings(look="high contrast")
PLAIN = Settings(glyphs="plain")
SEEN = (
    Seen("needles-120x36", (120, 36), leg, ("space",), "needle 2 of 4"),
    Seen("needles-80x24", (80, 24), leg, ("space",), "needle 2 of 4"),
    Seen("needles-60x20", (60, 20), leg, ("space",), "then N3"),
    Seen("needles-40x12", (40, 12), leg, ("space",), "then N3"),
    Seen("needles-light-120x36", (120, 36), leg, ("space",), "needle 2 of 4", LIGHT),
    Seen("needles-high-contrast-120x36", (120, 36), leg, ("space",), "needle 2 of 4", CONTRAST),
    Seen("end-of-round-120x36", (120, 36), leg, (), "all 4 needles done"),
    Seen("end-of-round-40x12", (40, 12), leg, (), "of round 17"),
    Seen("end-of-round-60x20", (60, 20), leg, (), "next round 18 plain"),
    Seen("decrease-round-60x20", (60, 20), gusset, (), "22>21"),
    Seen("heel-turn-light-60x20", (60, 20), heel, (), "row 5", LIGHT),
    Seen("decrease-round-120x36", (120, 36), gusset, (), "22>21"),
    Seen("decrease-round-80x24", (80, 24), gusset, (), "22>21"),
    Seen("plain-120x36", (120, 36), leg, ("space",), "needle 2 of 4", PLAIN),
    Seen("plain-40x12", (40, 12), gusset, (), "D E C", PLAIN),
    Seen("heel-turn-120x36", (120, 36), heel, (), "row 5"),
    Seen("finished-120x36", (120, 36), finished, (), "of 2 socks"),
    Seen("large-80x24", (80, 24), leg, ("plus",), "next 18 plain"),
    Seen("side-by-side-120x36", (120, 36), packed, (";",), "Side by side"),
    Seen("journal-80x24", (80, 24), packed, ("j",), "Second watch"),
    Seen("pattern-120x36", (120, 36), leg, (">",), "Pattern"),
    Seen("plots-120x36", (120, 36), leg, ("%",), "Minutes a round"),
    Seen("settings-80x24", (80, 24), leg, ("asterisk",), "the colours of the screen"),
    Seen("help-80x24", (80, 24), leg, ("?",), "At the needles"),
    Seen("basket-120x36", (120, 36), packed, ("o",), "1 pair"),
    Seen("basket-40x12", (40, 12), packed, ("o",), "Second watch"),
    Seen("plan-120x36", (120, 36), packed, ("o", "n"), "A pair for a foot"),
)


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("INSTEP_SETTINGS", "settings.toml")  # whose path is shown


async def until_drawn(pilot: Pilot[None], app: KnittingApp) -> None:
    """Wait until what is drawn after the text is there, too: both socks, and every card in view."""
    for _ in range(200):
        await pilot.pause(0.02)
        screen = app.screen
        waits = isinstance(screen, NeedlesScreen) and screen._soon is not None
        lacks = isinstance(screen, BasketScreen) and screen._missing() is not None
        if not (waits or lacks):
            return
    raise AssertionError("never drawn")


@pytest.mark.parametrize("seen", SEEN, ids=[seen.name for seen in SEEN])
async def test_a_screen_looks_as_it_did(
    basket: Basket, seen: Seen, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock()
    session = seen.pair(basket, clock)
    clock.step = 0  # the same time, however often the screen looks at it
    app = KnittingApp(basket, session, clock, settings=seen.settings)
    quiet: Any = lambda *_: None  # noqa: E731
    monkeypatch.setattr("tracker.ui.needles_screen.NeedlesScreen._be_quiet_after", quiet)
    async with app.run_test(size=seen.size) as pilot:
        for key in seen.keys:
            await pilot.press(key)
        await until(pilot, app, seen.shows)
        await until_drawn(pilot, app)
        found = drawn(app, f"instep, {seen.name}")
        assert shown(app).isascii() or seen.settings is not PLAIN
    file = PICTURES / f"{seen.name}.svg"
    if ANEW:
        file.write_text(found, encoding="utf-8")
    assert found == file.read_text(encoding="utf-8"), f"{seen.name} looks otherwise than {file}"


def test_no_picture_is_left_over() -> None:
    assert {file.stem for file in PICTURES.iterdir()} == {seen.name for seen in SEEN}


def test_the_readme_shows_no_picture_that_is_not_there() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"\]\(tests/ui/pictures/([\w-]+)\.svg\)", readme)
    assert len(shown) >= 6
    assert set(shown) <= {seen.name for seen in SEEN}
    assert all((PICTURES / f"{name}.svg").is_file() for name in shown)
