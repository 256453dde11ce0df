"""Every sock from 20 to 132 stitches is computed, reads back, and is knitted by the audit.

A slice of them is knitted each time, every number of stitches and every construction among them.
More of them are knitted on demand:

    SWEEP=pairs .venv/bin/python -m pytest tests/pattern/test_every_sock.py
    SWEEP=all   .venv/bin/python -m pytest tests/pattern/test_every_sock.py

"pairs": every cast-on on every set of needles with every rib and fabric, the other choices taken in
turn (7,336 socks, under two minutes). "all": all choices with all others (469,504, about two hours).
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from itertools import pairwise, product
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.pattern.making import computed, section
from tests.pattern.mutants import counts, mutants
from tracker.pattern.audit import audit, knitted
from tracker.pattern.cuff_down import Computed
from tracker.pattern.feet import of_sock_two
from tracker.pattern.mirror import document
from tracker.pattern.model import FEET, Needle, Pattern, Row
from tracker.pattern.notation import read_row, runs
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern

RIBS = {"k1p1": 2, "k2p2": 4, "k3p1": 4, "k2p1": 3, "twisted k1p1": 2, "twisted k2p2": 4}
KNITS = {"k1p1": 1, "k2p2": 2, "k3p1": 3, "k2p1": 2, "twisted k1p1": 1, "twisted k2p2": 2}
SETS = {"five": 4, "four": 3, "two circulars": 2, "long circular": 2}
FABRICS = [
    ("plain", "plain"),
    ("plain", "rib on the instep"),
    ("rib", "plain"),
    ("rib", "as the leg"),
]
"""The leg's fabric and the foot's."""
FLAPS = ("slipped", "plain", "eye of partridge", "garter edge")
TURNS = ("rounded", "square")
GUSSETS = ("decrease first", "plain first")
NARROWER = (None, 0, -4, 2)
"""The foot's stitches less the leg's; None where the plan says nothing of them."""


class Sock(NamedTuple):
    """What varies from sock to sock."""

    stitches: int
    rib: str
    needles: str
    fabric: str
    on_foot: str = "plain"
    flap: str = "slipped"
    turn: str = "rounded"
    gusset: str = "decrease first"
    foot: int | None = None
    feet: str = "alike"

    @property
    def plan(self) -> dict[str, Any]:
        """The fields of its plan. Its foot is long enough for any gusset."""
        given: dict[str, Any] = {
            "leg.stitches": self.stitches,
            "cuff.rib": self.rib,
            "needles.set": self.needles,
            "leg.fabric": self.fabric,
            "foot.fabric": self.on_foot,
            "heel.flap": self.flap,
            "heel.turn": self.turn,
            "heel.gusset": self.gusset,
            "toe.feet": self.feet,
            "foot.length": "34 cm",
        }
        if self.foot is not None:
            given["foot.stitches"] = self.stitches + self.foot
        return given


def bodies() -> Iterator[tuple[int, str, str, str, str]]:
    """Stitches, rib, needles and fabrics that go together."""
    for stitches, rib, needles, (leg, foot) in product(range(20, 133), RIBS, SETS, FABRICS):
        if leg == "plain" or stitches % RIBS[rib] == 0:
            yield stitches, rib, needles, leg, foot


HEELS = list(product(FLAPS, TURNS, GUSSETS, NARROWER))


def every_sock() -> Iterator[Sock]:
    """Of each body the heels in turn, so that in the end each choice meets each other one."""
    for place, body in enumerate(bodies()):
        yield Sock(*body, *HEELS[place * 13 % len(HEELS)], FEET[place % 5 == 0])


SWEEP = os.environ.get("SWEEP", "")
ALL = list(every_sock())


def some(socks: list[Sock]) -> list[Sock]:
    """Four socks of every number of stitches, their other choices taken in turn."""
    by_stitches: dict[int, list[Sock]] = {}
    for sock in socks:
        by_stitches.setdefault(sock.stitches, []).append(sock)
    return [
        mine[(stitches * 7 + part * len(mine) // 4) % len(mine)]
        for stitches, mine in by_stitches.items()
        for part in range(4)
    ]


def swept() -> list[Sock]:
    """The socks that are knitted this time."""
    if SWEEP == "all":
        every = enumerate(product(bodies(), HEELS))
        return [Sock(*body, *heel, FEET[place % 5 == 0]) for place, (body, heel) in every]
    return ALL if SWEEP == "pairs" else some(ALL)


SLICE = swept()


def check(sock: Sock) -> None:
    """Everything that is true of any sock."""
    made = computed(sock.plan)
    pattern = read_pattern(made.document, "")
    assert audit(made.document) == ()
    check_against_the_loom(made, pattern)
    check_needles(sock, pattern)
    check_ends(sock, pattern)
    check_instep(sock, pattern)
    check_other_foot(sock, made, pattern)


def check_other_foot(sock: Sock, made: Computed, pattern: Pattern) -> None:
    """Sock two is knitted stitch by stitch as well: its toe has the same rounds and counts, end for end."""
    if sock.feet == "alike":
        return
    other = of_sock_two(pattern)
    assert audit(document(made.document, pattern, other)) == ()
    for one, two in zip(section(pattern, "toe").rows, section(other, "toe").rows, strict=True):
        assert (one.leaves, one.worked, one.word) == (two.leaves, two.worked, two.word)
        halves = [
            [tuple(n.leaves for n in instep(sock, row, toe=True)) for row in (one, two)],
            [tuple(n.leaves for n in sole(sock, row)) for row in (one, two)],
        ]
        assert all(here == there[::-1] for here, there in halves)


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
            on = SETS[sock.needles] if part.worked == "rounds" else len(part.needles)
            assert len(row.needles) == on
    leg = section(pattern, "leg")
    assert leg.rows[-1].leaves == sock.stitches
    assert section(pattern, "cuff").rows[0].leaves % RIBS[sock.rib] == 0


def check_ends(sock: Sock, pattern: Pattern) -> None:
    """Sole and instep are equal from the first round of the toe to the graft."""
    numbers = pattern.numbers
    for row in section(pattern, "toe").rows:
        assert 2 * sum(needle.leaves for needle in instep(sock, row, toe=True)) == row.leaves
    graft = section(pattern, "graft")
    assert graft.starts == (numbers.graft_stitches,) * 2
    assert graft.rows[-1].leaves == 0
    gusset = section(pattern, "gusset")
    if SETS[sock.needles] > 2:
        edge = gusset.rows[0].needles[0].leaves, gusset.rows[0].needles[-1].leaves
        assert 0 <= edge[0] - edge[1] <= 1
    decreases = [row.number for row in gusset.rows[1:] if row.word == "DEC"]
    first = 1 if sock.gusset == "decrease first" else 2
    assert decreases == list(range(first, gusset.planned + 1, 2))
    assert (numbers.gusset_rounds, numbers.gusset_decrease_rounds) == (
        gusset.planned,
        len(decreases),
    )


def instep(sock: Sock, row: Row, *, toe: bool = False) -> tuple[Needle, ...]:
    """The needles that hold the instep in a round; those of a toe for one foot come first."""
    if toe and sock.feet != "alike":
        return row.needles[: SETS[sock.needles] // 2]
    return row.needles[:1] if SETS[sock.needles] == 2 else row.needles[1:-1]


def sole(sock: Sock, row: Row) -> tuple[Needle, ...]:
    """The needles that hold the sole in a round of a toe for one foot."""
    return row.needles[SETS[sock.needles] // 2 :]


def check_instep(sock: Sock, pattern: Pattern) -> None:
    """A rib down the instep begins and ends with its knits, and goes on from a ribbed leg's."""
    foot = section(pattern, "foot").rows[-1]
    told = stitches(instep(sock, foot))
    if sock.on_foot == "plain":
        assert set(told) == {"k"}
        return
    assert told == told[::-1]
    knits = ["k tbl" if "twisted" in sock.rib else "k"] * KNITS[sock.rib]
    assert told[: len(knits)] == knits
    if sock.fabric == "rib":
        leg = section(pattern, "leg").rows[-1]
        assert stitches(instep(sock, leg)) == told


