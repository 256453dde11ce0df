"""Length learned from the tape: how long the fabric is now, and how many rounds reach the goal.

The height of a round of cuff, leg and foot and the depth of the heel are believed to be jointly
normal; each reading sharpens that belief by one closed-form step. All lengths are millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import floor, hypot, inf, isfinite, sqrt
from typing import TYPE_CHECKING, Literal

from tracker.pattern.model import CUFF_ROW_FACTOR
from tracker.pattern.scores import AT_95
from tracker.records import NamedTuple
from tracker.units import whole

if TYPE_CHECKING:
    from tracker.pattern.model import Mark

Fabric = Literal["cuff", "leg", "foot"]

VARIATION = {"round swatch": 0.055, "flat swatch": 0.08, "ball band": 0.12}
"""How far a row gauge may be off (sd as a share), by what it was taken from.

Common practice, no source; so are the other constants here.
"""
UNKNOWN = "tape"
"""The source of a gauge that nothing but tape readings have told."""
UNKNOWN_VARIATION = 1.0
"""How far such a gauge may be off: so far that only the readings count."""
CUFF_VARIATION = 0.07
LIKENESS = 0.5
"""Correlation between the fabrics of one knitter; the heel's depth goes with none."""
HEEL_SD = 6.0
"""Millimetres by which the depth of a heel may differ from its rows' height."""
DRIFT = 0.02
"""How far the rounds still to come may differ from those measured, as a share of the swatch."""
DRIFT_OTHER_NEEDLES = 0.04
"""The same once the needles were changed, and no tape was laid since (common practice, no source)."""
SOCK_TO_SOCK = 0.025
"""How far the second sock of a pair may differ from the first, as a share."""
READING_SD: dict[Mark, float] = {"cast-on": 2.5, "cuff": 2.5, "heel": 3.5, "section": 2.5}
"""Millimetres (sd) of a careful reading, by the mark it is taken from."""
OUTLIER = 3.0
"""Standard deviations beyond which a reading is not believed without asking."""
FIRST_READING = 20
"""Rounds below which a first reading tells hardly more than the swatch."""
CLOSE_ENOUGH = 2.0
"""Rounds between the 5 and the 95 % point at which measuring again is not worth it."""

_CORRELATION = (
    (1.0, LIKENESS, LIKENESS, 0.0),
    (LIKENESS, 1.0, LIKENESS, 0.0),
    (LIKENESS, LIKENESS, 1.0, 0.0),
    (0.0, 0.0, 0.0, 1.0),
)
_UNSPREAD = ((0.0,) * 4,) * 4


class Counts(NamedTuple):
    """What lies between two marks: rounds of each fabric, and the heel (0 or 1 times)."""

    cuff: float = 0
    leg: float = 0
    foot: float = 0
    heel: float = 0


def together(one: Counts, other: Counts) -> Counts:
    """What lies between two marks and between two more, in one."""
    return Counts(*(a + b for a, b in zip(one, other, strict=True)))


class Heights(NamedTuple):
    """Millimetres to a round of each fabric, and the depth of the heel."""

    cuff: float
    leg: float
    foot: float
    heel: float


class Belief(NamedTuple):
    """What is known of the heights: their mean and covariance (mm, mm²), in that order.

    `swatch` are the heights before any reading, against which drift is reckoned.
    """

    mean: Heights
    spread: tuple[tuple[float, ...], ...]
    swatch: Heights


class Reading(NamedTuple):
    """The tape says `mm` for `counts`, with a standard deviation of `sigma` mm.

    `accepted` is true where she has said that a reading out of line is right all the same, `void`
    where she has said that it is to be left out.
    """

    mm: float
    counts: Counts
    sigma: float
    accepted: bool = False
    void: bool = False


class Learned(NamedTuple):
    """The belief after some readings, and for each of them whether it counts."""

    belief: Belief
    counted: tuple[bool, ...]


class Reach(NamedTuple):
    """Rounds of the growing fabric, in all and unrounded, at 5, 50 and 95 %.

    `low` and `high` are None together, where nothing can be said before the tape is used.
    """

    low: float | None
    likely: float
    high: float | None


def prior(
    rows_per_100mm: float,
    source: str,
    *,
    heel_mm: float,
    cuff_factor: float = CUFF_ROW_FACTOR,
    leg_factor: float = 1.0,
) -> Belief:
    """The belief before any reading, from the row gauge and the heel's depth as planned.

    `source` is one of VARIATION, or UNKNOWN; any other is trusted as little as a ball band. Both
    `rows_per_100mm` and the factors (rounds of cuff and leg to those of the swatch) must be above 0,
    else ValueError.
    """
    if not (rows_per_100mm > 0 and cuff_factor > 0 and leg_factor > 0):
        raise ValueError(f"{rows_per_100mm:g} rounds to 100 mm is not a gauge; write it above 0")
    height = 100 / rows_per_100mm
    mean = Heights(height / cuff_factor, height / leg_factor, height, heel_mm)
    variation = VARIATION.get(source, VARIATION["ball band"])
    cuff = CUFF_VARIATION
    if source == UNKNOWN:
        variation = cuff = UNKNOWN_VARIATION
    sds = (cuff * mean.cuff, variation * mean.leg, variation * height, HEEL_SD)
    return Belief(mean, _added(_UNSPREAD, sds), mean)


