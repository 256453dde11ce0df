""" "-" in place of a file: what is piped in, and out to another program."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE


def pipe(patch: pytest.MonkeyPatch, data: bytes) -> None:
    patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))


@pytest.fixture
def piped(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sample plan is piped in."""
    pipe(monkeypatch, SAMPLE.read_bytes())


@pytest.mark.usefixtures("piped")
def test_a_plan_that_is_piped_in_is_the_plan_of_its_file(
    instep: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert instep.ok("plan", "-") == instep.ok("plan", str(SAMPLE))
    pipe(monkeypatch, SAMPLE.read_bytes())
    assert instep.ok("write", "-") == instep.ok("write", str(SAMPLE))


@pytest.mark.usefixtures("piped")
def test_a_pattern_goes_out_as_it_would_be_written(instep: Instep, tmp_path: Path) -> None:
    out = instep.ok("plan", "-", "-o", "-")
    instep.ok("plan", str(SAMPLE), "-o", str(tmp_path / "pattern.toml"))
    assert out == (tmp_path / "pattern.toml").read_text(encoding="utf-8")


@pytest.mark.usefixtures("piped")
def test_a_pair_is_started_and_checked_from_a_pipe(instep: Instep) -> None:
    assert instep.line("start", "-") == "night-ferry"
    assert instep.line("check", "-") == "Every row comes out."


def test_a_pattern_by_hand_is_read_twice_and_piped_once(
    instep: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    pipe(monkeypatch, b'title = "Mat"\n[[section]]\nname = "mat"\nworked = "rounds"\nneedles = [8]\n'
         b'rows = ["k = 9"]\n')  # fmt: skip
    _, out, err = instep.run("plan", "-")
    assert out == ""
    assert "what is piped in" in err


def test_a_pack_goes_through_a_pipe(
    pair: Instep, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    pair.ok("tick", "5")
    pair.ok("pack", "night-ferry", str(tmp_path / "a.pack"))
    text = pair.ok("pack", "night-ferry", "-")
    assert text == (tmp_path / "a.pack").read_text(encoding="utf-8")
    pipe(monkeypatch, text.encode())
    other = ["--basket", str(tmp_path / "other.db")]
    assert "with 2 events" in pair.line(*other, "unpack", "-")


def test_a_pack_in_a_pipe_may_be_started(
    pair: Instep, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    text = pair.ok("pack", "night-ferry", "-")
    pipe(monkeypatch, text.encode())
    assert pair.line("--basket", str(tmp_path / "other.db"), "start", "-") == "night-ferry"


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_nothing_is_waited_for_at_a_terminal(
    instep: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", Terminal())
    why = "what is piped in: nothing is piped in; name a plan file, or write: instep ... - < FILE"
    assert instep.wrong("plan", "-") == why
    assert instep.wrong("unpack", "-").startswith("what is piped in: nothing is piped in")


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "nothing came; name a plan file, or pipe one in"),
        (b"x = [", "this is not TOML"),
        (b"\xff\xfe", "it is not a text file; write the plan as TOML"),
        (b"#" * 1_000_001, "it is larger than 1 MB; a plan file is small"),
    ],
    ids=["nothing", "no TOML", "no text", "too much"],
)
def test_what_cannot_be_used_is_said_in_a_line(
    instep: Instep, monkeypatch: pytest.MonkeyPatch, data: bytes, why: str
) -> None:
    pipe(monkeypatch, data)
    assert instep.wrong("plan", "-").startswith(f"what is piped in: {why}")


@pytest.mark.usefixtures("piped")
def test_two_answers_do_not_go_into_one_pipe(instep: Instep) -> None:
    why = "--json and -o - both write here; leave one of them out"
    assert instep.wrong("plan", "-", "-o", "-", "--json") == why


def test_no_sign_of_a_stranger_leaves_for_a_terminal(
    instep: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = SAMPLE.read_text(encoding="utf-8").replace("Night ferry", "Night\u202e ferry")
    pipe(monkeypatch, text.encode())
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    assert "\u202e" not in instep.ok("plan", "-", "-o", "-")


def test_one_pack_alone_is_piped_in(pair: Instep) -> None:
    assert pair.wrong("circle", "-", "-") == "one pack is piped in; write - once"
