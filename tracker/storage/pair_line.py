"""A pair's line in the basket's list: what it holds, and the checksum that seals it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tracker.records import NamedTuple
from tracker.storage.chain import seal_of


class Summary(NamedTuple):
    """Where a pair is, as the list of pairs shows it: sock in hand, its place, in step or not.

    `lag` is by how many rounds, and by how many stitches, sock two is behind; below 0: sock one.
    """

    sock: int
    section: str
    done: int
    in_step: bool
    lag: tuple[int, int] = (0, 0)


class PairRow(NamedTuple):
    """One line of the pair table, as it was when it was read.

    `pattern` is the SHA-256 (hex) of the pattern text, `source` that of the bytes of the file it
    was started from. `count` is "rounds" or "needles". `last` and `chain` are the number and the
    checksum of the newest event, `touched` its time (UTC, ms), which is shown and never compared:
    a clock may be put back.
    """

    id: int
    uid: bytes
    short: str
    title: str
    pattern: str
    source: str
    count: str  # type: ignore[assignment]  # her word for it; the tuple's method is not missed
    away: bool
    last: int
    chain: bytes
    touched: int
    summary: Summary


class Line(NamedTuple):
    """The columns of the pair table that the seal covers, in its order."""

    id: int
    uid: bytes
    short: str
    title: str
    pattern: str
    source: str
    count: str  # type: ignore[assignment]  # as above
    away: int
    last: int
    chain: bytes
    touched: int
    touch: int
    sock: int
    section: str
    done: int
    in_step: int
    rounds_behind: int
    stitches_behind: int

    @property
    def seal(self) -> bytes:
        """Its checksum."""
        return seal_of(self)

    @property
    def row(self) -> PairRow:
        """The line as the rest of the house knows it."""
        lag = self.rounds_behind, self.stitches_behind
        here = Summary(self.sock, self.section, self.done, bool(self.in_step), lag)
        return PairRow(
            self.id, self.uid, self.short, self.title, self.pattern, self.source, self.count,
            bool(self.away), self.last, self.chain, self.touched, here,
        )  # fmt: skip

    def moved_on(self, last: int, chain: bytes, touched: int, touch: int, here: Summary) -> Line:
        """The same after events more, up to number `last`."""
        sock, section, done, in_step, lag = here
        return Line(*self[:8], last, chain, touched, touch, sock, section, done, int(in_step), *lag)


COLUMNS = ", ".join(f"pair.{name}" for name in Line._fields)
INSERT = (
    f"INSERT INTO pair ({', '.join(Line._fields)}, seal)"  # noqa: S608 - names of our own
    f" VALUES ({', '.join('?' * (len(Line._fields) + 1))})"
)
UPDATE = (
    f"UPDATE pair SET {', '.join(f'{name} = ?' for name in Line._fields[1:])}, seal = ?"  # noqa: S608
    " WHERE id = ?"
)
MOVE_ON = (
    f"UPDATE pair SET {', '.join(f'{name} = ?' for name in Line._fields[8:])}, seal = ?"  # noqa: S608
    " WHERE id = ?"
)
"""UPDATE of what acts change: no index of the table is written anew for it."""


def sealed(found: Sequence[Any]) -> Line | None:
    """The line in the columns of COLUMNS and its seal; None where it is not what was written."""
    line = Line._make(found[:-1])
    try:
        return line if line.seal == found[-1] else None
    except (TypeError, ValueError):
        return None  # a number that is none, or nothing


def inserted(line: Line) -> tuple[Any, ...]:
    """The values for INSERT."""
    return (*line, line.seal)


def moved(line: Line) -> tuple[Any, ...]:
    """The values for MOVE_ON."""
    return (*line[8:], line.seal, line.id)


def updated(line: Line) -> tuple[Any, ...]:
    """The values for UPDATE."""
    return (*line[1:], line.seal, line.id)
