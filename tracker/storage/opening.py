"""Opening a basket: its file made and laid out, or recognised, and its settings read back."""

from __future__ import annotations

import os
import sqlite3
import stat
from _thread import allocate_lock
from collections.abc import Callable
from contextlib import closing, suppress
from functools import partial
from pathlib import Path
from time import monotonic, sleep
from typing import Any

from tracker.storage import formats
from tracker.storage.formats import migrate
from tracker.storage.log_index import LogIndex, set_aside
from tracker.storage.reading_at import AS_BYTES
from tracker.storage.trouble import (
    BUSY,
    UNREADABLE,
    BasketTrouble,
    damage,
    in_file,
    in_words,
    log_damaged,
    may_only_be_read,
    not_a_basket,
    not_a_file,
    result_code,
)
from tracker.units import shorten

APPLICATION_ID = int.from_bytes(b"Inst", "big")
"""What SQLite's header says of a file that is a basket."""

BUSY_MS = 250
"""How long another writer is waited for."""
_ASKED_MS = BUSY_MS // 2
"""How long of that SQLite waits by itself; see begin_writing."""

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

Inode = tuple[int, int]

_open_here: dict[Inode, list[int]] = {}
"""How often each file is open here, and one handle on it: it tells whether a name is left."""
_logs: dict[Inode, LogIndex] = {}
"""The index of each one's log as the first to open it here found it."""
_gate = allocate_lock()


def claim(path: Path) -> Inode:
    """Make the file where there is none, refuse one that is no basket, and note it as open here.

    A file that is open here is not read: closing any handle on a file drops all the locks that
    this process has on it, and SQLite's with them (POSIX, fcntl).
    """
    with _gate, in_words(path, OSError, ValueError):
        _refuse_where_it_was_lost(path)
        _make(path)
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise not_a_file(path, found.st_mode)
        inode = (found.st_dev, found.st_ino)
        if inode not in _open_here and found.st_size:
            _check_header(path)
        if inode not in _open_here:
            _open_here[inode] = [0, os.open(path, os.O_RDONLY | AS_BYTES)]
            _logs[inode] = LogIndex(path, _open_here[inode][1])
        _open_here[inode][0] += 1
    return inode


def is_removed(inode: Inode) -> bool:
    """Whether the file has no name any more: it goes when the last who has it open closes it."""
    return os.fstat(handle_on(inode)).st_nlink == 0


def handle_on(inode: Inode) -> int:
    """The handle on a file that is open here, to read it by: closing another would let its locks go."""
    return _open_here[inode][1]


def whole_path(path: Path) -> Path:
    """The path from the root on, of the file itself where a link leads to it: its log lies beside that.

    Raises BasketTrouble where the folder it starts from is gone.
    """
    try:
        whole = path.absolute()
    except OSError:
        raise BasketTrouble(
            f"the folder you are in is gone; go to another one, or name the whole path{in_file(path)}"
        ) from None
    return Path(os.path.realpath(whole)) if os.path.islink(whole) else whole


def release(inode: Inode) -> None:
    """The file is open here once less."""
    with _gate:
        _open_here[inode][0] -= 1
        if not _open_here[inode][0]:
            os.close(_open_here.pop(inode)[1])
            _logs.pop(inode).close()


def _refuse_where_it_was_lost(path: Path) -> None:
    """Where nothing is but backups or a log, a new basket would hide that there was one."""
    log = path.with_name(f"{path.name}-wal")
    # Looked at first: who makes a basket just now writes into its log last.
    has_log = log.is_file() and log.stat().st_size > 0
    if path.exists() and (not path.is_file() or path.stat().st_size):
        return
    folder = backup_folder(path)
    if any(folder.glob("*.db")):
        raise BasketTrouble(
            "the basket is gone or empty, and its backups are there; instep mend brings it back, or move"
            f" {shorten(str(folder), 300)} away to begin another{in_file(path)}"
        )
    if has_log:
        raise BasketTrouble(
            "the basket is gone or empty, and its log is there; put the basket back beside it, or move"
            f" {shorten(str(log), 300)} away to begin another{in_file(path)}"
        )


def backup_folder(path: Path) -> Path:
    """Where the backups of a basket are."""
    return path.with_name(f"{path.name}-backups")


