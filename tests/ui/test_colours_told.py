"""Colours told otherwise at the needles: with figures, in words, and at the cast-on."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ui.driving import Clock, app_of, knit, lines, shown, until
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file

SIZES = [(120, 36), (80, 24), (60, 20), (40, 12)]
SAMPLE = Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"


@pytest.fixture
def session(basket: Basket, tmp_path: Path) -> Session:
    plan = tmp_path / "striped.toml"
    stripes = '[colours]\nleg = ["navy 9", "cream 3", "rust 2"]\n'
    plan.write_text(f"{SAMPLE.read_text(encoding='utf-8')}\n{stripes}", encoding="utf-8")
    return Session.start(basket, open_file(str(plan)), Clock())


def to_leg(session: Session, done: int) -> None:
    knit(session, lambda place: place.kind == "leg" and place.done == done)


@pytest.mark.parametrize("size", SIZES)
async def test_a_forgotten_change_with_figures_and_the_later_stripes_left(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    to_leg(session, 11)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("2", "number_sign")
        await until(pilot, app, "Cream 2 rounds late")
        await until(pilot, app, "change to cream")
        colour = session.glance.colour
        assert colour is not None
        assert (colour.name, colour.position, colour.then, colour.when) == (
            "cream",
            1,
            "rust",
            3,
        )
        await pilot.press("0", "number_sign")
        await until(pilot, app, "Cream 2 rounds late, the")
        colour = session.glance.colour
        assert colour is not None
        assert (colour.name, colour.position, colour.then, colour.when) == (
            "cream",
            3,
            "rust",
            1,
        )
        await pilot.press("backspace", "backspace", "space")
        assert session.glance.place.done == 12, "nothing stands between her and the next round"


@pytest.mark.parametrize("size", SIZES)
async def test_a_colour_in_words_and_what_cannot_be(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    to_leg(session, 4)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("number_sign", *"rust 9", "enter")
        await until(pilot, app, "Rust has 2 rounds")
        await pilot.press("backspace", "1", "enter")
        await until(pilot, app, "Rust, 1 of 2, from leg round 5")
        await until(pilot, app, "change to rust")
        await pilot.press("number_sign", "space")
        assert session.glance.place.done == 5, "space is a round on an empty line"


async def test_figures_that_are_no_late_change_are_answered_as_they_are_typed(
    basket: Basket, session: Session
) -> None:
    to_leg(session, 4)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("9", "number_sign")
        await until(pilot, app, "type 1 # to 4 #")
        await pilot.press("0", "number_sign")
        await until(pilot, app, "no colour was told on this sock")


@pytest.mark.parametrize("size", SIZES)
async def test_the_place_of_the_ball_is_on_the_other_socks_card(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("number_sign", *"navy 5", "enter")
        await until(pilot, app, "all at navy, 5 of 9")
        await pilot.press("tab")
        await pilot.pause()
        await until(pilot, app, "navy, 5 of 9")
        assert "sock two" in shown(app)
        assert lines(app)
