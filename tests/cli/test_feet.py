"""Toes for the left and the right foot, from the plan file to the needles and to print."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Instep
from tests.cli.test_write import part
from tests.knitting.knitter import SAMPLE


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """The sample with a toe for either foot."""
    text = SAMPLE.read_text("utf-8").replace(
        'kind = "wedge"', 'kind = "wedge"\nfeet = "left and right"'
    )
    file = tmp_path / "feet.toml"
    file.write_text(text, "utf-8")
    return file


def test_the_plan_tells_both_toes_and_which_sock_is_for_which_foot(
    instep: Instep, plan: Path
) -> None:
    told = instep.ok("plan", str(plan))
    assert (
        "Sock one is for the left foot, sock two for the right one; the toe of sock two is told last."
        in told
    )
    toe = part(told, "Toe")
    assert "First slide to 12 / 20 / 20 / 12." in told
    assert any(line.endswith("k | k to last 3, k2tog, k1 | k1, ssk, k to end | k  [12/19/19/12 after 1, "
                             "12/18/18/12 after 3, 12/17/17/12 after 5, 12/16/16/12 after 7]")
               for line in toe)  # fmt: skip
    assert "Toe, sock two, right foot (20 / 12 / 12 / 20)" in told
    assert "For the right foot: the little toe lies where the instep begins" in told


def test_the_plan_says_how_the_rib_is_moved_before_half_the_sole(
    instep: Instep, plan: Path
) -> None:
    text = plan.read_text("utf-8")
    plan.write_text(text.replace("[foot]", '[foot]\nfabric = "rib on the instep"'), "utf-8")
    assert "First slide to 16 / 16 / 16 / 16." in instep.ok("plan", str(plan))


@pytest.mark.parametrize("ending", ["txt", "md", "html"])
def test_it_is_printed(instep: Instep, plan: Path, tmp_path: Path, ending: str) -> None:
    out = tmp_path / f"page.{ending}"
    instep.ok("write", str(plan), "-o", str(out))
    page = out.read_text("utf-8")
    for said in (
        "Toe, sock two, right foot",
        "Half sole",
        "Knit N1 once more, 16",
        "left foot, sock two",
    ):
        assert said in page


def test_it_is_audited_on_both_socks_and_faults_are_named(
    instep: Instep, plan: Path, tmp_path: Path
) -> None:
    assert instep.json("check", str(plan))["ok"]
    pattern = tmp_path / "pattern.toml"
    instep.ok("plan", str(plan), "-o", str(pattern))
    assert instep.json("check", str(pattern))["ok"]
    plan.write_text(plan.read_text("utf-8").replace("left and right", "left or right"), "utf-8")
    assert instep.wrong("plan", str(plan)).endswith(
        '"left or right" is not known; write "left and right"'
    )
    plan.write_text(plan.read_text("utf-8").replace("feet", "foot"), "utf-8")
    assert instep.wrong("plan", str(plan)).endswith("did you mean feet?")


def test_a_stage_that_names_the_toe_has_what_leads_to_it(instep: Instep, plan: Path) -> None:
    stage = '\n[[stage]]\nnumber = 2\nsections = ["toe", "graft"]\n'
    plan.write_text(plan.read_text("utf-8") + stage, "utf-8")
    told = instep.ok("write", str(plan), "--stage", "2")
    assert "Half sole" in told
    assert "After the foot, about 44 rounds: 16/16/16/16 = 64" in told


def test_at_the_needles_the_foot_is_named(instep: Instep, plan: Path) -> None:
    instep.ok("start", str(plan))
    for ticks in (22, 46):
        instep.ok("tick", str(ticks))
    instep.ok("end")
    instep.ok("tick", "67")
    instep.ok("tick", "44")
    assert instep.line("end").startswith(
        "The foot ended at round 44. Sock one, left foot, half sole:"
    )
    assert instep.line("tick").startswith("Sock one, left foot, toe: nothing of it is done yet.")
    left = instep.json("left")
    assert [needle["stitches"] for needle in left["needles"]] == [12, 20, 20, 12]


def test_in_several_sizes_sock_two_has_its_toe_as_well(instep: Instep, plan: Path) -> None:
    told = instep.ok("write", str(plan), "--sizes", "48,64")
    assert "Toe, sock two, right foot" in told
    assert "On the needles: 15 / 9 / 9 / 15 (20 / 12 / 12 / 20)." in told
