"""What a glance tells of a pair that stays the same from the first needle of a row to its last.

It is reckoned of the state without what a needle alters, so it cannot go by that; once for a row, and not
at every key.
"""

from __future__ import annotations

from tracker.forecast.coming import Coming, Lengths
from tracker.forecast.left import length_of
from tracker.forecast.tapes import Tapes
from tracker.knitting import pair, step
from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.pair import Planned
from tracker.knitting.state import BOTH, Sock, State
from tracker.knitting.step import Differs
from tracker.knitting.worked import Worked

_NOTHING = Event(0, 0, 0, 0, "", {}, b"")


def at_row(state: State) -> State:
    """The state as it was when the row in hand began, as far as a tick of a needle alters it."""
    one, two = map(_at_row, state.socks)
    return state._replace(socks=(one, two), hand=1, timed=(), run=0, last=_NOTHING, worked=Worked())


def _at_row(sock: Sock) -> Sock:
    return sock._replace(needles=0, into=0, stopped_at=None, rests_on=None, minutes=None)


class ByRow:
    """The lengths of both socks, what their sections go to, and whether they are in step."""

    __slots__ = ("coming", "differs", "lengths", "meant", "planned", "tapes")

    def __init__(self, course: Course, state: State) -> None:
        there = at_row(state)
        self.tapes = Tapes(course, there)
        self.lengths: Lengths = (
            length_of(course, there, 1, self.tapes),
            length_of(course, there, 2, self.tapes),
        )
        """How long the sections in hand are, on sock one and on sock two."""
        self.coming = Coming(course, there, 1, self.lengths, self.tapes)
        """What is still to come, of which the rows are the same for either sock."""
        one, two = (pair.planned(course, there, number) for number in BOTH)
        self.planned: tuple[Planned, Planned] = (one, two)
        """How many rows they will have, and who says so."""
        self.differs: Differs | None = step.first(course, there)
        """The first thing in which the socks are not in step."""
        self.meant = step.meant(there)
        """How much is meant for one sock alone."""
