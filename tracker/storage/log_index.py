"""What the log of a killed program held: its index outlives it, and tells of acts that the log has lost.

SQLite opens a log up to the first frame whose checksum is wrong, and says nothing of those behind it. The
index beside it counts only what was synced, so a log that is shorter than that was damaged since. Where there
is no index, or that of another moment, the log itself is looked through.
Offsets as in "WAL-mode File Format", 2, of SQLite.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from functools import partial
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

    def __init__(self, path: Path, basket: int) -> None:
        """`basket` is a handle on the basket's own file, which is not open here otherwise."""
        self._handle: int | None = None
        with suppress(OSError):
            self._handle = os.open(path.with_name(f"{path.name}-shm"), os.O_RDONLY)
        self._before = self._read()
        self.holds_lost, self.is_said = _looked_through(path, basket, self._before)
        """Whether the log itself shows that acts are lost, not yet said; and whether that was said before."""

    def is_lost(self) -> bool:
        """Whether the log that SQLite has opened meanwhile holds less than it did, and was not begun anew."""
        before, after = self._before, self._read()
        if self.holds_lost:
            return True
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


def _looked_through(path: Path, basket: int, told: _Told | None) -> tuple[bool, bool]:
    """Whether the log holds kept acts that SQLite will not read, and nobody said so yet; or somebody did.

    Who says so leaves an index of just what SQLite reads.
    """
    log = path.with_name(f"{path.name}-wal")
    try:
        if not log.stat().st_size or (told is not None and not _holds_more(log, told)):
            return False, False
        from tracker.storage.log_frames import look_through  # hardly any opening pays for it

        found = look_through(_at_rest(log), partial(_bytes_of, basket))
    except OSError:
        return False, False
    was_said = told is not None and told.frames == found.read
    return found.lost and not was_said, found.lost and was_said


def _bytes_of(basket: int, begins: int, many: int) -> bytes:
    return os.pread(basket, many, begins)


def _holds_more(log: Path, told: _Told) -> bool:
    """Whether the index is that of another log, or of this one before more was kept in it."""
    with log.open("rb") as file:
        header = file.read(32)
        if len(header) < 32:
            return False
        if header[16:24] != told.salts:
            return True
        frame = 24 + int.from_bytes(header[8:12], "big")
        file.seek(32 + told.frames * frame)
        while len(begins := file.read(24)) == 24:
            if begins[8:16] == told.salts and begins[4:8] != bytes(4):
                return True
            file.seek(frame - 24, os.SEEK_CUR)
    return False


def _at_rest(log: Path) -> bytes:
    """The bytes of a log that nobody began anew while it was read."""
    for _ in range(_MOST_TIMES):
        with log.open("rb") as file:
            read = file.read()
            file.seek(0)
            if file.read(32) == read[:32]:
                return read
    return b""


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
