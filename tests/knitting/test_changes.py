"""What is otherwise than planned: the rows that follow come out to the stitch, and the other sock's, too.

Common practice, no source, where no other is named.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.examples import examples
from tests.knitting.knitter import GUSSET, SECTIONS, Knitter, sock_of_64
from tracker.knitting import pair, places, step
from tracker.knitting.changes import BadChange, Laid
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.laid import on_other_needles
from tracker.knitting.replay import Replay
from tracker.knitting.state import Number
from tracker.pattern.audit import audit
from tracker.pattern.model import Needle, Row, Section
from tracker.pattern.notation import Run, read_row, runs, totals
from tracker.pattern.reading import read_pattern
from tracker.pattern.spread import spread_out


def audited(course: Course) -> None:
    """Knit the pattern stitch by stitch on the loom, which reads the rows for itself."""
    document = tomllib.loads(course.planned.pattern.text)
    tables = zip(document["section"], course.pattern.sections, course.planned.sections, strict=True)
    document["section"] = [
        part
        for table, now, planned in tables
        for part in ([table] if now == planned else rewritten(table, now))
    ]
    found = audit(document)
    assert found == (), found


def rewritten(table: dict[str, Any], section: Section) -> Iterator[dict[str, Any]]:
    """A section's table with every row that it has now, parted where it is laid on other needles."""
    waits = [(wait.name, wait.stitches) for wait in section.waiting]
    told: dict[str, Any] = {"resting_names": [name for name, _ in waits]} if waits else {}
    if "onto" in table:
        # Its one row is worked from the needles of the leg, whichever they are, onto one.
        yield table
        return
    if waits:
        told["resting"] = [stitches for _, stitches in waits]
    for rows in together(section.rows):
        names = [needle.name for needle in rows[0].needles]
        begins = {"names": names, "needles": list(rows[0].before), **told}
        kind: dict[str, Any] = {
            key: table[key] for key in ("name", "kind", "worked", "waste") if key in table
        }
        set_up = {"set_up": text(rows[0])} if rows[0].number == 0 and len(rows) > 1 else {}
        rest = [text(row) for row in rows[bool(set_up) :]]
        yield {**kind, **begins, **set_up, "rows": rest}


def together(rows: tuple[Row, ...]) -> list[list[Row]]:
    """Rows in runs that go on from what the one before leaves on each needle."""
    runs: list[list[Row]] = []
    for row in rows:
        before = runs[-1][-1] if runs else None
        if before is not None and (
            before.side is not None or before.holding(len(before.needles)) == row.before
        ):
            runs[-1].append(row)
        else:
            runs.append([row])
    return runs


def text(row: Row) -> str:
    side = f"{row.side}: " if row.side else ""
    work = " | ".join(needle.work for needle in row.needles)
    return f"{side}{work} = {'/'.join(str(needle.leaves) for needle in row.needles)}"


def course_of(knitter: Knitter, sock: Number = 1) -> Course:
    return knitter.course.of(knitter.sock(sock))


def on(knitter: Knitter, sock: Number | None = None) -> list[int]:
    """The stitches on every needle."""
    return [needle.stitches for needle in knitter.look(sock).needles]


def changed(knitter: Knitter, kind: str, value: str = "", **more: Any) -> None:
    sock: Number | None = more.pop("sock", None)
    knitter.do("changed", sock, **{"as": kind, "value": value, **more})


# Uneven edges


def picked_up(value: str, needles: str = "five") -> Knitter:
    knitter = Knitter(sock_of_64(needles))
    knitter.to("gusset")
    knitter.tick()
    changed(knitter, "picked-up", value)
    return knitter


def test_uneven_edges_of_the_sock_of_64() -> None:
    """Scenario: 17 and 15 chains, one more in each gap: 27/16/16/25; the first edge gives two, the
    second rests, and from round 3 on all goes as planned, to 64 at round 19.
    """
    knitter = picked_up("17/15")
    assert on(knitter) == [27, 16, 16, 25]
    work = [needle.work for needle in knitter.look().needles]
    assert work == ["k to last 5, k2tog, k2tog, k1", "k", "k", "k"]
    found = {}
    for number in range(1, 20):
        knitter.tick()
        found[number] = on(knitter)
    assert found[1] == [25, 16, 16, 25]
    assert found[3] == [24, 16, 16, 24]
    assert knitter.place() == ("foot", 0, 0)
    assert sum(found[18]) == 66
    audited(course_of(knitter))


@pytest.mark.parametrize(
    ("value", "rounds", "foot"),
    [("16/16", 19, 44), ("17/17", 21, 42), ("18/16", 21, 42), ("16/15", 17, 46)],
)
def test_more_or_fewer_stitches_make_a_longer_or_shorter_gusset_and_the_foot_as_long(
    value: str, rounds: int, foot: int
) -> None:
    knitter = picked_up(value)
    assert knitter.look().place.planned == rounds
    course = course_of(knitter)
    assert course.sections[GUSSET].planned == rounds
    assert course.sections[GUSSET + 1].planned == foot
    audited(course)
    knitter.tick(rounds)
    assert knitter.place() == ("foot", 0, 0)
    assert sum(on(knitter)) == 64


