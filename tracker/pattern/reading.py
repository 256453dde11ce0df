"""From a pattern file's tables to a Pattern: every row counted, every claim checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, cast

from tracker.pattern import notation
from tracker.pattern.colours import BadColour, Colours, read_colours
from tracker.pattern.marks import from_own_beginning, marks_of, rows_to_plan
from tracker.pattern.model import (
    AT_SIDE,
    FEET,
    HALF_SOLE,
    HEEL_FLAT,
    HEEL_PLACE,
    LIKENESSES,
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
    Yarn,
    are_socks,
)
from tracker.pattern.notation import BadRow
from tracker.pattern.orders import BadOrder, Order, read_order
from tracker.pattern.spread import Share, is_plain, spread_out
from tracker.pattern.stages import BadStage, Stage, read_stages
from tracker.pattern.tables import BadSection, sections_of
from tracker.records import NamedTuple
from tracker.units import BadLength, Unit, read_length, shorten

MOST_ROWS = 5_000
"""A section has no more rows: work is bounded before it is done."""
MOST_ROWS_IN_ALL = 4 * MOST_ROWS
"""Nor has a whole pattern."""


_KEPT = 40
"""Runs of a needle's work that is kept to be found again; of longer work hardly any comes again."""


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

    Raises BadSection at the first place that cannot be read or does not come out.
    """
    sections: list[Section] = []
    rows = 0
    reading: _Reading | None = None
    tables = sections_of(document)
    given = document.get("gauge")
    gauge = _with_factors(read_gauge(given), document) if given else None
    for index, table in enumerate(tables):
        reading = _Reading(index, table, reading, sections, gauge)
        sections.append(reading.section())
        rows += len(sections[-1].rows)
        if rows > MOST_ROWS_IN_ALL:
            raise BadSection(
                "", None, f"{rows} rows are more than {MOST_ROWS_IN_ALL}", key="section"
            )
    feet = _feet(document.get("toe"), sections)
    title = str(document.get("title", "untitled"))
    stages = _stages(document.get("stage", ()))
    names = ((section.name, section.kind) for section in sections)
    return Pattern(
        title=title,
        sections=tuple(sections),
        numbers=_numbers(document.get("numbers"), sections),
        gauge=gauge,
        unit=document.get("unit") or _unit_of(tables),
        hand=document.get("hand", "right"),
        needle_set=document.get("needles", {}).get("set", "by hand"),
        text=text,
        of_socks="numbers" in document or are_socks(title, names, stages),
        colours=_colours(document.get("colours", {})),
        yarn=_yarn(document.get("yarn", {})),
        stages=stages,
        order=_order(document.get("pair")),
        spare_set=str(document.get("needles", {}).get("spare_set", "")),
        needle_mm=_needle_mm(document.get("needles", {}).get("size")),
        at_side=document.get("needles", {}).get("set") in AT_SIDE,
        gap=_gap(document.get("heel")),
        likeness=_likeness(document.get("pair")),
        feet=feet,
        toe_up=document.get("direction") == "toe-up",
        goes_on=_goes_on(document),
    )


def _goes_on(document: Mapping[str, Any]) -> bool:
    """Whether a plan was computed whose foot has its leg's repeat."""
    leg, foot = document.get("leg"), document.get("foot")
    if not isinstance(leg, Mapping) or not isinstance(foot, Mapping) or "numbers" not in document:
        return False
    repeats = leg.get("fabric") in ("repeat", "stranded")
    return repeats and foot.get("fabric") == "as the leg"


def _needle_mm(size: Any) -> float | None:
    """The size of the needles; None where it is not told as a length."""
    try:
        return read_length(size).mm if isinstance(size, str) else None
    except BadLength:
        return None


def _stages(tables: Any) -> tuple[Stage, ...]:
    try:
        return read_stages(tables)
    except BadStage as bad:
        raise BadSection("", None, bad.why, key="stage") from None


def _order(table: Any) -> Order:
    """The order of work of a pattern. Raises BadSection where it is none."""
    told = table.get("order") if isinstance(table, Mapping) else None
    if told is None:
        return Order()
    try:
        return read_order(str(told))
    except BadOrder as bad:
        raise BadSection("", None, str(bad), key="pair.order") from None


