"""What is left of the section at hand: length now, rounds to its goal, the next reading, minutes."""

from __future__ import annotations

from collections.abc import Callable

from tracker.forecast import tension
from tracker.forecast.between import Between
from tracker.forecast.pace import Pace
from tracker.forecast.tape import Length as Length
from tracker.forecast.tape import Taken
from tracker.forecast.tapes import Tapes
from tracker.forecast.tension import Tension, last_tension, tension_in
from tracker.knitting import pair
from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Number, State
from tracker.pattern.model import Mark, Section
from tracker.records import NamedTuple

# Whoever asks for more than one thing of the same pair makes its `Tapes` once and hands them on.

TAPE_FIRST = 10
"""Rounds after which, where no gauge is known, the tape is laid first; and those to the second
reading (common practice, no source)."""


class Unknown(NamedTuple):
    """A length that only the tape can tell, and has not yet: without a gauge two readings must agree.

    `mm` is the goal from `mark`, None where there is none; `due` the row at which to lay the tape.
    """

    mark: Mark
    target_mm: float | None
    taken: int
    due: int


def length_of(
    course: Course, state: State, number: Number, tapes: Tapes | None = None
) -> Length | Unknown | None:
    """The length of the section in hand on a sock; None where none is taken."""
    sock = state.sock(number)
    section = course.of(sock).sections[sock.section]
    if not section.marks or sock.finished:
        return None
    tape = (tapes or Tapes(course, state)).of(number)
    return _unknown(course, state, number, section) if tape is None else tape.length()


def ended_length(
    course: Course, state: State, number: Number, index: int, tapes: Tapes | None = None
) -> float | None:
    """How long (mm, from its usual mark) a finished section of a sock is; None where that is unknown."""
    sock = state.sock(number)
    section = course.of(sock).sections[index]
    if not section.marks or index >= len(sock.ended):
        return None
    tape = (tapes or Tapes(course, state)).of(number)
    return None if tape is None else tape.up_to(index, sock.ended[index])


def readings_of(
    course: Course, state: State, number: Number, tapes: Tapes | None = None
) -> tuple[Taken, ...]:
    """Every reading of a sock that is kept, and whether it counts; nothing while no two can be compared."""
    tape = (tapes or Tapes(course, state)).of(number)
    return () if tape is None else tape.taken


def tension_of(
    course: Course, state: State, number: Number, index: int, tapes: Tapes | None = None
) -> Tension | None:
    """How the readings of a section of a sock compare with the other sock; None where they cannot be."""
    tape = (tapes or Tapes(course, state)).of(number)
    return None if tape is None else tension_in(tape, index)


def compare_at(
    course: Course, state: State, number: Number, tapes: Tapes | None = None
) -> int | None:
    """The row at which one reading says whether a section that follows the other sock is like it."""
    planned = pair.planned(course, state, number)
    tape = (tapes or Tapes(course, state)).of(number)
    if tape is None or planned.by != "other sock":
        return None
    return tension.compare_at(tape, planned.rows)


def tension_of_two(course: Course, state: State, tapes: Tapes | None = None) -> float | None:
    """The share by which sock two is longer than sock one at one count; below 0: it is tighter.

    By the section measured last on the sock measured later; 0 where the errors of the readings explain
    it. None where none can be compared.
    """
    tapes = tapes or Tapes(course, state)
    told = [(number, tape) for number in BOTH if (tape := tapes.of(number))]
    found = [(number, last) for number, tape in told if (last := last_tension(tape))]
    if not found:
        return None
    number, last = max(found, key=lambda one: one[1].event)
    if not last.beyond_error:
        return 0.0
    return last.share if number == 2 else 1 / (1 + last.share) - 1


def learned_rows(
    course: Course, state: State, number: Number, tapes: Tapes | None = None
) -> tuple[float, float] | None:
    """Rounds to 100 mm of leg and foot, as the readings of a sock taught; None where none count."""
    tape = (tapes or Tapes(course, state)).of(number)
    if tape is None or not any(tape.known.learned.counted):
        return None
    mean = tape.belief.mean
    return 100 / mean.leg, 100 / mean.foot


