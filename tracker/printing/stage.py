"""One stage of a pattern on a sheet of its own: when, what to bring, what to have before it and after."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from tracker.forecast.finish import sections_of
from tracker.knitting.course import Course
from tracker.knitting.used_up import is_whole, next_stage
from tracker.pattern.model import Pattern, Row, Section
from tracker.pattern.stages import Stage
from tracker.printing.dates import date
from tracker.printing.sheet import Facts, Part, Points
from tracker.records import NamedTuple
from tracker.units import shorten
from tracker.vocabulary import and_all, counted, section


class NoStage(ValueError):
    """A pattern has no such stage; the message says which it has."""


class Stretch(NamedTuple):
    """What a sheet is about: sections by index, in order, and the stage that they are, if any."""

    indexes: tuple[int, ...]
    stage: Stage | None = None


def stretch(course: Course, number: int | None) -> Stretch:
    """The sections of stage `number`, or all where none is named. Raises NoStage."""
    if number is None:
        return Stretch(tuple(range(course.last + 1)))
    stages = course.pattern.stages
    found = next((stage for stage in stages if stage.number == number), None)
    if found is None:
        raise NoStage(_unknown(number, sorted({stage.number for stage in stages})))
    indexes = tuple(sorted(sections_of(course, found.sections)))
    if not indexes:
        raise NoStage(f'stage {number} names no section that there is; write sections = ["leg"]')
    return Stretch(indexes, found)


def _unknown(number: int, there: Sequence[int]) -> str:
    if not there:
        return "it has no stages; leave --stage out, or write [[stage]] in its plan"
    known = f"{'stage' if len(there) == 1 else 'stages'} {and_all(map(str, there))}"
    return f"there is no stage {number}; it has {known}"


def facts(stage: Stage, of_socks: bool) -> Facts:
    """When a stage is given out and is to be knitted, whether on both socks, and what to bring."""
    both = f"on both{' socks' if of_socks else ''}" if stage.both_socks else ""
    told = (
        ("Given out", date(stage.opens)),
        ("Knit by", ", ".join(filter(None, (date(stage.knit_by), both)))),
        ("Bring", stage.bring.strip()),
    )
    return Facts(tuple((name, fact) for name, fact in told if fact))


def to_come(pattern: Pattern, resting: Sequence[str] = ()) -> list[Part]:
    """When a pattern that is not all there goes on, as far as that was told, and with what socks rest."""
    if is_whole(pattern):
        return []
    coming = next_stage(pattern)
    told = ["This is all of the pattern so far."]
    if coming is not None:
        names = and_all(shorten(name) for name in coming.sections) if coming.sections else ""
        what = f"Stage {coming.number}{f' ({names})' if names else ''}"
        when = (
            f" is given out on {date(coming.opens)}" if coming.opens is not None else " is to come"
        )
        told.append(f"{what}{when}.")
    return [Part("To come", (Points((*told, *resting)),))]


def around(
    course: Course, indexes: Sequence[int], counts: Sequence[int], sure: Collection[int] = ()
) -> tuple[Part, Part]:
    """What she should have on her needles where a stretch begins, and what where it ends.

    The `counts` of open sections are about right; those of the `sure` ones are so.
    """
    first, last = indexes[0], indexes[-1]
    there = _after(course, first - 1, counts, sure) if first else _CAST_ON
    return (
        Part("What you should have", (Points((there,)),)),
        Part("What to reach", (Points((_after(course, last, counts, sure),)),)),
    )


_CAST_ON = "Nothing yet: it begins with the cast-on."


def _after(course: Course, index: int, counts: Sequence[int], sure: Collection[int]) -> str:
    """ "After the leg, about 46 rounds: 16/16/16/16 = 64 on the needles." """
    there = course.sections[index]
    row = there.row(max(counts[index], there.first))
    about = "about " if there.goal is not None and index not in sure else ""
    told = row.number and (there.counted or index in sure)
    rows = f", {about}{counted(row.number, there.worked)}" if told else ""
    name = section(there.called, course.pattern.of_socks)
    return f"After the {name}{rows}: {_on(row)}{_rests(there)}."


def _on(row: Row) -> str:
    counts = [needle.leaves for needle in row.needles]
    if not sum(counts):
        return "no stitches are left on the needles"
    joined = "/".join(map(str, counts))
    total = f" = {sum(counts)}" if len(counts) > 1 else ""
    return f"{joined}{total} on the {'needles' if len(counts) > 1 else 'needle'}"


def _rests(there: Section) -> str:
    return "".join(f"; {wait.stitches} rest on {shorten(wait.name)}" for wait in there.waiting)
