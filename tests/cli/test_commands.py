"""Every command: what it does and prints, and what it says when she got it wrong."""

from __future__ import annotations

import io
import json
import re
import shlex
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from importlib import import_module
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE
from tests.storage.recording import reseal
from tracker.cli import _parser, _with_command, main
from tracker.commands.table import COMMANDS
from tracker.knitting.events import Act
from tracker.storage.basket import Basket, Stamp, Summary

EVENLY = "16/16/16/16 = 64 on the needles."


def leg(pair: Instep, row: int) -> None:
    pair.ok("at", str(row), "--section", "leg")


# Start, knit, and the bare command


def test_start_prints_the_short_name(instep: Instep) -> None:
    assert instep.line("start", str(SAMPLE)) == "night-ferry"
    assert instep.line("start", str(SAMPLE)) == "night-ferry-2"


def test_a_file_starts_a_pair_once(instep: Instep) -> None:
    """The same bytes go on with the same pair, even under another name."""
    first = instep.ok(str(SAMPLE))
    assert first == instep.ok("knit", str(SAMPLE))
    assert len(instep.json("basket")["pairs"]) == 1
    assert first.startswith("Night ferry (night-ferry)\nSock one: cast on 64.")


def test_other_bytes_start_another_pair(instep: Instep, tmp_path: Path) -> None:
    copy, changed = tmp_path / "copy.toml", tmp_path / "changed.toml"
    copy.write_bytes(SAMPLE.read_bytes())
    changed.write_bytes(SAMPLE.read_bytes() + b"\n# mine\n")
    for path in (SAMPLE, copy, changed):
        instep.ok(str(path))
    assert [pair["pair"] for pair in instep.json("basket")["pairs"]] == [
        "night-ferry-2",
        "night-ferry",
    ]


def test_without_a_terminal_the_quick_check_is_printed(pair: Instep) -> None:
    assert pair.ok() == pair.ok("left") == pair.ok("knit") == pair.ok("knit", "night-ferry")
    assert pair.ok("night-ferry") == pair.ok("left")


def test_the_bare_command_with_an_empty_basket(instep: Instep) -> None:
    says = "The basket is empty. instep samples names some plans; instep FILE starts one."
    assert instep.line() == says
    assert instep.line("basket") == says


def test_a_folder_of_a_pairs_name_does_not_hide_it(
    pair: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "night-ferry").mkdir()
    assert pair.ok("night-ferry") == pair.ok("left")


def test_a_plan_without_an_ending_is_a_file_all_the_same(
    instep: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "ferry").write_bytes(SAMPLE.read_bytes())
    assert instep.ok("ferry").startswith("Night ferry")


@pytest.mark.parametrize("words", [["start"], ["knit"], ["plan"], ["check"], []], ids=str)
def test_a_file_that_is_not_there(instep: Instep, words: list[str]) -> None:
    assert instep.wrong(*words, "no-such.toml") == "no-such.toml: there is no such file"


@pytest.mark.parametrize("words", [["start"], ["plan"], ["check"], ["append"], ["replan"]], ids=str)
def test_a_pairs_name_where_a_file_is_asked_for(pair: Instep, words: list[str]) -> None:
    told = "night-ferry: there is no such file; a plan file is named with its ending, like night-ferry.toml"
    assert pair.wrong(*words, "night-ferry") == told


