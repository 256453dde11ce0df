"""How it is said where she may be: the places that the stitches she counted leave, and what decides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tracker import change_words
from tracker.glance import CountSight, Glance, PlaceSight
from tracker.knitting.pins import PIN_EVERY
from tracker.knitting.refused import Refused
from tracker.knitting.repair import MOST_OFF, Repair, alike
from tracker.pattern.turned_sides import Sides
from tracker.units import shell_word, shorten
from tracker.vocabulary import and_all, beside_it, capital, not_slid, or_all, section, unit

TOLD = 3
"""Places named in a sentence."""


def counts(stitches: tuple[int, ...]) -> str:
    """ "21/16/16/21 = 74", or "74"."""
    joined = "/".join(map(str, stitches))
    return f"{joined} = {sum(stitches)}" if len(stitches) > 1 else joined


def said_count(glance: Glance, *, keys: bool) -> str:
    """What a count of the stitches answers: as it should be, or where she may be."""
    count = glance.counted
    if count is None:
        return ""
    if count.tail is not None:
        return _by_tail(count, glance, keys=keys)
    if count.by_fabric:
        return _by_fabric(count, glance, keys=keys)
    if count.sides and (beside := glance.sides or count.beside) is not None:
        return _by_sides(count, beside, glance, keys=keys)
    if count.matches and glance.sides is not None:
        return (
            f"{counts(count.found)}: as it should be, as in every row. {sides_told(glance.sides)}"
        )
    if count.matches:
        besides = f"{_settled(count, glance)}{_as_many(count, glance, keys=keys)}"
        return f"{counts(count.found)}: as it should be.{besides}"
    return " ".join([*_edges(count, glance, keys=keys), *_otherwise(count, glance, keys=keys)])


def sides_told(sides: Sides) -> str:
    """What tells the row in a half of a heel, and how it is written."""
    more, fewer = sorted(sides[:2], reverse=True)
    return f"What tells the row: {beside_it(sides)}; count both sides, and write {more}/{fewer}."


def _by_sides(count: CountSight, sides: Sides, glance: Glance, *, keys: bool) -> str:
    """Where she may be by what lies beside the worked stitches of a short-row heel."""
    found = beside_it(Sides(count.found[0], count.found[1], sides.what))
    if count.matches:
        return f"{capital(found)}: as it should be."
    told = [f"{capital(found)} counted, {beside_it(sides)} expected."]
    if not count.places:
        return f"{told[0]} No row of the heel has so many: count once more."
    names = [place_name(place, glance) for place in count.places[:TOLD]]
    told.append(f"That is {' or '.join(names)}.")
    if len(count.places) > 1:
        told.append(which_half(sides))
    return " ".join([*told, way_there(count, glance, keys=keys)])


def which_half(sides: Sides) -> str:
    """The question that tells the halves of a heel apart."""
    if sides.what == "wrapped":
        return "Do the rows grow longer again? Then it is the second half."
    return "Are the two rounds inside the heel worked? Then it is the second half."


def _otherwise(count: CountSight, glance: Glance, *, keys: bool) -> list[str]:
    """What a count says that is not as expected: the place that it fits, a repair, or count once more."""
    if (to := not_slid(glance, count.found)) is not None:
        slide = f"{counts(count.found)}: not slid yet; slide to {'/'.join(map(str, to))}."
        return [f"{slide}{_exact_place(count, glance, keys=keys)}"]
    if are_all_there(count):
        return [f"{_slipped_over(count)}{_exact_place(count, glance, keys=keys)}"]
    still = f"Still after the repair in {_where_put_right(count, glance)}: " if count.after else ""
    off = "" if exact(count) else _where_off(count)
    told = [f"{still}{counts(count.found)} counted, {counts(count.expected)} expected{off}."]
    plan = repair_of(glance)
    if plan is not None:
        told.append(f"If the place is right, {change_words.repair_words(plan)}.")
    elif (late := late_of(glance)) is not None:
        told.append(f"If the place is right, {no_round_left(late, glance)}.")
    elif count.edges is None and not count.near:
        told.append(_no_place_near(count, glance, keys=keys))
    if count.places and (count.near or not (plan or is_slip(count) or off_alike(count))):
        told += _places(count, glance, keys=keys)
    elif count.places and plan is None:
        told.append(f"Else only {place_name(count.places[0], glance)} has so many.")
    return list(filter(None, told))


def _no_place_near(count: CountSight, glance: Glance, *, keys: bool) -> str:
    """Sooner a slip, of the stitches or of the counting, than another place."""
    if off_alike(count):
        return "So many needles alike are seldom slips: count once more."
    if is_slip(count):
        return _slip(sum(count.found) - sum(count.expected), count, glance, keys=keys)
    if count.places:
        return ""
    return "No place of it has so many: count once more, and look for a dropped stitch."


def _places(count: CountSight, glance: Glance, *, keys: bool) -> list[str]:
    """The likeliest places, what decides between them, and how the count is put there."""
    inside = inside_one(count)
    if inside:
        named = f"That is {_inside_words(count, inside, glance)}."
        return [
            named,
            f"{question_of(count, glance)} {_way_inside(count, inside, glance, keys=keys)}",
        ]
    names = [place_name(place, glance) for place in count.places[:TOLD]]
    more = f", and {len(count.places) - TOLD} more" if len(count.places) > TOLD else ""
    told = [f"That is {' or '.join(names)}{more}{_but(count)}."]
    if question := question_of(count, glance):
        told.append(question if question.endswith("?") else f"{question}.")
    if above := rows_above(count):
        return [*told, _way_by_rows_above(count, above, glance, keys=keys)]
    if not count.near and keys:
        return [*told, "That is far from here: count once more."]
    return [*told, way_there(count, glance, keys=keys)]


def _but(count: CountSight) -> str:
    """ ", but for 1 stitch too many on needle 1"."""
    if count.but is None:
        return ""
    needle, over = count.but
    return f", but for 1 stitch too {'many' if over > 0 else 'few'} on needle {needle}"


def repair_of(glance: Glance) -> Repair | None:
    """How what the count found off is put right, where that can be."""
    return next((cue.data["repair"] for cue in glance.cues if cue.about == "repair"), None)


def late_of(glance: Glance) -> Mapping[str, Any] | None:
    """Needles found off that no round of their section is left for, where that is so."""
    return next((cue.data for cue in glance.cues if cue.about == "no round left"), None)


def needles_off(late: Mapping[str, Any]) -> str:
    """ "N1 is off", "N1 and N2 are off"."""
    *before, last = late["needles"]
    return f"{', '.join(before)} and {last} are off" if before else f"{last} is off"


def late_brief(late: Mapping[str, Any], glance: Glance) -> str:
    """The same with the way out, in few words."""
    return f"{needles_off(late)}: unknit back, {glance.keys['tink']}"


def no_round_left(late: Mapping[str, Any], glance: Glance) -> str:
    """Why needles that were passed cannot be put right on the way, and what to do instead."""
    called = section(late["section"], glance.of_socks)
    last = f"round {late['row']} is the last of the {called}"
    back = "it" if len(late["needles"]) == 1 else late["needles"][0]
    return f"{needles_off(late)} and {last}: unknit back to {back} and put it right there"


def are_all_there(count: CountSight) -> bool:
    """Whether as many stitches were counted as expected, needle by needle, but not on each of them."""
    each = len(count.found) == len(count.expected) > 1 and count.found != count.expected
    return each and sum(count.found) == sum(count.expected)


def exact(count: CountSight) -> bool:
    """Whether needles, each counted, hold what they hold at the end of a row nearby."""
    return len(count.found) > 1 and count.near and not count.places[0].inside


def off_alike(count: CountSight) -> bool:
    """Whether needles, each counted, are off alike: no slips."""
    if len(count.found) != len(count.expected):
        return False
    return alike([one - there for one, there in zip(count.found, count.expected, strict=True)])


def inside_one(count: CountSight) -> tuple[int, ...]:
    """The needles after which it may be, where all places lie inside one round; () where they do not."""
    rows = {(place.at, place.row) for place in count.places}
    inside = tuple(place.inside for place in count.places)
    return inside if len(rows) == 1 and len(inside) > 1 and all(inside) else ()


def rows_above(count: CountSight) -> tuple[int, ...]:
    """The plain rounds above the last decrease at each place, where that tells more than two apart."""
    above = [place.above for place in count.places]
    sections = {place.at for place in count.places}
    told = tuple(rows for rows in above if rows is not None)
    apart = len(set(told)) == len(above) > 2 and not any(place.inside for place in count.places)
    return told if apart and len(sections) == 1 else ()


def named(count: CountSight, which: int) -> PlaceSight:
    """The place of that round in the section of the likeliest, or with so many needles done in a round.

    Raises Refused where a count leaves no such place.
    """
    inside, at = inside_one(count), count.places[0].at
    there = [place for place in count.places if place.at == at and not place.any_row]
    found = {place.inside if inside else place.row: place for place in reversed(there)}
    if which not in found:
        raise Refused(f"{which} is none of the places with so many; write {or_all(sorted(found))}")
    return found[which]


def _edges(count: CountSight, glance: Glance, *, keys: bool) -> list[str]:
    """After the pick-up: that its edges may be otherwise than planned, and how that is told."""
    more = sum(count.found) - sum(count.expected)
    if count.edges is not None:
        first, second = count.edges
        if keys:
            how = f"{first}/{second} {glance.keys['uneven']}"
        else:
            how = f"instep changed picked-up {first}/{second}"
        return [f"Edges of {first} and {second}? {how} plans the decreases anew."]
    if edges_asked(count):
        few = f"{abs(more)} {'more' if more > 0 else 'fewer'} than planned"
        return [
            f"Along the edges {few}? Counted on each needle it is said how the decreases go on."
        ]
    return []


def edges_asked(count: CountSight) -> bool:
    """Whether all stitches, counted in one after the pick-up, may be so many for the edges' sake."""
    off = abs(sum(count.found) - sum(count.expected))
    return count.picked_up and len(count.found) == 1 and 0 < off <= MOST_AT_EDGES


