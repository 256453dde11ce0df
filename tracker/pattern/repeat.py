"""A repeat that a knitter writes: its rows, stitch by stitch, and where it can be parted between needles.

Lace, cables, twisted stitches and whatever else is written row by row in the notation are one thing here,
and so is a chart of colours, of which every letter is a knit stitch (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

from tracker.pattern.notation import (
    COLOUR_LETTERS,
    BadRow,
    Item,
    Run,
    colour_of,
    plain_name,
    read_row,
    runs,
    stitch_of,
    totals,
    without_colour,
    written,
)
from tracker.records import NamedTuple
from tracker.units import shorten

WIDEST = 120
"""Stitches of a repeat, in any of its rows."""
HIGHEST = 200
"""Rows of a repeat."""
LONGEST_FLOAT = 5
"""A yarn that lies behind more stitches than these is caught (common practice, no source)."""

_NOT_IN_A_REPEAT = frozenset({"CO", "BO", "pick up", "take up", "rest", "graft", "DS"})
"""What has its place at an edge or in a heel."""
_LETTERS = re.compile(rf"[{COLOUR_LETTERS}]+", re.ASCII)


class BadRepeat(ValueError):
    """A repeat that cannot be worked; the message says in one line which row, why, and what to write."""


class Cut(NamedTuple):
    """A place where a repeat can be parted: no stitch of any row lies across it.

    `after` are the stitches of each row that are worked before it, `holds` the stitches on the needle
    before it when each row begins. Both have an entry a row.
    """

    after: tuple[int, ...]
    holds: tuple[int, ...]

    @property
    def column(self) -> int:
        """Stitches of the first row's repeat that lie before it."""
        return self.holds[0]


class Repeat(NamedTuple):
    """The rows of a repeat, each a stitch after the other, and the stitches each row begins on.

    `letters` are those of its colours, in the order of the alphabet; none of what is one colour. `inside`
    are the places where it can be parted, by columns.
    """

    rows: tuple[tuple[str, ...], ...]
    counts: tuple[int, ...]
    letters: tuple[str, ...]
    inside: tuple[Cut, ...]

    @property
    def width(self) -> int:
        """Stitches of a repeat: those its first row begins on."""
        return self.counts[0]

    @property
    def height(self) -> int:
        """Rows until it begins again."""
        return len(self.rows)

    def begins_on(self, rows: int) -> int:
        """The stitches of one repeat once so many rows are done."""
        return self.counts[rows % self.height]

    @property
    def stitches(self) -> frozenset[str]:
        """Every stitch that occurs, in no colour."""
        return frozenset(without_colour(stitch) for row in self.rows for stitch in row)

    @property
    def coloured(self) -> bool:
        """Whether it is worked in colours, so that each stitch stands for itself."""
        return bool(self.letters)

    @property
    def fabric(self) -> str:
        """What it is for its ease and stretch: "cable", "lace", "stranded", else "texture"."""
        if self.coloured:
            return "stranded"
        if any(stitch[0] == "C" for stitch in self.stitches):
            return "cable"
        return "lace" if "yo" in self.stitches else "texture"


def read_repeat(texts: Sequence[str]) -> Repeat:
    """A repeat written in rows of the notation. Raises BadRepeat at the first row that cannot be."""
    _check_size(texts)
    rows: list[tuple[str, ...]] = []
    counts: list[int] = []
    live: int | None = None
    for number, text in enumerate(texts, start=1):
        try:
            made = _worked(text, live)
        except BadRow as bad:
            raise BadRepeat(f"row {number}: {bad}") from None
        counts.append(totals(made).takes)
        live = totals(made).leaves
        if not 1 <= live <= WIDEST or counts[-1] > WIDEST:
            raise BadRepeat(
                f"row {number} is wider than a repeat can be; write 1 to {WIDEST} stitches"
            )
        rows.append(tuple(_each(made)))
    if live != counts[0]:
        raise BadRepeat(
            f"the last row leaves {live} stitches, and row 1 begins on {counts[0]}; write a last row "
            f"that leaves {counts[0]}"
        )
    return made_of(tuple(rows), tuple(counts))


