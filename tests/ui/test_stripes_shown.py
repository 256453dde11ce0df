"""Stripes at the needles, through the whole app: what she is told of the yarn, when, and where."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ui.driving import Clock, app_of, knit, lines, running, until
from tests.ui.reading import text
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.pattern_file import open_file
from tracker.ui import sights
from tracker.ui.cue_line import CueSight
from tracker.ui.sights import Scene
from tracker.ui.stage import Chip, NextPart
from tracker.ui.three_lines import line_rows
from tracker.ui.work import WorkLine, shorter
from tracker.ui.work_column import fold

SIZES = [(120, 36), (80, 24), (60, 20), (40, 12)]
SAMPLE = Path(__file__).parents[2] / "sample_projects" / "night-ferry.toml"


@pytest.fixture
def session(basket: Basket, tmp_path: Path) -> Session:
    plan = tmp_path / "striped.toml"
    stripes = '[colours]\nleg = ["navy 9", "cream 3", "rust 2"]\nheel = "rust"\n'
    plan.write_text(f"{SAMPLE.read_text(encoding='utf-8')}\n{stripes}", encoding="utf-8")
    return Session.start(basket, open_file(str(plan)), Clock())


def to_leg(session: Session, done: int) -> None:
    knit(session, lambda place: place.kind == "leg" and place.done == done)


def parts(session: Session) -> tuple[NextPart, CueSight]:
    shown = Scene(session.glance)
    return sights.stage_sight(shown).next, sights.cue_sight(shown)


def test_the_chip_of_a_yarn_is_as_the_yarn_is_drawn(basket: Basket, tmp_path: Path) -> None:
    """Of names that say no colour, too: each has its own, by its place among the yarns of the pair."""
    plan = tmp_path / "named.toml"
    stripes = '[colours]\nleg = ["first 2", "second 2"]\n'
    plan.write_text(f"{SAMPLE.read_text(encoding='utf-8')}\n{stripes}", encoding="utf-8")
    session = Session.start(basket, open_file(str(plan)), Clock())
    to_leg(session, 3)
    for pictures in ((None, None), session.pictures()):
        chip = sights.stage_sight(Scene(session.glance, pictures=pictures)).next.chip
        assert chip == Chip(("first", "second"), 1)


@pytest.mark.parametrize("size", SIZES)
async def test_by_rounds_a_change_is_the_word_and_the_slip_one_round_later(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    to_leg(session, 7)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("escape", "space")
        await until(pilot, app, "in 1 round")
        assert "change to cream" in running(app)
        await pilot.press("space")
        await until(pilot, app, "change to cream")
        assert "in 1 round" not in running(app)
        assert "k every needle" in running(app)
        await pilot.press("space")
        await until(pilot, app, "slip the first")
        assert "the rest in pattern" in running(app)
        await pilot.press("backspace")
        await until(pilot, app, "Taken back: a round")
        assert "slip the first" not in running(app)
        assert "change to cream" in running(app)


@pytest.mark.parametrize("size", SIZES)
async def test_by_needles_the_cue_line_tells_it_at_the_end_of_the_round(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    to_leg(session, 8)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("n", "escape")
        for _ in range(2):
            await pilot.press("space")
            await until(pilot, app, "in 1 round")
        await pilot.press("space")
        await until(pilot, app, "at the marker change to cream")
        await pilot.press("space")
        told = {40: "of round 9", 60: "next round 10 plain N1"}
        await until(pilot, app, told.get(size[0], "next N1"))
        assert "change to cream" in running(app)
        assert "at the marker" not in running(app)
        await pilot.press("space")
        await until(pilot, app, "N2")
        assert "change to" not in running(app)
        await pilot.press("space", "space", "space")
        await until(pilot, app, "slip the first stitch")
        await pilot.press("space")
        await pilot.pause()
        assert "slip the first" not in running(app)


async def test_three_lines_tell_the_change_and_the_slip(basket: Basket, session: Session) -> None:
    to_leg(session, 9)
    app = app_of(basket, session)
    async with app.run_test(size=(30, 3)) as pilot:
        await pilot.press("escape")
        await until(pilot, app, "change to cream")
        assert lines(app)[1].startswith("next 10")
        await pilot.press("space")
        await until(pilot, app, "slip the first stitch")
        assert lines(app)[2] == "pin up: round 10"


@pytest.mark.parametrize("size", SIZES)
async def test_the_card_of_the_heel_says_its_colour_first(
    basket: Basket, session: Session, size: tuple[int, int]
) -> None:
    to_leg(session, 46)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("e")
        await until(pilot, app, "Change to rust; cut the others.")
        told = running(app)
        assert told.index("Change to rust; cut the others.") < told.index("Knit N1, then turn.")


@pytest.mark.parametrize(("size", "label"), [((120, 36), "navy, 5 of 9"), ((80, 24), "navy 5/9")])
async def test_the_colour_stands_in_the_label_of_what_is_next(
    basket: Basket, session: Session, size: tuple[int, int], label: str
) -> None:
    to_leg(session, 4)
    session.tick(14)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await until(pilot, app, "round 19")
        assert label in next(line for line in lines(app) if "round 19" in line)


def test_a_change_that_is_the_word_leaves_the_cue_line_to_what_follows(session: Session) -> None:
    to_leg(session, 10)
    stage, cue = parts(session)
    assert (stage.word, stage.loud, stage.work.lines[0].work) == (
        "SLIP",
        True,
        "slip the first stitch",
    )
    assert cue.what == "pin up: round 10"
    to_leg(session, 12)
    stage, cue = parts(session)
    assert (stage.word, stage.work.lines[0].work, stage.work.after) == (
        "YARN", "change to rust", "k every needle",
    )  # fmt: skip
    assert (cue.when, cue.what) == ("in 2 rounds", "change to navy")


def test_a_decrease_round_keeps_its_word_and_the_cue_line_tells_the_change(
    session: Session,
) -> None:
    """The pick-up round is navy 5 of 9, so gusset round 5 is cream's first: a decrease round."""
    to_leg(session, 46)
    session.end()
    knit(session, lambda place: place.kind == "gusset" and place.done == 4)
    stage, cue = parts(session)
    assert (stage.word, stage.colour[0]) == ("DEC", "cream, 1 of 3")
    assert (cue.when, cue.what, cue.due) == ("now", "change to cream", True)


