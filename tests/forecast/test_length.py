"""Length learned from the tape, against worked examples of the trade.

The examples are common practice, no source: figures of an experienced knitter, worked by hand
and checked against a numerical posterior. Each is held to the digits in which it was written.
"""

from __future__ import annotations

import subprocess
import sys
from math import floor, sqrt
from typing import Any

import pytest

from tests.knitting.knitter import Knitter
from tracker.forecast.length import (
    DRIFT,
    Belief,
    Counts,
    Heights,
    Reach,
    Reading,
    ending,
    fold,
    is_outlier,
    learn,
    length,
    loosened,
    measure_at,
    merged,
    prior,
    reading_sigma,
    rounds_to,
    shorter_than,
    surprise,
)
from tracker.pattern.scores import AT_95
from tracker.units import round_half_up, whole

NOTHING = Counts()
GOAL = 150.0
"""The leg of the worked example: 150 mm at 42 rounds to 100 mm, a round swatch."""


def leg_after(*readings: tuple[float, float]) -> Belief:
    """The belief of the worked example after readings of (leg rounds, mm)."""
    belief = prior(42, "round swatch", heel_mm=36)
    for rounds, mm in readings:
        belief = learn(belief, Counts(leg=rounds), mm, 2.5)
    return belief


def leg_sd(belief: Belief) -> float:
    """The standard deviation of the height of a leg round, mm."""
    return sqrt(belief.spread[1][1])


def rounded(reach: Reach, digits: int = 0) -> list[float]:
    assert reach.low is not None
    assert reach.high is not None
    return [round_half_up(rounds, digits) for rounds in (reach.low, reach.likely, reach.high)]


STATES: list[tuple[list[tuple[int, float]], tuple[float, float], list[float], list[int]]] = [
    ([], (2.3810, 0.1310), [57.47, 63.00, 69.71], [57, 63, 70]),
    ([(24, 60)], (2.4539, 0.0815), [57.79, 61.13, 64.91], [58, 61, 65]),
    ([(24, 60), (45, 109)], (2.4323, 0.0459), [59.76, 61.67, 63.74], [60, 62, 64]),
    ([(24, 60), (45, 109), (59, 143)], (2.4277, 0.0311), [60.51, 61.79, 63.13], [61, 62, 63]),
]
"""Readings; mean and sd of a round's height; rounds at 5, 50 and 95 %, and as they are shown."""


@pytest.mark.parametrize(("readings", "height", "rounds", "shown"), STATES)
def test_four_states_of_one_leg(
    readings: list[tuple[int, float]],
    height: tuple[float, float],
    rounds: list[float],
    shown: list[int],
) -> None:
    belief = leg_after(*readings)
    reach = rounds_to(belief, NOTHING, "leg", GOAL, readings[-1][0] if readings else 0)
    assert (round_half_up(belief.mean.leg, 4), round_half_up(leg_sd(belief), 4)) == height
    assert rounded(reach, 2) == rounds
    assert rounded(reach) == shown


def test_length_now() -> None:
    """After 24 rounds of 60 mm: 58.9 mm, give or take 2."""
    mean, sd = length(leg_after((24, 60)), Counts(leg=24))
    assert round_half_up(mean, 1) == 58.9
    assert whole(sd) == 2


def test_one_fabric_is_the_scalar_quadratic() -> None:
    """With one fabric from its start the roots are those of A n² + B n + C."""
    belief, measured_at = leg_after((24, 60), (45, 109)), 45
    mu, tau, sd = belief.mean.leg, leg_sd(belief), DRIFT * 100 / 42
    a = mu * mu - AT_95 * AT_95 * (tau * tau + sd * sd)
    b = -2 * mu * GOAL + 2 * AT_95 * AT_95 * sd * sd * measured_at
    c = GOAL * GOAL - AT_95 * AT_95 * sd * sd * measured_at * measured_at
    root = sqrt(b * b - 4 * a * c)
    reach = rounds_to(belief, NOTHING, "leg", GOAL, measured_at)
    assert reach.low == pytest.approx((-b - root) / (2 * a), abs=1e-9)
    assert reach.high == pytest.approx((-b + root) / (2 * a), abs=1e-9)


