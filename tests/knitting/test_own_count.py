"""A repeat whose rows have not all as many stitches: leg and foot end by the tape, on its own count."""

from __future__ import annotations

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.test_repeats_knitted import planned
from tracker import words
from tracker.forecast.left import rows_to_goal
from tracker.knitting import step
from tracker.knitting.decide import Refused

GROWS = ["k1, yo, k3", "k5", "k1, k2tog, k2", "k4"]
"""4, 5, 5, 4, 4 stitches: its own count after rows 3 and 4."""
SOUND = {0, 3}


def lace(**more: object) -> Knitter:
    fields = {
        "leg.fabric": "repeat", "leg.repeat": GROWS, "leg.stitches": 64, "foot.fabric": "as the leg",
        **{place.replace("__", "."): value for place, value in more.items()},
    }  # fmt: skip
    return Knitter(planned(fields))


def test_leg_and_foot_are_measured_like_any_other() -> None:
    for part in lace().course.sections:
        if part.kind in ("leg", "foot"):
            assert part.goal is not None, part.kind
            assert part.planned % 4 in SOUND or part.kind == "foot"
            assert part.leaves_enough(part.planned)


@pytest.mark.parametrize(("done", "ends"), [(45, "44 or 47"), (46, "44 or 47"), (49, "48 or 51")])
def test_a_leg_without_its_stitches_does_not_end_there(done: int, ends: str) -> None:
    knitter = lace(foot__fabric="plain")
    knitter.to("leg")
    knitter.tick(done)
    why = f"after round {done} of the leg come 80 stitches, and what follows needs 64; end it at {ends}"
    with pytest.raises(Refused, match=why):
        knitter.do("end")
    with pytest.raises(Refused, match=why):
        knitter.do("end", at=done)


@pytest.mark.parametrize("done", [43, 44, 47, 48, 51])
def test_it_ends_at_any_round_with_its_stitches_where_the_foot_is_plain(done: int) -> None:
    knitter = lace(foot__fabric="plain")
    knitter.to("leg")
    knitter.tick(done)
    knitter.do("end")
    knitter.to("foot", 1)
    assert knitter.look().stitches == 64
    knitter.to("leg", sock=2)
    knitter.tick(done, 2)
    knitter.to("gusset", sock=2)
    assert step.in_step(knitter.state)


def test_where_it_goes_on_down_the_foot_it_ends_whole_repeats_from_where_it_was_planned() -> None:
    knitter = lace()
    knitter.to("leg")
    leg = knitter.course.sections[1]
    assert leg.planned == 47
    knitter.tick(48)
    with pytest.raises(
        Refused, match=r"another row of the repeat than the one .* end it at 47 or 51"
    ):
        knitter.do("end")
    knitter.tick(3)
    knitter.do("end")
    knitter.to("foot", 1)
    assert knitter.look().stitches in (64, 72)


def test_the_tape_says_a_round_at_which_it_may_end() -> None:
    """Whatever it reads, what is left leads to such a round, and the goal is never said before one."""
    for mm in (84.0, 88.0, 92.0, 96.0):
        knitter = lace(foot__fabric="plain")
        knitter.to("leg")
        knitter.tick(20)
        knitter.do("measure", mm=mm, mark="cast-on")
        for _ in range(40):
            length = knitter.look().length
            assert length is not None
            assert length.likely is not None
            end = knitter.look().place.done + length.likely
            assert end % 4 in SOUND, (mm, knitter.look().place.done)
            if any(cue.about == "goal" for cue in knitter.look().cues):
                break
            knitter.tick()
        knitter.do("end")
        assert knitter.look().place.kind == "heel set-up"


def test_a_goal_of_her_own_is_reckoned_to_such_a_round() -> None:
    knitter = lace(foot__fabric="plain")
    knitter.to("leg")
    ends = set()
    for mm in range(140, 180, 3):
        knitter.do("target", mm=float(mm), text=f"{mm} mm")
        ends.add(rows_to_goal(knitter.course, knitter.state, 2, 1))
    assert {row % 4 for row in ends} == SOUND
    assert len(ends) > 3


def test_the_foot_ends_at_a_round_with_its_stitches_too() -> None:
    knitter = lace()
    knitter.to("foot")
    foot = knitter.course.sections[6]
    refused = 0
    for number in range(1, foot.planned + 1):
        knitter.tick()
        if not foot.leaves_enough(number):
            refused += 1
            with pytest.raises(Refused, match="of the foot come"):
                knitter.do("end")
    assert refused
    knitter.do("end")
    assert knitter.look().place.kind == "toe"
    assert words.card(knitter.look())
