"""The heel knitted afterwards: a row of waste yarn holds its place, the wedge of a toe fills it at the end.

That is after the toe's graft, or, from the toe up, after the bind-off.

Common practice, no source; from memory.
"""

from __future__ import annotations

from collections.abc import Sequence

from tracker.pattern import heel, toe
from tracker.pattern.fit import halves
from tracker.pattern.heel_work import Around
from tracker.pattern.layout import Layout, shaping
from tracker.pattern.model import HEEL_PLACE, LATE_HEEL
from tracker.pattern.section_tables import Table, row_text, section_table
from tracker.records import NamedTuple

EACH_END = 2
"""Stitches more that either half of the hole has: one at each corner."""


class Afterthought(NamedTuple):
    """A heel over `stitches`, and its `wedge` over twice as many: those above the waste yarn and below."""

    stitches: int
    wedge: toe.Wedge

    @property
    def rows_deep(self) -> int:
        """Rows that it is long, the round that takes the corners in among them; see HeelWork."""
        return 1 + self.wedge.rounds

    @property
    def gusset_rounds(self) -> int:
        """Rounds that decrease; see HeelWork."""
        return 0

    @property
    def sole(self) -> int:
        """Stitches of the sole after it."""
        return self.stitches

    def least_rounds(self, at_side: bool) -> int:
        """Rounds the foot must have between it and the toe."""
        return 1

    def between(self, at_side: bool) -> int:
        """The round with the waste yarn is one on the instep."""
        return 1

    def numbers(self) -> dict[str, int]:
        """Its numbers, by their names."""
        return {}

    def sections(self, around: Around) -> list[Table]:
        """The round in which waste yarn is laid in over the heel's stitches, in one run.

        Where rounds begin at the centre back the run lies over the border: before the sole's second half
        of this round, and so before its first half of the next. Every stitch is knitted once a round.
        """
        layout = around.layout
        sole = around.on[-1:] if layout.at_side else (around.on[0], around.on[-1])
        rows = [row_text(around.down.round(layout, sole, 0), around.after(0))]
        table = section_table(HEEL_PLACE, "rounds", layout.names, around.on, rows=rows)
        return [table | {"waste": self.stitches}]

    def closing(self, around: Around) -> str | None:
        """No round closes it."""
        return None

    def afterwards(self, around: Around) -> list[Table]:
        """Both rows of loops picked up round the hole, then the wedge, and what is left grafted."""
        half = self.wedge.end // 2
        graft = [f"RS: graft {half} | graft {half} = 0/0"]
        closing = section_table("graft", "rows", ["A", "B"], (half, half), rows=graft)
        return [self.wedge_section(around.layout), closing | {"name": "heel graft"}]

    def wedge_section(self, layout: Layout) -> Table:
        """The heel itself, on a set of needles that hold nothing when it begins."""
        shares = self._shares(layout)
        ends = _ends(shares)
        loops = [*zip((*shares[0], *shares[1]), ends, strict=True)]
        counts = [on + first + last for on, (first, last) in loops]
        picked = row_text([_taken_up(on, *corner) for on, corner in loops], counts)
        names, table_rows = layout.names, []
        corners = [_corner(*end) for end in ends]
        decrease = [shaping(*end) for end in ends]
        for number in range(self.wedge.rounds + 1):
            work = corners if not number else decrease
            if number and not self.wedge.decreases(number):
                table_rows.append(row_text(["k"] * len(ends), counts))
                continue
            counts = [on - first - last for on, (first, last) in zip(counts, ends, strict=True)]
            table_rows.append(row_text(work, counts))
        table = section_table(LATE_HEEL, "rounds", names, [0] * len(names), rows=table_rows)
        return table | {"set_up": picked}

    def _shares(self, layout: Layout) -> tuple[Sequence[int], Sequence[int]]:
        """The stitches of either half on its needles; a round begins at the first corner."""
        whole, parts = (self.stitches,), halves(self.stitches)
        many = len(layout.names)
        return parts if many == 4 else whole, parts if many > 2 else whole


def afterthought(stitches: int) -> Afterthought:
    """The heel of any number of stitches from six on. Raises WillNotWork."""
    heel.check_smallest(stitches)
    return Afterthought(stitches, toe.wedge(2 * stitches))


def _ends(shares: tuple[Sequence[int], Sequence[int]]) -> list[tuple[int, int]]:
    """Of every needle whether a corner lies at its beginning and at its end: one stitch is shaped there."""
    found = []
    for half in shares:
        last = len(half) - 1
        found += [(int(place == 0), int(place == last)) for place in range(len(half))]
    return found


def _taken_up(loops: int, first: int, last: int) -> str:
    """A needle's loops along the waste yarn, and a stitch picked up at each corner that it has."""
    work = f"take up {loops}"
    return f"{'pick up 1, ' if first else ''}{work}{', pick up 1' if last else ''}"


def _corner(first: int, last: int) -> str:
    """A needle whose corner stitches are decreased away."""
    begins = ["ssk"] if first else []
    ends = ["k to last 2", "k2tog"] if last else ["k to end"]
    return ", ".join([*begins, *ends])
