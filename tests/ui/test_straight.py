"""What was painted key by key is what would be painted from nothing: no cell is left over, none is stale."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pyte
import pytest
from textual.app import App
from textual.drivers.headless_driver import HeadlessDriver
from textual.pilot import Pilot

from tests.examples import IN_ALL
from tests.ui.driving import SAMPLES, Clock, app_of
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file
from tracker.ui import canvas, grid, look, stage, straight
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.needles_view import NeedlesView

SIZES = [(120, 36), (80, 24), (60, 20), (40, 12), (30, 3), (120, 36)]
KEYS = [
    *["space"] * 12, "backspace", "b", "tab", "3", "1", "2", "escape", "m", "e", "l", "a", "question_mark",
    "n", "i", "enter", "d", "up", "*", "#", "=",
]  # fmt: skip
"""Mostly ticks; what else comes may be an act, a figure, a refusal, or a screen beside."""
ROUNDS, ACTS = (40, 120) if IN_ALL else (1, 10)


class Seen:
    """A terminal that is written to as the real one is."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, width: int, height: int) -> None:
        self.screen = pyte.Screen(width, height)
        self.straight = 0
        """How often was painted straight."""
        stream, write = pyte.Stream(self.screen), straight._Pieces.render_segments

        def written(pieces: straight._Pieces, console: Any) -> str:
            self.straight += 1
            return write(pieces, console)

        monkeypatch.setattr(App, "is_headless", property(lambda _: False))
        monkeypatch.setattr(HeadlessDriver, "write", lambda _, text: stream.feed(text))
        monkeypatch.setattr(straight._Pieces, "render_segments", written)


@pytest.mark.parametrize(
    ("sample", "size"), zip(["night-ferry", "low-tide"] * 3, SIZES, strict=True), ids=str
)
async def test_key_by_key_it_is_what_it_is_from_nothing(
    tmp_path: Path, sample: str, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(ROUNDS):
        drawn = Random(f"{number} {sample} {size}")  # noqa: S311 - nothing is secret
        with Basket.open(tmp_path / f"{number}.db") as basket:
            session = Session.start(basket, open_file(str(SAMPLES / f"{sample}.toml")), Clock())
            seen, app = Seen(monkeypatch, *size), app_of(basket, session)
            async with app.run_test(size=size) as pilot:
                await _knit(app, pilot, drawn, seen)
            assert seen.straight > ACTS // 4


async def _knit(app: KnittingApp, pilot: Pilot[None], random: Random, seen: Seen) -> None:
    for _ in range(ACTS):
        keys = random.choices(KEYS, k=random.randint(1, 3))
        await pilot.press(*keys)
        await pilot.pause()
        if not isinstance(app.screen, NeedlesScreen):
            if len(app.screen_stack) == 1:
                return  # the basket has taken the place of the needles
            continue
        assert _cells(seen.screen) == _cells(_from_nothing(app)), keys
        _holds_no_row_of_before(app)


def _from_nothing(app: KnittingApp) -> pyte.Screen:
    """The same screen, all of it painted by the framework."""
    screen = pyte.Screen(*app.size)
    update = app.screen._compositor.render_full_update()
    pyte.Stream(screen).feed(update.render_segments(app.console))
    return screen


def _cells(screen: pyte.Screen) -> list[list[Any]]:
    rows = ([screen.buffer[y][x] for x in range(screen.columns)] for y in range(screen.lines))
    return [[_as_seen(cell) for cell in row] for row in rows]


def _as_seen(cell: Any) -> Any:
    """The ink of an empty cell is not seen, but where it is its ground: then it is filled."""
    empty = cell.data == " " and not cell.reverse and cell.fg != cell.bg
    return cell._replace(fg="") if empty else cell


def _holds_no_row_of_before(app: KnittingApp) -> None:
    """What each part keeps is what it paints where nothing is kept yet."""
    for kept in (
        canvas._last_rows, canvas._strokes, stage._done, stage._needles, look.look, grid.grid_for
    ):  # fmt: skip
        kept.cache_clear()
    view = app.screen.query_one(NeedlesView)
    assert view._shown is not None
    for part, sight in view._sights(view._shown, view.grid(view.size)):
        assert part.rows == part.paint(sight, view.grid(view.size)), part.id
