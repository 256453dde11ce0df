"""How it is said: every sentence about a pair, composed from the facts of a glance.

Words are direction-neutral (first and second edge, next needle), so that they hold for a
left-handed knitter too. Names and titles are a stranger's and are cleaned here.
"""

from __future__ import annotations

from tracker import hours, pair_words, yarn_words
from tracker.forecast.washing import after_washing
from tracker.glance import Glance, LengthSight, NextSight, Place
from tracker.knitting.cues import ITS_TURN, NO_HURRY, STILL_ITS_TURN, Cue
from tracker.knitting.events import LONGEST_NOTE
from tracker.moment import ago as ago
from tracker.pair_words import where as where
from tracker.pattern.model import (
    BIND_OFF,
    CLOSED_BY,
    FIRST_HALF,
    HALF_SOLE,
    HEEL_FLAT,
    HEEL_PLACE,
    HEEL_ROUNDS,
    LATE_HEEL,
    SECOND_HALF,
)
from tracker.units import round_half_up, shell_word, shorten, write_length
from tracker.vocabulary import (
    CLOSINGS,
    beside_it,
    beside_it_brief,
    beside_it_briefly,
    called,
    capital,
    counted,
    doubt,
    duration,
    in_colour,
    in_full,
    on_needles,
)
from tracker.vocabulary import section as section
from tracker.vocabulary import sock as sock
from tracker.vocabulary import unit as unit
from tracker.yarn_words import AS_FAR as AS_FAR
from tracker.yarn_words import not_far as not_far
from tracker.yarn_words import yarn_brief as yarn_brief
from tracker.yarn_words import yarn_fact as yarn_fact
from tracker.yarn_words import yarn_line as yarn_line
from tracker.yarn_words import yarn_lines as yarn_lines

_NEXT_SECTION = {
    "leg": "the leg", "heel set-up": "the heel", "flap": "the heel flap", "turn": "the heel turn",
    "gusset": "the gusset", "foot": "the foot", "toe": "the toe", "graft": "the graft",
    "cuff": "the cuff", BIND_OFF: "the bind-off", "draw up": "drawing up",
    HALF_SOLE: "the half sole", FIRST_HALF: "the first half of the heel",
    HEEL_PLACE: "the round with the waste yarn", LATE_HEEL: "the heel",
    HEEL_ROUNDS: "two rounds inside the heel", SECOND_HALF: "the second half of the heel",
}  # fmt: skip
_DONE_WORDS = {
    "DEC": "a decrease round", "INC": "an increase round", "PICK": "the pick-up round",
    "PLAIN": "plain", "RIB": "rib", "KNIT": "a right side row", "PURL": "purl", "PATT": "in pattern",
    "HEEL": "the set-up row", "LACE": "lace", "CABLE": "a cable round", "BIND": "a bind-off",
    "CLOSE": "the closing round", "WASTE": "the waste yarn is in", "CHART": "by the chart",
}  # fmt: skip
_NEXT_WORDS = {
    "DEC": "a decrease round", "INC": "an increase round", "PICK": "the pick-up round",
    "PLAIN": "plain", "RIB": "rib", "HEEL": "the heel set-up", "GRAFT": "the graft",
    "DRAW": "draw up the last stitches", "CLOSE": "the closing round", "WASTE": "the waste yarn",
    "CABLE": "a cable round", "PATT": "in pattern", "BIND": "a bind-off", "CHART": "by the chart",
}  # fmt: skip

_CLOSING = frozenset({"GRAFT", "DRAW"})
"""Words of the row that closes a toe, which needs no number."""

_FOLLOWS = {
    "cuff": "leg", "leg": "heel", "heel set-up": "flap", "flap": "turn", "turn": "pick-up",
    "gusset": "foot", "foot": "toe", "toe": "graft",
}  # fmt: skip
"""What comes after a section, in one word, where the one after it has none of its own."""
_AHEAD = {
    HEEL_PLACE: "heel's place", LATE_HEEL: "heel", FIRST_HALF: "first half",
    HEEL_ROUNDS: "two rounds", SECOND_HALF: "second half", "flap": "flap",
    "turn": "turn", "gusset": "pick-up", "foot": "foot", "toe": "toe", "graft": "graft",
}  # fmt: skip
"""A section that comes next, in a word or two."""
_AHEAD_TOE_UP = _AHEAD | {
    "gusset": "gusset", "heel set-up": "heel", "leg": "leg", "cuff": "cuff", BIND_OFF: "bind-off",
}  # fmt: skip
"""The same of a sock from the toe up."""

# The place


def card(glance: Glance, *, keys: bool = True) -> list[str]:
    """The card that stands where *next* stands, of keys or of commands; nothing where none does."""
    if glance.card is None:
        return []
    from tracker import cards  # in the middle of a section there is none

    return cards.card(glance, keys=keys)


def card_brief(glance: Glance) -> list[str]:
    """The same in few words, for a small screen."""
    if glance.card is None:
        return []
    from tracker import cards

    return cards.card_brief(glance)


def piece(glance: Glance, number: int) -> str:
    """What a piece of the pair is called."""
    return sock(number, glance.of_socks)


def piece_in_hand(glance: Glance) -> str:
    """What the piece she looks at is called, at the toe with the foot it is for: "sock one, left foot"."""
    here = glance.place
    at_toe = here.kind in ("toe", *CLOSED_BY) or here.section == HALF_SOLE
    foot = f", {glance.foot} foot" if glance.foot and at_toe else ""
    return f"{piece(glance, here.sock)}{foot}"


def section_of(glance: Glance) -> str:
    """What the section she is in is called."""
    return called(glance.place, glance.of_socks)


def place(glance: Glance) -> str:
    """Where she is, in one sentence or a few."""
    here = glance.place
    if glance.used_up is not None:
        from tracker import stage_words

        return stage_words.place(glance, glance.used_up)
    if here.finished:
        last = "heel" if here.section == "heel graft" else "toe"
        closed = CLOSINGS.get(here.kind) if glance.of_socks else None
        what = "it" if here.kind == BIND_OFF else f"the {last}"
        how = f": {what} is {closed.done}" if closed else ""
        return f"{capital(piece(glance, here.sock))} is finished{how}."
    who = (
        ("Both socks" if glance.of_socks else "Both")
        if glance.both
        else capital(piece_in_hand(glance))
    )
    if not here.begun:
        each = " each" if glance.both else ""
        return f"{who}: cast on {glance.stitches}{each}. {_next(glance)}"
    where = f"{who}, {section_of(glance)}"
    return f"{where}: {_done(glance)} {_next(glance)} {_on(glance)}"


