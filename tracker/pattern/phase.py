"""A foot that goes on with the leg's repeat where the leg really ended, not where the plan had it end.

The repeat stands still while the heel is worked; the pick-up round works the row after the leg's last.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tracker.pattern.model import HEEL_PLACE, HEEL_ROUNDS, Needle, Pattern, Row, Section
from tracker.pattern.notation import Run, colour_of, read_row, runs, written


def leg_of(pattern: Pattern) -> int | None:
    """The index of the leg whose repeat goes on down the foot; None where none does."""
    if not pattern.goes_on:
        return None
    kinds = [section.kind for section in pattern.sections]
    if "leg" not in kinds or "foot" not in kinds[kinds.index("leg") :]:
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
    return there._replace(rows=(_of(row, (like.needles[0], *row.needles[1:]), row.word),))


def _section(there: Section, foot: Section, cycle: Sequence[Row], by: int) -> Section:
    """A section with its rounds on the instep so many rows further on."""
    rows: Iterable[Row]

    def further(rows: int) -> Row:
        """What is worked so many rows before the foot's first is done, or after it."""
        return cycle[(rows - 1 + by) % len(cycle)]

    if there.kind == "foot":
        rows = (
            _like(row, further(row.number)) if row.number else _closing(row, further(0))
            for row in there.rows
        )
    elif there.kind == HEEL_PLACE:
        rows = (_like(row, further(0))._replace(word=row.word) for row in there.rows)
    elif there.kind == HEEL_ROUNDS:
        # The round that closes the heel comes between them and the foot's first.
        after = there.rows[-1].number + sum(not row.number for row in foot.rows)
        rows = (_inside_heel(row, further(row.number - after)) for row in there.rows)
    elif there.kind == "gusset":
        last = there.rows[-1].number
        rows = (_on_instep(row, further(row.number - last)) for row in there.rows)
    else:
        return there
    return there._replace(rows=tuple(rows))


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
    return _of(row, needles, like.word)


def _closing(row: Row, like: Row) -> Row:
    """The round that closes a heel, with another's work on all needles but the one that rests."""
    return _of(row, (row.needles[0], *like.needles[1:]), like.word)


def _inside_heel(row: Row, like: Row) -> Row:
    """A round that begins with the instep, the heel's stitches on one needle behind it."""
    heel, *instep = row.needles[-1], *like.needles[:-1]
    if len(like.needles) > 2:  # rounds of the foot begin at the centre back
        instep = instep[1:]
        sole = [(like.needles[place], like.before[place]) for place in (-1, 0)]
    else:
        sole = [(like.needles[-1], like.before[-1])]
    made = [run for needle, live in sole for run in _runs(needle, live)]
    if any(colour_of(run.stitch) for run in made):
        heel = heel._replace(work=written(made))
    return _of(row, (*instep, heel), like.word)


def _of(row: Row, needles: Sequence[Needle], word: str) -> Row:
    """A row with other needles."""
    worked = sum(needle.made for needle in needles)
    kept = row.word if row.word in ("DEC", "PICK", "CLOSE") else word
    return row._replace(needles=tuple(needles), worked=worked, word=kept)


def _runs(needle: Needle, live: int) -> Sequence[Run]:
    return runs(read_row(needle.work).segments[0], live)[0]


def letters_of(row: Row, where: slice) -> tuple[str, ...]:
    """The colours on some of a row's needles, in the order of their letters."""
    return tuple(sorted(_letters(row.needles[where], row)))


def _letters(needles: Sequence[Needle], row: Row) -> list[str]:
    """The colours on some needles of a row, as they come."""
    found: dict[str, None] = {}
    for needle in needles:
        live = row.before[row.needles.index(needle)]
        for run in _runs(needle, live):
            if letter := colour_of(run.stitch):
                found[letter] = None
    return list(found)


def _recoloured(needle: Needle, live: int, was: Sequence[str], now: Sequence[str]) -> Needle:
    """A needle of the sole in other colours, if they are others."""
    if not was or not now or sorted(was) == sorted(now):
        return needle
    made = _runs(needle, live)
    turned = {letter: now[place % len(now)] for place, letter in enumerate(was)}
    told = [
        run._replace(stitch=run.stitch[:-1] + turned.get(colour_of(run.stitch), run.stitch[-1]))
        if colour_of(run.stitch)
        else run
        for run in made
    ]
    return needle._replace(work=written(told))
