"""`instep check`: a file or a basket audited, and every problem with its place and a way out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from tracker.knitting.course import Course
from tracker.knitting.events import Event
from tracker.knitting.fold import UnknownAct
from tracker.knitting.pair import summary
from tracker.knitting.past import past
from tracker.knitting.replay import BadHistory, Replay
from tracker.pattern.model import Pattern
from tracker.pattern.reading import read_pattern
from tracker.pattern.tables import BadSection, faults, strangers
from tracker.records import NamedTuple
from tracker.storage.basket import Basket, BasketTrouble, PairRow, Summary
from tracker.storage.files import FileTrouble, Lines, shown
from tracker.storage.pattern_file import open_tables, open_text
from tracker.storage.plan_file import LeftOpen
from tracker.units import shorten


class Problem(NamedTuple):
    """Something wrong in a file: line, section and row where they are known, and what to write."""

    name: str
    line: int | None
    section: str | None
    row: int | None
    problem: str
    instead: str

    def as_json(self) -> dict[str, Any]:
        """As `instep check --json` gives it."""
        return {
            "line": self.line, "section": self.section, "row": self.row,
            "problem": self.problem, "instead": self.instead,
        }  # fmt: skip

    def line_for_people(self) -> str:
        """One line: where, what, and what to write instead."""
        where = [shown(self.name)]
        where += [f"line {self.line}"] if self.line is not None else []
        where += [shorten(self.section)] if self.section else []
        where += [f"row {self.row}"] if self.row is not None else []
        told = f"{', '.join(where)}: {self.problem}" if where[0] else self.problem
        return f"{told}; {self.instead}" if self.instead else told


class Checked(NamedTuple):
    """What was found in a file, and the notes beside a plan."""

    problems: tuple[Problem, ...]
    notes: tuple[str, ...] = ()


def check_file(path: str) -> Checked:
    """Knit a plan or a pattern file stitch by stitch; every problem, in the order of the file.

    What is no pattern's key or of the wrong kind is named beside what does not come out. Nothing
    that would not be opened is said to be right.
    """
    try:
        source, document, notes, _ = open_tables(path)
    except FileTrouble as trouble:
        if isinstance(trouble, LeftOpen) and len(trouble.blanks) > 1:
            return Checked((Problem(path, None, None, None, trouble.what, trouble.instead),))
        return Checked(tuple(_fault(path, fault) for fault in trouble.faults))
    lines = Lines(source.text)
    found = [*_colour_problem(path, lines, document), *_of_tables(path, lines, document)]
    if not found:
        try:
            pattern = read_pattern(document, source.text)
        except BadSection as bad:
            found = [_of_section(path, lines, bad)]
        else:
            found = list(_of_sock_two(path, document, pattern))
    return Checked(tuple(sorted(found, key=lambda problem: problem.line or 0)), notes)


def _of_tables(path: str, lines: Lines, document: dict[str, Any]) -> Iterator[Problem]:
    from tracker.pattern.audit import audit

    told, audited = set(), audit(document)
    likely = {found.section_index: found.instead for found in audited if found.key == "worked"}
    odd = list(strangers(document))
    misspelt = {(bad.index, bad.why.rpartition("; write ")[2]) for bad in odd}
    for bad in (*faults(document), *odd):
        if "is missing" in bad.why and (bad.index, bad.key) in misspelt:
            told.add((bad.index, bad.key))
            continue  # it is there, by another name
        told.add((bad.index, bad.key))
        problem = _of_section(path, lines, bad)
        if bad.key == "worked" and bad.index in likely:
            problem = problem._replace(instead=likely[bad.index])  # the audit has seen its rows
        yield problem
    for found in audited:
        if (found.section_index, found.key) in told and found.row is None:
            continue  # the same, found twice
        if found.key == "section" and (None, "section") in told:
            continue
        line = lines.of_section(found.section_index, found.key, found.position)
        yield Problem(path, line, found.section, found.row, found.problem, found.instead)


def _of_sock_two(path: str, document: dict[str, Any], pattern: Pattern) -> Iterator[Problem]:
    """What does not come out on sock two where its rows are others, knitted stitch by stitch as well."""
    if pattern.likeness != "mirrored" and not pattern.of_feet:
        return
    from tracker.pattern import mirror
    from tracker.pattern.audit import audit
    from tracker.pattern.feet import of_sock_two

    for found in audit(mirror.document(document, pattern, of_sock_two(pattern))):
        problem = f"mirrored for sock two, {found.problem}"
        yield Problem(path, None, found.section, found.row, problem, found.instead)


def _of_section(path: str, lines: Lines, bad: BadSection) -> Problem:
    problem, _, instead = bad.why.partition("; ")
    if bad.index is None:
        return Problem(path, lines.of(bad.key), None, None, problem, instead)
    line = lines.of_section(bad.index, bad.key, bad.item)
    return Problem(path, line, shorten(bad.section), bad.row, problem, instead)


def _colour_problem(path: str, lines: Lines, document: dict[str, Any]) -> list[Problem]:
    """What is wrong with a pattern's colours, if anything: no row of it is knitted from them."""
    from tracker.pattern.colours import BadColour, read_colours

    try:
        read_colours(document.get("colours", {}))
    except BadColour as bad:
        what, _, instead = bad.why.partition("; ")
        line = lines.of(f"colours.{bad.field}".rstrip("."))
        return [Problem(path, line, None, None, f"colours: {what}", instead)]
    return []


