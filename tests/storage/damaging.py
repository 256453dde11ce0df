"""Files that were damaged in every way, and the commands that are run on them, in this process."""

from __future__ import annotations

import io
import json
import os
from collections.abc import Iterator, Sequence
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from random import Random
from shutil import copyfile
from typing import NamedTuple

from tests.knitting.knitter import SAMPLE
from tracker.cli import main

LOW_TIDE = SAMPLE.with_name("low-tide.toml")
NOW = "2026-03-01T20:00:00+01:00"


class Answer(NamedTuple):
    """What a command ended with."""

    code: int
    out: str
    err: str


def run(*words: str) -> Answer:
    """One command. Whatever it raises is raised: a person would see a traceback."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            code = main(words)
        except SystemExit as left:
            code = int(left.code or 0)
    return Answer(code, out.getvalue(), err.getvalue())


def knit(folder: Path) -> Path:
    """A basket with two pairs and a history of many kinds of act."""
    path = folder / "basket.db"
    os.environ["INSTEP_BASKET"], os.environ["INSTEP_NOW"] = str(path), NOW
    for words in (
        ["start", str(SAMPLE)], ["tick", "22"], ["tick", "9"], ["note", "the red needles"],
        ["measure", "8.1 cm"], ["tick", "--needle"], ["undo"], ["count", "64"], ["lifeline"],
        *([["tick"]] * 20), ["weigh", "80"], ["start", str(LOW_TIDE)], ["tick", "3"],
        ["tick", "2", "--pair", "night-ferry"],
    ):  # fmt: skip
        done = run(*words)
        assert done.code == 0, done
    return path


REPORTS: tuple[tuple[str, ...], ...] = (
    ("left",), ("left", "--json"), ("basket",), ("history", "--json"), ("write",),
    ("left", "--json", "--pair", "low-tide"), ("history", "--pair", "low-tide"), (),
)  # fmt: skip
"""Commands that tell something of a basket."""
WHERE_ALL_SHOWS = (
    ("basket",), ("history", "--json", "--pair", "low-tide"), ("history", "--json", "--pair", "night-ferry"),
    ("left", "--json"),
)  # fmt: skip
"""Those that tell all of it."""


def is_one_line(err: str) -> bool:
    """Whether a refusal is what it should be."""
    return err.startswith("instep: ") and err.count("\n") == 1 and err[:-1].isprintable()


def check_basket(path: Path, truth: dict[tuple[str, ...], Answer], harm: str) -> str:
    """Run the commands on a damaged basket: each tells the truth or refuses in one line.

    Returns "noticed", or "harmless" where every one told the truth.
    """
    refused = False
    for words in REPORTS:
        done = run(*words)
        if done.code == 0:
            assert done[:2] == truth[words][:2], (harm, words, done)
        else:
            refused = True
            assert done.code == 1, (harm, words, done)
            assert done.out == "", (harm, words, done)
            assert is_one_line(done.err), (harm, words, done)
    audit = run("check")
    assert audit.code in (0, 1), (harm, audit)
    assert all(is_one_line(line) for line in audit.err.splitlines(keepends=True)), (harm, audit)
    if refused:
        assert audit.code == 1, (harm, "the audit misses it")
    done = run("tick", "--pair", "night-ferry")
    if done.code == 0:
        assert done[:2] == truth[("tick",)][:2], (harm, done)
        again = run("left", "--json", "--pair", "night-ferry")
        assert again.code == 1 or again[:2] == truth[("after",)][:2], (harm, again)
    else:
        assert is_one_line(done.err), (harm, done)
    return "noticed" if refused or audit.code else "harmless"


def truths(path: Path) -> dict[tuple[str, ...], Answer]:
    """What each command says of the basket as it is; it is put back afterwards."""
    whole = path.read_bytes()
    told = {words: run(*words) for words in REPORTS}
    for pair in ("night-ferry", "low-tide"):
        words = ("history", "--json", "--pair", pair)
        told[words] = run(*words)
    told[("tick",)] = run("tick", "--pair", "night-ferry")
    told[("after",)] = run("left", "--json", "--pair", "night-ferry")
    path.write_bytes(whole)
    assert all(one.code == 0 for one in told.values()), told
    return told


def check_mended(
    path: Path, truth: dict[tuple[str, ...], Answer], harm: Harm, *, backed_up: bool
) -> str:
    """Mend a damaged basket: what is there afterwards is sound, and no more than was recorded.

    With a backup of all of it, that is all of it. Returns "sound", "whole", "in part" or "nothing".
    """
    done = run("mend")
    told = f"{harm.what}: {done}"
    aside = [one for one in path.parent.iterdir() if "-damaged-" in one.name]
    assert not list(path.parent.glob("*-mending*")), told
    if done.code == 1:
        assert is_one_line(done.err), told
        assert not backed_up or "newer Instep" in done.err, told
        assert path.read_bytes() == harm.data, told
        return "nothing"
    assert (done.code, done.err) == (0, ""), told
    assert run("check").code == 0, told
    if done.out == "Every pair in the basket is sound.\n":
        assert not aside, told
        return "sound"
    assert [one.read_bytes() for one in aside] == [harm.data], told
    if all(run(*words)[:2] == truth[words][:2] for words in WHERE_ALL_SHOWS):
        return "whole"
    assert not backed_up, told
    for pair in ("night-ferry", "low-tide"):
        now = run("history", "--json", "--pair", pair)
        assert now.code == 0 or f"{pair}: nothing is saved" in done.out or pair not in done.out, (
            told
        )
        if now.code == 0:
            check_begins(now.out, truth["history", "--json", "--pair", pair].out)
    return "in part"


def check_begins(now: str, whole: str) -> None:
    """Whether a history is the beginning of another; what was undone later need not be undone yet."""
    here, there = (json.loads(told)["events"] for told in (now, whole))
    names = ("number", "at", "sock", "kind", "text")
    for one, other in zip(here, there[: len(here)], strict=True):
        assert [one[name] for name in names] == [other[name] for name in names]


class Harm(NamedTuple):
    """One way to damage some bytes."""

    what: str
    data: bytes


def cuts(data: bytes, places: Sequence[int]) -> Iterator[Harm]:
    """Cut short at these lengths."""
    return (Harm(f"cut to {at}", data[:at]) for at in places)


def flips(data: bytes, seed: int, many: int) -> Iterator[Harm]:
    """So many copies with a bit, or now and then a byte, turned; half of them where something stands."""
    random = Random(seed)  # noqa: S311
    full = [at for at, byte in enumerate(data) if byte]
    for count in range(many):
        at = random.choice(full) if count % 2 else random.randrange(len(data))
        by = 1 << random.randrange(8) if count % 4 else random.randrange(1, 256)
        turned = bytearray(data)
        turned[at] ^= by
        yield Harm(f"{at} ^ {by}", bytes(turned))


def put(path: Path, data: bytes) -> None:
    """Make the file these bytes, with nothing beside it but its backups."""
    for one in path.parent.iterdir():
        if one.is_file() and one.name.startswith(path.name):
            one.unlink()
    path.write_bytes(data)


def keep_backup(path: Path) -> Path:
    """A whole copy where the basket has its backups."""
    folder = path.with_name(f"{path.name}-backups")
    folder.mkdir(exist_ok=True)
    copyfile(path, folder / "2026-03-01.db")
    return folder
