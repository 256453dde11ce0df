"""Every sock from 20 to 132 stitches is computed, reads back, and is knitted by the audit.

A slice of them is knitted each time, every number of stitches among them; all of them with

    SWEEP=all .venv/bin/python -m pytest tests/pattern/test_every_sock.py

(two and a half thousand socks, about a minute).
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from itertools import product
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.pattern.making import computed, section
from tests.pattern.mutants import counts, mutants
from tracker.pattern.audit import audit, knitted
from tracker.pattern.cuff_down import Computed
from tracker.pattern.model import Pattern
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern

RIBS = {"k1p1": 2, "k2p2": 4}
SETS = ("five", "four")
NARROWER = (None, 0, -4, 2)
"""The foot's stitches less the leg's; None where the plan says nothing of them."""


class Sock(NamedTuple):
    """What varies from sock to sock."""

    stitches: int
    rib: str
    needles: str
    fabric: str
    foot: int | None

    @property
    def plan(self) -> dict[str, Any]:
        """The fields of its plan. Its foot is long enough for any gusset."""
        given: dict[str, Any] = {
            "leg.stitches": self.stitches,
            "cuff.rib": self.rib,
            "needles.set": self.needles,
            "leg.fabric": self.fabric,
            "foot.length": "34 cm",
        }
        if self.foot is not None:
            given["foot.stitches"] = self.stitches + self.foot
        return given


def every_sock() -> Iterator[Sock]:
    for stitches, rib, needles, fabric, foot in product(
        range(20, 133), RIBS, SETS, ("plain", "rib"), NARROWER
    ):
        if fabric == "plain" or stitches % RIBS[rib] == 0:
            yield Sock(stitches, rib, needles, fabric, foot)


ALL = list(every_sock())


def some(socks: list[Sock]) -> list[Sock]:
    """One sock of every number of stitches, its other choices taken in turn."""
    by_stitches: dict[int, list[Sock]] = {}
    for sock in socks:
        by_stitches.setdefault(sock.stitches, []).append(sock)
    return [mine[stitches * 7 % len(mine)] for stitches, mine in by_stitches.items()]


SWEEP = os.environ.get("SWEEP") == "all"
SLICE = ALL if SWEEP else some(ALL)


def check(sock: Sock) -> None:
    """Everything that is true of any sock."""
    made = computed(sock.plan)
    pattern = read_pattern(made.document, "")
    assert audit(made.document) == ()
    check_against_the_loom(made, pattern)
    check_needles(sock, pattern)
    check_ends(pattern)


def check_against_the_loom(made: Computed, pattern: Pattern) -> None:
    """The reader and the audit's loom know nothing of one another: row for row the same counts."""
    rows = [row for part in pattern.sections for row in part.rows]
    loom = list(knitted(made.document))
    assert [row.worked for row in rows] == [row.made for row in loom]
    assert sum(row.made for row in loom) == pattern.numbers.stitches_per_sock


def check_needles(sock: Sock, pattern: Pattern) -> None:
    """No stitch comes or goes where sections meet; every needle holds some until the graft."""
    for before, after in zip(pattern.sections, pattern.sections[1:], strict=False):
        resting = sum(wait.stitches for wait in before.waiting)
        taken_up = sum(wait.stitches for wait in after.waiting)
        assert before.rows[-1].leaves + resting == sum(after.rows[0].before) + taken_up
    for part in pattern.sections[:-1]:
        for row in part.rows:
            assert row.leaves == sum(needle.leaves for needle in row.needles)
            assert all(needle.leaves > 0 for needle in row.needles)
            assert len(row.needles) == (
                1 if part.worked == "rows" else 4 if sock.needles == "five" else 3
            )
    leg = section(pattern, "leg")
    assert leg.rows[-1].leaves == sock.stitches
    assert section(pattern, "cuff").rows[0].leaves % RIBS[sock.rib] == 0


