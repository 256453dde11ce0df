"""A small, seeded run of the simulated legs; the full one is `python -m tests.benchmarks.legs`.

So few legs may differ from the truth: the bounds of a share are wider by three standard deviations
of it. A belief that is wrong in one of its assumptions must miss them all the same.
"""

from __future__ import annotations

from math import sqrt
from random import Random

import pytest

from tests.benchmarks import legs
from tests.benchmarks.legs import HEIGHT, Leg, bounds
from tracker.forecast import length

LEGS, SEED = 700, 20_260_301


def slack(share: float) -> float:
    return 3 * sqrt(share * (1 - share) / LEGS)


def missed() -> list[str]:
    return [bound.name for bound in bounds(LEGS, SEED, slack) if not bound.holds]


def test_the_forecast_holds_what_it_says() -> None:
    assert missed() == []


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("OUTLIER", 0.7),
        ("READING_SD", {"cast-on": 1.0}),
        ("READING_SD", {"cast-on": 6.0}),
        ("VARIATION", {"round swatch": 0.02, "flat swatch": 0.03, "ball band": 0.04}),
        ("CLOSE_ENOUGH", 30.0),
    ],
)
def test_a_belief_that_is_wrong_misses_them(
    monkeypatch: pytest.MonkeyPatch, name: str, value: object
) -> None:
    """What the forecast assumes is changed, what the knitters do is not."""
    monkeypatch.setattr(length, name, value)
    assert missed() != []


@pytest.mark.parametrize(("believed", "holds"), [(0.08, True), (0.0, False), (0.2, False)])
def test_drift_is_what_the_interval_needs_after_the_last_reading(
    monkeypatch: pytest.MonkeyPatch, believed: float, holds: bool
) -> None:
    """Hands that drift by 8 % after a reading: a belief that knows it holds, others do not."""
    monkeypatch.setattr(legs, "DRIFT", 0.08)
    monkeypatch.setattr(length, "DRIFT", believed)
    found = legs.coverage(Random(SEED), LEGS, legs.Tape())  # noqa: S311 - a seeded run
    wide = slack(0.9)
    assert all(0.87 - wide <= share <= 0.93 + wide for share in found.values()) == holds, found


def test_truth_is_where_the_leg_is_long_enough() -> None:
    straight = Leg(150.0, HEIGHT, 0.0)
    assert straight.crossing(0) == pytest.approx(63)
    drifting = Leg(150.0, HEIGHT, 0.1 * HEIGHT)
    assert drifting.crossing(41) == pytest.approx(41 + 22 / 1.1)
    rising = Leg(150.0, HEIGHT, 0.0, rising=0.04)
    assert rising.length(63, 0) == pytest.approx(150 * 0.98)
    assert rising.length(rising.crossing(0), 0) == pytest.approx(150)
