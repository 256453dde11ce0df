"""When an act was made."""

from __future__ import annotations

from typing import NamedTuple


class Stamp(NamedTuple):
    """When an act was made: UTC in milliseconds, and the local time's minutes east of UTC."""

    at: int
    offset: int
