"""Plots on the screen: what is drawn lies where its numbers say, nothing is cut, and words say the same."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import FLAP, SAMPLE, TOE, Knitter
from tests.ui.driving import app_of, begin, lines, shown, until
from tests.ui.reading import paint_at, text
from tracker.forecast.series import Sitting, Tight
from tracker.keys import DEFAULT
from tracker.knitting.course import Course
from tracker.plots import NAMES, Plots, plots_of, told
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file
from tracker.ui import plot_view as view
from tracker.ui.canvas import LOWER, UPPER, Canvas, Rows, cells
from tracker.ui.commands import PLOT_COMMANDS, by_key
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.palette import Paint
from tracker.ui.plot_view import Bar, Box, Scale, Span
from tracker.ui.plots_screen import PlotsScreen
from tracker.ui.plots_view import page_rows
from tracker.units import MM_PER

SIZES = [(120, 36), (80, 24), (60, 20), (40, 12)]
GLYPHS = set("\u2588\u2580\u2584\u258c\u2500\u2502\u2570\u25b2\u25bc\u25ca\u25a0")
"""Of what is not ASCII only signs that are one cell wide wherever they are shown."""


def drawn(knitter: Knitter) -> Plots:
    return plots_of(knitter.course, knitter.state, "11.4", "m")


@cache
def both_measured(course: Course | None = None) -> Plots:
    """Sock one is knitted and measured; sock two is at its leg, and tighter."""
    knitter = Knitter(course)
    leg = knitter.course.sections[1].planned
    knitter.to("leg", leg - 12)
    before = _mm(knitter)
    knitter.do("measure", mm=before, step=0)
    knitter.to("leg", leg)
    knitter.do("measure", mm=_mm(knitter) * 1.02, step=0)
    knitter.do("end")
    knitter.finish()
    knitter.do("other")
    knitter.to("leg", leg - 8, sock=2)
    knitter.do("measure", mm=_mm(knitter) * 0.95, step=0)
    return drawn(knitter)


def _mm(knitter: Knitter) -> float:
    glance = knitter.look()
    assert glance.length is not None
    return glance.length.mm


def page(plots: Plots, at: int, size: tuple[int, int]) -> Rows:
    return page_rows(plots, at, (), *size)


# Scales


@given(st.floats(-50, 50), st.floats(0.1, 500), st.integers(1, 120), st.floats(0, 1))
def test_a_value_lies_in_the_cell_that_its_share_says(
    low: float, span: float, wide: int, share: float
) -> None:
    scale = Scale(low, low + span, wide)
    cell = scale.at(low + share * span)
    assert 0 <= cell < wide
    assert abs(scale.middle(cell) - (low + share * span)) <= span / wide * 0.51
    assert scale.at(scale.middle(cell)) == cell


@given(st.floats(0.01, 900), st.integers(1, 120), st.integers(1, 12))
def test_figures_are_round_and_as_far_apart_as_asked(span: float, wide: int, apart: int) -> None:
    scale = Scale(0, span, wide)
    found = scale.ticks(apart)
    assert found[0] == 0
    places = [value / span * wide for value in found]
    assert all(after - before >= apart * 0.999 for before, after in pairwise(places))
    assert all(len(f"{value:g}") <= 6 for value in found)


@pytest.mark.parametrize(
    ("least", "step"), [(1, 1), (1.01, 2), (2.1, 5), (5.5, 10), (0.03, 0.05), (70, 100), (0, 1)]
)
def test_steps(least: float, step: float) -> None:
    assert view.round_step(least) == pytest.approx(step)


# Length


@pytest.mark.parametrize("size", [(114, 20), (74, 14), (50, 10), (38, 6)])
def test_every_reading_lies_in_the_cell_that_its_numbers_say(size: tuple[int, int]) -> None:
    knitter = Knitter()
    for row, mm in ((12, 78.0), (24, 107.0), (34, 130.0)):
        knitter.to("leg", row)
        knitter.do("measure", mm=mm, step=0)
    found = drawn(knitter).growth
    assert found
    canvas = Canvas(*size, Paint("text", "page"))
    box = Box(0, 0, *size)
    view.draw_growth(canvas, box, found, "cm")
    rows = text(canvas.rows())
    plot, across, up = view.growth_scales(box, found)
    for reading in found.readings:
        x, y = view.reading_cell(box, found, reading.row, reading.mm)
        assert rows[y][x] == view.READING
        # Its cell spans the row and the length that it has.
        assert abs(across.middle(x - plot.x) - reading.row) <= found.end / plot.width / 2 + 1e-6
        high = up.middle(plot.y + plot.height - 1 - y)
        assert abs(high - reading.mm) <= (up.high - up.low) / plot.height / 2 + 1e-6
    assert sum(row.count(view.READING) for row in rows) == len(
        {view.reading_cell(box, found, one.row, one.mm) for one in found.readings}
    )
    assert rows[plot.y + plot.height][plot.x + across.at(34)] == view.HERE


def test_the_curve_has_one_half_block_a_column_within_its_band() -> None:
    found = both_measured().growth
    assert found
    canvas, box = Canvas(74, 14, Paint("text", "page")), Box(0, 0, 74, 14)
    view.draw_growth(canvas, box, found, "cm")
    rows = canvas.rows()
    plot, across, up = view.growth_scales(box, found)
    for column in range(plot.width):
        x, point = plot.x + column, found.at(across.middle(column))
        mean = up.at(point.mm)
        y = plot.y + plot.height - 1 - mean
        sign = text(rows)[y][x]
        assert sign in f"{UPPER}{LOWER}{view.READING}"
        if sign != view.READING:
            assert paint_at(rows, x, y).ground == "band"
            assert (sign == UPPER) == bool(up.at(point.mm, 2) % 2)
        for cell in range(up.at(point.low), up.at(point.high) + 1):
            sign = text(rows)[plot.y + plot.height - 1 - cell][x]
            assert (
                sign != " " or paint_at(rows, x, plot.y + plot.height - 1 - cell).ground == "band"
            )


def test_the_goal_is_a_line_at_its_length_that_names_it() -> None:
    found = both_measured().growth
    assert found
    assert found.goal
    canvas, box = Canvas(74, 20, Paint("text", "page")), Box(0, 0, 74, 20)
    view.draw_growth(canvas, box, found, "in")
    rows = text(canvas.rows())
    plot, _, up = view.growth_scales(box, found)
    line = rows[plot.y + plot.height - 1 - up.at(found.goal)]
    assert line[plot.x :].startswith(f"{view.LEVEL}{view.GOAL} goal 6 1/4 in{view.LEVEL}")
    assert rows[0].startswith("   in")


@pytest.mark.parametrize("unit", ["mm", "cm", "in"])
def test_the_figures_at_the_side_are_lengths_in_her_unit(unit: str) -> None:
    plots = both_measured()
    found = plots.growth
    assert found
    canvas, box = Canvas(74, 20, Paint("text", "page")), Box(0, 0, 74, 20)
    view.draw_growth(canvas, box, found, unit)  # type: ignore[arg-type]
    plot, _, up = view.growth_scales(box, found)
    figures = [(y, row[:5].strip()) for y, row in enumerate(text(canvas.rows())[1:-2], start=1)]
    told_there = [(y, float(figure)) for y, figure in figures if figure]
    assert len(told_there) >= 3
    for y, value in told_there:
        assert plot.y + plot.height - 1 - up.at(value * MM_PER[unit]) == y


# Bars and spans


def test_a_bar_is_as_long_as_its_value_to_half_a_cell() -> None:
    canvas = Canvas(40, 5, Paint("text", "page"))
    bars = [
        Bar("leg", "one", 3.0, "3"),
        Bar("leg", "two", 1.5, "1.5"),
        Bar("foot", "one", 0.1, "0.1"),
    ]
    view.draw_bars(canvas, Box(0, 0, 40, 5), bars, "minutes")
    rows = canvas.rows()
    x, room = 9, 40 - 9 - 4
    lengths = []
    for y in range(3):
        full = sum(paint_at(rows, at, y).ground == "tape" for at in range(40))
        lengths.append(full + 0.5 * text(rows)[y].count("\u258c"))
    assert lengths[0] == room
    assert lengths[1] == pytest.approx(room / 2, abs=0.5)
    assert 0.5 <= lengths[2] <= 1.5, "what is there is seen"
    assert text(rows)[0].startswith("leg  one")
    assert text(rows)[1].startswith("     two"), "a name is told once"
    assert x + room == 36


def test_a_span_has_its_likely_value_and_the_swatch_where_they_belong() -> None:
    canvas = Canvas(60, 4, Paint("text", "page"))
    span = Span("leg", "one", 40.0, 42.0, 44.0, "42", 43.0)
    view.draw_spans(canvas, Box(0, 0, 60, 4), [span], "rounds to 10 cm")
    rows = canvas.rows()
    row = text(rows)[0]
    assert row.index(view.VALUE) < row.index(view.UPRIGHT)
    band = [x for x in range(60) if paint_at(rows, x, 0).ground == "band"]
    assert band == list(range(band[0], band[-1] + 1))
    assert abs(row.index(view.VALUE) - (band[0] + band[-1]) / 2) <= 1


# The page


@pytest.mark.parametrize("size", [*SIZES, (20, 4), (10, 2), (4, 1), (200, 60)])
@pytest.mark.parametrize("at", range(len(NAMES)))
def test_every_size_is_filled_and_its_signs_are_safe(size: tuple[int, int], at: int) -> None:
    for plots in (both_measured(), drawn(Knitter())):
        rows = page(plots, at, size)
        assert len(rows) == size[1]
        assert {sum(cells(span.text) for span in row) for row in rows} == {size[0]}
        assert {sign for row in text(rows) for sign in row if not sign.isascii()} <= GLYPHS


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("at", range(len(NAMES)))
def test_what_is_drawn_is_said_in_full_too(size: tuple[int, int], at: int) -> None:
    for course in (None, Course(open_file(str(SAMPLE.with_name("harbour-pilot.toml"))).pattern)):
        for plots in (both_measured(course), drawn(Knitter(course))):
            rows = text(page(plots, at, size))
            wide = size[0] >= 112
            half = (size[0] - 6 - 4) // 2 if wide else size[0]
            seen = " ".join(" ".join(row[: 3 + half] for row in rows[1:]).split())
            _, sentence = told(plots, at, brief=size[1] <= 14)
            assert " ".join(sentence.split()) in seen
            assert "..." not in seen


@pytest.mark.parametrize("size", SIZES)
def test_at_every_size_a_plot_is_seen(size: tuple[int, int]) -> None:
    plots = both_measured()
    for at, sign in enumerate((LOWER, None, None, view.VALUE)):
        rows = page(plots, at, size)
        if sign:
            assert any(sign in row for row in text(rows))
        else:
            assert any(span.paint.ground == "tape" for row in rows for span in row)


def test_where_there_is_room_two_stand_together_the_chosen_one_first() -> None:
    plots = both_measured()
    for at in range(len(NAMES)):
        rows = text(page(plots, at, (120, 36)))
        first, second = told(plots, at)[0], told(plots, (at + 1) % len(NAMES))[0]
        assert rows[2].index(first) < rows[2].index(second)


def test_what_is_said_of_the_length() -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("measure", mm=96.0, step=0)
    title, sentence = told(drawn(knitter), 0)
    assert title == "Length of the leg, sock one"
    assert sentence.startswith("9.6 cm from the cast-on edge after 20 rounds, give or take 0.")
    assert sentence.endswith(" cm, nine times in ten; the goal is 16 cm.")


def test_what_is_said_of_the_tension() -> None:
    plots = both_measured()._replace(
        tensions=(
            Tight("leg", 1, 40.0, 42.0, 44.0, 42.0), Tight("leg", 2, 42.0, 44.1, 46.0, 42.0),
        ),
    )  # fmt: skip
    assert told(plots, 3)[1] == (
        "Rounds to 10 cm: leg 42 on sock one and 44.1 on sock two, sock two 5 % tighter;"
        " the swatch said 42."
    )
    assert "Rounds to 1 in: leg 10.7 on sock one" in told(plots._replace(unit="in"), 3)[1]


def test_what_is_said_of_the_pace() -> None:
    knitter = Knitter()
    for _ in range(22):
        knitter.tick()
    knitter.pause = 240_000
    for _ in range(4):
        knitter.tick()
    assert told(drawn(knitter), 1)[1] == (
        "Sock one: from 2 min a round in the cuff to 4 min a round in the leg."
    )


def test_what_is_said_of_the_sittings() -> None:
    """12 March 2026 is day 20,524; an evening, and the next two days."""
    first, second = Sitting(20_524, 51.6, 31.4), Sitting(20_525, 1.2, 26.5)
    plots = drawn(Knitter())._replace(sittings=(first,))
    why = " A pause of more than an hour ends a sitting."
    assert told(plots, 2) == (
        "Stitches a minute, sitting by sitting",
        f"31 stitches a minute in 52 minutes on 12 March.{why}",
    )
    assert told(plots._replace(sittings=(first, second)), 2)[1] == (
        f"27 stitches a minute in a minute on 13 March; 31 in the sitting before.{why}"
    )
    several = plots._replace(sittings=(second, first, first._replace(day=20_526)))
    assert told(several, 2, brief=True) == (
        "",
        "31 stitches a minute in 52 minutes on 14 March; from 27 to 31 in the 2 sittings before.",
    )
    assert "tick every round as it is done" in told(drawn(Knitter()), 2)[1]


@pytest.mark.parametrize("size", SIZES)
def test_of_many_sittings_the_last_are_seen_and_the_scale(size: tuple[int, int]) -> None:
    many = tuple(Sitting(20_500 + at // 2, 30.0, 20.0 + at) for at in range(20))
    rows = text(page(both_measured()._replace(sittings=many), 2, size))
    assert any("39" in row and "30 min" in row for row in rows)
    assert any("25 Feb" in row and "38" in row for row in rows), (
        "the day stands at its first sitting"
    )


def test_with_nothing_to_draw_it_says_what_to_do() -> None:
    plots = drawn(Knitter())
    assert told(plots, 0)[1].startswith(
        "Lay the tape from the cast-on edge to the needle and type what it says, like 11.4 m;"
    )
    assert "tick every round as it is done" in told(plots, 1)[1]
    assert "like 11.4 m" in told(plots, 3)[1]
    at_the_heel = Knitter()
    at_the_heel.do("at", round=3, section=FLAP)
    assert told(drawn(at_the_heel), 0)[1].startswith("No tape was laid yet, and none can be here")
    at_the_heel.do("at", round=3, section=TOE)
    assert told(drawn(at_the_heel), 0)[1] == (
        "No tape tells of its length, and nothing that is left of sock one is measured."
    )
    no_gauge = told(plots._replace(gauge=False), 0)[1]
    assert "once two readings agree" in no_gauge


# In the app


@pytest.mark.parametrize("size", SIZES)
async def test_it_opens_changes_and_goes_back(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    session.measure("7.4 cm")
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("%")
        await until(pilot, app, "Length of the leg, sock one")
        assert isinstance(app.screen, PlotsScreen)
        assert lines(app)[-1].endswith("esc back")
        for key, seen in (
            ("right", "min a round"), ("right", "stitches a minute in"), ("right", "Rounds to 10 cm"),
            ("right", "Length of the leg"),
            ("left", "Rounds to 10 cm"),
        ):  # fmt: skip
            await pilot.press(key)
            await until(pilot, app, seen)
        await pilot.press("escape")
        await until(pilot, app, "of about 4")
        await pilot.press("%", "%")
        await until(pilot, app, "of about 4")
        assert [type(screen) for screen in app.screen_stack][-1] is NeedlesScreen


async def test_the_way_to_a_plot_is_said_with_the_keys_that_lead_there(basket: Basket) -> None:
    session = begin(basket, "harbour-pilot")
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("%")
        await until(pilot, app, "Lay the tape from the cast-on edge")
        assert " m; then the length is drawn here" in " ".join(shown(app).split())


async def test_other_keys_of_the_needles_are_done_there(basket: Basket, session: Session) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("%", "space")
        await until(pilot, app, "round 11")
        assert session.glance.place.done == 10
        await pilot.press("%", "j")
        await until(pilot, app, "both socks, every kind")


def test_every_key_of_its_own_is_known_and_none_ticks() -> None:
    assert not set(by_key("plots")) & {*DEFAULT["tick"], *DEFAULT["undo"]}
    for command in PLOT_COMMANDS:
        assert command.name == "back" or hasattr(PlotsScreen, f"do_{command.name}")
    assert len(NAMES) == 4
