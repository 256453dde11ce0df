"""The words that sentences and cards share: what a sock, a section, a length or a while is called."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from tracker.glance import Glance, NeedleSight, Place
from tracker.pattern.model import (
    BIND_OFF,
    CLOSED_BY,
    FIRST_HALF,
    HALF_SOLE,
    HEEL_PLACE,
    ONE_NEEDLE,
    ROUND,
    SECOND_HALF,
)
from tracker.pattern.turned_sides import Sides
from tracker.records import NamedTuple
from tracker.units import MM_PER, Unit, shorten, whole, write_length

_SECTIONS = {"flap": "heel flap", "turn": "heel turn"}
FROM = {
    "cast-on": "from the cast-on edge", "cuff": "from the cuff", "heel": "from the heel",
    "section": "from its beginning",
}  # fmt: skip
"""Where the tape is laid from."""


def cast_on_how(glance: Glance) -> str:
    """How a sock is cast on, in a word or a few."""
    if glance.in_a_ring:
        return "in a ring"
    return "closed" if glance.toe_up else "loosely"


def with_the_foot(glance: Glance) -> str:
    """What follows a foot and is of its goal: "the toe", "gusset and heel"; "" where nothing is."""
    if not glance.toe_up:
        return "the toe"
    return {"gusset": "gusset and heel", HEEL_PLACE: ""}.get(glance.follows, "the heel")


def laid_from(mark: str, kind: str = "", *, toe_up: bool) -> str:
    """The same in a section of that kind: a foot without a heel yet begins at the waste yarn.

    From the toe up the cast-on lies at its tip.
    """
    if (mark, kind) == ("section", "foot"):
        return "from the waste yarn"
    return "from the tip of the toe" if toe_up and mark == "cast-on" else FROM[mark]


def sock(number: int, of_socks: bool = True) -> str:
    """ "sock one" or "sock two"; of what is no sock "the first" or "the second"."""
    if not of_socks:
        return "the first" if number == 1 else "the second"
    return "sock one" if number == 1 else "sock two"


def for_the_foot(foot: str, *, turned: bool) -> str:
    """Where the edges of a toe for one foot lie: the inner one where the instep begins, or `turned`."""
    begins, ends = ("little", "big") if turned else ("big", "little")
    edges = f"the {begins} toe lies where the instep begins, the {ends} toe where it ends"
    return f"For the {foot} foot: {edges}."


def for_both_feet(one: str, two: str) -> tuple[str, str]:
    """The same of both socks, worked together: `one` is sock one's foot and `two` is sock two's."""
    return (
        f"Sock one, {one} foot: the big toe lies where the instep begins.",
        f"Sock two, {two} foot: the big toe lies where it ends.",
    )


def at_the_side(needles: Sequence[str]) -> str:
    """How double-pointed needles follow once their rounds begin at the side."""
    instep = needles[: len(needles) // 2]
    return (
        f"The round begins at the side now: the instep on {and_all(instep)}, then the sole; the needle just "
        f"knitted is {needles[-1]}."
    )


def section(kind: str, of_socks: bool = True) -> str:
    """What a knitter calls a section; a flap that is no heel's is called a flap."""
    return shorten(_SECTIONS.get(kind, kind) if of_socks else kind)


def called(here: Place, of_socks: bool = True) -> str:
    """What she calls the section she is in: one that is no usual part of a sock by its name."""
    return shorten(here.section) if here.kind == "other" else section(here.kind, of_socks)


def unit(worked: str, count: int = 1) -> str:
    """ "round" or "row", as many as there are."""
    word = "row" if worked == "rows" else "round"
    return word if count == 1 else f"{word}s"


def counted(count: int, worked: str) -> str:
    """ "1 round", "3 rows"."""
    return f"{count} {unit(worked, count)}"


def stitches(count: int) -> str:
    """ "1 stitch", "3 stitches"."""
    return f"{count} stitch{'' if count == 1 else 'es'}"


def inside_needle(name: str, before: int, behind: int) -> str:
    """Where in a needle the marker lies, `before` and `behind` which so many of its stitches lie."""
    if before < behind:
        return f"{stitches(before)} into {name}"
    return f"{stitches(behind)} before the end of {name}"


