"""Any acts, on any piece: each is taken back and brought again, and wherever they lead the next round
comes out to the stitch.
"""

from __future__ import annotations

from contextlib import suppress
from functools import cache
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.cli.stitches import work
from tests.examples import examples
from tests.knitting.knitter import Knitter
from tests.knitting.pieces import PIECES, SEEDS, TOGETHER, Acts, Wish, course
from tests.knitting.test_changes import audited
from tracker.glance import Glance, Shown
from tracker.knitting.changes import Change
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.replay import Replay
from tracker.knitting.state import BOTH, Number, State
from tracker.looking import look


def begun(name: str, acts: Acts, knitter: Knitter) -> None:
    """Both pieces somewhere, so that short sequences reach every section."""
    if name == TOGETHER and acts.one(True, False):
        knitter.do("order", order="together")
    for sock in BOTH:
        tried(knitter, acts.wish(("at far",), sock))


def tried(knitter: Knitter, wish: Wish) -> bool:
    """Whether it was recorded."""
    kind, sock, data = wish
    with suppress(Refused):
        knitter.do(kind, sock, **data)  # type: ignore[arg-type]
        return True
    return False


@given(PIECES, SEEDS, st.integers(5, 20))
@examples(400)
def test_of_any_piece_each_act_is_taken_back_and_brought_again(
    name: str, seed: int, many: int
) -> None:
    """The states compared whole; what stands at the end is what a replay of its events gives."""
    knitter = Knitter(course(name))
    acts, states = Acts(knitter, seed), [knitter.state]
    begun(name, acts, knitter)
    states = [
        Replay(knitter.course, knitter.events[:n]).state for n in range(1, len(knitter.events) + 1)
    ]
    for _ in range(many):
        if tried(knitter, acts.wish()):
            states.append(knitter.state)
    assert Replay(knitter.course, knitter.events).state == states[-1]
    for state in reversed(states[:-1]):
        knitter.do("undo")
        assert knitter.state == state
    for state in states[1:]:
        knitter.do("redo")
        assert knitter.state == state
    assert Replay(knitter.course, knitter.events).state == states[-1]


# To the stitch


@cache
def sound(of: Course) -> bool:
    """A course that the loom has knitted from its first row to its last."""
    audited(of)
    return True


class Fabric:
    """What hung on the needles at every place a sock came through, as it was seen there.

    Once something is changed, or is not changed after all, what was seen from that row on is forgotten.
    """

    def __init__(self, number: Number) -> None:
        self._number, self._seen = number, dict[tuple[int, int], list[int]]()
        self._changes: tuple[Change, ...] = ()

    def follow(self, knitter: Knitter) -> None:
        """See what hangs there now: what hung there before."""
        sock = knitter.sock(self._number)
        for change in set(sock.changes) ^ set(self._changes):
            here = knitter.course.sections[change.section]
            place = change.section, here.rows_to(change.row) - 1
            self._seen = {key: seen for key, seen in self._seen.items() if key < place}
        self._changes = sock.changes
        if not sock.needles and not sock.finished:
            held = [needle.stitches for needle in knitter.look(self._number).needles]
            assert self._seen.setdefault((sock.section, sock.rows), held) == held


def on_needles(glance: Glance) -> list[tuple[str, int]]:
    return [(needle.name, needle.stitches) for needle in glance.needles]


def all_of(glance: Glance) -> int:
    """The stitches in work and those that wait."""
    return glance.stitches + sum(wait.stitches for wait in glance.resting)


def knitted_on(knitter: Knitter, number: Number, **tick: int) -> tuple[State, Glance]:
    """What a tick of one sock alone would come to."""
    trial = knitter.replay.trial()
    trial.apply(Event(len(knitter.events) + 1, knitter.now, 60, number, "tick", tick, b""))
    state = trial.freeze()
    return state, look(knitter.course, state, Shown("pair", "rounds", 0), number)


