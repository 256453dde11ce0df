"""Stitches laid on other needles in the middle of a sock: another set, one needle fewer, a moved border.

The stitches stay in their cyclic order, and each is worked as before; only where one needle ends and the
next begins is another. The heel, worked flat on one needle, is as it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

from tracker.pattern.fit import halves
from tracker.pattern.layout import LAYOUTS
from tracker.pattern.model import AT_SIDE, Needle, Pattern, Row, Section, Waiting
from tracker.pattern.notation import DECREASES, Run, read_row, runs, stitch_of, totals, written
from tracker.pattern.spread import is_plain, spread_out


class BadChange(ValueError):
    """A change that cannot be: one line, why."""


class Laid(NamedTuple):
    """Stitches laid on other needles from row `number` of a section on.

    With a `set` by its name to the end of the sock; else `needles` stitches on each of them, to the end
    of that section.
    """

    section: int
    number: int
    set: str = ""
    needles: tuple[int, ...] = ()


class _Part(NamedTuple):
    """A needle of the old set, by its place, or a half of it."""

    at: int
    half: Literal["", "first", "second"] = ""


class _Moves(NamedTuple):
    """How the needles `was` of one set become those of another: `names`, and what each takes over."""

    was: tuple[str, ...]
    names: tuple[str, ...]
    takes: tuple[tuple[_Part, ...], ...]


_FIVE, _FOUR, _SIDE = (LAYOUTS[name].names for name in ("five", "four", "two circulars"))
_IN_TWO = ("B1", "A", "B2")
"""A round that begins at the centre back, on circulars: B from the marker on, A, and B up to it."""


def _whole(*places: int) -> tuple[_Part, ...]:
    return tuple(_Part(at) for at in places)


def _in_halves(at: int) -> tuple[tuple[_Part, ...], ...]:
    return (_Part(at, "first"),), (_Part(at, "second"),)


_INSTEP_TOGETHER = (_whole(0), _whole(1, 2), _whole(3))
_AS_THEY_ARE = (_whole(0), _whole(1), _whole(2))
_MOVES: dict[tuple[str, str], _Moves] = {
    ("five", "four"): _Moves(_FIVE, _FOUR, _INSTEP_TOGETHER),
    ("four", "five"): _Moves(_FOUR, _FIVE, (_whole(0), *_in_halves(1), _whole(2))),
}
for _circular in sorted(AT_SIDE):
    _MOVES["five", _circular] = _Moves(_FIVE, _IN_TWO, _INSTEP_TOGETHER)
    _MOVES["four", _circular] = _Moves(_FOUR, _IN_TWO, _AS_THEY_ARE)
    _MOVES[_circular, "five"] = _Moves(_SIDE, _FIVE, (*_in_halves(0), *_in_halves(1)))
    _MOVES[_circular, "four"] = _Moves(_SIDE, _FOUR, (_whole(0), *_in_halves(1)))


def on_other_needles(pattern: Pattern, laid: Laid) -> Pattern:
    """The pattern from that row on on other needles. Raises BadChange where they cannot hold it."""
    section = pattern.sections[laid.section]
    if not laid.set:
        moved = _by_counts(section, laid.number, laid.needles)
        return _with(pattern, {laid.section: moved})
    if laid.set in AT_SIDE and pattern.needle_set in AT_SIDE:
        return pattern._replace(needle_set=laid.set)  # the same two halves, on another cord
    moves = _MOVES.get((pattern.needle_set, laid.set))
    if moves is None:
        raise BadChange(f"from {pattern.needle_set} to {laid.set} is no change of needles")
    later = range(laid.section, len(pattern.sections))
    found = {
        index: _by_set(
            pattern.sections[index], moves, laid.number if index == laid.section else None
        )
        for index in later
    }
    # Where a round begins is where it began.
    stays = (laid.set in AT_SIDE) != (pattern.needle_set in AT_SIDE)
    return _with(pattern, found)._replace(needle_set=pattern.needle_set if stays else laid.set)


def _with(pattern: Pattern, changed: dict[int, Section]) -> Pattern:
    sections = enumerate(pattern.sections)
    return pattern._replace(
        sections=tuple(changed.get(index, section) for index, section in sections)
    )


def _by_set(section: Section, moves: _Moves, number: int | None) -> Section:
    """A section on another set from a row on (None: all of it); what waits hangs on its needles, too."""
    if section.kind == "graft":
        return section  # its needles are only called like those of two circulars
    waiting = _waiting(section.waiting, moves)
    from_row = _from(section, section.first if number is None else number)
    rows: list[Row] = []
    on: tuple[int, ...] | None = None
    for row in section.rows:
        if row.number < from_row or tuple(needle.name for needle in row.needles) != moves.was:
            rows.append(row)
            continue
        held = on or tuple(sum(_of(part, row.before) for part in takes) for takes in moves.takes)
        rows.append(_laid_by_set(row, moves, held))
        on = rows[-1].holding(len(rows[-1].needles))
    return _of_rows(section, rows)._replace(waiting=waiting)


def _by_counts(section: Section, number: int, needles: tuple[int, ...]) -> Section:
    """A section with so many stitches on each needle from a row on."""
    from_row, on = _from(section, number), needles
    rows: list[Row] = []
    for row in section.rows:
        if row.number >= from_row:
            rows.append(_laid_by_counts(section, row, on))
            on = rows[-1].holding(len(needles))
        else:
            rows.append(row)
    return _of_rows(section, rows)


def _from(section: Section, number: int) -> int:
    """The first row that changes: rows that come again do so with the one at hand."""
    if section.goal is None:
        return number
    return min(number, section.planned - section.cycle + 1)


def _of_rows(section: Section, rows: Sequence[Row]) -> Section:
    """The section with these rows, and the needles that its first one is worked on."""
    names = tuple(needle.name for needle in rows[0].needles)
    return section._replace(rows=tuple(rows), needles=names, starts=rows[0].before)


def _of(part: _Part, on: Sequence[int]) -> int:
    """Stitches of a part of the needles."""
    if not part.half:
        return on[part.at]
    return halves(on[part.at])[part.half == "second"]


def _waiting(waiting: tuple[Waiting, ...], moves: _Moves) -> tuple[Waiting, ...]:
    """What waits while the heel is worked, on the needles it then hangs on."""
    places = {name: at for at, name in enumerate(moves.was)}
    if not waiting or any(wait.name not in places for wait in waiting):
        return waiting
    on = [0] * len(moves.was)
    for wait in waiting:
        on[places[wait.name]] = wait.stitches
    held = (sum(_of(part, on) for part in takes) for takes in moves.takes)
    return tuple(Waiting(*one) for one in zip(moves.names, held, strict=True) if one[1])


def _laid_by_set(row: Row, moves: _Moves, on: tuple[int, ...]) -> Row:
    work = [_runs(needle, held) for needle, held in zip(row.needles, row.before, strict=True)]
    needles = []
    for place, (name, takes) in enumerate(zip(moves.names, moves.takes, strict=True)):
        made: list[Run] = []
        for part in takes:
            if not part.half:
                made += work[part.at]
                continue
            first = place if part.half == "first" else place - 1
            shares = spread_out(work[part.at], on[first : first + 2]).shares
            made += shares[part.half == "second"].runs
        needles.append(_needle(name, made, on[place]))
    return row._replace(needles=tuple(needles), before=on)


def _laid_by_counts(section: Section, row: Row, on: tuple[int, ...]) -> Row:
    if row.side is not None or any(needle.rests for needle in row.needles):
        raise BadChange(f"the {section.name} is worked on one needle; move its stitches after it")
    if sum(on) != sum(row.before) or min(on) < 1:
        raise BadChange(
            f"{'/'.join(map(str, on))} is {sum(on)} stitches in all, {sum(row.before)} are on the "
            "needles; count each needle once more"
        )
    made = [
        run
        for needle, held in zip(row.needles, row.before, strict=True)
        for run in _runs(needle, held)
    ]
    if any(run.stitch in ("pick up", "rest") for run in made):
        raise BadChange(
            f"stitches are picked up in this round of the {section.name}; move them after it"
        )
    names = tuple(needle.name for needle in row.needles)
    if len(on) != len(names):
        names = tuple(f"N{place}" for place in range(1, len(on) + 1))
    shares = spread_out(made, on).shares
    needles = tuple(
        _needle(name, share.runs, held) for name, share, held in zip(names, shares, on, strict=True)
    )
    return row._replace(needles=needles, before=on)


def _runs(needle: Needle, held: int) -> list[Run]:
    """The stitches made on a needle that holds so many; none where it rests."""
    if needle.rests:
        return []
    (items,) = read_row(needle.work).segments
    return runs(items, held)[0]


def _needle(name: str, made: Sequence[Run], held: int) -> Needle:
    together = _together(made)
    counts = totals(together)
    leaves = held - counts.takes + counts.leaves
    return Needle(name, _told(together), leaves, counts.made, is_plain(together))


def _together(made: Sequence[Run]) -> list[Run]:
    """Runs of one stitch that follow one another, as one."""
    joined: list[Run] = []
    for run in made:
        if joined and joined[-1].stitch == run.stitch:
            run = Run(run.stitch, joined.pop().times + run.times)
        joined.append(run)
    return joined


def _told(made: Sequence[Run]) -> str:
    """The work of a needle: "k", "k1, ssk, k to last 3, k2tog, k1", "[k2, p2] 8 times"."""
    if len(made) == 1 and made[0].stitch in ("k", "p"):
        return made[0].stitch
    if not any(run.stitch in DECREASES for run in made):
        return written(made)
    longest = max(
        range(len(made)), key=lambda place: (made[place].stitch == "k") * made[place].times
    )
    after = sum(stitch_of(run.stitch).takes * run.times for run in made[longest + 1 :])
    reach = f"k to last {after}" if after else "k to end"
    parts = [written(made[:longest]), reach, written(made[longest + 1 :])]
    return ", ".join(filter(None, parts))
