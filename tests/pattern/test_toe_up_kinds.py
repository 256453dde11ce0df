"""Socks from the toe up with every heel, toe and leg: as from the cuff down, and the loom knits them.

A share of them is knitted each time, each heel with each toe on each set among them; all of them (2,240
socks, some minutes of work) on demand:

    SWEEP=pairs .venv/bin/python -m pytest tests/pattern/test_toe_up_kinds.py
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest

from tests.pattern.choices import HEELS
from tests.pattern.making import computed, on_needles, section, sock, written
from tests.pattern.test_every_kind import LEGS, STITCHES, TOES, fields
from tests.pattern.test_toe_up import TOE_UP, check_meetings, named
from tracker.pattern.audit import audit, knitted
from tracker.pattern.feet import of_sock_two
from tracker.pattern.mirror import document
from tracker.pattern.model import HEEL_PLACE, HEEL_ROUNDS, LATE_HEEL, Pattern, Row, Section
from tracker.pattern.phase import shifted
from tracker.pattern.reading import read_pattern

SETS = ("five", "four", "two circulars", "long circular")
WHOLE = os.environ.get("SWEEP") in ("pairs", "all")
CARRIED_UP = ("in lace", "in cables", "in colours")


def swept() -> list[tuple[str, str, str, str, int]]:
    """Each heel with each toe on each set, leg and stitches taken in turn; all of them on demand."""
    every = list(product(SETS, HEELS, TOES, LEGS, STITCHES))
    legs = len(LEGS) * len(STITCHES)
    return (
        every if WHOLE else [every[at * legs + at * 5 % legs] for at in range(len(every) // legs)]
    )


def check(given: dict[str, Any]) -> None:
    """Everything that is true of any such sock."""
    made = computed({**given, **TOE_UP}).document
    pattern = read_pattern(made, "")
    assert audit(made) == ()
    rows = [row for part in pattern.sections for row in part.rows]
    assert [row.worked for row in rows] == [row.made for row in knitted(made)]
    assert pattern.sections[-1].rows[-1].leaves == 0
    check_meetings_of(pattern)
    check_like_from_the_cuff(given, pattern)
    check_order_of_rows(pattern)
    assert audit(document(made, pattern, of_sock_two(pattern))) == ()


def check_meetings_of(pattern: Pattern) -> None:
    """No stitch comes or goes where sections meet; a late heel begins with none."""
    kinds = [part.kind for part in pattern.sections]
    last = kinds.index("bind-off") + 1
    check_meetings(pattern._replace(sections=pattern.sections[:last]))


def check_like_from_the_cuff(given: dict[str, Any], pattern: Pattern) -> None:
    """The toe is that from the cuff down, backwards; so are foot and heel where no repeat moves them."""
    down = read_pattern(computed(given).document, "")
    toe, other = section(pattern, "toe"), section(down, "toe")
    widths = [sum(toe.starts), *(row.leaves for row in toe.rows)]
    backwards = [sum(other.starts), *(row.leaves for row in other.rows)][::-1]
    odd = widths[0] - backwards[0]
    if odd:  # cast on with one more, where a round knits it away from the cuff down
        backwards = [width + odd for width in backwards[:-1]]
    assert widths == backwards
    late = [part for part in pattern.sections if part.kind == LATE_HEEL]
    assert [part.rows for part in late] == [p.rows for p in down.sections if p.kind == LATE_HEEL]
    assert pattern.numbers.heel_stitches == down.numbers.heel_stitches
    if "leg.repeat" not in given:
        more = odd - sum(row.number == 0 for row in section(pattern, "foot").rows)
        assert pattern.numbers.foot_rounds == (down.numbers.foot_rounds or 0) + more


def over_the_instep(pattern: Pattern) -> Iterator[tuple[Section, Row]]:
    """The rounds and rows on the instep after the foot, up to the first of the leg."""
    kinds = [part.kind for part in pattern.sections]
    for part in pattern.sections[kinds.index("foot") + 1 : kinds.index("leg")]:
        if part.on_instep or part.kind in ("gusset", HEEL_ROUNDS, HEEL_PLACE):
            yield from ((part, row) for row in part.rows)
    leg = section(pattern, "leg")
    yield from ((leg, row) for row in leg.rows[: 2 - leg.first])


def on_instep(pattern: Pattern, part: Section, row: Row) -> tuple[str, ...]:
    """The work of the instep's needles."""
    works = tuple(needle.work for needle in row.needles)
    if part.kind == HEEL_ROUNDS:
        return works[:-1]
    return works[:1] if pattern.at_side else works[1:-1]


def check_order_of_rows(pattern: Pattern, by: int = 0) -> None:
    """Every round on the instep works the row of the repeat that comes after the one before it.

    In the leg that is looked at where its needles have the instep as the foot has it.
    """
    if pattern.repeat_begins is None:
        return
    foot = section(pattern, "foot")
    for number, (part, row) in enumerate(over_the_instep(pattern), start=foot.planned + by + 1):
        like = foot.row(number)
        works, others = (on_instep(pattern, *one) for one in ((part, row), (foot, like)))
        if part.kind != "leg" or (row.before[1:-1] == like.before[1:-1] and not pattern.at_side):
            assert works == others, (part.kind, row.number)