def ordinal(number: int) -> str:
    """ "1st", "2nd", "3rd", "4th", "11th"."""
    teen = 10 < number % 100 < 20
    return f"{number}{'th' if teen else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


def in_colour(name: str, position: int, of: int) -> str:
    """ "navy, 5th of 9 rounds", or "navy" outside stripes."""
    clean = shorten(name)
    return f"{clean}, {ordinal(position)} of {counted(of, 'rounds')}" if of else clean


def duration(minutes: int) -> str:
    """ "25 min", "9 h 08"."""
    return f"{minutes} min" if minutes < 100 else f"{minutes // 60} h {minutes % 60:02}"


def about(mm: float, measure: Unit) -> str:
    """A length that need not be exact, in whole cm or inches."""
    if measure == "mm":
        return f"{whole(mm / 10) * 10} mm"
    return f"{whole(mm / MM_PER[measure])} {measure}"


def doubt(mm: float, measure: Unit) -> str:
    """ ", give or take 0.3"; nothing where that would be 0."""
    number = write_length(mm, measure, with_unit=False)
    return "" if number == "0" else f", give or take {number}"


def spaced(counts: Iterable[int]) -> str:
    """ "16 / 16 / 16 / 16"."""
    return " / ".join(str(count) for count in counts)


_BESIDE = {"wrapped": "wrapped", "double": "double", "waiting": "outside the double stitches"}


def beside_it(sides: Sides) -> str:
    """What lies beside the worked stitches of a heel: "7 and 6 wrapped", "6 wrapped on each side"."""
    more, fewer = sorted((sides.ended, sides.began), reverse=True)
    what = _BESIDE[sides.what]
    if not more:
        return f"none {what}"
    if more == fewer:
        return f"{more} {what} on each side"
    return f"{more} and {fewer} {what}"


def beside_it_brief(sides: Sides) -> str:
    """The same in few words: "7 and 6 wrapped", "4 and 4 outside"."""
    more, fewer = sorted((sides.ended, sides.began), reverse=True)
    return f"{more} and {fewer} {_BESIDE[sides.what].partition(' ')[0]}"


def beside_it_briefly(sides: Sides) -> str:
    """The same as she would count it: "7/6 wrapped", "4/4 outside"."""
    more, fewer = sorted((sides.ended, sides.began), reverse=True)
    return f"{more}/{fewer} {_BESIDE[sides.what].partition(' ')[0]}"


_DOUBLES = re.compile(r"DS, (k\d+), (k\d+)")
_WRAPPED = re.compile(r"([kp])(\d+), ([kp])1(, .*)?")


def in_full(glance: Glance, work: str) -> str:
    """A row of a short-row heel with its double or wrapped stitches named, for no letter tells them.

    "DS, k10, then k11 doubles, both legs as one", "p14, p the wrapped one with its wraps (two), w&t".
    """
    row, what = glance.next, glance.sides.what if glance.sides else ""
    if row is None:
        return work
    if glance.place.kind == FIRST_HALF and what == "double" and (found := _DOUBLES.fullmatch(work)):
        return f"DS, {found[1]}, then {found[2]} doubles, both legs as one"
    wraps = glance.place.kind == SECOND_HALF and what == "wrapped"
    if wraps and (found := _WRAPPED.fullmatch(work)):
        # The first on each side were wrapped once; each after them a second time by the row before the last.
        its = "its wrap" if row.number <= 2 else "its wraps (two)"
        return f"{found[1]}{found[2]}, {found[3]} the wrapped one with {its}{found[4] or ''}"
    return work


def on_to(card: Mapping[str, Any], end: str) -> str:
    """The rounds of a foot on to its `end`: in pattern where its instep is not plain."""
    return (
        f"in pattern on the instep to the {end}"
        if card["patterned"]
        else f"plain rounds to the {end}"
    )


def to_turn(work: str, heel: int) -> int:
    """The stitches of a heel that lie after the beginning of rounds: those its set-up row works."""
    worked = re.match(r"k(\d+), turn", work, re.ASCII)
    return int(worked[1]) if worked else (heel + 1) // 2


