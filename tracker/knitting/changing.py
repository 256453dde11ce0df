"""What a change does to the rows: a decrease skipped or added, edges picked up unevenly, other needles.

Each rule takes the course of the sock as it is and says what is to be recorded. Common practice, no
source, unless said.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import partial
from typing import cast, get_args

from tracker.knitting import borders
from tracker.knitting.changes import BadChange, Change, Coloured, Kind, Laid, Rewritten
from tracker.knitting.course import Course
from tracker.knitting.events import LONGEST_NOTE
from tracker.knitting.half_round import Inside, before_it
from tracker.knitting.laid import as_on
from tracker.knitting.recolouring import Ways, recoloured
from tracker.knitting.state import Sock
from tracker.knitting.used_up import waits
from tracker.pattern import heel, one_needle
from tracker.pattern.fit import halves
from tracker.pattern.flap_heel import gusset_rows
from tracker.pattern.instep import Instep
from tracker.pattern.layout import LAYOUTS, Layout
from tracker.pattern.model import ROUND, Row, Section
from tracker.pattern.phase_rows import letters_of
from tracker.pattern.plan import WillNotWork
from tracker.records import NamedTuple
from tracker.units import shorten

THINNEST_MM, THICKEST_MM = 0.5, 25.0
"""Needles that are made."""
FAR_OFF = 2.0
"""Times the needles of the pattern at which a size is no longer one for the same sock, but a slip."""


class Told(NamedTuple):
    """A change as it is to be recorded: where, its value as it is kept, and what it does to the rows."""

    section: int
    row: int
    value: str
    rewritten: tuple[Rewritten, ...] = ()
    laid: Laid | None = None
    coloured: Coloured | None = None
    own: bool = False
    """Whether it is of a sock's look, and no count: colours and words, which cousins do not share."""
    by: int | None = None
    """By how many stitches all borders moved now, where the value is that and moves told before it."""


_FINISHED = "it is finished; what is to be remembered is a note"
_AT_REST = (
    "it is at the end of the pattern so far; tell it once the next stage is there, or write a note"
)


def change(
    course: Course, sock: Sock, kind: str, value: str, row: int | None, ways: Ways | None = None
) -> Told:
    """What such a change on a sock comes to. Raises BadChange: one line, and what to write instead."""
    if kind not in get_args(Kind):
        raise BadChange(f'"{shorten(kind)}" is no change; write one of {", ".join(get_args(Kind))}')
    if sock.finished:
        raise BadChange(_AT_REST if waits(course, sock) else _FINISHED)
    if ways and any(ways) and kind != "colour":
        raise BadChange("late, stay and ball are said of a colour; write it without them")
    here = _Here(course, sock, " ".join(value.split()), row, ways or Ways())
    return _RULES[cast(Kind, kind)](here)._replace(own=kind in ("colour", "other"))


class _Here(NamedTuple):
    """A sock, and what she said: the value of the change, and the row if she named one."""

    course: Course
    sock: Sock
    value: str
    row: int | None
    ways: Ways = Ways()

    @property
    def section(self) -> Section:
        return self.course.sections[self.sock.section]

    @property
    def done(self) -> int:
        """The number of the last row done; -1 before a row 0."""
        return self.section.first - 1 + self.sock.rows

    @property
    def begun(self) -> int:
        """The number of the last row that is done or worked in part."""
        return self.done + self.sock.inside

    @property
    def unit(self) -> str:
        return "row" if self.section.worked == "rows" else "round"

    def coming(self) -> int:
        """The row from which on something is otherwise: the one named, or the next."""
        following = self.done + 1
        row = following if self.row is None else self.row
        most = max(self.section.planned, following) if self.section.goal else self.section.planned
        if not self.section.first <= row <= most:
            raise BadChange(
                f"the {self.section.name} has no {self.unit} {row}; write {self.section.first} to {most}"
            )
        return row


# Only told


