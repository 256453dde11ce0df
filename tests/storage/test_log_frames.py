"""A log without its index: all of it is read, or what is lost is said, but for what nobody can tell."""

from __future__ import annotations

import os
import shutil
import struct
from collections.abc import Sequence
from pathlib import Path
from random import Random
from typing import NamedTuple

import pytest

from tests.knitting.knitter import SAMPLE
from tests.ui.driving import Clock
from tracker.session import Session
from tracker.storage import log_frames
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.log_frames import _added, look_through
from tracker.storage.pattern_file import open_file

IN_ALL = os.environ.get("SWEEP") == "damage"
SEED = int(os.environ.get("SEED", "1"))
TICKS = 4
SAID = "the log that a killed program left is damaged"
_FRAME = 24 + 4_096


class Left(NamedTuple):
    """What a loss of power leaves: basket and log, no index; behind how many frames each commit ends."""

    basket: bytes
    log: bytes
    ends: list[int]

    def page_of(self, begins: int, many: int) -> bytes:
        return self.basket[begins : begins + many]

    def begins_last(self) -> int:
        """The byte at which the last commit begins."""
        return 32 + self.ends[-2] * _FRAME

    def put(self, folder: Path, log: bytes) -> Path:
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        (folder / "basket.db").write_bytes(self.basket)
        (folder / "basket.db-wal").write_bytes(log)
        return folder / "basket.db"


