"""Pattern files read: what a hand-written pattern may say, and what it is refused for.

The rules of the notation are the pattern file's own; what stitches take and leave is common practice,
no source.
"""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.pattern.making import on_needles, pattern, sock, written
from tracker.pattern.model import Pattern, Section
from tracker.pattern.reading import MOST_ROWS, MOST_ROWS_IN_ALL
from tracker.pattern.tables import BadSection
from tracker.storage.files import FileTrouble, Source
from tracker.storage.pattern_file import Opened, open_source, open_text


def opened(text: str) -> Opened:
    return open_source(Source("sock.toml", text.encode(), text))


def refused(text: str) -> str:
    with pytest.raises(FileTrouble) as bad:
        opened(text)
    (line,) = bad.value.lines
    assert line.isprintable()
    assert line.startswith("sock.toml")
    return line


def row_of(needles: list[int], row: str, **more: Any) -> Section:
    return pattern({"needles": needles, "rows": [row], **more}).sections[0]


def bad_row(needles: list[int], row: str, **more: Any) -> str:
    with pytest.raises(BadSection) as bad:
        row_of(needles, row, **more)
    assert bad.value.row == 1
    return bad.value.why


# A row without bars is worked over all needles in order

GUSSET = """\
title = "Gusset of a 57-stitch stocking"

[[section]]
name = "gusset"
worked = "rounds"
needles = [27, 25, 27]
repeat = 3
rows = [
  "k to last 3, k2tog, k1 | k | k1, ssk, k to end",
  "k",
]
"""


def test_the_gusset_of_a_57_stitch_stocking() -> None:
    gusset = opened(GUSSET).pattern.sections[0]
    assert gusset.planned == 6
    assert [on_needles(row) for row in gusset.rows] == [
        "26/25/26", "26/25/26", "25/25/25", "25/25/25", "24/25/24", "24/25/24",
    ]  # fmt: skip
    assert [row.word for row in gusset.rows[:2]] == ["DEC", "PLAIN"]
    assert [[needle.work for needle in row.needles] for row in gusset.rows[:2]] == [
        ["k to last 3, k2tog, k1", "k", "k1, ssk, k to end"],
        ["k", "k", "k"],
    ]
    assert all(needle.plain for needle in gusset.rows[1].needles)


@pytest.mark.parametrize(
    ("needles", "row", "work"),
    [
        ([16, 16], "*k2, p2; rep from * to end = 32", ["[k2, p2] 4 times", "[k2, p2] 4 times"]),
        (
            [15, 17],
            "*k2, p2; rep from * to end",
            ["[k2, p2] 3 times, k2, p1", "p1, [k2, p2] 4 times"],
        ),
        ([3, 3], "k2, k2tog, k2 = 3/2", ["k2, k2tog", "k2"]),
        ([3, 3], "k1, k2tog, k to end", ["k1, k2tog", "k3"]),
        (
            [4, 4, 4],
            "k1, k2tog, k to last 3, k2tog, k1 = 10",
            ["k1, k2tog, k1", "k4", "k1, k2tog, k1"],
        ),
        ([2, 2], "k2, M1, k2 = 2/3", ["k2", "M1, k2"]),
        ([2, 2], "k4, M1 = 2/3", ["k2", "k2, M1"]),
        ([2, 2], "M1, k4", ["M1, k2", "k2"]),
        ([1, 4, 1], "k2, sk2p, k1 = 1/2/1", ["k1", "k1, sk2p", "k1"]),
        ([2, 1, 3], "k1, sk2p, k2 = 2/0/3", None),
        ([16, 0, 16], "k", ["k", "", "k"]),
        ([4, 4], "p", ["p", "p"]),
    ],
)
def test_a_row_without_bars(needles: list[int], row: str, work: list[str] | None) -> None:
    if work is None:
        assert "claim" in bad_row(needles, row)
        return
    made = row_of(needles, row).rows[0]
    assert [needle.work for needle in made.needles] == work
    assert made.before == tuple(needles)


def test_a_row_without_bars_is_what_the_same_row_is_with_them() -> None:
    apart = row_of([16, 16], "*k2, p2; rep from * to end | *k2, p2; rep from * to end").rows[0]
    together = row_of([16, 16], "*k2, p2; rep from * to end").rows[0]
    assert (together.leaves, together.worked, together.word) == (
        apart.leaves,
        apart.worked,
        apart.word,
    )
    assert on_needles(together) == on_needles(apart)


def test_a_decrease_across_a_border_stays_on_the_first_needle_and_must_be_claimed() -> None:
    assert on_needles(row_of([3, 3], "k2, k2tog, k2 = 3/2").rows[0]) == "3/2"
    for unclaimed in ("k2, k2tog, k2",):
        assert "= 3/2" in bad_row([3, 3], unclaimed)
    assert "it leaves 3/2, the claim says 2/3" in bad_row([3, 3], "k2, k2tog, k2 = 2/3")


