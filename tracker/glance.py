"""What she sees: done, next, needles, length, what is left, the other sock, cues.

Plain data of bounded size, computed from pattern and state and nothing else. The needles
screen, the quick check and `instep left --json` are three ways of writing this one value.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from tracker.forecast import left
from tracker.forecast.left import Length
from tracker.forecast.pace import minutes, minutes_to_go
from tracker.knitting import cues as knitting_cues
from tracker.knitting import pair as knitting_pair
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.state import Number, State
from tracker.pattern.model import Mark, Row, Side, Waiting, Worked


class NeedleSight(NamedTuple):
    """One needle of the row at hand: what it holds now, what is done on it next, what it then holds.

    `finished` is true once it was ticked in the round in hand (by needles only).
    """

    name: str
    stitches: int
    work: str
    leaves: int
    plain: bool
    finished: bool


class NextSight(NamedTuple):
    """The row in hand or to come: its number, side (flat only), its word, its count at the end."""

    number: int
    side: Side | None
    word: str
    plain: bool
    leaves: int


class ReadingSight(NamedTuple):
    """A tape reading: millimetres from the mark at a row of this section; does it count?"""

    mm: float
    row: int
    counts: bool


class LengthSight(NamedTuple):
    """The length now (mean and sd, mm) from `mark`, and how far the goal is.

    `target_mm` is None where the section has no goal. `low`, `likely` and `high` are rounds to
    go at 5, 50 and 95 %; low and high are None while nothing can be said. `ends_low` and
    `ends_high` are the lengths (mm, 5 and 95 %) at which `likely` will end.
    """

    mm: float
    sd_mm: float
    mark: Mark
    target_mm: float | None
    low: int | None
    likely: int
    high: int | None
    ends_low_mm: float | None
    ends_high_mm: float | None
    measure_at: int | None
    readings: tuple[ReadingSight, ...]


class SockSight(NamedTuple):
    """One sock of the pair: where it is, and its share of the stitches of a whole sock, 0 to 1."""

    sock: Literal[1, 2]
    section: str
    done: int
    planned: int
    share: float
    begun: bool
    finished: bool


class Lag(NamedTuple):
    """Sock one minus sock two, positive when two is behind."""

    stitches: int
    rounds: int
    minutes: int


class Place(NamedTuple):
    """Where she is on the sock in hand.

    `done` counts finished rows of `section` without row 0; `planned` is what it will have, and
    `planned_by` says who says so: the "pattern", the "other sock", or her "goal" (then it is
    open, and ends when she ends it). `at_marker` is the end of a round: nothing of the next one
    is worked. `last_needle` is true while the last needle of a round is worked (by needles).
    """

    sock: Literal[1, 2]
    section: str
    kind: str
    worked: Worked
    done: int
    planned: int
    planned_by: Literal["pattern", "other sock", "goal"]
    needle: str | None
    at_marker: bool
    last_needle: bool
    begun: bool
    finished: bool
    done_word: str = ""
    """The word of the last finished row of this section ("DEC", "PLAIN" ...), if there is one."""


class Glance(NamedTuple):
    """All she needs in two seconds. Names and titles are still a stranger's text: clean on showing."""

    pair: str
    title: str
    unit: Literal["mm", "cm", "in"]
    hand: str
    needle_set: str
    counting: Literal["rounds", "needles"]
    place: Place
    needles: tuple[NeedleSight, ...]
    resting: tuple[Waiting, ...]
    stitches: int
    next: NextSight | None
    length: LengthSight | None
    rows_to_go: tuple[int | None, int | None, int | None]
    minutes_to_go: int
    socks: tuple[SockSight, SockSight]
    lag: Lag
    in_step: bool
    cues: tuple[Cue, ...]
    card: Cue | None
    """The card that stands where *next* stands: cast-on or a new section, gone with the first tick."""
    events: int


class Shown(NamedTuple):
    """What a glance says of a pair beside pattern and state: its short name, its setting, and
    how many events are recorded, those taken back among them.
    """

    pair: str
    counting: Literal["rounds", "needles"]
    events: int


def look(course: Course, state: State, shown: Shown, number: Number | None = None) -> Glance:
    """The glance at sock `number` (the one in hand if left out)."""
    return _Look(course, state, shown, number or state.hand).glance()


