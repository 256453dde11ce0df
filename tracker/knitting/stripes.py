"""The stripes' clock: which colour every round is worked in, from the counts of the sections before it.

It ticks once for every round worked on the instep (leg, a heel's set-up that says it works the instep,
rounds inside a heel, pick-up round, gusset, foot, and a toe that has no colour of its own) and stands still
over the cuff and over what of a heel is worked flat. Nothing of it is kept: it follows from where she is,
so that taking back and correcting set it right, too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from tracker.knitting.changes import Coloured
from tracker.knitting.clock import Clock
from tracker.knitting.course import Course
from tracker.knitting.state import Number, State
from tracker.pattern.colours import Colours
from tracker.pattern.letters import letters_in
from tracker.pattern.model import BIND_OFF, CLOSED_BY, CLOSING, HEEL_FLAT, LATE_HEEL, Section
from tracker.records import NamedTuple

MAIN = "the main colour"
"""What is called so where other parts have a colour and this one has none."""
_STILL = HEEL_FLAT | CLOSING | {LATE_HEEL, "cuff"}
"""Kinds of section over which the clock stands still."""
FROM_WITHIN = frozenset({"CLOSE", "OVER"})
"""Words of rows that go on to the beginning of rounds, over the instep: what lies before it rests."""
_HEEL = HEEL_FLAT | {LATE_HEEL}
"""Kinds of section that are one part, of one colour."""


class Thread(NamedTuple):
    """The colour of a row: round `position` of the `of` that its stripe has; both 0 outside stripes."""

    name: str
    position: int = 0
    of: int = 0


class Run(NamedTuple):
    """Rows of one colour, one after the other: those after `first` rows of a section, on to `last`.

    `position` is the round of its stripe that the first of them is; 0 outside stripes.
    """

    name: str
    first: int
    last: int
    position: int = 0


def is_charted(section: Section) -> bool:
    """Whether any of its rounds is worked in the colours of a chart."""
    return any(row.word == "CHART" or letters_in(row) for row in section.rows)


class Threads:
    """The colours of one sock whose sections before the one in hand ended at `ended` rows."""

    def __init__(self, course: Course, ended: Sequence[int]) -> None:
        self._course, self._colours = course, in_order(course)
        self._ended = tuple(ended)
        self._striped = self._colours.period > 0
        self._coloured = any(self._colours)
        self._charted: dict[int, bool] = {}
        self._laid: list[Coloured] = []
        """Colours laid over a part where the clock stands still."""
        self._clock = Clock(self._colours)
        if course.coloured:
            self._recolour([one for one in course.coloured if self._came_to(one)])

    def _recolour(self, changed: Sequence[Coloured]) -> None:
        """Colours that go another way, in the order of their rows."""
        self._coloured = self._coloured or any(one.name for one in changed)
        self._laid = [one for one in changed if one.name and not self.ticks(one.section)]
        moving = [self._told(one) for one in changed if one not in self._laid]
        self._clock = Clock(self._colours, moving)

    def _came_to(self, coloured: Coloured) -> bool:
        """Whether a sock comes to a row: a section that is over may have ended before it."""
        index, there = coloured.section, self._course.sections[coloured.section]
        return index >= len(self._ended) or coloured.number <= max(self._ended[index], there.first)

    def _told(self, coloured: Coloured) -> tuple[int, Coloured]:
        """A change of the clock, with the rounds on it when it comes."""
        section, first = coloured.section, self._course.sections[coloured.section].first
        rows = coloured.number - first if self.ticks(section) else 0
        return self.rounds_before(section) + rows, coloured

    def at(self, section: int, rows: int) -> Thread | None:
        """The colour of the row after `rows` rows of a section; None where no colours are told.

        Where the toe is closed there is none: it is done with the tail.
        """
        colours, kind = self._colours, self._course.sections[section].kind
        if not self._coloured or kind in CLOSED_BY:
            return None
        if self.ticks(section):
            here = self._on_the_clock(self.rounds_before(section) + rows)
            return self._in_chart(section, here)
        if self._laid and (laid := self._laid_over(section, rows)) is not None:
            return Thread(laid)
        if self._picks_up(section, rows):
            return self._on_the_clock(self.rounds_before(section))
        if kind == "toe":
            return Thread(colours.toe or (self.main if colours.letters else MAIN))
        if kind == "cuff" and not self._course.pattern.toe_up:
            return Thread(colours.cuff or self._cast_on_in)
        before = self.before(section, 0)
        goes_on = before.name if before and before.name != self.of_chart else self.main
        if kind in ("cuff", BIND_OFF):
            return Thread(colours.cuff or goes_on)
        return Thread(goes_on if self._on_the_instep(section) else colours.heel or goes_on)

    def _laid_over(self, section: int, rows: int) -> str | None:
        """The colour she laid over a part of one colour, at a row of it; None where she laid none."""
        here, part = (section, rows), self._part(section)
        over = (
            one.name
            for one in reversed(self._laid)
            if one.section in part and (one.section, self._rows_before(one)) <= here
        )
        return next(over, None)

    def _part(self, section: int) -> range:
        """The sections that are one part with it: those of a heel, else it alone."""
        sections, first, end = self._course.sections, section, section + 1
        if sections[section].kind in _HEEL:
            while first and sections[first - 1].kind in _HEEL:
                first -= 1
            while end < len(sections) and sections[end].kind in _HEEL:
                end += 1
        return range(first, end)

    def _rows_before(self, coloured: Coloured) -> int:
        return coloured.number - self._course.sections[coloured.section].first

    def before(self, section: int, rows: int) -> Thread | None:
        """The colour of the row that comes before it; None before the first row of all."""
        previous = self._previous(section, rows)
        return self.at(*previous) if previous else None

    def runs(self, section: int, first: int, last: int) -> Iterator[Run]:
        """The rows of a section after `first` of them, on to `last`, in runs of one colour, as `at` has it.

        Nothing where it has none.
        """
        kind = self._course.sections[section].kind
        if first >= last or not self._coloured or kind in CLOSED_BY:
            return
        if not self.ticks(section):
            yield from self._still(section, first, last)
            return
        clock = self.rounds_before(section)
        while first < last:
            here, other = self._on_the_clock(clock + first), self._clock.ends(clock + first)
            here = self._in_chart(section, here)
            end = min(last, first + here.of - here.position + 1) if here.of else last
            end = end if other is None else min(end, other - clock)
            yield Run(here.name, first, end, here.position)
            first = end

    def _still(self, section: int, first: int, last: int) -> Iterator[Run]:
        """The same where the clock stands still: one colour, but for rows that pick up an edge."""
        laid = (self._rows_before(one) for one in self._laid if one.section == section)
        ends = sorted({rows for rows in laid if first < rows < last} | {last})
        for end in ends:
            picked = self._course.picked_up(section, first, end)
            own = next((rows for rows in range(first, end) if rows not in picked), first)
            for rows in picked:
                yield from self._run(section, own, first, rows)
                yield from self._run(section, rows, rows, rows + 1)
                first = rows + 1
            yield from self._run(section, own, first, end)
            first = end

    def _run(self, section: int, like: int, first: int, last: int) -> Iterator[Run]:
        """Rows with the colour of row `like`, if there are any."""
        thread = self.at(section, like)
        if thread is not None and first < last:
            yield Run(thread.name, first, last, thread.position)

    def ticks(self, section: int) -> bool:
        """Whether the rounds of a section move the clock on."""
        there = self._course.sections[section]
        own = there.kind == "toe" and self._colours.toe is not None
        return there.on_instep or (
            there.worked == "rounds" and there.kind not in _STILL and not own
        )

    def rounds_before(self, section: int) -> int:
        """Rounds on the clock when a section begins."""
        return sum(self.rows(index) for index in range(section) if self.ticks(index))

    def rows(self, section: int) -> int:
        """Rows of a section that is over, row 0 among them; as planned where it is yet to come."""
        there = self._course.sections[section]
        return there.rows_to(self._ended[section] if section < len(self._ended) else there.planned)

    def slips(self, section: int, rows: int) -> bool:
        """Whether a round begins with a slipped stitch, so that the new stripe meets itself.

        That is round 2 of a stripe of two rounds or more whose colour is new, but not the pick-up round;
        and round 2 of a colour that she changed to. Not where round 1 went on from within a round: where
        round 2 begins there is no stitch of the new colour yet.
        """
        here = self.at(section, rows)
        if here is None or not self.ticks(section) or not self._is_second(section, rows, here):
            return False
        if self._course.row(section, rows).word == "PICK":
            return False
        first = (section, rows - 1) if rows else self._last_tick(section)
        if self._course.row(*first).word in FROM_WITHIN:
            return False
        before = self._previous(*first)
        while before is not None and self._picks_up(*before):
            before = self._previous(*before)
        thread = self.at(*before) if before else None
        return thread is not None and thread.name != here.name

    def _is_second(self, section: int, rows: int, here: Thread) -> bool:
        """Whether it is the second round of its stripe, or the second after a change that she told."""
        ticked, begins = self.rounds_before(section) + rows, self._clock.begins
        if here.position != 2 and not begins(ticked) and not begins(ticked - 1):
            return False
        last = self._on_the_clock(ticked - 1) if ticked else None
        first = last is not None and (last.position == 1 or begins(ticked - 1))
        return last is not None and first and last.name == here.name

    def on_the_clock(self, section: int, rows: int) -> int:
        """Rounds of the sequence behind the clock at a row; 0 where there are no stripes."""
        ticked = self.rounds_before(section) + (rows if self.ticks(section) else 0)
        return (ticked + self._clock.at(ticked).offset) % (self._colours.period or 1)

    def goes_on(self, section: int) -> object:
        """All that tells which colours the rounds from a section on have, if its rows are the same."""
        return self._clock.from_here(self.rounds_before(section))

    def ends(self, section: int, rows: int) -> Thread | None:
        """The stripe that is whole once `rows` rows of a section are done; None where none is.

        One of a single round is whole after every round: only the last of the sequence is told.
        """
        if not rows or not self.ticks(section):
            return None
        last = self.at(section, rows - 1)
        if last is None or not last.of or last.position < last.of:
            return None
        ticked = self.rounds_before(section) + rows
        there = self._clock.at(ticked - 1)
        over = not there.name and (ticked + there.offset) % self._colours.period == 0
        return last if last.of > 1 or over else None

    def _previous(self, section: int, rows: int) -> tuple[int, int] | None:
        """Section and rows before the row that comes before it."""
        while not rows and section:
            section -= 1
            rows = self.rows(section)
        return (section, rows - 1) if rows else None

    def _picks_up(self, section: int, rows: int) -> bool:
        """A row worked flat that picks up an edge, where rounds begin at the side.

        It is the beginning of the pick-up round, and has its colour.
        """
        there = self._course.sections[section]
        return there.worked == "rows" and there.row(there.first + rows).word == "PICK"

    def _on_the_instep(self, section: int) -> bool:
        """A heel's set-up that works the instep once more, where rounds begin at the side; or what leads
        to the side before a toe.
        """
        there = self._course.sections[section]
        return there.leads_to_toe or (there.kind == "heel set-up" and not there.waiting)

    @property
    def main(self) -> str:
        """The colour of what no chart and no stripe tells: the first of either."""
        stripes, letters = self._colours.stripes, self._colours.letters
        if letters:
            return letters[0][1]
        return stripes[0].name if stripes else MAIN

    @property
    def of_chart(self) -> str:
        """The colours of a chart with their letters, as the rounds worked by it are told; "" without one."""
        return ", ".join(f"{name} ({letter})" for letter, name in self._colours.letters)

    def by_name(self, letters: Mapping[str, int]) -> Counter[str]:
        """Stitches by the letters of a chart as stitches by colour; the main one's where none is told."""
        names, found = dict(self._colours.letters), Counter[str]()
        for letter, stitches in letters.items():
            found[names.get(letter, self.main)] += stitches
        return found

    def _in_chart(self, section: int, here: Thread) -> Thread:
        """The thread of a round that is worked by a chart: all its colours, unless she took another."""
        if not self._colours.letters or here.name != self.main:
            return here
        if section not in self._charted:
            self._charted[section] = is_charted(self._course.sections[section])
        return Thread(self.of_chart) if self._charted[section] else here

    @property
    def _cast_on_in(self) -> str:
        """The colour of a cuff that has none of its own: where the ball stood, else the first."""
        balls = (one.clock for one in self._course.coloured if one.ball)
        stood = next((clock for clock in balls if clock is not None), None)
        if stood is None or not self._striped:
            return self.main
        return self._colours.after(stood)[0].name

    def _on_the_clock(self, ticked: int) -> Thread:
        """The colour of the round that comes after so many."""
        there = self._clock.at(ticked)
        if there.name:
            return Thread(there.name, ticked - there.first + 1 if there.of else 0, there.of)
        if not self._striped:
            return Thread(self.main)
        stripe, position = self._colours.after(ticked + there.offset)
        return Thread(stripe.name, position, stripe.rounds)

    def _last_tick(self, section: int) -> tuple[int, int]:
        """Section and rows before the last round that moved the clock, before a section begins."""
        for index in range(section - 1, -1, -1):
            if self.ticks(index) and self.rows(index):
                return index, self.rows(index) - 1
        return 0, 0


