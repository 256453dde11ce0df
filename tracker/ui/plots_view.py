"""The plots as a page: one or, where there is room, two beside each other, each with its sentence."""

from __future__ import annotations

from collections.abc import Sequence

from tracker import plot_words as said
from tracker.forecast.series import Pace, Sitting, Tight
from tracker.knitting.state import BOTH
from tracker.pattern.days import briefly
from tracker.plots import NAMES, Plots, told
from tracker.ui.canvas import Canvas, Rows, cut
from tracker.ui.footer import Entry as Key
from tracker.ui.page import keys_row, margin_of
from tracker.ui.palette import Paint
from tracker.ui.plot_view import (
    GOAL,
    HERE,
    LEFT_OUT,
    READING,
    UPRIGHT,
    VALUE,
    Bar,
    Box,
    Span,
    draw_bars,
    draw_growth,
    draw_spans,
)
from tracker.ui.scrolled import wrapped
from tracker.units import shorten, whole
from tracker.vocabulary import section

_SMALL = 60
"""Cells below which the pair is not named, and less is said."""
TWO_FROM = 112
"""Cells from which two plots stand beside each other."""
_BETWEEN = 4
_LEAST_ROWS, _MOST_ROWS = 4, 28
"""Rows below which no plot is drawn, for its sentence says it all, and the most that one has."""
_BRIEF_BELOW = 14
"""Rows of a panel below which less is said."""

_TEXT, _LOUD, _MUTED = Paint("text", "page"), Paint("text", "page", True), Paint("muted", "page")
_CHOSEN = Paint("on-turned", "turned", True)


def page_rows(plots: Plots, at: int, keys: Sequence[Key], width: int, height: int) -> Rows:
    """The whole screen; `at` is the plot that is chosen."""
    canvas, margin = Canvas(width, height, _TEXT), margin_of(width)
    x = margin
    for number, name in enumerate(NAMES):
        x = canvas.put(x, 0, f" {name} ", _CHOSEN if number == at else _MUTED) + 1
    if width >= _SMALL:
        title = cut(shorten(plots.title, 80), max(width - margin - x - 1, 0))
        canvas.put_right(width - margin, 0, title, _MUTED)
    small = height <= 14
    top = 1 if small else 2
    box = Box(margin, top, max(width - 2 * margin, 1), max(height - top - (1 if small else 2), 0))
    if width >= TWO_FROM:
        half = (box.width - _BETWEEN) // 2
        _panel(canvas, box._replace(width=half), plots, at)
        right = box._replace(x=box.x + box.width - half, width=half)
        _panel(canvas, right, plots, (at + 1) % len(NAMES))
    else:
        _panel(canvas, box, plots, at)
    rows = list(canvas.rows())
    if height > 3:
        rows[-1] = keys_row(keys, width, margin)
    return tuple(rows)


def _panel(canvas: Canvas, box: Box, plots: Plots, at: int) -> None:
    """A plot under its heading and its sentence; the plot is left out where nothing of it can be seen."""
    brief = box.height < _BRIEF_BELOW
    heading, sentence = told(plots, at, brief=brief)
    y = box.y
    if heading:
        canvas.put(box.x, y, cut(heading, box.width), _LOUD)
        y += 1
    for line in wrapped(sentence, box.width)[: box.y + box.height - y]:
        canvas.put(box.x, y, line, _TEXT)
        y += 1
    y += not brief
    left = min(box.y + box.height - y, _MOST_ROWS)
    there = (plots.growth, plots.paces, plots.sittings, plots.tensions)
    if left < _LEAST_ROWS or not there[at]:
        return
    if not brief and LEGENDS[at]:
        for line in reversed(wrapped(LEGENDS[at], box.width)):
            left -= 1
            canvas.put(box.x, y + left, line, _MUTED)
        left -= 1
    _DRAW[at](canvas, Box(box.x, y, box.width, left), plots)


LEGENDS = (
    f"{READING} reading   {LEFT_OUT} one left out   {GOAL} goal   {HERE} done   shaded: nine times in ten",
    "",
    "",
    f"{VALUE} likely   {UPRIGHT} the swatch   shaded: nine times in ten",
)
"""What the signs of each plot mean."""


def _length(canvas: Canvas, box: Box, plots: Plots) -> None:
    if plots.growth is not None:
        draw_growth(canvas, box, plots.growth, plots.unit)


def _paces(canvas: Canvas, box: Box, plots: Plots) -> None:
    """Both socks where there is room, else that in hand; the last sections where there is none for all."""
    bars = [bar for pace in plots.paces for bar in _bars(plots, pace, BOTH)]
    if len(bars) > box.height:
        bars = [bar for pace in plots.paces for bar in _bars(plots, pace, (plots.sock,))]
    if shown := bars[-box.height :]:
        draw_bars(canvas, box, shown, "minutes")


def _bars(plots: Plots, pace: Pace, numbers: Sequence[int]) -> list[Bar]:
    name = section(pace.section, plots.of_socks)
    known = [(number, pace.minutes[number - 1]) for number in numbers]
    return [
        Bar(name, "one" if number == 1 else "two", minutes, said.to_tenths(minutes))
        for number, minutes in known
        if minutes is not None
    ]


def _sittings(canvas: Canvas, box: Box, plots: Plots) -> None:
    """The last of them that there is room for, the newest below."""
    bars = [_sat(one) for one in plots.sittings]
    # The scale below has its place before the oldest sittings have.
    if shown := bars[-max(box.height - 2, 1) :]:
        draw_bars(canvas, box, shown, "a minute")


def _sat(one: Sitting) -> Bar:
    figure = said.per_minute(one)
    return Bar(briefly(one.day), f"{whole(one.minutes)} min", figure, f"{figure}")


def _tensions(canvas: Canvas, box: Box, plots: Plots) -> None:
    spans = [_span(plots, one) for one in plots.tensions]
    if shown := spans[-box.height :]:
        draw_spans(canvas, box, shown, said.tension_axis(plots.unit))


def _span(plots: Plots, one: Tight) -> Span:
    low, rows, high = (said.per_unit(rows, plots.unit) for rows in (one.low, one.rows, one.high))
    gauge = None if one.gauge is None else said.per_unit(one.gauge, plots.unit)
    name, of = one.fabric if plots.of_socks else "fabric", "one" if one.sock == 1 else "two"
    return Span(name, of, low, rows, high, said.to_tenths(rows), gauge)


_DRAW = (_length, _paces, _sittings, _tensions)
