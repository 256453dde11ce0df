"""Plots as cells: axes with figures, a curve in its band, bars, and spans; each a function of its numbers.

Only spaces on a ground, half blocks, lines and a few signs are used; what each means is told in words beside.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise
from math import ceil, floor, log10

from tracker.forecast.series import Growth
from tracker.records import NamedTuple
from tracker.ui.canvas import LOWER, UPPER, Canvas, cells, cut
from tracker.ui.palette import Paint
from tracker.units import MM_PER, Unit, write_length

READING, LEFT_OUT, GOAL, HERE, VALUE = "\u25bc", "x", "\u25ca", "\u25b2", "\u25a0"
"""A reading, one that does not count, the goal, the rows that are done, and a likely value."""
LEVEL, UPRIGHT, CORNER = "\u2500", "\u2502", "\u2570"
_HALF = "\u258c"

_TEXT, _LOUD, _MUTED = Paint("text", "page"), Paint("text", "page", True), Paint("muted", "page")
_BAND, _BAR = Paint("text", "band"), Paint("on-tape", "tape")
_AXIS = Paint("quiet", "page")


class Box(NamedTuple):
    """A rectangle of cells."""

    x: int
    y: int
    width: int
    height: int


class Scale(NamedTuple):
    """Values from `low` to `high` over so many cells."""

    low: float
    high: float
    cells: int

    def at(self, value: float, parts: int = 1) -> int:
        """The cell in which a value lies, from 0, or the part of one, of `parts` each; no cell is beyond."""
        share = (value - self.low) / (self.high - self.low)
        most = self.cells * parts
        return max(0, min(floor(share * most + 1e-9), most - 1))

    def middle(self, cell: int) -> float:
        """The value in the middle of a cell."""
        return self.low + (cell + 0.5) * (self.high - self.low) / self.cells

    def ticks(self, apart: int) -> list[float]:
        """Round values on the scale, at least so many cells from each other."""
        step = round_step((self.high - self.low) * apart / self.cells)
        first = ceil(self.low / step - 1e-9)
        return [number * step for number in range(first, floor(self.high / step + 1e-9) + 1)]


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10, 20, 50 ... (or a tenth of these, and so on) that is not less."""
    if not least > 0:
        return 1.0
    ten = 10.0 ** floor(log10(least))
    return next(times * ten for times in (1, 2, 5, 10) if times * ten >= least * (1 - 1e-9))


# Length against rounds


