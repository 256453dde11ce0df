"""Every file damaged in many ways: what is told is true, or refused in one line; what is sound is saved.

The suite tries a few seeded ones; `SWEEP=damage` every truncation of the small files, hundreds of the
basket's, and thousands of flips.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.knitting.knitter import SAMPLE
from tests.storage.damaging import (
    Answer,
    Harm,
    check_basket,
    check_mended,
    cuts,
    flips,
    is_one_line,
    keep_backup,
    knit,
    put,
    run,
    truths,
)

SEED = int(os.environ.get("SEED", "1"))
IN_ALL = os.environ.get("SWEEP") == "damage"
Truth = dict[tuple[str, ...], Answer]


class Kept:
    """A basket as it was, and what the commands say of it."""

    def __init__(self, path: Path) -> None:
        self.path, self.data = path, path.read_bytes()
        self.truth: Truth = truths(path)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kept]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("INSTEP_BASKET", "")
        patch.setenv("INSTEP_NOW", "")
        yield Kept(knit(tmp_path_factory.mktemp("kept")))


@pytest.fixture(autouse=True)
def here(kept: Kept, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("INSTEP_BASKET", str(kept.path))
    monkeypatch.setenv("INSTEP_NOW", "2026-03-01T20:00:00+01:00")


def harms(data: bytes, *, few: int, cut: int, many: int) -> list[Harm]:
    """Seeded ways to damage a file: `few` flips and two cuts; on demand `cut` truncations, `many` flips."""
    if IN_ALL:
        lengths = range(len(data)) if cut >= len(data) else range(1, len(data), len(data) // cut)
        return [*cuts(data, lengths), *flips(data, SEED, many)]
    return [*cuts(data, (len(data) // 2, len(data) - 1)), *flips(data, SEED, few)]


def told(name: str, found: Counter[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Say the numbers of a sweep."""
    if IN_ALL:
        with capsys.disabled():
            print(f"\n{name}: {dict(found)}")


def test_a_damaged_basket_tells_the_truth_or_refuses(
    kept: Kept, capsys: pytest.CaptureFixture[str]
) -> None:
    found: Counter[str] = Counter()
    for harm in harms(kept.data, few=6, cut=400, many=2_000):
        put(kept.path, harm.data)
        found[check_basket(kept.path, kept.truth, harm.what)] += 1
    told("basket", found, capsys)
    assert found["noticed"] > found["harmless"] > 0


@pytest.mark.parametrize("backed_up", [False, True])
def test_what_is_sound_of_a_damaged_basket_is_saved(
    kept: Kept, backed_up: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    found: Counter[str] = Counter()
    put(kept.path, kept.data)
    folder = keep_backup(kept.path) if backed_up else None
    for harm in harms(kept.data, few=1, cut=60, many=300):
        put(kept.path, harm.data)
        found[check_mended(kept.path, kept.truth, harm, backed_up=backed_up)] += 1
    told(f"mended, {'with' if backed_up else 'without'} a backup", found, capsys)
    if folder is not None:
        (folder / "2026-03-01.db").unlink()
        folder.rmdir()
    assert found["whole"] + found["in part"] > 0
    assert not (backed_up and found["in part"])


def is_refused_in_lines(done: Answer) -> bool:
    """Of a file several faults may be told, a line each; notes come beside an answer."""
    lines = done.err.splitlines(keepends=True)
    return all(is_one_line(line.replace("note: ", "instep: ", 1)) for line in lines)


def check_commands(path: Path, harm: Harm, commands: list[tuple[str, ...]]) -> str:
    """Run commands on a damaged file: an answer, or a line; the file stays as it is."""
    path.write_bytes(harm.data)
    codes = set()
    for words in commands:
        done = run(*words)
        assert done.code in (0, 1), (harm.what, words, done)
        assert done.code == 0 or done.out == "" or "--json" in words, (harm.what, words, done)
        assert done.code == 0 or done.err, (harm.what, words, done)
        assert is_refused_in_lines(done), (harm.what, words, done)
        codes.add(done.code)
    assert path.read_bytes() == harm.data
    return "noticed" if 1 in codes else "another that is right"


def test_a_damaged_pack_is_refused_or_is_whole(
    kept: Kept, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    put(kept.path, kept.data)
    path, found = tmp_path / "a.pack", Counter[str]()
    assert run("pack", "low-tide", str(path)).code == 0
    data = path.read_bytes()
    for harm in harms(data, few=6, cut=len(data), many=3_000):
        path.write_bytes(harm.data)
        monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "other.db"))
        (tmp_path / "other.db").unlink(missing_ok=True)
        for words in (("circle", str(path)), ("unpack", str(path)), ("start", str(path))):
            done = run(*words)
            assert (done.code, done.out) == (1, ""), (harm.what, done)
            assert is_one_line(done.err), (harm.what, done)
        done = run("unpack", str(path), "--sound-part")
        assert done.code == 0 or is_one_line(done.err), (harm.what, done)
        found["noticed, a part sound" if done.code == 0 else "noticed"] += 1
    told("pack", found, capsys)


@pytest.mark.parametrize("kind", ["plan", "pattern"])
def test_a_damaged_plan_or_pattern_is_refused_or_another_that_is_right(
    kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, found = tmp_path / "a.toml", Counter[str]()
    data = SAMPLE.read_bytes()
    if kind == "pattern":
        assert run("plan", str(SAMPLE), "-o", str(path)).code == 0
        data = path.read_bytes()
    commands: list[tuple[str, ...]] = [
        ("check", str(path)), ("plan", str(path), "--json"), ("write", str(path))
    ]  # fmt: skip
    for harm in harms(data, few=3, cut=len(data) if kind == "plan" else 300, many=1_500):
        found[check_commands(path, harm, commands)] += 1
    told(kind, found, capsys)


def test_damaged_settings_are_refused_and_left_as_they_are(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, found = tmp_path / "settings.toml", Counter[str]()
    monkeypatch.setenv("INSTEP_SETTINGS", str(path))
    assert run("settings", "look", "light").code == 0
    assert run("settings", "bell", "both").code == 0
    data = path.read_bytes() + b'\n[keys]\ntick = ["space", "page down"]\n"other" = "f2"\n'
    for harm in harms(data, few=8, cut=len(data), many=3_000):
        found[check_commands(path, harm, [("settings",), ("settings", "--json")])] += 1
        before = path.read_bytes()
        done = run("settings", "look", "dark")
        assert done.code == 0 or path.read_bytes() == before, (harm.what, done)
    told("settings", found, capsys)


def test_an_empty_or_missing_basket_is_no_new_one_where_there_are_backups(kept: Kept) -> None:
    put(kept.path, b"")
    folder = keep_backup(kept.path)
    (folder / "2026-03-01.db").write_bytes(kept.data)
    for remove in (False, True):
        put(kept.path, b"")
        if remove:
            kept.path.unlink()
        for words in ((), ("basket",), ("left",), ("tick",), ("start", str(SAMPLE)), ("check",)):
            done = run(*words)
            assert done.code == 1, words
            assert is_one_line(done.err)
            assert "instep mend brings it back" in done.err
        assert kept.path.exists() is not remove
        assert run("mend").code == 0
        assert run("left", "--json")[:2] == kept.truth["left", "--json"][:2]
    (folder / "2026-03-01.db").unlink()
    folder.rmdir()
