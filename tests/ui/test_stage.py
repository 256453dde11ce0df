"""The stage: done, next and the needles in their places, by rounds, by needles, flat, and turned over."""

from __future__ import annotations

import pytest

from tests.ui import glances
from tests.ui.reading import find, paint_at, solid, text
from tracker.glance import Glance
from tracker.ui.canvas import Rows
from tracker.ui.grid import Needs, grid_for
from tracker.ui.lettering import numerals, word
from tracker.ui.palette import Paint
from tracker.ui.sights import Scene, lines_sight, stage_sight
from tracker.ui.stage import stage_rows, turned
from tracker.ui.work import Work, WorkLine, work_of

FULL, MEDIUM, COMPACT, SMALL = (120, 36), (80, 24), (60, 20), (40, 12)


def stage(glance: Glance, size: tuple[int, int] = FULL, *, turn: bool | None = None) -> Rows:
    """The stage of `glance` on a screen of `size`."""
    grid = grid_for(*size, Needs(max(2, len(str(glance.place.done)))))
    assert grid.stage is not None
    sight = stage_sight(Scene(glance, turned=turn))
    return stage_rows(sight, grid.places["stage"], grid.stage, grid.size)


def lettering(rows: Rows, x: int, y: int, letters: tuple[str, ...]) -> bool:
    """Whether `letters` stand at `x`, `y`, full cells as filled spaces."""
    seen = solid(rows)
    return all(
        char == " " or seen[y + dy][x + dx] == char
        for dy, line in enumerate(letters)
        for dx, char in enumerate(line)
    )


def test_a_plain_round_says_its_word_thin_and_muted() -> None:
    rows = stage(glances.leg())
    assert lettering(rows, 4, 3, numerals(34))
    assert lettering(rows, 36, 3, word("PLAIN"))
    assert paint_at(rows, 36, 5).ink == "muted"
    assert find(rows, "next  round 35") == (36, 1)
    assert find(rows, "of 46, as on sock one") == (4, 11)
    assert find(rows, "N3  k 16    then N4  k 16") == (36, 8)
    assert find(rows, "needle 3 of 4") == (81, 11)


def test_what_differs_says_its_word_thick_and_amber_with_the_counts_in_their_column() -> None:
    rows = stage(glances.gusset())
    assert lettering(rows, 36, 3, word("DEC", thick=True))
    assert paint_at(rows, 36, 5).ink == "accent"
    assert [
        find(rows, line)[1] for line in ("N1  k to last 3", "N2  k", "N3  k", "N4  k1, ssk")
    ] == [8, 9, 10, 11]
    assert [text(rows)[y].index("]") + 2 for y in (8, 9, 10, 11)] == [71] * 4
    assert paint_at(rows, 36, 8) == Paint("accent", "stage", True)
    assert paint_at(rows, 36, 9) == Paint("muted")
    assert "78 sts, then 76" in text(rows)[6]


def test_a_loud_word_of_three_rows_is_cut_out_of_a_plate() -> None:
    rows = stage(glances.gusset(), MEDIUM)
    plate = len(word("DEC", 3)[0]) + 2
    assert {paint_at(rows, 26 + x, 3).ground for x in range(plate)} == {"accent"}
    assert paint_at(rows, 26 + plate, 3).ground == "stage"
    assert lettering(rows, 27, 3, word("DEC", 3))


@pytest.mark.parametrize("size", [FULL, MEDIUM])
def test_end_of_round_by_needles_turns_the_stage_and_takes_the_words_place(
    size: tuple[int, int],
) -> None:
    rows = stage(glances.leg(35, 0), size)
    assert {paint_at(rows, 0, y).ground for y in range(len(rows))} == {"turned"}
    x, y, height = (36, 2, 4) if size == FULL else (26, 3, 3)
    assert lettering(rows, x, y, word("END OF", 4 if height == 4 else 3, thick=True))
    assert lettering(rows, x, y + height, word("ROUND", 4 if height == 4 else 3, thick=True))
    assert "round 36" in text(rows)[1]
    assert "plain" in text(rows)[1]
    assert "all 4 " in text(rows)[11 if size == FULL else 10]


