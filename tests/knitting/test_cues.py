"""Cues that follow from pattern and events alone, and the card of a new section."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import SECTIONS, Knitter
from tests.pattern.choices import HEELS, SETS
from tests.pattern.making import sock
from tracker import words
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue, card, cues


def said(knitter: Knitter, sock: Any = None, by: Any = "rounds") -> list[tuple[str, int, str]]:
    """(kind, when, about) of the cues, in order of need."""
    number = sock or knitter.state.hand
    return [(cue.kind, cue.when, cue.about) for cue in cues(knitter.course, knitter.state, number)]


def at(section: str, row: int = 0) -> Knitter:
    knitter = Knitter()
    knitter.to(section, row)
    return knitter


def data(knitter: Knitter, kind: str) -> Any:
    return next(
        cue.data
        for cue in cues(knitter.course, knitter.state, knitter.state.hand)
        if cue.kind == kind
    )


MARKER = ("end-of-round", 0, "at the marker")


def test_cast_on_is_a_card() -> None:
    knitter = Knitter()
    assert said(knitter) == [("section", 0, "cast-on")]
    found = card(knitter.course, knitter.state, 1)
    assert found is not None
    assert found.data["starts"] == (16, 16, 16, 16)
    assert found.data["before"] is None


@pytest.mark.parametrize("section", SECTIONS[1:])
def test_every_section_begins_with_its_card(section: str) -> None:
    knitter = at(section)
    found = card(knitter.course, knitter.state, 1)
    index = SECTIONS.index(section)
    assert found is not None
    assert (found.about, found.data["before"]) == (section, SECTIONS[index - 1])
    assert found.data["before_rows"] == knitter.sock().ended[-1]
    assert found in cues(knitter.course, knitter.state, 1)


@pytest.mark.parametrize("section", SECTIONS)
def test_a_card_goes_with_the_first_tick(section: str) -> None:
    knitter = at(section)
    knitter.needle()
    after = card(knitter.course, knitter.state, 1)
    assert after is None or after.about != section


def test_no_card_on_a_finished_sock() -> None:
    knitter = Knitter()
    knitter.finish()
    assert card(knitter.course, knitter.state, 1) is None


def test_twist_is_looked_for_after_the_first_two_rounds() -> None:
    twisted = ("note", 0, "twisted")
    assert [twisted in said(at("cuff", row)) for row in (1, 2, 3)] == [True, True, False]


def test_picked_up_stitches_are_worked_through_the_back_once() -> None:
    through = ("note", 0, "through the back")
    before, after, later = at("gusset"), at("gusset"), at("gusset", 1)
    after.tick()
    assert [through in said(knitter) for knitter in (before, after, later)] == [False, True, False]


def test_a_pin_is_moved_up_every_tenth_round() -> None:
    """Once the round is finished, not before: common practice, no source."""
    rows = [row for row in range(1, 46) if ("pin", 0, "every tenth") in said(at("leg", row))]
    assert rows == [10, 20, 30, 40]
    assert data(at("leg", 30), "pin")["round"] == 30


def test_no_pin_in_rows_worked_flat_nor_inside_a_round() -> None:
    assert ("pin", 0, "every tenth") not in said(at("flap", 10))
    knitter = at("leg", 10)
    knitter.needle()
    assert ("pin", 0, "every tenth") not in said(knitter)


def test_the_last_needle_is_said_however_she_counts() -> None:
    knitter = at("leg", 5)
    last = ("needle", 0, "last")
    seen = []
    for _ in range(4):
        seen.append(last in said(knitter))
        knitter.needle()
    assert seen == [False, False, False, True]


def test_the_end_of_a_round_stands_until_the_next_needle() -> None:
    knitter = at("leg", 5)
    assert MARKER in said(knitter)
    knitter.needle()
    assert MARKER not in said(knitter)
    assert data(at("leg", 5), "end-of-round")["round"] == 5


def test_a_section_begins_at_the_marker_where_a_round_came_before() -> None:
    begins = {section: MARKER in said(at(section)) for section in SECTIONS}
    assert [section for section in SECTIONS if begins[section]] == ["leg", "foot", "toe"]
    knitter = at("gusset")
    knitter.tick()
    assert MARKER in said(knitter)


def test_a_row_worked_flat_ends_at_no_marker() -> None:
    assert MARKER not in said(at("flap", 5))
    assert MARKER not in said(at("turn", 5))


@pytest.mark.parametrize(
    ("section", "last", "ahead", "unit"),
    [
        ("cuff", 22, "leg", "rounds"),
        ("flap", 32, "turn", "rows"),
        ("turn", 14, "gusset", "rows"),
        ("gusset", 19, "foot", "rounds"),
        ("toe", 20, "graft", "rounds"),
    ],
)
def test_the_end_of_a_counted_section_is_announced(
    section: str, last: int, ahead: str, unit: str
) -> None:
    for left in (1, 2, 3, 4):
        found = [cue for cue in said(at(section, last - left)) if cue[::2] == ("section", "ahead")]
        assert found == ([("section", left, "ahead")] if left <= 3 else [])
    told = next(
        cue
        for cue in cues(at(section, last - 1).course, at(section, last - 1).state, 1)
        if cue.about == "ahead"
    )
    assert (told.data["section"], told.data["unit"]) == (ahead, unit)


def test_an_open_section_announces_no_end_of_its_own() -> None:
    for row in (43, 45, 46, 47):
        assert ("section", 46 - row, "ahead") not in said(at("leg", row))


def test_an_open_section_that_follows_the_other_sock_does() -> None:
    knitter = at("leg", 40)
    knitter.do("end")
    knitter.to("leg", 38, sock=2)
    assert ("section", 2, "ahead") in said(knitter, 2)


def test_a_finished_sock_points_to_the_other() -> None:
    knitter = Knitter()
    knitter.finish()
    assert said(knitter) == [("other-sock", 0, "cast-on")]
    knitter.tick(sock=2)
    assert said(knitter) == [("other-sock", 0, "sock")]
    knitter.finish(sock=2)
    assert said(knitter) == said(knitter, 2) == [("other-sock", 0, "pair")]


def test_four_ticks_in_a_run_are_one_cue() -> None:
    knitter = Knitter(pause=20)
    seen = []
    for _ in range(6):
        knitter.tick()
        seen.append([cue.data for cue in all_held(knitter)])
    assert seen == [[], [], [], [{"ticks": 4}], [{"ticks": 5}], [{"ticks": 6}]]


def test_a_run_is_over_when_she_does_something_else() -> None:
    knitter = Knitter(pause=20)
    for _ in range(5):
        knitter.tick()
    knitter.do("undo")
    assert [cue.data["ticks"] for cue in all_held(knitter)] == [4]
    knitter.do("other")
    assert all_held(knitter) == []


def all_held(knitter: Knitter) -> list[Cue]:
    found = cues(knitter.course, knitter.state, knitter.state.hand)
    return [cue for cue in found if cue.kind == "held"]


def test_the_picked_up_stitches_stay_in_view_to_the_last_needle() -> None:
    """Those of the second edge are on the last needle of the round."""
    knitter = at("gusset", 0)
    knitter.tick()
    for _ in range(4):
        assert ("note", 0, "through the back") in said(knitter)
        knitter.needle()
    assert ("note", 0, "through the back") not in said(knitter)


# What comes again


def comes_again(knitter: Knitter, kind: str) -> list[tuple[int, str]]:
    return [(cue.when, cue.about) for cue in cues(knitter.course, knitter.state, knitter.state.hand)
            if cue.kind == kind and cue.about in ("written", "on the other", "here")]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "mine", "data"),
    [("note", "written", {"text": "the red marker"}), ("lifeline", "here", {})],
)
def test_what_hangs_on_a_round_is_said_when_it_comes_again(
    kind: str, mine: str, data: dict[str, Any]
) -> None:
    """At the round itself, and a round ahead: of a note after ripping, and on the other sock."""
    knitter = at("leg", 20)
    knitter.do(kind, **data)
    assert comes_again(knitter, kind) == [(0, mine)]
    knitter.needle()
    assert comes_again(knitter, kind) == [], "inside the next round it is behind her"
    knitter.tick(4)
    knitter.do("rip", round=19)
    ahead = [(1, mine)] if kind == "note" else []
    assert comes_again(knitter, kind) == ahead, "a lifeline above comes out with the stitches"
    knitter.needle()
    assert comes_again(knitter, kind) == ahead
    knitter.do("undo")
    knitter.do("undo")
    knitter.do("at", round=19)
    assert comes_again(knitter, kind) == [(1, mine)], "a corrected count takes nothing out"
    knitter.do("other")
    for row, said_there in ((18, []), (19, [(1, "on the other")]), (20, [(0, "on the other")])):
        knitter.to("leg", row)
        assert comes_again(knitter, kind) == said_there
    knitter.do("undo")
    knitter.needle()
    assert comes_again(knitter, kind) == [(1, "on the other")]


def test_notes_stay_when_a_sock_is_begun_again() -> None:
    knitter = at("cuff", 3)
    knitter.do("note", text="loosely")
    knitter.do("restart")
    knitter.tick(2)
    assert comes_again(knitter, "note") == [(1, "written")]


def test_of_many_notes_at_a_round_the_last_are_said() -> None:
    knitter = at("leg", 20)
    for number in range(5):
        knitter.do("note", text=f"note {number}")
    told = [
        cue.data["text"] for cue in cues(knitter.course, knitter.state, 1) if cue.kind == "note"
    ]
    assert told == ["note 4", "note 3", "note 2"]


def test_a_pin_stays_where_leg_and_gusset_end() -> None:
    for place, stays in (
        (("leg", 0), False), (("heel set-up", 0), True), (("flap", 0), False),
        (("foot", 0), True), (("foot", 1), False), (("toe", 0), False),
    ):  # fmt: skip
        assert (("pin", 0, "left standing") in said(at(*place))) == stays, place
    assert data(at("foot", 0), "pin") == {"round": 19, "section": "gusset"}
    knitter = at("foot", 0)
    knitter.needle()
    assert ("pin", 0, "left standing") not in said(knitter)


@pytest.mark.parametrize("needles", SETS)
@pytest.mark.parametrize("direction", ["cuff-down", "toe-up"])
@pytest.mark.parametrize("heel", HEELS)
def test_one_card_of_a_sock_says_that_half_of_it_is_done(
    needles: str, direction: str, heel: str
) -> None:
    plan = {"needles.set": needles, "direction": direction, "heel.kind": heel}
    knitter = Knitter(Course(sock(plan)))
    told = 0
    while not knitter.sock(1).finished:
        here = knitter.sock(1)
        section = knitter.course.sections[here.section]
        if not here.rows:
            told += "Half of the sock is done." in words.card(knitter.look())
        if section.goal is not None and here.rows >= section.rows_to(section.planned):
            knitter.do("end")
        else:
            knitter.tick()
    assert told == 1
