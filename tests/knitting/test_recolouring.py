"""Colours that go another way than planned: late changes, other colours, and the ball at the cast-on."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import IN_ALL
from tests.knitting.knitter import LEG, SECTIONS, Knitter
from tests.knitting.test_stripes import NAVY_CREAM_RUST, striped
from tracker import cards, change_words
from tracker.forecast import left
from tracker.forecast.coming import Coming
from tracker.knitting import shares, step, stripes
from tracker.knitting.changes import Coloured
from tracker.knitting.clock import Clock
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.stripes import MAIN, Thread, Threads
from tracker.pattern.colours import Colours, Stripe


def changed(knitter: Knitter, value: str = "", sock: Any = None, **data: Any) -> Any:
    """Another colour, told; its event."""
    knitter.do("changed", sock, **{"as": "colour", "value": value, **data})
    return knitter.events[-1].data


def leg(knitter: Knitter, first: int, last: int, sock: Any = None) -> list[tuple[str, int]]:
    """The colours of leg rounds, each with its place in the stripe."""
    told = threads(knitter, sock)
    rows = [told.at(LEG, number - 1) for number in range(first, last + 1)]
    return [(row.name, row.position) for row in rows if row]


def threads(knitter: Knitter, sock: Any = None) -> Threads:
    return stripes.threads(knitter.course, knitter.state, sock or knitter.state.hand)


def at_leg(row: int, **more: Any) -> Knitter:
    knitter = Knitter(striped(**more))
    knitter.to("leg", row)
    return knitter


# Navy 9, cream 3, rust 2 (common practice, no source)


def test_a_stripe_that_is_named_moves_the_clock_and_all_later_stripes_with_it() -> None:
    knitter = at_leg(19)
    told = changed(knitter, "cream")
    assert (told["value"], told["round"], told["then"]) == ("cream, 1 of 3", 20, ["rust", 23])
    assert leg(knitter, 19, 25) == [
        ("navy", 5), ("cream", 1), ("cream", 2), ("cream", 3), ("rust", 1), ("rust", 2), ("navy", 1),
    ]  # fmt: skip


def test_a_place_in_a_stripe_can_be_named() -> None:
    knitter = at_leg(12)
    told = changed(knitter, "CREAM 2", row=12)
    assert (told["value"], told["then"]) == ("cream, 2 of 3", ["rust", 14])
    assert leg(knitter, 11, 15) == [
        ("cream", 2), ("cream", 2), ("cream", 3), ("rust", 1), ("rust", 2),
    ]  # fmt: skip


def test_of_two_stripes_of_one_colour_it_is_the_nearer_one() -> None:
    stripes_of_navy = (Stripe("navy", 9), Stripe("cream", 3), Stripe("navy", 2), Stripe("rust", 4))
    knitter = at_leg(11, stripes=stripes_of_navy)
    assert changed(knitter, "navy")["value"] == "navy, 1 of 2"
    assert changed(knitter, "navy 5", row=5)["value"] == "navy, 5 of 9"


def test_a_stripe_may_be_laid_over_and_the_later_ones_stay() -> None:
    knitter = at_leg(4)
    told = changed(knitter, "rust", stay=True)
    assert (told["value"], told["then"]) == ("rust, the rest as planned", ["cream", 10])
    assert leg(knitter, 4, 10) == [
        ("navy", 4), ("rust", 1), ("rust", 2), ("rust", 3), ("rust", 4), ("rust", 5), ("cream", 1),
    ]  # fmt: skip


def test_a_colour_that_is_no_stripe_holds_to_the_next_change_of_stripe() -> None:
    knitter = at_leg(10)
    assert changed(knitter, "green")["then"] == ["rust", 13]
    assert leg(knitter, 10, 13) == [("cream", 1), ("green", 1), ("green", 2), ("rust", 1)]


def test_a_change_forgotten_by_three_rounds_moves_the_later_stripes() -> None:
    """She saw at round 12 that navy went on; cream comes in round 13, and everything after it later."""
    knitter = at_leg(12)
    told = changed(knitter, late=3)
    assert (told["value"], told["round"], told["then"]) == (
        "cream 3 rounds late",
        10,
        ["cream", 13],
    )
    assert [name for name, _ in leg(knitter, 9, 18)] == ["navy"] * 4 + ["cream"] * 3 + [
        "rust"
    ] * 2 + ["navy"]
    assert [cue.data["to"] for cue in knitter.look().cues if cue.kind == "change"] == ["cream"]


def test_or_it_is_made_up_for_and_the_later_stripes_stay() -> None:
    knitter = at_leg(11)
    changed(knitter, late=2, stay=True)
    assert [name for name, _ in leg(knitter, 9, 14)] == ["navy"] * 3 + ["cream"] + ["rust"] * 2
    changed(knitter, "cream", late=2)
    assert len(knitter.sock().changes) == 1, "told anew it replaces what was told of that round"
    assert [name for name, _ in leg(knitter, 9, 14)] == ["navy"] * 3 + ["cream"] * 3


def test_a_leg_of_46_with_a_late_change_goes_on_over_the_heel() -> None:
    """As planned round 46 is navy 4 and the pick-up round navy 5; three rounds late they are 1 and 2."""
    knitter = at_leg(12)
    changed(knitter, late=3)
    knitter.to("gusset")
    told = threads(knitter)
    assert told.at(LEG, 45) == Thread("navy", 1, 9)
    assert told.at(SECTIONS.index("gusset"), 0) == Thread("navy", 2, 9)
    assert Counter(name for name, _ in leg(knitter, 1, 46)) == {"navy": 31, "cream": 9, "rust": 6}


def test_the_stitch_is_slipped_one_round_after_a_change_she_told() -> None:
    knitter = at_leg(12)
    changed(knitter, late=3)
    told = threads(knitter)
    slips = [row + 1 for row in range(46) if told.slips(LEG, row)]
    assert slips[:3] == [14, 17, 19]
    knitter = at_leg(4)
    changed(knitter, "green")
    told = threads(knitter)
    assert [row + 1 for row in range(12) if told.slips(LEG, row)] == [6, 11]


def test_in_one_colour_another_goes_on_till_one_is_told_and_the_heel_has_its_own() -> None:
    knitter = at_leg(20, stripes=(Stripe("navy", 1),), heel="white")
    told = changed(knitter, "rust")
    assert (told["value"], told["until"]) == ("rust", "")
    knitter.to("foot", 3)
    told_now = threads(knitter)
    names = [
        _name(told_now, section) for section in ("cuff", "leg", "flap", "gusset", "foot", "toe")
    ]
    assert names == ["navy", "navy", "white", "rust", "rust", "rust"]
    assert leg(knitter, 20, 21) == [("navy", 0), ("rust", 0)]
    assert told_now.slips(LEG, 21), "one colour meets another there, too"


def _name(told: Threads, section: str) -> str:
    thread = told.at(SECTIONS.index(section), 0)
    assert thread is not None
    return thread.name


def test_a_pattern_without_colours_has_them_from_the_first_one_told() -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    assert threads(knitter).at(LEG, 20) is None
    changed(knitter, "rust")
    assert leg(knitter, 20, 21) == [(MAIN, 0), ("rust", 0)]
    knitter.do("weigh", grams=20.0, text="20", colour="rust")
    assert knitter.state.weighings[-1].in_colour == 0


def test_a_heel_in_another_colour_ends_with_the_heel() -> None:
    knitter = Knitter(striped())
    knitter.to("flap", 2)
    told = changed(knitter, "white")
    assert told["until"] == "heel"
    assert changed(knitter, "cream", row=1)["value"] == "cream", "no stripe moves over a heel"
    at = {name: _name(threads(knitter), name) for name in ("flap", "turn", "gusset")}
    assert at == {"flap": "cream", "turn": "white", "gusset": "navy"}


@pytest.mark.parametrize(
    ("data", "why"),
    [
        ({"value": ""}, "say which colour it is"),
        ({"value": "x" * 21}, "is too long; write a name of at most 20 letters"),
        ({"value": "cream 4"}, "cream has 3 rounds; write cream 1 to cream 3"),
        ({"value": "cream 0"}, "cream has 3 rounds; write cream 1 to cream 3"),
        ({"value": "green 2"}, '"green" is no stripe of this pattern; write it without a number'),
        ({"late": 2}, "no change was due at round 11, where it is cream, 2 of 3"),
        ({"late": 13}, "13 rounds late cannot be: 12 are done here; write 1 to 12"),
        ({"late": 0}, "write 1 to 12"),
        (
            {"late": 3, "value": "rust"},
            'round 10 is cream, 1 of 3, not "rust"; leave the colour out',
        ),
        ({"value": "navy 5", "ball": True}, "where the ball stands is told at the cast-on"),
    ],
)
def test_what_is_no_colour(data: dict[str, Any], why: str) -> None:
    knitter = at_leg(12)
    with pytest.raises(Refused) as refused:
        changed(knitter, **data)
    assert why in str(refused.value)


def test_late_and_stay_are_said_of_colours_only() -> None:
    knitter = at_leg(12)
    for kind, value in (("needle", "2.25"), ("other", "a cable")):
        with pytest.raises(Refused, match="said of a colour"):
            knitter.do("changed", None, **{"as": kind, "value": value, "stay": True})
    plain = Knitter()
    plain.to("leg", 4)
    with pytest.raises(Refused, match="no stripes are changed here"):
        changed(plain, late=1)


# The other sock, taking back, ripping


def test_the_other_sock_repeats_it_announced_a_round_ahead() -> None:
    knitter = at_leg(12)
    changed(knitter, late=3)
    knitter.to("leg", 8, sock=2)
    ahead = [cue for cue in knitter.look(2).cues if cue.kind == "copy"]
    assert [cue.when for cue in ahead] == [1]
    assert leg(knitter, 9, 18, 2) == leg(knitter, 9, 18, 1)
    knitter.to("flap", sock=1)
    knitter.to("flap", sock=2)
    assert step.in_step(knitter.state)


def test_meant_for_one_sock_the_other_keeps_its_stripes() -> None:
    knitter = at_leg(12)
    before = leg(knitter, 9, 18, 2)
    changed(knitter, late=3, copy=False)
    assert leg(knitter, 9, 18, 2) == before != leg(knitter, 9, 18, 1)


def test_undone_ripped_and_begun_again_the_stripes_are_as_before() -> None:
    knitter = at_leg(9)
    before = leg(knitter, 1, 30)
    knitter.tick(3)
    told = changed(knitter, "rust", row=11)
    assert told["then"] == ["navy", 13]
    after = leg(knitter, 1, 30)
    knitter.do("undo")
    assert leg(knitter, 1, 30) == before
    knitter.do("redo")
    assert leg(knitter, 1, 30) == after
    knitter.do("rip", by=1)
    assert leg(knitter, 1, 30) == after, "round 11 is on the needles still"
    knitter.do("rip", by=1)
    assert leg(knitter, 1, 30) == before
    assert leg(knitter, 1, 30, 2) == before, "and the other sock does not repeat it any more"


def test_what_was_told_of_a_round_that_never_came_moves_nothing() -> None:
    knitter = at_leg(20)
    changed(knitter, "rust", row=40)
    before = threads(knitter).at(SECTIONS.index("gusset"), 0)
    knitter.do("end", at=20)
    knitter.to("gusset")
    told = threads(knitter)
    gusset = SECTIONS.index("gusset")
    assert told.at(gusset, 0) == Thread("navy", 7, 9) != before


def test_yarn_is_shared_out_by_the_colours_it_really_has() -> None:
    knitter = at_leg(12)
    planned = shares.made_by_colour(knitter.course, knitter.state, 1)
    changed(knitter, late=3)
    late = shares.made_by_colour(knitter.course, knitter.state, 1)
    assert late["navy"] - planned["navy"] == planned["cream"] - late["cream"] == 3 * 64
    changed(knitter, "green")
    lengths = (
        left.length_of(knitter.course, knitter.state, 1),
        left.length_of(knitter.course, knitter.state, 2),
    )
    coming = Coming(knitter.course, knitter.state, 1, lengths)
    assert coming.to_come(1, "green") == coming.to_come(2, "green") > 0
    assert "green" in shares.colours_of(*coming.courses)
    knitter.tick(3)
    knitter.do("weigh", grams=20.0, text="20", colour="green")
    assert knitter.state.weighings[-1].in_colour == 3 * 64


# The ball at the cast-on


def test_where_the_ball_stood_at_the_cast_on_sets_the_clock_on_both_socks() -> None:
    knitter = Knitter(striped())
    told = changed(knitter, "navy 5")
    assert told["value"] == "navy, 5 of 9"
    assert told["coloured"]["ball"]
    assert leg(knitter, 1, 6, 1) == leg(knitter, 1, 6, 2)
    assert leg(knitter, 1, 6) == [
        ("navy", 5),
        ("navy", 6),
        ("navy", 7),
        ("navy", 8),
        ("navy", 9),
        ("cream", 1),
    ]
    assert not [cue for cue in knitter.look(2).cues if cue.kind == "copy"], "its card says it"
    (line,) = (line for line in cards.card(knitter.look(2)) if "ball" in line)
    assert line == "Sock one was cast on at navy, 5 of 9: pull the ball to the same place."
    assert "Ball at navy, 5 of 9, as sock one." in cards.card_brief(knitter.look(2))
    assert "The ball is at navy, 5 of 9." in cards.card(knitter.look(1))
    knitter.tick(3)
    knitter.do("rip", round=0)
    assert leg(knitter, 1, 1) == [("navy", 5)], "the cast-on is as it was"
    knitter.tick(3)
    knitter.do("restart")
    assert leg(knitter, 1, 1) == [("navy", 1)], "cast on anew it stands where it is told anew"


@pytest.mark.parametrize("words", ["just behind the white", "43 g"])
def test_it_may_be_told_in_words_or_grams(words: str) -> None:
    knitter = Knitter()
    told = changed(knitter, words, ball=True)
    assert told["value"] == words
    assert threads(knitter).at(LEG, 0) is None, "no stripes are known of"
    told_of = change_words.change_name(told)
    assert told_of == f"the ball at {words}, at the cast-on"


def test_the_cuff_is_cast_on_in_the_colour_that_the_ball_stands_at() -> None:
    knitter = Knitter(striped())
    changed(knitter, "cream 2")
    assert [_name(threads(knitter), "cuff"), leg(knitter, 1, 1)] == ["cream", [("cream", 2)]]
    changed(knitter, "white")
    assert _name(threads(knitter), "cuff") == "white", "told anew, as a colour of the cuff alone"
    assert leg(knitter, 1, 1) == [("navy", 1)]


def test_a_ball_that_stood_elsewhere_is_no_step() -> None:
    knitter = Knitter(striped())
    knitter.tick(2, 2)
    changed(knitter, "navy 5", sock=1)
    knitter.to("leg", sock=1)
    knitter.to("leg", sock=2)
    (found,) = step.differences(knitter.state)
    assert found.change is not None
    assert found.change.value == "navy, 5 of 9"


# Whatever is told


def test_events_of_before_only_tell_it() -> None:
    knitter = at_leg(12)
    before = leg(knitter, 1, 46)
    old = {
        "as": "colour",
        "value": "rust",
        "section": LEG,
        "round": 5,
        "name": "leg",
        "unit": "round",
    }
    event = knitter.events[-1]._replace(number=len(knitter.events) + 1, kind="changed", data=old)
    knitter.replay.apply(event)
    assert leg(knitter, 1, 46) == before


NAMES = ("navy", "cream", "rust")
sequences = st.lists(
    st.builds(Stripe, st.sampled_from(NAMES), st.integers(1, 6)), min_size=1, max_size=5
)


@st.composite
def tellings(draw: st.DrawFn) -> tuple[Colours, list[tuple[int, Coloured]]]:
    colours = Colours(stripes=tuple(draw(sequences)))
    places = sorted(draw(st.sets(st.integers(0, 60), max_size=6)))
    clocks = st.none() if not colours.period else st.none() | st.integers(0, colours.period - 1)
    told = [
        Coloured(
            0,
            at,
            draw(st.sampled_from(("", "green", "navy"))),
            draw(st.integers(0, 8)),
            draw(clocks),
        )
        for at in places
    ]
    return colours, list(zip(places, told, strict=True))


def simulated(colours: Colours, told: list[tuple[int, Coloured]], rounds: int) -> list[str]:
    """Round by round, as she would do it with the ball in hand: the colour of each."""
    once = [(s.name, n) for s in colours.stripes for n in range(s.rounds)] if colours.period else []
    news, clock, over, left_of, then = dict(told), 0, "", 0, None
    names = []
    for done in range(rounds):
        if over and left_of == 0:
            clock, over, then = (clock if then is None else then), "", None
        if over and left_of < 0 and once and once[clock % len(once)][1] == 0:
            over = ""
        if done in news:
            new = news[done]
            over, left_of, then = new.name, new.rounds or -1, new.clock if new.rounds else None
            if not over and new.clock is not None:
                clock = new.clock
        names.append(over or (once[clock % len(once)][0] if once else colours.stripes[0].name))
        clock += 1
        left_of -= over != ""
    return names


@settings(max_examples=400 if IN_ALL else 100)
@given(tellings())
def test_whatever_is_told_the_clock_says_what_a_simulation_does(
    telling: tuple[Colours, list[tuple[int, Coloured]]],
) -> None:
    colours, told = telling
    course = striped(colours.stripes)
    changed_course = Course(course.pattern, course)
    changed_course.coloured = tuple(
        one._replace(section=LEG, number=before + 1) for before, one in told
    )
    seen = Threads(changed_course, [22])
    names = [thread.name for row in range(90) if (thread := seen.at(LEG, row))]
    assert names == simulated(colours, told, 90)
    runs = [name for run in seen.runs(LEG, 0, 90) for name in [run.name] * (run.last - run.first)]
    assert runs == names


@settings(max_examples=200 if IN_ALL else 50)
@given(tellings(), st.integers(0, 80), st.integers(0, 40))
def test_what_goes_on_alike_has_the_same_colours(
    telling: tuple[Colours, list[tuple[int, Coloured]]], one: int, by: int
) -> None:
    colours, told = telling
    clock = Clock(colours, told)
    if clock.from_here(one) == clock.from_here(one + by):
        first, second = (
            [clock_name(colours, clock, at + n) for n in range(40)] for at in (one, one + by)
        )
        assert first == second


def clock_name(colours: Colours, clock: Clock, rounds: int) -> str:
    there = clock.at(rounds)
    if there.name or not colours.period:
        return there.name
    return colours.after(rounds + there.offset)[0].name


acts = st.one_of(
    st.tuples(st.just("tick"), st.integers(1, 9)),
    st.tuples(st.just("colour"), st.sampled_from(["navy", "cream 2", "rust", "green", "NAVY 7"])),
    st.tuples(st.just("late"), st.integers(1, 5)),
    st.tuples(st.just("rip"), st.integers(1, 9)),
    st.tuples(st.just("other"), st.none()),
)


@settings(max_examples=60 if IN_ALL else 15, deadline=None)
@given(st.lists(st.tuples(acts, st.booleans()), max_size=8))
def test_taken_back_it_is_as_before_whatever_was_told(told: list[Any]) -> None:
    knitter = Knitter(striped(NAVY_CREAM_RUST, heel="white"))
    knitter.to("leg", 11)
    for (kind, value), flag in told:
        before = knitter.state
        try:
            if kind == "tick":
                knitter.tick(value)
            elif kind == "colour":
                changed(knitter, value, stay=flag, copy=flag)
            elif kind == "late":
                changed(knitter, late=value, stay=flag)
            elif kind == "rip":
                knitter.do("rip", by=value)
            else:
                knitter.do("other")
        except Refused:
            continue
        after = knitter.state
        knitter.do("undo")
        assert knitter.state._replace(last=before.last) == before
        knitter.do("redo")
        assert knitter.state._replace(last=after.last) == after


@pytest.mark.parametrize(
    "told",
    [
        ["cream"], None, {"section": LEG}, {"section": LEG, "number": 6}, {"section": 99, "number": 5},
        {"section": LEG, "number": 5, "clock": 14}, {"section": LEG, "number": 5, "clock": True},
        {"section": LEG, "number": 5, "clock": -1}, {"section": LEG, "number": 5, "name": 3},
        {"section": LEG, "number": 5, "name": "x" * 21}, {"section": LEG, "number": 5, "rounds": 10**9},
    ],
)  # fmt: skip
def test_a_colour_from_a_strangers_file_is_looked_over(told: Any) -> None:
    knitter = at_leg(12)
    data = {
        "as": "colour", "value": "rust", "section": LEG, "round": 5, "name": "leg", "unit": "round",
        "coloured": told,
    }  # fmt: skip
    event = knitter.events[-1]._replace(number=len(knitter.events) + 1, kind="changed", data=data)
    fold = knitter.replay.trial()
    with pytest.raises((KeyError, ValueError, TypeError)):
        fold.apply(event)
    fold.apply(
        event._replace(data={**data, "coloured": {"section": LEG, "number": 5, "clock": 13}})
    )
