"""When it will be done. The rules are common practice, no source; statistics against Python's own."""

from __future__ import annotations

import statistics
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.forecast.test_whole import course
from tests.knitting.knitter import SAMPLE, Knitter, sock_of_64
from tests.pattern.making import pattern
from tracker import hours, words
from tracker.forecast.finish import days_of, median
from tracker.forecast.pace import ENOUGH, Pace, minutes, unlikeness
from tracker.glance import Glance, Shown, TimeSight
from tracker.knitting.course import Course
from tracker.knitting.state import Timed
from tracker.knitting.worked import Worked, WorkedOn, day_of
from tracker.looking import look
from tracker.pattern.days import calendar_day

KNOWN = Pace((Timed(64, 120),) * 10)


def seen(knitter: Knitter, *, days: int = 0, rest: bool = True) -> Glance:
    """What she sees right after her last act, or so many days later."""
    now = knitter.now + days * 86_400_000
    shown = Shown("pair", "rounds", 9, days * 86_400_000, day_of(now, 60), rest)
    return look(knitter.course, knitter.state, shown)


def time_of(knitter: Knitter) -> TimeSight:
    time = seen(knitter).time
    assert time is not None
    return time


def test_a_sock_of_10_416_stitches_at_34_a_minute() -> None:
    """5 h 06 (common practice, no source)."""
    assert minutes(10_416, 34) == 306


def test_minutes_of_sock_and_pair() -> None:
    """At the cast-on: 10,416 stitches at 25, a tenth more, a quarter of an hour to graft."""
    time = seen(Knitter()).time
    assert time is not None
    assert (time.sock, time.all, time.known) == (473, 946, False)
    knitter = Knitter()
    knitter.finish()
    time = seen(knitter).time
    assert time is not None
    assert time.sock == 0
    assert time.all is not None
    assert time.all == pytest.approx(1.1 * minutes(10_416, time.per_minute) + 15, abs=1)
    knitter.finish(2)
    assert seen(knitter).time is None


@given(st.lists(st.floats(0.1, 1e4), min_size=1, max_size=20))
def test_the_middle_and_the_unlikeness(numbers: list[float]) -> None:
    assert median(numbers) == pytest.approx(statistics.median(numbers))
    expected = statistics.pstdev(numbers) / statistics.fmean(numbers)
    assert unlikeness(numbers) == pytest.approx(expected, abs=1e-9)


def on_days(*told: tuple[int, float], sittings: int = 9) -> Worked:
    return Worked(tuple(WorkedOn(day, minutes) for day, minutes in told), 0, 0, sittings)


def test_days_by_the_usual_day_and_how_many_there_are() -> None:
    """Every day half an hour: 600 minutes are 20 days; every second day, 40."""
    daily = on_days(*((day, 30.0) for day in range(100, 114)))
    low, high = days_of(600, KNOWN, daily, 113) or (0, 0)
    assert low < 20 < high < 26, "however alike the days were"
    second = on_days(*((day, 30.0) for day in range(100, 114, 2)))
    low, high = days_of(600, KNOWN, second, 113) or (0, 0)
    assert low < 40 < high
    unlike = on_days(*((day, 10.0 + 40 * (day % 2)) for day in range(100, 114)))
    wide = days_of(600, KNOWN, unlike, 113) or (0, 0)
    assert wide[0] < 20 < wide[1]


@pytest.mark.parametrize(
    ("worked", "pace", "today"),
    [
        (on_days((100, 30.0)), KNOWN, 100),  # one day tells nothing
        (on_days((100, 30.0), (101, 30.0), sittings=1), KNOWN, 101),  # nor one sitting
        (on_days((100, 30.0), (101, 30.0)), KNOWN, 120),  # nor what is longer ago than a fortnight
        (on_days((100, 30.0), (101, 30.0)), Pace(), 101),  # nor a pace that is not hers
    ],
)
def test_where_no_date_can_be_said(worked: Worked, pace: Pace, today: int) -> None:
    assert days_of(600, pace, worked, today) is None


@given(
    st.integers(1, 100_000),
    st.lists(
        st.tuples(st.integers(100, 113), st.floats(0.01, 600)),
        max_size=14,
        unique_by=lambda d: d[0],
    ),
    st.integers(90, 400),
)
def test_any_days_give_a_range_or_none(
    minutes: int, told: list[tuple[int, float]], today: int
) -> None:
    found = days_of(minutes, KNOWN, on_days(*sorted(told)), today)
    assert found is None or 0 <= found[0] <= found[1]


