"""The written pattern as rows of text: heads, charts, rows; what is done recedes, the next stands out.

What is done has a sign before it and is grey, the next row is bold, has free lines about it and a sign in
the margin. Only what is in view is composed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker.pattern.chart import NO_STITCH, Chart, Line
from tracker.row_by_row import Drawn, Entry, Head, RowByRow, Worked
from tracker.ui.canvas import Canvas, Row, Rows, cells, cut
from tracker.ui.footer import Entry as Key
from tracker.ui.history_view import keys_row, margin_of
from tracker.ui.palette import Paint
from tracker.ui.scrolled import Scrolled, Top, wrapped

DONE, HERE = "=", "\u25ba"
"""The signs before what is done, and before the next row."""

_TEXT, _LOUD = Paint("text", "page"), Paint("text", "page", True)
_MUTED, _GONE = Paint("muted", "page"), Paint("quiet", "page")
_SIGN, _CHOSEN = Paint("accent", "page", True), Paint("on-turned", "turned", True)

_COLUMNS = 66
"""Cells from which names and counts have columns of their own."""
_NAME = 15
_LEAST_WORK = 24
"""Cells of the column of names, and those that the work needs beside it."""
_WIDEST = 96
"""Cells beyond which a row is not drawn apart: work and counts are to be read together."""
_SMALL = 60
"""Cells below which the section stands in the title."""
_LABEL = 4
"""Cells of the numbers beside a chart, on either side."""


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
            lines = [_line(width), *lines, *self._explained(width), _line(width)]
        beside = _line(self.width - width)
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
        block = len(self.entry(place.entry))
        above = max((self.height - block) // 3, 0)
        self.top = Top(0, 0)
        self.show_from(self.moved(place, -above), True)
        if block > self.height:
            self.top = place._replace(line=1)  # the free line above goes first

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
        yield from _block(f"{name}: {words}", indent + 1, width, _TEXT)


def entry_lines(entry: Entry, width: int) -> Iterator[Row]:
    """The lines of an entry, `width` cells wide."""
    if isinstance(entry, Head):
        yield from _head(entry, width)
    elif isinstance(entry, Drawn):
        yield from _chart(entry, width)
    else:
        yield from _worked(entry, width)


def _head(head: Head, width: int) -> Iterator[Row]:
    gone = head.when == "done"
    yield _line(width)
    canvas = Canvas(width, 1, _TEXT)
    canvas.put(0, 0, DONE if gone else " ", _GONE)
    x = canvas.put(2, 0, head.name, _GONE if gone else _LOUD) + 2
    told = "  ".join(filter(None, (head.rows, head.on)))
    if x + cells(told) <= width:
        canvas.put(x, 0, told, _GONE if gone else _MUTED)
        yield canvas.rows()[0]
    else:
        yield canvas.rows()[0]
        yield from _block(told, 4, width, _GONE if gone else _MUTED)
    for remark in head.remarks if not gone else ():
        yield from _block(remark, 4, width, _MUTED)


# A row


def _worked(row: Worked, width: int) -> Iterator[Row]:
    paint = {"done": _GONE, "next": _LOUD, "to come": _TEXT}[row.when]
    work = f"{row.colour}: {row.work}" if row.colour else row.work
    leaves = f"[{row.leaves}]"
    for at, line in enumerate(_laid(row.name, work, leaves, width, paint)):
        sign = {"done": DONE, "next": HERE, "to come": " "}[row.when] if not at else " "
        canvas = Canvas(2, 1, _TEXT)
        canvas.put(0, 0, sign, _SIGN if row.when == "next" else _GONE)
        yield canvas.rows()[0] + line
    for remark in row.remarks:
        yield from _block(remark, 4, width, _GONE if row.when == "done" else _MUTED)


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
        yield from _indented(_by_needles(work, width - 4), 2, width - 2, paint)
        return
    yield from _block(name, 0, width - 2, paint)
    yield from _indented(_by_needles(work, width - 4), 2, width - 2, paint)
    yield from _block(leaves, 2, width - 2, paint)


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


def _block(text: str, indent: int, width: int, paint: Paint) -> Iterator[Row]:
    """`text` in as many lines as it takes."""
    return _indented(wrapped(text, width - indent), indent, width, paint)


def _indented(lines: Sequence[str], indent: int, width: int, paint: Paint) -> Iterator[Row]:
    for line in lines:
        canvas = Canvas(width, 1, paint)
        canvas.put(indent, 0, line, paint)
        yield canvas.rows()[0]


def _line(width: int) -> Row:
    return Canvas(width, 1, _TEXT).rows()[0]


# A chart


def _chart(drawn: Drawn, width: int) -> Iterator[Row]:
    found = drawn.chart
    if found is None:
        return
    yield from _block(_about(found, of_rounds=drawn.of_rounds), 4, width, _MUTED)
    for first, last in pieces(found.stitches, width):
        if (first, last) != (1, found.stitches):
            yield from _block(f"Stitches {first} to {last}:", 4, width, _MUTED)
        for line in reversed(found.lines):
            yield _chart_line(line, first, last, found, drawn.next == line.number, width)
    signs = "   ".join(f"{sign} {name}" for sign, name in chart_key(found))
    yield from _block(signs, 4, width, _MUTED)


def pieces(stitches: int, width: int) -> list[tuple[int, int]]:
    """The stitches, counted from the right, that stand beside each other in so many cells: first and last."""
    room = max(width - 2 * _LABEL - 2, 1)
    many = -(-stitches // room)
    each = -(-stitches // many)
    return [(first, min(first + each - 1, stitches)) for first in range(1, stitches + 1, each)]


def chart_key(found: Chart) -> list[tuple[str, str]]:
    """Every sign of a chart and what it stands for."""
    short = any(NO_STITCH in line.signs for line in found.lines)
    return [*found.key, (NO_STITCH, "no stitch")] if short else list(found.key)


def _about(found: Chart, *, of_rounds: bool) -> str:
    """What the chart shows, and how it is read."""
    side = "" if found.times == 1 else f", {found.times} times beside each other"
    many = "1 stitch" if found.stitches == 1 else f"{found.stitches} stitches"
    unit = "rounds" if of_rounds else "rows"
    again = f"these {len(found.lines)} {unit} come again" if found.again else f"its {unit}"
    if of_rounds:
        how = "from below, each round from its number on"
    else:
        how = "from below, each row from its number on; in WS rows | is a purl, - a knit stitch"
    return f"Chart: {many}{side}; {again}. Read it {how}."


def _chart_line(line: Line, first: int, last: int, found: Chart, is_next: bool, width: int) -> Row:
    """A line of a chart: stitches `first` to `last`, counted from the right; its number where it begins."""
    paint = _LOUD if is_next else _TEXT
    canvas = Canvas(width, 1, _TEXT)
    if is_next:
        canvas.put(0, 0, HERE, _SIGN)
    begin, end = found.stitches - last, found.stitches - first + 1
    x = canvas.put(2 + _LABEL, 0, line.signs[begin:end], paint)
    if line.begins == "left":
        canvas.put_right(1 + _LABEL, 0, str(line.number), paint)
    else:
        canvas.put(x + 1, 0, str(line.number), paint)
    return canvas.rows()[0]


# The page


def list_top(height: int) -> int:
    """The row in which the lines begin."""
    return 3 if height > 14 else min(1, height - 1)


def list_rows(height: int) -> int:
    """The lines that are seen at once on a screen of `height`."""
    below = 2 if height > 14 else 1 if height > 3 else 0
    return max(height - list_top(height) - below, 1)


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
    rows = list(canvas.rows())
    blank = _line(margin)
    for y, line in enumerate(view.lines(), start=list_top(height)):
        rows[y] = (*blank, *line, *blank)
    if height > 3:
        rows[-1] = keys_row(keys, width, margin)
    return tuple(rows)
