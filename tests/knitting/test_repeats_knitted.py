"""A leg in a repeat or in two colours at the needles: what she reads, how it goes on, what yarn it takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import pytest

from tests.knitting.knitter import Knitter
from tests.pattern.choices import HEELS
from tests.pattern.making import plan_text
from tracker import words, written
from tracker.cli import main
from tracker.knitting import shares, step, stripes
from tracker.knitting.course import Course
from tracker.knitting.decide import Refused
from tracker.knitting.state import Number
from tracker.pattern.model import Needle
from tracker.pattern.notation import colour_of, read_row, runs, stitch_of
from tracker.row_by_row import Drawn, RowByRow
from tracker.storage.files import Source
from tracker.storage.pattern_file import open_source

ROWS = ["p1, C4F, p1, k2", "p1, k4, p1, k2", "p1, k4, p1, k2"]
CHART = ["aaaabbbb", "abbbbaaa", "aaaaaaab"]
TWO_COLOURS = {
    "leg.fabric": "stranded", "leg.repeat": CHART, "gauge.stitches": 34, "gauge.rows": 36,
    "foot.fabric": "as the leg", "leg.stitches": 80, "colours.leg": ["a navy", "b cream"],
    "colours.heel": "rust",
}  # fmt: skip


def planned(fields: dict[str, object]) -> Course:
    text = plan_text(fields)
    return Course(open_source(Source("plan.toml", text.encode(), text)).pattern)


def cables(**more: object) -> Knitter:
    fields = {
        "leg.fabric": "repeat", "leg.repeat": ROWS, "leg.stitches": 64, "foot.fabric": "as the leg", **more,
    }  # fmt: skip
    return Knitter(planned(fields))


def two_colours(**more: object) -> Knitter:
    return Knitter(planned(TWO_COLOURS | more))


def instep(knitter: Knitter) -> str:
    """What the first needle of the instep does next."""
    return knitter.look().needles[1].work


@pytest.mark.parametrize("ended", [44, 46, 47, 50])
def test_wherever_she_ends_the_leg_the_foot_goes_on_with_its_next_row(ended: int) -> None:
    knitter = cables()
    knitter.to("leg", ended)
    knitter.do("end")
    knitter.to("gusset")
    done = ended
    while knitter.look().place.kind in ("gusset", "foot"):
        assert instep(knitter) == f"*{ROWS[done % 3]}; rep from * to end"
        knitter.tick()
        done += 1
        if knitter.look().place.kind == "foot" and knitter.sock(1).rows == 7:
            break
    knitter.do("undo")
    assert instep(knitter) == f"*{ROWS[(done - 1) % 3]}; rep from * to end"
    # Sock two ends where sock one did, and has the same rows there.
    knitter.to("leg", sock=2)
    knitter.tick(ended, 2)
    knitter.to("gusset", sock=2)
    assert knitter.sock(2).ended[1] == ended
    assert knitter.look(2).needles[1].work == f"*{ROWS[ended % 3]}; rep from * to end"
    assert step.in_step(knitter.state)


def test_a_decrease_that_was_skipped_leaves_the_instep_its_rows() -> None:
    knitter = cables()
    knitter.to("gusset", 3)
    before = [row.needles[1].work for row in knitter.course.sections[5].rows]
    knitter.do("changed", None, **{"as": "skipped-decrease", "value": ""})
    after = knitter.course.of(knitter.sock(1)).sections[5].rows
    assert [row.needles[1].work for row in after][: len(before)] == before
    assert [row.word for row in after[3:5]] != ["DEC", "RIB"]
    assert after[-1].leaves == 64


@pytest.mark.parametrize("edges", ["17/15", "19/16", "13/16"])
@pytest.mark.parametrize("fields", [{}, {"needles.set": "two circulars"}])
def test_edges_picked_up_unevenly_leave_the_instep_its_rows(
    edges: str, fields: dict[str, object]
) -> None:
    knitter = cables(**fields)
    knitter.to("gusset")
    knitter.do("changed", None, **{"as": "picked-up", "value": edges})
    there = list(knitter.course.of(knitter.sock(1)).sections)
    at = next(index for index, section in enumerate(there) if section.kind == "gusset")
    place = 0 if fields else 1
    rows = [*there[at].rows, *there[at + 1].rows, there[at + 1].row(there[at + 1].planned + 1)]
    works = [row.needles[place].work for row in rows]
    # At the side the row that sets the heel up is a round of the instep.
    done = there[1].planned + bool(fields)
    assert works == [f"*{ROWS[(done + n) % 3]}; rep from * to end" for n in range(len(works))]
    assert there[at].rows[-1].leaves == 64


def test_in_two_colours_uneven_edges_leave_the_sole_its_colours() -> None:
    knitter = two_colours()
    knitter.to("gusset")
    knitter.do("changed", None, **{"as": "picked-up", "value": "22/19"})
    gusset = knitter.course.of(knitter.sock(1)).sections[5]
    for row in gusset.rows[1:]:
        needle, live = row.needles[-1], row.before[-1]
        made, _ = runs(read_row(needle.work).segments[0], live)
        assert all(colour_of(run.stitch) for run in made)


def test_a_round_in_two_colours_says_them_and_what_is_caught() -> None:
    knitter = two_colours()
    knitter.to("leg", 2)
    glance = knitter.look()
    assert next(needle.work for needle in glance.needles) == "*k7 a, k1 b; rep from * to end"
    assert glance.colour is not None
    assert glance.colour.name == "navy (a), cream (b)"
    (cue,) = [cue for cue in glance.cues if cue.about == "catch"]
    assert words.cue_text(cue, glance) == ("catch b behind stitch 4 of each 8", "")
    knitter.tick()
    assert not [cue for cue in knitter.look().cues if cue.about == "catch"]


def test_what_is_caught_in_a_chart_that_comes_once_is_counted_in_the_round_or_on_the_instep() -> (
    None
):
    knitter = two_colours(**{"leg.repeat": ["aaaaaaaab" * 8 + "aaaaaaab"]})
    knitter.to("leg", 1)
    (cue,) = [cue for cue in knitter.look().cues if cue.about == "catch"]
    assert cue.data["yarns"][0].startswith("catch b behind stitch")
    assert cue.data["yarns"][0].endswith(" of the round")


def test_a_change_of_yarn_is_told_where_the_chart_begins_and_ends() -> None:
    knitter = two_colours()
    knitter.to("cuff", 18)
    told = [cue.data["to"] for cue in knitter.look().cues if cue.kind == "change"]
    assert told == ["navy (a), cream (b)"]
    threads = stripes.threads(knitter.course, knitter.state, 1)
    by_kind = {
        there.kind: getattr(
            threads.at(index, 1 if there.kind != "heel set-up" else 0), "name", None
        )
        for index, there in enumerate(knitter.course.sections)
    }
    chart = "navy (a), cream (b)"
    assert by_kind == {
        "cuff": "navy", "leg": chart, "heel set-up": "rust", "flap": "rust", "turn": "rust",
        "gusset": chart, "foot": chart, "toe": "navy", "graft": None,
    }  # fmt: skip


def by_hand(knitter: Knitter) -> Counter[str]:
    """Every stitch of a sock as planned, counted one by one by the letters in its rows."""
    found: Counter[str] = Counter()
    for there in knitter.course.sections:
        plain = "rust" if there.kind in ("heel set-up", "flap", "turn") else "navy"
        for row in there.rows if there.kind != "graft" else ():
            letters: Counter[str] = Counter()
            for needle, live in zip(row.needles, row.before, strict=False):
                read = read_row(needle.work).segments[0]
                for run in runs(read, live)[0] if read else ():
                    letters[colour_of(run.stitch)] += run.times
            for letter in "ab":
                found[{"a": "navy", "b": "cream"}[letter]] += letters[letter]
            found[plain] += row.worked - letters["a"] - letters["b"]
    return found


def test_the_yarn_of_each_colour_is_counted_stitch_by_stitch() -> None:
    knitter = two_colours()
    told = shares.stitches_by_colour(knitter.course)
    assert told == dict(by_hand(knitter).most_common())
    assert sum(told.values()) == knitter.course.stitches
    knitter.to("leg", 1)
    before = shares.made_by_colour(knitter.course, knitter.state, 1)
    knitter.needle(2)
    now = shares.made_by_colour(knitter.course, knitter.state, 1)
    held = sum(needle.leaves for needle in knitter.course.sections[1].rows[1].needles[:2])
    assert now - before == Counter({"navy": held // 2, "cream": held // 2})


def test_a_chart_is_drawn_in_its_letters() -> None:
    knitter = two_colours()
    knitter.to("leg", 2)
    pattern = RowByRow(knitter.course, knitter.state, 1)
    drawn = next(
        entry
        for entry in map(pattern.entry, range(pattern.count))
        if isinstance(entry, Drawn) and entry.dyes
    )
    assert drawn.chart is not None
    assert [line.signs for line in drawn.chart.lines] == [row[::-1] for row in CHART]
    assert drawn.next == 3
    assert dict(drawn.dyes.places if drawn.dyes else ()) == {"a": 0, "b": 1}


def test_a_mirrored_sock_has_the_chart_from_its_other_side() -> None:
    knitter = two_colours(**{"pair.likeness": "mirrored"})
    knitter.to("leg", 2)
    knitter.to("leg", 2, sock=2)
    one, two = (knitter.look(sock).needles[0].work for sock in (1, 2))
    assert (one, two) == ("*k7 a, k1 b; rep from * to end", "[k1 b, k7 a] 3 times")
    assert [n.stitches for n in knitter.look(1).needles] == [
        n.stitches for n in knitter.look(2).needles
    ]
    assert step.in_step(knitter.state)


def test_cousins_may_have_the_colours_of_a_chart_changed_over() -> None:
    knitter = two_colours(**{"pair.likeness": "cousins"})
    knitter.do("changed", 2, **{"as": "colour", "value": "reversed"})
    course = knitter.course.of(knitter.sock(2))
    assert stripes.in_order(course).letters == (("a", "cream"), ("b", "navy"))
    one, two = (shares.stitches_by_colour(knitter.course.of(knitter.sock(n))) for n in (1, 2))
    assert one["rust"] == two["rust"]
    assert (one["navy"], one["cream"]) == (two["cream"], two["navy"])
    knitter.to("leg", 3, sock=2)
    with pytest.raises(Refused, match="colours are reversed from the cast-on"):
        knitter.do("changed", 2, **{"as": "colour", "value": "reversed"})


@pytest.mark.parametrize(
    "fields", [TWO_COLOURS, {"leg.fabric": "repeat", "leg.repeat": ROWS, "leg.stitches": 64}]
)
def test_from_the_plan_file_to_print_and_a_few_ticks(
    fields: dict[str, object], tmp_path: object, capsys: pytest.CaptureFixture[str]
) -> None:
    plan, basket = f"{tmp_path}/plan.toml", f"{tmp_path}/basket.db"
    with open(plan, "w", encoding="utf-8") as file:
        file.write(plan_text(fields))
    assert main(["check", plan]) == 0
    for ending in ("md", "html", "txt"):
        assert main(["write", plan, "-o", f"{tmp_path}/sheet.{ending}"]) == 0
    assert main(["start", plan, "--basket", basket]) == 0
    assert main(["tick", "25", "--basket", basket]) == 0
    assert main(["write", "night-ferry", "--basket", basket, "-o", f"{tmp_path}/made.md"]) == 0
    capsys.readouterr()
    assert main(["left", "--basket", basket]) == 0
    assert "leg: round" in capsys.readouterr().out
    with open(f"{tmp_path}/sheet.txt", encoding="utf-8") as file:
        text = file.read()
    assert ("k4 a, k4 b" in text) == (fields is TWO_COLOURS)
    assert ("catch b behind stitch 4 of each 8" in text) == (fields is TWO_COLOURS)
    assert "Chart, read from below, each round from right to left" in text
    assert ("C4F" in text) == (fields is not TWO_COLOURS)


LACE = ["k1, yo, k2, ssk, k3", "k8", "k3, k2tog, k2, yo, k1", "k2, p4, k2"]


@pytest.mark.parametrize("kind", [kind for kind in HEELS if kind != "afterthought"])
@pytest.mark.parametrize("ended", [44, 45, 47])
def test_at_the_side_the_row_that_sets_the_heel_up_is_a_round_of_the_repeat(
    kind: str, ended: int
) -> None:
    knitter = cables(**{
        "leg.repeat": LACE, "needles.set": "two circulars", "heel.kind": kind, "colours.leg": ["navy 5"],
    })  # fmt: skip
    knitter.to("leg", ended)
    knitter.do("end")
    sections = knitter.course.of(knitter.sock(1)).sections
    on_instep = [
        row.needles[0].work
        for section in sections[2:]
        if section.on_instep or (section.worked == "rounds" and section.kind != "toe")
        for row in section.rows
    ]
    for number, work in enumerate(on_instep, ended):
        wanted = LACE[number % 4]
        assert work in (
            "k" if wanted == "k8" else f"*{wanted}; rep from * to end",
            f"[{wanted}] 4 times",
        )


@pytest.mark.parametrize("direction", ["cuff-down", "toe-up"])
def test_where_the_set_up_works_the_instep_it_is_a_round_of_the_stripe(direction: str) -> None:
    course = planned({
        "direction": direction, "needles.set": "two circulars", "colours.leg": ["navy 3", "cream 2"],
        "leg.stitches": 64,
    })  # fmt: skip
    threads = stripes.Threads(course, [section.planned for section in course.sections])
    set_up = course.find("heel set-up")
    assert set_up is not None
    assert threads.ticks(set_up)
    done = threads.rounds_before(set_up)
    here = threads.at(set_up, 0)
    assert here is not None
    assert here.position == (done % 5 + 1 if done % 5 < 3 else done % 5 - 2)
    assert threads.rounds_before(set_up + 1) == done + 1


def test_a_pattern_that_does_not_say_so_keeps_its_clock() -> None:
    text = plan_text({"needles.set": "two circulars", "colours.leg": ["navy 3", "cream 2"]})
    pattern = open_source(Source("plan.toml", text.encode(), text)).pattern
    assert "on_instep = true" in pattern.text
    before = pattern.text.replace("on_instep = true\n", "")
    course = Course(open_source(Source("pattern.toml", before.encode(), before)).pattern)
    threads = stripes.Threads(course, [section.planned for section in course.sections])
    set_up = course.find("heel set-up")
    assert set_up is not None
    assert not threads.ticks(set_up)
    # A sock in one colour has nothing to go on with.
    plain = open_source(
        Source("plan.toml", b"", plan_text({"needles.set": "two circulars"}))
    ).pattern
    assert "on_instep" not in plain.text


def test_rib_on_the_instep_is_not_broken_where_the_heel_is_set_up() -> None:
    course = planned({
        "needles.set": "two circulars", "leg.fabric": "rib", "foot.fabric": "rib on the instep",
    })  # fmt: skip
    rows = [
        section.rows[0] for section in course.sections if section.kind in ("heel set-up", "foot")
    ]
    assert rows[0].needles[0].work == rows[1].needles[0].work != "k"


WIDE_CABLE = ["p1, k6, p1", "p1, k6, p1", "p1, C6F, p1", "p1, k6, p1"]
NARROW = ["p1, k5, p1", "p1, k2, p1, k2, p1"]


@pytest.mark.parametrize(
    ("on", "rows", "stitches", "slide", "first", "moves"),
    [
        ("five", WIDE_CABLE, 72, "14 / 18 / 18 / 22", 14, "4 stitches earlier"),
        ("four", WIDE_CABLE, 72, "14 / 36 / 22", 14, "4 stitches earlier"),
        ("five", NARROW, 63, "19 / 16 / 16 / 12", 19, "3 stitches later"),
    ],
)
def test_the_card_of_a_heel_beside_the_beginning_of_rounds_says_what_its_row_does(
    on: str, rows: list[str], stitches: int, slide: str, first: int, moves: str
) -> None:
    knitter = cables(**{"leg.repeat": rows, "leg.stitches": stitches, "needles.set": on})
    knitter.to("heel set-up")
    told = " ".join(words.card(knitter.look()))
    assert f"Slide to {slide}. Knit N1 ({first}), then turn." in told
    assert f"rounds begin {moves}" in told
    assert knitter.look().needles[0].work == f"k{first}, turn"


@pytest.mark.parametrize(
    ("rows", "stitches", "on"), [(WIDE_CABLE, 72, (34, 38)), (NARROW, 63, (30, 33))]
)
def test_at_the_side_the_instep_has_its_columns_where_the_leg_had_them(
    rows: list[str], stitches: int, on: tuple[int, int]
) -> None:
    knitter = cables(**{
        "leg.repeat": rows, "leg.stitches": stitches, "needles.set": "two circulars",
    })  # fmt: skip
    knitter.to("leg", 4)
    leg, set_up = knitter.course.sections[1], knitter.course.sections[2]
    assert tuple(needle.leaves for needle in leg.rows[-1].needles) == on
    height = len(rows)
    row = set_up.rows[0]
    like = next(
        one
        for one in leg.rows[1:]
        if (one.number - leg.lead_in - 1) % height == (leg.planned - leg.lead_in) % height
    )
    told = stitch_by_stitch(like.needles, like.before)
    down = stitch_by_stitch(row.needles[:1], row.before[:1])
    plain = next(at for at, stitch in enumerate(down) if stitch != "k")
    width = sum(like.before) // 9
    panel = (row.before[0] - plain) // width * width
    assert down[plain : plain + panel] == told[plain : plain + panel]
    knitter.to("heel set-up")
    slides = f"Slide to {row.before[0]} / {row.before[1]} at the end of A." in words.card(
        knitter.look()
    )
    assert slides == (tuple(row.before) != on)


def stitch_by_stitch(needles: Sequence[Needle], before: Sequence[int]) -> list[str]:
    return [
        run.stitch
        for needle, live in zip(needles, before, strict=True)
        for run in runs(read_row(needle.work).segments[0], live)[0]
        for _ in range(run.times * stitch_of(run.stitch).leaves)
    ]


def test_beside_a_gusset_the_floats_of_the_instep_are_told() -> None:
    knitter = two_colours()
    knitter.to("gusset")
    knitter.tick()
    glance = knitter.look()
    # k3 a, k1 b, [k7 a, k1 b]: b floats behind stitches 5 to 11.
    (cue,) = [cue for cue in glance.cues if cue.about == "catch"]
    assert words.cue_text(cue, glance)[0] == "catch b behind stitch 8 of each 8 on the instep"
    knitter.tick()
    assert not [cue for cue in knitter.look().cues if cue.about == "catch"]
    sections = knitter.course.sections
    told = written.begins(sections[5], sections[4], knitter.course.pattern)
    rounds = "1, 4, 7, 10, 13, 16, 19 and 22"
    assert told == [
        "Pick up in navy.",
        f"Rounds {rounds}: catch b behind stitch 8 of each 8 on the instep.",
    ]


@pytest.mark.parametrize("on", ["five", "four", "two circulars"])
def test_the_sole_beside_a_gusset_is_a_check_from_the_centre_back(on: str) -> None:
    course = planned(TWO_COLOURS | {"needles.set": on, "leg.repeat": ["aabb", "bbaa", "abba"]})
    gusset = next(section for section in course.sections if section.kind == "gusset")
    for row in gusset.rows[1:]:
        where = [-1] if on == "two circulars" else [-1, 0]
        sole = stitch_by_stitch([row.needles[at] for at in where], [row.before[at] for at in where])
        centre = len(sole) // 2 if on == "two circulars" else row.needles[-1].leaves
        for at, stitch in enumerate(sole):
            assert (
                colour_of(stitch) == "ab"[(at - centre + row.number + (on == "two circulars")) % 2]
            )


@pytest.mark.parametrize(
    ("fabric", "told"),
    [
        ({}, "In pattern on the instep to the toe."),
        ({"foot.fabric": "plain"}, "Plain rounds to the toe."),
    ],
)
def test_a_foot_in_pattern_is_not_called_plain(fabric: dict[str, object], told: str) -> None:
    knitter = cables(**fabric)
    knitter.to("foot")
    assert told in " ".join(words.card(knitter.look()))


def test_the_rounds_of_an_open_cable_leg_are_written_once() -> None:
    pattern = cables(**{"leg.repeat": WIDE_CABLE, "leg.stitches": 72}).course.pattern
    page = next(page for page in written.sections(pattern) if page.head == "Leg")
    lines = [line for line in page.lines if isinstance(line, written.Line)]
    assert [line.name for line in lines] == ["Rounds 1 to 2", "Round 3", "Round 4"]
    remarks = [line.text for line in page.lines if isinstance(line, written.Remark)]
    assert remarks[0] == "Repeat these 4."


@pytest.mark.parametrize("on", ["five", "two circulars"])
def test_the_card_of_a_pick_up_round_says_its_colour(on: str) -> None:
    knitter = two_colours(**{"needles.set": on})
    at = knitter.course.find("gusset")
    while knitter.sock(1).section != at:
        here = knitter.course.sections[knitter.sock(1).section]
        knitter.tick(here.rows_to(here.planned))
        if here.goal is not None:
            knitter.do("end")
    assert any(line.startswith("Pick up in navy; catch ") for line in words.card(knitter.look()))
    assert "Pick up in navy; catch every fifth." in words.card_brief(knitter.look())


def test_what_is_picked_up_beside_reversed_colours_has_the_colour_of_the_flap() -> None:
    knitter = two_colours(**{"colours.heel": None})
    knitter.do("changed", 2, **{"as": "colour", "value": "reversed"})
    colours: dict[Number, str] = {1: "navy", 2: "cream"}
    for sock, colour in colours.items():
        knitter.to("gusset", sock=sock)
        told = " ".join(words.card(knitter.look(sock)))
        assert f"Pick up in {colour}; catch" in told
