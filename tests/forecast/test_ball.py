"""Will it last: a pair's weighings against what is still to be knitted, what is said of it, and when."""

from __future__ import annotations

from contextlib import suppress
from functools import cache
from math import ceil
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import Knitter, sock_of_64
from tests.pattern.making import sock
from tracker import words
from tracker.forecast.ball import YarnSight, told_of
from tracker.forecast.yarn import WORTH_G, would_tell
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.state import BOTH
from tracker.pattern.model import Yarn


@cache
def course(grams: float | None = 100, metres: float | None = 420) -> Course:
    """The sock of 64 with its yarn told."""
    return Course(sock_of_64().pattern._replace(yarn=Yarn(grams, metres)))


def ball_of(grams: float) -> Knitter:
    """A pair begun with a ball of so many grams of 420 m to 100 g."""
    return Knitter(course(grams, grams * 4.2))


def weigh(knitter: Knitter, grams: float) -> YarnSight:
    knitter.do("weigh", grams=grams, text=f"{grams:g}")
    return sight(knitter)


def sight(knitter: Knitter, sock: Any = None) -> YarnSight:
    found = knitter.look(sock).yarn
    assert found is not None
    return found


def said(knitter: Knitter, sock: Any = None) -> list[tuple[str, int]]:
    return [(cue.about, cue.when) for cue in knitter.look(sock).cues if cue.kind == "yarn"]


def at_heel(before: float, after: float) -> Knitter:
    """Weighed before the first stitch and once cuff and leg are worked."""
    knitter = ball_of(before)
    knitter.to("leg", 46)
    weigh(knitter, after)
    return knitter


# How far it goes


def test_nothing_told_and_nothing_weighed_is_no_yarn() -> None:
    assert Knitter().look().yarn is None
    assert said(Knitter()) == []


def test_the_example_of_the_trade() -> None:
    """100 g, 85 g after cuff and leg: 35.6 g a sock (common practice, no source)."""
    found = sight(at_heel(100, 85))
    assert (round(found.sock_g, 1), round(found.sock_sd, 1)) == (35.6, 1.1)
    assert found.left_g == pytest.approx(85, abs=0.1)
    assert found.verdict == "enough"
    assert found.over_g == pytest.approx(100 - 2 * 35.6 - 1.5, abs=0.2)
    assert (found.unfinished, found.weighed, found.rescues) == ((1, 2), True, ())


@pytest.mark.parametrize(
    ("ball", "verdict"), [(66, "not enough"), (70, "not enough"), (75, "tight"), (80, "enough")]
)
def test_enough_tight_or_not(ball: float, verdict: str) -> None:
    """The same use of 15 g from balls of other weights."""
    assert sight(at_heel(ball, ball - 15)).verdict == verdict


def test_75_g_are_tight() -> None:
    """About 83 % (common practice, no source): a little more is known once some is knitted and weighed."""
    assert sight(at_heel(75, 60)).chance == pytest.approx(0.83, abs=0.03)


def test_a_sock_takes_its_own_rounds() -> None:
    """A leg of 40 rounds in place of 46, and what follows as planned."""
    knitter = ball_of(100)
    knitter.to("leg", 40)
    planned = sight(knitter).sock_g
    knitter.do("end")
    shorter = sight(knitter)
    assert planned - shorter.sock_g == pytest.approx(6 * 64 * 33.303 / 10_416, rel=1e-3)
    assert shorter.over_g - sight(ball_of(100)).over_g == pytest.approx(
        2 * 6 * 64 * 33.303 / 10_416, rel=1e-3
    ), "sock two follows"


def test_what_is_left_is_said_between_weighings() -> None:
    knitter = at_heel(100, 85)
    knitter.do("end")
    knitter.to("toe")
    assert sight(knitter).left_g == pytest.approx(85 - (9592 - 4352) * 35.61 / 10_416, abs=0.05)


