"""Replay: undo and redo, keyframes, histories that contradict themselves; any acts in any order."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import SECTIONS, Knitter, sock_of_64
from tracker.knitting import pair, replay
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.fold import UnknownAct
from tracker.knitting.past import past
from tracker.knitting.replay import BadHistory, Replay
from tracker.knitting.state import State
from tracker.reports import history_text, left_json, left_text

Wish = tuple[str, int | None, dict[str, Any]]
"""What she may try: kind, sock, data; it may be refused."""

_SOCKS = st.sampled_from((None, 1, 2))
_ROUNDS = st.one_of(st.integers(1, 4), st.integers(5, 60))


def _wishes(*kinds: st.SearchStrategy[Wish]) -> st.SearchStrategy[list[Wish]]:
    """Both socks somewhere, then many acts."""
    acts = st.lists(st.one_of(*kinds), min_size=6, max_size=25)
    return st.builds(lambda one, two, many: [one, two, *many], _somewhere(1), _somewhere(2), acts)


def _somewhere(sock: int) -> st.SearchStrategy[Wish]:
    def place(section: int, back: int) -> Wish:
        name, planned = SECTIONS[section], sock_of_64().sections[section].planned
        return "at", sock, {"round": max(0, planned - back), "section": name}

    return st.builds(place, st.integers(0, len(SECTIONS) - 1), st.integers(0, 30))


def _wish(kind: str, data: st.SearchStrategy[dict[str, Any]]) -> st.SearchStrategy[Wish]:
    return st.tuples(st.just(kind), _SOCKS, data)


TICK = _wish("tick", st.builds(lambda n: {"rounds": n}, _ROUNDS))
NEEDLE = _wish("tick", st.builds(lambda n: {"needles": n}, st.integers(1, 9)))
END = _wish("end", st.one_of(st.just({}), st.builds(lambda at: {"at": at}, st.integers(1, 50))))
AT = _wish(
    "at",
    st.one_of(
        st.builds(lambda n: {"round": n}, st.integers(0, 50)),
        st.builds(
            lambda n, name: {"round": n, "section": name},
            st.integers(0, 50),
            st.sampled_from(SECTIONS),
        ),
    ),
)
MEASURE = _wish("measure", st.builds(lambda mm: {"mm": float(mm), "step": 0}, st.integers(5, 250)))
TARGET = _wish(
    "target",
    st.builds(
        lambda mm, only, more: {"mm": float(mm), "text": "", "only": only, **more},
        st.integers(90, 260), st.booleans(), st.sampled_from(({}, {"section": "foot"})),
    ),
)  # fmt: skip
WEIGH = _wish(
    "weigh", st.builds(lambda g: {"grams": float(g), "text": f"{g}"}, st.integers(1, 120))
)
ANSWER = _wish(
    "answer",
    st.builds(
        lambda of, how, by: {"of": of, "as": how, "by": by},
        st.integers(2, 12), st.sampled_from(("right", "void", "count")), st.integers(-9, 9),
    ),
)  # fmt: skip
RIP = _wish(
    "rip",
    st.one_of(
        st.builds(lambda n: {"by": n}, st.integers(0, 40)),
        st.builds(lambda n: {"stitches": n}, st.integers(1, 200)),
        st.builds(
            lambda n, name: {"round": n, "section": name},
            st.integers(0, 40),
            st.sampled_from(SECTIONS),
        ),
    ),
)
COUNT = _wish(
    "count",
    st.one_of(
        st.just({}),
        st.builds(
            lambda n, plain: {"found": [n], "plain": plain}, st.integers(8, 84), st.booleans()
        ),
    ),
)
CHANGED = _wish(
    "changed",
    st.builds(
        lambda told, row, copy: {"as": told[0], "value": told[1], **row, **copy},
        st.sampled_from(
            (
                ("skipped-decrease", ""), ("extra-decrease", ""), ("needle", "2.25"), ("set", "four"),
                ("set", "two circulars"), ("set", "18/14/16/16"), ("set", "22/21/21"),
                ("colour", "navy"), ("picked-up", "17/15"), ("picked-up", "17/17"), ("other", "purl"),
            )
        ),
        st.one_of(st.just({}), st.builds(lambda n: {"row": n}, st.integers(0, 20))),
        st.sampled_from(({}, {"copy": True}, {"copy": False})),
    ),
)  # fmt: skip
COPY = _wish(
    "copy", st.builds(lambda of, yes: {"of": of, "copy": yes}, st.integers(2, 12), st.booleans())
)
NOTE = _wish("note", st.just({"text": "a note"}))
REST = _wish("rest", st.sampled_from(({}, {"text": "waste yarn"})))
LIFELINE = _wish("lifeline", st.just({}))
OVER = _wish("tick", st.builds(lambda n: {"over": n}, st.integers(1, 3)))
ORDER = _wish(
    "order",
    st.sampled_from([{"order": o} for o in ("together", "section by section", "every 9 rounds")]),
)
RESTART = _wish("restart", st.just({}))
OTHER = _wish("other", st.just({}))
ACTS = (
    TICK, TICK, NEEDLE, END, AT, MEASURE, MEASURE, ANSWER, TARGET, WEIGH, OTHER, RIP, LIFELINE,
    LIFELINE, RESTART, COUNT, NOTE, REST, CHANGED, CHANGED, COPY, ORDER, OVER, OVER,
)  # fmt: skip
UNDO, REDO = _wish("undo", st.just({})), _wish("redo", st.just({}))


def does(knitter: Knitter, wishes: list[Wish]) -> Iterator[str]:
    """Do what can be done; yields the kind of every act recorded."""
    for kind, sock, data in wishes:
        with suppress(Refused):
            knitter.do(kind, sock, **data)  # type: ignore[arg-type]
            yield kind


def bare(state: State) -> State:
    """The state without the number of its last event and the numbers of its readings' events."""
    socks = tuple(
        sock._replace(
            readings=tuple(reading._replace(event=0) for reading in sock.readings),
            lifelines=tuple(line._replace(event=0) for line in sock.lifelines),
            notes=tuple(note._replace(event=0) for note in sock.notes),
            check=sock.check and sock.check._replace(event=0),
            changes=tuple(change._replace(event=0) for change in sock.changes),
        )
        for sock in state.socks
    )
    last = state.last._replace(number=0, at=0)
    return state._replace(socks=socks, last=last)  # type: ignore[arg-type]


