"""Rows that come again are written once, and nothing is lost: the blocks are the rows, in order."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pattern.making import pattern, section, sock
from tracker.pattern.folded import Block, blocks
from tracker.pattern.model import Needle, Pattern, Row
from tracker.storage.pattern_file import open_file
from tracker.written import Line, Remark, sections

ROOT = Path(__file__).parents[2]
FILES = [
    *sorted((ROOT / "sample_projects").glob("*.toml")),
    *sorted((ROOT / "tests" / "pattern" / "data" / "by_hand").glob("*.toml")),
]

WORKS = st.sampled_from(["k", "p", "k2tog, k", "[k1, p1] 4 times"])


@st.composite
def rows(draw: st.DrawFn) -> list[Row]:
    """Rows of few works, so that many come again; the count falls, or stays."""
    made: list[Row] = []
    stitches = 200
    for number in range(draw(st.integers(0, 1)), draw(st.integers(1, 40))):
        work = draw(WORKS)
        before, stitches = stitches, stitches - ("tog" in work)
        needle = Needle("N1", work, stitches, stitches, plain=work == "k")
        made.append(Row(number, None, (needle,), stitches, stitches, (before,), "PLAIN"))
    return made


@given(rows(), st.booleans())
def test_the_blocks_are_the_rows(made: list[Row], apart: bool) -> None:
    found = list(blocks(made, apart=apart))
    assert [row for block in found for row in block.rows] == made
    for block in found:
        assert _is_true(block)


def _is_true(block: Block) -> bool:
    works = [row.needles[0].work for row in block.rows]
    if block.apart:
        shaped = [at for at, work in enumerate(works) if work == works[0]]
        steps = [later - one for one, later in pairwise(shaped)]
        between = {work for work in works if work != works[0]}
        even = max(steps) - min(steps) <= 1 and min(steps) > 2 and len(shaped) > 2
        return even and between == {"k"} and shaped[-1] == len(works) - 1
    if block.alternate:
        turns = works[0] != works[1] and len(works) >= 4
        return turns and all(work == works[at % 2] for at, work in enumerate(works))
    if block.period == 1:
        return len(set(works)) == 1
    bare = [row._replace(number=0) for row in block.rows]
    repeat = bare[: block.period]
    return bare == repeat * block.times and block.times > 1


@given(rows())
def test_row_0_stands_alone(made: list[Row]) -> None:
    assert all(len(block.rows) == 1 for block in blocks(made) if block.rows[0].number == 0)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_row_and_count_can_be_read_off(file: Path) -> None:
    """Unfolded by what the lines alone say, each row of a pattern has its work and its counts again."""
    _can_be_read_off(open_file(str(file)).pattern)


CALF = {"foot.ankle": "30 cm", "leg.length": "26 cm", "cuff.length": "4 cm"}
UNEVEN = {**CALF, "leg.length": None, "leg.rounds": 90}


NEAR = {**UNEVEN, "leg.rounds": 45}


@pytest.mark.parametrize("fields", [CALF, UNEVEN, NEAR], ids=["even", "uneven", "near"])
def test_a_leg_that_narrows_can_be_read_off(fields: dict[str, object]) -> None:
    _can_be_read_off(sock(fields))


def test_a_leg_that_narrows_says_how_often() -> None:
    leg = next(page for page in sections(sock(CALF)) if page.head == "Leg")
    lines = [line for line in leg.lines if isinstance(line, Line)]
    assert [line.name for line in lines] == [
        "Rounds 1 to 7", "Every 9th round from 8 to 71, 8 times", "The rounds between", "Rounds 72 to 92",
    ]  # fmt: skip
    assert lines[1].counts.startswith("23/16/16/23 after 8, 22/16/16/22 after 17")
    assert (lines[2].work, lines[2].counts) == ("every needle k", "unchanged")
    leg = next(page for page in sections(sock(UNEVEN)) if page.head == "Leg")
    names = [line.name for line in leg.lines if isinstance(line, Line)]
    assert "Rounds 8, 17, 25, 34, 43, 51, 60 and 69" in names


def _can_be_read_off(made: Pattern) -> None:
    for there, page in zip(made.sections, sections(made), strict=True):
        read = _unfolded(page.lines)
        for row in there.rows:
            work, counts = read[row.number]
            assert work == _work([needle.work or "rests" for needle in row.needles], there.worked)
            assert counts == "/".join(str(needle.leaves) for needle in row.needles)
        assert len(read) == len(there.rows)


def _work(works: list[str], worked: str) -> str:
    alike = worked == "rounds" and len(works) > 1 and len(set(works)) == 1
    return f"every needle {works[0]}" if alike else " | ".join(works)


def _unfolded(lines: tuple[Line | Remark, ...]) -> dict[int, tuple[str, str]]:
    """Row by row what the lines say, as a reader takes it."""
    read: dict[int, tuple[str, str | None]] = {}
    open_repeat = 0
    apart: Sequence[int] = ()
    for line in lines:
        if isinstance(line, Remark):
            if again := re.fullmatch(r"Repeat these (\d+), to \w+ (\d+): (\d+) times\.", line.text):
                period, last, times = map(int, again.groups())
                first = last - period * times + 1
                for number in range(first, last + 1):
                    read[number] = read[first + (number - first) % period]
            elif again := re.fullmatch(r"Repeat these (\d+)\.", line.text):
                open_repeat = int(again[1])
            elif open_repeat and (planned := re.search(r": (\d+) \w+ are planned", line.text)):
                for number in range(max(read) + 1, int(planned[1]) + 1):
                    read[number] = read[number - open_repeat]
            continue
        counts = dict(line.leaves)
        if line.name.endswith("s between"):
            between = range(min(apart), max(apart))
            read |= {number: (line.work, "unchanged") for number in between if number not in apart}
            continue
        apart = _rows_of(line.name)
        for number in apart:
            read[number] = (line.work, counts.get(number, counts.get(None)))
    told: dict[int, tuple[str, str]] = {}
    before = ""
    for number in sorted(read):
        work, found = read[number]
        before = before if found == "unchanged" else found or ""
        told[number] = (work, before)
    return told


def _rows_of(name: str) -> Sequence[int]:
    if every := re.fullmatch(r"Every (\d+)\w\w \w+ from (\d+) to (\d+), (\d+) times", name):
        step, first, last, times = map(int, every.groups())
        assert len(range(first, last + 1, step)) == times
        return range(first, last + 1, step)
    numbers = [int(number) for number in re.findall(r"\b\d+\b", name)]
    if " and " in name and not name.startswith(("Odd", "Even")):
        return numbers
    if not numbers:
        return range(1)
    step = 2 if name.startswith(("Odd", "Even")) else 1
    return range(numbers[0], numbers[-1] + 1, step)


def test_a_gusset_and_a_toe_take_two_lines_and_three() -> None:
    made = sock()
    pages = {page.head: page for page in sections(made)}
    odd, even = [line for line in pages["Gusset"].lines if isinstance(line, Line)][1:]
    assert (odd.name, even.name) == ("Odd rounds 1 to 19", "Even rounds 2 to 18")
    assert odd.counts.startswith("25/16/16/25 after 1, 24/16/16/24 after 3")
    assert odd.counts.endswith("16/16/16/16 after 19")
    assert (even.work, even.counts) == ("every needle k", "unchanged")
    assert [line.name for line in pages["Toe"].lines if isinstance(line, Line)] == [
        "Odd rounds 1 to 15", "Even rounds 2 to 16", "Rounds 17 to 20",
    ]  # fmt: skip


def test_a_set_up_row_is_not_folded_into_those_after_it() -> None:
    made = pattern({"needles": [8], "set_up": "k", "rows": ["k"], "repeat": 3})
    (page,) = sections(made)
    assert [line.name for line in page.lines if isinstance(line, Line)] == [
        "Set-up round", "Rounds 1 to 3",
    ]  # fmt: skip


def test_a_long_repeat_is_written_once() -> None:
    rib = ["k", "p", "k1, p1, k to end", "p1, k1, p to end"]
    made = pattern({"needles": [8], "rows": rib, "repeat": 5})
    (page,) = sections(made)
    assert page.lines[-1] == Remark("Repeat these 4, to round 20: 5 times.")
    assert len(page.lines) == 5


def test_what_is_done_is_not_written_again() -> None:
    made = sock()
    at = [there.kind for there in made.sections].index("gusset")
    page = sections(made, done={at: 8})[at]
    lines = [line for line in page.lines if isinstance(line, Line)]
    assert [line.name for line in lines] == ["Even rounds 8 to 18", "Odd rounds 9 to 19"]
    assert page.on == "22 / 16 / 16 / 22"
    assert section(made, "gusset").rows[8].before == (22, 16, 16, 22)