def test_the_tails_of_a_finished_sock_are_cut_already() -> None:
    knitter = ball_of(100)
    knitter.finish()
    over = weigh(knitter, 63).over_g
    use = sight(knitter).sock_g
    assert over == pytest.approx(63 - use - 0.75, abs=0.3)
    assert sight(knitter, 2).unfinished == (2,)


def test_a_finished_pair_has_what_is_left() -> None:
    knitter = ball_of(100)
    for _ in range(2):
        knitter.finish()
        with suppress(Refused):
            knitter.do("other")
    found = weigh(knitter, 30)
    assert (found.left_g, found.over_g) == pytest.approx((30, 30), abs=0.1)
    assert found.unfinished == ()
    assert said(knitter) == []
    assert words.yarn_line(knitter.look()) == "30 g (126 m) left: the pair is finished."


def test_nothing_told_and_once_weighed() -> None:
    """By the gauge alone: what a sock takes is doubted by a fifth."""
    knitter = Knitter()
    knitter.to("leg", 20)
    found = weigh(knitter, 85)
    assert found.fits == "first"
    assert found.sock_sd / found.sock_g == pytest.approx(0.18, abs=0.01)


def test_without_a_gauge_it_is_said_that_nothing_can_be_said_until_it_is_weighed_twice() -> None:
    pattern = sock_of_64().pattern._replace(gauge=None)
    knitter = Knitter(Course(pattern))
    weigh(knitter, 100)
    assert sight(knitter).vague
    assert words.yarn_line(knitter.look()).startswith("100 g left: how far it goes cannot be said")
    assert words.yarn_fact(knitter.look()) is None
    knitter.to("leg", 30)
    found = weigh(knitter, 88)
    assert not found.vague
    assert found.sock_g == pytest.approx(12 / (52 * 64) * found_stitches(knitter), rel=0.05)


def found_stitches(knitter: Knitter) -> int:
    return knitter.course.stitches


# Ways out


def test_while_the_leg_is_open_both_can_be_shorter() -> None:
    """Short grams over two legs of 64 stitches by what a stitch takes; then it is enough."""
    knitter = ball_of(72)
    knitter.to("leg", 20)
    found = weigh(knitter, 62.5)
    assert found.verdict == "not enough"
    (legs,) = [rescue for rescue in found.rescues if rescue.kind == "legs"]
    assert legs.socks == 2
    assert found.ends_at == 46 - legs.rounds
    use = found.sock_g / 10_416
    assert legs.grams == pytest.approx(legs.rounds * 2 * 64 * use)
    knitter.to("leg", found.ends_at)
    knitter.do("end")
    assert sight(knitter).chance > 0.94


def test_ways_out_come_in_order() -> None:
    knitter = ball_of(72)
    knitter.to("leg", 20)
    found = weigh(knitter, 62.5)
    assert [rescue.kind for rescue in found.rescues] == ["toes", "heels", "legs", "ball"]
    toes, heels = found.rescues[:2]
    use = found.sock_g / 10_416
    assert toes.grams == pytest.approx(2 * 824 * use)
    assert heels.grams == pytest.approx(2 * 953 * use)


def test_what_is_behind_her_is_no_way_out() -> None:
    """Past the heel of sock one only sock two's is left, past its leg none is shortened."""
    knitter = ball_of(66)
    knitter.to("gusset", 4)
    found = weigh(knitter, 47)
    assert [rescue.kind for rescue in found.rescues] == ["toes", "heels", "ball"]
    assert found.ends_at is None
    use = found.sock_g / 10_416
    assert found.rescues[1].grams == pytest.approx(953 * use)
    assert [r.kind for r in sight(knitter, 2).rescues] == ["toes", "heels", "legs", "ball"]
    (legs,) = [r for r in sight(knitter, 2).rescues if r.kind == "legs"]
    assert legs.socks == 1


def test_a_leg_that_would_have_to_be_unravelled_is_no_way_out() -> None:
    knitter = at_heel(66, 51)
    assert [rescue.kind for rescue in sight(knitter).rescues] == ["toes", "heels", "ball"]


