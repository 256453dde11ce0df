"""The cards: what to do at the cast-on and where a new section begins, a line a step."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import accumulate
from typing import Any

from tracker import toe_up_cards
from tracker.glance import Glance
from tracker.pattern.fit import halves
from tracker.pattern.model import (
    AT_SIDE,
    FIRST_HALF,
    HALF_SOLE,
    HEEL_FLAT,
    HEEL_PLACE,
    HEEL_ROUNDS,
    INSTEP,
    LATE_HEEL,
    ONE_NEEDLE,
    SECOND_HALF,
)
from tracker.units import shorten, write_length
from tracker.vocabulary import (
    SLID_AT_AN_END,
    about,
    and_all,
    at_which_end,
    capital,
    counted,
    for_both_feet,
    for_the_foot,
    heel_parted,
    in_colour,
    leads_to_toe,
    on_needles,
    on_to,
    onto_one,
    onto_the_one,
    other_set,
    parted,
    section,
    sides_of_waste,
    slid,
    sock,
    spaced,
    to_turn,
    unit,
)

LONG_TAIL_MM_A_STITCH = 15
LONG_TAIL_MM = 200
"""A long tail for casting on: 15 mm a stitch and 20 cm (common practice, no source)."""

Data = Mapping[str, Any]


def card(glance: Glance, *, keys: bool = True) -> list[str]:
    """The card that stands where *next* stands: the work first, what was done last.

    With `keys` it speaks of keys, else of commands.
    """
    if glance.card is None:
        return []
    data = glance.card.data
    if glance.card.about == "cast-on":
        return _cast_on(glance, data, keys)
    lines = [
        *_borders(glance),
        *toe_up_cards.renamed(glance, data),
        *_slide(glance, data),
        *_CARDS.get(_which(glance), _other)(glance, data),
    ]
    lines += [*_uneven(glance, data, "An edge with fewer chains", keys=keys), *_half(glance, data)]
    lines = _with_yarn([*lines, *_first_row(glance)], data)
    return [*lines, f"{_done(glance, data)}.{_way_back(data, keys)}"]


def on_paper(glance: Glance) -> list[str]:
    """A section's card for a page that tells its rows and colours below: what lies how, and the counts."""
    if glance.card is None:
        return []
    data = glance.card.data
    if glance.card.about == "cast-on":
        return _casting_on(glance, data)
    return [
        *toe_up_cards.renamed(glance, data),
        *_slide(glance, data),
        *_CARDS.get(_which(glance), _other)(glance, data),
    ]


def card_brief(glance: Glance) -> list[str]:
    """The same in few words, for a small screen."""
    if glance.card is None:
        return []
    data = glance.card.data
    if glance.card.about == "cast-on":
        return _cast_on_brief(glance, data)
    lines = [
        *_borders(glance),
        *toe_up_cards.renamed_brief(glance, data),
        *_slide(glance, data),
        *_BRIEF.get(_which(glance), _other)(glance, data),
    ]
    for told in _uneven(glance, data, "Uneven", keys=True):
        lines[-1:] = [f"{_PINNED} {told}"] if lines[-1] == _PINNED else [lines[-1], told]
    lines = _with_yarn([*lines, *_first_row(glance, brief=True)], data, brief=True)
    return [*lines, _done(glance, data, brief=True)]


def _borders(glance: Glance) -> list[str]:
    """Borders that were moved lie as the pattern has them before anything of the section is worked.

    Where the section before is open she hears of its end here first: what it begins on must be right.
    """
    from tracker import change_words

    told = (cue for cue in glance.cues if cue.about == "borders back" and not cue.when)
    return [f"{capital(change_words.borders_back_brief(cue))}." for cue in told]


def _with_yarn(lines: list[str], data: Data, *, brief: bool = False) -> list[str]:
    """A card's lines with its colour: a new one stands first, for it is taken up before the rest."""
    yarn = data.get("yarn")
    if yarn is None or data["section"] == LATE_HEEL:
        return lines  # a heel knitted afterwards names it where it is joined
    colour = in_colour(yarn["name"], yarn["position"], yarn["of"])
    told = (
        [_changes(data, colour, brief=brief), *lines]
        if yarn["changes"]
        else [*lines, f"In {colour}."]
    )
    return [*told, "Slip the first stitch."] if yarn["slips"] else told


def _changes(data: Data, colour: str, *, brief: bool) -> str:
    """How the yarn changes: at a heel of its own colour the other one hangs at the wrong end of the heel.

    A heel worked flat ends at the other edge than it began at. One with rounds inside it takes the other yarn
    along, and leaves its own at the edge where it goes on. Stripes leave every yarn where rounds begin.
    """
    was, here, before = data["yarn"].get("was"), data["section"], data["before"]
    if not was or here == SECOND_HALF:
        return f"Change to {colour}."
    if here in HEEL_FLAT:
        others = "the others" if data["yarn"]["striped"] else "the other" if brief else shorten(was)
        return f"Change to {colour}; cut {others}."
    if brief:
        was, yarn = "the heel's", data["yarn"]
        stripe = f" {yarn['position']}/{yarn['of']}" if yarn["of"] else ""
        colour = f"{shorten(yarn['name'])}{stripe}"
    if here == HEEL_ROUNDS:
        return f"Join {colour}; {shorten(was)} waits."
    if before in HEEL_FLAT:
        return f"{'Change to' if data['doubled'] else 'Join'} {colour}; cut {shorten(was)}."
    return f"Change to {colour}."


def _in_yarn(data: Data) -> str:
    """ " in navy", or nothing where no colours are told."""
    yarn = data.get("yarn")
    return f" in {shorten(yarn['name'])}" if yarn else ""


