"""A later stage's file, or a new pattern, laid over what there is: as the text that an event keeps."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from tracker.pattern.joining import NothingNew, joined, replanned
from tracker.pattern.kept import NotKept, kept_text
from tracker.pattern.model import BIND_OFF, HEEL_FLAT, HEEL_PLACE, HEEL_ROUNDS
from tracker.pattern.tables import BadSection
from tracker.storage.files import Fault, FileTrouble, Lines
from tracker.storage.pattern_file import Tables, fault_of


def appended(there: Mapping[str, Any], given: Tables) -> str:
    """The pattern of which `there` are the tables, with what is new in a file.

    Raises FileTrouble where it does not go on from what there is, or tells nothing new.
    """
    return _kept(given, lambda: joined(there, given.document))


def new_pattern(there: Mapping[str, Any], given: Tables) -> str:
    """The pattern in a file, to be knitted instead of that in the tables `there`. Raises FileTrouble."""
    return _kept(given, lambda: replanned(there, given.document))


def _kept(given: Tables, tables: Callable[[], dict[str, Any]]) -> str:
    try:
        return kept_text(tables())
    except (NotKept, NothingNew) as bad:
        raise FileTrouble(given.source.name, [Fault(None, "", str(bad))]) from None
    except BadSection as bad:
        raise FileTrouble(given.source.name, [_fault(given, bad)]) from None


def _fault(given: Tables, bad: BadSection) -> Fault:
    """What is wrong, with its line in what she wrote: of a plan that of the table a section follows from."""
    if given.plan is None:
        return fault_of(Lines(given.source.text), bad)
    lines, fault = Lines(given.plan), fault_of(Lines(given.source.text), bad)
    field = bad.key if bad.index is None else _PLANNED_BY.get(bad.section, bad.section)
    return fault._replace(line=lines.of(field))


_PLANNED_BY = {
    "gusset": "heel", "graft": "toe", "draw up": "toe", BIND_OFF: "cuff",
    **dict.fromkeys((*HEEL_FLAT, HEEL_ROUNDS, HEEL_PLACE), "heel"),
}  # fmt: skip
"""The tables of a plan by which its sections are knitted, where that is another name."""
