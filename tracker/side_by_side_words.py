"""How the two socks side by side are told: tables and sentences, one part after the other."""

from __future__ import annotations

from collections.abc import Iterator

from tracker import change_words, pair_words, yarn_words
from tracker.forecast.series import HARDLY_ANY
from tracker.knitting.events import LONGEST_NOTE
from tracker.knitting.hanging import Hanging
from tracker.records import NamedTuple
from tracker.side_by_side import Changed, Line, Reading, Side, SideBySide
from tracker.units import round_half_up, shorten, whole, write_length
from tracker.vocabulary import counted, duration, laid_from, section, sock, unit


class Entry(NamedTuple):
    """A line of the ledger: the section, its rows on both socks, and how they differ.

    `here` says on which socks it is in hand; `apart` is true where the two differ.
    """

    name: str
    one: str
    two: str
    differs: str
    here: tuple[bool, bool]
    apart: bool


class Told(NamedTuple):
    """A part: what it is about, and its lines. A line of one is a sentence, of several a row of a table."""

    heading: str
    lines: tuple[tuple[str, ...], ...]


# The ledger


def ledger(pair: SideBySide) -> list[Entry]:
    """Section by section the rows of both, and the signed difference where both have ended it."""
    return [_entry(line, pair.glance.of_socks) for line in pair.lines]


def _entry(line: Line, of_socks: bool) -> Entry:
    one, two = (_rows(side) for side in line.sides)
    apart = bool(line.apart)
    return Entry(section(line.section, of_socks), one, two, _differs(line), line.here, apart)


def _rows(side: Side) -> str:
    return "." if side.rows is None else str(side.rows)


def _differs(line: Line) -> str:
    """ "+0", "-2 !"; while one is at it where the other has ended, "11 to go"."""
    if line.apart is not None:
        return f"{line.apart:+d}{' !' if line.apart else ''}"
    ended = [side.rows for side in line.sides if side.ended and side.rows is not None]
    done = [side.rows for side in line.sides if not side.ended and side.rows is not None]
    if not ended or not done:
        return ""
    to_go = ended[0] - done[0]
    if to_go == 0:
        return "as many"
    return f"{to_go} to go" if to_go > 0 else f"{-to_go} past"


# What is told of the pair


def verdict(pair: SideBySide) -> str:
    """In step, or all that differs."""
    of_socks = pair.glance.of_socks
    meant = f"; {pair_words.meant(pair.glance.meant)}" if pair.glance.meant else ""
    if pair.differences:
        every = "; ".join(pair_words.difference(one, of_socks) for one in pair.differences)
        return f"{pair_words.NOT_IN_STEP}: {every}{meant}"
    if not any(line.apart is not None for line in pair.lines):
        return f"{pair_words.IN_STEP}: no section is finished on both yet"
    return f"{pair_words.IN_STEP}: so far every count agrees{meant}"


def parts(pair: SideBySide) -> list[Told]:
    """All the rest, part by part; a part with nothing to tell is left out."""
    of = pair.glance.of_socks
    found = [
        Told("otherwise than planned", tuple(_changed(one, of) for one in pair.changes)),
        Told("how far apart", tuple(_lag(pair))),
        Told("length and minutes", tuple(_measured(pair))),
        Told("tape", tuple(_tape(pair))),
        Told("notes", tuple(_hangs(one, of) for one in pair.hanging if one.kind == "note")),
        Told(
            "lifelines and pins",
            tuple(_hangs(one, of) for one in pair.hanging if one.kind != "note"),
        ),
        Told("yarn weighed", tuple(_weighed(pair))),
    ]
    return [part for part in found if part.lines]


def _lag(pair: SideBySide) -> Iterator[tuple[str, ...]]:
    """The lag in stitches, rounds and minutes; the company of sock one; milestones by work."""
    glance = pair.glance
    if not all(one.finished for one in glance.socks):
        yield (_behind(pair),)
    shares = [(line.section, line.share) for line in pair.lines if line.share is not None]
    told = [
        f"{section(kind, glance.of_socks)} {whole(share * 100)} %"
        for kind, share in shares
        if kind not in HARDLY_ANY
    ]
    if told and glance.whole:
        yield (f"of a sock's stitches are made by the end of each: {', '.join(told)}",)


def _behind(pair: SideBySide) -> str:
    glance = pair.glance
    stitches, rounds, minutes = glance.lag
    if not stitches:
        return "level, stitch for stitch"
    who = sock(2 if stitches > 0 else 1, glance.of_socks)
    long, known = duration(abs(minutes)), glance.time is not None and glance.time.known
    pace = "your pace" if known else "a usual pace"
    # Stitches alone tell: a sock may be ahead by them and behind by its rounds.
    by_rounds = f", {counted(abs(rounds), 'rounds')}" if rounds * stitches > 0 else ""
    return f"{who} {abs(stitches)} stitches behind{by_rounds}, {long} at {pace}"


def _changed(one: Changed, of_socks: bool) -> tuple[str, ...]:
    """What it is on one sock, and how it is on the other."""
    here, there = sock(one.on, of_socks), sock(3 - one.on, of_socks)
    what = change_words.in_section(one.change, one.worked)
    sign, how = {
        "both": ("=", "on both"),
        "to come": ("o", f"on {here}; {there} comes to it"),
        "one only": ("!", f"on {here} only"),
        "meant": ("+", f"on {here} alone, as meant"),
    }[one.how]
    return f"{sign} {section(one.section, of_socks)}: {what}", how


