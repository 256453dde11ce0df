"""`instep check`: a file or a basket audited, and every problem with its place and a way out."""

from __future__ import annotations

from typing import Any, NamedTuple

from tracker.storage.basket import Basket
from tracker.storage.files import FileTrouble, Lines, shown
from tracker.storage.pattern_file import open_tables
from tracker.units import shorten


class Problem(NamedTuple):
    """Something wrong in a file: line, section and row where they are known, and what to write."""

    name: str
    line: int | None
    section: str | None
    row: int | None
    problem: str
    instead: str

    def as_json(self) -> dict[str, Any]:
        """As `instep check --json` gives it."""
        return {
            "line": self.line, "section": self.section, "row": self.row,
            "problem": self.problem, "instead": self.instead,
        }  # fmt: skip

    def line_for_people(self) -> str:
        """One line: where, what, and what to write instead."""
        where = [shown(self.name)]
        where += [f"line {self.line}"] if self.line is not None else []
        where += [shorten(self.section)] if self.section else []
        where += [f"row {self.row}"] if self.row is not None else []
        told = f"{', '.join(where)}: {self.problem}" if where[0] else self.problem
        return f"{told}; {self.instead}" if self.instead else told


def check_file(path: str) -> list[Problem]:
    """Knit a plan or a pattern file stitch by stitch. Raises FileTrouble only where it can't be read."""
    from tracker.pattern.audit import audit

    try:
        source, document = open_tables(path)
    except FileTrouble as trouble:
        return [_fault(path, fault) for fault in trouble.faults]
    lines = Lines(source.text)
    return _colour_problem(path, lines, document) + [
        Problem(
            path,
            lines.of_section(found.section_index, found.key, found.position),
            found.section,
            found.row,
            found.problem,
            found.instead,
        )
        for found in audit(document)
    ]


def _colour_problem(path: str, lines: Lines, document: dict[str, Any]) -> list[Problem]:
    """What is wrong with a pattern's colours, if anything: no row of it is knitted from them."""
    from tracker.pattern.colours import BadColour, read_colours

    try:
        read_colours(document.get("colours", {}))
    except BadColour as bad:
        what, _, instead = bad.why.partition("; ")
        line = lines.of(f"colours.{bad.field}".rstrip("."))
        return [Problem(path, line, None, None, f"colours: {what}", instead)]
    return []


def _fault(path: str, fault: Any) -> Problem:
    what, _, instead = fault.why.partition("; ")
    what = f"{fault.field}: {what}" if fault.field else what
    return Problem(path, fault.line, None, None, what, instead)


def check_basket(basket: Basket) -> list[Problem]:
    """Verify every pair of a basket: its file, its chains, its patterns."""
    return [Problem("", None, None, None, line, "") for line in basket.check()]
