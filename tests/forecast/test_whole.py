"""Whole repeats and full stripes about a goal: the two nearest rows, with their lengths."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import Knitter
from tracker import words
from tracker.forecast.whole import ends
from tracker.knitting.course import Course
from tracker.storage.pattern_file import open_file

LADDER = """
title = "A leg of ladders"

[gauge]
stitches = 30
rows = 42
per = "10 cm"

[[section]]
name = "leg"
kind = "leg"
worked = "rounds"
needles = [16, 16, 16, 16]
until = "15 cm"
first = ["k", "p"]
rows = ["k", "k", "k", "k", "k", "k", "k", "k", "k", "k", "k", "p"]
"""


def course(folder: Path, text: str = LADDER) -> Course:
    path = folder / "plan.toml"
    path.write_text(text, encoding="utf-8")
    return Course(open_file(str(path)).pattern)


@pytest.mark.parametrize(
    ("goal_row", "rows"),
    [
        # Two rounds stand first; repeats of twelve end at 14, 26, 38, 50, 62, 74 ...
        (62, (62,)), (63, (62, 74)), (73, (62, 74)), (14, (14,)), (13, (14,)), (1, (14,)),
        (0, (14,)), (-5, (14,)),
    ],
)  # fmt: skip
def test_whole_repeats_about_a_row(tmp_path: Path, goal_row: int, rows: tuple[int, ...]) -> None:
    found = ends(course(tmp_path), Knitter(course(tmp_path)).state, 1, goal_row)
    assert found == ("repeat", rows)


@pytest.fixture(scope="module")
def striped(tmp_path_factory: pytest.TempPathFactory) -> Course:
    sample = Path(__file__).parents[2] / "sample_projects" / "low-tide.toml"
    text = sample.read_text(encoding="utf-8")
    assert 'leg = ["slate 5", "sand 3", "foam 1"]' in text
    return course(tmp_path_factory.mktemp("striped"), text)


@given(goal_row=st.integers(-20, 200))
def test_full_stripes_about_a_row(striped: Course, goal_row: int) -> None:
    """Slate 5, sand 3, foam 1: full at 5, 8 and 9 of every 9 rounds, by counting them one by one."""
    knitter = Knitter(striped)
    knitter.do("at", round=0, section="leg")
    full = [row for row in range(1, 300) if row % 9 in (5, 8, 0)]
    before = [row for row in full if row <= goal_row][-1:]
    after = [] if before == [goal_row] else [row for row in full if row > goal_row][:1]
    expected = tuple(before + after)
    assert ends(striped, knitter.state, 1, goal_row) == ("stripe", expected)


def test_both_choices_are_told_with_their_lengths(tmp_path: Path) -> None:
    """62 and 74 rounds at 42 to 10 cm are 14.8 and 17.6 cm; the goal is 15."""
    knitter = Knitter(course(tmp_path))
    knitter.tick(40)
    told = words.whole_ends(knitter.look())
    assert told == "a whole repeat ends at round 62 (14.8 cm) and at round 74 (17.6 cm)"
    assert "whole repeats at 62 and 74" in words.facts(knitter.look())[1][1]
    knitter.tick(22)
    cue = next(cue for cue in knitter.look().cues if cue.about == "full repeat")
    assert words.cue_line(cue, knitter.look(), keys=True) == (
        "A whole repeat ends here, at 14.8 cm of 15 cm; the next at round 74, 17.6 cm, e ends it here"
    )
    knitter.tick(1)
    assert "full repeat" not in [cue.about for cue in knitter.look().cues]


def test_where_nothing_repeats_nothing_is_told(tmp_path: Path) -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    assert words.whole_ends(knitter.look()) == ""
    assert words.whole_ends_brief(knitter.look()) == ""
    knitter.do("end")
    knitter.to("leg", 5, sock=2)
    assert knitter.look(2).length is not None
    assert words.whole_ends(knitter.look(2)) == "", "that one ends as the other did"
