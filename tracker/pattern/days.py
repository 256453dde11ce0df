"""Days of the calendar as numbers: days since the first of January 1970, in the Gregorian calendar.

Worked out here, so that the rooms that reckon with days load no clock. The rule is that of ISO 8601.
"""

from __future__ import annotations

import re
from typing import Any

from tracker.records import NamedTuple

_ISO = re.compile(r"\s*(\d{4})-(\d{2})-(\d{2})\s*", re.ASCII)
_DAYS_BEFORE_1970 = 719_468
"""Days from the first of March of the year 0 to the first of January 1970."""
_ERA = 146_097
"""Days of four hundred years."""


class Day(NamedTuple):
    """A day of the calendar."""

    year: int
    month: int
    day: int


def day_number(value: Any) -> int:
    """The number of a day: of a date, or of a text such as "2026-03-12".

    Raises ValueError for what is no day of the calendar.
    """
    if isinstance(value, str) and (found := _ISO.fullmatch(value)):
        return _number(Day(int(found[1]), int(found[2]), int(found[3])))
    year, month, day = (getattr(value, name, None) for name in ("year", "month", "day"))
    if type(year) is int and type(month) is int and type(day) is int:
        return _number(Day(year, month, day))
    raise ValueError("this is no day")


def _number(day: Day) -> int:
    if not (1 <= day.month <= 12 and 1 <= day.day <= 31):
        raise ValueError("this is no day")
    # Years are counted from March, so that the odd day of a leap year comes last.
    year = day.year - (day.month <= 2)
    era, of_era = divmod(year, 400)
    of_year = (153 * ((day.month + 9) % 12) + 2) // 5 + day.day - 1
    number = era * _ERA + of_era * 365 + of_era // 4 - of_era // 100 + of_year - _DAYS_BEFORE_1970
    if calendar_day(number) != day:
        raise ValueError("this is no day")
    return number


def calendar_day(number: int) -> Day:
    """The day of the calendar with a number."""
    era, of_era = divmod(number + _DAYS_BEFORE_1970, _ERA)
    year = (of_era - of_era // 1_460 + of_era // 36_524 - of_era // 146_096) // 365
    of_year = of_era - (365 * year + year // 4 - year // 100)
    from_march = (5 * of_year + 2) // 153
    month = (from_march + 2) % 12 + 1
    return Day(year + era * 400 + (month <= 2), month, of_year - (153 * from_march + 2) // 5 + 1)


def said(number: int, today: int | None = None) -> str:
    """A day as it is said: "12 March", with its year where that is not today's."""
    found = calendar_day(number)
    year = "" if today is None or calendar_day(today).year == found.year else f" {found.year}"
    return f"{found.day} {_MONTHS[found.month - 1]}{year}"


def briefly(number: int) -> str:
    """A day in a column of days: "12 Mar"."""
    found = calendar_day(number)
    return f"{found.day} {_MONTHS[found.month - 1][:3]}"


_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip
