"""The repeat of a section as a chart: every stitch a sign, as it looks from the right side.

It is read from below; rounds and right side rows from right to left, wrong side rows from left to right.
Knit is an upright line and purl a level one, a decrease leans as its stitches do, a yarn over is round, a
slipped stitch a V, what is worked on the wrong side is drawn by its look on the right one: the knit chart
symbols of the Craft Yarn Council (Standards & Guidelines for Crochet and Knitting, 2018, page 6), and
Vogue Knitting's Symbolcraft. Stitches for which there is no sign in a terminal have a letter of our own,
and every chart names its signs. A stitch that tells its colour is drawn as the letter of that colour.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import gcd
from typing import Literal

from tracker.pattern.folded import blocks
from tracker.pattern.model import Row, Section, Side
from tracker.pattern.notation import Run, colour_of, read_row, runs, stitch_of
from tracker.records import NamedTuple

MOST_ROWS = 120
"""Rows of a section among which a repeat is looked for: no longer one stands in it."""

NO_STITCH = "#"
"""Where a row has fewer stitches than the widest."""
_UNWORKED = "."
"""A stitch that a row leaves where it is."""

_SIGNS: Mapping[str, str] = {
    "k": "|", "p": "-", "sl": "V", "yo": "o",
    "k2tog": "/", "ssk": "\\", "skp": "\\", "p2tog": "a", "ssp": "e",
    "s2kp": "^", "sk2p": "y", "k3tog": "t",
    "M1": "M", "M1L": "L", "M1R": "R", "kfb": "Y", "pfb": "P",
    "k tbl": "Q", "p tbl": "q", "sl tbl": "v", "DS": "D", "pick up": "U", "take up": "W", "rest": _UNWORKED,
}  # fmt: skip
"""What a stitch worked on the right side looks like."""
_FROM_BEHIND: Mapping[str, str] = {
    "k": "p", "p": "k", "k2tog": "p2tog", "p2tog": "k2tog", "ssk": "ssp", "ssp": "ssk", "k tbl": "p tbl",
    "p tbl": "k tbl", "kfb": "pfb", "pfb": "kfb",
}  # fmt: skip
"""What a stitch worked on the wrong side is on the right one."""
_DECREASES = frozenset("/\\ae^yt")
_CABLES = {"F": "<", "B": ">"}
"""A cable leans to where its front stitches go; one sign for each of its stitches."""
_ALONE = frozenset("o<>")
"""Signs for which rows are drawn that do not come again, too."""


class Line(NamedTuple):
    """A row of a chart: its number, where it begins, its signs as drawn, the left one first."""

    number: int
    begins: Literal["left", "right"]
    signs: str


class Chart(NamedTuple):
    """The rows of a repeat, the first of them first, or rows that are worked once (`again` false).

    A line has a sign for every stitch; `times` is how often they stand beside each other. `key` are the
    signs that occur and the stitch of each, `first` the row of the section at which line 1 comes first.
    """

    lines: tuple[Line, ...]
    times: int
    again: bool
    first: int
    key: tuple[tuple[str, str], ...]
    letters: tuple[str, ...] = ()
    """The signs that are colours."""

    @property
    def stitches(self) -> int:
        """Stitches of the widest line."""
        return max(len(line.signs) for line in self.lines)

    def line_of(self, row: int) -> int | None:
        """The number of the line that row `row` of the section is worked by; None where none is."""
        over = row - self.first
        if over < 0 or (not self.again and over >= len(self.lines)):
            return None
        return over % len(self.lines) + 1


def chart(
    section: Section, hand: str = "right", colours: Sequence[tuple[str, str]] = ()
) -> Chart | None:
    """The chart of a section; None where all of it is said in a line or two.

    It is drawn for a repeat of two rows or more in which stitches differ, and for rows with holes or
    cables. For the left `hand` it is the mirror image: rounds are read from left to right. `colours` are
    the letters of a chart's colours, each with its name.
    """
    found, again = _rows(section)
    drawn = [_drawn(row) for row in found]
    stitches = [line for line in drawn if line]
    if len(stitches) < max(len(found), 2):
        return None
    signs = {sign for line in stitches for sign, _ in line}
    letters = tuple(sorted({name[-1] for line in stitches for _, name in line if colour_of(name)}))
    if len(signs) < 2 or not (again or signs & _ALONE):
        return None
    named = dict.fromkeys(pair for line in stitches for pair in line)
    key = tuple((_seen(sign, hand), _called(name, dict(colours))) for sign, name in named)
    texts = ["".join(sign for sign, _ in line) for line in stitches]
    beside = _beside(texts)
    once = [text[: len(text) // beside] for text in texts]
    if max(map(len, once)) < 2:
        return None  # ridges: there is nothing to be found in them
    lines = tuple(
        _line(number, row.side, text, hand)
        for number, (row, text) in enumerate(zip(found, _as_wide(once), strict=True), start=1)
    )
    return Chart(lines, beside, again, found[0].number, tuple(dict.fromkeys(key)), letters)


def _called(name: str, colours: Mapping[str, str]) -> str:
    """What a sign stands for: a stitch, or a colour by its name."""
    letter = colour_of(name)
    return colours.get(letter, f"colour {letter}") if letter else name


def _rows(section: Section) -> tuple[Sequence[Row], bool]:
    """The rows of a section that are drawn, and whether they come again."""
    if section.goal is not None and section.cycle > 1:
        first, cycle = section.lead_in + (section.first == 0), section.cycle
        if not _comes_again(section.rows[first:], cycle):
            first = len(section.rows) - cycle  # changed on the way: what is worked from here on
        return section.rows[first : first + cycle][:MOST_ROWS], True
    rows = [row for row in section.rows[:MOST_ROWS] if row.number]
    for block in blocks(rows):
        if block.period > 1 and block.times > 1:
            return block.rows[: block.period], True
    return rows if len(section.rows) <= MOST_ROWS else (), False


def _comes_again(rows: Sequence[Row], cycle: int) -> bool:
    """Whether rows are worked alike, so many after each other."""
    alike = zip(rows, rows[cycle:], strict=False)
    return all(
        [n.work for n in row.needles] == [n.work for n in later.needles] for row, later in alike
    )


def _drawn(row: Row) -> list[tuple[str, str]]:
    """Every stitch that a row leaves, in the order in which they are worked: its sign and its name.

    Nothing where a stitch comes off the needle for good: that is no fabric to be drawn.
    """
    found: list[tuple[str, str]] = []
    for needle, live in zip(row.needles, row.before, strict=False):
        if needle.rests:
            continue
        worked, unworked = runs(read_row(needle.work).segments[0], live)
        for run in worked:
            if not stitch_of(run.stitch).leaves or run.stitch == "CO":
                return []
            found += _stitches(run, row.side)
        found += [(_UNWORKED, "not worked")] * unworked
    return found


def _stitches(run: Run, side: Side | None) -> Iterator[tuple[str, str]]:
    """A run of stitches: a sign for each of those it leaves."""
    if letter := colour_of(run.stitch):
        yield from [(letter, run.stitch)] * (stitch_of(run.stitch).leaves * run.times)
        return
    name = _FROM_BEHIND.get(run.stitch, run.stitch) if side == "WS" else run.stitch
    if name not in _SIGNS:
        name = run.stitch
    sign = _SIGNS.get(name) or _SIGNS.get(name.removesuffix(" tbl")) or _CABLES[name[-1]]
    yield from [(sign, name)] * (stitch_of(run.stitch).leaves * run.times)


def _beside(texts: Sequence[str]) -> int:
    """How often the smallest stretch comes in every line, one beside the other, however wide it is there."""
    common = gcd(*map(len, texts))
    return next(
        times
        for times in range(common, 0, -1)
        if common % times == 0 and all(text == text[: len(text) // times] * times for text in texts)
    )


def _as_wide(texts: Sequence[str]) -> Iterator[str]:
    """Lines made as wide as the widest: where one has fewer stitches, beside its decrease.

    The rows after it keep the place, until there is a stitch more.
    """
    wide = max(map(len, texts))
    widest = next(text for text in texts if len(text) == wide)
    place = widest.find("o") if "o" in widest else wide
    for text in texts:
        decrease = next((at for at, sign in enumerate(text, start=1) if sign in _DECREASES), place)
        place = decrease if len(text) < wide else place
        yield text[:place] + NO_STITCH * (wide - len(text)) + text[place:]


def _line(number: int, side: Side | None, worked: str, hand: str) -> Line:
    """A line of stitches in the order in which they are worked."""
    from_left = (side == "WS") != (hand == "left")
    turned = _seen(worked, hand)
    return Line(number, "left" if from_left else "right", turned if from_left else turned[::-1])


def _seen(signs: str, hand: str) -> str:
    return signs.translate(_MIRROR) if hand == "left" else signs


_MIRROR = str.maketrans("/\\<>", "\\/><")
"""What leans the other way in a left-handed knitter's fabric."""
