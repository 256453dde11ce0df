"""Evenings at the needles, played through the commands."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE
from tests.test_glance import LEG_ALONE


def test_size(pair: Instep) -> None:
    """The sock of 64 stitches from its inputs (common practice, no source)."""
    numbers = pair.json(
        "plan", str(Path(__file__).parents[2] / "sample_projects/night-ferry.toml")
    )["numbers"]
    expected = {
        "cast_on": 64, "heel_stitches": 32, "flap_rows": 32, "heel_centre": 18, "after_pick_up": 84,
        "gusset_decrease_rounds": 10, "gusset_rounds": 19, "foot_rounds": 63, "toe_rounds": 20,
        "graft_stitches": 8,
    }  # fmt: skip
    assert {key: numbers[key] for key in expected} == expected


def test_turn_row(pair: Instep) -> None:
    """Row 12 of the turn done, 20 stitches (common practice, no source)."""
    left = pair.json("at", "12", "--section", "turn")
    assert left["stitches"] == 20
    rows = []
    for _ in range(2):
        (needle,) = left["next"]["needles"]
        rows.append(
            (left["next"]["number"], left["next"]["side"], needle["work"], needle["leaves"])
        )
        left = pair.json("tick")
    assert rows == [
        (13, "WS", "sl1, p16, p2tog, turn", 19),
        (14, "RS", "sl1, k16, ssk, turn", 18),
    ]
    assert (left["section"], left["done"]) == ("gusset", 0)


def test_stripes_over_the_heel(instep: Instep, tmp_path: Path) -> None:
    """Navy 9, cream 3, rust 2, a leg of 46; after 32 flap and 14 turn rows the pick-up round is
    navy 5 of 9, and the slip is told on round 2 of each stripe of 2 or more, only (common practice,
    no source).
    """
    plan = tmp_path / "striped.toml"
    text = SAMPLE.read_text(encoding="utf-8").replace('length = "16 cm"', "rounds = 46")
    stripes = '[colours]\nleg = ["navy 9", "cream 3", "rust 2"]\n'
    plan.write_text(f"{text}\n{stripes}", encoding="utf-8")
    assert instep.run("start", str(plan))[:2] == (0, "night-ferry\n")
    assert _cues(instep.json("left"), "colour") == ["In navy"]
    instep.json("tick", "22")
    slips, changes = [], []
    for done in range(46):
        left = instep.json("left")
        slips += [done + 1 for _ in _cues(left, "slip-first")]
        changes += [done + 1 for text in _cues(left, "change") if text.endswith(" now")]
        instep.json("tick")
    assert slips == [11, 14, 16, 25, 28, 30, 39, 42, 44]
    assert changes == [10, 13, 15, 24, 27, 29, 38, 41, 43]
    flat = [instep.json("tick") for _ in range(1 + 32 + 14)]
    assert not [text for left in flat for text in _cues(left, "slip-first")]
    left = flat[-1]
    assert (left["section"], left["done"], left["next"]["number"]) == ("gusset", 0, 0)
    assert _cues(left, "colour") == ["In navy, 5th of 9 rounds"]
    assert "\nNavy, 5 of 9; cream in 5 rounds.\n" in instep.ok("left")
    instep.json("tick", "2")
    instep.json("undo")
    assert "\nNavy, 5 of 9; cream in 5 rounds.\n" in instep.ok("left")


def _cues(left: dict[str, Any], kind: str) -> list[str]:
    return [cue["text"] for cue in left["cues"] if cue["kind"] == kind]


def test_a_week_later(pair: Instep) -> None:
    """Nine days after gusset round 9 one sentence says it all, and no key is needed."""
    pair.ok("at", "8", "--section", "gusset")
    pair.ok("tick")
    pair.now("2026-03-10T20:00:00+01:00")
    for words in (["left"], [], ["knit", "night-ferry"]):
        assert pair.ok(*words).splitlines()[1] == (
            "Sock one, gusset: round 9 of 19 is done (a decrease round). Next: round 10, plain. "
            "21/16/16/21 = 74 on the needles. Last knitted 9 days ago."
        )


def test_power_failure_inside_a_toe_round(pair: Instep) -> None:
    """Needle 1 of toe round 3 done at 14: needle 2 of round 3 is next, not needle 1, not round 4."""
    pair.ok("at", "2", "--section", "toe")
    pair.ok("tick", "--needle")
    left = pair.json("left")
    assert (left["done"], left["needle"], left["next"]["number"]) == (2, "N2", 3)
    assert [needle["stitches"] for needle in left["needles"]] == [14, 15, 15, 15]
    assert "needle 2 of 4 in round 3" in pair.ok("left")


@pytest.fixture
def leg(instep: Instep, tmp_path: Path) -> Instep:
    """A leg of 150 mm at 42 rounds to 10 cm, measured 60 mm at 24 and 109 mm at 45."""
    plan = tmp_path / "leg.toml"
    plan.write_text(LEG_ALONE, encoding="utf-8")
    instep.ok("start", str(plan))
    for row, reading in (("24", "60 mm"), ("45", "109 mm")):
        instep.ok("at", row)
        instep.ok("measure", reading)
    return instep


def test_prediction(leg: Instep) -> None:
    """62 rounds, 60 to 64, measure at 59 (common practice, no source)."""
    left = leg.json("left")
    assert left["rounds_to_go"] == {"low": 60 - 45, "likely": 62 - 45, "high": 64 - 45}
    assert left["measure_at"] == 59
    assert "About 17 rounds to go (15 to 19), to 15 cm." in leg.ok("left")
    assert "Round 59: tape again." in leg.ok("left")


def test_a_reading_out_of_line(leg: Instep) -> None:
    """155 mm at 59 is 11 mm or five rounds too long; at 64 it fits, two rounds past the goal."""
    leg.ok("at", "59")
    before = leg.json("left")
    assert leg.line("measure", "155 mm").startswith(
        "15.5 cm at leg round 59 does not count yet: 11 mm or about 5 "
        "rounds longer than expected, measure again, or count them on the fabric (instep at 64 if 64 are "
        "done), instep answer right or void."
    )
    after = leg.json("left")
    assert (after["length_mm"], after["rounds_to_go"]) == (
        before["length_mm"],
        before["rounds_to_go"],
    )
    assert "reading" in [cue["kind"] for cue in after["cues"]]
    leg.ok("undo")
    leg.ok("at", "64")
    assert leg.json("left")["length_mm"] == pytest.approx(155.7, abs=0.05)
    leg.ok("measure", "155 mm")
    assert leg.json("left")["rounds_to_go"] == {"low": 0, "likely": 0, "high": 0}


@pytest.mark.parametrize(
    "answer", [("at", "64"), ("answer", "count"), ("answer", "count", "--by", "5")]
)
def test_a_reading_shows_that_rounds_were_not_counted(leg: Instep, answer: tuple[str, ...]) -> None:
    """The count is 64 then, the reading fits, and the goal of 150 mm is two rounds behind."""
    leg.ok("at", "59")
    leg.ok("measure", "155 mm")
    line = leg.line(*answer)
    assert line.startswith("Leg round 64 is now the last one done; was 59.")
    assert "The 15.5 cm reading goes with it." in line
    assert "About 2 rounds past the goal of 15 cm." in line
    left = leg.json("left")
    assert left["length_mm"] == pytest.approx(155.3, abs=0.1)
    assert "reading" not in [cue["kind"] for cue in left["cues"]]
    assert leg.line("undo").startswith("Taken back: the ")


def test_a_reading_that_is_right_or_void(leg: Instep) -> None:
    leg.ok("at", "59")
    leg.ok("measure", "155 mm")
    before = leg.json("left")["length_mm"]
    assert leg.line("answer", "right").startswith(
        "The 15.5 cm reading counts, though with more doubt than others."
    )
    assert leg.json("left")["length_mm"] > before
    assert leg.line("undo").startswith("Taken back: the answer to the 15.5 cm reading.")
    assert leg.line("answer", "void").startswith("The 15.5 cm reading is left out.")
    left = leg.json("left")
    assert left["length_mm"] == before
    assert "reading" not in [cue["kind"] for cue in left["cues"]]
    assert leg.wrong("answer", "right") == "no tape reading waits for an answer; measure first"
    assert leg.wrong("answer", "void", "--by", "3").startswith("--by belongs to a count")


def test_sock_two_follows_what_was_done(pair: Instep) -> None:
    """Leg of sock one ended at 45 of 46 planned: sock two's leg is 45, and ends there by itself."""
    pair.ok("at", "45", "--section", "leg")
    pair.ok("end")
    pair.ok("other")
    left = pair.json("at", "42", "--section", "leg")
    assert left["planned"] == 45
    assert left["rounds_to_go"] == {"low": 3, "likely": 3, "high": 3}
    assert left["measure_at"] is None
    assert "In 3 rounds: the heel begins" in [cue["text"] for cue in left["cues"]]
    assert pair.wrong("target", "17 cm").startswith(
        "the leg ends at round 45, as on the other sock"
    )
    left = pair.json("tick", "3")
    assert (left["section"], left["done"], left["in_step"]) == ("heel set-up", 0, True)


