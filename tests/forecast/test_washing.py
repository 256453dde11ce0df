"""Washing changes lengths: against swatches whose rows were printed before and after it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import SAMPLE, Knitter
from tracker import words
from tracker.forecast.length import prior
from tracker.forecast.washing import after_washing, before_washing
from tracker.knitting.course import Course
from tracker.pattern.plan import WillNotWork
from tracker.pattern.reading import read_gauge
from tracker.storage.files import FileTrouble
from tracker.storage.pattern_file import open_file

FOUR_INCHES = 101.6

SWATCHES = [
    # (rows to 4 in before washing, after it). Sources: Subway Knitter, "More swatching" (February
    # 2005), before and after washing; Kelbourne Woolens, "KW swatch experiment data: Canopy Worsted"
    # (October 2016), the largest change on blocking.
    ("subway", 25.0, 27.0),
    ("canopy", 24.0, 22.0),
]


def gauge(before: float, after: float) -> dict[str, object]:
    return {"stitches": 18, "rows": after, "unwashed_rows": before, "per": "4 in"}


@pytest.mark.parametrize(("name", "before", "after"), SWATCHES)
def test_a_swatch_keeps_its_rows_when_it_is_washed(name: str, before: float, after: float) -> None:
    """As many rounds as make 15 cm once washed are knitted, whatever the tape says on the needles."""
    told = read_gauge(gauge(before, after))
    assert told.unwashed_rows * FOUR_INCHES / 100 == pytest.approx(before)
    rounds = 150 * told.rows / 100
    assert before_washing(150, told.grows) == pytest.approx(rounds * FOUR_INCHES / before)
    assert after_washing(rounds * FOUR_INCHES / before, told.grows) == pytest.approx(150)
    on_the_needles = prior(told.unwashed_rows, told.source, heel_mm=0).mean.leg
    assert on_the_needles == pytest.approx(FOUR_INCHES / before)


def test_wool_jersey_of_a_textbook_relaxes_when_wet() -> None:
    """Munden's constants, rows to a unit of loop length: 5.0 dry relaxed, 5.3 wet relaxed, so 5.7 %
    shorter (D. L. Munden, 'The geometry and dimensional properties of plain-knit fabrics', Journal of
    the Textile Institute 50, 1959; from memory).
    """
    grows = 5.0 / 5.3 - 1
    assert round(grows * 100, 1) == -5.7
    assert after_washing(106, grows) == pytest.approx(100)


@given(mm=st.floats(0, 1000), grows=st.floats(-0.49, 0.49))
def test_there_and_back(mm: float, grows: float) -> None:
    assert after_washing(before_washing(mm, grows), grows) == pytest.approx(mm)


@pytest.mark.parametrize("grows", [-0.5, 0.5, 7.0, float("nan"), float("inf")])
def test_what_no_washing_does(grows: float) -> None:
    for reckon in (before_washing, after_washing):
        with pytest.raises(ValueError, match=r"write -0.5 to 0.5"):
            reckon(100.0, grows)


# A pair whose swatch was washed


def washed(folder: Path, rows: str = "43.3") -> Knitter:
    plan = folder / "plan.toml"
    text = SAMPLE.read_text(encoding="utf-8")
    changed = text.replace('per = "10 cm"', f'per = "10 cm"\nunwashed_rows = {rows}')
    assert changed != text
    plan.write_text(changed, encoding="utf-8")
    return Knitter(Course(open_file(str(plan)).pattern))


def test_the_goal_is_the_washed_length_and_the_tape_meets_it_sooner(tmp_path: Path) -> None:
    """43.3 rounds to 10 cm before washing, 42 after it: 3.1 % longer. As many rounds as ever."""
    knitter, plain = washed(tmp_path), Knitter()
    for one in (knitter, plain):
        one.to("leg", 20)
    mine, usual = knitter.look().length, plain.look().length
    assert mine is not None
    assert usual is not None
    assert mine.target_mm == pytest.approx(160 * 42 / 43.3)
    assert (mine.likely, mine.low, mine.high) == (usual.likely, usual.low, usual.high)
    assert mine.mm == pytest.approx(usual.mm * 42 / 43.3)
    knitter.do("target", mm=170.0, text="17 cm")
    again = knitter.look().length
    assert again is not None
    assert again.target_mm == pytest.approx(170 * 42 / 43.3)


def test_past_the_goal_both_lengths_are_said_too(tmp_path: Path) -> None:
    """14.6 cm on the needles are 15 cm when washed."""
    knitter = washed(tmp_path)
    knitter.to("leg", 43)
    knitter.do("target", mm=150.0, text="15 cm")
    glance = knitter.look()
    both = "14.5 cm on the needles, 15 cm when washed"
    assert words.to_go(glance).endswith(f" past the goal of {both}.")
    goal = next(cue for cue in glance.cues if cue.about == "goal")
    assert f"the goal of {both}" in words.cue_line(goal, glance)


def test_the_foot_too_and_its_toe(tmp_path: Path) -> None:
    knitter, plain = washed(tmp_path), Knitter()
    for one in (knitter, plain):
        one.to("foot", 10)
    mine, usual = knitter.look().length, plain.look().length
    assert mine is not None
    assert usual is not None
    assert mine.target_mm == pytest.approx((usual.target_mm or 0) * 42 / 43.3, abs=0.01)
    assert mine.likely == usual.likely


@pytest.mark.parametrize("rows", ["20", "90"])
def test_rows_that_are_no_washing(tmp_path: Path, rows: str) -> None:
    with pytest.raises((FileTrouble, WillNotWork), match="cannot be one swatch"):
        washed(tmp_path, rows)


def test_a_change_that_is_hardly_washing_is_asked_about(tmp_path: Path) -> None:
    washed(tmp_path, "48")
    notes = " ".join(open_file(str(tmp_path / "plan.toml")).notes)
    assert "would make the sock 14 % longer" in notes
    washed(tmp_path, "43.3")
    assert "before washing" not in " ".join(open_file(str(tmp_path / "plan.toml")).notes)
