"""Socks from the toe up: their counts are those of the same sock from the cuff down, and the loom knits them.

A share of them is knitted each time; all that go together on demand:

    SWEEP=pairs .venv/bin/python -m pytest tests/pattern/test_toe_up.py
"""

from __future__ import annotations

import os
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.pattern.making import computed, on_needles, section, sock, written
from tests.pattern.test_every_sock import ALL, RIBS, SETS, Sock, check_instep, mended
from tracker.pattern.audit import audit, knitted
from tracker.pattern.model import Pattern
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_pattern

TOE_UP = {"direction": "toe-up"}
SWEPT = [one._replace(feet="alike") for one in ALL]
SLICE = SWEPT if os.environ.get("SWEEP") in ("pairs", "all") else SWEPT[::151]


def check(one: Sock) -> None:
    """Everything that is true of any sock from the toe up."""
    made = computed({**one.plan, **TOE_UP})
    pattern = read_pattern(made.document, "")
    assert audit(made.document) == ()
    rows = [row for part in pattern.sections for row in part.rows]
    loom = list(knitted(made.document))
    assert [row.worked for row in rows] == [row.made for row in loom]
    check_meetings(pattern)
    check_halves(one, pattern)
    check_instep(one, pattern)
    check_like_from_the_cuff(one, pattern)


def check_meetings(pattern: Pattern) -> None:
    """No stitch comes or goes where sections meet; every needle holds some until the bind-off."""
    for before, after in zip(pattern.sections, pattern.sections[1:], strict=False):
        rested, rests = (sum(wait.stitches for wait in part.waiting) for part in (before, after))
        assert before.rows[-1].leaves + rested == sum(after.rows[0].before) + rests
    for part in pattern.sections[:-1]:
        assert all(needle.leaves > 0 for row in part.rows for needle in row.needles)
    assert pattern.sections[-1].rows[-1].leaves == 0


def check_halves(one: Sock, pattern: Pattern) -> None:
    """Instep and sole grow alike; the heel comes back to its own stitches."""
    toe = section(pattern, "toe")
    for row in toe.rows:
        on = [needle.leaves for needle in row.needles]
        instep = on[0] if len(on) == 2 else sum(on[1:-1])
        assert abs(2 * instep - row.leaves) == row.leaves % 2
    assert section(pattern, "flap").rows[-1].leaves == pattern.numbers.heel_stitches
    assert sum(section(pattern, "leg").starts) == one.stitches


def check_like_from_the_cuff(one: Sock, pattern: Pattern) -> None:
    """Toe, gusset, turn and heel have the numbers that they have from the cuff down."""
    down = read_pattern(computed(one.plan).document, "")
    same = down.numbers._asdict()
    # A round knits an odd stitch away before the toe; from the toe up it is not cast on.
    same["foot_rounds"] += sum(row.number == 0 for row in section(down, "toe").rows)
    here = pattern.numbers._asdict()
    others = {"cast_on", "flap_rows", "after_pick_up", "graft_stitches", "stitches_per_sock"}
    for name in here.keys() - others - {"leg_rounds"}:
        assert here[name] == same[name], name
    assert here["cast_on"] == 2 * same["graft_stitches"] + sum(section(pattern, "foot").starts) % 2
    widest = sum(section(pattern, "turn").starts) + sum(
        wait.stitches for wait in section(pattern, "turn").waiting
    )
    assert widest == same["after_pick_up"]


@pytest.mark.parametrize("part", range(4))
def test_they_are_knitted_by_the_audit(part: int) -> None:
    for one in SLICE[part::4]:
        try:
            check(one)
        except AssertionError as wrong:
            raise AssertionError(f"{one}: {wrong}") from wrong


# The 64-stitch sock, row by row (common practice, no source)


def works(made: Pattern, kind: str) -> list[str]:
    return [written(row) for row in section(made, kind).rows]


@pytest.mark.parametrize(
    ("needles", "begins", "after_one", "ends"),
    [
        ("five", (4, 4, 4, 4), "5/5/5/5", "16/16/16/16"),
        ("four", (4, 8, 4), "5/10/5", "16/32/16"),
        ("two circulars", (8, 8), "10/10", "32/32"),
    ],
)
def test_the_toe_grows_as_one_from_the_cuff_down_goes_in(
    needles: str, begins: tuple[int, ...], after_one: str, ends: str
) -> None:
    made = sock({**TOE_UP, "needles.set": needles})
    toe = section(made, "toe")
    assert (toe.starts, toe.planned, toe.first) == (begins, 20, 1)
    assert (on_needles(toe.rows[0]), on_needles(toe.rows[-1])) == (after_one, ends)
    # Four rounds one after the other grow, then every second one does.
    assert [row.number for row in toe.rows if row.word == "INC"] == [1, 2, 3, 4, *range(6, 21, 2)]
    down = section(sock({"needles.set": needles}), "toe")
    widths = [down.starts, *(tuple(n.leaves for n in row.needles) for row in down.rows)]
    assert [toe.starts, *(tuple(n.leaves for n in row.needles) for row in toe.rows)] == widths[::-1]


