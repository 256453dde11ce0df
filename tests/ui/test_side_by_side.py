"""The two socks side by side on the screen: both drawn, the ledger, the rest; no key is lost."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import SAMPLE, Knitter, sock_of_64
from tests.ui.driving import Clock, app_of, lines, running, shown, until
from tracker.drawing import picture
from tracker.keys import DEFAULT
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.state import Number
from tracker.session import Session
from tracker.side_by_side import SideBySide, side_by_side
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file
from tracker.ui import side_by_side_view as view
from tracker.ui.canvas import Canvas, Row, cells
from tracker.ui.commands import SIDE_COMMANDS, by_key
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.palette import NO_COLOUR, Paint, segment
from tracker.ui.side_by_side_screen import SideBySideScreen
from tracker.ui.sock_drawing import Size, draw_sock, size_of

GRIDS = [(120, 36), (80, 24), (40, 12)]


def of(knitter: Knitter) -> SideBySide:
    return side_by_side(knitter.course, knitter.state, knitter.look())


def apart() -> Knitter:
    """Sock one is finished; sock two ended its leg two rounds early, and is at the flap."""
    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("note", text="the thicker needle from here on " * 15)
    knitter.finish()
    knitter.to("leg", 44, sock=2)
    knitter.do("end", 2)
    knitter.to("flap", 10, sock=2)
    return knitter


def text(rows: list[Row]) -> list[str]:
    return ["".join(span.text for span in row).rstrip() for row in rows]


def bare(canvas: Canvas) -> list[str]:
    """The cells as a terminal without colour has them: reversed ones as #."""
    return [
        "".join(
            "#" * len(found.text) if found.style and found.style.reverse else found.text
            for found in (segment(NO_COLOUR, span.text, span.paint) for span in row)
        ).rstrip()
        for row in canvas.rows()
    ]


# The drawing


def drawn(
    course: Course, place: tuple[int, int] | None, counts: tuple[int, ...], *, needle: bool = True
) -> list[str]:
    made = picture(course, counts, place)
    assert made is not None
    made = made if needle else made._replace(needle=None)
    size = size_of([made], 28, 14)
    canvas = Canvas(size.columns + 12, size.rows, Paint())
    draw_sock(canvas, 2, 0, made, size, "34")
    return bare(canvas)


COUNTS = (22, 46, 1, 32, 14, 19, 44, 20, 1)


def test_before_the_cast_on_all_is_yet_to_come_and_after_the_graft_nothing_is() -> None:
    course = sock_of_64()
    assert {*"".join(drawn(course, (0, 0), COUNTS))} == {" ", "."}
    done = "".join(drawn(course, None, COUNTS))
    assert "." not in done
    assert "#" in done


@given(st.integers(0, 8), st.data())
def test_more_is_knitted_the_farther_she_is(section: int, data: st.DataObject) -> None:
    course = sock_of_64()
    most = course.sections[section].rows_to(COUNTS[section])
    rows = sorted(data.draw(st.lists(st.integers(0, most), min_size=2, max_size=4)))
    left = ["".join(drawn(course, (section, row), COUNTS, needle=False)).count(".") for row in rows]
    assert left == sorted(left, reverse=True)


def test_the_needle_lies_where_the_leg_is_and_carries_its_count() -> None:
    rows = drawn(sock_of_64(), (1, 34), COUNTS)
    (at,) = [y for y, row in enumerate(rows) if "\u2501" in row]
    assert rows[at].endswith("\u2501 \u25c4 34")
    assert not any("." in row for row in rows[:at])
    assert not any("#" in row for row in rows[at + 1 :])


def test_the_proportions_are_those_of_the_knitting() -> None:
    """The leg is half of 64 stitches wide, and as high as 22 rounds of cuff and 46 of leg."""
    course = sock_of_64()
    made = picture(course, COUNTS, None)
    assert made is not None
    size = size_of([made], 28, 14)
    rows = drawn(course, None, COUNTS)
    gauge = course.pattern.gauge
    assert gauge is not None
    wide = rows[0].rstrip().count("#") * size.mm
    assert wide == pytest.approx(32 * 100 / gauge.stitches, abs=size.mm)
    narrow = sum(len(row) == len(rows[0]) for row in rows) * 2 * size.mm
    high = 22 * 100 / gauge.rows / gauge.cuff_factor + 46 * 100 / gauge.rows
    assert narrow == pytest.approx(high, abs=2 * size.mm)


