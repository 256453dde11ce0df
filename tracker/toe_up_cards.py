"""The cards of a sock from the toe up, where they differ: a line a step, as in `cards`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from tracker.glance import Glance
from tracker.pattern.model import BIND_OFF, HEEL_PLACE, ONE_NEEDLE, SECOND_HALF
from tracker.units import shorten
from tracker.vocabulary import (
    LIFT,
    ToeHalves,
    about,
    and_all,
    at_the_sole,
    bound_off,
    capital,
    heel_parted,
    on_to,
    parted,
    spaced,
    toe_halves,
)

TAIL_MM = 200.0
"""A tail to weave in at the tip of the toe (common practice, no source)."""

Data = Mapping[str, Any]


def which(kind: str) -> str:
    """Under which name a section's card stands here, if there is one."""
    return f"{kind}, toe-up"


def casting_on(glance: Glance, data: Data, in_yarn: str) -> list[str]:
    """How the toe is begun: closed, over two needles, or in a ring."""
    if data["ring"]:
        return [
            f"Cast on {sum(data['starts'])}{in_yarn}, in a ring that is drawn together.",
            "Lay the yarn in a ring over its tail. Draw a loop up through it, then one through that loop: a "
            f"stitch. {sum(data['starts'])} of them.",
            f"Tail about {about(TAIL_MM, glance.unit)}: pull it, and the ring closes; once more after some "
            "rounds.",
            f"{spaced(data['starts'])} on the needles: {_begins(glance, data)}.",
        ]
    halves = _halves(glance, data)
    waits = "instep" if halves.sole_first else "sole"
    return [
        f"Cast on {sum(data['starts'])}{in_yarn}, closed, over two needles: {halves.instep} + {halves.sole}.",
        "Hold both side by side and wind the yarn round them in a figure of eight, a loop on each in turn, "
        f"{halves.wound}; the {waits}'s needle, wound last, waits.",
        f"Tail about {about(TAIL_MM, glance.unit)}; draw the loops snug.",
        f"{_on_to_the_start(glance, data)} A loop that lies twisted is knit through the back.",
    ]


def casting_on_brief(glance: Glance, data: Data, in_yarn: str) -> list[str]:
    """The same in few words."""
    if data["ring"]:
        return [
            f"Cast on {sum(data['starts'])}{in_yarn}, in a ring: {spaced(data['starts'])}.",
            "A loop through the ring, one through that: a stitch.",
            f"Tail {about(TAIL_MM, glance.unit)}; pull it, and it closes.",
        ]
    halves = _halves(glance, data)
    cast_on = f"Cast on {sum(data['starts'])}{in_yarn}, closed: {halves.instep} + {halves.sole}."
    if glance.foot:
        sole = "the sole; then " if halves.sole_first else ""
        return [
            cast_on,
            f"A figure of eight, {halves.wound}; tail {about(TAIL_MM, glance.unit)}.",
            f"Knit {sole}{_each(data['starts'])}, the instep first: there round 1 begins, with "
            f"{shorten(data['needles'][0])}.",
        ]
    return [
        cast_on,
        f"A figure of eight round two needles, {halves.wound}; tail {about(TAIL_MM, glance.unit)}.",
        f"{_on_to_the_start(glance, data)} Twisted loops through the back.",
    ]


def _each(starts: Sequence[int]) -> str:
    return "/".join(map(str, starts))


def _begins(glance: Glance, data: Data) -> str:
    """Where round 1 begins."""
    where = "at the side" if glance.at_side else "at the centre of the sole"
    return f"round 1 begins {where}, with {shorten(data['needles'][0])}"


def _halves(glance: Glance, data: Data) -> ToeHalves:
    return toe_halves(data["starts"], at_side=glance.at_side)


def _on_to_the_start(glance: Glance, data: Data) -> str:
    """How the loops come on their needles, up to where round 1 begins."""
    told, halves = _knit_on(glance, data), _halves(glance, data)
    return f"Knit the sole's {halves.sole} first. Then k{told[1:]}" if halves.sole_first else told


