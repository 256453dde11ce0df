"""Pairs that are not identical on purpose: mirrored, cousins, and goals of one sock alone."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.knitting.knitter import LEG, Knitter, sock_of_64
from tests.knitting.test_recolouring import changed
from tests.knitting.test_stripes import striped
from tracker import side_by_side_words, words
from tracker.knitting import step, stripes
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.stripes import Thread
from tracker.pattern.kept import kept_text
from tracker.pattern.reading import read_pattern
from tracker.side_by_side import side_by_side

FOUR = [16, 16, 16, 16]
CABLES = ["k | p2, k4, p10 | k | k", "k | p2, C4F, p10 | k | k"]
EVERY = " | ".join(["k to last 3, k2tog, k1", "k1, ssk, k to end"] * 2)


def cabled(likeness: str = "mirrored") -> Knitter:
    """Two sections with a cable, and a toe by hand."""
    return Knitter(Course(read_pattern(tables(likeness), "")))


def tables(likeness: str = "mirrored") -> dict[str, Any]:
    table: dict[str, Any] = {"worked": "rounds", "needles": FOUR}
    leg = {**table, "name": "leg", "kind": "leg", "rows": CABLES, "repeat": 4}
    toe = {
        "name": "toe", "kind": "toe", "worked": "rounds", "repeat": 3,
        "rows": [EVERY, "k"],
    }  # fmt: skip
    return {"title": "socks", "pair": {"likeness": likeness}, "section": [leg, toe]}


def alike(course: Course, likeness: str) -> Course:
    return Course(course.pattern._replace(likeness=likeness))


def works(knitter: Knitter, sock: Any) -> list[str]:
    return [needle.work for needle in knitter.look(sock).needles]


# Mirrored


def test_sock_two_has_the_cable_on_the_other_side_and_crossed_the_other_way() -> None:
    knitter = cabled()
    knitter.tick(1)
    knitter.tick(1, 2)
    assert works(knitter, 1) == ["k", "p2, C4F, p10", "k", "k"]
    assert works(knitter, 2) == ["k", "k", "p10, C4B, p2", "k"]
    assert works(cabled("alike"), 2) == works(cabled("alike"), 1)


def test_counts_never_mirror_and_the_pair_is_in_step() -> None:
    knitter = cabled()
    for sock in (1, 2):
        knitter.tick(12, sock)
    one, two = knitter.state.socks
    assert (one.section, one.rows, one.ended) == (two.section, two.rows, two.ended)
    assert knitter.look(1).stitches == knitter.look(2).stitches
    assert step.in_step(knitter.state)


def test_a_change_is_repeated_with_the_mirror_on_it_and_told_on_either_sock() -> None:
    """No decrease in the third round of the toe; on the other sock the same, on any needles."""
    knitter = cabled()
    knitter.tick(11)
    knitter.do("changed", None, **{"as": "skipped-decrease", "value": ""})
    told = knitter.course.of(knitter.sock(1)).sections[1]
    repeated = knitter.course.of(knitter.sock(2)).sections[1]
    assert [row.holding(4) for row in told.rows] == [row.holding(4) for row in repeated.rows]
    knitter.do("changed", 2, **{"as": "set", "value": "32/32"})
    before = knitter.course.of(knitter.sock(2)).sections[0]
    assert [row.work for row in before.rows[1].needles] == ["k", "p10, C4B, p2, k16"]


ONE_WAY = {
    "name": "thumb",
    "worked": "rounds",
    "rows": ["C4F, k to end | k | k | BO 2, k to end"],
}
"""A row that cannot be taken the other way round: where it stands, what leans is mirrored in its place."""


@pytest.mark.parametrize("kind", ["append", "replan"])
@pytest.mark.parametrize("begun", [True, False])
def test_what_goes_on_never_mirrors_finished_rows_otherwise(kind: str, begun: bool) -> None:
    knitter = cabled()
    knitter.tick(8)
    if begun:
        knitter.tick(3, 2)
    sections = tables()["section"] if kind == "append" else tables()["section"][:1]
    new = kept_text({**tables(), "section": [*sections, ONE_WAY]})
    before = knitter.state
    if begun:
        with pytest.raises(
            Refused, match=re.escape('row 1 is knitted on sock two as "k | k | p10')
        ):
            knitter.do(kind, pattern=new)
        assert knitter.state == before
    else:
        knitter.do(kind, pattern=new)
        knitter.tick(1, 2)
        assert works(knitter, 2) == ["k", "p2, C4B, p10", "k", "k"]


def test_a_new_pattern_leaves_a_mirrored_sock_mirrored() -> None:
    knitter = cabled()
    knitter.tick(3, 2)
    with pytest.raises(Refused, match=re.escape('the new pattern has "k | p2, k4, p10 | k | k')):
        knitter.do("replan", pattern=kept_text(tables("alike")))


def test_stitches_are_not_laid_so_that_a_mirrored_cable_lies_across_two_needles() -> None:
    """On sock one it fits on the first of 22/22/20; on sock two it would lie across the second and third."""
    knitter = cabled()
    knitter.tick(3)
    for sock in (1, 2):
        with pytest.raises(
            Refused, match="on sock two, which is mirrored, a stitch would lie across"
        ):
            knitter.do("changed", sock, **{"as": "set", "value": "22/22/20"})
    knitter.do("changed", 1, **{"as": "set", "value": "22/22/20", "copy": False})
    assert works(knitter, 1) == ["k16, p2, C4F", "p10, k12", "k"]
    assert works(knitter, 2) == ["k", "k", "p10, k4, p2", "k"]


def test_a_mirrored_pair_is_taken_back_like_any_other() -> None:
    knitter = cabled()
    knitter.tick(3, 2)
    before = knitter.state
    knitter.do("changed", 2, **{"as": "other", "value": "a bobble"})
    knitter.do("undo")
    assert knitter.state._replace(last=before.last) == before


# Cousins


def test_cousins_keep_their_colours_and_words_and_are_in_step() -> None:
    knitter = Knitter(alike(striped(), "cousins"))
    knitter.to("leg", 12)
    assert changed(knitter, "rust")["copy"] is False
    knitter.do("changed", None, **{"as": "other", "value": "a bobble"})
    knitter.do("changed", None, **{"as": "needle", "value": "2.25"})
    assert [change.kind for change in knitter.sock(2).changes] == ["needle"], (
        "a needle makes counts"
    )
    knitter.to("flap", sock=1)
    knitter.to("flap", sock=2)
    assert step.in_step(knitter.state)
    assert step.meant(knitter.state) == 2
    assert words.lag(knitter.look(1)) == "in step so far, 2 differences meant, both socks level"
    sides = side_by_side(knitter.course, knitter.state, knitter.look(1))
    assert (
        side_by_side_words.verdict(sides)
        == "in step: so far every count agrees; 2 differences meant"
    )
    assert [one.how for one in sides.changes] == ["meant", "meant", "both"]


def test_cousins_repeat_a_colour_where_she_says_so() -> None:
    knitter = Knitter(alike(striped(), "cousins"))
    knitter.to("leg", 12)
    changed(knitter, "rust", copy=True)
    assert [change.value for change in knitter.sock(2).changes] == ["rust, 1 of 2"]


def test_sock_two_may_begin_elsewhere_in_the_stripes_or_have_them_in_reverse() -> None:
    knitter = Knitter(striped())
    changed(knitter, "cream 2", 2, copy=False)
    at = [stripes.threads(knitter.course, knitter.state, number).at(LEG, 0) for number in (1, 2)]
    assert at == [Thread("navy", 1, 9), Thread("cream", 2, 3)]
    assert changed(knitter, "reversed", 2)["copy"] is False, "it is what makes cousins of them"
    told = stripes.threads(knitter.course, knitter.state, 2)
    names = [thread.name for row in range(16) if (thread := told.at(LEG, row))]
    assert names == ["rust"] * 2 + ["cream"] * 3 + ["navy"] * 9 + ["rust"] * 2
    knitter.to("leg", 3, sock=2)
    assert changed(knitter, "navy 4", 2)["then"] == ["rust", 10]


# Goals of one sock


def test_a_goal_of_one_sock_alone_makes_counts_differ_as_meant() -> None:
    """Unequal rows are no step, whoever meant them; that they are meant is said."""
    knitter = Knitter(sock_of_64())
    knitter.to("leg", 40)
    knitter.to("leg", 44, sock=2)
    knitter.do("target", 2, mm=170.0, text="17 cm", only=True)
    knitter.do("end", 1)
    knitter.do("end", 2)
    (found,) = step.differences(knitter.state)
    assert (found.rows, found.meant) == (4, True)
    assert "leg +4, as meant" in words.step(knitter.look(1))


def test_both_drawings_have_one_key_of_colours() -> None:
    knitter = Knitter(striped())
    changed(knitter, "reversed", 2)
    knitter.to("leg", 20)
    changed(knitter, "green", copy=False)
    knitter.to("leg", 4, sock=2)
    pictures = side_by_side(knitter.course, knitter.state, knitter.look(1)).pictures
    keys = [picture.key for picture in pictures if picture]
    assert keys[0] == ("navy", "cream", "rust", "green") == keys[1]
    cuffs = [picture.knitted[0].colour for picture in pictures if picture]
    assert cuffs == [keys[0].index("navy"), keys[1].index("rust")]


def test_a_row_of_a_mirrored_sock_into_which_stitches_were_taken_back_stays() -> None:
    knitter = cabled()
    knitter.tick(1, 2)
    knitter.do("rip", 2, stitches=1)
    assert (knitter.sock(2).rows, knitter.sock(2).into) == (0, 15)
    with pytest.raises(Refused, match="leg, row 1 is knitted on sock two"):
        knitter.do("replan", pattern=kept_text(tables("alike")))
