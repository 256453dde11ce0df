"""The sections of a sock whose leg is a repeat or a chart of colours: its leg, and how its foot goes on.

The rows of the repeat stand still while the heel is worked flat, and go on in the round after it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tracker.pattern import cuff
from tracker.pattern.instep import Instep
from tracker.pattern.layout import Layout
from tracker.pattern.panel import Lie
from tracker.pattern.plan import Plan
from tracker.pattern.repeat import Repeat
from tracker.pattern.section_tables import Table, row_text
from tracker.units import Length, write_exactly

if TYPE_CHECKING:
    from tracker.pattern.counts import Sock


def on_instep(sock: Sock) -> tuple[int, ...]:
    """The stitches on each needle of the instep while the heel is worked."""
    if sock.lie is not None and sock.lie.on_foot:
        return tuple(sock.lie.instep_holds(rows_before_foot(sock)))
    return sock.layout.instep(sock.layout.around(sock.heel, sock.instep))


def rows_before_foot(sock: Sock) -> int:
    """Rounds of the repeat that lie behind the instep as planned: the leg's, or none from the toe up."""
    if sock.toe_up:
        return 0
    return max(0, sock.leg_rounds - (sock.stitches != sock.cast_on))


def leg(plan: Plan, sock: Sock, table: Table) -> Table:
    """The leg's table, with the rows of the repeat once."""
    lies = _lie(sock)
    if sock.stitches != sock.cast_on:
        counts = lies.leg_holds(0)
        table["first"] = [row_text(cuff.changes(sock.on, counts), counts)]
    height = lies.repeat.height
    table["rows"] = [row_text(lies.leg_work(row), lies.leg_holds(row + 1)) for row in range(height)]
    goal: Length | None = None if plan.of("leg.rounds") is not None else plan.of("leg.length")
    table["planned"] = sock.leg_rounds
    if goal is None:
        return table
    return table | {"until": write_exactly(goal), "mark": "cast-on"}


def varies(repeat: Repeat) -> bool:
    """Whether its rows have not all as many stitches: then it ends where it has its own count."""
    return len(set(repeat.counts)) > 1


def down_the_foot(sock: Sock) -> Instep:
    """The instep after the leg: in rib, plain, or in the repeat that goes on down the foot."""
    lies = sock.lie
    if lies is not None and lies.on_foot:
        return _down(sock, lies)
    return Instep(on_instep(sock), (tuple(instep_work(sock)),))


def instep_work(sock: Sock) -> list[str]:
    """What the instep's needles do from heel to toe where no repeat goes on there."""
    instep = sock.layout.instep(sock.layout.around(sock.heel, sock.instep))
    return cuff.rib_work(sock.rib, instep) if sock.foot_ribbed else ["k"] * len(instep)


def _down(sock: Sock, lies: Lie) -> Instep:
    first, height = rows_before_foot(sock), lies.repeat.height
    turns = range(first, first + height)
    return Instep(
        on_instep(sock),
        tuple(tuple(lies.instep_work(row)) for row in turns),
        tuple(tuple(lies.instep_holds(row + 1)) for row in turns),
        tuple(_colours_in(lies.repeat, row) for row in turns) if lies.repeat.coloured else (),
        tuple(tuple(lies.sole_work(row)) for row in turns) if lies.sole else (),
        tuple(lies.heel_work(row) for row in turns) if lies.sole else (),
    )


def _colours_in(repeat: Repeat, rows: int) -> tuple[str, ...]:
    """The colours of a row of a chart, in the order of their letters."""
    row = repeat.rows[rows % repeat.height]
    return tuple(sorted({stitch[-1] for stitch in row}))


def foot_rows(
    sock: Sock, down: Instep, begins: int, *, closed: bool
) -> tuple[list[int], list[str]]:
    """What every needle holds when the foot begins, and its rows: the instep goes on after so many rounds.

    `closed`: one of those is the foot's own, before its round 1.
    """
    work, layout = sock.heel_work, sock.layout
    holds = _beside(layout, down.leaves(begins - 1 - closed), work.sole)
    rows = []
    for number in range(begins, begins + len(down.rows)):
        counts = _beside(layout, down.leaves(number), work.sole)
        sole = [counts[-1]] if layout.at_side else [counts[0], counts[-1]]
        rows.append(row_text(down.round(layout, sole, number), counts))
    return holds, rows


def _beside(layout: Layout, instep: Sequence[int], sole: int) -> list[int]:
    if layout.at_side:
        return [*instep, sole]
    return [(sole + 1) // 2, *instep, sole // 2]


def _lie(sock: Sock) -> Lie:
    if sock.lie is None:
        raise ValueError("the leg has no repeat")
    return sock.lie
