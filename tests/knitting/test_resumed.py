"""A replay that goes on from a checkpoint is that of all events, whatever is done then."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given

from tests.examples import examples
from tests.knitting.knitter import Knitter
from tests.knitting.pieces import PIECES, SEEDS, TOGETHER, Acts, Wish, course
from tests.knitting.staging import course_up_to
from tests.knitting.test_replay import REDO, UNDO, does
from tests.knitting.test_replay import Wish as Told
from tests.knitting.test_stages import _histories
from tracker.knitting import replay
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.fold import Fold
from tracker.knitting.replay import BadHistory, Replay
from tracker.knitting.resumed import Checkpoint, Resumed, checkpoint_of
from tracker.knitting.told import NotTold, read, tell

BACK: tuple[Wish, ...] = (("undo", 1, {}), ("undo", 1, {}), ("redo", 1, {}))


@pytest.fixture(autouse=True)
def _often() -> Iterator[None]:
    """A fold is kept every few acts, so that short histories have checkpoints."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(replay, "KEYFRAME", 4)
        yield


def draws(knitter: Knitter, acts: Acts, many: int) -> None:
    """So many acts are tried, those that are taken back and moved among them."""
    for _ in range(many):
        if acts.between(1, 4) == 1:
            over = {"over": acts.between(1, 3)}
            wish = acts.one(*BACK, ("tick", 1, over), ("tick", 2, over))
        else:
            wish = acts.wish()
        kind, sock, data = wish
        with suppress(Refused):
            knitter.do(kind, sock, **data)


def kept(knitter: Knitter) -> Checkpoint | None:
    """The newest checkpoint of a pair, told and read again."""
    found = checkpoint_of(knitter.replay)
    if found is None:
        return None
    told = json.loads(json.dumps(tell(found), allow_nan=False))
    again: Checkpoint = read(told, Checkpoint, found.state.last)
    assert again == found
    settled = knitter.replay.settled()
    assert settled is not None
    thawed = again.thawed(knitter.course)
    assert all_of(thawed) == all_of(settled[-1])
    return again


def all_of(fold: Fold) -> dict[str, Any]:
    """Every field of an accumulator, those of its socks among them: a new one is to be told, too."""
    fields = {**vars(fold), "_worked": fold._worked.freeze(), "_course": fold.course.pattern}
    for number, hand in enumerate(fields.pop("_socks")):
        fields |= {f"{name} {number}": getattr(hand, name) for name in type(hand).__slots__}
        fields[f"course {number}"] = (hand.course.pattern, hand.course.coloured)
    return fields


def resumed(knitter: Knitter, found: Checkpoint) -> tuple[Resumed, list[int]]:
    """The replay that goes on from there, and how often it read what is before."""
    reads: list[int] = []

    def earlier() -> list[Event]:
        reads.append(found.number)
        return knitter.events[: found.number]

    return Resumed(knitter.course, found, knitter.events[found.number :], earlier), reads


def same(one: Replay, other: Replay) -> None:
    """All that is asked of a replay."""
    assert one.state == other.state
    assert (one.events, one.hand, one.order, one.works_in_rounds) == (
        other.events, other.hand, other.order, other.works_in_rounds,
    )  # fmt: skip
    assert one.course.pattern == other.course.pattern
    for mine, its in zip(one._fold._socks, other._fold._socks, strict=True):
        assert mine.course.pattern == its.course.pattern
        assert mine.course.coloured == its.course.coloured
    assert (one._fold.ticked_at, one._fold.patterns) == (
        other._fold.ticked_at,
        other._fold.patterns,
    )


@given(PIECES, SEEDS)
@examples(200)
def test_it_goes_on_as_if_all_had_been_replayed(name: str, seed: int) -> None:
    knitter = Knitter(course(name))
    acts = Acts(knitter, seed)
    if name == TOGETHER and seed % 2:
        knitter.do("order", order="together")
    draws(knitter, acts, 30)
    found = kept(knitter)
    if found is None:
        return
    again, _ = resumed(knitter, found)
    same(again, knitter.replay)
    before = len(knitter.events)
    draws(knitter, acts, 12)
    for event in knitter.events[before:]:
        again.apply(event)
    same(again, knitter.replay)
    for _ in range(acts.between(0, 40)):
        with suppress(Refused):
            knitter.do("undo")
            again.apply(knitter.events[-1])
    same(again, knitter.replay)
    assert again.undoable == knitter.replay.undoable
    assert again.redoable == knitter.replay.redoable
    assert again.last_tick == knitter.replay.last_tick
    assert list(again.ticks_for(2)) == list(knitter.replay.ticks_for(2))
    assert again.live == knitter.replay.live