@pytest.mark.parametrize("size", [FULL, MEDIUM])
def test_below_end_of_round_stands_the_work_of_the_next_needle(size: tuple[int, int]) -> None:
    """By needles it would be seen nowhere else before it is ticked."""
    ended = glances.gusset()._replace(counting="needles")
    rows = stage(ended, size, turn=True)
    x, y = find(rows, "N1 k to last 3, k2tog, k1")
    assert y == (11 if size == FULL else 10), "in the row of what is done, one below the letters"
    assert not text(rows)[y - 1][x : x + 20].strip()


def test_inside_a_decrease_round_a_plain_needle_does_not_make_her_forget_it() -> None:
    inside = glances.gusset()
    needles = tuple(
        needle._replace(finished=place == 0) for place, needle in enumerate(inside.needles)
    )
    place = inside.place._replace(needle="N2", at_marker=False)
    rows = stage(inside._replace(counting="needles", needles=needles, place=place))
    assert "dec" in text(rows)[1].split()
    assert lettering(rows, 36, 3, word("PLAIN", 4))


@pytest.mark.parametrize(
    ("size", "work"),
    [
        (MEDIUM, ["N1 k to last 3, k2tog, k1", "N2 k1, ssk, k to last 3,", "k2tog, k1", "N3 k1, ssk"]),
        (SMALL, ["N1 k to last 3,k2tog,k1", "N2 k1,ssk..k2tog,k1", "N3 k1, ssk, k to end"]),
    ],
)  # fmt: skip
def test_work_too_long_for_its_row_runs_on_or_keeps_its_ends(
    size: tuple[int, int], work: list[str]
) -> None:
    both = "k1, ssk, k to last 3, k2tog, k1"
    works = {"N1": "k to last 3, k2tog, k1", "N2": both, "N3": "k1, ssk, k to end"}
    lines = tuple(WorkLine(name, text, "", True) for name, text in works.items())
    grid = grid_for(*size)
    assert grid.stage is not None
    sight = stage_sight(Scene(glances.gusset()))
    sight = sight._replace(next=sight.next._replace(work=Work("needles", lines)))
    rows = text(stage_rows(sight, grid.places["stage"], grid.stage, grid.size))
    for line in work:
        assert [row for row in rows if line in row], line


def test_end_of_round_on_a_small_screen() -> None:
    rows = stage(glances.leg(35, 0), SMALL)
    assert lettering(rows, 16, 1, word("END", thick=True))
    assert find(rows, "of round 35") == (16, 5)
    assert find(rows, "next plain, N1 k 16") == (16, 6)


def test_end_of_round_on_a_compact_screen_is_one_line_of_letters_below_what_comes_next() -> None:
    rows = stage(glances.gusset()._replace(counting="needles"), COMPACT, turn=True)
    assert {paint_at(rows, 0, y).ground for y in range(len(rows))} == {"turned"}
    assert lettering(rows, 2, 10, word("END OF ROUND", 3))
    assert find(rows, "next  round 7 dec  N1 k to last 3, k2tog, k1") == (2, 9)
    assert solid(rows)[1][32:57] == "█" + "▀" * 23 + "█"


def test_on_a_compact_screen_number_and_word_stand_on_the_left_the_needles_and_their_work_right() -> (
    None
):
    rows = stage(glances.gusset(), COMPACT)
    assert lettering(rows, 2, 1, numerals(6))
    assert lettering(rows, 3, 10, word("DEC", 3))
    assert paint_at(rows, 2, 10).ground == "accent"
    assert find(rows, "done  of 19 rounds") == (2, 0)
    assert find(rows, "by rounds") == (32, 0)
    assert find(rows, "N1 23>22")[1] == 6
    assert find(rows, "N1 k to last 3, k2tog, k1") == (32, 10)
    assert find(rows, "N4 k1, ssk, k to end") == (32, 11)


