"""The pattern as it is written: its numbers, and each section's rows, as few lines as say it all.

It is composed here once, for the terminal and for every printed form. Texts of files are a stranger's
and are cleaned here.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from string import Formatter
from typing import Any

from tracker import words
from tracker.forecast.between import gusset_and_heel_mm
from tracker.forecast.washing import before_washing
from tracker.knitting.changes import Coloured
from tracker.knitting.course import Course
from tracker.knitting.stripes import FROM_WITHIN, Threads
from tracker.knitting.used_up import is_whole
from tracker.pattern import floats, folded
from tracker.pattern.colours import slip_first
from tracker.pattern.feet import of_sock_two
from tracker.pattern.fit import halves
from tracker.pattern.folded import Block
from tracker.pattern.glossary import Term, become, terms
from tracker.pattern.mirror import mirrored
from tracker.pattern.model import (
    BIND_OFF,
    CLOSED_BY,
    FIRST_HALF,
    HALF_SOLE,
    HEEL_PLACE,
    HEEL_ROUNDS,
    LATE_HEEL,
    ROUND,
    Goal,
    Numbers,
    Pattern,
    Row,
    Section,
    left_on_each,
)
from tracker.pattern.turned_sides import is_short, sides
from tracker.records import NamedTuple
from tracker.units import round_half_up, shorten, write_length
from tracker.vocabulary import (
    LIFT,
    SLID_AT_AN_END,
    and_all,
    at_the_side,
    at_the_sole,
    at_which_end,
    bound_off,
    counted,
    for_the_foot,
    heel_parted,
    in_colour,
    onto_one,
    onto_the_one,
    or_rests,
    ordinal,
    other_set,
    parted,
    sides_of_waste,
    slide,
    spaced,
    toe_halves,
)

RING_BEGINS = (
    "A ring that is drawn together: lay the yarn in a ring over its tail; draw a loop up through it, and "
    "another through that one, which is a stitch. Pull the tail, and the ring closes; once more after some "
    "rounds."
)
ELASTIC = "bind off, elastic, as it is told there (1 fewer)"
"""From the toe up the edge has to stretch."""
LONGEST_WORK = 200
"""Letters of one needle's work that are shown."""


class Remark(NamedTuple):
    """A sentence among the rows of a section."""

    text: str


class Line(NamedTuple):
    """One row or several: what they are called, the work, and the stitches they leave.

    `leaves` are the counts on the needles, like "16/16/16/16", each with the row after which it holds;
    a single one, with None, holds after every row.
    """

    name: str
    work: str
    leaves: tuple[tuple[int | None, str], ...]

    @property
    def counts(self) -> str:
        """ "16/16/16/16", or "25/16/16/25 after 1, 24/16/16/24 after 3"."""
        told = (counts if row is None else f"{counts} after {row}" for row, counts in self.leaves)
        return ", ".join(told)


class Written(NamedTuple):
    """A section as it is written: its head, what lies on which needle, and its lines.

    `first` is what is done before its first row, `colours` what it is worked in.
    """

    head: str
    on: str
    first: tuple[str, ...]
    colours: tuple[str, ...]
    lines: tuple[Line | Remark, ...]


def sections(
    pattern: Pattern,
    counts: Sequence[int] | None = None,
    settled: Collection[int] = (),
    done: Mapping[int, int] | None = None,
    coloured: tuple[Coloured, ...] = (),
) -> list[Written]:
    """Every section of a pattern as it is written.

    `counts` are the rows that each has, row 0 left out; as planned where they are not given. Open
    sections among the `settled` end at their count: the tape is not asked. Of a section in `done` so
    many rows, row 0 among them, are worked already: only the rest is written. `coloured` are colours that
    go another way on that sock.
    """
    ends = [section.planned for section in pattern.sections] if counts is None else list(counts)
    course = Course(pattern)
    course.coloured = coloured
    threads = Threads(course, ends)
    found = []
    for index, section in enumerate(pattern.sections):
        there, worked = worked_to(section, ends[index]), (done or {}).get(index, 0)
        there = there._replace(rows=there.rows[worked:])
        if index in settled:
            there = there._replace(goal=None)
        colours = _colours(threads, index, worked, worked + len(there.rows))
        page = _written(there, pattern, pattern.sections[index - 1] if index else None, worked)
        found.append(page._replace(colours=tuple(colours)))
    return found


