"""A pattern that comes in stages: whether all of it is there, and what comes where it is used up."""

from __future__ import annotations

from tracker.knitting.course import Course
from tracker.knitting.state import Sock, State
from tracker.knitting.worked import day_of
from tracker.pattern.days import said
from tracker.pattern.model import CLOSED_BY, Pattern, Section, Waiting
from tracker.pattern.stages import Stage, is_there
from tracker.records import NamedTuple


class UsedUp(NamedTuple):
    """What a sock rests with at the end of the pattern so far: what each needle holds, and what waits.

    `stage` is the next one that was told, None where none was.
    """

    stage: Stage | None
    held: tuple[Waiting, ...]
    waiting: tuple[Waiting, ...]


def is_whole(pattern: Pattern) -> bool:
    """Whether the pattern is all there: it closes the piece, or nothing says that there is more to come.

    A sock is closed by its graft, or drawn up, where nothing is left on the needles, or after a toe.
    """
    last = pattern.sections[-1]
    if last.kind in CLOSED_BY or not last.rows[-1].leaves + sum(w.stitches for w in last.waiting):
        return True
    # From the toe up a toe closes nothing: the sock is over once it is bound off.
    closes = _has_toe(pattern) and not pattern.toe_up
    return next_stage(pattern) is None and (not pattern.of_socks or closes)


def _has_toe(pattern: Pattern) -> bool:
    """However it is called: "toe", "toe decreases"."""
    return any(
        "toe" in (section.kind, *section.name.lower().split()) for section in pattern.sections
    )


def next_stage(pattern: Pattern) -> Stage | None:
    """The first stage that is told with a section that is not there yet, or with none."""
    known = {name for section in pattern.sections for name in (section.name, section.kind)}
    for stage in pattern.stages:
        if not stage.sections or not all(is_there(name, known) for name in stage.sections):
            return stage
    return None


def waits(course: Course, sock: Sock) -> bool:
    """Whether a sock is at the end of the pattern so far, and that is not the end of the piece."""
    return sock.finished and not is_whole(course.pattern)


def used_up(course: Course, sock: Sock) -> UsedUp | None:
    """What a sock rests with that waits for the next stage; None of any other."""
    if not waits(course, sock):
        return None
    course = course.of(sock)
    there = course.sections[sock.section]
    return UsedUp(next_stage(course.pattern), _held(course, sock, there), there.waiting)


def _held(course: Course, sock: Sock, there: Section) -> tuple[Waiting, ...]:
    row = course.row(sock.section, sock.rows - 1)
    held = tuple(Waiting(needle.name, needle.leaves) for needle in row.needles)
    return held[::-1] if row.side == "WS" else held


ALL = "that is all of the pattern so far"


def until(course: Course, state: State) -> str:
    """That this is all, and for which day the next stage was told; whether that is past only a clock says."""
    stage = next_stage(course.pattern)
    if stage is None or stage.opens is None:
        return ALL
    day = said(stage.opens, day_of(state.last.at, state.last.offset))
    return f"{ALL} (stage {stage.number} is for {day})"
