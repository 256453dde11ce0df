"""What is said of a moment, by plain numbers: the day it falls on, and how long ago it is."""

from __future__ import annotations


def day_of(at: int, offset: int) -> int:
    """The day of a time (ms UTC) by a clock `offset` minutes east: days since 1970."""
    return (at + offset * 60_000) // 86_400_000


def ago(milliseconds: int) -> str:
    """How long since it was last knitted; nothing for less than a quarter of an hour."""
    minutes = milliseconds // 60_000
    if minutes < 15:
        return ""
    if minutes < 120:
        return f"Last knitted {minutes} minutes ago."
    if minutes < 48 * 60:
        return f"Last knitted {minutes // 60} hours ago."
    return f"Last knitted {minutes // (24 * 60)} days ago."
