"""Stitches unknitted one by one: which needle is then in hand, and how much of it is worked.

The places are common practice, no source; the sums are arithmetic.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import SECTIONS, Knitter
from tracker.knitting import pair
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.replay import BadHistory, Replay
from tracker.knitting.tinking import stitches_on


def stands(knitter: Knitter) -> tuple[str, int, int, int]:
    return (*knitter.place(), knitter.sock().into)


@pytest.mark.parametrize(
    ("place", "ticked", "stitches", "then"),
    [
        # Leg of 4 x 16: needle 4 and 4 stitches of needle 3, of round 23.
        (("leg", 23), 0, 20, ("leg", 22, 2, 12)),
        (("leg", 23), 0, 16, ("leg", 22, 3, 0)),
        (("leg", 23), 0, 63, ("leg", 22, 0, 1)),
        (("leg", 23), 0, 64, ("leg", 22, 0, 0)),
        (("leg", 23), 0, 65, ("leg", 21, 3, 15)),
        (("leg", 23), 2, 20, ("leg", 23, 0, 12)),
        (("leg", 23), 2, 33, ("leg", 22, 3, 15)),
        # Over the end of a section: the last round of the cuff.
        (("leg", 0), 0, 7, ("cuff", 21, 3, 9)),
        # Gusset round 9 leaves 21/16/16/21: needle 4 is k1, ssk and 19 more.
        (("gusset", 9), 0, 21, ("gusset", 8, 3, 0)),
        (("gusset", 9), 0, 22, ("gusset", 8, 2, 15)),
        # A row of the flap is one needle, its slipped stitches too.
        (("flap", 8), 0, 5, ("flap", 7, 0, 27)),
        (("flap", 8), 0, 32, ("flap", 7, 0, 0)),
        (("flap", 8), 0, 33, ("flap", 6, 0, 31)),
        # Turn row 3: sl1, k6, ssk, k1 are 9 stitches; the rest of the needle was never reached.
        (("turn", 3), 0, 10, ("turn", 1, 0, 7)),
    ],
)
def test_stitches_are_counted_back_from_the_last_tick(
    place: tuple[str, int], ticked: int, stitches: int, then: tuple[str, int, int, int]
) -> None:
    knitter = Knitter()
    knitter.to(*place)
    if ticked:
        knitter.needle(ticked)
    before = knitter.state
    knitter.do("rip", stitches=stitches)
    assert stands(knitter) == then
    knitter.do("undo")
    assert knitter.state == before, "one act, taken back as one"


def test_the_pick_up_round_has_only_what_was_picked_up() -> None:
    """The last needle: 17 along the edge, and 9 of the cup."""
    knitter = Knitter()
    knitter.to("gusset")
    knitter.tick()
    knitter.do("rip", stitches=26)
    assert (knitter.sock().rows, knitter.sock().needles, knitter.sock().into) == (0, 3, 0)
    knitter.do("rip", stitches=32 + 17)
    assert (knitter.sock().rows, knitter.sock().needles, knitter.sock().into) == (0, 0, 0)
    assert knitter.place()[0] == "gusset"
    knitter.do("rip", stitches=1)
    assert knitter.place()[0] == "turn"


def test_the_next_tick_finishes_what_is_in_hand() -> None:
    knitter = Knitter()
    knitter.to("leg", 23)
    knitter.do("rip", stitches=20)
    knitter.needle()
    assert stands(knitter) == ("leg", 22, 3, 0)
    assert knitter.state.timed[-1].stitches == 4, "only what was taken back is made again"
    knitter.do("rip", stitches=3)
    knitter.tick()
    assert stands(knitter) == ("leg", 23, 0, 0)
    assert knitter.state.timed[-1].stitches == 19


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("tick", {"needles": 1}), ("tick", {"rounds": 1}), ("end", {}), ("restart", {}), ("rip", {"by": 0}),
        ("rip", {"by": 2}), ("at", {"round": 22}),
    ],
)  # fmt: skip
def test_what_ends_a_needle_in_hand(kind: str, data: dict[str, Any]) -> None:
    """Any tick of that sock, and whatever says otherwise where she is; a tick of the other one does not."""
    knitter = Knitter()
    knitter.to("leg", 23)
    knitter.do("rip", stitches=20)
    knitter.tick(3, sock=2)
    assert knitter.sock(1).into == 12
    knitter.do(kind, 1, **data)
    assert knitter.sock(1).into == 0


def test_to_the_start_of_this_round() -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.needle(2)
    knitter.do("rip", by=0)
    assert stands(knitter) == ("leg", 10, 0, 0)
    with pytest.raises(Refused, match="nothing of the round in hand is worked"):
        knitter.do("rip", by=0)
    knitter.do("rip", stitches=3)
    knitter.do("rip", by=0)
    assert stands(knitter) == ("leg", 9, 0, 0)


@pytest.mark.parametrize(
    ("stitches", "why"),
    [(0, "write 1 to 2000"), (2001, "write 1 to 2000"), (129, "only 128 stitches are worked")],
)
def test_no_more_than_there_are(stitches: int, why: str) -> None:
    knitter = Knitter()
    with pytest.raises(Refused, match="nothing of sock one is knitted"):
        knitter.do("rip", stitches=1)
    knitter.to("cuff", 2)
    before = knitter.state
    with pytest.raises(Refused, match=why):
        knitter.do("rip", stitches=stitches)
    assert knitter.state == before


def test_a_finished_sock_is_not_unknitted_stitch_by_stitch() -> None:
    knitter = Knitter()
    knitter.finish()
    with pytest.raises(Refused, match="take its last round back first"):
        knitter.do("rip", stitches=3)


def test_what_was_measured_and_counted_on_that_round_is_void() -> None:
    knitter = Knitter()
    knitter.to("leg", 40)
    knitter.do("measure", mm=140.0, step=0)
    knitter.do("lifeline")
    knitter.do("rip", stitches=1)
    assert [reading.verdict for reading in knitter.sock().readings] == ["void"]
    assert knitter.sock().lifelines == ()


def test_a_change_of_the_round_in_hand_stays() -> None:
    knitter = Knitter()
    knitter.to("leg", 40)
    thinner: dict[str, Any] = {"as": "needle", "value": "2.25"}
    knitter.do("changed", **thinner)
    knitter.tick(2)
    knitter.do("rip", stitches=70)
    assert len(knitter.sock().changes) == 1, "inside round 41, from which on it is"
    knitter.do("rip", by=0)
    knitter.do("rip", stitches=1)
    assert knitter.sock().changes == ()


def test_an_open_section_that_follows_the_other_sock_is_in_hand_again() -> None:
    knitter = Knitter()
    knitter.to("flap", 2)
    knitter.tick(22 + 46, 2)
    assert knitter.place(2)[0] == "heel set-up"
    knitter.do("rip", 2, stitches=5)
    assert (*knitter.place(2), knitter.sock(2).into) == ("leg", 45, 3, 11)
    knitter.tick(1, 2)
    assert knitter.place(2) == ("heel set-up", 0, 0)


@pytest.mark.parametrize(
    "data",
    [
        {"section": 1, "rows": 22, "needles": 4, "into": 1},
        {"section": 1, "rows": 22, "needles": 2, "into": 17},
        {"section": 1, "rows": 22, "needles": 2, "into": True},
        {"section": 1, "rows": -1, "needles": 0, "into": 1},
        {"section": 9, "rows": 1, "needles": 0, "into": 1},
        {"section": 1, "rows": 22},
        {"section": 1, "rows": 22, "needles": 2, "into": 1, "stitches": "many"},
    ],
)
def test_a_history_from_a_stranger_is_looked_over(data: dict[str, Any]) -> None:
    knitter = Knitter()
    knitter.to("leg", 23)
    told = {"round": 22, "stitches": 20, **data}
    event = Event(len(knitter.events) + 1, knitter.now, 60, 1, "rip", told, b"")
    with pytest.raises(BadHistory, match="cannot be replayed"):
        knitter.replay.apply(event)


@given(st.integers(0, 150), st.integers(0, 3), st.lists(st.integers(1, 90), min_size=1, max_size=6))
@examples(200)
def test_many_times_a_few_are_as_good_as_all_at_once(
    rows: int, needles: int, few: list[int]
) -> None:
    """However they are parted, the place is the same, and so many stitches lie fewer on it."""
    knitter = Knitter()
    for _ in range(rows):
        section, done, _ = knitter.place()
        if (section, done) in (("leg", 46), ("foot", 44)):
            knitter.do("end")
        knitter.tick()
    if needles:
        knitter.needle(needles)
    other = Knitter()
    other.replay = Replay(other.course, knitter.events)
    other.events, other.now = list(knitter.events), knitter.now
    before = pair.made(knitter.course, knitter.state, 1)
    try:
        for stitches in few:
            knitter.do("rip", stitches=stitches)
    except Refused:
        with pytest.raises(Refused):
            other.do("rip", stitches=sum(few))
        return
    other.do("rip", stitches=sum(few))
    assert stands(knitter) == stands(other)
    came_off = before - pair.made(knitter.course, knitter.state, 1)
    assert 0 <= came_off <= sum(few), "a slipped stitch is none that was made"
    if SECTIONS.index(knitter.place()[0]) == 0 or rows <= 68:
        assert came_off == sum(few)


def test_every_needle_of_the_sock_makes_what_its_row_says() -> None:
    knitter = Knitter()
    for section in knitter.course.sections:
        for row in section.rows:
            if row.side is not None or section.kind == "graft":
                continue
            for at, needle in enumerate(row.needles):
                assert sum(stitches_on(row, at)) == needle.made, (section.name, row.number, at)
