"""The base of every part of the needles screen: a widget that paints what it was last given."""

from __future__ import annotations

from abc import abstractmethod
from typing import Generic, TypeVar

from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tracker.ui.canvas import Row, Rows, cells
from tracker.ui.grid import Grid
from tracker.ui.palette import NO_COLOUR, segment

S = TypeVar("S")


class Painted(Widget, Generic[S], can_focus=False):
    """A widget of fixed size whose rows are a pure function of one value, its sight.

    A new sight repaints only the cells that differ, and nothing is laid out again.
    """

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self.rows: Rows = ()
        self._given: tuple[S, Grid] | None = None

    @abstractmethod
    def paint(self, sight: S, grid: Grid) -> Rows:
        """The rows of this part; depends on `sight` and `grid` alone."""

    def show(self, sight: S, grid: Grid) -> None:
        """Paint `sight` in its place in `grid`, if either is new."""
        if self._given == (sight, grid):
            return
        self._given = (sight, grid)
        old, self.rows = self.rows, self.paint(sight, grid)
        if len(old) != len(self.rows):
            self.refresh()
        elif regions := changes(old, self.rows):
            self.refresh(*regions)

    def render_line(self, y: int) -> Strip:
        """Row `y` as the terminal gets it."""
        if y >= len(self.rows):
            return Strip.blank(self.size.width, self.rich_style)
        theme = NO_COLOUR if self.app.no_color else self.app.theme
        plain = getattr(self.app, "in_plain_text", False)
        return Strip([segment(theme, span.text, span.paint, plain=plain) for span in self.rows[y]])


def changes(old: Rows, new: Rows) -> list[Region]:
    """The regions in which two paintings of equal height differ, one a row at most."""
    found = []
    for y, (before, after) in enumerate(zip(old, new, strict=True)):
        if before != after:
            x, end = _changed(before, after)
            found.append(Region(x, y, end - x, 1))
    return found


def _changed(before: Row, after: Row) -> tuple[int, int]:
    """The columns from the first to the last span that differs (end exclusive)."""
    start = 0
    for old, new in zip(before, after, strict=False):
        if old != new:
            break
        start += cells(new.text)
    end = max(_width(before), _width(after))
    for old, new in zip(reversed(before), reversed(after), strict=False):
        if old != new:
            break
        end -= cells(new.text)
    return start, max(end, start + 1)


def _width(row: Row) -> int:
    return sum(cells(span.text) for span in row)
