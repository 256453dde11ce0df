"""From a glance to what each part of the needles screen is to show."""

from __future__ import annotations

from typing import NamedTuple

from tracker import words
from tracker.glance import Glance, NeedleSight, SockSight
from tracker.ui.cue_line import CueSight
from tracker.ui.facts import Fact
from tracker.ui.footer import Entry
from tracker.ui.heel_row import HeelRow, HeelSight, heel_row
from tracker.ui.pair_strip import PairSight, SockBar
from tracker.ui.ring import Look, RingNeedle, RingSight
from tracker.ui.stage import DonePart, NeedlesPart, NextPart, StageSight
from tracker.ui.three_lines import LinesSight
from tracker.ui.title_line import TitleSight
from tracker.ui.work import phrases, work_of

_ON_STAGE = frozenset({"end-of-round", "needle"})
"""Cues the stage itself gives."""

_SHAPED = frozenset({"gusset", "foot", "toe"})
"""Sections in which a single circular needle has markers at both sides of the instep."""

_HEEL = frozenset({"heel set-up", "flap", "turn"})


class Scene(NamedTuple):
    """All the needles screen is given. `turned` None means: as the glance has it."""

    glance: Glance
    said: str = ""
    typed: str = ""
    not_kept: str = ""
    clock: str = ""
    keys: tuple[Entry, ...] = ()
    turned: bool | None = None

    @property
    def is_turned(self) -> bool:
        """Whether the stage is turned over."""
        if self.turned is not None:
            return self.turned
        return self.glance.counting == "needles" and round_ended(self.glance)


def round_ended(glance: Glance) -> bool:
    """Whether a round has just been finished: nothing of the next one is worked yet.

    A card at the start of a section stands before its first round, not after one.
    """
    place = glance.place
    return place.worked == "rounds" and place.at_marker and place.begun and glance.card is None


def title_sight(shown: Scene) -> TitleSight:
    """The first line's part."""
    place = shown.glance.place
    where = f"{words.sock(place.sock)}, {words.section(place.kind)}"
    return TitleSight(shown.glance.title, where, shown.clock)


def stage_sight(shown: Scene) -> StageSight:
    """The stage's part."""
    glance = shown.glance
    row = _heel_row(glance)
    return StageSight(
        done=DonePart(glance.place.done, words.of_planned(glance)),
        next=_next_part(shown, row),
        needles=_needles_part(shown, row),
        turned=shown.is_turned,
    )


def cue_sight(shown: Scene) -> CueSight:
    """The cue line's part: the first cue that the stage does not give itself."""
    given = CueSight(said=shown.said, typed=shown.typed, not_kept=shown.not_kept)
    for cue in shown.glance.cues:
        if cue.kind in _ON_STAGE or cue == shown.glance.card:
            continue
        what, afterwards = words.cue_text(cue, shown.glance)
        return given._replace(
            when=words.cue_when(cue), what=what, afterwards=afterwards, due=cue.when <= 1
        )
    return given


def pair_sight(shown: Scene) -> PairSight:
    """The part of both socks."""
    one, two = (_sock_bar(sock) for sock in shown.glance.socks)
    return PairSight((one, two))


def facts_sight(shown: Scene) -> tuple[Fact, ...]:
    """The facts' part."""
    return tuple(words.facts(shown.glance)[:4])


def lines_sight(shown: Scene) -> LinesSight:
    """The three lines of the smallest screen."""
    glance = shown.glance
    return LinesSight(
        done=f"{glance.place.done} done, {words.of_planned(glance)}",
        next=_next_line(glance),
        third=_third_line(shown),
        turned=shown.is_turned,
        alarmed=bool(shown.not_kept),
    )


def _next_line(glance: Glance) -> tuple[str, ...]:
    """What is next, longest first; the number and the work are said before the word."""
    if glance.next is None:
        return (f"nothing more on {words.sock(glance.place.sock)}",)
    number, word = glance.next.number, glance.next.word.lower()
    works = phrases(work_of(glance, _heel_row(glance)))
    return (
        *(f"next {number} {word}, {work}" for work in works),
        *(f"{number}: {work}" for work in works),
    )


def _third_line(shown: Scene) -> str:
    """What was not kept, typed or said; else the cue; else the length."""
    if shown.not_kept:
        return f"! not kept: {shown.not_kept}"
    if shown.typed or shown.said:
        return shown.typed or shown.said
    cue = cue_sight(shown)
    if cue.what:
        return f"{cue.when} {cue.what}".strip()
    return " ".join(next(iter(words.facts(shown.glance)), ("", "")))


