"""The tables of a pattern file's sections, as they are written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tracker.pattern.counts import Sock
    from tracker.pattern.plan import Plan

Table = dict[str, Any]


def section_table(
    kind: str, worked: str, names: Sequence[str], on: Sequence[int], *, rows: list[str], **more: Any
) -> Table:
    """A section of that kind, named after it: needles that hold `on`, and its rows."""
    return {
        "name": kind, "kind": kind, "worked": worked, "names": list(names), "needles": list(on),
        "rows": rows, **more,
    }  # fmt: skip


def on_instep(plan: Plan, sock: Sock, table: Table) -> Table:
    """A heel's set-up row that works the whole instep says so, where stripes or a repeat go on over it.

    It is said in the pattern, so that a pair begun from one without it keeps its stripes as they were.
    """
    charted = sock.lie is not None and sock.lie.on_foot
    works_it = table["kind"] == "heel set-up" and "onto" not in table
    if works_it and (charted or plan.of("colours.leg")):
        return table | {"on_instep": True}
    return table


def row_text(work: Sequence[str], counts: Sequence[Any]) -> str:
    """A row with its claim: the work of each needle, and what it leaves there."""
    return f"{' | '.join(work)} = {'/'.join(map(str, counts))}"
