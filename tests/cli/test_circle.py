"""The circle by its command: files and folders, what is broken, the order, the time it takes."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from time import process_time
from typing import Any

import pytest

from tests.benchmarks.a_circle import knitted, packed
from tests.cli.conftest import Instep
from tests.knitting.knitter import SAMPLE, Knitter
from tracker import circle
from tracker.circle_words import Knitter as Shown
from tracker.cli import main
from tracker.knitting.events import Event
from tracker.storage.chain import Row, encode
from tracker.storage.files import FileTrouble
from tracker.storage.pack import Pack, write
from tracker.storage.pack_file import read_pack
from tracker.storage.pattern_file import open_text

TODAY = 20_513
"""The first of March 2026 and a little more, in days since 1970."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A class of four: Ash is well, Bea asks, Cay has miscounted, Dov has as well."""
    folder = tmp_path / "class"
    folder.mkdir()
    ash, bea, cay = Knitter(), Knitter(), Knitter()
    ash.tick(5)
    bea.tick(30)
    bea.do("note", text="? how long")
    cay.tick(7)
    cay.do("count", found=[63])
    (folder / "1.pack").write_text(packed(ash, "Ash"))
    (folder / "2.toml").write_text(packed(bea, "Bea"))
    (folder / "3.pack").write_text(packed(cay, "Cay"))
    (folder / "4.pack").write_text(packed(cay, "Dov"))
    (folder / "plan.toml").write_text(SAMPLE.read_text())
    (folder / "letter.txt").write_text("dear teacher")
    return folder


def names(out: str) -> list[str]:
    return [line.partition(":")[0] for line in out.splitlines()]


def test_a_line_a_knitter_those_first_who_wait(instep: Instep, folder: Path) -> None:
    out = instep.ok("circle", str(folder))
    assert out.splitlines() == [
        "Cay: sock one, cuff round 7; stitches not right at the last count; knitted today",
        "Dov: sock one, cuff round 7; stitches not right at the last count; knitted today",
        "Bea: sock one, leg round 8; stitches not counted; knitted today; asks: how long",
        "Ash: sock one, cuff round 5; stitches not counted; knitted today",
    ]
    assert names(instep.ok("circle", str(folder), "--by", "name")) == ["Ash", "Bea", "Cay", "Dov"]
    files = [str(folder / name) for name in ("1.pack", "4.pack")]
    assert names(instep.ok("circle", *files)) == ["Dov", "Ash"]
    assert not instep.basket.exists()


def test_as_json(instep: Instep, folder: Path) -> None:
    told = instep.json("circle", str(folder))["knitters"]
    assert [one["knitter"] for one in told] == ["Cay", "Dov", "Bea", "Ash"]
    assert [one["text"] for one in told] == instep.ok("circle", str(folder)).splitlines()
    by_name = instep.json("circle", str(folder), "--by", "name")["knitters"]
    assert [one["knitter"] for one in by_name] == ["Ash", "Bea", "Cay", "Dov"]


def test_a_broken_file_is_named_and_stops_nobody(instep: Instep, folder: Path) -> None:
    path = folder / "3.pack"
    path.write_bytes(path.read_bytes()[:-9])
    missing = str(folder / "9.pack")
    code, out, err = instep.run("circle", str(folder), missing)
    assert code == 1
    assert names(out) == ["Dov", "Bea", "Ash"]
    lines = err.splitlines()
    assert len(lines) == 2
    assert lines[0].startswith(f"instep: {path}: this pack is damaged")
    assert lines[1] == f"instep: {missing}: there is no such file"
    (folder / "3.pack").write_text("[[")
    assert "3.pack: this is no pack" in instep.run("circle", str(folder))[2]


def test_a_folder_without_packs_is_told(instep: Instep, tmp_path: Path) -> None:
    told = instep.wrong("circle", str(tmp_path))
    assert told == f"{tmp_path}: no pack is in this folder; name another"
    assert "its name cannot be used" in instep.wrong("circle", "a\0b")
    assert "invalid choice" in instep.usage("circle", str(tmp_path), "--by", "age")
    instep.usage("circle")


def test_a_teachers_packs_are_read(pair: Instep, tmp_path: Path) -> None:
    pair.ok("tick", "30")
    pair.ok("note", "? how long")
    path = str(tmp_path / "a.pack")
    pair.ok("pack", "night-ferry", path, "--for-teacher")
    pair.now("2026-03-05T08:00:00+01:00")
    assert pair.line("circle", path) == (
        "Night ferry: sock one, leg round 8; stitches not counted; last knitted 4 days ago; asks: how long"
    )


