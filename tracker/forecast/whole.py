"""Where an open section ends on a whole repeat or a full stripe: the two rows nearest to its goal."""

from __future__ import annotations

from typing import Literal

from tracker.knitting import stripes
from tracker.knitting.chart_row import repeat_of, rows_done
from tracker.knitting.course import Course
from tracker.knitting.state import Number, Sock, State
from tracker.records import NamedTuple

What = Literal["repeat", "stripe"]


class Ends(NamedTuple):
    """Rows of a section at which a `what` is whole: the last not past the goal, and the next.

    A single row where the goal lies on one, or before the first. Empty: nothing repeats there.
    """

    what: What
    rows: tuple[int, ...]


def ends(course: Course, state: State, number: Number, goal_row: int) -> Ends:
    """The whole repeats or full stripes of the section in hand that lie about `goal_row`."""
    sock = state.sock(number)
    there = course.of(sock)
    if there.sections[sock.section].cycle > 1:
        rows = _repeats(there, sock, goal_row)
        # A repeat with a changing count may be written for another of its rows to be the last.
        return Ends("repeat", tuple(row for row in rows if there.may_end(sock.section, row)))
    return Ends("stripe", _stripes(course, state, number, goal_row))


def _repeats(course: Course, sock: Sock, goal_row: int) -> tuple[int, ...]:
    """Rows at which a whole repeat ends, counted on from those that were worked before the section."""
    section, cycle = course.sections[sock.section], repeat_of(course, sock.section)
    behind = rows_done(course, sock.ended, sock.section)
    over = (behind + section.rows_to(goal_row)) % cycle
    # The first that ends in the section: not one whose rows lie before it, all of them.
    first = cycle - behind if behind < 0 else cycle - behind % cycle
    first += section.first - 1
    if not over and goal_row >= first:
        return (goal_row,)
    before = goal_row - over
    both = (before, before + cycle)
    return tuple(row for row in both if row >= first) or (first,)


def _stripes(course: Course, state: State, number: Number, goal_row: int) -> tuple[int, ...]:
    """Rows at which the clock of the stripes ends one, at most a sequence away from the goal."""
    colours, index = course.pattern.colours, state.sock(number).section
    threads = stripes.threads(course, state, number)
    if not colours.period or not threads.ticks(index):
        return ()
    section = course.sections[index]

    def whole(row: int) -> bool:
        return threads.ends(index, section.rows_to(row)) is not None

    if goal_row > 0 and whole(goal_row):
        return (goal_row,)
    low = max(0, goal_row - colours.period)
    before = next((row for row in range(goal_row - 1, low, -1) if whole(row)), None)
    reach = range(max(goal_row, 0) + 1, max(goal_row, 0) + colours.period + 1)
    after = next((row for row in reach if whole(row)), None)
    return tuple(row for row in (before, after) if row is not None)