@pytest.mark.parametrize(
    ("often", "least"), [(1 / 7, 0.6), (1 / 3, 0.68), (1 / 2, 0.7), (0.9, 0.75)]
)
@pytest.mark.parametrize("evenings", [3, 8, 20])
def test_the_last_evening_falls_within_the_range(often: float, least: float, evenings: int) -> None:
    """Evenings of an hour, drawn at random: of ten ranges about eight hold, of seldom ones fewer, for a
    fortnight tells little of them. Python's own generator draws.
    """
    draw, held, told = Random(4), 0, 0  # noqa: S311
    while told < 400:
        days = [day for day in range(300) if draw.random() < often]
        if len(days) < 15 + evenings:
            continue
        today = days[14]
        found = days_of(60 * evenings, KNOWN, on_days(*((day, 60.0) for day in days[1:15])), today)
        if found is None:
            continue
        told += 1
        held += found[0] <= days[14 + evenings] - today <= found[1]
    assert least <= held / told <= 0.99


def test_one_day_a_week_is_no_more_often_because_the_fortnight_began_with_it() -> None:
    """Ten Thursdays to come are seventy days, whether it is said on a Thursday or on a Wednesday."""
    thursdays = on_days(*((100 + 7 * week, 60.0) for week in range(14)))
    last = 100 + 7 * 13
    for today in (last, last + 6):
        low, high = days_of(600, KNOWN, thursdays, today) or (0, 0)
        assert low < 63 < high


def test_a_day_that_has_its_minutes_is_over() -> None:
    """With 24 minutes to go: today, where today was not knitted on yet; else with what is left of it."""
    week = [(day, 30.0) for day in range(100, 113)]
    assert days_of(10, KNOWN, on_days(*week), 113) == (0, 0)
    assert days_of(10, KNOWN, on_days(*week, (113, 15.0)), 113) == (0, 0)
    assert (days_of(24, KNOWN, on_days(*week, (113, 30.0)), 113) or (0, 0))[1] >= 1


def test_a_date_and_the_date_of_a_stage_agree(tmp_path: Path) -> None:
    """Whatever is on time by its stage is done by then as she knits; the graft has its minutes."""
    knitter = knitted(5, 12, staged(tmp_path))
    time = seen(knitter).time
    assert time is not None
    assert time.stage is not None
    assert time.stage.on_time
    whole = knitted(1, 4, course(tmp_path, GRAFTS))
    whole.finish()
    whole.do("undo")
    time = seen(whole).time
    assert time is not None
    assert time.stage is not None
    assert (time.stage.rounds, time.stage.minutes) == (1, 15)


GRAFTS = (
    SAMPLE.read_text(encoding="utf-8")
    + """
[[stage]]
number = 1
sections = ["cuff", "leg", "heel", "gusset", "foot", "toe", "graft"]
knit_by = 2026-03-12
"""
)


def knitted(evenings: int, rounds: int = 10, course: Any = None) -> Knitter:
    """So many evenings of so many rounds, two minutes each."""
    knitter = Knitter(course)
    for evening in range(evenings):
        knitter.now += 86_400_000 if evening else 0
        for _ in range(rounds):
            knitter.tick()
    return knitter


def test_the_line_of_time() -> None:
    knitter = knitted(4)
    assert hours.finish_line(seen(knitter)).startswith("To the end of sock one 4 h ")
    told = hours.finish_line(seen(knitter))
    assert "at 32 stitches a minute: " in told
    assert " days as you knit, " in told
    low, high = time_of(knitter).days or (0, 0)
    assert low < high
    assert hours.day(day_of(knitter.now, 60) + low) in told
    early = hours.finish_line(seen(knitted(1, ENOUGH - 1)))
    assert early.endswith("at a usual 25 stitches a minute.")
    assert "days" not in hours.finish_line(seen(knitter, days=20))


STAGES = """
[[stage]]
number = 1
sections = ["cuff", "leg"]
knit_by = {first}
bring = "a tape\\u001b[31m"

[[stage]]
number = 2
sections = ["heel set-up", "flap", "turn"]
opens = 2026-03-12
knit_by = 2026-03-19
both_socks = true
"""


def staged(folder: Path, first: str = "2026-03-12") -> Any:
    return course(folder, SAMPLE.read_text(encoding="utf-8") + STAGES.replace("{first}", first))


