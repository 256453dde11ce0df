"""The row of the repeat that is told is the one that the instep works, wherever leg or foot ended."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.test_repeats_knitted import planned
from tracker.forecast.whole import ends
from tracker.knitting import places
from tracker.knitting.chart_row import chart_row, chart_row_done
from tracker.knitting.decide import Refused
from tracker.knitting.state import Clue
from tracker.pattern.model import Row
from tracker.pattern.notation import colour_of
from tracker.pattern.phase_rows import runs_on

CHART = ["aabb", "abba", "bbaa", "baab", "abab"]
TWO_COLOURS = {
    "gauge.stitches": 32, "gauge.rows": 35, "foot.circumference": "23 cm", "foot.length": "25 cm",
    "foot.fabric": "as the leg", "leg.fabric": "stranded", "leg.repeat": CHART,
    "colours.leg": ["a navy", "b cream"], "colours.heel": "rust",
}  # fmt: skip
LACE = {
    "gauge.rows": 43, "foot.length": "25 cm", "foot.fabric": "as the leg", "leg.length": "15 cm",
    "leg.fabric": "repeat",
    "leg.repeat": ["k1, yo, ssk, k3, k2tog, yo", "k8", "k2, yo, ssk, k1, k2tog, yo, k1", "k8"],
}  # fmt: skip
UP = {"direction": "toe-up"}
CHARTED = [
    UP | TWO_COLOURS | {"needles.set": "four", "colours.toe": "rust", "toe.feet": "left and right"},
    UP | TWO_COLOURS | {"needles.set": "two circulars", "heel.kind": "wrapped", "toe.kind": "round"},
    UP | TWO_COLOURS | {"heel.kind": "afterthought"},
    UP | TWO_COLOURS | {"heel.kind": "double-stitch"},
    TWO_COLOURS,
    TWO_COLOURS | {"needles.set": "two circulars", "heel.kind": "wrapped"},
    TWO_COLOURS | {"heel.kind": "afterthought"},
]  # fmt: skip
LACES = [UP | LACE | {"toe.kind": "star"}, LACE]


def colours(row: Row) -> str:
    """The letters of the instep's stitches, in the order in which they are worked."""
    first = row.needles[:1] if len(row.needles) == 2 else row.needles[1:-1]
    at = row.needles.index(first[0])
    pairs = zip(first, row.before[at:], strict=False)
    return "".join(
        colour_of(run.stitch) * run.times for needle, live in pairs for run in runs_on(needle, live)
    )


def rounds_shown(knitter: Knitter, off: int) -> Iterator[tuple[str, int, Row]]:
    """(Section, chart row told, row) of a sock whose leg, or foot, ended so many rounds from its plan."""
    begins = knitter.course.pattern.repeat_begins
    assert begins is not None
    while not knitter.sock().finished:
        sock = knitter.sock()
        course = knitter.course.of(sock)
        here = course.sections[sock.section]
        if told := chart_row(course, sock):
            yield here.kind, told, course.row(sock.section, sock.rows)
        end = here.planned + (off if sock.section == begins else 0)
        if here.goal is not None and course.number(sock.section, sock.rows) == end:
            knitter.do("end")
        else:
            knitter.tick()


@pytest.mark.parametrize("off", [0, -7, 3])
@pytest.mark.parametrize("fields", CHARTED)
def test_the_row_told_is_the_one_that_the_instep_works(fields: dict[str, object], off: int) -> None:
    """In a section the chart lies in one place on the instep: the same stitches of it in every round."""
    shown: dict[str, list[tuple[int, str]]] = {}
    for kind, told, row in rounds_shown(Knitter(planned(fields)), off):
        shown.setdefault(kind, []).append((told, colours(row)))
    for kind in {"leg", "foot", "gusset"} & shown.keys():
        rounds = shown[kind]
        assert {told for told, _ in rounds} == {1, 2, 3, 4, 5}
        lies = [at for at in range(4) if all(_on(CHART[told - 1], at, on) for told, on in rounds)]
        assert len(lies) == 1, kind


def _on(row: str, at: int, instep: str) -> bool:
    """Whether an instep is a row of the chart over and over, from that stitch of it on."""
    return instep == (row * len(instep))[at : at + len(instep)]


@pytest.mark.parametrize("off", [0, 2, -3])
@pytest.mark.parametrize("fields", [*CHARTED[:2], CHARTED[4], *LACES])
def test_a_whole_repeat_ends_where_the_next_round_works_row_one(
    fields: dict[str, object], off: int
) -> None:
    knitter = Knitter(planned(fields))
    for kind, _, _ in rounds_shown(knitter, off):
        sock = knitter.sock()
        course = knitter.course.of(sock)
        here = course.sections[sock.section]
        if kind not in ("leg", "foot") or sock.rows != 9:
            continue
        for goal in range(-3, here.planned + 8):
            found = ends(course, knitter.state, 1, goal)
            assert found.what == "repeat"
            for row in found.rows:
                after = sock._replace(rows=here.rows_to(row))
                assert chart_row(course, after) == 1
            assert len(found.rows) == 1 or found.rows[0] < goal < found.rows[1]
            assert found.rows[-1] >= goal
            assert found.rows[0] > goal - here.cycle


@pytest.mark.parametrize("fields", [CHARTED[0], CHARTED[1], CHARTED[4], LACES[0]])
def test_the_chart_s_row_says_where_she_is_by_the_same_count(fields: dict[str, object]) -> None:
    knitter = Knitter(planned(fields))
    for kind, told, _ in rounds_shown(knitter, -3):
        sock = knitter.sock()
        if kind not in ("leg", "foot") or sock.rows not in (1, 2, 20):
            continue
        course = knitter.course.of(sock)
        done = chart_row_done(course, sock.ended, sock.section, sock.rows)
        cycle = course.sections[sock.section].cycle
        assert done == (told - 2) % cycle + 1
        found = places.along(knitter.course, knitter.state, 1, places.Seen(Clue(chart=done)))
        assert (sock.section, sock.rows) == (found[0].section, found[0].rows)


def test_a_row_of_the_chart_that_was_not_the_last_does_not_agree() -> None:
    """After the set-up round, which works row 1, round 1 of this foot works row 2."""
    knitter = Knitter(planned(CHARTED[0]))
    while knitter.look().place.kind != "foot":
        knitter.tick()
    knitter.tick(2)
    assert knitter.look().chart_row == 3
    there = places.along(knitter.course, knitter.state, 1, places.Seen(Clue(chart=1)))
    assert knitter.sock().rows not in {place.rows for place in there}


@pytest.mark.parametrize("fields", CHARTED[:1])
def test_a_chart_has_no_row_beyond_its_last(fields: dict[str, object]) -> None:
    knitter = Knitter(planned(fields))
    while knitter.look().place.kind != "foot":
        knitter.tick()
    with pytest.raises(Refused, match="write 1 to 5"):
        knitter.do("count", chart=6)
