"""What the log of a killed program held: its index outlives it, and tells of acts that the log has lost.

SQLite opens a log up to the first frame whose checksum is wrong, and says nothing of those behind it. The
index beside it counts only what was synced, so a log that is shorter than that was damaged since.
Offsets as in "WAL-mode File Format", 2, of SQLite.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple


class _Told(NamedTuple):
    """So many `frames` in the log with these `salts`, the first `folded` of them in the basket itself."""

    frames: int
    folded: int
    salts: bytes


class LogIndex:
    """The index of a basket's log before SQLite opens it, which makes it anew from the log.

    It is closed only after the last connection: closing any handle on a file drops all the locks that
    this process has on it (POSIX, fcntl).
    """

    def __init__(self, path: Path) -> None:
        self._handle: int | None = None
        with suppress(OSError):
            self._handle = os.open(path.with_name(f"{path.name}-shm"), os.O_RDONLY)
        self._before = self._read()

    def is_lost(self) -> bool:
        """Whether the log that SQLite has opened meanwhile holds less than it did, and was not begun anew."""
        before, after = self._before, self._read()
        if before is None or after is None or before.frames <= before.folded:
            return False
        return after.frames < before.frames and not _begun_anew(before, after)

    def close(self) -> None:
        """Let it go. Closing twice does nothing."""
        if self._handle is not None:
            os.close(self._handle)
        self._handle = self._before = None

    def _read(self) -> _Told | None:
        if self._handle is None:
            return None
        try:
            header = os.pread(self._handle, _BYTES, 0)
        except OSError:
            return None
        if len(header) < _BYTES or header[:48] != header[48:96] or not header[12]:
            return None  # not whole: nobody ever read by it
        frames, folded = (int.from_bytes(header[at : at + 4], sys.byteorder) for at in (16, 96))
        return _Told(frames, folded, header[32:40])


_BYTES = 136


_MOST_TIMES = 1_000
"""While one program opens a basket another can hardly do that more often."""


def _begun_anew(before: _Told, after: _Told) -> bool:
    """Whether another program folded it in: each time the first salt is one higher, the second another."""
    one, two = (int.from_bytes(told.salts[:4], "big") for told in (before, after))
    return 0 < (two - one) % 2**32 < _MOST_TIMES and before.salts[4:] != after.salts[4:]


def set_aside(path: Path) -> Path | None:
    """The basket and its log as they are, copied to names of their own; None where that cannot be."""
    from shutil import copyfile

    count, aside = 1, path.with_name(f"{path.name}-damaged-log")
    while aside.exists():
        count += 1
        aside = path.with_name(f"{path.name}-damaged-log-{count}")
    try:
        for end in ("", "-wal"):
            if (there := path.with_name(path.name + end)).exists():
                copy = aside.with_name(aside.name + end)
                os.close(os.open(copy, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
                copyfile(there, copy)
    except OSError:
        return None
    return aside