def read_chart(texts: Sequence[str]) -> Repeat:
    """A chart of colours, a letter a stitch, the first round first, each as it is worked.

    Raises BadRepeat at the first row that cannot be.
    """
    _check_size(texts)
    width = len(texts[0].strip())
    for number, text in enumerate(texts, start=1):
        row = text.strip()
        if not _LETTERS.fullmatch(row):
            raise BadRepeat(
                f'row {number}: "{shorten(row, 40)}" is no row of a chart; write a letter for each '
                f'stitch, {COLOUR_LETTERS[0]} to {COLOUR_LETTERS[-1]}, such as "aabb"'
            )
        if len(row) > WIDEST:
            raise BadRepeat(
                f"row {number} is wider than a repeat can be; write 1 to {WIDEST} stitches"
            )
        if len(row) != width:
            raise BadRepeat(
                f"row {number} has {len(row)} stitches, and row 1 has {width}; write as many in each"
            )
    rows = tuple(tuple(f"k {letter}" for letter in text.strip()) for text in texts)
    return made_of(rows, (width,) * len(rows))


def made_of(rows: tuple[tuple[str, ...], ...], counts: tuple[int, ...]) -> Repeat:
    """A repeat of rows that come out, each with the stitches it begins on."""
    found = {colour_of(stitch) for stitch in {stitch for row in rows for stitch in row}}
    return Repeat(rows, counts, tuple(sorted(found - {""})), _cuts(rows, counts[0]))


def _check_size(texts: Sequence[str]) -> None:
    if not texts:
        raise BadRepeat('it has no rows; write repeat = ["k2, p2"]')
    if len(texts) > HIGHEST:
        raise BadRepeat(f"there are {len(texts)} rows; write at most {HIGHEST}")


def _worked(text: str, live: int | None) -> list[Run]:
    """A row of a repeat over `live` stitches; the first says by itself how many it takes."""
    row = read_row(text)
    if len(row.segments) != 1 or row.side or row.turns:
        raise BadRow(
            "a repeat is written without needles, sides and turns; write its stitches alone"
        )
    (items,) = row.segments
    if not items:
        raise BadRow("no stitch is worked in it; write its stitches, such as k8")
    if live is None and any(_goes_on(item) for item in items):
        raise BadRow("the first row says how wide the repeat is; write it in numbers, such as k8")
    over = WIDEST + 1 if live is None else live
    made, left = runs(items, over)
    if any(plain_name(run.stitch) in _NOT_IN_A_REPEAT for run in made):
        raise BadRow("nothing is cast on, picked up, bound off or left in a repeat; leave it out")
    if live is None and not left:
        raise BadRow(f"it is wider than a repeat can be; write 1 to {WIDEST} stitches")
    if live is not None and left:
        stitches = "stitch is" if left == 1 else "stitches are"
        raise BadRow(f"{left} {stitches} left of the {live} that it begins on; work {left} more")
    counts = totals(made)
    if not counts.takes or counts.leaves > WIDEST:
        raise BadRow(f"it leaves {counts.leaves} of {counts.takes} stitches; write 1 to {WIDEST}")
    if row.claim and sum(row.claim) != counts.leaves:
        raise BadRow(f"it leaves {counts.leaves}; write = {counts.leaves}, or no claim")
    return made


def _goes_on(item: Item) -> bool:
    return item.reach != "times" or any(_goes_on(inside) for inside in item.inside)


def _each(made: Sequence[Run]) -> Iterator[str]:
    for run in made:
        yield from [run.stitch] * run.times


def as_runs(stitches: Sequence[str]) -> list[Run]:
    """Stitches as runs of those that follow each other alike."""
    joined: list[Run] = []
    for stitch in stitches:
        times = joined.pop().times if joined and joined[-1].stitch == stitch else 0
        joined.append(Run(stitch, times + 1))
    return joined