MOST_AT_EDGES = 6
"""Stitches by which both edges together may be picked up otherwise than planned."""


def _inside_words(count: CountSight, inside: tuple[int, ...], glance: Glance) -> str:
    """ "inside gusset round 11, after needle 1, 2 or 3"."""
    first = count.places[0]
    named = f"{section(first.kind, glance.of_socks)} {unit(first.worked)} {first.row + 1}"
    return f"inside {named}, after needle {or_all(inside)}"


def rows_told(rows: Sequence[int]) -> str:
    """Rounds that come to so much, the likeliest first: "14 to 21", "17, 27 or 7"."""
    low, high = min(rows), max(rows)
    if len(rows) > 2 and high - low + 1 == len(rows):
        return f"{low} to {high}"
    return or_all(rows[:TOLD])


def _way_inside(count: CountSight, inside: tuple[int, ...], glance: Glance, *, keys: bool) -> str:
    """How the count is put behind each of the needles from which the yarn may hang."""
    if keys:
        put = glance.keys["put"]
        return f"{or_all(f'{one} {put}' for one in inside)} puts the count there."
    first, on = count.places[0], _sock(glance)
    ticks = [f"{n}: instep tick {f'{n} ' if n > 1 else ''}--needle{on}" for n in inside]
    here = (first.section, first.row) == (glance.place.section, glance.place.done)
    if here and not count.ticked:
        return f"{', '.join(ticks)}."
    at = f"instep at {first.row} --section {shell_word(first.section)}{on}"
    return f"First {at}, then {', '.join(ticks)}."