def test_a_flat_row_may_turn_before_the_end_of_its_needles() -> None:
    made = row_of([16, 16], "RS: k20, turn = 32", worked="rows").rows[0]
    assert (made.leaves, made.worked, on_needles(made)) == (32, 20, "16/16")
    assert [needle.work for needle in made.needles] == ["k", "k4, turn"]
    assert "12 stitches are left" in bad_row([16, 16], "RS: k20", worked="rows")


def test_a_wrong_side_row_meets_the_needles_from_the_other_end() -> None:
    rows = ["RS: k", "WS: p2tog, p | p = 2/5", "RS: k1, ssk, k | k = 4/2"]
    part = pattern({"worked": "rows", "needles": [5, 3], "rows": rows}).sections[0]
    names = [[needle.name for needle in row.needles] for row in part.rows]
    assert names == [["N1", "N2"], ["N2", "N1"], ["N1", "N2"]]
    assert [row.before for row in part.rows] == [(5, 3), (3, 5), (5, 2)]


def test_short_rows_begin_at_the_gap_they_turned_at() -> None:
    """What a turn leaves lies behind the next row and is met again by the one after it."""
    rows = ["RS: k12, w&t", "WS: p8, w&t", "RS: k to last 3, turn", "WS: p, turn"]
    part = pattern({"worked": "rows", "needles": [16], "rows": [*rows, "RS: k"]}).sections[0]
    assert [row.worked for row in part.rows] == [12, 8, 9, 13, 16]
    assert {row.leaves for row in part.rows} == {16}


def test_short_rows_go_on_over_the_border_of_sections_and_needles() -> None:
    made = pattern(
        {"worked": "rows", "needles": [8, 8], "rows": ["RS: k12, turn", "WS: p8, turn"]},
        {"worked": "rows", "rows": ["RS: k", "WS: p"]},
        {"rows": ["k"]},
    )
    assert [[row.worked for row in part.rows] for part in made.sections] == [
        [12, 8],
        [12, 16],
        [16],
    ]


def test_a_row_that_reaches_past_the_gap_of_its_turn_is_refused() -> None:
    """After row 1 of a turn of 24 left 7, row 2 has 16 stitches in reach, not 23."""
    rows = ["RS: sl1, k13, ssk, k1, turn", "WS: sl1, p14, p2tog, turn"]
    with pytest.raises(BadSection, match="p2tog needs 2 stitches, 1 is left") as bad:
        pattern({"worked": "rows", "needles": [24], "rows": rows})
    assert bad.value.row == 2


# Sections


def test_a_section_goes_on_from_the_one_before() -> None:
    made = pattern(
        {"needles": [16, 16], "rows": ["k14, k2tog | k"]},
        {"rows": ["k | ssk, k = 15/15"]},
        {"rows": ["k"], "repeat": 2},
    )
    assert [part.starts for part in made.sections] == [(16, 16), (15, 16), (15, 15)]


def test_needles_keep_the_names_they_had() -> None:
    made = pattern(
        {"needles": [16, 16], "names": ["instep", "sole"], "rows": ["k"]},
        {"rows": ["k"]},
        {"needles": [8, 8, 16], "rows": ["k"]},
    )
    assert [part.needles for part in made.sections] == [("instep", "sole")] * 2 + [
        ("N1", "N2", "N3")
    ]


@pytest.mark.parametrize(("worked", "name"), [("rounds", "round"), ("rows", "needle")])
def test_one_needle_has_a_name(worked: str, name: str) -> None:
    assert row_of([9], "RS: k" if worked == "rows" else "k", worked=worked).needles == (name,)


def test_rows_are_numbered_from_one_and_a_set_up_row_is_nought() -> None:
    made = row_of([8, 8], "k", set_up="k7, yo, k | k = 9/8", repeat=3)
    assert [row.number for row in made.rows] == [0, 1, 2, 3]
    assert (made.first, made.planned, made.starts) == (0, 3, (8, 8))
    assert row_of([8], "k", repeat=3).first == 1


def test_an_open_section_repeats_its_last_rows_for_as_long_as_she_goes_on() -> None:
    made = pattern(
        {"needles": [8], "rows": ["k", "p"], "first": ["k1, p"], "planned": 6, "until": "15 cm"}
    )
    part = made.sections[0]
    assert [row.needles[0].work for row in part.rows] == ["k1, p", "k", "p", "k", "p", "k"]
    assert [part.row(number).needles[0].work for number in (7, 8, 9)] == ["p", "k", "p"]
    assert part.goal is not None
    assert (part.goal.mm, part.goal.mark, part.goal.less_toe) == (150.0, "cast-on", False)


