"""The audit knits what is written: right patterns pass, wrong ones are named with their row."""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.pattern.mutants import counts, mutants
from tracker.pattern.audit import Problem, audit, knitted
from tracker.storage.pattern_file import open_file

SAMPLES = sorted((Path(__file__).parents[2] / "sample_projects").glob("*.toml"))


def _section(
    worked: str, needles: list[int] | None, rows: list[str], **more: Any
) -> dict[str, Any]:
    table = {"name": "piece", "worked": worked, "needles": needles, "rows": rows, **more}
    return {key: value for key, value in table.items() if value is not None}


def _document(*sections: dict[str, Any]) -> dict[str, Any]:
    return {"section": list(sections)}


def _problems(*sections: dict[str, Any]) -> list[str]:
    return [f"{found.row}: {found.problem}" for found in audit(_document(*sections))]


def _left(*sections: dict[str, Any]) -> list[tuple[int, ...]]:
    return [row.needles for row in knitted(_document(*sections))]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_samples_are_knitted_to_the_last_stitch(sample: Path) -> None:
    opened = open_file(str(sample))
    assert audit(opened.document) == ()
    rows = list(knitted(opened.document))
    if "numbers" not in opened.document:
        return  # of one by hand an open section has as many rounds as its length takes
    assert sum(row.made for row in rows) == opened.pattern.numbers.stitches_per_sock
    read = [row for section in opened.pattern.sections for row in section.rows]
    assert [row.made for row in rows] == [row.worked for row in read]


# A sock of 64 stitches on a set of five, written by hand: common practice, no source.

PLAIN = "k | k | k | k"
GUSSET_DECREASE = "k to last 3, k2tog, k1 | k | k | k1, ssk, k to end"
TOE_DECREASE = (
    "k to last 3, k2tog, k1 | k1, ssk, k to end | k to last 3, k2tog, k1 | k1, ssk, k to end"
)
SIDES = (26, 25, 25, 24, 24, 23, 23, 22, 22, 21, 21, 20, 20, 19, 19, 18, 18, 17, 17, 16)
"""Stitches on the first and the last needle after gusset rounds 0 to 19."""
AFTER_GUSSET = (84, 82, 82, 80, 80, 78, 78, 76, 76, 74, 74, 72, 72, 70, 70, 68, 68, 66, 66, 64)
EACH = (15, 15, 14, 14, 13, 13, 12, 12, 11, 11, 10, 10, 9, 9, 8, 8, 7, 6, 5, 4)
"""Stitches on every needle after toe rounds 1 to 20."""
AFTER_TOE = (60, 60, 56, 56, 52, 52, 48, 48, 44, 44, 40, 40, 36, 36, 32, 32, 28, 24, 20, 16)
MADE = {
    "cuff": 1408, "leg": 2944, "heel set-up": 16, "flap": 752, "turn": 185, "gusset": 1471,
    "foot": 2816, "toe": 824, "graft": 0,
}  # fmt: skip
"""Stitches made in every section: slipped, rested and grafted ones are not counted."""

TURN_OF_32 = (
    ("RS: sl1, k17, ssk, k1, turn", 31, 11), ("WS: sl1, p5, p2tog, p1, turn", 30, 11),
    ("RS: sl1, k6, ssk, k1, turn", 29, 9), ("WS: sl1, p7, p2tog, p1, turn", 28, 9),
    ("RS: sl1, k8, ssk, k1, turn", 27, 7), ("WS: sl1, p9, p2tog, p1, turn", 26, 7),
    ("RS: sl1, k10, ssk, k1, turn", 25, 5), ("WS: sl1, p11, p2tog, p1, turn", 24, 5),
    ("RS: sl1, k12, ssk, k1, turn", 23, 3), ("WS: sl1, p13, p2tog, p1, turn", 22, 3),
    ("RS: sl1, k14, ssk, k1, turn", 21, 1), ("WS: sl1, p15, p2tog, p1, turn", 20, 1),
    ("RS: sl1, k16, ssk, turn", 19, 0), ("WS: sl1, p16, p2tog, turn", 18, 0),
)  # fmt: skip
"""The turn that begins on the right side: each row, the stitches after it, those left unworked."""


def _other_side(row: str) -> str:
    """The same row worked from the other side."""
    if row.startswith("RS"):
        return row.replace("RS", "WS").replace("ssk", "p2tog").replace("k", "p")
    return row.replace("WS", "RS").replace("p2tog", "ssk").replace(" p", " k")


def _sock_of_64() -> dict[str, Any]:
    quarters, resting = [16, 16, 16, 16], [16, 16]
    turn = [f"{_other_side(row)} = {total}" for row, total, _ in TURN_OF_32]
    gusset = [
        f"{PLAIN if one == other else GUSSET_DECREASE} = {other}/16/16/{other}"
        for one, other in pairwise(SIDES)
    ]
    toe = [
        f"{PLAIN if one == other else TOE_DECREASE} = {other}/{other}/{other}/{other}"
        for one, other in pairwise((16, *EACH))
    ]
    flap = ["WS: sl1, p31, turn = 32", "RS: [sl1, k1] 16 times, turn = 32"]
    pick_up = "rest 9, pick up 17 | k | k | pick up 17, k9 = 26/16/16/26"
    sections = [
        _section("rounds", quarters, ["*k2, p2; rep from * to end = 64"], repeat=22),
        _section("rounds", quarters, [PLAIN], planned=46, until="16 cm"),
        _section("rows", quarters, ["RS: k16, turn = 32"]),
        _section("rows", [32], flap, repeat=16, resting=resting),
        _section("rows", [32], turn, resting=resting),
        _section("rounds", [9, 16, 16, 9], gusset, set_up=pick_up),
        _section("rounds", quarters, [f"{PLAIN} = 64"], planned=44, until="23.3 cm"),
        _section("rounds", quarters, toe),
        _section("rows", [8, 8], ["RS: graft 8 | graft 8 = 0/0"]),
    ]
    for name, section in zip(MADE, sections, strict=True):
        section["name"] = section["kind"] = name
    return _document(*sections)


def test_the_sock_of_64_is_knitted_from_cuff_to_graft() -> None:
    assert audit(_sock_of_64()) == ()
    rows = list(knitted(_sock_of_64()))
    made = {
        name: sum(row.made for row in of) for name, of in groupby(rows, lambda row: row.section)
    }
    assert made == MADE
    assert sum(made.values()) == 10_416