def place_brief(glance: Glance) -> str:
    """Inside a round, which needle the yarn hangs from; else the place in a few words."""
    here = glance.place
    finished = [needle.name for needle in glance.needles if needle.finished]
    if here.into:
        return f"{here.needle}, {here.into} of {here.into_of} worked."
    if here.stopped:
        return f"{capital(_begun(glance))}."
    if finished:
        into = glance.needles[len(finished)].name
        some = f"{len(finished)} of {len(glance.needles)} {parts(glance)}s done"
        return f"{some}: yarn hangs from {finished[-1]}, go into {into}."
    if here.finished or not here.begun:
        return place(glance)
    if here.done == 0:
        return f"{capital(section_of(glance))}: {_done(glance)}"
    return f"{capital(section_of(glance))} {unit(here.worked)} {here.done} is done."


def other_row(glance: Glance) -> str:
    """What the other sock's row is, where one round counts for both and theirs differ; else nothing."""
    for cue in glance.cues:
        if cue.about == _ON_THE_OTHER:
            return f"{capital(cue_text(cue, glance)[0])}."
    return ""


def in_hand(glance: Glance) -> str:
    """What is in hand inside a round: "needle 3 of 4 in round 23", "row 8"."""
    row = glance.next
    if row is None or row.side is not None or len(glance.needles) == 1:
        return "the needle" if row is None else _row_name(row)
    at = sum(needle.finished for needle in glance.needles) + 1
    return f"{parts(glance)} {at} of {len(glance.needles)} in {_row_name(row)}"


def parts(glance: Glance) -> str:
    """What a round is worked in, one after the other: needles, or parts, one of them being in two."""
    return "part" if glance.split else "needle"


def _begun(glance: Glance) -> str:
    """What she stopped inside of: "needle 3 of 4 in round 23 is begun"; of a round none of which is ticked
    nobody knows the needle.
    """
    by_needle = glance.counting == "needles" or any(needle.finished for needle in glance.needles)
    if by_needle or glance.next is None:
        return f"{in_hand(glance)} is begun"
    return f"{_row_name(glance.next)} is begun"


def _worked_of(glance: Glance) -> str:
    """Stitches were taken back into a needle: how many of it are worked."""
    here = glance.place
    of = f"{here.into} of its {here.into_of} stitches {'is' if here.into == 1 else 'are'} worked"
    return f"{capital(in_hand(glance))} is in hand: {of}."


def just_done(glance: Glance) -> str:
    """The round just done, by its section: "leg round 20"; before the first of it the section alone."""
    here = glance.place
    if not here.done or here.finished:
        return section_of(glance)
    return f"{section_of(glance)} {unit(here.worked)} {here.done}"


def _done(glance: Glance) -> str:
    here = glance.place
    if here.done == 0 and not here.done_word:
        some = here.into or here.stopped or any(needle.finished for needle in glance.needles)
        begun = glance.next is not None and some
        return f"{_row_name(glance.next)} is begun." if begun else "nothing of it is done yet."  # type: ignore[arg-type]
    if here.done == 0:
        if here.done_word == "CLOSE":
            return "the heel is closed."
        picked_up = here.done_word == "PICK"
        return "the stitches are picked up." if picked_up else "the set-up round is done."
    what = _DONE_WORDS.get(here.done_word)
    kind = f" ({what})" if what and here.worked == "rounds" else ""
    comma = "," if _over(glance) else ""
    return f"{_row_of(glance)}{comma} is done{kind}."


def _next(glance: Glance) -> str:
    row = glance.next
    if row is None:
        return ""
    here = glance.place
    if here.into:
        return _worked_of(glance)
    if here.stopped:
        return f"{capital(_begun(glance))}: go on where the yarn hangs."
    if glance.needles[0].finished:
        at = next(needle for needle in glance.needles if not needle.finished)
        worked = sum(needle.finished for needle in glance.needles)
        return (
            f"Next: {parts(glance)} {worked + 1} of {len(glance.needles)} in {_row_name(row)}: {at.work}. "
            "The yarn hangs from the needle you have just been filling; go on into the needle without it."
        )
    if here.worked == "rows" and row.side and row.word not in _CLOSING:
        differ = len({needle.work for needle in glance.needles}) > 1
        work = on_needles(glance.needles) if differ else in_full(glance, glance.needles[0].work)
        return f"Next: row {row.number}, {_side(row.side)}: {work}."
    if row.number == 0 and row.word == "CLOSE":
        return "Next: the closing round, on over the instep to the centre back; not counted."
    if row.number == 0 and row.word == "OVER":
        return "Next: on over the instep to the centre of the sole, a round not counted."
    if row.number == 0 and row.word != "PICK":
        changes = row.leaves != glance.stitches
        counts = f" {glance.stitches} to {row.leaves} stitches," if changes else ""
        return f"Next: the set-up round,{counts} not counted."
    if row.number == 0 or row.word in _CLOSING:
        return f"Next: {_NEXT_WORDS[row.word]}."
    return f"Next: {unit(here.worked)} {row.number}, {_NEXT_WORDS.get(row.word, row.word.lower())}."


def coming(glance: Glance) -> str:
    """What comes next in few words: "Next: round 25, plain.", "Next: needle 3 of 4: k16."; else ""."""
    row = glance.next
    if row is None:
        return ""
    at = next((n for n, needle in enumerate(glance.needles) if not needle.finished), 0)
    if at and not glance.place.into:
        return f"Next: needle {at + 1} of {len(glance.needles)}: {glance.needles[at].work}."
    return _next(glance)


def rounds_done(glance: Glance) -> str:
    """ "round 20 of 46", "round 20 of about 46", "round 46, 6 past the goal"."""
    return _row_of(glance)


def is_past(glance: Glance) -> int:
    """Rounds past the goal, or past where the other sock ended; 0 where it is not."""
    return _over(glance)


def _row_name(row: NextSight) -> str:
    if row.number:
        return f"{'row' if row.side else 'round'} {row.number}"
    return {"PICK": "the pick-up round", "CLOSE": "the closing round"}.get(
        row.word, "the set-up round"
    )


def _on(glance: Glance) -> str:
    counts = "/".join(str(stitches) for _, stitches in glance.on_each)
    rests = sum(wait.stitches for wait in glance.resting)
    pick_up = glance.next is not None and glance.next.word == "PICK"
    half = pick_up and glance.place.kind == "gusset" and not glance.needles[0].finished
    if half and not glance.at_side and len(glance.needles) > 1:
        # Before the pick-up the heel is on one needle still, and the instep waits.
        heel = glance.needles[0].stitches + glance.needles[-1].stitches
        return f"{heel} on the heel needle, {glance.stitches - heel} rest."
    if glance.place.worked == "rows" and len(glance.needles) == 1:
        sides = glance.sides
        beside = f", {beside_it(sides)}" if sides is not None and any(sides[:2]) else ""
        needle = f"{_flat_needle(glance)}{beside}"
        return f"{counts} on {needle}, {rests} rest." if rests else f"{counts} on {needle}."
    if rests:
        return f"{counts} = {glance.stitches} on the needles, {rests} rest."
    if len(glance.needles) == 1:
        return f"{counts} on the needle."
    if not glance.stitches:
        return "Nothing is on the needles."
    return f"{counts} = {glance.stitches} on the needles."


