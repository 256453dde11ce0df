"""Heels without a flap, from the plan file to the needles and to print."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE
from tests.pattern.choices import WITHOUT_A_FLAP as KINDS


def plan_of(kind: str, folder: Path, more: str = "") -> str:
    """The sample with such a heel, in a file."""
    text = SAMPLE.read_text("utf-8").replace('kind = "flap"', f'kind = "{kind}"{more}')
    file = folder / f"{kind}.toml"
    file.write_text(text, "utf-8")
    return str(file)


@pytest.mark.parametrize("kind", KINDS)
def test_it_is_checked_and_printed_and_says_nothing_of_a_flap(
    instep: Instep, tmp_path: Path, kind: str
) -> None:
    plan = plan_of(kind, tmp_path)
    assert instep.ok("check", plan).strip() == "Every row comes out."
    out = tmp_path / "page.html"
    instep.ok("write", plan, "-o", str(out))
    page, told = out.read_text("utf-8"), instep.ok("plan", plan)
    for said in (page.lower(), told.lower()):
        assert "flap" not in said
        assert "gusset" not in said
    heads = ["Heel place", "Heel (nothing"] if kind == "afterthought" else ["Heel first half"]
    assert all(head in told for head in heads)
    numbers = json.loads(instep.ok("plan", plan, "--json"))["numbers"]
    assert (numbers["flap_rows"], numbers["turn_rows"], numbers["gusset_rounds"]) == (None,) * 3


def test_a_field_of_a_flap_is_refused_with_its_line(instep: Instep, tmp_path: Path) -> None:
    plan = plan_of("wrapped", tmp_path, '\nturn = "square"\nrows = 34')
    told = instep.wrong("plan", plan)
    assert "heel.rows: rows and turn belong to a heel with a flap, this one is wrapped" in told


def test_a_heel_of_short_rows_at_the_needles(instep: Instep, tmp_path: Path) -> None:
    instep.ok("start", plan_of("wrapped", tmp_path))
    instep.ok("tick", "68")
    instep.ok("end")
    assert "none" not in instep.ok("tick")
    assert "7 and 6 wrapped" in instep.ok("tick", "13")
    assert instep.ok("count", "6/7").startswith("7 and 6 wrapped: as it should be.")
    told = instep.ok("count", "5/5")
    assert "heel first half row 10 or heel second half row 12" in told
    assert "instep at 10 --section 'heel first half'" in told
    assert "write 7/6" in instep.ok("count")
    left = json.loads(instep.ok("left", "--json"))
    assert (left["section"], left["done"], left["planned"]) == ("heel first half", 13, 22)
    assert [(one["name"], one["stitches"]) for one in left["needles"]] == [("heel", 32)]
    instep.ok("tick", "31")
    assert "the closing round" in instep.ok("left")
    assert "the heel is closed" in instep.ok("tick")
    assert "there is no length to take at the heel" not in instep.ok("measure", "6 cm")


def test_a_stage_names_the_heel_whatever_its_construction(instep: Instep, tmp_path: Path) -> None:
    for kind in KINDS:
        plan = Path(plan_of(kind, tmp_path))
        stage = '\n\n[[stage]]\nsections = ["cuff", "leg"]\n\n[[stage]]\nsections = ["heel"]\n'
        plan.write_text(plan.read_text("utf-8") + stage, "utf-8")
        page = instep.ok("write", str(plan), "--stage", "2")
        assert "Heel" in page
        assert "Cuff (" not in page
