"""The ways out where the yarn of a pair is not enough, in the order in which a knitter thinks of them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from math import ceil
from typing import Literal, NamedTuple

from tracker.forecast.coming import BOTH, Coming
from tracker.forecast.yarn import rounds_shorter
from tracker.pattern.yarn import Use

RescueKind = Literal["toes", "heels", "stripes", "legs", "cuffs", "ball"]

_PARTS: tuple[tuple[RescueKind, tuple[str, ...]], ...] = (
    ("toes", ("toe",)),
    ("heels", ("heel set-up", "flap", "turn")),
)
"""What may be worked in another yarn, and the kinds of section it is."""


class Rescue(NamedTuple):
    """A way out: the grams it saves, and whether it does alone.

    `rounds` and `socks` are those of shorter legs, else 0: so many rounds off each of the legs.
    `likely` are the rounds that are as likely enough as not; `rounds` are safe where it does. Legs of so
    many rounds end by themselves: only a new plan makes them shorter, with legs of `planned` rounds (0:
    they are open), to be begun at `here`, a number of rows and the section, once anything is cast on.
    `stripes` of the `of` still to come are those of one colour that would be knitted in another.
    """

    kind: RescueKind
    grams: float
    does: bool
    rounds: int = 0
    socks: int = 0
    likely: int = 0
    planned: int = 0
    here: tuple[int, str] | None = None
    stripes: int = 0
    of: int = 0


def rescues(
    coming: Coming, use: Use, colour: str | None, short: float, likely: float
) -> Iterator[Rescue]:
    """What saves `short` grams of a colour, or of all the yarn.

    `likely` are the grams that are as likely enough as not.
    """
    begun = any(coming.state.sock(number).begun for number in BOTH)
    parts = _PARTS if coming.course.pattern.of_socks else ()
    yield from (_part(coming, use, colour, short, *part) for part in parts)
    yield from filter(None, [_stripes(coming, use, colour, short)])
    yield from filter(None, [_legs(coming, use, colour, short, likely)])
    if coming.course.pattern.of_socks and not begun:
        yield _part(coming, use, colour, short, "cuffs", ("cuff",))
    yield Rescue("ball", short, does=True)


def _part(
    coming: Coming,
    use: Use,
    colour: str | None,
    short: float,
    kind: RescueKind,
    sections: tuple[str, ...],
) -> Rescue:
    """Another yarn for a part of both socks, as far as that is not begun."""
    saved = use.mean * sum(coming.not_begun(sections, number, colour) for number in BOTH)
    return Rescue(kind, saved, saved >= short)


def _stripes(coming: Coming, use: Use, colour: str | None, short: float) -> Rescue | None:
    """So many stripes of a colour in another one, of those that neither sock has come to."""
    if colour is None or not coming.course.pattern.colours.period:
        return None
    counted = [coming.stripes(number, colour) for number in coming.unfinished]
    found, stitches = (sum(column) for column in zip(*counted, strict=True)) if counted else (0, 0)
    if not stitches:
        return None
    each = use.mean * stitches / found
    fewer = max(1, ceil(short / each - 1e-9))
    if fewer > found:
        return None
    return Rescue("stripes", fewer * each, does=True, stripes=fewer, of=found)


def _legs(
    coming: Coming, use: Use, colour: str | None, short: float, likely: float
) -> Rescue | None:
    """Every leg that is still open, made shorter by the same number of rounds."""
    legs, index = coming.legs(), coming.leg
    if index is None or not legs:
        return None
    room = min(coming.rows(n)[index] - max(1, coming.done(n, index)) for n in legs)
    safe, least = (_rounds(coming, use, colour, wanted, room) for wanted in (short, likely))
    rounds = safe if safe <= room else least
    if not 0 < rounds <= room:
        return None
    saved = _saved(coming, use, colour, rounds)
    shorter = Rescue("legs", saved, rounds == safe, rounds, len(legs), least)
    return shorter if coming.course.sections[index].goal else _by_a_new_plan(coming, shorter)


def _by_a_new_plan(coming: Coming, shorter: Rescue) -> Rescue | None:
    """As legs of counted rounds become shorter; not where one of the socks is past it."""
    if shorter.socks < len(coming.socks) or coming.leg is None:
        return None
    sock = coming.state.sock(coming.number)
    there = coming.course.sections[sock.section]
    here = (coming.course.number(sock.section, sock.rows), there.called) if sock.begun else None
    planned = coming.course.sections[coming.leg].planned - shorter.rounds
    return shorter._replace(planned=planned, here=here)


def _rounds(coming: Coming, use: Use, colour: str | None, grams: float, room: int) -> int:
    """Rounds off each leg that save so many grams; more than there is room for where none do."""
    if colour is None:
        assert coming.leg is not None  # noqa: S101 - asked for only where there are legs
        around = coming.course.sections[coming.leg].rows[-1].worked
        return rounds_shorter(grams, use, around, len(coming.legs())) if around > 0 else room + 1
    if grams <= 0:
        return 0
    tried = range(max(0, room) + 1)
    return bisect_left(tried, True, key=lambda off: _saved(coming, use, colour, off) >= grams)


def _saved(coming: Coming, use: Use, colour: str | None, rounds: int) -> float:
    """Grams of a colour that legs so many rounds shorter save; the stripes of the foot move with them."""
    legs = coming.legs()
    kept = sum(coming.to_come(n, colour, -rounds) for n in legs)
    return use.mean * (sum(coming.to_come(n, colour) for n in legs) - kept)
