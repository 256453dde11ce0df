"""Orders of work: whose turn it is, and two socks at once. Common practice, no source."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import FLAP, FOOT, GUSSET, SET_UP, TURN, Knitter, sock_of_64
from tracker import words
from tracker.knitting import pair, step, turns
from tracker.knitting.course import Course
from tracker.knitting.cues import ITS_TURN, Cue
from tracker.knitting.decide import Refused
from tracker.knitting.state import Number
from tracker.pattern.orders import BadOrder, Order, read_order


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("one, then the other", Order()),
        ("one then the other", Order()),
        (" Section  by section ", Order("sections")),
        ("together", Order("together")),
        ("every 10 rounds", Order("every", 10)),
        ("every 1 round", Order("every", 1)),
    ],
)
def test_orders_as_they_are_written(text: str, order: Order) -> None:
    assert read_order(text) == order
    assert read_order(order.told) == order


@pytest.mark.parametrize(
    "text",
    ["", "both", "every rounds", "every 0 rounds", "every 999 rounds", "every ٣ rounds", "x" * 99],
)
def test_what_is_no_order(text: str) -> None:
    with pytest.raises(BadOrder, match='is no order of work; write "one, then the other"'):
        read_order(text)


OF_ORDER = ("other-sock", "turn")
STILL = ("other-sock", "still its turn")


def together() -> Knitter:
    knitter = Knitter(sock_of_64("two circulars"))
    knitter.do("order", order="together")
    return knitter


def places(knitter: Knitter) -> list[tuple[int, int, int]]:
    return [sock[:3] for sock in knitter.state.socks]


def test_a_round_is_one_for_both() -> None:
    knitter = together()
    knitter.tick(3)
    assert places(knitter) == [(0, 3, 0), (0, 3, 0)]
    assert (
        pair.made(knitter.course, knitter.state, 1)
        == pair.made(knitter.course, knitter.state, 2)
        == 192
    )
    knitter.do("undo")
    assert places(knitter) == [(0, 0, 0), (0, 0, 0)]


def test_needle_by_needle_it_goes_round_both() -> None:
    """One-A, two-A, two-B, one-B; the sock whose needle is next is the one in hand."""
    knitter = together()
    seen = []
    for _ in range(5):
        seen.append((knitter.state.hand, *places(knitter)))
        knitter.needle()
    assert seen == [
        (1, (0, 0, 0), (0, 0, 0)), (2, (0, 0, 1), (0, 0, 0)), (2, (0, 0, 1), (0, 0, 1)),
        (1, (0, 0, 1), (0, 1, 0)), (1, (0, 1, 0), (0, 1, 0)),
    ]  # fmt: skip


def test_a_sock_named_is_counted_alone_and_then_the_places_differ() -> None:
    knitter = together()
    knitter.tick(3)
    knitter.do("tick", 2, rounds=1, alone=True)
    assert places(knitter) == [(0, 3, 0), (0, 4, 0)]
    knitter.tick()
    assert places(knitter) == [(0, 4, 0), (0, 4, 0)], "that in hand catches up"
    knitter.tick()
    assert places(knitter) == [(0, 5, 0), (0, 5, 0)]


def test_the_end_of_the_leg_is_the_end_of_both() -> None:
    knitter = together()
    knitter.tick(22)
    knitter.tick(40)
    knitter.do("end")
    assert [sock.ended for sock in knitter.state.socks] == [(22, 40), (22, 40)]
    knitter.do("undo")
    knitter.do("end", at=38)
    assert [sock.ended for sock in knitter.state.socks] == [(22, 38, 1), (22, 38, 1)]
    assert [sock.rows for sock in knitter.state.socks] == [1, 1], "two rounds went to what follows"


def test_the_heel_is_worked_sock_by_sock() -> None:
    knitter = together()
    knitter.tick(22)
    knitter.tick(46)
    knitter.do("end")
    knitter.tick(1 + 32 + 14 + 1)
    assert [sock.section for sock in knitter.state.socks] == [6, 2], "the pick-up is for both again"
    turns = [cue for cue in knitter.look().cues if (cue.kind, cue.about) == OF_ORDER]
    assert [cue.data["section"] for cue in turns] == ["heel set-up"]
    knitter.do("other")
    knitter.tick(1 + 32 + 14 + 1)
    assert knitter.look().both
    knitter.tick(20)
    assert [sock.section for sock in knitter.state.socks] == [7, 7]
    assert step.in_step(knitter.state)


def test_minutes_are_shared_by_stitches() -> None:
    knitter = together()
    knitter.tick()
    one, two = (sock.minutes for sock in knitter.state.socks)
    knitter.tick()
    assert [sock.minutes for sock in knitter.state.socks] == [(one or 0) + 1.0, (two or 0) + 1.0]
    assert knitter.state.timed[-1].stitches == 128


@given(st.lists(st.sampled_from(["round", "needle", "undo", "other"]), max_size=40))
def test_together_the_socks_are_never_more_than_a_round_apart(acts: list[str]) -> None:
    knitter = together()
    for act in acts:
        if act == "round":
            knitter.tick()
        elif act == "needle":
            knitter.needle()
        elif act == "undo" and len(knitter.replay.live) < 3:
            continue  # the order itself stays
        else:
            try:
                knitter.do(act)
            except Refused:
                continue
        one, two = (pair.rounds(knitter.course, knitter.state, number) for number in (1, 2))
        assert abs(one - two) <= 1


def turn_of(knitter: Knitter) -> Cue | None:
    return next((cue for cue in knitter.look().cues if (cue.kind, cue.about) == OF_ORDER), None)


def test_section_by_section() -> None:
    """Cuff, cuff, leg, leg, the heel in one: the lag is never more than one of them."""
    knitter = Knitter()
    knitter.do("order", order="section by section")
    seen: list[tuple[int, str]] = []
    for _ in range(1_000):
        if all(sock.finished for sock in knitter.state.socks):
            break
        place = knitter.place()
        if not seen or seen[-1] != (knitter.state.hand, place[0]):
            seen.append((knitter.state.hand, place[0]))
        cue = turn_of(knitter) or next(
            (
                one
                for one in knitter.look().cues
                if one.kind == "other-sock" and knitter.sock().finished
            ),
            None,
        )
        if cue is not None:
            knitter.do("other")
            continue
        here = knitter.course.sections[knitter.sock().section]
        if here.goal and place[1] >= here.planned:
            knitter.do("end")
            continue
        knitter.tick()
    starts = [
        place for place in seen if place[1] in ("cuff", "leg", "heel set-up", "gusset", "foot")
    ]
    assert starts == [
        (1, "cuff"), (1, "leg"), (2, "cuff"), (2, "leg"), (2, "heel set-up"), (1, "leg"),
        (1, "heel set-up"), (1, "gusset"), (2, "heel set-up"), (2, "gusset"), (2, "foot"),
        (1, "gusset"), (1, "foot"), (2, "foot"),
    ]  # fmt: skip
    assert step.in_step(knitter.state)


def test_every_ten_rounds() -> None:
    knitter = Knitter()
    knitter.do("order", order="every 10 rounds")
    knitter.tick(9)
    assert turn_of(knitter) is None
    knitter.tick()
    cue = turn_of(knitter)
    assert cue is not None
    assert (cue.data["other"], cue.data["rounds"]) == (2, 10)
    knitter.do("other")
    knitter.tick(10)
    cue = turn_of(knitter)
    assert cue is not None
    assert (cue.data["other"], cue.data["rounds"]) == (1, 10), "level: ten more on sock one"
    knitter.tick(10)
    assert turn_of(knitter) is not None


def whose(knitter: Knitter) -> tuple[int, int]:
    """Of so many rounds on each in turn: whose turn it is, and for how many rounds more."""
    hand = knitter.state.hand
    left = turns.own_turn(knitter.course, knitter.state, hand)
    told = turns.turn(knitter.course, knitter.state, hand)
    assert (left is None) != (told is None)
    return (hand, left.rounds) if left is not None else (told.to, told.rounds) if told else (0, 0)


@given(st.integers(1, 12), st.lists(st.tuples(st.integers(1, 9), st.booleans()), max_size=12))
def test_of_so_many_rounds_on_each_it_is_always_said_whose_turn_it_is(
    block: int, runs: list[tuple[int, bool]]
) -> None:
    """From the cast-on on, on either sock; both say the same, and who follows it is never further apart."""
    knitter = Knitter()
    knitter.do("order", order=f"every {block} rounds")
    assert whose(knitter) == (1, block)
    for rounds, follows in runs:
        to, left = whose(knitter)
        if follows and to != knitter.state.hand:
            knitter.do("other")
        knitter.tick(min(rounds, left or rounds) if follows else rounds)
        here = whose(knitter)
        knitter.do("other")
        assert whose(knitter) == here
        one, two = (pair.rounds(knitter.course, knitter.state, number) for number in (1, 2))
        if all(follow for _, follow in runs):
            assert 0 <= one - two <= block


def test_turns_are_counted_from_where_the_socks_were_when_the_order_was_given() -> None:
    knitter = Knitter()
    for sock in (1, 2):
        knitter.tick(19, sock)
    knitter.do("order", order="every 10 rounds")
    assert whose(knitter) == (1, 10)
    knitter.tick(5, 1)
    assert whose(knitter) == (1, 5)
    knitter.tick(5, 1)
    assert whose(knitter) == (2, 10)
    knitter.tick(10, 2)
    assert whose(knitter) == (1, 10)


def test_where_they_were_apart_the_other_comes_up_first() -> None:
    knitter = Knitter()
    knitter.tick(19, 1)
    knitter.tick(3, 2)
    knitter.do("order", order="every 10 rounds")
    assert whose(knitter) == (2, 16)
    assert turn_of(knitter) is not None, "loud: she has not gone on"
    knitter.tick(16, 2)
    assert whose(knitter) == (1, 10)
    knitter.do("order", order="every 4 rounds")
    assert whose(knitter) == (1, 4)
    knitter.do("undo")
    assert whose(knitter) == (1, 10)


def in_heel(knitter: Knitter, number: Number) -> bool:
    """Whether a heel is begun: from its first row on to the end of the pick-up row."""
    sock = knitter.sock(number)
    if sock.section == SET_UP:
        return sock.rows > 0
    return sock.section in (FLAP, TURN) or (sock.section == GUSSET and not sock.rows)


@pytest.mark.parametrize(("before", "block"), [(1, 7), (5, 10), (36, 10), (43, 3), (45, 1)])
def test_no_turn_ends_inside_a_heel(before: int, block: int) -> None:
    """She follows it from the leg to the foot: every turn is so many rounds, and the heel besides."""
    knitter = Knitter()
    for sock in (1, 2):
        knitter.to("leg", before, sock)
    knitter.do("order", order=f"every {block} rounds")
    changes = 0
    while knitter.sock(1).section < FOOT or knitter.sock(2).section < FOOT:
        to, left = whose(knitter)
        assert 0 < left <= block
        if to != knitter.state.hand:
            assert not any(in_heel(knitter, sock) for sock in (1, 2))
            knitter.do("other")
            changes += 1
        knitter.tick()
        place = knitter.place()
        if place[0] == "leg" and place[1] == 46:
            knitter.do("end")
    assert changes


def test_a_heel_that_is_begun_is_finished_first_whoever_s_turn_it_was() -> None:
    knitter = Knitter()
    knitter.to("leg", 30, 2)
    knitter.to("flap", 5, 1)
    knitter.do("order", order="every 10 rounds")
    assert whose(knitter) == (1, 0)
    glance = knitter.look(1)
    cue = next(one for one in glance.cues if one.about == ITS_TURN)
    assert words.cue_text(cue, glance) == ("sock one's turn: the heel, then sock two", "")
    glance = knitter.look(2)
    cue = next(one for one in glance.cues if one.about in ("turn", "still its turn"))
    assert words.cue_text(cue, glance)[0].endswith("sock one's turn: the heel")
    knitter.to("gusset", sock=1)
    assert whose(knitter) == (1, 0), "the stitches are not picked up yet"
    knitter.tick(1, 1)
    assert whose(knitter) == (2, 16)
    knitter.tick(16, 2)
    assert whose(knitter) == (1, 10)


def test_in_the_heel_its_rounds_are_those_that_follow() -> None:
    knitter = Knitter()
    knitter.to("leg", 42, 1)
    knitter.to("leg", 42, 2)
    knitter.do("order", order="every 10 rounds")
    knitter.to("flap", 5, 1)
    glance = knitter.look(1)
    cue = next(one for one in glance.cues if one.about == ITS_TURN)
    assert (
        words.cue_text(cue, glance)[0]
        == "sock one's turn: the heel and 6 more rounds, then sock two"
    )
    knitter.to("gusset", 6, 1)
    told = turn_of(knitter)
    assert told is not None, "as loud after a heel as ever"
    assert (told.data["other"], told.data["rounds"]) == (2, 10)


def test_whose_turn_it_is_stands_behind_all_else_and_needs_no_key() -> None:
    knitter = Knitter()
    knitter.do("order", order="every 10 rounds")
    knitter.tick(6)
    glance = knitter.look()
    cue = next(one for one in glance.cues if one.about == ITS_TURN)
    assert words.cue_text(cue, glance) == ("sock one's turn: 4 more rounds, then sock two", "")
    assert words.cue_brief(cue, glance) == "sock one's turn, 4 more"
    knitter.tick(4)
    told = [one.about for one in knitter.look().cues]
    assert ITS_TURN not in told
    assert "turn" in told


def test_together_takes_needles_that_hold_both() -> None:
    knitter = Knitter()
    with pytest.raises(Refused, match="both socks at once take two circulars or one long circular"):
        knitter.do("order", order="together")
    with pytest.raises(Refused, match="one, then the other is the order already"):
        knitter.do("order", order="one, then the other")


def second_set(knitter: Knitter) -> Cue | None:
    return next((cue for cue in knitter.look().cues if cue.about == "second set"), None)


def ordered(order: str, spare: str = "") -> Knitter:
    """A pair that was started in an order of work, with a second set of needles or without."""
    pattern = sock_of_64().pattern._replace(order=read_order(order), spare_set=spare)
    return Knitter(Course(pattern))


def test_a_second_set_that_is_not_named_is_told_at_the_start_and_with_the_order() -> None:
    knitter = ordered("section by section")
    told = second_set(knitter)
    assert told is not None
    assert told.data["order"] == "section by section"
    knitter.tick()
    assert second_set(knitter) is None
    knitter.do("order", order="every 10 rounds")
    assert second_set(knitter) is not None, "as long as nothing was done since"
    knitter.tick()
    assert second_set(knitter) is None
    assert second_set(ordered("section by section", "five of 2.5 mm")) is None
    assert second_set(ordered("one, then the other")) is None


def test_the_sock_that_is_to_be_cast_on_is_told_what_it_is_cast_on_to() -> None:
    knitter, named = ordered("every 3 rounds"), ordered("every 3 rounds", "five of 2.5 mm")
    for one in (knitter, named):
        one.tick(3)
    here, there = turn_of(knitter), turn_of(named)
    assert here is not None
    assert there is not None
    assert (here.data["second_set"], there.data["second_set"]) == (True, False)
    knitter.tick(1, 2)
    knitter.tick(1)
    here = turn_of(knitter)
    assert here is not None
    assert not here.data["second_set"], "it hangs on something already"


def test_undo_takes_the_order_back() -> None:
    knitter = Knitter()
    before: Any = knitter.state
    knitter.do("order", order="every 5 rounds")
    assert knitter.state.order == Order("every", 5)
    knitter.do("undo")
    assert knitter.state == before


def still(knitter: Knitter) -> Cue | None:
    """The quieter cue, once she has gone on."""
    return next((cue for cue in knitter.look().cues if (cue.kind, cue.about) == STILL), None)


def test_whose_turn_it_is_stays_until_she_has_followed_it() -> None:
    """Loud at the section's end; quieter, behind the others, once she has gone on; gone when followed."""
    knitter = Knitter()
    knitter.do("order", order="section by section")
    knitter.tick(22)
    assert turn_of(knitter) is not None
    assert still(knitter) is None
    for _ in range(3):
        knitter.tick()
        told = still(knitter)
        assert turn_of(knitter) is None
        assert told is not None
        assert (told.data["other"], told.data["section"]) == (2, "cuff")
    knitter.needle()
    assert still(knitter) is not None, "inside a round, too"
    knitter.do("other")
    assert (turn_of(knitter), still(knitter)) == (None, None)
    knitter.tick(22)
    assert (turn_of(knitter), still(knitter)) == (None, None), "level: on with the leg"


