"""A row worked flat as a picture: the instep at rest, and below it the heel needle stitch by stitch.

Read like a chart: a right-handed knitter's right-side row goes to the left, her wrong-side row
to the right; a left-handed knitter's go the other way.
"""

from __future__ import annotations

from tracker.pattern.model import Side
from tracker.pattern.notation import BadRow, read_row, runs, stitch_of
from tracker.records import NamedTuple
from tracker.ui.canvas import FULL, LOWER, Canvas, Rows
from tracker.ui.palette import Paint
from tracker.ui.ring import HEIGHT, THIN

_REST, _WORK = Paint("quiet"), Paint("accent", bold=True)
_DASHED = {"level": "\u254c", "upright": "\u254e"}
_LEAN = {"k2tog": "/", "p2tog": "/", "ssk": "\\", "skp": "\\", "ssp": "\\"}
_MIRROR = {"/": "\\", "\\": "/"}
_MIDDLE = 6
"""Fewer cells than this are never left of the worked stitches while the others keep their count."""
_ROW = 4
"""The row of the frame in which the stitches lie."""


class HeelRow(NamedTuple):
    """One row on the heel needle, in the order it is worked: stitches at rest behind her, stitches
    worked up to the gap, the decrease across it ("" for none), stitches worked beyond it,
    stitches that still rest ahead."""

    behind: int
    before: int
    decrease: str
    beyond: int
    ahead: int


class HeelSight(NamedTuple):
    """What the picture shows; `waits` is the sentence over it ("instep 32 rests")."""

    row: HeelRow
    side: Side | None
    left_handed: bool
    waits: str
    turns: bool


