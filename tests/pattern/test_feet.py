"""Toes for the left and the right foot: sock one's, and its mirror image on sock two.

Common practice, no source: the outer edge slopes about twice as much as the inner one.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pattern.making import computed, on_needles, section, sock, written
from tracker.pattern.audit import audit
from tracker.pattern.feet import NoMirror, of_sock_two, other_foot, turned
from tracker.pattern.mirror import document, mirrored
from tracker.pattern.model import Pattern
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern
from tracker.pattern.tables import BadSection
from tracker.pattern.toe import LEAST_SIDED, Sided, wedge

FEET: dict[str, Any] = {"toe.feet": "left and right"}


def both(given: dict[str, Any]) -> tuple[Pattern, Pattern]:
    """The patterns of sock one and sock two."""
    one = sock(FEET | given)
    return one, of_sock_two(one)


def toe(made: Pattern, first: int = 1, last: int = 99) -> list[str]:
    """The rounds of a toe as they are written."""
    return [written(row) for row in section(made, "toe").rows if first <= row.number <= last]


# The shape


@given(st.integers(LEAST_SIDED // 2, 66).map(lambda half: 2 * half))
def test_as_many_stitches_go_in_as_many_rounds_to_the_same_graft(stitches: int) -> None:
    """The inner edge is straight, then goes in as ever; the outer one is never behind it. From memory."""
    usual = wedge(stitches)
    shaped = Sided(usual)
    rounds = range(1, usual.rounds + 1)
    inner = [number for number in rounds if shaped.inner(number)]
    outer = [number for number in rounds if shaped.outer(number)]
    assert (len(inner), len(outer)) == shaped.taken
    assert 2 * (len(inner) + len(outer)) == stitches - usual.end
    assert 1 <= len(inner) < len(outer)
    assert set(inner) <= set(outer), "no round is narrowed at the inner edge alone"
    assert inner[0] == 2 * shaped.later + 1
    assert all(
        shaped.inner(number) == usual.decreases(number) for number in rounds if number >= inner[0]
    )
    gaps = [then - now for now, then in pairwise(outer)]
    assert gaps == sorted(gaps, reverse=True), "once it slopes every round it does so to the tip"


def test_the_outer_edge_of_a_sock_takes_twice_what_the_inner_one_takes() -> None:
    """From memory, no source."""
    taken = {stitches: Sided(wedge(stitches)).taken for stitches in (28, 48, 60, 64, 72)}
    assert taken == {28: (3, 7), 48: (6, 12), 60: (7, 15), 64: (8, 16), 72: (9, 17)}


def test_a_toe_of_64_on_a_set_of_five() -> None:
    one, two = both({})
    assert [there.name for there in one.sections[-4:]] == ["foot", "half sole", "toe", "graft"]
    assert written(one.sections[-3].rows[0]) == "RS: k |  |  |  = 16/16/16/16"
    assert toe(one, 7, 10) == [
        "k | k to last 3, k2tog, k1 | k1, ssk, k to end | k = 12/16/16/12",
        "k | k | k | k = 12/16/16/12",
        "k1, ssk, k to end | k to last 3, k2tog, k1 | k1, ssk, k to end | k to last 3, k2tog, k1"
        " = 11/15/15/11",
        "k | k to last 3, k2tog, k1 | k1, ssk, k to end | k = 11/14/14/11",
    ]
    assert toe(two, 7, 10) == [
        "k1, ssk, k to end | k | k | k to last 3, k2tog, k1 = 16/12/12/16",
        "k | k | k | k = 16/12/12/16",
        "k1, ssk, k to end | k to last 3, k2tog, k1 | k1, ssk, k to end | k to last 3, k2tog, k1"
        " = 15/11/11/15",
        "k1, ssk, k to end | k | k | k to last 3, k2tog, k1 = 14/11/11/14",
    ]
    assert (section(one, "toe").starts, section(two, "toe").starts) == (
        (12, 20, 20, 12),
        (20, 12, 12, 20),
    )
    assert (
        on_needles(section(one, "toe").rows[-1])
        == on_needles(section(two, "toe").rows[-1])
        == "4/4/4/4"
    )


def test_on_a_set_of_four_the_instep_is_one_needle() -> None:
    one, two = both({"needles.set": "four"})
    assert toe(one, 10, 10) == ["k to last 3, k2tog, k1 | k1, ssk, k to end | k = 25/14/11"]
    assert toe(two, 10, 10) == ["k1, ssk, k to end | k | k to last 3, k2tog, k1 = 25/11/14"]


@pytest.mark.parametrize("needles", ["two circulars", "long circular"])
def test_on_circulars_rounds_begin_at_the_side_already(needles: str) -> None:
    one, two = both({"needles.set": needles})
    assert "half sole" not in [there.name for there in one.sections]
    assert toe(one, 10, 10) == ["k to last 3, k2tog, k1 | k1, ssk, k to end = 25/25"]
    assert toe(two, 10, 10) == ["k1, ssk, k to end | k to last 3, k2tog, k1 = 25/25"]


def test_an_odd_foot_has_its_set_up_round_mirrored_as_well() -> None:
    one, two = both({"leg.stitches": 63, "cuff.rib": "k1p1"})
    assert toe(one, 0, 0) == ["k | k to last 3, k2tog, k1 | k | k = 11/20/20/11"]
    assert toe(two, 0, 0) == ["k1, ssk, k to end | k | k | k = 20/11/11/20"]


def test_all_but_the_toe_is_alike_and_turned_twice_it_is_what_it_was() -> None:
    one, two = both({})
    assert [there for there in one.sections if there.kind != "toe"] == [
        there for there in two.sections if there.kind != "toe"
    ]
    assert other_foot(two) == one
    alike = sock()
    assert of_sock_two(alike) is alike


def test_the_counts_are_those_of_a_toe_for_either_foot() -> None:
    alike, shaped = sock().numbers, sock(FEET).numbers
    same = alike._replace(stitches_per_sock=shaped.stitches_per_sock)
    assert same == shaped


# Which foot


def test_the_big_toe_lies_where_the_instep_begins_on_the_left_foot_of_a_right_handed_knitter() -> (
    None
):
    """Seen from above the work goes clockwise, so along the instep it comes from the right; domain rule."""
    for hand, feet in (("right", ("left", "right")), ("left", ("right", "left"))):
        one, two = both({"hand": hand})
        assert (one.foot, two.foot) == feet
        assert toe(one) == toe(sock(FEET)), "the text is one for both hands"
    assert sock().foot == ""


# Beside the likeness of a pair


@pytest.mark.parametrize("needles", ["five", "four", "two circulars"])
def test_a_mirrored_pair_has_its_toe_turned_once(needles: str) -> None:
    given = {"needles.set": needles}
    one, two = both(given | {"pair.likeness": "mirrored"})
    assert toe(two) == toe(both(given)[1])
    made = computed(FEET | given | {"pair.likeness": "mirrored"})
    assert audit(document(made.document, one, two)) == ()


def test_cables_of_a_mirrored_pair_cross_the_other_way_beside_such_a_toe() -> None:
    made = by_hand("k | k | k | k", likeness="mirrored", leg="k | p2, C4F, p10 | k | k")
    two = of_sock_two(made)
    assert written(two.sections[0].rows[0]) == "k | k | p10, C4B, p2 | k = 16/16/16/16"
    assert mirrored(made).sections[1] == made.sections[1]


# By hand


def by_hand(*rows: str, likeness: str = "alike", leg: str = "k") -> Pattern:
    """A leg and a toe, written by hand."""
    tables = [
        {"name": "leg", "kind": "leg", "worked": "rounds", "needles": [16] * 4, "rows": [leg]},
        {"name": "toe", "kind": "toe", "worked": "rounds", "rows": list(rows)},
    ]
    pair = {"likeness": likeness}
    return read_pattern({"section": tables, "toe": {"feet": "left and right"}, "pair": pair}, "")


def test_rows_of_another_hand_are_worked_from_their_end() -> None:
    made = by_hand(
        "k | k to last 4, k2tog, k2 | k2, ssk, k to end | k", "k2, sk2p, p3, k to end | k | k | k"
    )
    assert toe(of_sock_two(made)) == [
        "k2, ssk, k12 | k | k | k12, k2tog, k2 = 15/16/16/15",
        "k | k8, p3, k3tog, k2 | k | k = 15/14/16/15",
    ]


def test_what_has_no_mirror_image_is_refused_with_its_row() -> None:
    with pytest.raises(BadSection, match="has no mirror image") as bad:
        by_hand("k", "k | k | k | BO 2, k to end")
    assert (bad.value.section, bad.value.row) == ("toe", 2)
    wide = sock()
    with pytest.raises(NoMirror, match="on two, three or four needles, in the round"):
        turned(section(wide, "cuff")._replace(rows=section(wide, "flap").rows))


def test_a_word_that_is_none_is_refused() -> None:
    with pytest.raises(
        BadSection, match='"both" is not how feet are shaped; write alike or left and right'
    ):
        read_pattern(
            {
                "section": [{"name": "leg", "worked": "rounds", "needles": [16], "rows": ["k"]}],
                "toe": {"feet": "both"},
            },
            "",
        )


# Refused with a way out


def test_a_foot_too_small_for_it_is_refused_with_numbers_that_work() -> None:
    small = {
        "leg.stitches": 14, "cuff.rib": "k1p1", "foot.length": "34 cm", "needles.set": "two circulars",
    }  # fmt: skip
    why = "a foot of 14 stitches has too few for a left and a right toe; .* at least 16 stitches"
    with pytest.raises(WillNotWork, match=why) as bad:
        computed(FEET | small)
    assert bad.value.field == "toe.feet"
    for instead in ({"toe.feet": "alike"}, {"foot.stitches": LEAST_SIDED}):
        assert audit(computed(FEET | small | instead).document) == ()
