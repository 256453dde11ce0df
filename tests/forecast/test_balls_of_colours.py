"""A ball of each colour: one use a stitch learned from all, and each against its own stitches."""

from __future__ import annotations

from contextlib import suppress
from functools import cache
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import LEG, Knitter
from tests.pattern.making import sock
from tracker import answers, words, yarn_words
from tracker.forecast.as_far import AsFar, NotFar, as_far
from tracker.forecast.ball import YarnSight
from tracker.forecast.coming import Coming
from tracker.forecast.left import length_of
from tracker.forecast.yarn import SCALE_SD, Ball, learn
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.shares import made_by_colour
from tracker.knitting.state import BOTH, Weighing
from tracker.pattern.yarn import FABRIC, Use

SOCK = 10_416
PRIOR = Use(33.303 / SOCK, 3.3303 / SOCK)
STRIPES: dict[str, Any] = {
    "colours.leg": ["navy 9", "cream 3", "rust 2"], "colours.heel": "rust", "colours.toe": "grey",
}  # fmt: skip


@cache
def striped(**given: Any) -> Course:
    """The sock of 64 in navy, cream and rust, its toe in grey."""
    return Course(
        sock(STRIPES | {place.replace("_", "."): value for place, value in given.items()})
    )


def weigh(knitter: Knitter, grams: float, colour: str | None = None) -> YarnSight:
    data: dict[str, Any] = {"grams": grams, "text": f"{grams:g}"}
    knitter.do("weigh", **(data if colour is None else data | {"colour": colour}))
    return sight(knitter, colour)


def sight(knitter: Knitter, colour: str | None, sock: Any = None) -> YarnSight:
    yarn = knitter.look(sock).yarn
    assert yarn is not None
    return next(one for one in (yarn, *yarn.others) if one.colour == colour)


def weights(*given: tuple[str, float, int]) -> list[Weighing]:
    return [
        Weighing(grams, 0, number, colour, made)
        for number, (colour, grams, made) in enumerate(given, 2)
    ]


def flat(ball: Ball) -> tuple[float, ...]:
    return (ball.grams, ball.stitches, *ball.use, ball.sd, ball.shared)


# One knitter, one use


def test_balls_teach_together_as_least_squares_do() -> None:
    """The batch solution: a line for each ball, the use in common, each interval's fabric for itself."""
    taken = {"navy": [(60.0, 0), (52.0, 2200), (45.0, 4352)], "cream": [(30.0, 0), (25.0, 1600)]}
    unknowns = 1 + len(taken) + sum(len(line) - 1 for line in taken.values())
    rows, target = [], []

    def equation(value: float, sd: float, **at: float) -> None:
        row = np.zeros(unknowns)
        for place, factor in at.items():
            row[int(place[1:])] = factor
        rows.append(row / sd)
        target.append(value / sd)

    equation(PRIOR.mean, PRIOR.sd, u0=1.0)
    spare = 1 + len(taken)
    for ball, line in enumerate(taken.values(), 1):
        more: dict[str, float] = {}
        for place, (grams, made) in enumerate(line):
            if place:
                fabric = FABRIC * PRIOR.mean * (made - line[place - 1][1])
                equation(0.0, fabric, **{f"u{spare}": 1.0})
                more[f"u{spare}"] = -1.0
                spare += 1
            equation(grams, SCALE_SD, **{"u0": -float(made), f"u{ball}": 1.0}, **more)
    design = np.array(rows)
    solved, *_ = np.linalg.lstsq(design, np.array(target), rcond=None)
    spread = np.linalg.inv(design.T @ design)
    found = learn(
        PRIOR, None, weights(*((name, *pair) for name, line in taken.items() for pair in line))
    )
    for learned in found.balls.values():
        # The doubt of the fabric goes by the use learned so far, not by the first: close, not equal.
        assert learned.use.mean == pytest.approx(solved[0], rel=0.002)
        assert learned.use.sd == pytest.approx(np.sqrt(spread[0, 0]), rel=0.03)
    cream = solved[2] - solved[0] * 1600 - solved[-1]
    assert found.balls["cream"].grams == pytest.approx(cream, abs=0.02)


