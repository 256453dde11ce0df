"""The ring: an anatomy that never changes shape, walked the way the work goes."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ui.reading import paint_at, solid, text
from tracker.ui.canvas import Rows
from tracker.ui.ring import HEIGHT, Look, RingNeedle, RingSight, ring_rows, walk

WIDTHS = [31, 23, 21]
NAMES = {1: ["round"], 2: ["A", "B"], 3: ["N1", "N2", "N3"], 4: ["N1", "N2", "N3", "N4"]}


def ring(
    needles: int = 4,
    at_work: int | None = None,
    *,
    left: bool = False,
    closed: bool = False,
    differs: tuple[int, ...] = (),
) -> RingSight:
    """A ring of 64 stitches; needles before the one at work are done."""

    def look(index: int) -> Look:
        if at_work is None or index > at_work:
            return "to come"
        return "done" if index < at_work else "at work"

    stitches = 64 // needles
    shown = tuple(
        RingNeedle(
            f"{name} {stitches}" + (f">{stitches - 1}" if n in differs else ""),
            look(n),
            n in differs,
        )
        for n, name in enumerate(NAMES[needles])
    )
    return RingSight(shown, "64 sts", left, at_work is None, closed)


def test_five_needles_with_the_third_at_work() -> None:
    """Drawn at 120 x 36: done heavy, at work solid, to come thin, one cell empty where two meet."""
    assert solid(ring_rows(ring(4, 2), 31)) == [
        "┏━━━━━━━━━━━━━━ ▀▀▀▀▀▀▀▀▀▀▀▀▀▀█",
        "┃  N2 16               N3 16  █",
        "┃                             ▼",
        "            64 sts             ",
        "┃                             │",
        "┃  N1 16               N4 16  │",
        "┗━━━━━━━━━━━━━━■──────────────╯",
    ]


def test_by_rounds_all_is_thin_and_a_small_arrow_stands_six_cells_after_the_marker() -> None:
    rows = ring_rows(ring(4, differs=(0, 3)), 31)
    assert text(rows)[6] == "╰────────◄─────■──────────────╯"
    assert text(rows)[5] == "│  N1 16>15         N4 16>15  │"
    assert paint_at(rows, 3, 5).ink == "accent"
    assert paint_at(rows, 3, 1).ink == "text"


def test_two_circulars_begin_at_the_side_and_have_the_instep_on_top() -> None:
    assert solid(ring_rows(ring(2, 1), 31)) == [
        "┏━━━━━━━━━━━━━━━━━━━━━━━━━━━━━┓",
        "┃            A 32             ┃",
        "┃                             ┃",
        "■           64 sts             ",
        "▲                             █",
        "█            B 32             █",
        "█▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄█",
    ]


def test_four_needles_have_the_instep_on_the_second() -> None:
    assert solid(ring_rows(ring(3, 1), 23))[0] == "█▀▀▀▀▀▀▀▀▀▀▀▀▀▀▀▀▀▀▀▀▀█"
    assert "N2 21" in text(ring_rows(ring(3, 1), 23))[1]


def test_a_single_needle_has_side_markers_from_the_gusset_on() -> None:
    plain = ring(1)
    assert text(ring_rows(plain, 31))[3] == "│           64 sts            │"
    assert (
        text(ring_rows(plain._replace(side_markers=True), 31))[3]
        == "■           64 sts            ■"
    )


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("needles", [1, 2, 3, 4])
def test_at_the_end_of_a_round_the_ring_is_one_solid_frame(needles: int, width: int) -> None:
    rows = solid(ring_rows(ring(needles, 0, closed=True), width))
    assert rows[0] == "█" + "▀" * (width - 2) + "█"
    assert rows[6] == "█" + "▄" * (width - 2) + "█"
    assert all(line[0] == line[-1] == "█" for line in rows)
    assert "■" not in "".join(rows)
    assert paint_at(ring_rows(ring(needles, 0, closed=True), width), width // 2, 3).bold


rings = st.builds(
    ring,
    st.sampled_from([1, 2, 3, 4]),
    st.none() | st.just(0),
    left=st.just(False),
    closed=st.booleans(),
) | st.builds(lambda n, k: ring(n, k % n), st.sampled_from([2, 3, 4]), st.integers(0, 3))

MIRROR = str.maketrans("╭╮╰╯┏┓┗┛►◄", "╮╭╯╰┓┏┛┗◄►")


def frame(rows: Rows) -> list[str]:
    """The frame's cells alone, with the blocks of the needle at work."""
    lines = solid(rows)
    middle = [line[0] + " " * (len(line) - 2) + line[-1] for line in lines[1:-1]]
    return [lines[0], *middle, lines[-1]]


@given(rings, st.sampled_from(WIDTHS))
def test_the_left_hand_sees_the_mirror_of_the_frame_and_the_same_words(
    sight: RingSight, width: int
) -> None:
    right, left = ring_rows(sight, width), ring_rows(sight._replace(left_handed=True), width)
    assert frame(left) == [line[::-1].translate(MIRROR) for line in frame(right)]
    for needle in sight.needles[: 0 if len(sight.needles) == 1 else None]:
        assert any(needle.label in line for line in text(left))
    assert text(left)[3].strip(" │■█") == text(right)[3].strip(" │■█")


@given(rings, st.sampled_from(WIDTHS), st.booleans())
def test_it_is_always_seven_rows_of_its_width(sight: RingSight, width: int, left: bool) -> None:
    rows = text(ring_rows(sight._replace(left_handed=left), width))
    assert [len(row) for row in rows] == [width] * HEIGHT


@pytest.mark.parametrize("needles", [1, 2, 3, 4])
@pytest.mark.parametrize("width", WIDTHS)
def test_the_walk_goes_round_once(needles: int, width: int) -> None:
    """Clockwise from the marker: every cell of the frame is on one needle, a marker or a gap.

    Seen from above, right-handed, the work goes clockwise: common practice, no source.
    """
    paths, marker = walk(width, needles)
    cells = [cell for path in paths for cell in path]
    border = 2 * width + 2 * (HEIGHT - 2)
    gaps = {1: 0, 2: 1, 3: 2, 4: 3}[needles]
    assert len(set(cells)) == len(cells) == border - gaps - 1
    assert marker not in cells
    # Twice the area within, signed: above 0 is clockwise where y grows downwards.
    turns = zip([marker, *cells], [*cells, marker], strict=True)
    assert sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in turns) > 0
    for path in paths:
        assert all(abs(x1 - x0) + abs(y1 - y0) == 1 for (x0, y0), (x1, y1) in pairwise(path))


def test_more_needles_than_the_frame_has_places_for_still_draw_a_ring() -> None:
    six = tuple(RingNeedle(f"N{n} 10", "to come", False) for n in range(1, 7))
    rows = text(ring_rows(RingSight(six, "60 sts", False, True, False), 31))
    assert rows[0].startswith("╭")
    assert "60 sts" in rows[3]
