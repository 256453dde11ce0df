"""Where she may be, from the stitches she counts. The worked cases are common practice, no source."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import GRAFT, SECTIONS, Knitter, sock_of_64
from tests.knitting.test_stripes import striped
from tracker import count_brief, place_words
from tracker.knitting.decide import Refused
from tracker.knitting.events import Event
from tracker.knitting.places import Found, holds, places
from tracker.knitting.replay import BadHistory, Replay
from tracker.knitting.stripes import threads


def told(knitter: Knitter, *counted: int, plain: bool | None = None) -> list[tuple[Any, ...]]:
    """(section, row done, needles of the next), and whether any row of it has so many."""
    found = places(knitter.course, knitter.state, 1, counted, plain)
    return [
        (SECTIONS[one.section], knitter.course.number(one.section, one.rows), one.needles)
        + (("any",) if one.any_row else ())
        for one in found
    ]


@pytest.mark.parametrize(
    ("counted", "where"),
    [
        ((74,), [("gusset", 9, 0), ("gusset", 10, 0)]),
        ((21, 16, 16, 21), [("gusset", 9, 0), ("gusset", 10, 0)]),
        ((66,), [("gusset", 17, 0), ("gusset", 18, 0)]),
        ((73,), [("gusset", 10, 1), ("gusset", 10, 2), ("gusset", 10, 3)]),
        ((75,), []),
        ((1,), []),
    ],
)
def test_in_the_gusset(counted: tuple[int, ...], where: list[tuple[Any, ...]]) -> None:
    """64 stitches: 74 is round 9 or 10, 66 is 17 or 18; 73 only inside round 11, its first decrease made."""
    knitter = Knitter()
    knitter.to("gusset", 7)
    if counted == (75,):
        where = [("gusset", 8, 1), ("gusset", 8, 2), ("gusset", 8, 3)]
    assert told(knitter, *counted) == where


def test_the_last_round_of_the_section_before_decides_too() -> None:
    """16 after the last round of the toe, which decreases; 64 before its first, after a plain one."""
    knitter = Knitter()
    knitter.to("toe", 19)
    assert told(knitter, 16, plain=False)[0] == ("graft", 0, 0)
    knitter = Knitter()
    knitter.to("toe")
    assert ("toe", 0, 0) in told(knitter, 64, plain=True)


@pytest.mark.parametrize("done", [25, 30, 60])
def test_in_a_leg_that_is_changed_in_its_midst(done: int) -> None:
    """Past its plan, too: it is one place, anywhere in the leg, and not the twelve nearest rounds."""
    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("changed", None, **{"as": "set", "value": "22/21/21"})
    knitter.to("leg", done)
    assert told(knitter, 22, 21, 21) == [("leg", 20, 0, "any")]
    assert told(knitter, 64)[0] == ("leg", 0, 0, "any")


def test_the_round_before_decides() -> None:
    knitter = Knitter()
    knitter.to("gusset", 7)
    assert told(knitter, 74, plain=True) == [("gusset", 10, 0)]
    assert told(knitter, 74, plain=False) == [("gusset", 9, 0)]


def test_every_row_of_the_turn_has_a_total_of_its_own() -> None:
    """21 on the heel is row 11; 24 in the every-round rounds of the toe is round 18."""
    knitter = Knitter()
    knitter.to("turn", 9)
    assert told(knitter, 21)[0] == ("turn", 11, 0)
    knitter.to("toe", 15)
    assert told(knitter, 24)[0] == ("toe", 18, 0)


def test_where_nothing_changes_the_section_is_all_that_can_be_said() -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    assert told(knitter, 16, 16, 16, 16)[0] == ("leg", 0, 0, "any")


@given(st.data())
@examples(200)
def test_the_true_place_is_always_listed(data: st.DataObject) -> None:
    """Wherever she is, by needle or in all, and whatever was believed before."""
    course = sock_of_64(data.draw(st.sampled_from(["five", "four", "two circulars"])))
    section = data.draw(st.integers(0, len(course.sections) - 2))
    rows = data.draw(st.integers(0, len(course.sections[section].rows) - 1))
    row = course.row(section, rows)
    ticked = 0 if row.side else data.draw(st.integers(0, len(row.needles) - 1))
    knitter = Knitter(course)
    there = holds(course, section, rows, ticked)
    ends = [holds(course, section, rows, end) for end in (0, len(row.needles))]
    counted = there if data.draw(st.booleans()) else (sum(there),)
    found = places(course, knitter.state, 1, counted)
    if len(found) == 12:
        return  # what is left out is farther away
    sections = {(one.section, one.rows, one.needles) for one in found}
    alike = {one.section for one in found if one.any_row}
    inside = (section, rows, ticked if there not in ends else 0)
    at_end = (section, rows + 1, 0)
    assert section in alike or inside in sections or at_end in sections or there == ends[1]


def test_a_count_is_recorded_and_moves_nothing() -> None:
    knitter = Knitter()
    knitter.to("gusset", 8)
    before = knitter.sock()
    knitter.do("count", found=[21, 16, 16, 21])
    assert knitter.events[-1].data == {
        "found": [21, 16, 16, 21], "expected": [22, 16, 16, 22], "matches": False,
    }  # fmt: skip
    assert knitter.sock()._replace(check=None) == before
    assert [place.row for place in knitter.look().counted.places] == [9, 10]  # type: ignore[union-attr]
    knitter.do("undo")
    assert knitter.sock() == before
    assert knitter.look().counted is None


@pytest.mark.parametrize(
    ("found", "why"),
    [
        ([16, 16], "2 needles are counted, 4 needles are in work; write them like 16/16/16/16"),
        ([], "cannot be"),
        ([-1], "cannot be"),
        ([99_999], "cannot be"),
    ],
)
def test_what_cannot_be_counted(found: list[int], why: str) -> None:
    knitter = Knitter()
    knitter.to("leg", 3)
    with pytest.raises(Refused, match=why):
        knitter.do("count", found=found)


def test_inside_a_round_the_place_may_be_put() -> None:
    knitter = Knitter()
    knitter.to("gusset", 8)
    knitter.do("at", round=10, section="gusset", needles=2)
    assert knitter.place() == ("gusset", 10, 2)
    for needles in (4, -1):
        with pytest.raises(Refused, match="needles cannot be done there"):
            knitter.do("at", round=10, section="gusset", needles=needles)
    with pytest.raises(Refused, match="needles cannot be done there"):
        knitter.do("at", round=3, section="flap", needles=1)


def test_counts_are_asked_for_at_the_right_moments_and_never_again() -> None:
    knitter = Knitter()
    knitter.to("gusset", 0)

    def asked() -> bool:
        return "count" in [cue.kind for cue in knitter.look().cues]

    assert not asked()
    knitter.tick()
    assert asked(), "after the pick-up"
    knitter.do("count")
    assert not asked()
    knitter.to("toe", 1)
    assert asked(), "after the first round of the toe"
    knitter.tick()
    assert not asked()


def test_a_rip_takes_the_count_above_it_along() -> None:
    knitter = Knitter()
    knitter.to("gusset", 8)
    knitter.do("count")
    assert knitter.sock().check is not None
    knitter.do("rip", by=3)
    assert knitter.sock().check is None


def test_after_the_last_round_of_the_toe_the_graft_is_next() -> None:
    """16 stitches, four on each needle, or eight and eight once they lie to be grafted."""
    knitter = Knitter()
    knitter.to("toe", 19)
    for counted in ((16,), (4, 4, 4, 4), (8, 8)):
        found = places(knitter.course, knitter.state, 1, counted)
        assert [(one.section, one.rows) for one in found] == [(GRAFT, 0)]


def test_how_it_is_said() -> None:
    knitter = Knitter()
    knitter.to("gusset", 8)
    knitter.do("count", found=[74])
    assert place_words.said_count(knitter.look(), keys=True) == (
        "74 counted, 22/16/16/22 = 76 expected. That is gusset round 9 or gusset round 10. Is the last "
        "round a plain one? Then it is gusset round 10. The key p puts the count at the first, "
        "10 a at the second."
    )
    assert place_words.said_count(knitter.look(), keys=False).endswith(
        "instep at 9 --section gusset puts the count there."
    )
    counted = knitter.look().counted
    assert counted is not None
    assert count_brief.brief(counted, knitter.look()) == (
        "Gusset round 9 or 10? last one plain: 10 p; shaped: p."
    )
    knitter.do("count", found=[73])
    assert place_words.said_count(knitter.look(), keys=True).endswith(
        "That is inside gusset round 11, after needle 1, 2 or 3. From which needle does the yarn hang? "
        "1 p, 2 p or 3 p puts the count there."
    )
    knitter.do("count", found=[22, 16, 16, 23])
    assert "22/16/16/23 = 77 counted, 22/16/16/22 = 76 expected: 1 more on needle 4." in (
        place_words.said_count(knitter.look(), keys=True)
    )
    knitter.do("count")
    assert place_words.said_count(knitter.look(), keys=True) == "22/16/16/22 = 76: as it should be."
    assert Found(0, 1).needles == 0


# Where the count never changes: by the length, the colour, the pin


def by_fabric(knitter: Knitter, **clue: Any) -> list[int]:
    """The rounds that agree with what she sees, the likeliest first."""
    knitter.do("count", **clue)
    count = knitter.look().counted
    assert count is not None
    assert count.by_fabric
    return [place.row for place in count.places]


def test_a_length_leaves_some_rounds_of_the_leg() -> None:
    """The leg at 42 rounds to 10 cm under a cuff of 5 cm: 114 mm is round 27, give or take four by the
    swatch alone, and two once the tape was laid (the formulas of the forecast).
    """
    knitter = Knitter()
    knitter.to("leg", 23)
    rounds = by_fabric(knitter, mm=114.0)
    assert rounds[0] == 27
    assert sorted(rounds) == list(range(23, 32))
    knitter.do("measure", mm=104.0, step=0)
    closer = by_fabric(knitter, mm=114.0)
    assert len(closer) < len(rounds)
    assert closer[0] in (26, 27)


def test_a_pin_leaves_every_tenth_round_and_the_length_one() -> None:
    knitter = Knitter()
    knitter.to("leg", 23)
    assert by_fabric(knitter, pin=6)[:3] == [26, 16, 36]
    assert by_fabric(knitter, pin=6, mm=114.0) == [26]
    knitter.to("leg", 26)
    assert "leg round 26; 26 counted. It agrees." in said(knitter, pin=6, mm=114.0)


def said(knitter: Knitter, **clue: Any) -> str:
    knitter.do("count", **clue)
    return place_words.said_count(knitter.look(), keys=False)


def test_a_stripe_leaves_the_rounds_of_its_colour() -> None:
    """Navy 9, cream 3, rust 2 from the cuff on: rust is 13 and 14 of every fourteen."""
    knitter = Knitter(striped())
    knitter.to("leg", 20)
    assert sorted(by_fabric(knitter, colour="rust")) == [
        13,
        14,
        27,
        28,
        41,
        42,
        55,
        56,
        69,
        70,
        83,
        84,
    ]
    assert by_fabric(knitter, colour="rust", position=2)[0] in (14, 28)
    assert by_fabric(knitter, colour="rust", position=2, mm=120.0) == [28]
    with pytest.raises(Refused, match='there is no "green"'):
        knitter.do("count", colour="green")


def test_what_cannot_be_seen_there() -> None:
    knitter = Knitter()
    knitter.to("flap", 3)
    for clue, why in (
        ({"mm": 100.0}, "there is no length to take at the flap"),
        ({"pin": 3}, "a pin is moved up every 10 rounds"),
        ({"colour": "navy"}, "does not tell of several colours; leave it out"),
    ):
        with pytest.raises(Refused, match=why):
            knitter.do("count", **clue)
    knitter.to("gusset", 3)
    with pytest.raises(Refused, match="write 0 to 9"):
        knitter.do("count", pin=10)


@given(st.integers(1, 60), st.booleans())
@examples(40)
def test_what_she_sees_where_she_is_always_leaves_that_round(done: int, lays_tape: bool) -> None:
    knitter = Knitter(striped())
    knitter.to("leg", done)
    length = knitter.look().length
    assert length is not None
    thread = threads(knitter.course, knitter.state, 1).at(1, done - 1)
    assert thread is not None
    seen: dict[str, Any] = {"pin": done % 10, "colour": thread.name, "position": thread.position}
    if lays_tape:
        seen["mm"] = length.mm
    assert done in by_fabric(knitter, **seen)


@pytest.mark.parametrize(
    "more",
    [
        {"repair": {"row": "x", "mends": []}},
        {"repair": {"row": 9}},
        {"repair": {"row": 9, "mends": [["N1", "1", 1]]}},
        {"repair": {"row": 9, "mends": [["N1", 1, 1]] * 101}},
        {"repair": {"row": 9, "mends": [["N1", 1, 1, 2]]}},
        {"after": {"section": 99, "row": 9, "name": "gusset", "unit": "round"}},
        {"after": {"section": 5, "row": 9, "name": 3, "unit": "round"}},
        {"after": {"section": 5, "row": 9}},
        {"tail": -1},
        {"chart": True},
    ],
)
def test_what_a_stranger_wrote_of_a_count_is_looked_over(more: dict[str, Any]) -> None:
    knitter = Knitter()
    knitter.to("gusset", 8)
    data = {"found": [74], "expected": [22, 16, 16, 22], "matches": False, **more}
    event = Event(len(knitter.events) + 1, knitter.now, 60, 1, "count", data, b"")
    with pytest.raises(BadHistory, match="cannot be replayed"):
        knitter.replay.apply(event)


def test_no_needle_is_done_behind_the_last_round_of_a_section() -> None:
    """The other sock ended it there: it ends by itself, and the heel is worked on one needle."""
    knitter = Knitter()
    knitter.to("flap", 1, sock=2)
    knitter.to("leg", 40)
    with pytest.raises(
        Refused, match="round 46 is the last of the leg; nothing of another is begun"
    ):
        knitter.do("at", round=46, section=1, needles=1)
    assert Replay(knitter.course, knitter.events).state == knitter.state
    knitter.do("at", round=45, section=1, needles=1)
    assert knitter.place() == ("leg", 45, 1)


@pytest.mark.parametrize(
    ("found", "told"),
    [
        (
            [15, 28, 14],
            "That is toe round 4 or toe round 3, but for 1 stitch too many on needle 1. Is",
        ),
        (
            [14, 28, 13],
            "That is toe round 4 or toe round 3, but for 1 stitch too few on needle 3. Is",
        ),
        ([13, 27, 13], "If the place is right, in round 6 k2tog once on N2, which has 1 too many."),
    ],
)
def test_what_is_most_simply_one_stitch_is_told_so(found: list[int], told: str) -> None:
    """One stitch, a round or two away, is simpler than three needles that are off."""
    knitter = Knitter(sock_of_64("four"))
    knitter.to("toe", 5)
    knitter.do("count", found=found)
    assert told in place_words.said_count(knitter.look(), keys=True)
    assert ("repair" in knitter.events[-1].data) == told.startswith("If")
