"""A leg that goes on with the repeat where the foot of a sock from the toe up really ended.

What its rounds over the instep work is told from the foot's rows, and its own from its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker.pattern import notation
from tracker.pattern.closing import closing, each
from tracker.pattern.model import HEEL_PLACE, HEEL_ROUNDS, Needle, Pattern, Row, Section
from tracker.pattern.phase_rows import inside_heel, like, on_instep, worked_so


def shifted(pattern: Pattern, by: int) -> Pattern:
    """The pattern whose leg, and all its foot's instep after the foot, is so many rows further on."""
    return pattern._replace(sections=tuple(_sections(pattern, by)))


def _sections(pattern: Pattern, by: int) -> Iterator[Section]:
    foot = next(there for there in pattern.sections if there.kind == "foot")
    leg = next(there for there in pattern.sections if there.kind == "leg")
    rows = [foot.row(number) for number in range(1, foot.cycle + 1)]
    cycle = [leg.row(number) for number in range(1, leg.cycle + 1)]
    done, past = foot.planned + by, False
    for there in pattern.sections:
        if past and there.kind == "leg":
            yield there._replace(rows=tuple(_leg(there, rows, cycle, done, by)))
        elif past and _is_over_the_instep(there):
            moved = [
                _moved(there, row, rows[(done + at) % len(rows)])
                for at, row in enumerate(there.rows)
            ]
            yield there._replace(rows=tuple(moved))
            done += len(there.rows)
        else:
            yield there
        past = past or there is foot


def leg_goes_on(pattern: Pattern) -> tuple[int, int] | None:
    """Of a sock from the toe up whose repeat goes on past the heel: the rounds its foot is planned to have,
    and that one of the foot's which round 1 of the leg is on the instep; None elsewhere.
    """
    at = pattern.repeat_begins
    if at is None or not pattern.toe_up:
        return None
    end = [there.kind for there in pattern.sections].index("leg", at)
    foot, leg = pattern.sections[at], pattern.sections[end]
    between = pattern.sections[at + 1 : end]
    done = sum(len(there.rows) for there in between if _is_over_the_instep(there))
    done += foot.planned + sum(not row.number for row in leg.rows)
    return foot.planned, done % foot.cycle + 1


def _is_over_the_instep(there: Section) -> bool:
    """Whether its rows work the instep, each the next row of the repeat."""
    return there.on_instep or there.kind in ("gusset", HEEL_ROUNDS, HEEL_PLACE)


def _moved(there: Section, row: Row, other: Row) -> Row:
    """A row over the instep with the work of another there."""
    if there.kind == HEEL_PLACE:
        return like(row, other)._replace(word=row.word)
    if there.kind == HEEL_ROUNDS:
        return inside_heel(row, other)
    moved = on_instep(row, other)
    return moved._replace(word=row.word) if there.on_instep else moved


def _leg(
    there: Section, rows: Sequence[Row], cycle: Sequence[Row], done: int, by: int
) -> Iterator[Row]:
    for row in there.rows:
        if row.number:
            yield like(row, cycle[(row.number - 1 + by) % len(cycle)])
        else:
            yield _to_the_centre(row, rows[done % len(rows)], cycle[(by - 1) % len(cycle)])


def _to_the_centre(row: Row, instep: Row, leg: Row) -> Row:
    """The round to the centre back with the instep of one row; in colours with what the leg's has there."""
    if row.before[_INSIDE] == instep.before[_INSIDE] and not _is_coloured(leg):
        work = (row.needles[0], *instep.needles[_INSIDE], row.needles[-1])
        return worked_so(row, work, row.word)
    rests = _stitches(row).count("rest")
    found = closing(rests, _worked(row, instep, leg, rests), [one.leaves for one in row.needles])
    told = list(found.work)
    if found.begins[_INSIDE] == instep.before[_INSIDE]:
        # It is written as on the foot.
        told[_INSIDE] = [needle.work for needle in instep.needles[_INSIDE]]
    needles = tuple(
        _made(needle, work, live)
        for needle, work, live in zip(row.needles, told, found.begins, strict=True)
    )
    return worked_so(row._replace(before=found.begins), needles, row.word)


_INSIDE = slice(1, -1)
"""The instep's needles of a round that begins at the centre of the sole."""


def _worked(row: Row, instep: Row, leg: Row, rests: int) -> list[str]:
    """The stitches of that round, one by one, but for those that wait."""
    if _is_coloured(leg):
        return _stitches(leg)[rests:]
    inside = instep._replace(needles=instep.needles[_INSIDE], before=instep.before[_INSIDE])
    beside = sum(row.before) - rests - sum(inside.before)
    return [*_stitches(inside), *["k"] * beside]


def _stitches(row: Row) -> list[str]:
    return each([needle.work for needle in row.needles], row.before)


def _is_coloured(row: Row) -> bool:
    return row.word == "CHART"


def _made(needle: Needle, work: str, live: int) -> Needle:
    """A needle with other work, over so many stitches."""
    counts = notation.totals(notation.runs(notation.read_row(work).segments[0], live)[0])
    return needle._replace(work=work, made=counts.made, plain=False)
