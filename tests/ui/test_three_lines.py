"""Three lines: what is to be done stays in view, whatever is answered to a key."""

from __future__ import annotations

import pytest

from tests.ui.driving import app_of, knit, lines
from tests.ui.reading import text
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.ui.needles_screen import NeedlesScreen
from tracker.ui.sights import Scene, cue_sight, lines_sight
from tracker.ui.three_lines import line_rows


@pytest.fixture
def moved(session: Session) -> Session:
    """Sock one in its leg, all borders two stitches on."""
    session.changed("set", "+2")
    session.tick(20)
    return session


async def test_the_answer_to_the_end_of_the_leg_hides_no_borders_that_go_back(
    basket: Basket, moved: Session
) -> None:
    app = app_of(basket, moved)
    async with app.run_test(size=(30, 3)) as pilot:
        await pilot.press("e")
        answered = lines(app)
        assert answered[0] == "0 done; all borders 2 back"
        assert answered[2].startswith("The leg ended")
        assert isinstance(app.screen, NeedlesScreen)
        app.screen._be_quiet()
        await pilot.pause()
        quiet = lines(app)
        assert quiet[:2] == answered[:2]
        assert quiet[2] != answered[2]
        await pilot.press("space")
        assert "borders" not in lines(app)[0]


@pytest.mark.parametrize(
    ("width", "first"),
    [
        (80, "0 done; all borders 2 stitches back before the heel set-up"),
        (40, "0 done; all borders 2 stitches back"), (30, "0 done; all borders 2 back"),
        (22, "0 done; borders 2 back"),
    ],
)  # fmt: skip
def test_it_is_said_in_as_many_words_as_find_room(moved: Session, width: int, first: str) -> None:
    moved.end()
    assert text(line_rows(lines_sight(Scene(moved.glance)), width, 3))[0].rstrip() == first


def test_an_answer_shares_its_line_with_what_is_to_be_done_where_both_find_room(
    session: Session,
) -> None:
    knit(session, lambda place: place.kind == "gusset")
    session.tick(1)
    shown = Scene(session.glance, said="Gusset round 1 is done.", said_brief="done")
    besides = cue_sight(shown).besides
    assert besides
    wide, narrow = (text(line_rows(lines_sight(shown), width, 3))[2].rstrip() for width in (80, 40))
    assert wide == f"Gusset round 1 is done; {besides}"
    assert narrow == f"done; {besides}"