def _way_by_rows_above(
    count: CountSight, above: tuple[int, ...], glance: Glance, *, keys: bool
) -> str:
    """How the count is put to each of several rounds."""
    first, on = count.places[0], _sock(glance)
    far = "" if first.section == glance.place.section else f" --section {shell_word(first.section)}"
    put = glance.keys["put"]
    ways = [
        f"{rows or 'none'}: "
        + (f"{place.row} {put}" if keys else f"instep at {place.row}{far}{on}")
        for rows, place in sorted(zip(above, count.places, strict=True), reverse=True)
    ]
    return f"{', '.join(ways)}."


def _settled(count: CountSight, glance: Glance) -> str:
    return f" Put right in {_where_put_right(count, glance)}." if count.after else ""


def _where_put_right(count: CountSight, glance: Glance) -> str:
    """ "gusset round 10"."""
    name, row = count.after or ("", 0)
    return f"{section(name, glance.of_socks)} round {row}"


def elsewhere(count: CountSight, glance: Glance) -> tuple[PlaceSight, ...]:
    """The places that a count leaves besides the one that is counted."""
    here, inside = glance.place, sum(needle.finished for needle in glance.needles)
    return tuple(
        place
        for place in count.places
        if (place.section, place.row) != (here.section, here.done)
        or place.inside not in (0, inside)
    )


