"""One rule for every leg that is shorter or longer: against the pair as it is with such legs."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.examples import examples
from tests.forecast.test_as_far import goal, measure
from tests.forecast.test_ball import ball_of, sight, weigh
from tests.forecast.test_balls_of_colours import weigh as weigh_colour
from tests.knitting.knitter import FOOT, LEG, TOE, Knitter
from tests.pattern.making import sock
from tracker.forecast.as_far import AsFar, NotFar
from tracker.forecast.ball import YarnSight
from tracker.forecast.coming import Coming
from tracker.forecast.left import length_of, lengths_after
from tracker.forecast.rescues import Rescue, rescues
from tracker.forecast.yarn import Ball
from tracker.glance import Shown
from tracker.knitting.course import Course
from tracker.knitting.shares import in_rows
from tracker.knitting.stripes import Threads
from tracker.looking import look
from tracker.pattern.yarn import Use

STRIPES = (
    ("navy 9", "cream 3", "rust 2"), ("navy 4", "cream 4"), ("cream 1", "navy 1"), ("navy 7", "rust 5"),
)  # fmt: skip


@cache
def in_stripes(*stripes: str, own: bool = True) -> Course:
    """The sock of 64 in such stripes; heel and toe in colours of their own, or on the clock too."""
    heel_and_toe = {"colours.heel": "white", "colours.toe": "grey"} if own else {}
    return Course(sock({"colours.leg": [*stripes], **heel_and_toe}))


def with_legs(knitter: Knitter, rounds: int, colour: str | None = None) -> YarnSight:
    """The ball as it would be if both legs ended at that round: the goal is put there."""
    length = lengths_after(knitter.course, knitter.state, knitter.state.hand, LEG)
    assert length is not None
    mm = length(rounds)
    state = knitter.state._replace(goals={LEG: mm}, own_goals={})
    glance = look(knitter.course, state, Shown("pair", "rounds", 1))
    assert glance.rows_to_go[1] == rounds - glance.place.done
    assert glance.yarn is not None
    return next(one for one in (glance.yarn, *glance.yarn.others) if one.colour == colour)


def shorter(found: YarnSight) -> Rescue | None:
    return next((rescue for rescue in found.rescues if rescue.kind == "legs"), None)


def planned(knitter: Knitter) -> int:
    """The round at which the leg would end."""
    glance = knitter.look()
    return glance.place.done + (glance.rows_to_go[1] or 0)


def longest(knitter: Knitter, colour: str | None, verdicts: tuple[str, ...]) -> int | None:
    """By trying one after the other: the longest leg up to the planned one that gets such a verdict."""
    tried = range(planned(knitter), max(1, knitter.look().place.done) - 1, -1)
    return next((n for n in tried if with_legs(knitter, n, colour).verdict in verdicts), None)


ENOUGH, LIKELY = ("enough",), ("enough", "tight")


def as_tried(knitter: Knitter, colour: str | None, legs: Rescue | None) -> None:
    """A warning's rounds are the least with which it is enough, or as likely as not."""
    safe, likely = (longest(knitter, colour, verdicts) for verdicts in (ENOUGH, LIKELY))
    if legs is None:
        assert likely is None or likely == planned(knitter)
        return
    assert likely is not None
    assert legs.does == (safe is not None)
    assert planned(knitter) - legs.rounds == (likely if safe is None else safe)
    assert planned(knitter) - legs.likely == likely


@examples(25)
@given(
    st.floats(60, 80), st.integers(2, 45), st.integers(0, 45), st.floats(0.003, 0.0042),
    st.floats(0.94, 1.06), st.floats(0.96, 1.04),
)  # fmt: skip
def test_the_warning_tells_the_rounds_that_the_goal_by_the_yarn_takes_off(
    before: float, at: int, on_two: int, use: float, loose: float, two: float
) -> None:
    """With both legs open, and measured each for itself; from whichever sock it is looked at."""
    knitter = ball_of(before)
    knitter.to("leg", at)
    mm = (22 / 44.1 + at / 42) * 100 * loose
    measure(knitter, mm)
    if on_two:
        knitter.to("leg", on_two, sock=2)
        mm = (22 / 44.1 + on_two / 42) * 100 * loose * two
        knitter.do("measure", 2, mm=mm, text="x", step=0.0, rough=False)
    found = weigh(knitter, before - use * (44 + at + on_two) * 64)
    assume(found.fits not in ("anew", "other ball"))
    far, legs = goal(knitter), shorter(found)
    if found.verdict == "enough":
        assert isinstance(far, AsFar)
        assert far.rounds >= planned(knitter)
        return
    if isinstance(far, NotFar):
        assert far.why == "short"
        assert legs is None or not legs.does
        return
    assert legs is not None or far.rounds == planned(knitter)
    assert legs is None or (legs.does, planned(knitter) - legs.rounds) == (True, far.rounds)
    other = shorter(sight(knitter, 2))
    if on_two and other is not None:
        assert sight(knitter, 2).ends_at == far.rounds, "both end at the same round"


