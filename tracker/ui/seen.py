"""What she sees of the fabric, as she writes it in a line: stitches, pin, stripe, chart row, length."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tracker.knitting.refused import Refused
from tracker.units import shorten

EXAMPLE = "plain, pin 3, stripe cream 2, chart 1, long 11.4"
_NUMBERED = ("pin", "chart", "tail")
_NAMED = {"stripe": "colour", "colour": "colour", "long": "length"}
_BARE = {"plain": True, "shaped": False}


def read_seen(text: str) -> dict[str, Any]:
    """What `Session.count` is to be asked: "74 plain, pin 3" is 74 stitches, the last round a plain one.

    Raises Refused: what cannot be read, and what may be written.
    """
    found: dict[str, Any] = {}
    for words in _said(text):
        name, value = _one(words)
        if name in found:
            raise Refused(f'"{shorten(" ".join(words))}" is said twice; write it once')
        found[name] = value
    return found


def _said(text: str) -> Iterator[list[str]]:
    """Each thing that is seen, in its words: a comma parts them, or the word that the next begins with."""
    for part in text.split(","):
        words: list[str] = []
        for word in part.split():
            begins = word.casefold() in (*_NUMBERED, *_NAMED, *_BARE) or _is_stitches(word)
            if words and begins and not _is_open(words, word):
                yield words
                words = []
            words.append(word)
        if words:
            yield words


def _is_open(words: list[str], word: str) -> bool:
    """Whether a word still belongs to what stands before it: its name, or its number."""
    named = words[0].casefold() in (*_NAMED, *_NUMBERED)
    return named and (len(words) == 1 or _is_stitches(word))


def _is_stitches(word: str) -> bool:
    return all(part.isascii() and part.isdigit() for part in word.split("/"))


def _one(words: list[str]) -> tuple[str, Any]:
    first, rest = words[0].casefold(), " ".join(words[1:])
    if first in _BARE and not rest:
        return "plain", _BARE[first]
    if first in _NUMBERED and rest.isascii() and rest.isdigit() and len(rest) < 6:
        return first, int(rest)
    if first in _NAMED and rest:
        return _NAMED[first], rest
    if _is_stitches(first) and not rest:
        return "text", first
    raise Refused(f'"{shorten(" ".join(words))}" is nothing that is seen; write 74, or {EXAMPLE}')
