"""The needles screen as a whole, in a small app of its own: places, sizes, themes, and what is repainted."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from rich.segment import Segment
from textual.app import App, ComposeResult
from textual.pilot import Pilot

from tests.ui import glances
from tracker.glance import Glance
from tracker.ui import needles_view
from tracker.ui.footer import Entry
from tracker.ui.lettering import numerals, word
from tracker.ui.needles_view import NeedlesView
from tracker.ui.painted import Painted
from tracker.ui.palette import DEFAULT, NO_COLOUR, PALETTES, no_colour, themes

LOOKS = Path(needles_view.__file__).with_name("looks.tcss")
KEYS = (
    Entry("space", "done", "done", needed=True), Entry("tab", "other sock", "sock", needed=True),
    Entry("m", "measure", "tape"), Entry("?", "help", "help", needed=True),
    Entry("q", "leave", "leave", needed=True),
)  # fmt: skip


class Needles(App[None]):
    """Nothing but the view, dressed as the real app dresses it."""

    CSS_PATH = LOOKS

    def __init__(self, glance: Glance | None, **shown: Any) -> None:
        super().__init__(ansi_color=no_colour())
        for theme in themes():
            self.register_theme(theme)
        self.theme = NO_COLOUR if no_colour() else DEFAULT
        self._glance, self._more = glance, shown

    def compose(self) -> ComposeResult:
        yield NeedlesView()

    def on_mount(self) -> None:
        if self._glance is not None:
            self.view.show(self._glance, clock="21:14", keys=KEYS, **self._more)

    @property
    def view(self) -> NeedlesView:
        return self.query_one(NeedlesView)

    def screen_rows(self) -> list[list[Segment]]:
        """The cells of the screen as they go to the terminal."""
        return [list(strip) for strip in self.screen._compositor.render_strips()]

    def lines(self) -> list[str]:
        """Their characters alone; cells filled with ink as full blocks."""
        return ["".join(_seen(segment) for segment in row) for row in self.screen_rows()]

    def background(self, x: int, y: int) -> str:
        """The colour under one cell."""
        for segment in self.screen_rows()[y]:
            if x < len(segment.text):
                assert segment.style is not None
                assert segment.style.bgcolor is not None
                return segment.style.bgcolor.name
            x -= len(segment.text)
        raise IndexError


def _seen(segment: Segment) -> str:
    style = segment.style
    filled = style is not None and style.color is not None and style.color == style.bgcolor
    return "█" * len(segment.text) if filled else segment.text


def stands(lines: list[str], x: int, y: int, letters: tuple[str, ...]) -> bool:
    """Whether block lettering stands at `x`, `y` of the screen."""
    return all(
        char == " " or lines[y + dy][x + dx] == char
        for dy, row in enumerate(letters)
        for dx, char in enumerate(row)
    )


def at(lines: list[str], x: int, y: int, text: str) -> bool:
    """Whether `text` stands at `x`, `y`."""
    return lines[y][x : x + len(text)] == text


async def test_done_and_next_on_the_full_screen() -> None:
    app = Needles(glances.leg())
    async with app.run_test(size=(120, 36)):
        lines = app.lines()
    assert stands(lines, 6, 5, numerals(34))
    assert stands(lines, 38, 5, word("PLAIN"))
    assert at(lines, 38, 3, "next  round 35")
    assert at(lines, 6, 13, "of 46, as on sock one")
    assert at(lines, 83, 13, "needle 3 of 4")
    assert at(lines, 83, 6, "┃  N2 16               N3 16  █")
    assert at(lines, 6, 0, "Night ferry")
    assert at(lines, 109, 0, "21:14")
    assert at(lines, 4, 16, "▌ in 3 rounds")
    assert at(lines, 66, 18, "tape")
    assert at(lines, 6, 35, "space done   tab other sock   m measure   ? help   q leave")


async def test_done_and_next_on_the_medium_screen() -> None:
    app = Needles(glances.leg())
    async with app.run_test(size=(80, 24)):
        lines = app.lines()
    assert stands(lines, 3, 4, numerals(34))
    assert stands(lines, 27, 4, word("PLAIN", 3))
    assert at(lines, 27, 8, "N3  k 16")
    assert at(lines, 27, 9, "then N4  k 16")
    assert at(lines, 54, 5, "┃ N2 16         N3 16 █")
    assert at(lines, 3, 23, "space done")


async def test_done_and_next_on_the_small_screen() -> None:
    app = Needles(glances.leg())
    async with app.run_test(size=(40, 12)):
        lines = app.lines()
    assert stands(lines, 1, 2, numerals(34, 5))
    assert stands(lines, 16, 2, word("PLAIN", 3))
    assert at(lines, 16, 6, "N3 k 16, then N4")
    assert at(lines, 1, 7, "of 46")
    assert at(lines, 1, 0, "sock two, leg")
    assert lines[11].rstrip().endswith("? help  q leave")


async def test_done_and_next_on_the_smallest_screen() -> None:
    app = Needles(glances.leg())
    async with app.run_test(size=(30, 3)):
        lines = app.lines()
    assert at(lines, 0, 0, "34 done, of 46")
    assert at(lines, 0, 1, "next 35 plain, N3 k 16")
    assert at(lines, 0, 2, "in 3 rounds")


async def test_at_the_end_of_a_round_the_places_stay_and_the_stage_turns() -> None:
    app = Needles(glances.leg(35, 0))
    async with app.run_test(size=(120, 36)):
        lines = app.lines()
        turned = PALETTES[DEFAULT]["turned"].lower()
        assert {app.background(2, y) for y in range(2, 15)} == {turned}
    assert stands(lines, 6, 5, numerals(35))
    assert stands(lines, 38, 4, word("END OF", thick=True))
    assert at(lines, 38, 3, "next  round 36  plain")


async def test_a_new_size_never_loses_the_place() -> None:
    app = Needles(glances.leg(), typed="11.4")
    async with app.run_test(size=(120, 36)) as pilot:
        full = app.lines()
        for size, done, coming, told in [
            ((40, 12), (1, 2, numerals(34, 5)), (16, 2, word("PLAIN", 3)), (16, 1, "next  round 35")),
            ((60, 20), (2, 2, numerals(34)), (2, 11, word("PLAIN", 3)), (2, 10, "next  round 35")),
            ((30, 3), (0, 0, ("34 done",)), (0, 1, ()), (0, 1, "next 35 plain")),
            ((80, 24), (3, 4, numerals(34)), (27, 4, word("PLAIN", 3)), (27, 2, "next  round 35")),
            ((60, 40), (2, 3, numerals(34)), (2, 12, word("PLAIN", 3)), (2, 11, "next  round 35")),
        ]:  # fmt: skip
            await pilot.resize_terminal(*size)
            await pilot.pause()
            lines = app.lines()
            assert stands(lines, *done), size
            assert stands(lines, *coming), size
            assert at(lines, *told), size
            if size[1] <= 20:  # on larger ones the figures are drawn
                assert any("11.4" in line for line in lines), size
        await pilot.resize_terminal(120, 36)
        await pilot.pause()
        assert app.lines() == full


async def test_the_hundredth_round_moves_the_next_column_on_a_medium_screen() -> None:
    app = Needles(glances.leg(99))
    async with app.run_test(size=(80, 24)) as pilot:
        assert at(app.lines(), 27, 2, "next  round 100")
        app.view.show(glances.leg(100), clock="21:14", keys=KEYS)
        await pilot.pause()
        lines = app.lines()
        assert at(lines, 33, 2, "next  round 101")
        assert stands(lines, 3, 4, numerals(100))


async def test_a_needle_done_repaints_the_stage_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a tick does not change is neither painted nor laid out again."""
    app = Needles(glances.leg(34, 1))
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.pause()
        painted = _watch(monkeypatch)
        app.view.show(glances.leg(34, 2), clock="21:14", keys=KEYS)
        assert list(painted) == ["stage"]
        assert not app.view._layout_required
        # Only the rows of the ring, of the work and of the caption: not the numerals' columns.
        assert all(region.x >= 36 for region in painted["stage"])
        await pilot.pause()
        assert at(app.lines(), 83, 13, "needle 3 of 4")
        painted.clear()
        app.view.show(glances.leg(34, 2), clock="21:15", keys=KEYS)
        assert list(painted) == ["title"]


