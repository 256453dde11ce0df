"""What the rules for acts share: on which sock and section an act is, and the words of their refusals."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.knitting import shares, stripes, used_up
from tracker.knitting.course import Course
from tracker.knitting.events import Act, Event
from tracker.knitting.refused import Refused
from tracker.knitting.replay import Replay
from tracker.knitting.state import Sock
from tracker.pattern.model import HEEL_FLAT, HEEL_ROUNDS, Section
from tracker.units import shorten


def acted_on(replay: Replay, act: Act) -> tuple[Course, Sock]:
    """The sock that an act is on, and its course as it is."""
    sock = replay.state.sock(act.sock)
    return replay.course.of(sock), sock


def section_named(course: Course, sock: Sock, act: Act) -> int:
    """The section that an act names, or gives by its index; else that in hand."""
    named = act.data.get("section")
    if type(named) is int and 0 <= named <= course.last:
        return named  # of several that share a name an index alone says which
    return sock.section if named is None else _find(course, str(named), sock.section)


def _find(course: Course, name: str, near: int) -> int:
    index = course.find(name, near)
    if index is None:
        from difflib import get_close_matches

        names = [section.name for section in course.sections]
        likely = get_close_matches(name, names, n=1) or [", ".join(dict.fromkeys(names))]
        raise Refused(f'there is no section "{shorten(name)}"; write {shorten(likely[0], 200)}')
    return index


def courses_of(replay: Replay) -> Iterable[Course]:
    """The course of the pattern, and that of each sock."""
    return replay.course, *(replay.course.of(sock) for sock in replay.state.socks)


def colour_called(courses: Iterable[Course], name: str, instead: str) -> str:
    """A colour of the pattern or one she changed to, as it is written, by the name she gives it."""
    names = shares.colours_of(*courses)
    if not names:
        raise Refused(f"this pattern does not tell of several colours; {instead}")
    wanted = _bare(name)
    for colour in names:
        if _bare(colour) == wanted:
            return colour
    from difflib import get_close_matches

    bare = {_bare(colour): colour for colour in names}
    near = [bare[found] for found in get_close_matches(wanted, bare, n=1)]
    likely = shorten(", ".join(near or names), 200)
    raise Refused(f'there is no "{shorten(name)}" in this pattern; write {likely}')


def _bare(colour: str) -> str:
    """A colour's name without what nobody types: "main" is the main colour."""
    folded = " ".join(colour.casefold().split())
    return "main" if folded == stripes.MAIN else folded


def is_not_done(section: Section, number: int, last: int) -> str:
    """That such a row is not done, and which are."""
    unit = unit_of(section.worked)
    return f"{unit} {number} of the {section.name} is not done; write {span_of(0, last)}"


def last_of(section: Section) -> str:
    """ "round 46", the last of a section."""
    return f"{unit_of(section.worked)} {section.planned}"


def unit_of(worked: str) -> str:
    """ "row" or "round"."""
    return "row" if worked == "rows" else "round"


def span_of(low: int, high: int) -> str:
    """ "1 to 4", or "4"."""
    return f"{low} to {high}" if low < high else str(high)


def piece_called(replay: Replay, number: int) -> str:
    """A piece by its name: of a pattern that makes no socks none is called one."""
    return f"sock {_NAMES[number]}" if replay.course.pattern.of_socks else _PIECES[number]


def piece_of(replay: Replay, act: Act) -> str:
    """What the piece of an act is called."""
    return piece_called(replay, act.sock)


def waits_there(replay: Replay, act: Act) -> bool:
    """Whether the sock of an act is at the end of the pattern so far."""
    return used_up.waits(replay.course, replay.state.sock(act.sock))


def it_is_finished(replay: Replay, act: Act) -> str:
    """That the sock of an act is at its end, or at that of the pattern so far."""
    if waits_there(replay, act):
        return f"{piece_of(replay, act)} is at the end of the pattern so far"
    return f"{piece_of(replay, act)} is finished"


def untold(act: Act) -> Event:
    """An act as an event that is only tried."""
    return Event(0, 0, 0, act.sock, act.kind, act.data, b"")


_NAMES = {1: "one", 2: "two"}


_PIECES = {1: "the first", 2: "the second"}


HEEL = HEEL_FLAT | {HEEL_ROUNDS}