def on_needles(needles: Sequence[NeedleSight], *, brief: bool = False) -> str:
    """ "N1 and N3 k to last 3, k2tog, k1; N2 and N4 k1, ssk, k to end"."""
    on: dict[str, list[str]] = {}
    for needle in needles:
        on.setdefault(or_rests(needle.work), []).append(needle.name)
    if len(on) == 1 and len(needles) > 1:
        return f"every needle {next(iter(on))}"
    if [needle.name for needle in needles] == [ROUND]:
        return or_rests(needles[0].work)
    parts = {"+".join(names) if brief else and_all(names): work for work, names in on.items()}
    return "; ".join(f"{names} {work}" for names, work in parts.items())


def or_rests(work: str) -> str:
    """A needle's work, or that all of it rests: "rests" for "rest 16" and for none."""
    return "rests" if not work or _RESTS.fullmatch(work) else work


_RESTS = re.compile(r"rest \d+", re.ASCII)


class ToeHalves(NamedTuple):
    """The loops of a closed cast-on: those of the instep and those of the sole."""

    instep: int
    sole: int

    @property
    def wound(self) -> str:
        """Whose loop begins the winding, a loop on each in turn: the larger half's, which then ends it."""
        if self.instep == self.sole:
            return "the instep's first"
        return f"the {'instep' if self.instep > self.sole else 'sole'}'s first and last"

    @property
    def sole_first(self) -> bool:
        """Whether the yarn hangs at the instep when all is wound, so that the sole is knitted first."""
        return self.instep > self.sole


