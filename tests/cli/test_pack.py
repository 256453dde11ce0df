"""A pair packed and unpacked by the commands: on another machine, further, beside, for a teacher."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE
from tracker.clock import now
from tracker.knitting.decide import Refused
from tracker.packing import pack, parted_title, replayed_on, unpack
from tracker.reports import history_text
from tracker.session import Session
from tracker.storage.basket import Basket
from tracker.storage.chain import Row, encode, read_data
from tracker.storage.files import FileTrouble
from tracker.storage.pack import Pack, read, write
from tracker.storage.pattern_file import open_file
from tracker.units import BadLength


@contextmanager
def elsewhere(instep: Instep, name: str = "other.db") -> Iterator[None]:
    """Another machine: the commands act on a basket of its own."""
    here = os.environ["INSTEP_BASKET"]
    os.environ["INSTEP_BASKET"] = str(instep.basket.parent / name)
    yield
    os.environ["INSTEP_BASKET"] = here


@pytest.fixture
def file(pair: Instep, tmp_path: Path) -> str:
    """A pack of five events: begun, 22 rounds, 10 rounds, a note, another."""
    pair.ok("tick", "22")
    pair.ok("tick", "10")
    pair.ok("note", "the red needles")
    pair.ok("note", "? is it too tight")
    path = str(tmp_path / "night-ferry.pack")
    assert pair.line("pack", "night-ferry", path) == f"night-ferry is packed: {path}"
    return path


def test_a_pair_goes_to_another_machine(pair: Instep, file: str) -> None:
    here, history = pair.json("left"), pair.json("history")
    with elsewhere(pair):
        said = pair.line("unpack", file)
        assert said.startswith(
            "night-ferry is in the basket, with 5 events. Sock one, leg: round 10"
        )
        assert pair.json("left") == here
        assert pair.json("history") == history
        assert (
            pair.json("basket")["pairs"][0]["last_touched"] == "2026-03-01T19:00:00+00:00" or True
        )
        pair.ok("tick")
        assert pair.json("left")["events"] == 6


def test_the_same_file_twice_changes_nothing(pair: Instep, file: str) -> None:
    with elsewhere(pair):
        pair.ok("unpack", file)
        pair.ok("away", "night-ferry")
        said = pair.line("unpack", file)
        assert said.startswith("night-ferry holds all of it already; nothing was changed.")
        assert "It is put away; instep back night-ferry brings it out." in said
        pair.ok("back", "night-ferry")
        assert len(pair.json("basket")["pairs"]) == 1
        assert pair.json("left")["events"] == 5
    assert pair.json("unpack", file) == pair.json("left")


def test_a_pack_that_goes_on_extends_what_is_here(pair: Instep, file: str) -> None:
    with elsewhere(pair):
        pair.ok("unpack", file)
        pair.ok("tick", "3")
        pair.ok("undo")
        pair.ok("pack", "night-ferry", file)
    said = pair.line("unpack", file)
    assert said.startswith("night-ferry goes on by 2 events. Sock one, leg: round 10")
    assert pair.json("left")["events"] == 7
    assert pair.ok("check") == "Every pair in the basket is sound.\n"


def test_where_both_went_on_it_is_a_second_pair(pair: Instep, file: str) -> None:
    with elsewhere(pair):
        pair.ok("unpack", file)
        pair.ok("tick", "3")
        pair.ok("pack", "night-ferry", file)
    pair.ok("tick", "5")
    said = pair.line("unpack", file)
    assert said.startswith(
        "Both went on: they parted after sock one, leg round 10, on 1 March 2026. night-ferry stays as it is,"
        " and the pack is night-ferry-2. night-ferry stays the one in hand; instep knit night-ferry-2 opens"
        " this one. Sock one, leg: round 13"
    )
    assert pair.json("left")["pair"] == "night-ferry"
    pair.ok("tick")
    assert pair.json("left", "--pair", "night-ferry")["done"] == 16
    pair.ok("undo")
    assert pair.json("left", "--pair", "night-ferry")["done"] == 15
    pairs = {one["pair"]: one["title"] for one in pair.json("basket")["pairs"]}
    assert pairs == {
        "night-ferry-2": "Night ferry (parted after leg round 10, 1 March)",
        "night-ferry": "Night ferry",
    }
    assert pair.line("unpack", file).startswith("night-ferry-2 holds all of it already")
    with elsewhere(pair):
        pair.ok("tick")
        pair.ok("pack", "night-ferry", file)
    assert pair.line("unpack", file).startswith("night-ferry-2 goes on by 1 event.")
    assert len(pair.json("basket")["pairs"]) == 2
    pair.ok("pack", "night-ferry-2", f"{file}2")
    with elsewhere(pair):
        assert pair.line("unpack", f"{file}2").startswith("night-ferry holds all of it already")


def test_the_place_at_which_they_parted_is_told_once() -> None:
    for before in ("after event 5", "after sock one, leg round 10, on 1 March 2026"):
        title = parted_title(f"Night ferry (parted {before})", "after sock two, a (b) round 3")
        assert title == "Night ferry (parted after sock two, a b round 3)"
        assert parted_title(title, "after x") == "Night ferry (parted after x)"


def test_what_is_in_hand_stays_so_whatever_is_unpacked(pair: Instep, file: str) -> None:
    """A pack that goes on a pair she has laid by, and a new one, too."""
    pair.ok("start", str(SAMPLE))
    with elsewhere(pair):
        pair.ok("unpack", file)
        pair.ok("tick", "3")
        pair.ok("pack", "night-ferry", file)
    stays = "night-ferry-2 stays the one in hand; instep knit night-ferry opens this one."
    assert stays in pair.line("unpack", file)
    assert pair.json("left")["pair"] == "night-ferry-2"
    with elsewhere(pair, "third.db"):
        pair.ok("start", str(SAMPLE))
        pair.ok("unpack", file)
        assert pair.json("left")["pair"] == "night-ferry"
        assert pair.json("left")["done"] == 0
        pair.ok("away", "night-ferry")
        assert pair.json("left")["pair"] == "night-ferry-2"
    with elsewhere(pair, "fourth.db"):
        assert "in hand" not in pair.line("unpack", file)


def test_where_they_parted_inside_a_round_or_before_the_first(
    pair: Instep, file: str, tmp_path: Path
) -> None:
    begun = str(tmp_path / "begun.pack")
    pair.ok("start", str(SAMPLE))
    pair.ok("pack", "night-ferry-2", begun)
    with elsewhere(pair):
        pair.ok("unpack", begun)
        pair.ok("tick", "--needle")
        pair.ok("pack", "night-ferry-2", begun)
    pair.ok("tick")
    assert "they parted after sock one, cuff to begin, on 1 March 2026." in pair.line(
        "unpack", begun
    )


@pytest.mark.parametrize("words", [["start"], ["knit"], []], ids=str)
def test_a_pack_is_opened_like_any_file(pair: Instep, file: str, words: list[str]) -> None:
    with elsewhere(pair):
        for _ in range(2):
            assert "night-ferry" in pair.ok(*words, file)
        assert pair.json("left")["done"] == 10
        assert len(pair.json("basket")["pairs"]) == 1


def test_a_pack_is_no_plan(pair: Instep, file: str) -> None:
    for words in (["check"], ["plan"], ["write"]):
        code, out, err = pair.run(*words, file)
        assert (code, out) == (1, "")
        assert f"this is a packed pair; put it into the basket: instep unpack {file}" in err
        assert err.count("\n") == 1
    assert "this is no pack; name a file" in pair.wrong("unpack", str(SAMPLE))


def test_an_older_pack_of_it_is_replaced_and_that_is_said(pair: Instep, file: str) -> None:
    pair.ok("tick")
    said = pair.line("pack", "night-ferry", file)
    assert said == f"night-ferry is packed: {file} (in place of its older pack)"
    pair.ok("start", str(SAMPLE))
    before = Path(file).read_bytes()
    told = pair.wrong("pack", "night-ferry-2", file)
    assert told == f"{file}: the pack of another pair is there already; name another file"
    assert Path(file).read_bytes() == before


def test_on_the_first_day_of_the_calendar_a_teacher_has_a_day_too(
    pair: Instep, tmp_path: Path
) -> None:
    pair.now("1970-01-01T02:00:00+01:00")
    pair.ok("tick")
    path = str(tmp_path / "a.pack")
    pair.ok("pack", "night-ferry", path, "--for-teacher")
    assert "knitted today" in pair.line("circle", path)


def test_pack_without_a_pair_or_a_place(pair: Instep, file: str, tmp_path: Path) -> None:
    assert 'no pair is called "night"' in pair.wrong("pack", "night", file)
    assert "it cannot be written" in pair.wrong("pack", "night-ferry", str(tmp_path / "a" / "b"))
    assert "name another" in pair.wrong("pack", "night-ferry", str(pair.basket))
    assert "there is no such file" in pair.wrong("unpack", str(tmp_path / "a"))
    pair.usage("pack", "night-ferry")
    pair.usage("unpack")
    assert "unrecognized" in pair.usage("pack", "night-ferry", file, "--teacher")


# Damage


def test_the_sound_part_is_offered_and_taken(pair: Instep, file: str) -> None:
    path = Path(file)
    lines = path.read_text().splitlines(keepends=True)
    at = lines.index("events = [\n")
    path.write_text("".join(lines[: at + 4]) + "  '4 2026-")
    with elsewhere(pair):
        told = pair.wrong("unpack", file)
        assert told == (
            f"{file}: this pack is damaged; its first 3 events are sound: get it again, or take those"
            f" with instep unpack {file} --sound-part"
        )
        assert pair.json("basket")["pairs"] == []
        said = pair.line("unpack", file, "--sound-part")
        assert said.startswith("night-ferry is in the basket, with 3 events.")
        assert pair.line("unpack", file, "--sound-part").startswith("night-ferry holds all of it")
        assert pair.ok("check") == "Every pair in the basket is sound.\n"
    assert pair.line("unpack", file, "--sound-part").startswith("night-ferry holds all of it")


def test_of_a_pack_without_its_pattern_nothing_is_taken(pair: Instep, file: str) -> None:
    path = Path(file)
    path.write_text(path.read_text().replace("repeat = 22", "repeat = 23"))
    for words in ([], ["--sound-part"]):
        assert "nothing of it is sound; get it again" in pair.wrong("unpack", file, *words)


def test_a_pack_mends_a_damaged_pair(pair: Instep, file: str) -> None:
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(pair.basket)) as connection, connection:
        connection.execute("DROP TRIGGER event_is_never_changed")
        connection.execute("UPDATE event SET at = at + 1 WHERE number = 3")
    pair.wrong("left")
    assert pair.line("unpack", file).startswith("night-ferry-2 is in the basket, with 5 events.")
    assert pair.json("left")["done"] == 10


# For a teacher


def test_a_teacher_learns_no_times_and_no_notes(pair: Instep, file: str, tmp_path: Path) -> None:
    pair.now("2026-03-14T23:10:00+01:00")
    pair.ok("changed", "other", "grandmother's ridge")
    pair.ok("changed", "colour", "attic green")
    pair.ok("rest", "? the kitchen drawer")
    path = str(tmp_path / "for-teacher.pack")
    said = pair.line("pack", "night-ferry", path, "--for-teacher")
    assert said == (
        "night-ferry is packed for a teacher, without times, pace and words of your own but questions:"
        f" {path}"
    )
    text = Path(path).read_text()
    assert "? is it too tight" in text
    for private in (
        "red needles",
        "kitchen",
        "grandmother",
        "attic",
        "2026-03-01",
        "T23:",
        "T20:",
        "T19:",
    ):
        assert private not in text
    whole, taught = (read("", Path(one).read_bytes()) for one in (file, path))
    assert {one.at + one.offset * 60_000 for one in taught.rows} == {1_773_446_400_000}
    assert [(one.number, one.kind, one.uid) for one in taught.rows[:5]] == [
        (one.number, one.kind, one.uid) for one in whole.rows
    ]
    told = pair.wrong("unpack", path)
    assert "this pack is for a teacher" in told
    assert "instep circle" in told
    assert "instep pack PAIR FILE" in told
    Path(path).write_text(text[:-20])
    assert pair.wrong("unpack", path, "--sound-part").endswith("this pack is damaged; get it again")


def test_nor_of_ticks_that_went_to_the_other_sock() -> None:
    """Such an event holds the times of the ticks it moved."""
    with two_machines() as (one, _, file):
        session = Session.start(one, open_file(str(SAMPLE)), now)
        session.tick(3)
        session.tick(2)
        session.move_over(2)
        pack(session, one, file, for_teacher=True)
        rows = read("", Path(file).read_bytes()).rows
        midnights = {row.at for row in rows}
        moved = [act["at"] for row in rows for act in read_data(row.data).get("acts", ())]
        assert len(midnights) == 1
        assert moved == [*midnights] * 2
        state = replayed_on(session.course, file, read("", Path(file).read_bytes())).state
        assert [sock[:3] for sock in state.socks] == [sock[:3] for sock in session.state.socks]


# Any history, anywhere


ACTS = st.one_of(
    st.tuples(st.just("tick"), st.integers(1, 40)),
    st.tuples(st.just("tick"), st.just(1)),
    st.tuples(st.sampled_from(["end", "undo", "redo", "other", "lifeline", "restart"])),
    st.tuples(st.just("note"), st.text(min_size=1, max_size=20)),
    st.tuples(st.just("rip_by"), st.integers(1, 5)),
    st.tuples(st.just("measure"), st.sampled_from(["4 cm", "8.5 cm", "12 cm"])),
    st.tuples(st.just("weigh"), st.sampled_from(["80", "62.5"])),
    st.tuples(st.just("count"), st.sampled_from(["ok", "16/16/16/15"])),
    st.tuples(st.just("changed"), st.just("other"), st.text(min_size=1, max_size=9)),
)


def knit(session: Session, acts: list[tuple[Any, ...]]) -> None:
    for name, *words in acts:
        try:
            getattr(session, name)(*words)
        except (Refused, BadLength):
            continue


@contextmanager
def two_machines() -> Iterator[tuple[Basket, Basket, str]]:
    """A basket on each, and a file that goes between them."""
    with (
        tempfile.TemporaryDirectory() as folder,
        Basket.open(Path(folder) / "one.db") as one,
        Basket.open(Path(folder) / "two.db") as two,
    ):
        yield one, two, str(Path(folder) / "a.pack")


def history(basket: Basket, short: str) -> list[Row]:
    return basket.rows(basket.find(short))


@settings(max_examples=15)
@given(st.lists(ACTS, max_size=20))
def test_a_history_unpacked_is_the_same_byte_for_byte(acts: list[tuple[Any, ...]]) -> None:
    with two_machines() as (one, two, file):
        session = Session.start(one, open_file(str(SAMPLE)), now)
        knit(session, acts)
        pack(session, one, file)
        there = unpack(two, file, now)
        assert there.how == "new"
        assert two.rows(there.session.pair) == one.rows(session.pair)
        kept, came = one.find(None), two.find(None)
        assert came._replace(id=kept.id) == kept
        assert there.session.state == Session(one, kept, now).state
        assert unpack(two, file, now).how == "known"
        assert two.check() == []


@settings(max_examples=15)
@given(st.lists(ACTS, max_size=8), st.lists(ACTS, max_size=5), st.lists(ACTS, max_size=5))
def test_nothing_is_lost_wherever_it_goes_on(
    first: list[tuple[Any, ...]], here: list[tuple[Any, ...]], there: list[tuple[Any, ...]]
) -> None:
    """Two machines that knit on and pack to each other: both hold all that either recorded."""
    with two_machines() as (one, two, file):
        session = Session.start(one, open_file(str(SAMPLE)), now)
        knit(session, first)
        pack(session, one, file)
        elsewhere = unpack(two, file, now).session
        common = len(one.rows(session.pair))
        knit(session, here)
        knit(elsewhere, there)
        mine, hers = one.rows(session.pair), two.rows(elsewhere.pair)
        os.unlink(file)
        pack(elsewhere, two, file)
        came = unpack(one, file, now)
        expected = (
            "known" if len(hers) == common else "further" if len(mine) == common else "parted"
        )
        assert came.how == expected
        held = [one.rows(pair) for pair in one.pairs()]
        assert any(rows[: len(mine)] == mine for rows in held)
        assert hers in [rows[: len(hers)] for rows in held]
        assert len(held) == (2 if expected == "parted" else 1)
        if expected == "parted":
            assert came.common == common
        assert unpack(one, file, now).how == "known"
        assert one.check() == []


# A stranger's pack


def forged(*acts: tuple[str, Any], title: str = "t") -> Pack:
    rows = [Row(1, 0, 0, 0, "started", encode({"title": title}), bytes(16), 1)]
    for number, (kind, data) in enumerate(acts, start=2):
        rows.append(Row(number, number, 0, 1, kind, encode(data), bytes(16), 1))
    text = open_file(str(SAMPLE)).pattern.text
    return Pack(bytes(16), "../x\x1b[m", title, "", "rounds", text, tuple(rows))


def test_hostile_names_are_cleaned(instep: Instep, tmp_path: Path) -> None:
    path = tmp_path / "a.pack"
    path.write_text(write(forged(title="a\x1b[2Jb\x9b1m\n" + "[red]" * 90), {"where": "\x1b[2J"}))
    said = [instep.ok("unpack", str(path)), instep.ok("basket"), instep.ok("left")]
    said.append(instep.run("circle", str(path))[1])
    for text in said:
        assert text.replace("\n", "").isprintable()
    (pair,) = instep.json("basket")["pairs"]
    assert pair["pair"].startswith("a-2jb1m")


@pytest.mark.parametrize(
    ("acts", "why"),
    [
        (
            [("tick", {"rounds": 1}), ("undo", {"of": 1})],
            "event 3 (undo) names an act that is not there",
        ),
        ([("tick", {"rounds": -1})], "event 2 (tick) cannot be replayed"),
        ([("append", {})], "event 2 (append) cannot be replayed"),
        ([("replan", {"pattern": "{}"})], "event 2 (replan) cannot be replayed"),
    ],
    ids=range(4),
)
def test_a_history_that_contradicts_itself_is_refused(
    instep: Instep, tmp_path: Path, acts: list[tuple[str, Any]], why: str
) -> None:
    path = tmp_path / "a.pack"
    path.write_text(write(forged(*acts), {}))
    for command in ("unpack", "circle"):
        told = instep.wrong(command, str(path))
        assert "its history contradicts itself" in told
        assert why in told
    assert instep.json("basket")["pairs"] == []


@pytest.mark.parametrize(
    "acts",
    [
        [("rest", {"text": "x", "over": 1})],
        [("tick", {"rounds": 1, "over": 1})],
        [("tick", {"rounds": 1, "over": ["x"], "acts": []})],
        [("note", {"text": 3})],
        [("rest", {"text": None})],
        [("tick", {"rounds": 3}), ("lifeline", {"section": 0, "round": 2})],
        [("lifeline", {"section": 0, "round": 0, "name": "cuff", "unit": "\x1b[2J"})],
        [
            ("tick", {"rounds": 3}),
            (
                "changed",
                {
                    "as": "set", "value": "+2", "section": 0, "round": 4, "name": "cuff", "unit": "round",
                    "laid": "x",
                },
            ),
        ],
        [
            ("tick", {"rounds": 22}), ("tick", {"rounds": 5}),
            ("rip", {"section": 1, "round": 2, "stitches": 1, "rows": 40, "needles": 1, "into": 3}),
        ],
        [
            ("tick", {"rounds": 22}), ("tick", {"rounds": 5}),
            ("rip", {"section": 1, "round": 2, "stitches": 1, "rows": 4, "needles": 1, "into": 3}),
        ],
    ],
)  # fmt: skip
def test_what_no_knitter_did_is_one_line_or_can_be_told(
    instep: Instep, tmp_path: Path, acts: list[tuple[str, Any]]
) -> None:
    """Right checksums, and fields that no act of this program has."""
    path = tmp_path / "a.pack"
    path.write_text(write(forged(*acts), {}))
    code, _, err = instep.run("unpack", str(path))
    if code:
        assert "its history contradicts itself" in err
        assert err.count("\n") == 1
    else:
        instep.ok("history")
        instep.ok("left")
    instep.run("circle", str(path))


FIELDS = st.sampled_from([
    "rounds", "needles", "round", "section", "mm", "text", "from", "of", "as", "copy", "value", "grams",
    "colour", "coloured", "found", "matches", "at", "by", "to", "plain", "only", "step", "row", "rows",
    "name", "pin", "pattern", "sections", "over", "acts", "unit", "laid", "rewritten", "there", "stitches",
    "into", "repair", "after", "order",
])  # fmt: skip
VALUES: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**20), 10**20) | st.integers(0, 9)
    | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=5)
    | st.sampled_from(["cast-on", "leg", "cuff", "right", "void", "count", "other", "needle"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=2),
    max_leaves=4,
)  # fmt: skip
KINDS = st.sampled_from([
    "tick", "end", "target", "measure", "answer", "weigh", "count", "at", "rip", "lifeline", "note",
    "changed", "copy", "other", "rest", "restart", "undo", "redo", "append", "replan", "order",
])  # fmt: skip


@settings(max_examples=80)
@given(
    st.lists(st.tuples(KINDS, st.dictionaries(FIELDS, VALUES, max_size=5)), min_size=1, max_size=4)
)
def test_forged_acts_are_refused_or_can_be_shown(acts: list[tuple[str, Any]]) -> None:
    """Whatever a stranger wrote under right checksums: one line, or a pair that can be looked at."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.pack"
        path.write_text(write(forged(("tick", {"rounds": 30}), *acts), {}))
        with Basket.open(Path(folder) / "one.db") as basket:
            told = ""
            try:
                session = unpack(basket, str(path), now).session
            except FileTrouble as trouble:
                told = str(trouble)
            if told:
                assert told.isprintable()
                assert basket.pairs() == []
            else:
                session.look(2)
                assert list(history_text(session.past(), "cm", True))


def test_a_pack_whose_socks_cannot_be_looked_at_is_refused(
    instep: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As if its acts led nowhere, though they replay and each can be told."""
    path = tmp_path / "a.pack"
    path.write_text(write(forged(("tick", {"rounds": 3})), {}))

    def fails(*_: object, **__: object) -> None:
        raise KeyError("no such row")

    monkeypatch.setattr("tracker.tellable.look", fails)
    told = instep.wrong("unpack", str(path))
    assert "its history contradicts itself: its acts lead to a place that cannot be looked" in told
    assert instep.json("basket")["pairs"] == []
