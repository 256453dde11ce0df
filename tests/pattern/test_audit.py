"""The audit knits what is written: right patterns pass, wrong ones are named with their row."""

from __future__ import annotations

import time
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.pattern.mutants import counts, mutants
from tracker.pattern.audit import audit, knitted
from tracker.storage.pattern_file import open_file

SAMPLES = sorted((Path(__file__).parents[2] / "sample_projects").glob("*.toml"))


def _section(worked: str, needles: list[int], rows: list[str], **more: Any) -> dict[str, Any]:
    return {"name": "piece", "worked": worked, "needles": needles, "rows": rows, **more}


def _problems(*sections: dict[str, Any]) -> list[str]:
    found = audit({"section": list(sections)})
    return [f"{problem.row}: {problem.problem}" for problem in found]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_samples_are_knitted_to_the_last_stitch(sample: Path) -> None:
    opened = open_file(str(sample))
    assert audit(opened.document) == ()
    rows = list(knitted(opened.document))
    assert opened.pattern.numbers is not None
    assert sum(row.made for row in rows) == opened.pattern.numbers.stitches_per_sock
    read = [row for section in opened.pattern.sections for row in section.rows]
    assert [row.made for row in rows] == [row.worked for row in read]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_every_mutant_that_changes_a_count_is_rejected(sample: Path) -> None:
    """Each written row of a whole sock, made wrong in every way, one at a time."""
    opened = open_file(str(sample))
    tried = 0
    for place, table in enumerate(opened.document["section"]):
        section = opened.pattern.sections[place]
        before = section.rows[0].before
        if "onto" in table:
            before = tuple(table["needles"])
        texts: list[tuple[str, int | None, str]] = []
        if "set_up" in table:
            texts.append(("set_up", None, table["set_up"]))
        texts += [("first", n, text) for n, text in enumerate(table.get("first", ()))]
        texts += [("rows", n, text) for n, text in enumerate(table["rows"])]
        waiting = 0
        for row, (key, position, text) in enumerate(texts):
            held = before if row == 0 else section.rows[row].before
            if section.kind == "turn":
                # What the row before left unworked lies behind the point, out of reach.
                held = (held[0] - waiting,)
            right = counts(text, held)
            assert right is not None, text
            for wrong in mutants(text):
                if counts(wrong, held) == right:
                    continue
                tried += 1
                document = deepcopy(opened.document)
                if position is None:
                    document["section"][place][key] = wrong
                else:
                    document["section"][place][key][position] = wrong
                assert audit(document), f"{section.name}: {wrong}"
            waiting = right.unworked
    assert tried > 300


# Published heel turns. Each row is knitted over the heel stitches alone.


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


def test_us_red_cross_is_knitted() -> None:
    """American Red Cross, New Directions for Socks, c. 1917-1918 (transcribed at fibergypsy.com):
    no slipped stitch; rows after the second follow the printed repeat."""
    rows = ["RS: k15, k2tog, k1, turn = 27", "WS: p4, p2tog, p1, turn = 26"]
    for row in range(3, 13):
        side, stitch, decrease = ("RS", "k", "k2tog") if row % 2 else ("WS", "p", "p2tog")
        rows.append(f"{side}: {stitch}{row + 2}, {decrease}, {stitch}1, turn = {28 - row}")
    assert _problems(_turn(28, rows)) == []


def test_a_misprint_of_1896_would_be_named() -> None:
    wrong = [*RYDER]
    wrong[6] = "RS: sl1, k11, k2tog, k1, turn = 21"
    assert _problems(_turn(28, wrong))[0].startswith("7: the decrease does not bridge the gap")