PLACES = st.lists(
    st.tuples(st.sampled_from(["navy", "cream"]), st.integers(300, 2000), st.floats(-0.3, 0.3)),
    max_size=6,
)


@given(PLACES)
def test_all_balls_have_one_use_and_sharpen_it(places: list[tuple[str, int, float]]) -> None:
    made, taken = {"navy": 0, "cream": 0}, [("navy", 60.0, 0), ("cream", 40.0, 0)]
    for colour, more, off in places:
        made[colour] += more
        first = 60.0 if colour == "navy" else 40.0
        taken.append((colour, first - PRIOR.mean * made[colour] + off, made[colour]))
    found = learn(PRIOR, None, weights(*taken))
    uses = {ball.use for ball in found.balls.values()}
    assert len(uses) == 1
    assert uses.pop().sd <= PRIOR.sd
    for ball in found.balls.values():
        assert ball.shared**2 <= ball.sd**2 * ball.use.sd**2 + 1e-15


def test_whichever_ball_is_weighed_first_teaches_the_same() -> None:
    one = weights(("navy", 60, 0), ("cream", 30, 0), ("navy", 52, 2200), ("cream", 25, 1600))
    two = weights(("navy", 60, 0), ("cream", 30, 0), ("cream", 25, 1600), ("navy", 52, 2200))
    here, there = learn(PRIOR, None, one).balls, learn(PRIOR, None, two).balls
    for colour in ("navy", "cream"):
        assert flat(here[colour]) == pytest.approx(flat(there[colour]), rel=0.01)


def test_what_hangs_on_the_use_moves_with_it_and_nothing_else_does() -> None:
    """A ball weighed at one place only has grams that no other ball can move."""
    ball = Ball(60, 0, PRIOR)
    taught = ball.taught(Use(PRIOR.mean * 1.1, PRIOR.sd / 2))
    assert (taught.grams, taught.shared) == (60, 0)
    assert taught.sd == pytest.approx(SCALE_SD)
    longer = ball.weighed(52, 2200)
    back = longer.taught(Use(PRIOR.mean, PRIOR.sd / 9)).taught(longer.use)
    assert flat(back) == pytest.approx(flat(longer)), "and it goes back with it"


def test_a_second_weight_at_the_same_place_is_a_mean_for_all_balls() -> None:
    before = [("navy", 60.0, 0), ("cream", 30.0, 0), ("navy", 52.0, 2200), ("cream", 25.0, 1600)]
    again = learn(PRIOR, None, weights(*before, ("navy", 53.0, 2200))).balls
    mean = learn(PRIOR, None, weights(*before[:2], ("navy", 52.5, 2200), before[3])).balls
    for colour in ("navy", "cream"):
        assert flat(again[colour]) == pytest.approx(flat(mean[colour]))


# Each colour's own stitches


def test_made_and_to_come_by_colour_are_those_of_the_whole() -> None:
    knitter = Knitter(striped())
    for ticks in (5, 60, 10, 33, 40):
        knitter.tick(ticks)
        knitter.needle()
        state, course = knitter.state, knitter.course
        lengths = (length_of(course, state, 1), length_of(course, state, 2))
        coming = Coming(course, state, 1, lengths)
        for number in (1, 2):
            names = ("navy", "cream", "rust", "grey")
            assert sum(coming.made(number, name) for name in names) == coming.made(number, None)
            for leg in (None, 46, 50, 43):
                by_colour = sum(coming.to_come(number, name, leg) for name in names)
                assert by_colour == coming.to_come(number, None, leg)
        if knitter.state.socks[0].section == 1:
            knitter.to("gusset")


