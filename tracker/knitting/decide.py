"""May it be recorded? Each act is checked against the present state before it becomes an event."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, cast

from tracker.knitting import dyed, growing, places, shares, stripes, used_up
from tracker.knitting.changes import (
    MOST_CHANGES,
    BadChange,
    Change,
    Coloured,
    Laid,
    Rewritten,
)
from tracker.knitting.course import Course
from tracker.knitting.events import (
    LONGEST_NOTE,
    MOST_G,
    MOST_NEEDLES,
    MOST_ROUNDS,
    MOST_STITCHES,
    MOST_TICKS,
    Act,
    Event,
)
from tracker.knitting.pins import PIN_EVERY
from tracker.knitting.repair import repair
from tracker.knitting.replay import Replay
from tracker.knitting.state import BOTH, Number, Sock, State, TapeReading
from tracker.pattern.model import AT_SIDE, Mark, Section, is_split, on_each
from tracker.pattern.orders import BadOrder, read_order
from tracker.units import shell_word, shorten

if TYPE_CHECKING:
    from tracker.knitting.changing import Told

THE_NEEDLES = "the needles"
"""What a sock rests on where nothing is said."""


AtNeedles = Callable[[Mapping[str, str]], str]


class Refused(Exception):
    """An act that cannot be recorded. The message is one line: what, and what to do instead.

    `at_needles` makes that line of the keys in force, for her who has keys and no commands, where the two
    are not alike.
    """

    def __init__(self, why: str, at_needles: AtNeedles | None = None) -> None:
        self._at_needles = at_needles
        super().__init__(why)

    def at_needles(self, keys: Mapping[str, str]) -> str:
        """The line for her who has these keys; "" where it is as for everybody."""
        return self._at_needles(keys) if self._at_needles is not None else ""


class Counted(Refused):
    """A goal for a section that ends at a count; `ahead` is the next that has a length, if any."""

    def __init__(self, why: str, ahead: str | None) -> None:
        super().__init__(why)
        self.ahead = ahead


class Follows(Refused):
    """A goal for the pair that can be one sock's only: on the other the section is over."""


def decide(replay: Replay, act: Act) -> Act:
    """The act as it is to be recorded. Raises Refused, and then nothing has changed."""
    rule = _RULES.get(act.kind)
    if rule is None:
        raise Refused(f"{act.kind} is not something this version records")
    return act._replace(data=rule(replay, act))


def _on(replay: Replay, act: Act) -> tuple[Course, Sock]:
    """The sock that an act is on, and its course as it is."""
    sock = replay.state.sock(act.sock)
    return replay.course.of(sock), sock


def _tick(replay: Replay, act: Act) -> dict[str, Any]:
    if "over" in act.data:
        return _moved_over(replay, act)
    unit = "needles" if "needles" in act.data else "rounds"
    asked = int(act.data[unit])
    if not 1 <= asked <= MOST_TICKS:
        raise Refused(f"{asked} {unit} at once cannot be; write 1 to {MOST_TICKS}")
    decided: dict[str, Any] = {unit: asked}
    if replay.state.order.kind == "together" and not act.data.get("alone"):
        decided["both"] = True
    trial = replay.trial()
    done = trial.walk(_untold(act._replace(data=decided))).done
    if done == asked:
        for sock in trial.freeze().socks:
            _check_bound(replay.course, sock)
        return decided
    if done == 0:
        if _waits(replay, act):
            told = used_up.until(replay.course, replay.state)
            raise Refused(f"{told}; append the next stage with instep append FILE")
        raise Refused(f"{_finished(replay, act)}: nothing is left to count")
    word = "needle" if unit == "needles" else _left(replay, act.sock)
    left = f"1 {word} is" if done == 1 else f"{done} {word}s are"
    whole = used_up.is_whole(replay.course.pattern)
    then = "" if whole else f", then {used_up.until(replay.course, replay.state)}"
    raise Refused(f"only {left} left on {_piece(replay, act)}{then}; write {_span(1, done)}")


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
        trial.apply(_untold(act._replace(data=decided)))
    except ValueError:
        raise Refused(f"so many do not go on {_piece(replay, act)}; move fewer") from None
    if trial.freeze().sock(act.sock) == replay.state.sock(act.sock):
        raise Refused(f"{_finished(replay, act)}: nothing is left to count")
    return decided


def _none_to_move(replay: Replay, act: Act, there: int) -> Refused:
    """Why so many ticks cannot be moved to a sock, and what to do."""
    wrong = _named(replay, 3 - act.sock)
    if there:
        ticks = "1 tick" if there == 1 else f"{there} ticks"
        return Refused(f"only {ticks} on {wrong} can be moved; write {_span(1, there)}")
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


def _check_bound(course: Course, sock: Sock) -> None:
    done = course.number(sock.section, sock.rows)
    if done > MOST_ROUNDS:
        name = course.sections[sock.section].name
        raise Refused(
            f"that would be {done} rounds of the {name}; no section is counted past {MOST_ROUNDS}"
        )