def _measured(pair: SideBySide) -> Iterator[tuple[str, ...]]:
    """Length and minutes of what is finished."""
    for line in pair.lines:
        lengths = [_mm(side.mm, pair) for side in line.sides]
        minutes = [_minutes(side.minutes) for side in line.sides]
        if any(lengths) or any(minutes):
            name = section(line.section, pair.glance.of_socks)
            yield name, _both(lengths, _longer(line, pair)), _both(minutes, "")


def _mm(mm: float | None, pair: SideBySide) -> str:
    return "" if mm is None else write_length(mm, pair.glance.unit)


def _minutes(minutes: float | None) -> str:
    return "" if minutes is None or minutes < 1 else duration(whole(minutes))


def _both(values: list[str], apart: str) -> str:
    """ "15.9 cm and 15.1 cm", with what lies between them; "" for neither."""
    if not any(values):
        return ""
    return " and ".join(value or "-" for value in values) + (f" ({apart})" if apart else "")


def _longer(line: Line, pair: SideBySide) -> str:
    """By how much sock two's section is longer, signed: "-8 mm"."""
    one, two = (side.mm for side in line.sides)
    if one is None or two is None:
        return ""
    told = write_length(abs(two - one), "in" if pair.glance.unit == "in" else "mm")
    return f"{'-' if two < one else '+'}{told}" if not told.startswith("0 ") else ""


def _tape(pair: SideBySide) -> Iterator[tuple[str, ...]]:
    """What each sock's readings were and taught, and which of the two is tighter."""
    glance = pair.glance
    if pair.tension is not None:
        yield (_tension(pair.tension, glance.of_socks),)
    if gauge := _gauge(pair):
        yield (gauge,)
    for number, learned in enumerate(pair.learned, start=1):
        if learned is not None:
            leg, foot = (f"{round_half_up(_to_gauge(rows, pair), 1):g}" for rows in learned)
            both = f"{leg} in the leg, {foot} in the foot" if glance.of_socks else leg
            yield (f"{sock(number, glance.of_socks)}'s tape: {both}",)
    for reading in pair.readings:
        yield _reading(reading, pair)


def _tension(share: float, of_socks: bool) -> str:
    """ "sock two is 6 % tighter than sock one"."""
    percent = abs(round_half_up(share * 100))
    one, two = sock(1, of_socks), sock(2, of_socks)
    if not percent:
        return f"{two} is as tight as {one}, as far as the tape tells"
    return f"{two} is {percent:g} % {'tighter' if share < 0 else 'looser'} than {one}"


def _gauge(pair: SideBySide) -> str:
    """The swatch's rounds to a length: what the tape's are to be held against."""
    if pair.gauge is None:
        return ""
    rows = f"{round_half_up(_to_gauge(pair.gauge.unwashed_rows, pair), 1):g}"
    per = "4 in" if pair.glance.unit == "in" else "10 cm"
    return f"rounds to {per}: by the swatch {rows}"


def _to_gauge(rows: float, pair: SideBySide) -> float:
    """Rounds to 100 mm as rounds to 10 cm or 4 in."""
    return rows * 1.016 if pair.glance.unit == "in" else rows


def _reading(reading: Reading, pair: SideBySide) -> tuple[str, ...]:
    where = f"{section(reading.section, pair.glance.of_socks)} {unit(reading.worked)} {reading.row}"
    mark = "" if reading.usual else f" {laid_from(reading.mark, toe_up=pair.glance.toe_up)}"
    odd = "" if reading.counts else ", does not count"
    told = f"{write_length(reading.mm, pair.glance.unit)}{mark}{odd}"
    return f"{sock(reading.sock, pair.glance.of_socks)}, {where}", told


def _hangs(one: Hanging, of_socks: bool) -> tuple[str, ...]:
    """Where, and what: a note's words, a lifeline, a pin."""
    row = f" {unit(one.worked)} {one.row}" if one.row else ""
    where = f"{sock(one.sock, of_socks)}, {section(one.section, of_socks)}{row}"
    if one.kind == "note":
        return where, shorten(one.text, LONGEST_NOTE)
    return where, "lifeline" if one.kind == "lifeline" else "pin"


def _weighed(pair: SideBySide) -> Iterator[tuple[str, ...]]:
    """ "85 g left, 4352 stitches made"; of one colour with its name."""
    for one in pair.weighings:
        of = f" of {shorten(one.colour)}" if one.colour else ""
        made = f"{one.of_it} stitches made{' with it' if one.colour else ''}"
        yield f"{yarn_words.grams(one.grams)} left{of}", made


def yarns(pair: SideBySide) -> list[str]:
    """The colours of both drawings, in the order in which they come."""
    names = [name for drawn in pair.pictures if drawn for name in drawn.key]
    return [shorten(name) for name in dict.fromkeys(names)]


def where(pair: SideBySide, number: int) -> str:
    """ "sock two: leg, 34 of 46"."""
    glance = pair.glance
    return f"{sock(number, glance.of_socks)}: {pair_words.where(glance.socks[number - 1], glance.of_socks)}"
