"""Numerals and words: their sizes, their strokes, and that no two are drawn alike."""

from __future__ import annotations

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.ui.lettering import numerals, word

BLOCKS = set("█▀▄ ")
WORDS = [
    "PLAIN", "RIB", "KNIT", "PURL", "DEC", "INC", "YARN", "SLIP", "TURN", "PICK", "JOIN", "HEEL",
    "TOE", "GRAFT", "COUNT", "CHART",
]  # fmt: skip


@given(st.integers(min_value=0, max_value=99_999), st.sampled_from([5, 7]))
def test_numerals_are_a_rectangle_of_blocks(number: int, rows: int) -> None:
    drawn = numerals(number, 5 if rows == 5 else 7)
    figures = len(str(number))
    assert len(drawn) == rows
    assert {len(line) for line in drawn} == {
        8 * figures + 2 * (figures - 1) if rows == 7 else 7 * figures - 1
    }
    assert set("".join(drawn)) <= BLOCKS


def test_thirty_four_is_drawn_stroke_by_stroke() -> None:
    assert [line.rstrip() for line in numerals(34)] == [
        " ▄████▄       ▄██",
        "██▀  ▀██    ▄████",
        "      ██  ▄██▀ ██",
        "  █████   ██   ██",
        "      ██  ████████",
        "██▄  ▄██       ██",
        " ▀████▀        ██",
    ]


@pytest.mark.parametrize("rows", [5, 7])
def test_no_two_figures_look_alike(rows: int) -> None:
    assert len({numerals(digit, 5 if rows == 5 else 7) for digit in range(10)}) == 10


@pytest.mark.parametrize("rows", [3, 4])
def test_no_two_letters_look_alike(rows: int) -> None:
    drawn = {word(letter, 3 if rows == 3 else 4) for letter in string.ascii_uppercase + "?"}
    assert len(drawn) == 27


def test_no_two_typed_signs_look_alike() -> None:
    signs = string.digits + ".,/-"
    assert len({word(sign, 3) for sign in signs} | {word("?", 3)}) == len(signs) + 1


@given(st.text(max_size=8), st.sampled_from([3, 4]), st.booleans())
def test_any_text_becomes_a_rectangle_of_blocks(text: str, rows: int, thick: bool) -> None:
    drawn = word(text or "?", 3 if rows == 3 else 4, thick=thick)
    assert len(drawn) == rows
    assert len({len(line) for line in drawn}) == 1
    assert set("".join(drawn)) <= BLOCKS


def test_a_sign_without_a_drawing_becomes_a_question_mark() -> None:
    assert word("W&T") == word("W?T")


@pytest.mark.parametrize("text", WORDS)
def test_every_word_fits_every_column(text: str) -> None:
    """43 cells on the full grid, 26 on the medium one with a plate one cell wider on both sides."""
    assert len(word(text, 4, thick=True)[0]) <= 43
    assert len(word(text, 3)[0]) + 2 <= 26


def test_thick_letters_double_every_dot_to_the_right() -> None:
    assert word("L") == ("▄   ", "█   ", "█   ", "█▄▄▄")
    assert word("L", thick=True) == ("▄▄   ", "██   ", "██   ", "██▄▄▄")


def test_the_half_row_above_a_word_is_empty() -> None:
    for text in WORDS:
        for rows in (word(text), word(text, 3)):
            assert set(rows[0]) <= {"▄", " "}