def test_yarns_are_textures_and_their_key_names_them() -> None:
    file = SAMPLE.with_name("low-tide.toml")
    knitter = Knitter(Course(open_file(str(file)).pattern))
    knitter.tick(16)
    knitter.tick(27)
    knitter.do("end")
    knitter.tick(10)
    rows = text(view.lines(of(knitter), 114, 31))
    assert any("\u2593\u2593 slate   \u2591\u2591 sand   \u2592\u2592 foam" in row for row in rows)
    assert sum("\u2591" in row for row in rows) > 1, "the heel is in sand"


def test_stripes_are_drawn_where_there_are_cells_for_each_and_else_the_widest_alone() -> None:
    course = Course(open_file(str(SAMPLE.with_name("low-tide.toml"))).pattern)
    made = picture(course, (16, 27, 1, 24, 10, 15, 26, 15, 1), None)
    assert made is not None
    for mm, several in ((1.0, True), (9.0, False)):
        size = Size(200, 100, mm)
        canvas = Canvas(210, 100, Paint())
        draw_sock(canvas, 2, 0, made, size)
        assert any("\u2592" in row for row in bare(canvas)) == several


def test_both_have_one_scale() -> None:
    short, long = ((22, 20, 1, 32, 14, 19, 20, 20, 1), (22, 70, 1, 32, 14, 19, 60, 20, 1))
    pictures = [made for counts in (short, long) if (made := picture(sock_of_64(), counts, None))]
    size = size_of(pictures, 28, 14)
    assert size == size_of([pictures[1]], 28, 14)


# The page


@pytest.mark.parametrize("width", [20, 30, 38, 69, 70, 74, 114, 200])
def test_no_line_is_too_long_and_nothing_is_lost(width: int) -> None:
    found = view.lines(of(apart()), width, 30)
    assert {sum(cells(span.text) for span in row) for row in found} <= {width}
    together = " ".join(" ".join(text(found)).split())
    assert together.count("thicker") == 15
    assert "not in step: leg -2" in together


ACTS = st.tuples(
    st.sampled_from((1, 2)),
    st.sampled_from(("tick", "end", "measure", "changed", "note", "weigh", "undo", "restart", "rip")),
    st.integers(1, 90),
)  # fmt: skip


def act(knitter: Knitter, sock: Number, what: str, much: int) -> None:
    """One act of a history that may be anything."""
    data: dict[str, dict[str, Any]] = {
        "tick": {"rounds": much},
        "measure": {"mm": 3.0 * much, "step": 1},
        "changed": {"as": "needle", "value": "2.25", "copy": much % 2 > 0},
        "note": {"text": "[b]x[/]"},
        "weigh": {"grams": float(much), "text": "x"},
        "rip": {"section": "cuff", "round": min(much, 20)},
    }
    with suppress(Refused):
        knitter.do(what, sock, **data.get(what, {}))


@given(st.lists(ACTS, max_size=25))
def test_whatever_happened_is_told_and_fits(acts: list[tuple[Number, str, int]]) -> None:
    knitter = Knitter()
    for one in acts:
        act(knitter, *one)
    pair = of(knitter)
    for width in (20, 38, 74, 114):
        rows = view.lines(pair, width, 20)
        assert {sum(cells(span.text) for span in row) for row in rows} == {width}
        together = " ".join(" ".join(text(rows)).split())
        assert ("not in step" in together) == (not knitter.look().in_step)


def test_where_there_is_room_both_are_drawn_and_else_it_is_a_list() -> None:
    pair = of(apart())
    wide, narrow = text(view.lines(pair, 74, 20)), text(view.lines(pair, 38, 8))
    assert any("\u2501" in row for row in wide)
    assert "leg              46    44  -2 !" in " ".join(wide)
    assert narrow[:2] == ["sock one: finished", "sock two: heel flap, 10 of 32"]
    assert "  leg              46    44  -2 !" in narrow
    assert "\u25ba heel flap        32    10  22 to go" in narrow


