"""All the counts of a sock knitted from the cuff down, from the plan and the gauge.

A plan that cannot be knitted is refused with the field at fault and the nearest numbers that work;
a number she gave is never changed in silence. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from math import ceil, inf

from tracker.pattern import (
    calf,
    cuff,
    fit,
    heel,
    leg_fabric,
    one_needle,
    sizes,
    toe_up_heel,
    toe_up_leg,
    toe_up_toe,
    toes,
)
from tracker.pattern.afterthought import afterthought
from tracker.pattern.fit import Fabric, Rib
from tracker.pattern.flap_heel import FlapHeel
from tracker.pattern.heel_work import HeelWork
from tracker.pattern.layout import LAYOUTS, Layout
from tracker.pattern.model import CUFF_ROW_FACTOR, Gauge
from tracker.pattern.panel import Lie
from tracker.pattern.plan import FIELDS, Plan, WillNotWork
from tracker.pattern.repeat import Repeat
from tracker.pattern.short_rows import short_rows
from tracker.pattern.toe import LEAST_SIDED, Toe
from tracker.pattern.toe_up_heel import ToeUpHeel
from tracker.records import NamedTuple
from tracker.units import Length, whole, write_at_least, write_exactly, write_length

FOOT_SHARE, STRANDED_SHARE = 0.95, 0.97
"""A sock's foot is this much of the foot it is for; one in two colours stretches less."""
SMALLEST = 2 * heel.SMALLEST
"""A sock of fewer stitches has no heel that can be turned."""
LONGEST_FOOT = FIELDS["foot"]["length"].high
"""No plan takes a longer foot, in mm."""
LEG_SHARE = 0.65
"""A leg of which nothing is said is planned with this much of the foot, the cuff included (common
practice, no source)."""
UNEQUAL = 4
"""Heel and instep differ by no more stitches."""


class Sock(NamedTuple):
    """All the counts of one sock, and how it lies on its needles.

    `on` are the stitches of cuff and leg on every needle, `begins` how far into the rib's repeat a
    round begins. `foot_ribbed`: the rib runs down the instep. `wanted` is the count by the measure.
    """

    layout: Layout
    rib: Rib
    stitches: int
    cast_on: int
    on: tuple[int, ...]
    begins: int
    leg_ribbed: bool
    foot_ribbed: bool
    heel: int
    instep: int
    cuff_rounds: int
    leg_rounds: int
    heel_work: HeelWork
    heel_mm: float
    foot: int
    foot_goal_mm: float
    foot_rounds: int
    toe: Toe
    wanted: float | None
    calf: calf.Calf | None = None
    for_toe: Layout = LAYOUTS["five"]
    """How the toe lies on its needles; as the rest does, unless that is all on one."""
    leg_goal_mm: float = 0.0
    """From the toe up: how long the leg is, the cuff left out."""
    lie: Lie | None = None
    """How the leg's repeat or chart lies; None of a plain or ribbed leg."""
    toe_up: bool = False
    """Whether it is knitted from the toe up."""


class Fit(NamedTuple):
    """How the leg's fabric fits this foot: what is usual, and what the plan and the yarn make of it."""

    ease: float
    fits: tuple[float, float]
    stretch: float
    row_factor: float


def fit_of(plan: Plan) -> Fit:
    """What the fabric does: the plan's own numbers stand as they are, the usual ones follow the yarn."""
    usual: Fabric = leg_fabric.fabric_of(plan)
    slack = not fit.springs_back(plan.of("yarn.fibre") or "")
    ease = fit.BABY_EASE if is_baby(plan) else usual.ease
    more, less = (fit.NO_SPRING_EASE, fit.NO_SPRING_STRETCH) if slack else (0.0, 0.0)
    low, high = usual.fits
    return Fit(
        _given_or(plan, "leg.ease", ease + more),
        (low if not is_baby(plan) else 0.0, high + more),
        _given_or(plan, "leg.stretch", usual.stretch + less),
        _given_or(plan, "leg.row_factor", usual.row_factor),
    )