def toe_halves(starts: Sequence[int], *, at_side: bool) -> ToeHalves:
    """The halves of a closed cast-on whose needles hold `starts`, its rounds begun at the side or not."""
    instep = sum(starts[: len(starts) // 2]) if at_side else sum(starts[1:-1])
    return ToeHalves(instep, sum(starts) - instep)


SLID_AT_AN_END = ("heel set-up", "leg")
"""Kinds of section before which, at the side, only one end of the instep fits what its first row makes."""
_SLID_BEFORE = frozenset({*SLID_AT_AN_END, HEEL_PLACE, HALF_SOLE, "toe", "foot", "cuff"})


def slide(
    kind: str, held: Sequence[int], starts: Sequence[int], waiting: Sequence[int], work: str
) -> tuple[int, ...] | None:
    """How the stitches are to lie before a leg, a heel, a toe or what leads there; None: they do so already.

    `held` is what the needles hold, `starts` what the section begins with, `waiting` what rests, `work`
    that of its first row. Before a heel its two needles are still apart: the row turns at the end of one.
    """
    on = tuple(starts)
    if kind == "heel set-up" and len(held) == 1:
        return None
    if kind == "heel set-up" and waiting:
        heel = starts[0]
        first = to_turn(work, heel)
        on = (first, *waiting, heel - first)
    if kind in ("leg", "foot") and len(held) == 1:
        return None  # the heel needle's stitches are parted by the closing round
    return on if kind in _SLID_BEFORE and tuple(held) != on else None


def parted(
    held: Sequence[int], starts: Sequence[int], needles: Sequence[str], work: str
) -> tuple[str, str] | None:
    """How a heel needle's first and its last stitches go on needles of the round; None: they stay.

    `held` is what that needle holds, `starts` what the `needles` have in the closing round, whose first one
    does the `work`. That round goes on from the heel's last stitch: its last ones rest on the needles that
    begin the round, its first ones come at the end of it. "16 on N4", "16 on N1".
    """
    rests = re.match(r"rest (\d+)", work, re.ASCII)
    if len(held) != 1 or len(starts) < 2 or rests is None or "pick up" in work:
        return None
    on = [*zip(map(shorten, needles), starts, strict=True)]
    last, first = int(rests[1]), held[0] - int(rests[1])
    if not 0 < last < held[0]:
        return None
    return _on_the(on[::-1], first, behind=True), _on_the(on, last, behind=False)


def _on_the(on: Sequence[tuple[str, int]], many: int, *, behind: bool) -> str:
    """So many stitches on the first of those needles: "16 on N4", "18 on N1 and 2 on N2"."""
    told = []
    for name, holds in on:
        if many <= 0:
            break
        told.append(f"{min(many, holds)} on {name}")
        many -= holds
    return and_all(told[::-1] if behind else told)


def heel_parted(on: tuple[str, str]) -> str:
    """The sentence of that."""
    first, last = on
    return f"The heel needle is parted: its first {first}, its last {last}."


def at_which_end(needles: Sequence[str], *, other_way: bool) -> str:
    """Where at the side stitches are slid: where rows are taken the `other_way` round, at the beginning."""
    return f" at the {'beginning' if other_way else 'end'} of {shorten(needles[0])}"


def at_the_sole(needles: Sequence[str]) -> str:
    """How double-pointed needles follow once their rounds begin at the centre of the sole."""
    first, *instep, last = needles
    return (
        f"Rounds begin at the centre of the sole from here, with {first}: {last} and {first} are the sole's, "
        f"{and_all(instep)} the instep's."
    )


def onto_the_one(before: str | None, kind: str, set_: str) -> bool:
    """Whether the stitches of the toe before a section of that kind go onto one short circular."""
    return set_ == ONE_NEEDLE and before == "toe" and kind not in CLOSED_BY


def onto_one(many: int) -> str:
    """How they get there."""
    return f"Change to the short circular: all {many} on it, a marker where the round begins."


def other_set(names: Sequence[str]) -> str:
    """What a toe goes onto from one short circular."""
    if not names[0].startswith("N"):
        return "the circulars"
    return "the set of five" if len(names) == 4 else "the set of four"


def leads_to_toe(glance: Glance) -> bool:
    """Whether half of the sole is worked once more now, on the way to a toe for one foot."""
    here = (glance.place.kind, glance.place.section) == ("other", HALF_SOLE)
    return here and bool(glance.foot and glance.resting)


def slid(glance: Glance, card: Mapping[str, Any]) -> tuple[int, ...] | None:
    """How the stitches are to lie before the section whose `card` stands; None: they do, or need not."""
    kind = HALF_SOLE if leads_to_toe(glance) else card["section"]
    waiting = [many for _, many in card["waiting"]]
    return slide(kind, card["held"], card["starts"], waiting, card["work"])


def not_slid(glance: Glance, found: Sequence[int]) -> tuple[int, ...] | None:
    """How the stitches are still to be slid, where so many were `found` on the needles; else None."""
    if glance.card is None or len(found) < 2 or tuple(found) != tuple(glance.card.data["held"]):
        return None
    return slid(glance, glance.card.data)


def and_all(names: Iterable[str]) -> str:
    """ "N1", "N1 and N3", "N1, N2 and N3"."""
    *before, last = names
    return f"{', '.join(before)} and {last}" if before else last


def or_all(names: Iterable[object]) -> str:
    """ "1", "1 or 2", "1, 2 or 3"."""
    *before, last = map(str, names)
    return f"{', '.join(before)} or {last}" if before else last


def capital(text: str) -> str:
    """`text` with its first letter large."""
    return text[:1].upper() + text[1:]


class Closing(NamedTuple):
    """How a toe or a sock is closed: as a thing that comes, as what is to be done, and as what is done."""

    coming: str
    do: str
    done: str


CLOSINGS = {
    "graft": Closing("the graft", "graft", "grafted"),
    "draw up": Closing("drawing up", "draw up", "drawn up"),
    BIND_OFF: Closing("the bind-off", "bind off", "bound off"),
}
"""By the kind of the section that closes it."""


LIFT = "In rows 1 and 2 lift every wrap and work it with its stitch."
"""How the flap of a heel from the toe up begins, over the wraps of its cup."""


def bound_off(many: int) -> list[str]:
    """How so many stitches are bound off so that the edge stretches (common practice, no source)."""
    return [
        f"Bind off all {many}, elastic: the edge must stretch over the heel.",
        "Work 2 in the rib. Slip both back, knit them together through the back, work the next in the rib; "
        "again and again.",
        "Cut the yarn and draw it through the last loop.",
    ]


def sides_of_waste(*, toe_up: bool) -> tuple[str, str]:
    """What was knitted before waste yarn, and after it: there one loop fewer shows, between the others."""
    return ("foot", "leg") if toe_up else ("leg", "foot")