def _needle(here: _Here) -> Told:
    found = re.fullmatch(r"(\d{1,2}(?:[.,]\d{1,3})?)\s*(?:mm)?", here.value, re.ASCII)
    size = float(found[1].replace(",", ".")) if found else 0.0
    if not THINNEST_MM <= size <= THICKEST_MM:
        raise BadChange(f'"{shorten(here.value)}" is no size of needle; write it in mm, like 2.25')
    planned = here.course.pattern.needle_mm
    if planned and not 1 / FAR_OFF < size / planned < FAR_OFF:
        near = max(THINNEST_MM, planned - 0.25)
        raise BadChange(
            f"{size:g} mm is far from the pattern's {planned:g} mm; write it in mm, like {near:g}"
        )
    return Told(here.sock.section, here.coming(), f"{size:g} mm")


def _text(here: _Here) -> Told:
    if not here.value:
        raise BadChange("say what is otherwise; write it after it, in words")
    if len(here.value) > LONGEST_NOTE:
        raise BadChange(f"say it in at most {LONGEST_NOTE} letters; this is {len(here.value)}")
    return Told(here.sock.section, here.coming(), here.value)


# Another colour


def _colour(here: _Here) -> Told:
    """From a row on it is worked in another colour, and the later stripes move with it, or stay."""
    row = here.coming()
    told = recoloured(here.course, here.sock, here.value, row, here.ways)
    return Told(here.sock.section, told.row, told.value, coloured=told.coloured)


# Other needles


def _set(here: _Here) -> Told:
    section, row = here.sock.section, here.coming()
    if row <= here.done:
        raise BadChange(
            f"{here.unit} {row} is done; other needles come with {here.done + 1} or later"
        )
    by = borders.move_told(here.value)
    if by is not None:
        return _borders_moved(here, row, by)
    if re.fullmatch(r"[ ]*\d{1,4}([ ]*/[ ]*\d{1,4})*[ ]*", here.value, re.ASCII):
        needles = tuple(int(stitches) for stitches in here.value.split("/"))
        if len(needles) > MOST_WORKING:
            raise BadChange(
                f"{len(needles)} needles at work are too many; write at most {MOST_WORKING}"
            )
        if here.sock.inside and row == here.done + 1:
            needles = _counted_inside(here, needles)
        told = "/".join(map(str, needles))
        return Told(section, row, told, laid=Laid(section, row, needles=needles))
    if here.value not in LAYOUTS:
        raise BadChange(
            f'"{shorten(here.value)}" is no set; write {", ".join(LAYOUTS)}, or the stitches on each '
            "needle, like 22/21/21"
        )
    needles = _as_on_set(here, row)
    if here.value == here.course.pattern.needle_set and not needles:
        raise BadChange(f"{here.value} is what it is on")
    return Told(section, row, here.value, laid=Laid(section, row, here.value, needles))


def _borders_moved(here: _Here, number: int, by: int) -> Told:
    """All borders the same way. With what was laid at that row before it is one change."""
    at, row = here.sock.section, here.section.row(number)
    borders.check_fit(here.section, row, number, by)
    laid = [
        one for one in here.sock.changes if one.laid is not None and one.place[:2] <= (at, number)
    ]
    before = max(laid, key=lambda one: one.place, default=None)
    was = before.laid if before is not None else None
    same = was if was is not None and (was.section, was.number) == (at, number) else None
    lay = borders.how(row)
    lies = borders.moved(lay, by)
    in_all = by + (was.moved if was is not None and was.names == lay.names else 0)
    again = borders.move_told(before.value) if same and before is not None else None
    told = Laid(at, number, same.set if same else "", lies.stitches, lies.names, in_all)
    only = None if again is None else by
    return Told(at, number, f"{by + (again or 0):+d}", laid=told, by=only)


def _as_on_set(here: _Here, row: int) -> tuple[int, ...]:
    """Where the stitches hang on needles of her own choice: on each needle of the set she names.

    They then lie as they would have without that choice. Nothing where they lie as on a set.
    """
    section, chosen = here.sock.section, [one for one in here.sock.changes if _by_counts(one)]
    if not any(one.section == section and one.row <= row for one in chosen):
        return ()
    now = here.course.sections[section].row(row)
    for without in _without_choice(here, chosen):
        as_planned = without.sections[section].row(row)
        held = as_on(without.pattern, here.value, section, row)
        if held is not None and sum(held) == sum(now.before):
            lies = (now.before, _names(now)) == (as_planned.before, _names(as_planned))
            return () if lies else held
    return ()