def test_what_is_no_plan(instep: Instep, tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("title = 3 =", encoding="utf-8")
    assert ", line 1: this is not TOML" in instep.wrong("start", str(bad))
    assert instep.json("basket") == {"pairs": []}


# Which pair


def test_a_misspelt_pair_names_the_nearest(pair: Instep, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    text = SAMPLE.read_text(encoding="utf-8").replace("Night ferry", "Low tide socks")
    other.write_text(text, encoding="utf-8")
    pair.ok("start", str(other))
    for words in (
        ["left", "--pair", "nigth-ferry"],
        ["tick", "--pair", "nite-ferry"],
        ["away", "night-fery"],
    ):
        assert '"night-ferry"' in pair.wrong(*words)
    assert '"low-tide-socks"' in pair.wrong("left", "--pair", "low-tide-sock")
    assert '"night-ferry"' in pair.wrong("nigth-ferry")
    assert '"night-ferry"' in pair.wrong("knit", "nigth-ferry")


def test_a_misspelt_command_names_the_nearest(pair: Instep) -> None:
    told = 'there is no command and no pair "mesure"; did you mean "instep measure"?'
    assert pair.wrong("mesure") == told
    assert pair.wrong("lefft").endswith('did you mean "instep left"?')
    assert pair.wrong("xyzzy").endswith("a file is named with its ending, like xyzzy.toml")
    assert 'there is no command "tikc"; did you mean tick?' in pair.usage("tikc", "3")
    assert 'there is no command "measre"; did you mean measure?' in pair.usage("measre", "5cm")
    assert 'there is no command "measre"; did you mean measure?' in pair.usage("measre", "--help")


def test_help_is_a_word_too(capsys: pytest.CaptureFixture[str]) -> None:
    """For all commands, and for one."""
    for words, told in [
        (["help"], "usage: instep [-h]"), (["help", "rip"], "usage: instep rip "),
        (["--basket", "b.db", "help", "rip"], "usage: instep rip "),
    ]:  # fmt: skip
        with pytest.raises(SystemExit) as left:
            main(words)
        assert left.value.code == 0
        assert capsys.readouterr().out.startswith(told)


def test_help_on_what_is_no_command_is_asked_back(pair: Instep) -> None:
    """The help of `knit`, which takes the name of a pair, is not what was meant."""
    assert 'there is no command "rpi"; did you mean rip?' in pair.usage("help", "rpi")
    for words in (["help", "nonsense"], ["--basket", "b.db", "help", "nonsense"]):
        assert 'there is no command "nonsense"; instep help names them all' in pair.usage(*words)
    for words in (["hlep", "--help"], ["hlep", "rip"], ["help", "hlep"]):
        assert 'there is no command "hlep"; did you mean help?' in pair.usage(*words)
    assert pair.wrong("hlep").endswith('did you mean "instep help"?')


@pytest.mark.parametrize("words", [["end", "46"], ["other", "2"], ["left", "extra"], ["undo", "3"]])
def test_a_word_too_many_shows_the_usage_of_its_command(pair: Instep, words: list[str]) -> None:
    told = pair.usage(*words)
    assert told.startswith(f"usage: instep {words[0]} ")
    assert f"unrecognized arguments: {words[1]}" in told


def test_left_out_the_pair_last_touched(pair: Instep) -> None:
    pair.now("2026-03-02T20:00:00+01:00")
    assert pair.line("start", str(SAMPLE)) == "night-ferry-2"
    assert pair.json("left")["pair"] == "night-ferry-2"
    pair.now("2026-03-03T20:00:00+01:00")
    pair.ok("tick", "--pair", "night-ferry")
    assert pair.json("left")["pair"] == "night-ferry"


def test_no_pair_to_act_on(instep: Instep) -> None:
    for words in (["left"], ["tick"], ["undo"], ["measure", "5 cm"]):
        assert instep.wrong(*words).startswith(
            'the basket is empty; start a pair with "instep start'
        )


def test_away_and_back(pair: Instep) -> None:
    assert pair.line("away", "night-ferry") == (
        "night-ferry is put away; instep back night-ferry brings it out."
    )
    nothing = "Every pair is put away. instep back night-ferry brings one out."
    assert pair.line("basket") == pair.line() == nothing
    assert pair.json("basket") == {"pairs": []}
    assert 'bring one out: "instep back night-ferry"' in pair.wrong("left")
    assert pair.json("left", "--pair", "night-ferry")["pair"] == "night-ferry"
    assert pair.line("back", "night-ferry") == "night-ferry is in the basket."
    assert pair.json("left")["pair"] == "night-ferry"


def test_the_basket_is_listed(pair: Instep) -> None:
    leg(pair, 20)
    assert (
        pair.line("basket")
        == "night-ferry  Night ferry: sock one, leg, 20 done, in step, sock two 42 rounds behind"
    )


# The quick check, byte for byte


def test_left_at_the_cast_on(pair: Instep) -> None:
    assert pair.ok("left") == (
        "Night ferry (night-ferry)\n"
        "Sock one: cast on 64. Next: round 1, rib.\n"
        "22 rounds to go. 62 min.\n"
        "To the end of sock one 7 h 53, of both 15 h 46, at a usual 25 stitches a minute.\n"
        "In step so far, both socks level.\n"
        "- Cast on 64, loosely. Tail about 116 cm. Slide to 16 / 16 / 16 / 16. Lay the ring on the "
        "table: all bumps on the inside, nothing wound round a needle. Join; pull the first two "
        "stitches snug. The tail hangs where the round begins. Round 1: k2, p2 all round.\n"
    )


def test_left_in_the_leg(pair: Instep) -> None:
    leg(pair, 30)
    pair.ok("measure", "12.2 cm")
    pair.now("2026-03-01T22:10:00+01:00")
    assert pair.ok("left") == (
        "Night ferry (night-ferry)\n"
        "Sock one, leg: round 30 of about 46 is done (plain). Next: round 31, plain. "
        f"{EVENLY} Last knitted 2 hours ago.\n"
        "12.2 cm now, give or take 0.2. About 16 rounds to go (14 to 18), to 16 cm. 45 min.\n"
        "Round 43: tape again.\n"
        "To the end of sock one 5 h 27, of both 13 h 20, at a usual 25 stitches a minute.\n"
        "In step so far, sock two 52 rounds behind.\n"
        "- Pin up: round 30\n"
    )


def test_left_at_the_end(pair: Instep) -> None:
    pair.ok("at", "1", "--section", "graft")
    assert pair.ok("left") == (
        "Night ferry (night-ferry)\n"
        "Sock one is finished: the toe is grafted.\n"
        "To the end of sock two 7 h 53, at a usual 25 stitches a minute.\n"
        "In step so far, sock two 199 rounds behind.\n"
        "- Cast on sock two while the numbers are warm: 64 stitches, just the first round, about 3 min, "
        "instep other goes there\n"
    )


# The acts, byte for byte


def test_tick(pair: Instep) -> None:
    assert pair.line("tick") == (
        f"Sock one, cuff: round 1 of 22 is done (rib). Next: round 2, rib. {EVENLY}"
    )
    assert pair.line("tick", "21") == (
        f"Sock one, leg: nothing of it is done yet. Next: round 1, plain. {EVENLY}"
    )
    assert pair.line("tick", "2", "--needle") == (
        "Sock one, leg: round 1 is begun. Next: needle 3 of 4 in round 1: k. The yarn hangs "
        "from the needle you have just been filling; go on into the needle without it. "
        f"{EVENLY}"
    )
    assert pair.json("tick", "2")["done"] == 2


def test_tick_wrong(pair: Instep) -> None:
    assert pair.wrong("tick", "0") == "0 rounds at once cannot be; write 1 to 1000"
    assert pair.wrong("tick", "-3") == "-3 rounds at once cannot be; write 1 to 1000"
    pair.ok("at", "19", "--section", "toe")
    assert pair.wrong("tick", "3") == "only 2 rounds are left on sock one; write 1 to 2"
    assert pair.json("left")["events"] == 2


@pytest.mark.parametrize("count", ["x", "1_000", "+5", "٣", "", "1e3", "--5", "9" * 5000])
def test_counts_are_plain_digits(pair: Instep, count: str) -> None:
    for words in (["tick", count], ["at", count], ["end", "--at", count]):
        told = pair.usage(*words)
        assert told.replace("\n", "").isprintable()
        assert len(told) < 2_000
    assert pair.json("left")["events"] == 1
    assert 'instep tick: error: argument N: "x" is no count; write a whole number like 12' in (
        pair.usage("tick", "x")
    )


def test_past_the_graft_nothing_is_recorded(pair: Instep) -> None:
    before = pair.json("at", "1", "--section", "graft")
    for words in (["tick"], ["tick", "7"], ["tick", "--needle"]):
        assert pair.wrong(*words) == "sock one is finished: nothing is left to count"
    assert pair.json("left") == before


def test_end(pair: Instep) -> None:
    leg(pair, 48)
    pair.ok("tick", "--needle")
    assert pair.line("end", "--at", "46") == (
        "The leg ended at round 46. 2 rounds go to what follows. The needle ticked "
        "in round 49 is taken back. Sock one, heel flap: row 1 of 32 is done. Next: row 2, right "
        "side: [sl1, k1] 16 times, turn. 32 on the heel needle, 32 rest."
    )


def test_end_wrong(pair: Instep) -> None:
    assert pair.wrong("end") == "the cuff ends by itself after round 22; count on"
    leg(pair, 10)
    assert pair.wrong("end", "--at", "11") == "round 11 of the leg is not done; write 1 to 10"
    pair.ok("at", "1", "--section", "graft")
    assert pair.wrong("end") == "sock one is finished: nothing is left to end"


def test_at(pair: Instep) -> None:
    leg(pair, 38)
    assert pair.line("at", "26") == (
        "Leg round 26 is now the last one done; was 38. Sock one, leg: round 26 of about 46 is done "
        f"(plain). Next: round 27, plain. {EVENLY}"
    )


def test_at_wrong(pair: Instep) -> None:
    assert pair.wrong("at", "23") == "the cuff has no round 23; write 0 to 22"
    assert (
        pair.wrong("at", "3", "--section", "gussett")
        == 'there is no section "gussett"; write gusset'
    )
    assert "required: ROUND" in pair.usage("at")


def test_a_flap_of_another_length_is_told_by_its_plan(pair: Instep, tmp_path: Path) -> None:
    """A refusal on the way names it, and what it names does it."""
    pair.ok("at", "30", "--section", "flap")
    how = "for another length write heel.rows in the plan, then instep replan FILE"
    assert pair.wrong("at", "36") == f"the flap has no row 36; write 0 to 32; {how}"
    assert pair.wrong("end") == f"the flap ends by itself after row 32; count on; {how}"
    plan = Path(SAMPLE).read_text(encoding="utf-8")
    longer = tmp_path / "longer.toml"
    longer.write_text(plan.replace('kind = "flap"', 'kind = "flap"\nrows = 36'), encoding="utf-8")
    pair.ok("replan", str(longer))
    assert pair.line("at", "35").startswith("Heel flap row 35 is now the last one done")


def test_undo_and_redo(pair: Instep) -> None:
    leg(pair, 23)
    pair.ok("measure", "10.6")
    stands = f"Sock one, leg: round 23 of about 46 is done (plain). Next: round 24, plain. {EVENLY}"
    assert pair.line("undo") == f"Taken back: the 10.6 cm reading. {stands}"
    assert pair.line("redo") == f"Brought back: the 10.6 cm reading. {stands}"


def test_undo_and_redo_are_the_pairs_and_answer_with_the_sock_that_is_named(pair: Instep) -> None:
    pair.ok("tick", "3")
    pair.ok("tick", "2", "--sock", "2")
    answer = pair.json("undo", "--sock", "1")
    assert (answer["sock"], answer["done"]) == (1, 3), "it was sock two's, the last of the pair"
    assert pair.json("left", "--sock", "2")["done"] == 0
    assert pair.line("redo", "--sock", "2").startswith(
        "Brought back: 2 rounds. Sock two, cuff: round 2"
    )
    assert pair.json("left")["sock"] == 1, "the sock in hand stays"


@pytest.mark.parametrize("section", ["leg", "foot"])
def test_undo_and_redo_name_the_section_that_was_ended(pair: Instep, section: str) -> None:
    pair.ok("at", "30", "--section", section)
    pair.ok("end", "--at", "28")
    assert pair.line("undo").startswith(f"Taken back: the end of the {section}. ")
    assert pair.line("redo").startswith(f"Brought back: the end of the {section}. ")
    pair.ok("other")
    pair.ok("tick", "3", "--sock", "1")
    worked = "rows" if section == "leg" else "rounds"
    assert pair.line("undo").startswith(f"Taken back: 3 {worked} on sock one. Sock two")
    assert pair.line("redo").startswith(f"Brought back: 3 {worked} on sock one. Sock two")


def test_what_is_said_of_the_other_sock_can_be_done_as_it_is_written(pair: Instep) -> None:
    """Commands in cues act on the sock in hand, unless they name the other one."""
    pair.ok("at", "65", "--section", "leg", "--sock", "2")
    pair.ok("at", "5", "--section", "leg")
    said = pair.ok("left", "--sock", "2").splitlines()
    (line,) = [line for line in said if line.startswith("- 19 rounds past the goal")]
    assert line.endswith(", instep end --sock 2 ends it here")
    pair.ok("end", "--sock", "2")
    assert pair.json("left")["done"] == 5, "sock one is where it was"
    assert pair.json("left", "--sock", "2")["kind"] == "heel set-up"
    pair.ok("at", "1", "--section", "graft")
    pair.ok("other")
    assert "goes there" not in pair.ok("left", "--sock", "1"), "it is in hand already"


def test_a_card_offers_to_take_its_section_back_only_while_undo_would(pair: Instep) -> None:
    pair.ok("tick", "22")
    assert "instep undo takes it back." in pair.ok("left")
    pair.ok("tick", "--sock", "2")
    assert "CUFF DONE" in pair.ok("left")
    assert "instep undo takes it back." not in pair.ok("left")


def test_no_section_is_counted_without_end(pair: Instep) -> None:
    pair.ok("tick", "22")
    for _ in range(5):
        pair.ok("tick", "1000")
    told = pair.wrong("tick", "1")
    assert told == "that would be 5001 rounds of the leg; no section is counted past 5000"
    assert pair.json("left")["done"] == 5000


def test_undo_and_redo_wrong(pair: Instep) -> None:
    assert pair.wrong("redo") == "nothing was taken back, so there is nothing to bring back"
    assert pair.wrong("undo") == "nothing is counted yet, so there is nothing to take back"


@pytest.mark.parametrize(
    "length",
    [["10.6"], ["10,6 cm"], ["106mm"], ["10.6", "cm"], ["4", "1/4", "in"], ['4 1/4"']],
    ids=str,
)
def test_measure_reads_lengths(pair: Instep, length: list[str]) -> None:
    leg(pair, 23)
    assert pair.json("measure", *length)["length_mm"] == pytest.approx(106, abs=2)


def test_measure_from_a_mark(pair: Instep) -> None:
    leg(pair, 23)
    assert pair.line("measure", "5.5", "--from", "cuff").startswith("5.5 cm at leg round 23. ")
    assert pair.wrong("measure", "9", "--from", "heel") == (
        "the leg is measured from cast-on or cuff, not from heel"
    )
    assert "invalid choice: 'toe'" in pair.usage("measure", "9", "--from", "toe")


def test_a_rough_reading_counts_for_less(pair: Instep) -> None:
    leg(pair, 23)
    before = pair.json("left")["length_mm"]
    careful = pair.json("measure", "11 cm")["length_mm"]
    pair.ok("undo")
    rough = pair.json("measure", "11 cm", "--rough")["length_mm"]
    assert before < rough < careful


def test_measure_wrong(pair: Instep) -> None:
    leg(pair, 23)
    assert pair.wrong("measure", "106 cm") == (
        '106 cm is far from the 10.5 cm expected; did you mean "106 mm"?'
    )
    assert pair.wrong("measure", "0") == "a reading of 0 cannot be; write a length above zero"
    assert "is not a length" in pair.wrong("measure", "long")
    assert "below zero" in pair.wrong("measure", "-4")
    pair.ok("at", "3", "--section", "turn")
    assert pair.wrong("measure", "9") == (
        "there is no length to take at the heel; measure cuff, leg, gusset or foot"
    )
    assert "required: LENGTH" in pair.usage("measure")


def test_target(pair: Instep) -> None:
    leg(pair, 20)
    assert pair.line("target", "17", "cm") == (
        "The leg goes to 17 cm. 9.8 cm now, give or take 0.5. "
        "About 30 rounds to go (25 to 37), to 17 cm."
    )


def test_a_goal_far_off_says_by_how_many_rounds(pair: Instep) -> None:
    """It may be meant, or a slip; either way she sees it."""
    leg(pair, 20)
    assert pair.line("target", "30").startswith(
        "The leg goes to 30 cm: 59 rounds more than before. "
    )
    assert pair.line("target", "15").startswith(
        "The leg goes to 15 cm: 63 rounds fewer than before. "
    )
    assert pair.line("target", "16").startswith("The leg goes to 16 cm. ")


def test_a_wrong_goal_does_not_lock_the_right_one_out(pair: Instep) -> None:
    """A number in another unit is asked back, written with it or bare; back to the plan is no slip."""
    leg(pair, 20)
    assert pair.wrong("target", "15in") == (
        '15 in is far from the 16 cm expected; did you mean "15 cm"?'
    )
    pair.ok("target", "38.1 cm")
    assert pair.wrong("target", "155").endswith('did you mean "155 mm"?')
    assert pair.wrong("target", "2 m").startswith('"2 m"')
    assert pair.line("target", "16").startswith("The leg goes to 16 cm: ")
    pair.ok("target", "38.1 cm")
    assert pair.line("target", "160mm").startswith("The leg goes to 16 cm: ")


def test_a_reading_in_the_other_unit_is_asked_back(pair: Instep) -> None:
    leg(pair, 24)
    assert pair.wrong("measure", "9.9in").endswith('did you mean "9.9 cm"?')
    assert pair.wrong("measure", "3.9").endswith('did you mean "3.9 in"?')
    assert not [event for event in pair.json("history")["events"] if event["kind"] == "measure"]


def test_target_wrong(pair: Instep) -> None:
    assert pair.wrong("target", "6 cm") == (
        "the cuff has a count for its goal: round 22; write --section leg after it for that one"
    )
    leg(pair, 20)
    assert pair.wrong("target", "170") == (
        '170 cm is far from the 16 cm expected; did you mean "170 mm"?'
    )
    assert pair.wrong("target", "0 cm") == "a goal of 0 cm cannot be; write a length above zero"
    pair.ok("at", "2", "--section", "toe")
    assert pair.wrong("target", "18 cm") == "the toe has a count for its goal: round 20"
    assert pair.wrong("target", "18 cm", "--section", "leg") == (
        "the leg of sock one is over; its goal stays"
    )
    assert pair.wrong("target", "18 cm", "--section", "lag") == (
        'there is no section "lag"; write leg'
    )


def test_a_goal_for_what_is_to_come(pair: Instep) -> None:
    """In the cuff she decides on a longer leg; in the leg, on a shorter foot."""
    assert pair.line("target", "18 cm", "--section", "leg").startswith(
        "The leg will go to 18 cm. Sock one: cast on 64."
    )
    assert pair.wrong("target", "180", "--section", "leg").endswith('did you mean "180 mm"?')
    leg(pair, 20)
    assert pair.json("left")["target_mm"] == 180
    pair.ok("target", "22 cm", "--section", "foot")
    assert pair.wrong("target", "4.5 cm", "--section", "foot").startswith("the toe alone is 4.8 cm")
    pair.ok("at", "3", "--section", "foot")
    assert pair.json("left")["target_mm"] == pytest.approx(220 - 47.6, abs=0.1)
    pair.ok("other")
    leg(pair, 20)
    assert pair.json("left")["target_mm"] is not None, "a goal is the pair's"


def test_a_goal_for_one_sock_alone(pair: Instep) -> None:
    pair.ok("at", "40", "--section", "leg")
    pair.ok("end")
    pair.ok("other")
    leg(pair, 30)
    assert pair.wrong("target", "18 cm") == (
        "the leg ends at round 40, as on the other sock; write --only after it for a goal of "
        "this sock alone"
    )
    assert pair.line("target", "18 cm", "--only").startswith(
        "The leg goes to 18 cm on sock two alone: 15 rounds more than before. "
    )
    left = pair.json("tick", "15")
    assert (left["section"], left["done"], left["target_mm"]) == ("leg", 45, 180)
    assert pair.json("at", "44")["done"] == 44, "it does not end at 40 any more"
    assert pair.json("end")["section"] == "heel set-up"
    assert pair.json("left")["in_step"] is False
    for _ in range(4):
        left = pair.json("undo")
    assert (left["planned"], left["done"]) == (40, 30)


def test_a_tension_that_differs_is_matched_by_the_command_that_is_told(pair: Instep) -> None:
    leg(pair, 24)
    pair.ok("measure", "11.2")
    pair.ok("tick", "20")
    pair.ok("end")
    pair.ok("other")
    leg(pair, 24)
    pair.ok("measure", "10.3")
    told = re.search(
        r"match the length with (\d+) rounds more: instep (target [\d.]+ --only)", pair.ok("left")
    )
    assert told is not None
    pair.ok(*told[2].split())
    assert pair.json("left")["rounds_to_go"]["likely"] == 44 + int(told[1]) - 24


def test_a_goal_of_the_pair_takes_the_place_of_one_of_a_single_sock(pair: Instep) -> None:
    leg(pair, 30)
    pair.ok("target", "18 cm", "--only")
    pair.ok("other")
    assert pair.json("at", "5", "--section", "leg")["target_mm"] == 160
    assert pair.json("target", "17 cm")["target_mm"] == 170
    assert pair.json("other")["target_mm"] == 170


def test_count(pair: Instep) -> None:
    pair.ok("at", "8", "--section", "gusset")
    assert pair.line("count", "22/16/16/22") == "22/16/16/22 = 76: as it should be."
    assert pair.line("count", "ok") == "22/16/16/22 = 76: as it should be."
    events = pair.json("left")["events"]
    assert pair.line("count") == (
        "22/16/16/22 = 76 should be on the needles: write instep count ok if they are, else what you find, "
        "like instep count 22/16/16/22."
    )
    assert pair.json("count") == {
        "expected": [22, 16, 16, 22], "found": [], "matches": False, "places": [],
    }  # fmt: skip
    assert (
        pair.wrong("count", "--plain") == "count the stitches, too: write instep count 76 --plain"
    )
    assert pair.wrong("count", "--shaped").endswith("write instep count 76 --shaped")
    assert pair.json("left")["events"] == events, "who only asks has counted nothing"
    said = pair.line("count", "74")
    assert said.startswith(
        "74 counted, 22/16/16/22 = 76 expected. That is gusset round 9 or gusset round 10."
    )
    question = "Is the last round a plain one? Then it is gusset round 10"
    assert pair.json("count", "74") == {
        "expected": [22, 16, 16, 22], "found": [74], "matches": False,
        "places": [
            {"section": "gusset", "row": 9, "needle": None, "question": question},
            {"section": "gusset", "row": 10, "needle": None, "question": question},
        ],
    }  # fmt: skip
    assert [place["row"] for place in pair.json("count", "74", "--plain")["places"]] == [10]
    assert [place["row"] for place in pair.json("count", "74", "--shaped")["places"]] == [9]
    assert pair.json("left")["done"] == 8, "nothing moves"
    (inside, *_) = pair.json("count", "73")["places"]
    assert (inside["section"], inside["row"], inside["needle"]) == ("gusset", 10, "N2")
    assert pair.line("undo").startswith("Taken back: the count of the stitches.")


def test_count_wrong(pair: Instep) -> None:
    pair.ok("at", "8", "--section", "gusset")
    assert pair.wrong("count", "many") == (
        '"many" is no count of stitches; write 21/16/16/21, or 74 in all'
    )
    assert pair.wrong("count", "1/2").startswith("2 needles are counted, 4 needles are in work")
    assert pair.wrong("count", "74", "--plain", "--shaped").startswith(
        "the last round was plain or"
    )


def test_a_note_says_which_question_it_settles(pair: Instep) -> None:
    pair.ok("note", "? is it", "too tight")
    pair.ok("note", "? how long")
    pair.ok("note", "? and then")
    assert pair.line("note", "!! it is not").endswith(
        ' It settles "is it too tight" and "how long".'
    )
    assert "settles" not in pair.line("note", "all well")
    lines = pair.ok("history", "--kind", "note").splitlines()
    assert lines[3].endswith(
        ': the note: !! it is not; it settles "is it too tight" and "how long"'
    )
    assert pair.json("history")["events"][4]["text"].endswith('"how long"')
    assert lines[4].endswith(": the note: all well")


def test_note(pair: Instep) -> None:
    leg(pair, 20)
    assert pair.line("note", "took", "the", "thicker", "needle\x1b[31m") == (
        "Noted at leg round 20: took the thicker needle?[31m."
    )
    assert "- You wrote: took the thicker needle?[31m" in pair.ok("left")
    pair.ok("tick")
    assert "You wrote" not in pair.ok("left")
    pair.ok("rip", "20")
    assert "- You wrote: took the thicker needle" in pair.ok("left"), "the round comes again"
    pair.ok("other")
    leg(pair, 20)
    assert "- On sock one you wrote: took the thicker needle" in pair.ok("left")
    assert pair.wrong("note", " ") == "a note has words; write them after it"
    assert pair.wrong("note", "x" * 501).startswith("a note has at most 500 letters")


def test_rest(pair: Instep) -> None:
    assert pair.wrong("rest").startswith("sock one is not begun")
    leg(pair, 20)
    rests = "Sock one rests on waste yarn. Put back 16/16/16/16, the tail between needles 4 and 1."
    assert pair.line("rest", "waste", "yarn").startswith(rests)
    assert rests in pair.ok("left")
    pair.ok("tick")
    assert "rests on" not in pair.ok("left")
    assert pair.line("rest").startswith("Sock one rests on the needles.")


def test_history(pair: Instep) -> None:
    pair.ok("tick", "3")
    pair.ok("note", "all well")
    pair.ok("undo")
    pair.ok("at", "5", "--section", "leg")
    pair.ok("measure", "6 cm")
    pair.ok("tick", "--needle")
    events = pair.json("history")["events"]
    assert [event["kind"] for event in events] == [
        "started", "tick", "note", "undo", "at", "measure", "tick",
    ]  # fmt: skip
    assert [event["undone"] for event in events] == [False, False, True, False, False, False, False]
    assert [(event["section"], event["row"], event["needle"]) for event in events[3:]] == [
        ("cuff", 3, None), ("leg", 5, None), ("leg", 5, None), ("leg", 5, "N2"),
    ]  # fmt: skip
    assert events[3]["text"] == "taken back: the note: all well"
    assert events[5]["text"] == "the 6 cm reading"
    assert datetime.fromisoformat(events[0]["at"]).tzinfo is not None
    lines = pair.ok("history").splitlines()
    assert lines[2].endswith("sock one, cuff 3: the note: all well (taken back)")
    assert len(pair.ok("history", "--kind", "tick").splitlines()) == 2
    assert pair.json("history", "--sock", "2")["events"] == []


def test_history_names_where_an_act_was_made(pair: Instep) -> None:
    leg(pair, 46)
    pair.ok("end")
    pair.ok("lifeline", "40", "--section", "leg")
    told = pair.ok("history").splitlines()
    assert told[-2].endswith("sock one, heel set-up 0: the end of the leg")
    assert told[-1].endswith("the lifeline in leg round 40")
    assert pair.wrong("history", "--kind", "nots") == 'there is no kind "nots"; write note'
    assert pair.wrong("history", "--kind", "\x1b").startswith('there is no kind "?"; write ')


def test_history_lists_what_hangs_in_the_fabric(pair: Instep) -> None:
    leg(pair, 40)
    pair.ok("note", "the red \x1b marker")
    pair.ok("lifeline", "20")
    pair.ok("tick", "6")
    pair.ok("end")
    pair.ok("tick", "3", "--sock", "2")
    pair.ok("note", "loosely", "--sock", "2")
    assert pair.ok("history", "--marks").splitlines() == [
        "sock one, leg round 20: a lifeline", "sock one, leg round 40: a note: the red ? marker",
        "sock one, leg round 46: a pin, left standing", "sock two, cuff round 3: a note: loosely",
    ]  # fmt: skip
    assert pair.json("history", "--marks", "--sock", "1", "--kind", "pin") == {
        "marks": [{"sock": 1, "kind": "pin", "section": "leg", "row": 46, "text": ""}]
    }
    pair.ok("rip", "30", "--section", "leg")
    assert pair.ok("history", "--marks", "--kind", "pin") == ""
    assert pair.wrong("history", "--marks", "--kind", "tick") == (
        'there is no kind "tick"; write lifeline, pin, note'
    )


def test_rip(pair: Instep) -> None:
    assert pair.wrong("rip", "3").startswith("nothing of sock one is knitted")
    leg(pair, 38)
    said = pair.line("rip", "26")
    assert said.startswith(
        "Leg round 26 is now the last on the needles; was 38. Sock one, leg: round 26 of"
    )
    assert pair.line("undo").startswith(
        "Taken back: the ripping back to 26. Sock one, leg: round 38"
    )
    assert pair.line("rip", "--by", "12").startswith(
        "Leg round 26 is now the last on the needles; was 38."
    )
    assert pair.line("rip", "22", "--section", "cuff").startswith(
        "Cuff round 22 is now the last on the needles; was leg 26."
    )
    assert pair.wrong("rip", "5") == (
        "round 5 of the leg is not done; write 0, or --section cuff if round 5 of that is meant"
    )


def test_stitches_unknitted_one_by_one(pair: Instep) -> None:
    pair.ok("tick", "45")
    assert pair.line("rip", "--stitches", "20") == (
        "20 stitches back. Leg round 22 is now the last on the needles; was 23. Sock one, leg: round 22 of "
        "about 46 is done (plain). Needle 3 of 4 in round 23 is in hand: 12 of its 16 stitches are worked. "
        "16/16/16/16 = 64 on the needles."
    )
    left = pair.json("left")
    assert (left["done"], left["needle"]) == (22, "N3")
    said = "Needle 3 of 4 in round 23, 12 of 16 stitches worked"
    assert {"kind": "needle", "text": said} in left["cues"]
    assert pair.line("rip", "--stitches", "1").startswith("1 stitch back. Sock one, leg: round 22")
    assert pair.line("undo").startswith("Taken back: 1 stitch unknitted.")
    assert pair.line("tick", "--needle").count("needle 4 of 4 in round 23")
    assert "is done (plain). Next: round 23" in pair.line("rip", "--by", "0")
    assert pair.ok("history").count("sock one, leg 22, N3 next: 20 stitches unknitted") == 1
    assert pair.wrong("rip", "--stitches", "0").startswith("0 stitches cannot come off; write 1 to")
    assert pair.wrong("rip", "30", "--stitches", "4").startswith("say how far back")
    assert pair.wrong("rip", "--stitches", "4", "--section", "leg").startswith("--section goes")
    pair.ok("tick", "24")
    pair.ok("end")
    pair.ok("tick", "5")
    assert "Row 4 is in hand: 25 of its 32 stitches are worked." in pair.line(
        "rip", "--stitches", "7"
    )


def test_rip_to_the_nearest_lifeline_below(pair: Instep) -> None:
    """After a correction, or standing at a lifeline, the last one in the sock is not the one meant."""
    leg(pair, 10)
    pair.ok("lifeline")
    pair.ok("tick", "10")
    pair.ok("lifeline")
    pair.ok("at", "15")
    assert pair.line("rip", "lifeline").startswith("Leg round 10 is now the last on the needles")
    assert pair.wrong("rip", "lifeline") == (
        "no lifeline lies below where it is, only in leg round 10; name the round to go back to"
    )
    pair.ok("tick", "15")
    pair.ok("lifeline")
    assert pair.line("rip", "lifeline").startswith("Leg round 10 is now the last on the needles")
    pair.ok("tick", "--needle")
    assert pair.line("rip", "lifeline").startswith("Leg round 10 is now the last on the needles")


def test_rip_to_the_beginning_of_a_section(pair: Instep) -> None:
    leg(pair, 10)
    assert pair.wrong("rip", "--by", "0") == (
        "nothing of the round in hand is worked; write 1 to 32"
    )
    assert pair.wrong("rip", "leg").endswith("or to its beginning instep rip --section leg")
    assert pair.line("rip", "--section", "leg").startswith("No round of the leg is done now")


def test_ticks_made_on_the_wrong_sock(pair: Instep) -> None:
    pair.ok("tick", "30")
    pair.ok("tick", "2")
    pair.ok("tick")
    assert pair.line("other", "--over", "2").startswith(
        "The last 2 ticks, 3 rounds, counted on sock two. Sock two, cuff: round 3 of 22 is done"
    )
    assert pair.json("left", "--sock", "1")["done"] == 8
    assert pair.json("left")["sock"] == 1, "the sock in hand stays"
    assert pair.line("undo").startswith("Taken back: the move of 2 ticks")
    left = pair.json("other", "--over")
    assert (left["sock"], left["done"]) == (2, 1)
    assert pair.wrong("other", "--over", "9").startswith("only ")
    assert pair.line("other", "--over", "--sock", "1").startswith(
        "The last tick, 1 round, counted on sock one. Sock one, leg: round 11"
    )
    assert "write a whole number" in pair.usage("other", "--over", "x")


def test_a_count_that_is_right_names_the_other_place_with_as_many(pair: Instep) -> None:
    """64 stitches: 74 are gusset round 9 and 10, and nothing moves (common practice, no source)."""
    pair.ok("at", "9", "--section", "gusset")
    question = "Is the last round a plain one? Then it is gusset round 10"
    assert pair.json("count", "74") == {
        "expected": [21, 16, 16, 21], "found": [74], "matches": True,
        "places": [
            {"section": "gusset", "row": 9, "needle": None, "question": question},
            {"section": "gusset", "row": 10, "needle": None, "question": question},
        ],
    }  # fmt: skip
    assert pair.line("count", "74") == (
        "74: as it should be. Gusset round 10 has as many. Is the last round a plain one? Then "
        "it is that one. instep at 10 --section gusset puts the count there."
    )
    assert pair.json("left")["done"] == 9
    assert pair.line("count", "21/16/16/21") == "21/16/16/21 = 74: as it should be."
    assert len(pair.json("count", "21/16/16/21")["places"]) == 2
    for bare in (("ok",), ("74", "--shaped")):
        assert pair.json("count", *bare)["places"] == [], "who only checks is asked nothing"
    assert pair.line("count", "74", "--plain") == (
        "74: as it should be. But by its last round it is gusset round 10. "
        "instep at 10 --section gusset puts the count there."
    )
    pair.ok("tick")
    assert "Gusset round 9 has as many. Is the last round a plain one? If not, it is that one." in (
        pair.line("count", "74")
    )
    pair.ok("tick")
    pair.ok("tick", "--needle")
    assert "Gusset round 12 has as many." in pair.line("count", "72"), (
        "a plain needle does not show"
    )
    pair.ok("at", "22", "--section", "leg")
    assert pair.line("count", "64") == "64: as it should be."


def test_a_repair_is_done_with_its_round_and_settled_by_a_count(pair: Instep) -> None:
    """A plan, then the round in which it is worked, then a count: all three are in the history."""
    pair.ok("at", "8", "--section", "gusset")
    plan = "in round 9 k2tog once more on N4, which has 1 too many"
    assert plan in pair.line("count", "22/16/16/23")
    done = "What was off is put right in round 9: count the stitches once more."
    assert done not in pair.line("tick", "--needle")
    assert pair.line("tick").endswith(done)
    assert "- Put right in round 9: count once more, instep count ok if they are there" in pair.ok(
        "left"
    )
    assert pair.line("count", "21/16/16/22").startswith(
        "Still after the repair in gusset round 9: 21/16/16/22 = 75 counted, 21/16/16/21 = 74 expected"
    )
    assert "put right in round 10" in pair.line("tick")
    assert pair.line("count", "ok") == (
        "21/16/16/21 = 74: as it should be. Put right in gusset round 10."
    )
    assert "ut right" not in pair.ok("left")
    assert pair.line("count", "ok") == "21/16/16/21 = 74: as it should be."
    told = [line.partition(": ")[2] for line in pair.ok("history").splitlines()[2:]]
    assert told == [
        f"22/16/16/23 counted, not as expected; {plan}",
        "a needle",
        "a round; the stitches put right in round 9",
        "21/16/16/22 counted, not as expected, after the repair in gusset round 9; "
        "in round 10 k2tog once on N4, which has 1 too many",
        "a round; the stitches put right in round 10",
        "21/16/16/21 counted, as expected: put right in gusset round 10",
        "21/16/16/21 counted, as expected",
    ]


def test_a_repair_that_was_ripped_is_none(pair: Instep) -> None:
    pair.ok("at", "8", "--section", "gusset")
    pair.ok("count", "22/16/16/23")
    pair.ok("tick", "3")
    pair.ok("rip", "8")
    left = pair.ok("left")
    assert "Put right" not in left
    assert "In round 9 k2tog once more on N4" in left, "the plan stands again"
    pair.ok("tick")
    assert "Put right in round 9" in pair.ok("left")
    pair.ok("undo")
    assert "Put right" not in pair.ok("left")


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        (("right",), "it is right"), (("void",), "it is left out"),
        (("count", "--by", "5"), "5 rounds were not counted, 35 are done"),
        (("count", "--by", "-1"), "1 round too many was counted, 29 are done"),
    ],
)  # fmt: skip
def test_the_history_says_what_an_answer_was(
    pair: Instep, answer: tuple[str, ...], told: str
) -> None:
    pair.ok("at", "30", "--section", "leg")
    pair.ok("measure", "15.5 cm")
    pair.ok("answer", *answer)
    assert (
        pair.ok("history").splitlines()[-1].endswith(f": the answer to the 15.5 cm reading: {told}")
    )
    (*_, last) = pair.json("history")["events"]
    assert last["text"] == f"the answer to the 15.5 cm reading: {told}"


