"""A repeat whose rows have not all as many stitches: leg and foot end by the tape, on its own count."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.test_repeats_knitted import planned
from tracker import words
from tracker.forecast.as_far import AsFar, as_far
from tracker.forecast.left import length_of, rows_to_goal
from tracker.forecast.whole import ends
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


@pytest.mark.parametrize(("done", "before", "ahead"), [(45, 44, 47), (46, 44, 47), (49, 48, 51)])
def test_a_leg_without_its_stitches_does_not_end_there(done: int, before: int, ahead: int) -> None:
    knitter = lace(foot__fabric="plain")
    knitter.to("leg")
    knitter.tick(done)
    why = f"after round {done} of the leg come 80 stitches, and what follows needs 64;"
    # The rounds behind her are gone: only the count can say that it ended there.
    on = f"{why} knit on to round {ahead}, or let it end at {before}:"
    for at in (dict[str, Any](), {"at": done}):
        with pytest.raises(Refused, match=f"^{on} end --at {before}$") as refused:
            knitter.do("end", None, **at)
        assert refused.value.at_needles({"end": "e"}) == f"{on} {before} e"
    knitter.tick(4)
    with pytest.raises(Refused, match=f"^{why} end it at {before} or {ahead}$"):
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
        Refused,
        match=r"the repeat is not at the row that what follows goes on from; knit on to round 51, or let it"
        r" end at 47: end --at 47$",
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
            with pytest.raises(Refused, match=r"of the foot (come|the repeat is not at the row)"):
                knitter.do("end")
    assert refused
    knitter.do("end")
    assert knitter.look().place.kind == "toe"
    assert words.card(knitter.look())


def from_the_toe_up(**more: object) -> Knitter:
    return lace(direction="toe-up", **more)


def to_part(knitter: Knitter, kind: str) -> None:
    """Knit on to a section; open ones end where they are planned to."""
    while knitter.look().place.kind != kind:
        sock = knitter.sock()
        here = knitter.course.of(sock).sections[sock.section]
        if here.goal is not None and knitter.course.number(sock.section, sock.rows) == here.planned:
            knitter.do("end")
        else:
            knitter.tick()


@pytest.mark.parametrize("heel", ["flap", "double-stitch", "afterthought"])
def test_from_the_toe_up_leg_and_foot_are_measured_like_any_other_too(heel: str) -> None:
    knitter = from_the_toe_up(heel__kind=heel)
    for at, part in enumerate(knitter.course.sections):
        if part.kind in ("leg", "foot"):
            assert part.goal is not None, part.kind
            assert knitter.course.may_end(at, part.planned)


@pytest.mark.parametrize("repeats", [-2, 0, 1])
@pytest.mark.parametrize(
    "fields",
    [{}, {"heel.kind": "double-stitch", "needles.set": "long circular"}, {"heel.kind": "afterthought"}],
)  # fmt: skip
def test_from_the_toe_up_a_foot_ends_whole_repeats_away_and_what_follows_finds_its_stitches(
    repeats: int, fields: dict[str, object]
) -> None:
    knitter = from_the_toe_up(**fields)
    to_part(knitter, "foot")
    foot = knitter.course.sections[knitter.sock().section]
    end = foot.planned + 4 * repeats
    knitter.tick(end - 1 + (foot.first == 0))
    with pytest.raises(Refused, match=r"of the foot (come|the repeat is not at the row)"):
        knitter.do("end")
    knitter.tick()
    knitter.do("end")
    had = None
    while not knitter.sock().finished:
        sock = knitter.sock()
        course = knitter.course.of(sock)
        here = course.sections[sock.section]
        row = course.row(sock.section, sock.rows)
        if had is not None and here.kind in ("gusset", "leg", "cuff", "heel rounds"):
            assert sum(row.before) == had
        had = row.leaves if here.worked == "rounds" else None
        if here.goal is not None and course.number(sock.section, sock.rows) == here.planned - 4:
            knitter.do("end")
            had = None
            assert sum(course.row(sock.section + 1, 0).before) == here.row(here.planned).leaves
        else:
            knitter.tick()


def test_from_the_toe_up_the_tape_ends_leg_and_foot_where_they_may_end() -> None:
    knitter = from_the_toe_up()
    for kind in ("foot", "leg"):
        to_part(knitter, kind)
        at = knitter.sock().section
        ends = set()
        for mm in range(150, 260, 4):
            knitter.do("target", mm=float(mm), text=f"{mm} mm")
            if rows := rows_to_goal(knitter.course, knitter.state, 1, at):
                assert knitter.course.may_end(at, rows), (kind, mm, rows)
                ends.add(rows)
        assert len(ends) > 4, kind
        knitter.do("undo")


@pytest.mark.parametrize("grams", [60.0, 75.0, 90.0])
def test_as_far_as_the_yarn_goes_it_ends_where_it_has_its_stitches(grams: float) -> None:
    knitter = from_the_toe_up(leg__length=None)
    knitter.do("weigh", grams=100.0, text="100")
    to_part(knitter, "leg")
    at = knitter.sock().section
    knitter.do("weigh", grams=grams, text=f"{grams:g}")
    lengths = (
        length_of(knitter.course, knitter.state, 1), length_of(knitter.course, knitter.state, 2),
    )  # fmt: skip
    far = as_far(knitter.course, knitter.state, 1, lengths, at)
    assert isinstance(far, AsFar), far
    assert knitter.course.may_end(at, far.rounds)
    knitter.do("target", mm=far.mm, text=words.AS_FAR)
    assert rows_to_goal(knitter.course, knitter.state, 1, at) == far.rounds


@pytest.mark.parametrize("way", ["cuff-down", "toe-up"])
def test_a_whole_repeat_is_told_only_where_she_may_end_on_it(way: str) -> None:
    knitter, told = lace(direction=way), 0
    for kind in ("foot", "leg") if way == "toe-up" else ("leg", "foot"):
        to_part(knitter, kind)
        knitter.tick(5)
        at = knitter.sock().section
        for goal in range(1, 70):
            for row in ends(knitter.course, knitter.state, 1, goal).rows:
                assert knitter.course.may_end(at, row), (kind, row)
                told += 1
    assert told