def _make(path: Path) -> None:
    """An empty file for her eyes only, and its folder. What is there already stays as it is."""
    if path.exists():
        return
    try:
        from tracker.storage.folders import make_hers

        make_hers(path.parent)
    except (FileExistsError, NotADirectoryError):
        raise BasketTrouble(f"its folder is a file; name another file{in_file(path)}") from None
    os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))


def _check_header(path: Path) -> None:
    """Refuse what is no basket before SQLite opens it, which could fold a log into it.

    Offsets as in "Database File Format", 1.3, of SQLite: version 60, application 68.
    """
    try:
        with path.open("r+b", buffering=0) as file:
            header = file.read(100)
    except PermissionError:
        with path.open("rb"):  # else it cannot be opened at all, which is said otherwise
            raise may_only_be_read(path) from None
    ours = APPLICATION_ID.to_bytes(4, "big")
    if not header.startswith(b"SQLite format 3\0") or header[68:72] != ours:
        raise not_a_basket(path)
    _check_version(path, int.from_bytes(header[60:64], "big"))


def _check_version(path: Path, version: int) -> None:
    if version > formats.NEWEST:
        raise BasketTrouble(
            f"the basket was written by a newer Instep (its version {version}, this one reads"
            f" {formats.NEWEST}); update Instep; nothing was changed{in_file(path)}"
        )
    if version < 1:
        raise not_a_basket(path)


def connect(path: Path, inode: Inode) -> tuple[sqlite3.Connection, bool]:
    """A connection whose settings have been read back, and whether it laid the basket out."""
    with in_words(path):
        connection, log = link_up(path), _logs[inode]
        try:
            made = _is_empty(connection) and _lay_out(connection)
            is_lost = log.is_lost()
            aside = set_aside(path) if is_lost else None  # before anything is folded in
            _set_journal(connection)
            _check_opened(path, connection)
            if is_lost:
                _leave_as_it_is(path, connection)
                raise log_damaged(path, aside)  # once: what stands before the damage is whole
            if log.is_said:
                _fold_in(connection)
            migrate(path, connection)
            _check_tables(path, connection)
            _set_up(path, connection)
            return connection, made
        except BaseException:
            connection.close()
            raise


def link_up(path: Path, options: str = "mode=rw") -> sqlite3.Connection:
    """A connection to the file as it is, named as an address with these options."""
    connection = sqlite3.connect(
        f"{path.as_uri()}?{options}", timeout=_ASKED_MS / 1000, isolation_level=None, uri=True
    )
    # Text that is no UTF-8 is damage: it must reach the checksum, which names the event.
    connection.text_factory = partial(str, encoding="utf-8", errors="replace")
    return connection


def _is_empty(connection: sqlite3.Connection) -> bool:
    try:
        return not pragma(connection, "page_count")
    except sqlite3.OperationalError as error:
        if result_code(error) != sqlite3.SQLITE_CANTOPEN:
            raise
        return False  # a log is there, and the folder refuses its shared index


def _lay_out(connection: sqlite3.Connection) -> bool:
    """The tables of a new basket, all at once; False where another program was quicker.

    Before the log is switched on: so the header of the file itself says whose it is.
    """
    begin_writing(connection)
    is_new = not pragma(connection, "user_version")
    if is_new:
        for statement in _statements():
            connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {formats.NEWEST}")
    connection.execute("COMMIT")
    return is_new


def _statements() -> list[str]:
    """Those that lay a basket out, as SQLite keeps their text."""
    script = Path(__file__).with_name("schema.sql").read_text(encoding="utf-8")
    told = (
        "\n".join(line for line in statement.splitlines() if not line.startswith("--"))
        for statement in script.split("\n\n")
    )
    return [statement.strip().removesuffix(";") for statement in told if statement.strip()]


def changed_layout(connection: sqlite3.Connection, kind: str) -> list[str]:
    """The names of what is not as it was laid out, `kind` "table" or "trigger"."""
    begins = f"CREATE {kind.upper()} "
    laid = {
        statement.removeprefix(begins).split()[0]: statement
        for statement in _statements()
        if statement.startswith(begins)
    }
    query = "SELECT name, sql FROM sqlite_schema WHERE type = ? AND name NOT LIKE 'sqlite_%'"
    # The name in a damaged line may be of any kind.
    found = {str(name): sql for name, sql in connection.execute(query, (kind,))}
    return sorted(name for name in laid | found if laid.get(name) != found.get(name))


