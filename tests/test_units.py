"""Lengths and weights as knitters write them, and the one rounding rule."""

from __future__ import annotations

from contextlib import suppress
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import floor, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.units import (
    GRAMS_PER,
    MM_PER,
    BadLength,
    BadWeight,
    Unit,
    read_grams,
    read_length,
    round_half_up,
    shell_word,
    shorten,
    whole,
    write_length,
)

UNITS: tuple[Unit, ...] = ("mm", "cm", "in")


# Reading


@pytest.mark.parametrize(
    ("text", "mm", "unit"),
    [
        ("17 cm", 170.0, "cm"),
        ("17cm", 170.0, "cm"),
        ("  17  cm  ", 170.0, "cm"),
        ("11.4 cm", 114.0, "cm"),
        ("11,4 cm", 114.0, "cm"),
        ("170 mm", 170.0, "mm"),
        ("0 mm", 0.0, "mm"),
        ("-0 cm", 0.0, "cm"),
        ("6 in", 152.4, "in"),
        ("6 inches", 152.4, "in"),
        ("1 inch", 25.4, "in"),
        ('6"', 152.4, "in"),
        ("6 3/4 in", 171.45, "in"),
        ("6-3/4 in", 171.45, "in"),
        ("6 - 3/4 in", 171.45, "in"),
        ("6 3 / 4 in", 171.45, "in"),
        ("3/4 in", 19.05, "in"),
        ("1/3 in", 25.4 / 3, "in"),
        ("9 1/4 IN", 234.95, "in"),
        ("1/2 cm", 5.0, "cm"),
    ],
)
def test_a_length_is_read(text: str, mm: float, unit: Unit) -> None:
    length = read_length(text)
    assert isclose(length.mm, mm, abs_tol=1e-9)
    assert length.unit == unit


@pytest.mark.parametrize(
    ("text", "unit", "mm"), [("17", "cm", 170), ("6-3/4", "in", 171.45), ("11,4", "cm", 114)]
)
def test_a_bare_number_takes_the_unit_of_the_pair(text: str, unit: Unit, mm: float) -> None:
    assert isclose(read_length(text, unit).mm, mm)
    assert read_length(f"{text} mm", unit).unit == "mm"


@pytest.mark.parametrize(
    ("text", "step"),
    [
        ("16 cm", 10.0), ("16.5 cm", 5.0), ("16,5 cm", 5.0), ("16.4 cm", 0.0), ("16.0 cm", 0.0),
        ("16.50 cm", 0.0), ("1/2 cm", 0.0), ("165 mm", 0.0),
        ("6 in", 6.35), ("6.25 in", 6.35), ("6 1/4 in", 6.35), ("6 1/2 in", 6.35), ("3/4 in", 6.35),
        ("6 1/8 in", 0.0), ("6.3 in", 0.0), ("6 1/3 in", 0.0),
    ],
)  # fmt: skip
def test_the_grain_of_a_reading(text: str, step: float) -> None:
    """Whole and half centimetres and quarter inches say how coarsely the tape was read."""
    assert read_length(text).step_mm == step


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is not a length"),
        ("long", "is not a length"),
        ("17 ells", "is not a length"),
        ("cm", "is not a length"),
        ("1.2.3 cm", "is not a length"),
        ("6 3/ in", "is not a length"),
        ("1e3 mm", "is not a length"),
        ("17 cm 3", "is not a length"),
        ("6 1 3/4 in", "is not a length"),
        ("1234567 mm", "is not a length"),
        ("nan mm", "is not a length"),
        ("17", '"17" has no unit; write "17 mm", "17 cm" or "17 in"'),
        (" 6 3/4 ", '"6 3/4" has no unit; write "6 3/4 mm"'),
        ("-3 cm", '"-3 cm" is below zero'),
        ("-1/2 in", "is below zero"),
        ("1/0 in", "divides by zero"),
        ("6 1/0 in", "divides by zero"),
        ("1001 cm", "is longer than 10 m"),
        ("17 \x1b[31m", "17 ?[31m"),
        ("x" * 500, "x..."),
    ],
)
def test_what_is_not_a_length_says_what_to_write(text: str, says: str) -> None:
    with pytest.raises(BadLength) as bad:
        read_length(text)
    message = str(bad.value)
    assert says in message
    assert message.isprintable()
    assert len(message) < 160


@given(st.text(max_size=30), st.sampled_from([None, *UNITS]))
def test_any_text_is_a_length_or_one_clear_line(text: str, unit: Unit | None) -> None:
    message = ""
    try:
        length = read_length(text, unit)
    except BadLength as bad:
        message = str(bad)
    else:
        assert 0 <= length.mm <= 10_000
    assert message.isprintable()


# Writing


@pytest.mark.parametrize(
    ("mm", "unit", "written"),
    [
        (160.0, "cm", "16 cm"),
        (162.4, "cm", "16.2 cm"),
        (162.5, "cm", "16.3 cm"),
        (0.0, "cm", "0 cm"),
        (100.0, "cm", "10 cm"),
        (999.96, "cm", "100 cm"),
        (160.5, "mm", "161 mm"),
        (160.49, "mm", "160 mm"),
        (152.4, "in", "6 in"),
        (171.45, "in", "6 3/4 in"),
        (155.575, "in", "6 1/8 in"),
        (12.7, "in", "1/2 in"),
        (0.0, "in", "0 in"),
        (152.0, "in", "6 in"),
        (25.4 * 15.99, "in", "16 in"),
    ],
)
def test_a_length_is_written_the_knitters_way(mm: float, unit: Unit, written: str) -> None:
    assert write_length(mm, unit) == written
    assert write_length(mm, unit, with_unit=False) == written.rpartition(" ")[0]


