"""What is hers stays hers: no network, no log, nothing left behind, files that nobody else may read."""

from __future__ import annotations

import json
import os
import socket
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.test_real_process import COMMANDS
from tests.knitting.knitter import SAMPLE
from tests.terminal.driver import Terminal

WATCHED = """
import json, os, sys, atexit
seen, written = set(), set()
def hook(event, told):
    if event.startswith("socket.") or event.startswith(("ftplib", "http", "urllib", "smtplib", "webbrowser")):
        seen.add((event, str(told[1]) if event == "socket.__new__" else ""))
    elif event == "open" and isinstance(told[0], str):
        writes = set(told[1]) & set("wax+") if told[1] else told[2] & (os.O_WRONLY | os.O_RDWR)
        if writes:
            written.add(os.path.abspath(told[0]))
    elif event in ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "syslog.openlog"):
        seen.add((event, ""))
sys.addaudithook(hook)
report = sys.argv.pop(1)
def tell():
    with os.fdopen(os.open(report, os.O_CREAT | os.O_WRONLY), "w") as file:
        json.dump([sorted(seen), sorted(written)], file)
atexit.register(tell)
os.umask(0)
from tracker.cli import main
"""
EACH = """
for words in json.loads(sys.argv[1]):
    try:
        code = main(words)
    except SystemExit as left:
        code = left.code
    assert not code, (words, code)
"""


def modes(folder: Path) -> dict[str, str]:
    """Every file and folder below, with its permissions."""
    return {
        str(one.relative_to(folder)): oct(stat.S_IMODE(one.stat().st_mode))
        for one in folder.rglob("*")
    }


COMPILES_NOTHING = {"PYTHONDONTWRITEBYTECODE": "1"}
"""What the interpreter keeps beside the code is no file of ours."""


def test_no_command_calls_out_or_leaves_anything_behind(tmp_path: Path) -> None:
    here = tmp_path / "here"
    here.mkdir(mode=0o700)
    commands = [
        ["start", str(SAMPLE)], *(one for one in COMMANDS if one != ["--help"]), ["back", "night-ferry"],
        ["settings", "look", "light"], ["pack", "night-ferry", "a.pack"], ["unpack", "a.pack"],
        ["pack", "night-ferry", "b.pack", "--for-teacher"], ["circle", "."], ["mend"],
        ["plan", str(SAMPLE), "-o", "a.toml"], ["history"], ["count", "ok"],
        *(["write", "night-ferry", "-o", f"a.{ending}"] for ending in ("md", "html", "txt")),
    ]  # fmt: skip
    env = {**os.environ, "INSTEP_BASKET": str(here / "deep" / "er" / "basket.db")}
    env |= {
        "INSTEP_SETTINGS": str(here / "set" / "settings.toml"),
        "INSTEP_NOW": "2026-03-01T20:00:00Z",
    }
    env |= {"PYTHONPATH": str(Path(__file__).parents[2]), "TMPDIR": str(here / "no such folder")}
    env |= COMPILES_NOTHING
    done = subprocess.run(
        [sys.executable, "-c", WATCHED + EACH, str(tmp_path / "report"), json.dumps(commands)],
        env=env, cwd=here, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr.count("Traceback")) == (0, 0), done.stderr
    seen, written = json.loads((tmp_path / "report").read_text())
    assert seen == []
    assert [
        one
        for one in written
        if not one.startswith((str(here), os.devnull, str(tmp_path / "report")))
    ] == []
    assert modes(here) == {
        "deep": "0o700", "deep/er": "0o700", "deep/er/basket.db": "0o600",
            "deep/er/basket.db-answers": "0o600",
        "deep/er/basket.db-backups": "0o700", "deep/er/basket.db-backups/2026-03-01.db": "0o600",
        "set": "0o700", "set/settings.toml": "0o600", "a.pack": "0o600", "b.pack": "0o600",
        "a.toml": "0o600", "a.md": "0o600", "a.html": "0o600", "a.txt": "0o600",
    }  # fmt: skip


@pytest.mark.terminal
def test_no_screen_calls_out_or_leaves_anything_behind(tmp_path: Path) -> None:
    """The framework's loop wakes itself through a pair of sockets inside the process: no more than that."""
    here = tmp_path / "here"
    here.mkdir(mode=0o700)
    report = str(tmp_path / "report")
    program = (sys.executable, "-c", f"{WATCHED}\nmain(sys.argv[1:])", report)
    with Terminal(
        here / "basket.db", str(SAMPLE), program=program, env=COMPILES_NOTHING
    ) as terminal:
        terminal.wait_for("Cast on 64")
        terminal.press("space")
        terminal.wait_for("round 2")
        for key, seen in (
            (";", "side"),
            (">", "round 3"),
            ("j", "round 1"),
            ("*", "bell"),
            ("?", "key"),
        ):
            terminal.press(key)
            terminal.wait(lambda shown, seen=seen: seen in shown.lower(), seen)  # type: ignore[misc]
        terminal.press("escape")
        terminal.wait_for("next")
        terminal.press("o")
        terminal.wait_for("1 pair")
        terminal.press("q")
        assert terminal.wait_end() == 0
    seen, _ = json.loads(Path(report).read_text())
    assert seen in ([], [["socket.__new__", str(int(socket.AF_UNIX))]])
    told = modes(here)
    days = [name for name in told if name.startswith("basket.db-backups/")]
    assert len(days) == 1
    assert told == {"basket.db": "0o600", "basket.db-backups": "0o700", days[0]: "0o600"}


def test_a_file_keeps_the_permissions_that_she_gave_it(tmp_path: Path) -> None:
    from tracker.storage.files import write_file

    file = tmp_path / "a.txt"
    write_file(str(file), "a", instead_of="")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    file.chmod(0o644)
    write_file(str(file), "b", instead_of="", why_not=lambda _: "")
    assert stat.S_IMODE(file.stat().st_mode) == 0o644
