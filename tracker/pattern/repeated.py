"""The sections of a sock whose leg is a repeat or a chart of colours: its leg, and how its foot goes on.

The rows of the repeat stand still while the heel is worked, and go on in the pick-up round.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from tracker.pattern import cuff, panel
from tracker.pattern.layout import Layout
from tracker.pattern.notation import Run, read_row, runs
from tracker.pattern.panel import Lie
from tracker.pattern.plan import Plan
from tracker.pattern.repeat import Repeat
from tracker.units import Length, write_exactly

if TYPE_CHECKING:
    from tracker.pattern.counts import Sock

Table = dict[str, Any]


class Instep(NamedTuple):
    """What the instep's needles hold when the gusset begins, and their work in round after round.

    Of a repeat `rows` are all its rows, the one of the pick-up round first; `after` is what the needles hold
    after each. `letters` are the colours that a sole has in turn beside each row of a chart.
    """

    holds: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]
    after: tuple[tuple[int, ...], ...] = ()
    letters: tuple[tuple[str, ...], ...] = ()

    def work(self, number: int) -> tuple[str, ...]:
        """The work of the instep's needles in gusset round `number`, 0 the pick-up round."""
        return self.rows[number % len(self.rows)]

    def leaves(self, number: int) -> tuple[int, ...]:
        """The stitches on them after it."""
        return self.after[number % len(self.after)] if self.after else self.holds

    def seeded(
        self, layout: Layout, work: Sequence[str], sole: Sequence[int], number: int
    ) -> list[str]:
        """A round's work with the sole in the colours of its row in turn, a stitch each.

        `sole` are the stitches that the sole's needles hold before it. Nothing changes where there are
        no colours.
        """
        letters = self.letters[number % len(self.letters)] if self.letters else ()
        if not letters:
            return list(work)
        turned = list(work)
        places = [len(work) - 1] if layout.at_side else [0, len(work) - 1]
        for place, live in zip(places, sole, strict=True):
            made = _runs(work[place], live)
            turned[place] = panel.seeded(made, letters, number, from_end=place == 0)
        return turned


def _runs(work: str, live: int) -> list[Run]:
    return runs(read_row(work).segments[0], live)[0]


def on_instep(sock: Sock) -> tuple[int, ...]:
    """The stitches on each needle of the instep while the heel is worked."""
    if sock.lie is not None and sock.lie.on_foot:
        return tuple(sock.lie.instep_holds(_rows_in_leg(sock)))
    return sock.layout.instep(sock.layout.around(sock.heel, sock.instep))


def around_instep(sock: Sock, sole: int) -> tuple[int, ...]:
    """The stitches on every needle beside an instep that stays as it is, `sole` of them not on it.

    Where the heel is set up it begins where the leg's repeat lets it; the sole is always halved.
    """
    on = sock.layout.around(sole, sock.instep)
    if sock.lie is None:
        return on
    down = on_instep(sock)
    if sock.layout.at_side:
        return (*down, sole)
    first = sock.lie.before if sole == sock.heel and sock.lie.on_foot else on[0]
    return (first, *down, sole - first)


def _rows_in_leg(sock: Sock) -> int:
    """Rounds of the repeat that the leg has as planned."""
    return max(0, sock.leg_rounds - (sock.stitches != sock.cast_on))


def leg(plan: Plan, sock: Sock, table: Table) -> Table:
    """The leg's table, with the rows of the repeat once."""
    lies = _lie(sock)
    if sock.stitches != sock.cast_on:
        work, counts = _change(sock, lies)
        table["first"] = [_row(work, counts)]
    height = lies.repeat.height
    table["rows"] = [_row(lies.leg_work(row), lies.leg_holds(row + 1)) for row in range(height)]
    goal: Length | None = None if plan.of("leg.rounds") is not None else plan.of("leg.length")
    table["planned"] = sock.leg_rounds
    if goal is None or _varies(lies.repeat):
        return table
    return table | {"until": write_exactly(goal), "mark": "cast-on"}


def _change(sock: Sock, lies: Lie) -> tuple[list[str], list[int]]:
    """The plain round from the cuff's stitches to the leg's, evenly spread, each needle to its own number."""
    work, counts = [], []
    for had, has in zip(sock.on, lies.leg_holds(0), strict=True):
        if had == has:
            work.append("k")
        else:
            (told,), _ = cuff.change_round([had], has)
            work.append(told)
        counts.append(has)
    return work, counts


def _varies(repeat: Repeat) -> bool:
    """Whether its rows have not all as many stitches: then it ends where it has its own count."""
    return len(set(repeat.counts)) > 1


def down_the_foot(sock: Sock) -> Instep | None:
    """The instep from the pick-up round on, where the repeat goes down the foot."""
    lies = sock.lie
    return _down(sock, lies) if lies is not None and lies.on_foot else None


def _down(sock: Sock, lies: Lie) -> Instep:
    first, height = _rows_in_leg(sock), lies.repeat.height
    rows = tuple(tuple(lies.instep_work(first + row)) for row in range(height))
    after = tuple(tuple(lies.instep_holds(first + row + 1)) for row in range(height))
    letters = tuple(_colours_in(lies.repeat, first + row) for row in range(height))
    return Instep(on_instep(sock), rows, after, letters if lies.repeat.coloured else ())


def _colours_in(repeat: Repeat, rows: int) -> tuple[str, ...]:
    """The colours of a row of a chart, as they come."""
    row = repeat.rows[rows % repeat.height]
    return tuple(dict.fromkeys(stitch[-1] for stitch in row))


def foot(plan: Plan, sock: Sock, made: Callable[..., Table]) -> Table:
    """The foot's table: the instep goes on where the gusset left it."""
    lies, gusset, layout = _lie(sock), sock.gusset, sock.layout
    down = _down(sock, lies)
    begins = gusset.rounds + 1
    holds = _beside(layout, down.leaves(begins - 1), gusset.sole)
    rows = []
    for number in range(begins, begins + lies.repeat.height):
        counts = _beside(layout, down.leaves(number), gusset.sole)
        if lies.sole:
            work = _all_round(sock, lies, down, number)
        else:
            sole = [counts[-1]] if layout.at_side else [counts[0], counts[-1]]
            work = down.seeded(layout, layout.shaped(down.work(number), 0, 0), sole, number)
        rows.append(_row(work, counts))
    table = made("foot", "rounds", layout.names, holds, rows=rows)
    table["planned"] = sock.foot_rounds - gusset.rounds
    if _varies(lies.repeat):
        return table
    goal = write_exactly(Length(sock.foot_goal_mm, plan.unit, 0))
    return table | {"until": goal, "mark": "heel", "less": "toe"}


def _all_round(sock: Sock, lies: Lie, down: Instep, number: int) -> list[str]:
    """A round of the foot with the chart on instep and sole."""
    rows = _rows_in_leg(sock) + number
    sole = [panel.work(lies.repeat, on, rows) for on in lies.sole]
    work = down.work(number)
    return [*work, *sole] if sock.layout.at_side else [sole[0], *work, *sole[1:]]


def _beside(layout: Layout, instep: Sequence[int], sole: int) -> list[int]:
    if layout.at_side:
        return [*instep, sole]
    return [(sole + 1) // 2, *instep, sole // 2]


def _lie(sock: Sock) -> Lie:
    if sock.lie is None:
        raise ValueError("the leg has no repeat")
    return sock.lie


def _row(work: Sequence[str], counts: Sequence[int]) -> str:
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"
