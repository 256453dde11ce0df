"""The audit: knits every written row stitch by stitch, and says where it does not come out.

It shares nothing with the reader that opens pattern files but the notation itself: its parser, its
table of stitches and its way of counting are its own, so that a mistake there shows here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate
from typing import Any

from tracker.pattern.loom import (
    MOST_STITCHES,
    Fault,
    Loom,
    Made,
    TooMuch,
    Unfit,
    Unsaid,
    Written,
    as_meant,
)
from tracker.pattern.short_row_rules import BETWEEN, FIRST, SECOND, ShortRowRules, Wrong
from tracker.pattern.unsure import Guess, guessed, likely_worked, numbers_alone, reckoned
from tracker.pattern.waste_yarn import held, wrong_loops, wrong_place
from tracker.records import NamedTuple
from tracker.units import shorten

MOST_ROWS = 5_000
MOST_SECTIONS = 1_000
MOST_NEEDLES = 100


_RESTS = re.compile(r"\s*rest\s*\d{1,4}(?:\s*\|\s*rest\s*\d{1,4})*", re.ASCII)
"""Stitches that wait where a round begins, over one needle or over several."""
JOINED = "joined flap"
"""A flap that is worked upwards between the stitches of its gusset."""


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
    """A row as the loom made it: the stitches on every needle after it, and those it made.

    The needles stand in the order in which the row met them.
    """

    section: str
    row: int
    needles: tuple[int, ...]
    made: int


def audit(document: Mapping[str, Any]) -> tuple[Problem, ...]:
    """Every problem of a parsed pattern file, in order; none is hidden by the one before it.

    A row that is worked many times is named once, where it first goes wrong. After it the work
    goes on from what the row claims. Where it claims nothing, the rows after it are named for what
    cannot be whatever it left, until one of them or the next section says what is on the needles.
    Nothing a file holds makes this raise, or take long.
    """
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
    if len(sections) > MOST_SECTIONS:
        problem, instead = f"there are {len(sections)} sections", f"write at most {MOST_SECTIONS}"
        problems.append(Problem("", MOST_SECTIONS, "section", None, None, problem, instead))
        return
    loom = Loom()
    for number, table in enumerate(sections):
        if not isinstance(table, Mapping):
            problem = "a section is a table"
            problems.append(Problem("", number, "", None, None, problem, "write [[section]]"))
            loom.lose()
            continue
        after = sections[number + 1] if number + 1 < len(sections) else {}
        after = after if isinstance(after, Mapping) else {}
        try:
            yield from _Section(loom, problems, number, table, after).knit()
        except TooMuch:
            return


class _Row(NamedTuple):
    """A row to knit: where it stands in the section's table, its number, its text."""

    key: str
    position: int | None
    number: int
    text: Any
    meant: bool = False
    """Whether the text is not the row's own, but what its printed words mean."""


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
        named = isinstance(name, str) and bool(name.strip())
        self._name = shorten(str(name)[:100]) if named else f"section {index + 1}"
        if not named:
            self._problem("name", None, None, "the section has no name", 'write name = "leg"')
        self._flat = table.get("worked") == "rows"
        self._kind = table.get("kind") or self._kind_by_name()
        if self._kind == "flap" and self._takes_the_gusset_in():
            self._kind = JOINED
        self._first = self._body = self._last = 0
        self._texts: dict[int, Any] = {}
        """The rows to knit, by number."""
        self._found: tuple[int, ...] | None = None
        self._counted = False
        """Whether it is known on how many needles it is worked."""
        self._guess: Guess | None = None
        """What may be on the needles, since a row of this section that failed and claims nothing."""
        self._off: tuple[int, ...] = ()
        """What the claims say less what is there, since a row that was named for it."""
        self._chains = {"RS": 0, "WS": 0}
        self._waiting = 0
        self._named: set[tuple[str, int | None, str]] = set()
        self._short: ShortRowRules | None = None
        """What is asked of short rows, in a heel of them."""
        self._misshapen = False
        """Whether the turn is out of shape: from there on its gaps lie elsewhere."""
        self._sound: dict[tuple[str, int | None], tuple[tuple[int, ...], Made]] = {}
        """What a round came to that was right, and what was on the needles before it."""

    def _kind_by_name(self) -> str | None:
        """The turn of a heel by hand is one by its name, and is turned like any other."""
        name = self._table.get("name")
        named = isinstance(name, str) and re.search(r"\bturn(?:ing)?\b", name, re.IGNORECASE)
        return "turn" if named and self._flat else None

    def _takes_the_gusset_in(self) -> bool:
        """A flap that is worked upwards takes a stitch of the gusset with the last one of each row."""
        rows = self._table.get("rows")
        first = rows[0] if isinstance(rows, list) and rows else None
        return isinstance(first, str) and bool(re.search(r"\b(?:ssk|p2tog|k2tog)\b", first))

    def knit(self) -> Iterator[Knitted]:
        """Knit it, row by row. Raises TooMuch, which has been named, where there is no end to it.

        Where nobody knows what is on the needles its rows are still looked over, one by one, until
        one of them claims what each needle holds.
        """
        needles, resting = self._counts("needles"), self._counts("resting") or []
        rows = self._rows()
        if rows is None or needles == [] or not self._begin(needles, resting, rows):
            self._loom.lose()
        self._counted = needles is not None or not self._loom.lost
        self._loom.any_way = self._table.get("worked") not in ("rounds", "rows")
        is_open = "until" in self._table
        for row in rows or ():
            if self._loom.lost:
                self._skim(row)
                continue
            if is_open:
                self._note_beginning(row)
            knit = self._knit_row(row)
            if knit is not None:
                yield knit
                if is_open and not self._comes_back(row):
                    break
        if not self._loom.lost:
            self._lay_in_waste()
            self._at_the_end()
            self._loom.owed = sum(self._off)

    def _lay_in_waste(self) -> None:
        """The waste yarn of a heel's place, over stitches that a heel later takes up."""
        waste = held(self._table)
        if waste is None:
            return
        self._loom.waste = waste
        wrong = wrong_place(waste, self._loom.needles)
        if wrong is not None:
            self._problem("waste", None, None, *wrong)

    def _note_beginning(self, row: _Row) -> None:
        """What is on the needles before the rows of which nobody says how often they are worked."""
        if row.key == "rows" and row.number == self._first + 1:
            self._found = tuple(self._loom.needles)

    def _comes_back(self, row: _Row) -> bool:
        """Whether rows that are worked until it is long enough leave what they found."""
        ends_cycle = row.key == "rows" and row.number == self._first + self._body
        found, left = self._found, tuple(self._loom.needles)
        if not ends_cycle or found is None or found == left:
            return True
        problem = (
            f"worked once the rows go from {_counts(found)} to {_counts(left)},"
            " and until does not say how often"
        )
        instead = "write repeat or planned for until, or shape in rows that stand first"
        self._problem("until", None, None, problem, instead)
        self._loom.lose()
        return False

    def _skim(self, row: _Row) -> None:
        """Look over a row of which it is not known what it is worked on."""
        loom = self._loom
        known = len(loom.needles) if self._counted and loom.needles else None
        if row.key == "rows" and row.number > self._first + self._body:
            self._guess = None  # worked again: what could be said of them has been said
        try:
            written = loom.skim(row.text, self._flat, known)
        except Fault as fault:
            self._fault(row, fault)
            if (meant := self._as_meant(row)) is not None:
                self._skim(meant)
                return
            self._guess = guessed(self._guess, 0, loom.parsed(row.text))
            self._settle_side(row)
            loom.pass_over()
            return
        if self._takes_too_many(row, written) or self._claims_too_many(row, written):
            return
        if self._claims_other(row, written):
            return
        short = written.turns and self._kind != "flap"
        claim = written.claim
        if known and claim and not short and sum(claim) <= MOST_STITCHES and loom.go_on_from(claim):
            loom.lost = False
        else:
            loom.pass_over()

    def _takes_too_many(self, row: _Row, written: Written) -> bool:
        """Whether it takes more by its own numbers than can be there, whatever failed before it."""
        guess, says = self._guess, reckoned(written)
        if guess is None:
            return False
        if says.takes <= guess.most:
            return False
        problem = f"it takes {says.takes} stitches, {guess.there()}"
        self._problem(*row[:3], problem, f"take {says.takes - guess.most} fewer")
        self._guess = guessed(guess, 0, written)
        self._loom.pass_over()
        return True

    def _claims_too_many(self, row: _Row, written: Written) -> bool:
        """Whether it claims more than it can leave, where a short row failed before it.

        Such a claim is not believed: where the row works all that is known to be there, the work
        goes on from that, else the row is passed over.
        """
        guess, says, claim = self._guess, reckoned(written), written.claim
        self._guess = left = guess.after(says) if guess is not None else None
        if left is None or not left.short or sum(claim) <= left.most:
            return False
        known, loom = left.total, self._loom
        leaves = f"at most {left.most}" if known is None else f"{known}"
        instead = "count what the row leaves" if known is None else f"write = {known}"
        problem = f"it leaves {leaves}, the claim says {_counts(claim)}"
        self._problem(*row[:3], problem, instead)
        same = says.whole and not says.adds and not says.loses and known == sum(loom.needles)
        on = loom.needles if loom.side == "RS" else loom.needles[::-1]
        if same and loom.go_on_from(on):
            loom.lost = False
            there = on if len(claim) > 1 else [sum(on)]
            if len(claim) == len(there):
                self._off = tuple(said - left for said, left in zip(claim, there, strict=True))
        else:
            loom.pass_over()
        return True

    def _claims_other(self, row: _Row, written: Written) -> bool:
        """Whether a row of numbers alone claims other than these come to; it goes on from them."""
        claim, loom = written.claim, self._loom
        left = numbers_alone(written)
        if not claim or left is None or len(claim) > len(left):
            return False
        there = left if len(claim) > 1 else (sum(left),)
        guess = self._guess
        if guess is not None and guess.total is not None and sum(left) > guess.total:
            return False  # its numbers do not fit either: which is wrong is not known
        if claim == there or not self._counted:
            return False
        problem = f"it leaves {_counts(there)}, the claim says {_counts(claim)}"
        self._problem(*row[:3], problem, f"write = {_counts(there)}")
        if loom.go_on_from(left):
            loom.lost = False
            self._off = tuple(said - is_left for said, is_left in zip(claim, there, strict=True))
        else:
            loom.pass_over()
        return True

    def _as_meant(self, row: _Row) -> _Row | None:
        """A row in printed words as it would be written here; None where that is not sure.

        A flat one that is known by its number alone is worked on the side that comes next.
        """
        meant = as_meant(row.text) if isinstance(row.text, str) else None
        if meant is None:
            return None
        side = f"{self._loom.side}: " if self._flat and not _side_of(meant) else ""
        return row._replace(text=f"{side}{meant}", meant=True)

    def _fault(self, row: _Row, fault: Fault) -> None:
        """Name what is wrong with a row. Raises what there is no going on from."""
        if isinstance(fault, TooMuch):
            self._problem(*row[:3], fault.problem, fault.instead)
            raise fault
        instead, whole = fault.instead, as_meant(row.text) if isinstance(row.text, str) else None
        if self._flat and whole and not _side_of(row.text) and f'"{whole}"' in instead:
            side = _side_of(whole) or self._loom.side
            instead = f'write "{side}: {whole.removeprefix(f"{side}: ")}"'
        if not isinstance(fault, Unsaid):
            self._problem(*row[:3], fault.problem, instead)

    def _begin(self, needles: list[int] | None, resting: list[int], rows: list[_Row]) -> bool:
        """Put the stitches on the needles; whether the rows can be knitted."""
        loom = self._loom
        text = rows[0].text if rows and isinstance(rows[0].text, str) else ""
        side = _side_of(text) or "RS"
        if needles is None and loom.lost and self._problems:
            loom.side = side
            return False
        total = sum(needles or ()) + sum(resting)
        if total > MOST_STITCHES:
            self._problem(
                "needles", None, None, f"there are {total} stitches",
                f"write at most {MOST_STITCHES}",
            )  # fmt: skip
            return False
        rest = _RESTS.match(text)
        behind = sum(map(int, re.findall(r"\d+", rest[0]))) if rest and not self._flat else 0
        wrong = loom.begin(needles, sum(resting), self._flat, behind, side)
        if wrong:
            self._problem("needles", None, None, wrong, "write what the row before leaves")
        self._check_names()
        self._check_graft()
        return not loom.lost

    # What the table says

    def _counts(self, key: str) -> list[int] | None:
        """A list of counts; None where there is none, empty where it is wrong."""
        value = self._table.get(key)
        if value is None:
            return None
        right = isinstance(value, list) and 0 < len(value) <= MOST_NEEDLES
        if not right or not all(
            type(count) is int and 0 <= count <= MOST_STITCHES for count in value
        ):
            self._problem(
                key, None, None, f"{key} are counts of stitches, at most {MOST_STITCHES}",
                f"write {key} = [16, 16]",
            )  # fmt: skip
            return []
        return list(value)

    def _check_names(self) -> None:
        names, needles = self._table.get("names"), self._loom.needles
        if names is None:
            return
        if not isinstance(names, list) or not all(
            isinstance(name, str) and name.strip() for name in names
        ):
            problem, instead = "names are a list of texts", 'write names = ["N1", "N2"]'
        elif len(names) != len(needles) or len(set(names)) != len(names):
            problem = f"names are not one for each of {len(needles)} needles"
            instead = f"write {len(needles)} different names"
        else:
            return
        self._problem("names", None, None, problem, instead)

    def _check_graft(self) -> None:
        """Two needles with as many stitches each are grafted together."""
        needles = self._loom.needles
        if self._kind != "graft" or (len(needles) == 2 and needles[0] == needles[1]):
            return
        held = " and ".join(map(str, needles))
        problem = f"{held} stitches cannot be grafted together"
        self._problem("needles", None, None, problem, "have as many on each of two needles")

    def _rows(self) -> list[_Row] | None:
        """Every row to knit, in order; None where that is not said."""
        if self._table.get("worked") not in ("rounds", "rows"):
            likely = likely_worked(self._table)
            self._flat = likely == "rows"
            told = f'write worked = "{likely}"'
            self._problem("worked", None, None, "it is not said how it is worked", told)
        body, first = self._table.get("rows"), self._table.get("first", [])
        for key, texts, least in (("rows", body, 1), ("first", first, 0)):
            if not isinstance(texts, list) or len(texts) < least:
                self._problem(
                    key,
                    None,
                    None,
                    "it has no rows" if key == "rows" else "first is a list of rows",
                    f'write {key} = ["k"]',
                )
                return None
            if len(texts) > MOST_ROWS:
                problem, instead = f"there are {len(texts)} rows", f"write at most {MOST_ROWS}"
                self._problem(key, None, None, problem, instead)
                return None
        self._first, self._body = len(first), len(body or ())
        rows = list(self._in_order(body or [], first, self._times(self._body, self._first)))
        self._texts = {row.number: row.text for row in rows} if self._flat else {}
        if self._kind in (FIRST, BETWEEN, SECOND):
            self._short = ShortRowRules(str(self._kind), [row.text for row in rows])
            self._last = rows[-1].number
        return rows

    def _in_order(self, body: list[Any], first: list[Any], times: int) -> Iterator[_Row]:
        if "set_up" in self._table:
            yield _Row("set_up", None, 0, self._table["set_up"])
        for place, text in enumerate(first):
            yield _Row("first", place, place + 1, text)
        for number in range(times):
            place = number % len(body)
            yield _Row("rows", place, len(first) + number + 1, body[place])

    def _times(self, body: int, first: int) -> int:
        """How many rows of the body are knitted in all; once, where what is said cannot be."""
        planned, times = self._table.get("planned"), self._table.get("repeat")
        for key, value, example in (("planned", planned, 46), ("repeat", times, 3)):
            if value is not None and not (type(value) is int and 0 < value <= MOST_ROWS):
                problem = f"{key} is no whole number from 1 to {MOST_ROWS}"
                self._problem(key, None, None, problem, f"write {key} = {example}")
                return body
        if planned is not None and planned < first:
            problem = f"planned is less than the {first} rows that stand first"
            self._problem("planned", None, None, problem, "count them too")
            return body
        rows = body if times is None else times * body
        if self._has_goal():
            # Without a plan nobody knows how often; a second time must come out as well.
            rows = 2 * body
        rows = rows if planned is None else planned - first
        if rows > MOST_ROWS:
            key = "rows" if times is None else "repeat"
            problem, instead = f"{rows} rows are knitted", f"write at most {MOST_ROWS}"
            self._problem(key, None, None, problem, instead)
            return min(rows, body)
        return rows

    def _has_goal(self) -> bool:
        until = self._table.get("until")
        if until is None:
            return False
        if isinstance(until, str) and re.fullmatch(r"[\d\s.,/-]*\d", until.strip()):
            number = shorten(until.strip())
            problem = f'"{number}" has no unit'
            self._problem(
                "until", None, None, problem, f'write until = "{number} cm", or mm, or in'
            )
        elif not isinstance(until, str) or not re.search(r"\d[^\d]*(?:mm|cm|in)\s*$", until):
            self._problem("until", None, None, "until is no length", 'write until = "15 cm"')
        return True

    # A row

    def _knit_row(self, row: _Row) -> Knitted | None:
        loom, place = self._loom, (row.key, row.position)
        sound = self._sound.get(place)
        if sound is not None and loom.again(*sound):
            return Knitted(self._name, row.number, sound[1].needles, sound[1].stitches)
        on = tuple(loom.needles)
        side, left_behind, turned = loom.side, loom.worked(), loom.turned
        try:
            written, made = loom.work(row.text)
        except Fault as fault:
            if not self._follows(row, fault, sum(on)):
                self._fault(row, _out_of_reach(fault, left_behind))
            if (meant := self._as_meant(row)) is not None:
                return self._knit_row(meant)
            self._settle_side(row)
            self._go_on(row, left_behind, sum(on))
            return None
        problems = len(self._problems)
        if made.slips_first:
            self._chains[side] += 1
        self._check_shape(row)
        loom.turned = written.turns and not written.wraps
        self._tell(wrong_loops(loom.waste, written), row)
        if self._short is not None:
            last = row.number == self._last
            self._tell(self._short.look(loom, written, turned, last), row)
        if self._kind == "flap" and loom.waiting():
            loom.go_on_from(made.needles)
        else:
            loom.end_row(made.needles)
        self._check_claim(row, written, made)
        right = not self._off and len(self._problems) == problems
        if right and loom.repeatable and not self._flat:
            self._sound[place] = on, made
        return Knitted(self._name, row.number, made.needles, made.stitches)

    def _follows(self, row: _Row, fault: Fault, total: int) -> bool:
        """Whether a row finds too few only because the turn has been out of shape before it."""
        written = self._loom.parsed(row.text)
        if written is None or not self._misshapen or not isinstance(fault, Unfit):
            return False
        return reckoned(written).takes <= total

    def _check_claim(self, row: _Row, written: Written, made: Made) -> None:
        claim, needles = written.claim, made.needles
        if not claim:
            if made.crosses:
                problem = "a decrease lies across two needles; it stays on the first"
                self._problem(
                    row.key, row.position, row.number, problem, f"write = {_counts(needles)}"
                )
            return
        there: tuple[int, ...] = needles if len(claim) > 1 else (sum(needles),)
        if claim == there:
            self._off = ()
            return
        if len(claim) == 1 and claim[0] == self._onto():
            return
        if len(claim) == len(there):
            off = tuple(said - left for said, left in zip(claim, there, strict=True))
            if off == self._off or 0 != sum(off) == sum(self._off):
                return
            self._off = off
        leaves = _counts(there)
        problem = f"it leaves {leaves}, the claim says {_counts(claim)}"
        about = "claim" if row.meant else ""
        self._problem(*row[:3], problem, f"write = {leaves}", about)

    def _onto(self) -> int | None:
        """The heel needle that a set-up row leaves, where the next section is worked on it alone.

        Such a row may claim what that needle holds, or all stitches.
        """
        after = self._after.get("needles")
        if not self._flat or self._after.get("worked") != "rows" or "resting" not in self._after:
            return None
        if isinstance(after, list) and len(after) == 1 and isinstance(after[0], int):
            return after[0]
        return None

    def _check_shape(self, row: _Row) -> None:
        """What a row of a heel has to be beyond its counts."""
        place = row.key, row.position, row.number
        if not self._flat:
            return
        if self._kind == "turn":
            if row.number >= 3 and not self._misshapen and not self._bridges():
                self._misshapen = True
                problem, instead = (
                    "the decrease does not bridge the gap",
                    "work to 1 before the gap",
                )
                self._problem(*place, problem, instead)
            self._check_sides(row)
        elif self._kind == JOINED:
            self._check_join(row)
        elif self._kind == "flap" and self._loom.waiting():
            left = self._loom.waiting()
            problem = f"of the flap {left} {_are(left)} left unworked"
            self._problem(*place, problem, f"work {left} more")
        elif self._stands_inside_a_needle():
            problem = f"the turn after {self._loom.worked()} stitches stands inside a needle"
            self._problem(*place, problem, "turn at the end of the first needle of the heel")

    def _bridges(self) -> bool:
        """From row 3 of a turn on, a decrease takes stitches from either side of the gap.

        On one side they were worked in the row before, on the other they were not.
        """
        before = self._loom.serial - 1
        return all(
            one == before > other or other == before > one for one, other in self._loom.bridged
        )

    def _check_join(self, row: _Row) -> None:
        """A row takes one stitch of the gusset, across the gap; its other side was taken in the row before.

        The first two rows go out from the middle of the cup: there no row lies before them.
        """
        place, taken = (row.key, row.position, row.number), self._loom.bridged
        if row.number == len(self._texts) and not taken and not self._loom.waiting():
            return  # all are taken in, and she goes on in the round
        if len(taken) != 1:
            self._problem(
                *place, "the row takes no stitch of the gusset", "end it with one decrease"
            )
        elif row.number >= 3 and not self._bridges():
            problem = "the decrease does not bridge the gap"
            self._problem(*place, problem, "work to 1 before the gap")
        left = self._loom.waiting()
        if left and row.number == len(self._texts):
            self._problem(*place, f"of the gusset {left} {_are(left)} left", "take them in")

    def _check_sides(self, row: _Row) -> None:
        """After every second row of a turn as many stitches wait on one side as on the other."""
        before, self._waiting = self._waiting, self._loom.waiting()
        if row.number % 2 or before == self._waiting or self._misshapen:
            return
        self._misshapen = True
        problem = (
            f"the turn is lop-sided: {before} {_are(before)} left on one side,"
            f" {self._waiting} on the other"
        )
        self._problem(row.key, row.position, row.number, problem, "leave as many on both sides")

    def _stands_inside_a_needle(self) -> bool:
        """A heel is whole needles: it turns at the end of one, and begins at the start of another."""
        heel, needles = self._onto(), self._loom.needles
        if heel is None or len(needles) < 2:
            return False
        worked = self._loom.worked()
        if self._loom.stays:
            # No turn: the heel is the needles that come next, beyond the last of them the first.
            taken = sum(needles) - len(self._loom.ahead())
            return not {taken + heel, taken + heel - sum(needles)} & set(accumulate(needles))
        ends, starts = set(accumulate(needles)), {0, *accumulate(reversed(needles))}
        return worked not in ends or heel - worked not in starts

    def _go_on(self, row: _Row, left_behind: int, total: int) -> None:
        """Go on from the row's own claim where it says enough, else keep what can be guessed.

        `total` stitches were there before it, `left_behind` of them out of its reach. A set-up row is
        there to change the count: of what it leaves nothing can be guessed. In short rows a
        claim does not say where the point is.
        """
        claim, turns = self._said(row.text)
        short = self._flat and (left_behind > 0 or (turns and self._kind != "flap"))
        if short or not claim or sum(claim) > MOST_STITCHES or not self._loom.go_on_from(claim):
            self._loom.lose()
            before = None if row.key == "set_up" else Guess(total, total, short)
            self._guess = guessed(before, left_behind, self._loom.parsed(row.text))
            self._loom.pass_over()
        self._off = ()

    def _settle_side(self, row: _Row) -> None:
        """After a row that begins on the wrong side: the side it says, where the next agrees with it."""
        said, after = _side_of(row.text), _side_of(self._texts.get(row.number + 1))
        if self._flat and said and after and said != after:
            self._loom.side = said

    def _said(self, text: Any) -> tuple[tuple[int, ...], bool]:
        """A row's claim, even where the rest of it cannot be read, and whether it turns."""
        if not isinstance(text, str):
            return (), False
        end = text[-200:]
        found = re.search(r"=\s*(\d{1,4}(?:\s*/\s*\d{1,4})*)\s*$", end)
        claim = tuple(int(part) for part in found[1].split("/")) if found else ()
        return claim, "turn" in end or "w&t" in end

    def _tell(self, wrong: Wrong | None, row: _Row | None) -> None:
        """Note what is wrong with a heel of short rows, if anything is."""
        if wrong is None:
            return
        if row is None:
            last = len(self._table["rows"]) - 1
            self._problem("rows", last, None, wrong.problem, wrong.instead)
        else:
            self._problem(*row[:3], wrong.problem, wrong.instead)

    def _at_the_end(self) -> None:
        if self._named:
            return
        if self._short is not None:
            self._tell(self._short.at_the_end(self._loom), None)
        last = len(self._table["rows"]) - 1
        if self._kind == "flap" and self._chains["RS"] != self._chains["WS"]:
            one, other = self._chains["RS"], self._chains["WS"]
            problem = f"the edges have {one} and {other} slipped stitches"
            self._problem("rows", last, None, problem, "work as many RS rows as WS rows")
        closed = {
            "graft": ("the graft", "graft them all"),
            "draw up": ("drawing up", "draw all up"),
        }
        if self._kind in closed and self._loom.live():
            what, do = closed[self._kind]
            self._problem("rows", last, None, f"stitches are left after {what}", do)

    def _problem(
        self,
        key: str,
        position: int | None,
        row: int | None,
        problem: str,
        instead: str,
        about: str = "",
    ) -> None:
        """Note a problem; of a row that is worked many times, the first `about` the same."""
        if row is not None:
            if (key, position, about) in self._named:
                return
            self._named.add((key, position, about))
        self._problems.append(
            Problem(self._name, self._index, key, position, row, problem, instead)
        )


def _out_of_reach(fault: Fault, left_behind: int) -> Fault:
    """The same fault; where the row before turned early, its unworked stitches may be what is missing."""
    if not left_behind or not fault.problem.endswith(" there"):
        return fault
    return Fault(
        fault.problem,
        f"{fault.instead}, or work the {left_behind} that the row before left unworked",
    )


def _side_of(text: Any) -> str:
    """The side a row says it is worked on, or ""."""
    found = re.match(r"\s*(RS|WS)\s*:", text) if isinstance(text, str) else None
    return found[1] if found else ""


def _counts(needles: Sequence[int]) -> str:
    return "/".join(map(str, needles))


def _are(stitches: int) -> str:
    return "stitch is" if stitches == 1 else "stitches are"