def stage(knitter: Knitter, **how: Any) -> str:
    time = seen(knitter, **how).time
    assert time is not None
    assert time.stage is not None
    return hours.stage_line(time.stage, time.today)


def test_a_stage_on_time_or_what_it_takes(tmp_path: Path) -> None:
    """The first evening is the first of March; 68 rounds of cuff and leg by the twelfth."""
    knitter = knitted(1, 4, staged(tmp_path))
    assert stage(knitter).startswith("Stage 1, for 12 March: 64 rounds, about ")
    assert "to go, 6 a day. Bring a tape?[31m." in stage(knitter)
    knitter = knitted(5, 12, staged(tmp_path))
    assert stage(knitter).startswith("Stage 1, for 12 March: on time, with 8 rounds")
    assert stage(knitter, days=30).startswith("Stage 1 was for 12 March; 8 rounds")
    assert "whenever they suit you" in stage(knitter, days=30)


def test_on_its_last_day_a_stage_says_what_is_left_today(tmp_path: Path) -> None:
    few = knitted(5, 12, staged(tmp_path, _day_of(5, 12, tmp_path)))
    assert stage(few).startswith("Stage 1, for today: 8 rounds, about ")
    assert " a day" not in stage(few)
    assert "more than" not in stage(few)
    many = knitted(3, 5, staged(tmp_path, _day_of(3, 5, tmp_path)))
    assert stage(many).endswith("to go, more than you knit in a day. Bring a tape?[31m.")
    assert hours.time_brief(seen(many)).startswith("today: 53 rounds, ")


def _day_of(days: int, rounds: int, folder: Path) -> str:
    until = calendar_day(day_of(knitted(days, rounds, staged(folder)).now, 60))
    return f"{until.year}-{until.month:02}-{until.day:02}"


def test_both_worked_together_take_the_time_of_both() -> None:
    """42 rounds of both in two and a half minutes each: 26 more take 65, a tenth more by the rule."""
    knitter = Knitter(sock_of_64("two circulars"), pause=150_000)
    knitter.do("order", order="together")
    for _ in range(42):
        knitter.tick(1)
    glance = seen(knitter)
    rounds = glance.rows_to_go[1]
    assert glance.minutes_to_go == pytest.approx(rounds * 2.5 * 1.1, abs=1)  # type: ignore[operator]
    time = glance.time
    assert time is not None
    assert time.sock is None, "neither ends before the other"
    assert hours.finish_line(glance).startswith("To the end of both ")
    knitter.needle()
    assert seen(knitter).minutes_to_go == pytest.approx(glance.minutes_to_go, abs=2)
    knitter.do("undo")
    knitter.do("order", order="one, then the other")
    assert seen(knitter).minutes_to_go == pytest.approx(glance.minutes_to_go / 2, abs=1)


def test_the_next_stage_waits_until_it_is_given_out(tmp_path: Path) -> None:
    knitter = Knitter(staged(tmp_path))
    knitter.to("heel set-up")
    assert stage(knitter) == "Stage 2 is given out on 12 March."
    later = stage(knitter, days=12)
    assert later.startswith("Stage 2, for 19 March: 162 rounds"), "47 here, 115 on sock two"
    knitter.to("gusset")
    assert "115 rounds" in stage(knitter, days=12)
    knitter.to("gusset", sock=2)
    assert time_of(knitter).stage is None


def test_a_stage_is_a_cue_in_its_last_days(tmp_path: Path) -> None:
    def kinds(knitter: Knitter) -> list[str]:
        return [cue.kind for cue in seen(knitter).cues]

    assert "stage" not in kinds(knitted(1, 4, staged(tmp_path)))
    near = knitted(1, 4, staged(tmp_path, "2026-03-03"))
    cue = next(cue for cue in seen(near).cues if cue.kind == "stage")
    assert words.cue_line(cue, seen(near)).startswith("Stage 1, for 3 March: 64 rounds")


