"""From a plan to the pattern of a sock knitted from the cuff down.

The result is the pattern file's tables: every number, every row with its work and its claim,
every default written out. Nothing here reads it back; that is for `reading` and the audit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from tracker.pattern import fit
from tracker.pattern.colours import Colours, full_stripes, read_stripes
from tracker.pattern.counts import Fit, Sock, count, fit_of
from tracker.pattern.model import Gauge
from tracker.pattern.plan import FIELDS, KEPT_FOR_LATER, Plan, WillNotWork
from tracker.pattern.reading import read_gauge
from tracker.pattern.sections import sections
from tracker.pattern.tables import MOST_WASHED
from tracker.units import (
    MM_PER,
    Length,
    Unit,
    round_half_up,
    shorten,
    whole,
    write_exactly,
    write_length,
)

LEG_OVER_FOOT = 1.12
"""A leg wider than this many times the foot wants shaping."""
HEEL_OVER_FOOT = 1.35
"""The way round heel and instep, over the foot's circumference, where it was not measured."""


class Computed(NamedTuple):
    """A pattern file's tables, and what she should know about them, a sentence each."""

    document: dict[str, Any]
    notes: tuple[str, ...]


def compute(plan: Plan) -> Computed:
    """Compute `plan`. Raises WillNotWork, naming the field and numbers that work."""
    notes: list[str] = []
    gauge = _gauge(plan, notes)
    odd_gauge = tuple(notes)
    try:
        sock = count(plan, gauge, notes)
    except WillNotWork as bad:
        # A gauge that was swapped explains the rest: it is asked about first.
        raise WillNotWork(
            bad.field, " ".join([*odd_gauge, _sentence(bad.why, odd_gauge)])
        ) from None
    document: dict[str, Any] = _written_out(plan)
    document["numbers"] = _numbers(plan, sock, gauge.stitches)
    if plan.stages:
        document["stage"] = [dict(stage) for stage in plan.stages]
    document["section"] = sections(plan, sock)
    _look_over(plan, sock, gauge.stitches, notes)
    return Computed(document, tuple(notes))


def _gauge(plan: Plan, notes: list[str]) -> Gauge:
    given = plan.tables["gauge"]
    gauge = read_gauge({**given, "per": write_exactly(given["per"])})
    if not 10 <= gauge.stitches <= 60:
        raise WillNotWork(
            "gauge.stitches", _gauge_slip(given["stitches"], given["per"], gauge.stitches)
        )
    ratio = gauge.rows / gauge.stitches
    if not 0.6 <= ratio <= 3:
        raise WillNotWork(
            "gauge.rows",
            f"{given['rows']:g} rows to {given['stitches']:g} stitches cannot be; rows are usually "
            f"1.3 to 1.5 times the stitches, so write about {whole(given['stitches'] * 1.4)}",
        )
    _look_over_washing(given, gauge, notes)
    if not 1.1 <= ratio <= 1.7:
        notes.append(
            f"{given['stitches']:g} stitches and {given['rows']:g} rows? Rows are usually 1.3 to 1.5 "
            "times the stitches; were they swapped, or measured over different lengths?"
        )
    return gauge


def _look_over_washing(given: Mapping[str, Any], gauge: Gauge, notes: list[str]) -> None:
    """Rows before washing that cannot be those of the same swatch, or hardly."""
    unwashed, rows = given["unwashed_rows"], given["rows"]
    if not 1 / MOST_WASHED < 1 + gauge.grows < MOST_WASHED:
        raise WillNotWork(
            "gauge.unwashed_rows",
            f"{unwashed:g} rows before washing and {rows:g} after it cannot be one swatch; count both "
            "over the same length, or leave unwashed_rows out",
        )
    if abs(gauge.grows) > ODD_WASHING:
        longer = "longer" if gauge.grows > 0 else "shorter"
        notes.append(
            f"{unwashed:g} rows before washing and {rows:g} after it: washing would make the sock "
            f"{whole(abs(gauge.grows) * 100)} % {longer}, where 0 to 5 % is usual; were both counted "
            "over the same length?"
        )


ODD_WASHING = 0.1
"""A change of length at washing, as a share, that is asked about (common practice, no source)."""


def _gauge_slip(stitches: float, per: Length, per_100mm: float) -> str:
    counted = f"{stitches:g} stitches to {write_exactly(per)}"
    said = f"{counted} is {_tenths(per_100mm)} to 10 cm; socks have 10 to 60"
    if per.mm > MM_PER["in"] and 10 <= stitches * 100 / MM_PER["in"] <= 60:
        return f'{said}. If it is per inch, write per = "1 in"'
    return f"{said}. Count the stitches of a swatch over 10 cm and write them"


def _numbers(plan: Plan, sock: Sock, sg: float) -> dict[str, Any]:
    around = plan.millimetres("foot.circumference")
    ease = None if around is None else fit.effective_ease(sock.stitches, around, sg)
    numbers = {
        "cast_on": sock.cast_on, "cuff_rounds": sock.cuff_rounds, "leg_rounds": sock.leg_rounds,
        "heel_stitches": sock.heel, "instep_stitches": sock.instep, "flap_rows": sock.flap_rows,
        "turn_rows": sock.turn.rows, "heel_centre": sock.turn.live,
        "after_pick_up": sock.gusset.total, "gusset_decrease_rounds": len(sock.gusset.decreases),
        "gusset_rounds": sock.gusset.rounds, "foot_rounds": sock.foot_rounds,
        "toe_rounds": sock.wedge.rounds, "graft_stitches": sock.wedge.end // 2,
        "effective_ease": ease,
    }  # fmt: skip
    return {name: value for name, value in numbers.items() if value is not None}


