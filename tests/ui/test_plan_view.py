"""The plan screen as rows: every size shows the sentence, the blank at work and what is said of it whole."""

from __future__ import annotations

import pytest

from tests.ui.filling import MINE, chosen, fill, of_class, whole_sentence, write
from tests.ui.reading import find, paint_at, text
from tracker.ui.blanks import Filling, new_pair
from tracker.ui.canvas import Rows, cells
from tracker.ui.commands import plan_footer
from tracker.ui.outcome import NOTHING_YET, Outcome, at_work, work_out
from tracker.ui.plan_view import Sight, in_view, last_top, page_rows, sizes

SIZES = [(120, 36), (112, 34), (100, 30), (80, 24), (76, 22), (60, 20), (40, 12)]
KEYS = plan_footer(chooses=False, starts=False, scrolls=True)


def sight(filling: Filling, before: Outcome = NOTHING_YET) -> Sight:
    return Sight(filling, work_out(filling, before))


def running(rows: Rows) -> str:
    """The text as one reads it, line after line."""
    return " ".join(" ".join(text(rows)).split())


WRONG = {
    "foot.length": "12 cm", "gauge.stitches": "400", "gauge.per": "100 cm", "leg.length": "4 cm",
    "heel.rows": "3.5", "leg.stitches": "190", "foot.circumference": "9 m",
}  # fmt: skip


def is_none(filling: Filling, at: int) -> bool:
    """Whether no such field is asked for now: she never comes there."""
    return at < len(filling.blanks) and filling.is_none(filling.blanks[at].place)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("case", ["class", "filled", "new", "whole", "patterned", *WRONG])
def test_nothing_is_cut_at_any_blank(case: str, size: tuple[int, int]) -> None:
    cases = {
        "class": of_class(), "filled": fill(of_class(), MINE), "new": new_pair(), "whole": whole_sentence(),
        "patterned": chosen(whole_sentence(), "leg.fabric", "repeat"),
    }  # fmt: skip
    good = work_out(whole_sentence())
    filling = cases.get(case) or write(whole_sentence(), case, WRONG[case])
    outcome = work_out(filling, good)
    assert case not in WRONG or outcome.faults
    here = (
        range(len(filling.blanks) + 1) if case not in WRONG else [filling.at, len(filling.blanks)]
    )
    if case == "patterned":
        here = [filling.at + 2]
    for at in (at for at in here if not is_none(filling, at)):
        shown = Sight(filling.to(at), outcome)
        rows = page_rows(shown, KEYS, *size)
        assert len(rows) == size[1]
        assert all(sum(cells(span.text) for span in row) == size[0] for row in rows)
        assert "..." not in running(rows), (at, text(rows))
        assert "\u25ba" in running(rows), "the blank at work is seen"
        column = sizes(*size)
        left = [line[: column.left + column.width] for line in text(rows)]
        assert " ".join(at_work(*shown[:2]).text.split()) in " ".join(" ".join(left).split()), (
            at, text(rows),
        )  # fmt: skip


def test_all_of_the_column_is_come_to_by_scrolling() -> None:
    shown = sight(whole_sentence())
    at = sizes(40, 12)
    column, _ = in_view(shown._replace(top=0), at)
    seen = set()
    for top in range(last_top(column, at) + 1):
        seen |= {line.strip() for line in text(page_rows(shown._replace(top=top), KEYS, 40, 12))}
    told = " ".join(seen)
    for figure in ("cast on: 64", "cuff", "19 rounds, 84 to 64", "toe", "9.6 % smaller"):
        assert figure in told


@pytest.mark.parametrize("size", [(120, 36), (80, 24)], ids=str)
def test_numbers_and_drawing_stand_beside_the_sentence(size: tuple[int, int]) -> None:
    rows = page_rows(sight(whole_sentence()), KEYS, *size)
    for told in ("cast on", "16 / 16 / 16 / 16", "10 416", "gusset", "\u2502 \u2502"):
        assert find(rows, told)[0] > sizes(*size).left + sizes(*size).width


def test_the_blank_at_work_is_turned_over_and_has_its_sign() -> None:
    rows = page_rows(sight(write(of_class(), "gauge.rows", "42")), KEYS, 80, 24)
    x, y = find(rows, "\u25ba42")
    assert paint_at(rows, x + 1, y).ground == "turned"
    assert paint_at(rows, x + 3, y).ground == "page", "where the next letter comes"
    assert paint_at(rows, x + 4, y).ground == "turned"


def test_an_empty_blank_is_seen_without_colour() -> None:
    rows = page_rows(sight(of_class()), KEYS, 80, 24)
    assert text(rows)[3].count("_____") == 1
    assert sum(line.count("____") for line in text(rows)) >= 4


def test_numbers_of_before_say_so() -> None:
    good = work_out(whole_sentence())
    shown = sight(write(whole_sentence(), "foot.length", "2"), good)
    for size, told in (
        ((120, 36), "as it was before"),
        ((80, 24), "as it was before"),
        ((40, 12), "before: cast on 64"),
    ):
        assert told in running(page_rows(shown, KEYS, *size))
        assert told not in running(page_rows(sight(whole_sentence()), KEYS, *size))


def test_what_is_left_behind_wrong_has_a_sign_at_its_blank_and_is_said() -> None:
    shown = sight(write(whole_sentence(), "leg.length", "4 cm").moved(1))
    rows = page_rows(shown, KEYS, 80, 24)
    find(rows, "!4 cm")
    assert "! the leg's length: 4 cm from the cast-on" in running(rows)


def test_a_strangers_title_is_text_and_a_long_one_stays_in_its_place() -> None:
    odd = of_class()._replace(base={**of_class().base, "title": "\x1b[31m" + "long " * 40})
    for size in SIZES:
        rows = page_rows(sight(odd), KEYS, *size)
        assert "\x1b" not in running(rows)
        assert all(sum(cells(span.text) for span in row) == size[0] for row in rows)
    wide = write(new_pair(), "title", "\u6bdb\u7cf8" * 40)
    for size in SIZES:
        rows = page_rows(sight(wide), KEYS, *size)
        assert all(sum(cells(span.text) for span in row) == size[0] for row in rows)


@pytest.mark.parametrize("size", [(30, 3), (20, 2), (10, 1), (1, 1)], ids=str)
def test_hardly_any_room_is_no_fault(size: tuple[int, int]) -> None:
    rows = page_rows(sight(whole_sentence()), KEYS, *size)
    assert len(rows) == size[1]
