"""The straight way from cells that changed to the terminal: nothing is laid out or composed again for them.

The framework asks every part of a screen to render all its lines wherever anything changed, and does that
a turn of its loop later. At the needles no part lies over another, so what changed can be written where
it stands. Where anything else is to be painted, too, the framework does all of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from rich.console import Console, RenderableType
from textual._compositor import CompositorUpdate
from textual.geometry import Region
from textual.screen import Screen
from textual.strip import Strip

from tracker.ui.painted import Painted

Changed = tuple[Painted[Any], "list[Region] | None"]
"""A part and its regions that differ, in its own cells; None: all of it, and maybe not where it stood."""


class _Pieces(CompositorUpdate):
    """Strips and where each begins: column and row of the screen."""

    def __init__(self, pieces: Sequence[tuple[int, int, Strip]]) -> None:
        self._pieces = pieces

    def render_segments(self, console: Console) -> str:
        """The signs for the terminal: to each place, and what stands there."""
        return "".join(
            f"\x1b[{y + 1};{x + 1}H{strip.render(console)}" for x, y, strip in self._pieces
        )


def paint(changed: Sequence[Changed], screen: Screen[Any]) -> None:
    """Paint what changed: at once where it can be, else as the framework does."""
    if _can_be_written(changed, screen):
        pieces = [piece for part, regions in changed for piece in part.pieces(regions or [])]
        if pieces:
            screen.app._display(screen, cast(RenderableType, _Pieces(pieces)))
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
