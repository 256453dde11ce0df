"""How stitches are slid where rounds begin at the side: at that end at which the next row is without them."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import Knitter
from tests.pattern.making import plan_text
from tracker import cards, written
from tracker.knitting.course import Course
from tracker.pattern.feet import of_sock_two
from tracker.pattern.model import Pattern, Row
from tracker.pattern.notation import read_row, runs, stitch_of
from tracker.storage.files import Source
from tracker.storage.pattern_file import open_source

CHART = ["aaaabbbb", "abbbbaaa", "abababab"]
MIRRORED = {
    "needles.set": "two circulars", "leg.fabric": "stranded", "leg.repeat": CHART, "leg.stitches": 72,
    "gauge.stitches": 32, "gauge.rows": 35, "foot.fabric": "as the leg", "foot.heel": "28 cm",
    "colours.leg": ["a navy", "b cream"], "heel.kind": "wrapped", "toe.kind": "round",
    "pair.likeness": "mirrored",
}  # fmt: skip


def planned(**more: Any) -> Course:
    text = plan_text(MIRRORED | {name.replace("__", "."): told for name, told in more.items()})
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


def instep(row: Row) -> list[str]:
    """What is on A after a row, stitch by stitch as it was made."""
    made = runs(read_row(row.needles[0].work).segments[0], row.before[0])[0]
    return [run.stitch for run in made for _ in range(run.times * stitch_of(run.stitch).leaves)]


def begins(pattern: Pattern, kind: str) -> list[str]:
    """What the paper says before a section."""
    kinds = [section.kind for section in pattern.sections]
    at = kinds.index(kind)
    return written.begins(pattern.sections[at], pattern.sections[at - 1], pattern)


def card_of(course: Course, number: int, kind: str) -> list[str]:
    knitter = Knitter(course)
    if number == 2:
        knitter.do("other")
    section = 0
    while course.sections[section].kind != kind:
        here = course.sections[section]
        knitter.tick(len(here.rows))
        if knitter.sock().section == section:
            knitter.do("end")
        section += 1
    return cards.card(knitter.look())


@pytest.mark.parametrize(("number", "end"), [(1, "end"), (2, "beginning")])
def test_before_a_heel_a_mirrored_instep_gives_them_up_where_it_begins(
    number: int, end: str
) -> None:
    course = planned()
    pattern = course.pattern if number == 1 else of_sock_two(course.pattern)
    leg, set_up = pattern.sections[1], pattern.sections[2]
    # The chart's rows shift: the row of the leg that the set-up works, on the stitches it works it on.
    like, row = leg.row(leg.planned + 1), set_up.rows[0]
    held, wanted = instep(like), instep(row)
    assert len(held) == len(wanted) + 2
    assert wanted == (held[:-2] if end == "end" else held[2:])
    assert f"First slide to 36 / 36 at the {end} of A." in begins(pattern, "heel set-up")
    assert f"Slide to 36 / 36 at the {end} of A." in card_of(course, number, "heel set-up")


@pytest.mark.parametrize(("number", "end"), [(1, "end"), (2, "beginning")])
@pytest.mark.parametrize("needles", ["two circulars", "long circular"])
def test_from_the_toe_up_the_leg_is_slid_to(needles: str, number: int, end: str) -> None:
    course = planned(direction="toe-up", needles__set=needles)
    pattern = course.pattern if number == 1 else of_sock_two(course.pattern)
    assert begins(pattern, "leg") == [f"First slide to 38 / 34 at the {end} of A."]
    told = card_of(course, number, "leg")
    assert told[:3] == [
        "Change to navy (a), cream (b).",
        f"Slide to 38 / 34 at the {end} of A.",
        "Count once: 38 / 34.",
    ]


def test_where_they_lie_so_already_nothing_is_slid() -> None:
    """The heel's half is back beside the instep's: 36 / 36 as they are."""
    course = planned()
    assert begins(course.pattern, "foot") == []
    assert not [line for line in card_of(course, 1, "foot") if "Slide" in line]
    straight = planned(
        direction="toe-up", leg__fabric=None, leg__repeat=None, colours__leg=None, foot__fabric=None
    )
    assert begins(straight.pattern, "leg") == []


def test_a_heel_on_a_needle_of_its_own_is_parted_by_the_closing_round() -> None:
    """Of double-pointed needles the heel's becomes the last and the first: no slide, but its two halves."""
    course = planned(direction="toe-up", needles__set="five")
    assert begins(course.pattern, "leg") == [
        "The heel needle is parted: its first 18 on N4, its last 18 on N1."
    ]
