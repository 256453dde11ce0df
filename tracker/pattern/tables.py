"""A pattern file's tables, looked over before they are read: every value is of its kind, and bounded."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, get_args

from tracker.pattern.model import Mark, Numbers, Worked
from tracker.records import NamedTuple
from tracker.units import BadLength, read_length, shorten

LARGEST = 10_000
"""No count of stitches or rows is larger."""
MOST_NEEDLES = 100
MOST_YARN = 50_000
"""Grams or metres of yarn for a pair."""
MOST_SECTIONS = 1_000
"""No pattern has more sections: work is bounded before it is done."""
LONGEST_TEXT = 200
"""Letters of a title, a name, or any other text that is no row."""


class BadSection(ValueError):
    """A pattern that cannot be read: the section, its row, and why, in one line.

    `section` is empty at the top of the file. `index` says which [[section]] it is, from 0,
    `key` and `item` which field of it, and which of a list.
    """

    def __init__(
        self,
        section: str,
        row: int | None,
        why: str,
        *,
        key: str = "rows",
        item: int | None = None,
        index: int | None = None,
    ) -> None:
        self.section, self.row, self.why = section, row, why
        self.key, self.item, self.index = key, item, index
        super().__init__(why)


class _Rule(NamedTuple):
    """What a field has to be: a test of its value, and what to say and write instead."""

    right: Callable[[Any], bool]
    instead: str
    needed: bool = False


def _row(value: Any) -> bool:
    """A row; how long one may be its readers say."""
    return isinstance(value, str) and bool(value.strip())


def _text(value: Any) -> bool:
    return isinstance(value, str) and 0 < len(value.strip()) <= LONGEST_TEXT


def _texts(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(text, str) for text in value)


def _names(value: Any) -> bool:
    return isinstance(value, list) and all(_text(name) for name in value)


MOST_WASHED = 1.5
"""Times as many rows before washing as after it, or as few: more is a slip."""


def _one_of(*words: str) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, str) and value in words


def _count(value: Any, least: int = 1) -> bool:
    return type(value) is int and least <= value <= LARGEST


def _counts(value: Any) -> bool:
    is_list = isinstance(value, list) and 0 < len(value) <= MOST_NEEDLES
    return is_list and all(_count(count, 0) for count in value)


def _gauge(value: Any) -> bool:
    if not isinstance(value, Mapping) or not isinstance(value.get("per"), str):
        return False
    try:
        per = read_length(value["per"]).mm
    except BadLength:
        return False
    numbers: list[Any] = [value.get("stitches"), value.get("rows")]
    unwashed: Any = value.get("unwashed_rows", value.get("rows"))
    if not per > 0 or not all(
        type(number) in (int, float) and 0 < number < LARGEST for number in (*numbers, unwashed)
    ):
        return False
    return bool(1 / MOST_WASHED < unwashed / numbers[1] < MOST_WASHED)


def _numbers(value: Any) -> bool:
    known = set(Numbers._fields) - {"stitches_per_sock"}
    return (
        isinstance(value, Mapping)
        and "cast_on" in value
        and known >= set(value)
        and all(
            type(number) in (int, float) and abs(number) <= LARGEST for number in value.values()
        )
    )


def _factor(value: Any) -> bool:
    """A table of a plan whose row_factor, if it has one, is a number that can be worked with."""
    if not isinstance(value, Mapping):
        return False
    factor: Any = value.get("row_factor", 1)
    return type(factor) in (int, float) and 0.1 <= factor <= 10


def _yarn(value: Any) -> bool:
    if not isinstance(value, Mapping):
        return False
    told: list[Any] = [value[name] for name in ("grams", "metres") if name in value]
    return all(type(number) in (int, float) and 0 <= number <= MOST_YARN for number in told)


def _needles(value: Any) -> bool:
    return isinstance(value, Mapping) and isinstance(value.get("set", ""), str)


_TOP: Mapping[str, _Rule] = {
    "title": _Rule(_text, 'title is a text; write title = "Night ferry"'),
    "unit": _Rule(_one_of("mm", "cm", "in"), 'unit is not known; write "mm", "cm" or "in"'),
    "hand": _Rule(_one_of("right", "left"), 'hand is not known; write "right" or "left"'),
    "gauge": _Rule(
        _gauge,
        'gauge does not say enough; write [gauge], stitches = 20, rows = 28 and per = "10 cm"',
    ),
    "numbers": _Rule(_numbers, "numbers are not those of a pattern; leave [numbers] out"),
    "needles": _Rule(_needles, 'needles are a table; write [needles] and set = "five"'),
    "cuff": _Rule(
        _factor, "cuff is a table of the plan; write row_factor = 1.05, or leave [cuff] out"
    ),
    "yarn": _Rule(_yarn, "yarn is a table; write [yarn], grams = 100 and metres = 420"),
    "leg": _Rule(_factor, "leg is a table of the plan; write row_factor = 1.0, or leave [leg] out"),
}
_SECTION: Mapping[str, _Rule] = {
    "name": _Rule(_text, 'name is a text; write name = "leg"', needed=True),
    "kind": _Rule(_text, 'kind is a text; write kind = "leg"'),
    "worked": _Rule(
        _one_of(*get_args(Worked)), 'worked is not known; write "rounds" or "rows"', needed=True
    ),
    "needles": _Rule(_counts, "needles are a list of counts; write needles = [16, 16, 16, 16]"),
    "names": _Rule(_names, 'names are a list of texts; write names = ["N1", "N2"]'),
    "rows": _Rule(_texts, 'rows are a list of texts; write rows = ["k"]', needed=True),
    "first": _Rule(_texts, 'first is a list of texts; write first = ["k"]'),
    "set_up": _Rule(_row, 'set_up is one row; write set_up = "k"'),
    "repeat": _Rule(lambda value: _count(value, 0), "repeat is a whole number; write repeat = 3"),
    "planned": _Rule(_count, "planned is a whole number above nought; write planned = 46"),
    "until": _Rule(
        lambda value: isinstance(value, str), 'until is a length; write until = "15 cm"'
    ),
    "mark": _Rule(
        _one_of(*get_args(Mark)),
        'mark is not known; write "cast-on", "cuff", "heel" or "section"',
    ),
    "less": _Rule(
        _one_of("toe", "heel"), 'less is not known; write less = "toe", or "heel" from the toe up'
    ),
    "on_instep": _Rule(
        lambda value: isinstance(value, bool), "on_instep is true or false; write on_instep = true"
    ),
    "waste": _Rule(_count, "waste is how many stitches the waste yarn holds; write waste = 32"),
    "onto": _Rule(_text, 'onto is a text; write onto = "heel"'),
    "resting": _Rule(_counts, "resting are counts; write resting = [16, 16]"),
    "resting_names": _Rule(_names, 'resting_names are texts; write resting_names = ["N2", "N3"]'),
}


def sections_of(document: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The sections' tables of a parsed pattern file, every value of its kind. Raises BadSection."""
    for fault in faults(document):
        raise fault
    tables: list[Mapping[str, Any]] = document["section"]
    return tables