@given(_wishes(*ACTS))
@examples(300)
def test_undoing_each_act_in_turn_gives_the_state_before(wishes: list[Wish]) -> None:
    knitter = Knitter()
    before = [knitter.state]
    before += [knitter.state for _ in does(knitter, wishes)]
    for state in reversed(before[:-1]):
        knitter.do("undo")
        assert knitter.state == state
    with pytest.raises(Refused, match="nothing is counted yet"):
        knitter.do("undo")
    for state in before[1:]:
        knitter.do("redo")
        assert knitter.state == state
    with pytest.raises(Refused, match="nothing was taken back"):
        knitter.do("redo")


@given(_wishes(*ACTS, UNDO, UNDO, REDO))
@examples(300)
def test_replaying_the_events_gives_the_running_state(wishes: list[Wish]) -> None:
    """And the state after event n depends on events 1 to n alone."""
    knitter = Knitter()
    states = [knitter.state, *(knitter.state for _ in does(knitter, wishes))]
    for number, state in enumerate(states, start=1):
        assert Replay(knitter.course, knitter.events[:number]).state == state


@given(_wishes(*ACTS, UNDO, UNDO, REDO))
@examples(100)
def test_the_same_of_two_socks_on_two_circulars(wishes: list[Wish]) -> None:
    """Where both may be worked together."""
    knitter = Knitter(sock_of_64("two circulars"))
    knitter.do("order", order="together")
    states = [knitter.state, *(knitter.state for _ in does(knitter, wishes))]
    for number, state in enumerate(states, start=2):
        assert Replay(knitter.course, knitter.events[:number]).state == state


