"""Will the yarn last? What a pair's weighings say, laid against what is still to be knitted."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Literal, NamedTuple

from tracker.forecast import left
from tracker.forecast.left import Length, Unknown
from tracker.forecast.yarn import Ball, Fits, Learned, learn, next_weighing, rounds_shorter
from tracker.knitting import pair
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.fold import WEIGHINGS_KEPT
from tracker.knitting.state import Number, State, other
from tracker.pattern.yarn import Verdict, Z, expected, normal, verdict

Lengths = tuple[Length | Unknown | None, Length | Unknown | None]
"""How long the sections in hand are, on sock one and on sock two."""
RescueKind = Literal["toes", "heels", "legs", "ball"]

FRESH = 3
"""Rounds for which a weight is news."""
CLOSING = (10, 5, 2, 1, 0)
"""Rounds ahead of where a leg would have to end at which that is said."""
VAGUE_SHARE = 0.35
"""Doubt of what a sock takes, as a share of it, above which nothing is said."""
SECOND_TIMES, SECOND_MORE_G = 1.05, 1.0
"""What a ball must weigh for sock two: so many times sock one, and grams more.

Common practice, no source.
"""
_PARTS: tuple[tuple[RescueKind, tuple[str, ...]], ...] = (
    ("toes", ("toe",)),
    ("heels", ("heel set-up", "flap", "turn")),
)
"""What may be worked in another yarn, and the kinds of section it is."""
_GROWING = ("cuff", "leg", "foot")
"""Kinds of section in which a weighing is asked for."""


class Rescue(NamedTuple):
    """A way out where the yarn is not enough: the grams it saves, and whether it does alone.

    `rounds` and `socks` are those of shorter legs, else 0: so many rounds off each of the legs.
    `likely` are the rounds that are as likely enough as not; `rounds` are safe where it does.
    """

    kind: RescueKind
    grams: float
    does: bool
    rounds: int = 0
    socks: int = 0
    likely: int = 0


class YarnSight(NamedTuple):
    """The yarn of a pair, in grams.

    `left_g` is what she has now, `sock_g` (`sock_sd`) what a whole sock takes, `over_g` what will
    be left over (below 0: short), `chance` the probability that it is enough. `unfinished` are the
    socks it is for. `weigh_at` is the row of this section at which to weigh next (behind her:
    it is due). `ends_at` is the row at which this leg would have to end. `second_g` is what a ball
    must weigh for sock two, once one sock is finished and the other not begun. `fits` is what the
    last weight was and `expected_g` what was expected of it, until a stitch is made after it; `news`
    is true for a few rounds more.
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

    @property
    def vague(self) -> bool:
        """Nothing can be said yet of how far the yarn goes."""
        return self.sock_sd > VAGUE_SHARE * self.sock_g


def yarn_of(
    course: Course, state: State, number: Number, lengths: Lengths
) -> YarnSight | None:
    """The yarn of the pair as sock `number` is looked at; None where none is told and none weighed.

    `lengths` are those of the sections in hand on both socks.
    """
    told = course.pattern.yarn
    grams = told.grams if told else None
    if len(state.weighings) >= WEIGHINGS_KEPT:
        grams = None  # what lies between it and the weighings kept is not known any more
    learned = learn(expected(course.pattern), grams, state.weighings)
    if learned.ball is None:
        return None
    return _Yarn(course, state, number, lengths, learned, learned.ball).sight()


def cues(sight: YarnSight | None, done: int, kind: str) -> Iterator[Cue]:
    """What is to be said of the yarn after `done` rows of a section of that kind."""
    if sight is None:
        return
    if sight.fits in ("other ball", "anew"):
        yield Cue("yarn", 0, {"expected": sight.expected_g}, sight.fits)
    if sight.weigh_at is not None and sight.weigh_at - done in (0, 1):
        yield Cue("yarn", sight.weigh_at - done, {"grams": sight.left_g}, "weigh")
    if sight.second_g is not None:
        yield Cue("yarn", 0, {"grams": sight.second_g}, "second")
    elif sight.verdict == "enough" or sight.vague or not sight.unfinished:
        return
    elif sight.news:
        yield Cue("yarn", 0, {}, sight.verdict)
    elif kind == "leg" and sight.ends_at is not None and sight.ends_at - done in CLOSING:
        yield Cue("yarn", sight.ends_at - done, {"round": sight.ends_at}, "legs")


