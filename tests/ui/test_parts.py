"""Cue line, facts, footer, title, pair and the three lines: each a pure function of its part."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import Knitter
from tests.ui.reading import find, paint_at, solid, text
from tracker import side_by_side
from tracker.ui.canvas import Canvas, cells, clean, cut
from tracker.ui.cue_line import CueSight, alarm_rows, cue_rows
from tracker.ui.facts import FactsSight, fact_row, fact_rows
from tracker.ui.footer import Entry, fitting, footer_rows
from tracker.ui.grid import grid_for
from tracker.ui.pair_strip import PairSight, SockBar, pair_rows
from tracker.ui.palette import (
    NO_COLOUR,
    PALETTES,
    ROLES,
    SIXTEEN,
    SIXTEEN_LIGHT,
    Paint,
    segment,
    style,
    themes,
)
from tracker.ui.sights import Scene, pair_sight
from tracker.ui.three_lines import LinesSight, line_rows
from tracker.ui.title_line import TitleSight, title_rows
from tracker.ui.work_bar import filled

FULL, MEDIUM, SMALL = grid_for(120, 36), grid_for(80, 24), grid_for(40, 12)
KEYS = (
    Entry("space", "done", "done", needed=True), Entry("backspace", "take back"),
    Entry("tab", "other sock", "sock", needed=True), Entry("m", "measure", "tape"),
    Entry("e", "end leg", "end", needed=True), Entry("?", "help", "help", needed=True),
    Entry("q", "leave", "leave", needed=True),
)  # fmt: skip
FACTS = (
    ("13.5 cm", "now, give or take 0.3"), ("11 rounds", "to go, ending at 15.6 to 16.6 cm"),
    ("round 42", "tape again"), ("23 min", "to the heel, in step with sock one"),
)  # fmt: skip


# The canvas


@given(st.text(max_size=60))
def test_nothing_that_steers_a_terminal_gets_through(stranger: str) -> None:
    canvas = Canvas(20, 1, Paint())
    canvas.put(0, 0, stranger, Paint())
    assert all(char.isprintable() for line in text(canvas.rows()) for char in line)


def test_controls_and_direction_marks_become_question_marks() -> None:
    assert clean("a\x1b[31mb\u202ec\n") == "a?[31mb?c?"


@given(st.text(max_size=40), st.integers(0, 40))
def test_a_cut_text_never_exceeds_its_cells(long: str, width: int) -> None:
    assert cells(cut(clean(long), width)) <= width


def test_a_wide_character_takes_two_cells_and_is_never_halved() -> None:
    canvas = Canvas(5, 1, Paint())
    assert canvas.put(0, 0, "編み物", Paint()) == 6
    assert text(canvas.rows()) == ["編み "]


def test_the_canvas_clips_on_every_side() -> None:
    canvas = Canvas(4, 2, Paint())
    canvas.put(-2, 0, "abcd", Paint())
    canvas.put(2, 1, "efgh", Paint())
    canvas.put(0, 2, "no", Paint())
    canvas.put(0, -1, "no", Paint())
    assert text(canvas.rows()) == ["cd  ", "  ef"]


# The cue line


def test_a_cue_ahead_has_a_thin_bar_and_amber_words() -> None:
    rows = cue_rows(CueSight("in 3 rounds", "change to oat at the marker", "then slip 1"), FULL)
    assert text(rows)[1].rstrip() == "  ▌ in 3 rounds   change to oat at the marker, then slip 1"
    assert paint_at(rows, 4, 1) == Paint("accent", "page", True)
    assert paint_at(rows, 18, 1) == Paint("text", "page", False)
    assert paint_at(rows, 46, 1).ink == "muted"


def test_a_cue_that_is_due_has_its_badge_filled() -> None:
    rows = cue_rows(CueSight("next round", "slip the first stitch once", due=True), FULL)
    assert find(rows, "slip") == (17, 1)
    assert [paint_at(rows, x, 1).ground for x in (2, 3, 14, 15)] == [
        "page",
        "accent",
        "accent",
        "page",
    ]


def test_a_small_screen_says_in_3() -> None:
    rows = cue_rows(CueSight("in 3 rounds", "change to oat at the marker"), SMALL)
    assert text(rows)[0].rstrip() == "▌in 3 change to oat at the marker"


def test_what_was_said_speaks_over_the_cue_and_runs_on_below() -> None:
    said = "Taken back: a round. " + "Sock two, leg: round 34 of 46 is done. " * 3
    rows = cue_rows(CueSight("in 3 rounds", "change to oat", said=said.strip()), FULL)
    assert "oat" not in "".join(text(rows))
    assert text(rows)[1].startswith("  ▌ Taken back: a round.")
    assert text(rows)[2].startswith("  ▌ ")


@pytest.mark.parametrize("grid", [FULL, MEDIUM])
def test_typed_figures_stand_large_at_the_right_end(grid: object) -> None:
    shown = FULL if grid is FULL else MEDIUM
    rows = solid(cue_rows(CueSight(typed="11.4"), shown))
    assert len(rows) == 3
    assert [len(row.rstrip()) for row in rows] == [shown.end] * 3
    assert all("▄" in row or "█" in row for row in rows)


def test_typed_figures_on_a_small_screen_are_reversed_and_bold() -> None:
    rows = cue_rows(
        CueSight("in 3 rounds", "change to oat at the marker soon", typed="11.4"), SMALL
    )
    x, y = find(rows, " 11.4 ")
    assert paint_at(rows, x + 1, y) == Paint("on-turned", "turned", True)
    assert text(rows)[0].index("11.4") > text(rows)[0].index("change")


def test_a_long_alarm_is_never_cut_while_there_are_rows() -> None:
    lost = "needle 3 of round 35 is not on the disk: no space left. All before it is safe. Space tries again."
    for grid in (FULL, MEDIUM):
        rows = alarm_rows(lost, grid)
        assert " ".join(" ".join(text(rows)).replace("! not kept", "").split()) == lost
        assert {span.paint.ground for row in rows for span in row} == {"alarm"}
        assert find(rows, "! not kept")[1] == 1


# Facts, footer, title, pair

LAG = ("in step, two 40 behind", "two 40 behind")


def test_facts_stand_in_every_second_row_with_their_sense_in_a_column() -> None:
    rows = fact_rows(FACTS, 48, 8)
    assert [find(rows, what)[1] for what, _ in FACTS] == [0, 2, 4, 6]
    assert {find(rows, sense)[0] for _, sense in FACTS} == {11}


def test_a_long_sense_runs_on_in_the_row_between() -> None:
    rows = fact_rows((("23 min", "to the end of the leg, sock two 100 rounds behind"),), 48, 8)
    assert text(rows)[1].strip() == "rounds behind"


@pytest.mark.parametrize(
    ("width", "gap", "line"),
    [
        (105, 3, "13.5 cm now   11 rounds to go   round 42 tape again   23 min to the heel   " + LAG[0]),
        (86, 3, "13.5 cm now   11 rounds to go   round 42 tape again   23 min   in step, two 40 behind"),
        (74, 3, "13.5 cm   11 to go   round 42 tape again   23 min   in step, two 40 behind"),
        (73, 3, "13.5 cm   11 to go   round 42 tape   23 min   in step, two 40 behind"),
        (67, 3, "13.5 cm   11 to go   round 42 tape again   23 min   two 40 behind"),
        (38, 2, "13.5 cm  11 to go  two 40 behind"),
        (22, 2, "13.5 cm  two 40 behind"),
    ],
)  # fmt: skip
def test_facts_in_one_line_are_said_shorter_and_the_lag_stays(
    width: int, gap: int, line: str
) -> None:
    assert text(fact_row(FactsSight(FACTS, LAG), width, gap))[0].rstrip() == line


def test_facts_that_fit_are_left_as_they_are() -> None:
    whole = FactsSight((("14 sts", "after this round"), ("3 min", "to the end")), ("in step",))
    row = "14 sts after this round   3 min to the end   in step"
    assert text(fact_row(whole, 74, 3))[0].rstrip() == row
    assert text(fact_row(whole, 38, 2))[0].rstrip() == "to 14 sts  3 min  in step"


def test_what_comes_after_the_end_gives_way_to_how_far_apart_the_socks_are() -> None:
    """Half a count would be none."""
    sight = FactsSight((("finished", "weave the ends in"),), ("in step", "two 198 behind"))
    assert text(fact_row(sight, 45, 2))[0].rstrip() == "finished weave the ends in  in step"
    assert text(fact_row(sight, 26, 2))[0].rstrip() == "finished  two 198 behind"


def test_the_footer_is_said_shorter_and_keeps_what_is_needed() -> None:
    assert fitting(KEYS, 200, 3) == [(key.key, key.action) for key in KEYS]
    assert (
        footer(80, 2) == "space done  backspace take back  tab sock  m tape  e end  ? help  q leave"
    )
    assert footer(60, 2) == "space done  tab other sock  e end leg  ? help  q leave"
    assert footer(38, 2) == "space done  tab sock  e end  ?  q"
    assert footer(20, 2) == "space done  ?  q"
    assert footer(4, 2) == "?  q"


def footer(width: int, gap: int) -> str:
    """The footer's characters."""
    return text(footer_rows(KEYS, width, gap))[0].rstrip()


