"""Where the stripes' clock of one sock stands, with every change of colour that was told on it.

A change sets the clock, so that all later stripes move; or it lays one colour over some rounds, and
the clock goes on beneath. Rounds are counted as the clock does: those worked on the instep.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable

from tracker.knitting.changes import Coloured
from tracker.pattern.colours import Colours
from tracker.records import NamedTuple


class Stretch(NamedTuple):
    """Rounds from the one after `first` on, up to the next stretch.

    Of one colour where it has a `name`: `of` rounds of it, 0 where nobody knows how many. Else the clock
    is `offset` rounds ahead of the rounds that were worked.
    """

    first: int
    offset: int = 0
    name: str = ""
    of: int = 0


_AS_PLANNED, _FROM_THE_START = [Stretch(0)], [0]
"""The one stretch of most socks, on which no colour was told otherwise."""


class Clock:
    """The clock of a sock; `told` are its changes by the rounds worked before each, in their order."""

    def __init__(self, colours: Colours, told: Iterable[tuple[int, Coloured]] = ()) -> None:
        self._colours, self._stretches, self._firsts = colours, _AS_PLANNED, _FROM_THE_START
        for before, coloured in told:
            self._tell(before, coloured)
        if self._stretches is not _AS_PLANNED:
            self._firsts = [stretch.first for stretch in self._stretches]

    def _tell(self, before: int, told: Coloured) -> None:
        offset = self._in_force(before).offset
        self._stretches = [one for one in self._stretches if one.first < before]
        set_to, rounds = told.clock, told.rounds
        if told.name:
            lasts = rounds or self._to_the_next_stripe(before + offset)
            self._stretches.append(Stretch(before, offset, told.name, lasts))
            if not lasts:
                return
            before += lasts
        if not told.name or rounds:
            offset = offset if set_to is None else set_to - before
        self._stretches.append(Stretch(before, offset))

    def _in_force(self, rounds: int) -> Stretch:
        return max(
            (one for one in self._stretches if one.first <= rounds), key=lambda one: one.first
        )

    def _to_the_next_stripe(self, ticked: int) -> int:
        """Rounds left of the stripe in which the round after so many lies; 0 without stripes."""
        if not self._colours.period:
            return 0
        stripe, position = self._colours.after(ticked)
        return stripe.rounds - position + 1

    def at(self, rounds: int) -> Stretch:
        """The stretch of the round that comes after so many."""
        if len(self._firsts) == 1:
            return self._stretches[0]
        return self._stretches[bisect_right(self._firsts, rounds) - 1]

    def ends(self, rounds: int) -> int | None:
        """The rounds after which the next stretch begins; None behind the last."""
        place = bisect_right(self._firsts, rounds)
        return self._firsts[place] if place < len(self._firsts) else None

    def begins(self, rounds: int) -> bool:
        """Whether a change of the clock or its end lies at the round that comes after so many."""
        return rounds > 0 and self.at(rounds).first == rounds

    def from_here(self, rounds: int) -> tuple[tuple[int, int, str, int], ...]:
        """All that tells how it goes on from there: alike, wherever it stands, if it goes on alike."""
        place, period = bisect_right(self._firsts, rounds) - 1, self._colours.period or 1
        return tuple(
            (max(one.first - rounds, -one.of), (rounds + one.offset) % period, one.name, one.of)
            for one in self._stretches[place:]
        )