def _likeness(table: Any) -> str:
    """How the socks of a pair are alike. Raises BadSection where it is no word for it."""
    told = table.get("likeness", "alike") if isinstance(table, Mapping) else "alike"
    if told not in LIKENESSES:
        why = f'"{shorten(str(told))}" is no likeness; write {", ".join(LIKENESSES)}'
        raise BadSection("", None, why, key="pair.likeness")
    return str(told)


def _feet(table: Any, sections: Sequence[Section]) -> str:
    """How the toes are shaped. Raises BadSection where it is no word for it, or a toe has no mirror image."""
    told = table.get("feet", "alike") if isinstance(table, Mapping) else "alike"
    if told not in FEET:
        why = f'"{shorten(str(told))}" is not how feet are shaped; write {" or ".join(FEET)}'
        raise BadSection("", None, why, key="toe.feet")
    for index, there in enumerate(sections):
        if told != "alike" and there.kind == "toe":
            from tracker.pattern.feet import NoMirror, turned

            try:
                turned(there)
            except NoMirror as bad:
                raise BadSection(there.name, bad.row, str(bad), key="rows", index=index) from None
    return str(told)


def _gap(heel: Any) -> int:
    """The stitches picked up in each gap beside the flap; one where nothing is told."""
    gap = heel.get("gap", 1) if isinstance(heel, Mapping) else 1
    return gap if type(gap) is int and gap >= 0 else 1


def _yarn(table: Mapping[str, Any]) -> Yarn | None:
    given = (table.get("grams"), table.get("metres"))
    told = Yarn(*(float(number) if number else None for number in given))
    return told if any(told) else None


def _unit_of(tables: Sequence[Mapping[str, Any]]) -> Unit:
    """The unit that the first goal is written in, else centimetres."""
    goals = [read_length(table["until"]).unit for table in tables if "until" in table]
    return goals[0] if goals else "cm"


def _colours(table: Any) -> Colours:
    try:
        return read_colours(table)
    except BadColour as bad:
        raise BadSection("", None, bad.why, key=f"colours.{bad.field}".rstrip(".")) from None


def _numbers(given: Mapping[str, Any] | None, sections: Sequence[Section]) -> Numbers:
    """Those that were computed; of a pattern by hand only what its rows say."""
    worked = sum(row.worked for section in sections for row in section.rows)
    return Numbers(
        **{"cast_on": sum(sections[0].starts), **(given or {}), "stitches_per_sock": worked}
    )


def read_gauge(table: Mapping[str, Any]) -> Gauge:
    """Stitches and rounds to 100 mm from a gauge table (`per` is a length such as "4 in")."""
    per = read_length(str(table["per"])).mm
    unwashed = table.get("unwashed_rows")
    return Gauge(
        stitches=float(table["stitches"]) * 100 / per,
        rows=float(table["rows"]) * 100 / per,
        source=str(table.get("from", "round swatch")),
        grows=float(unwashed) / float(table["rows"]) - 1 if unwashed is not None else 0.0,
    )


def _with_factors(gauge: Gauge, document: Mapping[str, Any]) -> Gauge:
    """The gauge with the factors of cuff and leg, where the file names them."""
    cuff, leg = (
        document.get(table, {}).get("row_factor", usual)
        for table, usual in (("cuff", gauge.cuff_factor), ("leg", gauge.leg_factor))
    )
    return gauge._replace(cuff_factor=float(cuff), leg_factor=float(leg))


def rows_as_written(
    section: Section, on: Sequence[int], texts: Sequence[str], number: int
) -> tuple[Row, ...]:
    """Rows of a section worked on needles that hold `on`, from row `number` on, in the trade's notation.

    Raises BadSection where one cannot be read or does not come out.
    """
    flat = section.worked == "rows"
    names = section.needles if flat else [needle.name for needle in section.row(number).needles]
    table: dict[str, Any] = {
        "name": section.name, "kind": section.kind, "worked": section.worked,
        "names": list(names), "needles": list(on), "rows": list(texts),
    }  # fmt: skip
    if section.waiting:
        table["resting"] = [wait.stitches for wait in section.waiting]
        table["resting_names"] = [wait.name for wait in section.waiting]
    rows = _Reading(0, table, None, (), None).section().rows
    return tuple(row._replace(number=number + place) for place, row in enumerate(rows))


class _On(NamedTuple):
    """What the needles hold, in order, and how many stitches lie behind where a flat row begins."""

    needles: tuple[int, ...]
    behind: int = 0


