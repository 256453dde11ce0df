"""Open sections ended now, earlier, or inside a round; counts corrected with `at`; goals, readings."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import Knitter, sock_of_64
from tracker.knitting import pair, step
from tracker.knitting.decide import Refused


def at_leg(done: int, needles: int = 0) -> Knitter:
    knitter = Knitter()
    knitter.to("leg", done)
    if needles:
        knitter.needle(needles)
    return knitter


# End


def test_end_now() -> None:
    knitter = at_leg(45)
    knitter.do("end")
    assert knitter.place() == ("heel set-up", 0, 0)
    assert knitter.sock().ended == (22, 45)


def test_rounds_after_an_earlier_end_go_on_into_what_follows() -> None:
    """Leg ended at 43 of 50: seven rows on are the set-up row and six of the flap."""
    knitter = at_leg(50)
    knitter.do("end", at=43)
    assert knitter.place() == ("flap", 6, 0)
    assert knitter.sock().ended == (22, 43, 1)


def test_the_pick_up_is_among_the_rows_that_follow() -> None:
    """Leg ended at 10 of 60: 1 set-up, 32 flap, 14 turn, then row 0 and two rounds of the gusset."""
    knitter = at_leg(60)
    knitter.do("end", at=10)
    assert knitter.place() == ("gusset", 2, 0)


def test_ending_inside_a_round_takes_its_needles_back() -> None:
    knitter = at_leg(45, needles=3)
    knitter.do("end")
    assert knitter.place() == ("heel set-up", 0, 0)
    assert knitter.sock().ended == (22, 45)
    assert pair.made(knitter.course, knitter.state, 1) == 1408 + 45 * 64
    knitter.do("undo")
    assert knitter.place() == ("leg", 45, 3)


def test_ending_earlier_inside_a_round() -> None:
    knitter = at_leg(45, needles=2)
    knitter.do("end", at=44)
    assert knitter.place() == ("flap", 0, 0)


@pytest.mark.parametrize(("at", "ended"), [(1, 1), (44, 44), (45, 45)])
def test_any_round_done_can_be_the_end(at: int, ended: int) -> None:
    knitter = at_leg(45)
    knitter.do("end", at=at)
    assert knitter.sock().ended[1] == ended


@pytest.mark.parametrize("at", [0, -1, 46])
def test_a_round_not_done_cannot_be_the_end(at: int) -> None:
    with pytest.raises(Refused, match=f"round {at} of the leg is not done; write 1 to 45"):
        at_leg(45).do("end", at=at)


def test_a_section_of_which_nothing_is_done_cannot_end() -> None:
    with pytest.raises(Refused, match="no round of the leg is done yet; count one, then end it"):
        at_leg(0).do("end")


def test_more_rounds_than_follow_cannot_move_on() -> None:
    """After the foot come 20 rounds of toe and the graft: 21 rows, not 22."""
    knitter = Knitter()
    knitter.to("foot", 45)
    before = knitter.state
    with pytest.raises(
        Refused, match="22 rounds are more than what follows the foot; write 24 to 45"
    ):
        knitter.do("end", at=23)
    assert knitter.state == before
    knitter.do("end", at=24)
    assert knitter.sock().finished
    assert sum(knitter.sock().ended) == 22 + 46 + 1 + 32 + 14 + 19 + 24 + 20 + 1


@pytest.mark.parametrize(
    ("section", "says"),
    [
        ("cuff", "the cuff ends by itself after round 22; count on"),
        ("flap", "the flap ends by itself after row 32; count on"),
        ("toe", "the toe ends by itself after round 20; count on"),
    ],
)
def test_a_counted_section_ends_by_itself(section: str, says: str) -> None:
    knitter = Knitter()
    knitter.to(section, 1)
    with pytest.raises(Refused, match=says):
        knitter.do("end")


def test_nothing_is_left_to_end_on_a_finished_sock() -> None:
    knitter = Knitter()
    knitter.finish()
    with pytest.raises(Refused, match="sock one is finished: nothing is left to end"):
        knitter.do("end")


# At


@pytest.mark.parametrize("number", [0, 1, 31, 45, 60])
def test_at_says_what_is_done(number: int) -> None:
    knitter = at_leg(45, needles=2)
    knitter.do("at", round=number)
    assert knitter.place() == ("leg", number, 0)


def test_at_takes_no_fabric_for_time() -> None:
    """A correction is no knitting: it leaves no timed work behind."""
    knitter = at_leg(10)
    timed = knitter.state.timed
    knitter.do("at", round=20)
    assert knitter.state.timed == timed


@pytest.mark.parametrize(
    ("section", "number", "place"),
    [
        ("cuff", 5, ("cuff", 5, 0)),
        ("leg", 40, ("leg", 40, 0)),
        ("heel set-up", 0, ("heel set-up", 0, 0)),
        ("heel set-up", 1, ("flap", 0, 0)),
        ("flap", 31, ("flap", 31, 0)),
        ("flap", 32, ("turn", 0, 0)),
        ("gusset", 9, ("gusset", 9, 0)),
        ("foot", 44, ("foot", 44, 0)),
        ("toe", 20, ("graft", 0, 0)),
    ],
)
def test_at_over_sections(section: str, number: int, place: tuple[str, int, int]) -> None:
    for start in (("cuff", 3), ("gusset", 4), ("toe", 7)):
        knitter = Knitter()
        knitter.to(*start)
        knitter.do("at", round=number, section=section)
        assert knitter.place() == place


def test_at_counts_the_sections_it_passes_as_planned() -> None:
    knitter = Knitter()
    knitter.do("at", round=9, section="gusset")
    assert knitter.sock().ended == (22, 46, 1, 32, 14)
    gusset = 75 + 82 + 82 + 80 + 80 + 78 + 78 + 76 + 76 + 74  # the pick-up, rounds 1 to 9
    assert pair.made(knitter.course, knitter.state, 1) == 4352 + 16 + 752 + 185 + gusset


def test_at_keeps_the_rounds_counted_past_the_plan() -> None:
    """She counted 48 rounds of leg and forgot to say that it ended."""
    knitter = at_leg(48)
    knitter.do("at", round=3, section="flap")
    assert knitter.sock().ended == (22, 48, 1)


def test_at_counts_an_open_section_it_passes_as_the_other_sock_ended_it() -> None:
    knitter = at_leg(45)
    knitter.do("end")
    knitter.do("at", 2, round=9, section="gusset")
    assert knitter.sock(2).ended == (22, 45, 1, 32, 14)
    assert step.in_step(knitter.state)


def test_at_goes_back_over_a_section_end() -> None:
    knitter = at_leg(45)
    knitter.do("end")
    knitter.tick(10)
    knitter.do("at", round=40, section="leg")
    assert knitter.place() == ("leg", 40, 0)
    assert knitter.sock().ended == (22,)


def test_at_goes_back_from_the_end() -> None:
    knitter = Knitter()
    knitter.finish()
    knitter.do("at", round=19, section="toe")
    assert knitter.place() == ("toe", 19, 0)
    assert not knitter.sock().finished


def test_at_nought_of_the_gusset_is_after_the_pick_up() -> None:
    knitter = Knitter()
    knitter.do("at", round=0, section="gusset")
    glance = knitter.look()
    assert glance.next is not None
    assert glance.next.number == 1


@pytest.mark.parametrize(
    ("section", "number", "says"),
    [
        ("gusset", 20, "the gusset has no round 20; write 0 to 19"),
        ("flap", 33, "the flap has no row 33; write 0 to 32"),
        ("leg", 5001, "the leg has no round 5001; write 0 to 5000"),
        ("cuff", -1, "the cuff has no round -1; write 0 to 22"),
        ("gussett", 3, 'there is no section "gussett"; write gusset'),
        ("xyz", 3, 'there is no section "xyz"; write cuff, leg, heel set-up'),
    ],
)
def test_a_round_that_is_not_there(section: str, number: int, says: str) -> None:
    knitter = at_leg(3)
    with pytest.raises(Refused, match=says):
        knitter.do("at", round=number, section=section)


def test_a_sock_past_the_other_can_be_corrected_either_way() -> None:
    """Sock one ended its leg at 45 while sock two was at 48: past that, ticks go on."""
    knitter = at_leg(45)
    knitter.to("leg", 48, sock=2)
    knitter.do("end")
    knitter.do("at", 2, round=47)
    assert knitter.place(2) == ("leg", 47, 0)
    knitter.do("at", 2, round=50)
    assert knitter.place(2) == ("leg", 50, 0)
    knitter.do("at", 2, round=47)
    knitter.do("at", 2, round=3, section="gusset")
    assert knitter.sock(2).ended[1] == 47
    with pytest.raises(Refused, match="the leg has no round 46; write 0 to 45"):
        knitter.do("at", 2, round=46, section="leg")


# Goal and tape


def test_a_goal_of_her_own_holds_for_both_socks() -> None:
    knitter = at_leg(3)
    knitter.do("target", mm=170.0, text="17 cm")
    knitter.to("leg", sock=2)
    for sock in (1, 2):
        length = knitter.look(sock).length
        assert length is not None
        assert length.target_mm == 170


def test_no_goal_where_the_count_is_the_goal() -> None:
    knitter = Knitter()
    with pytest.raises(Refused, match="the cuff has a count for its goal: round 22"):
        knitter.do("target", mm=60.0, text="6 cm")
    knitter.finish()
    with pytest.raises(Refused, match="sock one is finished: no goal is left to change"):
        knitter.do("target", mm=60.0, text="6 cm")


def test_no_goal_where_the_other_sock_has_set_the_count() -> None:
    knitter = at_leg(45)
    knitter.do("end")
    knitter.to("leg", sock=2)
    with pytest.raises(Refused, match="the leg ends at round 45, as on the other sock"):
        knitter.do("target", 2, mm=170.0, text="17 cm")


def _from(mark: str) -> dict[str, Any]:
    return {"from": mark}


@pytest.mark.parametrize("rounds", [45, 48])
def test_no_goal_where_the_other_sock_fixed_the_count(rounds: int) -> None:
    knitter = at_leg(45)
    knitter.to("leg", rounds, sock=2)
    knitter.do("end")
    with pytest.raises(Refused, match="the leg ends at round 45, as on the other sock"):
        knitter.do("target", 2, mm=170.0, text="17 cm")


@pytest.mark.parametrize("section", ["heel set-up", "flap", "turn", "toe", "graft"])
def test_no_tape_where_nothing_grows_by_length(section: str) -> None:
    knitter = Knitter()
    knitter.to(section)
    with pytest.raises(Refused, match="there is no length to take at"):
        knitter.do("measure", mm=50.0, step=0)
    assert knitter.look().length is None


@pytest.mark.parametrize(
    ("section", "mark"),
    [("cuff", "cast-on"), ("leg", "cast-on"), ("gusset", "heel"), ("foot", "heel")],
)
def test_the_mark_meant_when_none_is_named(section: str, mark: str) -> None:
    knitter = Knitter()
    knitter.to(section, 5)
    knitter.do("measure", mm=50.0, step=0)
    assert knitter.sock().readings[-1].mark == mark


@pytest.mark.parametrize(
    ("section", "mark", "says"),
    [
        ("cuff", "cuff", "the cuff is measured from cast-on, not from cuff"),
        ("leg", "heel", "the leg is measured from cast-on or cuff, not from heel"),
        ("foot", "cast-on", "the foot is measured from heel, not from cast-on"),
    ],
)
def test_a_mark_that_cannot_be(section: str, mark: str, says: str) -> None:
    knitter = Knitter()
    knitter.to(section, 5)
    with pytest.raises(Refused, match=says):
        knitter.do("measure", mm=50.0, step=0, **_from(mark))


@pytest.mark.parametrize(("section", "mark"), [("cuff", "cast-on"), ("leg", "cuff")])
def test_nothing_to_measure_before_a_round_is_done(section: str, mark: str) -> None:
    knitter = Knitter()
    knitter.to(section)
    with pytest.raises(Refused, match=f"no round of the {section} is done yet"):
        knitter.do("measure", mm=50.0, step=0, **_from(mark))


def test_the_cuff_can_be_measured_at_the_very_start_of_the_leg() -> None:
    knitter = Knitter()
    knitter.to("leg")
    knitter.do("measure", mm=52.0, step=0)
    assert (knitter.sock().readings[-1].section, knitter.sock().readings[-1].row) == (1, 0)


def test_a_kind_this_version_does_not_record() -> None:
    with pytest.raises(Refused, match="abracadabra is not something this version records"):
        Knitter(sock_of_64()).do("abracadabra")
