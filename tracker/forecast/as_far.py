"""As far as the yarn goes: the longest leg for which it is safely enough, for every unfinished sock."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, NamedTuple

from tracker.forecast import left
from tracker.forecast.ball import VAGUE_SHARE, Told, YarnSight, balls_of, told_of, yarn_of
from tracker.forecast.coming import Coming, Lengths
from tracker.forecast.left import Length
from tracker.forecast.rescues import rescues
from tracker.forecast.yarn import Ball
from tracker.knitting import shares
from tracker.knitting.course import Course
from tracker.knitting.events import MOST_ROUNDS
from tracker.knitting.state import Number, State
from tracker.knitting.stripes import Threads
from tracker.pattern.yarn import Z
from tracker.units import LONGEST_MM


class AsFar(NamedTuple):
    """The round at which both legs end, and the length (mm, from the goal's mark) that they have then."""

    rounds: int
    mm: float


class NotFar(NamedTuple):
    """Why no goal follows from the yarn.

    "colours": those named are not weighed each for itself. "short": not even one round more is safe;
    `yarn` is then what is short, with the other ways out, and `short_g` the grams by which it is.
    """

    why: Literal["not the leg", "no yarn", "colours", "vague", "no length", "short"]
    colours: tuple[str, ...] = ()
    yarn: YarnSight | None = None
    short_g: float = 0.0


def as_far(course: Course, state: State, number: Number, lengths: Lengths) -> AsFar | NotFar:
    """How far the open leg of sock `number` may go, the other one's as far, at 95 in 100.

    Only for a section whose goal she may set. Every ball must last: all the yarn, or each colour's.
    """
    sock = state.sock(number)
    if course.sections[sock.section].kind != "leg":
        return NotFar("not the leg")
    told = told_of(course, state)
    balls = balls_of(state, told)
    coming = Coming(course, state, number, lengths)
    if (why := _not_known(coming, told, balls)) is not None:
        return why
    here = lengths[number - 1]
    if not isinstance(here, Length):
        return NotFar("no length")
    now, done = coming.rows_of_leg(number), _furthest(coming)
    safe = _safe(coming, balls)
    if not safe(done + 1 - now):
        return _short(coming, balls, done + 1 - now, lengths)

    def length(rounds: int) -> float:
        return left.length_after(course, state, number, rounds)

    rounds = now + _last(
        lambda more: length(now + more) <= LONGEST_MM and safe(more), done + 1 - now
    )
    return AsFar(rounds, length(rounds))


def _not_known(
    coming: Coming, told: Told, balls: Sequence[tuple[str | None, Ball]]
) -> NotFar | None:
    if not balls:
        return NotFar("no yarn")
    weighed = {colour for colour, _ in balls}
    growing = [
        name for name in shares.colours_of(coming.course) if name in _of_leg_and_foot(coming)
    ]
    if growing and (missing := tuple(name for name in growing if name not in weighed)):
        return NotFar("colours", missing)
    vague = any(ball.use.sd > VAGUE_SHARE * ball.use.mean for _, ball in balls)
    return NotFar("vague") if vague else None


def _of_leg_and_foot(coming: Coming) -> set[str]:
    """The colours that a longer leg may take more of."""
    told = Threads(coming.course, coming.rows(coming.number))
    moving = (index for index in range(len(coming.course.sections)) if told.ticks(index))
    return {run.name for index in moving for run in told.runs(index, 0, told.rows(index))}


def _furthest(coming: Coming) -> int:
    """Rounds done of the longer one of the legs: none may end before that."""
    assert coming.leg is not None  # noqa: S101 - asked for in the leg only
    return max(coming.done(number, coming.leg) for number in coming.legs())


def _safe(coming: Coming, balls: Sequence[tuple[str | None, Ball]]) -> Callable[[int], bool]:
    """Whether every ball is safely enough for legs that are so many rounds longer."""

    def safe(longer: int) -> bool:
        return all(_lacks(coming, colour, ball, longer) <= 0 for colour, ball in balls)

    return safe


def _lacks(coming: Coming, colour: str | None, ball: Ball, longer: int) -> float:
    """Grams that a ball lacks (below 0: has over) to be safely enough for legs so much longer."""
    made = sum(coming.made(number, colour) for number in coming.socks)
    pieces = [made - ball.stitches]
    pieces += [coming.to_come(number, colour, longer) for number in coming.socks]
    over, sd = ball.over(pieces, len(coming.unfinished))
    return Z * sd - over


def _last(fits: Callable[[int], bool], first: int) -> int:
    """The last number from `first` on, which fits, up to which numbers fit; found by halving."""
    step = 1
    while first + step <= MOST_ROUNDS and fits(first + step):
        step *= 2
    low, high = first + step // 2, first + step
    if step == 1:
        return first
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _short(
    coming: Coming, balls: Sequence[tuple[str | None, Ball]], longer: int, lengths: Lengths
) -> NotFar:
    """What lacks most for a leg that ends with the next round, and the other ways out."""
    lacks, name = max(
        (_lacks(coming, colour, ball, longer), colour or "") for colour, ball in balls
    )
    sight = yarn_of(coming)
    sights = (sight, *sight.others) if sight else ()
    yarn = next((one for one in sights if (one.colour or "") == name), None)
    if yarn is None:
        return NotFar("short", short_g=lacks)
    use = next(ball.use for colour, ball in balls if colour == yarn.colour)
    found = rescues(coming, use, yarn.colour, lacks, 0.0)
    ways = tuple(way for way in found if way.kind != "legs" and way.grams > 0)
    return NotFar("short", yarn=yarn._replace(rescues=ways), short_g=lacks)
