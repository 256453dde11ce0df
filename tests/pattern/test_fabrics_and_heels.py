"""A repeat or a chart that goes on down the foot, beside every heel: no row is skipped or worked twice."""

from __future__ import annotations

from collections.abc import Iterator
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
