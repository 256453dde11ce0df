"""Repairs at the needles, played with keys: what she types, and what then stands on the screen.

The cases are common practice, no source.
"""

from __future__ import annotations

import pytest

from tests.ui.driving import app_of, begin, knit, running, until
from tracker.session import Session
from tracker.storage.basket import Basket


def needles(session: Session) -> list[int]:
    return [needle.stitches for needle in session.glance.needles]


def to(session: Session, section: str, done: int) -> None:
    """Knit on to a round of a section, row 0 behind her."""
    knit(session, lambda place: place.section == section)
    if session.glance.next is not None and session.glance.next.number == 0:
        session.tick()
    knit(session, lambda place: place.done >= done)


async def test_a_turn_row_and_the_next(basket: Basket) -> None:
    """After row 12 (20 stitches) row 13 on the wrong side, then 14 with k16, not k17."""
    session = begin(basket)
    to(session, "turn", 12)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, app, "sl1, p16, p2tog, turn")
        await pilot.press("space")
        await until(pilot, app, "sl1, k16, ssk, turn")


async def test_a_lost_count_is_put_right_with_two_keys(basket: Basket) -> None:
    session = begin(basket)
    to(session, "gusset", 7)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("7", "4", "c")
        await until(pilot, app, "That is gusset round 9 or gusset round 10.")
        await until(pilot, app, "Is the last round a plain one? Then it is gusset round 10.")
        await pilot.press("1", "0", "a")
        await until(pilot, app, "next round 11")
        assert needles(session) == [21, 16, 16, 21]
        await pilot.press("backspace")
        assert session.glance.place.done == 7


async def test_power_fails_inside_a_toe_round(basket: Basket) -> None:
    session = begin(basket)
    to(session, "toe", 2)
    session.count_by("needles")
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        assert session.glance.place.needle == "N2"
    again = Session(basket, basket.find(None), lambda: session.now())
    app = app_of(basket, again)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, app, "round 3")
        assert (again.glance.place.done, again.glance.place.needle) == (2, "N2")
        assert needles(again) == [14, 15, 15, 15]


async def test_a_reading_out_of_line_says_that_rounds_are_missing(basket: Basket) -> None:
    session = begin(basket)
    to(session, "leg", 20)
    session.measure("9.8")
    to(session, "leg", 40)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("1", "6", ".", "2", "m")
        await until(pilot, app, "longer than expected")
        assert "rounds" in running(app)
        odd = next(cue for cue in session.glance.cues if cue.kind == "reading")
        number = str(odd.data["number"])
        await pilot.press(*number, "a")
        assert session.glance.place.done == int(number)
        await until(pilot, app, "goes with it")


async def test_ripped_back_to_the_lifeline_and_brought_back(basket: Basket) -> None:
    session = begin(basket)
    to(session, "leg", 40)
    session.lifeline()
    to(session, "gusset", 5)
    before = needles(session)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        session.rip_to_lifeline()
        await pilot.press("j", "escape")
        assert session.glance.place.section == "leg"
        assert needles(session) == [16, 16, 16, 16]
        await pilot.press("backspace")
        await until(pilot, app, "Taken back: the ripping back to 40")
        assert (session.glance.place.section, needles(session)) == ("gusset", before)


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_stitches_unknitted_one_by_one(basket: Basket, size: tuple[int, int]) -> None:
    """The needle in hand is said, and stays in view; the next tick finishes what is in hand."""
    session = begin(basket)
    to(session, "leg", 23)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("2", "0", "less_than_sign")
        await until(pilot, app, "N3, 12 of 16 worked")
        app.screen._be_quiet()  # type: ignore[attr-defined]
        await until(pilot, app, "12 of 16 ")
        assert session.glance.place.needle == "N3"
        await pilot.press("space")
        assert (session.glance.place.done, session.glance.place.into) == (23, 0)
        await pilot.press("backspace", "backspace")
        assert session.glance.place.done == 23
        await pilot.press("less_than_sign")
        await until(pilot, app, "type how many stitches were unknitted")


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_a_right_count_that_fits_the_next_round_too(
    basket: Basket, size: tuple[int, int]
) -> None:
    session = begin(basket)
    to(session, "gusset", 9)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("7", "4", "c")
        told = "74: right; or p: round 10?" if size[0] < 80 else "Gusset round 10 has as many."
        await until(pilot, app, told)
        assert session.glance.place.done == 9
        await pilot.press("p")
        assert session.glance.place.done == 10


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_the_tail_hangs_at_the_yarn(basket: Basket, size: tuple[int, int]) -> None:
    """Needle 4 was ticked by nobody: the tail says that the round is done, and p ends it."""
    session = begin(basket)
    to(session, "leg", 20)
    session.count_by("needles")
    session.tick(3, needles=True)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("6", "4", "c")
        await until(
            pilot, app, "as it should be" if size[0] > 80 else "64: right. Tail at the yarn? '"
        )
        await pilot.press("apostrophe")
        await until(pilot, app, "leg round 21")
        assert session.glance.place.done == 20
        await pilot.press("p")
        assert (session.glance.place.done, session.glance.place.needle) == (21, "N1")
        await pilot.press("2", "apostrophe", "p")
        assert (session.glance.place.done, session.glance.place.needle) == (21, "N3")


async def test_how_many_rounds_lie_above_the_lifeline(basket: Basket) -> None:
    session = begin(basket)
    to(session, "leg", 40)
    session.lifeline()
    to(session, "flap", 4)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r")
        await until(pilot, app, "11 r to the lifeline")
        await pilot.press("1", "1", "r")
        assert (session.glance.place.section, session.glance.place.done) == ("leg", 40)


