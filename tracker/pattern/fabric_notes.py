"""What she should know of a leg in a repeat or in colours: where it ends, its needles, its floats.

Each is a sentence with numbers that would not be said again. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from tracker.pattern.colours import NEAR_ENOUGH_MM
from tracker.pattern.counts import Sock, fit_of
from tracker.pattern.leg_fabric import is_plain_swatch
from tracker.pattern.model import Gauge
from tracker.pattern.panel import Lie
from tracker.pattern.plan import Plan
from tracker.pattern.repeat import LONGEST_FLOAT, catches
from tracker.pattern.repeated import varies
from tracker.units import Unit, write_length


def of_the_fabric(plan: Plan, sock: Sock, gauge: Gauge) -> Iterator[str]:
    """The notes on a repeat or a chart, if the leg has one."""
    if sock.lie is None:
        return
    yield from _panel(sock, sock.lie)
    yield from _over_needles(sock, sock.lie)
    yield from _in_rounds(plan, sock, sock.lie)
    yield from _full_repeat(plan, sock, sock.lie, gauge)
    yield from _uneven_cables(plan, sock.lie)
    if sock.lie.repeat.coloured:
        yield from _in_colours(sock, sock.lie)
        if is_plain_swatch(plan):
            yield (
                f"{plan.of('gauge.stitches'):g} stitches and {plan.of('gauge.rows'):g} rows are the gauge of "
                "knitting in one colour: a leg in two has about a tenth fewer rounds to a length "
                "(leg.row_factor = 0.9). A swatch of the chart, knitted in the round, tells more."
            )


def _uneven_cables(plan: Plan, lies: Lie) -> Iterator[str]:
    """Cables over an odd number have no mirror image: of their two strands one is a stitch wider."""
    if plan.of("pair.likeness") != "mirrored":
        return
    made = dict.fromkeys(stitch for row in lies.repeat.rows for stitch in row)
    for cable in (stitch for stitch in made if _CABLE.fullmatch(stitch)):
        over = int(cable[1:-1])
        if over % 2:
            yield (
                f"{cable} has strands of {over // 2} and {over - over // 2}: on sock two the other one lies "
                f"in front. For a true mirror image write C{over - 1}{cable[-1]} or C{over + 1}{cable[-1]}."
            )


_CABLE = re.compile(r"C\d+[FB]")


def _panel(sock: Sock, lies: Lie) -> Iterator[str]:
    """Where the repeat does not go round, or has edges on the instep."""
    width = lies.repeat.width
    if not lies.panel or lies.repeat.coloured:
        return
    sides = _beside(lies, sock.instep) if lies.on_foot or not lies.all_round else ""
    if not lies.all_round:
        yield (
            f"{width} does not divide the leg's {sock.stitches}: the repeat is a panel of {lies.panel} x "
            f"{width} on the instep{sides}, and the back of the leg is plain."
        )
    elif lies.on_foot and sides:
        yield f"The instep has {lies.panel} x {width} stitches of the repeat{sides}."


def _beside(lies: Lie, instep: int) -> str:
    """The plain stitches beside a panel; where its columns are the leg's it may lie beside the middle."""
    before = lies.edges
    after = instep - before - lies.panel * lies.repeat.width
    if before == after:
        return f", with {_stitches(before)} plain on each side" if before else ""
    return f", with {_stitches(before)} plain before it and {after} after, so that its columns are the leg's"


def _stitches(number: int) -> str:
    return "1 stitch" if number == 1 else f"{number} stitches"


def _over_needles(sock: Sock, lies: Lie) -> Iterator[str]:
    """Repeats that go on over the end of a needle; no stitch ever does."""
    if not lies.inside:
        return
    names = [sock.layout.names[place] for place in lies.inside]
    told = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    begins = "begins" if len(names) == 1 else "begin"
    yield f"A repeat goes on over the needles: {told} {begins} inside one, where no stitch lies across."


