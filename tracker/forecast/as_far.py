"""As far as the yarn goes: the longest leg for which it is safely enough, for every unfinished sock."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from typing import Literal

from tracker.forecast import left
from tracker.forecast.ball import VAGUE_SHARE, Told, YarnSight, balls_of, told_of, yarn_of
from tracker.forecast.coming import Coming, Lengths
from tracker.forecast.legs import Legs
from tracker.forecast.yarn import Ball
from tracker.knitting import shares
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.events import MOST_ROUNDS
from tracker.knitting.state import Number, State, other
from tracker.knitting.stripes import Threads
from tracker.records import NamedTuple
from tracker.units import LONGEST_MM


class AsFar(NamedTuple):
    """The round at which both legs end, and the length (mm, from the goal's mark) that they have then."""

    rounds: int
    mm: float


class NotFar(NamedTuple):
    """Why no goal follows from the yarn.

    "colours": those named are not weighed each for itself. "short": not even one round more is safe;
    `short_g` are the grams that lack to be safe even if the leg ends at round `ends` (None: here), and
    `yarn` is what is short of them, by the leg as it will be, with the ways out but shorter legs. "not
    the leg": whether the leg is `over`, and whether the section asked about has a length for its goal
    (`open`).
    """

    why: Literal["not the leg", "no yarn", "colours", "vague", "no length", "short"]
    colours: tuple[str, ...] = ()
    yarn: YarnSight | None = None
    short_g: float = 0.0
    ends: int | None = None
    over: bool = False
    open: bool = False


def as_far(
    course: Course,
    state: State,
    number: Number,
    lengths: Lengths,
    section: int,
    *,
    only: bool = False,
) -> AsFar | NotFar:
    """How far the open leg of sock `number` may go, in hand or to come, at 95 in 100.

    `section` is the one asked about; only for one whose goal she may set. Every ball must last: all the
    yarn, or each colour's. By which rule it is found, `Legs.farthest` says; in one colour every leg that
    is shorter is safe, too.

    The other sock's leg goes as far. With `only` it does not: it keeps what it needs for the leg that it
    would have without, by the tape, the pair's goal or its own, or what of that is still to be knitted;
    heels, feet and toes of both are kept in either case. So all that is over goes into this leg, and all
    that lacks comes off it. Two socks that differ by twice the rounds are hers to choose.
    """
    if course.sections[section].kind != "leg":
        return _elsewhere(course, state, number, section)
    told = told_of(course, state)
    coming = Coming(
        course, _alone(course, state, number, section) if only else state, number, lengths
    )
    balls = balls_of(coming, told)
    if (why := _not_known(coming, told, balls)) is not None:
        return why
    length = left.lengths_after(course, state, number, section, coming.tapes)
    if length is None:
        return NotFar("no length")
    legs = Legs(coming, only=only)

    def safe(rounds: int) -> bool:
        return all(legs.lacks(colour, ball, rounds) <= 0 for colour, ball in balls)

    rounds = legs.farthest(safe, _most(length, legs.now))
    if rounds is None:
        return _short(coming, balls, legs)
    return AsFar(rounds, length(rounds))


def _alone(course: Course, state: State, number: Number, leg: int) -> State:
    """The pair as it is once this leg has a goal of its own: neither sock goes by the other's."""
    goal, own = course.sections[leg].goal, state.goal(number, leg)
    mm = own if own is not None else goal.mm if goal else 0.0
    return state._replace(own_goals={**state.own_goals, (number, leg): mm})


def _elsewhere(course: Course, state: State, number: Number, section: int) -> NotFar:
    """What is asked about is no leg."""
    leg = course.find("leg")
    over = leg is not None and leg < state.sock(number).section
    return NotFar("not the leg", over=over, open=course.sections[section].goal is not None)


def cues(coming: Coming, sight: YarnSight | None, lengths: Lengths) -> Iterator[Cue]:
    """Where the goal is as far as the yarn goes, and the yarn by a weight since goes elsewhere: how far."""
    state, number, leg = coming.state, coming.number, _leg_told_of(coming)
    set_by = None if leg is None else state.set_by_yarn(number, leg)
    if (
        sight is None
        or sight.so_far
        or leg is None
        or set_by is None
        or not any(one.news for one in (sight, *sight.others))
    ):
        return
    weighed = max((weighing.event for weighing in state.weighings), default=0)
    if weighed < set_by:
        return
    far = as_far(coming.course, state, number, lengths, leg)
    if isinstance(far, AsFar) and (more := far.rounds - coming.rows_of_leg(number)):
        yield Cue("yarn", 0, {"rounds": more, "ball": sight}, "as far")


def _leg_told_of(coming: Coming) -> int | None:
    """The leg whose goal is hers, in hand or to come; not one to come while the other sock is at it."""
    state, number, leg = coming.state, coming.number, coming.leg
    if leg is None or not coming.leg_is_open(number) or state.follows(number, leg) is not None:
        return None
    ahead, others = state.sock(number).section < leg, state.sock(other(number)).section
    return None if ahead and others == leg else leg


def _not_known(
    coming: Coming, told: Told, balls: Sequence[tuple[str | None, Ball]]
) -> NotFar | None:
    if not balls:
        return NotFar("no yarn")
    weighed = {colour for colour, _ in balls}
    growing = [
        name for name in shares.colours_of(*coming.courses) if name in _of_leg_and_foot(coming)
    ]
    if growing and (missing := tuple(name for name in growing if name not in weighed)):
        return NotFar("colours", missing)
    vague = any(ball.use.sd > VAGUE_SHARE * ball.use.mean for _, ball in balls)
    return NotFar("vague") if vague else None


def _of_leg_and_foot(coming: Coming) -> set[str]:
    """The colours that a longer leg may take more of."""
    told = Threads(coming.courses[coming.number], coming.rows(coming.number))
    moving = (index for index in range(len(coming.course.sections)) if told.ticks(index))
    names = {run.name for index in moving for run in told.runs(index, 0, told.rows(index))}
    if told.of_chart in names:
        names |= {name for _, name in coming.course.pattern.colours.letters}
    return names


def _most(length: Callable[[int], float], now: int) -> int:
    """The last round at which a leg still has a length that can be a goal."""
    rounds = range(now, MOST_ROUNDS + 1)
    return max(now, now - 1 + bisect_right(rounds, LONGEST_MM, key=length))


def _short(coming: Coming, balls: Sequence[tuple[str | None, Ball]], legs: Legs) -> NotFar:
    """What lacks most for the shortest leg there can be, and how it is told elsewhere."""
    lacks, name = max(
        (legs.lacks(colour, ball, legs.least), colour or "") for colour, ball in balls
    )
    here = coming.done(coming.number, coming.leg or 0) == legs.least
    sight = yarn_of(coming)
    sights = (sight, *sight.others) if sight else ()
    yarn = next((one for one in sights if (one.colour or "") == name), None)
    if yarn is not None:
        ways = tuple(way for way in yarn.rescues if way.kind != "legs")
        yarn = yarn._replace(rescues=ways, others=())
    return NotFar("short", yarn=yarn, short_g=lacks, ends=None if here else legs.least)