def test_a_heel_of_the_other_sock_alone_is_told_as_that() -> None:
    """Sock one's heel is made: another yarn for sock two's is a pair that differs."""
    knitter = ball_of(75)
    knitter.to("foot")
    heels = next(rescue for rescue in sight(knitter).rescues if rescue.kind == "heels")
    assert heels.alone == 2
    line = words.yarn_line(knitter.look())
    assert line.endswith(
        "Toes in another yarn, or sock two's heel alone in another yarn (3 g of it, the pair will differ),"
        " or another ball."
    )
    knitter.to("toe", 3)
    line = words.yarn_line(knitter.look())
    assert "Sock two's toe alone in another yarn (" in line
    assert "oes in another yarn" not in line


def test_what_makes_the_pair_differ_is_not_the_first_that_will_do() -> None:
    """Sock two's toe alone would do: it is told among the ways out, but no cue says to do it."""
    knitter = ball_of(71)
    knitter.to("toe", 3)
    found = weigh(knitter, 38)
    toe = next(rescue for rescue in found.rescues if rescue.kind == "toes")
    assert (toe.does, toe.alone) == (True, 2)
    (cue,) = [cue for cue in knitter.look().cues if cue.kind == "yarn"]
    told = "Sock two's toe alone in another yarn (the pair will differ)"
    assert told in words.yarn_line(knitter.look())
    assert words.cue_line(cue, knitter.look()).endswith(", another ball will do")


def made_of(kinds: tuple[str, ...]) -> int:
    """Stitches of some sections of a pair."""
    sections = sock_of_64().sections
    return 2 * sum(row.worked for s in sections if s.kind in kinds for row in s.rows)


@pytest.mark.parametrize(
    ("kinds", "grams"),
    [(("toe",), 5.7), (("heel set-up", "flap", "turn"), 6.5), (("cuff",), 9.7)],
)
def test_what_another_yarn_saves_a_pair(kinds: tuple[str, ...], grams: float) -> None:
    """Toes 5.7 g, heels 6.5 g, cuffs 9.7 g of a sock of 35.9 g (common practice, no source)."""
    assert made_of(kinds) * 35.9 / 10_416 == pytest.approx(grams, abs=0.07)


def test_before_casting_on_other_cuffs_are_a_way_out_too() -> None:
    found = sight(ball_of(66))
    assert [rescue.kind for rescue in found.rescues] == ["toes", "heels", "legs", "cuffs", "ball"]
    cuffs = found.rescues[3]
    assert cuffs.grams == pytest.approx(made_of(("cuff",)) * found.sock_g / 10_416)
    knitter = ball_of(66)
    knitter.tick()
    assert "cuffs" not in [rescue.kind for rescue in sight(knitter).rescues]


def test_before_casting_on_the_ball_is_halved_where_it_may_be_short() -> None:
    """Halve the ball by weight: sock one may use one half (common practice, no source)."""
    knitter = ball_of(70)
    said_of = words.yarn_line(knitter.look())
    assert said_of.endswith(" Halve it by weight before you cast on: sock one may use 35 g.")
    assert "Halve" not in words.yarn_line(ball_of(100).look()), "nobody need think of it"
    knitter.tick()
    assert "Halve" not in words.yarn_line(knitter.look())
    hat = Knitter(Course(course(20, 84).pattern._replace(of_socks=False)))
    assert "Halve" not in words.yarn_line(hat.look())


def test_too_little_is_known_long_before_the_heel() -> None:
    """The first weighing comes after 8 to 10 g, when the leg has more than half its rounds to go."""
    knitter = ball_of(72)
    while ("weigh", 0) not in said(knitter):
        knitter.tick()
    assert knitter.place()[0] == "leg"
    assert knitter.place()[1] < 46 / 2
    used = 72 - sight(knitter).left_g
    assert 8 <= used <= 10
    weigh(knitter, 72 - used * 1.2)
    assert said(knitter)[0] == ("not enough", 0)
    assert "legs" in [rescue.kind for rescue in sight(knitter).rescues]