def test_cup_and_flap_of_the_64_stitch_sock() -> None:
    made = sock(TOE_UP)
    turn, flap = works(made, "turn"), works(made, "flap")
    assert turn[:3] == ["RS: k41, w&t = 52", "WS: p30, w&t = 52", "RS: k29, w&t = 52"]
    assert turn[-1] == "WS: p18, w&t = 52"
    assert len(turn) == 14
    assert flap[:3] == [
        "RS: k24, ssk, turn = 51",
        "WS: sl1, p30, p2tog, turn = 50",
        "RS: [sl1, k1] 15 times, sl1, ssk, turn = 49",
    ]
    assert flap[-2:] == ["WS: sl1, p30, p2tog, turn = 32", "RS: sl1, k31 = 32"]
    assert len(flap) == 20 + 1


def test_rounds_begin_at_the_centre_back_again_or_at_the_side() -> None:
    five, two = sock(TOE_UP), sock({**TOE_UP, "needles.set": "two circulars"})
    assert works(five, "leg")[0] == "rest 16 | k | k | k = 16/16/16/16"
    assert section(five, "leg").first == 0
    assert section(two, "leg").first == 1
    assert works(five, "heel set-up") == ["RS: k | k | k |  = 26/16/16/26"]
    assert works(two, "heel set-up") == ["RS: k |  = 32/52"]


def test_the_last_section_binds_off_all() -> None:
    last = sock(TOE_UP).sections[-1]
    assert (last.kind, last.worked) == ("bind-off", "rounds")
    assert [written(row) for row in last.rows] == ["BO all | BO all | BO all | BO all = 0/0/0/0"]


def test_an_odd_foot_has_one_more_on_its_larger_half_from_the_cast_on() -> None:
    made = sock({**TOE_UP, "leg.stitches": 63, "cuff.rib": "k2p1", "needles.set": "two circulars"})
    toe = section(made, "toe")
    assert (made.numbers.cast_on, toe.starts) == (19, (10, 9))
    assert on_needles(toe.rows[-1]) == "32/31"


def test_a_leg_that_the_rib_does_not_divide_is_changed_before_the_cuff() -> None:
    made = sock({**TOE_UP, "leg.stitches": 66})
    cuff = section(made, "cuff")
    assert cuff.first == 0
    assert (sum(cuff.rows[0].before), cuff.rows[0].leaves) == (66, 68)
    assert (cuff.planned, {row.word for row in cuff.rows[1:]}) == (22, {"RIB"})


# Against what is published


def test_the_slip_heel_worked_upwards_has_the_published_numbers() -> None:
    """A = 63 stitches before, B = 33 wanted: C = (A + B)/2 - 1, D = B - 2, E = (B - 1)/2.

    Source: a heel worked upwards, snapperknits, July 2009 (C is printed there as 48 - 1).
    """
    made = sock({**TOE_UP, "leg.stitches": 66, "cuff.rib": "k2p1", "heel.rows": 30})
    before, wanted = sum(section(made, "turn").starts), made.numbers.heel_stitches
    assert (before, wanted) == (63, 33)
    assert works(made, "turn")[0] == "RS: k47, w&t = 63"
    flap = works(made, "flap")
    assert flap[1].startswith("WS: sl1, p31, p2tog, turn")
    assert flap[2].startswith("RS: [sl1, k1] 16 times, ssk, turn")


# What her own numbers do, and what is refused


def test_her_rows_are_those_that_take_the_gusset_in() -> None:
    made = sock({**TOE_UP, "heel.rows": 24})
    numbers = made.numbers
    assert (numbers.flap_rows, numbers.gusset_decrease_rounds) == (25, 12)
    assert sum(section(made, "turn").starts) == 32 + 24


def test_a_leg_without_a_length_is_open_and_says_so() -> None:
    made = computed({**TOE_UP, "leg.length": None})
    (note,) = [note for note in made.notes if "goes on until you end it" in note]
    assert "instep target yarn" in note
    leg = section(read_pattern(made.document, ""), "leg")
    assert leg.goal is not None
    assert leg.goal.mark == "section"


