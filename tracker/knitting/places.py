"""Where she may be, from the stitches she counts: the possible places, most likely first.

In turn, gusset and toe the count on the needles tells the place, or leaves two: the decrease round and
the plain one after it. Where it never changes it tells the section alone. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker.knitting.chart_row import chart_row_done
from tracker.knitting.course import Course
from tracker.knitting.pins import PIN_EVERY
from tracker.knitting.state import Clue, Number, State
from tracker.knitting.stripes import Threads, threads
from tracker.pattern.model import CLOSED_BY, Row, Section, on_each
from tracker.pattern.turned_sides import has_sides, sides, still_double
from tracker.records import NamedTuple

MOST_PLACES = 12
"""Places listed; more tell nothing."""
NEAR = 20
"""Rounds away from where she is, or from the nearest place, up to which one is near."""


class Found(NamedTuple):
    """A place: a section by index and the rows done of it (row 0 among them), `needles` of the next ticked.

    `any_row` is true where every row leaves the same: of the whole section, or of those up to `until`; a
    span that begins after the first row and ends with the section has no `until`. `plain` says whether
    the last round done was a plain one, None where there is none before it.
    """

    section: int
    rows: int
    needles: int = 0
    any_row: bool = False
    plain: bool | None = None
    until: int | None = None


def holds(course: Course, section: int, rows: int, needles: int = 0) -> tuple[int, ...]:
    """The stitches on every needle in work at a place; worked flat, on the heel needle."""
    row = course.row(section, rows)
    there = zip(row.needles, row.holding(needles), strict=True)
    working = [(needle.name, stitches) for needle, stitches in there if not needle.rests]
    names, stitches = zip(*working, strict=True)
    return tuple(many for _, many in on_each(names, stitches))


def expected(
    course: Course, state: State, number: Number, found: Sequence[int] = ()
) -> tuple[int, ...]:
    """What is on the needles of a sock where it is; nothing once it is finished.

    In a half of a short-row heel two numbers `found` are what lies beside the worked stitches, and in the
    rounds inside it, where they are too few for needles, the double stitches that are open.
    """
    sock = state.sock(number)
    if sock.finished:
        return ()
    there = course.of(sock)
    beside = None
    if by_sides(there, sock.section, found):
        beside = beside_it(there, sock.section, sock.rows)
    return beside or holds(there, sock.section, sock.rows, sock.needles)


def by_sides(course: Course, section: int, found: Sequence[int]) -> bool:
    """Whether two numbers are of a short-row heel's sides, and not of needles, which hold more."""
    if len(found) != 2:
        return False
    if has_sides(course.sections[section]):
        return True
    in_all = sum(holds(course, section, 0))
    return beside_it(course, section, 0) is not None and 2 * sum(found) < in_all


def beside_it(course: Course, section: int, rows: int) -> tuple[int, int] | None:
    """What lies on both sides of a short-row heel after so many rows, the larger first; else None."""
    there = sides(course.sections[section], rows) or still_double(course.sections, section, rows)
    return None if there is None else (max(there[:2]), min(there[:2]))


def as_sides(found: Sequence[int]) -> tuple[int, ...]:
    """Both sides of a heel as they are compared: whichever she named first, the larger stands so."""
    return tuple(sorted(found, reverse=True))


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


def likely(
    course: Course, state: State, number: Number, found: Sequence[Found]
) -> tuple[Found, ...]:
    """Of places, the nearest first, those that are about as near as the first of them.

    She forgot some ticks, or made some twice: she did not knit a heel or half a foot unawares (common
    practice, no source). Where the nearest is far itself she has knitted without a key, and all stay.
    """
    sock = state.sock(number)
    there = course.of(sock)
    here = _along(there, sock.section, sock.rows)

    def distance(place: Found) -> int:
        first = _along(there, place.section, place.rows)
        last = _along(there, place.section, _last_row(there, place))
        return max(first - here, here - last, 0)

    nearest = min(map(distance, found), default=0)
    if nearest > NEAR:
        return tuple(found)
    return tuple(place for place in found if distance(place) <= nearest + NEAR)


def _last_row(course: Course, place: Found) -> int:
    """The last of the rows that a place may be, by the rows done of its section."""
    if not place.any_row:
        return place.rows
    section = course.sections[place.section]
    return section.rows_to(section.planned) if place.until is None else place.until


def fits_a_row(course: Course, state: State, number: Number, counted: Sequence[int]) -> bool:
    """Whether needles, each counted, hold what they hold at the end of a row that is near."""
    sock = state.sock(number)
    here, there = Found(sock.section, sock.rows), course.of(sock)
    return len(counted) > 1 and any(
        not place.needles and apart(there, place, here) <= NEAR
        for place in places(course, state, number, counted)
    )