async def test_uneven_edges_plan_the_gusset_anew(basket: Basket) -> None:
    session = begin(basket)
    to(session, "gusset", 0)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("u")
        await until(pilot, app, "type the chains along both edges first: 17/15 u")
        await pilot.press("1", "7", "/", "1", "5", "u")
        await until(pilot, app, "the decreases are planned anew, over 19 rounds")
        assert needles(session) == [27, 16, 16, 25]
        await until(pilot, app, "k to last 5, k2tog, k2tog, k1")
        await pilot.press("space")
        assert needles(session) == [25, 16, 16, 25]


async def test_a_skipped_decrease_is_for_both_or_for_one(basket: Basket) -> None:
    session = begin(basket)
    to(session, "gusset", 9)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("s")
        await until(pilot, app, "No decrease in gusset round 9; it is made in round 10.")
        await until(pilot, app, "Sock two repeats it; d if not.")
        await pilot.press("d")
        await until(pilot, app, "on this one alone")
        await pilot.press("d")
        await until(pilot, app, "on both")
        await pilot.press("1", "2", "s")
        await until(pilot, app, "type 11 s")


@pytest.mark.parametrize(
    ("typed", "then"),
    [("4", [16, 32, 16]), ("18/16/16/14", [18, 16, 16, 14]), ("22/21/21", [22, 21, 21])],
)
async def test_other_needles(basket: Basket, typed: str, then: list[int]) -> None:
    session = begin(basket)
    to(session, "leg", 9)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*typed, "=")
        await until(pilot, app, "from leg round 10 on")
        assert needles(session) == then
        await pilot.press("space")
        await until(pilot, app, "next round 11")


async def test_a_size_of_needles_is_told(basket: Basket) -> None:
    session = begin(basket)
    to(session, "leg", 9)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("2", ".", "2", "5", "=")
        await until(pilot, app, "Needles of 2.25 mm from leg round 10 on")
        await pilot.press("=")
        await until(pilot, app, "type the needles first: 2.25 = their size")


async def test_how_long_it_is_says_where_she_is(basket: Basket) -> None:
    session = begin(basket)
    to(session, "leg", 23)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("1", "1", ".", "4", "c")
        await until(pilot, app, "About leg round 27, 23 to 31; 23 counted.")
        await until(pilot, app, "27 a puts the count there")


async def test_a_needle_that_is_off_is_put_right_in_the_next_round(basket: Basket) -> None:
    session = begin(basket)
    to(session, "gusset", 9)
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press(*"21/16/17/21", "c")
        await until(pilot, app, "in round 10 k2tog once on N3, which has 1 too many")


async def test_what_cannot_be_moved_or_ripped_names_keys(basket: Basket) -> None:
    """No command can be typed here: what to do instead is told in keys."""
    session = begin(basket)
    to(session, "leg", 5)
    session.lifeline()
    app = app_of(basket, session)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.press("0", "r")
        await until(pilot, app, "nothing of the round in hand is worked; type 1 r to 27 r")
        await pilot.press("v")
        await until(pilot, app, "there is none to move; correct the count of both: 31 a, tab, 31 a")
        await pilot.press("space", "9", "v")
        await until(pilot, app, "only 1 tick on sock one can be moved; type 1 v")
        assert "instep" not in running(app)


async def test_all_borders_are_moved_and_back_with_the_needles_key(basket: Basket) -> None:
    """The ring keeps its four needles, and the marker lies inside the last of them."""
    session = begin(basket)
    to(session, "leg", 20)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2", "+", "equals_sign")
        await until(pilot, app, "the marker lies 2 stitches before the end of N4")
        for label in ("N1 16", "N2 16", "N3 16", "N4 16"):
            assert label in running(app)
        await pilot.press("escape")
        assert "16/16/16/16" in running(app)
        await pilot.press("n", "space")
        await until(pilot, app, "part 2 of 5")
        await pilot.press("backspace", "2", "minus", "equals_sign")
        await until(pilot, app, "where they were")
        assert needles(session) == [16, 16, 16, 16]
        assert session.glance.place.done == 20


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 12)])
async def test_an_answer_does_not_hide_what_is_to_be_done_in_the_round(
    basket: Basket, size: tuple[int, int]
) -> None:
    """She is asked to count after the pick-up: the round to come still closes the holes."""
    session = begin(basket)
    to(session, "gusset", 0)
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("c")
        await until(pilot, app, "26/16/16/26 = 84: as it should be.")
        await until(pilot, app, "through the back")


@pytest.mark.parametrize("size", [(80, 24), (40, 12)])
async def test_a_needle_that_is_off_stays_in_view_until_it_is_reached(
    basket: Basket, size: tuple[int, int]
) -> None:
    session = begin(basket)
    to(session, "leg", 14)
    session.count_by("needles")
    session.other()
    app = app_of(basket, session)
    async with app.run_test(size=size) as pilot:
        await pilot.press("tab", "space", *"16/16/15/16", "c", "tab", "tab", "space")
        await until(pilot, app, "counting sock one (tab goes back)")
        await until(pilot, app, "N3")
        await until(pilot, app, "find or make 1 on N3")


async def test_what_is_to_be_done_stands_below_a_long_answer_too(basket: Basket) -> None:
    """After the pick-up: `c`, then taken back; the answer takes both rows, and the work stays in view."""
    session = begin(basket)
    knit(session, lambda place: place.kind == "gusset")
    session.tick(1)
    app = app_of(basket, session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("c")
        await until(pilot, app, "as it should be")
        await pilot.press("backspace")
        await until(pilot, app, "Taken back: the count")
        await until(pilot, app, "through the back")
