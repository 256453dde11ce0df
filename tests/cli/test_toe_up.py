"""A pair from the toe up through commands: from its plan to print, and to a few ticks."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Instep
from tests.pattern.making import plan_text


@pytest.fixture
def plan(tmp_path: Path) -> str:
    file = tmp_path / "low-water.toml"
    file.write_text(plan_text({"direction": "toe-up", "title": "Low water"}), "utf-8")
    return str(file)


@pytest.mark.parametrize("ending", ["txt", "md", "html"])
def test_it_is_printed_from_the_cast_on_to_the_bind_off(
    instep: Instep, plan: str, tmp_path: Path, ending: str
) -> None:
    page = tmp_path / f"page.{ending}"
    code, _, said = instep.run("write", plan, "-o", str(page))
    assert code == 0, said
    told = " ".join(page.read_text("utf-8").split())
    parts = ["Foot", "Gusset", "Heel set-up", "Heel turn", "Heel flap", "Leg", "Cuff", "Bind-off"]
    assert all(part in told for part in parts)
    if ending == "txt":
        places = [told.index(f"{part} (") for part in parts]
        assert places == sorted(places)
    for words in (
        "closed, over two needles", "from the tip of the toe, gusset and heel included",
        "an elastic bind-off", "wrap and turn", "bind off, elastic",
    ):  # fmt: skip
        assert words in told
    assert "graft" not in told.lower()
    assert "pick up" not in told.lower()


def test_its_plan_and_its_pattern_file_are_audited(
    instep: Instep, plan: str, tmp_path: Path
) -> None:
    assert instep.ok("check", plan) == "Every row comes out.\n"
    pattern = str(tmp_path / "pattern.toml")
    assert instep.run("plan", plan, "-o", pattern)[0] == 0
    assert instep.ok("check", pattern) == "Every row comes out.\n"
    assert 'direction = "toe-up"' in Path(pattern).read_text("utf-8")


def test_its_numbers_are_those_that_there_are(instep: Instep, plan: str) -> None:
    code, out, _ = instep.run("plan", plan, "--json")
    assert code == 0
    told = json.loads(out)
    assert told["numbers"]["cast_on"] == 16
    assert told["numbers"]["graft_stitches"] is told["numbers"]["after_pick_up"] is None
    assert [section["kind"] for section in told["sections"]] == [
        "toe", "foot", "gusset", "heel set-up", "turn", "flap", "leg", "cuff", "bind-off",
    ]  # fmt: skip


def test_a_few_ticks_at_the_toe_and_the_tape_from_its_tip(instep: Instep, plan: str) -> None:
    instep.run("start", plan)
    instep.ok("tick", "5")
    left = instep.json("left")
    assert (left["section"], left["done"], left["stitches"]) == ("toe", 5, 32)
    assert left["length_mm"] is None
    assert "toe" in instep.wrong("measure", "2 cm")
    instep.ok("tick", "39")
    told = instep.ok("measure", "10.2 cm", "--from", "cast-on")
    assert told.startswith("10.2 cm at foot round 24.")
    assert "gusset and heel alone are" in instep.wrong("target", "6 cm")


def test_a_foot_that_leaves_room_for_a_heel_comes_with_it(
    instep: Instep, plan: str, tmp_path: Path
) -> None:
    """Of a pattern that comes in stages: the goal cannot be reckoned without the heel."""
    pattern = tmp_path / "pattern.toml"
    instep.run("plan", plan, "-o", str(pattern))
    head, *sections = pattern.read_text("utf-8").split("[[section]]")
    first, second = tmp_path / "one.toml", tmp_path / "two.toml"
    first.write_text("[[section]]".join([head, sections[0]]), "utf-8")
    second.write_text("[[section]]".join(["", sections[1]]), "utf-8")
    assert instep.run("start", str(first))[0] == 0
    assert "it ends so that gusset and heel fit" in instep.wrong("append", str(second))


def test_where_no_tail_is_in_view_nor_a_count_tells_it_says_what_does(
    instep: Instep, plan: str
) -> None:
    instep.run("start", plan)
    while instep.json("left")["section"] != "leg":
        place = instep.json("left")
        instep.ok("end") if place["section"] == "foot" and place["done"] else instep.ok("tick")
    assert instep.wrong("count", "--tail", "0") == (
        "the tail is not in view at the leg, and its stitches are as many in every round; say where the pin "
        "is, or how long it is"
    )


def test_in_the_cup_what_is_wrapped_tells_the_row(instep: Instep, plan: str) -> None:
    instep.run("start", plan)
    while instep.json("left")["section"] != "turn":
        place = instep.json("left")
        instep.ok("end") if place["section"] == "foot" and place["done"] else instep.ok("tick")
    instep.ok("tick", "5")
    assert "on the heel needle, 3 and 2 wrapped, 32 rest" in instep.ok("left")
    assert instep.line("count", "2/3") == "3 and 2 wrapped: as it should be."
    assert instep.line("count", "4/3").startswith(
        "4 and 3 wrapped counted, 3 and 2 wrapped expected. That is heel turn row 7."
    )