def test_on_a_compact_screen_the_work_moves_on_where_its_word_is_wide() -> None:
    leg = glances.leg()
    place = leg.place._replace(finished=True, needle=None, sock=1)
    done = leg._replace(next=None, needles=(), place=place)
    grid = grid_for(*COMPACT)
    assert grid.stage is not None
    sight = stage_sight(Scene(done, other=glances.cast_on()))
    rows = stage_rows(sight, grid.places["stage"], grid.stage, grid.size)
    assert lettering(rows, 3, 10, word("CAST ON", 3))
    assert find(rows, "cast on 64, loosely") == (36, 10)


@pytest.mark.parametrize("size", [FULL, COMPACT])
def test_under_a_finished_sock_what_is_done_and_next_is_the_other_s_by_name(
    size: tuple[int, int],
) -> None:
    place = glances.leg().place._replace(finished=True, needle=None, sock=1)
    done = glances.leg()._replace(next=None, needles=(), place=place)
    grid = grid_for(*size)
    assert grid.stage is not None
    for other, of, label in (
        (glances.cast_on(), "sock two, of 64 stitches", "tab: sock two"),
        (glances.gusset(), "sock two, of 19 rounds", "tab: sock two, round 7"),
    ):
        other = other._replace(place=other.place._replace(sock=2))
        sight = stage_sight(Scene(done, other=other))
        assert sight.done.of[0] == of
        assert sight.next.row == label
        rows = stage_rows(sight, grid.places["stage"], grid.stage, grid.size)
        assert find(rows, "sock two")
        assert find(rows, label)


def test_where_the_other_sock_s_row_has_no_room_beside_its_name_the_row_stays() -> None:
    place = glances.leg().place._replace(finished=True, needle=None, sock=1)
    done = glances.leg()._replace(next=None, needles=(), place=place)
    other = glances.turn()
    other = other._replace(place=other.place._replace(sock=2))
    grid = grid_for(*SMALL)
    assert grid.stage is not None
    sight = stage_sight(Scene(done, other=other))
    rows = stage_rows(sight, grid.places["stage"], grid.stage, grid.size)
    assert find(rows, "sock two")
    assert sight.next.row_brief == ("tab: two, row 8", "tab: row 8")
    assert find(rows, "tab: row 8")
    assert find(rows, other.next.side if other.next and other.next.side else "row")


def test_by_rounds_the_turned_stage_keeps_the_next_word() -> None:
    rows = stage(glances.gusset(), turn=True)
    assert lettering(rows, 36, 3, word("DEC", thick=True))
    assert paint_at(rows, 36, 5) == Paint("on-turned", "on-turned")
    assert paint_at(rows, 81, 3).ground == "on-turned"


def test_a_new_section_is_not_the_end_of_a_round() -> None:
    for glance in (glances.cast_on(), glances.cast_on()._replace(counting="needles")):
        rows = stage(glance)
        assert {paint_at(rows, 0, y).ground for y in range(len(rows))} == {"stage"}


def test_the_card_stands_where_word_and_work_stand() -> None:
    rows = stage(glances.cast_on())
    assert find(rows, "Cast on 64, loosely.") == (36, 3)
    assert paint_at(rows, 36, 3).bold
    assert find(rows, "Space when round 1 is knitted.")[0] == 36
    assert "N1 16" in "".join(text(rows))


def test_on_a_medium_screen_the_card_takes_the_rings_place_too() -> None:
    rows = stage(glances.cast_on(), MEDIUM)
    assert find(rows, "Space when round 1 is knitted.")[0] == 26
    assert "N1 16" not in "".join(text(rows))


def test_on_a_compact_screen_the_card_stands_beside_the_number_from_top_to_bottom() -> None:
    grid = grid_for(*COMPACT, Needs(card=1))
    assert grid.stage is not None
    sight = stage_sight(Scene(glances.cast_on()))
    rows = stage_rows(sight, grid.places["stage"], grid.stage, grid.size)
    assert find(rows, "Cast on 64, loosely.") == (24, 1)
    assert find(rows, "Space when round 1 is knitted.")[0] == 24
    assert lettering(rows, 2, 1, numerals(0))


