"""The history as rows of text: what is filtered, what is in view, and how an event is laid out.

Only what is in view is composed, so that a hundred thousand events cost no more than ten.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from tracker import past_words
from tracker.knitting.hanging import Hanging
from tracker.knitting.past import Past, of_kind
from tracker.knitting.state import Number
from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Row, Rows, cut, fitting
from tracker.ui.footer import Entry
from tracker.ui.page import margin_of, with_lines
from tracker.ui.palette import Paint
from tracker.ui.scrolled import Scrolled, Top, wrapped
from tracker.units import Unit
from tracker.vocabulary import sock

TAKEN_BACK = "x"
"""The sign before what was taken back; its grey alone would mean nothing without colour."""

_HEAD, _TEXT, _MUTED = Paint("text", "page", True), Paint("text", "page"), Paint("muted", "page")
_GONE = Paint("quiet", "page")

_WIDE, _COLUMNS = 100, 72
"""Cells from which the number stands before an event, and from which it is laid out in columns."""
_TIME = 16
_PLACE = 26
"""Cells of the columns of times and of places."""


class Filter(NamedTuple):
    """What is shown: one sock alone, one kind alone, or all (None); or the `marks` in the fabric instead."""

    sock: Number | None = None
    kind: str | None = None
    marks: bool = False

    def step(self, kinds: Sequence[str]) -> Filter:
        """The next of the kinds that occur; after the last of them all again."""
        at = kinds.index(self.kind) + 1 if self.kind in kinds and not self.marks else 0
        return self._replace(kind=kinds[at] if at < len(kinds) else None, marks=False)


class History(NamedTuple):
    """A pair's past and how it is said; `marks` are the lifelines, pins and notes by their rounds."""

    past: tuple[Past, ...]
    title: str
    unit: Unit
    of_socks: bool
    marks: tuple[Hanging, ...] = ()

    def kinds(self) -> list[str]:
        """The kinds that occur, in the order in which they first did."""
        return list(dict.fromkeys(one.event.kind for one in self.past))

    def chosen(self, only: Filter) -> Sequence[Past | Hanging]:
        """Those that a filter lets through."""
        if only.marks:
            return [one for one in self.marks if only.sock in (None, one.sock)]
        return list(of_kind(self.past, only.kind, only.sock))

    def told(self, one: Past | Hanging) -> Told:
        """An entry in words; a mark has the time of the event that put it there."""
        if isinstance(one, Hanging):
            when = past_words.when(self.past[one.event - 1]) if one.event else ""
            where = past_words.hangs_where(one, self.of_socks)
            return Told(one.event, when, where, past_words.hangs(one), False)
        what = past_words.happened(one, self.unit, self.of_socks)
        where = past_words.where(one, self.of_socks)
        return Told(one.event.number, past_words.when(one), where, what, one.undone or one.void)


class Told(NamedTuple):
    """An entry in words: its number (0: none), when, where and what it was, and whether it is gone."""

    number: int
    when: str
    where: str
    told: str
    gone: bool


class View(Scrolled):
    """The events that are shown, as lines `width` cells wide, and which `height` of them are in view."""

    def __init__(self, history: History, only: Filter, width: int, height: int) -> None:
        self.history, self.only = history, only
        self.shown = history.chosen(only)
        super().__init__(len(self.shown), width, height)
        self.newest()

    def resized(self, width: int, height: int) -> View:
        """The same in another size, with the same entry first in view."""
        view = View(self.history, self.only, width, height)
        view.top = min(Top(self.top.entry, 0), view.top)
        return view

    def newest(self) -> None:
        """The last line in view is the last there is."""
        self.to_end()

    def oldest(self) -> None:
        """The first line in view is the first there is."""
        self.to_beginning()

    def in_view(self) -> tuple[int, int]:
        """The first and the last entry in view, counted from 1; (0, 0) where there is none."""
        if not self.shown:
            return 0, 0
        last = self.moved(self.top, self.height - 1)
        return self.top.entry + 1, min(last.entry, len(self.shown) - 1) + 1

    def entry(self, at: int) -> list[Row]:
        """An event's lines."""
        return entry_lines(self.history.told(self.shown[at]), self.width)


def entry_lines(entry: Told, width: int) -> list[Row]:
    """An entry in lines of `width` cells: in columns, or where these have no room one below the other."""
    _, when, where, told, gone = entry
    sign = f"{TAKEN_BACK if gone else ' '} "
    number = f"{entry.number or '':>6}  " if width >= _WIDE else ""
    paint = _GONE if gone else _TEXT
    if width < _COLUMNS:
        head = wrapped(f"{when}  {where}" if when else where, width - 2)
        lines = [sign + head[0], *(f"  {more}" for more in head[1:])]
        lines += [f"    {more}" for more in wrapped(told, width - 4)]
        return [_row(line, paint, width) for line in lines]
    first = f"{sign}{number}{when:<{_TIME}}  "
    room = width - len(first) - _PLACE - 2
    columns = zip_longest(wrapped(where, _PLACE), wrapped(told, room), fillvalue="")
    lines = [f"{place:<{_PLACE}}  {more}" for place, more in columns]
    blank = " " * len(first)
    return [_row((blank if at else first) + line, paint, width) for at, line in enumerate(lines)]


def _row(text: str, paint: Paint, width: int) -> Row:
    canvas = Canvas(width, 1, paint)
    canvas.put(0, 0, text, paint)
    return canvas.rows()[0]


def filter_said(view: View) -> tuple[str, ...]:
    """The filter in force and what is in view, longest first.

    "sock one, every kind: 297 to 312 of 312", "one, every kind, 312 of 312".
    """
    only, of_socks, count = view.only, view.history.of_socks, len(view.shown)
    of = sock(only.sock, of_socks) if only.sock else "both socks" if of_socks else "both"
    first, last = view.in_view()
    span = f"{first} to {last} of {count}" if count else "nothing"
    far = f"{last} of {count}" if count else "nothing"
    if only.marks:
        what = "lifelines, pins and notes"
        return f"{of}, {what} by their rounds: {span}", f"{_BRIEFLY.get(of, of)}, {what}, {far}"
    kind = past_words.KINDS[only.kind] if only.kind else "every kind"
    alone = " only" if only.kind else ""
    return f"{of}, {kind}{alone}: {span}", f"{_BRIEFLY.get(of, of)}, {kind}, {far}"


_BRIEFLY = {"sock one": "one", "sock two": "two", "both socks": "both"}


def page_rows(view: View, keys: Sequence[Entry], width: int, height: int) -> Rows:
    """The whole screen: what it is, the filter in force, the events in view, and the keys."""
    canvas = Canvas(width, height, _TEXT)
    margin = margin_of(width)
    x = canvas.put(margin, 0, "Journal", _HEAD) + 2
    legend = f"{TAKEN_BACK} was taken back"
    end = canvas.put_right(width - margin, 0, legend, _MUTED) - 2
    canvas.put(x, 0, cut(view.history.title, max(end - x, 0)), _MUTED)
    if height > 2:
        room = width - 2 * margin
        canvas.put(margin, 1, fitting(filter_said(view), room), _TEXT)
    return with_lines(canvas, view.lines(), keys)
