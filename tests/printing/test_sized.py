"""One sheet for several sizes: what it says of each is what that size's own pattern says."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.examples import examples
from tests.pattern.making import computed, plan_of, sock
from tracker import written
from tracker.pattern.cuff_down import compute
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern
from tracker.printing import sections
from tracker.printing.merged import merged
from tracker.printing.sheet import Paragraph, Row, Rows, Sheet
from tracker.printing.sized import Size, sized

_NUMBER = r"\d+(?:\.\d+|(?:/\d+)+|(?: / \d+)+)?"


def of_size(text: str, place: int, sizes: int) -> str:
    """What a reader takes from a text in several sizes, whose is at `place` from 0 among so many."""
    if sizes < 2:
        return text
    together = re.compile(rf"({_NUMBER}) \(({', '.join([_NUMBER] * (sizes - 1))})\)")
    return together.sub(lambda found: [found[1], *found[2].split(", ")][place], text)


TOKEN = st.one_of(
    st.integers(0, 200).map(str),
    st.lists(st.integers(0, 99).map(str), min_size=2, max_size=4).map("/".join),
    st.floats(0.1, 99).map(lambda value: f"{value:.1f}"),
)


@given(
    words=st.lists(st.sampled_from(["k", " to last ", ", ", " | ", "[", "] ", ""]), min_size=1, max_size=8),
    numbers=st.data(),
    sizes=st.integers(1, 5),
)  # fmt: skip
def test_each_size_can_be_read_off(words: list[str], numbers: st.DataObject, sizes: int) -> None:
    texts = ["".join(f"{word}a{numbers.draw(TOKEN)}b" for word in words) for _ in range(sizes)]
    together = merged(texts)
    assert together is not None
    assert [of_size(together, place, sizes) for place in range(sizes)] == texts


@pytest.mark.parametrize(
    ("texts", "together"),
    [
        (["48", "56", "60"], "48 (56, 60)"),
        (["k16, turn", "k14, turn"], "k16 (14), turn"),
        (["16/16/16/16", "15/15/15/15"], "16/16/16/16 (15/15/15/15)"),
        (["9.3 cm", "10 cm"], "9.3 (10) cm"),
        (["k2tog", "k2tog"], "k2tog"),
        (["k2tog", "ssk"], None),
        (["k", "k1"], None),
    ],
)
def test_how_sizes_are_written(texts: list[str], together: str | None) -> None:
    assert merged(texts) == together


def sizes_of(stitches: list[int], fields: dict[str, Any]) -> list[Size]:
    """A plan's sizes. Raises WillNotWork."""
    plain = {"foot.circumference": None, **fields}
    found = []
    for number in stitches:
        plan = plan_of({**plain, "leg.stitches": number})
        found.append(Size(number, read_pattern(compute(plan).document, "")))
    return found


def rows_of(sheet: Sheet, index: int, name: str) -> list[Row]:
    """The rows of a section that a reader of one size takes."""
    own = True
    rows: list[Row] = []
    for block in sheet.parts[index].blocks:
        if isinstance(block, Paragraph):
            own = block.text == f"Size {name}:"
        elif isinstance(block, Rows) and own:
            rows += block.rows
    return rows


@examples(60)
@given(
    stitches=st.sets(st.integers(9, 24).map(lambda n: 4 * n), min_size=1, max_size=5).map(sorted),
    needles=st.sampled_from(["five", "four", "two circulars", "long circular"]),
    fabric=st.sampled_from(["plain", "rib"]),
    turn=st.sampled_from(["rounded", "square"]),
    colours=st.sampled_from([None, ["navy 9", "cream 3"]]),
)  # fmt: skip
def test_a_sheet_of_sizes_says_what_each_pattern_says(
    stitches: list[int], needles: str, fabric: str, turn: str, colours: list[str] | None
) -> None:
    fields = {
        "needles.set": needles,
        "leg.fabric": fabric,
        "heel.turn": turn,
        "colours.leg": colours,
    }
    try:
        sizes = sizes_of(stitches, fields)
    except WillNotWork:
        assume(False)
    sheet = sized(sizes, computed(fields).document)
    for place, size in enumerate(sizes):
        for index, page in enumerate(written.sections(size.pattern)):
            rows = rows_of(sheet, index, str(size.stitches))
            for found, line in zip(rows, page.lines, strict=True):
                own = sections.row(line)
                assert of_size(found.name, place, len(sizes)) == own.name
                assert of_size(found.work, place, len(sizes)) == own.work
                counts = of_size(found.counts, place, len(sizes))
                if ", on to " in counts:
                    first, last = counts.split(", on to ")
                    assert own.counts.startswith(first)
                    assert own.counts.endswith(last)
                else:
                    assert counts == own.counts


def test_one_size_is_that_pattern() -> None:
    (size,) = sizes_of([64], {})
    sheet = sized([size], {})
    assert sheet.about == "As planned, in sizes 64"
    rows = [
        row
        for part in sheet.parts
        for block in part.blocks
        if isinstance(block, Rows)
        for row in block.rows
    ]
    assert rows == [sections.row(line) for page in written.sections(sock()) for line in page.lines]