def test_a_flat_row_has_its_side_its_work_and_the_heel_row() -> None:
    rows = stage(glances.turn())
    assert find(rows, "row 8  WS")[1] == 1
    assert lettering(rows, 36, 3, word("PURL", thick=True))
    assert find(rows, "sl1, p11, p2tog, p1, turn   [24]") == (36, 8)
    assert find(rows, "5 stitches rest on each side") == (36, 10)
    assert find(rows, "instep 32 rests")[1] == 4
    assert find(rows, "25 on the heel needle") == (81, 11)
    assert text(rows)[11].rstrip().endswith("WS")


def test_the_last_needle_says_that_the_marker_comes() -> None:
    assert "■ marker next" in text(stage(glances.leg(34, 3)))[11]
    assert "■ marker next" not in text(stage(glances.leg(34, 2)))[11]


@pytest.mark.parametrize("size", [FULL, MEDIUM, COMPACT, SMALL])
def test_three_digits_fit_and_four_are_said_smaller(size: tuple[int, int]) -> None:
    hundred = glances.leg(134)
    rows = 5 if size == SMALL else 7
    drawn = stage(hundred, size)
    low = size in (COMPACT, SMALL)
    x = {FULL: 4, MEDIUM: 2, COMPACT: 2, SMALL: 1}[size]
    assert lettering(drawn, x, 1 if low else 3, numerals(134, 5 if rows == 5 else 7))
    assert "done" in text(stage(glances.leg(1234), size))[0 if low else 1]


def test_a_finished_sock_has_no_next() -> None:
    leg = glances.leg()
    done = leg._replace(next=None, needles=(), place=leg.place._replace(finished=True, needle=None))
    rows = stage(done, turn=True)
    assert text(rows)[1].split() == ["done", "next"]


def test_every_paint_of_the_stage_has_a_place_on_the_turned_one() -> None:
    for glance in (glances.leg(), glances.gusset(), glances.turn(), glances.cast_on()):
        for size in (FULL, MEDIUM, COMPACT, SMALL):
            for row in stage(glance, size):
                for span in row:
                    assert turned(span.paint).ground in ("turned", "on-turned", "muted-on-turned")
                    assert turned(span.paint).ink in ("turned", "on-turned", "muted-on-turned")


# The work


def test_by_rounds_a_plain_round_has_one_line() -> None:
    assert work_of(glances.leg(34, 0, "rounds"), None) == Work(
        "row", (WorkLine("", "k every needle", "16/16/16/16", False),)
    )


def test_a_rib_over_every_needle_is_said_the_short_way() -> None:
    glance = glances.leg(3, 0, "rounds")
    rib = tuple(needle._replace(work="*k2, p2; rep from * to end") for needle in glance.needles)
    (line,) = work_of(glance._replace(needles=rib), None).lines
    assert line.work == "*k2, p2* to end, every needle"


def test_on_a_small_screen_needles_alike_share_a_line() -> None:
    """A toe round: N1 and N3 end alike, so do N2 and N4 (common practice, no source)."""
    glance = glances.gusset()
    ends = ("k to last 3, k2tog, k1", "k1, ssk, k to end")
    needles = tuple(glances.needle(f"N{n}", 15, ends[(n + 1) % 2], 14) for n in range(1, 5))
    rows = text(stage(glance._replace(needles=needles), SMALL))
    assert [row[16:].rstrip() for row in rows[4:]] == [
        "N1+3 k to last 3,", "     k2tog, k1", "N2+4 k1, ssk, k to end",
    ]  # fmt: skip


def test_three_lines_say_the_needle_at_work() -> None:
    assert lines_sight(Scene(glances.leg())).next[0] == "next 35 plain, N3 k 16"
    assert lines_sight(Scene(glances.leg())).done == (
        "34 done, of 46, as on sock one", "34 done, of 46", "34 done",
    )  # fmt: skip