def test_every_other_cue_stands_before_the_quiet_one() -> None:
    knitter = Knitter()
    knitter.do("order", order="section by section")
    knitter.tick(22)
    knitter.tick(10)
    told = [(cue.kind, cue.about) for cue in knitter.look().cues]
    assert told.index(STILL) > told.index(("pin", "every tenth"))


def test_every_ten_rounds_it_stays_as_well() -> None:
    knitter = Knitter()
    knitter.do("order", order="every 10 rounds")
    knitter.tick(10)
    assert turn_of(knitter) is not None
    knitter.tick(2)
    cue = still(knitter)
    assert turn_of(knitter) is None
    assert cue is not None
    assert (cue.data["rounds"], cue.data["behind"]) == (10, 12)
    knitter.needle()
    assert still(knitter) is not None
    knitter.do("other")
    assert (turn_of(knitter), still(knitter)) == (None, None)


def test_together_the_sock_that_was_left_at_its_heel_is_told_until_it_is_fetched() -> None:
    knitter = together()
    knitter.tick(22)
    knitter.tick(46)
    knitter.do("end")
    knitter.tick(1 + 32 + 14 + 1)
    assert turn_of(knitter) is not None
    knitter.tick(6)
    cue = still(knitter)
    assert cue is not None
    assert (cue.data["section"], cue.data["behind"]) == ("heel set-up", 53)
    knitter.do("other")
    assert still(knitter) is None
    knitter.tick(1 + 32 + 14 + 1)
    assert (turn_of(knitter), still(knitter)) == (None, None), "it comes up to the first"
    knitter.tick(6)
    assert knitter.look().both


