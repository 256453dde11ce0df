"""Screens she looks at aside from her knitting: no key for the needles is lost behind them."""

from __future__ import annotations

import pytest

from tests.ui.driving import app_of, until
from tracker.session import Session
from tracker.storage.basket import Basket


@pytest.mark.parametrize("opens", ["j", ";", ">", "%"])
@pytest.mark.parametrize("key", ["space", "enter"])
async def test_a_tick_is_never_lost(basket: Basket, session: Session, opens: str, key: str) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(opens, key, key)
        await until(pilot, app, "of about 46")
        assert session.glance.place.done == 11
