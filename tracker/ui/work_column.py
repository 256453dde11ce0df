"""The work drawn into its column below the word, in as many rows as the size allows."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, cells, cut
from tracker.ui.grid import Box, Size
from tracker.ui.palette import Paint
from tracker.ui.work import Work, WorkLine, grouped, in_brief, shorter, shortest
from tracker.ui.wrapping import wrap

_NAME, _BOLD, _MUTED = Paint("accent", bold=True), Paint("text", bold=True), Paint("muted")
_COUNTS_END = 34
"""The column of the full grid before which the counts end."""


def draw_work(canvas: Canvas, box: Box, work: Work, size: Size) -> None:
    """Draw `work` into `box`; on a small screen what is ticked stands in the row above it."""
    if size == "small" and box.height:
        canvas.put(box.x, box.y - 1, work.ticked, _BOLD)
    if work.manner == "needle":
        _draw_needle(canvas, box, work, size)
    elif work.manner == "row":
        _draw_row(canvas, box, work, size)
    else:
        _draw_needles(canvas, box, work, size)


def fold(texts: Sequence[str], width: int, rows: int) -> list[str]:
    """The first of `texts` that fits into `width` cells.

    Where none does, the longest that fits into `rows` lines, or else one that is cut.
    """
    text = next((text for text in texts if cells(text) <= width), None)
    if text is None:
        folded = [text for text in texts if len(_lines(text, width)) <= rows]
        whole = (text for text in folded if all(cells(word) <= width for word in text.split()))
        text = next(whole, folded[0] if folded else texts[-1 if rows < 2 else 0])
    lines = _lines(text, width) or [""]
    if len(lines) <= max(rows, 1):
        return lines
    last = max(rows, 1) - 1
    return [*lines[:last], cut(" ".join(lines[last:]), width)]


def _lines(text: str, width: int) -> list[str]:
    """A text in lines; no stitch is parted from its colour."""
    held = _COLOUR.sub("~", text)
    return [line.replace("~", " ") for line in wrap(held, max(width, 4))]


_COLOUR = re.compile(r"(?<=\w) (?=[a-h]\b)")
"""Before the letter of a stitch's colour."""


def _draw_needle(canvas: Canvas, box: Box, work: Work, size: Size) -> None:
    """The needle at work, and where there is room the one after it."""
    this, *later = work.lines
    gap = 1 if size == "small" else 2
    start = canvas.put(box.x, box.y, this.name, _NAME) + gap
    room = box.x + box.width - start
    fits = min(cells(short) for short in shorter(this)) <= room
    alone = not later or not (fits or box.height > 2)
    count = this.leaves if this.loud and size == "full" else ""
    rows = box.height if alone else box.height - 1
    end, y = _draw_this(canvas, Box(start, box.y, room, rows), this, count)
    if not alone:
        _draw_then(canvas, box, later[0], size, end if not count else box.x + box.width, y)


def _draw_this(canvas: Canvas, box: Box, this: WorkLine, count: str) -> tuple[int, int]:
    """The bold work of the needle at hand; returns the column and the row it ends in."""
    width = box.width - (len(count) + 1 if count else 0)
    lines = fold(shorter(this), width, box.height)
    if lines[-1].endswith("..."):
        lines = fold(shortest(this), width, 1)
    end = y = 0
    for y, line in enumerate(lines, start=box.y):
        end = canvas.put(box.x, y, line, _BOLD)
    if count:
        between = 3 if end + 3 + len(count) <= box.x + box.width else 1
        end = canvas.put(end + between, y, count, _BOLD)
    return end, y


def _draw_then(canvas: Canvas, box: Box, line: WorkLine, size: Size, end: int, y: int) -> None:
    """The needle after: behind the one at work (which ends at `end`, `y`), or below it."""
    then, right = f"then {line.name}", box.x + box.width
    gap = 1 if size == "small" else 2
    paint = _MUTED if line.work else _BOLD
    if size == "small" and y == box.y and end + cells(then) + 2 <= right:
        canvas.put(end, y, f", {then}", paint)
    elif size == "full" and end + 4 + gap + cells(then + line.work) <= right:
        canvas.put(end + 4, y, f"{then}{' ' * gap}{line.work}", paint)
    else:
        x = canvas.put(box.x, y + 1, then, paint) + gap
        lines = fold(shorter(line), right - x, box.y + box.height - y - 1)
        if lines[-1].endswith("..."):
            lines = fold(shortest(line), right - x, 1)
        if lines[-1].endswith("..."):
            lines = []  # its name says where she goes on
        for below, text in enumerate(lines, start=y + 1):
            canvas.put(x, below, text, _MUTED)


