"""Simulated legs: how often the forecast is right, and how good the socks become.

Run it: python -m tests.benchmarks.legs [--legs 6000] [--seed 1]
A knitter's height of a round is drawn from the belief before any reading, her tape errs as it is
said to, and after her last reading the height drifts once more. Truth is the unrounded round at
which the leg is as long as it should be; the interval is the unrounded one. Coverage is counted
after none, one, two, three and more readings, each for itself. Then the same with faults that no
belief knows of. It ends with 1 where a bound is missed.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from math import sqrt
from random import Random
from typing import NamedTuple

from tracker.forecast.length import (
    DRIFT,
    VARIATION,
    Belief,
    Counts,
    Reach,
    Reading,
    fold,
    measure_at,
    prior,
    reading_sigma,
    rounds_to,
)

ROWS = 42.0
"""Rounds to 100 mm of the swatch."""
HEIGHT = 100 / ROWS
SHORTEST, LONGEST = 100.0, 210.0
"""Millimetres of the legs."""
MOST_READINGS = 5
LATER = "3+"
WITHIN_MM = 5.0
GAUGE_RISES, GRAIN_MM, WRONG_ONE_IN, WRONG_MM = 0.04, 5.0, 20, 10.0
"""Faults: the gauge rises so far over a leg, readings are rounded, and some are a slip."""


class Bound(NamedTuple):
    """A figure that was found, and between what it must lie."""

    name: str
    found: float
    low: float
    high: float

    @property
    def holds(self) -> bool:
        """Whether it lies there."""
        return self.low <= self.found <= self.high

    def line(self) -> str:
        """For people."""
        bounds = f"{self.low:g} to {self.high:g}" if self.high < 1e9 else f"at least {self.low:g}"
        return f"{'    ' if self.holds else 'NOT '}{self.name:<58} {self.found:7.3f}   ({bounds})"


class Leg(NamedTuple):
    """One knitter's leg: its goal, her height of a round (mm), and what it drifts by after a reading.

    `rising` is the share by which her gauge rises, steadily, until the goal.
    """

    goal: float
    height: float
    drift: float
    rising: float = 0.0

    def length(self, rounds: float, read_at: float) -> float:
        """How long it truly is after so many rounds, the last reading being at `read_at`."""
        grown = self.height * rounds * (1 - self.rising * rounds * HEIGHT / self.goal / 2)
        return grown + self.drift * max(0.0, rounds - read_at)

    def crossing(self, read_at: float) -> float:
        """The unrounded round at which it is as long as it should be, by halving."""
        low, high = 0.0, 4 * self.goal / HEIGHT
        for _ in range(60):
            middle = (low + high) / 2
            if self.length(middle, read_at) < self.goal:
                low = middle
            else:
                high = middle
        return high


class Tape(NamedTuple):
    """How a knitter reads: the standard deviation of her readings (mm), their grain, how many are slips."""

    sd: float = 2.5
    grain: float = 0.0
    wrong: float = 0.0

    def read(self, random: Random, leg: Leg, rounds: int, *, again: bool = False) -> Reading:
        """A reading after so many rounds; a slip is not made twice."""
        mm = leg.length(rounds, rounds) + random.gauss(0, self.sd)
        if not again and random.random() < self.wrong:
            mm += random.choice((-WRONG_MM, WRONG_MM))
        if self.grain:
            mm = self.grain * int(mm / self.grain + 0.5)
        return Reading(
            max(mm, 0.1), Counts(leg=rounds), reading_sigma("cast-on", step_mm=self.grain)
        )


def drawn(random: Random, source: str = "round swatch", rising: float = 0.0) -> Leg:
    """A leg as the belief before any reading expects it; with `rising` the gauge rises and drifts not."""
    return Leg(
        random.uniform(SHORTEST, LONGEST),
        max(0.2 * HEIGHT, random.gauss(HEIGHT, VARIATION[source] * HEIGHT)),
        0.0 if rising else random.gauss(0, DRIFT * HEIGHT),
        rising,
    )


def before(source: str = "round swatch") -> Belief:
    """The belief before any reading."""
    return prior(ROWS, source, heel_mm=0.0)


def stages(
    random: Random, leg: Leg, tape: Tape, source: str = "round swatch"
) -> Iterator[tuple[int, int, Reach]]:
    """(readings, the round of the last of them, what is believed of the goal), stage by stage.

    She measures when it is suggested; where nothing is, somewhere before the goal all the same, so
    that later stages are counted, too. A reading that does not count is made once more.
    """
    belief, readings, read_at = before(source), list[Reading](), 0
    for taken in range(MOST_READINGS + 1):
        reach = rounds_to(belief, Counts(), "leg", leg.goal, read_at)
        yield taken, read_at, reach
        due = measure_at(reach, read_at) or random.randint(read_at, max(read_at, int(reach.likely)))
        if due <= read_at:
            return
        read_at = due
        readings.append(tape.read(random, leg, read_at))
        learned = fold(before(source), readings)
        if not learned.counted[-1]:
            readings.append(tape.read(random, leg, read_at, again=True))
            learned = fold(before(source), readings)
        belief = learned.belief


def coverage(random: Random, legs: int, tape: Tape, rising: float = 0.0) -> dict[str, float]:
    """Of the 90 % intervals those that hold the truth, by how many readings were taken."""
    inside, counted = Counter[str](), Counter[str]()
    for _ in range(legs):
        leg = drawn(random, rising=rising)
        for taken, read_at, reach in stages(random, leg, tape):
            stage = str(taken) if taken < 3 else LATER
            counted[stage] += 1
            truth = leg.crossing(read_at)
            inside[stage] += reach.low is not None and reach.low <= truth <= (reach.high or 0)
    return {stage: inside[stage] / counted[stage] for stage in sorted(counted)}


def finished(random: Random, legs: int, tape: Tape) -> tuple[float, float]:
    """With the suggested readings alone: the share of legs within 5 mm, and readings a leg."""
    good = readings = 0
    for _ in range(legs):
        leg = drawn(random)
        belief, taken, read_at = before(), list[Reading](), 0
        while True:
            reach = rounds_to(belief, Counts(), "leg", leg.goal, read_at)
            due = measure_at(reach, read_at)
            if due is None:
                break
            read_at = due
            taken.append(tape.read(random, leg, read_at))
            belief = fold(before(), taken).belief
        end = max(read_at, int(reach.likely + 0.5))
        good += abs(leg.length(end, read_at) - leg.goal) <= WITHIN_MM
        readings += len(taken)
    return good / legs, readings / legs


def sharpened(random: Random, legs: int, source: str, share: float, goal: float = 150.0) -> float:
    """By how much one reading at a share of a leg divides the root mean square error of its round.

    One that is out of line is made once more, and then she says that it is right: it is.
    """
    squares: defaultdict[str, float] = defaultdict(float)
    at = int(share * goal / HEIGHT + 0.5)
    for _ in range(legs):
        leg = drawn(random, source)._replace(goal=goal)
        reading = Tape().read(random, leg, at)
        if not fold(before(source), [reading]).counted[0]:
            reading = Tape().read(random, leg, at)._replace(accepted=True)
        for name, readings, read_at in (("before", [], 0), ("after", [reading], at)):
            belief = fold(before(source), readings).belief
            likely = rounds_to(belief, Counts(), "leg", goal, read_at).likely
            squares[name] += (likely - leg.crossing(read_at)) ** 2
    return sqrt(squares["before"] / squares["after"])


def bounds(legs: int, seed: int, slack: Callable[[float], float]) -> Iterator[Bound]:
    """Every figure that must hold. `slack` widens a share's bounds by what so few legs may differ."""
    random = Random(seed)  # noqa: S311 - a seeded run
    for stage, found in coverage(random, legs, Tape()).items():
        wide = slack(0.9)
        yield Bound(f"90 % interval, {stage} readings", found, 0.87 - wide, 0.93 + wide)
    faulty = Tape(grain=GRAIN_MM, wrong=1 / WRONG_ONE_IN)
    for stage, found in coverage(random, legs, faulty, GAUGE_RISES).items():
        yield Bound(f"with faults together, {stage} readings", found, 0.8 - slack(0.8), 1.0)
    good, readings = finished(random, legs, Tape())
    yield Bound("finished within 5 mm, readings of 2.5 mm", good, 0.95 - slack(0.95), 1.0)
    yield Bound("readings a leg", readings, 0.0, 3.0)
    for source, share, least in (
        ("round swatch", 2 / 3, 2.0), ("round swatch", 1 / 3, 1.35), ("flat swatch", 1 / 3, 1.7),
        ("ball band", 1 / 3, 2.3),
    ):  # fmt: skip
        found = sharpened(random, legs, source, share)
        name = f"one reading at {share:.2f} of 150 mm, {source}: error divided by"
        yield Bound(name, found, least - least * slack(0.5), float("inf"))


def main() -> int:
    """Print every figure; 1 where one does not hold."""
    parser = argparse.ArgumentParser(description="Simulated legs against the forecast.")
    parser.add_argument("--legs", type=int, default=6_000)
    parser.add_argument("--seed", type=int, default=1)
    told = parser.parse_args()
    missed = 0
    for bound in bounds(told.legs, told.seed, lambda share: 0.0):
        print(bound.line(), flush=True)
        missed += not bound.holds
    random = Random(told.seed)  # noqa: S311 - a seeded run
    good, readings = finished(random, told.legs, Tape(sd=3.5))
    print(f"    readings of 3.5 mm: {good:.3f} within 5 mm, {readings:.2f} a leg (told, not asked)")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
