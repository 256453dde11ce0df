"""`instep check`: a file or a basket audited, and every problem with its place and a way out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from tracker.pattern.reading import read_pattern
from tracker.pattern.tables import BadSection, faults, strangers
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
    """Knit a plan or a pattern file stitch by stitch; every problem, in the order of the file.

    What is no pattern's key or of the wrong kind is named beside what does not come out. Nothing
    that would not be opened is said to be right.
    """
    try:
        source, document = open_tables(path)
    except FileTrouble as trouble:
        return [_fault(path, fault) for fault in trouble.faults]
    found = list(_of_tables(path, Lines(source.text), document))
    if not found:
        try:
            read_pattern(document, source.text)
        except BadSection as bad:
            found = [_of_section(path, Lines(source.text), bad)]
    return sorted(found, key=lambda problem: problem.line or 0)


def _of_tables(path: str, lines: Lines, document: dict[str, Any]) -> Iterator[Problem]:
    from tracker.pattern.audit import audit

    told = set()
    for bad in (*faults(document), *strangers(document)):
        told.add((bad.index, bad.key))
        yield _of_section(path, lines, bad)
    for found in audit(document):
        if (found.section_index, found.key) in told and found.row is None:
            continue  # the same, found twice
        if found.section_index == 0 and found.key == "section" and (None, "section") in told:
            continue
        line = lines.of_section(found.section_index, found.key, found.position)
        yield Problem(path, line, found.section, found.row, found.problem, found.instead)


def _of_section(path: str, lines: Lines, bad: BadSection) -> Problem:
    problem, _, instead = bad.why.partition("; ")
    if bad.index is None:
        return Problem(path, lines.of(bad.key), None, None, problem, instead)
    line = lines.of_section(bad.index, bad.key, bad.item)
    return Problem(path, line, shorten(bad.section), bad.row, problem, instead)


def _fault(path: str, fault: Any) -> Problem:
    what, _, instead = fault.why.partition("; ")
    what = f"{fault.field}: {what}" if fault.field else what
    return Problem(path, fault.line, None, None, what, instead)


def check_basket(basket: Basket) -> list[Problem]:
    """Verify every pair of a basket: its file, its chains, its patterns."""
    return [Problem("", None, None, None, line, "") for line in basket.check()]
