"""A printed page as a reader of its form takes it: its structure, and the words in it."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import NamedTuple

from markdown_it import MarkdownIt

_VOID = frozenset({"meta", "line", "polygon", "rect", "path", "circle"})
"""Elements of a page, or of its drawing, that have no end."""


class Read(NamedTuple):
    """What was found: the structure, in order, and the texts, each with the place it has in it."""

    structure: tuple[str, ...]
    texts: tuple[str, ...]


class Page(HTMLParser):
    """Reads a page and fails where an element is not closed in its turn."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.structure: list[str] = []
        self.texts: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []
        self._open: list[str] = []
        self.feed(text)
        self.close()
        assert self._open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.structure.append(f"<{tag} {' '.join(name for name, _ in attrs)}>")
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if tag not in _VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in _VOID
        self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag
        self.structure.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        if "style" not in self._open:
            self.texts.append(data)

    def handle_comment(self, data: str) -> None:
        raise AssertionError(f"a comment: {data}")

    def unknown_decl(self, data: str) -> None:
        raise AssertionError(f"a declaration: {data}")

    def handle_pi(self, data: str) -> None:
        raise AssertionError(f"an instruction: {data}")


def read_html(text: str) -> Read:
    """The structure of a page and its texts, those between elements that are mere room left out."""
    page = Page(text)
    return Read(tuple(page.structure), tuple(t.strip() for t in page.texts if t.strip()))


def read_markdown(text: str) -> Read:
    """What a reader of Markdown makes of a text, addresses written bare among it."""
    reader = MarkdownIt("commonmark", {"linkify": True}).enable(
        ["table", "strikethrough", "linkify"]
    )
    assert reader.linkify is not None
    reader.linkify.set({"fuzzy_link": False, "fuzzy_email": True})
    structure, texts = [], []
    for token in reader.parse(text):
        structure.append(token.type)
        for child in token.children or ():
            structure.append(child.type)
            texts.append(child.content)
    return Read(tuple(structure), tuple(text.strip() for text in texts if text.strip()))
