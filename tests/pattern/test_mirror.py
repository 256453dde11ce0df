"""Sock two of a mirrored pair: what crosses or leans goes the other way, and no count is another."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import IN_ALL
from tests.pattern.choices import SETS
from tests.pattern.making import computed, pattern, sock
from tracker import written
from tracker.pattern import notation
from tracker.pattern.audit import audit
from tracker.pattern.mirror import document, mirrored
from tracker.pattern.model import ONE_NEEDLE, Pattern, Row, Section
from tracker.pattern.tables import BadSection

FOUR = [16, 16, 16, 16]


def leg(
    *rows: str, needles: list[int] | None = None, **more: Any
) -> tuple[Pattern, dict[str, Any]]:
    """A leg by hand, and its tables."""
    table = {"name": "leg", "kind": "leg", "worked": "rounds", "needles": needles or FOUR}
    tables = {"section": [{**table, "rows": list(rows)}], "pair": {"likeness": "mirrored"}, **more}
    return pattern(
        *tables["section"], **{key: tables[key] for key in tables if key != "section"}
    ), tables


def works(row: Row) -> list[str]:
    return [needle.work for needle in row.needles]


def counts(made: Pattern) -> list[tuple[Any, ...]]:
    """All that never mirrors: what every needle holds before and after every row, and its stitches."""
    return [
        (row.number, row.side, row.before, row.leaves, row.worked, row.holding(len(row.needles)))
        for section in made.sections
        for row in section.rows
    ]


@pytest.mark.parametrize(
    ("row", "turned"),
    [
        ("k | p2, C4F, p10 | k | k", ["k", "k", "p10, C4B, p2", "k"]),
        ("k | k | k | k1, k2tog, yo, k to end", ["k13, yo, ssk, k1", "k", "k", "k"]),
        (
            "[C6B, k2] 2 times | k | k | [k2, C6F] 2 times",
            ["[C6B, k2] 2 times", "k", "k", "[k2, C6F] 2 times"],
        ),
        ("[p2, C4F, p2] 2 times | k | k | k", ["k", "k", "k", "[p2, C4B, p2] 2 times"]),
        ("*k1, M1L, k13, k2tog; rep from * to end", ["[ssk, k13, M1R, k1] 1 times"]),
    ],
)  # fmt: skip
def test_a_round_is_taken_the_other_way_round(row: str, turned: list[str]) -> None:
    made, tables = leg(row)
    other = mirrored(made)
    if len(turned) == 1:
        turned = ["ssk, k13, M1R, k1"] * 4
    assert works(other.sections[0].rows[0]) == turned
    assert counts(other) == counts(made)
    assert audit(document(tables, made)) == ()


def test_on_two_circulars_each_half_is_turned_for_itself() -> None:
    made, tables = leg("p2, C4F, p26 | k", needles=[32, 32], needles_set=None)
    on_two = made._replace(at_side=True)
    assert works(mirrored(on_two).sections[0].rows[0]) == ["p26, C4B, p2", "k"]
    assert audit(document(tables, on_two)) == ()


def test_a_rib_goes_round_with_the_cables_above_it_and_stays_without() -> None:
    rib = {
        "name": "cuff",
        "kind": "cuff",
        "worked": "rounds",
        "needles": FOUR,
        "rows": ["*k2, p2; rep from * to end"],
    }
    above = {
        "name": "leg",
        "kind": "leg",
        "worked": "rounds",
        "rows": ["*C4F, p4; rep from * to end"],
    }
    turned = mirrored(pattern(rib, above))
    assert works(turned.sections[0].rows[0])[0] == "[p2, k2] 4 times"
    assert works(turned.sections[1].rows[0])[0] == "[p4, C4B] 2 times"
    alone = pattern(rib)
    assert mirrored(alone) is alone


def test_where_the_needles_do_not_let_a_round_turn_it_is_mirrored_in_its_place() -> None:
    """The cable would lie across a needle's border."""
    made, tables = leg("k14, C4F, k2 | k | k", "k", needles=[20, 8, 16])
    turned = mirrored(made)
    assert works(turned.sections[0].rows[0]) == ["k14, C4B, k2", "k", "k"]
    assert audit(document(tables, made)) == ()


def test_a_cable_worked_flat_crosses_the_other_way_in_its_place() -> None:
    flap = {
        "name": "flap",
        "kind": "flap",
        "worked": "rows",
        "needles": [12],
        "rows": ["RS: sl1, C4F, k to end", "WS: sl1, p to end"],
    }
    turned = mirrored(pattern(flap))
    assert works(turned.sections[0].rows[0]) == ["sl1, C4B, k to end"]


