"""The drawing is true to the counts and the gauge, and tells colours by texture and name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pattern.making import pattern, sock
from tests.printing.reading import Page
from tracker.drawing import BARE, RIB, Drawing, Shape, draw
from tracker.knitting.course import Course
from tracker.printing.sections import planned_counts
from tracker.printing.svg import as_svg

NEEDLES = st.sampled_from(["five", "four", "two circulars", "long circular"])


def drawn(given: dict[str, Any] | None = None) -> Drawing:
    course = Course(sock(given))
    made = draw(course, planned_counts(course))
    assert made is not None
    return made


def part(made: Drawing, name: str) -> Shape:
    (found,) = [shape for shape in made.parts if shape.part == name]
    return found


def size(shape: Shape) -> tuple[float, float]:
    """How wide and how high a piece is, in mm."""
    xs, ys = zip(*shape.corners, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def area(corners: Sequence[tuple[float, float]]) -> float:
    """By the shoelace rule."""
    around = pairwise((*corners, corners[0]))
    return abs(sum(ax * by - bx * ay for (ax, ay), (bx, by) in around)) / 2


def test_its_parts_are_as_long_as_they_are_knitted() -> None:
    """The 64-stitch sock: 30 stitches and 42 rows to 10 cm; a cuff has 1.05 times the rows."""
    made = drawn()
    assert size(part(made, "cuff")) == pytest.approx((64 / 0.6, 22 / 0.42 / 1.05))
    assert size(part(made, "leg")) == pytest.approx((64 / 0.6, 46 / 0.42))
    assert size(part(made, "flap")) == pytest.approx((32 / 0.6, 32 / 0.42))
    assert size(part(made, "toe")) == pytest.approx((20 / 0.42, 64 / 0.6))
    assert part(made, "toe").corners[2][1] - part(made, "toe").corners[3][1] == pytest.approx(
        16 / 0.6
    )
    # From the back of the heel to the tip: the turn, the pick-up round, gusset, foot and toe.
    turn, along = 14 + 1, 1 + 19 + 44 + 20
    assert max(x for x, _ in part(made, "toe").corners) == pytest.approx((turn + along) / 0.42)


@given(
    needles=NEEDLES, leg=st.integers(100, 300), foot=st.integers(160, 300), around=st.integers(180, 280),
    stripes=st.booleans(),
)  # fmt: skip
def test_the_bands_fill_the_sock(
    needles: str, leg: int, foot: int, around: int, stripes: bool
) -> None:
    """Every part is filled by its bands, no more and no less."""
    colours = (
        {"colours.leg": ["navy 6", "cream 3", "rust 1"]} if stripes else {"colours.leg": ["navy"]}
    )
    made = drawn(
        {"needles.set": needles, "leg.length": f"{leg} mm", "foot.length": f"{foot} mm",
         "foot.circumference": f"{around} mm", **colours}
    )  # fmt: skip
    for outline in made.parts:
        bands = [band for band in made.bands if band.part == outline.part]
        assert sum(area(band.corners) for band in bands) == pytest.approx(area(outline.corners))


def test_stripes_stand_in_their_order() -> None:
    made = drawn({"colours.leg": ["navy 6", "cream 3", "rust 1"], "colours.heel": "rust"})
    assert made.key == ("navy", "cream", "rust")
    on_leg = [band for band in made.bands if band.part == "leg"]
    assert [band.colour for band in on_leg[:4]] == [0, 1, 2, 0]
    rounds = [size(band)[1] * 0.42 for band in on_leg[:3]]
    assert rounds == pytest.approx([6, 3, 1])
    assert {band.colour for band in made.bands if band.part in ("flap", "turn")} == {2}


def test_a_rib_is_drawn_where_no_colours_are() -> None:
    made = drawn()
    assert (part(made, "cuff").colour, part(made, "leg").colour) == (RIB, BARE)
    assert made.bands == ()
    assert part(drawn({"leg.fabric": "rib"}), "leg").colour == RIB


def test_what_is_no_sock_has_no_drawing() -> None:
    hat = Course(pattern({"needles": [20, 20], "rows": ["k"], "repeat": 9}))
    assert draw(hat, planned_counts(hat)) is None


def test_every_part_and_colour_is_named() -> None:
    svg = as_svg(drawn({"colours.leg": ["navy 6", "cream 3", "rust 1"]}))
    read = Page(svg)
    texts = [text for text in read.texts if text.strip()]
    assert texts[0] == "The sock, lying on its side"
    assert sorted(texts[1:8]) == [
        "cuff, 22 rounds", "foot, 44 rounds", "gusset, 19 rounds", "heel flap, 32 rows",
        "heel turn, 14 rows", "leg, 46 rounds", "toe, 20 rounds",
    ]  # fmt: skip
    assert texts[8:] == ["navy", "cream", "rust"]


def test_colours_look_different_without_colour() -> None:
    """Each has a texture of its own, told by lines and tones; none has a colour that a file named."""
    names = [f"shade {at} 2" for at in range(20)]
    svg = as_svg(drawn({"colours.leg": names}))
    tiles = re.findall(r'<pattern id="t\d+"([^>]*)>(.*?)</pattern>', svg)
    assert len(tiles) == len(set(tiles)) == 20
    used = set(re.findall(r'(?:fill|stroke)="([^"]*)"', svg))
    assert used <= {"currentColor", "none", *(f"url(#t{at})" for at in range(20))}


@given(
    needles=NEEDLES, leg=st.integers(60, 300), foot=st.integers(160, 300), many=st.integers(1, 30)
)
def test_everything_lies_inside_its_box(needles: str, leg: int, foot: int, many: int) -> None:
    svg = as_svg(
        drawn({"needles.set": needles, "leg.length": f"{leg} mm", "foot.length": f"{foot} mm",
               "colours.leg": [f"colour {chr(97 + at % 26)}{at} 2" for at in range(max(2, many))]})
    )  # fmt: skip
    read = Page(svg)
    (box,) = [
        value for tag, name, value in read.attributes if (tag, name.lower()) == ("svg", "viewbox")
    ]
    left, top, wide, high = map(float, box.split())
    ends = {"x": (left, wide), "x1": (left, wide), "x2": (left, wide)}
    ends |= {"y": (top, high), "y1": (top, high), "y2": (top, high)}
    for tag, name, value in read.attributes:
        if tag in ("text", "line") and name in ends:
            least, most = ends[name]
            assert least <= float(value) <= least + most
        if (tag, name) == ("polygon", "points"):
            for corner in value.split():
                x, y = map(float, corner.split(","))
                assert left <= x <= left + wide
                assert top <= y <= top + high


@pytest.mark.parametrize("needles", ["five", "four", "two circulars"])
def test_a_toe_for_one_foot_slopes_outside_and_its_tip_lies_where_the_big_toe_does(
    needles: str,
) -> None:
    """Sock one's inner edge is drawn above, sock two's below; both toes are as long and as wide as any."""
    given = {"toe.feet": "left and right", "needles.set": needles}
    course = Course(sock(given))
    counts = planned_counts(course)
    alike = part(drawn({"needles.set": needles}), "toe")
    both = [draw(course.on(number), counts) for number in (1, 2)]
    for made, inner_above in zip(both, (True, False), strict=True):
        assert made is not None
        shape = part(made, "toe")
        assert size(shape) == pytest.approx(size(alike))
        half = len(shape.corners) // 2
        above, below = shape.corners[:half], shape.corners[half:][::-1]
        goes_in = above[-1][1] - above[0][1], below[0][1] - below[-1][1]
        assert goes_in == pytest.approx((8 * 10 / 3, 16 * 10 / 3)[:: 1 if inner_above else -1])
        straight = above if inner_above else below
        assert straight[0][1] == straight[8][1], "the inner edge is straight for eight rounds"
        assert straight[9][1] != straight[8][1]