def _left(replay: Replay, sock: int) -> str:
    """What is left on a sock: rounds, rows, or both."""
    sections = replay.course.sections[replay.state.sock(sock).section :]
    units = {_unit(section.worked) for section in sections if section.kind != "graft"}
    return units.pop() if len(units) == 1 else "row"


def _end(replay: Replay, act: Act) -> dict[str, Any]:
    course, sock = _on(replay, act)
    section = course.sections[sock.section]
    if sock.finished:
        raise Refused(f"{_finished(replay, act)}: nothing is left to end")
    if section.goal is None:
        other = _other_length(course, section)
        raise Refused(f"the {section.name} ends by itself after {_last(section)}; count on{other}")
    done = course.number(sock.section, sock.rows)
    at = act.data.get("at")
    if done == 0:
        one = f"no {_unit(section.worked)} of the {shorten(section.name)}"
        raise Refused(f"{one} is done yet; count one, then end it")
    both: dict[str, Any] = {"both": True} if _level(replay) and not act.data.get("alone") else {}
    if at is None:
        return both
    # Rounds after its end go on into what follows, as far as that reaches.
    least = 1 + replay.trial().end(_untold(act._replace(data={"at": 1})))
    if not 1 <= int(at) <= done:
        one = f"{_unit(section.worked)} {at} of the {shorten(section.name)}"
        raise Refused(f"{one} is not done; write {_span(least, done)}")
    if int(at) < least:
        raise Refused(
            f"{done - int(at)} {_unit(section.worked)}s are more than what follows the {section.name}; "
            f"write {_span(least, done)}"
        )
    return {"at": int(at), **both}


def _other_length(course: Course, section: Section) -> str:
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


def _order(replay: Replay, act: Act) -> dict[str, Any]:
    """Another order of work. Both at once takes needles that hold both."""
    try:
        order = read_order(str(act.data["order"]))
    except BadOrder as bad:
        raise Refused(str(bad)) from None
    if order.kind == "together" and (on := _on_no_circular(replay)):
        raise Refused(
            f"both socks at once take two circulars or one long circular, {on}; write "
            '"section by section" or "every 10 rounds"'
        )
    pattern = replay.course.of(replay.state.sock(1)).pattern
    if order == replay.state.order:
        raise Refused(f"{order.told} is the order already")
    wants_set = order.two_sets and not pattern.spare_set
    return {"order": order.told, **({"second_set": True} if wants_set else {})}


def _on_no_circular(replay: Replay) -> str:
    """Which socks are on needles that do not hold both, as it is said; "" where none is."""
    sets = [replay.course.of(sock).pattern.needle_set for sock in replay.state.socks]
    on = ["other needles" if one == "by hand" else f"a set of {one}" for one in sets]
    wrong = [number for number, one in zip(BOTH, sets, strict=True) if one not in AT_SIDE]
    if len(wrong) == 2 and on[0] == on[1]:
        return f"this pair is on {on[0]}"
    return " and ".join(f"{_named(replay, number)} is on {on[number - 1]}" for number in wrong)


def _target(replay: Replay, act: Act) -> dict[str, Any]:
    course, sock = _on(replay, act)
    if sock.finished:
        raise Refused(f"{_finished(replay, act)}: no goal is left to change")
    index = _named_section(course, sock, act)
    section = course.sections[index]
    if index < sock.section:
        raise Refused(f"the {section.name} of {_piece(replay, act)} is over; its goal stays")
    if section.goal is None:
        raise Counted(
            f"the {section.name} has a count for its goal: {_last(section)}",
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
            f"the {section.name} ends at {_unit(section.worked)} {follows}, as on {other}"
        )
    return data


def _measure(replay: Replay, act: Act) -> dict[str, Any]:
    course, sock = _on(replay, act)
    section = course.sections[sock.section]
    marks = section.marks
    if sock.finished:
        raise Refused(f"{_finished(replay, act)}: nothing is left to measure")
    if not marks:
        where = "the heel" if section.kind in _HEEL else f"the {section.name}"
        raise Refused(f"there is no length to take at {where}; measure {_measured(course)}")
    mark = act.data.get("from") or marks[0]
    if mark not in marks:
        raise Refused(f"the {section.name} is measured from {' or '.join(marks)}, not from {mark}")
    begins_here = mark == "section" or mark == _BEGINS_AT.get(section.kind) or not sock.section
    if begins_here and course.number(sock.section, sock.rows) == 0:
        one = f"no {_unit(section.worked)} of the {section.name}"
        raise Refused(f"{one} is done yet; count one, then measure it")
    return {**act.data, "from": mark}


_HEEL = frozenset({"heel set-up", "flap", "turn"})


