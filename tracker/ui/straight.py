"""The straight way from cells that changed to the terminal: nothing is laid out or composed again for them.

The framework asks every part of a screen to render all its lines wherever anything changed, and does that
a turn of its loop later. At the needles no part lies over another, so what changed can be written where
it stands. Where anything else is to be painted, too, the framework does all of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from rich.color import ColorSystem
from rich.console import Console, RenderableType
from textual._compositor import CompositorUpdate
from textual.geometry import Region
from textual.screen import Screen

from tracker.ui.painted import Painted

Changed = tuple[Painted[Any], "list[Region] | None"]
"""A part and its regions that differ, in its own cells; None: all of it, and maybe not where it stood."""


class _Pieces(CompositorUpdate):
    """Parts and their regions, each of one row."""

    def __init__(self, changed: Sequence[Changed]) -> None:
        self._changed = changed

    def render_segments(self, console: Console) -> str:
        """The signs for the terminal."""
        colours = console._color_system or ColorSystem.TRUECOLOR
        return "".join(part.signs(regions or [], colours) for part, regions in self._changed)


def paint(changed: Sequence[Changed], screen: Screen[Any]) -> None:
    """Paint what changed: at once where it can be, else as the framework does."""
    if _can_be_written(changed, screen):
        screen.app._display(screen, cast(RenderableType, _Pieces(changed)))
        return
    for part, regions in changed:
        part.refresh(*regions or [])


def _can_be_written(changed: Sequence[Changed], screen: Screen[Any]) -> bool:
    """Whether every part stands where it is painted, and nothing else has to be painted first."""
    return (
        screen.is_active
        and not screen.app.is_headless
        and not screen._layout_required
        and all(regions is not None and part.stands for part, regions in changed)
    )
