"""Where a pair is: the frozen result of its replay."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, Protocol

from tracker.knitting.changes import Change
from tracker.knitting.events import Event
from tracker.knitting.worked import Worked
from tracker.pattern.model import Mark
from tracker.pattern.orders import Order
from tracker.records import NamedTuple

Number = Literal[1, 2]
BOTH: tuple[Number, Number] = (1, 2)
Verdict = Literal["", "right", "void"]
"""What she says of a reading: nothing yet, that it is right, or that it is to be left out."""


def other(number: Number) -> Number:
    """The number of the other sock."""
    return 2 if number == 1 else 1


def leads(
    ended: Sequence[int], own: Mapping[tuple[Number, int], float], number: Number, section: int
) -> int | None:
    """The count at which a section of a sock ends because the other one did; None where it need not.

    `ended` are the counts of the other's finished sections, `own` the goals of one sock alone. It need
    not where either sock has a goal of its own: what was meant for one sock alone leads nobody.
    """
    alone = (number, section) in own or (other(number), section) in own
    return None if alone or section >= len(ended) else ended[section]


class TapeReading(NamedTuple):
    """A reading as it was taken: `mm` from `mark` after `row` of a section (by index).

    `step_mm` is the grain it was given in, `rough` doubles its doubt, `event` is its number;
    `verdict` is what she said of it since.
    """

    section: int
    row: int
    mm: float
    mark: Mark
    step_mm: float
    rough: bool
    event: int
    verdict: Verdict = ""


class Lifeline(NamedTuple):
    """A thread through the stitches after `row` of a section: where ripping back stops."""

    section: int
    row: int
    event: int


class Note(NamedTuple):
    """What she wrote at a row of a section. The text is a stranger's: clean on showing."""

    section: int
    row: int
    text: str
    event: int


class Clue(NamedTuple):
    """What she sees of the fabric, besides its stitches, that says how far it is.

    `mm` is its length, from where its section is usually measured; `colour` that of the last round, with
    its `position` in the stripe (0: not counted); `pin` the rounds above the pin that is moved up; `chart`
    which row of the repeat, or of the chart, the last round was; `tail` the
    needles between the tail of the cast-on and the yarn (0: it hangs where the two working needles meet).
    """

    mm: float | None = None
    colour: str | None = None
    position: int = 0
    pin: int | None = None
    tail: int | None = None
    chart: int | None = None


class Check(NamedTuple):
    """Stitches she counted at a place: on each needle or in all, and whether they were those expected.

    `plain` is what she said of the last round, None where she said nothing.
    """

    section: int
    rows: int
    found: tuple[int, ...]
    matches: bool
    plain: bool | None
    event: int
    clue: Clue = Clue()
    asked: bool = False
    """She gave figures: where else there are as many she wants to hear, too."""
    repair: int | None = None
    """The round in which what is off is put right, where that can be."""
    after: tuple[int, int] | None = None
    """The section (by index) and round in which what an earlier count found off was put right."""
    needles: int = 0
    """Needles of the round in hand that were ticked when she counted."""


class Weighing(NamedTuple):
    """What the scale said of the yarn that is left: grams, once the pair had so many stitches made.

    `event` is its number. With a `colour` it is of that ball alone, and `in_colour` are the stitches
    that were made with it.
    """

    grams: float
    stitches: int
    event: int
    colour: str | None = None
    in_colour: int = 0

    @property
    def of_it(self) -> int:
        """Stitches that had been made with the yarn that was weighed."""
        return self.stitches if self.colour is None else self.in_colour


class Timed(NamedTuple):
    """Work between two ticks of a pair: stitches, seconds, and the rounds finished with it.

    By needles, `rounds` is 0 for a needle that does not finish one.
    """

    stitches: int
    seconds: float
    rounds: int = 1


class Placed(Protocol):
    """Where a sock is, whether in its state or while it is folded."""

    @property
    def section(self) -> int:
        """Its section, by index."""

    @property
    def rows(self) -> int:
        """Finished rows of that, row 0 among them."""

    @property
    def needles(self) -> int:
        """Needles ticked in the row in hand."""

    @property
    def into(self) -> int:
        """Stitches of the needle in hand that are worked; 0: nobody says."""

    @property
    def finished(self) -> bool:
        """Whether nothing of it is left to knit."""


