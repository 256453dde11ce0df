"""What a pair takes of its yarn: the trade's numbers, published amounts, and what a plan says of it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.pattern.making import sock
from tracker.knitting.course import Course
from tracker.knitting.shares import stitches_by_colour
from tracker.pattern.model import Gauge, Pattern
from tracker.pattern.yarn import (
    VAGUE,
    Need,
    Use,
    expected,
    loop_mm,
    metres_to_a_gram,
    need,
    percent,
    planned_note,
    verdict,
)

YARD = 0.9144
"""Metres in a yard (international yard and pound agreement, 1959)."""
OUNCE = 0.45359237 * 1000 / 16
"""Grams in an avoirdupois ounce, by the same agreement: a sixteenth of a pound."""

FOUR_PLY = {"yarn.grams": 100, "yarn.metres": 420}


@pytest.mark.parametrize(
    ("stitches", "rows", "mm"), [(30, 42, 13.4), (28, 38, 14.6), (31, 44, 12.9), (22, 30, 18.5)]
)
def test_the_yarn_in_a_stitch(stitches: float, rows: float, mm: float) -> None:
    """Common practice, no source."""
    assert loop_mm(Gauge(stitches, rows, "round swatch")) == pytest.approx(mm, abs=0.06)


def test_the_sock_of_64() -> None:
    """10,416 stitches are 139.9 m, which are 33.3 g at 420 m to 100 g (common practice, no source)."""
    made = sock(FOUR_PLY)
    use = expected(made)
    assert made.numbers.stitches_per_sock * loop_mm(made.gauge) / 1000 == pytest.approx(  # type: ignore[arg-type]
        139.9, abs=0.05
    )
    assert made.numbers.stitches_per_sock * use.mean == pytest.approx(33.3, abs=0.05)
    assert use.sd == pytest.approx(use.mean / 10)


@pytest.mark.parametrize(
    ("ball", "chance", "said"),
    [
        (70, 0.13, "not enough"),
        (72, 0.39, "not enough"),
        (75, 0.83, "tight"),
        (80, 0.999, "enough"),
    ],
)
def test_enough_for_two(ball: float, chance: float, said: str) -> None:
    """35.6 g a sock, give or take 1.1: need 72.7 g with tails (common practice, no source)."""
    use = Use(35.6 / 10_416, 1.1 / 10_416)
    pair = need(use, (10_416, 10_416), tails=2)
    assert pair.grams == pytest.approx(72.7)
    assert pair.chance(ball) == pytest.approx(chance, abs=0.005)
    assert verdict(pair.chance(ball)) == said


def test_at_the_borders_of_enough() -> None:
    assert [verdict(chance) for chance in (0.951, 0.95, 0.5, 0.499)] == [
        "enough", "tight", "tight", "not enough",
    ]  # fmt: skip


def test_what_is_known_exactly_is_enough_or_not() -> None:
    assert Need(70, 0).chance(70) == 1
    assert Need(70, 0).chance(69.9) == 0


def test_a_chance_is_never_certain() -> None:
    assert [percent(chance) for chance in (0, 0.826, 0.83, 1)] == ["1 %", "83 %", "83 %", "99 %"]


# What is told, and what is not


def test_the_grist_follows_from_the_gauge_where_it_is_not_told() -> None:
    """Usual yarns, metres to 100 g and stitches to 10 cm (common practice, no source)."""
    for stitches, rows, metres in ((30, 42, 412), (24, 32, 250), (21, 29, 220)):
        made = sock({"gauge.stitches": stitches, "gauge.rows": rows})
        assert 100 * (metres_to_a_gram(made) or 0) == pytest.approx(metres, rel=0.1)
        use = expected(made)
        assert 0.17 < use.sd / use.mean < 0.19


def test_without_a_gauge_nothing_is_known() -> None:
    assert expected(sock()._replace(gauge=None)) == VAGUE
    assert metres_to_a_gram(sock()._replace(gauge=None)) is None


def note(given: dict[str, Any]) -> str | None:
    made = sock(given)
    return planned_note(made, stitches_by_colour(Course(made)))


def test_a_plan_says_what_the_pair_takes() -> None:
    pair = "A pair takes about 67 g of this yarn (56 to 78), by its gauge and its metres;"
    assert note(FOUR_PLY) == f"{pair} 100 g are enough."
    tight, short = (
        FOUR_PLY | {"yarn.grams": 75, "yarn.metres": 315},
        {"yarn.grams": 60, "yarn.metres": 252},
    )
    assert note(tight) == f"{pair} 75 g are tight, 85 % sure: weigh it as you go."
    assert note(short) == (
        f"{pair} 60 g are not enough by about 8 g, tails with it:"
        " plan a shorter leg, or toes in another yarn."
    )


def test_metres_alone_are_metres() -> None:
    assert note({"yarn.metres": 420}) == (
        "A pair takes about 280 m of this yarn (233 to 326), by its gauge; 420 m are enough."
    )
    assert "not enough by about 36 m" in str(note({"yarn.metres": 250}))


def test_grams_alone_go_by_the_gauge() -> None:
    assert note({"yarn.grams": 100}) == (
        "A pair takes about 68 g of this yarn (48 to 88), by its gauge alone: tell its metres, too;"
        " 100 g are enough."
    )


def test_a_plan_without_yarn_says_nothing_of_it() -> None:
    assert note({}) is None
    assert note({"yarn.fibre": "wool, nylon", "yarn.lot": "12"}) is None


def test_every_colour_has_its_share() -> None:
    """By the stripes' clock; the shares are those of all stitches."""
    stripes = {"colours.leg": ["navy 9", "cream 3", "rust 2"], "colours.heel": "rust"}
    made = sock(FOUR_PLY | stripes)
    shares = stitches_by_colour(Course(made))
    assert sum(shares.values()) == made.numbers.stitches_per_sock
    assert list(shares) == ["navy", "rust", "cream"]
    assert str(note(FOUR_PLY | stripes)).endswith(" Of it navy 43 g, rust 13 g, cream 11 g.")


