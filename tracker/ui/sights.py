"""From a glance to what each part of the needles screen is to show."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tracker import words
from tracker.glance import Glance, NeedleSight, NextSight, SockSight, UsedUpSight
from tracker.knitting.cues import NO_HURRY, Cue
from tracker.pattern.model import CLOSED_BY, FIRST_HALF, HEEL_FLAT, ONE_NEEDLE
from tracker.records import NamedTuple
from tracker.ui.cue_line import CueSight
from tracker.ui.facts import FactsSight
from tracker.ui.footer import Entry
from tracker.ui.pair_strip import PairSight, SockBar
from tracker.ui.ring import Look, MarkerInside, RingNeedle, RingSight
from tracker.ui.stage import Chip, DonePart, NeedlesPart, NextPart, StageSight
from tracker.ui.title_line import TitleSight
from tracker.ui.work import Work, WorkLine, phrases, ticked, work_of
from tracker.units import shorten
from tracker.vocabulary import CLOSINGS, called, capital, cast_on_how

if TYPE_CHECKING:
    from tracker.drawing import Picture
    from tracker.side_by_side import Pictures
    from tracker.ui.heel_row import HeelRow
    from tracker.ui.large_count import LargeSight
    from tracker.ui.three_lines import LinesSight
    from tracker.ui.writing import Writing

_ON_STAGE = frozenset({"end-of-round", "needle", "colour"})
"""Cues the stage itself gives."""
_OFF_STAGE = frozenset({"in hand", "borders back"})
"""Those of its kinds that it does not."""

_TO_THE_YARN = {"change": "YARN", "slip-first": "SLIP"}
"""Cues on the yarn, and the word each becomes where it is due and the round has no word of its own."""

_SHAPED = frozenset({"gusset", "foot", "toe"})
"""Sections in which a single circular needle has markers at both sides of the instep."""

_WEAVE = "weave the ends in"


class Scene(NamedTuple):
    """All the needles screen is given. `turned` None means: as the glance has it.

    `said_brief` is what is said where there is no room for `said`. `other` is the glance at the
    sock that waits once this one is finished: it then has the stage. `writing` is the line that is
    open for words, with the glance at its sock. `large`: the count fills the screen. `pictures`
    are both socks as far as they are knitted, None where they are not drawn. `plain`: words are written and
    not drawn.
    """

    glance: Glance
    said: str = ""
    typed: str = ""
    not_kept: str = ""
    clock: str = ""
    keys: tuple[Entry, ...] = ()
    turned: bool | None = None
    said_brief: str = ""
    other: Glance | None = None
    writing: tuple[Writing, Glance] | None = None
    large: bool = False
    pictures: Pictures = (None, None)
    plain: bool = False

    @property
    def is_turned(self) -> bool:
        """Whether the stage is turned over; it stays so once the toe is done."""
        if self.glance.used_up is not None:
            return False
        if self.glance.place.kind in CLOSED_BY or self.glance.place.finished:
            return True
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
    what = (
        "finished"
        if place.finished and not shown.glance.used_up
        else called(place, shown.glance.of_socks)
    )
    where = f"{words.piece_in_hand(shown.glance)}, {what}"
    return TitleSight(shown.glance.title, where, shown.clock, words.in_title(shown.glance))


def stage_sight(shown: Scene) -> StageSight:
    """The stage's part."""
    glance = shown.glance
    row = laid_out(glance)
    return StageSight(
        done=_done_part(shown),
        next=_next_part(shown, row),
        needles=_needles_part(shown, row),
        turned=shown.is_turned,
    )