@pytest.mark.parametrize("needles", ["five", "four", "two circulars", "long circular"])
@pytest.mark.parametrize("value", ["17/15", "14/16", "18/18"])
def test_on_every_set_of_needles(needles: str, value: str) -> None:
    course = sock_of_64(needles)
    knitter = Knitter(course)
    names = [section.name for section in course.sections]
    while knitter.sock().section < names.index("gusset"):
        here = course.sections[knitter.sock().section]
        knitter.tick(here.planned)
        if here.goal:
            knitter.do("end")
    knitter.tick()
    changed(knitter, "picked-up", value)
    audited(course_of(knitter))
    first, second = map(int, value.split("/"))
    assert sum(on(knitter)) == 18 + 32 + first + second + 2


@pytest.mark.parametrize(
    ("value", "why"),
    [
        ("20/16", "differ by more than 3: count the chains again"),
        ("17", '"17" is not read; write both edges, like "16/16"'),
        ("", "is not read; write both edges"),
    ],
)
def test_edges_that_cannot_be(value: str, why: str) -> None:
    with pytest.raises(Refused, match=why):
        picked_up(value)


def test_edges_are_told_before_round_one() -> None:
    knitter = Knitter()
    knitter.to("gusset", 3)
    with pytest.raises(Refused, match="before round 1"):
        changed(knitter, "picked-up", "17/15")


def test_edges_told_again_stand_as_told_last() -> None:
    knitter = picked_up("17/15")
    changed(knitter, "picked-up", "15/17")
    assert on(knitter) == [25, 16, 16, 27]
    assert len(knitter.sock().changes) == 1
    knitter.do("undo")
    assert on(knitter) == [27, 16, 16, 25]


# Decreases


def test_a_skipped_decrease_is_made_in_the_next_plain_round() -> None:
    knitter = Knitter()
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease")
    assert on(knitter) == [22, 16, 16, 22]
    assert knitter.look().next is not None
    knitter.tick()
    assert on(knitter) == [21, 16, 16, 21]
    knitter.tick(9)
    assert knitter.place() == ("foot", 0, 0)
    audited(course_of(knitter))


def test_a_decrease_found_missing_later_is_made_as_soon_as_a_plain_round_comes() -> None:
    knitter = Knitter()
    knitter.to("gusset", 12)
    changed(knitter, "skipped-decrease", row=9)
    assert on(knitter) == [21, 16, 16, 21], "one on each side too many"
    knitter.tick(2)
    assert on(knitter) == [19, 16, 16, 19], "made up in round 14"
    audited(course_of(knitter))


def test_in_the_phase_of_every_round_the_toe_is_a_round_longer() -> None:
    knitter = Knitter()
    knitter.to("toe", 18)
    changed(knitter, "skipped-decrease")
    assert on(knitter) == [7, 7, 7, 7]
    assert knitter.look().place.planned == 21
    knitter.tick(3)
    assert knitter.place() == ("graft", 0, 0)
    audited(course_of(knitter))


def test_a_decrease_made_a_round_early_is_left_out_later() -> None:
    knitter = Knitter()
    knitter.to("gusset", 10)
    changed(knitter, "extra-decrease")
    assert on(knitter) == [20, 16, 16, 20]
    knitter.tick()
    assert on(knitter) == [20, 16, 16, 20]
    knitter.tick(8)
    assert knitter.place() == ("foot", 0, 0)
    audited(course_of(knitter))


@pytest.mark.parametrize(
    ("section", "row", "kind", "why"),
    [
        ("leg", 5, "skipped-decrease", "no round of the leg decreases"),
        ("gusset", 10, "skipped-decrease", "round 10 of the gusset has no decrease; write --row 9"),
        ("gusset", 9, "extra-decrease", "round 9 of the gusset is not plain; write --row 8"),
        (
            "foot",
            0,
            "skipped-decrease",
            "round 19 ended the gusset; take it back, tell it with --row 19",
        ),
        ("foot", 3, "skipped-decrease", "no round of the foot decreases"),
        ("leg", 5, "extra-decrease", "no round of the leg decreases"),
    ],
)
def test_decreases_that_are_none(section: str, row: int, kind: str, why: str) -> None:
    knitter = Knitter()
    knitter.to(section, row)
    with pytest.raises(Refused, match=why):
        changed(knitter, kind)


# Other needles


def test_four_needles_instead_of_five_from_here_on() -> None:
    knitter = Knitter()
    knitter.to("leg", 20)
    before = knitter.look()
    changed(knitter, "set", "four")
    assert on(knitter) == [16, 32, 16]
    knitter.to("flap")
    assert [(wait.name, wait.stitches) for wait in knitter.look().resting] == [("N2", 32)]
    knitter.to("gusset")
    knitter.tick()
    assert on(knitter) == [26, 32, 26]
    knitter.to("toe", 1)
    assert on(knitter) == [15, 30, 15]
    assert knitter.look().needles[1].work == "k"
    audited(course_of(knitter))
    assert before.stitches == 64


def test_a_needle_lost_in_the_leg() -> None:
    """The rib goes over the borders; at the heel the stitches lie as planned again."""
    knitter = Knitter()
    knitter.to("leg", 20)
    changed(knitter, "set", "22/21/21")
    assert on(knitter) == [22, 21, 21]
    knitter.to("leg", 60)
    assert on(knitter) == [22, 21, 21]
    knitter.do("end")
    assert [needle.stitches for needle in knitter.look().needles] == [32]
    audited(course_of(knitter))


