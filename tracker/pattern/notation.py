"""The trade's row notation, read for its counts: what each needle takes, leaves and works.

This is the reader that opens pattern files. The audit has a reader of its own, so that a
mistake here cannot hide itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Literal

from tracker.records import NamedTuple
from tracker.units import shorten

Reach = Literal["times", "end", "last"]

LARGEST = 10_000
"""No number in a row may be larger: work is bounded before it is done."""
MOST_STEPS = 4 * LARGEST
"""No row is worked in more steps, its empty ones counted."""
MOST_STITCHES = 2_000
"""No needles hold more stitches together, those at rest among them."""
LONGEST_ROW = 2_000
"""No row is written in more letters."""
DEEPEST = 6
"""How deep brackets may stand in one another."""


class Stitch(NamedTuple):
    """A kind of stitch: live stitches it takes, stitches it leaves, and how many of these are made."""

    takes: int
    leaves: int
    made: int


def _table() -> dict[str, Stitch]:
    one, two, three = Stitch(1, 1, 1), Stitch(2, 1, 1), Stitch(3, 1, 1)
    table = dict.fromkeys(("k", "p", "DS"), one)
    table |= dict.fromkeys(("k2tog", "ssk", "skp", "p2tog", "ssp"), two)
    table |= dict.fromkeys(("sk2p", "s2kp", "k3tog"), three)
    table |= {f"{name} tbl": stitch for name, stitch in table.items() if name != "DS"}
    table |= {name: Stitch(0, 1, 1) for name in ("yo", "M1", "M1L", "M1R", "pick up", "take up")}
    table |= {name: Stitch(1, 2, 2) for name in ("kfb", "pfb")}
    return table | {
        "sl": Stitch(1, 1, 0), "sl tbl": Stitch(1, 1, 0), "rest": Stitch(1, 1, 0),
        "CO": Stitch(0, 1, 0), "BO": Stitch(1, 0, 0), "graft": Stitch(1, 0, 0),
        "draw up": Stitch(1, 0, 0),
    }  # fmt: skip


STITCHES = _table()
"""Takes, leaves and makes of every stitch the notation knows (common practice, no source)."""

DECREASES = frozenset(name for name, stitch in STITCHES.items() if stitch.leaves < stitch.takes) - {
    "BO",
    "graft",
    "draw up",
}
INCREASES = frozenset({"yo", "M1", "M1L", "M1R", "kfb", "pfb"})
COLOUR_LETTERS = "abcdefgh"
"""A letter behind a stitch is the colour it is worked in: k2 a, k1 b."""
TURNS = ("turn", "w&t")
_PLAINEST = ("k", "p", "sl")
_COUNTED = ("pick up", "take up", "CO", "BO", "rest", "graft", "draw up")
_UNCOLOURED = ("BO", "rest", "graft", "draw up", "sl", "sl tbl", "DS")
"""What makes no stitch has no colour."""


class Item(NamedTuple):
    """One item of a row: a stitch, or a bracket of items, and how far it goes.

    `reach` is "times" (`number` of them), "end", or "last" (all but the last `number`).
    """

    stitch: str
    inside: tuple[Item, ...]
    reach: Reach
    number: int


class RowText(NamedTuple):
    """A row as written: its side, one tuple of items a needle, whether it turns, its claim."""

    side: Literal["RS", "WS"] | None
    segments: tuple[tuple[Item, ...], ...]
    texts: tuple[str, ...]
    turns: bool
    claim: tuple[int, ...]


class Run(NamedTuple):
    """So many of one stitch, one after the other."""

    stitch: str
    times: int


class BadRow(ValueError):
    """A row that cannot be read or does not come out; the message says why, in one line."""


class _Unread(BadRow):
    """An item that is not known: how it is printed, perhaps."""

    def __init__(self, item: str) -> None:
        self.item = item
        super().__init__(
            f'"{shorten(item)}" is not known; write a stitch such as k3, ssk or [k2, p2] 4 times'
        )


_TOKEN = r"""\s*(?:
      (?P<word>to\s+end|to\s+last|rep\s+from\s+\*|pick\s+up|take\s+up|draw\s+up|w&t|times|tbl|all|turn|
         k2tog|k3tog|p2tog|sk2p|s2kp|ssk|ssp|skp|kfb|pfb|M1[LR]?|yo|DS|CO|BO|rest|graft|sl|x|k|p)
      (?![A-Za-z&])
    | (?P<cable>C[1-9]\d{0,2}[FB])
    | (?P<colour>[a-h](?![A-Za-z&]))
    | (?P<number>\d+)
    | (?P<mark>[\[\]()*,;])
    )"""
_FRAME = (
    r"\s*(?:(?P<side>RS|WS)\s*:)?(?P<work>[^=]*)(?:=\s*(?P<claim>\d{1,5}(?:\s*/\s*\d{1,5})*))?\s*"
)


def read_row(text: str) -> RowText:
    """Read one row. Raises BadRow with what could not be read."""
    if len(text) > LONGEST_ROW:
        raise BadRow(f'"{shorten(text)}" is longer than {LONGEST_ROW} letters; part it into rows')
    # Any room between words is as good as one space; nothing else that cannot be printed is read.
    text = " ".join(text.split())
    try:
        return _read(text)
    except BadRow as bad:
        from tracker.pattern.printed import instead_of

        item = bad.item if isinstance(bad, _Unread) else text
        instead = instead_of(item, text, _reads, _reads)
        if not instead:
            raise
        raise BadRow(f"{str(bad).partition('; ')[0]}; {instead}") from None


def _reads(text: str) -> bool:
    try:
        return bool(_read(text))
    except BadRow:
        return False


def _read(text: str) -> RowText:
    frame = re.fullmatch(_FRAME, text, re.ASCII)
    if frame is None:
        raise BadRow(
            f'"{shorten(text)}" is not a row; a claim stands last, like "= 64" or "= 16/16"'
        )
    texts = tuple([part.strip() for part in frame["work"].split("|")])
    readings = [_segment(part) for part in texts]
    turns = [turn for _, turn in readings]
    if len(turns) > 1 and any(turns[:-1]):
        raise BadRow("nothing stands after a turn; end the row there")
    claim = frame["claim"]
    side: Literal["RS", "WS"] | None = None
    if frame["side"] is not None:
        side = "RS" if frame["side"] == "RS" else "WS"
    return RowText(
        side=side,
        segments=tuple([items for items, _ in readings]),
        texts=texts,
        turns=turns[-1],
        claim=tuple(map(int, claim.split("/"))) if claim else (),
    )


@lru_cache(maxsize=512)
def _segment(text: str) -> tuple[tuple[Item, ...], bool]:
    """One needle's items, and whether it turns: the same work comes again on many needles and rows."""
    return _Reader(text).segment()


