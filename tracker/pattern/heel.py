"""The heel: flap, rounded turn for any number of stitches, pick-up and gusset.

Common practice, no source; the tests knit every row of it and hold it against published heels.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from tracker.pattern.model import Side
from tracker.pattern.plan import WillNotWork

SMALLEST = 6
"""Fewer heel stitches cannot be turned."""


class Turn(NamedTuple):
    """A rounded turn: `stitches` on the needle, `centre` stitches in row 2 between slip and decrease.

    `before` stitches (the slipped one included) are worked in row 1 before its decrease, `left`
    stay unworked on each side after rows 1 and 2; `rows` rows leave `live` stitches.
    """

    stitches: int
    centre: int
    before: int
    left: int
    rows: int
    live: int


def rounded_turn(stitches: int, centre: int | None = None) -> Turn:
    """The rounded turn of any heel of at least six stitches.

    `centre` and `stitches` are of opposite parity; left out, it is 5 (even heels) or 4 (odd).
    Raises WillNotWork with the numbers that work.
    """
    if stitches < SMALLEST:
        raise WillNotWork(
            "heel.stitches", f"{stitches} heel stitches cannot be turned; write at least 6"
        )
    if centre is None:
        centre = 4 + (stitches % 2 == 0)
        while stitches < centre + 5:
            centre -= 2
    elif (stitches + centre) % 2 == 0 or stitches < centre + 5:
        most = stitches - 5
        raise WillNotWork(
            "heel.centre",
            f"{centre} does not divide {stitches} heel stitches evenly; write {_nearest(centre, most)}",
        )
    left = (stitches - centre - 5) // 2
    rows = 2 + left + left % 2
    return Turn(stitches, centre, (stitches + centre - 1) // 2, left, rows, stitches - rows)


def _nearest(centre: int, most: int) -> str:
    near = [
        value for value in (centre - 1, centre + 1) if 0 < value <= most and (most - value) % 2 == 0
    ]
    return " or ".join(map(str, near or [most if most > 0 else most + 2]))


def turn_rows(turn: Turn, first: Side) -> Iterator[str]:
    """Each row of the turn as written, `first` side first, with what it leaves on the heel needle."""
    side: Side = first
    for row in range(1, turn.rows + 1):
        knit, decrease = ("k", "ssk") if side == "RS" else ("p", "p2tog")
        last_one = "" if turn.left % 2 and row > turn.rows - 2 else f", {knit}1"
        middle = _middle(turn, row)
        yield f"{side}: sl1, {knit}{middle}, {decrease}{last_one}, turn = {turn.stitches - row}"
        side = "WS" if side == "RS" else "RS"


def _middle(turn: Turn, row: int) -> int:
    """Stitches between the slipped one and the decrease."""
    if row == 1:
        return turn.before - 1
    grown = turn.centre + row - 2
    # The row before the very last one ended without its last stitch: the middle did not grow.
    return grown - 1 if turn.left % 2 and row == turn.rows else grown


def flap_rows(stitches: int, rows: int | None) -> int:
    """Rows of the flap, always even, so that both edges carry the same number of chain stitches."""
    wanted = stitches if rows is None else rows
    return wanted + wanted % 2


def slipped_flap(stitches: int) -> list[str]:
    """The two rows of a slipped-stitch flap, wrong side first."""
    odd = ", k1" if stitches % 2 else ""
    return [
        f"WS: sl1, p{stitches - 1}, turn = {stitches}",
        f"RS: [sl1, k1] {stitches // 2} times{odd}, turn = {stitches}",
    ]


class Gusset(NamedTuple):
    """A gusset: `picked_up` on each edge, `total` after the pick-up, and its decrease rounds.

    `sole` and `instep` are the halves when it is over.
    """

    picked_up: int
    total: int
    decreases: int
    sole: int
    instep: int

    @property
    def rounds(self) -> int:
        """Rounds after the pick-up: decrease and plain in turn, the last one a decrease."""
        return 2 * self.decreases - 1


def gusset(turn: Turn, rows: int, gap: int, instep: int, foot: int) -> Gusset:
    """The gusset that brings cup, picked-up edges and instep back to `foot` stitches.

    Raises WillNotWork where it cannot end there.
    """
    picked_up = rows // 2 + gap
    total = turn.live + 2 * picked_up + instep
    if (total - foot) % 2:
        raise WillNotWork(
            "foot.stitches",
            f"{foot} cannot be reached two at a time; write {foot - 1} or {foot + 1}",
        )
    decreases = (total - foot) // 2
    if decreases < 1:
        fewest = rows + 2 * (1 - decreases)
        raise WillNotWork(
            "heel.rows", f"a flap of {rows} rows leaves no gusset; write at least {fewest}"
        )
    return Gusset(picked_up, total, decreases, foot - instep, instep)