def is_baby(plan: Plan) -> bool:
    """Whether the foot is one that still grows fast."""
    length = plan.millimetres("foot.length")
    return length is not None and length < fit.BABY_FOOT_MM


def _given_or(plan: Plan, place: str, usual: float) -> float:
    given = plan.of(place)
    return usual if given is None else float(given)


def count(plan: Plan, gauge: Gauge, notes: list[str]) -> Sock:
    """Count the sock of `plan`; what she should know is added to `notes`. Raises WillNotWork."""
    try:
        return _count(plan, gauge, notes)
    except _NoFootLeft as bad:
        if bad.least > LONGEST_FOOT:
            raise _longer_than_any_foot(plan, gauge, bad) from None
        raise WillNotWork(bad.field, bad.with_choices(plan, gauge)) from None


def _count(plan: Plan, gauge: Gauge, notes: list[str]) -> Sock:
    layout, rib = LAYOUTS[plan.of("needles.set")], fit.RIBS[plan.of("cuff.rib")]
    toe_up = plan.of("direction") == "toe-up"
    if toe_up:
        toe_up_heel.refuse(plan)
    ribbed = plan.of("leg.fabric") == "rib"
    repeat = leg_fabric.repeat_of(plan)
    stitches, wanted = _stitches(plan, gauge.stitches, rib, ribbed, repeat)
    foot_ribbed = plan.of("foot.fabric") == "rib on the instep" or (
        plan.of("foot.fabric") == "as the leg" and ribbed
    )
    if repeat is not None and (leg_fabric.goes_down(plan) or stitches % repeat.width):
        on_heel = _heel_beside(plan, stitches, repeat, layout)
    else:
        on_heel = _heel_stitches(plan, stitches, rib if foot_ribbed else None)
    lies = leg_fabric.lies(plan, repeat, layout, stitches, on_heel, rib) if repeat else None
    if lies is not None and toe_up:
        lies = toe_up_leg.as_on_the_foot(lies, layout, on_heel)
    instep = stitches - on_heel
    top = calf_top(plan, gauge.stitches, stitches) or stitches
    cast_on = cuff.cuff_stitches(top, rib)
    cuff_rounds, leg_rounds, leg_mm = _above_the_foot(plan, gauge.rows, top != cast_on, notes)
    if repeat is not None and leg_rounds and not toe_up:
        leg_rounds = _on_the_count(plan, repeat, leg_rounds, int(stitches != cast_on))
    shaped = _calf(plan, gauge.rows, top, stitches, leg_rounds) if top > stitches else None
    foot = _foot_stitches(plan, stitches, instep)
    made = _heel_work(plan, on_heel, instep, foot, notes)
    toe = _toe(plan, foot)
    goal = _foot_goal(plan, notes)
    heel_mm = made.rows_deep * 100 / gauge.rows
    down = lies if lies is not None and lies.on_foot else None
    # Rounds of the repeat that come before the heel, or, from the toe up, before the foot.
    led_in = toe_up_toe.leads_to_the_sole(plan, layout) if toe_up else 0
    rows = led_in if toe_up else leg_rounds - (stitches != cast_on)
    toe_rounds = toe.rounds + set_up_rounds(toe, foot, toe_up=toe_up)
    foot_rounds = _foot_rounds(plan, gauge, goal, toe_rounds + led_in, made, layout, down, rows)
    if repeat is not None and toe_up:
        before = rows + foot_rounds + made.between(layout.at_side) if down else 0
        leg_rounds = _on_the_count(plan, repeat, leg_rounds, -before)
    # A rib that runs down the instep keeps its place from the cast-on: it begins with the instep.
    held = foot_ribbed and ribbed
    # From the toe up a ribbed leg lies as heel and instep do, and its cuff goes on so.
    as_instep = held or (ribbed and toe_up)
    on = layout.around(on_heel, instep) if as_instep else layout.evenly(cast_on, rib.stitches)
    if shaped:
        on = calf.around(layout, top, on_heel, instep, rib.stitches)
    if lies is not None and (leg_rounds or cast_on == stitches):
        on = _under(lies, cast_on)
    before_instep = 0 if layout.at_side else on[0]
    return Sock(
        layout, rib, stitches, cast_on, on, -before_instep % rib.stitches if held else 0,
        ribbed, foot_ribbed, on_heel, instep, cuff_rounds, leg_rounds,
        made, heel_mm, foot, goal, foot_rounds, toe, wanted, shaped,
        _for_toe(plan, layout), leg_mm, lies, toe_up,
    )  # fmt: skip


