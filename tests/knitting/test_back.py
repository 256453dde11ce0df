"""Ripped back, with or without a lifeline, and begun again: the fabric goes, the past stays."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import GUSSET, SECTIONS, Knitter
from tracker.knitting import pair
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.storage.pattern_file import open_text


def lines(knitter: Knitter) -> list[tuple[str, int]]:
    return [(SECTIONS[line.section], line.row) for line in knitter.sock().lifelines]


@pytest.mark.parametrize(
    ("place", "back", "then"),
    [
        (("leg", 38), {"by": 12}, ("leg", 26, 0)),
        (("leg", 38), {"round": 26}, ("leg", 26, 0)),
        (("leg", 4), {"by": 4}, ("leg", 0, 0)),
        (("leg", 4), {"by": 5}, ("cuff", 21, 0)),
        (("gusset", 5), {"by": 6}, ("turn", 13, 0)),
        (("gusset", 5), {"round": 0}, ("gusset", 0, 0)),
        (("gusset", 5), {"round": 40, "section": "leg"}, ("leg", 40, 0)),
        # The last row of a section that ends by itself leaves its stitches at the next one's start.
        (("gusset", 5), {"round": 14, "section": "turn"}, ("gusset", 0, 0)),
        (("gusset", 5), {"round": 46, "section": "leg"}, ("leg", 46, 0)),
    ],
)
def test_back_to_a_round(place: tuple[str, int], back: dict[str, Any], then: Any) -> None:
    knitter = Knitter()
    knitter.to(*place)
    knitter.do("rip", **back)
    assert knitter.place() == then


def test_a_finished_sock_can_be_ripped() -> None:
    knitter = Knitter()
    knitter.finish()
    knitter.do("rip", by=3)
    assert knitter.place() == ("toe", 18, 0)
    assert not knitter.sock().finished


def test_a_round_half_done_comes_off_too() -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.needle(2)
    knitter.do("rip", round=10)
    assert knitter.place() == ("leg", 10, 0)
    with pytest.raises(Refused, match="round 10 of the leg is the last on the needles"):
        knitter.do("rip", round=10)


@pytest.mark.parametrize(
    ("back", "why"),
    [
        ({"round": 11}, "round 11 of the leg is not done; write 0 to 10"),
        ({"round": -1}, "round -1 of the leg is not done; write 0 to 10"),
        ({"round": 3, "section": "toe"}, "the toe is not begun; ripping goes back only"),
        ({"round": 30, "section": "cuff"}, "round 30 of the cuff is not done; write 0 to 22"),
        ({"by": 33}, "33 cannot come off: 32 are done; write 1 to 32"),
        ({"by": 0}, "nothing of the round in hand is worked"),
    ],
)
def test_where_there_is_nothing_to_go_back_to(back: dict[str, Any], why: str) -> None:
    knitter = Knitter()
    with pytest.raises(Refused, match="nothing of sock one is knitted"):
        knitter.do("rip", by=1)
    knitter.to("leg", 10)
    before = knitter.state
    with pytest.raises(Refused, match=why):
        knitter.do("rip", **back)
    assert knitter.state == before


def test_what_hung_on_the_rounds_is_void_and_the_rest_stays() -> None:
    """Scenario of the lifeline at leg 40 (common practice, no source): tape at 45, ripped from the
    gusset to the lifeline; place, layout and time as they were, the reading void, undo brings all back.
    """
    knitter = Knitter()
    knitter.to("leg", 38)
    knitter.do("measure", mm=140.0, step=0)
    knitter.to("leg", 40)
    knitter.do("lifeline")
    knitter.to("leg", 45)
    knitter.do("measure", mm=157.0, step=0)
    knitter.do("target", mm=165.0, text="16.5 cm")
    knitter.to("gusset", 5)
    knitter.do("lifeline")
    before, timed = knitter.state, knitter.state.timed
    knitter.do("rip", round=40, section="leg")
    assert knitter.place() == ("leg", 40, 0)
    assert [needle.stitches for needle in knitter.look().needles] == [16, 16, 16, 16]
    assert lines(knitter) == [("leg", 40)]
    found = knitter.look().length
    assert found is not None
    assert [(reading.row, reading.counts) for reading in found.readings] == [
        (38, True),
        (45, False),
    ]
    assert found.target_mm == 165, "a goal stays"
    assert "reading" not in [cue.kind for cue in knitter.look().cues]
    assert knitter.state.timed == timed, "minutes do not come back"
    knitter.do("undo")
    assert knitter.state == before


def test_lifelines_stand_in_the_order_of_their_rounds() -> None:
    knitter = Knitter()
    knitter.to("flap", 4)
    knitter.do("lifeline")
    knitter.do("lifeline", section="leg")
    knitter.do("lifeline", section="leg", round=20)
    assert lines(knitter) == [("leg", 20), ("leg", 46), ("flap", 4)]
    for data, why in (
        ({"section": "toe"}, "the toe is not begun"),
        ({"round": 9}, "row 9 of the flap is not done; write 0 to 4"),
    ):
        with pytest.raises(Refused, match=why):
            knitter.do("lifeline", **data)
    with pytest.raises(Refused, match="nothing of sock two is knitted"):
        knitter.do("lifeline", 2)


def test_a_lifeline_at_a_beginning_lies_in_the_last_row_there_is() -> None:
    knitter = Knitter()
    knitter.to("leg")
    knitter.do("lifeline")
    assert lines(knitter) == [("cuff", 22)]
    cues = {cue.kind: cue for cue in knitter.look().cues}
    assert cues["lifeline"].data["round"] == 22
    assert cues["lifeline"].data["before"] == "cuff"
    knitter.to("gusset")
    knitter.tick()  # the pick-up round
    knitter.do("lifeline")
    assert lines(knitter) == [("cuff", 22), ("gusset", 0)]
    knitter.tick(3)
    knitter.do("rip", round=0, section="gusset")
    assert (knitter.sock().section, knitter.sock().rows) == (GUSSET, 1)


def test_one_lifeline_lies_in_a_round() -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.do("lifeline")
    with pytest.raises(Refused, match="a lifeline lies in leg round 10 already"):
        knitter.do("lifeline")
    knitter.tick()
    with pytest.raises(Refused, match="already"):
        knitter.do("lifeline", round=10)


@pytest.mark.parametrize("section", ["leg", "flap", "turn", "gusset", "foot", "graft"])
def test_ripping_to_where_she_is_is_none(section: str) -> None:
    """The last row of the section before leaves its stitches where she is."""
    knitter = Knitter()
    knitter.to(section)
    before = SECTIONS.index(section) - 1
    back: dict[str, Any] = {"round": knitter.sock().ended[before], "section": SECTIONS[before]}
    state = knitter.state
    with pytest.raises(Refused, match="is the last on the needles"):
        knitter.do("rip", **back)
    assert knitter.state == state


def test_of_two_sections_of_one_name_the_lifeline_knows_its_own() -> None:
    text = """title = "Bands"
