"""A small, seeded run of the simulated pairs; the full one is `python -m tests.benchmarks.pairs`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import sqrt

import pytest

from tests.benchmarks.pairs import bounds
from tracker.forecast import length, tension, unknown
from tracker.forecast.length import Belief, Reading
from tracker.pattern.model import Gauge

PAIRS, SEED = 60, 20_260_301


def slack(share: float) -> float:
    return 3 * sqrt(share * (1 - share) / PAIRS)


def missed() -> set[str]:
    return {bound.name for bound in bounds(PAIRS, SEED, slack) if not bound.holds}


def test_what_is_seen_at_the_needles_holds() -> None:
    assert missed() == set()


def _heel_shared_out(gauge_of: Callable[[Sequence[Reading], int], Gauge]) -> object:
    return lambda readings, heel_rows: gauge_of(readings, 0)


def _as_it_is(belief: Belief, share: float = 0.0) -> Belief:
    return belief


@pytest.mark.parametrize(
    ("room", "name", "value", "misses"),
    [
        (tension, "SURE", 0.2, "like socks told apart at 20"),
        (tension, "SURE", 5.0, "+6% found by mid-leg"),
        (length, "loosened", _as_it_is, "sock two before its tape: 90 % of its length"),
        (unknown, "_gauge_of", _heel_shared_out(unknown._gauge_of),
         "from the heel, no gauge, at 10, 20: rounds too late"),
    ],
)  # fmt: skip
def test_a_reckoning_that_is_wrong_misses_them(
    monkeypatch: pytest.MonkeyPatch, room: object, name: str, value: object, misses: str
) -> None:
    monkeypatch.setattr(room, name, value)
    assert misses in missed()