TAIL = "Does the tail hang where the two working needles meet? Then a round is done"


def test_the_tail_says_whether_a_round_is_done(pair: Instep) -> None:
    """In cuff and leg the count never changes: the tail is asked for first (common practice, no source)."""
    pair.ok("tick", "42")
    assert pair.line("count", "--tail", "0") == "At the end of leg round 20, as counted."
    pair.ok("tick", "2", "--needle")
    assert pair.line("count", "64") == (
        f"64: as it should be. {TAIL}: instep count --tail 0. "
        "With 2 needles between it and the yarn: --tail 2."
    )
    count = pair.json("count", "64")
    assert count["matches"]
    assert [(place["row"], place["needle"]) for place in count["places"]] == [
        (20, "N3"), (21, None), (20, None),
    ]  # fmt: skip
    assert {place["question"] for place in count["places"]} == {TAIL}
    assert pair.json("count")["places"] == []
    assert pair.line("count", "--tail", "2") == "Inside leg round 21, 2 needles done, as counted."
    assert pair.line("count", "--tail", "0") == (
        "At the end of leg round 21, or of leg round 20. How many rounds lie above the last pin? "
        "instep at 21 --section leg puts the count there."
    )
    assert pair.line("count", "--tail", "3") == (
        "Inside leg round 21, 3 needles done. "
        "instep at 20 --section leg, then instep tick 3 --needle, puts the count there."
    )
    assert pair.ok("history").endswith(
        "looked up by 3 needles from the tail: leg round 20, 3 needles of the next done\n"
    )
    assert pair.json("left")["needle"] == "N3", "nothing moves"