def test_one_fabric_is_the_scalar_posterior() -> None:
    """Precisions add, and the mean is weighted by them."""
    readings = [(24, 60.0), (45, 109.0), (59, 143.0)]
    mu0 = 100 / 42
    tau0 = 0.055 * mu0
    precision = 1 / tau0**2 + sum(n * n / 2.5**2 for n, _ in readings)
    mu = (mu0 / tau0**2 + sum(n * y / 2.5**2 for n, y in readings)) / precision
    belief = leg_after(*readings)
    assert belief.mean.leg == pytest.approx(mu, rel=1e-12)
    assert leg_sd(belief) == pytest.approx(precision**-0.5, rel=1e-12)


def test_cuff_and_leg_learn_from_each_other() -> None:
    belief = prior(42, "round swatch", heel_mm=36)
    assert [round_half_up(m, 4) for m in belief.mean[:2]] == [2.2676, 2.3810]
    assert [round_half_up(sqrt(belief.spread[k][k]), 4) for k in (0, 1)] == [0.1587, 0.1310]
    steps = [
        (Counts(cuff=22), 52.0, (2.3311, 2.4072)),
        (Counts(cuff=22, leg=30), 126.0, (2.3574, 2.4526)),
        (Counts(leg=40), 99.0, (2.3529, 2.4653)),
    ]
    for counts, mm, means in steps:
        belief = learn(belief, counts, mm, 2.5)
        assert tuple(round_half_up(m, 4) for m in belief.mean[:2]) == means
    assert [round_half_up(sqrt(belief.spread[k][k]), 4) for k in (0, 1)] == [0.0713, 0.0470]


def foot_belief() -> Belief:
    """A heel of 35.71 mm, give or take 6, and a foot of 2.43 mm a round, give or take 3 %."""
    mean = Heights(2.3, 2.43, 2.43, 35.71)
    sds = (0.16, 0.13, 0.03 * 2.43, 6.0)
    spread = tuple(tuple(sd * sd if i == k else 0.0 for k in range(4)) for i, sd in enumerate(sds))
    return Belief(mean, spread, mean)


def test_foot_and_its_heel() -> None:
    belief = learn(foot_belief(), Counts(foot=26, heel=1), 101, 3.5)
    assert round_half_up(belief.mean.heel, 2) == 37.18
    assert round_half_up(belief.mean.foot, 3) == 2.436
    belief = learn(belief, Counts(foot=50, heel=1), 158, 3.5)
    assert round_half_up(belief.mean.heel, 2) == 36.95
    assert round_half_up(belief.mean.foot, 3) == 2.430
    foot, heel = belief.spread[2], belief.spread[3]
    assert round_half_up(foot[3] / sqrt(foot[2] * heel[3]), 2) == -0.67


def test_toe_is_reckoned_by_the_foot_as_measured() -> None:
    """Foot 233 mm with a toe of 20 rounds: the toe begins after 60.7 rounds (58.0 to 63.6)."""
    belief = learn(foot_belief(), Counts(foot=26, heel=1), 101, 3.5)
    belief = learn(belief, Counts(foot=50, heel=1), 158, 3.5)
    reach = rounds_to(belief, Counts(foot=20, heel=1), "foot", 233, 50)
    assert rounded(reach, 1) == [58.0, 60.7, 63.6]


@pytest.mark.parametrize(
    ("source", "share"),
    [("round swatch", 0.055), ("flat swatch", 0.08), ("ball band", 0.12), ("a guess", 0.12)],
)
def test_prior_trusts_a_gauge_by_its_source(source: str, share: float) -> None:
    belief = prior(40, source, heel_mm=30)
    sds = [sqrt(belief.spread[k][k]) for k in range(4)]
    assert sds == pytest.approx([0.07 * 2.5 / 1.05, share * 2.5, share * 2.5, 6.0])
    for i, k in ((0, 1), (0, 2), (1, 2)):
        assert belief.spread[i][k] == pytest.approx(0.5 * sds[i] * sds[k])
        assert belief.spread[k][i] == belief.spread[i][k]
    assert [belief.spread[3][k] for k in range(3)] == [0, 0, 0]
    assert [belief.spread[k][3] for k in range(3)] == [0, 0, 0]
    assert belief.mean == belief.swatch == Heights(2.5 / 1.05, 2.5, 2.5, 30)


