"""The pattern as it is once something was changed on a sock. The number of sections never changes."""

from __future__ import annotations

from tracker.knitting import laid
from tracker.knitting.changes import BadChange, Change, Rewritten
from tracker.pattern.model import Pattern, Row, Section
from tracker.pattern.reading import MOST_ROWS, rows_as_written


def altered(pattern: Pattern, change: Change) -> Pattern:
    """The pattern with one change more.

    Raises BadChange, BadSection and BadRow (each a ValueError) where it does not come out, in its own
    section or where the next one goes on.
    """
    before = pattern
    for rewritten in change.rewritten:
        pattern = _with_section(pattern, rewritten.section, _rewritten(pattern, rewritten))
    if change.laid is not None:
        pattern = laid.on_other_needles(pattern, change.laid)
    _must_go_on(before, pattern)
    return pattern


def _with_section(pattern: Pattern, index: int, section: Section) -> Pattern:
    sections = (*pattern.sections[:index], section, *pattern.sections[index + 1 :])
    return pattern._replace(sections=sections)


def _must_go_on(before: Pattern, after: Pattern) -> None:
    """Where a section changed it must leave what the next one begins with, as it did."""
    pairs = zip(before.sections, before.sections[1:], strict=False)
    for index, (was, then) in enumerate(pairs):
        now, following = after.sections[index : index + 2]
        if (now is not was or following is not then) and _left(now, following) != _left(was, then):
            raise BadChange(
                f"the {following.name} does not go on from what the {now.name} leaves then; take the other "
                "change back first"
            )


def _left(section: Section, following: Section) -> int:
    """Stitches that the next section has more than this one leaves."""
    return sum(following.rows[0].before) - section.row(section.planned).leaves


# Rows written anew


def _rewritten(pattern: Pattern, to: Rewritten) -> Section:
    section = pattern.sections[to.section]
    if not max(section.first, 1) <= to.planned <= MOST_ROWS or to.number < section.first:
        raise BadChange(f"the {section.name} cannot have {to.planned} rows")
    known = {row.number: row for row in section.rows}
    if to.rows:
        begins = to.begins or _row(section, to.number).before
        written = rows_as_written(section, begins, to.rows, to.number)
        follows = to.number + len(written)
        goes_on = known.get(follows) if follows <= to.planned else None
        if goes_on and written[-1].holding(len(written[-1].needles)) != goes_on.before:
            raise BadChange(f"the {section.name} does not go on after row {follows - 1}")
        known |= {row.number: row for row in written}
    rows = [
        known.get(number) or _row(section, number)
        for number in range(section.first, to.planned + 1)
    ]
    return section._replace(rows=tuple(rows), starts=rows[0].before, aimed=0)


def _row(section: Section, number: int) -> Row:
    if number > section.planned and section.goal is None:
        raise BadChange(f"the {section.name} has no row {number}")
    return section.row(number)
