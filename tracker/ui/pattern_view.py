"""The written pattern as rows of text: heads, charts, rows; what is done recedes, the next stands out.

What is done has a sign before it and is grey, the next row is bold, has free lines about it and a sign in
the margin. Only what is in view is composed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker.row_by_row import Drawn, Entry, Further, Head, RowByRow, Worked
from tracker.ui.canvas import Canvas, Row, Rows, cells, cut
from tracker.ui.chart_view import HERE, SIGN, chart_lines
from tracker.ui.footer import Entry as Key
from tracker.ui.page import margin_of, with_lines
from tracker.ui.palette import Paint
from tracker.ui.scrolled import Scrolled, Top, blank, block, indented, wrapped

DONE = "="
"""The sign before what is done."""

_TEXT, _LOUD = Paint("text", "page"), Paint("text", "page", True)
_MUTED, _GONE = Paint("muted", "page"), Paint("quiet", "page")
_CHOSEN = Paint("on-turned", "turned", True)

_COLUMNS = 66
"""Cells from which names and counts have columns of their own."""
_NAME = 15
_LEAST_WORK = 24
"""Cells of the column of names, and those that the work needs beside it."""
_WIDEST = 96
"""Cells beyond which a row is not drawn apart: work and counts are to be read together."""
_SMALL = 60
"""Cells below which the section stands in the title."""
HEAD = 1
"""Rows above the lines where there is little room."""


class PatternView(Scrolled):
    """A sock's pattern in lines; `chosen` is the term of the next row that is explained, None: none."""

    def __init__(
        self, pattern: RowByRow, width: int, height: int, chosen: int | None = None
    ) -> None:
        super().__init__(pattern.count, max(width, 1), height)
        self.pattern, self.chosen = pattern, chosen
        self.to_place()

    def entry(self, at: int) -> list[Row]:
        """The lines of a head, of a chart or of a row."""
        entry, width = self.pattern.entry(at), min(self.width, _WIDEST)
        lines = list(entry_lines(entry, width))
        if isinstance(entry, Worked) and entry.when == "next":
            lines = [blank(width), *lines, *self._explained(width), blank(width)]
        beside = blank(self.width - width)
        return [line + beside for line in lines]

    def resized(self, width: int, height: int) -> PatternView:
        """The same in another size: with the next row in view, or what was first in view first again."""
        view = PatternView(self.pattern, width, height, self.chosen)
        if not self.shows_place():
            view.show_from(Top(self.top.entry, 0), True)
        return view

    def to_place(self) -> None:
        """The next row in view, some of what is done above it."""
        place = Top(self.pattern.place, 0)
        tall = len(self.entry(place.entry))
        above = max((self.height - tall) // 3, 0)
        self.top = Top(0, 0)
        self.show_from(self.moved(place, -above), True)
        if tall > self.height:
            # The free line above goes first; what is explained is seen in any case.
            line = 1 if self.chosen is None else tall - 1 - self.height
            self.top = place._replace(line=max(line, 1))

    def shows_place(self) -> bool:
        """Whether the next row's first line is in view."""
        place = self.pattern.place
        line = 1 if self.pattern.entry(place) and len(self.entry(place)) > 2 else 0
        first = Top(place, line)
        return self.top <= first < self.moved(self.top, self.height)

    def to_section(self, *, before: bool) -> None:
        """The head of the section before what is first in view, or of the one after it, first in view."""
        at = self.top.entry
        if before:
            at += self.top.line > 0
            self.top = Top(self.pattern.head_before(at), 0)
        else:
            self.show_from(Top(self.pattern.head_after(at), 0), True)

    def choose(self, step: int) -> None:
        """The term that many further on, which is explained; the next row comes into view."""
        many = len(self.pattern.terms)
        if many:
            first = 0 if step > 0 else many - 1
            self.chosen = first if self.chosen is None else (self.chosen + step) % many
        self.to_place()

    def in_view(self) -> str:
        """The section at work, where that is in view, else that of what is first in view."""
        at = self.pattern.place if self.shows_place() else self.top.entry
        return self.pattern.section_of(at)

    def _explained(self, width: int) -> Iterator[Row]:
        """The terms of the next row, the chosen one turned over, and below them what it means."""
        if self.chosen is None:
            return
        indent = 4
        canvas, x = Canvas(width, 1, _TEXT), indent
        for at, (name, _) in enumerate(self.pattern.terms):
            if x + len(name) + 2 > width:
                yield canvas.rows()[0]
                canvas, x = Canvas(width, 1, _TEXT), indent
            x = canvas.put(x, 0, f" {name} ", _CHOSEN if at == self.chosen else _MUTED)
        yield canvas.rows()[0]
        name, words = self.pattern.terms[self.chosen]
        yield from block(f"{name}: {words}", indent + 1, width, _TEXT)


def entry_lines(entry: Entry, width: int) -> Iterator[Row]:
    """The lines of an entry, `width` cells wide."""
    if isinstance(entry, Head):
        yield from _head(entry, width)
    elif isinstance(entry, Further):
        yield blank(width)
        yield from block(entry.told, 2, width, _MUTED)
    elif isinstance(entry, Drawn):
        yield from chart_lines(entry, width)
    else:
        yield from _worked(entry, width)


def _head(head: Head, width: int) -> Iterator[Row]:
    gone = head.when == "done"
    yield blank(width)
    canvas = Canvas(width, 1, _TEXT)
    canvas.put(0, 0, DONE if gone else " ", _GONE)
    x = canvas.put(2, 0, head.name, _GONE if gone else _LOUD) + 2
    told = "  ".join(filter(None, (head.rows, head.on)))
    if x + cells(told) <= width:
        canvas.put(x, 0, told, _GONE if gone else _MUTED)
        yield canvas.rows()[0]
    else:
        yield canvas.rows()[0]
        yield from block(told, 4, width, _GONE if gone else _MUTED)
    for remark in head.remarks if not gone else ():
        yield from block(remark, 4, width, _MUTED)


# A row


def _worked(row: Worked, width: int) -> Iterator[Row]:
    paint = {"done": _GONE, "next": _LOUD, "to come": _TEXT}[row.when]
    work = f"{row.colour}: {row.work}" if row.colour else row.work
    leaves = f"[{row.leaves}]"
    for at, line in enumerate(_laid(row.name, work, leaves, width, paint)):
        sign = {"done": DONE, "next": HERE, "to come": " "}[row.when] if not at else " "
        canvas = Canvas(2, 1, _TEXT)
        canvas.put(0, 0, sign, SIGN if row.when == "next" else _GONE)
        yield canvas.rows()[0] + line
    for remark in row.remarks:
        yield from block(remark, 4, width, _GONE if row.when == "done" else _MUTED)


def _laid(name: str, work: str, leaves: str, width: int, paint: Paint) -> Iterator[Row]:
    """A row without its sign: in columns where there is room for them, else one below the other."""
    room = width - 2 - _NAME - len(leaves) - 2
    if width >= _COLUMNS and room >= _LEAST_WORK:
        for at, line in enumerate(_by_needles(work, room)):
            canvas = Canvas(width - 2, 1, paint)
            canvas.put(_NAME, 0, line, paint)
            if not at:
                canvas.put(0, 0, name, paint)
                canvas.put_right(width - 2, 0, leaves, paint)
            yield canvas.rows()[0]
        return
    whole = f"{name}  {work}"
    if cells(whole) + 2 + len(leaves) <= width - 2:
        yield _between(whole, leaves, width - 2, paint)
        return
    if len(name) + 2 + len(leaves) <= width - 2:
        yield _between(name, leaves, width - 2, paint)
        yield from indented(_by_needles(work, width - 4), 2, width - 2, paint)
        return
    yield from block(name, 0, width - 2, paint)
    yield from indented(_by_needles(work, width - 4), 2, width - 2, paint)
    yield from block(leaves, 2, width - 2, paint)


def _between(left: str, right: str, width: int, paint: Paint) -> Row:
    canvas = Canvas(width, 1, paint)
    canvas.put(0, 0, left, paint)
    canvas.put_right(width, 0, right, paint)
    return canvas.rows()[0]


def _by_needles(work: str, width: int) -> list[str]:
    """The work in lines of `width` cells: where it can be, a needle's stands together."""
    lines: list[str] = []
    for number, held in enumerate(work.split(" | ")):
        part = f"| {held}" if number else held
        if lines and cells(lines[-1]) + 1 + cells(part) <= width:
            lines[-1] += f" {part}"
        else:
            lines += wrapped(part, width)
    return lines


# The page


def page_rows(view: PatternView, keys: Sequence[Key], width: int, height: int) -> Rows:
    """The whole screen: whose pattern it is, the section in view, its lines, and the keys."""
    canvas, margin = Canvas(width, height, _TEXT), margin_of(width)
    small = width < _SMALL
    x = margin if small else canvas.put(margin, 0, "Pattern", _LOUD) + 2
    end = canvas.put_right(width - margin, 0, f"{DONE} done, {HERE} next", _MUTED) - 2
    title = f"{view.in_view()}, {view.pattern.sock}" if small else view.pattern.title
    canvas.put(x, 0, cut(title, max(end - x, 0)), _LOUD if small else _MUTED)
    if height > 14:
        canvas.put(margin, 1, cut(view.in_view(), width - 2 * margin), _MUTED)
    return with_lines(canvas, view.lines(), keys, HEAD)
