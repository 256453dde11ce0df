"""The stripes' clock: it ticks for every round worked on the instep, and stands still over the heel."""

from __future__ import annotations

from collections import Counter
from contextlib import suppress
from functools import cache
from itertools import cycle, islice
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import IN_ALL
from tests.knitting.knitter import SECTIONS, Knitter, sock_of_64
from tests.pattern.making import pattern, sock
from tracker import written
from tracker.glance import ColourSight
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.decide import Refused
from tracker.knitting.stripes import MAIN, Thread, Threads
from tracker.pattern.colours import Colours, Stripe
from tracker.pattern.model import Pattern

NAVY_CREAM_RUST = (Stripe("navy", 9), Stripe("cream", 3), Stripe("rust", 2))
ON_THE_INSTEP = ("leg", "gusset", "foot", "toe")


@cache
def striped(
    stripes: tuple[Stripe, ...] = NAVY_CREAM_RUST,
    cuff: str | None = None,
    heel: str | None = None,
    toe: str | None = None,
    needles: str = "five",
) -> Course:
    """The sock of 64 stitches in colours."""
    plain = sock_of_64(needles).pattern
    return Course(plain._replace(colours=Colours(cuff, stripes, heel, toe)))


def sequence(stripes: tuple[Stripe, ...], rounds: int) -> list[Thread]:
    """So many rounds of the stripes, one after the other."""
    once = [Thread(s.name, n, s.rounds) for s in stripes for n in range(1, s.rounds + 1)]
    return list(islice(cycle(once), rounds))


def knitted(knitter: Knitter, leg: int = 46, foot: int = 44, sock: Any = None) -> list[Any]:
    """Knit a whole sock row by row; (section, Thread or None, cues) before every row."""
    seen = []
    while not knitter.sock(sock).finished:
        section, done, _ = knitter.place(sock)
        ends = {"leg": leg, "foot": foot}.get(section)
        if done == ends:
            knitter.do("end", sock)
            continue
        glance = knitter.look(sock)
        colour = glance.colour
        thread = colour and Thread(colour.name, colour.position, colour.of)
        seen.append((section, thread, glance.cues))
        knitter.tick(1, sock)
    return seen


def said(knitter: Knitter, kind: str, sock: Any = None) -> list[tuple[int, str]]:
    """(when, colour) of the cues of a kind."""
    return [(cue.when, _name(cue)) for cue in knitter.look(sock).cues if cue.kind == kind]


def _name(cue: Cue) -> str:
    return str(cue.data.get("to") or cue.data.get("colour") or cue.data.get("name"))


def colour(knitter: Knitter, sock: Any = None) -> ColourSight:
    found = knitter.look(sock).colour
    assert found is not None
    return found


# The numbers of the trade


def test_stripes_over_a_leg_of_46_and_the_heel() -> None:
    """Navy 9, cream 3, rust 2: rounds by colour, and the pick-up round (common practice, no source)."""
    seen = knitted(Knitter(striped()))
    leg = [thread for section, thread, _ in seen if section == "leg"]
    assert Counter(thread.name for thread in leg) == {"navy": 31, "cream": 9, "rust": 6}
    assert leg[-1] == Thread("navy", 4, 9)
    heel = {thread for section, thread, _ in seen if section in ("heel set-up", "flap", "turn")}
    assert heel == {Thread("navy")}
    assert next(thread for section, thread, _ in seen if section == "gusset") == Thread(
        "navy", 5, 9
    )


def test_the_slip_is_told_on_round_two_of_every_stripe_of_two_or_more_and_there_only() -> None:
    knitter = Knitter(striped())
    knitter.to("leg")
    told = []
    for number in range(1, 47):
        told += [number for _ in said(knitter, "slip-first")]
        knitter.tick()
    assert told == [11, 14, 16, 25, 28, 30, 39, 42, 44]


def test_what_she_hears_round_by_round_at_a_change() -> None:
    knitter = Knitter(striped())
    knitter.to("leg", 6)
    heard = []
    for _ in range(10):
        heard.append((said(knitter, "change"), said(knitter, "slip-first")))
        knitter.tick()
    assert heard == [
        ([], []),
        ([(2, "cream")], []),
        ([(1, "cream")], []),
        ([(0, "cream")], []),
        ([(2, "rust")], [(0, "cream")]),
        ([(1, "rust")], []),
        ([(0, "rust"), (2, "navy")], []),
        ([(1, "navy")], [(0, "rust")]),
        ([(0, "navy")], []),
        ([], [(0, "navy")]),
    ]


