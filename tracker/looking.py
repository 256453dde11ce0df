"""How a glance is reckoned: from pattern, state and what it is told besides, and from nothing else."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from typing import Any

from tracker.forecast import ball, left, rest
from tracker.forecast.ball import YarnSight
from tracker.forecast.by_row import ByRow
from tracker.forecast.coming import Coming
from tracker.forecast.finish import ahead_of_sock_one, finish, stage_of
from tracker.forecast.left import Length, Unknown
from tracker.forecast.pace import Pace, closing_minutes, minutes, minutes_to_go
from tracker.forecast.tape import Taken
from tracker.forecast.tension import TOLD_AGAIN, Tension
from tracker.glance import (
    ColourSight,
    CountSight,
    Glance,
    GoalSight,
    Lag,
    LengthSight,
    NeedleSight,
    NextSight,
    Place,
    ReadingSight,
    Shown,
    SmallGoal,
    SockSight,
    TimeSight,
    UsedUpSight,
)
from tracker.knitting import cues as knitting_cues
from tracker.knitting import pair as knitting_pair
from tracker.knitting import places, stripes, used_up
from tracker.knitting import turns as knitting_turns
from tracker.knitting.chart_row import chart_row
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.pins import PIN_EVERY
from tracker.knitting.state import Clue, Number, State, other
from tracker.pattern.colours import NEAR_ENOUGH_MM
from tracker.pattern.model import CLOSING, HEEL_ROUNDS, Needle, Row, Waiting
from tracker.pattern.turned_sides import behind, sides

READINGS_SHOWN = 20
AWAY = 86_400_000
"""Milliseconds away after which she is welcomed back."""
LONG_AWAY = 3 * 86_400_000
"""Milliseconds away after which the stitches are to be counted."""
SMALL_MINUTES = 10
"""A small goal takes no longer."""
STAGE_NEAR = 2
"""Days before a stage's date from which it is said."""
COLOURS_SEEN = 60
"""Rows within which the next colour is told."""
ODD_IS_OLD = 10
"""Rounds after which a reading that does not fit is shown on the tape only."""
TENSION_IS_OLD = 5
"""Rounds for which it is said that two socks differ at one count."""
SEEN_MM = 3.0
"""Millimetres between two socks that are worth a word (common practice, no source)."""
WARM = 1_800_000
"""Milliseconds after the end of a sock in which its numbers are still in mind."""
HELD_IS_OLD = 600_000
"""Milliseconds after which nobody asks any more whether a key was held down."""
_PAUSES = sorted((rest.FRESH_MS, HELD_IS_OLD, WARM, AWAY - 1, LONG_AWAY))


def pause(idle: int) -> int:
    """The longest of the pauses that a glance knows which is over after so many milliseconds, or 0.

    Until the next is over the glance stays the same.
    """
    over = bisect_left(_PAUSES, idle)
    return _PAUSES[over - 1] + 1 if over else 0


NOTHING_TO_SEE = (ArithmeticError, AttributeError, LookupError, TypeError, ValueError)
"""What a look, a drawing or a telling raises where acts, altered under right checksums, lead nowhere."""


def look(
    course: Course,
    state: State,
    shown: Shown,
    number: Number | None = None,
    by_row: ByRow | None = None,
) -> Glance:
    """The glance at sock `number` (the one in hand if left out).

    `by_row` is what was reckoned for the row in hand, where it is known.
    """
    return _Look(
        course, state, shown, number or state.hand, by_row or ByRow(course, state)
    ).glance()


