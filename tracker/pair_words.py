"""How the two socks are told against each other: in step, or what differs."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.glance import Differs, SockSight
from tracker.vocabulary import CLOSINGS, section, sock, unit

IN_STEP, NOT_IN_STEP = "in step", "not in step"


def signed(kind: str, rows: int, of_socks: bool = True) -> str:
    """Rows of sock two less those of sock one: "leg +0", "heel flap -2"."""
    return f"{section(kind, of_socks)} {rows:+d}"


def step(differs: Differs | None, of_socks: bool = True) -> str:
    """ "in step", or what differs first: "not in step: leg +2, and 1 more"."""
    return IN_STEP if differs is None else f"{NOT_IN_STEP}: {difference(differs, of_socks)}"


def step_brief(differs: Differs | None) -> str:
    """ "in step" or "not in step"."""
    return IN_STEP if differs is None else NOT_IN_STEP


def meant(many: int) -> str:
    """ "1 difference meant": what is meant for one sock alone, and so is no step lost."""
    return f"{many} difference{'' if many == 1 else 's'} meant"


def difference(differs: Differs, of_socks: bool = True) -> str:
    """ "leg +2"; "gusset: no decrease in round 9 on sock one only"; how many more there are."""
    from tracker import change_words

    more = f", and {differs.more} more" if differs.more else ""
    if differs.change is None or differs.on is None:
        meant = ", as meant" if differs.meant else ""
        return f"{signed(differs.section, differs.rows, of_socks)}{meant}{more}"
    what = change_words.in_section(differs.change, differs.worked)
    only = f"on {sock(differs.on, of_socks)} only"
    return f"{section(differs.section, of_socks)}: {what} {only}{more}"


def difference_brief(differs: Differs, of_socks: bool = True) -> str:
    """In few words, whose it is among them: "sock two's leg +2", "gusset differs"."""
    if differs.change is None:
        return f"{sock(2, of_socks)}'s {signed(differs.section, differs.rows, of_socks)}"
    return f"{section(differs.section, of_socks)} differs"


def behind(rounds: int, stitches: int, of_socks: bool = True) -> str:
    """How far sock two is behind, or sock one (below 0): "sock two 31 rounds behind", "both socks level"."""
    if not rounds and not stitches:
        return f"both{' socks' if of_socks else ''} level"
    who = sock(2 if (rounds, stitches) > (0, 0) else 1, of_socks)
    if not rounds:
        return f"{who} {abs(stitches)} stitches behind"
    return f"{who} {abs(rounds)} {unit('rounds', abs(rounds))} behind"


def lag(rounds: int, stitches: int, *, of_socks: bool = True, finished: bool = False) -> str:
    """How far the socks are apart, or "" where both are finished, or may not be two."""
    over = finished and not rounds and not stitches
    return "" if over or not of_socks else behind(rounds, stitches, of_socks)


def every(apart: Sequence[tuple[str, int]], of_socks: bool = True) -> str:
    """The rows of all sections that are finished on both: "cuff +0, leg -2"."""
    return ", ".join(signed(kind, rows, of_socks) for kind, rows in apart)


def where(here: SockSight, of_socks: bool) -> str:
    """Where a sock is: "leg, 34 of 46", "finished", "leg done, at rest"."""
    if here.waits:
        return f"{section(here.section, of_socks)} done, at rest"
    if here.finished:
        return "finished"
    if not here.begun:
        return "not begun"
    if here.section in CLOSINGS:
        return f"to be {CLOSINGS[here.section].done}"
    named = section(here.section, of_socks)
    if here.planned is None:
        return f"{named}, {here.done} done"
    if here.done > here.planned:
        return f"{named}, {here.done}, {here.done - here.planned} past"
    return f"{named}, {here.done} of {here.planned}"