class Standing(Placed, Protocol):
    """Where it is, and whether she stopped there."""

    @property
    def stopped_at(self) -> tuple[int, int, int] | None:
        """The section, rows and needles inside of which she stopped."""


def is_stopped(sock: Standing) -> bool:
    """Whether she stopped inside the needle in hand, and has not ticked it since."""
    return sock.stopped_at == (sock.section, sock.rows, sock.needles)


def is_inside(sock: Standing) -> bool:
    """Whether something of the row in hand is worked."""
    return bool(sock.needles or sock.into or is_stopped(sock))


class Sock(NamedTuple):
    """One sock: the section at hand (by index), its finished rows (row 0 among them), the
    needles ticked in the row in hand, and how many rows (row 0 left out) each finished section had.
    `corrected` is the event by which she last corrected its count (0: none); `lifelines` are in
    the order of their rounds. A reading of what was ripped is void.
    """

    section: int
    rows: int
    needles: int
    ended: tuple[int, ...]
    readings: tuple[TapeReading, ...]
    finished: bool
    corrected: int = 0
    lifelines: tuple[Lifeline, ...] = ()
    minutes: float | None = 0.0
    """Minutes of knitting on it; None once rounds were counted that nobody ticked."""
    minutes_at: tuple[float | None, ...] = ()
    """Those when each of its finished sections ended."""
    check: Check | None = None
    """The last count of its stitches."""
    notes: tuple[Note, ...] = ()
    """What she wrote on it, oldest first."""
    rests_on: str | None = None
    """What its stitches hang on while it is laid to rest; None while it is not. A stranger's text."""
    changes: tuple[Change, ...] = ()
    """What is otherwise than planned on it, oldest first; those it repeats of the other sock among them."""
    mirrored: bool = False
    """Whether it is knitted as the mirror image of the pattern."""
    into: int = 0
    """Stitches of the needle in hand that are worked, after some were taken back; 0: nobody says."""
    put_right: tuple[int, int] | None = None
    """The section (by index) and round in which a needle was put right, until the stitches are counted."""
    stopped_at: tuple[int, int, int] | None = None
    """The section (by index), rows and needles inside of which she stopped; see `stopped`."""
    other_foot: bool = False
    """Whether it is made for the other foot than the pattern's rows are: its toe is the mirror image."""

    @property
    def stopped(self) -> bool:
        """She stopped inside the needle in hand: it is begun, and has not been ticked since."""
        return is_stopped(self)

    @property
    def begun(self) -> bool:
        """Anything is worked on it."""
        return bool(self.section or self.rows or self.inside)

    @property
    def inside(self) -> bool:
        """Something of the row in hand is counted."""
        return is_inside(self)


class State(NamedTuple):
    """Both socks, the one in hand, her own goals (mm by section index), and the last work's times.

    `goals` are those of the pair, `own_goals` (by sock and section) those of one sock alone.
    `run` counts the ticks, up to the last act, that came less than 60 ms apart.
    """

    socks: tuple[Sock, Sock]
    hand: Number
    goals: Mapping[int, float]
    timed: tuple[Timed, ...]
    run: int
    last: Event
    weighings: tuple[Weighing, ...] = ()
    """The last weighings of the pair's yarn, oldest first; the stitches fall where some were ripped."""
    own_goals: Mapping[tuple[Number, int], float] = {}
    worked: Worked = Worked()
    order: Order = Order()
    """The order in which both socks are worked."""
    by_yarn: Mapping[int, int] = {}
    """Sections whose goal is as far as the yarn goes, with the event that set it."""
    counted_from: int = 0
    """The round from which turns of so many rounds are counted; see `in_turn.start`."""

    def goal(self, number: Number, section: int) -> float | None:
        """Her own goal (mm) for a section of a sock; None where the pattern's stands."""
        return self.own_goals.get((number, section), self.goals.get(section))

    def set_by_yarn(self, number: Number, section: int) -> int | None:
        """The event by which the goal of a section of a sock became as far as the yarn goes, or None."""
        return None if (number, section) in self.own_goals else self.by_yarn.get(section)

    def follows(self, number: Number, section: int) -> int | None:
        """The count at which a section of a sock ends because the other one did; None where it need not."""
        return leads(self.sock(other(number)).ended, self.own_goals, number, section)

    def sock(self, number: int) -> Sock:
        """Sock 1 or 2."""
        return self.socks[number - 1]
