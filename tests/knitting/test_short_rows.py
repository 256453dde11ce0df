"""Short-row heels at the needles: the place by what is wrapped or double, the stripes, the words.

Common practice, no source.
"""

from __future__ import annotations

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.pieces import of_heel
from tracker import cards, words
from tracker.forecast.between import heel_rows
from tracker.glance import Glance
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.places import places
from tracker.knitting.stripes import threads
from tracker.pattern.model import FIRST_HALF, HEEL_ROUNDS, SECOND_HALF
from tracker.pattern.turned_sides import is_short, sides
from tracker.place_words import said_count
from tracker.ui.sights import laid_out
from tracker.ui.work import Work, shorter, work_of
from tracker.written import heel_remark


def at(course: Course, kind: str, row: int = 0) -> Knitter:
    """A knitter who has done so many rows of a section, all before it as planned."""
    knitter = Knitter(course)
    index = [section.kind for section in course.sections].index(kind)
    for section in course.sections[:index]:
        knitter.tick(section.rows_to(section.planned))
        if section.goal is not None:
            knitter.do("end")
    if row:
        knitter.tick(row + (course.sections[index].first == 0))
    return knitter


@pytest.mark.parametrize("kind", ["wrapped", "double-stitch"])
@pytest.mark.parametrize("needles", ["five", "four", "two circulars"])
def test_what_lies_on_both_sides_tells_the_row_of_each_half(kind: str, needles: str) -> None:
    course = of_heel(kind, needles)
    knitter = at(course, FIRST_HALF, 1)
    for index, section in enumerate(course.sections):
        if not is_short(section):
            continue
        for rows in range(1, len(section.rows) + 1):
            beside = sides(section, rows)
            assert beside is not None
            found = places(course, knitter.state, 1, beside[:2])
            assert (index, rows) in [place[:2] for place in found]
            assert found == places(course, knitter.state, 1, beside[1::-1]), "either side first"
            assert len([place for place in found if place.section == index]) == 1 or not any(
                beside[:2]
            )


def test_a_count_of_what_is_wrapped_says_where_she_is() -> None:
    knitter = at(of_heel("wrapped", "five"), FIRST_HALF, 13)
    glance = knitter.look()
    assert words.caption(glance) == "7 and 6 wrapped"
    # On the smallest screens there is no other room for it, and the stitches stay as many.
    assert words.facts(glance)[0] == ("7/6 wrapped", "now")
    assert "32 on the heel needle, 7 and 6 wrapped, 32 rest." in words.place(glance)
    knitter.do("count", found=[6, 7])
    assert said_count(knitter.look(), keys=True) == "7 and 6 wrapped: as it should be."
    knitter.do("count", found=[6, 6])
    told = said_count(knitter.look(), keys=True)
    assert told.startswith("6 wrapped on each side counted, 7 and 6 wrapped expected. That is")
    assert "heel first half row 12 or heel second half row 10" in told
    assert "Do the rows grow longer again?" in told
    knitter.do("count", found=[32])
    told = said_count(knitter.look(), keys=True)
    assert "as in every row" in told
    assert "write 7/6" in told
    with pytest.raises(Refused):
        knitter.do("count", found=[6, 6, 20])


def test_rounds_inside_the_heel_are_rounds_of_the_stripes() -> None:
    """Navy 9 of 14: leg 46 ends with its 4th; the rounds inside the heel are its 5th and 6th."""
    stripes = ["navy 9", "cream 3", "rust 2"]
    course = of_heel.__wrapped__("double-stitch", "five", colours__leg=stripes)
    inside, second, foot = (at(course, kind) for kind in (HEEL_ROUNDS, SECOND_HALF, "foot"))
    there = threads(course, inside.state, 1).at(inside.sock().section, 0)
    assert there is not None
    assert there[:2] == ("navy", 5)
    there = threads(course, second.state, 1).at(second.sock().section, 3)
    assert there is not None
    assert there[:2] == ("navy", 0), "the heel stands still"
    there = threads(course, foot.state, 1).at(foot.sock().section, 0)
    assert there is not None
    assert there[:2] == ("navy", 7)


@pytest.mark.parametrize("kind", ["wrapped", "double-stitch"])
@pytest.mark.parametrize("needles", ["five", "two circulars"])
def test_no_card_speaks_of_a_flap_or_a_gusset(kind: str, needles: str) -> None:
    course = of_heel(kind, needles)
    assert heel_rows(course.sections) == 22, "the depth of the heel: twice 11 rows"
    for section in course.sections:
        if not section.kind.startswith("heel") and section.kind != "foot":
            continue
        for rows in (0, 1):
            glance = at(course, section.kind, rows).look()
            told = " ".join([*cards.card(glance), *cards.card_brief(glance), *sentences(glance)])
            assert not {"flap", "gusset", "pick"} & set(told.split()), told


