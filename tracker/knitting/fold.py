"""The fold: live acts, one after the other, into the state of a pair.

It works in a private accumulator, which is copied at keyframes and frozen on reading.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, cast, get_args

from tracker.knitting import in_turn, pair, shares, turns
from tracker.knitting.changes import Change, Coloured, Kind, Laid, Rewritten
from tracker.knitting.course import Course
from tracker.knitting.events import (
    AS_FAR,
    LONGEST_NOTE,
    MOST_G,
    MOST_NEEDLES,
    MOST_ROUNDS,
    MOST_STITCHES,
    MOST_TICKS,
    Event,
)
from tracker.knitting.hand import LIFELINES_KEPT, NOTES_KEPT, Hand, Stands
from tracker.knitting.state import (
    BOTH,
    Check,
    Clue,
    Lifeline,
    Note,
    Number,
    State,
    TapeReading,
    Timed,
    Weighing,
    leads,
    other,
)
from tracker.knitting.worked import Working
from tracker.pattern.colours import LONGEST_NAME
from tracker.pattern.model import Mark, Row
from tracker.pattern.orders import Order, read_order
from tracker.records import NamedTuple
from tracker.units import LONGEST_MM

if TYPE_CHECKING:
    from tracker.knitting.tinking import Tinked

HELD_MS = 60
"""Ticks closer together than this come from a key held down."""
CATCHING_UP_SECONDS = 0.3
"""Below so many seconds a stitch nobody knits: such ticks catch up, and time nothing."""
GAP_SECONDS = 600.0
"""Longer between two ticks is a pause (a round; many rounds in one act have as many)."""
USUAL_PACE = 25.0
"""Stitches a minute where nobody knows how long it took."""
TIMES_KEPT = 40
"""How many timed pieces of work the state carries."""


READINGS_KEPT = 60
"""How many tape readings of a sock the state carries: the last, for what is left goes by them."""


WEIGHINGS_KEPT = 60
"""How many weighings of a pair's yarn the state carries: the last."""


class UnknownAct(Exception):
    """An act this version cannot replay."""


class Walked(NamedTuple):
    """What a tick did: how many it was asked for and did, and the stitches made."""

    done: int
    stitches: int
    rounds: int
    by_sock: tuple[int, int]
    """The stitches made on each sock."""


