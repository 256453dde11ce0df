"""A rectangle of cells that painters write on: it clips, it cleans, and it becomes rows of spans."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import groupby

from rich.cells import get_character_cell_size

from tracker.records import NamedTuple
from tracker.ui.palette import Paint

FULL, UPPER, LOWER = "\u2588", "\u2580", "\u2584"


class Span(NamedTuple):
    """A run of text in one paint."""

    text: str
    paint: Paint


Row = tuple[Span, ...]
Rows = tuple[Row, ...]
Layer = tuple[tuple[int, int, list[str], list[Paint]], ...]
"""What was drawn, run by run: column and row, the signs, their paints. Kept, and laid on later canvases."""
GLASS = Paint("", "")
"""Nothing drawn yet, on a canvas that becomes a layer."""


def clean(text: str) -> str:
    """`text` with each character that could steer a terminal (controls, direction marks) as "?"."""
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else "?" for char in text)


def cells(text: str) -> int:
    """How many cells `text` is wide."""
    if is_narrow(text):
        return len(text)
    return sum(get_character_cell_size(char) for char in text)


def cut(text: str, width: int) -> str:
    """`text` in at most `width` cells; what is cut off leaves "..." behind where there is room."""
    if cells(text) <= width:
        return text
    dots = "..." if width > 6 else ""
    kept = ""
    for char in text:
        if cells(kept) + cells(char) > width - len(dots):
            break
        kept += char
    return kept.rstrip(" ,") + dots


def fitting(texts: Sequence[str], width: int) -> str:
    """The first of some texts, the longest first, that fits; of the last of them what does."""
    return next((text for text in texts if cells(text) <= width), cut(texts[-1], width))


class Canvas:
    """`width` x `height` cells on one ground; what is written outside of it is not seen."""

    def __init__(self, width: int, height: int, paint: Paint) -> None:
        self.width = max(width, 0)
        self.height = max(height, 0)
        self._chars = [[" "] * self.width for _ in range(self.height)]
        self._paints = [[paint] * self.width for _ in range(self.height)]

    def put(self, x: int, y: int, text: str, paint: Paint) -> int:
        """Write `text` from `x`, `y` rightwards; returns the column after it."""
        text = clean(text)
        if is_narrow(text):
            self._put_narrow(x, y, text, paint)
            return x + len(text)
        for char in text:
            x += self._put_char(x, y, char, paint)
        return x

    def put_right(self, end: int, y: int, text: str, paint: Paint) -> int:
        """Write `text` so that it ends before column `end`; returns the column it begins at."""
        start = end - cells(clean(text))
        self.put(start, y, text, paint)
        return start

    def fill(self, x: int, y: int, width: int, height: int, paint: Paint) -> None:
        """Fill a rectangle with empty cells of `paint`'s ground."""
        for row in range(y, y + height):
            self.put(x, row, " " * width, paint)

    def paste(self, x: int, y: int, chars: Sequence[str], paints: Sequence[Paint]) -> None:
        """Put cells that were painted elsewhere, one character and one paint each, in a row from `x`, `y`."""
        first, last = max(0, -x), min(len(chars), self.width - x)
        if 0 <= y < self.height and first < last:
            self._chars[y][x + first : x + last] = chars[first:last]
            self._paints[y][x + first : x + last] = paints[first:last]

    def letter(self, x: int, y: int, rows: Iterable[str], paint: Paint) -> None:
        """Draw block lettering: full cells as coloured spaces, empty ones left as they are.

        Backgrounds meet without a seam in every renderer; block glyphs do not.
        """
        for line, row in enumerate(rows, start=y):
            for column, chars, paints in _strokes(row, paint):
                self.paste(x + column, line, chars, paints)

    def lay(self, layer: Layer) -> None:
        """Put all that was drawn on a layer as large as this."""
        for x, y, chars, paints in layer:
            self._chars[y][x : x + len(chars)] = chars
            self._paints[y][x : x + len(chars)] = paints

    def layer(self) -> Layer:
        """What was drawn on a canvas of `GLASS`."""
        return tuple(
            (start, y, chars[start:end], paints[start:end])
            for y, (chars, paints) in enumerate(zip(self._chars, self._paints, strict=True))
            for start, end, paint in _runs(paints)
            if paint is not GLASS
        )

    def rows(self) -> Rows:
        """The cells as rows of spans, neighbours in one paint joined.

        A row that is as it was on the last canvas of this size is the very same.
        """
        known = _last_rows(self.width, self.height)
        for y, (chars, paints) in enumerate(zip(self._chars, self._paints, strict=True)):
            if known[y][0] != chars or known[y][1] != paints:
                known[y] = chars[:], paints[:], _row(chars, paints)
        return tuple(row for _, _, row in known)

    def _put_narrow(self, x: int, y: int, text: str, paint: Paint) -> None:
        """Write characters of one cell each, all at once."""
        first, last = max(0, -x), min(len(text), self.width - x)
        if 0 <= y < self.height and first < last:
            self._chars[y][x + first : x + last] = text[first:last]
            self._paints[y][x + first : x + last] = [paint] * (last - first)

    def _put_char(self, x: int, y: int, char: str, paint: Paint) -> int:
        """Write one character; returns the cells it takes."""
        size = 1 if char.isascii() else get_character_cell_size(char)
        if not 0 <= y < self.height or x < 0 or x >= self.width:
            return size
        chars, paints = self._chars[y], self._paints[y]
        if size == 1:
            chars[x], paints[x] = char, paint
        elif size == 2 and x + 1 < self.width:
            # The second cell is taken by the first's character.
            chars[x], chars[x + 1] = char, ""
            paints[x] = paints[x + 1] = paint
        return size


@lru_cache(maxsize=4096)
def is_narrow(text: str) -> bool:
    """Whether every character takes one cell."""
    return text.isascii() or all(get_character_cell_size(char) == 1 for char in text)


@lru_cache(maxsize=32)
def _last_rows(width: int, height: int) -> list[tuple[list[str], list[Paint], Row]]:
    """The rows of the last canvas of so many cells: their signs and paints, and the spans they became."""
    return [([], [], ()) for _ in range(height)]


@lru_cache(maxsize=512)
def _strokes(row: str, paint: Paint) -> tuple[tuple[int, list[str], list[Paint]], ...]:
    """A row of lettering as runs of cells: the column of each, its signs and their paints."""
    found = []
    for run in re.finditer("[^ ]+", row):
        signs = list(run[0].replace(FULL, " "))
        paints = [paint.solid if sign == " " else paint for sign in signs]
        found.append((run.start(), signs, paints))
    return tuple(found)


def _row(chars: list[str], paints: list[Paint]) -> Row:
    return tuple(Span("".join(chars[start:end]), paint) for start, end, paint in _runs(paints))


def _runs(paints: list[Paint]) -> Iterator[tuple[int, int, Paint]]:
    """From where to where cells are in one paint, and in which."""
    start = 0
    for paint, run in groupby(paints):
        end = start + len(list(run))
        yield start, end, paint
        start = end
