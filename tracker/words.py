"""How it is said: every sentence about a pair, composed from the facts of a glance.

Words are direction-neutral (first and second edge, next needle), so that they hold for a
left-handed knitter too. Names and titles are a stranger's and are cleaned here.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tracker.glance import Glance, LengthSight, NextSight, Place
from tracker.knitting.cues import Cue
from tracker.knitting.events import Act, Event
from tracker.units import Unit, shorten, write_length

_SECTIONS = {"flap": "heel flap", "turn": "heel turn"}
_NEXT_SECTION = {
    "leg": "the leg", "heel set-up": "the heel", "flap": "the heel flap", "turn": "the heel turn",
    "gusset": "the gusset", "foot": "the foot", "toe": "the toe", "graft": "the graft",
}  # fmt: skip
_DONE_WORDS = {
    "DEC": "a decrease round", "INC": "an increase round", "PICK": "the pick-up round",
    "PLAIN": "plain", "RIB": "rib", "KNIT": "a right side row", "PURL": "a wrong side row",
    "HEEL": "the set-up row",
}  # fmt: skip
_NEXT_WORDS = {
    "DEC": "a decrease round", "INC": "an increase round", "PICK": "the pick-up round",
    "PLAIN": "plain", "RIB": "rib", "HEEL": "the heel set-up", "GRAFT": "the graft",
}  # fmt: skip

_FOLLOWS = {
    "cuff": "leg", "leg": "heel", "heel set-up": "flap", "flap": "turn", "turn": "pick-up",
    "gusset": "foot", "foot": "toe", "toe": "graft",
}  # fmt: skip
"""What comes after a section, in one word."""

LONG_TAIL_MM_A_STITCH = 15
LONG_TAIL_MM = 200
"""A long tail for casting on: 15 mm a stitch and 20 cm (common practice, no source)."""


def sock(number: int) -> str:
    """ "sock one" or "sock two"."""
    return "sock one" if number == 1 else "sock two"


def section(kind: str) -> str:
    """What a knitter calls a section."""
    return _SECTIONS.get(kind, shorten(kind))


def called(here: Place) -> str:
    """What she calls the section she is in: one that is no usual part of a sock by its name."""
    return shorten(here.section) if here.kind == "other" else section(here.kind)


def unit(worked: str, count: int = 1) -> str:
    """ "round" or "row", as many as there are."""
    word = "row" if worked == "rows" else "round"
    return word if count == 1 else f"{word}s"


# The place


def place(glance: Glance) -> str:
    """Where she is, in one sentence or a few."""
    here = glance.place
    if here.finished:
        how = ": the toe is grafted" if here.kind == "graft" else ""
        return f"{_capital(sock(here.sock))} is finished{how}."
    if not here.begun:
        return f"{_capital(sock(here.sock))}: cast on {glance.stitches}. {_next(glance)}"
    return f"{_capital(sock(here.sock))}, {called(here)}: {_done(glance)} {_next(glance)} {_on(glance)}"


def _done(glance: Glance) -> str:
    here = glance.place
    if here.done == 0 and here.done_word != "PICK":
        return "nothing of it is done yet."
    if here.done == 0:
        return "the stitches are picked up."
    what = _DONE_WORDS.get(here.done_word)
    kind = f" ({what})" if what and here.worked == "rounds" else ""
    return f"{unit(here.worked)} {here.done} {of_planned(glance, short=True)} is done{kind}."


def _next(glance: Glance) -> str:
    row = glance.next
    if row is None:
        return ""
    here = glance.place
    if glance.needles[0].finished:
        at = next(needle for needle in glance.needles if not needle.finished)
        worked = sum(needle.finished for needle in glance.needles)
        return (
            f"Next: needle {worked + 1} of {len(glance.needles)} in {_row_name(row)}: {at.work}. "
            "The yarn hangs from the needle you have just been filling; go on into the needle without it."
        )
    if here.worked == "rows" and row.side and row.word != "GRAFT":
        return f"Next: row {row.number}, {_side(row.side)}: {glance.needles[0].work}."
    if row.number == 0 or row.word == "GRAFT":
        return f"Next: {_NEXT_WORDS.get(row.word, 'the set-up round')}."
    return f"Next: {unit(here.worked)} {row.number}, {_NEXT_WORDS.get(row.word, row.word.lower())}."


def _row_name(row: NextSight) -> str:
    return f"round {row.number}" if row.number else _NEXT_WORDS.get(row.word, "the set-up round")


def _on(glance: Glance) -> str:
    counts = "/".join(str(needle.stitches) for needle in glance.needles)
    if glance.place.worked == "rows" and len(glance.needles) == 1:
        rests = sum(wait.stitches for wait in glance.resting)
        return (
            f"{counts} on the heel needle, {rests} rest." if rests else f"{counts} on the needle."
        )
    return f"{counts} = {glance.stitches} on the needles."


def ago(milliseconds: int) -> str:
    """How long since it was last knitted; nothing for less than a quarter of an hour."""
    minutes = milliseconds // 60_000
    if minutes < 15:
        return ""
    if minutes < 120:
        return f"Last knitted {minutes} minutes ago."
    if minutes < 48 * 60:
        return f"Last knitted {minutes // 60} hours ago."
    return f"Last knitted {minutes // (24 * 60)} days ago."


def kept(glance: Glance) -> str:
    """The line that stays in the terminal when she leaves."""
    here = glance.place
    if here.finished:
        return f"Kept: {sock(here.sock)}, finished."
    if not here.begun:
        return f"Kept: {sock(here.sock)}, cast on {glance.stitches}."
    inside = sum(needle.finished for needle in glance.needles)
    more = f" and {inside} of {len(glance.needles)} needles" if inside else ""
    count = f"{unit(here.worked)} {here.done} {of_planned(glance, short=True)}"
    return f"Kept: {sock(here.sock)}, {called(here)} {count}{more}."


def of_planned(glance: Glance, *, short: bool = False) -> str:
    """ "of 46", "of about 46, 44 to 49", "of 46, as on sock one", "of 14 rows"."""
    here = glance.place
    if here.planned_by == "pattern":
        return (
            f"of {here.planned}"
            if short
            else f"of {here.planned} {unit(here.worked, here.planned)}"
        )
    if here.planned_by == "other sock":
        return f"of {here.planned}" if short else f"of {here.planned}, as on {sock(3 - here.sock)}"
    low, likely, high = glance.rows_to_go
    about = here.done + likely if likely is not None else here.planned
    if short or low is None or high is None or low == high:
        return f"of about {about}"
    return f"of about {about}, {here.done + low} to {here.done + high}"


def caption(glance: Glance) -> str:
    """The sentence under the ring or the heel row."""
    here = glance.place
    if here.finished:
        return "all grafted"
    if here.worked == "rows":
        on = glance.stitches
        return f"{on} on the heel needle" if here.kind != "graft" else f"{on} to graft"
    if glance.counting == "rounds":
        return "by rounds"
    if here.at_marker:
        return f"all {len(glance.needles)} needles done"
    finished = sum(needle.finished for needle in glance.needles)
    return f"needle {finished + 1} of {len(glance.needles)}"


# Length, time and the other sock


def facts(glance: Glance) -> list[tuple[str, str]]:
    """At most four facts, each what it is and what it means."""
    told = [*_length_facts(glance)] if glance.length else [*_count_facts(glance)]
    return [*told, (f"{glance.minutes_to_go} min", f"{_to(glance)}, {_short_lag(glance)}")][:4]


def _length_facts(glance: Glance) -> list[tuple[str, str]]:
    length = glance.length
    assert length is not None  # noqa: S101 - asked for only where there is one
    doubt = write_length(length.sd_mm, glance.unit, with_unit=False)
    told = []
    if glance.place.begun:
        told.append((write_length(length.mm, glance.unit), f"now, give or take {doubt}"))
    ends = ""
    if length.ends_low_mm is not None and length.ends_high_mm is not None:
        low = write_length(length.ends_low_mm, glance.unit, with_unit=False)
        ends = f", ending at {low} to {write_length(length.ends_high_mm, glance.unit)}"
    if glance.place.planned_by == "goal" and length.low is None:
        told.append(("measure", "to learn how many rounds are left"))
    else:
        rows = length.likely
        told.append((f"{rows} {unit(glance.place.worked, rows)}", f"to go{ends}"))
    if length.measure_at is not None:
        told.append(tape_next(length, glance.place.done))
    return told


def tape_next(length: LengthSight, done: int) -> tuple[str, str]:
    """When to use the tape next."""
    again = "again" if length.readings else "for the first time"
    if length.measure_at is not None and length.measure_at <= done:
        return "tape now", f"measure {again}"
    return f"round {length.measure_at}", f"tape {again}"


def _count_facts(glance: Glance) -> list[tuple[str, str]]:
    rows = glance.rows_to_go[1] or 0
    if glance.next is None:
        return [("finished", "weave the ends in")]
    after = f"{glance.next.leaves} sts", f"after this {unit(glance.place.worked)}"
    if glance.place.kind == "graft":
        after = f"{glance.stitches} sts", "to graft"
    return [after, (f"{rows} {unit(glance.place.worked, rows)}", "to go")]


def _to(glance: Glance) -> str:
    return f"to the {_FOLLOWS.get(glance.place.kind, 'end')}"


def lag(glance: Glance) -> str:
    """How far the other sock is behind, and whether what is finished on both agrees."""
    two = glance.socks[1]
    if glance.socks[0].finished and two.finished:
        return "both finished, in step" if glance.in_step else "both finished, not in step"
    behind = glance.lag.rounds
    step = "" if glance.in_step else ", not in step"
    if behind == 0 and glance.lag.stitches == 0:
        return f"both socks level{step}"
    who = sock(2) if (behind, glance.lag.stitches) > (0, 0) else sock(1)
    if abs(behind) == 0:
        return f"{who} {abs(glance.lag.stitches)} stitches behind{step}"
    return f"{who} {abs(behind)} {unit('rounds', abs(behind))} behind{step}"


def _short_lag(glance: Glance) -> str:
    """The lag in a few words: "sock two 198 behind", "in step"."""
    if not glance.in_step:
        return "not in step"
    behind = glance.lag.rounds
    if behind == 0:
        return "in step"
    return f"{sock(2 if behind > 0 else 1)} {abs(behind)} behind"


# Cards


def card(glance: Glance) -> list[str]:
    """The card that stands where *next* stands: its title, then its lines."""
    if glance.card is None:
        return []
    data = glance.card.data
    if glance.card.about == "cast-on":
        return _cast_on(glance, data)
    lines = [_card_title(glance, data)]
    slide = _slide(data)
    if slide:
        lines.append(slide)
    return lines + _CARDS.get(glance.card.about, _no_card)(glance, data)


def _cast_on(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    stitches = sum(data["starts"])
    tail = write_length(LONG_TAIL_MM + LONG_TAIL_MM_A_STITCH * stitches, glance.unit)
    lines = [
        f"Cast on {stitches}, loosely.",
        f"Tail about {tail}.",
        f"Slide to {_spaced(data['starts'])}.",
        "Lay the ring on the table: all bumps on the inside, nothing wound round a needle.",
        "Join; pull the first two stitches snug. The tail hangs where the round begins.",
    ]
    if data["rib_runs_on"]:
        lines.append("The rib runs on from needle to needle.")
    return [*lines, "Space when round 1 is knitted."]


def _card_title(glance: Glance, data: Mapping[str, Any]) -> str:
    rows = data["before_rows"]
    done = f"{section(data['before']).upper()} DONE: {rows} {unit(data['before_worked'], rows)}"
    return f"{done}. Backspace takes it back."


def _slide(data: Mapping[str, Any]) -> str:
    if data["section"] not in ("heel set-up", "toe") or tuple(data["held"]) == tuple(
        _on_needles(data)
    ):
        return ""
    return f"Slide to {_spaced(_on_needles(data))}."


def _on_needles(data: Mapping[str, Any]) -> tuple[int, ...]:
    """The counts per needle a section begins with; the heel's two needles are still apart."""
    if data["section"] != "heel set-up":
        return tuple(data["starts"])
    heel = int(data["starts"][0])
    return ((heel + 1) // 2, *(count for _, count in data["waiting"]), heel // 2)


def _leg_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    lines = [f"Count once: {_spaced(data['held'])}."]
    if glance.next and glance.next.leaves != glance.stitches:
        lines.append(f"Round 1 goes from {glance.stitches} to {glance.next.leaves} stitches.")
    return lines


def _heel_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    last = len(data["waiting"]) + 2
    waiting = sum(count for _, count in data["waiting"])
    return [
        "Knit needle 1, then turn.",
        f"Needles {last} and 1 become the heel needle: {data['starts'][0]}. The instep's {waiting} rest.",
    ]


def _flap_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    return [
        f"The heel flap: {data['rows']} rows, wrong side first.",
        "Slip the first stitch of every row purlwise.",
    ]


def _turn_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    chains = data["before_rows"] // 2
    return [
        f"{chains} chain stitches on each edge.",
        f"Turn the heel in {data['rows']} short rows.",
    ]


def _gusset_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    first, last = glance.needles[0], glance.needles[-1]
    up = first.leaves - first.stitches
    counts = _spaced(needle.leaves for needle in glance.needles)
    return [
        f"{glance.needles[0].stitches + last.stitches} on the heel needle.",
        f"Pick up {up} along the first edge, knit the instep, pick up {up} along the second edge, "
        f"knit {last.stitches}: centre back.",
        f"Then {counts} = {sum(needle.leaves for needle in glance.needles)}. A pin marks the start.",
    ]


def _foot_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    return [f"Count once: {_spaced(data['starts'])}.", "Plain rounds to the toe. Move the pin up."]


def _toe_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    return [
        f"Count once: {_spaced(data['starts'])}.",
        "The round begins at the centre of the sole; pin up.",
    ]


def _graft_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    half = data["starts"][0]
    return [
        f"Knit needle 1 onto the last needle, the instep onto one: {half} + {half}.",
        f"Cut a tail of four times the width and {write_length(200, glance.unit)}, and graft.",
    ]


def _no_card(glance: Glance, data: Mapping[str, Any]) -> list[str]:
    return []


_CARDS = {
    "leg": _leg_card, "heel set-up": _heel_card, "flap": _flap_card, "turn": _turn_card,
    "gusset": _gusset_card, "foot": _foot_card, "toe": _toe_card, "graft": _graft_card,
}  # fmt: skip


# Cues


def cue_when(cue: Cue) -> str:
    """ "now", "next round", "in 1 round" or "in 3 rounds"."""
    worked = str(cue.data.get("unit", "rounds"))
    if cue.when == 0:
        return "now"
    if cue.when == 1 and cue.kind != "section":
        return f"next {unit(worked)}"
    # The next round is the last one of this section, and not the first of the one to come.
    return f"in {cue.when} {unit(worked, cue.when)}"


def cue_text(cue: Cue, glance: Glance) -> tuple[str, str]:
    """What a cue says, and what comes after it."""
    return _CUES[cue.kind](cue, glance)


def cue_line(cue: Cue, glance: Glance) -> str:
    """A cue as one sentence, or a card as a few."""
    what, then = cue_text(cue, glance)
    when = f"{cue_when(cue)}: " if cue.when else ""
    between = " " if what.endswith(".") else ", "
    return _capital(f"{when}{what}{between}{then}" if then else f"{when}{what}")


def _held_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    ticks = cue.data["ticks"]
    return f"was the key held down? {ticks} at once", "backspace takes them back one by one"


def _other_sock_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    other = sock(int(cue.data["other"]))
    if cue.about == "count":
        over, count = cue.data["over"], cue.data["count"]
        if over == 0:
            return f"{count} rounds, as on {other}", "e ends it here"
        return (
            f"{over} {unit('rounds', over)} more than {other}, which ended at {count}",
            "e ends it here",
        )
    if cue.about == "pair":
        return "the pair is finished", "weave the ends in"
    if cue.about == "cast-on":
        return f"cast on {other} while the numbers are warm", "tab goes there"
    return f"{other} waits", "tab goes there"


def _section_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    if cue.about == "goal":
        goal = write_length(cue.data["mm"], glance.unit)
        return f"the goal of {goal} is reached", f"e ends the {called(glance.place)}"
    if cue.about != "ahead":
        lines = card(glance)
        return lines[0], " ".join(lines[1:])
    return f"{_NEXT_SECTION.get(cue.data['section'], section(cue.data['section']))} begins", ""


def _needle_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    return "last needle", "the marker comes at its end"


def _pin_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    return f"pin up: round {cue.data['round']}", ""


def _note_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    if cue.about == "twisted":
        return "look along the ring: the rib lines up, not twisted?", ""
    return "work the picked-up stitches through the back, this once", "it closes the holes"


def _reading_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    off = int(cue.data["rounds_off"])
    reading = write_length(cue.data["mm"], glance.unit)
    how = "longer" if off > 0 else "shorter"
    about = f"about {abs(off)} {unit('rounds', abs(off))} {how} than expected"
    number = int(cue.data["row"]) + off
    way_out = (
        f"measure again, or {number} a if {number} are done" if number > 0 else "measure again"
    )
    return f"{reading} does not fit: {about}", way_out


def _measure_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    return "a tape reading tells most here", "11.4 m enters one" if glance.unit == "cm" else ""


def _end_of_round_cue(cue: Cue, glance: Glance) -> tuple[str, str]:
    done = cue.data["round"]
    return (f"end of round {done}: at the marker" if done else "at the marker"), ""


_CUES = {
    "held": _held_cue, "other-sock": _other_sock_cue, "section": _section_cue,
    "needle": _needle_cue, "pin": _pin_cue, "note": _note_cue, "reading": _reading_cue,
    "measure": _measure_cue, "end-of-round": _end_of_round_cue,
}  # fmt: skip


# What an act did


def taken_back(event: Event, glance: Glance) -> str:
    """What undo took back, and where that leaves her."""
    named = act(event, glance.unit, glance.place.worked)
    return f"Taken back: {named}{_on_the_other(event, glance)}. {place(glance)}"


def brought_back(event: Event, glance: Glance) -> str:
    """What redo brought back."""
    # A section that it ends has its card up already, and the card knows how that was worked.
    ended = glance.card.data["before_worked"] if glance.card is not None else None
    named = act(event, glance.unit, ended or glance.place.worked)
    return f"Brought back: {named}{_on_the_other(event, glance)}. {place(glance)}"


def act(event: Event, measure: Unit, worked: str = "rounds") -> str:
    """An act by its name: "the 11.4 cm reading", "3 rounds"."""
    data = event.data
    if event.kind == "tick":
        return _ticks(data, worked)
    if event.kind in ("measure", "target"):
        what = "reading" if event.kind == "measure" else "goal"
        return f"the {write_length(data['mm'], measure)} {what}"
    return {
        "end": "the end of the section", "at": f"the correction to {data.get('round')}",
        "other": "the change of socks",
    }.get(event.kind, event.kind)  # fmt: skip


def _on_the_other(event: Event, glance: Glance) -> str:
    """On which sock it was, where the place that follows is said of the other one."""
    elsewhere = event.kind != "other" and event.sock != glance.place.sock
    return f" on {sock(event.sock)}" if elsewhere else ""


def _ticks(data: Mapping[str, Any], worked: str) -> str:
    if "needles" in data:
        return f"{data['needles']} needles" if data["needles"] > 1 else "a needle"
    count = data["rounds"]
    return f"{count} {unit(worked, count)}" if count > 1 else f"a {unit(worked)}"


def _side(side: str) -> str:
    return "right side" if side == "RS" else "wrong side"


def _spaced(counts: Any) -> str:
    return " / ".join(str(count) for count in counts)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def said(act: Act, before: Glance, after: Glance, target: Event | None = None) -> str:
    """The sentence an act answers with: what it did, and the new place."""
    if act.kind == "undo" and target is not None:
        return taken_back(target, after)
    if act.kind == "redo" and target is not None:
        return brought_back(target, after)
    return _SAID.get(act.kind, _said_place)(act, before, after)


def _said_place(act: Act, before: Glance, after: Glance) -> str:
    return place(after)


def _said_end(act: Act, before: Glance, after: Glance) -> str:
    here = before.place
    at = act.data.get("at", here.done)
    told = [f"The {called(here)} ended at round {at}."]
    over = here.done - at
    if over:
        after_it = "round after it belongs" if over == 1 else f"{over} rounds after it belong"
        told.append(f"The {after_it} to what follows.")
    inside = sum(needle.finished for needle in before.needles)
    if inside:
        ticked = "needle" if inside == 1 else f"{inside} needles"
        back = "is" if inside == 1 else "are"
        told.append(f"The {ticked} ticked in round {here.done + 1} {back} taken back.")
    return " ".join([*told, place(after)])


def _said_measure(act: Act, before: Glance, after: Glance) -> str:
    reading = write_length(act.data["mm"], after.unit)
    inside = any(needle.finished for needle in after.needles)
    here = after.place
    where = f"{reading} at {called(here)} {unit(here.worked)} {here.done}"
    told = [f"{where}, inside the next one." if inside else f"{where}."]
    odd = next((cue for cue in after.cues if cue.kind == "reading"), None)
    if odd is not None:
        told.append(f"It does not count yet. {cue_line(odd, after)}.")
    return " ".join([*told, to_go(after)])


def to_go(glance: Glance) -> str:
    """The length now and how far it is to the goal, in a sentence or two."""
    length, rows = glance.length, glance.rows_to_go[1] or 0
    left = f"{rows} {unit(glance.place.worked, rows)} to go"
    if length is None or not glance.place.begun:
        return f"{_capital(left)}."
    doubt = write_length(length.sd_mm, glance.unit, with_unit=False)
    now = f"{write_length(length.mm, glance.unit)} now, give or take {doubt}."
    if glance.place.planned_by != "goal":
        return f"{now} {_capital(left)}."
    if length.low is None:
        return f"{now} How many rounds are left cannot be said yet; measure."
    if length.high == 0 and length.target_mm:
        return f"{now} The goal of {write_length(length.target_mm, glance.unit)} is reached."
    span = f" ({length.low} to {length.high})" if length.low != length.high else ""
    goal = f", to {write_length(length.target_mm, glance.unit)}" if length.target_mm else ""
    return f"{now} About {left}{span}{goal}."


def _said_target(act: Act, before: Glance, after: Glance) -> str:
    goal = write_length(act.data["mm"], after.unit)
    whole_foot = ", the toe included" if after.place.kind == "foot" else ""
    return f"The {called(after.place)} goes to {goal}{whole_foot}. {to_go(after)}"


def _said_at(act: Act, before: Glance, after: Glance) -> str:
    was, number = before.place, int(act.data["round"])
    named, worked = called(after.place), after.place.worked
    if number != after.place.done and after.card is not None:
        # It was the last one of its section, and the place has moved on.
        named, worked = section(after.card.data["before"]), after.card.data["before_worked"]
    if number == 0:
        count = f"No {unit(worked)} of the {named} is done now"
    else:
        count = f"{_capital(named)} {unit(worked)} {number} is now the last one done"
    before_it = str(was.done) if called(was) == named else f"{called(was)} {was.done}"
    return f"{count}; was {before_it}. {place(after)}"


_SAID = {"end": _said_end, "measure": _said_measure, "target": _said_target, "at": _said_at}
