"""How time is said: what is left and until when, stages, the company of the other sock, the hands."""

from __future__ import annotations

from collections.abc import Iterator

from tracker.forecast.finish import Due
from tracker.glance import Glance, TimeSight
from tracker.knitting.cues import Cue
from tracker.pattern.days import said
from tracker.units import shorten, whole
from tracker.vocabulary import capital, counted, duration, sock, unit


def time_lines(glance: Glance) -> Iterator[str]:
    """What `instep left` says of time, a line each."""
    time = glance.time
    if time is None:
        return
    if left := finish_line(glance):
        yield left
    if time.stage is not None and (said := stage_line(time.stage, time.today)):
        yield said
    if (apart := company(time)) is not None:
        one, two = (sock(number, glance.of_socks) for number in (1, 2))
        yield f"{capital(two)} is {apart} where {one} was after as much knitting."
    if time.next_goal is not None:
        yield f"Good to have you back: {next_goal(time)}."


def finish_line(glance: Glance) -> str:
    """ "To the end of sock one 4 h 10, of both 9 h 20, at 31 stitches a minute: in 8 to 14 days"."""
    time = glance.time
    if time is None or not time.all:
        return ""
    one = sock(glance.place.sock, glance.of_socks) if glance.whole else SO_FAR
    parts = [f"to the end of {one} {duration(time.sock)}"] if time.sock else []
    if time.all != time.sock:
        other = sock(3 - glance.place.sock, glance.of_socks)
        if not glance.whole:
            other = f"{SO_FAR} on {other}"
        last = "both" if time.sock is None else other
        parts.append(f"{'of both' if parts else f'to the end of {last}'} {duration(time.all)}")
    return f"{', '.join(parts).capitalize()}, {_pace(time)}{_days(time)}."


SO_FAR = "the pattern so far"


def _pace(time: TimeSight) -> str:
    each = f"{whole(time.per_minute)} stitches a minute"
    return f"at {each}" if time.known else f"at a usual {each}"


def _days(time: TimeSight) -> str:
    if time.days is None:
        return ""
    low, high = time.days
    last = "today" if high == 0 else day(time.today + high, time.today)
    if low == high or low == 0:
        return f": {last}{' at the latest' if low != high else ''}, as you knit"
    return f": {low} to {high} days as you knit, {day(time.today + low, time.today)} to {last}"


def day(number: int, today: int | None = None) -> str:
    """A day (since 1970) as it is said: "12 March", with its year where that is not today's."""
    return said(number, today)


def stage_line(due: Due, today: int) -> str:
    """The stage in hand: when it comes, whether it will be done by its date, or what that takes."""
    named = f"Stage {due.number}"
    bring = f" Bring {shorten(due.bring)}." if due.bring else ""
    if due.opens_in is not None and due.opens_in > 0:
        return f"{named} is given out on {day(today + due.opens_in, today)}.{bring}"
    if due.due_in is None:
        return ""
    until = day(today + due.due_in, today)
    left = f"{counted(due.rounds, 'rounds')}, about {duration(due.minutes)}"
    if due.due_in < 0:
        return f"{named} was for {until}; {left} are left of it, whenever they suit you.{bring}"
    if due.on_time:
        return f"{named}, for {until}: on time, with {left} to go.{bring}"
    if due.due_in == 0:
        more = ", more than you knit in a day" if due.late else ""
        return f"{named}, for today: {left} to go{more}.{bring}"
    return f"{named}, for {until}: {left} to go, {due.a_day} a day.{bring}"


def company(time: TimeSight) -> str | None:
    """ "9 minutes ahead of", "3 minutes behind"; None where nothing can be said, or hardly anything."""
    if time.ahead is None or abs(time.ahead) < 1:
        return None
    minutes = duration(whole(abs(time.ahead)))
    return f"{minutes} ahead of" if time.ahead > 0 else f"{minutes} behind"


def half_way(glance: Glance) -> tuple[str, str]:
    """Half of a sock is made, by its stitches; on sock two with the company of sock one."""
    here = sock(glance.place.sock, glance.of_socks)
    apart = company(glance.time) if glance.time else None
    then = f"{apart} {sock(1, glance.of_socks)} after as much knitting" if apart else ""
    return f"half of the stitches of {here} are made", then


def next_goal(time: TimeSight) -> str:
    """ "3 rounds to the next pin, about 7 min"; "just the next row, about 1 min"."""
    assert time.next_goal is not None  # noqa: S101 - asked for only where there is one
    what, more, minutes, worked = time.next_goal
    goal = (
        f"{counted(more, worked)} to {shorten(what)}" if what else f"just the next {unit(worked)}"
    )
    return f"{goal}, about {duration(max(1, minutes))}"


def time_brief(glance: Glance) -> str:
    """In few words the stage in hand, else the days until all is done: "12 March: 6 rounds a day"."""
    time = glance.time
    if time is None:
        return ""
    due = time.stage
    if (
        due is not None
        and due.due_in is not None
        and due.due_in >= 0
        and not (due.opens_in or 0) > 0
    ):
        how = "on time" if due.on_time else f"{counted(due.a_day or 0, 'rounds')} a day"
        if due.due_in == 0:
            return f"today: {counted(due.rounds, 'rounds')}, {duration(due.minutes)}"
        return f"{day(time.today + due.due_in)}: {how}"
    if time.days is None:
        return ""
    low, high = time.days
    if high == 0:
        return "the end today"
    if low in (0, high):
        return f"{counted_days(high)} to the end{' at most' if low == 0 else ''}"
    return f"{low} to {high} days to the end"


def counted_days(days: int) -> str:
    """ "1 day", "12 days"."""
    return f"{days} day" if days == 1 else f"{days} days"


def stage_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    """A stage whose date is near, as a cue."""
    due: Due = cue.data["due"]
    return stage_line(due, int(cue.data["today"])).rstrip("."), ""


def first_round(glance: Glance, stitches: int) -> str:
    """What casting on the other sock begins with: "cast on 64, and the first round: about 3 min"."""
    pace = glance.time.per_minute if glance.time else 0.0
    about = f", about {duration(max(1, whole(stitches / pace)))}" if pace > 0 else ""
    return f"{stitches} stitches, just the first round{about}"


def rest_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    """A good moment to rest, and the usual caution."""
    minutes = cue.data["minutes"]
    return (
        f"{minutes} minutes at a stretch: a good moment to rest your hands",
        "stop when it hurts, and ask a clinician if pain or tingling stays or comes back",
    )