def check_ends(pattern: Pattern) -> None:
    """Sole and instep are equal from the first round of the toe to the graft."""
    numbers = pattern.numbers
    for row in section(pattern, "toe").rows:
        on = [needle.leaves for needle in row.needles]
        sole = on[0] + on[-1]
        assert sole == sum(on) - sole
    graft = section(pattern, "graft")
    assert graft.starts == (numbers.graft_stitches,) * 2
    assert graft.rows[-1].leaves == 0
    gusset = section(pattern, "gusset")
    edge = gusset.rows[0].needles[0].leaves, gusset.rows[0].needles[-1].leaves
    assert 0 <= edge[0] - edge[1] <= 1
    assert gusset.planned == numbers.gusset_rounds == 2 * numbers.gusset_decrease_rounds - 1  # type: ignore[operator]


@pytest.mark.parametrize("start", range(20, 133, 8))
def test_socks_of_every_number_of_stitches(start: int) -> None:
    here = [sock for sock in SLICE if start <= sock.stitches < start + 8]
    assert here
    for sock in here:
        try:
            check(sock)
        except AssertionError as wrong:
            raise AssertionError(f"{sock}: {wrong}") from wrong


def test_the_slice_has_every_number_of_stitches_and_every_choice() -> None:
    assert {sock.stitches for sock in SLICE} == set(range(20, 133))
    for field in ("rib", "needles", "fabric", "foot"):
        assert {getattr(sock, field) for sock in SLICE} == {getattr(sock, field) for sock in ALL}


@settings(max_examples=60)
@given(
    st.sampled_from(ALL),
    st.integers(-2, 2),
    st.integers(-3, 6),
    st.sampled_from([0, 1]),
    st.sampled_from([None, 1, 2, 3, 4, 5, 6, 7]),
)
def test_heels_and_flaps_of_her_own(
    sock: Sock, wider: int, longer: int, gap: int, centre: int | None
) -> None:
    """Heels beside the half, flaps higher and lower, no gap stitch, other centres."""
    on_heel = sock.stitches // 2 + wider
    centre_fits = centre is None or ((on_heel + centre) % 2 and on_heel >= centre + 5)
    plan = sock.plan | {
        "heel.stitches": on_heel,
        "heel.rows": max(2, on_heel + 2 * longer),
        "heel.gap": gap,
        "heel.centre": centre if centre_fits else None,
        "foot.length": "50 cm",
    }
    if abs(sock.stitches - 2 * on_heel) > 4 or sock.foot == 2:
        return
    made = computed(plan)
    pattern = read_pattern(made.document, "")
    assert audit(made.document) == ()
    check_against_the_loom(made, pattern)
    check_needles(sock, pattern)
    check_ends(pattern)


# Refused with a way out


LENGTH = re.compile(r"(?:\d+ )?\d+(?:[./]\d+)? (?:mm|cm|in)\b")
LENGTHS = ("foot.length", "foot.circumference", "leg.length")


def mended(plan: dict[str, Any], bad: WillNotWork) -> dict[str, Any]:
    """The plan with what the refusal says to write."""
    instead = bad.why.rpartition("write")[2]
    found = LENGTH.findall(instead) if bad.field in LENGTHS else re.findall(r"\d+", instead)
    assert found, bad.why
    return plan | {bad.field: found[0] if bad.field in LENGTHS else int(found[0])}


COUNTS = st.none() | st.integers(12, 140)
MILLIMETRES = st.integers(60, 320)


