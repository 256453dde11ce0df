"""A repeat or a chart that goes on down the foot, beside every heel: no row is skipped or worked twice."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any, NamedTuple

import pytest

from tests.examples import IN_ALL
from tests.pattern.choices import HEELS
from tests.pattern.making import computed
from tracker.pattern.audit import audit
from tracker.pattern.feet import of_sock_two
from tracker.pattern.mirror import back, document
from tracker.pattern.model import HEEL_ROUNDS, LATE_HEEL, Pattern, Row, Section
from tracker.pattern.notation import Run, colour_of, read_row, runs
from tracker.pattern.phase import shifted
from tracker.pattern.reading import read_pattern

SETS = ("five", "four", "two circulars", "long circular")
STEPS = ["abbb", "aabb", "aaab"]
"""A chart whose rows are told apart by how many stitches are in the first colour."""
LACE = ["k1, yo, ssk, k1", "p1, k3", "k4"]
STITCHES = (56, 64) if IN_ALL else (64,)


class Instep(NamedTuple):
    """A round of the instep: which it is, and what is made on its needles, one after the other."""

    section: str
    number: int
    made: tuple[Run, ...]


def fabric(rows: list[str], needles: str, heel: str, stitches: int, **more: Any) -> dict[str, Any]:
    return {
        "leg.fabric": "stranded" if rows is STEPS else "repeat",
        "leg.repeat": rows,
        "foot.fabric": "as the leg",
        "needles.set": needles,
        "heel.kind": heel,
        "leg.stitches": stitches,
        **more,
    }


def on_the_instep(pattern: Pattern) -> Iterator[Instep]:
    """Every round of the leg and, from the heel to the toe, of the instep's needles, in order."""
    for section in pattern.sections:
        for row in section.rows:
            where = _instep(pattern, section, row)
            made = [
                run
                for needle, held in zip(row.needles[where], row.before[where], strict=True)
                for run in runs(read_row(needle.work).segments[0], held)[0]
            ]
            if made:
                yield Instep(section.kind, row.number, tuple(made))


def _instep(pattern: Pattern, section: Section, row: Row) -> slice:
    if section.kind == "leg":
        return slice(section.lead_in and 0, None)
    if section.kind == HEEL_ROUNDS:
        return slice(0, -1)
    if section.kind in ("cuff", "toe", LATE_HEEL) or (row.side and not pattern.at_side):
        return slice(0)
    if row.side:
        return slice(0, int(section.kind == "heel set-up"))
    return slice(0, 1) if pattern.at_side else slice(1, -1)


def chart_row(made: tuple[Run, ...]) -> int:
    """Which row of the chart was worked: by the share of stitches in the first colour."""
    of = [run for run in made if colour_of(run.stitch)]
    first = sum(run.times for run in of if colour_of(run.stitch) == "a")
    return 4 * first // sum(run.times for run in of)


@pytest.mark.parametrize("needles", SETS)
@pytest.mark.parametrize("heel", HEELS)
def test_the_rows_of_a_chart_follow_each_other_from_the_leg_to_the_toe(
    needles: str, heel: str
) -> None:
    for stitches in STITCHES:
        pattern = read_pattern(computed(fabric(STEPS, needles, heel, stitches)).document, "")
        told = [(one.section, one.number, chart_row(one.made)) for one in on_the_instep(pattern)]
        worked = [row for *_, row in told]
        assert worked == [1 + at % 3 for at in range(len(worked))], told[40:]


@pytest.mark.parametrize("needles", SETS)
@pytest.mark.parametrize("heel", HEELS)
@pytest.mark.parametrize("rows", [STEPS, LACE])
def test_on_a_mirrored_sock_two_every_round_of_the_instep_is_that_of_sock_one_turned_round(
    needles: str, heel: str, rows: list[str]
) -> None:
    for stitches in STITCHES:
        given = fabric(rows, needles, heel, stitches, **{"pair.likeness": "mirrored"})
        made = computed(given).document
        pattern = read_pattern(made, "")
        two = of_sock_two(pattern)
        pairs = [*zip(on_the_instep(pattern), on_the_instep(two), strict=True)]
        assert len(pairs) > 60
        for one, other in pairs:
            if one.section != "leg":  # there a round may begin beside the centre back
                assert back(one.made) == back(back(other.made)), (one, other)
        assert audit(document(made, pattern, two)) == ()


