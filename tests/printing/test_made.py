"""A pair on paper after any acts: it is always written, in every form, and what it says is so."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import Knitter
from tests.pattern.test_folded import FILES
from tests.printing.reading import read_html, read_markdown
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.past import past
from tracker.knitting.state import BOTH, Number
from tracker.printing.forms import FORMS
from tracker.printing.made import Pair, made
from tracker.printing.sheet import Rows, Sheet, Table
from tracker.storage.pattern_file import open_file

ACTS: tuple[Callable[[int], tuple[str, dict[str, Any]]], ...] = (
    lambda n: ("tick", {"rounds": 1 + n % 60}),
    lambda n: ("tick", {"rounds": 1 + n % 30}),
    lambda n: ("tick", {"needles": 1 + n % 3}),
    lambda n: ("end", {}),
    lambda n: ("end", {"at": n % 40}),
    lambda n: ("other", {}),
    lambda n: ("undo", {}),
    lambda n: ("rip", {"by": 1 + n % 9}),
    lambda n: ("at", {"round": n % 50}),
    lambda n: ("measure", {"mm": 20.0 + n, "text": "x", "step": 1.0, "rough": False}),
    lambda n: ("target", {"mm": 80.0 + n, "text": "x"}),
    lambda n: ("weigh", {"grams": 20.0 + n, "text": "x"}),
    lambda n: ("note", {"text": f"<b>{n}"}),
    lambda n: ("lifeline", {}),
    lambda n: ("restart", {}),
    lambda n: ("changed", {"as": "skipped-decrease"}),
    lambda n: ("changed", {"as": "set", "value": ("four", "two circulars", "five")[n % 3]}),
    lambda n: (
        "changed",
        {"as": "picked-up", "value": ("17/15", "16/18")[n % 2], "copy": n % 3 > 0},
    ),
    lambda n: ("changed", {"as": "other", "value": f"<i>{n}"}),
    lambda n: ("copy", {"of": 2 + n % 30, "copy": n % 2 > 0}),
    lambda n: ("count", {"pin": n % 10}),
    lambda n: ("rest", {}),
    lambda n: ("order", {"order": ("section by section", "every 9 rounds", "together")[n % 3]}),
    lambda n: ("tick", {"over": 1 + n % 3}),
)
OFTEN = [0, 0, 0, 0, 1, 3, 3]
"""Acts that make a piece grow, so that its later sections are reached."""
SCRIPT = st.lists(
    st.tuples(
        st.sampled_from([*OFTEN, *range(len(ACTS))]),
        st.integers(0, 200),
        st.sampled_from([1, 1, 2]),
    ),
    max_size=40,
)


@cache
def course(name: str) -> tuple[Course, dict[str, Any]]:
    (file,) = [file for file in FILES if file.stem == name]
    opened = open_file(str(file))
    return Course(opened.pattern), tomllib.loads(opened.pattern.text)


def played(name: str, script: list[tuple[int, int, int]]) -> tuple[Knitter, Sheet]:
    """A pair after acts, those refused left out, and its sheet."""
    there, document = course(name)
    knitter = Knitter(there)
    for which, number, sock in script:
        kind, data = ACTS[which](number)
        try:
            knitter.do(kind, 2 if sock == 2 else 1, **data)
        except Refused:
            continue
    told = past(there, knitter.events)
    return knitter, made(Pair(there, knitter.state, told, document, 20_000))


@pytest.mark.parametrize("name", [file.stem for file in FILES])
@examples(40)
@given(script=SCRIPT)
def test_any_pair_is_written_in_every_form(name: str, script: list[tuple[int, int, int]]) -> None:
    _, sheet = played(name, script)
    html, markdown = FORMS[".html"](sheet), FORMS[".md"](sheet)
    text = FORMS[".txt"](sheet)
    headings = [part.heading for part in sheet.parts]
    assert read_html(html).structure.count("<h2 >") == len(headings)
    assert read_markdown(markdown).structure.count("heading_open") == len(headings) + 1
    assert text.replace("\n", "").isprintable()


@examples(200)
@given(script=SCRIPT)
def test_the_rows_told_are_those_done_and_left(script: list[tuple[int, int, int]]) -> None:
    """Of the sock that is behind, rows done and rows left of every section are all its rows.

    Where the rows of the socks differ each is told for itself: that is another test's.
    """
    knitter, sheet = played("night-ferry", script)
    state, there = knitter.state, knitter.course
    assume(not any(change.alters for sock in state.socks for change in sock.changes))
    tables = [block for part in sheet.parts for block in part.blocks if isinstance(block, Table)]
    for number, sock in enumerate(state.socks, start=1):
        cells = [line[number] for table in tables for line in table.lines]
        ended = [
            int(cell.split()[0]) for cell in cells if re.fullmatch(r"\d+ (?:round|row)s?", cell)
        ]
        assert ended == list(sock.ended)
    unfinished = [sock for sock in state.socks if not sock.finished]
    still = [part for part in sheet.parts if part.aside]
    if not unfinished:
        told_on = {"On both.": (1, 2), "On sock one.": (1,), "On sock two.": (2,)}
        socks = [
            number
            for part in still
            for block in part.blocks[:1]
            for number in told_on[getattr(block, "lines", ("",))[0]]
        ]
        assert Counter(socks) == {1: there.last + 1, 2: there.last + 1}
        return
    behind = min(unfinished, key=lambda sock: (sock.section, sock.rows, sock.needles))
    assert len(still) == there.last + 1 - behind.section
    rows = [block for block in still[0].blocks if isinstance(block, Rows)]
    first = rows[0].rows[0].name if rows else ""
    next_row = there.row(behind.section, behind.rows).number
    if first and next_row:
        assert re.search(r"\d+", first)
        assert int(re.findall(r"\d+", first)[0]) == next_row


def test_where_the_rows_differ_each_sock_has_its_own() -> None:
    """A decrease skipped on sock one alone: the gusset is told twice, round 5 plain on one of them."""
    there, document = course("night-ferry")
    knitter = Knitter(there)
    for sock in (1, 2):
        knitter.to("gusset", 1, sock=sock)
    told: dict[str, Any] = {"as": "skipped-decrease", "row": 5, "copy": False}
    knitter.do("changed", 1, **told)
    sheet = made(Pair(there, knitter.state, past(there, knitter.events), document, 20_000))
    gussets = [part for part in sheet.parts if part.heading.startswith("Gusset") and part.aside]
    whose = [
        point for part in gussets for block in part.blocks for point in getattr(block, "lines", ())
    ]
    assert [point for point in whose if point.startswith("On ")] == ["On sock one.", "On sock two."]
    assert gussets[0].blocks != gussets[1].blocks


def knit_to_the_end(knitter: Knitter, sock: Number) -> None:
    """Round by round; what is open ends as planned, if the other sock has not ended it."""
    while not knitter.sock(sock).finished:
        knitter.do("tick", sock, rounds=1, alone=True)
        here = knitter.sock(sock)
        there = knitter.course.of(here).sections[here.section]
        if there.goal and not here.finished and here.rows >= there.planned:
            knitter.do("end", sock, alone=True)


@examples(40)
@given(script=SCRIPT)
def test_a_finished_pair_gives_every_row_of_both(script: list[tuple[int, int, int]]) -> None:
    """Whatever was done on the way: on each sock every section, with as many rows as it had."""
    knitter, _ = played("night-ferry", script)
    for sock in BOTH:
        knit_to_the_end(knitter, sock)
    there, document = course("night-ferry")
    told = past(there, knitter.events)
    sheet = made(Pair(there, knitter.state, told, document, 20_000))
    rows: dict[int, Counter[str]] = {1: Counter(), 2: Counter()}
    for part in (part for part in sheet.parts if part.aside):
        (whose,) = getattr(part.blocks[0], "lines", ("",))
        for number in {"On both.": (1, 2), "On sock one.": (1,), "On sock two.": (2,)}[whose]:
            rows[number][part.heading] += 1
            assert any(isinstance(block, Rows) for block in part.blocks)
    assert all(
        set(found.values()) == {1} and len(found) == there.last + 1 for found in rows.values()
    )
    for form in FORMS.values():
        assert form(sheet)