def set_up_rounds(toe: Toe, foot: int, *, toe_up: bool) -> int:
    """A round that knits away what the toe does not divide; from the toe up only points need one."""
    return int(foot > toe.stitches and (bool(toe.pointed) or not toe_up))


def _foot_rounds(
    plan: Plan, gauge: Gauge, goal: float, toe_rounds: int, made: HeelWork, layout: Layout,
    down: Lie | None, rows: int,
) -> int:  # fmt: skip
    """Rounds between heel and toe; `down`: a repeat that goes on there after so many rows of it.

    `toe_rounds` are all that are knitted of the toe, a set-up round among them.

    Raises WillNotWork where heel and toe leave none.
    """
    row_mm = 100 / gauge.rows
    heel_mm, needed = made.rows_deep * row_mm, made.least_rounds(layout.at_side)
    if plan.of("direction") == "toe-up" and toe_up_toe.leads_to_the_sole(plan, layout):
        needed = max(needed, made.gusset_rounds + 1)  # it needs a foot to lead into
    rounds = whole((goal - toe_rounds * row_mm - heel_mm) / row_mm)
    if rounds < needed:
        enough = (needed - 0.5 + toe_rounds) * row_mm + heel_mm
        raise _NoFootLeft(plan, rounds, made, _foot_for(plan, ceil(enough + 1e-6)))
    if down is None:
        return rounds
    # The instep works a row of the repeat in every round after the leg, those inside a heel too.
    lead = -rows - made.between(layout.at_side)
    return leg_fabric.whole_rounds(down.repeat, rounds, lead, needed)


def _for_toe(plan: Plan, layout: Layout) -> Layout:
    if not layout.together:
        return layout
    return one_needle.toe_layout(one_needle.toe_set(plan.of("needles.spare_set") or ""))


def calf_top(plan: Plan, sg: float, stitches: int) -> int | None:
    """The stitches under the cuff of a leg that is shaped; None where it is knitted straight.

    It is where a plain leg is much wider than the foot, and she has given no number of stitches for it.
    """
    if plan.of("leg.stitches") or plan.of("leg.fabric") != "plain":
        return None
    top = wide_leg(plan, sg)
    return top if top is not None and top > stitches else None


def wide_leg(plan: Plan, sg: float) -> int | None:
    """The stitches that fit a leg much wider than the foot; None of any other."""
    ankle, around = plan.millimetres("foot.ankle"), plan.millimetres("foot.circumference")
    if ankle is None or around is None or ankle <= calf.WIDER * around:
        return None
    return fit.around(ankle, sg, fit_of(plan).ease, fit.RIBS[plan.of("cuff.rib")].stitches).stitches


def _calf(plan: Plan, rg: float, top: int, stitches: int, leg_rounds: int) -> calf.Calf:
    """Where the leg narrows. Raises WillNotWork where it is too short for that."""
    row_mm = 100 / rg / fit_of(plan).row_factor
    found = calf.calf(top, stitches, leg_rounds, row_mm)
    if found is not None:
        return found
    least = calf.least_rounds(top, stitches, row_mm)
    why = (
        f"{leg_rounds} leg rounds are too few to go from {top} stitches, for the leg, to {stitches} and stay "
        f"straight over the last {write_length(calf.STRAIGHT_MM, plan.unit)}"
    )
    straight = f"or leg.stitches = {stitches} for a straight leg"
    if plan.of("leg.rounds") is not None:
        raise WillNotWork("leg.rounds", f"{why}; write {least} or more, {straight}")
    cuff_mm = _cuff_mm(plan, rg)
    length = write_at_least(cuff_mm + (least - 0.5) * row_mm, plan.unit)
    raise WillNotWork("leg.length", f"{why}; write {length} or more, {straight}")