def _by_counts(change: Change) -> bool:
    return change.laid is not None and bool(change.laid.needles)


def _without_choice(here: _Here, chosen: Sequence[Change]) -> Iterator[Course]:
    """The course without what she laid by numbers: with all else, or where that fails with sets alone."""
    rest = [one for one in here.sock.changes if one not in chosen]
    sets = [_named(one) for one in here.sock.changes if one.laid is not None and one.laid.set]
    rest += [_named(one) for one in chosen if one.laid is not None and one.laid.set]
    for changes in (rest, sets):
        with suppress(ValueError):
            yield here.course.planned.changed(changes)


def _named(change: Change) -> Change:
    """Another set, laid as the pattern has it."""
    laid = change.laid
    return change if laid is None else change._replace(laid=laid._replace(needles=()))


def _names(row: Row) -> list[str]:
    return [needle.name for needle in row.needles]


def _counted_inside(here: _Here, hanging: tuple[int, ...]) -> tuple[int, ...]:
    """What she counts on each needle inside a round, as it was at the beginning of that round."""
    row = here.course.row(here.sock.section, here.sock.rows)
    if row.side is not None:
        return hanging
    return before_it(row, Inside(here.sock.needles, here.sock.into), hanging)


MOST_WORKING = 6
"""Needles at work in a round, the free one not counted."""


# Decreases


def _no_value(here: _Here) -> None:
    if here.value:
        raise BadChange(f'"{shorten(here.value)}" is one word too many; write the row as --row N')


def _skipped(here: _Here) -> Told:
    """The row was worked plainly; its decreases are made in the next plain row that is still to come."""
    _no_value(here)
    rows = _rows_from(here, here.done if here.row is None else here.row, shaped=True)
    works = [_work(row) for row in rows]
    skipped, works[0] = works[0], _beside(here, rows[0], _plain_work(here, rows[0]))
    at = _first(rows, lambda row: row.number > here.begun and _is_even(here, row))
    if at is None:
        works.append(_beside(here, _after(here), skipped))
    else:
        works[at] = _beside(here, rows[at], skipped)
        works = works[: at + 1]
    return _rewritten(here, rows[0].number, works)


def _extra(here: _Here) -> Told:
    """The row was worked with the decreases of the next one that has any, which is then plain."""
    _no_value(here)
    rows = _rows_from(here, here.done if here.row is None else here.row, shaped=False)
    at = _first(rows, lambda row: row.number > here.begun and _is_shaped(row))
    if at is None:
        raise BadChange(
            f"no decrease is left in the {here.section.name} to leave out for it; tell it with other"
        )
    works = [_work(row) for row in rows[: at + 1]]
    works[at] = _beside(here, rows[at], works[0])
    works[0] = _beside(here, rows[0], _work(rows[at]))
    return _rewritten(here, rows[0].number, works)


def _rows_from(here: _Here, number: int, *, shaped: bool) -> list[Row]:
    """The rows of the section in hand from `number` on, the first of which must have decreases, or none."""
    section = here.section
    rows = [row for row in section.rows if row.number >= max(number, 1)]
    right = _is_shaped if shaped else partial(_is_even, here)
    # Of an open section only what leads into it is shaped, a calf; its rows are all written out.
    leads = section.goal is None or 0 < number <= section.lead_in
    if leads and rows and rows[0].number == number and right(rows[0]):
        return rows
    named = [row.number for row in section.rows if row.number and right(row)]
    if any(row.word == "INC" for row in section.rows):
        raise BadChange(
            f"the {section.name} increases: one that was left out is made in the next plain {here.unit};"
            " tell it with other TEXT"
        )
    if not any(map(_is_shaped, section.rows)):
        ended = (
            here.course.sections[here.sock.section - 1]
            if number < 1 and here.sock.section
            else None
        )
        if ended is not None and any(map(_is_shaped, ended.rows)):
            last = here.sock.ended[-1]
            raise BadChange(
                f"round {last} ended the {ended.name}; take it back, tell it with --row {last}, then count it"
            )
        raise BadChange(f"no {here.unit} of the {section.name} decreases; tell it with other TEXT")
    if not leads and number in named:
        raise BadChange(f"no decrease is left in the {section.name}; tell it with other TEXT")
    if not named:
        raise BadChange(f"no {here.unit} of the {section.name} is plain; tell it with other TEXT")
    nearest = min(named, key=lambda one: (abs(one - number), one))
    if number < 1:
        raise BadChange(f"no {here.unit} of the {section.name} is done; write --row {nearest}")
    lacks = "has no decrease" if shaped else "is not plain"
    raise BadChange(f"{here.unit} {number} of the {section.name} {lacks}; write --row {nearest}")