# Legs of so many rounds


def counted_legs(grams: float, rounds: int = 46, **more: Any) -> Knitter:
    """A plan whose leg is given in rounds: it ends by itself."""
    given = {"leg.length": None, "leg.rounds": rounds, "yarn.grams": grams}
    return Knitter(Course(sock({**given, "yarn.metres": grams * 4.2, **more})))


def test_legs_of_counted_rounds_are_made_shorter_by_a_new_plan() -> None:
    knitter = counted_legs(66)
    (legs,) = [rescue for rescue in sight(knitter).rescues if rescue.kind == "legs"]
    assert (legs.planned, legs.here) == (46 - legs.rounds, None)
    told = f"a new plan with leg.rounds = {legs.planned} before you cast on"
    assert told in words.yarn_line(knitter.look())
    knitter.to("leg", 18)
    weigh(knitter, 57.5)
    (legs,) = [rescue for rescue in sight(knitter).rescues if rescue.kind == "legs"]
    assert legs.here == (18, "leg")
    line = words.yarn_line(knitter.look())
    told = f"leg.rounds = {legs.planned} (start it, then instep at 18 --section leg)"
    assert told in line
    knitter.tick(46 - 18)
    assert "leg" not in words.yarn_line(knitter.look()), "past the leg it would not work"


def test_the_new_plan_does_what_it_says() -> None:
    """Begun at the place where she is, it counts from there, ends at its round, and the yarn is safer."""
    knitter = counted_legs(70)
    knitter.to("leg", 18)
    before = weigh(knitter, 61.5)
    (legs,) = [rescue for rescue in before.rescues if rescue.kind == "legs"]
    assert legs.does
    again = counted_legs(70, legs.planned)
    again.do("at", round=18, section="leg")
    assert again.place() == ("leg", 18, 0)
    after = weigh(again, 61.5)
    assert after.over_g - before.over_g == pytest.approx(legs.grams, abs=0.01)
    assert after.chance > 0.94
    again.tick(legs.planned - 18)
    assert again.place() == ("heel set-up", 0, 0)


def test_where_one_sock_is_past_its_leg_no_new_plan_is_told() -> None:
    knitter = counted_legs(66)
    knitter.to("gusset", 4)
    weigh(knitter, 47)
    assert "legs" not in [rescue.kind for rescue in sight(knitter, 2).rescues]


def test_the_cue_tells_the_new_plan() -> None:
    knitter = counted_legs(72)
    knitter.to("leg", 21)
    weigh(knitter, 62.5)
    glance = knitter.look()
    (cue,) = [cue for cue in glance.cues if cue.kind == "yarn"]
    assert ", a new plan with leg.rounds = 34 or toes in another yarn will do" in words.cue_line(
        cue, glance
    )
    knitter.tick(11)
    glance = knitter.look()
    (cue,) = [cue for cue in glance.cues if cue.kind == "yarn"]
    assert "yarn for both, if a new plan ends the leg at round" in words.cue_line(cue, glance)


# Metres


def test_metres_are_said_where_the_plan_tells_them() -> None:
    assert "100 g (420 m) left by its plan" in words.yarn_line(Knitter(course(100, 420)).look())
    assert "100 g left by its plan" in words.yarn_line(Knitter(course(100, None)).look())


def test_metres_alone_are_said_in_metres_until_something_is_weighed() -> None:
    """The loop alone is in doubt: 140 m a sock, give or take a tenth (common practice, no source)."""
    knitter = Knitter(course(None, 420))
    assert words.yarn_line(knitter.look()) == (
        "420 m left by its plan: sock one should take 140 m, give or take 14; enough for both."
    )
    assert words.yarn_fact(knitter.look()) == ("420 m left", "enough for both")
    short = Knitter(course(None, 280))
    assert " m short (53 to be safe). Toes in another yarn (22 m of it), or" in words.yarn_line(
        short.look()
    )


