"""The two socks side by side: where each is, and its share of the work on one scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Rows, cut
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint
from tracker.ui.work_bar import put_bar

if TYPE_CHECKING:
    from tracker.drawing import Picture

_NAME, _WHERE = Paint("muted", "page"), Paint("text", "page")
BAR = 26
"""Cells of a whole sock's work."""
LEAST_DRAWN = 8
"""Rows below which nothing can be told from a drawing."""


class SockBar(NamedTuple):
    """One sock: "sock one", "leg, 34 of 46", and its share of a whole sock's stitches, 0 to 1.

    Where there is room its `picture` is drawn, with the count where the needle `hangs`.
    """

    name: str
    where: str
    share: float
    picture: Picture | None = None
    hangs: str = ""


class PairSight(NamedTuple):
    """Both socks, the first first, and whether they are in step and how far apart."""

    socks: tuple[SockBar, SockBar]
    told: str = ""


class PairStrip(Painted[PairSight]):
    """The labels of both socks, and a work bar below each."""

    def paint(self, sight: PairSight, grid: Grid) -> Rows:
        """Rows of the pair's place in `grid`."""
        box = grid.places["pair"]
        return pair_rows(sight, box.width, 39 if grid.size == "medium" else 30, box.height, 1)


def pair_rows(sight: PairSight, width: int, second: int, height: int = 3, margin: int = 0) -> Rows:
    """`height` rows of `width` cells: a bar a sock, or both drawn; the second begins `second` columns on.

    The needle in a drawing reaches into the `margin`.
    """
    canvas = Canvas(width, height, _WHERE)
    drawn = [sock.picture for sock in sight.socks if sock.picture is not None]
    rows = height - 2
    bar = min(BAR, width - margin - second)
    size = None
    if drawn and rows >= LEAST_DRAWN:
        from tracker.ui.sock_drawing import draw_sock, size_of

        size = size_of(drawn, bar - 1, rows)
    for x, sock in zip((margin, margin + second), sight.socks, strict=True):
        after = canvas.put(x, 0, sock.name, _NAME) + 2
        canvas.put(after, 0, cut(sock.where, x + second - 1 - after), _WHERE)
        if size is not None and sock.picture is not None:
            draw_sock(canvas, x, 2, sock.picture, size, sock.hangs, "page")
            continue
        put_bar(canvas, x, 2, bar, sock.share)
    canvas.put(margin, 1, cut(sight.told, width - margin), _NAME)
    return canvas.rows()
