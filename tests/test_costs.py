"""What she waits for, counted and not timed: statements of an act, looks at a pair, texts that are read.

How long it takes is for the benchmarks (tests/benchmarks); here stands what must not creep in again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

import pytest

from tests.knitting.knitter import EVENING, SAMPLE
from tracker import answers
from tracker import session as sessions
from tracker.knitting.decide import Refused
from tracker.session import Session
from tracker.storage import basket as baskets
from tracker.storage.basket import Basket, NewPair, Stamp
from tracker.storage.pattern_file import open_file


@pytest.fixture
def basket(tmp_path: Path) -> Iterator[Basket]:
    with Basket.open(tmp_path / "basket.db") as opened:
        yield opened


def begin(basket: Basket) -> Session:
    times = (Stamp(EVENING + 60_000 * number, 60) for number in count())
    return Session.start(basket, open_file(str(SAMPLE)), lambda: next(times))


@contextmanager
def statements(basket: Basket) -> Iterator[list[str]]:
    """The statements that are run inside, by their first word. A guard's is told as that which it guards."""
    run, last = list[str](), [""]

    def told(text: str) -> None:
        if text != last[0]:
            run.append(text.split()[0])
        last[0] = text

    basket._connection.set_trace_callback(told)
    yield run
    basket._connection.set_trace_callback(None)


TICK = ["BEGIN", "SELECT", "INSERT", "UPDATE", "COMMIT"]


def test_a_tick_is_five_statements(basket: Basket) -> None:
    session = begin(basket)
    with statements(basket) as run:
        session.tick()
    assert run == TICK


def test_of_ticks_kept_together_each_is_two_more(basket: Basket) -> None:
    session = begin(basket)
    stamps = [Stamp(EVENING + 60_000 * number, 60) for number in range(100, 130)]
    with statements(basket) as run:
        session.ticks(stamps)
    assert (run[:2], run[-1], len(run)) == (TICK[:2], "COMMIT", 5 + 2 * 29)
    events = basket.events(basket.find(None))
    assert [(event.at, event.offset) for event in events[1:]] == stamps
    assert Session(basket, basket.find(None), session.now).glance == session.glance
    assert basket.check() == []


def test_of_ticks_kept_together_those_before_a_refused_one_stand(basket: Basket) -> None:
    session = begin(basket)
    session.at(19, "toe")
    before = session.glance.events
    stamps = [Stamp(EVENING + 10_000_000 + number, 60) for number in range(9)]
    with pytest.raises(Refused, match="nothing is left to count"):
        session.ticks(stamps)
    assert session.state.socks[0].finished
    assert session.glance.events == before + 2
    assert Session(basket, basket.find(None), session.now).state.socks == session.state.socks
    with pytest.raises(Refused):
        session.ticks(stamps)
    assert session.glance.events == before + 2


def calls_of(monkeypatch: pytest.MonkeyPatch, name: str, where: object) -> list[None]:
    made = list[None]()
    kept: Callable[..., object] = getattr(where, name)

    def counted(*told: object, **named: object) -> object:
        made.append(None)
        return kept(*told, **named)

    monkeypatch.setattr(where, name, counted)
    return made


def test_a_pair_is_looked_at_once_a_tick_and_once_for_many(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin(basket)
    session.tick()
    looks = calls_of(monkeypatch, "look", sessions)
    sentences = calls_of(monkeypatch, "said", answers)
    answer = session.tick()
    assert (len(looks), len(sentences)) == (1, 0), "a sentence is composed for who asks"
    assert answer.said
    assert answer.said is answer.said
    assert len(sentences) == 1
    session.ticks([Stamp(EVENING + 9_000_000 + number, 60) for number in range(40)])
    assert session.glance.place.done == 20
    assert len(looks) == 2


def test_of_many_pairs_on_one_pattern_the_text_is_read_once(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin(basket)
    pair = session.pair
    new = NewPair(
        pair.short, pair.title, basket.pattern_text(pair), pair.source, pair.count, pair.summary
    )
    for number in range(12):
        basket.bring_in(new, bytes([number] * 16), basket.rows(pair))
    basket._texts.clear()
    summed = calls_of(monkeypatch, "sha256_of", baskets)
    for each in basket.pairs():
        sessions.step_of(basket, each, session.now)
        sessions.rests_of(basket, each, session.now)
    assert len(summed) == 1


def test_what_is_recorded_is_held_once(basket: Basket) -> None:
    """Of an evening's ten thousand ticks each is one event, and all of them have the same fields."""
    session = begin(basket)
    session.tick()
    session.ticks([Stamp(EVENING + 9_000_000 + number, 60) for number in range(5)])
    session.undo()
    session.tick()
    live, events = session._replay._live, session._events
    assert [event.number for event in live] == [1, 2, 3, 4, 5, 6, 9]
    assert all(event is events[event.number - 1] for event in live)
    assert len({id(event.data) for event in live[1:]}) == 1
