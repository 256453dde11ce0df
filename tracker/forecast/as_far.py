"""As far as the yarn goes: the longest leg for which it is safely enough, for every unfinished sock."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from typing import Literal, NamedTuple

from tracker.forecast import left
from tracker.forecast.ball import VAGUE_SHARE, Told, YarnSight, balls_of, told_of, yarn_of
from tracker.forecast.coming import Coming, Lengths
from tracker.forecast.left import Length
from tracker.forecast.legs import Legs
from tracker.forecast.rescues import rescues
from tracker.forecast.yarn import Ball
from tracker.knitting import pair, shares
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.events import MOST_ROUNDS
from tracker.knitting.state import Number, State
from tracker.knitting.stripes import Threads
from tracker.units import LONGEST_MM


class AsFar(NamedTuple):
    """The round at which both legs end, and the length (mm, from the goal's mark) that they have then."""

    rounds: int
    mm: float


class NotFar(NamedTuple):
    """Why no goal follows from the yarn.

    "colours": those named are not weighed each for itself. "short": not even one round more is safe;
    `yarn` is then what is short, with the other ways out, and `short_g` the grams by which it is. "not
    the leg": `leg_mm` is the goal of the leg to come, None where that is over, ends at a count or is not
    there; `open` says whether the section in hand has a length for its goal.
    """

    why: Literal["not the leg", "no yarn", "colours", "vague", "no length", "short"]
    colours: tuple[str, ...] = ()
    yarn: YarnSight | None = None
    short_g: float = 0.0
    leg_mm: float | None = None
    open: bool = False


def as_far(course: Course, state: State, number: Number, lengths: Lengths) -> AsFar | NotFar:
    """How far the open leg of sock `number` may go, the other one's as far, at 95 in 100.

    Only for a section whose goal she may set. Every ball must last: all the yarn, or each colour's. By
    which rule it is found, `Legs.farthest` says; in one colour every leg that is shorter is safe, too.
    """
    sock = state.sock(number)
    if course.sections[sock.section].kind != "leg":
        return _elsewhere(course, state, number)
    told = told_of(course, state)
    coming = Coming(course, state, number, lengths)
    balls = balls_of(coming, told)
    if (why := _not_known(coming, told, balls)) is not None:
        return why
    if not isinstance(lengths[number - 1], Length):
        return NotFar("no length")
    legs, length = Legs(coming), left.lengths_after(course, state, number, coming.tapes)

    def safe(rounds: int) -> bool:
        return all(legs.lacks(colour, ball, rounds) <= 0 for colour, ball in balls)

    rounds = legs.farthest(safe, _most(length, legs.now))
    if rounds is None:
        return _short(coming, balls, legs, lengths)
    return AsFar(rounds, length(rounds))


def _elsewhere(course: Course, state: State, number: Number) -> NotFar:
    """She is not at the leg."""
    here, leg = state.sock(number).section, course.find("leg")
    ahead = None
    if leg is not None and here < leg:
        ahead = left.goal_of(course, state, number, leg)
    leg_mm = ahead[0] if ahead else None
    return NotFar("not the leg", leg_mm=leg_mm, open=course.sections[here].goal is not None)


def cues(coming: Coming, sight: YarnSight | None, lengths: Lengths) -> Iterator[Cue]:
    """Where the goal is as far as the yarn goes, and the yarn by a weight since goes elsewhere: how far."""
    state, number = coming.state, coming.number
    set_by = state.set_by_yarn(number, state.sock(number).section)
    if (
        sight is None
        or sight.so_far
        or set_by is None
        or not any(one.news for one in (sight, *sight.others))
    ):
        return
    weighed = max((weighing.event for weighing in state.weighings), default=0)
    if weighed < set_by or not pair.is_hers(coming.course, state, number):
        return
    far = as_far(coming.course, state, number, lengths)
    if isinstance(far, AsFar) and (more := far.rounds - coming.rows_of_leg(number)):
        yield Cue("yarn", 0, {"rounds": more, "ball": sight}, "as far")


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
    return {run.name for index in moving for run in told.runs(index, 0, told.rows(index))}


def _most(length: Callable[[int], float], now: int) -> int:
    """The last round at which a leg still has a length that can be a goal."""
    rounds = range(now, MOST_ROUNDS + 1)
    return max(now, now - 1 + bisect_right(rounds, LONGEST_MM, key=length))


def _short(
    coming: Coming, balls: Sequence[tuple[str | None, Ball]], legs: Legs, lengths: Lengths
) -> NotFar:
    """What lacks most for a leg that ends with the next round, and the other ways out."""
    following = max(coming.done(number, coming.leg or 0) for number in coming.legs()) + 1
    lacks, name = max((legs.lacks(colour, ball, following), colour or "") for colour, ball in balls)
    sight = yarn_of(coming)
    sights = (sight, *sight.others) if sight else ()
    yarn = next((one for one in sights if (one.colour or "") == name), None)
    if yarn is None:
        return NotFar("short", short_g=lacks)
    ball = next(ball for colour, ball in balls if colour == yarn.colour)
    found = rescues(coming, ball, yarn.colour, lacks)
    ways = tuple(way for way in found if way.kind != "legs" and way.grams > 0)
    return NotFar("short", yarn=yarn._replace(rescues=ways), short_g=lacks)
