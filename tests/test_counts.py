"""What a count of the stitches answers, in full and in two lines. Common practice, no source."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import Knitter
from tests.knitting.test_stripes import striped
from tests.pattern.making import sock
from tests.ui.driving import begin
from tracker import count_brief, past_words, place_words, words
from tracker.glance import CountSight
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.past import past
from tracker.knitting.replay import BadHistory
from tracker.storage.basket import Basket
from tracker.ui.cue_line import told

SMALL, WIDE = 38, 76
"""Cells of a line on the smallest screen with a cue line, and on one of 80."""


def at(section: str, row: int) -> Knitter:
    knitter = Knitter()
    knitter.to(section, row)
    return knitter


def of_plan(given: dict[str, Any]) -> Knitter:
    return Knitter(Course(sock(given)))


def picked_up() -> Knitter:
    knitter = at("gusset", 0)
    knitter.tick()
    return knitter


def count(knitter: Knitter, *found: int) -> CountSight:
    knitter.do("count", found=list(found))
    counted = knitter.look().counted
    assert counted is not None
    return counted


def said(knitter: Knitter, *found: int, keys: bool = False) -> str:
    count(knitter, *found)
    return place_words.said_count(knitter.look(), keys=keys)


def on_screen(knitter: Knitter, *found: int, width: int = SMALL) -> str:
    """What two lines show of it."""
    whole = said(knitter, *found, keys=True)
    glance = knitter.look()
    assert glance.counted is not None
    return " ".join(told(whole, count_brief.brief(glance.counted, glance), width, 2))


@pytest.mark.parametrize(
    ("section", "row", "found", "small", "wide"),
    [
        ("gusset", 10, (20, 16, 16, 21), "Or inside round 11: yarn at needle 1, 2 or 3? then 1 p to 3 p.",
         "Round 11: decrease once less on N1 (1 too few). Or inside round 11: yarn at"),
        ("gusset", 10, (20, 16, 16, 20), "Gusset round 11 or 12? last one plain: 12 p; shaped: p.", ""),
        ("gusset", 10, (76,), "Gusset round 8 or 7? last one plain: p; shaped: 7 p.", ""),
        ("gusset", 10, (22, 16, 16, 21), "Round 11: k2tog once more on N1 (1 too many).",
         "in round 11 k2tog once more on N1, which has 1 too many"),
        ("gusset", 10, (20, 15, 16, 21), "Round 11: decrease once less on N1, find or make 1 on N2.", ""),
        ("leg", 14, (16, 16, 15, 16), "Round 15: find or make 1 on N3 (1 too few).", ""),
        ("leg", 14, (63,), "63, not 64: look for a dropped stitch; count each needle", ""),
        ("flap", 2, (31,), "31, not 32: look for a dropped stitch", ""),
    ],
)  # fmt: skip
def test_two_lines_have_the_answer(
    section: str, row: int, found: tuple[int, ...], small: str, wide: str
) -> None:
    """Which needle, the repair and its round; or both places, and what decides."""
    assert on_screen(at(section, row), *found) == small
    assert (wide or small) in on_screen(at(section, row), *found, width=WIDE)


def test_a_needle_passed_in_the_last_round_of_a_section_is_told_to_be_unknitted_to() -> None:
    """The next round is another section's: no round of this one is left for it."""
    knitter = at("cuff", 21)
    knitter.needle(2)
    assert said(knitter, 16, 17, 16, 16).endswith(
        "If the place is right, N2 is off and round 22 is the last of the cuff: unknit back to it and put it "
        "right there."
    )
    assert on_screen(knitter, 16, 17, 16, 16) == "N2 is off: unknit back, <."
    (cue,) = [cue for cue in knitter.look().cues if cue.about == "no round left"]
    assert words.cue_brief(cue, knitter.look()) == "N2 is off: unknit back, <"
    assert words.cue_line(cue, knitter.look()).startswith("N2 is off and round 22 is the last")
    count(knitter, 16, 16, 17, 16)
    assert [cue.about for cue in knitter.look().cues if cue.kind == "count"] == ["repair"]
    knitter.needle()
    assert "unknit" not in said(knitter, 16, 16, 16, 17)


def test_what_is_to_be_put_right_stays_in_view_until_the_yarn_has_passed_it() -> None:
    """Counting by needles she hears of N1 and N3 on N2: of N3 in this round, of N1 in the next."""
    knitter = at("leg", 14)
    knitter.needle()
    count(knitter, 17, 16, 14, 16)
    assert waits(knitter) == []
    told_to_her = []
    for _ in range(8):
        knitter.needle()
        told_to_her.append(waits(knitter))
    in_next = "round 16: k2tog once on N1 (1 too many)"
    both = "this round: find or make 2 on N3; round 16: k2tog once on N1"
    assert told_to_her == [[both], [in_next], [in_next], [], [], [], [], []]


