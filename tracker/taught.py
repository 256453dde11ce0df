"""What a teacher gets of a pack: all that was done, without clock times, and of her words the questions.

Of an event numbers stay as they are. A text stays only where it is known to be the pattern's or the
program's own; every other, and so any that acts may hold one day, is left out. What is left replays to the
same rows, counts and changes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from tracker.knitting.asking import is_question, settles
from tracker.knitting.events import AS_FAR
from tracker.knitting.recolouring import REVERSED
from tracker.knitting.stripes import MAIN
from tracker.pattern.colours import BadColour, read_colours
from tracker.pattern.kept import kept_text, tables_of
from tracker.pattern.layout import LAYOUTS
from tracker.pattern.tables import without_strangers
from tracker.storage.chain import Row, encode, read_data
from tracker.storage.pack import Pack
from tracker.storage.pattern_file import document_of, write

_DAY = 86_400_000


def taught(whole: Pack) -> Pack:
    """A pack as a teacher gets it: every act at the start of the day it was last knitted, and of what
    she wrote beside her counts only the questions.
    """
    last = whole.rows[-1]
    day = (last.at + last.offset * 60_000) // _DAY * _DAY
    midnight = max(0, day - last.offset * 60_000)
    document = document_of(whole.short, whole.pattern_text)
    told = [(row, dict(read_data(row.data))) for row in whole.rows]
    words = _Words(whole.title, midnight, _colours(document, (data for _, data in told)))
    rows = (
        row._replace(at=midnight, offset=last.offset, data=encode(words.left(row, data)))
        for row, data in told
    )
    text = write(_taught_tables(document))  # without its remarks
    return whole._replace(rows=tuple(rows), pattern_text=text, for_teacher=True)


def _taught_tables(tables: Mapping[str, Any]) -> dict[str, Any]:
    """A pattern's tables without what only she goes by: the lot of her yarn, and keys of no pattern."""
    bare = without_strangers(tables)
    if isinstance(yarn := bare.get("yarn"), dict):
        bare["yarn"] = {key: value for key, value in yarn.items() if key != "lot"}
        if not bare["yarn"]:
            del bare["yarn"]
    return bare


def _colours(document: Mapping[str, Any], told: Iterable[Mapping[str, Any]]) -> dict[str, str]:
    """What a teacher reads for every colour: those of a pattern by their names, hers by a number."""
    named, own = {MAIN: MAIN}, list[str]()
    tables = [document]
    for data in told:
        if "pattern" in data:
            tables.append(tables_of(data["pattern"]))
        coloured = data.get("coloured")
        if isinstance(coloured, Mapping) and isinstance(name := coloured.get("name"), str):
            own.append(name)
    for table in tables:
        named |= {name: name for name in _named_in(table)}
    numbered = (f"own colour {number}" for number in range(1, len(own) + len(named) + 2))
    free = (name for name in numbered if name not in named)
    for name in dict.fromkeys(filter(None, own)):
        named.setdefault(name, next(free))
    return named


def _named_in(tables: Mapping[str, Any]) -> Iterable[str]:
    try:
        colours = read_colours(tables.get("colours", {}))
    except BadColour:
        return ()
    stripes = (stripe.name for stripe in colours.stripes)
    return filter(None, (colours.cuff, colours.heel, colours.toe, *stripes))


class _Words:
    """The texts of events, each left or left out by the field it stands in."""

    def __init__(self, title: str, midnight: int, colours: Mapping[str, str]) -> None:
        self._midnight, self._colours = midnight, colours
        self._rules: dict[str, Callable[[str], str]] = {
            **dict.fromkeys(_NO_WORDS_OF_HERS, str),
            **dict.fromkeys(("colour", "then", "coloured"), self._colour),
            "title": lambda text: text if text == title else "",
            "pattern": lambda text: kept_text(_taught_tables(tables_of(text))),
        }

    def left(self, row: Row, data: dict[str, Any]) -> dict[str, Any]:
        """What is left of the data of an event."""
        rules = dict(self._rules)
        if row.kind in _TEXTS:
            rules["text"] = _TEXTS[row.kind]
        if row.kind in ("changed", "copy"):
            rules["value"] = self._values(data.get("as"))
        if "acts" in data:
            # Ticks that were moved to the other sock keep the times at which they were made.
            acts = [{**act, "at": self._midnight} for act in data["acts"]]
            data = data | {"acts": acts}
        return {key: _left(key, value, rules) for key, value in data.items()}

    def _colour(self, name: str) -> str:
        return self._colours.get(name, "")

    def _values(self, kind: Any) -> Callable[[str], str]:
        """What is left of the value of a change of that kind."""
        if kind in _VALUES_WITHOUT_WORDS:
            return _figures
        return self._colour_value if kind == "colour" else _question

    def _colour_value(self, value: str) -> str:
        """ "cream", "cream, 2 of 3", "cream 3 rounds late, the rest as planned"; else her own words."""
        if value == REVERSED:
            return value
        place = _PLACE.search(value)
        at = place.start() if place else len(value)
        called = self._colour(value[:at])
        return f"{called}{value[at:]}" if called else ""


_NO_WORDS_OF_HERS = frozenset(
    {
        "as", "unit", "from", "name", "names", "order", "set", "rows", "sections", "until", "mends",
    }
)  # fmt: skip
"""Fields whose texts are chosen of a few, the pattern's own, or written by the program."""
_VALUES_WITHOUT_WORDS = frozenset(
    {"skipped-decrease", "extra-decrease", "needle", "set", "picked-up"}
)
_PLACE = re.compile(
    r"(?:, \d+ of \d+| \d+ (?:round|row)s? late)?(?:, the rest as planned)?\Z", re.ASCII
)
"""Where in its stripe a colour is, how late it came, and that the later stripes stay."""


_FIGURES = re.compile(r"[+-]?[0-9]{1,4}(?:[./][0-9]{1,4})*(?: mm|[+-])?", re.ASCII)


def _figures(value: str) -> str:
    """A size, stitches, chains, a set by its name, or by how many all borders moved."""
    return value if value in LAYOUTS or _FIGURES.fullmatch(value) else ""


def _question(text: str) -> str:
    return text if is_question(text) else ""


def _note(text: str) -> str:
    """That a question is settled stays, the words do not."""
    return _question(text) or "!" * settles(text)


_TEXTS: dict[str, Callable[[str], str]] = {
    "note": _note,
    "target": lambda text: text if text == AS_FAR else "",
}
"""What is left of the text of an act, by its kind; of any other nothing: its figure stands beside it."""


def _left(field: str, value: Any, rules: Mapping[str, Callable[[str], str]]) -> Any:
    """A value of a field, and all that is in it, with the texts that are left."""
    if isinstance(value, str):
        return rules[field](value) if field in rules else ""
    if isinstance(value, list):
        return [_left(field, one, rules) for one in value]
    if isinstance(value, dict):
        return {
            key: _left("coloured" if (field, key) == ("coloured", "name") else key, one, rules)
            for key, one in value.items()
        }
    return value