entries = st.builds(
    Entry, st.text(max_size=9), st.text(max_size=12), st.text(max_size=5), st.booleans()
)


@given(st.lists(entries, max_size=12), st.integers(1, 120))
def test_help_and_leave_are_never_dropped(keys: list[Entry], width: int) -> None:
    shown = (*keys, *KEYS[-2:])
    assert [key for key, _ in fitting(shown, width, 3)[-2:]] == ["?", "q"]
    assert len(text(footer_rows(shown, width, 3))[0]) <= width


def test_the_title_keeps_its_columns() -> None:
    sight = TitleSight("Night ferry", "sock two, leg", "21:14")
    assert (
        text(title_rows(sight, 108, 32))[0]
        == "Night ferry".ljust(32) + "sock two, leg".ljust(71) + "21:14"
    )
    assert text(title_rows(sight, 40, 0))[0] == "Night ferry   sock two, leg        21:14"


def test_a_long_title_gives_way_to_the_place_and_the_clock() -> None:
    sight = TitleSight("The longest night ferry of them all, and back", "sock two, leg", "21:14")
    row = text(title_rows(sight, 60, 0))[0]
    assert row.endswith("sock two, leg  21:14")
    assert "..." in row


def test_the_title_says_whether_the_pair_is_in_step_where_there_is_room() -> None:
    step = ("not in step: leg +2", "not in step")
    sight = TitleSight("Night ferry", "sock two, leg", "21:14", step)
    for width, told in ((60, step[0]), (50, step[1]), (40, "")):
        row = text(title_rows(sight, width, 0))[0]
        assert row.endswith("21:14")
        assert row[:-5].rstrip() == f"Night ferry   sock two, leg   {told}".rstrip()


