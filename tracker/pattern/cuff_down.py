"""From a plan to the pattern of a sock, knitted from the cuff down or from the toe up.

The result is the pattern file's tables: every number, every row with its work and its claim,
every default written out. Nothing here reads it back; that is for `reading` and the audit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tracker.pattern import fit, toe_up
from tracker.pattern.counts import Sock, count, fit_of, set_up_rounds
from tracker.pattern.look_over import look_over, tenths
from tracker.pattern.loom import MOST_LETTERS
from tracker.pattern.model import AT_SIDE, CUFF_ROW_FACTOR, Gauge
from tracker.pattern.notation import LONGEST_ROW
from tracker.pattern.orders import read_order
from tracker.pattern.plan import FIELDS, Plan, WillNotWork
from tracker.pattern.reading import read_gauge
from tracker.pattern.sections import sections
from tracker.pattern.stages import is_there, nth
from tracker.pattern.tables import MOST_WASHED
from tracker.records import NamedTuple
from tracker.units import (
    MM_PER,
    Length,
    round_half_up,
    shorten,
    whole,
    write_exactly,
)


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
        field = "gauge.rows" if odd_gauge else bad.field
        raise WillNotWork(field, " ".join([*odd_gauge, _sentence(bad.why, odd_gauge)])) from None
    document: dict[str, Any] = _written_out(plan)
    document["numbers"] = _numbers(plan, sock, gauge.stitches)
    if plan.stages:
        document["stage"] = [dict(stage) for stage in plan.stages]
    made = toe_up.sections if plan.of("direction") == "toe-up" else sections
    document["section"] = made(plan, sock)
    _check_letters(document["section"])
    _check_order(plan)
    _check_stages(plan, [str(section["name"]) for section in document["section"]])
    notes += look_over(plan, sock, gauge)
    return Computed(document, tuple(notes))


def _check_letters(written: Sequence[Mapping[str, Any]]) -> None:
    """Rows of a repeat that are too long to be written on every needle. Raises WillNotWork."""
    rows = {row for table in written for row in (*table["rows"], table.get("set_up", ""))}
    longest, letters = max(map(len, rows)), sum(map(len, rows))
    if longest > LONGEST_ROW or letters > MOST_LETTERS:
        told = f"a round of it takes {longest} letters to write, all of them {letters}"
        raise WillNotWork(
            "leg.repeat",
            f"{told}; write a repeat with fewer rows, or with more stitches alike, of which rounds have at "
            f"most {LONGEST_ROW} letters, all {MOST_LETTERS}",
        )


def _check_order(plan: Plan) -> None:
    """Both socks at once need needles that hold both. Raises WillNotWork."""
    order, on = read_order(str(plan.of("pair.order"))), str(plan.of("needles.set"))
    if order.kind == "together" and on not in AT_SIDE:
        raise WillNotWork(
            "pair.order",
            f"both socks at once take two circulars or one long circular, not a set of {on}; write "
            'order = "section by section"',
        )


def _check_stages(plan: Plan, names: Sequence[str]) -> None:
    """A stage names sections that there are. Raises WillNotWork."""
    told = [
        (index, str(name))
        for index, stage in enumerate(plan.stages)
        for name in stage.get("sections", ())
    ]
    for index, name in told:
        if not is_there(name, names):
            from difflib import get_close_matches

            near = get_close_matches(name, ["heel", *names], n=1, cutoff=0.5)
            instead = near[0] if near else ", ".join(dict.fromkeys(names))
            why = f'there is no section "{shorten(name)}"; write {instead}'
            raise WillNotWork(f"{nth('stage', index)}.sections", why)


def _gauge(plan: Plan, notes: list[str]) -> Gauge:
    given = plan.tables["gauge"]
    gauge = read_gauge({**given, "per": write_exactly(given["per"])})
    if not FEWEST <= gauge.stitches <= MOST:
        notes.append(_rare_gauge(given["stitches"], given["per"], gauge.stitches))
    ratio = gauge.rows / gauge.stitches
    usually = "0.95 to 1.25" if plan.of("leg.fabric") == "stranded" else "1.3 to 1.5"
    if not 0.6 <= ratio <= 3:
        raise WillNotWork(
            "gauge.rows",
            f"{given['rows']:g} rows to {given['stitches']:g} stitches cannot be; rows are usually "
            f"1.3 to 1.5 times the stitches, so write about {whole(given['stitches'] * 1.4)}",
        )
    _look_over_washing(given, gauge, notes)
    # A stranded leg may have been swatched in one colour; that is said where its rows are.
    low, high = (STRANDED_RATIO[0] if plan.of("leg.fabric") == "stranded" else 1.1), 1.7
    if not low <= ratio <= high:
        notes.append(
            f"{given['stitches']:g} stitches and {given['rows']:g} rows? Rows are usually {usually} "
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


STRANDED_RATIO = (0.95, 1.25)
"""Rows to stitches of a swatch in two colours (common practice, no source)."""
ODD_WASHING = 0.1
"""A change of length at washing, as a share, that is asked about (common practice, no source)."""


FEWEST, MOST = 10, 60
"""Stitches to 10 cm that socks have (common practice, no source)."""


def _rare_gauge(stitches: float, per: Length, per_100mm: float) -> str:
    """A gauge that is hardly a sock's, and the slip it may be."""
    counted = f"{stitches:g} stitches to {write_exactly(per)}"
    if per.mm != 100:
        counted = f"{counted}, which is {tenths(per_100mm)} to 10 cm"
    said = f"{counted}? Socks have {FEWEST} to {MOST} stitches to 10 cm"
    if per.mm > MM_PER["in"] and FEWEST <= stitches * 100 / MM_PER["in"] <= MOST:
        return f'{said}; if it was counted over an inch, write per = "1 in".'
    if FEWEST <= stitches * MM_PER["in"] / per.mm <= MOST and per.mm < 100:
        return f'{said}; if it was counted over 10 cm, write per = "10 cm".'
    return f"{said}; count the stitches of a swatch over 10 cm once more."


