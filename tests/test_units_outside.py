"""Lengths, weights and gauges against Pint, a reference library for physical quantities."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.pattern.reading import read_gauge
from tracker.units import read_grams, read_length, write_length

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
NAMES = {"mm": "millimeter", "cm": "centimeter", "in": "inch"}


@given(st.integers(1, 9_000), st.sampled_from(sorted(NAMES)))
def test_decimal_lengths(tenths: int, unit: str) -> None:
    number = tenths / 10 if unit != "in" else tenths / 100
    expected = UNITS.Quantity(number, NAMES[unit]).to("millimeter").magnitude
    assert read_length(f"{number} {unit}").mm == pytest.approx(expected)
    assert read_length(f"{number}".replace(".", ","), unit).mm == pytest.approx(expected)  # type: ignore[arg-type]


@given(st.integers(0, 30), st.integers(1, 7))
def test_inches_in_eighths(whole: int, eighths: int) -> None:
    """As a tape has them, and back."""
    inches = whole + Fraction(eighths, 8)
    expected = UNITS.Quantity(float(inches), "inch").to("millimeter").magnitude
    parts = f"{whole} {eighths}/8" if whole else f"{eighths}/8"
    assert read_length(f"{parts} in").mm == pytest.approx(expected)
    assert read_length(write_length(expected, "in")).mm == pytest.approx(expected)


@given(st.integers(1, 400))
def test_ounces(tenths: int) -> None:
    expected = UNITS.Quantity(tenths / 10, "ounce").to("gram").magnitude
    assert read_grams(f"{tenths / 10} oz") == pytest.approx(expected, rel=1e-4)


@given(st.floats(2, 20), st.sampled_from(["10 cm", "4 in", "1 in", "5 cm"]))
def test_gauges(stitches: float, per: str) -> None:
    number, unit = per.split()
    there = UNITS.Quantity(stitches, "count") / UNITS.Quantity(float(number), NAMES[unit])
    expected = there.to("count / meter").magnitude / 10
    found = read_gauge({"stitches": stitches, "rows": 2 * stitches, "per": per})
    assert found.stitches == pytest.approx(expected)
    assert found.rows == pytest.approx(2 * expected)