def _measured(course: Course) -> str:
    """The sections at which a length is taken, by name."""
    names = [shorten(section.name) for section in course.sections if section.marks]
    *before, last = dict.fromkeys(names) or ["nothing of it"]
    return f"{', '.join(before)} or {last}" if before else last


def _at(replay: Replay, act: Act) -> dict[str, Any]:
    course, sock = _on(replay, act)
    index, number = _named_section(course, sock, act), int(act.data["round"])
    section = course.sections[index]
    most = MOST_ROUNDS if section.goal else section.planned
    here = course.number(index, sock.rows) if index == sock.section else 0
    follows = replay.state.follows(cast(Number, act.sock), index)
    if section.goal and follows is not None and here < follows:
        # It ends by itself at the other sock's count; past that she goes on as she likes.
        most = follows
    if not 0 <= number <= most:
        none = f"the {section.name} has no {_unit(section.worked)} {number}"
        longer = _other_length(course, section) if number > most else ""
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
    taken = _reading(sock, act.data.get("of"))
    if taken is not None and taken.section == index == sock.section:
        # That reading was taken on the rounds that are counted only now.
        return {**decided, "of": taken.event, "mm": taken.mm}
    return decided


def _must_be_inside(replay: Replay, act: Act) -> None:
    """Refuse needles of a next round where a section ends by itself, and what follows has no such needle."""
    try:
        replay.trial().apply(_untold(act))
    except ValueError:
        section = replay.course.sections[act.data["section"]]
        last = f"{_unit(section.worked)} {act.data['round']}"
        why = f"{last} is the last of the {section.name}; nothing of another is begun"
        raise Refused(why) from None


def _count(replay: Replay, act: Act) -> dict[str, Any]:
    """Stitches found on the needles, each or in all; none named: as many as expected. Nothing moves."""
    there = places.expected(replay.course, replay.state, cast(Number, act.sock))
    if not there:
        left = (
            "its stitches are counted when it goes on"
            if _waits(replay, act)
            else "no stitches are left to count"
        )
        raise Refused(f"{_finished(replay, act)}: {left}")
    found = _by_needle(replay, act, [int(many) for many in act.data.get("found", there)])
    if not found or any(not 0 <= stitches <= MOST_STITCHES for stitches in found):
        raise Refused(f"so many stitches cannot be; write them like {'/'.join(map(str, there))}")
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


def _by_needle(replay: Replay, act: Act, found: list[int]) -> list[int]:
    """A needle with the marker inside it that was counted by its two parts, as the one needle it is."""
    course, sock = _on(replay, act)
    names = [needle.name for needle in course.row(sock.section, sock.rows).needles]
    if not is_split(names) or len(found) != len(names):
        return found
    return [many for _, many in on_each(names, found)]


def _repairs(replay: Replay, counted: Act) -> dict[str, Any]:
    """Of a count: how what is off is put right in the next round, and where it was to be before."""
    if not counted.data["found"]:
        return {}
    course, sock = _on(replay, counted)
    told: dict[str, Any] = {}
    if sock.put_right is not None:
        section, row = sock.put_right
        named = course.sections[section].called
        told["after"] = {"section": section, "row": row, "name": named, "unit": "round"}
    trial = replay.trial()
    trial.apply(_untold(counted))
    plan = repair(replay.course, trial.freeze(), cast(Number, counted.sock))
    if plan is not None:
        mends = [[*mend[:3], True] if mend.here else [*mend[:3]] for mend in plan.mends]
        told["repair"] = {"row": plan.row, "mends": mends}
    return told


def _clue(replay: Replay, act: Act) -> dict[str, Any]:
    """What she sees of the fabric: its length, the colour of its last round, rounds above the pin."""
    data, (course, sock) = act.data, _on(replay, act)
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
        if section.cycle < 2 or not 1 <= clue["chart"] <= section.cycle:
            none = f"the {section.name} has no row {clue['chart']} that comes again"
            rows = f"write 1 to {section.cycle}" if section.cycle > 1 else ""
            raise Refused(
                f"{none}; {rows or 'leave --chart out'}",
                lambda _: f"{none}; {rows or 'leave chart out'}",
            )
    if "tail" in data:
        clue["tail"] = _tail(course, sock, int(data["tail"]))
    if "colour" in data:
        clue["colour"] = _colour(_courses(replay), str(data["colour"]), "leave it out")
        clue["position"] = int(data.get("position", 0))
    return clue


def _tail(course: Course, sock: Sock, needles: int) -> int:
    """Needles between the tail and the yarn: it hangs from the cast-on, in view up to the heel."""
    section = course.sections[sock.section]
    if not places.tail_tells(section):
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
            f"{needles} needles cannot lie between the tail and the yarn; write {_span(0, most)}"
        )
    return needles