class _Look:
    def __init__(
        self, course: Course, state: State, shown: Shown, number: Number, by_row: ByRow
    ) -> None:
        self._state, self._shown, self._number = state, shown, number
        self._sock = state.sock(number)
        self._course = course = course.of(self._sock)
        self._section = course.sections[self._sock.section]
        self._done = course.number(self._sock.section, self._sock.rows)
        finished = self._sock.finished
        self._row = None if finished else course.row(self._sock.section, self._sock.rows)
        self._whole = used_up.is_whole(course.pattern)
        self._by_row = by_row
        self._tapes, self._lengths, self._planned_by = by_row.tapes, by_row.lengths, by_row.planned

    def glance(self) -> Glance:
        pattern, shown = self._course.pattern, self._shown
        found = self._lengths[self._number - 1]
        unknown = found if isinstance(found, Unknown) else None
        length = None if isinstance(found, Unknown) else found
        needles = self._needles()
        to_go = self._to_go(length)
        pace = left.pace_of(self._state)
        card = self._card()
        coming = Coming(
            self._course, self._state, self._number, self._lengths, self._tapes,
            self._by_row.coming,
        )  # fmt: skip
        yarn = ball.yarn_of(coming)
        time = self._time(coming, pace, to_go[1])
        differs = self._by_row.differs
        besides = [
            *self._yarn_cues(coming, yarn),
            *_stage_near(time),
            *self._count_wanted(),
            *rest.cues(self._state, shown.idle, shown.rest),
            *self._half_way(coming),
        ]
        return Glance(
            pair=shown.pair,
            title=pattern.title,
            unit=pattern.unit,
            hand=pattern.hand,
            needle_set=pattern.needle_set,
            at_side=pattern.begins_at_side(self._section),
            counting=shown.counting,
            place=self._place(),
            needles=needles,
            resting=self._resting(),
            stitches=sum(needle.stitches for needle in needles),
            next=None if self._row is None else _next(self._row, self._word(self._row)),
            length=None if length is None else self._length(length),
            rows_to_go=to_go,
            minutes_to_go=self._minutes_to_go(to_go[1], pace.per_minute),
            socks=(self._sight(1), self._sight(2)),
            lag=self._lag(pace.per_minute),
            in_step=differs is None,
            in_hand=self._state.hand,
            sides=sides(self._section, self._sock.rows),
            behind=behind(self._section, self._sock.rows),
            follows=self._follows(),
            cues=_among(self._cues(length, unknown, card), besides),
            card=card,
            events=shown.events,
            of_socks=pattern.of_socks,
            foot=pattern.foot,
            toe_up=pattern.toe_up,
            chart_row=chart_row(self._course, self._sock),
            shaped_to=self._course.shaped_to(self._sock.section),
            in_a_ring=pattern.in_a_ring,
            turned=pattern.turned,
            unmeasured=None if unknown is None else GoalSight(*unknown),
            colour=self._colour(),
            colours=pattern.colours.names,
            yarn=yarn,
            time=time,
            counted=self._count_sight(),
            rests_on=self._sock.rests_on,
            both=knitting_turns.level(self._course, self._state),
            differs=differs,
            used_up=self._used_up(),
            whole=self._whole,
            meant=self._by_row.meant,
            keys=self._shown.keys,
        )

    def _follows(self) -> str:
        """The kind of the section after the one in hand; "" after the last."""
        after = self._course.sections[self._sock.section + 1 : self._sock.section + 2]
        return after[0].kind if after else ""

    def _word(self, row: Row) -> str:
        """A row's word; knits and purls between the rows of a repeat are no rib but a part of it."""
        leg = self._course.find("leg")
        in_repeat = leg is not None and self._course.sections[leg].cycle > 1
        shaped_so = in_repeat and self._section.kind in _HAVE_THE_REPEAT
        return "PATT" if shaped_so and row.word == "RIB" else row.word

    def _used_up(self) -> UsedUpSight | None:
        rests = used_up.used_up(self._course, self._sock)
        if rests is None:
            return None
        stage = rests.stage
        number, opens, bring, knit_by = (
            (stage.number, stage.opens, stage.bring, stage.knit_by)
            if stage
            else (None, None, "", None)
        )
        there = used_up.used_up(self._course, self._state.sock(3 - self._number))
        return UsedUpSight(
            rests.held, rests.waiting, number, opens, self._shown.today, there is not None, bring,
            knit_by, there.held if there else (), there.waiting if there else (),
        )  # fmt: skip

    def _count_sight(self) -> CountSight | None:
        """The count of the stitches that was the last act on this sock."""
        check = self._sock.check
        if check is None or self._state.last.number != check.event:
            return None
        from tracker.counted import counted  # few acts are counts

        told = (self._course, self._state, self._number)
        return counted(*told, self._shown.counting, self._tapes)

    def _asks(self) -> bool:
        """Whether a count that is not right, and has no repair, waits for what she does."""
        check = self._sock.check
        last = check is not None and self._state.last.number == check.event
        if check is None or not last or check.matches or not check.found or check.clue != Clue():
            return False
        return not self._sock.finished and check.repair is None

    def _time(self, coming: Coming, pace: Pace, rows: int | None) -> TimeSight | None:
        """None once all there is to knit is finished."""
        if not coming.unfinished:
            return None
        worked, today = self._state.worked, self._shown.today
        ends = finish(coming, pace, worked, today)
        due = stage_of(coming, self._course.pattern.stages, pace, worked, today)
        return TimeSight(
            ends.sock, ends.all, ends.per_minute, ends.known, ends.days, today, due,
            ahead_of_sock_one(coming), self._next_goal(pace, rows),
        )  # fmt: skip

    def _count_wanted(self) -> list[Cue]:
        """Stitches are counted before the heel, after the pick-up, after the first round of the toe, and
        after days away.
        """
        sock, first = self._sock, self._section.rows[0]
        if sock.finished or sock.inside or not sock.begun:
            return []
        shaped = self._section.kind == "gusset" and first.word == "PICK" and sock.rows == 1
        toe_up = self._course.pattern.toe_up
        shaped = shaped or (self._section.kind == "toe" and sock.rows == 1 and not toe_up)
        before = self._course.sections[sock.section - 1] if sock.section else None
        # From the toe up the heel needle holds the gusset, too, and is counted before the cup.
        ends = "heel set-up" if toe_up else "leg"
        shaped = shaped or (
            before is not None and before.kind == ends and first.side is not None and not sock.rows
        )
        checked = (
            sock.check
            and sock.check.found
            and (sock.check.section, sock.check.rows) == (sock.section, sock.rows)
        )
        if checked or not (shaped or self._shown.idle > LONG_AWAY):
            return []
        there = places.expected(self._course, self._state, self._number)
        return [Cue("count", 0, {"expected": there})]

    def _half_way(self, coming: Coming) -> Iterator[Cue]:
        """Said once, after the tick by which half of a sock's stitches are made."""
        last, sock = self._state.last, self._sock
        counted = all(section.counted for section in self._course.sections)
        if (
            not counted
            or not self._whole
            or last.kind != "tick"
            or last.sock != self._number
            or sock.needles
        ):
            return
        made = coming.made(self._number, None)
        half = (made + coming.to_come(self._number, None)) / 2
        if made - self._made_in(last.data.get("rounds", 1)) < half <= made:
            yield Cue("note", 0, {"section": self._section.called}, "half way")

    def _made_in(self, rows: int) -> int:
        """Stitches made in the last so many rows."""
        made, index, done = 0, self._sock.section, self._sock.rows
        while rows and (index or done):
            if not done:
                index -= 1
                done = self._course.sections[index].rows_to(self._sock.ended[index])
            else:
                done, rows = done - 1, rows - 1
                made += self._course.row(index, done).worked
        return made

    def _yarn_cues(self, coming: Coming, yarn: YarnSight | None) -> Iterator[Cue]:
        """A weight that does not fit, then where a goal by the yarn goes now, then whether it is enough."""
        told = [*ball.cues(yarn, self._done, self._section.kind)]
        yield from (cue for cue in told if cue.about in ball.ODD)
        if yarn is not None:
            from tracker.forecast import as_far

            yield from as_far.cues(coming, yarn, self._lengths)
        yield from (cue for cue in told if cue.about not in ball.ODD)

    def _next_goal(self, pace: Pace, rows: int | None) -> SmallGoal | None:
        """After days away a small goal that takes under ten minutes: a pin, the section's end, a round."""
        if self._shown.idle < AWAY or self._sock.finished or self._section.kind in CLOSING:
            return None
        goals = [("" if self._section.worked == "rows" else "the marker", 1)]
        if self._section.worked == "rounds":
            goals.append(("the next pin", PIN_EVERY - self._done % PIN_EVERY))
        if rows:
            goals.append((f"the end of the {self._section.called}", rows))
        timed = [
            SmallGoal(
                what,
                more,
                minutes_to_go(self._stitches_to_go(more), pace.per_minute),
                self._section.worked,
            )
            for what, more in goals
            if rows is None or more < rows + bool(what)
        ]
        small = [goal for goal in timed if goal.minutes <= SMALL_MINUTES]
        return max(small, key=lambda goal: goal.minutes, default=None)

    def _place(self) -> Place:
        sock, row = self._sock, self._row
        planned = self._planned_by[self._number - 1]
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
            needle=names[row.working(sock.needles)].name if row else None,
            at_marker=knitting_cues.at_marker(self._course, self._state, self._number),
            last_needle=in_rounds
            and row is not None
            and knitting_cues.on_last_needle(row, sock.needles),
            begun=sock.begun,
            finished=sock.finished,
            done_word=self._word(before) if before else "",
            into=sock.into,
            into_of=self._into_of() if sock.into else 0,
            stopped=sock.stopped,
        )

    def _into_of(self) -> int:
        """The stitches of the needle in hand, of which some are worked."""
        from tracker.knitting.tinking import stitches_on  # few socks stand inside a needle

        return len(stitches_on(self._row, self._sock.needles)) if self._row else 0

    def _needles(self) -> tuple[NeedleSight, ...]:
        if self._row is None:
            return ()
        ticked = self._sock.needles
        return tuple(
            NeedleSight(
                needle.name,
                stitches,
                needle.work,
                needle.leaves,
                needle.plain,
                place < ticked,
                _needle_word(self._word(self._row), needle.plain),
                self._is_ribbed(needle, place),
            )
            for place, (needle, stitches) in enumerate(
                zip(self._row.needles, self._row.holding(ticked), strict=True)
            )
            if not needle.rests
        )

    def _is_ribbed(self, needle: Needle, place: int) -> bool:
        """Whether what comes again beside a needle's decreases is rib, as all rows of the section show."""
        if needle.plain or "[" not in needle.work:
            return False
        from tracker.pattern.ribs import knits_on_knits  # few rounds have both

        return knits_on_knits(self._section.rows, place)

    def _resting(self) -> tuple[Waiting, ...]:
        """What waits in this row: stitches laid aside, and needles that it leaves alone."""
        if self._row is None:
            return ()
        alone = (Waiting(n.name, n.leaves) for n in self._row.needles if n.rests and n.leaves)
        return (*self._section.waiting, *alone)

    def _colour(self) -> ColourSight | None:
        rows = stripes.ahead(self._course, self._state, self._number, COLOURS_SEEN)
        here = next(rows, None)
        if here is None:
            return None
        name, position, of = here.thread
        for when, coming in enumerate(rows, start=1):
            if coming.thread.name != name:
                return ColourSight(name, position, of, coming.thread.name, when)
        return ColourSight(name, position, of, None, None)

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
            length.after_mm, length.whole_what, length.whole,
            length.grows,
        )  # fmt: skip

    def _card(self) -> Cue | None:
        """The section's card, with how long the one before it became."""
        card = knitting_cues.card(self._course, self._state, self._number)
        if card is None or not self._sock.section:
            return card
        before = self._sock.section - 1
        mm = left.ended_length(self._course, self._state, self._number, before, self._tapes)
        last = self._state.last
        came_here = last.sock == self._number and last.kind in ("tick", "end", "at")
        told = {"before_mm": mm, "apart_mm": self._apart(before), "just_ended": came_here}
        return card._replace(data={**card.data, **told})

    def _apart(self, section: int) -> float | None:
        """By how much a section that is over is longer than on the other sock, where it drifted."""
        if self._drift(section) is None:
            return None
        mine, hers = (
            left.ended_length(self._course, self._state, number, section, self._tapes)
            for number in (self._number, other(self._number))
        )
        apart = None if mine is None or hers is None else mine - hers
        return apart if apart is not None and abs(apart) >= SEEN_MM else None

    def _minutes_to_go(self, rows: int | None, pace: float) -> int:
        closing = closing_minutes(self._section.kind)
        if closing and not self._sock.finished:
            return closing
        return minutes_to_go(self._stitches_to_go(rows), pace)

    def _to_go(self, length: Length | None) -> tuple[int | None, int | None, int | None]:
        if length is not None:
            return length.low, length.likely, length.high
        if not self._counted(self._number):
            return None, None, None
        rows = left.rows_left(self._course, self._state, self._number)
        return rows, rows, rows

    def _stitches_to_go(self, rows: int | None) -> int:
        mine = left.stitches_left(self._course, self._state, self._number, rows or 0)
        if not rows or not knitting_turns.side_by_side(self._course, self._state):
            return mine
        # A round is then one on either sock, and the pace counts both.
        on_other = other(self._number)
        ahead = self._done_on(self._number) - self._done_on(on_other)
        return mine + left.stitches_left(self._course, self._state, on_other, max(0, rows + ahead))

    def _done_on(self, number: Number) -> int:
        """Rows of its section that are done on a sock, row 0 left out."""
        sock = self._state.sock(number)
        return self._course.number(sock.section, sock.rows)

    def _counted(self, number: Number) -> bool:
        """Whether somebody has said how many rows the section in hand will have."""
        by = self._planned_by[number - 1].by
        sock = self._state.sock(number)
        return by != "goal" or self._course.sections[sock.section].counted

    def _share(self, number: Number) -> float:
        """Stitches made against those of a whole piece; else the sections behind her, of all."""
        sock, sections = self._state.sock(number), self._course.sections
        if sock.finished:
            return 1.0
        if not all(section.counted for section in sections):
            begun = bool(sock.rows or sock.needles) / 2
            return (sock.section + begun) / len(sections)
        made = knitting_pair.made(self._course, self._state, number)
        return min(1.0, made / max(self._course.of(sock).stitches, 1))

    def _sight(self, number: Number) -> SockSight:
        sock = self._state.sock(number)
        section = self._course.sections[sock.section]
        return SockSight(
            number,
            section.called,
            self._course.of(sock).number(sock.section, sock.rows),
            self._planned(number),
            self._share(number),
            sock.begun,
            sock.finished,
            sock.finished and not self._whole,
        )

    def _planned(self, number: Number) -> int | None:
        """Rows the section of a sock will have: an open one as many as her tape says."""
        planned = self._planned_by[number - 1]
        if planned.by != "goal":
            return planned.rows
        length = self._lengths[number - 1]
        goal = length.goal_row if isinstance(length, Length) else None
        if goal is None and not self._counted(number):
            return None
        return planned.rows if goal is None else goal

    def _lag(self, pace: float) -> Lag:
        course, state = self._course, self._state
        stitches = knitting_pair.made(course, state, 1) - knitting_pair.made(course, state, 2)
        rounds = knitting_pair.rounds(course, state, 1) - knitting_pair.rounds(course, state, 2)
        return Lag(stitches, rounds, minutes(stitches, pace))

    def _cues(self, length: Length | None, unknown: Unknown | None, card: Cue | None) -> list[Cue]:
        follow = knitting_cues.cues(self._course, self._state, self._number)
        if self._asks():
            follow = [Cue("count", 0, {}, "where"), *follow]
        follow = [
            card if card and cue.kind == "section" and not cue.when else cue for cue in follow
        ]
        if self._shown.idle > HELD_IS_OLD:
            follow = [cue for cue in follow if cue.kind != "held"]
        if self._shown.idle > WARM:
            follow = [_cooled(cue) for cue in follow]
        if length is None:
            return [*follow, *filter(None, [self._tape_first(unknown)])]
        # After what must be answered now, and before what only marks the place.
        urgent = [cue for cue in follow if _urgent(cue, card)]
        rest = [cue for cue in follow if not _urgent(cue, card)]
        pins = [cue for cue in rest if _moves_up(cue)]
        rest = [cue for cue in rest if not _moves_up(cue)]
        told = [
            *pins,
            self._goal_reached(length),
            self._stripe_near_goal(length),
            self._repeat_near_goal(length),
            self._odd_reading(length),
            self._tension(),
            self._tape_due(length),
            self._compared(),
        ]
        return [*urgent, *(cue for cue in told if cue), *rest]

    def _goal_reached(self, length: Length) -> Cue | None:
        """An open section, which only she can end, is as likely as not as long as it should be."""
        by = self._planned_by[self._number - 1].by
        if by != "goal" or length.low is None or length.likely:
            return None
        sure = length.high == 0 or length.measure_at is None
        data = {"section": self._section.kind, "mm": length.target_mm, "sure": sure}
        return Cue("section", 0, {**data, **self._stripe_at_goal(length)}, "goal")

    def _stripe_at_goal(self, length: Length) -> dict[str, Any]:
        """The stripe that is whole here, or the rounds after which one will be, near enough to the goal."""
        ends = self._stripe_ends(length)
        if ends is not None:
            return {"stripe": ends}
        here = self._thread()
        if self._section.kind != "leg" or here is None or not here.of:
            return {}
        more = here.of - here.position + 1
        there = self._sock.section
        after = left.lengths_after(self._course, self._state, self._number, there, self._tapes)
        if after is None:
            return {}
        over = after(self._done + more) - (length.target_mm or 0)
        return {"stripe_in": more} if over <= NEAR_ENOUGH_MM else {}

    def _stripe_near_goal(self, length: Length) -> Cue | None:
        """An open leg that is not at its goal yet, but nearer to it than where the next stripe ends."""
        by = self._planned_by[self._number - 1].by
        ends, following = self._stripe_ends(length), self._thread()
        if by != "goal" or ends is None or following is None or not length.likely:
            return None
        if length.likely > abs(length.likely - following.of) or length.target_mm is None:
            return None
        data = {
            "section": self._section.kind, "mm": length.target_mm, "stripe": ends,
            "short_mm": max(0.0, length.target_mm - length.mm),
        }  # fmt: skip
        return Cue("section", 0, data, "full stripe")

    def _repeat_near_goal(self, length: Length) -> Cue | None:
        """The last whole repeat before the goal of an open section: she may end it here, or later."""
        here = dict(length.whole).get(self._done)
        if length.whole_what != "repeat" or here is None or not length.likely:
            return None
        after = next(((row, mm) for row, mm in length.whole if row > self._done), None)
        data = {"mm": length.target_mm, "here_mm": here, "after": after}
        return Cue("section", 0, data, "full repeat")

    def _stripe_ends(self, length: Length) -> str | None:
        """The colour of the stripe that ends here, in a leg as near to its goal as that may be."""
        if self._section.kind != "leg" or length.target_mm is None:
            return None
        if abs(length.target_mm - length.mm) > NEAR_ENOUGH_MM:
            return None
        ends = stripes.stripe_ends(self._course, self._state, self._number)
        return None if ends is None else ends.name

    def _thread(self) -> stripes.Thread | None:
        """The colour of the row in hand."""
        threads = stripes.threads(self._course, self._state, self._number)
        return threads.at(self._sock.section, self._sock.rows)

    def _odd_reading(self, length: Length) -> Cue | None:
        """The last reading of this section, where it is too far off to count.

        Her answer, or a count that was corrected since, ends it; after ODD_IS_OLD rounds nobody asks.
        """
        last = length.readings[-1] if length.readings else None
        if last is None or last.counts or last.answered or last.section != self._sock.section:
            return None
        answered = last.event < self._sock.corrected and last.row != self._done
        if answered or self._done - last.row >= ODD_IS_OLD:
            return None
        planned = self._planned_by[self._number - 1]
        number = self._done + last.rounds_off
        fits = number > 0 and (planned.by == "goal" or number <= planned.rows)
        data = {
            "mm": last.mm, "row": last.row, "rounds_off": last.rounds_off,
            "number": number if fits else None, "event": last.event, "mm_off": last.mm_off,
        }  # fmt: skip
        if last.below is None:
            return Cue("reading", 0, data)
        # No count explains that the fabric is shorter than it was.
        return Cue(
            "reading", 0, {**data, **self._longer_before(length.readings[last.below])}, "shorter"
        )

    def _longer_before(self, taken: Taken) -> dict[str, Any]:
        """The earlier reading that the last one is shorter than."""
        there = self._course.sections[taken.section]
        named = None if taken.section == self._sock.section else there.called
        was = {"mm": taken.mm, "row": taken.row, "section": named, "worked": there.worked}
        return {"number": None, "was": was}

    def _tension(self) -> Cue | None:
        """A section that differs from the other sock's by too much.

        Said for a few rounds after the reading, and again before it ends by itself, if nothing was done.
        """
        tension = self._drift(self._sock.section)
        if tension is None:
            return None
        ending = self._ends_soon() and not tension.settled
        if self._done - tension.row >= TENSION_IS_OLD and not ending:
            return None
        data = {"share": tension.share, "mm": tension.mm, "match": tension.match, "ending": ending}
        return Cue("note", 0, data, "tension")

    def _drift(self, section: int) -> Tension | None:
        course, state = self._course, self._state
        tension = left.tension_of(course, state, self._number, section, self._tapes)
        return tension if tension is not None and tension.drifted else None

    def _ends_soon(self) -> bool:
        """Whether the section is about to end where the other sock ended it."""
        planned = self._planned_by[self._number - 1]
        return planned.by == "other sock" and 0 < planned.rows - self._done <= TOLD_AGAIN

    def _compared(self) -> Cue | None:
        """Once, in the middle of a section that nobody has measured on this sock, but on the other."""
        row = left.compare_at(self._course, self._state, self._number, self._tapes)
        if row is None or row - self._done not in (0, 1):
            return None
        return Cue("measure", row - self._done, {"round": row, "first": True}, "other sock")

    def _tape_due(self, length: Length) -> Cue | None:
        """Said when it is due and one round before, and not again: the fact stays in its line."""
        if length.due is None or length.due - self._done not in (0, 1):
            return None
        data = {"round": length.due, "first": not length.readings}
        return Cue("measure", length.due - self._done, data)

    def _tape_first(self, unknown: Unknown | None) -> Cue | None:
        """Said when two readings are wanted that tell how long a round is."""
        if unknown is None or unknown.target_mm is None or self._counted(self._number):
            return None
        if unknown.due - self._done not in (0, 1):
            return None
        data = {"round": unknown.due, "first": not unknown.taken}
        return Cue("measure", unknown.due - self._done, data, "unknown")


