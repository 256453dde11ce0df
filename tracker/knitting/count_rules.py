"""May it be looked up: stitches that are found, and what she sees of the fabric."""

from __future__ import annotations

from typing import Any, cast

from tracker.knitting import cues, places
from tracker.knitting.chart_row import repeat_of
from tracker.knitting.course import Course
from tracker.knitting.events import MOST_NEEDLES, MOST_STITCHES, Act
from tracker.knitting.pins import PIN_EVERY
from tracker.knitting.refused import Refused
from tracker.knitting.repair import repair
from tracker.knitting.replay import Replay
from tracker.knitting.rule_words import (
    acted_on,
    colour_called,
    courses_of,
    it_is_finished,
    span_of,
    untold,
    waits_there,
)
from tracker.knitting.state import Number, Sock
from tracker.pattern.model import is_split, on_each


def count(replay: Replay, act: Act) -> dict[str, Any]:
    """Stitches found on the needles, each or in all; none named: as many as expected. Nothing moves."""
    there = places.expected(replay.course, replay.state, cast(Number, act.sock))
    if not there:
        left = (
            "its stitches are counted when it goes on"
            if waits_there(replay, act)
            else "no stitches are left to count"
        )
        raise Refused(f"{it_is_finished(replay, act)}: {left}")
    found = _by_needle(replay, act, [int(many) for many in act.data.get("found", there)])
    if not found or any(not 0 <= stitches <= MOST_STITCHES for stitches in found):
        raise Refused(f"so many stitches cannot be; write them like {'/'.join(map(str, there))}")
    if "found" in act.data and len(found) == 2:
        there = places.expected(replay.course, replay.state, cast(Number, act.sock), found)
        found = _as_sides(replay, act, found)
    if len(found) > 1 and len(found) != len(there):
        _as_left_before(replay, act, found, there)
    if len(found) > MOST_NEEDLES or (len(found) > 1 and len(found) != len(there)):
        needles = "needle is" if len(there) == 1 else "needles are"
        raise Refused(
            f"{len(found)} needles are counted, {len(there)} {needles} in work; write them like "
            f"{'/'.join(map(str, there))}, or all in one number"
        )
    clue = _clue(replay, act)
    if clue and "found" not in act.data:
        found = []  # she asked by the fabric, and counted no stitches
    data: dict[str, Any] = {"found": found, "expected": list(there), **clue}
    if act.data.get("plain") is not None:
        data["plain"] = bool(act.data["plain"])
    if clue and act.data.get("answered"):
        data["answered"] = act.data["answered"]
    data["matches"] = bool(found) and places.matches(there, found)
    if data["matches"] and "found" in act.data:
        data["asked"] = True
    return {**data, **_repairs(replay, act._replace(data=data))}


def _as_sides(replay: Replay, act: Act, found: list[int]) -> list[int]:
    """What she counted on both sides of a short-row heel, in the order in which it is kept."""
    course, sock = acted_on(replay, act)
    return list(places.as_sides(found)) if places.by_sides(course, sock.section, found) else found


def _as_left_before(replay: Replay, act: Act, found: list[int], there: tuple[int, ...]) -> None:
    """Refuses a count of all needles as the section before left them, where fewer are in work now."""
    card = cues.card(replay.course, replay.state, cast(Number, act.sock))
    if card is None or tuple(found) != tuple(card.data["held"]):
        return
    raise Refused(
        f"{'/'.join(map(str, found))} is how the {card.data['before']} left them; lay them as the card says, "
        f"then count what is in work, like {'/'.join(map(str, there))}"
    )


def _by_needle(replay: Replay, act: Act, found: list[int]) -> list[int]:
    """A needle with the marker inside it that was counted by its two parts, as the one needle it is."""
    course, sock = acted_on(replay, act)
    names = [needle.name for needle in course.row(sock.section, sock.rows).needles]
    if not is_split(names) or len(found) != len(names):
        return found
    return [many for _, many in on_each(names, found)]


def _repairs(replay: Replay, counted: Act) -> dict[str, Any]:
    """Of a count: how what is off is put right in the next round, and where it was to be before."""
    if not counted.data["found"]:
        return {}
    course, sock = acted_on(replay, counted)
    told: dict[str, Any] = {}
    if sock.put_right is not None:
        section, row = sock.put_right
        named = course.sections[section].called
        told["after"] = {"section": section, "row": row, "name": named, "unit": "round"}
    trial = replay.trial()
    trial.apply(untold(counted))
    plan = repair(replay.course, trial.freeze(), cast(Number, counted.sock))
    if plan is not None:
        mends = [[*mend[:3], True] if mend.here else [*mend[:3]] for mend in plan.mends]
        told["repair"] = {"row": plan.row, "mends": mends}
    return told


def _clue(replay: Replay, act: Act) -> dict[str, Any]:
    """What she sees of the fabric: its length, the colour of its last round, rounds above the pin."""
    data, (course, sock) = act.data, acted_on(replay, act)
    section = course.sections[sock.section]
    clue: dict[str, Any] = {}
    if "mm" in data:
        if not section.marks:
            raise Refused(f"there is no length to take at the {section.name}; count its stitches")
        clue["mm"] = float(data["mm"])
    if "pin" in data:
        if section.worked != "rounds" or not 0 <= data["pin"] < PIN_EVERY:
            raise Refused(
                f"a pin is moved up every {PIN_EVERY} rounds; write 0 to {PIN_EVERY - 1}, in the round"
            )
        clue["pin"] = int(data["pin"])
    if "chart" in data:
        clue["chart"] = int(data["chart"])
        again = repeat_of(course, sock.section)
        if again < 2 or not 1 <= clue["chart"] <= again:
            none = f"the {section.name} has no row {clue['chart']} that comes again"
            rows = f"write 1 to {again}" if again > 1 else ""
            raise Refused(
                f"{none}; {rows or 'leave --chart out'}",
                lambda _: f"{none}; {rows or 'leave chart out'}",
            )
    if "tail" in data:
        clue["tail"] = _tail(course, sock, int(data["tail"]))
    if "colour" in data:
        clue["colour"] = colour_called(courses_of(replay), str(data["colour"]), "leave it out")
        clue["position"] = int(data.get("position", 0))
    return clue


def _tail(course: Course, sock: Sock, needles: int) -> int:
    """Needles between the tail and the yarn: it hangs from the cast-on, in view up to the heel."""
    section = course.sections[sock.section]
    if not places.tail_tells(section):
        if section.worked == "rounds" and section.kind in ("leg", "cuff"):
            # From the toe up their stitches are as many all along: the fabric alone tells.
            raise Refused(
                f"the tail is not in view at the {section.name}, and its stitches are as many in every "
                "round; say where the pin is, or how long it is"
            )
        raise Refused(f"the tail is not in view at the {section.name}; count its stitches")
    names = [needle.name for needle in course.row(sock.section, sock.rows).needles]
    if is_split(names):
        inside = names[0][:-1].rstrip()
        raise Refused(
            f"all borders were moved, so the tail hangs inside {inside}; where the yarn is past it the round "
            "is done"
        )
    most = len(names) - 1
    if not 0 <= needles <= most:
        raise Refused(
            f"{needles} needles cannot lie between the tail and the yarn; write {span_of(0, most)}"
        )
    return needles