def comes_out(knitter: Knitter, number: Number) -> None:
    """The row that `next` says is knitted by the tests' reader on what is said to hang on the needles.

    It leaves what is claimed, needle by needle, and all of it is there when the row is ticked.
    """
    here = knitter.look(number)
    sock = knitter.sock(number)
    if here.next is None:
        assert sock.finished
        return
    assert here.stitches == sum(needle.stitches for needle in here.needles)
    after = [
        needle.stitches if needle.finished else work(needle.work, needle.stitches).leaves
        for needle in here.needles
    ]
    assert after == [needle.leaves for needle in here.needles]
    state, glance = knitted_on(knitter, number, rounds=1)
    there = state.sock(number)
    if there.finished:
        return
    if there.section == sock.section and not relaid(knitter, number):
        assert [stitches for _, stitches in on_needles(glance)] == after
    grafts = glance.place.kind == "graft"
    assert grafts or all_of(glance) == sum(after) + sum(wait.stitches for wait in here.resting)
    inside, one = knitted_on(knitter, number, needles=1)
    if inside.sock(number).needles:
        at = next(at for at, needle in enumerate(here.needles) if not needle.finished)
        assert [needle.stitches for needle in one.needles] == [
            needle.leaves if place <= at else needle.stitches
            for place, needle in enumerate(here.needles)
        ]


def relaid(knitter: Knitter, number: Number) -> bool:
    """Whether the stitches are laid on other needles before the row after the next."""
    sock = knitter.sock(number)
    there = knitter.course.of(sock)
    following = there.sections[sock.section].first + sock.rows + 1
    laid = [change for change in sock.changes if change.laid is not None]
    return any((one.section, one.row) == (sock.section, following) for one in laid)


def as_asked(knitter: Knitter, before: State) -> None:
    """What the last act says of itself is so: the stitches lie as told, and what was ripped is void."""
    last = knitter.events[-1]
    if last.kind not in ("changed", "rip", "tick") or "over" in last.data or "both" in last.data:
        return
    was, sock = before.sock(last.sock), knitter.state.sock(last.sock)
    there = knitter.course.of(sock)
    if last.kind == "rip":
        # Stitch by stitch the round stays in hand, and what was changed in it stands; so does what was told
        # while its round was half worked, down to the beginning of that.
        stitch_by_stitch = "stitches" in last.data
        gone = [one for one in was.changes if not one.repeats and there.is_done(was, *one[2:4])]
        assert all(
            there.is_done(sock, one.section, one.row - (stitch_by_stitch or one.inside))
            for one in gone
            if one in sock.changes and not one.at_cast_on
        )
    if last.kind == "tick":
        assert not sock.into
    told = last.data.get("laid", {}).get("needles")
    if told and not sock.inside and there.number(sock.section, sock.rows) + 1 == last.data["round"]:
        held = [needle.stitches for needle in knitter.look(last.sock).needles]  # type: ignore[arg-type]
        assert held == told


@given(PIECES, SEEDS, st.integers(3, 12))
@examples(200)
def test_wherever_acts_lead_the_next_row_comes_out_to_the_stitch(
    name: str, seed: int, many: int
) -> None:
    knitter = Knitter(course(name))
    acts = Acts(knitter, seed)
    begun(name, acts, knitter)
    fabrics = [Fabric(number) for number in BOTH]
    for _ in range(many):
        before = knitter.state
        if tried(knitter, acts.wish()):
            as_asked(knitter, before)
        for fabric in fabrics:
            fabric.follow(knitter)
        for number in BOTH:
            assert sound(knitter.course.of(knitter.sock(number)))
            comes_out(knitter, number)


def test_on_other_needles_from_the_next_round_on_no_needle_is_put_right() -> None:
    """N3 of five is not N3 of four: a needle that was passed is not looked for there."""
    four: dict[str, Any] = {"as": "set", "value": "four"}
    knitter = Knitter()
    knitter.tick(22)
    knitter.tick(20)
    knitter.do("changed", **four)
    knitter.tick(5)
    knitter.do("other")
    knitter.tick(22)
    knitter.tick(19)
    knitter.needle(3)
    knitter.do("count", found=[16, 16, 17, 16])
    glance = knitter.look(by="needles")
    assert glance.counted is not None
    assert not any(cue.about in ("repair", "no round left") for cue in glance.cues)
    knitter.needle(1)
    knitter.look(by="needles")


def test_a_set_that_changes_after_the_count_never_stumbles() -> None:
    four: dict[str, Any] = {"as": "set", "value": "four"}
    knitter = Knitter()
    knitter.tick(22)
    knitter.tick(20)
    knitter.needle(3)
    knitter.do("count", found=[16, 16, 17, 16])
    assert any(cue.about == "repair" for cue in knitter.look(by="needles").cues)
    knitter.do("changed", **four)
    for _ in range(4):
        knitter.needle(1)
        assert knitter.look(by="needles").place.kind == "leg"
