"""A key and what it does, for the last line of a screen."""

from __future__ import annotations

from tracker.records import NamedTuple


class Entry(NamedTuple):
    """A key and what it does, in full and shorter; `needed` ones go last where there is no room."""

    key: str
    action: str
    short: str = ""
    needed: bool = False
