"""Errors in print, written down by hand: `instep check` rejects each, naming the row; the correct
form beside it passes.

Heel instructions collected from pattern pages of 2002 to 2007 (data/errors_in_print.toml names
each), and the misprints of Mrs. George Cupples, "The Stocking-Knitter's Manual", Johnstone, Hunter
& Co., Edinburgh, about 1867 (Project Gutenberg 57273).
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from tests.pattern.test_published_socks import CUPPLES, Stocking
from tracker.check import Problem, check_file

ERRORS: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "data" / "errors_in_print.toml").read_text()
)["error"]


def checked(tmp_path: Path, *sections: str) -> list[Problem]:
    file = tmp_path / "printed.toml"
    file.write_text('title = "As printed"\n' + "".join(f"\n[[section]]\n{s}\n" for s in sections))
    return list(check_file(str(file)).problems)


def turn(stitches: int, rows: Sequence[str]) -> str:
    """A heel turn by hand, a row a line: it is known by its name."""
    lines = "".join(f'  "{row}",\n' for row in rows)
    return f'name = "heel turn"\nworked = "rows"\nneedles = [{stitches}]\nrows = [\n{lines}]'


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: error["source"].split(",")[0])
def test_a_printed_error_is_rejected_at_its_row(tmp_path: Path, error: dict[str, Any]) -> None:
    (found,) = checked(tmp_path, turn(error["stitches"], error["printed"]))
    # Title, an empty line, [[section]], four lines, and then the rows.
    assert (found.row, found.line) == (error["row"], 7 + error["row"])
    assert found.problem == error["problem"]
    assert found.instead


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: error["source"].split(",")[0])
def test_the_correct_form_passes(tmp_path: Path, error: dict[str, Any]) -> None:
    assert checked(tmp_path, turn(error["stitches"], error["right"])) == []


def leg_and_heel(size: Stocking, ankle: int, front: int) -> tuple[str, str]:
    """The intakes down to the ankle, then the heel on two sides and a seam stitch."""
    return (
        f'name = "leg"\nworked = "rounds"\nneedles = [{size.cast_on}]\n'
        f'rows = ["M1 {size.increase}, k2tog {size.intakes}, k to end = {ankle}"]',
        f'name = "heel"\nworked = "rows"\nneedles = [{2 * size.side + 1}]\nresting = [{front}]\n'
        'rows = ["RS: sl1, k", "WS: sl1, p"]',
    )


@pytest.mark.parametrize("size", CUPPLES, ids=lambda size: size.who)
def test_cupples_ankles_and_heels_as_printed(tmp_path: Path, size: Stocking) -> None:
    """A: cast on + increase - intakes = ankle. B: 2 * side + 1 + front = ankle."""
    found = checked(tmp_path, *leg_and_heel(size, size.ankle, size.front))
    places = [(problem.section, problem.row) for problem in found]
    there = size.cast_on + size.increase - size.intakes
    if "A" in size.misprints:
        assert places[0] == ("leg", 1)
        assert found[0].problem == f"it leaves {there}, the claim says {size.ankle}"
    elif "B" in size.misprints:
        assert places == [("heel", None)]
        wanted = 2 * size.side + 1 + size.front
        assert found[0].problem == f"{there} stitches are there, the section begins with {wanted}"
    else:
        assert places == []


@pytest.mark.parametrize("size", CUPPLES, ids=lambda size: size.who)
def test_cupples_corrected(tmp_path: Path, size: Stocking) -> None:
    """What the printed numbers come to, and a front that is the rest of it."""
    ankle = size.cast_on + size.increase - size.intakes
    assert checked(tmp_path, *leg_and_heel(size, ankle, ankle - 2 * size.side - 1)) == []


@pytest.mark.parametrize("size", CUPPLES, ids=lambda size: size.who)
def test_cupples_gussets(tmp_path: Path, size: Stocking) -> None:
    """C: those picked up on an edge, less the gusset's decreases, are the side again."""
    for claim, right in (
        (size.side, "C" not in size.misprints),
        (size.pick_up - size.gusset, True),
    ):
        side = (
            f'name = "side"\nworked = "rounds"\nneedles = [{size.pick_up}]\n'
            f'rows = ["k2tog {size.gusset}, k to end = {claim}"]'
        )
        found = checked(tmp_path, side)
        assert [problem.row for problem in found] == ([] if right else [1])
