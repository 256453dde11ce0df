"""What a terminal sends becomes keys: in whatever pieces it comes, none is lost and none is made up."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.ui.plain_keys import Decoder, Key, line_keys

SENT = {
    b" ": Key("space", " "), b"\r": Key("enter"), b"\n": Key("enter"), b"\t": Key("tab"),
    b"\x7f": Key("backspace"), b"\x08": Key("backspace"), b"a": Key("a", "a"), b"\xc3\xa4": Key("ä", "ä"),
    b"7": Key("7", "7"), b"\xe2\x82\xac": Key("€", "€"), b"\x1b[A": Key("up"), b"\x1bOB": Key("down"),
    b"\x1b[5~": Key("pageup"), b"\x1b[6~": Key("pagedown"), b"\x1b[H": Key("home"), b"\x1b[4~": Key("end"),
    b"\x1b[3~": Key("delete"), b"\x1b[15~": Key("f5"), b"\x1b[[E": Key("f5"), b"\x1bOP": Key("f1"),
    b"\x1b[Z": Key("shift+tab"), b"\x1b[1;5C": Key("right"), b"\x1bOM": Key("enter"),
    b"\x01": Key("ctrl+a"), b"\x04": Key("ctrl+d"),
}  # fmt: skip


@pytest.mark.parametrize(("data", "key"), SENT.items())
def test_each_key(data: bytes, key: Key) -> None:
    assert Decoder().keys(data) == [key]


@given(st.lists(st.sampled_from(list(SENT)), max_size=40), st.randoms(use_true_random=False))
def test_in_whatever_pieces_they_come(sent: list[bytes], random: object) -> None:
    data = b"".join(sent)
    decoder, found, at = Decoder(), [], 0
    while at < len(data):
        size = random.randint(1, 5)  # type: ignore[attr-defined]
        found += decoder.keys(data[at : at + size])
        at += size
    assert found == [SENT[one] for one in sent]
    assert not decoder.waits


@given(st.binary(max_size=60))
def test_anything_at_all_is_read(data: bytes) -> None:
    decoder = Decoder()
    keys = [*decoder.keys(data), *decoder.rest()]
    assert all(key.character == "" or key.character.isprintable() for key in keys)
    assert not decoder.waits


def test_escape_alone_is_told_from_the_beginning_of_a_sequence_by_time() -> None:
    decoder = Decoder()
    assert decoder.keys(b"\x1b") == []
    assert decoder.waits
    assert decoder.rest() == [Key("escape")]
    assert decoder.keys(b"\x1b[99z") == [], "a key nobody knows does nothing"
    assert decoder.keys(b"\x1bx") == [Key("escape"), Key("x", "x")]


@pytest.mark.parametrize(
    ("line", "names"),
    [("", ["enter"]), ("   ", ["enter"]), ("3", ["3", "enter"]), ("11.4 m", ["1", "1", ".", "4", "m"]),
     ("11.4m", ["1", "1", ".", "4", "m"]), ("tab", ["tab"]), ("page up", ["pageup"]),
     ("12 r", ["1", "2", "r"]),
     ("-", ["-"]), ("3 space", ["3", "space"]), ("21/16 c", [*"21/16", "c"]), ("q\r", ["q"]),
     (".", ["."]), ("3.", ["3", ".", "enter"])],
)  # fmt: skip
def test_a_whole_line_as_keys(line: str, names: list[str]) -> None:
    assert [key.name for key in line_keys(line, words=False)] == names


def test_while_a_line_is_open_for_words_it_is_its_text() -> None:
    found = list(line_keys("tab 3", words=True))
    assert "".join(key.character for key in found) == "tab 3"
    assert found[-1] == Key("enter")