def test_a_change_is_over_with_its_first_needle_and_ahead_is_said_to_the_last() -> None:
    knitter = Knitter(striped())
    knitter.to("leg", 8)
    for needle in range(4):
        assert said(knitter, "change") == [(1, "cream")]
        about = [cue.about for cue in knitter.look().cues if cue.kind == "change"]
        assert about == ["at the marker" if needle == 3 else ""]
        knitter.needle()
    assert said(knitter, "change") == [(0, "cream")]
    knitter.needle()
    assert said(knitter, "change") == []
    knitter.needle(3)
    assert said(knitter, "slip-first") == [(0, "cream")]
    knitter.needle()
    assert said(knitter, "slip-first") == []


def test_what_is_done_to_the_yarn_now_comes_first_but_after_a_card() -> None:
    knitter = Knitter(striped((Stripe("navy", 10), Stripe("cream", 10)), cuff="grey"))
    knitter.to("leg")
    kinds = [cue.kind for cue in knitter.look().cues]
    assert kinds == ["section", "change", "colour", "end-of-round"]
    knitter.to("leg", 10)
    assert [cue.kind for cue in knitter.look().cues][:2] == ["change", "pin"]
    knitter.to("leg", 46)
    knitter.tick(5)
    told = [(cue.kind, cue.when) for cue in knitter.look().cues]
    assert told[:2] == [("slip-first", 0), ("section", 0)], "the goal waits"
    knitter.to("leg", 58)
    told = [(cue.kind, cue.when) for cue in knitter.look().cues]
    assert told.index(("section", 0)) < told.index(("change", 2))


def test_the_yarn_and_the_picked_up_stitches_share_a_line() -> None:
    knitter = Knitter(striped((Stripe("navy", 46), Stripe("cream", 9))))
    knitter.to("gusset")
    knitter.tick()
    note = next(cue for cue in knitter.look().cues if cue.kind == "note")
    assert note.data["before_it"] == Cue("slip-first", 0, {"colour": "cream"})
    knitter.needle()
    note = next(cue for cue in knitter.look().cues if cue.kind == "note")
    assert not note.data


def test_where_parts_have_colours_of_their_own() -> None:
    knitter = Knitter(striped(cuff="grey", heel="rust", toe="cream"))
    now = {}
    for section in SECTIONS[:-1]:
        knitter.to(section)
        card = knitter.look().card
        assert card is not None
        now[section] = (card.data["yarn"]["name"], card.data["yarn"]["changes"])
        assert said(knitter, "colour") == [(0, now[section][0])]
    assert now == {
        "cuff": ("grey", False), "leg": ("navy", True), "heel set-up": ("rust", True),
        "flap": ("rust", False), "turn": ("rust", False), "gusset": ("navy", True),
        "foot": ("cream", False), "toe": ("cream", False),
    }  # fmt: skip


def test_a_change_at_a_section_s_end_is_told_ahead_where_its_end_is_known() -> None:
    knitter = Knitter(striped(cuff="grey", heel="rust"))
    knitter.to("cuff", 20)
    assert said(knitter, "change") == [(2, "navy")]
    knitter.to("leg")
    assert said(knitter, "change") == [(0, "navy")]
    knitter.to("leg", 45)
    assert said(knitter, "change") == []
    knitter.to("heel set-up")
    assert said(knitter, "change") == [(0, "rust")]
    knitter.to("turn", 13)
    assert said(knitter, "change") == [(1, "navy")]
    assert colour(knitter) == ColourSight("rust", 0, 0, "navy", 1)
    knitter.to("gusset")
    assert said(knitter, "change") == [(0, "navy")]
    assert said(knitter, "slip-first") == []


def test_a_leg_that_follows_sock_one_tells_the_heel_s_colour_ahead() -> None:
    knitter = Knitter(striped(heel="rust"))
    knitter.to("flap")
    knitter.to("leg", 44, sock=2)
    assert said(knitter, "change", 2) == [(2, "rust")]
    ahead = next(cue for cue in knitter.look(2).cues if cue.about == "ahead")
    assert ahead.data["colour"] == "rust"