class _Look:
    def __init__(self, course: Course, state: State, shown: Shown, number: Number) -> None:
        self._course, self._state, self._shown, self._number = course, state, shown, number
        self._sock = state.sock(number)
        self._section = course.sections[self._sock.section]
        self._done = course.number(self._sock.section, self._sock.rows)
        finished = self._sock.finished
        self._row = None if finished else course.row(self._sock.section, self._sock.rows)

    def glance(self) -> Glance:
        pattern, shown = self._course.pattern, self._shown
        length = left.length_of(self._course, self._state, self._number)
        needles = self._needles()
        to_go = self._to_go(length)
        pace = left.pace_of(self._state)
        return Glance(
            pair=shown.pair,
            title=pattern.title,
            unit=pattern.unit,
            hand=pattern.hand,
            needle_set=pattern.needle_set,
            counting=shown.counting,
            place=self._place(),
            needles=needles,
            resting=() if self._row is None else self._section.waiting,
            stitches=sum(needle.stitches for needle in needles),
            next=None if self._row is None else _next(self._row),
            length=None if length is None else self._length(length),
            rows_to_go=to_go,
            minutes_to_go=minutes_to_go(self._stitches_to_go(to_go[1]), pace),
            socks=(self._sight(1), self._sight(2)),
            lag=self._lag(pace),
            in_step=knitting_pair.in_step(self._state),
            cues=tuple(self._cues(length)),
            card=knitting_cues.card(self._course, self._state, self._number),
            events=shown.events,
        )

    def _place(self) -> Place:
        sock, row = self._sock, self._row
        planned = knitting_pair.planned(self._course, self._state, self._number)
        before = self._course.row(sock.section, sock.rows - 1) if sock.rows else None
        names = row.needles if row else ()
        by_needles = self._section.worked == "rounds" and self._shown.counting == "needles"
        return Place(
            sock=self._number,
            section=self._section.name,
            kind=self._section.kind,
            worked=self._section.worked,
            done=self._done,
            planned=planned.rows,
            planned_by=planned.by,
            needle=names[sock.needles].name if row else None,
            at_marker=knitting_cues.at_marker(self._course, self._state, self._number),
            last_needle=by_needles and sock.needles == len(names) - 1 > 0,
            begun=sock.begun,
            finished=sock.finished,
            done_word=before.word if before else "",
        )

    def _needles(self) -> tuple[NeedleSight, ...]:
        if self._row is None:
            return ()
        ticked = self._sock.needles
        return tuple(
            NeedleSight(
                needle.name,
                needle.leaves if place < ticked else stitches,
                needle.work,
                needle.leaves,
                needle.plain,
                place < ticked,
            )
            for place, (needle, stitches) in enumerate(
                zip(self._row.needles, self._row.before, strict=True)
            )
        )

    def _length(self, length: Length) -> LengthSight:
        low_mm, high_mm = length.ends or (None, None)
        here = [taken for taken in length.readings if taken.section == self._sock.section]
        return LengthSight(
            length.mm, length.sd_mm, length.mark, length.target_mm, length.low, length.likely,
            length.high, low_mm, high_mm, length.measure_at,
            tuple(ReadingSight(taken.mm, taken.row, taken.counts) for taken in here),
        )  # fmt: skip

    def _to_go(self, length: Length | None) -> tuple[int | None, int | None, int | None]:
        if length is not None:
            return length.low, length.likely, length.high
        rows = left.rows_left(self._course, self._state, self._number)
        return rows, rows, rows

    def _stitches_to_go(self, rows: int | None) -> int:
        return left.stitches_left(self._course, self._state, self._number, rows or 0)

    def _sight(self, number: Number) -> SockSight:
        sock = self._state.sock(number)
        made = knitting_pair.made(self._course, self._state, number)
        return SockSight(
            number,
            self._course.sections[sock.section].kind,
            self._course.number(sock.section, sock.rows),
            knitting_pair.planned(self._course, self._state, number).rows,
            1.0 if sock.finished else min(1.0, made / self._course.stitches),
            sock.begun,
            sock.finished,
        )

    def _lag(self, pace: float) -> Lag:
        course, state = self._course, self._state
        stitches = knitting_pair.made(course, state, 1) - knitting_pair.made(course, state, 2)
        rounds = knitting_pair.rounds(course, state, 1) - knitting_pair.rounds(course, state, 2)
        return Lag(stitches, rounds, minutes(stitches, pace))

    def _cues(self, length: Length | None) -> list[Cue]:
        follow = knitting_cues.cues(self._course, self._state, self._number, self._shown.counting)
        if length is None:
            return follow
        tape = [
            _odd_reading(length, self._sock.section),
            self._goal_reached(length),
            _tape_due(length, self._done),
        ]
        # After what must be answered now, before what only marks the place.
        urgent = [cue for cue in follow if cue.kind in ("held", "other-sock")]
        rest = [cue for cue in follow if cue.kind not in ("held", "other-sock")]
        return [*urgent, *(cue for cue in tape if cue), *rest]

    def _goal_reached(self, length: Length) -> Cue | None:
        """An open section, which only she can end, is as likely as not as long as it should be."""
        by = knitting_pair.planned(self._course, self._state, self._number).by
        past = knitting_pair.past_the_other(self._course, self._state, self._number)
        if by != "goal" or past is not None or length.low is None or length.likely:
            return None
        return Cue("section", 0, {"section": self._section.kind, "mm": length.target_mm}, "goal")


def _next(row: Row) -> NextSight:
    plain = all(needle.plain for needle in row.needles)
    return NextSight(row.number, row.side, row.word, plain, row.leaves)


def _odd_reading(length: Length, section: int) -> Cue | None:
    """The last reading of this section, where it was too far off to count."""
    last = length.readings[-1] if length.readings else None
    if last is None or last.counts or last.section != section:
        return None
    return Cue("reading", 0, {"mm": last.mm, "row": last.row, "rounds_off": last.rounds_off})


def _tape_due(length: Length, done: int) -> Cue | None:
    if length.measure_at is None or not 0 <= length.measure_at - done <= 1:
        return None
    return Cue(
        "measure",
        length.measure_at - done,
        {"round": length.measure_at, "first": not length.readings},
    )
