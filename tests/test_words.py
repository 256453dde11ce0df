"""How it is said: the sentences a knitter reads, word for word."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from tests.knitting.knitter import SECTIONS, Knitter, sock_of_64
from tests.pattern.making import sock
from tracker import answers, words
from tracker.glance import Glance
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.events import Act, Event
from tracker.pattern.colours import Colours, Stripe
from tracker.vocabulary import duration, ordinal

STRIPED = Course(
    sock_of_64().pattern._replace(
        colours=Colours(
            "grey", (Stripe("navy", 9), Stripe("cream", 3), Stripe("rust", 2)), "rust", "cream"
        )
    )
)
"""The same sock in stripes."""


def at(section: str, row: int = 0, needles: int = 0, **by: Any) -> Glance:
    return knit(section, row, needles).look(**by)


def knit(section: str, row: int = 0, needles: int = 0) -> Knitter:
    knitter = Knitter()
    knitter.to(section, row)
    if needles:
        knitter.needle(needles)
    return knitter


def picked_up(needles: int = 0) -> Glance:
    knitter = knit("gusset")
    knitter.tick()
    if needles:
        knitter.needle(needles)
    return knitter.look()


HANGS = (
    "The yarn hangs from the needle you have just been filling; go on into the needle without it."
)
EVENLY = "16/16/16/16 = 64 on the needles."


# The place


@pytest.mark.parametrize(
    ("glance", "sentence"),
    [
        (at("cuff"), "Sock one: cast on 64. Next: round 1, rib."),
        (
            at("cuff", 1),
            f"Sock one, cuff: round 1 of 22 is done (rib). Next: round 2, rib. {EVENLY}",
        ),
        (
            at("leg"),
            f"Sock one, leg: nothing of it is done yet. Next: round 1, plain. {EVENLY}",
        ),
        (
            at("leg", 23),
            f"Sock one, leg: round 23 of about 46 is done (plain). Next: round 24, plain. {EVENLY}",
        ),
        (
            at("heel set-up"),
            "Sock one, heel set-up: nothing of it is done yet. Next: row 1, right side: k16, turn. "
            "32 on the heel needle, 32 rest.",
        ),
        (
            at("flap", 1),
            "Sock one, heel flap: row 1 of 32 is done. Next: row 2, right side: [sl1, k1] 16 times, "
            "turn. 32 on the heel needle, 32 rest.",
        ),
        (
            at("turn", 12),
            "Sock one, heel turn: row 12 of 14 is done. Next: row 13, wrong side: sl1, p16, p2tog, "
            "turn. 20 on the heel needle, 32 rest.",
        ),
        (
            at("gusset"),
            "Sock one, gusset: nothing of it is done yet. Next: the pick-up round. "
            "18 on the heel needle, 32 rest.",
        ),
        (
            picked_up(),
            "Sock one, gusset: the stitches are picked up. Next: round 1, a decrease round. "
            "26/16/16/26 = 84 on the needles.",
        ),
        (
            at("gusset", 9),
            "Sock one, gusset: round 9 of 19 is done (a decrease round). Next: round 10, plain. "
            "21/16/16/21 = 74 on the needles.",
        ),
        (
            at("graft"),
            "Sock one, graft: nothing of it is done yet. Next: the graft. 8/8 = 16 on the needles.",
        ),
        # Inside a round.
        (
            at("gusset", 10, 1),
            "Sock one, gusset: round 10 of 19 is done (plain). Next: needle 2 of 4 in round 11: k. "
            f"{HANGS} 20/16/16/21 = 73 on the needles.",
        ),
        (
            at("gusset", 0, 2),
            "Sock one, gusset: the pick-up round is begun. Next: needle 3 of 4 in the pick-up round: k. "
            f"{HANGS} 26/16/16/9 = 67 on the needles.",
        ),
    ],
)
def test_the_place_said(glance: Glance, sentence: str) -> None:
    assert words.place(glance) == sentence


def test_a_finished_sock_said() -> None:
    knitter = Knitter()
    knitter.finish()
    assert words.place(knitter.look()) == "Sock one is finished: the toe is grafted."
    assert words.place(knitter.look(2)) == "Sock two: cast on 64. Next: round 1, rib."


@pytest.mark.parametrize(
    ("minutes", "sentence"),
    [
        (-5, ""),
        (0, ""),
        (14, ""),
        (15, "Last knitted 15 minutes ago."),
        (119, "Last knitted 119 minutes ago."),
        (120, "Last knitted 2 hours ago."),
        (47 * 60 + 59, "Last knitted 47 hours ago."),
        (48 * 60, "Last knitted 2 days ago."),
        (9 * 24 * 60, "Last knitted 9 days ago."),
    ],
)
def test_how_long_ago(minutes: int, sentence: str) -> None:
    assert words.ago(minutes * 60_000) == sentence


@pytest.mark.parametrize(
    ("glance", "line"),
    [
        (at("cuff"), "Kept: sock one, cast on 64."),
        (at("leg", 23), "Kept: sock one, leg round 23 of about 46."),
        (at("leg", 23, 2), "Kept: sock one, leg round 23 of about 46 and 2 of 4 needles."),
        (at("flap", 7), "Kept: sock one, heel flap row 7 of 32."),
    ],
)
def test_the_line_that_stays(glance: Glance, line: str) -> None:
    assert words.kept(glance) == line


def test_the_line_that_stays_of_a_finished_sock() -> None:
    knitter = Knitter()
    knitter.finish()
    assert words.kept(knitter.look()) == "Kept: sock one, finished."


def led() -> Knitter:
    """Sock one's leg ended at 45, sock two at 20 of its own."""
    knitter = knit("leg", 45)
    knitter.do("end")
    knitter.to("leg", 20, sock=2)
    return knitter


