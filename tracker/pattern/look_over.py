"""What she should know of a plan that can be knitted: its fit, its openings, its edges and needles.

Each is a sentence with numbers that would not be said again. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, lcm

from tracker.pattern import calf, fit, one_needle
from tracker.pattern.afterthought import Afterthought
from tracker.pattern.colours import Colours, are_letters, full_stripes, read_letters, read_stripes
from tracker.pattern.counts import Fit, Sock, fit_of, wide_leg
from tracker.pattern.fabric_notes import of_the_fabric
from tracker.pattern.flap_heel import FlapHeel
from tracker.pattern.heel import read_picked_up
from tracker.pattern.model import AT_SIDE, MOST_UNEVEN, Gauge
from tracker.pattern.orders import on_one_set, read_order
from tracker.pattern.plan import KEPT_FOR_LATER, Plan
from tracker.pattern.short_rows import ShortRows
from tracker.units import (
    Length,
    Unit,
    round_half_up,
    shorten,
    whole,
    write_exactly,
    write_length,
)

HEEL_OVER_FOOT = 1.35
"""The way round heel and instep, over the foot's circumference, where it was not measured."""


def _second_set(plan: Plan) -> Iterator[str]:
    """An order of work in which both socks hang on needles, where she has named one set."""
    order = read_order(str(plan.of("pair.order")))
    if order.two_sets and not plan.of("needles.spare_set"):
        others = on_one_set(str(plan.of("needles.set")) in AT_SIDE)
        none = " or ".join(f'"{other.told}"' for other in others)
        yield (
            f"To work {order.told} takes a second set of needles: name it, needles.spare_set = "
            f'"{plan.of("needles.set")} of 2.5 mm", or lay one sock on waste yarn at each change. '
            f"None is needed with pair.order = {none}."
        )


def look_over(plan: Plan, sock: Sock, gauge: Gauge) -> list[str]:
    """What is odd about a plan that can be knitted, a sentence each, with numbers that are not."""
    notes: list[str] = []
    around = plan.millimetres("foot.circumference")
    _look_over_foot(plan, notes)
    if around is not None:
        fitting = fit_of(plan)
        notes += _how_it_fits(plan, sock, gauge.stitches, around, fitting)
        notes += _ankle(plan, sock, gauge.stitches)
    notes += _across_the_instep(plan, sock, around)
    notes += _through_the_heel(plan, sock)
    notes += _fibre(plan, plan.of("yarn.fibre") or "")
    if sock.cast_on != sock.stitches and not sock.calf:
        there = f"the first round of the leg goes to {sock.stitches}"
        if plan.of("direction") == "toe-up":
            there = f"a round before it goes there from {sock.stitches}"
        notes.append(
            f"The cuff has {sock.cast_on} stitches, which {plan.of('cuff.rib')} divides; {there}."
        )
    if len(sock.on) == 4 and min(sock.layout.around(sock.heel, sock.instep)) < 6:
        notes.append("There are fewer than 6 stitches on a needle; a set of four may be handier.")
    notes += _second_set(plan)
    notes += _edges(plan, sock)
    notes += _rib_over_needles(sock)
    notes += _one_needle(plan, sock, gauge.stitches)
    _look_over_stripes(plan, sock, gauge, notes)
    notes += of_the_fabric(plan, sock, gauge)
    if any(plan.of(place) is not None for place in KEPT_FOR_LATER):
        notes.append(
            "The yarn's lot is kept with the pattern; this version does not follow it yet."
        )
    return notes


TIGHT_HEEL = 1.4
"""A way round heel and instep of more than this many times the foot's is much for a heel without a gusset."""


def _across_the_instep(plan: Plan, sock: Sock, around: float | None) -> Iterator[str]:
    """A high instep over a heel that has no gusset."""
    girth = plan.millimetres("foot.heel")
    tight = girth is not None and around is not None and girth > TIGHT_HEEL * around
    if tight and girth is not None and not sock.heel_work.gusset_rounds:
        yield (
            f"Tight across the instep: the way round it and the heel is {write_length(girth, plan.unit)}, "
            f"and {_a_heel(plan)} has no gusset. Take more stitches for the heel (heel.stitches) or a looser "
            'needle, or write kind = "flap" (heel.kind).'
        )


def _a_heel(plan: Plan) -> str:
    kind = plan.of("heel.kind")
    return f"an {kind} heel" if kind == "afterthought" else f"a {kind} heel"


