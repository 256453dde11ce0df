"""As far as the yarn goes: the longest leg for which every ball is safely enough, on both socks."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.forecast.test_ball import ball_of, sight, weigh
from tests.forecast.test_balls_of_colours import striped
from tests.forecast.test_balls_of_colours import weigh as weigh_colour
from tests.knitting.knitter import Knitter
from tests.pattern.making import sock
from tracker import words
from tracker.forecast.as_far import AsFar, NotFar, as_far
from tracker.forecast.left import length_of
from tracker.knitting.course import Course
from tracker.pattern.scores import AT_95


def goal(knitter: Knitter, number: Any = 1) -> AsFar | NotFar:
    course, state = knitter.course, knitter.state
    lengths = (length_of(course, state, 1), length_of(course, state, 2))
    return as_far(course, state, number, lengths)


def found(knitter: Knitter, number: Any = 1) -> AsFar:
    far = goal(knitter, number)
    assert isinstance(far, AsFar), far
    return far


def set_to(knitter: Knitter, far: AsFar, number: Any = 1) -> None:
    knitter.do("target", number, mm=far.mm, text=words.AS_FAR)


def measure(knitter: Knitter, mm: float) -> None:
    knitter.do("measure", mm=mm, text=f"{mm / 10:g}", step=0.0, rough=False)


def in_the_leg(before: float, after: float, at: int = 20) -> Knitter:
    knitter = ball_of(before)
    knitter.to("leg", at)
    weigh(knitter, after)
    return knitter


@pytest.mark.parametrize(("before", "after"), [(100, 90.5), (76, 66.5), (74, 64.5)])
def test_it_is_the_last_round_that_is_safe(before: float, after: float) -> None:
    """95 in 100 at that round, and less at the next one; the length is that of that round."""
    knitter = in_the_leg(before, after)
    far = found(knitter)
    set_to(knitter, far)
    assert knitter.look().rows_to_go[1] == far.rounds - 20
    assert sight(knitter).verdict == "enough"
    set_to(knitter, far._replace(mm=far.mm + 100 / 42))
    assert knitter.look().rows_to_go[1] == far.rounds - 19
    assert sight(knitter).verdict == "tight"


@given(st.floats(72, 130), st.integers(2, 44), st.floats(0.0028, 0.0042))
def test_whatever_is_left_both_legs_are_enough_to_there(before: float, at: int, use: float) -> None:
    knitter = in_the_leg(before, before - use * (22 + at) * 64, at)
    far = goal(knitter)
    if isinstance(far, NotFar):
        assert far.why == "short"
        assert far.short_g > 0
        return
    assert far.rounds >= at, "at the least it ends here"
    set_to(knitter, far)
    now = sight(knitter)
    assert now.verdict == "enough" or now.fits in ("other ball", "anew")


def test_sock_two_grows_as_far() -> None:
    """Two legs a round longer take two rounds: half as many rounds as the yarn for one would give."""
    knitter = in_the_leg(100, 90.5)
    over = sight(knitter)
    use = over.sock_g / 10_416
    far = found(knitter)
    assert (far.rounds - 46) * 2 * 64 * use < over.over_g
    assert (far.rounds - 46) > 0.6 * over.over_g / (2 * 64 * use), "but for the doubt"
    set_to(knitter, far)
    knitter.tick(far.rounds - 20)
    knitter.do("end")
    knitter.do("other")
    knitter.to("leg", 3)
    assert knitter.look().place.planned == far.rounds


def test_a_finished_sock_is_not_knitted_again() -> None:
    """Sock one is done; its leg ended at 46, and so does sock two's: no goal is hers to set."""
    knitter = ball_of(100)
    knitter.finish()
    knitter.to("leg", 5, sock=2)
    weigh(knitter, 60)
    assert isinstance(goal(knitter, 2), AsFar), "what may be set is decided elsewhere"


def test_the_tape_says_how_long_it_will_be() -> None:
    loose = in_the_leg(76, 66.5)
    measure(loose, 110)
    planned = in_the_leg(76, 66.5)
    assert found(loose).mm > found(planned).mm
    set_to(loose, found(loose))
    assert loose.look().rows_to_go[1] == found(loose).rounds - 20


