"""What the command line prints: the same values as plain text for people, as JSON for scripts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from string import Formatter
from typing import Any

from tracker import hours, past_words, place_words, words
from tracker.forecast.washing import before_washing
from tracker.glance import Glance
from tracker.knitting.course import Course
from tracker.knitting.cues import Cue
from tracker.knitting.hanging import Hanging
from tracker.knitting.past import Past
from tracker.knitting.stripes import Threads
from tracker.pattern.colours import slip_first
from tracker.pattern.model import AT_SIDE, Pattern, Row, Section
from tracker.units import Unit, round_half_up, shorten, write_length
from tracker.vocabulary import and_all, capital, duration, in_colour, slide, spaced


def left_json(glance: Glance) -> dict[str, Any]:
    """The `left` object."""
    here, row, length = glance.place, glance.next, glance.length
    low, likely, high = glance.rows_to_go
    unknown = likely is None
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
        "needles": [{"name": n.name, "stitches": n.stitches} for n in glance.needles],
        "resting": [{"name": w.name, "stitches": w.stitches} for w in glance.resting],
        "stitches": glance.stitches,
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
        gone = " (taken back)" if one.undone else ""
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
        lines.append(capital(words.resting(glance, glance.rests_on)))
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
    on_card = cue.kind in ("change", "slip-first") and cue.when == 0 and glance.card is not None
    return on_card or cue.kind in ("end-of-round", "measure", "colour", "stage")


def plan_json(pattern: Pattern) -> dict[str, Any]:
    """The `plan` object."""
    return {
        "title": pattern.title,
        "numbers": pattern.numbers._asdict(),
        "sections": [
            {
                "name": section.name,
                "kind": section.kind,
                "worked": section.worked,
                "rows": [_row_json(row) for row in section.rows],
            }
            for section in pattern.sections
        ],
    }


def _row_json(row: Row) -> dict[str, Any]:
    return {
        "number": row.number,
        "side": row.side,
        "needles": [{"name": n.name, "work": n.work, "leaves": n.leaves} for n in row.needles],
        "leaves": row.leaves,
        "stitches_worked": row.worked,
    }


def written(pattern: Pattern) -> list[str]:
    """The whole written pattern, a line a row; rows that come again are written once."""
    title = shorten(pattern.title, 80)
    lines = [title, "=" * len(title), "", *_numbers(pattern), *_stripes(pattern)]
    threads = Threads(Course(pattern), ())
    before: Section | None = None
    for index, section in enumerate(pattern.sections):
        colours = _colours(threads, index, len(section.rows))
        first = [*colours, *_join(section)] if not index else [*_slide(section, before), *colours]
        lines += ["", *_section(section, pattern, first)]
        before = section
    return lines


def _slide(section: Section, before: Section | None) -> list[str]:
    """How the stitches are to lie first, where the section before left them otherwise."""
    if before is None:
        return []
    held = [needle.leaves for needle in before.rows[-1].needles]
    on = slide(section.kind, held, section.starts, [n for _, n in section.waiting])
    return [] if on is None else [f"  Slide to {spaced(on)} first."]


def _join(section: Section) -> list[str]:
    """How a piece worked in the round begins."""
    if section.worked != "rounds":
        return ["  It is worked flat: do not join."]
    many = len(section.starts) > 1
    round_it = "nothing wound round a needle" if many else "nothing twisted"
    return [
        f"  Lay the ring flat, all bumps inside, {round_it}; join. The round begins at the tail."
    ]


def words_of(pattern: Pattern) -> list[str]:
    """The terms that a pattern uses, each once, in words; and what each does to the count."""
    from tracker.pattern.glossary import become, terms

    works = dict.fromkeys(
        needle.work
        for section in pattern.sections
        for row in section.rows
        for needle in row.needles
        if needle.work
    )
    lines = ["", "In words"]
    for term in terms(works):
        counts = become(term.counts) if term.counts else ""
        lines.append(f"  {term.name:<11} {term.words}{f' ({counts})' if counts else ''}")
    return lines


def _stripes(pattern: Pattern) -> list[str]:
    """The sequence of the stripes, and how they count."""
    if not pattern.colours.period:
        return []
    stripes = (f"{shorten(stripe.name)} {stripe.rounds}" for stripe in pattern.colours.stripes)
    lines = [f"Stripes: {', '.join(stripes)}, and again from the first. The heel does not count."]
    slips = slip_first(pattern.colours.stripes)
    if not slips:
        return lines
    every = len(slips) == len({stripe.name for stripe in pattern.colours.stripes})
    which = "every stripe" if every else and_all(shorten(name) for name in slips)
    return [
        *lines,
        f"In the second round of {which} slip the first stitch, so that it meets itself.",
    ]


def _colours(threads: Threads, section: int, rows: int) -> list[str]:
    """What a section is worked in, as planned: the colour it begins with, and the stripe it ends in."""
    begins, before = threads.at(section, 0), threads.before(section, 0)
    ends = threads.at(section, rows - 1)
    if begins is None or ends is None:
        return []
    changes = before is not None and before.name != begins.name
    told = f"  {'Change to' if changes else 'In'} {in_colour(*begins)}"
    goes_on = ends.of and rows > 1
    return [f"{told}; it ends with {in_colour(*ends)}." if goes_on else f"{told}."]


def _numbers(pattern: Pattern) -> list[str]:
    numbers = pattern.numbers._asdict()
    told = [line.format(**numbers) for line in _TOLD if _known(line, numbers)]
    if not all(section.counted for section in pattern.sections):
        told.pop()  # stitches of rows that nobody has counted
    elif not pattern.of_socks:
        told[-1] = told[-1].replace(" a sock.", " a piece.")
    ease = numbers["effective_ease"]
    if ease is not None:
        how = "smaller" if ease >= 0 else "larger"
        told[-1] += f" {abs(round_half_up(ease * 100, 1)):g} % {how} than the foot."
    return told


_TOLD = (
    "Cast on {cast_on}, loosely.",
    "Cuff {cuff_rounds} rounds, leg {leg_rounds}.",
    "Heel {heel_stitches} stitches, flap {flap_rows} rows, turn {turn_rows} rows to {heel_centre};"
    " {after_pick_up} after the pick-up.",
    "Gusset {gusset_rounds} rounds, foot {foot_rounds} rounds with it, toe {toe_rounds} rounds;"
    " graft {graft_stitches} and {graft_stitches}.",
    "{stitches_per_sock} stitches a sock.",
)


def _known(line: str, numbers: Mapping[str, Any]) -> bool:
    """Whether the pattern has every number that the line names."""
    return all(numbers[name] is not None for _, name, _, _ in Formatter().parse(line) if name)


def _section(section: Section, pattern: Pattern, colours: Sequence[str]) -> list[str]:
    by_hand = section.kind == "other"
    head = shorten(section.name) if by_hand else words.section(section.kind, pattern.of_socks)
    head = head[:1].upper() + head[1:]
    starts = " / ".join(map(str, section.starts))
    rests = "; ".join(f"{wait.name} {wait.stitches} rests" for wait in section.waiting)
    lines = [f"{head} ({starts}{f'; {rests}' if rests else ''})", *colours]
    for first, period, times in _blocks(section.rows):
        lines += _block_lines(section, first, period, times)
        if section.kind == "gusset" and section.rows[first].word == "PICK":
            lines.append(_through_the_back(pattern))
    if section.goal is not None:
        lines.append(_open_line(section, pattern))
    return lines


def _through_the_back(pattern: Pattern) -> str:
    """Of two edges on one needle the first was met in the pick-up round already."""
    edge = "second edge's" if pattern.needle_set in AT_SIDE else "picked-up"
    return f"  Work the {edge} stitches of round 1 through the back loop, this once, to close the holes."


def _open_line(section: Section, pattern: Pattern) -> str:
    """How far an open section goes, where nobody has counted its rows."""
    if section.counted or section.goal is None:
        return f"  (this is planned; the tape says when it ends{_unwashed(section, pattern)})"
    goal = write_length(section.goal.mm, pattern.unit)
    again = f"these {section.cycle}" if section.cycle > 1 else "this"
    return f"  Repeat {again}, to {goal} {_FROM[section.goal.mark]}; the tape says when it ends."


def _unwashed(section: Section, pattern: Pattern) -> str:
    """Where washing changes the length: what the tape shows on the needles at the end."""
    if section.goal is None or pattern.gauge is None or not pattern.gauge.grows:
        return ""
    mm = section.goal.mm
    lengths = (before_washing(mm, pattern.gauge.grows), mm)
    needles, washed = (write_length(length, pattern.unit) for length in lengths)
    toe = ", the toe included" if section.goal.less_toe else ""
    return f": {needles} on the needles{toe}, {washed} when washed"


_FROM = {
    "cast-on": "from the cast-on edge", "cuff": "from the cuff", "heel": "from the heel",
    "section": "from where this section begins",
}  # fmt: skip


def _blocks(rows: Sequence[Row]) -> Iterator[tuple[int, int, int]]:
    """(first row's index, rows in the repeat, times): one row or two that come again and again."""
    at = 0
    while at < len(rows):
        period = next((p for p in (1, 2) if _times(rows, at, p) > 1), 1)
        times = _times(rows, at, period)
        yield at, period, times
        at += period * times


def _times(rows: Sequence[Row], start: int, period: int) -> int:
    """How many times the `period` rows from `start` on are worked, one after the other."""
    end = start + period
    while end < len(rows) and _same(rows[end], rows[end - period]):
        end += 1
    return (end - start) // period


def _same(one: Row, other: Row) -> bool:
    return one._replace(number=0) == other._replace(number=0)


def _block_lines(section: Section, first: int, period: int, times: int) -> list[str]:
    rows = section.rows
    if period == 1:
        return [_rows_line(section, rows[first], rows[first + times - 1])]
    last = rows[first + period * times - 1].number
    lines = [_rows_line(section, row, row) for row in rows[first : first + period]]
    return [
        *lines,
        f"  Repeat these {period}, to {words.unit(section.worked)} {last}: {times} times.",
    ]


def _rows_line(section: Section, first: Row, last: Row) -> str:
    work = " | ".join(shorten(needle.work or "rests", 200) for needle in first.needles)
    counts = "/".join(str(needle.leaves) for needle in first.needles)
    side = f" {first.side}" if first.side and section.kind != "graft" else ""
    return f"  {_row_numbers(section, first, last)}{side}: {work}  [{counts}]"


def _row_numbers(section: Section, first: Row, last: Row) -> str:
    """ "Round 3", "Rounds 3 to 8", or what row 0 is."""
    name = words.unit(section.worked)
    if first.number == 0:
        return f"{'Pick-up' if first.word == 'PICK' else 'Set-up'} {name}"
    if first is last:
        return f"{name.capitalize()} {first.number}"
    return f"{name.capitalize()}s {first.number} to {last.number}"
