"""A sock's pattern row by row: every row once, as it is really worked, what is done marked."""

from __future__ import annotations

from collections import Counter
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.knitting.knitter import LEG, SAMPLE, Knitter, sock_of_64
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.pattern.glossary import terms
from tracker.row_by_row import Drawn, Further, Head, RowByRow, Worked
from tracker.storage.pattern_file import open_file


def of(knitter: Knitter, number: int = 1) -> RowByRow:
    return RowByRow(knitter.course, knitter.state, 1 if number == 1 else 2)


def rows(pattern: RowByRow) -> list[Worked]:
    found = (pattern.entry(at) for at in range(pattern.count))
    return [entry for entry in found if isinstance(entry, Worked)]


def heads(pattern: RowByRow) -> list[Head]:
    found = (pattern.entry(at) for at in range(pattern.count))
    return [entry for entry in found if isinstance(entry, Head)]


def sample(name: str) -> Course:
    return Course(open_file(str(SAMPLE.with_name(f"{name}.toml"))).pattern)


@pytest.mark.parametrize("name", ["night-ferry", "low-tide", "harbour-pilot", "quay-steps-two"])
def test_every_row_stands_there_once_in_its_section(name: str) -> None:
    course = sample(name)
    pattern = of(Knitter(course))
    entries = [pattern.entry(at) for at in range(pattern.count)]
    assert isinstance(entries[0], Head)
    begins = [at for at, entry in enumerate(entries) if isinstance(entry, Head)]
    for index, (begin, end) in enumerate(zip(begins, [*begins[1:], len(entries)], strict=True)):
        section = course.sections[index]
        assert isinstance(entries[begin + 1], Drawn)
        found = [entry for entry in entries[begin + 2 : end] if isinstance(entry, Worked)]
        assert len(found) == end - begin - 2 == section.rows_to(section.planned)
        assert max(Counter(row.name for row in found).values()) == 1
        for row, entry in zip(section.rows, found, strict=False):
            assert entry.leaves == "/".join(str(needle.leaves) for needle in row.needles)


@given(st.lists(st.sampled_from(("tick", "needle", "other", "end", "undo", "fast")), max_size=20))
def test_done_next_and_to_come_are_in_this_order_whatever_she_did(acts: list[str]) -> None:
    knitter = Knitter()
    for act in acts:
        with suppress(Refused):
            if act == "needle":
                knitter.needle()
            elif act in ("tick", "fast"):
                knitter.tick(17 if act == "fast" else 1)
            else:
                knitter.do(act)
    for number in (1, 2):
        pattern, sock = of(knitter, number), knitter.sock(1 if number == 1 else 2)
        when = [row.when for row in rows(pattern)]
        done = sum(knitter.course.sections[n].rows_to(end) for n, end in enumerate(sock.ended))
        assert when == ["done"] * (done + sock.rows) + ["next"] + ["to come"] * (
            len(when) - done - sock.rows - 1
        )
        at_work = pattern.entry(pattern.place)
        assert isinstance(at_work, Worked)
        assert at_work.when == "next"
        number_of_it = knitter.course.row(sock.section, sock.rows).number
        assert number_of_it == 0 or str(number_of_it) in at_work.name.split()


def test_of_a_finished_sock_all_is_done_and_no_term_is_asked_for() -> None:
    knitter = Knitter()
    knitter.finish()
    pattern = of(knitter)
    assert {row.when for row in rows(pattern)} == {"done"}
    assert {head.when for head in heads(pattern)} == {"done"}
    assert pattern.place == pattern.count - 1
    assert pattern.terms == ()


def test_sock_two_is_as_sock_one_did_it() -> None:
    knitter = Knitter()
    knitter.to("leg", 44)
    knitter.do("end")
    knitter.to("gusset", 4)
    skipped: dict[str, Any] = {"as": "skipped-decrease", "value": "", "row": 3}
    knitter.do("changed", **skipped)
    before = [row.leaves for row in rows(of(knitter))]
    knitter.do("other")
    two = of(knitter, 2)
    assert [row.leaves for row in rows(two)] == before
    leg = heads(two)[LEG]
    assert leg.rows == "44 rounds"
    assert leg.remarks == ("It ends at round 44, as sock one did.",)
    (row,) = [row for row in rows(two) if row.remarks and "decrease" in " ".join(row.remarks)]
    assert row.remarks[-1] == "As sock one: no decrease in gusset round 3."


def test_past_the_plan_one_row_more_stands_there_until_she_ends_it() -> None:
    knitter = Knitter()
    knitter.to("leg", 50)
    pattern = of(knitter)
    assert heads(pattern)[LEG].rows == "about 51 rounds"
    at_work = pattern.entry(pattern.place)
    assert isinstance(at_work, Worked)
    assert (at_work.name, at_work.when) == ("Round 51", "next")


