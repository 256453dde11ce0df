"""The plan screen as rows of cells: the sentence with its blanks, what is said beside it, what follows."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from textwrap import wrap

from tracker.records import NamedTuple
from tracker.ui.blanks import PARTS, START, Clause, Filling, Part
from tracker.ui.canvas import Canvas, Row, Rows, cells, cut
from tracker.ui.footer import Entry
from tracker.ui.outcome import Finding, Outcome, at_work, beside, wrong
from tracker.ui.page import keys_row
from tracker.ui.palette import Paint
from tracker.ui.plan_stage import (
    Counts,
    counts,
    full_stage,
    in_lines,
    small_stage,
    sock_rows,
    waiting_stage,
)
from tracker.units import shorten

_TEXT, _LOUD, _MUTED = Paint("text", "page"), Paint("text", "page", True), Paint("muted", "page")
_BLANK, _AT_WORK = Paint("text", "stage", True), Paint("on-turned", "turned", True)
_CARET, _SIGN = Paint("text", "page", True), Paint("accent", "page", True)
_HERE, _WRONG, _KNOW = "\u25ba", "!", "\u258c"
START_WORDS = "start the pair"
_FULL, _SMALL = (112, 34), (76, 22)
"""Cells and rows from which there is a large stage, and a small one."""


class Sight(NamedTuple):
    """What the plan screen shows: the filling, what comes of it, and what was answered to the last key.

    `top` is the first line of the column in view; None while it follows the blank at work. `plain`: figures
    have no half cells.
    """

    filling: Filling
    outcome: Outcome
    said: str = ""
    top: int | None = None
    plain: bool = False


class Bit(NamedTuple):
    """A run of text in one paint."""

    text: str
    paint: Paint


Word = tuple[Bit, ...]
"""What is not parted between two lines."""


class Sizes(NamedTuple):
    """Where things stand on a screen: the column's left edge, width, first row and rows; the stage's edge
    and width, 0 where there is none.
    """

    left: int
    width: int
    top: int
    rows: int
    stage_x: int
    stage_width: int
    full: bool


def sizes(width: int, height: int) -> Sizes:
    """The layout of a screen of so many cells."""
    top, below = (2, 2) if height > 14 else (1, 1)
    rows = max(height - top - below, 1)
    if width >= _FULL[0] and height >= _FULL[1]:
        stage = width - 56
        return Sizes(6, 44, top, rows, 54, stage, True)
    if width >= _SMALL[0] and height >= _SMALL[1]:
        stage = 31
        return Sizes(2, width - stage - 5, top, rows, width - stage - 1, stage, False)
    margin = 1 if width < 72 else 3
    return Sizes(margin, max(width - 2 * margin, 8), top, rows, 0, 0, False)


def page_rows(sight: Sight, keys: Sequence[Entry], width: int, height: int) -> Rows:
    """The whole screen."""
    at = sizes(width, height)
    column, first = in_view(sight, at)
    rows = list(_head(sight, at, width, height, (first, len(column))))
    shown = column[first : first + at.rows] if first >= 0 else column
    stage = _stage(sight, at) if at.stage_x else ()
    for y, (line, right) in enumerate(zip_longest(shown, stage, fillvalue=()), start=at.top):
        if y < height:
            left = _padded(_blank(at.left) + line, at.stage_x or width)
            rows[y] = _padded(left + right, width)
    if height > 3:
        rows[-1] = keys_row(keys, width, at.left)
    return tuple(rows)


def in_view(sight: Sight, at: Sizes) -> tuple[list[Row], int]:
    """The lines of the column and the first of them in view, -1 where they are what is in view.

    The blank at work is always seen, and all that is said of it, unless she scrolls.
    """
    sentence, here = sentence_lines(sight, at.width, apart=at.full)
    said = list(_said(sight, at.width))
    more = list(_more(sight, at))
    column = [*sentence, _blank(at.width), *said, *more]
    if sight.top is not None:
        return column, min(sight.top, last_top(column, at))
    if len(sentence) + 1 + len(said) <= at.rows:
        return column, 0
    room = max(at.rows - len(said), 1)
    first = min(max(here - room // 2, 0), max(len(sentence) - room, 0))
    return [*sentence[first : first + room], *said][: at.rows], -1


def last_top(column: Sequence[Row], at: Sizes) -> int:
    """The first line in view where the last is."""
    return max(len(column) - at.rows, 0)


# The first row


def _head(
    sight: Sight, at: Sizes, width: int, height: int, lines: tuple[int, int]
) -> Iterator[Row]:
    canvas = Canvas(width, height, _TEXT)
    first, count = lines
    scrolled = sight.top is not None and count > at.rows
    right = (
        f"{first + 1} to {min(first + at.rows, count)} of {count}"
        if scrolled
        else _state(sight, at)
    )
    end = canvas.put_right(width - at.left, 0, right, _MUTED) - 2
    title = shorten(sight.filling.title.strip(), 80) or "A new pair"
    x = canvas.put(at.left, 0, cut(title, max(end - at.left, 4)), _LOUD)
    if x + 8 < end:
        canvas.put(x + 3, 0, "plan", _MUTED)
    yield from canvas.rows()


def _state(sight: Sight, at: Sizes) -> str:
    last = sight.outcome.last
    if at.stage_x or last is None:
        return "not started"
    before = "" if sight.outcome.opened else "before: "
    return f"{before}cast on {last.pattern.numbers.cast_on}"


# The sentence


def sentence_lines(sight: Sight, width: int, *, apart: bool) -> tuple[list[Row], int]:
    """The sentence in lines of `width` cells, and the line of the blank at work.

    `apart`: with an empty line between its parts.
    """
    lines: list[Row] = []
    here = 0
    for part in PARTS:
        words = list(_words(sight, part, width))
        if not words:
            continue
        if apart and lines:
            lines.append(_blank(width))
        for line in _wrapped(words, width):
            if any(bit.paint in (_AT_WORK, _CARET) for word in line for bit in word):
                here = len(lines)
            lines.append(_line(line, width))
    return lines, here


def _words(sight: Sight, part: Part, width: int) -> Iterator[Word]:
    """The words of a part; none where it says nothing."""
    filling = sight.filling
    told = [clause for clause in part.clauses if _is_told(filling, clause)]
    if not told:
        return
    text = part.lead + "".join(
        (clause.join if at else "") + clause.words for at, clause in enumerate(told)
    )
    word: list[Bit] = []
    for piece in _PIECES.findall(f"{text}."):
        if piece.isspace():
            yield tuple(word)
            word = []
        elif piece.startswith("{"):
            *before, last = _piece(sight, piece[1:-1], width)
            for whole in before:
                yield (*word, *whole)
                word = []
            word += last
        else:
            word.append(Bit(piece, _MUTED))
    yield tuple(word)


_PIECES = re.compile(r"\{[^}]+\}|\s+|[^\s{]+")


def _is_told(filling: Filling, clause: Clause) -> bool:
    """Whether each of its fields is a blank, or said by the plan."""
    places = re.findall(r"\{([^}]+)\}", clause.words)
    return all(
        place == START
        or (not filling.is_none(place) and _blank_at(filling, place) is not None)
        or filling.said(place)
        for place in places
    )


def _blank_at(filling: Filling, place: str) -> int | None:
    return next((at for at, blank in enumerate(filling.blanks) if blank.place == place), None)


def _piece(sight: Sight, place: str, width: int) -> list[Word]:
    """A blank, the last word, or what the plan says there: as words."""
    filling = sight.filling
    if place == START:
        return [_button(filling)]
    at = _blank_at(filling, place)
    if at is None:
        said = shorten(filling.said(place), 200)
        return [(Bit(word, _TEXT),) for word in said.split()]
    return [_gap(sight, at, width)]


def _button(filling: Filling) -> Word:
    if filling.blank is None:
        return Bit(_HERE, _SIGN), Bit(f"{START_WORDS} ", _AT_WORK)
    return (Bit(f" {START_WORDS} ", _BLANK),)


def _gap(sight: Sight, at: int, width: int) -> Word:
    """A blank: a sign or a space, what stands in it, and a cell for the caret."""
    filling = sight.filling
    text, blank = filling.shown(at), filling.blanks[at]
    if at == filling.at:
        return Bit(_HERE, _SIGN), *_at_work(filling, text, blank.wide, width - 3)
    sign = Bit(_WRONG, _SIGN) if at in wrong(filling, sight.outcome) else Bit(" ", _BLANK)
    if not text:
        return sign, Bit("_" * blank.wide, _BLANK), Bit(" ", _BLANK)
    return sign, Bit(_tail(text, width - 3), _BLANK), Bit(" ", _BLANK)


def _at_work(filling: Filling, text: str, wide: int, most: int) -> Iterator[Bit]:
    """What stands in the blank at work, turned over, but for the cell where she types."""
    blank = filling.blank
    if blank is not None and blank.kind == "choice":
        yield Bit(f"{text or ' ' * wide} ", _AT_WORK)
        return
    caret = filling.caret
    if caret is None:
        yield Bit(f"{_tail(text, most) or ' ' * wide} ", _AT_WORK)
        return
    before = _tail(text[:caret], most)
    after = cut_plain(text[caret + 1 :], most - cells(before))
    under = text[caret : caret + 1] or " "
    yield Bit(before, _AT_WORK)
    yield Bit(under, _CARET)
    yield Bit(f"{after} " if text[caret:] else " " * max(wide - cells(before), 0), _AT_WORK)


def _tail(text: str, most: int) -> str:
    """The end of a text that is longer than there is room."""
    while cells(text) > most:
        text = text[1:]
    return text


def cut_plain(text: str, most: int) -> str:
    """The beginning of a text that is longer than there is room."""
    while cells(text) > max(most, 0):
        text = text[:-1]
    return text


def _wrapped(words: Sequence[Word], width: int) -> Iterator[list[Word]]:
    line: list[Word] = []
    used = 0
    for word in words:
        size = sum(cells(bit.text) for bit in word)
        if line and used + 1 + size > width:
            yield line
            line, used = [], 0
        used += size + (1 if line else 0)
        line.append(word)
    if line:
        yield line


def _line(words: Sequence[Word], width: int) -> Row:
    canvas = Canvas(width, 1, _TEXT)
    x = 0
    for at, word in enumerate(words):
        x += 1 if at else 0
        for bit in word:
            x = canvas.put(x, 0, bit.text, bit.paint)
    return canvas.rows()[0]


# What is said beside it


def _said(sight: Sight, width: int) -> Iterator[Row]:
    """What to write into the blank at work, or what was answered to the last key."""
    if sight.said:
        yield from _told(Finding("!", sight.said), width)
    else:
        yield from _told(at_work(sight.filling, sight.outcome), width)


def _more(sight: Sight, at: Sizes) -> Iterator[Row]:
    """All else that is wrong, what she should know, and, where there is no stage, the figures."""
    for finding in beside(sight.filling, sight.outcome):
        yield _blank(at.width)
        yield from _told(finding, at.width)
    last = sight.outcome.last
    if at.stage_x or last is None:
        return
    yield _blank(at.width)
    for line in in_lines(_counts(sight)):
        yield from _told(Finding(":", line), at.width)
    yield _blank(at.width)
    yield from sock_rows(last.pattern, at.width, 10)


_SIGNS = {
    "!": (_WRONG, _SIGN, _LOUD), "?": (_KNOW, _SIGN, _TEXT), "=": ("=", _TEXT, _MUTED),
    ":": ("", _TEXT, _TEXT), "": ("", _MUTED, _MUTED),
}  # fmt: skip


def _told(finding: Finding, width: int) -> Iterator[Row]:
    sign, sign_paint, paint = _SIGNS[finding.sign]
    indent = 2 if sign else 0
    clean = shorten(finding.text, 600)
    start = len(clean) - len(clean.lstrip())
    room = max(width - indent, 8)
    lines = wrap(clean, room, subsequent_indent=" " * start, break_on_hyphens=False)
    for at, line in enumerate(lines):
        canvas = Canvas(width, 1, paint)
        # What she should know has its bar on all its lines.
        if sign and (not at or finding.sign == "?"):
            canvas.put(0, 0, sign, sign_paint)
        canvas.put(indent, 0, line, paint)
        yield canvas.rows()[0]


# The stage


def _stage(sight: Sight, at: Sizes) -> Sequence[Row]:
    last = sight.outcome.last
    if last is None:
        return waiting_stage(at.stage_width, at.rows)
    paint = full_stage if at.full else small_stage
    return paint(last.pattern, _counts(sight), at.stage_width, at.rows, plain=sight.plain)


def _counts(sight: Sight) -> Counts:
    last = sight.outcome.last
    assert last is not None  # noqa: S101 - who asks has looked
    return counts(last.pattern, stale=sight.outcome.opened is None)


# Rows


def _blank(width: int) -> Row:
    return Canvas(width, 1, _TEXT).rows()[0] if width else ()


def _padded(line: Row, width: int) -> Row:
    used = sum(cells(span.text) for span in line)
    return (*line, *_blank(max(width - used, 0)))
