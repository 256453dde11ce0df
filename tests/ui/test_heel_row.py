"""The heel row: what is worked, what rests on which side, and where the gap is closed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ui.reading import paint_at, solid, text
from tracker.ui.heel_row import HeelRow, HeelSight, heel_row, heel_rows, rest_text


def sight(row: HeelRow, side: str = "WS", *, left: bool = False) -> HeelSight:
    """The picture of `row`, turning at its end."""
    return HeelSight(row, "WS" if side == "WS" else "RS", left, "instep 32 rests", turns=True)


def turning(stitches: int, rest: int, beyond: int) -> Iterator[tuple[str, int, int]]:
    """A heel turn, followed stitch by stitch: each row's work, the stitches before it, those left ahead.

    The first row leaves `rest` stitches, the second as many on the other side; from then on each
    decrease takes the last stitch before the gap and the first beyond it, and `beyond` more are
    worked (common practice, no source).
    """
    behind, far, total = 0, rest + 1 + beyond, stitches
    for row in count(1):
        core = total - behind - far
        more = min(beyond, far - 1)
        stitch, decrease = ("p", "p2tog") if row % 2 else ("k", "ssk")
        tail = f", {stitch}{more}" if more else ""
        ahead = far - 1 - more
        yield f"sl1, {stitch}{core - 2}, {decrease}{tail}, turn", total, ahead
        total -= 1
        far = rest + 1 + beyond if row == 1 else behind
        behind = ahead
        if far == 0:
            return


def test_row_eight_of_a_turn_over_32_stitches_is_drawn_stitch_by_stitch() -> None:
    """Row 8 of the 64-stitch sock (common practice, no source): 25 stitches, 5 rest on each side."""
    row = heel_row("sl1, p11, p2tog, p1, turn", 25, 8, "turn")
    assert row == HeelRow(behind=5, before=13, decrease="/", beyond=2, ahead=5)
    assert solid(heel_rows(sight(row), 31)) == [
        "╭╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╮",
        "╎       instep 32 rests       ╎",
        "╎                             ╎",
        "        ───────────────►       ",
        "  ▄▄▄▄▄ █████████████/██▄▄▄▄▄  ",
        "  5 rest               ╰ turn  ",
        "                               ",
    ]


def test_the_right_side_row_runs_to_the_left() -> None:
    row = heel_row("sl1, k10, ssk, k1, turn", 26, 7, "turn")
    assert row == HeelRow(behind=7, before=12, decrease="\\", beyond=2, ahead=5)
    picture = solid(heel_rows(sight(row, "RS"), 31))  # 28 cells in 27: the middle gives one up
    assert "◄──" in picture[3]
    assert picture[4].strip() == "▄▄▄▄▄██\\███████████ ▄▄▄▄▄▄▄"
    assert picture[5].endswith("7 rest  ")
    assert "turn ╯" in picture[5]


@pytest.mark.parametrize(("stitches", "rest"), [(24, 8), (30, 10), (32, 11), (36, 13)])
@pytest.mark.parametrize("beyond", [0, 1])
def test_what_rests_behind_is_what_the_row_before_left_ahead(
    stitches: int, rest: int, beyond: int
) -> None:
    left = 0
    rows = list(turning(stitches, rest, beyond))
    for number, (work, before, ahead) in enumerate(rows, start=1):
        drawn = heel_row(work, before, number, "turn")
        assert drawn.decrease == ("/" if number % 2 else "\\")
        assert (drawn.behind, drawn.ahead) == (left, ahead), work
        assert drawn.behind + drawn.before + drawn.beyond + drawn.ahead == before
        left = ahead
    assert rows[0][0].startswith("sl1, p")
    assert left == 0


def test_a_flap_row_covers_the_needle_and_the_set_up_row_half_of_it() -> None:
    assert heel_row("[sl1, k1] 16 times, turn", 32, 2, "flap") == HeelRow(0, 32, "", 0, 0)
    assert heel_row("k16, turn", 32, 1, "heel set-up") == HeelRow(16, 16, "", 0, 0)


def test_a_decrease_outside_a_turn_closes_no_gap() -> None:
    assert heel_row("sl1, k29, ssk, turn", 32, 3, "flap").decrease == ""


def test_work_that_cannot_be_read_covers_the_needle() -> None:
    assert heel_row("do as on sock one", 32, 4, "turn") == HeelRow(0, 32, "", 0, 0)


def test_short_rows_rest_on_both_sides() -> None:
    """A short-row heel over 32: each row ends one stitch before the last (common practice, no source)."""
    assert heel_row("k31, w&t", 32, 1, "heel") == HeelRow(0, 31, "", 0, 1)
    assert heel_row("p30, w&t", 32, 2, "heel") == HeelRow(1, 30, "", 0, 1)


def test_where_it_is_known_what_lies_behind_that_is_shown() -> None:
    """Row 1 of a second half begins with all that the first half has left behind it."""
    first = heel_row("k10, k1, w&t", 32, 1, "heel second half", behind=11)
    assert first == HeelRow(11, 11, "", 0, 10)


rows = st.builds(
    HeelRow,
    st.integers(0, 30),
    st.integers(2, 60),
    st.sampled_from(["", "/", "\\"]),
    st.integers(0, 3),
    st.integers(0, 30),
)


@given(rows, st.sampled_from(["RS", "WS"]), st.booleans(), st.sampled_from([31, 23, 21]))
def test_it_never_leaves_its_width(row: HeelRow, side: str, left: bool, width: int) -> None:
    picture = text(heel_rows(sight(row, side, left=left), width))
    assert [len(line) for line in picture] == [width] * 7
    assert "turn" in picture[5]
    assert picture[4].startswith("  ") or len(picture[4].strip()) <= width - 4
    assert sum(arrow in picture[3] for arrow in "►◄") == 1


@given(rows, st.sampled_from([31, 23]))
def test_the_left_hand_works_the_other_way(row: HeelRow, width: int) -> None:
    lean = str.maketrans("/\\", "\\/")
    right = solid(heel_rows(sight(row, "WS"), width))[3:5]
    left = solid(heel_rows(sight(row, "WS", left=True), width))[3:5]
    assert left[0].strip() == right[0].strip()[::-1].replace("►", "◄")
    assert left[1].strip() == right[1].strip()[::-1].translate(lean)


def test_worked_stitches_are_loud_and_those_at_rest_are_not() -> None:
    picture = heel_rows(sight(HeelRow(5, 13, "/", 2, 5)), 31)
    assert paint_at(picture, 2, 4).ink == "quiet"
    assert paint_at(picture, 9, 4).ink == "accent"


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (HeelRow(5, 13, "/", 2, 5), "5 stitches rest on each side"),
        (HeelRow(1, 13, "/", 2, 1), "1 stitch rests on each side"),
        (HeelRow(7, 13, "/", 2, 5), "7 stitches rest behind, 5 ahead"),
        (HeelRow(0, 21, "/", 2, 11), "11 stitches rest ahead"),
        (HeelRow(16, 16, "", 0, 0), "16 stitches rest behind"),
        (HeelRow(0, 32, "", 0, 0), ""),
    ],
)
def test_what_rests_is_said(row: HeelRow, said: str) -> None:
    assert rest_text(row) == said
