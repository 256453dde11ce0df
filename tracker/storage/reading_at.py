"""Files read by their handles as bytes at a place, on systems that have no call for that, too."""

from __future__ import annotations

import os

AS_BYTES = getattr(os, "O_BINARY", 0)
"""Opened without it a file is text on Windows: what it holds would not be what is read."""


def read_at(handle: int, many: int, at: int) -> bytes:
    """Up to so many bytes from a place of an open file on. Raises OSError."""
    if hasattr(os, "pread"):
        return os.pread(handle, many, at)
    os.lseek(handle, at, os.SEEK_SET)
    return os.read(handle, many)
