"""The signs that screens are drawn with, and how plain text has them where a terminal cannot draw them.

Nothing else knows of it but what draws words: all that is painted passes here on its way out.
"""

from __future__ import annotations

from functools import lru_cache

from rich.cells import get_character_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter

from tracker.letters import in_cells
from tracker.ui.palette import FILLED

_BLOCKS = "\u2580\u2584\u2588\u2598\u259d\u2596\u2597\u259b\u259c\u2599\u259f\u259a\u259e"
"""A cell, or a half or a quarter of one."""

_PLAIN = {
    **dict.fromkeys("\u258a\u258b\u258c\u258d\u258e\u258f\u2590\u2595\u2589", "|"),
    "\u2591": ":", "\u2592": "%", "\u2593": "#",
    "\u2500": "-", "\u2502": "|", "\u2575": "'", "\u2577": ",",
    **dict.fromkeys("\u256d\u256e\u256f\u2570", "+"),
    "\u2501": "=", "\u2503": "|", **dict.fromkeys("\u250f\u2513\u2517\u251b", "+"),
    "\u254c": ".", "\u254e": ".",
    "\u25ba": ">", "\u25c4": "<", "\u25b2": "^", "\u25bc": "v",
    "\u25a0": "*", "\u25ca": "o",
    **dict.fromkeys("\u2581\u2582\u2583\u2585\u2586\u2587", "_"), "\u2594": "-",
    "\u2026": ".",
}  # fmt: skip
"""Every other sign, and some of the framework's."""


class InPlainText(LineFilter):
    """All that is painted, in ASCII and the letters that `encoding` has besides, in the same cells."""

    def __init__(self, encoding: str) -> None:
        super().__init__()
        self.encoding = encoding

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """A line's segments in plain text."""
        found: list[Segment] = []
        for segment in segments:
            if segment.control or segment.text.isascii():
                found.append(segment)
            else:
                found += _in_plain_text(segment, self.encoding)
        return found


@lru_cache(maxsize=4096)
def _in_plain_text(segment: Segment, encoding: str) -> tuple[Segment, ...]:
    """A segment in parts: where there were blocks, cells filled with their ink."""
    found: list[tuple[str, bool]] = []
    for sign in segment.text:
        filled = sign in _BLOCKS
        if found and found[-1][1] == filled:
            found[-1] = (found[-1][0] + plain(sign, encoding), filled)
        else:
            found.append((plain(sign, encoding), filled))
    style = segment.style or Style.null()
    return tuple(Segment(text, _filled(style) if filled else style) for text, filled in found)


@lru_cache(maxsize=4096)
def plain(sign: str, encoding: str) -> str:
    """A sign in as many cells as it had."""
    if sign in _BLOCKS:
        return FILLED
    return _PLAIN.get(sign) or in_cells(sign, encoding, get_character_cell_size(sign))


def _filled(style: Style) -> Style:
    """The style of a cell that is filled with the ink: by its colour, or reversed where that has none."""
    if style.reverse or style.color is None or style.color.is_default:
        return style + Style(reverse=True)
    return style + Style(bgcolor=style.color)
