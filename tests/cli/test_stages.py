"""A teacher's pattern, stage by stage, by the commands: the sample in two stages, from start to pack."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.cli.conftest import Instep
from tests.cli.test_pack import ACTS, elsewhere, forged, knit, two_machines
from tests.knitting.knitter import SECTIONS
from tests.pattern.making import computed
from tracker.clock import now
from tracker.knitting.decide import Refused
from tracker.knitting.state import Number
from tracker.packing import pack, unpack
from tracker.session import Session
from tracker.side_by_side_words import parts, verdict
from tracker.storage.basket import Basket
from tracker.storage.files import FileTrouble
from tracker.storage.pack import write
from tracker.storage.pattern_file import open_file, open_tables
from tracker.storage.pattern_file import write as written

SAMPLES = Path(__file__).parents[2] / "sample_projects"
ONE, TWO = (str(SAMPLES / f"quay-steps-{stage}.toml") for stage in ("one", "two"))


@pytest.fixture
def quay(instep: Instep) -> Instep:
    """The sample begun, sock one at the end of its first stage."""
    instep.now("2026-03-09T20:00:00+01:00")
    instep.ok("start", ONE)
    instep.ok("tick", "10")
    instep.ok("tick", "16")
    instep.ok("end")
    return instep


@pytest.fixture
def new(tmp_path: Path) -> Path:
    """A file with the second stage's own sections alone."""
    head, _, tail = Path(TWO).read_text().partition("[[section]]")
    file = tmp_path / "two.toml"
    file.write_text(head + tail[tail.index('[[section]]\nname = "heel set-up"') :])
    return file


def test_the_samples_knit_stitch_by_stitch(instep: Instep) -> None:
    for stage in (ONE, TWO):
        assert instep.line("check", stage) == "Every row comes out."


def test_where_it_is_used_up(quay: Instep) -> None:
    told = quay.ok("left").splitlines()
    assert told[1] == (
        "That is all until 12 March. Sock one rests at 32 sts, 8/8/8/8. Then append stage 2: instep append"
        " FILE."
    )
    assert told[2].startswith("To the end of the pattern so far on sock two 37 min")
    assert quay.wrong("tick") == (
        "that is all of the pattern so far (stage 2 is for 12 March); append the next stage with instep "
        "append FILE"
    )
    assert quay.line("basket").endswith(
        "leg, 16 done, in step, sock two 26 rounds behind; that is all until 12 March"
    )
    assert quay.json("left")["next"] is None
    quay.now("2026-03-12T20:00:00+01:00")
    assert quay.ok("left").splitlines()[1].startswith("Stage 2 should be out today, 12 March.")
    quay.now("2026-03-13T20:00:00+01:00")
    assert quay.ok("left").splitlines()[1] == (
        "Stage 2 should be out since 12 March. Sock one rests at 32 sts, 8/8/8/8. Ask your teacher for it, "
        "and append it: instep append FILE; it is for 26 March, 13 days from now. Last knitted 4 days ago."
    )
    assert quay.line("basket").endswith("behind; stage 2 should be out since 12 March")
    assert "until 12 March" not in quay.wrong("tick")
    assert quay.wrong("changed", "needle", "3") == (
        "it is at the end of the pattern so far; tell it once the next stage is there, or write a note"
    )


@pytest.mark.parametrize(
    ("day", "left", "circle"),
    [
        ("11", "", "that is all until 12 March"),
        (
            "13", "it is for 26 March, 13 days from now.",
            "stage 2 was given out on 12 March and is not joined yet, 13 days before its date",
        ),
        (
            "26", "it is for 26 March, today.",
            "stage 2 was given out on 12 March and is not joined yet, its date is today",
        ),
        (
            "30", "it was for 26 March, 4 days ago.",
            "stage 2 was given out on 12 March and is not joined yet, 4 days behind its date",
        ),
    ],
)  # fmt: skip
def test_a_stage_that_came_is_to_be_joined(
    quay: Instep, tmp_path: Path, day: str, left: str, circle: str
) -> None:
    """Both are told how it stands: she how to join it, and her teacher whether she is behind."""
    file = str(tmp_path / "a.pack")
    quay.ok("pack", "quay-steps", file, "--for-teacher")
    quay.now(f"2026-03-{day}T20:00:00+01:00")
    told = quay.ok("left").splitlines()[1]
    assert (f"append it: instep append FILE; {left}" in told) == bool(left)
    assert quay.line("circle", file).endswith(f"; {circle}")
    (one,) = quay.json("circle", file)["knitters"]
    assert (one["behind"], one["waits_for"] == "behind") == (day == "30", day == "30")
    assert (one["to_join"] is None) == (not left)


