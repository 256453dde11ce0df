"""Grams to a stitch from the scale: worked numbers, SciPy and a grid, and what any weights must obey."""

from __future__ import annotations

from itertools import pairwise
from math import isfinite, sqrt

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import norm

from tracker.forecast.yarn import (
    SCALE_SD,
    Ball,
    learn,
    next_weighing,
)
from tracker.knitting.state import Weighing
from tracker.pattern.yarn import FABRIC, TAILS_G, Use, normal

SOCK = 10_416
"""Stitches of the sock of 64, of which cuff and leg are 4,352."""
PRIOR = Use(33.303 / SOCK, 3.3303 / SOCK)


def weights(*given: tuple[float, int]) -> list[Weighing]:
    return [Weighing(grams, stitches, event) for event, (grams, stitches) in enumerate(given, 2)]


def learned(*given: tuple[float, int], told: float | None = 100.0) -> Ball:
    ball = learn(PRIOR, told, weights(*given)).ball
    assert ball is not None
    return ball


# The trade's own example


def test_a_weight_after_cuff_and_leg() -> None:
    """100 g before, 85 g after 4,352 stitches: 35.6 g a sock, give or take 1.1 (common practice)."""
    use = learned((85, 4352)).use
    assert SOCK * use.mean == pytest.approx(35.6, abs=0.05)
    assert SOCK * use.sd == pytest.approx(1.1, abs=0.05)


def test_weighed_before_the_first_stitch_is_the_same_as_told() -> None:
    told, weighed = learned((85, 4352)), learned((100, 0), (85, 4352), told=None)
    assert told == weighed


def test_a_scale_of_one_gram() -> None:
    """0.41 g on the difference of two weights; below 8 g used that is worse than 5 %."""
    assert sqrt(2) * SCALE_SD == pytest.approx(0.41, abs=0.002)
    assert sqrt(2) * SCALE_SD / 8 == pytest.approx(0.05, abs=0.002)


def test_tails_and_drift() -> None:
    """1.5 g of tails a pair, 2 % from one fabric to the next (common practice, no source)."""
    nothing = Ball(100, 0, Use(0.0, 0.0), sd=0.0)
    assert nothing.over((SOCK, SOCK), 2) == (98.5, 0.0)
    certain = Ball(100, 0, Use(PRIOR.mean, 0.0), sd=0.0)
    assert certain.over((SOCK,), 0)[1] == pytest.approx(0.02 * 33.303)


# Against numerical methods


@pytest.mark.parametrize("score", [-6.0, -1.96, -0.3, 0.0, 0.7, 1.6448536269514722, 5.0])
def test_the_normal_distribution(score: float) -> None:
    assert normal(score) == pytest.approx(norm.cdf(score), abs=1e-12)


def test_a_grid_gives_the_same_use_and_the_same_chance() -> None:
    """Every use and every weight the scale may have meant, tried; the fabric's own doubt among them."""
    used, grams, stitches = np.linspace(0.0015, 0.0055, 4001), 85.0, 4352
    fabric = FABRIC * PRIOR.mean * stitches
    spread = np.sqrt(2 * SCALE_SD**2 + fabric**2)
    density = norm.pdf(used, PRIOR.mean, PRIOR.sd) * norm.pdf(100 - grams, used * stitches, spread)
    density /= density.sum()
    mean = float((density * used).sum())
    sd = float(np.sqrt((density * (used - mean) ** 2).sum()))
    ball = learned((grams, stitches))
    assert ball.use.mean == pytest.approx(mean, rel=1e-4)
    assert ball.use.sd == pytest.approx(sd, rel=1e-3)


def test_the_chance_that_it_is_enough_by_random_draws() -> None:
    """Three weights drawn together by numbers from the model give the mean and sd of what is left over."""
    ball = learned((92, 2200), (85, 4352))
    pieces = (0, SOCK - 4352, SOCK)
    grams, sd = ball.over(pieces, 2)
    draw = np.random.default_rng(3)
    cov = [[ball.sd**2, ball.shared], [ball.shared, ball.use.sd**2]]
    left, use = draw.multivariate_normal([ball.grams, ball.use.mean], cov, 400_000).T
    over = left - use * sum(pieces) - 2 * TAILS_G
    for piece in pieces:
        over = over + draw.normal(0, FABRIC * ball.use.mean * piece, over.shape)
    assert grams == pytest.approx(over.mean(), abs=0.02)
    assert sd == pytest.approx(over.std(), rel=0.01)
    assert normal(grams / sd) == pytest.approx((over > 0).mean(), abs=0.005)


