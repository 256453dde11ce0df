"""The two socks against each other: who leads, who follows, the lag, and in step."""

from __future__ import annotations

import pytest

from tests.knitting.knitter import LEG, Knitter
from tracker.knitting import pair, step
from tracker.knitting.state import Number


def led(leg: int, other_at: int) -> Knitter:
    """Sock one ended its leg at `leg` while sock two was at round `other_at` of its own."""
    knitter = Knitter()
    knitter.to("leg", other_at, sock=2)
    knitter.to("leg", leg)
    knitter.do("end")
    return knitter


def counts(knitter: Knitter, sock: Number = 2) -> tuple[int, str, int | None]:
    """(planned, who says so, rows past the other sock's count)."""
    planned = pair.planned(knitter.course, knitter.state, sock)
    return *planned, pair.past_the_other(knitter.course, knitter.state, sock)


def test_the_plan_holds_until_a_sock_leads() -> None:
    knitter = Knitter()
    knitter.to("leg", 10, sock=2)
    assert counts(knitter) == (46, "goal", None)


def test_sock_two_follows_a_leg_of_forty_five() -> None:
    knitter = led(45, 44)
    assert counts(knitter) == (45, "other sock", None)
    assert knitter.look(2).rows_to_go == (1, 1, 1)
    knitter.tick(1, sock=2)
    assert knitter.place(2) == ("heel set-up", 0, 0)
    assert knitter.sock(2).ended == (22, 45)
    assert step.in_step(knitter.state)


def test_sock_one_follows_as_well() -> None:
    knitter = Knitter()
    knitter.to("leg", 47, sock=2)
    knitter.do("end", 2)
    knitter.to("leg", 46)
    assert counts(knitter, 1) == (47, "other sock", None)
    knitter.tick()
    assert knitter.place() == ("heel set-up", 0, 0)


@pytest.mark.parametrize("over", [0, 1, 5])
def test_a_sock_at_or_past_the_count_is_left_alone(over: int) -> None:
    """Nothing moves; a cue says by how many; she ends it herself."""
    knitter = led(45, 45 + over)
    assert knitter.place(2) == ("leg", 45 + over, 0)
    assert counts(knitter) == (45, "other sock", over)
    cue = knitter.look(2).cues[0]
    assert (cue.kind, cue.about, cue.data["over"], cue.data["count"]) == (
        "other-sock", "count", over, 45,
    )  # fmt: skip
    knitter.tick(3, sock=2)
    assert knitter.place(2) == ("leg", 48 + over, 0)
    assert counts(knitter)[2] == over + 3
    knitter.do("end", 2)
    assert not step.in_step(knitter.state)


def test_a_sock_past_the_count_can_end_where_the_other_did() -> None:
    knitter = led(45, 47)
    knitter.do("end", 2, at=45)
    assert knitter.place(2) == ("flap", 1, 0)
    assert step.in_step(knitter.state)


def test_a_correction_below_the_count_follows_again() -> None:
    knitter = led(45, 47)
    knitter.do("at", 2, round=44)
    assert counts(knitter) == (45, "other sock", None)
    knitter.tick(1, sock=2)
    assert knitter.place(2) == ("heel set-up", 0, 0)


def test_a_correction_to_the_count_ends_it() -> None:
    knitter = led(45, 30)
    knitter.do("at", 2, round=45)
    assert knitter.place(2) == ("heel set-up", 0, 0)


def test_an_automatic_end_is_not_revised_by_the_leader() -> None:
    """Sock two followed 45; then sock one goes back and ends at 48: now it is sock one that differs."""
    knitter = led(45, 44)
    knitter.tick(1, sock=2)
    knitter.do("at", 1, round=40, section="leg")
    assert knitter.sock(2).ended == (22, 45)
    assert counts(knitter, 1) == (45, "other sock", None)
    knitter.do("undo")
    assert knitter.sock(1).ended == (22, 45)


