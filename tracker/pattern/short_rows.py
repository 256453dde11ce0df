"""The heel of short rows, wrapped or with double stitches, for any number of stitches.

Both halves are worked flat over thirds: in the first ever fewer stitches are worked, until the middle is
left, in the second they are taken in again one by one. Common practice, no source; from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from tracker.pattern import heel
from tracker.pattern.heel_work import Around, flat, set_up, to_the_centre
from tracker.pattern.model import FIRST_HALF, HEEL_ROUNDS, SECOND_HALF, Side
from tracker.pattern.section_tables import Table, row_text, section_table
from tracker.records import NamedTuple
from tracker.units import whole


class ShortRows(NamedTuple):
    """`side` stitches are turned on either side of `middle` ones; `doubled`: with double stitches."""

    side: int
    middle: int
    doubled: bool

    @property
    def stitches(self) -> int:
        """All stitches of the heel."""
        return 2 * self.side + self.middle

    @property
    def rows_deep(self) -> int:
        """Rows that it is long; see HeelWork."""
        return 2 * self.side

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
        """Two rounds inside a heel with double stitches, and the one that closes it; see `closing`.

        At the side none closes it, and its set-up row is a round of the instep.
        """
        return self._inside + 1

    @property
    def _inside(self) -> int:
        return 2 if self.doubled else 0

    def numbers(self) -> dict[str, int]:
        """Its numbers, by their names."""
        return {}

    def sections(self, around: Around) -> list[Table]:
        """Its sections between leg and foot, whichever comes first."""
        first, beginning = around.layout.flap_begins, set_up(around)
        around = around.past_set_up
        if not self.doubled:
            second = [*_second_wrapped(self, first)]
            if first == "RS":
                # It ended with a wrong-side row: the yarn comes to where rounds begin.
                second.append(f"RS: k{self.stitches} = {self.stitches}")
            halves = [_part(FIRST_HALF, around, _first_wrapped(self, first))]
            return [beginning, *halves, _part(SECOND_HALF, around, second)]
        return [
            beginning,
            _part(FIRST_HALF, around, _first_doubled(self, first)),
            _rounds_between(around),
            _part(SECOND_HALF, around, _second_doubled(self), after=self._inside - 1),
        ]

    def closing(self, around: Around) -> str | None:
        """Where rounds begin at the centre back, the round in hand goes on there from the heel's end."""
        return None if around.layout.at_side else to_the_centre(around, self._inside)

    def afterwards(self, around: Around) -> list[Table]:
        """Nothing of it comes later."""
        return []


def short_rows(stitches: int, *, doubled: bool) -> ShortRows:
    """The short rows of any heel of at least six stitches. Raises WillNotWork."""
    heel.check_smallest(stitches)
    side = whole(stitches / 3)
    return ShortRows(side, stitches - 2 * side, doubled)


def _part(kind: str, around: Around, rows: Iterator[str] | list[str], *, after: int = -1) -> Table:
    return flat(kind, around, around.heel, list(rows), after=after)


def _rounds_between(around: Around) -> Table:
    """Two rounds on all stitches, from where the heel ends; its stitches stay on their needle."""
    layout = around.layout
    names = layout.names if layout.at_side else (*layout.instep_names, "heel")
    on = (*around.on_instep, around.heel)
    rows = [
        row_text(
            around.down.inside_heel(layout, around.heel, number),
            (*around.down.leaves(number), around.heel),
        )
        for number in range(2)
    ]
    if rows[0] == rows[1]:
        return section_table(HEEL_ROUNDS, "rounds", names, on, rows=rows[:1], repeat=2)
    return section_table(HEEL_ROUNDS, "rounds", names, on, rows=rows)


def _sides(first: Side, rows: range) -> Iterator[tuple[int, Side, str]]:
    """Each row's number, its side, and how its stitches are made there."""
    for row in rows:
        right = (first == "RS") == bool(row % 2)
        yield row, "RS" if right else "WS", "k" if right else "p"


def _first_wrapped(short: ShortRows, first: Side) -> Iterator[str]:
    """Row by row one stitch fewer, each row turned by wrapping the next stitch."""
    many = short.stitches
    for row, side, made in _sides(first, range(1, 2 * short.side + 1)):
        yield f"{side}: {made}{many - row}, w&t = {many}"


def _second_wrapped(short: ShortRows, first: Side) -> Iterator[str]:
    """Row by row one stitch more, the wrapped one, which then has a neighbour to be wrapped."""
    last = 2 * short.side
    for row, side, made in _sides(first, range(1, last + 1)):
        turn = "w&t" if row < last - 1 else "turn"
        # After the last right-side row she goes on in the round.
        ends = f", {turn}" if row < last or side == "WS" else ""
        yield f"{side}: {made}{short.middle + row - 1}, {made}1{ends} = {short.stitches}"


def _first_doubled(short: ShortRows, first: Side) -> Iterator[str]:
    """Row by row one stitch fewer, each begun with a double stitch.

    Where rounds begin at the centre back the set-up has worked the row of all stitches. The last row goes
    on to the end of the needle, over the double stitches there.
    """
    many, last = short.stitches, 2 * short.side + 1
    if first == "RS":
        yield f"RS: k{many}, turn = {many}"
    for row, side, made in _sides("RS", range(2, last)):
        yield f"{side}: DS, {made}{many - row + 1}, turn = {many}"
    yield f"RS: DS, k{short.middle}, k{short.side} = {many}"


def _second_doubled(short: ShortRows) -> Iterator[str]:
    """Row by row one stitch more, through the double stitch of the row before the last one."""
    many, middle, last = short.stitches, short.middle, 2 * short.side + 2
    yield f"WS: p{short.side + middle}, turn = {many}"
    yield f"RS: DS, k{middle - 1}, turn = {many}"
    for row, side, made in _sides("WS", range(3, last + 1)):
        ends = ", turn" if row < last else ""
        yield f"{side}: DS, {made}{middle + row - 3}{ends} = {many}"
