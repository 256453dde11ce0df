"""What a card tells of the instep, where that is worked once more before a heel and is not just knit."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.pieces import toe_up
from tests.knitting.test_repeats_knitted import planned
from tests.knitting.test_toe_up import card, to
from tracker import cards, words, written
from tracker.glance import Glance
from tracker.pattern.model import HEEL_PLACE

LACE = ["k1, yo, ssk, k3, k2tog, yo", "k8", "k2, yo, ssk, k1, k2tog, yo, k1", "k8"]


def to_lace(needles: str, kind: str, **more: object) -> Knitter:
    """Knitted to a heel, the foot ended so that a lace row comes there."""
    fields = {
        "leg.fabric": "repeat", "leg.repeat": LACE, "foot.fabric": "as the leg", "needles.set": needles,
        "direction": "toe-up", **more,
    }  # fmt: skip
    knitter = to(Knitter(planned(fields)), "foot")
    gusset = knitter.course.find("gusset")
    beside = 0 if gusset is None else knitter.course.sections[gusset].planned
    rows = next(many for many in range(40, 44) if (many + beside) % 4 == 2)
    knitter.tick(rows)
    if knitter.look().place.kind == "foot":
        knitter.do("end")
    return to(knitter, kind)


@pytest.mark.parametrize("by", [cards.card, cards.card_brief])
@pytest.mark.parametrize("needles", ["five", "four", "two circulars"])
def test_before_a_heel_the_card_tells_the_row_of_the_instep(
    needles: str, by: Callable[[Glance], list[str]]
) -> None:
    glance = to_lace(needles, "heel set-up").look()
    lace = "*k2, yo, ssk, k1, k2tog, yo, k1; rep from * to end"
    both = "N2 and N3" if by is cards.card else "N2+N3"
    told = {
        "five": f"N1 k; {both} {lace}",
        "four": f"N1 k; N2 {lace}",
        "two circulars": f"A {lace}",
    }
    assert f"Row 1: {told[needles]}." in by(glance)
    assert "once more in pattern" in by(glance)[0].replace(", the instep,", "")
    assert lace in words.place(glance)


@pytest.mark.parametrize("by", [cards.card, cards.card_brief])
@pytest.mark.parametrize("needles", ["five", "four", "two circulars"])
def test_with_the_waste_yarn_the_card_tells_the_row_of_the_instep(
    needles: str, by: Callable[[Glance], list[str]]
) -> None:
    glance = to_lace(needles, HEEL_PLACE, **{"heel.kind": "afterthought"}).look()
    lace = "*k2, yo, ssk, k1, k2tog, yo, k1; rep from * to end"
    on = {"five": "N2 and N3", "four": "N2", "two circulars": "A"}[needles]
    told = " ".join(by(glance))
    assert f"{on}: {lace}." in told
    assert not any(word in told for word in ("Knit all but", "Knit A", "plain"))


CABLES = ["C4F, p1", "k4, p1", "k4, p1"]


@pytest.mark.parametrize("direction", ["toe-up", "cuff-down"])
def test_a_round_between_the_crossings_of_a_cable_is_in_pattern_and_no_rib(direction: str) -> None:
    fields = {
        "leg.fabric": "repeat", "leg.repeat": CABLES, "foot.fabric": "as the leg", "leg.stitches": 65,
        "cuff.rib": "k1p1", "direction": direction,
    }  # fmt: skip
    knitter = to(Knitter(planned(fields)), "leg")
    seen = set()
    for _ in range(4):
        glance = knitter.look()
        seen.add(glance.next.word if glance.next else "")
        assert "rib" not in f"{card(knitter)} {words.place(glance)}"
        knitter.tick()
    assert {"PATT", "CABLE"} <= seen
    assert "in pattern" in words.place(knitter.look())


def test_a_ribbed_leg_is_rib() -> None:
    knitter = to(Knitter(planned({"leg.fabric": "rib"})), "leg")
    assert "The rib goes on." in card(knitter)
    assert "rib" in words.place(knitter.look())


def test_where_all_of_it_is_knit_no_row_is_told() -> None:
    told = card(to(Knitter(toe_up("five")), "heel set-up"))
    assert "pattern" not in told
    assert "Row 1" not in told


def test_a_needle_that_rests_in_the_closing_round_is_said_to() -> None:
    knitter = to(Knitter(toe_up("five")), "leg")
    assert "Closing round: N1 rests; N2, N3 and N4 k" in card(knitter)
    leg = knitter.course.sections[knitter.sock().section]
    assert written.row_line(leg, leg.rows[0]).work == "rests | k | k | k"