@pytest.mark.parametrize("needles", SETS)
@pytest.mark.parametrize("heel", HEELS)
@pytest.mark.parametrize("by", [1, 2])
def test_where_the_leg_ended_elsewhere_the_instep_goes_on_there(
    needles: str, heel: str, by: int
) -> None:
    made = computed(fabric(STEPS, needles, heel, 64)).document
    pattern = read_pattern(made, "")
    further = shifted(pattern, by)
    rows = [
        (chart_row(was.made), chart_row(now.made))
        for was, now in zip(on_the_instep(pattern), on_the_instep(further), strict=True)
        if was.section != "leg"
    ]
    assert all(now == 1 + (was - 1 + by) % 3 for was, now in rows), rows
    assert audit(document(made, pattern, further)) == ()


# On two circulars

CABLE = ["p1, k6, p1", "p1, C6F, p1"]
"""Eight stitches, of which the six inside nothing parts."""


@pytest.mark.parametrize("stitches", [56, 64, 72, 80, 88])
@pytest.mark.parametrize("needles", ["two circulars", "long circular"])
def test_a_cable_lies_in_the_middle_of_the_instep_where_the_heel_may_be_another(
    needles: str, stitches: int
) -> None:
    made = computed({
        "leg.fabric": "repeat", "leg.repeat": CABLE, "leg.stitches": stitches, "foot.fabric": "as the leg",
        "needles.set": needles, "foot.length": "34 cm",
    })  # fmt: skip
    assert audit(made.document) == ()
    assert not [note for note in made.notes if "plain before it" in note]
    pattern = read_pattern(made.document, "")
    (foot,) = [part for part in pattern.sections if part.kind == "foot"]
    work = next(row.needles[0].work for row in foot.rows if "C6F" in row.needles[0].work)
    made_of = [run for run in _made(work, foot.starts[0]) if run.stitch != "C6F"]
    assert made_of[0].times == made_of[-1].times, work
    assert abs(stitches - 2 * foot.starts[0]) <= 4


def _made(work: str, live: int) -> list[Run]:
    return runs(read_row(work).segments[0], live)[0]


def test_a_heel_of_her_own_keeps_the_cable_in_line_with_the_leg_and_says_where_it_lies() -> None:
    made = computed({
        "leg.fabric": "repeat", "leg.repeat": CABLE, "leg.stitches": 72, "foot.fabric": "as the leg",
        "needles.set": "two circulars", "heel.stitches": 36, "foot.length": "34 cm",
    })  # fmt: skip
    assert any("with 1 stitch plain before it and 3 after" in note for note in made.notes)


@pytest.mark.parametrize("edges", ["20/20", "21/19", "19/21", "21/18", "18/20"])
@pytest.mark.parametrize("needles", ["two circulars", "five"])
def test_beside_uneven_edges_every_stitch_of_the_sole_stands_above_the_other_colour(
    needles: str, edges: str
) -> None:
    made = computed({
        "leg.fabric": "stranded", "leg.repeat": STEPS, "foot.fabric": "as the leg", "leg.stitches": 80,
        "needles.set": needles, "heel.picked_up": edges,
        "heel.gusset": "plain first", "gauge.stitches": 34, "gauge.rows": 36,
        "foot.length": "30 cm",
    })  # fmt: skip
    assert audit(made.document) == ()
    (gusset,) = [part for part in read_pattern(made.document, "").sections if part.kind == "gusset"]
    rounds = list(_soles(gusset, int(edges.partition("/")[2])))
    for one, later in pairwise(rounds):
        for before, after in zip(one, later, strict=True):
            same = [was == now for was, now in zip(before, after, strict=False)][:9]
            assert len(same) == 9
            assert not any(same), (edges, before, after)


def _soles(gusset: Section, second_edge: int) -> Iterator[tuple[list[str], list[str]]]:
    """The colours of the sole in each round, from the centre back to either side."""
    picked, *rows = gusset.rows
    heel = sum(
        one.times for one in _made(picked.needles[-1].work, picked.before[-1]) if one.stitch == "k"
    )
    before = second_edge + 1 + heel // 2
    for row in rows:
        sole = _stitches(row, -1)
        if len(row.needles) > 2:
            yield (
                [colour_of(one) for one in sole[::-1]],
                [colour_of(one) for one in _stitches(row, 0)],
            )
            continue
        before -= sum("ssk" in stitch for stitch in sole)
        colours = [colour_of(one) for one in sole]
        yield colours[:before][::-1], colours[before:]


def _stitches(row: Row, place: int) -> list[str]:
    made = _made(row.needles[place].work, row.before[place])
    return [run.stitch for run in made for _ in range(run.times)]
