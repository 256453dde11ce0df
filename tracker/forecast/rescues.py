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
    `likely` are the rounds that are as likely enough as not; `rounds` are safe where it does. `counted`
    is the last round of legs that are so many rounds and end by themselves (0: they are open), and
    `begun` whether anything is cast on. `stripes` of the `of` still to come are those of one colour that
    would be knitted in another.
    """

    kind: RescueKind
    grams: float
    does: bool
    rounds: int = 0
    socks: int = 0
    likely: int = 0
    counted: int = 0
    begun: bool = True
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
    yield from filter(None, [_legs(coming, use, colour, (short, likely), begun)])
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
    coming: Coming, use: Use, colour: str | None, grams: tuple[float, float], begun: bool
) -> Rescue | None:
    """Every leg that is still open, made shorter by the same number of rounds."""
    legs, index = coming.legs(), coming.leg
    if index is None or not legs:
        return None
    section = coming.course.sections[index]
    counted = section.planned if section.goal is None else 0
    # A leg of counted rounds is left by correcting its count, and that must not shift the stripes.
    period = coming.course.pattern.colours.period if counted and begun else 0
    room = min(coming.rows(n)[index] - max(1, coming.done(n, index)) for n in legs)
    safe, least = (
        _in_steps(_rounds(coming, use, colour, wanted, room), period or 1) for wanted in grams
    )
    rounds = safe if safe <= room else least
    if not 0 < rounds <= room:
        return None
    saved = _saved(coming, use, colour, rounds)
    return Rescue("legs", saved, rounds == safe, rounds, len(legs), least, counted, begun)


def _in_steps(rounds: int, step: int) -> int:
    return ceil(rounds / step) * step


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