def _written(section: Section, pattern: Pattern, before: Section | None, worked: int) -> Written:
    """A section, of which so many rows are worked already, without its colours."""
    first = [] if worked else begins(section, before, pattern)
    lines = tuple(_lines(section, pattern))
    return Written(head(section, pattern), on_needles(section, worked), tuple(first), (), lines)


def worked_to(section: Section, count: int) -> Section:
    """A section with its rows up to row `count`; an open one goes on as its repeat does."""
    rows = tuple(section.row(number) for number in range(section.first, count + 1))
    return section._replace(rows=rows, aimed=0)


def on_needles(section: Section, worked: int = 0) -> str:
    """What lies on the needles when a section begins, or goes on: "24; N2 12 rests"."""
    rests = "".join(f"; {shorten(wait.name)} {wait.stitches} rests" for wait in section.waiting)
    counts = section.rows[0].before if worked and section.rows else section.starts
    if not any(counts):
        return "nothing on the needles"
    return spaced(counts) + rests


def head(section: Section, pattern: Pattern) -> str:
    """What a section is called, as a heading: "Heel flap"."""
    by_hand = section.kind == "other"
    name = shorten(section.name) if by_hand else words.section(section.kind, pattern.of_socks)
    return name[:1].upper() + name[1:]


def begins(section: Section, before: Section | None, pattern: Pattern) -> list[str]:
    """What is done before the first row of a section, after the one before it; None: after the cast-on."""
    if before is None and pattern.toe_up:
        closed = RING_BEGINS if pattern.in_a_ring else _closed(section, pattern)
        return [closed, *_for_the_foot(section, section, pattern)]
    if before is None:
        return _join(section)
    caught = [*floats.told(section), *_caught_beside(section, pattern)]
    how = _upwards(section, before, pattern)
    return [
        *_for_the_foot(section, before, pattern),
        *_slide(section, before, pattern),
        *how,
        *caught,
    ]


def _upwards(section: Section, before: Section, pattern: Pattern) -> list[str]:
    """What rows from the toe up do not tell: where wraps are lifted, and how it is bound off."""
    if section.kind == BIND_OFF:
        return bound_off(sum(section.starts))
    wrapped = before.rows[-1].needles[0].work.endswith("w&t")
    return [LIFT] if pattern.toe_up and section.kind == "flap" and wrapped else []


def _closed(toe: Section, pattern: Pattern) -> str:
    """How a toe is cast on over two needles; of an odd number one half begins and ends the winding."""
    halves = toe_halves(toe.starts, at_side=pattern.begins_at_side(toe))
    sole = "the sole once, then " if halves.sole_first else ""
    return (
        f"A closed cast-on over two needles, {halves.instep} of the instep and {halves.sole} of the sole: a "
        f"figure of eight round both, a loop on each in turn, {halves.wound}. Knit {sole}the loops of the "
        "instep, then those of the sole up to where the round begins; what lies twisted through the back."
    )


def _caught_beside(section: Section, pattern: Pattern) -> Iterable[str]:
    """What is caught beside a gusset, where a chart goes on down the instep."""
    foot = floats.foot_beside(pattern, section)
    if foot is None:
        return []
    letters = pattern.colours.letters
    picked_up = [f"Pick up in {shorten(letters[0][1])}."] if letters and not pattern.toe_up else []
    return [*picked_up, *floats.told_beside(section, foot, at_side=pattern.at_side)]


def _for_the_foot(section: Section, before: Section, pattern: Pattern) -> list[str]:
    """Of a toe for one foot: which, and how the needles follow where its rounds begin elsewhere."""
    if section.rows[0].word == "OVER" and len(section.needles) > 1:
        return [at_the_sole(section.needles)]
    if section.kind != "toe" or not pattern.of_feet:
        return []
    told = [for_the_foot(pattern.foot, turned=pattern.turned)]
    return [at_the_side(section.needles), *told] if before.leads_to_toe else told