def test_a_sock_already_past_the_count_is_told_by_how_many(pair: Instep) -> None:
    pair.ok("at", "48", "--section", "leg", "--sock", "2")
    pair.ok("at", "45", "--section", "leg")
    pair.ok("end")
    left = pair.json("left", "--sock", "2")
    assert (left["section"], left["done"]) == ("leg", 48)
    assert left["cues"][0] == {
        "kind": "other-sock",
        "text": "3 rounds more than sock one, which ended at 45, instep end --sock 2 ends it here",
    }
    left = pair.json("end", "--at", "45", "--sock", "2")
    assert (left["section"], left["done"], left["in_step"]) == ("flap", 2, True)


def test_lag_of_a_finished_sock(pair: Instep) -> None:
    """10,416 stitches less leg round 20 of sock two: 7,728; before any timing at 25 a minute."""
    pair.ok("at", "1", "--section", "graft")
    left = pair.json("at", "20", "--section", "leg", "--sock", "2")
    assert left["lag"] == {"stitches": 7_728, "rounds": 157, "minutes": 309}


def test_an_evening_at_thirty_four_a_minute(pair: Instep) -> None:
    """Twenty rounds of 64 stitches at 112.94 s each: 7,728 stitches are 227 minutes (common
    practice, no source).
    """
    pair.ok("at", "1", "--section", "graft")
    pair.ok("at", "0", "--section", "leg", "--sock", "2")
    for row in range(21):
        seconds = 1000 + row * 112.941
        pair.now(f"2026-03-01T21:{int(seconds // 60):02}:{seconds % 60:09.6f}+01:00")
        pair.ok("tick", "--sock", "2")
    left = pair.json("at", "20", "--sock", "2")
    assert left["lag"]["stitches"] == 7_728
    assert left["lag"]["minutes"] == 227


