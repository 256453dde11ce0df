"""A disk that takes its time: what is being kept is said to be, though nothing else can be done meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Condition, Thread
from time import monotonic

SLOW = 0.5
"""Seconds after which she is told that she waits for the disk."""
WAITS = "slow disk: the last key is not kept yet"
"""It fits into forty cells."""


@contextmanager
def told_if_slow(tell: Callable[[], object], again: Callable[[], object]) -> Iterator[None]:
    """While an act is kept: `tell`, from another thread, once that takes long; then `again` shows all."""
    _watch.begin(tell)
    try:
        yield
    finally:
        if _watch.end():
            again()


class _Watch:
    """One thread for all acts. While keys come fast it wakes twice a second, and for no key by itself."""

    def __init__(self) -> None:
        self._turn = Condition()
        self._tell: Callable[[], object] | None = None
        self._due = 0.0
        self._told = self._sleeps = self._runs = False

    def begin(self, tell: Callable[[], object]) -> None:
        """Something is being kept from now on."""
        with self._turn:
            self._tell, self._due, self._told = tell, monotonic() + SLOW, False
            if not self._runs:
                self._runs = True
                Thread(target=self._run, name="slow disk", daemon=True).start()
            elif self._sleeps:
                self._turn.notify()

    def end(self) -> bool:
        """It is kept, or cannot be; whether she was told. What is just being told is told to its end."""
        with self._turn:
            self._tell = None
            return self._told

    def _run(self) -> None:
        with self._turn:
            while True:
                left = None if self._tell is None else self._due - monotonic()
                if left is not None and left <= 0:
                    tell, self._tell, self._told = self._tell, None, True
                    if tell is not None:
                        tell()
                    continue
                self._sleeps = left is None
                self._turn.wait(left)
                self._sleeps = False


_watch = _Watch()