def test_several_weights_are_least_squares() -> None:
    """The batch solution: weights on a line, each interval's fabric with a doubt of its own."""
    taken = [(100.0, 0), (92.0, 2200), (85.0, 4352), (78.0, 6300)]
    fabric = [FABRIC * PRIOR.mean * (b[1] - a[1]) for a, b in pairwise(taken)]
    n = len(taken)
    # Unknowns: the grams at the start, the use, and what each interval took more.
    design = np.zeros((n + 1 + len(fabric), 2 + len(fabric)))
    target = np.zeros(len(design))
    for row, (grams, stitches) in enumerate(taken):
        design[row, :2] = np.array([1, -stitches]) / SCALE_SD
        design[row, 2 : 2 + row] = -1 / SCALE_SD
        target[row] = grams / SCALE_SD
    design[n, 1], target[n] = 1 / PRIOR.sd, PRIOR.mean / PRIOR.sd
    for place, sd in enumerate(fabric):
        design[n + 1 + place, 2 + place] = 1 / sd
    solved, *_ = np.linalg.lstsq(design, target, rcond=None)
    spread = np.linalg.inv(design.T @ design)
    ball = learned(*taken[1:])
    # The doubt of the fabric goes by the use learned so far, not by the first: close, not equal.
    assert ball.use.mean == pytest.approx(solved[1], rel=0.002)
    assert ball.use.sd == pytest.approx(np.sqrt(spread[1, 1]), rel=0.03)


# What must hold


AT = st.integers(500, 9000)


@given(st.lists(AT, min_size=1, max_size=6, unique=True))
def test_a_weight_exactly_as_expected_sharpens_and_does_not_move(places: list[int]) -> None:
    ball = learned()
    for stitches in sorted(places):
        grams = ball.at(stitches)
        assume(grams > 0)
        after = ball.weighed(grams, stitches)
        assert after.use.mean == pytest.approx(ball.use.mean)
        assert after.use.sd < ball.use.sd
        assert after.grams == pytest.approx(grams)
        ball = after


@given(AT, st.floats(-2, 2), st.floats(0, 1))
def test_two_weights_at_the_same_place_become_one(at: int, off: float, apart: float) -> None:
    left, _ = learned().spread_at(at)
    grams = min(99, learned().at(at) + off * sqrt(left))
    one, both = learned((grams + apart / 2, at)), learned((grams, at), (grams + apart, at))
    assert both.use == pytest.approx(one.use)
    assert (both.grams, both.sd, both.shared) == pytest.approx((one.grams, one.sd, one.shared))


@given(st.integers(0, 9000), st.integers(0, 3000), st.floats(20, 120))
def test_knitting_more_never_raises_what_is_left_over(made: int, more: int, grams: float) -> None:
    ball = Ball(grams, 0, PRIOR)
    before, _ = ball.over((made, SOCK - made, SOCK), 2)
    after, _ = ball.over((made + more, max(0, SOCK - made - more), SOCK), 2)
    assert after <= before + 1e-9
    assert ball.at(made + more) <= ball.at(made)


@given(st.integers(2000, 8000), st.floats(0.0025, 0.0042))
def test_a_weight_teaches_towards_what_was_used(stitches: int, truth: float) -> None:
    before, after = PRIOR.mean, learned((100 - truth * stitches, stitches)).use.mean
    assert min(before, truth) - 1e-12 <= after <= max(before, truth) + 1e-12


@given(
    st.one_of(st.none(), st.floats(1, 5000)),
    st.lists(st.tuples(st.floats(0.01, 5000), st.integers(0, 20_000)), max_size=30),
)
def test_any_weights_leave_a_use_above_nought(
    told: float | None, given_: list[tuple[float, int]]
) -> None:
    at, taken = 0, []
    for grams, more in given_:
        at += more // 7 * 7
        taken.append((grams, at))
    found = learn(PRIOR, told, weights(*taken))
    assert len(found.fits) == len(found.expected) == len(taken)
    if found.ball is None:
        assert told is None
        return
    ball = found.ball
    assert ball.use.mean > 0
    assert isfinite(ball.grams + ball.use.sd + ball.sd + ball.shared)
    over, sd = ball.over((10, SOCK, SOCK), 2)
    assert isfinite(over)
    assert sd > 0
    due = next_weighing(ball, (10, SOCK, SOCK), 2, known=bool(taken))
    assert due is None or ball.stitches < due < ball.stitches + 2 * SOCK + 10


