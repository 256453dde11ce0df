"""The basket: every pair and its events in one SQLite file, committed before they are shown.

An event is never changed or erased. Each carries a checksum chained to the one before it, so
that a change from outside is noticed, and named, when the pair is next read.
"""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import stat
from _thread import allocate_lock
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from functools import partial
from pathlib import Path
from time import monotonic, sleep
from types import TracebackType
from typing import Any, NamedTuple

from tracker.knitting.events import EVENT_VERSION, KINDS, Act, Event
from tracker.units import shorten

APPLICATION_ID = int.from_bytes(b"Inst", "big")
"""What SQLite's header says of a file that is a basket."""

SCHEMA_VERSION = 1
"""The newest shape of a basket that this Instep reads (SQLite's user_version)."""

BUSY_MS = 250
"""How long another writer is waited for."""

OLDEST_SQLITE = (3, 37, 0)
"""The first SQLite with STRICT tables."""

SETTINGS = {
    "foreign_keys": 1,
    "trusted_schema": 0,
    "synchronous": 2,
    "fullfsync": 1,
    "checkpoint_fullfsync": 1,
}
"""Set on every opening, and read back. synchronous 2 is FULL; fullfsync speaks to macOS only."""

GUARDS = frozenset(
    {
        "event_is_never_changed",
        "event_is_never_erased",
        "event_comes_next",
        "pattern_is_never_changed",
    }
)
"""The triggers that a whole basket has."""

_READ, _WRITE = "BEGIN", "BEGIN IMMEDIATE"
_PAIR = (
    "SELECT id, uid, short, title, pattern, source, count, away, last, chain, touched,"
    " sock, section, done, in_step FROM pair "
)
_TEXT = "SELECT text FROM pattern WHERE sha256 = ?"
_ADD_PATTERN = "INSERT INTO pattern (sha256, text) VALUES (?, ?) ON CONFLICT DO NOTHING"
_ADD_PAIR = (
    "INSERT INTO pair (uid, short, title, pattern, source, count, chain, touched,"
    " sock, section, done, in_step) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
)
_HEAD = (
    "SELECT pair.last, pair.chain, event.chain FROM pair LEFT JOIN event"
    " ON event.pair = pair.id AND event.number = pair.last WHERE pair.id = ? AND pair.uid = ?"
)
_EVENTS = (
    'SELECT number, at, "offset", sock, kind, data, uid, version, chain FROM event'
    " WHERE pair = ? AND number >= ? ORDER BY number"
)
_ADD_EVENT = (
    'INSERT INTO event (pair, number, at, "offset", sock, kind, data, uid, version, chain)'
    " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
)
_MOVE_ON = (
    "UPDATE pair SET last = ?, chain = ?, touched = ?, sock = ?, section = ?, done = ?,"
    " in_step = ? WHERE id = ?"
)


class BasketTrouble(Exception):
    """The basket cannot do it. str() is one line: what, what to do instead, and the file."""


class BasketBusy(BasketTrouble):
    """Another program held the basket for BUSY_MS; nothing was recorded."""


class Summary(NamedTuple):
    """Where a pair is, as the list of pairs shows it: sock in hand, its place, in step or not."""

    sock: int
    section: str
    done: int
    in_step: bool


class PairRow(NamedTuple):
    """One line of the pair table, as it was when it was read.

    `pattern` is the SHA-256 (hex) of the pattern text, `source` that of the bytes of the file it
    was started from. `count` is "rounds" or "needles". `last` and `chain` are the number and the
    checksum of the newest event, `touched` its time (UTC, ms).
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


class NewPair(NamedTuple):
    """A pair to be started. `short` is what it would like to be called; see Basket.start."""

    short: str
    title: str
    pattern_text: str
    source: str
    count: str  # type: ignore[assignment]  # her word for it; the tuple's method is not missed
    summary: Summary


class Stamp(NamedTuple):
    """When an act was made: UTC in milliseconds, and the local time's minutes east of UTC."""

    at: int
    offset: int