@given(_wishes(*ACTS, UNDO, UNDO, REDO), st.integers(1, 5))
def test_keyframes_change_nothing(wishes: list[Wish], apart: int) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(replay, "KEYFRAME", apart)
        knitter = Knitter()
        states = [knitter.state for _ in does(knitter, wishes)]
        again = Replay(knitter.course, knitter.events)
    patch_free = Replay(knitter.course, knitter.events)
    assert again.state == patch_free.state
    if states:
        assert states[-1] == patch_free.state


@given(_wishes(*ACTS, UNDO, REDO))
@examples(300)
def test_any_acts_leave_a_place_that_can_be_shown(wishes: list[Wish]) -> None:
    """Counts stay within the sock, every needle's count fits, nothing is behind nought."""
    knitter = Knitter()
    for _ in does(knitter, wishes):
        for number in (1, 2):
            sock = knitter.state.sock(number)
            course = knitter.course.of(sock)
            section = course.sections[sock.section]
            assert len(sock.ended) == sock.section + sock.finished
            assert 0 <= sock.needles < len(course.row(sock.section, sock.rows).needles)
            if section.goal is None and not sock.finished:
                assert sock.rows < len(section.rows)
            glance = knitter.look(number)
            assert glance.events == len(knitter.events)
            assert glance.minutes_to_go >= 0
            assert all(rows is None or rows >= 0 for rows in glance.rows_to_go)
            assert "".join(left_text(glance, "")).isprintable()
            assert left_json(glance)["events"] == glance.events
        one, two = (pair.made(knitter.course, knitter.state, n) for n in (1, 2))
        assert min(one, two) >= 0
        assert knitter.look().lag.stitches == one - two
    told = history_text(past(knitter.course, knitter.events), "cm", of_socks=True)
    assert len(list(told)) == len(knitter.events)


@given(_wishes(*ACTS, UNDO))
@examples(30)
def test_a_refusal_changes_nothing(wishes: list[Wish]) -> None:
    knitter = Knitter()
    for wish in wishes:
        before, known = knitter.state, len(knitter.events)
        if not list(does(knitter, [wish])):
            assert knitter.state == before
            assert len(knitter.events) == known


@given(st.lists(st.integers(1, 4), min_size=1, max_size=60))
def test_ticks_by_any_handful_of_needles_come_to_the_same(handfuls: list[int]) -> None:
    at_once, one_by_one = Knitter(), Knitter()
    for handful in handfuls:
        at_once.needle(handful)
        for _ in range(handful):
            one_by_one.needle()
    for one, other in zip(at_once.state.socks, one_by_one.state.socks, strict=True):
        # What nobody timed is guessed by the stitches of a tick.
        assert one._replace(minutes=None) == other._replace(minutes=None)


# Undo and redo by the rule


def test_a_new_act_clears_what_could_be_brought_back() -> None:
    knitter = Knitter()
    knitter.tick(3)
    knitter.do("undo")
    knitter.tick(2)
    with pytest.raises(Refused):
        knitter.do("redo")
    assert knitter.place() == ("cuff", 2, 0)


def test_undo_and_redo_name_their_act() -> None:
    knitter = Knitter()
    knitter.tick(3)
    knitter.tick(4)
    for kind, of in (("undo", 3), ("undo", 2), ("redo", 2), ("redo", 3)):
        knitter.do(kind)
        assert knitter.events[-1].data == {"of": of}
    assert knitter.place() == ("cuff", 7, 0)


