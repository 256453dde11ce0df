"""The notation in words, and rows written back as they were read."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.pattern.test_two_readers import brackets, segments, stitches
from tracker.pattern import glossary, loom
from tracker.pattern.glossary import become, counted, expand, term, terms, write_row
from tracker.pattern.notation import STITCHES, BadRow, Item, read_row, runs, totals


def test_every_stitch_and_sign_has_words() -> None:
    names = {one.name for one in glossary.all_terms()}
    assert set(STITCHES) <= names
    assert {"turn", "w&t", "to end", "to last", "[ ] times", "rep from *"} <= names
    assert all(one.words and one.words[0].islower() for one in glossary.all_terms())
    # What goes through the back loops by itself is no other stitch with tbl behind it.
    alone = names - {"ssk tbl", "ssp tbl"}
    assert len({one.words for one in glossary.all_terms()}) == len(alone)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        # Slip, slip, knit: industry-common forms (three lists of abbreviations that agree).
        ("ssk", "slip two knitwise one by one, knit them together through the back loops"),
        ("skp", "slip one knitwise, knit one, pass the slipped stitch over it"),
        ("k2tog", "knit two together as one"),
        ("p2tog tbl", "purl two together as one through the back loops"),
        ("ssk tbl", "slip two knitwise one by one, knit them together through the back loops"),
        ("k tbl", "knit through the back loop, which twists it"),
        (
            "C6B",
            "cross 6 stitches: the first 3 wait on a spare needle at the back, work the other 3,"
            " then those that wait",
        ),
    ],
)  # fmt: skip
def test_words_of_a_term(name: str, words: str) -> None:
    assert term(name).words == words


def test_its_counts_are_those_of_the_notation_and_of_the_loom() -> None:
    for name, counts in STITCHES.items():
        assert term(name).counts is counts
        bare = name.removesuffix(" tbl")
        assert (counts.takes, counts.leaves) == loom._TAKES_LEAVES[bare]
    assert term("turn").counts is None
    told = {name: become(STITCHES[name]) for name in ("k", "ssk", "sk2p", "yo", "kfb", "BO")}
    assert told == {
        "k": "", "ssk": "2 become 1", "sk2p": "3 become 1", "yo": "1 more",
        "kfb": "1 becomes 2", "BO": "1 fewer",
    }  # fmt: skip


def test_no_word_knows_left_from_right() -> None:
    """They hold for a left-handed knitter too. "Left" is said of stitches that are left over."""
    for one in glossary.all_terms():
        assert not re.search(r"\bright\b", one.words), one
        assert not re.search(r"\bleft (?:tip|hand|needle|of)\b", one.words), one


def test_what_is_no_term() -> None:
    with pytest.raises((KeyError, ValueError)):
        term("fluff")


@pytest.mark.parametrize(
    ("row", "sentences"),
    [
        (
            "k to last 3, k2tog, k1 | k | k | k1, ssk, k to end = 21/16/16/21",
            [
                "Needle 1: knit until 3 stitches are left; knit two together as one; knit 1.",
                "Needle 2: knit to the end of the needle.",
                "Needle 3: knit to the end of the needle.",
                "Needle 4: knit 1; slip two knitwise one by one, knit them together through the back"
                " loops; knit to the end of the needle.",
                "That leaves 21, 16, 16 and 21.",
            ],
        ),
        (
            "WS: sl1, p10, p2tog, p1, turn = 25",
            [
                "Wrong side row.",
                "Slip 1; purl 10; purl two together as one; purl 1; turn the work; what is left on the"
                " needle stays unworked.",
                "That leaves 25.",
            ],
        ),
        (
            "*k2 tbl, p2; rep from * to last 1, k1 | | [sl1, yo] 2 times, BO all",
            [
                "Needle 1: again and again, until 1 stitch is left: (knit 2 through the back loop;"
                " purl 2); knit 1.",
                "Needle 2: it rests.",
                "Needle 3: 2 times in all: (slip 1; lay the yarn over the needle and go on, which makes"
                " a hole); bind off all.",
            ],
        ),
        (
            "rest 9, pick up 17, M1 2, k2tog to end",
            [
                "Leave 9 stitches already worked where they hang; pick up and knit 17; 2 times: lift the"
                " strand between two stitches and knit it twisted; again and again, to the end of the"
                " needle: knit two together as one.",
            ],
        ),
    ],
)  # fmt: skip
def test_a_row_in_sentences(row: str, sentences: list[str]) -> None:
    assert expand(row) == sentences


def test_terms_of_rows_each_once_in_order() -> None:
    rows = ["k1, ssk, k to last 3, k2tog, k1", "[k2tog, yo] 2 times, k", "WS: sl1, p3, w&t"]
    assert [one.name for one in terms(rows)] == [
        "k", "ssk", "to last", "k2tog", "yo", "[ ] times", "to end", "sl", "p", "w&t",
    ]  # fmt: skip


def test_counts_in_and_out_of_a_row() -> None:
    """The pick-up round of the sock of 64 stitches: common practice, no source."""
    row = "rest 9, pick up 17 | k | k | pick up 17, k9"
    assert counted(row, [9, 16, 16, 9]) == (50, 84, 34 + 32 + 9)
    assert counted("k to last 3, k2tog, k1", [20, 20]) == (40, 39, 39)
    assert counted("sl1, k17, ssk, k1, turn", [32]) == (21, 31, 19)
    with pytest.raises(BadRow):
        counted("k5", [])


ROWS = st.lists(
    st.one_of(
        st.integers(0, 12).flatmap(segments),
        st.lists(stitches() | brackets(stitches()), min_size=1, max_size=4).map(", ".join),
        st.just(""),
    ),
    min_size=1,
    max_size=4,
).map(" | ".join)
SIDES = st.sampled_from(["", "RS: ", "WS: "])
ENDS = st.sampled_from(["", ", turn", ", w&t"])
CLAIMS = st.sampled_from(["", " = 64", " = 16/0/16"])


@settings(max_examples=300)
@given(SIDES, ROWS, ENDS, CLAIMS, st.integers(0, 20))
def test_a_row_written_back_is_read_as_the_same_row(
    side: str, work: str, end: str, claim: str, live: int
) -> None:
    """The same stitches, so the same counts in and out; read by the reader, and by the loom."""
    text = f"{side}{work}{end if work.strip() and not work.endswith('| ') else ''}{claim}"
    try:
        row = read_row(text)
    except BadRow:
        return
    again = read_row(write_row(row))
    assert again._replace(texts=row.texts) == row
    for segment, other in zip(row.segments, again.segments, strict=True):
        assert worked(segment, live) == worked(other, live)
    assert write_row(again) == write_row(row)
    if any(row.segments):
        assert loom._parse(write_row(row)) == loom._parse(text)
        assert expand(text)[0]


def worked(segment: Sequence[Item], live: int) -> object:
    try:
        made, left = runs(segment, live)
    except BadRow as bad:
        return str(bad)
    return made, left, totals(made)
