"""Socks for the left and the right foot: sock two has the mirror image of sock one's toe, and no more.

The needles of instep and of sole change places with their stitches, each worked from its end to its
beginning; so every half holds as many in every round as on sock one, and there are as many rounds.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern import notation
from tracker.pattern.layout import growing, shaping
from tracker.pattern.mirror import ONE_WAY, back, mirrored
from tracker.pattern.model import Needle, Pattern, Row, Section
from tracker.pattern.notation import BadRow, written

_INSTEP = {2: 1, 3: 1, 4: 2}
"""Needles of the instep, by how many there are; the sole's come after them."""
_SHAPED = {
    shaping(1, 0): shaping(0, 1), shaping(0, 1): shaping(1, 0), shaping(1, 1): shaping(1, 1),
    growing(1, 0): growing(0, 1), growing(0, 1): growing(1, 0), growing(1, 1): growing(1, 1),
    "k": "k", "p": "p",
}  # fmt: skip
"""What a needle of a toe does, and what that is from its end to its beginning."""


class NoMirror(ValueError):
    """A round of a toe that has no mirror image: its number, and in one line why and what to write."""

    def __init__(self, row: int, why: str) -> None:
        self.row = row
        super().__init__(why)


def other_foot(pattern: Pattern) -> Pattern:
    """The pattern as sock two has it; the very same where both feet are shaped alike. Raises NoMirror."""
    if not pattern.of_feet:
        return pattern
    sections = (turned(there) if there.kind == "toe" else there for there in pattern.sections)
    return pattern._replace(sections=tuple(sections), turned=not pattern.turned)


def of_sock_two(pattern: Pattern) -> Pattern:
    """The pattern as sock two of its pair has it: for its foot, and mirrored where the pair is."""
    other = other_foot(pattern)
    return mirrored(other) if pattern.likeness == "mirrored" else other


def turned(toe: Section) -> Section:
    """A toe for the other foot, its rounds begun at the side. Raises NoMirror."""
    rows = tuple(map(_turned, toe.rows))
    return toe._replace(rows=rows, starts=rows[0].before)


def _turned(row: Row) -> Row:
    many = len(row.needles)
    if many not in _INSTEP or row.side is not None:
        raise NoMirror(
            row.number,
            "a toe for the left and the right foot lies on two, three or four needles, in the round; write"
            ' it so, or feet = "alike"',
        )
    order = _facing(many)
    before = tuple(row.before[at] for at in order)
    needles = tuple(
        _back(row.needles[at], row.before[at], needle.name, row.number)
        for needle, at in zip(row.needles, order, strict=True)
    )
    return row._replace(needles=needles, before=before)


def _facing(needles: int) -> Sequence[int]:
    """The place that each needle changes with: the last of its half with the first."""
    instep = _INSTEP[needles]
    return (*range(instep)[::-1], *range(instep, needles)[::-1])


def _back(needle: Needle, held: int, name: str, number: int) -> Needle:
    """A needle's work from its end to its beginning, on the needle `name`."""
    work = _SHAPED.get(needle.work)
    if work is None:
        work = _read_back(needle.work, held, number)
    return needle._replace(name=name, work=work)


def _read_back(work: str, held: int, number: int) -> str:
    try:
        made, left = notation.runs(notation.read_row(work).segments[0], held)
        told = written(back(made))
        again, over = notation.runs(notation.read_row(told).segments[0], held)
    except (BadRow, IndexError):
        made, again, left, over = [], [], 1, 0
    one_way = any(run.stitch in ONE_WAY for run in made)
    if one_way or left or over or notation.totals(made) != notation.totals(again):
        why = 'this round has no mirror image; write each needle to its end, or feet = "alike"'
        raise NoMirror(number, why)
    return told
