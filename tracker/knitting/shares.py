"""How a sock is shared out among its colours: the stitches that each of them makes, by the stripes' clock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from tracker.knitting.course import Course
from tracker.knitting.state import Number, State
from tracker.knitting.stripes import Threads, threads
from tracker.pattern.colours import Colours
from tracker.pattern.letters import made_by_letter
from tracker.pattern.model import Row


def colours_of(*courses: Course) -> tuple[str, ...]:
    """The colours a pattern is worked in, most first; none where it tells of fewer than two.

    With the courses of both socks those, too, that were changed to on the way.
    """
    changed = [course for course in dict.fromkeys(courses) if course.coloured]
    plain = courses[0]
    if not changed and not _may_be_several(plain.pattern.colours):
        return ()
    named = (stitches_by_colour(course) for course in (plain, *changed))
    names = tuple(dict.fromkeys(name for course in named for name in course))
    return names if len(names) > 1 else ()


def stitches_by_colour(course: Course, ended: Sequence[int] = ()) -> Mapping[str, int]:
    """Stitches of one sock by colour, most first; empty where no colours are told.

    `ended` are the rows that its first sections had; those to come are as planned.
    """
    told = Threads(course, ended)
    whole = ((index, 0, told.rows(index)) for index in range(len(course.sections)))
    return dict(in_rows(course, told, whole).most_common())


def made_by_colour(course: Course, state: State, number: Number) -> Counter[str]:
    """Stitches made in the fabric of a sock, up to the needle, by colour."""
    sock, told = state.sock(number), threads(course, state, number)
    course = course.of(sock)
    behind = [(index, 0, told.rows(index)) for index in range(sock.section)]
    made = in_rows(course, told, [*behind, (sock.section, 0, sock.rows)])
    return made + ticked(course, state, number)


def ticked(course: Course, state: State, number: Number) -> Counter[str]:
    """The stitches of the needles ticked in the row in hand, by its colour."""
    sock = state.sock(number)
    thread = threads(course, state, number).at(sock.section, sock.rows) if sock.inside else None
    if thread is None:
        return Counter()
    row = course.of(sock).row(sock.section, sock.rows)
    told = threads(course, state, number)
    if thread.name == told.of_chart:
        return told.by_name(made_by_letter(row, sock.needles, sock.into or 0))
    made = sum(needle.made for needle in row.needles[: sock.needles])
    if sock.into:
        from tracker.knitting.tinking import made_into

        made += made_into(row, sock.needles, sock.into)
    return Counter({thread.name: made})


def in_rows(course: Course, told: Threads, spans: Iterable[tuple[int, int, int]]) -> Counter[str]:
    """Stitches by colour of some (section, rows done before, rows done after)."""
    stitches: Counter[str] = Counter()
    for section, first, last in spans:
        for run in told.runs(section, first, last):
            if run.name == told.of_chart:
                rows = (course.row(section, row) for row in range(run.first, run.last))
                stitches += told.by_name(_by_letter(rows))
                continue
            stitches[run.name] += course.made(section, run.last) - course.made(section, run.first)
    return stitches


def _by_letter(rows: Iterable[Row]) -> Counter[str]:
    """Stitches of rows by the letters of a chart; rows that are worked alike are counted once."""
    alike = Counter((row.needles, row.before) for row in rows)
    stitches: Counter[str] = Counter()
    for (needles, before), times in alike.items():
        made = made_by_letter(Row(0, None, needles, 0, 0, before, ""))
        stitches.update({letter: many * times for letter, many in made.items()})
    return stitches


def _may_be_several(colours: Colours) -> bool:
    """At most one name for all parts is one colour, without a look at the rows."""
    names = {*filter(None, (colours.cuff, colours.heel, colours.toe))}
    names |= {stripe.name for stripe in colours.stripes} | {name for _, name in colours.letters}
    return len(names) > 1 or bool(names and not colours.stripes)