@pytest.mark.parametrize("part", range(4))
def test_each_heel_goes_with_each_toe_and_leg_on_each_set(part: int) -> None:
    for one in swept()[part::4]:
        try:
            check(fields(*one))
        except AssertionError as wrong:
            raise AssertionError(f"{one}: {wrong}") from wrong


def test_wherever_the_foot_ends_the_repeat_goes_on_with_its_next_row() -> None:
    every = list(product(SETS, HEELS, ("wedge", "left and right"), CARRIED_UP[1:], STITCHES))
    for one in every if WHOLE else every[::11]:
        made = computed({**fields(*one), **TOE_UP}).document
        pattern = read_pattern(made, "")
        for by in range(1, section(pattern, "leg").cycle):
            moved = shifted(pattern, by)
            assert audit(document(made, pattern, moved)) == (), (one, by)
            check_order_of_rows(moved, by)


# The 64-stitch sock, row by row (common practice, no source)


def works(made: Pattern, kind: str) -> list[str]:
    return [written(row) for row in section(made, kind).rows]


def test_a_star_is_cast_on_in_a_ring_and_grows_at_four_points() -> None:
    toe = section(sock({**TOE_UP, "toe.kind": "star"}), "toe")
    assert (toe.starts, toe.planned) == ((2, 2, 2, 2), 22)
    assert [needle.work for needle in toe.rows[0].needles] == ["k to last 1, kfb"] * 4
    assert [row.number for row in toe.rows if row.word == "INC"] == [*range(1, 7), *range(8, 23, 2)]
    assert on_needles(toe.rows[-1]) == "16/16/16/16"


def test_a_round_toe_grows_in_eight_wedges() -> None:
    toe = section(sock({**TOE_UP, "toe.kind": "round", "needles.set": "two circulars"}), "toe")
    assert (toe.starts, toe.planned) == ((4, 4), 22)
    grown = [(row.number, row.leaves) for row in toe.rows if row.word == "INC"]
    assert grown == [(1, 16), (3, 24), (6, 32), (10, 40), (14, 48), (18, 56), (22, 64)]
    assert toe.rows[0].needles[0].work == "*kfb; rep from * to end"
    assert toe.rows[2].needles[0].work == "*k1, kfb; rep from * to end"


def test_what_a_round_toe_does_not_divide_grows_in_its_last_round() -> None:
    made = sock({**TOE_UP, "toe.kind": "round", "leg.stitches": 60})
    toe = section(made, "toe")
    assert (toe.planned, made.numbers.toe_rounds, made.numbers.cast_on) == (19, 19, 8)
    assert [row.leaves for row in toe.rows[-2:]] == [56, 60]
    assert on_needles(toe.rows[-1]) == "15/15/15/15"


def test_a_graduated_toe_grows_fast_first() -> None:
    toe = section(sock({**TOE_UP, "toe.kind": "graduated"}), "toe")
    assert (toe.starts, toe.planned) == ((2, 2, 2, 2), 24)
    plain = [row.number for row in toe.rows if row.word == "PLAIN"]
    assert plain == [9, 11, 13, 15, 16, 18, 19, 21, 22, 23]


def test_a_toe_for_one_foot_begins_at_the_side_and_leads_to_the_sole() -> None:
    made = sock({**TOE_UP, "toe.feet": "left and right"})
    toe, foot = section(made, "toe"), section(made, "foot")
    down = section(sock({"toe.feet": "left and right"}), "toe")
    widths = [down.starts, *(tuple(needle.leaves for needle in row.needles) for row in down.rows)]
    grown = [toe.starts, *(tuple(needle.leaves for needle in row.needles) for row in toe.rows)]
    assert grown == widths[::-1]
    assert written(foot.rows[0]) == "rest 16 | k | k | k = 16/16/16/16"
    assert (foot.first, foot.rows[0].word) == (0, "OVER")
    # Seen from above the instep begins at its other edge: sock one is the other foot's.
    assert (made.foot, sock({"toe.feet": "left and right"}).foot) == ("right", "left")
    two = of_sock_two(made)
    assert two.foot == "left"
    assert section(two, "foot").rows == foot.rows
    one_way = {"k1, M1L, k to end": "k to last 1, M1R, k1", "k": "k"}
    one_way |= {other: work for work, other in one_way.items()}
    for row, other in zip(toe.rows, section(two, "toe").rows, strict=True):
        facing = [row.needles[at] for at in (1, 0, 3, 2)]
        assert [needle.work for needle in other.needles] == [one_way[n.work] for n in facing]
        assert other.leaves == row.leaves


@pytest.mark.parametrize("kind", ["wrapped", "double-stitch"])
def test_a_heel_of_short_rows_is_the_very_same_in_either_direction(kind: str) -> None:
    for needles in SETS:
        given = {"heel.kind": kind, "needles.set": needles}
        up, down = sock({**given, **TOE_UP}), sock(given)
        halves = [
            [part.rows for part in made.sections if part.kind.startswith("heel")]
            for made in (up, down)
        ]
        assert halves[0] == halves[1]
        closes = section(up, "leg").first == 0
        assert closes == (needles in ("five", "four")) == (section(down, "foot").first == 0)


