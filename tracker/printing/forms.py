"""The forms in which a sheet is written, by the ending of the file."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tracker.printing.html_page import as_html
from tracker.printing.markdown import as_markdown
from tracker.printing.sheet import Sheet
from tracker.printing.text import as_text

FORMS: Mapping[str, Callable[[Sheet], str]] = {
    ".md": as_markdown, ".html": as_html, ".txt": as_text,
}  # fmt: skip