def test_a_border_moved_against_ladders() -> None:
    knitter = Knitter()
    knitter.to("cuff", 5)
    changed(knitter, "set", "18/16/16/14")
    works = [needle.work for needle in knitter.look().needles]
    assert works == [
        "[k2, p2] 4 times, k2", "[p2, k2] 4 times", "[p2, k2] 4 times", "[p2, k2] 3 times, p2",
    ]  # fmt: skip
    audited(course_of(knitter))


@pytest.mark.parametrize(
    ("before", "after", "needles"),
    [
        ("five", "two circulars", [16, 32, 16]),
        ("four", "five", [16, 16, 16, 16]),
        ("two circulars", "five", [16, 16, 16, 16]),
        ("two circulars", "four", [32, 16, 16]),
        ("two circulars", "long circular", [32, 32]),
    ],
)
def test_every_change_of_set_comes_out(before: str, after: str, needles: list[int]) -> None:
    knitter = Knitter(sock_of_64(before))
    knitter.tick(22)
    knitter.tick(10)
    changed(knitter, "set", after)
    assert on(knitter) == needles
    audited(course_of(knitter))


@pytest.mark.parametrize(
    ("value", "why"),
    [
        ("five", "five is what it is on"),
        (
            "seven",
            '"seven" is no set; write five, four, two circulars, long circular, short circular, or the',
        ),
        ("20/20/20", "20/20/20 is 60 stitches in all, 64 are on the needles"),
        ("64/0", "is 64 stitches|needle"),
        ("9/9/9/9/9/9/10", "7 needles at work are too many"),
    ],
)
def test_sets_that_cannot_be(value: str, why: str) -> None:
    knitter = Knitter()
    knitter.to("leg", 3)
    with pytest.raises(Refused, match=why):
        changed(knitter, "set", value)


# Only told


def test_what_is_only_told() -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    changed(knitter, "needle", "2,25mm")
    changed(knitter, "colour", "navy")
    changed(knitter, "other", "  a cable   on the instep ")
    told = [(change.kind, change.value, change.row) for change in knitter.sock().changes]
    assert told == [
        ("needle", "2.25 mm", 11), ("colour", "navy", 11), ("other", "a cable on the instep", 11),
    ]  # fmt: skip
    for kind, value, why in (
        ("needle", "thin", "is no size of needle"),
        ("needle", "99", "is no size of needle"),
        ("needle", "22", "22 mm is far from the pattern's 2.5 mm; write it in mm, like 2.25"),
        ("needle", "1.25", "1.25 mm is far from the pattern's 2.5 mm"),
        ("other", " ", "say what is otherwise"),
        ("other", "x" * 501, "at most 500 letters"),
        ("colour", "x" * 501, "at most 20 letters"),
        ("shrunk", "", '"shrunk" is no change; write one of skipped-decrease'),
    ):
        with pytest.raises(Refused, match=why):
            changed(knitter, kind, value)


# The other sock


def test_the_other_sock_repeats_it_row_for_row() -> None:
    """Scenario: no decrease at gusset round 9, made in round 10; other needles at foot round 5."""
    knitter = Knitter()
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease")
    knitter.to("foot", 4)
    changed(knitter, "needle", "2.25")
    knitter.to("gusset", 9, sock=2)
    assert on(knitter, 2) == [22, 16, 16, 22]
    assert course_of(knitter, 2).sections[GUSSET] == course_of(knitter, 1).sections[GUSSET]
    knitter.finish(1)
    knitter.finish(2)
    assert step.in_step(knitter.state)


def test_what_is_not_to_be_repeated_is_meant_for_one() -> None:
    knitter = Knitter()
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease", copy=False)
    knitter.to("gusset", 9, sock=2)
    assert on(knitter, 2) == [21, 16, 16, 21]
    knitter.to("foot", 0, sock=1)
    knitter.to("foot", 0, sock=2)
    assert step.in_step(knitter.state)


def test_a_sock_past_that_row_goes_on_as_it_is_and_is_not_in_step() -> None:
    knitter = Knitter()
    knitter.to("gusset", 12, sock=2)
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease")
    assert knitter.sock(2).changes == ()
    assert step.in_step(knitter.state), "no section is finished with it yet"
    knitter.to("foot", 0, sock=1)
    knitter.to("foot", 0, sock=2)
    assert not step.in_step(knitter.state)


def test_it_can_be_said_later_whether_it_is_repeated() -> None:
    knitter = Knitter()
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease")
    number = len(knitter.events)
    assert len(knitter.sock(2).changes) == 1
    knitter.do("copy", of=number, copy=False)
    assert knitter.sock(2).changes == ()
    with pytest.raises(Refused, match="that is so already"):
        knitter.do("copy", of=number, copy=False)
    knitter.do("copy", of=number, copy=True)
    assert len(knitter.sock(2).changes) == 1
    with pytest.raises(Refused, match=f"number 1 is no change that stands; write {number}"):
        knitter.do("copy", of=1, copy=True)


def test_what_is_ripped_is_not_otherwise_any_more_on_either_sock() -> None:
    knitter = Knitter()
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease")
    knitter.tick(3)
    before = knitter.state
    knitter.do("rip", round=8)
    assert knitter.sock(1).changes == knitter.sock(2).changes == ()
    assert on(knitter) == [22, 16, 16, 22]
    knitter.tick()
    assert on(knitter) == [21, 16, 16, 21]
    knitter.do("undo")
    knitter.do("undo")
    assert knitter.state == before