def _as_many(count: CountSight, glance: Glance, *, keys: bool) -> str:
    """Of a count that is right: which other place has as many, and the question that decides.

    Who counted every needle checks them, and is asked nothing; who counted all in one asks where she is.
    """
    there = elsewhere(count, glance)
    if not there:
        return ""
    other, row = there[0], unit(there[0].worked)
    way = way_there(count._replace(places=there[:1]), glance, keys=keys)
    if len(there) == len(count.places):
        # She said what the last round was, and it is not the one that is counted.
        return f" But by its last {row} it is {place_name(other, glance)}. {way}"
    if len(count.found) > 1:
        return ""
    if right_by_tail(count):
        return _ask_tail(glance, keys=keys)
    if above := rows_above(count):
        rows = and_all(str(place.row) for place in sorted(count.places, key=lambda one: one.row))
        named = f"{capital(section(other.kind, glance.of_socks))} {row}s {rows}"
        ways = _way_by_rows_above(count, above, glance, keys=keys)
        return f" {named} have as many. {question_of(count, glance)} {ways}"
    if other.inside or len(there) > 1:
        ask = question_of(count, glance)
    else:
        ask = (
            f"Is the last {row} a plain one? {'Then' if other.plain else 'If not,'} it is that one"
        )
    return f" {capital(place_name(other, glance))} has as many. {ask}{'' if ask.endswith('?') else '.'} {way}"


def is_slip(count: CountSight) -> bool:
    """One or two stitches more or fewer in all: sooner a slip than another place."""
    return 0 < abs(sum(count.found) - sum(count.expected)) <= MOST_OFF


def _slip(more: int, count: CountSight, glance: Glance, *, keys: bool) -> str:
    """What to do where one or two stitches are too many, or missing."""
    many = {-1: "One is missing", 1: "One is too many", 2: "Two are too many"}.get(
        more, "Two are missing"
    )
    look = "a yarn over or a split stitch" if more > 0 else "a dropped stitch"
    if len(count.found) > 1:
        return f"{many}: look for {look}."
    each = f"21/16/16/21 {glance.keys['count']}" if keys else "instep count 21/16/16/21"
    return f"{many}: look for {look}; counted on each needle, as in {each}, it is said where."


def _slipped_over(count: CountSight) -> str:
    """As many in all, but not on each needle: some sit on the needle beside their own."""
    off = [found - there for found, there in zip(count.found, count.expected, strict=True)]
    many = [f"needle {place} ({over} more)" for place, over in enumerate(off, start=1) if over > 0]
    few = [f"needle {place} ({-over} fewer)" for place, over in enumerate(off, start=1) if over < 0]
    return (
        f"{counts(count.found)}: all are there. Stitches of {and_all(few)} sit on {and_all(many)}; slip them "
        "back, or leave them till the end of the round."
    )