def test_metres_and_a_weight_before_the_first_stitch_tell_the_grist() -> None:
    knitter = Knitter(course(None, 420))
    weigh(knitter, 105)
    assert words.yarn_line(knitter.look()) == (
        "105 g (420 m) left: sock one takes 35 g in all, give or take 3; enough for both."
    )
    later = Knitter(course(None, 420))
    later.tick(40)
    weigh(later, 92)
    assert words.yarn_line(later.look()).startswith("92 g left: sock one takes 34 g in all"), (
        "unknown"
    )


# When it is said


def test_it_is_weighed_first_after_eight_grams() -> None:
    """About leg round 15 of the sock of 64, by the gauge 18 (common practice, no source)."""
    knitter = ball_of(100)
    asked = []
    for _ in range(60):
        knitter.tick()
        if ("weigh", 0) in said(knitter):
            asked.append(knitter.place()[:2])
    # Passed by, it is asked for once in a while.
    assert asked == [("leg", 18), ("leg", 28), ("leg", 38)]


def test_a_round_before_it_is_told_that_the_next_is_the_one() -> None:
    knitter = ball_of(100)
    knitter.to("leg", 17)
    assert said(knitter) == [("weigh", 1)]
    assert sight(knitter).weigh_at == 18


def test_once_it_is_clearly_enough_nobody_asks_again() -> None:
    knitter = at_heel(100, 85)
    knitter.do("end")
    while not knitter.sock().finished:
        assert said(knitter) == []
        knitter.tick() if knitter.sock().section != 6 or knitter.place()[1] < 44 else knitter.do(
            "end"
        )
    assert said(knitter) == [("second", 0)]


def test_too_little_is_said_after_weighing_and_before_the_leg_would_have_to_end() -> None:
    knitter = ball_of(72)
    knitter.to("leg", 18)
    weigh(knitter, 63)
    (legs,) = [rescue for rescue in sight(knitter).rescues if rescue.kind == "legs"]
    ends = 46 - legs.rounds
    told = {18: said(knitter)}
    for row in range(19, 47):
        knitter.tick()
        told[row] = [cue for cue in said(knitter) if cue[0] != "weigh"]
    assert told[18] == told[20] == [("not enough", 0)]
    for ahead in (5, 2, 1, 0):
        assert told[ends - ahead] == [("legs", ahead)]
    assert told[ends - 3] == told[ends - 4] == []


def a_guess() -> Knitter:
    """By the gauge alone, weighed once before the leg: what a sock takes is doubted by a fifth."""
    knitter = Knitter()
    knitter.to("leg")
    weigh(knitter, 71)
    return knitter


def test_the_scale_is_asked_before_the_leg_would_have_to_end() -> None:
    """Where a weight may show that it need not: giving up 24 rounds on a guess is not told alone."""
    knitter = a_guess()
    ends = sight(knitter).ends_at
    assert ends == 22
    asked: dict[int, list[tuple[str, int]]] = {}
    for row in range(1, 46):
        knitter.tick()
        if there := [cue for cue in said(knitter) if cue[0] in ("weigh", "legs")]:
            asked[row] = there
    assert (asked[18], asked[19]) == ([("weigh", 1)], [("weigh", 0)])
    assert (asked[20], asked[22]) == ([("legs", 2)], [("legs", 0)])


def test_until_it_is_weighed_the_end_of_the_leg_is_told_with_that() -> None:
    knitter = a_guess()
    knitter.tick(20)
    assert sight(knitter).weigh_at == 19, "behind her: it is due"
    (cue,) = [cue for cue in knitter.look().cues if cue.about == "legs"]
    told = "In 2 rounds: yarn for both, if the leg ends at round 22"
    assert words.cue_line(cue, knitter.look()) == f"{told}, weigh what is left first"
    assert words.cue_brief(cue, knitter.look()) == "weigh it, or end the leg at 22"
    weigh(knitter, 67.5)
    assert sight(knitter).verdict == "enough", "it settles it"
    assert sight(knitter).weigh_at is None


