"""Plans that cannot be knitted, and plans that can but should be looked at.

Each refusal names the field and what to write; what it says to write is written, and then works.
Limits are common practice, no source.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.pattern.making import computed, section, sock
from tracker.pattern import heel
from tracker.pattern.plan import WillNotWork
from tracker.units import read_length

LENGTH = r"(?:\d+ )?\d+(?:[./]\d+)? (?:mm|cm|in)\b"


def refused(given: dict[str, Any]) -> WillNotWork:
    with pytest.raises(WillNotWork) as bad:
        sock(given)
    assert "\n" not in bad.value.why
    return bad.value


def lengths(why: str) -> list[str]:
    """The lengths after the last "write"."""
    return re.findall(LENGTH, why.rpartition("write")[2])


def numbers(why: str) -> list[int]:
    return [int(number) for number in re.findall(r"\d+", why.rpartition("write")[2])]


# The number of stitches


def test_a_rib_that_does_not_divide_a_ribbed_leg() -> None:
    given = {"leg.stitches": 62, "leg.fabric": "rib"}
    bad = refused(given)
    assert (bad.field, numbers(bad.why)) == ("leg.stitches", [60, 64])
    for stitches in numbers(bad.why):
        assert sock(given | {"leg.stitches": stitches}).sections[1].starts[0] in (15, 16)


def test_a_plain_leg_may_have_any_number_below_a_cuff_of_whole_ribs() -> None:
    assert section(sock({"leg.stitches": 62}), "cuff").rows[0].leaves == 64


@pytest.mark.parametrize(("around", "per", "unit"), [("5 cm", 12, "cm"), ("2 in", 10, "in")])
def test_too_few_stitches_for_a_heel(around: str, per: int, unit: str) -> None:
    given = {"foot.circumference": around, "gauge.stitches": per, "gauge.rows": per + 4}
    bad = refused(given | {"leg.length": f"16 {unit}"})
    assert bad.field == "foot.circumference"
    (least,) = lengths(bad.why)
    assert least.endswith(unit)
    made = sock(given | {"foot.circumference": least})
    assert made.numbers.heel_stitches == heel.SMALLEST


@pytest.mark.parametrize("stitches", range(12, 20))
def test_the_smallest_socks_are_knitted(stitches: int) -> None:
    made = sock({"leg.stitches": stitches, "foot.length": "16 cm"})
    assert made.sections[-1].rows[0].leaves == 0


# The heel


def test_a_heel_too_far_from_half() -> None:
    given = {"heel.stitches": 40}
    bad = refused(given)
    assert (bad.field, numbers(bad.why)) == ("heel.stitches", [30, 34])
    for stitches in range(30, 35):
        assert sock({"heel.stitches": stitches}).numbers.heel_stitches == stitches
    assert refused({"heel.stitches": 29}).field == refused({"heel.stitches": 35}).field


def test_a_heel_too_far_from_half_of_a_small_sock_is_told_heels_that_turn() -> None:
    bad = refused({"leg.stitches": 12, "heel.stitches": 20, "foot.length": "16 cm"})
    assert min(numbers(bad.why)) == heel.SMALLEST


def test_fewer_than_six_heel_stitches_cannot_be_turned() -> None:
    with pytest.raises(WillNotWork, match="write at least 6"):
        heel.rounded_turn(5)
    assert heel.rounded_turn(6).rows == 2


@pytest.mark.parametrize("stitches", range(6, 67))
def test_a_centre_that_does_not_divide_a_heel_names_ones_that_do(stitches: int) -> None:
    for centre in range(1, 61):
        divides = (stitches + centre) % 2 == 1 and centre <= stitches - 5
        if divides:
            turn = heel.rounded_turn(stitches, centre)
            assert turn.live == stitches - turn.rows >= centre
            continue
        with pytest.raises(WillNotWork) as bad:
            heel.rounded_turn(stitches, centre)
        assert bad.value.field == "heel.centre"
        assert numbers(bad.value.why)
        for instead in numbers(bad.value.why):
            assert heel.rounded_turn(stitches, instead).centre == instead


# The gusset and the foot


@pytest.mark.parametrize(("leg", "foot"), [(64, 63), (63, 60), (64, 61)])
def test_a_foot_that_two_at_a_time_cannot_reach(leg: int, foot: int) -> None:
    bad = refused({"leg.stitches": leg, "foot.stitches": foot})
    assert (bad.field, numbers(bad.why)) == ("foot.stitches", [foot - 1, foot + 1])
    for stitches in numbers(bad.why):
        made = sock({"leg.stitches": leg, "foot.stitches": stitches})
        assert section(made, "foot").rows[0].leaves == stitches


@pytest.mark.parametrize("foot", [12, 20, 32, 46, 98, 120, 200])
def test_a_foot_that_leaves_sole_and_instep_too_unequal(foot: int) -> None:
    bad = refused({"foot.stitches": foot, "foot.length": "33 cm"})
    assert (bad.field, numbers(bad.why)) == ("foot.stitches", [48, 96])
    for stitches in numbers(bad.why):
        flap = 64 if stitches == 96 else 32
        made = sock({"foot.stitches": stitches, "foot.length": "40 cm", "heel.rows": flap})
        assert section(made, "foot").rows[0].leaves == stitches


def test_a_foot_narrower_by_four_adds_two_decrease_rounds() -> None:
    """Common practice, no source."""
    usual, narrow = (sock({"foot.stitches": stitches}).numbers for stitches in (64, 60))
    assert usual is not None
    assert narrow is not None
    assert narrow.gusset_decrease_rounds == usual.gusset_decrease_rounds + 2  # type: ignore[operator]


def test_a_flap_that_leaves_no_gusset() -> None:
    given = {"heel.rows": 4, "foot.stitches": 72}
    bad = refused(given)
    assert bad.field == "heel.rows"
    (least,) = numbers(bad.why)
    assert sock(given | {"heel.rows": least}).numbers.gusset_decrease_rounds == 1
    assert refused(given | {"heel.rows": least - 2}).field == "heel.rows"


@pytest.mark.parametrize(
    ("unit", "length"), [("mm", "120 mm"), ("cm", "12 cm"), ("in", "4 3/4 in"), ("in", "3 in")]
)
@pytest.mark.parametrize("stitches", [64, 67, 80])
def test_a_gusset_that_would_run_into_the_toe(unit: str, length: str, stitches: int) -> None:
    given: dict[str, Any] = {
        "leg.stitches": stitches,
        "leg.length": f"{400 if unit == 'mm' else 16} {unit}",
    }
    bad = refused(given | {"foot.length": length})
    assert bad.field == "foot.length"
    assert "run into the toe" in bad.why
    (least,) = lengths(bad.why)
    made = sock(given | {"foot.length": least}).numbers
    assert made is not None
    assert made.foot_rounds is not None
    assert made.gusset_rounds is not None
    assert 0 <= made.foot_rounds - made.gusset_rounds <= 1


def test_a_gusset_that_would_run_into_the_toe_of_a_shoe_size() -> None:
    given = {"foot.length": None, "foot.shoe": "EU 20", "leg.stitches": 80}
    bad = refused(given)
    assert bad.field == "foot.shoe"
    (least,) = lengths(bad.why)
    assert sock({"foot.length": least, "leg.stitches": 80})


@pytest.mark.parametrize(
    ("given", "rows"),
    [({"foot.length": "12 cm"}, 26), ({"foot.length": None, "foot.shoe": "EU 19"}, 22)],
)
def test_a_gusset_too_long_is_refused_with_choices_that_work(
    given: dict[str, Any], rows: int
) -> None:
    bad = refused(given)
    assert f"; make the flap {rows} rows (heel.rows), or write a foot of " in bad.why
    assert sock(given | {"heel.rows": rows})
    assert refused(given | {"heel.rows": rows + 2}).field == bad.field


def test_a_gusset_that_begins_plain_may_begin_with_a_decrease_instead() -> None:
    """Where one round less is enough."""
    lengths_mm = range(120, 160)
    tight = next(mm for mm in lengths_mm if fits(mm))
    given = {"foot.length": f"{tight} mm", "heel.gusset": "plain first"}
    bad = refused(given)
    assert 'or begin the gusset with a decrease (gusset = "decrease first"), or write' in bad.why
    assert sock(given | {"heel.gusset": "decrease first"})


@pytest.mark.parametrize("foot", ["60 mm", "24 cm", "60 cm"])
def test_stitches_for_a_foot_that_nobody_has_are_told_a_number_that_works(foot: str) -> None:
    given = {"leg.stitches": 116, "gauge.stitches": 12, "gauge.rows": 16.8, "foot.length": foot}
    bad = refused(given)
    assert (bad.field, bad.why.count("longer than any")) == ("leg.stitches", 1)
    (most,) = numbers(bad.why)
    assert sock(given | {"leg.stitches": most})
    assert refused(given | {"leg.stitches": most + 4}).field in ("leg.stitches", "foot.length")


def test_a_flap_for_a_foot_that_nobody_has_is_told_the_highest_that_works() -> None:
    given = {"heel.rows": 150, "gauge.stitches": 20, "gauge.rows": 24}
    bad = refused(given)
    assert bad.field == "heel.rows"
    (most,) = numbers(bad.why)
    assert sock(given | {"heel.rows": most})
    assert refused(given | {"heel.rows": most + 2}).field == "foot.length"


def test_a_gusset_that_just_reaches_the_toe_leaves_no_foot_section() -> None:
    kinds = [
        [part.kind for part in sock({"foot.length": f"{mm} mm"}).sections]
        for mm in range(120, 230)
        if fits(mm)
    ]
    assert kinds[0][-3:] == ["gusset", "toe", "graft"]
    assert kinds[-1][-3:] == ["foot", "toe", "graft"]


def fits(mm: int) -> bool:
    try:
        computed({"foot.length": f"{mm} mm"})
    except WillNotWork:
        return False
    return True


# Cuff and leg


@pytest.mark.parametrize(
    ("given", "cuff_rounds"),
    [
        ({"leg.length": "5 cm"}, 22),
        ({"leg.length": None, "leg.rounds": 0}, 22),
    ],
)
def test_a_leg_that_is_all_cuff_is_asked_about(given: dict[str, Any], cuff_rounds: int) -> None:
    made = sock(given)
    assert (made.numbers.cuff_rounds, made.numbers.leg_rounds) == (cuff_rounds, 0)
    assert [part.kind for part in made.sections[:2]] == ["cuff", "heel set-up"]
    assert f"{cuff_rounds} rounds of it, 0 leg rounds" in said(given, "ankle sock")


@pytest.mark.parametrize(
    ("cuff", "leg"),
    [({"cuff.length": "5 cm"}, "4 cm"), ({"cuff.length": None, "cuff.rounds": 23}, "2 in")],
)
def test_a_leg_shorter_than_its_cuff(cuff: dict[str, Any], leg: str) -> None:
    bad = refused(cuff | {"leg.length": leg})
    assert bad.field == "leg.length"
    assert "shorter than the cuff" in bad.why
    (least,) = lengths(bad.why)
    assert sock(cuff | {"leg.length": least}).numbers.leg_rounds in (0, 1)


def test_a_leg_needs_rounds_to_change_its_stitches_in() -> None:
    bad = refused({"leg.stitches": 63, "leg.length": "52 mm"})
    assert bad.field == "leg.length"
    (least,) = lengths(bad.why)
    made = section(sock({"leg.stitches": 63, "leg.length": least}), "leg")
    assert made.row(made.planned + 5).leaves == 63


def test_a_leg_in_rounds_needs_one_to_change_its_stitches_in() -> None:
    given = {"leg.stitches": 63, "leg.length": None}
    bad = refused(given | {"leg.rounds": 0})
    assert (bad.field, numbers(bad.why)) == ("leg.rounds", [1])
    assert section(sock(given | {"leg.rounds": 1}), "leg").rows[-1].leaves == 63
    assert section(sock(given | {"leg.rounds": 1}), "leg").planned == 1


def test_an_open_leg_goes_on_plain_past_its_plan() -> None:
    leg = section(sock({"leg.stitches": 63}), "leg")
    assert leg.rows[0].word == "DEC"
    assert {leg.row(number).word for number in range(2, 2 * leg.planned)} == {"PLAIN"}
    assert [leg.row(leg.planned + 3).number, leg.row(leg.planned + 3).leaves] == [
        leg.planned + 3,
        63,
    ]


# Gauge


@pytest.mark.parametrize(
    ("stitches", "rows", "per"), [(7.5, 10.5, "10 cm"), (8, 11, "4 in"), (5, 7, "10 cm")]
)
def test_a_gauge_counted_over_an_inch(stitches: float, rows: float, per: str) -> None:
    """It is asked about, and never converted; the sock is knitted as it stands where that can be."""
    given = {"gauge.stitches": stitches, "gauge.rows": rows}
    assert 'if it was counted over an inch, write per = "1 in"' in told(given | {"gauge.per": per})
    assert "inch" not in told(given | {"gauge.per": "1 in"})


def test_a_gauge_of_no_sock() -> None:
    bad = refused({"gauge.stitches": 2, "gauge.rows": 3})
    assert bad.field == "gauge.rows"
    assert bad.why.startswith("2 stitches to 10 cm? Socks have 10 to 60 stitches to 10 cm; count")
    fine = told({"gauge.per": "1 in"})
    assert (
        "30 stitches to 1 in, which is 118.1 to 10 cm? Socks have 10 to 60 stitches to 10 cm"
        in fine
    )
    assert 'if it was counted over 10 cm, write per = "10 cm"' in fine
    thick = {"gauge.stitches": 9, "gauge.rows": 12, "leg.stitches": 24, "foot.length": "33 cm"}
    assert sock(thick).numbers.cast_on == 24, "asked about, and knitted all the same"


@pytest.mark.parametrize(("stitches", "asks"), [(9, True), (10, False), (60, False), (61, True)])
def test_where_the_question_about_stitches_begins(stitches: int, asks: bool) -> None:
    given = {"gauge.stitches": stitches, "gauge.rows": stitches * 1.4, "foot.length": "33 cm"}
    assert ("Socks have" in told(given | {"leg.stitches": 48})) == asks


def test_rows_that_cannot_be() -> None:
    bad = refused({"gauge.rows": 420})
    assert (bad.field, numbers(bad.why)) == ("gauge.rows", [42])
    assert sock({"gauge.rows": 42})


def test_stitches_and_rows_that_were_swapped_are_asked_about() -> None:
    given = {"gauge.stitches": 42, "gauge.rows": 30, "foot.length": "30 cm", "leg.stitches": 64}
    assert any("swapped" in note for note in computed(given).notes)
    bad = refused(given | {"foot.length": "16 cm"})
    assert bad.field == "gauge.rows", "where the cause stands"
    assert "swapped" in bad.why.partition("?")[2].partition("?")[0], "the cause is said first"
    assert "The gusset" in bad.why


@pytest.mark.parametrize(
    ("rows", "asks"), [(32, True), (33, False), (42, False), (51, False), (52, True)]
)
def test_where_the_question_about_rows_begins(rows: int, asks: bool) -> None:
    assert any("swapped" in note for note in computed({"gauge.rows": rows}).notes) == asks


# What is said beside a pattern


def said(given: dict[str, Any], part: str) -> str:
    """The one note with `part` in it."""
    (note,) = [note for note in computed(given).notes if part in note]
    assert "\n" not in note
    return note


def told(given: dict[str, Any]) -> str:
    """All that is said of a plan, or why it is refused."""
    try:
        return " ".join(computed(given).notes)
    except WillNotWork as bad:
        return bad.why


@pytest.mark.parametrize("fabric", ["plain", "rib"])
@pytest.mark.parametrize("heel", [None, "30 cm", "33 cm", "35 cm", "38 cm"])
@pytest.mark.parametrize("fibre", ["wool with nylon", "cotton"])
@pytest.mark.parametrize("stitches", [52, 56, 60, 64, 68, 72])
def test_the_number_told_passes_the_heel_and_is_not_talked_over(
    fabric: str, heel: str | None, fibre: str, stitches: int
) -> None:
    """Whichever warning there is, only one is there; what it names is silent, or it says that none is."""
    given = {"leg.fabric": fabric, "foot.heel": heel, "yarn.fibre": fibre, "leg.stitches": stitches}
    odd = [note for note in computed(given).notes if FITS.search(note)]
    assert len(odd) <= 1 or not any("No number" in note for note in odd)
    for note in odd:
        if named := re.search(r"Write leg.stitches = (\d+)", note):
            again = computed(given | {"leg.stitches": int(named[1])}).notes
            assert not [note for note in again if FITS.search(note)]
        elif "No number" in note:
            every = (
                computed(given | {"leg.stitches": number}).notes for number in range(40, 100, 4)
            )
            assert all(any(FITS.search(note) for note in notes) for notes in every)
            assert ("ribbed leg opens further" in note) == (fabric == "plain")


FITS = re.compile("pass the heel|passes the heel|will be loose|will be tight")


def test_cotton_on_a_plain_leg_is_told_once_and_a_rib_helps() -> None:
    """Ease of at most 3.6 % would pass the heel, of at least 4 % would fit: by B.2, common practice."""
    cotton = {"yarn.fibre": "cotton"}
    note = said(cotton, "No number of stitches both passes the heel and fits the foot")
    assert 'write leg.fabric = "rib"' in note
    assert not [
        note for note in computed(cotton | {"leg.fabric": "rib"}).notes if FITS.search(note)
    ]


def test_a_wide_ribbed_leg_is_told_the_stitches_that_fit_it() -> None:
    wide = {"foot.ankle": "30 cm", "leg.fabric": "rib"}
    note = said(wide, "much wider than the foot")
    stitches = int(re.findall(r"leg.stitches = (\d+)", note)[0])
    foot = int(re.findall(r"foot.stitches = (\d+)", note)[0])
    again = wide | {"leg.stitches": stitches, "foot.stitches": foot}
    assert not [note for note in computed(again).notes if "much wider" in note]


@pytest.mark.parametrize(
    ("edges", "asks"), [("17/16", False), ("17/15", False), ("19/18", False), ("13/13", False),
                        ("20/19", True), ("25/25", True), ("12/12", True)],
)  # fmt: skip
def test_chains_that_are_not_those_of_the_flap(edges: str, asks: bool) -> None:
    """A flap of 32 rows has 16 chains on each edge; up to three off is how edges come out."""
    asked = [note for note in computed({"heel.picked_up": edges}).notes if "16 chains" in note]
    assert bool(asked) == asks


def test_a_rib_that_goes_on_over_the_needles_ends() -> None:
    """60 stitches of k2p2 lie 15 / 30 / 15 on a set of four; 64 lie in whole repeats."""
    four = {"needles.set": "four"}
    assert "15 / 30 / 15" in said(four | {"leg.stitches": 60}, "goes on over the ends")
    assert "goes on over" not in told(four | {"leg.stitches": 64})
    assert "goes on over" not in told({"leg.stitches": 60}), "a set of five has 16 / 16 / 16 / 12"


def test_a_plan_that_fits_is_not_talked_over() -> None:
    assert computed().notes == ()


def test_an_odd_flap_is_rounded_up_and_said() -> None:
    assert "31 rows became 32" in said({"heel.rows": 31}, "flap")
    assert sock({"heel.rows": 31}).numbers.flap_rows == 32


def test_a_shoe_size_is_told_as_a_foot() -> None:
    note = said({"foot.length": None, "foot.shoe": "EU 39"}, "Shoe EU 39")
    assert lengths("write" + note) == ["24.7 cm", "24.2 cm", "25.2 cm"]


@pytest.mark.parametrize(("stitches", "how"), [(72, "loose"), (56, "tight")])
def test_stitches_that_will_not_fit_are_told_with_others_that_do(stitches: int, how: str) -> None:
    """The band of effective ease, 4 to 16 in a hundred, is common practice, no source."""
    note = said({"leg.stitches": stitches}, f"will be {how}")
    near = int(re.findall(r"(\d+) stitches would fit", note)[0])
    assert not [note for note in computed({"leg.stitches": near}).notes if "will be" in note]
    gauge = float(re.findall(r"or (\d+\.\d) stitches to 10 cm", note)[0])
    fits = {"leg.stitches": stitches, "gauge.stitches": gauge, "gauge.rows": whole_rows(gauge)}
    assert not [note for note in computed(fits).notes if "will be" in note]


@pytest.mark.parametrize(
    ("stitches", "says"),
    [(68, "3.95 % smaller than the foot"), (72, "2 % larger"), (56, "21 % smaller")],
)
def test_how_far_off_is_never_rounded_into_what_fits(stitches: int, says: str) -> None:
    assert says in said({"leg.stitches": stitches}, "will be")


def whole_rows(gauge: float) -> int:
    return int(gauge * 1.4)


def test_a_sock_that_hardly_passes_the_heel() -> None:
    """Relaxed stockinette opens to 1.55 of itself: common practice, no source."""
    assert lengths("write" + said({"foot.heel": "34 cm"}, "pass the heel")) == ["33.1 cm", "34 cm"]
    assert computed({"foot.heel": "33 cm"}).notes == ()


@pytest.mark.parametrize("field", ["circumference", "length"])
def test_a_rare_foot_is_asked_about_and_kept(field: str) -> None:
    note = said({f"foot.{field}": "35 cm", "leg.stitches": 64}, "is it right?")
    assert "35 cm" in note


def test_a_leg_much_wider_than_the_foot_is_said_to_be_knitted_straight() -> None:
    assert "30 cm" in said({"foot.ankle": "30 cm"}, "straight")
    assert computed({"foot.ankle": "26 cm"}).notes == ()


def test_few_stitches_on_a_needle() -> None:
    small = {"leg.stitches": 20, "foot.length": "16 cm", "foot.circumference": "7.5 cm"}
    assert said(small, "fewer than 6")
    assert not [
        note for note in computed(small | {"needles.set": "four"}).notes if "fewer than 6" in note
    ]


@pytest.mark.parametrize("given", [{"yarn.lot": "12"}])
def test_what_is_kept_but_not_followed_is_said(given: dict[str, Any]) -> None:
    assert said(given, "does not follow it yet")
    table = next(iter(given)).partition(".")[0]
    assert table in computed(given).document


@pytest.mark.parametrize("unit", ["mm", "cm", "in"])
def test_every_default_is_written_out_and_lengths_stay_as_they_were_given(unit: str) -> None:
    told = {"mm": "160 mm", "cm": "16.25 cm", "in": "6 3/4 in"}[unit]
    document = computed({"leg.length": told}).document
    assert document["leg"]["length"] == told
    assert document["unit"] == unit
    assert document["heel"] == {
        "kind": "flap", "flap": "slipped", "turn": "rounded", "gap": 1, "gusset": "decrease first",
    }  # fmt: skip
    assert (document["hand"], document["count"], document["direction"]) == (
        "right",
        "rounds",
        "cuff-down",
    )


@pytest.mark.parametrize(
    ("given", "cuff", "leg"),
    [
        # By fabric and yarn: common practice, no source.
        ({}, 1.05, (0.1, 1.55, 1.0)),
        ({"leg.fabric": "rib"}, 1.05, (0.1, 1.8, 1.0)),
        ({"yarn.fibre": "cotton"}, 1.05, (0.13, 1.4, 1.0)),
        (
            {"foot.circumference": "11 cm", "foot.length": "10 cm", "cuff.rib": "k1p1",
             "cuff.length": "2 cm", "leg.length": "6 cm", "heel.rows": 10},
            1.05, (0.05, 1.55, 1.0),
        ),
        ({"leg.stitches": 64}, 1.05, (None, 1.55, 1.0)),
        ({"leg.ease": 0.07, "leg.stretch": 1.6, "leg.row_factor": 1.02, "cuff.row_factor": 1.1}, 1.1,
         (0.07, 1.6, 1.02)),
    ],
)  # fmt: skip
def test_what_follows_the_fabric_is_written_out_too(
    given: dict[str, Any], cuff: float, leg: tuple[float | None, float, float]
) -> None:
    document = computed(given).document
    assert document["cuff"]["row_factor"] == cuff
    told = document["leg"]
    assert (told.get("ease"), told["stretch"], told["row_factor"]) == leg
    if leg[0] is not None:
        # Written into a plan they are what they were: the same sock.
        again = {f"leg.{name}": told[name] for name in ("ease", "stretch", "row_factor")}
        made = computed(given | again | {"cuff.row_factor": cuff}).document
        assert made["section"] == document["section"]


@pytest.mark.parametrize("odd", ["1/3 in", "5/7 in", "6 1/3 in"])
def test_a_fraction_that_no_tape_has_is_kept_to_a_hundredth_of_a_millimetre(odd: str) -> None:
    given = {"cuff.length": odd, "leg.length": "9 in"}
    kept = computed(given).document["cuff"]["length"]
    assert abs(read_length(kept).mm - read_length(odd).mm) < 0.01


@pytest.mark.parametrize(("foot", "how"), [(52, "tight"), (56, "tight"), (72, "loose")])
def test_a_foot_on_stitches_of_its_own_is_judged_by_them(foot: int, how: str) -> None:
    given = {"foot.stitches": foot}
    assert said(given, "will be").startswith(f"{foot} stitches will be {how}")
    ease = computed(given).document["numbers"]["effective_ease"]
    assert ease == pytest.approx(1 - 100 * foot / (30 * 236))


def test_what_is_told_of_a_wide_leg_is_not_scolded_when_it_is_done() -> None:
    wide = {"foot.ankle": "30 cm", "leg.stitches": 80, "foot.stitches": 64}
    assert not [note for note in computed(wide).notes if "will be" in note or "wider" in note]