@pytest.mark.parametrize("how", ["end", "end at", "at"])
def test_what_comes_after_the_end_of_a_section_is_told_where_the_next_begins(how: str) -> None:
    """Told for round 47 of the leg, which then ends at 46: needles of 2.25 mm from the heel on."""
    knitter = Knitter()
    knitter.to("leg", 46)
    changed(knitter, "needle", "2.25")
    changed(knitter, "set", "four")
    if how == "end at":
        knitter.tick(3)
        knitter.do("end", at=46)
    if how == "at":
        knitter.tick(3)
        knitter.do("at", round=46)
    if how != "end at":
        knitter.do("end")
    told: dict[tuple[str, int, int], list[tuple[int, str]]] = {}
    for _ in range(22 + 46 + 3):
        cues = [cue for cue in knitter.look(2).cues if (cue.kind, cue.about) == ("copy", "ahead")]
        if cues:
            told[knitter.place(2)] = [(cue.when, cue.data["change"].value) for cue in cues]
        knitter.tick(sock=2)
    assert told == {
        ("leg", 45, 0): [(1, "2.25 mm"), (1, "four")],
        ("heel set-up", 0, 0): [(0, "2.25 mm"), (0, "four")],
    }


def test_begun_again_a_sock_repeats_what_the_other_one_is_told() -> None:
    knitter = Knitter()
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease")
    knitter.to("gusset", 12, sock=2)
    knitter.do("restart", 2)
    assert [change.repeats for change in knitter.sock(2).changes] == [True]
    knitter.do("restart", 1)
    assert knitter.sock(1).changes == knitter.sock(2).changes == ()


# Any of them, anywhere

TOLD = st.sampled_from(
    [
        ("skipped-decrease", ""), ("extra-decrease", ""), ("set", "four"), ("set", "two circulars"),
        ("picked-up", "17/15"), ("picked-up", "15/18"), ("picked-up", "14/14"), ("needle", "2.5"),
    ]
)  # fmt: skip


def steps(knitter: Knitter, moves: list[tuple[int, tuple[str, str]]]) -> Iterator[None]:
    for ticks, (kind, value) in moves:
        for _ in range(ticks):
            if knitter.sock().finished:
                return
            here = knitter.course.sections[knitter.sock().section]
            if here.goal and knitter.place()[1] >= here.planned:
                knitter.do("end")
            knitter.tick()
        try:
            changed(knitter, kind, value)
        except Refused:
            continue
        yield


@given(st.lists(st.tuples(st.integers(0, 60), TOLD), max_size=8))
@examples(60)
def test_whatever_is_changed_anywhere_is_knitted_stitch_by_stitch(
    moves: list[tuple[int, tuple[str, str]]],
) -> None:
    knitter = Knitter()
    knitter.to("leg", 40)
    for _ in steps(knitter, moves):
        audited(course_of(knitter))
        audited(course_of(knitter, 2))
        there = places.expected(knitter.course, knitter.state, 1)
        found = places.places(knitter.course, knitter.state, 1, there)
        sock = knitter.sock()
        assert any(
            place.section == sock.section and (place.any_row or place.rows == sock.rows)
            for place in found
        )
    while not knitter.sock().finished:
        here = course_of(knitter).sections[knitter.sock().section]
        if here.goal and knitter.place()[1] >= here.planned:
            knitter.do("end")
        knitter.tick()
    assert SECTIONS[knitter.sock().section] == "graft"


# What a review found: each was wrong once


def test_going_back_to_the_set_she_came_from() -> None:
    """Five, two circulars, five, four: the round begins at the centre back all along."""
    knitter = Knitter()
    knitter.to("leg", 10)
    for value, held in (
        ("two circulars", [16, 32, 16]), ("five", [16, 16, 16, 16]), ("four", [16, 32, 16]),
        ("long circular", [16, 32, 16]), ("five", [16, 16, 16, 16]),
    ):  # fmt: skip
        changed(knitter, "set", value)
        assert on(knitter) == held
        knitter.tick()
        audited(course_of(knitter))
    with pytest.raises(Refused, match="five is what it is on"):
        changed(knitter, "set", "five")


def test_from_two_circulars_the_round_goes_on_beginning_at_the_side() -> None:
    knitter = Knitter(sock_of_64("two circulars"))
    knitter.tick(22)
    knitter.tick(10)
    changed(knitter, "set", "five")
    glance = knitter.look()
    assert (glance.at_side, glance.needle_set) == (True, "five")
    changed(knitter, "set", "two circulars")
    assert on(knitter) == [32, 32]


def test_a_lost_needle_and_then_another_set() -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    changed(knitter, "set", "22/21/21")
    knitter.tick(3)
    changed(knitter, "set", "four")
    assert len(on(knitter)) == 3
    assert sum(on(knitter)) == 64
    audited(course_of(knitter))
    knitter.tick(40)
    knitter.do("end")
    knitter.to("gusset", 2)
    assert on(knitter) == [25, 32, 25]


