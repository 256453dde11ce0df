"""What can still be read of a basket, however damaged: lines, patterns and events, each by its checksum."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from tracker.records import NamedTuple
from tracker.storage.chain import Row, first_link, link_of, sha256_of
from tracker.storage.opening import link_up
from tracker.storage.pair_line import COLUMNS, Line, sealed
from tracker.storage.trouble import UNREADABLE

MOST_PAIRS = 2_000
"""Numbers of pairs that are tried one by one where the list cannot be read through."""
MOST_MISSED = 300
"""Events after the last one found that are tried one by one: more than a page holds."""

_LINES = f"SELECT {COLUMNS}, pair.seal FROM pair"  # noqa: S608 - names of our own
_TALLY = "SELECT pairs FROM tally"
_EVENTS = (
    'SELECT number, at, "offset", sock, kind, data, uid, version, chain FROM event WHERE pair = ?'
)


class Kept(NamedTuple):
    """An event as it stands in a file, and the link that it claims."""

    row: Row
    link: bytes


class Source:
    """A file of which as much is read as can be; what cannot is as if it were not there."""

    def __init__(self, path: Path, options: str) -> None:
        """`options` are those of the address: "immutable=1" for one that nobody writes to."""
        self.path = path
        self._connection = link_up(path, options)
        self.patterns = {sha256_of(text): text for text in self._patterns()}
        """Texts of patterns by what they hash to, whatever the file says of that."""
        found = list(self._lines())
        self.lines = [line for line in map(sealed, found) if line is not None]
        """The lines of pairs whose seal is right."""
        self.doubtful = [line for line in map(_unsealed, found) if line is not None]
        """Those whose seal is not, but of which some columns may be what was written."""
        self.is_whole = not self.doubtful and self._tally() == len(self.lines)
        """Whether its list holds all of its pairs."""

    def close(self) -> None:
        """Let the file go."""
        self._connection.close()

    def events(self, pair: int) -> dict[int, Kept]:
        """What stands there as the events of the pair with that number, by theirs; nothing is verified."""
        found: dict[int, Kept] = {}
        try:
            for row in self._connection.execute(_EVENTS, (pair,)):
                _keep(found, row)
        except UNREADABLE:
            self._one_by_one(pair, found)
        return found

    def _one_by_one(self, pair: int, found: dict[int, Kept]) -> None:
        number = missed = 0
        while missed < MOST_MISSED:
            number, missed = number + 1, missed + 1
            with suppress(*UNREADABLE):
                one = self._connection.execute(
                    f"{_EVENTS} AND number = ?", (pair, number)
                ).fetchone()
                if one is not None:
                    _keep(found, one)
                    missed = 0

    def _lines(self) -> Iterator[Sequence[Any]]:
        found: dict[Any, Sequence[Any]] = {}
        try:
            for columns in self._connection.execute(_LINES):
                found[columns[0]] = columns
        except UNREADABLE:
            for number in range(1, MOST_PAIRS):
                with suppress(*UNREADABLE):
                    one = self._connection.execute(f"{_LINES} WHERE id = ?", (number,)).fetchone()
                    if one is not None:
                        found[number] = one
        return iter(found.values())

    def _patterns(self) -> Iterator[str]:
        try:
            for (text,) in self._connection.execute("SELECT text FROM pattern"):
                if isinstance(text, str):
                    yield text
        except UNREADABLE:
            for number in range(1, MOST_PAIRS):
                with suppress(*UNREADABLE):
                    query = "SELECT text FROM pattern WHERE rowid = ?"
                    one = self._connection.execute(query, (number,)).fetchone()
                    if one is not None and isinstance(one[0], str):
                        yield one[0]

    def _tally(self) -> int | None:
        with suppress(*UNREADABLE):
            row = self._connection.execute(_TALLY).fetchone()
            return row[0] if row and isinstance(row[0], int) else None
        return None


def _keep(found: dict[int, Kept], columns: Sequence[Any]) -> None:
    """Only what is of the right kind can be what was written."""
    *row, link = columns
    kinds = (int, int, int, int, str, str, bytes, int)
    if all(type(value) is kind for value, kind in zip(row, kinds, strict=True)):
        found[row[0]] = Kept(Row._make(row), link)


def _unsealed(columns: Sequence[Any]) -> Line | None:
    return Line._make(columns[:-1]) if sealed(columns) is None else None


def sound_part(line: Line, told: Iterable[dict[int, Kept]]) -> list[Row]:
    """The longest sound history of a pair that these files hold together, each event verified by the chain.

    What one file has damaged may be whole in another; where histories parted, the first file leads.
    """
    sources, rows = list(told), list[Row]()
    link = first_link(line.uid, line.pattern)
    while True:
        for events in sources:
            one = events.get(len(rows) + 1)
            if one is not None and one.link == link_of(link, *one.row):
                rows.append(one.row)
                link = one.link
                break
        else:
            return rows