def loosened(belief: Belief, share: float = SOCK_TO_SOCK) -> Belief:
    """`belief` with each fabric freer by `share` of its height: what sock two inherits."""
    sds = (*(share * height for height in belief.mean[:3]), 0.0)
    return belief._replace(spread=_added(belief.spread, sds))


def reading_sigma(mark: Mark, rough: bool = False, step_mm: float = 0.0) -> float:
    """The standard deviation (mm) of a reading from `mark`, doubled if `rough`.

    `step_mm` is the grain of the number given: a value rounded to steps s has an error of
    variance s²/12 besides (the uniform distribution).
    """
    return hypot(READING_SD[mark] * (2 if rough else 1), step_mm / sqrt(12))


def learn(belief: Belief, counts: Counts, mm: float, sigma: float) -> Belief:
    """`belief` after one reading of `mm`: the sequential step of linear least squares.

    A reading of no rounds teaches nothing, and neither does one past reckoning.
    """
    pull = _pull(belief, counts)
    variance = _dot(counts, pull) + sigma * sigma
    if not 0 < variance < inf:
        return belief
    rest = mm - _dot(counts, belief.mean)
    mean = Heights(*(m + p * rest / variance for m, p in zip(belief.mean, pull, strict=True)))
    spread = tuple(
        tuple(cell - p * q / variance for cell, q in zip(row, pull, strict=True))
        for row, p in zip(belief.spread, pull, strict=True)
    )
    return belief._replace(mean=mean, spread=spread)


def surprise(belief: Belief, counts: Counts, mm: float, sigma: float) -> float:
    """By how many standard deviations `mm` is longer than expected (below 0: shorter)."""
    deviation = hypot(length(belief, counts)[1], sigma)
    return (mm - _dot(counts, belief.mean)) / deviation if deviation else 0.0


def is_outlier(belief: Belief, reading: Reading) -> bool:
    """Whether `reading` is too far off to be taken without asking (so is one past reckoning)."""
    score = surprise(belief, reading.counts, reading.mm, reading.sigma)
    return not abs(score) <= OUTLIER


def merged(readings: Sequence[Reading]) -> Reading:
    """Readings (one or more) of the same counts as one: their mean.

    Two readings of one piece share the way it lies, so the mean is trusted no more than each:
    its sigma is the mean of theirs.
    """
    share = 1 / len(readings)
    return Reading(
        sum(reading.mm * share for reading in readings),
        readings[0].counts,
        sum(reading.sigma * share for reading in readings),
        any(reading.accepted for reading in readings),
    )


def fold(belief: Belief, readings: Iterable[Reading]) -> Learned:
    """`belief` after all `readings`, in the order they were made.

    Those at the same counts are taken as one. A reading out of line, or shorter than an earlier one
    that counts, is left out until it is accepted; then it is believed with three times its sigma, and
    the fabric may have drifted.
    """
    given = tuple(readings)
    counted = [False] * len(given)
    for places in _alike(given):
        shorter = {n for n in places if shorter_than(given, counted, n) is not None}
        taken = [n for n in places if _counts(belief, given[n], n in shorter)]
        if not taken:
            continue
        for place in taken:
            counted[place] = True
        belief = _absorbed(belief, merged([given[n] for n in taken]), not shorter.isdisjoint(taken))
    return Learned(belief, tuple(counted))


def shorter_than(readings: Sequence[Reading], counted: Sequence[bool], at: int) -> int | None:
    """The place of the longest earlier reading that counts and is longer than that `at` a place.

    Of those that lie within it: the later one has all of their rounds, and some more.
    """
    here = readings[at]
    longer = [
        n
        for n in range(at)
        if counted[n] and readings[n].mm > here.mm and _within(readings[n].counts, here.counts)
    ]
    return max(longer, key=lambda n: readings[n].mm, default=None)


def _counts(belief: Belief, reading: Reading, shorter: bool) -> bool:
    odd = shorter or is_outlier(belief, reading)
    return not reading.void and (reading.accepted or not odd)


def _within(less: Counts, more: Counts) -> bool:
    return less != more and all(a <= b for a, b in zip(less, more, strict=True))


def length(belief: Belief, counts: Counts) -> tuple[float, float]:
    """How long `counts` are: mean and standard deviation (mm), without drift."""
    variance = _dot(counts, _pull(belief, counts))
    return _dot(counts, belief.mean), sqrt(max(0.0, variance))