def test_the_needles_of_its_gusset_and_toe() -> None:
    rows = list(knitted(_sock_of_64()))
    gusset = [row for row in rows if row.section == "gusset"]
    assert [row.row for row in gusset] == list(range(20))
    assert [row.needles for row in gusset] == [(side, 16, 16, side) for side in SIDES]
    assert tuple(sum(row.needles) for row in gusset) == AFTER_GUSSET
    toe = [row for row in rows if row.section == "toe"]
    assert [row.needles for row in toe] == [(each,) * 4 for each in EACH]
    assert tuple(sum(row.needles) for row in toe) == AFTER_TOE


def test_its_turn_begun_on_the_right_side() -> None:
    rows = [f"{row} = {total}" for row, total, _ in TURN_OF_32]
    assert _problems(_turn(32, rows)) == []
    assert _left(_turn(32, rows)) == [(total,) for _, total, _ in TURN_OF_32]


# Wrong on purpose


def _wronged(document: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """The document with one row made wrong such that a count is altered: the row, the document."""
    rows = knitted(document)
    for place, table in enumerate(document["section"]):
        texts: list[tuple[str, int | None, str]] = []
        texts += [("set_up", None, table["set_up"])] if "set_up" in table else []
        texts += [("rows", n, text) for n, text in enumerate(table["rows"])]
        held, waiting = tuple(table["needles"]), 0
        for key, position, text in texts:
            # What the row before left unworked lies behind the point, out of reach.
            reach = (held[0] - waiting,) if waiting else held
            right = counts(text, reach)
            assert right is not None, text
            for wrong in mutants(text):
                if counts(wrong, reach) != right:
                    yield wrong, _with(document, place, key, position, wrong)
            held, waiting = next(rows).needles, right.unworked
            waiting = waiting if table.get("kind") == "turn" else 0
        for _ in range(len(texts), _times(table)):
            next(rows)


def _times(table: dict[str, Any]) -> int:
    rows = table.get("planned", len(table["rows"]) * table.get("repeat", 1))
    return int(rows) + ("set_up" in table)


def _with(
    document: dict[str, Any], place: int, key: str, position: int | None, text: str
) -> dict[str, Any]:
    table = dict(document["section"][place])
    rows = table["rows"]
    table[key] = text if position is None else [*rows[:position], text, *rows[position + 1 :]]
    return _document(*document["section"][:place], table, *document["section"][place + 1 :])


def test_every_row_of_the_sock_made_wrong_is_rejected_where_it_is_wrong() -> None:
    tried = 0
    for wrong, document in _wronged(_sock_of_64()):
        found = audit(document)
        assert found, wrong
        first, changed = found[0], _place_of(document)
        assert (first.section_index, first.key, first.position) >= changed, (wrong, first)
        assert first.section_index <= changed[0] + 1, (wrong, first)
        tried += 1
    assert tried > 450


def _place_of(document: dict[str, Any]) -> tuple[int, str, int]:
    """Where a document differs from the sock of 64."""
    right = _sock_of_64()["section"]
    for place, (table, other) in enumerate(zip(document["section"], right, strict=True)):
        if table.get("set_up") != other.get("set_up"):
            return place, "", 0
        for position, (text, had) in enumerate(zip(table["rows"], other["rows"], strict=True)):
            if text != had:
                return place, "rows", position
    raise AssertionError("nothing differs")


def test_mutants_are_wrong_in_every_way() -> None:
    assert list(mutants("k3, k2tog | k1 = 4/1")) == [
        "k2, k2tog | k1 = 4/1", "k4, k2tog | k1 = 4/1",
        "k3, k2tog | k0 = 4/1", "k3, k2tog | k2 = 4/1",
        "k3, k2tog, k2tog | k1 = 4/1", "k3 | k1 = 4/1",
        "k1 | k3, k2tog = 4/1",
    ]  # fmt: skip
    assert list(mutants("RS: ssk, turn = 1")) == [
        "RS: ssk, ssk, turn = 1", "RS: turn = 1", "RS: ssk = 1",
    ]  # fmt: skip


# Published heels. Each row of a turn is knitted over the heel stitches alone.


def _turn(heel: int, rows: list[str]) -> dict[str, Any]:
    return _section("rows", [heel], rows, kind="turn")


RYDER = [
    "RS: sl1, k15, k2tog, k1, turn = 27", "WS: sl1, p5, p2tog, p1, turn = 26",
    "RS: sl1, k6, k2tog, k1, turn = 25", "WS: sl1, p7, p2tog, p1, turn = 24",
    "RS: sl1, k8, k2tog, k1, turn = 23", "WS: sl1, p9, p2tog, p1, turn = 22",
    "RS: sl1, k10, k2tog, k1, turn = 21", "WS: sl1, p11, p2tog, p1, turn = 20",
    "RS: sl1, k12, k2tog, k1, turn = 19", "WS: sl1, p13, p2tog, p1, turn = 18",
    "RS: sl1, k14, k2tog, turn = 17", "WS: sl1, p14, p2tog, turn = 16",
]  # fmt: skip
"""H. P. Ryder, Cycling and Shooting Knickerbocker Stockings, Macmillan 1896, stocking no. 1
(Project Gutenberg 37456): 28 heel stitches to 16."""


def test_ryder_1896_is_knitted() -> None:
    assert _problems(_turn(28, RYDER)) == []


def test_ryder_1896_heel_and_gusset_close_the_ring_again() -> None:
    """28 of heel, 29 of instep; 30 rows; 17 picked up on each edge and two instep stitches moved on
    to each sole needle make 27/25/27; eleven decrease rounds, the first four one after another."""
    rows = ["RS: sl1, k27", "WS: sl1, p27"]
    flap = _section("rows", [28], rows, repeat=15, kind="flap", resting=[15, 14])
    decrease = "k to last 3, k2tog, k1 | k | k1, ssk, k to end"
    gusset = _section(
        "rounds", [10, 25, 10], ["k | k | k", decrease],
        # The turn ends on the wrong side: half of the heel is knitted before the round begins.
        set_up="rest 8, pick up 17, k2 | k | k2, pick up 17, k8 = 27/25/27",
        first=[decrease] * 4, repeat=7,
    )  # fmt: skip
    turn = _section("rows", None, [*RYDER, "RS: k = 16"])
    pieces = (_section("rounds", [57], ["k"]), flap, turn, gusset)
    assert _problems(*pieces) == []
    left = _left(*pieces)
    assert left[-18:][3] == (23, 25, 23)
    assert left[-1] == (16, 25, 16)


def test_us_red_cross_is_knitted() -> None:
    """American Red Cross, New Red Cross Directions for Socks, c. 1917-1918 (transcribed at
    fibergypsy.com): no slipped stitch; rows after the second follow the printed repeat."""
    assert _problems(_turn(28, RED_CROSS)) == []


RED_CROSS = [
    "RS: k15, k2tog, k1, turn = 27", "WS: p4, p2tog, p1, turn = 26",
    "RS: k5, k2tog, k1, turn = 25", "WS: p6, p2tog, p1, turn = 24",
    "RS: k7, k2tog, k1, turn = 23", "WS: p8, p2tog, p1, turn = 22",
    "RS: k9, k2tog, k1, turn = 21", "WS: p10, p2tog, p1, turn = 20",
    "RS: k11, k2tog, k1, turn = 19", "WS: p12, p2tog, p1, turn = 18",
    "RS: k13, k2tog, k1, turn = 17", "WS: p14, p2tog, p1, turn = 16",
]  # fmt: skip


@pytest.mark.parametrize("rows", [RYDER, RED_CROSS], ids=["Ryder 1896", "US Red Cross 1917"])
def test_published_turns_made_wrong_are_rejected(rows: list[str]) -> None:
    wronged = list(_wronged(_document(_turn(28, rows))))
    assert len(wronged) > 60
    for wrong, document in wronged:
        assert audit(document), wrong


def test_a_turn_without_claims_must_bridge_its_gap() -> None:
    bare = [row.partition(" =")[0] for row in RYDER]
    assert _problems(_turn(28, bare)) == []
    bare[6] = "RS: sl1, k11, k2tog, k1, turn"
    assert _problems(_turn(28, bare))[0] == "7: the decrease does not bridge the gap"


def test_published_errors_are_rejected_with_their_row() -> None:
    """Heel turns published with wrong arithmetic, as collected from pattern pages."""
    # socknitters.com/PATTERNS/nancybasic.htm: 24 stitches, lop-sided in row 2 (k6 for k5).
    nancy = ["WS: p14, p2tog, p1, turn", "RS: sl1, k6, k2tog, k1, turn"]
    assert _problems(_turn(24, nancy)) == [
        "2: the turn is lop-sided: 7 stitches are left on one side, 6 on the other"
    ]
    # meowmom.blogspot.com/2007/02/crusoe-update.html: p3 where the knitter found p5 was needed. The
    # page does not say of how many stitches: 24 are the fewest that leave as many with p5.
    crusoe = ["RS: k14, ssk, k1, turn", "WS: sl1, p3, p2tog, p1, turn"]
    assert [line[:1] for line in _problems(_turn(24, crusoe))] == ["2"]
    assert _problems(_turn(24, [crusoe[0], "WS: sl1, p5, p2tog, p1, turn"])) == []
    # sites.google.com/site/fayefamilyrecipes: 22 stitches, the middle is 9 with 5 and 6 beside it.
    faye = ["RS: sl1, k14, k2tog, turn", "WS: sl1, p7, p2tog, turn"]
    assert _problems(_turn(22, faye)) == [
        "2: the turn is lop-sided: 5 stitches are left on one side, 6 on the other"
    ]


def test_a_misprint_of_cupples_is_found_where_the_heel_begins() -> None:
    """Mrs. George Cupples, The Stocking-Knitter's Manual, Johnstone, Hunter & Co., Edinburgh,
    c. 1867 (Project Gutenberg 57273), 2-3 years, merino: 112 + 2 - 28 are 86 at the ankle, two
    sides of 22, a seam stitch and a front of 45 are 90."""
    ankle = _section("rounds", [112], ["M1 2, k2tog 28, k to end = 86"])
    heel = _section("rows", [45], ["RS: k"], resting=[45])
    assert _problems(ankle, heel) == ["None: 86 stitches are there, the section begins with 90"]


def test_a_round_toe_by_hand_is_knitted() -> None:
    """Canadian Red Cross, Knitting Instructions for Field Comforts, 1939: *k5, k2tog* over 56
    stitches leaves 48, then 40, 32, 24."""
    crown = [f"*k{n}, k2tog; rep from * to end = {8 * (n + 1)}" for n in (5, 4, 3, 2)]
    assert _problems(_section("rounds", [19, 18, 19], crown)) == []


# Single rules


@pytest.mark.parametrize(
    ("section", "problem"),
    [
        (_section("rounds", [8, 8], ["k7 | k = 16"]), "1: 1 stitch is left unworked on needle 1"),
        (_section("rounds", [8, 8], ["k | k2tog, k = 16"]), "1: it leaves 15, the claim says 16"),
        (_section("rounds", [8, 8], ["k | k2tog, k = 8/8"]), "1: it leaves 8/7, the claim says 8/8"),
        (_section("rounds", [8, 8], ["k | k = 8/4/4"]), "1: it leaves 8/8, the claim says 8/4/4"),
        (_section("rounds", [8, 8], ["k | k | k"]), "1: 3 needles are written, 2 hold stitches"),
        (_section("rounds", [8], ["k9"]), "1: k9 takes 9 stitches, 8 are there"),
        (_section("rounds", [8], ["*k2, p1; rep from * to end"]), "1: the repeat does not come out: 2"),
        (_section("rounds", [9, 7], ["k2tog to end"]), "1: a decrease lies across two needles"),
        (_section("rounds", [8, 8], ["k7, k2tog | k7 = 8/7"]), "1: k2tog takes 2 stitches, 1 is"),
        (_section("rounds", [9], ["k2tog to end, k"]), "1: k2tog does not divide 9 stitches"),
        (_section("rounds", [8], ["k4, turn"]), "1: a round does not turn"),
        (_section("rounds", [8], ["RS: k"]), "1: a round has no RS"),
        (_section("rounds", [8, 8], [" | "]), "1: no stitch is worked in it"),
        (_section("rows", [8], ["k"]), "1: a flat row says its side"),
        (_section("rows", [8], ["RS: k", "RS: k"]), "2: the work lies WS up, the row says RS"),
        (_section("rows", [8], ["RS: k4 = 8"]), "1: 4 stitches are left unworked on the needle"),
        (_section("rows", [8], ["RS: k4, turn", "WS: p5"]), "2: p5 takes 5 stitches, 4 are there"),
        (_section("rows", [8], ["RS: k4, turn, k4"]), "1: something stands after a turn"),
        (_section("rows", [8], ["RS: [k4, turn] 2 times"]), "1: a turn stands in a repeat"),
        (_section("rounds", [8], ["knit"]), '1: "knit" is not known'),
        (_section("rounds", [8], ["k, C0F"]), '1: "C0F" is not known'),
        (_section("rounds", [8], ["[] 3 times, k"]), "1: there is nothing to repeat"),
        (_section("rounds", [8], ["*; rep from * to end"]), "1: there is nothing to repeat"),
        (_section("rounds", [8], ["k to last 9, k9"]), "1: 8 stitches are left, fewer than 9"),
        (_section("rounds", [8], ["k ="]), '1: "k =" cannot be read'),
        (_section("rounds", [8], [7]), "1: this row is not a text"),  # type: ignore[list-item]
        (_section("rounds", [8], ["k2tog, k = 7"], repeat=2), "2: it leaves 6, the claim says 7"),
        (_section("rounds", [8], ["k2tog, k = 7"], until="5 cm"), "None: worked once the rows go from 8"),
        (_section("rows", [8], ["RS: sl1, k7, turn"], kind="flap"), "None: the edges have 1 and 0"),
        (
            _section("rows", [8], ["RS: sl1, k6, turn", "WS: sl1, p7"], kind="flap"),
            "1: of the flap 1 stitch is left unworked",
        ),
        (
            _section("rows", [9, 7], ["RS: graft 9 | graft 7 = 0/0"], kind="graft"),
            "None: 9 and 7 stitches cannot be grafted together",
        ),
        (_section("rows", [9, 9], ["RS: graft 9 | graft 8"], kind="graft"), "1: 1 stitch is left"),
        (_section("flat", [8], ["k"]), "None: it is not said how it is worked"),
        (_section("rounds", [8], []), "None: it has no rows"),
        (_section("rounds", [8], ["k"], first="k"), "None: first is a list of rows"),
        (_section("rounds", [], ["k"]), "None: needles are counts of stitches"),
        (_section("rounds", None, ["k"]), "None: it is not known what is on the needles"),
        (_section("rounds", [8], ["k"], repeat=0), "None: repeat is no whole number from 1 to 5000"),
        (_section("rounds", [8], ["k"], planned=True), "None: planned is no whole number from 1 to"),
        (_section("rounds", [8], ["k"], first=["k", "k"], planned=1), "None: planned is less than"),
        (_section("rounds", [8], ["k"], until=15), "None: until is no length"),
        (_section("rounds", [8], ["k"], until="soon"), "None: until is no length"),
        (_section("rounds", [8, 8], ["k"], names=["N1", 2]), "None: names are a list of texts"),
        (_section("rounds", [8, 8], ["k"], names=["N1"]), "None: names are not one for each of 2"),
        (_section("rounds", [8, 8], ["k"], names=["A", "A"]), "None: names are not one for each"),
        (_section("rounds", [8], ["k"], name=" "), "None: the section has no name"),
    ],
)  # fmt: skip
def test_a_wrong_row_is_named(section: dict[str, Any], problem: str) -> None:
    assert _problems(section)[0].startswith(problem)
    assert all(found.instead for found in audit(_document(section)))


@pytest.mark.parametrize(
    ("section", "left"),
    [
        (_section("rounds", [16], ["*k2, p2; rep from * 3 times = 16"]), (16,)),
        (_section("rounds", [16], ["[k2, p2] 4 times"]), (16,)),
        (_section("rounds", [16], ["(k2, p2) x 4"]), (16,)),
        (_section("rounds", [16], ["[k2, [p1] x 2] x 4"]), (16,)),
        (_section("rounds", [17], ["k1, *k2, p2; rep from * to last 4, k4"]), (17,)),
        (_section("rounds", [10, 6], ["k2tog to end"]), (5, 3)),
        (_section("rounds", [9, 7], ["k2tog to end = 5/3"]), (5, 3)),
        (_section("rounds", [1, 1, 6], ["sk2p, k = 1/0/5"]), (1, 0, 5)),
        (_section("rounds", [2, 2], ["k2, M1, k2"]), (2, 3)),
        (_section("rounds", [8], ["k4, M1, k to end, yo"]), (10,)),
        (_section("rounds", [9], ["sk2p, k3tog, s2kp = 3"]), (3,)),
        (_section("rounds", [8], ["kfb, C4F, pfb, k"]), (10,)),
        (_section("rounds", [8], ["k tbl to end"]), (8,)),
        (_section("rounds", [8], ["*k1tbl, p1; rep from * to end"]), (8,)),
        (_section("rounds", [8], ["k2tog tbl, ssp tbl, k4 = 6"]), (6,)),
        (_section("rounds", [8], ["BO all"]), (0,)),
        (_section("rounds", [8], ["BO 6, CO 2,\n  pick  up 3, k"]), (7,)),
        (_section("rounds", [8, 8], ["| k"]), (8, 8)),
        (_section("rows", [8], ["RS: k5, w&t", "WS: p3, w&t", "RS: k"]), (8,)),
        (_section("rows", [8], ["RS: k6, turn", "WS: DS, p3, turn", "RS: DS, k5"]), (8,)),
        (_section("rows", [8, 6], ["RS: k2tog, k | k = 7/6", "WS: p2tog, p | p = 5/7"]), (5, 7)),
        (_section("rows", [8, 6], ["RS: k | k3, turn = 8/6", "WS: p3 | p = 6/8"]), (6, 8)),
        (_section("rows", [8, 6], ["RS: k | turn = 8/6", "WS: | p2tog, p = 6/7"]), (6, 7)),
        (_section("rows", [8, 6], ["RS: k", "WS: p2tog, p | p = 5/8", "RS: k | k = 8/5"]), (8, 5)),
        (_section("rows", [8, 6], ["RS: k10, turn", "WS: p4, p2tog, turn"]), (6, 7)),
        (_section("rounds", [8], ["k"], first=["k2tog, k = 7"] * 1, planned=5), (7,)),
    ],
)  # fmt: skip
def test_notation_is_knitted(section: dict[str, Any], left: tuple[int, ...]) -> None:
    assert _problems(section) == []
    assert _left(section)[-1] == left


def test_what_a_turn_leaves_is_out_of_reach() -> None:
    rows = ["RS: k | turn = 8/6", "WS: p = 6/8"]
    made = [row.made for row in knitted(_document(_section("rows", [8, 6], rows)))]
    assert made == [8, 8]
    assert _problems(_section("rows", [8, 6], [rows[0], "WS: p9"])) == [
        "2: p9 takes 9 stitches, 8 are there"
    ]


def test_stitches_made_are_those_of_the_fabric() -> None:
    row = "k1, sl1, k2tog, yo, M1, pick up 3, CO 2, kfb, BO 1, k1"
    made = [row.made for row in knitted(_document(_section("rounds", [7], [row])))]
    assert made == [1 + 0 + 1 + 1 + 1 + 3 + 0 + 2 + 0 + 1]
    grafted = _section("rows", [7, 7], ["RS: graft 7 | graft 7"], kind="graft")
    assert [row.made for row in knitted(_document(grafted))] == [0]


def test_planned_counts_the_first_rows_and_breaks_off_the_cycle() -> None:
    section = _section("rounds", [9], ["k", "p"], first=["k"], planned=4, until="5 cm", set_up="k")
    assert [row.row for row in knitted(_document(section))] == [0, 1, 2, 3, 4]


# Where sections meet

ROUND = _section("rounds", [8, 8], ["k | k"])


def test_a_section_begins_with_what_the_one_before_left() -> None:
    assert _problems(ROUND, _section("rounds", [10, 6], ["k | k = 10/6"])) == []
    assert _problems(ROUND, _section("rounds", None, ["k | k = 8/8"])) == []
    assert _problems(ROUND, _section("rounds", [8, 9], ["k | k"])) == [
        "None: 16 stitches are there, the section begins with 17"
    ]


def test_a_set_up_row_claims_the_heel_needle_or_all_stitches() -> None:
    heel = _section("rows", [8], ["WS: p"], resting=[8])
    for claim in (8, 16):
        assert _problems(_section("rows", [4, 4, 4, 4], [f"RS: k4, turn = {claim}"]), heel) == []
    assert _problems(_section("rows", [8, 8], ["RS: k8, turn = 8"]), heel) == []
    wrong = _section("rows", [4, 4, 4, 4], ["RS: k3, turn = 8"])
    assert _problems(wrong, heel) == ["1: the turn after 3 stitches stands inside a needle"]
    assert _problems(wrong | {"rows": ["RS: k4, turn = 9"]}, heel) == [
        "1: it leaves 16, the claim says 9"
    ]


def test_sides_go_on_over_sections() -> None:
    flap = _section("rows", [8], ["RS: k"])
    assert _problems(flap, _section("rows", None, ["WS: p"])) == []
    assert _problems(flap, _section("rows", None, ["RS: k"])) == [
        "1: the work lies WS up, the row says RS"
    ]
    # Between rounds and rows she may turn first: what she has just knitted comes next.
    turned = _section("rows", [8], ["WS: p"], resting=[8])
    assert _problems(ROUND, turned) == []
    assert _problems(ROUND, turned | {"rows": ["RS: k"]}) == []
    half = _section("rounds", [8, 8], ["| k"], repeat=2)
    assert _problems(half, turned | {"rows": ["WS: rest 8"]}) == []
    assert _problems(half, turned | {"rows": ["RS: rest 8"]}) == [
        "1: rest takes stitches that were not just worked"
    ]


def test_resting_stitches_go_on_resting() -> None:
    flap = _section("rows", [8], ["RS: sl1, k", "WS: sl1, p"], resting=[5, 3], kind="flap")
    goes_on = _section("rows", None, ["RS: k2tog, k"])
    ring = _section("rounds", [7, 8], ["k | k"])
    assert _problems(ROUND, flap, goes_on, ring) == []
    assert _problems(ROUND, flap, goes_on, ring | {"needles": [7]})[0].startswith(
        "None: 15 stitches are there, the section begins with 7"
    )


def test_only_stitches_just_worked_are_rested() -> None:
    flap = _section("rows", [8], ["RS: k8"], resting=[8])
    ring = _section("rounds", [8, 8], ["k | k"], set_up="rest 4, pick up 3 | k | k4")
    assert _problems(ROUND, flap, ring | {"needles": [4, 8, 4]}) == [
        "1: 2 needles are written, 3 hold stitches"
    ]
    ring |= {"needles": [4, 8, 4], "rows": ["k | k | k = 7/8/4"]}
    assert _problems(ROUND, flap, ring) == []
    assert _problems(ROUND, flap, ring | {"set_up": "k4 | rest 8 | k4"}) == [
        "0: rest takes stitches that were not just worked"
    ]


def test_what_was_rested_before_is_looked_at_again() -> None:
    rows = ["rest 8 | k", "| k"]
    assert _problems(_section("rounds", [8, 8], rows)) == []
    assert _problems(_section("rounds", [8, 8], rows, repeat=2)) == [
        "3: rest takes stitches that were not just worked"
    ]


def test_a_decrease_is_looked_at_again_in_every_row_of_a_turn() -> None:
    rows = ["RS: k2tog, M1, k = 8", "WS: p = 8"]
    assert _problems(_turn(8, rows)) == []
    assert _problems(_turn(8, rows * 2)) == ["3: the decrease does not bridge the gap"]


# One problem does not hide another, nor make up a third


def test_the_first_problem_does_not_hide_the_next() -> None:
    rows = ["k8 | k7 = 8/8", "k | k = 8/8", "k | k2tog, k = 8/8", "k | k = 8/8", "knit | k = 8/8"]
    assert [line[0] for line in _problems(_section("rounds", [8, 8], rows))] == ["1", "3", "5"]


def test_a_row_is_named_once_where_it_first_fails() -> None:
    wrong = _section("rounds", [8, 8], ["k | k", "k | k7 = 8/8"], repeat=9)
    assert audit(_document(wrong)) == (
        Problem(
            "piece", 0, "rows", 1, 2, "1 stitch is left unworked on needle 2",
            "work 1 more, or turn",
        ),
    )  # fmt: skip


def test_whether_the_claim_or_the_work_was_wrong_the_rest_stands() -> None:
    claim_wrong = ["k2tog, k | k = 8/8", "k | k = 7/8", "k2tog, k | k = 6/8"]
    after = _section("rounds", [6, 8], ["k | k = 14"])
    assert _problems(_section("rounds", [8, 8], claim_wrong), after) == [
        "1: it leaves 7/8, the claim says 8/8"
    ]
    work_wrong = ["k | k = 7/8", "k | k = 7/8", "k2tog, k | k = 6/8"]
    assert _problems(_section("rounds", [8, 8], work_wrong), after) == [
        "1: it leaves 8/8, the claim says 7/8"
    ]


def test_a_claim_that_stays_wrong_is_named_once() -> None:
    assert _problems(_section("rounds", [8, 8], ["k | k = 9/7", "p | p = 9/7"])) == [
        "1: it leaves 8/8, the claim says 9/7"
    ]
    assert _problems(_section("rounds", [8, 8], ["k | k = 17", "k | k = 8/9", "k | k = 18"])) == [
        "1: it leaves 16, the claim says 17", "3: it leaves 16, the claim says 18",
    ]  # fmt: skip
    rows = ["k | k = 9/8", "k7 | k = 8/8", "k | p = 9/8"]
    assert [line[0] for line in _problems(_section("rounds", [8, 8], rows))] == ["1", "2", "3"]


def test_after_a_short_row_that_fails_nobody_knows_where_the_point_is() -> None:
    short = _section("rows", [8], ["RS: k4, turn = 8", "WS: p9 = 8", "RS: k9 = 8"])
    assert _problems(short) == ["2: p9 takes 9 stitches, 4 are there"]
    turned = _section("rows", [8], ["RS: k9, turn = 8", "WS: p9 = 8"])
    assert _problems(turned) == ["1: k9 takes 9 stitches, 8 are there"]


def test_a_flap_and_a_turn_go_on_after_a_wrong_row() -> None:
    rows = ["RS: sl1, k6, turn = 8", "WS: sl1, p7 = 8"]
    assert _problems(_section("rows", [8], rows, kind="flap")) == [
        "1: of the flap 1 stitch is left unworked"
    ]
    rows = ["RS: sl1, k8, turn = 8", "WS: sl1, p8 = 8"]
    assert [line[0] for line in _problems(_section("rows", [8], rows, kind="flap"))] == ["1", "2"]
    lopsided = ["WS: p14, p2tog, p1, turn", "RS: sl1, k6, k2tog, k1, turn",
                "WS: sl1, p7, p2tog, p1, turn", "RS: sl1, k8, k2tog, k1, turn"]  # fmt: skip
    assert [line[0] for line in _problems(_turn(24, lopsided))] == ["2"]


def test_after_a_row_that_claims_nothing_the_next_section_goes_on() -> None:
    lost = _section("rounds", [8, 8], ["k7 | k", "k2tog, k | k = 3"])
    silent = _section("rounds", None, ["k20 | k"])
    found = _problems(lost, silent, _section("rounds", [7, 8], ["k | k = 9/9", "k | k = 7/8"]))
    assert found == [
        "1: 1 stitch is left unworked on needle 1", "1: it leaves 7/8, the claim says 9/9",
    ]  # fmt: skip


def test_a_broken_section_does_not_hide_the_next() -> None:
    broken: list[Any] = [{"name": "a"}, 7, {"name": "b", "worked": "rounds", "rows": [None]}]
    found = audit({"section": [*broken, _section("rounds", [8], ["k7"])]})
    assert [(problem.section_index, problem.key) for problem in found] == [
        (0, "worked"), (0, "rows"), (1, ""), (2, "rows"), (3, "rows"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("rows", "later"),
    [
        (["k to last 30", "[k2tog] 11 times"], ["2: it takes 22 stitches, 20 are there"]),
        (["k to last 30", "k", "k12 | k9"], ["3: it takes 21 stitches, 20 are there"]),
        # What a row is sure to take away is not there for the next; what it adds is.
        (["k to last 30", "[k2tog] 5 times, k", "k16"], ["3: it takes 16 stitches, 15 are there"]),
        (["k to last 30", "k, M1 2", "k22"], []),
        (["k to last 30", "k, M1 2", "k23"], ["3: it takes 23 stitches, 22 are there"]),
        (["k to last 30", "k, yo to end"], []),
        (["k to last 30", "*k2tog; rep from * to end", "k21"],
         ["3: it takes 21 stitches, at most 20 are there"]),
        # The row that failed may have been meant to leave more, or to find more.
        (["M1 2, k to last 30", "k22"], []),
        (["M1 2, k to last 30", "k23"], ["2: it takes 23 stitches, at most 22 are there"]),
        (["*kfb; rep from * to last 30", "k40"], []),
        (["k24", "k24", "k25"], ["3: it takes 25 stitches, at most 24 are there"]),
        (["k, fluff 3", "k23"], []),
        (["k to last 30", "k, fluff 3", "k23"], ['2: "fluff 3" is not known']),
        (["k to last 30", "k | k | k", "k23"],
         ["2: 3 needles are written, 2 hold stitches", "3: it takes 23 stitches, 20 are there"]),
        (["k to last 30", "k23", "k23 = 23"], ["2: it takes 23 stitches, 20 are there"]),
    ],
)  # fmt: skip
def test_a_row_that_fails_does_not_hide_one_that_takes_too_many(
    rows: list[str], later: list[str]
) -> None:
    """What was there before it is the most that can be there, save what its own words add."""
    assert _problems(_section("rounds", [10, 10], rows))[1:] == later


def test_what_could_be_there_is_looked_at_once_through_the_rows() -> None:
    rows = ["k to last 30", "[k2tog] 5 times, k"]
    assert len(_problems(_section("rounds", [10, 10], rows, repeat=9))) == 1


@pytest.mark.parametrize(
    ("rows", "later"),
    [
        (["RS: k = 33", "WS: p = 20"], ["3: it leaves 20, the claim says 33"]),
        (["RS: k = 33", "WS: p = 33"], ["3: it leaves 20, the claim says 33"]),
        (["RS: k = 33", "WS: p19 = 20"],
         ["3: it leaves 20, the claim says 33", "4: 1 stitch is left unworked on the needle"]),
        (["RS: k = 19", "WS: p = 19"], []),  # the row that failed may have been meant to decrease
        (["RS: k = 19", "WS: p = 20"], ["4: it leaves 19, the claim says 20"]),
        (["RS: k12, turn", "WS: p40"], ["4: it takes 40 stitches, at most 22 are there"]),
        (["RS: k2tog, k = 33"], ["3: it leaves 19, the claim says 33"]),
        (["RS: ssk to end = 33"], ["3: it leaves at most 22, the claim says 33"]),
    ],
)  # fmt: skip
def test_after_a_short_row_that_fails_a_claim_that_cannot_be_is_named(
    rows: list[str], later: list[str]
) -> None:
    section = _section("rows", [20], ["RS: k10, turn", "WS: p12", *rows])
    found = _problems(section)
    assert found[0].startswith("2: ")
    assert found[1:] == later
    assert all(problem.instead for problem in audit(_document(section)))


@pytest.mark.parametrize("worked", ["rnds", "round", "circular", "flat", "row", 7, None])
@pytest.mark.parametrize(
    "rows",
    [
        ["k", "RS: k", "p"],
        ["RS: k", "WS: p", "k"],
        ["RS: k", "RS: k", "WS: p"],
        ["k", "k6, turn", "k"],
        ["RS: k6, turn", "WS: p4, turn", "RS: k"],
    ],
)
def test_where_it_is_not_known_how_it_is_worked_no_side_and_no_turn_is_wrong(
    worked: Any, rows: list[str]
) -> None:
    section = _section("rounds", [8], rows) | {"worked": worked}
    assert _problems(section) == ["None: it is not said how it is worked"]
    assert len(_problems({**section, "rows": [*rows, "RS: k9"]})) == 2


@pytest.mark.parametrize(
    ("table", "likely"),
    [
        ({"worked": "rnds"}, "rounds"), ({"worked": "Round"}, "rounds"), ({"worked": "row"}, "rows"),
        ({"worked": "flat"}, "rows"), ({"worked": "in the round"}, "rounds"),
        ({"worked": "back and forth"}, "rows"), ({}, "rounds"),
        ({"rows": ["RS: k", "WS: p"]}, "rows"), ({"rows": ["RS: k", "k", "k"]}, "rounds"),
        ({"rows": ["k"], "first": ["RS: k", "WS: p"], "set_up": "RS: k"}, "rows"),
        ({"rows": ["k"], "first": ["k4, turn", "p4, turn"]}, "rows"),
        ({"rows": ["RS: k", "WS: p"], "worked": "rnds"}, "rounds"),
        ({"rows": 7, "first": 8, "set_up": 9}, "rounds"),
    ],
)  # fmt: skip
def test_how_it_is_most_likely_worked_is_named(table: dict[str, Any], likely: str) -> None:
    section = {"name": "piece", "needles": [8], "rows": ["k"], **table}
    assert audit(_document(section))[0].instead == f'write worked = "{likely}"'


def test_the_shape_of_a_turn_is_named_once_and_its_counts_still() -> None:
    """A row that turns one stitch off puts the gap one off for the rows that follow."""
    bare = [row.partition(" =")[0] for row in RYDER]
    bare[6] = "RS: sl1, k11, k2tog, k1, turn"
    assert _problems(_turn(28, bare)) == ["7: the decrease does not bridge the gap"]
    bare[6], bare[3] = RYDER[6].partition(" =")[0], "WS: sl1, p7, p2tog, p2, turn"
    assert [line[:15] for line in _problems(_turn(28, bare))] == ["4: the turn is "]
    bare[10] = "RS: sl1, k40, k2tog, turn"
    assert [line[:3] for line in _problems(_turn(28, bare))] == ["4: ", "11:"]


@pytest.mark.parametrize(
    ("stitches", "row", "problem", "instead"),
    [
        (64, "*k7, k2tog; rep from * to end",
         "the repeat does not come out: 1 stitch is left for the last one",
         "let the repeat divide the stitches before its end"),
        (8, "*k2, p1; rep from * to end",
         "the repeat does not come out: 2 stitches are left for the last one",
         "let the repeat divide the stitches before its end"),
        (8, "*k9, p1; rep from * to end", "k9 takes 9 stitches, 8 are there", "take 1 fewer"),
        (8, "k2, p2 to end", '"p2 to end" says two lengths',
         "write p2, p to end, or *k2, p2; rep from * to end"),
        (8, "k1 to end", '"k1 to end" says two lengths', "write k to end"),
        (8, "BO", '"BO" has no number', "write BO all, or BO 8"),
    ],
)  # fmt: skip
def test_what_to_write_instead_is_what_a_knitter_meant(
    stitches: int, row: str, problem: str, instead: str
) -> None:
    (found,) = audit(_document(_section("rounds", [stitches], [row])))
    assert (found.problem, found.instead) == (problem, instead)


@pytest.mark.parametrize(
    ("row", "later"),
    [
        ("k26, k2tog | k26, k2tog = 28/28", ["2: it leaves 27/27, the claim says 28/28"]),
        ("k26, k2tog | k26, k2tog = 55", ["2: it leaves 54, the claim says 55"]),
        ("k26, k2tog | k26, k2tog = 54", []),
        ("k | k26, k2tog = 28/28", []),
        ("k26, k2tog, k26, k2tog = 28/28", []),
    ],
)
def test_a_row_of_numbers_alone_says_what_it_leaves_whatever_failed_before(
    row: str, later: list[str]
) -> None:
    assert _problems(_section("rounds", [29, 29], ["k27, k2tog | k26, k2tog", row]))[1:] == later


# Bounded, and never at a loss

HUGE: list[dict[str, Any]] = [
    _section("rounds", [2_001], ["k"]),
    _section("rounds", [8], ["k99999999"]),
    _section("rounds", [8], ["[[[yo 9999] 9999 times] 9999 times] 9999 times"]),
    _section("rounds", [8], ["[[CO 1, BO 1] 9999 times] 9999 times, k"]),
    _section("rounds", [8], ["[" * 50 + "k1" + "] 1 times" * 50]),
    _section("rounds", [8], ["[" * 7 + "k8" + "] 1 times" * 7]),
    _section("rounds", [8], ["*" * 1_999]),
    _section("rounds", [8], ["*k1" + "; rep from *" * 150]),
    _section("rounds", [8], ["k" + " " * 1_990 + "z"]),
    _section("rounds", [8], ["k1, " * 1000 + "k1"]),
    _section("rounds", [8], ["k" * 1_000_000]),
    _section("rounds", [8], ["k"], repeat=10**9),
    _section("rounds", [8], ["k"], repeat=10**5000),
    _section("rounds", [8], ["k"], planned=5_001),
    _section("rounds", [8], ["k"] * 5_001),
    _section("rounds", [8], ["k"], first=["k"] * 100_000),
    _section("rounds", [8], ["k", "k"], repeat=2_501),
    _section("rounds", [1_000], ["kfb to end = 2000"], repeat=5_000),
    _section("rounds", [10], ["k, yo 9000"], repeat=500),
    _section("rows", [2_000], ["RS: *k1, p1; rep from * 998 times, turn",
                               "WS: *k1, p1; rep from * 998 times, turn"], repeat=2_500),
    _section("rounds", [2_000], [f"[k1, p1] 999 times, k{n} = {n}" for n in range(5_000)]),
    _section("rounds", [8], ["k8" + " " * 1_000 + f"= {n}" for n in range(5_000)]),
]  # fmt: skip


@pytest.mark.parametrize("section", HUGE, ids=range(len(HUGE)))
def test_work_is_bounded_before_it_is_done(section: dict[str, Any]) -> None:
    begun = time.process_time()
    assert _problems(section)
    assert time.process_time() - begun < 3


def test_a_document_is_bounded_as_a_whole() -> None:
    long = _section("rounds", [2_000], ["*k1, p1; rep from * to end"], repeat=5_000)
    begun = time.process_time()
    assert _problems(*[long] * 4) == []
    assert _problems(*[long] * 5) == ["1: there are more than 20000 rows"]
    assert _problems(*[long] * 1_001) == ["None: there are 1001 sections"]
    assert time.process_time() - begun < 2


def _spelt_out(section: dict[str, Any], times: int) -> dict[str, Any]:
    """The same rows, every one of them in letters of its own."""
    rows = [row + " " * (1 + n) for n, row in enumerate(section["rows"] * times)]
    return {key: value for key, value in section.items() if key != "repeat"} | {"rows": rows}


_STITCHES = st.sampled_from(
    ["k", "p2", "sl1", "k2tog", "yo", "kfb", "C4F", "k to end", "k to last 2", "rest 2", "pick up 3",
     "[k1, p1] 2 times", "*k2, p2; rep from * to end", "BO 1", "CO 2", "DS", "turn", "w&t", "graft 2",
     "[] 2 times", "*; rep from * to end", "[k1, turn] 2 times", "[[k1] x 2, *p1; rep from * 1 times] x 2"]
)  # fmt: skip
_ROW = st.builds(
    lambda side, needles, claim: side + " | ".join(", ".join(part) for part in needles) + claim,
    st.sampled_from(["", "", "RS: ", "WS: "]),
    st.lists(st.lists(_STITCHES, max_size=4), min_size=1, max_size=3),
    st.sampled_from(["", "", " = 16", " = 8/8", " = 99999/0"]),
)


@given(
    st.sampled_from(["rounds", "rows"]),
    st.lists(st.integers(0, 9), min_size=1, max_size=3),
    st.lists(_ROW, min_size=1, max_size=3),
)
def test_rows_worked_again_come_to_what_the_loom_makes_of_them(
    worked: str, needles: list[int], rows: list[str]
) -> None:
    """What is known of a row and its counts is not knitted again; spelt otherwise it is."""
    section = _section(worked, needles, rows, repeat=4)
    again, anew = _document(section), _document(_spelt_out(section, 4))
    assert list(knitted(again)) == list(knitted(anew))
    assert bool(audit(again)) == bool(audit(anew))


_JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=40),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)
_WORDS = st.lists(
    st.sampled_from(
        ["k", "p", "sl1", "k2tog", "yo", "turn", ",", "*", "; rep from *", "to end", "to last", "[", "]",
         "(", ")", "x", "3", "times", "|", "=", "/", "RS:", "WS:", "rest", "pick up", "all", "tbl", " "]
    ),
    max_size=14,
).map(" ".join)  # fmt: skip
_ROWS = st.lists(_WORDS | _ROW | st.text(max_size=30), min_size=1, max_size=4)


