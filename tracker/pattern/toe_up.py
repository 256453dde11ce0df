"""A sock from the toe up: what of a plan it cannot be yet, and its sections, every row with what it leaves.

It is the sock from the cuff down, taken the other way: the same counts, and the same parts in another order.
Rounds begin where they do there: in the middle of the sole, or at the side. Common practice, no source.
"""

from __future__ import annotations

from tracker.pattern import cuff, repeated
from tracker.pattern.counts import Sock
from tracker.pattern.heel_work import Around
from tracker.pattern.layout import Layout
from tracker.pattern.model import BIND_OFF
from tracker.pattern.plan import Plan
from tracker.pattern.section_tables import Table, on_instep, row_text, section_table
from tracker.pattern.toe_up_heel import growing
from tracker.units import Length, whole, write_exactly


def sections(plan: Plan, sock: Sock) -> list[Table]:
    """The sections' tables of a pattern file, from the toe to the bind-off."""
    written = [_toe(sock)]
    on = sock.layout.around(sock.heel, sock.instep)
    around = Around(sock.layout, sock.heel, sock.instep, repeated.down_the_foot(sock), on[0])
    if sock.foot_rounds > sock.heel_work.gusset_rounds:
        written.append(_foot(plan, sock, around))
    written += [on_instep(plan, sock, table) for table in sock.heel_work.sections(around)]
    return [*written, _leg(plan, sock), _cuff(sock), _bind_off(sock)]


def cast_on(sock: Sock) -> int:
    """Stitches to cast on, over two needles; an odd foot has one more on its larger half."""
    return sock.toe.end + sock.foot % 2


def _around(sock: Sock, half: int) -> tuple[int, ...]:
    """The needles of a toe whose smaller half has so many stitches."""
    odd, instep_larger = sock.foot % 2, sock.instep > sock.heel_work.sole
    instep = half + (odd if instep_larger else 0)
    return sock.layout.around(2 * half + odd - instep, instep)


def _toe(sock: Sock) -> Table:
    layout, toe = sock.layout, sock.toe
    on = _around(sock, toe.end // 2)
    rows, half = [], toe.end // 2
    for number in range(toe.rounds, 0, -1):
        # The toe from the cuff down, from its last round to its first.
        grows = toe.decreases(number)
        half += 2 * grows
        work = _toe_increases(layout) if grows else ["k"] * len(on)
        rows.append(row_text(work, _around(sock, half)))
    return section_table("toe", "rounds", layout.names, on, rows=rows)


def _toe_increases(layout: Layout) -> list[str]:
    """The increase round of a wedge toe: one stitch at each end of sole and instep."""
    if layout.at_side:
        return [growing(1, 1)] * 2
    middle = [growing(1, 1)] if len(layout.names) == 3 else [growing(1, 0), growing(0, 1)]
    return [growing(0, 1), *middle, growing(1, 0)]


def _foot(plan: Plan, sock: Sock, around: Around) -> Table:
    on, rows = repeated.foot_rows(sock, around.down, closed=False)
    table = section_table("foot", "rounds", sock.layout.names, on, rows=rows)
    return table | {
        "planned": sock.foot_rounds - sock.heel_work.gusset_rounds,
        "until": write_exactly(Length(sock.foot_goal_mm, plan.unit, 0)),
        "mark": "cast-on",
        "less": "heel",
    }


def _leg(plan: Plan, sock: Sock) -> Table:
    on = sock.layout.around(sock.heel, sock.instep)
    work = cuff.rib_work(sock.rib, on, sock.begins) if sock.leg_ribbed else ["k"] * len(on)
    table = section_table("leg", "rounds", sock.layout.names, on, rows=[row_text(work, on)])
    if not sock.layout.at_side:
        # The flap ends where the instep begins: rounds begin half a heel before that.
        table["set_up"] = row_text([f"rest {on[0]}", *work[1:]], on)
    if plan.of("leg.rounds") is not None:
        return table | {"repeat": sock.leg_rounds}
    until = Length(float(whole(sock.leg_goal_mm)), plan.unit, 0)
    return table | {"planned": sock.leg_rounds, "until": write_exactly(until), "mark": "section"}


def _cuff(sock: Sock) -> Table:
    """The rib; where the leg has other stitches, a round before it goes to what the rib divides."""
    on = sock.on
    rows = [row_text(cuff.rib_work(sock.rib, on, sock.begins), on)]
    table = section_table(
        "cuff", "rounds", sock.layout.names, on, rows=rows, repeat=sock.cuff_rounds
    )
    if sock.cast_on == sock.stitches:
        return table
    # Laid so that the rib has its own stitches on every needle after it.
    _, before = cuff.change_round(on, sock.stitches)
    work = [_change(had, has) for had, has in zip(before, on, strict=True)]
    return table | {"needles": list(before), "set_up": row_text(work, on)}


def _change(had: int, has: int) -> str:
    return "k" if had == has else cuff.change_round([had], has)[0][0]


def _bind_off(sock: Sock) -> Table:
    on = sock.on
    work = row_text(["BO all"] * len(on), [0] * len(on))
    return section_table(BIND_OFF, "rounds", sock.layout.names, on, rows=[work])