def test_a_mistyped_evening_is_taken_back_step_by_step(pair: Instep) -> None:
    """Every act undone in turn leaves what was there before it, over both socks."""
    before = []
    for words in (
        "tick 22", "tick 30", "target 18 cm", "measure 12 cm", "tick --needle", "end --at 28",
        "other", "tick 5", "at 9", "tick 40 --sock 1",
    ):  # fmt: skip
        before.append(_both(pair))
        pair.ok(*words.split())
    for expected in reversed(before):
        pair.ok("undo")
        assert _both(pair) == expected
    assert pair.wrong("undo").startswith("nothing is counted yet")


def _both(pair: Instep) -> list[dict[str, object]]:
    """Both socks as they are, but for the number of events."""
    return [pair.json("left", "--sock", sock) | {"events": 0} for sock in ("1", "2")]


def test_a_count_that_is_near_what_the_reading_says_takes_it_along(leg: Instep) -> None:
    """She counts 62 where the reading speaks of 64; far from it, the reading waits no more."""
    leg.ok("at", "59")
    leg.ok("measure", "155 mm")
    assert "The 15.5 cm reading goes with it." in leg.line("at", "62")
    leg.ok("undo")
    assert "reading" not in leg.line("at", "90").replace("reading at", "")


def test_measured_again_the_refused_reading_is_not_compared(leg: Instep) -> None:
    leg.ok("at", "59")
    leg.ok("measure", "155 mm")
    assert "differ" not in leg.line("measure", "143 mm")
    assert leg.line("measure", "143 mm").startswith("14.3 cm at leg round 59.")


def test_nothing_is_left_out_twice(leg: Instep) -> None:
    leg.ok("answer", "void")
    assert leg.wrong("answer", "void") == "no tape reading waits for an answer; measure first"


def test_a_reading_that_moves_the_end_far_says_so(pair: Instep) -> None:
    pair.ok("at", "20", "--section", "leg")
    pair.ok("measure", "9.8 cm", "--rough")
    pair.ok("at", "40", "--section", "leg")
    said = pair.line("measure", "12.5 cm", "--rough")
    assert re.search(
        r"That is \d+ rounds more in all than before: if it surprises you, count them", said
    )


