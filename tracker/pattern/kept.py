"""A pattern's tables as one text that an event keeps: JSON, read as carefully as a pattern file.

It is written once, with every default in it, and never computed again. It tells neither title nor knitter:
those are the pair's, so that all who get the same stage keep the same text, which is read once.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from tracker.pattern.model import Pattern
from tracker.pattern.reading import read_pattern

LONGEST = 1_000_000
"""Characters; as much as a pattern file may have."""
THE_PAIRS_OWN = frozenset({"title", "knitter", "count"})
"""What stays as the pair was begun with, whatever a later file says."""
_PATTERNS_READ = 16
"""Texts that are kept read: as many as are looked at in turn while acts are taken back and brought back."""


class NotKept(ValueError):
    """Tables that cannot be kept, or a text that is none that was; the message says why in one line."""


def kept_text(document: Mapping[str, Any]) -> str:
    """The tables of a pattern file, days as they are written. Raises NotKept where they are too much."""
    tables = {key: value for key, value in document.items() if key not in THE_PAIRS_OWN}
    try:
        text = json.dumps(tables, default=str, allow_nan=False, separators=(",", ":"))
    except ValueError:
        raise NotKept("it holds a number that is none (infinite, or not a number)") from None
    if len(text) > LONGEST:
        raise NotKept(f"with it the pattern has more than {LONGEST} characters; part it")
    return text


def tables_of(text: Any) -> dict[str, Any]:
    """The tables in a text that was kept. Raises NotKept."""
    if not isinstance(text, str) or len(text) > LONGEST:
        raise NotKept("this is no pattern")
    try:
        tables = json.loads(text, parse_constant=_no_number)
        sound = isinstance(tables, dict) and not _holds_nothing(tables.values())
    except (ValueError, RecursionError):
        raise NotKept("this is no pattern") from None
    if not sound:
        raise NotKept("this is no pattern")
    return dict(tables)


def _no_number(sign: str) -> float:
    raise NotKept(f"{sign} is no number")


def _holds_nothing(values: Any) -> bool:
    """Whether something in a table, or in a table in it, is nothing: no pattern file can say that."""
    return any(
        value is None or (isinstance(value, dict) and _holds_nothing(value.values()))
        for value in values
    )


@lru_cache(maxsize=_PATTERNS_READ)
def pattern_of(text: str) -> Pattern:
    """The pattern in a text that was kept, untitled. Raises NotKept, and BadSection (a ValueError)."""
    return read_pattern(tables_of(text), text)
