"""Days of the calendar, against the calendar that comes with Python."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.pattern.days import calendar_day, day_number

FIRST = date(1970, 1, 1)


@given(st.dates())
def test_as_in_the_standard_library(moment: date) -> None:
    number = (moment - FIRST).days
    assert day_number(moment) == number
    assert day_number(moment.isoformat()) == number
    assert calendar_day(number) == (moment.year, moment.month, moment.day)


@given(st.integers(-700_000, 2_900_000))
def test_there_and_back(number: int) -> None:
    day = calendar_day(number)
    assert day_number(f"{day.year:04}-{day.month:02}-{day.day:02}") == number
    assert date(*day) == FIRST + timedelta(number)


@pytest.mark.parametrize(
    "value",
    ["2026-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "12 March", "", 7, None, 2026.5],
)
def test_what_is_no_day(value: object) -> None:
    with pytest.raises(ValueError, match="no day"):
        day_number(value)
