"""The line below the stage: the cue that comes next, what was just done, or what was not kept."""

from __future__ import annotations

import re

from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Rows, cells, clean
from tracker.ui.grid import Grid
from tracker.ui.lettering import word
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint
from tracker.ui.wrapping import wrap

_TEXT, _MUTED = Paint("text", "page"), Paint("muted", "page")
_ACCENT, _BADGE = Paint("accent", "page", True), Paint("on-accent", "accent", True)
_ALARM = Paint("on-alarm", "alarm")
_FIGURES = Paint("on-turned", "turned", True)
_BAR = "\u258c"
_SENTENCES = re.compile(r"(?<=[.?!]) (?=[A-Z0-9])")
_NOT_KEPT = "! not kept"
_MOST_ROWS = 3
"""Rows the line may take where it shares them, and has fewer while it says little."""


class CueSight(NamedTuple):
    """`when`, `what` and `afterwards` are one cue; `said` speaks over it, `not_kept` over both.

    `due` fills the badge: the cue is for this round or the next. `typed` are the figures that
    wait for the key that says what they are. `brief` is the cue and `said_brief` what was said in
    few words, for where there is no room for the whole. `besides` is what is to be done in the round in
    hand all the same: it stands below what was said, where a row is free. Where `prompt` is not empty a
    line is open that takes words, which are `written`; it stands before all else.
    """

    when: str = ""
    what: str = ""
    afterwards: str = ""
    due: bool = False
    said: str = ""
    typed: str = ""
    not_kept: str = ""
    brief: str = ""
    said_brief: str = ""
    besides: str = ""
    prompt: str = ""
    written: str = ""


class CueLine(Painted[CueSight]):
    """One line of text in the middle of three rows, or as few rows as it needs."""

    def paint(self, sight: CueSight, grid: Grid) -> Rows:
        """Rows of the cue's place in `grid`."""
        return alarm_rows(sight.not_kept, grid) if sight.not_kept else cue_rows(sight, grid)


class _Line(NamedTuple):
    """Where the text stands: the bar's column, the text's first and last (exclusive), its most rows."""

    canvas: Canvas
    bar: int
    x: int
    end: int
    most: int

    @property
    def room(self) -> int:
        return max(self.end - self.x, 8)

    def top(self, rows: int, *, small: bool) -> int:
        """The row in which `rows` of text begin: the middle one, where they find room below it."""
        middle = 0 if small else self.canvas.height // 2
        return middle if middle + rows <= self.canvas.height else 0


def wanted_rows(sight: CueSight, grid: Grid) -> int:
    """The rows the line needs on a screen where it shares them, 0 where it has nothing to say."""
    small = grid.size == "small"
    if sight.not_kept:
        room = _alarm_room(grid.places["stage"].width, grid.bar)
        return min(len(wrap(sight.not_kept, room)), _MOST_ROWS)
    typed = len(sight.typed) + 3 if sight.typed else 0
    room = max(grid.end - grid.bar - (1 if small else 2) - typed, 8)
    if sight.prompt:
        return min(1 + len(written_rows(sight.written, room)), _MOST_ROWS)
    if sight.said:
        lines = told(sight.said, sight.said_brief, room, _said_rows(sight.said, room))
        return len(lines) + len(_besides(sight, room, 2 - len(lines)))
    if sight.what:
        return len(_cue_pieces(sight, room, _cue_most(sight, room, _MOST_ROWS, small), small=small))
    return 1 if sight.typed else 0


def told(said: str, brief: str, width: int, rows: int) -> list[str]:
    """`said` in at most `rows` lines; else in brief, or what that says last; else as many of its first
    sentences as fit whole.
    """
    briefly = _SENTENCES.split(brief)
    for text in (said, *(" ".join(briefly[at:]) for at in range(len(briefly)))):
        if text and len(lines := wrap(text, width)) <= rows:
            return lines
    sentences = _SENTENCES.split(said)
    for count in range(len(sentences) - 1, 0, -1):
        if len(lines := wrap(" ".join(sentences[:count]), width)) <= rows:
            return lines
    return wrap(said, width, max_lines=rows, placeholder="...")


