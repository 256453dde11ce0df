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
    """Of rows with wide signs all is written: no sign is cut in two; and of a stage that is turned over."""
    turned = bool(before and after) and before[0] != after[0] and before[-1] != after[-1]
    if turned or not (_is_narrow(before) and _is_narrow(after)):
        return [(0, max(_width(before), _width(after)))]
    return _joined(_differing(before, after))


def _is_narrow(row: Row) -> bool:
    return all(text.isascii() or is_narrow(text) for text, _ in row)


def _differing(before: Row, after: Row) -> list[Run]:
    """The runs of two rows of narrow signs, side by side: where one span ends in either, a run may end."""
    found: list[Run] = []
    alike, x = _alike(before, after)
    old, new = list(reversed(before[alike:])), list(reversed(after[alike:]))
    while old and new:
        was, now = old.pop(), new.pop()
        size = min(len(was.text), len(now.text))
        if was != now:
            if was.paint != now.paint or was.text[:size] != now.text[:size]:
                found.append((x, x + size))
            if len(was.text) > size:
                old.append(Span(was.text[size:], was.paint))
            elif len(now.text) > size:
                new.append(Span(now.text[size:], now.paint))
        x += size
    if old or new:
        found.append((x, x + _width((*old, *new))))
    return found


def _alike(before: Row, after: Row) -> tuple[int, int]:
    """How many spans both begin with, and how many columns those are."""
    x = 0
    for index, (was, now) in enumerate(zip(before, after, strict=False)):
        if was != now:
            return index, x
        x += len(now.text)
    return min(len(before), len(after)), x


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
