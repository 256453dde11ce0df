"""A needle with a stitch too many or too few: how it is put right in the round that comes.

A plan, not a reproach: nothing of the pattern changes by it, and sock two does not repeat it. Common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.knitting import edges, places
from tracker.knitting.course import Course
from tracker.knitting.state import Check, Number, Sock, State
from tracker.pattern.model import Row, is_split
from tracker.records import NamedTuple

MOST_OFF = 2
"""Stitches by which a needle may be off and is still put right on the way; more is another place."""


class Mend(NamedTuple):
    """One needle: so many stitches too many (below 0: too few), and how often the round that puts it
    right decreases on it as planned. `here` is true where that is the round in hand, still to come on it.
    """

    needle: str
    over: int
    decreases: int
    here: bool = False


class Repair(NamedTuple):
    """What to do on every needle that is off; `row` is the round by which all of it is done."""

    row: int
    mends: tuple[Mend, ...]


def repair(course: Course, state: State, number: Number) -> Repair | None:
    """How the last count of a sock's stitches is put right; None where it was right, or is another place.

    Only while nothing is worked since, and where each needle was counted. Inside a round a needle that
    is still to come is put right in it, one that was passed in the next.
    """
    off, sock = _off(course, state, number), state.sock(number)
    return None if off is None else _planned(course.of(sock), sock, off)


def waiting(course: Course, state: State, number: Number) -> Repair | None:
    """What the last count found off and is still to be put right, once needles are ticked since it.

    She told the count on the way: the round that puts it right, or the needle, may be some ticks off.
    None where `repair` says it, and once the yarn has passed the last needle of it.
    """
    sock = state.sock(number)
    check = sock.check
    if check is None or check.repair is None or check.section != sock.section:
        return None
    if sock.rows - check.rows not in (0, 1) or (sock.rows, sock.needles) <= (
        check.rows,
        check.needles,
    ):
        return None
    then = sock._replace(rows=check.rows, needles=check.needles, into=0)
    plan = repair(course, _with(state, number, then), number)
    return None if plan is None else _still_to_come(course.of(sock), sock, plan, check)


def _with(state: State, number: Number, sock: Sock) -> State:
    one, two = state.socks
    return state._replace(socks=(sock, two) if number == 1 else (one, sock))


def _still_to_come(course: Course, sock: Sock, plan: Repair, check: Check) -> Repair | None:
    """The mends of needles that the yarn has not passed yet."""
    mends = []
    for mend in plan.mends:
        rows = check.rows if mend.here or not check.needles else check.rows + 1
        names = _names(course.row(sock.section, rows))
        if mend.needle in names and (rows, names.index(mend.needle)) >= (sock.rows, sock.needles):
            mends.append(mend._replace(here=rows == sock.rows and bool(sock.needles)))
    return Repair(plan.row, tuple(mends)) if mends else None


class NoRound(NamedTuple):
    """Needles that are off and were passed in the last round of a section: none is left to put them right
    in; the next one belongs to a section that may begin on other needles, or worked flat.
    """

    needles: tuple[str, ...]
    row: int
    section: str


def no_round(course: Course, state: State, number: Number) -> NoRound | None:
    """Why a count that found needles off, as `repair` looks at it, has no plan; None where it has one."""
    off, sock = _off(course, state, number), state.sock(number)
    if off is None:
        return None
    there = course.of(sock)
    row, section = there.row(sock.section, sock.rows), there.sections[sock.section]
    more = section.goal is not None or sock.rows + 1 < len(section.rows)
    if more or _planned(there, sock, off) is not None:
        return None  # on other needles from the next round on nobody can say where it then lies
    passed = zip(row.needles[: sock.needles], off, strict=False)
    names = tuple(needle.name for needle, over in passed if over)
    return NoRound(names, row.number, section.called)


def _names(row: Row) -> list[str]:
    return [needle.name for needle in row.needles]


def _off(course: Course, state: State, number: Number) -> list[int] | None:
    """Stitches by which every needle is off by the last count; None where nothing is to be put right."""
    sock = state.sock(number)
    check = sock.check
    if check is None or check.matches or sock.finished or sock.into:
        return None
    if (check.section, check.rows, check.needles) != (sock.section, sock.rows, sock.needles):
        return None
    there, row = places.expected(course, state, number), course.of(sock).row(*sock[:2])
    parts = len(row.needles) - is_split([needle.name for needle in row.needles])
    if row.side is not None or len(check.found) != len(there) or len(there) != parts:
        return None
    off = [found - expected for found, expected in zip(check.found, there, strict=True)]
    if not sum(off) or max(map(abs, off)) > MOST_OFF or alike(off):
        return None  # as many in all: a stitch sits on the needle beside its own
    of = course, state, number, check.found
    if edges.chains(*of) is not None or places.fits_a_row(*of) or places.but_for_one(*of):
        return None  # it is most simply another place
    return off if parts == len(row.needles) else _on_parts(row, off)


def _on_parts(row: Row, off: list[int]) -> list[int]:
    """A needle with the marker inside it is put right on the longer of its parts."""
    first_is_longer = row.before[0] > row.before[-1]
    return [*off, 0] if first_is_longer else [0, *off]


def alike(off: Sequence[int]) -> bool:
    """Whether needles are off by the same, on all of several or on three: no slips, but a count to be
    made anew.
    """
    wrong = [by for by in off if by]
    return len(set(wrong)) == 1 and len(wrong) > 1 and (len(wrong) > 2 or len(wrong) == len(off))


def _planned(course: Course, sock: Sock, off: Sequence[int]) -> Repair | None:
    """Each needle in the round in which the yarn comes to it next; None where that is another section's,
    or worked on other needles.
    """
    row, section = course.row(sock.section, sock.rows), course.sections[sock.section]
    coming = [place >= sock.needles for place in range(len(off))]
    if all(here for here, over in zip(coming, off, strict=True) if over):
        following = row
    elif section.goal is None and sock.rows + 1 >= len(section.rows):
        return None
    else:
        following = course.row(sock.section, sock.rows + 1)
        if _names(following) != _names(row):
            return None
    inside = bool(sock.needles)
    mends = []
    for place, (here, over) in enumerate(zip(coming, off, strict=True)):
        of = row if here else following
        if over:
            decreases = max(0, of.before[place] - of.needles[place].leaves)
            mends.append(Mend(of.needles[place].name, over, decreases, here and inside))
    return Repair(following.number, tuple(mends))