def _slide(section: Section, before: Section, pattern: Pattern) -> list[str]:
    """How the stitches are to lie first, where the section before left them otherwise."""
    held = left_on_each(before)
    kind = HALF_SOLE if section.leads_to_toe else section.kind
    waiting = [many for _, many in section.waiting]
    work = section.rows[0].needles[0].work
    apart = parted(held, section.starts, section.needles, work)
    if onto_the_one(before.kind, section.kind, pattern.needle_set):
        return [onto_one(sum(held))]
    if apart is not None:
        return [heel_parted(apart)]
    on = slide(kind, held, section.starts, waiting, work)
    if on is None:
        return []
    if before.needles == (ROUND,) and len(on) > 1:
        return [f"Change to {other_set(section.needles)} first: {spaced(on)}."]
    at_side = pattern.at_side and section.kind in SLID_AT_AN_END
    where = at_which_end(section.needles, other_way=pattern.other_way) if at_side else ""
    return [f"First slide to {spaced(on)}{where}."]


def _join(section: Section) -> list[str]:
    """How a piece worked in the round begins."""
    if section.worked != "rounds":
        return ["It is worked flat: do not join."]
    many = len(section.starts) > 1
    round_it = "nothing wound round a needle" if many else "nothing twisted"
    return [f"Lay the ring flat, all bumps inside, {round_it}; join. The round begins at the tail."]


def terms_of(pattern: Pattern, indexes: Collection[int] | None = None) -> list[tuple[str, str]]:
    """The terms that a pattern uses, or those of its sections `indexes`: each once, and in words."""
    pairs = [*enumerate(pattern.sections)]
    pairs += [(index, other.sections[index]) for index, other in mirrored_sections(pattern)]
    works = dict.fromkeys(
        needle.work
        for index, section in pairs
        if indexes is None or index in indexes
        for row in section.rows
        for needle in row.needles
        if needle.work
    )
    told = [(term.name, in_words(term)) for term in terms(works)]
    return [(name, ELASTIC if pattern.toe_up and name == "BO" else said) for name, said in told]


def in_words(term: Term) -> str:
    """A term in words, and what it does to the count."""
    counts = become(term.counts) if term.counts else ""
    return f"{term.words} ({counts})" if counts else term.words


# The whole


def numbers(pattern: Pattern, made: Numbers | None = None) -> list[str]:
    """The counts of a pattern, a line for each stretch of it.

    Those that were `made` otherwise are told so, with what was planned beside them: "leg 44 (planned 46)".
    """
    known = _as_made(pattern.numbers, made or pattern.numbers)
    known |= {
        "short_rows": _short_rows(pattern),
        "late_rounds": _rows_of_kind(pattern, LATE_HEEL),
        "foot_alone": known["foot_rounds"] if known["gusset_rounds"] is None else None,
        "drawn_up": _drawn_up(pattern),
        ("in_a_ring" if pattern.in_a_ring else "over_two"): known["cast_on"],
    }
    lines = _TOLD_TOE_UP if pattern.toe_up else _TOLD
    told = [line.format(**known) for line in lines if _known(line, known)]
    if not all(section.counted for section in pattern.sections):
        told.pop()  # stitches of rows that nobody has counted
    elif not pattern.of_socks:
        told[-1] = told[-1].replace(" a sock.", " a piece.")
    elif not is_whole(pattern):
        told[-1] = told[-1].replace(" a sock.", " a sock so far.")
    ease = pattern.numbers.effective_ease
    if ease is not None:
        how = "smaller" if ease >= 0 else "larger"
        told[-1] += f" {abs(round_half_up(ease * 100, 1)):g} % {how} than the foot."
    return told


def _short_rows(pattern: Pattern) -> int | None:
    """The rows of both halves of a short-row heel; None where there is none."""
    return sum(section.planned for section in pattern.sections if is_short(section)) or None


def _drawn_up(pattern: Pattern) -> int | None:
    """The stitches that a toe is drawn up over; None where it is not."""
    last = (section for section in pattern.sections if section.kind == "draw up")
    return next((sum(section.starts) for section in last), None)


def _rows_of_kind(pattern: Pattern, kind: str) -> int | None:
    """The rows of the section of a kind; None where there is none."""
    return next((one.planned for one in pattern.sections if one.kind == kind), None)


def _as_made(planned: Numbers, made: Numbers) -> dict[str, Any]:
    """Every number as it is told, None where there is none."""
    both = zip(planned._asdict().items(), made, strict=True)
    return {
        name: was if was is None or is_ is None or is_ == was else f"{is_} (planned {was})"
        for (name, was), is_ in both
    }


