"""A pair opened from a checkpoint answers as one of which all is replayed; what does not match is dropped."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given

from tests.examples import examples
from tests.knitting.knitter import EVENING, SAMPLE
from tests.knitting.pieces import SEEDS
from tests.test_kept import LOW_TIDE, Evening, opened
from tracker.knitting import replay
from tracker.knitting.refused import Refused
from tracker.knitting.resumed import Resumed
from tracker.reports import left_json
from tracker.session import Session
from tracker.storage import checkpoints
from tracker.storage.basket import Basket, BasketTrouble, Stamp
from tracker.storage.checkpoints import folder_of
from tracker.storage.kept_answers import MOST_SIZE, checksum

NOW = Stamp(EVENING + 90_000_000, 60)


@contextmanager
def often() -> Iterator[None]:
    """Checkpoints of short histories."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(replay, "KEYFRAME", 4)
        patch.setattr(checkpoints, "EVERY", 12)
        yield


@pytest.fixture(autouse=True)
def _often() -> Iterator[None]:
    with often():
        yield


def opens(basket: Basket) -> Session:
    return Session(basket, basket.find("night-ferry"), lambda: NOW)


def told(session: Session) -> list[Any]:
    """All that can be asked of a pair."""
    glances, state = [session.look(number) for number in (1, 2)], session.state
    state = state._replace(
        last=state.last._replace(uid=b"")
    )  # that of an act just done is not known here
    return [
        glances, state, session.summary, session.document, session.counting, session.hanging(),
        session.differs(), session.past(), left_json(glances[0]), session.side_by_side(), session.touched,
    ]  # fmt: skip


def resumes(session: Session) -> bool:
    return isinstance(session._replay, Resumed)