def heel_row(
    work: str,
    stitches: int,
    number: int,
    kind: str,
    *,
    taken_in: int = 0,
    behind: int | None = None,
) -> HeelRow:
    """`work` (row `number` of a section, on `stitches` stitches) laid out along the heel needle.

    `behind` are the stitches that rest behind her, where that is known. Else which rest on which side
    follows from the way a heel is turned: each row crosses the gap that the row before the last one
    left, so an even row leaves both sides alike (common practice, no source). Work that cannot be read
    covers the whole needle. A flap that takes so many gusset stitches in begins in the middle of its cup.
    """
    by_hand = kind not in ("heel set-up", "flap")
    short = kind == "turn" or taken_in > 0 or (by_hand and work.endswith(("turn", "w&t")))
    before, decrease, beyond = _parts(work, stitches, turn=short)
    rest = stitches - before - beyond
    if behind is not None:
        behind = min(behind, rest)
    elif kind == "heel set-up":
        behind = rest
    elif number <= 1:
        behind = rest - (taken_in // 2 - 1) if taken_in else 0
    elif decrease and number % 2:
        behind = min((rest + beyond) // 2, rest)
    else:
        behind = rest // 2
    return HeelRow(behind, before, decrease, beyond, rest - behind)


def rest_text(row: HeelRow) -> str:
    """The stitches at rest on the heel needle, said; "" when all are worked."""
    if not row.behind and not row.ahead:
        return ""
    if row.behind == row.ahead:
        return f"{_stitches(row.ahead)} on each side"
    if row.behind and row.ahead:
        return f"{_stitches(row.behind)} behind, {row.ahead} ahead"
    return f"{_stitches(row.behind)} behind" if row.behind else f"{_stitches(row.ahead)} ahead"


def heel_rows(sight: HeelSight, width: int, *, plain: bool = False) -> Rows:
    """The picture in seven rows of `width` cells; `plain`: where stitches at rest cannot be lower ones."""
    canvas = Canvas(width, HEIGHT, Paint())
    if sight.waits:
        _dashes(canvas)
    canvas.put((width - len(sight.waits)) // 2, 1, sight.waits, Paint("muted"))
    shown = _scaled(sight.row, width - 4)
    if sight.left_handed:
        shown = shown._replace(decrease=_MIRROR.get(shown.decrease, ""))
    forwards = (sight.side == "WS") != sight.left_handed
    x = (width - _length(shown)) // 2
    _stitch_row(canvas, x, shown, forwards, "." if plain else LOWER)
    _around(canvas, x, shown, forwards, sight)
    return canvas.rows()


def _stitches(count: int) -> str:
    return "1 stitch rests" if count == 1 else f"{count} stitches rest"


def _parts(work: str, stitches: int, turn: bool) -> tuple[int, str, int]:
    """Stitches of the left needle taken before the gap, the decrease across it, those beyond.

    Of the decrease's stitches the first lies before the gap, the others beyond it.
    """
    try:
        made, left = runs(read_row(work).segments[0], stitches)
    except BadRow:
        return stitches, "", 0
    takes = [stitch_of(run.stitch).takes * run.times for run in made]
    at = next((index for index, run in enumerate(made) if turn and run.stitch in _LEAN), None)
    if at is None:
        return stitches - left, "", 0
    before = sum(takes[:at]) + 1
    return before, _LEAN[made[at].stitch], sum(takes) - before


def _length(row: HeelRow) -> int:
    """Cells of a drawn row: its stitches, and one for each gap."""
    gaps = (row.behind > 0) + (bool(row.decrease) or row.ahead > 0)
    return row.behind + row.before + row.beyond + row.ahead + gaps


def _scaled(row: HeelRow, cells: int) -> HeelRow:
    """`row` brought down to fit into `cells`: the long middle first, then all in proportion."""
    length = _length(row)
    if length <= cells:
        return row
    middle = cells - (length - row.before)
    if middle >= _MIDDLE:
        return row._replace(before=middle)
    total = row.behind + row.before + row.beyond + row.ahead
    room = cells - (length - total)
    behind, beyond, ahead = (
        max(1, count * room // total) if count else 0
        for count in (row.behind, row.beyond, row.ahead)
    )
    return HeelRow(behind, room - behind - beyond - ahead, row.decrease, beyond, ahead)


def _dashes(canvas: Canvas) -> None:
    end = canvas.width - 1
    canvas.put(0, 0, THIN["top left"], _REST)
    canvas.put(1, 0, _DASHED["level"] * (end - 1), _REST)
    canvas.put(end, 0, THIN["top right"], _REST)
    for y in (1, 2):
        canvas.put(0, y, _DASHED["upright"], _REST)
        canvas.put(end, y, _DASHED["upright"], _REST)


def _stitch_row(canvas: Canvas, x: int, row: HeelRow, forwards: bool, rest: str) -> None:
    """The stitches, those at rest with a sign of their own, the decrease lying in the gap it closes."""
    runs = [
        (rest * row.behind, _REST),
        (" " if row.behind else "", _REST),
        (FULL * row.before, _WORK),
        (row.decrease or (" " if row.ahead else ""), _WORK),
        (FULL * row.beyond, _WORK),
        (rest * row.ahead, _REST),
    ]
    for text, paint in runs if forwards else reversed(runs):
        canvas.letter(x, _ROW, [text], paint)
        x += len(text)


def _around(canvas: Canvas, x: int, row: HeelRow, forwards: bool, sight: HeelSight) -> None:
    """The arrow above the worked stitches, and below them what rests and where she turns."""
    length = _length(row)
    worked = row.before + row.beyond + bool(row.decrease)
    start = row.behind + (row.behind > 0)
    if not forwards:
        start = length - start - worked
    line = THIN["level"] * max(worked - 1, 0)
    canvas.put(x + start, _ROW - 1, f"{line}\u25ba" if forwards else f"\u25c4{line}", _WORK)
    if sight.turns:
        _turn(canvas, x + start + (worked - 1 if forwards else 0), forwards)
    if sight.row.behind:
        rests = f"{sight.row.behind} rest"
        at = x if forwards else x + length - len(rests)
        canvas.put(at, _ROW + 1, rests, Paint("muted"))


def _turn(canvas: Canvas, last: int, forwards: bool) -> None:
    """ "turn" hung under the last stitch worked, outwards where there is room."""
    away = last + 6 <= canvas.width if forwards else last < 5
    if away:
        canvas.put(last, _ROW + 1, f"{THIN['bottom left']} turn", _WORK)
    else:
        canvas.put_right(last + 1, _ROW + 1, f"turn {THIN['bottom right']}", _WORK)
