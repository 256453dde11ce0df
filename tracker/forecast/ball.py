"""Will the yarn last? What a pair's weighings say, laid against what is still to be knitted."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt
from typing import TYPE_CHECKING

from tracker.forecast.coming import Coming as Coming
from tracker.forecast.coming import Lengths as Lengths
from tracker.forecast.yarn import (
    OUTLIER,
    WORTH_G,
    Ball,
    Fits,
    Learned,
    learn,
    next_weighing,
    would_tell,
)
from tracker.knitting import shares
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.fold import WEIGHINGS_KEPT
from tracker.knitting.state import BOTH, Number, State
from tracker.knitting.used_up import is_whole
from tracker.pattern.model import Yarn
from tracker.pattern.scores import AT_95
from tracker.pattern.yarn import (
    COLOURS_TOLD,
    Verdict,
    expected,
    metres_to_a_gram,
    normal,
    thread,
    verdict,
)
from tracker.records import NamedTuple

if TYPE_CHECKING:
    from tracker.forecast.rescues import Rescue

FRESH = 3
"""Rounds for which a weight is news."""
ODD: tuple[Fits, ...] = ("other ball", "anew")
"""What a weight is called that does not fit."""
CLOSING = (10, 5, 2, 1, 0)
"""Rounds ahead of where a leg would have to end at which that is said."""
BEFORE_THE_END = 3
"""Rounds before the leg would have to end at which a weight is asked for that may show it need not."""
ASKED_AGAIN = 10
"""Rounds after which a weighing that was passed by is asked for once more."""
VAGUE_SHARE = 0.35
"""Doubt of what a sock takes, as a share of it, above which nothing is said."""
SECOND_TIMES, SECOND_MORE_G = 1.05, 1.0
"""What a ball must weigh for sock two: so many times sock one, and grams more.

