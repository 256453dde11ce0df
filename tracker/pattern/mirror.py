"""Sock two of a pair that is mirrored: cables cross the other way, and rows are taken the other way round.

Counts never mirror: every needle holds in every row what it holds on sock one. What is alike from both
sides stays as it is written, and so does a heel, whose rows are worked to and fro. A toe that is drawn up
turns, for all its decreases lean to one side: on sock two they lean the other way, at the other end of each.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from tracker.pattern import notation
from tracker.pattern.model import (
    CLOSED_BY,
    HEEL_FLAT,
    HEEL_ROUNDS,
    LATE_HEEL,
    Needle,
    Pattern,
    Row,
    Section,
)
from tracker.pattern.notation import Run, written
from tracker.pattern.spread import Share, spread_out
from tracker.records import NamedTuple

_LEANS = {
    "k2tog": "ssk", "ssk": "k2tog", "skp": "k2tog", "k2tog tbl": "k2tog", "p2tog": "ssp",
    "ssp": "p2tog", "p2tog tbl": "p2tog", "k3tog": "sk2p", "sk2p": "k3tog", "M1L": "M1R",
    "M1R": "M1L",
}  # fmt: skip
"""What leans to one side, and what leans as far to the other (common practice, no source)."""
ONE_WAY = frozenset({"pick up", "take up", "rest", "CO", "BO", "graft", "draw up", "DS"})
"""What has its place in a row, and cannot be taken the other way round."""
_EVEN = frozenset({"gusset", "toe", LATE_HEEL})
"""Kinds of section whose decreases lean alike on both sides."""
_TO_AND_FRO = HEEL_FLAT | CLOSED_BY


class _Turned(NamedTuple):
    """A row as sock two has it; `asks` where it is not the same from both sides, None: it cannot turn."""

    row: Row | None
    asks: bool


def mirrored(pattern: Pattern, planned: Pattern | None = None) -> Pattern:
    """The pattern as sock two has it; the very same where nothing in it leans to one side.

    Where a row that does cannot be taken the other way round, none is: what leans is then mirrored in
    its own place. With `planned`, of which the pattern is a change, that one says which it is, so that
    what is knitted stays as it was.
    """
    turned = _all_turned(pattern)
    way = _way(turned if planned is None else _all_turned(planned))
    spiral = _spiral(pattern)
    if way == "alike" and spiral is None:
        return pattern
    sections = tuple(
        _whorled(there) if index == spiral else _mirrored(pattern, there, rows, way)
        for index, (there, rows) in enumerate(zip(pattern.sections, turned, strict=True))
    )
    about = (way == "about") != pattern.other_way
    return pattern._replace(sections=sections, other_way=about)


def _mirrored(pattern: Pattern, there: Section, turned: Sequence[_Turned], way: str) -> Section:
    """A section as sock two has it."""
    # A toe for one foot has its own mirror image: see `feet`.
    if way == "alike" or (pattern.of_feet and there.kind == "toe"):
        return there
    rows = (
        one.row
        if way == "about" and one.row is not None
        else _in_place(row, there.kind, _beside_gusset(pattern, there, row))
        for row, one in zip(there.rows, turned, strict=True)
    )
    return there._replace(rows=tuple(rows))


def _spiral(pattern: Pattern) -> int | None:
    """The index of a toe whose decreases all lean to one side; None where there is none."""
    kinds = [(there.kind, after.kind) for there, after in pairwise(pattern.sections)]
    return kinds.index(("toe", "draw up")) if ("toe", "draw up") in kinds else None


def _whorled(there: Section) -> Section:
    """A toe that turns the other way: each needle from its end to its beginning, wedge by wedge."""
    return there._replace(rows=tuple(map(_other_whorl, there.rows)))


def _other_whorl(row: Row) -> Row:
    """A round of it; where stitches were laid on other needles, so that wedges lie over their ends, each
    decrease leans the other way where it stands.
    """
    made = _runs(row)
    whole = made is not None and all(
        not row.number or runs[-1].stitch in _LEANS or not any(run.stitch in _LEANS for run in runs)
        for runs in made
    )
    turned = _round_about(row, made, by_needle=True) if made is not None and whole else None
    return _in_place(row, "other") if turned is None else turned


def turns(pattern: Pattern, planned: Pattern) -> bool:
    """Whether a change of `planned` can be mirrored as that is, no stitch lying across two needles."""
    if _way(_all_turned(planned)) != "about":
        return True
    return all(one.row is not None for rows in _all_turned(pattern) for one in rows if one.asks)


def _all_turned(pattern: Pattern) -> list[list[_Turned]]:
    """Every row of every section, taken the other way round as far as it can be."""
    known: dict[object, _Turned] = {}
    return [
        [_turned(pattern, there, row, known) for row in there.rows] for there in pattern.sections
    ]


def _way(turned: list[list[_Turned]]) -> str:
    """Whether all is "alike" from both sides, goes the other way round "about", or is mirrored "in place"."""
    asks = [one for rows in turned for one in rows if one.asks]
    if not asks:
        return "alike"
    return "about" if all(one.row is not None for one in asks) else "in place"


def _turned(pattern: Pattern, there: Section, row: Row, known: dict[object, _Turned]) -> _Turned:
    """A row taken the other way round; rows that are alike are looked at once."""
    works = tuple(needle.work for needle in row.needles)
    place = there.kind, there.worked, works, row.before, row.side
    if place not in known:
        known[place] = _turn(pattern, there, row)
    found = known[place]
    return found if found.row is None else found._replace(row=found.row._replace(number=row.number))


def _turn(pattern: Pattern, there: Section, row: Row) -> _Turned:
    if pattern.of_feet and there.kind == "toe":
        return _Turned(row, asks=False)
    cables = any(_CABLE.search(needle.work) for needle in row.needles)
    if (inside := _inside_turned(pattern, there, row)) is not None:
        return inside
    if there.kind in _TO_AND_FRO or (there.worked == "rows" and there.kind != "other"):
        return _Turned(_in_place(row, there.kind), cables)
    made = _runs(row)
    stitches = {run.stitch for runs in made or () for run in runs}
    coloured = any(map(notation.colour_of, stitches))
    leans = cables or coloured or (bool(stitches & _LEANS.keys()) and there.kind not in _EVEN)
    other_begin = pattern.begins_at_side(there) != pattern.at_side
    # A round that begins at the side over more needles has no end that its beginning could change with.
    turned = (
        None if made is None or other_begin else _round_about(row, made, by_needle=pattern.at_side)
    )
    if turned is None:
        return _Turned(None, leans)
    return _Turned(turned, leans and turned != row)


def _inside_turned(pattern: Pattern, there: Section, row: Row) -> _Turned | None:
    """A round of which only the instep is whole: that the other way round, what is beside it as it goes.

    None of any other round, and where it cannot be read.
    """
    where = _only_instep(pattern, there, row)
    inside = row._replace(needles=row.needles[where], before=row.before[where])
    made = _runs(inside) if inside.needles else None
    if made is None:
        return None
    asks = not {run.stitch for runs in made for run in runs} <= {"k", "p"}
    turned = _round_about(inside, made, by_needle=len(made) == 1)
    sole = _beside(pattern, there, row)
    if turned is None or sole is None:
        return _Turned(None, asks)
    whole = row._replace(needles=(*sole[: where.start or 0], *turned.needles, *sole[where.stop :]))
    return _Turned(whole, asks and whole != row)


def _only_instep(pattern: Pattern, there: Section, row: Row) -> slice:
    """The instep's needles in a round that has more than what goes all round; none in any other."""
    last = len(row.needles) - 1
    if there.kind == HEEL_ROUNDS:
        return slice(0, last)
    if row.word in ("PICK", "CLOSE", "OVER") and row.side is None:
        return slice(0, 1) if pattern.at_side else slice(1, last)
    if there.kind == "heel set-up" and pattern.at_side:
        return slice(0, 1)
    if there.kind == "heel set-up" and last > 1:
        return slice(1, last)  # from the toe up the instep is worked once more, on to the heel
    return slice(0, 0)