def _said_rows(said: str, width: int) -> int:
    """Two rows, or three where not even the first sentence finds room in two."""
    return 2 if len(wrap(_SENTENCES.split(said)[0], width)) <= 2 else _MOST_ROWS


def alarm_rows(not_kept: str, grid: Grid) -> Rows:
    """The bar over the whole width that says what is not on the disk."""
    box = grid.places["cue"]
    canvas = Canvas(box.width, box.height, _ALARM)
    middle = 0 if grid.size == "small" else box.height // 2
    x = canvas.put(_alarm_start(grid.bar), middle, _NOT_KEPT, _ALARM._replace(bold=True)) + 3
    room = _alarm_room(box.width, grid.bar)
    lines = wrap(not_kept, room, max_lines=box.height, placeholder="...")
    top = middle if len(lines) <= box.height - middle else 0
    for y, line in enumerate(lines, start=top):
        canvas.put(x, y, line, _ALARM)
    return canvas.rows()


def _alarm_start(bar: int) -> int:
    return bar + 2


def _alarm_room(width: int, bar: int) -> int:
    return max(width - _alarm_start(bar) - len(_NOT_KEPT) - 4, 8)


def cue_rows(sight: CueSight, grid: Grid) -> Rows:
    """The cue, or what was said, with the typed figures at the right end."""
    box = grid.places["cue"]
    canvas = Canvas(box.width, box.height, _TEXT)
    small = grid.size == "small"
    low = small or grid.plain
    end = _typed(canvas, sight.typed, grid.end, low=low) if sight.typed else grid.end
    most = min(box.height, _MOST_ROWS if grid.shares else 2)
    line = _Line(canvas, grid.bar, grid.bar + (1 if small else 2), end, most)
    if sight.prompt:
        _writing(line, sight)
    elif sight.said:
        _said(line, sight, small=small)
    elif sight.what:
        _cue(line, sight, small=small)
    return canvas.rows()


def _cue(line: _Line, sight: CueSight, *, small: bool) -> None:
    canvas = line.canvas
    rows = _cue_most(sight, line.room, line.most, small)
    pieces = _cue_pieces(sight, line.room, rows, small=small)
    top = line.top(len(pieces), small=small)
    _, bold = _cue_words(sight, line.room, rows, small=small)
    start = line.x + _when_cells(sight, small=small)
    for y, piece in enumerate(pieces, start=top):
        canvas.put(line.bar, y, _BAR, _ACCENT)
        x = start if y == top or not small else line.x
        x = canvas.put(x, y, piece[: max(bold, 0)], _TEXT._replace(bold=sight.due))
        canvas.put(x, y, piece[max(bold, 0) :], _MUTED)
        bold -= len(piece) + 1
    _when(line, top, sight, small=small)


def _cue_most(sight: CueSight, room: int, most: int, small: bool) -> int:
    """The rows the cue may take: but on a small screen two of them, unless it would be cut in these."""
    whole = not _cue_pieces(sight, room, 2, small=small)[-1].endswith("...")
    return min(most, 2) if whole and not small else most


def _cue_pieces(sight: CueSight, room: int, rows: int, *, small: bool) -> list[str]:
    """The cue's words in lines; those of a small screen run on below the badge."""
    text, _ = _cue_words(sight, room, rows, small=small)
    indent = _when_cells(sight, small=small)
    if not small:
        return wrap(text, max(room - indent, 8), max_lines=rows, placeholder="...")
    first = " " * indent
    lines = wrap(text, room, initial_indent=first, max_lines=rows, placeholder="...")
    return [line.strip() for line in lines]