def _cuff_mm(plan: Plan, rg: float) -> float:
    return plan.millimetres("cuff.length") or cuff.length_mm(
        _cuff_rounds(plan, rg), rg, _cuff_factor(plan)
    )


def _toe(plan: Plan, foot: int) -> Toe:
    """The toe over a foot's stitches. Raises WillNotWork where they are too few, or it fits no one foot."""
    kind = plan.of("toe.kind")
    least = toes.least_of(kind)
    if foot < least:
        raise WillNotWork(
            "toe.kind",
            f"a foot of {foot} stitches has too few for a {kind} toe; write kind = "
            f'"{"star" if foot >= toes.least_of("star") else "wedge"}", or at least {least} stitches '
            "(foot.stitches)",
        )
    if plan.of("toe.feet") != "alike":
        _check_sided(kind, foot)
    return toes.toe_over(kind, foot)


def _check_sided(kind: str, foot: int) -> None:
    """Only a wedge is shaped for one foot, and so few stitches are not. Raises WillNotWork."""
    if kind != "wedge":
        raise WillNotWork(
            "toe.feet",
            f'a {kind} toe is the same on either foot; write feet = "alike", or toe.kind = "wedge"',
        )
    if foot < LEAST_SIDED:
        raise WillNotWork(
            "toe.feet",
            f"a foot of {foot} stitches has too few for a left and a right toe; write feet = "
            f'"alike", or at least {LEAST_SIDED} stitches (foot.stitches)',
        )


def _heel_work(plan: Plan, on_heel: int, instep: int, foot: int, notes: list[str]) -> HeelWork:
    """The heel of a plan, by its kind. Raises WillNotWork."""
    kind = plan.of("heel.kind")
    if kind == "flap":
        flap = _toe_up_heel if plan.of("direction") == "toe-up" else _flap_heel
        return flap(plan, on_heel, instep, foot, notes)
    made = _WITHOUT_A_GUSSET[kind]
    if foot != on_heel + instep:
        raise WillNotWork(
            "foot.stitches",
            f"a {kind} heel has no gusset that leads to {foot}; write "
            f'{on_heel + instep}, leave it out, or write kind = "flap" (heel.kind)',
        )
    return made(on_heel)


_WITHOUT_A_GUSSET: Mapping[str, Callable[[int], HeelWork]] = {
    "wrapped": partial(short_rows, doubled=False),
    "double-stitch": partial(short_rows, doubled=True),
    "afterthought": afterthought,
}
"""The heels that leave the foot its stitches. A kind of the plan that is not here fails: none stands for
another."""


def _flap_heel(plan: Plan, on_heel: int, instep: int, foot: int, notes: list[str]) -> FlapHeel:
    rows = heel.flap_rows(on_heel, plan.of("heel.rows"))
    _tell_made_even(plan, rows, notes)
    turn = _turn(plan, on_heel)
    gusset = heel.gusset(
        turn.live,
        heel.read_picked_up(plan.of("heel.picked_up"), rows),
        plan.of("heel.gap"),
        instep,
        foot,
        plain_first=plan.of("heel.gusset") == "plain first",
    )
    return FlapHeel(plan.of("heel.flap"), rows, turn, gusset)


def _toe_up_heel(plan: Plan, on_heel: int, instep: int, foot: int, notes: list[str]) -> ToeUpHeel:
    turn = _turn(plan, on_heel)
    rows = toe_up_heel.flap_rows(on_heel, turn, plan.of("heel.gap"), plan.of("heel.rows"))
    _tell_made_even(plan, rows, notes)
    plain_first = plan.of("heel.gusset") == "plain first"
    gusset = toe_up_heel.gusset(rows, on_heel + instep, instep, foot, plain_first=plain_first)
    return ToeUpHeel(plan.of("heel.flap"), rows, turn, gusset)