def _changed(replay: Replay, act: Act) -> dict[str, Any]:
    """Something is otherwise than planned: told with what it does to the rows, and whether it is repeated."""
    sock = replay.state.sock(act.sock)
    planned = replay.course.on(act.sock)
    course = planned.changed(sock.changes)  # told as on sock one, where it is mirrored, too
    if len(sock.changes) >= MOST_CHANGES:
        raise Refused(f"{MOST_CHANGES} changes on one sock are the most; note it instead")
    try:
        told = _told(course, sock, act.data)
        decided = _change_told(replay, act, course, told)
        trial = replay.trial()
        trial.apply(_untold(act._replace(data=decided)))
    except BadChange as bad:
        raise Refused(str(bad)) from None
    except ValueError as bad:
        raise Refused(f"with what was changed before it does not come out: {bad}") from None
    state = trial.freeze()
    if told.laid is not None:
        _must_lie_otherwise(planned, course, state.sock(act.sock))
        _must_mirror(replay.course, state.socks)
    if told.coloured is not None:
        threads = stripes.threads(replay.course, state, cast(Number, act.sock))
        decided |= _goes_on(threads, course, decided)
    return decided


def _told(course: Course, sock: Sock, data: Mapping[str, Any]) -> Told:
    """What she says is otherwise, as its rule has it. Raises BadChange."""
    from tracker.knitting import changing  # it computes rows, which no other act needs

    kind, value = str(data["as"]), str(data.get("value", ""))
    return changing.change(course, sock, kind, value, data.get("row"), _ways(data))


def _change_told(replay: Replay, act: Act, course: Course, told: Told) -> dict[str, Any]:
    """A change as it is recorded: where it is, what it does on both socks, and whether it is repeated."""
    kind, value = str(act.data["as"]), str(act.data.get("value", ""))
    section = course.sections[told.section]
    decided: dict[str, Any] = {
        "as": kind, "value": told.value, "section": told.section, "round": told.row,
        "name": section.called, "unit": _unit(section.worked),
        **_rows_told(told.rewritten, told.laid), **_there(replay, act.sock, kind, value, told),
    }  # fmt: skip
    copy = act.data.get("copy", _by_itself(replay.course, told))
    if copy is not None:
        decided["copy"] = bool(copy)
    if told.coloured is not None:
        decided["coloured"] = _told_of(told.coloured)
    if told.by is not None:
        decided["by"] = told.by
    return decided | _inside(replay, act._replace(data=decided))


def _must_lie_otherwise(planned: Course, before: Course, sock: Sock) -> None:
    """Refuse other needles on which the stitches lie as they lay."""
    now = planned.changed(sock.changes).pattern
    as_before = now.sections == before.pattern.sections
    if sock.changes and as_before and now.needle_set == before.pattern.needle_set:
        raise Refused("the stitches lie like that already; nothing is changed")


def _inside(replay: Replay, act: Act) -> dict[str, Any]:
    """Where the row in hand of a sock lies on other needles with an act: where she is in it then.

    `inside` on the sock of the act, `inside_there` on the other one.
    """
    if not any(sock.inside for sock in replay.state.socks):
        return {}
    from tracker.knitting.half_round import moved_point

    trial = replay.trial()
    trial.apply(_untold(act))
    found: dict[str, Any] = {}
    for number, was, now in zip(BOTH, replay.state.socks, trial.freeze().socks, strict=True):
        own = number == act.sock
        if (own and act.kind != "changed") or not was.inside or was[:2] != now[:2] or now.finished:
            continue
        point = moved_point(replay.course.of(was), replay.course.of(now), was)
        if point is not None:
            found["inside" if own else "inside_there"] = point._asdict()
    return found


def _must_mirror(course: Course, socks: Iterable[Sock]) -> None:
    """Stitches lie on other needles: those of a mirrored sock, too, must be worked on one needle each."""
    for sock in socks:
        if sock.mirrored:
            from tracker.pattern.mirror import turns

            planned = course.on(2)
            if not turns(planned.changed(sock.changes).pattern, planned.pattern):
                raise Refused(
                    "on sock two, which is mirrored, a stitch would lie across two needles then; lay the "
                    "stitches otherwise, or on sock one alone"
                )


def _told_of(coloured: Coloured) -> dict[str, Any]:
    """A colour as it is recorded: what is nothing is left out."""
    usual = coloured._field_defaults
    return {
        field: value
        for field, value in coloured._asdict().items()
        if field not in usual or value != usual[field]
    }


def _by_itself(course: Course, told: Told) -> bool | None:
    """False where the other sock does not repeat it of itself: cousins keep their colours and words.

    Borders that are moved are nobody's pattern: where they lie makes no sock another one. Nor do needles
    of her own choice in a toe for one foot, for the other's has others.
    """
    if told.laid is not None and told.laid.names:
        return False
    pattern = course.pattern
    if told.laid is not None and told.laid.needles and pattern.of_feet:
        return False if pattern.sections[told.section].kind == "toe" else None
    cousins = course.pattern.likeness == "cousins"
    back = told.coloured is not None and told.coloured.back
    return False if back or (cousins and told.own) else None