# Other balls, slips


def fits(*given: tuple[float, int], told: float | None = 100.0) -> tuple[str, ...]:
    return learn(PRIOR, told, weights(*given)).fits


def test_a_weight_above_the_last_is_another_ball() -> None:
    """It counts as it is; what a stitch takes was learned before and stays."""
    assert fits((85, 4352), (97, 6000)) == ("fits", "other ball")
    before, after = learned((85, 4352)), learned((85, 4352), (97, 6000))
    assert after.use == before.use
    assert (after.grams, after.stitches) == (97, 6000)


def test_a_new_ball_is_learned_from_like_the_first() -> None:
    one = learned((85, 4352), (100, 4352))
    two = learned((85, 4352), (100, 4352), (85, 8704))
    assert fits((85, 4352), (100, 4352), (85, 8704)) == ("fits", "other ball", "fits")
    assert two.use.sd < one.use.sd
    assert SOCK * two.use.mean == pytest.approx(35.75, abs=0.1)


def test_the_noise_of_a_scale_is_no_other_ball() -> None:
    """A needle later it shows a gram more; a whole round later two grams more are another ball."""
    assert fits((85, 4352), (86, 4368)) == ("fits", "fits")
    assert fits((85, 4352), (85.5, 4416)) == ("fits", "fits")
    assert fits((85, 4352), (87, 4416)) == ("fits", "other ball")


def test_a_weight_far_below_what_is_expected_teaches_nothing() -> None:
    assert fits((85, 4352), (30, 6000)) == ("fits", "anew")
    after = learned((85, 4352), (30, 6000))
    assert after.use == learned((85, 4352)).use
    assert after.grams == 30


def test_at_one_place_the_later_of_two_unlike_weights_counts() -> None:
    assert fits((85, 4352), (80, 4352)) == ("fits", "anew")
    assert fits((85, 4352), (90, 4352)) == ("fits", "other ball")
    assert fits((85, 4352), (86, 4352)) == ("fits", "fits")
    assert learned((85, 4352), (80, 4352)).grams == 80


def test_nothing_told_the_first_weight_is_where_it_begins() -> None:
    assert fits((85, 4352), told=None) == ("first",)
    assert fits((97, 0)) == ("first",), "a ball weighed before the first stitch overrules its band"
    assert learned((97, 0)).grams == 97
    assert fits((104, 500)) == ("first",), "nothing was weighed before: the band said too little"
    assert learn(PRIOR, None, []).ball is None


# When to weigh, and by how much shorter


def test_the_first_weight_is_worth_while_after_eight_grams() -> None:
    at = next_weighing(learned(), (0, SOCK, SOCK), 2, known=False)
    assert at == pytest.approx(8 / PRIOR.mean, abs=2)


def test_no_further_weight_is_asked_for_where_it_would_change_nothing() -> None:
    plenty, nothing = learned((100, 0), (85, 4352)), learned((45, 0), (30, 4352), told=None)
    rest = (0, SOCK - 4352, SOCK)
    assert next_weighing(plenty, (0, 6064, 0), 1, known=True) is None
    assert next_weighing(nothing, rest, 2, known=True) is None


def test_a_further_weight_is_asked_for_where_it_is_tight() -> None:
    ball = learned((77, 0), (62, 4352), told=None)
    rest = (0, SOCK - 4352, SOCK)
    at = next_weighing(ball, rest, 2, known=True)
    assert at is not None
    assert at > 4352 + 8 / ball.use.mean - 1
    grams, sd = ball.over(rest, 2)
    shift = ball.shift(at - 4352, sum(rest))
    assert (
        norm.cdf(-abs(grams - 0) / shift) > 0.1 or norm.cdf(-abs(grams - 1.645 * sd) / shift) > 0.05
    )


def test_what_a_weight_may_change_is_what_it_teaches() -> None:
    """The law of total variance: doubt before is doubt after and what the weight may move."""
    ball = learned((77, 0), (62, 4352), told=None)
    rest, more = 12_000, 4000
    before = ball.over((rest,), 0)[1] ** 2 - (FABRIC * ball.use.mean * rest) ** 2
    fabric = (FABRIC * ball.use.mean * more) ** 2
    after = ball.weighed(ball.at(4352 + more), 4352 + more)
    left = after.over((rest - more,), 0)[1] ** 2 - (FABRIC * after.use.mean * (rest - more)) ** 2
    assert ball.shift(more, rest) ** 2 == pytest.approx(before + fabric - left)
