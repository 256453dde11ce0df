"""Computed socks against the tables a knitter keeps: 48, 60, 64 and 72 stitches, row by row.

The figures are common practice, no source: written down from memory and checked by knitting every
row of them on single stitches. Two of odd counts and a small one stand beside them.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.pattern.making import computed, on_needles, section, sock, written
from tracker.pattern import fit, heel, toe
from tracker.pattern.model import Pattern
from tracker.units import round_half_up

DATA = Path(__file__).parent / "data"
SOCKS: dict[str, Any] = tomllib.loads((DATA / "whole_socks.toml").read_text())
TABLES: dict[str, Any] = tomllib.loads((DATA / "turns_and_toes.toml").read_text())

SETS = ("five", "four")
EXCHANGED = {"k": "p", "p": "k"}


def lines(table: str) -> list[list[int]]:
    return [[int(number) for number in line.split()] for line in table.split("\n") if line]


TURNS = lines(TABLES["turns"])
TOES = lines(TABLES["toes"])
TURN_ROWS: dict[str, list[str]] = TABLES["turn_rows"] | {
    str(table["numbers"]["heel_stitches"]): table["turn"] for table in SOCKS.values()
}


def needle_counts(table: str) -> list[str]:
    return table.split()


def wrong_side_first(rows: list[str]) -> list[str]:
    """Knit and purl, ssk and p2tog exchanged in every row, as on a set of four or five."""
    exchanged = []
    for row in rows:
        side, work = row.split(": ")
        items = [
            {"ssk": "p2tog", "p2tog": "ssk"}.get(item) or EXCHANGED.get(item[0], item[0]) + item[1:]
            for item in work.removesuffix(work[work.index(", turn") :]).split(", ")
        ]
        turned = "WS" if side == "RS" else "RS"
        exchanged.append(f"{turned}: {', '.join(items)}{work[work.index(', turn') :]}")
    return exchanged


def made(name: str, needles: str, rib: str = "k2p2") -> Pattern:
    plan = SOCKS[name]["plan"]
    return sock(
        {
            "foot.circumference": f"{plan['circumference']} mm",
            "foot.length": f"{plan['foot']} mm",
            "gauge.stitches": plan["stitches"],
            "gauge.rows": plan["rows"],
            "needles.set": needles,
            "cuff.rib": rib,
            "cuff.length": f"{plan['cuff']} mm",
            "leg.length": f"{plan['leg']} mm",
        }
    )


@pytest.mark.parametrize("needles", SETS)
@pytest.mark.parametrize("name", SOCKS)
class TestWholeSocks:
    """Each of the four socks, on a set of five and on a set of four."""

    def test_its_numbers(self, name: str, needles: str) -> None:
        numbers = made(name, needles).numbers
        told = numbers._asdict()
        ease = told.pop("effective_ease")
        assert told == SOCKS[name]["numbers"]
        assert round_half_up(ease, 4) == SOCKS[name]["ease"]

    def test_its_sections_follow_one_another(self, name: str, needles: str) -> None:
        kinds = [part.kind for part in made(name, needles).sections]
        assert kinds == [
            "cuff", "leg", "heel set-up", "flap", "turn", "gusset", "foot", "toe", "graft",
        ]  # fmt: skip

    def test_stitches_made_in_every_section(self, name: str, needles: str) -> None:
        worked = {
            part.kind: sum(row.worked for row in part.rows) for part in made(name, needles).sections
        }
        assert worked == SOCKS[name]["work"] | {"graft": 0}

    def test_the_turn_row_by_row(self, name: str, needles: str) -> None:
        turn = section(made(name, needles), "turn")
        assert [written(row) for row in turn.rows] == wrong_side_first(SOCKS[name]["turn"])

    def test_the_gusset_needle_by_needle(self, name: str, needles: str) -> None:
        gusset = section(made(name, needles), "gusset")
        assert [on_needles(row) for row in gusset.rows] == SOCKS[name][f"gusset_{needles}"].split()
        assert [row.number for row in gusset.rows] == list(range(len(gusset.rows)))

    def test_the_toe_needle_by_needle(self, name: str, needles: str) -> None:
        part = section(made(name, needles), "toe")
        assert [on_needles(row) for row in part.rows] == SOCKS[name][f"toe_{needles}"].split()
        assert part.first == 1

    def test_every_other_gusset_round_decreases_and_the_last_one_does(
        self, name: str, needles: str
    ) -> None:
        gusset = section(made(name, needles), "gusset")
        words = [row.word for row in gusset.rows]
        assert words == ["PICK", *["DEC", "PLAIN"] * (len(words) // 2 - 1), "DEC"]

    def test_the_foot_ends_where_the_table_says(self, name: str, needles: str) -> None:
        goal = section(made(name, needles), "foot").goal
        assert goal is not None
        assert (goal.mm, goal.mark, goal.less_toe) == (SOCKS[name]["target"], "heel", True)

    def test_both_halves_are_grafted(self, name: str, needles: str) -> None:
        graft = section(made(name, needles), "graft")
        half = SOCKS[name]["numbers"]["graft_stitches"]
        assert (graft.starts, graft.rows[0].leaves) == ((half, half), 0)


def test_rows_of_the_64_stitch_sock_as_they_are_written() -> None:
    made64 = made("64", "five")
    flap, gusset, part = (section(made64, kind) for kind in ("flap", "gusset", "toe"))
    assert [written(row) for row in flap.rows[:2]] == [
        "WS: sl1, p31, turn = 32",
        "RS: [sl1, k1] 16 times, turn = 32",
    ]
    assert written(section(made64, "heel set-up").rows[0]) == "RS: k16, turn = 32"
    assert written(gusset.rows[0]) == "rest 9, pick up 17 | k | k | pick up 17, k9 = 26/16/16/26"
    assert written(gusset.rows[1]) == (
        "k to last 3, k2tog, k1 | k | k | k1, ssk, k to end = 25/16/16/25"
    )
    assert written(part.rows[0]) == (
        "k to last 3, k2tog, k1 | k1, ssk, k to end | k to last 3, k2tog, k1 | k1, ssk, k to end"
        " = 15/15/15/15"
    )


def test_rows_of_the_64_stitch_sock_on_a_set_of_four() -> None:
    made64 = made("64", "four")
    gusset, part = section(made64, "gusset"), section(made64, "toe")
    assert [on_needles(section(made64, kind).rows[-1]) for kind in ("cuff", "leg")] == [
        "16/32/16",
        "16/32/16",
    ]
    assert written(gusset.rows[0]) == "rest 9, pick up 17 | k | pick up 17, k9 = 26/32/26"
    assert written(gusset.rows[1]) == "k to last 3, k2tog, k1 | k | k1, ssk, k to end = 25/32/25"
    assert written(part.rows[0]) == (
        "k to last 3, k2tog, k1 | k1, ssk, k to last 3, k2tog, k1 | k1, ssk, k to end = 15/30/15"
    )


def test_the_last_two_turn_rows_of_32_work_one_stitch_fewer_than_the_middle_would_grow_to() -> None:
    """The trap of a turn whose sides are odd: the row before ended without its last stitch."""
    turn = section(made("64", "five"), "turn")
    assert [written(row) for row in turn.rows[-2:]] == [
        "WS: sl1, p16, p2tog, turn = 19",
        "RS: sl1, k16, ssk, turn = 18",
    ]


def test_what_rests_while_the_heel_is_worked() -> None:
    for needles, waiting in (("five", [("N2", 16), ("N3", 16)]), ("four", [("N2", 32)])):
        for kind in ("heel set-up", "flap", "turn"):
            part = section(made("64", needles), kind)
            assert [tuple(wait) for wait in part.waiting] == waiting
            assert part.needles == ("heel",)


# Odd and small socks (common practice, no source)


def test_63_stitches_split_odd_and_the_toe_takes_one_away_first() -> None:
    odd = sock({"leg.stitches": 63})
    numbers = odd.numbers
    assert (numbers.heel_stitches, numbers.instep_stitches) == (31, 32)
    assert heel.rounded_turn(31).centre == 4
    assert (numbers.turn_rows, numbers.heel_centre, numbers.after_pick_up) == (14, 17, 83)
    assert numbers.gusset_decrease_rounds == 10
    assert on_needles(section(odd, "gusset").rows[-1]) == "16/16/16/15"
    part = section(odd, "toe")
    assert (part.first, part.rows[0].leaves, part.planned) == (0, 62, 19)
    assert written(part.rows[0]) == "k | k | k to last 3, k2tog, k1 | k = 16/16/15/15"
    assert numbers.graft_stitches == 9


def test_66_stitches_have_an_odd_heel() -> None:
    odd = sock({"leg.stitches": 66})
    numbers = odd.numbers
    assert (numbers.heel_stitches, numbers.instep_stitches, numbers.flap_rows) == (33, 33, 34)
    assert (numbers.turn_rows, numbers.heel_centre, numbers.after_pick_up) == (14, 19, 88)
    assert (numbers.gusset_decrease_rounds, numbers.graft_stitches) == (11, 9)
    turn = section(odd, "turn")
    assert [written(row) for row in turn.rows] == wrong_side_first(TURN_ROWS["33"])
    assert [on_needles(row) for row in section(odd, "gusset").rows] == needle_counts("""
        28/17/16/27 27/17/16/26 27/17/16/26 26/17/16/25 26/17/16/25 25/17/16/24 25/17/16/24 24/17/16/23
        24/17/16/23 23/17/16/22 23/17/16/22 22/17/16/21 22/17/16/21 21/17/16/20 21/17/16/20 20/17/16/19
        20/17/16/19 19/17/16/18 19/17/16/18 18/17/16/17 18/17/16/17 17/17/16/16
        """)
    assert [on_needles(row) for row in section(odd, "toe").rows] == needle_counts("""
        16/16/15/15 16/16/15/15 15/15/14/14 15/15/14/14 14/14/13/13 14/14/13/13 13/13/12/12 13/13/12/12
        12/12/11/11 12/12/11/11 11/11/10/10 11/11/10/10 10/10/9/9 10/10/9/9 9/9/8/8 9/9/8/8 8/8/7/7
        7/7/6/6 6/6/5/5 5/5/4/4
        """)


def test_an_odd_flap_knits_its_last_stitch_and_has_an_even_number_of_rows() -> None:
    flap = section(sock({"leg.stitches": 66}), "flap")
    assert flap.planned == 34
    assert [written(row) for row in flap.rows[:2]] == [
        "WS: sl1, p32, turn = 33",
        "RS: [sl1, k1] 16 times, k1, turn = 33",
    ]
    assert [row.worked for row in flap.rows[:2]] == [32, 17]


def test_a_childs_sock_of_30_stitches() -> None:
    """Heel of 15, turn with a centre of 4, toe to 10, the halves 8 and 7."""
    small = sock(
        {
            "foot.circumference": "11 cm",
            "foot.length": "16 cm",
            "cuff.rib": "k1p1",
            "cuff.length": "25 mm",
            "leg.length": "7 cm",
        }
    )
    numbers = small.numbers
    assert (numbers.cast_on, numbers.heel_stitches) == (30, 15)
    assert heel.rounded_turn(15).centre == 4
    assert numbers.graft_stitches == 5
    assert section(small, "toe").starts == (8, 8, 7, 7)
    assert section(small, "heel set-up").rows[0].needles[0].work == "k8, turn"


# Tables for every size (common practice, no source)


@pytest.mark.parametrize("row", TURNS, ids=lambda row: f"heel of {row[0]}")
def test_the_turn_of_every_heel(row: list[int]) -> None:
    assert list(heel.rounded_turn(row[0])) == row


@pytest.mark.parametrize("stitches", TURN_ROWS)
def test_the_rows_of_a_turn(stitches: str) -> None:
    turn = heel.rounded_turn(int(stitches))
    assert list(heel.turn_rows(turn, "RS")) == TURN_ROWS[stitches]
    assert list(heel.turn_rows(turn, "WS")) == wrong_side_first(TURN_ROWS[stitches])


def test_a_centre_of_seven_avoids_the_bald_last_pair_of_a_turn_of_32() -> None:
    turn = heel.rounded_turn(32, 7)
    assert (turn.before, turn.left, turn.live) == (19, 10, 20)
    assert all(
        row.endswith(f"1, turn = {31 - at}") for at, row in enumerate(heel.turn_rows(turn, "RS"))
    )


@pytest.mark.parametrize("row", TOES, ids=lambda row: f"toe of {row[0]}")
def test_the_wedge_of_every_toe(row: list[int]) -> None:
    stitches, end, decreases, alternate, every, rounds = row
    wedge = toe.wedge(stitches)
    assert (wedge.end, wedge.alternate, wedge.every, wedge.rounds) == (
        end,
        alternate,
        every,
        rounds,
    )
    assert wedge.alternate + wedge.every == decreases


# How many stitches go round (common practice, no source)

CHOSEN = [
    # foot mm, gauge, ease, rib, repeat: by the measure, multiple, stitches, the ease they give
    (190, 28, 0.10, 4, 1, 47.88, 4, 48, 0.0977),
    (224, 30, 0.10, 4, 1, 60.48, 4, 60, 0.1071),
    (236, 30, 0.10, 4, 1, 63.72, 4, 64, 0.0960),
    (258, 31, 0.10, 4, 1, 71.98, 4, 72, 0.0998),
    (205, 22, 0.10, 4, 1, 40.59, 4, 40, 0.1131),
    (110, 30, 0.10, 2, 1, 29.70, 2, 30, 0.0909),
    (245, 34, 0.05, 4, 1, 79.14, 4, 80, 0.0396),
    (236, 30, 0.10, 3, 1, 63.72, 6, 66, 0.0678),
    (236, 30, 0.10, 2, 9, 63.72, 18, 72, -0.0169),
    (236, 30, 0.10, 4, 7, 63.72, 28, 56, 0.2090),
    (240, 30, 0.10, 2, 11, 64.80, 22, 66, 0.0833),
    (300, 30, 0.10, 4, 1, 81.00, 4, 80, 0.1111),
    (228, 32, 0.10, 4, 1, 65.66, 4, 64, 0.1228),
    (230, 30, 0.10, 2, 14, 62.10, 14, 56, 0.1884),
]


@pytest.mark.parametrize(
    "row", CHOSEN, ids=lambda row: f"{row[0]} mm, rib {row[3]}, repeat {row[4]}"
)
def test_the_number_of_stitches(
    row: tuple[float, float, float, int, int, float, int, int, float],
) -> None:
    around, gauge, ease, rib, repeat, wanted, multiple, stitches, gives = row
    chosen = fit.around(around, gauge, ease, rib, repeat)
    assert round_half_up(chosen.wanted, 2) == wanted
    assert (chosen.multiple, chosen.stitches) == (multiple, stitches)
    assert round_half_up(fit.effective_ease(stitches, around, gauge), 4) == gives


def test_a_tie_goes_to_the_smaller_sock_and_none_becomes_one() -> None:
    assert fit.nearest(66, 4) == 64
    assert fit.nearest(66.1, 4) == 68
    assert fit.nearest(1, 4) == 4


@pytest.mark.parametrize(("stitches", "each"), [(48, 12), (64, 16)])
def test_48_and_64_share_out_evenly(stitches: int, each: int) -> None:
    """Common practice, no source."""
    assert fit.share(stitches, 4, 4) == (each,) * 4
    assert set(section(sock({"leg.stitches": stitches}), "leg").starts) == {each}


@pytest.mark.parametrize("repeat", [4, 8, 12, 16])
def test_a_repeat_divisible_by_four_shares_out_evenly(repeat: int) -> None:
    """Common practice, no source."""
    for foot in range(180, 280, 10):
        stitches = fit.around(foot, 30, 0.1, 4, repeat).stitches
        assert stitches % repeat == 0
        assert len(set(fit.share(stitches, 4, 1))) == 1


def test_60_in_a_rib_of_four_begins_every_needle_with_the_same_stitch_until_the_heel() -> None:
    """Common practice, no source: 16/16/16/12 in the cuff, 15 each from the heel on."""
    sixty = made("60", "five")
    assert section(sixty, "cuff").starts == (16, 16, 16, 12)
    assert {needle.work for needle in section(sixty, "cuff").rows[0].needles} == {
        "*k2, p2; rep from * to end"
    }
    assert section(sixty, "gusset").rows[-1].before == (16, 15, 15, 16)


@pytest.mark.parametrize(("cuff", "plain"), [("1 1/2 in", 4.5), ("2 in", 4.0)])
def test_a_written_leg_of_six_inches_includes_its_cuff(cuff: str, plain: float) -> None:
    """Common practice, no source. At 8 rounds to the inch the plain part is 8 times its inches."""
    inches = sock(
        {
            "cuff.length": cuff,
            "leg.length": "6 in",
            "gauge.stitches": 6,
            "gauge.rows": 8,
            "gauge.per": "1 in",
        }
    )
    numbers = inches.numbers
    assert numbers.leg_rounds == plain * 8
    goal = section(inches, "leg").goal
    assert goal is not None
    assert (round_half_up(goal.mm, 3), goal.mark) == (152.4, "cast-on")


def test_the_cuff_has_five_in_a_hundred_more_rounds_than_the_leg_would() -> None:
    """Common practice, no source: rounds of rib are a little lower."""
    assert made("72", "five").numbers.cuff_rounds == 28  # 60 mm at 44: 27.72


# Cuffs that the rib does not divide (common practice, no source)


@pytest.mark.parametrize(
    ("leg", "rib", "cuff", "first"),
    [
        (62, "k2p2", 64, "k14, k2tog | k | k14, k2tog | k = 15/16/15/16"),
        (63, "k2p2", 64, "k | k14, k2tog | k | k = 16/15/16/16"),
        (65, "k2p2", 64, "k | k16, M1 | k | k = 16/17/16/16"),
        (63, "k1p1", 64, "k | k14, k2tog | k | k = 16/15/16/16"),
        (66, "k2p2", 68, "k17, k2tog, k1 | k | k14, k2tog | k = 19/16/15/16"),
    ],
)
def test_the_first_round_of_the_leg_changes_the_count(
    leg: int, rib: str, cuff: int, first: str
) -> None:
    changed = computed({"leg.stitches": leg, "cuff.rib": rib})
    assert changed.document["numbers"]["cast_on"] == cuff
    made_leg = section(sock({"leg.stitches": leg, "cuff.rib": rib}), "leg")
    assert written(made_leg.rows[0]) == first
    assert {row.leaves for row in made_leg.rows} == {leg}
    assert [note for note in changed.notes if f"The cuff has {cuff} stitches" in note]