def test_one_round_stripes_change_every_round_and_never_slip() -> None:
    knitter = Knitter(striped((Stripe("navy", 1), Stripe("cream", 1))))
    knitter.to("leg", 3)
    assert said(knitter, "change") == [(0, "cream"), (1, "navy")]
    for _, _, cues in knitted(Knitter(striped((Stripe("navy", 1), Stripe("cream", 1))))):
        assert "slip-first" not in [cue.kind for cue in cues]


def test_neighbours_of_one_colour_are_no_change() -> None:
    same = striped((Stripe("navy", 4), Stripe("cream", 2), Stripe("navy", 3)))
    told = [
        [cue.kind for cue in cues if cue.kind in ("change", "slip-first") and not cue.when]
        for section, _, cues in knitted(Knitter(same))
        if section == "leg"
    ]
    # Rounds 5, 6 (cream) and 7 (navy), 8: then navy goes on from 3 into the next 4.
    assert [n for n, kinds in enumerate(told[:18], start=1) if "change" in kinds] == [5, 7, 14, 16]
    assert [n for n, kinds in enumerate(told[:18], start=1) if "slip-first" in kinds] == [
        6,
        8,
        15,
        17,
    ]
    knitter = Knitter(same)
    knitter.to("leg", 6)
    assert colour(knitter) == ColourSight("navy", 1, 3, "cream", 7)


def test_a_plain_leg_in_one_colour_changes_only_where_another_part_has_its_own() -> None:
    plain = striped((Stripe("navy", 1),), heel="rust")
    changes = [
        (section, cue.data["to"])
        for section, _, cues in knitted(Knitter(plain))
        for cue in cues
        if cue.kind == "change" and not cue.when
    ]
    assert changes == [("heel set-up", "rust"), ("gusset", "navy")]
    knitter = Knitter(plain)
    knitter.to("leg", 2)
    assert colour(knitter) == ColourSight("navy", 0, 0, None, None)
    assert said(knitter, "slip-first") == []


def test_what_has_no_colour_where_others_have_is_in_the_main_one() -> None:
    knitter = Knitter(striped((), heel="rust"))
    assert colour(knitter).name == MAIN
    knitter.to("gusset")
    assert said(knitter, "change") == [(0, MAIN)]
    assert said(Knitter(striped((), cuff="grey")), "colour") == [(0, "grey")]


def test_without_colours_nothing_is_said_of_them() -> None:
    for _, thread, cues in knitted(Knitter()):
        assert thread is None
        assert not {cue.kind for cue in cues} & {"change", "colour", "slip-first"}
    card = Knitter().look().card
    assert card is not None
    assert card.data["yarn"] is None


def test_sections_by_hand_tick_where_they_are_worked_in_rounds() -> None:
    tube = {"rows": ["k"], "needles": [20], "repeat": 4}
    flat = {"rows": ["RS: k, turn", "WS: p, turn"], "worked": "rows", "repeat": 2}
    made = pattern(tube, flat, {"rows": ["k"], "repeat": 4}, colours={"leg": ["a 3", "b 3"]})
    threads = Threads(Course(made), ())
    names = ["".join(threads.at(n, row).name for row in range(4)) for n in range(3)]  # type: ignore[union-attr]
    assert names == ["aaab", "bbbb", "bbaa"]


def test_where_rounds_begin_at_the_side() -> None:
    """The instep's row before the heel goes on in the leg's colour, the first edge has the pick-up's."""
    made = sock({"needles.set": "two circulars", "leg.length": None, "leg.rounds": 46})
    course = Course(made._replace(colours=Colours(None, NAVY_CREAM_RUST, "rust")))
    threads = Threads(course, ())
    told = {part.name: threads.at(n, 0) for n, part in enumerate(course.sections)}
    assert told == {
        "cuff": Thread("navy"), "leg": Thread("navy", 1, 9), "heel set-up": Thread("navy"),
        "flap": Thread("rust"), "turn": Thread("rust"), "first edge": Thread("navy", 5, 9),
        "gusset": Thread("navy", 5, 9), "foot": Thread("cream", 2, 3),
        "toe": threads.at(course.last - 1, 0), "graft": None,
    }  # fmt: skip
    gusset = [part.name for part in course.sections].index("gusset")
    slips = {leg: Threads(course, (22, leg)).slips(gusset, 1) for leg in (46, 14, 9, 8)}
    # After 14 and 9 rounds the pick-up round is the first of a new colour, after 8 the last of navy.
    assert slips == {46: False, 14: True, 9: True, 8: False}
    assert Threads(course, (22, 14)).before(gusset, 0) == Thread("navy", 1, 9)


