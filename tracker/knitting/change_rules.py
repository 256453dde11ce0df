"""May it be otherwise: what is told of a change, what it does on both socks, and whether it is repeated."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, cast

from tracker.knitting import stripes
from tracker.knitting.changes import MOST_CHANGES, BadChange, Change, Coloured, Laid, Rewritten
from tracker.knitting.course import Course
from tracker.knitting.events import Act
from tracker.knitting.refused import Refused
from tracker.knitting.replay import Replay
from tracker.knitting.rule_words import HEEL, unit_of, untold
from tracker.knitting.state import BOTH, Number, Sock, State

if TYPE_CHECKING:
    from tracker.knitting.changing import Told


def changed(replay: Replay, act: Act) -> dict[str, Any]:
    """Something is otherwise than planned: told with what it does to the rows, and whether it is repeated."""
    sock = replay.state.sock(act.sock)
    planned = replay.course.on(act.sock)
    course = planned.changed(sock.changes)  # told as on sock one, where it is mirrored, too
    if len(sock.changes) >= MOST_CHANGES:
        raise Refused(f"{MOST_CHANGES} changes on one sock are the most; note it instead")
    try:
        told = _told(course, sock, act.data)
        decided = _change_told(replay, act, course, told)
        state = _tried(replay, act, decided)
        if _drops_others(replay, state, act, told):
            decided |= {"at_once": True}
            state = _tried(replay, act, decided)
    except BadChange as bad:
        raise Refused(str(bad)) from None
    except ValueError as bad:
        raise Refused(f"with what was changed before it does not come out: {bad}") from None
    if told.laid is not None:
        _must_lie_otherwise(planned, course, state.sock(act.sock))
        _must_mirror(replay.course, state.socks)
    if told.coloured is not None:
        threads = stripes.threads(replay.course, state, cast(Number, act.sock))
        decided |= _goes_on(threads, course, decided)
    return decided


def _tried(replay: Replay, act: Act, decided: Mapping[str, Any]) -> State:
    """The pair after a change, as it would be. Raises ValueError where it does not come out."""
    trial = replay.trial()
    trial.apply(untold(act._replace(data=dict(decided))))
    return trial.freeze()


def _drops_others(replay: Replay, after: State, act: Act, told: Told) -> bool:
    """Whether the other sock, giving up the change that this one takes the place of, gives up another, too.

    One that comes out only on the needles of either does not come out while it has neither.
    """
    other = 3 - act.sock
    same = (str(act.data["as"]), told.section, told.row)
    were = {
        one.event
        for one in replay.state.sock(other).changes
        if (one.kind, one.section, one.row) != same
    }
    return bool(were - {one.event for one in after.sock(other).changes})


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
        "name": section.called, "unit": unit_of(section.worked),
        **_rows_told(told.rewritten, told.laid), **_there(replay, act.sock, kind, value, told),
    }  # fmt: skip
    copy = act.data.get("copy", _by_itself(replay.course, told))
    if copy is not None:
        decided["copy"] = bool(copy)
    if told.coloured is not None:
        decided["coloured"] = _told_of(told.coloured)
    if told.by is not None:
        decided["by"] = told.by
    return decided | inside_of(replay, act._replace(data=decided))


def _must_lie_otherwise(planned: Course, before: Course, sock: Sock) -> None:
    """Refuse other needles on which the stitches lie as they lay."""
    now = planned.changed(sock.changes).pattern
    as_before = now.sections == before.pattern.sections
    if sock.changes and as_before and now.needle_set == before.pattern.needle_set:
        raise Refused("the stitches lie like that already; nothing is changed")


def inside_of(replay: Replay, act: Act) -> dict[str, Any]:
    """Where the row in hand of a sock lies on other needles with an act: where she is in it then.

    `inside` on the sock of the act, `inside_there` on the other one.
    """
    if not any(sock.inside for sock in replay.state.socks):
        return {}
    from tracker.knitting.half_round import moved_point

    trial = replay.trial()
    trial.apply(untold(act))
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
        return {"until": "heel" if section.kind in HEEL else section.called}
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
    if last > there.planned and kind != "picked-up":
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


def copy(replay: Replay, act: Act) -> dict[str, Any]:
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
        "name": there.called, "unit": unit_of(there.worked),
        **(_there(replay, on, named.kind, named.value, named) if repeat else {}),
    }  # fmt: skip
    return decided | inside_of(replay, act._replace(sock=on, data=decided))
