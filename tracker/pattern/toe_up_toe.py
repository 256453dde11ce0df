"""The toes of a sock from the toe up: those from the cuff down, from their last round to the first.

A toe narrowed at its edges is cast on closed, over two needles; a star or a round toe in a ring that is drawn
together. What star and round toe do not divide is increased in their last round. Common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from tracker.pattern import cuff, pointed_toe, sided_toe
from tracker.pattern.instep import Instep
from tracker.pattern.layout import Layout, growing
from tracker.pattern.plan import Plan
from tracker.pattern.section_tables import Table, row_text, section_table
from tracker.pattern.toe import Sided, Toe, wedge

if TYPE_CHECKING:
    from tracker.pattern.counts import Sock


def section(plan: Plan, sock: Sock) -> Table:
    """The toe's table."""
    if sock.toe.pointed:
        return _pointed(sock)
    return _sided(sock) if is_sided(plan) else _at_edges(sock)


def is_sided(plan: Plan) -> bool:
    """Whether it is for one foot."""
    return bool(plan.of("toe.feet") != "alike")


def leads_to_the_sole(plan: Plan, layout: Layout) -> int:
    """Rounds on the instep that lead from a toe to the centre of the sole: one where it began at the side."""
    return int(is_sided(plan) and not layout.at_side)


def leading_in(sock: Sock, down: Instep) -> str:
    """The round after a toe whose rounds began at the side: over the instep, to the centre of the sole."""
    on = sock.layout.around(sock.foot - sock.instep, sock.instep)
    after = (on[0], *down.leaves(0), on[-1])
    work = down.round(sock.layout, (on[0], on[-1]), 0)
    return row_text([f"rest {on[0]}", *work[1:]], after)


def _odd(sock: Sock) -> tuple[int, bool]:
    """Whether a stitch more is cast on, and whether it is the instep's."""
    return sock.foot % 2, sock.instep > sock.heel_work.sole


def _around(sock: Sock, half: int) -> tuple[int, ...]:
    """The needles of a toe whose smaller half has so many stitches."""
    odd, instep_larger = _odd(sock)
    instep = half + (odd if instep_larger else 0)
    return sock.layout.around(2 * half + odd - instep, instep)


def _at_edges(sock: Sock) -> Table:
    layout, toe = sock.layout, sock.toe
    on = _around(sock, toe.end // 2)
    rows, half = [], toe.end // 2
    for number in range(toe.rounds, 0, -1):
        grows = toe.decreases(number)
        half += 2 * grows
        work = _increases(layout) if grows else ["k"] * len(on)
        rows.append(row_text(work, _around(sock, half)))
    return section_table("toe", "rounds", layout.names, on, rows=rows)


def _increases(layout: Layout) -> list[str]:
    """The increase round of a wedge toe: one stitch at each end of sole and instep."""
    if layout.at_side:
        return [growing(1, 1)] * 2
    middle = [growing(1, 1)] if len(layout.names) == 3 else [growing(1, 0), growing(0, 1)]
    return [growing(0, 1), *middle, growing(1, 0)]


def _sided(sock: Sock) -> Table:
    """Sock one's toe for its foot: its rounds begin at the side on every set."""
    layout, (odd, instep_larger) = sock.layout, _odd(sock)
    toe = Sided(wedge(sock.foot - odd))
    on = sided_toe.ends(layout, toe, odd, instep_larger=instep_larger)
    rows = sided_toe.growing_rows(layout, toe, on)
    return section_table("toe", "rounds", layout.names, on, rows=rows)


def _pointed(sock: Sock) -> Table:
    layout, toe = sock.layout, sock.toe
    on = pointed_toe.around(layout, toe.end)
    rows, stitches = [], toe.end
    for number in range(toe.rounds, 0, -1):
        work = ["k"] * len(on)
        if toe.decreases(number):
            apart = stitches // toe.pointed
            work = [_points(held, apart) for held in pointed_toe.around(layout, stitches)]
            stitches += toe.pointed
        rows.append(row_text(work, pointed_toe.around(layout, stitches)))
    if sock.foot > toe.stitches:
        rows.append(_last(sock, layout, toe))
    return section_table("toe", "rounds", layout.names, on, rows=rows)


def _points(held: int, apart: int) -> str:
    """The work of a needle with an increase in the last of every stretch of `apart` stitches.

    It takes no strand, which between two needles would gape.
    """
    if held == apart:
        return "k to last 1, kfb"
    stretch = ", ".join([f"k{apart - 1}"] * (apart > 1) + ["kfb"])
    return f"*{stretch}; rep from * to end"


def _last(sock: Sock, layout: Layout, toe: Toe) -> str:
    """The round with what the toe does not divide, spread over the needles."""
    _, instep_larger = _odd(sock)
    before = pointed_toe.around(layout, toe.stitches)
    after = pointed_toe.begins(layout, toe, sock.foot, instep_larger=instep_larger)
    return row_text(cuff.changes(before, after), after)
