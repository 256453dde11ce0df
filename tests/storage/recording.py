"""One act at a time, for tests that need no more."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tracker.knitting.events import Act, Event
from tracker.storage.basket import Basket, PairRow, Stamp, Summary


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
