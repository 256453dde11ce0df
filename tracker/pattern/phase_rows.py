"""Rounds on an instep with the work of another row of the repeat that goes on there."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern import notation
from tracker.pattern.model import Needle, Row
from tracker.pattern.notation import Run


def like(row: Row, other: Row) -> Row:
    """Another row in the place of this one."""
    return other._replace(number=row.number)


def on_instep(row: Row, like: Row) -> Row:
    """A round of the gusset with the instep of another, and the sole in the colours of that one."""
    where = range(1) if len(row.needles) == 2 else range(1, len(row.needles) - 1)
    letters = [_letters([on.needles[place] for place in where], on) for on in (row, like)]
    needles = tuple(
        like.needles[place] if place in where else _recoloured(needle, live, *letters)
        for place, (needle, live) in enumerate(zip(row.needles, row.before, strict=True))
    )
    return worked_so(row, needles, like.word)


def closing_round(row: Row, like: Row) -> Row:
    """The round that closes a heel, with another's work on all needles but the one that rests."""
    return worked_so(row, (row.needles[0], *like.needles[1:]), like.word)


def inside_heel(row: Row, like: Row) -> Row:
    """A round that begins with the instep, the heel's stitches on one needle behind it."""
    heel, *instep = row.needles[-1], *like.needles[:-1]
    if len(like.needles) > 2:  # rounds of the foot begin at the centre back
        instep = instep[1:]
        sole = [(like.needles[place], like.before[place]) for place in (-1, 0)]
    else:
        sole = [(like.needles[-1], like.before[-1])]
    made = [run for needle, live in sole for run in runs_on(needle, live)]
    if any(notation.colour_of(run.stitch) for run in made):
        heel = heel._replace(work=notation.written(made))
    return worked_so(row, (*instep, heel), like.word)


def worked_so(row: Row, needles: Sequence[Needle], word: str) -> Row:
    """A row with other needles; what it does to the stitches is called as it was."""
    worked = sum(needle.made for needle in needles)
    kept = row.word if row.word in ("DEC", "INC", "PICK", "CLOSE") else word
    return row._replace(needles=tuple(needles), worked=worked, word=kept)


def runs_on(needle: Needle, live: int) -> Sequence[Run]:
    """What is made on a needle of so many stitches."""
    return notation.runs(notation.read_row(needle.work).segments[0], live)[0]


def letters_of(row: Row, where: slice) -> tuple[str, ...]:
    """The colours on some of a row's needles, in the order of their letters."""
    return tuple(sorted(_letters(row.needles[where], row)))


def _letters(needles: Sequence[Needle], row: Row) -> list[str]:
    """The colours on some needles of a row, as they come."""
    found: dict[str, None] = {}
    for needle in needles:
        live = row.before[row.needles.index(needle)]
        for run in runs_on(needle, live):
            if letter := notation.colour_of(run.stitch):
                found[letter] = None
    return list(found)


def _recoloured(needle: Needle, live: int, was: Sequence[str], now: Sequence[str]) -> Needle:
    """A needle of the sole in other colours, if they are others."""
    if not was or not now or sorted(was) == sorted(now):
        return needle
    made = runs_on(needle, live)
    turned = {letter: now[place % len(now)] for place, letter in enumerate(was)}
    told = [
        run._replace(
            stitch=run.stitch[:-1] + turned.get(notation.colour_of(run.stitch), run.stitch[-1])
        )
        if notation.colour_of(run.stitch)
        else run
        for run in made
    ]
    return needle._replace(work=notation.written(told))
