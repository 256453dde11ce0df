"""What a line of the circle says: one knitter of many, where she is, and whether she waits for anything."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

from tracker.ask_words import question
from tracker.forecast.finish import Due
from tracker.glance import Glance, Place, Shown, UsedUpSight
from tracker.hours import counted_days, day
from tracker.knitting.asking import Questions, questions
from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Check, Number, State, other
from tracker.looking import look
from tracker.records import NamedTuple
from tracker.stage_words import given_out
from tracker.units import shorten
from tracker.vocabulary import called, counted, sock, unit

AWAY_DAYS = 7
"""Days without knitting after which somebody is away: from one lesson to the next."""

Stitches = Literal["ok", "wrong", "none"]
Reason = Literal["stitches", "question", "behind", "away", "rest"]
"""Why a knitter stands where she does in the circle; in the order of the groups."""


class Part(NamedTuple):
    """Stages by sock: `done` has finished stage `number`, of which the other has `rounds` to go.

    `join` is the stage that was given out and is not joined yet, 0 where none is.
    """

    done: Number
    number: int
    rounds: int
    join: int = 0


class Knitter(NamedTuple):
    """One of the circle, `name`, `title`, `question` and `settled` a stranger's text.

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
    to_join: UsedUpSight | None = None
    """The next stage, where the sock in hand waits for it and it was given out already."""
    part: Part | None = None
    """How it stands sock by sock, where one has done more of the stages than the other that is begun."""
    more: int = 0
    """Open questions besides the oldest, which is `question`."""
    settled: str = ""
    """The question that was settled last, until another is asked."""
    older: int = 0
    """Older packs of the same pair, which were passed over."""
    parted: str = ""
    """Where this and another pack of the same pair parted, "" where there is no other."""

    @property
    def behind(self) -> bool:
        """The date of the stage in hand, or to be joined, has gone by, or will have as she knits."""
        days, due = self.days_to_date, self.stage
        return days is not None and (days < 0 or (due is not None and due.on_time is False))

    @property
    def days_to_date(self) -> int | None:
        """Days to the date of the stage in hand, or of the one to be joined; below 0 behind it."""
        if self.stage is not None:
            return self.stage.due_in
        return None if self.to_join is None else self.to_join.due_in

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
    glances = [glance if glance.place.sock == n else look(course, state, shown, n) for n in BOTH]
    staged = bool(course.pattern.stages)
    part = _part(state, glances, shown.today) if staged else None
    found = questions(state)
    open_now = found.open
    name, title = (str(own.get(field, "")).strip() for field in ("knitter", "title"))
    return Knitter(
        name or title or shown.pair,
        title,
        glance.place,
        _stitches(state),
        max(0, shown.today - last_day),
        open_now[0].text if open_now else "",
        _stage(glances, part) if staged else None,
        staged,
        glance.of_socks,
        all(one.finished and not one.waits for one in glance.socks),
        shown.today,
        given_out(glance.used_up) if glance.used_up else "",
        bool(glance.used_up and glance.used_up.both),
        glance.used_up if glance.used_up and glance.used_up.is_out else None,
        part,
        max(0, len(open_now) - 1),
        _settled_last(found),
    )  # fmt: skip


def _settled_last(found: Questions) -> str:
    """Of several that one note settled the newest."""
    just = found.settled.get(found.last)
    return just[-1].text if just else ""


def _stitches(state: State) -> Stitches:
    checks: list[Check] = [one.check for one in state.socks if one.check is not None]
    if not checks:
        return "none"
    return "ok" if max(checks, key=lambda check: check.event).matches else "wrong"


def _part(state: State, glances: Sequence[Glance], today: int) -> Part | None:
    """How it stands with the stages where the socks are not at the same; None where that need not be said."""
    dues = [glance.time.stage if glance.time else None for glance in glances]
    one, two = (due.number if due else _EVERY for due in dues)
    done: Number = 1 if one > two else 2
    behind = dues[2 - done]
    if one == two or behind is None or not state.sock(other(done)).begun:
        return None
    rests = glances[done - 1].used_up
    given = rests is not None and rests.number and (rests.opens is None or rests.opens <= today)
    join = rests.number if rests is not None and rests.number and given else 0
    return Part(done, behind.number, behind.rounds, join)


