"""Packs as text: what goes in comes out, and whatever was damaged on the way is noticed."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.knitting.events import KINDS
from tracker.storage import pack as module
from tracker.storage import pack_file
from tracker.storage.chain import Row, encode, link_of
from tracker.storage.files import FileTrouble
from tracker.storage.pack import Damaged, Pack, is_pack, read, write
from tracker.storage.pack_file import read_pack, write_pack

PATTERN = (
    'title = "Night ferry"\n\n[[section]]\nname = "brim"\nrows = ["*k2, p2; rep from * to end"]\n'
)
NOON = 1_760_000_000_000
UID = bytes(range(16))


def row(number: int, kind: str = "tick", **data: Any) -> Row:
    return Row(number, NOON + number, 120, 1, kind, encode(data or {"rounds": 1}), UID[::-1], 1)


def packed(*rows: Row, text: str = PATTERN, title: str = "Night ferry") -> Pack:
    begun = row(1, "started", title=title)._replace(sock=0)
    return Pack(UID, "night-ferry", title, "5e" * 32, "rounds", text, (begun, *rows))


SMALL = packed(row(2), row(3, "note", text='it\'s "right"\n\x9b'), row(4, "measure", mm=61.5))
TEXT = write(SMALL, {"where": "Sock one, leg: round 3.", "events": 4})
DATA = TEXT.encode()

scalars = (
    st.none() | st.booleans() | st.integers(-(2**60), 2**60)
    | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=20)
)  # fmt: skip
fields = st.dictionaries(
    st.text(max_size=8), scalars | st.lists(scalars, max_size=3) | st.dictionaries(st.text(), scalars),
    max_size=4,
)  # fmt: skip
times = st.integers(0, 250_000_000_000_000)
offsets = st.integers(-1439, 1439)
uids = st.binary(min_size=16, max_size=16)
titles = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=80) | st.sampled_from(
    ["", "a\r\nb", "'''", "x'", '"""', "\\", "\n\nevents = [\n", "\t\x1b[2J\n", 'a = "\\n"\n']
)


@st.composite
def histories(draw: st.DrawFn) -> Pack:
    rows = draw(
        st.lists(
            st.builds(
                Row, st.just(0), times, offsets, st.integers(0, 2), st.sampled_from(sorted(KINDS)),
                fields.map(encode), uids, st.just(1),
            ),
            min_size=1, max_size=8,
        )
    )  # fmt: skip
    numbered = tuple(one._replace(number=number) for number, one in enumerate(rows, start=1))
    count = draw(st.sampled_from(["rounds", "needles"]))
    return Pack(
        draw(uids), draw(titles), draw(titles), draw(uids).hex() * 2, count, draw(texts), numbered,
        draw(st.booleans()),
    )  # fmt: skip


@given(histories(), st.dictionaries(st.sampled_from(["where", "other"]), titles))
def test_any_history_comes_back_as_it_was(whole: Pack, now: dict[str, str | int]) -> None:
    text = write(whole, now)
    assert read("x.pack", text.encode()) == whole
    assert text.replace("\n", "").replace("\t", "").isprintable()


@given(histories(), titles)
def test_it_is_toml_that_says_the_same(whole: Pack, where: str) -> None:
    """The standard library's reader finds what ours does."""
    tables = tomllib.loads(write(whole, {"where": where}))
    assert tables["format"] == 1
    assert tables["pair"]["uid"] == whole.uid.hex()
    assert (tables["pair"]["title"], tables["pair"]["short"]) == (whole.title, whole.short)
    assert tables["now"] == {"where": where}
    assert tables["pattern"] == {"sha256": whole.pattern, "text": whole.pattern_text}
    assert len(tables["events"]) == len(whole.rows)
    for told, one in zip(tables["events"], whole.rows, strict=True):
        assert told.startswith(f"{one.number} ")
        assert f" {one.kind} {one.data} id {one.uid.hex()} sum " in told
    assert len(tables["checksum"]) == 32


def test_a_person_can_read_it() -> None:
    lines = TEXT.splitlines()
    assert lines[0] == "# Packed by Instep: Night ferry"
    assert 'pair.title = "Night ferry"' in lines
    assert 'now.where = "Sock one, leg: round 3."' in lines
    assert "pattern.text = '''" in lines
    first = next(line for line in lines if line.startswith("  '2 "))
    assert first.startswith('  \'2 2025-10-09T10:53:20.002+02:00 sock 1 tick {"rounds":1} id ')


def test_the_checksums_are_those_of_the_chain() -> None:
    link = module._first_link(UID, SMALL.pattern, False)
    for told, one in zip(tomllib.loads(TEXT)["events"], SMALL.rows, strict=True):
        link = link_of(link, *one)
        assert told.endswith(f" sum {link.hex()}")


# Damage