def _way_back(data: Data, keys: bool) -> str:
    """How to take the end of the section back, as long as nothing was done since."""
    if not data["just_ended"]:
        return ""
    return " Backspace takes it back." if keys else " instep undo takes it back."


def _which(glance: Glance) -> str:
    """Whose card it is; a section by hand has that of a sock's only where it begins like it."""
    kind, row = glance.place.kind, glance.next
    if glance.toe_up and toe_up_cards.which(kind) in _CARDS and not _onto_one(glance):
        return toe_up_cards.which(kind)
    if kind == "gusset" and (row is None or row.word != "PICK"):
        return "other"
    if kind == LATE_HEEL and (row is None or row.word != "PICK"):
        return "other"
    if kind == "heel set-up" and not glance.resting and not glance.at_side:
        return "other"
    return HALF_SOLE if leads_to_toe(glance) else kind


def _onto_one(glance: Glance) -> bool:
    """Whether a heel is set up on one needle, while the instep rests: so it is in either direction."""
    one = len(glance.needles) == 1 and not glance.at_side
    return glance.place.kind == "heel set-up" and one


def _done(glance: Glance, data: Data, *, brief: bool = False) -> str:
    """ "LEG DONE: 46 rounds, 16.2 cm", "LEG DONE: 46 rounds, 15.6 cm, 6 mm shorter than sock one"."""
    rows = counted(data["before_rows"], data["before_worked"])
    mm = data.get("before_mm") if data["before_rows"] > 1 else None  # a single row is no length
    length = f", {write_length(mm, glance.unit)}" if mm else ""
    named = section(data["before"], glance.of_socks).upper()
    return f"{named} DONE: {rows}{length}{_apart(glance, data, brief)}"


def _apart(glance: Glance, data: Data, brief: bool) -> str:
    """By how much it is shorter or longer than on the other sock, where that can be seen."""
    apart = data.get("apart_mm")
    if apart is None:
        return ""
    by = write_length(abs(apart), "in" if glance.unit == "in" else "mm")
    how = "shorter" if apart < 0 else "longer"
    return f", {by} {how}" + (
        "" if brief else f" than {sock(3 - glance.place.sock, glance.of_socks)}"
    )


def _cast_on(glance: Glance, data: Data, keys: bool) -> list[str]:
    lines = _casting_on(glance, data)
    if glance.toe_up:
        return [*lines, *_first_row(glance), *([_first_space(glance)] if keys else [])]
    if glance.place.worked == "rows":
        return [*lines, *_first_row(glance)]
    lines += _rib(glance, data, "; it runs on from needle to needle")
    return [*lines, _first_space(glance)] if keys else lines


def _casting_on(glance: Glance, data: Data) -> list[str]:
    if glance.toe_up:
        closed = toe_up_cards.casting_on(glance, data, _in_yarn(data))
        return [closed[0], *_ball(glance, data), *closed[1:], *_edges(glance)]
    stitches = sum(data["starts"])
    tail = f"Tail about {_tail(glance, stitches)}."
    if glance.place.worked == "rows":
        return [
            f"Cast on {stitches}, loosely.",
            *_ball(glance, data),
            tail,
            "It is worked flat: do not join.",
        ]
    return [
        f"Cast on {stitches}{_in_yarn(data)}, loosely.",
        *_ball(glance, data),
        tail,
        *_slide_to(data["starts"], spaced),
        "Lay the ring on the table: all bumps on the inside, nothing wound round a needle.",
        "Join; pull the first two stitches snug. The tail hangs where the round begins.",
    ]


def _cast_on_brief(glance: Glance, data: Data) -> list[str]:
    if glance.toe_up:
        closed = toe_up_cards.casting_on_brief(glance, data, _in_yarn(data))
        closed += [
            *_edges_brief(glance),
            *_ball(glance, data, brief=True),
            *_first_row(glance, brief=True),
        ]
        return [*closed, _first_space(glance)]
    stitches = sum(data["starts"])
    if glance.place.worked == "rows":
        cast_on = f"Cast on {stitches}, loosely; tail {_tail(glance, stitches)}."
        return [cast_on, "Worked flat: do not join.", *_first_row(glance, brief=True)]
    lines = [
        f"Cast on {stitches}{_in_yarn(data)}, loosely; tail {_tail(glance, stitches)}.",
        *_ball(glance, data, brief=True),
        *_slide_to(data["starts"], _close),
        "Bumps inside all round, not twisted? Join.",
        "Pull 2 snug; the tail marks the start.",
    ]
    return [*lines, *_rib(glance, data, ", on over the needles"), _first_space(glance)]


def _ball(glance: Glance, data: Data, *, brief: bool = False) -> list[str]:
    """The place in the ball to cast on at, where she told it: the same on both socks."""
    ball = data.get("ball")
    if ball is None:
        return []
    at = shorten(ball["at"])
    if ball["sock"] == glance.place.sock:
        return [f"The ball is at {at}."]
    name = sock(ball["sock"], glance.of_socks)
    if brief:
        return [f"Ball at {at}, as {name}."]
    return [f"{capital(name)} was cast on at {at}: pull the ball to the same place."]


def _slide_to(starts: Sequence[int], say: Callable[[Iterable[int]], str]) -> list[str]:
    """How the stitches lie on the needles, where there is more than one."""
    return [f"Slide to {say(starts)}."] if len(starts) > 1 else []


def _rib(glance: Glance, data: Data, how: str) -> list[str]:
    """Which rib the cuff begins with, and whether it breaks where a needle ends."""
    if glance.next is None or glance.next.word != "RIB":
        return []
    rib = f"Round 1: {_named_rib(glance.needles[0].work)} all round"
    return [f"{rib}{how}." if data["rib_runs_on"] else f"{rib}."]


