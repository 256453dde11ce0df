"""From a pattern file's tables to a Pattern: every row counted, every claim checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple, cast

from tracker.pattern import notation
from tracker.pattern.model import (
    Gauge,
    Goal,
    Mark,
    Needle,
    Numbers,
    Pattern,
    Row,
    Section,
    Side,
    Waiting,
    Worked,
)
from tracker.pattern.notation import BadRow, Run
from tracker.units import read_length, shorten

MOST_ROWS = 5_000
"""A section has no more rows: work is bounded before it is done."""


class BadSection(ValueError):
    """A section that cannot be read: which, where in it, and why, in one line."""

    def __init__(self, section: str, row: int | None, why: str) -> None:
        self.section, self.row, self.why = section, row, why
        place = section if row is None else f"{section}, row {row}"
        super().__init__(f"{shorten(place)}: {why}")


class _Knit(NamedTuple):
    """A row's counts, whatever its number."""

    side: Side | None
    needles: tuple[Needle, ...]
    leaves: int
    worked: int
    before: tuple[int, ...]
    word: str


def read_pattern(document: Mapping[str, Any], text: str) -> Pattern:
    """The Pattern in a parsed pattern file whose text is `text`.

    Raises BadSection for the first section that does not come out.
    """
    sections: list[Section] = []
    for table in document["section"]:
        sections.append(_Reading(table, sections[-1] if sections else None).section())
    gauge = document.get("gauge")
    numbers = document.get("numbers")
    return Pattern(
        title=str(document.get("title", "untitled")),
        sections=tuple(sections),
        numbers=Numbers(**numbers, stitches_per_sock=_per_sock(sections)) if numbers else None,
        gauge=read_gauge(gauge) if gauge else None,
        unit=document.get("unit", "cm"),
        hand=document.get("hand", "right"),
        needle_set=document.get("needles", {}).get("set", "by hand"),
        text=text,
    )


def _per_sock(sections: Sequence[Section]) -> int:
    return sum(row.worked for section in sections for row in section.rows)


def read_gauge(table: Mapping[str, Any]) -> Gauge:
    """Stitches and rounds to 100 mm from a gauge table (`per` is a length such as "4 in")."""
    per = read_length(str(table["per"])).mm
    return Gauge(
        stitches=float(table["stitches"]) * 100 / per,
        rows=float(table["rows"]) * 100 / per,
        source=str(table.get("from", "round swatch")),
    )