def test_long_work_is_written_once_where_rows_are_worked_alike_and_for_the_next_row() -> None:
    knitter = Knitter(sample("harbour-pilot"))
    knitter.tick(3)
    cuff = [row.work for row in rows(of(knitter))][:22]
    whole = "[k2, p2] 4 times, k2 | p2, [k2, p2] 8 times, k2 | p2, [k2, p2] 4 times"
    assert cuff == [whole, *["as round 1"] * 2, whole, *["as round 1"] * 18]


def test_the_head_of_the_section_at_work_tells_its_goal() -> None:
    knitter = Knitter()
    knitter.to("leg", 3)
    found = heads(of(knitter))
    assert [head.when for head in found[:3]] == ["done", "next", "to come"]
    assert found[LEG].remarks[0].startswith("To 16 cm from the cast-on edge: 46 rounds are planned")
    assert found[0].remarks == ()


def test_her_own_goal_is_told() -> None:
    knitter = Knitter()
    knitter.to("leg", 2)
    knitter.do("target", mm=145.0, text="14.5 cm")
    assert heads(of(knitter))[LEG].remarks == (
        "To 14.5 cm from the cast-on edge, as you have set it: about 40.",
    )


def test_stripes_are_told_where_they_change_and_at_the_next_row_in_full() -> None:
    knitter = Knitter(sample("low-tide"))
    knitter.tick(16)
    knitter.tick(5)
    pattern = of(knitter)
    leg = [row for row in rows(pattern) if row.when != "done"]
    assert leg[0].colour == "change to sand, 1st of 3 rounds"
    assert leg[1].work == "slip the first stitch; every needle k"
    assert [row.colour for row in leg[1:6]] == ["", "", "change to foam", "change to slate", ""]


def test_the_needles_done_of_a_round_are_named() -> None:
    knitter = Knitter()
    knitter.needle(2)
    pattern = of(knitter)
    at_work = pattern.entry(pattern.place)
    assert isinstance(at_work, Worked)
    assert at_work.remarks == ("Done of it: N1, N2.",)


def test_the_terms_are_those_of_the_next_row_each_in_words() -> None:
    knitter = Knitter()
    knitter.to("gusset", 2)
    pattern = of(knitter)
    row = knitter.course.row(knitter.sock().section, knitter.sock().rows)
    assert [name for name, _ in pattern.terms] == [
        term.name for term in terms(needle.work for needle in row.needles)
    ]
    assert dict(pattern.terms)["k2tog"] == "knit two together as one (2 become 1)"


def test_the_chart_says_which_of_its_rows_is_next() -> None:
    knitter = Knitter()
    knitter.to("flap", 5)
    pattern = of(knitter)
    charts = [entry for at in range(pattern.count) if isinstance(entry := pattern.entry(at), Drawn)]
    assert [(entry.next, entry.of_rounds) for entry in charts if entry.chart] == [(2, False)]


LACE = """title = "Tide lines"
[colours]
leg = ["slate 5", "sand 3", "foam 1"]
[[section]]
name = "leg"
kind = "leg"
worked = "rounds"
needles = [16, 16, 16, 16]
until = "9 cm"
rows = ["*k2tog, yo, k6; rep from * to end", "k", "*k2, yo, ssk, k4; rep from * to end", "k"]
"""
WORN = [*["slate"] * 5, *["sand"] * 3, "foam"]
"""The yarns of nine rounds, again and again."""


def laced(tmp_path: Path, text: str = LACE) -> Knitter:
    file = tmp_path / "lace.toml"
    file.write_text(text, encoding="utf-8")
    return Knitter(Course(open_file(str(file)).pattern))


def drawn(pattern: RowByRow) -> Drawn:
    (found,) = (
        entry
        for at in range(pattern.count)
        if isinstance(entry := pattern.entry(at), Drawn) and entry.chart
    )
    return found


def test_each_row_of_a_chart_has_the_yarn_it_is_knitted_in_this_time(tmp_path: Path) -> None:
    knitter = laced(tmp_path)
    for done in range(26):
        found = drawn(of(knitter)).yarns
        assert found
        first = done // 4 * 4
        assert (found.first, found.last) == (first + 1, first + 4)
        assert found.names == ("slate", "sand", "foam")
        worn = [found.names[place] for place in found.lines]
        assert worn == [WORN[row % 9] for row in range(first, first + 4)]
        knitter.tick()


