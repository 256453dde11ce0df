"""The row notation: every construct, what it takes and leaves, and what it refuses.

What a stitch takes and leaves is common practice, no source.
"""

from __future__ import annotations

from contextlib import suppress
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.pattern.notation import (
    DECREASES,
    INCREASES,
    LARGEST,
    LONGEST_ROW,
    STITCHES,
    BadRow,
    Run,
    read_row,
    runs,
    stitch_of,
    totals,
    written,
)


def worked(text: str, live: int) -> tuple[list[Run], int]:
    """The runs of a row on one needle of `live` stitches, and what stays unworked."""
    (items,) = read_row(text).segments
    return runs(items, live)


def counts(text: str, live: int) -> tuple[int, int, int]:
    """Stitches taken, left on the needle in all, and made."""
    made, unworked = worked(text, live)
    sums = totals(made)
    return sums.takes, sums.leaves + unworked, sums.made


# Single stitches


@pytest.mark.parametrize(
    ("text", "takes", "leaves", "made"),
    [
        ("k1", 1, 1, 1), ("p1", 1, 1, 1), ("k1 tbl", 1, 1, 1), ("p1 tbl", 1, 1, 1),
        ("sl1", 1, 1, 0), ("sl1 tbl", 1, 1, 0),
        ("k2tog", 2, 1, 1), ("ssk", 2, 1, 1), ("skp", 2, 1, 1), ("p2tog", 2, 1, 1), ("ssp", 2, 1, 1),
        ("k2tog tbl", 2, 1, 1), ("p2tog tbl", 2, 1, 1),
        ("sk2p", 3, 1, 1), ("s2kp", 3, 1, 1), ("k3tog", 3, 1, 1), ("k3tog tbl", 3, 1, 1),
        ("yo", 0, 1, 1), ("M1", 0, 1, 1), ("M1L", 0, 1, 1), ("M1R", 0, 1, 1),
        ("kfb", 1, 2, 2), ("pfb", 1, 2, 2),
        ("C4F", 4, 4, 4), ("C6B", 6, 6, 6), ("C10F", 10, 10, 10),
        ("DS", 1, 1, 1), ("rest 1", 1, 1, 0), ("pick up 1", 0, 1, 1),
        ("CO 1", 0, 1, 0), ("BO 1", 1, 0, 0), ("graft 1", 1, 0, 0),
    ],
)  # fmt: skip
def test_a_stitch(text: str, takes: int, leaves: int, made: int) -> None:
    assert counts(text, takes) == (takes, leaves, made)
    assert counts(f"{text}, k1", takes + 1) == (takes + 1, leaves + 1, made + 1)
    if takes:
        with pytest.raises(BadRow, match=r"(is|are) left"):
            counts(text, takes - 1)


def test_decreases_and_increases_are_told_apart() -> None:
    assert all(STITCHES[name].leaves < STITCHES[name].takes for name in DECREASES)
    assert all(STITCHES[name].leaves > STITCHES[name].takes for name in INCREASES)
    assert {"k2tog", "ssk", "k2tog tbl", "s2kp"} <= DECREASES
    assert not {"BO", "graft", "k", "yo"} & DECREASES
    assert not {"pick up", "CO", "rest"} & INCREASES


# Reach


@pytest.mark.parametrize(
    ("text", "live", "left"),
    [
        ("k", 16, 16),
        ("p", 16, 16),
        ("k to end", 16, 16),
        ("k1, p", 16, 16),
        ("k tbl", 5, 5),
        ("k 3, p2, k", 16, 16),
        ("k to last 3, k2tog, k1", 26, 25),
        ("k to last 3, k2tog, k1", 3, 2),
        ("k1, ssk, k to end", 26, 25),
        ("k1, ssk, k to last 3, k2tog, k1", 32, 30),
        ("k2tog to end", 16, 8),
        ("k2tog to last 2, k2", 16, 9),
        ("ssk 2, k", 10, 8),
        ("sl to end", 4, 4),
        ("p to last 1, sl1", 7, 7),
        ("", 16, 16),
        ("BO all", 16, 0),
        ("BO 6, k", 16, 10),
        ("CO 4, k", 16, 20),
    ],
)
def test_how_far_a_stitch_goes(text: str, live: int, left: int) -> None:
    assert counts(text, live)[1] == left


