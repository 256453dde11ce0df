"""What the README shows is what the program prints."""

from __future__ import annotations

from pathlib import Path

import pytest

from tracker.cli import main

ROOT = Path(__file__).parents[1]


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
