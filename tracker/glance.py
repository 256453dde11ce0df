"""What she sees: done, next, needles, length, what is left, the other sock, cues.

Plain data of bounded size, computed from pattern and state and nothing else. The needles
screen, the quick check and `instep left --json` are three ways of writing this one value.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from tracker.forecast import ball, left
from tracker.forecast.ball import YarnSight as YarnSight
from tracker.forecast.left import Length
from tracker.forecast.pace import GRAFT_MINUTES, minutes, minutes_to_go
from tracker.knitting import cues as knitting_cues
from tracker.knitting import pair as knitting_pair
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.state import Number, State
from tracker.pattern.model import Mark, Row, Side, Waiting, Worked


class NeedleSight(NamedTuple):
    """One needle of the row at hand: what it holds now, what is done on it next, what it then holds.

    `finished` is true once it was ticked in the round in hand. `word` is that of its own work:
    a needle that is worked plainly in a decrease round says PLAIN.
    """

    name: str
    stitches: int
    work: str
    leaves: int
    plain: bool
    finished: bool
    word: str = "PLAIN"


class NextSight(NamedTuple):
    """The row in hand or to come: its number, side (flat only), its word, its count at the end."""

    number: int
    side: Side | None
    word: str
    plain: bool
    leaves: int


class ReadingSight(NamedTuple):
    """A tape reading: millimetres from its mark at a row of this section; does it count?

    `at_mm` is where that lies on the tape of this section.
    """

    mm: float
    row: int
    counts: bool
    at_mm: float


class LengthSight(NamedTuple):
    """The length now (mean and sd, mm) from `mark`, and how far the goal is.

    `target_mm` is None where the section has no goal. `low`, `likely` and `high` are rounds to
    go at 5, 50 and 95 %; low and high are None while nothing can be said. `ends_low` and
    `ends_high` are the lengths (mm, 5 and 95 %) at which `likely` will end. `goal_row` is the row
    at which the goal is likely reached, even where that is behind her. `due` is the row of the
    next reading, behind her or ahead; `after_mm` the toe's length where the goal includes it.
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
    """The last READINGS_SHOWN of this section."""
    goal_row: int | None = None
    due: int | None = None
    after_mm: float = 0.0


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
    """The word of the last finished row of this section ("DEC", "PLAIN" ...), row 0 among them."""


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
    in_hand: Literal[1, 2]
    """The sock in hand: what is done without naming one is done on that."""
    cues: tuple[Cue, ...]
    card: Cue | None
    """The card that stands where *next* stands: cast-on or a new section, gone with the first tick."""
    events: int
    yarn: YarnSight | None = None
    """None where none is told and none was weighed."""


class Shown(NamedTuple):
    """What a glance says of a pair beside pattern and state: its short name, its setting, how many
    events are recorded (those taken back among them), and milliseconds since the last.
    """

    pair: str
    counting: Literal["rounds", "needles"]
    events: int
    idle: int = 0


