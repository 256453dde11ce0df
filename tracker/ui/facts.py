"""The facts below the tape: what (bold) and its sense (muted), at most four."""

from __future__ import annotations

import re

from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Rows, cells, cut
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint
from tracker.ui.wrapping import wrap

_WHAT, _SENSE = Paint("text", "page", True), Paint("muted", "page")
_COLUMN = 11
"""Where the sense begins."""
_TIME = re.compile(r"\d+ min|\d+ h \d+")

_MOST = 4
"""Facts that have room one below the other."""

Fact = tuple[str, str]


class FactsSight(NamedTuple):
    """The facts, and how far apart the socks are in few words, longest first, for the facts in one line.

    `spare` is one more, shown where it takes nothing from the others.
    """

    facts: tuple[Fact, ...]
    lag: tuple[str, ...] = ()
    spare: Fact | None = None


class Facts(Painted[FactsSight]):
    """The facts one below the other, or in one line."""

    def paint(self, sight: FactsSight, grid: Grid) -> Rows:
        """Rows of the facts' place in `grid`."""
        box = grid.places["facts"]
        if grid.size == "full":
            return fact_rows(_all(sight)[:_MOST], box.width, box.height)
        return fact_row(sight, box.width, 3 if grid.size == "medium" else 2)


def fact_rows(facts: tuple[Fact, ...], width: int, height: int) -> Rows:
    """Four facts, every second row; a long sense runs on in the row between."""
    canvas = Canvas(width, height, _SENSE)
    for y, (what, sense) in zip(range(0, 8, 2), facts, strict=False):
        x = max(canvas.put(0, y, cut(what, width), _WHAT) + 1, _COLUMN)
        room = max(width - x, 1)
        last = y + 1 >= height
        lines = [cut(sense, room)] if last else wrap(sense, room, max_lines=2, placeholder="...")
        for row, line in enumerate(lines, start=y):
            canvas.put(x, row, line, _SENSE)
    return canvas.rows()


def fact_row(sight: FactsSight, width: int, gap: int) -> Rows:
    """As many facts as one line holds, said shorter and shorter; the lag is the last to go."""
    canvas = Canvas(width, 1, _SENSE)
    x = 0
    for what, sense in _fitting(sight, width, gap):
        x = canvas.put(x, 0, cut(what, width - x), _WHAT) + bool(what)
        x = canvas.put(x, 0, cut(sense, width - x), _SENSE) + gap - (not sense)
    return canvas.rows()


def _fitting(sight: FactsSight, width: int, gap: int) -> list[Fact]:
    """The facts as one line of `width` cells can tell them."""
    lags = [[("", lag)] for lag in sight.lag] or [[]]
    for told in (list(_all(sight)), list(sight.facts)):
        if _length(told + lags[0], gap) <= width:
            return told + lags[0]
    bare = [(what, re.split("[,;]", sense)[0]) for what, sense in sight.facts]
    for lag in lags:
        shown = bare
        for shorter in (_same, _bare_time, _bare_length, _bare_count, _bare_tape):
            shown = shorter(shown)
            if _length(shown + lag, gap) <= width:
                return shown + lag
    while len(shown) > 1 and _length(shown + lags[-1], gap) > width:
        shown = shown[:-1]
    if _length(shown + lags[-1], gap) > width:
        shown = [(what, "" if what else sense) for what, sense in shown]
    return shown + lags[-1]


def _all(sight: FactsSight) -> tuple[Fact, ...]:
    return sight.facts if sight.spare is None else (*sight.facts, sight.spare)


def _same(facts: list[Fact]) -> list[Fact]:
    return facts


def _bare_time(facts: list[Fact]) -> list[Fact]:
    """ "23 min" alone."""
    return [(what, "" if _TIME.fullmatch(what) else sense) for what, sense in facts]


def _bare_length(facts: list[Fact]) -> list[Fact]:
    """ "13.5 cm" for "13.5 cm now", "to 62 sts" for "62 sts after this round"."""
    return [
        (f"to {what}", "") if sense.startswith("after this") else (what, sense.removeprefix("now"))
        for what, sense in facts
    ]


def _bare_count(facts: list[Fact]) -> list[Fact]:
    """ "11 to go" for "11 rounds to go", "measure" without what for."""
    return [
        (re.sub(" (rounds?|rows?)$", "", what), sense if what != "measure" else "")
        for what, sense in facts
    ]


def _bare_tape(facts: list[Fact]) -> list[Fact]:
    """ "round 42 tape" for "round 42 tape for the first time"."""
    return [(what, "tape" if sense.startswith("tape ") else sense) for what, sense in facts]


def _length(facts: list[Fact], gap: int) -> int:
    each = (cells(what) + cells(sense) + bool(what and sense) for what, sense in facts)
    return sum(each) + gap * (len(facts) - 1)