@examples(25)
@given(st.floats(62, 76), st.integers(2, 45), st.floats(0.003, 0.004))
def test_rounds_off_are_the_least_that_are_enough(before: float, at: int, use: float) -> None:
    knitter = ball_of(before)
    knitter.to("leg", at)
    found = weigh(knitter, before - use * (22 + at) * 64)
    assume(found.verdict != "enough" and not found.vague)
    as_tried(knitter, None, shorter(found))


@examples(25)
@given(st.sampled_from(STRIPES), st.booleans(), st.integers(2, 25), st.floats(0.7, 1.1))
def test_by_colour_rounds_off_are_the_least_that_are_enough(
    stripes: tuple[str, ...], own: bool, at: int, share: float
) -> None:
    """What follows the leg moves in its stripes, heel and toe too: a shorter leg may take more."""
    knitter, name = Knitter(in_stripes(*stripes, own=own)), stripes[-1].split()[0]
    knitter.to("leg", at)
    takes = sum(coming(knitter).to_come(number, name) for number in (1, 2))
    found = weigh_colour(knitter, max(1.0, share * takes * 0.0034), name)
    assume(found.verdict != "enough" and not found.vague)
    as_tried(knitter, name, shorter(found))


def coming(knitter: Knitter) -> Coming:
    course, state = knitter.course, knitter.state
    lengths = (length_of(course, state, 1), length_of(course, state, 2))
    return Coming(course, state, state.hand, lengths)


@examples(25)
@given(
    st.sampled_from(STRIPES), st.booleans(), st.integers(2, 44), st.floats(0.9, 1.3),
    st.floats(0.9, 1.3),
)  # fmt: skip
def test_by_colour_it_is_the_last_leg_before_one_that_is_not_safe(
    stripes: tuple[str, ...], own: bool, at: int, one: float, two: float
) -> None:
    knitter, names = Knitter(in_stripes(*stripes, own=own)), [s.split()[0] for s in stripes]
    knitter.to("leg", at)
    for place, name in enumerate(names):
        takes = sum(coming(knitter).to_come(number, name) for number in (1, 2))
        weigh_colour(knitter, (1.3, one, two)[-place] * takes * 0.0034 + 2, name)

    def safe(rounds: int) -> bool:
        return all(with_legs(knitter, rounds, name).verdict == "enough" for name in names)

    far, ends = goal(knitter), planned(knitter)
    if isinstance(far, NotFar):
        assert far.why in ("short", "vague")
        assert far.why == "vague" or not any(safe(n) for n in range(at, ends + 1))
        return
    assert safe(far.rounds)
    assert not safe(far.rounds + 1)
    steps = range(ends, far.rounds + 1) if far.rounds >= ends else range(far.rounds + 1, ends + 1)
    assert {safe(n) for n in steps} == {far.rounds >= ends}


def test_to_come_by_colour_is_what_the_stripes_say() -> None:
    """Whatever the leg ends at: counted anew over the rows of every section."""
    for stripes in STRIPES:
        knitter = Knitter(in_stripes(*stripes, own=False))
        knitter.to("leg", 5)
        found, course = coming(knitter), knitter.course
        for ends in range(5, 60):
            rows = found.rows(1, ends)
            assert (rows[LEG], rows[FOOT], rows[TOE]) == (ends, 44, 20)
            spans = [
                (n, 5 if n == LEG else 0, course.sections[n].rows_to(rows[n])) for n in range(1, 9)
            ]
            told = in_rows(course, Threads(course, rows), spans)
            assert {name: found.to_come(1, name, ends) for name in told} == told
            assert sum(told.values()) == found.to_come(1, None, ends)


def test_legs_with_goals_of_their_own_are_each_so_much_shorter() -> None:
    """They end apart, and go on to: what is told fits both."""
    knitter = ball_of(70)
    knitter.to("leg", 18)
    knitter.do("target", 2, mm=140.0, text="14", only=True, section="leg")
    found = weigh(knitter, 61)
    legs = shorter(found)
    assert legs is not None
    assert (legs.socks, legs.does) == (2, True)
    use = found.sock_g / 10_416
    assert legs.grams == pytest.approx(legs.rounds * 2 * 64 * use)
    two: Any = shorter(sight(knitter, 2))
    assert two.rounds == legs.rounds


@pytest.mark.parametrize(
    ("short", "legs", "rounds"), [(5.0, 2, 12), (5.0, 1, 23), (0.43, 2, 1), (0.0, 2, 0)]
)
def test_rounds_off_each_leg(short: float, legs: int, rounds: int) -> None:
    """Short grams over two legs of 64 stitches at 3.42 g to a thousand (common practice, no source)."""
    knitter, use = Knitter(), Use(35.6 / 10_416, 0.0)
    knitter.to("leg", 5, sock=2)
    if legs == 1:
        knitter.to("gusset", 4)
    knitter.do("other")
    found = coming(knitter)
    pieces = [found.to_come(number, None) for number in (1, 2)]
    made = sum(found.made(number, None) for number in (1, 2))
    grams, sd = Ball(0.0, made, use, 0.0).over(pieces, 2)
    ball = Ball(-grams - short, made, use, 0.0)
    way = next((way for way in rescues(found, ball, None, short) if way.kind == "legs"), None)
    assert (way.likely if way else 0) == rounds
    assert sd > 0, "what is safe is more"