def sentences(glance: Glance) -> list[str]:
    return [words.place(glance), words.caption(glance), words.coming(glance)]


def test_the_card_of_each_half_says_what_is_done_at_the_turn() -> None:
    told = {
        kind: " ".join(cards.card(at(of_heel("wrapped", "five"), kind).look()))
        for kind in (FIRST_HALF, SECOND_HALF, "foot")
    }
    assert "22 short rows, wrong side first" in told[FIRST_HALF]
    assert "work the wrapped stitch with its wraps" in told[SECOND_HALF]
    assert "to the centre back: there the rounds begin" in told["foot"]
    inside = " ".join(cards.card(at(of_heel("double-stitch", "five"), HEEL_ROUNDS).look()))
    assert "both legs of a double stitch as one" in inside


def in_hand(course: Course, kind: str, row: int) -> Work:
    """The work of the row after so many of a half, as the screen tells it."""
    glance = at(course, kind, row).look()
    return work_of(glance, laid_out(glance))


def test_the_last_row_of_a_first_half_names_its_double_stitches() -> None:
    course = of_heel("double-stitch", "five")
    assert in_hand(course, FIRST_HALF, 20).lines[0].work == "DS, p11, turn"
    last = in_hand(course, FIRST_HALF, 21)
    assert last.lines[0].work == "DS, k10, then k11 doubles, both legs as one"
    assert last.after == "11 stitches rest behind", (
        "10, and the double one that the row begins with"
    )
    assert "k10, then k11 doubles, both legs as one." in words.place(
        at(course, FIRST_HALF, 21).look()
    )
    assert "DS, k10, then k11 doubles as one" in shorter(last.lines[0])
    glance = at(course, FIRST_HALF).look()
    assert "k11 doubles, both legs as one" in " ".join(cards.card(glance))
    assert "k11 doubles as one" in " ".join(cards.card_brief(glance)).replace(", ", " ")


def test_a_second_half_names_the_wrapped_stitch_and_how_many_wraps_it_has() -> None:
    course = of_heel("wrapped", "five")
    told = {row: in_hand(course, SECOND_HALF, row).lines[0].work for row in (0, 1, 2, 4, 21)}
    assert told == {
        0: "p10, p the wrapped one with its wrap, w&t",
        1: "k11, k the wrapped one with its wrap, w&t",
        2: "p12, p the wrapped one with its wraps (two), w&t",
        4: "p14, p the wrapped one with its wraps (two), w&t",
        21: "k31, k the wrapped one with its wraps (two)",
    }
    section = at(course, SECOND_HALF).course.sections[4]
    remark = heel_remark(section, 32, toe_up=False)
    assert remark is not None
    assert "from row 3 on with both its wraps" in remark
    assert "before each turn" not in remark, "the last row does not turn"


@pytest.mark.parametrize("kind", ["wrapped", "double-stitch"])
def test_on_one_needle_markers_part_heel_and_instep(kind: str) -> None:
    marked = "A marker at each end of the instep."
    glance = at(of_heel(kind, "short circular"), FIRST_HALF).look()
    assert marked in cards.card(glance)
    assert marked in cards.card_brief(glance)
    assert marked not in cards.card(at(of_heel(kind, "five"), FIRST_HALF).look())


@pytest.mark.parametrize("needles", ["five", "four", "two circulars", "short circular"])
def test_double_stitches_that_are_open_tell_the_rounds_inside_the_heel(needles: str) -> None:
    """Before round 1 those behind are open, 10 and the one the last row began with; after it none."""
    knitter = at(of_heel("double-stitch", needles), HEEL_ROUNDS)
    knitter.do("count", found=[11, 0])
    assert said_count(knitter.look(), keys=True) == "11 and 0 double: as it should be."
    knitter.tick()
    knitter.do("count", found=[0, 11])
    told = said_count(knitter.look(), keys=True)
    assert told.startswith(
        "11 and 0 double counted, none double expected. That is heel first half row"
    )
    knitter.do("count", found=[0, 0])
    assert said_count(knitter.look(), keys=True) == "None double: as it should be."


def test_two_needles_inside_a_doubled_heel_are_counted_as_ever() -> None:
    knitter = at(of_heel("double-stitch", "two circulars"), HEEL_ROUNDS)
    knitter.do("count", found=[32, 32])
    assert said_count(knitter.look(), keys=True).startswith("32/32 = 64: as it should be")
    knitter.do("count", found=[32, 31])
    assert "32/31 = 63 counted, 32/32 = 64 expected" in said_count(knitter.look(), keys=True)
    five = at(of_heel("double-stitch", "five"), HEEL_ROUNDS)
    with pytest.raises(Refused, match="2 needles are counted, 3 needles are in work"):
        five.do("count", found=[32, 32])
