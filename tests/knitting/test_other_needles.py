"""A sock goes onto another set in any of its sections: whatever is then shown of it is of those needles.

Every set to every other, with every heel, in both directions (640 socks, two minutes):
SWEEP=pairs .venv/bin/python -m pytest tests/knitting/test_other_needles.py
"""

from __future__ import annotations

import os
import re
from contextlib import suppress
from itertools import cycle, product

import pytest

from tests.knitting.knitter import Knitter
from tests.pattern.choices import HEELS, SETS, TOES
from tests.pattern.making import sock
from tracker import cards, plain_words, words
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.pattern.model import Row
from tracker.pattern.plan import WillNotWork
from tracker.reports import left_json
from tracker.ui import sights
from tracker.ui.sights import Scene

WHOLE = os.environ.get("SWEEP") in ("pairs", "all")
FEW = 17
"""One of so many is knitted in the suite."""
EVERY = [
    (*one, toe, stitches, share)
    for one, toe, stitches, share in zip(
        product(SETS, SETS, HEELS, ("cuff-down", "toe-up"), range(4)),
        cycle(TOES),
        cycle((48, 64, 60, 63, 66)),
        cycle((0.5, 0.0, 1.0)),
        strict=False,
    )
    if one[0] != one[1]
]
NAMED = re.compile(r"\bN\d\b|\bB[12]\b|\b(?:Knit|Work|On|on|is|and) ([AB])\b")


@pytest.mark.parametrize(
    "given", EVERY if WHOLE else EVERY[::FEW], ids=lambda given: " ".join(map(str, given))
)
def test_what_is_shown_is_of_the_needles_in_hand(
    given: tuple[str, str, str, str, int, str, int, float],
) -> None:
    begun, onto, heel, direction, quarter, toe, stitches, share = given
    plan = {
        "needles.set": begun, "heel.kind": heel, "toe.kind": toe, "direction": direction,
        "leg.stitches": stitches,
    }  # fmt: skip
    try:
        knitter = Knitter(Course(sock(plan)))
    except WillNotWork:
        pytest.skip("no such sock")
    sections = knitter.course.sections
    changes_in = range(quarter, len(sections) - 1, 4)
    while not knitter.sock(1).finished:
        here = knitter.sock(1)
        section = knitter.course.of(here).sections[here.section]
        if here.section in changes_in and here.rows == int(share * (len(section.rows) - 1)):
            _change(knitter, onto if knitter.look().needle_set == begun else begun)
        _look_at_all(knitter)
        _go_on(knitter)


def _change(knitter: Knitter, onto: str) -> None:
    with suppress(Refused):  # not everywhere
        knitter.do("changed", None, **{"as": "set", "value": onto})


def _go_on(knitter: Knitter) -> None:
    here = knitter.sock(1)
    section = knitter.course.of(here).sections[here.section]
    if section.goal is not None and here.rows >= section.rows_to(section.planned):
        knitter.do("end")
    else:
        knitter.tick()


def _look_at_all(knitter: Knitter) -> None:
    """All that is said and painted of the place: nothing fails, and no needle is named that there is not."""
    glance = knitter.look()
    left_json(glance)
    scene = Scene(glance)
    sights.stage_sight(scene), sights.title_sight(scene), sights.cue_sight(scene)
    sights.facts_sight(scene), sights.lines_sight(scene)
    assert plain_words.where(glance)
    told = [words.place(glance), *words.card(glance), *words.card_brief(glance)]
    here = knitter.sock(1)
    course = knitter.course.of(here)
    around = [course.row(here.section, here.rows)]
    if here.section:
        around.append(course.sections[here.section - 1].row(here.ended[-1]))
    section = course.sections[here.section]
    around += section.rows[: here.rows + 2]
    names = {name for row in around for name in _names(row)}
    names |= {waiting.name for waiting in glance.resting}
    for line in told:
        for found in NAMED.finditer(line):
            assert (found[1] or found[0]) in names, (line, names)
    if glance.card is not None and glance.place.kind == "gusset":
        counts = [needle.leaves for needle in glance.needles]
        text = " ".join(cards.card(glance)).replace(" ", "")
        if glance.next is not None and glance.next.word == "PICK" and len(counts) > 1:
            assert "/".join(map(str, counts)) in text, (counts, text)


def _names(row: Row) -> list[str]:
    return [needle.name for needle in row.needles]
