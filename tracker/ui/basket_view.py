"""The basket as rows of cells: a card for every pair in view, the one chosen on the stage's background.

Every size has a layout of its own; what has no room is left out, and no word is cut.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from tracker.pair_card import Card
from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Row, Rows, Span, cells, cut
from tracker.ui.footer import Entry, put_keys
from tracker.ui.palette import Paint
from tracker.ui.sock_drawing import draw_sock, size_of
from tracker.ui.work_bar import put_bar

_HEAD, _TEXT, _MUTED = Paint("text", "page", True), Paint("text", "page"), Paint("muted", "page")
_GROUND, _TITLE, _QUIET = (
    Paint("text", "stage"),
    Paint("text", "stage", True),
    Paint("muted", "stage"),
)
_LOUD = Paint("accent", "stage", True)
_CHOSEN = "\u25ba"
_NAMES = ("one", "two")
_SOCK = 13
"""Columns of a sock that is drawn."""


class Layout(NamedTuple):
    """Where the parts of a card stand: columns of the screen, rows of the card.

    `band` is the first column of its background and how many follow, `sign` the column of the chosen
    one's sign. `socks` are the columns at which socks are drawn, in `drawn` rows from row `sock_row` on.
    `x` to `end` is the text. A row of -1 is left out. `bars` are the cells of each work bar, 0 where they
    take what there is.
    """

    top: int
    rows: int
    band: tuple[int, int]
    sign: int
    socks: tuple[int, ...]
    sock_row: int
    drawn: int
    x: int
    end: int
    title: int
    place: int
    place_lines: int
    left: int
    bars: int
    bar_row: int
    step: int

    def in_view(self, height: int) -> int:
        """Cards that there is room for on a screen of so many rows; at least one."""
        keys = 1 if self.top else 0
        return max((height - self.top - keys) // self.rows, 1)


def layout_for(width: int, height: int, *, named_only: bool = False) -> Layout:
    """The layout of a screen of `width` x `height` cells; `named_only`: of what has a name and no more."""
    at = _layout(width, height)
    if not named_only or at.rows == 3:
        return at
    return at._replace(
        rows=3, socks=(), x=at.sign + 2, title=0, place=1, place_lines=1, left=-1, bar_row=-1, step=-1
    )  # fmt: skip


def _layout(width: int, height: int) -> Layout:
    if width >= 112 and height >= 34:
        left = (width - 120) // 2
        return Layout(
            top=2, rows=8, band=(max(left + 2, 0), min(116, width)), sign=left + 4,
            socks=(left + 6, left + 22), sock_row=1, drawn=6, x=left + 38, end=left + 114,
            title=1, place=2, place_lines=1, left=3, bars=20, bar_row=5, step=6,
        )  # fmt: skip
    if width >= 72 and height >= 22:
        left = max(width - 110, 0) // 2
        return Layout(
            top=1, rows=7, band=(left + 1, width - 2 * left - 2), sign=left + 1,
            socks=(left + 4, left + 19), sock_row=0, drawn=6, x=left + 35, end=width - left - 3,
            title=0, place=1, place_lines=2, left=3, bars=0, bar_row=4, step=5,
        )  # fmt: skip
    if width >= 52 and height >= 10:
        return Layout(
            top=1, rows=6, band=(0, width), sign=0, socks=(3,), sock_row=0, drawn=5, x=19, end=width - 2,
            title=0, place=1, place_lines=1, left=2, bars=0, bar_row=3, step=4,
        )  # fmt: skip
    if width >= 36 and height >= 8:
        return Layout(
            top=1, rows=3, band=(0, width), sign=0, socks=(), sock_row=0, drawn=0, x=2, end=width - 1,
            title=0, place=1, place_lines=1, left=-1, bars=5, bar_row=2, step=2,
        )  # fmt: skip
    return Layout(
        top=0, rows=3, band=(0, width), sign=0, socks=(), sock_row=0, drawn=0, x=2, end=width,
        title=0, place=1, place_lines=1, left=-1, bars=0, bar_row=-1, step=2,
    )  # fmt: skip


class Item(NamedTuple):
    """A pair in view: its card and how long since it was touched."""

    card: Card
    ago: str


class Sight(NamedTuple):
    """What is shown: the heading and what it counts, the items in view and which of them is chosen.

    `named_only`: they have a name, and are no pairs.
    """

    heading: str
    counts: tuple[str, ...]
    items: tuple[Item, ...]
    chosen: int
    said: str = ""
    clock: str = ""
    keys: tuple[Entry, ...] = ()
    named_only: bool = False


def page_rows(sight: Sight, width: int, height: int) -> Rows:
    """The whole screen."""
    at = layout_for(width, height, named_only=sight.named_only)
    rows = list(Canvas(width, height, _TEXT).rows())
    if at.top:
        _put_rows(rows, 0, [_heading(sight, at, width)])
    y = at.top
    for number, item in enumerate(sight.items[: at.in_view(height)]):
        _put_rows(rows, y, _card_rows(item, number == sight.chosen, at, width))
        y += at.rows
    if at.top:
        _put_rows(rows, height - 1, [_keys(sight, at, width)])
    _say(rows, sight, at, y, width)
    return tuple(rows)


def _put_rows(rows: list[Row], y: int, more: Sequence[Row]) -> None:
    """Lay rows over others from `y` on, as far as there are any."""
    for at, row in enumerate(more, start=y):
        if 0 <= at < len(rows):
            rows[at] = row


def _heading(sight: Sight, at: Layout, width: int) -> Row:
    canvas, margin = Canvas(width, 1, _TEXT), _margin(at)
    x = canvas.put(margin, 0, sight.heading, _HEAD) + 2
    end = canvas.put_right(at.end, 0, sight.clock, _MUTED) - 2
    x = max(x, at.x) if at.socks[1:] else x + 1
    canvas.put(x, 0, fit(sight.counts, end - x), _TEXT)
    return canvas.rows()[0]


def _margin(at: Layout) -> int:
    return at.socks[0] if at.socks else at.x if at.sign else at.x - 1


def _keys(sight: Sight, at: Layout, width: int) -> Row:
    canvas, x, gap = Canvas(width, 1, _TEXT), _margin(at), 3 if at.rows == 8 else 2
    put_keys(canvas, x, 0, at.end, sight.keys, gap)
    return canvas.rows()[0]


def _say(rows: list[Row], sight: Sight, at: Layout, y: int, width: int) -> None:
    """What is said, in the rows that the cards leave above the keys; where they leave none, over the last."""
    if not sight.said:
        return
    margin = _margin(at)
    lines = wrap(sight.said, max(at.end - margin, 1))
    last = len(rows) - (1 if at.top else 0)
    first = max(min(y, last - len(lines)), min(at.top, last - 1), 0)
    for line in lines[: last - first]:
        canvas = Canvas(width, 1, _TEXT)
        canvas.put(margin, 0, line, _HEAD)
        _put_rows(rows, first, [canvas.rows()[0]])
        first += 1


# A card


def _card_rows(item: Item, chosen: bool, at: Layout, width: int) -> list[Row]:
    """A card's rows, as wide as the screen."""
    card, (band, across) = item.card, at.band
    canvas = Canvas(width, at.rows, _GROUND)
    _sign_and_title(canvas, item, chosen, at)
    if card.trouble:
        _trouble(canvas, card, at)
    else:
        _lines(canvas, card, at)
    _socks(canvas, card, at, "stage" if chosen else "page")
    rows = [_clipped(row, band, across, width) for row in canvas.rows()]
    return rows if chosen else [_on_page(row) for row in rows]


