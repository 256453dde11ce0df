"""A sock on one short circular, said: its needle has no name, and its toe is grafted from where it lies."""

from __future__ import annotations

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.test_repeats_knitted import planned
from tracker import cards, words

ONE = {"needles.set": "short circular"}


@pytest.mark.parametrize(
    ("found", "told", "brief"),
    [
        (
            63, "in round 4 look for a dropped stitch on the needle, which has 1 too few, else make 1",
            "round 4: find or make 1 (1 too few)",
        ),
        (
            65, "in round 4 k2tog once on the needle, which has 1 too many",
            "round 4: k2tog once (1 too many)",
        ),
    ],
)  # fmt: skip
def test_a_stitch_too_few_or_too_many_is_on_the_needle(found: int, told: str, brief: str) -> None:
    knitter = Knitter(planned({**ONE}))
    knitter.to("leg", 3)
    knitter.do("count", found=[found])
    look = knitter.look()
    (cue,) = [cue for cue in look.cues if cue.about == "repair"]
    assert words.cue_text(cue, look)[0] == told
    assert words.cue_brief(cue, look) == brief


@pytest.mark.parametrize(
    ("fields", "told", "brief"),
    [
        (
            {"needles.spare_set": "two circulars"},
            "Knit B1 onto B2, the sole; A holds the instep: 8 + 8.",
            ["Knit B1 onto B2, the sole; A holds", "the instep: 8 + 8."],
        ),
        (
            {"needles.spare_set": "two circulars", "toe.feet": "left and right"},
            "8 on A, the instep, and 8 on B, the sole.", ["8 on A and 8 on B."],
        ),
        (
            {"needles.spare_set": "set of four"},
            "Knit N1 onto the last needle, the instep onto one: 8 + 8.",
            ["N1 onto the last needle, the instep", "onto one: 8 + 8."],
        ),
    ],
)  # fmt: skip
def test_the_graft_says_the_needles_that_the_toe_is_on(
    fields: dict[str, object], told: str, brief: list[str]
) -> None:
    knitter = Knitter(planned({**ONE, **fields}))
    while knitter.look().place.kind != "graft":
        place = knitter.look().place
        if place.planned_by == "goal" and place.done >= place.planned:
            knitter.do("end")
        else:
            knitter.tick(max(1, place.planned - place.done))
    look = knitter.look()
    assert cards.card(look)[0] == told
    assert cards.card_brief(look)[: len(brief)] == brief