READINGS_SHOWN = 20
ODD_IS_OLD = 10
"""Rounds after which a reading that does not fit is shown on the tape only."""
HELD_IS_OLD = 600_000
"""Milliseconds after which nobody asks any more whether a key was held down."""


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
        yarn = ball.yarn_of(self._course, self._state, self._number)
        told_of_yarn = ball.cues(yarn, self._done, self._section.kind)
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
            minutes_to_go=self._minutes_to_go(to_go[1], pace),
            socks=(self._sight(1), self._sight(2)),
            lag=self._lag(pace),
            in_step=knitting_pair.in_step(self._state),
            in_hand=self._state.hand,
            cues=_among(self._cues(length), [*told_of_yarn]),
            card=self._card(),
            events=shown.events,
            yarn=yarn,
        )

    def _place(self) -> Place:
        sock, row = self._sock, self._row
        planned = knitting_pair.planned(self._course, self._state, self._number)
        before = self._course.row(sock.section, sock.rows - 1) if sock.rows else None
        names = row.needles if row else ()
        in_rounds = self._section.worked == "rounds"
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
            last_needle=in_rounds and sock.needles == len(names) - 1 > 0,
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
                _needle_word(self._row.word, needle.plain),
            )
            for place, (needle, stitches) in enumerate(
                zip(self._row.needles, self._row.before, strict=True)
            )
        )

    def _length(self, length: Length) -> LengthSight:
        low_mm, high_mm = length.ends or (None, None)
        here = [taken for taken in length.readings if taken.section == self._sock.section]
        shown = tuple(
            ReadingSight(taken.mm, taken.row, taken.counts, taken.at_mm)
            for taken in here[-READINGS_SHOWN:]
        )
        return LengthSight(
            length.mm, length.sd_mm, length.mark, length.target_mm, length.low, length.likely,
            length.high, low_mm, high_mm, length.measure_at, shown, length.goal_row, length.due,
            length.after_mm,
        )  # fmt: skip

    def _card(self) -> Cue | None:
        """The section's card, with how long the one before it became."""
        card = knitting_cues.card(self._course, self._state, self._number)
        if card is None or not self._sock.section:
            return card
        before = self._sock.section - 1
        mm = left.ended_length(self._course, self._state, self._number, before)
        last = self._state.last
        came_here = last.sock == self._number and last.kind in ("tick", "end", "at")
        return card._replace(data={**card.data, "before_mm": mm, "just_ended": came_here})

    def _minutes_to_go(self, rows: int | None, pace: float) -> int:
        if self._section.kind == "graft" and not self._sock.finished:
            return GRAFT_MINUTES
        return minutes_to_go(self._stitches_to_go(rows), pace)

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
        section = self._course.sections[sock.section]
        return SockSight(
            number,
            section.name if section.kind == "other" else section.kind,
            self._course.number(sock.section, sock.rows),
            self._planned(number),
            1.0 if sock.finished else min(1.0, made / self._course.stitches),
            sock.begun,
            sock.finished,
        )

    def _planned(self, number: Number) -> int:
        """Rows the section of a sock will have: an open one as many as her tape says."""
        planned = knitting_pair.planned(self._course, self._state, number)
        if planned.by != "goal":
            return planned.rows
        length = left.length_of(self._course, self._state, number)
        goal = length.goal_row if length else None
        return planned.rows if goal is None else goal

    def _lag(self, pace: float) -> Lag:
        course, state = self._course, self._state
        stitches = knitting_pair.made(course, state, 1) - knitting_pair.made(course, state, 2)
        rounds = knitting_pair.rounds(course, state, 1) - knitting_pair.rounds(course, state, 2)
        return Lag(stitches, rounds, minutes(stitches, pace))

    def _cues(self, length: Length | None) -> list[Cue]:
        follow = knitting_cues.cues(self._course, self._state, self._number)
        card = self._card()
        follow = [
            card if card and cue.kind == "section" and not cue.when else cue for cue in follow
        ]
        if self._shown.idle > HELD_IS_OLD:
            follow = [cue for cue in follow if cue.kind != "held"]
        if length is None:
            return follow
        # After what must be answered now, and before what only marks the place.
        urgent = [cue for cue in follow if cue.kind in ("held", "other-sock", "note")]
        rest = [cue for cue in follow if cue.kind not in ("held", "other-sock", "note")]
        pins = [cue for cue in rest if cue.kind == "pin"]
        rest = [cue for cue in rest if cue.kind != "pin"]
        told = [
            *pins,
            self._goal_reached(length),
            self._odd_reading(length),
            self._tape_due(length),
        ]
        return [*urgent, *(cue for cue in told if cue), *rest]

    def _goal_reached(self, length: Length) -> Cue | None:
        """An open section, which only she can end, is as likely as not as long as it should be."""
        by = knitting_pair.planned(self._course, self._state, self._number).by
        if by != "goal" or length.low is None or length.likely:
            return None
        sure = length.high == 0 or length.measure_at is None
        data = {"section": self._section.kind, "mm": length.target_mm, "sure": sure}
        return Cue("section", 0, data, "goal")

    def _odd_reading(self, length: Length) -> Cue | None:
        """The last reading of this section, where it is too far off to count.

        A count that was corrected since has answered it; after ODD_IS_OLD rounds nobody asks.
        """
        last = length.readings[-1] if length.readings else None
        if last is None or last.counts or last.section != self._sock.section:
            return None
        if last.event < self._sock.corrected or self._done - last.row >= ODD_IS_OLD:
            return None
        planned = knitting_pair.planned(self._course, self._state, self._number)
        number = self._done + last.rounds_off
        fits = number > 0 and (planned.by == "goal" or number <= planned.rows)
        data = {
            "mm": last.mm, "row": last.row, "rounds_off": last.rounds_off,
            "number": number if fits else None,
        }  # fmt: skip
        return Cue("reading", 0, data)

    def _tape_due(self, length: Length) -> Cue | None:
        """Said when it is due and one round before, and not again: the fact stays in its line."""
        if length.due is None or length.due - self._done not in (0, 1):
            return None
        data = {"round": length.due, "first": not length.readings}
        return Cue("measure", length.due - self._done, data)


def _among(cues: list[Cue], yarn: list[Cue]) -> tuple[Cue, ...]:
    """The cues with those of the yarn after what must be answered, and before what comes by itself."""
    first = [place for place, cue in enumerate(cues, start=1) if _comes_first(cue)]
    at = max(first, default=0)
    return (*cues[:at], *yarn, *cues[at:])


def _comes_first(cue: Cue) -> bool:
    if cue.kind == "section":
        return cue.about == "goal"
    return cue.kind not in ("needle", "end-of-round", "colour")


def _next(row: Row) -> NextSight:
    plain = all(needle.plain for needle in row.needles)
    return NextSight(row.number, row.side, row.word, plain, row.leaves)


def _needle_word(row: str, plain: bool) -> str:
    """The word of one needle's work in a row whose word is `row`."""
    return "PLAIN" if plain and row not in ("PLAIN", "RIB") else row
