"""How a tick is said in one short line, to be heard: what is done, what comes next, what is due."""

from __future__ import annotations

from collections.abc import Iterator

from tracker import words
from tracker.glance import Glance
from tracker.knitting.cues import Cue
from tracker.units import shorten
from tracker.vocabulary import and_all, capital

END_OF_ROUND = "END OF ROUND."
_SAID_ANYWAY = frozenset({"end-of-round", "needle", "colour"})
"""Kinds of cues that the line of a tick says by itself, and not once more as due."""


def ticked(before: Glance, now: Glance, *, by_needle: bool) -> str:
    """ "Round 24 of about 46 done. Next: round 25, plain."; what has become due follows in the same line."""
    return " ".join([*_done(before, now, by_needle), *due(now, before)])


def where(glance: Glance) -> str:
    """Where she is, for whoever comes back: the place, or a section's card at its beginning; what is due."""
    told = words.place(glance)
    if glance.card is not None:
        named = f"{capital(words.piece(glance, glance.place.sock))}, {words.section_of(glance)}."
        told = " ".join([named, *words.card(glance)])
    return " ".join([told, *due(glance)])


def due(now: Glance, before: Glance | None = None) -> Iterator[str]:
    """What is due now or in the next round, a sentence each; only what is new since `before`."""
    was = {_fact(cue) for cue in before.cues} if before else set()
    for cue in now.cues:
        if cue.when <= 1 and _fact(cue) not in was and _heard(cue) and not _on_card(cue, now):
            yield sentence(words.cue_line(cue, now, keys=True))


def _fact(cue: Cue) -> tuple[object, ...]:
    """What a cue is told by; a repair that waits is told again where what is left of it changes."""
    left = cue.data["repair"] if cue.about == "repair waits" else None
    return cue.kind, cue.about, cue.when, left


def _heard(cue: Cue) -> bool:
    """Whether the line does not say it anyway; borders that go back are a cue of a needle, too."""
    return cue.kind not in _SAID_ANYWAY or cue.about == "borders back"


def sentence(text: str) -> str:
    """`text` with a large letter and an end."""
    return capital(text if text.endswith((".", "?", "!")) else f"{text}.")


def _on_card(cue: Cue, now: Glance) -> bool:
    """Whether the card says it: what is done to the yarn where a section begins stands on it, too."""
    told = cue == now.card or cue.kind in ("change", "slip-first")
    return now.card is not None and (told or (cue.about, cue.when) == ("borders back", 0))


def _done(before: Glance, now: Glance, by_needle: bool) -> Iterator[str]:
    if before.place.sock != now.place.sock:
        yield f"{capital(words.piece(now, now.place.sock))}."
    elif now.both:
        yield "Both."
    if now.place.finished:
        yield words.place(now)
        return
    if now.card is not None:
        *work, done = words.card(now)
        yield from (done, *work)
        return
    if by_needle and not now.place.at_marker:
        worked = sum(needle.finished for needle in now.needles)
        yield f"Needle {worked} of {len(now.needles)} done."
        yield words.coming(now)
        return
    if by_needle:
        yield END_OF_ROUND
    done_rows = now.place.done
    yield f"{capital(words.rounds_done(now))} done." if done_rows else words.place_brief(now)
    yield from _next(now)


def _next(now: Glance) -> Iterator[str]:
    """What comes next, with the needles that differ where a round is no plain one, and its colour."""
    coming = words.coming(now)
    in_rounds = now.place.worked == "rounds" and not now.needles[0].finished
    if now.next is not None and not now.next.plain and in_rounds and now.place.kind != "graft":
        coming = f"{coming.rstrip('.')}: {'; '.join(_works(now))}."
    yield coming
    if now.colour is not None and now.colour.of:
        yield f"{capital(words.colour_brief(now)[0])}."


def _works(now: Glance) -> Iterator[str]:
    """ "N1 and N4 k to last 3, k2tog, k1": the needles that differ, those that do the same together."""
    on: dict[str, list[str]] = {}
    for needle in now.needles:
        if not needle.plain:
            on.setdefault(needle.work, []).append(shorten(needle.name))
    for work, names in on.items():
        yield f"{and_all(names)} {work}" if len(now.needles) > 1 else work