@settings(max_examples=150)
@given(
    st.fixed_dictionaries(
        {
            "foot.circumference": MILLIMETRES.map(lambda mm: f"{mm} mm"),
            "foot.length": MILLIMETRES.map(lambda mm: f"{mm} mm"),
            "foot.stitches": COUNTS,
            "gauge.stitches": st.integers(12, 42),
            "needles.set": st.sampled_from(SETS),
            "cuff.rib": st.sampled_from(sorted(RIBS)),
            "cuff.length": st.integers(5, 120).map(lambda mm: f"{mm} mm"),
            "leg.length": st.integers(5, 400).map(lambda mm: f"{mm / 10} cm"),
            "leg.fabric": st.sampled_from(["plain", "rib"]),
            "leg.stitches": COUNTS,
            "heel.stitches": st.none() | st.integers(6, 70),
            "heel.rows": st.none() | st.integers(2, 90),
            "heel.centre": st.none() | st.integers(1, 12),
            "heel.gap": st.sampled_from([0, 1]),
        }
    )
)
def test_what_a_refusal_says_to_write_leads_to_a_sock(plan: dict[str, Any]) -> None:
    plan["gauge.rows"] = plan["gauge.stitches"] * 1.4
    told: list[str] = []
    for _ in range(9):
        try:
            made = computed(plan)
        except WillNotWork as bad:
            told.append(f"{bad.field}: {bad.why}")
            plan = mended(plan, bad)
        else:
            assert audit(made.document) == ()
            return
    raise AssertionError("\n".join(told))


# Wrong on purpose


WRONGED = [
    Sock(30, "k1p1", "four", "rib", None),
    Sock(37, "k1p1", "five", "plain", 0),
    Sock(66, "k2p2", "five", "plain", -4),
]
if SWEEP:
    WRONGED += [
        Sock(24, "k2p2", "five", "plain", None),
        Sock(63, "k2p2", "four", "plain", None),
        Sock(85, "k2p2", "four", "plain", 2),
        Sock(132, "k2p2", "four", "rib", 2),
    ]


def written_rows(document: dict[str, Any]) -> Iterator[tuple[int, str, int | None, str]]:
    """Every row as it stands in the file: its section, key, place in a list, text."""
    for place, table in enumerate(document["section"]):
        if "set_up" in table:
            yield place, "set_up", None, table["set_up"]
        for key in ("first", "rows"):
            for position, text in enumerate(table.get(key, ())):
                yield place, key, position, text


def spoilt(
    document: dict[str, Any], place: int, key: str, position: int | None, wrong: str
) -> dict[str, Any]:
    """The document with one row written otherwise; the rest is shared."""
    table = dict(document["section"][place])
    if position is None:
        table[key] = wrong
    else:
        table[key] = [*table[key][:position], wrong, *table[key][position + 1 :]]
    sections = [*document["section"][:place], table, *document["section"][place + 1 :]]
    return document | {"section": sections}


@pytest.mark.parametrize(
    "sock", WRONGED, ids=lambda sock: f"{sock.stitches} on a set of {sock.needles}"
)
def test_the_audit_rejects_every_row_whose_counts_were_altered(sock: Sock) -> None:
    """Numbers one off, decreases doubled and dropped, turns lost, needles exchanged: one row at a time."""
    made = computed(sock.plan)
    pattern = read_pattern(made.document, "")
    tried = 0
    for place, key, position, text in written_rows(made.document):
        held = held_before(made.document, pattern, place, key, position)
        right = counts(text, held)
        assert right is not None, text
        for wrong in mutants(text):
            if counts(wrong, held) == right:
                continue
            tried += 1
            assert audit(spoilt(made.document, place, key, position, wrong)), (
                f"{text} became {wrong}"
            )
    assert tried > 150


def held_before(
    document: dict[str, Any], pattern: Pattern, place: int, key: str, position: int | None
) -> tuple[int, ...]:
    """The stitches in reach before a row: those on its needles, less what the turn keeps behind."""
    table, part = document["section"][place], pattern.sections[place]
    if "onto" in table:
        return tuple(table["needles"])
    first = len(table.get("first", ()))
    number = 0 if position is None else position + 1 + (first if key == "rows" else 0)
    row = part.rows[number - part.first]
    if part.kind != "turn" or number == 1:
        return row.before
    turn_before = counts(
        str(table["rows"][number - 2]), held_before(document, pattern, place, key, number - 2)
    )
    assert turn_before is not None
    return (row.before[0] - turn_before.unworked,)