def test_the_tail_where_it_says_nothing(pair: Instep) -> None:
    pair.ok("tick", "30")
    assert pair.wrong("count", "--tail", "4") == (
        "4 needles cannot lie between the tail and the yarn; write 0 to 3"
    )
    assert pair.line("count", "--tail", "1") == "Inside leg round 9, 1 needle done, as counted.", (
        "round by round nobody says which needle"
    )
    pair.ok("at", "9", "--section", "gusset")
    assert pair.wrong("count", "--tail", "0") == (
        "the tail is not in view at the gusset; count its stitches"
    )


def test_the_stitches_are_to_be_counted_before_the_heel(pair: Instep) -> None:
    pair.ok("at", "46", "--section", "leg")
    assert "Count once" not in pair.ok("left")
    pair.ok("end")
    assert "- Count once: 32, instep count ok if they are there" in pair.ok("left")
    assert pair.line("count", "ok") == "32: as it should be."
    assert "Count once" not in pair.ok("left")
    pair.ok("undo")
    pair.ok("tick")
    assert "Count once" not in pair.ok("left"), "it is never forced"


def test_the_row_of_a_chart_says_which_round_it_is(instep: Instep, tmp_path: Path) -> None:
    """A repeat of 4 rounds after a plain one: row 3 of it is round 3, 7, 11 ...; the nearest is first."""
    file = tmp_path / "lace.toml"
    file.write_text(
        'title = "Lace cuffs"\n[[section]]\nname = "body"\nworked = "rounds"\nneedles = [12, 12]\n'
        'repeat = 10\nrows = ["k", "yo, k2tog, k", "k", "k2, yo, k2tog, k"]\n',
        encoding="utf-8",
    )
    instep.ok("start", str(file))
    instep.ok("tick", "10")
    places = instep.json("count", "--chart", "3")["places"]
    assert [place["row"] for place in places][:3] == [11, 7, 15]
    assert instep.line("count", "--chart", "2").endswith("It agrees.")
    assert instep.json("count", "--chart", "3", "--pin", "7")["places"][0]["row"] == 7
    assert instep.wrong("count", "--chart", "5") == (
        "the body has no row 5 that comes again; write 1 to 4"
    )