def test_of_how_many() -> None:
    assert words.of_planned(at("cuff", 3)) == ("of 22 rounds", "of 22")
    assert words.of_planned(at("flap", 3))[0] == "of 32 rows"
    assert words.of_planned(at("heel set-up"))[0] == "of 1 row"
    assert words.of_planned(at("leg", 20)) == ("of about 46, 41 to 53", "of about 46")
    assert words.of_planned(led().look(2)) == ("of 45, as on sock one", "of 45")


def test_past_the_other_sock_it_is_said_how_far() -> None:
    """Nothing then counts against a number that is behind her."""
    knitter = Knitter()
    knitter.to("leg", 45)
    knitter.to("leg", 50, sock=2)
    knitter.do("end", 1)
    glance = knitter.look(2)
    assert words.of_planned(glance) == ("5 past sock one, of 45", "5 past sock one", "5 past")
    assert "leg: round 50, 5 past sock one, is done (plain)." in words.place(glance)
    assert words.kept(glance) == "Kept: sock two, leg round 50, 5 past sock one."
    facts = words.facts(glance)
    assert ("5 rounds", "past sock one") in facts
    assert not [meaning for _, meaning in facts if "to go" in meaning or "to the heel" in meaning]
    assert words.to_go(glance).endswith(". 5 past sock one.")
    assert glance.length is not None
    assert glance.length.ends_low_mm is not None
    assert glance.length.ends_high_mm is not None
    end = (glance.length.ends_low_mm + glance.length.ends_high_mm) / 2
    assert end == pytest.approx(glance.length.mm - 5 * 100 / 42, abs=1), "the end lies behind her"


@pytest.mark.parametrize(
    ("glance", "text"),
    [
        (at("leg", 20), "by rounds"),
        (at("leg", 20, by="needles"), "all 4 needles done"),
        (at("leg", 20, 2, by="needles"), "needle 3 of 4"),
        (at("turn", 7), "25 on the heel needle"),
        (at("graft"), "16 to graft"),
    ],
)
def test_captions(glance: Glance, text: str) -> None:
    assert words.caption(glance) == text


# Length and the other sock


def test_to_go() -> None:
    assert words.to_go(at("cuff")) == "22 rounds to go."
    assert words.to_go(at("cuff", 21)) == "4.8 cm now, give or take 0.3. 1 round to go."
    assert words.to_go(at("turn", 13)) == "1 row to go."
    told = "5 cm now, give or take 0.3. About 46 rounds to go (41 to 53), to 16 cm."
    assert words.to_go(at("leg")) == told
    assert words.to_go(led().look(2)).endswith(" 25 rounds to go.")
    past = words.to_go(at("leg", 70))
    assert past.endswith(" About 24 rounds past the goal of 16 cm.")


def test_who_is_behind() -> None:
    """Whether the pair is in step stands beside how far the socks are apart."""
    assert words.lag(Knitter().look()) == "in step so far, both socks level"
    assert words.lag(at("cuff", 0, 1)) == "in step so far, sock two 16 stitches behind"
    assert words.lag(at("cuff", 1)) == "in step so far, sock two 1 round behind"
    assert words.lag(led().look(2)) == "in step so far, sock two 25 rounds behind"
    knitter = Knitter()
    knitter.tick(3, sock=2)
    assert words.lag(knitter.look()) == "in step so far, sock one 3 rounds behind"
    knitter.finish(1)
    knitter.finish(2)
    assert words.lag(knitter.look()) == "both finished, in step"


@pytest.mark.parametrize(
    ("needles", "order", "rounds", "says", "then"),
    [
        (
            "five",
            "section by section",
            22,
            "sock two's turn: the cuff",
            "still sock two's turn: the cuff",
        ),
        (
            "five",
            "every 10 rounds",
            10,
            "sock two's turn: 10 rounds",
            "still sock two's turn: 11 rounds behind",
        ),
        (
            "two circulars",
            "together",
            1,
            "sock two's turn: 1 round behind, then both together",
            "still sock two's turn: 2 rounds behind, then both together",
        ),
    ],
)
def test_whose_turn_it_is(needles: str, order: str, rounds: int, says: str, then: str) -> None:
    """Said aloud when it is so, in a quieter voice after it; the same key follows both."""
    knitter = Knitter(Course(sock_of_64(needles).pattern._replace(spare_set="the same")))
    knitter.do("order", order=order)
    knitter.do("tick", 1, rounds=rounds, alone=True)
    assert _turn_told(knitter) == (says, "tab goes there", f"{says}, instep other goes there")
    knitter.do("tick", 1, rounds=1, alone=True)
    assert _turn_told(knitter) == (then, "tab goes there", f"{then}, instep other goes there")