def test_what_was_to_be_put_right_goes_with_the_count_that_found_it() -> None:
    knitter = at("leg", 14)
    knitter.needle()
    count(knitter, 16, 16, 16, 17)
    knitter.needle()
    assert waits(knitter) == ["this round: k2tog once on N4 (1 too many)"]
    count(knitter, 16, 16, 16, 16)
    assert waits(knitter) == []
    knitter.do("undo")
    knitter.do("undo")
    assert [cue.about for cue in knitter.look().cues if cue.kind == "count"] == ["repair"]


def waits(knitter: Knitter) -> list[str]:
    glance = knitter.look()
    return [words.cue_brief(cue, glance) for cue in glance.cues if cue.about == "repair waits"]


def test_the_answer_stays_until_the_next_tick() -> None:
    knitter = at("gusset", 10)
    count(knitter, 76)
    (cue,) = [cue for cue in knitter.look().cues if cue.kind == "count"]
    assert words.cue_text(cue, knitter.look())[0].startswith("Gusset round 8 or 7?")
    assert words.cue_line(cue, knitter.look()).endswith(
        "instep at 8 --section gusset puts the count there."
    )
    knitter.tick()
    assert not [cue for cue in knitter.look().cues if cue.kind == "count"]


@given(st.sampled_from(("leg", "gusset", "toe")), st.integers(1, 18), st.data())
@examples(80)
def test_no_two_lines_are_cut_and_none_offers_a_place_far_away(
    section: str, row: int, data: st.DataObject
) -> None:
    knitter = at(section, row)
    there = [needle.stitches for needle in knitter.look().needles]
    off = data.draw(st.lists(st.integers(-2, 2), min_size=len(there), max_size=len(there)))
    found = [held + by for held, by in zip(there, off, strict=True)]
    found = [sum(found)] if data.draw(st.booleans()) else found
    counted = count(knitter, *found)
    if counted.matches:
        return
    brief = count_brief.brief(counted, knitter.look())
    assert brief
    if not counted.near:
        assert " p" not in brief
        assert not brief.startswith("p:")


@pytest.mark.parametrize(
    ("found", "edges"),
    [
        ((27, 16, 16, 25), (17, 15)), ((26, 16, 16, 24), (16, 14)), ((25, 16, 16, 26), (15, 16)),
        ((26, 15, 16, 26), None), ((26, 16, 16, 22), None),
    ],
)  # fmt: skip
def test_edges_picked_up_unevenly_are_seen(
    found: tuple[int, ...], edges: tuple[int, int] | None
) -> None:
    """After the pick-up of 26/16/16/26; told as it is said, the count is as it should be."""
    knitter = picked_up()
    assert count(knitter, *found).edges == edges
    if edges is None:
        return
    value = f"{edges[0]}/{edges[1]}"
    assert said(knitter, *found).startswith(
        f"Edges of {edges[0]} and {edges[1]}? instep changed picked-up {value} plans the decreases anew."
    )
    knitter.do("changed", None, **{"as": "picked-up", "value": value})
    assert count(knitter, *found).matches


def test_all_in_one_after_the_pick_up_asks_for_each_needle() -> None:
    assert said(picked_up(), 82).startswith(
        "Along the edges 2 fewer than planned? Counted on each needle"
    )
    assert count(at("gusset", 1), 80).edges is None


def test_more_rounds_than_two_with_as_many_ask_for_the_plain_ones() -> None:
    knitter = at("gusset", 9)
    skipped: dict[str, Any] = {"as": "skipped-decrease", "value": "", "row": 9}
    knitter.do("changed", None, **skipped)
    knitter.tick()
    assert said(knitter, 76).endswith(
        "How many plain rounds lie above the last decrease: 2, 1 or none? "
        "2: instep at 9, 1: instep at 8, none: instep at 7."
    )


@pytest.mark.parametrize(("toe", "found"), [("graduated", 60), ("round", 56)])
def test_a_right_count_in_alike_rounds_names_them_all(toe: str, found: int) -> None:
    knitter = of_plan({"toe.kind": toe})
    knitter.to("toe", 3)
    assert said(knitter, found) == (
        f"{found}: as it should be. Toe rounds 1, 2, 3 and 4 have as many. How many plain rounds lie above "
        "the last decrease: 3, 2, 1 or none? "
        "3: instep at 4, 2: instep at 3, 1: instep at 2, none: instep at 1."
    )


def test_ten_plain_rounds_are_ten() -> None:
    knitter = of_plan({"foot.ankle": "29 cm", "leg.length": None, "leg.rounds": 70})
    knitter.to("leg", 60)
    assert " 11, 10, 9," in said(knitter, knitter.look().stitches)