def _draw_row(canvas: Canvas, box: Box, work: Work, size: Size) -> None:
    """One line for the whole row, its count behind it or below it, then the sentence after it."""
    (line,) = work.lines
    paint = _BOLD if line.loud else _MUTED
    count = line.leaves if size != "small" else ""
    together = f"{line.work}   {count}".rstrip()
    lines = [together]
    if cells(together) > box.width:
        lines = fold(shorter(line), box.width, box.height)
        if lines[-1].endswith("..."):
            lines = fold(shortest(line), box.width, box.height)
        lines += [count] if count else []
    lines = lines[: box.height]
    for y, text in enumerate(lines, start=box.y):
        canvas.put(box.x, y, text, paint)
    if work.after and len(lines) < box.height:
        y = box.y + min(len(lines) + 1, box.height - 1)
        _draw_after(canvas, box, y, work.after)


def _draw_after(canvas: Canvas, box: Box, y: int, after: str) -> None:
    """A sentence that may be left out, whole or without its "stitches"."""
    for text in (after, re.sub(" stitch(es)?", "", after)):
        if cells(text) <= box.width:
            canvas.put(box.x, y, text, _MUTED)
            return


def _draw_needles(canvas: Canvas, box: Box, work: Work, size: Size) -> None:
    """A line for each needle, or one for all where nothing differs and it fits."""
    joined = " | ".join(line.work for line in work.lines)
    if not any(line.loud for line in work.lines) and cells(joined) <= box.width:
        canvas.put(box.x, box.y, joined, _MUTED)
        return
    if size != "full":
        # There is a row more above the box, but a small screen says there what is ticked, and where
        # the work stands beside its word it is that of the label.
        above = 0 if size == "compact" or (size == "small" and work.ticked) else 1
        _draw_folded(canvas, box, _folded(work.lines, box.width, box.height + above))
        return
    lines = _fewer(work.lines, box.height)
    name = max(cells(line.name) for line in lines) + 2
    for y, line in enumerate(lines, start=box.y):
        _draw_line(canvas, Box(box.x, y, box.width, 1), line, name)


class _Folded(NamedTuple):
    """A row of the column: a needle's name, or "" where its work runs on."""

    name: str
    text: str
    loud: bool


def _folded(lines: Sequence[WorkLine], width: int, rows: int) -> list[_Folded]:
    """The work of all needles in at most `rows` rows: of those that differ, or those alike as one.

    Where even that is too much, a rib is told by its look, other work by its ends.
    """
    loud = [line for line in lines if line.loud] or list(lines)
    for some in (lines, loud, grouped(loud), in_brief(loud)):
        told = _told(some, width)
        if len(told) <= rows:
            return told
    if not any(line.loud for line in lines):
        text = "knit the knits, purl the purls"
        return [_Folded("", piece, False) for piece in fold([text], width, rows)]
    some = _fewer(in_brief(loud) if any(line.shaped for line in loud) else lines, rows)
    name = max(cells(line.name) for line in some) + 1
    spare, told = rows - len(some), []
    for line in some:
        texts = fold(shortest(line), width - name, 1 + spare if line.shaped else 1)
        told += [
            _Folded("" if row else line.name, text, line.loud) for row, text in enumerate(texts)
        ]
        spare -= len(texts) - 1
    return told


def _told(lines: Sequence[WorkLine], width: int) -> list[_Folded]:
    """Every line's work in full, over as many rows as it needs."""
    room = width - max(cells(line.name) for line in lines) - 1
    return [
        _Folded("" if row else line.name, text, line.loud)
        for line in lines
        for row, text in enumerate(fold(shorter(line), room, len(line.work)))
    ]


def _draw_folded(canvas: Canvas, box: Box, rows: Sequence[_Folded]) -> None:
    """The rows from the box's first on, or higher where there are more of them than it has."""
    name = max(cells(row.name) for row in rows)
    indent = name + 1 if name else 0
    for y, row in enumerate(rows, start=box.y - max(0, len(rows) - box.height)):
        canvas.put(box.x, y, row.name, _NAME if row.loud else _MUTED)
        canvas.put(box.x + indent, y, row.text, _BOLD if row.loud else _MUTED)


def _draw_line(canvas: Canvas, box: Box, line: WorkLine, name: int) -> None:
    """One needle's line with its count at the end; its work begins `name` cells in."""
    paint = _BOLD if line.loud else _MUTED
    end = box.x + box.width
    fits = name + cells(line.work) + 1 + cells(line.leaves) <= _COUNTS_END
    end = canvas.put_right(box.x + _COUNTS_END if fits else end, box.y, line.leaves, paint) - 1
    (text,) = fold(shortest(line), end - box.x - name, 1)
    canvas.put(box.x, box.y, line.name, _NAME if line.loud else _MUTED)
    canvas.put(box.x + name, box.y, text, paint)


def _fewer(lines: Sequence[WorkLine], rows: int) -> list[WorkLine]:
    """At most `rows` lines: those that differ, then those alike as one, then a word on the rest.

    Those on which stitches are taken or made are never among the rest, where there is room for them.
    """
    if len(lines) > rows:
        lines = [line for line in lines if line.loud] or lines
    if len(lines) > rows:
        lines = grouped(lines)
    if len(lines) > rows:
        lines = sorted(lines, key=lambda line: not line.shaped)
        more = WorkLine("...", f"{len(lines) - rows + 1} more", "", False)
        lines = [*lines[: rows - 1], more]
    return list(lines)