def runs(items: Sequence[Item], live: int) -> tuple[list[Run], int]:
    """Work `items` over `live` stitches: the runs of stitches made, and how many stay unworked.

    Raises BadRow where the stitches run out or a "to last" is already behind.
    """
    work = _Work()
    left = work.over(items, live)
    return work.runs, left


def totals(worked: Sequence[Run]) -> Stitch:
    """What the runs take, leave and make in all."""
    takes = leaves = made = 0
    for name, times in worked:
        stitch = stitch_of(name)
        takes += stitch.takes * times
        leaves += stitch.leaves * times
        made += stitch.made * times
    return Stitch(takes, leaves, made)


def written(worked: Sequence[Run]) -> str:
    """The runs as a row is written, a stretch that comes again and again as a bracket."""
    items = [item for run in worked for item in _each(run)]
    at, parts = 0, []
    while at < len(items):
        period, times = _again(items, at)
        stretch = ", ".join(items[at : at + period])
        parts.append(stretch if times == 1 else f"[{stretch}] {times} times")
        at += period * times
    return ", ".join(parts)


MOST_NAMED = 3
"""So many decreases in a row are named one by one, as a knitter would: k2tog, k2tog."""


def _each(run: Run) -> list[str]:
    """A run as it is written: a few decreases one by one."""
    if without_colour(run.stitch) in DECREASES and 1 < run.times <= MOST_NAMED:
        return [_written(run._replace(times=1))] * run.times
    return [_written(run)]


def without_colour(stitch: str) -> str:
    """The stitch itself, in whatever colour it is worked: "k" of "k a"."""
    return stitch[:-2] if _is_coloured(stitch) else stitch


def colour_of(stitch: str) -> str:
    """The letter of the colour a stitch is worked in, "" where none is told."""
    return stitch[-1] if _is_coloured(stitch) else ""


def _is_coloured(stitch: str) -> bool:
    return stitch[-2:-1] == " " and stitch[-1] in COLOUR_LETTERS


