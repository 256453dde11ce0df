"""The two socks against each other, section by section: plain data, made on demand.

Of every pair of values the first is sock one's. Names of sections, notes and colours are a stranger's
text: clean on showing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from tracker.drawing import Picture, picture
from tracker.forecast import left
from tracker.forecast.coming import Coming
from tracker.forecast.tapes import Tapes
from tracker.glance import Glance
from tracker.knitting import step
from tracker.knitting.changes import Change
from tracker.knitting.course import Course
from tracker.knitting.hanging import Hanging, hanging
from tracker.knitting.state import BOTH, Number, Sock, State, Weighing, other
from tracker.knitting.step import Differs
from tracker.pattern.model import Gauge, Mark, Worked
from tracker.records import NamedTuple

How = Literal["both", "to come", "one only", "meant"]
"""A change is on both socks, still to come on the other, on one that the other is past, or meant for one."""


Pictures = tuple[Picture | None, Picture | None]
"""Sock one's and sock two's."""


class Side(NamedTuple):
    """A section on one sock: rows done (None: not come to), whether it is over, its length and minutes.

    `mm` is from where the section is usually measured, as the tape taught; `minutes` are those of this
    section alone. None where they are not known.
    """

    rows: int | None
    ended: bool
    mm: float | None = None
    minutes: float | None = None


class Line(NamedTuple):
    """A section on both socks. `apart` are sock two's rows less sock one's, once both have ended it.

    `share` is the part of a sock's stitches, 0 to 1, that is made once this section is.
    """

    section: str
    worked: Worked
    sides: tuple[Side, Side]
    here: tuple[bool, bool]
    apart: int | None
    share: float | None


class Changed(NamedTuple):
    """Something otherwise than planned: on which sock it was first, and how it is on the other."""

    section: str
    worked: Worked
    change: Change
    on: Number
    how: How


class Reading(NamedTuple):
    """A tape reading: mm from a mark after a row of a section of a sock; `counts`: it was learned from."""

    sock: Number
    section: str
    worked: Worked
    row: int
    mm: float
    mark: Mark
    usual: bool
    counts: bool


class SideBySide(NamedTuple):
    """All of it.

    `glance` is the look at the sock in hand; `tension` the share by which sock two is longer than sock
    one at the same count (below 0: tighter); `learned` the rounds to 100 mm of leg and foot that each
    sock's tape taught, None where none was laid.
    """

    glance: Glance
    lines: tuple[Line, ...]
    differences: tuple[Differs, ...]
    changes: tuple[Changed, ...]
    hanging: tuple[Hanging, ...]
    readings: tuple[Reading, ...]
    tension: float | None
    gauge: Gauge | None
    learned: tuple[tuple[float, float] | None, tuple[float, float] | None]
    weighings: tuple[Weighing, ...]
    pictures: Pictures


def side_by_side(course: Course, state: State, glance: Glance) -> SideBySide:
    """The pair as it is; `glance` is the look at the sock in hand."""
    tapes = Tapes(course, state)
    coming = _coming(course, state, tapes)
    one, two = (left.learned_rows(course, state, number, tapes) for number in BOTH)
    return SideBySide(
        glance=glance,
        lines=tuple(_lines(coming, tapes)),
        differences=tuple(step.named(course, found) for found in step.differences(state)),
        changes=tuple(_changes(course, state)),
        hanging=hanging(course, state),
        readings=tuple(reading for number in BOTH for reading in _readings(tapes, number)),
        tension=left.tension_of_two(course, state, tapes),
        gauge=course.pattern.gauge,
        learned=(one, two),
        weighings=state.weighings,
        pictures=_pictures(coming),
    )


def _coming(course: Course, state: State, tapes: Tapes) -> Coming:
    lengths = left.length_of(course, state, 1, tapes), left.length_of(course, state, 2, tapes)
    return Coming(course, state, state.hand, lengths, tapes)


# Section by section


def _lines(coming: Coming, tapes: Tapes) -> Iterator[Line]:
    course, state = tapes.course, tapes.state
    shares = _shares(course, state, coming)
    for index, there in enumerate(course.sections):
        one, two = (_side(tapes, number, index) for number in BOTH)
        here = tuple(sock.section == index and not sock.finished for sock in state.socks)
        apart = step.rows_apart(state, index)
        yield Line(there.called, there.worked, (one, two), (here[0], here[1]), apart, shares[index])


def _side(tapes: Tapes, number: Number, index: int) -> Side:
    course, state = tapes.course, tapes.state
    sock = state.sock(number)
    if index < len(sock.ended):
        mm = left.ended_length(course, state, number, index, tapes)
        return Side(sock.ended[index], True, mm, _minutes(sock, index))
    if index == sock.section and sock.begun:
        return Side(course.of(sock).number(index, sock.rows), False)
    return Side(None, False)


def _minutes(sock: Sock, index: int) -> float | None:
    """Minutes that a finished section took; None where they are not all known."""
    if index >= len(sock.minutes_at):
        return None
    end, begin = sock.minutes_at[index], sock.minutes_at[index - 1] if index else 0.0
    return None if end is None or begin is None else end - begin


def _shares(course: Course, state: State, coming: Coming) -> list[float | None]:
    """The part of a sock's stitches that is made after each section, on the sock that is further on."""
    if not all(section.counted for section in course.sections):
        return [None] * len(course.sections)
    number: Number = max(BOTH, key=lambda one: len(state.sock(one).ended))
    of, rows = course.of(state.sock(number)), coming.rows(number)
    made, made_to = 0, []
    for index, section in enumerate(of.sections):
        made += of.made(index, section.rows_to(rows[index]))
        made_to.append(made)
    return [to / max(made, 1) for to in made_to]