def _named_rib(work: str) -> str:
    """The repeat as a needle writes it, and before it what leads into it: "k1, p2, then k2, p2"."""
    repeat = _REPEAT.search(work)
    if repeat is not None:
        lead = work[: repeat.start()].rstrip(", ")
        return f"{lead}, then {repeat[1]}" if lead else repeat[1]
    found = _RIB.search(work)
    return found[0] if found else "rib"


_REPEAT = re.compile(r"[\[*]([^\];]*)")
"""What a row repeats: `[k2, p2] 4 times`, `*k2, p2; rep from * to end`."""
_RIB = re.compile(r"k\d+(?: tbl)?, p\d+")


def _first_space(glance: Glance) -> str:
    what = "round 1" if glance.counting == "rounds" else glance.needles[0].name
    return f"Space when {what} is knitted."


def _tail(glance: Glance, stitches: int) -> str:
    return about(LONG_TAIL_MM + LONG_TAIL_MM_A_STITCH * stitches, glance.unit)


def _half(glance: Glance, data: Data) -> list[str]:
    """Half way is not the ankle but the turn of the heel, by the stitches: told once it has been passed."""
    told = data["half"] and glance.whole and glance.of_socks
    return ["Half of the sock is done."] if told else []


def _slide(glance: Glance, data: Data) -> list[str]:
    """How the stitches are to lie before a heel or a toe, where they do not lie so."""
    on = slid(glance, data)
    if onto_the_one(data["before"], data["section"], glance.needle_set):
        return [onto_one(sum(data["held"]))]
    if on is None:
        return []
    if len(data["held"]) == 1 and len(on) > 1 and glance.needle_set == ONE_NEEDLE:
        return [
            f"Change to {other_set(data['needles'])}: {spaced(on)}{_where_the_sole_is(glance, data)}."
        ]
    return [f"Slide to {spaced(on)}{_at_which_end(glance, data)}."]


def _parted(data: Data) -> list[str]:
    """How the heel needle's stitches go on two needles, where a closing round parts them."""
    apart = parted(data["held"], data["starts"], data["needles"], data["work"])
    return [heel_parted(apart)] if apart else []


def _parted_brief(data: Data) -> list[str]:
    """The same in few words."""
    apart = parted(data["held"], data["starts"], data["needles"], data["work"])
    return [f"Heel: first {apart[0]}, last {apart[1]}."] if apart else []


