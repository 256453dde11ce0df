"""What `--more` adds to the `left` object: the yarn, the time and the stage in hand, for scripts."""

from __future__ import annotations

from typing import Any

from tracker.forecast.ball import YarnSight
from tracker.forecast.finish import Due
from tracker.forecast.rescues import Rescue
from tracker.glance import Glance, TimeSight
from tracker.pattern.days import calendar_day
from tracker.reports import left_json
from tracker.yarn_words import way_out


def more_json(glance: Glance) -> dict[str, Any]:
    """The `left` object, and after it "yarn", "time" and "stage".

    Weights are grams, times minutes, days ISO 8601; null where nobody can say.
    """
    yarn, time = glance.yarn, glance.time
    balls = () if yarn is None else (yarn, *yarn.others)
    stage = None if time is None else time.stage
    return {
        **left_json(glance),
        "yarn": [_ball(ball, glance.place.done) for ball in balls],
        "time": None if time is None else _time(glance, time),
        "stage": None if time is None or stage is None else _stage(stage, time.today),
    }


def _ball(ball: YarnSight, done: int) -> dict[str, Any]:
    """All the yarn together, or the ball of one colour. A weighing that was passed by is due now."""
    say = not ball.vague and bool(ball.unfinished)
    return {
        "colour": ball.colour,
        "weighed": ball.weighed,
        "left_g": ball.left_g,
        "left_m": None if ball.metres is None else ball.left_g * ball.metres,
        "sock_g": ball.sock_g,
        "sock_sd_g": ball.sock_sd,
        "over_g": ball.over_g if say else None,
        "lacks_g": max(0.0, ball.lacks_g) if say else None,
        "chance": ball.chance if say else None,
        "verdict": ball.verdict if say else None,
        "weigh_at": None if ball.weigh_at is None else max(done, ball.weigh_at),
        "leg_ends_at": ball.ends_at,
        "ways_out": [_way(rescue, ball) for rescue in ball.rescues] if say else [],
    }


def _way(rescue: Rescue, ball: YarnSight) -> dict[str, Any]:
    return {
        "kind": rescue.kind,
        "text": way_out(rescue, ball),
        "saves_g": rescue.grams,
        "does": rescue.does,
        "rounds_each": rescue.rounds or None,
    }


def _time(glance: Glance, time: TimeSight) -> dict[str, Any]:
    first, last = time.days or (None, None)
    return {
        "stitches_a_minute": time.per_minute,
        "own_pace": time.known,
        "section": None if glance.rows_to_go[1] is None else glance.minutes_to_go,
        "sock": time.sock,
        "pair": time.all,
        "done_first": _day(time.today, first),
        "done_last": _day(time.today, last),
    }


def _stage(due: Due, today: int) -> dict[str, Any]:
    return {
        "number": due.number,
        "rounds": due.rounds,
        "minutes": due.minutes,
        "opens": _day(today, due.opens_in),
        "knit_by": _day(today, due.due_in),
        "rounds_a_day": due.a_day,
        "on_time": due.on_time,
    }


def _day(today: int, days_on: int | None) -> str | None:
    if days_on is None:
        return None
    year, month, day = calendar_day(today + days_on)
    return f"{year:04}-{month:02}-{day:02}"