class Fold:
    """The accumulator. `apply` takes live acts in order; `freeze` gives the state."""

    def __init__(self, course: Course) -> None:
        self._course = course
        self._socks = (Hand(course.on(1)), Hand(course.on(2)))
        self._hand: Number = 1
        self._goals: dict[int, float] = {}
        self._own_goals: dict[tuple[Number, int], float] = {}
        self._by_yarn: dict[int, int] = {}
        self._order = course.pattern.order
        self._counted_from = 0
        self._timed: deque[Timed] = deque(maxlen=TIMES_KEPT)
        self._ticked_at: int | None = None
        self._worked = Working()
        self._run = 0
        self._last: Event | None = None
        self._weighings: tuple[Weighing, ...] = ()
        self._patterns = 0

    @property
    def course(self) -> Course:
        """The course in force: that of the last pattern told, without what is otherwise on either sock."""
        return self._course

    def copy(self) -> Fold:
        """An accumulator of its own with the same state."""
        twin = object.__new__(Fold)
        twin.__dict__.update(self.__dict__)
        twin._socks = (self._socks[0].copy(), self._socks[1].copy())
        twin._goals, twin._own_goals = dict(self._goals), dict(self._own_goals)
        twin._by_yarn, twin._timed = dict(self._by_yarn), self._timed.copy()
        twin._worked = self._worked.copy()
        return twin

    def freeze(self) -> State:
        """The state after the acts applied so far (at least one)."""
        assert self._last is not None  # noqa: S101 - a pair begins with its started event
        socks = (self._socks[0].freeze(), self._socks[1].freeze())
        if self._course.pattern.likeness == "mirrored":
            socks = socks[0], socks[1]._replace(mirrored=True)
        if self._course.pattern.of_feet:
            socks = socks[0], socks[1]._replace(other_foot=True)
        return State(
            socks, self._hand, dict(self._goals), tuple(self._timed), self._run, self._last, self._weighings,
            dict(self._own_goals), self._worked.freeze(), self._order, dict(self._by_yarn),
            self._counted_from,
        )  # fmt: skip

    @classmethod
    def thaw(cls, course: Course, state: State, ticked_at: int | None, patterns: int) -> Fold:
        """The accumulator that froze into a state, was ticked last then (ms UTC), and told so many patterns.

        The course is that of the last of them. Raises ValueError where the state is none on it.
        """
        fold = cls(course)
        one, two = state.socks
        fold._socks = (Hand.thaw(course.on(1), one), Hand.thaw(course.on(2), two))
        fold._hand, fold._last, fold._run = state.hand, state.last, state.run
        fold._goals, fold._own_goals = dict(state.goals), dict(state.own_goals)
        fold._by_yarn, fold._order = dict(state.by_yarn), state.order
        fold._timed.extend(state.timed)
        fold._worked, fold._ticked_at = Working(state.worked), ticked_at
        fold._weighings, fold._counted_from = state.weighings, state.counted_from
        fold._patterns = patterns
        sections = [*fold._goals, *fold._by_yarn, *(section for _, section in fold._own_goals)]
        if not all(0 <= section <= course.last for section in sections):
            raise ValueError("there is no such section")
        return fold

    @property
    def ticked_at(self) -> int | None:
        """When it was ticked last (ms UTC); None before the first tick."""
        return self._ticked_at

    @property
    def patterns(self) -> int:
        """How many patterns were told since the pair was begun."""
        return self._patterns

    @property
    def order(self) -> Order:
        """The order of work in force."""
        return self._order

    @property
    def works_in_rounds(self) -> bool:
        """Whether the section that the sock in hand is in is worked in rounds."""
        hand = self._socks[self._hand - 1]
        return hand.course.sections[hand.section].worked == "rounds"

    @property
    def hand(self) -> Number:
        """The sock in hand."""
        return self._hand

    def rows(self) -> tuple[tuple[int, int], tuple[int, int]]:
        """The section that each sock is in, and its finished rows."""
        one, two = self._socks
        return (one.section, one.rows), (two.section, two.rows)

    def stands(self) -> tuple[Number, Stands, Stands]:
        """The sock in hand, and where both are: of the state no more than that."""
        one, two = self._socks
        return self._hand, one.stands, two.stands

    def apply(self, event: Event) -> None:
        """Fold one live act in.

        Raises UnknownAct for a kind this version does not replay, and KeyError, ValueError, TypeError,
        IndexError or OverflowError where its fields are not those of its kind.
        """
        act = _ACTS.get(event.kind)
        if act is None:
            raise UnknownAct(event.kind)
        if event.kind != "tick":
            self._run = 0
        act(self, event)
        data = event.data
        if "inside" in data:
            _place_inside(self._of(event), data["inside"])
        if "inside_there" in data:
            _place_inside(self._socks[2 - event.sock], data["inside_there"])
        self._last = event

    # What each kind of act does

    def _started(self, event: Event) -> None:
        """The pair begins with nothing on the needles."""

    def _note(self, event: Event) -> None:
        hand = self._of(event)
        row = hand.course.number(hand.section, hand.rows)
        hand.notes.append(Note(hand.section, row, str(event.data["text"]), event.number))
        del hand.notes[:-NOTES_KEPT]

    def _rest(self, event: Event) -> None:
        hand = self._of(event)
        if "into" in event.data:
            hand.stop_inside(_whole(event.data["needles"]), _whole(event.data["into"]))
        else:
            hand.rests_on, hand.stopped_at = str(event.data["text"]), None

    def _tick(self, event: Event) -> None:
        if "acts" in event.data:
            # Moved over from the other sock: as if they had been made here, each at its time.
            for act in tuple(event.data["acts"]):
                self._tick(event._replace(at=_time_of(act), data=act))
            return
        walked, number = self.walk(event), _sock(event.sock)
        hers = self._socks[number - 1]
        hers.rests_on = hers.stopped_at = None
        if walked.by_sock[2 - number]:
            theirs = self._socks[2 - number]
            theirs.rests_on = theirs.stopped_at = None
        self._time(event, walked)

    def _end(self, event: Event) -> None:
        both = (event.sock, other(_sock(event.sock)))
        for sock in both if event.data.get("both") else both[:1]:
            self.end(event._replace(sock=sock))
            hand = self._socks[sock - 1]
            hand.rests_on = hand.stopped_at = None
            hand.note_minutes(hand.minutes)

    def _order_of_work(self, event: Event) -> None:
        self._order = read_order(str(event.data["order"]))
        one, two = (
            in_turn.come(hand.course, hand, hand.ended, begun_row=False) for hand in self._socks
        )
        self._counted_from = in_turn.start(one, two)

    def _target(self, event: Event) -> None:
        number, mm = _sock(event.sock), _length(event)
        section = _whole(event.data.get("section", self._of(event).section))
        if not 0 <= section <= self._course.last:
            raise ValueError("there is no such section")
        if event.data.get("only"):
            self._own_goals[number, section] = mm
            return
        self._goals[section] = mm
        self._by_yarn.pop(section, None)
        if event.data.get("text") == AS_FAR:
            self._by_yarn[section] = event.number
        for which in (number, other(number)):
            if section >= len(self._socks[which - 1].ended):
                # One that is over keeps the goal it was knitted to.
                self._own_goals.pop((which, section), None)

    def _measure(self, event: Event) -> None:
        hand, data = self._of(event), event.data
        hand.readings.append(
            TapeReading(
                hand.section, hand.course.number(hand.section, hand.rows), _length(event),
                _mark(data["from"]), _step(data.get("step", 0)), bool(data.get("rough")), event.number,
            )
        )  # fmt: skip
        del hand.readings[:-READINGS_KEPT]

    def _at(self, event: Event) -> None:
        hand, before = self._of(event), self._made() if self._weighings else 0
        section, rows = _whole(event.data.get("section", hand.section)), _whole(event.data["round"])
        if not (0 <= section <= self._course.last and 0 <= rows <= MOST_ROUNDS):
            raise ValueError("there is no such round")
        hand.corrected, was = event.number, (hand.section, hand.rows)
        hand.put_right = hand.stopped_at = None
        if section == hand.section:
            hand.move_readings(rows, _whole(event.data.get("of", 0)))
        skipped = [self._count_of(event.sock, index) for index in range(len(hand.ended), section)]
        hand.ended = (hand.ended + skipped)[:section]
        hand.section, hand.needles, hand.into, hand.finished = section, 0, 0, False
        hand.rows = hand.course.sections[section].rows_to(rows)
        self._end_by_itself(event.sock)
        inside = _whole(event.data.get("needles", 0))
        if inside:
            if not 0 < inside < len(hand.course.row(hand.section, hand.rows).needles):
                raise ValueError("there is no such needle")
            hand.needles = inside
        if (section, hand.rows) > was:
            hand.minutes = None  # nobody timed the rounds that are counted only now
        hand.note_minutes(None)
        if self._weighings:
            # The fabric is what it was: nothing was weighed at stitches that are not there.
            made, by_colour = self._made(), self._made_by_colour()
            self._weighings = tuple(
                weighed._replace(
                    stitches=min(weighed.stitches, made),
                    in_colour=min(weighed.in_colour, by_colour[weighed.colour or ""]),
                )
                if weighed.stitches <= before
                else weighed  # what was ripped since had been weighed
                for weighed in self._weighings
            )

    def _changed(self, event: Event) -> None:
        hand, on, change = (
            self._of(event),
            self._socks[2 - event.sock],
            _change(event, self._course),
        )
        stays = tuple(_without(hand.changes, change))
        again = {mine.event for mine in hand.changes} - {mine.event for mine in stays}
        hand.change((*stays, change))
        if event.data.get("at_once"):
            # The one takes the other's place in one step, so that what comes out on either stays.
            left = tuple(_left_of(on, again))
            more = _again(change, on, left) if change.repeat else None
            on.change_soundly((*left, *((more,) if more else ())))
            return
        self._withdraw(again, on)
        if change.repeat:
            self._repeat(change, on)

    def _repeat(self, change: Change, on: Hand) -> None:
        """The other sock repeats a change where it has not come to that row, nor has one of its own."""
        again = _again(change, on, on.changes)
        if again is not None:
            on.change_soundly((*on.changes, again))

    def _copy(self, event: Event) -> None:
        """Whether a change that was told is repeated on the other sock, where that has not come to it."""
        of, repeat = _whole(event.data["of"]), bool(event.data["copy"])
        for hand, on in (self._socks, self._socks[::-1]):
            for change in hand.changes:
                if change.event == of and not change.repeats:
                    again = change._replace(repeat=repeat, there=_there(event.data, self._course))
                    hand.change(again if mine is change else mine for mine in hand.changes)
                    self._withdraw([of], on)
                    # What it repeated already is then its own: alike, or meant for each alone.
                    on.change(
                        mine._replace(repeat=repeat) if mine.event == of else mine
                        for mine in on.changes
                    )
                    if repeat and all(mine.event != of for mine in on.changes):
                        self._repeat(again, on)
                    return
        raise ValueError("there is no such change")

    def _withdraw(self, events: Collection[int], on: Hand) -> None:
        """What the other sock was to repeat of these changes it need not, where it has not come to it."""
        if not events:
            return
        on.change_soundly(_left_of(on, events))

    def _count(self, event: Event) -> None:
        hand, plain = self._of(event), event.data.get("plain")
        found = tuple(map(_whole, event.data["found"]))
        clue = _clue(event, self._courses())
        bare = not found and clue == Clue()
        if bare or len(found) > MOST_NEEDLES or min(found, default=0) < 0:
            raise ValueError("there is no such count")
        _check_answered(event.data.get("answered"))
        matches, asked = bool(event.data["matches"]), bool(event.data.get("asked"))
        hand.check = Check(
            hand.section, hand.rows, found, matches, plain, event.number, clue, asked,
            *_repaired(event.data, self._course), hand.needles,
        )  # fmt: skip
        hand.put_right = None

    def _answer(self, event: Event) -> None:
        hand, of, how = self._of(event), _whole(event.data["of"]), event.data["as"]
        if how == "count":
            _whole(event.data.get("by", 0))
            self._at(event)
            return
        if how not in ("right", "void") or all(taken.event != of for taken in hand.readings):
            raise ValueError("there is no such reading")
        hand.readings = [
            taken._replace(verdict=how) if taken.event == of else taken for taken in hand.readings
        ]

    def _rip(self, event: Event) -> None:
        hand, section, number = (
            self._of(event),
            _whole(event.data["section"]),
            _whole(event.data["round"]),
        )
        if not (0 <= section <= hand.section and 0 <= number <= MOST_ROUNDS):
            raise ValueError("there is no such round to go back to")
        before = {change.event for change in hand.changes if not change.repeats}
        hand.rip(section, number, _inside(event, hand))
        hand.rests_on = hand.stopped_at = None
        gone = before - {change.event for change in hand.changes}
        if gone:
            self._withdraw(gone, self._socks[2 - event.sock])
        if not hand.inside:
            self._end_by_itself(event.sock)

    def _lifeline(self, event: Event) -> None:
        section, number = _whole(event.data["section"]), _whole(event.data["round"])
        if not (0 <= section <= self._course.last and 0 <= number <= MOST_ROUNDS):
            raise ValueError("there is no such round for a lifeline")
        lines = self._of(event).lifelines
        lines.append(Lifeline(section, number, event.number))
        lines.sort(key=lambda line: line[:2])
        del lines[:-LIFELINES_KEPT]

    def _restart(self, event: Event) -> None:
        """The sock begins anew; its goals and those of the pair stay."""
        old, number = self._of(event), _sock(event.sock)
        new = Hand(self._course.on(_sock(event.sock)))
        new.notes = list(old.notes)
        new.readings = [taken._replace(verdict="void") for taken in old.readings]
        self._withdraw([change.event for change in old.changes], self._socks[2 - number])
        self._socks = (new, self._socks[1]) if number == 1 else (self._socks[0], new)
        for change in self._socks[2 - number].changes:
            if change.repeat and not change.repeats:
                self._repeat(change._replace(there=None), on=new)

    def _weigh(self, event: Event) -> None:
        grams = float(event.data["grams"])
        if not 0 < grams <= MOST_G:
            raise ValueError(f"{grams} g is no weight of yarn")
        weighed = Weighing(grams, self._made(), event.number)
        if "colour" in event.data:
            colour = _colour(event.data["colour"], self._courses())
            in_colour = self._made_by_colour()[colour]
            weighed = weighed._replace(colour=colour, in_colour=in_colour)
        self._weighings = (*self._weighings[1 - WEIGHINGS_KEPT :], weighed)

    def _made(self) -> int:
        """Stitches of the pair made up to the needle."""
        state = self.freeze()
        return pair.made(self._course, state, 1) + pair.made(self._course, state, 2)

    def _made_by_colour(self) -> Counter[str]:
        """The same by colour; empty where no colours are told."""
        if not any(self._course.pattern.colours) and not any(
            hand.course.coloured for hand in self._socks
        ):
            return Counter()
        state = self.freeze()
        one, two = (shares.made_by_colour(self._course, state, number) for number in BOTH)
        return one + two

    def _courses(self) -> tuple[Course, ...]:
        """The pattern's course and that of each sock: what colours there are follows from them."""
        return self._course, *(hand.course for hand in self._socks)

    # The pattern

    def _append(self, event: Event) -> None:
        """The pattern goes on: of what was there all stays."""
        from tracker.knitting import growing

        course, before = self._next_course(event), self._worn_on_two()
        growing.check_grown(self._course, course)
        self._course = course
        for number, hand, called in zip(BOTH, self._socks, growing.names(course), strict=True):
            try:
                hand.go_on(course.on(number))
            except ValueError as bad:
                why = f"with what was changed on {called} it does not come out: {bad}"
                raise growing.DoesNotFit(why) from None
        self._check_mirrored(*before)

    def _replan(self, event: Event) -> None:
        """A new pattern for what is not knitted yet; goals go along with their sections."""
        from tracker.knitting import growing

        was, course, before = self._course, self._next_course(event), self._worn_on_two()
        moved = growing.Moved.between(was, course)
        ended = tuple(len(hand.ended) for hand in self._socks)
        for number, hand, called in zip(BOTH, self._socks, growing.names(was), strict=True):
            hand.take_up(course.on(number), moved, called)
        goes = growing.Goals(was, course, moved)
        self._own_goals = {
            (number, goes.place(at, mm, over=at < ended[number - 1])): mm
            for (number, at), mm in self._own_goals.items()
        }
        by_yarn = {moved.to[at]: of for at, of in self._by_yarn.items() if at in moved.to}
        self._goals = {
            goes.place(at, mm, over=at < min(ended)): mm for at, mm in self._goals.items()
        }
        self._by_yarn, self._course = by_yarn, course
        self._check_mirrored(*before)
        for number, hand in zip(BOTH, self._socks, strict=True):
            if not hand.finished and hand.rows and course.sections[hand.section].goal is None:
                self._end_by_itself(number)
                hand.note_minutes(hand.minutes)

    def _worn_on_two(self) -> tuple[Course, Hand]:
        """The course that sock two is knitted by, mirrored where the pair is; and where it is now."""
        hand = self._socks[1]
        mirrored = self._course.pattern.likeness == "mirrored"
        return hand.course.mirror if mirrored else hand.course, hand.copy()

    def _check_mirrored(self, was: Course, hand: Hand) -> None:
        """Refuse, with DoesNotFit, finished rows of sock two that would be mirrored otherwise than before."""
        from tracker.knitting import growing

        now, _ = self._worn_on_two()
        growing.check_finished(was, now, hand, growing.names(self._course)[1])

    def _next_course(self, event: Event) -> Course:
        from tracker.knitting import growing

        self._patterns += 1
        if self._patterns > growing.MOST_PATTERNS:
            raise growing.DoesNotFit(
                f"a pair has at most {growing.MOST_PATTERNS} stages; begin another"
            )
        growing.check_told(event.data.get("sections", []))
        return growing.course_of(event.data["pattern"], self._course)

    def _other(self, event: Event) -> None:
        self._hand = _sock(event.data["to"])

    # Walking

    def walk(self, event: Event) -> Walked:
        """Do a tick's rounds or needles as far as the sock goes; say how far that was.

        One for both socks is done on both, or on the one whose needle comes next.
        """
        by_needle = "needles" in event.data
        asked = _whole(event.data["needles" if by_needle else "rounds"])
        if not 0 < asked <= MOST_TICKS:
            raise ValueError(f"{asked} at once cannot be")
        if event.data.get("both"):
            return self._walk_both(event, asked, by_needle=by_needle)
        number, made, rounds, done = _sock(event.sock), 0, 0, 0
        hand, work = self._socks[number - 1], self._needle_done if by_needle else self._row_done
        while done < asked and not hand.finished:
            stitches, finished = work(number)
            made, rounds, done = made + stitches, rounds + finished, done + 1
        return Walked(done, made, rounds, (made, 0) if number == 1 else (0, made))

    def _walk_both(self, event: Event, asked: int, *, by_needle: bool) -> Walked:
        made, rounds = [0, 0], 0
        for done in range(asked):
            socks = self._next(event, by_needle=by_needle)
            if self._socks[socks[0] - 1].finished:
                return Walked(done, sum(made), rounds, (made[0], made[1]))
            for sock in socks:
                stitches, finished = self._needle_done(sock) if by_needle else self._row_done(sock)
                made[sock - 1] += stitches
                rounds += finished
        if by_needle:
            self._hand = self._next(event._replace(sock=self._hand), by_needle=True)[0]
        return Walked(asked, sum(made), rounds, (made[0], made[1]))

    def _next(self, event: Event, *, by_needle: bool) -> tuple[Number, ...]:
        """The socks that the next tick is for, where both are worked together."""
        course = self._socks[0].course
        return turns.stations(course, *self._socks, _sock(event.sock), by_needle=by_needle)

    def end(self, event: Event) -> int:
        """End a section; rounds after its end go on into what follows. Says how many do not fit."""
        hand = self._of(event)
        done = hand.course.number(hand.section, hand.rows)
        at = event.data.get("at")
        over = 0 if at is None else done - _whole(at)
        if not 0 <= over <= done:
            raise ValueError(f"it cannot have ended at {at}")
        hand.needles = hand.into = 0
        hand.rows -= over
        self._next_section(hand)
        for placed in range(over):
            if hand.finished:
                return over - placed
            self._row_done(event.sock)
        return 0

    def _needle_done(self, sock: int) -> tuple[int, bool]:
        hand = self._socks[sock - 1]
        row = hand.course.row(hand.section, hand.rows)
        needles, at = row.needles, hand.needles
        if at >= len(needles) or not needles[at].work:
            at = row.working(at)
        last = at + 1 >= len(needles) or (
            not needles[at + 1].work and row.working(at + 1) == len(needles)
        )
        if last or row.side is not None:
            return self._row_done(sock)
        made = needles[at].made
        if hand.into:
            made -= _made_into(hand, row)
        hand.needles, hand.into = at + 1, 0
        return made, False

    def _row_done(self, sock: int) -> tuple[int, bool]:
        hand = self._socks[sock - 1]
        row = hand.course.row(hand.section, hand.rows)
        made = row.worked
        for needle in row.needles[: hand.needles]:
            made -= needle.made
        if hand.into:
            made -= _made_into(hand, row)
        hand.round_done()
        self._end_by_itself(sock)
        return made, True

    def _end_by_itself(self, sock: int) -> None:
        hand = self._socks[sock - 1]
        section = hand.course.sections[hand.section]
        if section.goal is None:
            over = hand.rows >= len(section.rows)
        else:
            # An open section ends where the other sock, which ended it first, says.
            done = hand.course.number(hand.section, hand.rows)
            over = done == self._ended_on_the_other(sock, hand.section)
        if over:
            self._next_section(hand)

    def _ended_on_the_other(self, sock: int, section: int) -> int | None:
        """Where a section of a sock has to end; None where it need not."""
        return leads(self._socks[2 - sock].ended, self._own_goals, _sock(sock), section)

    def _count_of(self, sock: int, index: int) -> int:
        """The rows a section must have had that she says is behind her."""
        hand = self._socks[sock - 1]
        section = hand.course.sections[index]
        if section.goal is None:
            return section.planned
        ended = self._ended_on_the_other(sock, index)
        count = section.planned if ended is None else ended
        here = hand.course.number(index, hand.rows) if index == hand.section else 0
        return max(count, here)

    def _next_section(self, hand: Hand) -> None:
        hand.ended.append(hand.course.number(hand.section, hand.rows))
        hand.into = 0
        if hand.section == self._course.last:
            hand.finished = True
        else:
            hand.section, hand.rows, hand.into = hand.section + 1, 0, 0

    def _time(self, event: Event, walked: Walked) -> None:
        before, self._ticked_at = self._ticked_at, event.at
        if before is None:
            self._run = 1
            self._was_knitted(event, walked, None)
            return
        apart = event.at - before
        # A key that is held repeats itself alone: a number typed before it begins anew.
        repeated = 0 <= apart < HELD_MS and event.data.get("rounds", 1) <= 1
        self._run = self._run + 1 if repeated else 1
        seconds = apart / 1000
        knitted = seconds >= CATCHING_UP_SECONDS * walked.stitches > 0
        if knitted and seconds <= GAP_SECONDS * max(1, walked.rounds):
            self._timed.append(Timed(walked.stitches, seconds, walked.rounds))
            self._was_knitted(event, walked, seconds)
        else:
            self._was_knitted(event, walked, None)

    def _was_knitted(self, event: Event, walked: Walked, seconds: float | None) -> None:
        """So many seconds of knitting ended with this tick; None: nobody knows how many."""
        timed = 0 if seconds is None else walked.stitches
        self._worked.add(event.at, event.offset, seconds or 0.0, timed)
        usual = 60 * walked.stitches / USUAL_PACE
        whole = usual if seconds is None else seconds
        if not walked.stitches or walked.by_sock[_sock(event.sock) - 1] == walked.stitches:
            self._of(event).knit_for(whole)
            return
        for hand, made in zip(self._socks, walked.by_sock, strict=True):
            if made == walked.stitches:
                hand.knit_for(whole)
            elif made:
                hand.knit_for(whole * made / walked.stitches)

    def _of(self, event: Event) -> Hand:
        return self._socks[_sock(event.sock) - 1]