def _fault(path: str, fault: Any) -> Problem:
    what, _, instead = fault.why.partition("; ")
    what = f"{fault.field}: {what}" if fault.field else what
    return Problem(path, fault.line, None, None, what, instead)


def check_basket(path: Path) -> Checked:
    """Verify a basket: its file, and of every pair the chain, the pattern, the replay and the summary."""
    found: list[Problem] = []
    try:
        with Basket.open(path) as basket:
            found += [_damage(line) for line in basket.check()]
            for pair in [*basket.pairs(), *basket.pairs(away=True)]:
                found += _replayed(basket, pair)
    except BasketTrouble as trouble:
        found.append(_damage(str(trouble)))
    return Checked(tuple(dict.fromkeys(found)))


def _damage(line: str) -> Problem:
    """A line of the basket's own as a problem; what would send her here sends her to a copy."""
    what, _, instead = line.partition("; ")
    if not instead or '"instep check"' in instead:
        instead = "instep mend saves what is sound"
    return Problem("", None, None, None, what, instead)


def _unsound(what: str) -> Problem:
    """Acts under right checksums that make no sense: there is nothing to mend, and a backup may be older."""
    return Problem("", None, None, None, what, "put a backup in the place of the basket")


def _replayed(basket: Basket, pair: PairRow) -> list[Problem]:
    """What is wrong with the acts of a pair whose chain is whole."""
    name = shorten(pair.short)
    try:
        course = Course(open_text(pair.short, basket.pattern_text(pair)))
        replay = Replay(course, basket.events(pair))
    except (FileTrouble, BasketTrouble):
        return []  # the chain or the pattern is damaged, and that is said already
    except UnknownAct as unknown:
        what = f'{name} holds "{shorten(str(unknown))}", which this Instep cannot replay'
        return [Problem("", None, None, None, what, "use a newer one")]
    except BadHistory as bad:
        return [_unsound(f"the history of {name} contradicts itself: {bad}")]
    if untold := _untold(replay, basket.events(pair)):
        return [_unsound(f"{name} cannot be shown: {untold}")]
    if Summary(*summary(replay.course, replay.state)) == pair.summary:
        return []
    what = f"the list says another place of {name} than its acts"
    return [Problem("", None, None, None, what, "the next act puts it right")]


def _untold(replay: Replay, events: Iterable[Event]) -> str:
    """What of a pair that replays cannot be told, or ""."""
    from tracker.looking import NOTHING_TO_SEE
    from tracker.tellable import Untellable, check_acts, check_places

    pattern = replay.course.pattern
    try:
        check_places(replay)
        check_acts(past(replay.started, events), pattern.unit, pattern.of_socks)
    except Untellable as untellable:
        return str(untellable)
    except NOTHING_TO_SEE:
        return "its acts cannot be followed"
    return ""
