"""A basket that was removed while it is open here gets its name again: all of it is there still."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from tracker.storage.copying import LOGS
from tracker.storage.folders import sync_folder
from tracker.storage.opening import link_up, pragma
from tracker.storage.trouble import not_put_back


def put_back(connection: sqlite3.Connection, path: Path) -> None:
    """Copy what the connection sees, close it, and give the copy the name; a link is followed.

    Raises OSError and sqlite3.Error. Where another file has that name by now, that one stays; then, and
    wherever the name cannot be given, BasketTrouble names the copy, which may be the only one.
    """
    path = path.resolve()
    beside = _copied(connection, path)
    connection.close()
    try:
        _clear_logs(path)
        _named(beside, path)
    except OSError as error:
        raise not_put_back(beside, path) from error
    sync_folder(path.parent)


def _copied(connection: sqlite3.Connection, path: Path) -> Path:
    """All that the connection sees in a file of its own, synced, beside where the basket was."""
    # A name of its own: another program that has the basket open may be putting it back as well.
    beside = path.with_name(f"{path.name}.{os.urandom(8).hex()}.put-back")
    os.close(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    with closing(link_up(beside)) as copy:
        connection.backup(copy)
        pragma(copy, "journal_mode = delete")
    return beside


def _clear_logs(path: Path) -> None:
    """Take the log of the removed file away: all of it is in the copy.

    Who has that file open still would else fold in what is written to it from here on, and empty it.
    """
    if not path.exists():
        for end in LOGS:
            path.with_name(path.name + end).unlink(missing_ok=True)


def _named(beside: Path, path: Path) -> None:
    """The file beside gets a name that is free; never that of another file."""
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:  # a disk that knows one name for a file only
        if path.exists():
            raise
        beside.rename(path)
    else:
        beside.unlink()
