"""Folders for her eyes only, and names in them that outlive a loss of power."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path


def make_hers(folder: Path) -> None:
    """Make a folder, and those above it, where they are not there: hers alone, and synced. Raises OSError."""
    if folder.is_dir():
        return
    make_hers(folder.parent)
    folder.mkdir(mode=0o700, exist_ok=True)
    sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """See to it that a new name in a folder outlives a loss of power, where that can be seen to."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
