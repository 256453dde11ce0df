"""What is to be knitted, explicit: sections of rows, with the work and the count of every needle.

Counts are stitches, lengths millimetres. A *round* is worked in the ring, a *row* flat; both
are a `Row` here. Row number 0 is worked but not counted (a pick-up or a set-up round).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from tracker.pattern.colours import NO_COLOURS, Colours
from tracker.pattern.orders import Order
from tracker.pattern.stages import Stage
from tracker.records import NamedTuple

FORMAT = 1
"""The newest form of plans and patterns that this Instep reads; a file that names none is of the first."""

Side = Literal["RS", "WS"]
Worked = Literal["rounds", "rows"]
Mark = Literal["cast-on", "cuff", "heel", "section"]

MARKS: Mapping[str, tuple[Mark, ...]] = {
    "cuff": ("cast-on",),
    "leg": ("cast-on", "cuff"),
    "gusset": ("heel",),
    "foot": ("heel",),
}
"""Where the tape may begin, by the kind of section; the first is meant when none is named.

The mark "section" is the beginning of a section itself, of one that is no usual part of a sock.
"""

FIRST_HALF, HEEL_ROUNDS, SECOND_HALF = "heel first half", "heel rounds", "heel second half"
"""Kinds of section of a heel of short rows; the rounds lie between halves with double stitches."""
HEEL_PLACE, LATE_HEEL = "heel place", "heel"
"""Kinds of section of an afterthought heel: the round with the waste yarn, and the heel after the toe."""
HEEL_FLAT = frozenset({"heel set-up", "flap", "turn", FIRST_HALF, SECOND_HALF})
"""Kinds of section that are a heel worked flat, on the heel needle."""
_SOCK_KINDS = HEEL_FLAT | {HEEL_ROUNDS, HEEL_PLACE, LATE_HEEL, "gusset", "foot", "toe"}
_SOCK_WORDS = r"(?i)\b(?:socks?|stockings?|heels?|foot|feet|toes?)\b"


def are_socks(
    title: str, sections: Iterable[tuple[str, str]], stages: Iterable[Stage] = ()
) -> bool:
    """Whether a pattern makes socks: it says so, or one of its (name, kind) is only a sock's.

    The sections that its stages tell of are looked at, too: they may not be there yet.
    """
    told = ((name, name) for stage in stages for name in stage.sections)
    return bool(re.search(_SOCK_WORDS, title)) or any(
        kind in _SOCK_KINDS or re.search(_SOCK_WORDS, name) for name, kind in (*sections, *told)
    )


_NAMES = r'(?m)^[ \t]*(?:name|kind)[ \t]*=[ \t]*"([^"\n]*)"'
_STAGED = r"(?m)^[ \t]*sections[ \t]*=[ \t]*\[([^\]]*)\]"
_TEXT = r'"([^"\n]*)"'


def text_is_of_socks(title: str, text: str) -> bool:
    """As `are_socks`, from the bare text of a pattern file; what was computed is a sock."""
    if "\n[numbers]" in text:
        return True
    staged = " ".join(re.findall(_STAGED, text))
    names = [*re.findall(_NAMES, text), *re.findall(_TEXT, staged)]
    return are_socks(title, ((name, name) for name in names))


AT_SIDE = frozenset({"two circulars", "long circular"})
"""Sets of needles on which a round begins at the side: A holds the instep, B heel and sole."""
ONE_NEEDLE = "short circular"
"""The set on which all of a round lies on one needle; its toe is knitted on others."""
ROUND = "round"
"""What that needle is called."""
INSTEP = "instep"
"""What the instep is called while it rests on the very needle that the heel is worked on."""
BETWEEN_MARKERS = ("sole 1", INSTEP, "sole 2")
"""What lies between the markers of that needle, where a row goes on to the heel, which is both soles."""
MOST_UNEVEN = 3
"""Pick-ups along both edges of a flap that differ by more are counted again."""


class Needle(NamedTuple):
    """One needle in one row: the work on it, in the trade's notation, and what it then holds.

    `made` counts the stitches made on it. `plain` is true where the work is what this needle
    does in any row that has nothing to say.
    """

    name: str
    work: str
    leaves: int
    made: int
    plain: bool

    @property
    def rests(self) -> bool:
        """Whether it is left alone in this row: a segment with nothing in it."""
        return not self.work


class Row(NamedTuple):
    """One round or row.

    `before` are the stitches on each needle when it begins, `leaves` those on all needles (flat:
    on the heel needle) after it. `worked` counts stitches made on the right needle (slipped and
    rested 0, a decrease 1, a picked-up stitch 1).
    """

    number: int
    side: Side | None
    needles: tuple[Needle, ...]
    leaves: int
    worked: int
    before: tuple[int, ...]
    word: str
    """What differs, in one word of at most five letters: PLAIN, RIB, DEC, INC, PICK, TURN ..."""

    @property
    def plain(self) -> bool:
        """Whether no needle that is worked does anything that wants saying."""
        return all(needle.plain or needle.rests for needle in self.needles)

    def holding(self, ticked: int = 0) -> tuple[int, ...]:
        """The stitches on every needle in this row, those that rest among them, once so many are ticked."""
        done = tuple(needle.leaves for needle in self.needles[:ticked])
        return done + self.before[ticked:]

    def working(self, needles: int) -> int:
        """The needle worked on once so many are passed, from 0; one that rests is passed over.

        Past the last it is the number of needles.
        """
        while needles < len(self.needles) and self.needles[needles].rests:
            needles += 1
        return needles


def is_split(names: Sequence[str]) -> bool:
    """Whether the first and the last of a round's parts lie on one needle, the marker inside it."""
    first, last = names[0], names[-1]
    return (
        len(names) > 1 and first[-1:] == "b" and last[-1:] == "a" and first[:-1] == last[:-1] != ""
    )


