"""The checksums: of an event, which ties it to every event before it, and of a pair's line."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from tracker.knitting.events import Event
from tracker.records import NamedTuple


class Row(NamedTuple):
    """An event as it is kept: `at` in UTC milliseconds, `offset` in minutes, `data` as JSON."""

    number: int
    at: int
    offset: int
    sock: int
    kind: str
    data: str
    uid: bytes
    version: int


def first_link(uid: bytes, pattern: str) -> bytes:
    """What event 1 is chained to: the pair and its pattern."""
    return hashlib.blake2b(uid + pattern.encode(), digest_size=16).digest()


def link_of(
    before: bytes,
    number: int,
    at: int,
    offset: int,
    sock: int,
    kind: str,
    data: str,
    uid: bytes,
    version: int,
) -> bytes:
    """The checksum of an event: BLAKE2b, 16 bytes, of the link before it and of every column.

    The kind is led by its length and the data comes last, so no two events are written alike.
    """
    row = f"{number},{at},{offset},{sock},{version},{uid.hex()},{len(kind)},{kind},{data}"
    return hashlib.blake2b(before + row.encode(), digest_size=16).digest()


encode = json.JSONEncoder(allow_nan=False, sort_keys=True, separators=(",", ":")).encode
"""The data of an event as text. Raises ValueError for a number that JSON has no sign for."""


def read_data(text: str) -> Mapping[str, Any]:
    """The data of an event from its text. Raises ValueError where it is none."""
    return _read_short(text) if len(text) < _SHORT else _read_data(text)


def _read_data(text: str) -> Mapping[str, Any]:
    data = json.loads(text)
    if not isinstance(data, dict):
        raise ValueError("the data of an event are fields")
    return data


_SHORT = 80
"""Letters of data that many events have alike: nine of ten are ticks, which share what they hold."""
_read_short = lru_cache(maxsize=128)(_read_data)


def event_of(row: Row) -> Event:
    """An event from its row. Raises ValueError or RecursionError where its data are none."""
    return Event(*row[:5], read_data(row.data), row.uid, row.version)


def seal_of(columns: Iterable[Any]) -> bytes:
    """The checksum of a pair's line: BLAKE2b, 16 bytes, of all its columns but this one, in order."""
    told = [value.hex() if isinstance(value, bytes) else value for value in columns]
    return hashlib.blake2b(encode(told).encode(), digest_size=16).digest()


def sha256_of(text: str) -> str:
    """The SHA-256 (hex) under which a pattern text is kept."""
    return hashlib.sha256(text.encode()).hexdigest()
