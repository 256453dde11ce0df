"""`instep check` on patterns by hand: every error with its line, section and row, and no false one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Instep

MANY = """\
title = "Many errors at once"
need1es = "five"                                   #! "need1es" is no key

[[section]]
name = "cuff"
worked = "rounds"
needles = [16, 16, 16, 16]
repeats = 10                                       #! "repeats" is no key | write repeat
rows = [
  # a remark is no row, nor is an empty line

  "*k2, p2; rep from * to end = 64",
  "*k2, p2; rep from * to end = 62",               #! it leaves 64, the claim says 62 | write = 64
  "k2, fluff 2, k to end = 64",                    #! "fluff 2" is not known
  "[k2, p2 3 times | k | k | k = 64",              #! a "]" is missing in "[k2, p2 3 times"
  "k, turn = 64",                                  #! a round does not turn
  "RS: k = 64",                                    #! a round has no RS
  "k to last 3,k2tog,k1 | k | k | k1,ssk,k = 15/16/16/16", #! it leaves 15/16/16/15 | write = 15/16/16/15
]

[[section]]
name = "leg"
worked = "rounds"
until = "15"                                       #! "15" has no unit
rows = [
  "k14 | k | k | k = 15/16/16/15",                 #! 1 stitch is left unworked on needle 1
  "k14, k2tog, k to end",                          #! a decrease lies across two needles | write = 15/15/16/15
  "k | k | k",                                     #! 3 needles are written, 4 hold stitches
  "k, bobble",                                     #! "bobble" is not known
]

[[section]]
name = "heel"
rows = ["k"]                                       #<

[[section]]
name = "flap"
worked = "rows"
needles = [32]
rows = [
  "RS: sl1, k", "WS: sl1, p10",                    #! 21 stitches are left unworked
  "k",                                             #! a flat row says its side | begin it with RS:
  "RS: p",                                         #! the work lies WS up | begin it with WS:
]

[[section]]
name = "foot"
worked = "rounds"
needles = [20, 20]
repeat = 0                                         #! repeat is
rows = ["k = 40"]