_OF_A_FLAP = (
    "Heel {heel_stitches} stitches, flap {flap_rows} rows, turn {turn_rows} rows to {heel_centre};"
    " {after_pick_up} after the pick-up."
)
_LATER = "Heel {heel_stitches} stitches, knitted after the toe in {late_rounds} rounds."
_OF_SHORT_ROWS = "Heel {heel_stitches} stitches, in {short_rows} short rows."
_FEET = (
    "Gusset {gusset_rounds} rounds, foot {foot_rounds} rounds with it",
    "Foot {foot_alone} rounds",
)
_ENDS = ("graft {graft_stitches} and {graft_stitches}.", "draw up {drawn_up}.")
_TOLD = (
    "Cast on {cast_on}, loosely.",
    "Cuff {cuff_rounds} rounds, leg {leg_rounds}.",
    _OF_A_FLAP,
    _OF_SHORT_ROWS,
    _LATER,
    *(f"{foot}, toe {{toe_rounds}} rounds; {end}" for foot in _FEET for end in _ENDS),
    "{stitches_per_sock} stitches a sock.",
)

_TOLD_TOE_UP = (
    "Cast on {in_a_ring}, in a ring.",
    "Cast on {over_two}, closed, over two needles.",
    "Toe {toe_rounds} rounds, foot {foot_rounds} rounds, the last {gusset_rounds} of them with the gusset.",
    "Toe {toe_rounds} rounds, foot {foot_alone} rounds.",
    "Heel {heel_stitches} stitches, turn {turn_rows} short rows to {heel_centre}, flap {flap_rows} rows.",
    _OF_SHORT_ROWS,
    "Heel {heel_stitches} stitches, knitted after the bind-off in {late_rounds} rounds.",
    "Leg {leg_rounds} rounds, cuff {cuff_rounds}; an elastic bind-off.",
    "{stitches_per_sock} stitches a sock.",
)


def _known(line: str, numbers: Mapping[str, Any]) -> bool:
    """Whether the pattern has every number that the line names."""
    return all(numbers.get(name) is not None for _, name, _, _ in Formatter().parse(line) if name)


def likeness(pattern: Pattern) -> list[str]:
    """How sock two is like sock one, where they are not alike."""
    told = [*_feet(pattern)]
    if pattern.likeness == "cousins":
        told.append("Cousins: both have the same counts; colours and words are each one's own.")
    elif pattern.likeness == "mirrored" and mirrored(pattern) is pattern:
        rest = "else " if told else ""
        told.append(
            f"Mirrored: nothing {rest}in it leans to one side, so both are knitted by the same rows."
        )
    elif pattern.likeness == "mirrored":
        two = words.sock(2, pattern.of_socks)
        how = "its rows the other way round"
        if mirrored(pattern).other_way == pattern.other_way:
            how = "all that leans or crosses the other way, each where it stands"
        told.append(f"Mirrored: {two} has {how}, as told last.")
    return told


def _feet(pattern: Pattern) -> Iterator[str]:
    """Which sock is for which foot."""
    if pattern.of_feet:
        one, two = (words.sock(number, pattern.of_socks) for number in (1, 2))
        there = any(section.kind == "toe" for section in pattern.sections)
        last = f"; the toe of {two} is told last" if there else ""
        other = "right" if pattern.foot == "left" else "left"
        yield f"{one.capitalize()} is for the {pattern.foot} foot, {two} for the {other} one{last}."


def mirrored_sections(pattern: Pattern) -> list[tuple[int, Pattern]]:
    """The sections, by index, whose rows are others on sock two, each with the pattern that has them."""
    other = of_sock_two(pattern)
    both = enumerate(zip(pattern.sections, other.sections, strict=True))
    return [(index, other) for index, (one, two) in both if one.rows != two.rows]


def head_on_two(section: Section, other: Pattern) -> str:
    """A section of sock two as a heading: "Toe, sock two, right foot", "Leg, sock two, mirrored"."""
    own = section.kind == "toe" and other.of_feet
    how = f"{other.foot} foot" if own else "mirrored"
    return f"{head(section, other)}, {words.sock(2, other.of_socks)}, {how}"


def stripes(pattern: Pattern) -> list[str]:
    """The sequence of the stripes, and how they count."""
    if not pattern.colours.period:
        return []
    named = (f"{shorten(stripe.name)} {stripe.rounds}" for stripe in pattern.colours.stripes)
    lines = [f"Stripes: {', '.join(named)}, and again from the first. The heel does not count."]
    slips = slip_first(pattern.colours.stripes)
    if not slips:
        return lines
    every = len(slips) == len({stripe.name for stripe in pattern.colours.stripes})
    which = "every stripe" if every else and_all(shorten(name) for name in slips)
    return [
        *lines,
        f"In the second round of {which} slip the first stitch, so that it meets itself"
        f"{_not_after_a_rest(pattern)}.",
    ]


