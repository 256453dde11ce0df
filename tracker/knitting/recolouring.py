"""What it comes to that a sock goes on in another colour: what is to be recorded, and why it cannot be.

A colour of the stripes sets the clock, so that all later stripes move with it; she may leave them where
they are planned. One that is no stripe moves none. (The choice is ours: stripes keep their widths.)
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tracker.knitting.changes import BadChange, Coloured
from tracker.knitting.course import Course
from tracker.knitting.events import LONGEST_NOTE
from tracker.knitting.state import Sock
from tracker.knitting.stripes import Thread, Threads, in_order
from tracker.pattern.colours import LONGEST_NAME, Colours, Stripe, cells, name_and_number
from tracker.pattern.model import Section
from tracker.records import NamedTuple
from tracker.units import shorten

AS_PLANNED = "the rest as planned"
REVERSED = "reversed"
"""What is told at the cast-on of a sock that has the stripes the other way round."""


class Ways(NamedTuple):
    """How a colour is told: so many rounds `late`, with the later stripes left to `stay`, or as the
    place of the `ball` at the cast-on.
    """

    late: int | None = None
    stay: bool = False
    ball: bool = False


class Recoloured(NamedTuple):
    """A row of the section in hand from which on the colour is another, and how its value is kept."""

    row: int
    value: str
    coloured: Coloured


def recoloured(course: Course, sock: Sock, value: str, row: int, ways: Ways) -> Recoloured:
    """What such a change at a row of the section in hand is. Raises BadChange."""
    there = _There(course, sock, row)
    if ways.late is not None:
        return _late(there, value, ways)
    name, number = name_and_number(value) if value else ("", "")
    at_cast_on = not sock.begun and row <= 1
    if value.casefold() == REVERSED:
        return _reversed(there, at_cast_on=at_cast_on)
    if ways.ball or (at_cast_on and number and there.colours.places(name)):
        return _ball(there, value, at_cast_on=at_cast_on)
    return _named(there, name, number, stay=ways.stay)


class _There:
    """A row of the section that a sock is in, and the stripes as they were before it was told."""

    def __init__(self, course: Course, sock: Sock, row: int) -> None:
        self.course, self.sock, self.row = course, sock, row
        self.index = sock.section
        self.section: Section = course.sections[sock.section]
        self.colours: Colours = in_order(course)
        self.rows = row - self.section.first

    @property
    def unit(self) -> str:
        return "row" if self.section.worked == "rows" else "round"

    def threads(self, row: int) -> Threads:
        """The colours without what was told of one row, which this replaces."""
        stays = (
            one for one in self.sock.changes
            if (one.kind, one.section, one.row) != ("colour", self.index, row)
        )  # fmt: skip
        return Threads(self.course.changed(stays), self.sock.ended)

    def of(
        self, number: int, name: str = "", rounds: int = 0, clock: int | None = None
    ) -> Coloured:
        return Coloured(self.index, number, name, rounds, clock)


def _named(there: _There, name: str, number: str, *, stay: bool) -> Recoloured:
    """A colour by its name; with a number, that place in its stripe."""
    if not name:
        raise BadChange("say which colour it is; write it after it, like cream, or cream 2")
    if cells(name) > LONGEST_NAME:
        why = f'"{shorten(name)}" is too long; write a name of at most {LONGEST_NAME} letters'
        raise BadChange(why)
    stripes, told = there.colours.places(name), there.threads(there.row)
    ticks = told.ticks(there.index)
    if number and not (stripes and ticks):
        where = "is no stripe of this pattern" if ticks else f"has no stripes in the {_part(there)}"
        raise BadChange(f'"{shorten(name)}" {where}; write it without a number')
    own = stripes[0][1].name if stripes else _spelt(there.colours, name)
    if not stripes or not ticks or stay:
        kept = f"{own}, {AS_PLANNED}" if stay and stripes and ticks else own
        return Recoloured(there.row, kept, there.of(there.row, own))
    position = _position(stripes, own, number)
    clock, stripe = _nearest(told, there, stripes, position)
    kept = f"{own}, {position} of {stripe.rounds}"
    return Recoloured(there.row, kept, there.of(there.row, clock=clock))


def _part(there: _There) -> str:
    return shorten(there.section.name)


def _spelt(colours: Colours, name: str) -> str:
    """A colour as the pattern writes it."""
    known = (colours.cuff, colours.heel, colours.toe, *(one.name for one in colours.stripes))
    known += tuple(name for _, name in colours.letters)
    return next((one for one in known if one and one.casefold() == name.casefold()), name)


def _position(stripes: Sequence[tuple[int, Stripe]], name: str, number: str) -> int:
    """The place in a stripe that she names; its first where she names none."""
    most = max(stripe.rounds for _, stripe in stripes)
    if number and (
        not re.fullmatch(r"[0-9]{1,3}", number, re.ASCII) or not 1 <= int(number) <= most
    ):
        span = f"{name} 1 to {name} {most}" if most > 1 else name
        raise BadChange(f"{shorten(name)} has {most} rounds; write {shorten(span, 60)}")
    return int(number or 1)


def _nearest(
    told: Threads, there: _There, stripes: Sequence[tuple[int, Stripe]], position: int
) -> tuple[int, Stripe]:
    """Of several stripes of one colour the one that the clock is nearest to, and the clock set to it."""
    period, ticked = there.colours.period, told.on_the_clock(there.index, there.rows)

    def apart(place: tuple[int, Stripe]) -> int:
        by = (place[0] + position - 1 - ticked) % period
        return min(by, period - by)

    before, stripe = min((one for one in stripes if position <= one[1].rounds), key=apart)
    return before + position - 1, stripe


def _late(there: _There, value: str, ways: Ways) -> Recoloured:
    """A change of stripe made so many rounds late: till then it was worked on in the colour before."""
    late = ways.late or 0
    first, unit = there.row - late, there.unit
    told = there.threads(first)
    if not there.colours.period or not told.ticks(there.index):
        raise BadChange("no stripes are changed here, so none can be late; write a colour")
    most = there.rows - (0 if there.index else 1)
    if not 1 <= late <= most:
        raise BadChange(
            f"{late} {unit}s late cannot be: {most} are done here; write 1 to {most}"
            if most > 0
            else f"no {unit} of the {_part(there)} is done, so no change is late"
        )
    rows = first - there.section.first
    due, before = told.at(there.index, rows), told.before(there.index, rows)
    if due is None or before is None or due.position != 1:
        raise BadChange(
            f"no change was due at {unit} {first}, where it is {_in(due)}; write how many {unit}s ago it was"
        )
    name, _ = name_and_number(value) if value else (due.name, "")
    if name.casefold() != due.name.casefold():
        raise BadChange(
            f'{unit} {first} is {_in(due)}, not "{shorten(name)}"; leave the colour out'
        )
    clock = None if ways.stay else told.on_the_clock(there.index, rows)
    kept = f"{due.name} {late} {unit}{'s' if late > 1 else ''} late"
    kept += f", {AS_PLANNED}" if ways.stay else ""
    return Recoloured(first, kept, there.of(first, before.name, late, clock))


def _in(thread: Thread | None) -> str:
    if thread is None:
        return "of no colour"
    name = shorten(thread.name)
    return f"{name}, {thread.position} of {thread.of}" if thread.of else name


def _reversed(there: _There, *, at_cast_on: bool) -> Recoloured:
    """The whole sock has the stripes in reverse, or a chart's colours: what makes cousins of a pair."""
    if not there.colours.period and len(there.colours.letters) < 2:
        raise BadChange("this pattern has no stripes to reverse; write a colour")
    if not at_cast_on:
        what = "stripes" if there.colours.period else "a chart's colours"
        raise BadChange(f"{what} are reversed from the cast-on; later, write a colour --row N")
    return Recoloured(there.row, REVERSED, there.of(there.row)._replace(back=True))


def _ball(there: _There, value: str, *, at_cast_on: bool) -> Recoloured:
    """Where the ball stood at the cast-on: a place of its stripes, or her own words or grams."""
    if not at_cast_on:
        raise BadChange(
            "where the ball stands is told at the cast-on; later, write a colour --row N"
        )
    if not value:
        raise BadChange('say where the ball stands; write it after it, like "navy 5", or in words')
    if len(value) > LONGEST_NOTE:
        raise BadChange(f"say it in at most {LONGEST_NOTE} letters; this is {len(value)}")
    name, number = name_and_number(value)
    clock, kept = None, value
    if stripes := there.colours.places(name):
        position = _position(stripes, stripes[0][1].name, number)
        before, stripe = next(one for one in stripes if position <= one[1].rounds)
        clock, kept = before + position - 1, f"{stripe.name}, {position} of {stripe.rounds}"
    coloured = there.of(there.row, clock=clock)._replace(ball=True)
    return Recoloured(there.row, kept, coloured)
