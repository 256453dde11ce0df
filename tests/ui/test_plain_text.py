"""Plain text: where nothing can be drawn with blocks and lines, every cell painted is ASCII, in its place."""

from __future__ import annotations

import ast
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.geometry import Size
from textual.pilot import Pilot

from tests.examples import IN_ALL
from tests.ui.driving import Clock, until
from tests.ui.test_nothing_cut import SIZES
from tests.ui.test_pictures import leg, until_drawn
from tracker.session import Session
from tracker.settings import CHOICES, Settings
from tracker.storage.basket import Basket
from tracker.ui import encodings
from tracker.ui.encodings import is_unicode, terminal_encoding, typed_encoding
from tracker.ui.glyphs import InPlainText, plain
from tracker.ui.grid import grid_for
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.large_count import LargeSight, large_rows
from tracker.ui.lettering import enlarged, numerals
from tracker.ui.sock_drawing import TEXTURES

UI = Path(encodings.__file__).parent
PAGE = Color(0, 0, 0)


@cache
def glyphs() -> set[str]:
    """Every sign beyond ASCII that stands in what paints: what is drawn is drawn with these."""
    trees = [
        ast.parse(file.read_text("utf-8")) for file in UI.glob("*.py") if file.stem != "glyphs"
    ]
    texts = (
        node.value
        for tree in trees
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    )
    return {sign for text in texts for sign in text if not sign.isascii()}


def test_every_sign_that_is_drawn_has_one_in_plain_text() -> None:
    assert len(glyphs()) > 25
    assert {
        sign: plain(sign, "ascii") for sign in glyphs() if plain(sign, "ascii") in ("", "?")
    } == {}
    assert all(
        len(plain(sign, "utf-8")) == 1 and plain(sign, "utf-8").isascii() for sign in glyphs()
    )


def test_signs_that_say_different_things_stay_different() -> None:
    alike = [
        "\u2501\u2500\u254c",
        "\u25ba\u25c4\u25b2\u25bc",
        "\u25a0\u25ca\u25bc",
        "\u2502\u2575",
        TEXTURES,
    ]
    for signs in alike:
        assert len({plain(sign, "ascii") for sign in signs}) == len(signs), signs


@given(st.text(), st.sampled_from(["ascii", "iso8859-1", "utf-8"]), st.booleans())
def test_no_text_gets_wider_or_narrower(text: str, encoding: str, reverse: bool) -> None:
    drawn = text + "\u2580\u2588x\u25ba"
    style = Style(color="red", bgcolor="blue", reverse=reverse)
    found = InPlainText(encoding).apply([Segment(drawn, style)], PAGE)
    assert sum(cell_len(part.text) for part in found) == cell_len(drawn)
    for part in found:
        part.text.encode(encoding)


def test_blocks_are_cells_of_ink_with_a_sign_in_them() -> None:
    style = Style(color="red", bgcolor="blue", bold=True)
    blocks, rest = InPlainText("ascii").apply([Segment("\u2580\u2584 a", style)], PAGE)
    assert (blocks.text, blocks.style) == ("##", Style(color="red", bgcolor="red", bold=True))
    assert (rest.text, rest.style) == (" a", style)
    (bare,) = InPlainText("ascii").apply([Segment("\u2588", Style(bold=True))], PAGE)
    assert (bare.text, bare.style) == ("#", Style(bold=True, reverse=True))


@pytest.mark.parametrize("rows", [5, 7])
def test_figures_of_whole_cells_have_no_halves_and_are_all_unlike(rows: int) -> None:
    drawn = [numerals(digit, 5 if rows == 5 else 7, whole=True) for digit in range(10)]
    assert len(set(drawn)) == 10
    assert {(len(figure), len(figure[0])) for figure in drawn} == {(rows, 6 if rows == 5 else 8)}
    assert set("".join("".join(figure) for figure in drawn)) == {"\u2588", " "}
    assert enlarged(8, 3, whole=True)[::3] == tuple(
        "".join(cell * 3 for cell in row) for row in numerals(8, whole=True)
    )


@pytest.mark.parametrize("size", SIZES)
def test_large_figures_stand_in_the_same_room(size: tuple[int, int]) -> None:
    """Of whole cells, in as many rows and columns as those that are drawn with halves."""
    sight = LargeSight(68, ("68 done",), ("next 69",), False)
    whole, drawn = large_rows(sight, *size, whole=True), large_rows(sight, *size)
    for rows in (whole, drawn):
        assert [sum(cell_len(span.text) for span in row) for row in rows] == [size[0]] * size[1]
    told = "".join(span.text for row in whole for span in row)
    assert not set(told) & set("\u2580\u2584\u258c\u2590")


