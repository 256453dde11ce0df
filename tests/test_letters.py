"""Letters that a terminal lacks are said with those it has; what it has stays."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import get_character_cell_size

from tracker.letters import READABLE, in_ascii, in_cells, teach_readable

ENCODINGS = st.sampled_from(["ascii", "iso8859-1", "utf-8", "euc_jp", "cp437", "unheard-of"])


@pytest.mark.parametrize(
    ("encoding", "seen"),
    [
        ("ascii", "Grosse, Zoe - 'ink' ? 3x"),
        ("iso8859-1", "Größe, Zoë - 'ink' ? 3×"),
        ("iso8859-15", "Größe, Zoë - 'ink' € 3×"),
    ],
)
def test_a_stream_says_what_it_can_and_the_rest_in_plain_letters(encoding: str, seen: str) -> None:
    teach_readable()
    text = "Größe, Zoë \N{EN DASH} \N{LEFT SINGLE QUOTATION MARK}ink\N{RIGHT SINGLE QUOTATION MARK} € 3×"
    assert text.encode(encoding, READABLE).decode(encoding) == seen


@given(st.text(), st.sampled_from(["ascii", "iso8859-1", "cp437", "utf-8"]))
def test_no_text_is_too_strange_to_be_said(text: str, encoding: str) -> None:
    """Halves of a pair of surrogates, too, as a name that is no letters comes."""
    teach_readable()
    said = (text + "\udcff").encode(encoding, READABLE)
    assert said.endswith(b"?")
    assert text.encode(encoding, READABLE).isascii() or encoding != "ascii"


@given(st.characters(), ENCODINGS)
def test_a_letter_stays_in_its_cells_and_in_the_encoding(letter: str, encoding: str) -> None:
    cells = get_character_cell_size(letter)
    shown = in_cells(letter, encoding, cells)
    assert sum(map(get_character_cell_size, shown)) == cells or letter.isascii()
    if encoding != "unheard-of":
        shown.encode(encoding)
    else:
        assert shown.isascii()


@pytest.mark.parametrize(
    ("encoding", "letter", "shown"),
    [
        ("utf-8", "é", "e"),  # a cell or two, as the terminal is set
        ("iso8859-1", "é", "é"),  # there a byte is a cell
        ("utf-8", "ö", "ö"),
        ("utf-8", "\N{CJK UNIFIED IDEOGRAPH-9774}", "\N{CJK UNIFIED IDEOGRAPH-9774}"),
        ("iso8859-1", "\N{CJK UNIFIED IDEOGRAPH-9774}", "??"),
        ("ascii", "ß", "s"),
        ("ascii", "\N{COMBINING DIAERESIS}", ""),
        ("ascii", "\N{NO-BREAK SPACE}", " "),
    ],
)
def test_letters_whose_width_is_a_matter_of_opinion(encoding: str, letter: str, shown: str) -> None:
    assert in_cells(letter, encoding, get_character_cell_size(letter)) == shown


@given(st.characters())
def test_plain_letters_are_plain(letter: str) -> None:
    assert in_ascii(letter).isascii()
