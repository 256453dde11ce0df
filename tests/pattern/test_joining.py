"""The next stage's sections joined to a pattern, table by table."""

from __future__ import annotations

from typing import Any

import pytest

from tests.knitting.knitter import SECTIONS
from tests.knitting.staging import otherwise, up_to, whole
from tests.pattern.making import computed
from tracker.pattern.joining import NothingNew, joined, replanned
from tracker.pattern.kept import NotKept, kept_text, pattern_of, tables_of
from tracker.pattern.reading import read_pattern
from tracker.pattern.tables import BadSection


def names(document: dict[str, Any]) -> list[str]:
    return [table["name"] for table in document["section"]]


def only(*sections: str, **more: Any) -> dict[str, Any]:
    """A file with these sections of the sock alone."""
    tables = [table for table in whole()["section"] if table["name"] in sections]
    return {"title": "Stage two", "section": tables, **more}


@pytest.mark.parametrize("there", SECTIONS[:-1])
@pytest.mark.parametrize("begins", [0, 1])
def test_all_so_far_and_more_joins_what_is_new(there: str, begins: int) -> None:
    """With or without the sections that are there; it reads as if it had been one file from the first."""
    known = SECTIONS.index(there) + 1
    told = {**whole(), "section": whole()["section"][begins * known :]}
    document = joined(up_to(there), told)
    assert names(document) == list(SECTIONS)
    assert read_pattern(document, "").sections == read_pattern(whole(), "").sections


def test_a_part_of_what_is_there_may_come_again() -> None:
    assert names(joined(up_to("leg"), only("leg", "heel set-up", "flap"))) == list(SECTIONS[:4])


def test_the_first_new_section_may_go_on_without_its_needles() -> None:
    """The pair's own needles are those it goes on from."""
    tables = only("heel set-up")
    bare = [{k: v for k, v in tables["section"][0].items() if k not in ("needles", "names")}]
    document = joined(up_to("leg"), {"section": bare})
    assert read_pattern(document, "").sections[2].needles == ("heel",)


def test_nothing_new() -> None:
    for told in (up_to("leg"), up_to("cuff"), only("leg")):
        with pytest.raises(NothingNew, match="the pattern has all of these sections already"):
            joined(up_to("leg"), told)
    stage = {"number": 2, "opens": "2026-03-12"}
    assert joined(up_to("leg"), up_to("leg", stage=[stage]))["stage"] == [stage]


@pytest.mark.parametrize(
    ("told", "section", "row", "why"),
    [
        (otherwise("leg", rows=["p | p | p | p = 16/16/16/16"]), "leg", 1, 'the pattern has "k | k'),
        (otherwise("cuff", repeat=20), "cuff", 21, 'has "22 rounds" there, this file "20 rounds"'),
        (otherwise("leg", until="17 cm"), "leg", 46, '"until 160 mm" there, this file "until 170 mm"'),
        (only("cuff", "heel set-up"), "heel set-up", None, "after the cuff the pattern has the leg"),
    ],
)  # fmt: skip
def test_a_known_section_that_differs_is_named_with_its_row(
    told: dict[str, Any], section: str, row: int | None, why: str
) -> None:
    with pytest.raises(BadSection) as bad:
        joined(up_to("leg"), told)
    assert (bad.value.section, bad.value.row) == (section, row)
    assert why in bad.value.why
    assert "instep replan" in bad.value.why


def test_it_must_go_on_with_the_stitches_there_are() -> None:
    heel = {"name": "hem", "worked": "rounds", "needles": [15, 15, 15, 15], "rows": ["k"]}
    with pytest.raises(BadSection, match="begins with 60 stitches, and the leg leaves 64") as bad:
        joined(up_to("leg"), {"section": [heel]})
    assert (bad.value.index, bad.value.key) == (0, "needles")
    joined(up_to("leg"), {"section": [{**heel, "needles": [32, 32]}]})


@pytest.mark.parametrize("needles", ["four", "five", "two circulars", "long circular"])
def test_every_computed_sock_goes_on_from_section_to_section(needles: str) -> None:
    document = computed({"needles.set": needles}).document
    for known in range(1, len(document["section"])):
        there = {**document, "section": document["section"][:known]}
        assert len(joined(there, document)["section"]) == len(document["section"])


def test_a_foot_comes_with_the_toe_that_it_leaves_room_for() -> None:
    with pytest.raises(
        BadSection, match="a toe fits, which is not there yet; write the toe"
    ) as bad:
        joined(up_to("leg"), up_to("foot"))
    assert (bad.value.section, bad.value.index, bad.value.key) == ("foot", 6, "less")
    with pytest.raises(BadSection, match="a toe fits"):
        replanned({}, up_to("foot"))
    assert names(joined(up_to("leg"), up_to("toe")))[-1] == "toe"


def test_other_needles_and_other_colours_are_refused() -> None:
    told = {**whole(), "needles": {"set": "four"}}
    with pytest.raises(BadSection, match='knitted on "five", this file is for "four"'):
        joined(up_to("leg"), told)
    there = up_to("leg", colours={"leg": ["navy 3", "sand 2"]})
    assert joined(there, {**whole(), "colours": {"heel": "sand"}})["colours"]["heel"] == "sand"
    with pytest.raises(BadSection, match="the colours of the leg are others"):
        joined(there, {**whole(), "colours": {"leg": ["navy 4", "sand 2"]}})


STAGES = [{"number": 1, "sections": ["cuff"]}, {"number": 2, "opens": "2026-03-12"}]


@pytest.mark.parametrize(
    ("told", "stages"),
    [
        ((), [STAGES[0], {**STAGES[1], "sections": ["heel set-up"]}]),
        ([{"number": 2, "sections": ["heel"]}], [STAGES[0], {"number": 2, "sections": ["heel"]}]),
        ([{"sections": ["heel"]}], [*STAGES, {"number": 3, "sections": ["heel"]}]),
    ],
)
def test_stages_told_later_stand_for_those_told_before(told: Any, stages: Any) -> None:
    more = {"stage": told} if told else {}
    document = joined(up_to("leg", stage=STAGES), only("heel set-up", **more))
    assert document["stage"] == stages


def test_what_is_kept_reads_as_it_was_and_tells_no_name() -> None:
    text = kept_text({**whole(), "knitter": "Ash", "stage": STAGES})
    assert {"title", "knitter", "count"}.isdisjoint(tables_of(text))
    assert pattern_of(text).sections == read_pattern(whole(), "").sections
    assert pattern_of(text) is pattern_of(text)
    with pytest.raises(NotKept, match="a number that is none"):
        kept_text({"gauge": float("nan")})
    with pytest.raises(NotKept, match="more than 1000000 characters"):
        kept_text({"section": "x" * 1_000_001})