def ending(
    belief: Belief,
    counts: Counts,
    growing: Fabric,
    measured_at: float = 0.0,
    drift: float | None = None,
) -> tuple[float, float]:
    """The lengths (mm, 5 and 95 %) that `counts` will have once they are knitted.

    Unlike in `length`, the rounds of `growing` beyond `measured_at` may drift by such a share, DRIFT if none
    is named.
    """
    mean, sd = length(belief, counts)
    ahead = getattr(counts, growing) - measured_at
    reach = AT_95 * hypot(sd, ahead * _drift(belief, growing, drift))
    return mean - reach, mean + reach


def rounds_to(
    belief: Belief,
    fixed: Counts,
    growing: Fabric,
    target_mm: float,
    measured_at: float = 0.0,
    drift: float | None = None,
) -> Reach:
    """How many rounds of `growing`, on top of `fixed`, make `target_mm`.

    `fixed` may hold rounds of the growing fabric too, which are not in the answer: the toe
    that follows a foot. `measured_at` are the rounds of `growing` at its last reading (0 if
    none); those beyond it, the toe's among them, may drift together, by a share `drift` of the
    swatch (none named: DRIFT).

    n rounds have a length of mean a + n m and variance v(n); the quantile at a normal score z
    solves (a + n m - target)² = z² v(n), a quadratic in n. It is solved about the likely n,
    where its roots are on either side and none is lost to rounding.
    """
    height: float = getattr(belief.mean, growing)
    already: float = getattr(fixed, growing)
    likely = (target_mm - _dot(fixed, belief.mean)) / height if height > 0 else inf
    if not isfinite(likely):
        return Reach(None, measured_at, None)
    one = Counts()._replace(**{growing: 1})
    there = fixed._replace(**{growing: already + likely})
    slack = _pull(belief, one)
    ahead = already + likely - measured_at
    drifts = _drift(belief, growing, drift)
    steepness = height * height - AT_95 * AT_95 * (_dot(one, slack) + drifts * drifts)
    if not steepness > 0:
        return Reach(None, likely, None)
    sd = hypot(length(belief, there)[1], ahead * drifts)
    tilt = AT_95 * AT_95 * (_dot(there, slack) + ahead * drifts * drifts)
    root = hypot(tilt, AT_95 * sd * sqrt(steepness))
    low, high = likely + (tilt - root) / steepness, likely + (tilt + root) / steepness
    return Reach(low, likely, high) if isfinite(low + high) else Reach(None, likely, None)


def measure_at(reach: Reach, measured_at: float = 0.0) -> int | None:
    """The round of the growing fabric at which to use the tape next; None: no more.

    A first reading is worth while a third of the way along (the nearest whole round), but not
    before FIRST_READING. A further one comes at the last round that is unlikely to be past the
    goal, and a first one no later than that. Common practice, no source.
    """
    first = max(FIRST_READING, whole(reach.likely / 3))
    if reach.low is None or reach.high is None:
        return first if first > measured_at + 1 else None
    due = floor(reach.low)
    if reach.high - reach.low <= CLOSE_ENOUGH or due <= measured_at + 1:
        return None
    return due if measured_at > 0 else min(first, due)


def _dot(one: Iterable[float], other: Iterable[float]) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


def _pull(belief: Belief, counts: Counts) -> tuple[float, ...]:
    """The covariance of each height with the length of `counts`."""
    return tuple(_dot(row, counts) for row in belief.spread)


def _drift(belief: Belief, growing: Fabric, share: float | None) -> float:
    height: float = getattr(belief.swatch, growing)
    return (DRIFT if share is None else share) * height


def _added(
    spread: Sequence[Sequence[float]], sds: Sequence[float]
) -> tuple[tuple[float, ...], ...]:
    """`spread` plus the covariance of fabrics, and a heel, with these sds."""
    return tuple(
        tuple(
            cell + correlation * sd * other
            for cell, correlation, other in zip(cells, correlations, sds, strict=True)
        )
        for cells, correlations, sd in zip(spread, _CORRELATION, sds, strict=True)
    )


def _alike(readings: Sequence[Reading]) -> Iterable[list[int]]:
    """The places of readings with equal counts, in the order the counts first came."""
    groups: dict[Counts, list[int]] = {}
    for place, reading in enumerate(readings):
        groups.setdefault(reading.counts, []).append(place)
    return groups.values()


def _absorbed(belief: Belief, reading: Reading, shorter: bool) -> Belief:
    sigma = reading.sigma
    if shorter or (reading.accepted and is_outlier(belief, reading)):
        belief, sigma = loosened(belief, DRIFT), 3 * sigma
    return learn(belief, reading.counts, reading.mm, sigma)
