"""As far as the yarn goes: the longest leg for which every ball is safely enough, on both socks."""

from __future__ import annotations

from math import ceil
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.forecast.test_ball import ball_of, sight, weigh
from tests.forecast.test_balls_of_colours import striped
from tests.forecast.test_balls_of_colours import weigh as weigh_colour
from tests.knitting.knitter import LEG, Knitter
from tests.pattern.making import sock
from tracker import words
from tracker.forecast.as_far import AsFar, NotFar, as_far
from tracker.forecast.left import length_of
from tracker.knitting import shares
from tracker.knitting.course import Course
from tracker.pattern.scores import AT_95


def goal(knitter: Knitter, number: Any = 1, only: bool = False) -> AsFar | NotFar:
    course, state = knitter.course, knitter.state
    lengths = (length_of(course, state, 1), length_of(course, state, 2))
    at = max(LEG, state.sock(number).section)
    return as_far(course, state, number, lengths, at, only=only)


def found(knitter: Knitter, number: Any = 1, only: bool = False) -> AsFar:
    far = goal(knitter, number, only)
    assert isinstance(far, AsFar), far
    return far


def set_to(knitter: Knitter, far: AsFar, number: Any = 1, only: bool = False) -> None:
    knitter.do("target", number, mm=far.mm, text=words.AS_FAR, section="leg", only=only)


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
    """By how many grams if the leg ends here; the ways out are those told everywhere, but shorter legs."""
    knitter = in_the_leg(62, 47, at=46)
    far = goal(knitter)
    assert isinstance(far, NotFar)
    assert far.yarn is not None
    assert [way.kind for way in far.yarn.rescues] == ["toes", "heels", "ball"]
    pieces = (0, 10_416 - 68 * 64, 10_416)
    ball_over = 47 - sum(pieces) * far.yarn.sock_g / 10_416 - 1.5
    assert far.short_g > -ball_over, "what is safe is more than what is likely"
    assert far.short_g < -ball_over + AT_95 * 3
    assert far.short_g == pytest.approx(sight(knitter).lacks_g), "the leg ends here as planned"
    said, line = words.not_far(far, "leg"), words.yarn_line(knitter.look())
    short = ceil(far.short_g)
    assert said.startswith(
        f"not one more round is safe: even if the leg ends here, {short} g of yarn short of safe. "
    )
    assert f"about 11 g short ({short} to be safe)" in said
    assert f"about 11 g short ({short} to be safe)" in line
    assert "(6 g of it), or heels in another yarn (7 g of it), or another ball will help" in said


def test_no_length_is_safe_is_told_by_the_figures_of_every_other_place() -> None:
    """About 8 g short as planned; 2 g short of safe even if the leg ends here."""
    knitter = ball_of(75)
    knitter.to("leg", 24)
    found = weigh(knitter, 63)
    far = goal(knitter)
    assert isinstance(far, NotFar)
    assert far.ends is None
    assert far.yarn == found._replace(rescues=tuple(r for r in found.rescues if r.kind != "legs"))
    assert words.not_far(far, "leg") == (
        "not one more round is safe: even if the leg ends here, 2 g of yarn short of safe."
        " As it is, about 8 g short (13 to be safe): toes in another yarn (6 g of it),"
        " or heels in another yarn (7 g of it), or another ball will help"
    )


def test_where_the_other_sock_is_further_both_legs_end_there() -> None:
    knitter = ball_of(66)
    knitter.to("leg", 20)
    knitter.to("leg", 40, sock=2)
    weigh(knitter, 66 - 124 * 64 * 33.3 / 10_416)
    far = goal(knitter)
    assert isinstance(far, NotFar)
    assert far.ends == 40
    assert "is safe: even if the leg ends at round 40, " in words.not_far(far, "leg")


@pytest.mark.parametrize(("section", "row", "may_be_set"), [("foot", 4, True), ("flap", 4, False)])
def test_only_the_leg_is_as_long_as_the_yarn(section: str, row: int, may_be_set: bool) -> None:
    """A foot is as long as the foot; once the leg is over the answer is no."""
    knitter = ball_of(100)
    knitter.to(section, row)
    assert goal(knitter) == NotFar("not the leg", over=True, open=may_be_set)