def _ways(data: Mapping[str, Any]) -> Any:
    from tracker.knitting.recolouring import Ways

    late = data.get("late")
    return Ways(None if late is None else int(late), bool(data.get("stay")), bool(data.get("ball")))


LOOKED_AHEAD = 1_000
"""Rows of a section that are looked through for the next colour."""


def _goes_on(told: stripes.Threads, course: Course, decided: Mapping[str, Any]) -> dict[str, Any]:
    """The next change of colour behind that row, in its section, to be said with the answer."""
    index, number = decided["section"], decided["round"]
    section = course.sections[index]
    rows = number - section.first
    here = told.at(index, rows)
    last = rows + LOOKED_AHEAD if section.goal is not None else len(section.rows)
    for run in told.runs(index, rows, last):
        if here is not None and run.name != here.name:
            return {"then": [run.name, run.first + section.first]}
    if not told.ticks(index):
        return {"until": "heel" if section.kind in _HEEL else section.called}
    return {} if course.pattern.colours.period else {"until": ""}


def _there(replay: Replay, sock: int, kind: str, value: str, told: Told | Change) -> dict[str, Any]:
    """The same kind of change by its rule on the other sock's own rows, where these are otherwise.

    It is recorded, so that nothing is computed again: no rows where it does not come out on that sock.
    """
    from tracker.knitting import changing

    theirs = replay.state.sock(3 - sock)
    if not told.rewritten or replay.course.of(theirs).has_come_to(theirs, told.section, told.row):
        return {}
    same = (kind, told.section, told.row)
    kept = [
        it for it in theirs.changes if not (it.repeats and (it.kind, it.section, it.row) == same)
    ]
    # One of its kind at its row is what it takes the place of.
    before_it = (
        it for it in replay.state.sock(sock).changes if it[0] != kind or it[2:4] != same[1:]
    )
    own, other = replay.course.on(sock), replay.course.on(3 - sock)
    mine = own.changed(before_it).sections
    there = mine[told.section]
    last = told.rewritten[0].number + len(told.rewritten[0].rows) - 1
    done = -1 if kind == "picked-up" else max(told.row, last - 1)
    if last > there.planned:
        done = there.planned  # no plain row was left to make it in
    rows = max(0, there.rows_to(done))
    before = theirs._replace(section=told.section, rows=rows, needles=0, into=0, finished=False)
    try:
        course = other.changed(kept)
        if all(course.sections[one.section] == mine[one.section] for one in told.rewritten):
            return {}
        row = None if kind == "picked-up" else told.row
        again = changing.change(course, before, kind, value, row)
    except ValueError:
        return {"there": []}
    return {} if again.rewritten == told.rewritten else {"there": _as_told(again.rewritten)}


def _rows_told(rewritten: Sequence[Rewritten], laid: Laid | None) -> dict[str, Any]:
    """What a change does to the rows, as it is recorded."""
    data: dict[str, Any] = {}
    if rewritten:
        data["rewritten"] = _as_told(rewritten)
    if laid is not None:
        data["laid"] = {
            "section": laid.section, "number": laid.number, "set": laid.set,
            "needles": list(laid.needles),
        }  # fmt: skip
        if laid.names:
            data["laid"] |= {"names": list(laid.names), "moved": laid.moved}
    return data


def _as_told(rewritten: Sequence[Rewritten]) -> list[dict[str, Any]]:
    return [
        {**one._asdict(), "rows": list(one.rows), "begins": list(one.begins)} for one in rewritten
    ]


def _copy(replay: Replay, act: Act) -> dict[str, Any]:
    """Whether the other sock repeats a change, which is named by its number in the history."""
    of, repeat = act.data["of"], bool(act.data["copy"])
    told = [change for sock in replay.state.socks for change in sock.changes if not change.repeats]
    named = next((change for change in told if change.event == of), None)
    if named is None:
        numbers = ", ".join(str(change.event) for change in told)
        raise Refused(
            f"number {of} is no change that stands; write {numbers}"
            if told
            else "nothing was changed, so there is nothing to repeat"
        )
    if named.repeat is repeat:
        raise Refused(f"that is so already: number {of} is {'' if repeat else 'not '}repeated")
    there = replay.course.sections[named.section]
    on = 1 if named in replay.state.sock(1).changes else 2
    decided = {
        "of": of, "copy": repeat, "as": named.kind, "value": named.value, "round": named.row,
        "name": there.called, "unit": _unit(there.worked),
        **(_there(replay, on, named.kind, named.value, named) if repeat else {}),
    }  # fmt: skip
    return decided | _inside(replay, act._replace(sock=on, data=decided))


def _note(replay: Replay, act: Act) -> dict[str, Any]:
    text = " ".join(str(act.data["text"]).split())
    if not text:
        raise Refused("a note has words; write them after it")
    if len(text) > LONGEST_NOTE:
        raise Refused(f"a note has at most {LONGEST_NOTE} letters, this one {len(text)}; part it")
    return {"text": text}