@pytest.mark.parametrize(
    ("found", "named"),
    [(66, "leg rounds 40 to 48"), (64, "leg round 49 or later"), (76, "the first 7 leg rounds")],
)
def test_a_count_of_a_shaped_leg_names_its_rounds(found: int, named: str) -> None:
    knitter = of_plan(
        {
            "foot.circumference": "24 cm", "foot.ankle": "29 cm", "leg.length": "22 cm", "gauge.stitches": 29,
            "gauge.rows": 41,
        }
    )  # fmt: skip
    knitter.to("leg", 30)
    assert f"That is {named}" in said(knitter, found)


@pytest.mark.parametrize(
    ("found", "plan"),
    [
        ((16, 16, 17, 16), "in this round k2tog once on N3, which has 1 too many"),
        ((16, 17, 16, 16), "in round 20 k2tog once on N2, which has 1 too many"),
        ((17, 16, 17, 16), "in this round k2tog once on N3, which has 1 too many; in round 20 "),
    ],
)  # fmt: skip
def test_inside_a_round_each_needle_has_its_plan(found: tuple[int, ...], plan: str) -> None:
    knitter = at("leg", 18)
    knitter.needle(2)
    assert plan in said(knitter, *found)
    round_of_it = 19 if found == (16, 16, 17, 16) else 20
    knitter.tick()
    if round_of_it == 20:
        assert knitter.sock().put_right is None
        knitter.tick()
    assert knitter.sock().put_right == (1, round_of_it)


def test_a_layout_that_fits_a_row_is_that_row_and_no_repair() -> None:
    assert said(at("toe", 13), 7, 7, 7, 7) == (
        "7/7/7/7 = 28 counted, 9/9/9/9 = 36 expected. That is toe round 17. "
        "instep at 17 --section toe puts the count there."
    )
    whole = said(at("gusset", 10), 20, 16, 16, 20)
    assert "That is gusset round 11 or gusset round 12." in whole
    assert "If the place is right" not in whole
    alike = said(at("leg", 12), 17, 17, 17, 17)
    assert alike.endswith("So many needles alike are seldom slips: count once more.")
    assert "k2tog" not in alike


def test_inside_a_round_the_yarn_says_which_needle() -> None:
    knitter = at("gusset", 10)
    assert said(knitter, 73).endswith(
        "From which needle does the yarn hang? 1: instep tick --needle, 2: instep tick 2 --needle, "
        "3: instep tick 3 --needle."
    )
    assert said(knitter, 73, keys=True).endswith("1 p, 2 p or 3 p puts the count there.")
    assert "First instep at 8 --section gusset, then 1: instep tick --needle" in said(knitter, 75)


@pytest.mark.parametrize(
    ("clue", "told"),
    [
        ({"colour": "rust"}, "That is leg round 14 or 13 or 27; 18 counted. "
         "How many rounds lie above the last pin? instep at 14 puts the count there."),
        ({"pin": 7}, "That is leg round 17 or 27 or 7; 18 counted. Which colour is the last round? "
         "instep at 17 puts the count there."),
        ({"colour": "rust", "pin": 4, "tail": 1}, "That is leg round 14, 1 needle of the next done; "
         "18 counted. instep at 14, then instep tick 1 --needle puts the count there."),
        ({"pin": 3, "tail": 0}, "That is leg round 13 or 23 or 3, at its end; 18 counted. "
         "Which colour is the last round? instep at 13 puts the count there."),
        ({"colour": "cream", "position": 2, "pin": 3},
         "That would be leg round 53, 8 past its goal of 45: look once more."),
        ({"found": [63], "colour": "navy"}, "63 counted, 16/16/16/16 = 64 expected. One is missing: "
         "look for a dropped stitch; counted on each needle, as in instep count 21/16/16/21, it is said "
         "where. "
         "That is leg round 18 or 17 or 19; 18 counted. It agrees."),
        ({"found": [50], "colour": "navy"}, "No round of the leg looks like that: look once more."),
    ],
)  # fmt: skip
def test_by_the_fabric_every_hint_is_used_and_one_question_asked(
    clue: dict[str, Any], told: str
) -> None:
    knitter = Knitter(striped())
    knitter.to("leg", 18)
    knitter.do("count", None, **clue)
    planned = knitter.look().place.planned
    assert place_words.said_count(knitter.look(), keys=False) == told.replace(
        "8 past its goal of 45", f"{53 - planned} past its goal of {planned}"
    )


def test_a_length_far_past_the_goal_is_doubted() -> None:
    knitter = at("leg", 18)
    knitter.do("count", mm=500.0)
    assert "past its goal of 46: look once more." in place_words.said_count(
        knitter.look(), keys=True
    )
    counted = knitter.look().counted
    assert counted is not None
    assert count_brief.brief(counted, knitter.look()).endswith(
        "past the goal of 46: look once more"
    )


