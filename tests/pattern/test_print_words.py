"""Words of printed patterns: what is proposed for them can be read, by both readers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.pattern import loom, notation
from tracker.pattern.print_words import nearest

PRINTED = [
    # Abbreviations as the trade prints them: common practice, no source.
    ("K10", "k10"), ("P 12", "p 12"), ("k2 tog", "k2tog"), ("K 2 tog", "k2tog"), ("P2 TOG", "p2tog"),
    ("SSK", "ssk"), ("YO", "yo"), ("yrn", "yo"), ("yarn over", "yo"), ("m1", "M1"), ("m1l", "M1L"),
    ("Sl 1", "sl 1"), ("sl 1 wyif", "sl 1"), ("sl 1 purlwise", "sl 1"), ("slip 1", "sl 1"),
    ("k10 sts", "k10"), ("Knit 10 stitches", "k 10"), ("purl to end of row", "p to end"),
    ("Knit to last 3 sts", "k to last 3"), ("k to the last 3", "k to last 3"), ("cast on 8", "CO 8"),
    ("cast off 3 sts", "BO 3"), ("bind off all", "BO all"), ("pick up and knit 16 sts", "pick up 16"),
    ("pu 16", "pick up 16"), ("turn work", "turn"), ("wrap and turn", "w&t"),
    ("k1 through back loop", "k1 tbl"), ("K1b", "k1 tbl"),
    ("*k2, p2; repeat from * to end", "*k2, p2; rep from * to end"),
    ("*K2, P2; rep from * around", "*k2, p2; rep from * to end"),
    ("[K2, P2] 4 times", "[k2, p2] 4 times"),
]  # fmt: skip


@pytest.mark.parametrize(("printed", "meant"), PRINTED)
def test_printed_words(printed: str, meant: str) -> None:
    assert nearest(printed) == meant


@pytest.mark.parametrize(("printed", "meant"), PRINTED)
def test_both_readers_propose_what_they_can_read(printed: str, meant: str) -> None:
    """Where one of them reads it as it stands nothing is proposed."""
    readers = ((notation.read_row, notation.BadRow), (lambda row: loom._items(row, 1), loom.Fault))
    for read, refusal in readers:
        try:
            read(printed)
        except refusal as bad:
            told = str(bad) + getattr(bad, "instead", "")
            # Of a repeat the stitches may be named one by one.
            assert f"write {meant}" in told or "write k2" in told
        read(meant)


@pytest.mark.parametrize("printed", ["increase", "10", "purse", "k to the moon", "sts", "=", "[k2"])
def test_what_nobody_can_guess_is_told_in_general(printed: str) -> None:
    with pytest.raises(loom.Fault) as refused:
        loom._item(printed, 1)
    assert refused.value.instead == "write a stitch such as k3, ssk or [k2, p2] 4 times"


@given(st.text(max_size=60))
def test_any_text_is_put_into_some_words(printed: str) -> None:
    assert len(nearest(printed)) <= 3 * len(printed) + 1