class Basket:
    """One connection to the basket's file. Every method raises BasketTrouble."""

    def __init__(
        self, path: Path, connection: sqlite3.Connection, seen: int, inode: _Inode
    ) -> None:
        """Not for others: see Basket.open."""
        self.path = path
        self._connection = connection
        self._inode: _Inode | None = inode
        self._seen = seen

    @classmethod
    def open(cls, path: Path) -> Basket:
        """The basket in `path`; its folder (0700) and the file (0600) are made when not there.

        A file that is no basket, or one of a newer Instep, is refused and left as it is.
        """
        path = path.absolute()
        if sqlite3.sqlite_version_info < OLDEST_SQLITE:
            raise _old_sqlite(path)
        inode = _claim(path)
        try:
            return cls(path, *_connect(path), inode)
        except BaseException:
            _release(inode)
            raise

    def close(self) -> None:
        """Fold the log in, so that the file alone is whole. Closing twice does nothing."""
        if self._inode is None:
            return
        inode, self._inode = self._inode, None
        try:
            # What was committed is kept in the log, too: a fold-in that fails loses nothing.
            with suppress(sqlite3.Error):
                self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        finally:
            self._connection.close()
            _release(inode)

    def __enter__(self) -> Basket:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @property
    def journal(self) -> str:
        """ "wal", or "delete" where the folder refuses the write-ahead log."""
        with _said(self.path):
            return str(_pragma(self._connection, "journal_mode"))

    def pairs(self, *, away: bool = False) -> list[PairRow]:
        """The pairs, last touched first: those in the basket, or those put away."""
        return self._pairs("WHERE away = ? ORDER BY touched DESC, id DESC", int(away))

    def find(self, short: str | None) -> PairRow:
        """The pair called `short`, away or not; None is the one last touched of those not away."""
        if short is None:
            found = self._pairs("WHERE away = 0 ORDER BY touched DESC, id DESC LIMIT 1")
        else:
            found = self._pairs("WHERE short = ?", _storable(short))
        if not found:
            raise self._not_found(short)
        return found[0]

    def started_from(self, source: str) -> PairRow | None:
        """The pair started from the file whose bytes have the SHA-256 `source` (hex), if any.

        Of several the one last touched; one that is put away only where there is no other.
        """
        order = "ORDER BY away, touched DESC, id DESC LIMIT 1"
        return next(iter(self._pairs(f"WHERE source = ? {order}", source)), None)

    def start(self, new: NewPair, act: Act, stamp: Stamp) -> PairRow:
        """Begin a pair with `act` as its event 1.

        Where its short name is taken it becomes "name-2", "name-3" and so on.
        """
        digest = _sha256(new.pattern_text)
        uid = os.urandom(16)
        link = _first_link(uid, digest)
        with self._within(_WRITE) as connection:
            taken = {name for (name,) in connection.execute("SELECT short FROM pair")}
            short, title = _unused(_storable(new.short), taken), _storable(new.title)
            about = (short, title, digest, new.source, new.count)
            connection.execute(_ADD_PATTERN, (digest, new.pattern_text))
            added = connection.execute(_ADD_PAIR, (uid, *about, link, stamp.at, *new.summary))
            row_id = added.lastrowid or 0
            pair = PairRow(row_id, uid, *about, False, 0, link, stamp.at, new.summary)
            self._append(pair, _Head(0, link, True), [act], new.summary, stamp)
            return self._pairs_now("WHERE id = ?", row_id)[0]

    def pattern_text(self, pair: PairRow) -> str:
        """The pair's pattern file, word for word, checked against its SHA-256."""
        with self._within(_READ) as connection:
            found = connection.execute(_TEXT, (pair.pattern,)).fetchone()
        if found is None or _sha256(found[0]) != pair.pattern:
            raise _damage(f"the pattern of {shorten(pair.short)}", self.path)
        return str(found[0])

    def events(self, pair: PairRow, after: int = 0) -> list[Event]:
        """The pair's events with numbers above `after`, oldest first, their chain verified.

        With `after` 0 that is the whole chain; else the link of event `after` is taken on trust.
        """
        with self._within(_READ):
            return self._newer(pair, after, self._head(pair))

    def record(
        self,
        pair: PairRow,
        known: int,
        decide: Callable[[Sequence[Event]], tuple[Act, Summary]],
        stamp: Stamp,
    ) -> tuple[list[Event], Event]:
        """Commit one act, decided on a state that no other writer can change meanwhile.

        `decide` is given the events above `known` that others recorded, oldest first, and returns
        the act and the summary after it. Whatever it raises is raised again, and nothing is
        recorded. Returns the events by others, and the new one.
        """

        def decide_one(newer: Sequence[Event]) -> tuple[Sequence[Act], Summary]:
            act, summary = decide(newer)
            return (act,), summary

        newer, (event,) = self.record_many(pair, known, decide_one, stamp)
        return newer, event

    def record_many(
        self,
        pair: PairRow,
        known: int,
        decide: Callable[[Sequence[Event]], tuple[Sequence[Act], Summary]],
        stamp: Stamp,
    ) -> tuple[list[Event], list[Event]]:
        """As `record`, with several acts committed whole or not at all.

        `decide` returns the acts and the summary after the last of them. No acts: no change.
        """
        with self._within(_WRITE):
            head = self._head(pair)
            if not head.sound:
                raise self._damaged(pair, max(head.last, 1))
            newer = [] if head.last == known else self._newer(pair, known, head)
            acts, summary = decide(newer)
            return newer, self._append(pair, head, acts, summary, stamp)

    def set_count(self, pair: PairRow, count: str) -> None:
        """Count this pair by "rounds" or by "needles" from now on."""
        self._set(pair, "UPDATE pair SET count = ? WHERE id = ? AND uid = ?", count)

    def put_away(self, pair: PairRow, away: bool) -> None:
        """Put the pair away, or bring it out again."""
        self._set(pair, "UPDATE pair SET away = ? WHERE id = ? AND uid = ?", int(away))

    def changed(self) -> bool:
        """Has another connection written since the last look? While it writes: not yet."""
        before = self._seen
        try:
            with _said(self.path):
                self._seen = _pragma(self._connection, "data_version")
        except BasketBusy:
            return False
        return self._seen != before

    def check(self) -> list[str]:
        """Audit the file, every pattern and every chain: one line for each thing that is wrong."""
        try:
            wrong = self._check_file()
            pairs = self._pairs("ORDER BY id")
        except BasketTrouble as trouble:
            return [str(trouble)]
        for pair in pairs:
            for look in (self.pattern_text, self.events):
                try:
                    look(pair)
                except BasketTrouble as trouble:
                    wrong.append(str(trouble))
        return wrong

    @contextmanager
    def _within(self, begin: str) -> Iterator[sqlite3.Connection]:
        """One transaction: committed whole, or rolled back and the reason raised."""
        connection, writes = self._connection, begin == _WRITE
        with _said(self.path, writes=writes):
            if writes:
                self._look_for_file()
            connection.execute(begin)
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                # SQLite has rolled back by itself after some errors, a full disk among them.
                with suppress(sqlite3.Error):
                    if connection.in_transaction:
                        connection.execute("ROLLBACK")
                raise

    def _look_for_file(self) -> None:
        """Writing on into a file that was moved or removed would lose the key in silence."""
        try:
            found = os.stat(self.path)
        except OSError:
            found = None
        if found is None or (found.st_dev, found.st_ino) != self._inode:
            raise BasketTrouble(
                "the basket's file was moved, removed or replaced, and nothing was recorded;"
                f" put it back or start Instep again{_where(self.path)}"
            )

    def _pairs(self, which: str, *values: object) -> list[PairRow]:
        with self._within(_READ):
            return self._pairs_now(which, *values)

    def _pairs_now(self, which: str, *values: object) -> list[PairRow]:
        return [_pair(row) for row in self._connection.execute(_PAIR + which, values)]

    def _not_found(self, short: str | None) -> BasketTrouble:
        names = [pair.short for pair in self._pairs("ORDER BY away, touched DESC, id DESC")]
        where = _where(self.path)
        if not names:
            return BasketTrouble(
                f'the basket is empty; start a pair with "instep start FILE"{where}'
            )
        if short is None:
            named = shorten(names[0])
            return BasketTrouble(
                f'every pair is put away; bring one out: "instep back {named}"{where}'
            )
        return BasketTrouble(
            f'no pair is called "{shorten(short)}"; write "{_nearest(short, names)}", or see'
            f' "instep basket" for the others{where}'
        )

    def _head(self, pair: PairRow) -> _Head:
        """The newest number and link of the pair now."""
        found = self._connection.execute(_HEAD, (pair.id, pair.uid)).fetchone()
        if found is None:
            raise self._gone(pair)
        last, chain, link = found
        return _Head(last, chain, chain == (link if last else _first_link(pair.uid, pair.pattern)))

    def _newer(self, pair: PairRow, after: int, head: _Head) -> list[Event]:
        """The events above `after` up to `head`, each link verified."""
        if after > head.last:
            raise self._behind(pair, after, head.last)
        rows = iter(self._connection.execute(_EVENTS, (pair.id, max(after, 1))).fetchall())
        number, link = after, _first_link(pair.uid, pair.pattern)
        if after:
            number, link = next(((row[0], row[-1]) for row in rows), (0, b""))
            if number != after:
                raise self._damaged(pair, after)
        events = []
        for row in rows:
            link = _link(link, *row[:-1])
            if row[-1] != link:
                raise self._damaged(pair, number + 1)
            events.append(self._event(pair, row))
            number += 1
        if (number, link) != (head.last, head.link):
            raise self._damaged(pair, number if number == head.last else min(number, head.last) + 1)
        return events

    def _event(self, pair: PairRow, row: Sequence[Any]) -> Event:
        number, at, offset, sock, kind, text, uid, version, _ = row
        if kind not in KINDS or version > EVENT_VERSION:
            raise BasketTrouble(
                f'event {number} of {shorten(pair.short)} ("{shorten(kind)}") was written by a'
                f" newer Instep; update Instep to knit on; nothing was changed{_where(self.path)}"
            )
        try:
            data = _read_data(text)
        except (ValueError, RecursionError):
            raise self._damaged(pair, number) from None
        return Event(number, at, offset, sock, kind, data, uid, version)

    def _append(
        self, pair: PairRow, head: _Head, acts: Sequence[Act], summary: Summary, stamp: Stamp
    ) -> list[Event]:
        """Add the acts behind `head`, and move the pair's row on with each."""
        number, link = head.last, head.link
        events = []
        for act in acts:
            number += 1
            text, uid = self._write_data(act), os.urandom(16)
            row = (number, *stamp, act.sock, act.kind, text, uid, EVENT_VERSION)
            link = _link(link, *row)
            self._connection.execute(_ADD_EVENT, (pair.id, *row, link))
            self._connection.execute(_MOVE_ON, (number, link, stamp.at, *summary, pair.id))
            # The fields as the next reader will find them: a tuple has become a list.
            events.append(Event(number, *stamp, act.sock, act.kind, _read_data(text), uid))
        return events

    def _write_data(self, act: Act) -> str:
        if act.kind not in KINDS:
            raise ValueError(f"no event is of the kind {act.kind!r}")
        try:
            return _encode(dict(act.data))
        except ValueError:
            raise BasketTrouble(
                f"the {act.kind} holds a number that is none (infinite, or not a number); write a"
                f" plain one; nothing was recorded{_where(self.path)}"
            ) from None

    def _set(self, pair: PairRow, update: str, value: object) -> None:
        with self._within(_WRITE) as connection:
            if connection.execute(update, (value, pair.id, pair.uid)).rowcount != 1:
                raise self._gone(pair)

    def _check_file(self) -> list[str]:
        where = _where(self.path)
        with self._within(_READ) as connection:
            pages = [line for (line,) in connection.execute("PRAGMA integrity_check")]
            loose = connection.execute("PRAGMA foreign_key_check").fetchall()
            query = "SELECT name FROM sqlite_schema WHERE type = 'trigger'"
            guards = {name for (name,) in connection.execute(query)}
        faults = [shorten(line, 120) for line in pages if line != "ok"]
        wrong = [f"the file is damaged: {fault}{where}" for fault in faults]
        if loose:
            wrong.append(f"{len(loose)} lines belong to no pair or to no pattern{where}")
        missing = sorted(GUARDS - guards)
        return wrong + [f'the guard "{name}" is missing{where}' for name in missing]

    def _gone(self, pair: PairRow) -> BasketTrouble:
        return BasketTrouble(
            f"{shorten(pair.short)} is no longer in the basket; see"
            f' "instep basket" for what is{_where(self.path)}'
        )

    def _behind(self, pair: PairRow, known: int, last: int) -> BasketTrouble:
        return BasketTrouble(
            f"the basket holds {last} events of {shorten(pair.short)}, and {known} are known here:"
            f" an older copy was put in its place; start Instep again{_where(self.path)}"
        )

    def _damaged(self, pair: PairRow, number: int) -> BasketTrouble:
        return _damage(f"event {number} of {shorten(pair.short)}", self.path)


