"""The past: where each act left its sock, whether it stands, and where it was made."""

from __future__ import annotations

import time

import pytest
from hypothesis import given

from tests.examples import examples
from tests.knitting.knitter import Knitter, sock_of_64
from tests.knitting.test_replay import ACTS, REDO, UNDO, _wishes, does
from tracker.knitting.events import Event
from tracker.knitting.past import Past, of_kind, past, with_settled
from tracker.knitting.replay import BadHistory, Replay


def replayed(knitter: Knitter) -> list[tuple[int, str, int, str | None, bool]]:
    """The same by replaying all events up to each: slow, and plain to see."""
    live = set(knitter.replay.live)
    found = []
    for event in knitter.events:
        replay = Replay(knitter.course, knitter.events[: event.number])
        of = knitter.events[event.data["of"] - 1] if event.kind in ("undo", "redo") else event
        number = of.sock or replay.state.hand
        sock = replay.state.sock(number)
        course = knitter.course.of(sock)
        row = None if sock.finished else course.row(sock.section, sock.rows)
        needle = row.needles[row.working(sock.needles)].name if row and sock.inside else None
        undone = of is event and event.number not in live
        section = knitter.course.sections[sock.section].called
        done = knitter.course.number(sock.section, sock.rows)
        found.append((number, section, done, needle, undone))
    return found


def told(one: Past) -> tuple[int, str, int, str | None, bool]:
    return one.sock, one.section, one.row, one.needle, one.undone


@given(_wishes(*ACTS, UNDO, UNDO, REDO))
@examples(150)
def test_every_place_is_that_of_the_replay(
    wishes: list[tuple[str, int | None, dict[str, object]]],
) -> None:
    knitter = Knitter()
    list(does(knitter, wishes))
    assert [told(one) for one in past(knitter.course, knitter.events)] == replayed(knitter)


def test_an_act_is_made_where_its_sock_was_before_it() -> None:
    knitter = Knitter()
    knitter.to("leg", 46)
    knitter.do("end")
    knitter.do("undo")
    knitter.do("redo")
    *_, end, undo, redo = past(knitter.course, knitter.events)
    assert (end.made_in, end.section) == ("leg", "heel set-up")
    assert (undo.made_in, undo.section, undo.row) == ("leg", "leg", 46)
    assert (redo.made_in, redo.section) == ("leg", "heel set-up")
    knitter.to("turn", 14)
    last = past(knitter.course, knitter.events)[-1]
    assert (last.section, last.made_in, last.made_worked) == ("gusset", "turn", "rows")


def test_what_another_act_followed_is_found_again() -> None:
    """Ticks taken back, others made in their place, and that again: the fold starts anew each time."""
    knitter = Knitter()
    for rounds in (3, 4, 5):
        knitter.tick(2)
        knitter.tick(rounds)
        knitter.do("undo")
        knitter.do("undo")
    knitter.tick(1)
    found = past(knitter.course, knitter.events)
    assert [one.row for one in found] == [0, 2, 5, 2, 0, 2, 6, 2, 0, 2, 7, 2, 0, 1]
    assert [one.event.number for one in found if not one.undone and one.of is None] == [1, 14]


def test_only_some() -> None:
    knitter = Knitter()
    knitter.tick(2)
    knitter.tick(3, 2)
    knitter.do("note", text="here")
    found = past(knitter.course, knitter.events)
    assert [one.event.number for one in of_kind(found, "tick", None)] == [2, 3]
    assert [one.event.number for one in of_kind(found, None, 2)] == [3]
    assert [one.event.number for one in of_kind(found, "note", 1)] == [4]


def test_an_act_taken_back_that_nobody_can_have_made_is_no_history() -> None:
    knitter = Knitter()
    knitter.tick(2)
    bad = Event(3, 0, 0, 1, "tick", {"rounds": -1}, b"")
    undo = Event(4, 0, 0, 1, "undo", {"of": 3}, b"")
    with pytest.raises(BadHistory, match="event 3"):
        past(knitter.course, [*knitter.events, bad, undo])


def ticked_and_taken_back(acts: int) -> list[Event]:
    """Half as many ticks as acts, then all of them taken back."""
    start = Knitter().events
    ticks = [Event(n, n, 0, 1 + n % 2, "tick", {"rounds": 1}, b"") for n in range(2, acts // 2)]
    numbers = range(acts // 2, acts)
    backs = [
        Event(number, number, 0, tick.sock, "undo", {"of": tick.number}, b"")
        for number, tick in zip(numbers, reversed(ticks), strict=False)
    ]
    return [*start, *ticks, *backs]


def test_ten_times_as_many_events_take_about_ten_times_as_long() -> None:
    """Undo folds nothing again: all of a long history taken back costs no more than it did to make."""

    def seconds(acts: int) -> float:
        events = ticked_and_taken_back(acts)
        began = time.process_time()
        past(sock_of_64(), events)
        return time.process_time() - began

    short = min(seconds(300) for _ in range(3))
    assert seconds(3_000) < 40 * max(short, 0.001)


def test_a_note_that_settles_questions_holds_them() -> None:
    knitter = Knitter()
    knitter.do("note", text="? one")
    knitter.do("note", sock=2, text="? two")
    knitter.do("note", text="? three")
    knitter.do("note", text="!! both")
    knitter.do("note", text="! and the last")
    knitter.do("note", text="! nothing is open")
    knitter.do("undo")
    knitter.do("undo")
    found = with_settled(past(knitter.course, knitter.events), knitter.state)
    assert [one.settles for one in found if one.event.kind == "note"] == [
        (), (), (), ("? one", "? two"), (), (),
    ]  # fmt: skip