def _tell_made_even(plan: Plan, rows: int, notes: list[str]) -> None:
    if plan.of("heel.rows") and rows != plan.of("heel.rows"):
        notes.append(
            f"The flap of {plan.of('heel.rows')} rows became {rows}: both edges need the same number."
        )


def _turn(plan: Plan, on_heel: int) -> heel.Turn | heel.SquareTurn:
    if plan.of("heel.turn") == "square":
        return heel.square_turn(on_heel, plan.of("heel.centre"))
    return heel.rounded_turn(on_heel, plan.of("heel.centre"))


def _under(lies: Lie, cast_on: int) -> tuple[int, ...]:
    """A cuff on the needles of its leg; stitches more or fewer are on those that hold most."""
    on = list(lies.leg_holds(0))
    for _ in range(abs(cast_on - sum(on))):
        step = 1 if cast_on > sum(on) else -1
        on[on.index(min(on) if step > 0 else max(on))] += step
    return tuple(on)


def _heel_beside(plan: Plan, stitches: int, repeat: Repeat, layout: Layout) -> int:
    """The heel's stitches beside an instep that has whole repeats in its middle, in line with the leg's."""
    given: int | None = plan.of("heel.stitches")
    fitting = [
        stitches - instep
        for instep in leg_fabric.insteps(repeat, stitches, in_line=layout.at_side)
        if stitches - instep >= heel.SMALLEST
    ]
    if not fitting:
        why = f"the repeat of {repeat.width} is wider than the instep of {(stitches + 1) // 2}"
        raise WillNotWork("foot.fabric", f'{why}; write fabric = "plain"')
    if given is None:
        return fitting[0]
    if given not in fitting:
        raise WillNotWork(
            "heel.stitches",
            f"{given} of {stitches} leave {stitches - given} for the instep, where no whole repeats of "
            f"{repeat.width} lie in the middle; write {_some(sorted(fitting))}",
        )
    return given


def _on_the_count(plan: Plan, repeat: Repeat, rounds: int, lead: int) -> int:
    """Leg rounds that end where a repeat has its own count again; hers are never changed in silence."""
    full = leg_fabric.whole_rounds(repeat, rounds, lead)
    if full != rounds and plan.of("leg.rounds") is not None:
        raise WillNotWork(
            "leg.rounds",
            f"{rounds} rounds end on {repeat.begins_on(rounds - lead)} stitches a repeat, not {repeat.width};"
            f" write {full}",
        )
    return full


def _stitches(
    plan: Plan, sg: float, rib: Rib, ribbed: bool, repeat: Repeat | None
) -> tuple[int, float | None]:
    unit = rib.stitches
    given, around = plan.of("leg.stitches"), plan.millimetres("foot.circumference")
    if given:
        if ribbed and given % unit:
            low = given - given % unit
            raise WillNotWork(
                "leg.stitches",
                f"{plan.of('cuff.rib')} does not divide {given} stitches; write {low} or {low + unit}",
            )
        if repeat is not None:
            leg_fabric.check_given(plan, repeat, given)
        return given, None
    if around is None:
        raise WillNotWork("foot.circumference", 'missing; write circumference = "23.6 cm"')
    ease = fit_of(plan).ease
    if repeat is not None:
        chosen = leg_fabric.around(plan, repeat, sg, rib, ease, fit_of(plan).fits)
    else:
        chosen = fit.around(around, sg, ease, unit)
    if chosen.stitches < SMALLEST:
        least = write_at_least(SMALLEST * 100 / (sg * (1 - ease)), plan.unit)
        raise WillNotWork(
            "foot.circumference",
            f"{chosen.stitches} stitches are too few for a heel; write a finer gauge, or a foot of {least}",
        )
    return chosen.stitches, chosen.wanted


