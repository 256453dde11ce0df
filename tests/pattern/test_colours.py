"""Colours as they are written: names, rounds, and where a leg ends on a full stripe."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pattern.making import computed, pattern, sock
from tracker.pattern.colours import (
    LONGEST_NAME,
    MOST_STRIPES,
    NEAR_ENOUGH_MM,
    BadColour,
    Colours,
    Stripe,
    full_stripes,
    read_colours,
    read_stripes,
)
from tracker.pattern.tables import BadSection

NAVY = ["navy 9", "cream 3", "rust 2"]
SEQUENCE = Colours(stripes=read_stripes(NAVY))


def test_a_name_and_its_rounds() -> None:
    assert read_stripes(["navy 9", "  dark   grey 12 ", "shade 305 1"]) == (
        Stripe("navy", 9), Stripe("dark grey", 12), Stripe("shade 305", 1),
    )  # fmt: skip


def test_one_colour_alone_is_plain_whatever_its_rounds() -> None:
    for alone in (["navy"], ["navy 9"]):
        colours = read_colours({"leg": alone})
        assert [stripe.name for stripe in colours.stripes] == ["navy"]
        assert colours.period == 0
    assert SEQUENCE.period == 14


def test_each_of_them_may_be_missing() -> None:
    assert read_colours({}) == Colours()
    assert read_colours({"toe": "rust"}) == Colours(toe="rust")
    assert read_colours({"toe": "\u7d3a" * 10}) == Colours(toe="\u7d3a" * 10)
    assert read_colours({"cuff": "a", "heel": "b", "toe": "c", "leg": ["d"]}) == Colours(
        "a", (Stripe("d", 1),), "b", "c"
    )


@pytest.mark.parametrize(
    ("table", "field", "says"),
    [
        ({"leg": "navy 9"}, "leg", 'write leg = ["navy 9", "cream 3"]'),
        ({"leg": ["navy", "cream 3"]}, "leg", '"navy" has no number of rounds; write "navy 9"'),
        ({"leg": ["navy 9", "9"]}, "leg", '"9" has no name; write "navy 9"'),
        ({"leg": ["9"]}, "leg", '"9" has no name; write "navy 9"'),
        ({"leg": ["navy 0", "cream 3"]}, "leg", 'write 1 to 999 rounds, as in "navy 9"'),
        ({"leg": ["navy 1000", "cream 3"]}, "leg", "write 1 to 999 rounds"),
        ({"leg": ["navy -9", "cream 3"]}, "leg", "write 1 to 999 rounds"),
        ({"leg": ["navy 9.5", "cream 3"]}, "leg", "write 1 to 999 rounds"),
        ({"leg": ["navy \u0669", "cream 3"]}, "leg", "no number of rounds"),
        ({"leg": [9]}, "leg", "a stripe is a name and its rounds"),
        ({"leg": [" "]}, "leg", "a stripe is a name and its rounds"),
        ({"leg": ["navy 9"] * (MOST_STRIPES + 1)}, "leg", f"write at most {MOST_STRIPES}"),
        ({"leg": [f"{'x' * 21} 9", "cream 3"]}, "leg", "is too long; write a name of at most 20"),
        ({"heel": "rust 2"}, "heel", 'heel is one colour, so write heel = "rust"'),
        ({"heel": "9"}, "heel", 'so write heel = "navy"'),
        ({"toe": 3}, "toe", 'toe is the name of a colour; write toe = "navy"'),
        ({"cuff": ""}, "cuff", 'write cuff = "navy"'),
        ({"cuff": "x" * 200}, "cuff", "write a name of at most 20"),
        ({"cuff": "\u7d3a" * 11}, "cuff", "write a name of at most 20"),
        ({"flap": "navy"}, "flap", "write cuff, leg, heel or toe"),
        ("navy", "", "write [colours] on a line of its own"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_names_its_field_and_what_to_write(
    table: Any, field: str, says: str
) -> None:
    with pytest.raises(BadColour) as bad:
        read_colours(table)
    assert bad.value.field == field
    assert says in str(bad.value)
    assert len(str(bad.value)) < 160


@given(
    st.recursive(
        st.none() | st.integers() | st.text(max_size=30) | st.sampled_from(["navy 9", "cream 3"]),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
        max_leaves=4,
    )
)
def test_whatever_a_stranger_writes_is_read_or_refused_in_one_line(value: Any) -> None:
    for field in ("leg", "heel"):
        colours, refused = Colours(), "write "
        try:
            colours = read_colours({field: value})
        except BadColour as bad:
            refused = str(bad)
        assert refused.isprintable()
        assert "write " in refused
        names = [stripe.name for stripe in colours.stripes] + [colours.heel or ""]
        assert all(len(name) <= LONGEST_NAME for name in names)


def test_a_pattern_has_the_colours_of_its_plan_and_every_one_is_written_out() -> None:
    plan = {"colours.leg": NAVY, "colours.heel": "rust"}
    assert sock(plan).colours == Colours(None, SEQUENCE.stripes, "rust", None)
    assert computed(plan).document["colours"] == {"leg": NAVY, "heel": "rust"}
    assert sock().colours == Colours()


def test_a_pattern_by_hand_may_have_colours_and_a_bad_one_names_its_field() -> None:
    leg = {"rows": ["k"], "needles": [40]}
    assert pattern(leg, colours={"leg": ["navy"]}).colours.stripes == (Stripe("navy", 1),)
    with pytest.raises(BadSection) as bad:
        pattern(leg, colours={"leg": ["navy", "cream"]})
    assert (bad.value.key, bad.value.index) == ("colours.leg", None)


def test_the_round_after_so_many_is_that_of_the_written_sequence() -> None:
    """Leg of 46: navy 31, cream 9, rust 6 rounds (common practice, no source)."""
    names = [SEQUENCE.after(done)[0].name for done in range(46)]
    assert {name: names.count(name) for name in names} == {"navy": 31, "cream": 9, "rust": 6}
    assert SEQUENCE.after(45) == (Stripe("navy", 9), 4)
    assert SEQUENCE.after(46) == (Stripe("navy", 9), 5)


def test_a_leg_of_46_may_end_on_a_full_stripe_at_42_or_51() -> None:
    """Within 12 mm, at 42 rounds to 10 cm (common practice, no source)."""
    found = full_stripes(SEQUENCE, 46, 100 / 42)
    assert [(end.rounds, round(end.longer_mm, 1)) for end in found] == [(42, -9.5), (51, 11.9)]
    assert [end.rounds for end in full_stripes(SEQUENCE, 46, 100 / 38)] == [42]
    assert full_stripes(SEQUENCE, 42, 100 / 42) == full_stripes(SEQUENCE, 51, 100 / 42) == []
    assert full_stripes(Colours(), 46, 100 / 42) == full_stripes(SEQUENCE, 0, 100 / 42) == []


@given(
    st.lists(st.integers(1, 12), min_size=2, max_size=5), st.integers(1, 200), st.floats(1.0, 6.0)
)
def test_every_full_stripe_is_one_and_near_and_none_nearer_is_left_out(
    rounds: list[int], leg: int, row_mm: float
) -> None:
    colours = Colours(stripes=tuple(Stripe("abcde"[n], count) for n, count in enumerate(rounds)))
    sequence = [name for name, count in zip("abcde", rounds, strict=False) for _ in range(count)]
    sequence *= 2 + (leg + 20) // len(sequence)
    ends = {done for done in range(1, leg + 20) if sequence[done - 1] != sequence[done]}
    found = {end.rounds for end in full_stripes(colours, leg, row_mm)}
    near = {end for end in ends if abs(end - leg) * row_mm <= NEAR_ENOUGH_MM}
    assert found <= near
    if leg in ends:
        assert not found
    else:
        nearest = {
            max((e for e in near if e < leg), default=0),
            min((e for e in near if e > leg), default=0),
        }
        assert found == nearest - {0}


def test_a_leg_that_ends_inside_a_stripe_is_told_and_nothing_is_changed() -> None:
    made = computed({"colours.leg": NAVY})
    assert made.notes == (
        "46 leg rounds end 4 rounds into navy; to end on a full stripe take 42, 10 mm shorter or 51, "
        "12 mm longer: write leg.rounds = 42 or leg.rounds = 51 in place of leg.length.",
    )
    assert made.document["numbers"]["leg_rounds"] == 46
    rounds = {"colours.leg": NAVY, "leg.length": None}
    assert computed(rounds | {"leg.rounds": 51}).notes == ()
    (said,) = computed(rounds | {"leg.rounds": 50}).notes
    assert said.endswith("take 51, 2 mm longer: write leg.rounds = 51.")
    inches = {"leg.length": "6 1/4 in", "colours.leg": NAVY}
    assert any("1/2 in longer" in note or "in shorter" in note for note in computed(inches).notes)


def test_a_double_stitch_heel_inside_a_chart_of_letters_is_told_of() -> None:
    """The rounds inside such a heel are the chart's, in both of its colours."""
    plan = {
        "leg.fabric": "stranded", "leg.repeat": ["aabb", "bbaa"], "colours.leg": ["a navy", "b cream"],
        "colours.heel": "rust", "heel.kind": "double-stitch", "gauge.stitches": 32, "gauge.rows": 35,
    }  # fmt: skip
    assert any("through the middle of the rust" in note for note in computed(plan).notes)
