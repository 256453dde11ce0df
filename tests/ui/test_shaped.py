"""Where work has no room, its decreases are seen first, and what goes on is said in a word."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.test_repeats_knitted import planned
from tests.pattern.making import pattern
from tests.ui.test_nothing_cut import shown
from tracker.knitting.course import Course
from tracker.pattern.notation import DECREASES, INCREASES
from tracker.ui.shaped import changes_only, in_rib
from tracker.ui.sights import Scene
from tracker.ui.work import WorkLine, shorter, shortest, work_of


@pytest.mark.parametrize(
    ("work", "told"),
    [
        ("[k1 b, k1 a] 14 times, k1 b, k2tog a, k1 b", "..k2tog a,k1 b"),
        ("k1 a, ssk b, [k1 a, k1 b] 14 times, k1 a", "k1 a,ssk b.."),
        ("k1, ssk, k to end", "k1,ssk.."),
        ("k22, k2tog, k1, [k2, p2] 8 times, k2, k1, ssk, k to end", "k22,k2tog,k1..k1,ssk.."),
        ("[k1, yo, ssk] 4 times", "[k1, yo, ssk] 4 times"),
        ("k3 a, k1 b", "k3 a, k1 b"),
        ("k3, ssk, *k2, p2; rep from * to last 4, k2tog, k2",) * 2,
        ("*k2, ssk; rep from * to end",) * 2,
    ],
)
def test_the_decreases_alone(work: str, told: str) -> None:
    assert changes_only(work) == told


def line(work: str, *, ribbed: bool = False) -> WorkLine:
    return WorkLine("N2", work, "[16]", loud=True, shaped=True, ribbed=ribbed)


@pytest.mark.parametrize("name", sorted(DECREASES | INCREASES | {"sl", "rest 2", "pick up 2"}))
@pytest.mark.parametrize("row", ["[k2, p2] 4 times, {}, k1", "k2, p2, {}, k2", "k2, p2, k2, {}"])
def test_no_change_on_a_needle_is_hidden_in_rib(name: str, row: str) -> None:
    for told in shortest(line(row.format(name))):
        assert name in told
    assert shortest(line("[k2, p2] 4 times, k2"))[-1] == "in rib"


def test_rib_between_decreases_is_told_by_its_stitches() -> None:
    work = "k22, k2tog, k1, [k2, p2] 8 times, k2, k1, ssk, k to end"
    assert in_rib(work) == "k22, k2tog, k1, rib 34, k1, ssk, k to end"
    twisted = "k9, k2tog, k1, [k1 tbl, p1] 15 times, k1 tbl, k1, ssk, k to end"
    assert in_rib(twisted) == "k9, k2tog, k1, rib 31, k1, ssk, k to end"
    assert in_rib("[k2, p2] 8 times") == "[k2, p2] 8 times"


@pytest.mark.parametrize(
    "work", ["k1, ssk, [k1, p1] 10 times, k2tog, k1", "k3, ssk, [k5, p3] 4 times, k2tog, k3"]
)
def test_what_is_not_known_to_be_rib_is_not_called_so(work: str) -> None:
    assert not any("rib" in told for told in [*shorter(line(work)), *shortest(line(work))])
    assert any("rib" in told for told in shorter(line(work, ribbed=True)))


@pytest.mark.parametrize(
    ("after", "ribbed"), [("[k1, p1] 10 times", True), ("[p1, k1] 10 times", False)]
)
def test_the_rounds_show_what_is_rib_and_what_is_moss_stitch(after: str, ribbed: bool) -> None:
    rows = ["k1, ssk, [k1, p1] 10 times, k2tog, k1", f"k2, {after}, k2"]
    glance = Knitter(Course(pattern({"needles": [26], "rows": rows}))).look()
    assert [needle.ribbed for needle in glance.needles] == [ribbed]
    (told,) = work_of(glance, None).lines
    assert ("k1, ssk, rib 20, k2tog, k1" in shorter(told)) == ribbed


CHART = ["aabbabab", "abbbbaaa", "aaaaaaab", "abaababb"]
STRANDED = {
    "leg.fabric": "stranded", "leg.repeat": CHART, "gauge.stitches": 34, "gauge.rows": 36,
    "foot.fabric": "as the leg", "leg.stitches": 80, "colours.leg": ["a navy", "b cream"],
}  # fmt: skip
RIBBED = {"leg.fabric": "rib", "foot.fabric": "rib on the instep", "needles.set": "short circular"}
SMALL = [(80, 24), (56, 18), (40, 12), (36, 11), (30, 3)]


def at_the_gusset(fields: Mapping[str, object], more: int = 0) -> Knitter:
    """Sock one with its stitches picked up, and so many rounds of the gusset more."""
    knitter = Knitter(planned(dict(fields)))
    knitter.to("gusset")
    while (row := knitter.look().next) is not None and row.word != "DEC":
        knitter.tick()
    if more:
        knitter.tick(more)
    return knitter


@pytest.mark.parametrize("needles", ["five", "four", "two circulars"])
@pytest.mark.parametrize("more", [0, 2, 8])
def test_the_decreases_of_a_gusset_in_two_colours_are_seen_and_the_rest_is_a_row_of_the_chart(
    needles: str, more: int
) -> None:
    knitter = at_the_gusset({**STRANDED, "needles.set": needles}, more)
    glance = knitter.look()
    for size in SMALL:
        lines = "\n".join(shown(Scene(glance), size))
        work = [line for line in lines.splitlines() if re.search(r"k2tog|ssk|chart row", line)]
        if size == (30, 3):
            assert "next 1 dec on" not in lines or " N2 " not in lines
            continue
        assert re.search(r"k2tog [ab]", lines), (size, lines)
        assert re.search(r"ssk [ab]", lines), (size, lines)
        assert not [line for line in work if "..." in line], (size, work)


def test_the_row_of_the_chart_is_the_one_that_follows_the_leg() -> None:
    knitter = at_the_gusset(STRANDED)
    ended = knitter.sock(1).ended[1]
    assert knitter.look().chart_row == (ended + 1) % 4 + 1
    for number in range(2, 6):
        knitter.tick()
        assert knitter.look().chart_row == (ended + number) % 4 + 1
    knitter.to("leg", 3, sock=2)
    assert knitter.look(2).chart_row == 4
    assert Knitter().look().chart_row == 0


@pytest.mark.parametrize("more", [0, 2])
def test_the_decreases_beside_a_ribbed_instep_are_seen_on_one_short_circular(more: int) -> None:
    glance = at_the_gusset(RIBBED, more).look()
    for size in SMALL:
        lines = list(shown(Scene(glance), size))
        told = "\n".join(lines)
        assert "k2tog" in told, (size, told)
        assert "ssk" in told, (size, told)
        assert not [line for line in lines if re.search(r"k\d|times", line) and "..." in line], (
            size,
            told,
        )