@pytest.mark.parametrize(
    ("given", "field", "said"),
    [
        (
            {"toe.feet": "left and right", "toe.kind": "star"},
            "toe.feet",
            'write feet = "alike", or toe.kind = "wedge"',
        ),
        ({"leg.fabric": "repeat"}, "leg.repeat", "it has no rows yet; write repeat = ["),
        ({"leg.fabric": "rib", "leg.repeat": ["aabb"]}, "leg.repeat", "a rib leg has no repeat"),
        ({"heel.kind": "wrapped", "foot.stitches": 60}, "foot.stitches", "write 64, leave it out"),
        ({"heel.kind": "wrapped", "foot.length": "9 cm"}, "foot.length", "write a foot of 9.9 cm"),
        (
            {"toe.feet": "left and right", "heel.kind": "wrapped", "foot.length": "9.9 cm"},
            "foot.length",
            "write a foot of 10.2 cm",
        ),
        ({"heel.picked_up": "17/16"}, "heel.picked_up", "leave picked_up out"),
        ({"leg.length": None, "leg.rounds": 0}, "leg.rounds", "write at least 1"),
        ({"leg.length": "5 cm"}, "leg.length", "leaves no rounds below the cuff"),
        ({"heel.rows": 2, "foot.stitches": 66}, "heel.rows", "write at least 4"),
        ({"foot.stitches": 63}, "foot.stitches", "write 62 or 64"),
    ],
)
def test_what_has_no_place_in_it_is_refused_with_what_works(
    given: dict[str, Any], field: str, said: str
) -> None:
    with pytest.raises(WillNotWork) as bad:
        computed({**TOE_UP, **given})
    assert bad.value.field == field
    assert said in bad.value.why


@settings(max_examples=40)
@given(
    st.fixed_dictionaries(
        {
            "foot.length": st.integers(90, 320).map(lambda mm: f"{mm} mm"),
            "leg.stitches": st.integers(20, 110),
            "foot.stitches": st.none() | st.integers(16, 110),
            "needles.set": st.sampled_from(sorted(SETS)),
            "cuff.rib": st.sampled_from(sorted(RIBS)),
            "cuff.length": st.integers(5, 120).map(lambda mm: f"{mm} mm"),
            "leg.length": st.none() | st.integers(5, 400).map(lambda mm: f"{mm / 10} cm"),
            "heel.rows": st.none() | st.integers(2, 60),
            "heel.gap": st.sampled_from([0, 1]),
            "heel.kind": st.sampled_from(["flap", "wrapped", "double-stitch", "afterthought"]),
            "toe.kind": st.sampled_from(["wedge", "graduated", "star", "round"]),
            "foot.ankle": st.none() | st.integers(200, 400).map(lambda mm: f"{mm} mm"),
        }
    )
)
def test_what_a_refusal_says_to_write_leads_to_a_sock(plan: dict[str, Any]) -> None:
    plan |= TOE_UP
    if plan["heel.kind"] != "flap":
        plan |= {"heel.rows": None, "heel.gap": None, "foot.stitches": None}
    told: list[str] = []
    for _ in range(9):
        try:
            made = computed(plan)
        except WillNotWork as bad:
            told.append(f"{bad.field}: {bad.why}")
            plan = mended(plan, bad)
        else:
            assert audit(made.document) == ()
            return
    raise AssertionError("\n".join(told))


# Wrong on purpose


def named(key: str, place: int, wrong: str, given: dict[str, Any] = TOE_UP) -> str:
    """What the audit says first of such a sock with one row of a section written otherwise."""
    document = computed(given).document
    tables = [dict(table) for table in document["section"]]
    (table,) = [one for one in tables if one["kind"] == key]
    table["rows"] = [*table["rows"][:place], wrong, *table["rows"][place + 1 :]]
    problems = audit({**document, "section": tables})
    return problems[0].problem if problems else ""


@pytest.mark.parametrize(
    ("kind", "place", "wrong", "said"),
    [
        ("turn", 1, "WS: p29, w&t = 52", "lop-sided"),
        ("turn", 12, "RS: k18, w&t = 52", "lop-sided"),
        ("flap", 2, "RS: [sl1, k1] 16 times, ssk, turn = 49", "does not bridge the gap"),
        ("flap", 4, "RS: sl1, k31, turn = 48", "takes no stitch of the gusset"),
        ("flap", 4, "RS: sl1, k28, ssk, ssk, turn = 46", "takes no stitch of the gusset"),
        ("toe", 4, "k | k | k | k1, M1L, k = 8/8/8/8", "it leaves 8/8/8/9"),
        ("gusset", 0, "k | k | k | k1, M1L, k to end = 17/16/16/17", "it leaves 16/16/16/17"),
        ("bind-off", 0, "BO all | BO all | BO all | k = 0/0/0/0", "it leaves 0/0/0/16"),
    ],
)
def test_the_audit_names_a_row_that_is_not_right(
    kind: str, place: int, wrong: str, said: str
) -> None:
    assert said in named(kind, place, wrong)