def _exact_place(count: CountSight, glance: Glance, *, keys: bool) -> str:
    """Where needles hold exactly so many, if anywhere."""
    if not count.places:
        return ""
    named = place_name(count.places[0], glance)
    way = way_there(count, glance, keys=keys)
    return f" Or it is {named}: {way[0].lower()}{way[1:]}"


def _by_fabric(count: CountSight, glance: Glance, *, keys: bool) -> str:
    """Where she may be by what she sees of the fabric: "About leg round 26, 24 to 28; 23 are counted"."""
    here = glance.place
    if not count.places:
        named = section(here.kind, glance.of_socks)
        return f"No {unit(here.worked)} of the {named} looks like that: look once more."
    first = count.places[0]
    named, row = section(first.kind, glance.of_socks), unit(first.worked)
    if past := past_goal(count, glance):
        would = f"That would be {named} {row} {first.row}"
        return f"{would}, {past} past its goal of {here.planned}: look once more."
    count = count._replace(places=_not_far_past(count, glance))
    rows = [place.row for place in count.places if place.at == first.at]
    likely, low, high = rows[0], min(rows), max(rows)
    span = f", {low} to {high}" if high - low + 1 == len(rows) > 1 else ""
    others = f" or {' or '.join(map(str, rows[1:TOLD]))}" if len(rows) > 1 and not span else ""
    about = "About" if span else "That is"
    also = next((place for place in count.places if place.at != first.at), None)
    elsewhere = f", or {place_name(also, glance)}" if also else ""
    same = first.section == here.section
    where = "" if same else f"{section(here.kind, glance.of_socks)} "
    told = [_off_by_a_stitch(count, glance, keys=keys)] if count.slipped else []
    told.append(
        f"{about} {named} {row} {likely}{span}{others}{_at_the_tail(count)}{elsewhere}; "
        f"{where}{here.done} counted."
    )
    if same and likely == here.done and count.clue.tail in (None, count.ticked):
        return " ".join([*told, "It agrees."])
    if span and likely > PIN_EVERY:
        pin = likely // PIN_EVERY * PIN_EVERY
        told.append(f"Count up from the pin at {row} {pin} to be sure.")
    elif not span and (question := question_of(count, glance)):
        told.append(question)
    return " ".join([*told, _way_by_fabric(count, glance, keys=keys)])


def _off_by_a_stitch(count: CountSight, glance: Glance, *, keys: bool) -> str:
    """Of a count beside what she sees of the fabric: which of it is a slip."""
    more = sum(count.found) - sum(count.expected)
    told = f"{counts(count.found)} counted, {counts(count.expected)} expected."
    return f"{told} {_slip(more, count, glance, keys=keys)}"


def _at_the_tail(count: CountSight) -> str:
    """How far the round after those is, where she said where the tail hangs."""
    if count.clue.tail is None:
        return ""
    done = f"{count.clue.tail} needle{'s' if count.clue.tail > 1 else ''} of the next done"
    return f", {done}" if count.clue.tail else ", at its end"


def kept(glance: Glance) -> dict[str, Any]:
    """What a look-up answers, as its event keeps it: the rounds of the likeliest section."""
    count, here = glance.counted, glance.place
    if count is None or not count.places:
        return {"name": here.kind, "unit": unit(here.worked), "rows": [], "needles": 0}
    first = count.places[0]
    rows = [place.row for place in count.places if place.at == first.at]
    return {
        "name": first.kind, "unit": unit(first.worked), "rows": rows, "needles": first.inside,
    }  # fmt: skip


def past_goal(count: CountSight, glance: Glance) -> int:
    """Rounds by which the likeliest place lies past all that is planned of the section; 0 if it is near."""
    return _far_past(count.places[0], glance) if count.places else 0


def _far_past(place: PlaceSight, glance: Glance) -> int:
    here = glance.place
    if place.section != here.section or glance.rows_to_go[1] is None:
        return 0
    past = place.row - max(here.planned, here.done)
    return past if past > FAR_PAST else 0


