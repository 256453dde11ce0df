"""Keys at the needles, through the whole app without a terminal: each becomes its act, and shows."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ui.driving import SAMPLE, Clock, app_of, begin, knit, lines, running, shown, until
from tracker.session import Session
from tracker.storage.basket import Basket, BasketTrouble
from tracker.storage.pattern_file import open_file
from tracker.ui.knitting_app import KnittingApp
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.needles_view import NeedlesView


@pytest.fixture
def app(basket: Basket) -> KnittingApp:
    clock = Clock()
    return KnittingApp(basket, Session.start(basket, open_file(str(SAMPLE)), clock), clock)


def _session(app: KnittingApp) -> Session:
    assert app.session is not None
    return app.session


async def test_one_key_counts_and_backspace_names_what_it_takes_back(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space", "space")
        assert _session(app).glance.place.done == 2
        await pilot.press("backspace")
        assert _session(app).glance.place.done == 1
        await until(pilot, app, "Taken back: a round")
        await pilot.press("b")
        await until(pilot, app, "Brought back: a round")
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
        (["m"], "type the length first, in cm: 5 m"),
        (["g"], "type the new goal of the leg first, in cm: 16 g"),
        (["6", "g"], "6 cm is far from the 16 cm expected; type 15.2 g if you meant that"),
        (["a"], "type the last round that is done first"),
        (["e"], "the cuff ends by itself after round 22"),
        (["1", ".", "5", "space"], "1.5 is no whole number"),
        (["0", "m"], "type a length above zero"),
        (["/", "m"], '"/" is not a length; type it like 5 m'),
        (["9", "9", "a"], "type 0 a to 22 a"),
        (["n"], "counting needle by needle"),
        (["k"], "no key was held down"),
        (["underscore"], "_ does nothing here; ? says what the keys do"),
        (["f5"], "f5 does nothing here"),
        (["1", "2", "underscore"], "12 _: _ does nothing here"),
        (["5", "tab"], "5 tab: tab takes no number"),
        (["5", "q"], "5 q: q takes no number"),
        (["5", "B"], "5 b: b takes no number"),
    ],
)
async def test_a_key_that_cannot_says_what_to_do(
    app: KnittingApp, keys: list[str], seen: str
) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(*keys)
        await until(pilot, app, seen)
        assert _session(app).glance.events == 1


async def test_leg_measured_aimed_ended_and_the_other_sock(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("2", "2", "space", "3", "0", "space", "1", "2", ".", "5", "m")
        await until(pilot, app, "12.5 cm at leg round 30")
        await pilot.press("1", "7", "g")
        await until(pilot, app, "The leg goes to 17 cm")
        await pilot.press("2", "8", "e")
        await until(pilot, app, "The leg ended at round 28")
        glance = _session(app).glance
        assert (glance.place.kind, glance.place.done) == ("flap", 1)
        await pilot.press("tab", "space")
        await until(pilot, app, "counting sock two (tab goes back)")
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
    scene = app.screen.query_one(NeedlesView)._shown
    assert scene is not None
    return scene.is_turned


async def test_end_of_round_by_needles_costs_no_key(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("n", "space", "space", "space")
        await until(pilot, app, "marker next")
        await pilot.press("space")
        assert _turned(app)
        await until(pilot, app, "all 4 needles done")
        await pilot.press("space")
        assert not _turned(app)
        assert _session(app).glance.needles[0].finished


async def test_what_was_not_kept_is_said_and_not_counted(app: KnittingApp, tmp_path: Path) -> None:
    file = tmp_path / "basket.db"
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space")
        file.rename(tmp_path / "elsewhere.db")
        await pilot.press("space")
        await until(pilot, app, "! not kept")
        assert _session(app).glance.place.done == 1
        (tmp_path / "elsewhere.db").rename(file)
        await pilot.press("space")
        assert _session(app).glance.place.done == 2
        assert "! not kept" not in shown(app)


async def test_what_another_program_wrote_is_seen(app: KnittingApp, tmp_path: Path) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space")
        with Basket.open(tmp_path / "basket.db") as other:
            Session(other, other.find(None), Clock()).tick(4)
        await until(pilot, app, "cuff, 5 of 22")
        await pilot.press("space")
        assert _session(app).glance.place.done == 6


async def test_the_basket_opens_a_pair(basket: Basket, app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("space", "o")
        await until(pilot, app, "1 pair")
        await until(pilot, app, "Night ferry")
        await pilot.press("enter")
        await until(pilot, app, "of 22 rounds")
        assert isinstance(app.screen, NeedlesScreen)


async def test_titles_are_text_and_nothing_else(basket: Basket, tmp_path: Path) -> None:
    """Neither markup nor control characters of a stranger's file take effect."""
    file = tmp_path / "plan.toml"
    title = r"[bold red]x[/] \u001b[31mred\u0007"
    file.write_text(SAMPLE.read_text().replace('title = "Night ferry"', f'title = "{title}"'))
    clock = Clock()
    session = Session.start(basket, open_file(str(file)), clock)
    app = KnittingApp(basket, session, clock)
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "[bold red]x[/] ?[31mred?")
        await pilot.press("o")
        await until(pilot, app, "[bold red]x[/] ?[31mred?")
        assert "\x1b" not in shown(app)


