"""Several histories of one pair: which of them go on from which, and where they parted."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.records import NamedTuple
from tracker.storage.chain import Row


class Newest(NamedTuple):
    """A history that no other goes on from, by its place among those given.

    `older` of the others are a part of it; one that is the same is not counted. `common` are the events
    that it shares with another such history at most, 0 where there is no other.
    """

    place: int
    older: int
    common: int


def newest(histories: Sequence[Sequence[Row]]) -> list[Newest]:
    """Of several histories of one pair the newest: more than one where they parted. In the order given."""
    last, goes_into = list[int](), dict[int, int]()
    by_length = sorted(range(len(histories)), key=lambda place: -len(histories[place]))
    for place in by_length:
        longer = (one for one in last if _is_part(histories[place], histories[one]))
        into = next(longer, None)
        if into is None:
            last.append(place)
        else:
            goes_into[place] = into
    return [
        Newest(
            place,
            sum(
                into == place and len(histories[one]) < len(histories[place])
                for one, into in goes_into.items()
            ),
            max((alike(histories[place], histories[one]) for one in last if one != place), default=0),
        )
        for place in sorted(last)
    ]  # fmt: skip


def _is_part(one: Sequence[Row], of: Sequence[Row]) -> bool:
    return alike(one, of) == len(one)


def alike(one: Sequence[Row], another: Sequence[Row]) -> int:
    """How many events both begin with, by what they are and not by what is told of them.

    A pack for a teacher tells less of the same events.
    """
    count = 0
    for mine, theirs in zip(one, another, strict=False):
        if (mine.uid, mine.kind, mine.sock) != (theirs.uid, theirs.kind, theirs.sock):
            break
        count += 1
    return count
