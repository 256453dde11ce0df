"""Whether one sock is knitted tighter: like socks are seldom told apart, a true drift is found in time."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from tests.knitting.knitter import Knitter
from tracker.forecast.length import Belief
from tracker.forecast.tapes import Tapes
from tracker.glance import Glance
from tracker.knitting.cues import Cue
from tracker.knitting.state import Number

HEIGHT, CUFF = 100 / 42, 22
DRAWS = 120


def tension(glance: Glance) -> Cue | None:
    return next((cue for cue in glance.cues if cue.about == "tension"), None)


def told_apart(rounds: tuple[int, ...], drift: float, seed: int, mark: str = "cast-on") -> float:
    """Share of pairs that are told to differ after readings of sock two's leg at such rounds.

    Sock two's rounds are higher by `drift`; sock one was measured twice.
    """
    random, told = Random(seed), 0  # noqa: S311 - a seeded run
    laid: dict[str, Any] = {"from": mark}
    for _ in range(DRAWS):
        height = HEIGHT * random.gauss(1, 0.055)
        knitter = Knitter(pause=1_000)

        def measure(row: int, high: float, knitter: Knitter = knitter) -> None:
            knitter.to("leg", row)
            before = CUFF / 1.05 if mark == "cast-on" else 0
            mm = (before + row) * high + random.gauss(0, 2.5)
            knitter.do("measure", mm=mm, step=0, **laid)

        measure(24, height)
        measure(44, height)
        knitter.do("end")
        knitter.do("other")
        for row in rounds:
            measure(row, height * (1 + drift))
        told += tension(knitter.look()) is not None
    return told / DRAWS


@pytest.mark.parametrize("mark", ["cast-on", "cuff"])
@pytest.mark.parametrize("rounds", [(20,), (24,), (30,)])
def test_like_socks_are_seldom_told_apart(rounds: tuple[int, ...], mark: str) -> None:
    """One in twenty at the most, and what so few draws may differ by."""
    assert told_apart(rounds, 0.0, 9, mark) <= 0.05 + 1.7 * (0.05 * 0.95 / DRAWS) ** 0.5


@pytest.mark.parametrize("drift", [0.07, -0.07, 0.08, -0.06])
def test_a_true_drift_is_found_by_the_middle_of_the_leg(drift: float) -> None:
    assert told_apart((20, 24), drift, 6) > 0.6


def test_a_drift_too_small_to_matter_is_not_told() -> None:
    """However sure: the same count is then the same length."""
    assert told_apart((20, 25, 30, 35, 40), 0.02, 7) <= 0.1


# By whom a sock is taught


def learned(knitter: Knitter, number: Number) -> Belief:
    tape = Tapes(knitter.course, knitter.state).of(number)
    assert tape is not None
    return tape.belief


def section_by_section() -> Knitter:
    """Sock one's leg was measured first, sock two's foot: it is at foot round 40, sock one at the gusset."""
    knitter = Knitter(pause=1_000)
    knitter.do("order", order="section by section")
    knitter.to("leg", 24)
    knitter.do("measure", mm=108.0, step=0)
    knitter.to("gusset", 1, sock=1)
    knitter.to("leg", 24, sock=2)
    knitter.do("measure", 2, mm=108.0, step=0)
    for row in (5, 20):
        knitter.to("foot", row, sock=2)
        knitter.do("measure", 2, mm=36 + (19 + row) * 2.7, step=0)
    return knitter


def test_a_foot_learns_from_the_foot_that_was_measured_first() -> None:
    """Sock one taught the leg, and is taught the foot and the heel with it."""
    knitter = section_by_section()
    one, two = learned(knitter, 1), learned(knitter, 2)
    assert one.mean.foot == pytest.approx(two.mean.foot, abs=0.06)
    assert one.mean.foot > HEIGHT + 0.07
    assert one.spread[2][2] > two.spread[2][2], "another sock may differ"


def test_what_a_sock_has_taught_does_not_come_back_to_it() -> None:
    """Sock two's leg was measured after sock one's: sock one's leg is not sharpened by it."""
    knitter = section_by_section()
    before = learned(knitter, 1)
    for _ in range(5):
        knitter.do("measure", 2, mm=36 + 39 * 2.7, step=0)
    alone = Knitter()
    alone.to("leg", 24)
    alone.do("measure", mm=108.0, step=0)
    assert before.mean.leg == pytest.approx(learned(alone, 1).mean.leg, abs=0.04)
    assert learned(knitter, 1).spread[1][1] >= learned(alone, 1).spread[1][1] * 0.9


def test_a_foot_of_its_own_that_differs_is_told_on_the_sock_that_was_measured_later() -> None:
    knitter = section_by_section()
    knitter.to("foot", 24, sock=1)
    knitter.do("measure", 1, mm=134.0, step=0)
    assert tension(knitter.look(1)) is not None
    assert tension(knitter.look(2)) is None
