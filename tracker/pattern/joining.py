"""The next stage of a pattern joined to what there is of it: tables to tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tracker.pattern.kept import THE_PAIRS_OWN
from tracker.pattern.model import Pattern, Row, Section
from tracker.pattern.reading import read_pattern
from tracker.pattern.stages import BadStage, faults
from tracker.pattern.tables import BadSection, sections_of
from tracker.records import NamedTuple
from tracker.units import shorten

Tables = Mapping[str, Any]

_TAKEN = ("colours", "yarn", "numbers", "heel", "toe")
"""Tables in which a later file may say what was not said. Nothing of them changes the stitches of a row that
is there; its colour may be another then, which is refused where it is knitted (see knitting.dyed)."""


class NothingNew(ValueError):
    """A file that tells nothing that the pattern does not tell already."""


class Differs(NamedTuple):
    """The first row of a section that is not as it was: its number, and both as they are written."""

    row: int
    was: str
    now: str


def joined(there: Tables, given: Tables) -> dict[str, Any]:
    """The tables of the pattern so far with what is new in a file.

    Sections that the file gives once more must be those that are there. Raises BadSection, whose `index`
    is that of the file's section, and NothingNew.
    """
    known, told = list(there["section"]), sections_of(given)
    begins = _begins(known, told)
    new = told[len(known) - begins :]
    _check_needles(there, given)
    top = _top(there, given)
    if begins < len(known):
        was = read_pattern(there, "").sections[begins:]
        now = _read({**top, "section": [*known[:begins], *told]}, begins).sections[begins:]
        _check_same(was, now)
    document = {**top, "section": [*known, *new], **_staged(there, given, new, len(told))}
    if not new and document.get("stage") == _staged(there, {}, [], 0).get("stage"):
        raise NothingNew("nothing is new in it: the pattern has all of these sections already")
    sections = _read(document, begins).sections
    _check_toe(sections, begins)
    if new:
        _must_go_on(sections[len(known) - 1], sections[len(known)], len(told) - len(new))
    return document


def _check_toe(sections: Sequence[Section], before: int) -> None:
    """Refuse a foot that ends where a toe, or from the toe up a heel, begins which is not there: it would
    become too long.
    """
    heel = any(section.kind == "turn" for section in sections)
    for index, section in enumerate(sections):
        if section.goal is not None and section.goal.less_heel and not heel:
            raise BadSection(
                section.name, None,
                "it ends so that gusset and heel fit, which are not there yet; write them with it, or until"
                " without less",
                index=max(0, index - before), key="less",
            )  # fmt: skip
    if any(section.kind == "toe" or section.name == "toe" for section in sections):
        return
    for index, section in enumerate(sections):
        if section.goal is not None and section.goal.less_toe:
            raise BadSection(
                section.name, None,
                "it ends so that a toe fits, which is not there yet; write the toe with it, or until"
                " without less",
                index=max(0, index - before), key="less",
            )  # fmt: skip


def _read(document: Tables, before: int) -> Pattern:
    """The pattern in joined tables, in which so many sections stand before those of the file."""
    try:
        return read_pattern(document, "")
    except BadSection as bad:
        if bad.index is not None:
            bad.index = max(0, bad.index - before)
        raise


def _begins(known: Sequence[Tables], told: Sequence[Tables]) -> int:
    """Where the file's first section is among those that are there; past the last where it is new."""
    names, new = ([str(table["name"]) for table in tables] for tables in (known, told))
    starts = [place for place, name in enumerate(names) if name == new[0]]
    for start in starts:
        if all(one == two for one, two in zip(names[start:], new, strict=False)):
            return start
    if not starts:
        return len(names)
    pairs = enumerate(zip(names[starts[0] :], new, strict=False))
    at, was, now = next((place, one, two) for place, (one, two) in pairs if one != two)
    raise BadSection(
        now, None,
        f"after the {shorten(new[at - 1])} the pattern has the {shorten(was)}, and this file the"
        f" {shorten(now)}; leave out what is there already, or see to a new pattern with instep replan",
        index=at, key="name",
    )  # fmt: skip


def _check_same(known: Sequence[Section], told: Sequence[Section]) -> None:
    """Refuse a section that is there already and is told otherwise."""
    for place, (was, now) in enumerate(zip(known, told, strict=False)):
        found = first_difference(was, now)
        if found is not None:
            there, here = told_apart(found.was, found.now)
            raise BadSection(
                now.name, found.row,
                f'the pattern has "{there}" there, this file "{here}"; for'
                " what is not knitted yet a new pattern is taken with instep replan",
                index=place, key="name",
            )  # fmt: skip


def told_apart(was: str, now: str) -> tuple[str, str]:
    """Two rows, or how two sections end, that differ, short enough for a line.

    Those that leave other stitches are told by these; those that begin alike for long from where they differ.
    """
    claims = was.rpartition(" = ")[2], now.rpartition(" = ")[2]
    if " = " in was and " = " in now and claims[0] != claims[1]:
        return shorten(f"... = {claims[0]}"), shorten(f"... = {claims[1]}")
    if shorten(was) != shorten(now):
        return shorten(was), shorten(now)
    alike = next((at for at, (one, two) in enumerate(zip(was, now, strict=False)) if one != two), 0)
    at = max(was.rfind(" | ", 0, alike), was.rfind(" = ", 0, alike), was.rfind(", ", 0, alike), 0)
    return shorten(f"...{was[at:]}"), shorten(f"...{now[at:]}")


