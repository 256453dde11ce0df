"""A sheet as one HTML page that needs nothing else: no script, no picture, nothing from outside."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape as escape_html
from typing import Any

from tracker.drawing import Drawing
from tracker.printing.sheet import Block, Facts, Paragraph, Part, Points, Rows, Sheet, Table, plain
from tracker.printing.svg import as_svg

_STYLE = """
:root { color-scheme: light dark; --ink: #1d1b18; --paper: #fff; --soft: #5d574e; --line: #c9c2b6; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #ece7de; --paper: #1b1a18; --soft: #b3aca0; --line: #4d4841; }
}
html { background: var(--paper); color: var(--ink); }
body { font: 11pt/1.45 Georgia, "DejaVu Serif", serif; max-width: 46em; margin: 2em auto; padding: 0 1em; }
h1 { font-size: 1.7em; margin: 0; overflow-wrap: anywhere; }
h2 { font-size: 1.15em; margin: 1.4em 0 .3em; border-bottom: 1px solid var(--line); }
h2 small, .about, .remark { color: var(--soft); font-weight: normal; }
.about { margin: .1em 0 1em; }
p, ul, dl, ol, table { margin: .4em 0; }
ul { padding-left: 1.2em; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .1em 1em; }
dt { color: var(--soft); }
dd { margin: 0; overflow-wrap: anywhere; }
.rows { list-style: none; padding: 0; }
.rows li { padding: .12em 0 .12em 1.6em; text-indent: -1.6em; overflow-wrap: anywhere; }
.rows b { font-weight: 600; }
.counts { color: var(--soft); font-variant-numeric: tabular-nums; }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
th, td { padding: .15em .8em .15em 0; text-align: right; border-bottom: 1px solid var(--line); }
th:first-child, td:first-child { text-align: left; }
svg { display: block; width: 100%; max-height: 120mm; margin: 1em 0; }
@page { margin: 16mm 14mm; }
@media print {
  :root { color-scheme: light; --ink: #000; --paper: #fff; --soft: #333; --line: #999; }
  body { margin: 0; max-width: none; padding: 0; font-size: 10pt; }
  h1, h2 { break-after: avoid; }
  li, tr, dt, dd, svg { break-inside: avoid; }
  section.short { break-inside: avoid; }
  p, li { orphans: 2; widows: 2; }
}
""".strip()

_SHORT = 12
"""Lines of a part that is kept together on a page."""


def as_html(sheet: Sheet) -> str:
    """The sheet as an HTML page, with a line feed at its end."""
    head = [
        "<!DOCTYPE html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\';'
        " style-src 'unsafe-inline'\">",
        f"<title>{_text(sheet.title)}</title>",
        f"<style>\n{_STYLE}\n</style>",
        "</head>",
        "<body>",
        f"<h1>{_text(sheet.title)}</h1>",
    ]
    about = [f'<p class="about">{_text(sheet.about)}</p>'] if sheet.about else []
    body = [*_blocks(sheet.blocks), *(_part(part) for part in sheet.parts)]
    return "\n".join([*head, *about, *body, "</body>", "</html>"]) + "\n"


def _text(text: str) -> str:
    """A stranger's text that no browser takes for a piece of the page."""
    return escape_html(plain(text), quote=True)


def _part(part: Part) -> str:
    aside = f" <small>({_text(part.aside)})</small>" if part.aside else ""
    lines = sum(_lines_of(block) for block in part.blocks)
    short = ' class="short"' if lines <= _SHORT else ""
    head = f"<h2>{_text(part.heading)}{aside}</h2>"
    return "\n".join([f"<section{short}>", head, *_blocks(part.blocks), "</section>"])


def _lines_of(block: Block) -> int:
    return len(block[0]) if block and isinstance(block[0], tuple) else 1


def _blocks(blocks: Iterable[Block]) -> list[str]:
    return [_WRITERS[type(block)](block) for block in blocks]


def _paragraph(block: Paragraph) -> str:
    return f"<p>{_text(block.text)}</p>"


def _points(block: Points) -> str:
    return _list("ul", "", (_text(text) for text in block.lines))


def _rows(block: Rows) -> str:
    return _list("ul", ' class="rows"', (_row(*row) for row in block.rows))


def _list(tag: str, attributes: str, items: Iterable[str]) -> str:
    return "\n".join([f"<{tag}{attributes}>", *(f"<li>{item}</li>" for item in items), f"</{tag}>"])


def _row(name: str, work: str, counts: str) -> str:
    if not name:
        return f'<span class="remark">{_text(work)}</span>'
    left = f' <span class="counts">[{_text(counts)}]</span>' if counts else ""
    return f"<b>{_text(name)}:</b> {_text(work)}{left}"


def _facts(block: Facts) -> str:
    told = (f"<dt>{_text(name)}</dt><dd>{_text(fact)}</dd>" for name, fact in block.facts)
    return "\n".join(["<dl>", *told, "</dl>"])


def _table(block: Table) -> str:
    head = _cells("th", ' scope="col"', block.head)
    lines = [_cells("td", "", line) for line in block.lines]
    return "\n".join(
        ["<table>", "<thead>", head, "</thead>", "<tbody>", *lines, "</tbody>", "</table>"]
    )


def _cells(tag: str, attributes: str, cells: Iterable[str]) -> str:
    return f"<tr>{''.join(f'<{tag}{attributes}>{_text(cell)}</{tag}>' for cell in cells)}</tr>"


_WRITERS: dict[type, Callable[[Any], str]] = {
    Paragraph: _paragraph, Points: _points, Facts: _facts, Rows: _rows, Table: _table,
    Drawing: as_svg,
}  # fmt: skip
