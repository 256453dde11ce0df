"""The blanks of a plan's sentence: what is typed into them, and the plan that follows."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pattern.choices import WITHOUT_A_FLAP
from tests.ui.filling import MINE, SAMPLE, chosen, fill, of_class, whole_sentence, write
from tracker.pattern.plan import FIELDS
from tracker.ui.blanks import BLANKS, PARTS, START, Filling, new_pair
from tracker.ui.outcome import Outcome, at_work, beside, first_to_mend, in_words, work_out, wrong
from tracker.ui.sample_repeats import sample_repeats


def value(filling: Filling, place: str) -> Any:
    table, _, field = place.rpartition(".")
    document = filling.document()
    return (document.get(table, {}) if table else document).get(field)


def numbers(outcome: Outcome) -> Any:
    assert outcome.opened is not None, outcome.faults
    return outcome.opened.pattern.numbers


# The sentence


def test_a_class_file_has_just_its_own_blanks() -> None:
    assert [blank.place for blank in of_class().blanks] == [*MINE, "file"]


def test_the_whole_sentence_goes_through_its_blanks_in_order() -> None:
    told = re.findall(r"\{([^}]+)\}", "".join(one.words for part in PARTS for one in part.clauses))
    assert told.pop() == START
    there = {blank.place for blank in new_pair().blanks}
    assert [place for place in told if place in there] == [
        blank.place for blank in new_pair().blanks
    ]
    assert set(told) == set(BLANKS)


def test_every_blank_is_a_field_of_the_plan() -> None:
    for place in set(BLANKS) - {"file"}:
        table, _, field = place.rpartition(".")
        assert field in FIELDS[table]


def test_a_choice_of_one_is_no_blank() -> None:
    for blank in new_pair().blanks:
        assert blank.kind != "choice" or len(blank.choices) > 1


# Typing


def test_what_is_typed_first_takes_the_place_of_what_stood_there() -> None:
    filling = write(new_pair(), "cuff.length", "6 cm")
    assert value(filling, "cuff.length") == "6 cm"
    assert value(write(filling, "cuff.length", "7"), "cuff.length") == "7"


def test_letters_are_put_in_and_taken_out_where_she_is() -> None:
    filling = write(new_pair(), "leg.length", "17 cm")
    for step, shown in (
        (filling.rubbed_out(), "17 c"),
        (filling.sideways(-4).rubbed_out(), "7 cm"),
        (filling.to_letter(0).deleted(), "7 cm"),
        (filling.to_letter(1).typed("9"), "197 cm"),
        (filling.to_letter(99).typed("x"), "17 cmx"),
        (filling.to_letter(0).rubbed_out(), "17 cm"),
        (filling.deleted(), "17 cm"),
        (filling.pasted(" \x1b[2J19\n\tcm "), "17 cm[2J19 cm"),
    ):
        assert step.shown(step.at) == shown


def test_choices_are_stepped_through_or_named_by_their_letters() -> None:
    filling = new_pair()
    filling = filling.to(filling.at_place("needles.set") or 0)
    assert filling.shown(filling.at) == "a set of five"
    assert value(filling.sideways(1), "needles.set") == "four"
    assert value(filling.sideways(-1), "needles.set") == "short circular"
    assert value(write(filling, "needles.set", "two"), "needles.set") == "two circulars"
    assert value(write(filling, "cuff.rib", "k3"), "cuff.rib") == "k3p1"
    assert value(write(filling, "cuff.rib", "twisted k2"), "cuff.rib") == "twisted k2p2"
    assert value(write(filling, "leg.fabric", "rib"), "leg.fabric") == "rib"
    assert value(write(filling, "cuff.rib", "zzz"), "cuff.rib") == "k2p2"
    assert filling.rubbed_out() == filling.deleted() == filling.pasted("x") == filling


def test_every_blank_is_come_to_and_left_again() -> None:
    filling = new_pair()
    places = []
    there = [at for at, blank in enumerate(filling.blanks) if not filling.is_none(blank.place)]
    for _ in range(len(there) + 1):
        places.append(filling.at)
        filling = filling.moved(1)
    assert places == [*there, len(filling.blanks)]
    assert filling.at == 0
    assert filling.moved(-1).blank is None
    assert filling.moved(-1).typed("x").sideways(1).rubbed_out().texts == filling.texts


@given(st.lists(st.sampled_from(
    ["tab", "back", "left", "right", "rub", "del", "home", "end", *"1 2.,/xk\"'cmEU\u00df\u6bdb\x00\x1b"]
), max_size=40))  # fmt: skip
def test_whatever_is_typed_the_plan_is_read_or_refused(keys: list[str]) -> None:
    steps: dict[str, Callable[[Filling], Filling]] = {
        "tab": lambda f: f.moved(1), "back": lambda f: f.moved(-1), "left": lambda f: f.sideways(-1),
        "right": lambda f: f.sideways(1), "rub": Filling.rubbed_out, "del": Filling.deleted,
        "home": lambda f: f.to_letter(0), "end": lambda f: f.to_letter(200),
    }  # fmt: skip
    filling = whole_sentence().to(0)
    for key in keys:
        filling = steps[key](filling) if key in steps else filling.typed(key)
    outcome = work_out(filling)
    at_work(filling, outcome)
    list(beside(filling, outcome))
    assert (outcome.opened is None) or not outcome.faults
    if outcome.opened is None:
        assert outcome.faults or filling.open()


# What it comes to


@pytest.mark.parametrize(
    ("place", "typed", "field", "meant"),
    [
        ("foot.length", "9 1/2 in", "foot.length", "9 1/2 in"),
        ("foot.length", "EU 39", "foot.shoe", "EU 39"),
        ("foot.length", "us women 8", "foot.shoe", "us women 8"),
        ("foot.length", "24.5", "foot.length", "24.5"),
        ("gauge.stitches", "7,5", "gauge.stitches", 7.5),
        ("gauge.stitches", "30", "gauge.stitches", 30),
        ("gauge.stitches", "30 sts", "gauge.stitches", "30 sts"),
        ("cuff.length", "22 rounds", "cuff.rounds", 22),
        ("leg.length", "46 rounds", "leg.rounds", 46),
        ("heel.rows", "34", "heel.rows", 34),
        ("knitter", " Ash ", "knitter", "Ash"),
        ("knitter", "  ", "knitter", None),
    ],
)
def test_what_is_typed_is_handed_on_as_the_file_has_it(
    place: str, typed: str, field: str, meant: Any
) -> None:
    assert value(write(new_pair(), place, typed), field) == meant


def test_a_class_file_filled_in_computes_what_the_whole_file_does() -> None:
    outcome = work_out(fill(of_class(), MINE))
    assert numbers(outcome).cast_on == 64
    assert numbers(outcome).foot_rounds == 63
    assert "# Crew socks for the night crossing" in outcome.text


@pytest.mark.parametrize("kind", WITHOUT_A_FLAP)
def test_a_heel_without_a_flap_asks_nothing_of_a_flap(kind: str) -> None:
    filling = whole_sentence()
    at = filling.at_place("heel.kind")
    assert at is not None
    filling = filling.to(at)
    while filling.texts[at] != kind:
        filling = filling.sideways(1)
    after = filling.moved(1).blank
    assert after is not None
    assert after.place == "toe.kind" or not after.place.startswith("heel.")
    assert filling.moved(1).moved(-1).at == at
    assert filling.document()["heel"] == {"kind": kind}
    assert numbers(work_out(filling)).flap_rows is None


def test_a_new_pair_computes_what_the_sample_does() -> None:
    assert numbers(work_out(whole_sentence())) == numbers(work_out(fill(of_class(), MINE)))


def test_her_own_stitches_stand_for_the_way_round_the_foot() -> None:
    told = {place: text for place, text in MINE.items() if place != "foot.circumference"}
    filling = fill(new_pair(), {**told, "leg.stitches": "60", "title": "x"})
    outcome = work_out(filling)
    assert numbers(outcome).cast_on == 60
    assert first_to_mend(filling, outcome) is None


def test_without_a_name_there_are_numbers_and_no_pair() -> None:
    filling = fill(new_pair(), MINE)
    outcome = work_out(filling)
    assert numbers(outcome).cast_on == 64
    at = first_to_mend(filling, outcome)
    assert at is not None
    assert filling.blanks[at].place == "title"


# What is said


def said(filling: Filling) -> str:
    return at_work(filling, work_out(filling)).text


def test_an_empty_blank_says_what_to_write_and_no_more() -> None:
    filling = of_class()
    outcome = work_out(filling)
    assert not outcome.faults
    assert list(beside(filling, outcome)) == []
    assert said(filling) == filling.blanks[0].hint
    last = filling.moved(-1)
    assert said(last).startswith("not yet: still open: the foot's length, around the foot, the st")


def test_a_pair_without_a_name_is_not_said_to_be_ready() -> None:
    """Its numbers are known all the same."""
    filling = fill(new_pair(), MINE)
    assert work_out(filling).opened is not None
    assert said(filling.to(len(filling.blanks))) == "not yet: still open: the name"
    named = write(filling, "title", "First pair")
    assert said(named.to(len(named.blanks))).startswith("enter keeps the plan in first-pair.toml")


@pytest.mark.parametrize(
    ("place", "typed", "told"),
    [
        ("foot.length", "24.5", 'the foot\'s length: "24.5" has no unit; write "24.5 cm"'),
        ("foot.length", "24 mm", 'the foot\'s length: "24 mm" cannot be; did you mean "24 cm"?'),
        ("foot.length", "EU", 'the foot\'s length: "EU" is not a shoe size; write "EU 39"'),
        ("foot.length", "12 cm", "write a foot of 13.5 cm or more"),
        ("gauge.stitches", "30x", 'the stitches of the swatch: "30x" is not a number; write 30'),
        ("gauge.rows", "420", "write about 42"),
        ("gauge.per", "100 cm", 'did you mean "100 mm"?'),
        (
            "leg.length",
            "4 cm",
            "the leg's length: 4 cm from the cast-on edge is shorter than the cuff",
        ),
        ("heel.rows", "3.5", "3.5 is not a whole number"),
        ("leg.stitches", "300", "300 cannot be; write 12 to 200"),
        ("yarn.grams", "lots", '"lots" is not a number; write 100'),
    ],
)
def test_what_will_not_work_is_said_at_its_blank_with_what_would(
    place: str, typed: str, told: str
) -> None:
    filling = write(whole_sentence(), place, typed)
    assert told in said(filling)
    outcome = work_out(filling)
    assert wrong(filling, outcome) == {filling.at}
    left = filling.to(len(filling.blanks))
    (finding,) = beside(left, outcome)
    assert finding.sign == "!"
    assert told in finding.text
    assert said(left) == f"not yet: {finding.text}"


@pytest.mark.parametrize(
    ("told", "in_whole", "in_class"),
    [
        ("make the flap 26 rows (heel.rows)", "make the flap 26 rows (the flap's rows)", None),
        ("Write leg.stitches = 62, or", "Write 62 for the stitches around, or", None),
        ('write leg.fabric = "rib".', "write ribbed for the leg.", None),
        ("write leg.rounds = 42 in place of leg.length", "write 42 rounds for the leg's length in place of"
         " the leg's length", None),
        ("it was not measured: foot.heel", None, None),
        ("8 of 9.5 % at foot.length", "8 of 9.5 % at the foot's length", "8 of 9.5 % at the foot's length"),
    ],
)  # fmt: skip
def test_a_field_is_called_as_its_blank_is(
    told: str, in_whole: str | None, in_class: str | None
) -> None:
    assert in_words(whole_sentence(), told) == (in_whole or told)
    assert in_words(of_class(), told) == (in_class or told)


def test_the_last_numbers_stand_until_there_are_new_ones() -> None:
    filling = whole_sentence()
    good = work_out(filling)
    typing = write(filling, "foot.length", "2")
    outcome = work_out(typing, good)
    assert (outcome.opened, outcome.last) == (None, good.opened)


def test_moving_computes_nothing() -> None:
    filling = whole_sentence()
    outcome = work_out(filling)
    assert work_out(filling.moved(3), outcome) is outcome


# The file


def test_the_file_is_named_after_the_pair_and_free() -> None:
    taken = frozenset({"night-ferry.toml", "night-ferry-2.toml"})
    filling = write(new_pair(), "title", "Night Ferry!")
    assert filling.file == "night-ferry.toml"
    assert filling._replace(taken=taken).file == "night-ferry-3.toml"
    assert write(filling, "file", "mine").file == "mine.toml"
    assert write(filling, "file", "a/b.c").file == "a/b.c.toml"
    assert write(filling, "file", "mine.toml").file == "mine.toml"
    assert "file" not in filling.document()


# A leg in a repeat or in two colours


@pytest.mark.parametrize(
    ("fabric", "typed", "rows"),
    [
        ("repeat", "k2, yo, ssk, k4 / k8", ["k2, yo, ssk, k4", "k8"]),
        ("repeat", "k2, p2/ k4 /", ["k2, p2", "k4"]),
        ("stranded", "aabb / abab", ["aabb", "abab"]),
    ],
)
def test_the_rows_of_a_leg_are_written_into_the_sentence(
    fabric: str, typed: str, rows: list[str]
) -> None:
    filling = chosen(whole_sentence(), "leg.fabric", fabric)
    assert filling.blanks[filling.moved(1).moved(1).at].place == "leg.repeat"
    assert "the rows of the leg" in [filling.blanks[at].name for at in filling.open()]
    filling = write(filling, "leg.repeat", typed)
    assert value(filling, "leg.repeat") == rows
    outcome = work_out(filling)
    assert outcome.opened is not None, outcome.faults
    assert outcome.opened.pattern.sections[1].cycle == len(rows)


def test_the_yarns_of_a_two_coloured_leg_are_written_into_the_sentence() -> None:
    filling = write(chosen(whole_sentence(), "leg.fabric", "stranded"), "leg.repeat", "aabb / abab")
    assert "the yarns of the leg" not in [filling.blanks[at].name for at in filling.open()]
    filling = write(filling, "colours.leg", "a navy / b cream")
    assert value(filling, "colours.leg") == ["a navy", "b cream"]
    outcome = work_out(filling)
    assert outcome.opened is not None, outcome.faults
    assert outcome.opened.pattern.colours.letters == (("a", "navy"), ("b", "cream"))
    wrong = write(filling, "colours.leg", "navy")
    assert at_work(wrong, work_out(wrong)).text.startswith("the yarns of the leg: ")
    assert value(chosen(filling, "leg.fabric", "plain"), "colours.leg") is None


def test_a_sample_s_rows_may_be_called_by_its_name_and_the_plan_has_the_rows() -> None:
    filling = whole_sentence()._replace(repeats=sample_repeats())
    filling = chosen(filling, "leg.fabric", "repeat")
    filling = filling.moved(1).moved(1)
    told = at_work(filling, work_out(filling)).text
    assert "the name of a sample" in told
    assert "Fog bell" in told
    assert "Harbour lights" not in told  # it is of another fabric
    filling = write(filling, "leg.repeat", "fog bell")
    sample = tomllib.loads(SAMPLE.with_name("fog-bell.toml").read_text(encoding="utf-8"))
    assert value(filling, "leg.repeat") == sample["leg"]["repeat"]
    outcome = work_out(filling)
    assert outcome.opened is not None, outcome.faults
    assert "fog bell" not in outcome.text.lower()
    filling = write(chosen(filling, "leg.fabric", "stranded"), "leg.repeat", "Harbour lights")
    assert value(filling, "leg.repeat")[0] == "aaabaaab"


def test_a_row_that_will_not_work_is_said_at_its_blank_and_what_to_write_is_told_there() -> None:
    filling = chosen(whole_sentence(), "leg.fabric", "repeat")
    filling = filling.moved(1).moved(1)
    assert "k2, yo, ssk, k4 / k8" in at_work(filling, work_out(filling)).text
    filling = write(filling, "leg.repeat", "k2, oops")
    found = at_work(filling, work_out(filling))
    assert found.sign == ":"
    assert found.text.startswith("the rows of the leg: ")


def test_a_plain_leg_has_no_rows_and_what_was_typed_does_no_harm() -> None:
    filling = write(chosen(whole_sentence(), "leg.fabric", "repeat"), "leg.repeat", "k2, oops")
    filling = chosen(filling, "leg.fabric", "plain")
    assert filling.blanks[filling.moved(1).moved(1).at].place == "heel.kind"
    assert value(filling, "leg.repeat") is None
    assert work_out(filling).opened is not None
