"""The heel knitted afterwards: its place, its wedge, and what a plan may say of it.

All figures are common practice, no source; from memory.
"""

from __future__ import annotations

import os
from collections import Counter
from itertools import pairwise, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.test_short_rows import at
from tests.pattern.making import computed, on_needles, plan_of, section, sock, written
from tests.pattern.test_every_sock import SETS
from tracker import cards, words
from tracker.forecast.between import heel_rows
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.stripes import threads
from tracker.pattern import toe
from tracker.pattern.afterthought import afterthought
from tracker.pattern.audit import audit, knitted
from tracker.pattern.glossary import terms
from tracker.pattern.model import HEEL_PLACE, LATE_HEEL
from tracker.pattern.notation import read_row, runs
from tracker.pattern.reading import read_pattern
from tracker.storage.files import FileTrouble
from tracker.ui.work import work_of
from tracker.written import heel_remark

SWEEP = os.environ.get("SWEEP", "")
ALL = [*product(range(20, 133), SETS)]
SLICE = ALL if SWEEP else ALL[::21]


def later(needles: str = "five", more: dict[str, Any] | None = None) -> dict[str, Any]:
    """The fields of a sock whose heel is knitted afterwards."""
    return {"heel.kind": "afterthought", "needles.set": needles, **(more or {})}


def test_the_sections_of_a_sock_with_a_heel_knitted_afterwards() -> None:
    made = sock(later())
    assert [(part.name, part.kind, part.planned) for part in made.sections] == [
        ("cuff", "cuff", 22), ("leg", "leg", 46), ("heel place", "heel place", 1), ("foot", "foot", 57),
        ("toe", "toe", 20), ("graft", "graft", 1), ("heel", "heel", 21), ("heel graft", "graft", 1),
    ]  # fmt: skip
    heel = section(made, LATE_HEEL)
    assert [written(row) for row in heel.rows[:4]] == [
        "pick up 1, take up 16 | take up 16, pick up 1 | pick up 1, take up 16 | take up 16, pick up 1"
        " = 17/17/17/17",
        "ssk, k to end | k to last 2, k2tog | ssk, k to end | k to last 2, k2tog = 16/16/16/16",
        "k1, ssk, k to end | k to last 3, k2tog, k1 | k1, ssk, k to end | k to last 3, k2tog, k1"
        " = 15/15/15/15",
        "k | k | k | k = 15/15/15/15",
    ]
    assert made.begins_at_side(heel)


@pytest.mark.parametrize(
    ("needles", "first", "last"),
    [("five", "17/17/17/17", "4/4/4/4"), ("four", "34/17/17", "8/4/4"), ("two circulars", "34/34", "8/8")],
)  # fmt: skip
def test_the_heel_is_the_wedge_of_a_toe_on_twice_its_stitches(
    needles: str, first: str, last: str
) -> None:
    """From 64 stitches: 16 rounds with a plain one between, then 4, as the toe of a foot of 64."""
    heel = section(sock(later(needles)), LATE_HEEL)
    assert (on_needles(heel.rows[0]), on_needles(heel.rows[-1])) == (first, last)
    wedge = toe.wedge(64)
    totals = [row.leaves for row in heel.rows[1:]]
    assert totals[0] == 64, "the corners are decreased away in round 1"
    takes = [one - other for one, other in pairwise(totals)]
    assert takes == [4 * wedge.decreases(number) for number in range(1, wedge.rounds + 1)]


@given(st.integers(6, 120))
def test_its_depth_is_that_of_the_toe(stitches: int) -> None:
    made = afterthought(stitches)
    assert (made.wedge.stitches, made.rows_deep) == (
        2 * stitches, 1 + toe.wedge(2 * stitches).rounds,
    )  # fmt: skip
    assert made.wedge.end % 2 == 0


def test_a_heel_knitted_afterwards_on_any_number_of_stitches() -> None:
    for stitches, needles in SLICE:
        made = computed(
            later(needles, {"leg.stitches": stitches, "cuff.rib": "k1p1", "foot.length": "34 cm"})
        )
        assert audit(made.document) == (), (stitches, needles)
        pattern = read_pattern(made.document, "")
        rows = [row for part in pattern.sections for row in part.rows]
        assert [row.worked for row in rows] == [row.made for row in knitted(made.document)]
        heel = section(pattern, LATE_HEEL)
        assert all(needle.leaves > 0 for row in heel.rows for needle in row.needles)
        assert heel.rows[1].leaves == 2 * (pattern.numbers.heel_stitches or 0)


