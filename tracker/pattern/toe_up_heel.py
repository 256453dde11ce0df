"""The heel of a sock from the toe up: how many gusset stitches grow, and the rows of its cup and its flap.

The cup is the cuff-down turn taken the other way: as many short rows, each one stitch shorter than the last,
down to as many stitches as that turn leaves. The flap is worked upwards, each of its rows taking one gusset
stitch with its last. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tracker.pattern.fit import halves
from tracker.pattern.heel import Gusset, SquareTurn, Turn
from tracker.pattern.heel_work import Around, flat, to_the_centre
from tracker.pattern.layout import growing
from tracker.pattern.model import Side
from tracker.pattern.plan import Plan, WillNotWork
from tracker.pattern.section_tables import Table, row_text, section_table
from tracker.records import NamedTuple


def refuse(plan: Plan) -> None:
    """Raise WillNotWork for what is not made from the toe up, or has no place there."""
    if plan.of("heel.picked_up") is not None:
        raise WillNotWork(
            "heel.picked_up", "nothing is picked up from the toe up; leave picked_up out"
        )


class ToeUpHeel(NamedTuple):
    """A gusset that grows, a cup of short rows and a flap of so many `rows` that takes the gusset in."""

    kind: str
    rows: int
    turn: Turn | SquareTurn
    gusset: Gusset

    @property
    def rows_deep(self) -> int:
        """Rows that it is long; see HeelWork."""
        return self.turn.rows + 1

    @property
    def gusset_rounds(self) -> int:
        """Rounds that increase; see HeelWork."""
        return self.gusset.rounds

    @property
    def sole(self) -> int:
        """Stitches of the sole before it."""
        return self.gusset.sole

    def least_rounds(self, at_side: bool) -> int:
        """Rounds the foot must have after the toe."""
        return self.gusset.rounds

    def between(self, at_side: bool) -> int:
        """Its set-up row is worked over the instep, and but for the side the round that closes it."""
        return 1 if at_side else 2

    def numbers(self) -> dict[str, int]:
        """Its numbers, by their names. The last row of the flap takes no stitch in."""
        return {
            "flap_rows": self.rows + 1, "turn_rows": self.turn.rows, "heel_centre": self.turn.live,
            "gusset_decrease_rounds": len(self.gusset.decreases),
            "gusset_rounds": self.gusset.rounds,
        }  # fmt: skip

    def sections(self, around: Around) -> list[Table]:
        """Its sections between foot and leg."""
        on = around.heel + self.rows
        grown = around._replace(down=around.down.further(self.gusset.rounds))
        growing_part, set_up = self._growing(around), self._set_up(grown)
        around = grown._replace(down=grown.down.further(1))
        return [
            growing_part,
            set_up,
            flat("turn", around, on, [*cup_rows(self.turn, self.rows // 2)]),
            flat("flap", around, on, [*joined_flap(self.kind, self.turn, self.rows)]),
        ]

    def closing(self, around: Around) -> str | None:
        """Where rounds begin at the centre back, the flap's end goes over into the round that leads there."""
        if around.layout.at_side:
            return None
        return to_the_centre(around, self.gusset.rounds + 1)

    def afterwards(self, around: Around) -> list[Table]:
        """Nothing of it comes later."""
        return []

    def _growing(self, around: Around) -> Table:
        layout, down = around.layout, around.down
        halves_of_sole = layout.around(self.gusset.sole, self.gusset.instep)
        begins = (*([] if layout.at_side else halves_of_sole[:1]), *down.holds, halves_of_sole[-1])
        counts, rows = list(begins), []
        where = slice(0, -1) if layout.at_side else slice(1, -1)
        for number in range(1, self.gusset.rounds + 1):
            patterned = down.work(number - 1)
            sole = [counts[-1]] if layout.at_side else [counts[0], counts[-1]]
            first, second = self.gusset.taken(number)
            counts[-1] += second
            # At the side both edges are on one needle, else the first edge is on the first.
            counts[-1 if layout.at_side else 0] += first
            if layout.at_side:
                work = [*patterned, growing(second, first)]
            else:
                work = [growing(0, first), *patterned, growing(second, 0)]
            counts[where] = down.leaves(number - 1)
            rows.append(row_text(down.seeded(layout, work, sole, number - 1), counts))
        return section_table("gusset", "rounds", layout.names, begins, rows=rows)

    def _set_up(self, around: Around) -> Table:
        """On to where the heel begins: the instep is worked once more, and rests."""
        first, second = halves(self.gusset.sole)
        edge, layout, down = len(self.gusset.decreases), around.layout, around.down
        instep = down.work(0)
        if layout.at_side:
            before, sole = [], [first + second + 2 * edge]
        else:
            before, sole = [first + edge], [second + edge]
        held = [*before, *sole]
        work = down.seeded(layout, [*["k"] * len(before), *instep, "k"], held, 0)
        work[-1] = ""
        row = row_text(work, (*before, *down.leaves(0), *sole))
        on = (*before, *down.holds, *sole)
        return section_table("heel set-up", "rows", layout.names, on, rows=[f"RS: {row}"])