def _knit_on(glance: Glance, data: Data) -> str:
    names, on = [shorten(name) for name in data["needles"]], data["starts"]
    if len(names) == 2:
        return f"Knit {on[0]} on {names[0]}, the instep, and {on[1]} on {names[1]}."
    if glance.at_side:
        parts = [f"{many} on {name}" for name, many in zip(names, on, strict=True)]
        instep, sole = and_all(parts[: len(on) // 2]), and_all(parts[len(on) // 2 :])
        return f"Knit {instep}, the instep, then {sole}: there round 1 begins."
    rest = and_all(f"{many} on {name}" for name, many in zip(names[1:-1], on[1:-1], strict=True))
    return (
        f"Knit {rest}, the instep, then {on[-1]} of the sole on {names[-1]}; its last {on[0]} lie on "
        f"{names[0]}, where round 1 begins."
    )


def renamed(glance: Glance, data: Data) -> list[str]:
    """How the needles are called from a foot on whose rounds begin elsewhere than the toe's did."""
    if not _begins_elsewhere(glance, data):
        return []
    return [at_the_sole([shorten(name) for name in data["needles"]])]


def renamed_brief(glance: Glance, data: Data) -> list[str]:
    """The same in few words."""
    if not _begins_elsewhere(glance, data):
        return []
    first, *instep, last = [shorten(name) for name in data["needles"]]
    return [
        f"Rounds begin mid-sole, with {first}: {last}",
        f"and {first} the sole, {and_all(instep)} the instep.",
    ]


def _begins_elsewhere(glance: Glance, data: Data) -> bool:
    many = len(data["needles"]) > 1
    return bool(glance.toe_up and data["section"] == "foot" and data["set_up"] and many)


def _foot(glance: Glance, data: Data) -> list[str]:
    told = ["First on over the instep, a round not counted."] if data["set_up"] else []
    return [
        *told,
        f"Count once: {spaced(data['starts'])}.",
        f"{capital(on_to(data, 'heel'))}. The tape goes from the tip of the toe.",
    ]


def _foot_brief(glance: Glance, data: Data) -> list[str]:
    if not data["set_up"]:
        return _foot(glance, data)
    return [
        "On over the instep, not counted.",
        f"{capital(on_to(data, 'heel'))}.",
    ]


def _gusset(glance: Glance, data: Data) -> list[str]:
    times = (data["rows"] + 1) // 2
    grows = f"The gusset grows by 2 every other round, {times} times"
    if glance.next is not None and glance.next.leaves - glance.stitches not in (0, 2):
        return [f"{grows}. Pin up."]  # the repeat beside it changes the count, too
    return [f"{grows}: to {sum(data['starts']) + 2 * times} stitches. Pin up."]


def _heel(glance: Glance, data: Data) -> list[str]:
    names, on = [shorten(name) for name in data["needles"]], data["starts"]
    if len(names) == 2:
        return [
            f"Work {names[0]}, the instep, once more{in_pattern(glance)}; then it rests.",
            f"The heel is worked on {names[1]}, which holds {on[-1]}.",
        ]
    how = in_pattern(glance)
    if glance.needle_set == ONE_NEEDLE:
        return [
            f"Work on to the end of the instep once more{how}: there the heel begins.",
            f"It is {on[-1] + on[0]}, as many on each side of the marker, worked to and fro; the instep's "
            f"{sum(on[1:-1])} rest on the same needle.",
        ]
    before = and_all(names[:-1])
    return [
        f"Work {before} once more{how}, up to where the sole begins.",
        f"{names[-1]} and {names[0]} become the heel needle: {on[-1] + on[0]}; one needle is free. "
        f"The instep's {sum(on[1:-1])} rest.",
    ]


def _heel_brief(glance: Glance, data: Data) -> list[str]:
    names, on = [shorten(name) for name in data["needles"]], data["starts"]
    if len(names) == 2:
        return [
            f"Work {names[0]} once more{in_pattern(glance)}; it rests.",
            f"The heel is worked on {names[1]}: {on[-1]}.",
        ]
    if glance.needle_set == ONE_NEEDLE:
        return [
            f"Work on to the instep's end{in_pattern(glance)}.",
            f"The heel is {on[-1] + on[0]} around the marker;",
            f"the instep's {sum(on[1:-1])} rest on the needle.",
        ]
    return [
        f"Work {and_all(names[:-1])} once more{in_pattern(glance)}.",
        f"{names[-1]} and {names[0]} on one: {on[-1] + on[0]}; one is free.",
        f"The instep's {sum(on[1:-1])} rest.",
    ]


def in_pattern(glance: Glance) -> str:
    """ " in pattern" where the row in hand is more than knit on any needle."""
    return "" if all(needle.work in ("", "k") for needle in glance.needles) else " in pattern"


def _turn(glance: Glance, data: Data) -> list[str]:
    found = re.search(r"\d+", data["work"])
    edge = data["starts"][0] - int(found[0]) - 1 if found else 0
    middle = data["starts"][0] - 2 * edge
    return [
        f"The cup: {data['rows']} short rows over the middle {middle}; {edge} of the gusset wait on each "
        "side.",
        "At the end of a row wrap the next stitch and turn.",
    ]


def _flap(glance: Glance, data: Data) -> list[str]:
    rows = data["rows"] - 1
    return [
        f"The heel flap, upwards: rows 1 to {rows} take one gusset stitch each with their last.",
        LIFT,
    ]


def _leg(glance: Glance, data: Data) -> list[str]:
    lines = [f"Count once: {spaced(data['starts'])}."]
    if data["before"] == HEEL_PLACE:
        return [*lines, "The tape goes from the waste yarn; a pin marks where the round begins."]
    apart = _parted(data)
    if apart is not None:
        lines = [heel_parted(apart)]  # which is how they are counted, too
    if data["set_up"]:
        where = _centre_back(data)
        lines.append(f"First on to {where}, not counted: there the round begins; a pin marks it.")
    else:
        lines.append("The round begins at the side again; a pin marks it.")
    return [*lines, _corners(data)]


def _leg_brief(glance: Glance, data: Data) -> list[str]:
    if data["before"] == HEEL_PLACE:
        return _leg(glance, data)
    begins = "Rounds begin at the side again: a pin."
    if data["set_up"]:
        begins = f"On to {_centre_back(data)}, not counted: rounds begin there; a pin."
    doubled = data["before"] == SECOND_HALF and data["doubled"]
    corners = "Last double stitches as one." if doubled else "Corners: lift the strand, so no hole."
    apart = _parted(data)
    lies = f"Count once: {'/'.join(map(str, data['starts']))}."
    if apart is not None:
        lies = f"Heel: first {apart[0]}, last {apart[1]}."
    return [lies, begins, corners]


def _parted(data: Data) -> tuple[str, str] | None:
    """How the heel needle's stitches go on two needles, where a closing round parts them."""
    return parted(data["held"], data["starts"], data["needles"], data["work"])


def _centre_back(data: Data) -> str:
    """Where the leg's rounds begin: a repeat whose columns are the instep's may have them beside it."""
    found, heel = re.match(r"rest (\d+)", data["work"], re.ASCII), data["heel"]
    by = int(found[1]) - (heel + 1) // 2 if found and heel else 0
    if not by:
        return "the centre back"
    many = "1 stitch" if abs(by) == 1 else f"{abs(by)} stitches"
    return f"{many} {'before' if by > 0 else 'after'} the centre back"


def _corners(data: Data) -> str:
    if data["before"] == SECOND_HALF and data["doubled"]:
        return "The corners of the heel: both legs of the last double stitches as one."
    return "Lift the strand at each corner of the heel and work it with the next stitch: no hole."


def _cuff(glance: Glance, data: Data) -> list[str]:
    lines = [f"Count once: {spaced(data['starts'])}."]
    if data["set_up"]:
        had, has = data["set_up"]
        lines.append(f"First a set-up round, not counted: {had} to {has} stitches.")
    return lines


def _bind_off(glance: Glance, data: Data) -> list[str]:
    return bound_off(sum(data["starts"]))


def _bind_off_brief(glance: Glance, data: Data) -> list[str]:
    return [
        f"Bind off all {sum(data['starts'])}, elastic:",
        "work 2 in the rib; slip both back, knit them together through the back, work 1 more; again. "
        "Cut the yarn, draw it through the last loop.",
    ]


CARDS = {
    which("foot"): _foot, which("gusset"): _gusset, which("heel set-up"): _heel, which("turn"): _turn,
    which("flap"): _flap, which("leg"): _leg, which("cuff"): _cuff, which(BIND_OFF): _bind_off,
}  # fmt: skip
BRIEF = {
    which(BIND_OFF): _bind_off_brief, which("foot"): _foot_brief, which("heel set-up"): _heel_brief,
    which("leg"): _leg_brief,
}  # fmt: skip
TOLD_ALREADY = frozenset({which("foot"), which("heel set-up"), which(BIND_OFF)})
"""Sections whose card tells their first row in its own words."""