_ON_THE_OTHER = "on the other, its round"


def _flat_needle(glance: Glance) -> str:
    """The needle of a row worked flat: the heel's, where a heel is worked, but for the instep on its own."""
    if glance.place.kind == "heel set-up" and glance.needles[0].name == "A":
        return "A"
    return "the heel needle" if glance.place.kind in HEEL_FLAT else "the needle"


def kept(glance: Glance) -> str:
    """The line that stays in the terminal when she leaves."""
    here = glance.place
    if glance.used_up is not None:
        from tracker import stage_words

        named = f"{piece(glance, here.sock)}, {section_of(glance)} done"
        return f"Kept: {named}; {stage_words.until(glance.used_up)}."
    if here.finished:
        return f"Kept: {piece(glance, here.sock)}, finished."
    if not here.begun:
        return f"Kept: {piece(glance, here.sock)}, cast on {glance.stitches}."
    if here.kind in CLOSINGS:
        return f"Kept: {piece(glance, here.sock)}, {CLOSINGS[here.kind].coming} is next."
    inside = sum(needle.finished for needle in glance.needles)
    some = f"{inside} of {len(glance.needles)} {parts(glance)}s" if inside else ""
    if here.stopped and not here.into:
        some = f"{some} and a part" if some else "a part"
    if here.into:
        some = f"{some} and " if some else ""
        some += f"{here.into} stitch{'es' if here.into > 1 else ''}"
    if some and here.done == 0 and not here.done_word:
        return f"Kept: {piece(glance, here.sock)}, {section_of(glance)}, {some} of {_row_name(glance.next)}."  # type: ignore[arg-type]
    and_some = f" and {some}" if some else ""
    return f"Kept: {piece(glance, here.sock)}, {section_of(glance)} {_row_of(glance)}{and_some}."


def of_planned(glance: Glance) -> tuple[str, ...]:
    """What the done rows are out of, longest first, so that a small screen says as much as it can.

    ("of 46 rounds",), ("of about 46, 44 to 49", "of about 46"), ("of 46, as on sock one", "of 46"),
    ("10 past sock one, of 46", "10 past sock one", "10 past").
    """
    here = glance.place
    if here.planned_by == "pattern":
        return f"of {counted(here.planned, here.worked)}", f"of {here.planned}"
    if _unplanned(glance):
        return _to_the_tape(glance)
    over = _over(glance)
    if here.planned_by == "other sock":
        other = piece(glance, 3 - here.sock)
        if over:
            return f"{over} past {other}, of {here.planned}", f"{over} past {other}", f"{over} past"
        return f"of {here.planned}, as on {other}", f"of {here.planned}"
    about = here.done - over if over else _about(glance)
    if over:
        return f"of about {about}, {over} past", f"{over} past goal", f"{over} past"
    low, _, high = glance.rows_to_go
    if low is None or high is None or low == high:
        return (f"of about {about}",)
    return f"of about {about}, {here.done + low} to {here.done + high}", f"of about {about}"


def _unplanned(glance: Glance) -> bool:
    """Whether nobody can say yet at how many rounds the section will end: only the tape can."""
    return glance.place.planned_by == "goal" and glance.rows_to_go[1] is None


def _to_the_tape(glance: Glance) -> tuple[str, ...]:
    """ "to 18 cm by the tape", and shorter."""
    aim = glance.unmeasured
    if aim is None or aim.target_mm is None:
        return ("by the tape",)
    goal = write_length(aim.target_mm, glance.unit)
    return f"to {goal} by the tape", f"to {goal}"


def _about(glance: Glance) -> int:
    """The row at which an open section is likely to end."""
    goal = glance.length.goal_row if glance.length else None
    return glance.place.planned if goal is None else goal


def _over(glance: Glance) -> int:
    """Rounds past the goal, or past where the other sock ended."""
    here = glance.place
    if here.planned_by == "pattern" or _unplanned(glance):
        return 0
    end = here.planned if here.planned_by == "other sock" else _about(glance)
    return max(0, here.done - end)


def _row_of(glance: Glance) -> str:
    """ "round 20 of 46", "round 20 of about 46", "round 46, 6 past the goal"."""
    here, over = glance.place, _over(glance)
    row = f"{unit(here.worked)} {here.done}"
    if _unplanned(glance):
        return row
    if over:
        by_goal = here.planned_by == "goal"
        return f"{row}, {over} past {'the goal' if by_goal else piece(glance, 3 - here.sock)}"
    if here.planned_by == "goal":
        return f"{row} of about {_about(glance)}"
    return f"{row} of {here.planned}"


def caption(glance: Glance) -> str:
    """The sentence under the ring or the heel row."""
    here = glance.place
    if glance.used_up is not None:
        return f"at rest, {glance.used_up.counts}"
    if here.finished:
        return f"all {CLOSINGS[here.kind].done}" if here.kind in CLOSINGS else "finished"
    if here.worked == "rows" and here.into:
        return f"{here.into} of {here.into_of} worked"
    if here.worked == "rows":
        on = glance.stitches
        if here.kind in CLOSINGS:
            return f"{on} to {CLOSINGS[here.kind].do}"
        if glance.sides is not None and any(glance.sides[:2]):
            return beside_it_brief(glance.sides)
        one = _flat_needle(glance) if len(glance.needles) == 1 else "the needles"
        return f"{on} on {one}"
    finished = sum(needle.finished for needle in glance.needles)
    if here.into:
        return f"{here.needle}: {here.into} of {here.into_of} worked"
    if glance.counting == "rounds":
        return f"{finished} of {len(glance.needles)} done" if finished else "by rounds"
    if here.at_marker:
        return f"all {len(glance.needles)} {parts(glance)}s done"
    return f"{parts(glance)} {finished + 1} of {len(glance.needles)}"


# The colour


def colour(glance: Glance) -> str:
    """The colour at hand and the one that comes next: "navy, 5 of 9; cream in 5 rounds", or nothing."""
    here = glance.colour
    if here is None:
        return ""
    told = colour_brief(glance)[0]
    if here.then is None or here.when is None:
        return told
    return f"{told}; {shorten(here.then)} in {counted(here.when, glance.place.worked)}"


