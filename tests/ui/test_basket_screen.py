"""The basket on the screen: what its keys and the mouse do, and what it costs to open."""

from __future__ import annotations

import os
import re
import sqlite3
from pathlib import Path

import pytest

from tests.ui.driving import Clock, app_of, begin, shown, until
from tracker.session import Session
from tracker.storage.basket import Basket, BasketTrouble, NewPair, PairRow
from tracker.ui import basket_cards
from tracker.ui.commands import BASKET_COMMANDS
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import NeedlesScreen


def three(basket: Basket) -> list[Session]:
    """Three pairs, the last of them touched last."""
    sessions = [begin(basket, name) for name in ("low-tide", "harbour-pilot", "night-ferry")]
    for rounds, session in enumerate(sessions, start=2):
        session.tick(rounds)
    return sessions


def chosen(app: KnittingApp) -> str:
    """The line with the sign of the chosen card."""
    return next(line for line in shown(app).splitlines() if "\u25ba" in line)


async def test_the_last_touched_is_chosen_and_any_other_can_be(basket: Basket) -> None:
    three(basket)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "3 pairs")
        assert "Night ferry" in chosen(app)
        steps = {"down": "Harbour pilot", "end": "Low tide", "home": "Night ferry"}
        for key, title in (*steps.items(), ("pagedown", "Low tide"), ("up", "Harbour pilot")):
            await pilot.press(key)
            assert title in chosen(app), key
        await pilot.press("enter")
        await until(pilot, app, "cuff, 3 of")
        assert isinstance(app.screen, NeedlesScreen)


async def test_escape_goes_back_to_the_pair_she_comes_from_as_it_is_now(basket: Basket) -> None:
    sessions = three(basket)
    app = app_of(basket, sessions[0])
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("o")
        await until(pilot, app, "3 pairs")
        assert "Low tide" in chosen(app)
        with Basket.open(basket.path) as elsewhere:
            Session(elsewhere, elsewhere.find("low-tide"), Clock()).tick(3)
        await until(pilot, app, "cuff, 5 of")
        assert "Low tide" in chosen(app), "it has moved to the top, and is still the one chosen"
        await pilot.press("down", "escape")
        await until(pilot, app, "cuff, 5 of")
        assert isinstance(app.screen, NeedlesScreen)
        await pilot.press("space", "o")
        await until(pilot, app, "3 pairs")


async def test_without_a_pair_escape_says_so(basket: Basket) -> None:
    three(basket)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("escape")
        await until(pilot, app, "You come from no pair")
        await pilot.press("x")
        await until(pilot, app, "X does nothing here; ? says what the keys do")


async def test_put_away_brought_out_and_those_put_away(basket: Basket) -> None:
    three(basket)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("b")
        await until(pilot, app, "Nothing is put away")
        await pilot.press("p")
        await until(pilot, app, "a puts the pair that is chosen away")
        await pilot.press("a")
        await until(pilot, app, "Night ferry is put away; b brings it out again")
        assert [pair.short for pair in basket.pairs(away=True)] == ["night-ferry"]
        await pilot.press("b")
        await until(pilot, app, "Night ferry is in the basket")
        assert "Night ferry" in chosen(app)
        await pilot.press("down", "a", "p")
        await until(pilot, app, "put away 1 pair")
        assert "Harbour pilot" in chosen(app)
        await pilot.press("a")
        await until(pilot, app, "Only a pair of the basket is put away")
        await pilot.press("b")
        await until(pilot, app, "basket 3 pairs")
        assert not basket.pairs(away=True)


async def test_all_put_away_still_leaves_a_way_to_them(basket: Basket) -> None:
    session = begin(basket)
    basket.put_away(session.pair, True)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, app, "every pair is put away: p shows them")
        await pilot.press("p", "space")
        await until(pilot, app, "Cast on 64")


async def test_samples_are_there_also_when_the_basket_is_not_empty(basket: Basket) -> None:
    three(basket)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, app, "3 pairs")
        await pilot.press("s")
        await until(pilot, app, "A round to try")
        await pilot.press("end")
        await until(pilot, app, "a sample, half-way through sock two")
        await pilot.press("escape")
        await until(pilot, app, "3 pairs")
        await pilot.press("s", "end", "space")
        await until(pilot, app, "sock two, heel turn")
    assert len(basket.pairs()) == 4


async def test_the_key_that_closes_the_help_counts(basket: Basket) -> None:
    three(basket)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(40, 12)) as pilot:
        await until(pilot, app, "3 pairs")
        await pilot.press("question_mark")
        await until(pilot, app, "In the basket")
        await pilot.press("end")
        await until(pilot, app, "leave; everything is kept")
        await pilot.press("s")
        await until(pilot, app, "A round to try two minutes")
        await pilot.press("question_mark", "escape")
        await until(pilot, app, "A round to try two minutes")
        await pilot.press("question_mark", "q")
    assert app.return_code == 0


async def test_a_click_chooses_another_opens_and_the_wheel_scrolls(basket: Basket) -> None:
    for _ in range(6):
        begin(basket)
    three(basket)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "1 to 4 of 9 pairs")
        await pilot.click(offset=(50, 27))
        assert "Night ferry (night-ferry-6)" in chosen(app)
        await pilot.click(offset=(50, 34))  # below the cards: nothing
        await pilot._post_mouse_events([_scroll_down()], offset=(50, 12))
        await until(pilot, app, "2 to 5 of 9 pairs")
        assert "Night ferry (night-ferry-6)" in chosen(app)
        await pilot.click(offset=(50, 12))
        assert "Low tide" in chosen(app)
        await pilot.click(offset=(50, 12))
        await until(pilot, app, "cuff, 2 of")


