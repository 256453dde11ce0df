"""How much yarn a stitch takes, learned from the scale: a line with two unknowns, and normal doubt.

The unknowns are the grams that are left and the grams to a stitch. Each weighing sharpens both by
one closed-form step; a weight that does not fit begins another ball. Balls of several colours have a
line each and the use in common. All weights are grams.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import hypot, sqrt
from typing import Literal

from tracker.knitting.state import Weighing
from tracker.pattern.scores import AT_90, AT_95
from tracker.pattern.yarn import FABRIC, TAILS_G, Use
from tracker.records import NamedTuple

SCALE_SD = 1 / sqrt(12)
"""Grams (sd) of a weight on a scale that shows whole grams; 0.41 on a difference of two."""
OUTLIER = 3.0
"""Standard deviations beyond which a weight is of another ball, or of another place."""
FIRST_G = 8.0
"""Grams used before a weight tells anything: below that a scale of 1 g errs by 5 % or more."""
WORTH_G = 3.0
"""Grams used since the last weight below which another is not asked for: it would err by 14 % or more."""
SAME_G = 1.0
"""Grams by which two weights of the same yarn may differ on the scale."""
LEAST_USE = 1e-5
"""Grams to a stitch: no yarn takes less."""
LIKELY_SHIFT = AT_90
"""A weight that changes the answer less often than one time in ten is not asked for."""

Fits = Literal["first", "fits", "other ball", "anew"]
"""What a weighing was: the first of all, in line, above the last one, or else out of line."""


class Ball(NamedTuple):
    """A ball as it was last weighed: grams left once `stitches` of it were made, and what one takes.

    `sd` is the doubt of the grams, `shared` their covariance with the use.
    """

    grams: float
    stitches: int
    use: Use
    sd: float = SCALE_SD
    shared: float = 0.0

    def at(self, stitches: int) -> float:
        """Grams that are left once so many stitches are made."""
        return self.grams - self.use.mean * (stitches - self.stitches)

    def spread_at(self, more: int) -> tuple[float, float]:
        """Variance of the grams left `more` stitches on, and their covariance with the use."""
        vary = self.use.sd**2
        fabric = FABRIC * self.use.mean * more
        left = self.sd**2 - 2 * more * self.shared + more**2 * vary + fabric**2
        return max(0.0, left), self.shared - more * vary

    def weighed(self, grams: float, stitches: int) -> Ball:
        """The ball after one more weight: the sequential step of linear least squares."""
        more = stitches - self.stitches
        left, shared = self.spread_at(more)
        whole = left + SCALE_SD**2
        rest = grams - self.at(stitches)
        use = Use(
            max(LEAST_USE, self.use.mean + shared * rest / whole),
            sqrt(max(0.0, self.use.sd**2 - shared**2 / whole)),
        )
        share = SCALE_SD**2 / whole
        return Ball(grams - rest * share, stitches, use, sqrt(left * share), shared * share)

    def taught(self, use: Use) -> Ball:
        """The ball once the weight of another has taught what a stitch takes.

        Given the use, what two balls weigh is independent: only what hangs on the use moves with it.
        """
        along = self.shared / self.use.sd**2 if self.use.sd > 0 else 0.0
        own = max(0.0, self.sd**2 - along * self.shared)
        shared = along * use.sd**2
        grams = self.grams + along * (use.mean - self.use.mean)
        return Ball(grams, self.stitches, use, sqrt(own + along * shared), shared)

    def surprise(self, grams: float, stitches: int) -> float:
        """By how many standard deviations a weight is more than expected (below 0: less)."""
        left, _ = self.spread_at(stitches - self.stitches)
        return (grams - self.at(stitches)) / hypot(sqrt(left), SCALE_SD)

    def over(self, pieces: Sequence[int], tails: int) -> tuple[float, float]:
        """Grams left over (below 0: short), with their sd, after pieces of so many stitches and tails."""
        stitches = sum(pieces)
        grams = self.grams - self.use.mean * stitches - TAILS_G * tails
        fabrics = (FABRIC * self.use.mean * piece for piece in pieces)
        line = self.sd**2 - 2 * stitches * self.shared + (stitches * self.use.sd) ** 2
        return grams, hypot(sqrt(max(0.0, line)), *fabrics)

    def shift(self, more: int, stitches: int) -> float:
        """By how much (sd) a weight `more` stitches on may move what is left over after `stitches`."""
        left, shared = self.spread_at(more)
        return abs(left - (stitches - more) * shared) / hypot(sqrt(left), SCALE_SD)


class Learned(NamedTuple):
    """The balls after all weighings, what each of those was, and what each was expected to be.

    A ball stands under its colour, all the yarn together under None.
    """

    balls: Mapping[str | None, Ball]
    fits: tuple[Fits, ...] = ()
    expected: tuple[float | None, ...] = ()

    @property
    def ball(self) -> Ball | None:
        """All the yarn together, where that is told or was weighed."""
        return self.balls.get(None)


def learn(use: Use, told: float | None, weighings: Iterable[Weighing]) -> Learned:
    """What all weighings teach, in their order, beginning with `use` and the grams `told` in the plan.

    Those of one ball at the same place become one, their mean. What was told counts as a weight before
    the first stitch, until that is weighed, or more is. A weight above the last one, or one far out of
    line, is taken for what is there now and teaches nothing of the use. All balls are knitted by one
    hand: what a stitch takes is learned from all of them together.
    """
    scale = _Scale(use, told)
    taken = [scale.take(weighed) for weighed in weighings]
    return Learned(
        scale.balls, tuple(fits for fits, _ in taken), tuple(grams for _, grams in taken)
    )


class _Step(NamedTuple):
    """What a weight did to a ball: it began it anew, or was learned from."""

    colour: str | None
    grams: float
    stitches: int
    begins: bool


class _Scale:
    """Weighings as they come. `_here` are those at a ball's place, and which of the steps they made."""

    def __init__(self, use: Use, told: float | None) -> None:
        self.balls: dict[str | None, Ball] = {}
        self._prior, self._told = use, told
        self._steps: list[_Step] = []
        self._here: dict[str | None, tuple[int, list[float]]] = {}
        self._from_the_start()

    def take(self, weighed: Weighing) -> tuple[Fits, float | None]:
        """Take a weight in; what it was, and the grams expected."""
        grams, stitches, colour = weighed.grams, weighed.of_it, weighed.colour
        ball, (step, here) = self.balls.get(colour), self._here.get(colour, (0, []))
        if ball is None or (not here and (stitches == 0 or grams > ball.grams)):
            return self._begin(colour, grams, stitches, "first"), None
        expected = ball.at(stitches)
        same_place = bool(here) and stitches == ball.stitches
        if same_place and abs(grams - here[-1]) <= SAME_G:
            here.append(grams)
            self._steps[step] = self._steps[step]._replace(grams=sum(here) / len(here))
            self._from_the_start()
            return "fits", expected
        # Where less is made than then, some was ripped, and its yarn is on the scale again.
        above = grams - (here[-1] if here else ball.grams)
        noise = above <= SAME_G and not same_place and ball.surprise(grams, stitches) <= OUTLIER
        if stitches >= ball.stitches and above > 0 and not noise:
            return self._begin(colour, grams, stitches, "other ball"), expected
        if same_place or abs(ball.surprise(grams, stitches)) > OUTLIER:
            return self._begin(colour, grams, stitches, "anew"), expected
        self._add(_Step(colour, grams, stitches, begins=False))
        return "fits", expected

    def _begin(self, colour: str | None, grams: float, stitches: int, fits: Fits) -> Fits:
        self._add(_Step(colour, grams, stitches, begins=True))
        return fits

    def _add(self, step: _Step) -> None:
        self._here[step.colour] = len(self._steps), [step.grams]
        self._steps.append(step)
        self._do(step)

    def _from_the_start(self) -> None:
        """All steps once more, where one of them has changed."""
        self._use = self._prior
        self.balls.clear()
        if self._told is not None:
            self.balls[None] = Ball(self._told, 0, self._use)
        for step in self._steps:
            self._do(step)

    def _do(self, step: _Step) -> None:
        if step.begins:
            self.balls[step.colour] = Ball(step.grams, step.stitches, self._use)
            return
        ball = self.balls[step.colour].weighed(step.grams, step.stitches)
        self._use = ball.use
        for colour, other in self.balls.items():
            self.balls[colour] = ball if colour == step.colour else other.taught(self._use)


def next_weighing(ball: Ball, pieces: Sequence[int], tails: int, known: bool) -> int | None:
    """Stitches of the pair at which a weight tells most; None: none is needed.

    The first one comes after FIRST_G grams; a further one (`known`) where it would change the
    answer, enough, tight or not, in more than one case of ten.
    """
    stitches, step = sum(pieces), int(FIRST_G / ball.use.mean) + 1
    if step >= stitches:
        return None
    if not known:
        return ball.stitches + step
    tried = range(step, stitches, max(1, step // 2))
    at = next((more for more in tried if would_tell(ball, more, pieces, tails)), None)
    return None if at is None else ball.stitches + at


def would_tell(ball: Ball, more: int, pieces: Sequence[int], tails: int) -> bool:
    """Whether a weight `more` stitches on would change the answer in more than one case of ten.

    The answer is enough, tight or not, of `pieces` of stitches since it was weighed, and their tails.
    """
    stitches = sum(pieces)
    if not 0 < more <= stitches:
        return False
    over, sd = ball.over(pieces, tails)
    shift = ball.shift(more, stitches)
    borders = (0.0, AT_95 * sqrt(max(0.0, sd**2 - shift**2)))
    return any(abs(over - border) < LIKELY_SHIFT * shift for border in borders)