def stitches(needles: Sequence[Needle]) -> list[str]:
    """Stitch by stitch what is worked on needles that are neither widened nor narrowed."""
    return [
        run.stitch
        for needle in needles
        for run in runs(read_row(needle.work).segments[0], needle.leaves)[0]
        for _ in range(run.times)
    ]


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
    for field in Sock._fields:
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
    if sock.turn == "square":
        plan["heel.centre"] = None
    on_instep = (sock.stitches - on_heel) % RIBS[sock.rib] == KNITS[sock.rib] % RIBS[sock.rib]
    if sock.on_foot != "plain" and not on_instep:
        with pytest.raises(WillNotWork, match="where the rib does not begin and end with the same"):
            computed(plan)
        return
    made = computed(plan)
    pattern = read_pattern(made.document, "")
    assert audit(made.document) == ()
    check_against_the_loom(made, pattern)
    check_needles(sock, pattern)
    check_ends(sock, pattern)
    check_instep(sock, pattern)


@settings(max_examples=60)
@given(st.sampled_from(ALL), st.integers(-3, 3))
def test_edges_that_were_picked_up_unevenly(sock: Sock, more: int) -> None:
    """The longer edge is decreased twice, the shorter rests: the gusset ends as long, and as it should.

    Common practice, no source.
    """
    even = read_pattern(computed(sock.plan | {"foot.length": "50 cm"}).document, "")
    chains = even.numbers.flap_rows // 2  # type: ignore[operator]
    uneven = {"heel.picked_up": f"{chains + more}/{chains}", "foot.length": "50 cm"}
    made = computed(sock.plan | uneven)
    assert audit(made.document) == ()
    pattern = read_pattern(made.document, "")
    check_needles(sock, pattern)
    gusset = section(pattern, "gusset")
    assert gusset.rows[-1].leaves == section(even, "gusset").rows[-1].leaves
    assert gusset.rows[0].leaves == section(even, "gusset").rows[0].leaves + more
    assert 0 <= gusset.planned - section(even, "gusset").planned - 2 * (more // 2) <= 2
    taken = [row.before[0] + row.before[-1] for row in gusset.rows[1:]]
    assert all(before - after <= 5 for before, after in pairwise(taken))


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
            "needles.set": st.sampled_from(sorted(SETS)),
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
    Sock(30, "k1p1", "four", "rib", feet="left and right"),
    Sock(37, "k1p1", "five", "plain", foot=0),
    Sock(66, "k2p2", "five", "plain", foot=-4),
    Sock(
        48,
        "k2p2",
        "two circulars",
        "rib",
        "as the leg",
        "eye of partridge",
        "square",
        "plain first",
    ),
]
if SWEEP:
    WRONGED += [
        Sock(24, "k2p2", "five", "plain"),
        Sock(63, "k2p2", "four", "plain"),
        Sock(85, "k2p2", "four", "plain", foot=2),
        Sock(63, "k2p2", "five", "plain", feet="left and right"),
        Sock(132, "k2p2", "four", "rib", foot=2),
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
