"""Clocks that jump, zones, the hour that comes twice: histories keep their order, no time is nonsense."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import EVENING, SAMPLE
from tracker import circle_words, pair_card, reports, words
from tracker.cli import main
from tracker.clock import now
from tracker.glance import Glance, Shown
from tracker.knitting.decide import Refused
from tracker.knitting.worked import day_of
from tracker.plots import plots_of
from tracker.session import Session
from tracker.storage.basket import Basket, Stamp
from tracker.storage.pattern_file import open_file

MINUTE, HOUR, DAY = 60_000, 3_600_000, 86_400_000
JUMPS = st.one_of(
    st.sampled_from([0, MINUTE, 2 * MINUTE, 90 * MINUTE, HOUR, -HOUR, DAY, -DAY, 400 * DAY, -400 * DAY]),
    st.integers(-20 * 365 * DAY, 20 * 365 * DAY),
    st.integers(0, 5 * MINUTE),
)  # fmt: skip
"""By how much the clock moves on, or back, between two acts (ms)."""
OFFSETS = st.sampled_from([60, 120, 0, -300, -720, 840, 330])
"""Minutes east of UTC, from one end of the world to the other."""
ACTS = st.sampled_from(
    ["tick", "tick", "tick", "tick", "needle", "undo", "measure", "other", "rip", "note"]
)
MOST = 40 * 366 * DAY


class Clock:
    """A clock that is set at will."""

    def __init__(self) -> None:
        self.stamp = Stamp(EVENING, 60)

    def __call__(self) -> Stamp:
        return self.stamp

    def jump(self, by: int, offset: int) -> None:
        at = min(max(self.stamp.at + by, EVENING - MOST), EVENING + MOST)
        self.stamp = Stamp(at, offset)


def do(session: Session, kind: str) -> None:
    acts: dict[str, Callable[[], object]] = {
        "tick": session.tick, "needle": lambda: session.tick(1, needles=True), "undo": session.undo,
        "measure": lambda: session.measure("1"), "other": session.other, "note": lambda: session.note("n"),
        "rip": lambda: session.rip_by(1),
    }  # fmt: skip
    try:
        acts[kind]()
    except Refused:
        return


def no_nonsense(glance: Glance) -> None:
    """No time, no number of days and no pace that cannot be."""
    told = reports.left_json(glance)
    assert 0 <= told["minutes_to_go"] < 100 * 60
    assert all(rounds >= 0 for rounds in told["rounds_to_go"].values())
    finish = glance.time
    assert finish is not None
    assert 0 < finish.per_minute < 1000
    for minutes in (finish.sock, finish.all):
        assert minutes is None or 0 <= minutes < 200 * 60
    assert finish.days is None or 0 <= finish.days[0] <= finish.days[1]
    assert all(0 <= cue.data["minutes"] <= 95 for cue in glance.cues if cue.kind == "rest")


@examples(40)
@given(st.lists(st.tuples(ACTS, JUMPS, OFFSETS), max_size=20), JUMPS, OFFSETS)
def test_whatever_the_clock_does_the_order_stands_and_no_time_is_nonsense(
    acts: list[tuple[str, int, int]], later: int, offset: int
) -> None:
    clock = Clock()
    with TemporaryDirectory() as folder, Basket.open(Path(folder, "b.db")) as basket:
        basket._connection.execute("PRAGMA synchronous = 0")  # what is proved here needs no disk
        session = Session.begin(basket, open_file(str(SAMPLE)), clock)
        stamps = [clock.stamp]
        for kind, by, east in acts:
            clock.jump(by, east)
            before = session.glance.events
            do(session, kind)
            stamps += [clock.stamp] * (session.glance.events - before)
            no_nonsense(session.glance)
        clock.jump(later, offset)
        no_nonsense(session.glance)
        past = session.past()
        assert [one.event.number for one in past] == list(range(1, len(stamps) + 1))
        assert [(one.event.at, one.event.offset) for one in past] == stamps
        again = Session(basket, basket.find(None), clock)
        assert (again.glance, again.past()) == (session.glance, past)
        assert again.pair.touched == stamps[-1].at
        assert "-" not in words.ago(clock.stamp.at - again.touched)
        assert "-" not in pair_card.ago(clock.stamp.at - again.touched)
        plots = plots_of(session.course, session.state, "11.4", "m")
        assert plots is not None
        today, last_day = day_of(*clock.stamp), day_of(*stamps[-1])
        shown = Shown("pair", "rounds", len(stamps), today=today)
        knitter = circle_words.knitter_of(session.course, session.state, shown, {}, last_day)
        assert knitter.days == max(0, today - last_day)


@pytest.fixture
def berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Central European time, told without a table of zones: summer from March to October."""
    monkeypatch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
    time.tzset()
    yield
    monkeypatch.delenv("TZ")
    time.tzset()


@pytest.mark.parametrize(
    ("written", "minutes"),
    [
        ("2026-07-01T12:00:00", 120),
        ("2026-12-01T12:00:00", 60),
        ("2026-10-25T02:30:00", 120),  # it comes twice: the first is meant
        ("2026-10-25T02:30:00+01:00", 60),
        ("2026-03-29T02:30:00", 120),  # it comes not at all
    ],
)
def test_a_time_without_an_offset_is_that_of_the_place(
    monkeypatch: pytest.MonkeyPatch, berlin: None, written: str, minutes: int
) -> None:
    monkeypatch.setenv("INSTEP_NOW", written)
    assert now().offset in (minutes, 60 if "03-29" in written else minutes)


def test_the_clock_itself_knows_the_place(berlin: None, monkeypatch: pytest.MonkeyPatch) -> None:
    for at, minutes in ((1_782_900_000, 120), (1_796_000_000, 60)):
        monkeypatch.setattr(time, "time", lambda at=at: float(at))
        assert now() == Stamp(at * 1000, minutes)


def test_in_the_hour_that_comes_twice_rounds_keep_their_order_and_their_minutes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    given = ["--basket", str(tmp_path / "basket.db")]
    times = [
        *(f"2026-10-25T02:{minute}:00+02:00" for minute in (40, 43, 46, 49, 52, 55, 58)),
        *(f"2026-10-25T02:0{minute}:00+01:00" for minute in (1, 4, 7)),
    ]
    monkeypatch.setenv("INSTEP_NOW", times[0])
    assert main(["start", str(SAMPLE), *given]) == 0
    for moment in times[1:]:
        monkeypatch.setenv("INSTEP_NOW", moment)
        assert main(["tick", *given]) == 0
    capsys.readouterr()
    assert main(["history", "--json", *given]) == 0
    told = json.loads(capsys.readouterr().out)["events"]
    assert [one["at"] for one in told] == times
    assert [one["row"] for one in told[1:]] == list(range(1, 10))
    assert main(["left", "--json", "--more", *given]) == 0
    left = json.loads(capsys.readouterr().out)
    # 64 stitches in three minutes, whatever the hands of the clock say.
    assert left["minutes_to_go"] == round(13 * 3 * 1.1)
