"""The course of a sock: its pattern as a way to walk, with the stitches made up to every place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import accumulate
from typing import TYPE_CHECKING

from tracker.knitting.changes import Change, Coloured
from tracker.pattern.model import Pattern, Row, Section

if TYPE_CHECKING:
    from tracker.knitting.state import Placed, Sock

MOST_KEPT = 8
"""Courses with one change more, and sums of sections, that are kept of each to be found again."""


class Course:
    """A pattern and the running totals that places are measured by; made once for a pattern.

    A sock on which something was changed has a course of its own: see `of`.
    """

    def __init__(
        self, pattern: Pattern, planned: Course | None = None, before: Course | None = None
    ) -> None:
        self.pattern = pattern
        self.planned = planned or self
        """The course without any change."""
        self._with: dict[tuple[object, ...], Course] = {}
        self._found: dict[tuple[str, int], int | None] = {}
        self._ended: dict[tuple[int, ...], int] = {}
        self._mirror: Course | None = None
        self._one: Course = planned._one if planned else self
        self._two: Course | None = None
        self.repeat_begins = pattern.repeat_begins
        """The section, by index, whose repeat goes on past the heel; None where none does."""
        self._further: dict[int, Course] = {}
        self.sections = pattern.sections
        self.last = len(pattern.sections) - 1
        self.coloured: tuple[Coloured, ...] = before.coloured if before else ()
        """Where its colours go another way than the pattern's, in the order of their rows."""
        self._made: tuple[tuple[int, ...], ...] = tuple(
            before._made[index]
            if before is not None and section is before.sections[index]
            else _totals(section)
            for index, section in enumerate(pattern.sections)
        )
        self.stitches = sum(
            self.made(index, section.rows_to(section.planned))
            for index, section in enumerate(pattern.sections)
        )
        """Stitches made in a whole sock as planned."""
        self._shaped: dict[int, int] = {}
        self._picked = tuple(_picked(section) for section in pattern.sections)

    def of(self, sock: Sock) -> Course:
        """The course of a sock as it is: the planned one with all that was changed on it.

        Sock two of a mirrored pair has that mirrored: what is changed is always told as on sock one.
        """
        if self._one.repeat_begins is None and not (
            sock.changes or sock.other_foot or sock.mirrored
        ):
            return self._one  # so most socks are, and it is asked for at every turn
        base = self.on(2 if sock.other_foot else 1)
        course = base.gone_on(sock.ended)
        if sock.changes:
            try:
                course = course.changed(sock.changes)
            except ValueError:
                # What was changed came out in the rows as planned: then those it is.
                course = base.changed(sock.changes)
        return course.mirror if sock.mirrored else course

    def on(self, number: int) -> Course:
        """The planned course of a sock by its number: where each has its own foot, sock two's has its toe."""
        one = self._one
        if number == 1 or not one.pattern.of_feet:
            return one
        if one._two is None:
            from tracker.pattern.feet import other_foot  # few pairs are

            one._two = Course(other_foot(one.pattern), before=one)
            one._two._one = one
        return one._two

    def gone_on(self, ended: Sequence[int]) -> Course:
        """The planned course of a sock whose leg, or foot, ended there: the repeat goes on past the heel."""
        at = self.repeat_begins
        if at is None or len(ended) <= at:
            return self
        from tracker.pattern.phase import shift, shifted  # few repeats go on

        by = shift(self.pattern, ended[at])
        if not by:
            return self
        if by not in self._further:
            further = Course(shifted(self.pattern, by), before=self)
            further._one, further._two = self._one, self._two
            self._further[by] = further
        return self._further[by]

    @property
    def mirror(self) -> Course:
        """The same course on a mirrored sock: other stitches on the way, the same counts everywhere."""
        if self._mirror is None:
            from tracker.pattern.mirror import mirrored  # few pairs are

            turned = mirrored(self.pattern, self.planned.pattern)
            alike = turned is self.pattern
            self._mirror = self if alike else Course(turned, self.planned, self)
        return self._mirror

    def changed(self, changes: Iterable[Change]) -> Course:
        """The course with those changes, in the order of their rows; what is only told alters nothing.

        Raises ValueError where they do not come out.
        """
        course = self.planned
        for change in sorted((one for one in changes if one.alters), key=lambda one: one.place):
            course = course._then(change)
        return course

    def _then(self, change: Change) -> Course:
        """The course with one change more, kept to be found again."""
        from tracker.knitting.altering import altered  # most socks are knitted as planned

        key = (change.rewritten, change.laid, change.coloured)
        if key not in self._with:
            if len(self._with) >= MOST_KEPT:
                self._with.pop(next(iter(self._with)))
            changed = Course(altered(self.pattern, change), self.planned, self)
            if change.coloured is not None:
                changed.coloured = (*self.coloured, change.coloured)
            self._with[key] = changed
        return self._with[key]

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

    def made_before(self, ended: tuple[int, ...], section: int) -> int:
        """Stitches made in the sections before one, which ended at these rows (row 0 left out)."""
        ended = ended[:section]
        found = self._ended.get(ended)
        if found is None:
            found = sum(
                self.made(at, self.sections[at].rows_to(rows)) for at, rows in enumerate(ended)
            )
            if len(self._ended) >= MOST_KEPT:
                self._ended.pop(next(iter(self._ended)))
            self._ended[ended] = found
        return found

    def picked_up(self, section: int, first: int, last: int) -> list[int]:
        """Rows worked flat that pick up an edge: the rows done before each, from `first` to below `last`."""
        return [rows for rows in self._picked[section] if first <= rows < last]

    def row(self, section: int, rows: int) -> Row:
        """The row that comes after `rows` finished rows of a section, row 0 counted among them."""
        return self.sections[section].after(rows)

    def number(self, section: int, rows: int) -> int:
        """What she calls the last of `rows` finished rows: row 0 is not counted."""
        return max(0, rows - 1 + self.sections[section].first)

    def is_done(self, sock: Placed, section: int, row: int) -> bool:
        """Whether a row of a section lies behind a sock."""
        here = (sock.section, sock.rows)
        return sock.finished or here >= (section, self.sections[section].rows_to(row))

    def has_come_to(self, sock: Placed, section: int, row: int) -> bool:
        """Whether a row of a section lies behind a sock, or is the one in hand and worked in part."""
        inside = 1 if sock.needles or sock.into else 0
        here = (sock.section, sock.rows + inside)
        return sock.finished or here >= (section, self.sections[section].rows_to(row))

    def may_end(self, section: int, number: int) -> bool:
        """Whether an open section may end after row `number`: what follows it then finds its stitches.

        A repeat whose rows have not all as many has them only after some; where it goes on down the foot,
        which is written for the row the leg was planned to end on, only after whole repeats more or fewer.
        None ends before the last row that shapes it.
        """
        there = self.sections[section]
        if number < self.shaped_to(section):
            return False
        if section == self.last or not there.varies:
            return True
        if section == self.repeat_begins and (number - there.planned) % there.cycle:
            return False
        return number > there.lead_in and there.leaves_enough(number)

    def shaped_to(self, section: int) -> int:
        """The last row of an open section that takes or adds stitches; 0 where none does."""
        if section not in self._shaped:
            there = self.sections[section]
            self._shaped[section] = 0 if there.goal is None else there.shaped_to
        return self._shaped[section]

    def ends_near(self, section: int, number: int, least: int = 1) -> int:
        """The row from `least` on, nearest to row `number`, after which a section may end."""
        number = max(number, least, self.shaped_to(section))
        for off in range(self.sections[section].cycle + 1):
            for row in (number - off, number + off):
                if row >= least and self.may_end(section, row):
                    return row
        return number

    def find(self, name: str, near: int = 0) -> int | None:
        """The index of the section of that name or kind; flap and turn are the heel's, too.

        Of several it is that at `near` or the last before it, else the first.
        """
        key = (name, near)
        if key not in self._found:
            self._found[key] = self._find(name, near)
        return self._found[key]

    def _find(self, name: str, near: int) -> int | None:
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