def test_the_same_pattern_is_read_once(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Those who knit the same share its course, each by her own name."""
    opened = []
    monkeypatch.setattr(circle, "open_text", lambda *told: opened.append(told) or open_text(*told))  # type: ignore[func-returns-value]
    found = [one for one in circle.read_circle([str(folder)], TODAY) if isinstance(one, Shown)]
    assert [one.name for one in found] == ["Ash", "Bea", "Cay", "Dov"]
    assert len(opened) == 1
    longer = Knitter()
    text = packed(longer, "Eve").replace("leg_rounds = 46", "leg_rounds = 47")
    assert text != packed(longer, "Eve")
    whole = packed(longer, "Eve", more="\n[yarn]\ngrams = 100\n")
    (folder / "5.pack").write_text(whole)
    list(circle.read_circle([str(folder)], TODAY))
    assert len(opened) == 3


def test_a_title_over_several_lines_is_read(folder: Path) -> None:
    knitter = Knitter()
    text = '"""\nOver\nlines"""'
    pattern = knitter.course.pattern
    odd = pattern.text.replace('"Night ferry"', text, 1)
    knitter.course.pattern = pattern._replace(text=odd)
    try:
        (folder / "1.pack").write_text(packed(knitter, ""))
    finally:
        knitter.course.pattern = pattern
    (found,) = circle.read_circle([str(folder / "1.pack")], TODAY)
    assert isinstance(found, Shown)
    assert found.name == "Over\nlines"


def test_whose_stitches_are_wrong_is_told_while_others_are_read(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """At the moment the last file is read, the lines that stand first in any case are out."""
    seen = []

    def read(file: str) -> Pack:
        seen.append(capsys.readouterr().out)
        return read_pack(file)

    monkeypatch.setattr(circle, "read_pack", read)
    assert main(["circle", str(folder)]) == 0
    assert [names(out) for out in seen] == [[], [], [], ["Cay"]]


def last_line(instep: Instep, *files: str) -> str:
    (line,) = instep.ok("circle", *files).splitlines()
    return line


def test_of_one_pair_the_newest_pack_is_shown(pair: Instep, tmp_path: Path) -> None:
    """However they are called, whole or for a teacher: even one with a wrong count waits for the newer."""
    for name, acts in (("c", ["tick", "7"]), ("a", ["count", "63"]), ("b", ["count", "64"])):
        pair.ok(*acts)
        pair.ok("pack", "night-ferry", str(tmp_path / f"{name}.pack"))
        pair.ok("pack", "night-ferry", str(tmp_path / f"{name}-taught.pack"), "--for-teacher")
    assert last_line(pair, str(tmp_path)) == (
        "Night ferry: sock one, cuff round 7; stitches right at the last count; knitted today;"
        " 4 older packs passed over"
    )
    (told,) = pair.json("circle", str(tmp_path))["knitters"]
    assert (told["older_packs"], told["parted"]) == (4, None)
    two = [str(tmp_path / name) for name in ("a.pack", "c-taught.pack")]
    assert last_line(pair, *two).endswith(
        "not right at the last count; knitted today; 1 older pack passed over"
    )
    (tmp_path / "b.pack").write_text("[[")
    (tmp_path / "b-taught.pack").write_bytes((tmp_path / "b-taught.pack").read_bytes()[:-9])
    code, out, err = pair.run("circle", str(tmp_path))
    assert (code, len(err.splitlines())) == (1, 2)
    assert "not right at the last count; knitted today; 2 older packs passed over" in out
    again = str(tmp_path / "a.pack")
    assert last_line(pair, again, again).endswith("knitted today"), "the same file twice"


def test_where_a_pair_went_on_in_two_places_both_are_shown_and_say_so(
    pair: Instep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = [str(tmp_path / f"{name}.pack") for name in ("before", "here", "there")]
    pair.ok("tick", "30")
    pair.ok("pack", "night-ferry", files[0])
    monkeypatch.setenv("INSTEP_BASKET", str(tmp_path / "other.db"))
    pair.ok("unpack", files[0])
    pair.ok("tick", "2")
    pair.ok("pack", "night-ferry", files[2])
    monkeypatch.setenv("INSTEP_BASKET", str(pair.basket))
    pair.ok("tick", "5")
    pair.ok("pack", "night-ferry", files[1])
    parted = "this pair has two histories, which parted after sock one, leg round 8"
    told = pair.ok("circle", *files).splitlines()
    assert [line.partition(";")[0] for line in told] == [
        "Night ferry: sock one, leg round 13", "Night ferry: sock one, leg round 10",
    ]  # fmt: skip
    assert all(f"; {parted}, on 1 March 2026" in line for line in told)
    assert sum("; 1 older pack passed over" in line for line in told) == 1
    taught = str(tmp_path / "taught.pack")
    pair.ok("pack", "night-ferry", taught, "--for-teacher")
    line, other = pair.ok("circle", taught, files[2]).splitlines()
    assert line.endswith(f"; {parted}"), "its events all have one day"
    assert other.endswith(f"; {parted}, on 1 March 2026")


def test_an_act_taken_back_that_cannot_be_replayed_is_told(tmp_path: Path) -> None:
    """Of two that parted the place is looked up: what was taken back before it must come out, too."""
    acts: list[tuple[str, dict[str, Any]]] = [
        ("tick", {"rounds": 2}),
        ("at", {"round": "x"}),
        ("undo", {"of": 3}),
    ]
    for name in "ab":
        knitter = Knitter()
        begun = list(knitter.events)
        for kind, data in [*acts, ("note", {"text": name})]:
            begun.append(Event(len(begun) + 1, 0, 0, 1, kind, data, b""))
        rows = [Row(*event[:5], encode(dict(event.data)), bytes(16), 1) for event in begun]
        rows[-1] = rows[-1]._replace(uid=name.encode() * 16)
        text = knitter.course.pattern.text
        pack = Pack(bytes(16), "a", "t", "0" * 64, "rounds", text, tuple(rows))
        (tmp_path / f"{name}.pack").write_text(write(pack, {}))
    found = list(circle.read_circle([str(tmp_path)], TODAY))
    assert all(isinstance(one, FileTrouble) for one in found)
    assert len(found) == 2


def test_packs_that_only_say_they_are_of_one_pair_are_all_shown(folder: Path) -> None:
    one, other = (folder / "1.pack", folder / "3.pack")
    first = re.search(rb" id ([0-9a-f]{32}) ", one.read_bytes())
    again = re.search(rb" id ([0-9a-f]{32}) ", other.read_bytes())
    assert first
    assert again
    other.write_bytes(other.read_bytes().replace(again[1], first[1]))
    found = list(circle.read_circle([str(folder)], TODAY))
    assert sum(isinstance(one, FileTrouble) for one in found) == 1, (
        "a changed pack is a damaged one"
    )
    assert len(found) == 4


def test_nothing_of_the_screen_is_loaded(folder: Path) -> None:
    code = (
        "import sys; from tracker.cli import main; main(sys.argv[1:]);"
        "print({'textual', 'rich'} & {name.partition('.')[0] for name in sys.modules})"
    )
    words = [sys.executable, "-c", code, "circle", str(folder)]
    done = subprocess.run(words, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "set()"


def test_a_class_is_read_in_time(tmp_path: Path) -> None:
    """Twenty packs of 300 events in their share of the 30 s that a thousand may take; best of three."""
    knitter = knitted()
    for number in range(20):
        (tmp_path / f"{number:03}.pack").write_text(packed(knitter, f"Knitter {number}"))
    took = []
    for _ in range(3):
        began = process_time()
        found = list(circle.read_circle([str(tmp_path)], TODAY))
        took.append(process_time() - began)
        assert len(found) == 20
        assert not [one for one in found if isinstance(one, FileTrouble)]
    assert min(took) < 20 / 1000 * 30


def test_who_waits_with_one_sock_and_is_behind_with_the_other_is_told_so(
    instep: Instep, tmp_path: Path
) -> None:
    """As `left` says it: stage 1 is not done on the sock in hand, and stage 2 not there yet."""
    instep.now("2026-03-08T20:00:00+01:00")
    for words in (["start", str(SAMPLE.parent / "quay-steps-one.toml")], ["tick", "26"], ["end"]):
        instep.ok(*words)
    instep.ok("other")
    instep.ok("tick", "3")
    path = str(tmp_path / "v.pack")
    instep.ok("pack", "quay-steps", path, "--for-teacher")
    instep.now("2026-03-15T20:00:00+01:00")
    assert "Stage 1 was for 12 March; 23 rounds" in instep.ok("left")
    assert instep.line("circle", path).endswith(
        "; stage 1 done on sock one, 23 rounds to go on sock two, 3 days behind its date;"
        " stage 2 not yet joined"
    )
    assert instep.json("circle", path)["knitters"][0]["behind"] is True
    instep.now("2026-03-10T20:00:00+01:00")
    assert instep.line("circle", path).endswith(
        "; stage 1 done on sock one, 23 rounds to go on sock two, 2 days before its date"
    )


def test_a_settled_question_is_settled_in_a_teachers_pack_without_the_words(
    pair: Instep, tmp_path: Path
) -> None:
    pair.ok("note", "? why is my ring a spiral")
    pair.ok("note", "? and how long")
    pair.ok("note", "! secret")
    path = tmp_path / "a.pack"
    pair.ok("pack", "night-ferry", str(path), "--for-teacher")
    assert "secret" not in path.read_text()
    assert pair.line("circle", str(path)).endswith(
        "; asks: and how long; settled: why is my ring a spiral"
    )
