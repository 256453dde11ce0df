"""A plan that leaves foot and gauge to the knitter: without a terminal one line says what to write."""

from __future__ import annotations

from pathlib import Path

import pytest

from tracker.cli import main

SAMPLE = Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"
FOOT = '[foot]\ncircumference = "23.6 cm"\nlength = "24.5 cm"\n\n'
GAUGE = '[gauge]\nstitches = 30\nrows = 42\nper = "10 cm"\n\n'


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "basket.db"))
    monkeypatch.chdir(tmp_path)


def class_file(*without: str) -> Path:
    text = SAMPLE.read_text(encoding="utf-8")
    for part in without:
        assert text.count(part) == 1
        text = text.replace(part, "")
    file = Path("class.toml")
    file.write_text(text, encoding="utf-8")
    return file


@pytest.mark.parametrize("words", [["start"], ["plan"], ["check"], ["knit"], []])
@pytest.mark.parametrize(
    ("without", "open_", "under"),
    [
        ((FOOT, GAUGE), "foot and gauge are left open", ("[foot]", "[gauge]")),
        ((FOOT,), "foot is left open", ("[foot]",)),
        ((GAUGE,), "gauge is left open", ("[gauge]",)),
    ],
    ids=["both", "foot", "gauge"],
)
def test_one_line_says_what_is_left_open_and_what_to_write(
    words: list[str],
    without: tuple[str, ...],
    open_: str,
    under: tuple[str, ...],
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main([*words, str(class_file(*without))]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    (line,) = said.err.splitlines()
    assert line.startswith(f"instep: class.toml: {open_}; write under [")
    for table, told in (
        (
            "[foot]",
            'under [foot] circumference = "23.6 cm" and length = "24.5 cm" or shoe = "EU 39"',
        ),
        ("[gauge]", 'under [gauge] stitches = 30, rows = 42 and per = "10 cm"'),
    ):
        assert (told in line) == (table in under)
    assert line.endswith("; or fill them in on a terminal: instep class.toml")


def test_what_the_line_says_to_write_works(capsys: pytest.CaptureFixture[str]) -> None:
    file = class_file(FOOT, GAUGE)
    with file.open("a", encoding="utf-8") as text:
        text.write(FOOT + GAUGE)
    assert main(["start", str(file)]) == 0


@pytest.mark.parametrize("wrong", ['set = "six"', "[foot]\nlenght = 3", "[gauges]\nrows = 3"])
def test_what_is_wrong_besides_comes_first(wrong: str, capsys: pytest.CaptureFixture[str]) -> None:
    file = class_file(FOOT, GAUGE)
    text = file.read_text(encoding="utf-8")
    if wrong.startswith("set"):
        text = text.replace('set = "five"', wrong)
    else:
        text += f"\n{wrong}\n"
    file.write_text(text, encoding="utf-8")
    assert main(["start", str(file)]) == 1
    said = capsys.readouterr().err
    assert "left open" not in said
    assert "class.toml, line " in said