def plain_name(stitch: str) -> str:
    """The stitch in no colour and not through the back: "k" of "k tbl a"."""
    return without_colour(stitch).removesuffix(" tbl")


def _written(run: Run) -> str:
    name = plain_name(run.stitch)
    tbl = run.stitch[len(name) :]
    if name in _PLAINEST:
        return f"{name}{run.times}{tbl}"
    return f"{name}{tbl}" if run.times == 1 and name not in _COUNTED else f"{name} {run.times}{tbl}"


def _named(run: Run) -> str:
    """A run as she would say it: a decrease that is made more than once is made so many times."""
    plain = run.times == 1 or plain_name(run.stitch) in (*_PLAINEST, *_COUNTED)
    return _written(run) if plain else f"{run.stitch} {run.times} times"


def _again(items: Sequence[str], at: int) -> tuple[int, int]:
    """The stretch of at most eight items from `at` on that saves most when it is bracketed."""
    best = (1, 1)
    for period in range(2, 9):
        stretch, times = items[at : at + period], 1
        while items[at + times * period : at + (times + 1) * period] == stretch:
            times += 1
        if times > 1 and period * times > best[0] * best[1]:
            best = (period, times)
    return best


def stitch_of(name: str) -> Stitch:
    """The counts of a stitch by its name; a cable over n takes and leaves n."""
    known = STITCHES.get(name)
    if known is not None:
        return known
    if _is_coloured(name):
        return stitch_of(name[:-2])
    over = int(name[1:-1])
    return Stitch(over, over, over)


