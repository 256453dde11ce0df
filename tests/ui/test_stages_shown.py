"""The needles screen where a pattern is used up, and once the next stage was joined elsewhere."""

from __future__ import annotations

import re

import pytest

from tests.ui.driving import SAMPLES, Clock, app_of, begin, running, until
from tests.ui.test_nothing_cut import SIZES
from tests.ui.test_nothing_cut import shown as cut_shown
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_tables
from tracker.ui.sights import Scene

TWO = str(SAMPLES / "quay-steps-two.toml")


@pytest.fixture
def resting(basket: Basket) -> Session:
    """Sock one of the sample in stages at the end of its leg, on the day before the second is out."""
    clock = Clock()
    clock.at -= 2 * 86_400_000
    session = begin(basket, "quay-steps-one", clock)
    session.tick(10)
    session.tick(16)
    session.end()
    return session


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_the_card_says_until_when_and_what_rests(
    basket: Basket, resting: Session, size: tuple[int, int]
) -> None:
    app = app_of(basket, resting)
    async with app.run_test(size=size) as pilot:
        await until(pilot, app, "That is all until 12 March.")
        await until(pilot, app, "32 sts")
        await until(pilot, app, "Sock two: cast on (tab).")
        await pilot.press("space")
        await until(pilot, app, "append the next stage with instep append FILE")
        assert resting.glance.events == 4


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_what_another_terminal_appends_is_taken_in(
    basket: Basket, resting: Session, size: tuple[int, int]
) -> None:
    app = app_of(basket, resting)
    async with app.run_test(size=size) as pilot:
        await until(pilot, app, "That is all until 12 March.")
        with Basket.open(basket.path) as elsewhere:
            other = Session(elsewhere, elsewhere.find(None), Clock())
            other.append(open_tables(TWO))
        await until(pilot, app, "Knit N1, then turn.")
        assert "That is all until" not in running(app)
        await pilot.press("space")
        await until(pilot, app, "heel flap")
        with Basket.open(basket.path) as elsewhere:
            again = Session(elsewhere, elsewhere.find(None), Clock())
            again.undo()
            again.undo()
        await until(pilot, app, "That is all until 12 March.")


async def test_where_both_rest_only_the_day_stands_there(basket: Basket, resting: Session) -> None:
    resting.other()
    resting.tick(10)
    resting.tick(16)
    app = app_of(basket, resting)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, app, "both at rest, in step")
        assert "Sock one: " not in running(app)
        assert "weave" not in running(app)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("of_two", ["not begun", "in its leg", "at rest"])
@pytest.mark.parametrize("days", [0, 2, 400])
def test_nothing_of_it_is_cut(
    resting: Session, size: tuple[int, int], of_two: str, days: int
) -> None:
    """Before the day, on it, and a year later."""
    if of_two != "not begun":
        resting.tick(10, sock=2)
        resting.tick(7 if of_two == "in its leg" else 16, sock=2)
    glance = resting.glance
    assert glance.used_up is not None
    then = glance._replace(used_up=glance.used_up._replace(today=glance.used_up.today + days))
    other = None if of_two == "at rest" else resting.look(2)
    told = list(cut_shown(Scene(then, other=other), size))
    assert not [line for line in told if "..." in line], told
    beside = r"[▀▄█]|rounds of the leg"  # the number, where the card stands beside it
    whole = " ".join(re.sub(beside, "", " ".join(told)).split())
    assert ("12 March" if days < 300 else "12 March 2026") in whole
