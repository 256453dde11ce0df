"""Pace and time. The rules are common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.forecast.pace import RECENT, Pace, minutes, minutes_to_go
from tracker.knitting.state import Timed


def paced(*samples: Timed) -> Pace:
    pace = Pace()
    for sample in samples:
        pace = pace.add(sample)
    return pace


def rounds_at(per_minute: float, count: int, stitches: int = 64) -> list[Timed]:
    return [Timed(stitches, 60 * stitches / per_minute)] * count


@pytest.mark.parametrize(("timed", "per_minute"), [(0, 25), (4, 25), (5, 32), (20, 32)])
def test_five_rounds_make_a_pace(timed: int, per_minute: float) -> None:
    assert paced(*rounds_at(32, timed)).per_minute == pytest.approx(per_minute)


def test_pace_is_all_stitches_by_all_minutes() -> None:
    """Not the mean of the paces: long rounds weigh more."""
    samples = [Timed(84, 180), Timed(60, 120), Timed(84, 150), Timed(20, 60), Timed(20, 30)]
    assert paced(*samples).per_minute == pytest.approx(268 / 9)


def test_only_the_last_twenty_rounds_count() -> None:
    pace = paced(*rounds_at(20, 30), *rounds_at(40, 20))
    assert pace.per_minute == pytest.approx(40)
    assert pace.rounds == len(pace.samples) == 20
    assert paced(*rounds_at(20, 30), *rounds_at(40, 19)).per_minute < 40


@pytest.mark.parametrize(
    ("sample", "counts"),
    [
        (Timed(64, 19.2), True),  # 0.3 s a stitch
        (Timed(64, 19.1), False),  # catching up
        (Timed(64, 0), False),
        (Timed(64, -90), False),  # the clock was put back
        (Timed(64, float("nan")), False),
        (Timed(64, 460.7), True),  # not quite three times what 25 a minute take
        (Timed(64, 460.9), False),
        (Timed(100, 600), True),
        (Timed(100, 600.1), False),  # ten minutes
        (Timed(192, 1300, 3), True),  # three rounds in one: three times as long
        (Timed(192, 1383, 3), False),
        (Timed(0, 0), False),
        (Timed(0, 60), False),  # all slipped, or the graft
    ],
)
def test_what_counts(sample: Timed, counts: bool) -> None:
    assert Pace().add(sample).samples == ((sample,) if counts else ())


def test_slow_is_judged_by_her_own_pace() -> None:
    slow = Timed(64, 300)
    assert Pace().add(slow).samples == (slow,)
    assert paced(*rounds_at(50, 5)).add(slow).missed == (slow,)


def test_catching_up_leaves_the_pace_alone() -> None:
    pace = paced(*rounds_at(32, 6))
    assert pace.add(Timed(64, 0.2)).add(Timed(64, 0.2)) == pace


def test_needles_make_up_rounds() -> None:
    needles = [Timed(16, 30, 0), Timed(16, 30, 0), Timed(16, 30, 0), Timed(16, 30, 1)]
    assert paced(*needles * 4).per_minute == 25
    pace = paced(*needles * 5)
    assert pace.rounds == 5
    assert pace.per_minute == pytest.approx(32)
    assert pace.samples == (Timed(64, 120, 1),) * 5
    assert pace.add(needles[0]).samples == (*pace.samples, needles[0])


def test_time_to_knit() -> None:
    """7728 stitches at 34 a minute are 3 h 47, a sock of 10 416 is 5 h 06."""
    assert minutes(7728, 34) == 3 * 60 + 47
    assert minutes(10_416, 34) == 5 * 60 + 6
    assert minutes(-7728, 34) == -(3 * 60 + 47)
    assert minutes(0, 34) == 0


def test_time_to_go_takes_a_tenth_more_halves_up() -> None:
    assert minutes_to_go(1000, 25) == 44
    assert minutes_to_go(125, 25) == 6  # 5.5
    assert minutes_to_go(375, 25) == 17  # 16.5
    assert minutes_to_go(124, 25) == 5
    assert minutes_to_go(0, 25) == 0


samples_of_any_kind = st.builds(
    Timed,
    st.integers(-10, 10_000),
    st.floats(allow_nan=True, allow_infinity=True),
    st.integers(0, 50),
)


@settings(deadline=None)
@given(st.lists(samples_of_any_kind, max_size=80))
def test_bounded_and_above_zero_whatever_the_clock_does(samples: list[Timed]) -> None:
    pace = paced(*samples)
    assert len(pace.samples) <= RECENT + 1
    assert 0 < pace.per_minute <= 200
    assert minutes(10_416, pace.per_minute) >= 0


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(1, 100), st.floats(0.3, 3)), min_size=5, max_size=60))
def test_pace_lies_between_the_slowest_and_the_fastest(rounds: list[tuple[int, float]]) -> None:
    samples = [Timed(stitches, stitches * seconds) for stitches, seconds in rounds]
    pace = paced(*samples)
    if pace.rounds >= 5:
        paces = [60 * sample.stitches / sample.seconds for sample in pace.samples]
        assert min(paces) * (1 - 1e-9) <= pace.per_minute <= max(paces) * (1 + 1e-9)


def test_a_run_of_slow_rounds_is_no_run_of_pauses() -> None:
    """Six rounds of a minute, then every four: after five of these it is how she knits."""
    pace = Pace()
    for _ in range(6):
        pace = pace.add(Timed(64, 60))
    for _ in range(4):
        pace = pace.add(Timed(64, 240))
        assert pace.per_minute == 64
    assert pace.add(Timed(64, 60)).missed == (), "one at the old pace: they were pauses"
    assert pace.add(Timed(64, 240)).per_minute == 16