[[section]]
name = "band"
worked = "rounds"
needles = [10, 10]
repeat = 6
rows = ["k"]
[[section]]
name = "band"
worked = "rounds"
repeat = 6
rows = ["p"]
"""
    knitter = Knitter(Course(open_text("bands.toml", text)))
    knitter.tick(4)
    knitter.do("lifeline")
    knitter.tick(5)
    with_index: dict[str, Any] = {"round": 4, "section": knitter.sock().lifelines[-1].section}
    knitter.do("rip", **with_index)
    assert (knitter.sock().section, knitter.sock().rows) == (0, 4)


@given(st.integers(1, 200), st.integers(1, 200))
def test_by_so_many_is_so_many_rounds_fewer(done: int, by: int) -> None:
    knitter = Knitter()
    for _ in range(done):
        if knitter.sock().section == 1 and knitter.place()[1] == 46:
            knitter.do("end")
        if knitter.sock().section == 6 and knitter.place()[1] == 44:
            knitter.do("end")
        knitter.tick()
    before = pair.rounds(knitter.course, knitter.state, 1)
    try:
        knitter.do("rip", by=by)
    except Refused:
        assert by > before
        return
    assert pair.rounds(knitter.course, knitter.state, 1) == before - by


def test_begun_again_a_sock_keeps_its_past() -> None:
    knitter = Knitter()
    with pytest.raises(Refused, match="sock one is not begun"):
        knitter.do("restart")
    knitter.to("leg", 30)
    knitter.do("measure", mm=120.0, step=0)
    knitter.do("target", mm=170.0, text="17 cm")
    knitter.do("lifeline")
    before = knitter.state
    knitter.do("restart")
    assert knitter.place() == ("cuff", 0, 0)
    assert knitter.sock().lifelines == ()
    assert [reading.verdict for reading in knitter.sock().readings] == ["void"]
    assert knitter.state.goals == {1: 170.0}
    knitter.do("undo")
    assert knitter.state == before