def in_order(course: Course) -> Colours:
    """The colours of a sock, its stripes in the order in which they come on it."""
    colours = course.pattern.colours
    back = course.coloured and any(one.back for one in course.coloured)
    if not back:
        return colours
    turned = (name for _, name in colours.letters[::-1])
    letters = tuple(
        (letter, name) for (letter, _), name in zip(colours.letters, turned, strict=True)
    )
    return colours._replace(stripes=colours.stripes[::-1], letters=letters)


def threads(course: Course, state: State, number: Number) -> Threads:
    """The colours of a sock as it is."""
    sock = state.sock(number)
    return Threads(course.of(sock), sock.ended)


class Coming(NamedTuple):
    """A row ahead and its colour: `rows` rows of section `section` are done when it begins."""

    section: int
    rows: int
    thread: Thread


def ahead(course: Course, state: State, number: Number, most: int) -> Iterator[Coming]:
    """The row in hand and those after it, `most` of them and one more, as far as their colour is known.

    An open section that she alone ends goes on; one whose end is known is followed by the next.
    """
    sock = state.sock(number)
    course = course.of(sock)
    ended, rows, wanted = list(sock.ended), sock.rows, most + 1
    for section in range(sock.section, 0 if sock.finished else course.last + 1):
        count = _rows_of(course, state, number, section)
        # Past the other sock's count, too, only she ends it.
        left = wanted if count is None or count <= rows else min(count - rows, wanted)
        threads = Threads(course, ended)
        for row in range(rows, rows + left):
            thread = threads.at(section, row)
            if thread is None:
                return
            yield Coming(section, row, thread)
        wanted -= left
        if not wanted or count is None:
            return
        ended.append(course.number(section, count))
        rows = 0


def _rows_of(course: Course, state: State, number: Number, section: int) -> int | None:
    """Rows a section will have, row 0 among them; None where only she can say."""
    there, follows = course.of(state.sock(number)).sections[section], state.follows(number, section)
    if there.goal is None:
        return len(there.rows)
    return None if follows is None else there.rows_to(follows)


def stripe_ends(course: Course, state: State, number: Number) -> Thread | None:
    """The stripe that the last round done made whole, where a section's rounds move the clock."""
    sock = state.sock(number)
    here = threads(course, state, number)
    return None if sock.needles else here.ends(sock.section, sock.rows)