class _Reading:
    """Reads one section's table, going on from the section before."""

    def __init__(
        self,
        index: int,
        table: Mapping[str, Any],
        before: _Reading | None,
        sections: Sequence[Section],
        gauge: Gauge | None,
    ) -> None:
        self._index, self._table = index, table
        self._sections, self._gauge = sections, gauge
        self._name = str(table["name"])
        self._kind = str(table.get("kind", "other"))
        self._worked = cast(Worked, table["worked"])
        self._flat = self._worked == "rows"
        if self._flat and (self._kind, self._name) == ("other", "to the side"):
            self._name = HALF_SOLE  # as patterns were once written
        self._on = self._begin(before)
        self._starts = self._on.needles
        self._names = self._needle_names(before)
        self._onto = table.get("onto")
        goes_on = before is not None and not {"needles", "resting", "resting_names"} & table.keys()
        self._rests: tuple[Waiting, ...]
        self._rests = before._rests if before is not None and goes_on else self._waiting()
        self._resting = sum(wait.stitches for wait in self._rests)
        self._marks, self._goal = self._measured()
        self._counted = self._goal is None or "planned" in table or gauge is not None
        self._shares: dict[tuple[str, int], Share] = {} if before is None else before._shares
        self._known: dict[tuple[str, _On], tuple[_Knit, _On]] = {}

    def _bad(self, key: str, why: str) -> BadSection:
        return BadSection(self._name, None, why, key=key, index=self._index)

    def _begin(self, before: _Reading | None) -> _On:
        if "needles" not in self._table and before is None:
            why = "the first section needs its stitches: needles = [16, 16, 16, 16]"
            raise self._bad("needles", why)
        last = _On(()) if before is None else before._on
        needles = tuple(self._table.get("needles", last.needles))
        goes_on = self._flat and sum(needles) == sum(last.needles)
        return _On(needles, last.behind if goes_on else 0)

    def _needle_names(self, before: _Reading | None) -> tuple[str, ...]:
        given = self._table.get("names")
        if given is None and "needles" not in self._table and before is not None:
            return before._in_work
        names = tuple(given or _names(len(self._starts), self._flat))
        if len(names) != len(self._starts) or len(set(names)) < len(names):
            raise self._bad("names", f"names are not one for each of {len(self._starts)} needles")
        return names

    @property
    def _in_work(self) -> tuple[str, ...]:
        """The needles its rows are worked on."""
        return (self._onto,) if self._onto else self._names

    def section(self) -> Section:
        rows = self._rows()
        return Section(
            name=self._name,
            kind=self._kind,
            worked=self._worked,
            needles=self._in_work,
            starts=rows[0].before,
            waiting=self._rests,
            rows=tuple(rows),
            goal=self._goal,
            cycle=min(len(self._table["rows"]), len(rows)),
            aimed=self._aimed(rows),
            marks=self._marks,
            counted=self._counted,
            lead_in=len(self._table.get("first", [])),
            on_instep=self._table.get("on_instep", False),
        )

    def _aimed(self, rows: Sequence[Row]) -> int:
        """Rows planned of an open section whose repeat has more; else 0."""
        planned = self._table.get("planned", 0) if self._goal else 0
        return int(planned) if 0 < planned < rows[-1].number else 0

    def _rows(self) -> list[Row]:
        first, body = len(self._table.get("first", [])), len(self._table["rows"])
        rows: list[Row] = []
        if "set_up" in self._table:
            self._add(rows, 0, "set_up", None)
        planned = self._planned(first, body)
        self._extend(rows, 1, first + body if self._goal else min(planned, first + body))
        if self._goal:
            self._must_come_back(rows, body)
            if "planned" not in self._table and self._gauge is not None:
                rib = all(row.word == "RIB" for row in rows)
                needed = rows_to_plan(self._goal, self._gauge, self._sections, rib, body)
                planned = min(first + max(body, needed - first // body * body), MOST_ROWS)
        self._extend(rows, first + body + 1, planned)
        return rows

    def _extend(self, rows: list[Row], begin: int, last: int) -> None:
        """Add rows `begin` to `last`."""
        first, body = len(self._table.get("first", [])), len(self._table["rows"])
        for number in range(begin, last + 1):
            if number <= first:
                self._add(rows, number, "first", number - 1)
                continue
            on = self._on
            self._add(rows, number, "rows", (number - 1 - first) % body)
            if body == 1 and self._on == on:
                # One row that leaves what it found: the rest are the same again.
                again = rows[-1][1:]
                rows += [Row(later, *again) for later in range(number + 1, last + 1)]
                return

    def _must_come_back(self, rows: Sequence[Row], body: int) -> None:
        """What is worked until it is long enough must leave what it found: nobody knows how often."""
        found, left = rows[-body].before, self._on.needles
        found = found[::-1] if rows[-body].side == "WS" else found
        if found != left:
            counts = "/".join(map(str, found)), "/".join(map(str, left))
            why = (
                f"worked once the rows go from {counts[0]} to {counts[1]}, and until does not say how"
                " often; write repeat or planned for until, or shape in rows that stand first"
            )
            raise self._bad("until", why)

    def _planned(self, first: int, body: int) -> int:
        rows = self._table.get("planned", first + body * self._table.get("repeat", 1))
        if not body or not rows:
            raise self._bad("rows", 'it has no rows; write rows = ["k"]')
        if rows > MOST_ROWS:
            raise self._bad("repeat", f"{rows} rows are more than {MOST_ROWS}")
        if rows < first and "until" in self._table:
            raise self._bad(
                "planned", f"planned stops before the rows that repeat; write {first + body}"
            )
        return int(rows)

    def _add(self, rows: list[Row], number: int, key: str, item: int | None) -> None:
        text = self._table[key] if item is None else self._table[key][item]
        place = (text, self._on)
        known = self._known.get(place)
        if known is None:
            try:
                known = self._known[place] = self._knit(text, self._on)
            except BadRow as bad:
                why = str(bad)
                raise BadSection(
                    self._name, number, why, key=key, item=item, index=self._index
                ) from None
        knit, self._on = known
        if knit.leaves + self._resting > notation.MOST_STITCHES:
            there = knit.leaves + self._resting
            why = f"there are {there} stitches; write rows that leave at most {notation.MOST_STITCHES}"
            raise BadSection(self._name, number, why, key=key, item=item, index=self._index)
        rows.append(Row(number, *knit))

    def _knit(self, text: str, on: _On) -> tuple[_Knit, _On]:
        """The row knitted on what the needles hold, and what they hold then."""
        row = notation.read_row(text)
        self._check_form(row)
        if self._onto:
            return self._knit_onto(row, on.needles)
        # A wrong-side row meets the needles from the other end.
        step = -1 if row.side == "WS" else 1
        names, before = self._names[::step], on.needles[::step]
        ahead = _ahead(before, on.behind)
        apart = len(row.segments) == len(before)
        shares = self._by_needle(row, ahead, names) if apart else self._over_all(row, ahead)
        needles = tuple(
            Needle(
                name,
                share.work,
                share.leaves + held - reached,
                share.counts.made,
                share.plain and not self._flat,
            )
            for name, share, held, reached in zip(names, shares, before, ahead, strict=True)
        )
        leaves = tuple(needle.leaves for needle in needles)
        self._check_claim(row.claim, leaves)
        runs_of_row = [run for share in shares for run in share.runs]
        worked = sum(needle.made for needle in needles)
        grows = sum([share.counts.leaves - share.counts.takes for share in shares])
        word = self._word(row, {run.stitch for run in runs_of_row}, grows)
        knit = _Knit(row.side, needles, sum(leaves), worked, before, word)
        if not self._flat:
            return knit, _On(leaves)
        if (stop := self._stop(row)) < len(row.segments):
            return knit, _On(leaves[::step], sum(leaves[:stop]))
        return knit, _On(leaves[::step], sum(ahead) - sum(share.counts.takes for share in shares))

    def _check_form(self, row: notation.RowText) -> None:
        if not any(row.segments):
            raise BadRow('no stitch is worked in it; write its stitches, such as "k"')
        if self._flat and row.side is None:
            raise BadRow("a row worked flat begins with RS: or WS:")
        if not self._flat and row.side is not None:
            raise BadRow(f"a round has no {row.side}; leave it out")
        if not self._flat and row.turns:
            raise BadRow("a round does not turn; leave the turn out, or work in rows")

    def _stop(self, row: notation.RowText) -> int:
        """The needle before which a flat row ends that neither turns nor works the last needles."""
        if not self._flat or row.turns:
            return len(row.segments)
        return max(place for place, items in enumerate(row.segments) if items) + 1

    def _by_needle(
        self, row: notation.RowText, ahead: Sequence[int], names: Sequence[str]
    ) -> list[Share]:
        shares, stop = [], self._stop(row)
        for place, (name, items, work, live) in enumerate(
            zip(names, row.segments, row.texts, ahead, strict=True)
        ):
            share = self._shares.get((work, live))
            if share is None:
                share = self._share(items, work, live)
            left = live - share.counts.takes
            if left and not row.turns and (items or (self._flat and place < stop)):
                raise BadRow(f"{_so_many(left)} left on {name}; work {left} more, or turn")
            shares.append(share)
        return shares

    def _share(self, items: tuple[notation.Item, ...], work: str, live: int) -> Share:
        """What a needle that holds so many has of this work; kept, for it comes again and again."""
        made, left = notation.runs(items, live)
        counts = notation.totals(made)
        share = Share(tuple(made), work, counts.leaves + left, counts, is_plain(made))
        if len(made) <= _KEPT:
            self._shares[work, live] = share
        return share

    def _over_all(self, row: notation.RowText, ahead: Sequence[int]) -> list[Share]:
        if len(row.segments) > 1:
            raise BadRow(f"{len(row.segments)} needles are written, {len(ahead)} are in work")
        made, left = notation.runs(row.segments[0], sum(ahead))
        if left and not row.turns:
            raise BadRow(f"{_so_many(left)} left; work {left} more, or turn")
        spread = spread_out(made, ahead)
        if spread.across and not row.claim:
            leaves = "/".join(str(share.leaves) for share in spread.shares)
            raise BadRow(
                f"{spread.across} lies across two needles and stays on the first; write = {leaves}"
            )
        return _turned(spread.shares, row) if row.turns else spread.shares

    def _knit_onto(self, row: notation.RowText, holds: tuple[int, ...]) -> tuple[_Knit, _On]:
        made, left = notation.runs(row.segments[0], sum(holds))
        counts = notation.totals(made)
        holding = sum(holds) - self._resting
        if counts.leaves + left != sum(holds) or row.claim != (holding,):
            raise BadRow(f"the claim should be = {holding}")
        needle = Needle(str(self._onto), row.texts[0], holding, counts.made, plain=False)
        word = self._word(row, {run.stitch for run in made}, counts.leaves - counts.takes)
        return _Knit(row.side, (needle,), holding, counts.made, (holding,), word), _On((holding,))

    def _check_claim(self, claim: tuple[int, ...], leaves: tuple[int, ...]) -> None:
        if len(claim) > 1 and claim != leaves:
            right, said = "/".join(map(str, leaves)), "/".join(map(str, claim))
            raise BadRow(f"it leaves {right}, the claim says {said}; write = {right}")
        if len(claim) == 1 and claim[0] != sum(leaves):
            raise BadRow(
                f"it leaves {sum(leaves)}, the claim says {claim[0]}; write = {sum(leaves)}"
            )

    def _word(self, row: notation.RowText, stitches: set[str], grows: int) -> str:
        if self._kind in _KNOWN_BY_KIND:
            return _KNOWN_BY_KIND[self._kind]
        if self._kind in ("foot", "leg") and "rest" in stitches:
            after_toe = bool(self._sections) and self._sections[-1].kind == "toe"
            return "OVER" if after_toe else "CLOSE"
        if self._flat and self._kind in HEEL_FLAT:
            return "PURL" if row.side == "WS" else "KNIT"
        return _word_of(stitches, grows, self._flat)

    def _waiting(self) -> tuple[Waiting, ...]:
        names, counts = self._table.get("resting_names", ()), self._table.get("resting")
        if counts is None:
            on = dict(zip(self._names, self._starts, strict=True))
            if self._onto and len(on) == len(names) == 1 and names[0] not in on:
                return (Waiting(names[0], self._left_on_one()),)
            if set(names) - set(on):
                raise self._bad("resting_names", "resting_names are not among its needles")
            return tuple(Waiting(name, on[name]) for name in names)
        names = names or _holders(len(counts))
        if len(names) != len(counts):
            raise self._bad(
                "resting_names", f"resting_names are not one for each of {len(counts)} needles"
            )
        return tuple(Waiting(name, count) for name, count in zip(names, counts, strict=True))

    def _left_on_one(self) -> int:
        """Where all hangs on one needle, the stitches of it that rest: those its first row does not claim."""
        try:
            claim = sum(notation.read_row(str(self._table["rows"][0])).claim)
        except (BadRow, IndexError):
            claim = 0
        if not 0 < claim < sum(self._starts):
            why = (
                "resting_names are not among its needles, and its row does not claim what is worked"
            )
            raise self._bad("resting_names", why)
        return sum(self._starts) - claim

    def _measured(self) -> tuple[tuple[Mark, ...], Goal | None]:
        """Where it is measured from, and how far it goes."""
        leads = self._flat and self._kind == "other" and self._name == HALF_SOLE
        kind = HALF_SOLE if leads else self._kind
        marks = marks_of(kind, self._worked, self._starts, self._resting, self._sections)
        until, mark = self._table.get("until"), self._table.get("mark")
        if until is None:
            return marks, None
        if not marks:
            raise self._bad("until", f"a {self._kind} is not measured; write repeat or planned")
        try:
            mm = read_length(until).mm
        except BadLength as bad:
            raise self._bad("until", str(bad)) from None
        if mark is None:
            own = from_own_beginning(mm, marks, self._sections, self._gauge)
            mark = "section" if own else marks[0]
        if mark not in marks:
            known = " or ".join(f'"{one}"' for one in marks)
            raise self._bad("mark", f"it is not measured from there; write mark = {known}")
        marks = (mark, *(one for one in marks if one != mark)) if "section" in marks else marks
        less = self._table.get("less")
        return marks, Goal(mm, mark, less_toe=less == "toe", less_heel=less == "heel")


_KNOWN_BY_KIND = {
    "heel set-up": "HEEL", HEEL_PLACE: "WASTE", "graft": "GRAFT", "draw up": "DRAW",
}  # fmt: skip
_SAID = {"pick up": "PICK", "take up": "PICK", "BO": "BIND"}
_SHAPING = notation.DECREASES | notation.INCREASES | {"CO"}
_QUIET = frozenset({"sl", "sl tbl", "rest", "DS"})
_RIBBED = frozenset({"k", "p", "k tbl", "p tbl"})


def _word_of(stitches: set[str], grows: int, flat: bool) -> str:
    """What a row is, in one word: what it does to the stitches, else the fabric.

    `grows` is by how many stitches it leaves more than it takes.
    """
    coloured = any(map(notation.colour_of, stitches))
    if coloured:
        stitches = {notation.without_colour(stitch) for stitch in stitches}
    for stitch, word in _SAID.items():
        if stitch in stitches:
            return word
    if coloured and not grows:
        return "CHART"
    if stitches & _SHAPING:
        return "LACE" if not grows else "INC" if grows > 0 else "DEC"
    return _fabric(stitches - _QUIET, flat)


def _fabric(stitches: set[str], flat: bool) -> str:
    if stitches <= {"k"}:
        return "KNIT" if flat else "PLAIN"
    if stitches == {"p"}:
        return "PURL"
    if stitches <= _RIBBED:
        return "RIB"
    return "CABLE" if any(stitch[0] == "C" for stitch in stitches) else "PATT"


def _so_many(stitches: int) -> str:
    return "1 stitch is" if stitches == 1 else f"{stitches} stitches are"


def _names(needles: int, flat: bool) -> tuple[str, ...]:
    if needles == 1:
        return ("needle",) if flat else ("round",)
    return tuple(f"N{place}" for place in range(1, needles + 1))


def _holders(needles: int) -> tuple[str, ...]:
    """What stitches at rest hang on, where nobody has named it."""
    return ("holder",) if needles == 1 else tuple(f"holder {n}" for n in range(1, needles + 1))


def _ahead(needles: Sequence[int], behind: int) -> list[int]:
    """Stitches in reach on every needle, where the first so many lie behind the point."""
    if not behind:
        return list(needles)
    ahead = []
    for holds in needles:
        passed = min(holds, behind)
        ahead.append(holds - passed)
        behind -= passed
    return ahead


def _turned(shares: list[Share], row: notation.RowText) -> list[Share]:
    """The shares with the turn written where the row comes to it."""
    turn = row.texts[0].rpartition(",")[2].strip()
    last = max((place for place, share in enumerate(shares) if share.runs), default=0)
    work = ", ".join(filter(None, (shares[last].work, turn)))
    return [*shares[:last], shares[last]._replace(work=work), *shares[last + 1 :]]
