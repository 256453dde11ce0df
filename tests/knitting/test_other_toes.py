"""At the needles: toes that are drawn up, a leg that narrows, and one short circular.

Common practice, no source.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from tests.examples import IN_ALL
from tests.knitting.knitter import Knitter
from tests.knitting.test_changes import audited, changed, on
from tests.pattern.choices import WITHOUT_A_FLAP
from tests.pattern.making import plan_text
from tracker import cards, rest_words, words
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.places import places
from tracker.storage.files import Source
from tracker.storage.pattern_file import open_source

CALF = {"foot.ankle": "28 cm", "leg.length": "22 cm"}
SETS = ("five", "four", "two circulars", "long circular")


@cache
def course(*fields: tuple[str, Any]) -> Course:
    text = plan_text(dict(fields))
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


def knitter(**fields: Any) -> Knitter:
    told = {place.replace("__", "."): value for place, value in fields.items()}
    return Knitter(course(*told.items()))


def to(knits: Knitter, name: str, row: int = 0) -> None:
    """Knit on to a row of a section; open ones end where they are planned to."""
    names = [section.called for section in knits.course.sections]
    while knits.sock().section < names.index(name):
        before = knits.sock()
        here = knits.course.sections[before.section]
        left = here.planned - knits.course.number(before.section, before.rows)
        knits.tick(left + (before.rows == 0 and here.first == 0))
        if knits.sock().section == before.section:
            knits.do("end")
    if row:
        knits.tick(row)


# Drawn up


@pytest.mark.parametrize("kind", ["star", "round"])
def test_the_last_stitches_are_drawn_up_by_one_tick(kind: str) -> None:
    knits = knitter(toe__kind=kind)
    to(knits, "draw up")
    glance = knits.look()
    assert [needle.stitches for needle in glance.needles] == [2, 2, 2, 2]
    assert cards.card(glance)[:3] == [
        "Cut the yarn, a tail of about 20 cm, and thread it.",
        "Through the last 8 stitches twice, then off the needles.",
        "Pull tight, pass the tail to the inside.",
    ]
    assert words.caption(glance) == "8 to draw up"
    assert words.kept(glance) == "Kept: sock one, drawing up is next."
    knits.needle()
    assert words.place(knits.look()) == "Sock one is finished: the toe is drawn up."
    assert "graft" not in " ".join([words.caption(knits.look()), *cards.card(knits.look())])


def test_what_is_said_of_a_toe_that_is_not_grafted() -> None:
    knits = knitter(toe__kind="star")
    to(knits, "toe", 19)
    glance = knits.look()
    assert "graft" not in " ".join(
        map(str, (words.facts(glance), [cue.data for cue in glance.cues]))
    )
    assert any(words.cue_text(cue, glance)[0] == "drawing up begins" for cue in glance.cues)
    knits.tick(3)
    knits.do("rest", text="waste yarn")
    assert "2/2/2/2, to be drawn up" in rest_words.resting(knits.look(), "waste yarn")


def test_a_star_is_told_round_by_round() -> None:
    """44 stitches are one decrease round, or the plain one after it."""
    knits = knitter(toe__kind="star")
    to(knits, "toe", 3)
    found = places(knits.course, knits.state, 1, (44,))
    rounds = [place.rows for place in found if knits.course.sections[place.section].kind == "toe"]
    assert [place for place in rounds if place] == [9, 10]


# A leg that narrows


def test_a_leg_ends_after_its_last_decrease() -> None:
    knits = knitter(**{place.replace(".", "__"): value for place, value in CALF.items()})
    to(knits, "leg", 20)
    with pytest.raises(Refused, match="the leg is shaped to round 50, and 20 are done there"):
        knits.do("end")
    knits.tick(35)
    with pytest.raises(Refused, match="and 30 are done there; end it at 50 or later"):
        knits.do("end", at=30)
    knits.do("end", at=55)
    assert knits.course.sections[knits.sock().section].kind == "heel set-up"
    assert sum(on(knits)) == 32


@pytest.mark.parametrize("needles", [*SETS, "short circular"])
def test_a_decrease_skipped_in_the_leg_comes_in_the_next_round(needles: str) -> None:
    knits = knitter(needles__set=needles, foot__ankle="28 cm", leg__length="22 cm")
    to(knits, "leg", 8)
    changed(knits, "skipped-decrease")
    assert sum(on(knits)) == 76
    audited(knits.replay.course.of(knits.sock()))
    knits.tick()
    assert sum(on(knits)) == 74
    to(knits, "foot")


# One short circular


ONE = "short circular"
PAIRS = [
    pair
    for there in (SETS if IN_ALL else ("five", "two circulars"))
    for pair in ((ONE, there), (there, ONE))
]


@pytest.mark.parametrize(
    "section", ["cuff", "leg", "heel set-up", "flap", "turn", "gusset", "foot"]
)
@pytest.mark.parametrize(("was", "then"), PAIRS)
def test_to_and_from_a_short_circular_every_stitch_is_kept(
    was: str, then: str, section: str
) -> None:
    knits = knitter(needles__set=was)
    to(knits, section, 1 if section in ("flap", "gusset") else 0)
    before = sum(on(knits))
    changed(knits, "set", then)
    assert sum(on(knits)) == before
    audited(knits.replay.course.of(knits.sock()))
    changed(knits, "set", was)
    audited(knits.replay.course.of(knits.sock()))
    to(knits, "graft")
    assert on(knits) == [8, 8]


def test_a_toe_does_not_go_onto_a_short_circular() -> None:
    knits = knitter()
    to(knits, "toe", 2)
    with pytest.raises(Refused, match="the toe is too narrow for a short circular; write five"):
        changed(knits, "set", "short circular")


def test_the_toe_of_a_short_circular_lies_on_other_needles() -> None:
    knits = knitter(needles__set="short circular")
    to(knits, "toe")
    assert on(knits) == [16, 16, 16, 16]
    assert cards.card(knits.look())[0] == (
        "Change to the set of five: 16 / 16 / 16 / 16, the sole on N4 and N1."
    )
    changed(knits, "set", "four")
    assert on(knits) == [16, 32, 16]
    audited(knits.replay.course.of(knits.sock()))


def test_the_heel_is_worked_to_and_fro_on_it() -> None:
    knits = knitter(needles__set="short circular")
    to(knits, "heel set-up")
    assert cards.card(knits.look())[:2] == [
        "Knit 16 past the marker, turn: the heel is 32 around it.",
        "It is worked to and fro; the instep's 32 rest on the same needle.",
    ]
    to(knits, "gusset")
    assert cards.card(knits.look())[:3] == [
        "With the heel needle, 18, pick up 17 along the first edge (16 chains, 1 in the gap).",
        "Knit the instep, pick up 17 along the second edge, knit 9: centre back.",
        "Then 84. A marker at each end of the instep; pin the start.",
    ]
    assert words.place(knits.look()).endswith("Next: the pick-up round. 50 on the needle.")


@pytest.mark.parametrize("value", ["17/15", "14/16", "18/18"])
def test_uneven_edges_on_it(value: str) -> None:
    knits = knitter(needles__set="short circular")
    to(knits, "gusset", 1)
    changed(knits, "picked-up", value)
    audited(knits.replay.course.of(knits.sock()))
    first, second = map(int, value.split("/"))
    assert on(knits) == [18 + 32 + first + second + 2]
    changed(knits, "set", "five")
    audited(knits.replay.course.of(knits.sock()))
    assert on(knits) == [9 + first + 1, 16, 16, 9 + second + 1]


def test_sock_two_on_a_short_circular_is_a_true_copy() -> None:
    knits = knitter(needles__set="short circular", toe__kind="round")
    to(knits, "draw up")
    knits.tick()
    knits.do("other")
    to(knits, "draw up")
    knits.tick()
    assert knits.look().in_step
    assert knits.look().lag.stitches == 0


# With other heels


def test_a_short_circular_tells_where_the_waste_yarn_lies() -> None:
    knits = knitter(needles__set=ONE, heel__kind="afterthought", leg__stitches=66, cuff__rib="k1p1")
    to(knits, "heel place")
    assert cards.card(knits.look())[:3] == [
        "Knit to 16 before the marker. Knit these and the 17 after it with waste yarn, slip all 33 back.",
        "Knit the 16 again with the working yarn: the round ends at the marker.",
        "The next round begins over the other 17. So the waste yarn lies in one run.",
    ]
    assert cards.card_brief(knits.look())[0] == "From 16 before the marker to 17 after"


def test_a_sock_with_a_late_heel_is_not_done_when_its_toe_is_drawn_up() -> None:
    knits = knitter(toe__kind="star", heel__kind="afterthought")
    to(knits, "draw up")
    assert cards.card(knits.look())[1] == "Through the last 8 stitches twice, then off the needles."
    knits.tick()
    assert not knits.sock().finished
    assert "32 on the leg side, 32 on the foot side" in cards.card(knits.look())[0]
    to(knits, "graft")
    knits.tick()
    assert words.place(knits.look()).endswith("is finished: the heel is grafted.")


@pytest.mark.parametrize("heel", WITHOUT_A_FLAP)
@pytest.mark.parametrize(("was", "then"), [(ONE, "five"), ("two circulars", ONE)])
def test_every_heel_goes_to_and_from_a_short_circular(was: str, then: str, heel: str) -> None:
    fields = {"needles__set": was, "heel__kind": heel, "toe__kind": "star"}
    names = [part.called for part in knitter(**fields).course.sections]
    for section in names[1 : names.index("toe")]:
        knits = knitter(**fields)
        to(knits, section)
        before = sum(on(knits))
        changed(knits, "set", then)
        assert sum(on(knits)) == before
        audited(knits.replay.course.of(knits.sock()))


@pytest.mark.parametrize("needles", ["two circulars", "five"])
def test_a_late_heel_is_too_narrow_for_a_short_circular(needles: str) -> None:
    knits = knitter(needles__set=needles, heel__kind="afterthought", toe__kind="round")
    to(knits, "heel", 1)
    with pytest.raises(Refused, match="the heel is too narrow for a short circular; write five"):
        changed(knits, "set", ONE)
