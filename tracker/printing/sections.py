"""The sections of a pattern as parts of a sheet: the card, then the written rows."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

from tracker import cards, written
from tracker.glance import Shown
from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.state import Sock, State
from tracker.looking import look
from tracker.pattern import floats
from tracker.printing import charted
from tracker.printing.sheet import Block, Facts, Part, Points, Row, Rows
from tracker.records import NamedTuple
from tracker.written import Line, Remark

_BEGUN = Event(1, 0, 0, 0, "started", {}, b"")
_NOTHING = Sock(0, 0, 0, (), (), finished=False)


def planned_counts(course: Course) -> tuple[int, ...]:
    """The rows of every section as planned, row 0 left out."""
    return tuple(section.planned for section in course.sections)


class Ends(NamedTuple):
    """How sections end: the rows of each, and which open ones end at theirs whatever the tape says.

    Of those in `done` so many rows, row 0 among them, are worked already.
    """

    counts: Sequence[int]
    settled: Collection[int] = ()
    done: Mapping[int, int] = MappingProxyType({})


def parts(
    course: Course,
    indexes: Iterable[int],
    ends: Ends,
    told: Mapping[int, Sequence[str]] = MappingProxyType({}),
) -> Iterator[Part]:
    """Sections by index, each a part. What is `told` of a section stands before its card."""
    pages = written.sections(course.pattern, *ends, course.coloured)
    for index in indexes:
        page = pages[index]
        begins = [] if index in ends.done else card(course, index, ends.counts)
        caught = floats.told(course.sections[index])
        steps = (*told.get(index, ()), *begins, *caught, *page.colours)
        blocks: list[Block] = [Points(steps)] if steps else []
        if rows := tuple(map(row, page.lines)):
            blocks.append(Rows(rows))
        blocks += charted.blocks(course.sections[index], course.pattern)
        yield Part(page.head, tuple(blocks), page.on)


def card(course: Course, index: int, counts: Sequence[int]) -> list[str]:
    """A section's card, where those before it have so many rows."""
    sock = _NOTHING._replace(section=index, ended=tuple(counts[:index]))
    state = State((sock, _NOTHING), 1, {}, (), 0, _BEGUN)
    return cards.on_paper(look(course, state, Shown("", "rounds", 1, rest=False), 1))


def terms(course: Course, indexes: Collection[int]) -> Part:
    """The terms that sections use, in words."""
    return Part("In words", (Facts(tuple(written.terms_of(course.pattern, indexes))),))


def row(line: Line | Remark) -> Row:
    """A written line as a row of a sheet."""
    if isinstance(line, Remark):
        return Row("", line.text)
    return Row(line.name, line.work, line.counts)
