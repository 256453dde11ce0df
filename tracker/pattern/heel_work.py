"""What any heel is to the sock around it, whatever its construction, and what most of them share."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from tracker.pattern.instep import Instep
from tracker.pattern.layout import Layout
from tracker.pattern.section_tables import Table, row_text, section_table
from tracker.records import NamedTuple


class Around(NamedTuple):
    """The sock around a heel of `heel` stitches: `down` is what the instep does in round after round.

    `before` are those stitches of the heel that lie between where a round begins and the instep.
    """

    layout: Layout
    heel: int
    instep: int
    down: Instep
    before: int

    @property
    def on_instep(self) -> tuple[int, ...]:
        """The stitches on each needle of the instep while the heel is worked."""
        return self.down.holds

    @property
    def on(self) -> tuple[int, ...]:
        """The stitches on every needle of the round before the heel."""
        return self._beside(self.down.holds, self.before)

    def after(self, number: int) -> tuple[int, ...]:
        """The stitches on every needle after a round of the instep, the heel's in halves."""
        return self._beside(self.down.leaves(number), self.layout.around(self.heel, self.instep)[0])

    @property
    def past_set_up(self) -> Around:
        """The same once the heel is set up: where rounds begin at the side that was a round of the instep."""
        return self._replace(down=self.down.further(1)) if self.layout.at_side else self

    def _beside(self, instep: tuple[int, ...], first: int) -> tuple[int, ...]:
        if self.layout.at_side:
            return (*instep, self.heel)
        return (first, *instep, self.heel - first)


class HeelWork(Protocol):
    """A heel: its counts, and its sections."""

    @property
    def rows_deep(self) -> int:
        """Rows of the foot's fabric that it is long, from the back of the heel to the foot's rounds."""

    @property
    def gusset_rounds(self) -> int:
        """Rounds of the foot that bring it to its stitches; 0 where it has them at once."""

    @property
    def sole(self) -> int:
        """The stitches of the sole once it is over."""

    def least_rounds(self, at_side: bool) -> int:
        """Rounds that the foot must have between it and the toe."""

    def between(self, at_side: bool) -> int:
        """Rounds on the instep between those of the leg and those that are counted as the foot's."""

    def numbers(self) -> Mapping[str, int]:
        """The numbers it has in a pattern; the others are none of its construction."""

    def sections(self, around: Around) -> list[Table]:
        """Its sections between leg and foot, or between foot and leg."""

    def closing(self, around: Around) -> str | None:
        """The round that closes it, before round 1 of what follows; None where there is none."""

    def afterwards(self, around: Around) -> list[Table]:
        """Its sections once all else is closed: after the graft of the toe, or after the bind-off."""


def set_up(around: Around) -> Table:
    """The row that brings the yarn to where a heel worked flat begins, and its stitches on one needle."""
    layout, on = around.layout, around.on
    if layout.at_side:
        # The instep is worked once more, and rests; the yarn then hangs where the heel begins.
        (work,) = around.down.work(0)
        row = row_text([f"RS: {work}", ""], (*around.down.leaves(0), around.heel))
        return section_table("heel set-up", "rows", layout.names, on, rows=[row])
    rows = [f"RS: k{on[0]}, turn = {around.heel}"]
    table = section_table("heel set-up", "rows", layout.names, on, rows=rows)
    return table | {"onto": "heel", "resting_names": list(layout.instep_names)}


def flat(kind: str, around: Around, on: int, rows: Sequence[str], *, after: int = -1) -> Table:
    """Rows on the heel needle, which holds `on`; the instep rests after that round of its own."""
    table = section_table(kind, "rows", ["heel"], (on,), rows=list(rows))
    resting = {
        "resting": list(around.down.leaves(after)),
        "resting_names": list(around.layout.instep_names),
    }
    return table | resting


def to_the_centre(around: Around, number: int) -> str:
    """A heel's last round: over the instep, in that round of its own, and on to the centre back."""
    on = around.after(number)
    work = around.down.round(around.layout, (on[0], on[-1]), number)
    last = f"k{on[-1]}" if work[-1] == "k" else work[-1]
    return row_text([f"rest {on[0]}", *work[1:-1], last], on)
