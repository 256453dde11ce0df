"""Rows as printed pages have them: both readers refuse them, and say how they are written here."""

from __future__ import annotations

import re
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pattern.test_two_readers import pieces
from tracker.pattern.audit import audit
from tracker.pattern.notation import BadRow, read_row
from tracker.pattern.printed import mended

# The words are common practice, no source.
PRINTED = [
    # (as printed, what to write instead, the row as it is then)
    ("K10", "write k10", "k10"),
    ("k3, K2 TOG, k5", "write k2tog", "k3, k2tog, k5"),
    ("k2 tog, k8", "write k2tog", "k2tog, k8"),
    ("k 2 tog, k8", "write k2tog", "k2tog, k8"),
    ("k2togtbl, k8", "write k2tog tbl", "k2tog tbl, k8"),
    ("k10 sts", "write k10", "k10"),
    ("k to last 3 sts, p3", "write k to last 3", "k to last 3, p3"),
    ("k to the end of round", "write k to end", "k to end"),
    ("*k1, p1; repeat from * to end", 'write "*k1, p1; rep from * to end"', None),
    ("*k1, p1, rep from * to end of rnd", 'write "*k1, p1; rep from * to end"', None),
    ("*k1, p1; rep from *", 'write "*k1, p1; rep from * to end"', None),
    ("*k1, p1; rep from * around", 'write "*k1, p1; rep from * to end"', None),
    ("*k1, p1; rep from * 4 more times", 'write "*k1, p1; rep from * 4 times"', None),
    ("*K1, P1* rep to end", 'write "*k1, p1; rep from * to end"', None),
    ("[k1, p1] 5", "write [k1, p1] 5 times", None),
    ("[k4, p1] twice", "write [k4, p1] 2 times", None),
    ("[k4, p1] two times", "write [k4, p1] 2 times", None),
    ("ssk twice, k6", "write ssk 2", "ssk 2, k6"),
    ("sl1 wyif, k", "write sl1: where the yarn lies can be a note", "sl1, k"),
    ("sl 1 purlwise, k", "write sl 1", "sl 1, k"),
    ("k5, pm, k5", "leave pm out: a marker is no stitch", "k5, k5"),
    ("Knit", "write k", "k"),
    ("knit 3, purl 7", 'write "k3, p7"', "k3, p7"),
    ("K3, P2, K5", 'write "k3, p2, k5"', "k3, p2, k5"),
    ("k3 p2 k5", 'write "k3, p2, k5"', "k3, p2, k5"),
    ("k3, SSK, k5", "write ssk", "k3, ssk, k5"),
    ("k3, m1, k", "write M1", "k3, M1, k"),
    ("k3, make 1, k", "write M1", "k3, M1, k"),
    ("cast off 3, k", "write BO 3", "BO 3, k"),
    ("k10, cast on 3 sts", "write CO 3", "k10, CO 3"),
    ("kf&b, k", "write kfb", "kfb, k"),
    ("sl1, k1, psso, k8", 'write "skp, k8"', "skp, k8"),
    ("k10.", "write k10", "k10"),
    ("k8; p2", 'write "k8, p2"', "k8, p2"),
    ("Rnd 1: k10", "write k10", "k10"),
    ("Knit all sts", "write k", "k"),
    ("k around", "write k", "k"),
    ("BO all sts", "write BO all", "BO all"),
    ("Cast off all stitches.", "write BO all", "BO all"),
    ("k1 to end", "write k to end", "k to end"),
    ("c4f, k", "write C4F", "C4F, k"),
    ("k10 (10 sts)", 'write "k10 = 10"', "k10 = 10"),
    ("k2tog, k8 = 9 sts", 'write "k2tog, k8 = 9"', "k2tog, k8 = 9"),
]  # fmt: skip


def problems(row: str, *more: str, worked: str = "rounds") -> list[tuple[int | None, str, str]]:
    section = {"name": "a", "worked": worked, "needles": [10], "rows": [row, *more]}
    return [(found.row, found.problem, found.instead) for found in audit({"section": [section]})]


@pytest.mark.parametrize(("printed", "instead", "row"), PRINTED, ids=[row[0] for row in PRINTED])
def test_the_audit_says_how_it_is_written(printed: str, instead: str, row: str | None) -> None:
    row = row or instead.removeprefix("write ").strip('"')
    assert problems(row) == []
    ((number, _, told),) = problems(printed)
    assert (number, told) == (1, instead)