def _without(changes: Iterable[Change], told: Change) -> Iterator[Change]:
    """Those that a change told anew does not replace: of one kind there is one at a row, save words."""
    for change in changes:
        same = (change.kind, change.section, change.row) == (told.kind, told.section, told.row)
        if not same or (told.kind == "other" and not change.repeats):
            yield change


def _left_of(on: Hand, events: Collection[int]) -> Iterator[Change]:
    """A sock's changes without what it was to repeat of these, where it has not come to it."""
    for change in on.changes:
        if not (change.repeats and change.event in events) or _is_too_late(change, on):
            yield change


def _again(change: Change, on: Hand, changes: Sequence[Change]) -> Change | None:
    """A change as the sock that has those `changes` repeats it; None where it does not."""
    own = any(mine[0] == change[0] and mine[2:4] == change[2:4] for mine in changes)
    if change.kind == "other":
        own = change in changes
    return None if own or _is_too_late(change, on) else change.repeated()


def _is_too_late(change: Change, on: Hand) -> bool:
    """Whether a sock is past the row of a change. Needles change inside a round, too, its work does not."""
    past = on.is_done if change.laid is not None else on.has_come_to
    return past(change.section, change.row)


def _made_into(hand: Hand, row: Row) -> int:
    """Stitches of the needle in hand that are made already, where some were taken back one by one."""
    if not hand.into:
        return 0
    from tracker.knitting.tinking import made_into

    return made_into(row, hand.needles, hand.into)


