"""A pattern on a sheet, as planned: what it is for, every section with its card and rows, its terms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker import written
from tracker.drawing import draw
from tracker.knitting.course import Course
from tracker.pattern.model import Numbers, Pattern
from tracker.printing import about, sections, stage
from tracker.printing.about import Document
from tracker.printing.sheet import Block, Facts, Paragraph, Part, Points, Rows, Sheet


def planned(
    pattern: Pattern, document: Document, notes: Sequence[str] = (), number: int | None = None
) -> Sheet:
    """The sheet of a pattern, or of its stage `number`. Raises stage.NoStage."""
    course = Course(pattern)
    what = stage.stretch(course, number)
    counts = sections.planned_counts(course)
    parts = [
        *sections.parts(course, what.indexes, sections.Ends(counts)),
        *_mirrored(pattern, what.indexes),
        sections.terms(course, what.indexes),
    ]
    if what.stage is None:
        parts += stage.to_come(pattern)
    else:
        first, last = stage.around(course, what.indexes, counts)
        parts = [first, *parts, last]
    blocks = opening(pattern, document, notes, what)
    drawing = draw(course, counts) if what.stage is None else None
    name = "As planned" if what.stage is None else f"Stage {what.stage.number}, as planned"
    return Sheet(
        pattern.title,
        name,
        (*blocks, drawing) if drawing else tuple(blocks),
        tuple(parts),
    )


def _mirrored(pattern: Pattern, indexes: Sequence[int]) -> Iterator[Part]:
    """The rows of sock two, where they are others."""
    for index, other in written.mirrored_sections(pattern):
        if index in indexes:
            page = written.sections(other)[index]
            head = written.head_on_two(other.sections[index], other)
            steps = (Points(page.first),) if page.first else ()
            yield Part(head, (*steps, Rows(tuple(map(sections.row, page.lines)))), page.on)


def opening(
    pattern: Pattern,
    document: Document,
    notes: Sequence[str],
    what: stage.Stretch,
    made: Numbers | None = None,
) -> list[Block]:
    """What stands before the first section: facts, counts, notes and cautions; of a stage its days.

    Of counts that were `made` otherwise both are told.
    """
    blocks: list[Block] = []
    if what.stage is not None:
        days = stage.facts(what.stage, pattern.of_socks)
        blocks += [days] if days.facts else []
    if told := about.facts(pattern, document):
        blocks.append(Facts(told))
    if what.stage is None:
        blocks.append(Points((*about.counts(pattern, made), *notes)))
    return [*blocks, Paragraph(about.cautions(pattern, document))]