def at_a_stretch(minutes: int) -> Knitter:
    knitter = Knitter()
    for _ in range(minutes // 2 + 1):
        knitter.tick()
    return knitter


@pytest.mark.parametrize(
    ("minutes", "says"),
    [(24, False), (26, True), (28, True), (30, False), (88, False), (90, True), (96, False)],
)
def test_a_good_moment_to_rest(minutes: int, says: bool) -> None:
    knitter = at_a_stretch(minutes)
    if knitter.place()[0] != "cuff":
        assert knitter.state.worked.minutes == minutes
    told = [cue for cue in seen(knitter).cues if cue.kind == "rest"]
    assert bool(told) == says
    for cue in told:
        line = words.cue_line(cue, seen(knitter))
        assert "a good moment to rest your hands" in line
        assert "ask a clinician" in line
    assert not [cue for cue in seen(knitter, rest=False).cues if cue.kind == "rest"]
    assert not [cue for cue in seen(knitter, days=1).cues if cue.kind == "rest"]


def test_sock_two_in_the_company_of_sock_one() -> None:
    """Sock one took two minutes a round, sock two one and a half, and 3.5 to its first: 11 rounds in
    18.5 minutes, where sock one had half of 44.56.
    """
    knitter = Knitter()
    for _ in range(30):
        knitter.tick(sock=1)
    knitter.do("other")
    knitter.pause = 90_000
    for _ in range(11):
        knitter.tick()
    time = seen(knitter).time
    assert time is not None
    assert time.ahead == pytest.approx(22.28 - 18.5, abs=0.01)
    assert hours.company(time) == "4 min ahead of"
    knitter.do("at", round=20)
    assert time_of(knitter).ahead is None, "nobody ticked those"


def test_the_next_small_goal_takes_under_ten_minutes() -> None:
    knitter = Knitter()
    knitter.to("leg", 27)
    time = seen(knitter, days=3).time
    assert time is not None
    assert time.next_goal is not None
    assert time.next_goal[:2] == ("the next pin", 3)
    assert time.next_goal[2] <= 10
    assert "Good to have you back: 3 rounds to the next pin" in "\n".join(
        hours.time_lines(seen(knitter, days=3))
    )
    assert "Good to have" not in "\n".join(hours.time_lines(seen(knitter)))


def test_a_section_worked_in_rounds_is_counted_in_rounds_whatever_it_is_called() -> None:
    lace = by_hand("arrow lace", "rounds", "k")
    lace.tick(3)
    assert "3 rounds to the end of the arrow lace" in hours.next_goal(time_of_one_back(lace))
    flat = by_hand("border", "rows", "RS: k")
    flat.tick(3)
    assert "3 rows to the end of the border" in hours.next_goal(time_of_one_back(flat))


def test_a_single_row_is_a_row_and_not_one_to_its_own_end() -> None:
    knitter = Knitter()
    knitter.to("flap", 3)
    assert hours.next_goal(time_of_one_back(knitter)) == "just the next row, about 1 min"
    knitter.to("turn", 13)
    assert hours.next_goal(time_of_one_back(knitter)) == "1 row to the end of the turn, about 1 min"


def test_the_numbers_are_warm_right_after_the_graft_alone() -> None:
    knitter = Knitter()
    knitter.finish()
    assert "while the numbers are warm" in told_at_the_end(knitter)
    assert "warm" not in told_at_the_end(knitter, days=3)
    knitter.do("note", text="blocked to 24 cm")
    assert told_at_the_end(knitter).startswith(
        "Cast on sock two: 64 stitches, just the first round"
    )


def told_at_the_end(knitter: Knitter, days: int = 0) -> str:
    glance = seen(knitter, days=days)
    (cue,) = (cue for cue in glance.cues if cue.about == "cast-on")
    return words.cue_line(cue, glance)


def by_hand(name: str, worked: str, row: str) -> Knitter:
    """Six rows or rounds of one section."""
    rows = [row, row.replace("RS", "WS")] * 3
    return Knitter(Course(pattern({"name": name, "worked": worked, "needles": [20], "rows": rows})))


def time_of_one_back(knitter: Knitter) -> TimeSight:
    """After three days away."""
    time = seen(knitter, days=3).time
    assert time is not None
    return time


def test_time_in_few_words_for_the_screen(tmp_path: Path) -> None:
    assert hours.time_brief(seen(Knitter())) == ""
    assert hours.time_brief(seen(knitted(4))).endswith(" days to the end")
    assert hours.time_brief(seen(knitted(1, 4, staged(tmp_path)))) == "12 March: 6 rounds a day"
    assert hours.time_brief(seen(knitted(5, 12, staged(tmp_path)))) == "12 March: on time"
    glance = seen(knitted(5, 12, staged(tmp_path)))
    assert words.facts(glance)[-1][1].endswith("; 12 March: on time")
