"""The stage: done on the left, next in the middle, the needles on the right, always there.

A number, a word and a picture cannot be taken for one another. At the end of a round the whole
stage turns over, and the ring closes.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from tracker.records import NamedTuple
from tracker.ui.canvas import GLASS, Canvas, Layer, Row, Rows, Span, cells, cut, fitting
from tracker.ui.grid import Box, Grid, Size, StagePlan
from tracker.ui.heel_row import HeelSight, heel_rows
from tracker.ui.lettering import numerals, word
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint, yarn
from tracker.ui.ring import RingSight, ring_rows
from tracker.ui.work import Work, phrases
from tracker.ui.work_column import draw_work, fold
from tracker.ui.wrapping import wrap

_TEXT, _BOLD, _MUTED = Paint("text"), Paint("text", bold=True), Paint("muted")
_ACCENT, _PLATE = Paint("accent", bold=True), Paint("on-accent", "accent")
_TURNED = {
    "stage": "turned",
    "text": "on-turned",
    "muted": "muted-on-turned",
    "quiet": "muted-on-turned",
    "accent": "on-turned",
    "on-accent": "turned",
}


_CHIP = 3
"""Cells of a chip of yarn and the room after it."""


class DonePart(NamedTuple):
    """The rows done, and "of 45, as on sock one", longest first."""

    rounds: int
    of: tuple[str, ...]


class Chip(NamedTuple):
    """A yarn that is shown: the clean names of all that the sock is knitted in, and its place among them."""

    yarns: tuple[str, ...]
    place: int


class NextPart(NamedTuple):
    """The row to come: "round 35", its side (flat), its word, whether it is loud, its work.

    `word` is that of the needle at work where she counts them, `round_word` the whole round's;
    two words stand one below the other. `card` lines, title first, take the place of word and
    work, or stand below the word where there is one; `brief` is the same in few words. `ended`
    is "round 34" while END OF ROUND stands where the word stood. `colour` is the yarn's, longest first.
    """

    row: str
    side: str
    word: str
    loud: bool
    work: Work
    card: tuple[str, ...] = ()
    ended: str = ""
    brief: tuple[str, ...] = ()
    round_word: str = ""
    colour: tuple[str, ...] = ()
    chip: Chip | None = None
    """The yarn itself; it stands before the words where there is room."""
    row_brief: tuple[str, ...] = ()
    """The row in fewer words, longest first, where `row` and the side do not fit."""


class NeedlesPart(NamedTuple):
    """The picture, its sentence, and the key at the sentence's right end."""

    picture: RingSight | HeelSight
    caption: str
    key: str
    key_loud: bool


class StageSight(NamedTuple):
    """All three places, and whether the stage is turned over."""

    done: DonePart
    next: NextPart
    needles: NeedlesPart
    turned: bool


class Stage(Painted[StageSight]):
    """The tonal band with the three places on it."""

    counts_a_tap = True

    def paint(self, sight: StageSight, grid: Grid) -> Rows:
        """Rows of the stage's place in `grid`."""
        assert grid.stage is not None  # noqa: S101 - grids with a stage have its plan
        return stage_rows(sight, grid.places["stage"], grid.stage, grid.size)


def stage_rows(sight: StageSight, box: Box, plan: StagePlan, size: Size) -> Rows:
    """The whole stage, `box.width` x `box.height` cells."""
    canvas = Canvas(box.width, box.height, Paint())
    place = _Place(box.width, box.height, plan, size)
    if sight.next.card and plan.card_alone:
        _draw_card(canvas, plan, sight.next)
    else:
        canvas.lay(_done(place, sight.done))
        _draw_next(canvas, plan, sight.next, size)
    # A card that reaches over the ring hides it: nothing is on the needles yet that it could tell.
    if plan.ring is not None and not (sight.next.card and plan.card.width > plan.next.width):
        canvas.lay(_needles(place, plan.ring, sight.needles))
    rows = canvas.rows()
    return tuple(_turn(row) for row in rows) if sight.turned else rows


class _Place(NamedTuple):
    """The stage's size in cells, where everything stands on it, and which grid it is of."""

    width: int
    height: int
    plan: StagePlan
    size: Size

    def glass(self) -> Canvas:
        """To draw one place on."""
        return Canvas(self.width, self.height, GLASS)


# What a key leaves as it is, and needles that come again every round, are not drawn anew.


@lru_cache(maxsize=16)
def _done(place: _Place, done: DonePart) -> Layer:
    canvas = place.glass()
    _draw_done(canvas, place.plan, done, place.size)
    return canvas.layer()


@lru_cache(maxsize=32)
def _needles(place: _Place, ring: Box, part: NeedlesPart) -> Layer:
    canvas = place.glass()
    _draw_needles(canvas, place.plan, ring, part)
    return canvas.layer()


@lru_cache(maxsize=64)
def _turn(row: Row) -> Row:
    return tuple(Span(text, turned(paint)) for text, paint in row)


@lru_cache(maxsize=64)
def turned(paint: Paint) -> Paint:
    """`paint` as it is on the turned stage: ink on wool instead of wool on ink."""
    return Paint(
        _TURNED.get(paint.ink, paint.ink), _TURNED.get(paint.ground, paint.ground), paint.bold
    )


