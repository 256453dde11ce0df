"""Where the tape is laid: from which marks a section is measured, and which rows lie between."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from tracker.pattern.model import (
    CLOSING,
    HALF_SOLE,
    HEEL_FLAT,
    HEEL_PLACE,
    HEEL_ROUNDS,
    LATE_HEEL,
    MARKS,
    Gauge,
    Goal,
    Mark,
    Section,
    Worked,
)

NOT_MEASURED = HEEL_FLAT | CLOSING | {HEEL_ROUNDS, HEEL_PLACE, LATE_HEEL, "toe", HALF_SOLE}
"""Kinds of section of a sock at which no length is taken."""
RIB_FACTOR = 1.05
"""Rounds of rib to a length against rounds of the plain fabric (common practice, no source)."""


_TOE_UP: Mapping[str, tuple[Mark, ...]] = {
    "foot": ("cast-on",), "gusset": ("cast-on",), "leg": ("section",), "cuff": ("section",),
}  # fmt: skip
"""Where the tape may begin after a toe: the cast-on lies at its tip, and a leg is measured from the heel."""


def marks_of(
    kind: str, worked: Worked, starts: Sequence[int], resting: int, before: Sequence[Section]
) -> tuple[Mark, ...]:
    """From where a section with these stitches may be measured; the first is meant if none is named.

    A section of no sock's kind lies in one line with the cast-on edge as long as nothing before it
    was worked the other way, bound off, or left behind to begin anew with stitches that rested.
    """
    if kind == "foot" and before and before[-1].kind == HEEL_PLACE:
        return (
            "section",
        )  # there is no heel to measure from yet: the waste yarn is where it begins
    if kind in _TOE_UP and any(there.kind == "toe" for there in before):
        return _TOE_UP[kind]
    if kind in MARKS:
        return MARKS[kind]
    if kind in NOT_MEASURED:
        return ()
    return ("cast-on", "section") if _in_line(worked, starts, resting, before) else ("section",)


def _in_line(
    worked: Worked, starts: Sequence[int], resting: int, before: Sequence[Section]
) -> bool:
    if not before:
        return True
    last = before[-1]
    if last.worked != worked or "cast-on" not in last.marks:
        return False
    comes_back = sum(wait.stitches for wait in last.waiting) > resting
    hung = sum(needle.leaves for needle in last.rows[-1].needles if not needle.rests)
    return hung > 0 and not comes_back and sum(starts) > 0


def from_own_beginning(
    goal_mm: float, marks: Sequence[Mark], before: Sequence[Section], gauge: Gauge | None
) -> bool:
    """Whether a goal of which no mark is said can only be counted from the section's beginning.

    So it is where the sections before it, from the cast-on edge on, are as long already.
    """
    if marks[:2] != ("cast-on", "section"):
        return "section" in marks[:1]
    longest = max(
        (there.goal.mm for there in before if there.goal and there.goal.mark == "cast-on"),
        default=0.0,
    )
    if gauge is not None:
        longest = max(longest, 100 / gauge.rows * rows_of_plain(before))
    return goal_mm <= longest


def fabric_of(section: Section) -> Literal["cuff", "leg", "foot"]:
    """Which fabric grows in a section: gusset and foot are one; by hand a rib is a cuff's."""
    if section.kind in ("gusset", "foot", "toe"):
        return "foot"
    if section.kind in MARKS:
        return "cuff" if section.kind == "cuff" else "leg"
    return "cuff" if all(row.word == "RIB" for row in section.rows) else "leg"


def rows_of_plain(sections: Sequence[Section]) -> float:
    """Rows of these sections, those of a rib as the rows of the plain fabric that are as long."""
    return sum(
        there.planned / (RIB_FACTOR if fabric_of(there) == "cuff" else 1) for there in sections
    )


def rows_to_plan(goal: Goal, gauge: Gauge, before: Sequence[Section], rib: bool, cycle: int) -> int:
    """Rows to plan with for a goal, by the gauge: whole repeats of `cycle` rows, one at least."""
    rows = goal.mm * gauge.rows / 100
    if goal.mark == "cast-on":
        rows -= rows_of_plain(before)
    elif goal.mark == "heel":
        rows -= sum(there.planned for there in before if there.kind == "gusset")
    rows *= RIB_FACTOR if rib else 1
    return max(1, int(rows / cycle + 0.5)) * cycle