# The fields of an act, looked over once more: a file may have been written by anyone.


def _inside(event: Event, hand: Hand) -> Tinked | None:
    """The place inside a row to which stitches were taken back; None where whole rounds were."""
    if "stitches" not in event.data:
        return None
    from tracker.knitting.tinking import Tinked, stitches_on

    data = event.data
    section, rows, needles, into = (
        _whole(data[it]) for it in ("section", "rows", "needles", "into")
    )
    if not 0 <= rows <= MOST_ROUNDS or _whole(data["stitches"]) < 1:
        raise ValueError("there is no such row")
    row = hand.course.row(section, rows)
    most = 1 if row.side is not None else len(row.needles)
    if not 0 <= needles < most or not 0 <= into <= len(stitches_on(row, needles)):
        raise ValueError("there are no such stitches")
    forward = (section, rows, needles, into) > (hand.section, hand.rows, hand.needles, hand.into)
    if forward or _whole(data["round"]) != hand.course.number(section, rows):
        raise ValueError("stitches are only taken back")
    return Tinked(section, rows, needles, into)


def _place_inside(hand: Hand, told: Any) -> None:
    """The stitches of the round in hand lie on other needles: as many of them are worked as were."""
    from tracker.knitting.tinking import stitches_on

    needles, into = _whole(told["needles"]), _whole(told["into"])
    row = hand.course.row(hand.section, hand.rows)
    if hand.finished or not 0 <= needles < len(row.needles) or needles + into < 1:
        raise ValueError("there is no such needle")
    if not 0 <= into < max(1, len(stitches_on(row, needles))):
        raise ValueError("there are no such stitches")
    hand.needles, hand.into = needles, into


