"""The program as a process of its own: pipes, closed and full streams, exit codes, what it loads."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from shutil import copytree

import pytest

from tests.knitting.knitter import SAMPLE

NOW = "2026-03-01T20:00:00+01:00"


class Program:
    """`python -m tracker` on a basket of its own."""

    def __init__(self, basket: Path) -> None:
        self.env = {**os.environ, "INSTEP_BASKET": str(basket), "INSTEP_NOW": NOW}

    def run(self, *words: str, **env: str) -> subprocess.CompletedProcess[str]:
        """One command, with nothing to read."""
        return subprocess.run(
            [sys.executable, "-m", "tracker", *words],
            env=self.env | env,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )

    def shell(self, line: str) -> subprocess.CompletedProcess[str]:
        """A line of shell, in which `instep` is the program."""
        return subprocess.run(
            ["sh", "-c", f'instep() {{ "$PYTHON" -m tracker "$@"; }}\n{line}'],
            env=self.env | {"PYTHON": sys.executable},
            capture_output=True,
            text=True,
            check=False,
        )


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the basket in which a process has started the sample."""
    folder = tmp_path_factory.mktemp("started")
    assert Program(folder / "basket.db").run("start", str(SAMPLE)).stdout == "night-ferry\n"
    return folder


@pytest.fixture
def program(tmp_path: Path, started: Path) -> Program:
    copytree(started, tmp_path, dirs_exist_ok=True)
    return Program(tmp_path / "basket.db")


def test_exit_codes_and_streams(program: Program) -> None:
    done = program.run("tick", "3")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Sock one, cuff: round 3 of 22 is done (rib).")
    wrong = program.run("tick", "0")
    assert (wrong.returncode, wrong.stdout) == (1, "")
    assert wrong.stderr == "instep: 0 rounds at once cannot be; write 1 to 1000\n"
    usage = program.run("tick", "many")
    assert (usage.returncode, usage.stdout) == (2, "")


def test_without_a_terminal_no_screen_opens(program: Program) -> None:
    left = program.run("left")
    for words in ((), ("knit",), ("night-ferry",), (str(SAMPLE),)):
        done = program.run(*words)
        assert (done.returncode, done.stdout, done.stderr) == (0, left.stdout, "")


@pytest.mark.parametrize(
    "words",
    [
        ["plan", str(SAMPLE)],
        ["plan", str(SAMPLE), "--json"],
        ["left"],
        ["tick", "--json"],
        ["--version"],
        ["rip", "--help"],
    ],
)
def test_pipes_that_close_early(program: Program, words: list[str]) -> None:
    """Nobody reads any more: nothing is complained of, and the exit code is that of success."""
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-m", "tracker", *words],
        env=program.env,
        stdin=subprocess.DEVNULL,
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writer)
    assert (done.returncode, done.stderr) == (0, b"")


def test_closed_streams(program: Program) -> None:
    done = program.shell("instep tick >&-")
    assert (done.returncode, done.stderr) == (0, "")
    done = program.shell("instep knit <&-")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Night ferry")
    done = program.shell("instep tick 0 2>&-")
    assert (done.returncode, done.stdout) == (1, "")
    assert json.loads(program.run("left", "--json").stdout)["done"] == 1


