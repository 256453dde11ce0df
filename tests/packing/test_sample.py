"""The packed sample: it is sound, can be knitted on, and is what its script makes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Instep, instep
from tests.packing import second_watch
from tracker.samples import samples
from tracker.storage.pack import Pack
from tracker.storage.pack_file import read_pack

__all__ = ["instep"]
SAMPLE = Path(__file__).parents[2] / "sample_projects" / "second-watch.pack"


def test_it_is_among_the_samples_and_can_be_knitted_on(instep: Instep) -> None:
    assert str(SAMPLE) in instep.ok("samples").splitlines()
    instep.now("2026-02-18T20:00:00+01:00")
    said = instep.line("unpack", str(SAMPLE))
    assert said.startswith("second-watch is in the basket, with ")
    assert "Sock two, heel turn: row 6 of 14 is done" in said
    left = instep.json("tick")
    assert (left["sock"], left["section"], left["done"], left["in_step"]) == (2, "turn", 7, True)
    assert instep.ok("check") == "Every pair in the basket is sound.\n"
    assert samples()[-1] == SAMPLE


def test_it_is_what_its_script_makes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = tmp_path / "second-watch.pack"
    second_watch.make(made)
    assert events(read_pack(str(made))) == events(read_pack(str(SAMPLE)))
    assert capsys.readouterr().out.splitlines()[-1] == f"second-watch is packed: {made}"


def events(pack: Pack) -> list[tuple[object, ...]]:
    """Every event but for its random bytes."""
    return [tuple(row._replace(uid=b"")) for row in pack.rows]