def test_rounds_done_of_either_leg_are_the_least() -> None:
    """What is safe for sock one may be less than what sock two has already."""
    knitter = in_the_leg(66, 57)
    assert found(knitter).rounds < 40
    knitter = ball_of(66)
    knitter.to("leg", 20)
    knitter.to("leg", 40, sock=2)
    weigh(knitter, 66 - 124 * 64 * 33.3 / 10_416)
    far = goal(knitter)
    assert isinstance(far, NotFar)
    assert far.why == "short"


def test_not_even_one_round_more() -> None:
    """By how many grams, and what else there is; shorter legs are no way any more."""
    knitter = in_the_leg(62, 47, at=46)
    far = goal(knitter)
    assert isinstance(far, NotFar)
    assert far.yarn is not None
    assert [way.kind for way in far.yarn.rescues] == ["toes", "heels", "ball"]
    pieces = (0, 64 + 10_416 - 68 * 64, 10_416 + 64)
    ball_over = 47 - sum(pieces) * far.yarn.sock_g / 10_416 - 1.5
    assert far.short_g > -ball_over, "what is safe is more than what is likely"
    assert far.short_g < -ball_over + AT_95 * 3
    assert words.not_far(far, "leg").startswith("not one more round is safe: ")
    assert " g of yarn short; toes in another yarn (6 g of it), or " in words.not_far(far, "leg")


@pytest.mark.parametrize(
    ("section", "row", "leg_mm", "may_be_set"),
    [("cuff", 5, 160, False), ("foot", 4, None, True), ("flap", 4, None, False)],
)
def test_only_the_leg_is_as_long_as_the_yarn(
    section: str, row: int, leg_mm: float | None, may_be_set: bool
) -> None:
    """A foot is as long as the foot."""
    knitter = ball_of(100)
    knitter.to(section, row)
    assert goal(knitter) == NotFar("not the leg", leg_mm=leg_mm, open=may_be_set)


def test_before_the_leg_it_is_said_what_to_do() -> None:
    knitter = ball_of(100)
    why = goal(knitter)
    assert isinstance(why, NotFar)
    assert words.not_far(why, "cuff", "in", keys=True).endswith(
        "; knit on to the leg, or 6-1/4 g gives it a length"
    )


def test_no_yarn() -> None:
    knitter = Knitter()
    knitter.to("leg", 5)
    assert goal(knitter) == NotFar("no yarn")


def test_vague() -> None:
    """Without a gauge a single weight says nothing, and without a tape no length is known."""
    pattern = ball_of(100).course.pattern._replace(gauge=None, yarn=None)
    knitter = Knitter(Course(pattern))
    knitter.to("leg", 5)
    weigh(knitter, 100)
    assert goal(knitter) == NotFar("vague")
    knitter.to("leg", 40)
    weigh(knitter, 92)
    assert goal(knitter) == NotFar("no length")


def test_every_colour_of_the_leg_has_to_be_weighed() -> None:
    knitter = Knitter(striped())
    weigh_colour(knitter, 100)
    knitter.to("leg", 5)
    assert goal(knitter) == NotFar("colours", ("navy", "rust", "cream"))
    weigh_colour(knitter, 40, "navy")
    weigh_colour(knitter, 16, "rust")
    assert goal(knitter) == NotFar("colours", ("cream",))
    weigh_colour(knitter, 16, "cream")
    far = found(knitter)
    set_to(knitter, far)
    yarn = knitter.look().yarn
    assert yarn is not None
    assert {one.verdict for one in (yarn, *yarn.others) if one.colour} == {"enough"}
    set_to(knitter, far._replace(mm=far.mm + 100 / 42))
    yarn = knitter.look().yarn
    assert yarn is not None
    assert {one.verdict for one in (yarn, *yarn.others) if one.colour} != {"enough"}


def test_a_leg_of_one_colour_needs_that_one_weighed() -> None:
    given = {"colours.leg": None, "colours.toe": "grey"}
    knitter = Knitter(Course(sock({**given, "colours.cuff": "grey"})))
    knitter.to("leg", 5)
    weigh_colour(knitter, 90)
    assert goal(knitter) == NotFar("colours", ("the main colour",))
    weigh_colour(knitter, 80, "the main colour")
    assert found(knitter).rounds > 46


