"""When she knitted: minutes by her days, sittings, stretches; common practice, no source."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import EVENING, Knitter
from tracker.knitting.worked import DAYS_KEPT, Worked, WorkedOn, day_of

MINUTE, HOUR, DAY = 60_000, 3_600_000, 86_400_000


def at(*times: int) -> Worked:
    """Ticks at so many milliseconds, each a minute of knitting."""
    worked = Worked()
    for moment in times:
        worked = worked.add(moment, 0, 60.0)
    return worked


def test_a_day_begins_at_her_own_midnight() -> None:
    """At 23:30 UTC it is 0:30 of the next day an hour east of it."""
    late = DAY - 30 * MINUTE
    assert (day_of(late, 0), day_of(late, 60), day_of(0, -60)) == (0, 1, -1)
    assert Worked().add(late, 60, 60).days == (WorkedOn(1, 1.0),)


def test_sittings_and_stretches() -> None:
    assert at(DAY, DAY + 5 * MINUTE, DAY + 12 * MINUTE).minutes == 12
    rested = at(DAY, DAY + 5 * MINUTE, DAY + 16 * MINUTE)
    assert (rested.minutes, rested.sittings) == (0, 1)
    assert at(DAY, DAY + 2 * HOUR, DAY + 5 * HOUR).sittings == 3
    assert at(DAY, 2 * DAY, 17 * DAY).sittings == 1, "after a long pause she begins anew"


def test_only_the_last_days_are_kept() -> None:
    worked = at(*(day * DAY for day in range(1, 40)))
    assert [day for day, _ in worked.days] == list(range(40 - DAYS_KEPT, 40))


@given(st.lists(st.tuples(st.integers(0, 10**13), st.integers(-840, 840), st.floats(0, 600))))
def test_any_clock_is_taken(ticks: list[tuple[int, int, float]]) -> None:
    worked, seconds = Worked(), 0.0
    for moment, offset, took in ticks:
        worked = worked.add(moment, offset, took)
        seconds += took
    assert len(worked.days) <= DAYS_KEPT
    assert worked.minutes >= 0
    assert list(worked.days) == sorted(worked.days)
    assert sum(minutes for _, minutes in worked.days) <= seconds / 60 + 1e-6


def test_a_clock_put_back_adds_no_minutes_and_loses_no_tick() -> None:
    knitter = Knitter()
    knitter.tick()
    knitter.tick()
    before = knitter.state.worked.days
    knitter.now = EVENING - 30 * DAY
    knitter.tick()
    assert knitter.place()[1] == 3
    assert knitter.state.worked.days == before
    knitter.tick()
    assert knitter.state.worked.days[-1].minutes == before[-1].minutes + 2


def test_a_clock_put_back_loses_no_sittings() -> None:
    """By a second, or by a month: how she knits is known as it was."""
    for back in (1000, 30 * DAY):
        worked = at(50 * DAY, 51 * DAY, 52 * DAY)
        assert worked.sittings == 3
        assert worked.add(52 * DAY - back, 0, 60.0).sittings == 3
    assert Worked().add(DAY, 0, 60.0).sittings == 1


def test_an_undone_tick_leaves_no_minutes() -> None:
    knitter = Knitter()
    knitter.tick()
    before = knitter.state.worked
    knitter.tick()
    assert knitter.state.worked != before
    knitter.do("undo")
    assert knitter.state.worked == before


def test_catching_up_adds_no_minutes_to_a_day() -> None:
    knitter = Knitter(pause=1000)
    knitter.tick(3)
    knitter.tick(3)
    assert knitter.state.worked.days == ()


def test_the_minutes_of_a_sock_and_of_its_sections() -> None:
    """Rounds of two minutes; the first is guessed by its stitches, 64 at 25 a minute."""
    knitter = Knitter()
    for _ in range(24):
        knitter.tick()
    sock = knitter.sock()
    assert sock.minutes is not None
    assert round(sock.minutes - 64 / 25, 6) == 46
    assert [round((minutes or 0) - 64 / 25, 6) for minutes in sock.minutes_at] == [42]
    knitter.do("rip", by=10)
    assert knitter.sock().minutes == sock.minutes, "minutes do not come back"
    assert knitter.sock().minutes_at == ()
    knitter.do("at", round=20)
    assert knitter.sock().minutes is None, "nobody ticked those rounds"
