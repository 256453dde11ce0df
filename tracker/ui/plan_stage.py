"""What follows from a plan: the stitches to cast on, large, the sock drawn, and its counts."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from tracker.drawing import Picture, picture
from tracker.knitting.course import Course
from tracker.knitting.fold import USUAL_PACE
from tracker.pattern.model import CLOSED_BY, LATE_HEEL, Pattern
from tracker.pattern.scores import AT_95
from tracker.pattern.turned_sides import is_short
from tracker.pattern.yarn import expected, need
from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Row, Rows, cells
from tracker.ui.lettering import numerals
from tracker.ui.palette import Paint
from tracker.ui.sock_drawing import draw_sock, put_key, size_of
from tracker.units import whole
from tracker.vocabulary import duration, spaced

_LOUD, _TEXT, _MUTED = Paint("text", "stage", True), Paint("text", "stage"), Paint("muted", "stage")
_OLD = Paint("muted", "stage")
WAITING = "cast-on, counts and drawing come here, once foot and gauge are told"


class Counts(NamedTuple):
    """A pattern as figures: the cast-on and how it lies, what a sock takes, and each part with its rows.

    `stale`: a blank cannot be read, and these are the figures of before.
    """

    cast_on: int
    on: str
    takes: tuple[tuple[str, str], ...]
    parts: tuple[tuple[str, str, str], ...]
    yarns: tuple[str, ...]
    stale: bool

    @property
    def label(self) -> str:
        """What stands over the cast-on."""
        return "cast on (as it was before)" if self.stale else "cast on"


def counts(pattern: Pattern, *, stale: bool) -> Counts:
    """The figures of a computed pattern."""
    numbers = pattern.numbers
    sock = need(expected(pattern), (numbers.stitches_per_sock,))
    low, high = (whole(max(0.0, sock.grams + by * sock.sd)) for by in (-AT_95, AT_95))
    takes = (
        (f"{numbers.stitches_per_sock:,}".replace(",", " "), "stitches a sock"),
        (f"{whole(sock.grams)} g", f"a sock, {low} to {high}"),
        (
            duration(whole(numbers.stitches_per_sock / USUAL_PACE)),
            f"a sock at {USUAL_PACE:g} a minute",
        ),
    )
    on = spaced(pattern.sections[0].starts)
    names = pattern.colours
    yarns = _yarns(pattern) if any(names) else ()
    return Counts(
        numbers.cast_on, on, takes, tuple(_parts(pattern)), yarns, stale
    )  # fmt: skip


def _yarns(pattern: Pattern) -> tuple[str, ...]:
    drawn = _drawn(pattern)
    return drawn.key if drawn else ()


def _parts(pattern: Pattern) -> list[tuple[str, str, str]]:
    """Each part: its name, its rows, and what more there is to say of them."""
    n = pattern.numbers
    if pattern.toe_up:
        return _toe_up_parts(pattern)
    foot = (n.foot_rounds or 0) - (n.gusset_rounds or 0)
    around = next((sum(part.starts) for part in pattern.sections if part.kind == "foot"), 0)
    closed = next((part for part in pattern.sections if part.kind in CLOSED_BY), None)
    with_flap = [
        ("flap", f"{n.flap_rows}", f"rows on {n.heel_stitches}"),
        ("turn", f"{n.turn_rows}", f"rows, {n.heel_centre} left"),
        ("gusset", f"{n.gusset_rounds}", f"rounds, {n.after_pick_up} to {around}"),
    ]
    return [
        ("cuff", f"{n.cuff_rounds}", "rounds"),
        ("leg", f"{n.leg_rounds}", "rounds"),
        *(with_flap if n.flap_rows is not None else _short_rows(pattern)),
        ("foot", f"{foot}", "plain rounds"),
        ("toe", f"{n.toe_rounds}", f"rounds to {sum(closed.starts) if closed else 0}"),
    ]


def _short_rows(pattern: Pattern) -> list[tuple[str, str, str]]:
    """The halves of a heel of short rows."""
    later = next((part.planned for part in pattern.sections if part.kind == LATE_HEEL), None)
    if later is not None:
        return [("heel", f"{later}", "rounds at the end")]
    halves = [section.planned for section in pattern.sections if is_short(section)]
    return [("heel", f"{sum(halves)}", f"short rows on {pattern.numbers.heel_stitches}")]


def _toe_up_parts(pattern: Pattern) -> list[tuple[str, str, str]]:
    n = pattern.numbers
    foot = (n.foot_rounds or 0) - (n.gusset_rounds or 0)
    late = any(part.kind == LATE_HEEL for part in pattern.sections)
    heel = _grown_heel(pattern) if n.flap_rows is not None else _short_rows(pattern)
    return [
        ("toe", f"{n.toe_rounds}", f"rounds from {n.cast_on}"),
        ("foot", f"{foot}", "plain rounds"),
        *([] if late else heel),
        ("leg", f"{n.leg_rounds}", "rounds"),
        ("cuff", f"{n.cuff_rounds}", "rounds"),
        *(heel if late else []),
    ]


def _grown_heel(pattern: Pattern) -> list[tuple[str, str, str]]:
    """A gusset that grows, its cup and its flap."""
    n = pattern.numbers
    around = next(sum(part.starts) for part in pattern.sections if part.kind == "gusset")
    grown = around + 2 * (n.gusset_decrease_rounds or 0)
    return [
        ("gusset", f"{n.gusset_rounds}", f"rounds, {around} to {grown}"),
        ("turn", f"{n.turn_rows}", f"short rows to {n.heel_centre}"),
        ("flap", f"{n.flap_rows}", f"rows on {n.heel_stitches}"),
    ]


def _drawn(pattern: Pattern) -> Picture | None:
    course = Course(pattern)
    return picture(course, [section.planned for section in pattern.sections], None)


def full_stage(
    pattern: Pattern, shown: Counts, width: int, height: int, *, plain: bool
) -> Sequence[Row]:
    """The stage of a large screen; in `plain` text figures have no half cells."""
    canvas = Canvas(width, height, _TEXT)
    loud, text = (_OLD, _OLD) if shown.stale else (_LOUD, _TEXT)
    canvas.put(4, 1, shown.label, _MUTED)
    canvas.letter(4, 3, numerals(shown.cast_on, whole=plain), loud)
    canvas.put(4, 11, shown.on, _MUTED)
    for line, (figure, what) in enumerate(shown.takes):
        x = canvas.put(34, 3 + 2 * line, figure, loud)
        canvas.put(max(x + 1, 41), 3 + 2 * line, what, _MUTED)
    _sock(canvas, pattern, (4, 14), (28, height - 17))
    step = 2 if height >= 30 else 1
    for line, (name, rows, more) in enumerate(shown.parts):
        canvas.put(35, 15 + step * line, name, _MUTED)
        canvas.put(42, 15 + step * line, f"{rows} {more}", text)
    put_key(canvas, 4, height - 2, shown.yarns, _MUTED)
    return canvas.rows()


def small_stage(
    pattern: Pattern, shown: Counts, width: int, height: int, *, plain: bool
) -> Sequence[Row]:
    """The stage of a screen of 80 columns."""
    canvas = Canvas(width, height, _TEXT)
    loud, text = (_OLD, _OLD) if shown.stale else (_LOUD, _TEXT)
    canvas.put(2, 0, shown.label, _MUTED)
    canvas.letter(2, 1, numerals(shown.cast_on, 5, whole=plain), loud)
    canvas.put(2, 7, shown.on, _MUTED)
    (stitches, what), *_ = shown.takes
    canvas.put(2, 8, f"{stitches} {what}", _MUTED)
    _sock(canvas, pattern, (2, 10), (width - 15, height - 11))
    for line, (name, rows, _) in enumerate(shown.parts):
        canvas.put(width - 12, 10 + line, name, _MUTED)
        canvas.put(width - 5, 10 + line, rows, text)
    return canvas.rows()


def _sock(canvas: Canvas, pattern: Pattern, at: tuple[int, int], room: tuple[int, int]) -> None:
    x, y = at
    for line, row in enumerate(sock_rows(pattern, *room), start=y):
        along = x
        for span in row:
            along = canvas.put(along, line, span.text, span.paint)


def waiting_stage(width: int, height: int) -> Sequence[Row]:
    """A stage on which nothing is computed yet."""
    from textwrap import wrap

    canvas = Canvas(width, height, _TEXT)
    for y, line in enumerate(wrap(WAITING, max(width - 6, 8)), start=1):
        canvas.put(4 if width > 40 else 2, y, line, _MUTED)
    return canvas.rows()


def in_lines(shown: Counts) -> list[str]:
    """The same where there is no room for a stage."""
    lines = [f"{shown.label}: {shown.cast_on}", f"  on the needles {shown.on}"]
    lines += [f"  {figure} {what}" for figure, what in shown.takes]
    width = max(cells(name) for name, _, _ in shown.parts) + 2
    return [*lines, *(f"  {name:<{width}}{rows} {more}" for name, rows, more in shown.parts)]


def sock_rows(pattern: Pattern, columns: int, rows: int) -> Rows:
    """The drawing alone, in so many cells at most; none where there is hardly any room."""
    drawn = _drawn(pattern)
    return () if drawn is None or min(columns, rows) <= 4 else _painted(drawn, columns, rows)


@lru_cache(maxsize=4)
def _painted(drawn: Picture, columns: int, rows: int) -> Rows:
    """Kept, for most keys change no stitch, and a drawing takes longer than all else."""
    size = size_of([drawn], columns, rows)
    canvas = Canvas(size.columns + 1, size.rows, _TEXT)
    draw_sock(canvas, 0, 0, drawn, size)
    return canvas.rows()