def _through_the_heel(plan: Plan, sock: Sock) -> Iterator[str]:
    """A heel in a colour of its own, with rounds of the leg's inside it."""
    colour, leg = plan.of("colours.heel"), plan.of("colours.leg") or ()
    doubled = isinstance(sock.heel_work, ShortRows) and sock.heel_work.doubled
    if not doubled or colour is None or _names(leg) == {colour}:
        return
    yield (
        f"The two rounds inside a double-stitch heel go over all stitches, in the leg's colour: they run "
        f"through the middle of the {shorten(colour)}. "
        'Write kind = "wrapped" (heel.kind), or knit the heel in the leg\'s colour (leave colours.heel out).'
    )


def _names(leg: Sequence[str]) -> set[str]:
    """The colours of a leg in stripes, or in a chart of letters."""
    if are_letters(leg):
        return {name for _, name in read_letters(leg)}
    return {stripe.name for stripe in read_stripes(leg)}


def _fibre(plan: Plan, fibre: str) -> Iterator[str]:
    """A yarn that does not spring back, or of which nobody knows."""
    if not fit.springs_back(fibre):
        yield _on_slack_yarn(plan)
    elif fibre.strip() and not fit.is_known(fibre):
        known = f"{', '.join(fit.FIBRES[:-1])} and {fit.FIBRES[-1]}"
        yield (
            f"{shorten(fibre)} is no fibre known here: it counts as one that springs back. "
            f"Known are {known}."
        )


def _on_slack_yarn(plan: Plan) -> str:
    """What a yarn that does not spring back changed: only what she left open."""
    changed = [
        *(["3 % more ease"] if plan.of("leg.ease") is None and not plan.of("leg.stitches") else []),
        "a foot 1 % shorter, for it grows in wear",
    ]
    return (
        f"{_slack(plan.of('yarn.fibre'))}: {' and '.join(changed)}. Take a needle one size"
        " smaller for the cuff, or a twisted rib."
    )


def _slack(fibre: str) -> str:
    """A yarn that does not spring back, or less than one with nylon in it."""
    if fit.never_springs(fibre):
        return f"{fibre} does not spring back"
    return f"{fibre} without nylon springs back less (if there is nylon in it, write so)"


def _how_it_fits(plan: Plan, sock: Sock, sg: float, around: float, fitting: Fit) -> Iterator[str]:
    """Whether it passes the heel, and is loose or tight; said together where no number does both."""
    heel_mm = plan.millimetres("foot.heel") or HEEL_OVER_FOOT * around
    opens = sock.stitches * 100 / sg * fitting.stretch
    passes = _least_to_pass(heel_mm, sg, fitting.stretch, _unit(sock))
    # A foot on stitches of its own is judged by itself.
    apart = sock.foot != sock.stitches
    both = apart or fit.effective_ease(passes, around, sg) >= fitting.fits[0]
    odd_ease = _odd_ease(sock, sg, around, fitting.fits)
    if both:
        if opens < heel_mm:
            yield (
                f"It will hardly pass the heel: {_against_the_heel(plan, sock, opens, heel_mm)}. Write "
                f"leg.stitches = {passes}, or take a larger needle."
            )
        if odd_ease:
            yield odd_ease
    elif opens < heel_mm or fit.effective_ease(sock.stitches, around, sg) < fitting.fits[0]:
        yield (
            f"No number of stitches both passes the heel and fits the foot: "
            f"{_against_the_heel(plan, sock, opens, heel_mm)}; {passes} would pass, and be loose "
            f"({_than_the_foot(fit.effective_ease(passes, around, sg))}). {_needle(opens < heel_mm)}"
            f"{_opens_further(plan)}"
        )
    elif odd_ease:
        yield odd_ease


def _needle(narrow: bool) -> str:
    """What helps first: a swatch on another needle, whose stitches are larger, or smaller."""
    size = "larger" if narrow else "smaller"
    return f"Try a {size} needle, and write the gauge of its swatch. "


def _against_the_heel(plan: Plan, sock: Sock, opens: float, heel_mm: float) -> str:
    girth = write_length(heel_mm, plan.unit)
    measured = "" if plan.of("foot.heel") else " (it was not measured: foot.heel)"
    whose = "the leg's " if sock.foot != sock.stitches else ""
    return (
        f"{whose}{sock.stitches} stitches open to {write_length(opens, plan.unit)}, the way round heel and "
        f"instep is {girth}{measured}"
    )


def _opens_further(plan: Plan) -> str:
    """What helps where a fabric does not open far enough: a rib, if there is none."""
    if plan.of("leg.fabric") == "stranded":
        return (
            "Or take a chart with fewer and shorter floats, which opens further, so that fewer stitches will"
            " do; swatch it in the round."
        )
    if plan.of("leg.fabric") != "rib":
        return 'A ribbed leg opens further: write leg.fabric = "rib".'
    return "Take a yarn that springs back, or measure round heel and instep once more (foot.heel)."


