"""A pair with toes for the left and the right foot: each sock by its own rows, and both in step."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from tests.knitting.knitter import Knitter
from tests.knitting.pieces import of_feet
from tests.pattern.making import plan_text
from tracker import cards, count_brief, place_words, words
from tracker.forecast.series import HARDLY_ANY
from tracker.glance import Glance
from tracker.knitting import pair, step
from tracker.knitting.decide import Refused
from tracker.knitting.state import BOTH
from tracker.knitting.stripes import threads
from tracker.pattern.kept import kept_text
from tracker.pattern.model import Section
from tracker.storage.files import Source
from tracker.storage.pattern_file import open_source


def knit(knitter: Knitter, to: str, row: int = 0, sock: Any = None) -> None:
    """Knit a sock on to a row of a section, by its name; open ones end as planned."""
    sections = knitter.replay.course.sections
    names = [there.name for there in sections]
    while (here := knitter.sock(sock)).section < names.index(to):
        there = sections[here.section]
        knitter.tick(there.rows_to(there.planned) - here.rows, sock)
        if knitter.sock(sock).section == here.section:
            knitter.do("end", sock)
    if row:
        there = sections[knitter.sock(sock).section]
        knitter.tick(there.rows_to(row) - knitter.sock(sock).rows, sock)


def at_toe(row: int = 0, needles: str = "five", **fields: Any) -> Knitter:
    """Both socks at a row of the toe."""
    knitter = Knitter(of_feet(needles, **fields))
    for sock in (1, 2):
        knit(knitter, "toe", row, sock)
    return knitter


def works(glance: Glance) -> list[str]:
    return [needle.work for needle in glance.needles]


def holds(knitter: Knitter, sock: Any) -> list[int]:
    return [needle.stitches for needle in knitter.look(sock).needles]


def toe_of(knitter: Knitter, number: int) -> Section:
    """The toe of a sock with all that was changed on it."""
    course = knitter.replay.course.of(knitter.state.sock(number))
    return next(there for there in course.sections if there.kind == "toe")


@pytest.mark.parametrize("needles", ["five", "four", "two circulars", "long circular"])
def test_each_sock_is_knitted_by_its_own_toe_and_the_pair_is_in_step(needles: str) -> None:
    knitter = at_toe(9, needles)
    one, two = knitter.look(1), knitter.look(2)
    assert works(one) != works(two)
    assert one.stitches == two.stitches
    assert (one.foot, two.foot) == ("left", "right")
    for sock in (1, 2):
        knit(knitter, "graft", 1, sock)
    assert step.in_step(knitter.state)
    assert pair.rounds(knitter.course, knitter.state, 1) == pair.rounds(
        knitter.course, knitter.state, 2
    )
    assert all(sock.finished for sock in knitter.state.socks)


def test_the_foot_is_named_at_the_toe_on_cards_and_in_the_place() -> None:
    knitter = at_toe()
    for sock, foot, begins in zip(BOTH, ("left", "right"), ("big", "little"), strict=True):
        glance = knitter.look(sock)
        edge = f"For the {foot} foot: the {begins} toe lies where the instep begins"
        assert edge in " ".join(cards.card(glance))
        assert f"{foot.capitalize()} foot: big toe" in " ".join(cards.card_brief(glance))
        assert words.place(glance).startswith(
            f"Sock {'one' if sock == 1 else 'two'}, {foot} foot, toe:"
        )
    knitter = Knitter(of_feet("five"))
    assert "foot" not in words.place(knitter.look(1))


def test_half_the_sole_is_knitted_once_more_and_the_card_says_why() -> None:
    knitter = Knitter(of_feet("five"))
    knit(knitter, "half sole")
    glance = knitter.look()
    assert cards.card(glance)[:3] == [
        "Knit N1 once more, 16: half of the sole.",
        "The toe's rounds begin there, at the side.",
        "The next needle is N1 then, and this one is the last.",
    ]
    assert not glance.at_side
    knitter.tick()
    assert knitter.look().at_side
    assert "The round begins at the side: instep N1 and N2, sole N3 and N4; pin up." in cards.card(
        knitter.look()
    )
    knit(knitter, "graft")
    assert (
        cards.card(knitter.look())[0] == "The instep onto one needle, the sole onto another: 8 + 8."
    )
    assert cards.card_brief(knitter.look())[1] == "sole onto another: 8 + 8."


@pytest.mark.parametrize("by", [cards.card, cards.card_brief])
def test_from_the_toe_up_the_needles_are_renamed_before_they_are_slid_to(
    by: Callable[[Glance], list[str]],
) -> None:
    knitter = Knitter(of_feet("four", direction="toe-up", leg__stitches=63, cuff__rib="k2p1"))
    knit(knitter, "foot")
    told = by(knitter.look())
    slide = next(at for at, line in enumerate(told) if line.startswith("Slide to"))
    renamed = next(at for at, line in enumerate(told) if line.startswith("Rounds begin"))
    over = next(at for at, line in enumerate(told) if "ver the instep, " in line)
    assert renamed < slide < over


def test_where_the_rib_holds_more_of_the_instep_the_borders_move_before_that_row() -> None:
    knitter = Knitter(of_feet("five", foot__fabric="rib on the instep"))
    knit(knitter, "foot", 1)
    assert holds(knitter, 1) == [15, 17, 17, 15]
    knit(knitter, "half sole")
    for told in (cards.card(knitter.look()), cards.card_brief(knitter.look())):
        assert told[:2] == [
            "Slide to 16 / 16 / 16 / 16.",
            "Knit N1 once more, 16: half of the sole.",
        ]


def test_on_two_circulars_taken_up_on_the_way_the_instep_follows_that_row() -> None:
    knitter = Knitter(of_feet("five"))
    knit(knitter, "foot", 20)
    knitter.do("changed", 1, **{"as": "set", "value": "two circulars"})
    knit(knitter, "half sole")
    assert cards.card(knitter.look())[2] == "The next needle is A, the instep."
    knitter.tick()
    assert holds(knitter, 1) == [32, 32]


def test_that_row_takes_no_stripe_and_no_colour_of_the_heel() -> None:
    knitter = Knitter(striped_feet())
    knit(knitter, "half sole")
    told = threads(knitter.course, knitter.state, 1)
    here = knitter.sock().section
    last, row, first = told.at(here - 1, 43), told.at(here, 0), told.at(here + 1, 0)
    assert row is not None
    assert last is not None
    assert first is not None
    assert row.name == last.name
    assert not told.ticks(here)
    assert told.rounds_before(here + 1) == told.rounds_before(here)


def striped_feet() -> Any:
    from tracker.knitting.course import Course

    text = plan_text({"toe.feet": "left and right"})
    text += '\n[colours]\nleg = ["navy 9", "cream 3"]\nheel = "rust"\n'
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


def test_a_decrease_skipped_on_one_is_skipped_on_the_other_by_its_own_rows() -> None:
    knitter = at_toe(2)
    knitter.tick(1, 1)
    knitter.do("changed", 1, **{"as": "skipped-decrease", "value": ""})
    one, two = toe_of(knitter, 1), toe_of(knitter, 2)
    for row in (3, 4, 5, 6):
        here, there = one.row(row), two.row(row)
        assert here.leaves == there.leaves
        assert here.holding(4) == tuple(there.holding(4)[at] for at in (1, 0, 3, 2))
    for sock in (1, 2):
        knit(knitter, "graft", 1, sock)
    assert step.in_step(knitter.state)


def test_told_on_sock_two_it_is_told_of_its_own_toe() -> None:
    knitter = at_toe(2)
    knitter.tick(1, 2)
    knitter.do("changed", 2, **{"as": "skipped-decrease", "value": ""})
    assert toe_of(knitter, 2).row(3).holding(4) == (19, 12, 12, 19)
    assert toe_of(knitter, 1).row(3).holding(4) == (12, 19, 19, 12)


@pytest.mark.parametrize(
    ("was", "to"), [("five", "four"), ("four", "five"), ("five", "two circulars")]
)
@pytest.mark.parametrize("at", [("foot", 3), ("toe", 3)])
def test_on_another_set_instep_and_sole_stay_together(
    was: str, to: str, at: tuple[str, int]
) -> None:
    """Instep and sole hold as many each, on whatever needles; both toes are still each other's image."""
    knitter = Knitter(of_feet(was))
    for sock in (1, 2):
        knit(knitter, *at, sock)
    knitter.do("changed", 1, **{"as": "set", "value": to})
    first = {"four": 1, "five": 2, "two circulars": 1}[to]
    for number in (1, 2):
        for row in toe_of(knitter, number).rows[5:]:
            instep = sum(needle.leaves for needle in row.needles[:first])
            assert 2 * instep == row.leaves
        knit(knitter, "graft", 1, number)
    assert step.in_step(knitter.state)


