"""The clock as it stands, in plain numbers; a quick check loads no more of it than this."""

from __future__ import annotations

import os
import time

FIRST_YEAR, LAST_YEAR = 1970, 9998
"""Times outside these years are refused: those at the calendar's ends have no local time."""


class FarOff(ValueError):
    """A time in a year that is not kept."""


def stands_for() -> str | None:
    """What stands for the time now (INSTEP_NOW), if anything does."""
    return os.environ.get("INSTEP_NOW")


def told() -> tuple[int, int]:
    """The time now (ms UTC) and the local offset in minutes.

    Raises ValueError, OverflowError or OSError where it is none that can be kept.
    """
    text = stands_for()
    if text is not None:
        return _read(text)
    at = time.time()
    _check_year(time.gmtime(at).tm_year)
    return int(at * 1000), time.localtime(at).tm_gmtoff // 60


def _read(text: str) -> tuple[int, int]:
    from datetime import UTC, datetime  # the clock itself needs none of it

    moment = datetime.fromisoformat(text)
    _check_year(moment.year)
    moment = moment.astimezone() if moment.tzinfo is None else moment
    _check_year(moment.astimezone(UTC).year)
    offset = moment.utcoffset()
    minutes = 0 if offset is None else int(offset.total_seconds() // 60)
    return int(moment.timestamp() * 1000), minutes


def _check_year(year: int) -> None:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise FarOff(f"outside the years {FIRST_YEAR} to {LAST_YEAR}")
