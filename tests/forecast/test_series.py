"""What can be drawn: length against rounds, minutes a round, tension; the numbers are the forecast's."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import FOOT, LEG, SAMPLE, Knitter, sock_of_64
from tracker.forecast.left import learned_rows, length_of
from tracker.forecast.series import Growth, growth, measured, paces, sittings, tensions
from tracker.forecast.tape import Length
from tracker.knitting.course import Course
from tracker.knitting.worked import SITTINGS_KEPT
from tracker.storage.pattern_file import open_file


def at_leg(row: int = 34, *readings: tuple[int, float]) -> Knitter:
    knitter = Knitter()
    for at, mm in readings:
        knitter.to("leg", at)
        knitter.do("measure", mm=mm, step=0)
    if knitter.place()[1] < row:
        knitter.to("leg", row)
    return knitter


def grown(knitter: Knitter, number: int = 1) -> Growth:
    found = growth(knitter.course, knitter.state, 1 if number == 1 else 2)
    assert found is not None
    return found


def test_it_is_what_the_tape_says_now_and_at_the_end() -> None:
    knitter = at_leg(34, (20, 96.0), (34, 130.0))
    found, length = grown(knitter), length_of(knitter.course, knitter.state, 1)
    assert isinstance(length, Length)
    assert length.high is not None
    assert (found.section, found.done, found.end) == ("leg", 34, 34 + length.high)
    now = found.at(34)
    assert now.mm == pytest.approx(length.mm)
    assert now.high - now.mm == pytest.approx(1.6448536 * length.sd_mm, rel=1e-6)
    assert found.goal == length.target_mm == pytest.approx(160)
    assert length.likely is not None
    assert length.ends is not None
    likely = found.at(34 + length.likely)
    assert (likely.low, likely.high) == pytest.approx(length.ends)
    assert [(one.row, one.mm, one.counts) for one in found.readings] == [
        (20, 96, True),
        (34, 130, True),
    ]


def test_it_grows_from_row_0_to_its_end_within_its_band() -> None:
    found = grown(at_leg(34, (20, 96.0)))
    assert [point.row for point in found.points] == list(range(found.end + 1))
    for before, after in zip(found.points, found.points[1:], strict=False):
        assert before.mm < after.mm
    assert all(point.low < point.mm < point.high for point in found.points)


def test_the_band_is_narrowest_where_it_was_measured() -> None:
    found = grown(at_leg(20, (20, 96.0)))
    width = {point.row: point.high - point.low for point in found.points}
    assert width[20] < width[40] < width[found.end]


def test_a_reading_that_does_not_count_is_there_and_says_so() -> None:
    knitter = at_leg(34, (20, 96.0))
    knitter.do("measure", mm=180.0, step=0)
    assert [one.counts for one in grown(knitter).readings] == [True, False]


def test_a_reading_from_another_mark_is_moved_to_the_goal_s() -> None:
    knitter = at_leg(20)
    from_cuff: dict[str, Any] = {"from": "cuff"}
    knitter.do("measure", mm=47.0, step=0, **from_cuff)
    found = grown(knitter)
    (reading,) = found.readings
    assert found.mark == "cast-on"
    assert reading.mm == pytest.approx(found.at(20).mm, abs=3)


def test_before_any_reading_there_is_nothing_to_draw() -> None:
    knitter = at_leg(20)
    assert growth(knitter.course, knitter.state, 1) is None
    assert tensions(knitter.course, knitter.state) == ()


def test_at_the_heel_it_is_the_leg_that_was_measured() -> None:
    knitter = at_leg(46, (20, 96.0))
    knitter.do("end")
    knitter.tick(10)
    found = grown(knitter)
    assert (found.section, found.done, found.end) == ("leg", 46, 46)
    assert measured(knitter.course, knitter.state, 1) == LEG


def test_a_foot_s_goal_leaves_out_the_toe() -> None:
    knitter = at_leg(46, (20, 96.0))
    knitter.do("end")
    knitter.to("foot", 10)
    found, length = grown(knitter), length_of(knitter.course, knitter.state, 1)
    assert isinstance(length, Length)
    assert found.goal == pytest.approx(length.target_mm)
    assert found.mark == "heel"
    assert measured(knitter.course, knitter.state, 1) == FOOT


def test_sock_two_is_told_by_the_other_ones_tape() -> None:
    knitter = at_leg(46, (20, 96.0))
    knitter.do("end")
    knitter.do("other")
    knitter.to("leg", 10, sock=2)
    found = grown(knitter, 2)
    assert found.taught
    assert found.readings == ()
    assert found.end == 46
    assert not grown(knitter, 1).taught


def test_a_long_section_is_reckoned_at_few_rows() -> None:
    knitter = at_leg(34, (20, 96.0))
    knitter.do("target", mm=1500.0, text="150 cm")
    found = grown(knitter)
    assert found.end > 400
    assert len(found.points) <= 202
    assert found.points[-1].row == found.end


def test_without_a_gauge_two_readings_must_agree_first() -> None:
    pattern = sock_of_64().pattern._replace(gauge=None)
    knitter = Knitter(Course(pattern))
    knitter.to("leg", 12)
    knitter.do("measure", mm=80.0, step=0)
    assert growth(knitter.course, knitter.state, 1) is None
    knitter.to("leg", 30)
    knitter.do("measure", mm=121.0, step=0)
    assert growth(knitter.course, knitter.state, 1) is not None


def test_the_pace_of_a_section_is_its_minutes_over_its_rows() -> None:
    """Rounds are ticked every two minutes; the first of all is not timed."""
    knitter = Knitter(pause=120_000)
    for _ in range(22):
        knitter.tick()
    knitter.pause = 180_000
    for _ in range(10):
        knitter.tick()
    found = paces(knitter.course, knitter.state)
    assert [(one.section, one.worked) for one in found] == [("cuff", "rounds"), ("leg", "rounds")]
    cuff, leg = (one.minutes for one in found)
    assert cuff[0] == pytest.approx(2, abs=0.2)
    assert leg[0] == pytest.approx(3)
    assert cuff[1] is leg[1] is None


def test_what_nobody_timed_has_no_pace() -> None:
    knitter = Knitter()
    knitter.do("at", round=20)
    knitter.tick(2)
    assert paces(knitter.course, knitter.state) == ()
    assert paces(Knitter().course, Knitter().state) == ()


def test_both_socks_stand_beside_each_other() -> None:
    knitter = Knitter()
    for _ in range(22):
        knitter.tick()
    knitter.do("other")
    for _ in range(5):
        knitter.tick()
    (cuff,) = paces(knitter.course, knitter.state)
    assert all(minutes is not None for minutes in cuff.minutes)


SECOND = 1_000
PAUSES = st.sampled_from([1, 15, 60, 150, 599, 601, 3_600, 3_601, 90_000, 20 * 86_400])


@given(st.lists(st.tuples(PAUSES, st.integers(1, 3)), min_size=1, max_size=40))
def test_the_pace_of_a_sitting_is_its_stitches_over_its_minutes(
    ticks: list[tuple[int, int]],
) -> None:
    """Reckoned from the clock alone: rounds of 64 stitches, of which a pause or catching up tells nothing."""
    knitter = Knitter()
    told: list[tuple[int, float, int]] = []
    for number, (pause, rounds) in enumerate(ticks):
        knitter.pause = pause * SECOND
        if knitter.place()[0] != "cuff" and knitter.place()[1] + rounds > 40:
            break
        knitter.tick(rounds)
        if not number or pause > 3_600:
            told.append(((knitter.now + 3_600 * SECOND) // (86_400 * SECOND), 0.0, 0))
        if number and 0.3 * 64 * rounds <= pause <= 600 * rounds:
            day, minutes, stitches = told[-1]
            told[-1] = day, minutes + pause / 60, stitches + 64 * rounds
    found = sittings(knitter.state)
    wanted = [sitting for sitting in told[-SITTINGS_KEPT:] if sitting[1] >= 1]
    assert [(one.day, round(one.minutes, 6)) for one in found] == [
        (day, round(minutes, 6)) for day, minutes, _ in wanted
    ]
    for one, (_, minutes, stitches) in zip(found, wanted, strict=True):
        assert one.per_minute == pytest.approx(stitches / minutes)


def test_a_sitting_goes_on_past_midnight_and_on_the_other_sock() -> None:
    """Of two minutes a round of 64 stitches; it began on the day before."""
    knitter = Knitter(pause=120_000)
    knitter.now = 86_400_000 * 20_000 + 22 * 3_600_000 + 50 * 60_000  # 23:50 by her clock
    for _ in range(11):
        knitter.tick()
    knitter.do("other")
    knitter.tick()
    (one,) = sittings(knitter.state)
    assert (one.day, one.minutes) == (20_000, 24.0)
    assert one.per_minute == pytest.approx(11 * 64 / 24, abs=0.01)
    knitter.now += 3_600_000
    knitter.tick(2)
    assert len(sittings(knitter.state)) == 1, "of its one tick nobody knows how long it took"
    knitter.tick()
    assert [round(one.per_minute) for one in sittings(knitter.state)][1:] == [32]


def test_what_is_taken_back_leaves_the_sittings_as_they_were() -> None:
    knitter = Knitter()
    knitter.tick()
    knitter.tick()
    before = sittings(knitter.state)
    knitter.now += 7_200_000
    knitter.tick(2)
    knitter.tick(2)
    assert len(sittings(knitter.state)) == 2
    knitter.do("undo")
    knitter.do("undo")
    assert sittings(knitter.state) == before


def test_the_tension_is_that_of_the_readings() -> None:
    knitter = at_leg(34, (20, 96.0), (34, 130.0))
    (leg,) = tensions(knitter.course, knitter.state)
    learned = learned_rows(knitter.course, knitter.state, 1)
    assert learned is not None
    assert (leg.fabric, leg.sock) == ("leg", 1)
    assert leg.rows == pytest.approx(learned[0])
    assert leg.low < leg.rows < leg.high
    assert leg.gauge == pytest.approx(42)


def test_a_sock_that_was_measured_tighter_is_tighter() -> None:
    knitter = at_leg(46, (24, 112.0), (46, 168.0))
    knitter.do("end")
    knitter.do("other")
    knitter.to("leg", 24, sock=2)
    knitter.do("measure", mm=104.0, step=0)
    one, two = tensions(knitter.course, knitter.state)
    assert (one.sock, two.sock) == (1, 2)
    assert two.rows > one.rows


@pytest.mark.parametrize("sample", ["low-tide", "harbour-pilot", "quay-steps-two"])
def test_every_sample_can_be_drawn_at_any_row(sample: str) -> None:
    knitter = Knitter(Course(open_file(str(SAMPLE.with_name(f"{sample}.toml"))).pattern))
    while not knitter.sock().finished:
        here, sock = knitter.course.sections[knitter.sock().section], knitter.sock()
        if here.goal is not None and knitter.course.number(sock.section, sock.rows) >= here.planned:
            length = length_of(knitter.course, knitter.state, 1)
            if isinstance(length, Length):
                knitter.do("measure", mm=length.mm, step=0)
            knitter.do("end")
        else:
            knitter.tick()
        growth(knitter.course, knitter.state, 1)
    found = grown(knitter)
    assert found.section == "foot"
    assert {one.section for one in paces(knitter.course, knitter.state)} >= {"leg", "foot", "toe"}
