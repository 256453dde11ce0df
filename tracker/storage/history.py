"""The events of a pair, of which the older ones are read when one of them is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import overload

from tracker.knitting.events import Event


class History(Sequence[Event]):
    """All events of a pair in order; the first `before` of them are read from where they are kept."""

    def __init__(
        self, here: list[Event], before: int = 0, reads: Callable[[int], list[Event]] | None = None
    ) -> None:
        self._here, self._before, self._reads = here, before, reads

    def __len__(self) -> int:
        return self._before + len(self._here)

    @overload
    def __getitem__(self, at: int) -> Event: ...

    @overload
    def __getitem__(self, at: slice) -> list[Event]: ...

    def __getitem__(self, at: int | slice) -> Event | list[Event]:
        if isinstance(at, slice):
            return self._all()[at]
        place = range(len(self))[at]
        return self._here[place - self._before] if place >= self._before else self._all()[place]

    def above(self, number: int) -> list[Event]:
        """Those with higher numbers than that."""
        here = number - self._before
        return self._here[here:] if here >= 0 else self._all()[number:]

    def extend(self, events: Iterable[Event]) -> None:
        """More, behind all others."""
        self._here += events

    def _all(self) -> list[Event]:
        if self._before and self._reads is not None:
            self._here, self._before = [*self._reads(self._before), *self._here], 0
        return self._here
