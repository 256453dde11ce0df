"""The sections of a sock knitted from the cuff down: every row written, with what it leaves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tracker.pattern import cuff, heel, repeated, sided_toe
from tracker.pattern.counts import Sock
from tracker.pattern.fit import halves
from tracker.pattern.layout import Layout, shaping
from tracker.pattern.model import HALF_SOLE
from tracker.pattern.plan import Plan
from tracker.pattern.toe import Sided
from tracker.units import Length, write_exactly

Table = dict[str, Any]


def sections(plan: Plan, sock: Sock) -> list[Table]:
    """The sections' tables of a pattern file, from the cuff to the graft."""
    written = [_cuff(sock)]
    if sock.leg_rounds:
        written.append(_leg(plan, sock))
    written += [_heel_set_up(sock), _flap(plan, sock), _turn(sock)]
    if sock.layout.at_side:
        written.append(_first_edge(sock))
    written.append(_gusset(sock))
    if sock.foot_rounds > sock.gusset.rounds:
        written.append(_foot(plan, sock))
    if plan.of("toe.feet") == "alike":
        return [*written, _toe(sock), _graft(sock)]
    if not sock.layout.at_side:
        written.append(_half_sole(sock))
    return [*written, _sided_toe(sock), _graft(sock)]


def _cuff(sock: Sock) -> Table:
    rows = [_row(cuff.rib_work(sock.rib, sock.on, sock.begins), sock.on)]
    return _section(
        "cuff", "rounds", sock.layout.names, sock.on, rows=rows, repeat=sock.cuff_rounds
    )


def _leg(plan: Plan, sock: Sock) -> Table:
    table = _section("leg", "rounds", sock.layout.names, sock.on, rows=[])
    counts: Sequence[int] = sock.on
    if sock.lie is not None:
        return repeated.leg(plan, sock, table)
    if sock.stitches != sock.cast_on:
        work, counts = cuff.change_round(sock.on, sock.stitches)
        table["first"] = [_row(work, counts)]
    work = cuff.rib_work(sock.rib, counts, sock.begins) if sock.leg_ribbed else ["k"] * len(counts)
    table["rows"] = [_row(work, counts)]
    goal: Length | None = None if plan.of("leg.rounds") is not None else plan.of("leg.length")
    if goal is None:
        return table | {"repeat": sock.leg_rounds - len(table.get("first", ()))}
    return table | {"planned": sock.leg_rounds, "until": write_exactly(goal), "mark": "cast-on"}


def _heel_set_up(sock: Sock) -> Table:
    names, on = sock.layout.names, repeated.around_instep(sock, sock.heel)
    if sock.layout.at_side:
        # The instep is worked once more, and rests; the yarn then hangs where the heel begins.
        return _section("heel set-up", "rows", names, on, rows=[_row(["RS: k", ""], on)])
    rows = [f"RS: k{on[0]}, turn = {sock.heel}"]
    table = _section("heel set-up", "rows", names, on, rows=rows)
    return table | {"onto": "heel", "resting_names": list(sock.layout.instep_names)}


def _flap(plan: Plan, sock: Sock) -> Table:
    rows = heel.flap(plan.of("heel.flap"), sock.heel, sock.layout.flap_begins)
    return _flat("flap", sock, sock.heel, rows) | {"planned": sock.flap_rows}


def _turn(sock: Sock) -> Table:
    rows = list(heel.turn_rows(sock.turn, sock.layout.flap_begins))
    return _flat("turn", sock, sock.heel, rows)


def _first_edge(sock: Sock) -> Table:
    """At the side a round begins after the first edge: cup and pick-up are a row of their own."""
    up = sock.gusset.picked_up[0]
    live = sock.turn.live
    rows = [f"RS: k{live}, pick up {up} = {live + up}"]
    return _flat("other", sock, live, rows) | {"name": "first edge"}


def _flat(kind: str, sock: Sock, on: int, rows: list[str]) -> Table:
    table = _section(kind, "rows", ["heel"], (on,), rows=rows)
    instep = repeated.on_instep(sock)
    return table | {"resting": list(instep), "resting_names": list(sock.layout.instep_names)}


def _gusset(sock: Sock) -> Table:
    layout, live = sock.layout, sock.turn.live
    instep = repeated.on_instep(sock)
    if layout.at_side:
        # The first edge is on the needle already.
        before: tuple[int, ...] = (*instep, live + sock.gusset.picked_up[0])
    else:
        first, last = halves(live)
        before = (first, *instep, last)
    plain = repeated.Instep(instep, (tuple(_instep_work(sock)),))
    down = repeated.down_the_foot(sock) or plain
    set_up, *rows = gusset_rows(layout, sock.gusset, live, down)
    table = _section("gusset", "rounds", layout.names, before, rows=rows)
    return table | {"set_up": set_up}


