"""What happened to a pair, event by event: where each left the sock it was on, and whether it stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.replay import Replay
from tracker.knitting.state import Number


class Past(NamedTuple):
    """An event, and the place it left its sock at (that in hand, of an act on the pair as a whole).

    `section` and `worked` are those of that place, `row` the last row done, `needle` the next to be
    worked inside a round. `of` is the act that an undo or a redo names. `undone` is true of an act that
    was taken back and does not stand.
    """

    event: Event
    sock: Number
    section: str
    worked: str
    row: int
    needle: str | None
    of: Event | None
    undone: bool


def past(course: Course, events: Iterable[Event]) -> tuple[Past, ...]:
    """All events in their order."""
    told = tuple(events)
    replay = Replay(course, told[:1])
    found = [_left(course, replay, told[0], told)] if told else []
    for event in told[1:]:
        replay.apply(event)
        found.append(_left(course, replay, event, told))
    live = set(replay.live)
    return tuple(
        one._replace(undone=one.event.kind not in ("undo", "redo") and one.event.number not in live)
        for one in found
    )


def _left(course: Course, replay: Replay, event: Event, told: tuple[Event, ...]) -> Past:
    of = told[int(event.data["of"]) - 1] if event.kind in ("undo", "redo") else None
    on = (of or event).sock
    number: Number = 2 if on == 2 else 1 if on == 1 else replay.state.hand
    sock = replay.state.sock(number)
    course = course.of(sock)
    section = course.sections[sock.section]
    needle = None
    if sock.needles and not sock.finished:
        row = course.row(sock.section, sock.rows)
        needle = row.needles[row.working(sock.needles)].name
    done = course.number(sock.section, sock.rows)
    return Past(event, number, section.called, section.worked, done, needle, of, undone=False)


def of_kind(found: Iterable[Past], kind: str | None, sock: int | None) -> Iterator[Past]:
    """Those of one kind, and on one sock, where these are named."""
    for one in found:
        if kind in (None, one.event.kind) and sock in (None, one.sock):
            yield one
