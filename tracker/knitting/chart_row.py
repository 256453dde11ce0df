"""Which row of the repeat a round works on the instep, wherever leg or foot was ended.

What is shown beside the work, told by `count --chart` and reckoned as a whole repeat all comes from here.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.knitting.course import Course
from tracker.knitting.state import Sock
from tracker.pattern.model import BIND_OFF, Section


def chart_row(course: Course, sock: Sock) -> int:
    """The row of the repeat, from 1, that the round in hand works; 0 where none is worked.

    After the leg, or from the toe up after the foot, that is the instep's alone while the heel is worked.
    """
    if sock.finished:
        return 0
    here, begins = course.sections[sock.section], course.repeat_begins
    if here.kind != "leg" if begins is None else sock.section < begins:
        return 0  # what comes again there is not the leg's repeat
    cycle = repeat_of(course, sock.section)
    done = rows_done(course, sock.ended, sock.section) + sock.rows
    return done % cycle + 1 if cycle > 1 and done >= 0 else 0


def chart_row_done(course: Course, ended: Sequence[int], section: int, rows: int) -> int:
    """The row of the repeat, from 1, that was worked last once so many rows of a section are done.

    `ended` are the rows at which the sections before it ended; those it does not tell ended as planned.
    0 where none was worked yet, or none is worked at all.
    """
    cycle = repeat_of(course, section)
    done = rows_done(course, ended, section) + rows
    return (done - 1) % cycle + 1 if cycle > 1 and done > 0 else 0


def repeat_of(course: Course, section: int) -> int:
    """The rows of the repeat that is worked in a section, on the instep at least; 1 where none is."""
    begins = course.repeat_begins
    if begins is None or section < begins:
        here = course.sections[section]
        # Of what is worked once only, all rows are the cycle.
        return here.cycle if here.goal is not None or here.cycle < len(here.rows) else 1
    return course.sections[begins].cycle if _goes_on(course, begins, section) else 1


def rows_done(course: Course, ended: Sequence[int], section: int) -> int:
    """Rows of the repeat that lie behind the first row of a section, row 0 where there is one.

    Below 0 by the rows that stand there before the first repeat.
    """
    begins = course.repeat_begins
    if begins is None or section < begins or not _goes_on(course, begins, section):
        here = course.sections[section]
        return here.first - 1 - here.lead_in
    there = course.sections[begins]
    # From the toe up the round that leads to the centre of the sole works a row of the repeat already.
    led_in = 0 if course.pattern.toe_up else 1 - there.first
    if section == begins:
        return -led_in - there.lead_in
    number = ended[begins] if begins < len(ended) else there.planned
    before = max(0, there.rows_to(number) - led_in - there.lead_in)
    between = course.sections[begins + 1 : section]
    return before + sum(len(part.rows) for part in between if _is_of_instep(part))


_BEYOND = ("toe", "cuff", BIND_OFF)
"""Where no repeat goes on, from either end."""


def _goes_on(course: Course, begins: int, section: int) -> bool:
    """Whether the repeat that begins in one section is worked in another on the instep, too."""
    parts = course.sections[begins : section + 1]
    return _is_of_instep(parts[-1]) and all(part.kind not in _BEYOND for part in parts)


def _is_of_instep(part: Section) -> bool:
    """Whether its rows are worked on the instep, too."""
    return part.worked == "rounds" or part.on_instep
