"""What is said when the needles come up, where one round is knitted on both socks."""

from __future__ import annotations

from tests.pattern.making import plan_text
from tests.ui.driving import Clock, knit
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.files import Source
from tracker.storage.pattern_file import open_source
from tracker.ui.acting import opening

THEIRS = "On sock one this round is: A k to last 3, k2tog, k1; B k1, ssk, k to end."


def test_the_other_socks_row_is_told_where_a_round_for_both_differs(basket: Basket) -> None:
    text = plan_text({"needles.set": "two circulars", "toe.feet": "left and right"})
    opened = open_source(Source("plan.toml", text.encode(), text))
    session = Session.start(basket, opened, Clock())
    knit(session, lambda place: place.kind == "toe")
    session.other()
    knit(session, lambda place: place.kind == "toe")
    session.order("together")
    whole, brief = opening(session)
    assert whole.startswith("Both socks, toe:")
    assert whole.endswith(THEIRS)
    assert brief == THEIRS
    session.tick()
    assert "On sock one" not in "".join(opening(session))