def _rest(replay: Replay, act: Act) -> dict[str, Any]:
    """A sock is laid to rest, and what its stitches hang on: the needles, if nothing is said.

    Or she stopped inside a needle, after so many stitches of it, or nobody knows how many.
    """
    if "into" in act.data:
        return _stopped(replay, act)
    sock = replay.state.sock(act.sock)
    if not sock.begun or (sock.finished and not _waits(replay, act)):
        state = "finished" if sock.finished else "not begun"
        raise Refused(f"{_piece(replay, act)} is {state}, so nothing of it hangs on anything")
    text = " ".join(str(act.data.get("text", "")).split())
    if len(text) > LONGEST_NOTE:
        raise Refused(f"say in fewer than {LONGEST_NOTE} letters what its stitches hang on")
    return {"text": text or THE_NEEDLES}


def _stopped(replay: Replay, act: Act) -> dict[str, Any]:
    """Inside which needle she stopped: more stitches than the needle in hand has reach into the next."""
    from tracker.knitting.tinking import still_to_work, stitches_on  # few acts read single stitches

    course, sock = _on(replay, act)
    if sock.finished:
        raise Refused(f"{_finished(replay, act)}, so no needle of it is begun")
    row, into = course.row(sock.section, sock.rows), int(act.data["into"])
    there = {
        needles: len(stitches_on(row, needles)) for needles in still_to_work(row, sock.needles)
    }
    most = sum(there.values()) - 1
    if not 0 <= into <= most:
        raise _done_with(most, _unit(course.sections[sock.section].worked))
    needles = sock.needles
    for needles, stitches in there.items():  # noqa: B007 - the one in which she stopped
        if into < stitches:
            break
        into -= stitches
    return {"needles": needles, "into": into}


def _done_with(most: int, unit: str) -> Refused:
    """She did not stop inside a row: it is done with one stitch more than the `most` that can be told."""
    if most < 1:
        return Refused(f"with 1 stitch this {unit} is done: tick it")
    done = f"with {most + 1} stitches this {unit} is done"
    return Refused(f"{done}: tick it; write {_span(1, most)}")


def _rip(replay: Replay, act: Act) -> dict[str, Any]:
    """Back to a round, or by so many: only backwards, and out of a round that is half done."""
    course, sock = _on(replay, act)
    if not sock.begun:
        raise Refused(f"nothing of {_piece(replay, act)} is knitted, so there is nothing to rip")
    if "stitches" in act.data:
        return _tinked(replay, act)
    if "by" in act.data:
        section, number = _so_many_back(course, sock, int(act.data["by"]))
    else:
        section, number = _named_section(course, sock, act), int(act.data["round"])
    here, last = course.sections[section], _last_row(course, sock, section)
    if section > sock.section or not 0 <= number <= last:
        if section > sock.section or last < 0:
            raise Refused(f"the {here.name} is not begun; ripping goes back only, at goes on")
        earlier = _ended_with(course, sock, number) if "section" not in act.data else ""
        raise Refused(f"{_not_done(here, number, last)}{earlier}")
    decided: dict[str, Any] = {"section": section, "round": number}
    trial = replay.trial()
    trial.apply(_untold(act._replace(data=decided)))
    left, goes_back = trial.freeze().sock(act.sock), (section, here.rows_to(number), 0, 0)
    if goes_back >= (sock.section, sock.rows, sock.needles, sock.into) or _at_one_place(left, sock):
        last_one = f"{_unit(here.worked)} {number} of the {here.name} is the last on the needles"
        raise Refused(
            f"{last_one}; write an earlier one",
            lambda keys: f"{last_one}; type how many came off, like 2 {keys['rip']}",
        )
    return decided | _inside(replay, act._replace(data=decided))


def _at_one_place(one: Sock, another: Sock) -> bool:
    return (*one[:3], one.into) == (*another[:3], another.into)


def _tinked(replay: Replay, act: Act) -> dict[str, Any]:
    """Stitches taken back one by one: recorded with the needle that is then in hand."""
    from tracker.knitting.tinking import TooMany, tinked  # no other act reads rows stitch by stitch

    (course, sock), stitches = _on(replay, act), int(act.data["stitches"])
    if sock.finished:
        raise Refused(f"{_finished(replay, act)}; take its last round back first, then stitches")
    if not 1 <= stitches <= MOST_STITCHES:
        raise Refused(f"{stitches} stitches cannot come off; write 1 to {MOST_STITCHES}")
    try:
        place = tinked(course, sock, stitches)
    except TooMany as more:
        raise Refused(
            f"only {more.there} stitches are worked; write {_span(1, more.there)}"
        ) from None
    done = course.number(place.section, place.rows)
    decided = {**place._asdict(), "round": done, "stitches": stitches}
    return decided | _inside(replay, act._replace(data=decided))


