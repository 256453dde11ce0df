"""The loom: reads a written row, and knits it stitch by stitch.

It is two stacks, the stitches ahead of the working point and those behind it. Turning exchanges
them; a round has all stitches ahead at its beginning and none at its end. A stitch is the number
of the row that touched it last.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from tracker.units import shorten

MOST_NUMBER = 10_000
"""No number in a row may be larger: work is bounded before it is done."""
LONGEST_ROW = 2_000
DEEPEST = 6


class Fault(Exception):
    """A row that cannot be worked as written."""

    def __init__(self, problem: str, instead: str) -> None:
        self.problem, self.instead = problem, instead
        super().__init__(problem)


# What a stitch does: how many live stitches it takes, and how many it leaves behind the point.

_TAKES_LEAVES: dict[str, tuple[int, int]] = {
    "k": (1, 1), "p": (1, 1), "DS": (1, 1), "sl": (1, 1), "rest": (1, 1),
    "k2tog": (2, 1), "ssk": (2, 1), "skp": (2, 1), "p2tog": (2, 1), "ssp": (2, 1),
    "sk2p": (3, 1), "s2kp": (3, 1), "k3tog": (3, 1),
    "yo": (0, 1), "M1": (0, 1), "M1L": (0, 1), "M1R": (0, 1), "pick up": (0, 1), "CO": (0, 1),
    "kfb": (1, 2), "pfb": (1, 2), "BO": (1, 0), "graft": (1, 0),
}  # fmt: skip
_NOT_MADE = frozenset({"sl", "rest", "CO", "BO", "graft"})
_NEEDS_NUMBER = frozenset({"pick up", "CO", "BO", "rest", "graft"})
_NAMES = "|".join(sorted(map(re.escape, _TAKES_LEAVES), key=len, reverse=True))
_STITCH = re.compile(
    rf"(?P<name>{_NAMES}|C\d{{1,3}}[FB])\s*(?P<number>\d+|all)?(?P<tbl>\s+tbl)?"
    r"(?:\s+to\s+(?:(?P<end>end)|last\s+(?P<last>\d+)))?"
)
_TIMES = re.compile(
    r"(?:\[(?P<square>.*)\]|\((?P<round>.*)\))\s*(?:x\s*(?P<x>\d+)|(?P<times>\d+)\s+times)"
)
_STARRED = re.compile(
    r"\*(?P<inside>.*);\s*rep\s+from\s+\*\s*(?:to\s+(?P<end>end)|to\s+last\s+(?P<last>\d+)|(?P<more>\d+)\s+times)"
)
_ROW = re.compile(r"\s*(?:(?P<side>RS|WS)\s*:)?(?P<work>[^=]*)(?:=(?P<claim>[^=]*))?")
_CLAIM = re.compile(r"\s*\d{1,5}(?:\s*/\s*\d{1,5})*\s*")


class Item(NamedTuple):
    """A stitch or a bracket; it is worked `times` times, or until only `until` stitches are left."""

    name: str
    inside: tuple[Item, ...]
    times: int | None
    until: int


class Written(NamedTuple):
    """A row, parsed."""

    side: str | None
    segments: tuple[tuple[Item, ...], ...]
    turns: bool
    claim: tuple[int, ...]


def _parse(text: Any) -> Written:
    if not isinstance(text, str):
        raise Fault("this row is not a text", 'write it in quotes, like "k"')
    if len(text) > LONGEST_ROW:
        raise Fault(f"this row has {len(text)} letters", f"write at most {LONGEST_ROW}")
    row = _ROW.fullmatch(text)
    if row is None or (row["claim"] is not None and not _CLAIM.fullmatch(row["claim"])):
        raise Fault(
            f'"{shorten(text)}" cannot be read', 'a claim stands last, like "= 64" or "= 16/16"'
        )
    claim = tuple(int(number) for number in (row["claim"] or "").split("/") if number.strip())
    segments = [_items(part, 1) for part in row["work"].split("|")]
    turns = [bool(part) and part[-1].name in ("turn", "w&t") for part in segments]
    for place, part in enumerate(segments):
        body = part[:-1] if turns[place] else part
        if any(item.name in ("turn", "w&t") for item in body) or (
            turns[place] and part is not segments[-1]
        ):
            raise Fault("something stands after a turn", "end the row with the turn")
        segments[place] = body
    return Written(row["side"], tuple(segments), turns[-1], claim)


def _items(text: str, depth: int) -> tuple[Item, ...]:
    if depth > DEEPEST:
        raise Fault(f"brackets stand more than {DEEPEST} deep", "write the repeat out")
    if not text.strip():
        return ()
    return tuple(_item(part.strip(), depth) for part in _parts(text))


def _parts(text: str) -> Iterator[str]:
    """The items of a row: text between commas that stand in no bracket and in no repeat."""
    depth = begun = 0
    starred = False
    for place, char in enumerate(text):
        if char in "[(":
            depth += 1
        elif char in "])":
            depth -= 1
        elif char == "*" and depth == 0 and not text[begun:place].strip():
            starred = True
        elif char == ";" and depth == 0:
            starred = False
        elif char == "," and depth == 0 and not starred:
            yield text[begun:place]
            begun = place + 1
    yield text[begun:]


def _item(text: str, depth: int) -> Item:
    if text in ("turn", "w&t"):
        return Item(text, (), 1, 0)
    if found := _STARRED.fullmatch(text):
        inside = _items(found["inside"], depth + 1)
        if found["more"] is not None:
            return Item("", inside, _number(found["more"]) + 1, 0)
        return Item("", inside, None, _number(found["last"] or "0"))
    if found := _TIMES.fullmatch(text):
        within = found["square"] if found["square"] is not None else found["round"]
        return Item("", _items(within, depth + 1), _number(found["x"] or found["times"]), 0)
    if found := _STITCH.fullmatch(text):
        return _stitch(text, found)
    raise Fault(
        f'"{shorten(text)}" is not known', "write a stitch such as k3, ssk or [k2, p2] 4 times"
    )


def _stitch(text: str, found: re.Match[str]) -> Item:
    name, number = found["name"], found["number"]
    if found["tbl"] and name not in ("k", "p", "sl") and _TAKES_LEAVES.get(name, (0, 0))[0] < 2:
        raise Fault(f'"{shorten(text)}" is not known', f"write {name} without tbl")
    far = found["end"] or found["last"]
    if number and far:
        raise Fault(f'"{shorten(text)}" says two lengths', "write a number or how far, not both")
    if number == "all":
        if name != "BO":
            raise Fault(f'"{shorten(text)}" is not known', f"write {name} to end")
        return Item(name, (), None, 0)
    if number:
        return Item(name, (), _number(number), 0)
    if far:
        return Item(name, (), None, _number(found["last"] or "0"))
    if name in _NEEDS_NUMBER:
        raise Fault(f'"{name}" has no number', f"write {name} 8")
    return Item(name, (), None if name in ("k", "p") else 1, 0)


def _number(text: str) -> int:
    number = int(text) if len(text) < 8 else MOST_NUMBER + 1
    if number > MOST_NUMBER:
        raise Fault(f"{shorten(text)} is too large a number", f"write at most {MOST_NUMBER}")
    return number


def _takes_leaves(name: str) -> tuple[int, int]:
    known = _TAKES_LEAVES.get(name)
    if known is None:
        over = int(name[1:-1])
        known = over, over
    return known


class Loom:
    """All stitches of one piece of knitting, and what went wrong while it was knitted."""

    def __init__(self) -> None:
        self._ahead: list[int] = []
        self._behind: list[int] = []
        self._resting: list[int] = []
        self.needles: list[int] = []
        self._known: dict[str, Written | Fault] = {}
        self._borders: list[int] = []
        self._counts: list[int] = []
        self._operations = 0
        self._serial = 0
        self._rest_side = "WS"
        self.bridged: list[tuple[int, int]] = []
        self.first_slipped = False
        self.side = "RS"
        self._flat = False
        self._lost = True
        """After a row that could not be worked, until a section says what is on the needles."""

    # The needles at a section's beginning

    def begin(
        self, needles: list[int] | None, resting: int, flat: bool, rest: int, first: str
    ) -> str:
        """Arrange the stitches for a section; returns what is wrong with the arrangement, or "".

        `rest` stitches just worked belong to the first needle of a round that begins behind the
        point. `first` is the side that a piece begins on, where nothing was knitted before.
        """
        if needles is None:
            if self._lost:
                return "it is not known what is on the needles"
            needles = [len(self._ahead) + len(self._behind)] if flat != self._flat else self.needles
        total = sum(needles) + resting
        if self._lost:
            self._ahead, self._behind, self._resting = [self._serial] * sum(needles), [], []
            self._resting = [self._serial] * resting
            self.side = self._rest_side = first
            self._lost = False
            wrong = ""
        else:
            live = len(self._ahead) + len(self._behind) + len(self._resting)
            wrong = (
                ""
                if live == total
                else f"{live} stitches are there, the section begins with {total}"
            )
            self._arrange(sum(needles), resting, flat, rest)
        self.needles, self._flat = list(needles), flat
        return wrong

    def _arrange(self, working: int, resting: int, flat: bool, rest: int) -> None:
        if flat and self._flat and working == len(self._ahead) + len(self._behind):
            return
        ring = self._from_point()
        if not flat:
            # A round begins at the point, or so many stitches behind it.
            ring = ring[len(ring) - rest :] + ring[: len(ring) - rest] if rest else ring
            self.side = "RS"
        short = working + resting - len(ring)
        ring += [self._serial] * max(0, short)
        self._ahead = ring[:working][::-1]
        self._behind = []
        self._resting, self._rest_side = ring[working : working + resting], self.side

    def _from_point(self) -> list[int]:
        """All live stitches in the order in which knitting on from the point would meet them."""
        back = self._behind
        waiting = self._resting if self._rests_in_order() else self._resting[::-1]
        return self._ahead[::-1] + waiting + back

    def _rests_in_order(self) -> bool:
        return self._flat and self.side == self._rest_side

    # Working a row

    def work(self, text: Any) -> tuple[Written, list[int], int]:
        """Work a row; returns it parsed, the stitches on every needle, and how many were made."""
        row = self.parsed(text)
        self._serial += 1
        if not self._flat:
            if row.turns:
                raise Fault("a round does not turn", "leave the turn out, or work in rows")
            if row.side:
                raise Fault(f"a round has no {row.side}", f"leave {row.side}: out")
        elif row.side != self.side:
            if row.side is None:
                raise Fault("a flat row says its side", f"begin it with {self.side}:")
            raise Fault(
                f"this is a {self.side} row, it says {row.side}", f"begin it with {self.side}:"
            )
        self.bridged = []
        self.first_slipped = False
        self._operations = 0
        needles, made = self._work_segments(row)
        return row, needles, made

    def parsed(self, text: Any) -> Written:
        """A row's text as it was read, once for every text. Raises Fault where it cannot be."""
        key = text if isinstance(text, str) else repr(text)[:50]
        known = self._known.get(key)
        if known is None:
            try:
                known = _parse(text)
            except Fault as fault:
                known = fault
            self._known[key] = known
        if isinstance(known, Fault):
            raise known
        return known

    def _work_segments(self, row: Written) -> tuple[list[int], int]:
        on = self.needles if self.side == "RS" else self.needles[::-1]
        made = 0
        counts: list[int] = []
        if len(row.segments) == 1:
            return self._work_whole(row, on)
        if len(row.segments) != len(on):
            raise Fault(
                f"{len(row.segments)} needles are written, {len(on)} hold stitches",
                f"part the work of {len(on)} needles with |",
            )
        for place, (items, holds) in enumerate(zip(row.segments, on, strict=True)):
            before = len(self._behind)
            if not items:
                self._pass(holds)
                counts.append(holds)
                continue
            left, worked = self._work_items(items, holds)
            made += worked
            if left:
                raise _too_few(left, f"needle {place + 1}")
            counts.append(len(self._behind) - before)
        return counts, made

    def _work_whole(self, row: Written, on: list[int]) -> tuple[list[int], int]:
        """One text for all needles in order; a decrease over a border stays on the first."""
        live = len(self._ahead)
        self._borders = list(on) if len(on) > 1 else []
        self._counts = [0] * len(on)
        left, made = self._work_items(row.segments[0], live)
        self._borders = []
        if left and not row.turns:
            raise _too_few(left, "the needle" if len(on) == 1 else "the needles")
        if len(on) == 1:
            return [len(self._ahead) + len(self._behind)], made
        return [*self._spread(on, live - left)], made

    def _spread(self, on: list[int], taken: int) -> Iterator[int]:
        """What each needle holds: what was left on it, and what of it was not reached."""
        begun = 0
        for count, holds in zip(self._counts, on, strict=True):
            reached = min(max(taken - begun, 0), holds)
            yield count + holds - reached
            begun += holds

    def _pass(self, stitches: int) -> None:
        """A needle that rests in this round."""
        for _ in range(stitches):
            self._behind.append(self._ahead.pop())

    def _work_items(self, items: Sequence[Item], live: int) -> tuple[int, int]:
        """Work the items over `live` stitches: how many are left unworked, how many were made."""
        made = 0
        for item in items:
            live, more = self._work_item(item, live)
            made += more
        return live, made

    def _work_item(self, item: Item, live: int) -> tuple[int, int]:
        if not item.inside:
            return self._work_stitches(item, live)
        made = 0
        if item.times is not None:
            for _ in range(item.times):
                self._count(1)
                live, more = self._work_items(item.inside, live)
                made += more
            return live, made
        while live > item.until:
            before = live
            live, more = self._work_items(item.inside, live)
            made += more
            if live >= before:
                raise Fault("the repeat never reaches its end", "let it take stitches")
        if live < item.until:
            raise Fault(
                f"the repeat does not stop at the last {item.until}: {live} are left",
                "let the repeat divide the stitches before them",
            )
        return live, made

    def _work_stitches(self, item: Item, live: int) -> tuple[int, int]:
        takes, leaves = _takes_leaves(item.name)
        times = item.times
        if times is None:
            stretch = live - item.until
            if stretch < 0:
                raise Fault(
                    f"{live} stitches are left, fewer than {item.until}", "count from the end again"
                )
            if takes == 0 or stretch % takes:
                raise Fault(f"{item.name} does not divide {stretch} stitches", "write how many")
            times = stretch // takes
        if takes * times > live:
            over = takes * times - live
            raise Fault(
                f"{item.name} {times} takes {takes * times} stitches, {live} are there",
                f"take {over} fewer",
            )
        self._count(times if takes != 1 or leaves != 1 else 1)
        self._do(item.name, takes, leaves, times)
        return live - takes * times, 0 if item.name in _NOT_MADE else leaves * times

    def _do(self, name: str, takes: int, leaves: int, times: int) -> None:
        if not self._behind and name == "sl" and times:
            self.first_slipped = True
        if self._borders:
            self._on_needles(takes, leaves, times)
        if takes == 2 and leaves == 1:
            for _ in range(times):
                self.bridged.append((self._ahead[-1], self._ahead[-2]))
                del self._ahead[-2:]
        elif takes * times:
            del self._ahead[-takes * times :]
        self._behind.extend([self._serial] * (leaves * times))

    def _on_needles(self, takes: int, leaves: int, times: int) -> None:
        """Count what was made on the needle that its first stitch came from."""
        place, borders = 0, self._borders
        for _ in range(times):
            while place < len(borders) - 1 and borders[place] <= 0:
                place += 1
            self._counts[place] += leaves
            owed = takes
            for there in range(place, len(borders)):
                taken = min(owed, max(borders[there], 0))
                borders[there] -= taken
                owed -= taken

    def _count(self, operations: int) -> None:
        self._operations += operations
        if self._operations > MOST_NUMBER:
            raise Fault(f"the row has more than {MOST_NUMBER} stitches", "write fewer repeats")

    def end_row(self, needles: list[int]) -> None:
        """Turn, or close the round."""
        if self._flat:
            self._ahead, self._behind = self._behind, self._ahead
            self.needles = needles if self.side == "RS" else needles[::-1]
            self.side = "WS" if self.side == "RS" else "RS"
        else:
            self._ahead, self._behind = self._behind[::-1], []
            self.needles = needles

    def go_on_from(self, needles: Sequence[int]) -> None:
        """After a row that could not be worked: as if it had left what it claims."""
        self._ahead, self._behind = [self._serial] * sum(needles), []
        self.needles = list(needles)
        if self._flat:
            self.side = "WS" if self.side == "RS" else "RS"

    def lose(self) -> None:
        """It is not known any more what is on the needles."""
        self._lost = True

    @property
    def lost(self) -> bool:
        """Whether what is on the needles is unknown."""
        return self._lost

    def live(self) -> int:
        """Stitches on the needles in work."""
        return len(self._ahead) + len(self._behind)

    def worked(self) -> int:
        """Stitches behind the point."""
        return len(self._behind)

    def waiting(self) -> int:
        """Stitches that the row just worked has not reached."""
        return len(self._ahead)

    @property
    def serial(self) -> int:
        """The number of the row worked last, over all sections."""
        return self._serial


def _too_few(left: int, where: str) -> Fault:
    word = "stitch is" if left == 1 else "stitches are"
    return Fault(f"{left} {word} left unworked on {where}", f"work {left} more, or turn")
