"""Entries of several lines each, of which as many are composed as are in view."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator, Sequence
from textwrap import wrap

from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Row, cells
from tracker.ui.palette import Paint


class Top(NamedTuple):
    """The first line in view: an entry of those that are shown, and a line of it."""

    entry: int
    line: int


class Scrolled:
    """So many entries, as lines `width` cells wide, of which `height` are in view."""

    def __init__(self, count: int, width: int, height: int) -> None:
        self.count = count
        self.width, self.height = width, max(height, 1)
        self.top = Top(0, 0)

    @abstractmethod
    def entry(self, at: int) -> list[Row]:
        """The lines of an entry; there may be none."""

    def to_end(self) -> None:
        """The last line in view is the last there is."""
        self.top = self.moved(Top(self.count, 0), -self.height)

    def to_beginning(self) -> None:
        """The first line in view is the first there is."""
        self.top = Top(0, 0)

    def scroll(self, lines: int) -> None:
        """So many lines down, or up where `lines` is below 0, as far as there are any."""
        self.show_from(self.moved(self.top, lines), lines > 0)

    def show_from(self, top: Top, down: bool) -> None:
        """That line first in view, as far as there are any below it."""
        before, self.top = self.top, top
        if down:
            self.to_end()
            self.top = max(before, min(top, self.top))

    def lines(self) -> list[Row]:
        """The lines in view."""
        found: list[Row] = []
        at, skipped = self.top
        while len(found) < self.height and at < self.count:
            found += self.entry(at)[skipped:]
            at, skipped = at + 1, 0
        return found[: self.height]

    def moved(self, top: Top, lines: int) -> Top:
        """The line so many further on; back no further than the first, on no further than past the last."""
        entry, line = top.entry, top.line + lines
        while line < 0 and entry:
            entry -= 1
            line += len(self.entry(entry))
        while entry < self.count and line >= (most := len(self.entry(entry))):
            entry, line = entry + 1, line - most
        return Top(entry, max(line, 0) if entry < self.count else 0)


def wrapped(text: str, width: int) -> list[str]:
    """`text` in lines of `width` cells; at least one."""
    wide = len(text) < cells(text)
    return wrap(text, max(width // 2 if wide else width, 4)) or [""]


def block(text: str, indent: int, width: int, paint: Paint) -> Iterator[Row]:
    """`text` in as many lines of `width` cells as it takes."""
    return indented(wrapped(text, width - indent), indent, width, paint)


def indented(lines: Sequence[str], indent: int, width: int, paint: Paint) -> Iterator[Row]:
    """Lines of text as rows of `width` cells."""
    for line in lines:
        canvas = Canvas(width, 1, paint)
        canvas.put(indent, 0, line, paint)
        yield canvas.rows()[0]


def blank(width: int) -> Row:
    """An empty line."""
    return Canvas(width, 1, Paint("text", "page")).rows()[0]
