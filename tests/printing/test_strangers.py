"""A stranger's text stays text: in every form, wherever it stands, whatever it holds."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import examples
from tests.printing.reading import read_html, read_markdown
from tracker.drawing import BARE, Drawing, Label, Shape
from tracker.printing.forms import FORMS
from tracker.printing.html_page import as_html
from tracker.printing.markdown import as_markdown, escape
from tracker.printing.sheet import Facts, Paragraph, Part, Points, Row, Rows, Sheet, Table, plain
from tracker.printing.text import WIDTH, as_text

HOSTILE = (
    "<script>alert(1)</script>", "</title><b>", "<!-- x", "-->", "&lt;", "&amp;amp;", '" onload="x',
    "' onload='x", "]]>", "<![CDATA[x", "<?php", "*b*", "**b**", "_b_", "__b__", "`c`", "```", "~~~", "~~s~~",
    "[a](http://x.y)", "![a](b)", "[a]: b", "<http://x.y>", "# h", "###### h", "a | b", "|---|", "> q",
    "- l", "+ l", "* l", "1. l", "2) l", "---", "===", "\\", "\\*", "http://x.y/z", "https://x.y", "www.x.y",
    "a@b.cd", "mailto:a@b.cd", "ftp://x.y", "$x$", "^[n]", "[^1]", ":smile:", "\x1b[2J", "\x9b1m", "a\nb",
    "a\r\n# b", "a\u2028b", "\u202eabc", "\x00", "    code", "\tcode", "{% x %}", "{{x}}", "&#60;b&#62;",
)  # fmt: skip
TEXT = st.one_of(
    st.sampled_from(HOSTILE),
    st.text(min_size=1, max_size=30),
    st.lists(
        st.sampled_from([*HOSTILE, *"<>&\"'*_[]()#|`~!\\-+=.:1 ax\n"]), min_size=1, max_size=6
    ).map("".join),
).filter(lambda text: bool(plain(text).strip()))
"""Anything that a file may hold, as long as something of it is seen."""

PLACES = 17
"""Texts in the sheet below."""


def sheet(texts: list[str]) -> Sheet:
    """A sheet with a text in every place there is."""
    (
        title, about, sentence, point, other, name, fact, row, work, counts, remark, head, cell, heading,
        aside, label, colour,
    ) = texts  # fmt: skip
    corners = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0))
    drawing = Drawing(
        (Shape("leg", corners, 0),),
        (Shape("leg", corners, BARE),),
        (Label(label, (20.0, 5.0), "start", (10.0, 5.0)),),
        (colour,),
    )
    blocks = (
        Paragraph(sentence), Points((point, other)), Facts(((name, fact),)),
        Rows((Row(row, work, counts), Row("", remark))), Table((head, head), ((cell, cell),)), drawing,
    )  # fmt: skip
    return Sheet(title, about, blocks, (Part(heading, blocks, aside),))


TEXTS = st.lists(TEXT, min_size=PLACES, max_size=PLACES)
AN_X = sheet(["x"] * PLACES)


@examples(400)
@given(texts=TEXTS)
def test_no_markup_gets_into_a_page(texts: list[str]) -> None:
    """The page has the elements of one that says x everywhere, and says every text letter by letter."""
    page = as_html(sheet(texts))
    found, plainly = read_html(page), read_html(as_html(AN_X))
    assert found.structure == plainly.structure
    said = "".join(found.texts)
    for text in texts[:-2]:
        assert plain(text).strip() in said
    assert page.replace("\n", "").isprintable()


@examples(400)
@given(texts=TEXTS)
def test_no_markup_gets_into_markdown(texts: list[str]) -> None:
    told = as_markdown(sheet(texts))
    found, plainly = read_markdown(told), read_markdown(as_markdown(AN_X))
    assert found.structure == plainly.structure
    said = " ".join(" ".join(found.texts).split())
    for text in texts[:-2]:
        assert " ".join(plain(text).split()) in said
    assert told.replace("\n", "").isprintable()


@examples(200)
@given(texts=TEXTS)
def test_text_moves_no_cursor_and_fits_its_width(texts: list[str]) -> None:
    told = as_text(sheet(texts))
    assert told.replace("\n", "").isprintable()
    assert max(map(len, told.splitlines())) <= max(WIDTH, 2 * max(map(len, texts)) + 2)


@pytest.mark.parametrize("ending", FORMS)
def test_control_signs_are_gone_in_every_form(ending: str) -> None:
    told = FORMS[ending](sheet(["a\x1b[2Jb\u202ec"] * PLACES))
    assert not re.search(r"[^\n\x20-\x7e]", told)


def test_a_page_needs_nothing_from_outside() -> None:
    page = as_html(sheet(["http://example.org/x.js"] * PLACES))
    assert "<script" not in page
    assert "<link" not in page
    assert not re.search(r"(?:src|href|@import|url\()\s*=?\s*[\"']?(?!#)\w+:", page)
    assert "default-src 'none'" in page


@pytest.mark.parametrize(
    ("text", "escaped"),
    [("www.x.y", "www\\.x.y"), ("HTTP://x", "HTTP\\://x"), ("a.b: c", "a.b: c"), ("1. a", "1. a")],
)
def test_addresses_are_no_links(text: str, escaped: str) -> None:
    """Some readers of Markdown make links of them where they stand bare."""
    assert escape(text) == escaped


def test_a_page_is_made_to_be_printed_and_read_in_the_dark() -> None:
    style = as_html(AN_X).partition("<style>")[2].partition("</style>")[0]
    for rule in ("@page", "@media print", "break-inside: avoid", "prefers-color-scheme: dark"):
        assert rule in style
    assert style.count("{") == style.count("}")
