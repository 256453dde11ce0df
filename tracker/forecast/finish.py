"""When it will be done: minutes to the end of a section, a sock and a pair, and days as she knits.

The rules are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import islice
from math import ceil, floor, hypot, sqrt

from tracker.forecast.coming import Coming
from tracker.forecast.pace import Pace, closing_minutes, minutes_to_go, unlikeness
from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Number
from tracker.knitting.worked import DAYS_KEPT, Worked, WorkedOn
from tracker.pattern.scores import AT_90
from tracker.pattern.stages import Stage, parts
from tracker.records import NamedTuple

FEWEST_DAYS = 2
"""Days with knitting, and sittings since a long pause, before a date can be said."""
LEAST_UNLIKE = 0.25
"""However alike a few days were, those to come will not be."""
LEAST_DAY = 1.0
"""Minutes a day below which no date is reckoned."""
FARTHEST = 3650
"""Days; what is farther away is no date."""


class Finish(NamedTuple):
    """Minutes of knitting left: of this sock and of all there is to knit; None where nobody can say.

    Of two socks that are worked together neither ends before the other: `sock` is None then. `known`
    is false until the pace is her own. `days` are the days until all is done (0: today), at the least and
    at the most, or None.
    """

    sock: int | None
    all: int | None
    per_minute: float
    known: bool
    days: tuple[int, int] | None = None


class Due(NamedTuple):
    """The stage in hand: rounds and minutes left of it, and days to its date (0: today; None: no date).

    `opens_in` are the days until it is given out, 0 or less once it is. `a_day` are the rounds a day
    that it takes until its date, `on_time` whether it is surely done by then as she knits, None if unknown;
    `late` that it hardly will be.
    """

    number: int
    rounds: int
    minutes: int
    opens_in: int | None
    due_in: int | None
    a_day: int | None
    on_time: bool | None
    bring: str = ""
    late: bool = False


def finish(coming: Coming, pace: Pace, worked: Worked, today: int) -> Finish:
    """What is left at this pace; `today` is her day (days since 1970)."""
    per_minute = pace.per_minute
    if not _all_counted(coming):
        return Finish(None, None, per_minute, pace.known)
    left = {number: minutes_of(coming, number, per_minute) for number in coming.socks}
    sock = None if _together(coming) else left[coming.number]
    whole = sum(left.values())
    days = days_of(whole, pace, worked, today) if whole else None
    return Finish(sock, whole, per_minute, pace.known, days)


def _together(coming: Coming) -> bool:
    """Whether both socks are worked together, and are finished together."""
    return coming.state.order.kind == "together" and len(coming.unfinished) == len(BOTH)


def minutes_of(coming: Coming, number: Number, per_minute: float) -> int:
    """Minutes left of a sock, those of the graft or of the bind-off among them."""
    if coming.state.sock(number).finished:
        return 0
    ended = len(coming.state.sock(number).ended)
    closing = sum(closing_minutes(section.kind) for section in coming.course.sections[ended:])
    knitted = minutes_to_go(coming.to_come(number, None), per_minute)
    return knitted + closing


def days_of(minutes: int, pace: Pace, worked: Worked, today: int) -> tuple[int, int] | None:
    """Days from today until so many minutes are knitted (0: today), at the least and at the most.

    None where nobody can say. Minutes by the median of the days with knitting, by the share of days that
    have any, of the last fortnight or since the first of all. How far it may be off: the pace, how unlike
    the days are, how few of them there were, and that those to come fall as they like. A day that was
    knitted on already has only the rest of its usual minutes.
    """
    days = _recent(worked.days, today)
    if len(days) < FEWEST_DAYS or worked.sittings < FEWEST_DAYS or not pace.known:
        return None
    each = max(LEAST_DAY, median(day.minutes for day in days))
    span = min(DAYS_KEPT, today - worked.days[0].day + 1)
    share = len(days) / max(span, len(days))
    has_knitted = days[-1].day == today
    left = max(0.0, minutes - max(0.0, each - days[-1].minutes)) if has_knitted else float(minutes)
    likely = left / each / share
    if likely > FARTHEST:
        return None
    unlike = max(LEAST_UNLIKE, unlikeness([max(LEAST_DAY, day.minutes) for day in days]))
    sittings = max(1.0, left / each)
    known, to_come = sqrt((1 - share) / (share * span)), sqrt((1 - share) / sittings)
    off = AT_90 * hypot(
        pace.doubt, unlike / sqrt(sittings), unlike / sqrt(len(days)), known, to_come
    )
    least, most = floor(likely / (1 + off)), ceil(likely * (1 + off))
    # A day that nobody has knitted on yet is itself the first of those to come.
    return (least, most) if has_knitted else (max(0, least - 1), max(0, most - 1))


def stage_of(
    coming: Coming, stages: Sequence[Stage], pace: Pace, worked: Worked, today: int
) -> Due | None:
    """The first stage that is not knitted; None where there is none. `today` as in `finish`."""
    for stage in stages:
        rounds, stitches, closing = _left_of(coming, stage)
        if not rounds:
            continue
        minutes = minutes_to_go(stitches, pace.per_minute) + closing
        due_in = None if stage.knit_by is None else stage.knit_by - today
        opens_in = None if stage.opens is None else stage.opens - today
        a_day = None if due_in is None or due_in < 0 else ceil(rounds / (due_in + 1))
        days = days_of(minutes, pace, worked, today) if minutes else None
        on_time, late = None, False
        if days is not None and due_in is not None:
            on_time, late = days[1] <= due_in, days[0] > due_in
        return Due(
            stage.number, rounds, minutes, opens_in, due_in, a_day, on_time, stage.bring, late
        )
    return None


def _left_of(coming: Coming, stage: Stage) -> tuple[int, int, int]:
    """Rounds, stitches and minutes of closing toes left to the end of a stage, on the socks it is for.

    A round of both, where they are worked together, is one.
    """
    course, rounds, stitches, closing = coming.course, [0], 0, 0
    last = max(sections_of(course, stage.sections), default=-1)
    together = _together(coming)
    for number in coming.socks if stage.both_socks or together else (coming.number,):
        rounds.append(0)
        rows, here = coming.rows(number), course.of(coming.state.sock(number))
        for index in range(last + 1):
            done = coming.done(number, index)
            left = max(0, rows[index] - done)
            section = here.sections[index]
            rounds[-1] += left
            closing += closing_minutes(section.kind) if left > 0 else 0
            made = [here.made(index, section.rows_to(row)) for row in (done, rows[index])]
            stitches += max(0, made[1] - made[0]) if left else 0
    return max(rounds) if together else sum(rounds), stitches, closing


def _called(course: Course, name: str) -> Sequence[int]:
    """The first section of that very name or kind, if there is one: no heel has all that heels may."""
    found = (at for at, there in enumerate(course.sections) if name in (there.name, there.kind))
    return [*islice(found, 1)]


def sections_of(course: Course, names: Sequence[str]) -> set[int]:
    """The sections that a stage names, with what leads to them. Names that are none are left out."""
    wanted = dict.fromkeys(part for name in names for part in parts(name))
    there = {at for part in wanted for at in _called(course, part)}
    leads = {at - 1 for at in there if at and course.sections[at - 1].leads_to_toe}
    return there | leads


def median(numbers: Iterable[float]) -> float:
    """The middle one of some numbers (one or more), or the mean of the two in the middle."""
    ordered = sorted(numbers)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def _recent(days: Sequence[WorkedOn], today: int) -> list[WorkedOn]:
    """The days with knitting of the last fortnight."""
    return [day for day in days if today - DAYS_KEPT < day.day <= today]


def _all_counted(coming: Coming) -> bool:
    return all(section.counted for section in coming.course.sections)


def ahead_of_sock_one(coming: Coming) -> float | None:
    """Minutes by which sock two is ahead of where sock one was after as much knitting; below 0: behind.

    None where either's minutes are not known, or sock one had not come so far.
    """
    if coming.number != 2:
        return None
    one, two = coming.state.socks
    if not two.begun or two.minutes is None or two.section >= len(one.minutes_at):
        return None
    ends = one.minutes_at[two.section]
    begins = one.minutes_at[two.section - 1] if two.section else 0.0
    if ends is None or begins is None:
        return None
    section, course = coming.course.sections[two.section], coming.course.of(two)
    rows = one.ended[two.section]
    whole = course.made(two.section, section.rows_to(rows))
    made = course.made(two.section, min(two.rows, section.rows_to(rows)))
    share = made / whole if whole else 0.0
    return begins + (ends - begins) * share - two.minutes