def colour_brief(glance: Glance) -> tuple[str, ...]:
    """The colour at hand, longest first: "navy, 5 of 9", "navy 5/9", "navy"."""
    here = glance.colour
    if here is None:
        return ()
    name = shorten(here.name)
    if not here.of:
        return (name,)
    return f"{name}, {here.position} of {here.of}", f"{name} {here.position}/{here.of}", name


# Length, time and the other sock


def facts(glance: Glance) -> list[tuple[str, str]]:
    """At most four facts, each what it is and what it means; how far apart the socks are is beside them."""
    told = [*_length_facts(glance)] if glance.length else [*_count_facts(glance)]
    if glance.place.finished or _over(glance) or _unplanned(glance):
        return told[:4]
    minutes = duration(glance.minutes_to_go)
    return [*told, (minutes, "; ".join(filter(None, (_to(glance), hours.time_brief(glance)))))][:4]


def _length_facts(glance: Glance) -> list[tuple[str, str]]:
    length = glance.length
    assert length is not None  # noqa: S101 - asked for only where there is one
    told = []
    now = write_length(length.mm, glance.unit)
    if glance.place.begun and not now.startswith("0 "):
        told.append((now, f"now{doubt(length.sd_mm, glance.unit)}"))
    told.append(_rows_fact(glance, length))
    if length.measure_at is not None:
        told.append(tape_next(length, glance.place))
    return told


def _rows_fact(glance: Glance, length: LengthSight) -> tuple[str, str]:
    if glance.place.planned_by == "goal" and length.low is None:
        return "measure", f"to learn how many {unit(glance.place.worked, 2)} are left"
    past = _over(glance)
    if past:
        goal = (
            "the goal"
            if glance.place.planned_by == "goal"
            else piece(glance, 3 - glance.place.sock)
        )
        return counted(past, glance.place.worked), f"past {goal}"
    ends = ""
    if length.ends_low_mm is not None and length.ends_high_mm is not None:
        low = write_length(length.ends_low_mm, glance.unit, with_unit=False)
        ends = f", ending at {low} to {write_length(length.ends_high_mm, glance.unit)}"
    whole = whole_ends_brief(glance)
    to_go = f"to go{ends}{f'; {whole}' if whole else ''}"
    return counted(length.likely or 0, glance.place.worked), to_go


def tape_next(length: LengthSight, here: Place) -> tuple[str, str]:
    """When to use the tape next."""
    again = "again" if length.readings else "for the first time"
    if length.measure_at is not None and length.measure_at <= here.done:
        return "tape now", f"measure {again}"
    return f"{unit(here.worked)} {length.measure_at}", f"tape {again}"


def _count_facts(glance: Glance) -> list[tuple[str, str]]:
    rows = glance.rows_to_go[1] or 0
    if glance.used_up is not None:
        return [(f"{glance.used_up.stitches} sts", caption(glance))]
    if glance.next is None:
        return [("finished", "weave the ends in")]
    if _unplanned(glance):
        return _tape_facts(glance)
    after = f"{glance.next.leaves} sts", f"after this {unit(glance.place.worked)}"
    if glance.sides is not None and any(glance.sides[:2]):
        after = beside_it_briefly(glance.sides), "now"  # the stitches stay as many
    if glance.place.kind in CLOSINGS:
        after = f"{glance.stitches} sts", f"to {CLOSINGS[glance.place.kind].do}"
    return [after, (counted(rows, glance.place.worked), "to go")]


def _tape_facts(glance: Glance) -> list[tuple[str, str]]:
    """What there is to say of a length that only the tape can tell: goal, and when to lay it."""
    aim = glance.unmeasured
    if aim is None or aim.target_mm is None:
        return []
    goal = write_length(aim.target_mm, glance.unit)
    told = [(f"goal {goal}", _FROM.get(aim.mark, "by the tape"))]
    word, again = unit(glance.place.worked), "once more" if aim.taken else "twice"
    if aim.due <= glance.place.done:
        return [
            *told,
            ("tape now", f"measure {again}, to learn the {unit(glance.place.worked, 2)}"),
        ]
    return [
        *told,
        (f"{word} {aim.due}", f"tape {again}, to learn the {unit(glance.place.worked, 2)}"),
    ]


_FROM = {
    "cast-on": "from the cast-on edge", "section": "from its beginning", "heel": "from the heel",
}  # fmt: skip


def _to(glance: Glance) -> str:
    after = _AHEAD.get(glance.follows) or _FOLLOWS.get(glance.place.kind)
    if glance.toe_up:
        after = _AHEAD_TOE_UP.get(glance.follows)
    follows = after if glance.of_socks and glance.follows != "draw up" else None
    return f"to the {follows or 'end'}"


def lag(glance: Glance) -> str:
    """Whether what is finished on both agrees, and how far the other sock is behind.

    "in step so far, sock two 31 rounds behind"; "not in step: leg +2; sock one 2 rounds behind".
    """
    if _no_second(glance):
        return ""
    meant = f", {pair_words.meant(glance.meant)}" if glance.meant else ""
    if glance.socks[0].finished and glance.socks[1].finished:
        state = "finished" if glance.whole else "at rest"
        return f"both {state}, {step(glance)}{meant}"
    word = f"{pair_words.IN_STEP} so far{meant}," if glance.in_step else f"{step(glance)}{meant};"
    return f"{word} {pair_words.behind(glance.lag.rounds, glance.lag.stitches, glance.of_socks)}"


def step(glance: Glance) -> str:
    """ "in step", or what differs first."""
    return pair_words.step(glance.differs, glance.of_socks)


def _no_second(glance: Glance) -> bool:
    """Of what is no sock there may be one only: the second counts from its cast-on on."""
    return not glance.of_socks and not all(piece.begun for piece in glance.socks)


def in_title(glance: Glance) -> tuple[str, ...]:
    """The pair's one word, longest first: "in step"; "not in step: leg +2", "not in step"."""
    if _no_second(glance):
        return ()
    return tuple(dict.fromkeys((step(glance), pair_words.step_brief(glance.differs))))


def lag_brief(glance: Glance) -> tuple[str, ...]:
    """The lag beside the pair's word, longest first: "in step, two 198 behind", "two 198 behind".

    Where they are not in step that goes before: "two's leg +2, one 2 behind", "two's leg +2".
    """
    if _no_second(glance):
        return ()
    rounds = glance.lag.rounds
    behind = f"{_few(piece(glance, 2 if rounds > 0 else 1))} {abs(rounds)} behind" if rounds else ""
    if glance.differs is None:
        return tuple(filter(None, (", ".join(filter(None, (pair_words.IN_STEP, behind))), behind)))
    named = _few(pair_words.difference_brief(glance.differs, glance.of_socks))
    shortest = named if len(named) <= _BRIEF_CELLS else pair_words.NOT_IN_STEP
    return tuple(dict.fromkeys((", ".join(filter(None, (named, behind))), shortest)))