def _unit(sock: Sock) -> int:
    """Stitches that a leg's fabric goes by: its rib, or a repeat that goes all round."""
    if sock.lie is not None and sock.lie.all_round:
        return sock.lie.repeat.width
    return sock.rib.stitches if sock.leg_ribbed else 1


def _least_to_pass(heel_mm: float, sg: float, stretch: float, unit: int) -> int:
    """The least even number of stitches that opens far enough, in whole repeats of a leg's fabric."""
    multiple = lcm(2, unit)
    return multiple * ceil(heel_mm * sg / (100 * stretch) / multiple - 1e-9)


def _ankle(plan: Plan, sock: Sock, sg: float) -> Iterator[str]:
    """A leg much wider than the foot: how it is shaped, or why it is not."""
    ankle, fits = plan.millimetres("foot.ankle"), wide_leg(plan, sg)
    if ankle is None or fits is None or fits <= sock.stitches:
        return
    wide = f"A leg of {write_length(ankle, plan.unit)} is much wider than the foot"
    if sock.calf:
        first, last, rounds = sock.calf.top, sock.stitches, sock.calf.rounds
        if sock.toe_up:
            first, last, rounds = last, first, calf.upwards(sock.calf, sock.leg_rounds)
        yield (
            f"{wide}: it begins with {first} stitches, and goes to {last} at the centre back, 2 in each of "
            f"the leg rounds {_listed(rounds)}. The foot has {sock.foot} stitches. "
            f"For a straight leg write leg.stitches = {sock.stitches}."
        )
    elif sock.leg_ribbed:
        yield (
            f"{wide}; in rib it is knitted straight on {sock.stitches} stitches, for the rib gives. {fits} "
            f"would fit the leg (leg.stitches = {fits}), and foot.stitches = {sock.foot} the foot; a plain "
            "leg is shaped."
        )
    elif not plan.of("leg.stitches"):
        yield (
            f"{wide}; only a plain leg is shaped, this one is knitted straight on {sock.stitches} stitches. "
            f"{fits} would fit the leg; the foot has {sock.foot}."
        )
    else:
        yield (
            f"{wide}; it is knitted straight on the {sock.stitches} stitches of leg.stitches. Leave that "
            f"out, and it is shaped {'to' if sock.toe_up else 'from'} {fits}."
        )


def _listed(numbers: Sequence[int]) -> str:
    *before, last = map(str, numbers)
    return f"{', '.join(before)} and {last}" if before else last


def _edges(plan: Plan, sock: Sock) -> Iterator[str]:
    """Chains picked up that are not those of the flap."""
    told, made = plan.of("heel.picked_up"), sock.heel_work
    if told is None or not isinstance(made, FlapHeel):
        return
    chains = made.rows // 2
    if any(abs(edge - chains) > MOST_UNEVEN for edge in read_picked_up(told, made.rows)):
        yield (
            f"{told} picked up? A flap of {made.rows} rows has {chains} chains on each edge; count "
            "them again."
        )


def _rib_over_needles(sock: Sock) -> Iterator[str]:
    """A cuff whose rib goes on over the border of two needles."""
    unit, on = sock.rib.stitches, sock.on
    if sock.lie is not None:
        return  # the cuff lies as the leg's repeats ask for
    if (
        sock.layout.together
        or sock.begins
        or not any(before % unit for before in sock.layout.starts(on))
    ):
        return
    yield (
        f"The rib goes on over the ends of the needles: {' / '.join(map(str, on))}. Where one begins inside "
        "it, its row says with which stitch."
    )


def _one_needle(plan: Plan, sock: Sock, sg: float) -> Iterator[str]:
    """A sock on one short circular: how long that may be, and what the toe goes onto."""
    if not sock.layout.together:
        return
    spare = one_needle.toe_set(plan.of("needles.spare_set") or "")
    fewest = min(sock.foot, sock.stitches)
    longest = one_needle.longest_mm(fewest, sg)
    reach = f"{fewest} stitches reach round a short circular of at most {write_length(longest, plan.unit)}"
    if longest < one_needle.SHORTEST_MM:
        yield f'{reach}, and hardly any is so short: a set of four or five fits, needles.set = "five".'
    else:
        yield f"{reach} from tip to tip.{_heel_on_it(sock)}"
    kind = f"a set of {spare}" if spare in ("four", "five") else spare.replace("long", "a long")
    named = _spare_named(plan.of("needles.spare_set") or "")
    if plan.of("direction") == "toe-up":
        late = " again before the heel" if _is_late(sock) else ""
        yield (
            f"The toe is too narrow for it: it is begun on {kind}, and all stitches go onto the short "
            f"circular after it{late and f', and onto {kind}{late}'}{named}."
        )
        return
    narrow = "The heel and the toe are" if _is_late(sock) else "The toe is"
    yield f"{narrow} too narrow for it: all stitches go onto {kind} before the toe{named}."


