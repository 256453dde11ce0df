"""In step, exactly: what differs is named by its place, and nothing else is."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import GUSSET, LEG, SECTIONS, Knitter
from tracker.knitting import step
from tracker.knitting.decide import Refused
from tracker.knitting.state import Number, State, other


def change(knitter: Knitter, sock: Number, kind: str, **more: Any) -> None:
    """Something is otherwise than planned on a sock."""
    knitter.do("changed", sock, **{"as": kind, "value": "", **more})


def plainly(state: State) -> bool:
    """In step as it is promised: equal rows, and equal multisets of what is to be repeated."""
    one, two = state.socks
    both = min(len(one.ended), len(two.ended))
    lists = [
        sorted(
            (change.section, change.row, change.kind, change.value)
            for change in sock.changes
            if change.repeat and change.section < both
        )
        for sock in state.socks
    ]
    return one.ended[:both] == two.ended[:both] and lists[0] == lists[1]


def legs(one: int, two: int) -> Knitter:
    """Both legs ended, each at a count of its own."""
    knitter = Knitter()
    knitter.to("leg", one)
    knitter.to("leg", two, sock=2)
    knitter.do("end")
    if knitter.sock(2).section == LEG:
        knitter.do("end", 2)
    return knitter


def test_legs_that_differ_and_all_that_agrees() -> None:
    knitter = legs(45, 47)
    assert step.differences(knitter.state) == (step.Difference(LEG, 2),)
    assert [step.rows_apart(knitter.state, at) for at in range(3)] == [0, 2, None]
    told = step.first(knitter.course, knitter.state)
    assert told is not None
    assert (told.section, told.worked, told.rows, told.more) == ("leg", "rounds", 2, 0)
    assert step.first(knitter.course, legs(45, 45).state) is None


def test_a_change_that_one_sock_alone_has_stands_before_the_end_of_its_section() -> None:
    knitter = legs(45, 47)
    knitter.to("gusset", 3, sock=2)
    knitter.to("gusset", 2)
    change(knitter, 1, "skipped-decrease", row=1)
    assert step.differences(knitter.state) == (step.Difference(LEG, 2),), "it is not finished yet"
    knitter.to("foot")
    knitter.to("foot", sock=2)
    leg, skipped, *rows = step.differences(knitter.state)
    assert leg == step.Difference(LEG, 2)
    assert skipped.change is not None
    assert (skipped.section, skipped.change.kind, skipped.change.row, skipped.on) == (
        GUSSET, "skipped-decrease", 1, 1,
    )  # fmt: skip
    assert all(one.section == GUSSET and one.rows for one in rows)
    told = step.first(knitter.course, knitter.state)
    assert told is not None
    assert told.more == 1 + len(rows)


def test_what_is_meant_for_one_alone_is_no_difference() -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    change(knitter, 1, "needle", value="2.25", copy=False)
    knitter.to("heel set-up")
    knitter.to("heel set-up", sock=2)
    assert step.differences(knitter.state) == ()


SOCKS = st.sampled_from((1, 2))
CHANGES = st.tuples(
    SOCKS, st.integers(1, 12), st.sampled_from(("skipped-decrease", "needle", "other")), st.booleans(),
)  # fmt: skip


@given(
    leads=SOCKS, by=st.integers(-3, 3), first=st.integers(1, 15), second=st.integers(1, 15),
    changes=st.lists(CHANGES, max_size=4),
)  # fmt: skip
def test_any_departure_is_named_by_its_place_and_nothing_else_is(
    leads: Number, by: int, first: int, second: int, changes: list[tuple[Number, int, str, bool]]
) -> None:
    """Legs that may differ, and changes in the gusset, told on either sock wherever it is."""
    knitter = legs(46, 46 + by)
    knitter.to("gusset", first, sock=leads)
    knitter.to("gusset", second, sock=other(leads))
    for sock, row, kind, copy in changes:
        value = {"needle": "2.25", "other": "a purl bump"}.get(kind, "")
        with suppress(Refused):
            change(knitter, sock, kind, value=value, row=row, copy=copy)
    for sock in (1, 2):
        knitter.to("foot", sock=sock)
    found = step.differences(knitter.state)
    assert step.in_step(knitter.state) == (not found) == plainly(knitter.state)
    assert [one for one in found if one.section == LEG] == [step.Difference(LEG, by)] * (by != 0)
    for one in found:
        if one.change is not None and one.on is not None:
            assert one.change in knitter.sock(one.on).changes
            theirs = [step.key(change) for change in knitter.sock(other(one.on)).changes]
            assert theirs.count(step.key(one.change)) < len(knitter.sock(one.on).changes)
    assert [(one.section, one.change is None) for one in found] == sorted(
        (one.section, one.change is None) for one in found
    ), "in the order of the fabric, the end of a section last"


@pytest.mark.parametrize("section", SECTIONS[1:])
def test_in_step_is_that_nothing_differs(section: str) -> None:
    knitter = Knitter()
    knitter.to(section)
    knitter.to(section, sock=2)
    assert step.in_step(knitter.state)
    assert step.finished_on_both(knitter.state) == SECTIONS.index(section)