_EVERY = 10**6
"""After every number of a stage."""


def _stage(glances: Sequence[Glance], part: Part | None) -> Due | None:
    """The stage in hand, of the sock that is farther in it: one for both is the same on either.

    Where the farther one waits for a stage that is not joined yet, it is that of the other.
    """
    found = [glance.time.stage if glance.time else None for glance in glances]
    stages = [due for due in found if due is not None]
    waits = part is not None and glances[part.done - 1].used_up is not None
    if len(stages) < len(found) and not waits:
        return None
    return max(stages, key=lambda due: (due.number, -due.rounds))


# What is said


def line(one: Knitter) -> str:
    """A knitter in one line: what she waits for, where she is, since when, how it stands with her stage."""
    told = [_where(one), f"stitches {_STITCHES[one.stitches]}", _since(one.days), stage(one)]
    if one.question:
        told.append(f"asks: {question(one.question)}{f' (+{one.more})' if one.more else ''}")
    if one.settled:
        told.append(f"settled: {question(one.settled)}")
    if one.parted:
        told.append(f"this pair has two histories, which parted {one.parted}")
    if one.older:
        told.append(f"{one.older} older pack{'s' if one.older > 1 else ''} passed over")
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
    due, part = one.stage, one.part
    if part is not None:
        return _sock_by_sock(one, part)
    if due is None and one.to_join is not None:
        return f"{one.waits} and is not joined yet{_by_its_date(one, one.to_join.due_in)}"
    if due is None and one.waits:
        return one.waits
    if due is None:
        return "every stage done" if one.staged else ""
    return _in_hand(one, due, _to_go(due))


def _to_go(due: Due) -> str:
    return f", {counted(due.rounds, 'rounds')} to go"


def _in_hand(one: Knitter, due: Due, left: str) -> str:
    """ "stage 2, 46 rounds to go, 10 days before its date", with what is `left` of it as given."""
    named = f"stage {due.number}"
    if due.opens_in is not None and due.opens_in > 0:
        return f"{named} opens on {day(one.today + due.opens_in, one.today)}"
    return f"{named}{left}{_by_its_date(one, due.due_in)}"


def _by_its_date(one: Knitter, days: int | None) -> str:
    """ ", 10 days before its date"; "" where it has none."""
    if days is None:
        return ""
    if days < 0:
        return f", {counted_days(-days)} behind its date"
    when = f"{counted_days(days)} before its date" if days else "its date is today"
    return f", {when}{', more than is knitted by then' if one.behind else ''}"


def _sock_by_sock(one: Knitter, part: Part) -> str:
    """ "stage 1 done on sock one, 23 rounds to go on sock two; stage 2 not yet joined"."""
    done, rest = (sock(number, one.of_socks) for number in (part.done, other(part.done)))
    left = f" done on {done}, {counted(part.rounds, 'rounds')} to go on {rest}"
    due = one.stage
    if due is None:
        named = f"every stage done on {done}, {counted(part.rounds, 'rounds')}"
        return f"{named} of stage {part.number} to go on {rest}"
    if due.number == part.number:
        joined = f"; stage {part.join} not yet joined" if part.join else ""
        return f"{_in_hand(one, due, left)}{joined}"
    return f"stage {part.number}{left}; {_in_hand(one, due, _to_go(due))}"


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
        "more_questions": one.more,
        "settled": one.settled or None,
        "older_packs": one.older,
        "parted": one.parted or None,
        "stage": None
        if due is None
        else {"number": due.number, "rounds_to_go": due.rounds, "days_to_date": due.due_in},
        "to_join": None
        if one.to_join is None
        else {"number": one.to_join.number, "days_to_date": one.to_join.due_in},
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
    days = one.days_to_date if one.reason == "behind" else None
    days = -one.days if days is None else days
    return group, 0 if one.reason == "rest" else days, _name(one)


def _name(one: Knitter) -> tuple[str, str]:
    return one.name.casefold(), one.name
