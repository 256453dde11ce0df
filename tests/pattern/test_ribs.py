"""A rib is known by its rounds: in one of them alone it is written as moss stitch is."""

from __future__ import annotations

import pytest

from tracker.pattern.model import Needle, Row, Side
from tracker.pattern.ribs import knits_on_knits


def rounds(stitches: int, *works: tuple[str, int], side: Side | None = None) -> list[Row]:
    """Rounds on one needle: the work of each, and the stitches it leaves."""
    rows = list[Row]()
    for number, (work, leaves) in enumerate(works, start=1):
        needle = Needle("N2", work, leaves, leaves, False)
        rows.append(Row(number, side, (needle,), leaves, leaves, (stitches,), ""))
        stitches = leaves
    return rows


RIB = "k1, ssk, {}, k2tog, k1"


@pytest.mark.parametrize(
    ("works", "told"),
    [
        ([(RIB.format("[k2, p2] 4 times, k2"), 22), ("k2, [k2, p2] 4 times, k2, k2", 22)], True),
        ([(RIB.format("[k1, p1] 9 times"), 22), ("k2, [k1, p1] 9 times, k2", 22)], True),
        ([(RIB.format("[k1, p1] 9 times"), 22), ("k2, [p1, k1] 9 times, k2", 22)], False),
        ([(RIB.format("[k1 tbl, p1] 9 times"), 22), ("k2, [k1, p1] 9 times, k2", 22)], True),
        (
            [("k2, [k5, p3] 2 times, p4, k2", 24), (RIB.format("p3, [k5, p3] 2 times, k2"), 22)],
            False,
        ),
        ([(RIB.format("[k1, p1] 9 times"), 22), ("k", 22)], False),
        ([(RIB.format("[k1, p1] 9 times"), 22), ("k2, [k1, p1] 8 times, k2", 20)], False),
        ([(RIB.format("[k1, p1] 9 times"), 22), ("[k1, p1] 12 times", 24)], False),
        ([(RIB.format("[k1, p1] 9 times"), 22)], False),
    ],
)
def test_knits_stand_on_knits(works: list[tuple[str, int]], told: bool) -> None:
    assert knits_on_knits(rounds(24, *works), 0) == told


def test_of_rows_to_and_fro_and_of_a_needle_that_is_not_there_nothing_is_known() -> None:
    works = [("[k2, p2] 6 times", 24)] * 3
    assert knits_on_knits(rounds(24, *works), 0)
    assert not knits_on_knits(rounds(24, *works, side="RS"), 0)
    assert not knits_on_knits(rounds(24, *works), 1)
