"""When to rest the hands: after half an hour at a stretch, and once more after an hour and a half.

A general caution, common practice, no source, and no medical advice: it never stops a key, and may
be turned off.
"""

from __future__ import annotations

from collections.abc import Iterator

from tracker.knitting.cues import Cue
from tracker.knitting.state import State

FIRST, AGAIN = (25.0, 30.0), (90.0, 95.0)
"""Minutes at a stretch between which it is said."""
FRESH_MS = 600_000
"""After a longer pause than this the hands have rested."""


def cues(state: State, idle: int, wanted: bool) -> Iterator[Cue]:
    """The reminder, where she wants it; `idle` are milliseconds since the last act."""
    minutes = state.worked.minutes
    if not wanted or idle > FRESH_MS:
        return
    if any(low <= minutes < high for low, high in (FIRST, AGAIN)):
        yield Cue("rest", 0, {"minutes": int(minutes)})
