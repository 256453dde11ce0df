"""The heel: flaps, rounded and square turns, pick-up and gusset, for any number of stitches.

Common practice, no source; the tests knit every row of it and hold it against published heels.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

from tracker.pattern.model import MOST_UNEVEN, Side
from tracker.pattern.plan import WillNotWork
from tracker.records import NamedTuple
from tracker.units import shorten, whole

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
    check_smallest(stitches)
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


def check_smallest(stitches: int) -> None:
    """Raises WillNotWork where so few stitches make no heel."""
    if stitches < SMALLEST:
        raise WillNotWork(
            "heel.stitches", f"{stitches} heel stitches cannot be turned; write at least {SMALLEST}"
        )


def _nearest(centre: int, most: int) -> str:
    near = [
        value for value in (centre - 1, centre + 1) if 0 < value <= most and (most - value) % 2 == 0
    ]
    return " or ".join(map(str, near or [most if most > 0 else most + 2]))


class SquareTurn(NamedTuple):
    """A square turn: three parts, `side` + `live` + `side`; the middle never grows, and stays `live`."""

    stitches: int
    side: int
    live: int

    @property
    def rows(self) -> int:
        """Every row takes one stitch of a side."""
        return 2 * self.side


def square_turn(stitches: int, centre: int | None = None) -> SquareTurn:
    """The square turn of any heel of at least six stitches, by thirds. Raises WillNotWork."""
    check_smallest(stitches)
    if centre is not None:
        raise WillNotWork(
            "heel.centre",
            f'a square turn has its own centre; leave {centre} out, or write turn = "rounded"',
        )
    side = whole(stitches / 3)
    return SquareTurn(stitches, side, stitches - 2 * side)


def turn_rows(turn: Turn | SquareTurn, first: Side) -> Iterator[str]:
    """Each row of the turn as written, `first` side first, with what it leaves on the heel needle."""
    side: Side = first
    for row in range(1, turn.rows + 1):
        knit, decrease = ("k", "ssk") if side == "RS" else ("p", "p2tog")
        middle, last_one = (
            (_middle(turn, row), not (turn.left % 2 and row > turn.rows - 2))
            if isinstance(turn, Turn)
            else (turn.live - 2 + (turn.side if row == 1 else 0), False)
        )
        items = ["sl1", *([f"{knit}{middle}"] if middle else []), decrease]
        work = ", ".join([*items, *([f"{knit}1"] if last_one else []), "turn"])
        yield f"{side}: {work} = {turn.stitches - row}"
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


def flap(kind: str, stitches: int, first: Side) -> list[str]:
    """The rows of a flap that repeat, `first` side first. The first stitch is always slipped.

    `kind` is "slipped", "plain", "eye of partridge" or "garter edge".
    """
    right_sides, wrong = _FLAPS[kind](stitches)
    wrong_side = f"WS: {wrong}, turn = {stitches}"
    rows = []
    for right in right_sides:
        right_side = f"RS: {right}, turn = {stitches}"
        rows += [right_side, wrong_side] if first == "RS" else [wrong_side, right_side]
    return rows


_Flap = tuple[list[str], str]


def _slipped(stitches: int) -> _Flap:
    odd = ", k1" if stitches % 2 else ""
    return [f"[sl1, k1] {stitches // 2} times{odd}"], f"sl1, p{stitches - 1}"


def _plain(stitches: int) -> _Flap:
    return [f"sl1, k{stitches - 1}"], f"sl1, p{stitches - 1}"


def _eye_of_partridge(stitches: int) -> _Flap:
    """The slipped stitches of every second right-side row lie between those of the first."""
    (slipped,), wrong = _slipped(stitches)
    last = 1 if stitches % 2 else 2
    return [slipped, f"sl2, [k1, sl1] {(stitches - 2 - last) // 2} times, k{last}"], wrong


def _garter_edge(stitches: int) -> _Flap:
    """Three stitches at each end in garter: the first slipped, the others knit on both sides."""
    middle = stitches - 6
    between = [f"[sl1, k1] {middle // 2} times"] if middle > 1 else []
    odd = ["k1"] if middle % 2 else []
    right = ", ".join(["sl1", "k2", *between, *odd, "k3"])
    return [right], ", ".join(["sl1", "k2", *([f"p{middle}"] if middle else []), "k3"])


_FLAPS: Mapping[str, Callable[[int], _Flap]] = {
    "slipped": _slipped,
    "plain": _plain,
    "eye of partridge": _eye_of_partridge,
    "garter edge": _garter_edge,
}


class Gusset(NamedTuple):
    """A gusset: stitches picked up on the first and second edge (gap stitches among them), and the
    `total` after the pick-up.

    Each of `decreases` is a decrease round: stitches taken beside the first and the second edge.
    `sole` and `instep` are the halves when it is over.
    """

    picked_up: tuple[int, int]
    total: int
    decreases: tuple[tuple[int, int], ...]
    sole: int
    instep: int
    plain_first: bool

    @property
    def rounds(self) -> int:
        """Rounds after the pick-up: decrease and plain in turn, the last one a decrease."""
        return 2 * len(self.decreases) - (not self.plain_first)

    def taken(self, number: int) -> tuple[int, int]:
        """What round `number` (from 1) takes beside the first and the second edge."""
        if number % 2 == self.plain_first:
            return 0, 0
        return self.decreases[(number - 1) // 2]


def gusset(
    live: int,
    chains: tuple[int, int],
    gap: int,
    instep: int,
    foot: int,
    *,
    plain_first: bool = False,
) -> Gusset:
    """The gusset that brings cup, picked-up edges and instep back to `foot` stitches.

    `live` stitches stand on the heel needle after the turn, `chains` were picked up along the first
    and the second edge, and `gap` more beside each. Where the edges differ, the longer one is
    decreased twice and the shorter rests until they agree, so the gusset stays as long.
    Raises WillNotWork where it cannot end there.
    """
    picked_up = chains[0] + gap, chains[1] + gap
    total = live + sum(picked_up) + instep
    uneven = abs(picked_up[0] - picked_up[1])
    if (total - foot - uneven) % 2:
        raise WillNotWork(
            "foot.stitches",
            f"{foot} cannot be reached two at a time; write {foot - 1} or {foot + 1}",
        )
    rounds = (total - foot) // 2
    if rounds < max(1, uneven // 2):
        rows = 2 * min(chains)
        fewest = rows + 2 * (max(1, uneven // 2) - rounds)
        raise WillNotWork(
            "heel.rows", f"a flap of {rows} rows leaves no gusset; write at least {fewest}"
        )
    decreases = _decreases(rounds, uneven, longer=int(picked_up[1] > picked_up[0]))
    return Gusset(picked_up, total, decreases, foot - instep, instep, plain_first)


def _decreases(rounds: int, uneven: int, longer: int) -> tuple[tuple[int, int], ...]:
    """What every decrease round takes beside each edge; `longer` is the place of the longer edge."""
    taken = [[1, 1] for _ in range(rounds)]
    for number in range(uneven // 2):
        taken[number][longer] += 1
        taken[number][1 - longer] -= 1
    taken[0][longer] += uneven % 2
    return tuple((first, second) for first, second in taken)


def read_picked_up(text: str | None, rows: int) -> tuple[int, int]:
    """The chain stitches picked up along each edge of a flap, from "17/16"; else one for two rows.

    Raises WillNotWork where it cannot be read, or where the edges differ by more than MOST_UNEVEN.
    """
    each = rows // 2
    if text is None:
        return each, each
    found = _PICKED_UP.fullmatch(text)
    if found is None:
        raise WillNotWork(
            "heel.picked_up",
            f'"{shorten(text)}" is not read; write both edges, like "{each}/{each}"',
        )
    chains = int(found[1]), int(found[2])
    if abs(chains[0] - chains[1]) > MOST_UNEVEN or min(chains) < 1:
        raise WillNotWork(
            "heel.picked_up",
            f"{text} differ by more than {MOST_UNEVEN}: count the chains again, for a flap of {rows}"
            f' rows has {each} on each edge; write "{each}/{each}"',
        )
    return chains


_PICKED_UP = re.compile(r"[ ]*([0-9]{1,3})[ ]*/[ ]*([0-9]{1,3})[ ]*")