def test_undo_takes_back_whichever_sock_the_act_was_on() -> None:
    knitter = Knitter()
    knitter.tick(3)
    knitter.tick(5, sock=2)
    knitter.do("undo")
    assert (knitter.place(1), knitter.place(2)) == (("cuff", 3, 0), ("cuff", 0, 0))


def test_an_undone_act_leaves_no_minutes_and_no_readings() -> None:
    knitter = Knitter(pause=100_000)
    knitter.tick(10)
    clean = knitter.state
    knitter.tick()
    knitter.do("measure", mm=25.0, step=0)
    assert knitter.state.timed
    assert knitter.sock().readings
    knitter.do("undo")
    knitter.do("undo")
    assert knitter.state == clean


def test_redone_acts_keep_their_own_times() -> None:
    knitter = Knitter(pause=100_000)
    knitter.tick()
    knitter.tick()
    timed = knitter.state.timed
    knitter.do("undo")
    knitter.now += 3_600_000
    knitter.do("redo")
    assert knitter.state.timed == timed


def test_fifty_steps_back_and_forth_over_keyframes() -> None:
    knitter = Knitter()
    for _ in range(300):
        knitter.needle()
    there = bare(knitter.state)
    for _ in range(299):
        knitter.do("undo")
    assert knitter.place() == ("cuff", 0, 1)
    for _ in range(299):
        knitter.do("redo")
    assert bare(knitter.state) == there


# Histories that cannot be


def started() -> Event:
    return Event(1, 0, 0, 0, "started", {}, b"")


def tick(number: int) -> Event:
    return Event(number, number * 1000, 0, 1, "tick", {"rounds": 1}, b"")


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (tick(4), "event 4 follows event 2"),
        (tick(2), "event 2 follows event 2"),
        (Event(3, 0, 0, 1, "undo", {"of": 1}, b""), r"event 3 \(undo\) names an act"),
        (Event(3, 0, 0, 1, "undo", {}, b""), r"event 3 \(undo\) names an act"),
        (Event(3, 0, 0, 1, "redo", {"of": 2}, b""), r"event 3 \(redo\) names an act"),
    ],
)
def test_events_that_contradict_each_other(bad: Event, says: str) -> None:
    with pytest.raises(BadHistory, match=says):
        Replay(sock_of_64(), [started(), tick(2), bad])


def test_the_start_cannot_be_taken_back() -> None:
    with pytest.raises(BadHistory):
        Replay(sock_of_64(), [started(), Event(2, 0, 0, 1, "undo", {"of": 1}, b"")])


def test_an_unknown_kind_is_refused_by_its_name() -> None:
    with pytest.raises(UnknownAct, match="abracadabra"):
        Replay(sock_of_64(), [started(), Event(2, 0, 0, 1, "abracadabra", {}, b"")])


FIELDS: dict[str, tuple[dict[str, Any], ...]] = {
    "tick": ({"rounds": 1}, {"needles": 1}),
    "end": ({"at": 1},),
    "target": ({"mm": 90, "section": 1},),
    "measure": ({"mm": 9, "from": "cast-on", "step": 1},),
    "weigh": ({"grams": 80},),
    "count": ({"found": [64], "matches": True},),
    "at": ({"round": 3, "section": 0, "needles": 1},),
    "answer": ({"of": 2, "as": "right"},),
    "rip": ({"round": 0, "section": 0},),
    "lifeline": ({"round": 1, "section": 0},),
    "other": ({"to": 2},),
}
INF, NAN = float("inf"), float("nan")
NO_LENGTH = (INF, NAN, 10**400, None, [3])
NO_COUNT = (INF, NAN, -(10**400), 3.7, "3", [3])


def odd_fields() -> Iterator[tuple[str, dict[str, Any], str, Any]]:
    """Every number of an act, made one that cannot be."""
    for kind, every in FIELDS.items():
        for data in every:
            for field in sorted(data.keys() - {"from", "as", "matches", "found"}):
                for odd in NO_LENGTH if field in ("mm", "step", "grams") else NO_COUNT:
                    yield kind, data, field, odd
    for odd in NO_COUNT:
        yield "count", FIELDS["count"][0], "found", [odd]


