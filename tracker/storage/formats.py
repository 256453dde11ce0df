"""The forms a basket had: each older one is brought on to the next, after a copy was put aside."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping
from pathlib import Path

from tracker.storage.trouble import in_words

NEWEST = 1
"""The newest form of a basket that this Instep reads (SQLite's user_version)."""

Step = Callable[[sqlite3.Connection], None]
"""Brings a basket from one form to the next, inside a transaction that the caller opened.

It leaves every table as schema.sql lays it out, to the letter, and no event otherwise than it was.
"""

STEPS: Mapping[int, Step] = {}
"""The step from each older form on. A form that was released is never taken out."""


def migrate(path: Path, connection: sqlite3.Connection) -> None:
    """Bring an older basket to the newest form, a step and a transaction at a time.

    Before the first step the whole of it is copied into the folder of its backups. Raises BasketTrouble;
    then the basket is in the form that the last whole step left.
    """
    with in_words(path, Exception):  # what a step is given may be damaged in any way
        begun = form_of(connection)
        if begun == NEWEST:
            return
        from tracker.storage.copying import copy_whole  # hardly any opening pays for it
        from tracker.storage.opening import backup_folder

        copy_whole(connection, backup_folder(path) / f"form-{begun}.db")
        for form in range(begun, NEWEST):
            _take(connection, form)


def _take(connection: sqlite3.Connection, form: int) -> None:
    connection.execute("BEGIN IMMEDIATE")
    try:
        if form_of(connection) == form:  # else another program has taken it
            STEPS[form](connection)
            connection.execute(f"PRAGMA user_version = {form + 1}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def form_of(connection: sqlite3.Connection) -> int:
    """The form that a basket is in; what is damaged may name one that never was. Raises sqlite3.Error."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])
