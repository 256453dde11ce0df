"""Which row of the leg's repeat the round in hand is on the instep, wherever the leg was ended."""

from __future__ import annotations

from tracker.knitting.course import Course
from tracker.knitting.state import Sock
from tracker.pattern.model import Section
from tracker.pattern.phase import leg_of


def chart_row(course: Course, sock: Sock) -> int:
    """The row of the repeat, from 1, that the round in hand works; 0 where none is worked.

    After the leg that is the instep's alone, in a sock whose foot goes on with it.
    """
    if sock.finished:
        return 0
    here = course.sections[sock.section]
    if here.kind == "leg" and here.cycle > 1:
        number = here.first + sock.rows - here.lead_in
        return (number - 1) % here.cycle + 1 if number > 0 else 0
    leg = leg_of(course.pattern)
    if leg is None or leg >= sock.section or not _is_of_instep(here) or here.kind in ("toe",):
        return 0
    if any(part.kind == "toe" for part in course.sections[leg : sock.section]):
        return 0
    there = course.sections[leg]
    between = course.sections[leg + 1 : sock.section]
    done = sum(len(part.rows) for part in between if _is_of_instep(part)) + sock.rows
    return (max(0, sock.ended[leg] - there.lead_in) + done) % there.cycle + 1


def _is_of_instep(part: Section) -> bool:
    """Whether its rows are worked on the instep, too."""
    return part.worked == "rounds" or part.on_instep
