"""What is knitted keeps its colours where a pattern grows, and what was told of the stripes its places."""

from __future__ import annotations

from tracker.knitting.changes import Coloured
from tracker.knitting.course import Course
from tracker.knitting.growing import DoesNotFit, Knitted
from tracker.knitting.stripes import MAIN, Thread, Threads, in_order
from tracker.pattern.colours import Colours
from tracker.units import shorten


def check_places(was: Course, now: Course, called: str) -> None:
    """Refuse, with DoesNotFit, stripes without a place that was told of those before.

    Both are the courses of the sock that is `called` so, with its changes.
    """
    before, after = in_order(was), in_order(now)
    for one in now.coloured:
        if one.clock is not None and _place(before, one.clock) != _place(after, one.clock):
            raise DoesNotFit(_moved(now, one, before, called))


def _place(colours: Colours, clock: int) -> tuple[str, int]:
    """The colour there, and which round of its stripe."""
    if not colours.period:
        return "", 0
    stripe, position = colours.after(clock)
    return stripe.name, position


def _moved(now: Course, one: Coloured, before: Colours, called: str) -> str:
    name, position = _place(before, one.clock or 0)
    where = f"{shorten(now.sections[one.section].name)} row {one.number}"
    return (
        f'"{shorten(name)} {position}" was told of {called} at {where}, and in the new stripes that is'
        " another place; write colours as they are, or tell a colour there anew, without its number"
    )


def check_colours(was: Course, now: Course, sock: Knitted, called: str) -> None:
    """Refuse, with DoesNotFit, a course in which a finished row of a sock has another colour.

    The row in hand counts among them once something of it is worked.
    """
    old, new = Threads(was, sock.ended), Threads(now, sock.ended)
    for at in range(sock.section + 1):
        there = was.sections[at]
        over = at < len(sock.ended)
        rows = there.rows_to(sock.ended[at]) if over else sock.rows + sock.inside
        for row in range(rows):
            one, two = _name(old.at(at, row)), _name(new.at(at, row))
            if one != two:
                raise DoesNotFit(
                    f"{shorten(there.name)}, row {there.first + row} is knitted on {called} in"
                    f" {shorten(one)}, and in the new pattern it is in {shorten(two)}; write colours as they"
                    " are knitted"
                )


def _name(thread: Thread | None) -> str:
    """Of a pattern without colours all is in the one that has no name, as when another part gets one."""
    return MAIN if thread is None else thread.name
