"""What an act answers: the sentence that says what it did and where she is now, and its name in the past."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from tracker import change_words, place_words, yarn_words
from tracker.glance import Glance
from tracker.knitting.events import LONGEST_NOTE, Act, Event
from tracker.pattern.turned_sides import Sides
from tracker.rest_words import COVER, resting, rests_now
from tracker.units import Unit, shorten, write_length
from tracker.vocabulary import and_all, capital, counted, section, unit, with_the_foot
from tracker.words import (
    WITHOUT_IT,
    cue_text,
    just_done,
    misfit,
    parts,
    piece,
    place,
    section_of,
    to_go,
)


def taken_back(event: Event, at: Glance, glance: Glance) -> str:
    """What undo took back, named by the place `at` which it was made, and where that leaves her."""
    named = act(event, glance.unit, at.place.worked, section_of(at))
    return f"Taken back: {named}{_on_the_other(event, glance)}. {place(glance)}"


def brought_back(event: Event, at: Glance, glance: Glance) -> str:
    """What redo brought back, named by the place `at` which it was made."""
    named = act(event, glance.unit, at.place.worked, section_of(at))
    return f"Brought back: {named}{_on_the_other(event, glance)}. {place(glance)}"


def act(event: Event, measure: Unit, worked: str = "rounds", ended: str = "section") -> str:
    """An act by its name: "the 11.4 cm reading", "3 rounds", "the end of the leg"."""
    data = event.data
    if event.kind == "tick":
        return _ticks(data, worked)
    if "stitches" in data and event.kind == "rip":
        return f"{_stitches(data['stitches'])} unknitted"
    if event.kind in ("measure", "target"):
        what = "reading" if event.kind == "measure" else "goal"
        return f"the {write_length(data['mm'], measure)} {what}"
    if event.kind == "weigh":
        colour = f" of {shorten(data['colour'])}" if "colour" in data else ""
        return f"the {yarn_words.grams(data['grams'])} weighing{colour}"
    if event.kind == "rest" and "into" in data:
        some = f", after {_stitches(data['into'])} of it" if data["into"] else ""
        return f"the stop inside needle {data['needles'] + 1}{some}"
    if event.kind == "answer":
        return f"the answer to the {write_length(data['mm'], measure)} reading"
    return {
        "end": f"the end of the {ended}", "at": f"the correction to {data.get('round')}",
        "other": "the change of socks", "rip": f"the ripping back to {data.get('round')}",
        "note": "the note", "rest": "the laying to rest", "lifeline": "the lifeline",
        "order": "the order of work", "changed": "the change", "copy": "what was said of a change",
        "count": "the count of the stitches", "restart": "the beginning again",
        "append": "the next stage", "replan": "the new pattern",
    }.get(event.kind, event.kind)  # fmt: skip


def _on_the_other(event: Event, glance: Glance) -> str:
    """On which sock it was, where the place that follows is said of the other one."""
    elsewhere = event.kind not in _OF_THE_PAIR and event.sock != glance.place.sock
    return f" on {piece(glance, event.sock)}" if elsewhere else ""


_OF_THE_PAIR = frozenset({"other", "weigh", "append", "replan"})


def _stitches(count: int) -> str:
    return f"{count} stitch{'es' if count > 1 else ''}"


def _ticks(data: Mapping[str, Any], worked: str) -> str:
    if "over" in data:
        moved = len(data["over"])
        return f"the move of {moved} ticks" if moved > 1 else "the move of a tick"
    if "needles" in data:
        return f"{data['needles']} needles" if data["needles"] > 1 else "a needle"
    count = data["rounds"]
    return counted(count, worked) if count > 1 else f"a {unit(worked)}"


def said(
    act: Act, before: Glance, after: Glance, target: Event | None = None, *, keys: bool = False
) -> str:
    """The sentence an act answers with: what it did, and the new place."""
    if act.kind == "undo" and target is not None:
        return taken_back(target, before, after)
    if act.kind == "redo" and target is not None:
        return brought_back(target, before, after)
    if act.kind == "measure":
        return _said_measure(act, before, after, keys)
    if act.kind == "changed":
        return f"{change_words.said_changed(act.data, after, keys=keys)} {place(after)}"
    if act.kind == "count":
        return place_words.said_count(after, keys=keys)
    if act.kind == "weigh":
        return yarn_words.said_weigh(after, keys=keys)
    return _SAID.get(act.kind, _said_place)(act, before, after)


def to_count(there: tuple[int, ...], sides: Sides | None = None) -> str:
    """What should be on the needles, asked before they are counted; of short rows what tells them apart."""
    if sides is not None:
        ok = f"{place_words.counts(there)} should be on the heel needle, as in every row."
        return f"{ok} {place_words.sides_told(sides)}"
    each = "/".join(map(str, there))
    return (
        f"{place_words.counts(there)} should be on the needles: write instep count ok if they are, "
        f"else what you find, like instep count {each}."
    )


def kept_single(ticks: int, glance: Glance) -> str:
    """What is said when of so many ticks a single one is kept."""
    return f"Kept one of {ticks}. {place(glance)}"


def moved_over(event: Event, to: Glance, off: Glance) -> str:
    """What is said when ticks went to the other sock, whose glance is `to`, and came `off` this one."""
    ticks = len(event.data["over"])
    what = "The last tick" if ticks == 1 else f"The last {ticks} ticks"
    return (
        f"{what}, {_in_all(event.data['acts'])}, counted on {piece(to, to.place.sock)}. {place(to)} "
        f"{capital(piece(off, off.place.sock))} is at {_stands(off)}."
    )


def _in_all(acts: Iterable[Mapping[str, Any]]) -> str:
    """ "3 rounds", "2 rounds and a needle": what several ticks were together."""
    told = list(acts)
    rounds = sum(act.get("rounds", 0) for act in told)
    needles = sum(act.get("needles", 0) for act in told)
    named = [counted(rounds, "rounds")] if rounds else []
    named += [f"{needles} needles" if needles > 1 else "a needle"] if needles else []
    return and_all(named)


def _stands(glance: Glance) -> str:
    """ "leg round 13", "leg round 13, inside the next", "the beginning of the leg"."""
    here = glance.place
    if here.finished:
        return "its end"
    inside = ", inside the next" if any(needle.finished for needle in glance.needles) else ""
    if not here.done:
        return f"the beginning of the {section_of(glance)}{inside}"
    return f"{section_of(glance)} {unit(here.worked)} {here.done}{inside}"


def ticked(before: Glance, after: Glance, rounds: int) -> str:
    """What several rounds at once were: "12 rounds: 2 to 13, backspace takes them back"."""
    here, now = before.place, after.place
    there = here.section == now.section or rounds <= here.planned - here.done
    # Where a card stands nothing of what is worked otherwise is done yet.
    both = not there and here.worked != now.worked and after.card is None
    what = f"{rounds} rounds and rows" if both else counted(rounds, here.worked)
    span = f": {here.done + 1} to {now.done}" if here.section == now.section else ""
    return f"{what}{span}, {after.keys['undo']} takes them back"


def _said_place(act: Act, before: Glance, after: Glance) -> str:
    return place(after)


def _said_tick(act: Act, before: Glance, after: Glance) -> str:
    """The place; and of a round in which a needle was to be put right, that it is done."""
    right = next((cue for cue in after.cues if cue.about == "put right"), None)
    if right is None or any(cue.about == "put right" for cue in before.cues):
        return place(after)
    told = (
        f"What was off is put right in round {right.data['round']}: count the stitches once more."
    )
    return f"{place(after)} {told}"


def _said_end(act: Act, before: Glance, after: Glance) -> str:
    here = before.place
    at = act.data.get("at", here.done)
    told = [
        f"The {section_of(before)} ended at {unit(here.worked)} {at}{_against_the_other(before, at)}."
    ]
    over = here.done - at
    if over:
        told.append(
            f"{counted(over, here.worked)} {'goes' if over == 1 else 'go'} to what follows."
        )
    short = (before.rows_to_go[1] or 0) + over if here.planned_by == "goal" else 0
    if short >= SHORT:
        told.append(f"That is {counted(short, here.worked)} before its goal.")
    inside = sum(needle.finished for needle in before.needles)
    if inside:
        part = parts(before)
        ticked = part if inside == 1 else f"{inside} {part}s"
        back = "is" if inside == 1 else "are"
        told.append(f"The {ticked} ticked in round {here.done + 1} {back} taken back.")
    return " ".join([*told, place(after)])


SHORT = 4
"""Rounds before its goal from which an end is remarked on."""


def _against_the_other(glance: Glance, at: int) -> str:
    here = glance.place
    if here.planned_by != "other sock" or at == here.planned:
        return ""
    how = "fewer" if at < here.planned else "more"
    return f", {abs(at - here.planned)} {how} than {piece(glance, 3 - here.sock)}"


FAR_APART_MM = 6.0
"""Two readings at one round that differ by more lay differently (common practice, no source)."""


def _said_measure(act: Act, before: Glance, after: Glance, keys: bool) -> str:
    reading = write_length(act.data["mm"], after.unit)
    inside = any(needle.finished for needle in after.needles)
    here = after.place
    at = (
        f"{section_of(after)} {unit(here.worked)} {here.done}"
        if here.done
        else f"the start of the {section_of(after)}"
    )
    where = f"{reading} at {at}{', inside the next one,' if inside else ''}"
    odd = next((cue for cue in after.cues if cue.kind == "reading"), None)
    if odd is not None:
        _, then = cue_text(odd, after, keys=keys)
        again = ", lay it flat, once more" if odd.about == "shorter" else ""
        return f"{where} does not count yet: {misfit(odd, after)}{again}, {then}."
    told = [f"{where.rstrip(',')}."]
    if _readings_apart(after):
        told.append("The readings at this round differ: lay it flat, once more.")
    return " ".join([*told, to_go(after), *_much_changed(before, after)])


MUCH = 5
"""Rounds by which a reading that is believed may change what is expected without a word."""


def _much_changed(before: Glance, after: Glance) -> Iterator[str]:
    """A reading that moves the end by many rounds says so: rounds may be uncounted."""
    was, now = (glance.length.goal_row if glance.length else None for glance in (before, after))
    first = before.length is None or not before.length.readings
    if was is None or now is None or abs(now - was) < MUCH or first:
        return
    how = "more" if now > was else "fewer"
    rounds = counted(abs(now - was), after.place.worked)
    yield f"That is {rounds} {how} in all than before: if it surprises you, count them on the fabric."


def _readings_apart(glance: Glance) -> bool:
    length = glance.length
    readings = length.readings if length else ()
    here = [r.at_mm for r in readings if r.counts and r.row == glance.place.done]
    return bool(here) and max(here) - min(here) > FAR_APART_MM


def _said_target(act: Act, before: Glance, after: Glance) -> str:
    goal = write_length(act.data["mm"], after.unit)
    alone = f" on {piece(after, after.place.sock)} alone" if act.data.get("only") else ""
    to_come, by_yarn = act.data.get("name"), act.data["text"] == yarn_words.AS_FAR
    if by_yarn:
        goal = f"{goal}, {yarn_words.AS_FAR}"
    if to_come is not None:
        return f"The {section(to_come, after.of_socks)} will go to {goal}{alone}. {place(after)}"
    with_it = with_the_foot(after) if after.place.kind == "foot" and after.length else ""
    whole_foot = f", {with_it} included" if with_it else ""
    washed = " when washed" if after.length and after.length.grows else ""
    by = f": {_than_before(before, after)}" if by_yarn or _is_far(before, after) else ""
    told = f"The {section_of(after)} goes to {goal}{whole_foot}{washed}{alone}{by}."
    return " ".join([told, *_no_sooner(after), to_go(after)])


def _no_sooner(after: Glance) -> Iterator[str]:
    """That the section is shaped to a round past its new goal, and where that is."""
    length = after.length
    if length is None or not after.shaped_to or length.goal_row != after.shaped_to:
        return
    low, high, goal = length.ends_low_mm, length.ends_high_mm, length.target_mm
    if low is None or high is None or goal is None:
        return
    last = f"{unit(after.place.worked)} {after.shaped_to}"
    if told := no_sooner(last, (low + high) / 2, goal, after.unit):
        yield told


def no_sooner(last: str, there: float, goal: float, hers: Unit) -> str:
    """That a section is shaped to its row `last`, `there` mm from its mark, past its `goal` (mm); else ""."""
    if there <= goal + PAST_MM:
        return ""
    return f"It is shaped to {last}, at about {write_length(there, hers)}, and ends no sooner."


PAST_MM = 2.5
"""A goal is missed by more than about a round."""


def _is_far(before: Glance, after: Glance) -> bool:
    """Whether a new goal moves the end by a quarter of the section or more: it may be a slip."""
    was, now = before.rows_to_go[1], after.rows_to_go[1]
    return was is not None and now is not None and 4 * abs(now - was) >= before.place.planned


def _than_before(before: Glance, after: Glance) -> str:
    """ "6 rounds more than before": what a new goal does to the rounds there are to go."""
    more = (after.rows_to_go[1] or 0) - (before.rows_to_go[1] or 0)
    if not more:
        return "as before"
    how = "more" if more > 0 else "fewer"
    return f"{counted(abs(more), after.place.worked)} {how} than before"


def _said_at(act: Act, before: Glance, after: Glance) -> str:
    taken = f" {_taken_there(act, after)}" if "of" in act.data else ""
    return (
        f"{_now_and_was(act, before, after, 'one done')}. {place(after)}{taken}{_past_goal(after)}"
    )


def _past_goal(after: Glance) -> str:
    """Rounds that were found to be past the goal: what can be done with them."""
    here, length = after.place, after.length
    goal = length.goal_row if length and here.planned_by == "goal" else None
    if goal is None or here.done <= goal:
        return ""
    keep = f"keep {here.done} for both socks" if after.of_socks else f"keep {here.done}"
    return f" Rip {here.done - goal}, or {keep}."


def _said_rip(act: Act, before: Glance, after: Glance) -> str:
    void = before.length is not None and any(
        reading.counts and after.length is not None and reading.row > after.place.done
        for reading in before.length.readings
    )
    told = [f"{_now_and_was(act, before, after, 'on the needles')}."]
    if "stitches" in act.data:
        told = [
            f"{_stitches(act.data['stitches'])} back.",
            *(told if _moved(before, after) else []),
        ]
    if void and section_of(before) == section_of(after):
        told.append("What was measured above it does not count any more.")
    return " ".join([*told, place(after)])


def _moved(before: Glance, after: Glance) -> bool:
    """Whether another round is the last one on the needles."""
    return (before.place.section, before.place.done) != (after.place.section, after.place.done)


def _said_lifeline(act: Act, before: Glance, after: Glance) -> str:
    name, number = section(str(act.data["name"]), after.of_socks), act.data["round"]
    where = (
        f"in {name} {act.data['unit']} {number}" if number else f"at the beginning of the {name}"
    )
    return f"A lifeline lies {where}. {place(after)}"


def _said_restart(act: Act, before: Glance, after: Glance) -> str:
    return f"Begun again; what was is kept. {place(after)}"


def _now_and_was(act: Act, before: Glance, after: Glance, last: str) -> str:
    """ "Leg round 26 is now the last on the needles; was 38"."""
    was, number = before.place, int(act.data["round"])
    named, worked = section_of(after), after.place.worked
    if number != after.place.done and after.card is not None:
        # It was the last one of its section, and the place has moved on.
        named, worked = (
            section(after.card.data["before"], after.of_socks),
            after.card.data["before_worked"],
        )
    if number == 0:
        count = f"No {unit(worked)} of the {named} is done now"
    else:
        count = f"{capital(named)} {unit(worked)} {number} is now the last {last}"
    before_it = str(was.done) if section_of(before) == named else f"{section_of(before)} {was.done}"
    inside = sum(needle.finished for needle in before.needles)
    half = f", inside {unit(was.worked)} {was.done + 1}" if inside else ""
    return f"{count}; was {before_it}{half}"


def _taken_there(act: Act, after: Glance) -> str:
    """Of the reading that showed that the count was wrong: it lies where it was taken; does it fit?"""
    reading = write_length(act.data["mm"], after.unit)
    fits = all(cue.kind != "reading" for cue in after.cues)
    how = "goes with it" if fits else "goes with it, and still does not fit"
    return f"The {reading} reading {how}. {to_go(after)}"


def _said_answer(act: Act, before: Glance, after: Glance) -> str:
    reading = write_length(act.data["mm"], after.unit)
    if act.data["as"] == "count":
        return _said_at(act, before, after)
    if act.data["as"] == "right":
        told = f"The {reading} reading counts, though with more doubt than others."
    else:
        told = f"The {reading} reading is left out."
    return told if after.place.finished else f"{told} {to_go(after)}"


def _said_order(act: Act, before: Glance, after: Glance) -> str:
    needs = (
        f" It takes a second set of needles; {WITHOUT_IT}." if act.data.get("second_set") else ""
    )
    return f"The order is now: {act.data['order']}.{needs} {place(after)}"


def _said_copy(act: Act, before: Glance, after: Glance) -> str:
    return change_words.said_copy(act.data, after)


def _said_note(act: Act, before: Glance, after: Glance) -> str:
    return f"Noted at {just_done(after)}: {shorten(act.data['text'], LONGEST_NOTE)}."


def _said_rest(act: Act, before: Glance, after: Glance) -> str:
    if "into" in act.data:
        return f"{place(after)} {COVER}"
    return f"{capital(resting(after, str(act.data['text'])))} {COVER} {place(after)}"


def _said_other(act: Act, before: Glance, after: Glance) -> str:
    """Of a sock that was laid to rest it is said first how its stitches go back."""
    return f"{rests_now(after)}{place(after)}"


def _said_append(act: Act, before: Glance, after: Glance) -> str:
    return f"The pattern goes on with {_sections(act.data, after)}. {place(after)}"


def _said_replan(act: Act, before: Glance, after: Glance) -> str:
    return f"What is not knitted yet goes by the new pattern: {_sections(act.data, after)}. {place(after)}"


def _sections(data: Mapping[str, Any], glance: Glance) -> str:
    """ "the heel flap, the heel turn and the gusset"; what is only told otherwise has none."""
    names = dict.fromkeys(section(str(name), glance.of_socks) for name in data["sections"])
    return and_all(f"the {name}" for name in names) if names else "what is told of its stages"


_SAID = {
    "append": _said_append, "replan": _said_replan,
    "tick": _said_tick,
    "copy": _said_copy, "order": _said_order, "note": _said_note, "rest": _said_rest, "other": _said_other,
    "end": _said_end, "target": _said_target, "at": _said_at, "answer": _said_answer,
    "rip": _said_rip, "lifeline": _said_lifeline, "restart": _said_restart,
}  # fmt: skip
