"""What she sees: done, next, needles, length, what is left, the other sock, cues.

Plain data of bounded size, computed from pattern and state and nothing else. The needles
screen, the quick check and `instep left --json` are three ways of writing this one value.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from tracker.forecast.ball import YarnSight as YarnSight
from tracker.forecast.finish import Due
from tracker.keys import OUT_OF_THE_BOX
from tracker.knitting.cues import Cue
from tracker.knitting.state import Clue
from tracker.knitting.step import Differs as Differs
from tracker.pattern.model import Mark, Side, Waiting, Worked, is_split, on_each
from tracker.pattern.turned_sides import Sides
from tracker.records import NamedTuple


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
    ribbed: bool = False
    """Whether its work, where that has a stretch in brackets and is not plain, is known to be in rib."""


class NextSight(NamedTuple):
    """The row in hand or to come: its number, side (flat only), its word, its count at the end."""

    number: int
    side: Side | None
    word: str
    plain: bool
    leaves: int


class ColourSight(NamedTuple):
    """The colour of the row at hand: round `position` of the `of` its stripe has (0 outside stripes).

    `then` is the colour that comes after it, `when` rows on; None where none is in view. Names are a
    stranger's text.
    """

    name: str
    position: int
    of: int
    then: str | None
    when: int | None


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
    go at 5, 50 and 95 %; low and high are None while nothing can be said, likely too where nobody has
    counted the rows. `ends_low` and
    `ends_high` are the lengths (mm, 5 and 95 %) at which `likely` will end. `goal_row` is the row
    at which the goal is likely reached, even where that is behind her. `due` is the row of the
    next reading, behind her or ahead; `after_mm` the toe's length where the goal includes it.
    """

    mm: float
    sd_mm: float
    mark: Mark
    target_mm: float | None
    low: int | None
    likely: int | None
    high: int | None
    ends_low_mm: float | None
    ends_high_mm: float | None
    measure_at: int | None
    readings: tuple[ReadingSight, ...]
    """The last READINGS_SHOWN of this section."""
    goal_row: int | None = None
    due: int | None = None
    after_mm: float = 0.0
    whole_what: Literal["repeat", "stripe"] = "repeat"
    whole: tuple[tuple[int, float], ...] = ()
    """Rows about the goal at which a repeat or a stripe is whole, with the length (mm) there."""
    grows: float = 0.0
    """The share by which washing makes it longer: all lengths here are those on the needles."""


class GoalSight(NamedTuple):
    """What is known of a length while no gauge is, and the tape has not told one.

    `target_mm` is where the section ends, from `mark`, or None; `taken` counts the readings so
    far, `due` is the row at which to lay the tape next.
    """

    mark: Mark
    target_mm: float | None
    taken: int
    due: int


class PlaceSight(NamedTuple):
    """A place where she may be: rows done of a section, `needle` the next to be worked inside a round.

    `at` is the index of its section, `inside` are the needles ticked in that round. `any_row` is true
    where every row leaves the same, `plain` whether the last round was a plain one.
    """

    section: str
    kind: str
    worked: Worked
    row: int
    needle: str | None
    inside: int
    any_row: bool
    plain: bool | None
    at: int
    above: int | None = None
    """Plain rounds above the last decrease; None where its section has none before it."""
    until: int | None = None
    """The last of the rows that leave the same, where those of a whole section do not."""


class CountSight(NamedTuple):
    """The stitches counted just now, those expected, and where she may be if they differ.

    Where they do not, `places` are this one and those nearby that have as many, if there are any.
    `by_fabric` is true where she said what she sees of the fabric besides: a length, a colour, a pin.
    """

    expected: tuple[int, ...]
    found: tuple[int, ...]
    matches: bool
    places: tuple[PlaceSight, ...]
    by_fabric: bool = False
    near: bool = False
    """Whether the likeliest place is in this section, or a few rounds away."""
    after: tuple[str, int] | None = None
    """The section, a stranger's text, and the round in which what was off before was put right."""
    tail: int | None = None
    """The needles between the tail and the yarn, where she said no more than that."""
    edges: tuple[int, int] | None = None
    """The chains along both edges, where it shows after the pick-up that they are not as planned."""
    picked_up: bool = False
    """The pick-up round is the last one done, so that edges may be otherwise."""
    ticked: int = 0
    """Needles of the round in hand that are ticked."""
    clue: Clue = Clue()
    """What she said of the fabric."""
    slipped: bool = False
    """The places are those of the fabric alone: a stitch or two that she counted is off at all of them."""
    but: tuple[int, int] | None = None
    """The needle, from 1, on which a stitch is too many (1) or too few (-1) at the likeliest place."""
    sides: bool = False
    """What lies beside the worked stitches of a short-row heel was counted, and no needles."""
    beside: Sides | None = None
    """What is to lie there where that was counted in the rounds inside the heel."""


class SmallGoal(NamedTuple):
    """What is near: so many rounds, or rows, to it, and minutes of that. "" is the next row itself."""

    what: str
    more: int
    minutes: int
    worked: Worked


class TimeSight(NamedTuple):
    """Minutes left of this sock and of all there is to knit, and the days until then.

    `known` is false until the pace is her own; `today` is her day (days since 1970), `stage` the
    stage in hand. `ahead` are the minutes by which sock two is ahead of where sock one was after as
    much knitting. `next_goal` is a small one for whoever comes back after a day or more, in under ten
    minutes.
    """

    sock: int | None
    all: int | None
    per_minute: float
    known: bool
    days: tuple[int, int] | None
    today: int
    stage: Due | None = None
    ahead: float | None = None
    next_goal: SmallGoal | None = None


