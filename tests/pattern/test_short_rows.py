"""Heels of short rows, wrapped and with double stitches: their rows, their audit, and what a plan may say.

Figures are common practice, no source, unless a check names one. A share of all socks is knitted each time;
all of them (904, under a minute) on demand:

    SWEEP=pairs .venv/bin/python -m pytest tests/pattern/test_short_rows.py
"""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.pattern.choices import SHORT_ROWS as KINDS
from tests.pattern.making import computed, plan_of, section, sock, written
from tests.pattern.test_every_sock import SETS, spoilt, written_rows
from tracker.pattern.audit import audit, knitted
from tracker.pattern.model import FIRST_HALF, HEEL_ROUNDS, SECOND_HALF
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern
from tracker.pattern.short_rows import short_rows
from tracker.pattern.turned_sides import behind, is_short, sides
from tracker.storage.files import FileTrouble

HEELS = tomllib.loads(Path(__file__).with_name("data").joinpath("short_rows.toml").read_text())


def exchanged(row: str) -> str:
    """The same row begun on the other side."""
    swap = {"RS": "WS", "WS": "RS", "k": "p", "p": "k"}
    return re.sub(r"RS|WS|\bk(?=\d)|\bp(?=\d)", lambda found: swap[found[0]], row)


def heel_of(kind: str, needles: str, stitches: int, **more: Any) -> dict[str, Any]:
    """The fields of a sock with such a heel over half of its stitches."""
    return {
        "heel.kind": kind, "needles.set": needles, "leg.stitches": stitches, "cuff.rib": "k1p1",
        "foot.length": "34 cm", **more,
    }  # fmt: skip


def rows_of(made: Any, kind: str) -> list[str]:
    """The rows of a half, without what they leave."""
    return [written(row).partition(" =")[0] for row in section(made, kind).rows]


@pytest.mark.parametrize("stitches", [24, 30, 32, 33, 36])
def test_the_wrapped_heel_row_by_row(stitches: int) -> None:
    table = HEELS["wrapped"][str(stitches)]
    around = 2 * stitches + (stitches % 2)
    side = sock(heel_of("wrapped", "two circulars", around, **{"heel.stitches": stitches}))
    assert rows_of(side, FIRST_HALF) == table["first"]["rows"], "right side first"
    # Then the yarn comes back over the heel to where rounds begin.
    assert rows_of(side, SECOND_HALF) == [*table["second"]["rows"], f"RS: k{stitches}"]
    five = sock(heel_of("wrapped", "five", around, **{"heel.stitches": stitches}))
    assert rows_of(five, FIRST_HALF) == [exchanged(row) for row in table["first"]["rows"]]
    *before, last = [exchanged(row) for row in table["second"]["rows"]]
    assert rows_of(five, SECOND_HALF) == [*before, last.removesuffix(", turn")]
    assert (
        len(table["first"]["rows"] + table["second"]["rows"])
        == 4 * short_rows(stitches, doubled=False).side
    )


@pytest.mark.parametrize("stitches", [24, 30, 32, 33, 36])
def test_the_heel_with_double_stitches_row_by_row(stitches: int) -> None:
    table = HEELS["double-stitch"][str(stitches)]
    around = 2 * stitches + (stitches % 2)
    shape = short_rows(stitches, doubled=True)
    *first, last = table["first"]["rows"]
    on_to_the_end = f"{last.removesuffix(', turn')}, k{shape.side}"
    side = sock(heel_of("double-stitch", "long circular", around, **{"heel.stitches": stitches}))
    assert rows_of(side, FIRST_HALF) == [*first, on_to_the_end], "right side first"
    five = sock(heel_of("double-stitch", "five", around, **{"heel.stitches": stitches}))
    assert rows_of(five, FIRST_HALF) == [*first[1:], on_to_the_end], "row 1 is the set-up"
    *second, end = [exchanged(row) for row in table["second"]["rows"]]
    for made in (side, five):
        assert rows_of(made, SECOND_HALF) == [*second, end.removesuffix(", turn")]
        assert section(made, HEEL_ROUNDS).planned == 2
        assert made.begins_at_side(section(made, HEEL_ROUNDS))


@pytest.mark.parametrize(
    ("stitches", "side", "middle"),
    [(24, 8, 8), (30, 10, 10), (32, 11, 10), (33, 11, 11), (36, 12, 12), (6, 2, 2), (7, 2, 3)],
)
def test_a_short_row_heel_is_turned_over_thirds(stitches: int, side: int, middle: int) -> None:
    assert short_rows(stitches, doubled=False)[:2] == (side, middle)