def _draw_done(canvas: Canvas, plan: StagePlan, done: DonePart, size: Size) -> None:
    box = plan.done
    x = canvas.put(box.x, box.y, "done", _MUTED) + 2
    heights: tuple[Literal[5, 7], ...] = (7, 5) if size != "small" else (5,)
    for rows in heights:
        figures = numerals(done.rounds, rows, whole=plan.plain)
        if len(figures[0]) <= box.width:
            canvas.letter(box.x, plan.numerals, figures, _TEXT)
            break
    else:
        canvas.put(box.x, plan.numerals + 2, str(done.rounds), _BOLD)
    x = x if plan.of == box.y else box.x
    canvas.put(x, plan.of, fitting(done.of, box.x + box.width - x), _MUTED)


def _draw_next(canvas: Canvas, plan: StagePlan, part: NextPart, size: Size) -> None:
    box = plan.next
    x = canvas.put(box.x, box.y, "next", _MUTED) + 2
    if part.row:
        room = box.x + box.width - x - (cells(part.side) + 1 if part.side else 0)
        row = fitting((part.row, *part.row_brief), room) if part.row_brief else part.row
        x = canvas.put(x, box.y, row, _BOLD) + (2 if size == "full" else 1)
    if part.round_word and part.word and part.word != part.round_word and not part.ended:
        # The needle at work is plain: that the round is not must not be forgotten.
        x = canvas.put(x, box.y, part.round_word.lower(), _BOLD) + 2
    if part.side:
        x = canvas.put(x, box.y, part.side, _ACCENT) + 2
    if part.ended:
        _draw_end(canvas, plan, part, x)
        return
    _draw_colour(canvas, box, x, part)
    if part.card:
        _draw_card(canvas, plan, part)
    elif part.word and plan.work_beside:
        end = _draw_word(canvas, plan, plan.word, part.word, part.loud)
        x = max(plan.work.x, end + 2)
        room = plan.work.x + plan.work.width - x
        draw_work(canvas, plan.work._replace(x=x, width=room), part.work, size)
    elif part.word:
        y = max(_draw_words(canvas, plan, part), plan.work.y)
        rows = min(plan.work.height, box.y + box.height - y)
        draw_work(canvas, plan.work._replace(y=y, height=rows), part.work, size)


def _draw_colour(canvas: Canvas, box: Box, x: int, part: NextPart) -> None:
    """The yarn's colour at the end of the label's line: a chip and as many words as find room there."""
    for text in part.colour:
        if x + cells(text) <= box.x + box.width:
            if x + _CHIP + cells(text) <= box.x + box.width and part.chip:
                from tracker.ui.sock_drawing import texture

                paint = Paint("text", yarn(part.chip.place, part.chip.yarns))
                x = canvas.put(x, box.y, texture(part.chip.place) * (_CHIP - 1), paint) + 1
            canvas.put(x, box.y, text, _TEXT)
            return


def _draw_words(canvas: Canvas, plan: StagePlan, part: NextPart) -> int:
    """The word, or two of them one below the other; returns the row after them."""
    y = plan.word
    for text in part.word.split():
        _draw_word(canvas, plan, y, text, part.loud)
        y += plan.word_rows
    return y


def _draw_word(canvas: Canvas, plan: StagePlan, y: int, text: str, loud: bool) -> int:
    """The word: thick and amber, or thin and muted; in three rows a loud one is cut out of a plate.

    Returns the column after it.
    """
    box = plan.card if plan.card_alone else plan.next
    x, width = box.x, box.width
    if plan.plain:
        return _write_word(canvas, Box(x, y, width, plan.word_rows), text, loud)
    tall = plan.word_rows == 4
    letters = word(text, plan.word_rows, thick=loud)
    if len(letters[0]) + (2 if loud and not tall else 0) > width:
        paint = _ACCENT if loud else _MUTED._replace(bold=True)
        return canvas.put(x, y + 1, cut(text, width), paint)
    if loud and not tall:
        canvas.fill(x, y, len(letters[0]) + 2, 3, _PLATE)
        canvas.letter(x + 1, y, letters, _PLATE)
        return x + len(letters[0]) + 2
    canvas.letter(x, y, letters, _ACCENT if loud else _MUTED)
    return x + len(letters[0])


def _write_word(canvas: Canvas, box: Box, text: str, loud: bool) -> int:
    """The word in letters: a loud one on a plate of three rows, both wider spaced where there is room.

    Returns the column after it.
    """
    wide = " ".join(text)
    told = wide if cells(wide) + 2 <= box.width else cut(text, box.width)
    if not loud:
        return canvas.put(box.x, box.y + 1, told, _MUTED._replace(bold=True))
    plate = min(cells(told) + 2, box.width)
    canvas.fill(box.x, box.y, plate, 3, _PLATE)
    canvas.put(box.x + 1, box.y + 1, cut(told, box.width - 2), _PLATE._replace(bold=True))
    return box.x + plate


