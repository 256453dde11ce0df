"""Where she is by what she sees: words in a line at the needles."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ui.driving import app_of, begin, knit, running, until
from tracker.knitting.decide import Refused
from tracker.storage.basket import Basket
from tracker.ui.seen import EXAMPLE, read_seen


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("74 plain", {"text": "74", "plain": True}),
        ("21/16/16/21, shaped", {"text": "21/16/16/21", "plain": False}),
        ("pin 3", {"pin": 3}),
        ("Pin 3 Chart 2", {"pin": 3, "chart": 2}),
        ("stripe cream 2 pin 4", {"colour": "cream 2", "pin": 4}),
        ("stripe dark plum, 64", {"colour": "dark plum", "text": "64"}),
        ("stripe plain", {"colour": "plain"}),
        ("long 11.4 cm tail 0", {"length": "11.4 cm", "tail": 0}),
        (EXAMPLE, {"plain": True, "pin": 3, "colour": "cream 2", "chart": 1, "length": "11.4"}),
    ],
)
def test_what_is_seen_is_read(text: str, found: dict[str, Any]) -> None:
    assert read_seen(text) == found


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("pin", '"pin" is nothing that is seen; write 74, or plain, pin 3'),
        ("pin x", '"pin x" is nothing that is seen'),
        ("purple", '"purple" is nothing that is seen'),
        ("pin 3, pin 4", '"pin 4" is said twice; write it once'),
    ],
)
def test_what_cannot_be_read_says_what_may_be(text: str, why: str) -> None:
    with pytest.raises(Refused) as refused:
        read_seen(text)
    assert str(refused.value).startswith(why)


@given(
    st.text(max_size=30)
    | st.lists(st.sampled_from([*EXAMPLE.split(), "tail", ",", "/"])).map(" ".join)
)
def test_any_words_are_read_or_refused_in_one_line(text: str) -> None:
    told = "", {"text", "plain", "pin", "chart", "tail", "colour", "length"}
    try:
        told = "", set(read_seen(text)) - told[1]
    except Refused as refused:
        told = str(refused), set()
    assert told[0].isprintable()
    assert not told[1]


async def test_pin_and_stripe_are_told_at_the_needles(basket: Basket) -> None:
    session = begin(basket)
    knit(session, lambda place: place.section == "leg" and place.done >= 24)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("@")
        await until(pilot, app, "Seen of sock one")
        await pilot.press(*"pin", "space", "6", "enter")
        await until(pilot, app, "26")
        assert session.glance.counted is not None
        assert session.glance.counted.by_fabric
        await pilot.press("p")
        assert session.glance.place.done == 26
        await pilot.press("@", *"chart", "space", "1", "enter")
        await until(pilot, app, "leave chart out")
        assert "--" not in running(app)
        await pilot.press("escape")


async def test_the_stitches_typed_before_stand_in_the_line(basket: Basket) -> None:
    session = begin(basket)
    knit(session, lambda place: place.section == "gusset" and place.done >= 7)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("7", "4", "@", *"plain", "enter")
        await until(pilot, app, "That is gusset round 10.")
        await pilot.press("space")
        assert session.glance.place.done == 8, "nothing stands between her and the next tick"
