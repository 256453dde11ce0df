"""What hangs in the fabric of both socks: lifelines, the pins that were left standing, and her notes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from tracker.knitting.course import Course
from tracker.knitting.pins import pins_stay
from tracker.knitting.state import BOTH, Number, State
from tracker.records import NamedTuple


class Hanging(NamedTuple):
    """One thing at a round (`row`) of a section of a sock.

    `text` are the words of a note, a stranger's; `event` is the number of the event that put it there, 0
    of a pin, which no event tells of.
    """

    sock: Number
    kind: Literal["lifeline", "pin", "note"]
    section: str
    worked: str
    row: int
    text: str = ""
    event: int = 0


def hanging(course: Course, state: State) -> tuple[Hanging, ...]:
    """All there is, sock by sock in the order of the rounds; of notes and lifelines those the state has."""
    return tuple(one for number in BOTH for one in _on(course, state, number))


def _on(course: Course, state: State, number: Number) -> list[Hanging]:
    found = sorted(_places(course, state, number), key=lambda place: place[:2])
    return [
        Hanging(
            number, kind, course.sections[at].called, course.sections[at].worked, row, text, event
        )
        for at, row, kind, text, event in found
    ]


_Place = tuple[int, int, Literal["lifeline", "pin", "note"], str, int]


def _places(course: Course, state: State, number: Number) -> Iterator[_Place]:
    sock = state.sock(number)
    for line in sock.lifelines:
        yield line.section, line.row, "lifeline", "", line.event
    for note in sock.notes:
        yield note.section, note.row, "note", note.text, note.event
    if course.pattern.of_socks:
        for at, row in enumerate(sock.ended):
            if course.sections[at].kind in pins_stay(toe_up=course.pattern.toe_up):
                yield at, row, "pin", "", 0