def test_a_yarn_that_she_changed_is_that_of_the_charts_row(tmp_path: Path) -> None:
    knitter = laced(tmp_path)
    knitter.tick(4)
    rust: dict[str, Any] = {"as": "colour", "value": "rust", "row": 5}
    knitter.do("changed", **rust)
    found = drawn(of(knitter)).yarns
    assert found
    assert found.names[found.lines[0]] == "rust"


@pytest.mark.parametrize(
    "colours", ["", '[colours]\nleg = ["slate 5"]\n', '[colours]\nheel = "sand"\n']
)
def test_a_chart_in_one_yarn_names_none(tmp_path: Path, colours: str) -> None:
    text = LACE.replace('[colours]\nleg = ["slate 5", "sand 3", "foam 1"]\n', colours)
    assert drawn(of(laced(tmp_path, text))).yarns is None


@pytest.mark.parametrize("step", [1, 2])
def test_sections_are_gone_through_by_their_heads(step: int) -> None:
    pattern = of(Knitter())
    begins = [at for at in range(pattern.count) if isinstance(pattern.entry(at), Head)]
    assert pattern.head_before(begins[2] + step) == begins[2]
    assert pattern.head_before(begins[2]) == begins[1]
    assert pattern.head_before(0) == 0
    assert pattern.head_after(begins[2] + step) == begins[3]
    assert pattern.head_after(begins[2]) == begins[3]
    assert pattern.head_after(begins[-1]) == pattern.count - 1


def test_a_strangers_words_steer_no_terminal(tmp_path: Path) -> None:
    file = tmp_path / "hat.toml"
    file.write_text(
        'title = "H\\u001bat"\n[[section]]\nname = "bri\\u202em"\nworked = "rounds"\nneedles = [24]\n'
        'names = ["\\u001b[1m"]\nrepeat = 4\nrows = ["k"]\n',
        encoding="utf-8",
    )
    knitter = Knitter(Course(open_file(str(file)).pattern))
    pattern = of(knitter)
    told = " ".join(str(pattern.entry(at)) for at in range(pattern.count)) + pattern.title
    assert "\\x1b" not in told
    assert told.isprintable()


def test_ten_thousand_rows_are_not_composed_before_they_are_asked_for(tmp_path: Path) -> None:
    file = tmp_path / "scarf.toml"
    file.write_text(
        'title = "Scarf"\n[[section]]\nname = "scarf"\nworked = "rows"\nneedles = [24]\n'
        'repeat = 2500\nrows = ["RS: k", "WS: p"]\n[[section]]\nname = "end"\nworked = "rows"\n'
        'repeat = 2500\nrows = ["RS: k", "WS: p"]\n',
        encoding="utf-8",
    )
    knitter = Knitter(Course(open_file(str(file)).pattern))
    pattern = of(knitter)
    asked: list[int] = []
    compose = pattern._row

    def counted(index: int, rows: int) -> Worked:
        asked.append(rows)
        return compose(index, rows)

    pattern._row = counted  # type: ignore[method-assign]
    assert pattern.rows >= 10_000
    pattern.entry(pattern.place)
    pattern.entry(pattern.count - 1)
    assert len(asked) == 2


def test_a_whole_sock_as_planned_has_the_rows_of_its_counts() -> None:
    assert of(Knitter(sock_of_64())).rows == 22 + 46 + 1 + 32 + 14 + 20 + 44 + 20 + 1


def test_a_colour_told_past_the_plan_is_that_of_its_row() -> None:
    knitter = Knitter(sample("low-tide"))
    knitter.tick(16)
    knitter.tick(knitter.course.sections[LEG].planned + 3)
    told: dict[str, Any] = {"as": "colour", "value": "foam"}
    knitter.do("changed", **told)
    pattern = of(knitter)
    at_work = pattern.entry(pattern.place)
    assert isinstance(at_work, Worked)
    assert "foam" in at_work.colour


def test_a_pattern_of_which_a_stage_is_not_there_says_so_at_its_end() -> None:
    knitter = Knitter(sample("quay-steps-one"))
    knitter.tick(10)
    pattern = of(knitter)
    assert isinstance(pattern.entry(pattern.count - 1), Further)
    assert pattern.section_of(pattern.count - 1) == "Leg"
    assert pattern.head_after(pattern.place) == pattern.count - 1
    assert pattern.head_before(pattern.count - 1) == pattern.head_before(pattern.place)
    knitter.tick(16)
    knitter.do("end")
    assert {row.when for row in rows(of(knitter))} == {"done"}
    whole = of(Knitter(sample("quay-steps-two")))
    assert isinstance(whole.entry(whole.count - 1), Worked)