def faults(document: Mapping[str, Any]) -> Iterator[BadSection]:
    """Every value that is not of its kind, and every one that is missing."""
    yield from _look_over(document, _TOP, "", None)
    tables = document.get("section")
    if isinstance(tables, Mapping):
        yield BadSection(
            "", None, "sections are a list of tables; write [[section]]", key="section"
        )
        return
    if not isinstance(tables, list) or not tables:
        yield BadSection("", None, "there are no sections; write [[section]]", key="section")
        return
    if len(tables) > MOST_SECTIONS:
        why = f"there are {len(tables)} sections; write at most {MOST_SECTIONS}"
        yield BadSection("", None, why, key="section")
        return
    for index, table in enumerate(tables):
        if not isinstance(table, Mapping):
            yield BadSection("", None, "a section is written [[section]]", key="section")
            return
        yield from _look_over(table, _SECTION, _called(table, index), index)


def strangers(document: Mapping[str, Any]) -> Iterator[BadSection]:
    """Every key that no pattern file has: most often a slip of the pen, which does nothing."""
    from tracker.pattern.plan import FIELDS

    yield from _unknown(document, {*_TOP, *FIELDS[""], *FIELDS, "section", "stage"}, "", None)
    tables = document.get("section")
    for index, table in enumerate(tables if isinstance(tables, list) else ()):
        if isinstance(table, Mapping):
            yield from _unknown(table, set(_SECTION), _called(table, index), index)


def without_strangers(document: Mapping[str, Any]) -> dict[str, Any]:
    """A pattern's tables with the keys alone that a pattern file or a plan has, in every table of it."""
    from tracker.pattern.plan import FIELDS, STAGE_FIELDS

    inside = {name: {*fields} for name, fields in FIELDS.items()}
    inside |= {"section": {*_SECTION}, "stage": {*STAGE_FIELDS}, "numbers": {*Numbers._fields}}
    top = {*_TOP, *inside[""], *inside}
    return {
        key: _known(value, inside[key]) if key in inside else value
        for key, value in document.items()
        if key in top
    }


def _known(value: Any, fields: set[str]) -> Any:
    """What of a table, or of each of several, is known."""
    if isinstance(value, list):
        return [_known(one, fields) for one in value]
    if isinstance(value, Mapping):
        return {key: one for key, one in value.items() if key in fields}
    return value


def _unknown(
    table: Mapping[str, Any], known: set[str], section: str, index: int | None
) -> Iterator[BadSection]:
    from difflib import get_close_matches

    for key in table:
        if key not in known:
            near = get_close_matches(key, known, n=1, cutoff=0.7)
            instead = f"write {near[0]}" if near else "leave it out"
            why = f'"{shorten(key)}" is no key of a pattern; {instead}'
            yield BadSection(section, None, why, key=key, index=index)


def _called(table: Mapping[str, Any], index: int) -> str:
    name = table.get("name")
    return name if isinstance(name, str) and _text(name) else f"section {index + 1}"


def _look_over(
    table: Mapping[str, Any], rules: Mapping[str, _Rule], section: str, index: int | None
) -> Iterator[BadSection]:
    for key, rule in rules.items():
        if key not in table:
            if rule.needed:
                why = f"{key} is missing; write {rule.instead.partition('write ')[2]}"
                yield BadSection(section, None, why, key=key, index=index)
        elif not rule.right(table[key]):
            yield BadSection(section, None, rule.instead, key=key, index=index)