def _spare_named(spare: str) -> str:
    """How to name another set for the toe, where hers is left open or is none that is known."""
    if not spare:
        return "; to take another, name it (needles.spare_set)"
    if one_needle.is_named(spare):
        return ""
    known = " or ".join(f'"{name}"' for name in one_needle.TOE_SETS)
    return f"; {shorten(spare)} is no set known here: write needles.spare_set = {known}"


def _heel_on_it(sock: Sock) -> str:
    """How a heel is worked on one short circular; one knitted afterwards is not."""
    return "" if _is_late(sock) else " The heel is worked to and fro on it, while the instep waits."


def _is_late(sock: Sock) -> bool:
    return isinstance(sock.heel_work, Afterthought)


def _look_over_stripes(plan: Plan, sock: Sock, gauge: Gauge, notes: list[str]) -> None:
    """Offer a leg that ends on a full stripe, where that is near enough; it is never made so unasked."""
    if plan.of("leg.fabric") == "stranded":
        return
    stripes = Colours(stripes=read_stripes(plan.of("colours.leg") or ()))
    row_mm = 100 / gauge.rows / fit_of(plan).row_factor
    full = full_stripes(stripes, sock.leg_rounds, row_mm)
    if not full or plan.of("direction") == "toe-up":  # there the tape says where the leg begins
        return
    stripe, into = stripes.after(sock.leg_rounds - 1)
    unit: Unit = "in" if plan.unit == "in" else "mm"
    ends = " or ".join(
        f"{end.rounds}, {write_length(abs(end.longer_mm), unit)} "
        f"{'longer' if end.longer_mm > 0 else 'shorter'}"
        for end in full
    )
    instead = " or ".join(f"leg.rounds = {end.rounds}" for end in full)
    given = " in place of leg.length" if plan.of("leg.rounds") is None else ""
    notes.append(
        f"{sock.leg_rounds} leg rounds end {into} round{'s' if into > 1 else ''} into "
        f"{shorten(stripe.name)}; to end on a "
        f"full stripe take {ends}: write {instead}{given}."
    )


def _look_over_foot(plan: Plan, notes: list[str]) -> None:
    for field, low, high in (("circumference", 80, 330), ("length", 70, 330)):
        length: Length | None = plan.of(f"foot.{field}")
        if length is not None and not low <= length.mm <= high:
            notes.append(f"A foot of {write_exactly(length)} ({field}) is rare; is it right?")


def _odd_ease(sock: Sock, sg: float, around: float, band: tuple[float, float]) -> str:
    """What is said of a sock that will be loose or tight, or ""."""
    ease = fit.effective_ease(sock.foot, around, sg)
    if band[0] <= ease <= band[1]:
        return ""
    how = "loose" if ease < band[0] else "tight"
    aim = (band[0] + band[1]) / 2
    near = fit.nearest(around * (1 - aim) * sg / 100, 2)
    needed = 100 * sock.foot / (around * (1 - aim))
    return (
        f"{sock.foot} stitches will be {how}: {_off_the_band(ease, band)} than the foot, usual is "
        f"{whole(band[0] * 100)} to {whole(band[1] * 100)} %. {near} stitches would fit at this gauge, or "
        f"{tenths(needed)} stitches to 10 cm with these."
    )


def _than_the_foot(ease: float) -> str:
    percent = round_half_up(ease * 100, 1)
    return f"{abs(percent):g} % {'larger' if percent < 0 else 'smaller'} than the foot"


def _off_the_band(ease: float, band: tuple[float, float]) -> str:
    """How much smaller or larger, to as many decimals as it takes to lie outside the band."""
    rounded = (round_half_up(ease * 100, places) for places in range(9))
    outside = (percent for percent in rounded if not band[0] <= percent / 100 <= band[1])
    percent = next(outside, ease * 100)
    return f"{abs(percent):g} % {'larger' if percent < 0 else 'smaller'}"


def tenths(number: float) -> str:
    """A number to one decimal, as it is said."""
    return f"{round_half_up(number, 1):g}"
