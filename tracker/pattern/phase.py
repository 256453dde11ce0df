"""A foot that goes on with the leg's repeat where the leg really ended, not where the plan had it end.

The repeat stands still while the heel is worked; the pick-up round works the row after the leg's last.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern.model import Needle, Pattern, Row, Section
from tracker.pattern.notation import colour_of, read_row, runs, written


def leg_of(pattern: Pattern) -> int | None:
    """The index of the leg whose repeat goes on down the foot; None where none does."""
    if not pattern.goes_on:
        return None
    kinds = [section.kind for section in pattern.sections]
    if "leg" not in kinds or "gusset" not in kinds or "foot" not in kinds:
        return None
    leg = kinds.index("leg")
    same = pattern.sections[leg].cycle == pattern.sections[kinds.index("foot")].cycle > 1
    return leg if same else None


def shift(pattern: Pattern, ended: int) -> int:
    """Rows by which the repeat is further on than planned, once the leg has ended at that round."""
    leg = leg_of(pattern)
    if leg is None:
        return 0
    there = pattern.sections[leg]
    return (max(ended, there.lead_in) - max(there.planned, there.lead_in)) % there.cycle


def shifted(pattern: Pattern, by: int) -> Pattern:
    """The pattern whose foot is so many rows further on in its repeat."""
    foot = next(there for there in pattern.sections if there.kind == "foot")
    cycle = [foot.row(number) for number in range(1, foot.cycle + 1)]
    sections = tuple(_section(there, cycle, by) for there in pattern.sections)
    return pattern._replace(sections=sections)


def _section(there: Section, cycle: Sequence[Row], by: int) -> Section:
    if there.kind == "foot":
        rows = tuple(_like(row, cycle[(row.number - 1 + by) % len(cycle)]) for row in there.rows)
        return there._replace(rows=rows)
    if there.kind != "gusset":
        return there
    last = there.rows[-1].number
    rows = tuple(
        _on_instep(row, cycle[(row.number - last - 1 + by) % len(cycle)]) for row in there.rows
    )
    return there._replace(rows=rows)


def _like(row: Row, other: Row) -> Row:
    return other._replace(number=row.number)


def _on_instep(row: Row, like: Row) -> Row:
    """A round of the gusset with the instep of another, and the sole in the colours of that one."""
    where = range(1) if len(row.needles) == 2 else range(1, len(row.needles) - 1)
    letters = [_letters([on.needles[place] for place in where], on) for on in (row, like)]
    needles = tuple(
        like.needles[place] if place in where else _recoloured(needle, live, *letters)
        for place, (needle, live) in enumerate(zip(row.needles, row.before, strict=True))
    )
    worked = sum(needle.made for needle in needles)
    word = row.word if row.word in ("DEC", "PICK") else like.word
    return row._replace(needles=needles, worked=worked, word=word)


def letters_of(row: Row, where: slice) -> tuple[str, ...]:
    """The colours on some of a row's needles, as they come."""
    return tuple(_letters(row.needles[where], row))


def _letters(needles: Sequence[Needle], row: Row) -> list[str]:
    """The colours on some needles of a row, as they come."""
    found: dict[str, None] = {}
    for needle in needles:
        live = row.before[row.needles.index(needle)]
        for run in runs(read_row(needle.work).segments[0], live)[0]:
            if letter := colour_of(run.stitch):
                found[letter] = None
    return list(found)


def _recoloured(needle: Needle, live: int, was: Sequence[str], now: Sequence[str]) -> Needle:
    """A needle of the sole in other colours, if they are others."""
    if not was or not now or sorted(was) == sorted(now):
        return needle
    made, _ = runs(read_row(needle.work).segments[0], live)
    turned = {letter: now[place % len(now)] for place, letter in enumerate(was)}
    told = [
        run._replace(stitch=run.stitch[:-1] + turned.get(colour_of(run.stitch), run.stitch[-1]))
        if colour_of(run.stitch)
        else run
        for run in made
    ]
    return needle._replace(work=written(told))
