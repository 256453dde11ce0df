"""Yarns as they are shown: found by their names, seen on the page, told apart by all eyes."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ui.test_colours_seen import apart, contrast
from tracker.ui.palette import NO_COLOUR, PALETTES, SIXTEEN, Paint, half_of, segment, yarn
from tracker.ui.yarn_colours import towards, yarn_colours

PAGES = {name: table["page"] for name, table in PALETTES.items()}


@pytest.mark.parametrize(
    ("name", "alike"),
    [
        ("navy", "#2F4F8F"),
        ("Dark olive green", "#556B2F"),
        ("the rust", "#B4532C"),
        ("teal 12", "#008080"),
    ],
)
def test_a_name_says_its_colour(name: str, alike: str) -> None:
    """On white, where each of them is dark enough as it is."""
    assert apart(yarn_colours((name,), "#FFFFFF")[0], alike, "all three") < 3


@pytest.mark.parametrize("page", list(PAGES))
def test_three_yarns_of_a_pair_are_three(page: str) -> None:
    found = yarn_colours(("navy", "oat", "rust"), PAGES[page])
    for one, other in combinations(found, 2):
        for eyes in ("all three", "protan", "deutan"):
            assert apart(one, other, eyes) >= 14.9, (one, other, eyes)


NAMES = st.text("abcdefghijklmnopqrstuvwxyz ", max_size=12) | st.sampled_from(
    ["navy", "cream", "black", "white", "red", "main", "sky blue", "\x1b[2J", "猫"]
)


@given(st.lists(NAMES, min_size=1, max_size=4).map(tuple), st.sampled_from(list(PAGES)))
def test_whatever_a_yarn_is_called_it_is_seen_on_the_page(
    names: tuple[str, ...], page: str
) -> None:
    found = yarn_colours(names, PAGES[page])
    assert len(found) == len(names)
    assert all(contrast(colour, PAGES[page]) >= 2.99 for colour in found)


def test_the_furrows_of_a_rib_lie_between_the_yarn_and_the_page() -> None:
    assert towards("#FFFFFF", "#000000", 0.3) == "#B2B2B2"


def test_a_yarn_is_its_colour_where_there_are_many_and_else_its_sign() -> None:
    role = yarn(1, ("navy", "oat"))
    whole, half = Paint("text", role), Paint(half_of(role), "todo")
    assert segment("instep-dark", "#", whole).text == " "
    assert segment("instep-dark", "#", half).text == "\N{UPPER HALF BLOCK}"
    for bare in (NO_COLOUR, SIXTEEN):
        assert segment(bare, "#", whole).text == segment(bare, "#", half).text == "#"
    style = segment("instep-light", "#", whole).style
    assert style is not None
    assert style.bgcolor is not None