@pytest.mark.parametrize(("rows", "factor"), [(0, 1.05), (-42, 1.05), (42, 0)])
def test_prior_refuses_what_is_no_gauge(rows: float, factor: float) -> None:
    with pytest.raises(ValueError, match="is not a gauge; write it above 0"):
        prior(rows, "round swatch", heel_mm=36, cuff_factor=factor)


def test_reading_sigma() -> None:
    assert reading_sigma("cast-on") == reading_sigma("cuff") == 2.5
    assert reading_sigma("heel") == 3.5
    assert reading_sigma("cuff", rough=True) == 5.0
    assert reading_sigma("heel", rough=True) == 7.0
    # A step of 5 mm alone is 1.44 mm, a quarter of an inch 1.83 mm.
    for step, alone in ((5.0, 1.44), (6.35, 1.83)):
        sigma = reading_sigma("cast-on", step_mm=step)
        assert round_half_up(sqrt(sigma * sigma - 2.5 * 2.5), 2) == alone


@pytest.mark.parametrize(
    ("readings", "due"),
    [
        ((), 21),  # a third of 63
        (((24, 60),), 57),
        (((24, 60), (45, 109)), 59),
        (((24, 60), (45, 109), (59, 143)), None),  # the next round would be it: knit to 62
    ],
)
def test_when_to_measure(readings: tuple[tuple[int, float], ...], due: int | None) -> None:
    last = readings[-1][0] if readings else 0
    reach = rounds_to(leg_after(*readings), NOTHING, "leg", GOAL, last)
    assert measure_at(reach, last) == due


def test_scenario_62_rounds_60_to_64_measure_at_59() -> None:
    reach = rounds_to(leg_after((24, 60), (45, 109)), NOTHING, "leg", GOAL, 45)
    assert rounded(reach) == [60, 62, 64]
    assert measure_at(reach, 45) == 59


@pytest.mark.parametrize(
    ("reach", "measured_at", "due"),
    [
        (Reach(80.0, 90.0, 100.0), 0, 30),  # the first third of the way
        (Reach(82.0, 91.5, 100.0), 0, 31),  # 30.5, halves up
        (Reach(40.0, 45.0, 50.0), 0, 20),  # never before 20
        (Reach(13.9, 15.0, 16.2), 0, 13),  # unless the goal may come sooner
        (Reach(59.0, 60.0, 61.0), 40, None),  # within two rounds
        (Reach(59.0, 60.0, 61.1), 40, 59),
        (Reach(59.9, 62.0, 64.0), 58, None),  # due in the very next round
        (Reach(59.9, 62.0, 64.0), 57, 59),
        (Reach(-3.0, -1.0, 2.0), 0, None),  # past the goal before it began
        (Reach(None, 90.0, None), 0, 30),  # nothing can be said: measure all the more
        (Reach(None, 90.0, None), 29, None),
    ],
)
def test_measuring_rules(reach: Reach, measured_at: float, due: int | None) -> None:
    assert measure_at(reach, measured_at) == due


def test_readings_far_off_and_what_they_would_mean() -> None:
    """At 59 rounds 143.5 mm are expected: 155 is +3.1 (5 rounds), 131 is -3.4."""
    belief, at = leg_after((24, 60), (45, 109)), Counts(leg=59)
    expected, _ = length(belief, at)
    assert round_half_up(expected, 1) == 143.5
    assert round_half_up(surprise(belief, at, 155, 2.5), 1) == 3.1
    assert round_half_up(surprise(belief, at, 131, 2.5), 1) == -3.4
    assert floor(155 - expected) == 11
    assert whole((155 - expected) / belief.mean.leg) == 5
    # "The count is wrong by five": 64 rounds, and nothing is odd any more.
    assert round_half_up(length(belief, Counts(leg=64))[0], 1) == 155.7
    assert abs(surprise(belief, Counts(leg=64), 155, 2.5)) < 0.25


