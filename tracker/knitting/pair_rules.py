"""May the pair go on so: the order of work, the other sock, and a pattern that grows or is another."""

from __future__ import annotations

from typing import Any

from tracker.knitting import dyed, growing
from tracker.knitting.course import Course
from tracker.knitting.events import Act
from tracker.knitting.refused import Refused
from tracker.knitting.replay import Replay
from tracker.knitting.rule_words import piece_called, untold
from tracker.knitting.state import BOTH, State
from tracker.pattern.model import AT_SIDE
from tracker.pattern.orders import BadOrder, read_order


def order(replay: Replay, act: Act) -> dict[str, Any]:
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
    return " and ".join(
        f"{piece_called(replay, number)} is on {on[number - 1]}" for number in wrong
    )


def other(replay: Replay, act: Act) -> dict[str, Any]:
    """The other sock, which is not in hand yet."""
    to = int(act.data.get("to", 3 - replay.state.hand))
    if to == replay.state.hand:
        raise Refused(f"{piece_called(replay, to)} is in hand already")
    return {"to": to}


def append(replay: Replay, act: Act) -> dict[str, Any]:
    """The pattern goes on with the sections of a later stage, told as the whole text of what it is then."""
    return _new_pattern(replay, act, first=replay.course.last + 1)


def replan(replay: Replay, act: Act) -> dict[str, Any]:
    """A new pattern for what is not knitted yet."""
    return _new_pattern(replay, act, first=0)


def _new_pattern(replay: Replay, act: Act, first: int) -> dict[str, Any]:
    """The text of the pattern, and the names of its sections from `first` on."""
    text, trial = act.data["pattern"], replay.trial()
    try:
        trial.apply(untold(act._replace(data={"pattern": text})))
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
