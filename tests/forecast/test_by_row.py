"""What is reckoned once for a row holds to its last needle: a look that goes by it is one from nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import Knitter
from tracker.forecast.by_row import ByRow, at_row
from tracker.glance import Shown
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.state import BOTH, Number
from tracker.looking import look
from tracker.storage.pattern_file import open_file

SAMPLES = Path(__file__).parents[2] / "sample_projects"
COURSES = [Course(open_file(str(path)).pattern) for path in sorted(SAMPLES.glob("*.toml"))]


class Kept:
    """What is kept of a knitter's row, as long as her replay says that it is that row."""

    def __init__(self, knitter: Knitter) -> None:
        self._knitter, self.since, self.times = knitter, -1, 0
        self._anew()

    def _anew(self) -> None:
        replay = self._knitter.replay
        self.since, self.at_row = replay.row_since, at_row(replay.state)
        self.by_row = ByRow(replay.course, replay.state)

    def now(self) -> ByRow:
        """It, reckoned anew where the row is another."""
        if self.since == self._knitter.replay.row_since:
            self.times += 1
        else:
            self._anew()
        return self.by_row


def an_act(knitter: Knitter, random: Random) -> None:
    """Needles, mostly; else whatever she may do at the needles."""
    sock: Number | None = random.choice([None, None, None, 1, 2])
    state = knitter.state
    events = len(knitter.events)
    acts: list[tuple[int, Callable[[], object]]] = [
        (12, lambda: knitter.needle(1, sock)),
        (4, lambda: knitter.tick(random.choice([1, 1, 2, 9, 10]), sock)),
        (1, lambda: knitter.do("undo")),
        (1, lambda: knitter.do("redo")),
        (1, lambda: knitter.do("note", sock, text="n")),
        (1, lambda: knitter.do("rest", sock, text="a pin")),
        (1, lambda: knitter.do("end", sock)),
        (1, lambda: knitter.do("rip", sock, by=random.randint(0, 3))),
        (1, lambda: knitter.do("rip", sock, stitches=random.randint(1, 20))),
        (1, lambda: knitter.do("lifeline", sock)),
        (1, lambda: knitter.do("measure", sock, mm=random.uniform(20, 200), step=0)),
        (1, lambda: knitter.do("weigh", sock, grams=random.uniform(10, 90), text="g")),
        (1, lambda: knitter.do("count", sock, needles=[16, 16, 16, 16])),
        (1, lambda: knitter.do("other", 2 if state.hand == 1 else 1)),
    ]
    weights, doing = zip(*acts, strict=True)
    knitter.pause = random.choice([50, 1_000, 30_000, 120_000, 4_000_000])
    try:
        random.choices(doing, weights)[0]()
    except Refused:
        assert len(knitter.events) == events


@given(st.integers(0, 2**32), st.sampled_from(COURSES))
@examples(90)
def test_a_look_by_the_row_is_a_look_from_nothing(seed: int, course: Course) -> None:
    random = Random(seed)  # noqa: S311 - nothing is secret
    knitter = Knitter(course)
    kept = Kept(knitter)
    for section in range(random.randint(0, len(course.sections) - 1)):
        _through(knitter, section)
    for number in range(40):
        an_act(knitter, random)
        by_row, state = kept.now(), knitter.state
        assert at_row(state) == kept.at_row
        shown = Shown("a pair", random.choice(["rounds", "needles"]), number, 0, 20_000)
        for sock in BOTH:
            known = look(knitter.replay.course, state, shown, sock, by_row)
            assert known == look(knitter.replay.course, state, shown, sock)
    assert kept.times


def _through(knitter: Knitter, section: int) -> None:
    """On to the end of a section of sock one, be it of more rows than planned."""
    try:
        while knitter.sock(1).section == section:
            knitter.tick(1, 1)
            there, planned = knitter.sock(1), knitter.course.sections[section].planned
            if there.section == section and there.rows > planned:
                knitter.do("end", 1)
    except Refused:
        pass


def test_a_needle_is_of_the_row_and_what_else_she_does_is_not() -> None:
    knitter = Knitter()
    knitter.tick(3)
    since = knitter.replay.row_since
    knitter.needle(2)
    assert knitter.replay.row_since == since
    knitter.needle(2)
    assert knitter.replay.row_since == len(knitter.events)
    for kind in ("undo", "redo"):
        knitter.do(kind)
        assert knitter.replay.row_since == len(knitter.events)


@pytest.mark.parametrize("lost", ["tapes", "lengths", "planned", "differs", "meant", "coming"])
def test_all_of_it_is_of_use(lost: str) -> None:
    """Nothing is reckoned that no look asks for."""
    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("measure", mm=60.0, step=0)
    by_row = ByRow(knitter.replay.course, knitter.state)
    delattr(by_row, lost)
    with pytest.raises(AttributeError):
        look(knitter.replay.course, knitter.state, Shown("", "rounds", 1), 1, by_row)