def gusset_rows(
    layout: Layout,
    gusset: heel.Gusset,
    live: int,
    instep: repeated.Instep,
) -> list[str]:
    """The rows of a gusset, the pick-up round first, with what each leaves.

    `live` stitches stand on the heel needle after the turn; `instep` is what lies on the instep's needles
    and is worked there.
    """
    first_edge, second_edge = gusset.picked_up
    patterned = instep.work(0)
    if layout.at_side:
        counts = [*instep.leaves(0), live + first_edge + second_edge]
        # This round is the first that meets the first edge's stitches.
        work = [*patterned, f"pick up {second_edge}, k{live}, k{first_edge} tbl"]
    else:
        first, last = halves(live)
        counts = [first + first_edge, *instep.leaves(0), last + second_edge]
        work = [
            f"rest {first}, pick up {first_edge}",
            *patterned,
            f"pick up {second_edge}, k{last}",
        ]
    rows = [_row(work, counts)]
    for number in range(1, gusset.rounds + 1):
        beside_first, beside_second = gusset.taken(number)
        sole = [counts[-1]] if layout.at_side else [counts[0], counts[-1]]
        counts[-1] -= beside_second
        # At the side both edges are on one needle, else the first edge is on the first.
        counts[-1 if layout.at_side else 0] -= beside_first
        where = slice(0, -1) if layout.at_side else slice(1, -1)
        counts[where] = instep.leaves(number)
        shaped = layout.shaped(instep.work(number), beside_second, beside_first)
        rows.append(_row(instep.seeded(layout, shaped, sole, number), counts))
    return rows


def _instep_work(sock: Sock) -> list[str]:
    """What the instep's needles do from the pick-up to the toe."""
    instep = sock.layout.instep(sock.layout.around(sock.heel, sock.instep))
    return cuff.rib_work(sock.rib, instep) if sock.foot_ribbed else ["k"] * len(instep)


def _foot(plan: Plan, sock: Sock) -> Table:
    if sock.lie is not None and sock.lie.on_foot:
        return repeated.foot(plan, sock, _section)
    on = repeated.around_instep(sock, sock.gusset.sole)
    work = sock.layout.shaped(_instep_work(sock), 0, 0)
    table = _section("foot", "rounds", sock.layout.names, on, rows=[_row(work, on)])
    return table | {
        "planned": sock.foot_rounds - sock.gusset.rounds,
        "until": write_exactly(Length(sock.foot_goal_mm, plan.unit, 0)),
        "mark": "heel",
        "less": "toe",
    }


def _before_the_toe(sock: Sock) -> tuple[int, ...]:
    """The stitches on each needle: halves that differ are made equal by moving a needle border."""
    instep = sock.foot // 2 + (sock.foot % 2 if _instep_larger(sock) else 0)
    return sock.layout.around(sock.foot - instep, instep)


def _instep_larger(sock: Sock) -> bool:
    return sock.gusset.instep > sock.gusset.sole


def _toe(sock: Sock) -> Table:
    # An odd stitch is knitted away.
    odd, on = sock.foot % 2, _before_the_toe(sock)
    table = _section("toe", "rounds", sock.layout.names, on, rows=[])
    half = sock.wedge.stitches // 2
    counts = sock.layout.around(half, half)
    if odd:
        table["set_up"] = _row(_toe_set_up(on, counts), counts)
    decrease, plain = sock.layout.toe(), ["k"] * len(on)
    taken = sock.layout.toe_takes()
    for number in range(1, sock.wedge.rounds + 1):
        decreases = sock.wedge.decreases(number)
        if decreases:
            counts = tuple(count - by for count, by in zip(counts, taken, strict=True))
        table["rows"].append(_row(decrease if decreases else plain, counts))
    return table


def _half_sole(sock: Sock) -> Table:
    """Half of the sole once more: from the centre back to the side, where a toe for one foot begins."""
    on = _before_the_toe(sock)
    rows = sided_toe.half_sole(sock.layout, on)
    table = _section("other", "rows", sock.layout.names, on, rows=rows)
    return table | {"name": HALF_SOLE}


def _sided_toe(sock: Sock) -> Table:
    """Sock one's toe for its foot."""
    layout, toe, odd = sock.layout, Sided(sock.wedge), sock.foot % 2
    on = sided_toe.begins(layout, toe, odd, instep_larger=_instep_larger(sock))
    table = _section("toe", "rounds", layout.names, on, rows=sided_toe.rows(layout, toe))
    if odd:
        after = sided_toe.begins(layout, toe, 0, instep_larger=False)
        table["set_up"] = sided_toe.set_up(on, after)
    return table


def _toe_set_up(before: Sequence[int], after: Sequence[int]) -> list[str]:
    """One decrease at the edge of the half that is too large."""
    begins_half = (1, 3) if len(before) == 4 else ()
    return [
        "k" if had == has else "k1, k2tog, k to end" if place in begins_half else shaping(0, 1)
        for place, (had, has) in enumerate(zip(before, after, strict=True))
    ]


def _graft(sock: Sock) -> Table:
    half = sock.wedge.end // 2
    return _section(
        "graft",
        "rows",
        ["A", "B"],
        (half, half),
        rows=[f"RS: graft {half} | graft {half} = 0/0"],
    )


def _section(
    kind: str, worked: str, names: Sequence[str], on: Sequence[int], *, rows: list[str], **more: Any
) -> Table:
    return {
        "name": kind, "kind": kind, "worked": worked, "names": list(names), "needles": list(on),
        "rows": rows, **more,
    }  # fmt: skip


def _row(work: Sequence[str], counts: Sequence[int]) -> str:
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"