def test_published_errors_are_rejected_with_their_row() -> None:
    """Heel turns published with wrong arithmetic, as collected from pattern pages."""
    # socknitters.com/PATTERNS/nancybasic.htm: 24 stitches, lop-sided in row 2 (k6 for k5).
    nancy = ["WS: p14, p2tog, p1, turn", "RS: sl1, k6, k2tog, k1, turn"]
    assert _problems(_turn(24, nancy)) == [
        "2: the turn is lop-sided: 7 stitches wait on one side, 6 on the other"
    ]
    # meowmom.blogspot.com/2007/02/crusoe-update.html: p3 where the knitter found p5 was needed.
    crusoe = ["RS: k14, ssk, k1, turn", "WS: sl1, p3, p2tog, p1, turn"]
    assert [line[:1] for line in _problems(_turn(24, crusoe))] == ["2"]
    assert _problems(_turn(24, [crusoe[0], "WS: sl1, p5, p2tog, p1, turn"])) == []
    # sites.google.com/site/fayefamilyrecipes: 22 stitches, the middle is 9 with 5 and 6 beside it.
    faye = ["RS: sl1, k14, k2tog, turn", "WS: sl1, p7, p2tog, turn"]
    assert _problems(_turn(22, faye)) == [
        "2: the turn is lop-sided: 5 stitches wait on one side, 6 on the other"
    ]


# Single rules


@pytest.mark.parametrize(
    ("section", "problem"),
    [
        (_section("rounds", [8, 8], ["k7 | k = 16"]), "1: 1 stitch is left unworked on needle 1"),
        (_section("rounds", [8, 8], ["k | k2tog, k = 16"]), "1: it leaves 15, the claim says 16"),
        (
            _section("rounds", [8, 8], ["k | k2tog, k = 8/8"]),
            "1: it leaves 8/7, the claim says 8/8",
        ),
        (_section("rounds", [8, 8], ["k | k | k"]), "1: 3 needles are written, 2 hold stitches"),
        (_section("rounds", [8], ["k9"]), "1: k 9 takes 9 stitches, 8 are there"),
        (
            _section("rounds", [8], ["*k2, p1; rep from * to end"]),
            "1: p 1 takes 1 stitches, 0 are there",
        ),
        (_section("rounds", [8], ["k4, turn"]), "1: a round does not turn"),
        (_section("rounds", [8], ["RS: k"]), "1: a round has no RS"),
        (_section("rows", [8], ["k"]), "1: a flat row says its side"),
        (_section("rows", [8], ["RS: k", "RS: k"]), "2: this is a WS row, it says RS"),
        (_section("rows", [8], ["RS: k4 = 8"]), "1: 4 stitches are left unworked on the needle"),
        (_section("rows", [8], ["RS: k4, turn, k4"]), "1: something stands after a turn"),
        (_section("rounds", [8], ["knit"]), '1: "knit" is not known'),
        (_section("rounds", [8], ["k to last 9, k9"]), "1: 8 stitches are left, fewer than 9"),
        (_section("rounds", [8], ["k ="]), '1: "k =" cannot be read'),
        (_section("rounds", [8], [7]), "1: this row is not a text"),  # type: ignore[list-item]
        (_section("rows", [9, 9], ["RS: graft 9 | graft 8"], kind="graft"), "1: 1 stitch is left"),
        (_section("rows", [8], ["RS: sl1, k7, turn"], kind="flap"), "None: the edges have 1 and 0"),
        (_section("flat", [8], ["k"]), "None: it is not said how it is worked"),
        (_section("rounds", [8], []), "None: it has no rows"),
        (_section("rounds", [], ["k"]), "None: needles are counts of stitches"),
    ],
)
def test_a_wrong_row_is_named(section: dict[str, Any], problem: str) -> None:
    assert _problems(section)[0].startswith(problem)


@pytest.mark.parametrize(
    ("section", "left"),
    [
        (
            _section("rounds", [8, 8], ["k2, p2 | *k1, p1; rep from * to end"][:0] or ["k | k"]),
            (8, 8),
        ),
        (_section("rounds", [16], ["*k2, p2; rep from * 3 times = 16"]), (16,)),
        (_section("rounds", [16], ["[k2, p2] 4 times"]), (16,)),
        (_section("rounds", [16], ["(k2, p2) x 4"]), (16,)),
        (_section("rounds", [16], ["[k2, [p1] x 2] x 4"]), (16,)),
        (_section("rounds", [10, 6], ["k2tog to end = 5/3"]), (5, 3)),
        (_section("rounds", [9, 7], ["k2tog to end = 5/3"]), (5, 3)),
        (_section("rounds", [8], ["k4, M1, k to end, yo"]), (10,)),
        (_section("rounds", [9], ["sk2p, k3tog, s2kp = 3"]), (3,)),
        (_section("rounds", [8], ["kfb, C4F, pfb, k"]), (10,)),
        (_section("rounds", [8], ["k tbl to end"]), (8,)),
        (_section("rounds", [8], ["k2tog tbl, ssp tbl, k4 = 6"]), (6,)),
        (_section("rounds", [8], ["BO all"]), (0,)),
        (_section("rounds", [8], ["BO 6, CO 2, k"]), (4,)),
        (_section("rounds", [8, 8], ["| k"]), (8, 8)),
        (_section("rows", [8], ["RS: k5, w&t", "WS: p3, w&t", "RS: k"]), (8,)),
    ],
)
def test_notation_is_knitted(section: dict[str, Any], left: tuple[int, ...]) -> None:
    assert _problems(section) == []
    assert [*knitted({"section": [section]})][-1].needles == left


