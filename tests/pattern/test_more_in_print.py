"""Published stockings and rules beside the whole socks: as patterns by hand, and as what a plan computes.

Each source is named in full beside its check. What is "from memory" has not been found in a source.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.pattern.making import computed, pattern, section, sock
from tests.pattern.test_published_socks import fits
from tracker.check import check_file
from tracker.forecast.length import reading_sigma
from tracker.pattern import fit, toe
from tracker.pattern.audit import audit
from tracker.pattern.glossary import become, term
from tracker.pattern.notation import STITCHES, read_row
from tracker.pattern.reading import read_pattern


def knitted(*sections: dict[str, Any]) -> list[int]:
    """Stitches after every row of a pattern by hand that the audit knits without a problem."""
    tables = [{"worked": "rounds", **table} for table in sections]
    assert audit({"section": tables}) == ()
    made = read_pattern({"section": tables}, "")
    return [row.leaves for part in made.sections for row in part.rows]


# "How To Knit Stockings", Peterson's Magazine, 1861 (at ephemeralchaos.blogspot.com, August 2007).


def test_petersons_heel_of_41_narrows_to_31_and_is_folded() -> None:
    """81 around: 41 of heel, 20 and 20 in front; five rows that narrow two each; bound off."""
    assert 41 + 20 + 20 == 81
    flat = {"worked": "rows"}
    left = knitted(
        {"name": "leg", "needles": [27, 27, 27], "rows": ["k"]},
        {**flat, "name": "heel", "needles": [41], "resting": [20, 20],
         "rows": ["RS: k", "WS: p"], "repeat": 12},
        {**flat, "name": "narrowing", "first": ["RS: k1, ssk, k to last 3, k2tog, k1", "WS: p"] * 4,
         "rows": ["RS: k1, ssk, k to last 3, k2tog, k1 = 31"]},
        {**flat, "name": "fold", "rows": ["WS: BO all"]},
    )  # fmt: skip
    assert left[-10:] == [39, 39, 37, 37, 35, 35, 33, 33, 31, 0]


def test_petersons_toe() -> None:
    """27 on each of three needles: six decreased every third round to 17, every other round to 7.

    The totals 81, 51 and 21 are computed.
    """
    decrease = "k1, ssk, k to last 3, k2tog, k1"
    row = " | ".join([decrease] * 3)
    left = knitted(
        {"name": "toe", "needles": [27, 27, 27], "rows": [row, "k", "k"], "repeat": 5},
        {"name": "toe, faster", "rows": [row, "k"], "repeat": 5},
    )
    assert (left[0], left[14], left[-1]) == (75, 51, 21)


# Therese de Dillmont, "Encyclopedia of Needlework", English edition, Dornach, about 1890 (Project
# Gutenberg 20776). Her cast-on numbers are for each of four needles.


@pytest.mark.parametrize("each", [32, 34, 36, 38, 40, 42, 46, 50])
def test_dillmonts_heel_is_a_quarter_and_two_on_each_of_two_needles(each: int) -> None:
    """Of an ankle half as wide as the knee; the instep keeps two fewer on each of its needles."""
    around = 4 * (each // 2)
    heel, front = 2 * (around // 4 + 2), 2 * (around // 4 - 2)
    assert heel + front == around
    left = knitted(
        {"name": "ankle", "needles": [around // 4] * 4, "rows": ["k"]},
        {"name": "heel", "worked": "rows", "needles": [heel], "resting": [front // 2] * 2,
         "rows": ["RS: sl1, k", "WS: sl1, p"], "repeat": 15},
    )  # fmt: skip
    assert left == [around] + [heel] * 30


def test_dillmonts_common_heel_of_24_keeps_its_middle_third() -> None:
    """The middle eight take in the eight on either side, one in each row."""
    first = "RS: sl1, k14, ssk, turn"
    rows = ["WS: sl1, p6, p2tog, turn", "RS: sl1, k6, ssk, turn"]
    left = knitted(
        {"name": "heel turn", "worked": "rows", "needles": [24], "first": [first, rows[0]],
         "rows": rows[::-1], "repeat": 7}
    )  # fmt: skip
    assert left == list(range(23, 7, -1))


def test_dillmonts_toe_with_two_plain_rounds_then_one() -> None:
    """Figure 362: four decreased in a round, four times with two plain rounds after it, then with
    one, to four on each needle; worked in pairs of needles, as ours is."""
    row = "k to last 3, k2tog, k1 | k1, ssk, k to end | k to last 3, k2tog, k1 | k1, ssk, k to end"
    left = knitted(
        {"name": "toe", "needles": [16, 16, 16, 16], "rows": [row, "k", "k"], "repeat": 4},
        {"name": "toe, faster", "rows": [row, "k"], "repeat": 8},
    )
    assert (left[11], left[-1]) == (48, 16)
    ours = section(sock({"leg.stitches": 64}), "toe").rows[0]
    assert [needle.work for needle in ours.needles] == row.split(" | ")


def test_dillmonts_round_toe_has_42_rounds() -> None:
    """Figure 363, over a number that ten divides: as many plain rounds as stitches between the
    decreases, eight and seven down to two; the 35 plain and 7 decrease rounds are computed."""
    rows = []
    for between in range(8, 1, -1):
        rows += [f"*k{between}, k2tog; rep from * to end", *["k"] * between]
    left = knitted({"name": "toe", "needles": [20, 20, 20, 20], "rows": rows})
    assert (len(left), left[0], left[-1]) == (42, 72, 24)


# American Red Cross, Pacific Division, finished sizes, The Garden Island v.13 no.49 p.4, 1917; its
# "New Red Cross Directions for Socks", about 1917.


@pytest.mark.parametrize("foot", [10.5, 11, 11.5, 12])
def test_red_cross_finished_sizes_are_knitted_without_a_question(foot: float) -> None:
    """Leg and foot lie four inches wide, the leg is eleven inches; the foot ten and a half to twelve.

    At seven stitches to the inch eight inches are the leaflet's ankle of 56.
    """
    given = {
        "foot.circumference": f"{8 / 0.9:.2f} in", "foot.length": f"{foot} in",
        "leg.length": "11 in", "cuff.length": "4 in",
        "gauge.stitches": 7, "gauge.rows": 9.5, "gauge.per": "1 in",
    }  # fmt: skip
    numbers = computed(given).document["numbers"]
    assert numbers["cast_on"] / 7 / 2 == 4.0
    assert (numbers["cast_on"], numbers["heel_stitches"]) == (56, 28)
    assert fits(given)


# Where the toe begins before the end of the foot.


@pytest.mark.parametrize(
    ("stitches", "gauge", "foot_mm"), [(60, 42, 250), (64, 42, 260), (72, 44, 275), (56, 37, 280)]
)
def test_our_toes_begin_where_published_ones_do(stitches: int, gauge: int, foot_mm: int) -> None:
    """Two inches: Corbould 1874, and "Sox on 2 stix", Knitty, autumn 2006. Two and a quarter: the
    Nomis ski sock. A quarter of the foot: Dillmont, about 1890; three inches with three plain
    rounds among them: Bright Meadow Knits, July 2007."""
    toe_mm = toe.wedge(stitches).rounds * 100 / gauge
    assert 1.75 <= toe_mm / 25.4 <= 2.25
    assert toe_mm < 3 * 25.4
    assert 0.15 < toe_mm / foot_mm <= 0.25


# The percentage approach: E. Zimmermann's key number (for sweaters); fractions for socks as told by
# a teacher (calosiknits.blogspot.com, July 2011) after P. Gibson-Roberts.


def test_the_key_number_is_stitches_to_the_inch_times_inches() -> None:
    chosen = fit.around(50 * 25.4, 5 / 0.254, ease=0.0, rib=2)
    assert (round(chosen.wanted, 6), chosen.stitches) == (250, 248)


@pytest.mark.parametrize("around", [48, 56, 60, 64, 72])
def test_a_heel_is_half(around: int) -> None:
    """72 around, 36 of heel. The toe of 14 (a fifth) is narrower than ours, which is its own rule."""
    assert section(sock({"leg.stitches": around}), "flap").starts == (around // 2,)


# Heel-turn arithmetic, 1896 to 2016: the middle that never grows.


@pytest.mark.parametrize(("stitches", "middle"), [(32, 16), (40, 12)])
def test_a_turn_of_constant_width_leaves_its_middle(stitches: int, middle: int) -> None:
    """The decrease spans the gap with no stitch after it; what is left is the middle."""
    side = (stitches - middle) // 2
    first = [f"RS: sl1, k{side + middle - 2}, ssk, turn", f"WS: sl1, p{middle - 2}, p2tog, turn"]
    rows = [f"RS: sl1, k{middle - 2}, ssk, turn", f"WS: sl1, p{middle - 2}, p2tog, turn"]
    left = knitted(
        {"name": "turn", "worked": "rows", "needles": [stitches], "first": first, "rows": rows,
         "repeat": side - 1}
    )  # fmt: skip
    assert (len(left), left[-1]) == (2 * side, middle)


# Abbreviations: three lists that agree (knit1-2-3.com; Wild & Woolly; "Mindful Knitting").


@pytest.mark.parametrize(
    ("name", "words", "counts"),
    [
        ("k", "knit", ""), ("p", "purl", ""), ("sl", "slip", ""),
        ("k2tog", "knit two together", "2 become 1"),
        ("p2tog", "purl two together", "2 become 1"),
        ("ssk", "slip two knitwise one by one, knit them together through the back loops", "2 become 1"),
        ("skp", "slip one knitwise, knit one, pass the slipped stitch over", "2 become 1"),
        ("k tbl", "through the back loop", ""),
        ("yo", "yarn over the needle", "1 more"),
        ("CO", "cast on", "1 more"), ("BO", "bind off", "1 fewer"),
    ],
)  # fmt: skip
def test_abbreviations_mean_what_published_lists_say(name: str, words: str, counts: str) -> None:
    """ "1 decreased" is two that become one."""
    known = term(name)
    assert words in known.words
    assert known.counts is not None
    assert become(known.counts) == counts
    number = " 2" if name in ("CO", "BO") else ""
    assert read_row(name + number).segments[0][0].stitch == name
    assert name in STITCHES


# Feet: Craft Yarn Council foot size chart.


@pytest.mark.parametrize(
    ("around", "length"),
    [(7, 9), (8, 10), (9, 11), (7, 9.5), (8, 10.5), (10, 11.5)],
)
def test_feet_of_the_yarn_councils_chart_are_not_asked_about(around: float, length: float) -> None:
    """Women's and men's, in inches: from memory, the chart was not found in a source."""
    given = {"foot.circumference": f"{around} in", "foot.length": f"{length} in"}
    notes = computed(given).notes
    assert not [note for note in notes if "is it right?" in note]


def test_a_childs_foot_of_seven_and_a_half_inches_is_knitted(tmp_path: Path) -> None:
    """Child's US shoe 12, sock size 7 to 8 1/2, 7 1/2 in long: the same chart, quoted in "Purple is
    her favorite color" (knittingbeforeknittingwascool.wordpress.com, July 2014)."""
    given = {
        "foot.circumference": f"{7.5 * 0.95:.2f} in", "foot.length": "7.5 in", "leg.length": "5 in",
        "cuff.length": "1.5 in",
    }  # fmt: skip
    made = computed(given)
    assert audit(made.document) == ()
    assert made.document["numbers"]["foot_rounds"] > made.document["numbers"]["gusset_rounds"]


