"""How it is said that a pattern is used up before its piece is done: until when, what rests, what goes on."""

from __future__ import annotations

from tracker import hours
from tracker.glance import Glance, SockSight, UsedUpSight
from tracker.units import shorten
from tracker.vocabulary import and_all, capital, section, sock


def until(rests: UsedUpSight) -> str:
    """ "that is all until 12 March"; "stage 2 was given out on 12 March"; "that is all so far"."""
    if rests.opens is None:
        return "that is all of the pattern so far"
    when = hours.day(rests.opens, rests.today)
    if rests.is_out:
        named = f"stage {rests.number}" if rests.number else "the next stage"
        return f"{named} was given out on {when}"
    return f"that is all until {when}"


def until_brief(rests: UsedUpSight) -> str:
    """The same in 20 cells or a little more."""
    if rests.opens is None:
        return "that is all so far"
    when = hours.day(rests.opens, rests.today)
    return f"{'given out' if rests.is_out else 'all until'} {when}"


def place(glance: Glance, rests: UsedUpSight) -> str:
    """Until when that is all, and what is on the needles; where both socks rest, the first alone."""
    if rests.both:
        return f"{capital(until(rests))}."
    return f"{capital(until(rests))}. {capital(resting(glance, rests))}."


def resting(glance: Glance, rests: UsedUpSight) -> str:
    """ "sock one rests at 64 sts, 16/16/16/16"; what waits besides stands after it."""
    waits = [f"{wait.stitches} on {shorten(wait.name)}" for wait in rests.waiting]
    besides = f"; besides {and_all(waits)}" if waits else ""
    return f"{sock(glance.place.sock, glance.of_socks)} rests at {counts(rests)}{besides}"


def counts(rests: UsedUpSight) -> str:
    """ "64 sts, 16/16/16/16"."""
    each = f", {rests.counts}" if len(rests.held) > 1 else ""
    return f"{rests.stitches} sts{each}"


def card(glance: Glance, *, keys: bool = True) -> list[str]:
    """What stands where *next* stands, a line each; where both socks rest, only until when."""
    rests = glance.used_up
    if rests is None:
        return []
    told = [f"{capital(until(rests))}."]
    told += [] if rests.both else [f"{capital(resting(glance, rests))}."]
    told += filter(None, (_others(glance, rests, keys=keys),))
    if rests.opens is None or rests.is_out:
        told.append(f"{_JOIN}.")
    return [*told, f"Bring {shorten(rests.bring)}."] if rests.bring.strip() else told


_JOIN = "instep append FILE joins the next stage"


def to_join(rests: UsedUpSight) -> str:
    """How a stage that was given out is joined, and by when it is to be knitted; "" before it is."""
    if not rests.is_out:
        return ""
    if rests.knit_by is None or rests.due_in is None:
        return f"{_JOIN}."
    when = hours.day(rests.knit_by, rests.today)
    if rests.due_in < 0:
        return f"{_JOIN}; it was for {when}, {hours.counted_days(-rests.due_in)} ago."
    left = f"{hours.counted_days(rests.due_in)} from now" if rests.due_in else "today"
    return f"{_JOIN}; it is for {when}, {left}."


def card_brief(glance: Glance) -> list[str]:
    """The same in few words, for a small screen."""
    rests = glance.used_up
    if rests is None:
        return []
    told = [f"{capital(until(rests))}."]
    told += [] if rests.both else [f"{counts(rests)} rest."]
    return [*told, *filter(None, (_others(glance, rests, keys=True),))]


def _others(glance: Glance, rests: UsedUpSight, *, keys: bool) -> str:
    """What the other sock is to do, and how she goes there: "Sock two: cast on (tab)."."""
    if rests.both or (not glance.of_socks and not glance.socks[2 - glance.place.sock].begun):
        return ""
    other = glance.socks[2 - glance.place.sock]
    there = f" ({'tab' if keys else 'instep other'})"
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
