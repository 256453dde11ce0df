"""What only Unix has is behind a check: without it every module is loaded, and a pair is knitted."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
WITHOUT_UNIX = """
import os, signal, sys
from importlib import import_module
from pathlib import Path

root = Path(sys.argv[1])
files = sorted((root / "tracker").rglob("*.py"))
names = [".".join(file.relative_to(root).with_suffix("").parts) for file in files]
names = [name.removesuffix(".__init__") for name in names if not name.endswith("__main__")]
for name in names:  # what they load of others is of this system
    import_module(name)
for name in [name for name in sys.modules if name.partition(".")[0] == "tracker"]:
    del sys.modules[name]
for name in ("fcntl", "termios", "tty", "pty", "pwd", "grp", "resource", "syslog"):
    sys.modules[name] = None
for name in ("pread", "geteuid", "getuid", "fork", "set_blocking", "O_NOFOLLOW"):
    delattr(os, name)
for name in ("SIGHUP", "SIGTSTP", "SIGCONT", "SIGWINCH", "SIGALRM"):
    delattr(signal, name)
sys.platform = "win32"
"""
"""A beginning of a program, as Windows would have it: its one argument is the folder of the checkout."""

A_PAIR = """
failed = []
for name in names:
    try:
        import_module(name)
    except (ImportError, AttributeError):
        failed.append(name)
print("not loaded:", *failed)

from tracker.cli import main
from tracker.clock import now
from tracker.session import Session
from tracker.settings import Settings
from tracker.storage.backups import back_up
from tracker.storage.basket import Basket
from tracker.ui.plain_lines import PlainNeedles
from tracker.ui.plain_terminal import run_plain

sample = str(root / "sample_projects" / "night-ferry.toml")
for words in (["start", sample], ["left"], ["left"], ["plan", sample, "-o", "made.toml"],
              ["pack", "night-ferry", "a.pack"], ["settings", "look", "light"], ["check"]):
    assert main(words) == 0, words
path = Path(os.environ["INSTEP_BASKET"])
with Basket.open(path) as basket:
    run_plain(PlainNeedles(Session(basket, basket.find(None), now), list, Settings()))
back_up(path, now())
path.write_bytes(path.read_bytes()[:100] + bytes(8000))
assert main(["mend"]) == 0
assert main(["left"]) == 0
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("elsewhere")


@pytest.fixture(scope="module")
def said(folder: Path) -> str:
    """What is printed where nothing of Unix is to be had; three lines are typed."""
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_UNIX + A_PAIR, str(ROOT)], cwd=folder, text=True, input="\n3\nq\n",
        env=os.environ | {
            "INSTEP_BASKET": str(folder / "basket.db"), "INSTEP_SETTINGS": str(folder / "settings.toml"),
            "PYTHONPATH": str(ROOT),
        },
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
    return done.stdout


def test_every_module_is_loaded(said: str) -> None:
    """But for the driver of a Unix terminal, which is asked for only where the framework has taken one."""
    assert said.splitlines()[0] == "not loaded: tracker.ui.terminal_driver"


def test_a_pair_is_knitted_in_lines_kept_and_mended(said: str, folder: Path) -> None:
    assert "Round 4 of 22 done." in said
    assert "night-ferry: whole, with 3 events." in said
    assert "Sock one, cuff: round 4 of 22 is done" in said.partition("set aside")[2]
    assert not (folder / "basket.db-answers").exists()
