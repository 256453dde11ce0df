"""A sock from the toe up: what of a plan it cannot be yet, and its sections, every row with what it leaves.

It is the sock from the cuff down, taken the other way: the same counts, and the same parts in another order.
Rounds begin where they do there: in the middle of the sole, or at the side. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tracker.pattern import cuff, toe_up_heel
from tracker.pattern.counts import Sock
from tracker.pattern.fit import halves
from tracker.pattern.layout import Layout
from tracker.pattern.model import BIND_OFF
from tracker.pattern.plan import Plan
from tracker.units import Length, whole, write_exactly

Table = dict[str, Any]


def sections(plan: Plan, sock: Sock) -> list[Table]:
    """The sections' tables of a pattern file, from the toe to the bind-off."""
    written = [_toe(sock)]
    if sock.foot_rounds > sock.gusset.rounds:
        written.append(_foot(plan, sock))
    written += [_gusset(sock), _heel_set_up(sock), _cup(sock), _flap(plan, sock)]
    return [*written, _leg(plan, sock), _cuff(sock), _bind_off(sock)]


def cast_on(sock: Sock) -> int:
    """Stitches to cast on, over two needles; an odd foot has one more on its larger half."""
    return sock.wedge.end + sock.foot % 2


def _around(sock: Sock, half: int) -> tuple[int, ...]:
    """The needles of a toe whose smaller half has so many stitches."""
    odd, instep_larger = sock.foot % 2, sock.gusset.instep > sock.gusset.sole
    instep = half + (odd if instep_larger else 0)
    return sock.layout.around(2 * half + odd - instep, instep)


