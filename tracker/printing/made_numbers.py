"""The numbers of a pair as they came out, where what was made is otherwise than planned."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.knitting.course import Course
from tracker.knitting.state import BOTH, Sock, State
from tracker.knitting.used_up import is_whole
from tracker.pattern.model import SECOND_HALF, Numbers


def made_numbers(course: Course, state: State) -> Numbers:
    """The numbers of the sock that has ended most sections (sock one, if both have as many).

    Of sections that it has not ended they are as planned; so are numbers that more than one section of a
    kind would have.
    """
    sock = max((state.sock(number) for number in BOTH), key=lambda sock: len(sock.ended))
    there = course.of(sock)
    kinds = [section.kind for section in there.sections]
    counts = (*sock.ended, *(section.planned for section in there.sections[len(sock.ended) :]))
    rows = {kind: counts[kinds.index(kind)] for kind in kinds if kinds.count(kind) == 1}
    planned = course.pattern.numbers
    told = {field: rows.get(kind) for field, kind in _ROWS.items()}
    told |= {"foot_rounds": _foot(rows), **_stitches(there, kinds, rows)}
    if sock.finished and is_whole(course.pattern):
        told["stitches_per_sock"] = _made(there, sock)
    return planned._replace(**{field: is_ for field, is_ in told.items() if is_ is not None})


_ROWS = {
    "cuff_rounds": "cuff", "leg_rounds": "leg", "flap_rows": "flap", "turn_rows": "turn",
    "gusset_rounds": "gusset", "toe_rounds": "toe",
}  # fmt: skip


def _foot(rows: dict[str, int]) -> int | None:
    """The rounds between the pick-up, or the heel, and the toe."""
    if "foot" not in rows or ("gusset" not in rows and SECOND_HALF not in rows):
        return None
    return rows.get("gusset", 0) + rows["foot"]


def _stitches(there: Course, kinds: Sequence[str], rows: dict[str, int]) -> dict[str, int | None]:
    """What lies on the needles after the turn and after the pick-up."""
    told: dict[str, int | None] = {}
    if "turn" in rows and not there.pattern.toe_up:
        told["heel_centre"] = there.sections[kinds.index("turn")].row(rows["turn"]).leaves
    if "gusset" in rows and (gusset := there.sections[kinds.index("gusset")]).first == 0:
        told["after_pick_up"] = gusset.row(0).leaves
    return told


def _made(there: Course, sock: Sock) -> int:
    """The stitches of a finished sock."""
    return sum(
        there.made(index, there.sections[index].rows_to(count))
        for index, count in enumerate(sock.ended)
    )
