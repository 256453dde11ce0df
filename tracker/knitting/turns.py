"""Whose turn it is: what the order of work says of the two socks. Common practice, no source."""

from __future__ import annotations

from typing import Literal

from tracker.knitting import in_turn, pair
from tracker.knitting.course import Course
from tracker.knitting.state import Number, Placed, State, other
from tracker.pattern.model import CLOSING, Section
from tracker.records import NamedTuple


def stations(
    course: Course, one: Placed, two: Placed, hand: Number, *, by_needle: bool
) -> tuple[Number, ...]:
    """The socks that the next tick is for, where both are worked together; one alone: the sock in hand.

    Round by round a tick is for both. Needle by needle it goes one-A, two-A, two-B, one-B. Where the
    places differ, and in rows worked flat, it is for the sock in hand.
    """
    alone: tuple[Number, ...] = (hand,)
    if one.finished or two.finished or one.section != two.section:
        return alone
    section = course.sections[one.section]
    if section.worked != "rounds":
        return alone
    level, ahead = two.rows == one.rows, two.rows == one.rows + 1
    if not by_needle:
        if level:
            return 1, 2
        return (1,) if ahead and one.needles and not two.needles else alone
    if len(course.row(one.section, one.rows).needles) != _LOOPS:
        return alone
    if level:
        found = {(0, 0): 1, (1, 0): 2, (1, 1): 2}.get((one.needles, two.needles))
    else:
        found = 1 if ahead and (one.needles, two.needles) == (1, 0) else None
    return alone if found is None else (1,) if found == 1 else (2,)


_LOOPS = 2
"""Needles, or loops of one long cord, on which two socks are worked together: A and B."""


def level(course: Course, state: State) -> bool:
    """Whether both socks are worked together, between two rounds, and the next one is for both."""
    if state.order.kind != "together" or any(sock.inside for sock in state.socks):
        return False
    return len(stations(course, *state.socks, state.hand, by_needle=False)) > 1


def side_by_side(course: Course, state: State) -> bool:
    """Whether both socks are worked together in the section in hand, be it between two needles of a round."""
    one, two = state.socks
    there = course.sections[one.section]
    together = state.order.kind == "together" and one.section == two.section
    return together and there.worked == "rounds" and not (one.finished or two.finished)


def lacks_needles(course: Course, state: State) -> bool:
    """Whether the order of work hangs both socks on needles, and only one set of them is named."""
    return state.order.two_sets and not course.pattern.spare_set


class Turn(NamedTuple):
    """It is the other sock's turn: `to` that one, which is `behind` by so many rounds.

    `why` says by what: this one is at the end of a "section" and the other at `section`, the other's turn is
    so many `rounds`, after the `heel` it is in, or both are worked "together" and are apart. `passed` is true
    once she has gone on all the same.
    """

    to: Number
    why: Literal["section", "rounds", "together"]
    section: str
    behind: int
    passed: bool
    rounds: int = 0
    heel: bool = False


def turn(course: Course, state: State, number: Number) -> Turn | None:
    """Whether by the order of work it is the other sock's turn, as long as that is so; None: go on."""
    order, sock, their = state.order, state.sock(number), state.sock(other(number))
    if order.kind == "one" or their.finished or sock.finished:
        return None
    ahead = pair.rounds(course, state, number) - pair.rounds(course, state, other(number))
    told = Turn(other(number), "section", course.sections[their.section].called, ahead, sock.inside)
    if order.kind == "every":
        return _by_rounds(course, state, number, told)
    if not sock.begun:
        return None
    blocks = _blocks(course.sections)
    if blocks[sock.section] > blocks[their.section]:
        return told._replace(passed=bool(sock.rows or sock.inside))
    if order.kind == "together" and _apart(course, state, ahead):
        return told._replace(why="together", passed=ahead > 1)
    return None


def own_turn(course: Course, state: State, number: Number) -> in_turn.Whose | None:
    """In an order of so many rounds on each: how much more of this sock's turn; None: it is not its turn."""
    if state.order.kind != "every" or any(sock.finished for sock in state.socks):
        return None
    found = in_turn.whose(course, state)
    return found if found.to == number else None


def _by_rounds(course: Course, state: State, number: Number, told: Turn) -> Turn | None:
    """The other sock's turn, where so many rounds are knitted on each; `passed` once she has gone on."""
    found = in_turn.whose(course, state)
    if found.to == number:
        return None
    passed = told.passed or _went_on(course, state, number, found)
    return told._replace(why="rounds", rounds=found.rounds, heel=found.flat, passed=passed)


def _went_on(course: Course, state: State, number: Number, found: in_turn.Whose) -> bool:
    """Whether a sock is further ahead than a turn is long, and not only because it was so from the first."""
    mine = in_turn.of_sock(course, state, number).rounds
    their = in_turn.of_sock(course, state, found.to).rounds
    return mine > state.counted_from and mine - their > state.order.rounds


def _apart(course: Course, state: State, ahead: int) -> bool:
    """Whether one sock is ahead in rounds that are worked for both, and neither is inside one."""
    one, two = state.socks
    in_rounds = course.sections[one.section].worked == "rounds"
    same = one.section == two.section and in_rounds
    return same and ahead > 0 and not (one.inside or two.inside)


def _blocks(sections: tuple[Section, ...]) -> list[int]:
    """Of every section which piece of work it belongs to, from 0: a heel is one, a toe and its end are,
    cuff and bind-off."""
    found: list[int] = []
    for index, section in enumerate(sections):
        before = sections[index - 1] if index else None
        goes_on = before is not None and (
            (section.kind in in_turn.HEEL and before.kind in in_turn.HEEL)
            or section.kind in CLOSING
            or (section.worked == "rows" and before.kind == "turn")
            or before.leads_to_toe
        )
        found.append(found[-1] + (not goes_on) if found else 0)
    return found
