"""The course of a sock: its pattern as a way to walk, with the stitches made up to every place."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import TYPE_CHECKING

from tracker.knitting.changes import Change, altered
from tracker.pattern.model import Pattern, Row, Section

if TYPE_CHECKING:
    from tracker.knitting.state import Sock

MOST_KEPT = 32
"""Courses with changes that are kept to be found again."""


class Course:
    """A pattern and the running totals that places are measured by; made once for a pattern.

    A sock on which something was changed has a course of its own: see `of`.
    """

    def __init__(self, pattern: Pattern, planned: Course | None = None) -> None:
        self.pattern = pattern
        self.planned = planned or self
        """The course without any change."""
        self._with: dict[tuple[Change, ...], Course] = {}
        self.sections = pattern.sections
        self.last = len(pattern.sections) - 1
        self._made = tuple(_totals(section) for section in pattern.sections)
        self.stitches = sum(totals[-1] for totals in self._made)
        """Stitches made in a whole sock as planned."""
        self._picked = tuple(_picked(section) for section in pattern.sections)

    def of(self, sock: Sock) -> Course:
        """The course of a sock as it is: the planned one with all that was changed on it."""
        return self.changed(sock.changes)

    def changed(self, changes: Sequence[Change]) -> Course:
        """The course with those changes. Raises ValueError where they do not come out."""
        planned, known = self.planned, tuple(changes)
        if not known:
            return planned
        if known not in planned._with:
            if len(planned._with) >= MOST_KEPT:
                planned._with.clear()
            planned._with[known] = Course(altered(planned.pattern, known), planned)
        return planned._with[known]

    def made(self, section: int, rows: int) -> int:
        """Stitches made in the first `rows` rows of a section, row 0 included, past its plan too."""
        totals, there = self._made[section], self.sections[section]
        if rows < len(totals):
            return totals[rows]
        # Past the plan the last rows come again, as in `Section.row`.
        again, on = divmod(rows - len(totals) + 1, there.cycle)
        before = len(totals) - 1 - there.cycle
        each = totals[-1] - totals[before]
        return totals[-1] + again * each + totals[before + on] - totals[before]

    def picked_up(self, section: int, first: int, last: int) -> list[int]:
        """Rows worked flat that pick up an edge: the rows done before each, from `first` to below `last`."""
        return [rows for rows in self._picked[section] if first <= rows < last]

    def row(self, section: int, rows: int) -> Row:
        """The row that comes after `rows` finished rows of a section, row 0 counted among them."""
        there = self.sections[section]
        return there.row(there.first + rows)

    def number(self, section: int, rows: int) -> int:
        """What she calls the last of `rows` finished rows: row 0 is not counted."""
        return max(0, rows - 1 + self.sections[section].first)

    def find(self, name: str, near: int = 0) -> int | None:
        """The index of the section of that name or kind; flap and turn are the heel's, too.

        Of several it is that at `near` or the last before it, else the first.
        """
        for wanted in (name, name.removeprefix("heel ")):
            there = [
                index
                for index, section in enumerate(self.sections)
                if wanted in (section.name, section.kind)
            ]
            if there:
                return max((index for index in there if index <= near), default=there[0])
        return None


def _picked(section: Section) -> tuple[int, ...]:
    flat = section.worked == "rows"
    return tuple(at for at, row in enumerate(section.rows) if flat and row.word == "PICK")


def _totals(section: Section) -> tuple[int, ...]:
    return tuple(accumulate((row.worked for row in section.rows), initial=0))
