"""The sections of a pattern as parts of a sheet: the card, then the written rows."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from tracker import cards, written
from tracker.glance import Shown, look
from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.state import Sock, State
from tracker.printing.sheet import Block, Facts, Part, Points, Row, Rows
from tracker.written import Line, Remark

_BEGUN = Event(1, 0, 0, 0, "started", {}, b"")
_NOTHING = Sock(0, 0, 0, (), (), finished=False)


def planned_counts(course: Course) -> tuple[int, ...]:
    """The rows of every section as planned, row 0 left out."""
    return tuple(section.planned for section in course.sections)


def parts(
    course: Course,
    indexes: Iterable[int],
    counts: Sequence[int],
    settled: Collection[int] = (),
    told: Mapping[int, Sequence[str]] | None = None,
) -> Iterator[Part]:
    """Sections by index, each a part. `counts` and `settled` as `written.sections` has them.

    What is `told` of a section stands before its card.
    """
    pages = written.sections(course.pattern, counts, settled)
    for index in indexes:
        page = pages[index]
        steps = (*(told or {}).get(index, ()), *card(course, index, counts), *page.colours)
        blocks: list[Block] = [Points(steps)] if steps else []
        rows = tuple(map(_row, page.lines))
        if rows:
            blocks.append(Rows(rows))
        yield Part(page.head, tuple(blocks), page.on)


def card(course: Course, index: int, counts: Sequence[int]) -> list[str]:
    """A section's card, where those before it have so many rows."""
    sock = _NOTHING._replace(section=index, ended=tuple(counts[:index]))
    state = State((sock, _NOTHING), 1, {}, (), 0, _BEGUN)
    return cards.on_paper(look(course, state, Shown("", "rounds", 1, rest=False), 1))


def terms(course: Course, indexes: Collection[int]) -> Part:
    """The terms that sections use, in words."""
    return Part("In words", (Facts(tuple(written.terms_of(course.pattern, indexes))),))


def _row(line: Line | Remark) -> Row:
    if isinstance(line, Remark):
        return Row("", line.text)
    return Row(line.name, line.work, line.counts)