# Tapes and rows.


def test_our_reading_error_is_no_smaller_than_a_tape_may_be_off() -> None:
    """OIML R 35-1: 1.0 mm in the first metre for class III (the formula from memory; it gives all
    nine printed values). Reading a sock adds to it."""
    assert reading_sigma("cast-on") > 0.6 + 0.4 * 1
    assert reading_sigma("heel") > 0.6 + 0.4 * 1


@pytest.mark.parametrize("ratio", [5.0 / 3.8, 5.3 / 4.1, 5.5 / 4.2])
def test_relaxed_jersey_is_not_asked_about(ratio: float) -> None:
    """D. L. Munden, J. Text. Inst. 50 (1959) T448, and Knapton et al. 1968: kc over kw, from memory."""
    given = {"gauge.stitches": 30, "gauge.rows": 30 * ratio, "foot.length": "30 cm"}
    assert not [note for note in computed(given).notes if "swapped" in note]


def test_a_published_row_by_hand_is_read_by_check(tmp_path: Path) -> None:
    """Canadian Red Cross, "Knitting Instructions for Field Comforts", Toronto 1939: the round toe."""
    rows = "".join(
        f'"*k{n}, k2tog; rep from * to end = {8 * (n + 1)}",\n' + '"k",\n' * n for n in (5, 4, 3)
    )
    file = tmp_path / "toe.toml"
    file.write_text(
        'title = "Round toe"\n[[section]]\nname = "toe"\nworked = "rounds"\n'
        f'needles = [14, 28, 14]\nrows = [\n{rows}"*k2, k2tog; rep from * to end = 24",\n]\n'
    )
    assert check_file(str(file)).problems == ()
    made = pattern({"needles": [14, 28, 14], "rows": ["*k5, k2tog; rep from * to end = 48"]})
    assert made.sections[0].rows[0].leaves == 48