def test_the_foot_of_a_heel_without_gusset_leaves_room_for_the_heel() -> None:
    made = sock({**TOE_UP, "heel.kind": "wrapped"})
    foot = section(made, "foot")
    assert foot.goal is not None
    assert (foot.goal.mm, foot.goal.mark, foot.goal.less_heel) == (233, "cast-on", True)
    # 233 mm are 98 rounds: 20 of the toe and 22 rows of the heel among them.
    assert (foot.planned, section(made, "heel first half").planned) == (56, 22)


def test_the_foot_of_a_late_heel_ends_at_the_waste_yarn() -> None:
    made = sock({**TOE_UP, "heel.kind": "afterthought"})
    kinds = [part.kind for part in made.sections]
    assert kinds == ["toe", "foot", HEEL_PLACE, "leg", "cuff", "bind-off", LATE_HEEL, "graft"]
    foot, late = section(made, "foot"), section(made, LATE_HEEL)
    assert foot.goal is not None
    assert (foot.goal.mark, foot.goal.less_heel) == ("cast-on", False)
    heel_mm = late.rows_to(late.planned - 1) * 100 / 42
    assert foot.goal.mm == pytest.approx(233 - heel_mm, abs=0.5)
    leg = section(made, "leg")
    assert leg.goal is not None
    assert (leg.goal.mark, leg.goal.mm) == ("section", 110)


def test_a_leg_widens_in_the_rounds_in_which_one_from_the_cuff_narrows() -> None:
    given = {"foot.ankle": "28 cm", "leg.length": "28 cm"}
    for needles in SETS:
        up, down = (sock({**given, **way, "needles.set": needles}) for way in (TOE_UP, {}))
        legs = [section(made, "leg") for made in (up, down)]
        rounds = legs[1].planned + 1
        assert legs[0].planned == legs[1].planned
        grow = [row.number for row in legs[0].rows if row.word == "INC"]
        assert grow == [rounds - row.number for row in legs[1].rows if row.word == "DEC"][::-1]
        assert legs[0].rows[-1].leaves == sum(legs[1].starts) == sum(section(up, "cuff").starts)


def test_a_leg_too_short_to_widen_is_refused_with_one_that_works() -> None:
    with pytest.raises(ValueError, match=r"write 15\.6 cm or more"):
        sock({**TOE_UP, "foot.ankle": "33 cm", "leg.length": "12 cm"})


def test_a_repeat_is_begun_above_the_toe_and_the_leg_takes_it_up() -> None:
    rows = ["p1, C4F, p1, k2", "p1, k4, p1, k2", "p1, k4, p1, k2"]
    given = {
        "leg.fabric": "repeat", "leg.repeat": rows, "leg.stitches": 64, "foot.fabric": "as the leg",
    }  # fmt: skip
    made = sock({**TOE_UP, **given})
    foot, leg = section(made, "foot"), section(made, "leg")
    assert [needle.work for needle in foot.rows[0].needles][1:3] == [
        f"*{rows[0]}; rep from * to end"
    ] * 2
    before = foot.planned + section(made, "gusset").planned + 2
    assert {needle.work for needle in leg.rows[1].needles} == {
        f"*{rows[before % 3]}; rep from * to end"
    }


def test_above_a_plain_foot_the_leg_begins_with_the_first_row() -> None:
    chart = ["aabb", "abba", "bbaa"]
    made = sock({**TOE_UP, "leg.fabric": "stranded", "leg.repeat": chart, "leg.stitches": 64})
    assert section(made, "leg").rows[1].needles[0].work == "*k2 a, k2 b; rep from * to end"
    assert {row.word for row in section(made, "foot").rows} == {"PLAIN"}


# Wrong on purpose


@pytest.mark.parametrize(
    ("given", "kind", "place", "wrong", "said"),
    [
        ({"toe.kind": "star"}, "toe", 0, "k | k to last 1, kfb | k | k = 3/3/3/3", "it leaves 2/3/2/2"),
        ({"toe.kind": "round"}, "toe", 1, "kfb, k to end | k | k | k = 4/4/4/4", "it leaves 5/4/4/4"),
        ({"heel.kind": "wrapped"}, "heel first half", 1, "RS: k31, w&t = 32", "no stitch is left to wrap"),
        (
            {"heel.kind": "wrapped"}, "heel second half", 0, "WS: p10, w&t = 32",
            "a wrapped stitch is worked too late",
        ),
        (
            {"heel.kind": "double-stitch"}, "heel second half", 2, "WS: DS, p8, turn = 32",
            "a double stitch is worked too late",
        ),
    ],
)  # fmt: skip
def test_the_audit_names_a_row_that_is_not_right(
    given: dict[str, Any], kind: str, place: int, wrong: str, said: str
) -> None:
    assert said in named(kind, place, wrong, {**TOE_UP, **given})
