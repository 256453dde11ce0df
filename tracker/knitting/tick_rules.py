"""May it be counted: ticks, and ticks that are moved to the other sock."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tracker.knitting import used_up
from tracker.knitting.course import Course
from tracker.knitting.events import MOST_ROUNDS, MOST_TICKS, Act
from tracker.knitting.refused import Refused
from tracker.knitting.replay import Replay
from tracker.knitting.rule_words import (
    it_is_finished,
    piece_called,
    piece_of,
    span_of,
    unit_of,
    untold,
    waits_there,
)
from tracker.pattern.model import CLOSED_BY


def tick(replay: Replay, act: Act) -> dict[str, Any]:
    """Rounds or needles that are counted: as many as are left on that sock, or on both."""
    if "over" in act.data:
        return _moved_over(replay, act)
    unit = "needles" if "needles" in act.data else "rounds"
    asked = int(act.data[unit])
    if not 1 <= asked <= MOST_TICKS:
        raise Refused(f"{asked} {unit} at once cannot be; write 1 to {MOST_TICKS}")
    decided: dict[str, Any] = {unit: asked}
    if replay.order.kind == "together" and not act.data.get("alone"):
        decided["both"] = True
    trial = replay.trial()
    done = trial.walk(untold(act._replace(data=decided))).done
    if done == asked:
        for section, rows in trial.rows():
            _check_bound(replay.course, section, rows)
        return decided
    if done == 0:
        if waits_there(replay, act):
            told = used_up.until(replay.course, replay.state)
            raise Refused(f"{told}; append the next stage with instep append FILE")
        raise Refused(f"{it_is_finished(replay, act)}: nothing is left to count")
    word = "needle" if unit == "needles" else _left(replay, act.sock)
    left = f"1 {word} is" if done == 1 else f"{done} {word}s are"
    whole = used_up.is_whole(replay.course.pattern)
    then = "" if whole else f", then {used_up.until(replay.course, replay.state)}"
    raise Refused(f"only {left} left on {piece_of(replay, act)}{then}; write {span_of(1, done)}")


def _moved_over(replay: Replay, act: Act) -> dict[str, Any]:
    """The last so many ticks were made on the wrong sock: as one act they are counted on this one."""
    count = int(act.data["over"])
    there = list(replay.ticks_for(act.sock))
    if not 1 <= count <= len(there):
        raise _none_to_move(replay, act, len(there))
    ours = there[:count][::-1]
    acts = [one for tick in ours for one in tick.data.get("acts", [{**tick.data, "at": tick.at}])]
    decided = {"over": [tick.number for tick in ours], "acts": acts}
    trial = replay.trial()
    try:
        trial.apply(untold(act._replace(data=decided)))
    except ValueError:
        raise Refused(f"so many do not go on {piece_of(replay, act)}; move fewer") from None
    if trial.freeze().sock(act.sock) == replay.state.sock(act.sock):
        raise Refused(f"{it_is_finished(replay, act)}: nothing is left to count")
    return decided


def _none_to_move(replay: Replay, act: Act, there: int) -> Refused:
    """Why so many ticks cannot be moved to a sock, and what to do."""
    wrong = piece_called(replay, 3 - act.sock)
    if there:
        ticks = "1 tick" if there == 1 else f"{there} ticks"
        return Refused(f"only {ticks} on {wrong} can be moved; write {span_of(1, there)}")
    both = "both socks" if replay.course.pattern.of_socks else "both"
    back = f"correct {both} with instep at ROUND --sock {3 - act.sock} and --sock {act.sock}"

    def by_key(keys: Mapping[str, str]) -> str:
        at = f"31 {keys['at']}"
        return f"{why}; correct the count of both: {at}, {keys['other']}, {at}"

    last = replay.last_tick
    if last is not None and "both" in last.data:
        why = f"the last tick was for {both}, so there is none to move"
    else:
        why = f"no tick on {wrong} alone is the last thing done, so there is none to move"
    return Refused(f"{why}; {back}", by_key)


def _check_bound(course: Course, section: int, rows: int) -> None:
    done = course.number(section, rows)
    if done > MOST_ROUNDS:
        name = course.sections[section].name
        raise Refused(
            f"that would be {done} rounds of the {name}; no section is counted past {MOST_ROUNDS}"
        )


def _left(replay: Replay, sock: int) -> str:
    """What is left on a sock: rounds, rows, or both."""
    sections = replay.course.sections[replay.state.sock(sock).section :]
    units = {unit_of(section.worked) for section in sections if section.kind not in CLOSED_BY}
    return units.pop() if len(units) == 1 else "row"