_BRIEF_CELLS = 22
"""Room that is always there for the lag."""


def _few(told: str) -> str:
    return told.removeprefix("sock ")


# Cues


def cue_when(cue: Cue) -> str:
    """ "now", "next round", "in 1 round", "in 3 rounds"; on the last needle "at the marker".

    What is repeated from the other sock names its round: "from round 5", "in this round".
    """
    worked = str(cue.data.get("unit", "rounds"))
    if (cue.kind, cue.about) == ("copy", "ahead"):
        from tracker import change_words

        return change_words.copy_when(cue)
    if cue.when == 0:
        return "" if cue.about in NO_HURRY else "now"
    if cue.kind == "change" and cue.about:
        return cue.about
    if cue.when == 1 and cue.kind not in ("section", "change"):
        return f"next {unit(worked)}"
    # The next round is the last one of this section or colour, and not the first of the one to come.
    return f"in {cue.when} {unit(worked, cue.when)}"


def cue_text(cue: Cue, glance: Glance, *, keys: bool = True) -> tuple[str, str]:
    """What a cue says, and what comes after it; with `keys` that is a key, else a command."""
    if (cue.kind, cue.about) == ("stage", "used up"):
        from tracker import stage_words

        return stage_words.sentence(glance, keys=keys), ""
    what, then = _CUES[cue.kind](cue, glance)
    if cue.about == "repair" and keys and glance.counted is not None:
        from tracker import count_brief

        then = count_brief.or_inside(glance.counted, glance)
    act, number = then if isinstance(then, tuple) else (then, None)
    if act == "other" and glance.place.sock != glance.in_hand:
        return what, ""  # she has it in hand already
    how = (_BY_KEY if keys else _BY_COMMAND).get(act, act)
    if act in ("match", "match at the end"):
        return what, _match(cue, glance, how)
    named = "" if glance.place.sock == glance.in_hand else f" --sock {glance.place.sock}"
    ball = cue.data.get("ball")
    colour = shell_word(ball.colour) if ball and ball.colour else ""
    given = {"number": number, "example": example(glance), "sock": named, "colour": colour}
    return what, how.format(**given, key=glance.keys)


def cue_line(cue: Cue, glance: Glance, *, keys: bool = False) -> str:
    """A cue as one sentence, or a card as a few."""
    if cue.kind == "section" and cue.about not in _NO_CARDS:
        return " ".join(card(glance, keys=keys))
    if (cue.kind, cue.about) == ("count", "where") and not keys:
        from tracker import place_words

        return place_words.said_count(glance, keys=False)
    what, then = cue_text(cue, glance, keys=keys)
    if cue.kind == "change" and not cue.when:
        what = f"{what} now"
    when = f"{cue_when(cue)}: " if cue.when or (cue.kind, cue.about) == ("copy", "ahead") else ""
    return capital(f"{when}{what}, {then}" if then else f"{when}{what}")


def _until(glance: Glance) -> str:
    if glance.used_up is None:
        return ""
    from tracker import stage_words

    return stage_words.until_brief(glance.used_up)


def cue_brief(cue: Cue, glance: Glance) -> str:
    """A cue in 36 cells or a little more, the key first where there is one."""
    if cue.kind == "yarn":
        return yarn_words.cue_brief(cue, glance)
    if cue.about == "in hand":
        return place_brief(glance).rstrip(".")
    if cue.about in ("repair", "repair waits"):
        from tracker import change_words

        return change_words.repair_brief(cue.data["repair"])
    if (cue.kind, cue.about) == ("copy", "ahead"):
        from tracker import change_words

        return change_words.change_brief(cue.data["change"])
    if cue.about == "no round left":
        from tracker import place_words

        return place_words.late_brief(cue.data, glance)
    if cue.about == "borders back":
        from tracker import change_words

        return change_words.borders_back_brief(cue)
    if (cue.kind, cue.about) == ("section", "ahead") and cue.data["section"] in _BEGINS_BRIEFLY:
        return _BEGINS_BRIEFLY[cue.data["section"]]
    what = _BRIEFLY.get((cue.kind, cue.about))
    if "before_it" in cue.data:
        return f"{cue_brief(cue.data['before_it'], glance)}; {what}"
    if what is None:
        what, then = cue_text(cue, glance)
        return f"{what}, {then}" if then and len(what) + len(then) < 34 else what
    mm = write_length(cue.data["mm"], glance.unit) if "mm" in cue.data else ""
    past, other = _over(glance), piece(glance, 3 - glance.place.sock)
    told = {
        "mm": mm, "sock": other, "this": piece(glance, glance.place.sock), "example": example(glance),
        "goal": f"{past} past the goal of {mm}" if past else f"goal {mm} near",
        "what": "rib" if cue.data.get("rib", True) else "edge",
        "cast_on": f"cast on {other} now" if glance.of_socks else f"{other}, if any",
        "tension": _tension(cue, glance) if cue.about == "tension" else "",
        "catch": ", ".join(cue.data["yarns"]) if cue.about == "catch" else "",
        "rounds": counted(abs(cue.data["rounds_off"]), glance.place.worked)
        if "rounds_off" in cue.data
        else "",
        "left": _of_turn(cue, glance.place.sock, f"{cue.data['rounds']} more", glance)
        if cue.about == ITS_TURN
        else "",
        "then": _was_at(cue, glance) if "was" in cue.data else "",
        "long": "long" if cue.data.get("rounds_off", 0) > 0 else "short",
        "until": _until(glance),
        "or_at": f" or count, then {cue.data['number']} {glance.keys['at']}"
        if cue.data.get("number") is not None
        else " again",
    }  # fmt: skip
    return what.format(**{**cue.data, **told, "key": glance.keys})


_NO_CARDS = ("goal", "full stripe", "full repeat", "ahead")
"""Cues on a section that are no card."""

