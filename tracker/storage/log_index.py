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
from io import BytesIO
from pathlib import Path
from stat import S_ISREG
from typing import BinaryIO

from tracker.records import NamedTuple
from tracker.storage.reading_at import AS_BYTES, read_at


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
        self._path, self._basket = path, basket
        self._handle: int | None = None
        self._before = self._read()
        self._log = self._doubtful_log()
        self.is_said = False
        """Whether the log has lost acts, and somebody said so already."""

    def is_lost(self) -> bool:
        """Whether the log that SQLite has opened meanwhile has lost acts, and nobody said so yet.

        That is: it holds less than it did and was not begun anew, or more that was kept than SQLite reads.
        """
        before, after = self._before, self._read()
        log, self._log = self._log, b""
        if log and (after is None or _holds_more(BytesIO(log), after)) and self._shows_loss(log):
            return not self.is_said
        if before is None or after is None or before.frames <= before.folded:
            return False
        return after.frames < before.frames and not _begun_anew(before, after)

    def _doubtful_log(self) -> bytes:
        """The log, where no index tells how much of it was kept."""
        try:
            with _plain(self._path.with_name(f"{self._path.name}-wal")) as file:
                if self._before is not None and not _holds_more(file, self._before):
                    return b""
                return _at_rest(file)
        except OSError:
            return b""

    def _shows_loss(self, log: bytes) -> bool:
        """Whether acts stand behind what SQLite reads; who said so left an index of just that, or a copy."""
        from tracker.storage.log_frames import look_through  # hardly any opening pays for it

        found = look_through(log, lambda begins, many: read_at(self._basket, many, begins))
        before = self._before
        was_read = before is not None and before.frames == found.read
        self.is_said = found.lost and (was_read or self._is_set_aside(log))
        return found.lost

    def _is_set_aside(self, log: bytes) -> bool:
        from glob import escape

        copies = self._path.parent.glob(f"{escape(self._path.name)}-damaged-log*-wal")
        return any(_begins_with(copy, log) for copy in copies)

    def close(self) -> None:
        """Let it go. Closing twice does nothing."""
        if self._handle is not None:
            os.close(self._handle)
        self._handle = self._before = None

    def _read(self) -> _Told | None:
        if self._handle is None:
            with suppress(OSError):
                self._handle = os.open(self._path.with_name(f"{self._path.name}-shm"), _READS)
        if self._handle is None:
            return None
        try:
            header = read_at(self._handle, _BYTES, 0)
        except OSError:
            return None
        if len(header) < _BYTES or header[:48] != header[48:96] or not header[12]:
            return None  # not whole: nobody ever read by it
        frames, folded = (int.from_bytes(header[at : at + 4], sys.byteorder) for at in (16, 96))
        return _Told(frames, folded, header[32:40])


_BYTES = 136
MOST_BYTES = 16 << 20
"""Of a log no more is looked through: four times what SQLite lets gather before it folds it in."""
_READS = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | AS_BYTES
"""A pipe in the place of a file is not waited for."""


def _plain(path: Path) -> BinaryIO:
    """A file to be read. Raises OSError where it is none."""
    file = os.fdopen(os.open(path, _READS), "rb")
    if not S_ISREG(os.fstat(file.fileno()).st_mode):
        file.close()
        raise OSError(f"{path} is no plain file")
    return file


def _begins_with(copy: Path, log: bytes) -> bool:
    """Whether a copy of a log is one of this, as far as that was looked through."""
    try:
        with _plain(copy) as file:
            return file.read(min(len(log) + 1, MOST_BYTES)) == log
    except OSError:
        return False


def _holds_more(log: BinaryIO, told: _Told) -> bool:
    """Whether the index is that of another log, or of this one before more was kept in it."""
    log.seek(0)
    header = log.read(32)
    if len(header) < 32:
        return False
    page = int.from_bytes(header[8:12], "big")
    if header[16:24] != told.salts or not 0 < page <= 65_536 or not told.frames:
        return True  # or nothing of it was read: its header may be damaged
    frame = 24 + page
    log.seek(32 + told.frames * frame)
    for _ in range(MOST_BYTES // frame):
        if len(begins := log.read(24)) < 24:
            break
        if begins[8:16] == told.salts and begins[4:8] != bytes(4):
            return True
        log.seek(frame - 24, os.SEEK_CUR)
    return False


def _at_rest(log: BinaryIO) -> bytes:
    """A log, up to MOST_BYTES of it, that nobody began anew while it was read."""
    for _ in range(_MOST_TIMES):
        log.seek(0)
        read = log.read(MOST_BYTES)
        log.seek(0)
        if log.read(32) == read[:32]:
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
