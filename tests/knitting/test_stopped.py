"""Called away inside a needle: it is begun, and the place says so when she comes back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import Knitter
from tracker import words
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.replay import BadHistory
from tracker.storage.pattern_file import open_file


def inside(rounds: int, needles: int) -> Knitter:
    knitter = Knitter()
    if rounds:
        knitter.tick(rounds)
    if needles:
        knitter.needle(needles)
    return knitter


def test_a_needle_is_begun_and_nobody_says_how_far() -> None:
    knitter = inside(30, 2)
    knitter.do("rest", into=0)
    place = knitter.look().place
    assert (place.done, place.needle, place.stopped, place.into) == (8, "N3", True, 0)
    assert "Needle 3 of 4 in round 9 is begun: go on where the yarn hangs." in words.place(
        knitter.look()
    )
    knitter.needle(1)
    assert not knitter.look().place.stopped


@pytest.mark.parametrize(
    ("stitches", "needles", "into", "named"),
    [(7, 0, 7, "N1"), (16, 1, 0, "N2"), (39, 2, 7, "N3"), (63, 3, 15, "N4")],
)
def test_stitches_of_a_round_tell_the_needle(
    stitches: int, needles: int, into: int, named: str
) -> None:
    knitter = inside(30, 0)
    knitter.do("rest", into=stitches)
    sock = knitter.sock()
    assert (sock.needles, sock.into, sock.stopped) == (needles, into, True)
    assert knitter.look().place.needle == named


def test_the_first_round_after_the_cast_on_is_begun() -> None:
    knitter = inside(0, 0)
    knitter.do("rest", into=0)
    assert knitter.look().place.begun
    assert "Round 1 is begun" in words.place(knitter.look())


def test_of_the_heel_row_the_stitches_of_the_row_count() -> None:
    knitter = Knitter()
    knitter.to("flap", 3)
    knitter.do("rest", into=20)
    assert words.place_brief(knitter.look()) == "heel, 20 of 32 worked."
    knitter.tick(1)
    assert knitter.look().place.done == 4


@pytest.mark.parametrize("stitches", [64, 100, -1])
def test_more_than_the_round_has_is_refused(stitches: int) -> None:
    knitter = inside(30, 0)
    before = knitter.state
    with pytest.raises(
        Refused, match="with 64 stitches this round is done: tick it; write 1 to 63"
    ):
        knitter.do("rest", into=stitches)
    assert knitter.state == before


def test_a_corrected_count_says_that_no_round_is_begun() -> None:
    knitter = inside(30, 0)
    knitter.do("rest", into=0)
    knitter.do("at", round=12)
    knitter.do("at", round=8)
    assert not knitter.sock().stopped
    assert "Next: round 9" in words.place(knitter.look())


def test_other_needles_before_the_first_stitch_of_a_begun_round() -> None:
    """Nobody says how far she is: that is so on the other needles, too."""
    knitter = inside(30, 0)
    knitter.do("rest", into=0)
    told: dict[str, Any] = {"as": "set", "value": "four"}
    knitter.do("changed", **told)
    place = knitter.look().place
    assert (place.done, place.stopped, place.into) == (8, True, 0)
    assert knitter.course.of(knitter.sock()).pattern.needle_set == "four"


ONE_STITCH = """title = "The end of a strap"
[[section]]
name = "tip"
worked = "rows"
needles = [1]
rows = ["RS: k = 1", "WS: p = 1"]
"""


def test_nobody_stops_inside_a_row_of_one_stitch(tmp_path: Path) -> None:
    file = tmp_path / "strap.toml"
    file.write_text(ONE_STITCH)
    knitter = Knitter(Course(open_file(str(file)).pattern))
    with pytest.raises(Refused, match=r"with 1 stitch this row is done: tick it$"):
        knitter.do("rest", into=1)


@pytest.mark.parametrize(
    "data",
    [
        {"needles": 4, "into": 0},
        {"needles": 0, "into": 16},
        {"needles": -1, "into": 0},
        {"into": 1},
    ],
)
def test_a_forged_stop_is_a_bad_history(data: dict[str, Any]) -> None:
    knitter = inside(30, 1)
    with pytest.raises(BadHistory):
        knitter.replay.apply(Event(99, knitter.now, 60, 1, "rest", data, b""))


@given(st.integers(0, 3), st.integers(0, 63))
def test_a_stop_makes_no_stitch_more_and_undo_takes_it_back(needles: int, stitches: int) -> None:
    """The row comes to as many stitches, whether she stopped inside it or not."""
    plain, stopped = inside(30, needles), inside(30, needles)
    before = stopped.state
    if stitches >= 64 - 16 * needles:
        return
    stopped.do("rest", into=stitches)
    stopped.do("undo")
    assert stopped.state.socks == before.socks
    stopped.do("rest", into=stitches)
    for knitter in (plain, stopped):
        knitter.tick(1)
    one, two = plain.sock(), stopped.sock()
    assert (one.section, one.rows, one.needles, one.into) == (
        two.section,
        two.rows,
        two.needles,
        two.into,
    )
    assert plain.look().lag.stitches == stopped.look().lag.stitches
