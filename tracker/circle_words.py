"""What a line of the circle says: one knitter of many, where she is, and whether she waits for anything."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal, NamedTuple

from tracker.forecast.finish import Due
from tracker.glance import Glance, Place, Shown, look
from tracker.hours import counted_days, day
from tracker.knitting.course import Course
from tracker.knitting.state import Check, Note, State, other
from tracker.stage_words import until
from tracker.units import shorten
from tracker.vocabulary import called, counted, sock, unit

AWAY_DAYS = 7
"""Days without knitting after which somebody is away: from one lesson to the next."""

Stitches = Literal["ok", "wrong", "none"]
Reason = Literal["stitches", "question", "behind", "away", "rest"]
"""Why a knitter stands where she does in the circle; in the order of the groups."""


class Knitter(NamedTuple):
    """One of the circle, `name` and `title` and `question` a stranger's text.

    `days` are those since anything was recorded, `today` her reader's day (since 1970). `stage` is the
    stage in hand, None where there is none; `staged` is true of a pattern that has any.
    """

    name: str
    title: str
    place: Place
    stitches: Stitches
    days: int
    question: str
    stage: Due | None
    staged: bool
    of_socks: bool
    finished: bool
    today: int
    waits: str = ""
    """Until when that is all, of one whose sock in hand has come to the end of the pattern so far."""
    resting: bool = False
    """Whether both socks have: then she waits for the next stage, and is not away."""

    @property
    def behind(self) -> bool:
        """The date of the stage in hand has gone by, or will have as she knits."""
        due = self.stage
        return (
            due is not None and due.due_in is not None and (due.due_in < 0 or due.on_time is False)
        )

    @property
    def reason(self) -> Reason:
        """The group in which she stands."""
        if self.stitches == "wrong":
            return "stitches"
        if self.question:
            return "question"
        if self.behind:
            return "behind"
        over = self.finished or self.resting
        return "away" if self.days >= AWAY_DAYS and not over else "rest"


def knitter_of(
    course: Course, state: State, shown: Shown, own: Mapping[str, Any], last_day: int
) -> Knitter:
    """One of the circle, from her replay.

    `own` are title and knitter of her pattern: its course may be shared. `last_day` is that of her last
    act (since 1970).
    """
    glance = look(course, state, shown)
    staged = bool(course.pattern.stages)
    name, title = (str(own.get(field, "")).strip() for field in ("knitter", "title"))
    return Knitter(
        name or title or shown.pair,
        title,
        glance.place,
        _stitches(state),
        max(0, shown.today - last_day),
        _question(state),
        _stage([glance, look(course, state, shown, other(state.hand))]) if staged else None,
        staged,
        glance.of_socks,
        all(one.finished and not one.waits for one in glance.socks),
        shown.today,
        until(glance.used_up) if glance.used_up else "",
        bool(glance.used_up and glance.used_up.both),
    )  # fmt: skip


def _stitches(state: State) -> Stitches:
    checks: list[Check] = [one.check for one in state.socks if one.check is not None]
    if not checks:
        return "none"
    return "ok" if max(checks, key=lambda check: check.event).matches else "wrong"


def _question(state: State) -> str:
    """Her last note, where it asks something: a note after it says that it is settled."""
    notes: list[Note] = [note for one in state.socks for note in one.notes]
    text = max(notes, key=lambda note: note.event).text.strip() if notes else ""
    return text if is_question(text) else ""


def is_question(note: str) -> bool:
    """Whether a note asks something of the teacher."""
    return note.lstrip().startswith("?")


def _stage(glances: Sequence[Glance]) -> Due | None:
    """The stage in hand, of the sock that is farther in it: one for both is the same on either."""
    found = [glance.time.stage if glance.time else None for glance in glances]
    stages = [due for due in found if due is not None]
    if len(stages) < len(found):
        return None
    return max(stages, key=lambda due: (due.number, -due.rounds))


# What is said


def line(one: Knitter) -> str:
    """A knitter in one line: what she waits for, where she is, since when, how it stands with her stage."""
    told = [_where(one), f"stitches {_STITCHES[one.stitches]}", _since(one.days), stage(one)]
    told += [f"asks: {question(one)}"] if one.question else []
    return f"{shorten(one.name)}: {'; '.join(part for part in told if part)}"


_STITCHES = {
    "ok": "right at the last count", "wrong": "not right at the last count", "none": "not counted",
}  # fmt: skip


def _where(one: Knitter) -> str:
    here = one.place
    if one.finished:
        return "finished"
    where = f"{sock(here.sock, one.of_socks)}, {called(here, one.of_socks)}"
    if one.waits:
        return f"{where} done"
    if here.finished:
        return f"{sock(here.sock, one.of_socks)} finished"
    return f"{where} {unit(here.worked)} {here.done}" if here.done else f"{where} to begin"


def _since(days: int) -> str:
    if not days:
        return "knitted today"
    return "knitted yesterday" if days == 1 else f"last knitted {counted_days(days)} ago"


def stage(one: Knitter) -> str:
    """Before or behind the date of the stage in hand; "" where the pattern has no stages, or no dates."""
    due = one.stage
    if due is None and one.waits:
        return one.waits
    if due is None:
        return "every stage done" if one.staged else ""
    named = f"stage {due.number}"
    if due.opens_in is not None and due.opens_in > 0:
        return f"{named} opens on {day(one.today + due.opens_in, one.today)}"
    left = f"{counted(due.rounds, 'rounds')} to go"
    if due.due_in is None:
        return f"{named}, {left}"
    if due.due_in < 0:
        return f"{named}, {left}, {counted_days(-due.due_in)} behind its date"
    when = f"{counted_days(due.due_in)} before its date" if due.due_in else "its date is today"
    return f"{named}, {left}, {when}{', more than is knitted by then' if one.behind else ''}"


def question(one: Knitter) -> str:
    """What she asks, without its sign, fit for a line."""
    return shorten(one.question.lstrip("? "), 120) or "?"


def as_json(one: Knitter) -> dict[str, Any]:
    """A knitter of the `circle` object."""
    here, due = one.place, one.stage
    return {
        "knitter": one.name,
        "title": one.title,
        "sock": here.sock,
        "section": here.section,
        "round": here.done,
        "finished": one.finished,
        "stitches": one.stitches,
        "days_since": one.days,
        "question": one.question or None,
        "stage": None
        if due is None
        else {"number": due.number, "rounds_to_go": due.rounds, "days_to_date": due.due_in},
        "behind": one.behind,
        "waits_for": one.reason,
        "text": line(one),
    }


# The order

_GROUPS: tuple[Reason, ...] = ("stitches", "question", "behind", "away", "rest")
FIRST: Reason = _GROUPS[0]
"""The group that stands first, in the order in which it was read: it need not wait for the others."""


def in_order(circle: Sequence[Knitter]) -> list[Knitter]:
    """Stitches not right, in the order they came; then questions, behind, away longest, and the rest."""
    return sorted(circle, key=_rank)


def by_name(circle: Sequence[Knitter]) -> list[Knitter]:
    """By what they are called, small and large letters alike."""
    return sorted(circle, key=_name)


def _rank(one: Knitter) -> tuple[int, int, tuple[str, str]]:
    group = _GROUPS.index(one.reason)
    if one.reason == FIRST:
        return group, 0, ("", "")
    due = one.stage
    days = due.due_in if one.reason == "behind" and due and due.due_in is not None else -one.days
    return group, 0 if one.reason == "rest" else days, _name(one)


def _name(one: Knitter) -> tuple[str, str]:
    return one.name.casefold(), one.name