def test_row_seven_of_a_cycle_that_was_planned_to_the_middle() -> None:
    part = pattern(
        {"needles": [8], "rows": ["k", "p", "k1, p"], "planned": 4, "until": "15 cm"}
    ).sections[0]
    assert [part.row(number).needles[0].work for number in range(1, 8)] == [
        "k", "p", "k1, p", "k", "p", "k1, p", "k",
    ]  # fmt: skip


def test_an_open_section_without_a_plan_has_its_rows_once() -> None:
    part = pattern({"needles": [8], "rows": ["k", "p"], "until": "6 in"}).sections[0]
    assert (part.planned, part.row(3).needles[0].work) == (2, "k")


def test_words_of_rows() -> None:
    words = {
        "k": "PLAIN", "*k2, p2; rep from * to end": "RIB", "k1, ssk, k": "DEC", "k1, M1, k": "INC",
        "k, pick up 4": "PICK",
    }  # fmt: skip
    assert {row: row_of([8], row).rows[0].word for row in words} == words
    flat = {"RS: k": "KNIT", "WS: p": "PURL"}
    assert {row: row_of([8], row, worked="rows").rows[0].word for row in flat} == flat


def test_what_a_computed_pattern_writes_is_read_back_the_same() -> None:
    made = opened(
        'title = "x"\n[foot]\ncircumference = "236 mm"\nlength = "245 mm"\n[gauge]\nstitches = 30\n'
        'rows = 42\nper = "10 cm"\n[needles]\nset = "five"\n[cuff]\nrib = "k2p2"\nlength = "5 cm"\n'
        '[leg]\nlength = "16 cm"\n[heel]\nkind = "flap"\n[toe]\nkind = "wedge"\n'
    )
    assert open_text("x", made.pattern.text) == made.pattern
    assert opened(made.pattern.text).pattern == made.pattern
    assert [written(row) for row in made.pattern.sections[4].rows] == [
        written(row) for row in sock().sections[4].rows
    ]


# Refused


@pytest.mark.parametrize(
    ("needles", "row", "says"),
    [
        ([27, 25, 27], "k | k", "2 needles are written, 3 are in work"),
        ([16], "k15", "1 stitch is left on round; work 1 more, or turn"),
        ([16, 16], "k | k = 32/1", "it leaves 16/16, the claim says 32/1"),
        ([16, 16], "k | k = 31", "it leaves 32, the claim says 31"),
        ([16], "k17", "needs 17 stitches, 16 are left"),
        ([16], "q", '"q" is not known; write a stitch'),
        ([16], "", "no stitch is worked"),
        ([16, 16], " | ", "no stitch is worked"),
        ([16], "RS: k", "a round has no RS"),
        ([16], "k16, turn", "a round does not turn"),
    ],
)
def test_a_row_that_does_not_come_out(needles: list[int], row: str, says: str) -> None:
    assert says in bad_row(needles, row)


