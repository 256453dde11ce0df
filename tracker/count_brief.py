"""A count of the stitches in two lines: which needle and what to do, or the places and what decides."""

from __future__ import annotations

from tracker import change_words
from tracker.glance import CountSight, Glance, PlaceSight
from tracker.place_words import (
    are_all_there,
    edges_asked,
    elsewhere,
    inside_one,
    is_slip,
    late_brief,
    late_of,
    off_alike,
    past_goal,
    place_name,
    repair_of,
    right_by_tail,
    rows_above,
)
from tracker.vocabulary import capital, not_slid, or_all, section, unit


def brief(count: CountSight, glance: Glance) -> str:
    """What a count answers where there is little room: sentences, the one that must stand last.

    Nothing is offered that the key p refuses.
    """
    if count.tail is not None and not count.found:
        return _asks_first(count, glance)
    if count.by_fabric:
        return _by_fabric(count, glance)
    if count.sides:
        return _by_sides(count, glance)
    if count.matches:
        return _right(count, glance)
    if (to := not_slid(glance, count.found)) is not None:
        return f"Not slid yet: slide to {'/'.join(map(str, to))}."
    told = [_repair(glance), _where(count, glance)]
    return _edges(count, glance) or " ".join(filter(None, told)) or _again(count)


def _by_sides(count: CountSight, glance: Glance) -> str:
    """What lies beside the worked stitches of a short-row heel."""
    told = "/".join(map(str, count.found))
    if count.matches:
        return f"{told}: right"
    if not count.places:
        return f"{told}, not {'/'.join(map(str, count.expected))}: count once more"
    names = " or ".join(place_name(place, glance) for place in count.places[:2])
    return f"{glance.keys['put']}: {names}?"


def _asks_first(count: CountSight, glance: Glance) -> str:
    return f"{glance.keys['put']}: {place_name(count.places[0], glance)}?" if count.places else ""


def _by_fabric(count: CountSight, glance: Glance) -> str:
    """The likeliest round by the fabric; one far past the goal is doubted."""
    if not count.places:
        return "no round looks like that: look once more"
    first, here = count.places[0], glance.place
    row = f"{unit(first.worked)} {first.row}"
    if past := past_goal(count, glance):
        return f"{row} is {past} past the goal of {here.planned}: look once more"
    if first.inside or first.section != here.section:
        return f"{glance.keys['put']}: {place_name(first, glance)}?"
    return f"{first.row} {glance.keys['at']}: about {row}"


def _right(count: CountSight, glance: Glance) -> str:
    """As expected; where another place has as many it is named."""
    if count.places and right_by_tail(count):
        return f"{sum(count.found)}: right. Tail at the yarn? {glance.keys['tail']}"
    other = next(iter(elsewhere(count, glance)), None)
    if other is None:
        return f"{sum(count.found)}: right"
    return f"{sum(count.found)}: right; or p: {unit(other.worked)} {other.row}?"


def _again(count: CountSight) -> str:
    """Nothing is likelier than a slip, of the stitches or of the counting."""
    more = sum(count.found) - sum(count.expected)
    told = f"{sum(count.found)}, not {sum(count.expected)}"
    if len(count.found) > 1 and off_alike(count):
        return f"{told}: all needles alike, count once more"
    if are_all_there(count):
        return f"{_off(count)}: slip them back"
    if not is_slip(count):
        return f"{told}: count once more"
    look = "a dropped stitch" if more < 0 else "a yarn over"
    each_counted = len(count.found) > 1 or len(count.expected) == 1
    each = "" if each_counted else "; count each needle"
    return f"{told}: look for {look}{each}"


def _off(count: CountSight) -> str:
    """ "needle 1 has 1 more, needle 4 has 1 fewer"."""
    both = enumerate(zip(count.found, count.expected, strict=True), start=1)
    return capital(
        ", ".join(
            f"needle {place} has {abs(found - there)} {'more' if found > there else 'fewer'}"
            for place, (found, there) in both
            if found != there
        )
    )


def _repair(glance: Glance) -> str:
    plan = repair_of(glance)
    if plan is None and (late := late_of(glance)) is not None:
        return f"{late_brief(late, glance)}."
    return f"{capital(change_words.repair_brief(plan))}." if plan is not None else ""


def _edges(count: CountSight, glance: Glance) -> str:
    """After the pick-up: edges that are not as planned, and the key that tells it."""
    if count.edges is not None:
        first, second = count.edges
        return f"Edges of {first} and {second}? then {first}/{second} {glance.keys['uneven']} plans anew."
    if not edges_asked(count):
        return ""
    return f"{sum(count.found)}, not {sum(count.expected)}: edges uneven? then count each needle."


def _where(count: CountSight, glance: Glance) -> str:
    """The places, with the question that decides and the key that puts the count to each."""
    if not count.places or not count.near:
        return ""
    first, either = count.places[0], "Or " if repair_of(glance) is not None else ""
    if inside_one(count):
        return capital(f"{either.lower()}{_inside(count, glance)}.")
    if first.any_row:
        return f"{sum(count.found)}: {place_name(first, glance)}?"
    if above := rows_above(count):
        ways = sorted(zip(above, count.places, strict=True), reverse=True)
        told = ", ".join(f"{rows or 'none'}: {_key(place, count, glance)}" for rows, place in ways)
        return f"Plain {unit(first.worked)}s above the last decrease: {told}."
    second = count.places[1] if len(count.places) > 1 else None
    if second is None or second.inside:
        return f"{either}{glance.keys['put']}: {place_name(first, glance)}?"
    if second.at != first.at or second.any_row or first.plain is second.plain:
        return (
            f"{glance.keys['put']}: {place_name(first, glance)}, or {place_name(second, glance)}?"
        )
    return _plain_or_not(first, second, count, glance)


def or_inside(count: CountSight, glance: Glance) -> str:
    """Beside a repair: the round inside which the yarn may hang from one of several needles."""
    return f"or {_inside(count, glance)}" if count.near and inside_one(count) else ""


def _inside(count: CountSight, glance: Glance) -> str:
    put = glance.keys["put"]
    first, inside = count.places[0], inside_one(count)
    row = f"{unit(first.worked)} {first.row + 1}"
    return f"inside {row}: yarn at needle {or_all(inside)}? then {inside[0]} {put} to {inside[-1]} {put}"


def _plain_or_not(first: PlaceSight, second: PlaceSight, count: CountSight, glance: Glance) -> str:
    plain, shaped = (first, second) if first.plain else (second, first)
    named = f"{capital(section(first.kind, glance.of_socks))} {unit(first.worked)} {first.row}"
    return (
        f"{named} or {second.row}? last one plain: {_key(plain, count, glance)}; "
        f"shaped: {_key(shaped, count, glance)}."
    )


def _key(place: PlaceSight, count: CountSight, glance: Glance) -> str:
    """The keys that put the count to one of the rounds of a section."""
    put = glance.keys["put"]
    return put if place == count.places[0] else f"{place.row} {put}"
