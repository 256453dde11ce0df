"""From the plan file to the print: toes that are drawn up, a leg that narrows, one short circular."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.pattern.choices import WITHOUT_A_FLAP
from tests.pattern.making import plan_text
from tests.printing.test_drawing import drawn, part, size
from tracker.cli import main


def printed(tmp_path: Path, form: str = "md", **fields: Any) -> str:
    """What `instep write` makes of the 64-stitch sock with these fields."""
    told = {place.replace("__", "."): value for place, value in fields.items()}
    plan, page = tmp_path / "plan.toml", tmp_path / f"page.{form}"
    plan.write_text(plan_text(told), encoding="utf-8")
    assert main(["write", str(plan), "-o", str(page)]) == 0
    return " ".join(page.read_text(encoding="utf-8").split())


@pytest.mark.parametrize("kind", ["star", "round"])
@pytest.mark.parametrize("form", ["md", "html", "txt"])
def test_a_toe_that_is_drawn_up(tmp_path: Path, kind: str, form: str) -> None:
    told = printed(tmp_path, form, toe__kind=kind)
    assert "toe 22 rounds; draw up 8." in told
    assert "draw up 2" in told
    assert "Through the last 8 stitches twice, then off the needles." in told
    assert "graft" not in told.lower()


def test_a_graduated_toe_is_grafted(tmp_path: Path) -> None:
    assert "toe 24 rounds; graft 4 and 4." in printed(tmp_path, toe__kind="graduated")


def test_a_leg_that_narrows(tmp_path: Path) -> None:
    told = printed(tmp_path, foot__ankle="28 cm", leg__length="22 cm")
    assert "Cast on 76, loosely." in told
    assert "k1, k2tog, k to end" in told


def test_a_sock_on_one_short_circular(tmp_path: Path) -> None:
    told = printed(tmp_path, needles__set="short circular")
    assert "one short circular" in told
    assert "Change to the set of five: 16 / 16 / 16 / 16, the sole on N4 and N1." in told
    assert "k23, k2tog, k1, k32, k1, ssk, k to end" in told


def test_the_drawing_of_a_leg_that_narrows() -> None:
    """The front is straight, the back goes in; nothing lies left of the edge."""
    made = drawn({"foot.ankle": "28 cm", "leg.length": "22 cm"})
    assert size(part(made, "cuff"))[0] == pytest.approx(76 / 0.6)
    leg = part(made, "leg").corners
    below = [x for x, y in leg if y == max(y for _, y in leg)]
    assert max(below) - min(below) == pytest.approx(64 / 0.6)
    assert {round(x, 6) for x, _ in leg if x == max(x for x, _ in leg)} == {round(76 / 0.6, 6)}
    assert min(x for shape in made.parts for x, _ in shape.corners) == pytest.approx(0)


def test_the_drawing_of_toes() -> None:
    """A star ends in a point of what is drawn up; a round toe narrows slowly first."""
    round_toe, star = (part(drawn({"toe.kind": kind}), "toe").corners for kind in ("round", "star"))
    for corners in (round_toe, star):
        right = max(x for x, _ in corners)
        tip = [y for x, y in corners if x == right]
        assert max(tip) - min(tip) == pytest.approx(8 / 0.6)
    left = min(x for x, _ in round_toe)
    a_fifth = [y for x, y in round_toe if left < x <= left + 22 / 0.42 / 5]
    assert max(a_fifth) - min(a_fifth) == pytest.approx(56 / 0.6)


def test_waste_yarn_on_one_short_circular_and_a_star_before_the_heel(tmp_path: Path) -> None:
    fields = {"needles__set": "short circular", "heel__kind": "afterthought", "toe__kind": "star"}
    told = printed(tmp_path, "txt", **fields)
    assert "knitted after the toe in 21 rounds." in told
    assert "Foot 55 rounds, toe 22 rounds; draw up 8." in told
    assert (
        "knit from 16 stitches before the marker to 16 after it with waste yarn, in one run" in told
    )
    assert "flap" not in told.lower()


@pytest.mark.parametrize("heel", WITHOUT_A_FLAP)
def test_the_drawing_of_a_star_and_a_leg_that_narrows_with_every_heel(heel: str) -> None:
    """The toe ends with what is drawn up, whatever is grafted at the heel; nothing lies left of the edge."""
    fields = {"foot.ankle": "28 cm", "leg.length": "22 cm", "toe.kind": "star", "heel.kind": heel}
    made = drawn(fields)
    corners = part(made, "toe").corners
    right = max(x for x, _ in corners)
    tip = [y for x, y in corners if x == right]
    assert max(tip) - min(tip) == pytest.approx(8 / 0.6)
    assert min(x for shape in made.parts for x, _ in shape.corners) == pytest.approx(0)