def _set_journal(connection: sqlite3.Connection) -> None:
    """The write-ahead log; where the folder refuses it, the rollback journal."""
    try:
        if _switch(connection, "wal") == "wal":
            # Only the first read shows whether the folder can hold the log's shared index.
            pragma(connection, "user_version")
        return
    except sqlite3.OperationalError as error:
        if result_code(error) in BUSY:
            raise
    # A file left in log mode can be read without that index by one who holds it alone.
    pragma(connection, "locking_mode = EXCLUSIVE")
    _switch(connection, "delete")
    pragma(connection, "locking_mode = NORMAL")
    pragma(connection, "user_version")


def _switch(connection: sqlite3.Connection, journal: str) -> str:
    """Of two that switch at once SQLite fails one without waiting: it tries again."""
    return str(_insist(lambda: pragma(connection, f"journal_mode = {journal}"), BUSY_MS))


def begin_writing(connection: sqlite3.Connection) -> None:
    """Begin a transaction that no other program writes beside. Raises sqlite3.OperationalError if busy.

    SQLite asks at longer and longer intervals, and meets one that writes without a pause at work every
    time; so in the second half of the time it is asked without a pause as well.
    """
    try:
        connection.execute(_WRITE)
        return
    except sqlite3.OperationalError as error:
        if result_code(error) not in BUSY:
            raise
    pragma(connection, "busy_timeout = 0")
    try:
        _insist(lambda: connection.execute(_WRITE), BUSY_MS - _ASKED_MS)
    finally:
        pragma(connection, f"busy_timeout = {_ASKED_MS}")


_WRITE = "BEGIN IMMEDIATE"


def _insist(act: Callable[[], Any], most_ms: int) -> Any:
    """Do it again and again for so long as another program is in the way."""
    patience = monotonic() + most_ms / 1000
    while True:
        try:
            return act()
        except sqlite3.OperationalError as error:
            if result_code(error) not in BUSY or monotonic() > patience:
                raise
        sleep(0.002)


def _check_opened(path: Path, connection: sqlite3.Connection) -> None:
    """Look again at what the header said: a log not yet folded in may say otherwise."""
    try:
        if pragma(connection, "application_id") != APPLICATION_ID:
            raise not_a_basket(path)
        _check_version(path, pragma(connection, "user_version"))
    except BasketTrouble:
        _leave_as_it_is(path, connection)
        raise


def _leave_as_it_is(path: Path, connection: sqlite3.Connection) -> None:
    """The last to leave folds the log in; one who may only read leaves it as it is."""
    with closing(link_up(path, "mode=ro")) as reader, suppress(*UNREADABLE):
        pragma(reader, "user_version")
        connection.close()


def _fold_in(connection: sqlite3.Connection) -> None:
    """What SQLite does not read of a log is not to be taken for damage again, behind what is written next."""
    with suppress(sqlite3.OperationalError):
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _check_tables(path: Path, connection: sqlite3.Connection) -> None:
    """A changed byte in how a table is laid out would be read by every statement."""
    if changed := changed_layout(connection, "table"):
        named = ", ".join(shorten(name) for name in changed)
        raise damage(f"the layout of the basket ({named})", path)


def _set_up(path: Path, connection: sqlite3.Connection) -> None:
    for setting, value in SETTINGS.items():
        connection.execute(f"PRAGMA {setting} = {value}")
    refused = [name for name, value in SETTINGS.items() if pragma(connection, name) != value]
    if pragma(connection, "journal_mode") not in ("wal", "delete"):
        refused.append("journal_mode")
    if refused:
        raise BasketTrouble(
            f"SQLite refuses to keep the basket safely ({', '.join(refused)}); run Instep with"
            f" another build of Python or in another folder{in_file(path)}"
        )


def pragma(connection: sqlite3.Connection, text: str) -> Any:
    """What SQLite answers to it, or None."""
    row = connection.execute(f"PRAGMA {text}").fetchone()
    return row[0] if row else None