def _toe(sock: Sock) -> Table:
    layout, wedge = sock.layout, sock.wedge
    on = _around(sock, wedge.end // 2)
    rows, half = [], wedge.end // 2
    for number in range(wedge.rounds, 0, -1):
        # The toe from the cuff down, from its last round to its first.
        grows = wedge.decreases(number)
        half += 2 * grows
        work = _toe_increases(layout) if grows else ["k"] * len(on)
        rows.append(_row(work, _around(sock, half)))
    return _section("toe", "rounds", layout.names, on, rows=rows)


def _toe_increases(layout: Layout) -> list[str]:
    """The increase round of a wedge toe: one stitch at each end of sole and instep."""
    if layout.at_side:
        return [growing(1, 1)] * 2
    middle = [growing(1, 1)] if len(layout.names) == 3 else [growing(1, 0), growing(0, 1)]
    return [growing(0, 1), *middle, growing(1, 0)]


def growing(beginning: int, ending: int) -> str:
    """A needle's work with an increase one stitch in from its beginning, its end, or both."""
    first = "k1, M1L, " if beginning else ""
    last = "k to last 1, M1R, k1" if ending else "k to end"
    return f"{first}{last}" if beginning or ending else "k"


def _foot(plan: Plan, sock: Sock) -> Table:
    on = sock.layout.around(sock.gusset.sole, sock.gusset.instep)
    rows = [_row(sock.layout.shaped(_instep_work(sock), 0, 0), on)]
    table = _section("foot", "rounds", sock.layout.names, on, rows=rows)
    return table | {
        "planned": sock.foot_rounds - sock.gusset.rounds,
        "until": write_exactly(Length(sock.foot_goal_mm, plan.unit, 0)),
        "mark": "cast-on",
        "less": "heel",
    }


def _gusset(sock: Sock) -> Table:
    layout, gusset, patterned = sock.layout, sock.gusset, _instep_work(sock)
    begins = layout.around(gusset.sole, gusset.instep)
    counts, rows = list(begins), []
    for number in range(1, gusset.rounds + 1):
        first, second = gusset.taken(number)
        counts[-1] += second
        # At the side both edges are on one needle, else the first edge is on the first.
        counts[-1 if layout.at_side else 0] += first
        if layout.at_side:
            work = [*patterned, growing(second, first)]
        else:
            work = [growing(0, first), *patterned, growing(second, 0)]
        rows.append(_row(work, counts))
    return _section("gusset", "rounds", layout.names, begins, rows=rows)


def _grown(sock: Sock) -> tuple[int, ...]:
    """The stitches on every needle once the gusset has grown."""
    first, second = halves(sock.gusset.sole)
    edge = len(sock.gusset.decreases)
    instep = sock.layout.instep(sock.layout.around(sock.heel, sock.instep))
    if sock.layout.at_side:
        return (*instep, first + second + 2 * edge)
    return (first + edge, *instep, second + edge)


def _heel_set_up(sock: Sock) -> Table:
    """On to where the heel begins: the instep is worked once more, and rests."""
    before = [] if sock.layout.at_side else ["k"]
    on = _grown(sock)
    work = f"RS: {_row([*before, *_instep_work(sock), ''], on)}"
    return _section("heel set-up", "rows", sock.layout.names, on, rows=[work])


def _cup(sock: Sock) -> Table:
    rows = toe_up_heel.cup_rows(sock.turn, sock.flap_rows // 2)
    return _flat("turn", sock, sock.heel + sock.flap_rows, list(rows))


def _flap(plan: Plan, sock: Sock) -> Table:
    rows = toe_up_heel.joined_flap(plan.of("heel.flap"), sock.turn, sock.flap_rows)
    return _flat("flap", sock, sock.heel + sock.flap_rows, list(rows))


def _leg(plan: Plan, sock: Sock) -> Table:
    on = sock.layout.around(sock.heel, sock.instep)
    work = cuff.rib_work(sock.rib, on, sock.begins) if sock.leg_ribbed else ["k"] * len(on)
    table = _section("leg", "rounds", sock.layout.names, on, rows=[_row(work, on)])
    if not sock.layout.at_side:
        # The flap ends where the instep begins: rounds begin half a heel before that.
        table["set_up"] = _row([f"rest {on[0]}", *work[1:]], on)
    if plan.of("leg.rounds") is not None:
        return table | {"repeat": sock.leg_rounds}
    until = Length(float(whole(sock.leg_goal_mm)), plan.unit, 0)
    return table | {"planned": sock.leg_rounds, "until": write_exactly(until), "mark": "section"}


def _cuff(sock: Sock) -> Table:
    """The rib; where the leg has other stitches, a round before it goes to what the rib divides."""
    on = sock.on
    rows = [_row(cuff.rib_work(sock.rib, on, sock.begins), on)]
    table = _section("cuff", "rounds", sock.layout.names, on, rows=rows, repeat=sock.cuff_rounds)
    if sock.cast_on == sock.stitches:
        return table
    # Laid so that the rib has its own stitches on every needle after it.
    _, before = cuff.change_round(on, sock.stitches)
    work = [_change(had, has) for had, has in zip(before, on, strict=True)]
    return table | {"needles": list(before), "set_up": _row(work, on)}


def _change(had: int, has: int) -> str:
    return "k" if had == has else cuff.change_round([had], has)[0][0]


def _bind_off(sock: Sock) -> Table:
    on = sock.on
    work = _row(["BO all"] * len(on), [0] * len(on))
    return _section(BIND_OFF, "rounds", sock.layout.names, on, rows=[work])


def _flat(kind: str, sock: Sock, on: int, rows: list[str]) -> Table:
    """A section of the heel, worked on one needle while the instep rests."""
    instep = sock.layout.instep(sock.layout.around(sock.heel, sock.instep))
    table = _section(kind, "rows", ["heel"], (on,), rows=rows)
    return table | {"resting": list(instep), "resting_names": list(sock.layout.instep_names)}


def _instep_work(sock: Sock) -> list[str]:
    """What the instep's needles do from the toe to the heel."""
    instep = sock.layout.instep(sock.layout.around(sock.heel, sock.instep))
    return cuff.rib_work(sock.rib, instep) if sock.foot_ribbed else ["k"] * len(instep)


def _section(
    kind: str, worked: str, names: Sequence[str], on: Sequence[int], *, rows: list[str], **more: Any
) -> Table:
    return {
        "name": kind, "kind": kind, "worked": worked, "names": list(names), "needles": list(on),
        "rows": rows, **more,
    }  # fmt: skip


def _row(work: Sequence[str], counts: Sequence[int]) -> str:
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"