def test_the_grid_is_the_same_in_plain_text() -> None:
    for size in SIZES:
        grid = grid_for(*size)
        assert grid.in_plain_text().places == grid.places
        assert grid.in_plain_text().in_plain_text() == grid.in_plain_text()


# Who decides


@pytest.mark.parametrize(
    ("locale", "stream", "draws", "typed"),
    [
        ("UTF-8", "utf-8", True, "utf-8"),
        ("ANSI_X3.4-1968", "utf-8", False, "utf-8"),
        ("ISO-8859-1", "iso8859-1", False, "ISO-8859-1"),
        ("UTF-8", "ascii", False, "utf-8"),
        ("unheard-of", "utf-8", False, "utf-8"),
    ],
)
def test_the_locale_and_the_stream_decide(
    locale: str, stream: str, draws: bool, typed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Stream:
        encoding = stream

    monkeypatch.setattr("sys.__stderr__", Stream())
    monkeypatch.setattr("locale.getencoding", lambda: locale)
    assert is_unicode(terminal_encoding()) == draws
    assert typed_encoding() == typed


@pytest.mark.parametrize("draws", [True, False])
def test_what_she_set_comes_before_the_locale_and_the_environment_before_both(
    draws: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert Settings().in_plain_text(draws=draws) != draws
    for set_to, told in product(
        ("drawn", "plain", "as the terminal can"), ("", "drawn", "plain", "no")
    ):
        monkeypatch.setenv("INSTEP_GLYPHS", told)
        by_setting = {"drawn": False, "plain": True}.get(set_to, not draws)
        wanted = {"drawn": False, "plain": True}.get(told, by_setting)
        assert Settings(glyphs=set_to).in_plain_text(draws=draws) == wanted


# The screens


def painted(app: KnittingApp) -> list[str]:
    return [strip.text for strip in app.screen._compositor.render_strips()]


def check(app: KnittingApp, size: Size) -> None:
    lines = painted(app)
    assert not [line for line in lines if not line.isascii()], (app.screen, size)
    assert {len(line) for line in lines} == {size.width}, (app.screen, size)
    assert len(lines) == size.height


WALK = (
    "space",
    "3",
    "escape",
    "plus",
    "plus",
    "j",
    "escape",
    ";",
    ">",
    "%",
    "right",
    "*",
    "?",
    "colon",
)
"""Keys that go from one screen to the other: every one of them, and figures that wait."""


async def keys_at_sizes(pilot: Pilot[None], app: KnittingApp, keys: tuple[str, ...]) -> None:
    """After each key the screen at one size, in turn; on demand at all of them."""
    for at, key in enumerate(keys):
        await pilot.press(key)
        await until_drawn(pilot, app)
        for size in SIZES if IN_ALL else (SIZES[at % len(SIZES)],):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            check(app, Size(*size))


@pytest.mark.parametrize("bare", [True, False] if IN_ALL else [True])
async def test_every_screen_at_every_size_is_ascii(
    basket: Basket, bare: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if bare:
        monkeypatch.setenv("NO_COLOR", "1")
    session = leg(basket, Clock())
    app = KnittingApp(basket, session, Clock(), settings=Settings(glyphs="plain"))
    async with app.run_test(size=(120, 36)) as pilot:
        await keys_at_sizes(pilot, app, WALK)
    app = KnittingApp(basket, None, Clock(), settings=Settings(glyphs="plain"))
    async with app.run_test(size=(120, 36)) as pilot:
        await keys_at_sizes(pilot, app, ("s", "s", "n", "2", "4"))


async def test_a_screen_is_drawn_again_as_soon_as_that_is_set(
    basket: Basket, session: Session
) -> None:
    app = KnittingApp(basket, session, Clock(), settings=Settings(glyphs="drawn"))
    async with app.run_test(size=(80, 24)) as pilot:
        down = ("down",) * [choice.name for choice in CHOICES].index("glyphs")
        await pilot.press("asterisk", *down, "right")
        await until(pilot, app, "> glyphs plain")
        check(app, Size(80, 24))
        await pilot.press("escape")
        await until(pilot, app, "P L A I N")
        check(app, Size(80, 24))
        await pilot.press("asterisk", *down, "left", "escape")
        await until(pilot, app, "\u2500")