_BEGINS_BRIEFLY = {
    FIRST_HALF: "the first half begins", SECOND_HALF: "the second half begins",
    HEEL_ROUNDS: "two rounds inside the heel", HEEL_PLACE: "then the waste yarn",
}  # fmt: skip
"""What comes next, where its name is long."""
_BRIEFLY = {
    ("stage", "used up"): "{until}",
    ("section", "goal"): "{key[end]} ends it: {goal}",
    ("section", "full stripe"): "{key[end]} ends it: a full stripe here",
    ("section", "full repeat"): "{key[end]} ends it: a whole repeat here",
    ("slip-first", ""): "slip the first stitch",
    ("reading", ""): "{mm}: {rounds} too {long}. Measure{or_at}; {key[right]}, {key[void]}",
    (
        "reading",
        "shorter",
    ): "{mm}: shorter than at {then}. Measure again; {key[right]}, {key[void]}",
    ("measure", ""): "lay the tape: {example}, then {key[measure]}",
    ("measure", "other sock"): "tape {this} once: {example}, then {key[measure]}",
    ("other-sock", "count"): "{key[end]} ends it: {sock} ended at {count}",
    ("other-sock", "cast-on"): "{key[other]}: {cast_on}",
    ("other-sock", "sock"): "{key[other]}: {sock} waits",
    ("other-sock", "turn"): "{key[other]}: {sock}'s turn",
    ("other-sock", STILL_ITS_TURN): "{key[other]}: still {sock}'s turn",
    ("other-sock", ITS_TURN): "{this}'s turn, {left}",
    ("pin", "left standing"): "leave a pin here, for the tape",
    ("note", "twisted"): "{what} lines up, not twisted?",
    ("note", "through the back"): "work pick-ups through the back",
    ("note", "tension"): "{tension}",
    ("note", "catch"): "{catch}",
    ("note", "second set"): "take a second set, or {key[rest]}: waste yarn",
    ("note", "half way"): "half of {this} is made",
    ("needle", "last"): "last needle, then the marker",
    ("rest", ""): "a good moment to rest your hands",
    ("held", "held"): "{key[single]} keeps one of {ticks}: key held down?",
}


def example(glance: Glance, mm: float | None = None) -> str:
    """A length as it is typed at the needles, near `mm` or else near the length now: "11.4", "6-3/4"."""
    near = mm or (glance.length.mm if glance.length else 0) or _SOME_LENGTH
    return write_length(near, glance.unit, with_unit=False).replace(" ", "-")


_SOME_LENGTH = 50.0
"""An example where nothing is known."""

WITHOUT_IT = (
    'else instep rest "waste yarn" lays one down at each change, '
    "or instep order one, then the other"
)
"""What helps where an order of work takes a second set of needles and there is none."""

_BY_KEY = {
    "lifeline": "{key[lifeline]} for one here, too",
    "count": "{key[count]} if they are there",
    "copy no": "{key[alone]} if it does not", "copy yes": "{key[alone]} if it does",
    "end": "{key[end]} ends it here", "other": "{key[other]} goes there",
    "keep": "{key[single]} keeps a single one",
    "correct": "measure again, or count on the fabric, then {number} {key[at]}; {key[right]} right,"
    " {key[void]} out",
    "answer": "measure again, {key[right]} if it is right, {key[void]} to leave it out",
    "right or void": "{key[right]} if it is right, {key[void]} to leave it out",
    "measure": "{example} {key[measure]} enters one", "weigh": "{number} {key[weigh]} enters it",
    "weigh colour": "{number} {key[weigh_colour]} enters it",
    "goal by yarn": "{key[yarn_goal]} sets the goal anew",
    "second set": "else {key[rest]} lays one on waste yarn, or {key[order]} for another order",
    "match": "keep it, a needle {needle}, or {goal} {key[target]} twice: {signed}",
    "match at the end": "keep it, or {goal} {key[target]} twice: {signed}",
}  # fmt: skip
"""How a cue's way out is taken at the needles."""

_BY_COMMAND = {
    "lifeline": "instep lifeline{sock} for one here, too",
    "count": "instep count ok{sock} if they are there",
    "end": "instep end{sock} ends it here", "other": "instep other goes there",
    "copy no": "instep copy {number} no if it does not",
    "copy yes": "instep copy {number} yes if it does",
    "keep": "instep undo takes them back one by one",
    "correct": "measure again, or count them on the fabric (instep at {number}{sock} if {number} are"
    " done), instep answer right{sock}"
    " or void",
    "answer": "measure again, instep answer right{sock} or void",
    "right or void": "instep answer right{sock} or void",
    "measure": "instep measure {example}{sock} enters one", "weigh": "instep weigh {number} enters it",
    "weigh colour": "instep weigh {number} --colour {colour} enters it",
    "goal by yarn": "instep target yarn{sock} sets the goal anew",
    "second set": WITHOUT_IT,
    "match": "keep the count, take a needle {needle}, or match the length with {rounds}: instep target"
    " {goal} --only{sock}",
    "match at the end": "keep the count, or match the length with {rounds}: instep target {goal}"
    " --only{sock}",
}  # fmt: skip
"""How it is taken on the command line."""

_Then = str | tuple[str, int | None]


def _held_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    return f"was the key held down? {cue.data['ticks']} at once", "keep"


def _other_sock_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    other = piece(glance, int(cue.data["other"]))
    if cue.about == "count":
        over, count = cue.data["over"], cue.data["count"]
        if over == 0:
            return f"{counted(count, glance.place.worked)}, as on {other}", "end"
        return (
            f"{counted(over, glance.place.worked)} more than {other}, which ended at {count}",
            "end",
        )
    if cue.about in ("turn", STILL_ITS_TURN):
        return _turn_cue(cue, glance), "other"
    if cue.about == ITS_TURN:
        many = cue.data["rounds"]
        more = _of_turn(cue, glance.place.sock, f"{many} more {unit('rounds', many)}", glance)
        return f"{piece(glance, glance.place.sock)}'s turn: {more}, then {other}", ""
    if cue.about == "pair":
        what = "the pair is finished" if glance.of_socks else "both are finished"
        return what, "weave the ends in"
    if cue.about == "cast-on" and not glance.of_socks:
        return "finished; where there is to be another, cast it on", "other"
    if cue.about == "cast-on":
        first = hours.first_round(glance, cue.data["stitches"])
        warm = " while the numbers are warm" if cue.data["warm"] else ""
        return f"cast on {other}{warm}: {first}", "other"
    return f"{other} waits", "other"


def _of_turn(cue: Cue, number: int, rounds: str, glance: Glance) -> str:
    """What is left of a sock's turn: "4 rounds", "the heel and 4 rounds", "the heel"."""
    if not cue.data["heel"]:
        return rounds
    heel = glance.socks[number - 1].section in _OF_HEEL
    flat = "the heel" if heel else "what is worked flat"
    return f"{flat} and {rounds}" if cue.data["rounds"] else flat


_OF_HEEL = HEEL_FLAT | {HEEL_ROUNDS, "gusset"}
"""Where a sock that works flat has a heel on its needles; the gusset's first row picks it up."""


def _turn_cue(cue: Cue, glance: Glance) -> str:
    """ "sock two's turn: the leg"; "still sock two's turn: 14 rounds behind" once she has gone on."""
    data, other = cue.data, piece(glance, int(cue.data["other"]))
    named = section(data["section"], glance.of_socks)
    behind = f"{counted(data['behind'], 'rounds')} behind"
    passed = data["passed"] and (data["why"] != "rounds" or data["behind"] > 0)
    told = {
        "section": _NEXT_SECTION.get(data["section"], f"the {named}"),
        "rounds": behind
        if passed
        else _of_turn(cue, int(data["other"]), counted(data["rounds"], "rounds"), glance),
        "together": f"{behind}, then both together",
    }[data["why"]]
    on = ", on a second set of needles" if data["second_set"] and not data["passed"] else ""
    return f"{'still ' if passed else ''}{other}'s turn: {told}{on}"


