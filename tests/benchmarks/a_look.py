"""How long a look takes, and how much more where the pair has yarn: in one colour, and in four.

Run it: python -m tests.benchmarks.a_look
Prints microseconds by the processor's own clock, the fastest of several tries each, in turn, so that
a busy machine does not count.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from time import process_time

from tests.forecast.test_ball import ball_of, weigh
from tests.forecast.test_balls_of_colours import striped
from tests.knitting.knitter import Knitter

TRIES, LOOKS = 15, 200


def no_yarn() -> Knitter:
    """In the leg, nothing told."""
    return _measured(Knitter())


def enough() -> Knitter:
    """In the leg, weighed, and enough for both."""
    knitter = _measured(ball_of(100))
    weigh(knitter, 90.5)
    return knitter


def short() -> Knitter:
    """In the leg, weighed, and too little: the ways out are reckoned, too."""
    knitter = _measured(ball_of(72))
    weigh(knitter, 62.5)
    return knitter


def four_colours() -> Knitter:
    """Stripes: every ball weighed, all enough."""
    return _by_colour(60, 30, 30, 15)


def four_colours_short() -> Knitter:
    """Stripes: every ball weighed, none enough."""
    return _by_colour(30, 8, 12, 3)


def _by_colour(*grams: float) -> Knitter:
    knitter = _measured(Knitter(striped()))
    for name, weight in zip(("navy", "cream", "rust", "grey"), grams, strict=True):
        knitter.do("weigh", grams=weight, text=f"{weight}", colour=name)
    return knitter


def _measured(knitter: Knitter) -> Knitter:
    knitter.to("leg", 20)
    knitter.do("measure", mm=98.0, text="9.8", step=0.0, rough=False)
    return knitter


CASES: tuple[Callable[[], Knitter], ...] = (
    no_yarn,
    enough,
    short,
    four_colours,
    four_colours_short,
)


def timed(cases: tuple[Callable[[], Knitter], ...] = CASES) -> dict[str, float]:
    """Microseconds of a look, by case."""
    knitters = {case.__name__: case() for case in cases}
    best = dict.fromkeys(knitters, float("inf"))
    gc.disable()
    try:
        for _ in range(TRIES):
            for name, knitter in knitters.items():
                start = process_time()
                for _ in range(LOOKS):
                    knitter.look()
                best[name] = min(best[name], (process_time() - start) / LOOKS * 1e6)
    finally:
        gc.enable()
    return best


if __name__ == "__main__":
    for name, microseconds in timed().items():
        print(f"{name.replace('_', ' '):>20} {microseconds:6.0f} microseconds")
