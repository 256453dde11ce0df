"""Long histories to measure on: a pair by needles, with what she takes back, notes and changes of sock.

Every event is decided and recorded by the session, all in one transaction, so that thousands take seconds.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from pathlib import Path

from tracker.knitting.decide import Refused
from tracker.session import Session
from tracker.storage.basket import Basket, Stamp
from tracker.storage.pattern_file import open_file

SAMPLE = Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"
BEGAN = 1_767_258_000_000
"""2026-01-01, 09:00 UTC, in milliseconds."""
A_NEEDLE_MS = 40_000
"""What a needle of sixteen stitches takes."""


def clock_of(began: int = BEGAN, step: int = A_NEEDLE_MS) -> Iterator[Stamp]:
    """The times of one act after the other."""
    return (Stamp(began + step * number, 60) for number in count())


def pair_of(path: Path, events: int) -> None:
    """A basket in `path` with one pair of at least so many events, now in a leg: there it goes on and on."""
    times = clock_of()
    with Basket.open(path) as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), lambda: next(times))
        session.count_by("needles")
        with basket.alone():
            knit_on(session, events)
            here = session.glance.place
            if here.begun and here.section != "leg":
                session.restart()
            while session.glance.place.section != "leg":
                session.tick(needles=True)


def knit_on(session: Session, events: int) -> None:
    """Knit until the pair has so many events; at the end of the pair sock one is begun again."""
    for acts in range(2, events + 1):
        try:
            _act(session, acts)
        except Refused:
            _turn(session)


def _act(session: Session, number: int) -> None:
    """Nine needles in ten are ticked; the tenth act is taken back, or is a note."""
    if number % 50 == 0:
        session.note(f"note {number}")
    elif number % 10 == 0:
        session.undo()
    elif session.glance.place.section in ("leg", "foot") and session.glance.place.done >= 44:
        session.end()
    else:
        session.tick(needles=True)


def _turn(session: Session) -> None:
    """A sock is done: go to the other, or begin this one again where both are."""
    state = session.state
    if all(sock.finished for sock in state.socks):
        session.restart()
    else:
        session.other()