def _change(event: Event, course: Course) -> Change:
    data = event.data
    kind, repeat = data["as"], data.get("copy", True)
    section, row, value = _section(data["section"], course), _row(data["round"]), data["value"]
    if kind not in get_args(Kind) or type(repeat) is not bool:
        raise ValueError("there is no such change")
    if (
        not isinstance(value, str)
        or len(value) > LONGEST_NOTE
        or data["unit"] not in ("row", "round")
    ):
        raise ValueError("that is not how a change is told")
    if type(data.get("by", 0)) is not int:
        raise ValueError("that is no move of borders")
    str(data["name"])
    return Change(
        kind, value, section, row, event.number, repeat,
        tuple(_rewritten(one, course) for one in data.get("rewritten", ())),
        _laid(data["laid"], course) if "laid" in data else None,
        coloured=_coloured(data, course) if "coloured" in data else None,
        there=_there(data, course), inside="inside" in data,
    )  # fmt: skip


def _there(data: Mapping[str, Any], course: Course) -> tuple[Rewritten, ...] | None:
    """The rows of a change on the other sock, where they are not the same."""
    if "there" not in data:
        return None
    return tuple(_rewritten(one, course) for one in data["there"])


def _repaired(data: Mapping[str, Any], course: Course) -> tuple[int | None, tuple[int, int] | None]:
    """Of a count: the round in which what is off will be put right, and that in which it was to be."""
    repair, after = data.get("repair"), data.get("after")
    if repair is not None:
        if len(repair["mends"]) > MOST_NEEDLES:
            raise ValueError("so many needles are not put right")
        for needle, over, decreases, *here in repair["mends"]:
            str(needle), _whole(over), _whole(decreases)
            if here not in ([], [True]):
                raise ValueError("that is not how a needle is put right")
    if after is not None and (type(after["name"]) is not str or after["unit"] != "round"):
        raise ValueError("that is not how a repair is told")
    return (
        None if repair is None else _row(repair["row"]),
        None if after is None else (_section(after["section"], course), _row(after["row"])),
    )