def test_a_chart_where_nothing_repeats(pair: Instep) -> None:
    pair.ok("tick", "30")
    assert pair.wrong("count", "--chart", "1") == (
        "the leg has no row 1 that comes again; leave --chart out"
    )


def test_rip_said_wrong(pair: Instep) -> None:
    leg(pair, 38)
    for words in ([], ["3", "--by", "2"]):
        assert pair.wrong("rip", *words).startswith("say how far back: instep rip 40")
    assert pair.wrong("rip", "--by", "2", "--section", "leg").startswith(
        "--section goes with a round"
    )
    assert pair.wrong("rip", "back") == '"back" is no count; write a whole number like 12'
    assert pair.wrong("rip", "lifeline") == "no lifeline lies in it; name the round to go back to"


def test_lifeline(pair: Instep) -> None:
    leg(pair, 40)
    assert pair.line("lifeline").startswith(
        "A lifeline lies in leg round 40. Sock one, leg: round 40"
    )
    assert "- A lifeline lies in round 40" in pair.ok("left")
    assert "lifeline" in [cue["kind"] for cue in pair.json("left")["cues"]]
    pair.ok("at", "5", "--section", "gusset")
    assert pair.line("rip", "lifeline").startswith(
        "Leg round 40 is now the last on the needles; was gusset 5."
    )
    assert [needle["stitches"] for needle in pair.json("left")["needles"]] == [16, 16, 16, 16]
    pair.ok("other")
    leg(pair, 40)
    assert "- Sock one has a lifeline in round 40, instep lifeline for one here, too" in pair.ok(
        "left"
    )


def test_restart(pair: Instep) -> None:
    assert pair.wrong("restart").startswith("sock one is not begun")
    leg(pair, 12)
    assert pair.line("restart") == (
        "Begun again; what was is kept. Sock one: cast on 64. Next: round 1, rib."
    )
    assert pair.line("undo").startswith("Taken back: the beginning again. Sock one, leg: round 12")


def test_other(pair: Instep) -> None:
    pair.ok("tick", "4")
    assert pair.line("other") == "Sock two: cast on 64. Next: round 1, rib."
    assert pair.line("other").startswith("Sock one, cuff: round 4 of 22 is done (rib).")


def test_plan_writes_the_pattern(instep: Instep, tmp_path: Path) -> None:
    lines = instep.ok("plan", str(SAMPLE)).splitlines()
    assert lines[:2] == ["Night ferry", "==========="]
    out = tmp_path / "pattern.toml"
    assert instep.line("plan", str(SAMPLE), "-o", str(out)) == f"Written: {out}"
    # The pattern file is a file like another: the same sock starts from it.
    assert instep.json("plan", str(out))["numbers"] == instep.json("plan", str(SAMPLE))["numbers"]
    assert instep.line("start", str(out)) == "night-ferry"


LOW_TIDE_TAKES = (
    "A pair takes about 36 g of this yarn (30 to 42), by its gauge and its metres; 75 g are enough."
    " Of it slate 19 g, sand 15 g, foam 2 g."
)


def test_plan_tells_the_colours(instep: Instep) -> None:
    code, out, err = instep.run("plan", str(SAMPLE.with_name("low-tide.toml")))
    assert (code, err) == (0, f"note: {LOW_TIDE_TAKES}\n")
    told = out.splitlines()
    assert (
        "Stripes: slate 5, sand 3, foam 1, and again from the first. The heel does not count."
        in told
    )
    heads = {line.split(" (")[0]: told[at + 1] for at, line in enumerate(told) if " (" in line[:20]}
    assert heads["Cuff"] == "  In slate."
    assert heads["Leg"] == "  In slate, 1st of 5 rounds; it ends with foam, 1st of 1 round."
    assert heads["Heel set-up"] == "  Change to sand."
    assert heads["Heel turn"] == "  In sand."
    assert (
        heads["Gusset"] == "  Change to slate, 1st of 5 rounds; it ends with sand, 2nd of 3 rounds."
    )
    assert heads["Toe"] == "  In sand."
    plain = instep.ok("plan", str(SAMPLE))
    assert "Stripes" not in plain
    assert "  In " not in plain


def test_the_quick_check_tells_the_colour_once(instep: Instep) -> None:
    instep.run("start", str(SAMPLE.with_name("low-tide.toml")))
    instep.ok("at", "0", "--section", "heel set-up")
    told = instep.ok("left").splitlines()
    assert "Sand; slate in 35 rows." in told
    (card,) = [line for line in told if "Change to sand" in line]
    assert card.startswith("- Change to sand; cut the others. Knit N1, then turn.")
    assert not [line for line in told if line.startswith("- In sand")]
    kinds = [cue["kind"] for cue in instep.json("left")["cues"]]
    assert kinds[:3] == ["section", "change", "colour"]
    instep.ok("at", "4", "--section", "leg")
    assert "- In 1 round: change to sand" in instep.ok("left").splitlines()
    instep.ok("tick")
    assert "- Change to sand now" in instep.ok("left").splitlines()


def test_a_pattern_keeps_its_colours_and_check_names_a_bad_one(
    instep: Instep, tmp_path: Path
) -> None:
    pattern = tmp_path / "low-tide.toml"
    instep.run("plan", str(SAMPLE.with_name("low-tide.toml")), "-o", str(pattern))
    assert instep.line("check", str(pattern)) == "Every row comes out."
    instep.ok("start", str(pattern))
    assert "\nSlate; sand in 21 rounds.\n" in instep.ok("left")
    text = pattern.read_text(encoding="utf-8").replace('heel = "sand"', 'heel = "sand 4"')
    pattern.write_text(text, encoding="utf-8")
    line = next(n for n, row in enumerate(text.splitlines(), start=1) if '"sand 4"' in row)
    said = (
        f'line {line}: colours: "sand 4" has a number; heel is one colour, so write heel = "sand"'
    )
    code, _, told = instep.run("check", str(pattern))
    assert code == 1
    assert said in told
    assert f'line {line}: "sand 4" has a number' in instep.wrong("start", str(pattern))


def test_plan_wrong(instep: Instep, tmp_path: Path) -> None:
    nowhere = tmp_path / "no" / "such" / "pattern.toml"
    assert "cannot be written" in instep.wrong("plan", str(SAMPLE), "-o", str(nowhere))
    assert "this is a folder" in instep.wrong("plan", str(tmp_path))