def _rewritten(here: _Here, number: int, works: Sequence[str]) -> Told:
    last = max(here.section.planned, number + len(works) - 1)
    rewritten = Rewritten(here.sock.section, number, tuple(works), last)
    return Told(here.sock.section, number, "", (rewritten,))


def _work(row: Row) -> str:
    side = f"{row.side}: " if row.side else ""
    return side + " | ".join(needle.work for needle in row.needles)


def _plain_work(here: _Here, row: Row) -> str:
    """What a plain row of the section is, the nearest one's."""
    plain = [one for one in here.section.rows if one.number and _is_even(here, one)]
    if not plain:
        return " | ".join("k" for _ in row.needles)
    return _work(min(plain, key=lambda one: (abs(one.number - row.number), one.number)))


def _is_plain(row: Row) -> bool:
    return row.side is None and row.plain


def _is_even(here: _Here, row: Row) -> bool:
    """Whether a row takes no stitch away: beside a repeat on the instep the sole is looked at."""
    if not _has_repeat(here):
        return _is_plain(row)
    return row.side is None and row.word not in (here.course.pattern.gusset_word, "PICK")


def _after(here: _Here) -> Row:
    """The row that comes after a section: the next one's first, where that lies on the same needles."""
    at, last = here.sock.section, here.section.rows[-1]
    following = here.course.sections[at + 1].rows[0] if at < here.course.last else last
    return following if len(following.needles) == len(last.needles) else last


def _has_repeat(here: _Here) -> bool:
    return here.section.kind == "gusset" and here.course.pattern.goes_on


def _beside(here: _Here, row: Row, work: str) -> str:
    """A row's work with the sole's of another: the instep keeps its row of the repeat."""
    if not _has_repeat(here):
        return work
    own, other = _work(row).split(" | "), work.split(" | ")
    where = slice(0, 1) if len(own) == 2 else slice(1, -1)
    if len(own) == len(other):
        other[where] = own[where]
    return " | ".join(other)


def _is_shaped(row: Row) -> bool:
    return row.side is None and row.word == "DEC"


def _first(rows: Sequence[Row], right: Callable[[Row], bool]) -> int | None:
    """The place of the first of those rows after the first one that is right."""
    return next((place for place, row in enumerate(rows) if place and right(row)), None)


# Uneven edges


def _picked_up(here: _Here) -> Told:
    """The gusset with as many stitches picked up along each edge as there really are."""
    course = here.course
    at, turn, flap = (course.find(kind) for kind in ("gusset", "turn", "flap"))
    if at is None or turn is None or flap is None or course.sections[at].first != 0:
        raise BadChange("this pattern has no gusset that is picked up; tell it with other TEXT")
    gusset = course.sections[at]
    if here.sock.section > at or (here.sock.section == at and here.sock.rows > 1):
        raise BadChange(
            "the gusset is on its way; edges are told once both are picked up, before round 1"
        )
    if here.sock.section == at and here.sock.inside:
        raise BadChange("the round is half worked; finish it, then tell the edges")
    names = tuple(needle.name for needle in gusset.rows[0].needles)
    layout = Layout(names, at_side=at - turn > 1)
    if names == (ROUND,) and here.course.pattern.numbers.instep_stitches is not None:
        layout = one_needle.parts(at_side=layout.at_side)
        names = layout.names
    if len(names) != (2 if layout.at_side else len(names)) or not 2 <= len(names) <= 4:
        raise BadChange(
            "the edges of this gusset are on needles of their own; tell it with other TEXT"
        )
    made = _gusset(here, gusset, layout, live=course.sections[turn].rows[-1].leaves, flap=flap)
    return _of_gusset(here, at, layout, made, course.sections[turn].rows[-1].leaves)


