"""The base of every part of the needles screen: a widget that paints what it was last given."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable
from typing import ClassVar, Generic, TypeVar

from rich.color import ColorSystem
from textual.color import Color
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tracker.ui.canvas import Rows
from tracker.ui.changed import changes, part_of
from tracker.ui.grid import Grid
from tracker.ui.look import Look, look
from tracker.ui.palette import NO_COLOUR

S = TypeVar("S")


class Painted(Widget, Generic[S], can_focus=False):
    """A widget of fixed size whose rows are a pure function of one value, its sight.

    A new sight repaints only the cells that differ, and nothing is laid out again.
    """

    counts_a_tap: ClassVar[bool] = False
    """Whether a tap on it is a tick."""

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self.rows: Rows = ()
        self._given: tuple[S, Grid] | None = None
        self._grounds: dict[str, Color] = {}

    @abstractmethod
    def paint(self, sight: S, grid: Grid) -> Rows:
        """The rows of this part; depends on `sight` and `grid` alone."""

    def show(self, sight: S, grid: Grid) -> None:
        """Paint `sight` in its place in `grid`, if either is new."""
        regions = self.take(sight, grid)
        if regions is None or regions:
            self.refresh(*regions or [])

    def take(self, sight: S, grid: Grid) -> list[Region] | None:
        """Have the rows of `sight`, and say which regions are to be painted; None: all of it."""
        if self._given == (sight, grid):
            return []
        self._given = (sight, grid)
        old, self.rows = self.rows, self.paint(sight, grid)
        return changes(old, self.rows) if len(old) == len(self.rows) else None

    @property
    def stands(self) -> bool:
        """Whether it is on the screen, as large as it is painted."""
        return bool(self.rows) and self.region.height == len(self.rows)

    def signs(self, regions: Iterable[Region], colours: ColorSystem) -> str:
        """The cells of regions of one row each as the terminal gets them, each sent to its place."""
        seen, (left, top, whole, _) = self._look(), self.region
        return "".join(
            f"\x1b[{top + y + 1};{left + x + 1}H"
            + seen.signs(
                self.rows[y] if width == whole else part_of(self.rows[y], x, x + width), colours
            )
            for x, y, width, _ in regions
        )

    def render_line(self, y: int) -> Strip:
        """Row `y` as the terminal gets it."""
        if y >= len(self.rows):
            return Strip.blank(self.size.width, self.rich_style)
        return self._look().strip(self.rows[y])

    def render_lines(self, crop: Region) -> list[Strip]:
        """The rows of a region. Nothing frames them, so that nothing is kept of them but the rows."""
        x, end = crop.column_span
        return [self._cropped(self.render_line(y), x, end) for y in crop.line_range]

    def _cropped(self, strip: Strip, x: int, end: int) -> Strip:
        if end <= strip.cell_length:
            return strip if (x, end) == (0, strip.cell_length) else strip.crop(x, end)
        return strip.crop_extend(x, end, self.rich_style)

    def _look(self) -> Look:
        """What the app has now; its ground is looked up once a theme."""
        app = self.app
        theme = NO_COLOUR if app.no_color else app.theme
        known = self._grounds.get(theme)
        if known is None:
            known = self._grounds[theme] = self.background_colors[1]
        plain = getattr(app, "in_plain_text", False)
        return look(theme, plain, tuple(self.get_line_filters()), known)
