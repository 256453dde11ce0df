"""From a plan to the pattern of a sock knitted from the cuff down on double-pointed needles.

The result is the pattern file's tables: every number, every row with its work and its claim,
every default written out. Nothing here reads it back; that is for `reading` and the audit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil, inf
from typing import Any, NamedTuple

from tracker.pattern import cuff, fit, heel, sizes, toe
from tracker.pattern.colours import Colours, full_stripes, read_stripes
from tracker.pattern.model import Gauge
from tracker.pattern.plan import FIELDS, KEPT_FOR_LATER, Plan, WillNotWork
from tracker.pattern.reading import read_gauge
from tracker.units import (
    MM_PER,
    Length,
    Unit,
    read_length,
    round_half_up,
    shorten,
    whole,
    write_length,
)

FOOT_SHARE = 0.95
"""A sock's foot is this much of the foot it is for."""
SMALLEST = 2 * heel.SMALLEST
"""A sock of fewer stitches has no heel that can be turned."""
LONGEST_FOOT = FIELDS["foot"]["length"].high
"""No plan takes a longer foot, in mm."""
LEG_OVER_FOOT = 1.12
"""A leg wider than this many times the foot wants shaping."""
HEEL_OVER_FOOT = 1.35
"""The way round heel and instep, over the foot's circumference, where it was not measured."""


class Computed(NamedTuple):
    """A pattern file's tables, and what she should know about them, a sentence each."""

    document: dict[str, Any]
    notes: tuple[str, ...]


class _Sock(NamedTuple):
    """All the counts of one sock."""

    stitches: int
    cast_on: int
    heel: int
    instep: int
    needles: int
    row_mm: float
    cuff_rounds: int
    leg_rounds: int
    flap_rows: int
    turn: heel.Turn
    gusset: heel.Gusset
    foot: int
    foot_goal_mm: float
    foot_rounds: int
    wedge: toe.Wedge
    wanted: float | None


def compute(plan: Plan) -> Computed:
    """Compute `plan`. Raises WillNotWork, naming the field and numbers that work."""
    notes: list[str] = []
    gauge = _gauge(plan, notes)
    odd_gauge = tuple(notes)
    try:
        sock = _sock(plan, gauge.stitches, gauge.rows, notes)
    except WillNotWork as found:
        bad = found
        if isinstance(found, _NoFootLeft) and found.least > LONGEST_FOOT:
            bad = _longer_than_any_foot(plan, gauge, found)
        # A gauge that was swapped explains the rest: it is asked about first.
        raise WillNotWork(
            bad.field, " ".join([*odd_gauge, _sentence(bad.why, odd_gauge)])
        ) from None
    sections = _sections(plan, sock)
    document: dict[str, Any] = _written_out(plan)
    document["numbers"] = _numbers(plan, sock, gauge.stitches)
    if plan.stages:
        document["stage"] = [dict(stage) for stage in plan.stages]
    document["section"] = sections
    _look_over(plan, sock, gauge.stitches, notes)
    return Computed(document, tuple(notes))


def _gauge(plan: Plan, notes: list[str]) -> Gauge:
    given = plan.tables["gauge"]
    gauge = read_gauge({**given, "per": _length_text(given["per"])})
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
    if not 1.1 <= ratio <= 1.7:
        notes.append(
            f"{given['stitches']:g} stitches and {given['rows']:g} rows? Rows are usually 1.3 to 1.5 "
            "times the stitches; were they swapped, or measured over different lengths?"
        )
    return gauge


def _gauge_slip(stitches: float, per: Length, per_100mm: float) -> str:
    counted = f"{stitches:g} stitches to {_length_text(per)}"
    said = f"{counted} is {_tenths(per_100mm)} to 10 cm; socks have 10 to 60"
    if per.mm > MM_PER["in"] and 10 <= stitches * 100 / MM_PER["in"] <= 60:
        return f'{said}. If it is per inch, write per = "1 in"'
    return f"{said}. Count the stitches of a swatch over 10 cm and write them"


