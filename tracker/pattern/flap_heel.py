"""The heel with a flap: its counts together, and its sections from the set-up to the gusset."""

from __future__ import annotations

from tracker.pattern import heel
from tracker.pattern.fit import halves
from tracker.pattern.heel_work import Around, flat, set_up
from tracker.pattern.instep import Instep
from tracker.pattern.layout import Layout
from tracker.pattern.section_tables import Table, row_text, section_table
from tracker.records import NamedTuple


class FlapHeel(NamedTuple):
    """A flap of `rows` rows of that `kind`, a turn and a gusset."""

    kind: str
    rows: int
    turn: heel.Turn | heel.SquareTurn
    gusset: heel.Gusset

    @property
    def rows_deep(self) -> int:
        """Rows that it is long; see HeelWork."""
        return self.turn.rows + 1

    @property
    def gusset_rounds(self) -> int:
        """Rounds that decrease; see HeelWork."""
        return self.gusset.rounds

    @property
    def sole(self) -> int:
        """Stitches of the sole after it."""
        return self.gusset.sole

    def least_rounds(self, at_side: bool) -> int:
        """Rounds the foot must have before the toe."""
        return self.gusset.rounds

    def between(self, at_side: bool) -> int:
        """The pick-up round is worked over the instep, and at the side the set-up row."""
        return 2 if at_side else 1

    def numbers(self) -> dict[str, int]:
        """Its numbers, by their names."""
        return {
            "flap_rows": self.rows, "turn_rows": self.turn.rows, "heel_centre": self.turn.live,
            "after_pick_up": self.gusset.total,
            "gusset_decrease_rounds": len(self.gusset.decreases),
            "gusset_rounds": self.gusset.rounds,
        }  # fmt: skip

    def sections(self, around: Around) -> list[Table]:
        """Its sections between leg and foot."""
        begins, beginning = around.layout.flap_begins, set_up(around)
        around = around.past_set_up
        flap = flat("flap", around, around.heel, heel.flap(self.kind, around.heel, begins))
        turn = flat("turn", around, around.heel, [*heel.turn_rows(self.turn, begins)])
        edge = [self._first_edge(around)] if around.layout.at_side else []
        return [
            beginning,
            flap | {"planned": self.rows},
            turn,
            *edge,
            self._gusset_section(around),
        ]

    def closing(self, around: Around) -> str | None:
        """No round closes it."""
        return None

    def afterwards(self, around: Around) -> list[Table]:
        """Nothing of it comes later."""
        return []

    def _first_edge(self, around: Around) -> Table:
        """At the side a round begins after the first edge: cup and pick-up are a row of their own."""
        up, live = self.gusset.picked_up[0], self.turn.live
        rows = [f"RS: k{live}, pick up {up} = {live + up}"]
        return flat("other", around, live, rows) | {"name": "first edge"}

    def _gusset_section(self, around: Around) -> Table:
        layout, live, instep = around.layout, self.turn.live, around.on_instep
        if layout.at_side:
            # The first edge is on the needle already.
            before: tuple[int, ...] = (*instep, live + self.gusset.picked_up[0])
        else:
            first, last = halves(live)
            before = (first, *instep, last)
        picked, *rows = gusset_rows(layout, self.gusset, live, around.down)
        table = section_table("gusset", "rounds", layout.names, before, rows=rows)
        return table | {"set_up": picked}


def gusset_rows(layout: Layout, gusset: heel.Gusset, live: int, instep: Instep) -> list[str]:
    """The rows of a gusset, the pick-up round first, with what each leaves.

    `live` stitches stand on the heel needle after the turn; `instep` is what lies on the instep's needles
    and is worked there.
    """
    first_edge, second_edge = gusset.picked_up
    patterned = instep.work(0)
    if layout.at_side:
        counts = [*instep.leaves(0), live + first_edge + second_edge]
        # This round is the first that meets the first edge's stitches.
        work = [*patterned, f"pick up {second_edge}, k{live}, k{first_edge} tbl"]
    else:
        first, last = halves(live)
        counts = [first + first_edge, *instep.leaves(0), last + second_edge]
        work = [
            f"rest {first}, pick up {first_edge}",
            *patterned,
            f"pick up {second_edge}, k{last}",
        ]
    rows = [row_text(work, counts)]
    centre = second_edge + halves(live)[1]
    for number in range(1, gusset.rounds + 1):
        beside_first, beside_second = gusset.taken(number)
        sole = [counts[-1]] if layout.at_side else [counts[0], counts[-1]]
        counts[-1] -= beside_second
        centre -= beside_second
        # At the side both edges are on one needle, else the first edge is on the first.
        counts[-1 if layout.at_side else 0] -= beside_first
        where = slice(0, -1) if layout.at_side else slice(1, -1)
        counts[where] = instep.leaves(number)
        shaped = layout.shaped(instep.work(number), beside_second, beside_first)
        rows.append(row_text(instep.seeded(layout, shaped, sole, number, centre), counts))
    return rows
