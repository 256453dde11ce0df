"""Where two paintings differ: runs of cells, so that a key costs the terminal only what it changed."""

from __future__ import annotations

from textual.geometry import Region

from tracker.ui.canvas import Row, Rows, Span, cells, is_narrow

_NEAR = 8
"""Cells between two runs that are cheaper written again than jumped over."""

Run = tuple[int, int]
"""The columns from the first to the last cell (exclusive)."""


def changes(old: Rows, new: Rows) -> list[Region]:
    """The regions in which two paintings of equal height differ, each in one row."""
    return [
        Region(x, y, end - x, 1)
        for y, (before, after) in enumerate(zip(old, new, strict=True))
        if before != after
        for x, end in _runs(before, after)
    ]


def part_of(row: Row, x: int, end: int) -> Row:
    """The spans of the columns from `x` to `end` (exclusive), of a row of narrow signs; or all of any row."""
    found, at = [], 0
    for span in row:
        if at >= end:
            break
        if at >= x and at + len(span.text) <= end:
            found.append(span)
        elif at + len(span.text) > x:
            found.append(Span(span.text[max(0, x - at) : end - at], span.paint))
        at += len(span.text)
    return tuple(found)


def _runs(before: Row, after: Row) -> list[Run]:
    """Of rows with wide signs all is written: no sign is cut in two."""
    if all(is_narrow(span.text) for row in (before, after) for span in row):
        return _joined(_differing(before, after))
    return [(0, max(_width(before), _width(after)))]


def _differing(before: Row, after: Row) -> list[Run]:
    """The runs of two rows of narrow signs, side by side: where one span ends in either, a run may end."""
    found: list[Run] = []
    x, old, new = 0, list(reversed(before)), list(reversed(after))
    while old and new:
        (text, paint), (now, its) = old.pop(), new.pop()
        size = min(len(text), len(now))
        if paint != its or text[:size] != now[:size]:
            found.append((x, x + size))
        if len(text) > size:
            old.append(Span(text[size:], paint))
        elif len(now) > size:
            new.append(Span(now[size:], its))
        x += size
    rest = _width((*old, *new))
    return [*found, (x, x + rest)] if rest else found


def _joined(runs: list[Run]) -> list[Run]:
    """Runs with little between them as one."""
    found = runs[:1]
    for x, end in runs[1:]:
        if x - found[-1][1] <= _NEAR:
            found[-1] = found[-1][0], end
        else:
            found.append((x, end))
    return found


def _width(row: Row) -> int:
    return sum(cells(span.text) for span in row)