def test_inside_a_round_no_word_speaks_of_the_yarn(session: Session) -> None:
    to_leg(session, 9)
    session.tick(1, needles=True)
    stage, cue = parts(session)
    assert (stage.word, stage.colour[0]) == ("PLAIN", "cream, 1 of 3")
    assert "change" not in cue.what


def test_where_a_card_stands_the_cue_line_does_not_repeat_it(session: Session) -> None:
    to_leg(session, 46)
    session.end()
    stage, cue = parts(session)
    assert stage.card[0] == "Change to rust; cut the others."
    assert "change" not in cue.what
    third = text(line_rows(sights.lines_sight(Scene(session.glance)), 40, 3))[2]
    assert third.strip() == "change to rust"


def test_without_colours_nothing_of_them_is_shown(basket: Basket) -> None:
    plain = Session.start(basket, open_file(str(SAMPLE)), Clock())
    to_leg(plain, 9)
    stage, cue = parts(plain)
    assert (stage.word, stage.colour) == ("PLAIN", ())
    assert "change" not in cue.what


def test_a_long_name_gives_up_the_word_before_it() -> None:
    texts = shorter(WorkLine("", "change to abcdefghi abcdefghij", "", loud=True))
    assert fold(texts, 30, 2) == ["change to abcdefghi abcdefghij"]
    assert fold(texts, 20, 2) == ["change to abcdefghi", "abcdefghij"]
    assert fold(texts, 17, 2) == ["to abcdefghi", "abcdefghij"]


def test_the_other_sock_is_cast_on_in_its_colour(session: Session) -> None:
    knit(session, lambda place: place.finished)
    other = session.look(2)
    stage = sights.stage_sight(Scene(session.glance, other=other)).next
    assert stage.work.lines[0].work == "cast on 64 in navy, loosely"