@given(
    st.lists(st.integers(1, 9), min_size=1, max_size=5),
    st.sampled_from(["five", "two circulars", "long circular"]),
    st.sampled_from([(None, None, None), ("grey", None, "green"), (None, "grey", None)]),
    st.lists(st.integers(0, 30), max_size=3),
)
def test_runs_are_the_rows_one_by_one(
    rounds: list[int], needles: str, own: tuple[str | None, ...], ended: list[int]
) -> None:
    """Together they give every row the colour that it has, and a run is as long as its colour goes on."""
    names = ("navy", "cream", "rust")
    stripes = tuple(Stripe(names[at % 3], count) for at, count in enumerate(rounds))
    made = _on(needles)._replace(colours=Colours(own[0], stripes, own[1], own[2]))
    course = Course(made)
    threads = Threads(course, ended)
    for section in range(len(course.sections)):
        last = threads.rows(section)
        one_by_one = [threads.at(section, row) for row in range(last)]
        for first in {0, last // 3}:
            runs = list(threads.runs(section, first, last))
            told = [run.name for run in runs for _ in range(run.first, run.last)]
            assert told == [thread.name for thread in one_by_one[first:] if thread]
            for run in runs:
                thread = threads.at(section, run.first)
                assert thread is not None
                assert run.position == thread.position


@cache
def _on(needles: str) -> Pattern:
    return sock({"needles.set": needles})


def test_a_goal_on_a_full_stripe_and_one_near_it() -> None:
    """42 rounds are 9.5 mm short of 16 cm, and nearer than the next full stripe."""
    knitter = Knitter(striped())
    knitter.to("leg")
    told = {}
    for done in range(1, 52):
        knitter.tick()
        for cue in knitter.look().cues:
            if cue.about in ("goal", "full stripe"):
                told[done] = (cue.about, cue.data.get("stripe"), cue.data.get("stripe_in"))
    assert told == {
        42: ("full stripe", "rust", None), 46: ("goal", None, 5), 47: ("goal", None, 4),
        48: ("goal", None, 3), 49: ("goal", None, 2), 50: ("goal", None, 1), 51: ("goal", "navy", None),
    }  # fmt: skip


def told_of_the_goal(*stripes: Stripe) -> dict[int, tuple[str, Any]]:
    """What is said of the goal of 46 rounds after each: (about, stripe that is whole)."""
    knitter = Knitter(striped(stripes))
    knitter.to("leg", 39)
    told = {}
    for done in range(40, 48):
        knitter.tick()
        for cue in knitter.look().cues:
            if cue.about in ("goal", "full stripe"):
                told[done] = (cue.about, cue.data.get("stripe"))
    return told


def test_only_the_full_stripe_nearest_to_the_goal_is_offered_before_it() -> None:
    told = told_of_the_goal(Stripe("navy", 3), Stripe("cream", 2))
    # 43 is the end of navy, 45 that of cream: one round before the goal.
    assert told == {
        45: ("full stripe", "cream"), 46: ("goal", None), 47: ("goal", None),
    }  # fmt: skip


def test_a_stripe_of_one_round_is_offered_where_the_sequence_ends_with_it() -> None:
    assert told_of_the_goal(Stripe("navy", 8), Stripe("foam", 1))[45] == ("full stripe", "foam")
    assert told_of_the_goal(Stripe("foam", 1), Stripe("navy", 8))[46] == ("goal", None)
    assert told_of_the_goal(Stripe("navy", 22), Stripe("foam", 1))[46] == ("goal", "foam")


def test_a_full_stripe_that_is_far_from_the_goal_is_not_offered() -> None:
    knitter = Knitter(striped((Stripe("navy", 20), Stripe("cream", 20))))
    knitter.to("leg", 46)
    goal = next(cue for cue in knitter.look().cues if cue.about == "goal")
    assert not {"stripe", "stripe_in"} & set(goal.data)


@pytest.mark.parametrize(("high", "goal", "offered"), [(1.15, 152.0, False), (0.85, 156.0, True)])
def test_what_is_near_enough_goes_by_what_the_tape_taught(
    high: float, goal: float, offered: bool
) -> None:
    """Rounds higher or lower than the swatch's: the stripe ends 12.3 mm past the goal, or 11.8."""
    knitter = Knitter(striped((Stripe("navy", 9), Stripe("cream", 3), Stripe("rust", 8))))
    for row in (15, 30):
        knitter.to("leg", row)
        knitter.do("measure", mm=(22 / 44.1 + row / 42) * 100 * high, step=0)
    knitter.do("target", mm=goal, text="x")
    knitter.tick(knitter.look().rows_to_go[1] or 0)
    cue = next(cue for cue in knitter.look().cues if cue.about == "goal")
    assert ("stripe_in" in cue.data) == offered


def test_past_the_other_sock_s_count_the_stripes_go_on() -> None:
    knitter = Knitter(striped())
    knitter.do("at", 2, round=37, section="leg")
    knitter.to("leg", 30)
    knitter.do("end")
    assert colour(knitter, 2) == ColourSight("cream", 1, 3, "rust", 3)


# Properties

stripes = st.lists(
    st.builds(Stripe, st.sampled_from(["navy", "cream", "rust"]), st.integers(1, 11)),
    min_size=2,
    max_size=5,
).map(tuple)
counts = st.integers(1, 60)


@settings(max_examples=8 if not IN_ALL else 25, deadline=None)
@given(stripes, counts, counts, st.sampled_from([None, "grey"]), st.sampled_from([None, "grey"]))
def test_the_instep_has_the_sequence_as_written_and_the_heel_never_moves_it(
    given_stripes: Any, leg: int, foot: int, heel: str | None, toe: str | None
) -> None:
    seen = knitted(Knitter(striped(given_stripes, heel=heel, toe=toe)), leg, foot)
    parts = ON_THE_INSTEP[: 3 if toe else 4]
    ticked = [thread for section, thread, _ in seen if section in parts]
    assert ticked == sequence(given_stripes, len(ticked))
    assert len(ticked) == leg + 20 + foot + (0 if toe else 20)
    by_colour = Counter(thread.name for thread in ticked)
    assert sum(by_colour.values()) == len(ticked)
    heels = {thread for section, thread, _ in seen if section in ("heel set-up", "flap", "turn")}
    assert heels == {Thread(heel or ticked[leg - 1].name)}


@settings(max_examples=8 if not IN_ALL else 25, deadline=None)
@given(stripes, counts, st.sampled_from([None, "cream", "grey"]), st.sampled_from([None, "grey"]))
def test_a_change_is_told_wherever_the_colour_is_another_than_in_the_row_before(
    given_stripes: Any, leg: int, cuff: str | None, heel: str | None
) -> None:
    seen = knitted(Knitter(striped(given_stripes, cuff=cuff, heel=heel)), leg)
    before = seen[0][1]
    for _, thread, cues in seen[:-1]:
        now = [cue.data["to"] for cue in cues if cue.kind == "change" and not cue.when]
        assert now == ([thread.name] if thread.name != before.name else [])
        before = thread


@settings(max_examples=8 if not IN_ALL else 25, deadline=None)
@given(stripes, counts, st.sampled_from([None, "cream", "grey"]), st.sampled_from([None, "grey"]))
def test_the_slip_is_told_exactly_once_a_stripe_of_two_or_more(
    given_stripes: Any, leg: int, cuff: str | None, heel: str | None
) -> None:
    seen = knitted(Knitter(striped(given_stripes, cuff=cuff, heel=heel)), leg)
    expected = []
    for at, (section, thread, _) in enumerate(seen[:-1]):
        second = section in ON_THE_INSTEP and thread.position == 2
        pick_up = section == "gusset" and seen[at - 1][0] == "turn"
        # Its first round is the one before it; the pick-up round, whose first is before the heel, is no slip.
        if second and not pick_up and seen[at - 2][1].name != thread.name:
            expected.append(at)
    told = [at for at, row in enumerate(seen) for cue in row[2] if cue.kind == "slip-first"]
    assert told == expected


@settings(max_examples=8 if not IN_ALL else 25, deadline=None)
@given(stripes, counts, counts)
def test_two_socks_of_equal_counts_have_equal_colours_in_every_round(
    given_stripes: Any, leg: int, foot: int
) -> None:
    knitter = Knitter(striped(given_stripes))
    one = knitted(knitter, leg, foot)
    two = knitted(knitter, leg, foot, sock=2)
    assert [row[:2] for row in one] == [row[:2] for row in two]


@settings(max_examples=8 if not IN_ALL else 25, deadline=None)
@given(stripes, counts, st.sampled_from([None, "grey"]), st.sampled_from([None, "grey"]))
def test_the_next_colour_comes_when_it_is_said_to(
    given_stripes: Any, leg: int, heel: str | None, toe: str | None
) -> None:
    """On sock two, where every section's end is known."""
    knitter = Knitter(striped(given_stripes, heel=heel, toe=toe))
    knitted(knitter, leg)
    seen: list[ColourSight | None] = []
    while not knitter.sock(2).finished:
        seen.append(knitter.look(2).colour)
        knitter.tick(1, 2)
    for at, here in enumerate(seen):
        if here is None or here.when is None:
            continue
        names = [sight.name for sight in seen[at : at + here.when + 1] if sight]
        assert names == [here.name] * here.when + [here.then]


ACTS: Any = st.one_of(
    st.tuples(st.just("tick"), st.integers(1, 40).map(lambda n: {"rounds": n})),
    st.tuples(st.just("tick"), st.integers(1, 9).map(lambda n: {"needles": n})),
    st.tuples(st.just("end"), st.just({})),
    st.tuples(st.just("end"), st.integers(1, 40).map(lambda n: {"at": n})),
    st.tuples(
        st.just("at"),
        st.tuples(st.integers(0, 40), st.sampled_from(SECTIONS)).map(
            lambda to: {"round": to[0], "section": to[1]}
        ),
    ),
    st.tuples(st.just("other"), st.just({})),
    st.tuples(st.just("undo"), st.just({})),
    st.tuples(st.just("redo"), st.just({})),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(ACTS, max_size=25))
def test_taking_back_restores_the_colour_whatever_was_done(acts: Any) -> None:
    knitter = Knitter(striped(heel="rust"))
    for kind, data in acts:
        before = (knitter.look(1), knitter.look(2))
        with suppress(Refused):
            knitter.do(kind, **data)
            if kind not in ("undo", "redo"):
                knitter.do("undo")
                again = (knitter.look(1), knitter.look(2))
                assert [sight.colour for sight in again] == [sight.colour for sight in before]
                assert [sight.cues for sight in again] == [sight.cues for sight in before]
                knitter.do("redo")


def test_a_correction_puts_the_clock_where_the_count_is() -> None:
    knitter = Knitter(striped())
    knitter.do("at", round=12, section=SECTIONS[1])
    assert colour(knitter) == ColourSight("rust", 1, 2, "navy", 2)
    knitter.do("at", round=0, section=SECTIONS[5])
    assert colour(knitter) == ColourSight("navy", 6, 9, "cream", 4)


STRIPED_UP = Colours(None, (Stripe("navy", 6), Stripe("cream", 3), Stripe("rust", 1)), "rust")


@pytest.mark.parametrize("heel", ["flap", "wrapped", "double-stitch"])
@pytest.mark.parametrize(("needles", "slips"), [("five", False), ("two circulars", True)])
def test_after_a_closing_round_no_stitch_of_the_heel_is_slipped(
    heel: str, needles: str, slips: bool
) -> None:
    """From the toe up the closing round begins navy at the instep: N1's first stitch is rust still.

    At the side that round goes all round, and the stripe meets itself where it begins.
    """
    made = sock({"direction": "toe-up", "needles.set": needles, "heel.kind": heel})
    course = Course(made._replace(colours=STRIPED_UP))
    leg = next(at for at, part in enumerate(course.sections) if part.kind == "leg")
    ended = [part.planned for part in course.sections[:leg]]
    first = course.sections[leg].first == 0
    assert first != slips, "on double-pointed needles alone there is a closing round"
    foot = next(at for at, part in enumerate(course.sections) if part.kind == "foot")
    for more in range(10):
        ended[foot] = course.sections[foot].planned + more
        told = Threads(course, ended)
        here = told.at(leg, 0)
        assert here is not None
        if (here.name, here.position) == ("navy", 1) and told.before(leg, 0) != here:
            assert told.slips(leg, 1) == slips
            return
    raise AssertionError("no foot after which the leg begins navy")


@pytest.mark.parametrize(
    ("needles", "told"),
    [
        ("five", "meets itself; not right after a round in which N1 rests."),
        ("two circulars", "itself."),
    ],
)
def test_the_paper_leaves_that_round_out(needles: str, told: str) -> None:
    made = sock({"direction": "toe-up", "needles.set": needles})
    assert written.stripes(made._replace(colours=STRIPED_UP))[-1].endswith(told)