def file_of(basket: Basket) -> Path:
    (found,) = folder_of(basket.path).iterdir()
    return found


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a basket."""
    folder = tmp_path_factory.mktemp("made")
    with often(), Basket.open(folder / "basket.db") as basket:
        knit(basket)
    return folder


@pytest.fixture
def basket(made: Path, tmp_path: Path) -> Iterator[Basket]:
    """A pair of forty acts, and a checkpoint of it."""
    shutil.copytree(made, tmp_path, dirs_exist_ok=True)
    with Basket.open(tmp_path / "basket.db") as basket:
        yield basket


def knit(basket: Basket, rounds: int = 40, seed: int = 0) -> None:
    times = (Stamp(EVENING + 60_000 * number + seed, 60) for number in range(1_000))
    session = Session.start(basket, opened(SAMPLE), lambda: next(times))
    for _ in range(rounds):
        session.tick()
    assert not resumes(opens(basket))
    assert resumes(opens(basket))


@given(SEEDS)
@examples(60)
def test_with_and_without_a_checkpoint_all_answers_are_the_same(seed: int) -> None:
    with TemporaryDirectory() as name, Basket.open(Path(name) / "basket.db") as basket:
        evening = Evening(basket, (SAMPLE, LOW_TIDE)[seed % 2], seed)
        for _ in range(40):
            evening.do()
        evening.again()
        evening.session = kept = evening.again()
        for _ in range(15):
            evening.do()
        again = evening.again()
        shutil.rmtree(folder_of(basket.path), ignore_errors=True)
        whole = evening.again()
        assert not resumes(whole)
        for session in (kept, again, whole):
            session.now = whole.now  # type: ignore[method-assign]
            session._clock = lambda: NOW
        assert told(kept) == told(again) == told(whole)


@given(SEEDS)
@examples(90)
def test_whatever_is_taken_back_or_moved_under_it_by_two_at_once(seed: int) -> None:
    """And a full disk between; every opening says what a whole replay says."""
    drawn = Random(seed)  # noqa: S311 - nothing is secret
    with (
        TemporaryDirectory() as name,
        Basket.open(Path(name) / "basket.db") as basket,
        Basket.open(Path(name) / "basket.db") as theirs,
    ):
        evening = Evening(basket, (SAMPLE, LOW_TIDE)[seed % 2], seed)
        for _ in range(25):
            evening.do()
        evening.again()
        open_now = [evening.again(), Session(theirs, theirs.find(None), evening.hands)]
        for _ in range(30):
            at = drawn.randrange(2)
            evening.session = session = open_now[at]
            evening.basket = session._basket
            go_under(session, drawn) if drawn.random() < 0.6 else evening.do()
            if drawn.random() < 0.2:
                open_now[at] = evening.again()
        for session in open_now:
            session.refresh()
        again = evening.again()
        shutil.rmtree(folder_of(basket.path), ignore_errors=True)
        whole = evening.again()
        assert not resumes(whole)
        for session in (*open_now, again, whole):
            session.now = whole.now  # type: ignore[method-assign]
            session._clock, session.pair = (lambda: NOW), whole.pair
        for session in (*open_now, again):
            assert told(session) == told(whole)


def go_under(session: Session, drawn: Random) -> None:
    """Take acts back, bring one again, move ticks to the other sock; or find the disk full."""
    with suppress(Refused, BasketTrouble):
        match drawn.randrange(8):
            case 0 | 1 | 2 | 3:
                for _ in range(drawn.randint(1, 9)):
                    session.undo()
            case 4 | 5:
                session.redo()
            case 6:
                session.move_over(drawn.randint(1, 4), drawn.choice((None, 1, 2)))
            case _:
                with pytest.MonkeyPatch.context() as patch:
                    patch.setattr(session._basket, "_append", full)
                    session.tick()


def full(*_: object) -> None:
    raise BasketTrouble("the disk is full")


@pytest.mark.parametrize("times", [1, 9, 20, 38])
def test_opened_again_after_acts_under_it_were_taken_back_it_is_where_she_was(
    basket: Basket, times: int
) -> None:
    session = opens(basket)
    for _ in range(times):
        session.undo()
    for _ in range(3):
        assert told(opens(basket)) == told(session)
        session.tick()


def test_opened_after_acts_under_it_were_taken_back_another_is_kept(basket: Basket) -> None:
    """Else every opening would read all again."""
    session = opens(basket)
    for _ in range(10):
        session.undo()
    assert opens(basket)._replay.reached_under  # type: ignore[attr-defined]
    found = opens(basket)
    assert resumes(found)
    assert not found._replay.reached_under  # type: ignore[attr-defined]


def test_an_act_taken_back_and_brought_again_is_reached_under(basket: Basket) -> None:
    """The act is the one that stood there, and yet a fold of it is read from nothing that came after."""
    shutil.rmtree(folder_of(basket.path))
    session = opens(basket)
    kept = json.loads(file_of(basket).read_bytes().partition(b"\n")[2])[1]
    for _ in range(8):
        session.undo()
    for _ in range(8):
        session.redo()
    shutil.rmtree(folder_of(basket.path))
    opens(basket)
    again = json.loads(file_of(basket).read_bytes().partition(b"\n")[2])[1]
    assert again < kept
    assert not opens(basket)._replay.reached_under  # type: ignore[attr-defined]


def test_acts_on_a_pair_that_was_opened_from_one_go_back_below_it(basket: Basket) -> None:
    session = opens(basket)
    assert resumes(session)
    states = [session.state]
    for _ in range(40):
        session.undo()
        states.append(session.state)
    assert not session.glance.place.begun
    for state in reversed(states[:-1]):
        session.redo()
        assert session.state.socks == state.socks
    assert len(session.past()) == 121


def test_an_act_that_is_not_kept_leaves_it_as_it_was(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = opens(basket)
    before = told(session)
    with monkeypatch.context() as patch:
        patch.setattr(basket, "_append", full)
        for act in (session.tick, session.undo):
            with pytest.raises(BasketTrouble, match="the disk is full"):
                act()
    assert resumes(session)
    assert told(session) == before
    session.tick()
    assert told(session) == told(opens(basket))


def test_what_others_record_meanwhile_is_taken_in(basket: Basket) -> None:
    session = opens(basket)
    with Basket.open(basket.path) as theirs:
        opens(theirs).undo()
        opens(theirs).note("blue marker")
    assert session.refresh()
    assert told(session) == told(opens(basket))


def test_one_opening_in_many_acts_keeps_one_and_no_act_does(basket: Basket) -> None:
    kept = file_of(basket).read_bytes()
    session = opens(basket)
    for _ in range(6):
        session.tick()
    opens(basket)
    assert file_of(basket).read_bytes() == kept
    for _ in range(9):
        session.tick()
    assert file_of(basket).read_bytes() == kept
    opens(basket)
    assert file_of(basket).read_bytes() != kept
    assert told(opens(basket)) == told(session)


def is_dropped(basket: Basket, truth: list[Any]) -> None:
    """It is not believed: nothing is said, all is replayed, and another is kept."""
    session = opens(basket)
    assert not resumes(session)
    assert told(session) == truth
    assert resumes(opens(basket))


def test_one_that_was_deleted_is_made_again(basket: Basket) -> None:
    truth = told(opens(basket))
    shutil.rmtree(folder_of(basket.path))
    is_dropped(basket, truth)


def test_one_of_another_version_of_the_program_is_dropped(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    truth = told(opens(basket))
    monkeypatch.setattr(checkpoints, "_PROGRAM", "newer")
    is_dropped(basket, truth)


def test_one_of_another_chain_is_dropped(basket: Basket, tmp_path: Path) -> None:
    """Of the same pair, knitted on elsewhere from the same beginning."""
    shutil.copy(basket.path, tmp_path / "copy.db")
    with Basket.open(tmp_path / "other.db") as other:
        knit(other, seed=7)
        here, there = file_of(basket), file_of(other)
        truth = told(opens(other))
        there.write_bytes(here.read_bytes())
        is_dropped(other, truth)


def test_one_of_more_events_than_there_are_is_dropped(basket: Basket, tmp_path: Path) -> None:
    """An older copy of the basket was put back."""
    basket.close()
    older = tmp_path / "older.db"
    shutil.copy(basket.path, older)
    with Basket.open(basket.path) as later:
        session = opens(later)
        for _ in range(30):
            session.tick()
        opens(later)
    shutil.copy(older, basket.path)
    with Basket.open(basket.path) as again:
        session = opens(again)
        assert not resumes(session)
        assert session.glance.events == 41


def test_damaged_text_is_dropped(basket: Basket) -> None:
    truth, path = told(opens(basket)), file_of(basket)
    sound = path.read_bytes()
    for at in range(0, len(sound), 97):
        path.write_bytes(sound[:at] + bytes([sound[at] ^ 4]) + sound[at + 1 :])
        assert checkpoints.find(basket.path, basket.find(None).uid) is None, at
    for damaged in (b"", sound[:100], sound[:-1], sound + b" ", b"\n", b"[" * 50_000):
        path.write_bytes(damaged)
        is_dropped(basket, truth)


def test_what_is_forged_under_a_right_checksum_is_dropped(basket: Basket) -> None:
    truth, path = told(opens(basket)), file_of(basket)
    sound = path.read_bytes()
    mine, number, link, total, state, tables = json.loads(sound.partition(b"\n")[2])
    forged: Any
    right = [mine, number, link, total, state, tables]
    for place, wrong in (
        (1, str(number)), (1, 10**30), (1, number - 1), (1, -1), (1, True), (2, "0" * 32), (2, None),
        (3, "0" * 32), (3, []), (4, []), (4, [number, number, None, [[], 1]]), (4, [[[[]]]] * 4),
        (4, [number, number + 3, *state[2:]]), (5, []), (5, {}), (5, {"section": 3}), (5, None),
        (5, {**tables, "section": tables["section"][:1]}), (0, "newer"), (0, None),
    ):  # fmt: skip
        forged = [*right[:place], wrong, *right[place + 1 :]]
        text = json.dumps(forged).encode()
        path.write_bytes(checksum(text).encode() + b"\n" + text)
        is_dropped(basket, truth)
    for forged in ({}, [], [mine], right[:-1], [*right, 1]):
        text = json.dumps(forged).encode()
        path.write_bytes(checksum(text).encode() + b"\n" + text)
        is_dropped(basket, truth)


def test_acts_that_are_not_those_it_was_made_of_are_noticed_where_they_are_read(
    basket: Basket,
) -> None:
    """Forged so that only an act from before it shows it."""
    path = file_of(basket)
    right = json.loads(path.read_bytes().partition(b"\n")[2])
    right[4][1] -= 4
    text = json.dumps(right).encode()
    path.write_bytes(checksum(text).encode() + b"\n" + text)
    session = opens(basket)
    assert resumes(session)

    for _ in range(40):
        session.undo()
    assert not path.exists()
    assert not resumes(session)
    assert not session.glance.place.begun
    assert told(session) == told(opens(basket))


def test_a_file_that_another_may_have_written_is_not_believed(
    basket: Basket, tmp_path: Path
) -> None:
    truth, path = told(opens(basket)), file_of(basket)
    os.chmod(path, 0o666)  # noqa: S103 - that is what is tried
    is_dropped(basket, truth)
    assert path.stat().st_mode & 0o777 == 0o600
    path.rename(tmp_path / "elsewhere")
    path.symlink_to(tmp_path / "elsewhere")
    is_dropped(basket, truth)
    assert path.stat().st_size < MOST_SIZE
    path.write_bytes(b" " * MOST_SIZE + b" ")
    is_dropped(basket, truth)


def test_where_none_can_be_kept_nothing_is_said(basket: Basket) -> None:
    truth = told(opens(basket))
    shutil.rmtree(folder_of(basket.path))
    folder_of(basket.path).write_text("in the way", encoding="utf-8")
    for _ in range(2):
        session = opens(basket)
        assert not resumes(session)
        assert told(session) == truth


COLUMNS = ("at", '"offset"', "sock", "kind", "data", "uid", "version", "chain")


@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("number", [1, 2, 17, 36, 41])
def test_damage_before_a_checkpoint_is_said_as_ever(
    basket: Basket, column: str, number: int
) -> None:
    other = {
        "kind": "'note'", "data": "replace(data, '1', '2')", "uid": "randomblob(16)", "sock": "2",
        "chain": "randomblob(16)",
    }.get(column, f"{column} + 1")  # fmt: skip
    if column == "sock":
        other = "CASE sock WHEN 2 THEN 1 ELSE 2 END"
    if column == "data":
        other = "data || ' '"
    run = basket._connection.execute
    run("DROP TRIGGER event_is_never_changed")
    run(f"UPDATE event SET {column} = {other} WHERE number = ?", (number,))  # noqa: S608
    with pytest.raises(BasketTrouble, match=rf"event {number} of night-ferry is damaged"):
        opens(basket)
    shutil.rmtree(folder_of(basket.path))
    with pytest.raises(BasketTrouble, match=rf"event {number} of night-ferry is damaged"):
        opens(basket)
    assert any(f"event {number} of" in line for line in basket.check())


def test_an_event_that_was_lost_before_a_checkpoint_is_missed(basket: Basket) -> None:
    run = basket._connection.execute
    run("DROP TRIGGER event_is_never_erased")
    run("DELETE FROM event WHERE number = 5")
    with pytest.raises(BasketTrouble, match=r"event 5 of night-ferry is damaged"):
        opens(basket)