def cue_sight(shown: Scene, *, on_lines: bool = False) -> CueSight:
    """The cue line's part: the first cue that the stage does not give itself.

    With `on_lines` it is for the smallest screen, where no card stands.
    """
    if shown.writing is not None:
        from tracker.ui.writing import prompt

        writing, at = shown.writing
        return CueSight(prompt=prompt(writing, at), written=writing.text)
    given = CueSight(
        said=shown.said, typed=shown.typed, not_kept=shown.not_kept, said_brief=shown.said_brief,
        besides=_besides(shown.glance) if shown.said else "",
    )  # fmt: skip
    for cue in shown.glance.cues:
        if _stage_gives(cue, shown.glance, card=not on_lines):
            continue
        what, afterwards = words.cue_text(cue, shown.glance)
        pin = _pin_beside(cue, shown.glance)
        return given._replace(
            when=words.cue_when(cue),
            what=what,
            afterwards=afterwards or pin,
            due=cue.when <= 1 and cue.about not in NO_HURRY,
            brief="; ".join(
                filter(None, (_brief(words.cue_brief(cue, shown.glance), what, afterwards), pin))
            ),
        )
    return given


_TO_BE_DONE = frozenset(
    {
        ("note", "through the back"), ("note", "catch"), ("count", "repair waits"), ("copy", "ahead"),
        ("needle", "borders back"),
    }
)  # fmt: skip
"""Cues that tell what to do in the round in hand: the answer to another key does not hide them."""


def _besides(glance: Glance) -> str:
    """What is to be done in the round in hand, in few words."""
    due = (
        cue
        for cue in glance.cues
        if (cue.kind, cue.about) in _TO_BE_DONE
        and not cue.when
        and not _stage_gives(cue, glance, card=True)
    )
    return next((capital(words.cue_brief(cue, glance)) for cue in due), "")


def _pin_beside(cue: Cue, glance: Glance) -> str:
    """The pin that is moved up at the same round, beside what is repeated from the other sock in it."""
    if (cue.kind, cue.about, cue.when) != ("copy", "ahead", 0):
        return ""
    pins = (one for one in glance.cues if (one.kind, one.about) == ("pin", "every tenth"))
    return next((words.cue_text(pin, glance)[0] for pin in pins), "")


def _stage_gives(cue: Cue, glance: Glance, *, card: bool) -> bool:
    """Whether the stage says it already, or the `card` on it."""
    if cue.kind in _TO_THE_YARN and not cue.when:
        return (card and glance.card is not None) or cue == _yarn_word(glance)
    if (cue.kind, cue.about) == ("stage", "used up"):
        return card
    if (cue.about, cue.when) == ("borders back", 0):
        return glance.card is not None
    on_stage = cue.kind in _ON_STAGE and cue.about not in _OFF_STAGE
    return on_stage or cue == glance.card


def _yarn_word(glance: Glance) -> Cue | None:
    """What is done to the yarn before a plain round, by rounds: then it stands where PLAIN stood."""
    plain = glance.next is not None and glance.next.plain and glance.card is None
    if glance.counting != "rounds" or not plain:
        return None
    due = (cue for cue in glance.cues if cue.kind in _TO_THE_YARN and not cue.when)
    return next(due, None)


def _brief(brief: str, what: str, afterwards: str) -> str:
    """The cue in few words, what to do first."""
    return f"{afterwards}: {what}" if afterwards and brief == what else brief


def pair_sight(shown: Scene, *, draws: bool) -> PairSight:
    """The part of both socks; `draws` says whether there is room for their pictures."""
    of_socks = shown.glance.of_socks
    one, two = (
        _sock_bar(sock, of_socks, picture if draws else None)
        for sock, picture in zip(shown.glance.socks, shown.pictures, strict=True)
    )
    return PairSight((one, two), words.lag(shown.glance))


def facts_sight(shown: Scene) -> FactsSight:
    """The facts' part; beside a finished sock's few there is room to say how far apart the two are."""
    glance = shown.glance
    lag = words.lag_brief(glance)
    if lag and glance.place.finished:
        lag = words.lag(glance), *lag
    return FactsSight(tuple(words.facts(glance)[:4]), lag, words.yarn_fact(glance))


