"""Words at the needles: a note, and what a sock rests on; only while their line is open."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual import events
from textual.pilot import Pilot

from tests.ui.driving import Clock, app_of, lines, running, shown, until
from tests.ui.glances import leg
from tests.ui.reading import text as texts
from tracker.knitting.events import LONGEST_NOTE
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.ui.canvas import cells
from tracker.ui.cue_line import CueSight, cue_rows, wanted_rows, written_rows
from tracker.ui.grid import Needs, grid_for
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.writing import Writing, in_one_line, prompt

NOTE = Writing("note", 1)


# The line


def test_letters_gather_and_the_last_is_rubbed_out() -> None:
    written = NOTE.typed("a").typed(" ").typed("ö")
    assert written.text == "a ö"
    assert written.rubbed_out().text == "a "
    assert NOTE.rubbed_out() == NOTE


@given(st.text(max_size=8))
def test_what_does_not_print_never_gets_in(text: str) -> None:
    written = NOTE
    for character in text:
        written = written.typed(character)
    assert written.text.isprintable()
    assert NOTE.pasted(text).text.isprintable()


def test_what_is_pasted_is_one_line() -> None:
    assert (
        NOTE.typed("x").pasted("two\r\nlines\tand\x1b[31m red\n").text == "xtwo lines and[31m red"
    )
    assert NOTE.pasted("\n\n\x00") == NOTE


def test_what_is_too_long_is_refused_readably() -> None:
    full = NOTE.pasted("x" * LONGEST_NOTE)
    assert full.text == "x" * LONGEST_NOTE
    assert full.typed("y").text == full.text
    assert full.typed("y").trouble == "500 letters are the most; enter keeps them"
    assert full.rubbed_out().typed("y").trouble == ""
    over = NOTE.typed("a").pasted("x" * LONGEST_NOTE)
    assert over.text == "a"
    assert over.trouble == "with what was pasted it has 501 letters, 500 are the most; part it"


@given(st.text(st.characters(categories=("L", "Zs", "So")), max_size=120), st.integers(8, 60))
def test_rows_hold_all_that_is_written(text: str, width: int) -> None:
    rows = written_rows(text, width)
    assert "".join(rows) == text
    assert all(cells(row) < width for row in rows)


SIZES = [(120, 36), (80, 24), (72, 22), (60, 20), (56, 18), (40, 12), (36, 10)]


@pytest.mark.parametrize("size", SIZES)
def test_the_end_of_a_long_text_is_always_seen(size: tuple[int, int]) -> None:
    sight = CueSight(prompt="Note on sock one, leg round 20", written="word " * 90 + "finis")
    wanted = wanted_rows(sight, grid_for(*size))
    rows = texts(cue_rows(sight, grid_for(*size, Needs(cue=wanted))))
    assert any("finis" in row for row in rows)
    if size[1] > 10:
        assert "Note on sock one" in rows[0]


def test_in_one_line_the_end_is_seen_too() -> None:
    glance = leg()
    told = in_one_line(NOTE.pasted("word " * 90 + "the end"), glance)
    assert told[0].startswith(f"{prompt(NOTE, glance)}: word")
    assert all(line.endswith("the end_") for line in told[:-1])
    assert in_one_line(NOTE._replace(trouble="no"), glance) == ("No",)


# In the app


@pytest.fixture
def app(basket: Basket, session: Session) -> KnittingApp:
    return app_of(basket, session)


async def write(pilot: Pilot[None], text: str) -> None:
    await pilot.press(*("space" if char == " " else char for char in text))


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_a_note_is_kept_by_enter(
    app: KnittingApp, session: Session, size: tuple[int, int]
) -> None:
    async with app.run_test(size=size) as pilot:
        await pilot.press("t")
        await until(pilot, app, "Note on sock one, leg round 9")
        assert lines(app)[-1].strip().startswith("enter keep it")
        await write(pilot, "q n 12 m?")
        await until(pilot, app, "q n 12 m?")
        assert session.glance.events == 3
        await pilot.press("enter")
        await until(pilot, app, "Noted at leg round 9: q n 12 m?.")
        assert [note.text for note in session._sock(1).notes] == ["q n 12 m?"]
        await pilot.press("space")
        await until(pilot, app, "round 11")
        assert session.glance.place.done == 10


async def test_escape_leaves_it_and_keys_are_keys_again(app: KnittingApp, session: Session) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t", "o", "q", "tab", "left", "f5", "ctrl+a", "backspace", "x", "escape")
        await pilot.press("space")
        assert session.glance.place.done == 10
        assert session.glance.events == 4
        assert isinstance(app.screen, NeedlesScreen)
        assert "ox" not in shown(app)


async def test_an_empty_note_is_refused_and_the_line_stays(
    app: KnittingApp, session: Session
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t", "enter")
        await until(pilot, app, "A note has words; type them, or esc leaves it")
        await pilot.press("a")
        await until(pilot, app, "Note on sock one, leg round 9")
        await pilot.press("space", "backspace", "backspace", "enter")
        await until(pilot, app, "A note has words")
        assert session.glance.events == 3


@pytest.mark.parametrize("key", ["t", "z"])
async def test_in_an_empty_line_space_is_a_tick(
    app: KnittingApp, session: Session, key: str
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(key, "space", "space")
        await until(pilot, app, "round 12")
        assert session.glance.place.done == 11


async def test_a_paste_is_one_line_and_none_where_no_line_is_open(
    app: KnittingApp, session: Session
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        app.post_message(events.Paste("3 \n m q"))
        await pilot.press("t", "a")
        app.post_message(events.Paste("\x1b[31m two\nlines"))
        await until(pilot, app, "a[31m two lines")
        await pilot.press("enter")
        await until(pilot, app, "Noted at leg round 9: a[31m two lines.")
        assert session.glance.events == 4


async def test_what_others_do_meanwhile_does_no_harm(
    app: KnittingApp, session: Session, tmp_path: Path
) -> None:
    """Rounds and a change of socks from elsewhere: the words stay, and go to the sock they were for."""
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t")
        await write(pilot, "half")
        with Basket.open(tmp_path / "basket.db") as other:
            elsewhere = Session(other, other.find(None), Clock())
            elsewhere.tick(2)
            elsewhere.other()
        await until(pilot, app, "sock two, cuff")
        await until(pilot, app, "Note on sock one, leg round 11")
        assert "half" in shown(app)
        await write(pilot, " done")
        await pilot.press("enter")
        await until(pilot, app, "Noted at leg round 11: half done.")
        assert [note.text for note in session._sock(1).notes] == ["half done"]
        assert session.glance.place.sock == 2


async def test_words_that_cannot_be_kept_stay_in_the_line(
    app: KnittingApp, session: Session, tmp_path: Path
) -> None:
    file = tmp_path / "basket.db"
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("t")
        await write(pilot, "the red marker")
        file.rename(tmp_path / "elsewhere.db")
        await pilot.press("enter")
        await until(pilot, app, "Not kept, enter tries again")
        assert "the red marker" in shown(app)
        (tmp_path / "elsewhere.db").rename(file)
        await pilot.press("enter")
        await until(pilot, app, "Noted at leg round 9: the red marker.")


async def test_markup_in_a_note_is_text(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("t")
        await write(pilot, "[bold]x[/]")
        await until(pilot, app, "[bold]x[/]")
        await pilot.press("enter")
        await until(pilot, app, "Noted at leg round 9: [bold]x[/].")


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12), (30, 3)])
async def test_a_sock_rests_and_says_how_it_goes_back(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("z")
        await write(pilot, "waste yarn")
        await pilot.press("enter")
        back = "16/16/16/16, the tail between needles 4 and 1"
        await until(pilot, app, "rests on waste yarn" if size[1] == 3 else f"Put back {back}")
        assert session.glance.rests_on == "waste yarn"
    again = app_of(basket, Session(basket, basket.find(None), Clock()))
    async with again.run_test(size=size) as pilot:
        await until(pilot, again, "rests on waste" if size[1] == 3 else f"Put back {back}")
        await pilot.press("tab", "tab")
        await until(pilot, again, "rests on waste" if size[1] == 3 else f"Put back {back}")
        await pilot.press("space")
        await until(pilot, again, "11" if size[1] == 3 else "round 11")
        assert "rests on" not in running(again)


async def test_nothing_written_is_the_needles(app: KnittingApp, session: Session) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("z")
        await until(pilot, app, "Sock one rests on (nothing written: the needles)")
        await pilot.press("enter")
        await until(pilot, app, "Sock one rests on the needles. They hold 16/16/16/16")
        assert session.glance.rests_on == "the needles"


async def test_what_is_not_begun_cannot_rest(app: KnittingApp, session: Session) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("tab", "z")
        await until(pilot, app, "sock two is not begun, so nothing of it hangs on anything")
        await pilot.press("space")
        assert session.glance.place.done == 1
        await pilot.press("5", "t", "space")
        assert session.glance.place.done == 2