def test_the_second_stage_is_joined(quay: Instep) -> None:
    said = quay.line("append", TWO)
    assert said.startswith(
        "The pattern goes on with the heel set-up, the heel flap, the heel turn, the gusset, the foot,"
        " the toe and the graft. Sock one, heel set-up: nothing of it is done yet."
    )
    events = quay.json("left")["events"]
    assert quay.wrong("append", TWO).endswith(
        "nothing is new in it: the pattern has all of these sections already"
    )
    assert quay.json("left")["events"] == events
    assert quay.line("undo").startswith("Taken back: the next stage. That is all until 12 March.")
    assert quay.line("redo").startswith("Brought back: the next stage. Sock one, heel set-up:")
    assert quay.line("check") == "Every pair in the basket is sound."


def test_the_new_sections_alone_will_do(quay: Instep, new: Path) -> None:
    quay.ok("append", str(new))
    assert quay.json("left")["section"] == "heel set-up"
    quay.now("2026-03-20T20:00:00+01:00")
    for count in ("1", "16", "6", "1", "11"):
        quay.ok("tick", count)
    assert quay.json("left")["section"] == "foot"


def test_both_files_make_the_whole_pair(quay: Instep) -> None:
    quay.ok("append", TWO)
    for sock in ("1", "2"):
        while not _over(quay, sock):
            here = quay.json("left", "--sock", sock)
            is_open = here["kind"] in ("leg", "foot") and here["done"] >= 15
            quay.run("end" if is_open else "tick", "--sock", sock)
    assert quay.ok("left").splitlines()[1] == "Sock one is finished: the toe is grafted."


def _over(quay: Instep, sock: str) -> bool:
    return bool(quay.json("left", "--sock", sock)["next"] is None)


LOW_TIDE = SAMPLES / "low-tide.toml"


@pytest.mark.parametrize(
    ("field", "was", "now", "says"),
    [
        (
            "[cuff]",
            "",
            "",
            'cuff, row 1: the pattern has "... = 8/8/8/8" there, this file "... = 12',
        ),
        ("set =", '"five"', '"four"', 'the pair is knitted on "five", this file is for "four"'),
    ],
)
def test_a_plan_that_does_not_go_on_is_named_with_its_own_line(
    quay: Instep, tmp_path: Path, field: str, was: str, now: str, says: str
) -> None:
    """A line of the plan she wrote, not of the pattern that is computed from it."""
    text = LOW_TIDE.read_text().replace(was, now, 1)
    file = tmp_path / "low-tide.toml"
    file.write_text(text)
    line = next(n for n, one in enumerate(text.split("\n"), start=1) if one.startswith(field))
    told = quay.wrong("append", str(file))
    assert told.startswith(f"{file}, line {line}: {says}")


def test_rows_that_begin_alike_are_told_by_what_differs(instep: Instep) -> None:
    instep.ok("start", str(SAMPLES / "night-ferry.toml"))
    told = instep.wrong("append", str(LOW_TIDE))
    assert 'the pattern has "... = 16/16/16/16" there, this file "... = ' in told