def _sign_and_title(canvas: Canvas, item: Item, chosen: bool, at: Layout) -> None:
    if chosen:
        canvas.put(at.sign, at.title, _CHOSEN, _LOUD)
    end = at.end
    if cells(item.ago) + 12 < at.end - at.x:
        end = canvas.put_right(at.end, at.title, item.ago, _QUIET) - 2
    titles = filter(None, (item.card.title, item.card.name))
    canvas.put(at.x, at.title, fit(tuple(titles), end - at.x), _TITLE)


def _lines(canvas: Canvas, card: Card, at: Layout) -> None:
    room = at.end - at.x
    for y, line in enumerate(_fit_lines(card.place, room, at.place_lines), start=at.place):
        canvas.put(at.x, y, line, _GROUND)
    if at.left >= 0:
        canvas.put(at.x, at.left, fit(card.left, room), _QUIET)
    x = _bars(canvas, card, at)
    paint = _LOUD if card.differs else _GROUND
    if at.step < 0:
        return
    if at.step != at.bar_row:
        canvas.put(at.x, at.step, fit(card.step, room), paint)
    else:
        canvas.put_right(at.end, at.step, fit(card.step, at.end - x), paint)


def _bars(canvas: Canvas, card: Card, at: Layout) -> int:
    """The work of both socks, each with its name; returns the column after them."""
    if at.bar_row < 0 or card.shares is None:
        return at.x
    many = at.bars or (at.end - at.x - 12) // 2
    x, gap = at.x, 2 if at.bars != 20 else 5
    for name, share in zip(_NAMES, card.shares, strict=True):
        canvas.put(x, at.bar_row, name, _QUIET)
        x += 5 if at.bars == 20 else 4
        put_bar(canvas, x, at.bar_row, many, share)
        x += many + gap
    return x - gap + 1