def _scroll_down() -> type:
    from textual.events import MouseScrollDown

    return MouseScrollDown


async def test_what_other_programs_begin_put_away_and_knit_appears(basket: Basket) -> None:
    three(basket)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "3 pairs")
        with Basket.open(basket.path) as elsewhere:
            begin(elsewhere, "quay-steps-one")
            await until(pilot, app, "4 pairs")
            assert "Night ferry" in chosen(app), "what was chosen stays so"
            elsewhere.put_away(elsewhere.find("night-ferry"), True)
            await until(pilot, app, "basket 3 pairs")
            Session(elsewhere, elsewhere.find("low-tide"), Clock()).tick(4)
            await until(pilot, app, "cuff, 6 of")


def damage(basket: Basket, pair: PairRow) -> None:
    """Another hand in the file: an event is no longer what was recorded."""
    connection = sqlite3.connect(basket.path)
    connection.execute("DROP TRIGGER event_is_never_changed")
    connection.execute("UPDATE event SET data = '{}' WHERE pair = ? AND number = 2", (pair.id,))
    connection.commit()
    connection.close()


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (60, 20), (40, 12)])
async def test_a_damaged_pair_says_so_on_its_card_and_stops_nothing(
    basket: Basket, size: tuple[int, int]
) -> None:
    sessions = three(basket)
    damage(basket, sessions[2].pair)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=size) as pilot:
        await until(pilot, app, "event 2 of night-ferry is damaged")
        await until(pilot, app, "cuff, 3 of")
        await pilot.press("space")
        await until(pilot, app, "Event 2 of night-ferry is damaged")
        await pilot.press("down", "space")
        await until(pilot, app, "of 23")
        assert app.session is not None
        assert app.session.pair.short == "harbour-pilot"


def test_a_trouble_that_is_over_is_told_no_more(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin(basket)
    pair = basket.find(None)

    def fails(*_: object) -> None:
        raise BasketTrouble("the disk does not answer")

    cards = basket_cards.Cards(basket, Clock(step=0))
    monkeypatch.setattr(basket_cards, "Session", fails)
    assert cards.make(pair).trouble == "the disk does not answer"
    monkeypatch.setattr(basket_cards, "Session", Session)
    assert cards.known(pair) is not None
    cards.forget_troubles()
    assert cards.known(pair) is None
    assert cards.make(pair).title == session.glance.title


def many(basket: Basket, pairs: int) -> None:
    """So many pairs with the history of one."""
    session = begin(basket)
    session.tick(22)
    session.tick(3)
    rows, text = basket.rows(session.pair), basket.pattern_text(session.pair)
    summary = basket.find(None).summary
    with basket.alone():
        for number in range(pairs - 1):
            new = NewPair(f"pair-{number}", f"Pair {number}", text, "0" * 64, "rounds", summary)
            basket.bring_in(new, os.urandom(16), rows)


async def test_only_the_pairs_in_view_are_opened(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    many(basket, 1000)
    opened: list[str] = []

    def counted(of: Basket, pair: PairRow, clock: Clock) -> Session:
        opened.append(pair.short)
        return Session(of, pair, clock)

    monkeypatch.setattr(basket_cards, "Session", counted)
    app = KnittingApp(basket, None, Clock(step=0))
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "1 to 4 of 1 000 pairs")
        await pilot.press("end")
        await until(pilot, app, "997 to 1000 of 1 000 pairs")
        for _ in range(200):
            if shown(app).count(" to the end of both.") == 4:
                break
            await pilot.pause(0.02)
        assert shown(app).count(" to the end of both.") == 4
        await pilot.press("up", "down")
        await pilot.pause()
    assert 4 <= len(opened) <= 8
    assert len(set(opened)) == len(opened), "each of them once"


async def test_a_pair_that_cannot_be_shown_is_not_opened(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    three(basket)

    def fails(*_: object, **__: object) -> None:
        raise ValueError("no such row")

    monkeypatch.setattr("tracker.session.look", fails)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "night-ferry cannot be shown; instep check says")
        await pilot.press("space")
        await until(pilot, app, "Night-ferry cannot be shown; instep check says")
        assert not isinstance(app.screen, NeedlesScreen)


async def test_a_long_history_is_not_replayed_for_its_card(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    three(basket)
    monkeypatch.setattr(basket_cards, "LONG", 1)
    monkeypatch.setattr(basket_cards, "Session", None)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "2 acts, a long history: open it to see what is left")
        await until(pilot, app, "Sock one, cuff, 4 done.")
        await pilot.press("space")
        await until(pilot, app, "cuff, 4 of")


@pytest.mark.parametrize("size", [(30, 3), (20, 1), (200, 60), (36, 8), (8, 2)])
async def test_it_opens_at_any_size(basket: Basket, size: tuple[int, int]) -> None:
    three(basket)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=size) as pilot:
        await pilot.press("down", "space")
        for _ in range(100):
            if isinstance(app.screen, NeedlesScreen):
                break
            await pilot.pause(0.02)
        assert isinstance(app.screen, NeedlesScreen)
        assert app.session is not None
        assert app.session.pair.short == "harbour-pilot"


def test_the_readme_names_every_key() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    table = readme.partition("| key | does in the basket |")[2].partition("\n\n")[0]
    rows = [row.split("|")[1] for row in table.splitlines() if row.startswith("|")]
    named = {key.strip() for row in rows for key in re.split("[,;] ?", row)}
    keys = {"esc" if key == "escape" else key for one in BASKET_COMMANDS for key in one.keys}
    assert keys == named - {"---"}
