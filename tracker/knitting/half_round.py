"""A round that is half worked while its stitches are laid on other needles: where she is in it then.

The order of the stitches and the working point stay; only where one needle ends and the next begins moves.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from tracker.knitting.changes import BadChange
from tracker.knitting.course import Course
from tracker.knitting.state import Sock
from tracker.knitting.tinking import stitches_on
from tracker.pattern.model import Row
from tracker.pattern.notation import BadRow, read_row, runs, stitch_of
from tracker.records import NamedTuple


class Inside(NamedTuple):
    """A place inside a round: needles finished, and stitches of the one after them that are worked."""

    needles: int
    into: int


def worked(row: Row, here: Inside) -> int:
    """Stitches of a round that are on the right needle, wherever one needle ends."""
    before = sum(len(stitches_on(row, at)) for at in _at_work(row) if at < here.needles)
    return before + here.into


def inside(row: Row, stitches: int) -> Inside:
    """Where so many stitches of a round are worked; a needle that is all worked counts as ticked."""
    needles = 0
    for at in _at_work(row):
        on = len(stitches_on(row, at))
        if stitches < on:
            return Inside(needles, stitches)
        stitches, needles = stitches - on, at + 1
    return Inside(needles, 0)


def _at_work(row: Row) -> list[int]:
    return [at for at, needle in enumerate(row.needles) if not needle.rests]


def moved_point(was: Course, now: Course, sock: Sock) -> Inside | None:
    """Where a sock is in the row in hand on its course as it is `now`; None where that is as it `was`."""
    old, row = (course.row(sock.section, sock.rows) for course in (was, now))
    if row.side is not None or (old.before, _names(old)) == (row.before, _names(row)):
        return None
    done = worked(old, Inside(sock.needles, sock.into))
    return inside(row, done) if done else None  # a round that is begun, and nobody says how far


def _names(row: Row) -> list[str]:
    return [needle.name for needle in row.needles]


def before_it(row: Row, here: Inside, hanging: Sequence[int]) -> tuple[int, ...]:
    """Stitches on each needle at the beginning of the round, from those `hanging` on them now.

    Raises BadChange where they are not as many as hang there.
    """
    done, there = worked(row, here), [(0, 0)]
    for takes, leaves in _stitches(row):
        before, now = there[-1]
        there.append((before + takes, now + (leaves if now + leaves <= done else takes)))
    hang = there[-1][1]
    if sum(hanging) != hang:
        raise BadChange(
            f"{'/'.join(map(str, hanging))} is {sum(hanging)} stitches in all, {hang} are on the "
            "needles; count each needle once more"
        )
    ends = [_least(there, end) for end in accumulate(hanging)]
    return tuple(end - begin for begin, end in zip([0, *ends], ends, strict=False))


def _least(there: Sequence[tuple[int, int]], end: int) -> int:
    """Where a border after so many hanging stitches lay at the beginning of the round."""
    return next(before + min(0, end - now) for before, now in there if now >= end)


def _stitches(row: Row) -> list[tuple[int, int]]:
    """What every stitch of a round takes and leaves, in their order."""
    found: list[tuple[int, int]] = []
    for needle, held in zip(row.needles, row.before, strict=True):
        found += [(1, 1)] * held if needle.rests else _of_needle(needle.work, held)
    return found


def _of_needle(work: str, held: int) -> list[tuple[int, int]]:
    try:
        made, _ = runs(read_row(work).segments[0], held)
    except BadRow:
        return [
            (1, 1)
        ] * held  # a decrease across the end of a needle: its own stitches, near enough
    stitches = [(stitch_of(name), times) for name, times in made]
    return [(one.takes, one.leaves) for one, times in stitches for _ in range(times)]
