"""When an act was made."""

from __future__ import annotations

from tracker.records import NamedTuple


class Stamp(NamedTuple):
    """When an act was made: UTC in milliseconds, and the local time's minutes east of UTC."""

    at: int
    offset: int
