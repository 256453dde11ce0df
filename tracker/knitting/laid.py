"""Stitches laid on other needles in the middle of a sock: another set, one needle fewer, a moved border.

The stitches stay in their cyclic order, and each is worked as before; only where one needle ends and the
next begins is another. The heel, worked flat on one needle, is as it was.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Literal

from tracker.knitting import borders, from_one
from tracker.knitting.changes import BadChange, Laid
from tracker.pattern.afterthought import EACH_END, afterthought
from tracker.pattern.fit import halves
from tracker.pattern.heel import SMALLEST
from tracker.pattern.layout import LAYOUTS
from tracker.pattern.model import (
    AT_SIDE,
    CLOSED_BY,
    INSTEP,
    LATE_HEEL,
    ONE_NEEDLE,
    ROUND,
    Needle,
    Pattern,
    Row,
    Section,
    Waiting,
    is_split,
)
from tracker.pattern.notation import DECREASES, Run, read_row, runs, stitch_of, totals, written
from tracker.pattern.reading import read_pattern
from tracker.pattern.spread import Share, is_plain, spread_out
from tracker.records import NamedTuple


class _Part(NamedTuple):
    """A needle of the old set, by its place, or a half of it."""

    at: int
    half: Literal["", "first", "second"] = ""


class _Layout(NamedTuple):
    """The needles of a set, and what of a round each holds: sole, instep, or a half of either."""

    names: tuple[str, ...]
    holds: tuple[str, ...]


_CIRCULAR = sorted(AT_SIDE)
_ALL = "all"
"""What one short circular holds of a round."""
_CENTRE_BACK: dict[str, _Layout] = {
    "five": _Layout(("N1", "N2", "N3", "N4"), ("sole 1", "instep 1", "instep 2", "sole 2")),
    "four": _Layout(("N1", "N2", "N3"), ("sole 1", "instep", "sole 2")),
    # On circulars: B from the marker on, A, and B up to it.
    **dict.fromkeys(_CIRCULAR, _Layout(("B1", "A", "B2"), ("sole 1", "instep", "sole 2"))),
    ONE_NEEDLE: _Layout((ROUND,), (_ALL,)),
}
"""Where a round begins at the centre back, by the set."""
_SIDE: dict[str, _Layout] = {
    "five": _Layout(("N1", "N2", "N3", "N4"), ("instep 1", "instep 2", "sole 1", "sole 2")),
    "four": _Layout(("N1", "N2", "N3"), ("instep", "sole 1", "sole 2")),
    **dict.fromkeys(_CIRCULAR, _Layout(("A", "B"), ("instep", "sole"))),
    ONE_NEEDLE: _Layout((ROUND,), (_ALL,)),
}
"""Where it begins at the side."""


class _Moves(NamedTuple):
    """How the needles `was` of one set become those of another: `names`, what each takes over, and what it
    then holds of a round. From one short circular nothing is taken over by needles.
    """

    was: tuple[str, ...]
    names: tuple[str, ...]
    takes: tuple[tuple[_Part, ...], ...]
    holds: tuple[str, ...]

    @property
    def from_one(self) -> bool:
        """Whether all hung on one short circular, and now hangs on several needles."""
        return self.was == (ROUND,) != self.names


def _moves(pattern: Pattern, to: str, section: Section) -> _Moves | None:
    """From the set that she is on to another, in a section; None where either is not known."""
    layouts = _SIDE if pattern.begins_at_side(section) else _CENTRE_BACK
    before, after = _lies(pattern, section, layouts), layouts.get(to)
    if before is None or after is None:
        return None
    takes: tuple[tuple[_Part, ...], ...] = ()
    if before.holds != (_ALL,) or after.holds == (_ALL,):
        takes = tuple(_parts(before.holds, held) for held in after.holds)
    return _Moves(before.names, after.names, takes, after.holds)


def _lies(pattern: Pattern, section: Section, layouts: Mapping[str, _Layout]) -> _Layout | None:
    """How a section lies now; the toe of a sock on one short circular lies on needles of another set."""
    if pattern.needle_set != ONE_NEEDLE or not _is_too_narrow(section):
        return layouts.get(pattern.needle_set)
    names = section.needles
    return next((one for one in layouts.values() if one.names == names), layouts["five"])


def _is_too_narrow(section: Section) -> bool:
    """Whether one short circular cannot hold it: a toe, what leads to it and what closes it, a late heel."""
    return section.kind in {"toe", LATE_HEEL} | CLOSED_BY or section.leads_to_toe


def _must_move(pattern: Pattern, to: str, section: Section) -> _Moves:
    moves = _moves(pattern, to, section)
    if moves is None:
        raise BadChange(f"from {pattern.needle_set} to {to} is no change of needles")
    return moves


def _parts(holds: tuple[str, ...], wanted: str) -> tuple[_Part, ...]:
    """The needles, or the half of one, that hold what is wanted."""
    if wanted == _ALL:
        return tuple(_Part(at) for at in range(len(holds)))
    if wanted in holds:
        return (_Part(holds.index(wanted)),)
    whole, _, half = wanted.partition(" ")
    if half:
        return (_Part(holds.index(whole), "first" if half == "1" else "second"),)
    return tuple(_Part(at) for at, held in enumerate(holds) if held.startswith(whole))


def on_other_needles(pattern: Pattern, laid: Laid) -> Pattern:
    """The pattern from that row on on other needles. Raises BadChange where they cannot hold it."""
    section = pattern.sections[laid.section]
    if not laid.set:
        moved = _by_counts(section, laid.number, laid.needles, laid.names)
        return _with(pattern, {laid.section: moved, **_with_borders_moved(pattern, laid)})
    if laid.set == ONE_NEEDLE and _is_too_narrow(section):
        raise BadChange(
            f"the {section.name} is too narrow for a short circular; write five, or another set"
        )
    moves = _must_move(pattern, laid.set, section)
    found = {
        index: _by_set(
            pattern,
            there,
            _must_move(pattern, laid.set, there),
            laid.number if index == laid.section else None,
        )
        for index, there in enumerate(pattern.sections)
        if (index > laid.section or (index == laid.section and not laid.needles))
        and not (laid.set == ONE_NEEDLE and _is_too_narrow(there))
    }
    if laid.needles:
        found[laid.section] = _by_counts(
            section, laid.number, laid.needles, laid.names or moves.names
        )
    return _with(pattern, found)._replace(needle_set=laid.set)


def _with_borders_moved(pattern: Pattern, laid: Laid) -> dict[int, Section]:
    """The sections that follow over which moved borders stay where they are, by index."""
    found: dict[int, Section] = {}
    if not laid.names:
        return found
    there = pattern.sections[laid.section]
    planned = borders.how(there.row(max(laid.number, there.planned)))
    for index, section in enumerate(pattern.sections[laid.section + 1 :], laid.section + 1):
        if not borders.goes_on(section, planned):
            break
        try:
            found[index] = _by_counts(section, section.first, laid.needles, laid.names)
        except BadChange:
            break  # what would lie across two needles there: they are moved back before it
    return found


def _with(pattern: Pattern, changed: dict[int, Section]) -> Pattern:
    sections = enumerate(pattern.sections)
    return pattern._replace(
        sections=tuple(changed.get(index, section) for index, section in sections)
    )


def _by_set(pattern: Pattern, section: Section, moves: _Moves, number: int | None) -> Section:
    """A section on another set from a row on (None: all of it); what waits hangs on its needles, too."""
    if section.kind == "graft":
        return section  # its needles are only called like those of two circulars
    if section.kind == LATE_HEEL and number in (None, section.first):
        return _late_heel(section, moves)
    waiting = _waiting(section.waiting, moves)
    from_row = section.first if number is None else number
    section = _written_to(section, from_row)
    rows: list[Row] = []
    on: tuple[int, ...] | None = None
    for row in section.rows:
        names = tuple(needle.name for needle in row.needles)
        flat = row.side is not None
        if row.number < from_row or (flat and (names != moves.was or moves.names == (ROUND,))):
            rows.append(row)
            continue
        if names != moves.was:
            # It lay on needles of her own choice: now as evenly as they go.
            rows.append(_evenly(row, moves.names, on))
        else:
            held = on or _held(pattern, section, row, moves)
            rows.append(_laid_by_set(row, moves, held))
        on = rows[-1].holding(len(rows[-1].needles))
    return _of_rows(section, rows)._replace(waiting=waiting)


def _late_heel(section: Section, moves: _Moves) -> Section:
    """A heel knitted afterwards, of which nothing is on needles yet, as it is begun on another set.

    One that was written otherwise stays on its own needles.
    """
    half = section.rows[0].leaves // 2 - EACH_END
    layout = next((one for one in LAYOUTS.values() if one.names == moves.names), None)
    if layout is None or section.first != 0 or half < SMALLEST:
        return section
    anew = read_pattern({"section": [afterthought(half).wedge_section(layout)]}, "").sections[0]
    there = [(row.number, row.leaves, row.word) for row in section.rows]
    return anew if there == [(row.number, row.leaves, row.word) for row in anew.rows] else section


def as_on(pattern: Pattern, to: str, section: int, number: int) -> tuple[int, ...] | None:
    """The stitches on each needle of a set at a round, from how they lie in the pattern; None worked flat.

    Raises BadChange where the set cannot be come to.
    """
    moves = _must_move(pattern, to, pattern.sections[section])
    there = pattern.sections[section]
    row = there.row(number)
    if tuple(needle.name for needle in row.needles) != moves.was:
        return None
    return _held(pattern, there, row, moves)


def _held(pattern: Pattern, section: Section, row: Row, moves: _Moves) -> tuple[int, ...]:
    """The stitches on each needle of the new set before a row, from how they lie on the old one.

    Of a toe for one foot halves part in the middle of the tip.
    """
    on, sided = row.before, pattern.of_feet and section.kind == "toe"
    if moves.from_one:
        return from_one.shared(pattern, section, row, moves.holds)
    parts = {
        at: _at_tip(section, row.number, at) if sided else halves(on[at]) for at in _halved(moves)
    }
    return tuple(sum(_of(part, on, parts) for part in takes) for takes in moves.takes)


def _halved(moves: _Moves) -> set[int]:
    """The needles that are parted."""
    return {part.at for takes in moves.takes for part in takes if part.half}


def _at_tip(section: Section, number: int, at: int) -> tuple[int, int]:
    """A needle of a toe parted so that the middle of what is left at the end lies between both parts."""
    rows = [row for row in section.rows if row.number >= number]
    first = 0
    for row in rows:
        before, held = 0, row.before[at]
        for run in _runs(row.needles[at], held):
            stitch = stitch_of(run.stitch)
            if 2 * before < held:
                first += (stitch.takes - stitch.leaves) * run.times
            before += stitch.takes * run.times
    parted = first + halves(rows[-1].needles[at].leaves)[0]
    return parted, rows[0].before[at] - parted


def _by_counts(
    section: Section, number: int, needles: tuple[int, ...], names: tuple[str, ...] = ()
) -> Section:
    """A section with so many stitches on each needle from a row on, of a set by their `names`."""
    from_row, on = number, needles
    section = _written_to(section, from_row)
    rows: list[Row] = []
    for row in section.rows:
        if row.number >= from_row:
            rows.append(_laid_by_counts(section, row, on, names))
            on = rows[-1].holding(len(needles))
        else:
            rows.append(row)
    return _of_rows(section, rows)


def _written_to(section: Section, number: int) -> Section:
    """An open section with so many rows that those which come again are all worked after row `number`.

    As many are planned as before.
    """
    last = number + section.cycle - 1
    if section.goal is None or last <= section.rows[-1].number:
        return section
    more = map(section.row, range(section.rows[-1].number + 1, last + 1))
    return section._replace(rows=(*section.rows, *more), aimed=section.planned)


def _of_rows(section: Section, rows: Sequence[Row]) -> Section:
    """The section with these rows, and the needles that its first one is worked on."""
    names = tuple(needle.name for needle in rows[0].needles)
    return section._replace(rows=tuple(rows), needles=names, starts=rows[0].before)


def _of(part: _Part, on: Sequence[int], parts: Mapping[int, tuple[int, int]]) -> int:
    """Stitches of a part of the needles; `parts` are the halves of those that are parted."""
    if not part.half:
        return on[part.at]
    return parts[part.at][part.half == "second"]


def _waiting(waiting: tuple[Waiting, ...], moves: _Moves) -> tuple[Waiting, ...]:
    """What waits while the heel is worked, on the needles it then hangs on."""
    if moves.from_one and [wait.name for wait in waiting] == [INSTEP]:
        return from_one.waiting(waiting[0].stitches, moves.names, moves.holds)
    places = {name: at for at, name in enumerate(moves.was)}
    if not waiting or any(wait.name not in places for wait in waiting):
        return waiting
    if moves.names == (ROUND,):
        return from_one.onto_one(sum(wait.stitches for wait in waiting))
    on = [0] * len(moves.was)
    for wait in waiting:
        on[places[wait.name]] = wait.stitches
    parts = {at: halves(on[at]) for at in _halved(moves)}
    held = (sum(_of(part, on, parts) for part in takes) for takes in moves.takes)
    return tuple(Waiting(*one) for one in zip(moves.names, held, strict=True) if one[1])


def _laid_by_set(row: Row, moves: _Moves, on: tuple[int, ...]) -> Row:
    if moves.from_one:
        return _apart(row, moves, on)
    work = [_runs(needle, held) for needle, held in zip(row.needles, row.before, strict=True)]
    needles = []
    for place, (name, takes) in enumerate(zip(moves.names, moves.takes, strict=True)):
        made: list[Run] = []
        for part in takes:
            if not part.half:
                made += work[part.at]
                continue
            first = place if part.half == "first" else place - 1
            made += _shares(work[part.at], on[first : first + 2])[part.half == "second"].runs
        needles.append(_needle(name, made, on[place]))
    return row._replace(needles=tuple(needles), before=on)


def _apart(row: Row, moves: _Moves, on: tuple[int, ...]) -> Row:
    """A round of one needle on several. Stitches are picked up on the sole's."""
    made = _all_runs(row)
    if all(run.stitch != "pick up" for run in made):
        return _spread(row, moves.names, on)
    parts = from_one.picked_up(made, on, moves.holds)
    needles = tuple(
        _needle(name, part, held) for name, part, held in zip(moves.names, parts, on, strict=True)
    )
    return row._replace(needles=needles, before=on)


