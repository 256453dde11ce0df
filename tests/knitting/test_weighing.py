"""Weighing the yarn that is left: what is recorded, where it lies, and what taking back does to it."""

from __future__ import annotations

import pytest

from tests.knitting.knitter import Knitter
from tests.pattern.making import sock
from tracker.knitting import pair
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.fold import WEIGHINGS_KEPT
from tracker.knitting.replay import BadHistory
from tracker.knitting.state import Weighing


def weigh(knitter: Knitter, grams: float, text: str | None = None) -> None:
    knitter.do("weigh", grams=grams, text=f"{grams:g}" if text is None else text)


def taken(knitter: Knitter) -> list[tuple[float, int]]:
    return [(weighed.grams, weighed.stitches) for weighed in knitter.state.weighings]


def test_a_weight_is_kept_as_it_was_given_with_the_stitches_of_both_socks() -> None:
    knitter = Knitter()
    weigh(knitter, 100)
    knitter.to("leg", 46)
    knitter.tick(3, sock=2)
    weigh(knitter, 85.05, "3 oz")
    assert knitter.events[-1].data == {"grams": 85.05, "text": "3 oz"}
    assert taken(knitter) == [(100, 0), (85.05, 68 * 64 + 3 * 64)]
    assert knitter.state.weighings[-1] == Weighing(85.05, 71 * 64, knitter.events[-1].number)


def test_inside_a_round_the_needles_done_count() -> None:
    knitter = Knitter()
    knitter.tick(2)
    knitter.needle(3)
    weigh(knitter, 99)
    assert taken(knitter) == [(99, 2 * 64 + 48)]


def test_it_changes_nothing_else_and_any_sock_may_be_named() -> None:
    knitter = Knitter()
    knitter.tick(5)
    before = knitter.state
    knitter.do("weigh", 2, grams=90.0, text="90")
    after = knitter.state
    assert after._replace(weighings=(), last=before.last, run=before.run) == before
    assert taken(knitter) == [(90, 320)]


@pytest.mark.parametrize(
    ("grams", "why"),
    [
        (-1.0, '"-1" is below zero; write the grams that are left, like 85'),
        (0.0, "0 g is no yarn to knit with; weigh the next ball when you begin it"),
        (5001.0, '"5001" is more than 5 kg; write the grams that are left, like 85'),
        (float("nan"), '"nan" is more than 5 kg'),
    ],
)
def test_what_no_yarn_weighs_is_refused(grams: float, why: str) -> None:
    knitter = Knitter()
    weigh(knitter, 85)
    with pytest.raises(Refused) as refused:
        weigh(knitter, grams)
    assert str(refused.value).startswith(why)
    assert taken(knitter) == [(85, 0)]


def test_a_finished_pair_can_be_weighed() -> None:
    knitter = Knitter()
    knitter.finish()
    knitter.do("other")
    knitter.finish()
    weigh(knitter, 28)
    assert taken(knitter) == [(28, 2 * 10_416)]


def test_taken_back_and_brought_back() -> None:
    knitter = Knitter()
    knitter.tick(10)
    weigh(knitter, 85)
    knitter.tick(5)
    knitter.do("undo")
    assert taken(knitter) == [(85, 640)]
    knitter.do("undo")
    assert taken(knitter) == []
    knitter.do("redo")
    knitter.do("redo")
    assert taken(knitter) == [(85, 640)]
    assert knitter.place() == ("cuff", 15, 0)


def test_a_count_corrected_downwards_takes_the_weight_with_it() -> None:
    """The fabric is as it was weighed: at no more stitches than there are."""
    knitter = Knitter()
    knitter.to("leg", 20)
    weigh(knitter, 90)
    knitter.to("leg", 30)
    weigh(knitter, 86)
    knitter.do("at", round=25)
    assert taken(knitter) == [(90, 42 * 64), (86, 47 * 64)]
    knitter.do("at", round=10)
    assert taken(knitter) == [(90, 32 * 64), (86, 32 * 64)]
    knitter.do("undo")
    knitter.do("undo")
    assert taken(knitter) == [(90, 42 * 64), (86, 52 * 64)]


def test_a_count_corrected_upwards_leaves_it_where_it_was() -> None:
    knitter = Knitter()
    knitter.tick(10)
    weigh(knitter, 90)
    knitter.do("at", round=15)
    assert taken(knitter) == [(90, 640)]
    assert pair.made(knitter.course, knitter.state, 1) == 960


