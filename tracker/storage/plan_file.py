"""Plan files: TOML in, a Plan out, and every fault named with its line, its field and a way out."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from difflib import get_close_matches
from typing import Any

from tracker.pattern.colours import BadColour, are_letters, read_colour, read_letters, read_stripes
from tracker.pattern.orders import BadOrder, read_order
from tracker.pattern.plan import FIELDS, OF_A_FLAP, STAGE_FIELDS, Field, Plan
from tracker.pattern.repeat import HIGHEST
from tracker.pattern.sizes import foot_length
from tracker.pattern.stages import faults, nth
from tracker.pattern.tables import LONGEST_TEXT
from tracker.storage.files import MOST_FAULTS, Fault, FileTrouble, Lines, Source, shown
from tracker.units import BadLength, Length, Unit, read_length, shell_word, shorten

LONGEST_REPEAT = 1_000
"""Letters of a row of a repeat."""
EITHER = (
    ("foot", "length", "shoe"),
    ("cuff", "length", "rounds"),
    ("leg", "length", "rounds"),
)
"""Of these two fields a plan has exactly one."""


LEFT_TO_HER = ("foot", "gauge")
"""What a plan for a class leaves open: each knitter has a foot and a gauge of her own."""


class LeftOpen(FileTrouble):
    """A plan that is right but for what it leaves open of foot and gauge.

    `blanks` are the places that wait for their value ("foot.length" stands for the shoe, too).
    """

    def __init__(
        self,
        source: Source,
        document: Mapping[str, Any],
        blanks: tuple[str, ...],
        faults: list[Fault],
    ) -> None:
        super().__init__(source.name, faults)
        self.source, self.document, self.blanks = source, document, blanks
        if len(blanks) > 1:
            self.args = (f"{shown(source.name)}: {self.what}; {self.instead}",)

    @property
    def what(self) -> str:
        """ "foot and gauge are left open"."""
        there = {place.partition(".")[0] for place in self.blanks}
        tables = [table for table in LEFT_TO_HER if table in there]
        return f"{' and '.join(tables)} {'are' if len(tables) > 1 else 'is'} left open"

    @property
    def instead(self) -> str:
        """What to write, table by table, or where else to fill it in."""
        return (
            f"{self.to_write}; or fill them in on a terminal: instep {shell_word(self.source.name)}"
        )

    @property
    def to_write(self) -> str:
        """What to write, table by table."""
        told = []
        for table in LEFT_TO_HER:
            fields = [_example(place) for place in self.blanks if place.startswith(f"{table}.")]
            if fields:
                told.append(f"under [{table}] {_listed(fields)}")
        return f"write {', and '.join(told)}"


def _example(place: str) -> str:
    table, _, field = place.partition(".")
    example = FIELDS[table][field].example
    others = (other for name, one, other in EITHER if (name, one) == (table, field))
    return " or ".join([example, *(FIELDS[table][other].example for other in others)])


def _listed(fields: list[str]) -> str:
    *before, last = fields
    return f"{', '.join(before)} and {last}" if before else last


def read_plan(source: Source, document: Mapping[str, Any]) -> Plan:
    """The Plan in a parsed file.

    Raises FileTrouble with every fault that was found: LeftOpen where nothing is wrong but that foot or
    gauge are left open.
    """
    reading = _Reading(Lines(source.text))
    plan = reading.plan(document)
    if reading.faults:
        faults = sorted(reading.faults, key=_what_stands_there_first)
        in_order = [f"{name}.{field}" for name in FIELDS for field in FIELDS[name]]
        blanks = (
            tuple(sorted(reading.missing, key=in_order.index)) if _all_left_to_her(reading) else ()
        )
        if blanks:
            raise LeftOpen(source, document, blanks, faults)
        raise FileTrouble(source.name, faults)
    return plan


def _all_left_to_her(reading: _Reading) -> bool:
    """Whether nothing else is wrong."""
    if len(reading.missing) != len(reading.faults):
        return False
    return all(place.partition(".")[0] in LEFT_TO_HER for place in reading.missing)


def _what_stands_there_first(fault: Fault) -> tuple[bool, int]:
    """What is missing comes last, for a name misspelt above may explain it."""
    return fault.line is None, fault.line or 0


class _Reading:
    def __init__(self, lines: Lines) -> None:
        self.faults: list[Fault] = []
        self._lines = lines
        self._meant: set[str] = set()
        """Places that are there under a misspelt name: nobody misses them."""
        self.missing: list[str] = []

    def plan(self, document: Mapping[str, Any]) -> Plan:
        tables = {name: self._table(name, document) for name in FIELDS}
        self._strangers(document)
        self._of_a_flap(document, tables["heel"])
        self._needed(document, tables)
        leg, foot = (
            tables["leg"]["length"],
            tables["foot"]["circumference"] or tables["foot"]["length"],
        )
        given = leg or foot or tables["cuff"]["length"]
        unit: Unit = given.unit if isinstance(given, Length) else "cm"
        stages = document.get("stage", ())
        return Plan(tables, unit, tuple(stages) if isinstance(stages, list) else ())

    def _table(self, name: str, document: Mapping[str, Any]) -> dict[str, Any]:
        values = document if name == "" else document.get(name, {})
        if not isinstance(values, Mapping):
            self._fault(name, f"this is a table; write [{name}] on a line of its own")
            values = {}
        table = {}
        for field, rule in FIELDS[name].items():
            place = f"{name}.{field}" if name else field
            given = values.get(field)
            table[field] = rule.default if given is None else self._value(place, rule, given)
        if name:
            self._unknown(name, values, FIELDS[name])
        return table

    def _of_a_flap(self, document: Mapping[str, Any], heel: dict[str, Any]) -> None:
        """A heel without a flap has none of its fields, and none that was written is overlooked."""
        if heel["kind"] in (None, "flap"):
            return
        given = document.get("heel", {})
        told = [field for field in OF_A_FLAP if given.get(field) is not None]
        if told:
            are = "belong" if len(told) > 1 else "belongs"
            self._fault(
                f"heel.{told[0]}",
                f"{_listed(told)} {are} to a heel with a flap, this one is {heel['kind']}; leave it out, or "
                'write kind = "flap"',
            )
        heel |= dict.fromkeys(OF_A_FLAP)

    def _strangers(self, document: Mapping[str, Any]) -> None:
        known = {**FIELDS[""], **{name: None for name in FIELDS if name}, "stage": None}
        self._unknown("", document, known)
        stages = document.get("stage", [])
        if not isinstance(stages, list) or not all(isinstance(stage, Mapping) for stage in stages):
            self._fault("stage", "stages are written [[stage]], each on a line of its own")
            return
        for index, stage in enumerate(stages):
            self._unknown(nth("stage", index), stage, dict.fromkeys(STAGE_FIELDS))
        for bad in faults(stages):
            self._fault(f"{nth('stage', bad.place)}.{bad.field}", bad.why)

    def _unknown(self, table: str, values: Mapping[str, Any], known: Mapping[str, Any]) -> None:
        for field in values:
            if field in known or len(self.faults) >= MOST_FAULTS:
                continue
            place = f"{table}.{field}" if table else field
            near = get_close_matches(field, known, n=1, cutoff=0.5)
            if near:
                self._meant.add(f"{table}.{near[0]}" if table else near[0])
            names = [name for name in known if name]
            instead = f"did you mean {near[0]}?" if near else f"known are {', '.join(names)}"
            self._fault(shorten(place), f"this is not a field; {instead}")

    def _needed(self, document: Mapping[str, Any], tables: Mapping[str, Mapping[str, Any]]) -> None:
        for name, fields in FIELDS.items():
            for field, rule in fields.items():
                given = document if name == "" else document.get(name, {})
                if rule.needed and isinstance(given, Mapping) and field not in given:
                    self._missing(
                        name, field, rule.example or f'{field} = "{(rule.made or ("",))[0]}"'
                    )
        for name, one, other in EITHER:
            given = document.get(name, {})
            if not isinstance(given, Mapping):
                continue
            if one in given and other in given:
                self._fault(f"{name}.{other}", f"{one} is given, too; write one of the two")
            misspelt = {f"{name}.{one}", f"{name}.{other}"} & self._meant
            if name == "leg" and document.get("direction") == "toe-up":
                continue  # it may go on until the yarn ends
            if one not in given and other not in given and not misspelt:
                examples = f"{FIELDS[name][one].example} or {FIELDS[name][other].example}"
                self._missing(name, one, examples)
        foot = document.get("foot", {})
        if (
            isinstance(foot, Mapping)
            and "circumference" not in foot
            and tables["leg"]["stitches"] is None
        ):
            self._missing("foot", "circumference", FIELDS["foot"]["circumference"].example)

    def _missing(self, table: str, field: str, example: str) -> None:
        place = f"{table}.{field}" if table else field
        if {place, table} & self._meant:
            return
        under = f" under [{table}]" if table else " at the top"
        self.missing.append(place)
        self._fault(place, f"this is missing; write {example}{under}")

    def _value(self, place: str, rule: Field, given: Any) -> Any:
        readers = {
            "text": self._text, "length": self._length, "per": self._length, "count": self._count,
            "number": self._number, "texts": self._texts, "shoe": self._shoe,
            "colour": self._colour, "stripes": self._stripes, "order": self._order,
        }  # fmt: skip
        return readers[rule.kind](place, rule, given)

    def _text(self, place: str, rule: Field, given: Any) -> Any:
        if not isinstance(given, str) or not given.strip():
            example = (
                rule.example or f'{place.rpartition(".")[2]} = "{(rule.choices or ("...",))[0]}"'
            )
            return self._fault(place, f"{_shown(given)} is not a text; write {example}")
        if len(given) > LONGEST_TEXT:
            return self._fault(place, f"it has {len(given)} letters; write at most {LONGEST_TEXT}")
        if rule.choices:
            return self._choice(place, rule, given)
        return given

    def _choice(self, place: str, rule: Field, given: str) -> Any:
        pattern = re.sub(r"^every \d{1,4} rounds$", "every N rounds", given)
        made = rule.made or rule.choices
        if pattern in made:
            return given
        names = " or ".join(f'"{name}"' for name in made)
        if pattern in rule.choices:
            return self._fault(place, f'"{given}" is not worked by this version; write {names}')
        near = get_close_matches(given, made, n=1, cutoff=0.6)
        instead = f'"{near[0]}"' if near else names
        return self._fault(place, f'"{shorten(given)}" is not known; write {instead}')

    def _length(self, place: str, rule: Field, given: Any) -> Any:
        number = _shown(given)
        if isinstance(given, int | float) and not isinstance(given, bool):
            return self._fault(place, f"{number} has no unit; write {_with_units(number, rule)}")
        if not isinstance(given, str):
            example = rule.example or f'{place.rpartition(".")[2]} = "16 cm"'
            return self._fault(place, f"{number} is not a length; write {example}")
        if not given.strip(_FIGURES) and _units_that_fit(given, rule):
            return self._fault(
                place, f"{number} has no unit; write {_with_units(given.strip(), rule)}"
            )
        try:
            length = read_length(given)
        except BadLength as bad:
            return self._fault(place, str(bad))
        if not rule.low <= length.mm <= rule.high:
            return self._fault(place, _unit_slip(given, rule))
        return length

    def _count(self, place: str, rule: Field, given: Any) -> Any:
        if isinstance(given, bool) or not isinstance(given, int):
            return self._fault(place, f"{_shown(given)} is not a whole number; write one like 32")
        if not rule.low <= given <= rule.high:
            return self._fault(
                place, f"{_shown(given)} cannot be; write {rule.low:.0f} to {rule.high:.0f}"
            )
        return given

    def _number(self, place: str, rule: Field, given: Any) -> Any:
        if isinstance(given, bool) or not isinstance(given, int | float) or given != given:
            field = place.rpartition(".")[2]
            example = _as_number(given, field) or rule.example or f"{field} = 30"
            return self._fault(place, f"{_shown(given)} is not a number; write {example}")
        if not rule.low <= given <= rule.high:
            return self._fault(
                place, f"{_shown(given)} cannot be; write {rule.low:g} to {rule.high:g}"
            )
        return given

    def _texts(self, place: str, rule: Field, given: Any) -> Any:
        texts = isinstance(given, list) and all(isinstance(text, str) for text in given)
        example = place.rpartition(".")[2]
        if not texts:
            return self._fault(place, f'this is a list of texts; write {example} = ["k2, p2"]')
        if len(given) > HIGHEST:
            return self._fault(place, f"it has {len(given)} rows; write at most {HIGHEST}")
        longest = max(map(len, given), default=0)
        if longest > LONGEST_REPEAT:
            return self._fault(
                place, f"a row has {longest} letters; write at most {LONGEST_REPEAT}"
            )
        return list(given)

    def _colour(self, place: str, rule: Field, given: Any) -> Any:
        return self._read(place, lambda: read_colour(place.rpartition(".")[2], given), given)

    def _stripes(self, place: str, rule: Field, given: Any) -> Any:
        return self._read(place, lambda: _leg_colours(given), given)

    def _read(self, place: str, read: Callable[[], object], given: Any) -> Any:
        """`given`, once it could be read."""
        try:
            read()
        except BadColour as bad:
            return self._fault(place, str(bad))
        return given

    def _order(self, place: str, rule: Field, given: Any) -> Any:
        try:
            return read_order(given if isinstance(given, str) else _shown(given)).told
        except BadOrder as bad:
            return self._fault(place, str(bad))

    def _shoe(self, place: str, rule: Field, given: Any) -> Any:
        try:
            foot_length(given if isinstance(given, str) else _shown(given))
        except ValueError as bad:
            return self._fault(place, str(bad))
        return given

    def _fault(self, place: str, why: str) -> None:
        self.faults.append(Fault(self._lines.of(place), place, why))


def _leg_colours(given: Any) -> object:
    """The colours of leg and foot: stripes, or the letters of a chart."""
    return read_letters(given) if are_letters(given) else read_stripes(given)


def _shown(given: Any) -> str:
    """A value as the file has it, short enough for a message whatever it is."""
    if isinstance(given, str):
        return shorten(f'"{given}"', 30)
    if isinstance(given, bool):
        return str(given).lower()
    if isinstance(given, Mapping | list):
        return "a list" if isinstance(given, list) else "a table"
    if isinstance(given, int) and abs(given) >= 10**20:
        return "so large a number"
    return shorten(str(given), 30)


_FIGURES = "0123456789.,/- "


def _with_units(number: str, rule: Field) -> str:
    """A bare number with each unit that would do."""
    units = _units_that_fit(number, rule) or ("cm", "mm", "in")
    return " or ".join(f'"{number} {unit}"' for unit in units)


def _units_that_fit(number: str, rule: Field) -> tuple[Unit, ...]:
    """The units in which the number lies within the field's bounds."""
    units: tuple[Unit, ...] = ("cm", "mm", "in")
    fitting: list[Unit] = []
    for unit in units:
        with suppress(BadLength):
            if rule.low <= read_length(number, unit).mm <= rule.high:
                fitting.append(unit)
    return tuple(fitting)


def _unit_slip(given: str, rule: Field) -> str:
    """A length out of bounds: ask for the unit that would make it fit, never convert."""
    number = re.sub(r"\s*[A-Za-z\"]+\s*$", "", given.strip())
    for unit in _units_that_fit(number, rule):
        return f'"{shorten(given)}" cannot be; did you mean "{shorten(number)} {unit}"?'
    return f'"{shorten(given)}" cannot be; write {rule.low:g} to {rule.high:g} mm'


def _as_number(given: Any, field: str) -> str:
    """What was meant by a text such as "7,5" or "50 g", as it is to be written; "" where nobody can say."""
    found = _NUMBER_IN_WORDS.fullmatch(given) if isinstance(given, str) else None
    if found is None:
        return ""
    return f"{field} = {found[1]}{f'.{found[2]}' if found[2] else ''}"


_NUMBER_IN_WORDS = re.compile(r"\s*(\d{1,6})(?:[.,](\d{1,3}))?\s*[A-Za-z]*\s*", re.ASCII)
