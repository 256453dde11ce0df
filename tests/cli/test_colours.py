"""Colours told otherwise, the ball at the cast-on, and pairs that are not identical, by their commands."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Instep
from tests.pattern.making import plan_text


@pytest.fixture
def striped(tmp_path: Path) -> Path:
    return plan(tmp_path)


def plan(folder: Path, likeness: str = "alike") -> Path:
    """Navy 9, cream 3, rust 2 over a leg of 46 rounds (common practice, no source)."""
    path = folder / f"{likeness}.toml"
    colours = '\n[colours]\nleg = ["navy 9", "cream 3", "rust 2"]\n'
    path.write_text(plan_text({"pair.likeness": likeness}) + colours, encoding="utf-8")
    return path


def colours(left: dict[str, Any]) -> list[str]:
    return [cue["text"] for cue in left["cues"] if cue["kind"] in ("change", "slip-first", "copy")]


def test_a_forgotten_change_of_stripe_is_told_repeated_and_taken_back(
    instep: Instep, striped: Path
) -> None:
    instep.run("start", str(striped))
    instep.ok("tick", "22")
    instep.ok("tick", "12")
    before = instep.json("left")
    said = instep.line("changed", "colour", "--late", "3")
    assert said.startswith(
        "Cream 3 rounds late, due in leg round 10; cream in round 13; the later stripes move with it, "
        "--stay leaves them where they were. Sock two repeats it; instep copy 4 no if not."
    )
    assert colours(instep.json("left"))[0] == "Change to cream now"
    instep.ok("tick", "22", "--sock", "2")
    instep.ok("tick", "8", "--sock", "2")
    ahead = colours(instep.json("left", "--sock", "2"))
    assert "In round 10: navy for 3 rounds more, as on sock one" in ahead
    for _ in range(3):
        instep.ok("undo")
    after = instep.json("left")
    assert {**after, "events": 0} == {**before, "events": 0}


def test_later_stripes_may_stay(instep: Instep, striped: Path) -> None:
    instep.run("start", str(striped))
    instep.ok("tick", "22")
    instep.ok("tick", "4")
    said = instep.line("changed", "colour", "rust", "--stay")
    assert said.startswith(
        "Rust, the rest as planned, from leg round 5 on; cream in round 10. Sock two"
    )
    said = instep.line("changed", "colour", "green", "--row", "7")
    assert said.startswith("Green from leg round 7 on; cream in round 10. Sock two repeats it")


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("colour", "cream 4"), "cream has 3 rounds; write cream 1 to cream 3"),
        (("colour", "--late", "2"), "no change was due at round 11"),
        (("colour", "navy 5", "--ball"), "where the ball stands is told at the cast-on"),
        (("colour", "reversed"), "stripes are reversed from the cast-on"),
        (("needle", "2.25", "--stay"), "said of a colour"),
    ],
)
def test_what_cannot_be_is_one_line_and_records_nothing(
    instep: Instep, striped: Path, words: tuple[str, ...], why: str
) -> None:
    instep.run("start", str(striped))
    instep.ok("tick", "22")
    instep.ok("tick", "12")
    before = instep.json("left")
    refused = instep.wrong("changed", *words)
    assert why in refused
    assert instep.json("left") == before


def test_sock_two_is_cast_on_at_the_same_place_in_the_ball(instep: Instep, striped: Path) -> None:
    instep.run("start", str(striped))
    said = instep.line("changed", "colour", "navy 5")
    assert said.startswith("The ball at navy, 5 of 9, at the cast-on. Sock two repeats it")
    card = next(
        cue["text"]
        for cue in instep.json("left", "--sock", "2")["cues"]
        if cue["kind"] == "section"
    )
    assert "Sock one was cast on at navy, 5 of 9: pull the ball to the same place." in card
    instep.ok("tick", "22", "--sock", "2")
    assert "Change to cream" not in " ".join(colours(instep.json("left", "--sock", "2")))
    instep.ok("tick", "4", "--sock", "2")
    assert "In 1 round: change to cream" in colours(instep.json("left", "--sock", "2"))


def test_cousins_are_in_step_with_colours_of_their_own(instep: Instep, tmp_path: Path) -> None:
    path = plan(tmp_path, "cousins")
    assert "Cousins: both have the same counts" in instep.run("plan", str(path))[1]
    instep.run("start", str(path))
    said = instep.line("changed", "colour", "reversed", "--sock", "2")
    assert said.startswith("The stripes reversed, from the cast-on. Sock one does not repeat it")
    for sock in (1, 2):
        instep.ok("tick", "22", "--sock", str(sock))
    left = instep.json("left")
    assert left["in_step"] is True
    assert "1 difference meant" in instep.ok("left")
    assert "Cousins" in instep.ok("write", "night-ferry")


CABLED = """title = "Cabled socks"
[pair]
likeness = "mirrored"
[[section]]
name = "leg"
kind = "leg"
worked = "rounds"
needles = [16, 16, 16, 16]
repeat = 4
rows = ["k | p2, k4, p10 | k | k", "k | p2, C4F, p10 | k | k"]
"""


def test_a_mirrored_pair_is_planned_checked_printed_and_knitted(
    instep: Instep, tmp_path: Path
) -> None:
    path = tmp_path / "cabled.toml"
    path.write_text(CABLED, encoding="utf-8")
    assert instep.ok("check", str(path)).strip() == "Every row comes out."
    told = instep.ok("plan", str(path))
    assert "Leg, sock two, mirrored (16 / 16 / 16 / 16)" in told
    assert "Round 2: k | k | p10, C4B, p2 | k  [16/16/16/16]" in told
    assert "p10, C4B, p2" in instep.ok("write", str(path))
    assert set(instep.json("plan", str(path))) == {"title", "numbers", "sections"}
    instep.run("start", str(path))
    for sock in (1, 2):
        instep.ok("tick", "1", "--sock", str(sock))
    works = [
        [needle["work"] for needle in instep.json("left", "--sock", str(sock))["next"]["needles"]]
        for sock in (1, 2)
    ]
    assert works == [["k", "p2, C4F, p10", "k", "k"], ["k", "k", "p10, C4B, p2", "k"]]


def test_a_mirrored_pair_that_leans_nowhere_says_so(instep: Instep, tmp_path: Path) -> None:
    told = instep.run("plan", str(plan(tmp_path, "mirrored")))[1]
    assert (
        "Mirrored: nothing in it leans to one side, so both are knitted by the same rows." in told
    )
