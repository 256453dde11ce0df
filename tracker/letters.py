"""Letters a terminal lacks, said with those it has: "Größe" becomes "Grosse", and no answer is lost over one.

Where a width is kept, a letter stays one cell and two cells stay two: that is for the screens.
"""

from __future__ import annotations

import codecs
from functools import lru_cache
from unicodedata import east_asian_width, normalize

READABLE = "readable"
"""The name under which a stream says what it cannot encode in letters that it can: `errors="readable"`."""

_SAID = {
    "\N{LATIN SMALL LETTER SHARP S}": "ss", "\N{LATIN SMALL LETTER AE}": "ae",
    "\N{LATIN CAPITAL LETTER AE}": "AE", "\N{LATIN SMALL LIGATURE OE}": "oe",
    "\N{LATIN CAPITAL LIGATURE OE}": "OE", "\N{LATIN SMALL LETTER O WITH STROKE}": "o",
    "\N{LATIN CAPITAL LETTER O WITH STROKE}": "O", "\N{LATIN SMALL LETTER L WITH STROKE}": "l",
    "\N{LATIN CAPITAL LETTER L WITH STROKE}": "L", "\N{LATIN SMALL LETTER D WITH STROKE}": "d",
    "\N{LATIN CAPITAL LETTER D WITH STROKE}": "D", "\N{LATIN SMALL LETTER THORN}": "th",
    "\N{LATIN CAPITAL LETTER THORN}": "Th", "\N{LATIN SMALL LETTER ETH}": "d",
    "\N{LATIN CAPITAL LETTER ETH}": "D", "\N{LATIN SMALL LETTER DOTLESS I}": "i",
    "\N{HYPHEN}": "-", "\N{NON-BREAKING HYPHEN}": "-", "\N{EN DASH}": "-", "\N{EM DASH}": "-",
    "\N{MINUS SIGN}": "-", "\N{MULTIPLICATION SIGN}": "x", "\N{MIDDLE DOT}": ".", "\N{BULLET}": "*",
    "\N{LEFT SINGLE QUOTATION MARK}": "'", "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"', "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{SINGLE LOW-9 QUOTATION MARK}": "'", "\N{DOUBLE LOW-9 QUOTATION MARK}": '"',
    "\N{LEFT-POINTING DOUBLE ANGLE QUOTATION MARK}": '"',
    "\N{RIGHT-POINTING DOUBLE ANGLE QUOTATION MARK}": '"', "\N{PRIME}": "'", "\N{DOUBLE PRIME}": '"',
}  # fmt: skip


@lru_cache(maxsize=1024)
def in_ascii(letter: str) -> str:
    """A letter in those of ASCII: itself without its marks, or as it is said; "?" where nobody knows."""
    if letter.isascii():
        return letter
    if letter in _SAID:
        return _SAID[letter]
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
    return len(data) == 1 or east_asian_width(letter) != "A"


def _readable(error: UnicodeError) -> tuple[str | bytes, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(map(in_ascii, missing)), error.end


def teach_readable() -> None:
    """Make READABLE known to every stream and encoding."""
    codecs.register_error(READABLE, _readable)