@pytest.mark.parametrize(("value", "held"), [("four", [16, 32, 16]), ("22/21/21", [22, 21, 21])])
def test_past_the_plan_the_other_sock_changes_needles_in_that_round_too(
    value: str, held: list[int]
) -> None:
    """The leg is planned with 46 rounds; those past it come again, and not on the needles to come."""
    knitter = Knitter()
    knitter.to("leg", 57)
    changed(knitter, "set", value)
    assert on(knitter) == held
    knitter.to("leg", 46, sock=2)
    for _ in range(11):
        assert on(knitter, 2) == [16, 16, 16, 16]
        knitter.tick(sock=2)
    assert on(knitter, 2) == held
    assert course_of(knitter, 2).sections[1].planned == 46
    audited(course_of(knitter, 2))
    knitter.do("rip", round=50)
    assert on(knitter) == [16, 16, 16, 16]


def test_told_again_the_other_sock_repeats_what_stands() -> None:
    knitter = Knitter()
    knitter.to("leg", 11)
    changed(knitter, "needle", "2.25")
    changed(knitter, "needle", "2.5")
    assert [change.value for change in knitter.sock(2).changes] == ["2.5 mm"]
    changed(knitter, "needle", "2.75", copy=False)
    assert knitter.sock(2).changes == ()


def test_a_repeat_that_was_worked_and_is_then_meant_for_each_alone_is_in_step() -> None:
    knitter = Knitter()
    knitter.to("leg", 11)
    changed(knitter, "needle", "2.25")
    number = len(knitter.events)
    knitter.to("leg", 20, sock=2)
    knitter.do("copy", of=number, copy=False)
    for sock in (1, 2):
        knitter.to("heel set-up", sock=sock)
    assert step.in_step(knitter.state)


def test_what_does_not_fit_the_other_sock_is_not_laid_over_it() -> None:
    """Sock one has a shorter gusset of its own: a round moved on sock two does not come out there."""
    knitter = Knitter()
    knitter.to("gusset")
    knitter.tick()
    changed(knitter, "picked-up", "15/15", copy=False)
    knitter.to("gusset", 17, sock=2)
    changed(knitter, "extra-decrease", sock=2, row=16)
    for sock in (1, 2):
        audited(course_of(knitter, sock))
    cue = next(cue for cue in knitter.look(2).cues if (cue.kind, cue.about) == ("copy", "asked"))
    assert cue.data["lost"] == (knitter.sock(1).changes[-1].kind == "picked-up")


def works(knitter: Knitter, sock: Number, *rounds: int) -> list[str]:
    """What needle 1 does in those rounds of the gusset."""
    gusset = course_of(knitter, sock).sections[GUSSET]
    return [gusset.row(number).needles[0].work for number in rounds]


DEC = "k to last 3, k2tog, k1"


def test_where_its_rows_are_otherwise_the_other_sock_repeats_the_kind_of_change() -> None:
    """Sock two has decreases at rounds 6, 8, 10 ... of its own; one that is skipped on sock one at
    round 9 decreases there no more: at 9 sock two has none to skip, at 5 it is made in its next plain one.
    """
    knitter = Knitter()
    knitter.to("gusset", 6, sock=2)
    changed(knitter, "extra-decrease", sock=2, row=6, copy=False)
    assert works(knitter, 2, 5, 6, 7, 8, 9) == [DEC, DEC, "k", "k", DEC]
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease", row=9)
    assert works(knitter, 1, 9, 10, 11) == ["k", DEC, DEC]
    assert works(knitter, 2, 7, 8, 9, 10, 11) == ["k", "k", "k", DEC, DEC]
    for sock in (1, 2):
        audited(course_of(knitter, sock))
    replayed = Replay(knitter.course, knitter.events)
    assert replayed.state == knitter.state, "what was computed is recorded"


def test_sock_two_makes_up_for_it_in_a_plain_round_of_its_own() -> None:
    """Round 10 of sock two has a decrease of its own: the one skipped at 9 is made in 12, not in 10."""
    knitter = Knitter()
    knitter.to("gusset", 2, sock=2)
    knitter.to("gusset", 10)
    changed(knitter, "extra-decrease", row=10, copy=False)
    knitter.do("other")
    changed(knitter, "skipped-decrease", sock=2, row=9)
    assert works(knitter, 2, 9, 10, 11) == ["k", DEC, DEC]
    assert works(knitter, 1, 9, 10, 11, 12) == [DEC, DEC, "k", "k"], "sock one is past it"
    assert len(knitter.sock(1).changes) == 1


def test_a_kind_that_cannot_be_on_its_rows_is_not_repeated() -> None:
    """On sock two the decrease of round 9 was made in 8 already: none is skipped there at 9."""
    knitter = Knitter()
    knitter.to("gusset", 8, sock=2)
    changed(knitter, "extra-decrease", sock=2, row=8, copy=False)
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease", row=9)
    assert knitter.events[-1].data["there"] == []
    assert [change.kind for change in knitter.sock(2).changes] == ["extra-decrease"]
    cue = next(cue for cue in knitter.look(1).cues if (cue.kind, cue.about) == ("copy", "asked"))
    assert cue.data["lost"]
    assert not cue.data["past"]
    number = len(knitter.events)
    knitter.do("copy", of=number, copy=False)
    knitter.do("copy", of=number, copy=True)
    assert knitter.events[-1].data["there"] == []
    assert len(knitter.sock(2).changes) == 1
    knitter.do("restart", 2)
    assert [change.repeats for change in knitter.sock(2).changes] == [True], (
        "its rows are as planned"
    )
    assert works(knitter, 2, 9, 10) == ["k", DEC]