def test_shares_row_by_row() -> None:
    """Heel and toe have their own; cream has its rounds of the leg, and more of the foot."""
    stripes = {"colours.leg": ["navy 9", "cream 3", "rust 2"], "colours.heel": "green"}
    made = sock(stripes | {"colours.toe": "grey"})
    shares = stitches_by_colour(Course(made))
    by_kind = {part.kind: sum(row.worked for row in part.rows) for part in made.sections}
    assert shares["green"] == sum(by_kind[kind] for kind in ("heel set-up", "flap", "turn"))
    assert shares["grey"] == by_kind["toe"]
    assert shares["cream"] >= 9 * 64


def test_a_leg_that_ended_early_makes_fewer_stitches() -> None:
    made = sock({"colours.leg": ["navy"], "colours.toe": "grey"})
    planned = stitches_by_colour(Course(made))
    ended = stitches_by_colour(Course(made), (22, 40))
    assert planned["navy"] - ended["navy"] == 6 * 64
    assert planned["grey"] == ended["grey"]


def test_many_colours_are_told_as_far_as_there_is_room() -> None:
    names = [f"shade{letter} 2" for letter in "abcdefghijkl"]
    told = str(note(FOUR_PLY | {"colours.leg": names}))
    assert told.count(" g, ") == 8
    assert told.endswith(", ....")


# Published amounts


def pair_of(given: dict[str, Any]) -> tuple[Pattern, float]:
    """A pair by this program, and the metres that both socks take."""
    made = sock(given)
    assert made.gauge is not None
    return made, 2 * made.numbers.stitches_per_sock * loop_mm(made.gauge) / 1000