def reading(rounds: float, mm: float, sigma: float = 2.5, accepted: bool = False) -> Reading:
    return Reading(mm, Counts(leg=rounds), sigma, accepted)


def test_fold_leaves_out_what_is_out_of_line() -> None:
    readings = [reading(24, 60), reading(45, 109), reading(59, 155), reading(59.5, 144)]
    learned = fold(leg_after(), readings)
    assert learned.counted == (True, True, False, True)
    assert learned.belief == leg_after((24, 60), (45, 109), (59.5, 144))


def test_fold_believes_an_accepted_outlier_with_three_times_its_sigma() -> None:
    before = leg_after((24, 60), (45, 109))
    odd = reading(59, 155, accepted=True)
    assert is_outlier(before, odd)
    learned = fold(leg_after(), [reading(24, 60), reading(45, 109), odd])
    assert learned.counted == (True, True, True)
    assert learned.belief == learn(loosened(before, DRIFT), Counts(leg=59), 155, 7.5)
    assert learned.belief.mean.leg > before.mean.leg


def test_fold_takes_an_accepted_reading_in_line_as_any_other() -> None:
    assert fold(leg_after(), [reading(24, 60, accepted=True)]).belief == leg_after((24, 60))


def test_readings_at_one_round_are_their_mean_with_one_sigma() -> None:
    learned = fold(leg_after(), [reading(24, 59), reading(24, 61)])
    assert learned.counted == (True, True)
    assert learned.belief == leg_after((24, 60))
    assert merged([reading(24, 58, 2.5), reading(24, 61, 5)]) == reading(24, 59.5, 3.75)


def test_measuring_again_after_a_slip_of_the_tape() -> None:
    """The slip stays out; the second reading at the same round counts alone."""
    readings = [reading(24, 60), reading(45, 109), reading(59, 155), reading(59, 143)]
    learned = fold(leg_after(), readings)
    assert learned.counted == (True, True, False, True)
    assert learned.belief == leg_after((24, 60), (45, 109), (59, 143))


def test_a_reading_shorter_than_an_earlier_one_does_not_count_until_she_says_so() -> None:
    """The fabric has grown since: one of the two cannot be right, and nothing is surer than before."""
    readings = [reading(24, 60), reading(26, 59.5), reading(28, 59)]
    learned = fold(leg_after(), readings)
    assert learned.counted == (True, False, False)
    assert learned.belief == leg_after((24, 60))
    assert [shorter_than(readings, learned.counted, n) for n in range(3)] == [None, 0, 0]
    right = [reading(24, 60), reading(26, 59.5, accepted=True)]
    believed = learn(loosened(leg_after((24, 60)), DRIFT), Counts(leg=26), 59.5, 7.5)
    assert fold(leg_after(), right) == (believed, (True, True))


def test_what_is_as_long_or_measured_elsewhere_is_not_shorter() -> None:
    at_one_round = [reading(24, 60), reading(24, 59)]
    assert fold(leg_after(), at_one_round).counted == (True, True)
    assert fold(leg_after(), [reading(24, 60), reading(26, 60)]).counted == (True, True)
    belief = prior(42, "round swatch", heel_mm=36)
    from_edge = Reading(126, Counts(cuff=22, leg=30), 2.5)
    from_cuff = Reading(84, Counts(leg=34), 2.5)
    assert fold(belief, [from_edge, from_cuff]).counted == (True, True)
    odd = [reading(24, 90), reading(26, 63)]
    assert fold(leg_after(), odd).counted == (False, True), (
        "what does not count stands against none"
    )


def test_readings_from_two_marks_at_one_round_stay_two() -> None:
    belief = prior(42, "round swatch", heel_mm=36)
    from_edge, from_cuff = Counts(cuff=22, leg=30), Counts(leg=30)
    learned = fold(belief, [Reading(126, from_edge, 2.5), Reading(74, from_cuff, 2.5)])
    assert learned.belief == learn(learn(belief, from_edge, 126, 2.5), from_cuff, 74, 2.5)


def test_fold_of_nothing() -> None:
    belief = leg_after()
    assert fold(belief, []) == (belief, ())


