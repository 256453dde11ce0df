"""Heels, toes, legs and sets of needles that meet: each with each is knitted by the loom, and reads back.

A share of them is knitted each time, each heel with each toe on each set among them; all of them (2,800
socks, a minute and a half of work) on demand:

    SWEEP=pairs .venv/bin/python -m pytest tests/pattern/test_every_kind.py
"""

from __future__ import annotations

import os
from itertools import product
from typing import Any

import pytest

from tests.pattern.choices import HEELS, SETS
from tests.pattern.choices import TOES as KINDS_OF_TOE
from tests.pattern.making import computed, section, sock
from tracker.pattern.audit import audit, knitted
from tracker.pattern.feet import of_sock_two
from tracker.pattern.mirror import document
from tracker.pattern.model import LATE_HEEL, ROUND
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern

TOES: dict[str, dict[str, Any]] = {
    **{kind: {"toe.kind": kind} for kind in KINDS_OF_TOE},
    "left and right": {"toe.feet": "left and right"},
}
LEGS: dict[str, dict[str, Any]] = {
    "straight": {},
    "ribbed": {"leg.fabric": "rib", "cuff.rib": "k1p1"},
    "ribbed on": {"foot.fabric": "rib on the instep"},
    "narrowing": {"foot.ankle": "30 cm"},
    "in lace": {
        "leg.fabric": "repeat", "leg.repeat": ["k1, yo, k2", "k4", "p1, ssk, k1"],
        "foot.fabric": "as the leg",
    },
    "in cables": {"leg.fabric": "repeat", "leg.repeat": ["C4F, p1", "k4, p1"], "foot.fabric": "as the leg"},
    "in colours": {
        "leg.fabric": "stranded", "leg.repeat": ["aab", "abb", "bba", "baa"], "foot.fabric": "as the leg",
    },
}  # fmt: skip
STITCHES = (60, 63, 64, 66)


def fields(needles: str, heel: str, toe: str, leg: str, stitches: int) -> dict[str, Any]:
    """The plan of a sock long enough for any heel; a leg that narrows has the stitches of its foot."""
    given: dict[str, Any] = {
        "needles.set": needles,
        "heel.kind": heel,
        "foot.length": "34 cm",
        "leg.length": "30 cm",
        "pair.likeness": "mirrored",
    }
    if leg != "narrowing":
        whole = {"ribbed": 2, "in colours": 3}.get(leg, 1)
        given["leg.stitches"] = stitches - stitches % whole
    return {**given, **TOES[toe], **LEGS[leg]}


def is_refused(given: dict[str, Any]) -> bool:
    """Whether no such sock is made, and why is said."""
    return given["needles.set"] == "short circular" and "leg.repeat" in given


def swept() -> list[dict[str, Any]]:
    """Each heel with each toe on each set, leg and stitches taken in turn; all of them on demand."""
    if os.environ.get("SWEEP"):
        return [fields(*one) for one in product(SETS, HEELS, TOES, LEGS, STITCHES)]
    legs = list(product(LEGS, STITCHES))
    return [
        fields(*one, *legs[place * 7 % len(legs)])
        for place, one in enumerate(product(SETS, HEELS, TOES))
    ]


def test_each_heel_goes_with_each_toe_and_leg_on_each_set() -> None:
    for given in swept():
        if is_refused(given):
            with pytest.raises(WillNotWork, match="on one short circular yet; write set ="):
                computed(given)
            continue
        made = computed(given).document
        assert audit(made) == (), given
        pattern = read_pattern(made, "")
        rows = [row.leaves for part in pattern.sections for row in part.rows]
        assert min(rows) == 0, given
        assert pattern.sections[-1].rows[-1].leaves == 0, given
        assert {sum(row.needles) for row in knitted(made)} >= set(rows), given
        assert audit(document(made, pattern, of_sock_two(pattern))) == (), given


@pytest.mark.parametrize("toe", ["star", "wedge"])
def test_a_late_heel_of_a_sock_on_a_short_circular_is_knitted_where_the_toe_was(toe: str) -> None:
    made = sock({"needles.set": "short circular", "heel.kind": "afterthought", "toe.kind": toe})
    assert section(made, "foot").needles == (ROUND,)
    assert section(made, LATE_HEEL).needles == section(made, "toe").needles != (ROUND,)


def test_on_circulars_a_late_heel_begins_at_the_side_whatever_the_toe_does() -> None:
    plan = {"needles.set": "short circular", "heel.kind": "afterthought"}
    made = sock({**plan, "needles.spare_set": "two circulars"})
    assert section(made, "toe").needles == ("B1", "A", "B2")
    assert section(made, LATE_HEEL).needles == ("A", "B")


def test_what_is_told_of_a_short_circular_is_true_of_each_heel() -> None:
    to_and_fro, narrow = "worked to and fro", "The heel and the toe are too narrow"
    for heel in HEELS:
        told = " ".join(computed({"needles.set": "short circular", "heel.kind": heel}).notes)
        assert (to_and_fro in told, narrow in told) == (
            heel != "afterthought",
            heel == "afterthought",
        )