def lines_sight(shown: Scene) -> LinesSight:
    """The three lines of the smallest screen."""
    from tracker.ui.three_lines import LinesSight

    return LinesSight(
        done=_done_line(shown),
        next=_next_line(shown),
        third=_third_line(shown),
        turned=shown.is_turned,
        alarmed=bool(shown.not_kept) and shown.writing is None,
    )


def large_sight(shown: Scene) -> LargeSight:
    """The count that fills the screen."""
    from tracker.ui.large_count import LargeSight

    return LargeSight(
        _done_part(shown).rounds, _done_line(shown), _next_line(shown), shown.is_turned
    )


def _done_line(shown: Scene) -> tuple[str, ...]:
    """What is done, longest first."""
    place, rests = shown.glance.place, shown.glance.used_up
    if rests is not None:
        from tracker import stage_words

        who = words.sock(place.sock, shown.glance.of_socks)
        return f"{who} rests at {stage_words.counts(rests)}", f"{who} rests, {rests.stitches} sts"
    if place.finished:
        return (f"{words.sock(place.sock, shown.glance.of_socks)} finished",)
    done, some = _done_part(shown), ticked(shown.glance)
    if to_do := _borders_back(shown.glance):
        return tuple(f"{done.rounds} done; {text}" for text in to_do)
    if some and shown.glance.counting == "rounds":
        inside = f"{done.rounds} done and {some.removesuffix(' done')}"
        return (*(f"{inside}, {of}" for of in done.of), inside)
    return (*(f"{done.rounds} done, {of}" for of in done.of), f"{done.rounds} done")


def _borders_back(glance: Glance) -> tuple[str, ...]:
    """Borders that go back before the first row of a section, longest first.

    They stand beside the count of none, where no answer hides them: no card says it on three lines.
    """
    from tracker import change_words

    due = (cue for cue in glance.cues if (cue.about, cue.when) == ("borders back", 0))
    cue = next(due, None) if glance.card is not None else None
    if cue is None:
        return ()
    shortest = change_words.borders_back_shortest(cue)
    full, _ = words.cue_text(cue, glance)
    return full, words.cue_brief(cue, glance), shortest, shortest.removeprefix("all ")


def _next_line(shown: Scene) -> tuple[str, ...]:
    """What is next, longest first; the number and the work are said before the word."""
    glance = shown.glance
    if glance.next is None:
        return (_after(shown),)
    if glance.place.kind in CLOSED_BY:
        closing = CLOSINGS[glance.place.kind].coming
        return (f"next {closing}, {glance.stitches} stitches", f"next {closing}")
    number, word = glance.next.number, _word(glance).lower()
    if (yarn := _yarn_word(glance)) is not None:
        first = words.cue_brief(yarn, glance)
        labels = (f"next {number} {word}, ", f"next {number}, ", f"{number}: ")
        return (*(f"{label}{first}" for label in labels), f"{number}: {_to_colour(first)}")
    work = work_of(glance, laid_out(glance))
    shaped = any(line.shaped for line in work.lines)
    loud = [line.name for line in work.lines if (line.shaped if shaped else line.loud)]
    if work.manner == "needles" and len(loud) > 1:
        # Too much for a line: which needles it happens on, for she knows by now what.
        return (f"next {number} {word} on {' '.join(loud)}", f"{number} {word} {' '.join(loud)}")
    return tuple(phrases(work, (f"next {number} {word}, ", f"{number}: ")))


def _after(shown: Scene) -> str:
    """What comes after a finished sock, or one that rests where the pattern is used up."""
    if shown.other is None and shown.glance.used_up is not None:
        from tracker import stage_words

        return stage_words.until_brief(shown.glance.used_up)
    if shown.other is None:
        return _WEAVE
    sock = words.sock(shown.other.place.sock, shown.other.of_socks)
    tab = shown.glance.keys["other"]
    return f"{tab}: {sock}" if shown.other.place.begun else f"{tab}: cast on {sock}"


