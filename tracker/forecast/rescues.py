"""The ways out where the yarn of a pair is not enough, in the order in which a knitter thinks of them."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Literal

from tracker.forecast.coming import Coming
from tracker.forecast.legs import LIKELY, SAFE, Legs
from tracker.forecast.yarn import Ball
from tracker.knitting.state import BOTH, Number
from tracker.pattern.model import HEEL_FLAT, LATE_HEEL
from tracker.pattern.yarn import Use
from tracker.records import NamedTuple

RescueKind = Literal["toes", "heels", "stripes", "legs", "cuffs", "ball"]

_PARTS: tuple[tuple[RescueKind, tuple[str, ...]], ...] = (
    ("toes", ("toe",)),
    ("heels", (*sorted(HEEL_FLAT), LATE_HEEL)),
)
"""What may be worked in another yarn, and the kinds of section it is."""


class Rescue(NamedTuple):
    """A way out: the grams it saves, and whether it does alone.

    `rounds` and `socks` are those of shorter legs, else 0: so many rounds off each of the legs.
    `likely` are the rounds, or stripes, that are as likely enough as not (0: those are planned, and it is
    to be safe); `rounds` are safe where it does, else an even chance is the most there is. Legs of so
    many rounds end by themselves: only a new plan makes them shorter, with legs of `planned` rounds (0:
    they are open), to be begun at `here`, a number of rows and the section, once anything is cast on.
    `stripes` of the `of` still to come are those of one colour that would be knitted in another. `alone`
    is the sock that alone has such a part still to come: with another yarn there the pair will differ.
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
    alone: Number | None = None


def rescues(
    coming: Coming, ball: Ball, colour: str | None, short: float, likely: float = 0.0
) -> Iterator[Rescue]:
    """What saves the grams that a ball of a colour, or of all the yarn, is `short` of safe.

    `likely` are those it is short of as likely enough as not. Both are of the legs as they will be.
    """
    use, begun = ball.use, any(coming.state.sock(number).begun for number in BOTH)
    parts = _PARTS if coming.course.pattern.of_socks else ()
    yield from (_part(coming, use, colour, short, *part) for part in parts)
    yield from filter(
        None, [_stripes(coming, use, colour, short, likely), _legs(coming, ball, colour)]
    )
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
    """Another yarn for a part of both socks, or for that of the one that has not begun it."""
    stitches = [coming.not_begun(sections, number, colour) for number in BOTH]
    ahead = [number for number, there in zip(BOTH, stitches, strict=True) if there]
    saved, alone = use.mean * sum(stitches), ahead[0] if len(ahead) == 1 else None
    return Rescue(kind, saved, saved >= short, alone=alone)


def _stripes(
    coming: Coming, use: Use, colour: str | None, short: float, likely: float
) -> Rescue | None:
    """So many stripes of a colour in another one, of those that neither sock has come to."""
    if colour is None or not coming.course.pattern.colours.period:
        return None
    counted = [coming.stripes(number, colour) for number in coming.unfinished]
    found, stitches = (sum(column) for column in zip(*counted, strict=True)) if counted else (0, 0)
    if not stitches:
        return None
    each = use.mean * stitches / found
    fewer, least = (max(0, ceil(grams / each - 1e-9)) for grams in (short, likely))
    if fewer > found:
        return None
    return Rescue("stripes", fewer * each, does=True, likely=least, stripes=fewer, of=found)


def _legs(coming: Coming, ball: Ball, colour: str | None) -> Rescue | None:
    """Every leg that is still open, made shorter: to where the yarn is safe, as `as_far` has it."""
    index, open_legs = coming.leg, coming.legs()
    if index is None or not open_legs:
        return None
    legs = Legs(coming, apart=any((n, index) in coming.state.own_goals for n in open_legs))
    likely = legs.shorter(lambda rounds: legs.lacks(colour, ball, rounds, LIKELY) <= 0)
    if likely is None:
        return None
    safe = legs.shorter(lambda rounds: legs.lacks(colour, ball, rounds, SAFE) <= 0, likely)
    ends = likely if safe is None else safe
    if ends == legs.now:
        return None
    saved = legs.lacks(colour, ball, legs.now, LIKELY) - legs.lacks(colour, ball, ends, LIKELY)
    rounds, least = legs.now - ends, legs.now - likely
    shorter = Rescue("legs", saved, safe is not None, rounds, len(open_legs), least)
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
