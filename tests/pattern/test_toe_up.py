"""Socks from the toe up: their counts are those of the same sock from the cuff down, and the loom knits them.

A share of them is knitted each time; all that go together on demand:

    SWEEP=pairs .venv/bin/python -m pytest tests/pattern/test_toe_up.py
"""

from __future__ import annotations

import os

import pytest

from tests.pattern.making import computed, section
from tests.pattern.test_every_sock import ALL, Sock
from tracker.pattern.audit import audit, knitted
from tracker.pattern.model import Pattern
from tracker.pattern.reading import read_pattern

TOE_UP = {"direction": "toe-up"}
SWEPT = [one._replace(feet="alike") for one in ALL]
SLICE = SWEPT if os.environ.get("SWEEP") in ("pairs", "all") else SWEPT[::61]


def check(one: Sock) -> None:
    """Everything that is true of any sock from the toe up."""
    made = computed({**one.plan, **TOE_UP})
    pattern = read_pattern(made.document, "")
    assert audit(made.document) == ()
    rows = [row for part in pattern.sections for row in part.rows]
    loom = list(knitted(made.document))
    assert [row.worked for row in rows] == [row.made for row in loom]
    check_meetings(pattern)
    check_halves(one, pattern)
    check_like_from_the_cuff(one, pattern)


def check_meetings(pattern: Pattern) -> None:
    """No stitch comes or goes where sections meet; every needle holds some until the bind-off."""
    for before, after in zip(pattern.sections, pattern.sections[1:], strict=False):
        rested, rests = (sum(wait.stitches for wait in part.waiting) for part in (before, after))
        assert before.rows[-1].leaves + rested == sum(after.rows[0].before) + rests
    for part in pattern.sections[:-1]:
        assert all(needle.leaves > 0 for row in part.rows for needle in row.needles)
    assert pattern.sections[-1].rows[-1].leaves == 0


def check_halves(one: Sock, pattern: Pattern) -> None:
    """Instep and sole grow alike; the heel comes back to its own stitches."""
    toe = section(pattern, "toe")
    for row in toe.rows:
        on = [needle.leaves for needle in row.needles]
        instep = on[0] if len(on) == 2 else sum(on[1:-1])
        assert abs(2 * instep - row.leaves) == row.leaves % 2
    assert section(pattern, "flap").rows[-1].leaves == pattern.numbers.heel_stitches
    assert sum(section(pattern, "leg").starts) == one.stitches


def check_like_from_the_cuff(one: Sock, pattern: Pattern) -> None:
    """Toe, gusset, turn and heel have the numbers that they have from the cuff down."""
    same = read_pattern(computed(one.plan).document, "").numbers._asdict()
    here = pattern.numbers._asdict()
    others = {"cast_on", "flap_rows", "after_pick_up", "graft_stitches", "stitches_per_sock"}
    for name in here.keys() - others - {"leg_rounds"}:
        assert here[name] == same[name], name
    assert here["cast_on"] == 2 * same["graft_stitches"] + sum(section(pattern, "foot").starts) % 2
    widest = sum(section(pattern, "turn").starts) + sum(
        wait.stitches for wait in section(pattern, "turn").waiting
    )
    assert widest == same["after_pick_up"]


@pytest.mark.parametrize("part", range(4))
def test_they_are_knitted_by_the_audit(part: int) -> None:
    for one in SLICE[part::4]:
        try:
            check(one)
        except AssertionError as wrong:
            raise AssertionError(f"{one}: {wrong}") from wrong