def test_history_says_what_came_when(quay: Instep) -> None:
    quay.ok("append", TWO)
    quay.ok("tick")
    events = quay.json("history")["events"]
    assert [event["section"] for event in events] == [
        "cuff", "leg", "leg", "leg", "heel set-up", "flap",
    ]  # fmt: skip
    assert events[4]["text"].startswith("the next stage: heel set-up, heel flap")


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ("rows = [\"k | k | k | k\"]", 'rows = ["p"]', ': leg, row 1: the pattern has "k | k'),
        ("repeat = 10", "repeat = 12", ': cuff, row 11: the pattern has "10 rounds" there'),
        ('name = "flap"', 'name = 3', "name is a text"),
        ("RS: k8, turn = 16", "RS: k8, turn = 17", "heel set-up, row 1: the claim should be = 16"),
    ],
)  # fmt: skip
def test_what_does_not_go_on_is_refused_in_one_line(
    quay: Instep, tmp_path: Path, was: str, now: str, says: str
) -> None:
    file = tmp_path / "two.toml"
    text = Path(TWO).read_text()
    assert was in text
    file.write_text(text.replace(was, now, 1))
    before = quay.json("history")
    told = quay.wrong("append", str(file))
    assert told.startswith(f"{file}, line ")
    assert says in told
    assert quay.json("history") == before


def test_the_line_named_is_that_of_the_file(quay: Instep, new: Path) -> None:
    text = new.read_text().replace("= 13/8/8/13", "= 13/8/8/14", 1)
    new.write_text(text)
    line = text[: text.index("13/8/8/14")].count("\n") + 1
    assert quay.wrong("append", str(new)).startswith(f"{new}, line {line}: gusset, row 1: ")


def test_stitches_that_do_not_fit_are_told_with_both_counts(quay: Instep, new: Path) -> None:
    text = new.read_text().replace("needles = [8, 8, 8, 8]", "needles = [7, 8, 8, 8]", 1)
    new.write_text(text.replace("RS: k8, turn = 16", "RS: k7, turn = 15"))
    line = text[: text.index("needles = [7")].count("\n") + 1
    assert quay.wrong("append", str(new)) == (
        f"{new}, line {line}: heel set-up: it begins with 31 stitches, and the leg leaves 32; write"
        " needles that hold 32 in all, or leave needles out"
    )


def test_what_is_no_pattern_is_refused(quay: Instep, tmp_path: Path) -> None:
    assert "there is no such file" in quay.wrong("append", str(tmp_path / "none.toml"))
    path = str(tmp_path / "quay.pack")
    quay.ok("pack", "quay-steps", path)
    assert "this is a packed pair" in quay.wrong("append", path)
    night = str(SAMPLES / "night-ferry.toml")
    assert 'cuff, row 1: the pattern has "' in quay.wrong("append", night)


def test_replan(quay: Instep, tmp_path: Path) -> None:
    longer = tmp_path / "longer.toml"
    longer.write_text(Path(TWO).read_text().replace('until = "15 cm"', 'until = "16 cm"'))
    quay.ok("target", "9 cm", "--sock", "2", "--section", "leg", "--only")
    said = quay.line("replan", str(longer))
    assert said.startswith("What is not knitted yet goes by the new pattern: the cuff, the leg,")
    assert quay.json("left")["section"] == "heel set-up"
    assert quay.wrong("replan", str(longer)).startswith("nothing is new in it")
    ribbed = tmp_path / "ribbed.toml"
    ribbed.write_text(longer.read_text().replace("repeat = 10", "repeat = 9"))
    assert "cuff, row 10 is knitted on sock one as" in quay.wrong("replan", str(ribbed))
    assert quay.line("undo").startswith("Taken back: the new pattern. That is all until 12 March.")


def test_a_plan_goes_on_where_a_pattern_was_cut(instep: Instep, tmp_path: Path) -> None:
    """A file that computes all of the sock: what was given out of it already is the same in it."""
    plan, pattern = str(SAMPLES / "night-ferry.toml"), tmp_path / "night.toml"
    instep.ok("plan", plan, "-o", str(pattern))
    cut = tmp_path / "cut.toml"
    cut.write_text(pattern.read_text().partition('[[section]]\nname = "heel set-up"')[0])
    instep.ok("start", str(cut))
    instep.ok("tick", "22")
    assert instep.line("append", plan).startswith("The pattern goes on with the heel set-up")
    assert "pattern so far" not in instep.ok("left")