def test_check_of_a_basket(pair: Instep) -> None:
    assert pair.line("check") == "Every pair in the basket is sound."


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (Act("undo", 1, {"of": 99}), "event 2 (undo) names an act that is not there"),
        (Act("replan", 1, {"round": 3}), "event 2 (replan) cannot be replayed"),
        (Act("tick", 1, {}), "event 2 (tick) cannot be replayed"),
        (Act("tick", 1, {"rounds": 10**9}), "event 2 (tick) cannot be replayed"),
        (Act("tick", 0, {"rounds": 1}), "event 2 (tick) cannot be replayed"),
        (Act("at", 1, {"round": 5, "section": 99}), "event 2 (at) cannot be replayed"),
        (Act("at", 1, {"round": -5, "section": -1}), "event 2 (at) cannot be replayed"),
        (Act("end", 1, {"at": -500}), "event 2 (end) cannot be replayed"),
        (Act("other", 1, {"to": 7}), "event 2 (other) cannot be replayed"),
        (
            Act("measure", 1, {"mm": 1e308, "from": "cast-on"}),
            "event 2 (measure) cannot be replayed",
        ),
        (Act("measure", 1, {"mm": 9, "from": "toe"}), "event 2 (measure) cannot be replayed"),
        (Act("target", 1, {"mm": "x"}), "event 2 (target) cannot be replayed"),
        (Act("target", 1, {"mm": 90, "section": 99}), "event 2 (target) cannot be replayed"),
        (Act("rip", 1, {"round": -1, "section": 0}), "event 2 (rip) cannot be replayed"),
        (Act("rip", 1, {"round": 3, "section": 5}), "event 2 (rip) cannot be replayed"),
        (Act("lifeline", 1, {"round": 3, "section": 99}), "event 2 (lifeline) cannot be replayed"),
        (Act("answer", 1, {"of": 7, "as": "right"}), "event 2 (answer) cannot be replayed"),
        (Act("answer", 1, {"of": 1, "as": "maybe"}), "event 2 (answer) cannot be replayed"),
    ],
    ids=lambda value: value.kind if isinstance(value, Act) else "",
)
def test_acts_that_no_instep_recorded_are_one_line_and_check_lists_them(
    pair: Instep, act: Act, says: str
) -> None:
    """Soundly chained, so that only the replay can see it."""
    with Basket.open(pair.basket) as basket:
        row = basket.find(None)
        place = Summary(1, "cuff", 0, True)
        basket.record(row, 1, lambda newer: ([act], place), Stamp(1_772_391_700_000, 60))
    for words in (["left"], ["tick"], ["undo"]):
        assert says in pair.wrong(*words)
    assert says in pair.wrong("check")


def test_check_sees_a_list_that_disagrees_with_the_acts(pair: Instep) -> None:
    pair.ok("tick", "3")
    with Basket.open(pair.basket) as basket:
        basket._connection.execute("UPDATE pair SET done = 7")
        reseal(basket._connection)
    assert pair.wrong("check") == (
        "the list says another place of night-ferry than its acts; the next act puts it right"
    )
    pair.ok("tick")
    assert pair.ok("check") == "Every pair in the basket is sound.\n"


@pytest.mark.parametrize("harm", ["overwritten", "cut", "text"])
def test_check_of_a_damaged_basket_says_what_to_do_and_not_to_check(
    pair: Instep, harm: str
) -> None:
    pair.ok("tick", "3")
    data = pair.basket.read_bytes()
    spoilt = {
        "overwritten": data[:100] + b"\xff" * 40 + data[140:],
        "cut": data[: len(data) // 2],
        "text": b"no basket at all\n" * 100,
    }[harm]
    pair.basket.write_bytes(spoilt)
    code, out, err = pair.run("check")
    assert (code, out) == (1, "")
    assert "instep check" not in err
    assert "instep mend saves what is sound" in err or "name another file" in err
    code, out, err = pair.run("check", "--json")
    told = json.loads(out)
    assert (code, err, told["ok"]) == (1, "", False)
    assert all(problem["instead"] for problem in told["problems"])


def test_check_of_a_plan_tells_its_notes_too(instep: Instep, tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    text = SAMPLE.read_text(encoding="utf-8")
    plan.write_text(text.replace('kind = "flap"', 'kind = "flap"\nrows = 31'), encoding="utf-8")
    code, out, err = instep.run("check", str(plan))
    assert (code, out) == (0, "Every row comes out.\n")
    assert err == "note: The flap of 31 rows became 32: both edges need the same number.\n"


def test_a_plan_is_written_and_told_in_json_at_once(instep: Instep, tmp_path: Path) -> None:
    out = tmp_path / "out.toml"
    assert instep.json("plan", str(SAMPLE), "-o", str(out))["numbers"]["cast_on"] == 64
    assert "[[section]]" in out.read_text(encoding="utf-8")


def test_check_of_a_file(instep: Instep, tmp_path: Path) -> None:
    assert instep.line("check", str(SAMPLE)) == "Every row comes out."
    pattern = tmp_path / "pattern.toml"
    instep.ok("plan", str(SAMPLE), "-o", str(pattern))
    assert instep.line("check", str(pattern)) == "Every row comes out."


def test_check_finds_the_row_that_does_not_come_out(instep: Instep, tmp_path: Path) -> None:
    """One number of one row of the heel turn written wrong: the row is named, and its line."""
    pattern = tmp_path / "pattern.toml"
    instep.ok("plan", str(SAMPLE), "-o", str(pattern))
    text = pattern.read_text(encoding="utf-8")
    wrong = text.replace("sl1, k7, ssk, k1, turn", "sl1, k6, ssk, k1, turn")
    assert wrong != text
    pattern.write_text(wrong, encoding="utf-8")
    line = next(n for n, row in enumerate(wrong.splitlines(), start=1) if "sl1, k6, ssk" in row)
    told = instep.run("check", str(pattern))
    assert told[:2] == (1, "")
    assert f"pattern.toml, line {line}, turn, row 4: " in told[2]


def test_samples_are_there(instep: Instep) -> None:
    listed = instep.ok("samples").splitlines()
    assert str(SAMPLE) in listed
    assert instep.json("samples") == {"samples": listed}
    for sample in listed:
        instep.run("start", sample)
    assert len(instep.json("basket")["pairs"]) == len(listed)


def test_where(instep: Instep, tmp_path: Path) -> None:
    settings = tmp_path / "settings.toml"
    backups = f"{instep.basket}-backups"
    assert instep.ok("where").splitlines() == [
        f"basket: {instep.basket}",
        f"backups: {backups}",
        f"settings: {settings}",
    ]
    kept = {"basket": str(instep.basket), "backups": backups, "settings": str(settings)}
    assert instep.json("where") == kept


def test_settings_are_told_and_changed(instep: Instep, tmp_path: Path) -> None:
    told = instep.ok("settings")
    assert 'look = "dark"' in told
    assert 'tick           = ["space", "enter"]' in told
    assert '"weigh colour" = "y"' in told
    assert instep.json("settings", "look", "light")["settings"]["look"] == "light"
    assert (tmp_path / "settings.toml").read_text() == 'look = "light"\n'
    assert instep.json("settings")["keys"]["weigh colour"] == ["y"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ["loo", "light"],
            'no setting is called "loo"; write look, figures, counting, bell, rest or glyphs',
        ),
        (
            ["look"],
            "look needs its value; write instep settings look and dark, light or 'high contrast'",
        ),
        (["look", "pink"], '"pink" is no value of look; write'),
    ],
)
def test_settings_that_cannot_be(
    instep: Instep, tmp_path: Path, words: list[str], said: str
) -> None:
    assert said in instep.wrong("settings", *words)
    assert said in instep.wrong("settings", *words)
    assert not (tmp_path / "settings.toml").exists()


def test_what_is_told_of_the_settings_can_be_their_file(instep: Instep, tmp_path: Path) -> None:
    """What is shown is TOML that says the same."""
    file = tmp_path / "settings.toml"
    file.write_text(
        'look = "high contrast"\n[keys]\ntick = ["\\\\", "page down"]\nundo = "\\""\n'
        '[journal.keys]\nkind = "f3"\n[basket.keys]\nback = ["f9", "escape"]\n'
    )
    told = instep.ok("settings")
    file.write_text(told)
    assert instep.ok("settings") == told
    assert 'look = "high contrast"' in told
    screens = instep.json("settings")["screens"]
    assert screens["basket"]["back"] == ["f9", "escape"]
    assert screens["journal"]["kind"] == ["f3"]
    assert "page down" not in screens["journal"], "it ticks"


# The basket


def test_the_basket_named_on_the_line_comes_first(pair: Instep, tmp_path: Path) -> None:
    other = tmp_path / "deep" / "other.db"
    for words in (["--basket", str(other), "start", str(SAMPLE)], ["tick", "--basket", str(other)]):
        pair.ok(*words)
    assert other.exists()
    assert pair.json("left", f"--basket={other}")["done"] == 1
    assert pair.json("left")["done"] == 0


def test_what_is_no_basket(pair: Instep, tmp_path: Path) -> None:
    before = SAMPLE.read_bytes()
    for words in (["left"], ["tick"], ["start", str(SAMPLE)], [], ["check"]):
        told = (
            pair.wrong(*words, "--basket", str(SAMPLE))
            if words
            else pair.wrong("--basket", str(SAMPLE))
        )
        assert told.startswith("this file is no basket, and nothing was changed")
    assert SAMPLE.read_bytes() == before
    assert "this is a folder" in pair.wrong("left", "--basket", str(tmp_path))
    assert "its folder is a file" in pair.wrong("left", "--basket", str(SAMPLE / "basket.db"))


# The clock


@pytest.mark.parametrize(
    "moment", ["2026-03-10T20:00:00+01:00", "2026-03-10T19:00:00Z", "2026-03-10T14:00:00-05:00"]
)
def test_the_clock_can_be_put(pair: Instep, moment: str) -> None:
    pair.ok("tick")
    pair.now(moment)
    assert "Last knitted 9 days ago." in pair.ok("left")


def test_a_time_without_an_offset_is_the_time_here(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "Etc/GMT+5")
    time.tzset()
    try:
        pair.now("2026-03-01T14:20:00")
        assert "Last knitted 20 minutes ago." in pair.ok("left")
        pair.ok("tick")
        assert pair.json("basket")["pairs"][0]["last_touched"] == "2026-03-01T14:20:00-05:00"
    finally:
        monkeypatch.undo()
        time.tzset()


