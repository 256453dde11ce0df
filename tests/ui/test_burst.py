"""Keys that wait for each other: ticks among them are kept together, before any of them is painted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from textual import events
from textual.pilot import Pilot

from tests.ui.driving import Clock, app_of, begin, knit, until
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.basket import Basket, BasketBusy, BasketTrouble
from tracker.ui.app import run
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import TRIES, NeedlesScreen


async def reached(pilot: Pilot[None], state: Callable[[], bool]) -> None:
    """Wait for a state, not for a time."""
    for _ in range(500):
        if state():
            return
        await pilot.pause(0.02)
    raise AssertionError("never reached")


def at_once(app: KnittingApp, keys: str) -> None:
    """Keys that wait for each other, as those of a burst do."""
    named = {" ": "space", "\t": "tab", "\b": "backspace"}
    for key in keys:
        app.post_message(events.Key(named.get(key, key), key))


def kinds(basket: Basket) -> str:
    """The events of the pair by their first letters, without its beginning."""
    return "".join(event.kind[0] for event in basket.events(basket.find(None)))[1:]


async def test_ticks_that_wait_for_each_other_share_transactions_and_every_one_counts(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin(basket)
    app, transactions = app_of(basket, session), list[int]()
    record = Basket.record

    def counted(*told: Any) -> Any:
        found = record(*told)
        transactions.append(len(found[1]))
        return found

    monkeypatch.setattr(Basket, "record", counted)
    async with app.run_test(size=(80, 24)) as pilot:
        at_once(app, " " * 60)
        await reached(pilot, lambda: session.glance.events == 61)
    assert kinds(basket) == "t" * 60
    assert sum(transactions) == 60
    assert len(transactions) <= 10, transactions
    again = Session(basket, basket.find(None), Clock())
    assert again.state.socks == session.state.socks
    times = [event.at for event in basket.events(basket.find(None))]
    assert times == sorted(times)


async def test_keys_of_a_burst_keep_their_order(basket: Basket) -> None:
    session = begin(basket)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        at_once(app, "   \b  2 \t  \t n    q")
        await reached(pilot, lambda: app._exit)
    assert kinds(basket) == "tttutttottottttt"
    rounds = [event.data.get("rounds") for event in basket.events(basket.find(None))]
    assert rounds[7] == 2, "figures go with the tick behind them"
    needles = [event.data.get("needles") for event in basket.events(basket.find(None))]
    assert needles[-4:] == [1, 1, 1, 1]


async def test_of_a_burst_past_the_end_what_fits_is_counted_and_the_rest_is_refused(
    basket: Basket,
) -> None:
    session = begin(basket)
    knit(session, lambda place: place.section == "toe" and place.done == 17)
    app, before = app_of(basket, session), session.glance.events
    async with app.run_test(size=(120, 36)) as pilot:
        at_once(app, " " * 30)
        await until(pilot, app, "nothing is left to count")
        assert session.glance.place.finished
    assert session.glance.events == before + 4


async def test_of_a_burst_that_cannot_be_kept_nothing_is_shown_as_kept(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin(basket)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        with monkeypatch.context() as failing:
            failing.setattr(Basket, "_commit", _no_room)
            at_once(app, " " * 20)
            await until(pilot, app, "! not kept")
            await until(pilot, app, "the last 20 keys were not counted")
            assert (session.glance.place.done, session.glance.events) == (0, 1)
        at_once(app, " " * 3)
        await reached(pilot, lambda: session.glance.place.done == 3)


def _no_room(basket: Basket) -> None:
    raise BasketTrouble("the disk is full and nothing was recorded")


async def test_a_key_held_down_in_a_burst_is_asked_about(basket: Basket) -> None:
    """Each tick has the time of its key, however long the keeping of those before it took."""
    session = begin(basket, clock=Clock(step=2))
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        at_once(app, " " * 9)
        await until(pilot, app, "was the key held down?")
        await reached(pilot, lambda: session.glance.events == 10)
        assert session.state.run == 9


BUSY = (
    "the basket is busy: another program is writing to it; the key was not counted, press it again"
)


def failing(monkeypatch: pytest.MonkeyPatch, *calls: int) -> list[int]:
    """Another program is in the way of just these tries to record, counted from 1."""
    record, tried = Basket.record, list[int]()

    def busy(*told: Any) -> Any:
        tried.append(len(tried) + 1)
        if tried[-1] in calls:
            raise BasketBusy(BUSY)
        return record(*told)

    monkeypatch.setattr(Basket, "record", busy)
    return tried


async def test_of_a_burst_that_another_program_is_in_the_way_of_none_is_lost_without_a_word(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing behind the first that is not kept is tried: those that are lost are the last."""
    session = begin(basket)
    app = app_of(basket, session)
    failing(monkeypatch, 1, 4)  # the bundle, and the third by itself
    async with app.run_test(size=(120, 36)) as pilot:
        at_once(app, " " * 10)
        await until(pilot, app, "the last 8 keys were not counted")
        assert session.glance.events == 3
        screen = app.screen
        assert isinstance(screen, NeedlesScreen)
        assert "press it" not in screen._not_kept
        await reached(pilot, lambda: not screen._goes_on_behind)
        await pilot.press("space")
        await reached(pilot, lambda: session.glance.events == 4)
        await reached(pilot, lambda: not screen._not_kept)


async def test_a_success_within_the_same_burst_does_not_hide_what_was_lost(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin(basket)
    app = app_of(basket, session)
    failing(monkeypatch, 1, 2)
    async with app.run_test(size=(120, 36)) as pilot:
        at_once(app, " " * 10 + "u" + " " * 2)
        await reached(pilot, lambda: session.glance.events > 1)
        await until(pilot, app, "keys were not counted")


@pytest.mark.parametrize("tries", [2, TRIES])
async def test_ticks_that_wait_when_she_leaves_are_tried_again_and_what_is_lost_is_said(
    basket: Basket, monkeypatch: pytest.MonkeyPatch, tries: int
) -> None:
    session = begin(basket)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        screen = app.screen
        assert isinstance(screen, NeedlesScreen)
        failing(monkeypatch, *range(1, tries + 1))
        screen._ticks = [session.now()] * 5
        app.exit()
        await reached(pilot, lambda: app._exit)
    kept = tries < TRIES
    assert session.glance.events == (6 if kept else 1)
    assert [line.partition(":")[0] for line in app.not_kept] == (
        [] if kept else ["the last 5 keys were not counted"]
    )


def test_what_was_lost_is_said_when_the_screen_is_gone(
    basket: Basket, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def left(app: KnittingApp) -> None:
        app.not_kept.append(f"the last 5 keys were not counted: {BUSY}")

    monkeypatch.setattr(KnittingApp, "run", left)
    assert run(basket, begin(basket), Settings()) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[0].startswith("not kept: the last 5 keys were not counted: the basket is busy")
    assert len(said) == 2
