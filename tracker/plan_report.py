"""What `instep plan` prints: the written pattern as plain text for people, as JSON for scripts."""

from __future__ import annotations

from typing import Any

from tracker import written as as_written
from tracker.pattern.model import Pattern, Row
from tracker.units import shorten
from tracker.written import Line, Remark


def plan_json(pattern: Pattern) -> dict[str, Any]:
    """The `plan` object."""
    return {
        "title": pattern.title,
        "numbers": pattern.numbers._asdict(),
        "sections": [
            {
                "name": section.name,
                "kind": section.kind,
                "worked": section.worked,
                "rows": [_row_json(row) for row in section.rows],
            }
            for section in pattern.sections
        ],
    }


def _row_json(row: Row) -> dict[str, Any]:
    return {
        "number": row.number,
        "side": row.side,
        "needles": [{"name": n.name, "work": n.work, "leaves": n.leaves} for n in row.needles],
        "leaves": row.leaves,
        "stitches_worked": row.worked,
    }


def written(pattern: Pattern) -> list[str]:
    """The whole written pattern, a line a row; rows that come again are written once."""
    title = shorten(pattern.title, 80)
    lines = [title, "=" * len(title), "", *as_written.numbers(pattern)]
    lines += [*as_written.stripes(pattern), *as_written.likeness(pattern)]
    for index, section in enumerate(as_written.sections(pattern)):
        steps = (section.first, section.colours)
        before = [text for texts in (steps if index else steps[::-1]) for text in texts]
        lines += ["", f"{section.head} ({section.on})", *(f"  {text}" for text in before)]
        lines += [f"  {_written_line(line)}" for line in section.lines]
    return [*lines, *_on_the_other(pattern)]


def _on_the_other(pattern: Pattern) -> list[str]:
    """The sections of sock two that are mirrored."""
    lines = []
    for index, other in as_written.mirrored_sections(pattern):
        section = as_written.sections(other)[index]
        head = as_written.head_on_two(other.sections[index], other)
        lines += ["", f"{head} ({section.on})", *(f"  {text}" for text in section.first)]
        lines += [f"  {_written_line(line)}" for line in section.lines]
    return lines


def _written_line(line: Line | Remark) -> str:
    return line.text if isinstance(line, Remark) else f"{line.name}: {line.work}  [{line.counts}]"


def words_of(pattern: Pattern) -> list[str]:
    """The terms that a pattern uses, each once, in words; and what each does to the count."""
    terms = (f"  {name:<11} {told}" for name, told in as_written.terms_of(pattern))
    return ["", "In words", *terms]