def test_together_a_round_that_one_sock_has_more_is_told() -> None:
    knitter = together()
    knitter.tick(3)
    knitter.do("tick", 1, rounds=1, alone=True)
    cue = turn_of(knitter)
    assert cue is not None
    assert (cue.data["why"], cue.data["behind"]) == ("together", 1)
    knitter.do("tick", 1, rounds=1, alone=True)
    cue = still(knitter)
    assert cue is not None
    assert cue.data["behind"] == 2
    knitter.do("other")
    assert (turn_of(knitter), still(knitter)) == (None, None)
    knitter.tick(2)
    assert (turn_of(knitter), still(knitter)) == (None, None)
    assert knitter.look().both


def test_together_needle_by_needle_nobody_is_told_to_change() -> None:
    """On the way round both socks the program changes by itself."""
    knitter = together()
    for _ in range(40):
        knitter.needle()
        for sock in (1, 2):
            kinds = {(cue.kind, cue.about) for cue in knitter.look(sock, by="needles").cues}
            assert not kinds & {OF_ORDER, STILL}


@given(
    st.sampled_from(["section by section", "every 3 rounds", "every 20 rounds"]),
    st.lists(st.integers(1, 9), max_size=25),
)
def test_once_told_it_is_told_until_the_other_sock_has_come_up(order: str, runs: list[int]) -> None:
    knitter = Knitter()
    knitter.do("order", order=order)
    told = False
    for run in runs:
        knitter.tick(run)
        here = turn_of(knitter) or still(knitter)
        assert here is not None or not told
        told = told or here is not None


