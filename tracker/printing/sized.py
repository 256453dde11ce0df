"""A plan on one sheet for several sizes: what differs in numbers alone is written once, the rest for each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker import written
from tracker.knitting.course import Course
from tracker.pattern.model import Pattern
from tracker.pattern.stages import Stage
from tracker.printing import about, sections, stage
from tracker.printing.about import Document
from tracker.printing.merged import merged
from tracker.printing.sheet import Block, Facts, Paragraph, Part, Points, Row, Rows, Sheet
from tracker.records import NamedTuple
from tracker.units import write_length
from tracker.written import Line, Remark, Written


class Size(NamedTuple):
    """A size by its stitches around, and the pattern that the plan computes to for it."""

    stitches: int
    pattern: Pattern


def sized(
    sizes: Sequence[Size],
    document: Document,
    notes: Sequence[str] = (),
    number: int | None = None,
) -> Sheet:
    """The sheet of one plan in several sizes (one or more), which have the same sections; or of its stage
    `number`. Raises stage.NoStage.
    """
    first = sizes[0].pattern
    names = [str(size.stitches) for size in sizes]
    courses = [Course(size.pattern) for size in sizes]
    what = stage.stretch(courses[0], number)
    named = "As planned" if what.stage is None else f"Stage {what.stage.number}, as planned"
    parts = [
        *_parts(sizes, courses, names, what.indexes),
        *_on_two(sizes, names, what.indexes),
        _terms(sizes, what.indexes),
    ]
    if what.stage is not None:
        begins, ends = _around(courses, names, what.indexes)
        parts = [begins, *parts, ends]
    return Sheet(
        first.title,
        f"{named}, in sizes {merged(names)}",
        tuple(_opening(sizes, names, document, notes, what.stage)),
        tuple(parts),
    )


def _opening(
    sizes: Sequence[Size],
    names: Sequence[str],
    document: Document,
    notes: Sequence[str],
    on: Stage | None,
) -> Iterator[Block]:
    """What stands before the first section; of a stage its days, and not the numbers of it all."""
    first = sizes[0].pattern
    if on is not None and (days := stage.facts(on, first.of_socks)).facts:
        yield days
    yield Facts((*about.facts(first, document), ("Knitted", _all_around(sizes))))
    if on is None:
        counts = [about.counts(size.pattern) for size in sizes]
        yield Points((*_one_by_one(names, counts), *notes))
    elif notes:
        yield Points(tuple(notes))
    yield Paragraph(about.cautions(first, document))


def _around(
    courses: Sequence[Course], names: Sequence[str], indexes: Sequence[int]
) -> Iterator[Part]:
    """What she should have where a stage begins, and what to reach, each in all sizes."""
    told = [stage.around(course, indexes, sections.planned_counts(course)) for course in courses]
    for same in zip(*told, strict=True):
        lines = [[line for block in part.blocks for line in _lines(block)] for part in same]
        yield Part(same[0].heading, (Points(tuple(_one_by_one(names, lines))),))


def _lines(block: Block) -> Sequence[str]:
    return block.lines if isinstance(block, Points) else ()


def _all_around(sizes: Sequence[Size]) -> str:
    """How far around each size is, as knitted."""
    told = []
    for stitches, pattern in sizes:
        assert pattern.gauge is not None  # noqa: S101 - a plan has a gauge
        told.append(f"{write_length(stitches * 100 / pattern.gauge.stitches, pattern.unit)} around")
    return merged(told) or ", ".join(told)


def _terms(sizes: Sequence[Size], indexes: Sequence[int]) -> Part:
    found = (term for size in sizes for term in written.terms_of(size.pattern, indexes))
    return Part("In words", (Facts(tuple(dict.fromkeys(found))),))


def _parts(
    sizes: Sequence[Size],
    courses: Sequence[Course],
    names: Sequence[str],
    indexes: Sequence[int],
) -> Iterator[Part]:
    pages = [written.sections(size.pattern) for size in sizes]
    for index, same in enumerate(zip(*pages, strict=True)):
        if index not in indexes:
            continue
        cards = [
            (*sections.card(course, index, sections.planned_counts(course)), *page.colours)
            for course, page in zip(courses, same, strict=True)
        ]
        on = _one_by_one(names, [[f"On the needles: {page.on}."] for page in same])
        steps = (*on, *_one_by_one(names, cards))
        yield Part(same[0].head, (Points(steps), *_rows(names, same)))


def _on_two(sizes: Sequence[Size], names: Sequence[str], indexes: Sequence[int]) -> Iterator[Part]:
    """The rows of sock two, where they are others."""
    others = [dict(written.mirrored_sections(size.pattern)) for size in sizes]
    for index in indexes:
        there = next((other[index] for other in others if index in other), None)
        if there is None:
            continue
        pages = [
            written.sections(other.get(index, size.pattern))[index]
            for size, other in zip(sizes, others, strict=True)
        ]
        steps = [[f"On the needles: {page.on}.", *page.first] for page in pages]
        head = written.head_on_two(there.sections[index], there)
        yield Part(head, (Points(tuple(_one_by_one(names, steps))), *_rows(names, pages)))


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