[[section]]
name = "foot"
worked = "rounds"
needles = [16, 15]                                 #! 40 stitches are there, the section begins with 31
rows = ["k = 31", "k = 31", "k = 30"]              #! it leaves 31, the claim says 30
"""
"""Behind "#!" stands what is said of that line, and behind "|" what to write instead."""


def expected(text: str) -> list[tuple[int, str, str]]:
    """(line, what is wrong, what to write) as the remarks have it."""
    wanted = []
    for number, line in enumerate(text.splitlines(), start=1):
        if "#!" in line:
            problem, _, instead = line.partition("#!")[2].partition(" | ")
            wanted.append((number, problem.strip(), instead.strip()))
    return wanted


def test_every_error_of_many_is_named_at_its_line_and_none_besides(
    instep: Instep, tmp_path: Path
) -> None:
    file = tmp_path / "many.toml"
    file.write_text(MANY)
    code, out, err = instep.run("check", str(file), "--json")
    assert (code, err) == (1, "")
    import json

    answer = json.loads(out)
    assert answer["ok"] is False
    heel = 1 + MANY.splitlines().index('name = "heel"')
    wanted = sorted([*expected(MANY), (heel - 1, "worked is missing", "")])
    found = answer["problems"]
    assert [problem["line"] for problem in found] == [line for line, _, _ in wanted]
    for problem, (_, what, instead) in zip(found, wanted, strict=True):
        assert problem["problem"].startswith(what)
        assert instead in problem["instead"]
        assert problem["instead"]
    assert len(wanted) >= 17


def test_they_are_said_in_the_order_of_the_file_with_section_and_row(
    instep: Instep, tmp_path: Path
) -> None:
    file = tmp_path / "many.toml"
    file.write_text(MANY)
    code, out, err = instep.run("check", str(file))
    assert (code, out) == (1, "")
    lines = [line.removeprefix(f"instep: {file}, ") for line in err.splitlines()]
    assert lines[2] == ("line 13, cuff, row 2: it leaves 64, the claim says 62; write = 64")
    numbers = [int(line.split()[1].strip(",:")) for line in lines]
    assert numbers == sorted(numbers)


@pytest.mark.parametrize(
    ("rows", "line"),
    [
        ('["RS: k", "RS: p", "RS: k", "WS: p"]', 6),  # a slip in one row: the others stand
        ('["RS: k", "RS: k", "WS: p", "RS: k"]', 6),  # a row forgotten: it goes on from there
        ('[\n"RS: k",\n"WS: p",\n"p",\n"WS: p",\n]', 9),
    ],
)
def test_one_wrong_side_is_one_error(instep: Instep, tmp_path: Path, rows: str, line: int) -> None:
    file = tmp_path / "sides.toml"
    file.write_text(
        f'title = "Sides"\n[[section]]\nname = "a"\nworked = "rows"\nneedles = [10]\nrows = {rows}\n'
    )
    code, _, err = instep.run("check", str(file))
    assert code == 1
    assert err.count("\n") == 1
    assert f"line {line}, a, row " in err


def test_after_a_row_that_says_nothing_the_next_claim_takes_the_work_up_again(
    instep: Instep, tmp_path: Path
) -> None:
    """Row 1 cannot be read; row 3 says what every needle holds, and row 4 is counted from it."""
    file = tmp_path / "again.toml"
    file.write_text(
        'title = "Again"\n[[section]]\nname = "a"\nworked = "rounds"\nneedles = [10, 10]\nrows = [\n'
        '"k, ??",\n"k",\n"k | k = 9/10",\n"k2tog, k | k = 9/10",\n]\n'
    )
    problems = instep.run("check", str(file))[2].splitlines()
    assert [problem.partition(", ")[2] for problem in problems] == [
        'line 7, a, row 1: "??" is not known; write a stitch such as k3, ssk or [k2, p2] 4 times',
        "line 10, a, row 4: it leaves 8/10, the claim says 9/10; write = 8/10",
    ]


def test_what_is_of_the_wrong_kind_stands_beside_what_does_not_come_out(
    instep: Instep, tmp_path: Path
) -> None:
    file = tmp_path / "kinds.toml"
    file.write_text(
        'title = 7\nhand = "both"\n[gauge]\nstitches = 20\n[[section]]\nname = "a"\n'
        'worked = "round"\nneedles = [10]\nrows = ["k9"]\n'
    )
    problems = instep.run("check", str(file), "--json")[1]
    import json

    found = [(problem["line"], problem["problem"]) for problem in json.loads(problems)["problems"]]
    assert found == [
        (1, "title is a text"), (2, "hand is not known"), (3, "gauge does not say enough"),
        (7, "worked is not known"), (9, "1 stitch is left unworked on the needle"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("worked", "rows", "instead"),
    [
        ('worked = "rnds"', '["k", "k5, k2tog, k"]', 'write worked = "rounds"'),
        ('worked = "flat"', '["RS: k", "WS: p"]', 'write worked = "rows"'),
        ("", '["RS: k", "WS: p", "k"]', 'write worked = "rows"'),
        ("", '["k", "RS: k", "p"]', 'write worked = "rounds"'),
    ],
)
def test_how_a_section_is_most_likely_worked_is_named_and_nothing_that_follows(
    instep: Instep, tmp_path: Path, worked: str, rows: str, instead: str
) -> None:
    file = tmp_path / "worked.toml"
    file.write_text(
        f'title = "Worked"\n[[section]]\nname = "a"\n{worked}\nneedles = [10]\nrows = {rows}\n'
    )
    (line,) = instep.run("check", str(file))[2].splitlines()
    assert line.endswith(f"; {instead}")


@pytest.mark.parametrize(
    ("header", "problem"),
    [
        ("[[sections]]", '"sections" is no key of a pattern; write [[section]]'),
        ("[[Section]]", '"Section" is no key of a pattern; write [[section]]'),
        ("[section]", "sections are a list of tables; write [[section]]"),
        ("[hat]", '"hat" is no key of a pattern; write [[section]]'),
        ("[[row]]", '"row" is no key of a pattern; write [[section]]'),
    ],
)
def test_a_section_with_another_name_makes_no_plan_of_it(
    instep: Instep, tmp_path: Path, header: str, problem: str
) -> None:
    file = tmp_path / "sections.toml"
    file.write_text(
        f'title = "Cuff"\n{header}\nname = "a"\nworked = "rounds"\nneedles = [9]\nrows = ["k"]\n'
    )
    for command in ("check", "start"):
        (line,) = instep.run(command, str(file))[2].splitlines()
        assert line.endswith(f", line 2: {problem}")


def test_a_key_misspelt_is_not_said_to_be_missing_besides(instep: Instep, tmp_path: Path) -> None:
    file = tmp_path / "row.toml"
    file.write_text(
        'title = "Row"\n[[section]]\nname = "a"\nworked = "rounds"\nneedles = [9]\nrow = ["k"]\n'
        '[[section]]\nname = "b"\nworkd = "rows"\nrows = ["RS: k"]\n'
    )
    assert [line.partition(", ")[2] for line in instep.run("check", str(file))[2].splitlines()] == [
        'line 6, a: "row" is no key of a pattern; write rows',
        'line 9, b: "workd" is no key of a pattern; write worked',
    ]


def test_what_is_said_to_be_right_is_started(instep: Instep, tmp_path: Path) -> None:
    """And what would not be started is not said to be right."""
    file = tmp_path / "names.toml"
    file.write_text(
        'title = "Names"\n[[section]]\nname = "a"\nworked = "rounds"\nneedles = [10]\n'
        'rows = ["k"]\nmark = "heel"\nuntil = "3 cm"\n'
    )
    for command in ("check", "start"):
        told = instep.wrong(command, str(file))
        assert "line 7" in told
        assert 'write mark = "cast-on" or "section"' in told


def test_starting_what_does_not_come_out_is_told(instep: Instep, tmp_path: Path) -> None:
    """A misspelt repeat does nothing, which she would see a round later only."""
    file = tmp_path / "told.toml"
    file.write_text(
        'title = "Told"\n[[section]]\nname = "a"\nworked = "rounds"\nneedles = [10]\n'
        'repeats = 10\nrows = ["k"]\n'
    )
    code, out, err = instep.run("start", str(file))
    assert (code, out) == (0, "told\n")
    assert err == (
        f'note: {file}, line 6, a: "repeats" is no key of a pattern; write repeat '
        f"(1 in all; see: instep check {file})\n"
    )