def test_it_is_not_asked_where_a_weight_would_not_settle_it() -> None:
    """A safe end that is known: the next weight tells no more than the last one."""
    knitter = ball_of(72)
    knitter.to("leg", 30)
    found = weigh(knitter, 61)
    assert found.ends_at is not None
    assert found.weigh_at is None or found.weigh_at < found.ends_at


@examples(25)
@given(st.floats(60, 80), st.integers(0, 30), st.floats(0.0026, 0.0042), st.booleans())
def test_whenever_the_leg_must_end_by_a_guess_a_weight_was_asked_for(
    grams: float, at: int, use: float, told: bool
) -> None:
    """Where one would change the answer in more than one case of ten; and at that round it is due."""
    knitter = ball_of(80) if told else Knitter()
    knitter.to("leg", at)
    ends = weigh(knitter, grams - use * (22 + at) * 64).ends_at
    assume(ends is not None and ends > at)
    assert ends is not None
    knitter.tick(ends - at)
    now, made = sight(knitter), (22 + ends) * 64
    assume(now.ends_at == ends)
    ball = told_of(knitter.course, knitter.state).learned.balls[None]
    used = made - 3 * 64 - ball.stitches
    tells = would_tell(ball, used, (made - ball.stitches, 10_416 - made, 10_416), 2)
    due = now.weigh_at is not None and now.weigh_at <= ends - 3
    assert due == (tells and used * ball.use.mean >= WORTH_G)


def test_the_ball_for_sock_two() -> None:
    """At least 1.05 times sock one and a gram (common practice, no source)."""
    knitter = ball_of(100)
    knitter.finish()
    weigh(knitter, 64)
    one = sight(knitter, 1).sock_g
    assert sight(knitter).second_g == pytest.approx(1.05 * one + 1)
    assert said(knitter) == [("second", 0)]
    cue = next(cue for cue in knitter.look().cues if cue.kind == "yarn")
    assert (
        words.cue_line(cue, knitter.look()) == "A ball for the other sock must weigh 39 g or more"
    )
    knitter.do("other")
    assert said(knitter) == [("second", 0)]
    knitter.tick()
    assert said(knitter) == []


def test_another_ball_is_asked_about_until_the_next_stitch() -> None:
    knitter = at_heel(100, 85)
    assert weigh(knitter, 97).fits == "other ball"
    assert said(knitter) == [("other ball", 0)]
    knitter.do("end")
    knitter.tick()
    assert said(knitter) == []
    assert sight(knitter).left_g == pytest.approx(97, abs=0.2)


def test_a_weight_out_of_line_is_asked_about() -> None:
    knitter = at_heel(100, 60)
    assert sight(knitter).fits == "anew"
    assert sight(knitter).expected_g == pytest.approx(86.1, abs=0.1)
    assert said(knitter)[0] == ("anew", 0)


# How it is said


def test_one_sentence() -> None:
    line = words.yarn_line(at_heel(100, 85).look())
    assert line == "85 g (357 m) left: sock one takes 36 g in all, give or take 1; enough for both."


def test_what_to_do_is_said_with_it() -> None:
    knitter = ball_of(72)
    knitter.to("leg", 20)
    weigh(knitter, 62.5)
    assert words.yarn_line(knitter.look()) == (
        "63 g (263 m) left: sock one takes 36 g in all, give or take 2;"
        " not enough for both, about 2 g short (7 to be safe)."
        " Toes in another yarn (6 g of it), or heels in another yarn (7 g of it),"
        " or both legs 4 rounds shorter (14 to be safe), or another ball."
    )