def _beside_gusset(pattern: Pattern, there: Section, row: Row) -> slice:
    """The instep's needles beside a gusset, where a repeat goes on: its decreases lean as the leg's do."""
    if there.kind != "gusset" or not pattern.goes_on or len(row.needles) == 1:
        return slice(0, 0)
    return slice(0, 1) if pattern.at_side else slice(1, -1)


def _beside(pattern: Pattern, there: Section, row: Row) -> tuple[Needle, ...] | None:
    """All needles of such a round with their sole as sock two has it; None where it cannot turn."""
    *before, last = row.needles
    if there.kind == HEEL_ROUNDS:
        heel = row._replace(needles=(last,), before=row.before[-1:])
        made = _runs(heel)
        turned = None if made is None else _round_about(heel, made, by_needle=True)
        return None if turned is None else (*before, *turned.needles)
    if row.word not in ("CLOSE", "OVER") or last.plain:
        return row.needles
    # Half of the sole is worked: as in the round of the foot that has the same row of the repeat.
    like = _turn(pattern, there, there.row(there.cycle)).row
    return None if like is None else (*before, last._replace(work=like.needles[-1].work))


def _runs(row: Row) -> list[list[Run]] | None:
    """What is made on each needle; None where a needle is not worked to its end, or not at all."""
    found = []
    for needle, live in zip(row.needles, row.before, strict=False):
        read = notation.read_row(needle.work)
        if not read.segments[0] or read.turns:
            return None
        made, left = notation.runs(read.segments[0], live)
        if left or any(run.stitch in ONE_WAY for run in made):
            return None
        found.append(made)
    return found if len(found) == len(row.before) == len(row.needles) else None


