"""A plan's text with what was filled in: what stood there stays, word for word, its remarks too."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from tracker.storage.files import Lines


def filled(text: str, document: Mapping[str, Any]) -> str:
    """`text`, a plan, with all that `document` has more than it; where that cannot be, written anew."""
    import tomli_w

    there = tomllib.loads(text)
    lines = text.splitlines(keepends=True)
    top: dict[str, Any] = {}
    after: list[str] = []
    # From the last table up, so that no line moves before its turn.
    for table in sorted(document, key=lambda name: -(Lines(text).of(name) or 0)):
        value = document[table]
        if not isinstance(value, Mapping):
            top |= {} if table in there else {table: value}
            continue
        has = there.get(table, {})
        more = tomli_w.dumps({field: value[field] for field in value if field not in has})
        line = Lines(text).of(table) if table in there else None
        if line is not None:
            lines.insert(line, more)
        elif more:
            after.append(f"[{table}]\n{more}")
    begins = [tomli_w.dumps(top)] if top else []
    new = "\n".join([*begins, *(["".join(lines)] if text else []), *_in_order(after, document)])
    return new if _says(new, document) else tomli_w.dumps(document)


def _in_order(tables: list[str], document: Mapping[str, Any]) -> list[str]:
    order = [f"[{name}]" for name in document]
    return sorted(tables, key=lambda table: order.index(table.partition("\n")[0]))


def _says(text: str, document: Mapping[str, Any]) -> bool:
    try:
        return tomllib.loads(text) == document
    except tomllib.TOMLDecodeError:
        return False
