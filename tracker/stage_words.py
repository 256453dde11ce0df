"""How it is said that a pattern is used up before its piece is done: until when, what rests, what goes on."""

from __future__ import annotations

from tracker import hours
from tracker.glance import Glance, SockSight, UsedUpSight
from tracker.pattern.model import Waiting
from tracker.units import shorten
from tracker.vocabulary import and_all, capital, section, sock


def until(rests: UsedUpSight) -> str:
    """ "that is all until 12 March"; "stage 2 should be out since 12 March"; "that is all so far"."""
    if rests.opens is None:
        return "that is all of the pattern so far"
    when = hours.day(rests.opens, rests.today)
    if rests.opens > rests.today:
        return f"that is all until {when}"
    since = f"since {when}" if rests.opens < rests.today else f"today, {when}"
    return f"{_stage(rests)} should be out {since}"


def given_out(rests: UsedUpSight) -> str:
    """The same as her teacher is told: "stage 2 was given out on 12 March"."""
    if rests.opens is None or not rests.is_out:
        return until(rests)
    return f"{_stage(rests)} was given out on {hours.day(rests.opens, rests.today)}"


def until_brief(rests: UsedUpSight) -> str:
    """The same in 20 cells or a little more."""
    if rests.opens is None:
        return "that is all so far"
    when = hours.day(rests.opens, rests.today)
    if rests.opens == rests.today:
        return f"due today, {when}"
    return f"{'due since' if rests.opens < rests.today else 'all until'} {when}"


def _stage(rests: UsedUpSight) -> str:
    return f"stage {rests.number}" if rests.number else "the next stage"


def to_append(rests: UsedUpSight) -> str:
    """How the next stage is joined, in a sentence; one that should be out is asked for."""
    if rests.opens is None:
        return "Append the next stage: instep append FILE."
    if rests.opens > rests.today:
        return f"Then append {_stage(rests)}: instep append FILE."
    return f"Ask your teacher for it, and append it: instep append FILE{_for_when(rests)}."


def _for_when(rests: UsedUpSight) -> str:
    """By when a stage that should be out is to be knitted: "; it is for 19 March, 4 days from now"."""
    if rests.knit_by is None or rests.due_in is None:
        return ""
    when, days = hours.day(rests.knit_by, rests.today), hours.counted_days(abs(rests.due_in))
    if rests.due_in < 0:
        return f"; it was for {when}, {days} ago"
    return f"; it is for {when}, {f'{days} from now' if rests.due_in else 'today'}"


def _to_append_brief(rests: UsedUpSight) -> str:
    if rests.opens is None:
        return "Next stage: instep append FILE."
    return f"{'Then' if rests.opens > rests.today else 'Ask for it'}: instep append FILE."


def place(glance: Glance, rests: UsedUpSight) -> str:
    """Until when that is all, what both socks, or this one, rest with, and how the next stage is joined."""
    return f"{capital(until(rests))}. {capital(all_resting(glance, rests))}. {to_append(rests)}"


def all_resting(glance: Glance, rests: UsedUpSight) -> str:
    """What every sock rests with that is at the end: "both socks rest at 64 sts, 16/16/16/16"."""
    if not rests.other_held:
        return resting(glance, rests)
    if (rests.held, rests.waiting) == (rests.other_held, rests.other_waiting):
        both = "both socks" if glance.of_socks else "both"
        return f"{both} rest at {_with(rests.held, rests.waiting)}"
    there = sock(3 - glance.place.sock, glance.of_socks)
    with_it = _with(rests.other_held, rests.other_waiting)
    return f"{resting(glance, rests)}, {there} at {with_it}"


def resting(glance: Glance, rests: UsedUpSight) -> str:
    """ "sock one rests at 64 sts, 16/16/16/16"; what waits besides stands after it."""
    here = sock(glance.place.sock, glance.of_socks)
    return f"{here} rests at {_with(rests.held, rests.waiting)}"


def _with(held: tuple[Waiting, ...], waiting: tuple[Waiting, ...]) -> str:
    waits = [f"{wait.stitches} on {shorten(wait.name)}" for wait in waiting]
    besides = f"; besides {and_all(waits)}" if waits else ""
    return f"{_counts(held)}{besides}"


def counts(rests: UsedUpSight) -> str:
    """ "64 sts, 16/16/16/16"."""
    return _counts(rests.held)


def _counts(held: tuple[Waiting, ...]) -> str:
    stitches = [needle.stitches for needle in held]
    each = f", {'/'.join(map(str, stitches))}" if len(held) > 1 else ""
    return f"{sum(stitches)} sts{each}"


def card(glance: Glance, *, keys: bool = True) -> list[str]:
    """What stands where *next* stands, a line each."""
    rests = glance.used_up
    if rests is None:
        return []
    told = [f"{capital(until(rests))}.", f"{capital(all_resting(glance, rests))}."]
    told += filter(None, (_others(glance, rests, keys=keys), to_append(rests)))
    return [*told, f"Bring {shorten(rests.bring)}."] if rests.bring.strip() else told


def card_brief(glance: Glance) -> list[str]:
    """The same in few words, for a small screen."""
    rests = glance.used_up
    if rests is None:
        return []
    told = [f"{capital(until(rests))}.", *_rest_brief(glance, rests)]
    return [*told, *filter(None, (_others(glance, rests, keys=True), _to_append_brief(rests)))]


def _rest_brief(glance: Glance, rests: UsedUpSight) -> list[str]:
    """What rests, by its counts alone; a line each where both socks rest with others."""
    if not rests.other_held:
        return [f"{counts(rests)} rest."]
    if rests.held == rests.other_held:
        return [f"Both rest: {counts(rests)}."]
    here = glance.place.sock
    both = sorted([(here, rests.held), (3 - here, rests.other_held)])
    return [f"{capital(sock(number, glance.of_socks))}: {_counts(held)}." for number, held in both]


def _others(glance: Glance, rests: UsedUpSight, *, keys: bool) -> str:
    """What the other sock is to do, and how she goes there: "Sock two: cast on (tab)."."""
    if rests.both or (not glance.of_socks and not glance.socks[2 - glance.place.sock].begun):
        return ""
    other = glance.socks[2 - glance.place.sock]
    there = f" ({glance.keys['other'] if keys else 'instep other'})"
    how = there if glance.place.sock == glance.in_hand else ""
    return f"{capital(sock(other.sock, glance.of_socks))}: {_to_do(other, glance.of_socks)}{how}."


def _to_do(other: SockSight, of_socks: bool) -> str:
    if not other.begun:
        return "cast on"
    named = section(other.section, of_socks)
    return f"on with the {named}" if other.done else f"begin the {named}"


def sentence(glance: Glance, *, keys: bool) -> str:
    """All of it in a line, as a cue says it, without its full stop."""
    return " ".join(card(glance, keys=keys)).rstrip(".")