def _where_the_sole_is(glance: Glance, data: Data) -> str:
    """On which needles of another set the sole lies: on one needle it had none of its own."""
    names = [shorten(name) for name in data["needles"]]
    sole = names[len(names) // 2 :] if glance.at_side else [names[-1], names[0]]
    return f", the sole on {and_all(sole)}"


def _at_which_end(glance: Glance, data: Data) -> str:
    """Where rounds begin at the side stitches are slid at one end of the instep before a heel or a leg."""
    at_side = glance.at_side and data["section"] in SLID_AT_AN_END
    return at_which_end(data["needles"], other_way=data["other_way"]) if at_side else ""


def _close(counts: Any) -> str:
    return "/".join(str(count) for count in counts)


def _leg(glance: Glance, data: Data) -> list[str]:
    lines = [f"Count once: {spaced(data['held'])}."]
    if glance.next and glance.next.leaves != glance.stitches:
        lines.append(f"Round 1 goes from {glance.stitches} to {glance.next.leaves} stitches.")
    return lines


def _heel(glance: Glance, data: Data) -> list[str]:
    if not data["waiting"] and glance.needle_set == ONE_NEEDLE:
        return [
            f"Work the instep once more; then it rests, and the heel is the other {data['starts'][-1]}."
        ]
    if not data["waiting"] and len(data["starts"]) > len(_AB):
        instep, heel, held = _other_needles(glance)
        return [
            f"Work {instep}, the instep, once more{_goes_on(data)}; then it rests.",
            f"{heel}: the heel, {held} on one needle.",
        ]
    if not data["waiting"]:
        return [
            f"Work A, the instep, once more{_goes_on(data)}; then it rests.",
            f"The heel is worked on B, which holds {data['starts'][-1]}.",
        ]
    waiting = sum(count for _, count in data["waiting"])
    if _on_one(data):
        return [
            f"Knit {_to_turn(data)} past the marker, turn: the heel is {data['starts'][0]} around it.",
            f"It is worked to and fro; the instep's {waiting} rest on the same needle.",
        ]
    first, last = _around_marker(data)
    free = "one needle is free. The instep's {} rest." if last.startswith("N") else _ON_THE_OTHER
    return [
        f"{_needle_1(data)}, then turn.",
        f"{last} and {first} become the heel needle: {data['starts'][0]}; {free.format(waiting)}",
        *_begins_elsewhere(data),
    ]


_ON_THE_OTHER = "they lie on one circular. The instep's {} rest on the other."


def _around_marker(data: Data) -> tuple[str, str]:
    """The needles that rounds begin and end on before a heel."""
    on = data["lay_on"]
    return shorten(on[0]), shorten(on[-1])


_AB = ("A", "B")
"""The needles of a sock whose rounds begin at the side, unless it was changed onto others."""


def _other_needles(glance: Glance) -> tuple[str, str, int]:
    """Of a sock from circulars on other needles: those of the instep, those of the heel, what these hold."""
    instep = and_all([shorten(needle.name) for needle in glance.needles])
    heel = and_all([shorten(needle.name) for needle in glance.resting])
    return instep, heel, sum(needle.stitches for needle in glance.resting)


def _needle_1(data: Data) -> str:
    """Its stitches are told where they are not half of the heel."""
    first, _ = _around_marker(data)
    return f"Knit {first} ({_to_turn(data)})" if _aside(data) else f"Knit {first}"


def _aside(data: Data) -> int:
    """Stitches by which rounds begin beside the middle of the heel; below 0 where that is after it."""
    heel = int(data["starts"][0])
    return (heel + 1) // 2 - to_turn(data["work"], heel)


def _begins_elsewhere(data: Data) -> list[str]:
    """A repeat whose columns go on down the instep may have its heel beside the beginning of rounds."""
    by = _aside(data)
    if not by:
        return []
    many = "1 stitch" if abs(by) == 1 else f"{abs(by)} stitches"
    where = "earlier" if by > 0 else "later"
    return [f"After the heel rounds begin {many} {where}: at its middle."]


def _goes_on(data: Data) -> str:
    return "" if data["work"] == "k" else " in pattern"


def _on_one(data: Data) -> bool:
    """Whether heel and instep are on one needle."""
    return [name for name, _ in data["waiting"]] == [INSTEP]


def _to_turn(data: Data) -> int:
    """The stitches of the heel that come after the marker."""
    return to_turn(data["work"], int(data["starts"][0]))


def _heel_brief(glance: Glance, data: Data) -> list[str]:
    if not data["waiting"] and glance.needle_set == ONE_NEEDLE:
        return [f"Work the instep once more; the heel is {data['starts'][-1]}."]
    if not data["waiting"] and len(data["starts"]) > len(_AB):
        instep, heel, held = _other_needles(glance)
        rests = "it rests" if len(glance.needles) == 1 else "they rest"
        return [
            f"Work {instep} once more{_goes_on(data)}; {rests}.",
            f"Heel: {heel} on one, {held}.",
        ]
    if not data["waiting"]:
        return [
            f"Work A once more{_goes_on(data)}; it rests.",
            f"The heel is worked on B: {data['starts'][-1]}.",
        ]
    if _on_one(data):
        return [
            f"Knit {_to_turn(data)}, then turn: {data['starts'][0]} are the heel.",
            f"{sum(count for _, count in data['waiting'])} rest on the same needle.",
        ]
    by = _aside(data)
    elsewhere = (
        [f"Rounds then begin {abs(by)} stitches {'earlier' if by > 0 else 'later'}."] if by else []
    )
    first, last = _around_marker(data)
    free = "one is free" if last.startswith("N") else "one circular"
    return [
        f"{_needle_1(data)}, then turn.",
        f"{last} and {first} on one: {data['starts'][0]}; {free}.",
        f"{sum(count for _, count in data['waiting'])} rest on the instep.",
        *elsewhere,
    ]


def _flap(glance: Glance, data: Data) -> list[str]:
    return [
        f"The heel flap: {data['rows']} rows, {'right' if data['side'] == 'RS' else 'wrong'} side first.",
        "Slip the first stitch of every row purlwise.",
    ]


def _turn(glance: Glance, data: Data) -> list[str]:
    chains = data["before_rows"] // 2
    return [
        f"Turn the heel in {data['rows']} short rows.",
        f"{chains} chain stitches on each edge.",
    ]


def _gusset(glance: Glance, data: Data) -> list[str]:
    if glance.at_side:
        return _gusset_brief(glance, data)
    found = _pick_up(glance)
    if found is None:
        return _needle_by_needle(glance)
    first, last, up, up_again = found
    counts = spaced(needle.leaves for needle in glance.needles)
    total = sum(needle.leaves for needle in glance.needles)
    then = f"Then {counts} = {total}. Pin the start."
    if len(glance.needles) == 1:
        then = f"Then {total}. A marker at each end of the instep; pin the start."
    return [
        f"With the heel needle, {first + last}, pick up {up} along the first edge "
        f"({_from(glance, up, up_again)}).",
        f"{capital(_over_instep(glance))}, pick up {up_again} along the second edge, knit {last}: centre "
        "back.",
        *_in_pattern(glance),
        *_picked_up_in(data, "the other yarn behind every fifth stitch"),
        then,
    ]


def _gusset_brief(glance: Glance, data: Data) -> list[str]:
    total = sum(needle.leaves for needle in glance.needles)
    if glance.at_side and len(glance.needles) == 1:
        return [
            f"Knit the instep, pick up {total - glance.stitches}, second edge; knit the heel.",
            f"Then {total}. A marker at each end of the instep.",
        ]
    if glance.at_side and len(glance.needles) > len(_AB):
        return _needle_by_needle(glance)
    if glance.at_side:
        on_b = glance.needles[-1]
        return [
            f"{'Work A in pattern' if _in_pattern(glance) else 'Knit A'}. On B pick up "
            f"{on_b.leaves - on_b.stitches}, second edge; knit {on_b.stitches}.",
            *_in_pattern(glance),
            *_picked_up_in(data, "every fifth"),
            f"Then {_close(needle.leaves for needle in glance.needles)} = {total}.",
            "The round begins at A; a pin marks it.",
        ]
    found = _pick_up(glance)
    if found is None:
        return _needle_by_needle(glance)
    _, last, up, up_again = found
    counts = _close(needle.leaves for needle in glance.needles)
    one = len(glance.needles) == 1
    return [
        f"Pick up {up}, first edge; {_over_instep(glance)};",
        f"pick up {up_again}, second edge; knit {last}.",
        *_in_pattern(glance),
        *_picked_up_in(data, "every fifth"),
        f"Then {total}. A marker at each end of the instep."
        if one
        else f"Then {counts} = {total}.",
        _PINNED,
    ]


def _needle_by_needle(glance: Glance) -> list[str]:
    """The pick-up round on needles that a sock was changed onto: its row, needle by needle."""
    total = sum(needle.leaves for needle in glance.needles)
    works = list(dict.fromkeys(needle.work for needle in glance.needles))
    told = [
        (and_all([shorten(needle.name) for needle in glance.needles if needle.work == work]), work)
        for work in works
    ]
    counts = _close(needle.leaves for needle in glance.needles)
    then = f"Then {counts} = {total}." if len(glance.needles) > 1 else f"Then {total}."
    return [
        *(f"{named}: {'knit' if work == 'k' else work}." for named, work in told),
        then,
        _PINNED,
    ]


def _picked_up_in(data: Data, what: str) -> list[str]:
    """The colour of the stitches picked up beside a chart: the other floats behind them, and is caught."""
    colour = data.get("picked_up_in")
    return [f"Pick up in {shorten(colour)}; catch {what}."] if colour else []


def _over_instep(glance: Glance) -> str:
    return "work the instep in pattern" if _in_pattern(glance) else "knit the instep"


def _in_pattern(glance: Glance) -> list[str]:
    """What the instep's needles do in the pick-up round, where that is more than knit."""
    needles = glance.needles[:1] if glance.at_side else glance.needles[1:-1]
    works = [needle.work or "" for needle in needles]
    if not any(work not in ("", "k") for work in works):
        return []
    if len(set(works)) == 1 and len(works) > 1:
        return [f"{and_all([shorten(needle.name) for needle in needles])}: {works[0]}."]
    return [f"{shorten(needle.name)}: {work}." for needle, work in zip(needles, works, strict=True)]


_PINNED = "Pin the start."


def _uneven(glance: Glance, data: Data, what: str, *, keys: bool) -> list[str]:
    """What to write where an edge has other chains than expected; nothing where that was told already."""
    chains = data.get("chains")
    if chains is None or chains < 2 or _which(glance) != "gusset" or data["edges_told"]:
        return []
    found = _pick_up(glance)
    if found is None or (found[2] != found[3] and not glance.at_side):
        return []
    edges = f"{chains}/{chains - 1}"
    named = "" if glance.place.sock == glance.in_hand else f" --sock {glance.place.sock}"
    return [
        f"{what}: {edges} {glance.keys['uneven']}."
        if keys
        else f"{what}: instep changed picked-up {edges}{named}."
    ]


def _pick_up(glance: Glance) -> tuple[int, int, int, int] | None:
    """Heel stitches on the first and on the last needle, and those picked up on each edge.

    None on needles that a sock was changed onto, where they lie otherwise.
    """
    first, last = glance.needles[0], glance.needles[-1]
    if first is last:
        return _on_one_needle(first.work)
    if glance.at_side and len(glance.needles) > len(_AB):
        return None
    heel = first.stitches, last.stitches
    return *heel, first.leaves - first.stitches, last.leaves - last.stitches


def _on_one_needle(work: str) -> tuple[int, int, int, int] | None:
    """The same where all is on one needle: "rest 9, pick up 17, k32, pick up 17, k9"."""
    rests, ups, last = (
        re.findall(pattern, work) for pattern in (r"rest (\d+)", r"pick up (\d+)", r"k(\d+)$")
    )
    if not (rests and last and len(ups) == 2):
        return None
    up, up_again = ups
    return int(rests[0]), int(last[0]), int(up), int(up_again)


def _from(glance: Glance, up: int, up_again: int) -> str:
    """Where an edge's stitches come from; of edges that differ only she knows the chains."""
    if up != up_again:
        return "those in the gap among them"
    chains = glance.card.data.get("chains") if glance.card else None
    if chains is None or chains >= up:
        return f"{up} chains"
    return f"{chains} chains, {up - chains} in the gap"


_WASTE = "with waste yarn, slip all {held} back"
_AGAIN = "knit them again with the working yarn"


def _heel_place(glance: Glance, data: Data) -> list[str]:
    """The round in which waste yarn holds the heel's place: in one run, or a strand ties it shut."""
    first, last = glance.needles[0].name, glance.needles[-1].name
    if first == last:
        return _heel_place_on_one(glance, data)
    if glance.at_side:
        held = data["starts"][-1]
        waste = _WASTE.format(held=held)
        return [
            f"{_instep_of_place(glance, first)}. Then {last}: knit it {waste}, {_AGAIN}.",
            *_in_pattern(glance),
            f"The waste yarn holds the heel's place: {held} stitches.",
        ]
    waste = _WASTE.format(held=data["starts"][0] + data["starts"][-1])
    return [
        *_before_place(glance, f"knit {last} and {first} {waste}"),
        f"Knit {last} again with the working yarn: the round ends at the centre back, as ever.",
        f"The next round begins with {first}, over its waste yarn. So the waste yarn lies in one run.",
    ]


def _instep_of_place(glance: Glance, first: str) -> str:
    if _in_pattern(glance):
        return f"Work {first}, the instep, in pattern"
    return f"Knit {first}, the instep"


def _before_place(glance: Glance, waste: str) -> list[str]:
    """The round on to its last needle, and what is done there with waste yarn."""
    last = glance.needles[-1].name
    if instep := _in_pattern(glance):
        return [
            f"Work all but {last}, the instep in pattern.",
            *instep,
            f"Where {last} begins: {waste}.",
        ]
    return [f"Knit all but {last}. At its beginning: {waste}."]


def _heel_place_on_one(glance: Glance, data: Data) -> list[str]:
    """The same where heel and instep are on one needle: the marker tells where the heel is."""
    if glance.at_side or data["heel"] is None:
        its = f"the heel's {data['heel'] or 'stitches'}"
        where = f"Knit the instep, then {its}" if glance.at_side else f"Knit {its}"
        waste = _WASTE.format(held=data["heel"] or "")
        return [
            f"{where} {' '.join(waste.split())}, {_AGAIN}.",
            "The waste yarn holds the heel's place.",
        ]
    after, before = halves(data["heel"])
    waste = _WASTE.format(held=data["heel"])
    return [
        f"Knit to {before} before the marker. Knit these and the {after} after it {waste}.",
        f"Knit the {before} again with the working yarn: the round ends at the marker.",
        f"The next round begins over the other {after}. So the waste yarn lies in one run.",
    ]


def _heel_place_brief(glance: Glance, data: Data) -> list[str]:
    first, last = glance.needles[0].name, glance.needles[-1].name
    if first != last and glance.at_side:
        others = _in_pattern(glance)
        plain = "" if others else " Others plain."
        return [*others, f"{last}: with waste yarn first,", f"slip back, knit again.{plain}"]
    if first != last:
        return [
            *_in_pattern(glance),
            f"All but {last}; {last} and {first} with waste",
            f"yarn in one run, slip back, knit {last};",
            f"{first} again in the next round.",
        ]
    if data["heel"] is None or glance.at_side:
        return ["The heel:", "waste yarn first, back, knit again."]
    after, before = halves(data["heel"])
    return [
        f"From {before} before the marker to {after} after",
        f"it: waste yarn, slip back, knit {before};",
        f"the other {after} in the next round.",
    ]


def _late_heel(glance: Glance, data: Data) -> list[str]:
    """The heel after the toe: both rows of loops caught before the waste yarn goes, and how they lie."""
    first, then = _halves_on(glance)
    half = sum(needle.leaves for needle in glance.needles) // 2 - 2
    older, newer = sides_of_waste(toe_up=glance.toe_up)
    counts = spaced(needle.leaves for needle in glance.needles)
    return [
        f"Pass needle tips through one leg of each stitch along the waste yarn: {half} on the {older} side, "
        f"{half} on the {newer} side (there one loop fewer shows: take the one at the end too, {half}).",
        f"Then take the waste yarn out. Join {_its_yarn(data)} at the corner where the {older} side begins: "
        "the round begins there.",
        f"Knit the {older} side, {first}, then the {newer} side, {then}; only at the corners pick up and "
        f"knit, 2 and 2: {counts}.",
        "Round 1 takes the corner stitches away. Then it is shaped as a toe is.",
    ]


def _late_heel_brief(glance: Glance, data: Data) -> list[str]:
    half = sum(needle.leaves for needle in glance.needles) // 2 - 2
    older, newer = sides_of_waste(toe_up=glance.toe_up)
    counts = _close(needle.leaves for needle in glance.needles)
    return [
        f"Catch {half} {older} side, {half} {newer} side;",
        "then the waste yarn out. Join",
        f"{_its_yarn(data)} where the {older} side begins.",
        f"Knit; pick up 2 a corner: {counts}.",
    ]


def _halves_on(glance: Glance) -> tuple[str, str]:
    """The needles of either side of a heel that is knitted afterwards."""
    total = sum(needle.leaves for needle in glance.needles)
    so_far = accumulate(needle.leaves for needle in glance.needles)
    half = 1 + next(at for at, leaves in enumerate(so_far) if 2 * leaves >= total)
    names = [shorten(needle.name) for needle in glance.needles]
    return and_all(names[:half]), and_all(names[half:])


def _its_yarn(data: Data) -> str:
    """The colour that is joined, where colours are told."""
    yarn = data.get("yarn")
    return shorten(yarn["name"]) if yarn else "the yarn"


def _first_half(glance: Glance, data: Data) -> list[str]:
    first = "right" if data["side"] == "RS" else "wrong"
    told = [
        f"The heel's first half: {data['rows']} short rows, {first} side first.",
        *_instep_marked(data),
    ]
    if not data["doubled"]:
        return [*told, "Each stops one stitch sooner: wrap the next stitch, and turn."]
    return [
        *told,
        "After a turn make a double stitch; stop before the double ones of the row before.",
        f"The last row goes on to the end: {_last_doubles(data)}, both legs as one.",
    ]


def _instep_marked(data: Data) -> list[str]:
    """What parts heel and instep that are on one needle: no gusset will show where they meet."""
    return ["A marker at each end of the instep."] if _on_one(data) else []


def _first_half_brief(glance: Glance, data: Data) -> list[str]:
    told = [f"First half: {data['rows']} short rows.", *_instep_marked(data)]
    if not data["doubled"]:
        return [*told, "Each a stitch shorter: wrap, turn."]
    return [
        *told,
        "Turn, double stitch, stop before",
        "the double ones; the last row to the",
        f"end, {_last_doubles(data)} as one.",
    ]


def _last_doubles(data: Data) -> str:
    """The double stitches over which the first half's last row goes: as many as every second row makes."""
    return f"k{data['rows'] // 2} doubles"


def _heel_rounds(glance: Glance, data: Data) -> list[str]:
    stays = "" if len(glance.needles) == 1 else "The heel stays on its needle. "
    return [
        f"{_MANY.get(data['rows'], data['rows'])} rounds on all stitches, from the end of the heel.",
        f"{stays}Knit both legs of a double stitch as one.",
    ]


def _heel_rounds_brief(glance: Glance, data: Data) -> list[str]:
    return [
        f"{data['rows']} rounds on all stitches.",
        "Both legs of a double stitch as one.",
    ]


_MANY = {1: "One", 2: "Two", 3: "Three", 4: "Four"}


def _second_half(glance: Glance, data: Data) -> list[str]:
    first = "right" if data["side"] == "RS" else "wrong"
    told = [f"The heel's second half: {data['rows']} rows, {first} side first."]
    if not data["doubled"]:
        return [
            *told,
            "Each takes in one more: work the wrapped stitch with its wraps, wrap the next, turn.",
        ]
    return [
        *told,
        "Turn to begin. Then each goes through the double stitch, both legs as one, and 1 more.",
    ]


def _second_half_brief(glance: Glance, data: Data) -> list[str]:
    told = [f"Second half: {data['rows']} rows."]
    if not data["doubled"]:
        return [*told, "Each on to a wrapped stitch,", "worked with its wraps; wrap, turn."]
    return [*told, "Each through the double stitch", "and 1 more; turn, double stitch."]


def _closing(glance: Glance, data: Data) -> list[str]:
    """What a short-row heel leaves to the first rounds after it; nothing after any other heel."""
    if data["before"] != SECOND_HALF:
        return []
    told = _parted(data)
    if glance.next is not None and glance.next.word == "CLOSE":
        told.append("Go on over the instep, then to the centre back: there the rounds begin.")
    corners = (
        "both legs of the last double stitches as one"
        if data["doubled"]
        else ("where it gapes lift the strand, and work it with the next stitch")
    )
    return [*told, f"The corners of the heel: {corners}."]


def _foot_brief(glance: Glance, data: Data) -> list[str]:
    if data["before"] != SECOND_HALF:
        return _foot(glance, data)
    close = glance.next is not None and glance.next.word == "CLOSE"
    told = [*_parted_brief(data), *(["On over the instep to centre back."] if close else [])]
    corners = (
        "Last double stitches as one." if data["doubled"] else "Lift a strand where a corner gapes."
    )
    return [*told, corners, f"{capital(on_to(data, 'toe'))}. Pin up."]


def _foot(glance: Glance, data: Data) -> list[str]:
    if data["before"] == SECOND_HALF:
        return [*_closing(glance, data), f"Then {on_to(data, 'toe')}. Move the pin up."]
    to_the_toe = f"{capital(on_to(data, 'toe'))}. Move the pin up."
    return [f"Count once: {spaced(data['starts'])}.", to_the_toe]


def _toe(glance: Glance, data: Data) -> list[str]:
    lines = [f"Count once: {spaced(data['starts'])}."]
    if data["set_up"]:
        had, has = data["set_up"]
        lines.append(f"First a set-up round, not counted: {had} to {has} stitches.")
    return [*_edges(glance), *lines, f"The round begins {_begins_at(glance)}; pin up."]


def _begins_at(glance: Glance) -> str:
    """Where the rounds of a toe begin; on double-pointed needles at the side they have other names."""
    if not glance.at_side:
        return "at the centre of the sole"
    names = [needle.name for needle in glance.needles]
    if glance.needle_set in AT_SIDE:
        return f"at the side, with {names[0]}"
    instep, sole = names[: len(names) // 2], names[len(names) // 2 :]
    return f"at the side: instep {and_all(instep)}, sole {and_all(sole)}"


def _edges(glance: Glance) -> list[str]:
    """Of a toe for one foot: which edge is the inner one; of both socks at once, on each."""
    if glance.foot and glance.both:
        return list(for_both_feet(*_feet(glance)))
    return [for_the_foot(glance.foot, turned=glance.turned)] if glance.foot else []


def _feet(glance: Glance) -> tuple[str, str]:
    """Sock one's foot and sock two's."""
    hers = "left" if glance.foot == "right" else "right"
    return (glance.foot, hers) if glance.place.sock == 1 else (hers, glance.foot)


def _toe_brief(glance: Glance, data: Data) -> list[str]:
    return [*_edges_brief(glance), *_toe(glance._replace(foot=""), data)]


def _edges_brief(glance: Glance) -> list[str]:
    """Of a toe for one foot which edge is the inner one, in few words."""
    if not glance.foot:
        return []
    if glance.both:
        one, two = _feet(glance)
        return [f"Big toe: {one} foot, where the instep begins; {two} foot, where it ends."]
    inner = "ends" if glance.turned else "begins"
    return [f"{capital(glance.foot)} foot: big toe where the instep {inner}."]


def _half_sole(glance: Glance, data: Data) -> list[str]:
    half, after = glance.needles[0], glance.resting[0]
    name = shorten(half.name)
    follows = f"The next needle is {name} then, and this one is the last."
    if glance.needle_set in AT_SIDE:  # half of a needle keeps no name of its own
        follows = f"The next needle is {shorten(after.name)}, the instep."
    return [
        f"Knit {name} once more, {half.stitches}: half of the sole.",
        "The toe's rounds begin there, at the side.",
        follows,
    ]


def _graft(glance: Glance, data: Data) -> list[str]:
    half = data["starts"][0]
    lines = [f"Knit N1 onto the last needle, the instep onto one: {half} + {half}."]
    if data["before"] == LATE_HEEL:
        lines = [f"The half below onto one needle, the half above onto another: {half} + {half}."]
    elif _is_on(data) == "A, B":
        lines = [f"{half} on A, the instep, and {half} on B, the sole."]
    elif _is_on(data) == "B1, A, B2":
        lines = [f"Knit B1 onto B2, the sole; A holds the instep: {half} + {half}."]
    elif glance.at_side:
        lines = [f"The instep onto one needle, the sole onto another: {half} + {half}."]
    if data["tail_mm"]:
        lines.append(f"Cut a tail of about {about(data['tail_mm'], glance.unit)}, and graft.")
    return [*lines, *_CHANT]


def _is_on(data: Data) -> str:
    """The needles that the toe is on, where these are two circulars or a long one: "A, B", "B1, A, B2"."""
    named = ", ".join(data["lay_on"])
    return named if named in ("A, B", "B1, A, B2") else ""


_CHANT = (
    "Once: front purlwise, back knitwise; leave.",
    "Front: knitwise, off; purlwise, leave.",
    "Back: purlwise, off; knitwise, leave.",
    "At the end without the leaving.",
)
"""How the threaded needle goes, needles side by side, to be said along (common practice, no source)."""


def _draw_up(glance: Glance, data: Data) -> list[str]:
    """The last stitches of a star or a round toe stay on their needles until the yarn is in them."""
    left = sum(data["starts"])
    return [
        f"Cut the yarn, a tail of about {about(data['tail_mm'], glance.unit)}, and thread it.",
        f"Through the last {left} stitches twice, then off the needles.",
        "Pull tight, pass the tail to the inside.",
    ]


def _draw_up_brief(glance: Glance, data: Data) -> list[str]:
    left = sum(data["starts"])
    return [
        f"Cut a tail of about {about(data['tail_mm'], glance.unit)}; thread it",
        f"through the last {left} twice; pull tight.",
    ]


_TOLD_ALREADY = frozenset(
    {
        "heel set-up", "gusset", "foot", "graft", "draw up", HALF_SOLE, HEEL_ROUNDS, HEEL_PLACE,
        LATE_HEEL,
    }
)  # fmt: skip
"""Sections whose card tells their first row in its own words."""


def _first_row(glance: Glance, *, brief: bool = False) -> list[str]:
    """The work of the first row, for the card stands where it would be read."""
    row = glance.next
    told = _which(glance) in _TOLD_ALREADY | toe_up_cards.TOLD_ALREADY
    if row is None or (told and not _begins_a_repeat(glance) and not _works_the_instep(glance)):
        return []
    if glance.place.kind == "heel set-up":
        return [
            f"{capital(unit(glance.place.worked))} {row.number}: {on_needles(glance.needles, brief=brief)}."
        ]
    if row.side is not None:
        side = row.side if brief else {"RS": "right side", "WS": "wrong side"}[row.side]
        work = " | ".join(needle.work for needle in glance.needles)
        return [f"Row {row.number}, {side}: {work}."]
    set_up = "closing round" if row.word == "CLOSE" else "set-up round"
    named = f"{unit(glance.place.worked)} {row.number}" if row.number else set_up
    if row.word == "PLAIN":
        return [f"{capital(named)} is plain: knit."]
    if row.word == "RIB" and glance.toe_up and glance.place.kind == "cuff":
        return [f"Round 1: {_named_rib(glance.needles[0].work)} all round."]
    if row.word == "RIB" and glance.place.kind != "other" and not _begins_a_repeat(glance):
        return ["The rib goes on."]
    if row.word == "PURL":
        return [f"{capital(named)}: purl."]
    how = {"DEC": " decreases", "INC": " increases"}.get(row.word, "")
    work = f"{capital(named)}{how}: {on_needles(glance.needles, brief=brief)}."
    then = glance.card.data.get("then") if glance.card else None
    return [work, f"Then {_named_rib(then)} all round."] if then else [work]


def _begins_a_repeat(glance: Glance) -> bool:
    """Whether a foot from the toe up begins with a round of a repeat: nobody has seen one of it yet."""
    works = (needle.work for needle in glance.needles)
    patterned = any(work != "k" and not work.startswith("rest") for work in works)
    return glance.toe_up and glance.place.kind == "foot" and patterned


def _works_the_instep(glance: Glance) -> bool:
    """Whether a heel's set-up works the instep once more, and that in pattern: its card says who works."""
    on_instep = glance.at_side or (glance.toe_up and len(glance.needles) > 1)
    return (
        glance.place.kind == "heel set-up" and on_instep and bool(toe_up_cards.in_pattern(glance))
    )


def _graft_brief(glance: Glance, data: Data) -> list[str]:
    half = data["starts"][0]
    lines = ["N1 onto the last needle, the instep", f"onto one: {half} + {half}."]
    if data["before"] == LATE_HEEL:
        lines = ["Each half of the heel onto a needle:", f"{half} + {half}."]
    elif _is_on(data) == "A, B":
        lines = [f"{half} on A and {half} on B."]
    elif _is_on(data) == "B1, A, B2":
        lines = ["Knit B1 onto B2, the sole; A holds", f"the instep: {half} + {half}."]
    elif glance.at_side:
        lines = ["The instep onto one needle, the", f"sole onto another: {half} + {half}."]
    if data["tail_mm"]:
        lines.append(f"Tail about {about(data['tail_mm'], glance.unit)}; graft.")
    return lines


def _other(glance: Glance, data: Data) -> list[str]:
    """The card of a section that is no usual part of a sock: what lies otherwise than before."""
    lines = []
    worked = glance.place.worked
    if worked != data["before_worked"]:
        lines.append(
            "Worked flat from here." if worked == "rows" else "Worked in the round from here."
        )
    starts, held = tuple(data["starts"]), tuple(data["held"])
    if glance.next is not None and glance.next.side == "WS":
        starts = starts[::-1]
    if starts != held and len(starts) > 1:
        lines.append(f"Slide to {spaced(starts)}.")
    elif starts != held:
        lines.append(f"Work on {starts[0]} stitches.")
    if glance.resting:
        rests = and_all(f"{wait.stitches} on {shorten(wait.name)}" for wait in glance.resting)
        lines.append(f"At rest: {rests}.")
    return lines


_CARDS = {
    "leg": _leg, "heel set-up": _heel, "flap": _flap, "turn": _turn, "gusset": _gusset,
    "foot": _foot, "toe": _toe, "graft": _graft, HALF_SOLE: _half_sole, **toe_up_cards.CARDS,
    "draw up": _draw_up, HEEL_PLACE: _heel_place, LATE_HEEL: _late_heel, FIRST_HALF: _first_half,
    HEEL_ROUNDS: _heel_rounds, SECOND_HALF: _second_half,
}  # fmt: skip
_BRIEF = {
    **_CARDS, "heel set-up": _heel_brief, "gusset": _gusset_brief, "toe": _toe_brief, "graft": _graft_brief,
    "draw up": _draw_up_brief, HEEL_PLACE: _heel_place_brief, LATE_HEEL: _late_heel_brief,
    FIRST_HALF: _first_half_brief, HEEL_ROUNDS: _heel_rounds_brief, SECOND_HALF: _second_half_brief,
    "foot": _foot_brief,
    **toe_up_cards.BRIEF,
}  # fmt: skip