def _stage_near(time: TimeSight | None) -> list[Cue]:
    """The stage in hand in its last days; where it takes more than she knits, as long as that is so."""
    due = time.stage if time else None
    if time is None or due is None or due.due_in is None or due.due_in < 0:
        return []
    near = due.due_in <= STAGE_NEAR or due.on_time is False
    return [Cue("stage", 0, {"due": due, "today": time.today})] if near else []


def _cooled(cue: Cue) -> Cue:
    """The other sock is to be cast on, but not in the sitting in which this one was finished."""
    return cue._replace(data={**cue.data, "warm": False}) if "warm" in cue.data else cue


def _urgent(cue: Cue, card: Cue | None) -> bool:
    """What is to be answered now, or done to the yarn; where a card stands, that tells the yarn."""
    if cue.kind in ("change", "slip-first"):
        return cue.when == 0 and card is None
    if cue.about in knitting_cues.NO_HURRY:
        return False
    if (cue.kind, cue.about, cue.when) == ("copy", "ahead", 0):
        return True  # of the round in hand; it was said a round ahead, and is not said again
    return cue.kind in ("held", "other-sock", "note") or cue.about in _AT_THE_NEEDLE


_AT_THE_NEEDLE = frozenset(
    {"where", "repair", "repair waits", "no round left", "put right", "in hand", "borders back"}
)
"""Cues on the stitches that are on the needles now: no pin is moved up before them."""


