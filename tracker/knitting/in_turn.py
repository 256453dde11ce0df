"""So many rounds on each sock in turn: whose turn it is, and for how long. Common practice, no source.

A turn is so many rounds that are worked in the round. What is worked flat between them, as a heel is,
counts as none of them, and once it is begun it is finished first: nobody lays a half-turned heel down.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.knitting.course import Course
from tracker.knitting.state import Number, Placed, State
from tracker.pattern.model import HEEL_FLAT, HEEL_ROUNDS, Section
from tracker.records import NamedTuple

HEEL = HEEL_FLAT | {HEEL_ROUNDS}
"""Kinds of section that are one piece of work: nobody changes socks between them."""


class Come(NamedTuple):
    """How far a sock has come: its `rounds`, the rows it has worked `flat` between them, and whether it is
    `inside` such a piece of work that is begun and not finished."""

    rounds: int
    flat: int
    inside: bool


class Whose(NamedTuple):
    """The sock whose turn it is, and how many more `rounds` of it; `flat`: after the heel that it is in."""

    to: Number
    rounds: int
    flat: bool


def come(course: Course, sock: Placed, ended: Sequence[int], *, begun_row: bool) -> Come:
    """How far a sock has come on its own course."""
    flat = _flat(course.sections)
    rows = list(ended)
    if not sock.finished:
        rows.append(course.number(sock.section, sock.rows))
    counts = list(zip(rows, flat, strict=False))
    return Come(
        sum(many for many, apart in counts if not apart),
        sum(many for many, apart in counts if apart),
        _is_inside(course.sections, flat, sock, begun_row),
    )


def start(one: Come, two: Come) -> int:
    """The round from which turns are counted: that of the sock that is further when the order is given."""
    return max(one.rounds, two.rounds)


def of_sock(course: Course, state: State, number: Number) -> Come:
    """How far a sock of the pair has come."""
    sock = state.sock(number)
    return come(course.of(sock), sock, sock.ended, begun_row=sock.inside)


def whose(course: Course, state: State) -> Whose:
    """Whose turn it is: first that of a heel that is begun on one sock alone."""
    one, two = of_sock(course, state, 1), of_sock(course, state, 2)
    to, left = _by_rounds(one, two, state.order.rounds, state.counted_from)
    in_heel: Number = 1 if one.inside else 2
    if one.inside != two.inside and in_heel != to:
        return Whose(in_heel, 0, True)
    return Whose(to, left, (one, two)[to - 1].inside)


def _by_rounds(one: Come, two: Come, block: int, start: int) -> tuple[Number, int]:
    """The sock that has had fewer turns; of as many the one inside its turn, and where none is, sock one."""
    ones, twos = one.rounds - start, two.rounds - start
    if ones // block == twos // block:
        to: Number = 1 if (ones, one.flat) >= (twos, two.flat) else 2
        return to, block - max(ones, twos) % block
    if ones < twos:
        return 1, twos // block * block - ones
    return 2, ones // block * block - twos


def _flat(sections: tuple[Section, ...]) -> list[bool]:
    """Of every section whether its rows are no rounds of a turn.

    A piece that begins flat, or is flat throughout, is worked in turns by its rows.
    """
    rounds = [at for at, section in enumerate(sections) if section.worked == "rounds"]
    between = range(rounds[0], rounds[-1]) if rounds else range(0)
    return [
        section.worked == "rows" and (at in between or section.kind in HEEL)
        for at, section in enumerate(sections)
    ]


def _is_inside(
    sections: tuple[Section, ...], flat: list[bool], sock: Placed, begun_row: bool
) -> bool:
    """Whether it is in such a piece of work; the row that picks stitches up for the next round ends it."""
    at = sock.section
    after = at > 0 and flat[at - 1]
    if sock.finished:
        return False
    if sections[at].kind == HEEL_ROUNDS:
        return True  # half of the heel is still to come
    if flat[at]:
        return after or bool(sock.rows) or begun_row
    return after and sections[at].first == 0 and not sock.rows