def test_p_takes_the_needle_or_the_round(basket: Basket) -> None:
    session = begin(basket)
    session.at(10, "gusset")
    session.count("73")
    with pytest.raises(Refused, match="4 is none of the places with so many; write 1, 2 or 3"):
        session.put_there(4)
    session.put_there(2)
    assert [needle.finished for needle in session.glance.needles] == [True, True, False, False]
    session.undo()
    session.count("76")
    session.put_there(7)
    assert session.glance.place.done == 7


def test_the_history_of_a_look_up_says_what_was_told_and_answered(basket: Basket) -> None:
    session = begin(basket)
    session.at(18, "leg")
    session.count(length="9.2 cm")
    session.count(pin=7)
    session.count(pin=7, tail=1)
    session.count(tail=0)
    session.count("63", pin=8)
    said = [past_words.happened(one, "cm") for one in session.past()][2:]
    assert said[0].startswith("looked up by 9.2 cm: leg round ")
    assert " to " in said[0]
    assert said[1:] == [
        "looked up by 7 above the pin: leg round 17, 27 or 7",
        "looked up by 7 above the pin and 1 needle from the tail: leg round 17, 27 or 7, "
        "1 needle of the next done",
        "looked up by the tail: leg round 18",
        "63 counted, not as expected; looked up by 8 above the pin: leg round 18, 8 or 28",
    ]


def test_a_look_up_of_an_older_history_says_what_was_told() -> None:
    knitter = at("leg", 18)
    knitter.do("count", pin=7)
    (last,) = past(knitter.course, knitter.events)[-1:]
    assert past_words.happened(last, "cm") == "looked up by 7 above the pin"


@pytest.mark.parametrize(
    "answered",
    [
        {"name": 3, "unit": "round", "rows": [7], "needles": 0},
        {"name": "leg", "unit": "x", "rows": [7], "needles": 0},
        {"name": "leg", "unit": "round", "rows": [7] * 13, "needles": 0},
        {"name": "leg", "unit": "round", "rows": ["7"], "needles": 0},
        {"name": "leg", "unit": "round", "rows": [7]},
    ],
)
def test_what_a_stranger_wrote_of_an_answer_is_looked_over(answered: dict[str, Any]) -> None:
    knitter = at("leg", 18)
    data = {"found": [], "expected": [], "matches": False, "pin": 7, "answered": answered}
    event = Event(len(knitter.events) + 1, knitter.now, 60, 1, "count", data, b"")
    with pytest.raises(BadHistory, match="cannot be replayed"):
        knitter.replay.apply(event)


@pytest.mark.parametrize("found", [[32, 32], [16, 16, 16, 16], [16, 16, 16], [1] * 100, [64], [0]])
def test_a_count_that_no_knitter_recorded_can_be_told_all_the_same(found: list[int]) -> None:
    """A stranger's history: other needles than there are, or a count said to be wrong that is right."""
    knitter = at("leg", 20)
    data = {"found": found, "expected": [16, 16, 16, 16], "matches": False}
    event = Event(len(knitter.events) + 1, knitter.now, 60, 1, "count", data, b"")
    knitter.replay.apply(event)
    knitter.events.append(event)
    glance = knitter.look()
    assert glance.counted is not None
    assert count_brief.brief(glance.counted, glance)
    assert place_words.said_count(glance, keys=True)


@pytest.mark.parametrize(
    ("section", "row", "found", "named"),
    [
        ("leg", 30, 64, ["leg"]),  # and not the foot, nor the toe
        ("gusset", 3, 19, ["turn"]),  # and not a needle inside the toe
        ("flap", 12, 32, ["flap", "heel set-up", "turn"]),  # nor its half
        ("toe", 12, 64, ["toe", "foot"]),
    ],
)
def test_no_place_is_offered_that_a_heel_lies_between(
    section: str, row: int, found: int, named: list[str]
) -> None:
    counted = count(at(section, row), found)
    assert {place.kind for place in counted.places} <= set(named)


def test_what_was_knitted_without_a_key_is_found_all_the_same() -> None:
    assert [(place.kind, place.row) for place in count(at("leg", 40), 74).places] == [
        ("gusset", 9),
        ("gusset", 10),
    ]
    assert {place.kind for place in count(at("leg", 1), 24).places} >= {"toe"}


def test_two_places_of_one_section_are_not_told_apart_by_its_name() -> None:
    lace = {
        "leg.fabric": "repeat", "foot.fabric": "as the leg",
        "leg.repeat": ["k1, yo, k5, yo, k2 = 10", "k10", "k1, k2tog, k5, ssk = 8", "k8"],
    }  # fmt: skip
    knitter = of_plan(lace)
    for part in ("leg", "foot"):
        knitter.to(part, 6)
        for found in range(60, 81):
            assert f"Is it the {part}, or the {part}?" not in said(knitter, found)
