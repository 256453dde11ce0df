"""What the terminal is told of colours, where it has few of them and where it has many."""

from __future__ import annotations

import pytest
from rich.color import Color, ColorSystem
from rich.style import Style

from tracker.ui.look import _codes, _is_solid

MANY = (ColorSystem.STANDARD, ColorSystem.EIGHT_BIT, ColorSystem.TRUECOLOR)


@pytest.mark.parametrize("colours", MANY, ids=lambda one: one.name)
def test_only_a_cell_whose_ink_is_its_ground_is_solid(colours: ColorSystem) -> None:
    """Of sixteen colours those that are bright have codes of another length."""
    for ink in range(16):
        for ground in range(16):
            style = Style(color=Color.from_ansi(ink), bgcolor=Color.from_ansi(ground))
            assert _is_solid(_codes(style, colours)) == (ink == ground), (ink, ground)


def test_what_has_no_colour_of_its_own_is_told_as_such() -> None:
    assert _is_solid(_codes(Style(), ColorSystem.STANDARD))
    assert not _is_solid(_codes(Style(color="red"), ColorSystem.STANDARD))
    assert not _is_solid(_codes(Style(bgcolor="red"), ColorSystem.STANDARD))