class SockSight(NamedTuple):
    """One sock of the pair: where it is, and its share of the stitches of a whole sock, 0 to 1.

    `planned` is None where nobody can say yet how many rows the section will have.
    """

    sock: Literal[1, 2]
    section: str
    done: int
    planned: int | None
    share: float
    begun: bool
    finished: bool
    waits: bool = False
    """At the end of the pattern so far, which is not the end of the piece: the next stage is to come."""


class UsedUpSight(NamedTuple):
    """What a sock rests with at the end of the pattern so far: what each needle holds, and what waits.

    `number` is that of the next stage and `opens` the day it is given out (since 1970), as far as they
    were told; `today` is her day. `both` is true where the other sock rests there, too, with `other_held`
    and `other_waiting`.
    """

    held: tuple[Waiting, ...]
    waiting: tuple[Waiting, ...]
    number: int | None
    opens: int | None
    today: int
    both: bool
    bring: str = ""
    knit_by: int | None = None
    """The day by which the next stage is to be knitted (since 1970), as far as that was told."""

    other_held: tuple[Waiting, ...] = ()
    other_waiting: tuple[Waiting, ...] = ()

    @property
    def is_out(self) -> bool:
        """Whether the next stage was given out already, by the day that was told for it."""
        return self.opens is not None and self.opens <= self.today

    @property
    def due_in(self) -> int | None:
        """Days to its date, below 0 once that is past; None where none was told."""
        return None if self.knit_by is None else self.knit_by - self.today

    @property
    def counts(self) -> str:
        """ "16/16/16/16"."""
        return "/".join(str(needle.stitches) for needle in self.held)

    @property
    def stitches(self) -> int:
        """Those on the needles."""
        return sum(needle.stitches for needle in self.held)


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
    into: int = 0
    """Stitches worked of the needle in hand, where some were taken back one by one; of `into_of`."""
    into_of: int = 0
    stopped: bool = False
    """She stopped inside the needle in hand, however many of its stitches are worked."""


class Glance(NamedTuple):
    """All she needs in two seconds. Names and titles are still a stranger's text: clean on showing."""

    pair: str
    title: str
    unit: Literal["mm", "cm", "in"]
    hand: str
    needle_set: str
    at_side: bool
    """Whether a round begins at the side: the instep comes first; else at the centre back."""
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
    of_socks: bool = True
    """False where the pattern makes no socks: then no piece is called one."""
    foot: Literal["", "left", "right"] = ""
    """The foot that this sock's toe is shaped for; "" where both are shaped alike."""
    toe_up: bool = False
    """Whether it is knitted from the toe up."""
    chart_row: int = 0
    """The row of the leg's repeat that the round in hand works, on the instep after the leg; 0: none."""
    shaped_to: int = 0
    """The last round that shapes the open section in hand, before which it does not end; 0: none does."""
    in_a_ring: bool = False
    """Whether it is cast on in a ring that is drawn together."""
    turned: bool = False
    """Whether its toe is the mirror image of sock one's: its inner edge lies where the instep ends."""
    unmeasured: GoalSight | None = None
    """Stands for `length` where that is not known yet."""
    colour: ColourSight | None = None
    """None where the pattern tells no colours, and at the graft."""
    colours: tuple[str, ...] = ()
    """The names of the pattern's colours, in the order in which they come; a stranger's text."""
    yarn: YarnSight | None = None
    """None where none is told and none was weighed."""
    time: TimeSight | None = None
    """None once all is finished."""
    both: bool = False
    """Both socks are worked together, and are at one place: what is done counts for both."""
    rests_on: str | None = None
    """What the stitches of this sock hang on while it is laid to rest. A stranger's text."""
    sides: Sides | None = None
    """In a half of a short-row heel what lies beside the worked stitches; else None."""
    behind: int | None = None
    """In such a half the stitches that lie unworked behind where the next row begins."""
    follows: str = ""
    """The kind of the section that comes next."""
    counted: CountSight | None = None
    """What was counted, as long as nothing was done after it."""
    differs: Differs | None = None
    """The first thing in which the socks are not in step."""
    meant: int = 0
    """How much of what differs so far is meant for one sock alone."""
    used_up: UsedUpSight | None = None
    """Where this sock is at the end of the pattern so far, which is not that of the piece."""
    whole: bool = True
    """Whether the pattern is all there: of one that comes in stages nobody knows how much is to come."""
    keys: Mapping[str, str] = OUT_OF_THE_BOX.shown
    """The key of each act, as it is named to her at the needles."""

    @property
    def on_each(self) -> tuple[tuple[str, int], ...]:
        """The needles in work and what each holds now; one with the marker inside it is one needle."""
        told = self.needles
        return on_each([one.name for one in told], [one.stitches for one in told]) if told else ()

    @property
    def split(self) -> bool:
        """Whether the marker lies inside a needle, which is then worked in two parts."""
        return bool(self.needles) and is_split([needle.name for needle in self.needles])


class Shown(NamedTuple):
    """What a glance says of a pair beside pattern and state: its short name, its setting, how many
    events are recorded (those taken back among them), and milliseconds since the last.
    """

    pair: str
    counting: Literal["rounds", "needles"]
    events: int
    idle: int = 0
    today: int = 0
    """Her day: days since 1970 by her clock."""
    rest: bool = True
    """Whether she wants to be reminded to rest her hands."""
    keys: Mapping[str, str] = OUT_OF_THE_BOX.shown
    """The key of each act, as it is named to her at the needles."""
