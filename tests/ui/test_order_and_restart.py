"""The order of work and a sock begun again, by one key each."""

from __future__ import annotations

import pytest

from tests.ui.driving import app_of, begin, until
from tracker.session import Session
from tracker.storage.basket import Basket


async def test_the_key_steps_through_the_orders_that_these_needles_hold(
    basket: Basket, session: Session
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("&")
        await until(pilot, app, "section by section")
        assert session.state.order.told == "section by section"
        await pilot.press("&")
        await until(pilot, app, "one, then the other")
        told = session.state.order.told
        assert told == "one, then the other", "double-pointed needles do not hold both socks"
        await pilot.press("1", "0", "&")
        await until(pilot, app, "every 10 rounds")
        assert session.state.order.told == "every 10 rounds"
        await pilot.press("&")
        await until(pilot, app, "one, then the other")
        await pilot.press("0", "&")
        await until(pilot, app, "is no order of work")


@pytest.mark.parametrize("between", ["", "space", "m"])
async def test_a_sock_is_begun_again_only_where_the_key_comes_twice(
    basket: Basket, session: Session, between: str
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("!")
        await until(pilot, app, "! again: sock one is begun again, and its past is kept")
        if between:
            await pilot.press(between, "!")
            await until(pilot, app, "! again: sock one is begun again")
            assert session.glance.place.begun
            return
        await pilot.press("!")
        await until(pilot, app, "Cast on 64")
        assert not session.glance.place.begun
        await pilot.press("backspace")
        await until(pilot, app, "leg, 9 of 46")


async def test_what_is_not_begun_cannot_be_begun_again(basket: Basket) -> None:
    app = app_of(basket, begin(basket))
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("!")
        await until(pilot, app, "is not begun, so there is nothing to begin again")