def _trouble(canvas: Canvas, card: Card, at: Layout) -> None:
    """Why the pair cannot be opened, in as many lines as the card has; else that it cannot."""
    lines = wrap(card.trouble, at.end - at.x)
    room = at.rows - at.place - (1 if at.rows > 3 else 0)
    if len(lines) > room:
        lines = [*lines[: room - 1], f"{fit((lines[room - 1],), at.end - at.x - 4)} ..."]
    for y, line in enumerate(lines[:room], start=at.place):
        canvas.put(at.x, y, line, _LOUD)


def _socks(canvas: Canvas, card: Card, at: Layout, ground: str) -> None:
    """Both socks where there is room for two, else the one in hand, on one scale."""
    drawn = [picture for picture in card.pictures if picture is not None]
    if not drawn or not at.socks:
        return
    size = size_of(drawn, _SOCK, at.drawn)
    wanted = card.pictures if len(at.socks) > 1 else (card.pictures[card.hand],)
    for x, picture in zip(at.socks, wanted, strict=True):
        if picture is not None:
            draw_sock(canvas, x, at.sock_row, picture, size, ground=ground)


def _on_page(row: Row) -> Row:
    """A row that does not stand out: what was drawn on the stage, on the page."""
    return tuple(Span(span.text, _of_page(span.paint)) for span in row)


def _of_page(paint: Paint) -> Paint:
    return paint._replace(ground="page") if paint.ground == "stage" else paint


def _clipped(row: Row, band: int, across: int, width: int) -> Row:
    """A row whose first and last cells, beyond the band, stand on the page."""
    found: list[Span] = []
    x = 0
    for span in row:
        for part, inside in _parts(span.text, x, band, band + across):
            ground = span.paint.ground
            paint = (
                span.paint if inside or ground != "stage" else span.paint._replace(ground="page")
            )
            found.append(Span(part, paint))
        x += cells(span.text)
    return tuple(found)


def _parts(text: str, x: int, first: int, end: int) -> Iterator[tuple[str, bool]]:
    """A text that begins at `x` in runs that lie inside `first` to `end`, or do not."""
    run, within = "", False
    for char in text:
        inside = first <= x < end
        if run and inside != within:
            yield run, within
            run = ""
        run, within = run + char, inside
        x += cells(char)
    if run:
        yield run, within


# Words that fit


def fit(told: Sequence[str], room: int) -> str:
    """The longest of them that has room; of the shortest as many words as have."""
    for text in told:
        if cells(text) <= room:
            return text
    return _whole_words(told[-1], room) if told else ""


def _fit_lines(told: Sequence[str], room: int, lines: int) -> list[str]:
    """The longest of them that has room in so many lines."""
    for text in told:
        wrapped = wrap(text, max(room, 1))
        if len(wrapped) <= lines and all(cells(line) <= room for line in wrapped):
            return wrapped
    return [fit(told, room)]


def _whole_words(text: str, room: int) -> str:
    """As many words as have room, and dots; of a single long word its beginning."""
    kept = ""
    for word in text.split():
        longer = f"{kept} {word}".lstrip()
        if cells(longer) + 4 > room:
            break
        kept = longer
    return f"{kept.rstrip(',;:')} ..." if kept else cut(text, max(room, 0))
