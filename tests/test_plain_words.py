"""What is said after a tick, to be heard: one line, what is done first, then what is next and what is due."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.examples import IN_ALL
from tests.ui.driving import Clock, begin
from tracker import plain_words
from tracker.glance import Glance, Place
from tracker.session import Session
from tracker.storage.basket import Basket


def after(session: Session, *, needles: bool = False, count: int = 1) -> str:
    """What is said after a tick."""
    before = session.glance
    now = session.tick(count, needles=needles).glance
    return plain_words.ticked(before, now, by_needle=needles)


@pytest.fixture
def session(basket: Basket) -> Session:
    """Sock one of the sample at leg round 22; it is early yet to rest the hands."""
    session = begin(basket, clock=Clock(step=20_000))
    session.tick(22)
    session.tick(22)
    return session


def test_a_round(session: Session) -> None:
    assert after(session) == "Round 23 of about 46 done. Next: round 24, plain."


def test_needle_by_needle_the_next_one_is_named_and_the_end_of_the_round(session: Session) -> None:
    for worked in (1, 2, 3):
        told = f"Needle {worked} of 4 done. Next: needle {worked + 1} of 4: k."
        assert after(session, needles=True) == told
    ended = "END OF ROUND. Round 23 of about 46 done. Next: round 24, plain."
    assert after(session, needles=True) == ended


def test_a_shaped_round_names_the_needles_that_differ(session: Session) -> None:
    session.at(8, "gusset")
    session.tick(1)
    told = after(session)
    assert told.startswith("Round 10 of 19 done. Next: round 11, a decrease round: ")
    assert "N1 k to last 3, k2tog, k1; N4 k1, ssk, k to end." in told
    assert "N2" not in told


def test_a_row_is_said_with_its_work(session: Session) -> None:
    session.at(3, "flap")
    assert after(session) == "Row 4 of 32 done. Next: row 5, wrong side: sl1, p31, turn."


def test_where_a_section_begins_its_end_is_said_first(session: Session) -> None:
    session.at(1, "heel set-up")
    session.undo()
    before = session.glance
    session.end()
    told = after(session)
    assert told.startswith("HEEL SET-UP DONE: 1 row. ")
    assert before.place.section == "leg"


def test_what_is_due_is_said_when_it_becomes_so_and_not_with_every_tick(basket: Basket) -> None:
    session = begin(basket)
    session.tick(22)
    seen = {row: after(session) for row in range(1, 30)}
    assert [row for row, told in seen.items() if "ape reading" in told] == [19, 20]
    assert [row for row, told in seen.items() if "Pin up" in told] == [10, 20]
    assert seen[10] == "Round 10 of about 46 done. Next: round 11, plain. Pin up: round 10."
    session.at(20)
    assert "A tape reading tells most here" in plain_words.where(session.glance)


@pytest.mark.parametrize("sample", ["night-ferry", "low-tide", "harbour-pilot", "quay-steps-one"])
@pytest.mark.parametrize("needles", [False, True])
def test_through_a_whole_sock_every_tick_is_one_sentence_or_a_few(
    tmp_path: Path, sample: str, needles: bool
) -> None:
    with Basket.open(tmp_path / "b.db") as basket:
        session = begin(basket, sample, Clock())
        ticks = 0
        while not session.glance.place.finished and ticks < 2000:
            place = session.glance.place
            if place.planned_by == "goal" and place.done >= place.planned:
                session.end()
                continue
            by_needle = needles and place.worked == "rounds" and _looked_at(place)
            before = session.glance
            now = session.tick(1, needles=by_needle).glance
            ticks += 1
            _holds(plain_words.ticked(before, now, by_needle=by_needle), now, by_needle)
        assert session.glance.place.finished


def _looked_at(place: Place) -> bool:
    """Whether a round is ticked by needles: at both ends of a section all, inside it every fifth."""
    return IN_ALL or place.done < 3 or place.done + 3 > place.planned or place.done % 5 == 0


def _holds(told: str, now: Glance, by_needle: bool) -> None:
    assert told.isprintable()
    assert told.endswith((".", "?", "!")), told
    assert "  " not in told, told
    assert not {"..", "?.", " ."} & {told[at : at + 2] for at in range(len(told))}, told
    plain = now.card is None and not now.place.finished
    assert (plain_words.END_OF_ROUND in told) == (by_needle and plain and now.place.at_marker)
    if plain:
        assert "Next: " in told
        assert told.index("Next: ") < 100, "what is next is never long in coming"
