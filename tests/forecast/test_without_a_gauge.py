"""Where no gauge is known, and the tape alone tells: how good that is, and which readings are believed."""

from __future__ import annotations

from pathlib import Path
from random import Random

from tests.knitting.knitter import Knitter, sock_of_64
from tracker.glance import LengthSight
from tracker.knitting.course import Course
from tracker.storage.pattern_file import open_file

MITTENS = Path(__file__).parents[1] / "pattern" / "data" / "by_hand" / "mittens.toml"
HEIGHT = 100 / 42
HEEL_MM, GUSSET, TOE, FOOT_MM = 36.0, 19, 20, 233.0
"""The heel's depth, rounds of gusset and toe, and the goal of the foot of the sample."""


def no_gauge() -> Knitter:
    return Knitter(Course(sock_of_64().pattern._replace(gauge=None)), pause=90_000)


def length(knitter: Knitter) -> LengthSight:
    found = knitter.look().length
    assert found is not None
    return found


def feet(legs: int, rounds: tuple[int, ...], seed: int) -> tuple[float, float]:
    """By how many rounds the feet of some knitters are taken to end too late, and how many are covered."""
    random = Random(seed)  # noqa: S311 - a seeded run
    late = covered = 0.0
    for _ in range(legs):
        height, heel = HEIGHT * random.gauss(1, 0.05), random.gauss(HEEL_MM, 3)
        knitter = no_gauge()
        for row in rounds:
            knitter.to("foot", row)
            mm = heel + (GUSSET + row) * height + random.gauss(0, 2.5)
            knitter.do("measure", mm=mm, step=0)
        truth = (FOOT_MM - heel) / height - GUSSET - TOE
        found = length(knitter)
        assert found.goal_row is not None
        assert found.low is not None
        assert found.high is not None
        late += found.goal_row - truth
        covered += found.low - 0.5 <= max(0.0, truth - rounds[-1]) <= found.high + 0.5
    return late / legs, covered / legs


def test_a_foot_from_the_heel_is_not_taken_to_end_late_for_the_depth_of_its_heel() -> None:
    """The heel grows in rows, too: the first guess must not share its depth out among the rounds."""
    for rounds in ((10, 20), (10, 20, 30), (20, 40)):
        late, covered = feet(60, rounds, 2)
        assert abs(late) < 1, rounds
        assert covered >= 0.85, rounds


def mittens(*readings: tuple[int, float]) -> Knitter:
    """Wrist of 20 rounds, thumb gusset of 6, then the hand, with readings after so many rounds in all."""
    knitter, done = Knitter(Course(open_file(str(MITTENS)).pattern), pause=90_000), 0
    for rounds, mm in readings:
        knitter.tick(rounds - done)
        knitter.do("measure", mm=mm, step=0)
        done = rounds
    return knitter


def test_two_readings_that_no_fabric_fits_do_not_agree() -> None:
    """Four millimetres to a round of the wrist leave less than nothing to those of the thumb gusset."""
    knitter = mittens((10, 40.0), (27, 65.0))
    glance = knitter.look()
    assert glance.length is None
    assert glance.unmeasured is not None
    knitter.tick(3)
    knitter.do("end")
    knitter.tick(16)
    assert knitter.look().length is None
    assert all(cue.about != "goal" for cue in knitter.look().cues)


def test_a_third_reading_tells_which_of_two_was_the_slip() -> None:
    for slip, mm in ((10, 60.0), (20, 110.0)):
        sound = {10: 25.0, 20: 50.0, 27: 67.5, slip: mm}
        knitter = mittens(*sound.items())
        found = length(knitter)
        assert abs(found.mm - 67.5) < 3, slip


def test_where_no_range_can_be_said_there_is_no_round_of_the_goal() -> None:
    """Two rough readings at hand's breadth: a round may be of any height."""
    knitter = no_gauge()
    for row, mm in ((1, 3.0), (2, 4.0)):
        knitter.to("leg", row)
        knitter.do("measure", mm=mm, step=25.4, rough=True, **{"from": "cuff"})  # type: ignore[arg-type]
    found = length(knitter)
    assert found.low is None
    assert found.goal_row is None
    assert found.whole == ()


def test_good_readings_count_however_many_follow() -> None:
    knitter = no_gauge()
    knitter.to("leg", 2)
    for _ in range(11):
        knitter.tick(3)
        knitter.do("measure", mm=(22 / 1.05 + knitter.place()[1]) * HEIGHT, step=0)
    assert [reading.counts for reading in length(knitter).readings] == [True] * 11


def test_a_first_slip_stands_against_none_of_many() -> None:
    knitter = no_gauge()
    knitter.to("leg", 2)
    knitter.do("measure", mm=250.0, step=0)
    for _ in range(19):
        knitter.tick(2)
        knitter.do("measure", mm=(22 / 1.05 + knitter.place()[1]) * HEIGHT, step=0)
    assert [reading.counts for reading in length(knitter).readings] == [False] + [True] * 19