def _check_answered(answered: Any) -> None:
    """What a look-up answered: rounds of one section, and the needles done of the round after them."""
    from tracker.knitting.places import MOST_PLACES

    if answered is None:
        return
    if type(answered["name"]) is not str or answered["unit"] not in ("round", "row"):
        raise ValueError("that is not what a look-up answers")
    if len(answered["rows"]) > MOST_PLACES:
        raise ValueError("a look-up does not answer so many rounds")
    for number in (answered["needles"], *answered["rows"]):
        _row(number)


def _rewritten(one: Any, course: Course) -> Rewritten:
    rows = tuple(one["rows"])
    if len(rows) > MOST_ROUNDS or not all(isinstance(row, str) for row in rows):
        raise ValueError("these are no rows")
    return Rewritten(
        _section(one["section"], course), _row(one["number"]), rows, _row(one["planned"]),
        tuple(map(_row, one.get("begins", ()))),
    )  # fmt: skip


def _laid(one: Any, course: Course) -> Laid:
    needles = tuple(map(_row, one.get("needles", ())))[:MOST_NEEDLES]
    names, moved = tuple(one.get("names", ())), one.get("moved", 0)
    if names and (len(names) != len(needles) or not all(map(_is_name, names))):
        raise ValueError("these are no needles")
    if abs(_whole(moved)) > MOST_STITCHES * MOST_NEEDLES:
        raise ValueError("borders do not move so far")
    return Laid(
        _section(one["section"], course), _row(one["number"]), str(one.get("set", "")),
        needles, names, moved,
    )  # fmt: skip


