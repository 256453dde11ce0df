"""What a shell is offered: asked as argcomplete's shell code asks, and by bash itself."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from argparse import Namespace
from pathlib import Path

import pytest

from tests.cli.conftest import Instep
from tracker.clock import now
from tracker.commands import completing
from tracker.commands.completing import SHELLS
from tracker.commands.table import COMMANDS
from tracker.session import Session
from tracker.storage.basket import Basket


def offered(line: str, folder: Path, basket: Path) -> list[str]:
    """What stands to choose after a line, as a shell gets it: on the file 8, one in a line."""
    told = folder / "told"
    asked = {
        "_ARGCOMPLETE": "1", "_ARGCOMPLETE_IFS": "\n", "_ARGCOMPLETE_STDOUT_FILENAME": str(told),
        "_ARGCOMPLETE_SUPPRESS_SPACE": "1", "COMP_LINE": line, "COMP_POINT": str(len(line)),
        "INSTEP_BASKET": str(basket),
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-m", "tracker"], env=os.environ | asked, cwd=folder,
        stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    return [one.strip() for one in told.read_text(encoding="utf-8").split("\n")]


def test_commands(instep: Instep, tmp_path: Path) -> None:
    assert {"left", "lifeline"} <= set(offered("instep l", tmp_path, instep.basket))
    assert set(COMMANDS) <= set(offered("instep ", tmp_path, instep.basket))
    assert not instep.basket.exists(), "asking makes no basket"


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("instep away n", ["night-ferry"]),
        ("instep left --pair ", ["night-ferry"]),
        ("instep left --j", ["--json"]),
        ("instep rip 3 --section t", ["turn", "toe"]),
        ("instep plan m", ["mine.toml"]),
        ("instep settings lo", ["look"]),
        ("instep settings look ", ["dark", "light", "high contrast"]),
        ("instep answer v", ["void"]),
        ("instep measure 4 cm --from c", ["cast-on", "cuff"]),
        ("instep completion f", ["fish"]),
    ],
    ids=lambda case: case if isinstance(case, str) else "",
)
def test_words(pair: Instep, tmp_path: Path, line: str, expected: list[str]) -> None:
    (tmp_path / "mine.toml").touch()
    (tmp_path / "mine.txt").touch()
    found = [one.replace("\\ ", " ") for one in offered(line, tmp_path, pair.basket)]
    assert sorted(found) == sorted(expected)


def test_a_basket_that_is_none_offers_nothing(tmp_path: Path) -> None:
    (tmp_path / "broken.db").write_text("no basket", encoding="utf-8")
    assert offered("instep away n", tmp_path, tmp_path / "broken.db") == [""]


@pytest.mark.parametrize("line", ["instep away n", "instep rip 3 --section t"])
def test_what_is_said_once_of_a_damaged_log_is_not_said_to_a_shell(
    pair: Instep, tmp_path: Path, line: str
) -> None:
    with Basket.open(pair.basket) as basket:
        session = Session(basket, basket.find(None), now)
        for _ in range(6):
            session.tick()
        left = shutil.copytree(pair.basket.parent, tmp_path / "left") / pair.basket.name
    log = left.with_name(f"{left.name}-wal")
    turned = bytearray(log.read_bytes())
    turned[32 + 24 + 200 + 4_120] ^= 1
    log.write_bytes(turned)
    before = {one.name: one.read_bytes() for one in left.parent.iterdir() if one.is_file()}
    assert offered(line, tmp_path, left) == [""]
    assert {one.name: one.read_bytes() for one in left.parent.iterdir() if one.is_file()} == before
    assert "the log that a killed program left is damaged" in pair.wrong(
        "left", "--basket", str(left)
    )


def test_asking_leaves_a_basket_and_its_folder_as_they_are(pair: Instep, tmp_path: Path) -> None:
    before = pair.basket.read_bytes(), sorted(os.listdir(pair.basket.parent))
    assert offered("instep away n", tmp_path, pair.basket) == ["night-ferry"]
    after = sorted({*os.listdir(pair.basket.parent)} - {"told"})
    assert (pair.basket.read_bytes(), after) == before
    turned = bytearray(before[0])
    turned[60:64] = bytes(4)
    pair.basket.write_bytes(turned)
    assert offered("instep away n", tmp_path, pair.basket) == [""], "of another form"
    assert pair.basket.read_bytes() == turned


def test_a_strangers_control_signs_do_not_reach_the_shell(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    names = ["toe", "to\x1b[31me", "t\a", "tu\u202ern", "a long name of a section, " * 3]
    monkeypatch.setattr(Basket, "pairs", lambda *_, away: [] if away else map(_named, names))
    offer = completing._pairs(Namespace(basket=str(pair.basket)))
    assert offer == [names[0], names[-1]]


def _named(short: str) -> Namespace:
    return Namespace(short=short)


@pytest.mark.parametrize("shell", SHELLS)
def test_each_shell_is_told(instep: Instep, shell: str) -> None:
    told = instep.ok("completion", shell)
    assert "_ARGCOMPLETE" in told
    assert "instep" in told
    if found := shutil.which(shell):
        subprocess.run([found, "-n"], input=told, text=True, check=True)


def test_another_shell(instep: Instep) -> None:
    assert "invalid choice: 'tcl'" in instep.usage("completion", "tcl")


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash here")
def test_bash_completes(pair: Instep, tmp_path: Path) -> None:
    """In bash itself, with what `instep completion bash` prints."""
    code = tmp_path / "completion.bash"
    code.write_text(pair.ok("completion", "bash"), encoding="utf-8")
    command = tmp_path / "instep"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m tracker "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    asked = """
        source "$CODE"
        COMP_WORDS=(instep away n); COMP_CWORD=2; COMP_LINE="instep away n"
        COMP_POINT=${#COMP_LINE}; COMP_TYPE=9
        _python_argcomplete instep
        printf '%s\\n' "${COMPREPLY[@]}"
    """
    path = f"{tmp_path}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        ["bash", "-c", asked], env=os.environ | {"CODE": str(code), "PATH": path},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (done.stdout.strip(), done.returncode) == ("night-ferry", 0), done.stderr
