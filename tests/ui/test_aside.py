"""Screens she looks at aside from her knitting: no key for the needles is lost behind them."""

from __future__ import annotations

import pytest

from tests.ui.driving import Clock, app_of, until
from tracker.keys import DEFAULT
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.basket import Basket
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import NeedlesScreen


@pytest.mark.parametrize("opens", ["j", ";", ">", "%"])
@pytest.mark.parametrize("key", ["space", "enter"])
async def test_a_tick_is_never_lost(basket: Basket, session: Session, opens: str, key: str) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(opens, key, key)
        await until(pilot, app, "of about 46")
        assert session.glance.place.done == 11


@pytest.mark.parametrize("act", ["history", "side", "pattern", "plots", "settings", "help"])
async def test_the_key_that_opened_it_goes_back_and_its_old_key_does_what_she_set(
    basket: Basket, session: Session, act: str
) -> None:
    """Her own keys hold here, too: that out of the box is no longer one of this screen's."""
    was = DEFAULT[act][0]
    own = Settings(own_keys={act: ("f5",), "tick": (was,)})
    app = KnittingApp(basket, session, Clock(), settings=own)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, app, "round 10")
        for closes, done in (("f5", 9), (was, 10)):
            await pilot.press("f5")
            await pilot.pause()
            assert not isinstance(app.screen, NeedlesScreen)
            await pilot.press(closes)
            await pilot.pause()
            assert isinstance(app.screen, NeedlesScreen)
            assert session.glance.place.done == done


@pytest.mark.parametrize("opens", ["j", ";", ">", "%", "asterisk", "?"])
async def test_a_pedal_counts_where_its_key_would_turn_a_page(
    basket: Basket, session: Session, opens: str
) -> None:
    own = Settings(own_keys={"tick": ("space", "page down")})
    app = KnittingApp(basket, session, Clock(), settings=own)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(opens, "pagedown", "pagedown")
        await until(pilot, app, "of about 46")
        assert session.glance.place.done == 11