def _evenly(row: Row, names: tuple[str, ...], on: tuple[int, ...] | None) -> Row:
    total, many = sum(row.before), len(names)
    held = on or tuple((total + many - 1 - at) // many for at in range(many))
    return _spread(row, names, held)


def _laid_by_counts(
    section: Section, row: Row, on: tuple[int, ...], names: tuple[str, ...] = ()
) -> Row:
    if row.side is not None or any(needle.rests for needle in row.needles):
        raise BadChange(f"the {section.name} is worked on one needle; move its stitches after it")
    if min(on) < 1:
        raise BadChange("a needle at work holds a stitch at the least; leave the empty one out")
    if sum(on) != sum(row.before):
        raise BadChange(
            f"{'/'.join(map(str, on))} is {sum(on)} stitches in all, {sum(row.before)} are on the "
            "needles; count each needle once more"
        )
    made = _all_runs(row)
    if any(run.stitch in ("pick up", "take up", "rest") for run in made):
        raise BadChange(
            f"stitches are picked up in this round of the {section.name}; move them after it"
        )
    called = tuple(needle.name for needle in row.needles)
    names = names or (() if is_split(called) else called)
    if len(on) != len(names):
        names = tuple(f"N{place}" for place in range(1, len(on) + 1))
    return _spread(row, names, on)


def _all_runs(row: Row) -> list[Run]:
    """The stitches made in a round, one needle after the other."""
    needles = zip(row.needles, row.before, strict=True)
    return [run for needle, held in needles for run in _runs(needle, held)]


def _spread(row: Row, names: tuple[str, ...], on: tuple[int, ...]) -> Row:
    """A round over needles that hold so many."""
    shares = _shares(_all_runs(row), on)
    needles = tuple(
        _needle(name, share.runs, held) for name, share, held in zip(names, shares, on, strict=True)
    )
    return row._replace(needles=needles, before=on)


def _shares(made: Sequence[Run], on: Sequence[int]) -> list[Share]:
    """What each of these needles has of a round. No stitch may lie across two of them."""
    spread = spread_out(made, on)
    if spread.across:
        raise BadChange(f"{spread.across} would lie across two needles; choose other borders")
    return spread.shares


@lru_cache(maxsize=4096)
def _made(work: str, held: int) -> tuple[Run, ...]:
    (items,) = read_row(work).segments
    return tuple(runs(items, held)[0])


def _runs(needle: Needle, held: int) -> Sequence[Run]:
    """The stitches made on a needle that holds so many; none where it rests."""
    return () if needle.rests else _made(needle.work, held)


def _needle(name: str, made: Sequence[Run], held: int) -> Needle:
    together = _together(made)
    counts, work = totals(together), _told(together)
    if work and together != _together(_made(work, held)):
        raise BadChange("this work cannot be laid on those needles; choose other borders")
    leaves = held - counts.takes + counts.leaves
    return Needle(name, work, leaves, counts.made, is_plain(together))


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
    knit = [place for place, run in enumerate(made) if run.stitch == "k"]
    if not knit or not any(run.stitch in DECREASES for run in made):
        return written(made)
    longest = max(knit, key=lambda place: made[place].times)
    after = sum(stitch_of(run.stitch).takes * run.times for run in made[longest + 1 :])
    reach = f"k to last {after}" if after else "k to end"
    parts = [written(made[:longest]), reach, written(made[longest + 1 :])]
    return ", ".join(filter(None, parts))
