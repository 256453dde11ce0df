"""The first line: which pair, which sock, which section, whether the socks are in step, and the clock."""

from __future__ import annotations

from tracker.records import NamedTuple
from tracker.ui.canvas import Canvas, Rows, cells, cut
from tracker.ui.grid import Grid
from tracker.ui.painted import Painted
from tracker.ui.palette import Paint

_BOLD, _TEXT, _MUTED = Paint("text", "page", True), Paint("text", "page"), Paint("muted", "page")


class TitleSight(NamedTuple):
    """The pair's title, "sock two, leg", the time of day ("" for none), and the pair's word, longest
    first: "in step", "not in step: leg +2".
    """

    title: str
    where: str
    clock: str
    step: tuple[str, ...] = ()


class TitleLine(Painted[TitleSight]):
    """The first line of the screen."""

    def paint(self, sight: TitleSight, grid: Grid) -> Rows:
        """Rows of the title's place in `grid`."""
        width = grid.places["title"].width
        if grid.size == "small":
            return title_rows(sight._replace(title=sight.where, where=""), width, 0)
        return title_rows(sight, width, 32 if grid.size == "full" else 0)


def title_rows(sight: TitleSight, width: int, column: int) -> Rows:
    """One row; `where` stands at `column`, or three cells after the title where that is 0."""
    canvas = Canvas(width, 1, _MUTED)
    end = canvas.put_right(width, 0, sight.clock, _MUTED) - 2
    most = column - 2 if column else end - cells(sight.where) - 3
    x = canvas.put(0, 0, cut(sight.title, max(most, 0)), _BOLD)
    x = column or x + 3
    if sight.where:
        x = canvas.put(x, 0, cut(sight.where, end - x), _TEXT) + 3
    told = next((step for step in sight.step if x + cells(step) <= end), "")
    canvas.put(x, 0, told, _MUTED)
    return canvas.rows()