def _in_rounds(plan: Plan, sock: Sock, lies: Lie) -> Iterator[str]:
    """Leg and foot end only where a repeat has its own stitches, as near to their length as that may be."""
    if not varies(lies.repeat) or (plan.of("leg.rounds") is not None and not lies.on_foot):
        return
    own, height, leg = lies.repeat.counts[0], lies.repeat.height, f"{sock.leg_rounds} rounds"
    foot = sock.foot_rounds - sock.heel_work.gusset_rounds
    if not lies.on_foot:
        told = f"the leg ends after such a row, the nearest to its length: planned are {leg}"
    elif plan.of("leg.rounds") is not None:
        told = (
            f"the foot ends after such a row, the nearest to its length: planned are {foot} rounds"
        )
        if sock.toe_up:
            told += f", or whole repeats of {height} more or fewer, since the leg goes on with it"
    else:
        first, then = ("foot", "leg") if sock.toe_up else ("leg", "foot")
        told = (
            f"leg and foot end after such a row, the nearest to their length: planned are {leg} and {foot}; "
            f"the {first} only whole repeats of {height} from there, since the {then} goes on with it"
        )
    yield f"The repeat has its {own} stitches only after some of its rows, so {told}."


def _full_repeat(plan: Plan, sock: Sock, lies: Lie, gauge: Gauge) -> Iterator[str]:
    """Offer a leg that ends on a full repeat, where that is near enough; it is never made so unasked."""
    if sock.toe_up and lies.on_foot:
        return  # the tape says where the foot ends, and so with which row the leg begins
    height, lead = lies.repeat.height, int(sock.stitches != sock.cast_on and not sock.toe_up)
    into = (sock.leg_rounds - lead) % height
    if height < 2 or not into or not sock.leg_rounds:
        return
    row_mm = 100 / gauge.rows / fit_of(plan).row_factor
    unit: Unit = "in" if plan.unit == "in" else "mm"
    ends = [(sock.leg_rounds - into, -into), (sock.leg_rounds + height - into, height - into)]
    near = [end for end in ends if abs(end[1]) * row_mm <= NEAR_ENOUGH_MM and end[0] > lead]
    if not near:
        return
    told = " or ".join(
        f"{rounds}, {write_length(abs(by) * row_mm, unit)} {'longer' if by > 0 else 'shorter'}"
        for rounds, by in near
    )
    instead = " or ".join(f"leg.rounds = {rounds}" for rounds, _ in near)
    given = " in place of leg.length" if plan.of("leg.rounds") is None else ""
    yield (
        f"{sock.leg_rounds} leg rounds end after row {into} of the repeat's {height}; to end on a full "
        f"repeat take {told}: write {instead}{given}."
    )


def _on_the_foot(sock: Sock, lies: Lie) -> str:
    """Where the chart lies on the foot, and what is beside it."""
    divides = f"{lies.repeat.width} does not divide the foot's {sock.foot}"
    if sock.toe_up:
        where = "round the foot" if lies.sole else f"on the instep alone, for {divides}"
        told, picked_up = f"the chart begins above the toe, {where}", ""
    else:
        where = (
            "then goes round the foot, too" if lies.sole else f"stays on the instep, for {divides}"
        )
        told = f"the chart goes on down the instep and {where}"
        picked_up = (
            " In the pick-up round catch the other yarn behind every fifth stitch picked up."
        )
    told += ". Heel and toe are in one colour."
    if not sock.heel_work.gusset_rounds:
        return told[:1].upper() + told[1:]
    return (
        "The sole beside the gusset has the colours of the round in turn, a stitch each, so that nothing "
        f"floats far; {told}{picked_up}"
    )


def _in_colours(sock: Sock, lies: Lie) -> Iterator[str]:
    """How the sole goes with the chart, and which floats are caught."""
    if lies.on_foot:
        yield _on_the_foot(sock, lies)
    caught = [
        (row, one)
        for row, round_ in enumerate(catches(lies.repeat)[: lies.repeat.height], start=1)
        for one in round_
    ]
    if caught:
        rows = sorted({row for row, _ in caught})
        told = (
            f"row {rows[0]}" if len(rows) == 1 else f"{len(rows)} of its {lies.repeat.height} rows"
        )
        yield (
            f"Floats of more than {LONGEST_FLOAT} stitches in {told} of the chart are caught; where, the "
            "rows say."
        )
