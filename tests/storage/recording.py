"""One act at a time, for tests that need no more; and lines that were meddled with, sealed again."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence

from tracker.knitting.events import Act, Event
from tracker.storage.basket import Basket, PairRow, Stamp, Summary
from tracker.storage.pair_line import COLUMNS, Line


def record(
    basket: Basket,
    pair: PairRow,
    known: int,
    decide: Callable[[Sequence[Event]], tuple[Act, Summary]],
    stamp: Stamp,
) -> tuple[list[Event], Event]:
    """Commit one act; returns the events by others, and the new one."""

    def decide_one(newer: Sequence[Event]) -> tuple[Sequence[Act], Summary]:
        act, summary = decide(newer)
        return (act,), summary

    newer, (event,) = basket.record(pair, known, decide_one, stamp)
    return newer, event


def reseal(connection: sqlite3.Connection) -> None:
    """Seal the lines of all pairs as they stand, as one would who knows how."""
    for columns in connection.execute(f"SELECT {COLUMNS} FROM pair").fetchall():  # noqa: S608
        line = Line._make(columns)
        connection.execute("UPDATE pair SET seal = ? WHERE id = ?", (line.seal, line.id))
