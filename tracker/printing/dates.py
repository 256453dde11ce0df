"""Days as a page says them: with their year, for it is read long after."""

from __future__ import annotations

from tracker.hours import day
from tracker.pattern.days import calendar_day


def date(number: int | None) -> str:
    """A day (since 1970) as "12 March 2026"; "" for none."""
    return "" if number is None else f"{day(number)} {calendar_day(number).year}"