@pytest.mark.parametrize("words", ["left", "left --json", "plan {file}", "--version", "--help"])
def test_an_answer_that_cannot_be_written(program: Program, tmp_path: Path, words: str) -> None:
    closed = tmp_path / "closed"
    closed.touch()
    with closed.open("rb") as only_read:
        done = subprocess.run(
            [sys.executable, "-m", "tracker", *words.format(file=SAMPLE).split()],
            env=program.env,
            stdin=subprocess.DEVNULL,
            stdout=only_read,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 1
    assert done.stderr == "instep: the answer could not be written: bad file descriptor\n"


def test_a_terminal_that_lacks_a_letter(program: Program, tmp_path: Path) -> None:
    plan = tmp_path / "plan.toml"
    plan.write_text(SAMPLE.read_text("utf-8").replace("Night ferry", "Nachtfähre"), "utf-8")
    done = program.run(str(plan), PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Nachtfahre (nachtfahre)\n")


BARE = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
"""A machine whose locale has no letters but those of ASCII."""


def test_every_answer_is_said_whatever_letters_the_terminal_lacks(
    program: Program, tmp_path: Path
) -> None:
    plan = tmp_path / "größe.toml"
    plan.write_text(
        SAMPLE.read_text("utf-8").replace("Night ferry", "Größe \u2014 \u9774"), "utf-8"
    )
    paper, pack = tmp_path / "ärmel.html", tmp_path / "ö.pack"
    lines = (
        'instep start "$1"', "instep left", 'instep write "$1" -o "$2"', 'instep changed other "hübsch"',
        'instep note "Öse, 3 mm \u2013 groß"', "instep history", 'instep pack groe "$3"',
        # What is wrong is told as well.
        'instep knit "nö" || test $? = 1', 'instep tick "ö" || test $? = 2',
    )  # fmt: skip
    script = 'set -e; instep() { "$PYTHON" -m tracker "$@"; }\n' + "\n".join(lines)
    done = subprocess.run(
        ["sh", "-c", script, "sh", str(plan), str(paper), str(pack)],
        env=program.env | BARE | {"PYTHON": sys.executable},
        capture_output=True,
        check=False,
    )
    assert b"Traceback" not in done.stderr
    assert done.returncode == 0, done.stderr.decode("ascii")
    assert "Grosse - ?" in done.stdout.decode("ascii")
    kept = program.run("history").stdout
    assert (kept.count("Öse, 3 mm \u2013 groß"), kept.count("hübsch")) == (1, 1), "as it was told"
    assert "Größe \u2014 \u9774" in paper.read_text("utf-8")


def test_two_programs_at_once_both_count(program: Program) -> None:
    ticks = [
        subprocess.Popen(
            [sys.executable, "-m", "tracker", "tick"],
            env=program.env,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
        )
        for _ in range(4)
    ]
    for tick in ticks:
        _, complaint = tick.communicate()
        assert (tick.returncode, complaint) == (0, b"")
    left = json.loads(program.run("left", "--json").stdout)
    assert (left["done"], left["events"]) == (4, 5)


AT_THE_NEEDLES = [
    ["left"], ["left", "--json"], ["tick"], ["tick", "--needle"], ["other"], ["undo"], ["redo"],
    ["at", "9"], ["measure", "2 cm"],
]  # fmt: skip
COMMANDS = [
    *AT_THE_NEEDLES, [], ["basket"], ["where"], ["samples"], ["check"], ["plan", str(SAMPLE)],
    ["write", str(SAMPLE)], ["start", str(SAMPLE)], ["write"], ["knit", "--plain"],
    ["knit", "night-ferry", "--plain"], ["away", "night-ferry"], ["--help"],
]  # fmt: skip


def test_plain_lines_load_no_screen(program: Program) -> None:
    """They are for terminals on which there is none, and for who does not wait for one."""
    code = "import tracker.ui.plain_terminal, tracker.cli, sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = {name.partition(".")[0] for name in done.stdout.split()}
    assert "tracker" in loaded
    assert not loaded & {"textual", "rich", "asyncio"}


@pytest.mark.parametrize("term", ["dumb", "linux"])
def test_without_a_terminal_it_is_the_quick_check(program: Program, term: str) -> None:
    left = program.run("left").stdout
    for words in ((), ("knit",), ("knit", "--plain"), ("knit", "--plain", "night-ferry")):
        done = program.run(*words, TERM=term)
        assert (done.returncode, done.stderr, done.stdout) == (0, "", left), words


AND_WHAT_IT_LOADED = """
import json, sys
from tracker.cli import main
for words in json.loads(sys.argv[1]):
    try:
        code = main(words)
    except SystemExit as left:
        code = left.code
    loaded = sorted({name.partition(".")[0] for name in sys.modules})
    print(json.dumps([code or 0, loaded]), file=sys.stderr)
"""


def test_commands_load_no_screen(program: Program) -> None:
    """And what only a wrong word needs is not loaded for a right one.

    One process does them all: what one of them loads stands there from then on, so those at the
    needles, which may load least, come first.
    """
    done = subprocess.run(
        [sys.executable, "-c", AND_WHAT_IT_LOADED, json.dumps(COMMANDS)],
        env=program.env,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=True,
    )
    after = [json.loads(line) for line in done.stderr.splitlines()]
    for words, (code, loaded) in zip(COMMANDS, after, strict=True):
        assert code == 0, words
        assert "tracker" in loaded
        assert not {"textual", "rich", "asyncio", "unittest"} & set(loaded), words
        if words in AT_THE_NEEDLES:
            needless = {"tomli_w", "difflib", "shutil", "platformdirs", "unicodedata"}
            assert not needless & set(loaded), words
