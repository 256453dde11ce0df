"""What a sock may be made of: ribs, fabrics, flaps, turns, gussets and sets of needles, row by row.

All figures are common practice, no source, unless a check names one: written down from memory and
checked by knitting every row of them on single stitches.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import Knitter
from tests.pattern.making import computed, on_needles, section, sock, written
from tests.pattern.test_sock_tables import SOCKS, made, wrong_side_first
from tracker.knitting.course import Course
from tracker.pattern import heel
from tracker.pattern.fit import springs_back
from tracker.pattern.plan import WillNotWork


def refused(given: dict[str, Any]) -> WillNotWork:
    with pytest.raises(WillNotWork) as bad:
        sock(given)
    return bad.value


def said(given: dict[str, Any], part: str) -> str:
    (note,) = [note for note in computed(given).notes if part in note]
    return note


# Two circulars, or one long one in two loops: round from the side


@pytest.mark.parametrize("needles", ["two circulars", "long circular"])
@pytest.mark.parametrize(
    ("name", "stitches"), [("48", 5_246), ("60", 9_426), ("64", 10_476), ("72", 14_563)]
)
def test_a_whole_sock_from_the_side(name: str, stitches: int, needles: str) -> None:
    """The counts of a set of five, its halves on two needles; the cup and the instep are worked twice."""
    sides = made(name, needles)
    five = made(name, "five")
    assert sides.numbers._replace(stitches_per_sock=0) == five.numbers._replace(stitches_per_sock=0)
    assert sides.numbers.stitches_per_sock == stitches
    for kind, place in (("gusset", slice(1, 3)), ("toe", slice(1, 3))):
        for row, quarters in zip(section(sides, kind).rows, section(five, kind).rows, strict=True):
            on = [needle.leaves for needle in quarters.needles]
            assert on_needles(row) == f"{sum(on[place])}/{on[0] + on[-1]}"
    turn = [written(row) for row in section(sides, "turn").rows]
    assert turn == SOCKS[name]["turn"], "right side first"


def test_rows_of_the_64_stitch_sock_from_the_side() -> None:
    sides = made("64", "two circulars")
    assert [(part.kind, part.needles, part.starts) for part in sides.sections] == [
        ("cuff", ("A", "B"), (32, 32)), ("leg", ("A", "B"), (32, 32)),
        ("heel set-up", ("A", "B"), (32, 32)), ("flap", ("heel",), (32,)),
        ("turn", ("heel",), (32,)), ("other", ("heel",), (18,)),
        ("gusset", ("A", "B"), (32, 35)), ("foot", ("A", "B"), (32, 32)),
        ("toe", ("A", "B"), (32, 32)), ("graft", ("A", "B"), (8, 8)),
    ]  # fmt: skip
    assert written(section(sides, "heel set-up").rows[0]) == "RS: k |  = 32/32"
    assert written(section(sides, "flap").rows[0]) == "RS: [sl1, k1] 16 times, turn = 32"
    assert sides.sections[5].name == "first edge"
    assert written(sides.sections[5].rows[0]) == "RS: k18, pick up 17 = 35"
    gusset = section(sides, "gusset")
    assert written(gusset.rows[0]) == "k | pick up 17, k18, k17 tbl = 32/52"
    assert written(gusset.rows[1]) == "k | k1, ssk, k to last 3, k2tog, k1 = 32/50"
    both = "k1, ssk, k to last 3, k2tog, k1"
    assert written(section(sides, "toe").rows[0]) == f"{both} | {both} = 30/30"


# Ribs


@pytest.mark.parametrize(
    ("rib", "cast_on", "work"),
    [
        ("k1p1", 64, "*k1, p1; rep from * to end"),
        ("k2p2", 64, "*k2, p2; rep from * to end"),
        ("k3p1", 64, "*k3, p1; rep from * to end"),
        ("twisted k1p1", 64, "*k1 tbl, p1; rep from * to end"),
        ("twisted k2p2", 64, "*k2 tbl, p2; rep from * to end"),
    ],
)
def test_every_rib_is_written_as_it_is_said(rib: str, cast_on: int, work: str) -> None:
    cuff = section(sock({"cuff.rib": rib}), "cuff")
    assert cuff.rows[0].leaves == cast_on
    assert {needle.work for needle in cuff.rows[0].needles} == {work}
    assert {row.word for row in cuff.rows} == {"RIB"}


def test_a_rib_of_three_takes_a_multiple_of_six_and_begins_every_needle_alike() -> None:
    """66, for 60 is 5.8 in a hundred off the 63.72 of the measure."""
    cuff = section(sock({"cuff.rib": "k2p1"}), "cuff")
    assert cuff.starts == (18, 18, 15, 15)
    assert {needle.work for needle in cuff.rows[0].needles} == {"*k2, p1; rep from * to end"}


# A rib down the instep


@pytest.mark.parametrize(
    ("rib", "instep"),
    [("k2p2", 34), ("twisted k2p2", 34), ("k3p1", 31), ("k1p1", 33), ("twisted k1p1", 33)],
)
def test_a_rib_down_the_instep_of_64_mirrors(rib: str, instep: int) -> None:
    """64 in k2p2: 34 on the instep and 30 on the heel, for 32 would begin with two and end with none."""
    ribbed = sock({"cuff.rib": rib, "foot.fabric": "rib on the instep", "foot.length": "26 cm"})
    assert ribbed.numbers.instep_stitches == instep
    assert ribbed.numbers.heel_stitches == 64 - instep


def test_a_ribbed_leg_goes_on_down_the_instep_without_a_break() -> None:
    """The round begins inside a repeat, so that the instep begins with its knits from the cast-on."""
    ribbed = sock({"leg.fabric": "rib", "foot.fabric": "as the leg"})
    cuff, leg, foot = (section(ribbed, kind).rows[-1] for kind in ("cuff", "leg", "foot"))
    assert written(cuff) == (
        "k1, p2, [k2, p2] 3 times | [k2, p2] 4 times, k1 | k1, p2, [k2, p2] 3 times, k2"
        " | p2, [k2, p2] 3 times, k1 = 15/17/17/15"
    )
    assert written(leg) == written(cuff)
    assert [needle.work for needle in foot.needles[1:3]] == [
        needle.work for needle in leg.needles[1:3]
    ]
    assert {foot.needles[0].work, foot.needles[3].work} == {"k"}


def test_a_plain_leg_has_nothing_to_go_on_down_the_instep() -> None:
    assert sock({"foot.fabric": "as the leg"}) == sock()._replace(text="")


def test_a_heel_of_her_own_must_let_the_rib_mirror() -> None:
    given = {"foot.fabric": "rib on the instep", "heel.stitches": 32}
    bad = refused(given)
    assert bad.field == "heel.stitches"
    assert bad.why.endswith("write 30 or 34")
    for stitches in (30, 34):
        assert sock(given | {"heel.stitches": stitches}).numbers.heel_stitches == stitches


# Flaps


@pytest.mark.parametrize(
    ("flap", "stitches", "rows"),
    [
        ("slipped", 32, ["sl1, p31", "[sl1, k1] 16 times"]),
        ("plain", 32, ["sl1, p31", "sl1, k31"]),
        ("eye of partridge", 32,
         ["sl1, p31", "[sl1, k1] 16 times", "sl1, p31", "sl2, [k1, sl1] 14 times, k2"]),
        ("eye of partridge", 33,
         ["sl1, p32", "[sl1, k1] 16 times, k1", "sl1, p32", "sl2, [k1, sl1] 15 times, k1"]),
        ("garter edge", 32, ["sl1, k2, p26, k3", "sl1, k2, [sl1, k1] 13 times, k3"]),
        ("garter edge", 33, ["sl1, k2, p27, k3", "sl1, k2, [sl1, k1] 13 times, k1, k3"]),
        ("garter edge", 6, ["sl1, k2, k3", "sl1, k2, k3"]),
    ],
)  # fmt: skip
def test_flaps_as_they_are_written(flap: str, stitches: int, rows: list[str]) -> None:
    sides = ["WS", "RS"] * 2
    assert heel.flap(flap, stitches, "WS") == [
        f"{side}: {work}, turn = {stitches}" for side, work in zip(sides, rows, strict=False)
    ]
    turned = heel.flap(flap, stitches, "RS")
    assert [row[:2] for row in turned] == ["RS", "WS"] * (len(rows) // 2)
    assert sorted(turned) == sorted(heel.flap(flap, stitches, "WS"))


def test_a_flap_of_four_rows_may_stop_after_two() -> None:
    flap = section(sock({"heel.flap": "eye of partridge", "heel.rows": 34}), "flap")
    assert flap.planned == 34
    assert written(flap.rows[33]) == "RS: [sl1, k1] 16 times, turn = 32"


# The square turn


@pytest.mark.parametrize(
    ("stitches", "side", "centre", "first", "later"),
    [(24, 8, 8, 14, 6), (28, 9, 10, 17, 8), (30, 10, 10, 18, 8), (32, 11, 10, 19, 8),
     (33, 11, 11, 20, 9), (34, 11, 12, 21, 10), (36, 12, 12, 22, 10)],
)  # fmt: skip
def test_the_square_turn(stitches: int, side: int, centre: int, first: int, later: int) -> None:
    turn = heel.square_turn(stitches)
    assert (turn.side, turn.live, turn.rows) == (side, centre, 2 * side)
    rows = list(heel.turn_rows(turn, "RS"))
    assert rows[0] == f"RS: sl1, k{first}, ssk, turn = {stitches - 1}"
    for at, row in enumerate(rows[1:], start=2):
        knit, decrease, seen = ("k", "ssk", "RS") if at % 2 else ("p", "p2tog", "WS")
        assert row == f"{seen}: sl1, {knit}{later}, {decrease}, turn = {stitches - at}"
    assert rows[-1].endswith(f"= {centre}")
    assert list(heel.turn_rows(turn, "WS")) == wrong_side_first(rows)


def test_a_square_turn_has_no_centre_of_her_choice() -> None:
    bad = refused({"heel.turn": "square", "heel.centre": 5})
    assert bad.field == "heel.centre"
    assert 'leave 5 out, or write turn = "rounded"' in bad.why


def test_the_gusset_of_a_square_turn() -> None:
    """10 of the cup, 17 and 17 picked up, 32 of the instep: 76 come to 64 in six decrease rounds."""
    numbers = sock({"heel.turn": "square"}).numbers
    assert (numbers.heel_centre, numbers.turn_rows) == (10, 22)
    assert (numbers.after_pick_up, numbers.gusset_decrease_rounds, numbers.gusset_rounds) == (
        76,
        6,
        11,
    )


# The gusset


def test_plain_first_is_a_round_longer() -> None:
    usual, kind = sock(), sock({"heel.gusset": "plain first"})
    assert kind.numbers.gusset_rounds == usual.numbers.gusset_rounds + 1 == 20  # type: ignore[operator]
    words = [row.word for row in section(kind, "gusset").rows]
    assert words == ["PICK", *["PLAIN", "DEC"] * 10]


@pytest.mark.parametrize(
    ("chains", "starts", "first", "second", "rounds"),
    [
        # 17 + 1 and 16 + 1: one more single decrease beside the longer edge in the first round
        ("17/16", "27/16/16/26", "k to last 5, k2tog, k2tog, k1 | k | k | k1, ssk, k to end = 25/16/16/25",
         "k to last 3, k2tog, k1 | k | k | k1, ssk, k to end = 24/16/16/24", 19),
        # two more: the longer side twice, the shorter rests
        ("18/16", "28/16/16/26", "k to last 5, k2tog, k2tog, k1 | k | k | k = 26/16/16/26",
         "k to last 3, k2tog, k1 | k | k | k1, ssk, k to end = 25/16/16/25", 21),
        ("16/18", "26/16/16/28", "k | k | k | k1, ssk, ssk, k to end = 26/16/16/26",
         "k to last 3, k2tog, k1 | k | k | k1, ssk, k to end = 25/16/16/25", 21),
        ("16/19", "26/16/16/29", "k | k | k | k1, ssk, ssk, ssk, k to end = 26/16/16/26",
         "k to last 3, k2tog, k1 | k | k | k1, ssk, k to end = 25/16/16/25", 21),
    ],
)  # fmt: skip
def test_edges_picked_up_unevenly_are_evened_out(
    chains: str, starts: str, first: str, second: str, rounds: int
) -> None:
    gusset = section(sock({"heel.picked_up": chains}), "gusset")
    assert on_needles(gusset.rows[0]) == starts
    assert [written(gusset.rows[at]) for at in (1, 3)] == [first, second]
    assert gusset.planned == rounds
    assert on_needles(gusset.rows[-1]) == "16/16/16/16"


@pytest.mark.parametrize("chains", ["20/16", "16/20", "0/0", "16", "16/16/16", "a/b"])
def test_pick_ups_that_cannot_be_are_counted_again(chains: str) -> None:
    bad = refused({"heel.picked_up": chains})
    assert bad.field == "heel.picked_up"
    assert '"16/16"' in bad.why


# Yarn, and feet that grow


@pytest.mark.parametrize(
    ("fibre", "springs"),
    [
        ("", True), ("75 % wool, 25 % nylon", True), ("merino and polyamide", True),
        ("cotton with elastane", True), ("cotton", False), ("Bamboo", False), ("linen", False),
        ("silk and merino", False), ("pure wool", False), ("alpaca", False), ("leftovers", True),
    ],
)  # fmt: skip
def test_which_yarns_spring_back(fibre: str, springs: bool) -> None:
    assert springs_back(fibre) == springs


def test_a_yarn_that_does_not_spring_back_is_allowed_for_and_said() -> None:
    """3 in a hundred more ease, 1 less of the foot; nothing of what she chose herself is touched."""
    cotton = {"yarn.fibre": "cotton"}
    numbers = sock(cotton | {"foot.circumference": "24.5 cm"}).numbers
    assert numbers.cast_on == 64, "63.9 where 66.2 would be without"
    goal = section(sock(cotton), "foot").goal
    assert goal is not None
    assert goal.mm == 230  # 245 * 0.95 * 0.99 = 230.4
    assert "3 % more ease and a foot 1 % shorter" in said(cotton, "does not spring back")
    hers = said(cotton | {"leg.ease": 0.1}, "does not spring back")
    assert "ease" not in hers


@pytest.mark.parametrize("fibre", ["acryl", "leftovers", "Baumwolle"])
def test_a_fibre_nobody_knows_is_said_to_count_as_one_that_springs_back(fibre: str) -> None:
    """Once, with those that are known; the sock is the same as without."""
    told = said({"yarn.fibre": fibre}, "springs back")
    assert told == (
        f"{fibre} is no fibre known here: it counts as one that springs back. Known are wool, merino,"
        " alpaca, mohair, cashmere, yak, nylon, polyamide, elastane, cotton, bamboo, linen, flax, silk,"
        " hemp and viscose."
    )
    assert sock({"yarn.fibre": fibre}).numbers == sock().numbers


@pytest.mark.parametrize(
    "fibre", ["wool and nylon", "polyamide", "elastic", "acryl and wool, nylon"]
)
def test_of_a_fibre_that_is_known_nothing_is_said(fibre: str) -> None:
    assert not [note for note in computed({"yarn.fibre": fibre}).notes if "fibre" in note]


def test_a_foot_that_grows_gets_room() -> None:
    """A baby's foot of 10 cm: a sock 7 mm longer, 5 in a hundred of ease."""
    baby = {
        "foot.circumference": "11 cm", "foot.length": "10 cm", "cuff.rib": "k1p1",
        "cuff.length": "2 cm", "leg.length": "6 cm", "heel.rows": 10,
    }  # fmt: skip
    goal = section(sock(baby), "foot").goal
    assert goal is not None
    assert goal.mm == 107
    assert sock(baby).numbers.cast_on == 32  # 31.35
    assert "7 mm longer" in said(baby, "grows")


# What a fabric does, and what the plan says against it


def test_the_plan_may_say_otherwise() -> None:
    tight = {"foot.heel": "34 cm"}
    assert "hardly pass the heel" in said(tight, "pass the heel")
    assert not [note for note in computed(tight | {"leg.stretch": 1.6}).notes if "pass" in note]
    assert sock({"leg.row_factor": 1.05}).numbers.leg_rounds == 49  # 110 mm at 42 * 1.05: 48.5
    assert sock({"cuff.row_factor": 1.0}).numbers.cuff_rounds == 21  # 50 mm at 42


def test_the_forecast_counts_with_the_same_factors() -> None:
    """As planned, so expected: before any reading the last round planned lies at the goal."""
    for given in ({}, {"leg.row_factor": 1.3}, {"leg.row_factor": 0.8, "cuff.row_factor": 1.2}):
        knitter = Knitter(Course(sock(given)))
        knitter.to("leg", 1)
        length = knitter.look().length
        assert length is not None
        assert length.goal_row == section(sock(given), "leg").planned
