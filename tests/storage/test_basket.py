"""The basket: nothing recorded is lost, changed or counted twice, whatever happens around it."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import sqlite3
import stat
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from functools import partial
from pathlib import Path
from threading import Barrier, Thread
from time import monotonic
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.storage.recording import record, reseal
from tracker.knitting.events import KINDS, Act, Event
from tracker.storage import basket as keeping
from tracker.storage import folders
from tracker.storage import opening as module
from tracker.storage.basket import (
    Basket,
    BasketBusy,
    BasketTrouble,
    NewPair,
    PairRow,
    Stamp,
    Summary,
)
from tracker.storage.chain import first_link, link_of
from tracker.storage.opening import APPLICATION_ID, SETTINGS

CAST_ON = Summary(1, "cuff", 0, True)
STARTED = Act("started", 0, {})
TICK = Act("tick", 1, {"n": 1})
NOON = Stamp(1_760_000_000_000, 120)
SOURCE = "5e" * 32
GUARDS = (
    "event_comes_next", "event_is_never_changed", "event_is_never_erased", "pair_is_counted",
    "pair_is_never_erased", "pattern_is_never_changed",
)  # fmt: skip
"""The triggers that a whole basket has."""

Decide = Callable[[Sequence[Event]], tuple[Act, Summary]]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "kept" / "basket.sqlite"


@pytest.fixture
def basket(path: Path) -> Iterator[Basket]:
    with Basket.open(path) as opened:
        yield opened


def new(short: str = "night-ferry", text: str = 'title = "Night ferry"\n') -> NewPair:
    return NewPair(short, "Night ferry", text, SOURCE, "rounds", CAST_ON)


def start(basket: Basket, short: str = "night-ferry", at: int = NOON.at) -> PairRow:
    return basket.start(new(short), STARTED, Stamp(at, 120))


def ticked(done: int, act: Act = TICK) -> Decide:
    return lambda _: (act, Summary(1, "cuff", done, True))


def knit(basket: Basket, pair: PairRow, rounds: int) -> None:
    for done in range(1, rounds + 1):
        record(basket, pair, done, ticked(done), NOON)


def kept(path: Path, events: int = 40) -> PairRow:
    """A basket with one pair of so many events, closed again."""
    with Basket.open(path) as basket:
        pair = start(basket)
        knit(basket, pair, events - 1)
        return pair


def meddle(path: Path, *statements: str, seals: bool = True) -> None:
    """Change the file from outside, its guards taken off; lines of pairs are sealed again, or not."""
    with closing(sqlite3.connect(path)) as connection, connection:
        for guard in GUARDS:
            connection.execute(f"DROP TRIGGER IF EXISTS {guard}")
        for statement in statements:
            connection.execute(statement)
        if seals:
            reseal(connection)


def trouble(path: Path, does: Callable[[], object]) -> str:
    """What the knitter reads: one line that names the file, without control characters."""
    with pytest.raises(BasketTrouble) as caught:
        does()
    text = str(caught.value)
    assert text.isprintable()
    assert str(path) in text
    return text


def beside(path: Path) -> dict[str, bytes]:
    """Every file of the folder. Not while a basket is open here: reading would drop its locks."""
    return {each.name: each.read_bytes() for each in path.parent.iterdir()}


def python(script: str, *arguments: object) -> list[str]:
    return [sys.executable, "-c", script, *(str(each) for each in arguments)]


# Opening and closing


def test_the_folder_and_the_file_are_hers_alone(path: Path) -> None:
    before = os.umask(0)
    try:
        with Basket.open(path) as basket:
            start(basket)
            names = [path.name, f"{path.name}-shm", f"{path.name}-wal"]
            assert sorted(each.name for each in path.parent.iterdir()) == names
            for each in path.parent.iterdir():
                assert stat.S_IMODE(each.stat().st_mode) == 0o600
            assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    finally:
        os.umask(before)


def test_the_header_says_whose_file_it_is(path: Path) -> None:
    Basket.open(path).close()
    header = path.read_bytes()[:100]
    # SQLite, "Database File Format", 1.3: the user version at 60, the application at 68.
    assert int.from_bytes(header[60:64], "big") == 1
    assert int.from_bytes(header[68:72], "big") == APPLICATION_ID != 0


def test_durability_is_read_back(basket: Basket) -> None:
    assert basket.journal == "wal"
    for setting, value in SETTINGS.items():
        row = basket._connection.execute(f"PRAGMA {setting}").fetchone()
        assert (setting, row) == (setting, (value,))
    # SQLite, "PRAGMA synchronous": 2 is FULL.
    assert SETTINGS["synchronous"] == 2


def test_a_setting_that_does_not_hold_is_refused(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(SETTINGS, "foreign_keys", 5)
    assert "(foreign_keys)" in trouble(path, lambda: Basket.open(path))
    assert not module._open_here


def test_an_old_sqlite_is_refused(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 36, 9))
    assert "3.37 or newer" in trouble(path, lambda: Basket.open(path))
    assert not path.exists()


@pytest.mark.parametrize("was_open_before", [False, True])
def test_where_the_log_is_refused_the_journal_serves(
    path: Path, monkeypatch: pytest.MonkeyPatch, was_open_before: bool
) -> None:
    if was_open_before:
        kept(path, 3)
    link_up = module.link_up
    # SQLite's "unix-dotfile" knows no shared memory, as some network folders do not.
    monkeypatch.setattr(module, "link_up", lambda path: link_up(path, "vfs=unix-dotfile"))
    with Basket.open(path) as basket:
        assert basket.journal == "delete"
        assert basket._connection.execute("PRAGMA synchronous").fetchone() == (2,)
        pair = basket.find(None) if was_open_before else start(basket)
        record(basket, pair, pair.last, ticked(1), NOON)
        assert len(basket.events(pair)) == pair.last + 1
        with Basket.open(path) as other:
            record(other, pair, pair.last + 1, ticked(2), NOON)
        assert basket.changed()
    assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_while_another_holds_the_journal_nothing_is_known_to_have_changed(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    link_up = module.link_up
    monkeypatch.setattr(module, "link_up", lambda path: link_up(path, "vfs=unix-dotfile"))
    with Basket.open(path) as basket, closing(module.link_up(path)) as holder:
        start(basket)
        holder.execute("BEGIN EXCLUSIVE")
        assert not basket.changed()
        assert "try again" in trouble(path, basket.pairs)
        holder.execute("UPDATE pair SET away = 1")
        reseal(holder)
        holder.execute("COMMIT")
        assert basket.changed()


def test_the_slower_of_two_that_switch_to_the_log_tries_again(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pragma, refusals = module.pragma, [sqlite3.OperationalError("database is locked")]
    refusals[0].sqlite_errorcode = sqlite3.SQLITE_BUSY

    def refusing(connection: sqlite3.Connection, text: str) -> object:
        if text == "journal_mode = wal" and refusals:
            raise refusals.pop()
        return pragma(connection, text)

    monkeypatch.setattr(module, "pragma", refusing)
    with Basket.open(path) as basket:
        assert basket.journal == "wal"
    assert not refusals


def test_after_closing_the_file_alone_is_whole(path: Path, tmp_path: Path) -> None:
    pair = kept(path, 12)
    assert [each.name for each in path.parent.iterdir()] == [path.name]
    copy = tmp_path / "copy.sqlite"
    shutil.copy(path, copy)
    with Basket.open(copy) as basket:
        assert len(basket.events(pair)) == 12


def test_closing_folds_the_log_in_while_another_is_open(path: Path) -> None:
    with Basket.open(path):
        kept(path, 12)
        assert Path(f"{path}-wal").stat().st_size == 0


def test_closing_twice_does_nothing(path: Path) -> None:
    basket = Basket.open(path)
    basket.close()
    basket.close()
    assert not module._open_here


def test_a_second_opening_leaves_the_locks_of_the_first(path: Path) -> None:
    with Basket.open(path):
        Basket.open(path).close()
        # Leaving the log needs the file alone: it fails as long as the first holds its lock.
        script = "import sqlite3, sys; sqlite3.connect(sys.argv[1]).execute(sys.argv[2])"
        other = python(script, path, "PRAGMA journal_mode = DELETE")
        ended = subprocess.run(other, capture_output=True, text=True, check=False)
        assert "database is locked" in ended.stderr


def test_many_open_a_new_basket_together(path: Path) -> None:
    together, opened = Barrier(8), []

    def work() -> None:
        together.wait()
        while True:
            try:
                basket = Basket.open(path)
            except BasketBusy:
                continue
            opened.append(basket.journal)
            return basket.close()

    run_together([Thread(target=work) for _ in range(8)])
    assert opened == ["wal"] * 8
    with Basket.open(path) as basket:
        assert basket.check() == []


def run_together(threads: list[Thread]) -> None:
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


# What is no basket


def other_application(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("CREATE TABLE stash (yarn TEXT)")
        connection.execute("PRAGMA application_id = 7")


def without_application(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("CREATE TABLE stash (yarn TEXT)")


def other_application_with_a_log(path: Path) -> None:
    """As a program that was killed leaves it: SQLite would fold the log in on opening."""
    source = path.with_name("elsewhere")
    with closing(sqlite3.connect(source, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("CREATE TABLE stash (yarn TEXT)")
        shutil.copy(source, path)
        shutil.copy(f"{source}-wal", f"{path}-wal")
    source.unlink()


STRANGERS: dict[str, Callable[[Path], object]] = {
    "text": lambda path: path.write_text("Night ferry\n", encoding="utf-8"),
    "bytes": lambda path: path.write_bytes(bytes(range(256)) * 64),
    "a header alone": lambda path: path.write_bytes(b"SQLite format 3\0"),
    "another application": other_application,
    "no application": without_application,
    "another application and its log": other_application_with_a_log,
}


@pytest.mark.parametrize("stranger", STRANGERS)
def test_what_is_no_basket_is_refused_and_left_as_it_is(tmp_path: Path, stranger: str) -> None:
    path = tmp_path / "stash.db"
    STRANGERS[stranger](path)
    before = beside(path)
    assert "this file is no basket" in trouble(path, lambda: Basket.open(path))
    assert beside(path) == before
    assert not module._open_here


def test_a_newer_basket_is_refused_and_left_as_it_is(path: Path) -> None:
    kept(path, 3)
    meddle(path, "PRAGMA user_version = 2")
    before = beside(path)
    assert "newer Instep" in trouble(path, lambda: Basket.open(path))
    assert beside(path) == before


def test_a_newer_basket_is_known_by_its_log_too(path: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copied" / "basket.sqlite"
    copy.parent.mkdir()
    with Basket.open(path) as basket:
        basket._connection.execute("PRAGMA user_version = 2")
        for name in ("basket.sqlite", "basket.sqlite-wal"):
            shutil.copy(path.with_name(name), copy.with_name(name))
    before = beside(copy)
    assert "newer Instep" in trouble(copy, lambda: Basket.open(copy))
    after = beside(copy)
    assert {name: after[name] for name in before} == before


def test_a_folder_is_no_basket(tmp_path: Path) -> None:
    assert "this is a folder" in trouble(tmp_path, lambda: Basket.open(tmp_path))


def test_a_pipe_is_no_basket(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    path = tmp_path / "pipe"
    assert "no plain file" in trouble(path, lambda: Basket.open(path))


def test_a_file_where_the_folder_should_be(tmp_path: Path) -> None:
    (tmp_path / "kept").touch()
    for path in (tmp_path / "kept" / "basket", tmp_path / "kept" / "deeper" / "basket"):
        assert trouble(path, partial(Basket.open, path))


def test_a_name_that_no_file_can_have(tmp_path: Path) -> None:
    with pytest.raises(BasketTrouble, match="null") as caught:
        Basket.open(tmp_path / "bas\0ket")
    assert str(caught.value).isprintable()


def test_an_empty_file_becomes_a_basket(path: Path) -> None:
    path.parent.mkdir()
    path.touch()
    kept(path, 2)
    assert path.read_bytes().startswith(b"SQLite format 3\0")


def test_a_path_with_signs_of_an_address_in_it(tmp_path: Path) -> None:
    path = tmp_path / "50% wool?mode=memory#1.sqlite"
    kept(path, 2)
    assert [each.name for each in tmp_path.iterdir()] == [path.name]


# Starting, finding, listing


def test_a_started_pair_is_as_it_was_asked_for(basket: Basket) -> None:
    pair = start(basket)
    assert pair._replace(id=0, uid=b"", pattern="", chain=b"") == PairRow(
        *(0, b"", "night-ferry", "Night ferry", "", SOURCE, "rounds", False, 1, b"", NOON.at),
        CAST_ON,
    )
    assert (len(pair.uid), len(pair.chain)) == (16, 16)
    assert basket.find("night-ferry") == pair
    assert basket.pattern_text(pair) == 'title = "Night ferry"\n'
    (event,) = basket.events(pair)
    assert event._replace(uid=b"") == Event(1, *NOON, 0, "started", {}, b"")
    assert len(event.uid) == 16


def test_short_names_are_made_unique(basket: Basket) -> None:
    wanted = ["night-ferry", "night-ferry-2", "night-ferry", "night-ferry"]
    assert [start(basket, short).short for short in wanted] == [
        "night-ferry", "night-ferry-2", "night-ferry-3", "night-ferry-4",
    ]  # fmt: skip


def test_a_pattern_is_kept_once(basket: Basket) -> None:
    pairs = [start(basket), start(basket)]
    assert {basket.pattern_text(pair) for pair in pairs} == {new().pattern_text}
    assert basket._connection.execute("SELECT count(*) FROM pattern").fetchone() == (1,)


def test_nothing_named_is_the_pair_last_touched_that_is_not_away(basket: Basket) -> None:
    old, young, away = (start(basket, name, NOON.at + at) for at, name in enumerate("abc"))
    basket.put_away(away, True)
    assert basket.find(None).short == young.short
    record(basket, old, 1, ticked(1), Stamp(NOON.at + 9, 120))
    assert basket.find(None).short == old.short


def test_a_pair_not_found_names_the_nearest(basket: Basket, path: Path) -> None:
    start(basket, "night-ferry")
    start(basket, "harbour")
    said = trouble(path, lambda: basket.find("nigth-fery"))
    assert 'no pair is called "nigth-fery"; write "night-ferry"' in said
    assert '"zzz"' in trouble(path, lambda: basket.find("zzz"))


def test_an_empty_basket_says_so(basket: Basket, path: Path) -> None:
    assert "empty" in trouble(path, lambda: basket.find(None))
    assert "empty" in trouble(path, lambda: basket.find("harbour"))


def test_a_basket_with_all_put_away_says_so(basket: Basket, path: Path) -> None:
    basket.put_away(start(basket), True)
    assert '"instep back night-ferry"' in trouble(path, lambda: basket.find(None))


def test_names_from_outside_reach_no_terminal(basket: Basket, path: Path) -> None:
    pair = start(basket, "\x1b[31mred\udcff")
    assert basket.find("\x1b[31mred\udcff") == pair
    assert "?[2J" in trouble(path, lambda: basket.find("\x1b[2J\udcff"))
    assert "?[31mred" in trouble(path, lambda: basket.events(pair, after=9))


def test_putting_away_and_bringing_back(path: Path) -> None:
    with Basket.open(path) as basket:
        start(basket, "harbour")
        basket.put_away(start(basket), True)
    with Basket.open(path) as basket:
        assert [pair.short for pair in basket.pairs()] == ["harbour"]
        (away,) = basket.pairs(away=True)
        assert (away.short, away.away, away.last) == ("night-ferry", True, 1)
        basket.put_away(away, False)
        assert [pair.short for pair in basket.pairs()] == ["night-ferry", "harbour"]


def test_the_way_of_counting_is_a_setting_and_no_event(path: Path) -> None:
    with Basket.open(path) as basket:
        basket.set_count(start(basket), "needles")
    with Basket.open(path) as basket:
        pair = basket.find(None)
        assert (pair.count, pair.last) == ("needles", 1)
        assert trouble(path, lambda: basket.set_count(pair, "minutes"))


def test_a_pair_goes_on_from_the_same_file(basket: Basket) -> None:
    assert basket.started_from(SOURCE) is None
    first, second = start(basket, at=NOON.at), start(basket, at=NOON.at + 1)
    assert basket.started_from(SOURCE) == second
    basket.put_away(second, True)
    assert basket.started_from(SOURCE) == first
    basket.put_away(first, True)
    assert (basket.started_from(SOURCE) or first).short == second.short


def test_listing_replays_nothing(basket: Basket) -> None:
    knit(basket, start(basket), 5)
    start(basket, "harbour", NOON.at + 1)
    asked: list[str] = []
    basket._connection.set_trace_callback(asked.append)
    assert [(pair.short, pair.summary.done) for pair in basket.pairs()] == [
        ("harbour", 0),
        ("night-ferry", 5),
    ]
    assert len(asked) == 3
    assert not any("FROM event" in statement for statement in asked)


def test_the_lag_is_kept_with_the_act_and_a_list_reads_it(basket: Basket) -> None:
    pair = start(basket)
    assert pair.summary.lag == (0, 0)
    behind = CAST_ON._replace(done=3, lag=(3, 192))
    record(basket, pair, 1, lambda _: (TICK, behind), NOON)
    assert basket.find(None).summary == behind
    assert basket.check() == []


def test_a_pair_of_another_basket_is_refused(basket: Basket, path: Path, tmp_path: Path) -> None:
    start(basket)
    stranger = kept(tmp_path / "other.sqlite", 1)
    assert "no longer in the basket" in trouble(path, lambda: basket.events(stranger))
    assert "no longer" in trouble(path, lambda: record(basket, stranger, 1, ticked(1), NOON))
    assert "no longer" in trouble(path, lambda: basket.put_away(stranger, True))


# Recording


def test_recording_a_tick(path: Path) -> None:
    with Basket.open(path) as basket:
        pair = start(basket)
        at = Stamp(NOON.at + 5, -300)
        newer, event = record(basket, pair, 1, ticked(1), at)
        assert newer == []
        assert event._replace(uid=b"") == Event(2, *at, 1, "tick", {"n": 1}, b"")
    with Basket.open(path) as basket:
        assert basket.events(pair, after=1) == [event]
        again = basket.find(None)
        assert (again.last, again.touched, again.summary.done) == (2, at.at, 1)


def test_a_tick_costs_five_statements(basket: Basket) -> None:
    pair = start(basket)
    asked: list[str] = []
    basket._connection.set_trace_callback(asked.append)
    record(basket, pair, 1, ticked(1), NOON)
    # SQLite traces an INSERT again when it comes to the guard on it.
    words = [statement.split()[0] for statement in dict.fromkeys(asked)]
    assert words == ["BEGIN", "SELECT", "INSERT", "UPDATE", "COMMIT"]


def test_decide_sees_what_others_recorded(path: Path) -> None:
    with Basket.open(path) as mine, Basket.open(path) as theirs:
        pair = start(mine)
        _, first = record(theirs, pair, 1, ticked(1), NOON)
        _, second = record(theirs, pair, 2, ticked(2), NOON)
        seen: list[Event] = []

        def decide(newer: Sequence[Event]) -> tuple[Act, Summary]:
            seen.extend(newer)
            return TICK, Summary(1, "cuff", 3, True)

        newer, event = record(mine, pair, 1, decide, NOON)
        assert seen == newer == [first, second]
        assert event.number == 4
        assert theirs.events(pair, after=3) == [event]


def test_decide_of_one_who_knows_nothing_sees_everything(basket: Basket) -> None:
    pair = start(basket)
    newer, _ = record(basket, pair, 0, ticked(1), NOON)
    assert [event.kind for event in newer] == ["started"]


@pytest.mark.parametrize("error", [ValueError, OSError, KeyboardInterrupt, StopIteration])
def test_what_decide_raises_is_raised_and_nothing_recorded(
    basket: Basket, error: type[BaseException]
) -> None:
    pair = start(basket)
    raised = error("not now")

    def decide(newer: Sequence[Event]) -> tuple[Act, Summary]:
        raise raised

    with pytest.raises(error) as caught:
        record(basket, pair, 1, decide, NOON)
    assert caught.value is raised
    assert basket.find(None) == pair
    assert record(basket, pair, 1, ticked(1), NOON)[1].number == 2


def test_many_acts_are_kept_whole_or_not_at_all(basket: Basket, path: Path) -> None:
    pair, after = start(basket), Summary(2, "leg", 3, False)
    other = Act("other", 0, {})
    _, events = basket.record(pair, 1, lambda _: ([TICK, other, TICK], after), NOON)
    assert [(event.number, event.kind) for event in events] == [
        (2, "tick"), (3, "other"), (4, "tick"),
    ]  # fmt: skip
    now = basket.find(None)
    assert (now.last, now.summary) == (4, after)
    bad = Act("measure", 1, {"mm": float("nan")})
    trouble(path, lambda: basket.record(pair, 4, lambda _: ([TICK, bad], after), NOON))
    assert basket.record(pair, 4, lambda _: ([], after), NOON) == ([], [])
    assert basket.find(None) == now
    assert basket.events(pair, after=1) == events


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_numbers_that_are_none_are_refused(basket: Basket, path: Path, number: float) -> None:
    pair = start(basket)
    act = Act("measure", 1, {"mm": [number]})
    assert "not a number" in trouble(path, lambda: record(basket, pair, 1, ticked(0, act), NOON))
    assert len(basket.events(pair)) == 1


def test_a_kind_of_nobody_is_refused(basket: Basket) -> None:
    pair = start(basket)
    with pytest.raises(ValueError, match="felted"):
        record(basket, pair, 1, ticked(0, Act("felted", 1, {})), NOON)
    assert len(basket.events(pair)) == 1


def test_an_event_comes_back_as_the_next_reader_finds_it(basket: Basket) -> None:
    pair = start(basket)
    act = Act("count", 1, {"stitches": (21, 16), "b": "Fähre", "a": None})
    _, event = record(basket, pair, 1, ticked(0, act), NOON)
    assert event.data == {"stitches": [21, 16], "b": "Fähre", "a": None}
    assert basket.events(pair, after=1) == [event]
    (text,) = basket._connection.execute("SELECT data FROM event WHERE number = 2").fetchone()
    assert text == '{"a":null,"b":"F\\u00e4hre","stitches":[21,16]}'


def test_every_pair_and_event_has_bytes_of_its_own(basket: Basket) -> None:
    pairs = [start(basket), start(basket)]
    for pair in pairs:
        knit(basket, pair, 3)
    uids = [event.uid for pair in pairs for event in basket.events(pair)]
    assert len({*uids, *(pair.uid for pair in pairs)}) == 10


def test_other_writers_are_noticed_and_oneself_is_not(path: Path) -> None:
    with Basket.open(path) as mine, Basket.open(path) as theirs:
        pair = start(mine)
        assert not mine.changed()
        assert theirs.changed()
        record(theirs, pair, 1, ticked(1), NOON)
        assert not theirs.changed()
        assert mine.changed()
        assert not mine.changed()


def test_two_racing_writers_lose_nothing_and_count_nothing_twice(path: Path) -> None:
    with Basket.open(path) as basket:
        pair = start(basket)
    together = Barrier(2)

    def work(sock: int) -> None:
        known = 1
        with Basket.open(path) as mine:
            together.wait()
            for number in range(200):
                known = insist(mine, pair, known, Act("tick", sock, {"n": number}))

    run_together([Thread(target=work, args=(sock,)) for sock in (1, 2)])
    with Basket.open(path) as basket:
        events = basket.events(pair)[1:]
        last = basket.find(None)
        assert basket.check() == []
    assert [event.number for event in events] == list(range(2, 402))
    for sock in (1, 2):
        assert [event.data["n"] for event in events if event.sock == sock] == list(range(200))
    # The summary was decided on all that came before: the last one counts every tick.
    assert (last.last, last.summary.done) == (401, 400)


def insist(basket: Basket, pair: PairRow, known: int, act: Act) -> int:
    """Press the key again until it counts; `done` of the summary counts the ticks there are."""

    def decide(newer: Sequence[Event]) -> tuple[Act, Summary]:
        return act, Summary(1, "cuff", known + len(newer), True)

    while True:
        try:
            newer, event = record(basket, pair, known, decide, NOON)
        except BasketBusy:
            continue
        assert [each.number for each in newer] == list(range(known + 1, event.number))
        return event.number


def test_a_busy_basket_says_so_and_counts_nothing(basket: Basket, path: Path) -> None:
    pair = start(basket)
    with closing(sqlite3.connect(path, isolation_level=None)) as holder:
        holder.execute("BEGIN IMMEDIATE")
        began = monotonic()
        said = trouble(path, lambda: record(basket, pair, 1, ticked(1), NOON))
        waited = monotonic() - began
        assert not basket.changed()
        assert basket.find(None) == pair
        holder.execute("ROLLBACK")
    assert "the basket is busy: another program is writing to it; the key was not counted" in said
    # SQLite sleeps in steps and then gives up: never before the time, never long after it.
    assert 0.2 < waited < 1.5
    assert record(basket, pair, 1, ticked(1), NOON)[1].number == 2


def test_what_was_recorded_outlives_a_kill(path: Path) -> None:
    pair = kept(path, 1)
    script = (
        "import sys; from itertools import count; from pathlib import Path\n"
        "from tracker.knitting.events import Act\n"
        "from tracker.storage.basket import Basket, Stamp, Summary\n"
        "basket = Basket.open(Path(sys.argv[1])); pair = basket.find(None)\n"
        "for known in count(1):\n"
        "    done = [Act('tick', 1, {})], Summary(1, 'cuff', known, True)\n"
        "    print(basket.record(pair, known, lambda _: done, Stamp(0, 0))[1][0].number, flush=True)\n"
    )
    with subprocess.Popen(python(script, path), stdout=subprocess.PIPE, text=True) as knitter:
        assert knitter.stdout is not None
        shown = [int(knitter.stdout.readline()) for _ in range(30)]
        knitter.send_signal(signal.SIGKILL)
        shown += [int(line) for line in knitter.stdout.readlines() if line.endswith("\n")]
    with Basket.open(path) as basket:
        numbers = [event.number for event in basket.events(pair)]
        assert basket.check() == []
    # One more may have been committed than was shown; never one less.
    assert shown[-1] <= numbers[-1] <= shown[-1] + 1
    assert numbers == list(range(1, numbers[-1] + 1))


FIELD = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=6,
)  # fmt: skip
ACT = st.builds(
    Act,
    st.sampled_from(sorted(KINDS)),
    st.sampled_from([0, 1, 2]),
    st.dictionaries(st.text(), FIELD, max_size=4),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(ACT, st.integers(-(2**62), 2**62), st.integers(-840, 840)), max_size=12))
def test_any_acts_come_back_equal_after_reopening(acts: list[tuple[Act, int, int]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "basket.sqlite")
        with Basket.open(path) as basket:
            pair = start(basket)
            for known, (act, at, offset) in enumerate(acts, 1):
                record(basket, pair, known, ticked(0, act), Stamp(at, offset))
        with Basket.open(path) as basket:
            events = basket.events(pair)[1:]
    read = [(Act(each.kind, each.sock, each.data), each.at, each.offset) for each in events]
    assert read == acts


# Damage and meddling


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE event SET at = 0",
        "DELETE FROM event",
        "DELETE FROM event WHERE number = 2",
        "INSERT OR REPLACE INTO event SELECT * FROM event WHERE number = 2",
        'INSERT INTO event SELECT pair, 9, at, "offset", sock, kind, data, uid, version, chain'
        " FROM event WHERE number = 2",
        "UPDATE pattern SET text = ''",
    ],
)
def test_guards_stand_before_what_is_kept(path: Path, statement: str) -> None:
    pair = kept(path, 3)
    with (
        closing(sqlite3.connect(path)) as connection,
        pytest.raises(sqlite3.IntegrityError, match=r"an event|a pattern"),
    ):
        connection.execute(statement)
    with Basket.open(path) as basket:
        assert len(basket.events(pair)) == 3


def test_every_column_is_in_the_checksum() -> None:
    link: Callable[..., bytes] = link_of
    row = [b"before", 2, 3, 4, 1, "tick", "{}", b"uid", 1]
    others = [b"other", 3, 4, 5, 2, "note", "[]", b"udi", 2]
    links = {link(*row)}
    for column, other in enumerate(others):
        links.add(link(*row[:column], other, *row[column + 1 :]))
    assert len(links) == 1 + len(row)
    # Where the kind ends and the data begin is in it, too.
    assert link(*row[:5], "tick,", "1", b"", 1) != link(*row[:5], "tick", ",1", b"", 1)


def test_a_pair_is_not_erased(basket: Basket) -> None:
    start(basket)
    with pytest.raises(sqlite3.IntegrityError, match="a pair is never erased"):
        basket._connection.execute("DELETE FROM pair")
    basket._connection.execute("DROP TRIGGER pair_is_never_erased")
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        basket._connection.execute("DELETE FROM pair")


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE event SET at = at + 1 WHERE number = 37",
        'UPDATE event SET "offset" = 60 WHERE number = 37',
        "UPDATE event SET sock = 2 WHERE number = 37",
        "UPDATE event SET kind = 'note' WHERE number = 37",
        "UPDATE event SET kind = 'felted' WHERE number = 37",
        "UPDATE event SET data = '{}' WHERE number = 37",
        "UPDATE event SET data = CAST(x'ff' AS TEXT) WHERE number = 37",
        "UPDATE event SET uid = zeroblob(16) WHERE number = 37",
        "UPDATE event SET version = 2 WHERE number = 37",
        "UPDATE event SET chain = zeroblob(16) WHERE number = 37",
        "UPDATE event SET number = 77 WHERE number = 37",
        "DELETE FROM event WHERE number = 37",
        "DELETE FROM event WHERE number >= 37",
        "DELETE FROM event WHERE number >= 37; UPDATE pair SET last = 37",
        "UPDATE event SET number = 137 WHERE number = 37; UPDATE event SET number = 37"
        " WHERE number = 38; UPDATE event SET number = 38 WHERE number = 137",
    ],
)
def test_what_was_changed_from_outside_is_noticed_and_named(path: Path, change: str) -> None:
    pair = kept(path, 40)
    meddle(path, *change.split(";"))
    with Basket.open(path) as basket:
        said = trouble(path, lambda: basket.events(pair))
        assert said.startswith("event 37 of night-ferry is damaged")
        assert said in basket.check()
        if "DELETE" in change and ">=" in change:
            assert trouble(path, lambda: record(basket, pair, 40, ticked(40), NOON))


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE pair SET last = 39",
        "UPDATE pair SET last = 41",
        "UPDATE pair SET chain = zeroblob(16)",
        "UPDATE event SET chain = zeroblob(16) WHERE number = 40",
        "UPDATE event SET number = 41 WHERE number = 40; UPDATE pair SET last = 41",
    ],
)
def test_a_pair_that_does_not_fit_its_events_takes_no_key(path: Path, change: str) -> None:
    pair = kept(path, 40)
    meddle(path, *change.split(";"))
    with Basket.open(path) as basket:
        for does in (basket.events, lambda pair: record(basket, pair, 39, ticked(1), NOON)):
            assert "of night-ferry is damaged" in trouble(path, partial(does, pair))
        assert basket._connection.execute("SELECT count(*) FROM event").fetchone() == (40,)


def test_an_event_behind_the_last_is_noticed(path: Path) -> None:
    pair = kept(path, 5)
    meddle(path, "UPDATE pair SET last = 4, chain = (SELECT chain FROM event WHERE number = 4)")
    with Basket.open(path) as basket:
        assert "event 5 of night-ferry" in trouble(path, lambda: basket.events(pair))
        assert trouble(path, lambda: record(basket, pair, 4, ticked(1), NOON))
        assert basket.find(None).last == 4


def test_histories_that_were_exchanged_are_noticed(path: Path) -> None:
    with Basket.open(path) as basket:
        for pair in (start(basket), start(basket, "harbour")):
            knit(basket, pair, 2)
    meddle(
        path,
        "UPDATE event SET pair = 3 - pair, number = number + 100",
        "UPDATE event SET number = number - 100",
        "UPDATE pair SET chain = (SELECT chain FROM event WHERE pair = pair.id AND number = 3)",
    )
    with Basket.open(path) as basket:
        for name in ("night-ferry", "harbour"):
            said = trouble(path, partial(basket.events, basket.find(name)))
            assert f"event 1 of {name} is damaged" in said


def test_from_an_event_on_the_chain_is_verified(path: Path) -> None:
    pair = kept(path, 40)
    meddle(path, "UPDATE event SET at = 0 WHERE number = 37")
    with Basket.open(path) as basket:
        assert [event.number for event in basket.events(pair, after=38)] == [39, 40]
        for after in (35, 36):
            said = trouble(path, partial(basket.events, pair, after))
            assert "event 37 of night-ferry" in said
        assert basket.events(pair, after=40) == []
    meddle(path, "DELETE FROM event WHERE number = 37")
    with Basket.open(path) as basket:
        assert "event 37 of" in trouble(path, lambda: basket.events(pair, after=37))


@pytest.mark.parametrize("data", ["[1]", "{", "{" * 100_000])
def test_fields_that_are_none_are_damage_even_in_a_sound_chain(path: Path, data: str) -> None:
    pair = kept(path, 1)
    with Basket.open(path) as basket:
        (event,) = basket.events(pair)
    before = first_link(pair.uid, pair.pattern)
    link = link_of(before, 1, *NOON, 0, "started", data, event.uid, 1).hex()
    meddle(path, f"UPDATE event SET data = '{data}', chain = x'{link}'")  # noqa: S608
    meddle(path, f"UPDATE pair SET chain = x'{link}'")  # noqa: S608
    with Basket.open(path) as basket:
        assert "event 1 of night-ferry" in trouble(path, lambda: basket.events(pair))


def test_an_event_known_here_and_gone_there(basket: Basket, path: Path) -> None:
    pair = start(basket)
    assert "older copy" in trouble(path, lambda: record(basket, pair, 5, ticked(1), NOON))
    assert "older copy" in trouble(path, lambda: basket.events(pair, after=2))


def test_a_changed_pattern_is_noticed(path: Path) -> None:
    pair = kept(path, 1)
    meddle(path, "UPDATE pattern SET text = text || ' '")
    with Basket.open(path) as basket:
        said = trouble(path, lambda: basket.pattern_text(pair))
        assert said.startswith("the pattern of night-ferry is damaged")
        assert said in basket.check()


def test_the_audit_misses_no_guard(path: Path) -> None:
    kept(path, 1)
    with Basket.open(path) as basket:
        assert basket.check() == []
    meddle(path)
    with Basket.open(path) as basket:
        assert [line.split('"')[1] for line in basket.check()] == list(GUARDS)


def test_the_audit_misses_no_event_without_a_pair(path: Path) -> None:
    kept(path, 2)
    meddle(path, "DELETE FROM pair")
    with Basket.open(path) as basket:
        assert "2 lines belong to no pair" in basket.check()[0]


def test_a_damaged_file_is_said_in_lines(path: Path) -> None:
    pair = kept(path, 200)
    with path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xa5" * (path.stat().st_size - 4096))
    with Basket.open(path) as basket:
        assert '"instep check"' in trouble(path, lambda: basket.events(pair))
        lines = basket.check()
    assert lines
    assert all(line.isprintable() and str(path) in line for line in lines)


@pytest.mark.parametrize(("kinds", "version"), [({"felted"}, 1), (set(), 2)])
def test_what_a_newer_instep_wrote_is_refused_and_left(
    path: Path, monkeypatch: pytest.MonkeyPatch, kinds: set[str], version: int
) -> None:
    pair = kept(path, 2)
    with monkeypatch.context() as newer, Basket.open(path) as basket:
        newer.setattr(keeping, "KINDS", KINDS | kinds)
        newer.setattr(keeping, "EVENT_VERSION", version)
        act = Act(next(iter(kinds), "tick"), 1, {})
        record(basket, pair, 2, ticked(2, act), NOON)
    before = path.read_bytes()
    with Basket.open(path) as basket:
        for does in (basket.events, lambda pair: record(basket, pair, 2, ticked(3), NOON)):
            said = trouble(path, partial(does, pair))
            assert said.startswith("event 3 of night-ferry")
            assert "was written by a newer Instep" in said
    assert path.read_bytes() == before


# A disk and a folder that do not serve


@pytest.mark.parametrize(
    ("setting", "lifted", "says"),
    [
        ("query_only = 1", "query_only = 0", "may only be read"),
        ("max_page_count = 1", "max_page_count = 100000", "the disk is full"),
    ],
)
def test_a_disk_that_takes_no_more(
    basket: Basket, path: Path, setting: str, lifted: str, says: str
) -> None:
    """SQLite itself is made to fail, with the errors of a full disk and of a file read only."""
    pair = start(basket)
    long = Act("note", 1, {"text": "purl " * 5_000})
    basket._connection.execute(f"PRAGMA {setting}")
    assert says in trouble(path, lambda: record(basket, pair, 1, ticked(1, long), NOON))
    basket._connection.execute(f"PRAGMA {lifted}")
    assert basket.find(None) == pair
    assert record(basket, pair, 1, ticked(1, long), NOON)[1].number == 2


def test_a_file_that_was_moved_takes_no_key(basket: Basket, path: Path) -> None:
    pair = start(basket)
    path.rename(path.with_name("moved"))
    assert "was moved" in trouble(path, lambda: record(basket, pair, 1, ticked(1), NOON))
    path.with_name("moved").rename(path)
    assert record(basket, pair, 1, ticked(1), NOON)[1].number == 2


@pytest.fixture
def nobody() -> Iterator[Path]:
    """A folder that may be read, and a user who may not do more: for root may do everything."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name, "kept")
        kept(folder / "basket.sqlite", 2)
        shutil.copy(folder / "basket.sqlite", folder / "locked.sqlite")
        (folder / "basket.sqlite").chmod(0o444)
        (folder / "locked.sqlite").chmod(0o000)
        user = os.geteuid()
        for each in (Path(name), folder):
            each.chmod(0o555)
        try:
            if user == 0:
                os.seteuid(65534)
            yield folder
        finally:
            os.seteuid(user)
            for each in (Path(name), folder):
                each.chmod(0o700)


