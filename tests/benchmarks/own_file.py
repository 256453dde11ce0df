"""A database of its own: what committing a count costs at the least, on the same disk."""

from __future__ import annotations

import sqlite3
from pathlib import Path


class OwnFile:
    """The floor of a tick: a database of its own, one transaction with an insert and an update."""

    def __init__(self, path: Path) -> None:
        self._connection = sqlite3.connect(path, isolation_level=None)
        run = self._connection.execute
        run("PRAGMA journal_mode = WAL")
        run("PRAGMA synchronous = FULL")
        run("CREATE TABLE event (number INTEGER PRIMARY KEY, data TEXT)")
        run("CREATE TABLE pair (id INTEGER PRIMARY KEY, last INTEGER)")
        run("INSERT INTO pair VALUES (1, 0)")
        self._number = 0

    def commit(self) -> None:
        """One row more, and the count moved on."""
        self._number += 1
        run = self._connection.execute
        run("BEGIN IMMEDIATE")
        run("INSERT INTO event VALUES (?, ?)", (self._number, '{"rounds":1}'))
        run("UPDATE pair SET last = ? WHERE id = 1", (self._number,))
        run("COMMIT")

    def close(self) -> None:
        """Close it."""
        self._connection.close()
