"""Every term of the notation in words for a beginner, and rows written out and written back.

Words are direction-neutral: a stitch comes from the needle that holds it and goes to the one that
works it, so that they hold for a left-handed knitter too. Counts are those of the notation.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tracker.pattern.notation import (
    STITCHES,
    TURNS,
    Item,
    RowText,
    Stitch,
    colour_of,
    plain_name,
    read_row,
    runs,
    stitch_of,
    totals,
    without_colour,
)
from tracker.records import NamedTuple

# Common practice, no source: how the trade explains its own short forms.

_DO = {
    "k": "knit", "p": "purl", "sl": "slip purlwise",
    "k2tog": "knit two together as one",
    "ssk": "slip two knitwise one by one, knit them together through the back loops",
    "skp": "slip one knitwise, knit one, pass the slipped stitch over it",
    "p2tog": "purl two together as one",
    "ssp": "slip two knitwise one by one, put both back, purl them together through the back loops",
    "sk2p": "slip one knitwise, knit two together, pass the slipped stitch over",
    "s2kp": "slip two together knitwise, knit one, pass both slipped stitches over it",
    "k3tog": "knit three together as one",
    "yo": "lay the yarn over the needle and go on, which makes a hole",
    "M1": "lift the strand between two stitches and knit it twisted",
    "M1L": "lift the strand between two stitches from the front, knit it through its back loop",
    "M1R": "lift the strand between two stitches from the back, knit it through its front loop",
    "kfb": "knit into the front and then into the back of the same stitch",
    "pfb": "purl into the front and then into the back of the same stitch",
    "pick up": "pick up and knit: in at the edge, pull a loop through",
    "take up": "pick up the stitches along the waste yarn, which is taken out once they are all on needles,"
               " and knit them",
    "CO": "cast on, with a loop for each",
    "BO": "bind off: work two, pass the first over the second, work the next",
    "rest": "leave stitches that are already worked where they hang",
    "DS": "double stitch: yarn to the front, slip, pull it tight over the needle until both legs show;"
          " later both legs are worked as one",
    "graft": "close with a threaded needle, stitch against stitch; once: front purlwise, back knitwise, and"
             " leave them on; then again and again, front: knitwise, off; purlwise, leave; back: purlwise,"
             " off; knitwise, leave; at the end without the leaving",
    "draw up": "pass the cut yarn through the stitches twice, off the needle, and pull it tight",
}  # fmt: skip

_SIGNS = {
    "turn": "turn the work; what is left on the needle stays unworked",
    "w&t": "wrap and turn: slip the next stitch, yarn to its other side, put it back, turn",
    "to end": "on and on, to the end of the needle",
    "to last": "on and on, until only so many stitches are left",
    "[ ] times": "what stands in the brackets, so many times in all",
    "rep from *": "what stands after the star once more, as far as it says",
}

_CABLE = (
    "cross {over} stitches: the first {held} wait on a spare needle {where}, work the other {rest},"
    " then those that wait"
)
_WHERE = {"F": "in front", "B": "at the back"}
_SO_MANY = frozenset({"k", "p", "sl", "pick up", "take up", "CO", "BO", "rest", "graft", "draw up"})
"""Stitches of which a number is said behind the verb."""
_SAID = {
    "pick up": "pick up and knit", "take up": "take from the waste yarn and knit", "CO": "cast on",
    "BO": "bind off", "sl": "slip",
    "graft": "graft", "draw up": "draw up", "k": "knit", "p": "purl",
}  # fmt: skip


class Term(NamedTuple):
    """A term in words; `counts` are its stitches, None for a sign that is no stitch."""

    name: str
    words: str
    counts: Stitch | None


def term(name: str) -> Term:
    """A term by its name: a stitch such as "ssk", "k tbl" or "C4F", or a sign such as "to last".

    Raises KeyError for what is no term.
    """
    if name in _SIGNS:
        return Term(name, _SIGNS[name], None)
    return Term(name, _meaning(name), stitch_of(name))


def all_terms() -> tuple[Term, ...]:
    """Every term there is, a cable over four as an example of any."""
    return tuple(term(name) for name in (*STITCHES, "C4F", "C4B", *_SIGNS))


def terms(rows: Iterable[str]) -> tuple[Term, ...]:
    """The terms that rows use, each once, in the order in which they come. Raises BadRow."""
    names: dict[str, None] = {}
    for text in dict.fromkeys(rows):
        row = read_row(text)
        for segment in row.segments:
            names.update(dict.fromkeys(_names(segment)))
        if row.turns:
            names[_turn(row)] = None
    return tuple(term(name) for name in names)


def become(counts: Stitch) -> str:
    """What a stitch does to the count: "2 become 1", "1 more"; "" where it stays."""
    if counts.takes == counts.leaves:
        return ""
    if not counts.takes:
        return "1 more"
    if not counts.leaves:
        return "1 fewer"
    verb = "becomes" if counts.takes == 1 else "become"
    return f"{counts.takes} {verb} {counts.leaves}"


def expand(text: str) -> list[str]:
    """A written row as sentences, one for each needle, then the turn and the claim. Raises BadRow."""
    row = read_row(text)
    told = []
    if row.side:
        told.append(f"{'Right' if row.side == 'RS' else 'Wrong'} side row.")
    apart = len(row.segments) > 1
    for number, (segment, held) in enumerate(zip(row.segments, row.texts, strict=True), start=1):
        work = _phrases(segment)
        if row.turns and number == len(row.segments):
            work.append(_SIGNS[_turn(row)])
        what = "; ".join(work) if held else "it rests"
        told.append(_sentence(f"needle {number}: {what}" if apart else what))
    if row.claim:
        told.append(f"That leaves {_and(row.claim)}.")
    return told


def work_in_words(text: str) -> str:
    """One needle's work as one sentence. Raises BadRow."""
    return " ".join(expand(text))