def test_what_helps_where_an_order_takes_a_second_set() -> None:
    knitter = Knitter()
    knitter.do("order", order="every 10 rounds")
    glance = knitter.look()
    (cue,) = (cue for cue in glance.cues if cue.about == "second set")
    assert words.cue_text(cue, glance) == (
        "every 10 rounds takes a second set of needles",
        "else z lays one on waste yarn, or & for another order",
    )
    assert words.cue_brief(cue, glance) == "take a second set, or z: waste yarn"
    assert words.cue_line(cue, glance) == (
        'Every 10 rounds takes a second set of needles, else instep rest "waste yarn" lays one down at '
        "each change, or instep order one, then the other"
    )
    knitter.tick(10)
    assert _turn_told(knitter)[0] == "sock two's turn: 10 rounds, on a second set of needles"


def _turn_told(knitter: Knitter) -> tuple[str, str, str]:
    glance = knitter.look()
    (cue,) = (cue for cue in glance.cues if cue.kind == "other-sock")
    line = words.cue_line(cue, glance)
    return *words.cue_text(cue, glance), line[0].lower() + line[1:]


def test_who_is_not_in_step() -> None:
    knitter = knit("leg", 45)
    knitter.to("leg", 47, sock=2)
    knitter.do("end")
    knitter.do("end", 2)
    assert words.lag(knitter.look()) == "not in step: leg +2; sock one 2 rounds behind"
    assert words.lag_brief(knitter.look()) == ("two's leg +2, one 2 behind", "two's leg +2")
    assert words.in_title(knitter.look()) == ("not in step: leg +2", "not in step")
    knitter.finish(1)
    knitter.finish(2)
    assert words.lag(knitter.look()) == "both finished, not in step: leg +2"


@pytest.mark.parametrize("section", SECTIONS)
@pytest.mark.parametrize("row", [0, 1])
def test_at_most_four_facts(section: str, row: int) -> None:
    facts = words.facts(at(section, row if section not in ("heel set-up", "graft") else 0))
    assert 1 <= len(facts) <= 4
    assert all(fact and meaning for fact, meaning in facts)


# Cards


def test_the_cast_on_card() -> None:
    assert words.card(Knitter().look()) == [
        "Cast on 64, loosely.",
        "Tail about 116 cm.",
        "Slide to 16 / 16 / 16 / 16.",
        "Lay the ring on the table: all bumps on the inside, nothing wound round a needle.",
        "Join; pull the first two stitches snug. The tail hangs where the round begins.",
        "Round 1: k2, p2 all round.",
        "Space when round 1 is knitted.",
    ]
    assert words.card(Knitter().look(by="needles"))[-1] == "Space when N1 is knitted."
    assert words.card_brief(Knitter().look(by="needles"))[-1] == "Space when N1 is knitted."


@pytest.mark.parametrize(
    ("section", "line", "brief"),
    [
        ("leg", "Round 1 is plain: knit.", "Round 1 is plain: knit."),
        ("flap", "Row 1, wrong side: sl1, p31, turn.", "Row 1, WS: sl1, p31, turn."),
        (
            "turn",
            "Row 1, wrong side: sl1, p17, p2tog, p1, turn.",
            "Row 1, WS: sl1, p17, p2tog, p1, turn.",
        ),
        (
            "toe",
            "Round 1 decreases: N1 and N3 k to last 3, k2tog, k1; N2 and N4 k1, ssk, k to end.",
            "Round 1 decreases: N1+N3 k to last 3, k2tog, k1; N2+N4 k1, ssk, k to end.",
        ),
    ],
)
def test_a_card_tells_the_row_it_stands_before(section: str, line: str, brief: str) -> None:
    """It stands where that would be read, so she must not need to tick it to see it."""
    assert words.card(at(section))[-2] == line
    assert words.card_brief(at(section))[-2] == brief


def test_a_card_of_a_ribbed_leg_lets_the_rib_go_on() -> None:
    knitter = Knitter(Course(sock({"leg.fabric": "rib"})))
    knitter.to("leg")
    assert "The rib goes on." in words.card(knitter.look())


@pytest.mark.parametrize(
    ("section", "lines"),
    [
        (
            "leg",
            [
                "Count once: 16 / 16 / 16 / 16.",
                "Round 1 is plain: knit.",
                "CUFF DONE: 22 rounds, 5 cm. Backspace takes it back.",
            ],
        ),
        (
            "heel set-up",
            [
                "Knit N1, then turn.",
                "N4 and N1 become the heel needle: 32; one needle is free. The instep's 32 rest.",
                "LEG DONE: 46 rounds, 15.9 cm. Backspace takes it back.",
            ],
        ),
        (
            "gusset",
            [
                "With the heel needle, 18, pick up 17 along the first edge "
                "(16 chains, 1 in the gap).",
                "Knit the instep, pick up 17 along the second edge, knit 9: centre back.",
                "Then 26 / 16 / 16 / 26 = 84. Pin the start.",
                "An edge with fewer chains: 16/15 u.",
                "Half of the sock is done.",
                "HEEL TURN DONE: 14 rows. Backspace takes it back.",
            ],
        ),
        (
            "graft",
            [
                "Knit N1 onto the last needle, the instep onto one: 8 + 8.",
                "Cut a tail of about 31 cm, and graft.",
                "Once: front purlwise, back knitwise; leave.",
                "Front: knitwise, off; purlwise, leave.",
                "Back: purlwise, off; knitwise, leave.",
                "At the end without the leaving.",
                "TOE DONE: 20 rounds. Backspace takes it back.",
            ],
        ),
    ],
)
def test_a_section_begins_with_its_card(section: str, lines: list[str]) -> None:
    assert words.card(at(section)) == lines