def no_length_is_safe() -> Knitter:
    """Ten grams more used than thought, and much of the leg made: an even chance is the most there is."""
    knitter = ball_of(75)
    knitter.to("leg", 24)
    weigh(knitter, 63)
    return knitter


def test_legs_that_are_an_even_chance_at_the_most_are_not_told_as_safe() -> None:
    knitter = no_length_is_safe()
    found = sight(knitter)
    (legs,) = [rescue for rescue in found.rescues if rescue.kind == "legs"]
    assert (legs.does, legs.rounds) == (False, 17)
    line = words.yarn_line(knitter.look())
    assert "not enough for both, about 8 g short (13 to be safe)." in line
    assert "or both legs 17 rounds shorter for an even chance (no length is safe), or" in line
    (cue,) = [cue for cue in knitter.look().cues if cue.kind == "yarn"]
    assert words.cue_line(cue, knitter.look()) == (
        "Yarn: not enough for both, about 8 g short, no length of leg is safe, another ball will do"
    )
    assert words.cue_brief(cue, knitter.look()) == "yarn 8 g short for both"


def test_where_an_even_chance_ends_is_said_as_that() -> None:
    knitter = no_length_is_safe()
    assert sight(knitter).ends_at == 46 - 17
    knitter.tick(4)
    (cue,) = [cue for cue in knitter.look().cues if cue.about == "legs"]
    told = "an even chance for both, if the leg ends at round 29"
    assert words.cue_line(cue, knitter.look()).startswith(f"Next round: yarn: {told}")
    assert words.cue_brief(cue, knitter.look()) == "yarn: even chance at 29"


def test_grams_to_be_safe_are_those_by_which_the_ways_out_do() -> None:
    found = sight(no_length_is_safe())
    parts = [rescue for rescue in found.rescues if rescue.kind in ("toes", "heels")]
    assert [rescue.does for rescue in parts] == [rescue.grams >= found.lacks_g for rescue in parts]
    assert found.lacks_g > -found.over_g > 0
    (ball,) = [rescue for rescue in found.rescues if rescue.kind == "ball"]
    assert ball.grams == found.lacks_g


def test_rounds_off_each_leg_by_the_rule() -> None:
    """Short grams of the pair over two rounds, one on each leg (common practice, no source)."""
    knitter = ball_of(72)
    knitter.to("leg", 20)
    found = weigh(knitter, 62.5)
    (legs,) = [rescue for rescue in found.rescues if rescue.kind == "legs"]
    assert legs.likely == ceil(-found.over_g / (2 * 64 * found.sock_g / 10_416))


def test_the_cue_tells_shorter_legs_and_another_way() -> None:
    knitter = ball_of(72)
    knitter.to("leg", 21)
    weigh(knitter, 62.5)
    glance = knitter.look()
    (cue,) = [cue for cue in glance.cues if cue.kind == "yarn"]
    assert words.cue_line(cue, glance) == (
        "Yarn: not enough for both, about 1 g short,"
        " both legs 12 rounds shorter or toes in another yarn will do"
    )
    assert words.cue_brief(cue, glance) == "yarn 1 g short: legs 12 less"


def test_facts() -> None:
    assert words.yarn_fact(at_heel(100, 85).look()) == ("85 g (357 m) left", "enough for both")
    assert words.yarn_fact(Knitter().look()) is None
    what, sense = words.yarn_fact(at_heel(66, 51).look()) or ("", "")
    assert (what, sense.split(",")[0]) == ("51 g (214 m) left", "too little for both")


def test_told_by_the_plan_alone() -> None:
    line = words.yarn_line(ball_of(100).look())
    assert line == (
        "100 g (420 m) left by its plan: sock one should take 33 g, give or take 3; enough for both."
    )


