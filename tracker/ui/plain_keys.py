"""What a terminal sends, as keys by the names that the screens use, each with the sign it types."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator

from tracker.keys import DIGITS, FIGURES, NAMED
from tracker.records import NamedTuple


class Key(NamedTuple):
    """A key by its name, and the sign it types; "" where it types none."""

    name: str
    character: str = ""


END_OF_INPUT = Key("ctrl+d")
_ONE = {
    "\r": Key("enter"), "\n": Key("enter"), "\t": Key("tab"), " ": Key("space", " "),
    "\x7f": Key("backspace"), "\x08": Key("backspace"), "\x1b": Key("escape"), "\x04": END_OF_INPUT,
}  # fmt: skip
_LETTERS = {
    "A": "up", "B": "down", "C": "right", "D": "left", "H": "home", "F": "end", "Z": "shift+tab",
    "M": "enter", "P": "f1", "Q": "f2", "R": "f3", "S": "f4",
}  # fmt: skip
"""The last letter of a sequence with no number, by the key that sends it."""
_NUMBERS = {
    "1": "home", "2": "insert", "3": "delete", "4": "end", "5": "pageup", "6": "pagedown",
    "7": "home", "8": "end", "11": "f1", "12": "f2", "13": "f3", "14": "f4", "15": "f5", "17": "f6",
    "18": "f7", "19": "f8", "20": "f9", "21": "f10", "23": "f11", "24": "f12",
}  # fmt: skip
"""The number of a sequence that ends in ~."""
_LINUX = {"A": "f1", "B": "f2", "C": "f3", "D": "f4", "E": "f5"}
"""Keys of the Linux console, which sends two brackets for them."""
_SEQUENCE = re.compile(r"\x1b(?:\[\[([A-E])|O([A-Za-z])|\[([0-9;?<>=]*)([@-~]))")
_BEGUN = re.compile(r"\x1b(?:O|\[(?:\[|[0-9;?<>=]*))?\Z")
"""A sequence of which more is still to come."""


class Decoder:
    """Bytes as they come, in whatever pieces: what is cut in two waits for its second half."""

    def __init__(self, encoding: str = "utf-8") -> None:
        self._letters = codecs.getincrementaldecoder(encoding)("replace")
        self._waits = ""

    @property
    def waits(self) -> bool:
        """Whether a sequence has begun that may be no more than the escape key."""
        return bool(self._waits)

    def keys(self, data: bytes) -> list[Key]:
        """The keys of these bytes, in order."""
        text, self._waits = self._waits + self._letters.decode(data), ""
        found: list[Key] = []
        while text:
            if _BEGUN.match(text):
                self._waits = text
                break
            sequence = _SEQUENCE.match(text)
            found += _named(sequence) if sequence else [_single(text[0])]
            text = text[sequence.end() if sequence else 1 :]
        return found

    def rest(self) -> list[Key]:
        """Nothing more came: what waited was the escape key, and what was typed after it."""
        text, self._waits = self._waits, ""
        return [_single(char) for char in text]


def _named(sequence: re.Match[str]) -> list[Key]:
    """The key of a sequence; one that is not known is none at all, and does nothing."""
    linux, pad, numbers, last = sequence.groups()
    name: str | None
    if linux:
        name = _LINUX[linux]
    elif pad:
        name = _LETTERS.get(pad)
    elif last == "~":
        name = _NUMBERS.get(numbers.partition(";")[0])
    else:
        name = _LETTERS.get(last)
    return [Key(name)] if name else []


def _single(char: str) -> Key:
    if char in _ONE:
        return _ONE[char]
    if char.isprintable():
        return Key(char, char)
    return Key(f"ctrl+{chr(ord(char) + 96)}" if ord(char) < 27 else "a key without a name")


def line_keys(line: str, *, words: bool) -> Iterator[Key]:
    """The keys of a whole line, for a terminal that sends nothing else.

    An empty line is enter, and so is one that ends in figures: "3" are three rounds. What is parted by
    spaces is a key by its name ("tab", "page up"), or signs one by one: "11.4 m". With `words` a line is
    open for them: the line is its text.
    """
    text = line.rstrip("\r\n")
    if words:
        yield from (_single(char) for char in text)
        yield Key("enter")
        return
    if text.strip().lower() in NAMED:
        yield _by_name(text.strip().lower())
        return
    last = ""
    for word in text.split():
        yield from [_by_name(word.lower())] if word.lower() in NAMED else map(_single, word)
        last = word if word.lower() not in NAMED else ""
    if not text.strip() or (last[:1] in DIGITS and last[-1:] in FIGURES):
        yield Key("enter")


def _by_name(name: str) -> Key:
    return Key(name.replace(" ", ""), " " if name == "space" else "")