@pytest.mark.parametrize(
    ("section", "lines"),
    [
        (
            "heel set-up",
            [
                "Work A, the instep, once more; then it rests.",
                "The heel is worked on B, which holds 32.",
            ],
        ),
        ("flap", ["The heel flap: 32 rows, right side first."]),
        ("gusset", ["Knit A. On B pick up 17, second edge; knit 35.", "Then 32/52 = 84."]),
        ("toe", ["The round begins at the side, with A; pin up."]),
        ("graft", ["8 on A, the instep, and 8 on B, the sole."]),
    ],
)
def test_cards_of_a_sock_on_two_circulars(section: str, lines: list[str]) -> None:
    knitter = Knitter(Course(sock({"needles.set": "two circulars"})))
    kinds = [part.kind for part in knitter.course.sections]
    while kinds[knitter.sock().section] != section:
        here = knitter.look().place
        if here.planned_by == "goal" and here.done >= here.planned:
            knitter.do("end")
        else:
            knitter.tick()
    told = words.card(knitter.look())
    assert [line for line in lines if line not in told] == []


@pytest.mark.parametrize("needles", ["five", "four", "two circulars", "long circular"])
def test_the_card_of_the_gusset_says_what_to_write_where_an_edge_has_fewer_chains(
    needles: str,
) -> None:
    """The key at the needles, the command on the command line; what it shows is taken as it stands."""
    knitter = Knitter(sock_of_64(needles))
    kinds = [part.kind for part in knitter.course.sections]
    while kinds[knitter.sock().section] != "gusset":
        here = knitter.look().place
        if here.planned_by == "goal" and here.done >= here.planned:
            knitter.do("end")
        else:
            knitter.tick()
    glance = knitter.look()
    keys, commands = words.card(glance), words.card(glance, keys=False)
    assert "An edge with fewer chains: 16/15 u." in keys
    assert any(line.endswith("Uneven: 16/15 u.") for line in words.card_brief(glance))
    assert "An edge with fewer chains: instep changed picked-up 16/15." in commands
    assert not [
        line for line in keys if "instep" in line.replace("instep,", "").replace("the instep", "")
    ]
    assert not [line for line in commands if " u." in line]
    other = words.card(glance._replace(in_hand=2), keys=False)
    assert "An edge with fewer chains: instep changed picked-up 16/15 --sock 1." in other
    knitter.do("changed", None, **{"as": "picked-up", "value": "16/15"})
    assert [change.value for change in knitter.sock().changes] == ["16/15"]


def test_edges_that_differ_are_told_each_with_its_own_count() -> None:
    """B.7: a slipped chain is missed on one edge; the card tells what the row does."""
    knitter = Knitter(Course(sock({"heel.picked_up": "17/15"})))
    knitter.to("gusset")
    glance = knitter.look()
    first, last = glance.needles[0], glance.needles[-1]
    up, again = first.leaves - first.stitches, last.leaves - last.stitches
    assert up - again == 2
    told, brief = " ".join(words.card(glance)), " ".join(words.card_brief(glance))
    assert f"pick up {up} along the first edge (those in the gap among them)" in told
    assert f"pick up {again} along the second edge" in told
    assert f"Pick up {up}, first edge" in brief
    assert f"pick up {again}, second edge" in brief


@pytest.mark.parametrize("rib", ["k1p1", "k2p2", "k3p1", "k2p1", "twisted k1p1", "twisted k2p2"])
@pytest.mark.parametrize("down_the_instep", [False, True])
def test_the_cast_on_card_names_the_rib_as_the_first_needle_works_it(
    rib: str, down_the_instep: bool
) -> None:
    plan: dict[str, Any] = {"cuff.rib": rib}
    if down_the_instep:
        plan |= {"leg.fabric": "rib", "foot.fabric": "rib on the instep"}
    knitter = Knitter(Course(sock(plan)))
    work = knitter.look().needles[0].work
    [told] = [line for line in words.card(knitter.look()) if line.startswith("Round 1: ")]
    named = told.removeprefix("Round 1: ").partition(" all round")[0].replace(", then ", ", ")
    assert work.replace("[", "").replace("*", "").startswith(named)
    repeat = named.split(", ")[-2:]
    stitches = [int("".join(c for c in item if c.isdigit())) for item in repeat]
    knits, purls = (int(c) for c in rib.removeprefix("twisted ")[1::2])
    assert stitches == [knits, purls]


