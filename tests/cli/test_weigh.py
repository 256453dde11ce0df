"""The scale on the command line: an evening's weighings, units, wrong weights, and what a plan says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.conftest import Instep
from tests.cli.test_json import LEFT
from tests.knitting.knitter import SAMPLE


@pytest.fixture
def skein(instep: Instep, tmp_path: Path) -> Instep:
    """The sample pair begun with 100 g of 420 m."""
    instep.run("start", plan(tmp_path, 100, 420))
    return instep


def plan(folder: Path, grams: float, metres: float) -> str:
    file = folder / f"yarn-{grams}.toml"
    yarn = f"\n[yarn]\ngrams = {grams}\nmetres = {metres}\n"
    file.write_text(SAMPLE.read_text(encoding="utf-8") + yarn, encoding="utf-8")
    return str(file)


def to_the_heel(pair: Instep) -> None:
    pair.ok("tick", "22")
    pair.ok("tick", "46")


def test_an_evening_with_the_scale(skein: Instep) -> None:
    """100 g to 85 g over cuff and leg: 36 g a sock, give or take 1 (common practice, no source)."""
    to_the_heel(skein)
    said = "85 g (357 m) left: sock one takes 36 g in all, give or take 1; enough for both."
    assert skein.line("weigh", "85") == said
    assert said in skein.ok("left").splitlines()
    assert skein.ok("undo").startswith("Taken back: the 85 g weighing. Sock one, leg: round 46")
    assert skein.ok("redo").startswith("Brought back: the 85 g weighing. ")
    assert said in skein.ok("left").splitlines()


@pytest.mark.parametrize(
    "given",
    [["85"], ["85g"], ["85", "g"], ["85 g"], ["85,0"], ["0.085 kg"], [" 85 grams "], ["2.998287", "oz"]],
    ids=" ".join,
)  # fmt: skip
def test_however_it_is_written(skein: Instep, given: list[str]) -> None:
    to_the_heel(skein)
    assert skein.line("weigh", *given).startswith("85 g (357 m) left: sock one takes 36 g in all")


def test_ounces(skein: Instep) -> None:
    to_the_heel(skein)
    assert skein.line("weigh", "3 oz").startswith("85 g (357 m) left")
    assert skein.ok("undo").startswith("Taken back: the 85 g weighing.")


def test_the_answer_as_json_is_the_place(skein: Instep) -> None:
    to_the_heel(skein)
    left = skein.json("weigh", "40")
    assert set(left) == set(LEFT)
    assert left["done"] == 46
    told = [cue["text"] for cue in left["cues"] if cue["kind"] == "yarn"]
    assert told == [
        "About 86 g were expected: a slip, or other yarn?",
        "Yarn: not enough for both, about 14 g short, another ball will do",
    ]


def test_either_sock_and_any_pair_may_be_named(skein: Instep) -> None:
    skein.ok("start", str(SAMPLE))
    said = skein.line("weigh", "100", "--pair", "night-ferry", "--sock", "2")
    assert (
        said == "100 g (420 m) left: sock two takes 33 g in all, give or take 3; enough for both."
    )
    assert skein.json("left", "--pair", "night-ferry")["sock"] == 1
    assert skein.json("left", "--pair", "night-ferry-2")["events"] == 1


def test_the_yarn_is_the_pairs_whichever_sock_is_named(skein: Instep) -> None:
    skein.ok("weigh", "99", "--sock", "2")
    assert skein.ok("undo").startswith("Taken back: the 99 g weighing. Sock one")


@pytest.mark.parametrize(
    ("given", "why"),
    [
        (["0"], "0 g is no yarn to knit with; weigh the next ball when you begin it"),
        (["-5"], '"-5" is below zero; write the grams that are left, like 85'),
        (["-5g"], '"-5g" is below zero; write the grams that are left, like 85'),
        (["6000"], '"6000" is more than 5 kg; write the grams that are left, like 85'),
        (["999999", "kg"], '"999999 kg" is more than 5 kg; write the grams that are left, like 85'),
        (["much"], '"much" is not a weight; write grams like 85, or ounces like 3 oz'),
        (["85", "mm"], '"85 mm" is not a weight; write grams like 85, or ounces like 3 oz'),
        (["nan"], '"nan" is not a weight; write grams like 85, or ounces like 3 oz'),
        (["1e3"], '"1e3" is not a weight; write grams like 85, or ounces like 3 oz'),
        (["1/0"], '"1/0" divides by zero; write grams like 85'),
        ([""], '"" is not a weight; write grams like 85, or ounces like 3 oz'),
        (["\x1b[31m85"], '"?[31m85" is not a weight; write grams like 85, or ounces like 3 oz'),
    ],
)  # fmt: skip
def test_what_is_no_weight_is_refused_and_nothing_is_lost(
    skein: Instep, given: list[str], why: str
) -> None:
    skein.ok("weigh", "100")
    before = skein.json("left")
    assert skein.wrong("weigh", *given) == why
    assert skein.json("left") == before


def test_a_weight_above_the_last_is_another_ball(skein: Instep) -> None:
    to_the_heel(skein)
    skein.ok("weigh", "85")
    assert skein.line("weigh", "97") == (
        "Weighed more than last time: other ball? It counts as a new one."
        " 97 g (407 m) left: sock one takes 36 g in all, give or take 1; enough for both."
    )
    assert skein.json("left")["events"] == 5


def test_no_words_is_usage(skein: Instep) -> None:
    assert skein.usage("weigh").startswith("usage: instep weigh")


# A ball of each colour


@pytest.fixture
def stripes(instep: Instep, tmp_path: Path) -> Instep:
    """The sample in three colours."""
    file = tmp_path / "stripes.toml"
    colours = '\n[colours]\nleg = ["navy 6", "cream 3", "rust 1"]\n'
    file.write_text(SAMPLE.read_text(encoding="utf-8") + colours, encoding="utf-8")
    notes(instep, "start", str(file))
    return instep


def test_a_colour_is_weighed_by_its_name(stripes: Instep) -> None:
    said = "80 g of navy left: sock one takes 24 g of it in all, give or take 4; enough for both."
    assert stripes.line("weigh", "80", "--colour", "navy") == said
    assert stripes.line("weigh", "16", "--colour=Cream").startswith("16 g of cream left: ")
    lines = stripes.ok("left").splitlines()
    assert [line.partition(" left:")[0] for line in lines if " left: " in line] == [
        "16 g of cream", "80 g of navy",
    ]  # fmt: skip
    assert stripes.ok("undo").startswith("Taken back: the 16 g weighing of cream. Sock one: ")
    assert stripes.ok("redo").startswith("Brought back: the 16 g weighing of cream. ")


def test_without_a_colour_all_the_yarn_is_weighed(stripes: Instep) -> None:
    assert stripes.line("weigh", "100").startswith("100 g left: sock one takes 34 g in all, give")


@pytest.mark.parametrize(
    ("colour", "why"),
    [
        ("nvy", 'there is no "nvy" in this pattern; write navy'),
        ("pink", 'there is no "pink" in this pattern; write navy, cream, rust'),
        ("\x1b[31m", 'there is no "?[31m" in this pattern; write navy, cream, rust'),
    ],
)
def test_a_colour_that_there_is_not(stripes: Instep, colour: str, why: str) -> None:
    before = stripes.json("left")
    assert stripes.wrong("weigh", "60", "--colour", colour) == why
    assert stripes.json("left") == before


def test_a_pattern_in_one_colour_has_one_ball(skein: Instep) -> None:
    assert skein.wrong("weigh", "60", "--colour", "navy") == (
        "this pattern does not tell of several colours; weigh all the yarn together"
    )


# As far as the yarn goes


def test_the_leg_goes_as_far_as_the_yarn(skein: Instep) -> None:
    skein.ok("tick", "22")
    skein.ok("tick", "20")
    skein.ok("weigh", "90.5")
    assert skein.line("target", "yarn") == (
        "The leg goes to 26.4 cm, as far as the yarn goes: 44 rounds more than before."
        " 9.8 cm now, give or take 0.5. About 70 rounds to go (61 to 81), to 26.4 cm."
    )
    assert "enough for both." in skein.ok("left")
    assert skein.ok("undo").startswith("Taken back: the 26.4 cm goal. ")
    left = skein.json("target", "Yarn")
    assert left["target_mm"] == pytest.approx(264, abs=0.5)
    assert skein.line("target", "16 cm").startswith("The leg goes to 16 cm: 44 rounds fewer than ")


def test_too_little_yarn_makes_the_leg_shorter(skein: Instep) -> None:
    skein.ok("tick", "22")
    skein.ok("tick", "18")
    skein.ok("weigh", "90.5")
    skein.ok("weigh", "65")
    said = skein.line("target", "yarn")
    assert ", as far as the yarn goes: " in said
    assert " rounds fewer than before. " in said
    skein.ok("weigh", "50")
    assert skein.wrong("target", "yarn").startswith("not one more round is safe: ")


def test_where_no_goal_follows_from_the_yarn(stripes: Instep) -> None:
    stripes.ok("tick", "22")
    assert stripes.wrong("target", "yarn") == (
        "no yarn is told in the plan, and none was weighed; weigh what is left first"
    )
    stripes.ok("weigh", "60", "--colour", "navy")
    assert stripes.wrong("target", "yarn") == (
        "not weighed yet: cream, rust; weigh each first, as in instep weigh 45 --colour cream"
    )


def test_before_the_leg_and_by_its_name_it_is_the_same(skein: Instep) -> None:
    skein.ok("tick", "5")
    said = skein.line("target", "yarn")
    assert re.match(r"The leg will go to [\d.]+ cm, as far as the yarn goes\. Sock one, cuff", said)
    skein.ok("undo")
    assert skein.line("target", "yarn", "--section", "leg") == said
    skein.ok("tick", "17")
    skein.ok("tick", "20")
    there = skein.line("target", "yarn")
    assert ", as far as the yarn goes: as before. " in there
    skein.ok("undo")
    assert skein.line("target", "yarn", "--section", "leg") == there


def test_for_one_sock_alone(skein: Instep) -> None:
    skein.ok("tick", "22")
    said = skein.line("target", "yarn", "--only")
    assert ", as far as the yarn goes on sock one alone: " in said
    assert " rounds more than before. " in said
    assert "enough for both." in skein.ok("left")
    skein.ok("undo")
    said = skein.line("target", "yarn", "--only", "--sock", "2")
    assert ", as far as the yarn goes on sock two alone. Sock two: cast on 64." in said


def test_where_it_cannot_be_the_answer_is_no(skein: Instep) -> None:
    leg = "as far as the yarn goes is a goal for the leg, not for the"
    assert skein.wrong("target", "yarn", "--section", "foot") == f"{leg} foot; write a length"
    assert skein.wrong("target", "yarn", "--section", "cuff") == (
        "the cuff has a count for its goal: round 22"
    )
    assert skein.wrong("target", "yarn", "--section", "arm").startswith('there is no section "arm"')
    skein.ok("at", "3", "--section", "flap")
    assert skein.wrong("target", "yarn") == f"{leg} heel flap; the leg is over"
    for only in ([], ["--only"]):
        over = "the leg of sock one is over; its goal stays"
        assert skein.wrong("target", "yarn", "--section", "leg", *only) == over
    skein.ok("at", "3", "--section", "foot")
    assert skein.wrong("target", "yarn") == f"{leg} foot; write a length"


def test_where_the_other_leg_is_over_it_is_for_this_sock_alone(skein: Instep) -> None:
    skein.ok("tick", "22")
    skein.ok("tick", "40")
    skein.ok("end")
    for section in ([], ["--section", "leg"]):
        assert skein.wrong("target", "yarn", "--sock", "2", *section) == (
            "the leg ends at round 40, as on the other sock;"
            " write --only after it for a goal of this sock alone"
        )
    said = skein.line("target", "yarn", "--only", "--sock", "2")
    assert " as far as the yarn goes on sock two alone. " in said


def test_a_leg_of_so_many_rounds_has_its_count(instep: Instep, tmp_path: Path) -> None:
    """From the cuff on, and in the leg."""
    file = Path(plan(tmp_path, 100, 420))
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(r"(\[leg\]\n)length = [^\n]+", r"\1rounds = 46", text), encoding="utf-8")
    notes(instep, "start", str(file))
    for _ in range(2):
        assert instep.wrong("target", "yarn") == "the leg has a count for its goal: round 46"
        instep.ok("at", "3", "--section", "leg")


# The plan


def notes(instep: Instep, *words: str) -> list[str]:
    code, _, err = instep.run(*words)
    assert code == 0
    return err.splitlines()


def test_a_plan_says_whether_it_is_enough(instep: Instep, tmp_path: Path) -> None:
    pair = "note: A pair takes about 67 g of this yarn (56 to 78), by its gauge and its metres;"
    assert notes(instep, "plan", plan(tmp_path, 100, 420)) == [f"{pair} 100 g are enough."]
    assert notes(instep, "start", plan(tmp_path, 60, 252)) == [
        f"{pair} 60 g are not enough by about 8 g, tails with it:"
        " plan a shorter leg, or toes in another yarn."
    ]


def test_the_yarn_goes_with_the_pattern_file(instep: Instep, tmp_path: Path) -> None:
    """Started from the pattern that was written, the pair knows its yarn, too."""
    file = tmp_path / "pattern.toml"
    instep.run("plan", plan(tmp_path, 100, 420), "-o", str(file))
    instep.run("start", str(file))
    assert "100 g (420 m) left by its plan: sock one should take 33 g" in instep.ok("left")


@pytest.mark.parametrize(
    ("yarn", "why"),
    [
        ("grams = 0", "grams"), ("grams = -3", "grams"), ("metres = 0", "metres"),
        ('grams = "100"', "grams"), ("grams = 1e9", "grams"), ("grams = nan", "grams"),
    ],
)  # fmt: skip
def test_yarn_that_cannot_be(instep: Instep, tmp_path: Path, yarn: str, why: str) -> None:
    file = tmp_path / "plan.toml"
    file.write_text(SAMPLE.read_text(encoding="utf-8") + f"\n[yarn]\n{yarn}\n", encoding="utf-8")
    assert f"yarn.{why}" in instep.wrong("plan", str(file))


@pytest.mark.parametrize("yarn", ["yarn = 3", '[yarn]\ngrams = "x"', "[yarn]\nmetres = -1"])
def test_a_pattern_by_hand_with_yarn_that_cannot_be(
    instep: Instep, tmp_path: Path, yarn: str
) -> None:
    file = tmp_path / "pattern.toml"
    section = '[[section]]\nname = "leg"\nworked = "rounds"\nneedles = [8, 8]\nrows = ["k"]\n'
    file.write_text(f"{yarn}\n{section}", encoding="utf-8")
    assert "yarn is a table; write [yarn], grams = 100 and metres = 420" in instep.wrong(
        "check", str(file)
    )