def _gusset(here: _Here, planned: Section, layout: Layout, live: int, flap: int) -> heel.Gusset:
    ended = here.sock.ended
    rows = ended[flap] if flap < len(ended) else here.course.sections[flap].planned
    last = planned.rows[-1]
    instep = here.course.pattern.numbers.instep_stitches
    if not layout.together or instep is None:
        instep = sum(layout.instep(last.holding(len(last.needles))))
    try:
        return heel.gusset(
            live,
            heel.read_picked_up(here.value, rows),
            here.course.pattern.gap,
            instep,
            last.leaves,
            plain_first=not _is_shaped(planned.rows[1]),
        )
    except WillNotWork as bad:
        raise BadChange(bad.why) from None


def _of_gusset(here: _Here, at: int, layout: Layout, made: heel.Gusset, live: int) -> Told:
    gusset = here.course.sections[at]
    course, rows = here.course, gusset.rows[1:]
    foot = course.sections[at + 1] if at < course.last else None
    down = _down_beside(here, gusset, foot, layout)
    written = gusset_rows(layout, made, live, down)
    begins: tuple[int, ...] = (*down.holds, live + made.picked_up[0]) if layout.at_side else ()
    if layout.together:
        held = begins or (halves(live)[0], *down.holds, halves(live)[1])
        written, begins = one_needle.all_joined(written, held), (sum(begins),) * bool(begins)
    found = [Rewritten(at, 0, tuple(written), made.rounds, begins)]
    if layout.at_side:
        edge = f"RS: k{live}, pick up {made.picked_up[0]}"
        found.insert(0, Rewritten(at - 1, 1, (edge,), 1))
    following, more = at + 1, made.rounds - len(rows)
    if more and foot is not None and foot.kind == "foot":
        planned = max(1, foot.planned - more)
        rounds = range(1 + more, 1 + more + planned) if course.pattern.goes_on else range(0)
        moved = tuple(_work(foot.row((number - 1) % foot.cycle + 1)) for number in rounds)
        found.append(Rewritten(following, 1, moved, planned))
    chains = "/".join(str(up - here.course.pattern.gap) for up in made.picked_up)
    return Told(at, 0, chains, tuple(found))


def _down_beside(here: _Here, gusset: Section, foot: Section | None, layout: Layout) -> Instep:
    """What the instep does beside a gusset and after it."""
    if layout.together:
        picked = gusset.rows[0]
        patterned, holds = one_needle.instep_of(picked.needles[0].work, sum(picked.before))
        return Instep(holds, (patterned,))
    rows = gusset.rows[1:2]
    if here.course.pattern.goes_on and foot is not None and foot.kind == "foot":
        # The instep works row after row of the repeat, however many rounds the gusset has.
        rows = tuple(
            foot.row((number - gusset.planned - 1) % foot.cycle + 1) for number in range(foot.cycle)
        )
    where = slice(0, 1) if layout.at_side else slice(1, -1)
    return Instep(
        layout.instep(gusset.rows[1].before),
        tuple(layout.instep([needle.work for needle in row.needles]) for row in rows),
        tuple(layout.instep([needle.leaves for needle in row.needles]) for row in rows),
        tuple(letters_of(row, where) for row in rows),
    )


_RULES: Mapping[Kind, Callable[[_Here], Told]] = {
    "skipped-decrease": _skipped,
    "extra-decrease": _extra,
    "needle": _needle,
    "set": _set,
    "colour": _colour,
    "picked-up": _picked_up,
    "other": _text,
}