def test_a_reading_of_no_rounds_teaches_nothing() -> None:
    belief = leg_after()
    assert learn(belief, NOTHING, 5, 2.5) == belief
    assert learn(belief, NOTHING, 5, 0) == belief
    assert surprise(belief, NOTHING, 5, 0) == 0


def test_numbers_past_reckoning_teach_nothing() -> None:
    belief = leg_after()
    assert learn(belief, Counts(leg=1e200), 1e200, 2.5) == belief
    assert is_outlier(belief, reading(24, float("nan")))


def test_sock_two_inherits_what_sock_one_taught() -> None:
    """2.4277 mm a round, give or take .0682: 62 rounds are 150.5 mm, give or take 7 (90 %)."""
    second = loosened(leg_after((24, 60), (45, 109), (59, 143)))
    assert round_half_up(second.mean.leg, 4) == 2.4277
    assert round_half_up(leg_sd(second), 4) == 0.0682
    mean, sd = length(second, Counts(leg=62))
    assert round_half_up(mean, 1) == 150.5
    assert whole(AT_95 * sd) == 7


def test_ending_is_the_other_way_round_of_rounds_to() -> None:
    """The goal is the 95 % length of the 5 % round, and the 5 % length of the 95 % round."""
    belief = leg_after((24, 60), (45, 109))
    reach = rounds_to(belief, NOTHING, "leg", GOAL, 45)
    assert reach.low is not None
    assert reach.high is not None
    assert ending(belief, Counts(leg=reach.low), "leg", 45)[1] == pytest.approx(GOAL)
    assert ending(belief, Counts(leg=reach.high), "leg", 45)[0] == pytest.approx(GOAL)
    low, high = ending(belief, Counts(leg=45), "leg", 45)
    mean, sd = length(belief, Counts(leg=45))
    assert (low, high) == pytest.approx((mean - AT_95 * sd, mean + AT_95 * sd))


def test_a_cuff_in_front_shortens_the_leg() -> None:
    belief = prior(42, "round swatch", heel_mm=36)
    plain = rounds_to(belief, NOTHING, "leg", 160)
    behind_cuff = rounds_to(belief, Counts(cuff=21), "leg", 160)
    assert plain.likely - behind_cuff.likely == pytest.approx(21 / 1.05)


def test_nothing_can_be_said_of_a_fabric_hardly_known() -> None:
    belief = leg_after()
    vague = belief._replace(spread=tuple(tuple(1000 * c for c in row) for row in belief.spread))
    reach = rounds_to(vague, NOTHING, "leg", GOAL)
    assert (reach.low, reach.high) == (None, None)
    assert reach.likely == pytest.approx(63)


@pytest.mark.parametrize("height", [0.0, -0.1])
def test_fabric_that_does_not_grow_promises_no_round(height: float) -> None:
    belief = leg_after()
    flat = belief._replace(mean=belief.mean._replace(leg=height))
    assert rounds_to(flat, NOTHING, "leg", GOAL, 12) == Reach(None, 12, None)


def test_loads_nothing_but_what_it_uses() -> None:
    script = (
        "import sys; before = set(sys.modules)\n"
        "import tracker.forecast.length, tracker.forecast.pace\n"
        "print(*{name.partition('.')[0] for name in set(sys.modules) - before})"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)
    loaded = set(done.stdout.decode().split())
    assert "tracker" in loaded
    assert not loaded & {"numpy", "scipy", "textual", "rich", "dataclasses", "statistics"}


def test_other_needles_widen_what_is_expected_until_the_tape_is_laid_again() -> None:
    """A change of needles in the leg: twice the drift, until a reading that counts comes after it."""

    def width(knitter: Knitter) -> float:
        length = knitter.look().length
        assert length is not None
        assert length.ends_low_mm is not None
        assert length.ends_high_mm is not None
        return length.ends_high_mm - length.ends_low_mm

    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("measure", mm=98.0, step=0)
    before = width(knitter)
    told: dict[str, Any] = {"as": "needle", "value": "2.25"}
    knitter.do("changed", None, **told)
    assert width(knitter) > 1.1 * before
    knitter.to("leg", 30)
    knitter.do("measure", mm=122.0, step=0)
    assert width(knitter) < before
