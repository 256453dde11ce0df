"""The sections of a sock from the toe up: its toe, its foot, its heel, its leg, and what closes it.

It is the sock from the cuff down, taken the other way: the same counts, and the same parts in another order.
Rounds begin where they do there: in the middle of the sole, or at the side. Common practice, no source.
"""

from __future__ import annotations

from tracker.pattern import cuff, one_needle, repeated, toe_up_leg, toe_up_toe
from tracker.pattern.afterthought import Afterthought
from tracker.pattern.counts import Sock
from tracker.pattern.heel_work import Around
from tracker.pattern.model import BIND_OFF
from tracker.pattern.plan import Plan
from tracker.pattern.section_tables import Table, on_instep, row_text, section_table
from tracker.units import Length, write_exactly


def sections(plan: Plan, sock: Sock) -> list[Table]:
    """The sections' tables of a pattern file, from the toe to where the last of it is closed."""
    toe = toe_up_toe.section(plan, sock._replace(layout=sock.for_toe))
    written: list[Table] = []
    on = sock.layout.around(sock.heel, sock.instep)
    around = Around(sock.layout, sock.heel, sock.instep, repeated.down_the_foot(sock), on[0])
    rounds = sock.foot_rounds - sock.heel_work.gusset_rounds
    if rounds:
        written.append(_foot(plan, sock, around))
    led_in = toe_up_toe.leads_to_the_sole(plan, sock.layout)
    at_heel = around._replace(down=around.down.further(rounds + led_in))
    written += [on_instep(plan, sock, table) for table in sock.heel_work.sections(at_heel)]
    at_leg = at_heel._replace(down=at_heel.down.further(sock.heel_work.gusset_rounds))
    written += [toe_up_leg.section(plan, sock, at_leg), _cuff(sock), _bind_off(sock)]
    if sock.layout.together:
        written = [one_needle.on_one(table) for table in written]
    # What is knitted last is as narrow as a toe: it lies on the same needles, from the side on.
    late = at_heel._replace(layout=one_needle.from_the_side(sock.for_toe))
    return [toe, *written, *sock.heel_work.afterwards(late)]


def cast_on(sock: Sock) -> int:
    """Stitches to cast on: over two needles, or in a ring; an odd foot has one more on its larger half."""
    return sock.toe.end + (0 if sock.toe.pointed else sock.foot % 2)


def _foot(plan: Plan, sock: Sock, around: Around) -> Table:
    """The rounds between toe and heel, and the one before them that leads from the side to the sole."""
    layout, led_in = sock.layout, toe_up_toe.leads_to_the_sole(plan, sock.layout)
    on, rows = repeated.foot_rows(sock, around.down, led_in, closed=bool(led_in))
    table = section_table("foot", "rounds", layout.names, on, rows=rows)
    if led_in:
        table["set_up"] = toe_up_toe.leading_in(sock, around.down)
    table["planned"] = sock.foot_rounds - sock.heel_work.gusset_rounds
    return table | _until(plan, sock)


def _until(plan: Plan, sock: Sock) -> Table:
    """Where the foot ends: so that gusset and heel fit, or at the waste yarn that holds the heel's place."""
    later = isinstance(sock.heel_work, Afterthought)
    mm = sock.foot_goal_mm - (sock.heel_mm if later else 0)
    told = {"until": write_exactly(Length(mm, plan.unit, 0)), "mark": "cast-on"}
    return told if later else told | {"less": "heel"}


def _cuff(sock: Sock) -> Table:
    """The rib; where the leg has other stitches, a round before it goes to what the rib divides."""
    on, leg = sock.on, toe_up_leg.top_of(sock)
    rows = [row_text(cuff.rib_work(sock.rib, on, sock.begins), on)]
    table = section_table(
        "cuff", "rounds", sock.layout.names, on, rows=rows, repeat=sock.cuff_rounds
    )
    if sock.cast_on == leg:
        return table
    # Laid so that the rib has its own stitches on every needle after it.
    _, before = cuff.change_round(on, leg)
    return table | {"needles": list(before), "set_up": row_text(cuff.changes(before, on), on)}


def _bind_off(sock: Sock) -> Table:
    on = sock.on
    work = row_text(["BO all"] * len(on), [0] * len(on))
    return section_table(BIND_OFF, "rounds", sock.layout.names, on, rows=[work])