def _cue_words(sight: CueSight, room: int, rows: int, *, small: bool) -> tuple[str, int]:
    """The cue's words, and how many letters of them are loud; in brief where the whole has no room."""
    text = f"{sight.what}, {sight.afterwards}" if sight.afterwards else sight.what
    width = max(room - _when_cells(sight, small=small), 8)
    if sight.brief and (small or len(wrap(text, width)) > rows):
        return sight.brief, len(sight.brief)
    return text, len(sight.what)


def _when_cells(sight: CueSight, *, small: bool) -> int:
    when = _small_when(sight) if small else sight.when
    return cells(when) + (1 if small else 3) if when else 0


def _small_when(sight: CueSight) -> str:
    """ "in 3" is read as well as "in 3 rounds", and what is for now is said at once."""
    when = sight.when.removesuffix(" rounds").removesuffix(" rows")
    return "" if when == "now" else when


def _when(line: _Line, y: int, sight: CueSight, *, small: bool) -> None:
    """When the cue is due, in a badge if that is soon."""
    paint = _BADGE if sight.due else _ACCENT
    if small:
        line.canvas.put(line.x, y, _small_when(sight), paint)
    elif sight.when:
        line.canvas.put(line.x - 1, y, f" {sight.when} ", paint)


def _said(line: _Line, sight: CueSight, *, small: bool) -> None:
    """What was done, in the line and, where there is one, the row below it."""
    rows = min(line.most, _said_rows(sight.said, line.room))
    pieces = told(sight.said, sight.said_brief, line.room, rows)
    # What is to be done is worth the row that else parts the line from the stage.
    free = min(line.canvas.height, 2 if small else 3) - len(pieces)
    besides = _besides(sight, line.room, free)
    top = line.top(len(pieces) + len(besides), small=small)
    for y, piece in enumerate(pieces, start=top):
        line.canvas.put(line.bar, y, _BAR, _TEXT)
        line.canvas.put(line.x, y, piece, _TEXT._replace(bold=y == top))
    for y, piece in enumerate(besides, start=top + len(pieces)):
        line.canvas.put(line.bar, y, _BAR, _ACCENT)
        line.canvas.put(line.x, y, piece, _TEXT)


def _besides(sight: CueSight, width: int, rows: int) -> list[str]:
    """What is to be done all the same, where it finds room in the free rows; its why is the first to go."""
    for text in (sight.besides, sight.besides.partition(" (")[0]):
        if text and len(lines := wrap(text, width)) <= rows:
            return lines
    return []


def written_rows(text: str, width: int) -> list[str]:
    """What is written in rows of `width` cells, with a cell left for what comes next."""
    rows = [""]
    for char in text:
        if cells(rows[-1]) + cells(char) > width - 1:
            kept, space, word = rows[-1].rpartition(" ")
            rows[-1:] = [kept + space, word] if space and char != " " else [rows[-1], ""]
        rows[-1] += char
    return rows


def _writing(line: _Line, sight: CueSight) -> None:
    """What the line is for, and below it what is written, the end of it where there is no more room."""
    canvas = line.canvas
    rows = written_rows(clean(sight.written), line.room)
    told = wrap(sight.prompt, line.room, max_lines=1, placeholder="...")
    head = told if canvas.height > 1 else []
    rows = rows[-(canvas.height - len(head)) :]
    for y, text in enumerate([*head, *rows]):
        canvas.put(line.bar, y, _BAR, _ACCENT)
        x = canvas.put(line.x, y, text, _MUTED if y < len(head) else _TEXT._replace(bold=True))
    canvas.put(x, y, " ", _FIGURES)


def _typed(canvas: Canvas, typed: str, end: int, *, low: bool) -> int:
    """The figures as large as the rows allow; returns the column the rest must end before."""
    large = word(typed, 3)
    if low or canvas.height < 3 or len(large[0]) > end // 2:
        y = min(canvas.height // 2, 1)
        return canvas.put_right(end, y, f" {typed} ", _FIGURES) - 1
    start = end - len(large[0])
    canvas.letter(start, 0, large, _TEXT)
    return start - 2
