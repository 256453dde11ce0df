"""The tables of a pattern file's sections, as they are written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

Table = dict[str, Any]


def section_table(
    kind: str, worked: str, names: Sequence[str], on: Sequence[int], *, rows: list[str], **more: Any
) -> Table:
    """A section of that kind, named after it: needles that hold `on`, and its rows."""
    return {
        "name": kind, "kind": kind, "worked": worked, "names": list(names), "needles": list(on),
        "rows": rows, **more,
    }  # fmt: skip


def row_text(work: Sequence[str], counts: Sequence[Any]) -> str:
    """A row with its claim: the work of each needle, and what it leaves there."""
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"
