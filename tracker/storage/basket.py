"""The basket: every pair and its events in one SQLite file, committed before they are shown.

An event is never changed or erased. Each carries a checksum chained to the one before it, so
that a change from outside is noticed, and named, when the pair is next read.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext, suppress
from hashlib import blake2b
from pathlib import Path
from types import TracebackType
from typing import Any

from tracker.knitting.events import EVENT_VERSION, KINDS, Act, Event
from tracker.pattern.model import text_is_of_socks
from tracker.records import NamedTuple
from tracker.storage import formats, kept_answers
from tracker.storage.chain import Row, encode, event_of, first_link, link_of, sha256_of
from tracker.storage.checkpoints import Summed
from tracker.storage.opening import (
    OLDEST_SQLITE,
    SETTINGS,
    Inode,
    begin_writing,
    changed_layout,
    claim,
    connect,
    handle_on,
    is_removed,
    pragma,
    release,
    whole_path,
)
from tracker.storage.pair_line import (
    COLUMNS,
    INSERT,
    MOVE_ON,
    UPDATE,
    Line,
    PairRow,
    Summary,
    inserted,
    moved,
    sealed,
    updated,
)
from tracker.storage.stamp import Stamp
from tracker.storage.trouble import (
    SYNC_FAILED,
    UNREADABLE,
    BasketBusy,
    BasketTrouble,
    behind,
    damage,
    gone,
    in_file,
    in_words,
    not_found,
    old_sqlite,
    unsure,
    was_put_back,
)
from tracker.units import shorten

__all__ = ["Basket", "BasketBusy", "BasketTrouble", "NewPair", "PairRow", "Stamp", "Summary"]

_TEXTS_KEPT = 8
_READ, _WRITE = "BEGIN", "BEGIN IMMEDIATE"
_PAIR = (
    f"SELECT tally.pairs = (SELECT count(*) FROM pair NOT INDEXED), {COLUMNS}, pair.seal"  # noqa: S608
    " FROM tally LEFT JOIN pair ON "
)
_TEXT = "SELECT text FROM pattern WHERE sha256 = ?"
_ADD_PATTERN = "INSERT INTO pattern (sha256, text) VALUES (?, ?) ON CONFLICT DO NOTHING"
_NEXT = "SELECT 1 + coalesce(max(id), 0), 1 + coalesce(max(touch), 0) FROM pair"
_HEAD = (
    f"SELECT {COLUMNS}, pair.seal, event.chain, (SELECT max(touch) FROM pair)"  # noqa: S608
    " FROM pair LEFT JOIN event"
    " ON event.pair = pair.id AND event.number = pair.last WHERE pair.id = ? AND pair.uid = ?"
)
_EVENTS = (
    'SELECT number, at, "offset", sock, kind, data, uid, version, chain FROM event'
    " WHERE pair = ? AND number >= ? ORDER BY number"
)
_SUMMED = (
    'SELECT count(*), sum("offset" * number), sum(sock * number), sum(version * number),'
    " CAST(group_concat(at || kind || data || uid || chain, '') AS BLOB)"
    " FROM event WHERE pair = ? AND number BETWEEN 1 AND ?"
)
"""Every byte of events, as SQLite itself reads them: a hundredth of what telling them one by one takes."""
_LINK = "SELECT chain FROM event WHERE pair = ? AND number = ?"
_ADD_EVENT = (
    'INSERT INTO event (pair, number, at, "offset", sock, kind, data, uid, version, chain)'
    " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
)
_COMES_NEXT = "UPDATE pair SET last = ? WHERE id = ?"
"""Between two events of one transaction, for the guard that lets no event but the next one in."""
_BEGAN_WITH = (
    "pattern = ? AND EXISTS (SELECT 1 FROM event"
    " WHERE event.pair = pair.id AND event.number = 1 AND event.uid = ?) ORDER BY last DESC, id"
)


class NewPair(NamedTuple):
    """A pair to be started. `short` is what it would like to be called; see Basket.start."""

    short: str
    title: str
    pattern_text: str
    source: str
    count: str  # type: ignore[assignment]  # her word for it; the tuple's method is not missed
    summary: Summary


class Basket:
    """One connection to the basket's file. Every method raises BasketTrouble."""

    def __init__(
        self, path: Path, connection: sqlite3.Connection, made: bool, inode: Inode
    ) -> None:
        """Not for others: see Basket.open."""
        self.path = path
        self.made = made
        """Whether this opening laid the basket out: the first time that there is one here."""
        self._connection = connection
        self._inode: Inode | None = inode
        self._alone = False
        self._texts: dict[str, str] = {}
        """Patterns that were read and checked, by their SHA-256: many pairs may be of one."""
        self.recorded = 0
        """How many events were recorded by this opening."""
        self._seen: int = pragma(connection, "data_version")

    @classmethod
    def open(cls, path: Path) -> Basket:
        """The basket in `path`; its folder (0700) and the file (0600) are made when not there.

        A file that is no basket, or one of a newer Instep, is refused and left as it is.
        """
        path = whole_path(path)
        if sqlite3.sqlite_version_info < OLDEST_SQLITE:
            raise old_sqlite(path)
        inode = claim(path)
        try:
            return cls(path, *connect(path, inode), inode)
        except BaseException:
            release(inode)
            raise

    def close(self) -> None:
        """Fold the log in, so that the file alone is whole. Closing twice does nothing."""
        if self._inode is None:
            return
        inode, self._inode = self._inode, None
        try:
            # What was committed is kept in the log, too: a fold-in that fails loses nothing. Where another
            # file has the name, the log of that name is no longer this one's alone.
            with suppress(*UNREADABLE):
                if self._is_here(inode):
                    self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        finally:
            self._connection.close()
            release(inode)

    def _is_here(self, inode: Inode) -> bool:
        try:
            found = os.stat(self.path)
        except OSError:
            return False
        return (found.st_dev, found.st_ino) == inode

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
        with in_words(self.path):
            return str(pragma(self._connection, "journal_mode"))

    def pairs(self, *, away: bool = False) -> list[PairRow]:
        """The pairs, last touched first: those in the basket, or those put away."""
        return [pair for pair in self._all() if pair.away is away]

    def _all(self) -> list[PairRow]:
        """Every pair, those put away last, the one last touched first."""
        return self._pairs("1 ORDER BY away, touch DESC")

    def find(self, short: str | None) -> PairRow:
        """The pair called `short`, away or not; None is the one last touched of those not away."""
        # The one last touched is known only where no line is damaged. Of those named the table is
        # asked, and not its index, which may be damaged alone.
        found = self.pairs() if short is None else self._pairs("+short = ?", _storable(short))
        if not found:
            raise not_found(short, [pair.short for pair in self._all()], self.path)
        return found[0]

    def started_from(self, source: str) -> PairRow | None:
        """The pair started from the file whose bytes have the SHA-256 `source` (hex), if any.

        Of several the one last touched; one that is put away only where there is no other.
        """
        order = "ORDER BY away, touch DESC LIMIT 1"
        return next(iter(self._pairs(f"source = ? {order}", source)), None)

    def start(self, new: NewPair, act: Act, stamp: Stamp) -> PairRow:
        """Begin a pair with `act` as its event 1.

        Where its short name is taken it becomes "name-2", "name-3" and so on.
        """
        with self._within(_WRITE):
            head = self._add_pair(new, os.urandom(16), stamp.at)
            self._append(head, [act], new.summary, stamp)
            return self._pairs_now("id = ?", head.line.id)[0]

    def began_with(self, uid: bytes, pattern: str) -> list[PairRow]:
        """The pairs with the event `uid` as their first, on the pattern with that SHA-256 (hex).

        They are one pair, and what became of it where it was knitted on in two places. The longest
        is first.
        """
        return self._pairs(_BEGAN_WITH, pattern, uid)

    def rows(self, pair: PairRow) -> list[Row]:
        """The pair's events as they are kept, oldest first, their chain verified.

        Raises BasketTrouble for those of a newer Instep, too.
        """
        with self._within(_READ):
            rows = self._verified(pair, 0, self._head(pair))
        for row in rows:
            self._event(pair, row)
        return rows

    def bring_in(
        self, new: NewPair, uid: bytes, rows: Sequence[Row], *, mends: bool = False
    ) -> PairRow:
        """Add a pair with a history (event 1 at least) that was recorded elsewhere.

        It keeps its 16 bytes where no pair here has them; as in `start` its short name may change.
        The pair last touched of those not away stays the one last touched, unless the new one `mends` a
        damaged one.
        """
        stays = nullcontext() if mends else self._hand_stays()
        with self._within(_WRITE) as connection, stays:
            if connection.execute("SELECT 1 FROM pair WHERE uid = ?", (uid,)).fetchone():
                uid = os.urandom(16)
            head = self._add_pair(new, uid, rows[-1].at)
            self._insert(head, rows, new.summary)
            return self._pairs_now("id = ?", head.line.id)[0]

    def bring_on(self, pair: PairRow, rows: Sequence[Row], summary: Summary) -> PairRow:
        """Add events that were recorded elsewhere to a pair; they follow the last one it has.

        The pair last touched of those not away stays the one last touched.
        """
        with self._within(_WRITE), self._hand_stays():
            head = self._head(pair)
            if not head.sound:
                raise self._damaged(pair, max(head.last, 1))
            self._insert(head, rows, summary)
            return self._pairs_now("id = ?", pair.id)[0]

    @contextmanager
    def _hand_stays(self) -> Iterator[None]:
        """What is added inside was knitted elsewhere: the pair in hand here stays in hand."""
        in_hand = next((pair for pair in self._all_now() if not pair.away), None)
        yield
        if in_hand is not None:
            head = self._head(in_hand)
            self._write(head.line._replace(touch=head.touches + 1))

    @contextmanager
    def alone(self) -> Iterator[None]:
        """What is done inside is committed whole, and no other program writes meanwhile."""
        with self._within(_WRITE):
            self._alone = True
            try:
                yield
            finally:
                self._alone = False

    def pattern_text(self, pair: PairRow) -> str:
        """The pair's pattern file, word for word, checked against its SHA-256."""
        known = self._texts.get(pair.pattern)
        if known is not None:
            return known
        with self._within(_READ) as connection:
            found = connection.execute(_TEXT, (pair.pattern,)).fetchone()
        if found is None or sha256_of(str(found[0])) != pair.pattern:
            raise damage(f"the pattern of {shorten(pair.short)}", self.path)
        if len(self._texts) >= _TEXTS_KEPT:
            self._texts.pop(next(iter(self._texts)))
        return self._texts.setdefault(pair.pattern, str(found[0]))

    def of_socks(self, pair: PairRow) -> bool:
        """Whether a pair is one of socks, for a list that does not open it; if in doubt it is."""
        try:
            return text_is_of_socks(pair.title, self.pattern_text(pair))
        except BasketTrouble:
            return True

    def events(self, pair: PairRow, after: int = 0) -> list[Event]:
        """The pair's events with numbers above `after`, oldest first, their chain verified.

        With `after` 0 that is the whole chain; else the link of event `after` is taken on trust.
        """
        with self._within(_READ):
            return self._newer(pair, after, self._head(pair))

    def earlier(self, pair: PairRow, number: int) -> list[Event]:
        """Those up to a number, the chain verified; to be read inside an act's transaction, too."""
        if not self._connection.in_transaction:
            return self.events(pair)[:number]
        with in_words(self.path):
            return self._newer(pair, 0, self._head(pair))[:number]

    def summed(self, pair: PairRow, number: int) -> Summed | None:
        """What the events up to a number come to; None where there are not so many, or damaged ones."""
        with self._within(_READ):
            return self._summed(pair, number)

    def events_from(self, pair: PairRow, known: Summed) -> list[Event] | None:
        """The last event that was summed up, and those after it; None where others were summed up."""
        with self._within(_READ):
            head = self._head(pair)
            if known.number > head.last or self._summed(pair, known.number) != known:
                return None
            return self._newer(pair, known.number - 1, head)

    def _summed(self, pair: PairRow, number: int) -> Summed | None:
        try:
            link = self._connection.execute(_LINK, (pair.id, number)).fetchone()
            count, *sums, text = self._connection.execute(_SUMMED, (pair.id, number)).fetchone()
        except sqlite3.OperationalError:
            return None  # a number of another size
        if count != number or not link or not isinstance(link[0], bytes):
            return None
        told = blake2b(ascii(sums).encode(), digest_size=16)
        told.update(text)
        return Summed(number, link[0].hex(), told.hexdigest())

    def record(
        self,
        pair: PairRow,
        known: int,
        decide: Callable[[Sequence[Event]], tuple[Sequence[Act], Summary]],
        stamp: Stamp | Sequence[Stamp],
    ) -> tuple[list[Event], list[Event]]:
        """Commit acts, whole or not at all, decided on a state that no other writer can change meanwhile.

        `decide` is given the events above `known` that others recorded, oldest first, and returns
        the acts and the summary after the last of them; no acts: no change. Whatever it raises is
        raised again, and nothing is recorded. The stamp is that of all acts, or each has its own. Returns
        the events by others, and the new ones.
        """
        with self._within(_WRITE):
            head = self._head(pair)
            if not head.sound:
                raise self._damaged(pair, max(head.last, 1))
            newer = [] if head.last == known else self._newer(pair, known, head)
            acts, summary = decide(newer)
            return newer, self._append(head, acts, summary, stamp)

    def set_count(self, pair: PairRow, count: str) -> None:
        """Count this pair by "rounds" or by "needles" from now on."""
        self._set(pair, count=count)

    def put_away(self, pair: PairRow, away: bool) -> None:
        """Put the pair away, or bring it out again."""
        self._set(pair, away=int(away))

    def changed(self) -> bool:
        """Has another connection written since the last look? While it writes: not yet.

        Raises BasketTrouble where the file is gone, and once where it was removed and is put back.
        """
        if self._look_for_file():
            raise was_put_back(self.path)
        before = self._seen
        try:
            with in_words(self.path):
                self._seen = pragma(self._connection, "data_version")
        except BasketBusy:
            return False
        return self._seen != before

    def sum_of_file(self) -> str | None:
        """A checksum of all that was recorded when this was opened, or looked at last.

        None where others wrote since or are at it, so that the file alone does not hold it, or where it is
        too large.
        """
        if self._inode is None:
            return None
        with in_words(self.path, OSError):
            # As far as nobody is in the way: who only reads keeps no other waiting.
            folds = self._connection.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchone()
            is_whole = not folds[0] and folds[1] == folds[2]
            if not is_whole or self.changed() or os.path.exists(f"{self.path}-journal"):
                return None
            found = kept_answers.sum_of(handle_on(self._inode))
            return None if self.changed() else found

    def check(self) -> list[str]:
        """Audit the file, every pattern and every chain: one line for each thing that is wrong."""
        wrong: list[str] = []
        pairs: list[PairRow] = []
        for look in (self._check_file, lambda: self._check_list(pairs)):
            try:
                wrong += look()
            except BasketTrouble as trouble:
                wrong.append(str(trouble))
        for pair in pairs:
            self._texts.clear()  # as the file has them
            for read in (self.pattern_text, self.events):
                try:
                    read(pair)
                except BasketTrouble as trouble:
                    wrong.append(str(trouble))
        return wrong

    def _check_list(self, sound: list[PairRow]) -> list[str]:
        """What is wrong with the list of the pairs; those whose line is sound are put into `sound`."""
        with self._within(_READ) as connection:
            found = connection.execute(f"{_PAIR} 1 ORDER BY pair.id").fetchall()
        wrong = [] if _is_whole(found) else [str(damage("the list of the pairs", self.path))]
        for _, *columns in found:
            if columns[0] is None:
                continue
            try:
                sound.append(self._sealed(columns).row)
            except BasketTrouble as trouble:
                wrong.append(str(trouble))
        return wrong

    @contextmanager
    def _within(self, begin: str) -> Iterator[sqlite3.Connection]:
        """One transaction: committed whole, or rolled back and the reason raised.

        While it is alone, everything is one transaction.
        """
        connection, writes, recorded = self._connection, begin == _WRITE, self.recorded
        if self._alone:
            yield connection
            return
        with in_words(self.path, writes=writes):
            if writes:
                self._look_for_file()
                connection = self._connection
                begin_writing(connection)
            else:
                connection.execute(begin)
            try:
                yield connection
                self._commit()
            except BaseException:
                self.recorded = recorded
                self._roll_back()
                raise

    def _commit(self) -> None:
        """Keep it, synced. What cannot be synced is withdrawn from the log, where it stands all the same."""
        try:
            self._connection.execute("COMMIT")
        except sqlite3.Error as error:
            self._roll_back()
            if error.sqlite_errorcode in SYNC_FAILED:
                self._withdraw()
            raise

    def _roll_back(self) -> None:
        # SQLite has rolled back by itself after some errors, a full disk among them.
        with suppress(*UNREADABLE):
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")

    def _withdraw(self) -> None:
        """Lay a frame that changes nothing over the first of what was refused.

        The log holds all of it, only not for certain: who opens the basket next would take it for kept, and
        what was said not to be recorded would be there.
        """
        try:
            pragma(self._connection, "synchronous = 0")
            pragma(self._connection, f"user_version = {formats.NEWEST}")
        except sqlite3.Error:
            raise unsure(self.path) from None
        finally:
            with suppress(sqlite3.Error):
                pragma(self._connection, f"synchronous = {SETTINGS['synchronous']}")

    def _look_for_file(self) -> bool:
        """Whether a file that was removed was put back. Writing on into it would lose the key in silence."""
        try:
            found = os.stat(self.path)
        except PermissionError:
            raise BasketTrouble(
                "the basket's folder may not be entered any more, and nothing is recorded; give its"
                f" permission back{in_file(self.path)}"
            ) from None
        except OSError:
            found = None
        if found is not None and (found.st_dev, found.st_ino) == self._inode:
            return False
        if found is None and self._inode and is_removed(self._inode) and self.path.parent.is_dir():
            self._put_back()
            return True
        raise BasketTrouble(
            "the basket's file was moved, removed or replaced, and nothing is recorded;"
            f" put it back or start Instep again{in_file(self.path)}"
        )

    def _put_back(self) -> None:
        """A basket that was removed while it is open here is all there still: it gets its name again."""
        from tracker.storage.putting_back import put_back  # hardly any opening pays for it

        with in_words(self.path, OSError):
            put_back(self._connection, self.path)
        before, inode = self._inode, claim(self.path)
        self._inode = inode
        if before:
            release(before)
        self._connection, _ = connect(self.path, inode)

    def _pairs(self, which: str, *values: object) -> list[PairRow]:
        with self._within(_READ):
            return self._pairs_now(which, *values)

    def _pairs_now(self, which: str, *values: object) -> list[PairRow]:
        """Raises BasketTrouble where a line of those asked for is not what was written, or any is lost."""
        found = self._connection.execute(_PAIR + which, values).fetchall()
        if not _is_whole(found):
            raise damage("the list of the pairs", self.path)
        return [self._sealed(columns).row for _, *columns in found if columns[0] is not None]

    def _all_now(self) -> list[PairRow]:
        return self._pairs_now("1 ORDER BY away, touch DESC")

    def _sealed(self, columns: Sequence[Any]) -> Line:
        line = sealed(columns)
        if line is None:
            raise damage(f"the line of {shorten(str(columns[2]))} in the list", self.path)
        return line

    def _head(self, pair: PairRow) -> _Head:
        """The line of the pair now, and the link of its newest event."""
        found = self._connection.execute(_HEAD, (pair.id, pair.uid)).fetchone()
        if found is None:
            self._all_now()  # damage is said as damage
            raise gone(pair.short, self.path)
        *columns, link, touches = found
        line = self._sealed(columns)
        begins = first_link(pair.uid, pair.pattern)
        return _Head(line, line.chain == (link if line.last else begins), touches)

    def _newer(self, pair: PairRow, after: int, head: _Head) -> list[Event]:
        """The events above `after` up to `head`, each link verified."""
        return [self._event(pair, row) for row in self._verified(pair, after, head)]

    def _verified(self, pair: PairRow, after: int, head: _Head) -> list[Row]:
        if after > head.last:
            raise behind(pair.short, after, head.last, self.path)
        rows = iter(self._connection.execute(_EVENTS, (pair.id, max(after, 1))).fetchall())
        number, link = after, first_link(pair.uid, pair.pattern)
        if after:
            number, link = next(((row[0], row[-1]) for row in rows), (0, b""))
            if number != after:
                raise self._damaged(pair, after)
        found = []
        for *row, chain in rows:
            try:
                link = link_of(link, *row)
            except (AttributeError, TypeError, ValueError):
                chain = None  # a column of another kind
            if chain != link:
                raise self._damaged(pair, number + 1)
            found.append(Row._make(row))
            number += 1
        if (number, link) != (head.last, head.link):
            raise self._damaged(pair, number if number == head.last else min(number, head.last) + 1)
        return found

    def _event(self, pair: PairRow, row: Row) -> Event:
        if row.kind not in KINDS or row.version > EVENT_VERSION:
            raise BasketTrouble(
                f'event {row.number} of {shorten(pair.short)} ("{shorten(row.kind)}") was written by a'
                f" newer Instep; update Instep to knit on; nothing was changed{in_file(self.path)}"
            )
        try:
            return event_of(row)
        except (ValueError, RecursionError):
            raise self._damaged(pair, row.number) from None

    def _append(
        self,
        head: _Head,
        acts: Sequence[Act],
        summary: Summary,
        stamp: Stamp | Sequence[Stamp],
    ) -> list[Event]:
        """Add the acts behind `head`, and move the pair's line on."""
        each = [stamp] * len(acts) if isinstance(stamp, Stamp) else stamp
        rows = [
            Row(
                number,
                *its,
                act.sock,
                act.kind,
                self._write_data(act),
                os.urandom(16),
                EVENT_VERSION,
            )
            for number, (act, its) in enumerate(zip(acts, each, strict=False), head.last + 1)
        ]
        self._insert(head, rows, summary)
        # The fields as the next reader will find them: a tuple has become a list.
        return [event_of(row) for row in rows]

    def _insert(self, head: _Head, rows: Sequence[Row], summary: Summary) -> None:
        line, link = head.line, head.link
        self.recorded += len(rows)
        run = self._connection.execute
        for row in rows:
            if row is not rows[0]:
                run(_COMES_NEXT, (row.number - 1, line.id))
            link = link_of(link, *row)
            run(_ADD_EVENT, (line.id, *row, link))
        if rows:
            touch = head.touches + len(rows)
            last = rows[-1]
            run(MOVE_ON, moved(line.moved_on(last.number, link, last.at, touch, summary)))

    def _add_pair(self, new: NewPair, uid: bytes, touched: int) -> _Head:
        """Add the line of a pair that has no events yet."""
        number, touch = self._connection.execute(_NEXT).fetchone()
        digest = sha256_of(new.pattern_text)
        taken = {name for (name,) in self._connection.execute("SELECT short FROM pair")}
        sock, section, done, in_step, (rounds, stitches) = new.summary
        line = Line(
            number, uid, _unused(_storable(new.short), taken), _storable(new.title), digest, new.source,
            new.count, 0, 0, first_link(uid, digest), touched, touch, sock, section, done, int(in_step),
            rounds, stitches,
        )  # fmt: skip
        self._connection.execute(_ADD_PATTERN, (digest, new.pattern_text))
        self._connection.execute(INSERT, inserted(line))
        return _Head(line, True, touch)

    def _write_data(self, act: Act) -> str:
        if act.kind not in KINDS:
            raise ValueError(f"no event is of the kind {act.kind!r}")
        try:
            return encode(dict(act.data))
        except ValueError:
            raise BasketTrouble(
                f"the {act.kind} holds a number that is none (infinite, or not a number); write a"
                f" plain one; nothing was recorded{in_file(self.path)}"
            ) from None

    def _set(self, pair: PairRow, **values: Any) -> None:
        with self._within(_WRITE):
            self._write(self._head(pair).line._replace(**values))

    def _write(self, line: Line) -> None:
        self._connection.execute(UPDATE, updated(line))

    def _check_file(self) -> list[str]:
        where = in_file(self.path)
        with self._within(_READ) as connection:
            pages = [line for (line,) in connection.execute("PRAGMA integrity_check")]
            loose = connection.execute("PRAGMA foreign_key_check").fetchall()
            guards = changed_layout(connection, "trigger")
        faults = [shorten(line, 120) for line in pages if line != "ok"]
        wrong = [f"the file is damaged: {fault}{where}" for fault in faults]
        if loose:
            wrong.append(f"{len(loose)} lines belong to no pair or to no pattern{where}")
        return wrong + [f'the guard "{shorten(name)}" is not as it was{where}' for name in guards]

    def _damaged(self, pair: PairRow, number: int) -> BasketTrouble:
        return damage(f"event {number} of {shorten(pair.short)}", self.path)


class _Head(NamedTuple):
    """The line of a pair as it stands, its newest event and its link of the chain among it.

    `sound` where that event itself carries the link that the line holds; `touches` are those of all pairs.
    """

    line: Line
    sound: bool
    touches: int

    @property
    def last(self) -> int:
        """The number of the newest event, 0 before the first."""
        return self.line.last

    @property
    def link(self) -> bytes:
        """Its link of the chain."""
        return self.line.chain


def _is_whole(found: Sequence[Sequence[Any]]) -> bool:
    """Whether lines are as many as were counted, and each is told once: a damaged page may tell more."""
    numbers = {number for is_counted, number, *_ in found if is_counted}
    return bool(found) and len(numbers) == len(found)


def _storable(text: str) -> str:
    """Bytes of a name that were no UTF-8 come from the command line as lone surrogates."""
    return text.encode("utf-8", "replace").decode()


def _unused(short: str, taken: set[str]) -> str:
    name, count = short, 1
    while name in taken:
        count += 1
        name = f"{short}-{count}"
    return name