def _draw_end(canvas: Canvas, plan: StagePlan, part: NextPart, x: int) -> None:
    """END OF ROUND where the word was; what comes next stands in the label's line."""
    column, y, rows = plan.next, plan.word, plan.word_rows
    coming = (part.round_word or part.word).lower()
    if plan.work_beside:
        x = canvas.put(x, column.y, coming, _BOLD) + 2
        x = _draw_coming(canvas, Box(x, column.y, column.x + column.width - x, 1), part, "") + 2
        _draw_colour(canvas, column, x, part)
        _draw_plainly(canvas, plan, y, "END OF ROUND", rows)
        return
    if len(word("END OF", rows, thick=True)[0]) <= column.width and plan.ring:
        _draw_colour(canvas, column, canvas.put(x, column.y, coming, _BOLD) + 2, part)
        y -= rows == 4  # a free row before what comes next
        for at, text in enumerate(("END OF", "ROUND")):
            _draw_plainly(canvas, plan, y + at * rows, text, rows)
        y += 2 * rows
        _draw_coming(
            canvas, Box(column.x, y, column.width, column.y + column.height - y), part, "next"
        )
        return
    narrow = len(word("END", 4, thick=True)[0]) > column.width
    _draw_plainly(canvas, plan, y, "END", 3 if narrow else 4)
    canvas.put(column.x, y + 4, cut(f"of {part.ended}", column.width), _BOLD)
    y += 5
    box = Box(column.x, y, column.width, column.y + column.height - y)
    _draw_coming(canvas, box, part, f"next {coming},")


def _draw_plainly(canvas: Canvas, plan: StagePlan, y: int, text: str, rows: Literal[3, 4]) -> None:
    """A word in the stage's own ink, with no plate."""
    if plan.plain:
        canvas.put(plan.next.x, y + 1, " ".join(text), _BOLD)
    else:
        canvas.letter(plan.next.x, y, word(text, rows, thick=rows == 4), _TEXT)


def _draw_coming(canvas: Canvas, box: Box, part: NextPart, label: str) -> int:
    """The work of the round to come, with END OF ROUND; returns the column after it."""
    labels = (f"{label} ", "") if label else ("",)
    lines = fold(phrases(part.work, labels), box.width, box.height)
    shown, x = lines[: box.height], box.x
    # In its last rows, beside what else is said below.
    for y, line in enumerate(shown, start=box.y + box.height - len(shown)):
        x = canvas.put(box.x, y, line, _TEXT)
    return x


def card_rows(part: NextPart, width: int) -> int:
    """The rows a small screen of `width` cells needs for the card in few words, 0 for none."""
    if not part.card:
        return 0
    return len(_wrapped(part.brief or part.card, width)) + (3 if part.word else 0)


def _wrapped(card: tuple[str, ...], width: int) -> list[str]:
    return [piece for line in card for piece in wrap(line, width)]


def _draw_card(canvas: Canvas, plan: StagePlan, part: NextPart) -> None:
    """The card below its word, if it has one: in full, in few words, or as many of these as fit."""
    box, y = plan.card, plan.word
    if part.word:
        y = _draw_words(canvas, plan, part)
        y += 1 if plan.work.y > y else 0
    room = box.y + box.height - y
    brief = part.brief or part.card
    # What stands last is missed least: what is done, or which key comes next.
    fewer = (brief[:count] for count in range(len(brief), 0, -1))
    cards = [_wrapped(card, box.width) for card in (part.card, *fewer)]
    lines = next((card for card in cards if len(card) <= room), cards[-1][:room])
    title = len(wrap(part.card[0], box.width)) if lines is cards[0] else 1
    for row, text in enumerate(lines):
        canvas.put(box.x, y + row, text, _BOLD if row < title else _TEXT)


def _draw_needles(canvas: Canvas, plan: StagePlan, box: Box, part: NeedlesPart) -> None:
    picture, caption = part.picture, plan.caption
    rows = (
        ring_rows(picture, box.width)
        if isinstance(picture, RingSight)
        else heel_rows(picture, box.width, plain=plan.plain)
    )
    for y, row in enumerate(rows, start=box.y):
        x = box.x
        for text, paint in row:
            x = canvas.put(x, y, text, paint)
    sentence, key = _caption(part, box.width)
    canvas.put_right(box.x + box.width, caption, key, _key_paint(part))
    room = box.width - cells(key) - 1 if key else box.width
    canvas.put(box.x, caption, cut(sentence, room), _MUTED)


def _caption(part: NeedlesPart, width: int) -> tuple[str, str]:
    """The sentence and the key beside it: the first pair that fits; a quiet key goes first."""
    bare = part.caption.replace(" needles done", " done").removeprefix("needle ")
    short = part.key.replace("marker ", "")
    pairs = [(part.caption, part.key), (bare, part.key), (bare, short if part.key_loud else "")]
    fits = (pair for pair in pairs if cells(pair[0]) + cells(pair[1]) < width)
    return next(fits, (bare, ""))


def _key_paint(part: NeedlesPart) -> Paint:
    if not part.key_loud:
        return _MUTED
    return _ACCENT if isinstance(part.picture, HeelSight) else _BOLD
