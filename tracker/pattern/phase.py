"""A repeat that goes on past the heel where leg, or foot, really ended, not where the plan had it end.

It stands still while the heel is worked flat. From the cuff down the foot goes on where the leg ended, from
the toe up the leg where the foot did (`phase_up.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tracker.pattern import phase_up
from tracker.pattern.model import HEEL_PLACE, HEEL_ROUNDS, Pattern, Row, Section
from tracker.pattern.phase_rows import closing_round, inside_heel, like, on_instep, worked_so


def shift(pattern: Pattern, ended: int) -> int:
    """Rounds by which the repeat is further on than planned, once leg or foot has ended at that round."""
    at = pattern.repeat_begins
    if at is None:
        return 0
    there = pattern.sections[at]
    return (max(ended, there.lead_in) - max(there.planned, there.lead_in)) % there.cycle


def shifted(pattern: Pattern, by: int) -> Pattern:
    """The pattern whose foot, from the toe up whose leg, is so many rows further on in its repeat."""
    if pattern.toe_up:
        return phase_up.shifted(pattern, by)
    foot = next(there for there in pattern.sections if there.kind == "foot")
    cycle = [foot.row(number) for number in range(1, foot.cycle + 1)]
    sections = tuple(
        _set_up(there, cycle, by - _between(pattern, index))
        if there.on_instep
        else _section(there, foot, cycle, by)
        for index, there in enumerate(pattern.sections)
    )
    return pattern._replace(sections=sections)


def _between(pattern: Pattern, index: int) -> int:
    """Rounds on the instep between a section and round 1 of the foot."""
    rounds = 0
    for there in pattern.sections[index + 1 :]:
        if there.kind == "foot":
            return rounds + sum(not row.number for row in there.rows)
        rounds += len(there.rows) if there.worked == "rounds" else 0
    return rounds


def _set_up(there: Section, cycle: Sequence[Row], by: int) -> Section:
    """A heel's set-up with the instep's work of the row that comes so many before round 1 of the foot."""
    (row,), like = there.rows, cycle[(by - 1) % len(cycle)]
    return there._replace(rows=(worked_so(row, (like.needles[0], *row.needles[1:]), row.word),))


def _section(there: Section, foot: Section, cycle: Sequence[Row], by: int) -> Section:
    """A section with its rounds on the instep so many rows further on."""
    rows: Iterable[Row]

    def further(rows: int) -> Row:
        """What is worked so many rows before the foot's first is done, or after it."""
        return cycle[(rows - 1 + by) % len(cycle)]

    if there.kind == "foot":
        rows = (
            like(row, further(row.number)) if row.number else closing_round(row, further(0))
            for row in there.rows
        )
    elif there.kind == HEEL_PLACE:
        rows = (like(row, further(0))._replace(word=row.word) for row in there.rows)
    elif there.kind == HEEL_ROUNDS:
        # The round that closes the heel comes between them and the foot's first.
        after = there.rows[-1].number + sum(not row.number for row in foot.rows)
        rows = (inside_heel(row, further(row.number - after)) for row in there.rows)
    elif there.kind == "gusset":
        last = there.rows[-1].number
        rows = (on_instep(row, further(row.number - last)) for row in there.rows)
    else:
        return there
    return there._replace(rows=tuple(rows))