def _is_name(name: Any) -> bool:
    return isinstance(name, str) and 0 < len(name) <= LONGEST_NAME and name.isprintable()


def _coloured(data: Mapping[str, Any], course: Course) -> Coloured:
    one = data["coloured"]
    if not isinstance(one, Mapping):
        raise ValueError("that is not how a colour is told")
    name, clock = one.get("name", ""), one.get("clock")
    if (one["section"], one["number"]) != (data["section"], data["round"]):
        raise ValueError("a colour is that of its row")
    most = max(course.pattern.colours.period - 1, 0)
    if not isinstance(name, str) or len(name) > LONGEST_NAME:
        raise ValueError("that is no name of a colour")
    if clock is not None and not 0 <= _whole(clock) <= most:
        raise ValueError("there is no such place in the stripes")
    return Coloured(
        _section(one["section"], course), _row(one["number"]), name, _row(one.get("rounds", 0)), clock,
        one.get("ball") is True, one.get("back") is True,
    )  # fmt: skip


def _time_of(act: Any) -> int:
    if "acts" in act:
        raise ValueError("moved ticks are ticks")
    at = act["at"]
    if type(at) is not int:
        raise ValueError("that is no time")
    return at


def _sock(number: Any) -> Number:
    found = _SOCKS.get(number)
    if found is None:
        raise ValueError(f"there is no sock {number}")
    return found


