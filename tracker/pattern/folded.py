"""Rows that come again, written once: what lies between the first and the last of them is told in full."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from tracker.pattern.model import Row
from tracker.records import NamedTuple

LONGEST_REPEAT = 24
"""Rows of the longest repeat that is looked for."""


class Block(NamedTuple):
    """Rows of a section that are written together, one after the other, or a single one.

    Rows of a `period` of one have the same work. Of a longer one they come again, `times` in all, with
    the same stitches left. Where `alternate` is true two works take turns while the counts change;
    `times` is 1 then, and the last turn may be a half one. Where `apart` is true the work of the first row
    comes again and again, and all that lies between is plain: as many rows each time, or one more or fewer.
    """

    rows: tuple[Row, ...]
    period: int = 1
    times: int = 1
    alternate: bool = False
    apart: bool = False

    @property
    def shaping(self) -> tuple[Row, ...]:
        """Of rows that are `apart` those with the work of the first."""
        return tuple(row for row in self.rows if _alike(row, self.rows[0]))


def blocks(rows: Sequence[Row], *, apart: bool = False) -> Iterator[Block]:
    """The rows of a section, in order, in as few blocks as say the same. Row 0 stands alone.

    With `apart` shaping that comes with plain rows between is one block.
    """
    at = 0
    while at < len(rows):
        told = _shaped_apart(rows, at) if apart else None
        block = Block((rows[at],)) if rows[at].number == 0 else told or _block(rows, at)
        yield block
        at += len(block.rows)


def _block(rows: Sequence[Row], at: int) -> Block:
    end = _goes_on(rows, at, 1)
    if end - at > 1:
        return Block(tuple(rows[at:end]))
    for period in range(2, LONGEST_REPEAT + 1):
        times = _times(rows, at, period)
        if times > 1:
            return Block(tuple(rows[at : at + period * times]), period, times)
    end = _turns_end(rows, at)
    if end - at >= 4:
        return Block(tuple(rows[at:end]), 2, alternate=True)
    return Block((rows[at],))


LEAST_APART, LEAST_BETWEEN = 3, 2
"""Rows of shaping that are told together, and plain rows between two of them; fewer are written singly."""


def _shaped_apart(rows: Sequence[Row], at: int) -> Block | None:
    """Rows that begin with shaping, which comes again after as many plain ones, or one more or fewer."""
    if rows[at].plain or rows[at].leaves == sum(rows[at].before):
        return None
    places = [at]
    for place in range(at + 1, len(rows)):
        if _alike(rows[place], rows[at]):
            places.append(place)
        elif not rows[place].plain or not _alike(rows[place], rows[at + 1]):
            break
    between = [later - one - 1 for one, later in pairwise(places)]
    while between and not (min(between) >= LEAST_BETWEEN and max(between) - min(between) <= 1):
        places.pop()
        between.pop()
    if len(places) < LEAST_APART:
        return None
    return Block(tuple(rows[at : places[-1] + 1]), apart=True)


def _goes_on(rows: Sequence[Row], at: int, period: int) -> int:
    """Where rows end that have the work of those `period` before them."""
    end = at + period
    while end < len(rows) and _alike(rows[end], rows[end - period]):
        end += 1
    return min(end, len(rows))


def _turns_end(rows: Sequence[Row], at: int) -> int:
    """Where two works end that take turns; a half turn that begins a run of its own is left to that."""
    end = _goes_on(rows, at, 2)
    half = (end - at) % 2 == 1
    return end - 1 if half and end < len(rows) and _alike(rows[end], rows[end - 1]) else end


def _times(rows: Sequence[Row], at: int, period: int) -> int:
    """How many times `period` rows are worked with the same stitches left, one after the other."""
    end = at + period
    while end < len(rows) and _same(rows[end], rows[end - period]):
        end += 1
    return (end - at) // period


def _alike(one: Row, other: Row) -> bool:
    """Whether two rows are the same work, whatever they leave."""
    return one.side == other.side and _works(one) == _works(other)


def _works(row: Row) -> list[tuple[str, str]]:
    return [(needle.name, needle.work) for needle in row.needles]


def _same(one: Row, other: Row) -> bool:
    return one._replace(number=0) == other._replace(number=0)