class _Head(NamedTuple):
    """The newest event of a pair: its number (0 before the first) and its link of the chain.

    `sound` where the event itself carries the link that the pair's row holds.
    """

    last: int
    link: bytes
    sound: bool


_Inode = tuple[int, int]

_open_here: dict[_Inode, int] = {}
_gate = allocate_lock()


def _claim(path: Path) -> _Inode:
    """Make the file where there is none, refuse one that is no basket, and note it as open here.

    A file that is open here is not read: closing any handle on a file drops all the locks that
    this process has on it, and SQLite's with them (POSIX, fcntl).
    """
    with _gate, _said(path, OSError, ValueError):
        _make(path)
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise _not_a_file(path, found.st_mode)
        inode = (found.st_dev, found.st_ino)
        if inode not in _open_here and found.st_size:
            _check_header(path)
        _open_here[inode] = _open_here.get(inode, 0) + 1
    return inode


def _release(inode: _Inode) -> None:
    with _gate:
        _open_here[inode] -= 1
        if not _open_here[inode]:
            del _open_here[inode]


def _make(path: Path) -> None:
    """An empty file for her eyes only, and its folder. What is there already stays as it is."""
    if path.exists():
        return
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except FileExistsError:
        raise BasketTrouble(f"its folder is a file; name another file{_where(path)}") from None
    os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))