@pytest.mark.parametrize("name", ["basket.sqlite", "locked.sqlite", "new.sqlite", "deep/er.sqlite"])
def test_a_folder_that_may_only_be_read(nobody: Path, name: str) -> None:
    path = nobody / name
    assert "its file and its folder writable" in trouble(path, lambda: Basket.open(path))


def test_a_file_in_a_folder_that_may_only_be_read(nobody: Path) -> None:
    path = nobody / "basket.sqlite"
    user, mine = os.geteuid(), os.getuid()
    os.seteuid(mine)
    path.chmod(0o666)
    os.seteuid(user)
    before = path.read_bytes()
    assert "make its file and its folder writable" in trouble(path, lambda: Basket.open(path))
    assert path.read_bytes() == before


def test_the_import_is_lean() -> None:
    heavy = ["textual", "rich", "dataclasses", "logging", "uuid", "difflib", "tomllib", "asyncio"]
    script = (
        "import sys, tracker.storage.basket; print([m for m in sys.argv[1:] if m in sys.modules])"
    )
    ended = subprocess.run(python(script, *heavy), capture_output=True, text=True, check=True)
    assert ended.stdout == "[]\n"


def test_a_fold_in_that_fails_on_closing_is_no_trouble(tmp_path: Path) -> None:
    """What was committed is kept in the log: saying that it was not recorded would be untrue."""

    class Full:
        def __init__(self, connection: sqlite3.Connection) -> None:
            self._connection = connection
            self.closed = False

        def execute(self, text: str) -> None:
            assert "wal_checkpoint" in text
            raise sqlite3.OperationalError("database or disk is full")

        def close(self) -> None:
            self.closed = True
            self._connection.close()

    basket = Basket.open(tmp_path / "basket.db")
    full = Full(basket._connection)
    basket._connection = full  # type: ignore[assignment]
    basket.close()
    assert full.closed