class _Reading:
    """Reads one section's table, going on from the section before."""

    def __init__(self, table: Mapping[str, Any], before: Section | None) -> None:
        self._table = table
        self._name = str(table["name"])
        self._kind = str(table.get("kind", "other"))
        self._worked = cast(Worked, table["worked"])
        self._flat = self._worked == "rows"
        self._starts = tuple(table["needles"]) if "needles" in table else _ends(self._name, before)
        self._names = tuple(table.get("names") or _names(len(self._starts), self._flat))
        self._onto = table.get("onto")
        self._known: dict[tuple[str, tuple[int, ...]], _Knit] = {}

    def section(self) -> Section:
        rows = self._rows()
        goal = self._goal()
        return Section(
            name=self._name,
            kind=self._kind,
            worked=self._worked,
            needles=(self._onto,) if self._onto else self._names,
            starts=rows[0].before,
            waiting=self._waiting(),
            rows=tuple(rows),
            goal=goal,
            cycle=min(len(self._table["rows"]), len(rows)),
        )

    def _rows(self) -> list[Row]:
        rows: list[Row] = []
        holds = self._starts
        if "set_up" in self._table:
            holds = self._add(rows, 0, self._table["set_up"], holds)
        for number, text in enumerate(self._texts(), start=1):
            holds = self._add(rows, number, text, holds)
        if not rows:
            raise BadSection(self._name, None, "it has no rows")
        return rows

    def _texts(self) -> list[str]:
        first, body = list(self._table.get("first", ())), list(self._table["rows"])
        if "planned" in self._table:
            most = int(self._table["planned"])
        else:
            most = len(first) + len(body) * int(self._table.get("repeat", 1))
        if most > MOST_ROWS:
            raise BadSection(self._name, None, f"{most} rows are more than {MOST_ROWS}")
        times = -(-max(most - len(first), 0) // len(body)) if body else 0
        return (first + body * times)[:most]

    def _add(
        self, rows: list[Row], number: int, text: str, holds: tuple[int, ...]
    ) -> tuple[int, ...]:
        knit = self._known.get((text, holds))
        if knit is None:
            try:
                knit = self._known[text, holds] = self._knit(text, holds)
            except BadRow as bad:
                raise BadSection(self._name, number, str(bad)) from None
        rows.append(Row(number, *knit))
        return tuple(needle.leaves for needle in knit.needles)

    def _knit(self, text: str, holds: tuple[int, ...]) -> _Knit:
        row = notation.read_row(text)
        if self._onto:
            return self._knit_onto(row, holds)
        if len(row.segments) != len(holds):
            raise BadRow(f"{len(row.segments)} needles are written, {len(holds)} are in work")
        worked = 0
        needles = []
        runs_of_row: list[Run] = []
        for name, items, work, live in zip(
            self._names, row.segments, row.texts, holds, strict=True
        ):
            made, left = notation.runs(items, live)
            counts = notation.totals(made)
            if left and not (self._flat and row.turns) and (items or self._flat):
                raise BadRow(f"{left} stitches are left on {name}")
            worked += counts.made
            runs_of_row += made
            needles.append(Needle(name, work, counts.leaves + left, counts.made, self._plain(made)))
        leaves = sum(needle.leaves for needle in needles)
        self._check_claim(row.claim, tuple(needle.leaves for needle in needles))
        return _Knit(row.side, tuple(needles), leaves, worked, holds, self._word(row, runs_of_row))

    def _knit_onto(self, row: notation.RowText, holds: tuple[int, ...]) -> _Knit:
        made, left = notation.runs(row.segments[0], sum(holds))
        counts = notation.totals(made)
        waiting = sum(wait.stitches for wait in self._waiting())
        holding = sum(holds) - waiting
        if counts.leaves + left != sum(holds) or row.claim != (holding,):
            raise BadRow(f"the claim should be = {holding}")
        needle = Needle(str(self._onto), row.texts[0], holding, counts.made, plain=False)
        return _Knit(row.side, (needle,), holding, counts.made, (holding,), self._word(row, made))

    def _check_claim(self, claim: tuple[int, ...], leaves: tuple[int, ...]) -> None:
        right = "/".join(map(str, leaves))
        if len(claim) > 1 and claim != leaves:
            raise BadRow(f"it leaves {right}, the claim says {'/'.join(map(str, claim))}")
        if len(claim) == 1 and claim[0] != sum(leaves):
            raise BadRow(f"it leaves {sum(leaves)}, the claim says {claim[0]}")

    def _plain(self, made: Sequence[Run]) -> bool:
        return not self._flat and all(run.stitch in ("k", "p") for run in made)

    def _word(self, row: notation.RowText, made: Sequence[Run]) -> str:
        stitches = {run.stitch for run in made}
        if self._kind in ("heel set-up", "graft"):
            return {"heel set-up": "HEEL", "graft": "GRAFT"}[self._kind]
        if "pick up" in stitches:
            return "PICK"
        if self._flat:
            return "PURL" if row.side == "WS" else "KNIT"
        if stitches & notation.DECREASES:
            return "DEC"
        if stitches & notation.INCREASES:
            return "INC"
        return "PLAIN" if stitches <= {"k"} else "RIB"

    def _waiting(self) -> tuple[Waiting, ...]:
        names = self._table.get("resting_names", ())
        counts = self._table.get("resting")
        if counts is None:
            on = dict(zip(self._names, self._starts, strict=True))
            return tuple(Waiting(name, on[name]) for name in names)
        names = names or _names(len(counts), flat=False)
        return tuple(Waiting(name, count) for name, count in zip(names, counts, strict=True))

    def _goal(self) -> Goal | None:
        until = self._table.get("until")
        if until is None:
            return None
        mark: Mark = self._table.get("mark", "cast-on")
        return Goal(read_length(until).mm, mark, less_toe=self._table.get("less") == "toe")


def _names(needles: int, flat: bool) -> tuple[str, ...]:
    if needles == 1:
        return ("needle",) if flat else ("round",)
    return tuple(f"N{place}" for place in range(1, needles + 1))


def _ends(name: str, before: Section | None) -> tuple[int, ...]:
    if before is None:
        raise BadSection(
            name, None, "the first section needs its stitches: needles = [16, 16, 16, 16]"
        )
    return tuple(needle.leaves for needle in before.rows[-1].needles)