def ends_of(log: bytes) -> list[int]:
    frames = range((len(log) - 32) // _FRAME)
    return [n + 1 for n in frames if log[32 + n * _FRAME + 4 : 32 + n * _FRAME + 8] != bytes(4)]


@pytest.fixture(scope="module", params=["first", "begun anew"])
def left(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Left:
    """A log that was never folded in, and one that was, with older frames behind the newer ones."""
    path = tmp_path_factory.mktemp("left") / "basket.db"
    with Basket.open(path) as basket:
        session = Session.start(basket, open_file(str(SAMPLE)), Clock())
        if request.param == "begun anew":
            for _ in range(2 * TICKS):
                session.tick()
            basket._connection.execute("PRAGMA wal_checkpoint(RESTART)")
        for _ in range(TICKS):
            session.tick()
        log = path.with_name("basket.db-wal").read_bytes()
        newest = [n for n in ends_of(log) if log[24 - _FRAME + n * _FRAME + 16 :][:8] == log[16:24]]
        return Left(path.read_bytes(), log, newest)


def all_events(left: Left, folder: Path) -> int:
    return events_of(left.put(folder, left.log))


def events_of(path: Path) -> int:
    with Basket.open(path) as basket:
        assert basket.check() == []
        pairs = basket.pairs()
        return pairs[0].last if pairs else 0


def turned(log: bytes, at: int, by: int) -> bytes:
    return log[:at] + bytes([log[at] ^ by]) + log[at + 1 :]


def places(left: Left, many: int) -> list[int]:
    """Bytes of what the log holds now; half of them in the header and in the heads of frames."""
    random = Random(SEED)  # noqa: S311 - nothing is secret
    heads = [*range(32), *(32 + n * _FRAME + at for n in range(left.ends[-1]) for at in range(24))]
    whole = range(32 + left.ends[-1] * _FRAME)
    return [
        *random.sample(heads, min(many // 2, len(heads))),
        *random.sample(whole, many - many // 2),
    ]


def test_a_whole_log_is_whole(left: Left, tmp_path: Path) -> None:
    found = look_through(left.log, left.page_of)
    assert found == (left.ends[-1], False)
    assert len(left.ends) > TICKS - 1
    assert all_events(left, tmp_path / "a") > TICKS


def test_any_flip_is_said_but_one_in_the_last_commit(left: Left, tmp_path: Path) -> None:
    many = 4_000 if IN_ALL else 16
    events, random = all_events(left, tmp_path / "a"), Random(SEED)  # noqa: S311
    for at in places(left, many):
        path = left.put(tmp_path / "a", turned(left.log, at, 1 << random.randrange(8)))
        if at >= left.begins_last():
            assert events_of(path) >= events - 1, at
            continue
        with pytest.raises(BasketTrouble, match=SAID) as said:
            Basket.open(path)
        assert said.value.args[0].count("\n") == 0
        assert path.with_name("basket.db-damaged-log").read_bytes() == left.basket
        # Said once: what stands before the damage can be used then, and is folded in.
        assert events_of(path) < events, at
        assert not path.with_name("basket.db-wal").exists()


def test_any_flip_of_its_header_is_said(left: Left, tmp_path: Path) -> None:
    """SQLite reads nothing of it then, and takes over the salts even of a header that is not sound."""
    events = all_events(left, tmp_path / "a")
    for at in range(32):
        path = left.put(tmp_path / "a", turned(left.log, at, 1 << at % 8))
        with pytest.raises(BasketTrouble, match=SAID):
            Basket.open(path)
        assert events_of(path) < events, at
        assert not path.with_name("basket.db-wal").exists()


def test_every_flip_of_every_byte(left: Left) -> None:
    """As the one above, below the basket: all bytes on demand."""
    whole = range(32 + left.ends[-1] * _FRAME)
    for at in whole if IN_ALL else places(left, 80):
        lost = look_through(turned(left.log, at, 1 << at % 8), left.page_of).lost
        assert lost == (at < left.begins_last()), at


@pytest.mark.parametrize("size", [512, 4_096, 9_000])
def test_a_part_that_was_wiped_out_is_said(left: Left, size: int) -> None:
    behind = 32 + left.ends[-3] * _FRAME
    for at in range(0, behind - size, 512 if IN_ALL else 12_288):
        log = left.log[:at] + bytes(size) + left.log[at + size :]
        was_nothing = log == left.log
        assert look_through(log, left.page_of).lost != was_nothing, at


def test_a_tail_that_is_torn_is_no_damage(left: Left, tmp_path: Path) -> None:
    whole = 32 + left.ends[-1] * _FRAME
    for length in range(0, whole, 97 if IN_ALL else 5_311):
        for behind in (b"", bytes(whole - length), b"\xff" * (whole - length)):
            assert not look_through(left.log[:length] + behind, left.page_of).lost, length
    for length in Random(SEED).sample(range(whole), 100 if IN_ALL else 5):  # noqa: S311
        assert events_of(left.put(tmp_path / "a", left.log[:length])) >= 0


def test_a_last_commit_of_which_any_parts_are_missing_is_no_damage(left: Left) -> None:
    """Within what was never synced a disk writes in any order."""
    random = Random(SEED)  # noqa: S311
    begins, ends = left.begins_last(), 32 + left.ends[-1] * _FRAME
    for _ in range(500 if IN_ALL else 8):
        log = bytearray(left.log)
        for at in range(begins - begins % 512, ends, 512):
            if random.random() < 0.5:
                part = slice(max(at, begins), min(at + 512, ends))
                log[part] = random.randbytes(part.stop - part.start)
        found = look_through(bytes(log), left.page_of)
        assert not found.lost
        assert found.read >= left.ends[-2]


def test_what_was_said_is_not_said_again_behind_what_is_written_next(
    left: Left, tmp_path: Path
) -> None:
    """The frames that SQLite does not read stand behind those that it writes over the damage."""
    path = left.put(tmp_path / "a", turned(left.log, 32 + _FRAME * left.ends[0] + 500, 1))
    with pytest.raises(BasketTrouble, match=SAID):
        Basket.open(path)
    with Basket.open(path) as basket:
        assert basket.check() == []
        Session.start(basket, open_file(str(SAMPLE)), Clock())
        later = shutil.copytree(path.parent, tmp_path / "later") / "basket.db"
    later.with_name("basket.db-shm").unlink()
    assert events_of(later) > 0


def test_where_no_index_can_be_made_it_is_said_before_the_log_is_folded_in(
    left: Left, tmp_path: Path
) -> None:
    log = turned(left.log, 32 + _FRAME * left.ends[0] + 500, 1)
    path = left.put(tmp_path / "a", log)
    path.with_name("basket.db-shm").mkdir()
    with pytest.raises(BasketTrouble, match=SAID):
        Basket.open(path)
    assert path.with_name("basket.db-damaged-log-wal").read_bytes() == log
    with Basket.open(path) as basket:
        assert basket.check() == []


def test_an_index_of_an_earlier_moment_is_none(left: Left, tmp_path: Path) -> None:
    """Files that were copied one after the other: the index first, while she knitted on."""
    path = left.put(tmp_path / "a", left.log[: 32 + left.ends[0] * _FRAME])
    with Basket.open(path):
        early = path.with_name("basket.db-shm").read_bytes()
    at = 32 + left.ends[1] * _FRAME + 100
    path = left.put(tmp_path / "a", turned(left.log, at, 1))
    path.with_name("basket.db-shm").write_bytes(early)
    with pytest.raises(BasketTrouble, match=SAID):
        Basket.open(path)
    path = left.put(tmp_path / "a", left.log)
    path.with_name("basket.db-shm").write_bytes(early)
    assert events_of(path) > TICKS


# Logs that are written here, frame by frame

_PAGE = 512


class Written:
    """A log of little pages, written as SQLite does: each commit behind the last one that was kept."""

    def __init__(self, random: Random) -> None:
        self.random, self.generation = random, 0
        self.log, self.basket = bytearray(), {n: self.content() for n in range(1, 9)}
        self.begin_anew()

    def content(self) -> bytes:
        return self.random.randbytes(_PAGE)

    def begin_anew(self) -> None:
        """Fold it in, and write a new header over the old one: what stands behind it stays."""
        for page, content in getattr(self, "now", {}).items():
            self.basket[page] = content
        self.now: dict[int, bytes] = {}
        self.generation += 1
        self.salts = struct.pack(">I", 7 + self.generation) + self.random.randbytes(4)
        head = struct.pack(">IIII", 0x377F0682, 3_007_000, _PAGE, self.generation) + self.salts
        self.kept = _added((0, 0), struct.unpack("<6I", head))
        self.log[:32] = head + struct.pack(">II", *self.kept)
        self.many = 0

    def lay(self, pages: Sequence[int]) -> None:
        """Write a commit that is not kept (yet)."""
        sums = self.kept
        self.laid = {page: self.content() for page in pages}
        for number, page in enumerate(pages, start=self.many):
            head = struct.pack(">II", page, 8 if number == self.many + len(pages) - 1 else 0)
            sums = _added(sums, struct.unpack("<130I", head + self.laid[page]))
            begins = 32 + number * (24 + _PAGE)
            frame = head + self.salts + struct.pack(">II", *sums) + self.laid[page]
            self.log[begins : begins + len(frame)] = frame
        self.ends, self.sums = self.many + len(pages), sums

    def keep(self) -> None:
        """It was synced."""
        self.many, self.kept = self.ends, self.sums
        self.now |= self.laid

    def page_of(self, begins: int, many: int) -> bytes:
        if begins == 16:
            return _PAGE.to_bytes(2, "big")
        return self.basket[begins // _PAGE + 1][:many]

    def lost(self) -> bool:
        found = look_through(bytes(self.log), self.page_of)
        assert found.read >= self.many
        return found.lost


def some_pages(random: Random) -> list[int]:
    return random.sample(range(1, 9), random.randint(1, 7))


@pytest.mark.parametrize("seed", range(1_500 if IN_ALL else 10))
def test_what_was_refused_folded_in_or_torn_is_no_damage(seed: int) -> None:
    """One whose sync failed is laid over with a frame that changes nothing: the rest of it stays behind."""
    random = Random(f"{SEED} {seed}")  # noqa: S311
    written = Written(random)
    for _ in range(30):
        match random.choice(("kept", "kept", "kept", "refused", "torn", "anew")):
            case "anew":
                torn = bytes(written.log[:32])
                written.begin_anew()
                # The header alone is written before it is synced: any part of it may be there.
                parts = bytearray(written.log)
                cut = random.randrange(33)
                parts[cut:32] = torn[cut:]
                assert not look_through(bytes(parts), written.page_of).lost
            case "torn":
                before = bytes(written.log)
                written.lay(some_pages(random))
                for at in range(0, len(written.log), 512):
                    if random.random() < 0.5:
                        there = len(written.log[at : at + 512])
                        written.log[at : at + 512] = before[at : at + 512].ljust(there, b"\0")
                if look_through(bytes(written.log), written.page_of).read == written.ends:
                    written.keep()  # all of it is there by chance, and is read
            case "refused":
                written.lay(some_pages(random))
                written.lay([1])
                written.keep()
            case _:
                written.lay(some_pages(random))
                written.keep()
        assert not written.lost()


def test_of_frames_that_nothing_vouches_for_so_many_are_tried_and_no_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A log may be made so that each looks like the first, and each of them is reckoned through."""
    tried, added = list[int](), log_frames._added

    def counted(sums: log_frames.Sums, words: tuple[int, ...]) -> log_frames.Sums:
        tried.append(1)
        return added(sums, words)

    monkeypatch.setattr(log_frames, "_added", counted)
    frame = bytes([0, 0, 0, 1] * 2) + b"saltsalt" + b"sums" * 2 + bytes(512)
    log = bytes(32) + frame * 4_000
    found = look_through(log, lambda at, many: b"\x02\x00" if at == 16 else bytes(many))
    assert found == (0, False)
    assert len(tried) <= 4 * log_frames._MOST_TRIED + 20