# What is otherwise than planned


def _changes(course: Course, state: State) -> Iterator[Changed]:
    """In the order of the fabric; what both socks have is told once."""
    found = [one for number in BOTH for one in _told_on(course, state, number)]
    return iter(sorted(found, key=lambda one: (one.change.section, one.change.row)))


def _told_on(course: Course, state: State, number: Number) -> Iterator[Changed]:
    mine, hers = state.sock(number), state.sock(other(number))
    theirs = {step.key(change): change for change in hers.changes}
    for change in mine.changes:
        twin = theirs.get(step.key(change))
        if change.repeats or (number == 2 and twin is not None and not twin.repeats):
            continue  # told with the one that it repeats
        there = course.sections[change.section]
        how: How = _how(course, hers, change, twin)
        yield Changed(there.called, there.worked, change, number, how)


def _how(course: Course, hers: Sock, change: Change, twin: Change | None) -> How:
    if twin is not None:
        return "both" if not twin.repeats or _past(course, hers, change) else "to come"
    if not change.repeat:
        return "meant"
    return "one only"


def _past(course: Course, sock: Sock, change: Change) -> bool:
    """Whether a sock has done the row of a change."""
    if sock.finished or sock.section != change.section:
        return sock.finished or sock.section > change.section
    return course.number(sock.section, sock.rows) >= change.row and sock.rows > 0


# The tape


def _readings(tapes: Tapes, number: Number) -> Iterator[Reading]:
    course, state = tapes.course, tapes.state
    taken_in = left.readings_of(course, state, number, tapes)
    counting = {one.event for one in taken_in if one.counts}
    for taken in state.sock(number).readings:
        there = course.sections[taken.section]
        usual = there.marks[0] if there.marks else "section"
        yield Reading(
            number, there.called, there.worked, taken.row, taken.mm, taken.mark,
            taken.mark == usual, taken.event in counting,
        )  # fmt: skip


# Both drawn


def pictures(course: Course, state: State) -> Pictures:
    """Both socks drawn as far as they are knitted, with one key of colours; None of what is no sock."""
    return _pictures(_coming(course, state, Tapes(course, state)))


def _pictures(coming: Coming) -> Pictures:
    first = _picture(coming, 1)
    return first, _picture(coming, 2, first.key if first else ())


def _picture(coming: Coming, number: Number, first: tuple[str, ...] = ()) -> Picture | None:
    state = coming.state
    sock = state.sock(number)
    place = None if sock.finished else (sock.section, sock.rows)
    return picture(coming.course.of(sock), coming.rows(number), place, first)