# Which was touched last


def test_a_clock_put_back_does_not_change_which_was_touched_last(basket: Basket) -> None:
    one, two = start(basket, "one"), start(basket, "two")
    record(basket, two, 1, ticked(1), Stamp(NOON.at + 86_400_000, 120))
    record(basket, one, 1, ticked(1), Stamp(NOON.at - 86_400_000, 120))
    assert basket.find(None).short == "one"
    assert [pair.short for pair in basket.pairs()] == ["one", "two"]
    found = basket.started_from(SOURCE)
    assert found is not None
    assert found.short == "one"
    assert found.touched == NOON.at - 86_400_000


def test_what_is_no_act_is_no_touch(basket: Basket) -> None:
    one, two = start(basket, "one"), start(basket, "two")
    basket.set_count(one, "needles")
    basket.put_away(one, True)
    basket.put_away(one, False)
    assert basket.find(None).uid == two.uid


# Alone


def test_one_file_opened_by_many_at_once_starts_one_pair(path: Path) -> None:
    """Looking it up and starting it are one step: nobody else starts it in between."""
    Basket.open(path).close()
    together = Barrier(6)
    failed: list[Exception] = []

    def opens() -> None:
        with Basket.open(path) as basket:
            together.wait()
            try:
                with basket.alone():
                    if basket.started_from(SOURCE) is None:
                        start(basket)
            except BasketTrouble as trouble:
                failed.append(trouble)

    threads = [Thread(target=opens) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert all(isinstance(trouble, BasketBusy) for trouble in failed)
    with Basket.open(path) as basket:
        assert [pair.short for pair in basket.pairs()] == ["night-ferry"]


def test_what_is_done_alone_is_kept_whole_or_not_at_all(basket: Basket, path: Path) -> None:
    def fails() -> None:
        with basket.alone():
            start(basket)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fails()
    assert basket.pairs() == []
    with basket.alone():
        pair = start(basket)
        knit(basket, pair, 2)
    with Basket.open(path) as other:
        assert other.find(None).last == 3
    knit(basket, start(basket), 1)  # afterwards each act is committed by itself again
    with Basket.open(path) as other:
        assert len(other.pairs()) == 2


def test_only_the_first_opening_made_it(path: Path) -> None:
    with Basket.open(path) as basket:
        assert basket.made
    with Basket.open(path) as basket:
        assert not basket.made


def test_a_basket_named_from_a_folder_that_is_gone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    here.rmdir()
    with pytest.raises(BasketTrouble, match="the folder you are in is gone"):
        Basket.open(Path("basket.db"))


# A file that goes while it is open


@pytest.mark.parametrize("with_log", [False, True])
def test_a_basket_that_is_removed_while_it_is_open_is_put_back(path: Path, with_log: bool) -> None:
    with Basket.open(path) as basket:
        pair = start(basket)
        knit(basket, pair, 3)
        for each in [path, *([Path(f"{path}-wal"), Path(f"{path}-shm")] if with_log else [])]:
            each.unlink()
        assert "it was put back" in trouble(path, basket.changed)
        assert not basket.changed()
        assert record(basket, pair, 4, ticked(4), NOON)[1].number == 5
        path.unlink()
        assert record(basket, pair, 5, ticked(5), NOON)[1].number == 6
        with Basket.open(path) as other:
            assert len(other.events(pair)) == 6
            assert other.check() == []
    assert not module._open_here
    assert [each.name for each in path.parent.iterdir()] == [path.name]
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    with Basket.open(path) as basket:
        assert len(basket.events(pair)) == 6


def test_who_has_the_removed_file_open_still_takes_nothing_from_the_one_put_back(
    path: Path,
) -> None:
    """A program that leaves folds its log in: not that of the file which has the name by then."""
    stays = (
        "import sys; from pathlib import Path; from tracker.storage.basket import Basket\n"
        "with Basket.open(Path(sys.argv[1])): print('open', flush=True); sys.stdin.readline()"
    )
    with Basket.open(path) as basket:
        pair = start(basket)
        knit(basket, pair, 3)
        with subprocess.Popen(
            [sys.executable, "-c", stays, str(path)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        ) as other:  # fmt: skip
            assert other.stdout is not None
            assert other.stdout.readline() == "open\n"
            path.unlink()
            assert "it was put back" in trouble(path, basket.changed)
            assert record(basket, pair, 4, ticked(4), NOON)[1].number == 5
            other.communicate("\n")
        assert other.returncode == 0
        assert len(basket.events(pair)) == 5
    with Basket.open(path) as basket:
        assert len(basket.events(pair)) == 5
    assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_where_another_has_put_it_back_already_that_one_stays(path: Path) -> None:
    pair = kept(path, 3)
    with Basket.open(path) as basket:
        kept(path.with_name("other.sqlite"), 1)

        def quicker(*_: object) -> None:
            path.with_name("other.sqlite").rename(path)
            raise FileExistsError(errno.EEXIST, "File exists")

        path.unlink()
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(os, "link", quicker)
            told = trouble(path, basket.changed)
        assert "was moved, removed or replaced" in trouble(path, basket.changed)
    (copy,) = path.parent.glob("*.put-back")
    assert f"all that is recorded is in {copy}: look at that with --basket" in told
    with Basket.open(path) as basket:
        assert basket.find(None).uid != pair.uid
    with Basket.open(copy) as basket:
        assert len(basket.events(pair)) == 3


def test_what_a_link_leads_to_is_put_back_there(path: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.db"
    kept(path, 3)
    link.symlink_to(path)
    with Basket.open(link) as basket:
        path.unlink()
        assert "it was put back" in trouble(path, basket.changed)
        assert record(basket, basket.find(None), 3, ticked(3), NOON)[1].number == 4
    assert link.is_symlink()
    with Basket.open(path) as basket:
        assert basket.find(None).last == 4


def test_a_basket_that_is_replaced_or_moved_is_not_written_to(path: Path, tmp_path: Path) -> None:
    stranger = kept(tmp_path / "other.sqlite", 1)
    with Basket.open(path) as basket:
        pair = start(basket)
        path.rename(path.with_name("moved"))
        for does in (basket.changed, lambda: record(basket, pair, 1, ticked(1), NOON)):
            assert "was moved, removed or replaced" in trouble(path, does)
        shutil.copy(tmp_path / "other.sqlite", path)
        for does in (basket.changed, lambda: record(basket, pair, 1, ticked(1), NOON)):
            assert "was moved, removed or replaced" in trouble(path, does)
        path.with_name("moved").replace(path)
        assert not basket.changed()
        assert record(basket, pair, 1, ticked(1), NOON)[1].number == 2
    assert stranger.last == 1


def test_a_writer_without_a_pause_is_met_between_two_of_its_acts(basket: Basket) -> None:
    """SQLite gives up after asking some ten times; then it is asked without a pause."""
    asked: list[str] = []

    class Busy:
        def execute(self, text: str) -> sqlite3.Cursor:
            asked.append(text)
            if text.startswith("BEGIN") and len(asked) < 5:
                busy = sqlite3.OperationalError("database is locked")
                busy.sqlite_errorcode = sqlite3.SQLITE_BUSY
                raise busy
            return basket._connection.execute(text)

    module.begin_writing(Busy())  # type: ignore[arg-type]
    assert basket._connection.in_transaction
    basket._connection.execute("ROLLBACK")
    assert asked[:2] == ["BEGIN IMMEDIATE", "PRAGMA busy_timeout = 0"]
    assert asked[2:-1] == ["BEGIN IMMEDIATE"] * 3
    assert basket._connection.execute("PRAGMA busy_timeout").fetchone() == (125,)


def test_a_permission_that_is_lost_while_it_is_open_is_said(nobody: Path) -> None:
    """What is open stays open: a file made read-only takes keys on, a folder that is closed does not."""
    own = Path(tempfile.mkdtemp(dir=nobody.parents[1]), "kept")
    try:
        path = own / "basket.sqlite"
        with Basket.open(path) as basket:
            pair = start(basket)
            own.chmod(0o000)
            for does in (basket.changed, lambda: record(basket, pair, 1, ticked(1), NOON)):
                assert "may not be entered any more" in trouble(path, does)
            own.chmod(0o700)
            path.chmod(0o400)
            assert record(basket, pair, 1, ticked(1), NOON)[1].number == 2
        assert "its file and its folder writable" in trouble(path, lambda: Basket.open(path))
        path.chmod(0o600)
        with Basket.open(path) as basket:
            assert len(basket.events(pair)) == 2
    finally:
        shutil.rmtree(own.parent)


def test_where_a_refused_act_cannot_be_withdrawn_it_is_not_said_to_be_lost(
    basket: Basket, path: Path
) -> None:
    """The sync of its commit failed, and the disk takes nothing more: what it holds is not known."""
    pair, real = start(basket), basket._connection

    class Broken:
        in_transaction = True

        def execute(self, text: str, *values: Any) -> sqlite3.Cursor:
            if text == "COMMIT" or text.startswith("PRAGMA user_version ="):
                failed = sqlite3.OperationalError("disk I/O error")
                failed.sqlite_errorcode = sqlite3.SQLITE_IOERR_FSYNC
                raise failed
            return real.execute(text, *values)

    basket._connection = Broken()  # type: ignore[assignment]
    said = trouble(path, lambda: record(basket, pair, 1, ticked(1), NOON))
    assert "whether this was recorded shows when the basket is opened again" in said
    basket._connection = real
    assert real.execute("PRAGMA synchronous").fetchone() == (SETTINGS["synchronous"],)
    assert record(basket, pair, 1, ticked(1), NOON)[1].number == 2


def test_a_new_folder_outlives_a_loss_of_power(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite syncs the name of its file, but not that of the folder which was made for it."""
    synced: list[Path] = []
    monkeypatch.setattr(folders, "sync_folder", synced.append)
    folders.make_hers(tmp_path / "deep" / "er")
    folders.make_hers(tmp_path / "deep")
    assert synced == [tmp_path, tmp_path / "deep"]


@pytest.mark.parametrize("bit", [1, 2, 4, 8, 16, 32])
def test_a_tally_that_seems_to_have_several_lines_is_damage(path: Path, bit: int) -> None:
    """A page that claims more lines than it has: every pair would be told once for each."""
    kept(path)
    with closing(sqlite3.connect(path)) as connection:
        query = "SELECT rootpage FROM sqlite_schema WHERE name = 'tally'"
        (page,) = connection.execute(query).fetchone()
    data = bytearray(path.read_bytes())
    data[(page - 1) * 4_096 + 4] ^= bit
    path.write_bytes(data)
    with pytest.raises(BasketTrouble, match="damaged"), Basket.open(path) as basket:
        basket.pairs()
    with Basket.open(path) as basket:
        assert basket.check()


@pytest.mark.parametrize("name", ["NULL", "7", "CAST('pattern' AS BLOB)", "CAST('tally' AS BLOB)"])
def test_a_table_whose_name_is_none_is_damage(path: Path, name: str) -> None:
    kept(path)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute(f"UPDATE sqlite_schema SET name = {name} WHERE name = 'pattern'")  # noqa: S608
    assert "damaged" in trouble(path, lambda: Basket.open(path))