def on_each(names: Sequence[str], stitches: Sequence[int]) -> tuple[tuple[str, int], ...]:
    """The needles of a round and what each holds; one with the marker inside it is one needle.

    It stands where most of it lies: before the others or after them.
    """
    if not is_split(names):
        return tuple(zip(names, stitches, strict=True))
    whole = (names[0][:-1].rstrip(), stitches[0] + stitches[-1])
    others = tuple(zip(names[1:-1], stitches[1:-1], strict=True))
    return (whole, *others) if stitches[0] > stitches[-1] else (*others, whole)


def left_on_each(section: Section) -> tuple[int, ...]:
    """What lies on each needle once a section is done; after a heel the instep that rested beside it, too.

    Only where heel and instep have a needle each, or one together: other heels lie on one of their own.
    """
    row, waiting = section.rows[-1], section.waiting
    left = tuple(
        many
        for _, many in on_each(
            [needle.name for needle in row.needles], [needle.leaves for needle in row.needles]
        )
    )
    if len(left) != 1 or len(waiting) != 1:
        return left
    beside = {INSTEP: (waiting[0].stitches + left[0],), "A": (waiting[0].stitches, *left)}
    return beside.get(waiting[0].name, left)


CLOSED_BY = frozenset({"graft", "draw up"})
"""Kinds of the section that closes a toe: stitch against stitch, or the yarn drawn through what is left."""
HALF_SOLE = "half sole"
"""Half of the sole worked once more: from where rounds began to where a toe for one foot does."""


BIND_OFF = "bind-off"
"""The kind of the section that ends a sock from the toe up."""
CLOSING = CLOSED_BY | {BIND_OFF}
"""Kinds of a section that ends a sock or closes a toe: it makes no stitches, and leaves none."""


class Waiting(NamedTuple):
    """Stitches that rest while others are worked flat."""

    name: str
    stitches: int


class Goal(NamedTuple):
    """Where an open section ends: `mm` from `mark`, or, with `less_toe`, that less the toe; with `less_heel`
    less the heel, the gusset before it included.
    """

    mm: float
    mark: Mark
    less_toe: bool = False
    less_heel: bool = False