def _heel_stitches(plan: Plan, stitches: int, rib: Rib | None) -> int:
    """The heel's stitches: half, or hers; with `rib`, such that the instep begins and ends with its knits."""
    given: int | None = plan.of("heel.stitches")
    least, most = max(heel.SMALLEST, (stitches - UNEQUAL + 1) // 2), (stitches + UNEQUAL) // 2
    fitting = [
        number
        for number in range(least, most + 1)
        if rib is None or (stitches - number) % rib.stitches == rib.knits % rib.stitches
    ]
    if given is None:
        if rib is None:
            return stitches // 2
        if not fitting:
            why = f"no heel of {stitches} stitches lets the rib mirror on the instep; write"
            raise WillNotWork("foot.fabric", f'{why} fabric = "plain"')
        # Of two as near, the larger instep: the pattern side takes what is odd.
        return min(fitting, key=lambda number: (abs(stitches - 2 * number), number))
    if given in fitting:
        return given
    if not least <= given <= most:
        raise WillNotWork(
            "heel.stitches",
            f"{given} of {stitches} is too far from half; write {_some(fitting) or f'{least} to {most}'}",
        )
    raise WillNotWork(
        "heel.stitches",
        f"{given} of {stitches} leave {stitches - given} for the instep, where the rib does not begin and "
        f"end with the same knit stitches; write {_some(fitting)}",
    )


def _some(numbers: list[int]) -> str:
    """ "30 to 34", or "30 or 34"."""
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{numbers[0]} to {numbers[-1]}"
    return " or ".join(map(str, numbers))


def _foot_stitches(plan: Plan, leg: int, instep: int) -> int:
    """The foot's stitches: her number, as long as sole and instep stay within half and double."""
    foot: int = plan.of("foot.stitches") or leg
    least, most = max(SMALLEST, instep + (instep + 1) // 2), 3 * instep
    if not least <= foot <= most:
        raise WillNotWork(
            "foot.stitches",
            f"{foot} leave {max(foot - instep, 0)} for the sole under {instep} of the instep; "
            f"write {least + (least - leg) % 2} to {most - (most - leg) % 2}",
        )
    return foot


def _cuff_factor(plan: Plan) -> float:
    return _given_or(plan, "cuff.row_factor", CUFF_ROW_FACTOR)


def _cuff_rounds(plan: Plan, rg: float) -> int:
    if plan.of("cuff.rounds"):
        return int(plan.of("cuff.rounds"))
    return cuff.rounds(plan.of("cuff.length").mm, rg, _cuff_factor(plan))


def _above_the_foot(
    plan: Plan, rg: float, changes: bool, notes: list[str]
) -> tuple[int, int, float]:
    """Rounds of the cuff and of the leg; from the toe up how long that leg is (mm), the cuff left out."""
    if plan.of("direction") == "toe-up":
        return _toe_up_leg(plan, rg, notes)
    return *_above_the_heel(plan, rg, changes, notes), 0.0


def _above_the_heel(plan: Plan, rg: float, changes: bool, notes: list[str]) -> tuple[int, int]:
    """Rounds of the cuff and of the leg; `changes` where the leg has not the cuff's stitches."""
    cuff_rounds = _cuff_rounds(plan, rg)
    if plan.of("leg.rounds") is not None:
        leg_rounds = int(plan.of("leg.rounds"))
        if leg_rounds < 1 and changes:
            why = "the leg needs a round to change from the cuff's stitches; write at least 1"
            raise WillNotWork("leg.rounds", why)
    else:
        cuff_mm = _cuff_mm(plan, rg)
        row_mm = 100 / rg / fit_of(plan).row_factor
        leg_rounds = _leg_rounds(plan, row_mm, cuff_mm, changes)
    if not leg_rounds:
        notes.append(
            f"The leg is all cuff: {cuff_rounds} rounds of it, 0 leg rounds. Is a ribbed ankle sock meant?"
        )
    return cuff_rounds, leg_rounds


def _leg_rounds(plan: Plan, row_mm: float, cuff_mm: float, changes: bool) -> int:
    """Rounds between the cuff and the length of the leg."""
    leg: Length = plan.of("leg.length")
    # An open leg goes on with its plain round: where the count changes it needs two.
    least = cuff_mm + 1.5 * row_mm if changes else cuff_mm
    if leg.mm < least:
        short = "leaves no rounds below" if leg.mm >= cuff_mm else "is shorter than"
        raise WillNotWork(
            "leg.length",
            f"{write_exactly(leg)} from the cast-on edge {short} the cuff of "
            f"{write_length(cuff_mm, plan.unit)}; shorten the cuff, or write "
            f"{write_at_least(least, plan.unit)} or more",
        )
    return whole((leg.mm - cuff_mm) / row_mm)


def _toe_up_leg(plan: Plan, rg: float, notes: list[str]) -> tuple[int, int, float]:
    """Rounds of the cuff and of the leg under it, and how long that leg is (mm), of a sock from the toe up.

    Its leg is measured from the heel to the bind-off, the cuff included.
    """
    cuff_rounds = _cuff_rounds(plan, rg)
    cuff_mm = cuff.length_mm(cuff_rounds, rg, _cuff_factor(plan))
    row_mm = 100 / rg / fit_of(plan).row_factor
    if plan.of("leg.rounds") is not None:
        rounds = int(plan.of("leg.rounds"))
        if not rounds:
            raise WillNotWork(
                "leg.rounds", "from the toe up the heel goes over into a leg; write at least 1"
            )
        return cuff_rounds, rounds, rounds * row_mm
    leg: Length | None = plan.of("leg.length")
    if leg is None:
        usual = max(row_mm, LEG_SHARE * _foot_mm(plan, []) - cuff_mm)
        told = write_length(usual + cuff_mm, plan.unit)
        notes.append(
            f"The leg has no length: it goes on until you end it; {told} with the cuff are planned. "
            "Once the ball is weighed, its goal may be as far as the yarn goes (instep target yarn): what "
            "cuff and sock two need is kept back."
        )
        return cuff_rounds, max(1, whole(usual / row_mm)), usual
    least = cuff_mm + row_mm
    if leg.mm < least:
        raise WillNotWork(
            "leg.length",
            f"{write_exactly(leg)} from the heel to the bind-off leaves no rounds below the cuff of "
            f"{write_length(cuff_mm, plan.unit)}; shorten the cuff, or write "
            f"{write_at_least(least, plan.unit)} or more",
        )
    return cuff_rounds, whole((leg.mm - cuff_mm) / row_mm), leg.mm - cuff_mm


def _foot_goal(plan: Plan, notes: list[str]) -> float:
    """How long the sock's foot is to be, in whole mm."""
    foot = _foot_mm(plan, notes)
    if is_baby(plan):
        notes.append(
            f"A foot of {write_length(foot, plan.unit)} grows: the sock is made "
            f"{write_length(fit.BABY_ROOM_MM, 'mm')} longer than it, with less ease."
        )
        return float(whole(foot + fit.BABY_ROOM_MM))
    return float(whole(foot * _foot_share(plan)))


def _foot_share(plan: Plan) -> float:
    springs = fit.springs_back(plan.of("yarn.fibre") or "")
    stranded = plan.of("leg.fabric") == "stranded" and leg_fabric.goes_down(plan)
    share = STRANDED_SHARE if stranded else FOOT_SHARE
    return share if springs else share * fit.NO_SPRING_FOOT


def _foot_for(plan: Plan, sock_mm: float) -> float:
    """The foot (mm) whose sock is so long."""
    grown = sock_mm - fit.BABY_ROOM_MM
    return grown if grown < fit.BABY_FOOT_MM and is_baby(plan) else sock_mm / _foot_share(plan)


def _foot_mm(plan: Plan, notes: list[str]) -> float:
    measured = plan.millimetres("foot.length")
    if measured is not None:
        return measured
    shoe = plan.of("foot.shoe")
    if shoe is None:
        raise WillNotWork("foot.length", 'missing; write length = "24.5 cm" or shoe = "EU 39"')
    length = sizes.foot_length(shoe)
    low, high = (
        write_length(length + by, plan.unit) for by in (-sizes.TOLERANCE_MM, sizes.TOLERANCE_MM)
    )
    notes.append(
        f"Shoe {shoe} stands for a foot of {write_length(length, plan.unit)}, between {low} and {high}; "
        "a measured foot fits better."
    )
    return length


class _NoFootLeft(WillNotWork):
    """Gusset or heel would run into the toe of a foot shorter than `least` mm."""

    def __init__(self, plan: Plan, foot_rounds: int, made: HeelWork, least: float) -> None:
        self.least = least
        self.flap = made.rows if isinstance(made, FlapHeel | ToeUpHeel) else 0
        rounds = max(foot_rounds, 0)
        why = (
            f"the gusset of {made.gusset_rounds} rounds would run into the toe: there are "
            f"{rounds} rounds before it"
            if made.gusset_rounds
            else "the heel would run into the toe: there is no round before it"
        )
        super().__init__("foot.shoe" if plan.of("foot.length") is None else "foot.length", why)

    def with_choices(self, plan: Plan, gauge: Gauge) -> str:
        """What to do instead, in numbers that work: a shorter flap, another gusset, or another foot."""
        choices = []
        flaps = (plan.instead("heel.rows", rows) for rows in range(self.flap - 2, 1, -2))
        shorter = next((flap for flap in flaps if not _least_foot(flap, gauge)), None)
        if shorter is not None:
            choices.append(f"make the flap {shorter.of('heel.rows')} rows (heel.rows)")
        if plan.of("heel.gusset") == "plain first" and not _least_foot(
            plan.instead("heel.gusset", "decrease first"), gauge
        ):
            shaping = "an increase" if plan.of("direction") == "toe-up" else "a decrease"
            choices.append(f'begin the gusset with {shaping} (gusset = "decrease first")')
        choices.append(f"write a foot of {write_at_least(self.least, plan.unit)} or more")
        return f"{self.why}; {', or '.join(choices)}"


def _longer_than_any_foot(plan: Plan, gauge: Gauge, bad: _NoFootLeft) -> WillNotWork:
    """Not the foot is at fault but the flap or the stitches: the largest that make a sock are told."""
    needs = f"a foot of {write_length(bad.least, plan.unit)}, longer than any"
    rows = plan.of("heel.rows")
    if rows and _least_foot(plan.instead("heel.rows", None), gauge) <= LONGEST_FOOT:
        flaps = {number: plan.instead("heel.rows", number) for number in range(rows - 1, 0, -1)}
        why = f"a flap of {rows} rows needs {needs}; write {_largest(flaps, gauge)} or fewer"
        return WillNotWork("heel.rows", why)
    repeat = leg_fabric.repeat_of(plan)
    stitches, _ = _stitches(
        plan, gauge.stitches, fit.RIBS[plan.of("cuff.rib")], plan.of("leg.fabric") == "rib", repeat
    )
    multiple = fit.RIBS[plan.of("cuff.rib")].stitches if repeat is None else repeat.width
    # Her own heel and foot belong to her own number of stitches.
    free = plan.instead("heel.stitches", None).instead("foot.stitches", None)
    free = free.instead("heel.rows", None)
    socks = {
        number: free.instead("leg.stitches", number)
        for number in range(stitches - multiple - stitches % multiple, SMALLEST - 1, -multiple)
    }
    why = f"{stitches} stitches at this gauge need {needs}; write {_largest(socks, gauge)} or fewer"
    return WillNotWork("leg.stitches", why)


def _largest(plans: Mapping[int, Plan], gauge: Gauge) -> int:
    """The first number whose plan is a sock for her foot, else for a foot that there is, else the last."""
    least = {number: _least_foot(plan, gauge) for number, plan in plans.items()}
    for most in (0.0, LONGEST_FOOT):
        for number, foot in least.items():
            if foot <= most:
                return number
    return min(plans)


def _least_foot(plan: Plan, gauge: Gauge) -> float:
    """The shortest foot (mm) that leaves room between gusset and toe; 0 where hers does."""
    try:
        _count(plan, gauge, [])
    except _NoFootLeft as bad:
        return bad.least
    except WillNotWork:
        return inf
    return 0.0