@pytest.mark.parametrize(
    "moment", ["yesterday", "", "2026-13-01", "20:00", "99999-01-01T00:00:00Z", "\x1b[2J"]
)
def test_a_clock_that_is_no_time(pair: Instep, moment: str) -> None:
    pair.now(moment)
    for words in (["tick"], ["left"]):
        told = pair.wrong(*words)
        assert told.startswith("INSTEP_NOW is")
        assert told.endswith("not a time; write it like 2026-03-12T20:15:00+01:00")
        assert told.isprintable()


@pytest.mark.parametrize(
    "moment",
    [
        "0001-01-01T00:00:00+14:00", "0001-01-01", "1969-12-31T23:59:59Z",
        "1970-01-01T00:00:00+01:00", "9999-01-01T00:00:00Z", "9998-12-31T23:59:59-01:00",
    ],
)  # fmt: skip
def test_a_clock_at_an_end_of_the_calendar(pair: Instep, moment: str) -> None:
    pair.now(moment)
    like = "write it like 2026-03-12T20:15:00+01:00"
    for words in (["tick"], ["left"], []):
        told = pair.wrong(*words)
        assert told == f'INSTEP_NOW is "{moment}", outside the years 1970 to 9998; {like}'
    assert len(pair.json("basket")["pairs"]) == 1


@pytest.mark.parametrize("moment", ["1970-01-01T00:00:00Z", "9998-12-31T23:59:59Z"])
def test_the_first_and_the_last_time_that_is_kept(pair: Instep, moment: str) -> None:
    pair.now(moment)
    pair.ok("tick")
    assert pair.json("basket")["pairs"][0]["last_touched"][:3] in ("197", "196", "999")


@pytest.mark.parametrize("stored", [-(10**16), 10**18, -62_135_596_800_000 - 1])
def test_a_stored_time_that_no_calendar_has(pair: Instep, stored: int) -> None:
    with closing(sqlite3.connect(pair.basket)) as file, file:
        file.execute("UPDATE pair SET touched = ?", (stored,))
        reseal(file)
    assert pair.json("basket")["pairs"][0]["last_touched"] is None
    pair.ok("basket")
    pair.ok("left")


def test_a_wrong_clock_is_said_before_a_screen_opens(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", Terminal())
    monkeypatch.setattr("tracker.ui.app.run", lambda *_: pytest.fail("a screen was opened"))
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    pair.now("yesterday")
    for words in ([], ["knit"], ["night-ferry"], [str(SAMPLE)]):
        assert pair.wrong(*words).startswith('INSTEP_NOW is "yesterday", not a time')


class Terminal(io.StringIO):
    """Standard input that is a terminal."""

    def isatty(self) -> bool:
        return True


def test_a_clock_put_back_does_not_change_which_is_meant(instep: Instep, tmp_path: Path) -> None:
    """Left out, the pair is the one last touched, whatever the clock said meanwhile."""
    other = tmp_path / "other.toml"
    other.write_bytes(SAMPLE.read_bytes() + b"\n")
    instep.ok("start", str(SAMPLE))
    instep.now("2026-03-02T20:00:00+01:00")
    instep.ok("start", str(other))
    instep.now("2026-02-27T20:00:00+01:00")
    instep.ok("tick", "--pair", "night-ferry")
    assert instep.json("tick")["pair"] == "night-ferry"
    assert instep.json("left")["done"] == 2


def test_a_clock_put_back_counts_all_the_same(pair: Instep) -> None:
    pair.ok("tick")
    pair.now("2020-01-01T00:00:00Z")
    assert pair.json("tick")["done"] == 2


# Usage


def test_help_names_every_command(instep: Instep) -> None:
    told = instep.ok("--help")
    for name, command in COMMANDS.items():
        assert f"    {name}" in told
        assert command.about in told


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_has_help_and_takes_a_basket(instep: Instep, name: str) -> None:
    told = instep.ok(name, "--help")
    assert told.startswith(f"usage: instep {name} ")
    assert "--basket PATH" in told


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_has_examples_that_it_takes(name: str) -> None:
    command = COMMANDS[name]
    assert command.examples
    for example in command.examples:
        bare = example.removeprefix('eval "$(').removesuffix(')"').partition(" > ")[0]
        program, *words = shlex.split(bare.partition(" < ")[0])
        given, found = _with_command(words)
        assert (program, found) == ("instep", name), example
        options = _parser(name).parse_args(given)
        assert options.run == command.run


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_is_a_function(name: str) -> None:
    module = import_module(f"tracker.commands.{COMMANDS[name].file}")
    assert callable(getattr(module, COMMANDS[name].function))


def test_an_option_that_is_misspelt(pair: Instep) -> None:
    assert pair.usage("left", "--jsno").endswith("arguments: --jsno; did you mean --json?\n")
    assert pair.usage("left", "--xyz").endswith("arguments: --xyz\n")
    assert pair.usage("left", "x").endswith("arguments: x\n")


ON_A_PAIR = {
    "left", "tick", "end", "at", "count", "rip", "lifeline", "restart", "measure", "answer", "target",
    "weigh", "other", "undo", "redo", "note", "rest", "history", "changed", "copy", "order",
    "append", "replan",
}  # fmt: skip
REPORT = ON_A_PAIR | {
    "plan", "check", "basket", "samples", "where", "settings", "unpack", "circle", "mend",
}  # fmt: skip


@pytest.mark.parametrize("name", list(COMMANDS))
def test_words_that_commands_share(name: str) -> None:
    words = {word.names[0] for word in COMMANDS[name].words}
    assert ("--pair" in words) == (name in ON_A_PAIR)
    assert ("--sock" in words) == (name in ON_A_PAIR)
    assert ("--json" in words) == (name in REPORT)


@pytest.mark.parametrize(
    "words",
    [
        ["left", "--sock", "3"], ["left", "--jsn"], ["tick", "1", "2"], ["start"], ["away"],
        ["--colour"], ["end", "--at"], ["knit", "a", "b"],
        ["undo", "--sock", "3"], ["redo", "--sock", "0"], ["left", "--sock", "٢"],
    ],
    ids=" ".join,
)  # fmt: skip
def test_words_no_command_takes(pair: Instep, words: list[str]) -> None:
    assert pair.usage(*words).startswith("usage: instep")


def test_version(instep: Instep) -> None:
    assert instep.line("--version").startswith("instep ")


# A stranger's text


def test_names_from_files_move_no_cursor(instep: Instep, tmp_path: Path) -> None:
    hostile = tmp_path / "hostile.toml"
    hostile.write_text(
        'title = "a\\u001b[2Jb\\u009b1m"\n[[section]]\nname = "c\\u001b[31md"\nworked = "rounds"\n'
        'needles = [8, 8, 8]\nrows = ["k | k | k"]\nrepeat = 3\n',
        encoding="utf-8",
    )
    instep.ok("start", str(hostile))
    said = [
        instep.ok("left"),
        instep.ok("tick"),
        instep.ok("basket"),
        instep.ok("plan", str(hostile)),
    ]
    said += [
        instep.wrong(*words) for words in (["end"], ["at", "7"], ["at", "1", "--section", "\x1b[m"])
    ]
    said += [instep.wrong("left", "--pair", "x\x1b[2J"), instep.wrong("a\x1b[2Jb.toml")]
    for text in said:
        assert text.replace("\n", "").isprintable(), ascii(text)


HOSTILE = st.sampled_from(
    ["\x1b[2J", "\x9b1m", "\x07", "\r", "\x0b", "\x0c", "\x85", "\u2028", "\u202e", "\udc9b", "\t"]
)
JUNK = st.lists(HOSTILE | st.text(max_size=6), max_size=4).map("".join)
FIELDS = [
    "title = {}", "worked = {}", "name = {}", "names = [{}, {}, {}]", "rows = [{}]",
    "rows = ['k{}', 'k']", "[foot]\nlength = {}", "needles.size = {}", "resting_names = [{}]",
    "onto = {}", "[{}]", "{} = 1", "foot.shoe = {}", "gauge.from = {}", "set_up = {}",
]  # fmt: skip
HAND_WRITTEN = (
    '{}\n[[section]]\nname = "sole"\nworked = "rounds"\nneedles = [8, 8, 8]\nrows = ["k"]\n{}\n'
)


def toml(text: str) -> str:
    """A text as TOML writes it, with every odd letter as an escape."""
    return (
        '"'
        + "".join(f"\\U{ord(char):08X}" for char in text if not 0xD800 <= ord(char) < 0xE000)
        + '"'
    )


@st.composite
def junk_files(draw: Callable[[st.SearchStrategy[str]], str]) -> bytes:
    """Pattern files and plans with hostile texts in their fields, and files that are nothing."""
    field = draw(st.sampled_from(FIELDS))
    filled = field.replace("{}", toml(draw(JUNK)))
    form = draw(st.sampled_from([HAND_WRITTEN, "{}\n{}\n", "raw"]))
    if form == "raw":
        return draw(JUNK).encode("utf-8", "replace")
    old = SAMPLE.read_text("utf-8") if form == "{}\n{}\n" else ""
    return (form.replace("{}", filled, 1).replace("{}", "") + old).encode()


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=junk_files(), word=JUNK)
def test_no_strange_sign_reaches_the_terminal(instep: Instep, data: bytes, word: str) -> None:
    """Whatever a file or the command line holds: only signs that move no cursor are printed."""
    file = instep.basket.with_name("junk.toml")
    file.write_bytes(data)
    path = str(file)
    basket = str(instep.basket.with_name(f"{file.stat().st_ino}.db"))
    for words in (
        ["plan", path], ["check", path], ["start", path], ["left"], ["tick"], ["basket"],
        ["check", word], ["left", "--pair", word], ["tick", word], [word], ["measure", word],
        ["measure", f"5{word}cm"], ["at", "1", "--section", word], ["away", word],
        ["left", "--sock", word], ["target", f"9 {word}"], ["undo", word],
    ):  # fmt: skip
        _, out, err = instep.run(*words, "--basket", basket)
        assert (out + err).replace("\n", "").isprintable(), (words, ascii(out + err))


def test_a_basket_without_a_name_is_not_the_usual_one(instep: Instep) -> None:
    assert instep.wrong("left", "--basket", "") == "--basket names no file; write its path after it"


def test_a_clock_and_a_basket_of_strange_signs(pair: Instep, tmp_path: Path) -> None:
    _, out, err = pair.run("left", "--basket", str(tmp_path / "a\x1b[2J" / "b\x85.db"))
    _, more, also = pair.run("where", "--basket", str(tmp_path / "a\x1b[2J"))
    pair.now("\x1b[2J\x9b")
    _, last, told = pair.run("tick")
    assert (out + err + more + also + last + told).replace("\n", "").isprintable()