def test_the_foot_is_measured_from_the_waste_yarn() -> None:
    """233 mm less a heel of 21 rounds, its corners among them, and a toe of 20, at 42 to 10 cm: 57 rounds."""
    made = sock(later())
    foot = section(made, "foot")
    assert foot.marks == ("section",)
    assert foot.goal is not None
    assert foot.goal.mm == pytest.approx(233 - 21 * 100 / 42, abs=0.1)
    assert made.numbers.foot_rounds == 57
    assert heel_rows(made.sections) == 0


def test_numbers_and_fields_of_a_flap_are_none_of_its() -> None:
    numbers = sock(later()).numbers
    assert (numbers.flap_rows, numbers.turn_rows, numbers.gusset_rounds) == (None, None, None)
    with pytest.raises(FileTrouble, match=r"heel.rows: rows belongs to a heel with a flap"):
        plan_of(later(more={"heel.rows": 32}))


def test_the_waste_yarn_is_a_round_of_the_stripes_and_the_heel_has_its_own_colour() -> None:
    striped = {"colours.leg": ["navy 9", "cream 3", "rust 2"], "colours.heel": "rust"}
    course = Course(sock(later(more=striped)))
    place = at(course, HEEL_PLACE)
    there = threads(course, place.state, 1).at(place.sock().section, 0)
    assert there is not None
    assert there[:2] == ("navy", 5)
    heel = at(course, LATE_HEEL)
    there = threads(course, heel.state, 1).at(heel.sock().section, 0)
    assert there is not None
    assert there[:2] == ("rust", 0)


@pytest.mark.parametrize("needles", ["five", "four", "two circulars"])
def test_at_the_needles_from_the_waste_yarn_to_the_last_graft(needles: str) -> None:
    course = Course(sock(later(needles)))
    place = cards.card(at(course, HEEL_PLACE).look())
    assert "waste yarn" in place[0]
    assert "32" in " ".join(place)
    knitter = at(course, LATE_HEEL)
    told = " ".join(cards.card(knitter.look()))
    order = [
        "Pass needle tips through one leg of each stitch", "32 on the leg side, 32 on the foot side",
        "take the one at the end", "Then take the waste yarn out",
        "Join the yarn at the corner where the leg side begins: the round begins there",
        "only at the corners pick up and knit, 2 and 2",
    ]  # fmt: skip
    assert sorted(order, key=told.index) == order
    assert "Nothing is on the needles." in words.place(knitter.look())
    knitter.tick(22)
    assert knitter.look().place.kind == "graft"
    assert "The half below onto one needle" in " ".join(cards.card(knitter.look()))
    knitter.tick()
    assert words.place(knitter.look()) == "Sock one is finished: the heel is grafted."


@pytest.mark.parametrize(
    ("needles", "told"),
    [
        ("five", "At its beginning: knit N4 and N1 with waste yarn, slip all 32 back."),
        ("four", "At its beginning: knit N3 and N1 with waste yarn, slip all 32 back."),
        ("short circular", "Knit these and the 16 after it with waste yarn, slip all 32 back."),
        ("two circulars", "Then B: knit it with waste yarn, slip all 32 back"),
    ],
)  # fmt: skip
def test_the_waste_yarn_lies_in_one_run(needles: str, told: str) -> None:
    """In two pieces a strand of the working yarn would tie the opening shut at the centre back."""
    knitter = at(Course(sock(later(needles))), HEEL_PLACE)
    assert told in " ".join(cards.card(knitter.look()))
    remark = heel_remark(section(knitter.course.pattern, HEEL_PLACE), 32, toe_up=False)
    assert remark is not None
    assert ("in one run" in remark) == (needles != "two circulars")


def test_the_work_in_hand_says_where_the_waste_yarn_goes() -> None:
    knitter = at(Course(sock(later())), HEEL_PLACE)
    assert work_of(knitter.look(), None).after == "N4 and N1: waste yarn, in one run"
    knitter.needle(3)
    assert work_of(knitter.look(by="needles"), None).lines[0].work == "waste yarn first, k 16"
    circulars = at(Course(sock(later("two circulars"))), HEEL_PLACE)
    assert work_of(circulars.look(), None).after == "B: waste yarn, in one run"


def test_the_needles_are_laid_for_the_heel_before_the_waste_yarn() -> None:
    repeat = {"leg.fabric": "repeat", "leg.repeat": ["k2, p2"], "leg.stitches": 60}
    knitter = at(Course(sock(later(more=repeat))), HEEL_PLACE)
    assert "Slide to 15 / 15 / 15 / 15." in cards.card(knitter.look())