def test_once_its_own_change_is_ripped_it_repeats_the_rows_as_they_were_told() -> None:
    knitter = Knitter()
    knitter.to("gusset", 6, sock=2)
    changed(knitter, "extra-decrease", sock=2, row=6, copy=False)
    knitter.to("gusset", 11)
    changed(knitter, "skipped-decrease", row=11)
    assert works(knitter, 2, 11, 12) == ["k", DEC]
    knitter.do("rip", 2, round=4)
    assert [change.kind for change in knitter.sock(2).changes] == ["skipped-decrease"]
    assert works(knitter, 2, 5, 6, 7, 11, 12) == [DEC, "k", DEC, "k", DEC]
    audited(course_of(knitter, 2))


def test_rows_of_its_own_are_recorded_with_the_change() -> None:
    """Sock two will decrease in 10, and not in 11: one skipped at 9 is made in 11 there, in 10 here."""
    knitter = Knitter()
    knitter.to("gusset", 6, sock=2)
    changed(knitter, "extra-decrease", sock=2, row=10, copy=False)
    assert works(knitter, 2, 9, 10, 11, 12) == [DEC, DEC, "k", "k"]
    knitter.to("gusset", 9)
    changed(knitter, "skipped-decrease")
    assert works(knitter, 1, 9, 10, 11) == ["k", DEC, DEC]
    assert works(knitter, 2, 9, 10, 11, 12) == ["k", DEC, DEC, "k"]
    (there,) = knitter.events[-1].data["there"]
    assert (there["number"], len(there["rows"])) == (9, 3)
    for sock in (1, 2):
        audited(course_of(knitter, sock))
    knitter.finish(1)
    knitter.finish(2)
    differs = {found.change.kind for found in step.differences(knitter.state) if found.change}
    assert differs == set(), "the skipped one is on both, the other is meant for one"


def test_changes_are_laid_in_the_order_of_their_rows() -> None:
    knitter = Knitter()
    knitter.to("leg", 2)
    changed(knitter, "set", "four", row=8)
    knitter.to("leg", 2, sock=2)
    changed(knitter, "set", "two circulars", sock=2)
    assert [needle.name for needle in knitter.look(2).needles] == ["B1", "A", "B2"]
    audited(course_of(knitter, 2))


def test_a_change_of_the_next_row_goes_with_the_fabric() -> None:
    """Told at round 30 for 31, then ripped to 25: it is void, as what lay on the rounds above."""
    knitter = Knitter()
    knitter.to("leg", 30)
    changed(knitter, "set", "four")
    changed(knitter, "other", "a purl ridge")
    knitter.do("rip", by=5)
    assert knitter.sock(1).changes == knitter.sock(2).changes == ()
    knitter.tick(10)
    assert on(knitter) == [16, 16, 16, 16]


def test_what_is_only_told_costs_no_course() -> None:
    knitter = Knitter()
    knitter.to("leg", 3)
    for number in range(60):
        changed(knitter, "other", f"note {number}")
    assert course_of(knitter) is knitter.course


RUNS = st.lists(
    st.sampled_from(["k3", "k1", "p2", "k2tog", "ssk", "p2tog", "yo", "k2tog, yo", "sl1", "M1", "k1 tbl"]),
    min_size=1, max_size=6,
)  # fmt: skip


@given(st.lists(RUNS, min_size=2, max_size=4), st.data())
@examples(150)
def test_any_round_is_worked_alike_on_other_needles(works: list[list[str]], data: Any) -> None:
    """What is laid is read back: the same stitches in the same order, wherever the needles end."""
    texts = [", ".join(work) for work in works]
    made = [runs(read_row(text).segments[0], 99)[0] for text in texts]
    held = [totals(one).takes for one in made]
    assume(all(held))
    needles = tuple(
        Needle(
            f"N{at}", text, there - totals(one).takes + totals(one).leaves, totals(one).made, False
        )
        for at, (text, one, there) in enumerate(zip(texts, made, held, strict=True))
    )
    row = Row(1, None, needles, sum(needle.leaves for needle in needles), 0, tuple(held), "DEC")
    section = Section("round", "other", "rounds", (), (), (), (row,), None, 1)
    cuts = data.draw(st.lists(st.integers(1, sum(held)), min_size=1, max_size=3))
    total = sum(held)
    on_each = [cut for cut in cuts if cut < total][:1]
    on_each.append(total - sum(on_each))
    pattern = sock_of_64().pattern._replace(sections=(section,))
    one_by_one = [run for one in made for run in one]
    laying = Laid(0, 1, needles=tuple(on_each))
    if across := spread_out(one_by_one, on_each).across:
        with pytest.raises(BadChange, match=f"{across} would lie across two needles"):
            on_other_needles(pattern, laying)
        return
    laid = on_other_needles(pattern, laying).sections[0].rows[0]
    again = [
        run
        for needle, there in zip(laid.needles, laid.before, strict=True)
        for run in runs(read_row(needle.work).segments[0], there)[0]
        if needle.work
    ]
    assert stitches(again) == stitches(one_by_one)


