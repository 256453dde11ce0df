"""Letters a terminal lacks, said with those it has: "Größe" becomes "Grosse", and no answer is lost over one.

Where a width is kept, a letter stays one cell and two cells stay two: that is for the screens.
"""

from __future__ import annotations

import codecs
from functools import lru_cache

READABLE = "readable"
"""The name under which a stream says what it cannot encode in letters that it can: `errors="readable"`."""

_SAID = {
    "\u00df": "ss", "\u00e6": "ae", "\u00c6": "AE", "\u0153": "oe", "\u0152": "OE", "\u00f8": "o",
    "\u00d8": "O", "\u0142": "l", "\u0141": "L", "\u0111": "d", "\u0110": "D", "\u00fe": "th",
    "\u00de": "Th", "\u00f0": "d", "\u00d0": "D", "\u0131": "i", "\u2010": "-", "\u2011": "-",
    "\u2013": "-", "\u2014": "-", "\u2212": "-", "\u00d7": "x", "\u00b7": ".", "\u2022": "*",
    "\u2018": "'", "\u2019": "'", "\u201c": '"', "\u201d": '"', "\u201a": "'", "\u201e": '"',
    "\u00ab": '"', "\u00bb": '"', "\u2032": "'", "\u2033": '"',
}  # fmt: skip
"""Letters that are more than another one with marks, and the signs of print."""


@lru_cache(maxsize=1024)
def in_ascii(letter: str) -> str:
    """A letter in those of ASCII: itself without its marks, or as it is said; "?" where nobody knows."""
    if letter.isascii():
        return letter
    if letter in _SAID:
        return _SAID[letter]
    from unicodedata import normalize  # who has all letters asks for none

    bare = "".join(part for part in normalize("NFKD", letter) if part.isascii())
    return bare or "?"


def in_cells(letter: str, encoding: str, cells: int) -> str:
    """A letter as a terminal of that encoding shows it in exactly so many cells.

    It stays where the encoding has it and its width is no matter of opinion; a mark that took no cell of
    its own goes.
    """
    if letter.isascii() or _is_sure(letter, encoding):
        return letter
    said = in_ascii(letter)
    return said[:cells].ljust(cells) if said != "?" else "?" * cells


@lru_cache(maxsize=1024)
def _is_sure(letter: str, encoding: str) -> bool:
    """Whether an encoding has a letter and, where terminals disagree on how wide it is, in a single byte."""
    try:
        data = letter.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    from unicodedata import east_asian_width

    return len(data) == 1 or east_asian_width(letter) != "A"


def _readable(error: UnicodeError) -> tuple[str | bytes, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(map(in_ascii, missing)), error.end


def teach_readable() -> None:
    """Make READABLE known to every stream and encoding."""
    codecs.register_error(READABLE, _readable)