class Section(NamedTuple):
    """A stretch of a sock.

    `rows` are the rows as planned, row 0 first where there is one. In an open section (one with
    a goal) the last `cycle` rows repeat for as long as she goes on; the first `lead_in` of them (row 0
    left out) stand before the first repeat. `marks` say where the tape
    may be laid, the first where none is named. `counted` is false of an open section that names
    no number of rows and no gauge to reckon one from: then `planned` is no plan.
    """

    name: str
    kind: str
    worked: Worked
    needles: tuple[str, ...]
    starts: tuple[int, ...]
    waiting: tuple[Waiting, ...]
    rows: tuple[Row, ...]
    goal: Goal | None
    cycle: int
    marks: tuple[Mark, ...] = ()
    counted: bool = True
    lead_in: int = 0
    aimed: int = 0
    """Rows planned, where more of an open section are written out than that; else 0."""
    on_instep: bool = False
    """Whether its rows, though worked flat, are rounds of the instep: stripes and repeat go on over them."""

    @property
    def first(self) -> int:
        """The number of the first row: 0 where the section begins with a set-up row, else 1."""
        return self.rows[0].number

    @property
    def planned(self) -> int:
        """Rows planned, row 0 left out."""
        return self.aimed or self.rows[-1].number

    @property
    def called(self) -> str:
        """Its kind; where it is no usual part of a sock, its name."""
        return self.name if self.kind == "other" else self.kind

    @property
    def leads_to_toe(self) -> bool:
        """Whether it only goes on to where the toe begins."""
        return self.called == self.name == HALF_SOLE and self.worked == "rows"

    @property
    def varies(self) -> bool:
        """Whether its rows come again and have not all as many stitches, but in the end their own again."""
        again = self.rows[len(self.rows) - self.cycle :]
        own = again[-1].leaves
        return sum(again[0].before) == own and any(row.leaves != own for row in again)

    @property
    def shaped_to(self) -> int:
        """The last row of an open section that takes or adds stitches; 0 where none does.

        In a repeat with a changing count only the rows before it are looked at.
        """
        rows = self.rows[: self.rows_to(self.lead_in)] if self.varies else self.rows
        shaped = (row.number for row in rows if sum(row.before) != row.leaves)
        return max(shaped, default=0)

    def leaves_enough(self, number: int) -> bool:
        """Whether row `number` leaves what follows its stitches: as many as the last one planned."""
        row, last = self.row(number), self.row(self.planned)
        on, meant = ({one.name: one.leaves for one in there.needles} for there in (row, last))
        return on == meant if on.keys() == meant.keys() else row.leaves == last.leaves

    def rows_to(self, number: int) -> int:
        """Rows finished when `number` is the last of them, row 0 counted where there is one."""
        return number + 1 - self.first

    def row(self, number: int) -> Row:
        """Row `number`; past the plan of an open section the last `cycle` rows come again."""
        return self.after(number - self.first)

    def after(self, rows: int) -> Row:
        """The row that comes after so many finished rows, row 0 counted among them."""
        if rows < len(self.rows):
            return self.rows[rows]
        over = (rows - len(self.rows)) % self.cycle
        return self.rows[len(self.rows) - self.cycle + over]._replace(number=rows + self.first)


CUFF_ROW_FACTOR = 1.05
"""A cuff has this many times the swatch's rounds to a length (common practice, no source)."""


class Gauge(NamedTuple):
    """Stitches and rounds to 100 mm, and how far the row gauge may be trusted.

    `cuff_factor` and `leg_factor` are the rounds of cuff and leg to those of the swatch. `rows` are
    those of washed knitting; `grows` is the share by which washing makes it longer.
    """

    stitches: float
    rows: float
    source: str
    """ "round swatch", "flat swatch" or "ball band"."""
    cuff_factor: float = CUFF_ROW_FACTOR
    leg_factor: float = 1.0
    grows: float = 0.0

    @property
    def unwashed_rows(self) -> float:
        """Rounds to 100 mm as they come off the needles."""
        return self.rows * (1 + self.grows)


class Numbers(NamedTuple):
    """The counts a knitter asks for, as `instep plan --json` gives them (null: no such thing)."""

    cast_on: int
    cuff_rounds: int | None = None
    leg_rounds: int | None = None
    heel_stitches: int | None = None
    instep_stitches: int | None = None
    flap_rows: int | None = None
    turn_rows: int | None = None
    heel_centre: int | None = None
    after_pick_up: int | None = None
    gusset_decrease_rounds: int | None = None
    gusset_rounds: int | None = None
    foot_rounds: int | None = None
    toe_rounds: int | None = None
    graft_stitches: int | None = None
    stitches_per_sock: int = 0
    effective_ease: float | None = None