def _section_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    if cue.about == "goal":
        washed = _washed(glance.length, glance) if glance.length else ""
        goal = f"{write_length(cue.data['mm'], glance.unit)}{washed}"
        past = _over(glance)
        if not cue.data["sure"]:
            stripe = _stripe_at_goal(cue)
            return f"probably at the goal of {goal}{stripe}", "measure before you end"
        over = f"{counted(past, glance.place.worked)} past" if past else "at"
        return f"{over} the goal of {goal}{_stripe_at_goal(cue)}", "end"
    if cue.about == "full repeat":
        return _full_repeat(cue, glance), "end"
    if cue.about == "full stripe":
        return _full_stripe(cue, glance), "end"
    if cue.about != "ahead":
        lines = card(glance)
        return lines[0].rstrip("."), ""
    colour, kind = cue.data.get("colour"), cue.data["section"]
    begins = f"{_NEXT_SECTION.get(kind, section(kind, glance.of_socks))} begins"
    return begins, f"in {shorten(colour)}" if colour else ""


def _stripe_at_goal(cue: Cue) -> str:
    """Whether a stripe is whole there, or soon will be."""
    if "stripe" in cue.data:
        return ", on a full stripe"
    more = cue.data.get("stripe_in")
    return f" ({counted(more, 'rounds')} more and the stripe is full)" if more else ""


def _full_stripe(cue: Cue, glance: Glance) -> str:
    """A stripe that ends a little before the goal."""
    stripe, goal = shorten(cue.data["stripe"]), write_length(cue.data["mm"], glance.unit)
    short = write_length(cue.data["short_mm"], "in" if glance.unit == "in" else "mm")
    return f"a full stripe of {stripe} ends here, {short} before the goal of {goal}"


def _full_repeat(cue: Cue, glance: Glance) -> str:
    """A repeat that is whole before the goal, and the next one after it."""
    here, goal = (write_length(cue.data[key], glance.unit) for key in ("here_mm", "mm"))
    what = f"a whole repeat ends here, at {here} of {goal}"
    if cue.data["after"] is None:
        return what
    row, mm = cue.data["after"]
    return f"{what}; the next at {unit(glance.place.worked)} {row}, {write_length(mm, glance.unit)}"


def _needle_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    if cue.about == "in hand":
        here = glance.place
        if not here.into:
            return _begun(glance), ""
        return in_hand(glance), f"{here.into} of {here.into_of} stitches worked"
    if cue.about == "borders back":
        from tracker import change_words

        return change_words.borders_back(cue, glance.of_socks), ""
    last = cue.data["needle"]
    if glance.split:
        return f"last part, {last}", "the marker comes inside the needle"
    return "last needle", "the marker comes at its end"


def _pin_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    if cue.about == "left standing":
        ended = section(cue.data["section"], glance.of_socks)
        row = unit(cue.data.get("unit", "rounds"))
        return f"leave a pin at {ended} {row} {cue.data['round']}", "the tape is laid from there"
    return f"pin up: round {cue.data['round']}", ""


def _note_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    return _NOTES[cue.about](cue, glance)