def test_stages_told_stay_with_a_new_pattern_that_tells_none(quay: Instep, tmp_path: Path) -> None:
    file = tmp_path / "longer.toml"
    text = Path(ONE).read_text()
    head, tail = text.partition("[[stage]]")[0], text[text.index("[[section]]") :]
    file.write_text(head + tail + '[[section]]\nname = "hem"\nworked = "rounds"\nrows = ["p"]\n')
    quay.ok("replan", str(file))
    quay.ok("tick")
    assert quay.ok("left").splitlines()[1].startswith("That is all until 12 March.")


def test_on_paper(quay: Instep, tmp_path: Path) -> None:
    to_come = (
        "This is all of the pattern so far.\n"
        "- Stage 2 (heel, gusset, foot, toe and graft) is given out on 12 March 2026."
    )
    assert to_come in quay.ok("write", ONE)
    assert "832 stitches a sock so far." in quay.ok("plan", ONE)
    made = quay.ok("write")
    assert to_come in made
    assert "Sock one rests at 32 sts, 8/8/8/8." in made
    assert "Finished" not in made
    quay.ok("append", TWO)
    assert "all of the pattern so far" not in quay.ok("write")
    stage = quay.ok("write", "quay-steps", "--stage", "2")
    assert "After the leg, 16 rounds: 8/8/8/8 = 32 on the needles." in stage
    assert "After the graft" in stage
    assert "all of the pattern so far" not in quay.ok("write", TWO)


def test_in_the_circle(quay: Instep, tmp_path: Path) -> None:
    path = str(tmp_path / "quay.pack")
    quay.ok("pack", "quay-steps", path)
    assert quay.line("circle", path) == (
        "Quay steps: sock one, leg done; stitches not counted; knitted today; that is all until 12 March"
    )
    quay.ok("append", TWO)
    quay.ok("pack", "quay-steps", path)
    assert "sock one, heel set-up to begin" in quay.line("circle", path)
    other = str(tmp_path / "teacher.pack")
    quay.ok("pack", "quay-steps", other, "--for-teacher")
    assert "sock one, heel set-up to begin" in quay.line("circle", other)


# Two machines


def test_only_one_has_appended(quay: Instep, tmp_path: Path) -> None:
    path = str(tmp_path / "quay.pack")
    quay.ok("pack", "quay-steps", path)
    with elsewhere(quay):
        quay.ok("unpack", path)
        quay.ok("append", TWO)
        quay.ok("tick")
        there = quay.json("left")
        quay.ok("pack", "quay-steps", path)
    assert quay.line("unpack", path).startswith("quay-steps goes on by 2 events. Sock one, heel")
    assert quay.json("left") == there
    assert quay.line("check") == "Every pair in the basket is sound."


def test_where_both_went_on_both_stay(quay: Instep, tmp_path: Path) -> None:
    path = str(tmp_path / "quay.pack")
    quay.ok("pack", "quay-steps", path)
    with elsewhere(quay):
        quay.ok("unpack", path)
        quay.ok("append", TWO)
        os.unlink(path)
        quay.ok("pack", "quay-steps", path)
    quay.ok("note", "measured twice")
    said = quay.line("unpack", path)
    where = "after sock one, leg round 16, on 9 March 2026"
    assert said.startswith(f"Both went on: they parted {where}. quay-steps stays as it is")
    assert quay.json("left", "--pair", "quay-steps")["next"] is None
    assert quay.json("left", "--pair", "quay-steps-2")["section"] == "heel set-up"


