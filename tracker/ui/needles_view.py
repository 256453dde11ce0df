"""At the needles: all parts of the screen in their places, showing one glance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.geometry import Offset, Region, Size, Spacing
from textual.layout import ArrangeResult, Layout, WidgetPlacement
from textual.widget import Widget

from tracker.glance import Glance
from tracker.ui import sights
from tracker.ui.cue_line import CueLine, wanted_rows
from tracker.ui.facts import Facts
from tracker.ui.footer import Entry, KeyLine
from tracker.ui.grid import Grid, Needs, grid_for, with_large_count
from tracker.ui.painted import Painted
from tracker.ui.pair_strip import LEAST_DRAWN, PairStrip
from tracker.ui.sights import Scene
from tracker.ui.stage import Stage, card_rows
from tracker.ui.straight import paint
from tracker.ui.tape import Tape, tape_sight
from tracker.ui.title_line import TitleLine

if TYPE_CHECKING:
    from tracker.side_by_side import Pictures
    from tracker.ui.writing import Writing


_SELDOM = {"lines", "large"}
"""Parts that most screens never show."""


class _Places(Layout):
    """Puts each part where the grid of this size has it; parts without a place are left out."""

    name = "needles"

    def arrange(
        self,
        parent: Widget,
        children: list[Widget],
        size: Size,
        greedy: bool = True,
    ) -> ArrangeResult:
        places = parent.grid(size).places if isinstance(parent, NeedlesView) else {}
        return [
            WidgetPlacement(Region(*places[child.id]), Offset(), Spacing(), child)
            for child in children
            if child.id is not None and child.id in places
        ]


class NeedlesView(Widget, can_focus=False):
    """The counting screen as a picture of one glance. It keeps nothing but what it was shown."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._shown: Scene | None = None
        self._title = TitleLine("title")
        self._stage = Stage("stage")
        self._cue = CueLine("cue")
        self._pair = PairStrip("pair")
        self._tape = Tape("tape")
        self._facts = Facts("facts")
        self._footer = KeyLine("footer")
        self._arrangement = _Places()

    @cached_property
    def _lines(self) -> Painted[Any]:
        """All there is on the smallest screen. Made, as the large count, when there is a place for it."""
        from tracker.ui.three_lines import ThreeLines

        return ThreeLines("lines")

    @cached_property
    def _large(self) -> Painted[Any]:
        from tracker.ui.large_count import LargeCount

        return LargeCount("large")

    @property
    def layout(self) -> Layout:
        """Each part stands where the grid has it, whatever the style sheet says."""
        return self._arrangement

    def compose(self) -> ComposeResult:
        """All parts but the seldom ones; those without a place in the grid of this size are not seen."""
        yield self._title
        yield self._stage
        yield self._cue
        yield self._pair
        yield self._tape
        yield self._facts
        yield self._footer

    def show(
        self,
        glance: Glance,
        said: str = "",
        typed: str = "",
        not_kept: str = "",
        clock: str = "",
        keys: Sequence[Entry] = (),
        turned: bool | None = None,
        said_brief: str = "",
        other: Glance | None = None,
        writing: tuple[Writing, Glance] | None = None,
        large: bool = False,
        pictures: Pictures = (None, None),
        plain: bool = False,
    ) -> None:
        """Show `glance`; only parts whose data changed are painted again.

        `said` speaks over the cue ("taken back: ..."), `typed` are the figures that wait for
        their key, `not_kept` raises the alarm bar, `clock` is the time of day, `keys` are
        (key, action) pairs of which the last two are help and leave. `turned` turns the stage
        over or not; left out, it turns at the end of a round counted by needles. `said_brief` is said
        where there is no room for `said`; `other` is the sock that waits while this one is finished;
        `writing` is the line that is open for words, and the glance at its sock; with `large` the count
        fills the screen. `pictures` are both socks as far as they are knitted. `plain`: words are written.
        """
        size = self.size or self.app.size  # before it is laid out: then the first picture is whole
        before = self.grid(size).places if self._shown is not None else None
        self._shown = Scene(
            glance,
            said=said,
            typed=typed,
            not_kept=not_kept,
            clock=clock,
            keys=tuple(keys),
            turned=turned,
            said_brief=said_brief,
            other=other,
            writing=writing,
            large=large,
            pictures=pictures,
            plain=plain,
        )
        if before is not None and before != self.grid(size).places:
            # Asked of a part, for it is the view's own arrangement that is to be made anew.
            self._title.refresh(repaint=False, layout=True)
        self._spread(size)

    def grid(self, size: Size) -> Grid:
        """The grid for a view of `size` cells."""
        grid = self._grid(size)
        return grid.in_plain_text() if self._shown is not None and self._shown.plain else grid

    def _grid(self, size: Size) -> Grid:
        if self._shown is None:
            return grid_for(size.width, size.height)
        needs = Needs(sights.figures(self._shown))
        grid = grid_for(size.width, size.height, needs)
        if self._shown.large:
            return with_large_count(grid, size.width, size.height)
        if not grid.shares:
            return grid
        return grid_for(size.width, size.height, _shared(needs, self._shown, grid, size.width))

    @property
    def draws(self) -> bool:
        """Whether there is room to draw both socks."""
        return _draws(self.grid(self.size))

    def on_resize(self) -> None:
        """Paint what was shown for the new size."""
        self._spread(self.size)

    def _spread(self, size: Size) -> None:
        """Give each part that has a place what it is to show, and paint what that changes."""
        shown = self._shown
        if shown is None or not size:
            return
        grid = self.grid(size)
        self._mount_seldom(grid)
        taken = [(part, part.take(sight, grid)) for part, sight in self._sights(shown, grid)]
        changed = [(part, regions) for part, regions in taken if regions != []]
        if changed:
            paint(changed, self.screen)

    def _mount_seldom(self, grid: Grid) -> None:
        """Parts that most screens never show: there from the first grid on that has a place for them."""
        for name in _SELDOM & grid.places.keys():
            part = self._lines if name == "lines" else self._large
            if part.parent is None:
                self.mount(part)

    def _sights(self, shown: Scene, grid: Grid) -> Iterator[tuple[Painted[Any], Any]]:
        """Each part that has a place, and what it is to show."""
        if grid.size == "smallest":
            yield self._lines, sights.lines_sight(shown)
            return
        yield self._title, sights.title_sight(shown)
        if "stage" in grid.places:
            yield self._stage, sights.stage_sight(shown)
        if "large" in grid.places:
            yield self._large, sights.large_sight(shown)
        if "cue" in grid.places:
            yield self._cue, sights.cue_sight(shown)
        if "pair" in grid.places:
            yield self._pair, sights.pair_sight(shown, draws=_draws(grid))
        if "tape" in grid.places:
            yield self._tape, tape_sight(shown.glance)
        if "facts" in grid.places:
            yield self._facts, sights.facts_sight(shown)
        if "footer" in grid.places:
            yield self._footer, shown.keys


def _draws(grid: Grid) -> bool:
    """Whether a grid has room for the pictures of both socks."""
    pair = grid.places.get("pair")
    return pair is not None and pair.height >= LEAST_DRAWN + 2


def _shared(needs: Needs, shown: Scene, grid: Grid, width: int) -> Needs:
    """The rows that card and cue line want on a screen `width` cells wide that lets them share."""
    return needs._replace(
        card=card_rows(sights.stage_sight(shown).next, width - 2),
        cue=wanted_rows(sights.cue_sight(shown), grid),
    )
