"""How spans become what the terminal gets: strips for the framework, or the very signs.

Of the signs only what differs from the span before is told: a colour is nineteen bytes, a cell is one.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from rich.color import ColorSystem
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter
from textual.strip import Strip

from tracker.ui.canvas import Row, Span
from tracker.ui.palette import segment

_MOST = 1024
"""Spans, and rows, that are kept: most of what a key changes was shown before."""


class Look:
    """A theme, and what all that is painted passes on its way out."""

    def __init__(
        self, theme: str, plain: bool, filters: tuple[LineFilter, ...], background: Color
    ) -> None:
        self._theme, self._plain = theme, plain
        self._filters, self._background = filters, background
        self._spans: dict[Span, list[Segment]] = {}
        self._strips: dict[Row, Strip] = {}
        self._rows: dict[tuple[Row, ColorSystem], str] = {}

    def strip(self, row: Row) -> Strip:
        """A row for the framework."""
        found = self._strips.get(row)
        if found is None:
            if len(self._strips) >= _MOST // 4:
                self._strips.clear()
            found = Strip([part for span in row for part in self._segments(span)])
            self._strips[row] = found
        return found

    def signs(self, row: Row, colours: ColorSystem) -> str:
        """A row for a terminal that has so many colours; it is left without any paint."""
        found = self._rows.get((row, colours))
        if found is None:
            if len(self._rows) >= _MOST // 4:
                self._rows.clear()
            found = self._rows[row, colours] = "".join(self._signs(row, colours)) + "\x1b[0m"
        return found

    def _signs(self, row: Row, colours: ColorSystem) -> Iterator[str]:
        before = _BARE
        for span in row:
            for text, style, _ in self._segments(span):
                codes = _BARE if style is None else _codes(style, colours)
                if text.isspace():
                    codes = _unseen(before, codes)
                if codes != before:
                    yield _turn(before, codes)
                    before = codes
                yield text

    def _segments(self, span: Span) -> list[Segment]:
        found = self._spans.get(span)
        if found is None:
            if len(self._spans) >= _MOST:
                self._spans.clear()
            found = [segment(self._theme, span.text, span.paint, plain=self._plain)]
            for line_filter in self._filters:
                found = line_filter.apply(found, self._background)
            self._spans[span] = found
        return found


@lru_cache(maxsize=16)
def look(theme: str, plain: bool, filters: tuple[LineFilter, ...], background: Color) -> Look:
    """The one look of a theme in this app."""
    return Look(theme, plain, filters, background)


_Codes = tuple[str, str, str]
"""What the terminal is told of a style: bold and the like, its ink, its ground; "" for its own."""
_BARE: _Codes = ("", "", "")


def _unseen(before: _Codes, now: _Codes) -> _Codes:
    """An empty cell keeps the ink of the cell before, which is not seen on it.

    One that is filled with its ink is told as such, and no other is: for whoever reads the terminal's cells.
    """
    kept = "", before[1] or now[1], now[2]
    return now if now[0] or _is_solid(now) or _is_solid(kept) else kept


def _is_solid(codes: _Codes) -> bool:
    return _of_ground(codes[1]) == codes[2]


def _of_ground(ink: str) -> str:
    """The code of a ground in the colour of an ink: ten more, of one colour in sixteen as of any other."""
    first, sign, others = ink.partition(";")
    return f"{int(first) + 10}{sign}{others}" if ink else ""


@lru_cache(maxsize=1024)
def _codes(style: Style, colours: ColorSystem) -> _Codes:
    ink, ground = Style(color=style.color), Style(bgcolor=style.bgcolor)
    rest, its_ink, its_ground = (
        part.render("x", color_system=colours).partition("x")[0].removeprefix("\x1b[").removesuffix("m")
        for part in (style.without_color, ink, ground)
    )  # fmt: skip
    return rest, its_ink, its_ground


@lru_cache(maxsize=1024)
def _turn(before: _Codes, now: _Codes) -> str:
    """What turns one style into another; from the beginning where something is no more."""
    if before[0] != now[0] or any(was and not is_ for was, is_ in zip(before, now, strict=True)):
        return f"\x1b[{';'.join(['0', *filter(None, now)])}m"
    new = [is_ for was, is_ in zip(before, now, strict=True) if was != is_]
    return f"\x1b[{';'.join(new)}m"
