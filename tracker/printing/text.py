"""A sheet as plain text: lines no wider than a page or a terminal."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from textwrap import wrap
from typing import Any

from tracker.drawing import Drawing
from tracker.printing.sheet import Block, Facts, Paragraph, Part, Points, Rows, Sheet, Table, plain

WIDTH = 78
"""Letters in a line."""
_TIED = "\u00a0"
"""A space at which no line ends; `plain` leaves none in a stranger's text."""
_AFTER = f"{_TIED}after{_TIED}"
_BRACKET = re.compile(r"\[[^\[\]]{1,30}\]( \d+ times)?")
"""A short repeat, which stays on one line."""
_LABEL = 12
"""Letters that the name of a fact has room for."""


def as_text(sheet: Sheet) -> str:
    """The sheet as plain text, with a line feed at its end."""
    return "\n".join(_lines(sheet)) + "\n"


def _lines(sheet: Sheet) -> Iterator[str]:
    title = _wrapped(plain(sheet.title))
    yield from title
    yield "=" * max(map(len, title))
    if sheet.about:
        yield from _wrapped(plain(sheet.about))
    for block in sheet.blocks:
        yield from _apart(_block(block))
    for part in sheet.parts:
        yield from _part(part)


def _part(part: Part) -> Iterator[str]:
    aside = f" ({plain(part.aside)})" if part.aside else ""
    head = _wrapped(f"{plain(part.heading)}{aside}")
    yield ""
    yield from head
    yield "-" * max(map(len, head))
    for block in part.blocks:
        yield from _block(block)


def _apart(lines: Sequence[str]) -> list[str]:
    return ["", *lines] if lines else []


def _block(block: Block) -> list[str]:
    return _WRITERS[type(block)](block)


def _paragraph(block: Paragraph) -> list[str]:
    return _wrapped(plain(block.text))


def _points(block: Points) -> list[str]:
    return [line for text in block.lines for line in _wrapped(plain(text), "- ", "  ")]


def _facts(block: Facts) -> list[str]:
    told = []
    for name, fact in block.facts:
        label = f"{plain(name):<{_LABEL}} "
        told += _wrapped(plain(fact), label, " " * (_LABEL + 1))
    return told


def _rows(block: Rows) -> list[str]:
    told = []
    for row in block.rows:
        name = f"{plain(row.name)}: " if row.name else ""
        counts = f"  [{plain(row.counts).replace(' after ', _AFTER)}]" if row.counts else ""
        work = _BRACKET.sub(lambda found: found[0].replace(" ", _TIED), plain(row.work))
        told += _wrapped(f"{name}{work}{counts}", "  ", "      ")
    return [line.replace(_TIED, " ") for line in told]


def _table(block: Table) -> list[str]:
    lines = [tuple(plain(cell) for cell in line) for line in (block.head, *block.lines)]
    wide = [max(len(line[at]) for line in lines) for at in range(len(block.head))]
    return [
        "  ".join(_cell(cell, at, wide[at]) for at, cell in enumerate(line)).rstrip()
        for line in lines
    ]


def _cell(text: str, at: int, wide: int) -> str:
    """Names to the left, counts to the right."""
    return text.ljust(wide) if at == 0 else text.rjust(wide)


def _drawing(block: Drawing) -> list[str]:
    """Nothing: a page of letters has no drawing."""
    return []


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    lines = wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False,
        drop_whitespace=True,
    )  # fmt: skip
    return lines or [first.rstrip()]


_WRITERS: dict[type, Callable[[Any], list[str]]] = {
    Paragraph: _paragraph, Points: _points, Facts: _facts, Rows: _rows, Table: _table,
    Drawing: _drawing,
}  # fmt: skip
