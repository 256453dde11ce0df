"""Stitches taken back one by one: which needle is then in hand, and how many of its stitches are worked.

They are counted back from where the sock is by its count: from the last needle that was ticked, or, round
by round, from the end of the last round; what was worked since and not ticked stands in no count. A stitch
is one on the right needle: a decrease is one, a slipped stitch too, one that was laid aside none. They go
back over the ends of needles, rounds and sections, to the cast-on. A row worked flat is one needle. The
next tick finishes the needle, or the round, in hand, and makes only the stitches that were taken back.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from tracker.knitting.course import Course
from tracker.knitting.state import Sock
from tracker.pattern.model import Row
from tracker.pattern.notation import BadRow, read_row, runs, stitch_of
from tracker.records import NamedTuple


class Tinked(NamedTuple):
    """A place inside a row: finished rows of a section, needles finished in the next, stitches of the one
    after them that are worked.
    """

    section: int
    rows: int
    needles: int
    into: int


class TooMany(Exception):
    """More stitches than are worked; `there` are all of them."""

    def __init__(self, there: int) -> None:
        self.there = there
        super().__init__(there)


def tinked(course: Course, sock: Sock, stitches: int) -> Tinked:
    """Where a sock is with so many stitches less, on its own course. Raises TooMany."""
    here, left = Tinked(sock.section, sock.rows, sock.needles, sock.into), stitches
    while left > here.into:
        left -= here.into
        before = _needle_before(course, sock, here)
        if before is None:
            raise TooMany(stitches - left)
        here = before
    return here._replace(into=here.into - left)


def _needle_before(course: Course, sock: Sock, here: Tinked) -> Tinked | None:
    """The needle before the one in hand, all its stitches worked; None at the cast-on."""
    section, rows, needles, _ = here
    while not needles:
        while not rows:
            if not section:
                return None
            section -= 1
            rows = course.sections[section].rows_to(sock.ended[section])
        rows -= 1
        row = course.row(section, rows)
        needles = 1 if row.side is not None else len(row.needles)
        while row.side is None and row.needles[needles - 1].rests:
            needles -= 1
    row = course.row(section, rows)
    at = needles - 1
    return Tinked(section, rows, _ticked_before(row, at), len(stitches_on(row, at)))


def _ticked_before(row: Row, at: int) -> int:
    """Needles passed in a row while that at `at` is in hand: up to the last one worked before it."""
    while at and row.needles[at - 1].rests:
        at -= 1
    return at


def stitches_on(row: Row, needles: int) -> tuple[int, ...]:
    """The stitches that come to lie on the needle in hand, once `needles` are passed; 1 for one that is made.

    Of a row worked flat those of the whole row.
    """
    if row.side is not None:
        parts = zip(row.needles, row.before, strict=True)
        return tuple(made for needle, held in parts for made in _worked(needle.work, held))
    at = row.working(needles)
    return _worked(row.needles[at].work, row.before[at]) if at < len(row.needles) else ()


def still_to_work(row: Row, needles: int) -> Iterator[int]:
    """How many needles are passed when each of those that are still to be worked is in hand."""
    if row.side is not None:
        yield needles
        return
    while (at := row.working(needles)) < len(row.needles):
        yield needles
        needles = at + 1


def made_into(row: Row, needles: int, into: int) -> int:
    """How many of the first `into` stitches of the needle in hand are made, and not only slipped."""
    return sum(stitches_on(row, needles)[:into]) if into else 0


@lru_cache(maxsize=64)
def _worked(work: str, held: int) -> tuple[int, ...]:
    if not work:
        return ()
    try:
        worked, _ = runs(read_row(work).segments[0], held)
    except BadRow:
        return (1,) * held  # a decrease across the end of a needle: its own stitches, near enough
    found: list[int] = []
    for name, times in worked:
        stitch = stitch_of(name)
        one = (1,) * stitch.made + (0,) * (stitch.leaves - stitch.made)
        found += () if name == "rest" else one * times
    return tuple(found)
