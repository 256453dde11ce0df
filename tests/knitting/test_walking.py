"""How ticks walk a sock from cuff to graft: sections that end by themselves, row 0, needles."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import Knitter, sock_of_64
from tests.pattern.making import pattern
from tracker.knitting import pair
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.state import Sock

# Counts of the sock of 64 stitches (common practice, no source): rows of each section, row 0 out.
ROWS = {
    "cuff": 22, "leg": 46, "heel set-up": 1, "flap": 32, "turn": 14, "gusset": 19, "foot": 44,
    "toe": 20, "graft": 1,
}  # fmt: skip
MADE = {
    "cuff": 1408, "leg": 2944, "heel set-up": 16, "flap": 752, "turn": 185, "gusset": 1471,
    "foot": 2816, "toe": 824, "graft": 0,
}  # fmt: skip
"""Stitches made (common practice, no source), 10,416 in all."""


def test_the_course_has_the_trades_counts() -> None:
    course = sock_of_64()
    assert {section.name: section.planned for section in course.sections} == ROWS
    made = {
        section.name: course.made(index, len(section.rows))
        for index, section in enumerate(course.sections)
    }
    assert made == MADE
    assert course.stitches == 10_416


@pytest.mark.parametrize("section", ["cuff", "heel set-up", "flap", "turn", "gusset", "toe"])
def test_counted_sections_end_by_themselves(section: str) -> None:
    knitter = Knitter()
    knitter.to(section)
    index = knitter.sock().section
    first = knitter.course.sections[index].first
    knitter.tick(ROWS[section] + 1 - first)
    after = knitter.course.sections[index + 1]
    assert knitter.place() == (after.name, 0, 0)
    assert knitter.sock().ended[-1] == ROWS[section]


@pytest.mark.parametrize("section", ["leg", "foot"])
def test_open_sections_go_on_until_she_ends_them(section: str) -> None:
    knitter = Knitter()
    knitter.to(section)
    knitter.tick(ROWS[section] + 7)
    assert knitter.place() == (section, ROWS[section] + 7, 0)
    knitter.do("end")
    assert knitter.sock().ended[-1] == ROWS[section] + 7


def test_rows_past_the_plan_repeat_the_cycle() -> None:
    course = sock_of_64()
    leg = course.sections[1]
    assert leg.row(60)._replace(number=46) == leg.row(46)
    assert course.made(1, 60) == 60 * 64


def test_done_is_nought_before_and_after_the_pick_up() -> None:
    """The pick-up is worked and not counted: done 0 twice, next 0 and then 1."""
    knitter = Knitter()
    knitter.to("gusset")
    before = knitter.look()
    assert (before.place.done, before.place.planned, before.next and before.next.number) == (
        0, 19, 0,
    )  # fmt: skip
    knitter.tick()
    after = knitter.look()
    assert (after.place.done, after.place.planned, after.next and after.next.number) == (0, 19, 1)
    assert [needle.stitches for needle in before.needles] == [9, 16, 16, 9]
    assert [needle.stitches for needle in after.needles] == [26, 16, 16, 26]


def test_pick_up_is_twenty_ticks_with_nineteen_rounds() -> None:
    knitter = Knitter()
    knitter.to("gusset")
    knitter.tick(19)
    assert knitter.place() == ("gusset", 18, 0)
    knitter.tick()
    assert knitter.place() == ("foot", 0, 0)


def test_after_the_graft_there_is_no_next() -> None:
    knitter = Knitter()
    knitter.finish()
    glance = knitter.look()
    assert (glance.place.section, glance.place.done, glance.next) == ("graft", 1, None)
    assert glance.place.needle is None
    assert glance.needles == ()
    assert glance.minutes_to_go == 0


@pytest.mark.parametrize("unit", ["rounds", "needles"])
def test_a_tick_past_the_graft_is_refused_and_records_nothing(unit: str) -> None:
    knitter = Knitter()
    knitter.finish()
    before = knitter.state
    with pytest.raises(Refused, match="sock one is finished: nothing is left to count"):
        knitter.do("tick", None, **{unit: 1})
    assert knitter.state == before
    assert knitter.replay.events == len(knitter.events)


def test_ticks_past_the_graft_say_how_many_are_left() -> None:
    knitter = Knitter()
    knitter.to("toe", 18)
    with pytest.raises(Refused, match="only 3 rounds are left on sock one; write 1 to 3"):
        knitter.tick(4)
    with pytest.raises(Refused, match="only 9 needles are left on sock one; write 1 to 9"):
        knitter.needle(10)
    knitter.tick(2)
    with pytest.raises(Refused, match="only 1 row is left on sock one; write 1"):
        knitter.tick(2)
    assert knitter.place() == ("graft", 0, 0)


@pytest.mark.parametrize("asked", [1, 1000])
def test_so_many_ticks_can_be(asked: int) -> None:
    knitter = Knitter()
    knitter.to("foot")
    assert knitter.tick(asked).socks[0].rows == asked


@pytest.mark.parametrize("asked", [0, -1, 1001])
def test_so_many_ticks_cannot_be(asked: int) -> None:
    with pytest.raises(Refused, match=f"{asked} rounds at once cannot be; write 1 to 1000"):
        Knitter().tick(asked)


# Needle by needle


def places(knitter: Knitter) -> list[Sock]:
    """Both socks without the minutes: what nobody timed is guessed by the stitches of a tick."""
    return [sock._replace(minutes=None, minutes_at=()) for sock in knitter.state.socks]


@pytest.mark.parametrize("needles", ["five", "four"])
def test_needle_by_needle_is_round_by_round(needles: str) -> None:
    """Every needle of the sock one by one: the same places at every end of a round."""
    rounds, by_needle = Knitter(sock_of_64(needles)), Knitter(sock_of_64(needles))
    ends = {"leg": 46, "foot": 44}
    while not rounds.sock().finished:
        section = rounds.course.sections[rounds.sock().section]
        row = rounds.course.row(rounds.sock().section, rounds.sock().rows)
        ticks = 1 if row.side else len(row.needles)
        rounds.tick()
        for ticked in range(1, ticks):
            by_needle.needle()
            assert by_needle.sock().needles == ticked
        by_needle.needle()
        assert places(by_needle) == places(rounds)
        assert pair.made(by_needle.course, by_needle.state, 1) == pair.made(
            rounds.course, rounds.state, 1
        )
        if rounds.place()[:2] == (section.name, ends.get(section.name)):
            rounds.do("end")
            by_needle.do("end")
    assert pair.made(rounds.course, rounds.state, 1) == 10_416


def test_four_needles_are_four_ticks_and_the_end_costs_none() -> None:
    knitter = Knitter()
    knitter.to("leg", 40)
    seen = []
    for _ in range(5):
        place = knitter.look(by="needles").place
        seen.append((place.done, place.needle, place.at_marker, place.last_needle))
        knitter.needle()
    assert seen == [
        (40, "N1", True, False),
        (40, "N2", False, False),
        (40, "N3", False, False),
        (40, "N4", False, True),
        (41, "N1", True, False),
    ]


def test_a_round_tick_finishes_the_round_in_hand() -> None:
    knitter = Knitter()
    knitter.to("leg", 40)
    knitter.needle(3)
    knitter.tick()
    assert knitter.place() == ("leg", 41, 0)


def test_the_round_in_hand_is_the_first_of_many() -> None:
    knitter = Knitter()
    knitter.to("leg", 40)
    knitter.needle()
    knitter.tick(5)
    assert knitter.place() == ("leg", 45, 0)
    assert pair.made(knitter.course, knitter.state, 1) == 1408 + 45 * 64


def test_needles_ticked_count_their_own_stitches() -> None:
    """Gusset round 1 of the 64-stitch sock: needle 1 goes from 26 to 25 with 25 stitches made."""
    knitter = Knitter()
    knitter.to("gusset")
    knitter.tick()
    before = pair.made(knitter.course, knitter.state, 1)
    knitter.needle()
    assert pair.made(knitter.course, knitter.state, 1) == before + 25
    assert [needle.stitches for needle in knitter.look().needles] == [25, 16, 16, 26]


def test_a_row_worked_flat_is_one_needle() -> None:
    knitter = Knitter()
    knitter.to("flap")
    knitter.needle(5)
    assert knitter.place() == ("flap", 5, 0)
    glance = knitter.look(by="needles")
    assert [needle.name for needle in glance.needles] == ["heel"]
    assert [(rest.name, rest.stitches) for rest in glance.resting] == [("N2", 16), ("N3", 16)]
    assert not glance.place.last_needle


def test_toe_round_three_is_found_on_its_second_needle() -> None:
    """Needle 1 of the 64-stitch sock's third toe round done at 14, then everything reopened."""
    knitter = Knitter()
    knitter.to("toe", 2)
    knitter.needle()
    again = Knitter()
    again.events, again.replay = (
        knitter.events,
        type(knitter.replay)(knitter.course, knitter.events),
    )
    glance = again.look(by="needles")
    assert (glance.place.section, glance.place.done, glance.place.needle) == ("toe", 2, "N2")
    assert glance.next is not None
    assert glance.next.number == 3
    assert [needle.stitches for needle in glance.needles] == [14, 15, 15, 15]
    assert [needle.finished for needle in glance.needles] == [True, False, False, False]


@given(st.integers(0, 200))
def test_stitches_past_the_plan_are_those_of_its_rows_come_again(rows: int) -> None:
    """A leg in a repeat of three rounds of unlike counts: counted row by row."""
    table = {"needles": [20], "rows": ["k", "k2tog, k", "k1, M1L, k"], "until": "15 cm"}
    course = Course(pattern(table, gauge={"stitches": 30, "rows": 42, "per": "10 cm"}))
    assert course.made(0, rows) == sum(course.row(0, at).worked for at in range(rows))
