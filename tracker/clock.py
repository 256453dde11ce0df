"""The clock, in one place: the time now, or the one INSTEP_NOW stands for."""

from __future__ import annotations

import os
import time
from datetime import UTC, datetime

from tracker.storage.stamp import Stamp
from tracker.units import shorten

FIRST_YEAR, LAST_YEAR = 1970, 9998
"""Times outside these years are refused: those at the calendar's ends have no local time."""

_LIKE = "write it like 2026-03-12T20:15:00+01:00"


class BadClock(Exception):
    """The time is none that can be kept; the message says how to write one, or to set the clock."""


def now() -> Stamp:
    """The time now, as UTC in milliseconds and the local offset in minutes. Raises BadClock."""
    stands_for = os.environ.get("INSTEP_NOW")
    if stands_for is not None:
        return _read(stands_for)
    at = time.time()
    try:
        _check_year(datetime.fromtimestamp(at, UTC))
        return Stamp(int(at * 1000), time.localtime(at).tm_gmtoff // 60)
    except (ValueError, OverflowError, OSError):
        raise BadClock(
            f"this computer's clock is not between {FIRST_YEAR} and {LAST_YEAR}; set it"
        ) from None


def _read(text: str) -> Stamp:
    try:
        moment = datetime.fromisoformat(text)
        _check_year(moment)
        moment = moment.astimezone() if moment.tzinfo is None else moment
        _check_year(moment.astimezone(UTC))
    except (ValueError, OverflowError, OSError) as error:
        what = str(error) if isinstance(error, _FarOff) else "not a time"
        raise BadClock(f'INSTEP_NOW is "{shorten(text)}", {what}; {_LIKE}') from None
    offset = moment.utcoffset()
    minutes = 0 if offset is None else int(offset.total_seconds() // 60)
    return Stamp(int(moment.timestamp() * 1000), minutes)


class _FarOff(ValueError):
    """A time in a year that is not kept."""


def _check_year(moment: datetime) -> None:
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise _FarOff(f"outside the years {FIRST_YEAR} to {LAST_YEAR}")
