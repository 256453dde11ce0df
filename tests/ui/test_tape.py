"""The tape: one scale, never backwards, never beyond its strip."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ui import glances
from tests.ui.reading import find, paint_at, text
from tracker.ui.tape import (
    TapeReading,
    TapeSight,
    column,
    reached,
    scale_mm,
    tape_in_two,
    tape_row,
    tape_rows,
    tape_sight,
)
from tracker.units import Unit

lengths = st.floats(0, 800, allow_nan=False)
sights = st.builds(
    TapeSight,
    label=st.just("leg"),
    unit=st.sampled_from(["cm", "mm", "in"]),
    now=st.none() | lengths,
    goal=st.none() | lengths,
    low=st.none() | lengths,
    high=st.none() | lengths,
    due=st.none() | lengths,
    readings=st.lists(st.builds(TapeReading, lengths, st.booleans(), lengths), max_size=6).map(
        tuple
    ),
)
OPEN = TapeSight(
    "leg",
    "cm",
    135.0,
    160.0,
    156.0,
    166.0,
    152.0,
    (TapeReading(52.0, True, 52.0), TapeReading(101.0, True, 101.0)),
)


def test_the_tape_of_a_leg_is_drawn_mark_by_mark() -> None:
    """Drawn at 48 cells: 13.5 of 17 cm reached, the goal in its band, the next reading below."""
    assert text(tape_rows(OPEN, 48)) == [
        "             5.2          10.1              16  ",
        "              ▼             ▼               ╭◊╮ ",
        "  ╵  ╵  ╵  ╵  │ ╵  ╵  ╵  ╵  │  ╵ ╵  ╵  ╵  │  ╵  ",
        "              5            10            15     ",
        "                                          ▲     ",
    ]


def test_in_two_rows_each_figure_stands_beside_its_mark() -> None:
    assert text(tape_in_two(OPEN, 48)) == [
        "              ▼ 5.2         ▼ 10.1        16 ◊  ",
        "              5            10            15     ",
    ]


def test_in_two_rows_a_figure_for_which_there_is_no_room_is_left_out_and_its_mark_is_not() -> None:
    close = OPEN._replace(readings=tuple(TapeReading(mm, True, mm) for mm in (146.0, 149.0, 155.0)))
    (marks, _) = text(tape_in_two(close, 48))
    assert [marks.count(sign) for sign in "▼◊"] == [3, 1]
    assert marks.split() == ["14.6", "▼▼▼", "◊"]


def test_what_is_reached_the_band_and_the_rest_have_grounds_of_their_own() -> None:
    rows = tape_rows(OPEN, 48)
    assert paint_at(rows, 37, 3).ground == "tape"
    assert paint_at(rows, 38, 3).ground == "faint"
    assert [paint_at(rows, x, 3).ground for x in (43, 44, 46, 47)] == [
        "faint",
        "band",
        "band",
        "faint",
    ]
    assert paint_at(rows, 28, 3).ink == "on-tape"
    assert paint_at(rows, 42, 3).ink == "text"


@given(sights)
def test_the_scale_holds_all_it_has_to_show(sight: TapeSight) -> None:
    scale = scale_mm(sight)
    counted = [reading.at_mm for reading in sight.readings if reading.counts]
    shown = [sight.now, sight.goal, sight.high, *counted]
    assert all(mm < scale for mm in shown if mm is not None)
    assert scale >= 50


def test_a_slip_of_the_tape_stretches_nothing() -> None:
    """A reading that does not count stands at the end of the strip where it is past it."""
    sight = TapeSight("leg", "cm", 55.0, 60.0, readings=(TapeReading(1600.0, False, 1600.0),))
    assert scale_mm(sight) == scale_mm(sight._replace(readings=()))
    assert "(160.0)" in text(tape_rows(sight, 72))[0]


@given(st.floats(50, 2000), st.integers(30, 110), lengths, lengths)
def test_the_scale_never_goes_back(scale: float, width: int, one: float, two: float) -> None:
    low, high = sorted((one, two))
    assert 0 <= column(low, scale, width) <= column(high, scale, width) < width
    assert 0 <= reached(low, scale, width) <= reached(high, scale, width) <= width


@given(sights, st.integers(30, 110))
def test_it_never_leaves_its_width(sight: TapeSight, width: int) -> None:
    assert [len(line) for line in text(tape_rows(sight, width))] == [width] * 5
    assert [len(line) for line in text(tape_in_two(sight, width))] == [width] * 2
    assert [len(line) for line in text(tape_row(sight, width))] == [width]


@given(sights, st.integers(40, 110))
def test_no_two_figures_touch(sight: TapeSight, width: int) -> None:
    """Every figure above the strip is one that was given, whole."""
    figures = text(tape_rows(sight._replace(unit="cm"), width))[0].split()
    assert len(figures) <= len(sight.readings) + 1
    assert all(figure.count(".") <= 1 for figure in figures)


def test_a_reading_that_does_not_count_stands_in_brackets() -> None:
    odd = OPEN._replace(readings=(TapeReading(101.0, False, 101.0),))
    rows = tape_rows(odd, 48)
    assert "(10.1)" in text(rows)[0]
    assert paint_at(rows, 28, 1).ink == "quiet"


@pytest.mark.parametrize(
    ("unit", "now", "figure"), [("cm", 160.0, "16"), ("mm", 160.0, "160"), ("in", 165.1, "6 1/2")]
)
def test_the_goal_is_written_in_her_unit(unit: Unit, now: float, figure: str) -> None:
    assert figure in text(tape_rows(TapeSight("leg", unit, 10.0, now), 48))[0]


def test_inches_have_a_figure_each_and_a_tick_for_the_half() -> None:
    rows = text(tape_rows(TapeSight("leg", "in", 10.0, 7 * 25.4), 48))
    assert rows[3].split() == ["1", "2", "3", "4", "5", "6", "7"]
    assert rows[2].count("╵") == 8
    assert rows[2].count("│") == 7


def test_without_a_length_the_strip_rests_empty() -> None:
    rows = tape_rows(tape_sight(glances.turn()), 48)
    assert "".join(text(rows)).strip() == ""
    assert paint_at(rows, 0, 2).ground == "faint"


def test_a_count_fixed_by_the_other_sock_shows_where_it_will_land() -> None:
    sight = tape_sight(glances.leg())
    assert (sight.goal, sight.low, sight.high, sight.due) == (161.0, None, None, None)


def test_an_open_goal_shows_its_band_and_the_next_reading() -> None:
    glance = glances.leg()
    sight = tape_sight(glance._replace(place=glance.place._replace(planned_by="goal")))
    assert (sight.goal, sight.low, sight.high) == (160.0, 156.0, 166.0)
    assert sight.due == pytest.approx(135 + (161 - 135) * 8 / 11)


def test_the_label_names_the_mark() -> None:
    assert tape_sight(glances.leg()).label == "leg 16 cm from the cast-on edge"
    assert tape_sight(glances.gusset()).label == "toe begins at 18.5 cm from the heel"


def test_one_row_has_the_figures_on_the_strip_and_the_goal() -> None:
    rows = tape_row(OPEN, 38)
    assert find(rows, "10")[0] == column(100, scale_mm(OPEN), 38) - 1
    assert find(rows, "◊")[0] == column(160, scale_mm(OPEN), 38)