def _joined(made: Iterable[Run]) -> list[Run]:
    """Runs of one stitch that follow each other as one."""
    joined: list[Run] = []
    for run in made:
        before = joined.pop() if joined and joined[-1].stitch == run.stitch else Run(run.stitch, 0)
        joined.append(Run(run.stitch, before.times + run.times))
    return joined


def _round_about(row: Row, made: Sequence[Sequence[Run]], *, by_needle: bool) -> Row | None:
    """The row from its end to its beginning, or each needle so; None where a needle held another count."""
    parts = [(back(runs), [live]) for runs, live in zip(made, row.before, strict=True)]
    if not by_needle:
        parts = [(back([run for runs in made for run in runs]), list(row.before))]
    spread = [spread_out(runs, holds) for runs, holds in parts]
    shares = [share for one in spread for share in one.shares]
    if any(one.across for one in spread):
        return None
    needles = []
    facing = made if by_needle else made[::-1]
    for needle, share, was, other in zip(row.needles, shares, made, facing, strict=True):
        if share.leaves != needle.leaves:
            return None
        work = needle.work if list(share.runs) == _joined(was) else _work(share, other)
        plain = share.plain and row.side is None
        needles.append(Needle(needle.name, work, needle.leaves, share.counts.made, plain))
    return row._replace(needles=tuple(needles))


def _work(share: Share, facing: Sequence[Run]) -> str:
    """What is written of a needle: a repeat, where it has what the one facing it had, turned round."""
    if len(share.runs) == 1 and share.runs[0].stitch in ("k", "p"):
        return share.runs[0].stitch
    turned = [Run(_other_way(run.stitch), run.times) for run in reversed(facing)]
    return written(turned) if _joined(turned) == list(share.runs) else share.work


def back(made: Sequence[Run]) -> list[Run]:
    """What is made, from its end to its beginning: what leans or crosses does so the other way."""
    return _joined(Run(_other_way(run.stitch), run.times) for run in reversed(made))


def _other_way(stitch: str) -> str:
    """What crosses or leans the other way; any other stitch is itself."""
    if letter := notation.colour_of(stitch):
        return f"{_other_way(notation.without_colour(stitch))} {letter}"
    if _CABLE.fullmatch(stitch):
        return f"{stitch[:-1]}{'B' if stitch[-1] == 'F' else 'F'}"
    return _LEANS.get(stitch, stitch)


_CABLE = re.compile(r"\bC[1-9]\d{0,2}[FB]\b", re.ASCII)
_LEANING = re.compile(
    r"\b(?:k2tog tbl|p2tog tbl|k2tog|p2tog|k3tog|ssk|skp|ssp|sk2p|M1L|M1R)(?![A-Za-z])", re.ASCII
)


def _in_place(row: Row, kind: str, instep: slice = slice(0, 0)) -> Row:
    """The row with all that crosses or leans mirrored where it stands; decreases that are even stay.

    On the needles of `instep` none is: what leans there is a repeat's.
    """
    even = kind in _EVEN or kind in _TO_AND_FRO
    inside = range(len(row.needles))[instep]
    needles = tuple(
        needle._replace(work=_text_in_place(needle.work, even=even and place not in inside))
        for place, needle in enumerate(row.needles)
    )
    return row._replace(needles=needles)


def _text_in_place(work: str, *, even: bool) -> str:
    work = _CABLE.sub(lambda found: _other_way(found[0]), work)
    return work if even else _LEANING.sub(lambda found: _other_way(found[0]), work)


def document(
    tables: Mapping[str, Any], pattern: Pattern, other: Pattern | None = None
) -> dict[str, Any]:
    """A pattern's tables with the rows of sock two, each with its claim, as the audit takes them.

    `other` is the pattern as sock two has it, where that is more than its mirror image.
    """
    turned = other or mirrored(pattern)
    parts = zip(tables["section"], pattern.sections, turned.sections, strict=True)
    sections = [table if was.rows == now.rows else _table(table, now) for table, was, now in parts]
    return {**tables, "section": sections}


def _table(table: Mapping[str, Any], section: Section) -> dict[str, Any]:
    """A section's table with every row written out."""
    kept = {
        key: table[key]
        for key in ("name", "kind", "worked", "on_instep", "waste", "resting", "resting_names")
        if key in table
    }
    first = section.rows[0]
    names = [needle.name for needle in first.needles]
    rows = [_text(row) for row in section.rows]
    step = -1 if first.side == "WS" else 1
    begins = {"names": names[::step], "needles": list(first.before[::step])}
    set_up = {"set_up": rows.pop(0)} if first.number == 0 else {}
    return {**kept, **begins, **set_up, "rows": rows}


def _text(row: Row) -> str:
    side = f"{row.side}: " if row.side else ""
    claim = "/".join(str(needle.leaves) for needle in row.needles)
    return f"{side}{' | '.join(needle.work for needle in row.needles)} = {claim}"