@pytest.mark.parametrize("needles", ["five", "four", "two circulars", "long circular"])
@pytest.mark.parametrize("stitches", [60, 62, 64])
def test_a_computed_sock_has_two_sides_that_are_alike(needles: str, stitches: int) -> None:
    """Gusset, toe and heel need no mirror: they lean alike on both sides (common practice, no source)."""
    made = sock(
        {
            "needles.set": needles,
            "leg.stitches": stitches,
            "pair.likeness": "mirrored",
            "cuff.rib": "k1p1",
        }
    )
    assert made.likeness == "mirrored"
    assert mirrored(made) is made
    assert audit(document(tomllib.loads(made.text), made)) == () if made.text else True


def test_a_gusset_below_a_cable_keeps_its_decreases() -> None:
    gusset = {
        "name": "gusset", "kind": "gusset", "worked": "rounds", "needles": [20, 16, 16, 20],
        "rows": ["k to last 3, k2tog, k1 | p2, C4F, p10 | k | k1, ssk, k to end", "k"],
    }  # fmt: skip
    turned = mirrored(pattern(gusset))
    assert works(turned.sections[0].rows[0]) == [
        "k to last 3, k2tog, k1", "k", "p10, C4B, p2", "k1, ssk, k to end",
    ]  # fmt: skip


def test_a_likeness_that_is_none_is_named() -> None:
    with pytest.raises(BadSection, match='"twins" is no likeness; write alike, mirrored, cousins'):
        leg("k", pair={"likeness": "twins"})


STITCHES = (
    "k",
    "p",
    "k2tog",
    "ssk",
    "yo",
    "M1L",
    "M1R",
    "p2tog",
    "ssp",
    "k3tog",
    "sk2p",
    "s2kp",
    "C2F",
    "C4B",
    "C6F",
    "sl",
    "kfb",
)
runs = st.lists(st.tuples(st.sampled_from(STITCHES), st.integers(1, 4)), min_size=1, max_size=6)


@st.composite
def rounds(draw: st.DrawFn) -> tuple[list[str], list[int]]:
    """A few rounds over some needles, each of which ends with plain stitches where any are left."""
    holds = draw(st.lists(st.integers(6, 24), min_size=1, max_size=4))
    first, rows = list(holds), []
    for _ in range(draw(st.integers(1, 3))):
        segments = []
        for at, live in enumerate(holds):
            work, left, leaves = [], live, 0
            for name, times in draw(runs):
                stitch = notation.stitch_of(name)
                if stitch.takes * times <= left:
                    work.append(
                        ", ".join([name if name not in ("k", "p", "sl") else f"{name}1"] * times)
                    )
                    left, leaves = left - stitch.takes * times, leaves + stitch.leaves * times
            work += [f"k{left}"] if left else []
            segments.append(", ".join(work))
            holds[at] = leaves + left
        rows.append(f"{' | '.join(segments)} = {'/'.join(map(str, holds))}")
        if min(holds) < 2:
            break
    return rows, first


@settings(max_examples=400 if IN_ALL else 80)
@given(rounds(), st.booleans())
def test_whatever_is_knitted_no_count_is_another_and_the_loom_knits_it(
    given_rounds: tuple[list[str], list[int]], at_side: bool
) -> None:
    rows, holds = given_rounds
    made, tables = leg(*rows, needles=holds)
    made = made._replace(at_side=at_side)
    turned = mirrored(made)
    assert counts(turned) == counts(made)
    assert audit(document(tables, made)) == ()
    back = mirrored(turned)
    assert [totals(row) for row in back.sections[0].rows] == [
        totals(row) for row in made.sections[0].rows
    ]


def totals(row: Row) -> list[notation.Stitch]:
    """What every needle takes, leaves and makes; twice mirrored it is what it was."""
    return [
        notation.totals(notation.runs(notation.read_row(needle.work).segments[0], live)[0])
        for needle, live in zip(row.needles, row.before, strict=True)
    ]


# Toes that turn


def wedges(made: Pattern) -> list[list[str]]:
    (toe,) = [part for part in made.sections if part.kind == "toe"]
    return [works(row) for row in toe.rows]


@pytest.mark.parametrize("needles", SETS)
@pytest.mark.parametrize("kind", ["star", "round"])
@pytest.mark.parametrize("stitches", [64, 66])
def test_a_toe_that_is_drawn_up_turns_the_other_way_on_sock_two(
    kind: str, needles: str, stitches: int
) -> None:
    given = {
        "toe.kind": kind, "needles.set": needles, "pair.likeness": "mirrored", "leg.stitches": stitches,
        "cuff.rib": "k1p1",
    }  # fmt: skip
    made, plan = sock(given), computed(given)
    other = mirrored(made)
    assert counts(other) == counts(made)
    assert audit(document(plan.document, made)) == ()
    for one, two in zip(wedges(made), wedges(other), strict=True):
        assert ["k2tog" in work for work in one] == ["ssk" in work for work in two]
        assert not any("ssk" in work for work in one)
        assert not any("k2tog" in work for work in two)
    shaped = [row for row in wedges(other) if "ssk" in row[0]]
    assert all(work.lstrip("*[").startswith("ssk") for row in shaped[-2:] for work in row)
    # Nothing else of a plain sock leans to one side, so all else stays.
    assert [one.kind for one, two in both(made, other) if one.rows != two.rows] == ["toe"]


