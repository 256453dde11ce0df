"""The two socks side by side as rows of cells: both drawn with the ledger between them, then the rest.

Where there is little room the drawings go, and all of it is a list.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker import side_by_side_words as said
from tracker.forecast.series import HARDLY_ANY
from tracker.side_by_side import SideBySide
from tracker.side_by_side_words import Entry, Told
from tracker.ui.canvas import Canvas, Row, Rows, cells, cut
from tracker.ui.footer import Entry as Key
from tracker.ui.page import list_rows, margin_of, with_lines
from tracker.ui.palette import Paint
from tracker.ui.scrolled import blank, wrapped
from tracker.ui.sock_drawing import Size, draw_sock, put_key, size_of
from tracker.ui.work_bar import DONE, TODO, put_bar
from tracker.units import shorten, whole

_TEXT, _LOUD = Paint("text", "page"), Paint("text", "page", True)
_MUTED = Paint("muted", "page")
_ON_STAGE, _LOUD_ON_STAGE = Paint("text", "stage"), Paint("text", "stage", True)
_MUTED_ON_STAGE = Paint("muted", "stage")
_HERE = "\u25ba"
_SECTION_END = "\u2502"
DRAWN_FROM = 70
"""Cells from which the socks are drawn."""
_NAMES, _FIGURES, _LEDGER = 13, 6, 38
"""Cells of the ledger: its names, a column of figures, and all of it."""
_HEADED = 1
"""The row of the band in which its text begins."""
_TALL = 24
"""Lines from which the band has a free row at its foot, too."""
_LARGEST = 28, 14
"""Columns and rows of a drawing where there is room."""


def lines(pair: SideBySide, width: int, height: int) -> list[Row]:
    """All there is, in rows of `width` cells; `height` are those that are seen at once."""
    drawn = [picture for picture in pair.pictures if picture]
    found: list[Row] = []
    if width >= DRAWN_FROM and len(drawn) == 2:
        columns = min((width - _LEDGER) // 2 - 3, _LARGEST[0])
        size = size_of(drawn, columns, min(max(height - 4, 8), _LARGEST[1]))
        found += _both_drawn(pair, width, size, below=int(height >= _TALL))
    else:
        found += [_line(entry, width) for entry in _ledger_lines(pair)]
    found += _bars(pair, width)
    found.append(blank(width))
    found += _wrapped(said.verdict(pair), width, _LOUD)
    for part in said.parts(pair):
        found += [blank(width), *_part(part, width)]
    return found


def page_rows(
    pair: SideBySide, shown: Sequence[Row], top: int, keys: Sequence[Key], width: int, height: int
) -> Rows:
    """The whole screen: what it is, the lines in view from `top` on, and the keys."""
    canvas, margin = Canvas(width, height, _TEXT), margin_of(width)
    x = canvas.put(margin, 0, "Side by side", _LOUD) + 2
    in_view = list_rows(height)
    last = min(top + in_view, len(shown))
    far = f"{top + 1} to {last} of {len(shown)}" if len(shown) > in_view else ""
    end = canvas.put_right(width - margin, 0, far, _MUTED) - 2
    canvas.put(x, 0, cut(shorten(pair.glance.title, 80), max(end - x, 0)), _MUTED)
    return with_lines(canvas, shown[top : top + in_view], keys)


# Both drawn, and the ledger


def _both_drawn(pair: SideBySide, width: int, size: Size, below: int) -> list[Row]:
    """Both socks with the ledger between them; `below` are free rows at the foot of the band."""
    entries = said.ledger(pair)
    yarns = said.yarns(pair)
    rows = max(size.rows, len(entries) + 1) + 2
    canvas = Canvas(width, _HEADED + rows + 2 * bool(yarns) + below, _ON_STAGE)
    second = width - size.columns - 2
    for number, (x, picture) in enumerate(zip((2, second), pair.pictures, strict=True), start=1):
        label = said.where(pair, number)
        canvas.put(max(0, min(x, width - cells(label) - 2)), _HEADED, label, _LOUD_ON_STAGE)
        here = pair.glance.socks[number - 1]
        if picture is not None:
            draw_sock(canvas, x, _HEADED + 2, picture, size, str(here.done) if here.begun else "")
    first_ends = size.columns + 2
    _ledger(canvas, entries, first_ends + (second - first_ends - _LEDGER) // 2)
    if yarns:
        put_key(canvas, 2, _HEADED + rows + 1, yarns, _MUTED_ON_STAGE)
    return list(canvas.rows())


def _ledger(canvas: Canvas, entries: Sequence[Entry], x: int) -> None:
    one, two = x + 2 + _NAMES + _FIGURES, x + 2 + _NAMES + 2 * _FIGURES
    canvas.put_right(one, _HEADED + 2, "one", _MUTED_ON_STAGE)
    canvas.put_right(two, _HEADED + 2, "two", _MUTED_ON_STAGE)
    for y, entry in enumerate(entries, start=_HEADED + 3):
        paint = _LOUD_ON_STAGE if any(entry.here) or entry.apart else _ON_STAGE
        canvas.put(x, y, _HERE if any(entry.here) else " ", _LOUD_ON_STAGE)
        canvas.put(x + 2, y, cut(entry.name, _NAMES - 1), paint)
        canvas.put_right(one, y, entry.one, paint)
        canvas.put_right(two, y, entry.two, paint)
        canvas.put(two + 2, y, entry.differs, paint)


def _ledger_lines(pair: SideBySide) -> Iterator[tuple[str, Paint]]:
    """The same where there are no drawings: "> leg          46    34  12 to go"."""
    for number in (1, 2):
        yield said.where(pair, number), _TEXT
    yield f"  {'':{_NAMES}}{'one':>{_FIGURES}}{'two':>{_FIGURES}}", _MUTED
    for entry in said.ledger(pair):
        mark = _HERE if any(entry.here) else " "
        figures = f"{entry.one:>{_FIGURES}}{entry.two:>{_FIGURES}}"
        name = cut(entry.name, _NAMES - 1)
        name += " " * (_NAMES - cells(name))
        paint = _LOUD if any(entry.here) or entry.apart else _TEXT
        yield f"{mark} {name}{figures}  {entry.differs}", paint


# The work of both on one scale


def _bars(pair: SideBySide, width: int) -> list[Row]:
    """A bar for each sock, with a mark at the end of every section."""
    canvas = Canvas(width, 4, _TEXT)
    x = 6
    room = width - x
    for y, (name, sock) in enumerate(zip(("one", "two"), pair.glance.socks, strict=True), start=1):
        canvas.put(0, y, name, _MUTED)
        done = put_bar(canvas, x, y, room, sock.share)
        for end in _ends(pair, room):
            canvas.put(x + end, y, _SECTION_END, DONE if end < done else TODO)
    _names(canvas, pair, x, room)
    return list(canvas.rows())


def _names(canvas: Canvas, pair: SideBySide, x: int, room: int) -> None:
    """Below the bars the sections, each from its beginning, as far as there is room."""
    begins, taken = 0, 0
    for entry, line in zip(said.ledger(pair), pair.lines, strict=True):
        if line.share is None:
            return
        ends = whole(line.share * room)
        has_room = begins < ends and taken <= x + begins <= x + room - cells(entry.name)
        if has_room and line.section not in HARDLY_ANY:
            taken = canvas.put(x + begins, 3, entry.name, _MUTED) + 1
        begins = ends


def _ends(pair: SideBySide, room: int) -> list[int]:
    ends = (whole(line.share * room) for line in pair.lines if line.share is not None)
    return [end for end in dict.fromkeys(ends) if 0 < end < room]


# All the rest, in lines


def _part(part: Told, width: int) -> Iterator[Row]:
    yield _line((part.heading, _MUTED), width)
    longest = max((cells(line[0]) for line in part.lines if len(line) > 1), default=0)
    column = longest + 3 if longest <= width // 2 - 4 else 0
    for line in part.lines:
        first, *more = line
        text = "   ".join(filter(None, more))
        if not text:
            yield from _wrapped(first, width - 2, _TEXT, 2)
        elif column:
            yield from _columns(first, text, column, width)
        else:
            yield from _wrapped(first, width - 2, _TEXT, 2)
            yield from _wrapped(text, width - 4, _TEXT, 4)


def _columns(first: str, text: str, column: int, width: int) -> Iterator[Row]:
    """A row of a table; what is long runs on below itself."""
    for at, line in enumerate(wrapped(text, width - 2 - column)):
        head = first if not at else ""
        yield _line((f"  {head}{' ' * (column - cells(head))}{line}", _TEXT), width)


def _wrapped(text: str, width: int, paint: Paint, indent: int = 0) -> Iterator[Row]:
    for at, line in enumerate(wrapped(text, width - 2)):
        yield _line((" " * (indent + 2 * bool(at)) + line, paint), width + indent)


def _line(told: tuple[str, Paint], width: int) -> Row:
    canvas = Canvas(width, 1, _TEXT)
    canvas.put(0, 0, *told)
    return canvas.rows()[0]
