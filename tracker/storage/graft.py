"""A damaged beginning of a basket, replaced by that of a new one: all of a form begin alike.

The first page holds the header and, with those it points to, how the tables are laid out. None of that
is hers, and without it nothing of the file can be read.
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from tracker.storage.opening import link_up

_PAGE = 4096
"""Bytes of a page: what SQLite gives a new file, unless it was built otherwise."""


def graft(damaged: bytes, new: Path) -> bytes:
    """The bytes of a damaged basket with the beginning of `new`, one that was just laid out.

    What was cut off is nothing then, and stays damage; a free page is never asked for.
    """
    fresh = new.read_bytes()
    pages = -(-max(len(damaged), len(fresh)) // _PAGE)
    body = bytearray(damaged.ljust(pages * _PAGE, b"\0"))
    for page in _of_the_layout(new, len(fresh) // _PAGE):
        body[(page - 1) * _PAGE : page * _PAGE] = fresh[(page - 1) * _PAGE : page * _PAGE]
    # "Database File Format", 1.3, of SQLite: journal at 18 and 19, pages at 28, free pages at 32 and 36.
    body[18:20] = b"\1\1"
    body[28:32] = pages.to_bytes(4, "big")
    body[32:40] = bytes(8)
    return bytes(body)


def _of_the_layout(new: Path, pages: int) -> list[int]:
    """The pages of a new basket that are no table's and no index's."""
    with closing(link_up(new, "mode=ro&immutable=1")) as connection:
        query = "SELECT rootpage FROM sqlite_schema WHERE rootpage > 0"
        roots = {page for (page,) in connection.execute(query)}
    return [page for page in range(1, pages + 1) if page not in roots]
