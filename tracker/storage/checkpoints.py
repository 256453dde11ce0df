"""Checkpoints: the state that a pair had come to, kept beside the basket: its opening need not replay all.

The events are the only truth. A checkpoint is of one pair, one event, its link of the chain, a checksum of
every event up to it as it lies in the basket, and of the program that made it; where anything of that is
otherwise it is dropped in silence, and all is replayed. It is plain JSON, of which each part must be of its
kind, and may be deleted at any time.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from tracker.knitting.events import Event
from tracker.knitting.resumed import Checkpoint
from tracker.knitting.told import read, tell
from tracker.records import NamedTuple
from tracker.storage.kept_answers import (
    CAN_BE_KEPT,
    MOST_SIZE,
    checksum,
    read_hers,
    stamps_in,
    write_hers,
)

EVERY = 500
"""Events that are replayed before they are kept to: one opening in so many acts keeps a checkpoint."""
_ROOMS, _FILES = ("knitting", "pattern"), ("units.py", "moment.py", "records.py")
"""What a state is made by, and told in."""


class Summed(NamedTuple):
    """What the events of a pair up to a number come to: the link of the last, a checksum of all (hex)."""

    number: int
    link: str
    total: str


class Kept(NamedTuple):
    """A checkpoint as it was read: what its events came to, and what was told of the state after them.

    `tables` are those of the pattern that the pair was begun with, so that its text need not be parsed.
    """

    summed: Summed
    told: object
    tables: dict[str, Any]

    def of(self, last: Event) -> Checkpoint:
        """The checkpoint, `last` being its newest event. Raises ValueError where it is none."""
        found: Checkpoint = read(self.told, Checkpoint, last)
        return found


def folder_of(basket: Path) -> Path:
    """Where those of a basket are: a file for each pair."""
    return basket.with_name(f"{basket.name}-checkpoints")


def find(basket: Path, pair: bytes) -> Kept | None:
    """The one that this program kept of a pair, by its 16 bytes."""
    if not CAN_BE_KEPT:
        return None
    try:
        total, _, text = read_hers(str(_file_of(basket, pair))).partition(b"\n")
        if total.decode() != checksum(text):
            return None
        program, number, link, its_sum, told, tables = json.loads(text)
        right = program == _PROGRAM and type(number) is int and number > 0
        kept = Kept(Summed(number, link, its_sum), told, tables)
        return kept if right and isinstance(tables, dict) else None
    except (OSError, ValueError, TypeError, RecursionError):
        return None


def keep(
    basket: Path, pair: bytes, summed: Summed, checkpoint: Checkpoint, tables: Mapping[str, Any]
) -> None:
    """Keep one of a pair in the place of its last one; what hinders that hinders nobody."""
    if not CAN_BE_KEPT:
        return
    # A date in its tables is nothing that JSON can tell.
    with suppress(OSError, ValueError, TypeError):
        told = [_PROGRAM, *summed, tell(checkpoint), tables]
        text = json.dumps(told, allow_nan=False, separators=(",", ":")).encode()
        data = f"{checksum(text)}\n".encode() + text
        if len(data) <= MOST_SIZE:
            folder_of(basket).mkdir(mode=0o700, exist_ok=True)
            write_hers(str(_file_of(basket, pair)), data)


def drop(basket: Path, pair: bytes) -> None:
    """Nothing is kept of a pair any more, where that can be."""
    with suppress(OSError):
        _file_of(basket, pair).unlink()


def _file_of(basket: Path, pair: bytes) -> Path:
    return folder_of(basket) / f"{pair.hex()}.json"


def _program() -> str:
    """The version of the state: a checksum of the files that it is made by, by their sizes and times."""
    house = Path(__file__).parents[1]
    files = [(house / name).stat() for name in _FILES]
    alone = [(about.st_size, about.st_mtime_ns, about.st_ctime_ns) for about in files]
    rooms = stamps_in(*(str(house / room) for room in _ROOMS))
    return checksum(ascii((sys.version, alone, rooms)).encode())


_PROGRAM = _program()
"""Of the files as they were when they were loaded: an update meanwhile makes another program."""