@pytest.mark.parametrize(
    ("works", "held", "on_each", "laid"),
    [
        (("k2tog to end", "k2tog to end"), (16, 16), (32,), ["k2tog 16"]),
        (("k2tog to end", "k2tog to end"), (16, 16), (20, 12), ["k2tog 10", "k2tog 6"]),
        (("p4, p2tog, p10", "p4, p2tog, p10"), (16, 16), (32,), ["p4, p2tog, p14, p2tog, p10"]),
        (
            ("k1, ssk, k to end", "k to last 3, k2tog, k1"), (16, 16), (32,),
            ["k1, ssk, k to last 3, k2tog, k1"],
        ),
    ],
)  # fmt: skip
def test_a_round_without_a_stretch_of_knit_is_laid_as_it_is_written(
    works: tuple[str, ...], held: tuple[int, ...], on_each: tuple[int, ...], laid: list[str]
) -> None:
    """The rounds of a crown; and where there is such a stretch it is still said how far it goes."""
    table = {"name": "round", "kind": "other", "worked": "rounds", "needles": list(held)}
    pattern = read_pattern({"section": [{**table, "rows": [" | ".join(works)]}]}, "")
    row = on_other_needles(pattern, Laid(0, 1, needles=on_each)).sections[0].rows[0]
    assert [needle.work for needle in row.needles] == laid
    assert sum(needle.leaves for needle in row.needles) == pattern.sections[0].rows[0].leaves


def stitches(made: list[Run]) -> list[str]:
    return [run.stitch for run in made for _ in range(run.times)]


# A round that is worked in part


def test_no_decrease_is_skipped_in_a_round_that_is_half_worked_on_the_other_sock() -> None:
    """One needle of round 9 has its decrease there: it is finished as it was begun."""
    knitter = Knitter()
    knitter.to("gusset", 9)
    knitter.to("gusset", 8, sock=2)
    knitter.needle(1, 2)
    made = pair.made(knitter.course, knitter.state, 2)
    changed(knitter, "skipped-decrease", sock=1)
    assert not knitter.sock(2).changes
    assert on(knitter, 2)[0] == 21
    assert pair.made(knitter.course, knitter.state, 2) == made


def test_edges_are_told_before_or_after_the_round_that_picks_them_up() -> None:
    knitter = Knitter()
    knitter.to("gusset")
    knitter.needle()
    with pytest.raises(Refused, match="the round is half worked; finish it, then tell the edges"):
        changed(knitter, "picked-up", "10/10")


def test_a_skipped_decrease_is_made_in_a_round_that_is_not_begun() -> None:
    """Round 10 is worked plainly on one needle already: the decreases of round 9 come later."""
    knitter = Knitter()
    knitter.to("gusset", 9)
    knitter.needle()
    changed(knitter, "skipped-decrease")
    assert on(knitter, 1)[0] == 22
    gusset = course_of(knitter, 1).sections[GUSSET]
    assert gusset.row(10).word != "DEC"


# Needles lost inside a round (each was wrong once)


def inside(knitter: Knitter, sock: Number | None = None) -> tuple[int, int, int]:
    here = knitter.sock(sock)
    return here.rows, here.needles, here.into


def test_a_needle_lost_inside_a_round() -> None:
    """16 of 64 are worked: on 22/21/21 that is inside the first needle."""
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.needle()
    changed(knitter, "set", "22/21/21")
    assert on(knitter) == [22, 21, 21]
    assert inside(knitter) == (10, 0, 16)
    glance = knitter.look()
    assert (glance.place.needle, glance.place.into, glance.place.into_of) == ("N1", 16, 22)
    made = pair.made(knitter.course, knitter.state, 1)
    knitter.needle()
    assert inside(knitter) == (10, 1, 0)
    assert pair.made(knitter.course, knitter.state, 1) == made + 6
    knitter.tick()
    assert inside(knitter) == (11, 0, 0)
    audited(course_of(knitter))
    knitter.to("leg", 10, sock=2)
    assert on(knitter, 2) == [22, 21, 21]
    for _ in range(5):
        knitter.do("undo")
    assert inside(knitter) == (10, 1, 0)
    assert on(knitter) == [16, 16, 16, 16]


@pytest.mark.parametrize(
    ("ticked", "value", "place", "held"),
    [
        (2, "four", (10, 1, 16), [16, 32, 16]), (2, "32/32", (10, 1, 0), [32, 32]),
        (3, "16/24/24", (10, 2, 8), [16, 24, 24]), (1, "two circulars", (10, 1, 0), [16, 32, 16]),
    ],
)  # fmt: skip
def test_inside_a_round_the_working_point_stays(
    ticked: int, value: str, place: tuple[int, int, int], held: list[int]
) -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.needle(ticked)
    made = pair.made(knitter.course, knitter.state, 1)
    changed(knitter, "set", value)
    assert (inside(knitter), on(knitter)) == (place, held)
    assert pair.made(knitter.course, knitter.state, 1) == made
    knitter.do("rip", by=0)
    assert (inside(knitter), on(knitter)) == ((10, 0, 0), held), "the needles stay lost"


def test_inside_a_round_of_decreases_she_counts_what_hangs() -> None:
    """Toe round 1 with its first needle worked: 15/16/16/16 hang, 63 in all."""
    knitter = Knitter()
    knitter.to("toe")
    knitter.needle()
    assert on(knitter) == [15, 16, 16, 16]
    with pytest.raises(Refused, match="22/21/21 is 64 stitches in all, 63 are on the needles"):
        changed(knitter, "set", "22/21/21")
    made = pair.made(knitter.course, knitter.state, 1)
    changed(knitter, "set", "31/32")
    assert inside(knitter) == (0, 0, 15)
    assert pair.made(knitter.course, knitter.state, 1) == made
    assert on(knitter) == [32, 32], "as they were when the round began"
    knitter.tick()
    assert sum(on(knitter)) == 60
    audited(course_of(knitter))