def _not_far_past(count: CountSight, glance: Glance) -> tuple[PlaceSight, ...]:
    """The places without those that are far past the goal, which nobody is asked about."""
    return tuple(place for place in count.places if not _far_past(place, glance))


FAR_PAST = 5
"""Rounds past its goal from which a place is doubted."""


def _way_by_fabric(count: CountSight, glance: Glance, *, keys: bool) -> str:
    """How the count is put to the likeliest of the places that the fabric leaves."""
    first, here, on = count.places[0], glance.place, _sock(glance)
    same = first.section == here.section
    if keys:
        at, put = glance.keys["at"], glance.keys["put"]
        way = f"{first.row} {at}" if same and not first.inside else put
        return f"{way} puts the count there."
    named = "" if same else f" --section {shell_word(first.section)}"
    ways = [f"instep at {first.row}{named}{on}"]
    if first.inside:
        if same and first.row == here.done and not count.ticked:
            ways = []
        ways.append(f"instep tick {first.inside} --needle{on}")
    return f"{', then '.join(ways)} puts the count there."


TAIL = "Does the tail hang where the two working needles meet? Then a round is done"
"""The first question in cuff and leg."""


def tail_question(glance: Glance) -> str:
    """The same; from the toe up the tail hangs at the tip of the toe, and a marker where rounds begin."""
    return TAIL.replace("the tail", "the marker") if glance.toe_up else TAIL


def _by_tail(count: CountSight, glance: Glance, *, keys: bool) -> str:
    """Where she may be by where the tail hangs: at the end of a round, or inside one."""
    place = count.places[0]
    named = place_name(place, glance)
    at = f"At the end of {named}" if not place.inside else capital(named)
    if count.matches:
        return f"{at}, as counted."
    if len(count.places) > 1:
        at += f", or of {place_name(count.places[1], glance)}" if not place.inside else ""
        return f"{at}. {question_of(count, glance)} {way_there(count, glance, keys=keys)}"
    return f"{at}. {way_there(count, glance, keys=keys)}"


def _ask_tail(glance: Glance, *, keys: bool) -> str:
    """How the question of the tail is answered."""
    if keys:
        return (
            f" {tail_question(glance)}; type '. With two needles between it and the yarn type 2 '"
        )
    on = _sock(glance)
    ask = tail_question(glance)
    return f" {ask}: instep count --tail 0{on}. With 2 needles between it and the yarn: --tail 2."


def _sock(glance: Glance) -> str:
    """The sock as a command names it, where it is not the one in hand."""
    return "" if glance.place.sock == glance.in_hand else f" --sock {glance.place.sock}"


def _where_off(count: CountSight) -> str:
    """Which needles hold too many or too few, where each was counted."""
    if len(count.found) != len(count.expected) or len(count.found) < 2:
        return ""
    off = [
        f"{abs(found - there)} {'more' if found > there else 'fewer'} on needle {place}"
        for place, (found, there) in enumerate(
            zip(count.found, count.expected, strict=True), start=1
        )
        if found != there
    ]
    return f": {', '.join(off)}"


def place_name(place: PlaceSight, glance: Glance) -> str:
    """ "gusset round 9", "inside gusset round 11, 1 needle done", "anywhere in the leg", "leg rounds 8 to 9".

    A span of rounds alike is told by its first and its last.
    """
    named = section(place.kind, glance.of_socks)
    row = unit(place.worked)
    if place.any_row and place.until is not None:
        if not place.row:
            return f"the first {place.until} {named} {row}s"
        return f"{named} {row}s {place.row} to {place.until}"
    if place.any_row and place.row:
        return f"{named} {row} {place.row} or later"
    if place.any_row:
        return f"anywhere in the {named}"
    if place.inside:
        done = f"{place.inside} {'needle' if place.inside == 1 else 'needles'} done"
        return f"inside {named} {row} {place.row + 1}, {done}"
    return f"{named} {row} {place.row}" if place.row else f"the beginning of the {named}"


