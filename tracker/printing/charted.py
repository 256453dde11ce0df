"""The chart of a leg on paper: a table with a cell for every stitch, in pieces where it is wide."""

from __future__ import annotations

from collections.abc import Iterator

from tracker.pattern.chart import NO_STITCH, Chart, chart
from tracker.pattern.model import Pattern, Section
from tracker.pattern.phase_up import leg_goes_on
from tracker.printing.sheet import Block, Paragraph, Table

WIDEST = 24
"""Stitches beside each other: more do not fit on a line of text."""


def blocks(section: Section, pattern: Pattern) -> Iterator[Block]:
    """The chart of a section, with its signs named first; nothing of one that needs none."""
    found = chart(section, pattern.hand, pattern.colours.letters) if section.kind == "leg" else None
    if found is None or not found.again:
        return
    yield Paragraph(" ".join(filter(None, [_read(found), *_begins(found, section, pattern)])))
    for first in range(0, found.stitches, WIDEST):
        yield _piece(found, first, min(first + WIDEST, found.stitches))


def _begins(found: Chart, leg: Section, pattern: Pattern) -> Iterator[str]:
    """With which round it begins: where that is not the leg's first, or goes on with the foot's repeat."""
    if found.first != 1:
        yield f"Its round 1 is round {found.first} here."
    after = leg_goes_on(pattern) if leg in pattern.sections else None
    if after is not None:
        foot, row = after
        yield (
            f"The repeat goes on from the foot: after its {foot} planned rounds round 1 here is what "
            f"the foot's round {row} is on the instep."
        )


def _read(found: Chart) -> str:
    """How it is read, and what its signs are."""
    signs = ", ".join(f"{sign} {name}" for sign, name in found.key)
    left = any(line.begins == "left" for line in found.lines)
    way = "from left to right" if left else "from right to left"
    short = any(NO_STITCH in line.signs for line in found.lines)
    none = f", {NO_STITCH} no stitch" if short else ""
    return f"Chart, read from below, each round {way}: {signs}{none}."


def _piece(found: Chart, first: int, last: int) -> Table:
    """So many stitches of every line, counted from where rounds begin; the last round stands on top."""
    left = found.lines[0].begins == "left"
    numbers = range(first + 1, last + 1) if left else range(last, first, -1)
    lines = []
    for line in reversed(found.lines):
        signs = line.signs[first:last] if left else line.signs[::-1][first:last][::-1]
        lines.append((str(line.number), *signs))
    return Table(("Round", *map(str, numbers)), tuple(lines))