def trouble(data: bytes) -> FileTrouble:
    with pytest.raises(FileTrouble) as caught:
        read("x.pack", data)
    assert str(caught.value).startswith("x.pack: ")
    assert str(caught.value).isprintable()
    return caught.value


def check_sound(found: FileTrouble) -> int:
    """How many events are said to be sound: they are those that were packed."""
    sound = found.sound if isinstance(found, Damaged) else None
    if sound is None:
        return 0
    many = len(sound.rows)
    assert sound.rows == SMALL.rows[:many]
    assert sound.pattern_text == PATTERN
    assert f"first {many} events" in str(found) or many == 1
    assert "instep unpack x.pack --sound-part" in str(found)
    return many


def test_every_truncation_is_noticed() -> None:
    most = [check_sound(trouble(DATA[:length])) for length in range(len(DATA))]
    assert most == sorted(most)
    assert most[-1] == len(SMALL.rows)
    assert set(most) == {0, 1, 2, 3, 4}


@pytest.mark.parametrize("bit", [0x01, 0x20, 0x80])
def test_every_flip_is_noticed(bit: int) -> None:
    for place in range(len(DATA)):
        data = bytearray(DATA)
        data[place] ^= bit
        check_sound(trouble(bytes(data)))


@settings(max_examples=300)
@given(st.integers(0, len(DATA) - 1), st.integers(1, 255))
def test_any_flip_is_noticed(place: int, by: int) -> None:
    data = bytearray(DATA)
    data[place] ^= by
    check_sound(trouble(bytes(data)))


@given(st.integers(0, len(DATA)), st.binary(min_size=1, max_size=30))
def test_anything_put_in_is_noticed(place: int, more: bytes) -> None:
    data = DATA[:place] + more + DATA[place:]
    if module._with_plain_ends(data) != DATA:
        check_sound(trouble(data))


@given(st.binary(max_size=200), st.booleans())
def test_no_bytes_bring_it_down(data: bytes, headed: bool) -> None:
    trouble((b'format = 1\npair.uid = "1"\n' if headed else b"") + data)


def test_an_event_in_another_place_is_noticed() -> None:
    lines = TEXT.splitlines(keepends=True)
    at = lines.index("events = [\n") + 1
    lines[at + 1], lines[at + 2] = lines[at + 2], lines[at + 1]
    assert check_sound(trouble("".join(lines).encode())) == 1


def test_line_ends_and_marks_of_other_machines_do_no_harm() -> None:
    assert read("x", DATA.replace(b"\n", b"\r\n")) == SMALL
    assert read("x", b"\xef\xbb\xbf" + DATA) == SMALL
    trouble(DATA.replace(b"\n", b"\r\n", 5))


def test_where_only_the_words_are_damaged_all_events_are_sound() -> None:
    assert check_sound(trouble(DATA.replace(b"round 3.", b"round 4."))) == 4


def test_a_teachers_pack_is_not_made_another() -> None:
    taught = write(SMALL._replace(for_teacher=True), {}).encode()
    assert read("x", taught).for_teacher
    found = trouble(taught.replace(b"pair.for_teacher = true\n", b""))
    assert isinstance(found, Damaged)
    assert found.sound is None


# Newer, and what is none


def signed(text: str) -> bytes:
    """A text under a checksum that is right."""
    above = text.rpartition("checksum = ")[0]
    return f'{above}checksum = "{module._sum(above.encode())}"\n'.encode()


def test_a_newer_form_is_told() -> None:
    told = str(trouble(signed(TEXT.replace("format = 1", "format = 2"))))
    assert "packed by a newer Instep (its format 2, this one reads 1); update Instep" in told


@pytest.mark.parametrize("changes", [{"kind": "felted"}, {"version": 2}], ids=str)
def test_a_newer_kind_is_told_and_named(changes: dict[str, Any]) -> None:
    newer = SMALL._replace(rows=(*SMALL.rows[:2], SMALL.rows[2]._replace(**changes)))
    told = str(trouble(write(newer, {}).encode()))
    kind = changes.get("kind", "note")
    assert f"event 3 ({kind}) was packed by a newer Instep; update Instep" in told


@pytest.mark.parametrize(
    "data",
    [
        "{}x",
        '{"a": 1}',
        '{"a":NaN}',
        '{"a":1,"a":2}',
        "{" * 9_000 + "}",
        '{"a":' + "[" * 9_000 + "}",
    ],
    ids=range(6),
)
def test_data_that_no_basket_writes_are_not_taken(data: str) -> None:
    odd = SMALL._replace(rows=(*SMALL.rows, row(5)._replace(data=data)))
    assert check_sound(trouble(write(odd, {}).encode())) == 4


