"""How the past is said: an event's time, its place, and what it was, for the history however it is shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from tracker import answers, ask_words, change_words
from tracker.knitting.events import LONGEST_NOTE, Event
from tracker.knitting.hanging import Hanging
from tracker.knitting.past import Past
from tracker.knitting.repair import Mend, Repair
from tracker.pattern.days import calendar_day
from tracker.place_words import rows_told
from tracker.units import Unit, shorten, write_length
from tracker.vocabulary import and_all, section, sock, unit

_LONGEST = 20_000
"""Letters of what is said of one event: more than all its words, each cut, come to."""


def happened(one: Past, measure: Unit, of_socks: bool = True) -> str:
    """An event of the past in a few words: "3 rounds", "taken back: the 11.4 cm reading"."""
    event = one.of or one.event
    if event.kind == "started":
        return "the pair was begun"
    # Whatever field it came from, a stranger's word steers no terminal.
    named = shorten(_named(one, event, measure, of_socks), _LONGEST)
    if one.of is None:
        return named
    return f"{'taken back' if one.event.kind == 'undo' else 'brought back'}: {named}"


def _named(one: Past, event: Event, measure: Unit, of_socks: bool) -> str:
    data = event.data
    if event.kind == "count":
        looked = _looked_up(data, measure, of_socks)
        if not data["found"]:
            return looked
        found = "/".join(map(str, data["found"]))
        how = "as expected" if data["matches"] else "not as expected"
        counted = f"{found} counted, {how}{_repaired(data, of_socks)}"
        return f"{counted}; {looked}" if looked else counted
    if event.kind in ("changed", "copy"):
        named = change_words.change_name(data, of_socks)
        if event.kind == "changed":
            return named
        return f"{named}: {'on both' if data['copy'] else 'on one alone'}"
    if event.kind in ("append", "replan") and data.get("sections"):
        told = and_all(section(str(name), of_socks) for name in list(data["sections"]))
        named = "the next stage" if event.kind == "append" else "a new pattern"
        return f"{named}: {shorten(told, LONGEST_NOTE)}"
    named = answers.act(event, measure, one.made_worked, section(one.made_in, of_socks))
    if one.put_right is not None:
        return f"{named}; the stitches put right in round {one.put_right}"
    if event.kind == "answer":
        return f"{named}: {_answered(data)}"
    if event.kind in ("note", "rest") and "text" in data:
        text = shorten(data["text"], LONGEST_NOTE)
        told = f"{named}: {text}" if text else named
        return f"{told}; it {ask_words.settles(one.settles)}" if one.settles else told
    if event.kind == "lifeline":
        return f"{named} in {section(str(data['name']), of_socks)} {data['unit']} {data['round']}"
    return named


def _looked_up(data: Mapping[str, Any], measure: Unit, of_socks: bool) -> str:
    """A look-up by the fabric: what she told of it, and what was answered; "" where she told nothing."""
    seen = list(_seen(data, measure))
    if not seen:
        return ""
    told, answered = f"looked up by {and_all(seen)}", data.get("answered")
    if answered is None:
        return told  # of a history that does not hold it
    named = f"{section(answered['name'], of_socks)} {answered['unit']}"
    if not answered["rows"]:
        return f"{told}: no {answered['unit']} looks like that"
    needles = answered["needles"]
    inside = f", {needles} needle{'s' if needles > 1 else ''} of the next done" if needles else ""
    return f"{told}: {named} {rows_told(answered['rows'])}{inside}"


def _seen(data: Mapping[str, Any], measure: Unit) -> Iterator[str]:
    """What she told of the fabric: "9.2 cm", "cream 2", "7 above the pin", "2 needles from the tail"."""
    if "mm" in data:
        yield write_length(float(data["mm"]), measure)
    if "colour" in data:
        yield f"{shorten(str(data['colour']))} {data.get('position') or ''}".strip()
    if "pin" in data:
        yield f"{data['pin']} above the pin"
    if "chart" in data:
        yield f"row {data['chart']} of the repeat"
    if "tail" in data:
        needles = data["tail"]
        yield (
            f"{needles} needle{'s' if needles > 1 else ''} from the tail" if needles else "the tail"
        )


def _repaired(data: Mapping[str, Any], of_socks: bool) -> str:
    """Of a count: whether a repair is settled by it, and what is to be put right in the next round."""
    after, plan = data.get("after"), data.get("repair")
    told = ""
    if after is not None:
        where = f"{section(after['name'], of_socks)} {after['unit']} {after['row']}"
        told = f": put right in {where}" if data["matches"] else f", after the repair in {where}"
    if plan is not None:
        mends = tuple(Mend(shorten(str(needle)), *rest) for needle, *rest in plan["mends"])
        told += f"; {change_words.repair_words(Repair(plan['row'], mends))}"
    return told


def _answered(data: Mapping[str, Any]) -> str:
    """What an answer to a reading was."""
    if data["as"] != "count":
        return "it is right" if data["as"] == "right" else "it is left out"
    by = int(data.get("by", 0))
    rounds = f"{abs(by)} round{'' if abs(by) == 1 else 's'}"
    were = "was" if abs(by) == 1 else "were"
    how = f"{were} not counted" if by > 0 else f"too many {were} counted"
    return f"{rounds} {how}, {data['round']} are done"


KINDS = {
    "started": "the beginning", "tick": "rounds and needles", "undo": "taken back",
    "redo": "brought back", "end": "ends", "target": "goals", "measure": "readings",
    "answer": "answers", "weigh": "weighings", "count": "counts", "at": "corrections",
    "rip": "ripped", "lifeline": "lifelines", "note": "notes", "changed": "changes",
    "copy": "what is repeated", "other": "changes of sock", "rest": "rests", "order": "orders of work",
    "restart": "begun again", "replan": "new plans", "append": "new stages",
}  # fmt: skip
"""Acts by their kind, as a filter on them is said."""


def when(one: Past) -> str:
    """The day and the minute by the clock she had then: "2026-03-12 20:15"."""
    return iso(one.event.at, one.event.offset)[:16].replace("T", " ")


def where(one: Past, of_socks: bool) -> str:
    """The place it left its sock at: "sock one, leg 40"; inside a round with the needle that is next."""
    needle = f", {shorten(one.needle)} next" if one.needle else ""
    return f"{sock(one.sock, of_socks)}, {section(one.section, of_socks)} {one.row}{needle}"


def place(one: Past, of_socks: bool) -> str:
    """The same where it stands alone: "sock one, leg round 40", "the second, brim to begin"."""
    needle = f", {shorten(one.needle)} next" if one.needle else ""
    return f"{sock(one.sock, of_socks)}, {place_brief(one, of_socks)}{needle}"


def place_brief(one: Past, of_socks: bool) -> str:
    """Its round alone: "leg round 40", "brim to begin"."""
    named = section(one.section, of_socks)
    return f"{named} {unit(one.worked)} {one.row}" if one.row else f"{named} to begin"


def hangs(one: Hanging) -> str:
    """What hangs at a round: "a lifeline", "a pin, left standing", "a note: the red marker"."""
    if one.kind == "note":
        return f"a note: {shorten(one.text, LONGEST_NOTE)}"
    return "a lifeline" if one.kind == "lifeline" else "a pin, left standing"


def hangs_where(one: Hanging, of_socks: bool) -> str:
    """ "sock one, leg round 40"."""
    return (
        f"{sock(one.sock, of_socks)}, {section(one.section, of_socks)} {unit(one.worked)} {one.row}"
    )


def iso(at: int, offset: int) -> str:
    """A time (ms UTC) with the offset it had (minutes), as ISO 8601."""
    day, rest = divmod(at + offset * 60_000, 86_400_000)
    year, month, number = calendar_day(day)
    seconds = rest // 1000
    sign, off = "-" if offset < 0 else "+", abs(offset)
    return (
        f"{year:04}-{month:02}-{number:02}T{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
        f"{sign}{off // 60:02}:{off % 60:02}"
    )
