"""A pattern that grows, or is made anew, under the needles: what that does to the socks that are on them.

An append leaves all that was there as it was. A new pattern is taken where the finished rows of both
socks are the same in it; what was told of sections to come goes with them by their names.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Protocol

from tracker.knitting.changes import Change, Rewritten
from tracker.knitting.course import Course
from tracker.knitting.state import Placed
from tracker.pattern.joining import same_row, written
from tracker.pattern.kept import pattern_of
from tracker.pattern.model import Section, are_socks
from tracker.records import NamedTuple
from tracker.units import shorten, write_length

MOST_PATTERNS = 100
"""Stages and new patterns of one pair; more are a slip, and work for a replay."""


MOST_TOLD = 20
"""Of a new pattern so many sections are named in the event; its text has all."""


class DoesNotFit(ValueError):
    """A pattern that does not go on from what is knitted; the message says where, and what instead."""


class Knitted(Placed, Protocol):
    """Where a sock is, with the rows of the sections that are over on it."""

    @property
    def ended(self) -> Sequence[int]:
        """How many rows each finished section had, row 0 left out."""

    @property
    def inside(self) -> bool:
        """Whether something of the row in hand is worked."""


def course_of(text: Any, before: Course) -> Course:
    """The course in a text that an event keeps; its title is that of the course before.

    Raises ValueError where it is none.
    """
    if not isinstance(text, str):
        raise DoesNotFit("this is no pattern")
    pattern, title = pattern_of(text), before.planned.pattern.title
    of_socks = pattern.of_socks or are_socks(title, ())
    return Course(pattern._replace(title=title, of_socks=of_socks))


def check_told(names: Any) -> None:
    """Refuse, with ValueError, what are no names of sections."""
    right = isinstance(names, list) and all(isinstance(name, str) for name in names)
    if not right or len(names) > MOST_TOLD:
        raise ValueError("these are no sections")


def check_grown(was: Course, now: Course) -> None:
    """Refuse, with DoesNotFit, what leaves anything of the pattern so far otherwise than it was."""
    known = was.planned.sections
    if now.sections[: len(known)] != known:
        raise DoesNotFit("the pattern so far is another in it; see to it with instep replan")


class Moved(NamedTuple):
    """Where the sections of a course are in a new one: by index, those that it has not are left out."""

    to: Mapping[int, int]

    @classmethod
    def between(cls, was: Course, now: Course) -> Moved:
        """By their names, in order: the second "round" is the second there, too."""
        there = dict(_numbered(now.sections))
        return cls({at: there[key] for key, at in _numbered(was.sections) if key in there})

    def change(self, change: Change) -> Change:
        """A change where its sections are now. Raises KeyError where one of them is gone."""
        laid, coloured, there = change.laid, change.coloured, change.there
        return change._replace(
            section=self.to[change.section],
            rewritten=self._rows(change.rewritten),
            there=None if there is None else self._rows(there),
            laid=None if laid is None else laid._replace(section=self.to[laid.section]),
            coloured=coloured and coloured._replace(section=self.to[coloured.section]),
        )

    def _rows(self, rewritten: Sequence[Rewritten]) -> tuple[Rewritten, ...]:
        return tuple(one._replace(section=self.to[one.section]) for one in rewritten)


def _numbered(sections: Sequence[Section]) -> Iterator[tuple[tuple[str, int], int]]:
    seen: dict[str, int] = {}
    for at, section in enumerate(sections):
        seen[section.name] = seen.get(section.name, 0) + 1
        yield (section.name, seen[section.name]), at


class Goals(NamedTuple):
    """Her own goals, carried from a course to a new one."""

    was: Course
    now: Course
    moved: Moved

    def place(self, at: int, mm: float, *, over: bool) -> int:
        """The section that a goal of `mm` is for now. Raises DoesNotFit where that has no length.

        Of a section that is `over` it is kept, whatever it is now.
        """
        to = self.moved.to.get(at)
        if to is not None and (over or self.now.sections[to].goal is not None):
            return to
        goal = write_length(mm, self.was.planned.pattern.unit)
        raise DoesNotFit(
            f"your goal of {goal} for the {shorten(self.was.sections[at].name)} has no place in the new"
            " pattern; give that section a length there (until), or take the goal back first"
        )


def names(course: Course) -> tuple[str, str]:
    """What both pieces are called."""
    of_socks = course.planned.pattern.of_socks
    return ("sock one", "sock two") if of_socks else ("the first", "the second")


def check_finished(was: Course, now: Course, sock: Knitted, called: str) -> None:
    """Refuse, with DoesNotFit, a course in which a finished row of a sock is another.

    Both are those of the sock, with its changes. `called` names the sock.
    """
    for at in range(sock.section + 1):
        over = at < len(sock.ended)
        rows = was.sections[at].rows_to(sock.ended[at]) if over else sock.rows + sock.inside
        if rows or over:
            _check_section(was, now, at, rows, called)
            if over:
                last = at == was.last
                _check_end(was.sections[at], now.sections[at], sock.ended[at], last, called)


def _check_section(was: Course, now: Course, at: int, rows: int, called: str) -> None:
    one = was.sections[at]
    another = now.sections[at] if at <= now.last else None
    if another is None or _form(one) != _form(another):
        instead = "nothing" if another is None else f"the {shorten(another.name)}"
        raise DoesNotFit(
            f"the {shorten(one.name)} of {called} is knitted, and the new pattern has {instead} there;"
            " write what is knitted as it is"
        )
    for number in range(one.first, one.first + rows):
        has = another.goal is not None or number <= another.planned
        if not has or not same_row(one.row(number), another.row(number)):
            told = written(another.row(number)) if has else "no such row"
            raise DoesNotFit(
                f"{shorten(one.name)}, row {number} is knitted on {called} as"
                f' "{shorten(written(one.row(number)))}", the new pattern has "{shorten(told)}"; write it'
                " as it is knitted"
            )


def _form(section: Section) -> tuple[Any, ...]:
    return section.name, section.kind, section.worked, section.first


def _check_end(was: Section, now: Section, ended: int, last: bool, called: str) -> None:
    """Refuse a section with more rows than it was knitted with, unless it may go on."""
    if now.goal is None and now.planned != ended and not last:
        raise DoesNotFit(
            f"{shorten(was.name)}, row {ended + 1}: the section is over on {called} with {ended} rows, the"
            f" new pattern has {now.planned}; write planned or repeat so that it has {ended}"
        )