@given(at=st.integers(1, 63), first=st.integers(1, 40), second=st.integers(1, 22))
@examples(60)
def test_inside_any_round_as_many_stitches_are_worked(at: int, first: int, second: int) -> None:
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.do("rip", stitches=at)
    made = pair.made(knitter.course, knitter.state, 1)
    changed(knitter, "set", f"{first}/{second}/{64 - first - second}")
    assert pair.made(knitter.course, knitter.state, 1) == made
    needles, into = inside(knitter)[1:]
    assert sum(on(knitter)[:needles]) + into == 64 - at
    assert Replay(knitter.course, knitter.events).state == knitter.state


@pytest.mark.parametrize("told", [{}, {"copy": False}])
def test_the_other_sock_inside_that_very_round_keeps_its_working_point(
    told: dict[str, bool],
) -> None:
    """It has 48 stitches of the round worked: on 32/32 that is inside the second needle, and back."""
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.to("leg", 10, sock=2)
    knitter.needle(3, sock=2)
    changed(knitter, "set", "32/32", **told)
    if told:
        assert inside(knitter, 2) == (10, 3, 0)
        knitter.do("copy", of=knitter.events[-1].number, copy=True)
    assert (inside(knitter, 2), on(knitter, 2)) == ((10, 1, 16), [32, 32])
    of = next(one.number for one in knitter.events if one.kind == "changed")
    knitter.do("copy", of=of, copy=False)
    assert (inside(knitter, 2), on(knitter, 2)) == ((10, 3, 0), [16, 16, 16, 16])
    knitter.do("copy", of=of, copy=True)
    knitter.do("rip", round=8)
    assert (inside(knitter, 2), on(knitter, 2)) == ((10, 3, 0), [16, 16, 16, 16])
    assert Replay(knitter.course, knitter.events).state == knitter.state


def test_a_round_told_of_earlier_with_fewer_needles_than_are_ticked_can_be_looked_at() -> None:
    """As such changes were recorded before: nothing said where the other sock then was in its round."""
    knitter = Knitter()
    knitter.to("leg", 10)
    knitter.to("leg", 10, sock=2)
    knitter.needle(3, sock=2)
    changed(knitter, "set", "32/32")
    before = dict(knitter.events[-1].data)
    del before["inside_there"]
    knitter.events[-1] = knitter.events[-1]._replace(data=before)
    knitter.replay = Replay(knitter.course, knitter.events)
    assert inside(knitter, 2) == (10, 1, 0)
    assert knitter.look(2).place.needle == "N2"
    knitter.tick(sock=2)
    assert inside(knitter, 2) == (11, 0, 0)


@pytest.mark.parametrize(
    ("told", "held"),
    [
        (("22/21/21", "five"), [16, 16, 16, 16]), (("four", "22/21/21", "32/32", "five"), [16] * 4),
        (("22/21/21", "four"), [16, 32, 16]), (("four", "22/21/21", "four"), [16, 32, 16]),
        (("18/16/16/14", "five", "four", "20/24/20", "five"), [16] * 4),
        (("two circulars", "22/21/21", "long circular"), [16, 32, 16]),
        (("22/21/21", "four", "five"), [16] * 4),
    ],
)  # fmt: skip
def test_a_set_by_its_name_lays_the_stitches_as_the_pattern_has_them(
    told: tuple[str, ...], held: list[int]
) -> None:
    """Whatever hangs now: needles of her own choice are no part of any set."""
    knitter = Knitter()
    knitter.to("leg", 10)
    for value in told:
        changed(knitter, "set", value)
        knitter.tick()
        audited(course_of(knitter))
    assert on(knitter) == held
    with pytest.raises(Refused, match=f"{told[-1]} is what it is on"):
        changed(knitter, "set", told[-1])
    knitter.to("leg", knitter.place()[1], sock=2)
    assert on(knitter, 2) == held
    assert course_of(knitter, 2).pattern.sections == course_of(knitter).pattern.sections
    knitter.to("gusset", 2)
    assert on(knitter) == {"five": [25, 16, 16, 25]}.get(told[-1], [25, 32, 25])
    audited(course_of(knitter))


def test_a_set_by_its_name_after_a_skipped_decrease() -> None:
    """The gusset has two stitches more than planned then; they lie as its rows have them."""
    knitter = Knitter()
    knitter.to("gusset", 5)
    changed(knitter, "skipped-decrease")
    before = on(knitter)
    changed(knitter, "set", "40/40")
    knitter.tick()
    assert len(on(knitter)) == 2
    changed(knitter, "set", "five")
    assert (sum(before), on(knitter)) == (80, [23, 16, 16, 23])
    audited(course_of(knitter))


def test_edges_told_once_more_are_repeated_as_they_were_told_last() -> None:
    """The first telling is replaced: it is nothing that the second is laid over."""
    knitter = Knitter()
    knitter.to("gusset")
    knitter.tick()
    changed(knitter, "picked-up", "17/15")
    changed(knitter, "picked-up", "18/17")
    assert [change.value for change in knitter.sock(2).changes] == ["18/17"]
    (asked,) = [cue for cue in knitter.look().cues if cue.about == "asked"]
    assert asked.data["lost"] is False