def _not_after_a_rest(pattern: Pattern) -> str:
    """Where rounds go on from within one: the needle that rests there has no stitch of its colour yet."""
    first = (section.rows[0] for section in pattern.sections if section.rows)
    rests = [row.needles[0].name for row in first if row.word in FROM_WITHIN]
    return f"; not right after a round in which {shorten(rests[0])} rests" if rests else ""


def _colours(threads: Threads, section: int, first: int, last: int) -> list[str]:
    """What the rows of a section after `first`, on to `last`, are worked in: where they begin and end."""
    begins, before = threads.at(section, first), threads.before(section, first)
    ends = threads.at(section, max(first, last - 1))
    if begins is None or ends is None:
        return []
    changes = before is not None and before.name != begins.name
    told = f"{'Change to' if changes else 'In'} {in_colour(*begins)}"
    goes_on = ends.of and last - first > 1
    return [f"{told}; it ends with {in_colour(*ends)}." if goes_on else f"{told}."]


# The rows


def _lines(section: Section, pattern: Pattern) -> Iterator[Line | Remark]:
    again = _again(section)
    told = heel_remark(section, pattern.numbers.heel_stitches, toe_up=pattern.toe_up)
    if told is not None and section.kind == LATE_HEEL:
        yield Remark(told)  # nothing is on the needles before that is done
    for block in folded.blocks(section.rows[:again], apart=section.kind == "leg"):
        yield from _block_lines(section, block)
        if section.kind == "gusset" and block.rows[0].word == "PICK":
            yield Remark(through_the_back(pattern))
    if told is not None and section.kind != LATE_HEEL:
        yield Remark(told)
    if again is not None:
        yield Remark(f"Repeat these {section.cycle}.")
    if section.goal is not None and section.rows:
        yield Remark(open_line(section, section.goal, pattern, section.rows[-1].number))
        yield from _goes_on(section, pattern)


def _goes_on(section: Section, pattern: Pattern) -> Iterator[Remark]:
    """How a repeat goes on past the heel, where the leg, or the foot, ends at another round than planned."""
    at = pattern.repeat_begins
    if at is None or pattern.sections[at].kind != section.kind:
        return
    last = max(section.rows[-1].number, section.lead_in)
    into = (last - section.lead_in) % section.cycle
    follows, again = section.lead_in + into + 1, section.cycle
    goes = "instep and leg still go" if pattern.toe_up else "the instep still goes"
    yield Remark(
        f"After round {last} the instep goes on as round {follows} is, and so it is written from here. "
        f"If this ends at another round, {goes} on with the round that would come next: take {again} "
        f"off its number until a round from {section.lead_in + 1} to {section.lead_in + again} is left, and "
        "work as that one; the next as the one after it. What lies beside it keeps its stitches"
        f"{', in the colours of the round' if pattern.colours.letters else ''}."
    )


def _again(section: Section) -> int | None:
    """Where the rows of a repeat have stood once that comes again until the tape says; None elsewhere."""
    if not section.rows:
        return None  # of what is left nothing is
    begins = section.lead_in + (section.first == 0)
    end, rows = begins + section.cycle, section.rows
    if section.goal is None or not section.counted or not 1 < section.cycle < len(rows) - begins:
        return None
    alike = all(row[1:] == rows[at][1:] for at, row in enumerate(rows[end:], start=begins))
    return end if alike else None


def _block_lines(section: Section, block: Block) -> Iterator[Line | Remark]:
    rows = block.rows
    if block.apart:
        yield from _lines_apart(section, block)
    elif block.alternate:
        yield _turn_line(section, rows[0::2])
        yield _turn_line(section, rows[1::2])
    elif block.period == 1:
        yield _line(section, rows)
    else:
        for row in rows[: block.period]:
            yield row_line(section, row)
        last = f"{words.unit(section.worked)} {rows[-1].number}"
        yield Remark(f"Repeat these {block.period}, to {last}: {block.times} times.")