def test_a_sock_may_end_before_the_count_it_follows() -> None:
    knitter = led(45, 40)
    knitter.do("end", 2)
    assert knitter.sock(2).ended == (22, 40)
    assert not step.in_step(knitter.state)


def test_many_ticks_end_by_the_other_sock_on_the_way() -> None:
    """Ten ticks from leg round 40 with 45 to follow: five of leg, the set-up row, four of flap."""
    knitter = led(45, 40)
    knitter.tick(10, sock=2)
    assert knitter.place(2) == ("flap", 4, 0)


def test_the_foot_follows_too() -> None:
    knitter = Knitter()
    knitter.to("foot", 41)
    knitter.do("end")
    knitter.to("foot", sock=2)
    assert counts(knitter) == (41, "other sock", None)
    knitter.tick(41, sock=2)
    assert knitter.place(2) == ("toe", 0, 0)


def test_in_step_while_nothing_is_finished_on_both() -> None:
    knitter = Knitter()
    assert step.in_step(knitter.state)
    knitter.to("foot")
    assert step.in_step(knitter.state)


# Lag


def test_lag_of_a_finished_sock_and_a_leg() -> None:
    """10,416 stitches and leg round 20: 7,728 behind, 227 minutes at 34 a minute (common practice,
    no source).
    """
    knitter = Knitter()
    knitter.finish()
    knitter.to("leg", sock=2)
    # Twenty rounds of 64 stitches at 34 a minute: 112.94 s each.
    for _ in range(20):
        knitter.now += 112_941 - knitter.pause
        knitter.tick(1, sock=2)
    glance = knitter.look(2)
    assert glance.lag.stitches == 7_728
    assert glance.lag.minutes == 227
    assert glance.lag.rounds == 199 - 42
    assert knitter.look(1).lag == glance.lag


def test_lag_before_five_rounds_are_timed_is_at_twenty_five_a_minute() -> None:
    knitter = Knitter(pause=10)
    knitter.to("leg", 36)
    assert knitter.look().lag == (22 * 64 + 36 * 64, 58, 148)


def test_lag_is_below_nought_when_sock_one_is_behind() -> None:
    knitter = Knitter(pause=10)
    knitter.tick(10, sock=2)
    assert knitter.look().lag == (-640, -10, -26)


def test_rounds_leave_the_pick_up_out_and_stitches_do_not() -> None:
    knitter = Knitter()
    knitter.to("gusset")
    before = knitter.look().lag
    knitter.tick()
    after = knitter.look().lag
    assert after.rounds == before.rounds
    # 17 + 17 picked up, 32 of the instep and the second half of the heel's 18.
    assert after.stitches - before.stitches == 17 + 17 + 32 + 9


def test_needles_ticked_count_in_the_lag() -> None:
    knitter = Knitter()
    knitter.needle(2)
    assert (knitter.look().lag.stitches, knitter.look().lag.rounds) == (32, 0)


def test_a_leg_ended_by_a_goal_of_its_own_leads_nobody() -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("target", mm=180.0, text="18 cm", only=True)
    knitter.tick(30)
    knitter.do("end")
    knitter.to("leg", 49, sock=2)
    assert counts(knitter) == (46, "goal", None)
    knitter.tick(3, sock=2)
    assert knitter.place(2) == ("leg", 52, 0)


def test_a_goal_for_the_other_leg_leaves_what_the_first_was_knitted_to() -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("target", mm=180.0, text="18 cm", only=True)
    knitter.tick(30)
    knitter.do("end")
    knitter.do("target", 2, mm=150.0, text="15 cm", section="leg")
    assert dict(knitter.state.own_goals) == {(1, LEG): 180.0}
    knitter.to("leg", 30, sock=2)
    assert counts(knitter) == (46, "goal", None)


def test_a_goal_for_both_is_one_for_both_again() -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    knitter.do("target", mm=180.0, text="18 cm", only=True)
    knitter.do("target", mm=170.0, text="17 cm")
    knitter.tick(20)
    knitter.do("end")
    knitter.to("leg", 30, sock=2)
    assert counts(knitter) == (40, "other sock", None)