@pytest.mark.parametrize("key", ["r", "tab", "n", "question_mark", "o", "q", "b", "f5"])
async def test_figures_are_gone_after_a_key_that_takes_none(app: KnittingApp, key: str) -> None:
    """The next tick counts one round, whatever was typed before the key, and the key did nothing."""
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1", "2", key, "space")
        assert isinstance(app.screen, NeedlesScreen)
        glance = _session(app).glance
        assert (glance.place.sock, glance.place.done, glance.counting) == (1, 1, "rounds")


async def test_caps_lock_changes_no_key(app: KnittingApp) -> None:
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("N")
        await until(pilot, app, "counting needle by needle")
        await pilot.press("2", "2", "space", "5", "space", "1", "7", "G")
        await until(pilot, app, "The leg goes to 17 cm")
        await pilot.press("Q")
        await pilot.pause()
    assert app.return_code == 0


async def test_several_rounds_at_once_are_said_back(app: KnittingApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "1", "2", "space")
        await until(pilot, app, "12 rounds: 2 to 13, backspace takes them back")
        await pilot.press("backspace")
        assert _session(app).glance.place.done == 1
        await pilot.press("tab", "2", "space")
        await until(pilot, app, "backspace takes them back. counting sock two (tab goes back)")


async def test_no_length_is_asked_for_where_none_is_taken(basket: Basket) -> None:
    session = begin(basket)
    knit(session, lambda place: place.kind == "flap")
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        before = session.glance.events
        await pilot.press("m")
        await until(pilot, app, "there is no length to take at the heel; measure cuff, leg")
        await pilot.press("5", "m")
        await until(pilot, app, "there is no length to take at the heel; measure cuff, leg")
        assert session.glance.events == before


@pytest.mark.parametrize(
    ("sample", "reading", "goal"),
    [
        ("night-ferry", "in cm: 5.5 m", "in cm: 16 g"),
        ("harbour-pilot", "in inches: 2-1/8 m", "in inches: 7-3/4 g"),
    ],
)
async def test_examples_are_in_her_unit(
    basket: Basket, sample: str, reading: str, goal: str
) -> None:
    session = begin(basket, sample)
    knit(session, lambda place: place.kind == "leg" and place.done == 2)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("m")
        await until(pilot, app, reading)
        await pilot.press("g")
        await until(pilot, app, goal)


async def test_a_length_that_is_asked_back_can_be_answered_in_figures(basket: Basket) -> None:
    """Letters are keys here: it is said what to type, and typed twice it is believed."""
    session = begin(basket)
    knit(session, lambda place: place.kind == "leg" and place.done == 25)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("7", "g")
        await until(pilot, app, "type 17.8 g if you meant that, or 7 g again")
        await pilot.press("space", "7", "g")
        await until(pilot, app, "or 7 g again")
        await pilot.press("7", "g")
        await until(pilot, app, "The leg goes to 7 cm")
        await pilot.press("1", "1", "4", "m")
        await until(pilot, app, "114 cm is far from")
        assert "type 11.4 m if you meant that" in running(app)
        assert "114 m again" not in running(app)


async def test_a_goal_where_none_is_to_be_changed_is_that_of_what_comes(basket: Basket) -> None:
    session = begin(basket)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("1", "8", "g")
        await until(pilot, app, "The leg will go to 18 cm")


async def test_a_goal_that_the_other_sock_is_past_is_typed_twice(basket: Basket) -> None:
    """For this sock alone then."""
    session = begin(basket)
    knit(session, lambda place: place.kind == "leg" and place.done == 40)
    session.end()
    session.other()
    knit(session, lambda place: place.kind == "leg" and place.done == 30)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("1", "8", "g")
        await until(pilot, app, "as on the other sock; 18 g again: for this sock alone")
        await pilot.press("1", "8", "g")
        await until(pilot, app, "The leg goes to 18 cm on sock two alone")


async def test_an_odd_reading_is_answered_with_a_key(basket: Basket) -> None:
    session = begin(basket)
    knit(session, lambda place: place.kind == "leg" and place.done == 25)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("1", "5", "m")
        await until(pilot, app, "then 42 a; i right")
        await pilot.press("i")
        await until(pilot, app, "The 15 cm reading counts")
        await pilot.press("backspace", "x")
        await until(pilot, app, "The 15 cm reading is left out")
        await pilot.press("i")
        await until(pilot, app, "no tape reading waits for an answer")


def test_of_a_finished_sock_a_reading_left_out_tells_of_no_rounds_to_go(basket: Basket) -> None:
    session = begin(basket)
    knit(session, lambda place: place.kind == "leg" and place.done == 25)
    session.measure("9.5")
    knit(session, lambda place: place.finished)
    told = session.answer("void").said
    assert told.startswith("The ")
    assert told.endswith(" reading is left out.")