@pytest.mark.parametrize(
    ("text", "live", "taken", "left"),
    [
        ("[sl1, k1] 16 times", 32, 32, 32),
        ("[sl1, k1] 0 times, k", 3, 3, 3),
        ("[k2, p2] x 4", 16, 16, 16),
        ("(k2, p2) x 4", 16, 16, 16),
        ("(k6, k2tog) 8 times", 64, 64, 56),
        ("*k6, k2tog; rep from * to end", 64, 64, 56),
        ("*k2, p2; rep from * to last 2, k2", 18, 18, 18),
        ("k1, *p2, k2; rep from * to last 3, p2, k1", 16, 16, 16),
        ("*k3, p1; rep from * 3 times", 16, 16, 16),
        ("[k1, p1] 3 times, k", 10, 10, 10),
        ("[[k1, p1] 2 times, yo] 2 times", 8, 8, 10),
        ("*[k1, p1] 2 times, k2; rep from * to end", 18, 18, 18),
        ("*[yo, k2tog] x 2; rep from * to end", 12, 12, 12),
        ("*k1, yo; rep from * to end", 3, 3, 6),
    ],
)
def test_brackets_and_repeats(text: str, live: int, taken: int, left: int) -> None:
    assert counts(text, live)[:2] == (taken, left)


def test_rep_from_star_three_times_is_four_in_all_and_brackets_are_three() -> None:
    """The one place where trade writing counts *more* times, not times in all."""
    assert counts("*k1, p1; rep from * 3 times", 8)[0] == 8
    assert counts("[k1, p1] 3 times", 8)[0] == 6


def test_the_pick_up_round_of_the_64_stitch_sock() -> None:
    """Common practice, no source."""
    row = read_row("rest 9, pick up 17 | k | k | pick up 17, k9 = 26/16/16/26")
    knit = [runs(items, live)[0] for items, live in zip(row.segments, (9, 16, 16, 9), strict=True)]
    assert tuple(totals(made).leaves for made in knit) == row.claim
    assert sum(totals(made).made for made in knit) == 17 + 16 + 16 + 17 + 9


# Rows


def test_a_row_has_a_side_needles_and_one_claim() -> None:
    row = read_row("WS: sl1, p17, p2tog, p1, turn = 31")
    assert (row.side, row.turns, row.claim, row.texts) == (
        "WS",
        True,
        (31,),
        ("sl1, p17, p2tog, p1, turn",),
    )
    round_ = read_row(" k to last 3,k2tog,k1|k |k1, ssk, k to end =26/25/26 ")
    assert (round_.side, round_.turns, round_.claim) == (None, False, (26, 25, 26))
    assert round_.texts == ("k to last 3,k2tog,k1", "k", "k1, ssk, k to end")


@pytest.mark.parametrize("text", ["RS:k32", "RS : k32", "RS: k32"])
def test_a_side_is_read_with_or_without_room(text: str) -> None:
    assert read_row(text).side == "RS"


def test_an_empty_needle_rests() -> None:
    assert read_row("| k | ").segments[0] == ()
    assert runs((), 16) == ([], 16)


@pytest.mark.parametrize("turn", ["turn", "w&t"])
def test_a_turn_leaves_stitches_unworked(turn: str) -> None:
    assert read_row(f"RS: k29, {turn}").turns
    assert worked(f"RS: k29, {turn}", 32) == ([Run("k", 29)], 3)


def test_a_double_stitch_stands_alone() -> None:
    assert counts("DS, p22, turn", 24) == (23, 24, 23)


# Refused, in one line


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("q3", "q3"),
        ("k3 p1", 'p" was not expected'),
        ("k3,", "a stitch is missing"),
        (", k3", '"," is not a stitch'),
        ("[k1, p1]", "a number is missing"),
        ("[k1, p1] 3", '"times" is missing'),
        ("[k1, p1 3 times", '"]" is missing'),
        ("[k1) 3 times", '"]" is missing'),
        ("*k1, p1", '";" is missing'),
        ("*k1, p1; rep from *", "a number is missing"),
        ("k to last", "a number is missing"),
        ("pick up", '"pick up" needs a number'),
        ("CO", '"CO" needs a number'),
        ("BO", '"BO" needs a number'),
        ("rest", '"rest" needs a number'),
        ("yo tbl", '"yo tbl" is not a stitch'),
        ("turn, k3", "nothing stands after a turn"),
        ("k3, turn | k", "nothing stands after a turn"),
        ("[k1, turn] 2 times", "a turn ends a row"),
        ("k3 = 3 = 3", "is not a row"),
        ("k3 = ", "is not a row"),
        ("k3 = x", "is not a row"),
        ("= 3/", "is not a row"),
        ("XS: k3", "XS"),
        ("k20000", "20000 is more than 10000"),
        ("times", '"times" is not a stitch'),
        ("kk", "kk"),
        ("k2togs", "togs"),
        ("C0F", "C0F"),
        ("[[[[[[[k1] 1 times] 1 times] 1 times] 1 times] 1 times] 1 times] 1 times", "deep"),
        ("k1, \x1b[31mp1", "?"),
    ],
)
def test_what_cannot_be_read(text: str, says: str) -> None:
    with pytest.raises(BadRow) as bad:
        read_row(text)
    message = str(bad.value)
    assert says in message
    assert "\n" not in message
    assert message.isprintable()
    assert len(message) < 120