# Names too long, and folders that are gone


def test_a_name_of_three_hundred_letters(pair: Instep) -> None:
    long = "a" * 300
    assert pair.wrong(long).startswith('no pair is called "aaa')
    assert "it cannot be read: file name too long" in pair.wrong(f"{long}.toml")
    assert "it cannot be read: file name too long" in pair.wrong("plan", long)
    assert "File name too long" in pair.wrong("left", "--basket", long)
    assert "it cannot be written: file name too long" in pair.wrong("plan", str(SAMPLE), "-o", long)


def test_a_folder_that_is_gone(
    pair: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    here.rmdir()
    gone = pair.wrong("left", "--basket", "basket.db")
    assert gone.startswith("the folder you are in is gone; go to another one")
    assert "there is no such file" in pair.wrong("plan", "a.toml")
    assert "it cannot be written" in pair.wrong("plan", str(SAMPLE), "-o", "b.toml")
    assert pair.json("left")["done"] == 0


# The other sock, and lengths below zero


def test_the_other_sock_by_its_number(pair: Instep) -> None:
    assert pair.wrong("other", "--sock", "1") == "sock one is in hand already"
    assert pair.json("other", "--sock", "2")["sock"] == 2
    assert pair.wrong("other", "--sock", "2") == "sock two is in hand already"
    assert pair.json("other")["sock"] == 1


@pytest.mark.parametrize("words", ["-5cm", "-5 cm", "-5", "-1/2 in", "-5,5cm --rough"])
def test_a_length_below_zero_is_answered_as_a_length(pair: Instep, words: str) -> None:
    for command in ("measure", "target"):
        if "--rough" in words and command == "target":
            continue
        told = pair.wrong(command, *words.split())
        assert "above zero" in told


# A folder on a network


def test_a_network_is_told_of_once(
    instep: Instep, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    mounts = tmp_path / "mounts"
    mounts.write_text(f"disk / ext4 rw 0 0\nserver:/home {tmp_path} nfs4 rw 0 0\n")
    monkeypatch.setattr("tracker.storage.network._MOUNTS", mounts)
    code, out, err = instep.run("start", str(SAMPLE))
    assert (code, out) == (0, "night-ferry\n")
    assert err.startswith(f"note: {instep.basket} is on a network (nfs4), where two machines")
    assert err.count("\n") == 1
    assert instep.run("tick")[2] == ""


def test_one_file_named_by_three_programs_at_once_is_one_pair(instep: Instep) -> None:
    instep.ok("basket")
    programs = [
        subprocess.Popen(
            [sys.executable, "-m", "tracker", str(SAMPLE)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        for _ in range(3)
    ]
    for program in programs:
        program.communicate()
    assert [pair["pair"] for pair in instep.json("basket")["pairs"]] == ["night-ferry"]


def test_changed_and_copy(pair: Instep) -> None:
    pair.ok("at", "9", "--section", "gusset")
    assert pair.line("changed", "skipped-decrease").startswith(
        "No decrease in gusset round 9; it is made in round 10. Sock two repeats it; instep copy 3 no if "
        "not. Sock one, gusset: round 9 of 19 is done (plain). Next: round 10, a decrease round."
    )
    assert "- Sock two repeats it, instep copy 3 no if it does not" in pair.ok("left")
    assert pair.line("copy", "3", "no") == "No decrease in gusset round 9: on this one alone."
    assert pair.wrong("copy", "3", "no") == "that is so already: number 3 is not repeated"
    assert pair.line("copy", "3", "yes") == "No decrease in gusset round 9: on both."
    assert pair.wrong("copy", "2", "no") == "number 2 is no change that stands; write 3"
    pair.ok("at", "8", "--section", "gusset", "--sock", "2")
    assert "no decrease, as on sock one" not in pair.ok("left")
    assert "- In this round: no decrease, as on sock one" in pair.ok("left", "--sock", "2")
    assert pair.json("left", "--sock", "2")["cues"][0]["kind"] == "copy"
    assert "  no decrease in gusset round 9" in pair.ok("history").replace(": ", "  ")


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["skipped-decrease"], "no round of the leg decreases; tell it with other TEXT"),
        (["needle", "thin"], '"thin" is no size of needle; write it in mm, like 2.25'),
        (
            ["set", "six"],
            '"six" is no set; write five, four, two circulars, long circular, short circular, or the',
        ),
        (["set", "four", "--row", "3"], "round 3 is done; other needles come with 11 or later"),
        (["picked-up", "20/10"], "20/10 differ by more than 3: count the chains again"),
        (
            ["shrunk"],
            '"shrunk" is no change; write one of skipped-decrease, extra-decrease, needle, set',
        ),
        (["other"], "say what is otherwise; write it after it, in words"),
        (["colour", "navy", "--row", "-4"], "the leg has no round -4"),
    ],
)
def test_changes_that_cannot_be(pair: Instep, words: list[str], why: str) -> None:
    leg(pair, 10)
    events = pair.json("left")["events"]
    for _ in range(2):
        assert pair.wrong("changed", *words).startswith(why)
    assert pair.json("left")["events"] == events


def test_a_needle_that_is_off_is_put_right_on_the_way(pair: Instep) -> None:
    """A stitch too many on one needle is no other place: the round that comes mends it."""
    pair.ok("at", "9", "--section", "gusset")
    assert pair.line("count", "21/16/17/21") == (
        "21/16/17/21 = 75 counted, 21/16/16/21 = 74 expected: 1 more on needle 3. If the place is right, in "
        "round 10 k2tog once on N3, which has 1 too many."
    )
    assert "- In round 10 k2tog once on N3, which has 1 too many" in pair.ok("left")
    pair.ok("tick")
    assert "k2tog once on N3" not in pair.ok("left")
    assert "decrease once less on N1, which has 1 too few" in pair.line("count", "20/16/16/21")
    assert "k2tog twice more on N4, which has 2 too many" in pair.line("count", "21/16/16/23")
    assert "look for a dropped stitch on N2, which has 1 too few, else make 1" in pair.line(
        "count", "21/15/16/21"
    )
    assert "too many" not in pair.line("count", "26/16/16/21"), (
        "so many are another place, or a slip"
    )


def test_order(pair: Instep) -> None:
    assert pair.wrong("order", "both") == (
        '"both" is no order of work; write "one, then the other", "section by section", "together" or '
        '"every 10 rounds"'
    )
    assert pair.wrong("order", "together").startswith(
        "both socks at once take two circulars or one long circular, this pair is on a set of five; write"
    )
    assert pair.line("order", "every", "10", "rounds").startswith(
        "The order is now: every 10 rounds. It takes a second set of needles; else instep rest "
        '"waste yarn" lays one down at each change, or instep order one, then the other. Sock one: cast '
        "on 64."
    )
    pair.ok("tick", "10")
    told = "- Sock two's turn: 10 rounds, on a second set of needles, instep other goes there"
    assert told in pair.ok("left")
    pair.ok("tick", "2")
    assert "- Still sock two's turn: 12 rounds behind, instep other goes there" in pair.ok("left")
    pair.ok("undo")
    pair.ok("other")
    pair.ok("tick", "10")
    assert "- Sock one's turn: 10 rounds, instep other goes there" in pair.ok("left")
    pair.ok("other")
    assert "- Sock one's turn: 10 more rounds, then sock two\n" in pair.ok("left")
    pair.ok("undo")
    assert pair.line("undo").startswith("Taken back: 10 rounds")


@pytest.mark.parametrize(
    ("found", "says"),
    [
        ("63", "One is missing: look for a dropped stitch; counted on each needle"),
        ("65", "One is too many: look for a yarn over or a split stitch; counted on each needle"),
        (
            "17/15/16/16",
            "all are there. Stitches of needle 2 (1 fewer) sit on needle 1 (1 more); slip them",
        ),
    ],
)
def test_a_slip_is_sooner_a_slip_than_another_section(pair: Instep, found: str, says: str) -> None:
    leg(pair, 8)
    told = pair.line("count", found)
    assert says in told
    assert "puts the count there" not in told


def test_a_question_by_the_fabric_is_no_count_of_stitches(pair: Instep) -> None:
    pair.ok("at", "0", "--section", "gusset")
    assert "Count once" in pair.ok("left")
    assert pair.line("count", "--length", "9 cm").startswith("About foot round")
    assert "Count once" in pair.ok("left"), "nobody counted stitches"
    assert "looked up by 9 cm: foot round" in pair.ok("history")
    assert pair.json("count", "--pin", "3")["found"] == []


def test_stitches_and_pin_together_leave_one_place(pair: Instep) -> None:
    pair.ok("at", "7", "--section", "gusset")
    places = pair.json("count", "21/16/16/21", "--pin", "9")["places"]
    assert [(place["section"], place["row"]) for place in places] == [("gusset", 9)]
    assert "That is gusset round 9; 7 counted." in pair.line("count", "21/16/16/21", "--pin", "9")


def test_what_is_said_of_the_other_sock_is_done_on_that(pair: Instep) -> None:
    pair.ok("at", "8", "--section", "gusset", "--sock", "2")
    assert pair.line("count", "74", "--sock", "2").endswith(
        "instep at 9 --section gusset --sock 2 puts the count there."
    )


def test_what_a_rip_made_void_is_told_in_the_history(pair: Instep) -> None:
    leg(pair, 30)
    pair.ok("measure", "12 cm")
    pair.ok("lifeline")
    pair.ok("changed", "needle", "2.25")
    assert "(counts no more)" not in pair.ok("history")
    pair.ok("rip", "--by", "9")
    told = [line for line in pair.ok("history").splitlines() if line.endswith("(counts no more)")]
    assert [line.split(": ", 1)[1] for line in told] == [
        "the 12 cm reading (counts no more)",
        "the lifeline in leg round 30 (counts no more)",
        "needles of 2.25 mm from leg round 31 on (counts no more)",
    ]
    pair.ok("undo")
    assert "(counts no more)" not in pair.ok("history")


def test_a_repair_is_said_before_the_pin_of_the_tenth_round(pair: Instep) -> None:
    pair.ok("at", "9", "--section", "gusset")
    pair.ok("count", "21/16/16/22")
    pair.ok("tick")
    kinds = [(cue["kind"], cue["text"]) for cue in pair.json("left")["cues"]]
    assert kinds[0][0] == "count"
    assert kinds[0][1].startswith("Put right in round 10")
    assert any(kind == "pin" for kind, _ in kinds)
