"""A log that was damaged after a kill is noticed: SQLite itself passes over what stands behind the damage."""

from __future__ import annotations

import os
import re
import shutil
import stat
import subprocess
import sys
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from random import Random
from typing import Any

import pytest

from tests.knitting.knitter import SAMPLE
from tests.ui.driving import Clock
from tracker.session import Session
from tracker.storage import log_index, mending, opening
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.mending import mend
from tracker.storage.pattern_file import open_file
from tracker.storage.stamp import Stamp

TICKS = 6
FLIPS = 500 if os.environ.get("SWEEP") == "damage" else 8
SAID = "the log that a killed program left is damaged"


@pytest.fixture
def killed(tmp_path: Path) -> Iterator[Path]:
    """What a program that was killed leaves: the files as they are while it has them open."""
    path, left = tmp_path / "open" / "basket.db", tmp_path / "left"
    with Basket.open(path) as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), Clock())
        for _ in range(TICKS):
            session.tick()
        shutil.copytree(path.parent, left)
    yield left / "basket.db"
    assert not opening._open_here
    assert not opening._logs


def log_of(path: Path) -> Path:
    return path.with_name(f"{path.name}-wal")


def events_of(path: Path) -> int:
    with Basket.open(path) as basket:
        assert basket.check() == []
        return basket.find(None).last


def test_a_whole_log_is_all_there(killed: Path) -> None:
    assert events_of(killed) == TICKS + 1


def test_any_flip_of_the_log_is_said_once_and_the_files_are_kept_as_they_were(
    killed: Path, tmp_path: Path
) -> None:
    whole, random = log_of(killed).read_bytes(), Random(1)  # noqa: S311
    for number in range(FLIPS):
        path = shutil.copytree(killed.parent, tmp_path / str(number)) / "basket.db"
        turned = bytearray(whole)
        turned[random.randrange(len(whole))] ^= 1 << random.randrange(8)
        log_of(path).write_bytes(turned)
        with pytest.raises(BasketTrouble, match=SAID) as said:
            Basket.open(path)
        aside = path.with_name("basket.db-damaged-log")
        assert str(aside) in str(said.value)
        assert aside.read_bytes() == killed.read_bytes()
        assert log_of(aside).read_bytes() == turned
        assert {stat.S_IMODE(one.stat().st_mode) for one in (aside, log_of(aside))} == {0o600}
        assert log_of(path).read_bytes() == turned, "what is left of it is not folded in"
        with Basket.open(path) as basket:
            assert basket.check() == []
            assert all(pair.last <= TICKS for pair in basket.pairs())


def test_an_index_and_a_header_of_nonsense_are_no_index(killed: Path) -> None:
    index, log = killed.with_name("basket.db-shm"), bytearray(log_of(killed).read_bytes())
    wild = bytearray(index.read_bytes())
    wild[16:20] = wild[64:68] = b"\xff" * 4
    log[8:12] = b"\xff" * 4
    index.write_bytes(wild)
    log_of(killed).write_bytes(log)
    with pytest.raises(BasketTrouble, match=SAID):
        Basket.open(killed)
    with Basket.open(killed) as basket:
        assert basket.check() == []


def test_a_log_without_an_end_is_bounded_work(killed: Path) -> None:
    """Of nothing but holes, and of holes behind what is sound."""
    index = killed.with_name("basket.db-shm")
    for keeps_index in (True, False):
        path = shutil.copytree(killed.parent, killed.parent.parent / f"{keeps_index}") / "basket.db"
        os.truncate(log_of(path), 2 << 30)
        if not keeps_index:
            path.with_name(index.name).unlink()
        assert events_of(path) == TICKS + 1
    with log_of(killed).open("wb") as log:
        log.truncate(2 << 30)
    index.unlink()
    handle = os.open(killed, os.O_RDONLY)
    found = log_index.LogIndex(killed, handle)
    assert len(found._log) == log_index.MOST_BYTES
    found.close()
    os.close(handle)
    with Basket.open(killed) as basket:
        assert basket.check() == []


def test_no_more_frames_are_tried_than_are_looked_through(killed: Path) -> None:
    class Counted(BytesIO):
        reads = 0

        def read(self, size: int | None = -1, /) -> bytes:
            Counted.reads += 1
            if self.tell() >= 1 << 20:  # a hole without an end
                return bytes(size or 0)
            return super().read(size)

    whole = log_of(killed).read_bytes()
    told = log_index._Told(1_000_000, 0, whole[16:24])
    assert not log_index._holds_more(Counted(whole), told)
    assert Counted.reads <= log_index.MOST_BYTES // 4_096 + 1