@pytest.mark.parametrize(("printed", "instead", "row"), PRINTED, ids=[row[0] for row in PRINTED])
def test_so_does_the_reader_that_opens_patterns(
    printed: str, instead: str, row: str | None
) -> None:
    read_row(row or instead.removeprefix("write ").strip('"'))
    with pytest.raises(BadRow) as bad:
        read_row(printed)
    proposed = re.search(r'; write "?(.*?)"?(?:: where .*)?$', str(bad.value))
    if "leave" in instead:
        assert str(bad.value).endswith(instead)
    else:
        assert proposed is not None, bad.value
        assert proposed[1] in (row, instead.partition(":")[0].removeprefix("write ").strip('"'))


@pytest.mark.parametrize(("printed", "instead", "row"), PRINTED, ids=[row[0] for row in PRINTED])
def test_the_work_goes_on_from_what_was_meant(printed: str, instead: str, row: str | None) -> None:
    row = row or instead.removeprefix("write ").strip('"')
    after = [found[1] for found in problems(row, "k99")]
    assert [found[1] for found in problems(printed, "k99")][1:] == after
    assert len(after) == 1


def test_a_printed_count_that_does_not_come_out_is_named_beside_it() -> None:
    assert [found[1:] for found in problems("K4, K2TOG, k (8 sts)", "k = 8")] == [
        ('"K4" is not known', 'write "k4, k2tog, k = 8"'),
        ("it leaves 9, the claim says 8", "write = 9"),
    ]


def test_what_around_means_after_more_than_one_stitch_is_not_guessed() -> None:
    assert problems("k3, k2tog around")[0][2].startswith("write a stitch such as")


def test_the_side_is_added_where_the_rows_are_flat() -> None:
    rows = ("Row 1 (RS): Sl 1, k to end.", "Row 2: Sl 1, p to end.", "RS: k9")
    assert [found[2] for found in problems(*rows, worked="rows")] == [
        'write "RS: sl 1, k to end"', 'write "WS: sl 1, p to end"', "work 1 more, or turn",
    ]  # fmt: skip


def test_a_flat_row_is_known_by_its_printed_side() -> None:
    assert problems("Row 1 (RS): K10.", "Row 2 (WS): Purl", worked="rows") == [
        (1, '"Row 1 (RS): K10." is not known', 'write "RS: k10"'),
        (2, '"Row 2 (WS): Purl" is not known', 'write "WS: p"'),
    ]
    assert problems("RS K10", "WS: p", worked="rows")[0][2] == 'write "RS: k10"'


@pytest.mark.parametrize(
    "row", ["bobble", "k, fluff 2", "k to marker", "inc 3", "??", "= 5", "10 sts"]
)
def test_what_is_not_known_is_not_guessed(row: str) -> None:
    assert problems(row)[0][2] in (
        "write a stitch such as k3, ssk or [k2, p2] 4 times", 'write its stitches, such as "k"',
    )  # fmt: skip


@given(pieces())
def test_a_row_that_is_read_is_left_as_it_is(section: dict[str, list[str]]) -> None:
    """Save for its spaces: mending proposes nothing else for what needs no mending."""
    for row in section["rows"]:
        try:
            read = read_row(row)
        except BadRow:
            continue
        again = read_row(mended(row))
        assert (again.side, again.segments, again.claim) == (read.side, read.segments, read.claim)


@given(st.text(max_size=80))
def test_anything_can_be_looked_at(text: str) -> None:
    assert isinstance(mended(text), str)


@pytest.mark.parametrize(
    "part", ["k", "*", "[", "1 ", "rep from * ", "k1 ", ", ", " ", "st ", "to end "]
)
def test_looking_takes_no_time(part: str) -> None:
    begun = time.process_time()
    mended(part * (400 // len(part)))
    assert time.process_time() - begun < 0.2
    rows = [f"{part * (20 // len(part))}K{n} ??" for n in range(2_000)]
    problems("K", *rows)
    assert time.process_time() - begun < 3


@pytest.mark.parametrize(
    ("row", "audit_says", "reader_says"),
    [
        ("p12", "p12 takes 12 stitches, 10 are there", "p12 needs 12 stitches, 10 are left"),
        ("k2tog 6", "k2tog 6 times takes 12 stitches, 10 are there",
         "k2tog 6 times needs 12 stitches, 10 are left"),
        ("k9, ssk", "ssk takes 2 stitches, 1 is there", "ssk needs 2 stitches, 1 is left"),
        ("rest 11", "rest 11 takes 11 stitches, 10 are there", "rest 11 needs 11 stitches, 10 are left"),
    ],
)  # fmt: skip
def test_a_stitch_is_named_as_it_is_written(row: str, audit_says: str, reader_says: str) -> None:
    from tracker.pattern.notation import runs

    assert problems(row)[0][1] == audit_says
    with pytest.raises(BadRow) as bad:
        runs(read_row(row).segments[0], 10)
    assert str(bad.value) == reader_says
