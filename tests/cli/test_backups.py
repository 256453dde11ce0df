"""Backups: a day's copy, seven of them, whole, hers alone, never one that is damaged; and the way back."""

from __future__ import annotations

import os
import sqlite3
import stat
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from shutil import copyfile
from subprocess import PIPE, Popen, run
from tempfile import TemporaryDirectory
from threading import Thread
from typing import Any

import pytest

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE
from tests.ui.driving import Clock, until
from tracker.session import Session
from tracker.storage import backups, formats, mending
from tracker.storage.backups import KEPT, back_up, backups_of, is_due
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.mending import Saved, _told_again, mend
from tracker.storage.opening import backup_folder
from tracker.storage.pattern_file import open_file
from tracker.storage.salvage import Source
from tracker.storage.stamp import Stamp
from tracker.storage.trouble import BasketBusy
from tracker.ui.knitting_app import KnittingApp

DAY = 86_400_000
NOON = Stamp(1_772_362_800_000, 60)
"""1 March 2026, noon by a clock an hour east."""


@pytest.fixture(autouse=True)
def _they_are_due(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(backups, "is_due", is_due)


@pytest.fixture
def hers(instep: Instep) -> Iterator[Instep]:
    """A basket with a pair, and the backup of the day it was begun."""
    umask = os.umask(0)
    instep.ok("start", str(SAMPLE))
    yield instep
    os.umask(umask)


def names(path: Path) -> list[str]:
    return [one.name for one in backups_of(path)]


def after(days: int) -> Stamp:
    return Stamp(NOON.at + days * DAY, NOON.offset)


def test_the_first_act_of_a_day_is_followed_by_its_backup(hers: Instep) -> None:
    assert names(hers.basket) == ["2026-03-01.db"]
    (copy,) = backups_of(hers.basket)
    begun = copy.read_bytes()
    hers.ok("tick", "3")
    assert copy.read_bytes() == begun, "one a day"
    hers.now("2026-03-02T09:00:00+01:00")
    hers.ok("left")
    assert names(hers.basket) == ["2026-03-01.db"], "what only tells makes none"
    hers.ok("tick", "2")
    assert names(hers.basket) == ["2026-03-02.db", "2026-03-01.db"]
    assert hers.json("left", "--basket", str(backups_of(hers.basket)[0]))["done"] == 5
    assert hers.json("left", "--basket", str(copy))["done"] == 0


def test_the_day_is_that_of_her_own_clock(hers: Instep) -> None:
    hers.now("2026-03-02T00:30:00+14:00")  # still the 1st in Greenwich
    hers.ok("tick")
    assert names(hers.basket)[0] == "2026-03-02.db"


def test_folder_and_files_are_hers_alone_and_nothing_else_is_left(hers: Instep) -> None:
    folder = backup_folder(hers.basket)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert [one.name for one in folder.iterdir()] == ["2026-03-01.db"]
    assert {stat.S_IMODE(one.stat().st_mode) for one in folder.iterdir()} == {0o600}


def test_the_newest_seven_are_kept(hers: Instep) -> None:
    for days in range(10):
        back_up(hers.basket, after(days))
    assert names(hers.basket) == [f"2026-03-{day:02}.db" for day in range(10, 3, -1)]
    assert len(names(hers.basket)) == KEPT


def test_those_of_a_clock_that_ran_ahead_go_first(hers: Instep) -> None:
    for days in (4_000, 5_000, 0, 1, 2, 3, 4, 5):
        back_up(hers.basket, after(days))
    assert "2026-03-01.db" in names(hers.basket)
    assert len(names(hers.basket)) == KEPT
    assert sum(name > "2027" for name in names(hers.basket)) == 1


def test_what_is_no_backup_is_left_alone(hers: Instep) -> None:
    folder = backup_folder(hers.basket)
    for name in ("mine.db", "form-1.db", "2025-01-01.db.part", "2025-01-01.db.part-journal"):
        (folder / name).write_bytes(b"")
    for days in range(9):
        back_up(hers.basket, after(days))
    assert {"mine.db", "form-1.db"} < set(names(hers.basket))
    assert not list(folder.glob("*.part*")), "of one that was interrupted nothing stays"


def damage(path: Path) -> None:
    """A tick is not what was recorded."""
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("DROP TRIGGER event_is_never_changed")
        connection.execute("UPDATE event SET at = at + 1 WHERE number = 3")


def test_a_damaged_basket_takes_no_backups_place(hers: Instep) -> None:
    hers.ok("tick", "3")
    hers.ok("tick", "4")
    damage(hers.basket)
    hers.now("2026-03-02T09:00:00+01:00")
    code, out, err = hers.run("start", str(SAMPLE))
    assert (code, out) == (0, "night-ferry-2\n")
    assert err.startswith(
        "note: the basket is damaged, so that today's is not kept among its backups"
    )
    assert err.count("\n") == 1
    assert names(hers.basket) == ["2026-03-01.db"]
    assert [one.name for one in backup_folder(hers.basket).iterdir()] == ["2026-03-01.db"]


def test_a_backup_that_cannot_be_made_is_a_note(hers: Instep) -> None:
    folder = backup_folder(hers.basket)
    (folder / "2026-03-01.db").unlink()
    folder.rmdir()
    folder.write_text("in its way")
    code, _, err = hers.run("tick")
    assert code == 0
    assert err.startswith("note: today's backup is not made (")
    assert "all that was recorded is kept" in err
    assert "nothing was recorded" not in err
    assert hers.json("left")["done"] == 1


def test_two_programs_that_make_it_at_once_leave_a_whole_one(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    looks_over, begun = backups._wrong_with, list[Path]()

    def another_is_quicker(copy: Path) -> str:
        begun.append(copy)
        if len(begun) == 1:
            back_up(hers.basket, after(1))
        return looks_over(copy)

    monkeypatch.setattr(backups, "_wrong_with", another_is_quicker)
    back_up(hers.basket, after(1))
    assert len(set(begun)) == 2, "each has a copy of its own"
    newest = backups_of(hers.basket)[0]
    assert newest.name == "2026-03-02.db"
    assert hers.json("left", "--basket", str(newest))["pair"] == "night-ferry"
    assert not list(newest.parent.glob("*.part*"))


def test_a_copy_that_was_taken_away_is_no_backup(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    looks_over = backups._wrong_with

    def taken_away(copy: Path) -> str:
        copy.unlink()
        return looks_over(copy)

    monkeypatch.setattr(backups, "_wrong_with", taken_away)
    with pytest.raises(BasketTrouble):
        back_up(hers.basket, after(1))
    assert names(hers.basket) == ["2026-03-01.db"]


def test_it_is_made_while_another_writes(hers: Instep) -> None:
    with Basket.open(hers.basket) as basket:
        session = Session(basket, basket.find(None), lambda: NOON)
        thread = Thread(target=back_up, args=(hers.basket, after(1)))
        thread.start()
        for _ in range(20):
            session.tick()
        thread.join()
        back_up(hers.basket, after(2))
    with Basket.open(backups_of(hers.basket)[0]) as copy:
        assert copy.check() == []
        assert copy.find(None).last == 21


async def test_at_the_needles_it_is_made_aside(tmp_path: Path) -> None:
    with Basket.open(tmp_path / "basket.db") as basket:
        clock = Clock()
        session = Session.start(basket, open_file(str(SAMPLE)), clock)
        app = KnittingApp(basket, session, clock)
        async with app.run_test(size=(80, 24)) as pilot:
            await until(pilot, app, "Cast on 64")
            await pilot.press("space")
            while not names(basket.path):
                await pilot.pause(0.05)
        assert len(names(basket.path)) == 1


async def test_a_screen_left_open_makes_none_for_days_without_an_act(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seven days of nothing would push the backups of seven days' work out."""
    made: list[KnittingApp] = []
    with Basket.open(tmp_path / "basket.db") as basket:
        clock = Clock()
        session = Session.start(basket, open_file(str(SAMPLE)), clock)
        app = KnittingApp(basket, session, clock)
        monkeypatch.setattr(KnittingApp, "_back_up", lambda self: made.append(self))
        async with app.run_test(size=(80, 24)) as pilot:
            await until(pilot, app, "Cast on 64")
            for _ in range(3):
                app.back_up_if_due()
                clock.at += DAY
            session.tick()
            app.back_up_if_due()
            await app.workers.wait_for_complete()
    assert len(made) == 2


# The way back


def test_mending_leaves_a_basket_alone_that_it_cannot_help(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Acts that make no sense under right checksums are in the new one as well."""
    hers.ok("tick", "3")
    before = hers.basket.read_bytes()

    def fails(*_: object) -> None:
        raise KeyError("no such row")

    monkeypatch.setattr("tracker.tellable.look", fails)
    told = hers.wrong("mend")
    assert "night-ferry cannot be shown" in told
    assert "put a backup in the place of the basket; nothing was changed" in told
    assert hers.basket.read_bytes() == before
    assert not list(hers.basket.parent.glob("*-damaged-*"))


def test_a_damaged_basket_all_the_way_back(hers: Instep) -> None:
    """What is damaged is said, `mend` brings all that is sound, and she knits on."""
    hers.ok("tick", "3")
    hers.ok("tick", "4")
    hers.ok("note", "the red needles")
    told = hers.ok("history")
    back_up(hers.basket, after(1))
    hers.ok("tick", "2")
    damage(hers.basket)
    spoilt = hers.basket.read_bytes()
    said = hers.wrong("left")
    assert said.startswith("event 3 of night-ferry is damaged, and nothing was changed;")
    assert '"instep mend" saves what is sound' in said
    code, _, err = hers.run("check")
    assert code == 1
    assert "instep mend saves what is sound" in err
    lines = hers.ok("mend").splitlines()
    assert lines[0] == "night-ferry: whole, with 5 events."
    aside = hers.basket.with_name("basket.db-damaged-2026-03-01-200000")
    assert lines[1] == f"The damaged file is set aside: {aside}"
    assert aside.read_bytes() == spoilt
    assert hers.ok("check") == "Every pair in the basket is sound.\n"
    assert hers.json("left")["done"] == 9
    assert hers.ok("history").startswith(told)
    hers.ok("tick")
    assert hers.ok("mend") == "Every pair in the basket is sound.\n"


def test_without_a_backup_the_longest_sound_part_is_saved(hers: Instep) -> None:
    backups_of(hers.basket)[0].unlink()
    hers.ok("tick", "3")
    hers.ok("tick", "4")
    damage(hers.basket)
    told = hers.json("mend")
    assert told["pairs"] == [{"pair": "night-ferry", "events": 2, "known": 3}]
    assert Path(told["aside"]).exists()
    assert hers.json("left")["done"] == 3


def test_what_was_set_aside_serves_once_more(hers: Instep) -> None:
    """A mended basket that is lost altogether: the file that was set aside still has the rest."""
    backups_of(hers.basket)[0].unlink()
    for _ in range(5):
        hers.ok("tick")
    damage(hers.basket)
    hers.ok("mend")
    hers.basket.write_bytes(b"spoilt")
    assert "night-ferry: 2 of its 6 events" in hers.ok("mend")


def test_a_basket_that_is_open_is_not_mended(hers: Instep) -> None:
    hers.ok("tick", "3")
    hers.ok("tick", "4")
    damage(hers.basket)
    with closing(sqlite3.connect(hers.basket)) as other:
        other.execute("SELECT * FROM pair").fetchone()
        assert hers.wrong("mend").startswith(
            "the basket is open in another program, and nothing was"
        )
    assert hers.ok("mend")


def test_the_log_of_a_lost_file_is_no_part_of_the_mended_one(hers: Instep) -> None:
    """It holds pages of what was lost, and would be read into whatever has that name."""
    log = hers.basket.with_name("basket.db-wal")
    with Basket.open(hers.basket) as basket:
        Session(basket, basket.find(None), lambda: NOON).tick(3)
        left = log.read_bytes()
    hers.basket.unlink()
    log.write_bytes(left)
    told = hers.json("mend")
    assert told["pairs"] == [{"pair": "night-ferry", "events": 1, "known": 1}]
    assert hers.json("left")["done"] == 0
    aside = Path(told["aside"])
    assert aside.with_name(f"{aside.name}-wal").read_bytes() == left


def test_where_there_never_was_a_basket_nothing_is_mended_and_none_is_made(instep: Instep) -> None:
    assert instep.wrong("mend").startswith("nothing of a basket is sound here, there is no backup")
    assert not instep.basket.exists()


def test_a_link_in_a_circle_is_not_mended(instep: Instep) -> None:
    instep.basket.symlink_to(instep.basket)
    assert instep.wrong("mend").count("\n") <= 1


@pytest.mark.parametrize("column", ["uid", "pattern"])
def test_a_line_whose_columns_are_of_another_kind_is_no_line(hers: Instep, column: str) -> None:
    """What stands on a damaged page may be a number where a text was."""
    with Basket.open(hers.basket) as basket:
        pair = basket.find(None)
    with closing(Source(hers.basket, "mode=ro")) as source:
        (line,) = source.lines
        assert _told_again(line, source) is not None
        of_another_kind: dict[str, Any] = {column: 7}
        assert _told_again(line._replace(**of_another_kind), source) is None
    assert line.uid == pair.uid


def test_what_a_link_leads_to_is_mended_there(hers: Instep) -> None:
    there = hers.basket.parent / "elsewhere" / "socks.db"
    there.parent.mkdir()
    hers.ok("tick", "2")
    hers.ok("tick", "3")
    hers.basket.rename(there)
    hers.basket.symlink_to(there)
    damage(there)
    aside = Path(hers.json("mend")["aside"])
    assert aside.parent == there.parent
    assert hers.basket.is_symlink()
    assert hers.json("left", "--basket", str(there))["done"] == 2


def test_what_was_set_aside_is_found_by_any_name(hers: Instep) -> None:
    backups_of(hers.basket)[0].unlink()
    basket = hers.basket.with_name("socks [new].db")
    hers.basket.rename(basket)
    there = ("--basket", str(basket))
    for _ in range(4):
        hers.ok("tick", *there)
    damage(basket)
    hers.ok("mend", *there)
    for backup in backups_of(basket):
        backup.unlink()
    basket.write_bytes(b"spoilt")
    assert "night-ferry: 2 of its 5 events" in hers.ok("mend", *there)


def test_a_strangers_file_is_not_mended(instep: Instep) -> None:
    with closing(sqlite3.connect(instep.basket)) as stash, stash:
        stash.execute("CREATE TABLE stash (yarn TEXT)")
    before = instep.basket.read_bytes()
    assert instep.wrong("mend").startswith("nothing of a basket is sound here, there is no backup")
    assert instep.basket.read_bytes() == before
    assert [one.name for one in instep.basket.parent.iterdir()] == [instep.basket.name]


def test_a_newer_basket_is_not_mended(hers: Instep) -> None:
    with closing(sqlite3.connect(hers.basket)) as basket, basket:
        basket.execute("PRAGMA user_version = 2")
    before = hers.basket.read_bytes()
    assert "newer Instep" in hers.wrong("mend")
    assert hers.basket.read_bytes() == before


def older_form(path: Path) -> None:
    """Make it one of a pretended form before this one, whose tables had another column."""
    with closing(sqlite3.connect(path)) as basket, basket:
        basket.execute("ALTER TABLE pair RENAME COLUMN touch TO touches")


def brought_on(connection: sqlite3.Connection) -> None:
    connection.execute("ALTER TABLE pair RENAME COLUMN touches TO touch")


def is_later(monkeypatch: pytest.MonkeyPatch) -> None:
    """This Instep is a later one: what it writes from here on is of form 2."""
    monkeypatch.setattr(formats, "NEWEST", 2)
    monkeypatch.setattr(formats, "STEPS", {1: brought_on})


def test_backups_of_an_older_form_serve_as_well(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    hers.ok("tick", "3")
    back_up(hers.basket, NOON)
    (backup,) = backups_of(hers.basket)
    older_form(backup)
    before = backup.read_bytes()
    is_later(monkeypatch)
    hers.basket.write_bytes(b"spoilt")
    assert "night-ferry: whole, with 2 events" in hers.ok("mend")
    assert hers.json("left")["done"] == 3
    assert backup.read_bytes() == before


def test_what_was_put_aside_before_bringing_on_serves_as_well(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    hers.ok("tick", "3")
    backups_of(hers.basket)[0].unlink()
    older_form(hers.basket)
    is_later(monkeypatch)
    hers.ok("left")
    assert names(hers.basket) == ["form-1.db"]
    hers.basket.unlink()
    assert "night-ferry: whole, with 2 events" in hers.ok("mend")


def test_a_damaged_file_of_an_older_form_is_read_too(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By itself: the beginning of a new basket need not fit one whose tables lie elsewhere."""
    monkeypatch.setattr(mending, "graft", lambda *_: b"")
    backups_of(hers.basket)[0].unlink()
    hers.ok("tick", "3")
    hers.ok("tick", "4")
    damage(hers.basket)
    older_form(hers.basket)
    before = hers.basket.read_bytes()
    is_later(monkeypatch)
    mended = mend(hers.basket, NOON)
    assert mended.pairs == (Saved("night-ferry", 2, 3),)
    assert mended.aside is not None
    assert mended.aside.read_bytes() == before


def test_an_older_file_that_cannot_be_brought_on_hinders_nothing(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another copy is there, and serves."""
    hers.ok("tick", "3")
    back_up(hers.basket, NOON)
    (older,) = backups_of(hers.basket)
    older_form(older)
    spoilt = older.with_name("2026-03-02.db")
    copyfile(older, spoilt)
    with closing(sqlite3.connect(spoilt)) as basket, basket:
        basket.execute("DROP TABLE pair")
    is_later(monkeypatch)
    hers.basket.unlink()
    assert "night-ferry: whole, with 2 events" in hers.ok("mend")


def test_a_step_that_fails_on_an_older_backup_hinders_no_mending(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In whatever way: what a step is given may be damaged."""
    hers.ok("tick", "3")
    back_up(hers.basket, NOON)
    (older,) = backups_of(hers.basket)
    older_form(older)
    spoilt = older.with_name("2026-03-02.db")
    copyfile(older, spoilt)
    is_later(monkeypatch)

    def fails_once(connection: sqlite3.Connection) -> None:
        monkeypatch.setattr(formats, "STEPS", {1: brought_on})
        raise KeyError("stitches")

    monkeypatch.setattr(formats, "STEPS", {1: fails_once})
    hers.basket.unlink()
    assert "night-ferry: whole, with 2 events" in hers.ok("mend")


MENDS = """
import sys
from pathlib import Path
from tracker.storage import mending
from tracker.storage.stamp import Stamp
from tracker.storage.trouble import BasketBusy
laid = mending._laid
def beside(*given):
    print("holds it", flush=True)
    sys.stdin.readline()
    return laid(*given)
mending._laid = beside
try:
    print(mending.mend(Path(sys.argv[1]), Stamp(0, 0)).pairs[0].events, flush=True)
except BasketBusy:
    print("busy", flush=True)
"""


def test_a_lost_file_is_mended_by_one_program_at_a_time(hers: Instep) -> None:
    """The other is told so at once; she knits on in what the quicker one made, and that stays."""
    hers.ok("tick", "3")
    back_up(hers.basket, NOON)
    hers.basket.unlink()
    mends = [sys.executable, "-c", MENDS, str(hers.basket)]
    with Popen(mends, stdin=PIPE, stdout=PIPE, text=True) as one:
        assert one.stdin is not None
        assert one.stdout is not None
        assert one.stdout.readline() == "holds it\n"
        other = run(mends, input="\n", capture_output=True, text=True, check=True)
        assert other.stdout == "busy\n"
        assert "instep mend brings it back" in hers.wrong("tick")
        one.stdin.write("\n")
        one.stdin.flush()
        assert one.stdout.readline() == "2\n"
    hers.ok("tick")
    assert hers.json("left")["done"] == 4
    assert not list(hers.basket.parent.glob("*-mending*"))
    assert not list(hers.basket.parent.glob("*-damaged-*00")), "but the log of the lost file may be"


def test_a_mending_that_comes_to_nothing_leaves_no_file(hers: Instep) -> None:
    for one in (hers.basket, *backups_of(hers.basket)):
        one.write_bytes(b"")
    hers.basket.unlink()
    hers.wrong("mend")
    assert not hers.basket.exists()


def test_two_that_mend_at_once_keep_out_of_each_others_way(
    hers: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a lost file there is nothing to hold; what the quicker one made, and she may knit by, stays."""
    hers.ok("tick", "3")
    back_up(hers.basket, NOON)
    hers.basket.unlink()
    left = hers.basket.with_name("basket.db-mending")
    left.mkdir()
    laid, quicker = mending._laid, list[mending.Mended]()

    def beside(*given: Any) -> list[Saved]:
        if not quicker:
            quicker.append(mending.Mended((), None))
            quicker[0] = mend(hers.basket, NOON)
        assert given[0].parent.stat().st_mode & 0o777 == 0o700
        return laid(*given)

    monkeypatch.setattr(mending, "_laid", beside)
    with pytest.raises(BasketBusy, match="the basket is open in another program, and nothing was"):
        mend(hers.basket, NOON)
    assert quicker[0].pairs == (Saved("night-ferry", 2, 2),)
    assert not list(hers.basket.parent.glob("*-damaged-*00")), "but the log of the lost file may be"
    assert hers.json("left")["done"] == 3
    assert list(hers.basket.parent.glob("*-mending*")) == [left], "another's is not taken away"


def test_a_sound_basket_that_may_only_be_read_is_not_mended(hers: Instep) -> None:
    """For root may do everything, it is another user who tries."""
    hers.ok("tick", "3")
    before, user = hers.basket.read_bytes(), os.geteuid()
    there = sorted(hers.basket.parent.iterdir())
    with TemporaryDirectory() as name:
        Path(name).chmod(0o777)
        basket = Path(name, "basket.db")
        copyfile(hers.basket, basket)
        basket.chmod(0o444)
        try:
            if user == 0:
                os.seteuid(65534)
            told = hers.wrong("mend", "--basket", str(basket))
            checked = hers.wrong("check", "--basket", str(basket))
        finally:
            os.seteuid(user)
        assert basket.read_bytes() == before
        assert [one.name for one in basket.parent.iterdir()] == ["basket.db"]
    assert told.startswith("the basket may only be read and nothing was recorded; make its file")
    assert "instep mend" not in checked
    assert sorted(hers.basket.parent.iterdir()) == there


def test_pairs_that_are_away_stay_away_and_the_last_one_stays_in_hand(hers: Instep) -> None:
    for _ in range(2):
        hers.ok("start", str(SAMPLE))
    hers.ok("away", "night-ferry-2")
    hers.ok("tick", "2", "--pair", "night-ferry")
    with closing(sqlite3.connect(hers.basket)) as basket, basket:
        basket.execute("UPDATE pair SET title = 'Another' WHERE id = 3")
    assert "the line of night-ferry-3 in the list is damaged" in hers.wrong("left")
    assert hers.json("left", "--pair", "night-ferry")["done"] == 2
    assert "night-ferry-3: whole, with 1 event." in hers.ok("mend")
    assert hers.json("left")["pair"] == "night-ferry"
    assert [one["pair"] for one in hers.json("basket")["pairs"]] == ["night-ferry", "night-ferry-3"]
    assert hers.json("left", "--pair", "night-ferry-3")["title"] == "Night ferry"


def test_a_line_that_was_lost_is_noticed(hers: Instep) -> None:
    hers.ok("start", str(SAMPLE))
    with closing(sqlite3.connect(hers.basket)) as basket, basket:
        basket.execute("DROP TRIGGER pair_is_never_erased")
        basket.execute("DELETE FROM pair WHERE id = 2")
    assert "the list of the pairs is damaged" in hers.wrong("left")


def test_every_column_of_a_line_is_sealed(hers: Instep) -> None:
    whole = hers.basket.read_bytes()
    for change in (
        "short = 'a'", "title = ''", "source = ''", "count = 'needles'", "away = 1", "last = 2", "done = 7",
        "chain = zeroblob(16)", "touched = 0", "touch = 9", "sock = 2", "section = 'leg'", "in_step = 0",
        "rounds_behind = 1", "stitches_behind = 1", "seal = zeroblob(16)",
    ):  # fmt: skip
        hers.basket.write_bytes(whole)
        with closing(sqlite3.connect(hers.basket)) as basket, basket:
            basket.execute(f"UPDATE pair SET {change}")  # noqa: S608
        for words in (["left"], ["basket"], ["tick"], ["away", "night-ferry"]):
            assert "is damaged" in hers.wrong(*words), change


def test_a_changed_layout_is_noticed(hers: Instep) -> None:
    with closing(sqlite3.connect(hers.basket)) as basket, basket:
        basket.execute("CREATE TABLE stash (yarn TEXT)")
    with pytest.raises(BasketTrouble, match=r"the layout of the basket \(stash\) is damaged"):
        Basket.open(hers.basket)