@given(st.integers(6, 200), st.booleans())
def test_every_heel_has_a_middle_to_turn_on(stitches: int, doubled: bool) -> None:
    shape = short_rows(stitches, doubled=doubled)
    assert shape.stitches == stitches
    assert abs(shape.side - shape.middle) <= 2 <= shape.middle
    assert shape.rows_deep == 2 * shape.side


def test_a_heel_is_half_of_the_stitches() -> None:
    """sock_fractions of references.toml: short_row_heel = 0.50, 36 of 72."""
    assert sock(heel_of("wrapped", "five", 72)).numbers.heel_stitches == 36


SWEEP = os.environ.get("SWEEP", "")
ALL = [*product(range(20, 133), SETS, KINDS)]
SLICE = ALL if SWEEP else ALL[::23]


def test_short_row_heels_on_any_number_of_stitches() -> None:
    assert {kind for *_, kind in SLICE} == set(KINDS)
    assert {needles for _, needles, _ in SLICE} == set(SETS)
    for stitches, needles, kind in SLICE:
        made = computed(heel_of(kind, needles, stitches))
        assert audit(made.document) == (), (kind, needles, stitches)
        pattern = read_pattern(made.document, "")
        rows = [row for part in pattern.sections for row in part.rows]
        assert [row.worked for row in rows] == [row.made for row in knitted(made.document)]
        for before, after in zip(pattern.sections, pattern.sections[1:], strict=False):
            held = before.rows[-1].leaves + sum(wait.stitches for wait in before.waiting)
            assert held == sum(after.rows[0].before) + sum(wait.stitches for wait in after.waiting)
        for half in filter(is_short, pattern.sections):
            assert {row.leaves for row in half.rows} == {pattern.numbers.heel_stitches}
            check_sides(half)


def check_sides(half: Any) -> None:
    """One stitch a row is wrapped or doubled, or taken in again; no two rows of a half look alike."""
    told = [sides(half, rows) for rows in range(1, len(half.rows) + 1)]
    pairs = [tuple(sorted(one[:2])) for one in told if one is not None]
    assert len(pairs) == len(half.rows)
    looks = [pair for pair in pairs if any(pair)]
    assert len(set(looks)) == len(looks)
    for rows, row in enumerate(half.rows):
        rests = behind(half, rows)
        assert rests in range(row.leaves)


# Wrong on purpose


def wrongs(text: str) -> Iterator[str]:
    """Wrong copies of a row of a heel, none of which changes what it leaves."""
    for found in re.finditer(r"(?<=[kp])\d+", text):
        for by in (-1, 1):
            yield f"{text[: found.start()]}{int(found[0]) + by}{text[found.end() :]}"
    if "DS" in text:
        yield text.replace("DS, ", "")
        yield text.replace("DS", "sl1")
    if "w&t" in text:
        yield text.replace("w&t", "turn")
        yield text.replace(", w&t", "")
    elif "turn" in text:
        yield text.replace("turn", "w&t")
    if "DS" in text and "turn" in text:
        # Where all stitches are worked the needle's end is a turn, too; a double stitch asks for one.
        yield text.replace(", turn", "")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("needles", ["five", "two circulars"])
def test_the_audit_rejects_every_row_that_is_turned_too_early_or_too_late(
    kind: str, needles: str
) -> None:
    made = computed(heel_of(kind, needles, 30))
    names = [table["name"] for table in made.document["section"]]
    tried = 0
    for place, key, position, text in written_rows(made.document):
        if names[place] not in (FIRST_HALF, SECOND_HALF):
            continue
        for wrong in wrongs(text):
            tried += 1
            assert audit(spoilt(made.document, place, key, position, wrong)), (
                f"{names[place]}: {text} became {wrong}"
            )
    assert tried > 80


def test_what_the_audit_says_of_a_wrapped_stitch_worked_too_early() -> None:
    made = computed(heel_of("wrapped", "five", 48))
    place = next(at for at, one in enumerate(made.document["section"]) if one["kind"] == FIRST_HALF)
    wrong = spoilt(made.document, place, "rows", 2, "WS: p22, w&t = 24")
    first = audit(wrong)[0]
    assert (first.section, first.row) == (FIRST_HALF, 3)
    assert (first.problem, first.instead) == (
        "a wrapped stitch is worked too early",
        "turn before it",
    )


def test_double_stitches_that_no_round_closes_are_named() -> None:
    made = computed(heel_of("double-stitch", "five", 48))
    sections = [one for one in made.document["section"] if one["kind"] != HEEL_ROUNDS]
    assert audit({**made.document, "section": sections})


# What a plan may say