def both(one: Pattern, two: Pattern) -> zip[tuple[Section, Section]]:
    return zip(one.sections, two.sections, strict=True)


@pytest.mark.parametrize("kind", ["wedge", "graduated"])
def test_a_toe_whose_decreases_are_even_stays(kind: str) -> None:
    made = sock({"toe.kind": kind, "pair.likeness": "mirrored"})
    assert mirrored(made) is made


def test_wedges_that_lie_over_the_ends_of_needles_lean_the_other_way_where_they_stand() -> None:
    toe = {"name": "toe", "kind": "toe", "worked": "rounds", "needles": [10, 10, 12]}
    rows = ["k6, k2tog, k2 | k4, k2tog, k4 | k2, k2tog, k6, k2tog"]
    drawn: dict[str, Any] = {
        "needles": [9, 9, 10],
        "name": "draw up",
        "kind": "draw up",
        "worked": "rows",
        "rows": ["RS: draw up 9 | draw up 9 | draw up 10"],
    }
    made = pattern({**toe, "rows": rows}, drawn, pair={"likeness": "mirrored"})
    (row,) = wedges(mirrored(made))
    assert row == ["k6, ssk, k2", "k4, ssk, k4", "k2, ssk, k6, ssk"]


LACE_DOWN_THE_FOOT = {
    "leg.fabric": "repeat", "leg.repeat": ["k2, ssk, yo, k6", "k10"], "leg.stitches": 70,
    "foot.fabric": "as the leg", "pair.likeness": "mirrored",
}  # fmt: skip


def test_in_place_lace_leans_the_other_way_beside_a_gusset_whose_own_decreases_stay() -> None:
    made = sock(LACE_DOWN_THE_FOOT)
    two = mirrored(made)
    assert two.other_way == made.other_way  # its cuff cannot be taken the other way round
    lean = {"ssk": "k2tog", "k2tog": "ssk"}
    for was, now in zip(made.sections, two.sections, strict=True):
        if was.kind not in ("gusset", "foot"):
            continue
        for one, other in zip(was.rows, now.rows, strict=True):
            sole_before, *instep_before, sole_after = works(one)
            assert works(other)[0] == sole_before
            assert works(other)[-1] == sole_after
            turned = [re.sub("ssk|k2tog", lambda s: lean[s[0]], work) for work in instep_before]
            assert works(other)[1:-1] == turned


def test_what_is_mirrored_in_place_is_not_said_to_go_the_other_way_round() -> None:
    (told,) = written.likeness(sock(LACE_DOWN_THE_FOOT))
    assert "all that leans or crosses the other way, each where it stands" in told
    (told,) = written.likeness(
        sock(LACE_DOWN_THE_FOOT | {"leg.stitches": 80, "leg.repeat": ["k2, ssk, yo, k6", "k10"]})
    )
    assert "its rows the other way round" in told


@pytest.mark.parametrize("needles", [needles for needles in SETS if needles != ONE_NEEDLE])
@pytest.mark.parametrize(
    ("repeat", "turned"), [("k1, yo, ssk, k5", "k5, k2tog, yo, k1"), ("k1, C4F, k3", "k3, C4B, k1")]
)
def test_from_the_toe_up_the_instep_leads_to_the_heel_in_its_mirrored_repeat(
    needles: str, repeat: str, turned: str
) -> None:
    plan = {
        "direction": "toe-up", "leg.fabric": "repeat", "leg.repeat": [repeat], "leg.stitches": 64,
        "foot.fabric": "as the leg", "pair.likeness": "mirrored", "needles.set": needles,
    }  # fmt: skip
    two = mirrored(sock(plan))
    (set_up,) = (there for there in two.sections if there.kind == "heel set-up")
    assert any(turned in work for work in works(set_up.rows[0]))
    assert not any(repeat in work for work in works(set_up.rows[0]))


def test_a_cable_over_an_odd_number_is_said_to_have_no_mirror_image() -> None:
    plan = {
        "leg.fabric": "repeat", "leg.repeat": ["k1, C3F, k4"], "leg.stitches": 64,
        "pair.likeness": "mirrored",
    }  # fmt: skip
    told = (
        "C3F has strands of 1 and 2: on sock two the other one lies in front. "
        "For a true mirror image write C2F or C4F."
    )
    assert told in computed(plan).notes
    assert told not in computed(plan | {"pair.likeness": "alike"}).notes
    assert not any(
        "strands" in note for note in computed(plan | {"leg.repeat": ["k1, C4F, k3"]}).notes
    )
