"""Rows of spans read back as a person and a test see them."""

from __future__ import annotations

from tracker.ui.canvas import Rows
from tracker.ui.palette import Paint


def text(rows: Rows) -> list[str]:
    """The characters alone, row by row."""
    return ["".join(span.text for span in row) for row in rows]


def paint_at(rows: Rows, x: int, y: int) -> Paint:
    """The paint of one cell."""
    for span in rows[y]:
        if x < len(span.text):
            return span.paint
        x -= len(span.text)
    raise IndexError(f"row {y} ends before the cell")


def solid(rows: Rows) -> list[str]:
    """As `text`, with cells filled with ink as full blocks."""
    return [
        "".join(
            "█" * len(span.text) if span.paint.ink == span.paint.ground else span.text
            for span in row
        )
        for row in rows
    ]


def find(rows: Rows, words: str) -> tuple[int, int]:
    """Where `words` begin: column, row."""
    for y, line in enumerate(text(rows)):
        if words in line:
            return line.index(words), y
    raise AssertionError(f"{words!r} is not there:\n" + "\n".join(text(rows)))