def _check_header(path: Path) -> None:
    """Refuse what is no basket before SQLite opens it, which could fold a log into it.

    Offsets as in "Database File Format", 1.3, of SQLite: version 60, application 68.
    """
    with path.open("r+b", buffering=0) as file:
        header = file.read(100)
    ours = APPLICATION_ID.to_bytes(4, "big")
    if not header.startswith(b"SQLite format 3\0") or header[68:72] != ours:
        raise _not_a_basket(path)
    _check_version(path, int.from_bytes(header[60:64], "big"))


def _check_version(path: Path, version: int) -> None:
    if version > SCHEMA_VERSION:
        raise BasketTrouble(
            f"the basket was written by a newer Instep (its version {version}, this one reads"
            f" {SCHEMA_VERSION}); update Instep; nothing was changed{_where(path)}"
        )
    if version < 1:
        raise _not_a_basket(path)


def _connect(path: Path) -> tuple[sqlite3.Connection, int]:
    """A connection whose settings have been read back, and its data_version."""
    with _said(path):
        connection = _link_up(path)
        try:
            if _is_empty(connection):
                _lay_out(connection)
            _set_journal(connection)
            _check_opened(path, connection)
            _set_up(path, connection)
            return connection, _pragma(connection, "data_version")
        except BaseException:
            connection.close()
            raise


