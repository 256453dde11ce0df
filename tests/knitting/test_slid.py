"""How stitches are slid where rounds begin at the side: at the end at which the next row does without them."""

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


def set_up_card(course: Course, number: int) -> list[str]:
    knitter = Knitter(course)
    if number == 2:
        knitter.do("other")
    section = 0
    while course.sections[section].kind != "heel set-up":
        here = course.sections[section]
        knitter.tick(here.planned)
        if knitter.sock().section == section:
            knitter.do("end")
        section += 1
    return cards.card(knitter.look())


@pytest.mark.parametrize(("number", "end"), [(1, "ends"), (2, "begins")])
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
    assert wanted == (held[:-2] if end == "ends" else held[2:])
    assert f"Slide to 36 / 36 where A {end} first." in begins(pattern, "heel set-up")
    assert f"Slide to 36 / 36 where A {end}." in set_up_card(course, number)