def test_as_many_as_are_kept_are_the_last() -> None:
    knitter = Knitter()
    for grams in range(WEIGHINGS_KEPT + 5, 0, -1):
        weigh(knitter, grams)
    assert [grams for grams, _ in taken(knitter)] == list(range(WEIGHINGS_KEPT, 0, -1))


@pytest.mark.parametrize("data", [{}, {"grams": 0}, {"grams": -3}, {"grams": 1e9}, {"grams": "x"}])
def test_a_weight_that_anyone_may_have_written_is_no_history(data: dict[str, object]) -> None:
    knitter = Knitter()
    with pytest.raises(BadHistory, match=r"event 2 \(weigh\) cannot be replayed"):
        knitter.replay.apply(Event(2, knitter.now, 60, 1, "weigh", data, b""))


# A ball of one colour


def striped() -> Knitter:
    stripes = {"colours.leg": ["navy 2", "cream 1"], "colours.cuff": "grey", "colours.toe": "grey"}
    return Knitter(Course(sock(stripes)))


def test_a_colour_is_kept_with_the_stitches_made_in_it() -> None:
    knitter = striped()
    knitter.to("leg", 4)
    knitter.do("weigh", grams=40.0, text="40", colour="Navy")
    assert knitter.events[-1].data == {"grams": 40.0, "text": "40", "colour": "navy"}
    made = 26 * 64
    assert knitter.state.weighings == (
        Weighing(40, made, knitter.events[-1].number, "navy", 3 * 64),
    )
    knitter.tick(sock=2)
    knitter.needle(2)
    knitter.do("weigh", grams=30.0, text="30", colour=" GREY ")
    assert knitter.state.weighings[-1].in_colour == 23 * 64
    knitter.do("weigh", grams=29.0, text="29", colour="navy")
    assert knitter.state.weighings[-1].in_colour == 3 * 64 + 32
    weigh(knitter, 100)
    assert knitter.state.weighings[-1].colour is None


def test_a_corrected_count_takes_the_weight_of_a_colour_with_it() -> None:
    knitter = striped()
    knitter.to("leg", 6)
    knitter.do("weigh", grams=40.0, text="40", colour="navy")
    knitter.do("at", round=3)
    assert [(w.stitches, w.in_colour) for w in knitter.state.weighings] == [(25 * 64, 2 * 64)]
    knitter.do("undo")
    assert [(w.stitches, w.in_colour) for w in knitter.state.weighings] == [(28 * 64, 4 * 64)]


def test_the_main_colour_may_be_called_main() -> None:
    knitter = Knitter(Course(sock({"colours.toe": "grey"})))
    knitter.do("weigh", grams=40.0, text="40", colour="main")
    assert knitter.events[-1].data["colour"] == "the main colour"


@pytest.mark.parametrize(
    ("colour", "why"),
    [
        ("nvay", 'there is no "nvay" in this pattern; write navy'),
        ("crem", 'there is no "crem" in this pattern; write cream'),
        ("pink\x1b", 'there is no "pink?" in this pattern; write navy, cream, grey'),
        ("", 'there is no "" in this pattern; write navy, cream, grey'),
    ],
)
def test_a_colour_that_there_is_not(colour: str, why: str) -> None:
    knitter = striped()
    with pytest.raises(Refused) as refused:
        knitter.do("weigh", grams=40.0, text="40", colour=colour)
    assert str(refused.value) == why
    assert knitter.state.weighings == ()


@pytest.mark.parametrize("colours", [{}, {"colours.leg": ["navy"]}])
def test_where_there_are_not_several_colours_all_the_yarn_is_weighed(
    colours: dict[str, object],
) -> None:
    knitter = Knitter(Course(sock(colours)))
    with pytest.raises(Refused, match="does not tell of several colours; weigh all the yarn"):
        knitter.do("weigh", grams=40.0, text="40", colour="navy")


@pytest.mark.parametrize("colour", ["pink", 3, None, ["navy"]])
def test_a_colour_that_anyone_may_have_written_is_no_history(colour: object) -> None:
    knitter = striped()
    data = {"grams": 40.0, "text": "40", "colour": colour}
    with pytest.raises(BadHistory, match=r"event 2 \(weigh\) cannot be replayed"):
        knitter.replay.apply(Event(2, knitter.now, 60, 1, "weigh", data, b""))
