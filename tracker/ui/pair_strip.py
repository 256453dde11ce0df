"""The two socks side by side: where each is, and its share of the work on one scale."""

from __future__ import annotations

from typing import NamedTuple

from tracker.ui.canvas import Canvas, Rows, cut
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint
from tracker.units import whole

_NAME, _WHERE = Paint("muted", "page"), Paint("text", "page")
BAR = 26
"""Cells of a whole sock's work."""


class SockBar(NamedTuple):
    """One sock: "sock one", "leg, 34 of 46", and its share of a whole sock's stitches, 0 to 1."""

    name: str
    where: str
    share: float


class PairSight(NamedTuple):
    """Both socks, the first first, and whether they are in step and how far apart."""

    socks: tuple[SockBar, SockBar]
    told: str = ""


class PairStrip(Painted[PairSight]):
    """The labels of both socks, and a work bar below each."""

    def paint(self, sight: PairSight, grid: Grid) -> Rows:
        """Rows of the pair's place in `grid`."""
        box = grid.places["pair"]
        return pair_rows(sight, box.width, 30 if grid.size == "full" else 39)


def pair_rows(sight: PairSight, width: int, second: int) -> Rows:
    """Three rows of `width` cells; the second sock begins at column `second`."""
    canvas = Canvas(width, 3, _WHERE)
    for x, sock in zip((0, second), sight.socks, strict=True):
        after = canvas.put(x, 0, sock.name, _NAME) + 2
        canvas.put(after, 0, cut(sock.where, x + second - 1 - after), _WHERE)
        canvas.fill(x, 2, BAR, 1, Paint("text", "todo"))
        canvas.fill(x, 2, filled(sock.share), 1, Paint("on-tape", "tape"))
    canvas.put(0, 1, cut(sight.told, width), _NAME)
    return canvas.rows()


def filled(share: float) -> int:
    """Cells of the bar at `share`: none only at 0, all only at 1."""
    if share <= 0:
        return 0
    if share >= 1:
        return BAR
    return max(1, min(whole(share * BAR), BAR - 1))
