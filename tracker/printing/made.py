"""A pair on a sheet, as it was made: what was done on each piece and when, and what is still to knit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker import pair_words, stage_words, words, yarn_words
from tracker.drawing import draw
from tracker.forecast.left import rows_to_goal
from tracker.glance import Glance, Shown
from tracker.knitting.course import Course
from tracker.knitting.past import Past
from tracker.knitting.state import BOTH, Number, State, other
from tracker.knitting.step import differences, named, rows_apart
from tracker.knitting.worked import day_of
from tracker.looking import look
from tracker.pattern.model import Section
from tracker.printing import planned, sections, stage
from tracker.printing.about import Document
from tracker.printing.dates import date
from tracker.printing.made_numbers import made_numbers
from tracker.printing.piece import piece, so_far
from tracker.printing.sheet import Block, Paragraph, Part, Points, Sheet, Table
from tracker.records import NamedTuple
from tracker.units import shorten
from tracker.vocabulary import capital, section, unit
from tracker.vocabulary import sock as called


class Pair(NamedTuple):
    """A pair as it is: its course and state, all that happened to it, its tables, and today (days)."""

    course: Course
    state: State
    past: Sequence[Past]
    document: Document
    today: int


def made(pair: Pair, number: int | None = None) -> Sheet:
    """The sheet of a pair, or of its stage `number`. Raises stage.NoStage."""
    what = stage.stretch(pair.course, number)
    pattern = pair.course.pattern
    if not _touched(pair.state):
        return planned.planned(pattern, pair.document, (), number)
    behind = _behind(pair.state)
    ends = _ends(pair, behind)
    left = _left(pair, behind, what.indexes)
    as_it_is = pair.course.of(pair.state.sock(behind))
    drawing = draw(as_it_is, ends.counts) if what.stage is None else None
    numbers = made_numbers(pair.course, pair.state)
    opening = planned.opening(pattern, pair.document, (), what, numbers)
    parts = [*_what_was_done(pair, what.indexes), *_what_is_left(pair, behind, ends, left)]
    if not left:
        parts += _as_it_was_worked(pair, what.indexes)
    parts.append(sections.terms(pair.course, left or what.indexes))
    if what.stage is None:
        parts += stage.to_come(pattern, tuple(_resting(pair)))
    else:
        sure = {*range(len(pair.state.sock(behind).ended)), *ends.settled}
        first, last = stage.around(as_it_is, what.indexes, ends.counts, sure)
        parts = [first, *parts, last]
    return Sheet(
        pattern.title,
        _about(pair, what),
        (*opening, drawing) if drawing else tuple(opening),
        tuple(parts),
    )


def _touched(state: State) -> bool:
    """Whether anything was done that the plan does not say."""
    begun = any(sock.begun for sock in state.socks)
    return begun or bool(state.goals or state.own_goals or state.weighings)


def _about(pair: Pair, what: stage.Stretch) -> str:
    name = "As made" if what.stage is None else f"Stage {what.stage.number}, as made"
    return f"{name}, {date(pair.today)}"


# What was done


def _what_was_done(pair: Pair, indexes: Sequence[int]) -> Iterator[Part]:
    begun = [index for index in indexes if any(_rows(pair, one, index) for one in BOTH)]
    if begun:
        yield Part("Row by row", tuple(_against(pair, begun)))
    for number in BOTH:
        if pair.state.sock(number).begun:
            yield piece(pair.course, pair.state, pair.past, number, begun)
    if told := tuple(_weighings(pair)):
        yield Part("Yarn weighed", (Points(told),))


def _against(pair: Pair, indexes: Sequence[int]) -> Iterator[Block]:
    """The rows of both pieces side by side, and how they differ."""
    of_socks = pair.course.pattern.of_socks
    one, two = (called(number, of_socks) for number in BOTH)
    lines = ((_name(pair, index), *_side_by_side(pair, index)) for index in indexes)
    yield Table(("", one, two), tuple(lines))
    apart = [
        (pair.course.sections[index].called, by)
        for index in indexes
        if (by := rows_apart(pair.state, index)) is not None
    ]
    if apart:
        yield Paragraph(f"{capital(two)} against {one}: {pair_words.every(apart, of_socks)}.")
    changes = [
        pair_words.difference(named(pair.course, found), of_socks)
        for found in differences(pair.state)
        if found.change is not None and found.section in indexes
    ]
    if changes:
        yield Paragraph(f"Not alike: {'; '.join(changes)}.")


def _side_by_side(pair: Pair, index: int) -> Iterator[str]:
    return (so_far(pair.course, pair.state, number, index) for number in BOTH)


def _name(pair: Pair, index: int) -> str:
    there = pair.course.sections[index]
    return section(there.called, pair.course.pattern.of_socks)


def _rows(pair: Pair, number: Number, index: int) -> bool:
    """Whether anything of a section was worked."""
    sock = pair.state.sock(number)
    here = index == sock.section and bool(sock.rows or sock.inside)
    return index < len(sock.ended) or here


def _weighings(pair: Pair) -> Iterator[str]:
    """ "85 g of navy, 1 March 2026, after leg round 20 of sock one"."""
    of_socks = pair.course.pattern.of_socks
    at = {one.event.number: one for one in pair.past}
    for weighed in pair.state.weighings:
        one = at[weighed.event]
        of = f" of {shorten(weighed.colour)}" if weighed.colour else ""
        where = f"{section(one.section, of_socks)} {unit(one.made_worked)} {one.row}"
        on = f"after {where} of {called(one.sock, of_socks)}"
        when = date(day_of(one.event.at, one.event.offset))
        yield f"{yarn_words.grams(weighed.grams)}{of}, {when}, {on}."


# What is left


def _behind(state: State) -> Number:
    """The unfinished sock that is furthest behind; that in hand where all is finished."""
    places = [
        (sock.section, sock.rows, sock.needles, number != state.hand, number)
        for number, sock in zip(BOTH, state.socks, strict=True)
        if not sock.finished
    ]
    return min(places)[-1] if places else state.hand


def _ends(pair: Pair, number: Number) -> sections.Ends:
    """How the sections of a sock ended, and will end."""
    sock = pair.state.sock(number)
    course = pair.course.of(sock)
    ahead = range(len(sock.ended), course.last + 1)
    settled = [index for index in ahead if pair.state.follows(number, index) is not None]
    counts = (*sock.ended, *(_count(pair, number, index) for index in ahead))
    done = {sock.section: sock.rows} if sock.rows and not sock.finished else {}
    return sections.Ends(counts, settled, done)


def _count(pair: Pair, number: Number, index: int) -> int:
    """The rows a section is to have: as the other sock has it, as far as its goal, or as planned."""
    sock = pair.state.sock(number)
    there, follows = pair.course.of(sock).sections[index], pair.state.follows(number, index)
    if there.goal is None:
        return there.planned
    count = rows_to_goal(pair.course, pair.state, number, index) if follows is None else follows
    done = pair.course.number(index, sock.rows) if index == sock.section else 0
    return max(count, done + (follows is None))


def _left(pair: Pair, number: Number, indexes: Sequence[int]) -> list[int]:
    """The sections that are still to be knitted on a sock."""
    sock = pair.state.sock(number)
    return [] if sock.finished else [index for index in indexes if index >= sock.section]


def _what_is_left(
    pair: Pair, number: Number, ends: sections.Ends, indexes: Sequence[int]
) -> Iterator[Part]:
    if not indexes:
        return
    of_socks = pair.course.pattern.of_socks
    places = tuple(_place(pair, one) for one in BOTH)
    yield Part("Still to knit", (Points(places),))
    several = not any(sock.finished for sock in pair.state.socks)
    for index in indexes:
        for on in _alike(pair, number, index):
            which = "both" if len(on) > 1 else called(on[0], of_socks)
            ends_at = filter(None, (_ends_at(pair, one, index) for one in sorted(on)))
            told = [*([f"On {which}."] if several else []), *ends_at]
            course = Course(pair.course.pattern._replace(sections=_with_goals(pair, on[0])))
            course.coloured = pair.course.of(pair.state.sock(on[0])).coloured
            there = ends if on[0] == number else _ends(pair, on[0])
            yield from sections.parts(course, [index], there, {index: told})


def _alike(pair: Pair, number: Number, index: int) -> list[list[Number]]:
    """The socks on which a section is still to be knitted: together where its rows are the same."""
    on: list[Number] = [one for one in (number, other(number)) if _left(pair, one, [index])]
    courses = [pair.course.of(pair.state.sock(one)) for one in on]
    rows = [(course.sections[index].rows, course.coloured) for course in courses]
    if len(on) > 1 and rows[0] != rows[1]:
        return [[one] for one in sorted(on)]
    return [on] if on else []


# Once nothing is left


def _as_it_was_worked(pair: Pair, indexes: Sequence[int]) -> Iterator[Part]:
    """The rows of every section as they were worked: of both socks at once where they are the same."""
    yield Part("As it was worked", (Paragraph("Every row as it was made, for the next pair."),))
    one, two = (called(number, pair.course.pattern.of_socks) for number in BOTH)
    for ours, theirs in zip(*(_worked(pair, number, indexes) for number in BOTH), strict=True):
        if ours == theirs:
            yield _on("both", ours)
        else:
            yield from (_on(one, ours), _on(two, theirs))


def _worked(pair: Pair, number: Number, indexes: Sequence[int]) -> list[Part]:
    """The sections of a sock that has ended them, with the rows that each had."""
    sock = pair.state.sock(number)
    worn = pair.course.of(sock)
    course = Course(worn.pattern)  # the cards, too, go by its own rows
    course.coloured = worn.coloured
    counts = (*sock.ended, *sections.planned_counts(course)[len(sock.ended) :])
    return list(sections.parts(course, indexes, sections.Ends(counts, range(len(counts)))))


def _on(which: str, part: Part) -> Part:
    return part._replace(blocks=(Points((f"On {which}.",)), *part.blocks))


def _resting(pair: Pair) -> Iterator[str]:
    """What the socks rest with that have come to the end of the pattern so far."""
    for number in BOTH:
        glance = _glance(pair, number)
        if glance.used_up is not None:
            yield f"{capital(stage_words.resting(glance, glance.used_up))}."


def _glance(pair: Pair, number: Number) -> Glance:
    return look(pair.course, pair.state, Shown("", "rounds", 1, rest=False), number)


def _place(pair: Pair, number: Number) -> str:
    return words.place(_glance(pair, number))


def _ends_at(pair: Pair, number: Number, index: int) -> str:
    """Where an open section has to end on this sock, if the other has ended it; or goes on by a goal."""
    of_socks, there = pair.course.pattern.of_socks, pair.course.sections[index]
    follows = pair.state.follows(number, index)
    if there.goal is None or follows is None:
        return ""
    word, other = unit(there.worked), called(3 - number, of_socks)
    return f"{capital(called(number, of_socks))} ends it at {word} {follows}, as {other} did."


def _with_goals(pair: Pair, number: Number) -> tuple[Section, ...]:
    """The sections with the goals that she set."""
    found = []
    for index, there in enumerate(pair.course.of(pair.state.sock(number)).sections):
        own = pair.state.goal(number, index)
        goal = there.goal if own is None or there.goal is None else there.goal._replace(mm=own)
        found.append(there._replace(goal=goal))
    return tuple(found)