@given(st.integers(0, 99_999), st.sampled_from(UNITS))
def test_what_is_written_is_read_back(parts: int, unit: Unit) -> None:
    """Whole mm, tenths of a cm, eighths of an inch come back exactly."""
    grain = {"mm": 1.0, "cm": 1.0, "in": 25.4 / 8}[unit]
    mm = (parts % int(10_000 / grain)) * grain
    read = read_length(write_length(mm, unit))
    assert isclose(read.mm, mm, abs_tol=1e-9)
    assert read.unit == unit


@given(st.floats(0, 9_990), st.sampled_from(UNITS))
def test_what_is_written_is_at_most_half_a_grain_off(mm: float, unit: Unit) -> None:
    grain = {"mm": 1.0, "cm": 1.0, "in": 25.4 / 8}[unit]
    assert abs(read_length(write_length(mm, unit)).mm - mm) <= grain / 2 + 1e-9


@given(st.integers(0, 300), st.integers(0, 9), st.sampled_from(UNITS))
def test_point_and_comma_are_the_same(number: int, tenths: int, unit: Unit) -> None:
    point, comma = (f"{number}{mark}{tenths} {unit}" for mark in ".,")
    assert read_length(point) == read_length(comma)
    assert isclose(read_length(point).mm, float(f"{number}.{tenths}") * MM_PER[unit])


# Rounding


@pytest.mark.parametrize(
    ("value", "rounded"),
    [(2.5, 3), (3.5, 4), (4.5, 5), (7.5, 8), (0.5, 1), (-0.5, 0), (-2.5, -2), (-2.6, -3)],
)
def test_halves_go_up(value: float, rounded: int) -> None:
    """Common practice, no source: floor(x + 0.5), where rounding to even would give 2, 4, 4, 8."""
    assert whole(value) == rounded
    assert round_half_up(value) == rounded


@given(st.integers(-10_000, 10_000), st.sampled_from([1, 2, 4, 8, 16, 64]))
def test_whole_is_the_floor_of_a_half_more(top: int, bottom: int) -> None:
    """Over fractions that a float holds exactly, so that the rule itself is tested."""
    assert whole(top / bottom) == floor(Fraction(top, bottom) + Fraction(1, 2))


@given(st.integers(0, 10_000), st.sampled_from([1, 2, 4, 8, 16, 64]))
def test_above_zero_it_is_what_decimal_arithmetic_calls_half_up(top: int, bottom: int) -> None:
    exact = Decimal(top) / Decimal(bottom)
    assert whole(top / bottom) == int(exact.quantize(Decimal(1), ROUND_HALF_UP))
    tenth = exact.quantize(Decimal("0.1"), ROUND_HALF_UP)
    assert isclose(round_half_up(top / bottom, 1), float(tenth))


@given(st.floats(-1e6, 1e6))
def test_rounding_moves_by_at_most_a_half(value: float) -> None:
    assert -0.5 <= value - whole(value) <= 0.5


# A stranger's text


def test_a_strangers_text_is_cut_and_cleaned() -> None:
    assert shorten("plain") == "plain"
    assert shorten("a\x1b[31m\nb\u202e") == "a?[31m?b?"
    assert shorten("x" * 41) == "x" * 37 + "..."
    assert shorten("x" * 40) == "x" * 40
    assert len(shorten("y" * 500, 80)) == 80


# Weights


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("85", 85), ("85g", 85), ("85 g", 85), ("85,5", 85.5), ("85.5 G", 85.5), ("0,085 kg", 85),
        ("1 gram", 1), ("1 oz", 28.349523125), ("3 oz", 85.048569375), ("3 1/2 oz", 99.2233309375),
        ("3-1/2 ounces", 99.2233309375), ("1/2 oz", 14.1747615625), ("-5 g", -5), ("0", 0),
        ("85\u00a0g", 85),
    ],
)  # fmt: skip
def test_a_weight_is_read(text: str, grams: float) -> None:
    assert isclose(read_grams(text), grams, abs_tol=1e-9)


def test_sixteen_ounces_are_a_pound() -> None:
    """0.45359237 kg exactly (international yard and pound agreement, 1959)."""
    assert isclose(read_grams("16 oz"), 453.59237, abs_tol=1e-9)


@given(st.floats(0.01, 4000), st.sampled_from(sorted(GRAMS_PER)))
def test_a_weight_written_is_read_again(grams: float, unit: str) -> None:
    number = grams / GRAMS_PER[unit]
    assert isclose(read_grams(f"{number:.6f} {unit}"), grams, abs_tol=1e-3)


@pytest.mark.parametrize("text", ["", "g", "x", "85 mm", "1e3", "nan", "8.5.5", "85 stone", "٨٥"])
def test_what_is_no_weight(text: str) -> None:
    with pytest.raises(
        BadWeight, match="is not a weight; write grams like 85, or ounces like 3 oz"
    ):
        read_grams(text)


@given(st.text(alphabet="0123456789.,/-+ gozk\n\t\x1b", max_size=30))
def test_any_text_is_a_weight_or_one_line(text: str) -> None:
    with suppress(BadWeight):
        assert read_grams(text) < 1e12
        return
    with pytest.raises(BadWeight) as bad:
        read_grams(text)
    assert str(bad.value).isprintable()


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("navy", "navy"),
        ("heel flap", "'heel flap'"),
        ("$(rm x)", "'$(rm x)'"),
        ("o'clock", "'o'\"'\"'clock'"),
        ("a\x1b[2J", "'a?[2J'"),
    ],
)
def test_a_name_in_a_hint_is_one_word_for_a_shell(name: str, word: str) -> None:
    assert shell_word(name) == word
