"""May it be noted: words, a sock laid to rest, and a needle she stopped inside of."""

from __future__ import annotations

from typing import Any

from tracker.knitting.events import LONGEST_NOTE, Act
from tracker.knitting.refused import Refused
from tracker.knitting.replay import Replay
from tracker.knitting.rule_words import (
    acted_on,
    it_is_finished,
    piece_of,
    span_of,
    unit_of,
    waits_there,
)

THE_NEEDLES = "the needles"
"""What a sock rests on where nothing is said."""


def note(replay: Replay, act: Act) -> dict[str, Any]:
    """Words of hers, in one line."""
    text = " ".join(str(act.data["text"]).split())
    if not text:
        raise Refused("a note has words; write them after it")
    if len(text) > LONGEST_NOTE:
        raise Refused(f"a note has at most {LONGEST_NOTE} letters, this one {len(text)}; part it")
    return {"text": text}


def rest(replay: Replay, act: Act) -> dict[str, Any]:
    """A sock is laid to rest, and what its stitches hang on: the needles, if nothing is said.

    Or she stopped inside a needle, after so many stitches of it, or nobody knows how many.
    """
    if "into" in act.data:
        return _stopped(replay, act)
    sock = replay.state.sock(act.sock)
    if not sock.begun or (sock.finished and not waits_there(replay, act)):
        state = "finished" if sock.finished else "not begun"
        raise Refused(f"{piece_of(replay, act)} is {state}, so nothing of it hangs on anything")
    text = " ".join(str(act.data.get("text", "")).split())
    if len(text) > LONGEST_NOTE:
        raise Refused(f"say in fewer than {LONGEST_NOTE} letters what its stitches hang on")
    return {"text": text or THE_NEEDLES}


def _stopped(replay: Replay, act: Act) -> dict[str, Any]:
    """Inside which needle she stopped: more stitches than the needle in hand has reach into the next."""
    from tracker.knitting.tinking import still_to_work, stitches_on  # few acts read single stitches

    course, sock = acted_on(replay, act)
    if sock.finished:
        raise Refused(f"{it_is_finished(replay, act)}, so no needle of it is begun")
    row, into = course.row(sock.section, sock.rows), int(act.data["into"])
    there = {
        needles: len(stitches_on(row, needles)) for needles in still_to_work(row, sock.needles)
    }
    most = sum(there.values()) - 1
    if not 0 <= into <= most:
        raise _done_with(most, unit_of(course.sections[sock.section].worked))
    needles = sock.needles
    for needles, stitches in there.items():  # noqa: B007 - the one in which she stopped
        if into < stitches:
            break
        into -= stitches
    return {"needles": needles, "into": into}


def _done_with(most: int, unit: str) -> Refused:
    """She did not stop inside a row: it is done with one stitch more than the `most` that can be told."""
    if most < 1:
        return Refused(f"with 1 stitch this {unit} is done: tick it")
    done = f"with {most + 1} stitches this {unit} is done"
    return Refused(f"{done}: tick it; write {span_of(1, most)}")
