"""A whole copy of a basket while it may be in use: SQLite's online backup, in place once it is whole."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from tracker.storage.folders import make_hers, sync_folder

HALF = ".part"
"""What a copy ends in until it is whole."""


def copy_whole(
    source: sqlite3.Connection, target: Path, wrong_with: Callable[[Path], str] | None = None
) -> str:
    """Copy a basket into `target`, for her eyes only; what is wrong with the copy, and then there is none.

    Raises sqlite3.Error and OSError. What was there by that name is replaced only by a whole copy.
    """
    make_hers(target.parent)
    # A name of its own: two programs may copy at once, and one would take the other's away.
    half = target.with_name(f"{target.name}.{os.urandom(8).hex()}{HALF}")
    os.close(os.open(half, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    try:
        with closing(sqlite3.connect(half)) as copy:
            source.backup(copy)
        wrong = wrong_with(half) if wrong_with else ""
        if not wrong:
            half.replace(target)
            sync_folder(target.parent)
        return wrong
    finally:
        for left in (half, *map(half.with_name, (f"{half.name}{end}" for end in LOGS))):
            left.unlink(missing_ok=True)


LOGS = ("-journal", "-wal", "-shm")
"""What SQLite puts beside a basket that is open."""
