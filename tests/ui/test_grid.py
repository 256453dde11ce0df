"""The grids: nothing leaves the screen, nothing lies on anything else, and the drawn sizes are exact."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.ui.grid import Box, Grid, Needs, grid_for

needs = st.builds(Needs, st.integers(2, 3), st.integers(0, 12), st.integers(0, 3))
screens = st.tuples(st.integers(1, 260), st.integers(1, 90), needs)


def inside(box: Box, outer: Box) -> bool:
    return (
        outer.x <= box.x
        and outer.y <= box.y
        and box.x + box.width <= outer.x + outer.width
        and box.y + box.height <= outer.y + outer.height
    )


def overlap(one: Box, two: Box) -> bool:
    return max(one.x, two.x) < min(one.x + one.width, two.x + two.width) and max(
        one.y, two.y
    ) < min(one.y + one.height, two.y + two.height)


@given(screens)
def test_every_part_is_on_the_screen_and_on_no_other_part(screen: tuple[int, int, Needs]) -> None:
    width, height, asked = screen
    places = grid_for(width, height, asked).places
    for box in places.values():
        assert box.width > 0
        assert box.height > 0
        assert inside(box, Box(0, 0, width, height))
    for one, two in combinations(places, 2):
        assert not overlap(places[one], places[two]), (one, two)


@given(screens)
def test_done_next_and_the_needles_stand_on_the_stage_side_by_side(
    screen: tuple[int, int, Needs],
) -> None:
    grid = grid_for(*screen)
    if grid.stage is None:
        assert grid.size == "smallest"
        return
    plan, stage = grid.stage, grid.places["stage"]
    columns = [plan.done, plan.next, *([plan.ring] if plan.ring else [])]
    if plan.card_alone:
        assert inside(plan.card, Box(0, 0, stage.width, stage.height))
        return
    assert all(inside(box, Box(0, 0, stage.width, stage.height)) for box in [*columns, plan.card])
    assert not any(overlap(one, two) for one, two in combinations(columns, 2))
    assert inside(plan.work, plan.next)
    assert max(plan.of, plan.caption) < stage.height
    assert 0 <= grid.bar < grid.end <= grid.places["cue"].width


@pytest.mark.parametrize(
    ("width", "height", "size"),
    [
        (112, 34, "full"), (111, 34, "medium"), (112, 33, "medium"), (72, 18, "medium"),
        (71, 34, "compact"), (56, 18, "compact"), (72, 17, "small"), (55, 18, "small"),
        (36, 10, "small"), (35, 10, "smallest"), (36, 9, "smallest"),
    ],
)  # fmt: skip
def test_a_grid_begins_where_it_is_said_to(width: int, height: int, size: str) -> None:
    assert grid_for(width, height).size == size


def absolute(grid: Grid) -> dict[str, tuple[int, int, int]]:
    """Column, row and width of the stage's three places on the screen."""
    assert grid.stage is not None
    stage, plan = grid.places["stage"], grid.stage
    at = {
        "done": (stage.x + plan.done.x, stage.y + plan.numerals, 0),
        "next": (stage.x + plan.next.x, stage.y + plan.word, plan.next.width),
    }
    if plan.ring:
        at["ring"] = (stage.x + plan.ring.x, stage.y + plan.ring.y, plan.ring.width)
    return at


def test_the_full_grid_is_the_drawing_at_120_by_36() -> None:
    grid = grid_for(120, 36)
    assert absolute(grid) == {"done": (6, 5, 0), "next": (38, 5, 43), "ring": (83, 5, 31)}
    assert grid.places["stage"] == Box(2, 2, 116, 13)
    assert grid.places["tape"][:3] == (66, 18, 48)
    assert grid.places["facts"][:3] == (66, 27, 48)
    assert grid.places["cue"] == Box(2, 15, 116, 3)
    assert grid.places["footer"].y == 35


def test_the_medium_grid_is_the_drawing_at_80_by_24() -> None:
    grid = grid_for(80, 24)
    assert absolute(grid) == {"done": (3, 4, 0), "next": (27, 4, 26), "ring": (54, 4, 23)}
    assert grid.places["stage"] == Box(1, 1, 78, 12)
    assert grid.places["tape"] == Box(3, 16, 74, 5)
    assert "pair" not in grid.places
    assert "pair" in grid_for(80, 40).places


def test_the_small_grid_is_the_drawing_at_40_by_12() -> None:
    grid = grid_for(40, 12)
    assert absolute(grid) == {"done": (1, 2, 0), "next": (16, 2, 23)}
    assert [grid.places[part].y for part in ("title", "stage", "cue", "tape", "facts", "footer")] == [
        0, 1, 8, 9, 10, 11,
    ]  # fmt: skip


def test_the_compact_grid_is_the_drawing_at_60_by_20() -> None:
    """Two columns: number over word, and beside them the needles over their work."""
    grid = grid_for(60, 20)
    assert absolute(grid) == {"done": (2, 2, 0), "next": (2, 11, 56), "ring": (32, 2, 25)}
    assert grid.stage is not None
    assert grid.stage.work == Box(32, 10, 26, 3)
    assert [grid.places[part].y for part in ("title", "stage", "cue", "tape", "facts", "footer")] == [
        0, 1, 15, 17, 18, 19,
    ]  # fmt: skip
    assert absolute(grid_for(60, 20, Needs(3))) == absolute(grid)


def test_on_a_taller_screen_the_compact_grid_shows_more_of_the_tape_and_then_the_pair() -> None:
    heights = {grid_for(60, height).places["tape"].height for height in range(18, 40)}
    assert heights == {1, 2, 5}
    assert "pair" not in grid_for(60, 30).places
    assert grid_for(60, 31).places["pair"] == Box(1, 26, 58, 3)


def test_a_card_takes_the_right_column_of_the_compact_grid() -> None:
    plan = grid_for(60, 20, Needs(card=5)).stage
    assert plan is not None
    assert plan.ring is None
    assert plan.done.x == grid_for(60, 20).places["title"].x
    assert plan.card == Box(24, 0, 34, 13)


def test_three_digits_move_the_next_column_and_narrow_the_ring() -> None:
    assert absolute(grid_for(80, 24, Needs(3))) == {
        "done": (3, 4, 0),
        "next": (33, 4, 22),
        "ring": (56, 4, 21),
    }
    assert absolute(grid_for(40, 12, Needs(3)))["next"][0] == 22
    assert absolute(grid_for(120, 36, Needs(3))) == absolute(grid_for(120, 36))


@given(st.integers(120, 260), st.integers(34, 90))
def test_only_the_tape_stretches(width: int, height: int) -> None:
    wide, drawn = grid_for(width, height).places, grid_for(120, height).places
    assert 48 <= wide["tape"].width <= 72
    for part in ("title", "stage", "cue", "pair", "footer"):
        assert wide[part].width == drawn[part].width
        assert wide[part].y == drawn[part].y