def test_a_first_edge_is_worked_through_the_back_in_the_round_that_meets_it() -> None:
    """B.7: on the first round that meets them. At the side that is the pick-up round itself."""
    knitter = Knitter(Course(sock({"needles.set": "two circulars"})))
    gusset = next(part for part in knitter.course.sections if part.kind == "gusset")
    assert gusset.rows[0].needles[-1].work == "pick up 17, k18, k17 tbl"
    assert gusset.rows[0].word == "PICK"


def test_no_card_inside_a_section() -> None:
    assert words.card(at("leg", 1)) == []


# Cues


def cue(kind: str, when: int = 0, about: str = "", **data: Any) -> Cue:
    return Cue(kind, when, data, about)


@pytest.mark.parametrize(
    ("told", "line"),
    [
        (
            cue("held", ticks=9),
            "Was the key held down? 9 at once, k keeps a single one",
        ),
        (
            cue("other-sock", 0, "count", other=1, over=0, count=45),
            "45 rounds, as on sock one, e ends it here",
        ),
        (
            cue("other-sock", 0, "count", other=1, over=1, count=45),
            "1 round more than sock one, which ended at 45, e ends it here",
        ),
        (
            cue("other-sock", 0, "cast-on", other=2, stitches=64, warm=True),
            "Cast on sock two while the numbers are warm: 64 stitches, just the first round, about 3 min, "
            "tab goes there",
        ),
        (cue("section", 3, "ahead", section="leg"), "In 3 rounds: the leg begins"),
        (cue("section", 1, "ahead", section="heel set-up"), "In 1 round: the heel begins"),
        (cue("section", 1, "ahead", section="gusset", unit="rows"), "In 1 row: the gusset begins"),
        (
            cue("section", 0, "goal", section="leg", mm=160.0, sure=True),
            "At the goal of 16 cm, e ends it here",
        ),
        (
            cue("section", 0, "goal", section="leg", mm=160.0, sure=False),
            "Probably at the goal of 16 cm, measure before you end",
        ),
        (cue("pin", round=40), "Pin up: round 40"),
        (
            cue("measure", 1, round=20),
            "Next round: a tape reading tells most here, 14.5 m enters one",
        ),
        (cue("needle", 0, "last", needle="N4"), "Last needle, the marker comes at its end"),
        (
            cue("reading", mm=155.0, row=59, rounds_off=5, mm_off=11.2, number=64),
            "15.5 cm does not fit: 11 mm or about 5 rounds longer than expected, "
            "measure again, or count on the fabric, then 64 a; i right, x out",
        ),
        (
            cue("reading", mm=15.0, row=3, rounds_off=-9, mm_off=-21.0, number=None),
            "1.5 cm does not fit: 21 mm or about 9 rounds shorter than expected, "
            "measure again, i if it is right, x to leave it out",
        ),
        (cue("end-of-round", round=41), "End of round 41: at the marker"),
        (cue("change", 2, to="cream"), "In 2 rounds: change to cream"),
        (cue("change", 1, to="cream"), "In 1 round: change to cream"),
        (cue("change", 1, to="cream", unit="rows"), "In 1 row: change to cream"),
        (cue("change", 1, "at the marker", to="cream"), "At the marker: change to cream"),
        (cue("change", to="cream"), "Change to cream now"),
        (cue("change", to="c\x1b[31m"), "Change to c?[31m now"),
        (
            cue("slip-first", colour="cream"),
            "Slip the first stitch, the rest in pattern, so that the stripe meets without a step",
        ),
        (cue("colour", name="navy", position=5, of=9), "In navy, 5th of 9 rounds"),
        (cue("colour", name="navy", position=0, of=0), "In navy"),
        (
            cue("section", 2, "ahead", section="toe", colour="rust"),
            "In 2 rounds: the toe begins, in rust",
        ),
        (
            cue("section", 0, "goal", section="leg", mm=160.0, sure=True, stripe="navy"),
            "At the goal of 16 cm, on a full stripe, e ends it here",
        ),
        (
            cue("section", 0, "goal", section="leg", mm=160.0, sure=True, stripe_in=1),
            "At the goal of 16 cm (1 round more and the stripe is full), e ends it here",
        ),
        (
            cue("section", 0, "full stripe", section="leg", mm=160.0, stripe="rust", short_mm=9.5),
            "A full stripe of rust ends here, 10 mm before the goal of 16 cm, e ends it here",
        ),
        (
            cue("note", 0, "through the back", before_it=cue("slip-first", colour="navy")),
            "Slip the first stitch; work the picked-up stitches through the back, this once, "
            "to close the holes",
        ),
    ],
)
def test_cues_as_sentences(told: Cue, line: str) -> None:
    assert words.cue_line(told, at("leg", 40), keys=True) == line


def test_commands_speak_of_commands() -> None:
    """On the command line no key helps."""
    glance = at("leg", 40)
    ended = cue("other-sock", 0, "count", other=1, over=0, count=40)
    assert words.cue_line(ended, glance).endswith(", instep end ends it here")
    told = cue("reading", mm=155.0, row=40, rounds_off=5, mm_off=11.5, number=45)
    assert words.cue_line(told, glance).endswith(
        "count them on the fabric (instep at 45 if 45 are done), instep answer right or void"
    )
    assert "instep measure 14.5" in words.cue_line(cue("measure", round=40), glance)
    assert not [line for line in words.card(at("leg"), keys=False) if "Backspace" in line]
    assert not [line for line in words.card(Knitter().look(), keys=False) if "Space" in line]


