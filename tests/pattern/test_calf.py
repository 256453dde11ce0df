"""A leg much wider than the foot narrows at the centre back, well above the heel.

Common practice, no source, where no other is named.
"""

from __future__ import annotations

import os
from itertools import pairwise, product
from typing import Any

import pytest

from tests.pattern.making import computed, section, sock, written
from tracker.pattern import calf
from tracker.pattern.audit import audit, knitted
from tracker.pattern.mirror import document, mirrored
from tracker.pattern.model import Section
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern

WIDE: dict[str, Any] = {"foot.ankle": "28 cm", "leg.length": None, "leg.rounds": 72}
"""76 stitches fit the leg and 64 the foot; the last 21 rounds are 5 cm."""
SETS = ("five", "four", "two circulars", "long circular", "short circular")


def narrowing(leg: Section) -> list[int]:
    return [row.number for row in leg.rows if row.word == "DEC"]


def test_76_to_64_over_51_rounds() -> None:
    assert calf.decrease_rounds(6, 51) == (8, 17, 25, 34, 42, 51)
    assert calf.straight(100 / 42) == 21


@pytest.mark.parametrize("needles", SETS)
def test_76_to_64_on_every_set(needles: str) -> None:
    made = sock(WIDE | {"needles.set": needles})
    assert made.numbers.cast_on == section(made, "cuff").rows[0].leaves == 76
    leg = section(made, "leg")
    assert narrowing(leg) == [8, 17, 25, 34, 42, 51]
    assert [leg.rows[at].leaves for at in (6, 7, 49, 50, 71)] == [76, 74, 66, 64, 64]
    assert made.numbers.heel_stitches == 32


@pytest.mark.parametrize(
    ("needles", "told"),
    [
        ("five", "k1, k2tog, k to end | k | k | k to last 3, ssk, k1 = 23/16/16/19"),
        ("four", "k1, k2tog, k to end | k | k to last 3, ssk, k1 = 21/32/21"),
        ("two circulars", "k | k to last 25, ssk, k2, k2tog, k to end = 32/42"),
        ("short circular", "k1, k2tog, k to last 3, ssk, k1 = 74"),
    ],
)
def test_the_first_decrease_round(needles: str, told: str) -> None:
    assert written(section(sock(WIDE | {"needles.set": needles}), "leg").rows[7]) == told


def test_an_open_leg_goes_on_plainly_after_its_decreases() -> None:
    leg = section(sock({"foot.ankle": "28 cm", "leg.length": "22 cm"}), "leg")
    assert leg.goal is not None
    assert (leg.lead_in, leg.planned) == (narrowing(leg)[-1], 71)
    assert leg.row(90).leaves == 64


@pytest.mark.parametrize(("ankle", "shaped"), [("26.4 cm", False), ("26.5 cm", True)])
def test_from_an_eighth_wider_on(ankle: str, shaped: bool) -> None:
    """1.12 times a foot of 23.6 cm is 26.43 cm."""
    leg = section(sock({"foot.ankle": ankle, "leg.length": "22 cm"}), "leg")
    assert bool(narrowing(leg)) is shaped


def test_a_low_calf_is_up_to_a_third_wider_than_the_foot() -> None:
    """Rhyflower Knits, Achieving Proper Fit: Socks: 1.30 at the most; a leg of 18 cm has room."""
    leg = section(sock({"foot.ankle": f"{236 * 1.3:.0f} mm", "leg.length": "18 cm"}), "leg")
    apart = [then - now for now, then in pairwise((0, *narrowing(leg)))]
    assert min(apart) >= 2


def test_what_is_said() -> None:
    (note,) = (note for note in computed(WIDE).notes if "leg" in note)
    assert note == (
        "A leg of 28 cm is much wider than the foot: it begins with 76 stitches, and goes to 64 at the "
        "centre back, 2 in each of the leg rounds 8, 17, 25, 34, 42 and 51. The foot has 64 stitches. "
        "For a straight leg write leg.stitches = 64."
    )
    straight = computed(WIDE | {"leg.stitches": 64})
    assert straight.document["numbers"]["cast_on"] == 64
    assert any("straight on the 64 stitches of leg.stitches" in note for note in straight.notes)


def test_a_ribbed_leg_is_not_shaped() -> None:
    made = computed(WIDE | {"leg.fabric": "rib"})
    assert made.document["numbers"]["cast_on"] == 64
    assert any("in rib it is knitted straight on 64 stitches" in note for note in made.notes)


@pytest.mark.parametrize(
    ("given", "field", "instead"),
    [
        ({"leg.length": "12 cm"}, "leg.length", {"leg.length": "12.8 cm"}),
        ({"leg.length": "12 cm"}, "leg.length", {"leg.stitches": 64}),
        ({"leg.length": None, "leg.rounds": 20}, "leg.rounds", {"leg.rounds": 33}),
    ],
)
def test_a_leg_too_short_says_what_works(
    given: dict[str, Any], field: str, instead: dict[str, Any]
) -> None:
    plan = {"foot.ankle": "28 cm", **given}
    with pytest.raises(WillNotWork) as bad:
        computed(plan)
    (value,) = instead.values()
    assert bad.value.field == field
    assert str(value) in bad.value.why
    assert audit(computed(plan | instead).document) == ()


@pytest.mark.parametrize("needles", SETS)
@pytest.mark.parametrize("stitches", [15, 12])
def test_a_leg_of_a_few_stitches(needles: str, stitches: int) -> None:
    """Where whole ribs would leave too few on the needle with the centre back, the halves are kept."""
    made = computed(
        {
            "foot.circumference": "101 mm", "foot.length": "23 cm", "gauge.stitches": stitches,
            "gauge.rows": 21, "needles.set": needles, "leg.length": "40 cm", "heel.stitches": 6,
            "foot.ankle": "172 mm",
        }
    )  # fmt: skip
    assert audit(made.document) == ()


RIBS = ("k1p1", "k2p2", "k3p1", "k2p1")
ALL = list(product(range(150, 290, 7), (1.13, 1.2, 1.3, 1.6), RIBS, SETS))
SLICE = ALL if os.environ.get("SWEEP") in ("pairs", "all") else ALL[::97]


def test_every_calf_is_knitted_by_the_loom() -> None:
    """The last decrease is 5 cm above the heel, two rounds lie between two at least, on both socks."""
    for around, wider, rib, needles in SLICE:
        made = computed(
            {
                "foot.circumference": f"{around} mm", "foot.ankle": f"{around * wider:.0f} mm",
                "cuff.rib": rib, "needles.set": needles, "leg.length": "40 cm", "foot.length": "34 cm",
            }
        )  # fmt: skip
        pattern = read_pattern(made.document, "")
        assert audit(made.document) == ()
        rows = [row for part in pattern.sections for row in part.rows]
        assert [row.worked for row in rows] == [row.made for row in knitted(made.document)]
        leg = section(pattern, "leg")
        rounds = narrowing(leg)
        assert (leg.planned - rounds[-1]) / 0.42 >= 50
        assert min(then - now for now, then in pairwise((0, *rounds))) >= 2
        assert {sum(row.before) - row.leaves for row in leg.rows} == {0, 2}
        two = mirrored(pattern)
        assert audit(document(made.document, pattern, two)) == ()
        assert [row.leaves for row in section(two, "leg").rows] == [row.leaves for row in leg.rows]