HEAD = '[[section]]\nname = "a"\nworked = "rounds"\n'
PART = HEAD + 'needles = [4]\nrows = ["k"]'


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("section = []", "there are no sections"),
        ("section = 1", "there are no sections"),
        ("section = [1]", "a section is written [[section]]"),
        (HEAD + 'needles = [4]\nrows = ["k17"]', "line 5: a, row 1: k17 needs 17"),
        (HEAD + 'needles = [4]\nrows = [\n"k",\n"p",\n"k5",\n]\n', "line 8: a, row 3: k5 needs 5"),
        (HEAD + 'needles = [4]\nset_up = "k5"\nrows = ["k"]', "line 5: a, row 0: k5 needs 5"),
        (HEAD + "needles = [4]\nrows = []", "line 5: a: it has no rows"),
        (HEAD + 'needles = [4]\nrows = "k"', "line 5: a: rows are a list"),
        (HEAD + "needles = [4]\nrows = [3]", "line 5: a: rows are a list"),
        (HEAD + "needles = [4]", 'a: rows is missing; write rows = ["k"]'),
        (HEAD + 'needles = []\nrows = ["k"]', "line 4: a: needles are a list"),
        (HEAD + 'needles = [-4]\nrows = ["k"]', "line 4: a: needles are a list"),
        (HEAD + 'needles = [4.0]\nrows = ["k"]', "line 4: a: needles are a list"),
        (HEAD + 'needles = [99999]\nrows = ["k"]', "line 4: a: needles are a list"),
        (HEAD + 'needles = 4\nrows = ["k"]', "line 4: a: needles are a list"),
        (HEAD + 'rows = ["k"]', "a: the first section needs its stitches: needles = ["),
        (PART + '\nrepeat = inf', "line 6: a: repeat"),
        (PART + '\nrepeat = 0', "line 5: a: it has no rows"),
        (PART + '\nrepeat = 9999', "9999 rows are more than 5000"),
        (PART + '\nplanned = true', "line 6: a: planned"),
        (
            HEAD + 'needles = [4]\nrows = ["k"]\nfirst = ["k", "p"]\nplanned = 1\nuntil = "5 cm"',
            "line 7: a: planned",
        ),
        (PART + '\nuntil = 15', "line 6: a: until"),
        (PART + '\nuntil = "15"', 'line 6: a: "15" has no unit'),
        (PART + '\nuntil = "1 cm"\nmark = "toe"', "line 7: a: mark"),
        (HEAD + 'needles = [4]\nnames = ["x", "y"]\nrows = ["k"]', "line 5: a: names"),
        (HEAD + 'needles = [4]\nnames = [1]\nrows = ["k"]', "line 5: a: names"),
        (HEAD.replace("rounds", "squares") + 'needles = [4]\nrows = ["k"]', "line 3: a: worked"),
        (HEAD.replace("rounds", "rows") + 'needles = [4]\nrows = ["k"]', "a row worked flat begins with RS:"),
        (HEAD.replace('name = "a"\n', "") + 'needles = [4]\nrows = ["k"]', "name is missing"),
        ("title = 3\n" + PART, "line 1: title"),
        ('unit = "ell"\n' + PART, "line 1: unit"),
        ('hand = "foot"\n' + PART, "line 1: hand"),
        ("gauge = 3\n" + PART, "line 1: gauge"),
        ('gauge = {stitches = 1, rows = 1, per = "0 cm"}\n' + PART, "line 1: gauge"),
        ("numbers = {a = 1}\n" + PART, "line 1: numbers"),
        ("numbers = 1\n" + PART, "line 1: numbers"),
        ("needles = 1\n" + PART, "line 1: needles"),
        (HEAD.replace('"a"', '"\\u001b[31m"') + 'needles = [4]\nrows = ["\\u001b"]', "?[31m, row 1"),
    ],
    ids=lambda it: str(it)[-24:].encode("unicode_escape").decode(),
)  # fmt: skip
def test_a_file_that_is_no_pattern(text: str, says: str) -> None:
    assert says in refused(text)


def test_the_line_of_a_bad_row_is_found_in_the_section_it_is_in() -> None:
    text = PART + "\n\n" + HEAD + 'rows = [\n  "k",\n  "k9",\n]\n'
    assert "sock.toml, line 12: a, row 2" in refused(text)


def test_work_is_bounded_over_all_sections() -> None:
    many = [{"needles": [4], "rows": ["k"], "repeat": MOST_ROWS}] * (
        MOST_ROWS_IN_ALL // MOST_ROWS + 1
    )
    with pytest.raises(BadSection, match="rows are more than"):
        pattern(*many)


KEYS = st.sampled_from(
    ["name", "worked", "kind", "needles", "names", "rows", "first", "set_up", "repeat", "planned",
     "until", "mark", "less", "onto", "resting", "resting_names", "gauge", "numbers", "title", "unit",
     "section", "hand"]
)  # fmt: skip
SCALARS = st.sampled_from(
    ["k", "RS: k", "k | k", "rounds", "rows", "5 cm", "heel", 0, 1, 4, -1, 3.5, float("inf"), True,
     "", "\x1b", "k to last 3, k2tog, k1", "[k1] 9999 times", 10**30]
)  # fmt: skip
JUNK = st.recursive(
    SCALARS,
    lambda deeper: st.lists(deeper, max_size=3) | st.dictionaries(KEYS, deeper, max_size=5),
    max_leaves=8,
)


@examples(600)
@given(
    st.dictionaries(KEYS, JUNK, max_size=4),
    st.lists(st.dictionaries(KEYS, JUNK, max_size=8), max_size=3),
)
def test_any_tables_are_a_pattern_or_one_clear_line(
    top: dict[str, Any], parts: list[dict[str, Any]]
) -> None:
    whole = [
        {"name": "a", "worked": "rounds", "needles": [4, 4], "rows": ["k"]} | part for part in parts
    ]
    assert outcome(top | {"section": whole}).isprintable()
    assert outcome(top | {"section": parts}).isprintable()


def outcome(document: dict[str, Any]) -> str:
    import tomli_w

    text = tomli_w.dumps(document)
    tomllib.loads(text)
    made: Pattern | None = None
    try:
        made = opened(text).pattern
    except FileTrouble as bad:
        return bad.lines[0]
    assert made.sections
    return ""
