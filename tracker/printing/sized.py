"""A plan on one sheet for several sizes: what differs in numbers alone is written once, the rest for each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from tracker import written
from tracker.knitting.course import Course
from tracker.pattern.model import Pattern
from tracker.printing import about, sections
from tracker.printing.about import Document
from tracker.printing.merged import merged
from tracker.printing.sheet import Block, Facts, Paragraph, Part, Points, Row, Rows, Sheet
from tracker.units import write_length
from tracker.written import Line, Remark, Written


class Size(NamedTuple):
    """A size by its stitches around, and the pattern that the plan computes to for it."""

    stitches: int
    pattern: Pattern


def sized(sizes: Sequence[Size], document: Document, notes: Sequence[str] = ()) -> Sheet:
    """The sheet of one plan in several sizes (one or more), which have the same sections."""
    first = sizes[0].pattern
    names = [str(size.stitches) for size in sizes]
    return Sheet(
        first.title,
        f"As planned, in sizes {merged(names)}",
        (
            Facts((*about.facts(first, document), ("Knitted", _around(sizes)))),
            Points((*_one_by_one(names, [about.counts(size.pattern) for size in sizes]), *notes)),
            Paragraph(about.cautions(first, document)),
        ),
        (*_parts(sizes, names), _terms(sizes)),
    )


def _around(sizes: Sequence[Size]) -> str:
    """How far around each size is, as knitted."""
    told = []
    for stitches, pattern in sizes:
        assert pattern.gauge is not None  # noqa: S101 - a plan has a gauge
        told.append(f"{write_length(stitches * 100 / pattern.gauge.stitches, pattern.unit)} around")
    return merged(told) or ", ".join(told)


def _terms(sizes: Sequence[Size]) -> Part:
    found = (term for size in sizes for term in written.terms_of(size.pattern))
    return Part("In words", (Facts(tuple(dict.fromkeys(found))),))


def _parts(sizes: Sequence[Size], names: Sequence[str]) -> Iterator[Part]:
    pages = [written.sections(size.pattern) for size in sizes]
    courses = [Course(size.pattern) for size in sizes]
    for index, same in enumerate(zip(*pages, strict=True)):
        cards = [
            (*sections.card(course, index, sections.planned_counts(course)), *page.colours)
            for course, page in zip(courses, same, strict=True)
        ]
        on = _one_by_one(names, [[f"On the needles: {page.on}."] for page in same])
        steps = (*on, *_one_by_one(names, cards))
        yield Part(same[0].head, (Points(steps), *_rows(names, same)))


def _one_by_one(names: Sequence[str], told: Sequence[Sequence[str]]) -> Iterator[str]:
    """Sentences of all sizes together; where they are not as many or not alike, each for its size."""
    if len({len(lines) for lines in told}) == 1:
        together = [merged(same) for same in zip(*told, strict=True)]
        if all(together):
            yield from filter(None, together)
            return
    for name, lines in zip(names, told, strict=True):
        yield f"Size {name}: {' '.join(lines)}"


def _rows(names: Sequence[str], pages: Sequence[Written]) -> Iterator[Block]:
    together = _merged_rows(pages)
    if together is not None:
        yield Rows(together)
        return
    for name, page in zip(names, pages, strict=True):
        yield Paragraph(f"Size {name}:")
        yield Rows(tuple(map(sections.row, page.lines)))


def _merged_rows(pages: Sequence[Written]) -> tuple[Row, ...] | None:
    """The rows of all sizes as one; None where they are not alike."""
    if len({len(page.lines) for page in pages}) > 1:
        return None
    found = []
    for same in zip(*(page.lines for page in pages), strict=True):
        rows = (
            _brief(same) if len({_counts(line) for line in same}) > 1 else map(sections.row, same)
        )
        parts = [merged(texts) for texts in zip(*rows, strict=True)]
        if None in parts:
            return None
        found.append(Row(*(part or "" for part in parts)))
    return tuple(found)


def _counts(line: Line | Remark) -> int:
    return len(line.leaves) if isinstance(line, Line) else 0


def _brief(lines: Sequence[Line | Remark]) -> Iterator[Row]:
    """Rows whose counts are not as many: the first and the last of them."""
    for line in lines:
        row = sections.row(line)
        if isinstance(line, Line) and len(line.leaves) > 1:
            (one, first), (other, last) = line.leaves[0], line.leaves[-1]
            row = row._replace(counts=f"{first} after {one}, on to {last} after {other}")
        yield row
