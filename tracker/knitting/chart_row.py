"""Which row of the repeat the round in hand works on the instep, wherever leg or foot was ended."""

from __future__ import annotations

from tracker.knitting.course import Course
from tracker.knitting.state import Sock
from tracker.pattern.model import BIND_OFF, Section
from tracker.pattern.phase import before_the_heel


def chart_row(course: Course, sock: Sock) -> int:
    """The row of the repeat, from 1, that the round in hand works; 0 where none is worked.

    After the leg, or from the toe up after the foot, that is the instep's alone while the heel is worked.
    """
    if sock.finished:
        return 0
    here, begins = course.sections[sock.section], before_the_heel(course.pattern)
    if sock.section == begins or (begins is None and here.kind == "leg" and here.cycle > 1):
        number = here.first + sock.rows - here.lead_in
        return (number - 1) % here.cycle + 1 if number > 0 else 0
    if begins is None or begins >= sock.section or not _is_of_instep(here):
        return 0
    if any(part.kind in _BEYOND for part in course.sections[begins : sock.section + 1]):
        return 0
    there = course.sections[begins]
    between = course.sections[begins + 1 : sock.section]
    done = sum(len(part.rows) for part in between if _is_of_instep(part)) + sock.rows
    return (max(0, sock.ended[begins] - there.lead_in) + done) % there.cycle + 1


_BEYOND = ("toe", "cuff", BIND_OFF)
"""Where no repeat goes on, from either end."""


def _is_of_instep(part: Section) -> bool:
    """Whether its rows are worked on the instep, too."""
    return part.worked == "rounds" or part.on_instep