def test_an_order_that_the_needles_do_not_hold_is_told_by_the_sock_that_is_on_them() -> None:
    knitter = Knitter()
    knitter.tick(3)
    knitter.do("changed", 1, **{"as": "set", "value": "two circulars", "copy": False})
    with pytest.raises(Refused, match="one long circular, sock two is on a set of five; write"):
        knitter.do("order", order="together")
    knitter.do("changed", 2, **{"as": "set", "value": "four", "copy": False})
    with pytest.raises(Refused, match="sock two is on a set of four; write"):
        knitter.do("order", order="together")
    knitter.do("undo")
    knitter.do("undo")
    with pytest.raises(Refused, match="this pair is on a set of five; write"):
        knitter.do("order", order="together")
    knitter.do("changed", 2, **{"as": "set", "value": "four", "copy": False})
    with pytest.raises(
        Refused, match="sock one is on a set of five and sock two is on a set of four; write"
    ):
        knitter.do("order", order="together")


def test_a_refusal_speaks_of_the_keys_in_force() -> None:
    knitter = Knitter()
    knitter.tick(2)
    keys = {"at": "$", "other": "end", "rip": "f1"}
    with pytest.raises(Refused) as refused:
        knitter.do("tick", 1, over=1)
    assert refused.value.at_needles(keys).endswith("correct the count of both: 31 $, end, 31 $")
    with pytest.raises(Refused) as refused:
        knitter.do("rip", round=2)
    assert refused.value.at_needles(keys).endswith("type how many came off, like 2 f1")
    with pytest.raises(Refused) as refused:
        knitter.do("rip", by=0)
    assert refused.value.at_needles(keys) == ""