def _next_part(shown: Scene, row: HeelRow | None) -> NextPart:
    glance = shown.glance
    work = work_of(glance, row)
    coming = glance.next
    if coming is None:
        return NextPart("", "", "", False, work, card=_card(glance))
    kind = "row" if glance.place.worked == "rows" else "round"
    ended = shown.is_turned and glance.counting == "needles" and round_ended(glance)
    return NextPart(
        row=f"{kind} {coming.number}" if coming.number else _set_up(coming.word),
        side=coming.side or "",
        word=coming.word,
        loud=not coming.plain,
        work=work,
        card=_card(glance),
        ended=_ended(glance) if ended else "",
    )


def _set_up(word: str) -> str:
    """What row 0 is called: it is worked, but not counted."""
    return "pick-up round" if word == "PICK" else "set-up round"


def _ended(glance: Glance) -> str:
    """The round just finished."""
    place = glance.place
    return f"round {place.done}" if place.done else f"the {_set_up(place.done_word)}"


def _card(glance: Glance) -> tuple[str, ...]:
    return tuple(words.card(glance)) if glance.card is not None else ()


def _needles_part(shown: Scene, row: HeelRow | None) -> NeedlesPart:
    glance = shown.glance
    caption = words.caption(glance)
    if row is not None:
        side = glance.next.side if glance.next else None
        turns = glance.needles[0].work.endswith(("turn", "w&t"))
        picture = HeelSight(row, side, glance.hand == "left", _waits(glance), turns)
        return NeedlesPart(picture, caption, side or "", key_loud=True)
    if glance.place.worked == "rows":
        return NeedlesPart(_graft(glance), caption, "", key_loud=False)
    key = "\N{BLACK SQUARE} marker"
    last = glance.place.last_needle and not shown.is_turned
    return NeedlesPart(_ring(shown), caption, f"{key} next" if last else key, key_loud=last)


def _ring(shown: Scene) -> RingSight:
    glance = shown.glance
    total = f"{glance.stitches} sts"
    if glance.next and glance.next.leaves != glance.stitches and not shown.is_turned:
        total = f"{total}, then {glance.next.leaves}"
    return RingSight(
        needles=tuple(_ring_needle(needle, shown) for needle in glance.needles),
        total=total,
        left_handed=glance.hand == "left",
        arrow=glance.counting == "rounds",
        closed=shown.is_turned,
        side_markers=len(glance.needles) == 1 and glance.place.kind in _SHAPED,
    )


def _graft(glance: Glance) -> RingSight:
    """Two needles held together, sole below and instep above, with nothing to go round."""
    needles = tuple(
        RingNeedle(f"{needle.name} {needle.stitches}", "to come", differs=False)
        for needle in reversed(glance.needles)
    )
    return RingSight(
        needles, f"{glance.stitches} sts", False, arrow=False, closed=False, marker=False
    )


def _ring_needle(needle: NeedleSight, shown: Scene) -> RingNeedle:
    look: Look = "to come"
    if shown.glance.counting == "needles":
        if needle.finished:
            look = "done"
        elif needle.name == shown.glance.place.needle:
            look = "at work"
    label = f"{needle.name} {needle.stitches}"
    changes = needle.leaves != needle.stitches and not needle.finished
    if changes and not shown.is_turned:
        label = f"{label}>{needle.leaves}"
    return RingNeedle(label, look, differs=not needle.plain and not needle.finished)


def _heel_row(glance: Glance) -> HeelRow | None:
    """The row in hand laid out along the heel needle, or None in the round."""
    if glance.place.worked != "rows" or len(glance.needles) != 1 or glance.next is None:
        return None
    needle = glance.needles[0]
    return heel_row(needle.work, needle.stitches, glance.next.number, glance.place.kind)


def _waits(glance: Glance) -> str:
    """What stands in the instep's half of the picture while the heel is worked."""
    resting = sum(waiting.stitches for waiting in glance.resting)
    if glance.place.kind in _HEEL:
        return f"instep {resting} rests"
    return f"{resting} rest" if resting else ""


def _sock_bar(sock: SockSight) -> SockBar:
    return SockBar(words.sock(sock.sock), _where(sock), sock.share)


def _where(sock: SockSight) -> str:
    if sock.finished:
        return "finished"
    if not sock.begun:
        return "not begun"
    return f"{words.section(sock.section)}, {sock.done} of {sock.planned}"
