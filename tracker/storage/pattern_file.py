"""Pattern files: what a plan computes to, written as TOML and read back; plans are computed on the way."""

from __future__ import annotations

from typing import Any

from tracker.pattern.model import FORMAT, Pattern
from tracker.pattern.reading import read_pattern
from tracker.pattern.tables import BadSection
from tracker.records import NamedTuple
from tracker.storage.files import Fault, FileTrouble, Lines, Source, read_source, read_toml, shown
from tracker.units import shorten


class Opened(NamedTuple):
    """A pattern, the tables it was read from, and what she should know about it."""

    pattern: Pattern
    document: dict[str, Any]
    notes: tuple[str, ...]
    source: Source


def open_file(path: str) -> Opened:
    """Open a plan or a pattern file. Raises FileTrouble with every fault found."""
    return open_source(read_source(path))


def open_source(source: Source) -> Opened:
    """Open a plan or a pattern file that was read. Raises FileTrouble with every fault found."""
    document = read_tables(source)
    if "section" in document:
        return Opened(_read(source, document, source.text), document, (), source)
    return computed(source, document)


def read_tables(source: Source) -> dict[str, Any]:
    """The tables of a plan or a pattern file that was read. Raises FileTrouble, of a pack too."""
    from tracker.storage.pack import is_pack  # acts on a pair open no file

    if is_pack(source.data):
        why = f"this is a packed pair; put it into the basket: instep unpack {shown(source.name)}"
        raise FileTrouble(source.name, [Fault(None, "", why)])
    return _tables(source)


def _tables(source: Source) -> dict[str, Any]:
    """Those of a plan or a pattern of a form that is known. Raises FileTrouble."""
    document = read_toml(source)
    form = document.get("format", FORMAT)
    if type(form) is int and 1 <= form <= FORMAT:
        return document
    why = f"this is no format; write format = {FORMAT}, or leave it out"
    if type(form) is int and form > FORMAT:
        newer = str(form) if form < 10**6 else "a large one"
        why = (
            f"this was written for a newer Instep (its format {newer}, this one reads {FORMAT}); update"
            " Instep"
        )
    raise FileTrouble(source.name, [Fault(Lines(source.text).of("format"), "format", why)])


def open_text(name: str, text: str) -> Pattern:
    """The pattern in a text that was kept. Raises FileTrouble."""
    return open_parsed(name, text, document_of(name, text))


def open_parsed(name: str, text: str, tables: dict[str, Any]) -> Pattern:
    """The same where the tables in that text are known. Raises FileTrouble."""
    return _read(Source(name, b"", text), tables, text)


def document_of(name: str, text: str) -> dict[str, Any]:
    """The tables in a text that was kept. Raises FileTrouble."""
    return _tables(Source(name, b"", text))


class Tables(NamedTuple):
    """A pattern file's tables, none of them counted; the notes beside those that a plan computes to.

    `plan` is the text of the plan they were computed from, None where they stand in the file themselves.
    """

    source: Source
    document: dict[str, Any]
    notes: tuple[str, ...]
    plan: str | None = None


def open_tables(path: str) -> Tables:
    """The tables of a pattern file as they stand, or those of a plan. Raises FileTrouble."""
    source = read_source(path)
    document = read_tables(source)
    if "section" in document:
        return Tables(source, document, ())
    opened = computed(source, document)
    as_written = opened.source._replace(text=opened.pattern.text)
    return Tables(as_written, opened.document, opened.notes, source.text)


OF_ONE_SIZE = (
    "foot.circumference", "foot.stitches", "foot.ankle", "foot.heel", "heel.rows", "heel.stitches",
    "heel.centre", "heel.picked_up", "leg.ease",
)  # fmt: skip
"""Fields of a plan that are left out where it is computed for a size, by its stitches around."""


def computed(source: Source, document: dict[str, Any], size: int | None = None) -> Opened:
    """A plan computed, as it stands or for a size. Raises FileTrouble."""
    from tracker.pattern.cuff_down import compute
    from tracker.pattern.plan import WillNotWork
    from tracker.storage.plan_file import read_plan

    _refuse_sections(source, document)
    plan = read_plan(source, document)
    if size is not None:
        for place in OF_ONE_SIZE:
            plan = plan.instead(place, None)
        plan = plan.instead("leg.stitches", size)
    try:
        made = compute(plan)
    except WillNotWork as bad:
        line = Lines(source.text).of(bad.field)
        why = str(bad) if size is None else f"size {size}: {bad}"
        raise FileTrouble(source.name, [Fault(line, bad.field, why)]) from None
    text = write(made.document)
    pattern = _read(source, made.document, text)
    return Opened(pattern, made.document, (*made.notes, *_yarn_told(pattern)), source)


def _refuse_sections(source: Source, document: dict[str, Any]) -> None:
    """What is no plan but has sections by another name is told so. Raises FileTrouble."""
    for key, value in document.items():
        tables = value if isinstance(value, list) else [value]
        if any(isinstance(table, dict) and {"rows", "worked"} <= table.keys() for table in tables):
            why = f'"{shorten(key)}" is no key of a pattern; write [[section]]'
            raise FileTrouble(source.name, [Fault(Lines(source.text).of(key), "", why)])


def _yarn_told(pattern: Pattern) -> tuple[str, ...]:
    """What the pair takes of the yarn that its plan tells of."""
    if pattern.yarn is None:
        return ()
    from tracker.knitting.course import Course
    from tracker.knitting.shares import stitches_by_colour
    from tracker.pattern.yarn import planned_note

    note = planned_note(pattern, stitches_by_colour(Course(pattern)))
    return (note,) if note else ()


def write(document: dict[str, Any]) -> str:
    """A pattern's tables as the text of a pattern file."""
    import tomli_w

    return tomli_w.dumps(document)


def _read(source: Source, document: dict[str, Any], text: str) -> Pattern:
    try:
        return read_pattern(document, text)
    except BadSection as bad:
        raise FileTrouble(source.name, [fault_of(Lines(text), bad)]) from None


def fault_of(lines: Lines, bad: BadSection) -> Fault:
    """What is wrong with a pattern, with its line in the text of the file."""
    if bad.index is None:
        return Fault(lines.of(bad.key), "", bad.why)
    place = bad.section if bad.row is None else f"{bad.section}, row {bad.row}"
    return Fault(lines.of_section(bad.index, bad.key, bad.item), "", f"{shorten(place)}: {bad.why}")