def _third_line(shown: Scene) -> tuple[str, ...]:
    """What is written, was not kept, typed or said; else the cue; else the length; longest first."""
    if shown.writing is not None:
        from tracker.ui.writing import in_one_line

        return in_one_line(*shown.writing)
    if shown.not_kept:
        return (f"! not kept: {shown.not_kept}",)
    if shown.typed:
        return (shown.typed,)
    cue = cue_sight(shown, on_lines=True)
    if shown.said:
        answers = [told for told in (shown.said, shown.said_brief) if told]
        both = [f"{told.rstrip('.')}; {cue.besides}" for told in answers if cue.besides]
        return (*both, *answers)
    if cue.what:
        full = f"{cue.what}, {cue.afterwards}" if cue.afterwards else cue.what
        when = "" if cue.when == "now" else cue.when
        told = (full, cue.what, cue.brief)
        whole = (f"{when} {text}".strip() for text in told if text)
        return (*whole, *_at_least(cue))
    what, sense = next(iter(words.facts(shown.glance)), ("", ""))
    clause = sense.partition(",")[0]
    return tuple(dict.fromkeys(f"{what} {more}".strip() for more in (sense, clause, "")))


def _at_least(cue: CueSight) -> tuple[str, ...]:
    """The cue in the fewest words, for the third line: a change ahead keeps its when."""
    few = cue.brief or cue.what
    if few.startswith("change to ") and cue.when not in ("", "now"):
        soon = cue.when.removesuffix("s").removesuffix(" round").removesuffix(" row")
        soon = "then" if soon == "at the marker" else soon
        return f"{soon} {few}", f"{soon}: {_to_colour(few)}"
    if found := _NUMBERED.match(cue.when):
        soon = f"{found[1]} {found[2]}"
        return f"{soon}: {few}", f"{soon}: {few.partition('; ')[0]}"
    return few, few.partition("; ")[0]


_NUMBERED = re.compile(r"(from|in) (?:round|row) (\d+)")
"""When something of the other sock is repeated, by the number of its round."""


def _to_colour(change: str) -> str:
    """ "to navy" for "change to navy"."""
    return change.removeprefix("change ")


def figures(shown: Scene) -> int:
    """How many figures the done count has, two at least."""
    return max(2, len(str(_done_part(shown).rounds)))


def _done_part(shown: Scene) -> DonePart:
    """The done rows of this section; those of the toe while it is closed; then those of the other."""
    glance = shown.glance
    if glance.used_up is not None:
        worked = words.unit(glance.place.worked, glance.place.done)
        return DonePart(glance.place.done, (f"{worked} of the {words.section_of(glance)}", worked))
    if glance.place.finished:
        return (
            _other_done(shown.other)
            if shown.other
            else DonePart(2, ("of 2 socks" if glance.of_socks else "of 2",))
        )
    if glance.place.kind in CLOSED_BY and glance.card is not None:
        before = glance.card.data
        worked = words.unit(before["before_worked"], before["before_rows"])
        return DonePart(
            before["before_rows"],
            (f"{worked} of the {words.section(before['before'], glance.of_socks)}",),
        )
    return DonePart(glance.place.done, words.of_planned(glance))


def _other_done(other: Glance) -> DonePart:
    """What is done of the sock that waits, under its name: the title is the finished one's."""
    whose = words.sock(other.place.sock, other.of_socks)
    done = DonePart(0, (f"of {other.stitches} stitches", f"of {other.stitches}"))
    if other.place.begun:
        done = _done_part(Scene(other))
    return done._replace(of=(*(f"{whose}, {of}" for of in done.of), whose))


def _chip(shown: Scene) -> Chip | None:
    """The yarn at hand, among those by which the sock is drawn, so that it looks as it does there."""
    colour, picture = shown.glance.colour, shown.pictures[shown.glance.place.sock - 1]
    if colour is None:
        return None
    names = picture.key if picture else shown.glance.colours
    yarns = tuple(dict.fromkeys((*names, colour.name)))
    return Chip(tuple(shorten(name) for name in yarns), yarns.index(colour.name))


