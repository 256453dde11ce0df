"""The yarn at the needles: the key that weighs, what it answers at every size, and the spare fact."""

from __future__ import annotations

import re

import pytest
from textual.geometry import Size

from tests.forecast.test_ball import a_guess, ball_of, no_length_is_safe, weigh
from tests.knitting.knitter import Knitter
from tests.pattern.making import sock
from tests.ui.driving import Clock, app_of, begin, until
from tests.ui.reading import text
from tests.ui.test_nothing_cut import SIZES, shown
from tracker import words, yarn_words
from tracker.knitting.course import Course
from tracker.pattern.colours import LONGEST_NAME
from tracker.storage.basket import Basket
from tracker.ui import sights
from tracker.ui.commands import footer
from tracker.ui.facts import FactsSight, fact_row, fact_rows
from tracker.ui.needles_view import NeedlesView
from tracker.ui.sights import Scene


async def test_the_number_first_then_w(basket: Basket) -> None:
    session = begin(basket, clock=Clock())
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("1", "0", "0", "w")
        await until(
            pilot, app, "100 g left: sock one takes 34 g in all, give or take 6; enough for both"
        )
        assert [weighed.grams for weighed in session._replay.state.weighings] == [100]
        await pilot.press("8", "5", ",", "5", "w", "backspace")
        await until(pilot, app, "Taken back: the 85.5 g weighing.")


@pytest.mark.parametrize(
    ("keys", "seen"),
    [
        (["w"], "type what the scale says first, in grams: 85 w"),
        (["0", "w"], "0 g is no yarn to knit with"),
        (["/", "w"], '"/" is not a weight; type grams like 85'),
        (["9", "9", "9", "9", "w"], '"9999" is more than 5 kg; type the grams that are left'),
    ],
)
async def test_what_is_no_weight_is_said(basket: Basket, keys: list[str], seen: str) -> None:
    session = begin(basket, clock=Clock())
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(*keys)
        await until(pilot, app, seen)
        assert session.glance.events == 1


async def test_the_colour_at_hand_has_its_own_key(basket: Basket) -> None:
    session = begin(basket, "low-tide", clock=Clock())
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("y")
        await until(pilot, app, "type what the scale says of the slate first, in grams: 85 y")
        await pilot.press("4", "5", "y")
        await until(pilot, app, "45 g (189 m) of slate left: sock one takes 10 g of it in all")
        assert [weighed.colour for weighed in session._replay.state.weighings] == ["slate"]
        await pilot.press("backspace")
        await until(pilot, app, "Taken back: the 45 g weighing of slate.")
        await pilot.press("9", "0", "w")
        await until(pilot, app, "90 g (378 m) left: ")
        assert [weighed.colour for weighed in session._replay.state.weighings] == [None]


async def test_where_there_is_one_colour_that_key_says_so(basket: Basket) -> None:
    session = begin(basket, clock=Clock())
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("4", "5", "y")
        await until(pilot, app, "no colour is at hand here; w weighs all the yarn")
        assert session.glance.events == 1


async def test_as_far_as_the_yarn_goes_at_the_needles(basket: Basket) -> None:
    session = begin(basket, clock=Clock())
    session.tick(21)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("f")
        await until(pilot, app, "no yarn is told in the plan, and none was weighed")
        await pilot.press("9", "6", "w", "f")
        await until(pilot, app, "as far as the yarn goes. Sock one, cuff: round 21")
        await pilot.press("space")
        await until(pilot, app, "leg")
        await pilot.press("f")
        await until(pilot, app, "as far as the yarn goes: as before")
        assert session.glance.events == 6
        await pilot.press("3", "f")
        await until(pilot, app, "3 f: f takes no number")