Common practice, no source.
"""
_GROWING = ("cuff", "leg", "foot")
"""Kinds of section in which a weighing is asked for."""


class YarnSight(NamedTuple):
    """The yarn of a pair, or of one `colour` of it, in grams.

    `left_g` is what she has now, `sock_g` (`sock_sd`) what a whole sock takes, `over_g` what will
    be left over (below 0: short), `lacks_g` what would have to be there besides for it to be safe
    (below 0: it is), `chance` the probability that it is enough. `unfinished` are the
    socks it is for. `weigh_at` is the row of this section at which to weigh next (behind her:
    it is due). `ends_at` is the row at which this leg would have to end, to be safe or, where no length
    is, for an even chance. `second_g` is what a ball
    must weigh for sock two, once one sock is finished and the other not begun. `fits` is what the
    last weight was and `expected_g` what was expected of it, until a stitch is made after it; where that
    was of all colours together and does not fit, `alone` are those it may be of alone, the likeliest
    first. `news` is true for a few rounds more. `metres` are those of a gram, where the plan tells them; with
    `in_metres` it tells nothing else, and nothing was weighed. `half_g` is half of what there is, until
    anything is cast on. `others` are the balls of other colours.
    """

    left_g: float
    sock_g: float
    sock_sd: float
    over_g: float
    chance: float
    verdict: Verdict
    unfinished: tuple[Number, ...]
    weighed: bool
    rescues: tuple[Rescue, ...] = ()
    weigh_at: int | None = None
    ends_at: int | None = None
    second_g: float | None = None
    fits: Fits | None = None
    expected_g: float | None = None
    news: bool = False
    colour: str | None = None
    metres: float | None = None
    in_metres: bool = False
    half_g: float | None = None
    others: tuple[YarnSight, ...] = ()
    alone: tuple[str, ...] = ()
    lacks_g: float = 0.0
    so_far: bool = False
    """The pattern is not all there, so nobody knows what is still to be knitted."""

    @property
    def vague(self) -> bool:
        """Nothing can be said yet of how far the yarn goes."""
        return self.so_far or self.sock_sd > VAGUE_SHARE * self.sock_g


def yarn_of(coming: Coming) -> YarnSight | None:
    """The yarn of the pair as one sock is looked at; None where none is told and none weighed.

    Of several balls it is the one weighed just now, else the one that is least sure to be enough; the
    `others` come after it.
    """
    state = coming.state
    told = told_of(coming.course, state)
    balls = balls_of(coming, told)
    if not balls:
        return None
    sights = [_Sight(coming, told, colour, ball).sight() for colour, ball in balls]
    if not is_whole(coming.course.pattern):
        sights = [_so_far(sight) for sight in sights]
    first, *others = sorted(sights, key=lambda sight: _urgency(sight, state))
    return first._replace(others=tuple(others[:COLOURS_TOLD]))


def _so_far(sight: YarnSight) -> YarnSight:
    """What can be said of the yarn while the pattern is not all there."""
    return sight._replace(so_far=True, rescues=(), ends_at=None, second_g=None)


def cues(sight: YarnSight | None, done: int, kind: str) -> Iterator[Cue]:
    """What is to be said of the yarn after `done` rows of a section of that kind."""
    for one in () if sight is None else (sight, *sight.others):
        for cue in _cues(one, done, kind):
            yield cue._replace(data={**cue.data, "ball": one})


def _cues(sight: YarnSight, done: int, kind: str) -> Iterator[Cue]:
    if sight.fits in ODD:
        yield Cue("yarn", 0, {"expected": sight.expected_g}, sight.fits)
    if sight.weigh_at is not None and _is_asked_for(sight.weigh_at - done):
        yield Cue("yarn", max(0, sight.weigh_at - done), {"grams": sight.left_g}, "weigh")
    if sight.second_g is not None:
        yield Cue("yarn", 0, {"grams": sight.second_g}, "second")
    elif sight.verdict == "enough" or sight.vague or not sight.unfinished:
        return
    elif sight.news:
        yield Cue("yarn", 0, {}, sight.verdict)
    elif kind == "leg" and sight.ends_at is not None and sight.ends_at - done in CLOSING:
        due = sight.weigh_at is not None and sight.weigh_at < done
        yield Cue("yarn", sight.ends_at - done, {"round": sight.ends_at, "weigh": due}, "legs")


def _is_asked_for(ahead: int) -> bool:
    """A round ahead, when it is due, and once in a while where it was passed by."""
    return ahead == 1 or (ahead <= 0 and -ahead % ASKED_AGAIN == 0)


class Told(NamedTuple):
    """The yarn by its plan, and what the weighings teach beside it.

    `metres` are those of a gram, as told; with `only_metres` the grams follow from the gauge alone.
    """

    learned: Learned
    metres: float | None
    only_metres: bool


def told_of(course: Course, state: State) -> Told:
    """The yarn of a pair, as far as anything is known of it."""
    yarn = course.pattern.yarn or Yarn()
    grams, metres = yarn.grams, _metres_to_a_gram(yarn, state)
    only_metres = grams is None and yarn.metres is not None and not state.weighings
    use = expected(course.pattern, metres)
    if only_metres and (grist := metres_to_a_gram(course.pattern)) is not None:
        grams, use, metres = (yarn.metres or 0) / grist, thread(course.pattern, grist), grist
    if len(state.weighings) >= WEIGHINGS_KEPT:
        grams = None  # what lies between it and the weighings kept is not known any more
    return Told(learn(use, grams, state.weighings), metres, only_metres)


def _metres_to_a_gram(yarn: Yarn, state: State) -> float | None:
    """As told; or the metres told, by what all the yarn weighed before the first stitch."""
    if yarn.metres is None:
        return None
    weighed = state.weighings[0] if state.weighings else None
    whole = weighed is not None and weighed.colour is None and not weighed.stitches
    grams = yarn.grams or (weighed.grams if weighed and whole else None)
    return yarn.metres / grams if grams else None


def balls_of(coming: Coming, told: Told) -> list[tuple[str | None, Ball]]:
    """The balls to speak of: what the plan tells of all together is not, once one colour was weighed."""
    weighed = {weighing.colour for weighing in coming.state.weighings}
    if None in weighed and len(weighed) > 1 and weighed >= set(shares.colours_of(*coming.courses)):
        weighed.discard(None)  # every colour speaks for itself
    found = told.learned.balls.items()
    return [(colour, ball) for colour, ball in found if colour in weighed or not weighed]


def _urgency(sight: YarnSight, state: State) -> tuple[bool, float]:
    just_now = state.last.kind == "weigh" and state.weighings[-1].colour == sight.colour
    return not just_now, sight.chance


class _Sight:
    def __init__(self, coming: Coming, told: Told, colour: str | None, ball: Ball) -> None:
        self._coming, self._state, self._number = coming, coming.state, coming.number
        self._told, self._colour, self._ball, self._use = told, colour, ball, ball.use
        self._made = {n: coming.made(n, colour) for n in BOTH}
        self._left = {n: coming.to_come(n, colour) for n in coming.socks}
        self._now = sum(self._made.values())
        mine = [w for w in self._state.weighings if w.colour == colour]
        self._last = mine[-1] if mine else None

    def sight(self) -> YarnSight:
        coming, ball = self._coming, self._ball
        tails = len(coming.unfinished)
        over, sd = ball.over(self._pieces(), tails)
        chance = normal(over / sd)
        said = verdict(chance)
        whole = self._made[self._number] + self._left[self._number]
        ways = () if said == "enough" else self._rescues(AT_95 * sd - over, -over)
        fresh = self._last is not None and self._since() == 0
        fits = self._fits() if fresh else (None, None)
        ends = self._ends_at(ways)
        # What was ripped since the weighing is yarn again.
        left_g = max(0.0, ball.at(self._now))
        begun = any(self._state.sock(n).begun for n in BOTH)
        return YarnSight(
            left_g=left_g,
            sock_g=self._use.mean * whole,
            sock_sd=self._use.sd * whole,
            over_g=over,
            lacks_g=AT_95 * sd - over,
            chance=chance,
            verdict=said,
            unfinished=coming.unfinished,
            weighed=self._last is not None,
            rescues=ways,
            weigh_at=self._weigh_at(tails, ends),
            ends_at=ends,
            second_g=self._second(),
            fits=fits[0],
            expected_g=fits[1],
            alone=self._alone() if fits[0] in ODD else (),
            news=0 <= self._since() < FRESH * self._around(),
            colour=self._colour,
            metres=self._told.metres,
            in_metres=self._told.only_metres,
            half_g=left_g / 2 if coming.course.pattern.of_socks and not begun else None,
        )

    def _pieces(self) -> tuple[int, ...]:
        """Stitches made since the last weighing, and those to be made on either sock."""
        return (self._now - self._ball.stitches, *self._left.values())

    def _since(self) -> int:
        """Stitches of the pair, in any colour, since this ball was weighed or told."""
        made = sum(self._coming.made(n, None) for n in BOTH)
        return made - (self._last.stitches if self._last else self._ball.stitches)

    def _fits(self) -> tuple[Fits, float | None]:
        """What the last weight of this ball was, and what was expected of it."""
        learned = self._told.learned
        at = self._state.weighings.index(self._last) if self._last else -1
        if learned.fits[at] == "first" and self._last and self._last.colour is None:
            grams, doubt = self._one_by_one()
            if self._last.grams < grams - OUTLIER * doubt:
                return "anew", grams
        return learned.fits[at], learned.expected[at]

    def _of_colours(self) -> Iterator[tuple[str, Ball, int]]:
        """The balls of one colour that were weighed, and the stitches made of each."""
        for colour, ball in self._told.learned.balls.items():
            if colour is not None:
                yield colour, ball, sum(self._coming.made(n, colour) for n in BOTH)

    def _one_by_one(self) -> tuple[float, float]:
        """What the colours that were weighed one by one weigh together, and its doubt at the most."""
        grams, doubt = 0.0, 0.0
        for _, ball, made in self._of_colours():
            grams += max(0.0, ball.at(made))
            doubt += sqrt(ball.spread_at(made - ball.stitches)[0])
        return grams, doubt

    def _alone(self) -> tuple[str, ...]:
        """The colours whose ball alone may have been on the scale, when all were meant to be."""
        names = shares.colours_of(self._coming.course) if self._colour is None else ()
        if self._last is None or not names:
            return ()
        grams = self._last.grams
        off = {name: abs(ball.surprise(grams, made)) for name, ball, made in self._of_colours()}
        near = sorted((name for name, by in off.items() if by <= OUTLIER), key=off.__getitem__)
        return tuple(near) or tuple(name for name in names if name not in off)

    def _rescues(self, short: float, likely: float) -> tuple[Rescue, ...]:
        from tracker.forecast.rescues import rescues  # most yarn is enough

        found = rescues(self._coming, self._ball, self._colour, short, likely)
        return tuple(rescue for rescue in found if rescue.grams > 0)

    def _ends_at(self, ways: tuple[Rescue, ...]) -> int | None:
        """The round at which the leg would have to end."""
        legs = next((rescue for rescue in ways if rescue.kind == "legs"), None)
        return None if legs is None else self._coming.rows_of_leg(self._number) - legs.rounds

    def _weigh_at(self, tails: int, ends: int | None) -> int | None:
        """The row at which to weigh: where it tells most, or before the leg would have to end by a guess."""
        sock = self._state.sock(self._number)
        section = self._coming.course.sections[sock.section]
        if sock.finished or section.kind not in _GROWING:
            return None
        before = self._before_the_end(tails, ends) if section.kind == "leg" else None
        rows = filter(None, [before, self._tells_most(tails)])
        return min(rows, default=None)

    def _before_the_end(self, tails: int, ends: int | None) -> int | None:
        """A little before the round at which the leg would have to end; where a weight there tells."""
        row = 0 if ends is None else ends - BEFORE_THE_END
        if row < 1:
            return None
        more = self._now + self._coming.up_to(self._number, row, self._colour) - self._ball.stitches
        if more * self._use.mean < WORTH_G:
            return None
        return row if would_tell(self._ball, more, self._pieces(), tails) else None

    def _tells_most(self, tails: int) -> int | None:
        vague = self._use.sd > VAGUE_SHARE * self._use.mean
        known = self._last is not None and not vague
        at = next_weighing(self._ball, self._pieces(), tails, known)
        if at is None:
            return None
        return self._coming.row_at(self._number, at - self._now, self._colour)

    def _around(self) -> int:
        """Stitches of a round where she is."""
        sock = self._state.sock(self._number)
        return max(1, self._coming.course.row(sock.section, max(0, sock.rows - 1)).worked)

    def _second(self) -> float | None:
        """What a ball must weigh for sock two: once one is finished, and the other not begun."""
        done = [n for n in BOTH if self._state.sock(n).finished]
        of_socks = self._coming.course.pattern.of_socks
        if not of_socks or len(done) != 1 or self._state.sock(3 - done[0]).begun:
            return None
        made = self._made[done[0]]
        return SECOND_TIMES * self._use.mean * made + SECOND_MORE_G if made else None
