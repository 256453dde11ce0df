"""A basket held by one that replaces its file: meanwhile nobody opens it, and nobody has it open."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tracker.storage.reading_at import AS_BYTES, read_at
from tracker.storage.trouble import basket_open

_FIRST, _MANY = 0x4000_0000, 512
"""The bytes by which SQLite locks a file ("File Locking And Concurrency", and its os.h): all of them."""


class Held:
    """A file that is held. It is read through this alone: closing another handle would let it go (POSIX)."""

    def __init__(self, handle: int | None) -> None:
        self._handle = handle

    def read(self) -> bytes:
        """All of it; nothing where there is none."""
        if self._handle is None:
            return b""
        size = os.fstat(self._handle).st_size
        parts, at = list[bytes](), 0
        while at < size and (part := read_at(self._handle, size - at, at)):
            parts.append(part)
            at += len(part)
        return b"".join(parts)

    def has_name(self, path: Path) -> bool:
        """Whether no other file has that name by now."""
        try:
            found = path.stat()
        except FileNotFoundError:
            return True
        return self._handle is not None and os.path.samestat(found, os.fstat(self._handle))

    def give_way(self) -> None:
        """Let go of what Windows would not replace or remove while it is open; elsewhere it stays held."""
        if sys.platform == "win32":
            self.close()

    def close(self) -> None:
        """Let it go. Closing twice does nothing."""
        if self._handle is not None:
            os.close(self._handle)
        self._handle = None

    @property
    def is_empty(self) -> bool:
        """Whether it is still held, and nothing stands in it."""
        return self._handle is not None and not os.fstat(self._handle).st_size


@contextmanager
def held(path: Path) -> Iterator[Held]:
    """Hold a file. Raises BasketBusy where a program has it open, and OSError.

    Where there is none an empty one is held for so long, so that of two programs one does. Who waits for it
    finds, once it is let go, that another one has its name, and records nothing.
    """
    made = _made(path)
    handle = made if made is not None else _opened(path)
    it = Held(handle)
    try:
        if handle is not None and os.access(path, os.W_OK):
            _lock(handle, path)
        if not it.has_name(path):
            raise basket_open(path)  # another program has put one in its place meanwhile
        yield it
    finally:
        is_to_go = made is not None and path.exists() and it.has_name(path) and it.is_empty
        it.give_way()
        if is_to_go:
            path.unlink()
        it.close()


def _made(path: Path) -> int | None:
    """A handle on an empty file, where there was nothing."""
    try:
        return os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR | AS_BYTES, 0o600)
    except OSError:
        if path.exists():
            return None
        raise


def _lock(handle: int, path: Path) -> None:
    if sys.platform == "win32":
        return  # there a file that is open can be neither replaced nor renamed
    import fcntl

    try:
        fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB, _MANY, _FIRST)
    except BlockingIOError:
        raise basket_open(path) from None


def _opened(path: Path) -> int | None:
    if not path.is_file():
        return None
    return os.open(path, (os.O_RDWR if os.access(path, os.W_OK) else os.O_RDONLY) | AS_BYTES)