def _numbers(plan: Plan, sock: Sock, sg: float) -> dict[str, Any]:
    around = plan.millimetres("foot.circumference")
    ease = None if around is None else fit.effective_ease(sock.foot, around, sg)
    numbers = {
        "cast_on": sock.cast_on, "cuff_rounds": sock.cuff_rounds, "leg_rounds": sock.leg_rounds,
        "heel_stitches": sock.heel, "instep_stitches": sock.instep,
        **sock.heel_work.numbers(), "foot_rounds": sock.foot_rounds,
        "toe_rounds": sock.toe.rounds, "graft_stitches": None if sock.toe.pointed else sock.toe.end // 2,
        "effective_ease": ease,
    }  # fmt: skip
    if plan.of("direction") == "toe-up":
        # No toe is grafted, and the cast-on is that of the toe.
        last = set_up_rounds(sock.toe, sock.foot, toe_up=True)
        numbers |= {
            "cast_on": toe_up.cast_on(sock), "graft_stitches": None,
            "toe_rounds": sock.toe.rounds + last,
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
    for place, value in _of_the_fabric(plan).items():
        table, _, field = place.partition(".")
        document[table].setdefault(field, value)
    return document


def _of_the_fabric(plan: Plan) -> dict[str, float]:
    """The defaults that follow the fabric and the yarn; no ease is in force beside her own stitches."""
    fitting = fit_of(plan)
    told = {
        "cuff.row_factor": CUFF_ROW_FACTOR, "leg.stretch": fitting.stretch,
        "leg.row_factor": fitting.row_factor,
    }  # fmt: skip
    if not plan.of("leg.stitches"):
        told["leg.ease"] = fitting.ease
    return {place: float(round_half_up(value, 4)) for place, value in told.items()}


def _sentence(why: str, after: Sequence[str]) -> str:
    return why[:1].upper() + why[1:] if after else why
