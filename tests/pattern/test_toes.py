"""Graduated, star and round toes: their rounds, on every set of needles, by reader and loom.

Common practice, no source, where no other is named. More of them are knitted on demand, every number of
stitches with every toe on every set (2,712 socks, a minute):

    SWEEP=pairs .venv/bin/python -m pytest tests/pattern/test_toes.py
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from itertools import pairwise, product
from typing import Any

import pytest

from tests.pattern.choices import TOES
from tests.pattern.making import computed, on_needles, plan_of, section, sock, written
from tracker.pattern import toes
from tracker.pattern.audit import audit, knitted
from tracker.pattern.model import LATE_HEEL, Pattern
from tracker.pattern.notation import read_row, runs
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern
from tracker.pattern.toes import Paced, graduated, round_toe, star

KINDS = tuple(kind for kind in TOES if kind != "wedge")
SETS = {"five": 4, "four": 3, "two circulars": 2, "long circular": 2, "short circular": 4}
"""The sets of needles, and on how many of them a toe lies."""


def made_with(kind: str, **fields: Any) -> Pattern:
    given = {place.replace("__", "."): value for place, value in fields.items()}
    return sock({"toe.kind": kind, "foot.length": "34 cm", **given})


def decreases(made: Paced) -> list[int]:
    return [number for number in range(1, made.rounds + 1) if made.decreases(number)]


# The shape


@pytest.mark.parametrize(("stitches", "rounds"), [(64, 24), (60, 23), (32, 16)])
def test_a_graduated_toe_has_ten_plain_rounds(stitches: int, rounds: int) -> None:
    made = graduated(stitches)
    assert (made.end, made.rounds) == (8, rounds)
    assert decreases(made)[:7] == [1, 5, 8, 11, 13, 15, 17][: len(made.plain)]


def test_a_graduated_toe_whose_stitches_four_do_not_divide_ends_with_ten() -> None:
    assert (graduated(66).end, graduated(63).stitches, graduated(63).end) == (10, 62, 10)


@pytest.mark.parametrize(("stitches", "rounds"), [(64, 22), (60, 21)])
def test_a_star_of_four_points(stitches: int, rounds: int) -> None:
    made = star(stitches)
    assert (made.end, made.rounds) == (8, rounds)
    assert made.decreases(1)
    assert not made.decreases(2)


ROUND = {
    # stitches: what each decrease round leaves, and its number
    48: [(1, 40), (5, 32), (9, 24), (12, 16), (14, 8)],
    64: [(1, 56), (5, 48), (9, 40), (13, 32), (17, 24), (20, 16), (22, 8)],
    72: [(1, 64), (5, 56), (9, 48), (13, 40), (17, 32), (21, 24), (24, 16), (26, 8)],
}


@pytest.mark.parametrize("stitches", ROUND)
def test_a_round_toe_of_eight_wedges(stitches: int) -> None:
    rows = section(made_with("round", leg__stitches=stitches), "toe").rows
    assert [(row.number, row.leaves) for row in rows if row.word == "DEC"] == ROUND[stitches]
    assert all(row.word in ("DEC", "PLAIN") for row in rows)
    assert rows[-1].number == round_toe(stitches).rounds


def test_a_round_toe_of_60_goes_to_56_in_its_set_up_round() -> None:
    """19 rounds with it; a set-up round is worked and not counted."""
    toe = section(made_with("round", leg__stitches=60), "toe")
    assert written(toe.rows[0]) == " | ".join(["k13, k2tog"] * 4) + " = 14/14/14/14"
    assert (toe.rows[0].number, toe.planned, len(toe.rows)) == (0, 18, 19)


def test_the_round_toe_of_1939_has_our_decrease_rounds() -> None:
    """Knitting Instructions for Field Comforts, Canadian Red Cross, 1939: 56 to 24, as far as it can be read.

    It knits as many plain rounds as there are stitches between two decreases, and takes five for the first;
    ours stop at three.
    """
    printed = {"*k5, k2tog*": 48, "*k4, k2tog*": 40, "*k3, k2tog*": 32, "*k2, k2tog*": 24}
    rows = section(made_with("round", leg__stitches=56), "toe").rows
    ours = [row for row in rows if row.word == "DEC"][:4]
    told = {f"*{needle.work[1:].partition(';')[0]}*" for row in ours for needle in row.needles}
    assert told == set(printed)
    assert [row.leaves for row in ours] == list(printed.values())


def test_a_graduated_toe_narrows_ever_faster_as_ryders_does() -> None:
    """H. P. Ryder, 1896: 56 stitches, every fourth round three times, every third twice, then every one."""
    ryder = [4, 8, 12, 15, 18, 19, 20, 21, 22, 23]
    ours = decreases(graduated(56))
    for rounds in (ryder, ours):
        apart = [then - now for now, then in pairwise(rounds)]
        assert apart == sorted(apart, reverse=True)
        assert (apart[0], apart[-1]) == (4, 1)


# Row by row


def test_a_star_on_every_set() -> None:
    quarter, two = "k to last 2, k2tog", "*k14, k2tog; rep from * to end"
    first = {
        needles: written(section(made_with("star", needles__set=needles), "toe").rows[0])
        for needles in SETS
    }
    assert first == {
        "five": f"{quarter} | {quarter} | {quarter} | {quarter} = 15/15/15/15",
        "four": f"{quarter} | {two} | {quarter} = 15/30/15",
        "two circulars": f"{two} | {two} = 30/30",
        "long circular": f"{two} | {two} = 30/30",
        "short circular": f"{quarter} | {quarter} | {quarter} | {quarter} = 15/15/15/15",
    }


@pytest.mark.parametrize(
    ("stitches", "begins", "set_up"),
    [
        (65, "17/16/16/16", "k15, k2tog | k | k | k"),
        (66, "17/16/17/16", "k15, k2tog | k | k15, k2tog | k"),
        (67, "17/17/17/16", "k15, k2tog | k15, k2tog | k15, k2tog | k"),
    ],
)
def test_a_star_of_what_four_do_not_divide(stitches: int, begins: str, set_up: str) -> None:
    """The larger half has the odd stitch: the instep where the heel is half, the sole of 65 as told."""
    heel = 33 if stitches == 65 else None
    toe = section(made_with("star", leg__stitches=stitches, heel__stitches=heel), "toe")
    assert "/".join(map(str, toe.starts)) == begins
    assert written(toe.rows[0]) == f"{set_up} = 16/16/16/16"


def test_what_is_left_is_drawn_up_in_one_row() -> None:
    made = made_with("star")
    assert made.numbers.graft_stitches is None
    last = made.sections[-1]
    assert (last.name, last.kind, last.worked, last.starts) == (
        "draw up", "draw up", "rows", (2, 2, 2, 2),
    )  # fmt: skip
    assert written(last.rows[0]) == "RS: draw up 2 | draw up 2 | draw up 2 | draw up 2 = 0/0/0/0"
    assert last.rows[0].worked == 0


def test_a_longer_toe_makes_a_shorter_foot() -> None:
    rounds = {
        kind: (
            sock({"toe.kind": kind}).numbers.foot_rounds,
            sock({"toe.kind": kind}).numbers.toe_rounds,
        )
        for kind in ("wedge", *KINDS)
    }
    assert {foot + toe for foot, toe in rounds.values() if foot and toe} == {83}


# Refused


@pytest.mark.parametrize("kind", KINDS)
def test_left_and_right_is_of_a_wedge_alone(kind: str) -> None:
    with pytest.raises(
        WillNotWork, match=f"a {kind} toe is the same on either foot; write feet = "
    ):
        computed({"toe.kind": kind, "toe.feet": "left and right"})


def test_a_foot_too_small_for_a_round_toe() -> None:
    small = {"toe.kind": "round", "leg.stitches": 14, "cuff.rib": "k1p1", "foot.length": "20 cm"}
    with pytest.raises(
        WillNotWork, match='a round toe; write kind = "star", or at least 16 stitches'
    ):
        computed(small)
    assert audit(computed(small | {"toe.kind": "star"}).document) == ()


# Every number of stitches


def every_toe() -> Iterator[dict[str, Any]]:
    """Every number of stitches with every toe on every set, heels a stitch off the half among them."""
    for stitches, kind, needles in product(range(20, 133), KINDS, SETS):
        heel = stitches // 2 + (stitches + len(kind)) % 3 - 1
        yield {
            "leg.stitches": stitches, "toe.kind": kind, "needles.set": needles, "heel.stitches": heel,
            "foot.length": "34 cm",
        }  # fmt: skip


ALL = list(every_toe())
SLICE = ALL if os.environ.get("SWEEP") in ("pairs", "all") else ALL[::17]


def check(given: dict[str, Any]) -> None:
    """Everything that is true of any such toe."""
    made = computed(given)
    pattern = read_pattern(made.document, "")
    assert audit(made.document) == ()
    rows = [row for part in pattern.sections for row in part.rows]
    assert [row.worked for row in rows] == [row.made for row in knitted(made.document)]
    toe, last = section(pattern, "toe"), pattern.sections[-1]
    shape = toes.toe_over(given["toe.kind"], given["leg.stitches"])
    assert toe.planned == shape.rounds == pattern.numbers.toe_rounds
    assert (sum(last.starts), last.rows[-1].leaves) == (shape.end, 0)
    assert len(toe.starts) == SETS[given["needles.set"]]
    assert sum(toe.rows[0].before) == given["leg.stitches"]
    for row in toe.rows:
        taken = sum(row.before) - row.leaves
        assert taken in (0, shape.pointed or 4) or row.number == 0
        if shape.pointed and row.number and taken:
            check_points(row.before, [needle.work for needle in row.needles], shape.pointed)


def check_points(before: tuple[int, ...], works: list[str], points: int) -> None:
    """As far from one decrease to the next all round, and none across two needles."""
    apart, between, found = sum(before) // points, 0, []
    for held, work in zip(before, works, strict=True):
        made, left = runs(read_row(work).segments[0], held)
        assert left == 0
        for run in made:
            for _ in range(run.times):
                between += 1 if run.stitch == "k" else 2
                if run.stitch == "k2tog":
                    found.append(between)
                    between = 0
    assert (found, between) == ([apart] * points, 0)


@pytest.mark.parametrize("start", range(20, 133, 29))
def test_toes_of_every_number_of_stitches(start: int) -> None:
    here = [given for given in SLICE if start <= given["leg.stitches"] < start + 29]
    for given in here:
        try:
            check(given)
        except AssertionError as wrong:
            raise AssertionError(f"{given}: {wrong}") from wrong
    assert {given["toe.kind"] for given in here} == set(KINDS)


def test_a_set_up_round_is_spread_over_the_round() -> None:
    """No two of its decreases are nearer than half of what they would be, were there no needles."""
    for stitches in range(57, 64):
        toe = section(made_with("round", leg__stitches=stitches, needles__set="four"), "toe")
        over, at, places = stitches - 56, 0, []
        for needle, held in zip(toe.rows[0].needles, toe.rows[0].before, strict=True):
            for run in runs(read_row(needle.work).segments[0], held)[0]:
                for _ in range(run.times):
                    at += 2 if run.stitch == "k2tog" else 1
                    places += [at] if run.stitch == "k2tog" else []
        assert len(places) == over
        around = [then - now for now, then in pairwise([*places, places[0] + stitches])]
        assert min(around) >= stitches / over / 2 - 1, (stitches, places)


def test_the_plan_takes_every_toe() -> None:
    assert [plan_of({"toe.kind": kind}).of("toe.kind") for kind in KINDS] == list(KINDS)
    assert on_needles(section(made_with("round"), "toe").rows[-1]) == "2/2/2/2"


@pytest.mark.parametrize("kind", ["wedge", "star", "round", "graduated"])
@pytest.mark.parametrize(
    "fields",
    [
        {"foot.stitches": 60}, {"foot.stitches": 62}, {"foot.stitches": 64},
        {"leg.stitches": 63, "cuff.rib": "k2p1"}, {"heel.kind": "afterthought"},
        {"heel.kind": "afterthought", "leg.stitches": 60},
    ],
    ids=str,
)  # fmt: skip
def test_every_round_that_is_knitted_of_toe_and_heel_is_of_the_foot(
    kind: str, fields: dict[str, Any]
) -> None:
    """The round that makes a toe's stitches even, and that of a late heel's corners, are as long as any."""
    made = sock({**fields, "toe.kind": kind, "foot.length": "25 cm", "gauge.rows": 40})
    foot, toe = section(made, "foot"), section(made, "toe")
    late = [there.planned for there in made.sections if there.kind == LATE_HEEL]
    gusset = [there.planned for there in made.sections if there.kind == "gusset"]
    turn = [there.planned + 1 for there in made.sections if there.kind == "turn"]
    # Of a late heel the pick-up is no round of its own, and the one with the waste yarn is another place.
    rows = foot.planned + sum(gusset) + len(toe.rows) + sum(turn) + sum(late)
    assert abs(rows * 2.5 - 250 * 0.95) <= 1.25