@pytest.mark.parametrize(
    ("text", "live", "says"),
    [
        ("k17", 16, "k17 needs 17 stitches, 16 are left"),
        ("k to last 3", 2, "only 2 stitches are left, fewer than the last 3"),
        ("k2tog to end", 15, "does not come out"),
        ("yo to end", 4, "does not come out"),
        ("[k2, p2] 5 times", 16, "are left"),
        ("*k2, p2; rep from * to end", 18, "are left"),
        ("*k2, p2; rep from * to last 1", 20, "the repeat does not come out"),
        ("*yo; rep from * to end", 8, "the repeat does not come out"),
        ("*k3; rep from * to last 5", 4, "fewer than the last 5"),
    ],
)
def test_what_does_not_come_out(text: str, live: int, says: str) -> None:
    with pytest.raises(BadRow, match=says):
        worked(text, live)


# Work is bounded before it is done


@pytest.mark.parametrize(
    ("text", "live"),
    [
        ("[[k] 10000 times] 10000 times", 64),
        ("[[k1] 10000 times] 10000 times", 10_000_000),
        ("[[yo] 10000 times] 10000 times", 4),
        ("[[[yo, yo] 10000 times] 10000 times] 10000 times", 4),
        ("[[[[pick up 0] 10000 times] 10000 times] 10000 times] 10000 times", 4),
        ("[" + "k0, " * 300 + "k1] 10000 times", 1_000_000),
        ("*[k0] 10000 times, k1; rep from * to end", 1_000_000),
        ("[[k1, [k0] 10000 times, yo] 100 times] 10000 times", 1_000_000),
    ],
)
def test_work_is_refused_or_done_at_once(text: str, live: int) -> None:
    began = process_time()
    with suppress(BadRow):
        worked(text, live)
    assert process_time() - began < 1.0


def test_more_stitches_than_a_row_may_have_are_refused() -> None:
    with pytest.raises(BadRow, match=f"more than {LARGEST}"):
        worked("[[k1] 10000 times] 2 times", 1_000_000)
    assert worked(f"k{LARGEST}", LARGEST)[1] == 0


def test_a_row_of_a_books_length_is_refused_unread() -> None:
    with pytest.raises(BadRow, match=f"longer than {LONGEST_ROW}"):
        read_row("k1, " * LONGEST_ROW + "k1")


ITEMS = st.sampled_from(
    ["k", "p", "k1", "k3", "ssk", "k2tog", "yo", "sl1", "kfb", "C4F", "rest 2", "pick up 3", "k to end",
     "k to last 2", "[k1, p1] 2 times", "*k2, p2; rep from * to end", "turn", "= 5", "|", ";", "(", "x 3"]
)  # fmt: skip


@given(st.lists(ITEMS | st.text(max_size=6), max_size=8).map(", ".join), st.integers(0, 60))
def test_any_text_is_a_row_or_one_clear_line(text: str, live: int) -> None:
    message = ""
    try:
        for items in read_row(text).segments:
            made, unworked = runs(items, live)
            assert totals(made).takes + unworked == live
    except BadRow as bad:
        message = str(bad)
    assert message.isprintable()


# Writing


RUNS = st.lists(
    st.builds(Run, st.sampled_from([*sorted(STITCHES), "C4F", "C6B"]), st.integers(1, 5)),
    max_size=9,
)


@given(RUNS, st.integers(1, 4))
def test_runs_are_written_so_that_they_read_back(made: list[Run], times: int) -> None:
    """Neighbours of one kind are one run; four equal stretches make a bracket, not a long line."""
    joined: list[Run] = []
    for run in made * times:
        if joined and joined[-1].stitch == run.stitch:
            joined[-1] = Run(run.stitch, joined[-1].times + run.times)
        else:
            joined.append(run)
    text = written(joined)
    again, unworked = worked(text, totals(joined).takes)
    assert unworked == 0
    assert totals(again) == totals(joined)
    assert [stitch_of(run.stitch) for run in again for _ in range(run.times)] == [
        stitch_of(run.stitch) for run in joined for _ in range(run.times)
    ]


def test_a_rib_is_written_as_a_bracket() -> None:
    assert written([Run("k", 2), Run("p", 2)] * 4) == "[k2, p2] 4 times"
    assert (
        written([Run("k", 1), *[Run("p", 2), Run("k", 2)] * 3, Run("p", 2)])
        == "k1, [p2, k2] 3 times, p2"
    )
    assert written([Run("k", 16)]) == "k16"
    assert written([Run("k tbl", 2), Run("k2tog", 2), Run("C4F", 1)]) == "k2 tbl, k2tog, k2tog, C4F"
    assert written([]) == ""