class _Yarn:
    def __init__(
        self,
        course: Course,
        state: State,
        number: Number,
        lengths: Lengths,
        learned: Learned,
        ball: Ball,
    ) -> None:
        self._course, self._state, self._number = course, state, number
        self._learned, self._ball, self._use = learned, ball, ball.use
        self._lengths = lengths
        socks = course.pattern.of_socks
        self._for = tuple(n for n in _BOTH if socks or n == number or state.sock(n).begun)
        """What the yarn is for: both socks; of what is no sock what was begun."""
        self._made = {n: pair.made(course, state, n) for n in _BOTH}
        self._left = {n: self._stitches_left(n) for n in self._for}
        self._now = sum(self._made.values())

    def sight(self) -> YarnSight:
        unfinished = tuple(n for n in self._for if not self._state.sock(n).finished)
        pieces = self._pieces()
        over, sd = self._ball.over(pieces, len(unfinished))
        chance = normal(over / sd)
        said = verdict(chance)
        whole = self._made[self._number] + self._left[self._number]
        rescues = () if said == "enough" else tuple(self._rescues(Z * sd - over, -over))
        fresh = self._learned.fits and self._now == self._ball.stitches
        legs = next((rescue for rescue in rescues if rescue.kind == "legs"), None)
        return YarnSight(
            left_g=max(0.0, self._ball.at(max(self._now, self._ball.stitches))),
            sock_g=self._use.mean * whole,
            sock_sd=self._use.sd * whole,
            over_g=over,
            chance=chance,
            verdict=said,
            unfinished=unfinished,
            weighed=bool(self._state.weighings),
            rescues=rescues,
            weigh_at=self._weigh_at(pieces, len(unfinished)),
            ends_at=None if legs is None else self._rows_of("leg", self._number) - legs.rounds,
            second_g=self._second(),
            fits=self._learned.fits[-1] if fresh else None,
            expected_g=self._learned.expected[-1] if fresh else None,
            news=self._now - self._ball.stitches < FRESH * self._around(),
        )

    def _pieces(self) -> tuple[int, ...]:
        """Stitches made since the last weighing, and those to be made on either sock."""
        return (max(0, self._now - self._ball.stitches), *self._left.values())

    # What is still to be knitted

    def _stitches_left(self, number: Number) -> int:
        sock = self._state.sock(number)
        if sock.finished:
            return 0
        here = self._lengths[number - 1]
        by = pair.planned(self._course, self._state, number).by
        rows = left.rows_left(self._course, self._state, number)
        if isinstance(here, Length) and by == "goal":
            rows = here.likely
        following = range(sock.section + 1, self._course.last + 1)
        return left.stitches_left(self._course, self._state, number, rows) + sum(
            self._to_come(index, number) for index in following
        )

    def _to_come(self, index: int, number: Number) -> int:
        section = self._course.sections[index]
        return self._course.made(index, section.rows_to(self._rows(index, number)))

    def _rows_of(self, kind: str, number: Number) -> int:
        index = self._course.find(kind)
        return 0 if index is None else self._rows(index, number)

    def _rows(self, index: int, number: Number) -> int:
        """Rows a section of a sock will have: as she ended it, or as the other sock shows, or planned."""
        section = self._course.sections[index]
        if section.goal is None:
            return section.planned
        for which in (number, other(number)):
            sock = self._state.sock(which)
            if index < len(sock.ended):
                return sock.ended[index]
        for which in (number, other(number)):
            sock = self._state.sock(which)
            if sock.section == index and not sock.finished:
                here = self._lengths[which - 1]
                done = self._course.number(index, sock.rows)
                if isinstance(here, Length):
                    return done + here.likely
                return max(done, section.planned)
        return section.planned

    # Ways out

    def _rescues(self, short: float, likely: float) -> Iterator[Rescue]:
        """What saves `short` grams, in the order in which a knitter would think of it.

        `likely` are the grams that are as likely enough as not.
        """
        parts = _PARTS if self._course.pattern.of_socks else ()
        for kind, sections in parts:
            saved = self._use.mean * sum(self._not_begun(sections, n) for n in _BOTH)
            if saved > 0:
                yield Rescue(kind, saved, saved >= short)
        legs = self._shorter_legs(short, likely)
        if legs is not None:
            yield legs
        yield Rescue("ball", short, does=True)

    def _not_begun(self, kinds: tuple[str, ...], number: Number) -> int:
        """Stitches of some kinds of section on a sock that has come to none of them."""
        at = [n for n, section in enumerate(self._course.sections) if section.kind in kinds]
        sock = self._state.sock(number)
        here = (sock.section, sock.rows + sock.needles)
        if not at or sock.finished or here > (at[0], 0):
            return 0
        return sum(self._to_come(index, number) for index in at)

    def _shorter_legs(self, short: float, likely: float) -> Rescue | None:
        """Every leg that is still open, made shorter by the same number of rounds."""
        index = self._course.find("leg")
        if index is None or self._course.sections[index].goal is None:
            return None
        open_legs = [n for n in _BOTH if self._leg_is_open(n, index)]
        if self._number not in open_legs:
            return None
        around = self._course.sections[index].rows[-1].worked
        if around <= 0:
            return None
        safe, least = (
            rounds_shorter(grams, self._use, around, len(open_legs)) for grams in (short, likely)
        )
        room = min(self._rounds_left(n, index) for n in open_legs)
        rounds = safe if safe <= room else least
        if not 0 < rounds <= room:
            return None
        saved = rounds * around * len(open_legs) * self._use.mean
        return Rescue("legs", saved, rounds == safe, rounds, len(open_legs), least)

    def _leg_is_open(self, number: Number, index: int) -> bool:
        sock = self._state.sock(number)
        return not sock.finished and sock.section <= index

    def _rounds_left(self, number: Number, index: int) -> int:
        sock = self._state.sock(number)
        done = self._course.number(index, sock.rows) if sock.section == index else 0
        return self._rows(index, number) - max(1, done)

    # The scale

    def _weigh_at(self, pieces: tuple[int, ...], tails: int) -> int | None:
        sock = self._state.sock(self._number)
        section = self._course.sections[sock.section]
        if sock.finished or section.kind not in _GROWING:
            return None
        vague = self._use.sd > VAGUE_SHARE * self._use.mean
        known = bool(self._state.weighings) and not vague
        at = next_weighing(self._ball, pieces, tails, known)
        if at is None:
            return None
        done = self._course.number(sock.section, sock.rows)
        row = done + ceil((at - self._now) / self._around())
        ends = self._rows(sock.section, self._number)
        return row if row <= ends else None

    def _around(self) -> int:
        """Stitches of a round where she is."""
        sock = self._state.sock(self._number)
        return max(1, self._course.row(sock.section, max(0, sock.rows - 1)).worked)

    def _second(self) -> float | None:
        """What a ball must weigh for sock two: once one is finished, and the other not begun."""
        done = [n for n in _BOTH if self._state.sock(n).finished]
        if (
            not self._course.pattern.of_socks
            or len(done) != 1
            or self._state.sock(other(done[0])).begun
        ):
            return None
        return SECOND_TIMES * self._use.mean * self._made[done[0]] + SECOND_MORE_G


_BOTH: tuple[Number, Number] = (1, 2)
