"""A pair from the toe up through commands: from its plan to print, and to a few ticks."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

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


REPEAT = {"leg.fabric": "repeat", "leg.repeat": ["p1, C4F, p1, k2", "k8"], "leg.stitches": 64}
CHARTED = {"leg.fabric": "stranded", "leg.repeat": ["aabb", "abba"], "leg.stitches": 64}
CARRIED_UP = {"foot.fabric": "as the leg"}


@pytest.mark.parametrize(
    ("given", "parts", "words"),
    [
        (
            {"toe.kind": "star", "heel.kind": "wrapped", **REPEAT, **CARRIED_UP},
            ["Toe", "Foot", "Heel set-up", "Heel first half", "Heel second half", "Leg", "Cuff", "Bind-off"],
            ["in a ring", "the heel included", "in 44 short rows", "Closing round"],
        ),
        (
            {"toe.kind": "round", "heel.kind": "double-stitch", "foot.ankle": "28 cm", "leg.length": "28 cm"},
            ["Toe", "Foot", "Heel first half", "Heel rounds", "Heel second half", "Leg", "Bind-off"],
            ["goes to 76 at the centre back", "both legs of each double stitch"],
        ),
        (
            {"toe.feet": "left and right", "heel.kind": "afterthought", **CHARTED, **CARRIED_UP},
            ["Toe", "Foot", "Heel place", "Leg", "Cuff", "Bind-off", "Heel", "Graft"],
            [
                "For the right foot", "First on over the instep, a round not counted",
                "knitted after the bind-off in 21 rounds", "Chart, read from below",
            ],
        ),
        (
            {"toe.kind": "graduated", "heel.turn": "square", **CHARTED},
            ["Toe", "Foot", "Gusset", "Heel set-up", "Heel turn", "Heel flap", "Leg"],
            ["closed, over two needles", "Chart, read from below"],
        ),
    ],
    ids=["star, wrapped, cables", "round, doubled, calf", "left and right, late, chart", "graduated, square"],
)  # fmt: skip
def test_other_toes_heels_and_legs_are_printed_checked_and_begun(
    instep: Instep, tmp_path: Path, given: dict[str, Any], parts: list[str], words: list[str]
) -> None:
    file, page = tmp_path / "low-water.toml", tmp_path / "page.txt"
    file.write_text(plan_text({"direction": "toe-up", "title": "Low water", **given}), "utf-8")
    assert instep.run("check", str(file))[:2] == (0, "Every row comes out.\n")
    code, _, said = instep.run("write", str(file), "-o", str(page))
    assert code == 0, said
    lines = page.read_text("utf-8").splitlines()
    places = [
        next(at for at, line in enumerate(lines) if line.startswith(f"{part} (")) for part in parts
    ]
    assert places == sorted(places)
    told = " ".join(" ".join(lines).split())
    for word in words:
        assert word in told
    assert instep.run("start", str(file))[0] == 0
    instep.ok("tick", "5")
    assert (instep.json("left")["section"], instep.json("left")["done"]) == ("toe", 5)


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


@pytest.mark.parametrize(
    ("given", "what", "length", "rounds"),
    [
        # common practice, no source: 233 mm, less 19 rounds of gusset and 15 rows of heel at 42 to 100 mm
        ({}, "gusset", "15.2 cm", 44),
        # the same less 22 rows of a wrapped heel
        ({"heel.kind": "wrapped"}, "heel", "18.1 cm", 56),
    ],
)  # fmt: skip
def test_paper_tells_where_the_gusset_or_the_heel_begins(
    instep: Instep, tmp_path: Path, given: dict[str, Any], what: str, length: str, rounds: int
) -> None:
    plan = tmp_path / "up.toml"
    plan.write_text(plan_text({"direction": "toe-up", **given}), "utf-8")
    told = " ".join(instep.run("write", str(plan))[1].split())
    at = f"{length} from the tip of the toe: round {rounds} as planned."
    assert f"Begin the {what} when the foot measures {at}" in told


@pytest.mark.parametrize("direction", ["cuff-down", "toe-up"])
def test_paper_tells_how_a_repeat_goes_on_where_a_section_ends_elsewhere(
    instep: Instep, tmp_path: Path, direction: str
) -> None:
    plan = tmp_path / "lace.toml"
    plan.write_text(plan_text({"direction": direction, **REPEAT, **CARRIED_UP}), "utf-8")
    told = " ".join(instep.run("write", str(plan))[1].split())
    goes = "instep and leg still go" if direction == "toe-up" else "the instep still goes"
    assert (
        told.count(f"If this ends at another round, {goes} on with the round that would come next")
        == 1
    )
    assert "take 2 off its number until a round from 1 to 2 is left" in told


def test_sock_two_is_on_paper_from_its_cast_on_to_its_end(instep: Instep, tmp_path: Path) -> None:
    plan = tmp_path / "lace.toml"
    plan.write_text(plan_text({"pair.likeness": "mirrored", **REPEAT, **CARRIED_UP}), "utf-8")
    told = " ".join(instep.run("write", str(plan))[1].split())
    two = told[told.index("Cuff, sock two, mirrored") :]
    parts = [
        "Cast on 64, loosely", "Leg, sock two, mirrored", "Chart", "Heel set-up to heel turn, sock two",
        "Heel flap: 32 rows, as told for sock one.", "Heel turn: 14 rows", "Gusset, sock two, mirrored",
        "pick up 17 along the first edge", "Foot, sock two, mirrored", "Toe to graft, sock two",
        "Toe: 20 rounds, as told for sock one.",
    ]  # fmt: skip
    places = [two.index(part) for part in parts]
    assert places == sorted(places)


def test_a_pair_of_left_and_right_toes_has_all_of_sock_two_on_paper(
    instep: Instep, tmp_path: Path
) -> None:
    plan = tmp_path / "feet.toml"
    plan.write_text(plan_text({"toe.feet": "left and right"}), "utf-8")
    told = " ".join(instep.run("write", str(plan))[1].split())
    two = told[told.index("Cuff to half sole, sock two") :]
    assert "Cast on 64, as told for sock one." in two
    assert two.index("Leg: 46 rounds as planned, as told for sock one.") < two.index(
        "Toe, sock two"
    )


def test_the_chart_of_a_leg_tells_where_it_goes_on_from_the_foot(
    instep: Instep, tmp_path: Path
) -> None:
    plan = tmp_path / "lace.toml"
    plan.write_text(plan_text({"direction": "toe-up", **REPEAT, **CARRIED_UP}), "utf-8")
    told = " ".join(instep.run("write", str(plan))[1].split())
    # 44 rounds of the foot, 19 of the gusset, the heel's set-up and the closing round: round 66 of the repeat
    assert "round 1 here is what the foot's round 2 is on the instep" in told


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"foot.ankle": "28 cm", "leg.length": "28 cm"}, "The foot has 64 stitches."),
        (
            {"foot.ankle": "28 cm", "leg.fabric": "repeat", "leg.repeat": ["k2, p2", "k4"]},
            "76 would fit the leg; the foot has 64.",
        ),
        (
            {"leg.stitches": 68, "foot.stitches": 64, "foot.heel": "40 cm"},
            "the leg's 68 stitches open to",
        ),
    ],
)
def test_of_two_numbers_a_note_says_which_is_the_legs(
    instep: Instep, tmp_path: Path, given: dict[str, Any], told: str
) -> None:
    plan = tmp_path / "wide.toml"
    plan.write_text(plan_text(given), "utf-8")
    assert told in " ".join(instep.run("write", str(plan))[1].split())


@pytest.mark.parametrize("direction", ["cuff-down", "toe-up"])
def test_how_a_later_heel_is_taken_up_stands_before_its_rounds(
    instep: Instep, tmp_path: Path, direction: str
) -> None:
    plan = tmp_path / "later.toml"
    plan.write_text(plan_text({"direction": direction, "heel.kind": "afterthought"}), "utf-8")
    told = " ".join(instep.run("write", str(plan))[1].split())
    assert told.index("First pass needle tips") < told.index("Pick-up round: pick up 1")
