"""A pattern that grows, or is made anew, never colours knitted rows anew."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import LEG, Knitter
from tests.knitting.staging import up_to, whole
from tests.knitting.test_recolouring import changed
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.stripes import MAIN, Thread, Threads, threads
from tracker.pattern.colours import Colours
from tracker.pattern.joining import joined
from tracker.pattern.kept import kept_text
from tracker.pattern.reading import read_pattern

STRIPES = ["navy 9", "cream 3", "rust 2"]


def in_colours(**colours: Any) -> dict[str, Any]:
    return {**whole(), "colours": colours}


def striped() -> Knitter:
    return Knitter(Course(read_pattern(in_colours(leg=STRIPES), "")))


def leg(knitter: Knitter, first: int, last: int, sock: Any = None) -> list[tuple[str, int]]:
    """The colours of leg rounds by the course in force, each with its place in the stripe."""
    told = threads(knitter.replay.course, knitter.state, sock or knitter.state.hand)
    rows = [told.at(LEG, number - 1) for number in range(first, last + 1)]
    return [(row.name, row.position) for row in rows if row]


def replanned(knitter: Knitter, **colours: Any) -> None:
    knitter.do("replan", pattern=kept_text(in_colours(**colours)))


@pytest.mark.parametrize("colours", [{"heel": "rust"}, {"leg": ["navy 4", "rust 9"]}])
def test_a_place_in_the_stripes_that_was_told_is_there_in_the_new_ones(
    colours: dict[str, Any],
) -> None:
    knitter = striped()
    changed(knitter, "navy 5")
    with pytest.raises(
        Refused, match='"navy 5" was told of sock one at cuff row 1, and in the new'
    ):
        replanned(knitter, **colours)
    replanned(knitter, leg=["navy 7", "green 2"])
    assert leg(knitter, 1, 4) == [("navy", 5), ("navy", 6), ("navy", 7), ("green", 1)]
    changed(knitter, "behind the white", ball=True)
    replanned(knitter, **colours)
    assert knitter.look(1).colour


def test_a_ball_whose_stripes_are_gone_stood_nowhere() -> None:
    """In a history that was recorded before such a pattern was refused."""
    knitter = striped()
    changed(knitter, "navy 5")
    course = knitter.course.changed(knitter.sock().changes)
    plain = Course(course.pattern._replace(colours=Colours(heel="rust")), course.planned, course)
    assert Threads(plain, []).at(0, 0) == Thread(MAIN)


@pytest.mark.parametrize("sock", [1, 2])
def test_knitted_rounds_keep_their_colour_in_a_new_pattern(sock: Any) -> None:
    knitter = striped()
    knitter.to("leg", 12, sock=sock)
    named = "sock one" if sock == 1 else "sock two"
    with pytest.raises(Refused, match=f"cuff, row 1 is knitted on {named} in navy, and in the new"):
        replanned(knitter, leg=["green 2", "cream 1"])
    with pytest.raises(
        Refused, match=f"leg, row 10 is knitted on {named} in cream, and in the new"
    ):
        replanned(knitter, leg=["navy 10", "cream 1"])
    replanned(knitter, leg=["navy 9", "cream 3", "green 2"])
    assert leg(knitter, 12, 13, sock) == [("cream", 3), ("green", 1)]


def test_a_round_in_hand_keeps_its_colour_too() -> None:
    knitter = striped()
    knitter.to("leg", 12)
    knitter.needle()
    with pytest.raises(Refused, match="leg, row 13 is knitted on sock one in rust"):
        replanned(knitter, leg=["navy 9", "cream 3", "green 2"])
    knitter.do("rip", stitches=12)
    assert (knitter.sock().needles, knitter.sock().into) == (0, 4)
    with pytest.raises(Refused, match="leg, row 13 is knitted on sock one in rust"):
        replanned(knitter, leg=["navy 9", "cream 3", "green 2"])


def test_what_she_changed_to_is_what_is_knitted() -> None:
    knitter = striped()
    knitter.to("leg", 11)
    changed(knitter, "green", row=11)
    replanned(knitter, leg=["navy 9", "cream 1", "white 2", "rust 2"])
    assert leg(knitter, 10, 11)[0] == ("cream", 1)


def test_a_stage_that_tells_colours_leaves_knitted_rounds_as_they_are() -> None:
    plain, heel = Course(read_pattern(up_to("leg"), "")), {"heel": "rust"}
    told = [
        kept_text(joined(up_to("leg"), in_colours(**more))) for more in ({"leg": STRIPES}, heel)
    ]
    knitter = Knitter(plain)
    knitter.to("leg", 12)
    with pytest.raises(Refused, match="cuff, row 1 is knitted on sock one in the main colour, and"):
        knitter.do("append", pattern=told[0])
    knitter.do("append", pattern=told[1])
    assert [name for name, _ in leg(knitter, 12, 12)] == [MAIN]
    knitter = Knitter(plain)
    knitter.do("append", pattern=told[0])
    assert leg(knitter, 1, 1) == [("navy", 1)]