def goal_of(course: Course, state: State, number: Number, index: int) -> tuple[float, float] | None:
    """The goal (mm) of a section of a sock and, of that, what the gauge gives the toe, or from the toe up
    gusset and heel; None: no goal.
    """
    goal, gauge = course.sections[index].goal, course.pattern.gauge
    if goal is None:
        return None
    own = state.goal(number, index)
    between = Between(course, state.sock(number))
    included = between.included(goal)
    rows = included.foot + included.heel * between.heel_rows
    return goal.mm if own is None else own, rows * 100 / gauge.rows if gauge else 0.0


def rows_to_goal(
    course: Course, state: State, number: Number, index: int, tapes: Tapes | None = None
) -> int:
    """Rows of an open section that is not begun: as planned, but to her own goal where she has set one.

    Those are reckoned as they will be once she is there: by what the tape taught on either sock, else by
    the swatch.
    """
    section = course.of(state.sock(number)).sections[index]
    own = state.goal(number, index)
    if section.goal is None or own is None:
        return section.planned
    tape = (tapes or Tapes(course, state)).of(number)
    return section.planned if tape is None else tape.rows_of(index, section.goal._replace(mm=own))


def rows_at(
    course: Course, state: State, number: Number, mm: float, tapes: Tapes | None = None
) -> tuple[int, int, int] | None:
    """Rows of the section in hand (least, likely, most, at 90 %) at which it is so long.

    `mm` is read on the needles, from where the section is usually measured; below 0 it lies before it.
    None where no length is taken, or none can be reckoned.
    """
    tape = (tapes or Tapes(course, state)).of(number)
    return None if tape is None else tape.rows_at(mm)


def lengths_after(
    course: Course, state: State, number: Number, section: int, tapes: Tapes | None = None
) -> Callable[[int], float] | None:
    """How long (mm, from the mark of its goal) an open section, in hand or to come, is after so many rounds.

    None where no length can be reckoned.
    """
    tape, goal = (tapes or Tapes(course, state)).of(number), course.sections[section].goal
    if tape is None or goal is None:
        return None
    return lambda rounds: tape.after(section, goal.mark, rounds)


def _unknown(course: Course, state: State, number: Number, section: Section) -> Unknown:
    sock = state.sock(number)
    goal, own = section.goal, state.goal(number, sock.section)
    mm = own if own is not None and goal is not None else goal.mm if goal else None
    sound = [taken for taken in sock.readings if taken.verdict != "void"]
    last = max((t.row for t in sound if t.section == sock.section), default=0)
    due = max(last + TAPE_FIRST, TAPE_FIRST)
    mark = goal.mark if goal else section.marks[0]
    return Unknown(mark, mm, len(sound), due)


def pace_of(state: State) -> Pace:
    """The pace, from the rounds that were timed."""
    return Pace().go_on(state.timed)


def rows_left(course: Course, state: State, number: Number) -> int:
    """Rows to the planned end of the section at hand, row 0 left out, never below 0."""
    sock = state.sock(number)
    if sock.finished:
        return 0
    done = course.of(sock).number(sock.section, sock.rows)
    return max(0, pair.planned(course, state, number).rows - done)


def stitches_left(course: Course, state: State, number: Number, rows: int) -> int:
    """Stitches to make in `rows` more rows of the section at hand, the needles ticked taken off."""
    sock = state.sock(number)
    if sock.finished:
        return 0
    course = course.of(sock)
    last = course.sections[sock.section].rows_to(course.number(sock.section, sock.rows) + rows)
    begun = course.row(sock.section, sock.rows).needles[: sock.needles] if sock.needles else ()
    here = course.made(sock.section, sock.rows) + sum(needle.made for needle in begun)
    if sock.into:
        from tracker.knitting.tinking import made_into

        here += made_into(course.row(sock.section, sock.rows), sock.needles, sock.into)
    return max(0, course.made(sock.section, last) - here)