def draw_growth(canvas: Canvas, box: Box, found: Growth, measure: Unit) -> None:
    """The likely length with its band, the readings, the goal, and how far she is."""
    plot, across, up = growth_scales(box, found)
    _axes(canvas, plot, across, up, measure, found.worked)
    bottom = plot.y + plot.height - 1
    points = [(plot.x + column, found.at(across.middle(column))) for column in range(plot.width)]
    for x, point in points:
        low, high = up.at(point.low), up.at(point.high)
        canvas.fill(x, bottom - high, 1, high - low + 1, _BAND)
    if found.goal is not None:
        _goal(canvas, plot, up, found.goal, measure)
    for x, point in points:
        half = up.at(point.mm, 2)
        ink = "tape" if point.row <= found.done else "quiet"
        canvas.put(x, bottom - half // 2, UPPER if half % 2 else LOWER, Paint(ink, "band"))
    for reading in found.readings:
        x, y = reading_cell(box, found, reading.row, reading.mm)
        canvas.put(x, y, READING if reading.counts else LEFT_OUT, _LOUD)
    canvas.put(plot.x + across.at(found.done), plot.y + plot.height, HERE, _LOUD)


def growth_scales(box: Box, found: Growth) -> tuple[Box, Scale, Scale]:
    """The cells of the plot within a box, its rows across and its millimetres upwards."""
    left = 6
    plot = Box(box.x + left, box.y, max(box.width - left, 1), max(box.height - 2, 1))
    tops = [found.points[-1].high, *(reading.mm for reading in found.readings)]
    tops += [] if found.goal is None else [found.goal]
    top, least = max(tops), min(found.points[0].low, *tops)
    room = (top - least) * 0.05 + 1
    up = Scale(max(least - room, 0.0), top + room, plot.height)
    return plot, Scale(0, found.end, plot.width), up


def reading_cell(box: Box, found: Growth, row: float, mm: float) -> tuple[int, int]:
    """The cell in which a length after so many rows lies."""
    plot, across, up = growth_scales(box, found)
    return plot.x + across.at(row), plot.y + plot.height - 1 - up.at(mm)


def _goal(canvas: Canvas, plot: Box, up: Scale, mm: float, measure: Unit) -> None:
    """A line at the goal, which it names."""
    y = plot.y + plot.height - 1 - up.at(mm)
    canvas.put(plot.x, y, LEVEL * plot.width, _AXIS)
    for told in (f"{GOAL} goal {write_length(mm, measure)}", GOAL):
        if cells(told) + 2 < plot.width:
            canvas.put(plot.x + 1, y, told, _TEXT)
            return


def _axes(canvas: Canvas, plot: Box, across: Scale, up: Scale, measure: Unit, what: str) -> None:
    """Lengths at the left in her unit, rows below."""
    foot = plot.y + plot.height
    for y in range(plot.y, foot):
        canvas.put(plot.x - 1, y, UPRIGHT, _AXIS)
    canvas.put(plot.x - 1, foot, CORNER, _AXIS)
    canvas.put(plot.x, foot, LEVEL * plot.width, _AXIS)
    unit = MM_PER[measure]
    own = Scale(up.low / unit, up.high / unit, up.cells)
    taken = foot
    for value in own.ticks(3):
        y = foot - 1 - own.at(value)
        if y < taken - 1 and y > plot.y:
            canvas.put_right(plot.x - 1, y, f"{value:g}", _MUTED)
            taken = y
    canvas.put_right(plot.x - 1, plot.y, measure, _MUTED)
    _row_figures(canvas, plot, across, what)


def _row_figures(canvas: Canvas, plot: Box, across: Scale, what: str) -> None:
    end = canvas.put_right(plot.x + plot.width, plot.y + plot.height + 1, what, _MUTED) - 1
    for value in across.ticks(6):
        told = f"{value:g}"
        x = plot.x + across.at(value)
        if value and x + cells(told) <= end:
            canvas.put(x, plot.y + plot.height + 1, told, _MUTED)


# Bars, and spans


class Bar(NamedTuple):
    """A value with what it is called in one word or two: "leg", "one"."""

    name: str
    of: str
    value: float
    told: str


def draw_bars(canvas: Canvas, box: Box, bars: Sequence[Bar], what: str) -> None:
    """A bar for each value, with its figures behind it; below them the scale, from nought on.

    Where there is room, a free line parts those of another name.
    """
    rows = _rows_of(bars, box)
    x, scale = _names(canvas, box, bars, rows, 0.0, max(bar.value for bar in bars))
    for y, bar in zip(rows, bars, strict=True):
        halves = scale.at(bar.value, 2) + 1
        canvas.fill(x, y, halves // 2, 1, _BAR)
        end = x + halves // 2
        if halves % 2:
            end = canvas.put(end, y, _HALF, Paint("tape", "page"))
        canvas.put(end + 1, y, bar.told, _LOUD)
    if rows[-1] + 3 <= box.y + box.height:
        _scale_below(canvas, Box(x, rows[-1] + 1, box.x + box.width - x, 2), scale, what)


def _rows_of(bars: Sequence[Bar], box: Box) -> list[int]:
    """The row of each bar: one below the other, those of another name apart where all have room so."""
    steps = [1 + (bar.name != before.name) for before, bar in pairwise(bars)]
    apart = [*accumulate(steps, initial=box.y)]
    together = [*range(box.y, box.y + len(bars))]
    return apart if apart[-1] + 3 <= box.y + box.height else together


class Span(NamedTuple):
    """A likely value between two others; `mark` is what it is held against, None: nothing."""

    name: str
    of: str
    low: float
    value: float
    high: float
    told: str
    mark: float | None


def draw_spans(canvas: Canvas, box: Box, spans: Sequence[Span], what: str) -> None:
    """A band from the low to the high value of each, a sign at the likely one, a line at its mark."""
    ends = [
        value for span in spans for value in (span.low, span.high, span.mark) if value is not None
    ]
    bars = [Bar(span.name, span.of, span.value, span.told) for span in spans]
    rows = _rows_of(bars, box)
    x, scale = _names(canvas, box, bars, rows, *_with_room(min(ends), max(ends)))
    for y, span in zip(rows, spans, strict=True):
        first, last = scale.at(span.low), scale.at(span.high)
        canvas.fill(x + first, y, last - first + 1, 1, _BAND)
        if span.mark is not None:
            at = scale.at(span.mark)
            ground = "band" if first <= at <= last else "page"
            canvas.put(x + at, y, UPRIGHT, Paint("muted", ground))
        canvas.put(x + scale.at(span.value), y, VALUE, Paint("text", "band", True))
        canvas.put(x + scale.cells + 1, y, span.told, _LOUD)
    if rows[-1] + 3 <= box.y + box.height:
        _scale_below(canvas, Box(x, rows[-1] + 1, box.x + box.width - x, 2), scale, what)


def _with_room(low: float, high: float) -> tuple[float, float]:
    room = max((high - low) * 0.1, high * 0.01)
    return low - room, high + room


def _names(
    canvas: Canvas, box: Box, bars: Sequence[Bar], rows: Sequence[int], low: float, high: float
) -> tuple[int, Scale]:
    """The names at the left; where the bars begin, and their scale."""
    name, of = (
        max(cells(part) for part in parts)
        for parts in zip(*((b.name, b.of) for b in bars), strict=True)
    )
    name = min(name, max(box.width // 3, 1))
    x = box.x + name + 1 + (of + 1 if of else 0)
    before = ""
    for y, bar in zip(rows, bars, strict=True):
        if bar.name != before:
            canvas.put(box.x, y, cut(bar.name, name), _TEXT)
        before = bar.name
        canvas.put(box.x + name + 1, y, bar.of, _MUTED)
    behind = max(cells(bar.told) for bar in bars) + 1
    return x, Scale(low, high, max(box.x + box.width - x - behind, 1))


def _scale_below(canvas: Canvas, box: Box, scale: Scale, what: str) -> None:
    """The scale with its figures, at the right end of the box what they are; figures make room for that."""
    canvas.put(box.x, box.y, LEVEL * scale.cells, _AXIS)
    last = canvas.put_right(box.x + box.width, box.y + 1, what, _MUTED) - 1
    end = box.x
    for value in scale.ticks(6):
        told, x = f"{value:g}", box.x + scale.at(value)
        if x >= end and x + cells(told) <= last:
            end = canvas.put(x, box.y + 1, told, _MUTED) + 1
