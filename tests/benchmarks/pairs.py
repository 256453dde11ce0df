"""Simulated pairs at the needles: feet from the heel, pairs without a gauge, and a second sock.

Run it: python -m tests.benchmarks.pairs [--pairs 400] [--seed 1]
Unlike the legs, which ask the reckoning alone, these are knitted act by act, and what is seen at the
needles is what counts. Heights of rounds and depths of heels are drawn as they are believed to
differ, the tape errs as it is said to. It ends with 1 where a bound is missed.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from random import Random
from typing import NamedTuple

from tests.benchmarks.legs import HEIGHT, Bound
from tests.knitting.knitter import Knitter, sock_of_64
from tracker.forecast.length import DRIFT, HEEL_SD, READING_SD, SOCK_TO_SOCK, VARIATION
from tracker.knitting.course import Course
from tracker.pattern.scores import AT_95

CUFF, GUSSET, TOE, FOOT_MM, HEEL_MM = 22, 19, 20, 232.75, 15 * HEIGHT
"""Rounds of the sample's cuff, gusset and toe, the goal of its foot, and the depth of its heel."""
CUFF_FACTOR = 1.05
LIKE = 3
"""How many times as many pairs of like socks are knitted: few of them are told apart."""


class Knit(NamedTuple):
    """A knitter's hand: millimetres to a round, and to her heel."""

    height: float
    heel: float

    def leg(self, row: int) -> float:
        """How long her leg is from the cast-on edge."""
        return (CUFF / CUFF_FACTOR + row) * self.height

    def foot(self, row: int) -> float:
        """How long her foot is from the heel."""
        return self.heel + (GUSSET + row) * self.height


def drawn(random: Random) -> Knit:
    """As the belief before any reading expects it."""
    variation = VARIATION["round swatch"]
    return Knit(HEIGHT * random.gauss(1, variation), random.gauss(HEEL_MM, HEEL_SD))


def feet(
    random: Random, pairs: int, rounds: tuple[int, ...], course: Course
) -> tuple[float, float]:
    """By how many rounds the end of a foot that is measured is taken too late; 90 % intervals that hold.

    The height drifts after the last reading.
    """
    late = held = 0.0
    for _ in range(pairs):
        hand = drawn(random)
        knitter = Knitter(course, pause=90_000)
        for row in rounds:
            knitter.to("foot", row)
            mm = hand.foot(row) + random.gauss(0, READING_SD["heel"])
            knitter.do("measure", mm=mm, step=0)
        done = rounds[-1]
        later = hand.height + random.gauss(0, DRIFT * HEIGHT)
        truth = (FOOT_MM - hand.foot(done) - TOE * later) / later
        found = knitter.look().length
        if found is None or found.goal_row is None or found.low is None or found.high is None:
            continue
        late += found.goal_row - done - truth
        held += found.low - 0.5 <= max(0.0, truth) <= found.high + 0.5
    return late / pairs, held / pairs


def seconds(
    random: Random, pairs: int, drift: float | None, rounds: tuple[int, ...] = (20, 24)
) -> tuple[float, float]:
    """Sock two after sock one's leg: the share told to differ after its readings; lengths at 20 that hold.

    `drift` is by how much sock two's rounds are higher; None: as they are believed to differ.
    """
    told = held = 0
    for _ in range(pairs):
        one = drawn(random)
        apart = random.gauss(0, SOCK_TO_SOCK) if drift is None else drift
        two = one._replace(height=one.height * (1 + apart))
        knitter = Knitter(pause=90_000)
        _measured(random, knitter, one, (24, 44))
        knitter.do("end")
        knitter.do("other")
        knitter.to("leg", 20)
        found = knitter.look().length
        if found is not None:
            held += abs(found.mm - two.leg(20)) <= AT_95 * found.sd_mm
        _measured(random, knitter, two, rounds)
        told += any(cue.about == "tension" for cue in knitter.look().cues)
    return told / pairs, held / pairs


def _measured(random: Random, knitter: Knitter, hand: Knit, rounds: tuple[int, ...]) -> None:
    for row in rounds:
        if knitter.place() != ("leg", row, 0):
            knitter.to("leg", row)
        mm = hand.leg(row) + random.gauss(0, READING_SD["cast-on"])
        knitter.do("measure", mm=mm, step=0)


def bounds(pairs: int, seed: int, slack: Callable[[float], float]) -> Iterator[Bound]:
    """Every figure that must hold. `slack` widens a share's bounds by what so few pairs may differ."""
    random = Random(seed)  # noqa: S311 - a seeded run
    swatch, none = sock_of_64(), Course(sock_of_64().pattern._replace(gauge=None))
    for name, course, rounds in (
        ("from the heel, by a swatch", swatch, (20,)),
        ("from the heel, by a swatch", swatch, (10, 30)),
        ("from the heel, no gauge", none, (10, 20)),
        ("from the heel, no gauge", none, (10, 20, 30)),
        ("from the heel, no gauge", none, (20, 40)),
    ):
        late, held = feet(random, pairs, rounds, course)
        at = ", ".join(map(str, rounds))
        most = 1.0 if course is none else 0.97 + slack(0.97)
        yield Bound(f"{name}, at {at}: 90 % interval", held, 0.85 - slack(0.85), most)
        yield Bound(f"{name}, at {at}: rounds too late", late, -1.0, 1.0)
    told, held = seconds(random, pairs, None)
    yield Bound("sock two before its tape: 90 % of its length", held, 0.85 - slack(0.85), 1.0)
    for row in (20, 24, 30):
        told, _ = seconds(random, LIKE * pairs, 0.0, (row,))
        yield Bound(f"like socks told apart at {row}", told, 0.0, 0.05 + slack(0.05))
    for drift in (0.06, 0.08, -0.06, -0.08):
        told, _ = seconds(random, pairs, drift)
        yield Bound(f"{drift:+.0%} found by mid-leg", told, 0.6 - slack(0.6), 1.0)


def main() -> int:
    """Print every figure; 1 where one does not hold."""
    parser = argparse.ArgumentParser(description="Simulated pairs against what is seen.")
    parser.add_argument("--pairs", type=int, default=400)
    parser.add_argument("--seed", type=int, default=1)
    told = parser.parse_args()
    missed = 0
    for bound in bounds(told.pairs, told.seed, lambda share: 0.0):
        print(bound.line(), flush=True)
        missed += not bound.holds
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
