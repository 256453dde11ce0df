"""Whether the two socks are in step, exactly: what differs in the sections that are finished on both."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from tracker.knitting.changes import Change
from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Number, Sock, State
from tracker.pattern.model import Worked
from tracker.records import NamedTuple


class Difference(NamedTuple):
    """One thing that differs in a section (by index) finished on both socks.

    Either `rows`, those of sock two less those of sock one, or a `change` that sock `on` alone has.
    `meant`: one of the socks had a goal of its own there. Rows that differ are no step all the same.
    """

    section: int
    rows: int = 0
    change: Change | None = None
    on: Number | None = None
    meant: bool = False


class Differs(NamedTuple):
    """A difference with what its section is called, a stranger's text, and how it is worked.

    `more` is how many others there are; `meant` as of a Difference.
    """

    section: str
    worked: Worked
    rows: int
    change: Change | None
    on: Number | None
    more: int = 0
    meant: bool = False


def in_step(state: State) -> bool:
    """Equal rows, and the same changes, in every section finished on both; so, too, while there is none.

    A change that is not to be repeated is meant for one sock alone.
    """
    return next(_differences(state), None) is None


def differences(state: State) -> tuple[Difference, ...]:
    """All that differs, in the order of the fabric: a section's changes by their rows, then its end."""
    return tuple(_differences(state))


def named(course: Course, difference: Difference, more: int = 0) -> Differs:
    """A difference as it is told."""
    there = course.sections[difference.section]
    _, rows, change, on, meant = difference
    return Differs(there.called, there.worked, rows, change, on, more, meant)


def first(course: Course, state: State) -> Differs | None:
    """The first thing that differs; None where the socks are in step."""
    found = differences(state)
    return named(course, found[0], len(found) - 1) if found else None


def rows_apart(state: State, section: int) -> int | None:
    """Rows of sock two less those of sock one, in a section finished on both; None of any other."""
    one, two = state.socks
    return two.ended[section] - one.ended[section] if section < finished_on_both(state) else None


def finished_on_both(state: State) -> int:
    """How many sections, the first ones, are finished on both socks."""
    one, two = state.socks
    return min(len(one.ended), len(two.ended))


def _differences(state: State) -> Iterator[Difference]:
    both = finished_on_both(state)
    one, two = (_changed(sock, both) for sock in state.socks)
    alone = [*_alone(one, two, 1), *_alone(two, one, 2)]
    for section in range(both):
        here = [difference for difference in alone if difference.section == section]
        yield from sorted(here, key=_row)
        if apart := rows_apart(state, section):
            yield Difference(section, apart, meant=_own_goal(state, section))


def meant(state: State) -> int:
    """How much was changed in the sections finished on both that is meant for one sock alone."""
    both = finished_on_both(state)
    changes = (change for sock in state.socks for change in sock.changes)
    return sum(
        not change.repeat and not change.repeats and change.section < both for change in changes
    )


def _own_goal(state: State, section: int) -> bool:
    return any((number, section) in state.own_goals for number in BOTH)


def _row(difference: Difference) -> int:
    return difference.change.row if difference.change else 0


_Key = tuple[str, str, int, int]


def key(change: Change) -> _Key:
    """What makes a change the same on both socks."""
    return change.kind, change.value, change.section, change.row


def _changed(sock: Sock, sections: int) -> dict[_Key, list[Change]]:
    """What was changed in the first so many sections of a sock, and is to be alike on both."""
    found: dict[_Key, list[Change]] = {}
    for change in sock.changes:
        if change.repeat and change.section < sections:
            found.setdefault(key(change), []).append(change)
    return found


def _alone(
    mine: dict[_Key, list[Change]], hers: dict[_Key, list[Change]], on: Number
) -> Iterator[Difference]:
    """What one sock has more often than the other."""
    if not mine:
        return
    over = Counter({key: len(there) for key, there in mine.items()})
    over.subtract({key: len(there) for key, there in hers.items()})
    for key, times in over.items():
        for change in mine[key][len(mine[key]) - times :] if times > 0 else ():
            yield Difference(change.section, 0, change, on)
