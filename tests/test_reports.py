"""The written pattern: what a reader of the paper alone must be told, and nothing that does not hold."""

from __future__ import annotations

from typing import Any

import pytest

from tests.pattern.making import sock
from tracker.pattern.colours import Stripe, slip_first
from tracker.plan_report import written


def page(given: dict[str, Any] | None = None) -> list[str]:
    return written(sock(given))


def part(lines: list[str], head: str) -> list[str]:
    """The lines of the section that begins with `head`."""
    begin = next(at for at, line in enumerate(lines) if line.startswith(f"{head} ("))
    end = next((at for at in range(begin, len(lines)) if not lines[at]), len(lines))
    return lines[begin:end]


def test_the_stitches_are_slid_where_a_heel_begins_on_others() -> None:
    """60 stitches of k2p2 lie 16 / 16 / 16 / 12 on a set of five, and 15 on each from the heel on."""
    slid = page({"leg.stitches": 60})
    assert part(slid, "Heel set-up")[1] == "  First slide to 15 / 15 / 15 / 15."
    assert not [line for line in part(slid, "Toe") if "Slide" in line]
    assert not [line for line in page() if "Slide" in line], "16 on each from the cast-on"


def test_an_odd_toe_is_slid_to() -> None:
    toe = part(page({"leg.stitches": 66, "cuff.rib": "k2p1"}), "Toe")
    before = part(page({"leg.stitches": 66, "cuff.rib": "k2p1"}), "Foot")
    assert ("Slide to" in toe[1]) == (before[0].partition(" ")[2] != toe[0].partition(" ")[2])


@pytest.mark.parametrize(
    ("needles", "edge"),
    [("five", "picked-up"), ("four", "picked-up"), ("two circulars", "second edge's")],
)
def test_the_round_after_the_pick_up_closes_the_holes(needles: str, edge: str) -> None:
    """Of two edges on one needle the first is met in the pick-up round, whose row says tbl."""
    lines = part(page({"needles.set": needles}), "Gusset")
    told = [line for line in lines if "through the back loop" in line]
    assert told == [
        f"  Work the {edge} stitches of round 1 through the back loop, this once, to close the holes."
    ]
    assert lines.index(told[0]) == 2, "below the pick-up round"


def test_how_it_is_joined() -> None:
    assert part(page(), "Cuff")[1] == (
        "  Lay the ring flat, all bumps inside, nothing wound round a needle; join. "
        "The round begins at the tail."
    )


def stripes(*told: str) -> tuple[Stripe, ...]:
    return tuple(Stripe(name, int(rounds)) for name, rounds in map(str.split, told))


@pytest.mark.parametrize(
    ("told", "slips"),
    [
        (("navy 9", "cream 3", "rust 2"), ("navy", "cream", "rust")),
        (("navy 9", "cream 1"), ("navy",)),
        (("navy 2", "navy 3", "cream 2"), ("navy", "cream")),
        (("navy 1", "cream 1"), ()),
        (("cream 2", "navy 3", "cream 2"), ("navy", "cream")),
        (("navy 3", "navy 3"), ()),
    ],
)
def test_which_stripes_begin_with_a_slipped_stitch(
    told: tuple[str, ...], slips: tuple[str, ...]
) -> None:
    assert slip_first(stripes(*told)) == slips


def test_the_slipped_stitch_is_said_of_those_stripes_alone() -> None:
    every = page({"colours.leg": ["navy 9", "cream 3", "rust 2"]})
    assert (
        "In the second round of every stripe slip the first stitch, so that it meets itself."
        in every
    )
    one = page({"colours.leg": ["navy 9", "cream 1"]})
    assert "In the second round of navy slip the first stitch, so that it meets itself." in one
    assert not [line for line in page({"colours.leg": ["navy 1", "cream 1"]}) if "slip the" in line]


def test_a_single_row_is_not_said_to_end_in_its_colour() -> None:
    edge = part(
        page({"needles.set": "two circulars", "colours.leg": ["navy 9", "cream 3"]}), "First edge"
    )
    assert edge[1].startswith("  In cream, ")
    assert "it ends" not in edge[1]
