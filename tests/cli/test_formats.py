"""Older baskets are brought on, after a copy; and those of every released form open for ever."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from shutil import copyfile

import pytest

from tests.cli.conftest import Instep
from tests.cli.form import facts
from tests.knitting.knitter import SAMPLE
from tracker.storage import formats
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.opening import backup_folder, changed_layout

DATA = Path(__file__).parent / "data"
RELEASED = sorted(DATA.glob("form_*"))


def to_two(connection: sqlite3.Connection) -> None:
    """A pretended next form, which marks what it has brought on."""
    connection.execute("INSERT INTO pattern (sha256, text) VALUES (?, 'brought on')", ("0" * 64,))


def to_three(connection: sqlite3.Connection) -> None:
    assert connection.in_transaction
    (count,) = connection.execute(
        "SELECT count(*) FROM pattern WHERE text = 'brought on'"
    ).fetchone()
    assert count == 1, "one step after the other, each once"


def newer(monkeypatch: pytest.MonkeyPatch, *steps: Callable[[sqlite3.Connection], None]) -> None:
    """This Instep is a later one, and today's baskets are older ones."""
    monkeypatch.setattr(formats, "NEWEST", 1 + len(steps))
    monkeypatch.setattr(formats, "STEPS", dict(enumerate(steps, 1)))


def version(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("PRAGMA user_version").fetchone()[0])


def test_an_older_basket_is_brought_on_after_a_copy(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    pair.ok("tick", "3")
    left = pair.ok("left")
    newer(monkeypatch, to_two, to_three)
    assert pair.ok("left") == left
    pair.ok("tick")
    assert version(pair.basket) == 3
    copy = backup_folder(pair.basket) / "form-1.db"
    assert [one.name for one in copy.parent.iterdir()] == ["form-1.db"]
    assert (version(copy), copy.stat().st_mode & 0o777) == (1, 0o600)
    monkeypatch.undo()
    monkeypatch.setenv("INSTEP_NOW", "2026-03-01T20:00:00+01:00")
    with Basket.open(copy) as basket:
        assert basket.find(None).last == 2
        assert basket.check() == []
    with pytest.raises(BasketTrouble, match="newer Instep"):
        Basket.open(pair.basket)


@pytest.mark.parametrize(
    "error",
    [
        sqlite3.OperationalError("no room"),
        OSError("no room"),
        KeyError("no room"),
        ValueError("no room"),
    ],
)
def test_a_step_that_fails_changes_nothing(
    pair: Instep, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def fails(connection: sqlite3.Connection) -> None:
        connection.execute("DROP TRIGGER event_comes_next")
        raise error

    newer(monkeypatch, to_two, fails)
    assert "no room" in pair.wrong("left").lower()
    assert version(pair.basket) == 2
    with closing(sqlite3.connect(pair.basket)) as connection:
        assert changed_layout(connection, "trigger") == []
    newer(monkeypatch, to_two, to_three)
    pair.ok("left")


def test_without_a_copy_nothing_is_brought_on(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    backup_folder(pair.basket).write_text("in its way")
    newer(monkeypatch, to_two)
    pair.wrong("left")
    assert version(pair.basket) == 1


def test_of_two_that_bring_it_on_one_does(pair: Instep, monkeypatch: pytest.MonkeyPatch) -> None:
    newer(monkeypatch, to_two, to_three)
    with closing(sqlite3.connect(pair.basket, isolation_level=None)) as late:
        pair.ok("left")
        formats._take(late, 1)  # it saw form 1 before the other was quicker
    assert version(pair.basket) == 3


# What was released


@pytest.mark.parametrize("form", RELEASED, ids=lambda path: path.name)
def test_a_released_basket_and_its_files_open_and_replay_to_what_was_written_down(
    form: Path, instep: Instep, tmp_path: Path
) -> None:
    wanted = json.loads((form / "told.json").read_text("utf-8"))
    instep.now(wanted["now"])
    copyfile(form / "basket.db", instep.basket)
    for words, said in wanted["basket"]:
        assert facts(instep.json(*words)) == said, words
    assert instep.ok("check") == "Every pair in the basket is sound.\n"
    other = ("--basket", str(tmp_path / "other.db"))
    instep.ok("unpack", str(form / "pair.pack"), *other)
    assert facts(instep.json("left", *other)) == wanted["pack"]
    for file in ("plan.toml", "pattern.toml"):
        assert instep.json("plan", str(form / file))["numbers"] == wanted["numbers"], file
        instep.run("start", str(form / file), *other)
        assert instep.ok("check", str(form / file)) == "Every row comes out.\n"


def test_each_form_so_far_is_among_them() -> None:
    assert [path.name for path in RELEASED] == [
        f"form_{form}" for form in range(1, formats.NEWEST + 1)
    ]
    assert set(formats.STEPS) == set(range(1, formats.NEWEST))


@pytest.mark.parametrize("table", ["plan", "pattern"])
def test_a_file_for_a_newer_instep_is_refused_in_one_line(
    instep: Instep, tmp_path: Path, table: str
) -> None:
    file = tmp_path / "a.toml"
    instep.ok("plan", str(SAMPLE), "-o", str(file))
    text = SAMPLE.read_text("utf-8") if table == "plan" else file.read_text("utf-8")
    newer_text = "format = 2\n" + text.replace("format = 1\n", "")
    file.write_text(newer_text, "utf-8")
    for words in (["check"], ["plan"], ["start"], ["write"]):
        said = instep.wrong(*words, str(file))
        assert said == (
            f"{file}, line 1: format: this was written for a newer Instep (its format 2, this one reads 1);"
            " update Instep"
        )
    file.write_text(newer_text.replace("format = 2", 'format = "two"'), "utf-8")
    assert "write format = 1" in instep.wrong("check", str(file))
    file.write_text(newer_text.replace("format = 2", "format = 1"), "utf-8")
    instep.ok("check", str(file))
