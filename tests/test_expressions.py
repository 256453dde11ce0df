"""Expressions that are compiled late are right, every one, and are those of the standard library."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path

import pytest

from tracker.expressions import _Later, later

ROOT = Path(__file__).parents[1] / "tracker"
MODULES = sorted(
    ".".join(("tracker", *path.relative_to(ROOT).with_suffix("").parts))
    for path in ROOT.rglob("*.py")
    if "= later(" in path.read_text(encoding="utf-8")
)


@pytest.mark.parametrize("name", MODULES)
def test_every_one_can_be_compiled(name: str) -> None:
    found = [told for told in vars(import_module(name)).values() if isinstance(told, _Later)]
    assert found
    for expression in found:
        assert re.compile(*expression._told).pattern == expression.pattern


def test_it_is_the_compiled_one() -> None:
    rows = later(r"(?P<count>\d+) rows?", re.IGNORECASE)
    compiled = re.compile(r"(?P<count>\d+) rows?", re.IGNORECASE)
    for text in ("12 ROWS", "1 row, 2 rows", "none"):
        found, expected = rows.search(text), compiled.search(text)
        assert (found and found["count"]) == (expected and expected["count"])
        assert rows.sub("-", text) == compiled.sub("-", text)
        assert bool(rows.fullmatch(text)) == bool(compiled.fullmatch(text))
    assert (rows.flags, rows.groups, rows.groupindex) == (compiled.flags, 1, {"count": 1})
    assert rows.search is rows.search
    with pytest.raises(re.error):
        later("(").search("(")