def but_for_one(
    course: Course, state: State, number: Number, counted: Sequence[int]
) -> tuple[Found, ...]:
    """Rows of this section nearby that needles, each counted, agree with but for one stitch on one of them.

    The nearest first; none where the place as it is counted is off by no more than two stitches.
    """
    sock, there = state.sock(number), course.of(state.sock(number))
    if len(counted) < 2 or sock.finished or sock.needles:
        return ()
    section = there.sections[sock.section]
    if _apart(holds(there, sock.section, sock.rows), counted) <= 2:
        return ()
    last = section.rows_to(section.planned)
    near = range(max(0, sock.rows - NEAR), min(last, sock.rows + NEAR + 1))
    found = [
        Found(
            sock.section,
            rows,
            plain=_is_plain(
                there, sock.section, there.row(sock.section, rows - 1) if rows else None
            ),
        )
        for rows in near
        if _apart(holds(there, sock.section, rows), counted) == 1
    ]
    return tuple(sorted(found, key=lambda place: abs(place.rows - sock.rows)))


def _apart(there: Sequence[int], counted: Sequence[int]) -> int:
    """Stitches by which needles differ, each for itself; many where they are not as many."""
    if len(there) != len(counted):
        return sum(counted) + 1
    return sum(abs(one - other) for one, other in zip(there, counted, strict=True))


def plain_above(course: Course, place: Found) -> int | None:
    """Plain rounds above the last decrease at a place; None where its section has none before it."""
    for above in range(place.rows):
        if not course.row(place.section, place.rows - 1 - above).plain:
            return above
    return None


def tail_tells(section: Section) -> bool:
    """Whether the tail of the cast-on marks where a round begins: up to the heel, in the round."""
    return section.worked == "rounds" and "cast-on" in section.marks


def by_tail(course: Course, state: State, number: Number, needles: int) -> tuple[Found, ...]:
    """Where a sock may be with so many needles between the tail and the yarn, the likeliest first.

    At the end of a round where there are none: of that in hand, if half of its needles were ticked.
    """
    sock = state.sock(number)
    there = Found(sock.section, sock.rows, needles)
    if sock.needles <= needles:
        return (there,)
    following = there._replace(rows=sock.rows + 1)
    of = len(course.of(sock).row(sock.section, sock.rows).needles)
    return (following, there) if 2 * (sock.needles - needles) >= of else (there, following)


class Seen(NamedTuple):
    """What she says of a sock besides: what she sees of its fabric, and the stitches she counted, if any.

    `reach` are the rows of the section in hand (least, likely, most; below 0 before it, past its end
    after it) that a length leaves, None where none was taken.
    """

    clue: Clue
    reach: tuple[int, int, int] | None = None
    counted: tuple[int, ...] = ()
    plain: bool | None = None


def along(course: Course, state: State, number: Number, seen: Seen) -> tuple[Found, ...]:
    """The rows that agree with all she sees, the likeliest first.

    They lie in the section in hand; by a length also in those that are measured from the same mark.
    """
    sock = state.sock(number)
    course = course.of(sock)
    here = course.number(sock.section, sock.rows)
    farthest = WIDE + max(here, course.sections[sock.section].planned)
    low, likely, high = seen.reach or (-here, here, farthest)
    told = threads(course, state, number)
    found = [
        (abs(row + before - likely), Found(section, course.sections[section].rows_to(row)))
        for section, before in _measured_alike(course, state, number)
        if seen.reach is not None or section == sock.section
        for row in _rows_within(course, section, low - before, high - before)
        if _agrees(course, sock.ended, told, section, row, seen)
    ]
    found.sort(key=lambda one: one[0])
    return tuple(place for _, place in found[:MOST_PLACES])


def _measured_alike(course: Course, state: State, number: Number) -> Iterator[tuple[int, int]]:
    """The section in hand and those measured from the same mark, with the rows that lie before each.

    Rows are counted from the beginning of the section in hand: those before it have a number below 0.
    """
    sock = state.sock(number)
    here = sock.section
    yield here, 0
    mark = course.sections[here].marks[:1]
    before = 0
    for section in range(here - 1, -1, -1):
        if not mark or course.sections[section].marks[:1] != mark:
            break
        before -= sock.ended[section]
        yield section, before
    after = 0
    for section in range(here, course.last):
        there = course.sections[section]
        if not mark or there.goal is not None or course.sections[section + 1].marks[:1] != mark:
            break
        after += there.planned
        yield section + 1, after


def _rows_within(course: Course, section: int, low: int, high: int) -> range:
    there = course.sections[section]
    most = high if there.goal is not None else there.planned
    return range(max(low, 0), min(most, high) + 1)


