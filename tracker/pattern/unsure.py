"""What the audit can say where it is not sure: after a row that failed, or of rows or rounds.

A row that cannot be worked leaves nobody knows what. What was there before it, and what its own
words may add, is still the most that can be there after it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from tracker.pattern.loom import Item, Written, takes_leaves
from tracker.records import NamedTuple


class Reckoned(NamedTuple):
    """What a row does, whatever it is worked on.

    `takes` stitches are the fewest it works, `adds` the most that come to be and `loses` the fewest
    that go. `adds` is None where they are as many as there is room for; `exact` says whether nothing
    else changes the count; `whole` whether it works every needle to its end.
    """

    takes: int
    adds: int | None
    loses: int
    exact: bool
    whole: bool


def reckoned(row: Written) -> Reckoned:
    """What a row says of its own numbers alone."""
    parts = [_over(items) for items in row.segments]
    whole = not row.turns and all(
        items and items[-1].times is None and not items[-1].until for items in row.segments
    )
    return _together(parts)._replace(whole=whole)


def _over(items: Iterable[Item]) -> Reckoned:
    return _together([_item(item) for item in items])


def _together(parts: Sequence[Reckoned]) -> Reckoned:
    adds = [part.adds for part in parts]
    return Reckoned(
        sum(part.takes for part in parts),
        None if None in adds else sum(add or 0 for add in adds),
        sum(part.loses for part in parts),
        all(part.exact for part in parts),
        False,
    )


def _item(item: Item) -> Reckoned:
    if item.inside:
        once = _over(item.inside)
    else:
        takes, leaves = takes_leaves(item.name)
        more = leaves - takes
        once = Reckoned(takes, max(more, 0), max(-more, 0), True, False)
    if item.times is None:
        same = once.exact and not once.loses and not once.adds
        return Reckoned(0, None if once.adds != 0 else 0, 0, same, False)
    adds = None if once.adds is None else once.adds * item.times
    return Reckoned(once.takes * item.times, adds, once.loses * item.times, once.exact, False)


def numbers_alone(row: Written) -> tuple[int, ...] | None:
    """What each needle holds after a row whose every item says its number; None for any other."""
    if row.turns or not all(row.segments):
        return None
    if any(not _fixed(item) for items in row.segments for item in items):
        return None
    parts = [_over(items) for items in row.segments]
    return tuple([part.takes + (part.adds or 0) - part.loses for part in parts])


def _fixed(item: Item) -> bool:
    return item.times is not None and all(_fixed(inner) for inner in item.inside)


class Guess(NamedTuple):
    """What is on the needles after a row that failed: `total` stitches if it is known, `most` at most.

    `short` where the row was a short one: those turn within the work, and seldom add to it.
    """

    total: int | None
    most: int
    short: bool = False

    def there(self) -> str:
        """How many are there, in words."""
        known = self.total == self.most
        word = "is" if self.most == 1 else "are"
        return f"{'' if known else 'at most '}{self.most} {word} there"

    def after(self, row: Reckoned) -> Guess | None:
        """After one more row, worked as it is written; None where there is no saying."""
        if row.adds is None:
            return None
        more = row.adds - row.loses
        total = self.total + more if self.total is not None and row.exact else None
        return Guess(total, max(0, self.most + more), self.short)


def guessed(before: Guess | None, passed: int, row: Written | None) -> Guess | None:
    """After a row that could not be worked over what was there before it.

    Its writer may have thought that more is there, as many as the row takes behind the `passed`
    stitches that a turn left out of reach. None where there is no saying.
    """
    if before is None or row is None:
        return None
    says = reckoned(row)
    if says.adds is None:
        return None
    same = says.exact and not says.adds and not says.loses
    total = before.total if same else None
    return Guess(total, max(before.most, passed + says.takes) + says.adds, before.short)


# Rows or rounds

_SIDED = re.compile(r"\s*(?:RS|WS)\s*:|.*,\s*(?:turn|w&t)\s*(?:=.*)?$", re.DOTALL)
_WAYS = {
    "rounds": "rounds", "rnds": "rounds", "in the round": "rounds", "circular": "rounds",
    "tube": "rounds", "rows": "rows", "flat": "rows", "back and forth": "rows",
}  # fmt: skip
"""What a knitter may call it, and how a pattern file has it."""


def likely_worked(table: Mapping[str, Any]) -> str:
    """How a section is worked that does not say it as it should: "rounds" or "rows".

    The word nearest to what it says, else what most of its rows look like.
    """
    from difflib import get_close_matches

    said = table.get("worked")
    near = get_close_matches(said[:40].lower(), _WAYS, n=1) if isinstance(said, str) else []
    if near:
        return _WAYS[near[0]]
    rows: list[Any] = [table.get("set_up")]
    for key in ("first", "rows"):
        texts = table.get(key)
        rows += texts if isinstance(texts, list) else []
    texts = [text[:2000] for text in rows if isinstance(text, str)]
    sided = sum(bool(_SIDED.match(text)) for text in texts)
    return "rows" if texts and 2 * sided >= len(texts) else "rounds"
