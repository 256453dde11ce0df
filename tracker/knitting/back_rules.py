"""May it go back: rounds and stitches that come off, lifelines, and a sock begun again."""

from __future__ import annotations

from typing import Any

from tracker.knitting.change_rules import inside_of
from tracker.knitting.course import Course
from tracker.knitting.events import MOST_STITCHES, Act
from tracker.knitting.refused import Refused
from tracker.knitting.replay import Replay
from tracker.knitting.rule_words import (
    acted_on,
    is_not_done,
    it_is_finished,
    piece_of,
    section_named,
    span_of,
    unit_of,
    untold,
)
from tracker.knitting.state import Sock
from tracker.units import shell_word


def rip(replay: Replay, act: Act) -> dict[str, Any]:
    """Back to a round, or by so many: only backwards, and out of a round that is half done."""
    course, sock = acted_on(replay, act)
    if not sock.begun:
        raise Refused(f"nothing of {piece_of(replay, act)} is knitted, so there is nothing to rip")
    if "stitches" in act.data:
        return _tinked(replay, act)
    if "by" in act.data:
        section, number = _so_many_back(course, sock, int(act.data["by"]))
    else:
        section, number = section_named(course, sock, act), int(act.data["round"])
    here, last = course.sections[section], _last_row(course, sock, section)
    if section > sock.section or not 0 <= number <= last:
        if section > sock.section or last < 0:
            raise Refused(f"the {here.name} is not begun; ripping goes back only, at goes on")
        earlier = _ended_with(course, sock, number) if "section" not in act.data else ""
        raise Refused(f"{is_not_done(here, number, last)}{earlier}")
    decided: dict[str, Any] = {"section": section, "round": number}
    trial = replay.trial()
    trial.apply(untold(act._replace(data=decided)))
    left, goes_back = trial.freeze().sock(act.sock), (section, here.rows_to(number), 0, 0)
    if goes_back >= (sock.section, sock.rows, sock.needles, sock.into) or _at_one_place(left, sock):
        last_one = f"{unit_of(here.worked)} {number} of the {here.name} is the last on the needles"
        raise Refused(
            f"{last_one}; write an earlier one",
            lambda keys: f"{last_one}; type how many came off, like 2 {keys['rip']}",
        )
    return decided | inside_of(replay, act._replace(data=decided))


def _at_one_place(one: Sock, another: Sock) -> bool:
    return (*one[:3], one.into) == (*another[:3], another.into)


def _tinked(replay: Replay, act: Act) -> dict[str, Any]:
    """Stitches taken back one by one: recorded with the needle that is then in hand."""
    from tracker.knitting.tinking import TooMany, tinked  # no other act reads rows stitch by stitch

    (course, sock), stitches = acted_on(replay, act), int(act.data["stitches"])
    if sock.finished:
        raise Refused(
            f"{it_is_finished(replay, act)}; take its last round back first, then stitches"
        )
    if not 1 <= stitches <= MOST_STITCHES:
        raise Refused(f"{stitches} stitches cannot come off; write 1 to {MOST_STITCHES}")
    try:
        place = tinked(course, sock, stitches)
    except TooMany as more:
        raise Refused(
            f"only {more.there} stitches are worked; write {span_of(1, more.there)}"
        ) from None
    done = course.number(place.section, place.rows)
    decided = {**place._asdict(), "round": done, "stitches": stitches}
    return decided | inside_of(replay, act._replace(data=decided))


def _ended_with(course: Course, sock: Sock, number: int) -> str:
    """The last section behind her that has such a row, as what may be meant."""
    for index in range(len(sock.ended[: sock.section]) - 1, -1, -1):
        if 0 <= number <= sock.ended[index]:
            earlier = course.sections[index]
            row = f"{unit_of(earlier.worked)} {number}"
            return f", or --section {shell_word(earlier.name)} if {row} of that is meant"
    return ""


def _last_row(course: Course, sock: Sock, section: int) -> int:
    """The last row done of a section, behind her or in hand."""
    if section < len(sock.ended):
        return sock.ended[section]
    return course.number(section, sock.rows)


def _so_many_back(course: Course, sock: Sock, by: int) -> tuple[int, int]:
    """Where so many rounds or rows less are done; those of row 0 are not counted."""
    section = min(sock.section, course.last)
    done = [*sock.ended[:section], _last_row(course, sock, section)]
    if by == 0 and sock.inside:
        return section, done[section]  # only what is worked of the round in hand
    if by == 0:
        why = f"nothing of the {unit_of(course.sections[section].worked)} in hand is worked"
        raise Refused(
            f"{why}; write {span_of(1, sum(done))}" if sum(done) else f"{why}, nor one done"
        )
    if by < 1 or by > sum(done):
        raise Refused(f"{by} cannot come off: {sum(done)} are done; write {span_of(1, sum(done))}")
    while by > done[section]:
        by -= done[section]
        section -= 1
    return section, done[section] - by


def lifeline(replay: Replay, act: Act) -> dict[str, Any]:
    """A thread through the stitches of a finished round, the last one if none is named."""
    course, sock = acted_on(replay, act)
    if not sock.begun:
        raise Refused(f"nothing of {piece_of(replay, act)} is knitted; a lifeline needs a round")
    section = section_named(course, sock, act)
    here, last = course.sections[section], _last_row(course, sock, section)
    if section > sock.section:
        raise Refused(f"the {here.name} is not begun; name one that is")
    number = int(act.data.get("round", last))
    if not 0 <= number <= last:
        raise Refused(is_not_done(here, number, last))
    if "round" not in act.data and section == sock.section and section and not sock.rows:
        # Nothing of it is done: the thread went through the last row of the section before.
        section -= 1
        here, number = course.sections[section], sock.ended[section]
    unit = unit_of(here.worked)
    if any((line.section, line.row) == (section, number) for line in sock.lifelines):
        raise Refused(f"a lifeline lies in {here.name} {unit} {number} already; knit on")
    return {
        "section": section, "round": number, "name": here.called, "unit": unit_of(here.worked),
    }  # fmt: skip


def restart(replay: Replay, act: Act) -> dict[str, Any]:
    """A sock that is begun again: one of which something is knitted."""
    if not replay.state.sock(act.sock).begun:
        raise Refused(f"{piece_of(replay, act)} is not begun, so there is nothing to begin again")
    return inside_of(replay, act)