def _link_up(path: Path, options: str = "mode=rw") -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{path.as_uri()}?{options}", timeout=BUSY_MS / 1000, isolation_level=None, uri=True
    )
    # Text that is no UTF-8 is damage: it must reach the checksum, which names the event.
    connection.text_factory = partial(str, encoding="utf-8", errors="replace")
    return connection


def _is_empty(connection: sqlite3.Connection) -> bool:
    try:
        return not _pragma(connection, "page_count")
    except sqlite3.OperationalError as error:
        if _code(error) != sqlite3.SQLITE_CANTOPEN:
            raise
        return False  # a log is there, and the folder refuses its shared index


def _lay_out(connection: sqlite3.Connection) -> None:
    """The tables of a new basket, all at once; another program may have been quicker.

    Before the log is switched on: so the header of the file itself says whose it is.
    """
    script = Path(__file__).with_name("schema.sql").read_text(encoding="utf-8")
    connection.execute(_WRITE)
    if not _pragma(connection, "user_version"):
        for statement in script.split("\n\n"):
            connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
    connection.execute("COMMIT")


def _set_journal(connection: sqlite3.Connection) -> None:
    """The write-ahead log; where the folder refuses it, the rollback journal."""
    try:
        if _switch(connection, "wal") == "wal":
            # Only the first read shows whether the folder can hold the log's shared index.
            _pragma(connection, "user_version")
        return
    except sqlite3.OperationalError as error:
        if _code(error) in _BUSY:
            raise
    # A file left in log mode can be read without that index by one who holds it alone.
    _pragma(connection, "locking_mode = EXCLUSIVE")
    _switch(connection, "delete")
    _pragma(connection, "locking_mode = NORMAL")
    _pragma(connection, "user_version")


