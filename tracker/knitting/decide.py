"""May it be recorded? Each act is checked against the present state before it becomes an event."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tracker.knitting.back_rules import lifeline, restart, rip
from tracker.knitting.change_rules import changed, copy
from tracker.knitting.count_rules import count
from tracker.knitting.end_rules import at, end
from tracker.knitting.events import Act
from tracker.knitting.measure_rules import answer, measure, target, weigh
from tracker.knitting.pair_rules import append, order, other, replan
from tracker.knitting.refused import Counted as Counted
from tracker.knitting.refused import Follows as Follows
from tracker.knitting.refused import Refused as Refused
from tracker.knitting.replay import Replay
from tracker.knitting.rest_rules import note, rest
from tracker.knitting.tick_rules import tick


def decide(replay: Replay, act: Act) -> Act:
    """The act as it is to be recorded. Raises Refused, and then nothing has changed."""
    rule = _RULES.get(act.kind)
    if rule is None:
        raise Refused(f"{act.kind} is not something this version records")
    return act._replace(data=rule(replay, act))


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


_RULES: dict[str, Callable[[Replay, Act], dict[str, Any]]] = {
    "tick": tick,
    "end": end,
    "target": target,
    "measure": measure,
    "answer": answer,
    "at": at,
    "changed": changed,
    "copy": copy,
    "count": count,
    "note": note,
    "rest": rest,
    "rip": rip,
    "lifeline": lifeline,
    "restart": restart,
    "weigh": weigh,
    "other": other,
    "order": order,
    "append": append,
    "replan": replan,
    "undo": _undo,
    "redo": _redo,
}