def test_the_first_problem_does_not_hide_the_next() -> None:
    rows = ["k8 | k7 = 8/8", "k | k = 8/8", "k | k2tog, k = 8/8", "k | k = 8/8", "knit | k = 8/8"]
    assert [line[0] for line in _problems(_section("rounds", [8, 8], rows))] == ["1", "3", "5"]


def test_a_section_begins_with_what_the_one_before_left() -> None:
    one = _section("rounds", [8, 8], ["k | k"])
    assert _problems(one, _section("rounds", [10, 6], ["k | k = 10/6"])) == []
    wrong = _problems(one, _section("rounds", [8, 9], ["k | k"]))
    assert wrong == ["None: 16 stitches are there, the section begins with 17"]


def test_a_hat_by_hand_is_knitted() -> None:
    """Anything in rounds: eight wedges of a crown, published as a round toe.

    Canadian Red Cross, Knitting Instructions for Field Comforts, 1939: *k5, k2tog* over 56
    stitches leaves 48, then 40, 32, 24.
    """
    crown = [f"*k{n}, k2tog; rep from * to end = {8 * (n + 1)}" for n in (5, 4, 3, 2)]
    assert _problems(_section("rounds", [19, 18, 19], crown)) == []


HUGE: list[dict[str, Any]] = [
    _section("rounds", [2_001], ["k"]),
    _section("rounds", [8], ["k99999999"]),
    _section("rounds", [8], ["[[[yo 9999] 9999 times] 9999 times] 9999 times"]),
    _section("rounds", [8], ["[[CO 0] 9999 times] 9999 times, k"]),
    _section("rounds", [8], ["[" * 50 + "k1" + "] 1 times" * 50]),
    _section("rounds", [8], ["k1, " * 1000 + "k1"]),
    _section("rounds", [8], ["k"], repeat=10**9),
    _section("rounds", [8], ["k"], repeat=True),
    _section("rounds", [8], ["k"], planned=-5),
]


@pytest.mark.parametrize("section", HUGE)
def test_work_is_bounded_before_it_is_done(section: dict[str, Any]) -> None:
    begun = time.process_time()
    assert _problems(section)
    assert time.process_time() - begun < 2


_JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=40),
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
_ROWS = st.lists(_WORDS | st.text(max_size=30), min_size=1, max_size=4)


@settings(max_examples=300)
@given(
    st.lists(
        st.fixed_dictionaries(
            {"worked": st.sampled_from(["rounds", "rows", "x"]), "rows": _ROWS | _JUNK},
            optional={
                "needles": st.lists(st.integers(-1, 40), max_size=4) | _JUNK,
                "resting": st.lists(st.integers(0, 20), max_size=3),
                "kind": st.sampled_from(["turn", "flap", "graft", "other"]),
                "set_up": _WORDS, "first": _ROWS | _JUNK, "repeat": st.integers(-1, 3) | _JUNK,
                "planned": st.integers(-1, 6) | _JUNK, "until": st.text(max_size=5), "name": _JUNK,
            },
        )
        | _JUNK,
        max_size=4,
    )
)  # fmt: skip
def test_nothing_in_a_file_makes_it_stumble(sections: list[Any]) -> None:
    for problem in audit({"section": sections}):
        assert problem.problem
        assert problem.problem.isprintable()