def _watch(monkeypatch: pytest.MonkeyPatch) -> dict[str, list[Any]]:
    """Which parts ask to be repainted, and where."""
    painted: dict[str, list[Any]] = {}
    refresh = Painted.refresh

    def watched(self: Painted[Any], *regions: Any, **how: Any) -> Painted[Any]:
        painted.setdefault(self.id or "", []).extend(regions or [self.size.region])
        return refresh(self, *regions, **how)

    monkeypatch.setattr(Painted, "refresh", watched)
    return painted


async def test_what_was_not_kept_raises_the_alarm_and_leaves_the_stage() -> None:
    app = Needles(glances.leg(), not_kept="needle 3 of round 35 is not on the disk")
    async with app.run_test(size=(120, 36)):
        lines = app.lines()
        alarm = PALETTES[DEFAULT]["alarm"].lower()
        assert {app.background(x, y) for x in (2, 117) for y in (15, 16, 17)} == {alarm}
    assert at(lines, 6, 16, "! not kept   needle 3 of round 35")
    assert stands(lines, 6, 5, numerals(34))


async def test_another_theme_dresses_what_is_already_there() -> None:
    app = Needles(glances.leg())
    async with app.run_test(size=(120, 36)) as pilot:
        await _wear(app, pilot, "instep-light")
        light = PALETTES["instep-light"]
        assert app.background(3, 3) == light["stage"].lower()
        assert app.background(0, 0) == light["page"].lower()
        assert app.background(66, 22) == light["tape"].lower()


async def _wear(app: Needles, pilot: Pilot[None], theme: str) -> None:
    app.theme = theme
    await pilot.pause()


async def test_without_colour_nothing_has_one_and_the_turned_stage_is_reversed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Needles(glances.leg(35, 0))
    async with app.run_test(size=(120, 36)):
        rows = app.screen_rows()
    styles = [segment.style for row in rows for segment in row if segment.style]
    assert all(style.color is None or style.color.is_default for style in styles)
    assert all(style.bgcolor is None or style.bgcolor.is_default for style in styles)
    assert not any(style.dim or style.italic for style in styles)
    reversed_cells = sum(
        len(segment.text) for segment in rows[12] if segment.style and segment.style.reverse
    )
    assert reversed_cells > 60


async def test_a_strangers_texts_reach_the_screen_as_text() -> None:
    """Neither control characters nor markup of a title or of a row act on the terminal."""
    glance = glances.leg()
    evil = "[bold red]\x1b]0;gone\x07\x1b[2J[/]"
    needles = (glances.needle("N1\x1b[31m", 16, evil), *glance.needles[1:])
    app = Needles(
        glance._replace(title=evil, needles=needles, counting="rounds"), said=evil, not_kept=""
    )
    async with app.run_test(size=(120, 36)):
        lines = app.lines()
        assert all(char.isprintable() for line in lines for char in line)
    assert "[bold red]?]0;gone??" in lines[0]


async def test_nothing_is_shown_before_there_is_something() -> None:
    app = Needles(None)
    async with app.run_test(size=(80, 24)):
        assert "".join(app.lines()).strip() == ""