def _agrees(
    course: Course, ended: Sequence[int], told: Threads, section: int, row: int, seen: Seen
) -> bool:
    """Whether a row of a section looks like that: the colour, the pin, the stitches.

    `ended` are the rows at which the sections that lie behind her ended.
    """
    clue, rows = seen.clue, course.sections[section].rows_to(row)
    thread = told.at(section, rows - 1) if rows else None
    if clue.colour is not None and (
        thread is None or thread.name != clue.colour or clue.position not in (0, thread.position)
    ):
        return False
    if clue.pin is not None and row % PIN_EVERY != clue.pin:
        return False
    if clue.chart is not None and chart_row_done(course, ended, section, rows) != clue.chart:
        return False
    if seen.plain is not None and rows and course.row(section, rows - 1).plain is not seen.plain:
        return False
    return not seen.counted or matches(holds(course, section, rows), seen.counted)


WIDE = 40
"""Rounds beyond the plan, or beyond where she is, to which an open section is looked through."""


def _in_section(
    course: Course, index: int, section: Section, counted: Sequence[int]
) -> Iterator[Found]:
    last = course.sections[index - 1].rows[-1] if index else None
    if by_sides(course, index, counted):
        yield from _beside(course, index, section, counted)
        return
    if section.kind in CLOSED_BY:
        ends = last.holding(len(last.needles)) if last else ()
        if matches(holds(course, index, 0), counted) or matches(ends, counted):
            yield Found(index, 0, plain=_is_plain(course, index, last))
        return
    # A section of counted rows that decreases or increases is told round by round.
    stays = section.goal or all(_sum_stays(row) for row in section.rows if row.number)
    end = len(section.rows) + (WIDE if section.goal else 0)
    rows, spans, told = 0, list[Found](), -1
    while rows < end:
        alike = _alike(course, index, rows) if stays else 0
        if alike <= FEW:
            before = course.row(index, rows - 1) if rows else last
            found = _at_row(course, index, rows, before, counted)
            yield from (place for place in found if place.needles or rows != told)
        elif matches(holds(course, index, rows), counted):
            told = rows + alike
            until = told if told < end else None
            spans.append(Found(index, rows, any_row=True, until=until))
        rows += alike if alike > FEW else 1
    if len(spans) > 1:  # they come again and again: the fabric tells them apart, not the stitches
        spans = [spans[0]._replace(rows=0, until=None)]
    yield from spans


def _beside(
    course: Course, index: int, section: Section, counted: Sequence[int]
) -> Iterator[Found]:
    """The rows of a half of a heel with so much beside the worked stitches."""
    for rows in range(1, len(section.rows) + 1):
        if beside_it(course, index, rows) == as_sides(counted):
            yield Found(index, rows)


FEW = 2
"""So many rounds that leave the stitches as they were are told one by one."""


def _alike(course: Course, index: int, rows: int) -> int:
    """How many rounds from there on, one after the other, leave the same on every needle."""
    section = course.sections[index]
    count, on = 0, course.row(index, rows).before
    while rows + count < len(section.rows) + (WIDE if section.goal else 0):
        row = course.row(index, rows + count)
        if row.before != on or row.holding(len(row.needles)) != on:
            break
        count += 1
    return count


def _sum_stays(row: Row) -> bool:
    return sum(row.before) == sum(row.holding(len(row.needles)))


def _at_row(
    course: Course, index: int, rows: int, before: Row | None, counted: Sequence[int]
) -> Iterator[Found]:
    """The place once so many rows are done, and those inside the next one."""
    plain = _is_plain(course, index, before)
    if matches(holds(course, index, rows), counted):
        yield Found(index, rows, plain=plain)
    for ticked in _inside(course, index, rows, course.row(index, rows)):
        if matches(holds(course, index, rows, ticked), counted):
            yield Found(index, rows, ticked, plain=plain)


def _inside(course: Course, index: int, rows: int, row: Row) -> Iterator[int]:
    """How many needles of a round may be ticked such that it shows: not at its beginning, nor its end."""
    if row.side is not None or len(row.needles) < 2:
        return
    ends = [holds(course, index, rows), holds(course, index, rows, len(row.needles))]
    for ticked in range(1, len(row.needles)):
        if holds(course, index, rows, ticked) not in ends:
            yield ticked


def _is_plain(course: Course, index: int, row: Row | None) -> bool | None:
    """Whether a row takes nothing away; beside the leg's repeat on an instep the sole is looked at."""
    if row is None:
        return None
    if course.pattern.goes_on and course.sections[index].kind == "gusset":
        return row.word not in (course.pattern.gusset_word, "PICK")
    return row.plain


def apart(course: Course, one: Found, another: Found) -> int:
    """Rows between two places; none where any row of the section of both will do."""
    if one.section == another.section:
        return 0
    places = (_along(course, place.section, place.rows) for place in (one, another))
    return abs(next(places) - next(places))


def _along(course: Course, section: int, rows: int) -> int:
    """Rows from the cast-on to a place, sections as planned."""
    before = course.sections[:section]
    return sum(there.rows_to(there.planned) for there in before) + rows