LIKENESSES = ("alike", "mirrored", "cousins")
"""How sock two may be like sock one."""
FEET = ("alike", "left and right")
"""How the toes of a pair may be shaped: one for either foot, or each sock's for its own."""


class Yarn(NamedTuple):
    """The yarn there is for the pair: its grams, and the metres of all of it; None where untold."""

    grams: float | None = None
    metres: float | None = None


class Pattern(NamedTuple):
    """A whole pattern. `gauge` is None where a hand-written pattern names none."""

    title: str
    sections: tuple[Section, ...]
    numbers: Numbers
    gauge: Gauge | None
    unit: Literal["mm", "cm", "in"]
    hand: str
    needle_set: str
    text: str
    """The pattern file, word for word: what is kept, hashed and audited."""
    of_socks: bool = True
    """False of a hat, a scarf, a pair of mittens: what is no sock is not called one."""
    colours: Colours = NO_COLOURS
    yarn: Yarn | None = None
    """None where the plan tells of no yarn."""
    stages: tuple[Stage, ...] = ()
    order: Order = Order()
    spare_set: str = ""
    """The second set of needles she has, in her own words; "" where none is named."""
    needle_mm: float | None = None
    """The size of its needles, where that is told."""
    at_side: bool = False
    """Whether a round begins at the side; else at the centre back, or wherever the pattern has it."""
    gap: int = 1
    """Stitches picked up in the gap beside each edge of the flap."""
    likeness: str = "alike"
    """How sock two is like sock one: one of LIKENESSES."""
    feet: str = "alike"
    """How the toes are shaped: one of FEET."""
    toe_up: bool = False
    """Whether it is knitted from the toe up."""
    goes_on: bool = False
    """Whether the leg's repeat goes on down the foot, from where the leg ended."""
    turned: bool = False
    """Whether its toe is the mirror image of the one that was written: that of sock two."""
    other_way: bool = False
    """Whether its rows are those that were written, taken the other way round: a mirrored sock two's."""

    @property
    def repeat_begins(self) -> int | None:
        """The index of the leg, or foot, whose repeat goes on past the heel; None where none does."""
        if not self.goes_on:
            return None
        kinds = [section.kind for section in self.sections]
        one, other = ("foot", "leg") if self.toe_up else ("leg", "foot")
        if one not in kinds or other not in kinds[kinds.index(one) :]:
            return None
        at = kinds.index(one)
        same = self.sections[at].cycle == self.sections[kinds.index(other)].cycle > 1
        return at if same else None

    @property
    def of_feet(self) -> bool:
        """Whether each sock is made for its own foot, so that sock two has another toe."""
        return self.feet != "alike"

    @property
    def foot(self) -> Literal["", "left", "right"]:
        """The foot that it is shaped for; "" where both feet are shaped alike.

        Where sock one's instep begins lies the big toe: on the left foot, where a right-handed knitter
        works it from right to left; on the right one for her whose work goes the other way. From the toe
        up the instep is seen upside down, and begins at its other edge.
        """
        if not self.of_feet:
            return ""
        return "left" if ((self.hand == "left") == self.turned) != self.toe_up else "right"

    @property
    def gusset_word(self) -> str:
        """The word of the rounds that shape a gusset: it narrows, and from the toe up it grows."""
        return "INC" if self.toe_up else "DEC"

    @property
    def in_a_ring(self) -> bool:
        """Whether it is cast on in a ring that is drawn together: at the tip of a star or a round toe."""
        first = self.sections[0]
        grows = (needle.work for row in first.rows for needle in row.needles)
        return self.toe_up and first.kind == "toe" and any("kfb" in work for work in grows)

    def begins_at_side(self, section: Section) -> bool:
        """Whether a section's rounds begin at the side: always in a toe for one foot, and inside a heel."""
        if section.kind in (HEEL_ROUNDS, LATE_HEEL) and section.worked == "rounds":
            return True
        return self.at_side or (self.of_feet and section.kind in ("toe", *CLOSED_BY))