def counted(text: str, live: Sequence[int]) -> Stitch:
    """What a row takes, leaves and makes over needles that hold `live` stitches.

    A needle whose stitches are not all worked keeps the rest: `leaves` counts them. Raises BadRow.
    """
    row = read_row(text)
    holds = list(live) if len(row.segments) == len(live) else [sum(live)]
    takes = leaves = made = 0
    for segment, ahead in zip(row.segments, holds, strict=True):
        worked, unworked = runs(segment, ahead)
        counts = totals(worked)
        takes += counts.takes
        leaves += counts.leaves + unworked
        made += counts.made
    return Stitch(takes, leaves, made)


def write_row(row: RowText) -> str:
    """A row that was read, written back: read again it is the same."""
    parts = [_written(segment) for segment in row.segments]
    if row.turns:
        parts[-1] = ", ".join(filter(None, (parts[-1], _turn(row))))
    side = f"{row.side}: " if row.side else ""
    claim = f" = {'/'.join(map(str, row.claim))}" if row.claim else ""
    return f"{side}{' | '.join(parts)}{claim}"


# Words


def _meaning(name: str) -> str:
    if letter := colour_of(name):
        return f"{_meaning(without_colour(name))}, in colour {letter}"
    bare = name.removesuffix(" tbl")
    if bare != name:
        return _through_the_back(bare)
    known = _DO.get(name)
    if known is not None:
        return known
    over = stitch_of(name).takes
    held = over // 2
    return _CABLE.format(over=over, held=held, rest=over - held, where=_WHERE[name[-1]])


def _through_the_back(bare: str) -> str:
    what = "slip" if bare == "sl" else _DO[bare].removesuffix(" through the back loops")
    loops = "loop" if stitch_of(bare).takes == 1 else "loops"
    return f"{what} through the back {loops}{', which twists it' if bare in ('k', 'p') else ''}"


def _names(items: Sequence[Item]) -> Iterator[str]:
    for item in items:
        if not item.inside:
            yield without_colour(item.stitch)
        if item.inside:
            yield from _names(item.inside)
            yield "[ ] times" if item.reach == "times" else "rep from *"
        if item.reach == "last" or (item.reach == "end" and item.stitch != "BO"):
            yield "to last" if item.reach == "last" else "to end"


def _turn(row: RowText) -> str:
    return "w&t" if row.texts[-1].endswith("w&t") else TURNS[0]


# Sentences


def _phrases(items: Sequence[Item]) -> list[str]:
    return [_bracket(item) if item.inside else _phrase(item) for item in items]


def _phrase(item: Item) -> str:
    name, bare = item.stitch, plain_name(item.stitch)
    if bare in _SO_MANY:
        how = " through the back loop" if " tbl" in name else ""
        letter = colour_of(name)
        return _so_many(item, bare, f"{how} in colour {letter}" if letter else how)
    words = _meaning(name)
    if item.reach == "times":
        return words if item.number == 1 else f"{item.number} times: {words}"
    return f"{_far(item)}: {words}"


def _so_many(item: Item, bare: str, how: str) -> str:
    if bare == "rest":
        return f"leave {_stitches(item.number)} already worked where they hang"
    verb = _SAID[bare]
    if item.reach == "times":
        return f"{verb} {item.number}{how}"
    if bare == "BO" and item.reach == "end":
        return "bind off all"
    far = _until(item.number) if item.reach == "last" else "to the end of the needle"
    return f"{verb}{how} {far}"


def _bracket(item: Item) -> str:
    inside = "; ".join(_phrases(item.inside))
    if item.reach == "times":
        return f"{item.number} times in all: ({inside})" if item.number != 1 else f"({inside})"
    return f"{_far(item)}: ({inside})"


def _far(item: Item) -> str:
    if item.reach == "end":
        return "again and again, to the end of the needle"
    return f"again and again, {_until(item.number)}"


def _until(number: int) -> str:
    return f"until {_stitches(number)} {'is' if number == 1 else 'are'} left"


def _stitches(number: int) -> str:
    return "1 stitch" if number == 1 else f"{number} stitches"


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _and(counts: Sequence[int]) -> str:
    *before, last = map(str, counts)
    return f"{', '.join(before)} and {last}" if before else f"{last}"


# Writing back


def _written(items: Sequence[Item]) -> str:
    return ", ".join(_item(item) for item in items)


def _item(item: Item) -> str:
    if item.inside:
        inside = _written(item.inside)
        if item.reach == "times":
            return f"[{inside}] {item.number} times"
        far = "to end" if item.reach == "end" else f"to last {item.number}"
        return f"*{inside}; rep from * {far}"
    name = item.stitch
    if item.reach == "end":
        return "BO all" if name == "BO" else f"{name} to end"
    if item.reach == "last":
        return f"{name} to last {item.number}"
    bare = plain_name(name)
    return f"{bare} {item.number}{name[len(bare) :]}"
