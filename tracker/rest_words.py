"""How a sock at rest is said: what its stitches hang on, and how they stood, so that they go back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tracker.glance import Glance, NeedleSight
from tracker.knitting.events import LONGEST_NOTE
from tracker.knitting.rest_rules import THE_NEEDLES
from tracker.pattern.model import AT_SIDE, INSTEP
from tracker.units import shorten
from tracker.vocabulary import CLOSINGS, and_all, capital, inside_needle, sock, unit

COVER = "Cover the points of the needles."


def resting(glance: Glance, text: str) -> str:
    """Where a sock's stitches are while it rests, and how they go back; in two sentences."""
    who = sock(glance.place.sock, glance.of_socks)
    return " ".join(
        filter(None, (f"{who} rests on {shorten(text, LONGEST_NOTE)}.", _back(glance, text)))
    )


def _back(glance: Glance, text: str) -> str:
    """How the stitches stood: "Put back 16/16/16/16, the tail between needles 4 and 1."; nothing of none."""
    if not glance.needles:
        return ""
    return (
        f"{'They hold' if text == THE_NEEDLES else 'Put back'} {_stood(glance)}{_inside(glance)}."
    )


def _stood(glance: Glance) -> str:
    if glance.place.kind in CLOSINGS:
        return f"{_counts(glance.needles)}, to be {CLOSINGS[glance.place.kind].done}"
    if glance.place.worked == "rows":
        return f"{_flat(glance)}{_waits((wait.name, wait.stitches) for wait in glance.resting)}"
    if _before_pick_up(glance):
        first, *middle, last = glance.needles
        heel = first.stitches + last.stitches
        return f"{heel} on the heel needle{_waits((n.name, n.stitches) for n in middle)}"
    around = f"{_around(glance)}{_begins(glance)}"
    return f"{around}{_waits((wait.name, wait.stitches) for wait in glance.resting)}"


def _flat(glance: Glance) -> str:
    """A row worked flat: the heel needle, or what it is called."""
    if len(glance.needles) > 1:
        return _counts(glance.needles)
    (needle,) = glance.needles
    if needle.name == "heel":
        return f"{needle.stitches} on the heel needle"
    at_side = glance.needle_set in AT_SIDE
    return f"{needle.stitches} on {shorten(needle.name) if at_side else 'the needle'}"


def _before_pick_up(glance: Glance) -> bool:
    """Before the pick-up of a set of needles the heel is on one of them still."""
    pick_up = glance.next is not None and glance.next.word == "PICK" and glance.next.number == 0
    return pick_up and len(glance.needles) > 2 and not glance.needles[0].finished


def _waits(waiting: Iterable[tuple[str, int]]) -> str:
    """ "; 32 wait on N2 and N3 (16/16)", or nothing."""
    told = tuple(waiting)
    if not told:
        return ""
    if [name for name, _ in told] == [INSTEP]:
        return f"; the instep's {told[0][1]} wait on the same needle"
    counts = "/".join(str(many) for _, many in told)
    each = f" ({counts})" if len(told) > 1 else ""
    total = sum(many for _, many in told)
    return f"; {total} {'wait' if total > 1 else 'waits'} on {and_all(shorten(n) for n, _ in told)}{each}"


def _around(glance: Glance) -> str:
    """The stitches of a round, and what they lie on where that is no set of short needles."""
    counts = "/".join(str(many) for _, many in glance.on_each)
    if len(glance.needles) == 1:
        return f"{counts} on the needle"
    on = _ON.get(glance.needle_set)
    return f"{counts} on {on}" if on else counts


_ON = {
    "two circulars": "the circulars A and B",
    "long circular": "the halves A and B of the long circular",
}


def _begins(glance: Glance) -> str:
    """Where the round begins, and what marks it there: the tail, further on a pin."""
    mark = "the marker"
    if glance.of_socks:
        tail = glance.place.kind in ("cuff", "leg") and not glance.toe_up
        mark = "the tail" if tail else "the pin"
    if len(glance.needles) == 1:
        return ", the marker where the round begins"
    if glance.needle_set in AT_SIDE and not glance.at_side:
        return f", {mark} in the middle of B"
    if glance.needle_set in AT_SIDE and not glance.split:
        return f", {mark} where {glance.needles[0].name} begins"
    if glance.split:
        first, last = glance.needles[0], glance.needles[-1]
        name = shorten(first.name[:-1].rstrip())
        return f", {mark} {inside_needle(name, last.stitches, first.stitches)}"
    return f", {mark} between {_between(glance.needles[-1], glance.needles[0])}"


def _inside(glance: Glance) -> str:
    """Inside a round: what is worked of it, the needle that is next, and where the yarn hangs."""
    worked = [needle for needle in glance.needles if needle.finished]
    if not worked or glance.next is None:
        return ""
    coming = glance.needles[len(worked)]
    numbered = all(_numbered(needle) for needle in glance.needles)
    called = _bare if numbered else _named  # "1" beside "N4b" would be two ways to name a needle
    names = and_all(called(needle) for needle in worked)
    which = f"{'needle ' if len(worked) == 1 else 'needles '}{names}" if numbered else names
    row = (
        f"{unit(glance.place.worked)} {glance.next.number}" if glance.next.number else "this round"
    )
    are = "is" if len(worked) == 1 else "are"
    hangs = f"the yarn hangs between {_between(worked[-1], coming)}"
    return f"; in {row} {which} {are} worked and {called(coming)} is next, {hangs}"


def _between(one: NeedleSight, another: NeedleSight) -> str:
    """ "needles 4 and 1"; "A and B" where they have no numbers."""
    if _numbered(one) and _numbered(another):
        return f"needles {_bare(one)} and {_bare(another)}"
    return f"{_named(one)} and {_named(another)}"


def _named(needle: NeedleSight) -> str:
    return shorten(needle.name)


def _numbered(needle: NeedleSight) -> bool:
    return needle.name[:1] == "N" and needle.name[1:].isdigit()


def _bare(needle: NeedleSight) -> str:
    return needle.name[1:] if _numbered(needle) else shorten(needle.name)


def _counts(needles: Sequence[NeedleSight]) -> str:
    return "/".join(str(needle.stitches) for needle in needles)


def rests_now(glance: Glance) -> str:
    """The same of a sock that rests, as a beginning of what is said of it; nothing where it does not."""
    return "" if glance.rests_on is None else f"{capital(resting(glance, glance.rests_on))} "
