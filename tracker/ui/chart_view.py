"""A chart in cells: a column a stitch, its rows numbered where they begin; in pieces where it is too wide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from string import ascii_uppercase

from tracker.pattern.chart import NO_STITCH, Chart, Line
from tracker.row_by_row import Drawn, Dyes, Yarns
from tracker.ui.canvas import Canvas, Row, cells
from tracker.ui.palette import Paint, yarn
from tracker.ui.scrolled import block
from tracker.ui.sock_drawing import texture

HERE = "\u25ba"
"""The sign before the next row."""
SIGN = Paint("accent", "page", True)
"""How it is painted."""
_TEXT, _LOUD, _MUTED = Paint("text", "page"), Paint("text", "page", True), Paint("muted", "page")
_LABEL = 4
"""Cells of the numbers beside a chart, on either side."""
_LEAST_STITCHES = 24
"""Stitches of a wide chart that are to stand beside each other."""
_CHIP = 2
"""Cells of yarn beside a row."""


def chart_lines(drawn: Drawn, width: int) -> Iterator[Row]:
    """The chart of a section in lines of `width` cells, with how it is read above and its signs below."""
    found, yarns = drawn.chart, drawn.yarns
    if found is None:
        return
    beside = _beside(found, yarns, width) if yarns else ()
    yield from block(_about(found, of_rounds=drawn.of_rounds), 4, width, _MUTED)
    if yarns and found.again:
        unit = "rounds" if drawn.of_rounds else "rows"
        told = f"Beside each the yarn, as in {unit} {yarns.first} to {yarns.last}."
        yield from block(told, 4, width, _MUTED)
    for first, last in pieces(found.stitches, width - _yarns_wide(beside)):
        if (first, last) != (1, found.stitches):
            yield from block(f"Stitches {first} to {last}:", 4, width, _MUTED)
        for line in reversed(found.lines):
            canvas = Canvas(width, 1, _TEXT)
            x = _chart_line(canvas, line, first, last, found, drawn.next == line.number)
            if drawn.dyes:
                begin = found.stitches - last
                _dye(canvas, line.signs[begin : found.stitches - first + 1], drawn.dyes)
            if yarns:
                _yarn(canvas, x, yarns, line.number - 1, beside)
            yield canvas.rows()[0]
    signs = "   ".join(f"{sign} {name}" for sign, name in chart_key(found))
    yield from block(signs, 4, width, _MUTED)
    if yarns and beside != yarns.names:
        told = "   ".join(f"{beside[at]} {yarns.names[at]}" for at in dict.fromkeys(yarns.lines))
        yield from block(told, 4, width, _MUTED)


def _beside(found: Chart, yarns: Yarns, width: int) -> tuple[str, ...]:
    """What each yarn is called beside a row: its name, or a letter where that leaves the stitches no room."""
    room = width - 2 * _LABEL - 2 - _yarns_wide(yarns.names)
    if room >= min(found.stitches, _LEAST_STITCHES):
        return yarns.names
    return tuple(ascii_uppercase[at % len(ascii_uppercase)] for at in range(len(yarns.names)))


def _yarns_wide(beside: Sequence[str]) -> int:
    """Cells that a yarn takes beside a row: its chip and what it is called."""
    return max(map(cells, beside)) + _CHIP + 2 if beside else 0


def _dye(canvas: Canvas, signs: str, dyes: Dyes) -> None:
    """Each letter of a line in its own colour."""
    places = dict(dyes.places)
    for at, sign in enumerate(signs):
        if sign in places:
            paint = Paint(yarn(places[sign], dyes.names), "page", True)
            canvas.put(2 + _LABEL + at, 0, sign, paint)


def _yarn(canvas: Canvas, x: int, yarns: Yarns, line: int, beside: Sequence[str]) -> None:
    place = yarns.lines[line]
    x = canvas.put(x, 0, texture(place) * _CHIP, Paint("text", yarn(place, yarns.names)))
    canvas.put(x + 1, 0, beside[place], _TEXT)


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


def _chart_line(
    canvas: Canvas, line: Line, first: int, last: int, found: Chart, is_next: bool
) -> int:
    """A line of a chart: stitches `first` to `last`, counted from the right; its number where it begins.

    Returns the column behind it, the same for all lines.
    """
    paint = _LOUD if is_next else _TEXT
    if is_next:
        canvas.put(0, 0, HERE, SIGN)
    begin, end = found.stitches - last, found.stitches - first + 1
    x = canvas.put(2 + _LABEL, 0, line.signs[begin:end], paint)
    if line.begins == "left":
        canvas.put_right(1 + _LABEL, 0, str(line.number), paint)
    else:
        canvas.put(x + 1, 0, str(line.number), paint)
    return x + _LABEL