def test_the_clock_decides_which_ball_a_round_is_of() -> None:
    """46 rounds of leg: navy 31, cream 9, rust 6 (common practice, no source)."""
    knitter = Knitter(striped())
    knitter.to("leg")
    before = made_by_colour(knitter.course, knitter.state, 1)
    knitter.tick(46)
    leg = made_by_colour(knitter.course, knitter.state, 1)
    leg.subtract(before)
    assert {name: n // 64 for name, n in leg.items() if n} == {"navy": 31, "cream": 9, "rust": 6}
    assert sum(leg.values()) == 46 * 64


def test_a_colour_has_enough_where_another_has_not() -> None:
    knitter = Knitter(striped())
    assert weigh(knitter, 60, "navy").verdict == "enough"
    assert weigh(knitter, 10, "cream").verdict == "not enough"
    yarn = knitter.look().yarn
    assert yarn is not None
    assert yarn.colour == "cream", "the one weighed just now"
    assert [one.colour for one in yarn.others] == ["navy"]
    knitter.tick()
    worst = knitter.look().yarn
    assert worst is not None
    assert worst.colour == "cream", "then the one that is least sure"


def test_what_a_sock_takes_of_a_colour_is_its_share() -> None:
    """Grams of a colour: all grams by its share of the stitches (common practice, no source)."""
    knitter = Knitter(striped(yarn_grams=100, yarn_metres=420))
    whole = weigh(knitter, 100).sock_g
    names = ("navy", "cream", "rust", "grey")
    assert sum(weigh(knitter, 40, name).sock_g for name in names) == pytest.approx(whole)


def test_the_plan_alone_is_not_told_beside_the_balls_of_colours() -> None:
    """What all yarn weighs by its plan says nothing of one colour."""
    knitter = Knitter(striped(yarn_grams=100))
    assert words.yarn_lines(knitter.look())[0].startswith("100 g left by its plan")
    weigh(knitter, 60, "navy")
    assert [line[:20] for line in words.yarn_lines(knitter.look())] == ["60 g of navy left: s"]


def test_colours_teach_one_another() -> None:
    """Navy, weighed twice, tells what cream will take."""
    knitter = Knitter(striped())
    weigh(knitter, 60, "navy")
    doubt = weigh(knitter, 20, "cream").sock_sd
    knitter.to("leg", 30)
    weigh(knitter, 49, "navy")
    assert sight(knitter, "cream").sock_sd < doubt / 2


# Ways out in one colour


def kinds(found: YarnSight) -> list[str]:
    return [rescue.kind for rescue in found.rescues]


def test_ways_out_are_those_of_the_colour() -> None:
    knitter = Knitter(striped())
    assert kinds(weigh(knitter, 7, "rust")) == ["heels", "ball"], "stripes and legs would not do"
    assert kinds(weigh(knitter, 3, "grey")) == ["toes", "ball"]
    assert kinds(weigh(knitter, 10, "cream"))[-1] == "ball"
    assert "toes" not in kinds(sight(knitter, "cream"))


def test_shorter_legs_by_colour_do_what_they_say() -> None:
    """The stripes of the foot move with the leg's end; what is saved is counted, not guessed."""
    knitter = Knitter(striped())
    knitter.to("leg", 4)
    use = weigh(knitter, 41.0, "navy")
    (legs,) = [rescue for rescue in use.rescues if rescue.kind == "legs"]
    assert legs.does
    before = use.over_g
    knitter.to("leg", 46 - legs.rounds)
    knitter.do("end")
    assert sight(knitter, "navy").over_g - before == pytest.approx(legs.grams, abs=0.01)


def test_fewer_stripes_are_counted_on_both_socks() -> None:
    knitter = Knitter(striped())
    weigh(knitter, 12, "cream")
    (stripes,) = [r for r in sight(knitter, "cream").rescues if r.kind == "stripes"]
    per_sock = 46 // 14 + (19 + 1 + 44) // 14  # a stripe of cream in every sequence
    assert stripes.of in (2 * per_sock, 2 * per_sock + 2)
    assert 0 < stripes.stripes < stripes.of
    assert words.yarn_lines(knitter.look())[0].count("stripes to come in another colour") == 1


def test_stripes_have_one_count_wherever_they_are_told() -> None:
    """As likely enough as not, and to be safe; also where the goal by the yarn is refused."""
    given = {"colours.cuff": "navy", "colours.heel": "rust", "colours.toe": "rust"}
    yarn = {"yarn.grams": 80, "yarn.metres": 336}
    leg = ["navy 6", "cream 3", "rust 1"]
    knitter = Knitter(Course(sock({**given, **yarn, "colours.leg": leg})))
    knitter.to("leg", 30)
    weigh(knitter, 18, "cream")
    weigh(knitter, 20, "rust")
    weigh(knitter, 28, "navy")
    glance = knitter.look()
    told = "2 of its 19 stripes to come in another colour (6 to be safe)"
    line = words.yarn_line(glance)
    assert "not enough for both, about 2 g short (7 to be safe). " + told in line
    course, state = knitter.course, knitter.state
    far = as_far(course, state, 1, (length_of(course, state, 1), length_of(course, state, 2)), 1)
    assert isinstance(far, NotFar)
    assert words.not_far(far, "leg") == (
        "not one more round is safe: even if the leg ends here, 4 g of navy short of safe."
        f" As it is, about 2 g short (7 to be safe): {told}, or another ball of navy will help"
    )
    (cue,) = [cue for cue in glance.cues if cue.kind == "yarn"]
    assert words.cue_line(cue, glance).endswith(
        ", no length of leg is safe, 6 of its 19 stripes to come in another colour will do"
    )


# When it is said, and how


def cues(knitter: Knitter) -> list[str]:
    glance = knitter.look()
    return [words.cue_line(cue, glance) for cue in glance.cues if cue.kind == "yarn"]


def test_a_colour_is_weighed_again_while_it_is_at_hand() -> None:
    knitter = Knitter(striped())
    weigh(knitter, 48.5, "navy")
    asked = []
    for _ in range(68):
        knitter.tick()
        glance = knitter.look()
        for cue in glance.cues:
            if (cue.kind, cue.about, cue.when) == ("yarn", "weigh", 0):
                asked.append((knitter.place()[:2], glance.colour and glance.colour.name))
                assert words.cue_line(cue, glance).startswith("Weigh the navy that is left, instep")
                assert words.cue_line(cue, glance).endswith(" --colour navy enters it")
                assert words.cue_line(cue, glance, keys=True).endswith(" y enters it")
                assert words.cue_brief(cue, glance).startswith("weigh the navy: ")
    assert asked
    assert {colour for _, colour in asked} == {"navy"}


def test_too_little_of_a_colour_is_said_as_early_as_it_is_known() -> None:
    knitter = Knitter(striped())
    weigh(knitter, 10, "cream")
    assert any(line.startswith("Cream: not enough for both, about ") for line in cues(knitter))
    knitter.tick(9)
    assert cues(knitter) == [], "it is no news any more"


def test_how_a_ball_is_said() -> None:
    knitter = Knitter(striped(yarn_grams=100, yarn_metres=420))
    weigh(knitter, 60, "navy")
    assert words.yarn_line(knitter.look()) == (
        "60 g (252 m) of navy left: sock one takes 20 g of it in all, give or take 2; enough for both."
    )
    weigh(knitter, 11, "cream")
    assert yarn_words.yarn_brief(knitter.look()) == "11 g of cream left, 1 g short"
    assert words.yarn_fact(knitter.look()) == (
        "11 g (46 m) cream left", "too little for both, about 1 g short",
    )  # fmt: skip
    assert words.yarn_line(knitter.look()).endswith(
        " Halve it by weight before you cast on: sock one may use 6 g."
    )


def test_another_ball_of_a_colour() -> None:
    knitter = Knitter(striped())
    weigh(knitter, 60, "navy")
    knitter.to("leg", 20)
    weigh(knitter, 52, "navy")
    knitter.tick()
    assert weigh(knitter, 90, "navy").fits == "other ball"
    said = answers.said(knitter.events[-1], knitter.look(), knitter.look())  # type: ignore[arg-type]
    assert said.startswith(
        "Navy weighed more than last time: other ball? It counts as a new one. 90"
    )


def said_of(knitter: Knitter, keys: bool = False) -> str:
    glance = knitter.look()
    return answers.said(knitter.events[-1], glance, glance, keys=keys)  # type: ignore[arg-type]


def test_a_ball_weighed_for_all_of_them_is_asked_about() -> None:
    """33 g is about what the navy ball should weigh; navy and rust together weigh more."""
    knitter = Knitter(striped())
    weigh(knitter, 40, "navy")
    weigh(knitter, 25, "rust")
    knitter.to("leg", 20)
    found = weigh(knitter, 33)
    assert (found.fits, found.alone) == ("anew", ("navy",))
    assert said_of(knitter).startswith(
        "About 57 g of all colours together were expected: navy alone, or a slip? It counts from here on. "
        "If so: instep undo, then instep weigh 33 --colour navy. 33 g left: "
    )
    assert "If so: backspace, then 33 y while that is at hand." in said_of(knitter, keys=True)
    cue = next(cue for cue in knitter.look().cues if cue.about == "anew")
    assert words.cue_brief(cue, knitter.look()) == "does not fit: navy alone?"


def test_a_ball_weighed_for_all_that_a_plan_tells_is_asked_about() -> None:
    knitter = Knitter(striped(yarn_grams=100, yarn_metres=420))
    knitter.to("leg", 20)
    found = weigh(knitter, 31)
    assert (found.fits, found.alone) == ("anew", ("navy", "rust", "cream", "grey"))
    assert "expected: one ball alone, or a slip?" in said_of(knitter)


@pytest.mark.parametrize("grams", [64.0, 95.0])
def test_all_of_them_weighed_together_is_no_slip(grams: float) -> None:
    """As much as navy and rust should weigh, or more: cream and grey were never weighed."""
    knitter = Knitter(striped())
    weigh(knitter, 40, "navy")
    weigh(knitter, 25, "rust")
    knitter.to("leg", 20)
    found = weigh(knitter, grams)
    assert (found.fits, found.alone) == ("first", ())


def test_the_second_sock_needs_a_ball_of_each_colour() -> None:
    knitter = Knitter(striped())
    weigh(knitter, 30, "navy")
    weigh(knitter, 3, "grey")
    knitter.finish()
    lines = sorted(cues(knitter))
    assert [line.split(" for the other sock")[0] for line in lines] == [
        "A ball of grey", "A ball of navy",
    ]  # fmt: skip


# Whatever happens


NAMES = ("navy", "cream", "rust", "grey", None)
WISHES = st.lists(
    st.one_of(
        st.tuples(st.just("weigh"), st.floats(0.5, 90), st.sampled_from(NAMES)),
        st.tuples(st.just("tick"), st.integers(1, 70), st.none()),
        st.tuples(st.just("at"), st.integers(0, 60), st.none()),
        st.tuples(st.sampled_from(("undo", "redo", "other", "end")), st.just(0), st.none()),
    ),
    min_size=3,
    max_size=20,
)


@given(WISHES)
def test_any_acts_leave_balls_that_can_be_said(
    wishes: list[tuple[str, float, str | None]],
) -> None:
    knitter = Knitter(striped(yarn_grams=100))
    for kind, number, colour in wishes:
        name = {"weigh": "grams", "tick": "rounds", "at": "round"}.get(kind, "n")
        data: dict[str, Any] = {} if name == "n" else {name: number, "text": "x"}
        with suppress(Refused):
            knitter.do(kind, **(data | {"colour": colour} if colour else data))
    state, course = knitter.state, knitter.course
    lengths = (length_of(course, state, 1), length_of(course, state, 2))
    for looked_at in BOTH:
        glance = knitter.look(looked_at)
        assert glance.yarn is not None
        for one in (glance.yarn, *glance.yarn.others):
            assert 0 <= one.chance <= 1
            assert one.left_g >= 0
        assert all(words.yarn_lines(glance))
        assert len(yarn_words.yarn_brief(glance)) <= 36
        for cue in glance.cues:
            assert words.cue_line(cue, glance)
            assert words.cue_brief(cue, glance)
        at = max(LEG, state.sock(looked_at).section)
        for only in (False, True):
            far = as_far(course, state, looked_at, lengths, at, only=only)
            assert far if isinstance(far, AsFar) else words.not_far(far, "leg")
