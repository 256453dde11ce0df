"""Rows of sections to come: as planned, as her goal says, as the other sock shows."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import CUFF, FOOT, LEG, Knitter, sock_of_64
from tracker.forecast.coming import Coming
from tracker.forecast.left import length_of
from tracker.knitting.course import Course
from tracker.knitting.state import Number
from tracker.units import whole

ROWS_18 = whole((180 - 22 / 0.441) * 0.42)
"""Rounds of a leg to 18 cm, its cuff of 22 taken off: 44.1 and 42 to 100 mm."""


def rows(knitter: Knitter, number: Number, index: int) -> int:
    course, state = knitter.course, knitter.state
    lengths = (length_of(course, state, 1), length_of(course, state, 2))
    return Coming(course, state, number, lengths).rows(number)[index]


def goal(knitter: Knitter, mm: float, sock: Number, section: str, *, only: bool = True) -> None:
    knitter.do("target", sock, mm=mm, text="x", section=section, only=only)


def measure(knitter: Knitter, mm: float, **more: Any) -> None:
    knitter.do("measure", mm=mm, step=0.0, **more)


def in_the_leg(tall: float = 1.0, *, measured: bool = False) -> Knitter:
    """Sock one at leg round 40, its rounds so much taller than the swatch's."""
    knitter = Knitter()
    knitter.to("leg", 40)
    if measured:
        measure(knitter, tall * (22 / 44.1 + 40 / 42) * 100)
    return knitter


def test_a_goal_of_its_own_wins_over_the_other_sock_in_hand() -> None:
    """18 cm in place of 16, on sock two alone."""
    knitter = in_the_leg()
    assert (rows(knitter, 1, LEG), rows(knitter, 2, LEG)) == (46, 46)
    goal(knitter, 180.0, 2, "leg")
    assert (rows(knitter, 1, LEG), rows(knitter, 2, LEG)) == (46, ROWS_18)
    goal(knitter, 150.0, 1, "leg")
    assert (rows(knitter, 1, LEG), rows(knitter, 2, LEG)) == (42, ROWS_18)
    knitter.do("undo")
    knitter.do("undo")
    assert (rows(knitter, 1, LEG), rows(knitter, 2, LEG)) == (46, 46)


def test_minutes_and_yarn_move_with_it() -> None:
    knitter = in_the_leg()
    before = knitter.look().time
    goal(knitter, 180.0, 2, "leg")
    after = knitter.look().time
    assert before is not None
    assert after is not None
    assert after.sock == before.sock
    assert (after.all or 0) - (before.all or 0) == pytest.approx(9 * 64 / 25 * 1.1, abs=1)


@pytest.mark.parametrize("tall", [0.94, 1.06])
def test_its_rows_are_of_the_height_that_the_other_sock_taught(tall: float) -> None:
    """Cuff and leg by the readings of sock one, not by the swatch: fewer rounds where they are taller."""
    knitter = in_the_leg(tall, measured=True)
    goal(knitter, 180.0, 2, "leg")
    found = rows(knitter, 2, LEG)
    assert (found < ROWS_18) == (tall > 1)
    knitter.tick(1, sock=2)
    knitter.to("leg", 1, sock=2)
    length = knitter.look(2).length
    assert length is not None
    assert length.goal_row == found, "as it will be said once she is there"


def test_a_goal_of_the_pair_is_that_of_both() -> None:
    """Set for sock two's leg, to come, while sock one is in its own: that one goes on to it, too."""
    knitter = in_the_leg(1.05, measured=True)
    before = rows(knitter, 1, LEG)
    goal(knitter, 180.0, 2, "leg", only=False)
    assert rows(knitter, 1, LEG) == rows(knitter, 2, LEG) > before
    assert knitter.look(1).rows_to_go[1] == rows(knitter, 1, LEG) - 40


def test_a_goal_for_one_sock_alone_leads_nobody_before_its_end_either() -> None:
    """The other goes on to the pair's, as it will once this one has ended."""
    knitter = in_the_leg()
    goal(knitter, 180.0, 1, "leg")
    assert (rows(knitter, 1, LEG), rows(knitter, 2, LEG)) == (ROWS_18, 46)
    knitter.tick(ROWS_18 - 40)
    knitter.do("end")
    assert (rows(knitter, 1, LEG), rows(knitter, 2, LEG)) == (ROWS_18, 46)


def test_a_foot_to_come_is_reckoned_as_taught_with_heel_and_toe() -> None:
    knitter = in_the_leg(1.05, measured=True)
    planned = rows(knitter, 1, FOOT)
    goal(knitter, 240.0, 1, "foot")
    found = rows(knitter, 1, FOOT)
    assert 0 < found != planned
    knitter.to("foot", 1)
    length = knitter.look().length
    assert length is not None
    assert length.goal_row == found


def test_without_a_gauge_it_is_as_planned_until_the_tape_says_more() -> None:
    knitter = Knitter(Course(sock_of_64().pattern._replace(gauge=None)))
    goal(knitter, 180.0, 1, "leg")
    assert rows(knitter, 1, LEG) == 46
    assert rows(knitter, 1, CUFF) == 22