def first_difference(was: Section, now: Section) -> Differs | None:
    """The first row in which a section is not as it was, or where it does not end as it did."""
    if (was.worked, was.first) != (now.worked, now.first):
        return Differs(was.first, was.worked, now.worked)
    for one, two in zip(was.rows, now.rows, strict=False):
        if not same_row(one, two):
            return Differs(one.number, written(one), written(two))
    if was.goal != now.goal:
        return Differs(was.planned, _end(was), _end(now))
    if was.goal is None and len(was.rows) != len(now.rows):
        last = min(was.planned, now.planned)
        return Differs(last + 1, _end(was), _end(now))
    return None


def same_row(one: Row, two: Row) -> bool:
    """Whether two rows are worked alike, on the same needles, and leave the same on each."""
    return (one.side, one.needles, one.before) == (two.side, two.needles, two.before)


def written(row: Row) -> str:
    """A row in the trade's notation, with what it leaves on each needle."""
    work = " | ".join(needle.work for needle in row.needles)
    return f"{work} = {'/'.join(str(needle.leaves) for needle in row.needles)}"


def _end(section: Section) -> str:
    if section.goal is None:
        return f"{section.planned} {section.worked}"
    return f"until {section.goal.mm:g} mm"


def _must_go_on(last: Section, first: Section, index: int) -> None:
    """Refuse a section that does not begin with the stitches that there are."""
    there, wanted = _left(last), _begun_with(first)
    if there != wanted:
        raise BadSection(
            first.name, None,
            f"it begins with {wanted} stitches, and the {shorten(last.name)} leaves {there}; write needles"
            f" that hold {there} in all, or leave needles out",
            index=index, key="needles",
        )  # fmt: skip


def _left(section: Section) -> int:
    """Stitches that a section leaves, those that wait among them."""
    return sum(needle.leaves for needle in section.rows[-1].needles) + _waiting(section)


def _begun_with(section: Section) -> int:
    return sum(section.rows[0].before) + _waiting(section)


def _waiting(section: Section) -> int:
    return sum(wait.stitches for wait in section.waiting)


# What stands above the sections


def _check_needles(there: Tables, given: Tables) -> None:
    """Refuse rows that are laid out for another set of needles."""
    was, now = (tables.get("needles", {}).get("set", "") for tables in (there, given))
    if was and now and was != now:
        why = f'the pair is knitted on "{shorten(was)}", this file is for "{shorten(now)}"'
        raise BadSection("", None, f"{why}; ask for it on the needles you have", key="needles.set")


def _top(there: Tables, given: Tables) -> dict[str, Any]:
    top = {key: value for key, value in there.items() if key != "section"}
    for key in _TAKEN:
        was, now = there.get(key, {}), given.get(key, {})
        if isinstance(was, Mapping) and isinstance(now, Mapping) and now:
            if key == "colours":
                _check_colours(was, now)
            top[key] = {**now, **was} if key != "numbers" else {**was, **now}
    return top


def _check_colours(was: Tables, now: Tables) -> None:
    for part in was.keys() & now.keys():
        if was[part] != now[part]:
            why = f"the colours of the {shorten(str(part))} are others than those that are knitted"
            raise BadSection("", None, f"{why}; leave them out", key=f"colours.{part}")


def _staged(there: Tables, given: Tables, new: Sequence[Tables], told: int) -> dict[str, Any]:
    """The stages of both, as a table of their own; none where none are told.

    A file of nothing but `new` sections goes on with its numbers, too, and one that is silent about
    stages brings that which was told with its day alone.
    """
    stages = _stages(there.get("stage", ()), given.get("stage", ()), follow=len(new) == told)
    if "stage" not in given:
        _fill(stages, [str(table["name"]) for table in new])
    return {"stage": stages} if stages else {}


def _stages(there: Any, given: Any, *, follow: bool) -> list[dict[str, Any]]:
    """The stages by their numbers: a file's stand for those told before.

    Where they `follow`, those without a number go on from the last one there. Raises BadSection.
    """
    told: dict[int, dict[str, Any]] = {}
    for tables in (there, given):
        for bad in faults(tables):
            raise BadSection("", None, bad.why, key=_place(bad))
        first = max(told, default=0) if follow else 0
        for place, table in enumerate(tables, start=first + 1):
            told[int(table.get("number", place))] = {"number": place, **table}
    return [told[number] for number in sorted(told)]


def _fill(stages: Sequence[dict[str, Any]], names: Sequence[str]) -> None:
    """A stage that was told with its day alone is what came, where the file says nothing of stages."""
    untold = next((stage for stage in stages if not stage.get("sections")), None)
    if untold is not None and names:
        untold["sections"] = list(names)


def _place(bad: BadStage) -> str:
    return f"stage.{bad.field}".rstrip(".")


def replanned(there: Tables, given: Tables) -> dict[str, Any]:
    """The tables of a new pattern, all of them its own but for what is the pair's.

    Stages that were told stay where it tells none. Raises BadSection.
    """
    sections_of(given)
    document = {key: value for key, value in given.items() if key not in THE_PAIRS_OWN}
    document |= {"stage": there["stage"]} if "stage" in there and "stage" not in given else {}
    _check_toe(read_pattern(document, "").sections, 0)
    return document