def test_a_card_as_a_cue_is_its_sentences() -> None:
    glance = Knitter().look()
    line = words.cue_line(glance.cues[0], glance)
    assert line == " ".join(words.card(glance, keys=False))


# What an act did


def event(kind: str, sock: int = 1, **data: Any) -> Event:
    return Event(9, 0, 0, sock, kind, data, b"")


@pytest.mark.parametrize(
    ("act", "name"),
    [
        (event("tick", rounds=1), "a round"),
        (event("tick", rounds=3), "3 rounds"),
        (event("tick", needles=1), "a needle"),
        (event("tick", needles=2), "2 needles"),
        (event("measure", mm=114.0), "the 11.4 cm reading"),
        (event("target", mm=170.0), "the 17 cm goal"),
        (event("end"), "the end of the leg"),
        (event("at", round=0), "the correction to 0"),
        (event("other"), "the change of socks"),
        (event("tick", 2, rounds=1), "a round on sock two"),
    ],
)
def test_undo_names_what_it_takes_back(act: Event, name: str) -> None:
    glance = at("leg", 23)
    assert answers.taken_back(act, glance, glance) == f"Taken back: {name}. {words.place(glance)}"
    assert (
        answers.brought_back(act, glance, glance) == f"Brought back: {name}. {words.place(glance)}"
    )


def test_an_act_is_named_by_the_place_it_was_made_at() -> None:
    """Wherever she is by then: the last row of the turn, brought back, leaves her in the gusset."""
    rows, turn = event("tick", rounds=3), at("turn", 11)
    assert answers.taken_back(rows, turn, at("cuff", 3)).startswith("Taken back: 3 rows.")
    assert answers.brought_back(rows, turn, at("gusset")).startswith("Brought back: 3 rows.")
    ended = answers.brought_back(event("end"), at("leg", 46), at("flap", 2))
    assert ended.startswith("Brought back: the end of the leg.")


def said(kind: str, before: Knitter, **data: Any) -> str:
    """What an act answers, the place that follows left off."""
    glance = before.look()
    before.do(kind, **data)
    after = before.look()
    told = answers.said(Act(kind, 1, before.events[-1].data), glance, after)
    assert told.endswith(words.place(after)) or kind in ("measure", "target")
    return told.removesuffix(words.place(after)).strip()


@pytest.mark.parametrize(
    ("kind", "before", "data", "told"),
    [
        ("tick", lambda: knit("leg", 3), {"rounds": 2}, ""),
        ("end", lambda: knit("leg", 45), {}, "The leg ended at round 45."),
        (
            "end",
            lambda: knit("leg", 45, 1),
            {"at": 44},
            "The leg ended at round 44. 1 round goes to what follows. "
            "The needle ticked in round 46 is taken back.",
        ),
        (
            "end",
            lambda: knit("leg", 45, 3),
            {"at": 40},
            "The leg ended at round 40. 5 rounds go to what follows. That is 6 rounds before its goal. "
            "The 3 needles ticked in round 46 are taken back.",
        ),
        (
            "at",
            lambda: knit("leg", 38),
            {"round": 26},
            "Leg round 26 is now the last one done; was 38.",
        ),
        ("at", lambda: knit("leg", 38), {"round": 0}, "No round of the leg is done now; was 38."),
        (
            "at",
            lambda: knit("gusset", 5),
            {"round": 40, "section": "leg"},
            "Leg round 40 is now the last one done; was gusset 5.",
        ),
        (
            "at",
            lambda: knit("cuff", 5),
            {"round": 22},
            "Cuff round 22 is now the last one done; was 5.",
        ),
        (
            "at",
            lambda: knit("cuff", 5),
            {"round": 14, "section": "turn"},
            "Heel turn row 14 is now the last one done; was cuff 5.",
        ),
        ("other", lambda: knit("leg", 5), {}, ""),
    ],
)
def test_what_an_act_answers(
    kind: str, before: Callable[[], Knitter], data: dict[str, Any], told: str
) -> None:
    assert said(kind, before(), **data) == told


@pytest.mark.parametrize(
    ("section", "row", "rounds", "told"),
    [
        ("cuff", 1, 12, "12 rounds: 2 to 13"),
        ("turn", 0, 14, "14 rows"),
        ("turn", 0, 15, "15 rounds and rows"),
        ("toe", 0, 20, "20 rounds"),
        ("flap", 31, 3, "3 rows"),
    ],
)
def test_what_several_rounds_at_once_were(section: str, row: int, rounds: int, told: str) -> None:
    """Those that end a section are its own, however the next one is worked."""
    knitter = knit(section, row)
    before = knitter.look()
    knitter.tick(rounds)
    assert answers.ticked(before, knitter.look(), rounds) == f"{told}, backspace takes them back"


