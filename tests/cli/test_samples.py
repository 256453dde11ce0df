"""Every sample in its folder: what it says of itself, that both socks come out, print and first ticks."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Instep
from tracker.pattern import mirror
from tracker.pattern.audit import audit
from tracker.pattern.feet import of_sock_two
from tracker.samples import about
from tracker.storage.pattern_file import open_file

FOLDER = Path(__file__).parents[2] / "sample_projects"
PLANS = sorted(FOLDER.glob("*.toml"))
PACKS = sorted(FOLDER.glob("*.pack"))
SECOND_STAGE = "-two"
"""How the name of a file ends that is appended to the one ending in "-one"."""

every_plan = pytest.mark.parametrize("plan", PLANS, ids=lambda path: path.stem)


def test_nothing_else_lies_there() -> None:
    assert sorted(FOLDER.iterdir()) == sorted([*PLANS, *PACKS])
    assert len({about(plan) for plan in PLANS}) == len(PLANS) > 0


@every_plan
def test_its_first_line_says_what_it_shows(plan: Path) -> None:
    first, second, *_ = plan.read_text("utf-8").splitlines()
    assert first.startswith("# ")
    assert first.endswith(".")
    assert len(first) <= 110
    assert second.startswith("title = ")
    assert about(plan) == first.removeprefix("# ").removesuffix(".")


@every_plan
def test_both_socks_come_out(instep: Instep, plan: Path) -> None:
    code, said, notes = instep.run("check", str(plan))
    assert (code, said) == (0, "Every row comes out.\n")
    assert "No number" not in notes
    opened = open_file(str(plan))
    assert audit(opened.document) == ()
    second = mirror.document(opened.document, opened.pattern, of_sock_two(opened.pattern))
    assert audit(second) == ()


@every_plan
@pytest.mark.parametrize("ending", ["txt", "md", "html"])
def test_it_is_printed(instep: Instep, plan: Path, ending: str, tmp_path: Path) -> None:
    page = tmp_path / f"page.{ending}"
    code, _, said = instep.run("write", str(plan), "-o", str(page))
    assert code == 0, said
    pattern = open_file(str(plan)).pattern
    told = " ".join(page.read_text("utf-8").split())
    assert pattern.title in told
    for section in pattern.sections:
        assert section.name.lower().removeprefix("heel ") in told.lower()


@every_plan
def test_it_is_begun(instep: Instep, plan: Path) -> None:
    begun = plan
    if plan.stem.endswith(SECOND_STAGE):
        begun = plan.with_stem(plan.stem.removesuffix(SECOND_STAGE) + "-one")
    code, said, notes = instep.run("start", str(begun))
    named = open_file(str(begun)).pattern.title.lower().replace(" ", "-")
    assert (code, said) == (0, f"{named}\n"), notes
    if begun != plan:
        assert instep.ok("append", str(plan)).startswith("The pattern goes on with ")
    pattern = open_file(str(plan)).pattern
    for sock in ("1", "2"):
        instep.ok("tick", "4", "--sock", sock)
        left = instep.json("left", "--sock", sock)
        assert (left["section"], left["done"]) == (pattern.sections[0].name, 4)
    assert instep.ok("check") == "Every pair in the basket is sound.\n"


@pytest.mark.parametrize("pack", PACKS, ids=lambda path: path.stem)
def test_a_pack_is_unpacked_and_knitted_on(instep: Instep, pack: Path) -> None:
    assert instep.line("unpack", str(pack)).startswith(f"{pack.stem} is in the basket")
    done = instep.json("left")["done"]
    assert instep.json("tick")["done"] == done + 1
