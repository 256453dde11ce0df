"""One sock while it is folded: a private accumulator that is copied at keyframes and frozen on reading."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from typing import TYPE_CHECKING

from tracker.knitting.changes import MOST_CHANGES, Change
from tracker.knitting.course import Course
from tracker.knitting.state import (
    Check,
    Lifeline,
    Note,
    Sock,
    TapeReading,
    is_inside,
    is_stopped,
)
from tracker.records import NamedTuple
from tracker.units import shorten

if TYPE_CHECKING:
    from tracker.knitting.growing import Moved
    from tracker.knitting.tinking import Tinked

NOTES_KEPT = 100
"""How many notes on a sock the state carries: the last. Older ones are in its history."""
LIFELINES_KEPT = 20
"""How many lifelines of a sock the state carries: the last."""


class Stands(NamedTuple):
    """Where a sock is: its section (by index), finished rows, needles ticked in the row in hand.

    `needle` is the next to be worked inside a round.
    """

    section: int
    rows: int
    needles: int
    finished: bool
    needle: str | None
    put_right: tuple[int, int] | None = None


class Hand:
    """Where a sock is, and what hangs on its rounds."""

    __slots__ = (
        "changes", "check", "corrected", "course", "ended", "finished", "into", "lifelines", "minutes",
        "minutes_at", "needles", "notes", "put_right", "readings", "rests_on", "rows", "section",
        "stopped_at",
    )  # fmt: skip

    def __init__(self, course: Course) -> None:
        self.course = course
        """The course of this sock, with all that was changed on it."""
        self.changes: tuple[Change, ...] = ()
        self.section = self.rows = self.needles = self.into = self.corrected = 0
        self.ended: list[int] = []
        self.readings: list[TapeReading] = []
        self.lifelines: list[Lifeline] = []
        self.minutes: float | None = 0.0
        self.minutes_at: list[float | None] = []
        self.check: Check | None = None
        self.put_right: tuple[int, int] | None = None
        self.notes: list[Note] = []
        self.rests_on: str | None = None
        self.stopped_at: tuple[int, int, int] | None = None
        self.finished = False

    def copy(self) -> Hand:
        """Another with the same state."""
        twin = object.__new__(Hand)
        for name in _FIELDS:
            setattr(twin, name, getattr(self, name))
        twin.ended, twin.readings = list(self.ended), list(self.readings)
        twin.notes = list(self.notes)
        twin.lifelines, twin.minutes_at = list(self.lifelines), list(self.minutes_at)
        return twin

    @classmethod
    def thaw(cls, course: Course, sock: Sock) -> Hand:
        """The accumulator whose state that is; `course` is the planned one of this sock.

        Raises ValueError where the sock is nowhere on it.
        """
        hand = cls(course)
        hand.change(sock.changes)
        for name in _ALIKE:
            setattr(hand, name, getattr(sock, name))
        for name in _LISTS:
            setattr(hand, name, list(getattr(sock, name)))
        hand.check_place()
        return hand

    def check_place(self) -> None:
        """Raise ValueError where it is nowhere on its course."""
        hung: tuple[TapeReading | Note | Lifeline, ...]
        hung = (*self.readings, *self.notes, *self.lifelines)
        there = [
            self.section,
            *(one.section for one in hung),
            self.check.section if self.check else 0,
        ]
        last = self.course.last
        if not all(0 <= section <= last for section in there) or len(self.ended) > last + 1:
            raise ValueError("there is no such section")
        if min(self.rows, self.needles, self.into, *self.ended) < 0:
            raise ValueError("there is no such row")
        if not self.finished and self.needles >= len(
            self.course.row(self.section, self.rows).needles
        ):
            raise ValueError("there is no such needle")

    @property
    def stands(self) -> Stands:
        """Its place alone, which costs less than its state."""
        return Stands(
            self.section, self.rows, self.needles, self.finished, self._needle(), self.put_right
        )

    @property
    def inside(self) -> bool:
        """Whether something of the row in hand is worked."""
        return is_inside(self)

    @property
    def stopped(self) -> bool:
        """Whether she stopped inside the needle in hand, however many of its stitches are worked."""
        return is_stopped(self)

    def stop_inside(self, needles: int, into: int) -> None:
        """She stopped inside a needle of the row in hand: `needles` are worked, and `into` stitches of it.

        Raises ValueError where there is no such needle, or it has no more stitches.
        """
        from tracker.knitting.tinking import stitches_on  # few acts read single stitches

        row = None if self.finished else self.course.row(self.section, self.rows)
        room = 0 if row is None or needles < self.needles else len(stitches_on(row, needles))
        if not 0 <= into < room:
            raise ValueError(f"there is no stitch {into} inside a needle after {needles}")
        self.needles, self.into = needles, into
        self.stopped_at = (self.section, self.rows, needles)

    def _needle(self) -> str | None:
        if not self.inside or self.finished:
            return None
        row = self.course.row(self.section, self.rows)
        return row.needles[row.working(self.needles)].name

    def freeze(self) -> Sock:
        """Its state."""
        return Sock(
            self.section,
            self.rows,
            self.needles,
            tuple(self.ended),
            tuple(self.readings),
            self.finished,
            self.corrected,
            tuple(self.lifelines),
            self.minutes,
            tuple(self.minutes_at),
            self.check,
            tuple(self.notes),
            self.rests_on,
            self.changes,
            into=self.into,
            put_right=self.put_right,
            stopped_at=self.stopped_at,
        )

    def round_done(self) -> None:
        """The row in hand is worked: with it what was to be put right in it."""
        check = self.check
        if check and check.repair is not None and self._puts_right(check, check.repair):
            self.put_right = (self.section, check.repair)
        self.needles = self.into = 0
        self.rows += 1

    def _puts_right(self, check: Check, repair: int) -> bool:
        """Whether the row in hand is that of a repair: counted inside a round it may be the next one."""
        if check.section != self.section:
            return False
        if not check.needles:
            return check.rows == self.rows
        row = self.course.number(self.section, self.rows) + 1
        return row == repair and self.rows - check.rows in (0, 1)

    def knit_for(self, seconds: float) -> None:
        """So long was knitted on it."""
        if self.minutes is not None:
            self.minutes += seconds / 60
        if len(self.ended) != len(self.minutes_at):
            self.note_minutes(self.minutes)

    def note_minutes(self, minutes: float | None) -> None:
        """Of every section that has ended since, or has not ended after all: its minutes."""
        more = len(self.ended) - len(self.minutes_at)
        if more:
            self.minutes_at = (self.minutes_at + [minutes] * more)[: len(self.ended)]

    def change(self, changes: Iterable[Change]) -> None:
        """These are its changes from now on. Raises ValueError where they do not come out together."""
        told = tuple(changes)
        if len(told) > MOST_CHANGES:
            raise ValueError(f"{MOST_CHANGES} changes on one sock are the most")
        if told != self.changes:
            self.course = self.course.changed(told)
            self.changes = told
            if self.needles or self.into:
                self._stay_on_needles()

    def _stay_on_needles(self) -> None:
        """With fewer needles in the row in hand than were ticked, the last of them is in hand."""
        if self.finished or self.section > self.course.last:
            return
        row = self.course.row(self.section, self.rows)
        if row.working(self.needles) >= len(row.needles):
            self.needles, self.into = len(row.needles) - 1, 0

    def change_soundly(self, changes: Iterable[Change]) -> None:
        """The same; where they do not, one that does not come out with those before it is left out."""
        told = tuple(changes)
        with suppress(ValueError):
            self.change(told)
            return
        kept: list[Change] = []
        for change in told:
            for way in change.ways:
                with suppress(ValueError):
                    if way.alters:
                        self.course.changed([*kept, way])
                    kept.append(way)
                    break
        self.change(kept[:MOST_CHANGES])

    def go_on(self, course: Course) -> None:
        """The pattern goes on: a sock that had come to its end goes on, too.

        Raises ValueError where its changes do not come out in what is new.
        """
        self.course = course.changed(self.changes)
        if self.finished and self.section < course.last:
            self.section, self.rows, self.needles, self.finished = self.section + 1, 0, 0, False
            self.into = 0

    def take_up(self, course: Course, moved: Moved, called: str) -> None:
        """A new pattern for what is not knitted; what hangs on it goes along.

        `called` names the sock. Raises DoesNotFit, and then is half changed.
        """
        from tracker.knitting.growing import DoesNotFit, check_finished

        changes = tuple(self._moved(change, moved, called) for change in self.changes)
        try:
            now = course.changed(changes)
        except ValueError as bad:
            why = f"with what was changed on {called} the new pattern does not come out: {bad}"
            raise DoesNotFit(why) from None
        check_finished(self.course, now, self, called)
        self._take_marks(moved, now.last, called)
        self.course, self.changes = now, changes
        if self.section > now.last:
            self.section, self.needles, self.into, self.finished = now.last, 0, 0, True
            self.rows = now.sections[now.last].rows_to(self.ended[-1])
        elif self.finished:
            self._see_anew()

    def _moved(self, change: Change, moved: Moved, called: str) -> Change:
        from tracker.knitting.growing import DoesNotFit

        try:
            return moved.change(change)
        except KeyError:
            there = self.course.sections[change.section].name
            raise DoesNotFit(
                f"what was changed on {called} at {shorten(there)} row {change.row} (number"
                f" {change.event} in the history) has no place in the new pattern; name that section there"
            ) from None

    def _take_marks(self, moved: Moved, last: int, called: str) -> None:
        """Notes, readings and lifelines of sections that it went back before go where these are now."""
        from tracker.knitting.growing import DoesNotFit

        for note in self.notes:
            if note.section > self.section and note.section not in moved.to:
                there = shorten(self.course.sections[note.section].name)
                raise DoesNotFit(
                    f"the note at {there} row {note.row} of {called} (number {note.event} in the history)"
                    " has no place in the new pattern; name that section there"
                )

        def place(section: int) -> int:
            stays = section <= self.section
            return min(section if stays else moved.to.get(section, section), last)

        self.notes = [note._replace(section=place(note.section)) for note in self.notes]
        self.readings = [took._replace(section=place(took.section)) for took in self.readings]
        self.lifelines = [line._replace(section=place(line.section)) for line in self.lifelines]

    def _see_anew(self) -> None:
        """A sock that was at the end: its last section may go on, or another follows."""
        there = self.course.sections[self.section]
        if there.goal is None and there.planned > self.ended[-1]:
            self.ended.pop()
            self.finished = False
            self.note_minutes(None)
        elif self.section < self.course.last:
            self.section, self.rows, self.finished = self.section + 1, 0, False

    def is_done(self, section: int, row: int) -> bool:
        """Whether a row of a section lies behind it."""
        return self.course.is_done(self, section, row)

    def has_come_to(self, section: int, row: int) -> bool:
        """Whether that row lies behind it, or is worked in part."""
        return self.course.has_come_to(self, section, row)

    def move_readings(self, rows: int, of: int) -> None:
        """The count is corrected to `rows`: where the readings of this section lie by it.

        One that was taken (event `of`) on rounds that are counted only now, and those at rounds that
        are none any more, lie as much further on, or back, as the count is moved.
        """
        by = rows - self.course.number(self.section, self.rows)
        self.readings = [
            taken._replace(row=max(0, taken.row + by))
            if taken.section == self.section and (taken.event == of or taken.row > rows)
            else taken
            for taken in self.readings
        ]

    def rip(self, section: int, number: int, inside: Tinked | None = None) -> None:
        """Take the fabric back to row `number` of a section; what hung on the rounds above is void.

        Or to a place inside the row that follows, which is then still in hand, with its changes.
        """
        here = (section, number)
        done = [self.is_done(change.section, change.row - 1) for change in self.changes]
        self.ended = self.ended[:section]
        self.section, self.needles, self.into, self.finished = section, 0, 0, False
        self.rows = self.course.sections[section].rows_to(number)
        in_hand = 0
        if inside is not None:
            _, self.rows, self.needles, self.into = inside
            in_hand = int(bool(self.needles or self.into))
        self.change_soundly(
            change
            for change, was in zip(self.changes, done, strict=True)
            if change.repeats
            or not was
            or change.at_cast_on
            or self.is_done(change.section, change.row - (in_hand or change.inside))
        )
        self.readings = [
            taken._replace(verdict="void") if (taken.section, taken.row) > here else taken
            for taken in self.readings
        ]
        self.note_minutes(None)
        if self.check is not None and (self.check.section, self.check.rows) > (section, self.rows):
            self.check = None
        if self.put_right is not None and self.put_right > here:
            self.put_right = None
        self.lifelines = [line for line in self.lifelines if (line.section, line.row) <= here]


_FIELDS = Hand.__slots__
_LISTS = ("ended", "readings", "lifelines", "minutes_at", "notes")
_ALIKE = tuple(name for name in _FIELDS if name not in (*_LISTS, "changes", "course"))
