"""The plan screen: blanks are filled in, the plan is kept, and the pair is at the needles."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.ui.driving import Clock, until
from tests.ui.filling import MINE, class_text
from tracker.session import source_of
from tracker.storage.basket import Basket
from tracker.storage.files import FileTrouble
from tracker.storage.pattern_file import open_file
from tracker.storage.plan_file import LeftOpen
from tracker.ui.commands import PLAN_COMMANDS, spoken
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.plan_screen import PlanScreen


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def class_app(basket: Basket) -> KnittingApp:
    """A class file opened on a terminal."""
    Path("class.toml").write_text(class_text(), encoding="utf-8")
    with pytest.raises(FileTrouble) as caught:
        open_file("class.toml")
    assert isinstance(caught.value, LeftOpen)
    return KnittingApp(basket, None, Clock(), caught.value)


async def told(pilot: Pilot[None]) -> None:
    """Foot and gauge, one after the other."""
    for text in MINE.values():
        await pilot.press(*("space" if letter == " " else letter for letter in text), "tab")


async def test_a_class_file_is_filled_in_kept_and_knitted(basket: Basket) -> None:
    app = class_app(basket)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, app, "heel to longest toe")
        await told(pilot)
        await until(pilot, app, "cast on")
        await until(pilot, app, "10 416 stitches a sock")
        await pilot.press("tab")
        await until(pilot, app, "enter keeps the plan in night-ferry.toml and starts the pair")
        await pilot.press("enter")
        await until(pilot, app, "Cast on 64")
        assert isinstance(app.screen, NeedlesScreen)
    assert Path("class.toml").read_text(encoding="utf-8") == class_text()
    assert open_file("night-ferry.toml").pattern.numbers.cast_on == 64
    assert basket.started_from(source_of(Path("night-ferry.toml").read_bytes())) is not None


async def test_a_file_that_is_there_is_replaced_only_when_asked_twice(basket: Basket) -> None:
    Path("mine.toml").write_text("# mine\n", encoding="utf-8")
    app = class_app(basket)
    async with app.run_test(size=(80, 24)) as pilot:
        await told(pilot)
        await pilot.press(*"mine", "tab", "enter")
        await until(pilot, app, "mine.toml: this file is there already; enter once more")
        await pilot.press("up", "tab", "enter")
        await until(pilot, app, "mine.toml: this file is there already; enter once more")
        assert Path("mine.toml").read_text(encoding="utf-8") == "# mine\n"
        assert not basket.pairs()
        await pilot.press("enter")
        await until(pilot, app, "Cast on 64")
    assert open_file("mine.toml").pattern.title == "Night ferry"


async def test_the_class_file_itself_is_never_written_over(basket: Basket) -> None:
    app = class_app(basket)
    async with app.run_test(size=(80, 24)) as pilot:
        await told(pilot)
        await pilot.press(*"class", "tab", "enter", "enter", "enter")
        await until(pilot, app, "this is the file it is made from; name another")
    assert Path("class.toml").read_text(encoding="utf-8") == class_text()
    assert not basket.pairs()


async def test_a_place_where_nothing_can_be_kept_is_said(basket: Basket) -> None:
    app = class_app(basket)
    async with app.run_test(size=(80, 24)) as pilot:
        await told(pilot)
        await pilot.press(*"nowhere", "slash", "x", "tab", "enter")
        await until(pilot, app, "nowhere/x.toml: it cannot be written: no such file or directory")
        assert isinstance(app.screen, PlanScreen)
    assert not basket.pairs()


async def test_it_is_not_started_before_all_is_told(basket: Basket) -> None:
    app = class_app(basket)
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.press(*"24.5", "space", *"cm", "up")
        await until(pilot, app, "not yet: still open: around the foot")
        await pilot.press("enter")
        await until(pilot, app, "around the ball of the foot")
    assert not basket.pairs()
    assert sorted(path.name for path in Path().glob("*.toml")) == ["class.toml"]


async def test_escape_asks_once_where_something_is_typed(basket: Basket) -> None:
    app = class_app(basket)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2", "escape")
        await until(pilot, app, "esc once more leaves it")
        await pilot.press("4")
        await until(pilot, app, '"24" has no unit')
        await pilot.press("escape", "escape")
        await pilot.pause()
    assert app.return_code == 0
    assert app.session is None


async def test_a_new_pair_from_the_basket(basket: Basket) -> None:
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "n new pair")
        await pilot.press("n")
        await until(pilot, app, "A new pair plan")
        await pilot.press("escape")
        await until(pilot, app, "n new pair")
        await pilot.press("N")
        await until(pilot, app, "heel to longest toe")
        await told(pilot)
        await until(pilot, app, "9.6 % smaller than the foot")
        await pilot.press("tab", "right")
        await until(pilot, app, "a set of four")
        await until(pilot, app, "16 / 32 / 16")
        await to(pilot, app, "title")
        await pilot.press(*"Moor", "space", *"hen")
        await until(pilot, app, "keep it in moor-hen.toml")
        await pilot.press("up", *["tab"] * 4, "enter")
        await until(pilot, app, "Cast on 64")
    assert app.session is not None
    assert app.session.glance.title == "Moor hen"
    assert open_file("moor-hen.toml").pattern.needle_set == "four"


async def to(pilot: Pilot[None], app: KnittingApp, place: str) -> None:
    """Tab as far as that blank."""
    screen = app.screen
    assert isinstance(screen, PlanScreen)
    for _ in screen.filling.blanks:
        blank = screen.filling.blank
        if blank is not None and blank.place == place:
            return
        await pilot.press("tab")
    raise AssertionError(f"no blank {place}")


async def test_what_is_pasted_is_letters_of_the_blank(basket: Basket) -> None:
    from textual.events import Paste

    app = class_app(basket)
    async with app.run_test(size=(80, 24)) as pilot:
        app.screen.post_message(Paste("24.5\n cm"))
        await until(pilot, app, "24.5 cm")
        await pilot.press("pagedown", "pageup", "tab")
        await until(pilot, app, "around the ball of the foot")


def test_the_readme_names_every_key() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    table = readme.partition("| key | does on the plan |")[2].partition("\n\n")[0]
    keys = {key for row in table.splitlines() for key in re.split("[,;|] ?", row.strip(" |"))}
    named = {key.strip() for key in keys}
    for command in PLAN_COMMANDS:
        for key in command.keys:
            assert {"escape": "esc"}.get(key, spoken(key)) in named, key
