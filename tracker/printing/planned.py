"""A pattern on a sheet, as planned: what it is for, every section with its card and rows, its terms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from tracker import written
from tracker.drawing import draw
from tracker.knitting.course import Course
from tracker.pattern.model import CLOSED_BY, Numbers, Pattern, Section
from tracker.printing import about, sections, stage
from tracker.printing.about import Document
from tracker.printing.sheet import Block, Facts, Paragraph, Part, Points, Sheet
from tracker.vocabulary import counted
from tracker.vocabulary import sock as called


def planned(
    pattern: Pattern, document: Document, notes: Sequence[str] = (), number: int | None = None
) -> Sheet:
    """The sheet of a pattern, or of its stage `number`. Raises stage.NoStage."""
    course = Course(pattern)
    what = stage.stretch(course, number)
    counts = sections.planned_counts(course)
    parts = [
        *sections.parts(course, what.indexes, sections.Ends(counts)),
        *_of_sock_two(pattern, what.indexes),
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


def _of_sock_two(pattern: Pattern, indexes: Sequence[int]) -> Iterator[Part]:
    """All of sock two in its order, where any of its rows are others: those, and what is as on sock one."""
    others = dict(written.mirrored_sections(pattern))
    if not others.keys() & set(indexes):
        return
    for unlike, run in groupby(sorted(indexes), key=others.__contains__):
        if unlike:
            yield from (_mirrored(index, others[index]) for index in run)
        else:
            yield _as_on_one(pattern, list(run))


def _mirrored(index: int, other: Pattern) -> Part:
    """A section of sock two that has its own rows."""
    course = Course(other)
    (part,) = sections.parts(course, [index], sections.Ends(sections.planned_counts(course)))
    return part._replace(heading=written.head_on_two(other.sections[index], other))


def _as_on_one(pattern: Pattern, indexes: Sequence[int]) -> Part:
    """Sections of sock two that are knitted by the rows of sock one, which stand further up."""
    heads = [written.head(pattern.sections[index], pattern) for index in indexes]
    one, two = (called(number, pattern.of_socks) for number in (1, 2))
    told = [
        f"{head}{_rows(pattern.sections[index])}, as told for {one}."
        for index, head in zip(indexes, heads, strict=True)
    ]
    if not indexes[0]:
        cast_on = pattern.numbers.cast_on
        told.insert(0, f"Cast on{f' {cast_on}' if cast_on else ''}, as told for {one}.")
    to = f" to {heads[-1][:1].lower()}{heads[-1][1:]}" if len(heads) > 1 else ""
    return Part(f"{heads[0]}{to}, {two}", (Points(tuple(told)),))


def _rows(section: Section) -> str:
    """ ": 46 rounds", or nothing where nobody has counted."""
    if not section.counted or section.kind in CLOSED_BY:
        return ""
    planned = " as planned" if section.goal is not None else ""
    return f": {counted(section.planned, section.worked)}{planned}"


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
