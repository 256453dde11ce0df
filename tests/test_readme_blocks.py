"""Every block of code in the README is run: what is typed works, what is shown as a file is read."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from tests.pattern.making import plan_text
from tracker.cli import main
from tracker.pattern.plan import FIELDS
from tracker.storage.settings_file import read_settings

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SAMPLES = ROOT / "sample_projects"


class Block(NamedTuple):
    """A fenced block: its kind, its lines, and the line of the README where it begins."""

    kind: str
    text: str
    line: int


def blocks() -> list[Block]:
    found = re.finditer(r"(?ms)^```(\w+)\n(.*?)^```", README)
    return [Block(one[1], one[2], README.count("\n", 0, one.start()) + 2) for one in found]


BLOCKS = blocks()
ELSEWHERE = frozenset({
    "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/instep"
    " sample_projects/second-watch.pack",
    "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/python -m pytest -n auto",
    ".venv/bin/pip install '.[tablet]'",
    "instep serve",
})  # fmt: skip
"""Lines that are run from nothing by `.ci/run` and by tests of the packages and of the server."""


def of_kind(kind: str) -> list[Any]:
    return [pytest.param(one, id=f"line {one.line}") for one in BLOCKS if one.kind == kind]


def test_there_are_no_other_blocks() -> None:
    assert {one.kind for one in BLOCKS} == {"sh", "toml", "text"}
    assert README.count("\n```") == 2 * len(BLOCKS)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder as the README speaks of it: her plan, the samples, the program by its name."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "basket.db"))
    monkeypatch.setenv("INSTEP_SETTINGS", str(tmp_path / "settings.toml"))
    monkeypatch.setenv("INSTEP_NOW", "2026-03-12T20:15:00+01:00")
    monkeypatch.setenv("HOME", str(tmp_path))
    shutil.copytree(SAMPLES, "sample_projects")
    shutil.copy(SAMPLES / "night-ferry.toml", "my-socks.toml")
    (tmp_path / ".config" / "fish" / "completions").mkdir(parents=True)
    program = tmp_path / "bin" / "instep"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m tracker "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{program.parent}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    return tmp_path


@pytest.mark.parametrize("block", of_kind("sh"))
def test_what_is_typed_works(block: Block, here: Path) -> None:
    lines = [line for line in block.text.splitlines() if line not in ELSEWHERE]
    for line in lines:
        shell = "bash" if shutil.which("bash") else "sh"
        if "zsh" in line and not shutil.which("zsh"):
            line = line.partition("$(")[2].rpartition(")")[
                0
            ]  # what it prints is for a shell that is not here
        done = subprocess.run(
            [shell, "-c", line], cwd=here, capture_output=True, text=True, check=False,
            stdin=subprocess.DEVNULL,
        )  # fmt: skip
        assert done.returncode == 0, (line, done.stderr)


def in_a_plan(tables: dict[str, Any]) -> str:
    """A whole plan with what is shown of one."""
    top = {field: value for field, value in tables.items() if field in FIELDS[""]}
    fields = {
        f"{name}.{field}": value
        for name, table in tables.items()
        if name not in top
        for field, value in table.items()
    }
    return plan_text(top | fields)


@pytest.mark.parametrize("block", of_kind("toml"))
def test_what_is_shown_as_a_file_is_read(
    block: Block, here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tables = tomllib.loads(block.text)
    if "section" in tables or "title" in tables:
        Path("shown.toml").write_text(block.text, encoding="utf-8")
        assert main(["check", "shown.toml"]) == 0
    elif tables.keys() <= {*FIELDS, *FIELDS[""]}:
        Path("shown.toml").write_text(in_a_plan(tables), encoding="utf-8")
        assert main(["check", "shown.toml"]) == 0
        # The foot and the gauge of that plan may be odd for it: that is a note.
        told = capsys.readouterr().err
        assert all(line.startswith("note: ") for line in told.splitlines())
    elif "stage" in tables:
        plan = Path("my-socks.toml").read_text(encoding="utf-8")
        Path("shown.toml").write_text(f"{plan}\n{block.text}", encoding="utf-8")
        assert main(["check", "shown.toml"]) == 0
    else:
        Path("settings.toml").write_text(block.text, encoding="utf-8")
        read_settings()
        assert main(["settings"]) == 0
    assert capsys.readouterr().err == ""


HELD = {
    "instep left": "the quick check and a stage",
    "instep write night-ferry": "the print",
    "instep write sample_projects/night-ferry.toml --sizes 48,56,60": "the print",
    "instep pack night-ferry night-ferry.pack": "the packing",
    "instep circle class/": "the circle",
    "instep check": "the way back",
}
"""Blocks of what is printed, by the first command in them: tests/test_readme.py holds each to the letter."""


@pytest.mark.parametrize("block", of_kind("text"))
def test_what_is_shown_as_printed_is_held(block: Block) -> None:
    typed = [line[2:] for line in block.text.splitlines() if line.startswith("$ ")]
    assert typed
    assert typed[0] in HELD
    for line in typed:
        with pytest.raises(SystemExit) as left:
            main([line.split()[1], "--help"])
        assert left.value.code == 0
