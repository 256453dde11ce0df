"""A sheet: what is to be printed, whatever the form. Composers make it, writers write it down.

Every text in it may be a stranger's. A writer cleans it with `plain`, then escapes what is markup in
its own form.
"""

from __future__ import annotations

from tracker.drawing import Drawing
from tracker.records import NamedTuple
from tracker.units import shorten


class Paragraph(NamedTuple):
    """A sentence or a few."""

    text: str


class Points(NamedTuple):
    """Sentences that stand one below the other: steps, or remarks."""

    lines: tuple[str, ...]


class Facts(NamedTuple):
    """Names, and what each is: "Gauge", "30 stitches and 42 rows to 10 cm"."""

    facts: tuple[tuple[str, str], ...]


class Row(NamedTuple):
    """A written row, or several: what it is called, its work, and the counts it leaves.

    A row without a name is a remark, which stands in `work`.
    """

    name: str
    work: str
    counts: str = ""


class Rows(NamedTuple):
    """The written rows of a section."""

    rows: tuple[Row, ...]


class Table(NamedTuple):
    """Counts side by side; every line has as many cells as the head."""

    head: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...]


Block = Paragraph | Points | Facts | Rows | Table | Drawing


class Part(NamedTuple):
    """A stretch of a sheet under a heading; `aside` stands beside it, smaller."""

    heading: str
    blocks: tuple[Block, ...]
    aside: str = ""


class Sheet(NamedTuple):
    """A title, what sort of sheet it is, what stands before the first heading, and its parts."""

    title: str
    about: str
    blocks: tuple[Block, ...]
    parts: tuple[Part, ...]


def plain(text: str) -> str:
    """A stranger's text without control characters, on one line; nothing else of it is changed."""
    return shorten(text, max(len(text), 1))