@pytest.mark.parametrize(
    ("instead_of", "is_read_as"),
    [("+02:00", "+02:60"), ("T10:53", "T24:53"), ("  '2 ", "  '02 "), ("2025-10-09", "2025-02-30")],
)
def test_an_event_is_written_in_one_way_only(instead_of: str, is_read_as: str) -> None:
    lines = TEXT.splitlines(keepends=True)
    at = lines.index("events = [\n") + 2
    lines[at] = lines[at].replace(instead_of, is_read_as)
    assert check_sound(trouble(signed("".join(lines)))) == 1


@pytest.mark.parametrize("text", ["", 'title = "Night ferry"\n[foot]\n', "format = 1\n", "\0"])
def test_what_is_no_pack_is_told(text: str) -> None:
    assert not is_pack(text.encode())
    assert "this is no pack; name a file that was written by instep pack" in str(
        trouble(text.encode())
    )


# Files


def written(path: Path, whole: Pack, now: dict[str, str | int] | None = None) -> bool:
    return write_pack(str(path), whole, now or {}, basket="/nowhere/basket.db")


def refused(path: Path, whole: Pack) -> str:
    before = path.read_bytes()
    with pytest.raises(FileTrouble) as caught:
        written(path, whole)
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir()] == [path.name]
    return str(caught.value)


def test_its_own_older_pack_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / "a.pack"
    older = SMALL._replace(rows=SMALL.rows[:2])
    assert not written(path, older)
    assert written(path, SMALL)
    assert written(path, SMALL)
    assert read_pack(str(path)) == SMALL
    assert [one.name for one in tmp_path.iterdir()] == ["a.pack"]


def test_nothing_else_is_written_over(tmp_path: Path) -> None:
    path = tmp_path / "a.pack"
    path.write_text("a letter")
    assert "is there already and is no pack" in refused(path, SMALL)
    path.write_bytes(DATA)
    assert "holds what is not in this basket" in refused(path, SMALL._replace(rows=SMALL.rows[:3]))
    assert "the pack of another pair" in refused(path, SMALL._replace(uid=UID[::-1]))
    taught = SMALL._replace(for_teacher=True)
    assert "the whole pack of this pair is there already" in refused(path, taught)
    path.write_bytes(DATA[:-1])
    assert "a damaged pack is there already" in refused(path, SMALL)
    path.write_bytes(write(taught, {}).encode())
    assert "a teacher's pack of this pair is there already" in refused(path, SMALL)
    assert written(path, taught)


def test_the_basket_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "basket.db"
    with pytest.raises(FileTrouble, match="the file it is made from"):
        write_pack(str(path), SMALL, {}, basket=str(path))


def test_a_huge_file_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.pack"
    path.write_bytes(DATA)
    monkeypatch.setattr(pack_file, "LARGEST_BYTES", len(DATA))
    assert read_pack(str(path)) == SMALL
    monkeypatch.setattr(pack_file, "LARGEST_BYTES", len(DATA) - 1)
    with pytest.raises(FileTrouble, match="it is larger than"):
        read_pack(str(path))


def test_what_could_not_be_read_back_is_not_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, most = tmp_path / "a.pack", len(write(SMALL, {}).encode())
    monkeypatch.setattr(pack_file, "LARGEST_BYTES", most)
    assert not written(path, SMALL)
    monkeypatch.setattr(pack_file, "LARGEST_BYTES", most - 1)
    path.unlink()
    with pytest.raises(FileTrouble, match="so that none is written") as caught:
        written(path, SMALL)
    assert len(caught.value.lines) == 1
    assert not list(tmp_path.iterdir())


def test_a_pattern_that_could_not_be_read_back_is_not_written(tmp_path: Path) -> None:
    """A sign that is not shown as it is takes five times its room."""
    path = tmp_path / "a.pack"
    with pytest.raises(FileTrouble, match="its pattern is too long"):
        written(path, packed(text="\xad" * (module.LONGEST_HEAD // 10)))
    assert not list(tmp_path.iterdir())
    assert not written(path, packed(text="\xad" * (module.LONGEST_HEAD // 11)))
    assert read_pack(str(path)).rows


def test_a_huge_pattern_is_not_read(monkeypatch: pytest.MonkeyPatch) -> None:
    head = DATA.rpartition(b"\nevents = [\n")[0]
    monkeypatch.setattr(module, "LONGEST_HEAD", len(head))
    assert read("x", DATA) == SMALL
    monkeypatch.setattr(module, "LONGEST_HEAD", len(head) - 1)
    assert check_sound(trouble(DATA)) == 0


def test_what_is_no_plain_file_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.pack")
    for name, told in (
        ("pipe.pack", "no plain file"),
        ("", "this is a folder"),
        ("a", "no such file"),
    ):
        with pytest.raises(FileTrouble, match=told):
            read_pack(str(tmp_path / name))
        assert not pack_file.is_pack(str(tmp_path / name))