def _lines_apart(section: Section, block: Block) -> Iterator[Line]:
    """Shaping with plain rows between: which rows it is, and what they leave; then what lies between."""
    shaping, unit = block.shaping, words.unit(section.worked)
    numbers = [row.number for row in shaping]
    steps = {later - one for one, later in pairwise(numbers)}
    name = f"{unit.capitalize()}s {and_all(map(str, numbers))}"
    if len(steps) == 1:
        every = ordinal(steps.pop())
        name = f"Every {every} {unit} from {numbers[0]} to {numbers[-1]}, {len(numbers)} times"
    yield _line(section, shaping)._replace(name=name)
    yield Line(f"The {unit}s between", _work(section, block.rows[1]), ((None, "unchanged"),))


def row_line(section: Section, row: Row) -> Line:
    """A single row of a section."""
    return _line(section, (row,))


def _line(section: Section, rows: Sequence[Row]) -> Line:
    """Rows of the same work, one after the other."""
    side = f" {rows[0].side}" if rows[0].side and section.kind not in CLOSED_BY else ""
    return Line(f"{_row_numbers(section, rows)}{side}", _work(section, rows[0]), _leaves(rows))


def _turn_line(section: Section, rows: Sequence[Row]) -> Line:
    """Of two works that take turns the rows of one."""
    which = "Odd" if rows[0].number % 2 else "Even"
    name = f"{which} {words.unit(section.worked, 2)} {rows[0].number} to {rows[-1].number}"
    side = f" {rows[0].side}" if rows[0].side else ""
    plain = all(_counts(row) == "/".join(map(str, row.before)) for row in rows)
    leaves: tuple[tuple[int | None, str], ...] = ((None, "unchanged"),) if plain else _leaves(rows)
    return Line(f"{name}{side}", _work(section, rows[0]), leaves)


def _leaves(rows: Sequence[Row]) -> tuple[tuple[int | None, str], ...]:
    """What rows leave: one count where it is the same after each, else each with its row."""
    if len({_counts(row) for row in rows}) == 1:
        return ((None, _counts(rows[0])),)
    return tuple((row.number, _counts(row)) for row in rows)


def _counts(row: Row) -> str:
    return "/".join(str(needle.leaves) for needle in row.needles)


def _work(section: Section, row: Row) -> str:
    """The work on every needle; where it is the same on all of a round, it is written once."""
    works = [shorten(or_rests(needle.work), LONGEST_WORK) for needle in row.needles]
    if section.worked == "rounds" and len(works) > 1 and len(set(works)) == 1:
        return f"every needle {works[0]}"
    return " | ".join(works)


def _row_numbers(section: Section, rows: Sequence[Row]) -> str:
    """ "Round 3", "Rounds 3 to 8", or what row 0 is."""
    name, first = words.unit(section.worked), rows[0]
    if first.number == 0:
        what = {"PICK": "Pick-up", "CLOSE": "Closing"}.get(first.word, "Set-up")
        return f"{what} {name}"
    if len(rows) == 1:
        return f"{name.capitalize()} {first.number}"
    return f"{name.capitalize()}s {first.number} to {rows[-1].number}"


