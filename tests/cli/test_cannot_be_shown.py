"""A pair whose acts replay, with right checksums, to what nobody can look at: one line, everywhere."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import Any

import pytest

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE
from tests.storage.recording import reseal
from tests.ui.driving import until
from tracker.clock import now
from tracker.session import CannotBeShown, Session
from tracker.settings import Settings
from tracker.storage.basket import Basket
from tracker.storage.chain import encode, first_link, link_of
from tracker.ui.app import run
from tracker.ui.knitting_app import KnittingApp


def put_into_the_last_act(instep: Instep, data: dict[str, Any]) -> None:
    """Other fields for the last act of the last pair, under right checksums."""
    with Basket.open(instep.basket) as basket:
        pair = basket.find(None)
        *before, last = basket.rows(pair)
    link = first_link(pair.uid, pair.pattern)
    for row in before:
        link = link_of(link, *row)
    link = link_of(link, *last._replace(data=encode(data)))
    with closing(sqlite3.connect(instep.basket)) as file, file:
        guards = file.execute(
            "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'"
        ).fetchall()
        for guard, _ in guards:
            file.execute(f'DROP TRIGGER "{guard}"')
        event = (encode(data), link, pair.id, last.number)
        file.execute("UPDATE event SET data = ?, chain = ? WHERE pair = ? AND number = ?", event)
        file.execute("UPDATE pair SET chain = ? WHERE id = ?", (link, pair.id))
        reseal(file)
        for _, made in guards:
            file.execute(made)


@pytest.fixture
def pair(instep: Instep) -> Instep:
    """A pair with a note."""
    instep.ok("start", str(SAMPLE))
    instep.ok("tick", "3")
    instep.ok("note", "tighter here")
    return instep


@pytest.fixture
def untellable(pair: Instep) -> Instep:
    """A pair whose note has a number for its words."""
    put_into_the_last_act(pair, {"text": 3})
    return pair


@pytest.fixture
def unseen(pair: Instep, monkeypatch: pytest.MonkeyPatch) -> Instep:
    """A pair that cannot be looked at, as if its acts led nowhere."""

    def fails(*_: object, **__: object) -> None:
        raise KeyError("no such row")

    monkeypatch.setattr("tracker.session.look", fails)
    monkeypatch.setattr("tracker.tellable.look", fails)
    return pair


@pytest.mark.parametrize(
    "command", [("left",), ("knit", "night-ferry"), ("tick",), ("measure", "3cm"), ("other",)]
)
def test_a_pair_that_cannot_be_looked_at_is_said_in_one_line(
    unseen: Instep, command: tuple[str, ...]
) -> None:
    told = unseen.wrong(*command)
    assert told.startswith("night-ferry cannot be shown; instep check says what is wrong with it")
    assert str(unseen.basket) in told


def test_neither_the_screen_nor_the_lines_are_opened_for_it(unseen: Instep) -> None:
    with Basket.open(unseen.basket) as basket:
        session = Session(basket, basket.find(None), now)
        with pytest.raises(CannotBeShown, match="night-ferry cannot be shown; instep check says"):
            run(basket, session, Settings())


def test_the_check_says_what_is_wrong_with_it(unseen: Instep) -> None:
    told = unseen.wrong("check")
    assert "night-ferry cannot be shown: its acts lead to a place that cannot be looked at;" in told
    assert "put a backup in the place of the basket" in told


def test_an_act_that_cannot_be_told_ends_no_history_with_a_traceback(untellable: Instep) -> None:
    untellable.ok("left")
    for command in (("history",), ("history", "--json")):
        assert "night-ferry cannot be shown; instep check says" in untellable.wrong(*command)
    told = untellable.wrong("check")
    assert "night-ferry cannot be shown: event 3 (note) does not hold what is told of it;" in told


async def test_what_another_program_made_of_it_ends_the_screen_without_a_traceback(
    pair: Instep, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On leaving the line says it: `run` looks once more."""
    with Basket.open(pair.basket) as basket:
        app = KnittingApp(basket, Session(basket, basket.find(None), now), now)
        async with app.run_test(size=(80, 24)) as pilot:
            await until(pilot, app, "3")
            pair.ok("tick")

            def fails(*_: object, **__: object) -> None:
                raise KeyError("no such row")

            monkeypatch.setattr("tracker.session.look", fails)
            while app.is_running:
                await pilot.pause(0.05)
        assert app.return_code == 0
