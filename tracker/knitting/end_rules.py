"""May it end there: a section that is ended, and a count that is put where it is."""

from __future__ import annotations

from typing import Any, cast

from tracker.knitting.course import Course
from tracker.knitting.events import MOST_ROUNDS, Act
from tracker.knitting.refused import Refused
from tracker.knitting.replay import Replay
from tracker.knitting.rule_words import (
    acted_on,
    it_is_finished,
    last_of,
    section_named,
    span_of,
    unit_of,
    untold,
)
from tracker.knitting.state import Number, Sock, TapeReading
from tracker.pattern.model import Section
from tracker.units import shorten


def end(replay: Replay, act: Act) -> dict[str, Any]:
    """An open section that ends, at its last round or an earlier one; together both end."""
    course, sock = acted_on(replay, act)
    section = course.sections[sock.section]
    if sock.finished:
        raise Refused(f"{it_is_finished(replay, act)}: nothing is left to end")
    if section.goal is None:
        other = other_length(course, section)
        raise Refused(
            f"the {section.name} ends by itself after {last_of(section)}; count on{other}"
        )
    done = course.number(sock.section, sock.rows)
    at = act.data.get("at")
    if done == 0:
        one = f"no {unit_of(section.worked)} of the {shorten(section.name)}"
        raise Refused(f"{one} is done yet; count one, then end it")
    _must_be_shaped(section, done)
    if at is None:
        _must_meet(course, sock.section, done, done)
    both: dict[str, Any] = {"both": True} if _level(replay) and not act.data.get("alone") else {}
    if at is None:
        return both
    # Rounds after its end go on into what follows, as far as that reaches.
    least = 1 + replay.trial().end(untold(act._replace(data={"at": 1})))
    least = max(least, section.shaped_to)
    if not 1 <= int(at) <= done:
        one = f"{unit_of(section.worked)} {at} of the {shorten(section.name)}"
        raise Refused(f"{one} is not done; write {span_of(least, done)}")
    _must_be_shaped(section, int(at))
    if int(at) < least:
        raise Refused(
            f"{done - int(at)} {unit_of(section.worked)}s are more than what follows the {section.name}; "
            f"write {span_of(least, done)}"
        )
    _must_meet(course, sock.section, int(at), done)
    return {"at": int(at), **both}


def _must_meet(course: Course, index: int, number: int, done: int) -> None:
    """Refuse an end, after row `number` of `done`, that does not leave what follows its stitches."""
    if course.may_end(index, number):
        return
    section, least = course.sections[index], course.sections[index].shaped_to + 1
    row, ahead = unit_of(section.worked), course.ends_near(index, number, number)
    before = next((at for at in range(number, least - 1, -1) if course.may_end(index, at)), None)
    leaves, own = section.row(number).leaves, section.row(section.planned).leaves
    why = f"come {leaves} stitches, and what follows needs {own}"
    if leaves == own:
        why = "the repeat is not at the row that what follows goes on from"
    why = f"after {row} {number} of the {shorten(section.name)} {why}"
    if ahead <= done:
        raise Refused(f"{why}; end it at {ahead if before is None else f'{before} or {ahead}'}")
    on = f"{why}; knit on to {row} {ahead}"
    if before is None:
        raise Refused(on)
    raise Refused(
        f"{on}, or let it end at {before}: end --at {before}",
        lambda keys: f"{on}, or let it end at {before}: {before} {keys['end']}",
    )


def _must_be_shaped(section: Section, number: int) -> None:
    """Refuse an end before the last decrease: what follows needs the stitches that are left after it."""
    last = section.shaped_to
    if number < last:
        raise Refused(
            f"the {shorten(section.name)} is shaped to {unit_of(section.worked)} {last}, and {number} "
            f"{'is' if number == 1 else 'are'} done there; end it at {last} or later"
        )


def other_length(course: Course, section: Section) -> str:
    """How a flap that is knitted longer or shorter than planned is told: by its plan."""
    if section.kind != "flap":
        return ""
    by_hand = course.pattern.needle_set == "by hand"
    where = "its rows in the pattern" if by_hand else "heel.rows in the plan"
    return f"; for another length write {where}, then instep replan FILE"


def _level(replay: Replay) -> bool:
    """Whether both socks are worked together, and are at the same round."""
    one, two = replay.state.socks
    return replay.state.order.kind == "together" and one[:3] == two[:3]


def at(replay: Replay, act: Act) -> dict[str, Any]:
    """The last finished round, where the count was wrong: a round that there is."""
    course, sock = acted_on(replay, act)
    index, number = section_named(course, sock, act), int(act.data["round"])
    section = course.sections[index]
    most = MOST_ROUNDS if section.goal else section.planned
    here = course.number(index, sock.rows) if index == sock.section else 0
    follows = replay.state.follows(cast(Number, act.sock), index)
    if section.goal and follows is not None and here < follows:
        # It ends by itself at the other sock's count; past that she goes on as she likes.
        most = follows
    if not 0 <= number <= most:
        none = f"the {section.name} has no {unit_of(section.worked)} {number}"
        longer = other_length(course, section) if number > most else ""
        raise Refused(
            f"{none}; write 0 to {most}{longer}",
            (lambda keys: f"{none}; type 0 {keys['at']} to {most} {keys['at']}{longer}")
            if longer
            else None,
        )
    decided: dict[str, Any] = {"round": number, "section": index}
    if act.data.get("needles"):
        row = course.row(index, section.rows_to(number))
        inside = int(act.data["needles"])
        if row.side is not None or not 0 < inside < len(row.needles):
            raise Refused(f"{inside} needles cannot be done there; count by rounds")
        decided["needles"] = inside
        _must_be_inside(replay, act._replace(data=decided))
    taken = reading_of(sock, act.data.get("of"))
    if taken is not None and taken.section == index == sock.section:
        # That reading was taken on the rounds that are counted only now.
        return {**decided, "of": taken.event, "mm": taken.mm}
    return decided


def _must_be_inside(replay: Replay, act: Act) -> None:
    """Refuse needles of a next round where a section ends by itself, and what follows has no such needle."""
    try:
        replay.trial().apply(untold(act))
    except ValueError:
        section = replay.course.sections[act.data["section"]]
        last = f"{unit_of(section.worked)} {act.data['round']}"
        why = f"{last} is the last of the {section.name}; nothing of another is begun"
        raise Refused(why) from None


def reading_of(sock: Sock, event: Any) -> TapeReading | None:
    """The reading of a sock that was taken with that event."""
    return next((taken for taken in sock.readings if taken.event == event), None)
