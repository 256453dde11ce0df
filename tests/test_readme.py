"""What the README shows is what the program prints."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from itertools import takewhile
from pathlib import Path
from shutil import rmtree

import pytest

from tests.test_checkpoints import often
from tracker.cli import main
from tracker.clock import now
from tracker.pattern.fit import (
    BABY_EASE,
    BABY_FOOT_MM,
    BABY_ROOM_MM,
    FABRICS,
    NO_SPRING_EASE,
    NO_SPRING_FOOT,
    NO_SPRING_STRETCH,
)
from tracker.pattern.model import CUFF_ROW_FACTOR
from tracker.pattern.tables import _SECTION, _TOP
from tracker.session import Session
from tracker.storage.backups import back_up
from tracker.storage.basket import Basket

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_no_head_stands_twice(name: str) -> None:
    told = re.sub(r"(?ms)^```.*?^```", "", (ROOT / name).read_text())
    heads = re.findall(r"(?m)^#+ .*", told)
    assert sorted(heads) == sorted(set(heads))


def test_the_contents_name_every_head() -> None:
    """In its order, and each leads there."""
    told = re.sub(r"(?ms)^```.*?^```", "", (ROOT / "README.md").read_text())
    contents = re.findall(r"\[([^]]+)\]\s?\(#([^)]+)\)", told)
    assert [head for head, _ in contents] == re.findall(r"(?m)^## (.*)$", told)
    for head, link in contents:
        assert link == re.sub(r"[^\w -]", "", head.lower()).replace(" ", "-")


def test_the_quick_check_is_as_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "basket.db"))
    monkeypatch.setenv("INSTEP_NOW", "2026-03-12T20:15:00+01:00")
    assert main(["start", str(ROOT / "sample_projects" / "night-ferry.toml")]) == 0
    assert main(["tick", "22"]) == 0
    assert main(["tick", "18"]) == 0
    capsys.readouterr()
    assert main(["left"]) == 0
    printed = capsys.readouterr().out
    assert f"$ instep left\n{printed}```" in (ROOT / "README.md").read_text()


def test_the_print_is_as_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "basket.db"))
    monkeypatch.setenv("INSTEP_NOW", "2026-03-12T20:15:00+01:00")
    sample = str(ROOT / "sample_projects" / "night-ferry.toml")
    assert main(["start", sample]) == 0
    for words in ("tick 22", "tick 46", "end", "tick 13", "other", "tick 22", "tick 44"):
        assert main(words.split()) == 0
    assert main(["end", "--at", "44"]) == 0
    capsys.readouterr()
    assert main(["write", "night-ferry"]) == 0
    printed = capsys.readouterr().out
    shown = (ROOT / "README.md").read_text().partition("$ instep write night-ferry\n")[2]
    for piece in shown.partition("```")[0].split("...\n"):
        assert piece in printed
    assert main(["write", sample, "--sizes", "48,56,60"]) == 0
    printed = capsys.readouterr().out
    shown = (ROOT / "README.md").read_text().partition("--sizes 48,56,60\n...\n")[2]
    assert f"\n{shown.partition('```')[0]}" in printed


def test_the_stages_are_as_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "basket.db"))
    monkeypatch.setenv("INSTEP_NOW", "2026-03-09T20:15:00+01:00")
    one, two = (str(ROOT / "sample_projects" / f"quay-steps-{n}.toml") for n in ("one", "two"))
    assert main(["start", one]) == 0
    for words in ("tick 10", "tick 16", "end"):
        assert main(words.split()) == 0
    capsys.readouterr()
    assert main(["left"]) == 0
    left = capsys.readouterr().out
    shown = (ROOT / "README.md").read_text().partition("$ instep left\nQuay steps")[2]
    first, _, then = shown.partition("```")[0].partition("...\n$ instep append")
    assert left.startswith(f"Quay steps{first}")
    assert main(["append", two]) == 0
    assert capsys.readouterr().out == then.partition("\n")[2]


def test_the_way_back_is_as_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    basket = tmp_path / "basket.db"
    monkeypatch.setenv("INSTEP_BASKET", str(basket))
    monkeypatch.setenv("INSTEP_NOW", "2026-03-12T20:15:00+01:00")
    assert main(["start", str(ROOT / "sample_projects" / "night-ferry.toml")]) == 0
    for _ in range(3):
        assert main(["tick"]) == 0
    back_up(basket, now())
    with closing(sqlite3.connect(basket)) as outside, outside:
        query = "SELECT sql FROM sqlite_schema WHERE name = 'event_is_never_changed'"
        (guard,) = outside.execute(query).fetchone()
        outside.execute("DROP TRIGGER event_is_never_changed")
        outside.execute("UPDATE event SET at = 0 WHERE number = 3")
        outside.execute(guard)
    capsys.readouterr()
    assert main(["check"]) == 1
    assert main(["mend"]) == 0
    out, err = capsys.readouterr()
    told = f"$ instep check\n{err}$ instep mend\n{out}```".replace(f"{tmp_path}/", "")
    assert told in (ROOT / "README.md").read_text()


def test_packing_and_the_circle_are_as_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "basket.db"))
    monkeypatch.setenv("INSTEP_NOW", "2026-03-12T20:15:00+01:00")
    monkeypatch.chdir(tmp_path)
    text = (ROOT / "README.md").read_text()
    shown = text.partition("$ instep pack night-ferry")[2].partition("```")[0].splitlines()
    sample = (ROOT / "sample_projects" / "night-ferry.toml").read_text()
    assert main(["start", str(ROOT / "sample_projects" / "night-ferry.toml")]) == 0
    assert main(["tick", "22"]) == 0
    assert main(["tick", "18"]) == 0
    capsys.readouterr()
    assert main(["pack", "night-ferry", "night-ferry.pack"]) == 0
    monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "other.db"))
    assert main(["unpack", "night-ferry.pack"]) == 0
    assert capsys.readouterr().out.splitlines() == [shown[1], shown[3]]
    Path("class").mkdir()
    for name, words in _CLASS.items():
        plan = Path(f"{name}.toml")
        plan.write_text(f'knitter = "{name}"\n{sample}')
        assert main(["start", str(plan)]) == 0
        for told in words:
            assert main(told) == 0
        pair = capsys.readouterr().out.split()[0]
        assert main(["pack", pair, f"class/{name}.pack"]) == 0
        capsys.readouterr()
    assert main(["circle", "class/"]) == 0
    assert f"$ instep circle class/\n{capsys.readouterr().out}```" in text


_CLASS = {
    "Ash": [["tick", "5"]],
    "Bea": [["tick", "30"], ["note", "? how long"]],
    "Cay": [["tick", "7"], ["count", "63"]],
}


def test_the_plan_shown_is_one_that_works(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (ROOT / "README.md").read_text()
    plan = text.partition("```toml\n")[2].partition("```")[0]
    file = tmp_path / "plan.toml"
    file.write_text(plan)
    assert main(["check", str(file)]) == 0
    assert capsys.readouterr().err == ""


def test_the_pattern_by_hand_shown_is_one_that_works(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (ROOT / "README.md").read_text().partition("## A pattern by hand")[2]
    file = tmp_path / "hat.toml"
    file.write_text(text.partition("```toml\n")[2].partition("```")[0])
    assert main(["check", str(file)]) == 0
    assert capsys.readouterr().err == ""


def test_the_fabrics_are_those_of_the_program() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text()
    for name, fabric in FABRICS.items():
        ease, (low, high), stretch, rows = fabric
        told = f"| {name} | {ease:.2f} | {low:.2f} to {high:.2f} | {stretch:.2f} | {rows:.2f} |"
        assert told in text
    assert (
        len(FABRICS) == text.partition("| fabric | ease |")[2].partition("\n\n")[0].count("\n") - 1
    )
    joined = " ".join(text.split())
    for told in (
        f"A cuff has {CUFF_ROW_FACTOR:.2f} times the swatch's rows",
        f"ease {NO_SPRING_EASE:.2f} more, stretch {-NO_SPRING_STRETCH:.2f} less, the foot"
        f" {NO_SPRING_FOOT:.2f} of what it would be",
        f"less than {BABY_FOOT_MM:g} mm is a baby's: ease {BABY_EASE:.2f}, the sock"
        f" {BABY_ROOM_MM:g} mm longer",
    ):
        assert told in joined


def test_the_keys_of_a_pattern_by_hand_are_those_of_the_program() -> None:
    text = (ROOT / "README.md").read_text().partition("## A pattern by hand")[2]
    in_section, _, at_top = text.partition("| at the top | says |")
    assert _first_cells(in_section.partition("| in a `[[section]]` | says |")[2]) == set(_SECTION)
    assert _first_cells(at_top) == {*_TOP, "colours"}


def _first_cells(text: str) -> set[str]:
    """The words in code in the first cells of the table that begins here."""
    rows = takewhile(lambda line: line.startswith("|"), text.strip().splitlines())
    return {word for row in rows for word in re.findall(r"`\[?(\w+)\]?`", row.split("|")[1])}


def test_the_defaults_that_follow_the_fabric_are_those_of_the_program() -> None:
    told = " ".join((ROOT / "README.md").read_text().split())
    plain, rib = FABRICS["plain"], FABRICS["rib"]
    cable, stranded = FABRICS["cable"], FABRICS["stranded"]
    assert plain.ease == rib.ease
    assert plain.row_factor == rib.row_factor
    for said in (
        f"`leg.ease` {plain.ease:.2f} (a baby's {BABY_EASE:.2f})",
        f"`leg.stretch` {plain.stretch:.2f} plain and {rib.stretch:.2f} ribbed",
        f"`leg.row_factor` {plain.row_factor:.2f} and `cuff.row_factor` {CUFF_ROW_FACTOR:.2f}",
        f"Lace has an ease of {FABRICS['lace'].ease:.2f}; cables have {cable.ease:.2f} and a stretch of"
        f" {cable.stretch:.2f}, two colours {stranded.ease:.2f} and {stranded.stretch:.2f}",
        f"the ease {NO_SPRING_EASE:.2f} more and the stretch {-NO_SPRING_STRETCH:.2f} less",
    ):
        assert said in told


def test_every_file_beside_the_basket_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What may be deleted at any time is missed by nobody, and the basket alone is all of it."""
    rows = re.findall(
        r"(?m)^\| (`basket\.db.*?) \| .* \| (.*) \|$", (ROOT / "README.md").read_text()
    )
    named = {name: may for cell, may in rows for name in re.findall("`(.*?)`", cell)}
    folder, elsewhere = tmp_path / "one", tmp_path / "two"
    monkeypatch.setenv("INSTEP_BASKET", str(folder / "basket.db"))
    for words in (
        ["start", str(ROOT / "sample_projects" / "night-ferry.toml")],
        ["tick", "22"],
        ["left"],
    ):
        assert main(words) == 0
    back_up(folder / "basket.db", now())
    with often(), Basket.open(folder / "basket.db") as basket:
        session = Session(basket, basket.find(None), now)
        for _ in range(30):
            session.tick()
        Session(basket, basket.find(None), now)  # it keeps where the pair was
        there = {path.name for path in folder.iterdir()}
    assert {"basket.db-wal", "basket.db-shm", "basket.db-answers", "basket.db-backups"} <= there
    assert "basket.db-checkpoints" in there
    assert there <= named.keys()
    assert main(["left"]) == 0
    capsys.readouterr()
    assert main(["left"]) == 0
    told = capsys.readouterr().out
    for name, may in named.items():
        if may == "at any time":
            gone = folder / name
            rmtree(gone) if gone.is_dir() else gone.unlink()
    assert main(["left"]) == 0
    elsewhere.mkdir()
    (elsewhere / "basket.db").write_bytes((folder / "basket.db").read_bytes())
    assert main(["left", "--basket", str(elsewhere / "basket.db")]) == 0
    assert capsys.readouterr().out == 2 * told
