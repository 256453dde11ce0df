"""May it be measured: goals, the tape and what she says of a reading, the scale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from tracker.knitting.course import Course
from tracker.knitting.end_rules import at, reading_of
from tracker.knitting.events import MOST_G, Act
from tracker.knitting.refused import Counted, Follows, Refused
from tracker.knitting.replay import Replay
from tracker.knitting.rule_words import (
    HEEL,
    acted_on,
    colour_called,
    courses_of,
    it_is_finished,
    last_of,
    piece_of,
    section_named,
    unit_of,
)
from tracker.knitting.state import Number
from tracker.pattern.model import HEEL_PLACE, Mark
from tracker.units import shorten


def target(replay: Replay, act: Act) -> dict[str, Any]:
    """Another goal for an open section, of the pair or of one sock alone."""
    course, sock = acted_on(replay, act)
    if sock.finished:
        raise Refused(f"{it_is_finished(replay, act)}: no goal is left to change")
    index = section_named(course, sock, act)
    section = course.sections[index]
    if index < sock.section:
        raise Refused(f"the {section.name} of {piece_of(replay, act)} is over; its goal stays")
    if section.goal is None:
        raise Counted(
            f"the {section.name} has a count for its goal: {last_of(section)}",
            next((there.called for there in course.sections[index:] if there.goal), None),
        )
    data: dict[str, Any] = {"mm": float(act.data["mm"]), "text": str(act.data["text"])}
    if index != sock.section:
        data |= {"section": index, "name": section.called}
    if act.data.get("only"):
        return {**data, "only": True}
    follows = replay.state.follows(cast(Number, act.sock), index)
    if follows is not None:
        other = "the other sock" if course.pattern.of_socks else "the other"
        raise Follows(
            f"the {section.name} ends at {unit_of(section.worked)} {follows}, as on {other}"
        )
    return data


def measure(replay: Replay, act: Act) -> dict[str, Any]:
    """A reading of the tape, from a mark of the section in hand."""
    course, sock = acted_on(replay, act)
    section = course.sections[sock.section]
    marks = section.marks
    if sock.finished:
        raise Refused(f"{it_is_finished(replay, act)}: nothing is left to measure")
    if not marks:
        where = "the heel" if section.kind in HEEL else f"the {section.name}"
        raise Refused(f"there is no length to take at {where}; measure {_measured(course)}")
    mark = act.data.get("from") or marks[0]
    if mark == "heel" and sock.section and course.sections[sock.section - 1].kind == HEEL_PLACE:
        later = f"the heel is knitted later; measure the {section.name} from the waste yarn: "
        raise Refused(f"{later}--from section", lambda _: f"{later}section")
    if mark not in marks:
        raise Refused(f"the {section.name} is measured from {' or '.join(marks)}, not from {mark}")
    begins_here = mark == "section" or mark == _BEGINS_AT.get(section.kind) or not sock.section
    if begins_here and course.number(sock.section, sock.rows) == 0:
        one = f"no {unit_of(section.worked)} of the {section.name}"
        raise Refused(f"{one} is done yet; count one, then measure it")
    return {**act.data, "from": mark}


def _measured(course: Course) -> str:
    """The sections at which a length is taken, by name."""
    names = [shorten(section.name) for section in course.sections if section.marks]
    *before, last = dict.fromkeys(names) or ["nothing of it"]
    return f"{', '.join(before)} or {last}" if before else last


def answer(replay: Replay, act: Act) -> dict[str, Any]:
    """What she says of a reading that does not fit: it is right, it is void, or the count was wrong."""
    course, sock = acted_on(replay, act)
    taken = reading_of(sock, act.data.get("of"))
    if taken is None:
        raise Refused("no tape reading waits for an answer; measure first")
    data = {"of": taken.event, "mm": taken.mm, "as": act.data["as"]}
    if act.data["as"] != "count":
        return data
    section, by = course.sections[sock.section], int(act.data["by"])
    if taken.section != sock.section or by == 0:
        raise Refused(
            f"the count of the {section.name} stays as it is; write the last {unit_of(section.worked)}"
            " that is done, with at"
        )
    done = course.number(sock.section, sock.rows)
    decided = at(replay, act._replace(data={"round": done + by}))
    return {**data, **decided, "by": by}


def weigh(replay: Replay, act: Act) -> dict[str, Any]:
    """Grams of the yarn that is left with her: what the fabric has taken is not weighed."""
    grams = float(act.data["grams"])
    said = shorten(str(act.data["text"]))
    if grams < 0:
        raise Refused(f'"{said}" is below zero; write the grams that are left, like 85')
    if grams == 0:
        raise Refused("0 g is no yarn to knit with; weigh the next ball when you begin it")
    if not grams <= MOST_G:
        raise Refused(f'"{said}" is more than 5 kg; write the grams that are left, like 85')
    data = {"grams": grams, "text": said}
    name = act.data.get("colour")
    return (
        data
        if name is None
        else {
            **data,
            "colour": colour_called(courses_of(replay), str(name), "weigh all the yarn together"),
        }
    )


_BEGINS_AT: Mapping[str, Mark] = {"cuff": "cast-on", "leg": "cuff"}
"""The mark at which a section itself begins."""
