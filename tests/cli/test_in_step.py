"""In step or what differs, in one word, wherever the pair is shown; the JSON stays what it is."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import Instep
from tests.ui.driving import app_of, until
from tracker.session import Session
from tracker.storage.basket import Basket, Stamp


def legs(pair: Instep, one: int, two: int) -> None:
    """Sock two is at `two` of its leg when sock one ends at `one`; then it ends, too."""
    pair.ok("tick", str(22 + two), "--sock", "2")
    pair.ok("tick", str(22 + one))
    pair.ok("end")
    if two > one:
        pair.ok("end", "--sock", "2")


def test_what_differs_is_said_by_left_and_basket_and_print(pair: Instep) -> None:
    legs(pair, 45, 47)
    assert "\nNot in step: leg +2; sock one 2 rounds behind.\n" in pair.ok("left")
    assert pair.line("basket").endswith(
        "sock one, heel set-up, 0 done, not in step: leg +2; sock one 2 rounds behind"
    )
    assert "Sock two against sock one: cuff +0, leg +2." in pair.ok("write", "night-ferry")
    left, basket = pair.json("left"), pair.json("basket")
    assert left["in_step"] is False
    assert basket["pairs"][0]["in_step"] is False


def test_in_step_is_one_word(pair: Instep) -> None:
    legs(pair, 45, 44)
    assert "\nIn step so far, sock two 1 round behind.\n" in pair.ok("left")
    pair.ok("tick", "--sock", "2")
    assert pair.line("basket").endswith(", in step, both socks level")
    assert "\nIn step so far, both socks level.\n" in pair.ok("left")
    assert pair.json("left")["in_step"] is True


def test_a_change_on_one_alone_is_named_with_its_round(pair: Instep) -> None:
    for sock in ("1", "2"):
        pair.ok("at", "46", "--section", "leg", "--sock", sock)
        if pair.json("left", "--sock", sock)["section"] == "leg":
            pair.ok("end", "--sock", sock)
    pair.ok("at", "12", "--section", "gusset", "--sock", "2")
    pair.ok("at", "3", "--section", "gusset")
    pair.ok("changed", "skipped-decrease", "--row", "3")
    pair.ok("at", "1", "--section", "foot")
    pair.ok("at", "1", "--section", "foot", "--sock", "2")
    told = "not in step: gusset: no decrease in round 3 on sock one only"
    assert told in pair.ok("left").replace("Not", "not")
    assert told in pair.line("basket")
    printed = " ".join(pair.ok("write", "night-ferry").split())
    assert "Not alike: gusset: no decrease in round 3 on sock one only." in printed


def test_a_pair_that_cannot_be_opened_is_only_not_in_step(pair: Instep) -> None:
    legs(pair, 45, 47)
    with closing(sqlite3.connect(pair.basket)) as basket:
        basket.execute("DROP TRIGGER event_is_never_changed")
        basket.execute("UPDATE event SET data = '{}' WHERE number = 2")
        basket.commit()
    assert pair.line("basket").endswith(", not in step")


@pytest.mark.parametrize("two", [46, 48])
async def test_the_basket_on_the_screen_says_it_too(pair: Instep, two: int) -> None:
    legs(pair, 46, two)
    with Basket.open(Path(pair.basket)) as basket:
        session = Session(basket, basket.find(None), lambda: Stamp(1_773_342_900_000, 60))
        app = app_of(basket, session)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.press("o")
            await until(
                pilot, app, "not in step: leg +2" if two == 48 else "in step, both socks level"
            )