async def test_a_quick_reading_is_trusted_half_as_far(basket: Basket) -> None:
    session = begin(basket)
    session.tick(22)
    session.tick(24)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(*"10.6", "tilde")
        await until(pilot, app, "10.6 cm at leg round 24")
    assert session.state.sock(1).readings[-1].rough


async def test_stitches_counted_say_where_she_is(basket: Basket) -> None:
    """74 where 76 are expected: one key puts the count to the likeliest place."""
    session = begin(basket)
    session.at(8, "gusset")
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("p")
        await until(pilot, app, "count them first")
        await pilot.press("7", "4", "c")
        await until(pilot, app, "That is gusset round 9 or gusset round 10")
        await pilot.press("p")
        await until(pilot, app, "Gusset round 9 is now the last one done; was 8")
        await pilot.press("2", "1", "/", "1", "6", "/", "1", "6", "/", "2", "1", "c")
        await until(pilot, app, "21/16/16/21 = 74: as it should be")
        await pilot.press("c")
        await until(pilot, app, "as it should be")


async def test_a_held_key_is_asked_about_and_k_keeps_one(basket: Basket) -> None:
    """Ticks nearer than a hand can knit; the key that keeps one stands in the footer while asked."""
    session = begin(basket, clock=Clock(step=2))
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(*["space"] * 6)
        await until(pilot, app, "was the key held down? 6 at once")
        assert "k keep one" in shown(app)
        await pilot.press("k")
        await until(pilot, app, "Kept one of 6")
        assert session.glance.place.done == 1
        assert "k keep one" not in shown(app)


async def test_a_setting_that_was_not_kept_is_not_said_to_be(
    app: KnittingApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        _fail(monkeypatch, "count_by")
        await pilot.press("n")
        await until(pilot, app, "! not kept")
        assert "the disk is full" in shown(app)
        assert "counting" not in shown(app)


async def test_a_change_of_socks_that_was_not_kept_is_not_spoken_of(
    app: KnittingApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        with monkeypatch.context() as failing:
            _fail(failing, "other")
            await pilot.press("tab")
            await until(pilot, app, "! not kept")
        await pilot.press("space")
        await until(pilot, app, "of 22 rounds")
        assert "tab goes back" not in running(app)
        assert _session(app).glance.place.sock == 1


async def test_looking_for_others_in_vain_is_no_alarm(
    app: KnittingApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing was being kept, so nothing can be "not kept"."""
    async with app.run_test(size=(80, 24)) as pilot:
        _fail(monkeypatch, "refresh")
        await until(pilot, app, "the disk is full")
        assert "! not kept" not in shown(app)


def _fail(monkeypatch: pytest.MonkeyPatch, act: str) -> None:
    def fails(*_: object) -> None:
        raise BasketTrouble("the disk is full")

    monkeypatch.setattr(Session, act, fails)


@pytest.mark.parametrize("key", ["space", "enter"])
async def test_space_opens_in_the_basket_as_enter_does(app: KnittingApp, key: str) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "o")
        await until(pilot, app, "basket 1 pair")
        await pilot.press(key)
        await until(pilot, app, "of 22 rounds")
        assert isinstance(app.screen, NeedlesScreen)
        assert _session(app).glance.place.done == 1


# Coming back


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_inside_a_round_the_yarn_is_said_first_and_whole(
    basket: Basket, size: tuple[int, int]
) -> None:
    clock = Clock()
    session = begin(basket, clock=clock)
    knit(session, lambda place: place.kind == "gusset" and place.done == 9)
    session.tick(2, needles=True)
    clock.at += 9 * 86_400_000
    app = app_of(basket, Session(basket, basket.find(None), clock))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        said = running(app).replace(" needles done", " done")
    assert "2 of 4 done: yarn hangs from N2, go into N3." in said
    assert "Last knitted 9 days ago." in said


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_between_two_rounds_the_place_is_said_and_never_cut(
    basket: Basket, size: tuple[int, int]
) -> None:
    clock = Clock()
    session = begin(basket, clock=clock)
    knit(session, lambda place: place.kind == "gusset" and place.done == 9)
    clock.at += 9 * 86_400_000
    app = app_of(basket, Session(basket, basket.find(None), clock))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        said = running(app)
    assert "usset round 9 is done." in said or "round 9 of 19 is done (a decrease round)" in said
    assert "Last knitted 9 days ago." in said


# The screen's parts move with what they hold


async def test_what_is_said_on_a_small_screen_takes_the_rows_below_and_gives_them_back(
    basket: Basket,
) -> None:
    session = begin(basket)
    session.tick(2)
    app = app_of(basket, session)
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.press("1", "2", "underscore")
        await until(pilot, app, "the keys do")
        assert lines(app)[8:10] == [
            "\u258c12 _: _ does nothing here; ? says what", "\u258cthe keys do",
        ]  # fmt: skip
        await pilot.press("n")
        await until(pilot, app, "counting needle by needle")
        assert "the keys do" not in shown(app)
        assert "to go" in lines(app)[10]