def _next_part(shown: Scene, row: HeelRow | None) -> NextPart:
    glance = shown.glance
    work = work_of(glance, row)
    coming = glance.next
    if coming is None:
        return _next_sock(shown)
    ended = shown.is_turned and glance.counting == "needles" and round_ended(glance)
    card, brief = _card(glance)
    part = NextPart(
        row=_row_name(glance, coming),
        side=coming.side or "",
        word=_word(glance) if not card else "",
        loud=not coming.plain,
        work=work,
        card=card,
        ended=_ended(glance) if ended else "",
        brief=brief,
        round_word=coming.word,
        colour=words.colour_brief(glance),
        chip=_chip(shown),
    )
    if (yarn := _yarn_word(glance)) is not None:
        word = _TO_THE_YARN[yarn.kind]
        first = _sentence(words.cue_brief(yarn, glance), loud=True)
        rest = "the rest in pattern" if yarn.kind == "slip-first" else _plainly(work)
        return part._replace(word=word, round_word=word, loud=True, work=first._replace(after=rest))
    if glance.place.kind in CLOSED_BY:
        # The chant of the graft wants the rows that its large word would take.
        said = "" if part.card and glance.place.kind == "graft" else coming.word
        return part._replace(row="", side="", word=said, loud=True)
    if work.manner == "needle":
        return part._replace(loud=work.lines[0].loud)
    return part


def _next_sock(shown: Scene) -> NextPart:
    """A finished sock's next is the other sock; after both, the ends; of a pattern used up, that it is."""
    if shown.glance.used_up is not None:
        from tracker import stage_words

        card, brief = stage_words.card(shown.glance), stage_words.card_brief(shown.glance)
        return NextPart("", "", "", False, _sentence(""), card=tuple(card), brief=tuple(brief))
    if shown.other is None:
        return NextPart("", "", "ENDS", False, _sentence(_WEAVE))
    other = Scene(shown.other, turned=False)
    row = (
        f"{shown.glance.keys['other']}: {words.sock(shown.other.place.sock, shown.other.of_socks)}"
    )
    if not shown.other.place.begun:
        yarn = shown.other.colour
        colour = f" in {shorten(yarn.name)}" if yarn else ""
        told = _sentence(f"cast on {shown.other.stitches}{colour}, {cast_on_how(shown.other)}")
        return NextPart(row, "", "CAST ON", True, told)
    part = _next_part(other, laid_out(shown.other))
    if not part.row:
        return part._replace(row=row, ended="")
    fewer = f"{row.replace('sock ', '')}, {part.row}", f"{shown.glance.keys['other']}: {part.row}"
    return part._replace(row=f"{row}, {part.row}", row_brief=fewer, ended="")


def _plainly(work: Work) -> str:
    """The work of a round that is the same on every needle, or nothing."""
    return work.lines[0].work if work.manner == "row" else ""


def _sentence(text: str, *, loud: bool = False) -> Work:
    return Work("row", (WorkLine("", text, "", loud),))


def _word(glance: Glance) -> str:
    """The word of the next stitches: where she counts needles, that of the needle at work."""
    assert glance.next is not None  # noqa: S101 - asked for only where something is next
    if glance.counting == "needles":
        at_work = [needle.word for needle in glance.needles if needle.name == glance.place.needle]
        return at_work[0] if at_work else glance.next.word
    return glance.next.word


def _row_name(glance: Glance, coming: NextSight) -> str:
    if not coming.number:
        return _set_up(coming.word)
    return f"{words.unit(glance.place.worked)} {coming.number}"


def _set_up(word: str) -> str:
    """What row 0 is called: it is worked, but not counted."""
    return {"PICK": "pick-up round", "CLOSE": "closing round"}.get(word, "set-up round")


def _ended(glance: Glance) -> str:
    """The round just finished."""
    place = glance.place
    return f"round {place.done}" if place.done else f"the {_set_up(place.done_word)}"