def _sock(plan: Plan, sg: float, rg: float, notes: list[str]) -> _Sock:
    row_mm = 100 / rg
    stitches, wanted = _stitches(plan, sg)
    on_heel = _heel_stitches(plan, stitches)
    cast_on = cuff.cuff_stitches(stitches, plan.of("cuff.rib"))
    cuff_rounds, leg_rounds = _above_the_heel(plan, rg, stitches != cast_on, notes)
    flap = heel.flap_rows(on_heel, plan.of("heel.rows"))
    if plan.of("heel.rows") and flap != plan.of("heel.rows"):
        notes.append(
            f"The flap of {plan.of('heel.rows')} rows became {flap}: both edges need the same number."
        )
    turn = heel.rounded_turn(on_heel, plan.of("heel.centre"))
    foot = _foot_stitches(plan, stitches, stitches - on_heel)
    gusset = heel.gusset(turn, flap, plan.of("heel.gap"), stitches - on_heel, foot)
    wedge = toe.wedge(foot - foot % 2)
    goal = float(whole(_foot_mm(plan, notes) * FOOT_SHARE))
    heel_mm = (turn.rows + 1) * row_mm
    foot_rounds = whole((goal - wedge.rounds * row_mm - heel_mm) / row_mm)
    if foot_rounds < gusset.rounds:
        enough = (gusset.rounds - 0.5 + wedge.rounds) * row_mm + heel_mm
        least = ceil(enough + 1e-6) / FOOT_SHARE
        raise _NoFootLeft(plan, foot_rounds, gusset.rounds, least)
    return _Sock(
        stitches, cast_on, on_heel, stitches - on_heel, 4 if plan.of("needles.set") == "five" else 3,
        row_mm, cuff_rounds, leg_rounds,
        flap, turn, gusset, foot, goal, foot_rounds, wedge, wanted,
    )  # fmt: skip


def _stitches(plan: Plan, sg: float) -> tuple[int, float | None]:
    fabric, rib = plan.of("leg.fabric"), sum(fit.RIBS[plan.of("cuff.rib")])
    given, around = plan.of("leg.stitches"), plan.millimetres("foot.circumference")
    if given:
        if fabric == "rib" and given % rib:
            low = given - given % rib
            raise WillNotWork(
                "leg.stitches",
                f"{plan.of('cuff.rib')} does not divide {given} stitches; write {low} or {low + rib}",
            )
        return given, None
    if around is None:
        raise WillNotWork("foot.circumference", 'missing; write circumference = "23.6 cm"')
    ease = plan.of("leg.ease") if plan.of("leg.ease") is not None else fit.EASE[fabric]
    chosen = fit.around(around, sg, ease, rib)
    if chosen.stitches < SMALLEST:
        least = _at_least(SMALLEST * 100 / (sg * (1 - ease)), plan.unit)
        raise WillNotWork(
            "foot.circumference",
            f"{chosen.stitches} stitches are too few for a heel; write a finer gauge, or a foot of {least}",
        )
    return chosen.stitches, chosen.wanted


