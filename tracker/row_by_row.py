"""The written pattern of one sock, row by row as it is really worked: what is done, next, and to come.

Nothing is composed before it is asked for, so that ten thousand rows cost no more than ten. Texts of files
are a stranger's and are cleaned here.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property
from itertools import accumulate
from typing import Literal

from tracker import change_words, written
from tracker.forecast.coming import Coming
from tracker.forecast.left import length_of
from tracker.forecast.tapes import Tapes
from tracker.knitting.changes import Change
from tracker.knitting.course import Course
from tracker.knitting.state import Number, State
from tracker.knitting.stripes import Threads, in_order
from tracker.knitting.used_up import is_whole
from tracker.pattern.chart import Chart, chart
from tracker.pattern.glossary import terms
from tracker.pattern.model import Row, Section, Side
from tracker.records import NamedTuple
from tracker.units import shorten, write_length
from tracker.vocabulary import counted, in_colour, laid_from, unit
from tracker.vocabulary import sock as called

When = Literal["done", "next", "to come"]
Works = tuple[Side | None, tuple[str, ...]]
"""What makes rows alike: their side, and the work on every needle."""
_LONG = 30
"""Letters of a work beyond which it is not written again for every row that is worked alike."""
_MOST_LOOKED_AT = 1_000
"""Rows of a section among which another yarn is looked for: no stripe is longer."""
_BEFORE_ROWS = 2
"""Entries of a section before its rows: its head, and its chart."""


class Head(NamedTuple):
    """The head of a section: "Leg", "about 46 rounds", "16 / 16 / 16 / 16", and what is to be known first."""

    name: str
    rows: str
    on: str
    remarks: tuple[str, ...]
    when: When


class Yarns(NamedTuple):
    """The yarn of each line of a chart, from the first on, as places among the `names` of all of the sock's.

    They are those of the rows `first` to `last`: where rows come again, their yarns may be others.
    """

    lines: tuple[int, ...]
    names: tuple[str, ...]
    first: int
    last: int


class Dyes(NamedTuple):
    """The letters of a chart of colours, each with the place of its colour among all `names` of the sock."""

    places: tuple[tuple[str, int], ...]
    names: tuple[str, ...]


class Drawn(NamedTuple):
    """The chart of a section (None: it has none), the line of it that is next, and the yarns of its lines.

    `yarns` is None where all of the section is worked in one, or nobody told.
    """

    chart: Chart | None
    next: int | None
    of_rounds: bool
    yarns: Yarns | None = None
    dyes: Dyes | None = None


class Worked(NamedTuple):
    """A row: "Round 9", its work, the stitches it leaves, its colour where that wants saying, remarks."""

    name: str
    work: str
    leaves: str
    colour: str
    remarks: tuple[str, ...]
    when: When


class Further(NamedTuple):
    """What stands at the end of a pattern of which not all stages are there."""

    told: str


Entry = Head | Drawn | Worked | Further


class RowByRow:
    """A sock's pattern as entries: of every section its head, its chart, and its rows."""

    def __init__(self, course: Course, state: State, number: Number) -> None:
        self.number, self._state = number, state
        self._sock = state.sock(number)
        self._course = course.of(self._sock)
        self._planned = _rows_of(course, state, number)
        self._lengths = [self._length(index) for index in range(len(self._course.sections))]
        ends = accumulate((_BEFORE_ROWS + rows for rows in self._lengths), initial=0)
        self._starts = list(ends)
        last = [
            rows - 1 + there.first
            for rows, there in zip(self._lengths, self._course.sections, strict=True)
        ]
        self._threads = Threads(self._course, last)
        self._charts: dict[int, Chart | None] = {}
        self._striped: dict[int, bool] = {}
        self._alike: dict[tuple[int, int], int] = {}

    @property
    def title(self) -> str:
        """Whose pattern it is: "Night ferry, sock two"."""
        return f"{shorten(self._course.pattern.title, 80)}, {self.sock}"

    @property
    def sock(self) -> str:
        """ "sock two"."""
        return called(self.number, self._course.pattern.of_socks)

    @property
    def count(self) -> int:
        """How many entries there are."""
        return self._starts[-1] + (not is_whole(self._course.pattern))

    @property
    def rows(self) -> int:
        """How many rows there are in all."""
        return sum(self._lengths)

    @property
    def place(self) -> int:
        """The entry of the next row; of a sock that is finished, the last one."""
        sock = self._sock
        if sock.finished:
            return self.count - 1
        return self._starts[sock.section] + _BEFORE_ROWS + sock.rows

    def head_before(self, entry: int) -> int:
        """The head of the section of an entry; at a head that of the section before, if there is any."""
        return self._starts[self._index(max(entry - 1, 0))]

    def head_after(self, entry: int) -> int:
        """The head of the next section; the last entry where there is none."""
        return min(self._starts[self._index(entry) + 1], self.count - 1)

    def entry(self, at: int) -> Entry:
        """An entry, composed now."""
        if at >= self._starts[-1]:
            return Further("The pattern goes no further yet: the rest comes with its next stage.")
        index = self._index(at)
        rows = at - self._starts[index] - _BEFORE_ROWS
        if rows == -_BEFORE_ROWS:
            return self._head(index)
        return self._drawn(index) if rows < 0 else self._row(index, rows)

    def section_of(self, at: int) -> str:
        """The name of the section an entry belongs to."""
        return written.head(self._course.sections[self._index(at)], self._course.pattern)

    def _index(self, at: int) -> int:
        """The section an entry belongs to; what stands behind all of them belongs to the last."""
        return min(bisect_right(self._starts, at), len(self._lengths)) - 1

    @cached_property
    def terms(self) -> tuple[tuple[str, str], ...]:
        """The terms of the next row, each with its words and what it becomes; none on a finished sock."""
        sock = self._sock
        if sock.finished:
            return ()
        row = self._course.row(sock.section, sock.rows)
        found = terms(needle.work for needle in row.needles if needle.work)
        return tuple((term.name, written.in_words(term)) for term in found)

    def _row_at(self, index: int) -> int:
        """The rows before the one at hand: the next row's, or the last one's of a section that is done."""
        sock = self._sock
        if index == sock.section and not sock.finished:
            return sock.rows
        return self._lengths[index] - 1 if self._when(index, 0) == "done" else 0

    # What an entry says

    def _length(self, index: int) -> int:
        """Rows of a section, row 0 among them; one more than are done of that in hand."""
        sock, there = self._sock, self._course.sections[index]
        rows = max(there.rows_to(self._planned[index]), 0)
        if index == sock.section and not sock.finished:
            return max(rows, sock.rows + 1)
        return rows

    def _when(self, index: int, rows: int) -> When:
        """Whether the row after `rows` rows of a section is done."""
        sock = self._sock
        if sock.finished or (index, rows) < (sock.section, sock.rows):
            return "done"
        return "next" if (index, rows) == (sock.section, sock.rows) else "to come"

    def _head(self, index: int) -> Head:
        sections, pattern = self._course.sections, self._course.pattern
        there = sections[index]
        last = self._length(index) - 1 + there.first
        before = sections[index - 1] if index else None
        begun = self._when(index, 0) == "done"
        remarks = [] if begun else written.begins(there, before, pattern)
        remarks += self._ends(index, there, last)
        here = index == self._sock.section and not self._sock.finished
        return Head(
            written.head(there, pattern), self._counted(index, there, last),
            written.on_needles(there), tuple(remarks), "next" if here else self._when(index, 0),
        )  # fmt: skip

    def _counted(self, index: int, there: Section, last: int) -> str:
        """ "46 rounds", or "about 46 rounds" where the tape says; "" where nobody has counted."""
        open_yet = there.goal is not None and index >= len(self._sock.ended)
        if open_yet and not there.counted:
            return ""
        about = open_yet and self._state.follows(self.number, index) is None
        return f"{'about ' if about else ''}{counted(last, there.worked)}"

    def _ends(self, index: int, there: Section, last: int) -> list[str]:
        """How far an open section goes that is not over: by the tape, or by the other sock."""
        if there.goal is None or index < len(self._sock.ended):
            return []
        follows = self._state.follows(self.number, index)
        if follows is not None:
            other = called(3 - self.number, self._course.pattern.of_socks)
            return [f"It ends at {unit(there.worked)} {follows}, as {other} did."]
        own = self._state.goal(self.number, index)
        if own is None:
            return [written.open_line(there, there.goal, self._course.pattern, there.planned)]
        length = write_length(own, self._course.pattern.unit)
        mark = laid_from(there.goal.mark, toe_up=self._course.pattern.toe_up)
        return [f"To {length} {mark}, as you have set it: about {last}."]

    def _drawn(self, index: int) -> Drawn:
        there, sock = self._course.sections[index], self._sock
        if index not in self._charts:
            named = [(letter, shorten(name)) for letter, name in self._letters]
            self._charts[index] = chart(there, self._course.pattern.hand, named)
        found, here = self._charts[index], sock.section == index and not sock.finished
        row = found.line_of(there.first + sock.rows) if found and here else None
        yarns = self._yarns(index, found) if found and self._changes_yarn(index) else None
        return Drawn(found, row, there.worked == "rounds", yarns, self._dyes(found))

    @property
    def _letters(self) -> tuple[tuple[str, str], ...]:
        return in_order(self._course).letters

    def _dyes(self, found: Chart | None) -> Dyes | None:
        """The colours of a chart that is drawn in letters."""
        if found is None or not found.letters or not self._letters:
            return None
        names = self._course.pattern.colours.names
        places = tuple(
            (letter, names.index(name)) for letter, name in self._letters if letter in found.letters
        )
        return Dyes(places, tuple(shorten(name) for name in names))

    def _changes_yarn(self, index: int) -> bool:
        """Whether the rows of a section are worked in more than one yarn."""
        if index not in self._striped:
            rows = min(self._lengths[index], _MOST_LOOKED_AT)
            if self._course.sections[index].goal is not None:
                rows = max(
                    rows, self._course.pattern.colours.period
                )  # nobody may know how long it gets
            found = {thread.name for at in range(rows) if (thread := self._threads.at(index, at))}
            self._striped[index] = len(found) > 1
        return self._striped[index]

    def _yarns(self, index: int, found: Chart) -> Yarns | None:
        """The yarns of a chart's lines as they come this time; in other sections the first, or the last."""
        there, lines = self._course.sections[index], len(found.lines)
        first = found.first
        if found.again:
            first += max(there.first + self._row_at(index) - found.first, 0) // lines * lines
        threads = [self._threads.at(index, first + line - there.first) for line in range(lines)]
        worn = [thread.name for thread in threads if thread is not None]
        if len(worn) < lines:
            return None
        names = tuple(dict.fromkeys((*self._course.pattern.colours.names, *worn)))
        places = tuple(names.index(name) for name in worn)
        return Yarns(places, tuple(shorten(name) for name in names), first, first + lines - 1)

    def _row(self, index: int, rows: int) -> Worked:
        there = self._course.sections[index]
        row, when = self._course.row(index, rows), self._when(index, rows)
        line = written.row_line(there, row)
        work = line.work if when == "next" else self._briefly(index, rows, line.work)
        if self._threads.slips(index, rows):
            work = f"slip the first stitch; {work}"
        return Worked(
            line.name, work, line.counts, self._colour(index, rows, when),
            tuple(self._remarks(index, rows, when)), when,
        )  # fmt: skip

    def _briefly(self, index: int, rows: int, work: str) -> str:
        """The work of a row; where it is long and the rows before it are worked alike, "as round 1"."""
        first = self._alike_from(index, rows) if len(work) > _LONG else rows
        there = self._course.sections[index]
        return work if first == rows else f"as {unit(there.worked)} {there.first + first}"

    def _alike_from(self, index: int, rows: int) -> int:
        """The rows before the first of those that are worked as this one is, one after the other."""
        at, works = rows, _works(self._course.row(index, rows))
        while at and (index, at) not in self._alike and self._same_before(index, at, works):
            at -= 1
        first = self._alike.get((index, at), at)
        self._alike[index, rows] = first
        return first

    def _same_before(self, index: int, rows: int, works: Works) -> bool:
        before = self._course.row(index, rows - 1)
        return before.number > 0 and _works(before) == works

    def _colour(self, index: int, rows: int, when: When) -> str:
        """The colour of a row: of the next one all that is to be said, of others where it changes."""
        here, before = self._threads.at(index, rows), self._threads.before(index, rows)
        if here is None:
            return ""
        if before is not None and before.name != here.name:
            return f"change to {in_colour(*here) if when == 'next' else shorten(here.name)}"
        if when == "next":
            return f"in {in_colour(*here)}"
        return f"in {shorten(here.name)}" if not rows or here.position == 1 else ""

    def _remarks(self, index: int, rows: int, when: When) -> list[str]:
        """What else there is to a row: that a needle of it is done, a hole to close, a change."""
        there, pattern = self._course.sections[index], self._course.pattern
        number, found = there.first + rows, []
        if when == "next" and self._sock.needles:
            done = [shorten(one.name) for one in there.row(number).needles[: self._sock.needles]]
            found.append(f"Done of it: {', '.join(done)}.")
        if there.kind == "gusset" and number == 1 and there.first == 0:
            found.append(written.through_the_back(pattern))
        changes = (one for one in self._sock.changes if (one.section, one.row) == (index, number))
        return found + [self._changed(one, there) for one in changes]

    def _changed(self, change: Change, there: Section) -> str:
        told = change_words.told(change, there, self._course.pattern.of_socks)
        if not change.repeats:
            return f"Otherwise than planned: {told}."
        return f"As {called(3 - self.number, self._course.pattern.of_socks)}: {told}."


def _works(row: Row) -> Works:
    return row.side, tuple(needle.work for needle in row.needles)


def _rows_of(course: Course, state: State, number: Number) -> tuple[int, ...]:
    """Rows (row 0 left out) that every section of a sock had, or will have."""
    tapes = Tapes(course, state)
    one, two = length_of(course, state, 1, tapes), length_of(course, state, 2, tapes)
    return Coming(course, state, number, (one, two), tapes).rows(number)