def test_what_is_no_sock_is_a_list_without_drawings(tmp_path: Path) -> None:
    file = tmp_path / "hat.toml"
    file.write_text(
        'title = "Hat"\n[[section]]\nname = "brim"\nworked = "rounds"\nneedles = [24, 24]\n'
        'repeat = 4\nrows = ["*k2, p2; rep from * to end"]\n'
        '[[section]]\nname = "body"\nworked = "rounds"\nuntil = "18 cm"\nrows = ["k"]\n',
        encoding="utf-8",
    )
    knitter = Knitter(Course(open_file(str(file)).pattern))
    knitter.tick(6)
    rows = text(view.lines(of(knitter), 114, 30))
    assert rows[:2] == ["the first: body, 2 done", "the second: not begun"]
    assert not any("%" in row for row in rows), "nobody knows how much is to be done"


@pytest.mark.parametrize("size", [*GRIDS, (20, 4), (10, 2), (4, 1)])
def test_every_size_has_as_many_rows(size: tuple[int, int]) -> None:
    pair = of(apart())
    found = view.lines(pair, max(size[0] - 2, 1), 5)
    assert len(view.page_rows(pair, found, 0, (), *size)) == size[1]


# In the app


@pytest.mark.parametrize("size", GRIDS)
async def test_it_opens_and_goes_back(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press(";")
        await until(pilot, app, "sock two: not begun")
        assert "Side by side" in shown(app)
        assert isinstance(app.screen, SideBySideScreen)
        assert lines(app)[-1].endswith("esc back")
        await pilot.press("escape")
        await until(pilot, app, "of about 46")
        assert isinstance(app.screen, NeedlesScreen)
        await pilot.press(";", ";")
        assert isinstance(app.screen, NeedlesScreen), "the same key goes back, too"
        assert session.glance.events == 3


async def test_it_scrolls_to_the_end_and_back(basket: Basket, session: Session) -> None:
    session.note("the last words")
    app = app_of(basket, session)
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.press(";", "end")
        await until(pilot, app, "the last words")
        for key, seen in (
            ("home", "sock two: not begun"), ("pagedown", "graft"), ("pageup", "sock two: not begun"),
            ("down", "2 to 10"), ("up", "1 to 9"),
        ):  # fmt: skip
            await pilot.press(key)
            await until(pilot, app, seen)


async def test_other_keys_of_the_needles_are_done_there(basket: Basket, session: Session) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(";", "tab")
        await until(pilot, app, "sock two, cuff")
        await pilot.press(";", "5", "space")
        await until(pilot, app, "5 rounds: 1 to 5")
        await pilot.press(";", "j")
        await until(pilot, app, "both socks, every kind")
        await pilot.press(";")
        await until(pilot, app, "Side by side")


async def test_what_others_record_meanwhile_is_there_when_it_opens_again(
    basket: Basket, session: Session, tmp_path: Path
) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(";")
        await until(pilot, app, "sock one: leg, 9 of 46")
        with Basket.open(tmp_path / "basket.db") as other:
            Session(other, other.find(None), Clock()).tick(4)
        await pilot.press(";", ";")
        await until(pilot, app, "sock one: leg, 13 of 46")


async def test_a_resize_lays_it_out_anew(basket: Basket, session: Session) -> None:
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(";")
        await until(pilot, app, "\u25c4 9")
        await pilot.resize_terminal(40, 12)
        await until(pilot, app, "heel set-up . .")
        assert "\u25c4" not in running(app)


async def test_a_strangers_words_are_text(basket: Basket, session: Session) -> None:
    session.note("[bold]x[/] \x1b[31m red \u202e")
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(";", "end")
        await until(pilot, app, "[bold]x[/] ?[31m red ?")
        assert "\x1b" not in shown(app)


def test_every_key_of_its_own_is_known_and_none_ticks() -> None:
    ticks = {*DEFAULT["tick"], *DEFAULT["undo"]}
    assert not set(by_key("side")) & ticks
    for command in SIDE_COMMANDS:
        assert command.name == "back" or hasattr(SideBySideScreen, f"do_{command.name}")