def test_needles_of_her_own_choice_in_a_toe_are_for_that_sock_alone() -> None:
    knitter = at_toe(2)
    knitter.do("changed", 1, **{"as": "set", "value": "14/16/18/14"})
    assert holds(knitter, 1) == [14, 16, 18, 14]
    assert holds(knitter, 2) == [19, 12, 12, 19]


def test_begun_again_a_sock_is_for_the_same_foot() -> None:
    knitter = at_toe(3)
    knitter.do("restart", 2)
    knit(knitter, "toe", 3, 2)
    assert holds(knitter, 2) == [18, 12, 12, 18]


def test_together_a_round_for_both_tells_what_the_other_sock_does() -> None:
    knitter = Knitter(of_feet("two circulars"))
    knitter.do("order", order="together")
    for sock in (1, 2):
        names = [there.name for there in knitter.course.sections]
        while knitter.sock(sock).section < names.index("toe"):
            knit(knitter, names[knitter.sock(sock).section + 1], 0, sock)
    glance = knitter.look(1)
    assert glance.both
    (cue,) = [one for one in glance.cues if one.about == "on the other, its round"]
    assert words.cue_text(cue, glance)[0] == (
        "on sock two this round is: A k1, ssk, k to end; B k to last 3, k2tog, k1"
    )
    knitter.tick()
    assert not [one for one in knitter.look(1).cues if one.about == "on the other, its round"]