@pytest.mark.parametrize("end", ["-wal", "-shm", "-damaged-log-wal"])
def test_a_pipe_beside_it_is_not_waited_for(killed: Path, end: str) -> None:
    turned = bytearray(log_of(killed).read_bytes())
    turned[32 + 24 + 200 + 4_120] ^= 1
    log_of(killed).write_bytes(turned)
    killed.with_name("basket.db-shm").unlink()
    pipe = killed.with_name(f"{killed.name}{end}")
    pipe.unlink(missing_ok=True)
    os.mkfifo(pipe)
    code = "from tracker.cli import main; raise SystemExit(main(['left']))"
    done = subprocess.run(
        [sys.executable, "-c", code], env={**os.environ, "INSTEP_BASKET": str(killed)}, timeout=60,
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.stderr.count("\n") == done.returncode, done.stderr


@pytest.mark.parametrize("left", [0, 20, 5_000])
def test_a_log_that_was_cut_short_is_noticed(killed: Path, left: int) -> None:
    log_of(killed).write_bytes(log_of(killed).read_bytes()[:left])
    with pytest.raises(BasketTrouble, match=SAID):
        Basket.open(killed)


def test_a_log_that_is_gone_is_noticed(killed: Path) -> None:
    log_of(killed).unlink()
    with pytest.raises(BasketTrouble, match=SAID):
        Basket.open(killed)


def test_where_it_cannot_be_kept_aside_it_is_said_all_the_same(
    killed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError("no room")

    monkeypatch.setattr(shutil, "copyfile", full)
    log_of(killed).write_bytes(log_of(killed).read_bytes()[:5_000])
    with pytest.raises(BasketTrouble, match=SAID) as said:
        Basket.open(killed)
    assert "kept in" not in str(said.value)


def test_a_log_that_another_program_begins_anew_is_not_taken_for_damaged(tmp_path: Path) -> None:
    path = tmp_path / "basket.db"
    with Basket.open(path) as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), Clock())
        inode = basket._inode or (0, 0)
        index = opening._logs[inode]
        index.close()
        again = type(index)(path, opening._open_here[inode][1])
        assert again._before is not None
        assert again._before.frames > 0
        for mode in ("TRUNCATE", "RESTART"):
            basket._connection.execute(f"PRAGMA wal_checkpoint({mode})")
            assert not again.is_lost()
            session.tick()
            assert not again.is_lost()
    again.close()


WRITES = """
import sys
from pathlib import Path
from tests.ui.driving import Clock
from tracker.session import Session
from tracker.storage.basket import Basket
with Basket.open(Path(sys.argv[1])) as basket:
    session = Session(basket, basket.find(None), Clock())
    session.tick()
    print("recorded", flush=True)
    sys.stdin.readline()
    session.tick()
"""


def test_one_whose_file_was_replaced_leaves_the_log_to_the_new_one(tmp_path: Path) -> None:
    """Both have one log, for it goes by its name: folded into the old file the new acts would be lost."""
    path = tmp_path / "basket.db"
    with Basket.open(path) as basket:
        Session.start(basket, open_file(str(SAMPLE)), Clock())
        basket._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        path.rename(tmp_path / "moved")
        shutil.copy(tmp_path / "moved", path)
        other = subprocess.Popen(
            [sys.executable, "-c", WRITES, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        assert other.stdin is not None
        assert other.stdout is not None
        assert other.stdout.readline() == b"recorded\n"
    with other:
        other.stdin.write(b"\n")
    assert other.returncode == 0
    assert events_of(path) == 3
    assert events_of(tmp_path / "moved") == 1


def test_a_tick_that_comes_while_a_basket_is_mended_is_refused(
    killed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It would be answered, and stand in the file that is set aside."""
    laid, said = mending._laid, list[str]()

    def beside(*given: Any) -> list[mending.Saved]:
        tick = [sys.executable, "-m", "tracker", "tick", "--basket", str(killed)]
        said.append(subprocess.run(tick, capture_output=True, text=True, check=False).stderr)
        return laid(*given)

    monkeypatch.setattr(mending, "_laid", beside)
    assert mend(killed, Stamp(0, 0)).pairs[0].events == TICKS + 1
    assert "busy" in said[0]
    assert events_of(killed) == TICKS + 1


def test_the_way_back_by_hand_as_the_readme_has_it(killed: Path) -> None:
    """Over the log of a killed program, which would be read as that of the backup."""
    folder = killed.parent
    text = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    found = re.search(r"`(rm -f [^`]*cp basket\.db-backups/2026-03-11\.db basket\.db)`", text)
    assert found is not None
    (folder / "basket.db-backups").mkdir()
    with Basket.open(folder / "basket.db-backups" / "2026-03-11.db") as backup:
        Session.start(backup, open_file(str(SAMPLE)), Clock())
    subprocess.run(found[1], shell=True, cwd=folder, check=True)  # noqa: S602 - our own words
    assert events_of(killed) == 1


def test_a_basket_behind_a_link_is_mended_with_its_log(killed: Path, tmp_path: Path) -> None:
    """The log lies beside the file itself, and so does all that is made of it; the link stays one."""
    link = tmp_path / "elsewhere" / "linked.db"
    link.parent.mkdir()
    link.symlink_to(killed)
    spoilt = killed.read_bytes()[:100] + b"\xff" * 4_000 + killed.read_bytes()[4_100:]
    killed.write_bytes(spoilt)
    assert mend(link, Stamp(0, 0)).pairs[0].events == TICKS + 1
    assert link.is_symlink()
    assert os.listdir(link.parent) == [link.name]
    assert events_of(link) == events_of(killed) == TICKS + 1
