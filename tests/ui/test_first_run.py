"""The first hour: a round to try that leaves no trace, a plan of her own, a file by its name."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from textual.events import Paste

from tests.ui.driving import SAMPLE, SAMPLES, Clock, shown, until
from tracker.keys import OUT_OF_THE_BOX, SCREENS
from tracker.samples import about
from tracker.storage.basket import Basket
from tracker.ui.file_line import LONGEST, FileLine, names_like
from tracker.ui.guide import STEPS, Guide
from tracker.ui.guided_screen import GuidedScreen
from tracker.ui.knitting_app import KnittingApp

KEYS = {**OUT_OF_THE_BOX.shown, "new": "n", "length": "8.1"}


@pytest.fixture
def trials(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the practice pairs are made."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


def traces(trials: Path) -> list[Path]:
    return [*trials.glob("instep-*")]


# The samples


def test_every_sample_says_what_it_is_on_80_columns() -> None:
    """Where all of its first line has no room, the words before the colon stand for it."""
    for plan in SAMPLES.glob("*.toml"):
        assert 10 < len(about(plan).partition(":")[0]) <= 60, plan.name


# The guide


def test_every_step_asks_for_a_key_that_there_is() -> None:
    for done, step in enumerate(STEPS):
        assert step.act in OUT_OF_THE_BOX.acts.values()
        long, brief = Guide(done).told(KEYS)
        key = KEYS[step.act]
        assert key in long
        assert key in brief
        assert long.startswith(f"{done + 1} of {len(STEPS)}: ")
        # Two lines of a screen of 80 columns, two of one of 40.
        assert len(long) <= 2 * 74
        assert len(brief) <= 2 * 36


def test_only_what_is_asked_for_goes_on() -> None:
    guide = Guide()
    for step in STEPS[:-1]:
        assert guide.step is step
        assert guide.after("note") == guide
        guide = guide.after(step.act)
    assert guide.after(STEPS[-1].act) == guide, "the last one leaves"


async def test_two_minutes_from_the_first_screen_to_the_last_step(
    basket: Basket, trials: Path
) -> None:
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(120, 36)) as pilot:
        await until(pilot, app, "empty: try a round")
        await pilot.press("enter")
        await until(pilot, app, "1 of 9: A pair to try")
        assert len(traces(trials)) == 1
        for key, told in [
            ("space", "2 of 9: The band turned over"), ("space", "3 of 9: Once too often"),
            ("backspace", "4 of 9: You may count"), ("n", "5 of 9: The next round begins"),
            ("space", "6 of 9: Lay it flat"),
        ]:  # fmt: skip
            await pilot.press(key)
            await until(pilot, app, told)
        await pilot.press("m")
        await until(pilot, app, "type the length first")
        await pilot.press("8", "full_stop", "1", "m")
        await until(pilot, app, "7 of 9: That taught it")
        await pilot.press("c")
        await until(pilot, app, "8 of 9: What every key does")
        await pilot.press("question_mark")
        await until(pilot, app, "Any key goes back")
        await pilot.press("escape")
        await until(pilot, app, "9 of 9: That is all it takes")
        await pilot.press("o")
        await until(pilot, app, "empty: try a round")
    assert not traces(trials)
    assert not basket.pairs()
    assert app.session is None


@pytest.mark.parametrize("key", ["escape", "q", "o"])
@pytest.mark.parametrize("steps", [0, 1, 3])
async def test_it_is_left_at_any_step(basket: Basket, trials: Path, key: str, steps: int) -> None:
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.press("t")
        await until(pilot, app, "1 of 9")
        await pilot.press(*["space", "space", "backspace"][:steps])
        await until(pilot, app, f"{steps + 1} of 9")
        await pilot.press(key)
        await until(pilot, app, "A round to try")
    assert not traces(trials)


async def test_whoever_closes_the_terminal_leaves_no_trace(basket: Basket, trials: Path) -> None:
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t")
        await until(pilot, app, "1 of 9")
        assert isinstance(app.screen, GuidedScreen)
    assert not traces(trials)


async def test_another_key_does_what_it_does(basket: Basket, trials: Path) -> None:
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t")
        await until(pilot, app, "1 of 9")
        await pilot.press("3", "space")
        await until(pilot, app, "2 of 9")
        await pilot.press("tab")
        await until(pilot, app, "sock two")
        assert "Cast on 64" in shown(app)


async def test_without_the_samples_there_is_nothing_to_try(
    basket: Basket, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracker.ui.guided_screen.samples", list)
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t")
        await until(pilot, app, "There is nothing to try: night-ferry: the samples were taken away")


# A file by its name


def test_the_name_is_typed_pasted_and_rubbed_out() -> None:
    line = FileLine().typed("a").typed("\x1b").typed("b").rubbed_out()
    assert line.text == "a"
    assert FileLine().pasted("'/home/her socks.toml'\n").text == "/home/her socks.toml"
    assert len(FileLine().pasted("x" * 1_000).text) == LONGEST


def test_a_name_is_completed_as_far_as_all_agree(tmp_path: Path) -> None:
    for name in ("quay-one.toml", "quay-two.toml", "notes.txt", "a.pack", ".hidden.toml"):
        (tmp_path / name).touch()
    (tmp_path / "class").mkdir()
    here = f"{tmp_path}/"
    assert names_like(f"{here}q") == [f"{here}quay-one.toml", f"{here}quay-two.toml"]
    line = FileLine(f"{here}q").completed(names_like(f"{here}q"))
    assert line.text == f"{here}quay-"
    again = line.completed(names_like(line.text))
    assert again.text == line.text
    assert again.told.endswith("_   (quay-one.toml, quay-two.toml)")
    assert names_like(here) == [f"{here}a.pack", f"{here}class/", f"{here}quay-one.toml",
                                f"{here}quay-two.toml"]  # fmt: skip
    assert FileLine("x").completed(names_like(f"{here}x")).told.endswith("is called so)")
    assert names_like(f"{here}none/x") == []


async def test_a_file_is_opened_by_its_name(basket: Basket) -> None:
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f", *"nowhere.toml", "enter")
        await until(pilot, app, "nowhere.toml: there is no such file")
        assert "File to open: nowhere.toml_" in " ".join(shown(app).split())
        await pilot.press("escape", "f")
        await until(pilot, app, "File to open: _")
        app.screen.post_message(Paste(str(SAMPLE)))
        await until(pilot, app, "night-ferry.toml_")
        await pilot.press("enter")
        await until(pilot, app, "Cast on 64")
    assert [pair.short for pair in basket.pairs()] == ["night-ferry"]


@pytest.mark.parametrize("name", ["-", "~nobody9/x.toml", "~nobody9", "/", "\\0x"])
async def test_a_name_that_is_none_is_said(basket: Basket, name: str) -> None:
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        await until(pilot, app, "File to open: _")
        app.screen.post_message(Paste(name))
        await pilot.press("enter")
        await until(pilot, app, "there is no such file" if name != "/" else "this is a folder")


async def test_the_same_file_again_goes_on_with_its_pair_and_a_pack_is_unpacked(
    basket: Basket,
) -> None:
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        for name, told in [
            (str(SAMPLE), "Cast on 64"), (str(SAMPLE), "Cast on 64"),
            (str(SAMPLES / "second-watch.pack"), "sock two, heel turn"),
        ]:  # fmt: skip
            await pilot.press("o" if basket.pairs() else "escape", "f")
            await until(pilot, app, "File to open: _")
            app.screen.post_message(Paste(name))
            await pilot.press("enter")
            await until(pilot, app, told)
    assert len(basket.pairs()) == 2


async def test_a_teachers_plan_has_its_blanks_filled_in(basket: Basket, tmp_path: Path) -> None:
    plan = tmp_path / "class.toml"
    text = (SAMPLES / "night-ferry.toml").read_text(encoding="utf-8")
    before, _, after = text.partition("[foot]")
    plan.write_text(before + after.partition("[gauge]")[2].partition("[needles]")[1]
                    + after.partition("[needles]")[2], encoding="utf-8")  # fmt: skip
    app = KnittingApp(basket, None, Clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        await until(pilot, app, "File to open: _")
        app.screen.post_message(Paste(str(plan)))
        await pilot.press("enter")
        await until(pilot, app, "heel to longest toe")
        await pilot.press("escape")


def test_the_keys_are_the_baskets_own() -> None:
    assert SCREENS["basket"]["trial"] == ("t",)
    assert SCREENS["basket"]["file"] == ("f",)
