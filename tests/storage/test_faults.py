"""The disk fails at every single call below SQLite, in turn: an act is whole, or it is refused and not there.

`SWEEP=faults .venv/bin/python -m pytest tests/storage/test_faults.py` fails each call that the acts make,
once and from then on, with each error it may have; the suite draws a few.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.storage.acts import COMMANDS, SAMPLE, Told
from tests.tracing import traced
from tracker.cli import main
from tracker.storage.basket import Basket

ROOT = Path(__file__).parents[2]
ERRORS = {
    "pwrite64": ("ENOSPC", "EIO"), "fdatasync": ("EIO", "ENOSPC"), "fsync": ("EIO", "ENOSPC"),
    "ftruncate": ("ENOSPC", "EIO"), "openat": ("EACCES", "EMFILE", "ENOSPC"),
    "unlink": ("EIO", "EACCES"), "mmap": ("ENOMEM",), "fallocate": ("ENOSPC",), "write": ("ENOSPC",),
}  # fmt: skip
"""The calls by which SQLite changes files, and their errors: disk full or broken, permission lost."""
ALL = os.environ.get("SWEEP") == "faults"


class Fault(NamedTuple):
    """The `number`-th of a kind of calls fails, once or (`stays`) with all that follow."""

    way: str
    call: str
    number: int
    error: str
    stays: bool

    @property
    def injected(self) -> str:
        return f"inject={self.call}:error={self.error}:when={self.number}{'+' * self.stays}"


def run(way: str, basket: Path, log: Path, *options: str) -> list[Told]:
    """The acts in a process of their own, its calls on the basket's files traced."""
    files = [
        basket,
        *(basket.with_name(f"{basket.name}-{end}") for end in ("wal", "shm", "journal")),
    ]
    watched = [word for each in (*files, basket.parent) for word in ("-P", str(each))]
    traces = traced(log, "--seccomp-bpf", *watched, "-e", f"trace={','.join(ERRORS)}", *options)
    ended = subprocess.run(
        [*traces, sys.executable, "-m", "tests.storage.acts", way, str(basket)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in ended.stderr, ended.stderr
    return [Told(*json.loads(line)) for line in ended.stdout.splitlines()]


def begun(folder: Path, way: str) -> Path:
    """A basket of its own: at the needles with a pair in it, for commands not there yet."""
    basket = folder.resolve() / "basket.db"
    basket.parent.mkdir()
    if way == "needles":
        assert main(["start", str(SAMPLE), "--basket", str(basket)]) == 0
    return basket


def faults(tmp_path: Path, way: str) -> list[Fault]:
    """A fault for each call that the acts make where nothing fails."""
    basket = begun(tmp_path / f"whole {way}", way)
    told = run(way, basket, tmp_path / "log")
    assert all(one.code == 0 for one in told)
    calls = Counter(re.findall(r"^\d+ +(\w+)\(", (tmp_path / "log").read_text(), re.MULTILINE))
    assert calls["pwrite64"] > 10
    assert calls["fdatasync"] + calls["fsync"] > 5
    return [
        Fault(way, call, number, error, stays)
        for call, times in calls.items()
        for number in range(1, times + 1)
        for error in ERRORS[call]
        for stays in (False, True)
    ]


def kept_kinds(basket: Path) -> list[str]:
    """What is in the basket once nothing fails any more; its audit is made, and it counts on."""
    with Basket.open(basket) as opened:
        assert opened.check() == []
        pairs = opened.pairs()
        if not pairs:
            return []
        (pair,) = pairs
        kinds = [event.kind for event in opened.events(pair)]
        assert pair.last == len(kinds)
    assert main(["tick", "--basket", str(basket)]) == 0
    return kinds


def outcome(folder: Path, fault: Fault) -> str:
    """What is wrong after a fault, or ""."""
    basket, log = begun(folder, fault.way), folder / "log"
    try:
        told = run(fault.way, basket, log, "-e", fault.injected)
        if len(told) not in (1, len(COMMANDS)):
            return f"{fault}: it ended after {told}"
        kept = kept_kinds(basket)
    except Exception as error:
        return f"{fault}: {error}"
    before = ["started"] if fault.way == "needles" else []
    answered = before + [one.kind for one in told if one.code == 0]
    if kept != answered:
        return f"{fault}: answered {answered}, kept {kept}; {told}"
    bad = [one for one in told if one.code and (one.said.count("\n") > 1 or not one.said.isascii())]
    shutil.rmtree(folder)
    return f"{fault}: {bad}" if bad else ""


def swept(tmp_path: Path, found: list[Fault]) -> Iterator[str]:
    with ThreadPoolExecutor(os.cpu_count()) as workers:
        numbered = enumerate(found)
        yield from workers.map(lambda one: outcome(tmp_path / str(one[0]), one[1]), numbered)


IN_THE_SUITE = {
    "needles": [Fault("needles", "fdatasync", 5, "EIO", True)],
    "commands": [
        Fault("commands", "pwrite64", 40, "ENOSPC", False),
        Fault("commands", "unlink", 2, "EIO", True),
    ],
}
"""The sync of a tick fails, and of all that follow; the disk is full for one write of a command; no journal
can be taken away, so that nothing is ever committed, and no backup of that is tried."""


@pytest.mark.parametrize("way", IN_THE_SUITE)
def test_whatever_call_fails_an_act_is_whole_or_refused(tmp_path: Path, way: str) -> None:
    found = faults(tmp_path, way) if ALL else IN_THE_SUITE[way]
    wrong = [one for one in swept(tmp_path, found) if one]
    assert wrong == [], "\n".join([f"{len(wrong)} of {len(found)} faults:", *wrong])