def _written_out(plan: Plan) -> dict[str, Any]:
    """The plan's own tables, with every default, in the form of a plan file."""
    document: dict[str, Any] = {"unit": plan.unit}
    for table, fields in FIELDS.items():
        values = {
            field: write_exactly(value) if isinstance(value, Length) else value
            for field in fields
            if (value := plan.tables[table][field]) is not None
        }
        if table == "":
            document |= values
        elif values:
            document[table] = values
    return document


def _look_over(plan: Plan, sock: Sock, sg: float, notes: list[str]) -> None:
    around = plan.millimetres("foot.circumference")
    _look_over_foot(plan, notes)
    if around is not None:
        fitting = fit_of(plan)
        _look_over_ease(sock, sg, around, fitting.fits, notes)
        _look_over_openings(plan, sock, sg, around, fitting, notes)
    if not fit.springs_back(plan.of("yarn.fibre") or ""):
        notes.append(_on_slack_yarn(plan))
    if sock.cast_on != sock.stitches:
        notes.append(
            f"The cuff has {sock.cast_on} stitches, which {plan.of('cuff.rib')} divides; "
            f"the first round of the leg goes to {sock.stitches}."
        )
    if len(sock.on) == 4 and min(sock.layout.around(sock.heel, sock.instep)) < 6:
        notes.append("There are fewer than 6 stitches on a needle; a set of four may be handier.")
    _look_over_stripes(plan, sock, notes)
    if plan.stages or any(plan.of(place) is not None for place in KEPT_FOR_LATER):
        notes.append(
            "The yarn's lot and stages are kept with the pattern; this version does not follow them yet."
        )


def _on_slack_yarn(plan: Plan) -> str:
    """What a yarn that does not spring back changed: only what she left open."""
    changed = [
        *(["3 % more ease"] if plan.of("leg.ease") is None and not plan.of("leg.stitches") else []),
        "a foot 1 % shorter, for it grows in wear",
    ]
    return (
        f"{plan.of('yarn.fibre')} does not spring back: {' and '.join(changed)}. Take a needle one size"
        " smaller for the cuff, or a twisted rib."
    )


def _look_over_openings(
    plan: Plan, sock: Sock, sg: float, around: float, fitting: Fit, notes: list[str]
) -> None:
    heel_mm = plan.millimetres("foot.heel") or HEEL_OVER_FOOT * around
    opens = sock.stitches * 100 / sg * fitting.stretch
    if opens < heel_mm:
        notes.append(
            f"It will hardly pass the heel: it opens to {write_length(opens, plan.unit)}, the way round heel "
            f"and instep is {write_length(heel_mm, plan.unit)}; take more stitches or a larger needle."
        )
    ankle = plan.millimetres("foot.ankle")
    if ankle is not None and ankle > LEG_OVER_FOOT * around:
        notes.append(
            f"A leg of {write_length(ankle, plan.unit)} is much wider than the foot; it is knitted straight "
            f"on {sock.stitches} stitches, this version does not shape it."
        )


def _look_over_stripes(plan: Plan, sock: Sock, notes: list[str]) -> None:
    """Offer a leg that ends on a full stripe, where that is near enough; it is never made so unasked."""
    stripes = Colours(stripes=read_stripes(plan.of("colours.leg") or ()))
    row_mm = 100 / _gauge(plan, []).rows / fit_of(plan).row_factor
    full = full_stripes(stripes, sock.leg_rounds, row_mm)
    if not full:
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


def _look_over_ease(
    sock: Sock, sg: float, around: float, band: tuple[float, float], notes: list[str]
) -> None:
    ease = fit.effective_ease(sock.stitches, around, sg)
    if band[0] <= ease <= band[1]:
        return
    how = "loose" if ease < band[0] else "tight"
    aim = (band[0] + band[1]) / 2
    near = fit.nearest(around * (1 - aim) * sg / 100, 2)
    needed = 100 * sock.stitches / (around * (1 - aim))
    notes.append(
        f"{sock.stitches} stitches will be {how}: {_off_the_band(ease, band)} than the foot, usual is "
        f"{whole(band[0] * 100)} to {whole(band[1] * 100)} %. {near} stitches would fit at this gauge, or "
        f"{_tenths(needed)} stitches to 10 cm with these."
    )


def _off_the_band(ease: float, band: tuple[float, float]) -> str:
    """How much smaller or larger, to as many decimals as it takes to lie outside the band."""
    rounded = (round_half_up(ease * 100, places) for places in range(9))
    outside = (percent for percent in rounded if not band[0] <= percent / 100 <= band[1])
    percent = next(outside, ease * 100)
    return f"{abs(percent):g} % {'larger' if percent < 0 else 'smaller'}"


def _tenths(number: float) -> str:
    return f"{round_half_up(number, 1):g}"


def _sentence(why: str, after: Sequence[str]) -> str:
    return why[:1].upper() + why[1:] if after else why