def test_a_goal_for_the_foot_to_come_changes_what_is_left(pair: Instep) -> None:
    """30 cm for 23.3: 67 mm at 42 rounds to 10 cm are 28 rounds more on each sock."""
    pair.ok("at", "10", "--section", "leg")
    before = pair.ok("left")
    pair.ok("target", "30 cm", "--section", "foot")
    after = pair.ok("left")
    minutes = [
        re.search(r"To the end of sock one (\d+) h (\d\d)", told) for told in (before, after)
    ]
    hours = [int(found[1]) * 60 + int(found[2]) for found in minutes if found]
    assert hours[1] - hours[0] == pytest.approx(28 * 64 / 25 * 1.1, abs=1.5)


def needles(left: dict[str, Any]) -> list[int]:
    return [needle["stitches"] for needle in left["needles"]]


def test_lost_count_in_the_gusset(pair: Instep) -> None:
    """74 stitches: round 9 or 10; the last a plain one means 10, and 11 decreases (common practice, no
    source).
    """
    pair.ok("at", "7", "--section", "gusset")
    found = pair.json("count", "74")
    assert [(place["section"], place["row"]) for place in found["places"]] == [
        ("gusset", 9),
        ("gusset", 10),
    ]
    assert found["places"][0]["question"].startswith("Is the last round a plain one?")
    (only,) = pair.json("count", "74", "--plain")["places"]
    assert only["row"] == 10
    left = pair.json("at", "10", "--section", "gusset")
    assert (left["next"]["number"], needles(left)) == (11, [21, 16, 16, 21])
    assert "k2tog" in left["next"]["needles"][0]["work"]


def test_back_to_the_lifeline_from_the_gusset(pair: Instep) -> None:
    """Leg 40 has a lifeline, leg 45 a reading; ripped from gusset 5 (common practice, no source)."""
    pair.ok("tick", "22")
    pair.ok("tick", "40")
    pair.ok("lifeline")
    pair.ok("tick", "5")
    pair.ok("measure", "15.7 cm")
    pair.ok("tick")
    pair.ok("end")
    pair.ok("tick", "48")
    before = pair.json("tick", "5")
    assert (before["section"], before["done"]) == ("gusset", 5)
    left = pair.json("rip", "lifeline")
    assert (left["section"], left["done"], needles(left)) == ("leg", 40, [16, 16, 16, 16])
    assert "reading" not in [cue["kind"] for cue in left["cues"]]
    back = pair.json("undo")
    assert (back["section"], back["done"], needles(back)) == ("gusset", 5, needles(before))


def test_uneven_edges(pair: Instep) -> None:
    """17 and 15 along the edges: 27/16/16/25 = 84, round 1 to 25/16/16/25 = 82, 24/16/16/24 after round
    3, 64 after round 19 as planned (common practice, no source).
    """
    pair.ok("at", "0", "--section", "gusset")
    assert pair.json("left")["next"]["number"] == 1
    chains = "17 and 15 chains, 1 more in each gap: 18 and 16 stitches picked up along the edges"
    assert pair.line("changed", "picked-up", "17/15").startswith(f"{chains}: the decreases")
    assert chains in pair.ok("history")
    told = pair.json("left")
    assert (needles(told), told["stitches"]) == ([27, 16, 16, 25], 84)
    assert needles(pair.json("tick")) == [25, 16, 16, 25]
    assert needles(pair.json("tick", "2")) == [24, 16, 16, 24]
    left = pair.json("tick", "16")
    assert (left["section"], left["done"], needles(left)) == ("foot", 0, [16, 16, 16, 16])


def test_sock_two_is_told_a_round_ahead(pair: Instep) -> None:
    """No decrease at gusset round 9 (made at 10), other needles at foot round 5; a repair is not told."""
    pair.ok("at", "9", "--section", "gusset")
    pair.ok("changed", "skipped-decrease")
    pair.ok("at", "4", "--section", "foot")
    pair.ok("changed", "needle", "2.25")
    pair.ok("changed", "other", "a knot, mended", "--copy", "no")
    pair.ok("other")
    pair.ok("at", "7", "--section", "gusset")
    assert "- In round 9: no decrease, as on sock one" in pair.ok("left")
    pair.ok("at", "3", "--section", "foot")
    assert "- From round 5: needles of 2.25 mm, as on sock one" in pair.ok("left")
    pair.ok("tick")
    assert "- In this round: needles of 2.25 mm, as on sock one" in pair.ok("left")
    assert "a knot" not in pair.ok("left")