def test_between_the_socks_and_their_work_stands_how_far_apart_they_are() -> None:
    bars = SockBar("sock one", "finished", 1.0), SockBar("sock two", "leg, 34 of 46", 0.33)
    rows = pair_rows(PairSight(bars, "in step so far, sock two 31 rounds behind"), 59, 30)
    assert text(rows)[1].rstrip() == "in step so far, sock two 31 rounds behind"


def test_both_socks_stand_on_one_scale() -> None:
    socks = PairSight(
        (SockBar("sock one", "finished", 1.0), SockBar("sock two", "leg, 34 of 46", 0.33))
    )
    rows = pair_rows(socks, 59, 30)
    assert text(rows)[0].rstrip() == "sock one  finished            sock two  leg, 34 of 46"
    assert [paint_at(rows, x, 2).ground for x in (25, 26, 30, 38, 39, 55)] == [
        "tape", "page", "tape", "tape", "todo", "todo",
    ]  # fmt: skip


@given(st.floats(0, 1), st.floats(0, 1), st.integers(2, 40))
def test_the_bar_never_goes_back_and_tells_begun_and_finished(
    one: float, two: float, room: int
) -> None:
    low, high = sorted((one, two))
    assert filled(low, room) <= filled(high, room)
    assert (filled(low, room) == 0) == (low == 0)
    assert (filled(high, room) == room) == (high == 1)


# Three lines


def test_three_lines_are_reversed_at_the_end_of_a_round() -> None:
    sight = LinesSight(
        ("35 done, of 46",), ("next 36 plain, N1 k 16",), ("in 2 rounds change",), True, False
    )
    rows = line_rows(sight, 30, 3)
    assert {span.paint.ground for row in rows for span in row} == {"turned"}
    plain = line_rows(sight._replace(turned=False), 30, 3)
    assert {span.paint.ground for row in plain for span in row} == {"page"}


