"""What can happen to a pair: the events, which are the only truth about it.

An event is an act that was committed. It is never changed and never erased; taking an act
back is an event of its own. The state of a pair is the replay of its events in order.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tracker.records import NamedTuple

EVENT_VERSION = 1

MOST_TICKS = 1_000
"""Rounds or needles in one act; more is a slip, and no work for a replay."""
MOST_ROUNDS = 5_000
"""No section is counted further."""

LONGEST_NOTE = 500
"""Letters of a note."""
MOST_NEEDLES = 100
"""No more needles are counted."""
MOST_STITCHES = 2_000
"""No more stitches lie on one."""

MOST_G = 5_000.0
"""Grams of yarn for a pair; more is a slip."""

AS_FAR = "as far as the yarn goes"
"""What stands as the text of a goal that follows from the yarn."""

KINDS = frozenset(
    {
        "started", "tick", "undo", "redo", "end", "target", "measure", "answer", "weigh", "count",
        "at", "rip", "lifeline", "note", "changed", "copy", "other", "rest", "order", "restart",
        "replan", "append",
    }
)  # fmt: skip
"""Every kind a basket may hold. Kinds outside this set come from a newer Instep."""


class Act(NamedTuple):
    """What the knitter asks to be recorded: one key or one command.

    `sock` is 1 or 2, or 0 for the pair as a whole. `data` holds numbers, texts and truth
    values only, so that it can be written as JSON; its fields depend on the kind.
    """

    kind: str
    sock: int
    data: Mapping[str, Any]


class Event(NamedTuple):
    """An act as it was committed.

    `number` counts from 1 within the pair, `at` is UTC in milliseconds, `offset` the local
    time's minutes east of UTC, `uid` 16 random bytes. Order is the number, never the time.
    """

    number: int
    at: int
    offset: int
    sock: int
    kind: str
    data: Mapping[str, Any]
    uid: bytes
    version: int = EVENT_VERSION


CLUES = frozenset({"mm", "colour", "pin", "tail", "chart"})
"""What a look-up by the fabric says of it, as its event holds it."""