_SOCKS: dict[Any, Number] = {1: 1, 2: 2}


def _section(index: Any, course: Course) -> int:
    if not 0 <= _whole(index) <= course.last:
        raise ValueError("there is no such section")
    return cast(int, index)


def _row(number: Any) -> int:
    if not 0 <= _whole(number) <= MOST_ROUNDS:
        raise ValueError("there is no such row")
    return cast(int, number)


def _whole(number: Any) -> int:
    """A count. Neither 3.7 nor true is one, nor a number without end."""
    if type(number) is not int:
        raise ValueError(f"{number} is no count")
    return number


def _step(mm: Any) -> float:
    """The grain of a reading."""
    if not 0 <= float(mm) <= LONGEST_MM:
        raise ValueError(f"no tape is read in steps of {mm} mm")
    return float(mm)


def _clue(event: Event, courses: Iterable[Course]) -> Clue:
    data = event.data
    pin, tail, chart = data.get("pin"), data.get("tail"), data.get("chart")
    return Clue(
        _length(event) if "mm" in data else None,
        _colour(data["colour"], courses) if "colour" in data else None,
        _whole(data.get("position", 0)),
        None if pin is None else _whole(pin),
        None if tail is None else _row(tail),
        None if chart is None else _row(chart),
    )


def _length(event: Event) -> float:
    mm = float(event.data["mm"])
    if not 0 < mm <= LONGEST_MM:
        raise ValueError(f"{mm} mm is no length of a sock")
    return mm


def _colour(name: Any, courses: Iterable[Course]) -> str:
    if name not in shares.colours_of(*courses):
        raise ValueError("there is no such colour")
    return cast(str, name)


def _mark(mark: Any) -> Mark:
    if mark not in get_args(Mark):
        raise ValueError("there is no such mark")
    return cast(Mark, mark)


_ACTS: dict[str, Callable[[Fold, Event], None]] = {
    "started": Fold._started,
    "tick": Fold._tick,
    "end": Fold._end,
    "target": Fold._target,
    "measure": Fold._measure,
    "answer": Fold._answer,
    "at": Fold._at,
    "changed": Fold._changed,
    "copy": Fold._copy,
    "count": Fold._count,
    "note": Fold._note,
    "rest": Fold._rest,
    "rip": Fold._rip,
    "lifeline": Fold._lifeline,
    "restart": Fold._restart,
    "weigh": Fold._weigh,
    "append": Fold._append,
    "replan": Fold._replan,
    "other": Fold._other,
    "order": Fold._order_of_work,
}
