"""Where she may be, from the stitches she counts: the possible places, most likely first.

In turn, gusset and toe the count on the needles tells the place, or leaves two: the decrease round and
the plain one after it. Where it never changes it tells the section alone. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from tracker.knitting.course import Course
from tracker.knitting.pins import PIN_EVERY
from tracker.knitting.state import Clue, Number, State
from tracker.knitting.stripes import threads
from tracker.pattern.model import Row, Section

MOST_PLACES = 12
"""Places listed; more tell nothing."""


class Found(NamedTuple):
    """A place: a section by index and the rows done of it (row 0 among them), `needles` of the next ticked.

    `any_row` is true where every row of the section leaves the same. `plain` says whether the last
    round done was a plain one, None where there is none before it.
    """

    section: int
    rows: int
    needles: int = 0
    any_row: bool = False
    plain: bool | None = None


def holds(course: Course, section: int, rows: int, needles: int = 0) -> tuple[int, ...]:
    """The stitches on every needle in work at a place; worked flat, on the heel needle."""
    row = course.row(section, rows)
    there = zip(row.needles, row.holding(needles), strict=True)
    return tuple(stitches for needle, stitches in there if not needle.rests)


def expected(course: Course, state: State, number: Number) -> tuple[int, ...]:
    """What is on the needles of a sock where it is; nothing once it is finished."""
    sock = state.sock(number)
    return () if sock.finished else holds(course.of(sock), sock.section, sock.rows, sock.needles)


def matches(there: Sequence[int], counted: Sequence[int]) -> bool:
    """Whether needles hold what was counted: on each of them, or in all."""
    if len(counted) == 1:
        return sum(there) == counted[0]
    return tuple(there) == tuple(counted)


def places(
    course: Course,
    state: State,
    number: Number,
    counted: Sequence[int],
    plain: bool | None = None,
) -> tuple[Found, ...]:
    """Every place of a sock with such counts, the nearest to where it is first.

    With `plain` those alone whose last round was a plain one, or was not.
    """
    sock = state.sock(number)
    course = course.of(sock)
    here = _along(course, sock.section, sock.rows)
    found = [
        place
        for index, section in enumerate(course.sections)
        for place in _in_section(course, index, section, counted)
        if plain is None or place.any_row or place.plain is plain
    ]

    def distance(place: Found) -> tuple[int, int]:
        if place.any_row and place.section == sock.section:
            return 0, 0
        return abs(_along(course, place.section, place.rows) - here), place.needles

    return tuple(sorted(found, key=distance)[:MOST_PLACES])


def along(
    course: Course, state: State, number: Number, clue: Clue, reach: tuple[int, int, int] | None
) -> tuple[Found, ...]:
    """The rows of the section in hand that agree with what she sees of it, the likeliest first.

    `reach` are the rows (least, likely, most) that a length leaves, None where none was taken. Without
    one the row in hand is thought the likeliest. Nothing where nothing was seen.
    """
    sock = state.sock(number)
    course = course.of(sock)
    section, told = course.sections[sock.section], threads(course, state, number)
    if clue == Clue():
        return ()
    here = course.number(sock.section, sock.rows)
    most = section.planned if section.goal is None else max(section.planned, here) + WIDE
    low, likely, high = reach or (0, here, most)

    def agrees(row: int) -> bool:
        thread = told.at(sock.section, section.rows_to(row) - 1) if row else None
        colour = clue.colour is None or (
            thread is not None
            and thread.name == clue.colour
            and clue.position in (0, thread.position)
        )
        return colour and clue.pin in (None, row % PIN_EVERY)

    rows = [row for row in range(max(0, low), min(most, high) + 1) if agrees(row)]
    rows.sort(key=lambda row: (abs(row - likely), row))
    return tuple(Found(sock.section, section.rows_to(row)) for row in rows[:MOST_PLACES])


WIDE = 40
"""Rounds beyond the plan, or beyond where she is, to which an open section is looked through."""


def _in_section(
    course: Course, index: int, section: Section, counted: Sequence[int]
) -> Iterator[Found]:
    if section.kind == "graft":
        last = course.sections[index - 1].rows[-1] if index else section.rows[0]
        ends = last.holding(len(last.needles)) if index else ()
        if matches(holds(course, index, 0), counted) or matches(ends, counted):
            yield Found(index, 0)
        return
    same = {(row.before, row.leaves) for row in section.rows if row.number}
    if len(same) == 1 and len(section.rows) > 2:
        first = 1 - section.first
        if matches(holds(course, index, first), counted):
            yield Found(index, first, any_row=True)
        if not section.first and matches(holds(course, index, 0), counted):
            yield Found(index, 0)
        return
    for rows in range(len(section.rows)):
        before = section.rows[rows - 1] if rows else None
        row = section.rows[rows]
        if matches(holds(course, index, rows), counted):
            yield Found(index, rows, plain=_is_plain(before))
        for ticked in _inside(course, index, rows, row):
            if matches(holds(course, index, rows, ticked), counted):
                yield Found(index, rows, ticked, plain=_is_plain(before))


def _inside(course: Course, index: int, rows: int, row: Row) -> Iterator[int]:
    """How many needles of a round may be ticked such that it shows: not at its beginning, nor its end."""
    if row.side is not None or len(row.needles) < 2:
        return
    ends = [holds(course, index, rows), holds(course, index, rows, len(row.needles))]
    for ticked in range(1, len(row.needles)):
        if holds(course, index, rows, ticked) not in ends:
            yield ticked


def _is_plain(row: Row | None) -> bool | None:
    return None if row is None else all(needle.plain or needle.rests for needle in row.needles)


def _along(course: Course, section: int, rows: int) -> int:
    """Rows from the cast-on to a place, sections as planned."""
    return sum(len(there.rows) for there in course.sections[:section]) + rows
