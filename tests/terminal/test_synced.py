"""On disk before it is painted: between the key that is read and the count that is written lies a sync."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.on_demand import ALL, on_demand
from tests.terminal.driver import Terminal
from tests.terminal.test_real_terminal import BY_ROUNDS
from tests.tracing import traced

pytestmark = pytest.mark.terminal

SYNCED = "import sys; from tracker.cli import main; sys.exit(main(sys.argv[1:]))"
NOT_SYNCED = f"from tracker.storage import opening; opening.SETTINGS['synchronous'] = 0; {SYNCED}"
"""The same program with SQLite told to leave it to the system when anything is written."""
SCREEN, LINES = ((BY_ROUNDS,), 40, 3), (("knit", "--plain", BY_ROUNDS), 100, 30)
IN_THE_SUITE = ("plain", "not synced")
WAYS = {"the screen": (SCREEN, SYNCED), "plain": (LINES, SYNCED), "not synced": (LINES, NOT_SYNCED)}
CHOSEN = list(WAYS) if ALL else IN_THE_SUITE
KEYS = 3
OPTIONS = ("--seccomp-bpf", "-e", "trace=read,write,fsync,fdatasync")
_KEY = re.compile(r'read(\(0<.*pts.*>,| resumed>) ?" "')
_SYNC = re.compile(r"^(\d+) .*sync(\(\d+<.*-wal>| resumed>)\) += 0")
_BEGUN = re.compile(r"^(\d+) .*sync\(\d+<.*-wal> <unfinished")
_PAINTED = re.compile(r"write\([12]<.*(?:m|Round )(\d+) (?:done,|of 22 done)")


def in_order(calls: Path) -> Iterator[str]:
    """The keys read ("key"), the log synced ("sync") and the counts painted ("1"), as they came about."""
    waits, painted = set(), 0
    for line in calls.read_text("utf-8", "replace").splitlines():
        if _KEY.search(line):
            yield "key"
        elif begun := _BEGUN.search(line):
            waits.add(begun[1])
        elif (sync := _SYNC.search(line)) and ("-wal" in line or sync[1] in waits):
            waits.discard(sync[1])
            yield "sync"
        elif (count := _PAINTED.search(line)) and int(count[1]) > painted:
            painted = int(count[1])
            yield count[1]


@pytest.mark.parametrize(("way", "program"), [WAYS[way] for way in CHOSEN], ids=CHOSEN)
def test_every_key_is_synced_before_its_count_is_painted(
    tmp_path: Path, way: tuple[tuple[str, ...], int, int], program: str
) -> None:
    given, width, height = way
    calls = tmp_path / "calls"
    run = (*traced(calls, *OPTIONS), sys.executable, "-c", program)
    with Terminal(tmp_path / "b.db", *given, program=run, width=width, height=height) as terminal:
        terminal.wait(lambda shown: "next 1" in shown or "leaves." in shown, "the cast-on")
        for count in range(1, KEYS + 1):
            terminal.press(" ")
            done = re.compile(rf"\b{count} (done,|of 22 done)")
            terminal.wait(lambda shown, done=done: bool(done.search(shown)), f"{count} done")  # type: ignore[misc]
        terminal.press("q")
        assert terminal.wait_end() == 0
    told = list(in_order(calls))
    told = told[told.index("key") :]
    expected = [sign for count in range(1, KEYS + 1) for sign in ("key", "sync", str(count))]
    if program == NOT_SYNCED:
        expected = [sign for sign in expected if sign != "sync"]
    assert told[: len(expected)] == expected


@on_demand
@pytest.mark.parametrize("program", [SYNCED, NOT_SYNCED], ids=["synced", "not synced"])
def test_a_command_answers_once_it_is_synced(tmp_path: Path, program: str) -> None:
    calls, given = tmp_path / "calls", ["--basket", str(tmp_path / "b.db")]
    run = [*traced(calls, *OPTIONS), sys.executable, "-c", program]
    ended = subprocess.run(
        [*run, "start", BY_ROUNDS, *given], check=True, capture_output=True, text=True
    )
    assert ended.stdout == "night-ferry\n"
    before, answer, _ = calls.read_text("utf-8", "replace").partition("write(1<pipe")
    assert answer
    assert bool(re.search(r"sync\(\d+<.*-wal>\) += 0", before)) == (program == SYNCED)
