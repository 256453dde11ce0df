"""Stages: the stretches of a pattern that a teacher gives out by a date."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from tracker.pattern.days import day_number
from tracker.records import NamedTuple
from tracker.units import shorten

MOST_STAGES = 100


class Stage(NamedTuple):
    """One stage: its number, the names of its sections, and its days (since 1970) or None.

    `both_socks` is true where both are to be knitted by then; `bring` is a stranger's text.
    """

    number: int
    sections: tuple[str, ...]
    opens: int | None = None
    knit_by: int | None = None
    both_socks: bool = False
    bring: str = ""


_HEELS = (
    ("heel set-up", "flap", "turn"),
    ("heel set-up", "heel first half", "heel second half"),
    ("heel", "heel graft"),
)
"""The sections without which a heel is none, by its construction."""
HEEL = (*dict.fromkeys(part for heel in _HEELS for part in heel), "heel rounds", "heel place")
"""The sections that any heel may have."""


def parts(name: str) -> tuple[str, ...]:
    """The sections that a stage may mean by a name: "heel" is all of it, "heel flap" the flap.

    Of a heel's a pattern has those of its construction alone.
    """
    if name == "heel":
        return HEEL
    return (name if name in HEEL else name.removeprefix("heel "),)


def is_there(name: str, names: Collection[str]) -> bool:
    """Whether a pattern with sections of those names has what a stage means by a name."""
    if name == "heel":
        return any(set(heel) <= set(names) for heel in _HEELS)
    return set(parts(name)) <= set(names)


def nth(table: str, index: int) -> str:
    """How a table that stands in a list is named where it is at fault: "stage", "stage 2", "stage 3"."""
    return f"{table} {index + 1}" if index else table


class BadStage(ValueError):
    """A stage that cannot be read: its place from 0, its field, and in one line why and what to write."""

    def __init__(self, place: int, field: str, why: str) -> None:
        self.place, self.field, self.why = place, field, why
        super().__init__(why)


def read_stages(tables: Any) -> tuple[Stage, ...]:
    """The stages of a plan or a pattern. Raises BadStage at the first that cannot be read."""
    for bad in faults(tables):
        raise bad
    return tuple(_read(table, place) for place, table in enumerate(tables))


def faults(tables: Any) -> Iterator[BadStage]:
    """Everything in the stages that cannot be read."""
    if not isinstance(tables, list | tuple) or len(tables) > MOST_STAGES:
        yield BadStage(0, "", f"stages are written [[stage]], at most {MOST_STAGES} of them")
        return
    for place, table in enumerate(tables):
        if not isinstance(table, Mapping):
            yield BadStage(place, "", "a stage is written [[stage]], on a line of its own")
            continue
        for field, right, instead in _RULES:
            if field in table and not right(table[field]):
                yield BadStage(place, field, f"{field} is not read; write {instead}")
        opens, knit_by = (table.get(field) for field in ("opens", "knit_by"))
        if _is_day(opens) and _is_day(knit_by) and day_number(opens) > day_number(knit_by):
            yield BadStage(place, "knit_by", "knit_by lies before opens; write a later day")


def _read(table: Mapping[str, Any], place: int) -> Stage:
    return Stage(
        int(table.get("number", place + 1)),
        tuple(str(name) for name in table.get("sections", ())),
        _day(table.get("opens")),
        _day(table.get("knit_by")),
        bool(table.get("both_socks", False)),
        str(table.get("bring", "")),
    )


def _day(value: Any) -> int | None:
    """A day, from a date of the file or a text like "2026-03-12"."""
    return None if value is None else day_number(value)


def _is_day(value: Any) -> bool:
    try:
        return _day(value) is not None
    except ValueError:
        return False


def _is_number(value: Any) -> bool:
    return type(value) is int and 0 < value <= MOST_STAGES


def _are_names(value: Any) -> bool:
    return isinstance(value, list) and all(
        isinstance(name, str) and len(name.strip()) > 0 and shorten(name) for name in value
    )


_RULES = (
    ("number", _is_number, "number = 1"),
    ("sections", _are_names, 'sections = ["cuff", "leg"]'),
    ("opens", _is_day, "opens = 2026-03-05"),
    ("knit_by", _is_day, "knit_by = 2026-03-12"),
    ("both_socks", lambda value: isinstance(value, bool), "both_socks = true"),
    ("bring", lambda value: isinstance(value, str), 'bring = "a darning needle"'),
)
