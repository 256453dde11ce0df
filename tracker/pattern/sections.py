"""The sections of a sock knitted from the cuff down: every row written, with what it leaves."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern import calf, cuff, one_needle, pointed_toe, repeated, sided_toe
from tracker.pattern.afterthought import Afterthought
from tracker.pattern.counts import Sock
from tracker.pattern.heel_work import Around
from tracker.pattern.layout import shaping
from tracker.pattern.model import HALF_SOLE
from tracker.pattern.plan import Plan
from tracker.pattern.section_tables import Table, on_instep, row_text, section_table
from tracker.pattern.toe import Sided, wedge
from tracker.units import Length, write_exactly


def sections(plan: Plan, sock: Sock) -> list[Table]:
    """The sections' tables of a pattern file, from the cuff to where the last of it is closed."""
    written = _to_the_toe(plan, sock)
    if sock.layout.together:
        written = [one_needle.on_one(table) for table in written]
    # What is knitted after the toe is as narrow: it lies on the same needles, from the side on.
    around = _around(sock)._replace(layout=one_needle.from_the_side(sock.for_toe))
    return [*written, *_tip(plan, sock), *sock.heel_work.afterwards(around)]


def _around(sock: Sock) -> Around:
    layout = sock.layout
    before = layout.around(sock.heel, sock.instep)[0]
    if sock.lie is not None and sock.lie.on_foot:
        before = sock.lie.before
    return Around(layout, sock.heel, sock.instep, repeated.down_the_foot(sock), before)


def _tip(plan: Plan, sock: Sock) -> list[Table]:
    """The toe and what closes it, and what leads to them."""
    if sock.toe.pointed:
        return [_pointed_toe(sock), _draw_up(sock)]
    if plan.of("toe.feet") == "alike":
        return [_toe(sock), _graft(sock)]
    half_sole = [] if sock.for_toe.at_side else [_half_sole(sock)]
    return [*half_sole, _sided_toe(sock), _graft(sock)]


def _to_the_toe(plan: Plan, sock: Sock) -> list[Table]:
    """The sections from the cuff to the foot."""
    written = [_cuff(sock)]
    if sock.leg_rounds:
        written.append(_leg(plan, sock))
    around = _around(sock)
    written += [on_instep(plan, sock, table) for table in sock.heel_work.sections(around)]
    if sock.foot_rounds > sock.heel_work.gusset_rounds:
        written.append(_foot(plan, sock, around))
    return written


def _cuff(sock: Sock) -> Table:
    rows = [row_text(cuff.rib_work(sock.rib, sock.on, sock.begins), sock.on)]
    return section_table(
        "cuff", "rounds", sock.layout.names, sock.on, rows=rows, repeat=sock.cuff_rounds
    )


def _leg(plan: Plan, sock: Sock) -> Table:
    table = section_table("leg", "rounds", sock.layout.names, sock.on, rows=[])
    counts: Sequence[int] = sock.on
    if sock.lie is not None:
        return repeated.leg(plan, sock, table)
    if sock.calf:
        table["first"], counts = _narrowing(sock, sock.calf)
    elif sock.stitches != sock.cast_on:
        work, counts = cuff.change_round(sock.on, sock.stitches)
        table["first"] = [row_text(work, counts)]
    work = cuff.rib_work(sock.rib, counts, sock.begins) if sock.leg_ribbed else ["k"] * len(counts)
    table["rows"] = [row_text(work, counts)]
    goal: Length | None = None if plan.of("leg.rounds") is not None else plan.of("leg.length")
    if goal is None:
        return table | {"repeat": sock.leg_rounds - len(table.get("first", ()))}
    return table | {"planned": sock.leg_rounds, "until": write_exactly(goal), "mark": "cast-on"}


def _narrowing(sock: Sock, shaped: calf.Calf) -> tuple[list[str], tuple[int, ...]]:
    """The rounds of a leg to its last decrease, and what they leave on each needle."""
    told: list[str] = []
    on = sock.on
    for number in range(1, shaped.rounds[-1] + 1):
        work = ["k"] * len(on)
        if number in shaped.rounds:
            left = len(shaped.rounds) - 1 - shaped.rounds.index(number)
            work, on = calf.work(sock.layout, on, sock.heel, left)
        told.append(row_text(work, on))
    return told, on