@examples(800)
@given(
    st.lists(
        st.fixed_dictionaries(
            {"worked": st.sampled_from(["rounds", "rows", "x"]), "rows": _ROWS | _JUNK},
            optional={
                "needles": st.lists(st.integers(-1, 40), max_size=4) | _JUNK,
                "resting": st.lists(st.integers(0, 20), max_size=3) | _JUNK,
                "kind": st.sampled_from(["turn", "flap", "graft", "other"]) | _JUNK,
                "set_up": _WORDS | _ROW, "first": _ROWS | _JUNK, "repeat": st.integers(-1, 3) | _JUNK,
                "planned": st.integers(-1, 6) | _JUNK, "until": st.text(max_size=5) | _JUNK,
                "name": _JUNK, "names": _JUNK,
            },
        )
        | _JUNK,
        max_size=4,
    )
)  # fmt: skip
def test_nothing_in_a_file_makes_it_stumble(sections: list[Any]) -> None:
    begun = time.process_time()
    for problem in audit({"section": sections}):
        assert problem.problem.isprintable()
        assert problem.section.isprintable()
        assert problem.instead
    assert time.process_time() - begun < 1


def test_a_row_that_turned_too_early_is_named_as_the_cause() -> None:
    scarf = _section("rows", [30], ["RS: sl1, k29, turn", "WS: sl1, p28, turn"], repeat=4)
    (found,) = audit(_document(scarf))
    assert (found.row, found.instead) == (
        3, "take 1 fewer, or work the 1 that the row before left unworked",
    )  # fmt: skip
