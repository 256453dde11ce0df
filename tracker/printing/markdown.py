"""A sheet as Markdown, whose every stranger's text stays text."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from tracker.drawing import Drawing
from tracker.printing.sheet import Block, Facts, Paragraph, Part, Points, Rows, Sheet, Table, plain

_MARKUP = re.compile(r"[\\`*_\[\]<>#|~&!@$^]|(?<=[A-Za-z]):(?=//)|(?<=www)\.", re.IGNORECASE)
"""What begins or ends a piece of markup inside a line, and what is taken for an address."""
_LEADING = re.compile(r"^(?:[-+=:]|\d{1,9}(?=[.)]))")
"""What makes of a line a list, a heading or a rule where it stands first."""


def as_markdown(sheet: Sheet) -> str:
    """The sheet as Markdown, with a line feed at its end."""
    return "\n\n".join(_pieces(sheet)) + "\n"


def escape(text: str) -> str:
    """A stranger's text inside a line, as Markdown that shows it letter by letter."""
    return _MARKUP.sub(r"\\\g<0>", plain(text).strip())


def escape_first(text: str) -> str:
    """The same where it begins a line, and must make no list of it, no heading and no rule."""
    return _LEADING.sub(_not_first, escape(text))


def _not_first(found: re.Match[str]) -> str:
    """A number keeps its digits: what follows it is escaped."""
    return f"{found[0]}\\" if found[0].isdigit() else f"\\{found[0]}"


def _pieces(sheet: Sheet) -> Iterator[str]:
    yield f"# {escape(sheet.title) or '-'}"
    if sheet.about:
        yield f"*{escape(sheet.about)}*"
    yield from _blocks(sheet.blocks)
    for part in sheet.parts:
        yield from _part(part)


def _part(part: Part) -> Iterator[str]:
    yield f"## {escape(part.heading)}"
    if part.aside:
        yield f"*{escape(part.aside)}*"
    yield from _blocks(part.blocks)


def _blocks(blocks: tuple[Block, ...]) -> Iterator[str]:
    before = ""
    for written in filter(None, (_WRITERS[type(block)](block) for block in blocks)):
        # Of two lists, one after the other, the second has another sign, or they were one.
        piece = _OTHER_SIGN.sub("+ ", written) if before.startswith("- ") else written
        yield piece
        before = piece


_OTHER_SIGN = re.compile(r"^- ", re.MULTILINE)


def _paragraph(block: Paragraph) -> str:
    return escape_first(block.text)


def _points(block: Points) -> str:
    return "\n".join(f"- {escape_first(text)}" for text in block.lines)


def _facts(block: Facts) -> str:
    return "\n".join(f"- **{escape(name)}:** {escape(fact)}" for name, fact in block.facts)


def _rows(block: Rows) -> str:
    return "\n".join(f"- {_row(*row)}" for row in block.rows)


def _row(name: str, work: str, counts: str) -> str:
    if not name:
        return f"*{escape(work)}*"
    left = f" \\[{escape(counts)}\\]" if counts else ""
    return f"**{escape(name)}:** {escape(work)}{left}"


def _table(block: Table) -> str:
    head, *lines = (
        f"| {' | '.join(escape(cell) for cell in line)} |" for line in (block.head, *block.lines)
    )
    rule = f"|{'---|' * len(block.head)}"
    return "\n".join([head, rule, *lines])


def _drawing(block: Drawing) -> str:
    """Nothing: Markdown has no drawing of its own."""
    return ""


_WRITERS: dict[type, Callable[[Any], str]] = {
    Paragraph: _paragraph, Points: _points, Facts: _facts, Rows: _rows, Table: _table,
    Drawing: _drawing,
}  # fmt: skip