def flap_rows(stitches: int, turn: Turn | SquareTurn, gap: int, given: int | None) -> int:
    """Rows of the flap: hers, made even, or as many as bring the gusset to what a flap picked up would have.

    `stitches` are the heel's; `gap` are those that would be picked up beside each edge.
    """
    if given is not None:
        return given + given % 2
    return stitches + stitches % 2 + 2 * gap - turn.rows


def gusset(rows: int, leg: int, instep: int, foot: int, *, plain_first: bool) -> Gusset:
    """The gusset that grows so far that a flap of so many rows brings its stitches to those of the leg.

    Raises WillNotWork where it cannot: two grow in a round, and two at least are needed.
    """
    if (foot - leg) % 2:
        raise WillNotWork(
            "foot.stitches",
            f"{foot} cannot be brought to {leg} of the leg two at a time; write {foot - 1} or {foot + 1}",
        )
    fewest = max(2, foot - leg + 2)
    if rows < fewest:
        raise WillNotWork(
            "heel.rows", f"a flap of {rows} rows leaves no gusset; write at least {fewest}"
        )
    increases = (leg + rows - foot) // 2
    edge = rows // 2
    return Gusset(
        (edge, edge), leg + rows, ((1, 1),) * increases, foot - instep, instep, plain_first
    )


def cup_rows(turn: Turn | SquareTurn, edge: int) -> Iterator[str]:
    """The short rows of the cup, right side first, over a needle with `edge` gusset stitches on either side.

    A stitch is wrapped at the end of each.
    """
    on = turn.stitches + 2 * edge
    for row in range(1, turn.rows + 1):
        worked = turn.stitches - row + (edge if row == 1 else 0)
        yield f"{_side(row)}: {_knit(row)}{worked}, w&t = {on}"


def joined_flap(kind: str, turn: Turn | SquareTurn, rows: int) -> Iterator[str]:
    """The rows of a flap that takes a gusset stitch at the end of each, right side first.

    The first begins inside the cup and the first two work the wrapped stitches, so the flap's own stitches
    begin with the third. `kind` is that of any flap. A last row goes back to where the instep begins.
    """
    stitches = turn.stitches
    for row in range(1, rows + 1):
        if row == 1:
            work = f"k{turn.live + turn.rows // 2 - 1}"
        elif row == 2:
            work = f"sl1, p{stitches - 2}"
        else:
            work = _FLAPS[kind](stitches, row)
        take = "ssk" if row % 2 else "p2tog"
        yield f"{_side(row)}: {work}, {take}, turn = {stitches + rows - row}"
    yield f"RS: sl1, k{stitches - 1} = {stitches}"


def _side(row: int) -> Side:
    return "RS" if row % 2 else "WS"


def _knit(row: int) -> str:
    return "k" if row % 2 else "p"


def _slipped(stitches: int, row: int) -> str:
    """All but the last stitch of the heel: that is worked with one of the gusset."""
    if row % 2 == 0:
        return f"sl1, p{stitches - 2}"
    last = "" if stitches % 2 else ", sl1"
    return f"[sl1, k1] {(stitches - 1) // 2} times{last}"


def _plain(stitches: int, row: int) -> str:
    return f"sl1, {_knit(row)}{stitches - 2}"


def _eye_of_partridge(stitches: int, row: int) -> str:
    if row % 4 != 1:
        return _slipped(stitches, row)
    last = "" if stitches % 2 else ", k1"
    return f"sl2, [k1, sl1] {(stitches - 3) // 2} times{last}"


def _garter_edge(stitches: int, row: int) -> str:
    """Three stitches at each end in garter, as a flap from the cuff down has them."""
    middle = stitches - 6
    if row % 2 == 0:
        return ", ".join(["sl1", "k2", *([f"p{middle}"] if middle else []), "k2"])
    between = [f"[sl1, k1] {middle // 2} times"] if middle > 1 else []
    odd = ["k1"] if middle % 2 else []
    return ", ".join(["sl1", "k2", *between, *odd, "k2"])


_FLAPS = {
    "slipped": _slipped,
    "plain": _plain,
    "eye of partridge": _eye_of_partridge,
    "garter edge": _garter_edge,
}
