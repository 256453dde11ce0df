"""How long the open legs of a pair may be for a ball: the one rule of every shorter, or longer, leg.

A leg that is safe need not be safe a round shorter: by colour the stripes of the foot move with its
end. So rounds are tried one by one, never by halves.
"""

from __future__ import annotations

from collections.abc import Callable

from tracker.forecast.coming import Coming
from tracker.forecast.yarn import Ball
from tracker.knitting.state import Number
from tracker.pattern.scores import AT_95

LIKELY, SAFE = 0.0, AT_95
"""The normal scores of 50 and of 95 in 100."""


class Legs:
    """The open legs of a pair, as the sock in sight is looked at; there must be one.

    All of them end at the same round, as socks do; with `apart` each is so many rounds longer, or
    shorter, than it would be; with `only` the other one ends where it would.
    """

    def __init__(self, coming: Coming, apart: bool = False, only: bool = False) -> None:
        self._coming, self._apart, self._only = coming, apart, only
        self.now = coming.rows_of_leg(coming.number)
        """Rounds that the leg in sight will have."""
        moved = (coming.number,) if only else coming.legs()
        self.least = self.now - min(map(self._room, moved))
        """The fewest it may have: what is knitted is not unravelled."""
        self._made: dict[str | None, int] = {}

    def lacks(self, colour: str | None, ball: Ball, rounds: int, score: float = SAFE) -> float:
        """Grams that a ball lacks (below 0: has over) for a leg of so many rounds, at a normal score."""
        coming = self._coming
        if colour not in self._made:
            self._made[colour] = sum(coming.made(number, colour) for number in coming.socks)
        pieces = [self._made[colour] - ball.stitches]
        pieces += [coming.to_come(n, colour, self._ends(n, rounds)) for n in coming.socks]
        over, sd = ball.over(pieces, len(coming.unfinished))
        return score * sd - over

    def shorter(self, fits: Callable[[int], bool], most: int | None = None) -> int | None:
        """The longest leg that fits, of those not longer than it would be, or than `most`.

        Only where it may end: a repeat that has not always its own stitches ends where it has them.
        """
        tried = range(self.now if most is None else most, self.least - 1, -1)
        return next((n for n in tried if self._may_end(n) and fits(n)), None)

    def farthest(self, fits: Callable[[int], bool], most: int) -> int | None:
        """The leg that fits: the last before the first that does not; if that is over, as `shorter`.

        It is looked for from where the leg would end. So what is enough as planned is never said to be
        too long, where it is not the way out is the same as in `shorter`, and every leg on the way is
        one with which she may end.
        """
        if not fits(self.now):
            return self.shorter(fits)
        last = next((n - 1 for n in range(self.now + 1, most + 1) if not fits(n)), most)
        return next(filter(self._may_end, range(last, self.now, -1)), self.now)

    def _may_end(self, rounds: int) -> bool:
        """Whether what follows the leg in sight finds its stitches after so many rounds."""
        coming = self._coming
        assert coming.leg is not None  # noqa: S101 - there is a leg
        return coming.courses[coming.number].may_end(coming.leg, rounds)

    def _room(self, number: Number) -> int:
        """Rounds by which the leg of a sock may be shorter than that in sight is to be."""
        coming = self._coming
        assert coming.leg is not None  # noqa: S101 - there is a leg
        likely = coming.rows_of_leg(number) if self._apart else self.now
        return likely - max(1, coming.done(number, coming.leg))

    def _ends(self, number: Number, rounds: int) -> int | None:
        """Where a leg ends if that in sight has so many rounds; None: where it would."""
        if self._only and number != self._coming.number:
            return None
        return rounds - self.now + self._coming.rows_of_leg(number) if self._apart else rounds