@pytest.mark.parametrize(("kind", "data", "field", "odd"), list(odd_fields()))
def test_a_number_that_is_none_is_a_bad_history(
    kind: str, data: dict[str, Any], field: str, odd: Any
) -> None:
    act = Event(3, 3000, 0, 1, kind, {**data, field: odd}, b"")
    with pytest.raises(BadHistory, match=f"event 3 .{kind}. cannot be replayed"):
        Replay(sock_of_64(), [started(), tick(2), act])


@pytest.mark.parametrize(("kind", "field"), [("tick", "rounds"), ("at", "round"), ("end", "at")])
def test_true_is_no_count(kind: str, field: str) -> None:
    data = {**FIELDS[kind][0], field: True}
    with pytest.raises(BadHistory):
        Replay(sock_of_64(), [started(), tick(2), Event(3, 3000, 0, 1, kind, data, b"")])


# Time


def timed(*seconds: float, rounds: int = 1) -> list[float]:
    """What is timed of cuff rounds of 64 stitches so many seconds apart."""
    knitter = Knitter(pause=0)
    knitter.tick()
    for pause in seconds:
        knitter.now += round(pause * 1000)
        knitter.tick(rounds)
    return [piece.seconds for piece in knitter.state.timed]


def test_ticks_faster_than_the_hands_leave_the_pace_alone() -> None:
    """0.3 s a stitch: 19.2 s for 64."""
    assert timed(19.199, 19.2, 100) == [19.2, 100]


def test_pauses_and_clocks_put_back_leave_the_pace_alone() -> None:
    assert timed(600, 601, -50, 100) == [600, 100]


def test_several_rounds_at_once_have_several_rounds_of_time() -> None:
    assert timed(1800, 1801, rounds=3) == [1800]


def test_needles_are_timed_and_the_last_one_ends_the_round() -> None:
    knitter = Knitter(pause=30_000)
    knitter.to("gusset")
    knitter.tick()
    before = len(knitter.state.timed)
    for _ in range(4):
        knitter.needle()
    pieces = [(piece.stitches, piece.rounds) for piece in knitter.state.timed[before:]]
    assert pieces == [(25, 0), (16, 0), (16, 0), (25, 1)]


def test_a_round_finished_by_one_key_is_timed_with_what_was_left_of_it() -> None:
    knitter = Knitter(pause=30_000)
    knitter.needle(3)
    knitter.tick()
    assert [(piece.stitches, piece.rounds) for piece in knitter.state.timed] == [(16, 1)]


def test_the_state_keeps_the_last_forty_pieces_of_work() -> None:
    knitter = Knitter(pause=30_000)
    for _ in range(60):
        knitter.tick()
    assert len(knitter.state.timed) == 40


def test_a_clock_that_stands_still_is_a_key_held() -> None:
    knitter = Knitter(pause=0)
    assert [knitter.tick().run for _ in range(4)] == [1, 2, 3, 4]
    knitter.pause = -1
    assert knitter.tick().run == 1


def test_a_number_of_rounds_is_typed_and_no_key_held() -> None:
    """However quickly it follows: on a slow machine keys that were typed ahead arrive at once."""
    knitter = Knitter(pause=0)
    assert [knitter.tick(rounds).run for rounds in (1, 1, 3, 1, 2)] == [1, 2, 1, 2, 1]


def test_a_run_of_ticks_less_than_sixty_milliseconds_apart_is_marked() -> None:
    knitter = Knitter(pause=59)
    runs = [knitter.needle().run for _ in range(5)]
    knitter.pause = 60
    runs += [knitter.needle().run for _ in range(2)]
    assert runs == [1, 2, 3, 4, 5, 1, 1]