def test_the_work_is_said_shorter_before_it_is_cut() -> None:
    ways = ("next 7 dec, N1 k to last 3, k2tog, k1", "7: N1 to last 3,k2tog,k1")
    lines = text(line_rows(LinesSight(("6 done",), ways, ("",), False, False), 30, 3))
    assert lines[1].rstrip() == ways[1]


def test_three_lines_end_with_whole_sentences_where_they_can() -> None:
    said = "11.4 cm at leg round 21. It does not count yet: measure again."
    for told, third in (
        ((said,), "11.4 cm at leg round 21."),
        ((said, "11.4 cm taken"), "11.4 cm taken"),
        (("no sentence of this ends within thirty cells",), "no sentence of this ends wi..."),
    ):
        lines = text(line_rows(LinesSight(("",), ("",), told, False, False), 30, 3))
        assert lines[2].rstrip() == third


# The palette


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, w3.org/TR/WCAG22, definition "relative luminance")."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, two: str) -> float:
    """Contrast ratio (WCAG 2.2, definition "contrast ratio")."""
    low, high = sorted((luminance(one), luminance(two)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", list(PALETTES))
@pytest.mark.parametrize(
    ("ink", "ground"),
    [
        ("text", "stage"), ("text", "page"), ("muted", "stage"), ("muted", "page"), ("quiet", "page"),
        ("quiet", "stage"), ("accent", "stage"), ("accent", "page"), ("on-accent", "accent"),
        ("tape", "page"), ("on-tape", "tape"), ("text", "band"), ("text", "faint"),
        ("on-turned", "turned"), ("muted-on-turned", "turned"), ("on-alarm", "alarm"),
    ],
)  # fmt: skip
def test_every_pair_that_is_read_has_the_contrast_of_level_aa(
    theme: str, ink: str, ground: str
) -> None:
    """At least 4.5 to 1 (WCAG 2.2, success criterion 1.4.3)."""
    colours = PALETTES[theme]
    assert contrast(colours[ink], colours[ground]) >= 4.5


@pytest.mark.parametrize("theme", list(PALETTES))
@pytest.mark.parametrize("ink", ["tape", "quiet", "muted", "text"])
def test_what_is_drawn_on_a_band_is_told_from_it(theme: str, ink: str) -> None:
    """At least 3 to 1 (WCAG 2.2, success criterion 1.4.11, graphical objects)."""
    colours = PALETTES[theme]
    assert contrast(colours[ink], colours["band"]) >= 3


def test_without_colour_there_is_bold_and_reverse_alone() -> None:
    for ink in ROLES:
        for ground in ROLES:
            dressed = style(NO_COLOUR, Paint(ink, ground))
            assert dressed.color is None
            assert dressed.bgcolor is None
            assert not any((dressed.dim, dressed.italic, dressed.underline))
    assert style(NO_COLOUR, Paint("accent")).bold
    assert style(NO_COLOUR, Paint("on-turned", "turned")).reverse
    assert not style(NO_COLOUR, Paint("text", "stage")).reverse
    assert segment(NO_COLOUR, "  ", Paint("text", "band")).text == "░░"


def test_every_theme_carries_every_role_to_the_style_sheet() -> None:
    assert {theme.name for theme in themes()} == {*PALETTES, NO_COLOUR, SIXTEEN, SIXTEEN_LIGHT}
    assert all(set(ROLES) <= set(theme.variables) for theme in themes())


def test_both_socks_are_drawn_where_there_is_room_and_else_are_bars() -> None:
    knitter = Knitter()
    knitter.tick(22)
    knitter.tick(20)
    pictures = side_by_side.pictures(knitter.course, knitter.state)
    scene = Scene(knitter.look(), pictures=pictures)
    for rows, drawn in ((16, True), (9, False)):
        shown = pair_rows(pair_sight(scene, draws=drawn), 60, 30, rows, 1)
        text = "\n".join("".join(span.text for span in row) for row in shown)
        assert ("\u25c4 20" in text) == drawn
        grounds = {span.paint.ground for row in shown for span in row}
        assert ("tape" in grounds) != drawn