def test_what_is_no_sock_is_not_called_one() -> None:
    """A hat: one piece, no toes, no heels, no second one."""
    knitter = Knitter(Course(course(40, 168).pattern._replace(of_socks=False)))
    knitter.to("leg", 20)
    weigh(knitter, 31)
    assert words.yarn_line(knitter.look()).startswith(
        "31 g (130 m) left: it takes 35 g in all, give or take 2;"
    )
    assert sight(knitter).unfinished == (1,)
    weigh(knitter, 15)
    assert [rescue.kind for rescue in sight(knitter).rescues] == ["ball"]
    assert " enough" in words.yarn_line(knitter.look())
    assert "sock" not in words.yarn_line(knitter.look())
    knitter.finish()
    weigh(knitter, 5)
    assert words.yarn_line(knitter.look()) == "5 g (21 m) left: it is finished."


# Whatever happens


WISHES = st.lists(
    st.one_of(
        st.tuples(st.just("weigh"), st.floats(0.5, 400)),
        st.tuples(st.just("tick"), st.integers(1, 70)),
        st.tuples(st.just("at"), st.integers(0, 60)),
        st.tuples(st.sampled_from(("undo", "redo", "other", "end")), st.just(0)),
    ),
    max_size=25,
)


@given(WISHES, st.sampled_from([(100, 420), (60, None), (None, None), (None, 400)]))
def test_any_acts_leave_a_yarn_that_can_be_said(
    wishes: list[tuple[str, float]], told: tuple[float | None, float | None]
) -> None:
    knitter = Knitter(course(*told))
    for kind, number in wishes:
        data: dict[str, Any] = {}
        if kind in ("weigh", "tick", "at"):
            name = {"weigh": "grams", "tick": "rounds", "at": "round"}[kind]
            data = {name: number, "text": "x"}
        with suppress(Refused):
            knitter.do(kind, **data)
        for number in BOTH:
            glance = knitter.look(number)
            assert (glance.yarn is None) == (told == (None, None) and not knitter.state.weighings)
            if glance.yarn is None:
                continue
            assert 0 <= glance.yarn.chance <= 1
            assert glance.yarn.left_g >= 0
            assert words.yarn_line(glance)
            for cue in glance.cues:
                assert words.cue_line(cue, glance)
                assert words.cue_brief(cue, glance)


@given(st.integers(0, 30), st.floats(55, 110), st.integers(1, 30))
def test_knitting_more_never_raises_what_is_left_over(row: int, grams: float, more: int) -> None:
    """Until the goal it stays, past it there is less with every round."""
    knitter = ball_of(100)
    knitter.to("leg", row)
    weigh(knitter, grams)
    before = sight(knitter)
    knitter.tick(more)
    after = sight(knitter)
    assert after.over_g <= before.over_g + 1e-6
    assert after.left_g <= before.left_g + 1e-6


def test_what_is_ripped_is_yarn_again() -> None:
    """Weighed at the end of the leg, 26 rounds ripped: the grams of 26 x 64 stitches are back."""
    knitter = ball_of(100)
    knitter.to("leg", 46)
    before = weigh(knitter, 85.0)
    knitter.do("rip", by=26)
    after = sight(knitter)
    each = before.sock_g / knitter.course.stitches
    assert after.left_g - before.left_g == pytest.approx(26 * 64 * each, rel=0.01)
    assert after.over_g == pytest.approx(before.over_g, abs=0.01), "it is knitted once more"
    assert not after.news
    again = weigh(knitter, round(after.left_g))
    assert again.fits == "fits", "more than the last weight, and no other ball"
    assert again.over_g == pytest.approx(before.over_g, abs=1.5)


def test_knitted_on_after_a_rip_a_weight_is_laid_against_the_fabric() -> None:
    knitter, straight = ball_of(100), ball_of(100)
    for one in (knitter, straight):
        one.to("leg", 40)
        weigh(one, 87.0)
    knitter.do("rip", by=20)
    knitter.tick(26)
    straight.tick(6)
    assert sight(knitter).left_g == pytest.approx(sight(straight).left_g)
    assert weigh(knitter, 85.0).over_g == pytest.approx(weigh(straight, 85.0).over_g)