def heel_remark(section: Section, heel: int | None, *, toe_up: bool) -> str | None:
    """How a heel is worked beyond its rows: what is done at the turns, or with waste yarn; else None.

    Where heel and instep are on one needle, `heel` stitches lie around the marker.
    """
    what = sides(section, 0) if is_short(section) else None
    if section.kind == HEEL_PLACE:
        return _in_waste_yarn(section, heel)
    if section.kind == LATE_HEEL and section.rows[0].word == "PICK":
        return _of_the_loops(section.rows[0].leaves // 2 - 2, toe_up=toe_up)
    if section.kind == HEEL_ROUNDS:
        return "Knit both legs of each double stitch as one."
    if what is None or (section.kind == FIRST_HALF and what.what == "wrapped"):
        return None
    if section.kind == FIRST_HALF:
        return "In the last row both legs of the double stitches at its end are knitted as one."
    if what.what == "wrapped":
        return (
            "The single stitch that ends a row is the wrapped one: work it with its wrap, from row 3 on with "
            "both its wraps."
        )
    return (
        "Each row from the third on goes through the double stitch, both legs as one, and 1 more."
    )


def _of_the_loops(half: int, *, toe_up: bool) -> str:
    """What the pick-up round of a heel knitted afterwards is: live loops, and few stitches beside them."""
    older, newer = sides_of_waste(toe_up=toe_up)
    return (
        f"First pass needle tips through one leg of each of the {half} stitches on the {older} side of the "
        f"waste yarn and of {half} on the {newer} side (one loop fewer shows there: take the one at the end "
        f"too); then take the waste yarn out and join the yarn at the corner where the {older} side begins: "
        "the round begins there. The loops are knitted; only the corner stitches, 2 and 2, are picked up and "
        "knitted."
    )


def _in_waste_yarn(section: Section, heel: int | None) -> str:
    """One run of waste yarn: where the heel lies on both sides of the border, from before it to after it."""
    first, last = section.needles[0], section.needles[-1]
    if section.needles == (ROUND,) and heel is not None:
        after, before = halves(heel)
        run, again = (
            f"from {before} stitches before the marker to {after} after it",
            f"the {before}",
        )
        where, rest = (
            f"Round 1 goes to {before} stitches before the marker",
            f"the other {after} are",
        )
    elif len(section.needles) > 2:
        run, again, rest = f"{last} and {first}", last, f"{first} is"
        where = f"Round 1 goes to where {last} begins"
    else:
        return (
            "Knit the heel's stitches with waste yarn first, slip them back, and knit them again with "
            "the working yarn."
        )
    return (
        f"{where}. There knit {run} with waste yarn, in one run; slip all back, and knit {again} with the "
        f"working yarn: {rest} knitted in the next round."
    )


def through_the_back(pattern: Pattern) -> str:
    """How round 1 after the pick-up closes the holes.

    Of two edges on one needle the first was met in the pick-up round already.
    """
    edge = "second edge's" if pattern.at_side else "picked-up"
    return (
        f"Work the {edge} stitches of round 1 through the back loop, this once, to close the holes."
    )


def open_line(section: Section, goal: Goal, pattern: Pattern, rows: int) -> str:
    """How far an open section goes, of so many rows, which the tape says; or again, where nobody counted."""
    end = write_length(goal.mm, pattern.unit)
    to = f"{end} {_from(goal, pattern, section.kind)}{_included(goal, pattern)}"
    if not section.counted:
        again = f"these {section.cycle}" if section.cycle > 1 else "this"
        return f"Repeat {again}, to {to}; the tape says when it ends."
    planned = f"{counted(rows, section.worked)} are planned"
    told = f"To {to}: {planned}, the tape says when it ends{_unwashed(goal, pattern)}."
    return f"{told}{_then_begins(goal, pattern, rows)}"


def _then_begins(goal: Goal, pattern: Pattern, rows: int) -> str:
    """From the toe up: how long the foot is, on the tape, where the gusset or the heel begins."""
    if not goal.less_heel or pattern.gauge is None:
        return ""
    left = goal.mm - gusset_and_heel_mm(pattern.sections, pattern.gauge.rows)
    length = write_length(before_washing(left, pattern.gauge.grows), pattern.unit)
    gusset = any(section.kind == "gusset" for section in pattern.sections)
    what = "gusset" if gusset else "heel"
    needles = " on the needles" if pattern.gauge.grows else ""
    at = f"{length} from the tip of the toe{needles}"
    return f" Begin the {what} when the foot measures {at}: round {rows} as planned."


def _unwashed(goal: Goal, pattern: Pattern) -> str:
    """Where washing changes the length: what the tape shows on the needles at the end."""
    if pattern.gauge is None or not pattern.gauge.grows:
        return ""
    lengths = (before_washing(goal.mm, pattern.gauge.grows), goal.mm)
    needles, washed = (write_length(length, pattern.unit) for length in lengths)
    toe = _included(goal, pattern)
    return f": {needles} on the needles{toe}, {washed} when washed"


def _included(goal: Goal, pattern: Pattern) -> str:
    """What follows the section and is of its goal."""
    if goal.less_heel:
        gusset = any(section.kind == "gusset" for section in pattern.sections)
        return ", gusset and heel included" if gusset else ", the heel included"
    return ", the toe included" if goal.less_toe else ""


def _from(goal: Goal, pattern: Pattern, kind: str) -> str:
    if (goal.mark, kind) == ("section", "foot"):
        return "from the waste yarn"
    at_tip = pattern.toe_up and goal.mark == "cast-on"
    return "from the tip of the toe" if at_tip else _FROM[goal.mark]


_FROM = {
    "cast-on": "from the cast-on edge", "cuff": "from the cuff", "heel": "from the heel",
    "section": "from where this section begins",
}  # fmt: skip