def _ended_with(course: Course, sock: Sock, number: int) -> str:
    """The last section behind her that has such a row, as what may be meant."""
    for index in range(len(sock.ended[: sock.section]) - 1, -1, -1):
        if 0 <= number <= sock.ended[index]:
            earlier = course.sections[index]
            row = f"{_unit(earlier.worked)} {number}"
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
        why = f"nothing of the {_unit(course.sections[section].worked)} in hand is worked"
        raise Refused(
            f"{why}; write {_span(1, sum(done))}" if sum(done) else f"{why}, nor one done"
        )
    if by < 1 or by > sum(done):
        raise Refused(f"{by} cannot come off: {sum(done)} are done; write {_span(1, sum(done))}")
    while by > done[section]:
        by -= done[section]
        section -= 1
    return section, done[section] - by


def _lifeline(replay: Replay, act: Act) -> dict[str, Any]:
    """A thread through the stitches of a finished round, the last one if none is named."""
    course, sock = _on(replay, act)
    if not sock.begun:
        raise Refused(f"nothing of {_piece(replay, act)} is knitted; a lifeline needs a round")
    section = _named_section(course, sock, act)
    here, last = course.sections[section], _last_row(course, sock, section)
    if section > sock.section:
        raise Refused(f"the {here.name} is not begun; name one that is")
    number = int(act.data.get("round", last))
    if not 0 <= number <= last:
        raise Refused(_not_done(here, number, last))
    if "round" not in act.data and section == sock.section and section and not sock.rows:
        # Nothing of it is done: the thread went through the last row of the section before.
        section -= 1
        here, number = course.sections[section], sock.ended[section]
    unit = _unit(here.worked)
    if any((line.section, line.row) == (section, number) for line in sock.lifelines):
        raise Refused(f"a lifeline lies in {here.name} {unit} {number} already; knit on")
    return {
        "section": section, "round": number, "name": here.called, "unit": _unit(here.worked),
    }  # fmt: skip


def _restart(replay: Replay, act: Act) -> dict[str, Any]:
    if not replay.state.sock(act.sock).begun:
        raise Refused(f"{_piece(replay, act)} is not begun, so there is nothing to begin again")
    return _inside(replay, act)


def _answer(replay: Replay, act: Act) -> dict[str, Any]:
    """What she says of a reading that does not fit: it is right, it is void, or the count was wrong."""
    course, sock = _on(replay, act)
    taken = _reading(sock, act.data.get("of"))
    if taken is None:
        raise Refused("no tape reading waits for an answer; measure first")
    data = {"of": taken.event, "mm": taken.mm, "as": act.data["as"]}
    if act.data["as"] != "count":
        return data
    section, by = course.sections[sock.section], int(act.data["by"])
    if taken.section != sock.section or by == 0:
        raise Refused(
            f"the count of the {section.name} stays as it is; write the last {_unit(section.worked)}"
            " that is done, with at"
        )
    done = course.number(sock.section, sock.rows)
    decided = _at(replay, act._replace(data={"round": done + by}))
    return {**data, **decided, "by": by}


def _reading(sock: Sock, event: Any) -> TapeReading | None:
    """The reading of a sock that was taken with that event."""
    return next((taken for taken in sock.readings if taken.event == event), None)


def _weigh(replay: Replay, act: Act) -> dict[str, Any]:
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
        else {**data, "colour": _colour(_courses(replay), str(name), "weigh all the yarn together")}
    )


def _courses(replay: Replay) -> Iterable[Course]:
    """The course of the pattern, and that of each sock."""
    return replay.course, *(replay.course.of(sock) for sock in replay.state.socks)


def _colour(courses: Iterable[Course], name: str, instead: str) -> str:
    """A colour of the pattern or one she changed to, as it is written, by the name she gives it."""
    names = shares.colours_of(*courses)
    if not names:
        raise Refused(f"this pattern does not tell of several colours; {instead}")
    wanted = _bare(name)
    for colour in names:
        if _bare(colour) == wanted:
            return colour
    from difflib import get_close_matches

    bare = {_bare(colour): colour for colour in names}
    near = [bare[found] for found in get_close_matches(wanted, bare, n=1)]
    likely = shorten(", ".join(near or names), 200)
    raise Refused(f'there is no "{shorten(name)}" in this pattern; write {likely}')


def _bare(colour: str) -> str:
    """A colour's name without what nobody types: "main" is the main colour."""
    folded = " ".join(colour.casefold().split())
    return "main" if folded == stripes.MAIN else folded


def _named_section(course: Course, sock: Sock, act: Act) -> int:
    """The section that an act names, or gives by its index; else that in hand."""
    named = act.data.get("section")
    if type(named) is int and 0 <= named <= course.last:
        return named  # of several that share a name an index alone says which
    return sock.section if named is None else _find(course, str(named), sock.section)


