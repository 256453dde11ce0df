"""A basket that was copied in part, cut off or without its log, or its log alone: that is said in a line."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tests.knitting.knitter import SAMPLE
from tests.ui.driving import Clock
from tracker.session import Session
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.mending import mend
from tracker.storage.pattern_file import open_file
from tracker.storage.stamp import Stamp

STEP = 512 if os.environ.get("SWEEP") == "damage" else 4_096
TICKS = 40


@pytest.fixture(scope="module")
def copied(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, bytes]:
    """A basket and its log while she knits: the basket alone is whole, and as it was some acts ago."""
    path = tmp_path_factory.mktemp("open") / "basket.db"
    with Basket.open(path) as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), Clock())
        for _ in range(TICKS // 2):
            session.tick()
        basket._connection.execute("PRAGMA wal_checkpoint(RESTART)")
        for _ in range(TICKS // 2):
            session.tick()
        return path.read_bytes(), path.with_name("basket.db-wal").read_bytes()


def said_of(folder: Path, basket: bytes, log: bytes) -> list[str]:
    """What is said of these files, by opening them or by the audit."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    (folder / "basket.db").write_bytes(basket)
    if log:
        (folder / "basket.db-wal").write_bytes(log)
    try:
        with Basket.open(folder / "basket.db") as opened:
            said = opened.check()
            if not said:
                assert opened.find(None).last == TICKS + 1
                assert opened.pattern_text(opened.find(None))
    except BasketTrouble as trouble:
        return [str(trouble)]
    return said


@pytest.mark.parametrize("with_log", [False, True])
def test_one_that_was_cut_off_is_said(
    copied: tuple[bytes, bytes], tmp_path: Path, with_log: bool
) -> None:
    basket, log = copied
    for length in range(1, len(basket), STEP):
        said = said_of(tmp_path / "a", basket[:length], log if with_log else b"")
        assert said, length
        assert not any("\n" in line for line in said)


def test_with_its_log_it_is_whole(copied: tuple[bytes, bytes], tmp_path: Path) -> None:
    assert said_of(tmp_path / "a", *copied) == []


@pytest.mark.parametrize("is_there", [False, True])
def test_a_log_without_its_basket_is_kept_and_no_other_is_begun(
    copied: tuple[bytes, bytes], tmp_path: Path, is_there: bool
) -> None:
    """SQLite would take it away with all that is in it."""
    path, log = tmp_path / "basket.db", tmp_path / "basket.db-wal"
    log.write_bytes(copied[1])
    if is_there:
        path.write_bytes(b"")
    with pytest.raises(BasketTrouble, match="is gone or empty, and its log is there"):
        Basket.open(path)
    with pytest.raises(BasketTrouble, match="nothing was changed"):
        mend(path, Stamp(0, 0))
    assert log.read_bytes() == copied[1]
    assert path.exists() == is_there
    path.write_bytes(copied[0])
    with Basket.open(path) as basket:
        assert basket.find(None).last == TICKS + 1