def _switch(connection: sqlite3.Connection, journal: str) -> str:
    """Of two that switch at once SQLite fails one without waiting: it tries again."""
    patience = monotonic() + BUSY_MS / 1000
    while True:
        try:
            return str(_pragma(connection, f"journal_mode = {journal}"))
        except sqlite3.OperationalError as error:
            if _code(error) not in _BUSY or monotonic() > patience:
                raise
        sleep(0.01)


def _check_opened(path: Path, connection: sqlite3.Connection) -> None:
    """Look again at what the header said: a log not yet folded in may say otherwise."""
    try:
        if _pragma(connection, "application_id") != APPLICATION_ID:
            raise _not_a_basket(path)
        _check_version(path, _pragma(connection, "user_version"))
    except BasketTrouble:
        # The last to leave folds the log in; one who may only read leaves it as it is.
        with closing(_link_up(path, "mode=ro")) as reader, suppress(sqlite3.Error):
            _pragma(reader, "user_version")
            connection.close()
        raise


def _set_up(path: Path, connection: sqlite3.Connection) -> None:
    for setting, value in SETTINGS.items():
        connection.execute(f"PRAGMA {setting} = {value}")
    refused = [name for name, value in SETTINGS.items() if _pragma(connection, name) != value]
    if _pragma(connection, "journal_mode") not in ("wal", "delete"):
        refused.append("journal_mode")
    if refused:
        raise BasketTrouble(
            f"SQLite refuses to keep the basket safely ({', '.join(refused)}); run Instep with"
            f" another build of Python or in another folder{_where(path)}"
        )


def _pragma(connection: sqlite3.Connection, text: str) -> Any:
    """What SQLite answers to it, or None."""
    row = connection.execute(f"PRAGMA {text}").fetchone()
    return row[0] if row else None


def _first_link(uid: bytes, pattern: str) -> bytes:
    """What event 1 is chained to: the pair and its pattern."""
    return hashlib.blake2b(uid + pattern.encode(), digest_size=16).digest()


def _link(
    before: bytes,
    number: int,
    at: int,
    offset: int,
    sock: int,
    kind: str,
    data: str,
    uid: bytes,
    version: int,
) -> bytes:
    """The checksum of an event: BLAKE2b, 16 bytes, of the link before it and of every column.

    The kind is led by its length and the data comes last, so no two events are written alike.
    """
    row = f"{number},{at},{offset},{sock},{version},{uid.hex()},{len(kind)},{kind},{data}"
    return hashlib.blake2b(before + row.encode(), digest_size=16).digest()


