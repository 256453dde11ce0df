"""A needle with a stitch too many or too few: how it is put right in the round that comes.

A plan, not a reproach: nothing of the pattern changes by it, and sock two does not repeat it. Common
practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

from tracker.knitting import places
from tracker.knitting.course import Course
from tracker.knitting.state import Number, State

MOST_OFF = 2
"""Stitches by which a needle may be off and is still put right on the way; more is another place."""


class Mend(NamedTuple):
    """One needle: so many stitches too many (below 0: too few), and how often the next round decreases
    on it as planned.
    """

    needle: str
    over: int
    decreases: int


class Repair(NamedTuple):
    """What to do in round `row`, the next one, on every needle that is off."""

    row: int
    mends: tuple[Mend, ...]


def repair(course: Course, state: State, number: Number) -> Repair | None:
    """How the last count of a sock's stitches is put right; None where it was right, or is another place.

    Only between two rounds, while nothing is worked since, and where each needle was counted.
    """
    sock = state.sock(number)
    check = sock.check
    if check is None or check.matches or sock.finished or sock.inside:
        return None
    if (check.section, check.rows) != (sock.section, sock.rows):
        return None
    course = course.of(sock)
    there, row = places.holds(course, sock.section, sock.rows), course.row(sock.section, sock.rows)
    if row.side is not None or len(check.found) != len(there) or len(there) != len(row.needles):
        return None
    off = [found - expected for found, expected in zip(check.found, there, strict=True)]
    if not sum(off) or max(map(abs, off)) > MOST_OFF:
        return None  # as many in all: a stitch sits on the needle beside its own
    mends = tuple(
        Mend(needle.name, over, max(0, held - needle.leaves))
        for needle, over, held in zip(row.needles, off, there, strict=True)
        if over
    )
    return Repair(row.number, mends)
