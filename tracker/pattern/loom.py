"""The loom: reads a written row, and knits it stitch by stitch.

It is two stacks, the stitches ahead of the working point and those behind it. Turning exchanges
them; a round has all stitches ahead at its beginning and none at its end. A stitch is the number
of the row that touched it last, below 0 as long as it is a double one or carries a wrap.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

from tracker.records import NamedTuple
from tracker.units import shorten

MOST_NUMBER = 10_000
"""No number in a row may be larger, and no row may have more steps: work is bounded beforehand."""
MOST_STITCHES = 2_000
MOST_TEXTS = 5_000
MOST_LETTERS = 250_000
"""Letters of all different rows."""
MOST_ROWS_IN_ALL = 20_000
MOST_WORK = 500_000
"""Steps of all rows together, one for a run of plain stitches; rows worked again are not counted."""
LONGEST_ROW = 2_000
DEEPEST = 6


class Fault(Exception):
    """A row that cannot be worked as written."""

    def __init__(self, problem: str, instead: str) -> None:
        self.problem, self.instead = problem, instead
        super().__init__(problem)


class Unfit(Fault):
    """A stitch for which there are too few."""


class Unread(Fault):
    """A row with an item that is not known: how it is printed, perhaps."""

    def __init__(self, problem: str, instead: str, item: str) -> None:
        super().__init__(problem, instead)
        self.item = item


class Unsaid(Fault):
    """A row that may be right, and cannot be worked for another fault that has been named."""


class TooMuch(Fault):
    """More than the loom knits: nothing after it is looked at."""


# What a stitch does: how many live stitches it takes, and how many it leaves behind the point.

_TAKES_LEAVES: dict[str, tuple[int, int]] = {
    "k": (1, 1), "p": (1, 1), "DS": (1, 1), "sl": (1, 1), "rest": (1, 1),
    "k2tog": (2, 1), "ssk": (2, 1), "skp": (2, 1), "p2tog": (2, 1), "ssp": (2, 1),
    "sk2p": (3, 1), "s2kp": (3, 1), "k3tog": (3, 1),
    "yo": (0, 1), "M1": (0, 1), "M1L": (0, 1), "M1R": (0, 1), "pick up": (0, 1), "CO": (0, 1),
    "take up": (0, 1),
    "kfb": (1, 2), "pfb": (1, 2), "BO": (1, 0), "graft": (1, 0), "draw up": (1, 0),
}  # fmt: skip
_PLAIN = frozenset({"k", "p"})
_NESTS = frozenset("[](){}*;")
_NOT_MADE = frozenset({"sl", "rest", "CO", "BO", "graft", "draw up"})
_NO_COLOUR = frozenset({"BO", "rest", "graft", "draw up", "sl", "DS"})
_TURNS = frozenset({"turn", "w&t"})
_NEEDS_NUMBER = frozenset({"pick up", "take up", "CO", "BO", "rest", "graft", "draw up"})
_NAMES = "|".join(sorted(map(re.escape, _TAKES_LEAVES), key=len, reverse=True))
_STITCH = re.compile(
    rf"(?P<name>{_NAMES}|C[1-9]\d{{0,2}}[FB])\s*(?P<number>\d+|all)?(?P<tbl>(?:\s+|(?<=\d))tbl)?"
    r"(?P<colour>(?:\s+|(?<=\d))[a-h])?"
    r"(?:\s+to\s+(?:(?P<end>end)|last\s+(?P<last>\d+)))?",
    re.ASCII,
)
_TIMES = re.compile(
    r"(?:\[(?P<square>.*)\]|\((?P<round>.*)\))\s*(?:x\s*(?P<x>\d+)|(?P<times>\d+)\s+times)",
    re.ASCII,
)
_STARRED = re.compile(
    r"\*(?P<inside>.*);\s*rep\s+from\s+\*\s*(?:to\s+(?P<end>end)|to\s+last\s+(?P<last>\d+)|(?P<more>\d+)\s+times)",
    re.ASCII,
)
_ROW = re.compile(r"\s*(?:(?P<side>RS|WS)\s*:)?(?P<work>[^=]*)(?:=(?P<claim>[^=]*))?", re.ASCII)
_CLAIM = re.compile(r"\s*\d{1,5}(?:\s*/\s*\d{1,5})*\s*", re.ASCII)


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
    wraps: bool = False
    """Whether it turns by wrapping the next stitch."""


def _parse(text: str) -> Written:
    if len(text) > LONGEST_ROW:
        raise Fault(f"this row has {len(text)} letters", f"write at most {LONGEST_ROW}")
    # Between words any room will do: one space stands for it from here on.
    text = " ".join(text.split())
    row = _ROW.fullmatch(text)
    if row is None or (row["claim"] is not None and not _CLAIM.fullmatch(row["claim"])):
        raise Unread(
            f'"{shorten(text)}" cannot be read',
            'a claim stands last, like "= 64" or "= 16/16"',
            text,
        )
    claim = tuple(map(int, row["claim"].split("/"))) if row["claim"] else ()
    needles = [_needle(part) for part in row["work"].split("|")]
    segments = tuple([items for items, _ in needles])
    if any(turns for _, turns in needles[:-1]):
        raise Fault("something stands after a turn", "end the row with the turn")
    if not any(segments):
        raise Fault("no stitch is worked in it", 'write its stitches, such as "k"')
    turn = needles[-1][1]
    return Written(row["side"], segments, bool(turn), claim, turn == "w&t")


def _nearest(text: str, fault: Unread) -> str:
    """What to write instead of a row as printed, where that is known."""
    from tracker.pattern.printed import instead_of

    text = " ".join(text.split())
    return instead_of(fault.item, text, _reads, _reads) or fault.instead


def _reads(text: str) -> bool:
    try:
        return bool(_parse(text))
    except Fault:
        return False


@lru_cache(maxsize=512)
def as_meant(text: str) -> str | None:
    """A row that cannot be read as it was meant, if that is sure enough to go on from it."""
    if len(text) > LONGEST_ROW or _reads(text):
        return None
    from tracker.pattern.printed import mended

    meant = mended(text)
    return meant if _reads(meant) else None


@lru_cache(maxsize=512)
def _needle(part: str) -> tuple[tuple[Item, ...], str]:
    """The items of one needle, and how it turns, if it does: the same work comes again on many needles."""
    if not _NESTS.isdisjoint(part):
        _check_brackets(part)
    items = _items(part, 1)
    turns = items[-1].name if items and items[-1].name in _TURNS else ""
    body = items[:-1] if turns else items
    if any(item.name in _TURNS for item in body):
        raise Fault("something stands after a turn", "end the row with the turn")
    return body, turns


def _check_brackets(part: str) -> None:
    """Brackets that do not pair off are named for what they are, not for what they hide."""
    for opens, closes in ("[]", "()"):
        more = part.count(opens) - part.count(closes)
        if more:
            which = closes if more > 0 else opens
            raise Fault(
                f'a "{which}" is missing in "{shorten(part.strip())}"',
                "write [k2, p2] 4 times, with both brackets on one needle",
            )


def _items(text: str, depth: int) -> tuple[Item, ...]:
    if depth > DEEPEST:
        raise Fault(f"brackets stand more than {DEEPEST} deep", "write the repeat out")
    if not text.strip():
        return ()
    return tuple(_item(part.strip(), depth) for part in _parts(text))


def _parts(text: str) -> Iterator[str]:
    """The items of a row: text between commas that stand in no bracket and in no repeat."""
    if _NESTS.isdisjoint(text):
        yield from text.split(",")
        return
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
    if text in _TURNS:
        return Item(text, (), 1, 0)
    if text.startswith("*") and (found := _STARRED.fullmatch(text)):
        if "*" in found["inside"]:
            raise Fault(
                "a * stands within another", "write one of them in brackets: [k2, p2] 4 times"
            )
        inside = _inside(found["inside"], depth)
        if found["more"] is not None:
            return Item("", inside, _number(found["more"]) + 1, 0)
        return Item("", inside, None, _number(found["last"] or "0"))
    if text.startswith(("[", "(")) and (found := _TIMES.fullmatch(text)):
        within = found["square"] if found["square"] is not None else found["round"]
        return Item("", _inside(within, depth), _number(found["x"] or found["times"]), 0)
    if found := _STITCH.fullmatch(text):
        return _stitch(text, found)
    raise Unread(
        f'"{shorten(text)}" is not known',
        "write a stitch such as k3, ssk or [k2, p2] 4 times",
        text,
    )


def _inside(text: str, depth: int) -> tuple[Item, ...]:
    """What is repeated."""
    items = _items(text, depth + 1)
    if not items:
        raise Fault("there is nothing to repeat", "write stitches in it, like [k2, p2] 4 times")
    if any(item.name in _TURNS for item in items):
        raise Fault("a turn stands in a repeat", "end the row with the turn")
    return items


def _stitch(text: str, found: re.Match[str]) -> Item:
    name, number = found["name"], found["number"]
    if found["tbl"] and name not in ("k", "p", "sl") and _TAKES_LEAVES.get(name, (0, 0))[0] < 2:
        raise Fault(f'"{shorten(text)}" is not known', f"write {name} without tbl")
    if found["colour"] and name in _NO_COLOUR:
        letter = found["colour"].strip()
        raise Fault(f'"{shorten(text)}" has a colour', f"leave the {letter} out")
    far = found["end"] or found["last"]
    if number and far:
        goes = text.rpartition(" to ")[2]
        instead = f"write {name}{number}, {name} to {goes}, or *k2, p2; rep from * to {goes}"
        raise Unread(f'"{shorten(text)}" says two lengths', instead, text)
    if number == "all":
        if name != "BO":
            raise Fault(f'"{shorten(text)}" is not known', f"write {name} to end")
        return Item(name, (), None, 0)
    if number:
        return Item(name, (), _number(number), 0)
    if far:
        return Item(name, (), None, _number(found["last"] or "0"))
    if name in _NEEDS_NUMBER:
        instead = "write BO all, or BO 8" if name == "BO" else f"write {name} 8"
        raise Fault(f'"{name}" has no number', instead)
    return Item(name, (), None if name in ("k", "p") else 1, 0)


def _number(text: str) -> int:
    number = int(text) if len(text) < 8 else MOST_NUMBER + 1
    if number > MOST_NUMBER:
        raise Fault(f"{shorten(text)} is too large a number", f"write at most {MOST_NUMBER}")
    return number


def _so_many(stitches: int) -> str:
    return "1 stitch" if stitches == 1 else f"{stitches} stitches"


def _named(name: str, times: int) -> str:
    """A stitch and how often, as she would say it."""
    if name in ("k", "p", "sl"):
        return f"{name}{times}"
    if name in _NEEDS_NUMBER:
        return f"{name} {times}"
    return name if times == 1 else f"{name} {times} times"


def takes_leaves(name: str) -> tuple[int, int]:
    """How many live stitches a stitch takes, and how many it leaves."""
    known = _TAKES_LEAVES.get(name)
    if known is None:
        over = int(name[1:-1])
        known = over, over
    return known


class Made(NamedTuple):
    """What a row came to: the stitches on every needle after it, and those it made.

    `needles` stand in the order in which the row met them. `slips_first` is true where its first
    stitch was slipped, `crosses` where a decrease took stitches of two needles.
    """

    needles: tuple[int, ...]
    stitches: int
    slips_first: bool
    crosses: bool


class Loom:
    """All stitches of one piece of knitting."""

    def __init__(self) -> None:
        self._ahead: list[int] = []
        self._behind: list[int] = []
        self._resting: list[int] = []
        self._rest_side = "WS"
        self.needles: list[int] = []
        """The stitches on every needle, in the order in which the next row of side RS meets them."""
        self.side = "RS"
        self.serial = 0
        """The number of the row worked last, over all sections."""
        self.lost = True
        """Whether it is unknown what is on the needles: at first, and after a row that failed."""
        self.owed = 0
        """Stitches more that the last claim spoke of: it has been named, so it is not named again."""
        self.bridged: list[tuple[int, int]] = []
        """Of every decrease of the row, the first and the last stitch it took."""
        self.open = 0
        """Stitches that carry a wrap, or are double ones, and were not worked since."""
        self.closed: list[int] = []
        """Of those that the row worked, how many stitches it had worked before each."""
        self.doubles: list[int] = []
        """Of the double stitches that the row made, how many it had worked before each."""
        self.wrapped_twice = False
        """Whether the stitch that was wrapped last carried a wrap before."""
        self.wrapped_new = 0
        """Stitches that carry a wrap since the row, and did not before it."""
        self.turned = False
        """Whether the row worked last turned without wrapping a stitch."""
        self.waste: int | None = None
        """Stitches that waste yarn holds, for a heel knitted afterwards."""
        self._begun = 0
        self._flat = False
        self.any_way = False
        """Whether it is not said if these are rows or rounds: then no side and no turn is wrong."""
        self.stays = False
        """Whether the row ends without a turn, needles after it being left unworked."""
        self._letters = 0
        self._known: dict[str, Written | Fault] = {}
        self._worked_before: dict[tuple[Any, str, tuple[int, ...]], tuple[Written, Made]] = {}
        self._borders: list[int] = []
        self._counts: list[int] = []
        self._steps = 0
        self._work = 0
        self._slips_first = False
        self._crosses = False
        self._same_again = False
        """Whether the row, over the same counts, must come to the same again."""
        self.repeatable = False
        """Whether the row worked last is such a one, and was worked to its end."""

    # The needles at a section's beginning

    def begin(
        self, needles: list[int] | None, resting: int, flat: bool, rest: int, first: str
    ) -> str:
        """Arrange the stitches for a section; returns what is wrong with the arrangement, or "".

        Without `needles` it goes on with those of the section before. `rest` stitches just worked
        belong to the first needle of a round that begins behind the point. `first` is the side of
        a flat section's first row.
        """
        if needles is None:
            if self.lost:
                return "it is not known what is on the needles"
            needles = self.needles if flat == self._flat else [self.live()]
            resting = len(self._resting)
        live = self.live() + len(self._resting)
        total = sum(needles) + resting
        wrong = ""
        if self.lost:
            self._cast_on(sum(needles), resting, first)
        else:
            if total not in (live, live + self.owed):
                wrong = f"{_so_many(live)} are there, the section begins with {total}"
            self._arrange(sum(needles), resting, flat, rest, first)
        self.needles, self._flat, self.owed = list(needles), flat, 0
        return wrong

    def _cast_on(self, working: int, resting: int, side: str) -> None:
        self._ahead, self._behind = [self.serial] * working, []
        self._resting = [self.serial] * resting
        self.open = 0
        self.side = self._rest_side = side
        self.lost = False

    def _arrange(self, working: int, resting: int, flat: bool, rest: int, first: str) -> None:
        """The working stitches are those that come next from the point, the resting ones follow.

        Between rows worked flat nothing moves as long as the same number is in work. A round
        begins at the point, or `rest` stitches behind it. Between rounds and rows she may turn:
        rounds go on with the RS outside, whatever turn ended the last row.
        """
        if flat and self._flat and working == self.live():
            return
        if not flat and self.side == "WS":
            self._ahead, self._behind = self._behind, self._ahead
            self._turn()
        ring = self._from_point()
        if not flat:
            ring = ring[len(ring) - rest :] + ring[: len(ring) - rest]
        elif not self._flat and first == "WS":
            ring.reverse()
            self.side = "WS"
        ring += [self.serial] * max(0, working + resting - len(ring))
        self._ahead = ring[:working][::-1]
        self._behind = []
        self._resting, self._rest_side = ring[working : working + resting], self.side

    def _from_point(self) -> list[int]:
        """All live stitches in the order in which knitting on from the point would meet them."""
        in_order = self._flat and self.side == self._rest_side
        waiting = self._resting if in_order else self._resting[::-1]
        return self._ahead[::-1] + waiting + self._behind

    # Working a row

    def work(self, text: Any) -> tuple[Written, Made]:
        """Work a row: as it was read, and what it came to. Raises Fault where it cannot be worked."""
        self.serial += 1
        if self.serial > MOST_ROWS_IN_ALL:
            raise TooMuch(f"there are more than {MOST_ROWS_IN_ALL} rows", "write fewer")
        self.bridged, self.stays = [], False
        self.closed, self.doubles, self.wrapped_new = [], [], 0
        on = self.needles if self.side == "RS" else self.needles[::-1]
        key = (text, self.side if self._flat else "", tuple(on))
        known = None
        if not self._behind and not self.open and isinstance(text, str):
            known = self._worked_before.get(key)
        if known is not None:
            self._ahead, self._behind = [], [self.serial] * sum(known[1].needles)
            self.repeatable = True
            return known
        row = self._read(text)
        self._check_side(row)
        self._steps, self._borders = 0, []
        self._slips_first, self._crosses = False, False
        self._same_again = not self._behind and not self.open
        self._begun = len(self._behind)
        needles, stitches = self._work_row(row, on)
        if row.wraps and self._ahead:
            self._wrap_next()
        self._check_live()
        made = Made(tuple(needles), stitches, self._slips_first, self._crosses)
        self.repeatable = self._same_again and not self._ahead
        if self.repeatable:
            self._worked_before[key] = row, made
        return row, made

    def again(self, before: tuple[int, ...], made: Made) -> bool:
        """Work a whole round that came to `made` before, where the needles hold what they held then.

        It was `repeatable` then. False where the needles hold other counts.
        """
        if (
            tuple(self.needles) != before
            or self._behind
            or self.open
            or self.serial >= MOST_ROWS_IN_ALL
        ):
            return False
        self.serial += 1
        self.bridged = []
        self.needles = list(made.needles)
        self._ahead = [self.serial] * sum(made.needles)
        return True

    def skim(self, text: Any, flat: bool, needles: int | None) -> Written:
        """Look a row over of which nobody knows what it is worked on, save on how many needles.

        Raises Fault for what is wrong whatever is on them. Nothing is worked.
        """
        self._flat = flat
        row = self._read(text)
        self._check_side(row)
        if needles is not None and len(row.segments) not in (1, needles):
            raise _other_needles(row, needles)
        return row

    def parsed(self, text: Any) -> Written | None:
        """A row as it was read; None where it cannot be."""
        try:
            return self._read(text)
        except Fault:
            return None

    def pass_over(self) -> None:
        """A row was worked of which nobody knows what it left; worked flat, the work is turned."""
        if self._flat:
            self._turn()

    def _check_side(self, row: Written) -> None:
        side = self.side
        if self.any_way:
            if row.turns and not self._flat:
                raise Unsaid("a round does not turn", "say how it is worked")
            self.side = row.side if row.side and self._flat else side
            return
        if not self._flat:
            if row.turns:
                raise Fault("a round does not turn", "leave the turn out, or work in rows")
            if row.side:
                raise Fault(f"a round has no {row.side}", f"leave {row.side}: out, or work in rows")
        elif row.side is None:
            raise Fault("a flat row says its side", f"begin it with {side}:")
        elif row.side != side:
            raise Fault(
                f"the work lies {side} up, the row says {row.side}", f"begin it with {side}:"
            )

    def _check_live(self) -> None:
        live = self.live() + len(self._resting)
        if live > MOST_STITCHES:
            raise Fault(
                f"there are {live} stitches", f"write rows that leave at most {MOST_STITCHES}"
            )

    def _read(self, text: Any) -> Written:
        """A row's text, parsed once for every text."""
        if not isinstance(text, str):
            raise Fault("this row is not a text", 'write it in quotes, like "k"')
        known = self._known.get(text)
        if known is None:
            self._letters += len(text)
            if len(self._known) >= MOST_TEXTS:
                raise TooMuch(f"there are more than {MOST_TEXTS} different rows", "write fewer")
            if self._letters > MOST_LETTERS:
                raise TooMuch(f"the rows have more than {MOST_LETTERS} letters", "write fewer")
            try:
                known = _parse(text)
            except Fault as fault:
                if isinstance(fault, Unread):
                    fault.instead = _nearest(text, fault)
                known = fault
            self._known[text] = known
        if isinstance(known, Fault):
            raise known
        return known

    def _work_row(self, row: Written, on: Sequence[int]) -> tuple[Sequence[int], int]:
        """The stitches on every needle after the row, and how many were made."""
        reach = self._reach(on)
        if len(row.segments) == 1:
            return self._work_whole(row, on, reach)
        if len(row.segments) != len(on):
            raise _other_needles(row, len(on))
        made, counts = 0, []
        stops = self._stops_before(row)
        for place, (items, holds, ahead) in enumerate(zip(row.segments, on, reach, strict=True)):
            if place >= stops:
                counts.append(holds)
                continue
            before = len(self._behind)
            turns = row.turns and place == len(on) - 1
            rests = not items and not turns
            left, more = self._pass(ahead) if rests else self._work_items(items, ahead)
            if left and not turns:
                raise _too_few(left, f"needle {place + 1}")
            made += more
            counts.append(holds - ahead + len(self._behind) - before + left)
        return counts, made

    def _stops_before(self, row: Written) -> int:
        """The needle before which a flat row ends that neither turns nor works the last needles."""
        worked = max(place for place, items in enumerate(row.segments) if items) + 1
        if not self._flat or row.turns or worked == len(row.segments):
            return len(row.segments)
        self.stays, self._same_again = True, False
        return worked

    def _reach(self, on: Sequence[int]) -> list[int]:
        """How many stitches of every needle lie ahead: those left by a turn lie behind the point."""
        back, reach = len(self._behind), []
        for holds in on:
            lost = min(back, holds)
            back -= lost
            reach.append(holds - lost)
        return reach

    def _work_whole(
        self, row: Written, on: Sequence[int], reach: list[int]
    ) -> tuple[Sequence[int], int]:
        """One text for all needles in order; a decrease over a border stays on the first."""
        self._borders = list(reach) if len(on) > 1 else []
        self._counts = [0] * len(on)
        left, made = self._work_items(row.segments[0], len(self._ahead))
        borders, self._borders = self._borders, []
        if left and not row.turns:
            raise _too_few(left, "the needle" if len(on) == 1 else "the needles")
        if len(on) == 1:
            return [self.live()], made
        needles = [
            holds - ahead + unworked + count
            for holds, ahead, unworked, count in zip(on, reach, borders, self._counts, strict=True)
        ]
        return needles, made

    def _pass(self, stitches: int) -> tuple[int, int]:
        """A needle that rests in this row."""
        if stitches:
            self._same_again = False
            self._behind += self._ahead[: -stitches - 1 : -1]
            del self._ahead[-stitches:]
        return 0, 0

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
                self._step(1)
                there = live, len(self._behind)
                live, more = self._work_items(item.inside, live)
                made += more
                if there == (live, len(self._behind)):
                    break  # nothing was worked, nor will it be the next time
            return live, made
        whole = live
        while live > item.until:
            before = live
            try:
                live, more = self._work_items(item.inside, live)
            except Unfit:
                if before == whole:
                    raise
                left = f"{_so_many(before)} {'is' if before == 1 else 'are'}"
                raise Fault(
                    f"the repeat does not come out: {left} left for the last one",
                    "let the repeat divide the stitches before its end",
                ) from None
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
        name = item.name
        takes, leaves = _TAKES_LEAVES.get(name) or takes_leaves(name)
        times = _times(item, live, takes) if item.times is None else item.times
        if takes * times > live:
            raise Unfit(
                f"{_named(name, times)} takes {_so_many(takes * times)},"
                f" {live} {'is' if live == 1 else 'are'} there",
                f"take {takes * times - live} fewer",
            )
        self._step(times if takes != 1 or leaves != 1 else 1)
        if self.open and takes and times and name != "rest":
            self._close(takes * times)
        if times and name in _PLAIN and not self._borders:
            del self._ahead[-times:]
            self._behind += [self.serial] * times
        elif times:
            self._do(name, takes, leaves, times)
        return live - takes * times, 0 if name in _NOT_MADE else leaves * times

    def _close(self, stitches: int) -> None:
        """Note which of the next stitches carry a wrap or are double ones: they are worked now."""
        done = len(self._behind) - self._begun
        there = self._ahead[-stitches:][::-1]
        found = [done + place for place, stitch in enumerate(there) if stitch < 0]
        self.open -= len(found)
        self.closed += found

    def _wrap_next(self) -> None:
        """Wrap the stitch that comes next, which stays unworked."""
        self.wrapped_twice = self._ahead[-1] < 0
        if not self.wrapped_twice:
            self.open += 1
            self.wrapped_new = 1
            self._ahead[-1] = -abs(self._ahead[-1]) or -1

    def _do(self, name: str, takes: int, leaves: int, times: int) -> None:
        ahead = self._ahead
        if name == "sl" and not self._behind:
            self._slips_first = True
        if name == "rest":
            self._same_again = False
            if any(abs(stitch) != self.serial - 1 for stitch in ahead[-times:]):
                raise Fault("rest takes stitches that were not just worked", "rest only those")
        if self._borders:
            self._on_needles(takes, leaves, times)
        if takes > 1 and leaves == 1:
            # Worked flat, a decrease may have to bridge a gap: it is looked at every time.
            self._same_again = self._same_again and not self._flat
            self.bridged += [(ahead[-1 - n * takes], ahead[-(n + 1) * takes]) for n in range(times)]
        if takes:
            del ahead[-takes * times :]
        made = self.serial
        if name == "DS":
            self.open += times
            self.doubles += range(
                len(self._behind) - self._begun, len(self._behind) - self._begun + times
            )
            made = -made
        self._behind += [made] * (leaves * times)

    def _on_needles(self, takes: int, leaves: int, times: int) -> None:
        """Count what was made on the needle that its first stitch came from."""
        place, borders = 0, self._borders
        while times:
            while place < len(borders) - 1 and not borders[place]:
                place += 1
            run = max(1, min(times, borders[place] // takes)) if takes else times
            self._crosses = self._crosses or (leaves < takes and borders[place] < takes)
            self._counts[place] += leaves * run
            times -= run
            owed = takes * run
            for there in range(place, len(borders)):
                taken = min(owed, borders[there])
                borders[there] -= taken
                owed -= taken

    def _step(self, steps: int) -> None:
        self._steps += steps
        self._work += steps
        if self._steps > MOST_NUMBER:
            raise Fault(f"the row has more than {MOST_NUMBER} steps", "write fewer repeats")
        if self._work > MOST_WORK:
            raise TooMuch(f"all rows have more than {MOST_WORK} steps", "write fewer rows")

    def end_row(self, needles: Sequence[int]) -> None:
        """Turn, or close the round; a row that ends inside the work goes on where it stopped."""
        if self.stays:
            self.stays = False
            self.needles = list(needles if self.side == "RS" else needles[::-1])
        elif self._flat:
            self._ahead, self._behind = self._behind, self._ahead
            self.needles = list(needles if self.side == "RS" else needles[::-1])
            self._turn()
        else:
            self._ahead, self._behind = self._behind[::-1], []
            self.needles = list(needles)

    def go_on_from(self, claim: Sequence[int]) -> bool:
        """After a row that could not be worked: as if it had left what it claims.

        The claim stands in the order of the row. False where it does not say what is on each needle.
        """
        on = self.needles if self.side == "RS" else self.needles[::-1]
        if len(claim) == len(on):
            on = list(claim)
        elif len(claim) != 1 or claim[0] != sum(on):
            return False
        self._ahead, self._behind = [], [self.serial] * sum(on)
        self.open = sum(stitch < 0 for stitch in self._resting)
        self.end_row(on)
        return True

    def _turn(self) -> None:
        self.side = "WS" if self.side == "RS" else "RS"

    def lose(self) -> None:
        """It is not known any more what is on the needles."""
        self.lost = True

    def live(self) -> int:
        """Stitches on the needles in work."""
        return len(self._ahead) + len(self._behind)

    def worked(self) -> int:
        """Stitches behind the point."""
        return len(self._behind)

    def ahead(self) -> list[int]:
        """The stitches that the row just worked has not reached, below 0 what is wrapped or double."""
        return self._ahead

    def made_in_row(self) -> int:
        """Stitches that the row just worked has put behind the point."""
        return len(self._behind) - self._begun

    def waiting(self) -> int:
        """Stitches ahead of the point: those that the row just worked has not reached."""
        return len(self._ahead)


def _times(item: Item, live: int, takes: int) -> int:
    """How often a stitch is worked that goes to the end, or to the last so many."""
    stretch = live - item.until
    if stretch < 0:
        raise Fault(
            f"{_so_many(live)} are left, fewer than {item.until}", "count from the end again"
        )
    if takes == 0 or stretch % takes:
        raise Fault(f"{item.name} does not divide {_so_many(stretch)}", "write how many")
    return stretch // takes


def _other_needles(row: Written, needles: int) -> Fault:
    return Fault(
        f"{len(row.segments)} needles are written, {needles} hold stitches",
        f"part the work of {needles} needles with |",
    )


def _too_few(left: int, where: str) -> Fault:
    word = "stitch is" if left == 1 else "stitches are"
    return Fault(f"{left} {word} left unworked on {where}", f"work {left} more, or turn")
