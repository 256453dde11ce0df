"""What the instep does from the heel to the toe, round after round, and what the sole does beside it.

The rows of a repeat stand still while a heel is worked flat; every round on the instep works the next one.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern.layout import Layout
from tracker.pattern.notation import Run, read_row, runs
from tracker.pattern.panel import seeded
from tracker.records import NamedTuple


class Instep(NamedTuple):
    """What the instep's needles hold once the leg is over, and their work in round after round.

    Of a repeat `rows` are all its rows, that of the first round first; `after` is what the needles hold after
    each. `letters` are the colours that a sole has in turn beside each row of a chart, `sole` its own work
    on the sole's needles where the chart goes round it, and `heel` that of all its stitches on one needle.
    `begun` rounds of it are done before the one that is called 0.
    """

    holds: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]
    after: tuple[tuple[int, ...], ...] = ()
    letters: tuple[tuple[str, ...], ...] = ()
    sole: tuple[tuple[str, ...], ...] = ()
    heel: tuple[str, ...] = ()
    begun: int = 0

    def further(self, rounds: int) -> Instep:
        """The same once so many rounds of it are done: round 0 is the one after them."""
        return self._replace(holds=self.leaves(rounds - 1), begun=self.begun + rounds)

    def _turn(self, number: int, of: Sequence[object]) -> int:
        """Which of its rows comes in round `number`."""
        return (self.begun + number) % len(of)

    def work(self, number: int) -> tuple[str, ...]:
        """The work of the instep's needles in round `number`, 0 the first one after the leg."""
        return self.rows[self._turn(number, self.rows)]

    def leaves(self, number: int) -> tuple[int, ...]:
        """The stitches on them after it."""
        return self.after[self._turn(number, self.after)] if self.after else self.holds

    def round(self, layout: Layout, sole: Sequence[int], number: int) -> list[str]:
        """A round that takes nothing away, on a sole whose needles hold so many."""
        work = self.work(number)
        if not self.sole:
            return self.seeded(layout, layout.shaped(work, 0, 0), sole, number)
        beside = self.sole[self._turn(number, self.sole)]
        return [*work, *beside] if layout.at_side else [beside[0], *work, *beside[1:]]

    def inside_heel(self, layout: Layout, heel: int, number: int) -> list[str]:
        """A round that begins with the instep, the heel's stitches behind it on one needle."""
        if self.heel:
            return [*self.work(number), self.heel[self._turn(number, self.heel)]]
        at_side = layout._replace(at_side=True)
        return self.seeded(at_side, [*self.work(number), "k"], [heel], number)

    def seeded(
        self,
        layout: Layout,
        work: Sequence[str],
        sole: Sequence[int],
        number: int,
        centre: int | None = None,
    ) -> list[str]:
        """A round's work with the sole in the colours of its row in turn, a stitch each.

        `sole` are the stitches that the sole's needles hold before it, `centre` those that it leaves before
        the centre back where they are all on one needle: half, unless its edges are uneven. Nothing changes
        where there are no colours.
        """
        letters = self.letters[self._turn(number, self.letters)] if self.letters else ()
        if not letters:
            return list(work)
        turned = list(work)
        places = [len(work) - 1] if layout.at_side else [0, len(work) - 1]
        for place, live in zip(places, sole, strict=True):
            made = _runs(work[place], live)
            left = sum(run.times for run in made)
            before = left if place else 0
            if layout.at_side:
                before = left // 2 if centre is None else centre
            turned[place] = seeded(made, letters, self.begun + number, before=before)
        return turned


def _runs(work: str, live: int) -> list[Run]:
    return runs(read_row(work).segments[0], live)[0]