def test_six_ounces_of_four_ply_for_men_in_1915() -> None:
    """Lichfield, 1915 (a period receipt for soldiers' socks): 6 oz of 4-ply, No. 14 needles, 80 stitches.

    The receipt prints no gauge and no metres. On 2 mm needles 80 stitches round a man's foot are
    about 9 to the inch. The metres that come out must then be those of some 4-ply wool: 3 to 5 to
    the gram.
    """
    made, metres = pair_of(
        {
            "gauge.stitches": 9, "gauge.rows": 12, "gauge.per": "1 in", "leg.stitches": 80,
            "foot.circumference": "25 cm", "foot.length": "27.5 cm", "leg.length": "35 cm",
            "cuff.length": "9 cm",
        }
    )  # fmt: skip
    assert made.numbers.cast_on == 80
    assert 3 <= metres / (6 * OUNCE) <= 5


def test_seven_ounces_of_heavy_four_ply_for_men_in_1939() -> None:
    """Toronto, 1939 (Canada): men's size 11, heavy 4-ply, 60 stitches, 7 oz.

    11 is the foot in inches. The gauge is that which makes 60 stitches of a man's foot, 7 to the
    inch. Heavy wool has 2 to 3 metres to the gram.
    """
    made, metres = pair_of(
        {
            "gauge.stitches": 7, "gauge.rows": 9.5, "gauge.per": "1 in", "leg.stitches": 60,
            "foot.circumference": "25 cm", "foot.length": "11 in", "leg.length": "14 in",
            "cuff.length": "4 in",
        }
    )  # fmt: skip
    assert made.numbers.cast_on == 60
    assert 2 <= metres / (7 * OUNCE) <= 3


def test_four_ounces_for_men_in_1916() -> None:
    """Port Perry Star, 7 June 1916, p. 1: men's socks on No. 13 needles, 4 oz; 1 lb of wool for 8 socks.

    The two agree: a quarter of a pound a pair. No gauge is printed; on 2.25 mm needles it is about
    8 to the inch. The metres that come out must be those of some sock wool: 2.5 to 5 to the gram.
    """
    pair_g = 2 * 16 * OUNCE / 8
    assert pair_g == pytest.approx(4 * OUNCE)
    _, metres = pair_of(
        {
            "gauge.stitches": 8, "gauge.rows": 11, "gauge.per": "1 in", "leg.stitches": 68,
            "foot.circumference": "25 cm", "foot.length": "27 cm", "leg.length": "30 cm",
            "cuff.length": "10 cm",
        }
    )  # fmt: skip
    assert 2.5 <= metres / pair_g <= 5


def test_a_hundred_grams_of_fingering_are_an_adult_pair() -> None:
    """knitbettersocks.blogspot.com, November 2010 (Yarn yardage): 100 g, 400 yd, an adult pair."""
    yarn = {"yarn.grams": 100, "yarn.metres": round(400 * YARD)}
    for around, long in (("22 cm", "23 cm"), ("23.6 cm", "24.5 cm"), ("25.4 cm", "27.3 cm")):
        given = yarn | {"foot.circumference": around, "foot.length": long}
        made = sock(given)
        pair = need(expected(made), [made.numbers.stitches_per_sock] * 2, tails=2)
        assert 50 < pair.grams < 100
        assert pair.chance(100) > 0.9


def test_220_yards_of_worsted() -> None:
    """sites.google.com/site/pugspearlsandpurls (a family pattern): 44 stitches, 5 to the inch, 220 yd.

    It prints neither foot nor leg; a woman's are taken. Yarn is sold by the ball, so that the
    printed amount bears no more than a quarter either way.
    """
    made, metres = pair_of(
        {
            "gauge.stitches": 5, "gauge.rows": 7, "gauge.per": "1 in", "leg.stitches": 44,
            "foot.circumference": "24 cm", "foot.length": "24.5 cm", "leg.length": "16 cm",
        }
    )  # fmt: skip
    assert made.numbers.cast_on == 44
    assert metres / YARD == pytest.approx(220, rel=0.25)


def test_grist_in_yards_and_ounces() -> None:
    """1 m/g is 31.0 yd/oz, as pugspearlsandpurls prints; by the definitions of yard and ounce."""
    assert pytest.approx(31.0, abs=0.05) == OUNCE / YARD
    assert pytest.approx(328.1, abs=0.05) == 3 * 100 / YARD
