"""The audit: knits every written row stitch by stitch, and says where it does not come out.

It shares nothing with the reader that opens pattern files but the notation itself: its parser, its
table of stitches and its way of counting are its own, so that a mistake there shows here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate
from typing import Any, NamedTuple

from tracker.pattern.loom import Fault, Loom, Written
from tracker.units import shorten

MOST_STITCHES = 2_000
MOST_ROWS = 5_000


class Problem(NamedTuple):
    """Something that does not come out: where it stands, what is wrong, what to write instead.

    `section_index` counts [[section]] from 0, `key` and `position` say which of its rows, `row` is
    the number of the row in which it first goes wrong (0: the set-up row).
    """

    section: str
    section_index: int
    key: str
    position: int | None
    row: int | None
    problem: str
    instead: str


class Knitted(NamedTuple):
    """A row as the loom made it: the stitches on every needle after it, and those it made."""

    section: str
    row: int
    needles: tuple[int, ...]
    made: int


def audit(document: Mapping[str, Any]) -> tuple[Problem, ...]:
    """Every problem of a parsed pattern file, in order; none is hidden by the one before it."""
    problems: list[Problem] = []
    for _ in _knit(document, problems):
        pass
    return tuple(problems)


def knitted(document: Mapping[str, Any]) -> Iterator[Knitted]:
    """Every row as the loom makes it, as far as it can be made."""
    return _knit(document, [])


def _knit(document: Mapping[str, Any], problems: list[Problem]) -> Iterator[Knitted]:
    """Knit all sections, one after the other."""
    sections = document.get("section")
    if not isinstance(sections, list) or not sections:
        problem = "there is no section"
        problems.append(Problem("", 0, "section", None, None, problem, "write [[section]]"))
        return
    loom = Loom()
    for number, table in enumerate(sections):
        if not isinstance(table, Mapping):
            problem = "a section is a table"
            problems.append(Problem("", number, "", None, None, problem, "write [[section]]"))
            continue
        after = sections[number + 1] if number + 1 < len(sections) else {}
        after = after if isinstance(after, Mapping) else {}
        yield from _Section(loom, problems, number, table, after).knit()


class _Section:
    """One section on the loom."""

    def __init__(
        self,
        loom: Loom,
        problems: list[Problem],
        index: int,
        table: Mapping[str, Any],
        after: Mapping[str, Any],
    ) -> None:
        self._loom, self._problems = loom, problems
        self._index, self._table, self._after = index, table, after
        name = table.get("name")
        self._name = name if isinstance(name, str) else f"section {index + 1}"
        self._kind = table.get("kind")
        self._flat = table.get("worked") == "rows"
        self._off = 0
        self._chains = {"RS": 0, "WS": 0}
        self._waiting = 0

    def knit(self) -> Iterator[Knitted]:
        """Knit it, row by row."""
        plan = self._plan()
        if plan is None:
            self._loom.lose()
            return
        needles, resting, rows = plan
        text = rows[0][3] if rows else ""
        side = "WS" if self._flat and isinstance(text, str) and text.lstrip()[:2] == "WS" else "RS"
        wrong = self._loom.begin(needles, sum(resting), self._flat, self._rest_first(text), side)
        if wrong:
            self._problem("needles", None, None, wrong, "write what the row before leaves")
            if needles is None:
                return
        for key, index, number, text in rows:
            knit = self._row(key, index, number, text)
            if knit is not None:
                yield knit
            elif self._loom.lost:
                return
        self._at_the_end()

    # What the table says

    def _plan(
        self,
    ) -> tuple[list[int] | None, list[int], list[tuple[str, int | None, int, Any]]] | None:
        if self._table.get("worked") not in ("rounds", "rows"):
            self._problem(
                "worked", None, None, "it is not said how it is worked", 'write "rounds" or "rows"'
            )
            return None
        needles = self._counts("needles")
        resting = self._counts("resting") or []
        rows = self._rows()
        if needles == [] or rows is None:
            return None
        if sum(needles or ()) + sum(resting) > MOST_STITCHES:
            self._problem(
                "needles",
                None,
                None,
                f"there are more than {MOST_STITCHES} stitches",
                "write fewer",
            )
            return None
        return needles, resting, rows

    def _counts(self, key: str) -> list[int] | None:
        """A list of counts; None where there is none, empty where it is wrong."""
        value = self._table.get(key)
        if value is None:
            return None
        right = isinstance(value, list) and 0 < len(value) <= 100
        if not right or not all(
            type(count) is int and 0 <= count <= MOST_STITCHES for count in value
        ):
            self._problem(
                key, None, None, f"{key} are counts of stitches", f"write {key} = [16, 16]"
            )
            return []
        return list(value)

    def _rows(self) -> list[tuple[str, int | None, int, Any]] | None:
        """(key, index, number, text) of every row to knit."""
        body, first = self._table.get("rows"), self._table.get("first", [])
        if not isinstance(body, list) or not body or not isinstance(first, list):
            self._problem("rows", None, None, "it has no rows", 'write rows = ["k"]')
            return None
        times = self._times(len(body), len(first))
        if times is None:
            return None
        rows: list[tuple[str, int | None, int, Any]] = []
        if "set_up" in self._table:
            rows.append(("set_up", None, 0, self._table["set_up"]))
        rows += [("first", n, n + 1, text) for n, text in enumerate(first)]
        for number in range(times):
            place = number % len(body)
            rows.append(("rows", place, len(first) + number + 1, body[place]))
        return rows

    def _times(self, body: int, first: int) -> int | None:
        """How many rows of the body are knitted in all."""
        planned, repeat = self._table.get("planned"), self._table.get("repeat", 1)
        if planned is not None:
            rows = planned - first if type(planned) is int else None
        elif "until" in self._table:
            rows = 2 * body
        else:
            rows = repeat * body if type(repeat) is int else None
        if rows is None or not 0 <= rows <= MOST_ROWS:
            self._problem(
                "repeat", None, None, "it is not said how often", f"write 1 to {MOST_ROWS // body}"
            )
            return None
        return rows

    def _rest_first(self, text: Any) -> int:
        """Stitches of the needle behind the point with which a round begins."""
        found = re.match(r"\s*rest\s*(\d{1,4})", text) if isinstance(text, str) else None
        return int(found[1]) if found and not self._flat else 0

    # A row

    def _row(self, key: str, index: int | None, number: int, text: Any) -> Knitted | None:
        loom = self._loom
        side = loom.side
        try:
            row, needles, made = loom.work(text)
        except Fault as fault:
            self._problem(key, index, number, fault.problem, fault.instead)
            self._go_on(text)
            return None
        if loom.first_slipped:
            self._chains[side] += 1
        self._check_bridges(key, index, number)
        self._check_sides(key, index, number)
        self._check_borders(key, index, number)
        loom.end_row(needles)
        self._check_claim(key, index, number, row, needles)
        return Knitted(self._name, number, tuple(needles), made)

    def _check_claim(
        self, key: str, index: int | None, number: int, row: Written, needles: Sequence[int]
    ) -> None:
        claim, total = row.claim, sum(needles)
        if not claim or (len(claim) == 1 and claim[0] - total == self._off):
            return
        if len(claim) == 1 and claim[0] == self._onto():
            return
        if (
            len(claim) > 1
            and sum(claim) - total == self._off
            and (self._off or claim == tuple(needles))
        ):
            return
        leaves = "/".join(map(str, needles)) if len(claim) > 1 else str(total)
        said = "/".join(map(str, claim))
        self._off = sum(claim) - total
        self._problem(
            key, index, number, f"it leaves {leaves}, the claim says {said}", f"write = {leaves}"
        )

    def _onto(self) -> int | None:
        """The heel needle that a set-up row leaves, where the next section is worked on it alone."""
        after = self._after.get("needles")
        if not self._flat or self._after.get("worked") != "rows" or "resting" not in self._after:
            return None
        return after[0] if isinstance(after, list) and len(after) == 1 else None

    def _check_bridges(self, key: str, index: int | None, number: int) -> None:
        """From row 3 of a turn on, a decrease takes one stitch on either side of the gap."""
        if self._kind != "turn" or number < 3:
            return
        before = self._loom.serial - 1
        for one, other in self._loom.bridged:
            if not (one == before > other or other == before > one):
                self._problem(
                    key, index, number, "the decrease does not bridge the gap",
                    "work to one stitch before the gap",
                )  # fmt: skip

    def _check_sides(self, key: str, index: int | None, number: int) -> None:
        """After every second row of a turn as many stitches wait on one side as on the other."""
        before, self._waiting = self._waiting, self._loom.waiting()
        if self._kind != "turn" or number % 2 or before == self._waiting:
            return
        problem = f"the turn is lop-sided: {before} stitches wait on one side, {self._waiting} on the other"
        self._problem(key, index, number, problem, "let both sides wait alike")

    def _check_borders(self, key: str, index: int | None, number: int) -> None:
        """A heel is whole needles: it turns at the end of one, and begins at the start of another."""
        heel, needles = self._onto(), self._table.get("needles")
        if heel is None or not isinstance(needles, list) or len(needles) < 2:
            return
        worked = self._loom.worked()
        if worked in accumulate(needles) and heel - worked in accumulate(reversed(needles)):
            return
        problem = f"the turn after {worked} stitches stands inside a needle"
        self._problem(
            key, index, number, problem, "turn at the end of the first needle of the heel"
        )

    def _go_on(self, text: Any) -> None:
        """Go on from the row's own claim where it says enough, else not until the next section."""
        try:
            claim = self._loom.parsed(text).claim
        except Fault:
            found = (
                re.search(r"=\s*(\d{1,4}(?:\s*/\s*\d{1,4})*)\s*$", text)
                if isinstance(text, str)
                else None
            )
            claim = tuple(int(part) for part in found[1].split("/")) if found else ()
        needles = self._loom.needles
        if self._kind != "turn" and len(claim) == len(needles):
            self._loom.go_on_from(claim)
        elif self._kind != "turn" and len(claim) == 1 and claim[0] == sum(needles):
            self._loom.go_on_from(needles)
        else:
            self._loom.lose()

    def _at_the_end(self) -> None:
        last = len(self._table["rows"]) - 1
        if self._kind == "flap" and self._chains["RS"] != self._chains["WS"]:
            one, other = self._chains["RS"], self._chains["WS"]
            problem = f"the edges have {one} and {other} slipped stitches"
            self._problem("rows", last, None, problem, "work an even number of rows")
        if self._kind == "graft" and self._loom.live():
            self._problem("rows", last, None, "stitches are left after the graft", "graft them all")

    def _problem(
        self, key: str, index: int | None, row: int | None, problem: str, instead: str
    ) -> None:
        self._problems.append(
            Problem(shorten(self._name), self._index, key, index, row, problem, instead)
        )
