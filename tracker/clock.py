"""The clock, in one place: the time now, or the one INSTEP_NOW stands for."""

from __future__ import annotations

from tracker.bare_clock import FIRST_YEAR, LAST_YEAR, FarOff, stands_for, told
from tracker.storage.stamp import Stamp
from tracker.units import shorten

_LIKE = "write it like 2026-03-12T20:15:00+01:00"


class BadClock(Exception):
    """The time is none that can be kept; the message says how to write one, or to set the clock."""


def now() -> Stamp:
    """The time now, as UTC in milliseconds and the local offset in minutes. Raises BadClock."""
    try:
        return Stamp(*told())
    except (ValueError, OverflowError, OSError) as error:
        raise _bad(error) from None


def _bad(error: Exception) -> BadClock:
    text = stands_for()
    if text is None:
        return BadClock(
            f"this computer's clock is not between {FIRST_YEAR} and {LAST_YEAR}; set it"
        )
    what = str(error) if isinstance(error, FarOff) else "not a time"
    return BadClock(f'INSTEP_NOW is "{shorten(text)}", {what}; {_LIKE}')