def test_a_reading_answers_with_what_is_learned() -> None:
    assert said("measure", knit("leg", 20), mm=98.0, step=0) == (
        "9.8 cm at leg round 20. 9.8 cm now, give or take 0.2. "
        "About 26 rounds to go (23 to 29), to 16 cm."
    )
    assert said("measure", knit("leg", 20, 1), mm=98.0, step=0).startswith(
        "9.8 cm at leg round 20, inside the next one."
    )


def test_a_reading_that_does_not_fit_answers_so() -> None:
    assert said("measure", knit("leg", 20), mm=140.0, step=0).startswith(
        "14 cm at leg round 20 does not count yet: "
        "42 mm or about 18 rounds longer than expected, measure again, or count them on the fabric "
        "(instep at 38 if 38 are done), instep answer right or void."
    )


def test_a_goal_answers_with_what_is_left() -> None:
    assert said("target", knit("leg", 20), mm=170.0, text="17 cm").startswith(
        "The leg goes to 17 cm. "
    )
    told = said("target", knit("foot", 20), mm=240.0, text="24 cm")
    assert told.startswith("The foot goes to 24 cm, the toe included. ")


# What no sentence may hold


@cache
def every_sentence() -> tuple[str, ...]:
    """What is said in every place of a sock, in both ways of counting, half way through a round."""
    told: list[str] = []
    for course in (sock_of_64("five"), sock_of_64("four"), STRIPED):
        knitter = Knitter(course)
        ends = {"leg": 46, "foot": 44}
        while True:
            for by in ("rounds", "needles"):
                told += _sentences(knitter.look(by=by))
            if knitter.sock().finished:
                break
            if knitter.look().place.worked == "rounds":
                knitter.needle()
                told += _sentences(knitter.look(by="needles"))
            if ends.get(knitter.place()[0]) == knitter.place()[1]:
                knitter.do("end")
            else:
                knitter.tick()
    return tuple(sorted(set(told)))


def _sentences(glance: Glance) -> list[str]:
    return [
        words.place(glance), words.kept(glance), words.to_go(glance), words.lag(glance),
        words.caption(glance), *words.of_planned(glance), *words.card(glance),
        *(words.cue_line(cue, glance) for cue in glance.cues),
        *(f"{fact} {meaning}" for fact, meaning in words.facts(glance)),
        *filter(None, (words.colour(glance),)),
    ]  # fmt: skip


def test_no_left_or_right_edge() -> None:
    """Words hold for a left-handed knitter too; the right side is the trade's word for the outside."""
    for sentence in every_sentence():
        plain = sentence.replace("right side", "")
        assert not re.search(r"\b(left|right)\b", plain, re.IGNORECASE), sentence


def test_no_formula_letters() -> None:
    for sentence in every_sentence():
        assert not re.search(r"\b[A-MO-Z]\d", sentence), sentence
        assert not re.search(r"\b(BOR|EOR|MC|CC|pu|None|RS|WS)\b", sentence), sentence


def test_no_clumsy_joins() -> None:
    for sentence in every_sentence():
        assert not re.search(r"[.,;:?!] ?[.,;:?!]|  |\b0 (min|rounds|rows) behind", sentence), (
            sentence
        )
        assert sentence == sentence.strip()


def test_one_of_a_thing_is_one() -> None:
    for sentence in every_sentence():
        assert not re.search(
            r"(?<![\d.])1 (rounds|rows|needles|stitches|days|hours)\b", sentence
        ), sentence


def test_nothing_is_longer_than_it_must_be() -> None:
    """The longest thing said at the needles fits two lines of a wide terminal, a card's line one."""
    for needles in ("five", "four"):
        knitter = Knitter(sock_of_64(needles))
        for section in SECTIONS:
            knitter.to(section)
            assert max(len(line) for line in words.card(knitter.look())) <= 110
    place = max((words.place(at(name, 0)) for name in SECTIONS), key=len)
    assert len(place) <= 160


def test_a_strangers_name_is_cleaned() -> None:
    assert words.section("x\x1b[2Jy") == "x?[2Jy"
    glance = at("leg", 3)
    place = glance.place._replace(kind="other", section="shaft\x1b[31m")
    assert "shaft?[31m" in words.place(glance._replace(place=place))


# Small screens


