"""Where the yarn that floats behind a round of a chart is caught, read from the rows themselves."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from tracker.pattern.model import Pattern, Row, Section
from tracker.pattern.notation import BadRow, colour_of, read_row, runs

if TYPE_CHECKING:
    from tracker.pattern.repeat import Caught

_Work = tuple[tuple[str, int], ...]


def caught_in(section: Section, number: int) -> tuple[tuple[Caught, ...], int]:
    """The yarns that are caught in a round of a section, and the stitches of the repeat they are counted in;
    0 where it comes once, all round.

    Nothing where the section goes by no chart, or its rounds do not come again.
    """
    first = section.first + section.lead_in + (section.first == 0)
    if not _is_charted(section) or number < first:
        return (), 0
    start = first - section.first
    works = tuple(map(_work, section.rows[start : start + section.cycle]))
    found, width = _catches(works)
    return (found[(number - first) % len(found)], width) if found else ((), 0)


def foot_beside(pattern: Pattern, gusset: Section) -> Section | None:
    """The foot whose chart goes on over the instep beside a gusset; None where none does."""
    if gusset.kind != "gusset" or not pattern.goes_on or gusset not in pattern.sections:
        return None
    at = pattern.sections.index(gusset) + (-1 if pattern.toe_up else 1)
    return pattern.sections[at] if 0 <= at < len(pattern.sections) else None


def caught_beside(
    gusset: Section, foot: Section, number: int, *, at_side: bool
) -> tuple[tuple[Caught, ...], int]:
    """The same of a round of a gusset, on its instep, which goes on with the chart that the foot has there.

    They are counted from the first stitch of the instep.
    """
    if gusset.kind != "gusset" or not _is_charted(foot):
        return (), 0
    start = foot.lead_in + (foot.first == 0)
    where = slice(0, 1) if at_side else slice(1, -1)
    works = tuple(_work(row, where) for row in foot.rows[start : start + foot.cycle])
    found, width = _catches(works)
    before = number - 1 - foot.lead_in
    # It comes before the foot's rounds, or, from the toe up, goes on after those that are planned.
    before += foot.planned if gusset.first else -gusset.planned
    return (found[before % len(found)], width) if found else ((), 0)


def told_beside(gusset: Section, foot: Section, *, at_side: bool) -> Iterator[str]:
    """What is to be caught on the instep beside a gusset: in which rounds, a sentence for each catch."""
    rounds: dict[str, list[int]] = {}
    for number in range(gusset.first, gusset.planned + 1):
        here, width = caught_beside(gusset, foot, number, at_side=at_side)
        for one in here:
            rounds.setdefault(brief_beside(one, width), []).append(number)
    for told, numbers in rounds.items():
        yield f"{_rounds(numbers)}: {told}."


def _rounds(numbers: list[int]) -> str:
    """ "Pick-up round, rounds 3, 6 and 9", "Round 1"."""
    counted = [str(number) for number in numbers if number]
    *before, last = counted or [""]
    named = f"rounds {', '.join(before)} and {last}" if before else f"round {last}" if last else ""
    both = ", ".join(filter(None, ["pick-up round" if 0 in numbers else "", named]))
    return both[:1].upper() + both[1:]


def brief_beside(one: Caught, width: int) -> str:
    """ "catch a behind stitch 4 of each 8 on the instep"; where it comes once, "stitch 4 of the instep"."""
    return f"{brief(one, width)} on the instep" if width else _brief(one, "of the instep")


def told(section: Section) -> Iterator[str]:
    """What is to be caught in a section, a sentence for each row of its chart where something is."""
    first = section.first + section.lead_in + (section.first == 0)
    for row in range(section.cycle if _is_charted(section) else 0):
        here, width = caught_in(section, first + row)
        again, _ = caught_in(section, first + row + section.cycle)
        for one, later in zip(here, again, strict=True):
            behind = _behind(one)
            then = "" if later.behind == one.behind else f", the next time behind {_numbers(later)}"
            of = _of(width)
            yield f"Row {row + 1} of the chart: catch {one.letter} behind {behind} {of}{then}."


def brief(one: Caught, width: int) -> str:
    """ "catch a behind stitch 4 of each 8", or "of the round"."""
    return _brief(one, _of(width))


def _brief(one: Caught, of: str) -> str:
    return f"catch {one.letter} behind {_behind(one)} {of}"


def _of(width: int) -> str:
    """Of which stitches one is counted; `width` is 0 where the repeat comes once."""
    return f"of each {width}" if width else "of the round"


def _behind(one: Caught) -> str:
    return f"stitch{'es' if len(one.behind) > 1 else ''} {_numbers(one)}"


def _numbers(one: Caught) -> str:
    *before, last = map(str, sorted(one.behind))
    return f"{', '.join(before)} and {last}" if before else last


def _is_charted(section: Section) -> bool:
    if section.rows[-1].word != "CHART" or section.worked != "rounds" or section.kind == "gusset":
        return False
    from tracker.pattern.repeat import HIGHEST  # few legs are

    return section.cycle <= HIGHEST


def _work(row: Row, where: slice = slice(None)) -> _Work:
    """The work of those of its needles, and what each holds before."""
    on = zip(row.needles[where], row.before[where], strict=False)
    return tuple((needle.work, live) for needle, live in on)


@lru_cache(maxsize=32)
def _catches(works: tuple[_Work, ...]) -> tuple[tuple[tuple[Caught, ...], ...], int]:
    """What is caught in every round of two repeats, and how wide one is, or 0 where it comes once; nothing
    where that is not known.
    """
    from tracker.pattern.repeat import WIDEST, catches, made_of

    try:
        rows = [[stitch for work, live in row for stitch in _each(work, live)] for row in works]
    except BadRow:
        return (), 0
    width = _width(rows)
    if not 0 < width <= WIDEST or any(not colour_of(stitch) for row in rows for stitch in row):
        return (), 0
    repeat = made_of(tuple(tuple(row[:width]) for row in rows), (width,) * len(rows))
    return catches(repeat), width if width < len(rows[0]) else 0


def _each(work: str, live: int) -> Iterator[str]:
    for run in runs(read_row(work).segments[0], live)[0]:
        yield from [run.stitch] * run.times


def _width(rows: list[list[str]]) -> int:
    """Stitches after which all rows come again; 0 where they are not of one length."""
    many = len(rows[0])
    if any(len(row) != many for row in rows):
        return 0
    parts = (every for every in range(1, many + 1) if many % every == 0)
    return next(
        every for every in parts if all(row == row[:every] * (many // every) for row in rows)
    )