class _Reader:
    """Reads the items of one needle."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._tokens = list(_tokens(text))
        self._at = 0
        self._in_star = False

    def segment(self) -> tuple[tuple[Item, ...], bool]:
        if not self._tokens:
            return (), False
        items = self._items(1)
        turns = bool(items) and items[-1].stitch in TURNS
        if any(item.stitch in TURNS for item in items[:-1]):
            raise self._bad("nothing stands after a turn")
        if self._at < len(self._tokens):
            raise self._bad(f'"{self._tokens[self._at]}" was not expected')
        return (items[:-1] if turns else items), turns

    def _items(self, depth: int) -> tuple[Item, ...]:
        if depth > DEEPEST:
            raise self._bad(f"brackets stand more than {DEEPEST} deep; write the repeat out")
        items = [self._item(depth)]
        while self._next() == ",":
            self._at += 1
            items.append(self._item(depth))
        return tuple(items)

    def _item(self, depth: int) -> Item:
        token = self._take()
        if token in ("[", "("):
            return self._bracket("]" if token == "[" else ")", depth)
        if token == "*":
            return self._starred(depth)
        if token in TURNS:
            if depth > 1:
                raise self._bad("a turn ends a row, it does not stand in brackets")
            return Item(token, (), "times", 1)
        if token in STITCHES or token[0] == "C":
            return self._stitch(token)
        raise self._bad(f'"{shorten(token)}" is not a stitch')

    def _stitch(self, name: str) -> Item:
        number = self._number()
        if self._next() == "tbl":
            self._at += 1
            name = f"{name} tbl"
            if name not in STITCHES:
                raise self._bad(f'"{name}" is not a stitch')
        uncoloured, name = name, self._coloured(name)
        if name == "BO" and self._next() == "all":
            self._at += 1
            return Item(name, (), "end", 0)
        if number is not None:
            return Item(name, (), "times", number)
        reach = self._reach()
        if reach is not None:
            return Item(name, (), *reach)
        if uncoloured in _COUNTED:
            raise self._bad(f'"{name}" needs a number; write {uncoloured} 8')
        to_the_end = uncoloured in ("k", "p", "k tbl", "p tbl")
        return Item(name, (), "end" if to_the_end else "times", 0 if to_the_end else 1)

    def _coloured(self, name: str) -> str:
        """A stitch with the colour that stands behind it, where one does."""
        letter = self._next()
        if letter is None or len(letter) != 1 or letter not in COLOUR_LETTERS:
            return name
        if name in _UNCOLOURED:
            raise self._bad(f"{name} has no colour; leave the {letter} out")
        self._at += 1
        return f"{name} {letter}"

    def _bracket(self, closing: str, depth: int) -> Item:
        inside = self._items(depth + 1)
        self._expect(closing)
        if self._next() == "x":
            self._at += 1
            return Item("", inside, "times", self._needed())
        number = self._needed()
        self._expect("times")
        return Item("", inside, "times", number)

    def _starred(self, depth: int) -> Item:
        if self._in_star:
            raise self._bad("a * stands within another; write one of them in brackets")
        self._in_star = True
        inside = self._items(depth + 1)
        self._in_star = False
        self._expect(";")
        self._expect("rep from *")
        reach = self._reach()
        if reach is not None:
            return Item("", inside, *reach)
        number = self._needed()
        self._expect("times")
        return Item("", inside, "times", number + 1)

    def _reach(self) -> tuple[Reach, int] | None:
        token = self._next()
        if token == "to end":
            self._at += 1
            return "end", 0
        if token == "to last":
            self._at += 1
            return "last", self._needed()
        return None

    def _number(self) -> int | None:
        token = self._next()
        if token is None or not token.isdigit():
            return None
        self._at += 1
        if len(token) > 6 or int(token) > LARGEST:
            raise self._bad(f"{shorten(token, 12)} is more than {LARGEST}")
        return int(token)

    def _needed(self) -> int:
        number = self._number()
        if number is None:
            raise self._bad("a number is missing")
        return number

    def _expect(self, token: str) -> None:
        if self._next() != token:
            raise self._bad(f'"{token}" is missing')
        self._at += 1

    def _next(self) -> str | None:
        return self._tokens[self._at] if self._at < len(self._tokens) else None

    def _take(self) -> str:
        token = self._next()
        if token is None:
            raise self._bad("a stitch is missing")
        self._at += 1
        return token

    def _bad(self, why: str) -> BadRow:
        return BadRow(f'{why} in "{shorten(self._text)}"')


def _tokens(text: str) -> Iterator[str]:
    at, end = 0, len(text.rstrip())
    token = re.compile(_TOKEN, re.VERBOSE | re.ASCII)  # kept by `re`; many a start reads no row
    while at < end:
        found = token.match(text, at)
        if found is None:
            raise _Unread(_item_at(text, at))
        yield found.group().strip()
        at = found.end()


def _item_at(text: str, at: int) -> str:
    """The item that place `at` of a text belongs to."""
    before = re.split(r"[,\[(*;|]", text[:at])[-1]
    after = re.split(r"[,\])*;|]", text[at:])[0]
    return f"{before}{after}".strip() or text[at:].strip()


class _Work:
    """Works items over live stitches, and keeps the runs it made."""

    def __init__(self) -> None:
        self.runs: list[Run] = []
        self._steps = 0

    def over(self, items: Sequence[Item], live: int) -> int:
        """Work the items; returns how many stitches stay unworked."""
        for item in items:
            self._steps += 1
            if self._steps > MOST_STEPS or len(self.runs) > LARGEST:
                raise BadRow(f"the row has more than {LARGEST} stitches")
            live = self._bracket(item, live) if item.inside else self._stitch(item, live)
        return live

    def _stitch(self, item: Item, live: int) -> int:
        takes = stitch_of(item.stitch).takes
        times = item.number if item.reach == "times" else _times_over(item, takes, live)
        if takes * times > live:
            are = "is" if live == 1 else "are"
            named = _named(Run(item.stitch, times))
            stitches = "stitch" if takes * times == 1 else "stitches"
            raise BadRow(f"{named} needs {takes * times} {stitches}, {live} {are} left")
        if times:
            self.runs.append(Run(item.stitch, times))
        return live - takes * times

    def _bracket(self, item: Item, live: int) -> int:
        if item.reach == "times":
            for _ in range(item.number):
                before = live, len(self.runs)
                live = self.over(item.inside, live)
                if before == (live, len(self.runs)):
                    break
            return live
        while live > item.number:
            before_it = live
            live = self.over(item.inside, live)
            if live >= before_it or live < item.number:
                raise BadRow("the repeat does not come out over the stitches that are left")
        if live < item.number:
            raise BadRow(f"only {live} stitches are left, fewer than the last {item.number}")
        return live


def _times_over(item: Item, takes: int, live: int) -> int:
    """How often a stitch that goes to the end, or to the last few, is made."""
    stretch = live - item.number
    if stretch < 0:
        raise BadRow(f"only {live} stitches are left, fewer than the last {item.number}")
    if takes == 0 or stretch % takes:
        raise BadRow(f"{item.stitch} does not come out over {stretch} stitches")
    return stretch // takes