@pytest.mark.parametrize("needles", ["five", "four"])
def test_brief_cards_say_the_work_in_few_words(needles: str) -> None:
    for section in SECTIONS:
        knitter = Knitter(sock_of_64(needles))
        knitter.to(section)
        lines = words.card_brief(knitter.look())
        assert 2 <= len(lines) <= 6
        assert max(map(len, lines)) <= 110
        assert sum(-(-len(line) // 38) for line in lines) <= 8, "eight rows of 38 cells hold it"


# Colours


@pytest.mark.parametrize(
    ("section", "row", "full", "brief"),
    [
        ("cuff", 3, "grey; navy in 19 rounds", ("grey",)),
        ("leg", 8, "navy, 9 of 9; cream in 1 round", ("navy, 9 of 9", "navy 9/9", "navy")),
        ("turn", 13, "rust; navy in 1 row", ("rust",)),
        ("gusset", 0, "navy, 5 of 9; cream in 5 rounds", ("navy, 5 of 9", "navy 5/9", "navy")),
        ("toe", 1, "cream", ("cream",)),
        ("graft", 0, "", ()),
    ],
)
def test_the_colour_at_hand(section: str, row: int, full: str, brief: tuple[str, ...]) -> None:
    knitter = Knitter(STRIPED)
    knitter.to(section, row)
    assert (words.colour(knitter.look()), words.colour_brief(knitter.look())) == (full, brief)
    assert words.colour(at("leg", 3)) == ""


@pytest.mark.parametrize(
    ("number", "said"),
    [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"), (11, "11th"), (13, "13th"), (21, "21st"),
     (112, "112th"), (123, "123rd")],
)  # fmt: skip
def test_ordinals(number: int, said: str) -> None:
    assert ordinal(number) == said


@pytest.mark.parametrize(
    ("section", "place", "line"),
    [
        ("cuff", 0, "Cast on 64 in grey, loosely."),
        ("leg", 0, "Change to navy, 1st of 9 rounds."),
        ("heel set-up", 0, "Change to rust; cut the others."),
        ("flap", -2, "In rust."),
        ("turn", -2, "In rust."),
        ("gusset", 0, "Join navy, 5th of 9 rounds; cut rust."),
        ("foot", -3, "In cream, 2nd of 3 rounds."),
        ("foot", -2, "Slip the first stitch."),
        ("toe", -2, "In cream."),
    ],
)
def test_a_card_tells_the_colour_and_a_new_one_first(section: str, place: int, line: str) -> None:
    knitter = Knitter(STRIPED)
    knitter.to(section)
    assert words.card(knitter.look())[place] == line
    brief = words.card_brief(knitter.look())
    assert any(re.split("[,;.]", line)[0] in said for said in brief)
    assert max(len(said) for said in words.card(knitter.look())) <= 110
    assert sum(-(-len(said) // 38) for said in brief[:-1]) <= 8, "all but the last line is seen"


def test_the_place_in_brief_names_the_needle_the_yarn_hangs_from() -> None:
    assert words.place_brief(at("gusset", 9, 2)) == (
        "2 of 4 needles done: yarn hangs from N2, go into N3."
    )
    assert words.place_brief(at("gusset", 9)) == "Gusset round 9 is done."
    assert words.place_brief(at("turn")) == "Heel turn: nothing of it is done yet."


def test_the_lag_in_brief() -> None:
    assert words.lag_brief(led().look(2)) == ("in step, two 25 behind", "two 25 behind")
    assert words.lag_brief(Knitter().look()) == ("in step",)
    assert words.in_title(led().look(2)) == ("in step",)


def test_past_the_goal_the_figures_stay_where_the_goal_is() -> None:
    glance = at("leg", 70)
    assert words.of_planned(glance) == ("of about 46, 24 past", "24 past goal", "24 past")
    assert "round 70, 24 past the goal, is done" in words.place(glance)
    assert ("24 rounds", "past the goal") in words.facts(glance)


def test_a_set_up_round_is_said_and_not_counted() -> None:
    knitter = Knitter(Course(sock({"leg.stitches": 63})))
    knitter.to("toe")
    glance = knitter.look()
    assert "First a set-up round, not counted: 63 to 62 stitches." in words.card(glance)
    assert "Next: the set-up round, 63 to 62 stitches, not counted." in words.place(glance)
    knitter.tick()
    assert "toe: the set-up round is done. Next: round 1" in words.place(knitter.look())
    assert knitter.look().place.done == 0


def test_ending_otherwise_than_the_other_sock_is_said() -> None:
    knitter = led()
    before = knitter.look(2)
    knitter.do("end", 2)
    told = answers.said(Act("end", 2, {}), before, knitter.look(2))
    assert told.startswith(
        "The leg ended at round 20, 25 fewer than sock one. Sock two, heel set-up:"
    )


@pytest.mark.parametrize(
    ("rounds", "says"),
    [
        (14, "14 rows"),
        (15, "15 rounds and rows"),
        (16, "16 rounds and rows"),
        (3, "3 rows: 1 to 3"),
    ],
)
def test_rows_up_to_the_next_section_are_rows(rounds: int, says: str) -> None:
    """The pick-up round is the first one that is no row; before it 14 rows of the turn were 14 rows."""
    knitter = Knitter()
    knitter.to("turn", 0)
    before = knitter.look()
    knitter.tick(rounds)
    assert answers.ticked(before, knitter.look(), rounds) == f"{says}, backspace takes them back"


def test_what_would_be_nought_is_not_said() -> None:
    glance = at("cuff", 0, 1)
    assert not [fact for fact in words.facts(glance) if "0 cm" in fact[0]]
    assert "give or take 0." not in words.to_go(at("cuff", 3))
    assert words.to_go(glance) == "22 rounds to go."


def test_a_long_while_is_said_in_hours() -> None:
    assert duration(99) == "99 min"
    assert duration(548) == "9 h 08"


def test_the_graft_is_no_row_of_nought_minutes() -> None:
    glance = at("graft")
    assert words.kept(glance) == "Kept: sock one, the graft is next."
    assert glance.minutes_to_go == 15
