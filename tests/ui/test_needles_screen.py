"""Keys at the needles, through the whole app without a terminal: each becomes its act, and shows."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tracker.session import Session
from tracker.storage.basket import Basket, Stamp
from tracker.storage.pattern_file import open_file
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.needles_view import NeedlesView

SAMPLE = Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"


class _Clock:
    """A clock that goes on by two minutes at each look, as rounds of 64 stitches do."""

    def __init__(self) -> None:
        self.at = 1_773_342_900_000

    def __call__(self) -> Stamp:
        self.at += 120_000
        return Stamp(self.at, 60)


@pytest.fixture
def basket(tmp_path: Path) -> Iterator[Basket]:
    with Basket.open(tmp_path / "basket.db") as basket:
        yield basket


@pytest.fixture
def app(basket: Basket) -> KnittingApp:
    clock = _Clock()
    return KnittingApp(basket, Session.start(basket, open_file(str(SAMPLE)), clock), clock)


def _shown(app: KnittingApp) -> str:
    """The screen's text, as the compositor has it."""
    strips = app.screen._compositor.render_strips()
    return "\n".join(strip.text for strip in strips)


async def _until(pilot: Pilot[None], app: KnittingApp, text: str) -> None:
    """Wait for a state, not for a time."""
    for _ in range(200):
        if text in _shown(app):
            return
        await pilot.pause(0.02)
    raise AssertionError(f"never seen: {text}\n{_shown(app)}")


def _session(app: KnittingApp) -> Session:
    assert app.session is not None
    return app.session


async def test_one_key_counts_and_backspace_names_what_it_takes_back(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space", "space")
        assert _session(app).glance.place.done == 2
        await pilot.press("backspace")
        assert _session(app).glance.place.done == 1
        await _until(pilot, app, "Taken back: a round")
        await pilot.press("b")
        await _until(pilot, app, "Brought back: a round")
        assert _session(app).glance.place.done == 2


async def test_a_number_pad_suffices(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("3", "enter", "minus")
        assert _session(app).glance.place.done == 0
        assert _session(app).glance.events == 3


async def test_figures_wait_in_the_corner_until_a_key_says_what_they_are(app: KnittingApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("6", "minus", "3", "backspace", "backspace", "backspace", "1", "2")
        assert _session(app).glance.events == 1
        await pilot.press("space")
        assert _session(app).glance.place.done == 12
        await pilot.press("9", "escape", "space")
        assert _session(app).glance.place.done == 13


@pytest.mark.parametrize(
    ("keys", "seen"),
    [
        (["m"], "type the length first, in cm: 11.4 m"),
        (["g"], "type the new goal first"),
        (["a"], "type the last round that is done first"),
        (["e"], "the cuff ends by itself after round 22"),
        (["1", ".", "5", "space"], "1.5 is not a whole number of rounds"),
        (["0", "m"], "write a length above zero"),
        (["9", "9", "a"], "write 0 to 22"),
        (["n"], "counting needle by needle"),
    ],
)
async def test_a_key_that_cannot_says_what_to_do(
    app: KnittingApp, keys: list[str], seen: str
) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(*keys)
        await _until(pilot, app, seen)
        assert _session(app).glance.events == 1


async def test_leg_measured_aimed_ended_and_the_other_sock(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("2", "2", "space", "3", "0", "space", "1", "2", ".", "5", "m")
        await _until(pilot, app, "12.5 cm at leg round 30")
        await pilot.press("1", "7", "g")
        await _until(pilot, app, "The leg goes to 17 cm")
        await pilot.press("2", "8", "e")
        await _until(pilot, app, "The leg ended at round 28")
        glance = _session(app).glance
        assert (glance.place.kind, glance.place.done) == ("flap", 1)
        await pilot.press("tab", "space")
        await _until(pilot, app, "counting sock two (tab goes back)")
        assert _session(app).glance.place.sock == 2


async def test_the_stage_turns_over_after_a_round_and_back_by_itself(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space")
        assert _turned(app)
        await pilot.press("1")
        assert not _turned(app), "the next key turns it back"
        await pilot.press("escape", "space")
        assert _turned(app)
        for _ in range(300):
            if not _turned(app):
                return
            await pilot.pause(0.05)
        raise AssertionError("it never turned back by itself")


def _turned(app: KnittingApp) -> bool:
    shown = app.screen.query_one(NeedlesView)._shown
    assert shown is not None
    return shown.is_turned


async def test_end_of_round_by_needles_costs_no_key(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("n", "space", "space", "space")
        await _until(pilot, app, "marker next")
        await pilot.press("space")
        assert _turned(app)
        await _until(pilot, app, "all 4 needles done")
        await pilot.press("space")
        assert not _turned(app)
        assert _session(app).glance.needles[0].finished


async def test_what_was_not_kept_is_said_and_not_counted(app: KnittingApp, tmp_path: Path) -> None:
    file = tmp_path / "basket.db"
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space")
        file.rename(tmp_path / "elsewhere.db")
        await pilot.press("space")
        await _until(pilot, app, "! not kept")
        assert _session(app).glance.place.done == 1
        (tmp_path / "elsewhere.db").rename(file)
        await pilot.press("space")
        assert _session(app).glance.place.done == 2
        assert "! not kept" not in _shown(app)


async def test_what_another_program_wrote_is_seen(app: KnittingApp, tmp_path: Path) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space")
        with Basket.open(tmp_path / "basket.db") as other:
            Session(other, other.find(None), _Clock()).tick(4)
        await _until(pilot, app, "cuff, 5 of 22")
        await pilot.press("space")
        assert _session(app).glance.place.done == 6


async def test_the_basket_opens_a_pair(basket: Basket, app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space", "o")
        await _until(pilot, app, "1 pair")
        await _until(pilot, app, "Night ferry")
        await pilot.press("enter")
        await _until(pilot, app, "of 22 rounds")
        assert isinstance(app.screen, NeedlesScreen)


async def test_titles_are_text_and_nothing_else(basket: Basket, tmp_path: Path) -> None:
    """Neither markup nor control characters of a stranger's file take effect."""
    file = tmp_path / "plan.toml"
    title = r"[bold red]x[/] \u001b[31mred\u0007"
    file.write_text(SAMPLE.read_text().replace('title = "Night ferry"', f'title = "{title}"'))
    clock = _Clock()
    session = Session.start(basket, open_file(str(file)), clock)
    app = KnittingApp(basket, session, clock)
    async with app.run_test(size=(120, 36)) as pilot:
        await _until(pilot, app, "[bold red]x[/] ?[31mred?")
        await pilot.press("o")
        await _until(pilot, app, "[bold red]x[/] ?[31mred?")
        assert "\x1b" not in _shown(app)