def test_once_every_colour_was_weighed_all_of_them_together_are_not_asked() -> None:
    """A weight of all the yarn before more was bought: each colour speaks for itself since."""
    knitter = Knitter(striped())
    weigh_colour(knitter, 30)
    knitter.to("leg", 5)
    for name, grams in (("navy", 60), ("cream", 30), ("rust", 30)):
        weigh_colour(knitter, grams, name)
    assert isinstance(goal(knitter), NotFar), "grey is still in that weight"
    weigh_colour(knitter, 15, "grey")
    assert found(knitter).rounds > 46


# A weighing after the goal was set


def follows(knitter: Knitter, number: Any = None, *, keys: bool = True) -> list[str]:
    """What is said of a goal by the yarn that the yarn has left behind."""
    glance = knitter.look(number)
    return [words.cue_line(cue, glance, keys=keys) for cue in glance.cues if cue.about == "as far"]


def by_the_yarn(before: float = 100, after: float = 90.5) -> Knitter:
    knitter = in_the_leg(before, after)
    set_to(knitter, found(knitter))
    return knitter


def test_a_new_weighing_says_how_far_the_yarn_goes_now() -> None:
    knitter = by_the_yarn()
    assert follows(knitter) == [], "it is the goal"
    knitter.tick(10)
    assert follows(knitter) == []
    was = found(knitter).rounds
    weigh(knitter, 89)
    more = found(knitter).rounds - was
    assert more > 1
    told = f"The yarn now goes {more} rounds further than the goal, "
    assert follows(knitter) == [f"{told}f sets the goal anew"]
    assert follows(knitter, keys=False) == [f"{told}instep target yarn sets the goal anew"]
    assert follows(knitter, 2) == [], "sock two is not at its leg"
    knitter.tick(2)
    assert follows(knitter), "for a round or two"
    knitter.tick()
    assert follows(knitter) == []


def test_less_yarn_than_thought_falls_short_of_the_goal() -> None:
    knitter = by_the_yarn()
    knitter.tick(20)
    weigh(knitter, 85)
    fewer = knitter.look().place.done + (knitter.look().rows_to_go[1] or 0) - found(knitter).rounds
    assert fewer > 1
    assert follows(knitter) == [
        f"The yarn now falls {fewer} rounds short of the goal, f sets the goal anew"
    ]
    cue = next(cue for cue in knitter.look().cues if cue.kind == "yarn")
    assert (cue.about, cue.when) == ("as far", 0), "before the verdict, for it is the way out"
    assert words.cue_brief(cue, knitter.look()) == f"f sets the goal: {fewer} rounds fewer"
    set_to(knitter, found(knitter))
    assert follows(knitter) == []


@pytest.mark.parametrize("only", [False, True])
def test_a_goal_of_so_many_millimetres_does_not_follow(only: bool) -> None:
    """Nor does that of a sock with a goal of its own; taken back, the yarn's stands again."""
    knitter = by_the_yarn()
    knitter.do("target", mm=200.0, text="20", only=only)
    knitter.tick(10)
    weigh(knitter, 89)
    assert follows(knitter) == []
    for _ in range(3):
        knitter.do("undo")
    knitter.tick(10)
    weigh(knitter, 89)
    assert follows(knitter)


def test_taking_back_the_goal_takes_back_that_it_follows() -> None:
    knitter = by_the_yarn()
    knitter.do("undo")
    knitter.tick(10)
    weigh(knitter, 89)
    assert follows(knitter) == []
    knitter = by_the_yarn()
    knitter.tick(10)
    weigh(knitter, 89)
    knitter.do("undo")
    assert follows(knitter) == [], "no weight, no news"
    knitter.do("redo")
    assert follows(knitter)


def test_where_the_other_sock_ended_the_leg_no_goal_is_to_be_set() -> None:
    knitter = by_the_yarn()
    knitter.tick(30)
    knitter.do("end")
    knitter.do("other")
    knitter.to("leg", 10)
    weigh(knitter, 83)
    assert follows(knitter) == []
    knitter = by_the_yarn()
    weigh(knitter, 10)
    assert follows(knitter) == [], "not one round more is safe: that is said elsewhere"
