"""The stitches that truly hang on the needles lead to the true place, on whole socks of any count.

They are counted by the tests' own reader, which works every needle as it is written. Which counts tell the
place alone is common practice, no source.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from hypothesis import assume, given
from hypothesis import strategies as st

from tests.cli.stitches import work
from tests.examples import examples
from tests.knitting.knitter import Knitter
from tests.knitting.pieces import PIECES, SEEDS, Acts, course
from tests.knitting.test_repairs import tried
from tests.pattern.making import sock
from tracker.knitting.course import Course
from tracker.knitting.places import Found, places
from tracker.pattern.layout import LAYOUTS
from tracker.pattern.model import Row, on_each
from tracker.pattern.plan import WillNotWork

SETS = st.sampled_from(sorted(LAYOUTS))
COUNTS = st.integers(32, 100)
GUSSETS = st.sampled_from(("decrease first", "plain first"))
PAST = 15
"""Rounds past its plan to which an open section is knitted."""


@lru_cache(maxsize=300)
def of_stitches(stitches: int, needles: str, gusset: str = "decrease first") -> Course | None:
    """A sock of so many stitches in a rib that fits; None where the plan cannot be knitted."""
    rib = next((rib for rib, of in RIBS.items() if stitches % of == 0), "k1p1")
    try:
        return Course(
            sock(
                {
                    "foot.stitches": stitches, "leg.stitches": stitches, "cuff.rib": rib,
                    "needles.set": needles, "heel.gusset": gusset,
                }
            )
        )  # fmt: skip
    except WillNotWork:
        return None


RIBS = {"k2p2": 4, "k2p1": 3, "k1p1": 2}


class Truth(NamedTuple):
    """Where a sock truly is, and what hangs on every needle in work there."""

    section: int
    rows: int
    ticked: int
    held: tuple[int, ...]


def held(row: Row, ticked: int) -> tuple[int, ...]:
    """What hangs on the needles in work once so many of them were worked as is written."""
    worked = [at for at, needle in enumerate(row.needles) if needle.work]
    on = [
        work(row.needles[at].work, row.before[at]).leaves if place < ticked else row.before[at]
        for place, at in enumerate(worked)
    ]
    return tuple(many for _, many in on_each([row.needles[at].name for at in worked], on))


def truths(there: Course, section: int, past: int = PAST) -> list[Truth]:
    """Every place of a section: before every row, and after every needle of a round but the last."""
    part = there.sections[section]
    rows = len(part.rows) + (past if part.goal else 0)
    found = []
    for done in range(rows):
        row = there.row(section, done)
        needles = sum(bool(needle.work) for needle in row.needles) if row.side is None else 1
        found += [Truth(section, done, ticked, held(row, ticked)) for ticked in range(needles)]
    return found


def is_there(there: Course, place: Found, truth: Truth, *, in_all: bool) -> bool:
    """Whether a place that is listed is the true one; a needle that nobody can see is none."""
    if place.section != truth.section:
        return False
    if place.any_row:
        on = held(there.row(place.section, place.rows), 0)
        return sum(on) == sum(truth.held) if in_all else on == truth.held
    row = there.row(truth.section, truth.rows)
    worked = sum(bool(needle.work) for needle in row.needles)
    same = {
        (truth.rows + (ticked == worked), ticked % worked)
        for ticked in range(worked + 1)
        if held(row, ticked) == truth.held
    }
    return (place.rows, place.needles) in same


def lists(
    knitter: Knitter, truth: Truth, *, in_all: bool, plain: bool | None = None
) -> list[Found]:
    """What the true counts lead to; the true place must be among it."""
    counted = (sum(truth.held),) if in_all else truth.held
    found = places(knitter.course, knitter.state, 1, counted, plain)
    there = knitter.course.of(knitter.sock(1))
    following = truth.rows + 1 >= len(there.sections[truth.section].rows) and truth.ticked
    assert any(is_there(there, place, truth, in_all=in_all) for place in found) or (
        # As many as at the end of the section: then it is the beginning of the next one.
        following and any(place.section == truth.section + 1 for place in found)
    ), (truth, counted, plain, found)
    return [place for place in found if place.section == truth.section]


def believed(knitter: Knitter, seed: int) -> None:
    """She thinks that she is somewhere."""
    acts = Acts(knitter, seed)
    tried(knitter, acts.wish(("at far",), 1))


def plain_before(there: Course, truth: Truth) -> bool | None:
    """Whether the last round that was finished was a plain one; None where there is none to look at."""
    if truth.rows:
        return there.row(truth.section, truth.rows - 1).plain
    return there.sections[truth.section - 1].rows[-1].plain if truth.section else None


@given(COUNTS, SETS, GUSSETS, SEEDS, st.booleans(), st.data())
@examples(400)
def test_the_true_place_is_listed_in_a_sock_of_any_count(
    stitches: int, needles: str, gusset: str, seed: int, in_all: bool, data: st.DataObject
) -> None:
    there = of_stitches(stitches, needles, gusset)
    assume(there is not None)
    assert there is not None
    knitter = Knitter(there)
    believed(knitter, seed)
    section = data.draw(st.integers(0, there.last))
    for truth in data.draw(
        st.lists(st.sampled_from(truths(there, section)), min_size=1, max_size=8)
    ):
        lists(knitter, truth, in_all=in_all)
        flat = there.sections[section].worked == "rows"
        if not truth.ticked and not flat:
            lists(knitter, truth, in_all=in_all, plain=plain_before(there, truth))


def alone(kind: str, there: Course, knitter: Knitter) -> None:
    """Every place of the turn, the gusset or the toe, by needle and in all."""
    section = next(at for at, part in enumerate(there.sections) if part.kind == kind)
    every = truths(there, section)
    for truth in every:
        for in_all in (True, False):
            found = lists(knitter, truth, in_all=in_all)
            ends = {one.rows for one in every if not one.ticked and alike(one, truth, in_all)}
            assert {place.rows for place in found if not place.needles} == ends
            if truth.ticked:
                assert ends or all(place.needles for place in found), "it names the needle"
                continue
            # Before the second edge is picked up the gusset may hold as many as in its midst.
            pair = sorted(rows for rows in ends if rows >= 1 - there.sections[section].first)
            assert len(pair) < 2 or (len(pair) == 2 and kind != "turn"), (kind, truth, pair)
            if len(pair) == 2 and truth.rows in pair:
                assert pair[1] == pair[0] + 1, "a round that decreases, and the plain one after it"
                sure = lists(knitter, truth, in_all=in_all, plain=plain_before(there, truth))
                assert {place.rows for place in sure if not place.needles} & {*pair} == {truth.rows}


def alike(one: Truth, another: Truth, in_all: bool) -> bool:
    return sum(one.held) == sum(another.held) if in_all else one.held == another.held


@given(COUNTS, SETS, GUSSETS, st.sampled_from(("turn", "gusset", "toe")))
@examples(60)
def test_turn_gusset_and_toe_are_told_by_the_count(
    stitches: int, needles: str, gusset: str, kind: str
) -> None:
    """Every row of the turn alone; every round of gusset and toe alone or with the plain one beside it."""
    there = of_stitches(stitches, needles, gusset)
    assume(there is not None)
    assert there is not None
    alone(kind, there, Knitter(there))


@given(PIECES, SEEDS)
@examples(100)
def test_in_a_sock_that_was_changed_it_is_listed_too(name: str, seed: int) -> None:
    """Decreases skipped, edges picked up unevenly, other needles: wherever she may be on such a sock."""
    knitter = Knitter(course(name))
    acts = Acts(knitter, seed)
    for _ in range(acts.between(8, 25)):
        tried(knitter, acts.wish(CHANGING, 1))
    there = knitter.course.of(knitter.sock(1))
    for section in range(there.last + 1):
        every = truths(there, section)
        for _ in range(3):
            truth = acts.one(*every)
            flat = there.sections[section].worked == "rows"
            sure = None if truth.ticked or flat else plain_before(there, truth)
            lists(knitter, truth, in_all=acts.one(True, False), plain=acts.one(None, sure))


CHANGING = ("changed", "changed", "changed", "at far", "row", "tick")
