"""All borders moved by some stitches, so that no ladder forms: the stitches' order and the marker stay."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import Knitter, sock_of_64
from tests.knitting.test_changes import audited
from tests.knitting.test_likeness import cabled, tables
from tracker import answers, change_words, reports, rest_words, words
from tracker.knitting import borders
from tracker.knitting.decide import Refused
from tracker.knitting.events import Act
from tracker.knitting.replay import Replay
from tracker.knitting.state import BOTH, Number
from tracker.pattern.kept import kept_text
from tracker.pattern.model import on_each


def move(knitter: Knitter, by: str, sock: Number | None = None, **data: object) -> None:
    knitter.do("changed", sock, **{"as": "set", "value": by, **data})


def parts(knitter: Knitter, sock: Number | None = None) -> list[tuple[str, int]]:
    return [(needle.name, needle.stitches) for needle in knitter.look(sock).needles]


def at(section: str, row: int, needles: str = "five") -> Knitter:
    knitter = Knitter(sock_of_64(needles))
    knitter.to(section, row)
    return knitter


NEEDLES = st.lists(st.integers(3, 20), min_size=2, max_size=6)


@given(NEEDLES, st.lists(st.integers(-40, 40), max_size=6))
@examples(200)
def test_moves_add_up_and_go_back(stitches: list[int], by: list[int]) -> None:
    """Every needle keeps its stitches, wherever the marker comes to lie."""
    first = borders.Lies(tuple(f"N{n + 1}" for n in range(len(stitches))), tuple(stitches))
    lies = first
    for one in by:
        lies = borders.moved(lies, one)
        assert dict(on_each(*lies)) == dict(zip(*first, strict=True))
        assert sum(lies.stitches) == sum(stitches)
        assert min(lies.stitches) > 0
    assert lies == borders.moved(first, sum(by))
    assert borders.moved(lies, -sum(by)) == first


@pytest.mark.parametrize(
    ("by", "needles", "lie"),
    [
        ("+2", "five", [("N4b", 2), ("N1", 16), ("N2", 16), ("N3", 16), ("N4a", 14)]),
        ("2-", "five", [("N1b", 14), ("N2", 16), ("N3", 16), ("N4", 16), ("N1a", 2)]),
        ("+1", "two circulars", [("Bb", 1), ("A", 32), ("Ba", 31)]),
        ("-2", "four", [("N1b", 14), ("N2", 32), ("N3", 16), ("N1a", 2)]),
    ],
)  # fmt: skip
def test_the_marker_lies_inside_a_needle(by: str, needles: str, lie: list[tuple[str, int]]) -> None:
    knitter = at("leg", 20, needles)
    before = knitter.look()
    move(knitter, by)
    now = knitter.look()
    assert parts(knitter) == lie
    assert sorted(now.on_each) == sorted((n.name, n.stitches) for n in before.needles)
    audited(knitter.course.of(knitter.sock()))
    knitter.needle(len(lie) - 1)
    assert knitter.look().place.last_needle
    knitter.needle()
    assert knitter.place() == ("leg", 21, 0), "the round ends at the marker"


def test_a_rib_is_told_as_it_lies() -> None:
    """k2, p2 all round: two on, and every needle begins with p2."""
    knitter = at("cuff", 10)
    move(knitter, "+2")
    works = [needle.work for needle in knitter.look().needles]
    assert works == ["k", *["[p2, k2] 4 times"] * 3, "[p2, k2] 3 times, p2"]


def test_again_and_again_past_a_whole_needle() -> None:
    knitter = at("leg", 2)
    for _ in range(9):
        move(knitter, "+2")
        knitter.tick(2)
    assert parts(knitter)[0] == ("N3b", 2)
    assert knitter.sock().changes[-1].laid[-1] == 18  # type: ignore[index]
    audited(knitter.course.of(knitter.sock()))


def test_twice_before_one_round_is_one_change() -> None:
    knitter = at("leg", 20)
    move(knitter, "+2")
    move(knitter, "+1")
    (change,) = knitter.sock().changes
    assert change.value == "+3"
    assert parts(knitter)[0] == ("N4b", 3)
    knitter.do("undo")
    assert parts(knitter)[0] == ("N4b", 2)
    move(knitter, "-2")
    assert len(parts(knitter)) == 4
    told = change_words.change_name(knitter.events[-1].data)
    assert told == "all borders 2 stitches back, where they were, from leg round 21 on", (
        "each is told as it was made"
    )
    assert "by" not in knitter.events[1].data


def test_on_another_set_told_at_the_same_round() -> None:
    knitter = at("leg", 20)
    move(knitter, "four")
    move(knitter, "+2")
    assert [name for name, _ in parts(knitter)] == ["N3b", "N1", "N2", "N3a"]
    knitter.to("gusset", 2)
    assert len(knitter.look().needles) == 3, "the set stays"


def test_it_is_this_sock_alone_unless_asked() -> None:
    knitter = at("leg", 20)
    knitter.to("leg", 5, sock=2)
    move(knitter, "+2")
    assert not knitter.sock(2).changes
    assert knitter.look().differs is None
    knitter.do("copy", of=len(knitter.events), copy=True)
    knitter.tick(15, sock=2)
    assert parts(knitter, 2) == parts(knitter)


def test_over_the_cuff_into_the_leg_and_back_before_the_heel() -> None:
    """Told a round ahead where the end is known, and once more where the heel begins."""
    knitter = at("cuff", 20)
    move(knitter, "+2")
    knitter.tick(2)
    assert knitter.place()[0] == "leg"
    assert parts(knitter)[0] == ("N4b", 2)
    assert knitter.look().card is not None
    knitter.tick(30)
    move(knitter, "+2")
    assert not _back(knitter)
    knitter.tick()
    knitter.do("end")
    assert _back(knitter) == ["All borders 4 stitches back before the heel set-up"]
    assert len(knitter.look().needles) == 1
    # She ended the leg herself: what is said of that must not hide it, so the card begins with it.
    assert words.card(knitter.look())[:2] == [
        "All borders 4 stitches back.",
        "Knit N1, then turn.",
    ]
    assert words.card_brief(knitter.look())[0] == "All borders 4 stitches back."
    knitter.to("leg", 28, sock=2)
    move(knitter, "-2", 2)
    knitter.tick(1, 2)
    assert _back(knitter, 2) == ["Next round: all borders 2 stitches on before the heel set-up"]
    knitter.tick(1, 2)
    assert _back(knitter, 2) == ["All borders 2 stitches on before the heel set-up"]
    move(knitter, "+2", 2)
    assert not _back(knitter, 2)


def _back(knitter: Knitter, sock: Number | None = None) -> list[str]:
    glance = knitter.look(sock)
    return [words.cue_line(cue, glance) for cue in glance.cues if cue.about == "borders back"]


def test_on_the_foot_up_to_the_toe() -> None:
    knitter = at("foot", 20)
    move(knitter, "-2")
    knitter.tick()
    audited(knitter.course.of(knitter.sock()))
    knitter.do("end")
    assert _back(knitter) == ["All borders 2 stitches on before the toe"]
    assert words.card(knitter.look())[0] == "All borders 2 stitches on."


@pytest.mark.parametrize(
    ("section", "row", "by", "why"),
    [
        ("flap", 4, "+2", "the flap is worked on one needle, which has no borders; move them after it"),
        ("gusset", 0, "+2", "stitches are picked up in round 0 of the gusset where needles meet; leave"),
        ("gusset", 4, "+2", "stitches are taken or added in round 5 of the gusset where needles meet; leave"),
        ("toe", 2, "-2", "stitches are taken or added in round 3 of the toe where needles meet; leave the"),
        ("leg", 4, "+0", "borders that move by 0 stay; write +2 or -2"),
        ("leg", 4, "+16", "a needle holds 16 stitches; move the borders by fewer, like +2 or -2"),
    ],
)  # fmt: skip
def test_where_it_does_not_fit_it_says_what_to_do(
    section: str, row: int, by: str, why: str
) -> None:
    knitter = at(section, row)
    with pytest.raises(Refused) as refused:
        move(knitter, by)
    assert str(refused.value).startswith(why)


def test_after_the_last_decrease_of_a_gusset_they_may() -> None:
    knitter = at("gusset", 18)
    last = knitter.course.sections[5].rows[-1]
    assert last.word != "DEC" or last.number == 19
    with pytest.raises(Refused):
        move(knitter, "+2")


def test_inside_a_round_the_working_point_stays() -> None:
    knitter = at("leg", 20)
    knitter.needle(2)
    move(knitter, "+2")
    here = knitter.sock()
    assert (here.needles, here.into) == (2, 14), "32 worked: 2 and 16, and 14 of the third"
    knitter.tick()
    assert knitter.place() == ("leg", 21, 0)
    knitter.do("undo")
    knitter.do("undo")
    assert (knitter.sock().needles, knitter.sock().into) == (2, 0)


def test_the_stitches_are_counted_as_they_lie_on_the_needles() -> None:
    knitter = at("leg", 20)
    move(knitter, "+2")
    knitter.do("count", found=[16, 16, 16, 16])
    assert knitter.sock().check.matches  # type: ignore[union-attr]
    knitter.do("count", found=[2, 16, 16, 16, 14])
    assert knitter.sock().check[2:4] == ((16, 16, 16, 16), True)  # type: ignore[index]
    knitter.do("count", found=[16, 16, 16, 17])
    glance = knitter.look()
    (cue,) = [cue for cue in glance.cues if cue.about == "repair"]
    assert words.cue_line(cue, glance).endswith("k2tog once on N4a, which has 1 too many")
    assert "16/16/16/16 = 64 on the needles" in words.place(glance)


def test_the_tail_hangs_where_no_two_needles_meet() -> None:
    knitter = at("leg", 20)
    move(knitter, "+2")
    with pytest.raises(Refused, match="so the tail hangs inside N4; where the yarn is past it"):
        knitter.do("count", tail=1)


def test_how_it_is_told() -> None:
    knitter = at("leg", 20)
    move(knitter, "+2")
    assert change_words.said_changed(knitter.events[-1].data, knitter.look(), keys=True) == (
        "All borders 2 stitches on from leg round 21 on; the marker lies 2 stitches before the end of "
        "N4; N4b comes first, N4a last. Sock two does not repeat it; d if it does."
    )
    assert "16/16/16/16, the tail 2 stitches before the end of N4" in rest_words.resting(
        knitter.look(), "waste yarn"
    )
    knitter.needle(2)
    assert words.place_brief(knitter.look()) == "2 of 5 parts done: yarn hangs from N1, go into N2."


def test_ripped_back_they_lie_as_they_did_and_it_replays() -> None:
    knitter = at("leg", 20)
    move(knitter, "+2")
    knitter.tick(5)
    move(knitter, "+2")
    knitter.tick(5)
    knitter.do("rip", round=24, section=1)
    assert parts(knitter)[0] == ("N4b", 2)
    knitter.do("rip", round=15, section=1)
    assert len(parts(knitter)) == 4
    assert not knitter.sock().changes
    assert Replay(knitter.course, knitter.events).state == knitter.state


@pytest.mark.parametrize("set_to", ["four", "five", "16/16/16/16", "22/21/21"])
def test_other_needles_put_the_borders_where_they_say(set_to: str) -> None:
    knitter = at("leg", 20)
    move(knitter, "+2")
    knitter.tick(3)
    move(knitter, set_to)
    names = [name for name, _ in parts(knitter)]
    assert names == [f"N{n}" for n in range(1, len(names) + 1)]
    audited(knitter.course.of(knitter.sock()))


@pytest.mark.parametrize("by", ["+2", "-1"])
def test_on_a_mirrored_sock_the_cable_crosses_the_other_way_as_before(by: str) -> None:
    knitter = cabled()
    move(knitter, by, copy=True)
    knitter.tick(1)
    knitter.tick(1, 2)
    works = [[needle.work for needle in knitter.look(number).needles] for number in BOTH]
    assert [sum("C4F" in work for work in row) for row in works] == [1, 0]
    assert [sum("C4B" in work for work in row) for row in works] == [0, 1]
    assert parts(knitter, 1) == parts(knitter, 2)


def test_a_cable_that_would_lie_across_two_needles_is_refused() -> None:
    """k, then p2 and the cable: five on, and the border cuts it."""
    knitter = cabled()
    with pytest.raises(Refused, match="would lie across two needles; choose other borders"):
        move(knitter, "+4")


def test_a_new_pattern_for_what_is_to_come_keeps_them() -> None:
    knitter = cabled("alike")
    move(knitter, "+1")
    knitter.tick(3)
    leg, toe = tables("alike")["section"]
    longer = {**tables("alike"), "section": [{**leg, "repeat": 6}, toe]}
    knitter.do("replan", pattern=kept_text(longer))
    assert parts(knitter)[0] == ("N4b", 1)
    assert Replay(knitter.course, knitter.events).state == knitter.state
    knitter.tick(8)
    assert _back(knitter) == ["All borders 1 stitch back before the toe"]


def test_an_end_inside_a_round_speaks_of_the_parts_that_are_taken_back() -> None:
    knitter = at("leg", 45)
    move(knitter, "+2")
    knitter.needle(2)
    before = knitter.look()
    knitter.do("end")
    told = answers.said(Act("end", 1, knitter.events[-1].data), before, knitter.look())
    assert "The 2 parts ticked in round 46 are taken back." in told


def test_moves_before_one_round_are_told_each() -> None:
    """The journal says what was done; what is otherwise on the sock is their sum."""
    knitter = at("leg", 20)
    for by, told in (("+2", "2 stitches on"), ("+1", "1 stitch on"), ("-2", "2 stitches back")):
        move(knitter, by)
        assert (
            change_words.change_name(knitter.events[-1].data)
            == f"all borders {told} from leg round 21 on"
        )
    (change,) = knitter.sock().changes
    assert change.value == "+1"
    assert Replay(knitter.course, knitter.events).state == knitter.state


def test_that_borders_go_back_is_told_once_by_the_quick_check() -> None:
    knitter = at("leg", 44)
    move(knitter, "+2")
    knitter.tick(2)
    knitter.do("end")
    lines = " ".join(reports.left_text(knitter.look(), ""))
    assert lines.lower().count("all borders 2 stitches back") == 1