def _card(glance: Glance) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The card in full, and in few words."""
    return tuple(words.card(glance)), tuple(words.card_brief(glance))


def _needles_part(shown: Scene, row: HeelRow | None) -> NeedlesPart:
    glance = shown.glance
    caption = words.caption(glance)
    if glance.place.finished:
        return _other_needles(shown)
    if row is not None:
        from tracker.ui.heel_row import HeelSight

        side = glance.next.side if glance.next else None
        turns = glance.needles[0].work.endswith(("turn", "w&t"))
        picture = HeelSight(row, side, glance.hand == "left", _waits(glance), turns)
        return NeedlesPart(picture, caption, side or "", key_loud=True)
    if glance.place.kind in CLOSED_BY:
        held = _graft(glance) if glance.place.kind == "graft" else _draw_up(glance)
        return NeedlesPart(held, caption, "", key_loud=False)
    key = "\N{BLACK SQUARE} marker"
    last = glance.place.last_needle and not shown.is_turned
    return NeedlesPart(_ring(shown), caption, f"{key} next" if last else key, key_loud=last)


def _other_needles(shown: Scene) -> NeedlesPart:
    """A finished sock hangs on no needle: those of the other sock, or a closed ring after both."""
    if shown.glance.used_up is not None:
        return _at_rest(shown.glance, shown.glance.used_up)
    if shown.other is not None:
        return _needles_part(Scene(shown.other, turned=False), laid_out(shown.other))
    closed = RingSight((), "both finished", left_handed=False, arrow=False, closed=True)
    return NeedlesPart(closed, words.caption(shown.glance), "", key_loud=False)


def _at_rest(glance: Glance, rests: UsedUpSight) -> NeedlesPart:
    """The stitches that a sock rests with, on their needles."""
    needles = tuple(
        RingNeedle(f"{needle.name} {needle.stitches}", "to come", differs=False)
        for needle in rests.held
    )
    ring = RingSight(
        needles, f"{rests.stitches} sts", glance.hand == "left", arrow=False, closed=False
    )
    return NeedlesPart(ring, "at rest", "", key_loud=False)


def _ring(shown: Scene) -> RingSight:
    glance = shown.glance
    total = f"{glance.stitches} sts"
    if glance.next and glance.next.leaves != glance.stitches and not shown.is_turned:
        total = f"{total}, then {glance.next.leaves}"
    needles = _whole(tuple(_ring_needle(needle, shown) for needle in glance.needles), glance)
    if sets_up_in_the_ring(glance):
        needles += _resting(glance)
        total = _heel_needle(glance) or total
    return RingSight(
        needles=needles,
        marker_inside=_marker_inside(glance),
        total=total,
        left_handed=glance.hand == "left",
        arrow=glance.counting == "rounds",
        closed=shown.is_turned,
        side_markers=len(glance.needles) == 1 and glance.place.kind in _SHAPED,
        marker_next=glance.place.last_needle,
        at_side=glance.at_side,
    )


def sets_up_in_the_ring(glance: Glance) -> bool:
    """Whether a heel's set-up works the instep once more, while what becomes the heel rests in its place."""
    works_instep = glance.at_side or len(glance.needles) > 1
    return (
        glance.place.kind == "heel set-up"
        and works_instep
        and bool(glance.resting)
        and not glance.split
    )


def _resting(glance: Glance) -> tuple[RingNeedle, ...]:
    """The needles that a heel's set-up does not come to: they stay in the ring."""
    return tuple(
        RingNeedle(f"{shorten(wait.name)} {wait.stitches}", "to come", differs=False)
        for wait in glance.resting
    )


def _heel_needle(glance: Glance) -> str:
    """Which two needles become the heel needle: "N4 + N1 = heel 52"; "" where it is one already."""
    first, last = glance.needles[0], glance.resting[-1]
    if glance.at_side:
        return ""
    if glance.needle_set == ONE_NEEDLE:
        return f"heel {last.stitches + first.stitches}"
    return f"{shorten(last.name)} + {shorten(first.name)} = heel {last.stitches + first.stitches}"