def _foot(plan: Plan, sock: Sock, around: Around) -> Table:
    """The rounds from the heel to the toe, and the one before them that closes the heel, if there is one."""
    closing = sock.heel_work.closing(around)
    begins = sock.heel_work.between(sock.layout.at_side) + sock.heel_work.gusset_rounds
    on, rows = repeated.foot_rows(sock, around.down, begins, closed=closing is not None)
    table = section_table("foot", "rounds", sock.layout.names, on, rows=rows)
    if closing is not None:
        table["set_up"] = closing
    table["planned"] = sock.foot_rounds - sock.heel_work.gusset_rounds
    return table | {**_until(plan, sock), "less": "toe"}


def _until(plan: Plan, sock: Sock) -> Table:
    """Where the foot ends: from the back of the heel, or from the waste yarn that holds its place."""
    later = isinstance(sock.heel_work, Afterthought)
    mm = sock.foot_goal_mm - (sock.heel_mm if later else 0)
    goal = write_exactly(Length(mm, plan.unit, 0))
    return {"until": goal, "mark": "section" if later else "heel"}


def _before_the_toe(sock: Sock) -> tuple[int, ...]:
    """The stitches on each needle: halves that differ are made equal by moving a needle border."""
    instep = sock.foot // 2 + (sock.foot % 2 if _instep_larger(sock) else 0)
    return sock.for_toe.around(sock.foot - instep, instep)


def _instep_larger(sock: Sock) -> bool:
    return sock.instep > sock.heel_work.sole


def _toe(sock: Sock) -> Table:
    # An odd stitch is knitted away.
    odd, on = sock.foot % 2, _before_the_toe(sock)
    table = section_table("toe", "rounds", sock.for_toe.names, on, rows=[])
    half = sock.toe.stitches // 2
    counts = sock.for_toe.around(half, half)
    if odd:
        table["set_up"] = row_text(_toe_set_up(on, counts), counts)
    decrease, plain = sock.for_toe.toe(), ["k"] * len(on)
    taken = sock.for_toe.toe_takes()
    for number in range(1, sock.toe.rounds + 1):
        decreases = sock.toe.decreases(number)
        if decreases:
            counts = tuple(count - by for count, by in zip(counts, taken, strict=True))
        table["rows"].append(row_text(decrease if decreases else plain, counts))
    return table


def _half_sole(sock: Sock) -> Table:
    """Half of the sole once more: from the centre back to the side, where a toe for one foot begins."""
    on = _before_the_toe(sock)
    rows = sided_toe.half_sole(sock.for_toe, on)
    table = section_table("other", "rows", sock.for_toe.names, on, rows=rows)
    return table | {"name": HALF_SOLE}


def _sided_toe(sock: Sock) -> Table:
    """Sock one's toe for its foot."""
    layout, odd = one_needle.from_the_side(sock.for_toe), sock.foot % 2
    toe = Sided(wedge(sock.foot - odd))
    on = sided_toe.begins(layout, toe, odd, instep_larger=_instep_larger(sock))
    table = section_table("toe", "rounds", layout.names, on, rows=sided_toe.rows(layout, toe))
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


def _pointed_toe(sock: Sock) -> Table:
    """A star or a round toe; what does not divide is knitted away first, spread over a set-up round."""
    layout, toe = sock.for_toe, sock.toe
    on = pointed_toe.begins(layout, toe, sock.foot, instep_larger=_instep_larger(sock))
    table = section_table("toe", "rounds", layout.names, on, rows=pointed_toe.rows(layout, toe))
    if sock.foot > toe.stitches:
        after = pointed_toe.after_set_up(layout, toe)
        table["set_up"] = row_text(pointed_toe.set_up(on, after), after)
    return table


def _draw_up(sock: Sock) -> Table:
    on, rows = pointed_toe.draw_up(sock.for_toe, sock.toe)
    return section_table("draw up", "rows", sock.for_toe.names, on, rows=rows)


def _graft(sock: Sock) -> Table:
    half = sock.toe.end // 2
    return section_table(
        "graft",
        "rows",
        ["A", "B"],
        (half, half),
        rows=[f"RS: graft {half} | graft {half} = 0/0"],
    )