def as_written(stitches: Sequence[str]) -> str:
    """Stitches as a row is written."""
    return written(as_runs(stitches))


def _cuts(rows: Sequence[Sequence[str]], width: int) -> tuple[Cut, ...]:
    """For every column the way down between the stitches of all rows that comes out where it began."""
    between = [_places(row) for row in rows]
    found = (_way_down(between, column) for column in range(1, width))
    return tuple(cut for cut in found if cut is not None)


_Places = dict[int, list[tuple[int, int]]]
_Way = tuple[int, int, Any]
"""A step down: the stitches worked, those held, and the step before it."""


def _places(row: Sequence[str]) -> _Places:
    """Where a row can be parted: by the stitches taken, those worked and those left until there."""
    taken = left = 0
    places: _Places = {0: [(0, 0)]}
    for number, stitch in enumerate(row, start=1):
        counts = stitch_of(stitch)
        taken, left = taken + counts.takes, left + counts.leaves
        places.setdefault(taken, []).append((number, left))
    return places


def _way_down(between: Sequence[_Places], column: int) -> Cut | None:
    """The cut that begins at a column, None where a stitch lies across every way down.

    Increases that take no stitch may lie on either side: all ways are kept side by side.
    """
    ways: dict[int, _Way | None] = {column: None}
    for places in between:
        after: dict[int, _Way | None] = {}
        for holds, before in ways.items():
            for number, left in places.get(holds, ()):
                after.setdefault(left, (number, holds, before))
        ways = after
    way, worked, held = ways.get(column), [], []
    while way is not None:
        number, holds, way = way
        worked.append(number)
        held.append(holds)
    return Cut(tuple(worked[::-1]), tuple(held[::-1])) if worked else None


class Float(NamedTuple):
    """A yarn that lies behind `stitches` stitches in a row of a chart, first met at stitch `at`, from 1."""

    row: int
    letter: str
    at: int
    stitches: int


def floats(repeat: Repeat) -> Iterator[Float]:
    """The floats that want catching, of rows whose every yarn comes again."""
    for number, row in enumerate(repeat.rows, start=1):
        colours = [colour_of(stitch) for stitch in row]
        if len(set(colours)) > 1:
            yield from _floats_of(number, colours)


def _floats_of(number: int, colours: Sequence[str]) -> Iterator[Float]:
    width = len(colours)
    for letter in sorted(set(colours)):
        places = [place for place, colour in enumerate(colours) if colour == letter]
        for place, after in zip(places, [*places[1:], places[0] + width], strict=True):
            between = after - place - 1
            if between > LONGEST_FLOAT:
                yield Float(number, letter, (place + 1) % width + 1, between)


class Caught(NamedTuple):
    """A yarn to be caught in a round, behind these stitches of the repeat, counted from 1."""

    letter: str
    behind: tuple[int, ...]


@lru_cache(maxsize=64)
def catches(repeat: Repeat) -> tuple[tuple[Caught, ...], ...]:
    """Which yarns are caught in every round of the chart worked twice, none above one of the round before.

    One of two neighbouring stitches will do for every catch, so that nothing floats too far.
    """
    long: dict[int, list[Float]] = {}
    for one in floats(repeat):
        long.setdefault(one.row, []).append(one)
    rounds: list[tuple[Caught, ...]] = []
    for turn in range(2 * repeat.height):
        below = {place for one in rounds[-1:] for caught in one for place in caught.behind}
        found = (
            Caught(one.letter, _behind(one, repeat.width, below))
            for one in long.get(turn % repeat.height + 1, ())
        )
        rounds.append(tuple(found))
    return tuple(rounds)


def _behind(one: Float, width: int, below: set[int]) -> tuple[int, ...]:
    parts = -(-(one.stitches + 3) // (LONGEST_FLOAT + 1))
    places = []
    for part in range(1, parts):
        step = one.stitches * part // parts
        here, after = ((one.at - 1 + place) % width + 1 for place in (step, step + 1))
        places.append(after if here in below else here)
    return tuple(places)