def _moves_up(cue: Cue) -> bool:
    """The pin of every tenth round; one that stays at a section's end has time until the card is read."""
    return cue.kind == "pin" and cue.about == "every tenth"


def _among(cues: list[Cue], yarn: list[Cue]) -> tuple[Cue, ...]:
    """The cues with those of the yarn after what must be answered, and before what comes by itself."""
    first = [place for place, cue in enumerate(cues, start=1) if _comes_first(cue)]
    at = max(first, default=0)
    return (*cues[:at], *yarn, *cues[at:])


def _comes_first(cue: Cue) -> bool:
    if cue.kind == "section":
        return cue.about == "goal"
    if cue.about in knitting_cues.NO_HURRY:
        return False
    return cue.kind not in ("needle", "end-of-round", "colour", "rest", "stage", "count")


def _next(row: Row, word: str) -> NextSight:
    leaves = row.leaves - sum(needle.leaves for needle in row.needles if needle.rests)
    return NextSight(row.number, row.side, word, row.plain, leaves)


_HAVE_THE_REPEAT = frozenset({"leg", "foot", "gusset", HEEL_ROUNDS})
"""Kinds of section whose rounds may be a repeat's."""


def _needle_word(row: str, plain: bool) -> str:
    """The word of one needle's work in a row whose word is `row`."""
    return "PLAIN" if plain and row in _SHAPING else row


_SHAPING = frozenset({"DEC", "INC", "PICK", "BIND", "GRAFT", "DRAW", "HEEL", "CLOSE", "OVER"})
"""Words of rows in which a needle that only knits or purls does something else than the row."""
