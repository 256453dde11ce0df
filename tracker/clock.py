"""The clock, in one place: the time now, or the one INSTEP_NOW stands for."""

from __future__ import annotations

import os
import time
from datetime import datetime

from tracker.storage.basket import Stamp
from tracker.units import shorten


class BadClock(Exception):
    """INSTEP_NOW is not a time; the message says how to write one."""


def now() -> Stamp:
    """The time now, as UTC in milliseconds and the local offset in minutes. Raises BadClock."""
    stands_for = os.environ.get("INSTEP_NOW")
    if stands_for is None:
        at = time.time()
        return Stamp(int(at * 1000), time.localtime(at).tm_gmtoff // 60)
    try:
        moment = datetime.fromisoformat(stands_for)
        if moment.tzinfo is None:
            moment = moment.astimezone()
        offset = moment.utcoffset()
        minutes = 0 if offset is None else int(offset.total_seconds() // 60)
        return Stamp(int(moment.timestamp() * 1000), minutes)
    except (ValueError, OverflowError, OSError):
        raise BadClock(
            f'INSTEP_NOW is "{shorten(stands_for)}", not a time; write it like 2026-03-12T20:15:00+01:00'
        ) from None
