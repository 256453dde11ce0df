"""Yarn as it is told in a plan, and what a pair will take of it before anything is weighed.

All weights are grams, thread lengths metres; the use of yarn is grams to a stitch.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import erf, hypot, sqrt
from typing import Literal

from tracker.pattern.model import Gauge, Pattern
from tracker.pattern.scores import AT_95
from tracker.records import NamedTuple
from tracker.units import shorten, whole

PRIOR = 0.10
"""How far the use of a yarn may be from what its gauge says (coefficient of variation)."""
GRIST_PRIOR = 0.15
"""The same of a yarn's metres to a gram, where they are not told but follow from the gauge."""
SOCK_YARN = (30.0, 4.125)
"""Stitches to 100 mm and metres to a gram of the usual sock yarn: 400 to 425 m to 100 g."""
FABRIC = 0.02
"""How far one sock's fabric takes more or less than the fabric that was weighed."""
TAILS_G = 0.75
"""Grams of each sock that hang as its tails and are cut off."""
COLOURS_TOLD = 8
"""Colours whose grams are told in a line."""
LEAST_LEFT = 0.05
"""A chance of running out that nobody need think of."""

Verdict = Literal["enough", "tight", "not enough"]


class Use(NamedTuple):
    """Grams to a stitch: mean and standard deviation."""

    mean: float
    sd: float


VAGUE = Use(0.005, 0.003)
"""Where not even the gauge is known: anything from fine wool to thick."""


class Need(NamedTuple):
    """Grams that pieces of knitting will take: mean and standard deviation."""

    grams: float
    sd: float

    def chance(self, grams: float) -> float:
        """The probability that so many grams are enough."""
        if self.sd <= 0:
            return float(grams >= self.grams)
        return normal((grams - self.grams) / self.sd)


def loop_mm(gauge: Gauge) -> float:
    """Millimetres of yarn in a stitch: the mean of 4.2 times its width and 5.4 times its height.

    Common practice, no source.
    """
    return (420 / gauge.stitches + 540 / gauge.rows) / 2


def metres_to_a_gram(pattern: Pattern) -> float | None:
    """The grist of the yarn: as told, or as yarns of its gauge have it; None where neither is known.

    A thread twice as thick is four times as heavy, and makes half as many stitches.
    """
    if told := _grist(pattern):
        return told
    if pattern.gauge is None:
        return None
    stitches, metres = SOCK_YARN
    return metres * (pattern.gauge.stitches / stitches) ** 2


def expected(pattern: Pattern, metres: float | None = None) -> Use:
    """What a stitch takes by gauge and yarn, before anything is weighed.

    `metres` are those of a gram, where they are known otherwise than by the plan.
    """
    grist = metres or metres_to_a_gram(pattern)
    if pattern.gauge is None or grist is None:
        return VAGUE
    if metres or _grist(pattern):
        return thread(pattern, grist)
    grams = loop_mm(pattern.gauge) / 1000 / grist
    return Use(grams, grams * hypot(PRIOR, GRIST_PRIOR))


def thread(pattern: Pattern, metres: float) -> Use:
    """What a stitch takes of a yarn with so many metres to a gram; only the loop is in doubt."""
    if pattern.gauge is None:
        return VAGUE
    grams = loop_mm(pattern.gauge) / 1000 / metres
    return Use(grams, grams * PRIOR)


def need(use: Use, pieces: Sequence[int], tails: int = 0) -> Need:
    """Grams for pieces of so many stitches, and for the tails of so many socks.

    What a stitch takes is the same doubt for all of them; each fabric may differ for itself.
    """
    grams = use.mean * sum(pieces) + TAILS_G * tails
    fabrics = (FABRIC * use.mean * stitches for stitches in pieces)
    return Need(grams, hypot(use.sd * sum(pieces), *fabrics))


def verdict(chance: float) -> Verdict:
    """A chance in one word: enough above 95 %, not enough below 50 % (common practice, no source)."""
    if chance > 1 - LEAST_LEFT:
        return "enough"
    return "tight" if chance >= 0.5 else "not enough"


def normal(score: float) -> float:
    """The standard normal distribution at a score."""
    return (1 + erf(score / sqrt(2))) / 2


def planned_note(pattern: Pattern, shares: Mapping[str, int]) -> str | None:
    """What a pair takes of the yarn told in the plan, and whether that is enough; None if none is.

    `shares` are the stitches of a sock by colour, most first; with several colours each is told.
    """
    told, gauge = pattern.yarn, pattern.gauge
    if gauge is None or told is None or (told.grams is None and told.metres is None):
        return None
    sock, use = pattern.numbers.stitches_per_sock, expected(pattern)
    if told.grams is None:
        # The thread itself is counted: a gram of it is a metre.
        metres = loop_mm(gauge) / 1000
        return _planned(Use(metres, metres * PRIOR), sock, told.metres or 0, "m", "by its gauge")
    known = told.metres is not None
    how = "by its gauge and its metres" if known else "by its gauge alone: tell its metres, too"
    return _planned(use, sock, told.grams, "g", how) + _by_colour(use, shares)


def _by_colour(use: Use, shares: Mapping[str, int]) -> str:
    if len(shares) < 2:
        return ""
    told = [f"{shorten(name)} {whole(2 * n * use.mean)} g" for name, n in shares.items()]
    more = ["..."] if len(told) > COLOURS_TOLD else []
    return f" Of it {', '.join([*told[:COLOURS_TOLD], *more])}."


def _planned(use: Use, sock: int, has: float, unit: str, how: str) -> str:
    pair = need(use, (sock, sock))
    with_tails = need(use, (sock, sock), tails=2)
    if unit == "m":
        metres_of_tails = 2 * TAILS_G * SOCK_YARN[1]
        with_tails = Need(pair.grams + metres_of_tails, pair.sd)
    low, high = pair.grams - AT_95 * pair.sd, pair.grams + AT_95 * pair.sd
    takes = (
        f"A pair takes about {whole(pair.grams)} {unit} of this yarn"
        f" ({whole(max(0.0, low))} to {whole(high)}), {how}"
    )
    chance = with_tails.chance(has)
    if verdict(chance) == "enough":
        return f"{takes}; {has:g} {unit} are enough."
    if verdict(chance) == "tight":
        return f"{takes}; {has:g} {unit} are tight, {percent(chance)} sure: weigh it as you go."
    short = max(1, whole(with_tails.grams - has))
    likely = f"not enough by about {short} {unit}, tails with it"
    return f"{takes}; {has:g} {unit} are {likely}: plan a shorter leg, or toes in another yarn."


def percent(chance: float) -> str:
    """A chance as a whole per cent that never claims to be certain: "83 %"."""
    return f"{min(99, max(1, whole(chance * 100)))} %"


def _grist(pattern: Pattern) -> float | None:
    told = pattern.yarn
    if told is None or told.grams is None or told.metres is None:
        return None
    return told.metres / told.grams