def _not_done(section: Section, number: int, last: int) -> str:
    unit = _unit(section.worked)
    return f"{unit} {number} of the {section.name} is not done; write {_span(0, last)}"


def _find(course: Course, name: str, near: int) -> int:
    index = course.find(name, near)
    if index is None:
        from difflib import get_close_matches

        names = [section.name for section in course.sections]
        likely = get_close_matches(name, names, n=1) or [", ".join(dict.fromkeys(names))]
        raise Refused(f'there is no section "{shorten(name)}"; write {shorten(likely[0], 200)}')
    return index


def _other(replay: Replay, act: Act) -> dict[str, Any]:
    to = int(act.data.get("to", 3 - replay.state.hand))
    if to == replay.state.hand:
        raise Refused(f"{_named(replay, to)} is in hand already")
    return {"to": to}


def _append(replay: Replay, act: Act) -> dict[str, Any]:
    """The pattern goes on with the sections of a later stage, told as the whole text of what it is then."""
    return _new_pattern(replay, act, first=replay.course.last + 1)


def _replan(replay: Replay, act: Act) -> dict[str, Any]:
    """A new pattern for what is not knitted yet."""
    return _new_pattern(replay, act, first=0)


def _new_pattern(replay: Replay, act: Act, first: int) -> dict[str, Any]:
    """The text of the pattern, and the names of its sections from `first` on."""
    text, trial = act.data["pattern"], replay.trial()
    try:
        trial.apply(_untold(act._replace(data={"pattern": text})))
        _check_dyed(replay, trial.course, trial.freeze())
    except ValueError as bad:
        raise Refused(str(bad)) from None
    was, now = replay.course.pattern, trial.course.pattern
    if (was.sections, was.stages, was.colours) == (now.sections, now.stages, now.colours):
        raise Refused("nothing is new in it: it is the pattern that is being knitted")
    sections = trial.course.sections[first:][: growing.MOST_TOLD]
    return {"pattern": text, "sections": [section.called for section in sections]}


def _check_dyed(replay: Replay, now: Course, state: State) -> None:
    """Refuse, with DoesNotFit, what colours knitted rows anew. What was recorded before replays as ever."""
    names = growing.names(replay.course)
    for sock, then, called in zip(replay.state.socks, state.socks, names, strict=True):
        was, grown = replay.course.of(sock), now.of(then)
        dyed.check_places(was, grown, called)
        dyed.check_colours(was, grown, sock, called)


def _undo(replay: Replay, act: Act) -> dict[str, Any]:
    target = replay.undoable
    if target is None:
        raise Refused("nothing is counted yet, so there is nothing to take back")
    return {"of": target.number}


def _redo(replay: Replay, act: Act) -> dict[str, Any]:
    target = replay.redoable
    if target is None:
        raise Refused("nothing was taken back, so there is nothing to bring back")
    return {"of": target.number}


def _last(section: Section) -> str:
    return f"{_unit(section.worked)} {section.planned}"


def _unit(worked: str) -> str:
    return "row" if worked == "rows" else "round"


def _span(low: int, high: int) -> str:
    return f"{low} to {high}" if low < high else str(high)


def _named(replay: Replay, number: int) -> str:
    """A piece by its name: of a pattern that makes no socks none is called one."""
    return f"sock {_NAMES[number]}" if replay.course.pattern.of_socks else _PIECES[number]


def _piece(replay: Replay, act: Act) -> str:
    return _named(replay, act.sock)


def _waits(replay: Replay, act: Act) -> bool:
    """Whether the sock of an act is at the end of the pattern so far."""
    return used_up.waits(replay.course, replay.state.sock(act.sock))


def _finished(replay: Replay, act: Act) -> str:
    if _waits(replay, act):
        return f"{_piece(replay, act)} is at the end of the pattern so far"
    return f"{_piece(replay, act)} is finished"


def _untold(act: Act) -> Event:
    """An act as an event that is only tried."""
    return Event(0, 0, 0, act.sock, act.kind, act.data, b"")


_NAMES = {1: "one", 2: "two"}
_PIECES = {1: "the first", 2: "the second"}
_BEGINS_AT: Mapping[str, Mark] = {"cuff": "cast-on", "leg": "cuff"}
"""The mark at which a section itself begins."""

_RULES: dict[str, Callable[[Replay, Act], dict[str, Any]]] = {
    "tick": _tick,
    "end": _end,
    "target": _target,
    "measure": _measure,
    "answer": _answer,
    "at": _at,
    "changed": _changed,
    "copy": _copy,
    "count": _count,
    "note": _note,
    "rest": _rest,
    "rip": _rip,
    "lifeline": _lifeline,
    "restart": _restart,
    "weigh": _weigh,
    "other": _other,
    "order": _order,
    "append": _append,
    "replan": _replan,
    "undo": _undo,
    "redo": _redo,
}