def _twisted(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    what = "rib" if cue.data.get("rib", True) else "edge"
    return f"look along the ring: the {what} lines up, not twisted?", ""


def _she_wrote(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    whose = "" if cue.about == "written" else f"on {piece(glance, cue.data['other'])} "
    return f"{whose}you wrote: {shorten(cue.data['text'], LONGEST_NOTE)}", ""


def _on_the_other(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    works = "; ".join(f"{shorten(name)} {work}" for name, work in cue.data["needles"])
    return f"on {piece(glance, cue.data['other'])} this round is: {works}", ""


def _half_way(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    return hours.half_way(glance)


def _second_set(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    return f"{cue.data['order']} takes a second set of needles", "second set"


def _drifted(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    short = "shorter" if cue.data["share"] < 0 else "longer"
    mm = write_length(abs(cue.data["mm"]), "in" if glance.unit == "in" else "mm")
    told = f"{_tension(cue, glance)}: {mm} {short} at the same count"
    ending = cue.data.get("ending", False)
    if cue.data["match"] is None:
        needle = "" if ending else f", or take a needle {_other_needle(cue)}"
        return told, f"keep the count{needle}"
    return told, "match at the end" if ending else "match"


def _catch(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    return ", ".join(cue.data["yarns"]), ""


def _through_the_back(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    first = cue.data.get("before_it")
    yarn = f"{cue_brief(first, glance)}; " if first else ""
    # Of two edges on one needle the first was met in the pick-up round, which says so in its row.
    edge = "second edge's" if glance.at_side else "picked-up"
    return f"{yarn}work the {edge} stitches through the back, this once", "to close the holes"


_NOTES = {
    "twisted": _twisted, "written": _she_wrote, "on the other": _she_wrote, _ON_THE_OTHER: _on_the_other,
    "half way": _half_way, "second set": _second_set, "tension": _drifted, "catch": _catch,
    "through the back": _through_the_back,
}  # fmt: skip
"""What each note says. One that is not here fails: it would say another's words."""


def _match(cue: Cue, glance: Glance, how: str) -> str:
    """What can be done about a tension that differs: to keep the count, or to match needle or length."""
    more, mm = cue.data["match"]
    rounds = f"{counted(abs(more), glance.place.worked)} {'more' if more > 0 else 'fewer'}"
    named = "" if glance.place.sock == glance.in_hand else f" --sock {glance.place.sock}"
    signed = f"{more:+} {unit(glance.place.worked, abs(more))}"
    return how.format(
        needle=_other_needle(cue),
        goal=example(glance, mm),
        rounds=rounds,
        signed=signed,
        sock=named,
        key=glance.keys,
    )


def _other_needle(cue: Cue) -> str:
    return f"0.25 mm {'thicker' if cue.data['share'] < 0 else 'thinner'}"


def _tension(cue: Cue, glance: Glance) -> str:
    """ "6 % tighter than sock one"."""
    percent = abs(round_half_up(cue.data["share"] * 100))
    how = "tighter" if cue.data["share"] < 0 else "looser"
    return f"{percent:g} % {how} than {sock(3 - glance.place.sock, glance.of_socks)}"


def _reading_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    reading = write_length(cue.data["mm"], glance.unit)
    if cue.about == "shorter":
        return f"{reading} is {misfit(cue, glance)}: lay it flat, once more", "right or void"
    number = cue.data["number"]
    then = "answer" if number is None else ("correct", number)
    return f"{reading} does not fit: {misfit(cue, glance)}", then


def misfit(cue: Cue, glance: Glance) -> str:
    """ "11 mm or about 5 rounds longer than expected", "shorter than the 9.8 cm at round 20"."""
    if cue.about == "shorter":
        was = write_length(cue.data["was"]["mm"], glance.unit)
        return f"shorter than the {was} at {_was_at(cue, glance)}"
    off = int(cue.data["rounds_off"])
    by = write_length(abs(cue.data["mm_off"]), "in" if glance.unit == "in" else "mm")
    rounds = counted(abs(off), glance.place.worked)
    return f"{by} or about {rounds} {'longer' if off > 0 else 'shorter'} than expected"


def _was_at(cue: Cue, glance: Glance) -> str:
    """ "round 20", "cuff round 20", "the start of the leg"."""
    was = cue.data["was"]
    named = section(was["section"], glance.of_socks) if was["section"] else ""
    if not was["row"]:
        return f"the start of the {named or section_of(glance)}"
    return f"{named} {unit(was['worked'])} {was['row']}".lstrip()


def _measure_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    if cue.about == "unknown":
        times = "two readings tell" if cue.data["first"] else "one more reading tells"
        return f"{times} how long a {unit(glance.place.worked)} is", "measure"
    if cue.about == "other sock":
        mine, hers = (piece(glance, n) for n in (glance.place.sock, 3 - glance.place.sock))
        return f"tape {mine} once, against {hers}", "measure"
    return "a tape reading tells most here", "measure"


def _change_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    return f"change to {shorten(cue.data['to'])}", ""


def _colour_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    return f"in {in_colour(cue.data['name'], cue.data['position'], cue.data['of'])}", ""


def _slip_first_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    return "slip the first stitch, the rest in pattern", "so that the stripe meets without a step"


def _end_of_round_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    done = cue.data["round"]
    return (f"end of round {done}: at the marker" if done else "at the marker"), ""


def _count_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    from tracker import place_words

    if cue.about in ("repair", "repair waits"):
        from tracker import change_words

        return change_words.repair_cue(cue), ""
    if cue.about == "no round left":
        return place_words.no_round_left(cue.data, glance), ""
    if cue.about == "where" and glance.counted is not None:
        from tracker import count_brief

        return count_brief.brief(glance.counted, glance).rstrip("."), ""
    if cue.about == "put right":
        return f"put right in round {cue.data['round']}: count once more", "count"
    return f"count once: {place_words.counts(cue.data['expected'])}", "count"


def _lifeline_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    before = f"{section(cue.data['before'], glance.of_socks)} " if cue.data["before"] else ""
    number = cue.data["round"]
    here = f"{before}{unit(cue.data['unit'])} {number}" if number else "the pick-up round"
    if cue.about == "here":
        return f"a lifeline lies in {here}", ""
    if cue.when:
        return f"{piece(glance, cue.data['other'])} has a lifeline in {here}", ""
    return f"{piece(glance, cue.data['other'])} has a lifeline in {here}", "lifeline"


def _told_cue(cue: Cue, glance: Glance) -> tuple[str, _Then]:
    from tracker import change_words  # most pairs are knitted as planned

    return change_words.change_cue(cue, glance)


_CUES = {
    "lifeline": _lifeline_cue, "copy": _told_cue,
    "held": _held_cue, "other-sock": _other_sock_cue, "section": _section_cue,
    "needle": _needle_cue, "pin": _pin_cue, "note": _note_cue, "reading": _reading_cue,
    "measure": _measure_cue, "end-of-round": _end_of_round_cue, "change": _change_cue,
    "colour": _colour_cue, "slip-first": _slip_first_cue,
    "count": _count_cue,
    "yarn": yarn_words.cue_text, "rest": hours.rest_cue, "stage": hours.stage_cue,
}  # fmt: skip


def _side(side: str) -> str:
    return "right side" if side == "RS" else "wrong side"


def to_go(glance: Glance) -> str:
    """The length now and how far it is to the goal, in a sentence or two."""
    length, rows = glance.length, glance.rows_to_go[1] or 0
    if _unplanned(glance) and length is None:
        again = "once more" if glance.unmeasured and glance.unmeasured.taken else "twice"
        return f"{capital(_to_the_tape(glance)[0])}: measure {again}, and what is left can be said."
    left = f"{counted(rows, glance.place.worked)} to go"
    if length is None or not glance.place.begun:
        return f"{capital(left)}."
    now = f"{write_length(length.mm, glance.unit)} now{doubt(length.sd_mm, glance.unit)}."
    if now.startswith("0 "):
        return f"{capital(left)}."
    if glance.place.planned_by != "goal" or length.target_mm is None:
        over = _over(glance)
        return (
            f"{now} {over} past {piece(glance, 3 - glance.place.sock)}."
            if over
            else f"{now} {capital(left)}."
        )
    if length.low is None:
        return (
            f"{now} How many {unit(glance.place.worked, 2)} are left cannot be said yet; measure."
        )
    goal, past = write_length(length.target_mm, glance.unit), _over(glance)
    if past:
        by = counted(past, glance.place.worked)
        return f"{now} About {by} past the goal of {goal}{_washed(length, glance)}."
    span = f" ({length.low} to {length.high})" if length.low != length.high else ""
    return f"{now} About {left}{span}, to {goal}{_washed(length, glance)}."


def _washed(length: LengthSight, glance: Glance) -> str:
    """Of a goal: what it is once it is washed, where that is known to differ."""
    if not length.grows or length.target_mm is None:
        return ""
    washed = write_length(after_washing(length.target_mm, length.grows), glance.unit)
    return f" on the needles, {washed} when washed"


def whole_ends(glance: Glance) -> str:
    """ "A whole repeat ends at round 48 (11.4 cm) and at round 72 (17.1 cm)", or nothing."""
    length = glance.length
    if length is None or not length.whole or glance.place.planned_by != "goal":
        return ""
    worked = unit(glance.place.worked)
    at = [f"at {worked} {row} ({write_length(mm, glance.unit)})" for row, mm in length.whole]
    what = "a whole repeat" if length.whole_what == "repeat" else "a full stripe"
    return f"{what} ends {' and '.join(at)}"


def whole_ends_brief(glance: Glance) -> str:
    """ "whole repeats at 48 and 72", or nothing."""
    length = glance.length
    if not whole_ends(glance) or length is None:
        return ""
    what = "repeat" if length.whole_what == "repeat" else "stripe"
    rows = " and ".join(str(row) for row, _ in length.whole)
    return f"whole {what}{'s' if len(length.whole) > 1 else ''} at {rows}"
