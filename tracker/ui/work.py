"""The work of the next row, below its word: what each needle does, as loud as it differs."""

from __future__ import annotations

from textwrap import wrap
from typing import Literal, NamedTuple

from tracker.glance import Glance, NeedleSight
from tracker.ui.canvas import Canvas, cells, cut
from tracker.ui.grid import Size
from tracker.ui.heel_row import HeelRow, rest_text
from tracker.ui.palette import Paint

_NAME, _BOLD, _MUTED = Paint("accent", bold=True), Paint("text", bold=True), Paint("muted")
_COUNTS_END = 34
"""The column of the full grid before which the counts end."""


class WorkLine(NamedTuple):
    """One needle's work; `count` is what it then holds, "" where that need not be said."""

    name: str
    work: str
    count: str
    loud: bool


class Work(NamedTuple):
    """The lines of a row's work.

    Manner "needle" is the needle at work and, second, the one after it; "needles" is all of
    them; "row" is one line for the whole row. `after` is a sentence that follows.
    """

    manner: Literal["needle", "needles", "row"]
    lines: tuple[WorkLine, ...]
    after: str = ""


def work_of(glance: Glance, row: HeelRow | None) -> Work:
    """The work of the row in hand, or of the next one."""
    needles = glance.needles
    if row is not None:
        needle = needles[0]
        line = WorkLine("", needle.work, f"[{needle.leaves}]", not needle.plain)
        return Work("row", (line,), rest_text(row))
    if glance.counting == "needles" and len(needles) > 1:
        return Work("needle", _this_and_next(glance))
    if len(needles) == 1:
        return Work("row", (WorkLine("", needles[0].work, f"[{needles[0].leaves}]", not needles[0].plain),))
    if all(needle.plain for needle in needles) and len({needle.work for needle in needles}) == 1:
        counts = "/".join(str(needle.leaves) for needle in needles)
        return Work("row", (WorkLine("", f"{needles[0].work} every needle", counts, False),))
    return Work("needles", tuple(_line(needle) for needle in needles))


def said(work: Work) -> str:
    """The work in one short phrase: the needle at work, or the first that differs."""
    if not work.lines:
        return ""
    loud = next((line for line in work.lines if line.loud), work.lines[0])
    line = work.lines[0] if work.manner == "needle" else loud
    return f"{line.name} {line.work}".strip()


def draw_work(canvas: Canvas, x: int, y: int, width: int, rows: int, work: Work, size: Size) -> None:
    """Draw `work` into a column of `width` cells and `rows` rows."""
    if work.manner == "needle":
        _draw_needle(canvas, x, y, width, rows, work, size)
    elif work.manner == "row":
        _draw_row(canvas, x, y, width, rows, work, size)
    else:
        _draw_needles(canvas, x, y, width, rows, work, size)


def _this_and_next(glance: Glance) -> tuple[WorkLine, ...]:
    names = [needle.name for needle in glance.needles]
    at = names.index(glance.place.needle) if glance.place.needle in names else 0
    return tuple(_line(needle, counted=True) for needle in glance.needles[at : at + 2])


def _line(needle: NeedleSight, *, counted: bool = False) -> WorkLine:
    """A needle's line; `counted` says how many stitches a bare "k" or "p" means."""
    work = needle.work
    if counted and work in ("k", "p"):
        work = f"{work} {needle.stitches}"
    return WorkLine(needle.name, work, f"[{needle.leaves}]", not needle.plain)


def _draw_needle(
    canvas: Canvas, x: int, y: int, width: int, rows: int, work: Work, size: Size
) -> None:
    """The needle at work, then the one after it: in one line where both are short."""
    this, *later = work.lines
    gap = 1 if size == "small" else 2
    start = x + cells(this.name) + gap
    canvas.put(x, y, this.name, _NAME)
    count = this.count if this.loud and size == "full" else ""
    end, row = _wrapped(canvas, start, y, x + width - start, rows - len(later), this.work, count)
    if not later:
        return
    then = f"then {later[0].name}"
    if size == "small" and row == y and end + len(then) + 2 <= x + width:
        canvas.put(end, y, f", {then}", _MUTED)
        return
    then = f"{then}{' ' * gap}{later[0].work}"
    if size == "full" and row == y and not count and end + 4 + cells(then) <= x + width:
        canvas.put(end + 4, y, then, _MUTED)
    elif row + 1 < y + rows:
        canvas.put(x, row + 1, cut(then, width), _MUTED)


def _wrapped(
    canvas: Canvas, x: int, y: int, width: int, rows: int, text: str, count: str
) -> tuple[int, int]:
    """Write bold `text` into `rows` rows at most; returns the column and the row it ends in."""
    lines = _folded(text, width - (len(count) + 1 if count else 0), rows)
    end = x
    for row, line in enumerate(lines, start=y):
        end = canvas.put(x, row, line, _BOLD)
    row = y + len(lines) - 1
    if count:
        canvas.put(end + 3 if end + 3 + len(count) <= x + width else end + 1, row, count, _BOLD)
    return end, row


def _folded(text: str, width: int, rows: int) -> list[str]:
    """`text` in at most `rows` lines of `width`: spaces after commas go before a line is broken."""
    if cells(text) > width and rows < 2:
        text = text.replace(", ", ",")
    lines = wrap(text, max(width, 4)) or [""]
    if len(lines) > max(rows, 1):
        kept = lines[: max(rows, 1)]
        kept[-1] = cut(" ".join(lines[len(kept) - 1 :]), width)
        return kept
    return lines


def _draw_row(canvas: Canvas, x: int, y: int, width: int, rows: int, work: Work, size: Size) -> None:
    (line,) = work.lines
    paint = _BOLD if line.loud else _MUTED
    count = line.count if size != "small" else ""
    together = f"{line.work}   {count}".rstrip()
    lines = [together] if cells(together) <= width else _folded(line.work, width, rows)
    for row, text in enumerate(lines, start=y):
        canvas.put(x, row, text, paint)
    below = y + len(lines)
    if lines != [together] and count and below < y + rows:
        canvas.put(x, below, count, paint)
        below += 1
    if work.after and below < y + rows:
        canvas.put(x, min(below + 1, y + rows - 1), cut(work.after, width), _MUTED)


def _draw_needles(
    canvas: Canvas, x: int, y: int, width: int, rows: int, work: Work, size: Size
) -> None:
    """A line for each needle; those that differ alone where rows are short."""
    lines = list(work.lines)
    joined = " | ".join(line.work for line in lines)
    if not any(line.loud for line in lines) and cells(joined) <= width:
        canvas.put(x, y, joined, _MUTED)
        return
    if len(lines) > rows:
        lines = [line for line in lines if line.loud] or lines
    gap = 2 if size == "full" else 1
    name = max(cells(line.name) for line in lines) + gap
    for row, line in enumerate(lines[:rows], start=y):
        canvas.put(x, row, line.name, _NAME if line.loud else _MUTED)
        paint = _BOLD if line.loud else _MUTED
        end = x + width
        if size == "full":
            end = x + (_COUNTS_END if name + cells(line.work) + 5 <= _COUNTS_END else width)
            end = canvas.put_right(end, row, line.count, paint) - 1
        (text,) = _folded(line.work, end - x - name, 1)
        canvas.put(x + name, row, text, paint)