# Before the leg, and for one sock


@pytest.mark.parametrize(("before", "rows"), [(100, 5), (90, 0), (80, 21)])
def test_before_the_leg_it_is_that_of_the_leg_to_come(before: float, rows: int) -> None:
    """95 in 100 at that round, and less at the next one; once she is there it is still the goal."""
    knitter = ball_of(before)
    if rows:
        knitter.tick(rows)
    far = found(knitter)
    assert far.rounds != 46
    set_to(knitter, far)
    assert sight(knitter).verdict == "enough"
    assert goal(knitter) == far, "it is the same, asked again"
    set_to(knitter, far._replace(mm=far.mm + 100 / 42))
    assert sight(knitter).verdict == "tight"
    knitter.do("undo")
    knitter.to("leg", 1)
    assert knitter.look().rows_to_go[1] == far.rounds - 1


def test_a_goal_set_before_the_leg_follows_a_weight_too() -> None:
    knitter = ball_of(90)
    knitter.tick(5)
    set_to(knitter, found(knitter))
    knitter.tick(15)
    assert follows(knitter) == []
    was = found(knitter).rounds
    weigh(knitter, 86)
    more = found(knitter).rounds - was
    assert more > 1
    assert follows(knitter, keys=False) == [
        f"The yarn now goes {more} rounds further than the goal, instep target yarn sets the goal anew"
    ]


def test_for_one_sock_alone_the_other_keeps_what_it_needs() -> None:
    """All that is left over goes into one leg; the other's is as long as it would be."""
    knitter = in_the_leg(100, 90.5)
    both, alone = found(knitter), found(knitter, only=True)
    assert alone.rounds - 46 == pytest.approx(2 * (both.rounds - 46), abs=1)
    set_to(knitter, alone, only=True)
    assert knitter.look().rows_to_go[1] == alone.rounds - 20
    assert sight(knitter).verdict == "enough"
    assert knitter.look(2).yarn is not None
    set_to(knitter, alone._replace(mm=alone.mm + 100 / 42), only=True)
    assert sight(knitter).verdict == "tight"
    knitter.tick(alone.rounds - 20)
    knitter.do("end")
    knitter.do("other")
    knitter.to("leg", 1)
    assert knitter.look().rows_to_go[1] == 45, "the other sock goes on as planned"


def test_for_one_sock_alone_too_little_is_made_up_by_it() -> None:
    knitter = in_the_leg(74, 64.5)
    both, alone = found(knitter), found(knitter, only=True)
    assert alone.rounds < both.rounds < 46
    set_to(knitter, alone, only=True)
    assert sight(knitter).verdict == "enough"


def test_once_the_other_leg_is_over_only_one_is_left() -> None:
    """Sock two's leg, alone, uses up what is left; its goal is its own."""
    knitter = ball_of(100)
    knitter.finish()
    knitter.to("leg", 20, sock=2)
    weigh(knitter, 52)
    far = found(knitter, 2, only=True)
    assert far.rounds > 46
    set_to(knitter, far, 2, only=True)
    assert sight(knitter, 2).verdict == "enough"
    assert knitter.look(2).rows_to_go[1] == far.rounds - 20


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


def test_each_round_further_is_reckoned_from_the_one_before(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """However far the yarn goes, no leg is laid out anew as a whole for each round that is tried."""
    knitter = Knitter(Course(sock({"colours.leg": ["cream 1", "navy 1"]})))
    knitter.to("leg", 10)
    for colour in ("cream", "navy"):
        knitter.do("weigh", grams=150.0, text="150", colour=colour)
    asked = 0
    laid = shares.in_rows

    def counted(course: Any, told: Any, spans: Any) -> Any:
        nonlocal asked
        spans = list(spans)
        asked += sum(last - first for _, first, last in spans)
        return laid(course, told, spans)

    monkeypatch.setattr(shares, "in_rows", counted)
    lengths = (
        length_of(knitter.course, knitter.state, 1),
        length_of(knitter.course, knitter.state, 2),
    )
    goal = as_far(knitter.course, knitter.state, 1, lengths, 1)
    assert isinstance(goal, AsFar)
    assert goal.rounds > 300
    assert asked < 20 * goal.rounds
