"""What can go wrong under the program while she knits: it is said, not counted, and then it goes on."""

from __future__ import annotations

import resource
import shutil
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from tests.on_demand import on_demand
from tests.terminal.driver import Terminal
from tests.terminal.kept import Kept
from tests.terminal.test_real_terminal import BY_ROUNDS
from tests.tracing import traced

pytestmark = pytest.mark.terminal

PLAIN = ("knit", "--plain", BY_ROUNDS)


@contextmanager
def full_disk(terminal: Terminal, basket: Path) -> Iterator[None]:
    """No file may grow any more."""
    before = resource.prlimit(terminal.pid, resource.RLIMIT_FSIZE)
    resource.prlimit(terminal.pid, resource.RLIMIT_FSIZE, (1, before[1]))
    yield
    resource.prlimit(terminal.pid, resource.RLIMIT_FSIZE, before)


@contextmanager
def locked(terminal: Terminal, basket: Path) -> Iterator[None]:
    with closing(sqlite3.connect(basket, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("ROLLBACK")


@contextmanager
def moved(terminal: Terminal, basket: Path) -> Iterator[None]:
    basket.rename(basket.with_name("moved"))
    yield
    basket.with_name("moved").rename(basket)


@contextmanager
def replaced(terminal: Terminal, basket: Path) -> Iterator[None]:
    basket.rename(basket.with_name("moved"))
    shutil.copy(basket.with_name("moved"), basket)
    yield
    basket.with_name("moved").replace(basket)


TROUBLES = {
    full_disk: "the disk failed and nothing was recorded", locked: "the basket is busy",
    moved: "was moved, removed or replaced", replaced: "was moved, removed or replaced",
}  # fmt: skip
"""What is done to the basket, and what she reads."""
Trouble = Callable[[Terminal, Path], object]


def reads(terminal: Terminal, *texts: str) -> None:
    """Wait until all of it is read, wherever lines part."""
    terminal.wait(
        lambda shown: all(text in " ".join(shown.split()) for text in texts), " / ".join(texts)
    )


def test_whatever_goes_wrong_is_said_at_the_needles_and_then_it_goes_on(tmp_path: Path) -> None:
    basket, done = tmp_path / "basket.db", 1
    with Terminal(basket, BY_ROUNDS, width=120, height=36) as terminal:
        reads(terminal, "Cast on 64")
        terminal.press(" ")
        reads(terminal, "next round 2")
        for trouble, said in TROUBLES.items():
            with trouble(terminal, basket):
                terminal.press(" ")
                reads(terminal, "not kept", said, f"next round {done + 1}")
            terminal.press(" ")
            done += 1
            reads(terminal, f"next round {done + 1}")
            terminal.wait(lambda shown: "not kept" not in shown, "no trouble any more")
        terminal.press("q")
        assert terminal.wait_end() == 0
    assert len(Kept(basket).events) == done + 1


@on_demand
def test_a_file_that_goes_is_said_before_any_key_and_put_back(tmp_path: Path) -> None:
    basket = tmp_path / "basket.db"
    with Terminal(basket, BY_ROUNDS, width=120, height=36) as terminal:
        reads(terminal, "Cast on 64")
        with moved(terminal, basket):
            reads(terminal, "was moved, removed or replaced")
        for each in tmp_path.glob("basket.db*"):
            each.unlink()
        reads(terminal, "was removed; it was put back")
        terminal.press("  ")
        reads(terminal, "next round 3")
        terminal.press("q")
        assert terminal.wait_end() == 0
    assert len(Kept(basket).events) == 3


@on_demand
@pytest.mark.parametrize("given", [(BY_ROUNDS,), PLAIN], ids=["the screen", "plain"])
def test_a_slow_disk_is_said_while_it_is_waited_for(tmp_path: Path, given: tuple[str, ...]) -> None:
    """The second key's sync takes seconds: the count stands, she reads why, and no key is lost."""
    basket = tmp_path / "basket.db"
    slow = traced(
        tmp_path / "calls", "--seccomp-bpf", "-P", f"{basket.resolve()}-wal",
        "-e", "trace=fdatasync,fsync", "-e", "inject=fdatasync,fsync:delay_enter=1500000:when=4",
    )  # fmt: skip
    run = (*slow, sys.executable, "-m", "tracker")
    with Terminal(basket, *given, program=run, width=80, height=24) as terminal:
        reads(terminal, "oosely")
        terminal.press(" ")
        terminal.wait(lambda shown: "ound 2" in shown, "round 2")
        terminal.press("  ")
        reads(terminal, "low disk: the last key is not kept yet")
        assert "ound 3" not in terminal.text
        terminal.wait(lambda shown: "ound 4" in shown, "round 4")
        if given != PLAIN:
            terminal.wait(lambda shown: "slow disk" not in shown, "the key line again")
            assert "space done" in terminal.text
        terminal.press("q")
        assert terminal.wait_end() == 0
    assert len(Kept(basket).events) == 4
