"""What is filled into a plan: what stood there stays, word for word."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from tracker.storage.filled import filled

CLASS = """\
# Thursdays at seven.
title = "Night ferry"   # bring a darning needle

[foot]
fabric = "plain"

[needles]
set = "five"
"""
FOOT = {"length": "24.5 cm", "circumference": "9 1/4 in"}
GAUGE = {"stitches": 30, "rows": 42.5, "per": "10 cm"}


def with_(text: str, **tables: Any) -> dict[str, Any]:
    document = tomllib.loads(text)
    for name, fields in tables.items():
        document[name] = (
            {**document.get(name, {}), **fields} if isinstance(fields, dict) else fields
        )
    return document


@pytest.mark.parametrize(
    "tables",
    [{}, {"foot": FOOT}, {"gauge": GAUGE}, {"foot": FOOT, "gauge": GAUGE, "knitter": "Ash"}],
    ids=["nothing", "a table that is there", "one that is not", "all, and the top"],
)
def test_every_line_stays_and_the_document_is_what_was_meant(tables: dict[str, Any]) -> None:
    document = with_(CLASS, **tables)
    text = filled(CLASS, document)
    assert tomllib.loads(text) == document
    left = iter(text.splitlines())
    assert all(line in left for line in CLASS.splitlines()), "in their order"


def test_nothing_is_added_to_what_is_whole() -> None:
    assert filled(CLASS, tomllib.loads(CLASS)) == CLASS


@pytest.mark.parametrize(
    "text",
    [
        "",
        'title = "x"\nfoot.fabric = "plain"\n',
        'title = "x"\nfoot = {fabric = "plain"}\n',
        'title = "x"\n[foot]',
        'title = "x"\r\n[foot]\r\nfabric = "plain"\r\n',
        "[[stage]]\nnumber = 1\nknit_by = 2026-03-12\n",
        'title = "x"\nknitter = """\n[foot]\n"""\n',
    ],
    ids=["empty", "dotted", "inline", "no end", "returns", "stages", "a table in a text"],
)
def test_whatever_its_form_it_says_what_was_meant(text: str) -> None:
    document = with_(text, foot=FOOT, gauge=GAUGE)
    assert tomllib.loads(filled(text, document)) == document