def cases() -> list[tuple[str, Knitter]]:
    short = ball_of(72)
    short.to("leg", 21)
    weigh(short, 62.5)
    guess = a_guess()
    guess.tick(20)
    unlike = ball_of(71)
    unlike.to("toe", 3)
    weigh(unlike, 38)
    enough = ball_of(100)
    enough.to("turn", 3)
    weigh(enough, 83)
    other = ball_of(100)
    other.to("leg", 20)
    weigh(other, 85)
    weigh(other, 200)
    anew = ball_of(100)
    anew.to("leg", 20)
    weigh(anew, 45)
    goal = ball_of(100)
    goal.to("leg", 20)
    weigh(goal, 90.5)
    goal.do("target", mm=264.0, text=words.AS_FAR)
    goal.tick(20)
    weigh(goal, 85)
    done = ball_of(100)
    done.finish()
    weigh(done, 64)
    return [
        ("short", short), ("enough", enough), ("other", other), ("anew", anew), ("done", done),
        ("goal", goal), ("no leg", no_length_is_safe()), ("guess", guess), ("unlike", unlike),
        *colour_cases(),
    ]  # fmt: skip


def colour_cases() -> list[tuple[str, Knitter]]:
    """Balls of colours, one with as long a name as there may be."""
    long = "a" * LONGEST_NAME
    given = {"colours.leg": [f"{long} 9", "cream 3"], "yarn.metres": 420, "yarn.grams": 100}
    found = []
    for name, grams in (("plenty", 60), ("tight", 41), ("little", 22)):
        knitter = Knitter(Course(sock(given)))
        knitter.to("leg", 21)
        knitter.do("weigh", grams=grams, text=str(grams), colour=long)
        found.append((name, knitter))
    knitter = Knitter(Course(sock(given)))
    knitter.do("weigh", grams=56, text="56", colour=long)
    knitter.to("leg", 20)
    while not any(cue.about == "weigh" for cue in knitter.look().cues):
        knitter.tick()
    again = Knitter(Course(sock(given)))
    for grams in (22, 60):
        again.do("weigh", grams=grams, text=str(grams), colour=long)
        again.tick()
    again.do("weigh", grams=80, text="80", colour=long)
    return [*found, ("due", knitter), ("again", again)]


@pytest.mark.parametrize(("name", "knitter"), cases(), ids=[name for name, _ in cases()])
def test_what_is_said_of_the_yarn_is_whole_at_every_size(name: str, knitter: Knitter) -> None:
    glance = knitter.look()
    said = yarn_words.said_weigh(glance, keys=True)
    for size in SIZES:
        for scene in (Scene(glance), Scene(glance, said=said, said_brief=words.yarn_brief(glance))):
            lines = list(shown(scene, size))
            assert not [line for line in lines if "..." in line], size
            if scene.said:
                assert re.search(r"\b\d+\W+g\b", " ".join(lines)), size


def facts_shown(knitter: Knitter, size: tuple[int, int]) -> str:
    scene = Scene(knitter.look())
    view = NeedlesView()
    view._shown = scene
    grid = view.grid(Size(*size))
    box, sight = grid.places["facts"], sights.facts_sight(scene)
    return " ".join(text(_paint(sight, box.width, box.height, grid.size)))


def _paint(sight: FactsSight, width: int, height: int, size: str):  # type: ignore[no-untyped-def]
    facts = sight.facts if sight.spare is None else (*sight.facts, sight.spare)
    return fact_rows(facts[:4], width, height) if size == "full" else fact_row(sight, width, 3)


def test_a_fact_of_the_yarn_where_there_is_room() -> None:
    knitter = ball_of(100)
    knitter.to("turn", 3)
    weigh(knitter, 83)
    assert "83 g (349 m) left enough for both" in facts_shown(knitter, (120, 36))
    at_80 = facts_shown(knitter, (80, 24))
    assert " left" not in at_80, "it takes nothing from the others"
    assert "28 sts after this row   11 rows to go" in at_80


def test_the_key_stands_in_the_footer_when_the_yarn_is_to_be_weighed() -> None:
    knitter = ball_of(100)
    knitter.to("leg", 16)
    assert "w" not in [entry.key for entry in footer(knitter.look())]
    knitter.tick()
    assert "w" in [entry.key for entry in footer(knitter.look())]
    guess = a_guess()
    guess.tick(20)
    assert "w" in [entry.key for entry in footer(guess.look())], "before the leg ends by a guess"