def _marker_inside(glance: Glance) -> MarkerInside:
    """Where the marker lies inside a needle: in the last one of the ring, or in the first."""
    if not glance.split:
        return ""
    return "first" if glance.needles[0].stitches > glance.needles[-1].stitches else "last"


def _whole(needles: tuple[RingNeedle, ...], glance: Glance) -> tuple[RingNeedle, ...]:
    """The needles themselves: of one with the marker inside it both parts are one."""
    inside = _marker_inside(glance)
    if not inside:
        return needles
    first, *others, last = needles
    behind, before = glance.needles[0], glance.needles[-1]
    name = behind.name[:-1].rstrip()
    looks = {first.look, last.look}
    look: Look = "at work" if "at work" in looks else "to come" if "to come" in looks else "done"
    whole = RingNeedle(
        f"{name} {behind.stitches + before.stitches}", look, first.differs or last.differs
    )
    return (whole, *others) if inside == "first" else (*others, whole)


def _graft(glance: Glance) -> RingSight:
    """Two needles held together, sole below and instep above, with nothing to go round."""
    needles = tuple(
        RingNeedle(f"{half} {needle.stitches}", "to come", differs=False)
        for half, needle in zip(("instep", "sole"), glance.needles, strict=False)
    )
    return RingSight(
        needles, f"{glance.stitches} sts", False, arrow=False, closed=False, marker=False
    )


def _draw_up(glance: Glance) -> RingSight:
    """The needles with the last stitches, which the yarn goes round in."""
    needles = tuple(
        RingNeedle(f"{needle.name} {needle.stitches}", "to come", differs=False)
        for needle in glance.needles
    )
    left_handed = glance.hand == "left"
    return RingSight(needles, f"{glance.stitches} sts", left_handed, arrow=False, closed=False)


def _ring_needle(needle: NeedleSight, shown: Scene) -> RingNeedle:
    look: Look = "to come"
    if needle.finished:
        look = "done"
    elif shown.glance.counting == "needles" and needle.name == shown.glance.place.needle:
        look = "at work"
    label = f"{needle.name} {needle.stitches}"
    changes = needle.leaves != needle.stitches and not needle.finished
    if changes and not shown.is_turned:
        label = f"{label}>{needle.leaves}"
    return RingNeedle(label, look, differs=not needle.plain and not needle.finished)


def laid_out(glance: Glance) -> HeelRow | None:
    """The row in hand laid out along the heel needle, or None in the round."""
    from tracker.ui.heel_row import heel_row

    if glance.place.worked != "rows" or len(glance.needles) != 1 or glance.next is None:
        return None
    if sets_up_in_the_ring(glance):
        return None
    needle = glance.needles[0]
    here = glance.place
    row = heel_row(
        needle.work,
        needle.stitches,
        glance.next.number,
        here.kind,
        taken_in=here.planned - 1 if glance.toe_up and here.kind == "flap" else 0,
        behind=glance.behind,
    )
    if here.kind == FIRST_HALF and needle.work.startswith("DS"):
        # The double stitch that it begins with lies with those behind: she counts them together.
        return row._replace(behind=row.behind + 1, before=row.before - 1)
    return row


def _waits(glance: Glance) -> str:
    """What stands in the instep's half of the picture while the heel is worked."""
    resting = sum(waiting.stitches for waiting in glance.resting)
    if glance.place.kind in HEEL_FLAT:
        return f"instep {resting} rests"
    return f"{resting} rest" if resting else ""


def _sock_bar(sock: SockSight, of_socks: bool, picture: Picture | None) -> SockBar:
    count = str(sock.done) if sock.begun else ""
    where = words.where(sock, of_socks)
    # A picture has no bar, whose share would have it drawn anew at every needle.
    share = sock.share if picture is None else 0.0
    return SockBar(words.sock(sock.sock, of_socks), where, share, picture, count)
