"""What the command line prints: the same values as plain text for people, as JSON for scripts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from tracker import hours, past_words, place_words, rest_words, words
from tracker.glance import Glance
from tracker.knitting.cues import Cue
from tracker.knitting.hanging import Hanging
from tracker.knitting.past import Past
from tracker.units import Unit, shorten
from tracker.vocabulary import capital, duration


def left_json(glance: Glance) -> dict[str, Any]:
    """The `left` object."""
    here, row, length = glance.place, glance.next, glance.length
    low, likely, high = glance.rows_to_go
    unknown, rests = likely is None, glance.used_up
    needles, resting = (rests.held, rests.waiting) if rests else (glance.needles, glance.resting)
    aim = length or glance.unmeasured
    return {
        "pair": glance.pair,
        "title": glance.title,
        "sock": here.sock,
        "section": here.section,
        "kind": here.kind,
        "done": here.done,
        "planned": None if unknown else here.planned,
        "needle": here.needle,
        "needles": [{"name": n.name, "stitches": n.stitches} for n in needles],
        "resting": [{"name": w.name, "stitches": w.stitches} for w in resting],
        "stitches": rests.stitches if rests else glance.stitches,
        "next": None
        if row is None
        else {
            "number": row.number,
            "side": row.side,
            "needles": [
                {"name": n.name, "work": n.work, "leaves": n.leaves} for n in glance.needles
            ],
            "leaves": row.leaves,
        },
        "length_mm": None if length is None else length.mm,
        "length_sd_mm": None if length is None else length.sd_mm,
        "target_mm": None if aim is None else aim.target_mm,
        "rounds_to_go": {"low": low, "likely": likely, "high": high},
        "measure_at": _measure_at(glance),
        "minutes_to_go": None if unknown else glance.minutes_to_go,
        "lag": glance.lag._asdict(),
        "in_step": glance.in_step,
        "cues": [{"kind": cue.kind, "text": words.cue_line(cue, glance)} for cue in glance.cues],
        "events": glance.events,
    }


def history_json(found: Iterable[Past], unit: Unit, of_socks: bool) -> dict[str, Any]:
    """The `history` object."""
    return {
        "events": [
            {
                "number": one.event.number,
                "at": past_words.iso(one.event.at, one.event.offset),
                "sock": one.sock,
                "kind": one.event.kind,
                "section": one.section,
                "row": one.row,
                "needle": one.needle,
                "text": past_words.happened(one, unit, of_socks),
                "undone": one.undone,
            }
            for one in found
        ]
    }


def history_text(found: Iterable[Past], unit: Unit, of_socks: bool) -> Iterator[str]:
    """A line an event: its number, when, on which sock and where, what; what was undone says so."""
    for one in found:
        told = f"{past_words.where(one, of_socks)}: {past_words.happened(one, unit, of_socks)}"
        gone = " (taken back)" if one.undone else " (counts no more)" if one.void else ""
        yield f"{one.event.number:>4}  {past_words.when(one)}  {told}{gone}"


def hanging_json(found: Iterable[Hanging]) -> dict[str, Any]:
    """What hangs in the fabric, by its rounds."""
    return {
        "marks": [
            {
                "sock": one.sock,
                "kind": one.kind,
                "section": one.section,
                "row": one.row,
                "text": one.text,
            }
            for one in found
        ]
    }


def hanging_text(found: Iterable[Hanging], of_socks: bool) -> Iterator[str]:
    """A line a thing: at which round, and what."""
    for one in found:
        yield f"{past_words.hangs_where(one, of_socks)}: {past_words.hangs(one)}"


def count_json(glance: Glance) -> dict[str, Any]:
    """The `count` object; a row is None where every row of its section has so many."""
    count = glance.counted
    if count is None:
        return {"expected": [], "found": [], "matches": False, "places": []}
    question = place_words.question_of(count, glance)
    return {
        "expected": list(count.expected),
        "found": list(count.found),
        "matches": count.matches,
        "places": [
            {
                "section": place.section,
                "row": None if place.any_row else place.row,
                "needle": place.needle,
                "question": question,
            }
            for place in count.places
        ],
    }


def to_count_json(glance: Glance) -> dict[str, Any]:
    """The `count` object before anything is counted: what should be there."""
    expected = [stitches for _, stitches in glance.on_each]
    return {"expected": expected, "found": [], "matches": False, "places": []}


def _measure_at(glance: Glance) -> int | None:
    """The row of the next reading; without a gauge that is due for an open section only."""
    if glance.length is not None:
        return glance.length.measure_at
    unknown = glance.unmeasured
    if unknown is None or unknown.target_mm is None or glance.rows_to_go[1] is not None:
        return None
    return max(unknown.due, glance.place.done)


def left_text(glance: Glance, last: str) -> list[str]:
    """The quick check, a few lines; `last` says when it was last knitted."""
    lines = [f"{shorten(glance.title, 80)} ({shorten(glance.pair)})"]
    lines.append(f"{words.place(glance)} {last}".rstrip())
    if glance.rests_on is not None:
        lines.append(capital(rest_words.resting(glance, glance.rests_on)))
    if colour := words.colour(glance):
        lines.append(f"{capital(colour)}.")
    if not glance.place.finished:
        minutes = f" {duration(glance.minutes_to_go)}." if glance.minutes_to_go else ""
        lines.append(f"{words.to_go(glance)}{minutes}")
    if whole := words.whole_ends(glance):
        lines.append(f"{capital(whole)}.")
    if glance.length is not None and glance.length.measure_at is not None:
        when, what = words.tape_next(glance.length, glance.place)
        lines.append(f"{when[0].upper()}{when[1:]}: {what}.")
    lines += [*hours.time_lines(glance), *words.yarn_lines(glance)]
    if behind := words.lag(glance):
        lines.append(f"{behind[0].upper()}{behind[1:]}.")
    shown = [cue for cue in glance.cues if not _said_above(cue, glance)]
    return lines + [f"- {words.cue_line(cue, glance)}" for cue in shown]


def _said_above(cue: Cue, glance: Glance) -> bool:
    """Cues that the lines above them give, or the card."""
    if cue.about == "in hand":
        return True
    if cue.kind == "measure" and cue.about == "other sock":
        return False
    told_there = cue.kind in ("change", "slip-first") or cue.about == "borders back"
    on_card = told_there and cue.when == 0 and glance.card is not None
    return on_card or cue.kind in ("end-of-round", "measure", "colour", "stage")
