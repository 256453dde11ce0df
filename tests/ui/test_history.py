"""The history: every event with its time, sock and place; it scrolls, filters, and loses no key."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import Knitter, sock_of_64
from tests.ui.driving import Clock, app_of, knit, lines, running, shown, until
from tracker.knitting.events import Event
from tracker.knitting.hanging import hanging
from tracker.knitting.past import past
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.ui.canvas import Row, cells
from tracker.ui.commands import BY_KEY, HISTORY_COMMANDS
from tracker.ui.help_screen import HelpScreen
from tracker.ui.history_screen import HistoryScreen
from tracker.ui.history_view import Filter, History, Told, Top, View, filter_said, page_rows
from tracker.ui.needles_screen import NeedlesScreen

LONG_NOTE = "the thicker needle from here on " * 15


def some() -> History:
    knitter = Knitter()
    knitter.tick(22)
    knitter.tick(9)
    knitter.do("note", text=LONG_NOTE)
    knitter.do("measure", mm=95.0, step=0)
    knitter.do("undo")
    knitter.needle()
    knitter.tick(3, 2)
    knitter.do("lifeline", 2)
    return of(knitter.events)


def of(events: list[Event]) -> History:
    return History(past(sock_of_64(), events), "Night ferry", "cm", True)


def texts(view: View) -> list[str]:
    return ["".join(span.text for span in line).rstrip() for line in view.lines()]


def all_texts(history: History, width: int) -> list[str]:
    return texts(View(history, Filter(), width, 10_000))


def test_an_event_in_columns() -> None:
    told = all_texts(some(), 114)
    assert told[0] == ("       1  2026-03-01 20:00  sock one, cuff 0            the pair was begun")
    assert told[2].endswith("sock one, leg 9             9 rounds")
    (reading,) = [line for line in told if "the 9.5 cm reading" in line and "taken" not in line]
    assert reading.startswith("x      5  ")
    assert sum(line.startswith("x") for line in told) == 1
    assert any("sock one, leg 9, N2 next    a needle" in line for line in told)
    assert told[-1].endswith("sock two, cuff 3            the lifeline in cuff round 3")


def test_what_was_taken_back_is_grey_and_has_its_sign() -> None:
    view = View(some(), Filter(kind="measure"), 114, 5)
    ((span,),) = view.lines()
    assert (span.text[0], span.paint.ink) == ("x", "quiet")


@pytest.mark.parametrize("width", [30, 38, 74, 114, 200])
def test_nothing_is_cut_and_no_line_is_too_long(width: int) -> None:
    history = some()
    view = View(history, Filter(), width, 10_000)
    assert all(sum(cells(span.text) for span in line) == width for line in view.lines())
    together = " ".join(" ".join(texts(view)).split())
    assert together.count("thicker") == 15
    assert "sock two, cuff 3" in together


def test_on_a_narrow_screen_one_stands_below_the_other() -> None:
    assert all_texts(some(), 38)[-2:] == [
        "  2026-03-01 20:16  sock two, cuff 3",
        "    the lifeline in cuff round 3",
    ]


def test_filters_are_said_and_come_round_again() -> None:
    history = some()
    kinds = history.kinds()
    assert kinds == ["started", "tick", "note", "measure", "undo", "lifeline"]
    only, seen = Filter(sock=2), []
    for _ in kinds:
        only = only.step(kinds)
        seen.append(filter_said(View(history, only, 114, 20))[0])
    assert seen[0] == "sock two, the beginning only: nothing"
    assert seen[1] == "sock two, rounds and needles only: 1 to 1 of 1"
    assert only.step(kinds) == Filter(sock=2)
    assert filter_said(View(history, Filter(), 114, 100)) == (
        "both socks, every kind: 1 to 9 of 9", "both, every kind, 9 of 9",
    )  # fmt: skip
    assert Filter(kind="gone").step(kinds).kind == "started"


@given(
    st.integers(30, 120), st.integers(1, 30),
    st.lists(st.integers(-40, 40), max_size=12), st.sampled_from((None, 1, 2)),
)  # fmt: skip
def test_scrolling_stays_on_the_page(width: int, height: int, by: list[int], sock: object) -> None:
    """What is in view is always a stretch of the whole, as long as the page where there is as much."""
    history = some()
    whole = texts(View(history, Filter(sock), width, 10_000))  # type: ignore[arg-type]
    view = View(history, Filter(sock), width, height)  # type: ignore[arg-type]
    at = max(len(whole) - height, 0)
    assert texts(view) == whole[at:]
    for lines_ in by:
        at = min(max(at + lines_, 0), max(len(whole) - height, 0))
        view.scroll(lines_)
        assert texts(view) == whole[at : at + height]


def test_home_and_end_and_another_size() -> None:
    view = View(some(), Filter(), 38, 5)
    newest = view.top
    view.oldest()
    assert view.top == Top(0, 0)
    assert view.in_view() == (1, 3)
    assert view.resized(114, 3).top == Top(0, 0)
    view.newest()
    assert view.top == newest
    assert view.resized(114, 100).top == Top(0, 0)


def test_a_long_history_is_composed_only_where_it_is_in_view(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from tracker.ui import history_view

    events = [*Knitter().events]
    events += [Event(n, n, 0, 1 + n % 2, "note", {"text": "x"}, b"") for n in range(2, 3_001)]
    history = of(events)
    composed: list[Told] = []
    real = history_view.entry_lines

    def counting(entry: Told, width: int) -> list[Row]:
        composed.append(entry)
        return real(entry, width)

    monkeypatch.setattr(history_view, "entry_lines", counting)
    view = View(history, Filter(), 114, 30)
    page_rows(view, (), 120, 36)
    view.scroll(-29)
    view.oldest()
    page_rows(view, (), 120, 36)
    assert 0 < len(composed) < 600


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12), (20, 4), (10, 2), (4, 1)])
def test_every_size_has_as_many_rows(size: tuple[int, int]) -> None:
    width, height = size
    rows = page_rows(View(some(), Filter(), width - 2, height - 3), (), width, height)
    assert len(rows) == height


def test_marks_stand_by_their_rounds() -> None:
    knitter = Knitter()
    knitter.to("leg", 40)
    knitter.do("note", text=LONG_NOTE)
    knitter.do("lifeline", section="leg", round=20)
    knitter.to("heel set-up")
    knitter.tick(3, 2)
    knitter.do("note", 2, text="loosely")
    marks = hanging(knitter.course, knitter.state)
    history = of(knitter.events)._replace(marks=marks)
    view = View(history, Filter(marks=True), 114, 20)
    told = [" ".join(line.split()) for line in texts(view)]
    assert told[0].endswith("sock one, leg round 20 a lifeline")
    assert "sock one, leg round 40 a note: the thicker needle" in told[1]
    assert told[-2:] == [
        "sock one, leg round 46 a pin, left standing",
        f"{len(knitter.events)} 2026-03-01 20:16 sock two, cuff round 3 a note: loosely",
    ]
    assert filter_said(view) == (
        "both socks, lifelines, pins and notes by their rounds: 1 to 4 of 4",
        "both, lifelines, pins and notes, 4 of 4",
    )
    assert len(View(history, Filter(sock=2, marks=True), 38, 20).shown) == 1
    assert Filter(kind="note", marks=True).step(["tick"]) == Filter(kind="tick")


# In the app


@pytest.fixture
def session(session: Session) -> Session:
    session.note("the red marker")
    session.measure("9.5")
    session.undo()
    return session


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_it_opens_with_the_newest_in_view_and_goes_back(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("j")
        await until(pilot, app, "taken back: the 9.5 cm reading")
        assert "x was taken back" in shown(app)
        assert "both socks, every kind" in shown(app)
        assert lines(app)[-1].endswith("esc" if size[0] == 40 else "esc back")
        await pilot.press("escape")
        await until(pilot, app, "of about 46")
        assert isinstance(app.screen, NeedlesScreen)
        await pilot.press("J", "j")
        assert isinstance(app.screen, NeedlesScreen), "the same key goes back, too"
        assert session.glance.events == 6


async def test_keys_filter_and_scroll(basket: Basket, session: Session) -> None:
    knit(session, lambda place: place.kind == "flap")
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("j")
        await until(pilot, app, "sock one, heel set-up")
        assert "the pair was begun" not in shown(app)
        for key, seen in (
            ("home", "the pair was begun"), ("end", "the end of the leg"), ("pageup", "leg 30"),
            ("pagedown", "the end of the leg"), ("right", "sock two, every kind: nothing"),
            ("left", "sock one, every kind"), ("left", "both socks, every kind"),
            ("k", "the beginning only: 1 to 1 of 1"), ("k", "rounds and needles only"),
            ("k", "notes only: 1 to 1 of 1"), ("K", "readings only"), ("k", "taken back only"),
            ("k", "ends only"), ("k", "every kind"),
            ("l", "lifelines, pins and notes by their rounds: 1 to 2 of 2"),
            ("right", "by their rounds: nothing"), ("right", "a pin, left standing"), ("l", "every kind"),
            ("l", "by their rounds"), ("k", "the beginning only"), ("l", "by their rounds"),
            ("l", "every kind"),
        ):  # fmt: skip
            await pilot.press(key)
            await until(pilot, app, seen)
        await pilot.press("up")
        await until(pilot, app, f"to {session.glance.events - 1} of {session.glance.events}")
        await pilot.press("down")
        await until(pilot, app, f"to {session.glance.events} of {session.glance.events}")
        assert session.glance.place.kind == "flap"
        assert isinstance(app.screen, HistoryScreen)


async def test_other_keys_of_the_needles_are_done_there(basket: Basket, session: Session) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("j", "tab")
        await until(pilot, app, "sock two, cuff")
        await pilot.press("j", "backspace")
        await until(pilot, app, "Taken back: the change of socks")
        await pilot.press("j", "5", "space")
        await until(pilot, app, "5 rounds: 10 to 14")
        await pilot.press("j", "question_mark")
        await until(pilot, app, "At the needles")
        assert isinstance(app.screen, HelpScreen)
        await pilot.press("j")
        await until(pilot, app, "both socks, every kind")
        await pilot.press("!")
        await until(pilot, app, "! does nothing here")


async def test_every_key_of_its_own_is_known_and_none_ticks() -> None:
    keys = {key for command in HISTORY_COMMANDS for key in command.keys}
    ticks = {key for key, command in BY_KEY.items() if command.name in ("tick", "undo")}
    assert not keys & ticks
    for command in HISTORY_COMMANDS:
        assert command.name == "back" or hasattr(HistoryScreen, f"do_{command.name}")


async def test_what_others_record_meanwhile_is_there_when_it_opens_again(
    basket: Basket, session: Session, tmp_path: Path
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("j")
        await until(pilot, app, "1 to 6 of 6")
        with Basket.open(tmp_path / "basket.db") as other:
            Session(other, other.find(None), Clock()).tick(4)
        await pilot.press("j", "j")
        await until(pilot, app, "1 to 7 of 7")


async def test_a_resize_keeps_the_newest_in_view(basket: Basket, session: Session) -> None:
    knit(session, lambda place: place.kind == "flap")
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("j")
        last = f"of {session.glance.events}"
        await until(pilot, app, f"to {session.glance.events} {last}")
        await pilot.resize_terminal(40, 12)
        await until(pilot, app, f"to {session.glance.events} {last}")
        assert "page down" not in running(app)


async def test_a_strangers_words_are_text(basket: Basket, session: Session) -> None:
    session.note("[bold]x[/] \x1b[31m red \u202e")
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("j")
        await until(pilot, app, "[bold]x[/] ?[31m red ?")
        assert "\x1b" not in shown(app)
