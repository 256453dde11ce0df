"""The two socks against each other: who leads, and how far each has come."""

from __future__ import annotations

from typing import Literal

from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Number, State
from tracker.knitting.step import in_step
from tracker.records import NamedTuple

PlannedBy = Literal["pattern", "other sock", "goal"]


class Planned(NamedTuple):
    """How many rows the section at hand will have, row 0 left out, and who says so."""

    rows: int
    by: PlannedBy


def planned(course: Course, state: State, number: Number) -> Planned:
    """The count the section at hand goes to: an open one follows the sock that ended it first.

    Not where it was given a goal of its own.
    """
    sock = state.sock(number)
    course = course.of(sock)
    section, follows = course.sections[sock.section], state.follows(number, sock.section)
    if section.goal is None:
        return Planned(section.planned, "pattern")
    return Planned(section.planned, "goal") if follows is None else Planned(follows, "other sock")


def past_the_other(course: Course, state: State, number: Number) -> int | None:
    """Rounds by which an open section is past the count at which the other sock ended it.

    0 is exactly there; None where it is not, and counting goes on as before.
    """
    sock = state.sock(number)
    end = planned(course, state, number)
    over = course.of(sock).number(sock.section, sock.rows) - end.rows
    return over if end.by == "other sock" and over >= 0 else None


def made(course: Course, state: State, number: Number) -> int:
    """Stitches made in the fabric of a sock, up to the needle."""
    sock = state.sock(number)
    course = course.of(sock)
    total = course.made_before(sock.ended, sock.section)
    if sock.needles:
        row = course.row(sock.section, sock.rows)
        total += sum(needle.made for needle in row.needles[: sock.needles])
    if sock.into:
        from tracker.knitting.tinking import made_into

        total += made_into(course.row(sock.section, sock.rows), sock.needles, sock.into)
    return total + course.made(sock.section, sock.rows)


def rounds(course: Course, state: State, number: Number) -> int:
    """Rows of every section done on a sock, row 0 left out."""
    sock = state.sock(number)
    if sock.finished:
        return sum(sock.ended)
    return sum(sock.ended) + course.of(sock).number(sock.section, sock.rows)


def behind(course: Course, state: State) -> tuple[int, int]:
    """By how many rounds, and by how many stitches, sock two is behind; below 0: sock one."""
    one, two = ((rounds(course, state, number), made(course, state, number)) for number in BOTH)
    return one[0] - two[0], one[1] - two[1]


def summary(course: Course, state: State) -> tuple[Number, str, int, bool, tuple[int, int]]:
    """The sock in hand, its section, the rows done of it, whether the pair is in step, and its lag."""
    sock = state.sock(state.hand)
    section = course.sections[sock.section].name
    done = course.of(sock).number(sock.section, sock.rows)
    return state.hand, section, done, in_step(state), behind(course, state)
