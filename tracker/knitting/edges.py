"""Stitches picked up unevenly along the edges of a flap, as the count after the pick-up shows them."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.knitting import places
from tracker.knitting.course import Course
from tracker.knitting.state import Number, State
from tracker.pattern.model import MOST_UNEVEN


def just_picked_up(course: Course, state: State, number: Number) -> bool:
    """Whether the pick-up round of a gusset is the last one done: its edges can still be told."""
    sock = state.sock(number)
    section = course.of(sock).sections[sock.section]
    picks = section.kind == "gusset" and section.first == 0 and section.rows[0].word == "PICK"
    return picks and sock.rows == 1 and not sock.inside and not sock.finished


def chains(
    course: Course, state: State, number: Number, found: Sequence[int]
) -> tuple[int, int] | None:
    """The chains on the first and second edge (without the gap's stitches) that needles so counted show.

    None where the edges are as planned, where something else is off, and where both lie on one needle.
    """
    there = places.expected(course, state, number)
    if not just_picked_up(course, state, number) or len(found) != len(there) or len(found) < 3:
        return None
    off = [one - planned for one, planned in zip(found, there, strict=True)]
    if not (off[0] or off[-1]) or any(off[1:-1]):
        return None
    of, sock = course.of(state.sock(number)), state.sock(number)
    row = of.row(sock.section, 0)
    first, second = (row.needles[at].leaves - row.before[at] - of.pattern.gap for at in (0, -1))
    edges = first + off[0], second + off[-1]
    return edges if min(edges) > 0 and abs(edges[0] - edges[1]) <= MOST_UNEVEN else None