def question_of(count: CountSight, glance: Glance) -> str:
    """The one question that decides between the two likeliest places; "" where none does."""
    if count.by_fabric and count.tail is None:
        count = count._replace(places=_not_far_past(count, glance))
    if len(count.places) < 2:
        return tail_question(glance) if _any_before_the_heel(count) else ""
    if right_by_tail(count):
        return tail_question(glance)
    if count.tail is not None:
        return "How many rounds lie above the last pin?"
    if count.by_fabric:
        return _hint_wanted(count, glance)
    if inside_one(count):
        return "From which needle does the yarn hang?"
    if above := rows_above(count):
        named = or_all(rows or "none" for rows in sorted(above, reverse=True))
        return (
            f"How many plain {unit(count.places[0].worked)}s lie above the last decrease: {named}?"
        )
    one, other = count.places[:2]
    plain = next((place for place in (one, other) if place.plain), None)
    if one.section == other.section and plain and one.plain is not other.plain:
        row = unit(plain.worked)
        return f"Is the last {row} a plain one? Then it is {place_name(plain, glance)}"
    if one.any_row or other.any_row or (one.section == other.section and not one.inside):
        return "Which of them does it look like? The tape, a pin or a stripe tells the rest"
    if one.inside or other.inside:
        return "Where does the yarn hang? At the marker a round is done"
    return f"Is it the {section(one.kind, glance.of_socks)}, or the {section(other.kind, glance.of_socks)}?"


def _hint_wanted(count: CountSight, glance: Glance) -> str:
    """The one thing more to see that decides between rounds: what she has not said yet."""
    clue, first = count.clue, count.places[0]
    if clue.pin is None and first.worked == "rounds":
        return (
            "How many rounds lie above the last pin?"
            if len(count.places) > 2 or clue.mm is None
            else ""
        )
    if glance.colour is not None and clue.colour is None:
        return "Which colour is the last round?"
    if clue.colour is not None and not clue.position:
        return f"Which round of the {shorten(clue.colour).removeprefix('the ')} is the last one?"
    return "How long is it?" if clue.mm is None and glance.length is not None else ""


def right_by_tail(count: CountSight) -> bool:
    """Whether the count is right inside a round and at its end alike, in cuff and leg."""
    if not count.matches or count.tail is not None or not count.places[0].inside:
        return False
    return all(place.kind in _TAIL_IN_VIEW for place in count.places)


def _any_before_the_heel(count: CountSight) -> bool:
    return any(place.any_row and place.kind in _TAIL_IN_VIEW for place in count.places[:1])


_TAIL_IN_VIEW = frozenset({"cuff", "leg"})


def way_there(count: CountSight, glance: Glance, *, keys: bool) -> str:
    """How the count is put to the likeliest place, or to the next one."""
    place = count.places[0]
    if place.any_row:
        return f"Count its rounds, then {_way_to_number(place, glance, keys=keys)}."
    if keys:
        put, second = glance.keys["put"], _second(count, glance)
        also = f", {second.row} {glance.keys['at']} at the second" if second else ""
        return f"The key {put} puts the count {'at the first' if also else 'there'}{also}."
    on = _sock(glance)
    inside = f", then instep tick {place.inside} --needle{on}," if place.inside else ""
    there = f"instep at {place.row} --section {shell_word(place.section)}{on}"
    return f"{there}{inside} puts the count there."


def _way_to_number(place: PlaceSight, glance: Glance, *, keys: bool) -> str:
    """How a number of rounds that she counted herself is put there; no key names another section."""
    here = place.section == glance.place.section
    if keys and here:
        return f"type their number and {glance.keys['at']}"
    of = "" if here else f" --section {shell_word(place.section)}"
    told = f"instep at with their number{of}{_sock(glance)}"
    return f"by command {told}" if keys else told


def _second(count: CountSight, glance: Glance) -> PlaceSight | None:
    """The next likely place, where a number and the key a put the count there."""
    place = count.places[1] if len(count.places) > 1 else None
    if place is None or place.inside or place.any_row or place.section != glance.place.section:
        return None
    return place