@pytest.mark.parametrize("kind", KINDS)
def test_numbers_that_such_a_heel_has_not_are_none(kind: str) -> None:
    numbers = sock({"heel.kind": kind}).numbers
    none = ("flap_rows", "turn_rows", "heel_centre", "after_pick_up", "gusset_decrease_rounds")
    assert [getattr(numbers, name) for name in (*none, "gusset_rounds")] == [None] * 6
    assert (numbers.heel_stitches, numbers.instep_stitches) == (32, 32)
    # 233 mm less 20 rounds of the toe and 22 rows of the heel, at 42 to 10 cm.
    assert numbers.foot_rounds == 56


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("flap", "plain"), ("rows", 34), ("turn", "square"), ("centre", 5), ("gap", 0),
        ("gusset", "plain first"), ("picked_up", "17/16"),
    ],
)  # fmt: skip
def test_fields_of_a_flap_are_refused_beside_another_heel(field: str, value: Any) -> None:
    with pytest.raises(FileTrouble, match=f"heel.{field}: {field} belongs to a heel with a flap"):
        plan_of({"heel.kind": "wrapped", f"heel.{field}": value})
    assert plan_of({"heel.kind": "wrapped"}).of(f"heel.{field}") is None


def test_no_gusset_leads_to_a_foot_of_other_stitches() -> None:
    with pytest.raises(WillNotWork, match="has no gusset that leads to 60; write 64, leave it out"):
        sock({"heel.kind": "double-stitch", "foot.stitches": 60})
    assert sock({"heel.kind": "double-stitch", "foot.stitches": 64}).numbers.foot_rounds == 56


def test_heel_stitches_are_bounded_as_for_any_heel() -> None:
    assert sock({"heel.kind": "wrapped", "heel.stitches": 30}).numbers.heel_stitches == 30
    with pytest.raises(WillNotWork, match="40 of 64 is too far from half; write 30 to 34"):
        sock({"heel.kind": "wrapped", "heel.stitches": 40})


@settings(max_examples=40)
@given(st.sampled_from(KINDS), st.integers(60, 160), st.sampled_from(sorted(SETS)))
def test_a_foot_too_short_is_told_the_shortest_that_works(
    kind: str, length: int, needles: str
) -> None:
    plan = {"heel.kind": kind, "needles.set": needles, "foot.length": f"{length} mm"}
    why = why_not(plan)
    if why:
        assert "the heel would run into the toe" in why
        (least,) = re.findall(r"(\d+(?:\.\d+)?) cm or more", why)
        plan["foot.length"] = f"{least} cm"
    assert audit(computed(plan).document) == ()


def why_not(plan: dict[str, Any]) -> str:
    """Why a plan will not work; "" where it does."""
    try:
        computed(plan)
    except WillNotWork as bad:
        return bad.why
    return ""


def test_a_high_instep_over_a_heel_without_a_gusset_is_told() -> None:
    """More than 1.4 times the foot's way round."""
    tight = {"heel.kind": "wrapped", "foot.heel": "34 cm"}
    (told,) = [note for note in computed(tight).notes if "Tight across the instep" in note]
    assert "Take more stitches for the heel (heel.stitches) or a looser needle" in told
    assert "corner" not in told, "there is no row that such stitches would go with"
    later = computed({**tight, "heel.kind": "afterthought"}).notes
    assert [note for note in later if "and an afterthought heel has no gusset" in note]
    for fits in ({"heel.kind": "wrapped", "foot.heel": "33 cm"}, {"foot.heel": "34 cm"}):
        assert not [note for note in computed(fits).notes if "Tight across" in note]


def test_a_rib_runs_down_the_instep_through_the_rounds_inside_the_heel() -> None:
    ribbed = {"heel.kind": "double-stitch", "leg.fabric": "rib", "foot.fabric": "as the leg"}
    made = sock(ribbed)
    inside, foot = section(made, HEEL_ROUNDS).rows[0], section(made, "foot")
    assert [one.work for one in inside.needles[:2]] == [
        one.work for one in foot.rows[1].needles[1:3]
    ]
    assert foot.rows[0].word == "CLOSE"


def test_the_leg_s_colour_runs_through_a_doubled_heel_of_another() -> None:
    def told(**fields: Any) -> list[str]:
        given = {name.replace("__", "."): value for name, value in fields.items()}
        return [note for note in computed(given).notes if "through the middle of the" in note]

    (note,) = told(heel__kind="double-stitch", colours__heel="rust", colours__leg=["navy 9"])
    assert "through the middle of the rust" in note
    assert 'kind = "wrapped"' in note
    assert not told(heel__kind="double-stitch", colours__leg=["navy 9"])
    assert not told(heel__kind="double-stitch", colours__heel="navy", colours__leg=["navy 9"])
    assert not told(heel__kind="wrapped", colours__heel="rust", colours__leg=["navy 9"])
