"""Events of which the older ones are read once one is asked for: all of a pair, or those that stand."""

from __future__ import annotations

from collections.abc import Callable, Iterable, MutableSequence, Sequence
from typing import Any, overload

from tracker.knitting.events import Event
from tracker.knitting.replay import BadHistory


class ReadLate(MutableSequence[Event]):
    """Events in order: after the first `below` of them, which `reads` gives, those that are `here`."""

    def __init__(
        self, here: list[Event], below: int = 0, reads: Callable[[], Sequence[Event]] = list
    ) -> None:
        self._here, self._below, self._reads = here, below, reads

    def __len__(self) -> int:
        return self._below + len(self._here)

    @overload
    def __getitem__(self, at: int) -> Event: ...

    @overload
    def __getitem__(self, at: slice) -> list[Event]: ...

    def __getitem__(self, at: int | slice) -> Event | list[Event]:
        found: Event | list[Event] = self._here[self._from_here(at)]
        return found

    @overload
    def __setitem__(self, at: int, told: Event) -> None: ...

    @overload
    def __setitem__(self, at: slice, told: Iterable[Event]) -> None: ...

    def __setitem__(self, at: int | slice, told: Any) -> None:
        self._here[self._from_here(at)] = told

    def __delitem__(self, at: int | slice) -> None:
        del self._here[self._from_here(at)]

    def insert(self, at: int, told: Event) -> None:
        """Put one in."""
        self[at:at] = [told]

    def append(self, told: Event) -> None:
        """One more behind all others: so nearly every one comes."""
        self._here.append(told)

    def _from_here(self, at: Any) -> Any:
        """The same place, or stretch, among those that are here, once all that it reaches are."""
        if not self._below:
            return at
        count = len(self)
        start, stop, _ = at.indices(count) if isinstance(at, slice) else (range(count)[at], 0, 1)
        if start < self._below:
            self._read_all()
            return at
        start -= self._below
        return slice(start, stop - self._below) if isinstance(at, slice) else start

    def _read_all(self) -> None:
        below = self._reads()
        if len(below) != self._below:
            raise BadHistory("other acts stood before than were kept")
        self._below = 0
        self._here[:0] = below