_encode = json.JSONEncoder(allow_nan=False, sort_keys=True, separators=(",", ":")).encode


def _read_data(text: str) -> Mapping[str, Any]:
    data = json.loads(text)
    if not isinstance(data, dict):
        raise ValueError("the data of an event are fields")
    return data


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _storable(text: str) -> str:
    """Bytes of a name that were no UTF-8 come from the command line as lone surrogates."""
    return text.encode("utf-8", "replace").decode()


def _pair(row: Sequence[Any]) -> PairRow:
    sock, section, done, in_step = row[11:]
    summary = Summary(sock, section, done, bool(in_step))
    return PairRow._make((*row[:7], bool(row[7]), *row[8:11], summary))


def _unused(short: str, taken: set[str]) -> str:
    name, count = short, 1
    while name in taken:
        count += 1
        name = f"{short}-{count}"
    return name


def _nearest(short: str, names: list[str]) -> str:
    from difflib import get_close_matches

    return shorten(next(iter(get_close_matches(short, names, n=1, cutoff=0.0)), names[0]))


_BUSY = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)

_SAID = {
    sqlite3.SQLITE_FULL: "the disk is full and nothing was recorded; make room, then do it again",
    sqlite3.SQLITE_IOERR: (
        "the disk failed and nothing was recorded; see that it is sound and has room, then do it"
        " again"
    ),
    sqlite3.SQLITE_READONLY: (
        "the basket may only be read and nothing was recorded; make its file and its folder"
        " writable"
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "the basket cannot be opened; make its file and its folder writable, or name another file"
    ),
    sqlite3.SQLITE_CONSTRAINT: (
        'the basket does not take this and nothing was recorded; "instep check" lists what is wrong'
    ),
    sqlite3.SQLITE_CORRUPT: 'the basket is damaged; "instep check" lists what is wrong',
    sqlite3.SQLITE_NOTADB: "this file is no basket; name another file",
}
"""What SQLite's result codes mean to a knitter."""


@contextmanager
def _said(path: Path, *also: type[Exception], writes: bool = False) -> Iterator[None]:
    """The one place where errors, SQLite's and those named in `also`, are put into words."""
    kinds: tuple[type[Exception], ...] = (sqlite3.Error, *also)
    try:
        yield
    except kinds as error:
        raise _trouble(error, path, writes) from error


def _trouble(error: Exception, path: Path, writes: bool) -> BasketTrouble:
    code, where = _code(error), _where(path)
    if code in _BUSY:
        busy = "the basket is busy: another program is writing to it"
        instead = "the key was not counted, press it again" if writes else "try again"
        return BasketBusy(f"{busy}; {instead}{where}")
    if code in _SAID:
        return BasketTrouble(f"{_SAID[code]}{where}")
    reason = shorten(getattr(error, "strerror", None) or str(error), 120)
    return BasketTrouble(
        f"the basket cannot be used ({reason}); name another file, or mend it{where}"
    )


def _code(error: Exception) -> int:
    """SQLite's primary result code; 0 where the error is not SQLite's."""
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


def _damage(what: str, path: Path) -> BasketTrouble:
    return BasketTrouble(
        f'{what} is damaged, and nothing was changed; "instep check" lists what is{_where(path)}'
    )


def _not_a_basket(path: Path) -> BasketTrouble:
    return BasketTrouble(
        f"this file is no basket, and nothing was changed; name another file{_where(path)}"
    )


def _not_a_file(path: Path, mode: int) -> BasketTrouble:
    if stat.S_ISDIR(mode):
        return BasketTrouble(f"this is a folder; name a file in it{_where(path)}")
    return BasketTrouble(f"this is no plain file; name another one{_where(path)}")


def _old_sqlite(path: Path) -> BasketTrouble:
    return BasketTrouble(
        f"this Python brings SQLite {sqlite3.sqlite_version}, and a basket needs 3.37 or newer; run"
        f" Instep with a newer Python{_where(path)}"
    )


def _where(path: Path) -> str:
    return f" ({shorten(str(path), 300)})"