def test_together_the_card_of_the_toe_names_both_feet() -> None:
    knitter = Knitter(of_feet("two circulars"))
    knitter.do("order", order="together")
    names = [there.name for there in knitter.course.sections]
    for sock in (1, 2):
        while knitter.sock(sock).section < names.index("toe"):
            knit(knitter, names[knitter.sock(sock).section + 1], 0, sock)
    for sock in BOTH:
        glance = knitter.look(sock)
        assert glance.both
        assert cards.card(glance)[:2] == [
            "Sock one, left foot: the big toe lies where the instep begins.",
            "Sock two, right foot: the big toe lies where it ends.",
        ]
        assert cards.card_brief(glance)[0] == (
            "Big toe: left foot, where the instep begins; right foot, where it ends."
        )


def counted(knitter: Knitter, *found: int) -> tuple[str, str, str]:
    """What a count of each needle answers: by keys, by commands, and in two lines."""
    knitter.do("count", found=list(found))
    glance = knitter.look()
    count = glance.counted
    assert count is not None
    keys, commands = (place_words.said_count(glance, keys=keys) for keys in (True, False))
    return keys, commands, count_brief.brief(count, glance)


def test_counted_before_the_stitches_are_slid_it_says_to_slide_them() -> None:
    knitter = Knitter(of_feet("five"))
    knit(knitter, "toe")
    keys, commands, brief = counted(knitter, 16, 16, 16, 16)
    first = "16/16/16/16 = 64: not slid yet; slide to 12/20/20/12."
    where = "Or it is anywhere in the foot"
    assert (
        keys
        == f"{first} {where}: count its rounds, then by command instep at with their number --section foot."
    )
    assert commands == (
        f"{first} {where}: count its rounds, then instep at with their number --section foot."
    )
    assert brief == "Not slid yet: slide to 12/20/20/12."
    assert counted(knitter, 12, 20, 20, 12)[0].endswith("as it should be.")
    assert "all are there" in counted(knitter, 13, 19, 20, 12)[0]


def test_counted_before_the_borders_are_moved_to_fewer_needles_it_says_so() -> None:
    knitter = Knitter(of_feet("five", foot__fabric="rib on the instep"))
    knit(knitter, "half sole")
    with pytest.raises(
        Refused, match="15/17/17/15 is how the foot left them; lay them as the card"
    ):
        counted(knitter, 15, 17, 17, 15)
    with pytest.raises(Refused, match="4 needles are counted, 1 needle is in work"):
        counted(knitter, 15, 17, 16, 16)


def test_the_row_over_half_the_sole_is_called_by_a_noun() -> None:
    knitter = Knitter(of_feet("five"))
    knit(knitter, "half sole")
    told = words.place(knitter.look())
    assert told.startswith("Sock one, left foot, half sole: nothing of it is done yet.")
    assert "half sole" in HARDLY_ANY


def test_a_pattern_with_the_old_name_of_that_row_is_still_read() -> None:
    text = of_feet("five").pattern.text.replace('"half sole"', '"to the side"')
    assert '"to the side"' in text
    opened = open_source(Source("pattern.toml", text.encode(), text)).pattern
    assert any(there.leads_to_toe for there in opened.sections)
    assert "to the side" not in [there.name for there in opened.sections]


def replanned(feet: str) -> str:
    text = plan_text({"toe.feet": feet})
    return kept_text(tables_of_plan(text))


def tables_of_plan(text: str) -> dict[str, Any]:
    import tomllib

    opened = open_source(Source("plan.toml", text.encode(), text))
    return tomllib.loads(opened.pattern.text)


def test_a_new_plan_may_ask_for_it_until_the_toe_is_knitted() -> None:
    alike = Knitter()
    alike.to("foot", 4)
    alike.do("replan", pattern=replanned("left and right"))
    assert [sock.other_foot for sock in alike.state.socks] == [False, True]
    knit(alike, "toe", 3, 1)
    assert holds(alike, 1) == [12, 18, 18, 12]
    with pytest.raises(Refused, match=re.escape("the new pattern has")):
        alike.do("replan", pattern=replanned("alike"))
