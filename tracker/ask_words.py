"""How a question to a teacher is said, and that it is settled."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.units import shorten
from tracker.vocabulary import and_all

LONGEST = 120
"""Letters of a question on a line."""


def question(text: str) -> str:
    """What she asks, without its sign, fit for a line."""
    return shorten(text.lstrip("? "), LONGEST) or "?"


def settles(texts: Iterable[str]) -> str:
    """What a note does to questions: 'settles "is it too tight"'."""
    return "settles " + and_all(f'"{question(text)}"' for text in texts)
