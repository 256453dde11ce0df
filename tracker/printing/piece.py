"""One piece of a pair, as it was made: its dates, and of every section what was done and noted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker import change_words
from tracker.forecast.left import ended_length, readings_of
from tracker.knitting.course import Course
from tracker.knitting.events import LONGEST_NOTE
from tracker.knitting.past import Past
from tracker.knitting.pins import pins_stay
from tracker.knitting.state import Number, Sock, State, TapeReading
from tracker.knitting.used_up import is_whole
from tracker.knitting.worked import day_of
from tracker.pattern.model import on_each
from tracker.printing.dates import date
from tracker.printing.sheet import Facts, Part, Row, Rows
from tracker.units import shorten, whole, write_length
from tracker.vocabulary import and_all, capital, counted, duration, laid_from, section, unit
from tracker.vocabulary import sock as called

_KNITTED = ("tick", "at", "end")
"""Kinds of act by which a piece grows."""


def piece(
    course: Course, state: State, past: Sequence[Past], number: Number, indexes: Sequence[int]
) -> Part:
    """What was done on a piece, in the sections `indexes`."""
    course = course.of(state.sock(number))
    rows = tuple(
        row for index in indexes for row in _section(course, state, number, index) if row.work
    )
    name = capital(called(number, course.pattern.of_socks))
    over = state.sock(number).finished and is_whole(course.pattern)
    dates = tuple(_dates(state.sock(number), past, number, over=over))
    return Part(name, (Facts(dates), Rows(rows)))


def so_far(course: Course, state: State, number: Number, index: int) -> str:
    """ "46 rounds", "20 so far", or "" where nothing of a section is worked."""
    sock, worked = state.sock(number), course.sections[index].worked
    if index < len(sock.ended):
        return counted(sock.ended[index], worked)
    if index == sock.section and (sock.rows or sock.inside):
        return f"{course.number(index, sock.rows)} so far"
    return ""


# Its dates


def _dates(
    sock: Sock, past: Sequence[Past], number: Number, *, over: bool
) -> Iterator[tuple[str, str]]:
    acts = [one for one in past if one.event.sock == number and not one.undone]
    again = [place for place, one in enumerate(acts) if one.event.kind == "restart"]
    since = acts[again[-1] + 1 :] if again else acts
    knitted = [_day(one) for one in since if one.event.kind in _KNITTED]
    if knitted:
        yield "Begun", date(knitted[0])
        yield ("Finished" if over else "Last knitted"), date(knitted[-1])
    if sock.minutes is None:
        yield "Knitting", "not all of it was timed"
    elif sock.minutes >= 1:
        yield "Knitting", f"about {duration(whole(sock.minutes))}"
    if again:
        yield "Begun again", _times(len(again))
    if rips := sum(one.event.kind == "rip" for one in since):
        yield "Ripped back", _times(rips)


def _day(one: Past) -> int:
    return day_of(one.event.at, one.event.offset)


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


# Its sections


def _section(course: Course, state: State, number: Number, index: int) -> Iterator[Row]:
    there, name = course.sections[index], section(course.sections[index].called)
    told = [*_done(course, state, number, index), *_hanging(course, state, number, index)]
    yield Row(capital(name), " ".join(told), _left_on(course, state.sock(number), index))
    for note in state.sock(number).notes:
        if note.section == index:
            where = (
                f"Noted at {name} {unit(there.worked)} {note.row}"
                if note.row
                else f"Noted at {name}"
            )
            yield Row(where, shorten(note.text, LONGEST_NOTE))


def _done(course: Course, state: State, number: Number, index: int) -> Iterator[str]:
    """ "46 rounds, 16.2 cm."."""
    told, measure = so_far(course, state, number, index), course.pattern.unit
    if not told:
        return
    mm = ended_length(course, state, number, index)
    length = f", {write_length(mm, measure)}" if mm else ""
    yield f"{told}{length}."
    own = state.goal(number, index)
    if own is not None:
        alone = ", for this one alone" if (number, index) in state.own_goals else ""
        yield f"Its goal was set to {write_length(own, measure)}{alone}."


def _left_on(course: Course, sock: Sock, index: int) -> str:
    """The stitches on the needles where a section ended."""
    there = course.sections[index]
    if index >= len(sock.ended) or sock.ended[index] < there.first:
        return ""
    row = there.row(sock.ended[index])
    names, left = [needle.name for needle in row.needles], [needle.leaves for needle in row.needles]
    return "/".join(str(many) for _, many in on_each(names, left))


def _hanging(course: Course, state: State, number: Number, index: int) -> Iterator[str]:
    """What hangs on the rounds of a section: readings, lifelines, a pin."""
    sock, there = state.sock(number), course.sections[index]
    changes = [change for change in sock.changes if change.section == index]
    if changes:
        named = and_all(
            change_words.told(change, there, course.pattern.of_socks) for change in changes
        )
        yield f"Otherwise than planned: {named}."
    counts = _counting(course, state, number)
    read = [taken for taken in sock.readings if taken.section == index and taken.event in counts]
    if read:
        yield f"Measured {and_all(_reading(taken, course, index) for taken in read)}."
    lines = [line.row for line in sock.lifelines if line.section == index]
    if lines:
        what = "A lifeline lies" if len(lines) == 1 else "Lifelines lie"
        yield f"{what} in {unit(there.worked, len(lines))} {and_all(map(str, lines))}."
    stay = pins_stay(toe_up=course.pattern.toe_up)
    if there.kind in stay and index < len(sock.ended):
        yield "A pin stands at its end."


def _counting(course: Course, state: State, number: Number) -> set[int]:
    """The readings that count; of those that cannot be compared yet all that she has not left out."""
    taken = readings_of(course, state, number)
    if taken:
        return {one.event for one in taken if one.counts}
    return {one.event for one in state.sock(number).readings if one.verdict != "void"}


def _reading(taken: TapeReading, course: Course, index: int) -> str:
    there = course.sections[index]
    usual = there.marks[0] if there.marks else "section"
    laid = laid_from(taken.mark, toe_up=course.pattern.toe_up)
    mark = "" if taken.mark == usual else f" {laid}"
    return (
        f"{write_length(taken.mm, course.pattern.unit)}{mark} at {unit(there.worked)} {taken.row}"
    )
