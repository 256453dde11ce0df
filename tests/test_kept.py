"""What any acts lead to is in the basket: opened anew it is the running state, and each act can go back."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import given

from tests.examples import examples
from tests.knitting.knitter import EVENING, SAMPLE
from tests.knitting.pieces import HAT, SEEDS
from tracker.knitting.decide import Refused
from tracker.knitting.state import BOTH
from tracker.reports import left_json
from tracker.session import Session
from tracker.storage.basket import Basket, Stamp
from tracker.storage.pattern_file import Opened, open_file
from tracker.units import BadLength

LOW_TIDE = SAMPLE.parent / "low-tide.toml"


class Hands:
    """A clock that goes on by two minutes a look, or stands still while a key is held down."""

    def __init__(self) -> None:
        self.at, self.held = EVENING, False

    def __call__(self) -> Stamp:
        self.at += 0 if self.held else 120_000
        return Stamp(self.at, 60)


@cache
def opened(path: Path) -> Opened:
    return open_file(str(path))


class Evening:
    """Acts through the one door, drawn by a seed. `do` says whether one was recorded."""

    def __init__(self, basket: Basket, path: Path, seed: int) -> None:
        self._by, self.hands, self.basket = Random(seed), Hands(), basket  # noqa: S311 - no secret
        self.session = Session.start(basket, opened(path), self.hands)

    def again(self) -> Session:
        """The pair opened anew from its basket."""
        return Session(self.basket, self.basket.find(self.session.pair.short), self.hands)

    def do(self) -> bool:
        names = [name for name in vars(Evening) if name.startswith("_do_")]
        act: Callable[[], Any] = getattr(self, self._by.choice(names))
        before = self.session.glance.events
        with suppress(Refused, BadLength):
            act()
        return self.session.glance.events > before

    def _sock(self) -> Any:
        return self._by.choice((None, None, 1, 2))

    def _do_tick(self) -> None:
        self.session.tick(self._by.randint(1, self._by.choice((1, 5, 40))), sock=self._sock())

    def _do_needle(self) -> None:
        self.session.tick(self._by.randint(1, 6), needles=True)

    def _do_hold(self) -> None:
        """A key held down, and perhaps a single tick kept of it."""
        self.hands.held = True
        for _ in range(self._by.randint(2, 7)):
            self.session.tick(needles=self._by.random() < 0.3)
        self.hands.held = False

    def _do_keep_single(self) -> None:
        self._do_hold()
        self.session.keep_single()

    def _do_end(self) -> None:
        self.session.end()

    def _do_end_at(self) -> None:
        self.session.end(self.session.glance.place.done - self._by.randint(0, 5))

    def _do_at(self) -> None:
        self.session.at(max(0, self.session.glance.place.done + self._by.randint(-5, 9)))

    def _do_at_section(self) -> None:
        section = self._by.choice(self.session.course.sections)
        self.session.at(self._by.randint(0, section.planned), section.name, sock=self._sock())

    def _do_rip(self) -> None:
        self.session.rip_by(self._by.randint(1, 30), sock=self._sock())

    def _do_lifeline(self) -> None:
        self.session.lifeline()
        self.session.tick(self._by.randint(1, 9))
        self.session.rip_to_lifeline()

    def _do_measure(self) -> None:
        self.session.measure(f"{self._by.randint(3, 20)} cm", sure=True)

    def _do_answer(self) -> None:
        self.session.answer(self._by.choice(("right", "void", "count")))

    def _do_target(self) -> None:
        only = self._by.random() < 0.5
        self.session.target(f"{self._by.randint(12, 22)} cm", only=only, sure=True)

    def _do_weigh(self) -> None:
        self.session.weigh(f"{self._by.randint(20, 100)}")

    def _do_count(self) -> None:
        self.session.count(self._by.choice(("ok", "74", "30", "64")))
        self.session.put_there()

    def _do_note(self) -> None:
        self.session.note("a note")

    def _do_changed(self) -> None:
        kind, value = self._by.choice(
            (("needle", "2.25"), ("set", "four"), ("set", "two circulars"), ("other", "a cable"),
             ("skipped-decrease", ""), ("extra-decrease", ""), ("picked-up", "17/15")),
        )  # fmt: skip
        self.session.changed(kind, value, repeat=self._by.choice((None, None, True, False)))

    def _do_copy(self) -> None:
        self.session.copy_turned()

    def _do_other(self) -> None:
        self.session.other()

    def _do_order(self) -> None:
        self.session.order(self._by.choice(("together", "section by section", "every 9 rounds")))

    def _do_rest(self) -> None:
        self.session.rest("waste yarn")

    def _do_restart(self) -> None:
        self.session.restart()

    def _do_move_over(self) -> None:
        self.session.move_over(self._by.randint(1, 2))

    def _do_undo(self) -> None:
        self.session.undo()

    def _do_redo(self) -> None:
        self.session.redo()


@given(SEEDS)
@examples(50)
def test_opened_anew_it_is_as_it_was_left(seed: int) -> None:
    """Then all of it is taken back from there, act by act, and brought again."""
    path = (SAMPLE, LOW_TIDE, HAT)[seed % 3]
    with TemporaryDirectory() as folder, Basket.open(Path(folder) / "basket.db") as basket:
        evening = Evening(basket, path, seed)
        for _ in range(12):
            evening.do()
        session, again = evening.session, evening.again()
        assert bare(again) == bare(session)
        for sock in BOTH:
            assert left_json(again.look(sock)) == left_json(session.look(sock))
        states = [bare(again)]
        with suppress(Refused):
            while True:
                again.undo()
                states.append(bare(again))
        assert not any(sock.begun for sock in again.state.socks)
        assert bare(evening.again()) == states.pop()
        while states:
            again.redo()
            assert bare(again) == states.pop()
        assert bare(evening.again()) == bare(again)


def bare(session: Session) -> tuple[Any, ...]:
    """The state but for its last event and the run of keys, which an undo ends."""
    return tuple(session.state._replace(last=None, run=0))  # type: ignore[arg-type]
