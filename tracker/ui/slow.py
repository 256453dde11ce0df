"""A disk that takes its time: what is being kept is said to be, though nothing else can be done meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Timer

SLOW = 0.5
"""Seconds after which she is told that she waits for the disk."""
WAITS = "slow disk: the last key is not kept yet"
"""It fits into forty cells."""


@contextmanager
def told_if_slow(tell: Callable[[], object], again: Callable[[], object]) -> Iterator[None]:
    """While an act is kept: `tell`, from another thread, once that takes long; then `again` shows all."""
    told: list[None] = []

    def slow() -> None:
        told.append(None)
        tell()

    watch = Timer(SLOW, slow)
    watch.daemon = True
    watch.start()
    try:
        yield
    finally:
        watch.cancel()
        watch.join()
        if told:
            again()