def test_the_yarn_is_named_where_it_is_joined() -> None:
    knitter = at(Course(sock(later(more={"colours.heel": "rust"}))), LATE_HEEL)
    told = cards.card(knitter.look())
    assert "Join rust at the corner where the leg side begins" in told[1]
    assert not [line for line in told if line.startswith("Change to")]
    remark = heel_remark(section(knitter.course.pattern, LATE_HEEL), 32, toe_up=False)
    assert remark is not None
    assert "The loops are knitted; only the corner stitches, 2 and 2" in remark


def test_a_foot_is_not_measured_from_a_heel_that_is_not_there_yet() -> None:
    knitter = at(Course(sock(later())), "foot", 10)
    from_heel: dict[str, Any] = {"mm": 30.0, "from": "heel"}
    with pytest.raises(Refused, match="from the waste yarn: --from section"):
        knitter.do("measure", None, **from_heel)


@pytest.mark.parametrize(
    ("needles", "told"),
    [
        ("five", ["pick up 1, k16", "k16, pick up 1", "pick up 1, k16", "k16, pick up 1"]),
        ("four", ["pick up 1, k32, pick up 1", "pick up 1, k16", "k16, pick up 1"]),
        ("two circulars", ["pick up 1, k32, pick up 1", "pick up 1, k32, pick up 1"]),
    ],
)
def test_only_the_corners_are_picked_up(needles: str, told: list[str]) -> None:
    """The loops are live: they are on the needles, and knitted."""
    look = at(Course(sock(later(needles))), LATE_HEEL).look()
    assert [line.work for line in work_of(look, None).lines] == told


# What the waste yarn held


def with_set_up(row: str, **place: Any) -> tuple[str, ...]:
    """What the audit says of a sock on two circulars whose loops are taken up so."""
    document = computed(later("two circulars")).document
    tables = [
        {**table, "set_up": row} if table["kind"] == LATE_HEEL else {**table, **place}
        if table["kind"] == HEEL_PLACE else table
        for table in document["section"]
    ]  # fmt: skip
    return tuple(f"{one.problem}; {one.instead}" for one in audit({**document, "section": tables}))


SOUND = "pick up 1, take up 32, pick up 1 | pick up 1, take up 32, pick up 1 = 34/34"


@pytest.mark.parametrize("needles", SETS)
def test_the_waste_yarn_holds_the_heel_and_all_of_it_is_taken_up(needles: str) -> None:
    tables = {table["name"]: table for table in computed(later(needles)).document["section"]}
    assert tables[HEEL_PLACE]["waste"] == 32
    row = read_row(tables[LATE_HEEL]["set_up"])
    made = [run for segment in row.segments for run in runs(segment, 0)[0]]
    assert Counter({"take up": 64, "pick up": 4}) == sum(
        (Counter({run.stitch: run.times}) for run in made), Counter[str]()
    )
    term = next(term for term in terms([tables[LATE_HEEL]["set_up"]]) if term.name == "take up")
    assert "along the waste yarn, which is taken out" in term.words


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (
            "pick up 1, take up 30, pick up 3 | pick up 1, take up 32, pick up 1 = 34/34",
            "30 loops are taken up below the waste yarn, and it held 32 stitches; take up 32 below it",
        ),
        (
            "pick up 1, take up 32, pick up 1 | pick up 2, take up 31, pick up 1 = 34/34",
            "31 loops are taken up above the waste yarn, and it held 32 stitches; take up 32 above it",
        ),
        (
            "take up 34 | take up 34 = 34/34",
            "its loops lie in 1 stretch, and along waste yarn there are two; pick up stitches at the two "
            "corners, between the loops below and those above",
        ),
    ],
)
def test_loops_that_the_waste_yarn_never_held_are_named(row: str, why: str) -> None:
    assert with_set_up(SOUND) == ()
    assert with_set_up(row) == (why,)


def test_waste_yarn_lies_over_the_needles_of_the_heel() -> None:
    (first, *_) = with_set_up(SOUND, waste=30)
    assert first == "the waste yarn holds 30 stitches, and its needle 32; write waste = 32"
    (told,) = with_set_up(SOUND, waste=None)
    assert told.startswith(
        "no waste yarn was knitted in before it; write waste in the heel's place"
    )


def test_a_pattern_of_before_says_pick_up_and_stays_sound() -> None:
    assert with_set_up("pick up 34 | pick up 34 = 34/34") == ()
    document = computed(later("two circulars")).document
    old = [
        {key: value for key, value in table.items() if key != "waste"}
        | ({"set_up": "pick up 34 | pick up 34 = 34/34"} if table["kind"] == LATE_HEEL else {})
        for table in document["section"]
    ]
    assert audit({**document, "section": old}) == ()
    made = read_pattern({**document, "section": old}, "")
    assert section(made, LATE_HEEL).rows[0].word == "PICK"