@settings(max_examples=15)
@given(st.lists(ACTS, max_size=8), st.booleans(), st.lists(ACTS, max_size=8), st.integers(0, 3))
def test_any_history_with_an_append_inside_goes_anywhere(
    before: list[Any], at_end: bool, after: list[Any], undone: int
) -> None:
    with two_machines() as (one, two, file):
        session = Session.start(one, open_file(ONE), now)
        knit(session, before)
        if at_end:
            knit(session, [("tick", 10), ("tick", 16), ("end",)])
        with suppress(FileTrouble, Refused):
            session.append(open_tables(TWO))
        knit(session, [*after, *[("undo",)] * undone])
        pack(session, one, file)
        there = unpack(two, file, now)
        assert two.rows(there.session.pair) == one.rows(session.pair)
        again = Session(one, one.find(None), now)
        assert there.session.state == again.state
        assert there.session.past() == again.past()
        assert again.state.socks == session.state.socks
        for other in (there.session, again):
            assert other.course.sections == session.course.sections
        assert two.check() == one.check() == []


def test_an_open_session_takes_in_what_another_appends(quay: Instep) -> None:
    with Basket.open(quay.basket) as basket:
        session = Session(basket, basket.find(None), now)
        assert session.glance.used_up is not None
        quay.ok("append", TWO)
        assert session.refresh()
        assert session.glance.place.section == "heel set-up"
        quay.ok("undo")
        with pytest.raises(Refused, match="that is all of the pattern so far"):
            session.tick()
        assert session.glance.used_up is not None


def hostile() -> Iterator[str]:
    """Patterns of a stranger, under right checksums."""
    yield from ("", "{}", "null", "[" * 5000, '{"section":[{"name":"a"}]}', "x" * 2_000_000)
    cursor = (
        '{"section":[{"name":"\\u001b[2J","worked":"rounds","needles":[3],"rows":["\\u001b[2J"]}]}'
    )
    yield cursor


@pytest.mark.parametrize("text", list(hostile()), ids=range(7))
@pytest.mark.parametrize("kind", ["append", "replan"])
def test_a_strangers_pattern_is_read_with_care(
    instep: Instep, tmp_path: Path, kind: str, text: str
) -> None:
    path = tmp_path / "a.pack"
    path.write_text(write(forged((kind, {"pattern": text, "sections": ["\x1b[2J"]})), {}))
    told = instep.wrong("unpack", str(path))
    assert "its history contradicts itself" in told
    assert told.isprintable()
    assert instep.json("basket")["pairs"] == []


@pytest.mark.parametrize(
    ("section", "needles"), [*((name, "five") for name in SECTIONS[:-1]), ("turn", "two circulars")]
)
def test_every_beginning_of_a_sock_is_knitted_shown_and_printed(
    instep: Instep, tmp_path: Path, section: str, needles: str
) -> None:
    """Both socks to its end: all that is shown of a pair can be shown, and it goes on from there."""
    document = computed({"needles.set": needles}).document
    names = [table["name"] for table in document["section"]]
    begun, all_of_it = tmp_path / "begun.toml", tmp_path / "all.toml"
    known = names.index(section) + 1
    begun.write_text(written({**document, "section": document["section"][:known]}))
    all_of_it.write_text(written(document))
    instep.ok("start", str(begun))
    with Basket.open(instep.basket) as basket:
        session = Session(basket, basket.find(None), now)
        for number in (1, 2):
            _to_the_end(session, number)
        pair = session.side_by_side()
        assert verdict(pair).startswith("in step")
        assert parts(pair)
    for words in (["write"], ["history"], ["history", "--marks"], ["basket"]):
        assert instep.ok(*words).isascii()
    whole = section == "toe"
    assert ("pattern so far" in instep.ok("left")) is not whole
    assert instep.line("append", str(all_of_it)).startswith("The pattern goes on with ")
    assert instep.json("left")["section"] == names[known]


def _to_the_end(session: Session, number: Number) -> None:
    """All there is of a sock, open sections as far as is planned."""
    while not (place := session.look(number).place).finished:
        if place.planned_by == "goal" and place.done >= place.planned:
            session.end(sock=number)
        else:
            session.tick(max(1, place.planned - place.done), sock=number)