@given(_histories(UNDO, REDO))
@examples(60)
def test_of_a_pattern_that_comes_in_stages_it_has_that_of_then(
    story: tuple[str, list[Told]],
) -> None:
    knitter = Knitter(course_up_to(story[0]))
    for _ in does(knitter, story[1]):
        found = kept(knitter)
        if found is not None:
            again, _ = resumed(knitter, found)
            same(again, knitter.replay)
            assert again.course.sections == knitter.replay.course.sections


def ticked(many: int) -> tuple[Knitter, Checkpoint]:
    knitter = Knitter()
    for _ in range(many):
        knitter.tick()
    found = kept(knitter)
    assert found is not None
    return knitter, found


def test_nothing_before_it_is_read_until_it_is_asked_for() -> None:
    knitter, found = ticked(20)
    again, reads = resumed(knitter, found)
    # The start of the pair is an act, too: 21 stand, of which 16 are in the fold, and 5 can be taken back.
    assert (found.number, found.live) == (16, 16)
    for _ in range(4):
        knitter.do("undo")
        again.apply(knitter.events[-1])
    assert again.undoable == knitter.replay.undoable
    assert reads == []
    for _ in range(3):
        knitter.do("undo")
        again.apply(knitter.events[-1])
        same(again, knitter.replay)
    assert reads == [16]


def test_of_a_pair_with_few_acts_there_is_none() -> None:
    knitter = Knitter()
    for _ in range(4):
        knitter.tick()
    assert kept(knitter) is None
    knitter.tick()
    assert kept(knitter) is not None


def test_ticks_that_were_moved_under_a_kept_fold_leave_it_out() -> None:
    knitter, _ = ticked(11)
    knitter.do("tick", 2, over=4)
    found = kept(knitter)
    assert found is not None
    assert (found.live, knitter.replay.live) == (4, (1, 2, 3, 4, 5, 6, 7, 8, 13))


def test_other_events_than_those_it_was_made_of_are_noticed_where_they_are_read() -> None:
    knitter, found = ticked(20)
    again = Resumed(
        knitter.course, found, knitter.events[found.number :], lambda: knitter.events[:9]
    )
    with pytest.raises(BadHistory, match="other acts stood before"):
        assert again.live


WRONG: list[tuple[tuple[int, ...], Any]] = [
    ((0,), 15), ((0,), True), ((1,), 15), ((1,), 0), ((1,), 32), ((1,), "16"), ((2,), 1.5),
    ((3,), 0.5), ((3,), None), ((4,), 7), ((4,), "{}"), ((4,), "[" * 9_000), ((5,), []),
    ((5, 0), [None, None]), ((5, 0, 0, 0), -1), ((5, 0, 0, 0), 99), ((5, 0, 0, 1), -1), ((5, 0, 0, 2), 4),
    ((5, 0, 0, 3), [1] * 40), ((5, 0, 0, 5), 0), ((5, 0, 0, 8), float("nan")), ((5, 0, 0, 8), "0"),
    ((5, 0, 0, 13), [[]]), ((5, 1), 3), ((5, 1), True), ((5, 2), [[99, 10.0]]), ((5, 2), {"1": 2}),
    ((5, 2), [[1, 10.0], [1, 11.0]]), ((5, 5), 9), ((5, 7), [[[3, 1], 10.0]]), ((5, 9), [["up", 1]]),
]  # fmt: skip


@pytest.mark.parametrize(("place", "wrong"), WRONG)
def test_what_is_no_checkpoint_is_refused(place: tuple[int, ...], wrong: object) -> None:
    knitter, found = ticked(20)
    told = tell(found)
    inside = told
    for at in place[:-1]:
        inside = inside[at]
    assert inside[place[-1]] != wrong or type(inside[place[-1]]) is not type(wrong)
    inside[place[-1]] = wrong
    with pytest.raises(ValueError, match=r".+") as refused:
        resumed(knitter, read(told, Checkpoint, found.state.last))
    assert isinstance(refused.value, NotTold) or len(place) > 1 or place in ((0,), (1,), (4,))