def _heel_stitches(plan: Plan, stitches: int) -> int:
    given: int | None = plan.of("heel.stitches")
    if given is None:
        return stitches // 2
    if abs(stitches - 2 * given) > 4:
        low, high = max(heel.SMALLEST, (stitches - 4 + 1) // 2), (stitches + 4) // 2
        raise WillNotWork(
            "heel.stitches",
            f"{given} of {stitches} is too far from half; write {low} to {high}",
        )
    return given


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


def _cuff_rounds(plan: Plan, rg: float) -> int:
    if plan.of("cuff.rounds"):
        return int(plan.of("cuff.rounds"))
    return cuff.rounds(plan.of("cuff.length").mm, rg)


def _above_the_heel(plan: Plan, rg: float, changes: bool, notes: list[str]) -> tuple[int, int]:
    """Rounds of the cuff and of the leg; `changes` where the leg has not the cuff's stitches."""
    cuff_rounds = _cuff_rounds(plan, rg)
    if plan.of("leg.rounds") is not None:
        leg_rounds = int(plan.of("leg.rounds"))
        if leg_rounds < 1 and changes:
            why = "the leg needs a round to change from the cuff's stitches; write at least 1"
            raise WillNotWork("leg.rounds", why)
    else:
        cuff_mm = plan.millimetres("cuff.length") or cuff.length_mm(cuff_rounds, rg)
        leg_rounds = _leg_rounds(plan, 100 / rg, cuff_mm, changes)
        if leg_rounds < 0:
            # A cuff given in rounds stays as it is: that number is hers.
            if not plan.of("cuff.rounds"):
                cuff_rounds = cuff.rounds(plan.of("leg.length").mm, rg)
            leg_rounds = 0
    if not leg_rounds:
        notes.append(
            f"The leg is all cuff: {cuff_rounds} rounds of it, 0 leg rounds. Is a ribbed ankle sock meant?"
        )
    return cuff_rounds, leg_rounds


def _leg_rounds(plan: Plan, row_mm: float, cuff_mm: float, changes: bool) -> int:
    """Rounds between the cuff and the length of the leg, below nought where it is shorter."""
    leg: Length = plan.of("leg.length")
    # An open leg goes on with its plain round: where the count changes it needs two.
    least = cuff_mm + 1.5 * row_mm
    if changes and leg.mm < least:
        raise WillNotWork(
            "leg.length",
            f"{_length_text(leg)} from the cast-on edge leaves no rounds below the cuff of "
            f"{write_length(cuff_mm, plan.unit)} to change its stitches in; shorten the cuff, or write "
            f"{_at_least(least, plan.unit)} or more",
        )
    return -1 if leg.mm < cuff_mm else whole((leg.mm - cuff_mm) / row_mm)


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
    """The gusset would run into the toe of a foot shorter than `least` mm."""

    def __init__(self, plan: Plan, foot_rounds: int, gusset_rounds: int, least: float) -> None:
        self.least = least
        super().__init__(
            "foot.shoe" if plan.of("foot.length") is None else "foot.length",
            f"the gusset of {gusset_rounds} rounds would run into the toe: there are "
            f"{max(foot_rounds, 0)} rounds before it; make the flap shorter (heel.rows), or write a foot "
            f"of {_at_least(least, plan.unit)} or more",
        )


def _longer_than_any_foot(plan: Plan, gauge: Gauge, bad: _NoFootLeft) -> WillNotWork:
    """Not the foot is at fault but the flap or the stitches: the largest that make a sock are told."""
    needs = f"a foot of {write_length(bad.least, plan.unit)}, longer than any"
    rows = plan.of("heel.rows")
    if rows and _least_foot(plan.instead("heel.rows", None), gauge) <= LONGEST_FOOT:
        flaps = {number: plan.instead("heel.rows", number) for number in range(rows - 1, 0, -1)}
        why = f"a flap of {rows} rows needs {needs}; write {_largest(flaps, gauge)} or fewer"
        return WillNotWork("heel.rows", why)
    stitches, _ = _stitches(plan, gauge.stitches)
    multiple = sum(fit.RIBS[plan.of("cuff.rib")])
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
        _sock(plan, gauge.stitches, gauge.rows, [])
    except _NoFootLeft as bad:
        return bad.least
    except WillNotWork:
        return inf
    return 0.0


def _sections(plan: Plan, sock: _Sock) -> list[dict[str, Any]]:
    names = [f"N{place}" for place in range(1, sock.needles + 1)]
    in_cuff = _cuff_needles(plan, sock)
    sections = [_cuff(plan, sock, names, in_cuff)]
    if sock.leg_rounds:
        sections.append(_leg(plan, sock, names, in_cuff))
    sections += [
        _heel_set_up(sock, names),
        _flap(sock, names),
        _turn(sock, names),
        _gusset(sock, names),
    ]
    if sock.foot_rounds > sock.gusset.rounds:
        sections.append(_foot(plan, sock, names))
    return [*sections, _toe(sock, names), _graft(sock)]


def _cuff_needles(plan: Plan, sock: _Sock) -> tuple[int, ...]:
    if sock.needles == 3:
        return _around(3, sock.cast_on // 2, sock.cast_on - sock.cast_on // 2)
    return fit.share(sock.cast_on, 4, sum(fit.RIBS[plan.of("cuff.rib")]))


def _around(needles: int, sole: int, instep: int) -> tuple[int, ...]:
    """Heel or sole at both ends of the round, the instep between them."""
    first, last = fit.halves(sole)
    return (first, instep, last) if needles == 3 else (first, *fit.halves(instep), last)


def _cuff(plan: Plan, sock: _Sock, names: list[str], on: tuple[int, ...]) -> dict[str, Any]:
    rows = [_row(cuff.rib_work(plan.of("cuff.rib"), on), on)]
    return _section("cuff", "rounds", names, on, rows=rows, repeat=sock.cuff_rounds)


def _leg(plan: Plan, sock: _Sock, names: list[str], on: tuple[int, ...]) -> dict[str, Any]:
    table = _section("leg", "rounds", names, on, rows=[])
    counts: Sequence[int] = on
    if sock.stitches != sock.cast_on:
        work, counts = cuff.change_round(on, sock.stitches)
        table["first"] = [_row(work, counts)]
    ribbed = plan.of("leg.fabric") == "rib"
    work = cuff.rib_work(plan.of("cuff.rib"), counts) if ribbed else ["k"] * len(counts)
    table["rows"] = [_row(work, counts)]
    goal: Length | None = None if plan.of("leg.rounds") is not None else plan.of("leg.length")
    if goal is None:
        return table | {"repeat": sock.leg_rounds - len(table.get("first", ()))}
    return table | {"planned": sock.leg_rounds, "until": _length_text(goal), "mark": "cast-on"}


def _heel_set_up(sock: _Sock, names: list[str]) -> dict[str, Any]:
    on = _around(sock.needles, sock.heel, sock.instep)
    table = _section("heel set-up", "rows", names, on, rows=[f"RS: k{on[0]}, turn = {sock.heel}"])
    return table | {"onto": "heel", "resting_names": names[1:-1]}


def _flap(sock: _Sock, names: list[str]) -> dict[str, Any]:
    return _flat("flap", sock, names, sock.heel, heel.slipped_flap(sock.heel)) | {
        "repeat": sock.flap_rows // 2
    }


def _turn(sock: _Sock, names: list[str]) -> dict[str, Any]:
    return _flat("turn", sock, names, sock.heel, list(heel.turn_rows(sock.turn, "WS")))


def _flat(kind: str, sock: _Sock, names: list[str], on: int, rows: list[str]) -> dict[str, Any]:
    table = _section(kind, "rows", ["heel"], (on,), rows=rows)
    instep = _around(sock.needles, sock.heel, sock.instep)[1:-1]
    return table | {"resting": list(instep), "resting_names": names[1:-1]}


def _gusset(sock: _Sock, names: list[str]) -> dict[str, Any]:
    instep = _around(sock.needles, sock.heel, sock.instep)[1:-1]
    first, last = fit.halves(sock.turn.live)
    up = sock.gusset.picked_up
    counts = [first + up, *instep, last + up]
    work = [f"rest {first}, pick up {up}", *("k" for _ in instep), f"pick up {up}, k{last}"]
    table = _section("gusset", "rounds", names, (first, *instep, last), rows=[])
    table["set_up"] = _row(work, counts)
    plain = ["k"] * sock.needles
    decrease = [toe.ENDING, *("k" for _ in instep), toe.BEGINNING]
    for number in range(1, sock.gusset.rounds + 1):
        if number % 2:
            counts = [counts[0] - 1, *instep, counts[-1] - 1]
        table["rows"].append(_row(decrease if number % 2 else plain, counts))
    return table


def _foot(plan: Plan, sock: _Sock, names: list[str]) -> dict[str, Any]:
    on = _around(sock.needles, sock.gusset.sole, sock.gusset.instep)
    table = _section("foot", "rounds", names, on, rows=[_row(["k"] * sock.needles, on)])
    return table | {
        "planned": sock.foot_rounds - sock.gusset.rounds,
        "until": _length_text(Length(sock.foot_goal_mm, plan.unit, 0)),
        "mark": "heel",
        "less": "toe",
    }


def _toe(sock: _Sock, names: list[str]) -> dict[str, Any]:
    # Halves that differ are made equal by moving a needle border; an odd stitch is knitted away.
    odd = sock.foot % 2
    instep_larger = sock.gusset.instep > sock.gusset.sole
    instep = sock.foot // 2 + (odd if instep_larger else 0)
    on = _around(sock.needles, sock.foot - instep, instep)
    table = _section("toe", "rounds", names, on, rows=[])
    half = sock.wedge.stitches // 2
    counts = _around(sock.needles, half, half)
    if odd:
        table["set_up"] = _row(_toe_set_up(on, counts), counts)
    decrease, plain = toe.decrease_work(sock.needles), ["k"] * sock.needles
    taken = [1, 2, 1] if sock.needles == 3 else [1, 1, 1, 1]
    for number in range(1, sock.wedge.rounds + 1):
        decreases = number % 2 == 1 or number > 2 * sock.wedge.alternate
        if decreases:
            counts = tuple(count - by for count, by in zip(counts, taken, strict=True))
        table["rows"].append(_row(decrease if decreases else plain, counts))
    return table


def _toe_set_up(before: Sequence[int], after: Sequence[int]) -> list[str]:
    work = []
    for place, (had, has) in enumerate(zip(before, after, strict=True)):
        ends_half = place in (0, 2) or len(before) == 3
        decrease = "k to last 3, k2tog, k1" if ends_half and place < 3 else "k1, k2tog, k to end"
        work.append("k" if had == has else decrease)
    return work


def _graft(sock: _Sock) -> dict[str, Any]:
    half = sock.wedge.end // 2
    return _section(
        "graft",
        "rows",
        ["sole", "instep"],
        (half, half),
        rows=[f"RS: graft {half} | graft {half} = 0/0"],
    )


def _section(
    kind: str, worked: str, names: list[str], on: Sequence[int], *, rows: list[str], **more: Any
) -> dict[str, Any]:
    return {
        "name": kind, "kind": kind, "worked": worked, "names": list(names), "needles": list(on),
        "rows": rows, **more,
    }  # fmt: skip


def _row(work: Sequence[str], counts: Sequence[int]) -> str:
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"


def _numbers(plan: Plan, sock: _Sock, sg: float) -> dict[str, Any]:
    around = plan.millimetres("foot.circumference")
    ease = None if around is None else fit.effective_ease(sock.stitches, around, sg)
    numbers = {
        "cast_on": sock.cast_on, "cuff_rounds": sock.cuff_rounds, "leg_rounds": sock.leg_rounds,
        "heel_stitches": sock.heel, "instep_stitches": sock.instep, "flap_rows": sock.flap_rows,
        "turn_rows": sock.turn.rows, "heel_centre": sock.turn.live,
        "after_pick_up": sock.gusset.total, "gusset_decrease_rounds": sock.gusset.decreases,
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
            field: _length_text(value) if isinstance(value, Length) else value
            for field in fields
            if (value := plan.tables[table][field]) is not None
        }
        if table == "":
            document |= values
        elif values:
            document[table] = values
    return document


def _length_text(length: Length) -> str:
    """The length as a pattern file keeps it: exact to a hundredth of a millimetre."""
    number = length.mm / MM_PER[length.unit]
    if length.unit == "in":
        written = write_length(length.mm, "in")
        return written if abs(read_length(written).mm - length.mm) < 1e-4 else f"{number:.4f} in"
    return f"{number:.4f}".rstrip("0").rstrip(".") + f" {length.unit}"


def _at_least(mm: float, unit: Unit) -> str:
    """The shortest whole mm, tenth of a cm or eighth of an inch that is not below `mm`."""
    grain = {"mm": 1.0, "cm": 1.0, "in": MM_PER["in"] / 8}[unit]
    return write_length(ceil(mm / grain - 1e-9) * grain, unit)


def _look_over(plan: Plan, sock: _Sock, sg: float, notes: list[str]) -> None:
    around = plan.millimetres("foot.circumference")
    _look_over_foot(plan, notes)
    if around is not None:
        _look_over_ease(sock, sg, around, fit.EASE_BAND[plan.of("leg.fabric")], notes)
        _look_over_openings(plan, sock, sg, around, notes)
    if sock.cast_on != sock.stitches:
        notes.append(
            f"The cuff has {sock.cast_on} stitches, which {plan.of('cuff.rib')} divides; "
            f"the first round of the leg goes to {sock.stitches}."
        )
    if sock.needles == 4 and min(_around(4, sock.heel, sock.instep)) < 6:
        notes.append("There are fewer than 6 stitches on a needle; a set of four may be handier.")
    _look_over_stripes(plan, sock, notes)
    if plan.stages or any(any(_given(plan, name)) for name in KEPT_FOR_LATER):
        notes.append(
            "Yarn and stages are kept with the pattern; this version does not follow them yet."
        )


def _look_over_openings(
    plan: Plan, sock: _Sock, sg: float, around: float, notes: list[str]
) -> None:
    heel_mm = plan.millimetres("foot.heel") or HEEL_OVER_FOOT * around
    opens = sock.stitches * 100 / sg * fit.STRETCH[plan.of("leg.fabric")]
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


def _look_over_stripes(plan: Plan, sock: _Sock, notes: list[str]) -> None:
    """Offer a leg that ends on a full stripe, where that is near enough; it is never made so unasked."""
    stripes = Colours(stripes=read_stripes(plan.of("colours.leg") or ()))
    full = full_stripes(stripes, sock.leg_rounds, sock.row_mm)
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
            notes.append(f"A foot of {_length_text(length)} ({field}) is rare; is it right?")


def _given(plan: Plan, table: str) -> list[bool]:
    values = plan.tables[table]
    return [value is not None for value in values.values()]


def _look_over_ease(
    sock: _Sock, sg: float, around: float, band: tuple[float, float], notes: list[str]
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
