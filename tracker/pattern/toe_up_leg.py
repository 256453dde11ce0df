"""The leg of a sock from the toe up: plain or ribbed, in the repeat that goes on from the foot, or widening.

Where rounds begin at the centre back, a round over the instep leads there from the heel's end. A leg that is
shaped for the calf is one from the cuff down, from its last round to its first. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tracker.pattern import calf, cuff, panel
from tracker.pattern.closing import Across, closing, each
from tracker.pattern.fit import halves
from tracker.pattern.heel_work import Around
from tracker.pattern.layout import Layout, growing
from tracker.pattern.panel import Lie, NoPlace
from tracker.pattern.plan import Plan, WillNotWork
from tracker.pattern.repeated import instep_work, varies
from tracker.pattern.section_tables import Table, row_text, section_table
from tracker.pattern.toe_up_toe import leads_to_the_sole
from tracker.units import Length, whole, write_exactly

if TYPE_CHECKING:
    from tracker.pattern.counts import Sock


def section(plan: Plan, sock: Sock, around: Around) -> Table:
    """The leg's table; `around` is the sock once its foot is done, up to its gusset."""
    # Where a round leads from the heel's end to where the leg's rounds begin.
    closes = sock.heel_work.closing(around) is not None
    if sock.lie is not None:
        return _in_repeat(plan, sock, sock.lie, closes=closes)
    on = sock.layout.around(sock.heel, sock.instep)
    table = section_table("leg", "rounds", sock.layout.names, on, rows=[])
    work = cuff.rib_work(sock.rib, on, sock.begins) if sock.leg_ribbed else ["k"] * len(on)
    if closes:
        # The heel ends where the instep begins: rounds begin half a heel before that.
        table["set_up"] = row_text([f"rest {on[0]}", *work[1:]], on)
    if sock.calf:
        table["first"], on = _widening(sock, sock.calf, on)
        work = ["k"] * len(on)
    table["rows"] = [row_text(work, on)]
    if plan.of("leg.rounds") is not None:
        return table | {"repeat": sock.leg_rounds - len(table.get("first", ()))}
    return table | {"planned": sock.leg_rounds} | _until(plan, sock)


def top_of(sock: Sock) -> int:
    """The stitches of the leg under the cuff."""
    return sock.calf.top if sock.calf else sock.stitches


def _until(plan: Plan, sock: Sock) -> Table:
    until = Length(float(whole(sock.leg_goal_mm)), plan.unit, 0)
    return {"until": write_exactly(until), "mark": "section"}


# A leg in a repeat


def _in_repeat(plan: Plan, sock: Sock, lies: Lie, *, closes: bool) -> Table:
    """The leg with the rows of the repeat once, from that on which comes after those of the foot."""
    done = rows_before(plan, sock) if lies.on_foot else 0
    height, on = lies.repeat.height, lies.leg_holds(done)
    turns = range(done, done + height)
    rows = [row_text(lies.leg_work(row), lies.leg_holds(row + 1)) for row in turns]
    table = section_table("leg", "rounds", sock.layout.names, on, rows=rows)
    if closes:
        table |= _closing(sock, lies, done)
    table["planned"] = sock.leg_rounds
    if plan.of("leg.rounds") is not None:
        return table
    return table | _until(plan, sock)


def rows_before(plan: Plan, sock: Sock) -> int:
    """Rounds on the instep between the toe and round 1 of the leg."""
    led_in = leads_to_the_sole(plan, sock.layout)
    return led_in + sock.foot_rounds + sock.heel_work.between(sock.layout.at_side)


def _closing(sock: Sock, lies: Lie, done: int) -> Table:
    """The round to the centre back; the instep works the row before the leg's first. Raises WillNotWork."""
    try:
        # Wherever the foot will really end: with any row of a repeat that can end anywhere.
        any_row = lies.on_foot and not varies(lies.repeat)
        for row in range(lies.repeat.height if any_row else 0):
            closing(lies.before, _over_the_instep(sock, lies, row), lies.leg_holds(row + 1))
        found = closing(lies.before, _over_the_instep(sock, lies, done - 1), lies.leg_holds(done))
    except Across:
        raise WillNotWork(
            "needles.set",
            "a stitch of the repeat would lie across two needles where the leg begins; write set = "
            '"two circulars"',
        ) from None
    work = list(found.work)
    if lies.on_foot and found.begins[1:-1] == tuple(lies.instep_holds(done - 1)):
        work[1:-1] = lies.instep_work(done - 1)  # as it was written on the foot
    return {"needles": list(found.begins), "set_up": row_text(work, lies.leg_holds(done))}


def _over_the_instep(sock: Sock, lies: Lie, row: int) -> list[str]:
    """The stitches of that round, one by one, in the row of the repeat after so many."""
    if lies.on_foot and lies.repeat.coloured:
        return each(lies.leg_work(row), lies.leg_holds(row))[lies.before :]
    beside = ["k"] * (sock.heel - lies.before)
    if lies.on_foot:
        return [*each(lies.instep_work(row), lies.instep_holds(row)), *beside]
    holds = sock.layout.instep(sock.layout.around(sock.heel, sock.instep))
    return [*each(instep_work(sock), holds), *beside]


def as_on_the_foot(lies: Lie, layout: Layout, heel: int) -> Lie:
    """The same with the leg on its needles as heel and instep are, if it can be parted there.

    So nothing moves where the leg begins. At the side no round leads there, and borders may lie otherwise.
    Above a plain foot rounds may begin beside the centre back, where the first needle then ends.
    """
    if layout.at_side or not lies.all_round:
        return lies
    on = (lies.before, *lies.instep_holds(0), heel - lies.before)
    try:
        leg = tuple(
            panel.stretch(lies.repeat, lies.begins + start, held)
            for start, held in zip(layout.starts(on), on, strict=True)
        )
    except NoPlace:
        return lies if lies.on_foot else lies._replace(before=lies.leg_holds(0)[0])
    return lies._replace(leg=leg)


# A leg that widens


def _widening(
    sock: Sock, shaped: calf.Calf, on: tuple[int, ...]
) -> tuple[list[str], tuple[int, ...]]:
    """The rounds of a leg to its last increase, and what they leave on each needle."""
    rounds = calf.upwards(shaped, sock.leg_rounds)
    told: list[str] = []
    for number in range(1, rounds[-1] + 1):
        work = ["k"] * len(on)
        if number in rounds:
            work, on = _wider(sock.layout, on, sock.heel, rounds.index(number))
        told.append(row_text(work, on))
    return told, on


def _wider(
    layout: Layout, on: Sequence[int], heel: int, made: int
) -> tuple[list[str], tuple[int, ...]]:
    """An increase round on both sides of the centre back, `made` of its kind before; and what it leaves."""
    plain = ["k"] * (len(on) - 2)
    if layout.at_side:
        # The centre back lies inside the heel's needle.
        after = halves(heel)[0] + made
        return [*plain, "k", f"k to last {after + 1}, M1R, k2, M1L, k to end"], (
            *on[:-1],
            on[-1] + 2,
        )
    return [growing(1, 0), *plain, growing(0, 1)], (on[0] + 1, *on[1:-1], on[-1] + 1)
